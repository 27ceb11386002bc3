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
        g_unlink(cost_path);
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
