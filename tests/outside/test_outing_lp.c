/* SPDX-License-Identifier: MIT
 *
 * The season plan's model in other people's solvers: the exported LP file gives the programs `cbc`
 * and `glpsol` the same optimum, and a published transportation problem comes out as published.
 * Skipped (77) where the programs are missing.
 */
#include <glib/gstdio.h>
#include <stdlib.h>

#include "core/outing_model.h"
#include "core/outing_search.h"
#include "exchange/solver.h"
#include "expect.h"
#include "outing_season.h"

#define PROGRAM SPL_BUILD_DIR "/libexec/simpling/simpling-solve"

/* Runs a program and returns what it printed. */
static char *run(char **argv)
{
    char *out = NULL;
    int status = 0;

    assert_true(
        g_spawn_sync(NULL, argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &out, NULL, &status, NULL));
    return out;
}

/* The number after `words` in `text`. */
static double number_after(const char *text, const char *words)
{
    const char *at = text == NULL ? NULL : strstr(text, words);

    if (at == NULL)
        fail_msg("'%s' is not in: %s", words, text == NULL ? "" : text);
    at += strlen(words);
    while (*at == ' ' || *at == '=' || *at == ':')
        at++;
    return g_ascii_strtod(at, NULL);
}

static double optimum_of_cbc(const char *path)
{
    char *argv[] = {"cbc", (char *)path, "sec", "120", "solve", NULL};
    g_autofree char *out = run(argv);

    /* A problem without whole columns is reported by its linear part alone. */
    if (strstr(out, "Optimal solution found") == NULL)
        return number_after(out, "Optimal objective");
    return number_after(out, "Objective value");
}

static double optimum_of_glpsol(const char *path, const char *report)
{
    char *argv[] = {"glpsol", "--lp", (char *)path, "--tmlim", "120", "-o", (char *)report, NULL};
    g_autofree char *out = run(argv), *text = NULL;

    assert_true(g_file_get_contents(report, &text, NULL, NULL));
    assert_null(strstr(text, "UNDEFINED"));
    return number_after(text, "Objective:  cost");
}

static char *export_lp(const char *folder, const struct spl_mip *mip)
{
    char *path = g_build_filename(folder, "model.lp", NULL);
    GString *text = spl_mip_lp(mip, "a small season");

    assert_true(g_file_set_contents(path, text->str, (gssize)text->len, NULL));
    g_string_free(text, TRUE);
    return path;
}

/* A search that may stop early proves no more than it did: nothing above the optimum. */
static void expect_honest_bound(const struct spl_mip_solver *door, const struct spl_mip *mip,
                                double cheapest)
{
    for (int i = 0; i <= 3; i++) {
        struct spl_mip_limits limits = {.cutoff = i == 0 ? INFINITY : cheapest * (1 + 0.01 * i),
                                        .gap = 0.1};
        struct spl_mip_answer answer;

        assert_true(door->solve(mip, &limits, &answer, door->data, NULL));
        if (answer.bound > cheapest + 1e-4)
            fail_msg("below %.4f h: %.4f h proven, but %.4f h are possible", limits.cutoff,
                     answer.bound, cheapest);
        spl_mip_answer_clear(&answer);
    }
}

static void small_seasons_have_the_same_optimum_everywhere(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("outingsXXXXXX", NULL);
    g_autofree char *report = g_build_filename(folder, "report", NULL);

    (void)state;
    for (guint32 seed = 1; seed <= 5; seed++) {
        g_autoptr(GError) error = NULL;
        struct spl_outing_problem *p = outing_season(seed, 4, 3, 60);
        g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 120, &error);
        struct spl_mip_solver door = spl_solver_door(solver);
        struct spl_outing_wish wish = {0};
        struct spl_outing_answer answer;
        g_autoptr(spl_outing_model) cost = NULL;
        g_autofree char *cost_path = NULL;
        double cheapest;

        SPL_OUTING_MATERIAL(p, 0)->every_days = 4;
        p->floor_g = 0; /* the model has no floor */
        assert_true(spl_outing_problem_check(p, &error));
        assert_true(spl_outing_search(p, &door, &wish, &answer, &error));
        cost = spl_outing_model_new(p, SPL_OUTING_GOAL_COST, NULL);
        cost_path = export_lp(folder, cost->mip);
        cheapest = optimum_of_cbc(cost_path);
        expect_near(optimum_of_glpsol(cost_path, report), cheapest, 1e-4, "h");
        expect_near(answer.plan->cost - answer.reserve_hours, cheapest, 0.01, "h");
        /* What we call proven may not lie above what the others found. */
        assert_true(answer.cost_bound <= cheapest + 1e-4);
        expect_honest_bound(&door, cost->mip, cheapest);
        g_unlink(cost_path);
        g_unlink(report);
        spl_outing_answer_clear(&answer);
        spl_outing_problem_free(p);
    }
    g_rmdir(folder);
}

/* The model without the rows that make it tight. */
static struct spl_mip *loosened(const struct spl_mip *mip)
{
    struct spl_mip *loose = spl_mip_new();

    for (guint c = 0; c < mip->columns->len; c++) {
        const struct spl_mip_column *column =
            &g_array_index(mip->columns, struct spl_mip_column, c);

        spl_mip_add_column(loose, g_strdup(g_ptr_array_index(mip->col_names, c)), column->lower,
                           column->upper, column->cost, column->whole);
    }
    for (guint r = 0; r < mip->rows->len; r++) {
        const struct spl_mip_row *row = &g_array_index(mip->rows, struct spl_mip_row, r);
        const char *name = g_ptr_array_index(mip->row_names, r);

        if (g_str_has_prefix(name, "most_") || g_str_has_prefix(name, "cover"))
            continue;
        spl_mip_add_row(loose, g_strdup(name), row->lower, row->upper);
        for (int e = row->first; e < row->first + row->n; e++) {
            const struct spl_mip_entry *entry =
                &g_array_index(mip->entries, struct spl_mip_entry, e);

            spl_mip_put(loose, entry->column, entry->value);
        }
    }
    return loose;
}

static double least(const struct spl_mip_solver *door, const struct spl_mip *mip, gboolean relax)
{
    struct spl_mip_limits limits = {.cutoff = INFINITY, .relax = relax};
    struct spl_mip_answer answer;
    double cost;

    assert_true(door->solve(mip, &limits, &answer, door->data, NULL));
    assert_int_equal(answer.state, SPL_MIP_OPTIMAL);
    cost = answer.cost;
    spl_mip_answer_clear(&answer);
    return cost;
}

/* By cbc, with rows that cut off half-visits and without: one optimum, but a nearer bound. (Of the
 * next season, 24, cbc 2.10 claims an optimum of 43.249 h without them; glpsol finds 43.213 h with
 * and without.) */
static void the_tight_model_has_the_same_optimum_and_a_nearer_bound(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("outingsXXXXXX", NULL);
    double left = 0, left_loose = 0;

    (void)state;
    for (guint32 seed = 21; seed <= 23; seed++) {
        g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 120, NULL);
        struct spl_mip_solver door = spl_solver_door(solver);
        struct spl_outing_problem *p = outing_season(seed, 5, 4, 60);
        g_autoptr(spl_outing_model) model = NULL;
        g_autoptr(spl_mip) loose = NULL;
        g_autofree char *path = NULL;
        double cheapest;

        SPL_OUTING_MATERIAL(p, 1)->every_days = 4;
        SPL_OUTING_NEED(p, 2)->by = SPL_OUTING_DAY(p, 16)->day;
        spl_outing_add_need(p, 2, 400, SPL_OUTING_DAY(p, 14)->day, "sooner");
        assert_true(spl_outing_problem_check(p, NULL));
        model = spl_outing_model_new(p, SPL_OUTING_GOAL_COST, NULL);
        loose = loosened(model->mip);
        assert_true(loose->rows->len < model->mip->rows->len);
        path = export_lp(folder, loose);
        cheapest = optimum_of_cbc(path);
        expect_near(least(&door, model->mip, FALSE), cheapest, 1e-4, "h");
        expect_honest_bound(&door, loose, cheapest);
        left += cheapest - least(&door, model->mip, TRUE);
        left_loose += cheapest - least(&door, loose, TRUE);
        g_unlink(path);
        spl_outing_problem_free(p);
    }
    g_rmdir(folder);
    if (left < -1e-6 || left > 0.95 * left_loose)
        fail_msg("%.3f h open with the rows, %.3f h without", left, left_loose);
}

/* One herb wanted whole, at two places that each could spare it all: without wholeness too one
 * goes to the nearer one, and not half to a round of both. By hand: 2 h for setting out, its road
 * there and back, 0.1 h from the car; all of it in the likely days, clear, of a large stand. */
static void half_a_round_of_two_places_is_no_visit(void **state)
{
    const double hours[] = {0, 0.1, 0.5, 0.1, 0, 0.6, 0.5, 0.6, 0};
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, NULL);
    struct spl_mip_solver door = spl_solver_door(solver);
    struct spl_outing_problem *p = spl_outing_problem_new();
    struct spl_day from = spl_day_from_ymd(2027, 5, 5), to = spl_day_from_ymd(2027, 5, 16);
    g_autoptr(spl_outing_model) model = NULL;
    g_autoptr(spl_mip) loose = NULL;

    (void)state;
    spl_outing_add_day(p, spl_day_add(from, 5), 5);
    for (int s = 0; s < 2; s++)
        spl_outing_add_site(p, s == 0 ? "Withy Gill" : "Low Croft", 0.1);
    spl_outing_add_material(p, "nettle/leaf", 1000, INFINITY);
    for (int s = 0; s < 2; s++)
        spl_outing_add_source(p, s, 0, 1000, from, from, to, to);
    spl_outing_add_need(p, 0, 1000, SPL_DAY_NONE, "tincture");
    p->enough_frac = 0;
    p->hours = g_memdup2(hours, sizeof hours);
    p->km = g_memdup2(hours, sizeof hours);
    assert_true(spl_outing_problem_check(p, NULL));
    model = spl_outing_model_new(p, SPL_OUTING_GOAL_COST, NULL);
    loose = loosened(model->mip);
    expect_near(least(&door, model->mip, TRUE), 2 + 0.5 + 0.5 + 0.1, 1e-6, "h");
    /* Half a round of both: (2 + 0.5 + 0.1 + 0.6 + 0.2) / 2. */
    expect_near(least(&door, loose, TRUE), 1.7, 1e-6, "h");
    spl_outing_problem_free(p);
}

/* Where racks and picking intervals bind: what is proven at the first node is no less than what
 * glpsol makes of the whole exported model without its wholeness. */
static void no_bound_lies_below_the_relaxation_of_the_whole(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("outingsXXXXXX", NULL);
    g_autofree char *report = g_build_filename(folder, "report", NULL);

    (void)state;
    for (guint32 seed = 31; seed <= 34; seed++) {
        g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 120, NULL);
        struct spl_mip_solver door = spl_solver_door(solver);
        struct spl_outing_problem *p = outing_season(seed, 6, 5, 60);
        struct spl_outing_wish wish = {.nodes = 1};
        struct spl_outing_answer answer;
        g_autoptr(spl_outing_model) model = NULL;
        g_autofree char *path = NULL, *out = NULL, *text = NULL;
        int rack = spl_outing_add_store(p, "racks", 700, 7);

        for (int m = 0; m < 3; m++)
            SPL_OUTING_MATERIAL(p, m)->store = rack;
        SPL_OUTING_MATERIAL(p, 3)->every_days = 6;
        assert_true(spl_outing_problem_check(p, NULL));
        assert_true(spl_outing_search(p, &door, &wish, &answer, NULL));
        model = spl_outing_model_new(p, SPL_OUTING_GOAL_COST, NULL);
        path = export_lp(folder, model->mip);
        out = run((char *[]){"glpsol", "--nomip", "--lp", path, "-o", report, NULL});
        assert_true(g_file_get_contents(report, &text, NULL, NULL));
        assert_true(answer.cost_bound >= number_after(text, "Objective:  cost") - 1e-4);
        assert_true(answer.cost_bound <= answer.plan->cost + 1e-6);
        g_unlink(path);
        g_unlink(report);
        spl_outing_answer_clear(&answer);
        spl_outing_problem_free(p);
    }
    g_rmdir(folder);
}

/*
 * Dantzig, Linear Programming and Extensions (1963), section 3-3: two canneries, three markets.
 * Also the example transp.mod that GLPK ships, with optimum 153.675 (thousand dollars).
 */
static void the_published_transportation_problem_comes_out(void **state)
{
    static const double supply[] = {350, 600}, demand[] = {325, 300, 275};
    static const double distance[2][3] = {{2.5, 1.7, 1.8}, {2.5, 1.8, 1.4}}; /* thousand miles */
    g_autofree char *folder = g_dir_make_tmp("outingsXXXXXX", NULL);
    g_autofree char *report = g_build_filename(folder, "report", NULL), *path = NULL;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_mip) mip = spl_mip_new();
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, &error);
    struct spl_mip_solver door = spl_solver_door(solver);
    struct spl_mip_limits limits = {.cutoff = INFINITY};
    struct spl_mip_answer answer;

    (void)state;
    for (int i = 0; i < 2; i++) {
        for (int j = 0; j < 3; j++)
            spl_mip_add_column(mip, g_strdup_printf("x_%d_%d", i, j), 0, INFINITY,
                               90 * distance[i][j] / 1000, FALSE);
    }
    for (int i = 0; i < 2; i++) {
        spl_mip_add_row(mip, g_strdup_printf("supply_%d", i), -INFINITY, supply[i]);
        for (int j = 0; j < 3; j++)
            spl_mip_put(mip, 3 * i + j, 1);
    }
    for (int j = 0; j < 3; j++) {
        spl_mip_add_row(mip, g_strdup_printf("demand_%d", j), demand[j], INFINITY);
        for (int i = 0; i < 2; i++)
            spl_mip_put(mip, 3 * i + j, 1);
    }
    for (int relax = 0; relax < 2; relax++) {
        limits.relax = relax;
        assert_true(door.solve(mip, &limits, &answer, door.data, &error));
        expect_near(answer.cost, 153.675, 1e-6, "thousand dollars");
        spl_mip_answer_clear(&answer);
    }
    path = export_lp(folder, mip);
    expect_near(optimum_of_cbc(path), 153.675, 1e-6, "thousand dollars");
    expect_near(optimum_of_glpsol(path, report), 153.675, 1e-6, "thousand dollars");
    g_unlink(path);
    g_unlink(report);
    g_rmdir(folder);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(small_seasons_have_the_same_optimum_everywhere),
    cmocka_unit_test(the_tight_model_has_the_same_optimum_and_a_nearer_bound),
    cmocka_unit_test(no_bound_lies_below_the_relaxation_of_the_whole),
    cmocka_unit_test(half_a_round_of_two_places_is_no_visit),
    cmocka_unit_test(the_published_transportation_problem_comes_out),
};

int main(int argc, char **argv)
{
    g_autofree char *cbc = g_find_program_in_path("cbc");
    g_autofree char *glpsol = g_find_program_in_path("glpsol");

    if (cbc == NULL || glpsol == NULL)
        return 77;
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
