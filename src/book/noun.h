/* SPDX-License-Identifier: MIT
 *
 * Nouns: records that are kept in the book. The rows of a record's shape (simpling/row.h) say which
 * member is which column, so a noun adds only where it is written and where it is read:
 *
 *     static const struct spl_noun harvest = {
 *         .shape = &spl_harvest_shape, .table = "harvest", .thing = 'H',
 *         .from = "harvest_now t LEFT JOIN site_now s ON s.id = t.site_id",
 *     };
 *
 * INSERT and SELECT are made of these rows and read in order. A
 * column of the noun itself (`t`) is a bare name; any other text is taken as it stands.
 *
 * What a record owns is freed by spl_record_clear with its shape.
 */
#ifndef SPL_BOOK_NOUN_H
#define SPL_BOOK_NOUN_H

#include <glib.h>

#include "book/book.h"
#include "book/statement.h"
#include "simpling/row.h"

struct spl_noun {
    const struct spl_shape *shape;
    const char *table; /* that its records are written to; NULL: they are not */
    const char *from;  /* what they are read from, as `t`; NULL: they are not */
    char thing;        /* the kind of its code; 0: it has none */
    gboolean fact;     /* the book gives its rows a UUID, its mark and a stamp */
};

/* The book's nouns, each in the file of its name. */
extern const struct spl_noun spl_almanac_row_noun, spl_amendment_noun, spl_answer_noun,
    spl_charge_noun, spl_batch_noun, spl_calendar_entry_noun, spl_drying_event_noun,
    spl_drying_noun, spl_harvest_noun, spl_hazard_layer_noun, spl_method_figure_noun,
    spl_liquid_noun, spl_lot_event_noun, spl_lot_use_noun, spl_lot_noun, spl_planned_part_noun,
    spl_planned_noun, spl_kept_stop_noun, spl_kept_take_noun, spl_kept_outing_noun,
    spl_purchase_noun, spl_reaction_noun, spl_recipe_noun, spl_site_noun, spl_permission_noun,
    spl_spray_noun, spl_stage_noun, spl_stand_noun, spl_thrown_noun, spl_trust_noun, spl_use_noun,
    spl_photo_noun, spl_station_noun, spl_window_fix_noun;
/* All of them, in no order, ended by NULL: for what looks at every one. */
extern const struct spl_noun *const spl_nouns[];

/*
 * Writes one record. `more` gives columns that the record has not (SPL_NAMED), or is SPL_NONE. What
 * the book gives it (id, UUID, code) is filled in when it has members for them; on FALSE the record
 * is untouched. `day` gives a thing its year; any day else. Inside a transaction.
 */
gboolean spl_noun_add(struct spl_book *book, const struct spl_noun *noun, void *record,
                      struct spl_day day, const struct spl_value *more, GError **error);

/* The same of a row that has no record: the values are named after their columns. */
gboolean spl_fact_add(struct spl_book *book, const char *table, const struct spl_value *values,
                      GError **error);
/* And the UUID that it got, NULL with an error. Free with g_free. */
char *spl_fact_add_uuid(struct spl_book *book, const char *table, const struct spl_value *values,
                        GError **error);

/*
 * Opens the records that `where` picks ("WHERE … ORDER BY …", about t). `only` names the columns to
 * be read, with blanks around each (" day weight_g "); NULL: all. Step with spl_noun_next.
 */
struct spl_statement *spl_noun_open(struct spl_book *book, const struct spl_noun *noun,
                                    const char *only, const char *where,
                                    const struct spl_value *values, GError **error);

/* The next record, which is the caller's. FALSE: no more, or *error is set; `record` is untouched.
 * What was not read is zero; numbers and days are absent. */
gboolean spl_noun_next(struct spl_statement *rows, void *record, GError **error);

/* The same with columns that the record has not behind its own, for spl_noun_next_with. */
struct spl_statement *spl_noun_open_with(struct spl_book *book, const struct spl_noun *noun,
                                         const char *more, const char *where,
                                         const struct spl_value *values, GError **error);
gboolean spl_noun_next_with(struct spl_statement *rows, void *record, const struct spl_target *more,
                            GError **error);

/* The only record that `where` picks. FALSE without an error: there is none. */
gboolean spl_noun_get(struct spl_book *book, const struct spl_noun *noun, const char *where,
                      const struct spl_value *values, void *record, GError **error);

/* All of them in a list of the shape (spl_list_free); NULL with an error. */
GArray *spl_noun_list(struct spl_book *book, const struct spl_noun *noun, const char *where,
                      const struct spl_value *values, GError **error);

#endif
