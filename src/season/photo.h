/* SPDX-License-Identifier: MIT
 *
 * A photo that comes with an entry: looked at before its transaction, kept within it. For the use
 * cases whose words have `photo`:
 *
 *     struct spl_photo_hand hand;
 *     if (!spl_photo_pick_up(house, words.photo, &hand, error)) …
 *     … spl_photo_keep(house, &hand, uuid, &site, day, &record.photos, error) …
 *     spl_photo_put_down(&hand, ok);
 */
#ifndef SPL_SEASON_PHOTO_H
#define SPL_SEASON_PHOTO_H

#include "exchange/photo.h"
#include "season/house_private.h"
#include "simpling/photo.h"

/* Anything to do with photos in a table of inputs. */
#define SPL_PHOTO_INPUT(record)                                                                    \
    SPL_INPUT(record, photo, FILE, "photo",                                                        \
              "a photo that goes with it: kept beside the book, a small picture without place or " \
              "day in it",                                                                         \
              .advanced = 1)

struct spl_photo_hand {
    char *hash;
    char *bytes; /* NULL: there is no photo */
    gsize size;
    struct spl_photo_facts facts;
    char *placed; /* the file that was put beside the book for it; NULL: none */
};

/* Reads the file and has it looked into. NULL: there is none, and the rest does nothing. Errors are
 * about "photo". */
gboolean spl_photo_pick_up(struct spl_house *house, const char *path, struct spl_photo_hand *hand,
                           GError **error);

/* Its file beside the book and its row; `photos` gets it, with what it says of a day and place that
 * may be other than the entry's (`site` NULL, `day` none: nothing to compare with). Inside the
 * transaction. */
gboolean spl_photo_keep(struct spl_house *house, struct spl_photo_hand *hand, const char *subject,
                        const struct spl_site *site, struct spl_day day, GArray **photos,
                        GError **error);

/* Frees it; `ok` FALSE: the transaction was rolled back, and what was put beside the book goes. */
void spl_photo_put_down(struct spl_photo_hand *hand, gboolean ok);

#endif
