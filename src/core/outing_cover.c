/* SPDX-License-Identifier: MIT
 *
 * Rows that make the season plan's model tight. See core/outing_build.h.
 *
 * Both kinds are cover inequalities of fixed-charge flow (Padberg, Van Roy, Wolsey, Valid linear
 * inequalities for fixed charge problems, Operations Research 33, 1985), from memory.
 */
#include <math.h>

#include "core/outing_build.h"

#define MOST_STANDS 6       /* of one material: that many are looked at in every choice */
#define MOST_PATTERNS 60000 /* above that the rows weigh more than they help */
#define HARDLY 1e-6

double spl_outing_wanted_kg(const struct spl_outing_build *b, int material, int day)
{
    double kg = 0;

    for (int n = 0; n < b->model->n_needs; n++) {
        const struct spl_outing_need *need = SPL_OUTING_NEED(b->problem, n);

        if (need->material == material &&
            (!spl_day_is_set(need->by) || need->by.n >= SPL_OUTING_DAY(b->problem, day)->day.n))
            kg += need->grams / SPL_OUTING_KG;
    }
    return kg;
}

double spl_outing_day_kg(const struct spl_outing_build *b, int material, int day, double hours)
{
    int store = SPL_OUTING_MATERIAL(b->problem, material)->store;
    double kg = MIN(spl_outing_wanted_kg(b, material, day),
                    MAX(hours, 0) / (SPL_OUTING_KG * spl_outing_hours_per_g(b->problem, material)));
    double fixed = 0;

    if (store >= 0)
        kg = MIN(kg, SPL_OUTING_STORE(b->problem, store)->capacity_g / SPL_OUTING_KG);
    if (SPL_OUTING_DAY(b->problem, day)->takes == NULL)
        return kg;
    for (int i = 0; i < b->model->n_sources; i++) {
        if (SPL_OUTING_SOURCE(b->problem, i)->material == material)
            fixed += spl_outing_fixed_kg(b, i, day);
    }
    return MAX(kg, fixed);
}

/* ---- a day --------------------------------------------------------------------------------- */

/* A day's stops together bring no more of a material than is needed, fits and can be worked up. */
static void day_row(struct spl_outing_build *b, int d, int material)
{
    struct spl_outing_model *model = b->model;
    g_autofree gboolean *bears = g_new0(gboolean, b->problem->sites->len + 1);
    int n = 0;

    for (int i = 0; i < model->n_sources; i++) {
        int site = SPL_OUTING_SOURCE(b->problem, i)->site;

        if (SPL_OUTING_SOURCE(b->problem, i)->material != material ||
            spl_outing_take_of(b, i, d) < 0)
            continue;
        n += !bears[site];
        bears[site] = TRUE;
    }
    if (n < 2)
        return; /* a link row says the same */
    spl_mip_add_row(model->mip, g_strdup_printf("most_%d_%d", d, material), -INFINITY, 0);
    for (int i = 0; i < model->n_sources; i++) {
        if (SPL_OUTING_SOURCE(b->problem, i)->material == material &&
            spl_outing_take_of(b, i, d) >= 0)
            spl_mip_put(model->mip, spl_outing_take_of(b, i, d), 1);
    }
    for (int p = b->first_pattern[d]; p < b->first_pattern[d + 1]; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(model->patterns, struct spl_outing_pattern, p);
        gboolean any = FALSE;

        for (int k = 0; k < pattern->n; k++)
            any |= bears[pattern->sites[k]];
        if (any)
            spl_mip_put(model->mip, pattern->column,
                        -spl_outing_day_kg(b, material, d,
                                           SPL_OUTING_DAY(b->problem, d)->hours - pattern->hours));
    }
}

/* ---- a need -------------------------------------------------------------------------------- */

/* What can serve a need, or all needs of a material by a day. */
struct cover {
    int material;
    int by;       /* day number */
    double kg;    /* without that much a batch stays open */
    GArray *open; /* int: columns one of which is then 1 */
    int n_stands;
    struct {
        int stand;
        double kg;
    } stands[MOST_STANDS];
};

static gboolean find_stands(const struct spl_outing_build *b, struct cover *cover)
{
    for (int i = 0; i < b->model->n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);
        gboolean serves = FALSE;
        int k = 0;

        for (int d = 0; source->material == cover->material && d < b->model->n_days && !serves; d++)
            serves = SPL_OUTING_DAY(b->problem, d)->day.n <= cover->by &&
                     spl_outing_take_of(b, i, d) >= 0;
        if (!serves)
            continue;
        while (k < cover->n_stands && cover->stands[k].stand != source->stand)
            k++;
        if (k == MOST_STANDS)
            return FALSE;
        if (k == cover->n_stands) {
            cover->stands[k].stand = source->stand;
            cover->stands[k].kg = 0;
            cover->n_stands++;
        }
        cover->stands[k].kg = MAX(cover->stands[k].kg, source->allowance_g / SPL_OUTING_KG);
    }
    return cover->n_stands > 0;
}

/* Whether a pattern goes to a stand of the material that is not one of `without`. */
static gboolean reaches(const struct spl_outing_build *b, const struct cover *cover, guint without,
                        const struct spl_outing_pattern *pattern)
{
    for (int i = 0; i < b->model->n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(b->problem, i);

        if (source->material != cover->material || spl_outing_take_of(b, i, pattern->day) < 0 ||
            !spl_outing_visits(pattern, source->site))
            continue;
        for (int k = 0; k < cover->n_stands; k++) {
            if (cover->stands[k].stand == source->stand && ((without >> k) & 1) == 0)
                return TRUE;
        }
    }
    return FALSE;
}

static double kg_of(const struct cover *cover, guint stands)
{
    double kg = 0;

    for (int k = 0; k < cover->n_stands; k++)
        kg += ((stands >> k) & 1) != 0 ? cover->stands[k].kg : 0;
    return kg;
}

/* Were all of the stands `without` picked clean, so many outings must go to others too, or a batch
 * stays open. */
static void cover_row(struct spl_outing_build *b, const struct cover *cover, guint without,
                      const char *name)
{
    struct spl_mip *mip = b->model->mip;
    double missing = cover->kg - kg_of(cover, without), most = 0, times;

    for (guint p = 0; p < b->model->patterns->len; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(b->model->patterns, struct spl_outing_pattern, p);

        if (SPL_OUTING_DAY(b->problem, pattern->day)->day.n <= cover->by &&
            reaches(b, cover, without, pattern))
            most = MAX(most, spl_outing_day_kg(b, cover->material, pattern->day,
                                               SPL_OUTING_DAY(b->problem, pattern->day)->hours -
                                                   pattern->hours));
    }
    if (most <= HARDLY)
        return;
    times = ceil(missing / most - HARDLY);
    spl_mip_add_row(mip, g_strdup_printf("%s_%u", name, without), times, INFINITY);
    for (guint i = 0; i < cover->open->len; i++)
        spl_mip_put(mip, g_array_index(cover->open, int, i), times);
    for (guint p = 0; p < b->model->patterns->len; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(b->model->patterns, struct spl_outing_pattern, p);

        if (SPL_OUTING_DAY(b->problem, pattern->day)->day.n <= cover->by &&
            reaches(b, cover, without, pattern))
            spl_mip_put(mip, pattern->column, 1);
    }
}

/* A row for each choice of stands that is not enough, and would be with any one more. */
static void cover_choices(struct spl_outing_build *b, struct cover *cover, const char *name)
{
    guint all;

    if (!find_stands(b, cover) || cover->kg <= HARDLY)
        return;
    all = (1u << cover->n_stands) - 1;
    if (kg_of(cover, all) < cover->kg - HARDLY) {
        if (cover->open->len > 1) {
            spl_mip_add_row(b->model->mip, g_strdup_printf("%s_never", name), 1, INFINITY);
            for (guint i = 0; i < cover->open->len; i++)
                spl_mip_put(b->model->mip, g_array_index(cover->open, int, i), 1);
        }
        return;
    }
    for (guint without = 0; without < all; without++) {
        gboolean widest = kg_of(cover, without) < cover->kg - HARDLY;

        for (int k = 0; k < cover->n_stands && widest; k++)
            widest =
                ((without >> k) & 1) != 0 || kg_of(cover, without | 1u << k) >= cover->kg - HARDLY;
        if (widest)
            cover_row(b, cover, without, name);
    }
}

static int by_of(const struct spl_outing_need *need)
{
    return spl_day_is_set(need->by) ? need->by.n : G_MAXINT;
}

/* How much of a need must come, or its batch stays open. */
static double least_kg(const struct spl_outing_build *b, int n)
{
    double grams = SPL_OUTING_NEED(b->problem, n)->grams;

    if (b->goal == SPL_OUTING_GOAL_COUNT)
        return (grams - MIN(grams, g_array_index(b->short_g, double, n))) / SPL_OUTING_KG;
    return (1 - b->problem->enough_frac) * grams / SPL_OUTING_KG;
}

/* A need alone; and, where there are more of a material, it with all that are due as early. */
static void cover_need(struct spl_outing_build *b, int n)
{
    const struct spl_outing_need *need = SPL_OUTING_NEED(b->problem, n);
    g_autoptr(GArray) alone = g_array_new(FALSE, FALSE, sizeof(int));
    g_autoptr(GArray) together = g_array_new(FALSE, FALSE, sizeof(int));
    g_autofree char *name = g_strdup_printf("cover_%d", n);
    g_autofree char *all = g_strdup_printf("covers_%d", n);
    struct cover one = {.material = need->material, .by = by_of(need), .open = alone};
    struct cover many = {.material = need->material, .by = by_of(need), .open = together};
    gboolean last = TRUE; /* of those that are due on one day, it speaks for all */
    int n_many = 0;

    for (int k = 0; k < b->model->n_needs; k++) {
        const struct spl_outing_need *other = SPL_OUTING_NEED(b->problem, k);
        gboolean seen = FALSE;

        if (other->material != need->material || by_of(other) > by_of(need))
            continue;
        last &= by_of(other) < by_of(need) || k <= n;
        many.kg += least_kg(b, k);
        n_many++;
        for (guint i = 0; i < together->len; i++)
            seen |= g_array_index(together, int, i) == b->open[other->batch];
        if (b->goal == SPL_OUTING_GOAL_COST && !seen)
            g_array_append_val(together, b->open[other->batch]);
    }
    if (n_many > 1 && last)
        cover_choices(b, &many, all);
    one.kg = least_kg(b, n);
    if (b->goal == SPL_OUTING_GOAL_COST)
        g_array_append_val(alone, b->open[need->batch]);
    cover_choices(b, &one, name);
}

void spl_outing_cover_rows(struct spl_outing_build *b)
{
    for (int d = 0; d < b->model->n_days; d++) {
        for (int m = 0; m < (int)b->problem->materials->len; m++)
            day_row(b, d, m);
    }
    for (int n = 0; n < b->model->n_needs && b->model->patterns->len <= MOST_PATTERNS; n++)
        cover_need(b, n);
}
