/* SPDX-License-Identifier: MIT
 *
 * The log: what was taken where, when, at what stage, how much, by whom.
 */
#ifndef SIMPLING_HARVEST_H
#define SIMPLING_HARVEST_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/harvest.h"
#include "simpling/row.h"

struct spl_harvest_words {
    const char *site, *material, *stage;
    double weight_g;              /* NAN: not weighed yet, counted in bags */
    int bags, handfuls;           /* SPL_COUNT_NONE: not counted so */
    double garbled_g;             /* NAN: not weighed */
    struct spl_day on;            /* none: today */
    const char *by;               /* names, joined with ", "; NULL: the setting `who` */
    int people;                   /* how many picked, led by `by`; SPL_COUNT_NONE: not said */
    const char *named_by, *signs; /* who named the plant, and by which signs; NULL */
    gboolean signs_again; /* instead of both: the plant is the one named here in this season */
    const char *weather, *remark; /* NULL */
    const char *hold;  /* why it is kept although the ground is closed; NULL: it is refused */
    gboolean sure;     /* it weighs so, although nobody carries that much home */
    const char *photo; /* path of one that goes with it (simpling/photo.h); NULL */
};
extern const struct spl_inputs spl_harvest_inputs;

/*
 * Writes the entry with the verdict of its day. SPL_ERROR_CLOSED on closed ground without `hold`; a
 * harvest from `ask` ground is held until the question is answered. `cautions` gets what to know
 * (stage that does not suit, look-alikes, more than the stand can spare): free with
 * g_ptr_array_unref.
 */
gboolean spl_harvest_log(struct spl_house *house, const struct spl_harvest_words *words,
                         struct spl_harvest *harvest, GPtrArray **cautions, GError **error);

/* The one record that is asked for. */
struct spl_harvest_pick {
    const char *code;
};
extern const struct spl_inputs spl_harvest_pick_inputs;
gboolean spl_harvest_show(struct spl_house *house, const char *code, struct spl_harvest *harvest,
                          GError **error);

struct spl_harvest_question {
    const char *site, *material; /* NULL: any */
    struct spl_day from, to;     /* none: any */
    gboolean unweighed;          /* only those whose weight is missing */
    gboolean all;                /* struck ones too */
};
extern const struct spl_inputs spl_harvest_question_inputs;
gboolean spl_harvest_entries(struct spl_house *house, const struct spl_harvest_question *question,
                             gboolean (*each)(const struct spl_harvest *harvest, gpointer data,
                                              GError **error),
                             gpointer data, GError **error);

#define SPL_PICKED_DAYS 7 /* for so long fresh herb that was put up in nothing is asked about */

/* Herb that was picked and weighed lately and is neither in a jar nor on a rack, and how it was
 * made last. */
struct spl_picked {
    char *code, *material, *site;
    struct spl_day date;
    double left_g;
    char *preparation; /* that was last made fresh of this herb alone; NULL: nothing was */
    char *last;        /* the code of that batch; NULL */
};
extern const struct spl_shape spl_picked_shape;
/* The last picked first: a list of spl_picked_shape; NULL with an error. */
GArray *spl_harvest_picked(struct spl_house *house, GError **error);

/* The weight of a harvest that was counted in bags. */
struct spl_harvest_weigh_words {
    const char *code;
    double weight_g;
    double garbled_g; /* NAN: not weighed */
    const char *by;   /* NULL: the setting `who` */
    gboolean sure;    /* as in struct spl_harvest_words */
};
extern const struct spl_inputs spl_harvest_weigh_inputs;
/* SPL_ERROR_EXISTS: it was weighed; such a weight is corrected. */
gboolean spl_harvest_weigh(struct spl_house *house, const struct spl_harvest_weigh_words *words,
                           struct spl_harvest *harvest, GError **error);

struct spl_harvest_release_words {
    const char *code;
    const char *evidence; /* who said what, or which test showed it */
    const char *by;       /* NULL: the setting `who` */
    struct spl_day on;    /* none: today */
};
extern const struct spl_inputs spl_harvest_release_inputs;
/* Lets a held harvest out, with the evidence that answers the question. SPL_ERROR_REFUSED when it
 * is not held. */
gboolean spl_harvest_let_out(struct spl_house *house, const struct spl_harvest_release_words *words,
                             struct spl_harvest *harvest, GError **error);

#endif
