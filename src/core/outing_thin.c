/* SPDX-License-Identifier: MIT
 *
 * Which days to offer. See core/outing_thin.h.
 */
#include "core/outing_thin.h"

#include <math.h>

#define COPIES 3 /* days that do better, before one is left out: so many outings may want them */
#define TIE 1e-9

struct days {
    const struct spl_outing_problem *problem;
    int n, n_sources;
    double *hours; /* [source * n + day]: what a take weighs, INFINITY: not open */
};

/* Whether a need of the material ends on `day` or later, but before `other`. */
static gboolean is_due_between(const struct spl_outing_problem *problem, int material, int day,
                               int other)
{
    for (int n = 0; n < (int)problem->needs->len; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);

        if (need->material == material && spl_day_is_set(need->by) &&
            need->by.n >= SPL_OUTING_DAY(problem, day)->day.n &&
            need->by.n < SPL_OUTING_DAY(problem, other)->day.n)
            return TRUE;
    }
    return FALSE;
}

/* Whether all that can be done on `day` can be done on `other` as well, in as much time. */
static gboolean does_as_well(const struct days *s, int other, int day)
{
    if (SPL_OUTING_DAY(s->problem, other)->fixed ||
        SPL_OUTING_DAY(s->problem, other)->hours < SPL_OUTING_DAY(s->problem, day)->hours - TIE)
        return FALSE;
    for (int i = 0; i < s->n_sources; i++) {
        if (isinf(s->hours[i * s->n + day]))
            continue;
        if (s->hours[i * s->n + other] > s->hours[i * s->n + day] + TIE ||
            is_due_between(s->problem, SPL_OUTING_SOURCE(s->problem, i)->material, day, other))
            return FALSE;
    }
    return TRUE;
}

void spl_outing_thin(const struct spl_outing_problem *problem, enum spl_outing_freedom *days)
{
    struct days s = {problem, (int)problem->days->len, (int)problem->sources->len, NULL};

    s.hours = g_new(double, (gsize)s.n *(gsize)s.n_sources);
    for (int i = 0; i < s.n_sources; i++) {
        for (int d = 0; d < s.n; d++)
            s.hours[i * s.n + d] = spl_outing_source_open(problem, i, d)
                                       ? spl_outing_take_hours(problem, i, d)
                                       : INFINITY;
    }
    for (int d = 0; d < s.n; d++) {
        int better = 0;

        for (int other = 0; other < s.n && better < COPIES; other++) {
            if (other != d && does_as_well(&s, other, d) &&
                (other < d || !does_as_well(&s, d, other)))
                better++;
        }
        days[d] = better < COPIES || SPL_OUTING_DAY(problem, d)->liked ? SPL_OUTING_FREE
                                                                       : SPL_OUTING_KEPT;
    }
    g_free(s.hours);
}
