/* SPDX-License-Identifier: MIT
 *
 * Batches: the jar, what went into it, the steps done. What follows from them is reckoned in core.
 */
#ifndef SPL_BOOK_BATCH_H
#define SPL_BOOK_BATCH_H

#include "book/book.h"
#include "core/charge.h"
#include "core/steps.h"
#include "simpling/day.h"
#include "simpling/record/state.h"

/* One thing that went in. */
struct spl_charge_row {
    enum spl_charge_kind kind;
    gint64 source_id; /* thing drawn from; 0: liquid */
    char *code;       /* of it; filled on reading */
    struct spl_day day;
    char *material;
    enum spl_herb_state state; /* of herb */
    double grams;              /* herb, marc; else NAN */
    double moisture_frac, volume_ml_per_g;
    struct spl_figure kept_ml_per_g; /* its source is not kept */
    struct spl_blend blend;          /* liquid, lot; marc: what it still holds */
    double strength_frac;            /* of a liquid as it was poured; NAN */
    char *words, *supplier, *number;
    char *titrated; /* vinegar of one's own: how its acid was measured, when, by whom; else NULL */
    struct spl_day titrated_on;
    char *titrated_by;
};
void spl_charge_row_clear(struct spl_charge_row *row);

struct spl_batch_row {
    gint64 id;
    char *uuid, *code;
    char *preparation, *keeping;
    struct spl_day day;
    int jars;                  /* 0: not said */
    double jar_ml, brimful_ml; /* NAN: not said */
    gboolean outside;
    char *raw_by; /* who answers for raw fruit in it; NULL: there is none */
    char *hold, *by, *remark, *struck;
    /* derived */
    struct spl_day pressed;
    double pressed_ml, pressed_g;
    double herb_g, marc_drawn_g, discarded_g, discarded_ml;
};
void spl_batch_row_clear(struct spl_batch_row *row);

/* Writes the row (id, uuid, code filled in). Inside a transaction. */
gboolean spl_batch_add(struct spl_book *book, struct spl_batch_row *row, GError **error);

/* Writes a charge, and its draw when it has a source. Inside a transaction. */
gboolean spl_charge_add(struct spl_book *book, gint64 batch_id, const struct spl_charge_row *row,
                        GError **error);

/* All charges in the order of writing: GArray of struct spl_charge_row that clears its elements. */
GArray *spl_charge_list(struct spl_book *book, gint64 batch_id, GError **error);

gboolean spl_batch_step_add(struct spl_book *book, gint64 batch_id, enum spl_step step,
                            struct spl_day day, const char *by, GError **error);
/* GArray of struct spl_step_done. */
GArray *spl_batch_step_list(struct spl_book *book, gint64 batch_id, GError **error);

/* Every step that was done, as it was noted, by day; `by` is NULL where nobody was named. */
typedef void (*spl_batch_step_visit)(const char *step, struct spl_day day, const char *by,
                                     gpointer data);
gboolean spl_batch_step_each(struct spl_book *book, gint64 batch_id, spl_batch_step_visit each,
                             gpointer data, GError **error);

gboolean spl_batch_find(struct spl_book *book, const char *code, struct spl_batch_row *row,
                        GError **error);

/* The one last started (not `but`) of this preparation (NULL: of any) and of no other herb than
 * this. FALSE without an error: there is none. */
gboolean spl_batch_last(struct spl_book *book, const char *preparation, const char *material,
                        gint64 but, struct spl_batch_row *row, GError **error);

/* In order of day; `standing`: neither pressed nor struck; `all`: struck ones too. `each` may take
 * the row over and leave it empty. */
gboolean spl_batch_each(struct spl_book *book, gboolean standing, gboolean all,
                        const char *preparation,
                        gboolean (*each)(struct spl_batch_row *row, gpointer data, GError **error),
                        gpointer data, GError **error);

/* Those that were started or drawn on in a span of days, and those whose day was corrected; none
 * that was struck. */
gboolean spl_batch_each_between(struct spl_book *book, struct spl_day first, struct spl_day last,
                                gboolean (*each)(struct spl_batch_row *row, gpointer data,
                                                 GError **error),
                                gpointer data, GError **error);

/* Whether `id` is `of` itself or anything that it came from (through draws that stand). */
gboolean spl_thing_comes_from(struct spl_book *book, gint64 id, gint64 of, gboolean *comes,
                              GError **error);

#endif
