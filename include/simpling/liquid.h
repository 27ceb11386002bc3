/* SPDX-License-Identifier: MIT
 *
 * The stock of what is poured: spirit, vinegar, honey, oil, glycerol, sugar, wax. It is bought with
 * supplier and number; jars draw on it by the supplier and number that their liquid was said with.
 * The ledger of spirit counts litres of pure alcohol. What a licence asks to be kept, and for how
 * long, is for it and the local law to say.
 */
#ifndef SIMPLING_LIQUID_H
#define SIMPLING_LIQUID_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/liquid.h"
#include "simpling/row.h"

struct spl_liquid_words {
    const char *kind;
    struct spl_amount amount;
    double strength_frac; /* NAN: as bought (use), or it has none */
    const char *supplier, *number;
    const char *why;   /* use alone */
    struct spl_day on; /* none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_liquid_add_inputs, spl_liquid_use_inputs;
/* Bought. SPL_ERROR_USAGE: spirit, vinegar or glycerol without its strength. */
gboolean spl_liquid_add(struct spl_house *house, const struct spl_liquid_words *words,
                        struct spl_liquid_row *row, GPtrArray **cautions, GError **error);
/* Went for cleaning, was spilt, was missing at a count. SPL_ERROR_NOT_FOUND: nothing of that
 * supplier and number; SPL_ERROR_REFUSED: more than is left. */
gboolean spl_liquid_use(struct spl_house *house, const struct spl_liquid_words *words,
                        struct spl_liquid_row *row, GPtrArray **cautions, GError **error);

/* What came under one supplier's number. */
struct spl_liquid_line {
    enum spl_liquid_kind kind;
    char *supplier, *number;
    double strength_pct;               /* NAN */
    double bought, drawn, other, left; /* in unit: into jars, otherwise; below 0: more went */
    char *unit;                        /* "mL", "g" */
    char *note;                        /* NULL: nothing to say */
};
extern const struct spl_shape spl_liquid_line_shape;

/* What the plan still wants of a kind. */
struct spl_liquid_need {
    enum spl_liquid_kind kind;
    double strength_pct; /* of the strongest in stock, else as the tables have it; NAN */
    double amount;       /* at that strength, in unit */
    char *unit;          /* "mL", "g" */
    struct spl_day by;   /* the first of it is poured; unset: not known */
    double left, to_buy; /* in stock, all strengths, at that strength; what is missing */
    GPtrArray *what_for; /* planned batches */
};
extern const struct spl_shape spl_liquid_need_shape;

struct spl_liquid_stock {
    GArray *liquids; /* struct spl_liquid_line */
    GArray *needs;   /* struct spl_liquid_need */
};
extern const struct spl_shape spl_liquid_stock_shape;

struct spl_liquid_question {
    int season; /* of the plan; SPL_COUNT_NONE: that of today */
};
extern const struct spl_inputs spl_liquid_question_inputs;
gboolean spl_liquid_stock(struct spl_house *house, const struct spl_liquid_question *question,
                          struct spl_liquid_stock *stock, GError **error);

/* One line of the ledger of spirit. */
struct spl_liquid_entry {
    struct spl_day date;
    char *what; /* "bought", the batch's code, what it went for */
    char *supplier, *number;
    double ml, strength_pct;
    double pure_l;  /* litres of pure alcohol at 20 degrees: in above 0, out below */
    gboolean known; /* it was bought by this book */
};
extern const struct spl_shape spl_liquid_entry_shape;

/* Litres of pure alcohol: opening + bought - drawn - other = closing. */
struct spl_liquid_ledger {
    struct spl_day from, to;
    double opening_l, bought_l, drawn_l, other_l, closing_l;
    double unknown_l; /* poured of spirit whose coming in is not in the book; in none of these */
    GArray *entries;  /* struct spl_liquid_entry, by day */
};
extern const struct spl_shape spl_liquid_ledger_shape;

struct spl_liquid_period {
    struct spl_day from, to; /* none: the first day; today */
};
extern const struct spl_inputs spl_liquid_period_inputs;
gboolean spl_liquid_ledger(struct spl_house *house, const struct spl_liquid_period *period,
                           struct spl_liquid_ledger *ledger, GError **error);

#endif
