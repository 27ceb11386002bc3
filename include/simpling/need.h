/* SPDX-License-Identifier: MIT
 *
 * How much plant and liquid a batch needs, and how to dilute a spirit. Nothing is saved.
 */
#ifndef SIMPLING_NEED_H
#define SIMPLING_NEED_H

#include <glib.h>

#include "simpling/input.h"
#include "simpling/record/dilution.h"
#include "simpling/record/need.h"
#include "simpling/row.h"

struct spl_house; /* simpling/house.h */

/* Jars of one size, as said. */
struct spl_jar_words {
    int count; /* SPL_COUNT_NONE: one */
    double nominal_ml;
};
extern const struct spl_inputs spl_jar_inputs; /* of an element: "500mL", "6x500mL" */

/* What a person asks. NAN and NULL: not said, the tables and the book's settings decide. */
struct spl_need_words {
    const char *material, *preparation;
    const char *as;          /* as in simpling/batch.h */
    GArray *jars;            /* struct spl_jar_words, to fill; NULL: none */
    struct spl_amount yield; /* wanted; one of jars, yield and herb */
    double herb_g;           /* at hand */
    double fill_frac;        /* share of the jar that loose herb fills; by ratio if NAN */
    gboolean by_fill;        /* by fill, with the preparation's own share when fill_frac is NAN */
    double ratio;            /* 5 for 1:5 */
    const char *ratio_means; /* "put-in", "mass", "finished"; NULL: put-in */
    double strength_frac;    /* of what is poured on */
    double final_frac;       /* wanted in the end, instead of a strength */
    const char *press;       /* "hand"; NULL: the setting `press`, else by hand */
    double moisture_frac, trim_frac, fresh_per_dry, honey_ml_per_ml; /* one's own figures */
    gboolean dry;                                                    /* the herb goes in dried */
};
extern const struct spl_inputs spl_need_inputs;
void spl_need_words_init(struct spl_need_words *words);

/*
 * Answers with the figures of the tables where none are said; the book's settings `press` and
 * `jars` count when the house has a book, and its own dryings give the fresh:dry ratio. Keeping
 * rules and the plant's cautions are in `cautions`. Errors as of the arithmetic, and
 * SPL_ERROR_NOT_FOUND for unknown names; fresh herb in oil is SPL_ERROR_REFUSED. Clear with
 * spl_need_result_shape.
 */
gboolean spl_need_answer(struct spl_house *house, const struct spl_need_words *words,
                         struct spl_need_result *result, GError **error);

/* Spirit and water, at 20 degrees. */
struct spl_dilute_words {
    double from_frac, to_frac;
    double make_ml, use_ml; /* how much of the weaker, or how much of the spirit to use up */
};
extern const struct spl_inputs spl_dilute_inputs;
gboolean spl_dilute(const struct spl_dilute_words *words, struct spl_dilution *dilution,
                    GError **error);

#endif
