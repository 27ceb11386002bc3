/* SPDX-License-Identifier: MIT
 *
 * The solver child, and the search of the season plan through it: against brute force, with
 * infeasible problems, a child that dies, a child that is not there.
 */
#include <glib/gstdio.h>
#include <sys/stat.h>

#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_model.h"
#include "core/outing_search.h"
#include "core/simplex.h"
#include "exchange/solver.h"
#include "expect.h"
#include "outing_season.h"

#define PROGRAM SPL_BUILD_DIR "/libexec/simpling/simpling-solve"

static struct spl_mip *knapsack(double limit)
{
    /* max 5a + 4b + 3c, 2a + 3b + c <= limit, whole 0..1 */
    struct spl_mip *mip = spl_mip_new();

    spl_mip_add_column(mip, g_strdup("a"), 0, 1, -5, TRUE);
    spl_mip_add_column(mip, g_strdup("b"), 0, 1, -4, TRUE);
    spl_mip_add_column(mip, g_strdup("c"), 0, 1, -3, TRUE);
    spl_mip_add_row(mip, g_strdup("room"), -INFINITY, limit);
    spl_mip_put(mip, 0, 2);
    spl_mip_put(mip, 1, 3);
    spl_mip_put(mip, 2, 1);
    return mip;
}

static void the_child_solves_one_problem_after_another(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, &error);
    struct spl_mip_solver door;
    struct spl_mip_limits limits = {.cutoff = INFINITY};
    struct spl_mip_answer answer;

    (void)state;
    expect_ok(error);
    door = spl_solver_door(solver);
    for (int room = 1; room <= 6; room++) {
        /* by hand: 3, 5, 8, 8, 9, 12 */
        static const double best[] = {-3, -5, -8, -8, -9, -12};
        g_autoptr(spl_mip) mip = knapsack(room);

        assert_true(door.solve(mip, &limits, &answer, door.data, &error));
        assert_int_equal(answer.state, SPL_MIP_OPTIMAL);
        expect_near(answer.cost, best[room - 1], 1e-6, "");
        expect_near(answer.bound, best[room - 1], 1e-6, "");
        expect_near(spl_mip_violation(mip, answer.x), 0, 1e-6, "");
        spl_mip_answer_clear(&answer);
    }
}

static void a_relaxation_gives_its_optimum(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, &error);
    struct spl_mip_solver door = spl_solver_door(solver);
    struct spl_mip_limits limits = {.cutoff = INFINITY, .relax = TRUE};
    struct spl_mip_answer answer;
    g_autoptr(spl_mip) mip = knapsack(4);

    (void)state;
    /* c and a whole, a third of b: 8 + 4/3 */
    assert_true(door.solve(mip, &limits, &answer, door.data, &error));
    expect_near(answer.bound, -(8 + 4.0 / 3), 1e-6, "");
    assert_non_null(answer.duals);
    spl_mip_answer_clear(&answer);
}

static void an_infeasible_problem_has_no_solution(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, &error);
    struct spl_mip_solver door = spl_solver_door(solver);
    struct spl_mip_answer answer;

    (void)state;
    for (int relax = 0; relax < 2; relax++) {
        struct spl_mip_limits limits = {.cutoff = INFINITY, .relax = relax};
        g_autoptr(spl_mip) mip = knapsack(4);

        spl_mip_add_row(mip, g_strdup("most"), 3, INFINITY);
        for (int c = 0; c < 3; c++)
            spl_mip_put(mip, c, 1);
        assert_true(door.solve(mip, &limits, &answer, door.data, &error));
        assert_int_equal(answer.state, SPL_MIP_INFEASIBLE);
        assert_null(answer.x);
        spl_mip_answer_clear(&answer);
    }
}

static void a_start_is_taken(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, &error);
    struct spl_mip_solver door = spl_solver_door(solver);
    const double start[] = {1, 0, 1};
    struct spl_mip_limits limits = {.cutoff = INFINITY, .start = start};
    struct spl_mip_answer answer;
    g_autoptr(spl_mip) mip = knapsack(3);

    (void)state;
    assert_true(door.solve(mip, &limits, &answer, door.data, &error));
    expect_near(answer.cost, -8, 1e-6, "");
    spl_mip_answer_clear(&answer);
}

static void a_child_that_is_not_there_is_said(void **state)
{
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_null(spl_solver_open("/nowhere/simpling-solve", 5, &error));
    /* A path on this machine is no help to a herbalist. */
    assert_null(strstr(error->message, "/nowhere"));
    expect_error(error, SPL_ERROR_NOT_FOUND, "install simpling whole");
}

/* A script in the place of the child. */
static void the_search_survives_a_child_that_misbehaves(void **state)
{
    static const char *const scripts[] = {
        "#!/bin/sh\nexit 1\n",
        "#!/bin/sh\necho Welcome to the solver\ncat >/dev/null\n",
        "#!/bin/sh\necho answer 5\necho xxxxx\ncat >/dev/null\n",
    };
    g_autofree char *folder = g_dir_make_tmp("solverXXXXXX", NULL);
    g_autofree char *path = g_build_filename(folder, "child", NULL);

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(scripts); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_solver) solver = NULL;
        struct spl_outing_problem *p = outing_season(1, 5, 4, 60);
        struct spl_outing_wish wish = {0};
        struct spl_outing_answer answer;
        struct spl_mip_solver door;

        assert_true(g_file_set_contents(path, scripts[i], -1, NULL));
        assert_int_equal(g_chmod(path, 0755), 0);
        assert_true(spl_outing_problem_check(p, &error));
        solver = spl_solver_open(path, 20, &error);
        expect_ok(error);
        door = spl_solver_door(solver);
        assert_true(spl_outing_search(p, &door, &wish, &answer, &error));
        assert_int_equal(answer.stop, SPL_OUTING_STOP_FELL);
        assert_int_equal(spl_outing_check(p, answer.plan)->len, 0);
        spl_outing_answer_clear(&answer);
        spl_outing_problem_free(p);
    }
    g_unlink(path);
    g_rmdir(folder);
}

/* It falls over whenever it is started a first time, and works when it is started again. */
static void a_child_that_fell_over_gets_a_second_one(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("solverXXXXXX", NULL);
    g_autofree char *path = g_build_filename(folder, "child", NULL);
    g_autofree char *mark = g_build_filename(folder, "fell", NULL);
    g_autofree char *script = g_strdup_printf(
        "#!/bin/sh\nif [ ! -e '%s' ]; then : > '%s'; kill -KILL $$; fi\nexec '%s'\n", mark, mark,
        PROGRAM);
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_solver) solver = NULL;
    g_autoptr(spl_mip) mip = knapsack(4);
    struct spl_mip_limits limits = {.cutoff = INFINITY};
    struct spl_mip_answer answer;
    struct spl_mip_solver door;

    (void)state;
    assert_true(g_file_set_contents(path, script, -1, NULL));
    assert_int_equal(g_chmod(path, 0755), 0);
    solver = spl_solver_open(path, 20, &error);
    expect_ok(error);
    door = spl_solver_door(solver);
    assert_true(door.solve(mip, &limits, &answer, door.data, &error));
    assert_true(g_file_test(mark, G_FILE_TEST_EXISTS));
    expect_near(answer.cost, -8, 1e-6, "");
    spl_mip_answer_clear(&answer);
    g_unlink(path);
    g_unlink(mark);
    g_rmdir(folder);
}

/* Neither a child that says nothing nor a person who stops it takes longer than was allowed. */
static gboolean at_once(gpointer data)
{
    return *(gboolean *)data;
}

static void the_seconds_are_what_it_takes(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("solverXXXXXX", NULL);
    g_autofree char *path = g_build_filename(folder, "child", NULL);

    (void)state;
    assert_true(g_file_set_contents(path, "#!/bin/sh\nexec cat >/dev/null\n", -1, NULL));
    assert_int_equal(g_chmod(path, 0755), 0);
    for (gboolean stopped = FALSE; stopped <= TRUE; stopped++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_solver) solver = spl_solver_open(path, stopped ? 60 : 1, &error);
        struct spl_mip_solver door = spl_solver_door(solver);
        struct spl_mip_limits limits = {.cutoff = INFINITY};
        struct spl_mip_answer answer;
        g_autoptr(spl_mip) mip = knapsack(4);
        gint64 began = g_get_monotonic_time();

        spl_solver_set_stop(solver, at_once, &stopped);
        assert_true(door.solve(mip, &limits, &answer, door.data, &error));
        assert_int_equal(answer.state, SPL_MIP_UNKNOWN);
        assert_null(answer.x);
        /* The one second that it was given, not the grace beside it; of the sixty nearly nothing.
         */
        if (stopped)
            assert_true(door.seconds_left(door.data) > 50);
        else
            assert_true(g_get_monotonic_time() - began < 2 * G_USEC_PER_SEC);
    }
    g_unlink(path);
    g_rmdir(folder);
}

/* ---- brute force ---------------------------------------------------------------------------- */

/* What can be taken with sites chosen for each day (bits of `masks`), as rows of a small linear
 * program over source and day; `cap` is the most of each need that counts. */
static double most_covered(const struct spl_outing_problem *p, const int *masks, const double *left,
                           const double *cap)
{
    int n_days = (int)p->days->len, n_sources = (int)p->sources->len;
    int n_needs = (int)p->needs->len, n_columns = n_sources * n_days;
    int n_rows = n_days + n_sources + n_needs + n_columns;
    g_autofree double *a = g_new0(double, (gsize)n_rows *(gsize)n_columns);
    g_autofree double *b = g_new0(double, n_rows), *worth = g_new0(double, n_columns);
    g_autofree double *x = g_new0(double, n_columns);

    for (int d = 0; d < n_days; d++)
        b[d] = MAX(left[d], 0);
    for (int s = 0; s < n_sources; s++)
        b[n_days + s] = 1;
    for (int n = 0; n < n_needs; n++)
        b[n_days + n_sources + n] = cap[n] * SPL_OUTING_NEED(p, n)->grams;
    for (int i = 0; i < n_sources; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(p, i);

        for (int d = 0; d < n_days; d++) {
            int c = i * n_days + d, row = n_days + n_sources + n_needs + c;
            gboolean may = ((masks[d] >> source->site) & 1) && spl_outing_source_open(p, i, d);

            a[row * n_columns + c] = 1;
            b[row] = may ? source->allowance_g : 0;
            a[d * n_columns + c] = spl_outing_hours_per_g(p, source->material);
            a[(n_days + source->stand) * n_columns + c] = 1 / source->allowance_g;
            for (int n = 0; n < n_needs; n++) {
                if (SPL_OUTING_NEED(p, n)->material == source->material) {
                    a[(n_days + n_sources + n) * n_columns + c] = 1;
                    worth[c] = 1 / SPL_OUTING_NEED(p, n)->grams;
                }
            }
        }
    }
    return spl_simplex(n_rows, n_columns, a, b, worth, x);
}

/* What stays open with the sites chosen, in hours: by the gram, or by whole batches (the largest
 * set of needs that can be covered together, within what is not missed). */
static double open_hours(const struct spl_outing_problem *p, const int *masks, const double *left)
{
    int n_needs = (int)p->needs->len, most = 0;
    double cap[8];

    if (p->batch_hours <= 0) {
        for (int n = 0; n < n_needs; n++)
            cap[n] = 1;
        return p->open_hours * (n_needs - most_covered(p, masks, left, cap));
    }
    for (int set = 0; set < 1 << n_needs; set++) {
        double share = 1 - p->enough_frac;
        int members = 0;

        for (int n = 0; n < n_needs; n++) {
            cap[n] = (set >> n) & 1 ? share : 0;
            members += (set >> n) & 1;
        }
        if (members > most && most_covered(p, masks, left, cap) >= members * share - 1e-6)
            most = members;
    }
    return p->batch_hours * (n_needs - most);
}

/* The least cost over every choice of sites for every day. Edges cost nothing here. */
static double brute_force(const struct spl_outing_problem *p)
{
    int n_sites = (int)p->sites->len, n_days = (int)p->days->len;
    int per_day = 1 << n_sites, total = 1;
    double best = INFINITY;

    for (int d = 0; d < n_days; d++)
        total *= per_day;
    for (int choice = 0; choice < total; choice++) {
        double travel = 0, left[8];
        gboolean possible = TRUE;
        int masks[8], code = choice;

        for (int d = 0; d < n_days; d++) {
            int sites[8], n = 0;
            double hours;

            masks[d] = code % per_day;
            code /= per_day;
            for (int s = 0; s < n_sites; s++) {
                if ((masks[d] >> s) & 1)
                    sites[n++] = s;
            }
            hours = spl_outing_round(p, sites, n, NULL, NULL);
            left[d] = SPL_OUTING_DAY(p, d)->hours - hours;
            possible = possible && n <= p->most_sites && (n == 0 || left[d] >= 0);
            if (n > 0)
                travel += p->outing_hours + hours;
        }
        if (possible && travel < best)
            best = MIN(best, travel + open_hours(p, masks, left));
    }
    return best;
}

/* `batches`: whole batches count, else grams. */
static struct spl_outing_problem *tiny(guint32 seed, gboolean batches)
{
    struct spl_outing_problem *p = outing_season(seed, 3, 2, 28);

    /* Four days in the middle, short ones, so that hours and windows bind. */
    while (p->days->len > 4)
        g_array_remove_index(p->days, seed % 2 ? 0 : p->days->len - 1);
    for (guint d = 0; d < p->days->len; d++)
        SPL_OUTING_DAY(p, d)->hours = 2.5 + 0.5 * (seed % 4);
    p->edge_hours = 0;
    p->floor_g = 0;
    if (batches)
        p->open_hours = 0;
    else
        p->batch_hours = 0;
    return p;
}

static void small_seasons_agree_with_brute_force(void **state)
{
    int solved = 0;

    (void)state;
    for (guint32 seed = 1; seed <= 40; seed++) {
        g_autoptr(GError) error = NULL;
        struct spl_outing_problem *p = tiny(seed, seed % 2 == 0);
        g_autoptr(spl_solver) solver = NULL;
        struct spl_mip_solver door;
        struct spl_outing_wish wish = {0};
        struct spl_outing_answer answer;
        double best, cost;

        if (p->sources->len == 0 || !spl_outing_problem_check(p, NULL)) {
            spl_outing_problem_free(p);
            continue;
        }
        solver = spl_solver_open(PROGRAM, 60, &error);
        door = spl_solver_door(solver);
        best = brute_force(p);
        assert_true(spl_outing_search(p, &door, &wish, &answer, &error));
        cost = answer.plan->cost - answer.reserve_hours;
        if (fabs(cost - best) > 0.01)
            fail_msg("seed %u: cost %.4f, by brute force %.4f", seed, cost, best);
        if (answer.cost_bound > best + 1e-3)
            fail_msg("seed %u: proven %.4f, but %.4f is possible", seed, answer.cost_bound, best);
        solved++;
        spl_outing_answer_clear(&answer);
        spl_outing_problem_free(p);
    }
    assert_true(solved >= 15);
}

static void what_a_limit_stopped_proves_no_more_than_is_true(void **state)
{
    /* Stopped by the clock, the library has claimed a problem with solutions to be infeasible. */
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 60, &error);
    struct spl_mip_solver door = spl_solver_door(solver);
    int stopped = 0;

    (void)state;
    for (guint32 seed = 1; seed <= 3; seed++) {
        struct spl_outing_problem *p = outing_season(seed, 4, 3, 60);
        g_autoptr(spl_outing_plan) plan = NULL;
        g_autoptr(spl_outing_model) model = NULL;
        struct spl_mip_limits limits = {.cutoff = INFINITY};
        struct spl_mip_answer answer;
        double best;

        assert_true(spl_outing_problem_check(p, &error));
        plan = spl_outing_greedy(p, 2);
        model = spl_outing_model_new(p, SPL_OUTING_GOAL_COST, plan->short_g);
        assert_true(door.solve(model->mip, &limits, &answer, door.data, &error));
        best = answer.cost;
        spl_mip_answer_clear(&answer);
        for (double seconds = 0.004; seconds < 0.3; seconds *= 1.7) {
            for (int nodes = 0; nodes < 20; nodes += 9) {
                limits = (struct spl_mip_limits){
                    .seconds = seconds, .nodes = nodes, .cutoff = plan->cost + 1};
                assert_true(door.solve(model->mip, &limits, &answer, door.data, &error));
                stopped += answer.state != SPL_MIP_OPTIMAL;
                assert_int_not_equal(answer.state, SPL_MIP_INFEASIBLE);
                if (answer.bound > best + 1e-4)
                    fail_msg("seed %u, %.3f s, %d nodes: proven %.4f, but %.4f is possible", seed,
                             seconds, nodes, answer.bound, best);
                spl_mip_answer_clear(&answer);
            }
        }
        spl_outing_problem_free(p);
    }
    assert_true(stopped > 5);
}

static void the_same_nodes_give_the_same_plan(void **state)
{
    double cost[2] = {0}, bound[2] = {0};

    (void)state;
    for (int turn = 0; turn < 2; turn++) {
        g_autoptr(GError) error = NULL;
        struct spl_outing_problem *p = outing_season(4, 7, 6, 90);
        g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 300, &error);
        struct spl_mip_solver door = spl_solver_door(solver);
        struct spl_outing_wish wish = {.nodes = 60};
        struct spl_outing_answer answer;

        assert_true(spl_outing_problem_check(p, &error));
        assert_true(spl_outing_search(p, &door, &wish, &answer, &error));
        assert_int_not_equal(answer.stop, SPL_OUTING_STOP_SECONDS);
        cost[turn] = answer.plan->cost;
        bound[turn] = answer.cost_bound;
        assert_true(answer.cost_bound <= answer.plan->cost + 1e-6);
        spl_outing_answer_clear(&answer);
        spl_outing_problem_free(p);
    }
    assert_true(cost[0] == cost[1]);
    assert_true(bound[0] == bound[1]);
}

static void plans_keep_racks_intervals_and_kept_outings(void **state)
{
    (void)state;
    for (guint32 seed = 1; seed <= 4; seed++) {
        g_autoptr(GError) error = NULL;
        struct spl_outing_problem *p = outing_season(seed, 6, 5, 70);
        g_autoptr(spl_solver) solver = spl_solver_open(PROGRAM, 20, &error);
        struct spl_mip_solver door = spl_solver_door(solver);
        struct spl_outing_wish wish = {.nodes = 100};
        struct spl_outing_answer answer;
        int rack = spl_outing_add_store(p, "the rack", 1500, 6), site = 2;

        SPL_OUTING_MATERIAL(p, 0)->store = rack;
        SPL_OUTING_MATERIAL(p, 1)->store = rack;
        SPL_OUTING_MATERIAL(p, 2)->every_days = 5;
        SPL_OUTING_NEED(p, 3)->by = spl_day_add(SPL_OUTING_DAY(p, 0)->day, 50);
        spl_outing_fix_day(p, 10, &site, 1);
        assert_true(spl_outing_problem_check(p, &error));
        assert_true(spl_outing_search(p, &door, &wish, &answer, &error));
        assert_int_equal(spl_outing_check(p, answer.plan)->len, 0);
        assert_true(answer.cost_bound <= answer.plan->cost + 1e-6);
        spl_outing_answer_clear(&answer);
        spl_outing_problem_free(p);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_child_solves_one_problem_after_another),
    cmocka_unit_test(a_relaxation_gives_its_optimum),
    cmocka_unit_test(an_infeasible_problem_has_no_solution),
    cmocka_unit_test(a_start_is_taken),
    cmocka_unit_test(a_child_that_is_not_there_is_said),
    cmocka_unit_test(the_search_survives_a_child_that_misbehaves),
    cmocka_unit_test(a_child_that_fell_over_gets_a_second_one),
    cmocka_unit_test(the_seconds_are_what_it_takes),
    cmocka_unit_test(small_seasons_agree_with_brute_force),
    cmocka_unit_test(what_a_limit_stopped_proves_no_more_than_is_true),
    cmocka_unit_test(the_same_nodes_give_the_same_plan),
    cmocka_unit_test(plans_keep_racks_intervals_and_kept_outings),
};
expect_main(tests)
