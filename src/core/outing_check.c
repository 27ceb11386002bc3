/* SPDX-License-Identifier: MIT
 *
 * The checker: plain loops over the problem's arrays, nothing called of the planner.
 */
#include "core/outing_check.h"

#include <math.h>

#define GRAM 0.5    /* g of slack in sums */
#define MINUTE 0.02 /* h of slack in a day */

struct check {
    const struct spl_outing_problem *p;
    const struct spl_outing_plan *plan;
    GPtrArray *wrong;
};

static void complain(struct check *c, const char *format, ...) G_GNUC_PRINTF(2, 3);
static void complain(struct check *c, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    g_ptr_array_add(c->wrong, g_strdup_vprintf(format, list));
    va_end(list);
}

static const struct spl_outing *outing_at(const struct check *c, guint o)
{
    return &g_array_index(c->plan->outings, struct spl_outing, o);
}

static const char *date(const struct check *c, int day, char text[SPL_DAY_TEXT_SIZE])
{
    return spl_day_format(SPL_OUTING_DAY(c->p, day)->day, text);
}

static gboolean indices_hold(struct check *c)
{
    for (guint o = 0; o < c->plan->outings->len; o++) {
        const struct spl_outing *outing = outing_at(c, o);

        if (outing->day < 0 || outing->day >= (int)c->p->days->len || outing->reserve < -1 ||
            outing->reserve >= (int)c->p->days->len) {
            complain(c, "outing %u is on no day of the problem", o + 1);
            return FALSE;
        }
        for (guint k = 0; k < outing->sites->len; k++) {
            int site = g_array_index(outing->sites, int, k);

            if (site < 0 || site >= (int)c->p->sites->len) {
                complain(c, "outing %u visits no known site", o + 1);
                return FALSE;
            }
        }
        for (guint t = 0; t < outing->takes->len; t++) {
            const struct spl_outing_take *take =
                &g_array_index(outing->takes, struct spl_outing_take, t);

            if (take->source < 0 || take->source >= (int)c->p->sources->len ||
                !(take->grams >= 0) || !isfinite(take->grams)) {
                complain(c, "outing %u takes what no stand bears, or an impossible amount", o + 1);
                return FALSE;
            }
        }
    }
    if (c->plan->short_g->len != c->p->needs->len) {
        complain(c, "the plan says nothing of some needs");
        return FALSE;
    }
    return TRUE;
}

static gboolean goes_to(const struct spl_outing *outing, int site)
{
    for (guint k = 0; k < outing->sites->len; k++) {
        if (g_array_index(outing->sites, int, k) == site)
            return TRUE;
    }
    return FALSE;
}

static double taken(const GArray *takes, int source)
{
    double grams = 0;

    for (guint t = 0; t < takes->len; t++) {
        if (g_array_index(takes, struct spl_outing_take, t).source == source)
            grams += g_array_index(takes, struct spl_outing_take, t).grams;
    }
    return grams;
}

/* Days: ascending, once each, reserve days free and later; fixed days as fixed. */
static void check_days(struct check *c)
{
    char text[SPL_DAY_TEXT_SIZE];

    for (guint o = 0; o < c->plan->outings->len; o++) {
        const struct spl_outing *outing = outing_at(c, o);

        if (o > 0 && outing->day <= outing_at(c, o - 1)->day)
            complain(c, "%s has two outings or is out of order", date(c, outing->day, text));
        if ((int)outing->sites->len > c->p->most_sites)
            complain(c, "%s visits %u sites", date(c, outing->day, text), outing->sites->len);
        if (outing->reserve < 0)
            continue;
        if (outing->reserve <= outing->day)
            complain(c, "%s has a reserve day before it", date(c, outing->day, text));
        for (guint q = 0; q < c->plan->outings->len; q++) {
            if (outing_at(c, q)->day == outing->reserve ||
                (q != o && outing_at(c, q)->reserve == outing->reserve))
                complain(c, "the reserve day %s is used twice", date(c, outing->reserve, text));
        }
    }
    for (guint d = 0; d < c->p->days->len; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(c->p, d);
        const struct spl_outing *found = NULL;

        if (!day->fixed)
            continue;
        for (guint o = 0; o < c->plan->outings->len; o++) {
            if (outing_at(c, o)->day == (int)d)
                found = outing_at(c, o);
        }
        if (found == NULL || found->sites->len != day->sites->len) {
            complain(c, "the kept outing on %s is gone or changed", date(c, (int)d, text));
            continue;
        }
        for (guint k = 0; k < day->sites->len; k++) {
            if (!goes_to(found, g_array_index(day->sites, int, k)))
                complain(c, "the kept outing on %s lacks a site", date(c, (int)d, text));
        }
        for (guint k = 0; day->takes != NULL && k < c->p->sources->len; k++) {
            double wanted = taken(day->takes, (int)k), got = taken(found->takes, (int)k);

            if (fabs(wanted - got) > GRAM)
                complain(c, "the kept outing on %s takes %.0f g of %.0f", date(c, (int)d, text),
                         got, wanted);
        }
    }
}

/* Windows, and no take without a visit; also on the reserve day. */
static void check_takes(struct check *c)
{
    char text[SPL_DAY_TEXT_SIZE];

    for (guint o = 0; o < c->plan->outings->len; o++) {
        const struct spl_outing *outing = outing_at(c, o);

        for (guint t = 0; t < outing->takes->len; t++) {
            const struct spl_outing_take *take =
                &g_array_index(outing->takes, struct spl_outing_take, t);
            const struct spl_outing_source *source = SPL_OUTING_SOURCE(c->p, take->source);
            const char *material = SPL_OUTING_MATERIAL(c->p, source->material)->name;
            const char *site = SPL_OUTING_SITE(c->p, source->site)->name;

            if (!goes_to(outing, source->site))
                complain(c, "%s takes %s at %s without going there", date(c, outing->day, text),
                         material, site);
            for (int which = 0; which < 2; which++) {
                int d = which == 0 ? outing->day : outing->reserve;
                int n = d < 0 ? 0 : SPL_OUTING_DAY(c->p, d)->day.n;

                if (d >= 0 && source->asks != NULL && n >= source->earliest.n &&
                    n <= source->latest.n &&
                    g_array_index(source->asks, guint8, n - source->earliest.n) ==
                        SPL_OUTING_CLOSED)
                    complain(c, "%s at %s is shut on %s", material, site, date(c, d, text));
                if (d >= 0 &&
                    (n < source->earliest.n || n > source->latest.n ||
                     (spl_day_is_set(source->barred_until) && n < source->barred_until.n)))
                    complain(c, "%s is outside the window of %s at %s", date(c, d, text), material,
                             site);
            }
        }
    }
}

/* The shortest order by trying each next site in turn: the round may not be longer than this. */
static double shortest(const struct check *c, const GArray *sites, guint64 left, int at)
{
    guint width = c->p->sites->len + 1;
    double best = INFINITY;

    if (left == 0)
        return c->p->hours[(guint)at * width + width - 1];
    for (guint k = 0; k < sites->len; k++) {
        int next = g_array_index(sites, int, k);

        if ((left >> k) & 1)
            best = MIN(best, c->p->hours[(guint)at * width + (guint)next] +
                                 SPL_OUTING_SITE(c->p, next)->setup_hours +
                                 shortest(c, sites, left & ~((guint64)1 << k), next));
    }
    return best;
}

static double work_hours(const struct check *c, const struct spl_outing *outing)
{
    double hours = 0;

    for (guint t = 0; t < outing->takes->len; t++) {
        const struct spl_outing_take *take =
            &g_array_index(outing->takes, struct spl_outing_take, t);
        const struct spl_outing_material *material =
            SPL_OUTING_MATERIAL(c->p, SPL_OUTING_SOURCE(c->p, take->source)->material);

        hours += take->grams / material->pick_g_per_h / c->p->pickers;
        if (isfinite(material->process_g_per_h))
            hours += take->grams / material->process_g_per_h / c->p->pickers;
    }
    return hours;
}

static void check_hours(struct check *c)
{
    char text[SPL_DAY_TEXT_SIZE];

    for (guint o = 0; o < c->plan->outings->len; o++) {
        const struct spl_outing *outing = outing_at(c, o);
        double round = 0, hours;

        if (outing->sites->len > 0 && outing->sites->len <= 6)
            round = shortest(c, outing->sites, ((guint64)1 << outing->sites->len) - 1,
                             (int)c->p->sites->len);
        hours = round + work_hours(c, outing);
        if (hours > SPL_OUTING_DAY(c->p, outing->day)->hours + MINUTE)
            complain(c, "%s takes %.2f h of %.2f", date(c, outing->day, text), hours,
                     SPL_OUTING_DAY(c->p, outing->day)->hours);
        if (outing->reserve >= 0 && hours > SPL_OUTING_DAY(c->p, outing->reserve)->hours + MINUTE)
            complain(c, "the reserve day %s is too short", date(c, outing->reserve, text));
        if (fabs(hours - outing->hours) > MINUTE)
            complain(c, "%s is said to take %.2f h but takes %.2f", date(c, outing->day, text),
                     outing->hours, hours);
    }
}

static void check_stands(struct check *c)
{
    for (guint i = 0; i < c->p->sources->len; i++) {
        int stand = SPL_OUTING_SOURCE(c->p, i)->stand;
        double used = 0, grams = 0;

        for (guint o = 0; o < c->plan->outings->len; o++) {
            const struct spl_outing *outing = outing_at(c, o);

            for (guint t = 0; t < outing->takes->len; t++) {
                const struct spl_outing_take *take =
                    &g_array_index(outing->takes, struct spl_outing_take, t);
                const struct spl_outing_source *source = SPL_OUTING_SOURCE(c->p, take->source);

                if (source->stand != stand)
                    continue;
                if (source->allowance_g <= 0) {
                    complain(c, "%s may not be taken at %s",
                             SPL_OUTING_MATERIAL(c->p, source->material)->name,
                             SPL_OUTING_SITE(c->p, source->site)->name);
                    continue;
                }
                used += take->grams / source->allowance_g;
                grams += take->grams;
            }
        }
        if (used > 1 && grams * (used - 1) / used > GRAM)
            complain(c, "the stand of %s at %s gives %.3f of what it can spare",
                     SPL_OUTING_MATERIAL(c->p, SPL_OUTING_SOURCE(c->p, i)->material)->name,
                     SPL_OUTING_SITE(c->p, SPL_OUTING_SOURCE(c->p, i)->site)->name, used);
    }
}

/* Any two pickings of a stand lie at least the interval apart. */
static void check_intervals(struct check *c)
{
    for (guint o = 0; o < c->plan->outings->len; o++) {
        const struct spl_outing *a = outing_at(c, o);

        for (guint t = 0; t < a->takes->len; t++) {
            int source = g_array_index(a->takes, struct spl_outing_take, t).source;
            const struct spl_outing_material *material =
                SPL_OUTING_MATERIAL(c->p, SPL_OUTING_SOURCE(c->p, source)->material);

            for (guint q = 0; q < c->plan->outings->len; q++) {
                const struct spl_outing *b = outing_at(c, q);

                for (guint u = 0; q != o && u < b->takes->len; u++) {
                    int there = SPL_OUTING_DAY(c->p, b->day)->day.n;
                    int here = SPL_OUTING_DAY(c->p, a->day)->day.n;

                    if (g_array_index(b->takes, struct spl_outing_take, u).source != source)
                        continue;
                    if (ABS(here - there) < material->every_days)
                        complain(c, "%s is picked at one stand twice in %d days", material->name,
                                 material->every_days);
                    if (a->reserve >= 0 &&
                        ABS(SPL_OUTING_DAY(c->p, a->reserve)->day.n - there) < material->every_days)
                        complain(c, "the reserve day of %s comes too soon", material->name);
                }
            }
        }
    }
}

/* Whether an outing of this day (-1: none) may have something on the rack `on` a day. */
static gboolean on_rack(const struct check *c, int day, int hold_days, int on)
{
    int from = day < 0 ? 0 : SPL_OUTING_DAY(c->p, day)->day.n;

    return day >= 0 && from <= on && on < from + hold_days;
}

/* On no day more than the racks hold, whichever outings go on their reserve days. */
static void check_stores(struct check *c)
{
    for (guint s = 0; s < c->p->stores->len; s++) {
        const struct spl_outing_store *store = SPL_OUTING_STORE(c->p, s);

        for (guint d = 0; d < 2 * c->plan->outings->len; d++) {
            const struct spl_outing *at = outing_at(c, d / 2);
            int on = d % 2 == 0 ? at->day : at->reserve;
            double held = 0;

            for (guint q = 0; on >= 0 && q < c->plan->outings->len; q++) {
                const struct spl_outing *outing = outing_at(c, q);
                int today = SPL_OUTING_DAY(c->p, on)->day.n;

                if (!on_rack(c, outing->day, store->hold_days, today) &&
                    !on_rack(c, outing->reserve, store->hold_days, today))
                    continue;
                for (guint t = 0; t < outing->takes->len; t++) {
                    const struct spl_outing_take *take =
                        &g_array_index(outing->takes, struct spl_outing_take, t);
                    int m = SPL_OUTING_SOURCE(c->p, take->source)->material;

                    if (SPL_OUTING_MATERIAL(c->p, m)->store == (int)s)
                        held += take->grams;
                }
            }
            if (held > store->capacity_g + GRAM)
                complain(c, "%s holds %.0f g of %.0f", store->name, held, store->capacity_g);
        }
    }
}

/* What is said to be covered is: for each material and each day that something is due, the takes up
 * to then are at least what is due by then less what is said to be short. */
static void check_needs(struct check *c)
{
    for (guint n = 0; n < c->p->needs->len; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(c->p, n);
        double due = 0, had = 0;

        for (guint k = 0; k < c->p->needs->len; k++) {
            const struct spl_outing_need *other = SPL_OUTING_NEED(c->p, k);
            double missing = g_array_index(c->plan->short_g, double, k);

            if (!(missing >= 0) || missing > other->grams + GRAM)
                complain(c, "a shortage of %g g is impossible", missing);
            if (other->material == need->material && spl_day_compare(other->by, need->by) <= 0)
                due += other->grams - missing;
        }
        for (guint o = 0; o < c->plan->outings->len; o++) {
            const struct spl_outing *outing = outing_at(c, o);

            for (guint t = 0; t < outing->takes->len; t++) {
                const struct spl_outing_take *take =
                    &g_array_index(outing->takes, struct spl_outing_take, t);

                if (SPL_OUTING_SOURCE(c->p, take->source)->material == need->material &&
                    (!spl_day_is_set(need->by) ||
                     SPL_OUTING_DAY(c->p, outing->day)->day.n <= need->by.n))
                    had += take->grams;
            }
        }
        if (had < due - 2 * GRAM)
            complain(c, "%s is said to be covered by %.0f g, but %.0f g are taken",
                     SPL_OUTING_MATERIAL(c->p, need->material)->name, due, had);
    }
}

GPtrArray *spl_outing_check(const struct spl_outing_problem *problem,
                            const struct spl_outing_plan *plan)
{
    struct check c = {problem, plan, g_ptr_array_new_with_free_func(g_free)};

    if (indices_hold(&c)) {
        check_days(&c);
        check_takes(&c);
        check_hours(&c);
        check_stands(&c);
        check_intervals(&c);
        check_stores(&c);
        check_needs(&c);
    }
    return c.wrong;
}
