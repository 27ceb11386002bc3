/* SPDX-License-Identifier: MIT
 *
 * Harvests: the entries of the log.
 */
#ifndef SPL_BOOK_HARVEST_H
#define SPL_BOOK_HARVEST_H

#include <glib.h>

#include "book/book.h"
#include "book/code.h"
#include "simpling/day.h"
#include "simpling/record/harvest.h"

/* Writes the entry (id, uuid, code filled in). Inside a transaction. */
gboolean spl_harvest_add(struct spl_book *book, struct spl_harvest *harvest, GError **error);

/* The entry with this code, with what drew on it. */
gboolean spl_harvest_find(struct spl_book *book, const char *code, struct spl_harvest *harvest,
                          GError **error);

/* Which entries to list; zero values do not filter. */
struct spl_harvest_filter {
    gint64 site_id;
    const char *material;
    struct spl_day from, to; /* both included */
    gboolean unweighed;      /* only those whose weight is missing */
    gboolean all;            /* struck ones too */
};

/* Calls `each` in order of day; `harvest` is cleared after each call. Stops when it returns FALSE.
 */
gboolean spl_harvest_each(struct spl_book *book, const struct spl_harvest_filter *filter,
                          gboolean (*each)(const struct spl_harvest *harvest, gpointer data,
                                           GError **error),
                          gpointer data, GError **error);

/* Who named a plant at a place, and by which signs. */
struct spl_harvest_signs {
    char *code; /* of the harvest; NULL: nobody */
    char *named_by, *signs;
};
void spl_harvest_signs_clear(struct spl_harvest_signs *signs);

/* The last in from..to that has both, of any part of the plant (its slug). */
gboolean spl_harvest_signs_of(struct spl_book *book, gint64 site_id, const char *plant,
                              struct spl_day from, struct spl_day to,
                              struct spl_harvest_signs *signs, GError **error);

/* Those whose weight is still missing, by day. As above. */
gboolean spl_harvest_each_unweighed(struct spl_book *book,
                                    gboolean (*each)(const struct spl_harvest *harvest,
                                                     gpointer data, GError **error),
                                    gpointer data, GError **error);

/* Grams of a plant's part that were taken at a site in from..to, struck entries left out. */
double spl_harvest_taken_g(struct spl_book *book, gint64 site_id, const char *material,
                           struct spl_day from, struct spl_day to, GError **error);

/* What a release answers: one reason. */
struct spl_release_of {
    const char *kind;  /* the reason's stable name */
    const char *fact;  /* UUID of the row that it rests on */
    gint64 version;    /* that row's stamp */
    const char *grade; /* the worst that is answered: "paper", "doubt", "stop" */
};

/* Lets a held thing out again. `of` NULL: answers whatever was raised before it, as releases did
 * that named nothing. Inside a transaction. */
gboolean spl_release_add(struct spl_book *book, gint64 thing_id, struct spl_day day, const char *by,
                         const char *evidence, const struct spl_release_of *of, GError **error);

#endif
