/* SPDX-License-Identifier: MIT
 *
 * Today on one screen: what is stopped, today's outing, whom to ask by when, weights that are
 * missing, steps due, what can be gathered where, what runs short or out of date.
 */
#ifndef SIMPLING_TODAY_H
#define SIMPLING_TODAY_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/plan.h"
#include "simpling/question.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

#define SPL_TODAY_AHEAD_DAYS 7    /* steps due within a week */
#define SPL_TODAY_OPENING_DAYS 14 /* windows that may begin within two */
#define SPL_TODAY_EXPIRING_DAYS 30
#define SPL_TODAY_NEW_DAYS 60 /* a place is new, and asked about though nothing is known of it */

/* Ground that is closed though something on it is ready, and bottles that may not go out. */
struct spl_today_stop {
    char *what; /* a site's name, a lot's code, or what part of this cannot be told */
    enum spl_stop_state state;
    char *why;
    char *touches;   /* materials, or how much is left; NULL */
    GArray *because; /* struct spl_cause: all that stand behind it; NULL: it is damaged */
};
extern const struct spl_shape spl_today_stop_shape;

struct spl_today_due {
    char *code;
    char *step;
    struct spl_day due;
    char *what;  /* preparation and materials */
    char *words; /* what to do */
};
extern const struct spl_shape spl_today_due_shape;

struct spl_today_opening {
    char *site, *material, *use;
    struct spl_day earliest, likely_start, likely_end;
    enum spl_basis basis;
    enum spl_verdict verdict; /* of today: clear or ask; closed ground is among the stops */
    GArray *reasons;          /* struct spl_reason: of that verdict */
};
extern const struct spl_shape spl_today_opening_shape;

struct spl_today_ask {
    char *site;
    char *why;       /* every reason, worst first, in words */
    GArray *reasons; /* struct spl_reason */
};
extern const struct spl_shape spl_today_ask_shape;

struct spl_today_short {
    char *material;
    double need_g, short_g;
    char *why, *cure;
};
extern const struct spl_shape spl_today_short_shape;

struct spl_today_expiring {
    char *code;
    char *what;
    struct spl_day use_by;
    double left_ml, left_g;
};
extern const struct spl_shape spl_today_expiring_shape;

struct spl_today_missing { /* a harvest that was not weighed yet */
    char *code, *site, *material;
    struct spl_day date;
    int bags; /* how many … */
    char *in; /* … "bags", "handfuls" */
};
extern const struct spl_shape spl_today_missing_shape;

/* A medicine that runs out, and what to press for it. */
struct spl_today_press {
    char *medicine;         /* "Nettle leaf tincture" */
    struct spl_day used_up; /* at its rate of the last three months */
    char *jars;             /* codes of what stands ready: of a mixture one of each herb */
};
extern const struct spl_shape spl_today_press_shape;

struct spl_today {
    struct spl_day date;
    char *to_answer; /* how many questions are open beside the stops; NULL: none */
    GArray *stops;   /* struct spl_today_stop */
    GArray *outing;  /* struct spl_plan_stop: where today's kept outing goes, in its order */
    GArray *calls;   /* struct spl_plan_call: of the kept plan, and about places where something is
                        ready or that are new; by day */
    GArray *missing_weights; /* struct spl_today_missing */
    GArray *due;             /* struct spl_today_due, overdue ones first */
    GArray *to_press;        /* struct spl_today_press */
    GArray *gather;    /* struct spl_today_opening of known stands: what can be gathered where,
                          never closed ground; soonest over first */
    GArray *opening;   /* the same of what soon can be */
    GArray *questions; /* struct spl_question: all that are open, the stops too */
    GArray *ask;       /* struct spl_today_ask: the places that the calls are about */
    GArray *shortage;  /* struct spl_today_short */
    GArray *expiring;  /* struct spl_today_expiring */
};
extern const struct spl_shape spl_today_shape;

gboolean spl_today(struct spl_house *house, struct spl_today *today, GError **error);

#endif
