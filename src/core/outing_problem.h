/* SPDX-License-Identifier: MIT
 *
 * The question of the season plan as plain arrays: which days there are, which sites, what each
 * bears when, what is needed; and the plan that answers it.
 *
 * Built by season from the book, or by a test by hand; read by the model, the greedy planner and
 * the checker. Hours, grams, kilometres and days; indices point into the problem's own arrays.
 */
#ifndef SPL_CORE_OUTING_PROBLEM_H
#define SPL_CORE_OUTING_PROBLEM_H

#include <glib.h>

#include "simpling/day.h"

/* A day on which somebody could go. Days off and days of the week not wanted are simply absent. */
struct spl_outing_day {
    struct spl_day day;
    double hours; /* from leaving home until all is covered or on the rack; busy times taken off */
    gboolean liked; /* an outing was planned on it: it stays where nothing is gained elsewhere */
    gboolean fixed; /* an outing that is kept: it goes to just the sites below */
    GArray *sites;  /* int; of a fixed day; NULL otherwise. Owned by the problem. */
    GArray *takes;  /* struct spl_outing_take, just these; NULL: amounts are free. Owned. */
};

struct spl_outing_site {
    char *name;
    double setup_hours; /* from the car to the first cut and back */
};

/* A shelf that fills: the rack, the jars. Material on it takes its room for `hold_days`. */
struct spl_outing_store {
    char *name;
    double capacity_g;
    int hold_days; /* 1: free again the next day */
};

struct spl_outing_material {
    char *name;
    double pick_g_per_h;    /* one person */
    double process_g_per_h; /* one person, at home the same day; INFINITY: no work */
    int store;              /* index, -1: needs none */
    int every_days;         /* days between two pickings of one stand; 0 or 1: any day */
};

#define SPL_OUTING_CLOSED 255 /* of a source's day: nobody may pick there then */

/* One material at one site in one window. */
struct spl_outing_source {
    int site, material;
    int stand;          /* sources with one number (0 .. sources-1) share one allowance */
    double allowance_g; /* still left, were no other part of the stand taken */
    gboolean caution;   /* under 100 plants */
    gboolean spoils;    /* what comes after the window is no good: leaves turn bitter, flowers go */
    struct spl_day earliest, likely_start, likely_end, latest; /* inclusive */
    struct spl_day
        barred_until; /* the last picking's interval runs until the day before; or unset */
    GArray *asks;     /* guint8 a day from earliest to latest: how many things must be asked about
                         first, or SPL_OUTING_CLOSED; NULL: clear on all. Owned by the problem. */
};

struct spl_outing_need {
    int material;
    double grams;      /* fresh as picked, the shelf's stock taken off */
    struct spl_day by; /* picked on this day at the latest; unset: any */
    char *what_for;    /* the planned batch */
    int batch;         /* needs with one number are one batch: complete only together */
};

struct spl_outing_problem {
    GArray *days;      /* struct spl_outing_day, ascending */
    GArray *sites;     /* struct spl_outing_site */
    GArray *stores;    /* struct spl_outing_store */
    GArray *materials; /* struct spl_outing_material */
    GArray *sources;   /* struct spl_outing_source */
    GArray *needs;     /* struct spl_outing_need */
    double *hours;     /* travel, (n_sites + 1)^2, row by row; the last row and column are home */
    double *km;        /* likewise */
    int pickers;       /* people who pick and work up, >= 1 */
    int most_sites;    /* in one outing, 1..6 */
    /* What a plan is weighed by, in hours; "a need" is a material's whole need. */
    double outing_hours;  /* starting an outing at all, beside its round */
    double edge_hours;    /* a need taken at the very edge of its window */
    double spoil_hours;   /* the same at the late edge where the part is spoilt afterwards */
    double ask_hours;     /* a need from ground about which one thing must be asked */
    double caution_hours; /* a need from a stand of under 100 plants */
    double open_hours;    /* a batch's need left open, as far as it is open */
    double batch_hours;   /* a batch that cannot be made whole */
    double enough_frac;   /* of a need, 0..1: short of less than this counts as covered */
    double floor_g;       /* a smaller amount is picked only where it makes a batch whole */
};
typedef struct spl_outing_problem spl_outing_problem; /* the name that g_autoptr needs */

/* An empty problem with the defaults: 1 picker, 4 sites; 2 h an outing, 1 h at the edge and 4 h
 * where it spoils, 0.5 h a thing to ask and a small stand, 6 h a need and 12 h a batch left open,
 * 3 % are not missed, nothing under 15 g is gone for. */
struct spl_outing_problem *spl_outing_problem_new(void);
/* Another one with the same figures. */
struct spl_outing_problem *spl_outing_problem_copy(const struct spl_outing_problem *problem);
void spl_outing_problem_free(struct spl_outing_problem *problem);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_outing_problem, spl_outing_problem_free)

/* Each appends one record and gives its index; texts are copied. */
int spl_outing_add_day(struct spl_outing_problem *problem, struct spl_day day, double hours);
int spl_outing_add_site(struct spl_outing_problem *problem, const char *name, double setup_hours);
int spl_outing_add_store(struct spl_outing_problem *problem, const char *name, double capacity_g,
                         int hold_days);
int spl_outing_add_material(struct spl_outing_problem *problem, const char *name,
                            double pick_g_per_h, double process_g_per_h);
/* `stand` is set to a number of its own; clear on every day of the window. */
int spl_outing_add_source(struct spl_outing_problem *problem, int site, int material,
                          double allowance_g, struct spl_day earliest, struct spl_day likely_start,
                          struct spl_day likely_end, struct spl_day latest);
/* `batch` is set to a number of its own. */
int spl_outing_add_need(struct spl_outing_problem *problem, int material, double grams,
                        struct spl_day by, const char *what_for);

/* Travel over the great circle: `lat`, `lon` of n_sites + 1 places (home last), roads `detour`
 * times as long, at `km_per_h`. After all sites are added. */
void spl_outing_set_travel(struct spl_outing_problem *problem, const double *lat, const double *lon,
                           double detour, double km_per_h);

/* A fixed day visits these sites; spl_outing_fix_take says how much of what is picked there
 * (without any, that is left open). */
void spl_outing_fix_day(struct spl_outing_problem *problem, int day, const int *sites, int n);
void spl_outing_fix_take(struct spl_outing_problem *problem, int day, int source, double grams);

/* What must be asked before picking on a day within the window: a count, or SPL_OUTING_CLOSED. */
void spl_outing_set_asks(struct spl_outing_problem *problem, int source, struct spl_day day,
                         guint asks);

/*
 * Whether the question makes sense, in words: no days, no sites, no needs, nothing borne, negative
 * hours, a fixed day whose round is longer than the day … SPL_ERROR_INVALID, what to change. Also
 * makes the travel matrices metric (no leg longer than a way round it). Every other function here
 * wants a checked problem.
 */
gboolean spl_outing_problem_check(struct spl_outing_problem *problem, GError **error);

#define SPL_OUTING_DAY(p, i) (&g_array_index((p)->days, struct spl_outing_day, (i)))
#define SPL_OUTING_SITE(p, i) (&g_array_index((p)->sites, struct spl_outing_site, (i)))
#define SPL_OUTING_STORE(p, i) (&g_array_index((p)->stores, struct spl_outing_store, (i)))
#define SPL_OUTING_MATERIAL(p, i) (&g_array_index((p)->materials, struct spl_outing_material, (i)))
#define SPL_OUTING_SOURCE(p, i) (&g_array_index((p)->sources, struct spl_outing_source, (i)))
#define SPL_OUTING_NEED(p, i) (&g_array_index((p)->needs, struct spl_outing_need, (i)))

/* The shortest round from home over these sites (at most 6) and back, with the work of arriving at
 * each; `order` (may be NULL) gets the sites in that order, `km` (may be NULL) its length. */
double spl_outing_round(const struct spl_outing_problem *problem, const int *sites, int n,
                        int *order, double *km);

/* Whether a source may be picked on a day of the problem. */
gboolean spl_outing_source_open(const struct spl_outing_problem *problem, int source, int day);

/* How many things must be asked about first; SPL_OUTING_CLOSED outside the window too. */
guint spl_outing_source_asks(const struct spl_outing_source *source, struct spl_day day);

/* 0 within the likely days, rising straight to 1 at the earliest and the latest day. */
double spl_outing_edge(const struct spl_outing_source *source, struct spl_day day);

/* What a take weighs beside its round, in hours a whole need: how far from the likely days it
 * lies, what must be asked, a small stand. */
struct spl_outing_weight {
    double edge, ask, caution;
};
struct spl_outing_weight spl_outing_weigh(const struct spl_outing_problem *problem, int source,
                                          struct spl_day day);
/* The three together. */
double spl_outing_take_hours(const struct spl_outing_problem *problem, int source, int day);

/* Grams of a material that are needed in all. */
double spl_outing_whole_need(const struct spl_outing_problem *problem, int material);

/* Hours of the day that one gram takes, with all pickers at it. */
double spl_outing_hours_per_g(const struct spl_outing_problem *problem, int material);

/* ---- the answer ---------------------------------------------------------------------------- */

struct spl_outing_take {
    int source;
    double grams;
};

/* Why an outing has no reserve day. */
enum spl_outing_lack {
    SPL_OUTING_LACK_NONE,   /* it has one */
    SPL_OUTING_LACK_WINDOW, /* within a fortnight no later day has all of it open, in time */
    SPL_OUTING_LACK_DAY,    /* none of those has the hours, or all are taken */
    SPL_OUTING_LACK_ROOM    /* on none of those would the racks hold it */
};

struct spl_outing {
    int day;     /* index */
    int reserve; /* index of the day to go instead, -1: none */
    enum spl_outing_lack lack;
    GArray *sites; /* int, in the order of the round */
    GArray *takes; /* struct spl_outing_take, in the order of the sites */
    double hours;  /* the whole day's work */
    double km;
};

/* The hours that a plan weighs, by what they are for. */
struct spl_outing_cost {
    double outings; /* setting out */
    double rounds;  /* on the road, and from the car to the first cut */
    double edges;   /* picked early or late in the windows */
    double asks;
    double cautions; /* small stands */
    double open;     /* needs and batches that stay open */
};

struct spl_outing_plan {
    GArray *outings; /* struct spl_outing, ascending by day */
    GArray *short_g; /* double, one for each need; 0: covered */
    struct spl_outing_cost parts;
    double cost; /* their sum; the model's measure */
};
typedef struct spl_outing_plan spl_outing_plan; /* the name that g_autoptr needs */

struct spl_outing_plan *spl_outing_plan_new(void);
struct spl_outing_plan *spl_outing_plan_copy(const struct spl_outing_plan *plan);
void spl_outing_plan_free(struct spl_outing_plan *plan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_outing_plan, spl_outing_plan_free)

/* Appends an outing with empty lists and gives it; the pointer holds until the next. */
struct spl_outing *spl_outing_plan_add(struct spl_outing_plan *plan, int day);

/* Sorts, drops empty takes and outings that are not fixed, orders the rounds, fills hours, km,
 * short_g and cost; no reserve days yet. */
void spl_outing_plan_reckon(const struct spl_outing_problem *problem, struct spl_outing_plan *plan);

/*
 * Names the reserve days of a reckoned plan, so that whichever outings are rained off, racks,
 * intervals and days of need still hold: the first free day from the next but one on, else the
 * next; among those one with no more to ask. Those with the fewest days to choose from choose
 * first.
 */
void spl_outing_plan_reserve(const struct spl_outing_problem *problem,
                             struct spl_outing_plan *plan);

/* Both. */
void spl_outing_plan_finish(const struct spl_outing_problem *problem, struct spl_outing_plan *plan);

/* Sum over the needs of short / needed grams. */
double spl_outing_plan_shortage(const struct spl_outing_problem *problem,
                                const struct spl_outing_plan *plan);

/* Whether a need is covered, or short of so little that it counts as covered. */
gboolean spl_outing_is_enough(const struct spl_outing_problem *problem, int need, double short_g);

#endif
