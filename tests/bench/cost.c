/* SPDX-License-Identifier: MIT
 *
 * What a command costs: runs it, many times, and prints the medians of its seconds of wall and of
 * processor time, and its greatest peak of memory in MB.
 *
 *   cost RUNS 'before' 'command'    'before' runs ahead of each, unmeasured; '' for none
 *
 * Words are in shell quoting but no shell is in between. A command that fails ends it all.
 */
#include <fcntl.h>
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

static double seconds(struct timeval time)
{
    return (double)time.tv_sec + (double)time.tv_usec / 1e6;
}

static void run(const char *line, double *wall, double *cpu, long *peak_mb)
{
    g_auto(GStrv) argv = NULL;
    struct rusage usage;
    int status;

    if (!g_shell_parse_argv(line, NULL, &argv, NULL)) {
        fprintf(stderr, "cost: not a command line: %s\n", line);
        exit(2);
    }
    gint64 begin = g_get_monotonic_time();
    pid_t child = vfork();
    if (child == 0) {
        int null = open("/dev/null", O_RDWR);
        dup2(null, 0);
        dup2(null, 1);
        dup2(null, 2);
        execvp(argv[0], argv);
        _exit(127);
    }
    if (child < 0 || wait4(child, &status, 0, &usage) != child || status != 0) {
        fprintf(stderr, "cost: failed: %s\n", line);
        exit(1);
    }
    *wall = (double)(g_get_monotonic_time() - begin) / 1e6;
    *cpu = seconds(usage.ru_utime) + seconds(usage.ru_stime);
    *peak_mb = MAX(*peak_mb, usage.ru_maxrss / 1024);
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
        fprintf(stderr, "usage: cost RUNS 'before' 'command'\n");
        return 2;
    }
    g_autofree double *wall = g_new(double, runs), *cpu = g_new(double, runs);
    long peak_mb = 0, unused = 0;
    for (int i = 0; i < runs; i++) {
        if (argv[2][0] != '\0')
            run(argv[2], &wall[i], &cpu[i], &unused);
        run(argv[3], &wall[i], &cpu[i], &peak_mb);
    }
    qsort(wall, (size_t)runs, sizeof(double), compare);
    qsort(cpu, (size_t)runs, sizeof(double), compare);
    printf("%.3f %.3f %ld\n", wall[runs / 2], cpu[runs / 2], peak_mb);
    return 0;
}
