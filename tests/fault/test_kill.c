/* SPDX-License-Identifier: MIT
 *
 * Two processes write into one book and are killed at random moments. What a command had printed as
 * done, by the list that its parent keeps and syncs, must be in the book; the book must pass its
 * own check; nothing may be there in half.
 *
 * SIMPLING_KILLS is the number of kills, 60 if unset.
 */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "expect.h"
#include "fault_loop.h"
#include "fault_program.h"

#define WORKERS 2

/* A command that makes a record with a code, the list that shows it, and the text of the whole. */
struct maker {
    const char *words;
    const char *list;
};

static const struct maker makers[] = {
    {"harvest add 'Fell Side' nettle/leaf --weight 100g --stage 35 --by Ann --json",
     "harvest list --json"},
    {"purchase add calendula/flower --weight 50g --garden --json", "purchase list --json"},
};

static const char *const set_up_words[] = {
    "book init --mark ANN",
    "book set who Ann",
    "site add 'Fell Side' --at 54.6012,-2.5871 --elevation 210 --accuracy 10",
    "site permit 'Fell Side' --given --by Ann --parts any",
    "spray note 'Fell Side' --kind unsprayed --source Ann --since 2019-01-01",
};

/* The code in a JSON answer, or NULL if no whole one is there. Free with g_free. */
static char *code_in(const char *json)
{
    g_autoptr(GRegex) regex = g_regex_new("\"code\": *\"([A-Z][0-9]{2}-[0-9]{3,})\"", 0, 0, NULL);
    g_autoptr(GMatchInfo) match = NULL;
    return g_regex_match(regex, json, 0, &match) ? g_match_info_fetch(match, 1) : NULL;
}

static void note(const char *acks, int maker, const char *code)
{
    g_autofree char *line = g_strdup_printf("%d %s\n", maker, code);
    int fd = open(acks, O_WRONLY | O_APPEND | O_CREAT, 0600);
    if (fd < 0 || write(fd, line, strlen(line)) != (ssize_t)strlen(line) || fsync(fd) != 0)
        abort();
    close(fd);
}

/* One of the two: makes records, killed each time after a random while, until n were killed. */
static void work(const char *book, const char *acks, int n, int longest_us, guint32 seed)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(seed);
    for (int killed = 0, tries = 0; killed < n && tries < 20 * n; tries++) {
        int which = g_rand_int_range(rand, 0, G_N_ELEMENTS(makers));
        struct fault_run run;
        fault_program_run(makers[which].words, book, g_rand_int_range(rand, 0, longest_us), NULL,
                          -1, &run);
        g_autofree char *code = code_in(run.out);
        if (run.status == 128 + SIGKILL)
            killed++;
        else if (run.status != 0) {
            fprintf(stderr, "%s: status %d: %s\n", makers[which].words, run.status, run.err);
            _exit(1);
        } else if (code == NULL) {
            fprintf(stderr, "%s: done without a code: %s\n", makers[which].words, run.out);
            _exit(1);
        }
        if (code != NULL)
            note(acks, which, code);
        fault_run_clear(&run);
    }
    _exit(0);
}

static void run_well(const char *words, const char *book)
{
    struct fault_run run;
    fault_program_run(words, book, -1, NULL, -1, &run);
    if (run.status != 0)
        fail_msg("%s: status %d: %s", words, run.status, run.err);
    fault_run_clear(&run);
}

/* Twice the time that the slowest maker takes in peace, in microseconds. */
static int twice_the_time(const char *book)
{
    gint64 longest = 0;
    for (size_t i = 0; i < G_N_ELEMENTS(makers); i++) {
        gint64 begin = g_get_monotonic_time();
        run_well(makers[i].words, book);
        longest = MAX(longest, g_get_monotonic_time() - begin);
    }
    return (int)(2 * longest);
}

static void nothing_acknowledged_is_lost_when_writers_are_killed(void **state)
{
    const char *wanted = g_getenv("SIMPLING_KILLS");
    int kills = wanted != NULL ? (int)g_ascii_strtoll(wanted, NULL, 10) : 60;
    g_autofree char *book = g_build_filename(fault_scratch(), "book.db", NULL);
    g_autofree char *acks = g_build_filename(fault_scratch(), "acks", NULL);
    g_autofree char *text = NULL;
    GError *error = NULL;
    pid_t workers[WORKERS];
    int missing = 0, acked = 0;
    (void)state;

    for (size_t i = 0; i < G_N_ELEMENTS(set_up_words); i++)
        run_well(set_up_words[i], book);
    int longest_us = twice_the_time(book);
    for (int i = 0; i < WORKERS; i++) {
        fflush(NULL);
        workers[i] = fork();
        if (workers[i] == 0)
            work(book, acks, kills / WORKERS, longest_us, (guint32)(1027 + i));
    }
    for (int i = 0; i < WORKERS; i++) {
        int status;
        assert_int_equal(waitpid(workers[i], &status, 0), workers[i]);
        assert_int_equal(status, 0);
    }

    if (!fault_program_check(book, &error))
        fail_msg("the book's check: %s", error->message);
    g_file_get_contents(acks, &text, NULL, &error);
    expect_ok(error);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    for (size_t m = 0; m < G_N_ELEMENTS(makers); m++) {
        struct fault_run run;
        fault_program_run(makers[m].list, book, -1, NULL, -1, &run);
        assert_int_equal(run.status, 0);
        for (char **line = lines; *line != NULL; line++) {
            if (**line == '\0' || **line - '0' != (int)m)
                continue;
            g_autofree char *quoted = g_strdup_printf("\"%s\"", *line + 2);
            acked++;
            if (strstr(run.out, quoted) == NULL) {
                print_error("acknowledged and lost: %s\n", *line + 2);
                missing++;
            }
        }
        fault_run_clear(&run);
    }
    print_message("%d kills, %d acknowledged, %d lost\n", kills, acked, missing);
    assert_int_equal(missing, 0);
    assert_true(acked >= kills / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_acknowledged_is_lost_when_writers_are_killed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
