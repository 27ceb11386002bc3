/* SPDX-License-Identifier: MIT
 *
 * The rows that make the season plan's model tight cut off half-visits and no plan; days that are
 * as good as others are left out and no other day is.
 */
#include <string.h>

#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_model.h"
#include "core/outing_thin.h"
#include "expect.h"
#include "outing_season.h"

static int pattern_of(const struct spl_outing_model *model, const struct spl_outing *outing)
{
    for (guint p = 0; p < model->patterns->len; p++) {
        const struct spl_outing_pattern *pattern =
            &g_array_index(model->patterns, struct spl_outing_pattern, p);
        int met = 0;

        for (int k = 0; k < pattern->n; k++) {
            for (guint i = 0; i < outing->sites->len; i++)
                met += g_array_index(outing->sites, int, i) == pattern->sites[k];
        }
        if (pattern->day == outing->day && met == pattern->n && met == (int)outing->sites->len)
            return pattern->column;
    }
    fail_msg("the model lacks what the plan does on day %d", outing->day);
    return -1;
}

static int column_named(const struct spl_mip *mip, const char *name)
{
    for (guint c = 0; c < mip->col_names->len; c++) {
        if (strcmp(g_ptr_array_index(mip->col_names, c), name) == 0)
            return (int)c;
    }
    return -1;
}

/* The plan as a point of the model. */
static double *point_of(const struct spl_outing_problem *p, const struct spl_outing_model *model,
                        const struct spl_outing_plan *plan)
{
    double *x = g_new0(double, model->mip->columns->len);

    for (guint o = 0; o < plan->outings->len; o++) {
        const struct spl_outing *outing = &g_array_index(plan->outings, struct spl_outing, o);

        x[pattern_of(model, outing)] = 1;
        for (guint t = 0; t < outing->takes->len; t++) {
            const struct spl_outing_take *take =
                &g_array_index(outing->takes, struct spl_outing_take, t);
            int at = take->source * model->n_days + outing->day;

            x[model->take[at]] = take->grams / 1000;
            if (model->visit[at] >= 0)
                x[model->visit[at]] = 1;
        }
    }
    for (int n = 0; n < model->n_needs; n++) {
        double short_g = g_array_index(plan->short_g, double, n);
        g_autofree char *name = g_strdup_printf("open_%d", SPL_OUTING_NEED(p, n)->batch);
        int open = column_named(model->mip, name);

        x[model->shortage[n]] = short_g / 1000;
        if (short_g > p->enough_frac * SPL_OUTING_NEED(p, n)->grams + 1e-9 ||
            g_array_index(model->mip->columns, struct spl_mip_column, open).lower > 0)
            x[open] = 1;
    }
    return x;
}

/* Which row the plan breaks; NULL: none. */
static const char *broken(const struct spl_mip *mip, const double *x)
{
    for (guint r = 0; r < mip->rows->len; r++) {
        const struct spl_mip_row *row = &g_array_index(mip->rows, struct spl_mip_row, r);
        double sum = 0;

        for (int e = row->first; e < row->first + row->n; e++) {
            const struct spl_mip_entry *entry =
                &g_array_index(mip->entries, struct spl_mip_entry, e);

            sum += entry->value * x[entry->column];
        }
        if (sum > row->upper + 1e-6 || sum < row->lower - 1e-6)
            return g_ptr_array_index(mip->row_names, r);
    }
    return NULL;
}

static void fits(const struct spl_outing_problem *p, const struct spl_outing_model *model,
                 struct spl_outing_plan *plan, guint32 seed)
{
    g_autofree double *x = NULL;
    const char *row;

    spl_outing_plan_reckon(p, plan);
    x = point_of(p, model, plan);
    row = broken(model->mip, x);
    if (row != NULL)
        fail_msg("season %u: row %s cuts a plan off", seed, row);
}

/* Racks, intervals, batches of two herbs, two needs of one herb, one of them early. */
static struct spl_outing_problem *tangled(guint32 seed)
{
    struct spl_outing_problem *p = outing_season(seed, 6, 4, 60);
    int rack = spl_outing_add_store(p, "racks", 900, 7);
    struct spl_day early = SPL_OUTING_DAY(p, 12)->day;

    SPL_OUTING_MATERIAL(p, 0)->store = rack;
    SPL_OUTING_MATERIAL(p, 1)->every_days = 5;
    SPL_OUTING_NEED(p, 1)->batch = SPL_OUTING_NEED(p, 0)->batch;
    spl_outing_add_need(p, 2, 300, early, "soon");
    spl_outing_add_need(p, 2, 700, early, "soon too");
    SPL_OUTING_NEED(p, 3)->by = SPL_OUTING_DAY(p, 16)->day;
    p->floor_g = 0;
    return p;
}

static void no_row_cuts_a_plan_off(void **state)
{
    int plans = 0, covers = 0;

    (void)state;
    for (guint32 seed = 1; seed <= 40; seed++) {
        struct spl_outing_problem *p = tangled(seed);
        g_autoptr(spl_outing_model) model = NULL;
        g_autoptr(spl_outing_plan) plan = NULL;

        if (!spl_outing_problem_check(p, NULL)) {
            spl_outing_problem_free(p);
            continue;
        }
        model = spl_outing_model_new(p, SPL_OUTING_GOAL_COST, NULL);
        for (guint r = 0; r < model->mip->row_names->len; r++)
            covers += g_str_has_prefix(g_ptr_array_index(model->mip->row_names, r), "cover");
        plan = spl_outing_greedy(p, 1);
        fits(p, model, plan, seed);
        plans++;
        /* Every plan without one of its outings, and with half of one take, is a plan too. */
        for (guint o = 0; o < plan->outings->len; o++) {
            g_autoptr(spl_outing_plan) less = spl_outing_plan_copy(plan);
            g_autoptr(spl_outing_plan) half = spl_outing_plan_copy(plan);

            g_array_set_size(g_array_index(less->outings, struct spl_outing, o).takes, 0);
            fits(p, model, less, seed);
            g_array_index(g_array_index(half->outings, struct spl_outing, o).takes,
                          struct spl_outing_take, 0)
                .grams /= 2;
            fits(p, model, half, seed);
            plans += 2;
        }
        spl_outing_problem_free(p);
    }
    assert_true(plans > 150);
    assert_true(covers > 200);
}

/* ---- days ---------------------------------------------------------------------------------- */

static struct spl_day may(int dom)
{
    return spl_day_from_ymd(2027, 5, dom);
}

/* One place, one herb, 1-20 May, likely 5-16, each day of five hours. */
static struct spl_outing_problem *level(void)
{
    struct spl_outing_problem *p = spl_outing_problem_new();
    const double place[] = {54.8, 54.8}, lon[] = {-2.4, -2.5};

    for (int d = 1; d <= 20; d++)
        spl_outing_add_day(p, may(d), 5);
    spl_outing_add_site(p, "Withy Gill", 0.1);
    spl_outing_add_material(p, "nettle/leaf", 1000, 1000);
    spl_outing_add_source(p, 0, 0, 600, may(1), may(5), may(16), may(20));
    spl_outing_add_need(p, 0, 500, SPL_DAY_NONE, "tincture");
    spl_outing_set_travel(p, place, lon, 1.3, 40);
    return p;
}

/* Which days of May are offered, as "5 6 7". */
static char *offered(struct spl_outing_problem *p)
{
    g_autofree enum spl_outing_freedom *days = g_new(enum spl_outing_freedom, p->days->len);
    GString *text = g_string_new(NULL);

    assert_true(spl_outing_problem_check(p, NULL));
    spl_outing_thin(p, days);
    for (guint d = 0; d < p->days->len; d++) {
        if (days[d] == SPL_OUTING_FREE)
            g_string_append_printf(text, "%s%u", text->len > 0 ? " " : "", d + 1);
    }
    spl_outing_problem_free(p);
    return g_string_free(text, FALSE);
}

static void days_that_are_as_good_as_others_are_left_out(void **state)
{
    g_autofree char *plain = offered(level()), *longer = NULL, *liked = NULL, *due = NULL;
    struct spl_outing_problem *p;

    (void)state;
    /* All of 5-16 May weigh nothing: three of them do. The edges weigh more than any of these. */
    assert_string_equal(plain, "5 6 7");
    p = level();
    SPL_OUTING_DAY(p, 17)->hours = 8; /* 18 May: late, but longer than any other */
    longer = offered(p);
    assert_string_equal(longer, "5 6 7 18");
    p = level();
    SPL_OUTING_DAY(p, 9)->liked = TRUE;
    liked = offered(p);
    assert_string_equal(liked, "5 6 7 10");
    p = level();
    SPL_OUTING_NEED(p, 0)->by = may(3); /* later days do not serve it; the third is the best */
    due = offered(p);
    assert_string_equal(due, "1 2 3 5 6 7");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(no_row_cuts_a_plan_off),
    cmocka_unit_test(days_that_are_as_good_as_others_are_left_out),
};
expect_main(tests)
