/* SPDX-License-Identifier: MIT
 *
 * The day to go instead when it rains. Whichever outings of a season are rained off, the others'
 * racks, picking intervals and days must still hold: each outing counts on both of its days.
 */
#include <math.h>

#include "core/outing_problem.h"

#define RESERVE_DAYS 14 /* a reserve later than this is another outing */
#define NEXT_DAYS 2     /* one wet spell takes the very next day too */

static const struct spl_outing *outing_at(const struct spl_outing_plan *plan, guint o)
{
    return &g_array_index(plan->outings, struct spl_outing, o);
}

static int date_of(const struct spl_outing_problem *problem, int day)
{
    return SPL_OUTING_DAY(problem, day)->day.n;
}

/* Whether all that the outing takes is open on `day`, in time for what it is for. */
static gboolean is_open(const struct spl_outing_problem *problem, const struct spl_outing *outing,
                        int day)
{
    for (guint t = 0; t < outing->takes->len; t++) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;

        if (!spl_outing_source_open(problem, source, day))
            return FALSE;
        for (guint n = 0; n < problem->needs->len; n++) {
            const struct spl_outing_need *need = SPL_OUTING_NEED(problem, n);

            /* Past a need's day the grams might be owed to it: do not argue, look further. */
            if (need->material == SPL_OUTING_SOURCE(problem, source)->material &&
                spl_day_is_set(need->by) && date_of(problem, day) > need->by.n &&
                date_of(problem, outing->day) <= need->by.n)
                return FALSE;
        }
    }
    return TRUE;
}

/* Whether another outing, on its day or its reserve, picks the same source less than its interval
 * from `day`. */
static gboolean too_soon(const struct spl_outing_problem *problem,
                         const struct spl_outing_plan *plan, guint which, int day)
{
    const struct spl_outing *outing = outing_at(plan, which);

    for (guint t = 0; t < outing->takes->len; t++) {
        int source = g_array_index(outing->takes, struct spl_outing_take, t).source;
        int every =
            SPL_OUTING_MATERIAL(problem, SPL_OUTING_SOURCE(problem, source)->material)->every_days;

        for (guint o = 0; every > 1 && o < plan->outings->len; o++) {
            const struct spl_outing *other = outing_at(plan, o);

            for (guint u = 0; o != which && u < other->takes->len; u++) {
                if (g_array_index(other->takes, struct spl_outing_take, u).source != source)
                    continue;
                if (ABS(date_of(problem, other->day) - date_of(problem, day)) < every ||
                    (other->reserve >= 0 &&
                     ABS(date_of(problem, other->reserve) - date_of(problem, day)) < every))
                    return TRUE;
            }
        }
    }
    return FALSE;
}

static double load_of(const struct spl_outing_problem *problem, const struct spl_outing *outing,
                      int store)
{
    double grams = 0;

    for (guint t = 0; t < outing->takes->len; t++) {
        const struct spl_outing_take *take =
            &g_array_index(outing->takes, struct spl_outing_take, t);
        int material = SPL_OUTING_SOURCE(problem, take->source)->material;

        if (SPL_OUTING_MATERIAL(problem, material)->store == store)
            grams += take->grams;
    }
    return grams;
}

/* Whether what came in on `from` still lies there on the day number `on`. */
static gboolean lies(const struct spl_outing_problem *problem, int from, int hold_days, int on)
{
    return from >= 0 && date_of(problem, from) <= on && date_of(problem, from) > on - hold_days;
}

/* Whether the racks hold it however many of the outings go on their reserve days. */
static gboolean has_room(const struct spl_outing_problem *problem,
                         const struct spl_outing_plan *plan, guint which, int day)
{
    for (guint s = 0; s < problem->stores->len; s++) {
        const struct spl_outing_store *store = SPL_OUTING_STORE(problem, s);
        double own = load_of(problem, outing_at(plan, which), (int)s);

        for (int on = date_of(problem, day);
             own > 0 && on < date_of(problem, day) + store->hold_days; on++) {
            double held = own;

            for (guint o = 0; o < plan->outings->len; o++) {
                const struct spl_outing *other = outing_at(plan, o);

                if (o != which && (lies(problem, other->day, store->hold_days, on) ||
                                   lies(problem, other->reserve, store->hold_days, on)))
                    held += load_of(problem, other, (int)s);
            }
            if (held > store->capacity_g + 1e-6)
                return FALSE;
        }
    }
    return TRUE;
}

struct choice {
    const struct spl_outing_problem *problem;
    struct spl_outing_plan *plan;
    gboolean *taken; /* [day] */
};

static gboolean is_free(const struct choice *c, const struct spl_outing *outing, int day)
{
    const struct spl_outing_day *record = SPL_OUTING_DAY(c->problem, day);

    return !c->taken[day] && !record->fixed && record->hours >= outing->hours - 1e-6;
}

/* The last day of the problem that may be a reserve of `outing`, plus one. */
static int reach_of(const struct choice *c, const struct spl_outing *outing)
{
    int day = outing->day + 1;

    while (day < (int)c->problem->days->len &&
           date_of(c->problem, day) <= date_of(c->problem, outing->day) + RESERVE_DAYS)
        day++;
    return day;
}

static int count_days(const struct choice *c, const struct spl_outing *outing)
{
    int n = 0;

    for (int d = outing->day + 1; d < reach_of(c, outing); d++)
        n += is_free(c, outing, d) && is_open(c->problem, outing, d);
    return n;
}

/* Whether more must be asked there on `day` than on the outing's own. */
static gboolean asks_more(const struct choice *c, const struct spl_outing *outing, int day)
{
    for (guint t = 0; t < outing->takes->len; t++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(
            c->problem, g_array_index(outing->takes, struct spl_outing_take, t).source);

        if (spl_outing_source_asks(source, SPL_OUTING_DAY(c->problem, day)->day) >
            spl_outing_source_asks(source, SPL_OUTING_DAY(c->problem, outing->day)->day))
            return TRUE;
    }
    return FALSE;
}

/* How much speaks against a day that would do: the very next one, one with more to ask. */
static int against(const struct choice *c, const struct spl_outing *outing, int day)
{
    return 2 * (date_of(c->problem, day) < date_of(c->problem, outing->day) + NEXT_DAYS) +
           asks_more(c, outing, day);
}

static void choose(struct choice *c, guint which)
{
    struct spl_outing *outing = &g_array_index(c->plan->outings, struct spl_outing, which);
    int next = -1;

    outing->lack = SPL_OUTING_LACK_WINDOW;
    for (int d = outing->day + 1; d < reach_of(c, outing); d++) {
        if (!is_open(c->problem, outing, d))
            continue;
        outing->lack = MAX(outing->lack, SPL_OUTING_LACK_DAY);
        if (!is_free(c, outing, d))
            continue;
        if (too_soon(c->problem, c->plan, which, d))
            continue;
        if (!has_room(c->problem, c->plan, which, d)) {
            outing->lack = SPL_OUTING_LACK_ROOM;
            continue;
        }
        if (next < 0 || against(c, outing, d) < against(c, outing, next))
            next = d;
    }
    outing->reserve = next;
    if (next < 0)
        return;
    outing->lack = SPL_OUTING_LACK_NONE;
    c->taken[next] = TRUE;
}

void spl_outing_plan_reserve(const struct spl_outing_problem *problem, struct spl_outing_plan *plan)
{
    g_autofree gboolean *taken = g_new0(gboolean, problem->days->len + 1);
    g_autofree gboolean *done = g_new0(gboolean, plan->outings->len + 1);
    struct choice c = {problem, plan, taken};

    for (guint o = 0; o < plan->outings->len; o++) {
        struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        taken[outing->day] = TRUE;
        outing->reserve = -1;
        outing->lack = SPL_OUTING_LACK_NONE;
        done[o] = outing->takes->len == 0;
    }
    for (guint turn = 0; turn < plan->outings->len; turn++) {
        int best = -1, fewest = 0;

        for (guint o = 0; o < plan->outings->len; o++) {
            int n = done[o] ? 0 : count_days(&c, outing_at(plan, o));

            if (!done[o] && (best < 0 || n < fewest)) {
                best = (int)o;
                fewest = n;
            }
        }
        if (best < 0)
            return;
        done[best] = TRUE;
        choose(&c, (guint)best);
    }
}
