/* SPDX-License-Identifier: MIT
 *
 * Two command lines side by side: runs them in turn, many times, and prints the medians of their
 * wall time in milliseconds.
 *
 *   side RUNS 'ours' 'theirs'      prints "OURS THEIRS"; theirs may be '' for none
 *
 * Words are in shell quoting but no shell is in between. `@` in a word becomes the number of the
 * run, for commands that make a new thing each time. A command that fails ends it all.
 */
#include <fcntl.h>
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static char **words_of(const char *line, int run)
{
    g_autofree char *number = g_strdup_printf("%d", run);
    g_auto(GStrv) parts = g_strsplit(line, "@", -1);
    g_autofree char *whole = g_strjoinv(number, parts);
    char **argv = NULL;
    if (!g_shell_parse_argv(whole, NULL, &argv, NULL)) {
        fprintf(stderr, "side: not a command line: %s\n", line);
        exit(2);
    }
    return argv;
}

/* Milliseconds of one run. */
static double run(const char *line, int number)
{
    g_auto(GStrv) argv = words_of(line, number);
    int status;
    gint64 begin = g_get_monotonic_time();
    pid_t child = vfork();
    if (child == 0) {
        int null = open("/dev/null", O_RDWR);
        dup2(null, 0);
        dup2(null, 1);
        execvp(argv[0], argv);
        _exit(127);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status) ||
        WEXITSTATUS(status) == 1 || WEXITSTATUS(status) == 2 || WEXITSTATUS(status) > 4) {
        fprintf(stderr, "side: failed: %s\n", line);
        exit(1);
    }
    return (double)(g_get_monotonic_time() - begin) / 1000;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    int runs = argc == 4 ? atoi(argv[1]) : 0;
    if (runs < 1) {
        fprintf(stderr, "usage: side RUNS 'ours' 'theirs'\n");
        return 2;
    }
    double *times[2] = {g_new(double, runs), g_new(double, runs)};
    for (int i = -1; i < runs; i++) /* the first warms up */
        for (int side = 0; side < 2; side++) {
            double ms = argv[2 + side][0] != '\0' ? run(argv[2 + side], i + 1) : 0;
            if (i >= 0)
                times[side][i] = ms;
        }
    for (int side = 0; side < 2; side++)
        qsort(times[side], (size_t)runs, sizeof(double), compare);
    printf("%.3f %.3f\n", times[0][runs / 2], times[1][runs / 2]);
    return 0;
}
