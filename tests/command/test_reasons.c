/* SPDX-License-Identifier: MIT
 *
 * Every kind of reason: what the program prints as the next step is done to the letter, and the
 * question asked again. Either the reason is gone, or it said until when to wait, and is gone then.
 */
#include "cli.h"

#include <math.h>
#include <sqlite3.h>
#include <string.h>

#include "../exchange/shape_make.h"
#include "simpling/record/reason.h"

/* With an apostrophe and a blank, so that a line that is not quoted shows. */
#define SITE "Hunter's Wood"
#define LAT 54.6012
#define LON (-2.5871)
#define METRES_A_DEGREE 111315.0 /* of latitude at 54.6 N, GeodSolve */

/* ---- how each kind comes about ---- */

static void add_site(struct cli *cli)
{
    cli_ok(cli, "site add \"" SITE "\" --at 54.6012,-2.5871 --elevation 210 --accuracy 10");
}

static void give_leave(struct cli *cli)
{
    cli_ok(cli, "site permit \"" SITE "\" --given --by 'the tenant' --on 2027-03-01");
}

static void add_site_with_leave(struct cli *cli)
{
    add_site(cli);
    give_leave(cli);
}

static void add_vague_site(struct cli *cli)
{
    cli_ok(cli, "site add \"" SITE "\" --at 54.6012,-2.5871");
}

static void contaminate(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "site edit \"" SITE "\" --contaminated 'old sheep dip' --why 'told so'");
}

static void spray(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "spray note \"" SITE "\" --kind sprayed --on 2027-05-01 --source 'seen'");
}

static void spray_some_day(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "spray note \"" SITE "\" --kind sprayed --source 'the smell'");
}

static void plan_ahead(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "spray note \"" SITE "\" --kind planned --on 2027-06-25 --source 'the tenant'");
}

static void plan_past(struct cli *cli)
{
    add_site(cli);
    cli->today = "2027-06-05";
    cli_ok(cli, "spray note \"" SITE "\" --kind planned --on 2027-06-10 --source 'the tenant'");
    cli->today = CLI_TODAY;
}

/* No command writes one without its day; a book may hold one all the same. */
static void plan_some_day(struct cli *cli)
{
    sqlite3 *book;

    plan_past(cli);
    assert_int_equal(sqlite3_open(cli->book, &book), SQLITE_OK);
    assert_int_equal(sqlite3_exec(book, "UPDATE spray_note SET day = NULL", NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(book);
}

/* North of the site, so that farther off is south. */
static void add_hazard(struct cli *cli, double metres, const char *rest)
{
    g_autofree char *line = g_strdup_printf("hazard add \"Miller's Field\" --at %.6f,-2.5871 %s",
                                            LAT + metres / METRES_A_DEGREE, rest);

    cli_ok(cli, line);
}

static void lay_road(struct cli *cli)
{
    add_site(cli);
    add_hazard(cli, 15, "--method road");
}

/* The field of the finding: 39 m off, and the advice was once to ask for a word. */
static void spray_beside(struct cli *cli)
{
    add_site(cli);
    give_leave(cli);
    cli_ok(cli,
           "spray note \"" SITE "\" --kind unsprayed --since 2020-01-01 --source 'the tenant'");
    add_hazard(cli, 39, "--method boom --on 2027-05-01");
}

static void spray_beside_some_day(struct cli *cli)
{
    add_site(cli);
    add_hazard(cli, 25, "--method boom");
}

static void spray_beside_soon(struct cli *cli)
{
    add_site(cli);
    add_hazard(cli, 25, "--method boom --on 2027-06-25");
}

static void lay_road_near_vague_site(struct cli *cli)
{
    add_vague_site(cli);
    add_hazard(cli, 600, "--method road");
}

static void lay_vague_road(struct cli *cli)
{
    add_site(cli);
    add_hazard(cli, 600, "--method road --accuracy 900");
}

static void put_parcels(struct cli *cli, gboolean whole, const char *prj)
{
    struct make make;
    g_autofree char *path = NULL;

    make_begin(&make, 5);
    make.prj = prj;
    make_square(&make, -2.60, 54.59, 0.002);
    make_square(&make, -2.57, 54.61, 0.002);
    if (!whole)
        memset(make.shp->data + 8 + 44, 0xff, 4); /* the first record's parts begin nowhere */
    path = make_write(&make, cli->folder, "parcels");
    make_end(&make);
}

static void import_with_gaps(struct cli *cli)
{
    add_site(cli);
    put_parcels(cli, FALSE, MAKE_WGS84);
    cli_ok(cli, "hazard import parcels.shp --method boom --layer \"Miller's parcels\"");
    put_parcels(cli, TRUE, MAKE_WGS84); /* what the owner sends when asked */
}

static void import_without_system(struct cli *cli)
{
    add_site(cli);
    put_parcels(cli, TRUE, NULL);
    cli_ok(cli, "hazard import parcels.shp --method boom --layer \"Miller's parcels\"");
}

static void hear_old_word(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "spray note \"" SITE "\" --kind unsprayed --on 2027-01-02 --since 2020-01-01 "
                "--source 'the tenant'");
}

static void hear_open_word(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "spray note \"" SITE "\" --kind unsprayed --source 'the tenant'");
}

static void hear_short_word(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli,
           "spray note \"" SITE "\" --kind unsprayed --since 2026-06-01 --source 'the tenant'");
}

static void let_leave_run_out(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli,
           "site permit \"" SITE "\" --given --by 'the tenant' --on 2027-01-01 --until 2027-06-01");
}

static void give_leave_for_flowers(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli,
           "site permit \"" SITE "\" --given --by 'the tenant' --parts flower --on 2027-01-01");
}

static void give_leave_to_teach(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "site permit \"" SITE "\" --given --teaching --by 'the tenant' --on 2027-01-01");
}

static void refuse(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "site permit \"" SITE "\" --refused --by 'the tenant' --on 2027-06-01");
}

static void refuse_today(struct cli *cli)
{
    add_site(cli);
    cli_ok(cli, "site permit \"" SITE "\" --refused --by 'the tenant'");
}

/* ---- the cases ---- */

#define PAST "2027-06-15"

struct reasoned {
    enum spl_reason_kind kind;
    void (*arrange)(struct cli *cli);
    const char *material; /* NULL: the site alone */
    const char *on;       /* the day asked about; NULL: today */
    const char *command;  /* that the next step runs; NULL: it waits */
    const char *blank; /* what the person knows: "DATE=2020-05-01"; NULL: nothing but the usual */
};

static const struct reasoned cases[] = {
    {SPL_REASON_CONTAMINATED, contaminate, NULL, NULL, "site edit", NULL},
    {SPL_REASON_SPRAYED, spray, NULL, NULL, NULL, NULL},
    {SPL_REASON_SPRAYED_UNDATED, spray_some_day, NULL, NULL, "amend", "DATE=2020-05-01"},
    {SPL_REASON_SPRAYING_AHEAD, plan_ahead, NULL, NULL, "spray note", NULL},
    {SPL_REASON_SPRAYING_DUE, plan_past, NULL, NULL, "spray note", NULL},
    {SPL_REASON_SPRAYING_UNDATED, plan_some_day, NULL, NULL, "strike", NULL},
    {SPL_REASON_HAZARD_LASTING, lay_road, NULL, NULL, "site add", NULL},
    {SPL_REASON_HAZARD_SPRAYED, spray_beside, NULL, NULL, NULL, NULL},
    {SPL_REASON_HAZARD_UNDATED, spray_beside_some_day, NULL, NULL, "site add", NULL},
    {SPL_REASON_HAZARD_AHEAD, spray_beside_soon, NULL, NULL, "site add", NULL},
    {SPL_REASON_HAZARD_POSITION, lay_road_near_vague_site, NULL, NULL, "site edit", NULL},
    {SPL_REASON_HAZARD_POSITION, lay_vague_road, NULL, NULL, "site add", NULL},
    {SPL_REASON_LAYER_INCOMPLETE, import_with_gaps, NULL, NULL, "hazard import", NULL},
    {SPL_REASON_LAYER_POSITION, import_without_system, NULL, NULL, "hazard import",
     "EPSG:N=EPSG:4326"},
    {SPL_REASON_SITE_POSITION, add_vague_site, NULL, NULL, "site edit", NULL},
    {SPL_REASON_WORD_MISSING, add_site, NULL, NULL, "spray note", NULL},
    {SPL_REASON_WORD_MISSING, add_site, NULL, "2027-07-20", "spray note", NULL},
    /* Further ahead than any word of today reaches: in the growing months, and past them. */
    {SPL_REASON_WORD_MISSING, add_site, NULL, "2027-09-30", "spray note", NULL},
    {SPL_REASON_WORD_MISSING, add_site, NULL, "2028-01-31", "spray note", NULL},
    {SPL_REASON_WORD_OLD, hear_old_word, NULL, NULL, "spray note", NULL},
    {SPL_REASON_WORD_OPEN, hear_open_word, NULL, NULL, "spray note", NULL},
    {SPL_REASON_WORD_SHORT, hear_short_word, NULL, NULL, "spray note", NULL},
    {SPL_REASON_LEAVE_MISSING, add_site, NULL, NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_MISSING, add_site, "dandelion/root", NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_OVER, let_leave_run_out, NULL, NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_PART, give_leave_for_flowers, "dandelion/leaf", NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_PART, add_site_with_leave, "dandelion/root", NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_PART, give_leave_to_teach, NULL, NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_PART, give_leave_to_teach, "dandelion/root", NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_REFUSED, refuse, NULL, NULL, "site permit", NULL},
    {SPL_REASON_LEAVE_REFUSED, refuse_today, NULL, "2027-06-21", "site permit", NULL},
    /* A day that is past, as of a harvest: what covers that day, or which record is wrong. */
    {SPL_REASON_SPRAYED, spray, NULL, PAST, "strike", NULL},
    {SPL_REASON_SPRAYING_DUE, plan_past, NULL, PAST, "spray note", NULL},
    {SPL_REASON_SPRAYING_AHEAD, plan_past, NULL, "2027-06-08", "spray note", NULL},
    {SPL_REASON_HAZARD_LASTING, lay_road, NULL, PAST, "hazard drop", NULL},
    {SPL_REASON_HAZARD_SPRAYED, spray_beside, NULL, PAST, "hazard drop", NULL},
    {SPL_REASON_HAZARD_UNDATED, spray_beside_some_day, NULL, PAST, "hazard drop", NULL},
    {SPL_REASON_WORD_MISSING, add_site, NULL, PAST, "spray note", NULL},
    {SPL_REASON_WORD_OLD, hear_old_word, NULL, PAST, "spray note", NULL},
    {SPL_REASON_WORD_SHORT, hear_short_word, NULL, PAST, "spray note", NULL},
    {SPL_REASON_LEAVE_MISSING, add_site, NULL, PAST, "site permit", NULL},
    {SPL_REASON_LEAVE_OVER, let_leave_run_out, NULL, PAST, "site permit", NULL},
    {SPL_REASON_LEAVE_REFUSED, refuse, NULL, PAST, "site permit", NULL},
};

/* Kinds that rest on no record: nobody said anything. */
static gboolean rests_on_nothing(enum spl_reason_kind kind)
{
    return kind == SPL_REASON_WORD_MISSING || kind == SPL_REASON_LEAVE_MISSING;
}

/* The record that a reason names is in the book. */
static void find_evidence(const struct cli *cli, const char *name, const char *evidence)
{
    static const char *const tables[] = {"site", "permission", "thing", "hazard_layer"};
    g_auto(GStrv) parts = g_strsplit(evidence, "#", 2);
    sqlite3 *book;
    int found = 0;

    assert_int_equal(sqlite3_open(cli->book, &book), SQLITE_OK);
    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++) {
        g_autofree char *sql = g_strdup_printf("SELECT 1 FROM %s WHERE uuid = ?", tables[i]);
        sqlite3_stmt *rows;

        assert_int_equal(sqlite3_prepare_v2(book, sql, -1, &rows, NULL), SQLITE_OK);
        sqlite3_bind_text(rows, 1, parts[0], -1, SQLITE_STATIC);
        found += sqlite3_step(rows) == SQLITE_ROW;
        sqlite3_finalize(rows);
    }
    sqlite3_close(book);
    if (found != 1)
        fail_msg("%s: rests on '%s', which %d records are", name, evidence, found);
}

/* ---- asking, doing, asking again ---- */

static json_t *ask(struct cli *cli, const char *site, const struct reasoned *one, const char *on,
                   gboolean json)
{
    const char *args[9];
    guint n = 0;

    args[n++] = "check";
    args[n++] = site;
    if (one->material != NULL)
        args[n++] = one->material;
    if (on != NULL) {
        args[n++] = "--on";
        args[n++] = on;
    }
    if (json)
        args[n++] = "--json";
    args[n] = NULL;
    cli_argv(cli, args);
    if (!json)
        return NULL;
    return json_loads(cli->out, 0, NULL);
}

/* The reason of this kind, and of this evidence if it is not NULL. Borrowed; NULL: it is not there.
 */
static const json_t *find_reason(const json_t *check, enum spl_reason_kind kind,
                                 const char *evidence)
{
    const json_t *reasons = json_object_get(check, "reasons");

    for (size_t i = 0; i < json_array_size(reasons); i++) {
        const json_t *reason = json_array_get(reasons, i);

        if (strcmp(json_text(reason, "kind"), spl_reason_kind_names[kind]) == 0 &&
            (evidence == NULL || strcmp(json_text(reason, "evidence"), evidence) == 0))
            return reason;
    }
    return NULL;
}

/* An input of the next step; "" when it is left to the person. */
static const char *given(const json_t *next, const char *key)
{
    const json_t *inputs = json_object_get(next, "inputs");

    for (size_t i = 0; i < json_array_size(inputs); i++)
        if (strcmp(json_text(json_array_get(inputs, i), "key"), key) == 0)
            return json_text(json_array_get(inputs, i), "value");
    return NULL;
}

/* The line that was printed for this command and these inputs. */
static char *printed_line(const struct cli *cli, const char *command, const json_t *next)
{
    g_autofree char *begin = g_strdup_printf("  simpling %s ", command);
    g_auto(GStrv) lines = g_strsplit(cli->out, "\n", -1);
    const json_t *inputs = json_object_get(next, "inputs");

    for (guint i = 0; lines[i] != NULL; i++) {
        gboolean fits = g_str_has_prefix(lines[i], begin);

        for (size_t k = 0; fits && k < json_array_size(inputs); k++) {
            const json_t *input = json_array_get(inputs, k);
            g_autofree char *option =
                g_strdelimit(g_strdup_printf(" --%s", json_text(input, "key")), "_", '-');

            /* What follows the words has no option; the rest must stand there. */
            fits = strstr(lines[i], option) != NULL || k == 0;
        }
        if (fits)
            return g_strdup(lines[i] + strlen("  simpling "));
    }
    fail_msg("no line of '%s' in: %s", command, cli->out);
    return NULL;
}

static void fill(char **word, const char *blank, const char *value)
{
    if (strcmp(*word, blank) == 0) {
        g_free(*word);
        *word = g_strdup(value);
    }
}

/* Splits the line as a shell does, puts in what only the person knows, and runs it. */
static void do_line(struct cli *cli, const char *line, const struct reasoned *one, double farther_m)
{
    g_autofree char *south = g_strdup_printf("%.7f,%.4f", LAT - farther_m / METRES_A_DEGREE, LON);
    g_auto(GStrv) own = g_strsplit(one->blank != NULL ? one->blank : "none=none", "=", 2);
    g_auto(GStrv) words = NULL;
    g_autoptr(GError) error = NULL;

    if (!g_shell_parse_argv(line, NULL, &words, &error))
        fail_msg("%s: %s", line, error->message);
    for (char **word = words; *word != NULL; word++) {
        fill(word, own[0], own[1]);
        fill(word, "WHO", "the tenant");
        fill(word, "TEXT", "as it was told");
        fill(word, "LENGTH", "10");
        fill(word, "FILE", "parcels.shp");
        fill(word, "NAME", "Farther Wood");
        fill(word, "LAT,LON", south);
    }
    if (cli_argv(cli, (const char *const *)words) != 0)
        fail_msg("%s: status %d: %s", line, cli->status, cli->err);
}

static void settle(struct cli *cli, const struct reasoned *one)
{
    const char *name = spl_reason_kind_names[one->kind], *until, *place = SITE;
    g_autofree char *evidence = NULL, *line = NULL, *first = NULL;
    const char *day = one->on;
    const json_t *reason, *next;
    json_t *check, *again;

    one->arrange(cli);
    check = ask(cli, SITE, one, one->on, TRUE);
    reason = find_reason(check, one->kind, NULL);
    if (reason == NULL)
        fail_msg("%s: did not come about: %s", name, cli->out);
    next = json_object_get(reason, "next");
    if (!json_is_object(next))
        fail_msg("%s: nothing is next", name);
    evidence = json_is_string(json_object_get(reason, "evidence"))
                   ? g_strdup(json_text(reason, "evidence"))
                   : NULL;
    if ((evidence == NULL) != rests_on_nothing(one->kind))
        fail_msg("%s: rests on %s", name, evidence != NULL ? evidence : "nothing");
    if (evidence != NULL)
        find_evidence(cli, name, evidence);
    until = json_text(next, "until");
    if (one->command == NULL) {
        assert_string_equal(json_text(next, "action"), "wait");
        if (strcmp(until, cli->today) <= 0)
            fail_msg("%s: waits until '%s'", name, until);
        day = until;
    } else {
        ask(cli, SITE, one, one->on, FALSE);
        line = printed_line(cli, one->command, next);
        if (*until != '\0') { /* not before that day */
            assert_true(strcmp(until, cli->today) > 0);
            first = g_strdup(until);
            cli->today = first;
        }
        do_line(cli, line, one, json_number(next, "farther_m"));
        if (strcmp(one->command, "site add") == 0)
            place = "Farther Wood";
    }
    again = ask(cli, place, one, day, TRUE);
    if (again == NULL)
        fail_msg("%s: %s", name, cli->err);
    if (find_reason(again, one->kind, evidence) != NULL)
        fail_msg("%s: '%s' did not settle it: %s", name, line != NULL ? line : until, cli->out);
    /* What follows a command's words is filled in where the program knows it. */
    if (given(next, "site") != NULL)
        assert_string_equal(given(next, "site"), SITE);
    json_decref(check);
    json_decref(again);
}

static void what_is_printed_settles_the_reason(void **state)
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
    for (int kind = SPL_REASON_OTHER + 1; kind < SPL_REASON_KINDS; kind++) {
        gboolean there = FALSE, speaks_for = kind >= SPL_REASON_WORD_HOLDS;

        for (gsize i = 0; i < G_N_ELEMENTS(cases); i++)
            there = there || cases[i].kind == (enum spl_reason_kind)kind;
        if (there == speaks_for)
            fail_msg("%s: %s", spl_reason_kind_names[kind],
                     there ? "speaks for the place, and needs no next" : "has no case here");
    }
}

static void what_speaks_for_a_place_needs_nothing(void **state)
{
    struct cli *cli = *state;
    json_t *check;
    const json_t *reasons;

    cli_clear_site(cli, "Withy Gill");
    check = cli_json(cli, "check 'Withy Gill' --json");
    reasons = json_object_get(check, "reasons");
    assert_int_equal(json_array_size(reasons), 2);
    for (size_t i = 0; i < json_array_size(reasons); i++)
        assert_true(json_is_null(json_object_get(json_array_get(reasons, i), "next")));
    json_decref(check);
    cli_ok(cli, "check 'Withy Gill'");
    assert_null(strstr(cli->out, "next:"));
}

/* The words of a name are no reason: this road was once taken for a spraying and a missing leave.
 */
static void a_name_says_nothing(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "hazard add 'Leaves Lane sprayer shed, position 3' --method road --at "
                "54.6020,-2.5871");
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 3);
    assert_null(strstr(cli->out, "spray note"));
    assert_null(strstr(cli->out, "site permit"));
    assert_null(strstr(cli->out, "site edit"));
    assert_non_null(strstr(cli->out, "next: go farther off, and note that place, at least "));
}

static void a_recall_can_be_pasted_too(void **state)
{
    struct cli *cli = *state;

    add_site(cli);
    cli_ok(cli, "trace \"" SITE "\" --sprayed 2027-05-01");
    assert_non_null(strstr(cli->out, "\n  simpling spray note 'Hunter'\\''s Wood' --kind sprayed "
                                     "--on 2027-05-01 --source TEXT\n"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_is_printed_settles_the_reason),
    cmocka_unit_test(no_kind_is_left_out),
    cli_test(what_speaks_for_a_place_needs_nothing),
    cli_test(a_name_says_nothing),
    cli_test(a_recall_can_be_pasted_too),
};
expect_main(tests)
