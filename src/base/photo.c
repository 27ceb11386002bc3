/* SPDX-License-Identifier: MIT
 *
 * The names of kinds and states of photos. See simpling/record/photo.h.
 */
#include "simpling/record/photo.h"

const char *const spl_photo_kind_names[] = {[SPL_PHOTO_NONE] = "",
                                            [SPL_PHOTO_JPEG] = "jpeg",
                                            [SPL_PHOTO_PNG] = "png",
                                            [SPL_PHOTO_HEIC] = "heic",
                                            NULL};

const char *const spl_photo_state_names[] = {[SPL_PHOTO_UNSAID] = "",
                                             [SPL_PHOTO_KEPT] = "kept",
                                             [SPL_PHOTO_MISSING] = "missing",
                                             [SPL_PHOTO_ALTERED] = "altered",
                                             NULL};
