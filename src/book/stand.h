/* SPDX-License-Identifier: MIT
 *
 * Stands: notes of what a site bears of a plant, and the stand that they add up to.
 */
#ifndef SPL_BOOK_STAND_H
#define SPL_BOOK_STAND_H

#include <glib.h>

#include "book/book.h"
#include "core/stand.h"
#include "simpling/day.h"
#include "simpling/record/state.h"

struct spl_stand_note {
    gint64 site_id;
    char *plant; /* slug */
    enum spl_stand_kind kind;
    char *part; /* grams, taken: of which part; else NULL */
    int plants;
    double area_m2, cover_frac, grams, share_frac; /* NAN: not of this kind */
    int until;       /* rest: the season from which it may be picked; 0 ends a rest */
    char *seen;      /* mark: "leaf", "flower", in words */
    int growth_year; /* mark: of a biennial; 0: not said */
    struct spl_day on;
    char *by, *remark;
};
void spl_stand_note_clear(struct spl_stand_note *note);

/* Writes one. Inside a transaction. */
gboolean spl_stand_note_add(struct spl_book *book, const struct spl_stand_note *note,
                            GError **error);

/* All notes of a site's plant, oldest first: a GArray of struct spl_stand_note that clears its
 * elements. plant NULL: of every plant. NULL with an error. */
GArray *spl_stand_notes(struct spl_book *book, gint64 site_id, const char *plant, GError **error);

/* The stand that the notes up to `on` make. */
struct spl_stand spl_stand_of_notes(const GArray *notes, const char *plant, struct spl_day on);

/* The last mark by `on` (a plant found in leaf or flower), or NULL; borrowed from `notes`. */
const struct spl_stand_note *spl_stand_mark_of(const GArray *notes, const char *plant,
                                               struct spl_day on);

/* What was taken there of the plant, as far as it tells of a season: in that season, and before it
 * of roots and of what is slow to return. A GArray of struct spl_stand_taking; material slugs that
 * the tables no longer know are left out. */
GArray *spl_stand_takings(struct spl_book *book, const struct spl_tables *tables, gint64 site_id,
                          const char *plant, int season, double lat, GError **error);

#endif
