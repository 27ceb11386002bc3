/* SPDX-License-Identifier: MIT
 *
 * Runs the everyday program as a person's shell would, from a test.
 */
#define _GNU_SOURCE /* pipe2 */
#include "fault_program.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "expect.h"
#include "fault_vfs.h"

const char *fault_program_folder;

void fault_run_clear(struct fault_run *run)
{
    g_clear_pointer(&run->out, g_free);
    g_clear_pointer(&run->err, g_free);
}

/* In the child: becomes the program. */
static void become(char **argv, const char *book, const char *plan, int out, int err)
{
    g_autoptr(GPtrArray) env = g_ptr_array_new();
    g_ptr_array_add(env, g_strdup("PATH=/usr/bin:/bin"));
    g_ptr_array_add(env, g_strdup("HOME=/nonexistent"));
    g_ptr_array_add(env, g_strdup("LC_ALL=C.UTF-8"));
    g_ptr_array_add(env, g_strdup("XDG_CONFIG_HOME=/nonexistent"));
    g_ptr_array_add(env, g_strdup("SIMPLING_TODAY=" FAULT_TODAY));
    g_ptr_array_add(env, g_strdup_printf("SIMPLING_BOOK=%s", book));
    if (plan != NULL) {
        g_ptr_array_add(env, g_strdup("LD_PRELOAD=" FAULT_PRELOAD));
        g_ptr_array_add(env, g_strdup_printf("SIMPLING_FAULT_PLAN=%s", plan));
    }
    g_ptr_array_add(env, NULL);
    int null = open("/dev/null", O_RDONLY);
    if (fault_program_folder != NULL && chdir(fault_program_folder) != 0)
        _exit(126);
    if (dup2(null, 0) < 0 || dup2(out, 1) < 0 || dup2(err, 2) < 0)
        _exit(126);
    execve(argv[0], argv, (char **)env->pdata);
    _exit(127);
}

/* Milliseconds to wait for output before the child is to be killed; -1 without end. */
static int wait_ms(gint64 kill_at)
{
    if (kill_at == 0)
        return -1;
    gint64 left = kill_at - g_get_monotonic_time();
    return left <= 0 ? 0 : (int)(left / 1000);
}

/* Reads both pipes until they end; kills the child when its time has come. */
static void collect(const int pipes[2], pid_t child, gint64 kill_at, GString *texts[2])
{
    struct pollfd polls[2] = {{pipes[0], POLLIN, 0}, {pipes[1], POLLIN, 0}};
    gboolean killed = FALSE;
    while (polls[0].fd >= 0 || polls[1].fd >= 0) {
        int ready = poll(polls, 2, killed ? -1 : wait_ms(kill_at));
        if (kill_at != 0 && !killed && g_get_monotonic_time() / 1000 >= kill_at / 1000) {
            gint64 left = kill_at - g_get_monotonic_time();
            if (left > 0)
                g_usleep((gulong)left);
            kill(child, SIGKILL);
            killed = TRUE;
        }
        for (int i = 0; ready > 0 && i < 2; i++) {
            char bytes[4096];
            if (polls[i].fd < 0 || polls[i].revents == 0)
                continue;
            ssize_t n = read(polls[i].fd, bytes, sizeof bytes);
            if (n > 0)
                g_string_append_len(texts[i], bytes, n);
            else
                polls[i].fd = -1;
        }
    }
}

void fault_program_run(const char *words, const char *book, int kill_us, const char *plan, int fd,
                       struct fault_run *run)
{
    g_autofree char *line = g_strdup_printf("%s %s", FAULT_PROGRAM, words);
    g_auto(GStrv) argv = NULL;
    GError *error = NULL;
    GString *texts[2] = {g_string_new(NULL), g_string_new(NULL)};
    int out[2], err[2], status;

    g_shell_parse_argv(line, NULL, &argv, &error);
    expect_ok(error);
    assert_int_equal(pipe2(out, O_CLOEXEC), 0);
    assert_int_equal(pipe2(err, O_CLOEXEC), 0);
    if (fd >= 0)
        assert_int_equal(fcntl(fd, F_SETFD, 0), 0);
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0)
        become(argv, book, plan, out[1], err[1]);
    gint64 kill_at = kill_us >= 0 ? g_get_monotonic_time() + kill_us : 0;
    close(out[1]);
    close(err[1]);
    collect((int[2]){out[0], err[0]}, child, kill_at, texts);
    close(out[0]);
    close(err[0]);
    while (waitpid(child, &status, 0) < 0)
        assert_int_equal(errno, EINTR);
    run->out = g_string_free(texts[0], FALSE);
    run->err = g_string_free(texts[1], FALSE);
    /* Said with every call here, and no part of the answer. */
    if (g_str_has_prefix(run->err, "simpling: today is taken to be")) {
        const char *rest = strchr(run->err, '\n');
        memmove(run->err, rest + 1, strlen(rest));
    }
    run->status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

gboolean fault_program_act(const char *book, gpointer words, GError **error)
{
    struct fault_run run;
    int ends[2];
    char byte;

    assert_int_equal(pipe2(ends, O_CLOEXEC), 0);
    g_autofree char *plan = fault_plan_text(ends[1]);
    fault_program_run(words, book, -1, plan, ends[1], &run);
    close(ends[1]);
    if (read(ends[0], &byte, 1) == 1)
        fault_note_fired();
    close(ends[0]);

    gboolean done = run.status == 0 || run.status == FAULT_DONE_AND_OUT;
    if (fault_is_power() && run.status == FAULT_POWER_OUT)
        _exit(FAULT_POWER_OUT); /* the harness made this process for this run alone */
    if (!done) {
        g_strchomp(run.err);
        if (run.status != 1)
            fail_msg("%s: ended with status %d: %s", (const char *)words, run.status, run.err);
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_IO, run.err);
    }
    fault_run_clear(&run);
    return done;
}

gboolean fault_program_check(const char *book, GError **error)
{
    struct fault_run run;
    fault_program_run("book check", book, -1, NULL, -1, &run);
    gboolean good = run.status == 0;
    if (!good)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT, "status %d: %s%s", run.status, run.out,
                    run.err);
    fault_run_clear(&run);
    return good;
}
