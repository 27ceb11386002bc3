/* SPDX-License-Identifier: MIT
 *
 * What only a person can answer: what is asked, whom, and what an answer frees.
 */
#include <sqlite3.h>

#include "cli.h"

#define T60 "--jar 500mL --menstruum 'spirit 60%, Ash Beck Still, 114'"

/* Leave is given, but nobody has said whether it is sprayed. */
static void unasked_site(struct cli *cli, const char *name)
{
    g_autofree char *add =
        g_strdup_printf("site add '%s' --at 54.6012,-2.5871 --accuracy 10", name);
    g_autofree char *permit = g_strdup_printf(
        "site permit '%s' --given --by 'the tenant' --parts any --on 2027-01-01", name);

    cli_ok(cli, add);
    cli_ok(cli, permit);
}

/* Nettle picked there, a jar of it, 400 mL bottled. */
static void bottled(struct cli *cli, const char *site)
{
    g_autofree char *line = g_strdup_printf(
        "harvest add '%s' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25", site);

    cli_ok(cli, line);
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-10");
}

/* The one question that is open, or NULL. Free with g_free. */
static char *only_question(struct cli *cli, const char *key)
{
    json_t *list = cli_json(cli, "questions --json");
    char *text = NULL;

    assert_true(json_array_size(list) <= 1);
    if (json_array_size(list) == 1)
        text = g_strdup(json_text(json_array_get(list, 0), key));
    json_decref(list);
    return text;
}

static void state_is(struct cli *cli, const char *code, const char *state)
{
    g_autofree char *line = g_strdup_printf("lot show %s --json", code);
    json_t *lot = cli_json(cli, line);

    assert_string_equal(json_text(lot, "state"), state);
    json_decref(lot);
}

static void one_call_settles_what_came_of_one_place(void **state)
{
    struct cli *cli = *state;
    g_autofree char *kind = NULL, *grade = NULL, *urgency = NULL, *ask = NULL;
    json_t *list;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 200g --stage 35 --on 2027-05-28");
    kind = only_question(cli, "kind");
    grade = only_question(cli, "grade");
    urgency = only_question(cli, "urgency");
    ask = only_question(cli, "ask");
    assert_string_equal(kind, "word-missing");
    assert_string_equal(grade, "doubt");
    assert_string_equal(urgency, "on the shelf");
    assert_string_equal(ask, "the tenant");
    list = cli_json(cli, "questions --json");
    assert_int_equal(json_array_size(json_object_get(json_array_get(list, 0), "touches")), 3);
    json_decref(list);
    cli_ok(cli, "questions");
    assert_non_null(strstr(cli->out, "the tenant: asked once, it settles 2 harvests, 1 lot"));
    assert_non_null(strstr(cli->out, "simpling spray note 'Withy Gill' --kind unsprayed"));
}

static void a_later_word_frees_by_itself(void **state)
{
    struct cli *cli = *state;
    g_autofree char *left = NULL;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    state_is(cli, "L27-001", "held");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --since 2024-01-01 --source 'the tenant' "
                "--on 2027-06-12");
    left = only_question(cli, "id");
    assert_null(left);
    cli_ok(cli, "lot use L27-001:10mL --for 1042 --on 2027-06-12");
}

static void evidence_answers_what_was_asked_and_nothing_later(void **state)
{
    struct cli *cli = *state;
    g_autofree char *id = NULL, *line = NULL, *again = NULL, *touches = NULL;
    json_t *list;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    id = only_question(cli, "id");
    line = g_strdup_printf("answer %.8s --evidence 'the tenant showed his spray diary' --by Edda "
                           "--on 2027-06-12",
                           id);
    cli_ok(cli, line);
    cli_ok(cli, "lot use L27-001:10mL --for 1042 --on 2027-06-12");
    /* Picked after the answer: asked about anew, and only that. */
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35 --on 2027-06-13");
    again = only_question(cli, "id");
    assert_non_null(again);
    list = cli_json(cli, "questions --json");
    assert_int_equal(json_array_size(json_object_get(json_array_get(list, 0), "touches")), 1);
    json_decref(list);
    cli_ok(cli, "lot use L27-001:10mL --for 1042 --on 2027-06-13");
}

static void an_answer_holds_against_nothing_worse(void **state)
{
    struct cli *cli = *state;
    g_autofree char *id = NULL, *line = NULL, *grade = NULL, *stop = NULL, *no = NULL, *mine = NULL;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    id = only_question(cli, "id");
    line = g_strdup_printf("answer %s --evidence 'the tenant: never' --on 2027-06-12", id);
    cli_ok(cli, line);
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-05-01 --source 'a neighbour'");
    cli_refused(cli, "lot use L27-001:10mL --for 1042", 1, "sprayed on the site");
    grade = only_question(cli, "grade");
    assert_string_equal(grade, "stop");
    stop = only_question(cli, "id");
    no = g_strdup_printf("answer %s --evidence 'he thinks not'", stop);
    cli_refused(cli, no, 1, "does not settle what is a stop");
    mine = g_strdup_printf("answer %s --unknowable mine --why 'it was long ago' --by Edda", stop);
    cli_refused(cli, mine, 1, "does not settle what is a stop");
    cli_ok(cli, "strike N27-001 --why 'another verge'");
    cli_ok(cli, "lot use L27-001:10mL --for 1042");
}

static void what_is_put_off_is_asked_again_on_its_day(void **state)
{
    struct cli *cli = *state;
    g_autofree char *id = NULL, *line = NULL, *early = NULL, *asleep = NULL;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    id = only_question(cli, "id");
    early = g_strdup_printf("answer %s --later 2027-06-12 --on 2027-06-12", id);
    cli_refused(cli, early, 2, "is not after the day of the answer");
    line = g_strdup_printf("answer %s --later 2027-06-29 --on 2027-06-12", id);
    cli_ok(cli, line);
    asleep = only_question(cli, "id");
    assert_null(asleep);
    cli_ok(cli, "questions --all");
    assert_non_null(strstr(cli->out, "the tenant"));
    state_is(cli, "L27-001", "held");
    cli_ok(cli, "questions --today 2027-06-28");
    assert_non_null(strstr(cli->out, "nothing to ask"));
    cli_ok(cli, "questions --today 2027-06-29");
    assert_non_null(strstr(cli->out, "the tenant"));
}

static void what_cannot_be_known_is_destroyed_or_kept_for_outside(void **state)
{
    struct cli *cli = *state;
    g_autofree char *id = NULL, *outside = NULL, *without = NULL, *left = NULL, *stop = NULL;
    g_autofree char *destroy = NULL, *none = NULL;
    json_t *lot;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    id = only_question(cli, "id");
    without = g_strdup_printf("answer %s --unknowable outside", id);
    cli_refused(cli, without, 2, "say why it cannot be known");
    outside = g_strdup_printf("answer %s --unknowable outside --why 'the tenant has died'", id);
    cli_ok(cli, outside);
    lot = cli_json(cli, "lot show L27-001 --json");
    assert_true(json_is_true(json_object_get(lot, "outside")));
    json_decref(lot);
    left = only_question(cli, "id");
    assert_null(left);
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-05-01 --source 'a neighbour'");
    stop = only_question(cli, "id");
    destroy = g_strdup_printf("answer %s --unknowable destroy --why 'sprayed'", stop);
    cli_ok(cli, destroy);
    state_is(cli, "L27-001", "destroyed");
    none = only_question(cli, "id");
    assert_null(none);
}

static void what_went_out_comes_first(void **state)
{
    struct cli *cli = *state;
    json_t *list;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    cli_ok(cli, "site add 'Ash Beck' --at 54.7012,-2.5871 --accuracy 10");
    cli_ok(cli, "site permit 'Ash Beck' --given --by Hild --parts any --on 2027-01-01");
    cli_ok(cli, "spray note 'Ash Beck' --kind unsprayed --since 2018-01-01 --source Hild --on "
                "2027-05-20");
    cli_ok(cli, "harvest add 'Ash Beck' nettle/leaf --weight 500g --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-002:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-002 --yield 400mL --on 2027-06-10");
    cli_ok(cli, "lot use L27-002:50mL --for 1042 --on 2027-06-11");
    cli_ok(cli, "strike N27-001 --why 'he never said so'");
    list = cli_json(cli, "questions --json");
    assert_int_equal(json_array_size(list), 2);
    assert_string_equal(json_text(json_array_get(list, 0), "urgency"), "gone out");
    assert_string_equal(json_text(json_array_get(list, 0), "about"), "Ash Beck");
    assert_string_equal(json_text(json_array_get(list, 1), "urgency"), "on the shelf");
    json_decref(list);
}

/* Of a list the record of this kind. */
static json_t *of_kind(json_t *list, const char *kind)
{
    json_t *one;
    size_t i;

    json_array_foreach(list, i, one)
    {
        if (g_str_equal(json_text(one, "kind"), kind))
            return one;
    }
    fail_msg("none is of the kind %s", kind);
    return NULL;
}

static void a_release_tells_all_that_it_answered(void **state)
{
    struct cli *cli = *state;
    json_t *json, *list;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-05-01 --source 'a neighbour'");
    cli_ok(cli, "lot hold L27-001 --why 'cloudy'");
    json = cli_json(cli, "lot release L27-001 --why 'residue test 17 found nothing' --json");
    list = json_object_get(json, "answered");
    assert_true(json_array_size(list) >= 2);
    assert_string_equal(json_text(of_kind(list, "lot-held"), "what"), "cloudy");
    assert_string_equal(json_text(of_kind(list, "sprayed"), "of"), "H27-001");
    json_decref(json);
    json = cli_json(cli, "harvest release H27-001 --evidence 'residue test 17' --json");
    list = json_object_get(json, "answered");
    assert_non_null(of_kind(list, "sprayed"));
    assert_true(json_is_null(json_object_get(json, "held")));
    json_decref(json);
    /* In words too; and only where something was let out. */
    cli_ok(cli, "lot hold L27-001 --why 'cloudy again'");
    cli_ok(cli, "lot release L27-001 --why 'cleared'");
    assert_non_null(strstr(cli->out, "answered"));
    assert_non_null(strstr(cli->out, "cloudy again"));
    json = cli_json(cli, "lot show L27-001 --json");
    assert_null(json_object_get(json, "answered"));
    json_decref(json);
}

static void a_release_names_what_it_answers(void **state)
{
    struct cli *cli = *state;

    unasked_site(cli, "Withy Gill");
    bottled(cli, "Withy Gill");
    cli_ok(cli, "lot hold L27-001 --why 'cloudy'");
    cli_ok(cli, "lot release L27-001 --why 'cleared, and the tenant rang'");
    cli_ok(cli, "lot use L27-001:10mL --for 1042");
    /* The harvest itself was not released, what is made of it later is held. */
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-002 --yield 400mL");
    state_is(cli, "L27-002", "held");
    /* A reason that came later holds again, whatever was released. */
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-05-01 --source 'a neighbour'");
    state_is(cli, "L27-001", "held");
    cli_ok(cli, "lot release L27-001 --why 'residue test 17 found nothing'");
    cli_ok(cli, "lot use L27-001:10mL --for 1042");
    /* And the same fact, corrected, is another version of it. */
    cli_ok(cli, "amend N27-001 --on 2027-05-20 --why 'it was that day'");
    cli_refused(cli, "lot use L27-001:10mL --for 1042", 1, "sprayed on the site");
}

/* A number that is missing is asked about on paper; who named a plant with a deadly look-alike is
 * not a matter of paper. */
static void what_a_purchase_lacks_is_asked(void **state)
{
    struct cli *cli = *state;
    json_t *list, *one;

    cli_ok(cli, "purchase add nettle/leaf --weight 100g --dry --supplier 'Sallow Bank Herbs'");
    cli_ok(cli, "purchase add nettle/leaf --weight 100g --dry --supplier 'Sallow Bank Herbs' "
                "--number SB-9");
    cli_ok(cli, "purchase add nettle/leaf --weight 100g --dry --garden");
    cli_ok(cli, "purchase add elder/flower --weight 100g --supplier 'Mill Farm' --number M-3");
    list = cli_json(cli, "questions --json");
    assert_int_equal(json_array_size(list), 2);
    one = of_kind(list, "name-missing");
    assert_string_equal(json_text(one, "grade"), "stop");
    assert_string_equal(json_text(one, "about"), "P27-004");
    assert_string_equal(json_text(one, "ask"), "Mill Farm");
    one = of_kind(list, "number-missing");
    assert_string_equal(json_text(one, "grade"), "paper");
    assert_string_equal(json_text(one, "urgency"), "on paper");
    assert_string_equal(json_text(one, "about"), "P27-001");
    json_decref(list);
    /* Paper holds nothing. */
    cli_ok(cli, "batch start tincture --from P27-001:50g " T60);
    cli_ok(cli, "amend P27-001 --number SB-8 --why 'it stood on the bag'");
    cli_refused(cli, "batch start tincture --from P27-004:50g " T60, 1, "deadly look-alike");
    cli_ok(cli, "amend P27-004 --named-by Edda --signs 'corky bark, opposite leaves' --why asked");
    list = cli_json(cli, "questions --json");
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
}

static void expect_held(struct cli *cli, const char *show, gboolean held)
{
    json_t *shown = cli_json(cli, show);

    assert_int_equal(!json_is_null(json_object_get(shown, "held")), held);
    json_decref(shown);
}

/* A table that gates a plant from now on holds nothing that was logged before: it asks, once. */
static void what_was_logged_before_a_gate_is_asked_about_and_not_held(void **state)
{
    struct cli *cli = *state;
    json_t *list;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10 --today 2026-04-01");
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --parts any --on 2026-04-01 "
                "--today 2026-04-01");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --since 2018-01-01 --source 'the tenant' "
                "--on 2026-05-01 --today 2026-05-01");
    cli_ok(cli, "harvest add 'Withy Gill' dandelion/leaf --weight 300g --stage 15 --on 2026-05-02 "
                "--today 2026-05-02");
    cli_ok(cli, "purchase add dandelion/leaf --weight 100g --supplier 'Mill Farm' --number M-3 "
                "--on 2026-05-02 --today 2026-05-02");
    list = cli_json(cli, "questions --json");
    assert_string_equal(json_text(of_kind(list, "rules"), "grade"), "stop");
    for (size_t i = 0; i < json_array_size(list); i++)
        assert_string_not_equal(json_text(json_array_get(list, i), "kind"), "name-missing");
    json_decref(list);
    expect_held(cli, "harvest show H26-001 --json", FALSE);
    expect_held(cli, "purchase show P26-001 --json", FALSE);
    /* What is logged since is held as ever. */
    cli_ok(cli, "purchase add dandelion/leaf --weight 100g --supplier 'Mill Farm' --number M-4");
    expect_held(cli, "purchase show P27-001 --json", TRUE);
}

static void run_sql(const struct cli *cli, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

/* Of a book that was upgraded: what would be judged otherwise now is one question and holds
 * nothing, but ground that was sprayed on or before the day. */
static void an_upgrade_asks_one_question_and_holds_what_was_sprayed(void **state)
{
    static const char *const places[] = {"Ash Beck", "Kell Moss", "Withy Gill"};
    struct cli *cli = *state;
    json_t *list, *one;

    for (gsize i = 0; i < G_N_ELEMENTS(places); i++) {
        g_autofree char *move =
            g_strdup_printf("site edit '%s' --at 54.%zu,-2.6 --accuracy 10", places[i], i + 3);
        g_autofree char *pick = g_strdup_printf("harvest add '%s' nettle/leaf --weight 1kg --stage "
                                                "35 --on 2027-05-25",
                                                places[i]);
        g_autofree char *fill = g_strdup_printf("batch start tincture --from H27-00%zu:100g %s "
                                                "--on 2027-05-25",
                                                i + 1, T60);
        g_autofree char *press =
            g_strdup_printf("batch press B27-00%zu --yield 400mL --on 2027-06-10", i + 1);

        cli_clear_site(cli, places[i]);
        cli_ok(cli, move);
        cli_ok(cli, pick);
        cli_ok(cli, fill);
        cli_ok(cli, press);
    }
    cli_ok(cli, "site edit 'Ash Beck' --contaminated 'lead of the old works'");
    cli_ok(cli, "site edit 'Kell Moss' --contaminated 'a tip was here'");
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-05-01 --source 'a neighbour'");
    state_is(cli, "L27-001", "held");
    state_is(cli, "L27-002", "held");
    state_is(cli, "L27-003", "held");
    run_sql(cli, "INSERT INTO baseline (uuid, mark, schema, day, at) SELECT"
                 " '6f0f9f0e-0000-4000-8000-000000000001', value, 9, 20990,"
                 " (SELECT max(at) FROM (SELECT at FROM thing UNION ALL SELECT at FROM amendment))"
                 " + 1 FROM setting WHERE key = 'mark'");
    state_is(cli, "L27-001", "on the shelf");
    state_is(cli, "L27-002", "on the shelf");
    state_is(cli, "L27-003", "held");
    list = cli_json(cli, "questions --json");
    assert_int_equal(json_array_size(list), 2);
    one = of_kind(list, "rules");
    assert_int_equal(json_array_size(json_object_get(one, "touches")),
                     4); /* the harvests and lots of two */
    of_kind(list, "sprayed");
    json_decref(list);
    /* What becomes known after the upgrade holds as ever. */
    cli_ok(cli, "spray note 'Ash Beck' --kind sprayed --on 2027-05-02 --source 'a neighbour'");
    state_is(cli, "L27-001", "held");
    state_is(cli, "L27-002", "on the shelf");
}

static const struct CMUnitTest tests[] = {
    cli_test(one_call_settles_what_came_of_one_place),
    cli_test(a_later_word_frees_by_itself),
    cli_test(evidence_answers_what_was_asked_and_nothing_later),
    cli_test(an_answer_holds_against_nothing_worse),
    cli_test(what_is_put_off_is_asked_again_on_its_day),
    cli_test(what_cannot_be_known_is_destroyed_or_kept_for_outside),
    cli_test(what_went_out_comes_first),
    cli_test(a_release_tells_all_that_it_answered),
    cli_test(what_a_purchase_lacks_is_asked),
    cli_test(what_was_logged_before_a_gate_is_asked_about_and_not_held),
    cli_test(an_upgrade_asks_one_question_and_holds_what_was_sprayed),
    cli_test(a_release_names_what_it_answers),
};
expect_main(tests)
