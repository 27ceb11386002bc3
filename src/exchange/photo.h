/* SPDX-License-Identifier: MIT
 *
 * What a photo says of itself, told by the child simpling-photo: it alone is linked with the
 * libraries that decode pictures, and it may use so much memory and time and no more.
 */
#ifndef SPL_EXCHANGE_PHOTO_H
#define SPL_EXCHANGE_PHOTO_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/photo.h"

#define SPL_PHOTO_BYTES_MOST (64 * 1024 * 1024)

struct spl_photo_facts {
    enum spl_photo_kind kind;
    int width, height;  /* as it is looked at; 0: not known */
    struct spl_day day; /* local, where it was taken; not set: nothing is said */
    int minute;         /* of that day; -1: nothing is said */
    double lat, lon;    /* WGS 84; NAN: nothing is said */
    double accuracy_m;  /* NAN: nothing is said */
    char *small;        /* base64 of a JPEG; NULL: none */
    char *unseen;       /* why there is none */
};
void spl_photo_facts_clear(struct spl_photo_facts *facts);

/* Asks the child about the file at `path`. `program`: path of simpling-photo. SPL_ERROR_INVALID: no
 * photo, or damaged; SPL_ERROR_LIMIT, _NOT_FOUND (the program is not there), _IO. */
gboolean spl_photo_ask(const char *program, const char *path, struct spl_photo_facts *facts,
                       GError **error);

/* The child's answer as text, and back. What is not of that form is SPL_ERROR_INVALID. Free with
 * g_free. */
char *spl_photo_facts_write(const struct spl_photo_facts *facts);
gboolean spl_photo_facts_read(const char *text, struct spl_photo_facts *facts, GError **error);

#endif
