/* SPDX-License-Identifier: MIT
 *
 * The program as a person calls it: arguments in, exit status, stdout and stderr out, in a folder
 * and with a book of its own. LANG is unset; today is given, so no test depends on the clock.
 */
#ifndef SPL_TESTS_COMMAND_CLI_H
#define SPL_TESTS_COMMAND_CLI_H

#include <glib/gstdio.h>
#include <jansson.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "expect.h"

#define CLI_TODAY "2027-06-20"

struct cli {
    char *folder, *book;
    const char *program; /* NULL: the built one */
    const char *today;
    int status; /* of the last call */
    char *out, *err;
};

static inline void cli_remove(const char *path)
{
    /* What a link leads to is not ours. */
    GDir *dir = g_file_test(path, G_FILE_TEST_IS_SYMLINK) ? NULL : g_dir_open(path, 0, NULL);
    const char *name;

    if (dir != NULL) {
        while ((name = g_dir_read_name(dir)) != NULL) {
            g_autofree char *inner = g_build_filename(path, name, NULL);

            cli_remove(inner);
        }
        g_dir_close(dir);
    }
    g_remove(path);
}

/* Runs simpling with these arguments (NULL-ended). `input` goes to stdin, NULL: none. */
static inline int cli_argv(struct cli *cli, const char *const *args)
{
    g_autoptr(GPtrArray) argv = g_ptr_array_new();
    g_auto(GStrv) env = g_get_environ();
    g_autoptr(GError) error = NULL;
    int status;

    g_ptr_array_add(argv, cli->program != NULL ? (gpointer)cli->program
                                               : (gpointer)(SPL_BUILD_DIR "/bin/simpling"));
    for (; *args != NULL; args++)
        g_ptr_array_add(argv, (gpointer)*args);
    g_ptr_array_add(argv, NULL);
    env = g_environ_unsetenv(env, "LANG");
    env = g_environ_unsetenv(env, "LC_ALL");
    env = g_environ_unsetenv(env, "SIMPLING_DATA");
    env = g_environ_setenv(env, "SIMPLING_BOOK", cli->book, TRUE);
    env = g_environ_setenv(env, "SIMPLING_TODAY", cli->today, TRUE);
    env = g_environ_setenv(env, "XDG_CONFIG_HOME", cli->folder, TRUE);
    g_clear_pointer(&cli->out, g_free);
    g_clear_pointer(&cli->err, g_free);
    if (!g_spawn_sync(cli->folder, (char **)argv->pdata, env, G_SPAWN_DEFAULT, NULL, NULL,
                      &cli->out, &cli->err, &status, &error))
        fail_msg("cannot start the program: %s", error->message);
    if (!WIFEXITED(status))
        fail_msg("the program was killed by signal %d: %s", WTERMSIG(status), cli->err);
    cli->status = WEXITSTATUS(status);
    return cli->status;
}

/* The same for one line, split as a shell splits words. */
static inline int cli_run(struct cli *cli, const char *line)
{
    g_auto(GStrv) args = NULL;
    g_autoptr(GError) error = NULL;

    if (!g_shell_parse_argv(line, NULL, &args, &error))
        fail_msg("%s: %s", line, error->message);
    return cli_argv(cli, (const char *const *)args);
}

/* A line that must succeed; what it printed on stdout (borrowed). */
static inline const char *cli_ok(struct cli *cli, const char *line)
{
    if (cli_run(cli, line) != 0)
        fail_msg("%s: status %d: %s", line, cli->status, cli->err);
    return cli->out;
}

/* The JSON that a line prints (with --json in it), whatever its status; json_decref it. */
static inline json_t *cli_json(struct cli *cli, const char *line)
{
    json_error_t error;
    json_t *json;

    cli_run(cli, line);
    json = json_loads(cli->out, 0, &error);
    if (json == NULL)
        fail_msg("%s: status %d, no JSON (%s): %s%s", line, cli->status, error.text, cli->out,
                 cli->err);
    return json;
}

static inline const char *json_text(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));

    return text != NULL ? text : "";
}

static inline double json_number(const json_t *object, const char *key)
{
    return json_is_number(json_object_get(object, key))
               ? json_number_value(json_object_get(object, key))
               : (double)NAN;
}

static inline char *cli_checksum(const struct cli *cli)
{
    return spl_file_checksum(cli->book, NULL);
}

/*
 * A line that must be refused: this status, nothing on stdout, one line on stderr (after the one
 * that names today) that begins with "simpling:", with --json is an object, and holds `part`, and
 * the book as it was. Below the line, where it is known, what would settle it: "next: …" and lines
 * to paste, set in by two.
 */
static inline gboolean cli_is_one_line(const char *said)
{
    g_auto(GStrv) lines = g_strsplit(said, "\n", -1);
    guint n = g_strv_length(lines);

    for (guint i = 1; i + 1 < n; i++)
        if (!g_str_has_prefix(lines[i], "next: ") && !g_str_has_prefix(lines[i], "  simpling "))
            return FALSE;
    return n >= 2 && *lines[n - 1] == '\0';
}

static inline void cli_refused_argv(struct cli *cli, const char *const *args, int status,
                                    const char *part)
{
    g_autofree char *before = cli_checksum(cli), *after = NULL;
    g_autofree char *shown = g_strjoinv(" ", (char **)args);
    const char *said;

    cli_argv(cli, args);
    if (strlen(shown) > 120)
        shown[120] = '\0';
    said = cli->err;
    if (g_str_has_prefix(said, "simpling: today is taken"))
        said = strchr(said, '\n') + 1;
    if (cli->status != status)
        fail_msg("%s: status %d, expected %d: %s", shown, cli->status, status, cli->err);
    if (*cli->out != '\0')
        fail_msg("%s: printed '%s' although refused", shown, cli->out);
    if (!g_str_has_prefix(said, g_strv_contains(args, "--json") ? "{\"error\":" : "simpling: ") ||
        !cli_is_one_line(said))
        fail_msg("%s: not one line: %s", shown, said);
    if (strstr(said, part) == NULL)
        fail_msg("%s: '%s' does not say '%s'", shown, said, part);
    for (const char *p = said; *p != '\0'; p++) {
        if ((guchar)*p < 0x20 && *p != '\n')
            fail_msg("%s: the message holds control characters", shown);
    }
    assert_true(g_utf8_validate(said, -1, NULL));
    after = cli_checksum(cli);
    if (g_strcmp0(before, after) != 0)
        fail_msg("%s: was refused, but the book changed", shown);
}

static inline void cli_refused(struct cli *cli, const char *line, int status, const char *part)
{
    g_auto(GStrv) args = NULL;

    assert_true(g_shell_parse_argv(line, NULL, &args, NULL));
    cli_refused_argv(cli, (const char *const *)args, status, part);
}

static inline int cli_set_up(void **state)
{
    struct cli *cli = g_new0(struct cli, 1);

    cli->folder = g_dir_make_tmp("spl-cli-XXXXXX", NULL);
    cli->book = g_build_filename(cli->folder, "book.db", NULL);
    cli->today = CLI_TODAY;
    cli_ok(cli, "book init --mark ANN");
    *state = cli;
    return 0;
}

static inline int cli_tear_down(void **state)
{
    struct cli *cli = *state;

    cli_remove(cli->folder);
    g_free(cli->folder);
    g_free(cli->book);
    g_free(cli->out);
    g_free(cli->err);
    g_free(cli);
    return 0;
}

/* A site that is clear on CLI_TODAY. */
static inline void cli_clear_site(struct cli *cli, const char *name)
{
    g_autofree char *add =
        g_strdup_printf("site add '%s' --at 54.6012,-2.5871 --elevation 210 --accuracy 10", name);
    g_autofree char *permit = g_strdup_printf(
        "site permit '%s' --given --by 'the tenant' --parts any --on 2027-03-01", name);
    g_autofree char *word = g_strdup_printf("spray note '%s' --kind unsprayed --source 'the "
                                            "tenant' --on 2027-05-20 --since 2020-01-01",
                                            name);

    cli_ok(cli, add);
    cli_ok(cli, permit);
    cli_ok(cli, word);
}

#define cli_test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

#endif
