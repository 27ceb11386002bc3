/* SPDX-License-Identifier: MIT
 *
 * Photos as evidence: of the signs by which a plant was named, of a stage, of a letter that gives
 * leave, of what stood in a sprayed field.
 *
 * A photo goes with an entry, when that is made (its words have `photo`) or later. The file is kept
 * beside the book by its hash, and the book has a small picture that says neither place nor day.
 * What the file itself says of its day and place is told, and never taken over. Nothing hangs on a
 * photo: it changes no verdict.
 */
#ifndef SIMPLING_PHOTO_H
#define SIMPLING_PHOTO_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/photo.h"

struct spl_photo_words {
    const char *file; /* its path */
    const char *code; /* of the entry; NULL: the file of a photo that is in the book is put back */
};
extern const struct spl_inputs spl_photo_inputs;
/* Adds a photo to an entry that is there, or puts its file back; `photo` is it as it stands now. A
 * second time is no second photo. SPL_ERROR_INVALID: no photo, or damaged; SPL_ERROR_NOT_FOUND:
 * no code, and the book knows no such photo. */
gboolean spl_photo_take_in(struct spl_house *house, const struct spl_photo_words *words,
                           struct spl_photo *photo, GError **error);

struct spl_photo_question {
    const char *code; /* of one entry; NULL: all */
};
extern const struct spl_inputs spl_photo_question_inputs;
/* A list of spl_photo_shape; NULL with an error. */
GArray *spl_photos(struct spl_house *house, const struct spl_photo_question *question,
                   GError **error);

struct spl_photo_file {
    const char *path;
};
extern const struct spl_inputs spl_photo_file_inputs;

/* What a photo offers before anything is written. */
struct spl_photo_offer {
    char *file; /* base name */
    enum spl_photo_kind kind;
    int width, height;
    struct spl_day day; /* on which it says it was taken; none */
    char *time;         /* "19:42", by the clock of the camera; NULL */
    double lat, lon;    /* where; NAN */
    double accuracy_m;  /* NAN */
    char *site;         /* the nearest place in the book; NULL */
    double distance_m;  /* and how far it is; NAN */
    char *unseen;       /* why no small picture of it can be kept; NULL */
    GPtrArray *of;      /* the entries that have it already */
};
extern const struct spl_shape spl_photo_offer_shape;
gboolean spl_photo_look_at(struct spl_house *house, const struct spl_photo_file *said,
                           struct spl_photo_offer *offer, GError **error);

#endif
