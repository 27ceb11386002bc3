/* SPDX-License-Identifier: MIT
 *
 * The steps of a batch with real dates, from the step rules of the tables and what was done
 * already.
 */
#ifndef SPL_CORE_STEPS_H
#define SPL_CORE_STEPS_H

#include <glib.h>

#include "core/tables.h"
#include "simpling/day.h"
#include "simpling/row.h"

/* One step of a batch. A repeated step (shake) is one record, whose `due` is the next time. */
struct spl_step_due {
    int step;                /* enum spl_step */
    char *name;              /* "top-up" */
    struct spl_day earliest; /* of this time */
    struct spl_day due;      /* usual day; a repeated step: the next time not yet done */
    struct spl_day latest;
    struct spl_day done; /* last done, unset if never */
    int repeat_days;     /* 0: once */
    struct spl_day last; /* of a repeated step: no more of it after this day */
    gboolean alarm;
    gboolean open; /* still to be done */
    char *words;
};
extern const struct spl_shape spl_step_due_shape;

/* What was done. */
struct spl_step_done {
    int step; /* enum spl_step */
    struct spl_day on;
};

/* The days that a batch's steps hang on. */
struct spl_steps_ask {
    struct spl_day started;
    struct spl_day last_herb; /* herb added last; unset: at the start. Straining waits for it. */
    struct spl_day
        pressed;           /* unset: still stands; afterwards only decanting and use-by stay open */
    struct spl_day use_by; /* by the keeping rules, unset: the step rule's own days, if any */
};

/*
 * The schedule, in order of due day: a GArray of struct spl_step_due, never NULL, freed with
 * g_array_unref. `rules` holds const struct spl_step_rule * (spl_tables_steps); `done` (struct
 * spl_step_done, any order, may be NULL) are the steps done so far.
 *
 * Top-up, shake, look, decant and turn count from the start; ready and strain from the herb added
 * last. A repeated step ends on the day before straining is due. A step done once stays done, even
 * when herb was added later.
 */
GArray *spl_steps_schedule(const GPtrArray *rules, const struct spl_steps_ask *ask,
                           const GArray *done);

/*
 * Every day on which a step falls due in from..to, a repeated one with all its times: GArray of
 * struct spl_step_done. For calendars and for "what is due today".
 */
GArray *spl_steps_days(const GArray *schedule, struct spl_day from, struct spl_day to);

#endif
