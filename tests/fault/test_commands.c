/* SPDX-License-Identifier: MIT
 *
 * Every writing command under every fault: the examples of its help, each on a copy of the demo
 * book as the examples before it left it; what writes with an option, and what makes a new book.
 * The program is the finished one with the fault VFS loaded into it.
 *
 *   commands [FIRST-WORD]     only the commands that begin so
 *
 * With SIMPLING_FAULT=wide or all: every fault under one example of each group of commands, the
 * most telling ones under one of each other command; "all" takes small steps from one operation to
 * the next, and every example. Otherwise these under a few commands only.
 */
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>

#include "command/command.h"
#include "expect.h"
#include "fault_check.h"
#include "fault_loop.h"
#include "fault_program.h"
#include "photo_png.h"

/* The most telling faults. */
static const enum fault_kind few[] = {FAULT_WRITE,  FAULT_FULL, FAULT_SYNC, FAULT_OPEN,
                                      FAULT_DELETE, FAULT_DROP, FAULT_NONE};

static char *demo;  /* the demo's folder */
static char *start; /* the book that the next example begins with */
static const char *only;

static void copy_file(const char *from, const char *to)
{
    g_autofree char *bytes = NULL;
    gsize n;
    GError *error = NULL;
    g_file_get_contents(from, &bytes, &n, &error);
    expect_ok(error);
    g_file_set_contents(to, bytes, (gssize)n, &error);
    expect_ok(error);
}

/* The words of an example after "simpling". */
static const char *words_of(const char *example)
{
    assert_true(g_str_has_prefix(example, "simpling "));
    return example + strlen("simpling ");
}

static char *group_of(const struct spl_command *command)
{
    const char *space = strchr(command->words, ' ');
    return space != NULL ? g_strndup(command->words, (gsize)(space - command->words))
                         : g_strdup(command->words);
}

/* The commands of the quick run: one row, and one that draws on another record. */
static gboolean is_quick(const struct spl_command *command)
{
    return strcmp(command->words, "harvest add") == 0 || strcmp(command->words, "batch press") == 0;
}

/* Its example asks a host that there is not; command.follow has a service of its own for it. */
static gboolean asks_a_host(const struct spl_command *command)
{
    return strcmp(command->words, "weather follow") == 0 ||
           strcmp(command->words, "weather refresh") == 0;
}

/* A copy that an earlier run lent is in the way of the next. */
static gboolean act_without_a_copy(const char *book, gpointer data, GError **error)
{
    g_autofree char *copy = g_build_filename(demo, "laptop.db", NULL);

    g_unlink(copy);
    return fault_program_act(book, data, error);
}

/* Whether the example changes the book, found out on a copy that becomes the next start. */
static gboolean changes_the_book(const char *words)
{
    struct fault_run run;
    g_autofree char *before = fault_fingerprint(start);
    fault_program_run(words, start, -1, NULL, -1, &run);
    if (run.status != 0)
        fail_msg("%s: status %d: %s", words, run.status, run.err);
    fault_run_clear(&run);
    g_autofree char *after = fault_fingerprint(start);
    return strcmp(before, after) != 0;
}

static void every_writing_command_is_done_or_leaves_the_book_as_it_was(void **state)
{
    g_autoptr(GHashTable) groups = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    gboolean all = fault_wide();
    g_autofree char *original = g_build_filename(demo, "book.db", NULL);
    g_autofree char *before = g_strconcat(start, ".before", NULL);
    int runs = 0, actions = 0;
    (void)state;

    for (gsize i = 0; i < spl_n_commands; i++) {
        const struct spl_command *command = spl_commands[i];
        if (command->needs != SPL_NEEDS_WRITE || command->examples == NULL ||
            asks_a_host(command) || (only != NULL && !g_str_has_prefix(command->words, only)) ||
            (only == NULL && !all && !is_quick(command)))
            continue;
        copy_file(original, start);
        for (gsize e = 0; command->examples[e] != NULL; e++) {
            const char *words = words_of(command->examples[e]);
            copy_file(start, before);
            if (!changes_the_book(words))
                continue;
            gboolean first = g_hash_table_add(groups, group_of(command));
            gboolean lends = strcmp(command->words, "book lend") == 0;
            struct fault_action action = {.name = words,
                                          .act = lends ? act_without_a_copy : fault_program_act,
                                          .check = fault_check_book,
                                          .start = before,
                                          .beside = demo,
                                          .data = (gpointer)words};
            int n = fault_loop(&action, all && first ? NULL : few);
            print_message("%5d faulty runs: %s\n", n, words);
            runs += n;
            actions++;
            if (!fault_all())
                break; /* one example of each command is enough */
        }
    }
    print_message("%d faulty runs of %d actions\n", runs, actions);
    assert_true(actions > 0);
}

/* Makes the demo's task list into one in which all is ticked. */
static void tick_every_task(void)
{
    g_autofree char *path = g_build_filename(demo, "tasks.ics", NULL);
    g_autofree char *text = NULL;
    g_auto(GStrv) parts = NULL;
    g_autofree char *ticked = NULL;
    GError *error = NULL;

    g_file_get_contents(path, &text, NULL, &error);
    expect_ok(error);
    parts = g_strsplit(text, "STATUS:NEEDS-ACTION", -1);
    assert_true(g_strv_length(parts) > 1);
    ticked = g_strjoinv("STATUS:COMPLETED\r\nCOMPLETED:20270620T080000Z", parts);
    g_file_set_contents(path, ticked, -1, &error);
    expect_ok(error);
}

/* Commands that read, but write with an option. */
static void what_writes_with_an_option_is_done_or_leaves_the_book_as_it_was(void **state)
{
    static const char *const actions[] = {"calendar read tasks.ics --apply",
                                          "trace 'Withy Gill' --sprayed 2026-05 --withdraw"};
    g_autofree char *original = g_build_filename(demo, "book.db", NULL);
    (void)state;

    if (only != NULL)
        skip();
    tick_every_task();
    for (gsize i = 0; i < G_N_ELEMENTS(actions); i++) {
        struct fault_action action = {.name = actions[i],
                                      .act = fault_program_act,
                                      .check = fault_check_book,
                                      .start = original,
                                      .beside = demo,
                                      .data = (gpointer)actions[i]};

        print_message("%5d faulty runs: %s\n", fault_loop(&action, few), actions[i]);
    }
}

/* Commands that make a book where there is none. */
static void a_new_book_is_there_whole_or_not_at_all(void **state)
{
    /* When the power goes out during the interview, the answers so far stand. */
    static const enum fault_kind of_interviews[] = {FAULT_WRITE, FAULT_FULL,   FAULT_SYNC,
                                                    FAULT_OPEN,  FAULT_DELETE, FAULT_NONE};
    static const struct {
        const char *words;
        const enum fault_kind *kinds;
    } actions[] = {
        {"book init --mark ANN", few},
        {"start --quiet --mark EDD --who Edda --home 54.5903,-2.6021 --country GB", of_interviews},
        {"book import everything", few},
    };
    g_autofree char *original = g_build_filename(demo, "book.db", NULL);
    struct fault_run run;
    (void)state;

    if (only != NULL)
        skip();
    fault_program_run("book export everything", original, -1, NULL, -1, &run);
    if (run.status != 0)
        fail_msg("book export: %s", run.err);
    fault_run_clear(&run);
    for (gsize i = 0; i < G_N_ELEMENTS(actions); i++) {
        struct fault_action action = {.name = actions[i].words,
                                      .act = fault_program_act,
                                      .check = fault_check_book,
                                      .beside = demo,
                                      .data = (gpointer)actions[i].words};

        print_message("%5d faulty runs: %s\n", fault_loop(&action, actions[i].kinds),
                      actions[i].words);
    }
}

static int set_up(void **state)
{
    struct fault_run run;
    (void)state;
    demo = g_strdup_printf("%s.demo", fault_scratch());
    start = g_strdup_printf("%s.start", fault_scratch());
    g_autofree char *words = g_strdup_printf("demo %s", demo);
    fault_program_run(words, "/nonexistent/book.db", -1, NULL, -1, &run);
    if (run.status != 0) {
        print_error("demo: status %d: %s\n", run.status, run.err);
        return -1;
    }
    fault_run_clear(&run);
    g_autofree char *copy =
        g_strdup_printf("cp -r '" SPL_SOURCE_DIR "/tests/command/samples'/. '%s'", demo);
    if (!g_spawn_command_line_sync(copy, NULL, NULL, NULL, NULL))
        return -1;
    g_autofree char *photo = g_build_filename(demo, "leaf-base.jpg", NULL);
    if (!g_file_set_contents(photo, (const char *)photo_png, (gssize)sizeof photo_png, NULL))
        return -1;
    fault_program_folder = demo;
    return 0;
}

static int tear_down(void **state)
{
    g_autofree char *photos = g_strconcat(start, ".photos", NULL);
    const char *argv[] = {"rm", "-rf", demo, start, photos, NULL};
    (void)state;
    g_spawn_sync("/", (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, NULL);
    g_free(demo);
    g_free(start);
    return 0;
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_writing_command_is_done_or_leaves_the_book_as_it_was),
        cmocka_unit_test(what_writes_with_an_option_is_done_or_leaves_the_book_as_it_was),
        cmocka_unit_test(a_new_book_is_there_whole_or_not_at_all),
    };
    if (argc > 1)
        only = argv[1];
    fault_install();
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
