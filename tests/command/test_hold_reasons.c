/* SPDX-License-Identifier: MIT
 *
 * Every kind of reason that a thing is held for beside its ground: what `show` prints below as the
 * next step is done to the letter, and the thing shown again. The reason is gone then. Those of the
 * ground are in test_reasons.c.
 */
#include "cli.h"

#include <sqlite3.h>
#include <string.h>

#include "season/judged.h"

#define NAMED " --named-by Edda --signs 'stinging hairs, opposite leaves'"

/* ---- how each kind comes about; all end in H27-001 or L27-001 ---- */

static void pick(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli,
           "harvest add 'Withy Gill' nettle/leaf --weight 900g --stage 35 --on 2027-05-10" NAMED);
}

static void bottle(struct cli *cli)
{
    pick(cli);
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    cli_ok(cli, "batch press B27-001 --yield 200mL --on 2027-06-10");
}

static void pick_and_hold(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 900g --stage 35 --on 2027-05-10 "
                "--hold 'the scales were out'" NAMED);
}

static void recall(struct cli *cli)
{
    pick(cli);
    cli_ok(cli, "trace 'Withy Gill' --sprayed 2027-05 --withdraw");
}

static void bottle_against_a_rule(struct cli *cli)
{
    pick(cli);
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL --menstruum 'spirit 45%' "
                "--on 2027-05-10 --hold 'in the cold, for two days'");
    cli_ok(cli, "batch press B27-001 --yield 200mL --on 2027-06-10");
}

static void hold_lot(struct cli *cli)
{
    bottle(cli);
    cli_ok(cli, "lot hold L27-001 --why 'a crack in the bottle'");
}

static void withdraw_lot(struct cli *cli)
{
    bottle(cli);
    cli_ok(cli, "lot withdraw L27-001 --why 'the verge was sprayed'");
}

static void pick_without_a_name(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --weight 300g --stage 65 --on 2027-06-10");
}

/* As a book of before has it: judged clear when it was logged, though nobody had been asked. */
static void judge_otherwise_now(struct cli *cli)
{
    sqlite3 *book;
    char *failed = NULL;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10");
    cli_ok(cli,
           "harvest add 'Withy Gill' nettle/leaf --weight 900g --stage 35 --on 2027-05-10" NAMED);
    assert_int_equal(sqlite3_open(cli->book, &book), SQLITE_OK);
    sqlite3_exec(book, "UPDATE harvest SET verdict = 'clear', held = NULL", NULL, NULL, &failed);
    if (failed != NULL)
        fail_msg("%s", failed);
    sqlite3_close(book);
}

/* As a merge brings it: a colleague struck the harvest. */
static void struck_by_another(struct cli *cli)
{
    sqlite3 *book;
    char *failed = NULL;

    pick(cli);
    assert_int_equal(sqlite3_open(cli->book, &book), SQLITE_OK);
    sqlite3_exec(book,
                 "INSERT INTO strike (uuid, mark, subject, at, why) SELECT"
                 " '11111111-2222-4333-8444-555555555555', 'BOB', uuid, at + 10, 'hemp nettle'"
                 " FROM thing WHERE kind = 'H'",
                 NULL, NULL, &failed);
    if (failed != NULL)
        fail_msg("%s", failed);
    sqlite3_close(book);
    cli_ok(cli, "book repair");
}

/* As a merge brings it: it was struck in this book while another drew on it. */
static void struck_in_use(struct cli *cli)
{
    sqlite3 *book;
    char *failed = NULL;

    bottle(cli);
    assert_int_equal(sqlite3_open(cli->book, &book), SQLITE_OK);
    sqlite3_exec(book,
                 "INSERT INTO strike (uuid, mark, subject, at, why) SELECT"
                 " '11111111-2222-4333-8444-555555555555', mark, uuid, at + 10, 'wrong plant'"
                 " FROM thing WHERE kind = 'H'",
                 NULL, NULL, &failed);
    if (failed != NULL)
        fail_msg("%s", failed);
    sqlite3_close(book);
}

/* Bob has the book, and each presses the jar. */
static void press_in_two_books(struct cli *cli)
{
    g_autofree char *bob = g_build_filename(cli->folder, "bob.db", NULL), *from = NULL;
    char *own = cli->book;

    pick(cli);
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    from = g_strdup_printf("book merge %s", own);
    cli->book = bob;
    cli_ok(cli, "book init --mark BOB");
    cli_ok(cli, from);
    cli_ok(cli, "batch press ANN:B27-001 --yield 210mL --on 2027-06-10");
    cli->book = own;
    cli_ok(cli, "batch press B27-001 --yield 200mL --on 2027-06-10");
    cli_ok(cli, "book merge bob.db");
}

/* Bob has the book, and each takes the rack down; a jar is made of it. */
static void take_down_in_two_books(struct cli *cli)
{
    g_autofree char *bob = g_build_filename(cli->folder, "bob.db", NULL), *from = NULL;
    char *own = cli->book;

    pick(cli);
    cli_ok(cli, "dry start --from H27-001 --on 2027-05-10");
    from = g_strdup_printf("book merge %s", own);
    cli->book = bob;
    cli_ok(cli, "book init --mark BOB");
    cli_ok(cli, from);
    cli_ok(cli, "dry finish ANN:D27-001 --weight 210g --on 2027-05-20");
    cli->book = own;
    cli_ok(cli, "dry finish D27-001 --weight 200g --on 2027-05-18");
    cli_ok(cli, "batch start tincture --from D27-001:50g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-19");
    cli_ok(cli, "batch press B27-001 --yield 200mL --on 2027-06-10");
    cli_ok(cli, "book merge bob.db");
}

static const struct held {
    const char *kind;
    void (*arrange)(struct cli *cli);
    const char *code;
    const char *command;
} cases[] = {
    {"picked", pick_and_hold, "H27-001", "harvest release"},
    {"held", recall, "H27-001", "harvest release"},
    {"bottled", bottle_against_a_rule, "L27-001", "lot release"},
    {"lot-held", hold_lot, "L27-001", "lot release"},
    {"withdrawn", withdraw_lot, "L27-001", "lot release"},
    {"revision", struck_by_another, "H27-001", "answer"},
    {"struck-in-use", struck_in_use, "L27-001", "answer"},
    {"weighed-twice", take_down_in_two_books, "L27-001", "answer"},
    {"pressed-twice", press_in_two_books, "L27-001", "answer"},
    {"rules", judge_otherwise_now, "H27-001", "answer"},
    {"name-missing", pick_without_a_name, "H27-001", "amend"},
};

/* The cause of this kind on the thing, and of this evidence if it is not NULL; NULL: none. The
 * answer must be freed. */
static json_t *cause_of(struct cli *cli, const struct held *one, const char *evidence)
{
    g_autofree char *line =
        g_strdup_printf("%s show %s --json", *one->code == 'H' ? "harvest" : "lot", one->code);
    json_t *shown = cli_json(cli, line), *found = NULL;
    const json_t *because = json_object_get(shown, "because");

    for (size_t i = 0; i < json_array_size(because); i++) {
        json_t *cause = json_array_get(because, i);

        if (strcmp(json_text(cause, "kind"), one->kind) == 0 &&
            (evidence == NULL || g_strcmp0(json_text(cause, "evidence"), evidence) == 0))
            found = json_incref(cause);
    }
    json_decref(shown);
    return found;
}

/* The line that `show` prints below for people. */
static char *printed_line(struct cli *cli, const struct held *one)
{
    g_autofree char *show =
        g_strdup_printf("%s show %s", *one->code == 'H' ? "harvest" : "lot", one->code);
    g_autofree char *begin = g_strdup_printf("  simpling %s ", one->command);
    g_auto(GStrv) lines = NULL;

    cli_ok(cli, show);
    lines = g_strsplit(cli->out, "\n", -1);
    for (guint i = 0; lines[i] != NULL; i++) {
        if (g_str_has_prefix(lines[i], begin))
            return g_strdup(lines[i] + strlen("  simpling "));
    }
    fail_msg("%s: no line of '%s' in: %s", one->kind, one->command, cli->out);
    return NULL;
}

static void settle(struct cli *cli, const struct held *one)
{
    g_autofree char *line = NULL, *evidence = NULL;
    g_auto(GStrv) words = NULL;
    g_autoptr(GError) error = NULL;
    json_t *cause, *after;

    one->arrange(cli);
    cause = cause_of(cli, one, NULL);
    if (cause == NULL)
        fail_msg("%s: did not come about: %s", one->kind, cli->out);
    if (!json_is_object(json_object_get(cause, "next")))
        fail_msg("%s: nothing is next", one->kind);
    evidence = g_strdup(json_text(cause, "evidence"));
    json_decref(cause);
    line = printed_line(cli, one);
    if (!g_shell_parse_argv(line, NULL, &words, &error))
        fail_msg("%s: %s", line, error->message);
    for (char **word = words; *word != NULL; word++) {
        if (strcmp(*word, "TEXT") == 0 || strcmp(*word, "WHO") == 0) {
            g_free(*word);
            *word = g_strdup("looked at again, by Edda");
        }
    }
    if (cli_argv(cli, (const char *const *)words) != 0)
        fail_msg("%s: status %d: %s", line, cli->status, cli->err);
    after = cause_of(cli, one, evidence);
    if (after != NULL)
        fail_msg("%s: '%s' did not settle it", one->kind, line);
}

static void what_is_printed_lets_out(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        struct cli *cli;

        cli_set_up((void **)&cli);
        settle(cli, &cases[i]);
        cli_tear_down((void **)&cli);
    }
}

/* Whoever adds a kind adds how it is settled. */
static void no_kind_is_left_out(void **state)
{
    (void)state;
    for (int kind = 0; kind < SPL_JUDGED_GROUND; kind++) {
        /* These hold nothing; what is missing on paper is asked among the questions. */
        gboolean there = kind == SPL_HELD_NARROWED || kind == SPL_JUDGED_NUMBER;

        for (gsize i = 0; i < G_N_ELEMENTS(cases); i++)
            there = there || strcmp(cases[i].kind, spl_judged_kind_name(kind)) == 0;
        if (!there)
            fail_msg("%s: has no case here", spl_judged_kind_name(kind));
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_is_printed_lets_out),
    cmocka_unit_test(no_kind_is_left_out),
};
expect_main(tests)
