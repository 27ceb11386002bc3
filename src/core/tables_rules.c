/* SPDX-License-Identifier: MIT
 *
 * Of the rows of a data table that could hold, the one that does: figures of a making, steps, days
 * of keeping, laws. See tables.h.
 */
#include "core/tables.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "core/tables_private.h"
#include "simpling/error.h"

/* ---- figures ------------------------------------------------------------------------------- */

static void prefer(struct spl_figure *figure, struct spl_figure own)
{
    if (spl_figure_is_set(own))
        *figure = own;
}

static gboolean state_fits(enum spl_state state, gboolean dried)
{
    return state == SPL_STATE_ANY || state == (dried ? SPL_STATE_DRIED : SPL_STATE_FRESH);
}

/* How close the strength of a row is to the case: the material's own before any, that of this state
 * before that of both; last, what only the dried drug is known by. -1: it says nothing of it. */
static int strength_closeness(const struct spl_making *row, gboolean dried)
{
    if (!spl_figure_is_set(row->strength_frac))
        return -1;
    if (state_fits(row->drug_state, dried))
        return (row->material != NULL ? 3 : 0) + (row->drug_state != SPL_STATE_ANY ? 2 : 1);
    return row->material != NULL && row->drug_state == SPL_STATE_DRIED &&
                   row->preparation->liquid == SPL_LIQUID_SPIRIT
               ? 3
               : -1;
}

/* What a row gives comes over what there is; of the strengths stays the closest. */
static void lay_over(struct spl_making *result, const struct spl_making *row, gboolean dried,
                     int *best)
{
    int close = strength_closeness(row, dried);

    prefer(&result->ratio_fresh_ml_per_g, row->ratio_fresh_ml_per_g);
    prefer(&result->ratio_dry_ml_per_g, row->ratio_dry_ml_per_g);
    prefer(&result->fill_frac, row->fill_frac);
    if (close > *best) {
        *best = close;
        result->strength_frac = row->strength_frac;
        result->strength_means =
            state_fits(row->drug_state, dried) ? row->strength_means : SPL_STRENGTH_FINAL;
    }
    if (row->material != NULL && (result->note[0] == '\0' || state_fits(row->drug_state, dried))) {
        result->note = row->note;
        result->sources = row->sources;
    }
}

struct spl_making spl_tables_making(const struct spl_tables *tables,
                                    const struct spl_material *material,
                                    const struct spl_preparation *preparation, gboolean dried)
{
    struct spl_making result = {.material = material,
                                .preparation = preparation,
                                .drug_state = dried ? SPL_STATE_DRIED : SPL_STATE_FRESH,
                                .ratio_fresh_ml_per_g = preparation->ratio_fresh_ml_per_g,
                                .ratio_dry_ml_per_g = preparation->ratio_dry_ml_per_g,
                                .strength_frac = preparation->strength_frac,
                                .fill_frac = preparation->fill_frac,
                                .note = "",
                                .sources = preparation->sources};
    int best = -1;

    /* Those of any material first, so that the material's own come over them. */
    for (guint turn = 0; turn < 2; turn++) {
        for (guint i = 0; i < tables->makings->len; i++) {
            const struct spl_making *row = g_ptr_array_index(tables->makings, i);

            if (row->preparation == preparation &&
                (turn == 0 ? row->material == NULL
                           : row->material != NULL && row->material == material))
                lay_over(&result, row, dried, &best);
        }
    }
    return result;
}

/* A rule for a part, or for roots and so for all that is dug. */
static gboolean part_fits(enum spl_part rule, enum spl_part part)
{
    return rule == SPL_PART_ANY || rule == part || (rule == SPL_PART_ROOT && spl_part_is_dug(part));
}

/* How close a rule is to the case; -1: it does not hold. */
static int closeness(const struct spl_step_rule *rule, const struct spl_preparation *preparation,
                     const struct spl_material *material, gboolean dried)
{
    if (rule->preparation != preparation || !state_fits(rule->state, dried))
        return -1;
    if (rule->material != NULL && rule->material != material)
        return -1;
    if (!part_fits(rule->part, material != NULL ? material->part : SPL_PART_ANY))
        return -1;
    return (rule->material != NULL ? 4 : 0) + (rule->part != SPL_PART_ANY ? 2 : 0) +
           (rule->state != SPL_STATE_ANY ? 1 : 0);
}

static gint by_usual_day(gconstpointer a, gconstpointer b)
{
    const struct spl_step_rule *first = *(const struct spl_step_rule *const *)a;
    const struct spl_step_rule *second = *(const struct spl_step_rule *const *)b;

    if (first->usual_days != second->usual_days)
        return first->usual_days < second->usual_days ? -1 : 1;
    return (int)first->step - (int)second->step;
}

GPtrArray *spl_tables_steps(const struct spl_tables *tables,
                            const struct spl_preparation *preparation,
                            const struct spl_material *material, gboolean dried)
{
    const struct spl_step_rule *best[SPL_STEPS] = {NULL};
    int best_closeness[SPL_STEPS] = {0};

    for (guint i = 0; i < tables->step_rules->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(tables->step_rules, i);
        int close = closeness(rule, preparation, material, dried);
        if (close < 0 || (best[rule->step] != NULL && close <= best_closeness[rule->step]))
            continue;
        best[rule->step] = rule;
        best_closeness[rule->step] = close;
    }
    GPtrArray *steps = g_ptr_array_new();
    for (guint i = 0; i < SPL_STEPS; i++)
        if (best[i] != NULL)
            g_ptr_array_add(steps, (gpointer)best[i]);
    g_ptr_array_sort(steps, by_usual_day);
    return steps;
}

static const struct spl_keeping *keeping_of(const struct spl_tables *tables, const char *custom,
                                            const struct spl_preparation *preparation,
                                            const struct spl_material *material, enum spl_part part,
                                            gboolean dried)
{
    const struct spl_keeping *best = NULL;
    int best_closeness = -1;

    for (guint i = 0; i < tables->keepings->len; i++) {
        const struct spl_keeping *row = g_ptr_array_index(tables->keepings, i);
        if (strcmp(row->custom, custom) != 0 || row->preparation != preparation ||
            !state_fits(row->state, dried) || !part_fits(row->part, part) ||
            (row->material != NULL && row->material != material))
            continue;
        int close = (row->material != NULL ? 4 : 0) + (row->part != SPL_PART_ANY ? 2 : 0) +
                    (row->state != SPL_STATE_ANY ? 1 : 0);
        if (close > best_closeness) {
            best = row;
            best_closeness = close;
        }
    }
    return best;
}

static const struct spl_keeping *keeping(const struct spl_tables *tables, const char *custom,
                                         const struct spl_preparation *preparation,
                                         const struct spl_material *material, enum spl_part part,
                                         gboolean dried)
{
    const struct spl_keeping *own = NULL;

    if (custom != NULL)
        own = keeping_of(tables, custom, preparation, material, part, dried);
    if (own == NULL)
        own = keeping_of(tables, SPL_KEEPING_TABLE, preparation, material, part, dried);
    return own;
}

const struct spl_keeping *spl_tables_keeping(const struct spl_tables *tables, const char *custom,
                                             const struct spl_preparation *preparation,
                                             enum spl_part part, gboolean dried)
{
    return keeping(tables, custom, preparation, NULL, part, dried);
}

const struct spl_keeping *spl_tables_keeping_material(const struct spl_tables *tables,
                                                      const char *custom,
                                                      const struct spl_preparation *preparation,
                                                      const struct spl_material *material,
                                                      gboolean dried)
{
    return keeping(tables, custom, preparation, material,
                   material != NULL ? material->part : SPL_PART_ANY, dried);
}

gboolean spl_tables_custom_check(const struct spl_tables *tables, const char *custom,
                                 GError **error)
{
    g_autoptr(GPtrArray) customs = g_ptr_array_new();

    for (guint i = 0; i < tables->keepings->len; i++) {
        const struct spl_keeping *row = g_ptr_array_index(tables->keepings, i);
        if (strcmp(row->custom, custom) == 0)
            return TRUE;
        if (!g_ptr_array_find_with_equal_func(customs, row->custom, g_str_equal, NULL))
            g_ptr_array_add(customs, (gpointer)row->custom);
    }
    g_autofree char *shown = spl_tables_shown_name(custom);
    g_ptr_array_add(customs, NULL);
    g_autofree char *list = g_strjoinv(", ", (char **)customs->pdata);
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                "no row of keeping.csv has the custom '%s'; there are: %s", shown, list);
    return FALSE;
}

static gint strictest_first(gconstpointer a, gconstpointer b)
{
    const struct spl_protected *first = *(const struct spl_protected *const *)a;
    const struct spl_protected *second = *(const struct spl_protected *const *)b;

    return (int)second->rule - (int)first->rule;
}

GPtrArray *spl_tables_protected(const struct spl_tables *tables, const char *country,
                                const struct spl_plant *plant, enum spl_part part)
{
    GPtrArray *rules = g_ptr_array_new();

    for (guint i = 0; i < tables->protections->len; i++) {
        const struct spl_protected *row = g_ptr_array_index(tables->protections, i);
        if (!spl_tables_country_fits(row->country, country) ||
            !(strcmp(row->latin, "*") == 0 || row->plant == plant) ||
            !(part == SPL_PART_ANY || part_fits(row->part, part)))
            continue;
        g_ptr_array_add(rules, (gpointer)row);
    }
    g_ptr_array_sort(rules, strictest_first);
    return rules;
}

gboolean spl_tables_law_known(const struct spl_tables *tables, const char *country)
{
    for (guint i = 0; i < tables->protections->len; i++) {
        const struct spl_protected *row = g_ptr_array_index(tables->protections, i);

        if (g_ascii_strncasecmp(row->country, country, 2) == 0)
            return TRUE;
    }
    return FALSE;
}

/* ---- all rows ------------------------------------------------------------------------------ */

GPtrArray *spl_tables_left_out(const struct spl_tables *tables)
{
    return tables->left_out;
}

GPtrArray *spl_tables_plants(const struct spl_tables *tables)
{
    return tables->plants;
}

GPtrArray *spl_tables_materials(const struct spl_tables *tables)
{
    return tables->materials;
}

GPtrArray *spl_tables_preparations(const struct spl_tables *tables)
{
    return tables->preparations;
}

GPtrArray *spl_tables_makings(const struct spl_tables *tables)
{
    return tables->makings;
}

GPtrArray *spl_tables_step_rules(const struct spl_tables *tables)
{
    return tables->step_rules;
}

GPtrArray *spl_tables_keepings(const struct spl_tables *tables)
{
    return tables->keepings;
}

GPtrArray *spl_tables_jars(const struct spl_tables *tables)
{
    return tables->jars;
}

GPtrArray *spl_tables_menstruum_words(const struct spl_tables *tables)
{
    return tables->menstruum_words;
}

GPtrArray *spl_tables_presses(const struct spl_tables *tables)
{
    return tables->presses;
}

GPtrArray *spl_tables_methods(const struct spl_tables *tables)
{
    return tables->methods;
}

GPtrArray *spl_tables_protections(const struct spl_tables *tables)
{
    return tables->protections;
}
