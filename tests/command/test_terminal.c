/* SPDX-License-Identifier: MIT
 *
 * On a terminal and into a pipe: widths, colours. Skipped where the machine gives no terminal (no
 * /dev/pts, as in a bare chroot).
 */
#define _GNU_SOURCE /* posix_openpt */
#include "terminal.h"

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
        g_autofree char *out = terminal_run(cli, lines[i], 80, NULL);

        if (strstr(out, "Withy Gill") == NULL && strcmp(lines[i], "book info") != 0)
            fail_msg("%s on a terminal: %s", lines[i], out);
        terminal_fits(lines[i], out, 80);
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
        g_autofree char *out = NULL;

        g_setenv("NO_COLOR", "1", TRUE);
        g_setenv("TERM", "xterm-256color", TRUE);
        out = terminal_run(cli, line, 80, NULL);

        assert_non_null(strstr(out, "clear")); /* meaning is carried by words */
        assert_null(strchr(out, '\033'));
        cli_ok(cli, line);
        assert_null(strchr(cli->out, '\033'));
    }
}

/* What is typed wrong is asked again, by itself; a stage when the book has looked at all. */
static void a_harvest_alone_is_asked_for(void **state)
{
    static const char typed[] = "Withy\nnettle leaf\n420\n420g\nbluming\n\nhalf grown\n";
    static const char *const asked[] = {"Where?", "What?", "How much", "growth stage", "Who named"};
    struct cli *cli = *state;
    g_autofree char *out = NULL, *cut = NULL;
    json_t *list;

    cli_clear_site(cli, "Withy Gill");
    out = terminal_run(cli, "harvest add", 80, typed);
    if (cli->status != 0)
        fail_msg("%s", out);
    for (gsize i = 0; i < G_N_ELEMENTS(asked); i++)
        assert_non_null(strstr(out, asked[i]));
    assert_non_null(strstr(out, "bluming"));
    list = cli_json(cli, "harvest list --json");
    assert_int_equal(json_array_size(list), 1);
    assert_string_equal(json_text(json_array_get(list, 0), "material"), "nettle/leaf");
    assert_float_equal(json_number(json_array_get(list, 0), "weight_g"), 420.0, 0.01);
    json_decref(list);
    /* Who goes away in the middle has noted nothing (4: the end of the input). */
    cut = terminal_run(cli, "harvest add", 80, "Withy\nnettle leaf\n\x04\x04\x04");
    assert_int_not_equal(cli->status, 0);
    list = cli_json(cli, "harvest list --json");
    assert_int_equal(json_array_size(list), 1);
    json_decref(list);
    /* No terminal, no questions. */
    cli_refused(cli, "harvest add", 2, "SITE is missing");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(a_terminal_of_eighty_columns_holds_every_line),
        cli_test(a_pipe_gets_one_whole_line_for_each_record),
        cli_test(no_colour_is_respected),
        cli_test(a_harvest_alone_is_asked_for),
    };

    if (!terminal_is_there())
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
