/* SPDX-License-Identifier: MIT
 *
 * What is told of a picture. Apart from what draws, so that the table of commands, which names it,
 * pulls in no drawing library.
 */
#include "simpling/picture.h"

static const struct spl_field picture_fields[] = {
    SPL_FIELD(spl_picture, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_picture, of, SPL_TEXT, "of", "shows"),
    SPL_FIELD(spl_picture, pages, SPL_INT, "pages", "pages"),
    SPL_FIELD(spl_picture, warnings, SPL_TEXTS, "warnings", NULL),
};
const struct spl_shape spl_picture_shape = SPL_SHAPE("picture", spl_picture, picture_fields);
