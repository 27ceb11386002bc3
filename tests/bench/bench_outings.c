/* SPDX-License-Identifier: MIT
 *
 * The season plan beside the program `cbc` on the same LP for the same time:
 *     bench_outings SITES MATERIALS DAYS SEED SECONDS [lp FILE|whole] [proven]
 * Prints the first plan, each gain, the last plan with its proven bound; with `lp` the model is
 * written to FILE and given to the program cbc for the same seconds, whose words follow. Within
 * half a per cent is enough, as for a person, but with `proven`, which stops at nothing but the
 * best plan.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/outing_check.h"
#include "core/outing_greedy.h"
#include "core/outing_model.h"
#include "core/outing_search.h"
#include "exchange/solver.h"
#include "outing_season.h"

#ifndef SPL_BUILD_DIR
#define SPL_BUILD_DIR "."
#endif

static gint64 began;

static double seconds(void)
{
    return (double)(g_get_monotonic_time() - began) / G_USEC_PER_SEC;
}

static void tell(const struct spl_outing_step *step, gpointer data)
{
    (void)data;
    printf("%7.2f s  stage %d  cost %.3f h  bound %.3f h  outings %d  nodes %d\n", seconds(),
           (int)step->stage, step->cost, step->bound, step->outings, step->nodes);
    fflush(stdout);
}

/* The lines of the program cbc that tell its result. */
static void run_cbc(const char *path, const char *limit)
{
    char *words[] = {"cbc", (char *)path,  "timeMode", "elapsed",
                     "sec", (char *)limit, "solve",    NULL};
    g_autofree char *out = NULL;
    g_auto(GStrv) lines = NULL;

    printf("cbc %s timeMode elapsed sec %s solve\n", path, limit);
    if (!g_spawn_sync(NULL, words, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &out, NULL, NULL, NULL)) {
        printf("cbc: cannot be run\n");
        return;
    }
    lines = g_strsplit(out, "\n", -1);
    for (guint i = 0; lines[i] != NULL; i++) {
        if (strstr(lines[i], "Objective value") != NULL ||
            strstr(lines[i], "Lower bound") != NULL || g_str_has_prefix(lines[i], "Result") ||
            g_str_has_prefix(lines[i], "Gap"))
            printf("cbc: %s\n", lines[i]);
    }
}

int main(int argc, char **argv)
{
    g_autoptr(GError) error = NULL;
    struct spl_outing_problem *problem;
    struct spl_outing_wish wish = {.tell = tell};
    struct spl_outing_answer answer;
    struct spl_solver *solver;
    struct spl_mip_solver door;

    if (argc < 6) {
        fprintf(stderr, "usage: bench_outings SITES MATERIALS DAYS SEED SECONDS [lp FILE|whole] "
                        "[proven]\n"
                        "SECONDS 0: the default work instead; whole: each gram is wanted, at any "
                        "price\n");
        return EXIT_FAILURE;
    }
    problem = outing_season((guint32)atoi(argv[4]), atoi(argv[1]), atoi(argv[2]), atoi(argv[3]));
    if (argc > 6 && strcmp(argv[6], "whole") == 0) {
        problem->open_hours = 1000;
        problem->batch_hours = problem->enough_frac = problem->floor_g = 0;
    }
    began = g_get_monotonic_time();
    if (!spl_outing_problem_check(problem, &error)) {
        fprintf(stderr, "%s\n", error->message);
        return EXIT_FAILURE;
    }
    solver = spl_solver_open(SPL_BUILD_DIR "/libexec/simpling/simpling-solve",
                             atof(argv[5]) > 0 ? atof(argv[5]) : 3600, &error);
    wish.nodes = atof(argv[5]) > 0 ? 0 : spl_outing_default_nodes(problem);
    wish.gap = strcmp(argv[argc - 1], "proven") == 0 ? 0 : 0.005;
    if (solver == NULL) {
        fprintf(stderr, "%s\n", error->message);
        return EXIT_FAILURE;
    }
    door = spl_solver_door(solver);
    if (!spl_outing_search(problem, &door, &wish, &answer, &error)) {
        fprintf(stderr, "%s\n", error->message);
        return EXIT_FAILURE;
    }
    printf(
        "plan: %.2f s, cost %.3f h (%.3f for reserves), bound %.3f h, gap %.1f %%, outings %u (at "
        "least %d), shortage %.4f, open %.3f h, nodes %d\n",
        seconds(), answer.plan->cost, answer.reserve_hours, answer.cost_bound, 100 * answer.gap,
        answer.plan->outings->len, answer.count_bound,
        spl_outing_plan_shortage(problem, answer.plan), answer.plan->parts.open, answer.nodes);
    spl_solver_close(solver);
    if (argc > 7 && strcmp(argv[6], "lp") == 0) {
        struct spl_outing_model *model =
            spl_outing_model_new(problem, SPL_OUTING_GOAL_COST, answer.plan->short_g);
        GString *text = spl_mip_lp(model->mip, "season");

        if (!g_file_set_contents(argv[7], text->str, (gssize)text->len, &error))
            fprintf(stderr, "%s\n", error->message);
        else
            run_cbc(argv[7], argv[5]);
        g_string_free(text, TRUE);
        spl_outing_model_free(model);
    }
    spl_outing_answer_clear(&answer);
    spl_outing_problem_free(problem);
    return EXIT_SUCCESS;
}
