/* SPDX-License-Identifier: MIT
 *
 * Words beside a plan. See season/plan_why.h.
 */
#include "season/plan_why.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "season/check_private.h"

#define FAR_OFF 0.5 /* of the way from the likely days to the edge: worth a word */
#define LITTLE 0.1  /* of a need: an amount that asks for its reason */
#define HARDLY_KM 0.5

static const struct spl_plan_source *from_of(const struct spl_plan_quest *o, int source)
{
    return &g_array_index(o->sources, struct spl_plan_source,
                          g_array_index(o->source_of, guint, source));
}

static const struct spl_outing *outing_at(const struct spl_outing_plan *plan, guint i)
{
    return &g_array_index(plan->outings, struct spl_outing, i);
}

static const struct spl_outing_take *take_at(const struct spl_outing *outing, guint t)
{
    return &g_array_index(outing->takes, struct spl_outing_take, t);
}

static double km_of(const struct spl_outing_plan *plan)
{
    double km = 0;

    for (guint i = 0; i < plan->outings->len; i++)
        km += outing_at(plan, i)->km;
    return km;
}

static const char *site_name(const struct spl_plan_quest *o, int source)
{
    return SPL_OUTING_SITE(o->problem, SPL_OUTING_SOURCE(o->problem, source)->site)->name;
}

/* ---- why this place ------------------------------------------------------------------------ */

/* The plan with one take from another source instead, whether or not it keeps the rules. */
static struct spl_outing_plan *instead(const struct spl_plan_quest *o,
                                       const struct spl_outing_plan *plan, guint i, guint t,
                                       int source)
{
    struct spl_outing_plan *trial = spl_outing_plan_copy(plan);
    struct spl_outing *outing = &g_array_index(trial->outings, struct spl_outing, i);
    int site = SPL_OUTING_SOURCE(o->problem, source)->site;
    gboolean there = FALSE;

    for (guint s = 0; s < outing->sites->len; s++)
        there |= g_array_index(outing->sites, int, s) == site;
    if (!there && (int)outing->sites->len < o->problem->most_sites)
        g_array_append_val(outing->sites, site);
    g_array_index(outing->takes, struct spl_outing_take, t).source = source;
    spl_outing_plan_reckon(o->problem, trial);
    return trial;
}

/* How many things speak against picking there on that day. */
static guint doubts(const struct spl_plan_quest *o, int source, struct spl_day day)
{
    return spl_outing_source_asks(SPL_OUTING_SOURCE(o->problem, source), day) +
           (from_of(o, source)->small != NULL);
}

static char *standing(const struct spl_plan_quest *o, int source, struct spl_day day)
{
    const struct spl_plan_source *from = from_of(o, source);
    GString *text =
        g_string_new(spl_outing_source_asks(SPL_OUTING_SOURCE(o->problem, source), day) == 0
                         ? "clear"
                         : "fewer things to ask");

    if (from->plants >= 0)
        g_string_append_printf(text, ", %d plants", from->plants);
    return g_string_free(text, FALSE);
}

/* Why a take comes from ground that asks or a small stand, though another has it that day; NULL:
 * nothing speaks for another. */
static char *why_here(const struct spl_plan_quest *o, const struct spl_outing_plan *plan, guint i,
                      guint t)
{
    const struct spl_outing *outing = outing_at(plan, i);
    const struct spl_outing_take *take = take_at(outing, t);
    const struct spl_outing_source *here = SPL_OUTING_SOURCE(o->problem, take->source);
    struct spl_day day = SPL_OUTING_DAY(o->problem, outing->day)->day;
    double best_cost = INFINITY, best_km = 0;
    guint own = doubts(o, take->source, day);
    int best = -1, little = -1;
    g_autofree char *words = NULL;

    for (int k = 0; k < (int)o->problem->sources->len; k++) {
        const struct spl_outing_source *other = SPL_OUTING_SOURCE(o->problem, k);
        struct spl_outing_plan *trial;
        g_autoptr(GPtrArray) wrong = NULL;

        if (other->material != here->material || other->site == here->site ||
            !spl_outing_source_open(o->problem, k, outing->day) || doubts(o, k, day) >= own)
            continue;
        trial = instead(o, plan, i, t, k);
        wrong = spl_outing_check(o->problem, trial);
        if (wrong->len > 0) {
            little = k;
        } else if (trial->cost < best_cost) {
            best_cost = trial->cost;
            best_km = km_of(trial) - km_of(plan);
            best = k;
        }
        spl_outing_plan_free(trial);
    }
    if (best >= 0) {
        g_autofree char *more = spl_distance_format(ceil(best_km));

        words = standing(o, best, day);
        if (best_km < HARDLY_KM)
            return g_strdup_printf("%s (%s) has it too then and is hardly farther",
                                   site_name(o, best), words);
        return g_strdup_printf("%s (%s) has it too then, but that is %s more", site_name(o, best),
                               words, more);
    }
    if (little >= 0) {
        words = standing(o, little, day);
        return g_strdup_printf("%s (%s) has it too then, but not enough of it, or the day does "
                               "not suffice",
                               site_name(o, little), words);
    }
    if (from_of(o, take->source)->small != NULL)
        return g_strdup("no larger stand has it then");
    return NULL;
}

/* ---- why this day, this little ------------------------------------------------------------- */

/* Batches that are whole with the take and not without. */
static char *made_whole(const struct spl_plan_quest *o, const struct spl_outing_plan *plan, guint i,
                        guint t)
{
    struct spl_outing_plan *trial = spl_outing_plan_copy(plan);
    char *name = NULL;

    g_array_index(g_array_index(trial->outings, struct spl_outing, i).takes, struct spl_outing_take,
                  t)
        .grams = 0;
    spl_outing_plan_reckon(o->problem, trial);
    for (int n = 0; n < (int)o->problem->needs->len && name == NULL; n++) {
        if (spl_outing_is_enough(o->problem, n, g_array_index(plan->short_g, double, n)) &&
            !spl_outing_is_enough(o->problem, n, g_array_index(trial->short_g, double, n)))
            name = g_strdup(SPL_OUTING_NEED(o->problem, n)->what_for);
    }
    spl_outing_plan_free(trial);
    return name;
}

static char *note_of(const struct spl_plan_quest *o, const struct spl_outing_plan *plan, guint i,
                     guint t)
{
    const struct spl_outing *outing = outing_at(plan, i);
    const struct spl_outing_take *take = take_at(outing, t);
    const struct spl_outing_source *source = SPL_OUTING_SOURCE(o->problem, take->source);
    struct spl_day day = SPL_OUTING_DAY(o->problem, outing->day)->day;
    GString *text = g_string_new(NULL);
    double km;

    if (spl_outing_edge(source, day) >= FAR_OFF) {
        gboolean late = day.n > source->likely_end.n;
        g_autofree char *end = spl_day_words(late ? source->latest : source->earliest);
        g_autofree char *way = NULL;

        spl_outing_round(o->problem, &source->site, 1, NULL, &km);
        way = spl_distance_format(ceil(km));
        g_string_append_printf(text,
                               late ? "late: mostly over there %s%s; a day of its own would be "
                                      "%s more"
                                    : "early: may begin there %s%s; a day of its own would be "
                                      "%s more",
                               end, late && source->spoils ? ", and then it is spoilt" : "", way);
    }
    if (take->grams < LITTLE * spl_outing_whole_need(o->problem, source->material)) {
        g_autofree char *name = made_whole(o, plan, i, t);

        if (name != NULL)
            g_string_append_printf(text, "%sso little, because it makes '%s' whole",
                                   text->len > 0 ? "; " : "", name);
    }
    if (text->len > 0)
        return g_string_free(text, FALSE);
    g_string_free(text, TRUE);
    return NULL;
}

static char *reserve_words(const struct spl_plan_quest *o, const struct spl_outing *outing)
{
    switch (outing->lack) {
    case SPL_OUTING_LACK_WINDOW:
        return g_strdup("later than that not all of it can be picked in time");
    case SPL_OUTING_LACK_DAY:
        return g_strdup("no later day within its time is free for as long");
    case SPL_OUTING_LACK_ROOM:
        return g_strdup("later the drying racks would not hold it beside the rest");
    case SPL_OUTING_LACK_NONE:
        break;
    }
    if (outing->reserve >= 0 && SPL_OUTING_DAY(o->problem, outing->reserve)->day.n ==
                                    SPL_OUTING_DAY(o->problem, outing->day)->day.n + 1)
        return g_strdup("the next day, as no other is free within its time");
    return NULL;
}

static void say_stop(const struct spl_plan_quest *o, const struct spl_outing_plan *plan, guint i,
                     struct spl_plan_stop *stop, int site)
{
    const struct spl_outing *outing = outing_at(plan, i);
    guint shown = 0;

    for (guint t = 0; t < outing->takes->len; t++) {
        int source = take_at(outing, t)->source;
        const struct spl_plan_source *from = from_of(o, source);
        struct spl_plan_take *take;

        if (SPL_OUTING_SOURCE(o->problem, source)->site != site || shown >= stop->takes->len)
            continue;
        take = &g_array_index(stop->takes, struct spl_plan_take, shown++);
        take->note = note_of(o, plan, i, t);
        if (from->small != NULL &&
            !g_ptr_array_find_with_equal_func(stop->reasons, from->small, g_str_equal, NULL))
            g_ptr_array_add(stop->reasons, g_strdup(from->small));
        if (stop->why == NULL)
            stop->why = why_here(o, plan, i, t);
    }
}

void spl_plan_say_why(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                      struct spl_plan_outings *out, guint first)
{
    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_outing *outing = outing_at(plan, i);
        struct spl_plan_outing *shown =
            &g_array_index(out->outings, struct spl_plan_outing, first + i);

        shown->free =
            spl_plan_free_words(g_array_index(o->free, struct spl_plan_free, (guint)outing->day));
        shown->reserve_why = reserve_words(o, outing);
        for (guint s = 0; s < shown->sites->len && s < outing->sites->len; s++)
            say_stop(o, plan, i, &g_array_index(shown->sites, struct spl_plan_stop, s),
                     g_array_index(outing->sites, int, s));
    }
}

/* ---- what is short ------------------------------------------------------------------------- */

/* Grams of a material that stay open beyond what is not missed. */
static double open_g(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                     int material, double *hardly_g)
{
    double grams = 0;

    for (int n = 0; n < (int)o->problem->needs->len; n++) {
        double missing = g_array_index(plan->short_g, double, n);

        if (SPL_OUTING_NEED(o->problem, n)->material != material)
            continue;
        if (!spl_outing_is_enough(o->problem, n, missing))
            grams += missing;
        else if (hardly_g != NULL)
            *hardly_g += missing;
    }
    return grams;
}

/* A question of the same with something allowed that is not. */
enum allowance { ALLOW_WAY, ALLOW_LATER, ALLOW_HOURS, ALLOW_ROOM, ALLOWANCES };

static void allow(struct spl_outing_problem *problem, enum allowance what)
{
    switch (what) {
    case ALLOW_WAY:
        problem->open_hours *= 1000;
        break;
    case ALLOW_LATER:
        for (guint n = 0; n < problem->needs->len; n++)
            SPL_OUTING_NEED(problem, n)->by = SPL_DAY_NONE;
        break;
    case ALLOW_HOURS:
        for (guint d = 0; d < problem->days->len; d++)
            SPL_OUTING_DAY(problem, d)->hours = MAX(2 * SPL_OUTING_DAY(problem, d)->hours, 12);
        break;
    case ALLOW_ROOM:
        for (guint s = 0; s < problem->stores->len; s++)
            SPL_OUTING_STORE(problem, s)->capacity_g = INFINITY;
        break;
    case ALLOWANCES:
        break;
    }
}

/* What is open of each material when it is allowed: by the plan that needs no solver. */
static struct spl_outing_plan *plan_with(const struct spl_plan_quest *o, enum allowance what)
{
    struct spl_outing_problem *problem = spl_outing_problem_copy(o->problem);
    struct spl_outing_plan *plan;

    allow(problem, what);
    plan = spl_outing_greedy(problem, 1);
    spl_outing_problem_free(problem);
    return plan;
}

static void why_days(const struct spl_plan_quest *o, int material, double missing_g,
                     struct spl_outing_plan **with, const struct spl_outing_plan *plan,
                     struct spl_plan_missing *missing)
{
    g_autofree char *way = NULL;
    for (int what = 0; what < ALLOWANCES; what++) {
        double left;

        if (with[what] == NULL)
            with[what] = plan_with(o, (enum allowance)what);
        left = open_g(o, with[what], material, NULL);
        if (left > missing_g / 2)
            continue;
        switch ((enum allowance)what) {
        case ALLOW_WAY:
            way = spl_distance_format(MAX(ceil(km_of(with[what]) - km_of(plan)), 1));
            missing->why = g_strdup_printf(
                "it could be had, but going for it would make the season %s longer than it is "
                "worth",
                way);
            missing->cure = g_strdup("find it nearer home, make less of it, or weigh what is left "
                                     "out more (the settings weight-open, weight-batch)");
            return;
        case ALLOW_LATER:
            missing->why = g_strdup("the day that it is wanted by leaves too few days to pick it");
            missing->cure = g_strdup("a later date");
            return;
        case ALLOW_HOURS:
            missing->why = g_strdup("the stands could spare it, but the hours of the days do not "
                                    "suffice");
            missing->cure = g_strdup("longer days or more people");
            return;
        case ALLOW_ROOM:
            missing->why = g_strdup("the stands could spare it, but the racks have no room for it "
                                    "then");
            missing->cure = g_strdup("more room to dry");
            return;
        case ALLOWANCES:
            break;
        }
    }
    missing->why = g_strdup("the stands could spare it, but not on the days on which you go");
    missing->cure = g_strdup("more days of the week, or fewer busy ones in its time");
}

static void say_one(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                    const struct spl_shortfall *reckoned, int material, double grams,
                    struct spl_outing_plan **with, struct spl_plan_outings *out)
{
    struct spl_plan_missing missing = {g_strdup(SPL_OUTING_MATERIAL(o->problem, material)->name),
                                       grams, NULL, NULL};
    double stands_g = reckoned != NULL ? reckoned->short_g : 0;

    if (reckoned != NULL && stands_g > 0 &&
        stands_g >= grams * (1 - SPL_SHORTFALL_ENOUGH_FRAC) - 1) {
        missing.why = g_strdup(reckoned->cause);
        missing.cure = g_strdup(reckoned->cure);
    } else if (reckoned != NULL && stands_g > 0) {
        /* What the stands cannot spare is one thing, what they could another. */
        struct spl_plan_missing rest = {0};
        g_autofree char *much = spl_mass_format(ceil(grams - stands_g));

        why_days(o, material, grams - stands_g, with, plan, &rest);
        missing.why = g_strdup_printf("%s; of the other %s: %s", reckoned->cause, much, rest.why);
        missing.cure = g_strdup_printf("%s; for the other %s: %s", reckoned->cure, much, rest.cure);
        g_free(rest.why);
        g_free(rest.cure);
    } else {
        why_days(o, material, grams, with, plan, &missing);
    }
    g_array_append_val(out->missing, missing);
}

gboolean spl_plan_say_missing(const struct spl_plan_quest *o, const struct spl_outing_plan *plan,
                              struct spl_plan_outings *out, GError **error)
{
    g_autoptr(GPtrArray) materials = g_ptr_array_new();
    g_autoptr(GArray) reckoned = spl_plan_reckon_short(&o->state, o->sources, materials, error);
    struct spl_outing_plan *with[ALLOWANCES] = {NULL};

    if (reckoned == NULL)
        return FALSE;
    for (int m = 0; m < (int)o->materials->len; m++) {
        const struct spl_shortfall *found = NULL;
        double hardly_g = 0, grams = open_g(o, plan, m, &hardly_g);

        for (guint r = 0; r < reckoned->len && found == NULL; r++) {
            const struct spl_shortfall *s = &g_array_index(reckoned, struct spl_shortfall, r);

            if (g_ptr_array_index(materials, (guint)s->material) ==
                g_ptr_array_index(o->materials, (guint)m))
                found = s;
        }
        if (hardly_g >= 1) {
            g_autofree char *hardly = spl_mass_format(hardly_g);

            spl_caution_add(out->cautions,
                            "%s: %s of what is reckoned are not gone for; that is too little to "
                            "miss",
                            SPL_OUTING_MATERIAL(o->problem, m)->name, hardly);
        }
        if (grams >= 1)
            say_one(o, plan, found, m, grams, with, out);
    }
    for (int what = 0; what < ALLOWANCES; what++)
        spl_outing_plan_free(with[what]);
    return TRUE;
}
