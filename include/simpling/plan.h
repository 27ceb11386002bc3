/* SPDX-License-Identifier: MIT
 *
 * The season's plan: what is to be made, what it needs against what the stands can spare, which
 * outings cover it.
 */
#ifndef SIMPLING_PLAN_H
#define SIMPLING_PLAN_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

/* ---- planned batches ----------------------------------------------------------------------- */

/* A material of a planned batch: "dandelion/flower" or "dandelion/flower:2". */
struct spl_plan_part {
    const char *material;
    double parts; /* NAN: 1 */
};
extern const struct spl_inputs spl_plan_part_inputs;

struct spl_plan_words {
    const char *name, *preparation;
    GArray *materials;       /* struct spl_plan_part */
    const char *as;          /* a recipe's name, last, none; NULL: the one kept last, if any */
    struct spl_amount yield; /* volume, or dried herb and salve in grams */
    GArray *jars;            /* struct spl_jar_words, to fill, in place of it */
    struct spl_day by;       /* bottled by; none: any day of the season */
    gboolean dry;            /* the herb goes in dried */
    double ratio;            /* 5 for 1:5; NAN: as usual */
    double strength_frac;    /* of what is poured on; NAN: as usual */
    const char *remark;
    /* Not said: that of today, or of `by` when that lies half a year after its end. */
    int season;
};
extern const struct spl_inputs spl_plan_inputs;

/* One planned batch, and how far it is. */
struct spl_plan_line {
    char *name, *preparation;
    GPtrArray *materials;                 /* "dandelion/flower", with ":2" when the parts differ */
    double yield_ml, yield_g;             /* wanted; one of them */
    char *making;                         /* "of dried herb, 1:5, 50 %"; NULL: as usual */
    struct spl_day by;                    /* bottled */
    struct spl_day gather_by;             /* the last day to pick for it */
    double need_g;                        /* fresh, as picked, for all of it */
    double gathered_g;                    /* picked and not yet used, of what is still needed */
    double standing_ml, standing_g;       /* expected of batches that stand */
    double bottled_ml, bottled_g;         /* on the shelf and good */
    double to_come_g;                     /* still to be picked */
    gboolean held;                        /* some of what is bottled or stands is: see the state */
    char *state;                          /* in words */
    GPtrArray *harvests, *batches, *lots; /* codes */
};
extern const struct spl_shape spl_plan_line_shape;

/* Plans a batch; the names must differ within a season. `cautions`: to be freed. */
gboolean spl_plan_add(struct spl_house *house, const struct spl_plan_words *words,
                      struct spl_plan_line *line, GPtrArray **cautions, GError **error);

/* One season; SPL_COUNT_NONE: that of today. */
struct spl_plan_question {
    int season;
};
extern const struct spl_inputs spl_plan_question_inputs;
/* What is planned and how far it is: a list of spl_plan_line_shape. */
GArray *spl_plan_lines(struct spl_house *house, const struct spl_plan_question *question,
                       GError **error);

struct spl_plan_drop_words {
    const char *name;
    const char *why, *by;
    int season; /* as above */
};
extern const struct spl_inputs spl_plan_drop_inputs;
/* Takes a planned batch out of the plan; `line` is it as it was. */
gboolean spl_plan_drop(struct spl_house *house, const struct spl_plan_drop_words *words,
                       struct spl_plan_line *line, GError **error);

/* ---- what runs short ----------------------------------------------------------------------- */

struct spl_plan_shortage {
    char *material;
    double need_g;      /* still to come, as picked, before the shelf's dry stock */
    double stock_g;     /* of it on hand: bought or dried, in fresh grams' worth */
    double allowance_g; /* what the stands can spare for it */
    double short_g;
    struct spl_day earliest, latest;
    GPtrArray *sites;
    char *cause, *cure; /* NULL: nothing is short */
};
extern const struct spl_shape spl_plan_shortage_shape;

struct spl_plan_short_question {
    int season;          /* as above */
    gboolean clear_only; /* sites that must be asked about give nothing */
};
extern const struct spl_inputs spl_plan_short_inputs;
/* One record a needed material; a list of spl_plan_shortage_shape. */
GArray *spl_plan_shortfall(struct spl_house *house, const struct spl_plan_short_question *question,
                           GError **error);

/* ---- what to make --------------------------------------------------------------------------- */

/* One medicine: the same preparation of the same herb, whichever lot it comes from. */
struct spl_plan_year_line {
    char *medicine; /* "Nettle leaf tincture" */
    char *preparation, *materials;
    gboolean outside;
    char *unit;                 /* "mL", "g": of all amounts but the fresh herb */
    double out;                 /* to people in the last twelve months */
    double left;                /* on the shelf and good today */
    struct spl_day good_until;  /* the last day of the youngest of it; unset: not known */
    double to_come;             /* as expected of the jars that stand */
    struct spl_day lasts_until; /* at that rate; unset: beyond `until` */
    struct spl_day until;       /* when the next year's is to be bottled: so long it has to last */
    double suggested;           /* to make in the growing year asked for */
    double wanted;              /* planned of it already */
    double fresh_g;             /* for what is suggested, as picked; NAN: not known */
    double spare_g;             /* what the stands can spare of it in that year; NAN: not known */
    char *late;                 /* what will be out of date before it is wanted; NULL: nothing */
    char *held;                 /* lots and jars of it that are held, and not counted; NULL: none */
    char *note;                 /* why it cannot be reckoned, cautions; NULL */
};
extern const struct spl_shape spl_plan_year_line_shape;

struct spl_plan_year_words {
    int season;               /* SPL_COUNT_NONE: that of today; in its last two months the next */
    const char *accept;       /* the medicine that goes into the plan; NULL: none */
    struct spl_amount amount; /* of it; not said: what is suggested and not planned yet */
    struct spl_day by;        /* bottled by; none: any day of the season */
};
extern const struct spl_inputs spl_plan_year_inputs;
/* By what runs out first; with `accept` the one line, with what is planned now. A list of
 * spl_plan_year_line_shape. */
GArray *spl_plan_year(struct spl_house *house, const struct spl_plan_year_words *words,
                      GError **error);

/* ---- outings ------------------------------------------------------------------------------- */

struct spl_plan_take {
    char *material;
    double grams;        /* to take: never more than the stand can spare by now */
    double planned_g;    /* when the plan was made, where that was more; NAN */
    GPtrArray *what_for; /* planned batches */
    char *note; /* early or late in its time, what an odd amount is for; NULL: nothing to say */
};
extern const struct spl_shape spl_plan_take_shape;

struct spl_plan_stop {
    char *site;
    enum spl_verdict verdict; /* on that day and on the reserve day, the worse */
    GPtrArray *reasons;       /* all that is to be asked, and that a stand is small */
    GArray *because;          /* struct spl_reason: of these what is of the ground, with its next */
    char *why;                /* why this place although something speaks against it; or NULL */
    GArray *takes;            /* struct spl_plan_take */
    gint64 site_id;           /* in the book */
};
extern const struct spl_shape spl_plan_stop_shape;

struct spl_plan_outing {
    struct spl_day date, reserve;
    char *reserve_why; /* why there is no reserve day, or only the next; or NULL */
    GArray *sites;     /* struct spl_plan_stop, in the order of the round */
    double hours, km;
    double home_g;  /* weight that comes home */
    char *free;     /* "08:04-12:30": the stretch that it fits into; NULL: not looked at */
    gboolean fixed; /* the person set it: it stays as it is */
    gboolean past;
    char *moved; /* "moved from 2027-05-12: rained off"; NULL */
    char *uuid;  /* of a kept one; NULL: not kept */
};
extern const struct spl_shape spl_plan_outing_shape;

struct spl_plan_call {
    char *site, *who;
    struct spl_day from, by; /* ask in these days: earlier a word grows too old */
    struct spl_day outing;   /* the first that hangs on it */
    char *about;             /* everything that is to be asked there */
};
extern const struct spl_shape spl_plan_call_shape;

struct spl_plan_missing {
    char *material;
    double grams;
    char *why, *cure;
};
extern const struct spl_shape spl_plan_missing_shape;

/* Hours that a plan weighs, by what for: they add up to its cost. */
struct spl_plan_weighs {
    char *what;
    double hours;
};
extern const struct spl_shape spl_plan_weighs_shape;

/* Where the search stood after a stage. */
struct spl_plan_stage {
    char *stage;
    double cost_h, cost_bound_h;
    int outings, nodes;
};
extern const struct spl_shape spl_plan_stage_shape;

/* What a plan is weighed by: a setting. */
struct spl_plan_price {
    char *setting, *about;
    double hours;
};
extern const struct spl_shape spl_plan_price_shape;

struct spl_plan_outings {
    GArray *outings;     /* struct spl_plan_outing */
    GArray *call;        /* struct spl_plan_call, by day */
    GArray *missing;     /* struct spl_plan_missing; key "short" */
    int outings_count;   /* of those to come */
    int lower_bound;     /* no plan that covers as much has fewer; 0: nothing is known */
    double hours, km;    /* of those to come, in all */
    double cost_h;       /* what they weigh, with what stays open */
    double cost_bound_h; /* no plan weighs less; NAN: nothing is proven */
    double gap;          /* (cost - bound) / cost, 0..1; NAN */
    double reserve_h;    /* of the cost, for the sake of reserve days */
    double seconds;
    char *stop;       /* why the search ended */
    gboolean stopped; /* by hand: the best plan so far, never stored */
    gboolean kept;
    GArray *weighs;     /* struct spl_plan_weighs */
    GArray *stages;     /* struct spl_plan_stage */
    GArray *prices;     /* struct spl_plan_price */
    GPtrArray *changes; /* against the plan that was kept, in words */
    GPtrArray *cautions;
};
extern const struct spl_shape spl_plan_outings_shape;

struct spl_plan_day_off {
    struct spl_day day;
};
extern const struct spl_inputs spl_plan_day_off_inputs;

struct spl_plan_wish {
    const char *days;            /* "sat,sun,wed"; NULL: every day */
    double hours;                /* of a day; NAN: the setting, else 5 */
    int pickers;                 /* SPL_COUNT_NONE: the setting, else 1 */
    struct spl_coordinates home; /* not said: the setting */
    double km_per_h;             /* NAN: the setting, else 40 */
    int most_sites;              /* in one outing; SPL_COUNT_NONE: 4 */
    GArray *off;                 /* struct spl_plan_day_off: when nobody goes */
    const char *busy;            /* .ics; NULL */
    gboolean clear_only;
    double seconds;     /* that it takes; NAN: as long as `nodes` need */
    double gap_percent; /* stop within it; NAN: 0.5 */
    int nodes; /* of work; SPL_COUNT_NONE: without `seconds` the default, with them no limit */
    gboolean no_solver; /* the first plan is enough */
    const char *lp;     /* write the model to this file; NULL */
    gboolean keep;      /* store the plan */
    int season;         /* SPL_COUNT_NONE: that of today */
};
extern const struct spl_inputs spl_plan_wish_inputs;

/*
 * Plans the outings from today to the end of the season: kept outings that are past or fixed stay,
 * the rest is planned anew. Without `seconds` the same book gives the same plan on every machine.
 * `stopped` (NULL: never) is asked now and then: TRUE ends the search with the best plan so far.
 * SPL_ERROR_INVALID says what to change when the question makes no sense.
 */
gboolean spl_plan_search(struct spl_house *house, const struct spl_plan_wish *said,
                         gboolean (*stopped)(gpointer data), gpointer data,
                         struct spl_plan_outings *plan, GError **error);

/* The stored plan, never planned anew: its days and places as they were kept, each place with
 * today's word on it, and of what it takes no more than is still needed and to be had. `season` 0:
 * that of today. */
gboolean spl_plan_kept(struct spl_house *house, int season, struct spl_plan_outings *plan,
                       GError **error);

#endif
