/* SPDX-License-Identifier: MIT
 *
 * What one part of a planned batch needs, and by when it must be gathered. See
 * season/plan_private.h.
 */
#include <math.h>

#include "season/plan_private.h"
#include "season/recipe.h"
#include "simpling/error.h"
#include "simpling/need.h"

#define DRYING_DAYS 10 /* on the rack before dried herb can be used, from memory */

int spl_plan_season(struct spl_house *house, double *lat)
{
    double home_lat = 54, home_lon = 0;

    spl_house_setting_place(house, &home_lat, &home_lon);
    if (lat != NULL)
        *lat = home_lat;
    return spl_day_season(house->today, home_lat);
}

static double all_parts(const struct spl_planned *planned)
{
    double sum = 0;

    for (guint i = 0; i < planned->parts->len; i++)
        sum += g_array_index(planned->parts, struct spl_planned_part, i).parts;
    return sum;
}

/* "6x500 1x250" */
static GArray *jars_of(const char *text)
{
    GArray *jars = g_array_new(FALSE, FALSE, sizeof(struct spl_jar_words));
    g_auto(GStrv) words = g_strsplit(text, " ", -1);

    for (guint i = 0; words[i] != NULL; i++) {
        char *end = NULL;
        struct spl_jar_words jar = {.count = (int)g_ascii_strtoll(words[i], &end, 10)};

        if (end != NULL && *end == 'x' && jar.count > 0) {
            jar.nominal_ml = g_ascii_strtod(end + 1, NULL);
            g_array_append_val(jars, jar);
        }
    }
    return jars;
}

/* Days between picking and bottling: until it may be strained at the earliest. */
static int steeping_days(const struct spl_tables *tables, const struct spl_preparation *preparation,
                         const struct spl_material *material, gboolean dry)
{
    g_autoptr(GPtrArray) rules = spl_tables_steps(tables, preparation, material, dry);
    int days =
        (preparation->liquid == SPL_LIQUID_NONE && !preparation->frozen) || dry ? DRYING_DAYS : 0;

    for (guint i = 0; i < rules->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(rules, i);

        if (rule->step == SPL_STEP_STRAIN)
            return days + rule->earliest_days;
    }
    return days;
}

/* The recipe that was planned by, NULL where it was dropped since or is for the herb in its other
 * state: then as is usual. */
static const char *recipe_of(struct spl_house *house, const struct spl_planned *planned,
                             const struct spl_material *material, gboolean dry)
{
    const struct spl_recipe_ask ask = {.as = planned->recipe,
                                       .preparation = planned->preparation,
                                       .materials = material->slug,
                                       .dry = dry};
    g_autoptr(GError) failed = NULL;
    struct spl_recipe recipe;

    if (planned->recipe == NULL)
        return NULL;
    if (!spl_recipe_choose(house, &ask, &recipe, &failed))
        return failed == NULL ? planned->recipe : NULL;
    spl_record_clear(&spl_recipe_shape, &recipe);
    return planned->recipe;
}

/* It stands as long as a recipe of one's own says, drying before it apart. */
static void own_days(struct spl_house *house, const struct spl_planned *planned,
                     struct spl_plan_want *want)
{
    const struct spl_recipe_ask ask = {.as = recipe_of(house, planned, want->material, want->dry),
                                       .preparation = planned->preparation,
                                       .materials = want->material->slug,
                                       .dry = want->dry};
    struct spl_recipe recipe;

    if (!spl_recipe_choose(house, &ask, &recipe, NULL))
        return;
    if (recipe.days > 0)
        want->steeping_days = recipe.days + (want->dry ? DRYING_DAYS : 0);
    spl_record_clear(&spl_recipe_shape, &recipe);
}

gboolean spl_plan_need(struct spl_house *house, const struct spl_planned *planned, guint part,
                       struct spl_plan_want *want, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_planned_part *record =
        &g_array_index(planned->parts, struct spl_planned_part, part);
    g_autoptr(GArray) jars = planned->jars != NULL ? jars_of(planned->jars) : NULL;
    const struct spl_preparation *preparation;
    const struct spl_material *material;
    struct spl_need_words words;
    struct spl_need_result result;
    g_autoptr(GError) why = NULL;
    double share, scale = 1;

    if (tables == NULL ||
        !spl_tables_preparation(tables, planned->preparation, &preparation, error) ||
        !spl_tables_material(tables, record->material, &material, error))
        return FALSE;
    share = record->parts / all_parts(planned);
    spl_need_words_init(&words);
    words.material = record->material;
    words.preparation = planned->preparation;
    if (jars != NULL) {
        words.jars = jars;
        scale = share;
    } else {
        words.yield.ml = planned->yield_ml * share;
        words.yield.g = planned->yield_g * share;
    }
    words.dry = planned->dry || !preparation->takes_fresh;
    words.as = recipe_of(house, planned, material, words.dry);
    words.ratio = planned->ratio;
    words.strength_frac = planned->strength_frac;
    if (!spl_need_answer(house, &words, &result, &why)) {
        /* Fresh herb in oil and its like: the same with dried herb. */
        if (words.dry || !preparation->takes_dried ||
            !g_error_matches(why, SPL_ERROR, SPL_ERROR_REFUSED)) {
            g_propagate_error(error, g_steal_pointer(&why));
            return FALSE;
        }
        words.dry = TRUE;
        words.as = recipe_of(house, planned, material, TRUE);
        if (!spl_need_answer(house, &words, &result, error))
            return FALSE;
    }
    *want = (struct spl_plan_want){.material = material,
                                   .share = share,
                                   .dry = words.dry,
                                   .need_g = result.gross_g * scale,
                                   .gather_by = SPL_DAY_NONE};
    want->yield = (preparation->liquid == SPL_LIQUID_NONE ? result.yield_g : result.yield_ml);
    want->yield = jars != NULL               ? want->yield * scale
                  : isnan(planned->yield_ml) ? planned->yield_g * share
                                             : planned->yield_ml * share;
    want->steeping_days = steeping_days(tables, preparation, material, words.dry);
    own_days(house, planned, want);
    if (spl_day_is_set(planned->by))
        want->gather_by = spl_day_add(planned->by, -want->steeping_days);
    spl_record_clear(&spl_need_result_shape, &result);
    return TRUE;
}

/* The last usable day of a material that is in time; none: no window serves. */
static struct spl_day last_usable(const GArray *sources, const struct spl_material *material,
                                  struct spl_day by)
{
    struct spl_day last = SPL_DAY_NONE;

    for (guint i = 0; i < sources->len; i++) {
        const struct spl_plan_source *source = &g_array_index(sources, struct spl_plan_source, i);

        if (source->material != material || !spl_day_is_set(source->open_from))
            continue;
        for (int day = source->open_to.n; day >= source->open_from.n; day--) {
            if ((spl_day_is_set(by) && day > by.n) ||
                g_array_index(source->asks, guint8, day - source->earliest.n) == SPL_OUTING_CLOSED)
                continue;
            if (!spl_day_is_set(last) || day > last.n)
                last.n = day;
            break;
        }
    }
    return last;
}

void spl_plan_narrow(struct spl_plan_state *state, const GArray *sources)
{
    for (guint w = 0; w < state->wants->len; w++) {
        struct spl_plan_want *want = &g_array_index(state->wants, struct spl_plan_want, w);
        struct spl_plan_line *line =
            &g_array_index(state->lines, struct spl_plan_line, want->planned);
        struct spl_day last = last_usable(sources, want->material, want->gather_by);

        if (spl_day_is_set(last) && want->remaining_g > 0)
            want->gather_by = last;
        /* Of what is there already nothing is to be gathered by any day. */
        if (w == 0 || want[-1].planned != want->planned)
            line->gather_by = SPL_DAY_NONE;
        if (want->remaining_g > 0 && spl_day_compare(want->gather_by, line->gather_by) < 0)
            line->gather_by = want->gather_by;
    }
}
