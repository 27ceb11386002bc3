/* SPDX-License-Identifier: MIT
 *
 * The plain record of a photo that goes with an entry as evidence.
 */
#ifndef SIMPLING_RECORD_PHOTO_H
#define SIMPLING_RECORD_PHOTO_H

#include <glib.h>

#include "simpling/row.h"

/* Names stay: spl_photo_kind_names. */
enum spl_photo_kind { SPL_PHOTO_NONE, SPL_PHOTO_JPEG, SPL_PHOTO_PNG, SPL_PHOTO_HEIC };
extern const char *const spl_photo_kind_names[]; /* "jpeg"; that of none is empty */

/* How its file stands beside the book. */
enum spl_photo_state {
    SPL_PHOTO_UNSAID,
    SPL_PHOTO_KEPT,
    SPL_PHOTO_MISSING, /* not there: it came with another's book, or was lost */
    SPL_PHOTO_ALTERED  /* there, and no longer what was taken in */
};
extern const char *const spl_photo_state_names[]; /* "kept" */

struct spl_photo {
    char *of;   /* the entry: its code, or "leave at SITE" */
    char *hash; /* SHA-256 of the file, in hex: its name beside the book */
    enum spl_photo_kind kind;
    gint64 bytes;
    int width, height; /* pixels as it is looked at; 0: not known */
    char *small;       /* a small JPEG without any note of place or day, base64; NULL: none */
    char *unseen;      /* why there is none; NULL */
    enum spl_photo_state state;
    char *file;    /* where it is kept; filled by season */
    char *says;    /* what the file says of its day and place; only when it is taken in */
    char *site;    /* of what was said about ground: the place; NULL */
    char *subject; /* UUID of the entry */
};
extern const struct spl_shape spl_photo_shape;

#endif
