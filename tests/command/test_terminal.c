/* SPDX-License-Identifier: MIT
 *
 * On a terminal and into a pipe: widths, colours. Skipped where the machine gives no terminal (no
 * /dev/pts, as in a bare chroot).
 */
#define _GNU_SOURCE /* posix_openpt */
#include "cli.h"

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>

/* What a line prints on a terminal of 80 columns; free with g_free. */
static char *on_terminal(struct cli *cli, const char *line, const char *environment)
{
    g_autofree char *inner = g_strdup_printf("stty cols 80 && %s " SPL_BUILD_DIR
                                             "/bin/simpling %s --book %s --today " CLI_TODAY,
                                             environment, line, cli->book);
    g_autofree char *quoted = g_shell_quote(inner);
    g_autofree char *whole = g_strdup_printf("script -qec %s /dev/null </dev/null", quoted);
    const char *argv[] = {"sh", "-c", whole, NULL};
    char *out = NULL;

    if (!g_spawn_sync(cli->folder, (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &out, NULL,
                      NULL, NULL))
        fail_msg("cannot run: %s", whole);
    return out;
}

static void a_terminal_of_eighty_columns_holds_every_line(void **state)
{
    static const char *const lines[] = {"site list",
                                        "check --all",
                                        "check 'Withy Gill'",
                                        "check 'Withy Gill' nettle/leaf",
                                        "site show 'Withy Gill'",
                                        "book info"};
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site edit 'Withy Gill' --remark 'a remark that is quite a bit longer than one "
                "line of a terminal can be, since people write what they see and do not count'");
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++) {
        g_autofree char *out = on_terminal(cli, lines[i], "");
        g_auto(GStrv) rows = g_strsplit(out, "\n", -1);

        if (strstr(out, "Withy Gill") == NULL && strcmp(lines[i], "book info") != 0)
            fail_msg("%s on a terminal: %s", lines[i], out);
        for (guint r = 0; rows[r] != NULL; r++) {
            g_strchomp(rows[r]);
            /* The line about today goes to stderr as it is. */
            if (g_utf8_strlen(rows[r], -1) > 80 && !g_str_has_prefix(rows[r], "simpling: today") &&
                strstr(rows[r], cli->folder) == NULL)
                fail_msg("%s: '%s' is wider than 80", lines[i], rows[r]);
        }
    }
}

static void a_pipe_gets_one_whole_line_for_each_record(void **state)
{
    struct cli *cli = *state;
    static const char remark[] = "said to me at the gate that no contractor has been there since "
                                 "the spring of the year before last, and that none is expected";
    g_autofree char *line = NULL;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871");
    line = g_strdup_printf("stage note 'Withy Gill' nettle/leaf 35 --remark '%s'", remark);
    cli_ok(cli, line);
    assert_non_null(strstr(cli_ok(cli, "stage list"), remark));
}

static void no_colour_is_respected(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    for (int i = 0; i < 2; i++) {
        const char *line = i == 0 ? "check --all" : "check 'Withy Gill' nettle/leaf";
        g_autofree char *out = on_terminal(cli, line, "NO_COLOR=1 TERM=xterm-256color");

        assert_non_null(strstr(out, "clear")); /* meaning is carried by words */
        assert_null(strchr(out, '\033'));
        cli_ok(cli, line);
        assert_null(strchr(cli->out, '\033'));
    }
}

static gboolean there_are_terminals(void)
{
    int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    char name[64];
    gboolean good =
        terminal >= 0 && ptsname_r(terminal, name, sizeof name) == 0 && access(name, F_OK) == 0;

    if (terminal >= 0)
        close(terminal);
    return good;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(a_terminal_of_eighty_columns_holds_every_line),
        cli_test(a_pipe_gets_one_whole_line_for_each_record),
        cli_test(no_colour_is_respected),
    };

    if (!there_are_terminals())
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
