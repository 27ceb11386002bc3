/* SPDX-License-Identifier: MIT
 *
 * The page of a merge, and what may be done on it. Expected values follow from the rules in
 * core/revision.h and from what was entered, by hand.
 */
#include "pair.h"

static json_t *merged(struct pair *pair, char *into, const char *from, const char *how)
{
    g_autofree char *line = g_strdup_printf("book merge %s %s --json", from, how);

    at(pair, into);
    return cli_json(pair->cli, line);
}

/* The change of that kind about that thing; NULL: none. */
static json_t *change_of(const json_t *page, const char *about, const char *what)
{
    const json_t *changes = json_object_get(page, "changes");

    for (size_t i = 0; i < json_array_size(changes); i++) {
        json_t *one = json_array_get(changes, i);

        if (strcmp(json_text(one, "about"), about) == 0 &&
            strcmp(json_text(one, "what"), what) == 0)
            return one;
    }
    return NULL;
}

static void expect_change(const json_t *page, const char *about, const char *what,
                          const char *before, const char *after, const char *turn)
{
    const json_t *one = change_of(page, about, what);

    if (one == NULL)
        fail_msg("nothing is told of the %s of %s", what, about);
    assert_string_equal(json_text(one, "before"), before);
    assert_string_equal(json_text(one, "after"), after);
    assert_string_equal(json_text(one, "turn"), turn);
}

static size_t waits(const json_t *page)
{
    return json_array_size(json_object_get(page, "revisions"));
}

/* Ann's ground with two words of spraying and a lot of it; Bob struck both words, and notes that
 * the other place was sprayed. */
static void two_strikes(struct pair *pair)
{
    cli_ok(pair->cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                      "2027-05-25");
    cli_ok(pair->cli, "spray note 'Withy Gill' --kind sprayed --source 'a walker' --on "
                      "2027-05-28");
    cli_ok(pair->cli, "site add 'Mill Holme' --at 54.62,-2.60 --accuracy 10");
    cli_ok(pair->cli, "site permit 'Mill Holme' --given --by 'the miller' --on 2027-04-01");
    cli_ok(pair->cli, "spray note 'Mill Holme' --kind unsprayed --source 'the miller' --on "
                      "2027-06-01 --since 2024-01-01");
    cli_ok(pair->cli, "harvest add 'Mill Holme' nettle/leaf --weight 1kg --stage 35 --on "
                      "2027-06-10 --by Ann --named-by Ann --signs stings");
    bob_gets_anns(pair);
    cli_ok(pair->cli, "strike ANN:N27-002 --why 'another field'");
    cli_ok(pair->cli, "strike ANN:N27-003 --why 'it was water'");
    cli_ok(pair->cli, "spray note 'Mill Holme' --kind sprayed --source 'the neighbour' --on "
                      "2027-06-09");
}

static void the_page_tells_what_came_and_what_stands_otherwise(void **state)
{
    struct pair pair;
    json_t *page, *came;

    begin(&pair, *state);
    two_strikes(&pair);
    page = merged(&pair, pair.ann, pair.bob, "");
    came = json_object_get(page, "came");
    assert_int_equal(json_array_size(came), 2); /* one note, two strikes */
    assert_string_equal(json_text(json_array_get(came, 0), "what"), "notes");
    expect_near(json_number(json_array_get(came, 0), "rows"), 1, 0, "notes");
    assert_string_equal(json_text(json_array_get(came, 1), "what"), "strikes");
    expect_near(json_number(json_array_get(came, 1), "rows"), 2, 0, "strikes");
    expect_change(page, "Mill Holme", "verdict", "clear", "closed", "stricter");
    expect_change(page, "H27-001", "state", "free", "held", "stricter");
    assert_null(change_of(page, "Withy Gill", "verdict"));
    assert_int_equal(waits(page), 2);
    assert_true(json_array_size(json_object_get(page, "questions")) >= 1);
    json_decref(page);
    sound(&pair);
    end(&pair);
}

/* What is accepted counts; what is left is asked about, and by another merge accepted too. */
static void all_is_accepted_but_what_is_left_and_taken_back(void **state)
{
    g_autofree char *first = NULL, *back = NULL;
    struct pair pair;
    json_t *page, *answers;

    begin(&pair, *state);
    two_strikes(&pair);
    ann_gets_bobs(&pair);
    assert_int_equal(asked(&pair, pair.ann, NULL), 2);
    page = merged(&pair, pair.ann, pair.bob, "--accept --but 2");
    expect_near(json_number(page, "added"), 0, 0, "rows");
    assert_int_equal(json_array_size(json_object_get(page, "came")), 0);
    assert_int_equal(waits(page), 2);
    for (int i = 0; i < 2; i++) {
        const json_t *one = json_array_get(json_object_get(page, "revisions"), (size_t)i);

        expect_near(json_number(one, "number"), i + 1, 0, "number");
        assert_string_equal(json_text(one, "turn"), "milder");
        assert_true(json_is_true(json_object_get(one, "accepted")) == (i == 0));
        if (i == 0)
            first = g_strdup(json_text(one, "id"));
    }
    expect_change(page, "N27-002", "record", "stood", "struck", "milder");
    assert_null(change_of(page, "N27-003", "record"));
    json_decref(page);
    assert_int_equal(asked(&pair, pair.ann, NULL), 1);
    verdict_is(&pair, pair.ann, CLOSED);

    page = merged(&pair, pair.ann, pair.bob, "--accept");
    assert_int_equal(waits(page), 1);
    expect_change(page, "Withy Gill", "verdict", "closed", "clear", "milder");
    assert_string_equal(json_text(json_array_get(json_object_get(page, "changes"), 0), "turn"),
                        "milder");
    json_decref(page);
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    verdict_is(&pair, pair.ann, CLEAR);

    answers = cli_json(pair.cli, "answers --json");
    assert_int_equal(json_array_size(answers), 2);
    assert_non_null(strstr(json_text(json_array_get(answers, 0), "words"), "the book of BOB"));
    json_decref(answers);
    back = g_strdup_printf("answer %.12s --back 'he was never there'", first);
    cli_ok(pair.cli, back);
    verdict_is(&pair, pair.ann, CLOSED);
    assert_int_equal(asked(&pair, pair.ann, NULL), 1);
    cli_refused(pair.cli, back, 1, "nothing that was answered is called");
    sound(&pair);
    end(&pair);
}

static void a_refusal_is_taken_back_too(void **state)
{
    g_autofree char *id = NULL, *line = NULL, *back = NULL;
    struct pair pair;
    json_t *answers;

    begin(&pair, *state);
    cli_ok(pair.cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                     "2027-05-25");
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "strike ANN:N27-002 --why 'another field'");
    ann_gets_bobs(&pair);
    assert_int_equal(asked(&pair, pair.ann, &id), 1);
    line = g_strdup_printf("answer %s --refuse 'I saw the boom'", id);
    cli_ok(pair.cli, line);
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    answers = cli_json(pair.cli, "answers --json");
    assert_int_equal(json_array_size(answers), 1);
    assert_string_equal(json_text(json_array_get(answers, 0), "how"), "refuse");
    assert_string_equal(json_text(json_array_get(answers, 0), "id"), id);
    json_decref(answers);
    back = g_strdup_printf("answer %s --back 'it was the other field'", id);
    cli_ok(pair.cli, back);
    assert_int_equal(asked(&pair, pair.ann, NULL), 1);
    verdict_is(&pair, pair.ann, CLOSED);
    sound(&pair);
    end(&pair);
}

static void a_dry_run_tells_and_writes_nothing(void **state)
{
    struct pair pair;
    json_t *page, *notes;

    begin(&pair, *state);
    two_strikes(&pair);
    page = merged(&pair, pair.ann, pair.bob, "--dry-run --accept");
    assert_true(json_is_true(json_object_get(page, "dry_run")));
    expect_change(page, "Mill Holme", "verdict", "clear", "closed", "stricter");
    expect_change(page, "Withy Gill", "verdict", "closed", "clear", "milder");
    json_decref(page);
    verdict_is(&pair, pair.ann, CLOSED);
    notes = cli_json(pair.cli, "answers --json");
    assert_int_equal(json_array_size(notes), 0);
    json_decref(notes);
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    cli_run(pair.cli, "check 'Mill Holme' nettle/leaf");
    assert_int_equal(pair.cli->status, CLEAR);
    end(&pair);
}

/* All or nothing. */
static void what_is_left_must_be_listed(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    two_strikes(&pair);
    at(&pair, pair.ann);
    cli_refused(pair.cli, "book merge bob.db --accept --but 3", 1, "--but");
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    cli_refused(pair.cli, "book merge bob.db --but 1", 2, "--but");
    cli_ok(pair.cli, "book merge bob.db --accept --but '1, 2'");
    assert_int_equal(asked(&pair, pair.ann, NULL), 2);
    end(&pair);
}

/* A second machine: what was corrected, struck and settled on it counts at home, and the other way
 * round; nobody is asked. */
static void a_lent_book_comes_home(void **state)
{
    struct cli *cli = *state;
    struct pair pair;
    json_t *info, *page;

    begin(&pair, cli);
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on 2027-05-25");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 35 --on 2027-05-10 "
                "--by Ann --named-by Ann --signs stings");
    bob_gets_anns(&pair);
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --source 'a walker' --on 2027-05-26");
    cli_ok(cli, "strike ANN:N27-002 --why 'another field'");
    ann_gets_bobs(&pair);
    assert_int_equal(asked(&pair, pair.ann, NULL), 1);
    cli_refused(cli, "book lend laptop.db --mark BOB", 1, "is written under already");
    cli_refused(cli, "book lend bob.db --mark ANL", 1, "bob.db");
    cli_ok(cli, "book lend laptop.db --mark anl --by Ann");
    info = cli_json(cli, "book info --json");
    assert_string_equal(json_text(json_array_get(json_object_get(info, "trusts"), 0), "mark"),
                        "ANL");
    json_decref(info);

    /* On the way: a harvest put right, one of Bob's words struck, his strike agreed to, a jar. */
    cli_ok(cli, "amend ANN:H27-001 --weight 450g --why 'the basket was on it' --book laptop.db");
    cli_ok(cli, "strike BOB:N27-001 --why 'he saw the sower' --book laptop.db");
    cli_ok(cli, "answer ANN:N27-002 --evidence 'the tenant came by' --book laptop.db");
    cli_ok(cli, "batch start tincture --from ANN:H27-001:150g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10 --book laptop.db");
    assert_non_null(strstr(cli->out, "B27-001"));
    verdict_is(&pair, pair.ann, CLOSED);
    page = merged(&pair, pair.ann, "laptop.db", "");
    expect_change(page, "Withy Gill", "verdict", "closed", "clear", "milder");
    assert_int_equal(waits(page), 0);
    json_decref(page);
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    verdict_is(&pair, pair.ann, CLEAR);
    page = cli_json(cli, "harvest show H27-001 --json");
    expect_near(json_number(page, "weight_g"), 450, 0, "g");
    json_decref(page);
    cli_ok(cli, "batch show ANL:B27-001");

    /* And what was put right at home counts on it. */
    cli_ok(cli, "amend H27-001 --weight 440g --why 'weighed again'");
    cli_ok(cli, "book merge book.db --book laptop.db");
    page = cli_json(cli, "harvest show ANN:H27-001 --book laptop.db --json");
    expect_near(json_number(page, "weight_g"), 440, 0, "g");
    json_decref(page);
    cli_ok(cli, "book check --book laptop.db");
    sound(&pair);
    end(&pair);
}

static gboolean is_held(struct pair *pair, char *book, const char *code)
{
    g_autofree char *line = g_strdup_printf("harvest show %s --json", code);
    json_t *shown;
    gboolean held;

    at(pair, book);
    shown = cli_json(pair->cli, line);
    held = json_is_string(json_object_get(shown, "held"));
    json_decref(shown);
    return held;
}

/* A colleague lets out what was held on the same day: here it stays held, there it is settled. Of a
 * later day it counts in both; so it does of one who is trusted. */
static void a_release_of_the_same_day_frees_nothing_of_anothers(void **state)
{
    struct cli *cli = *state;
    struct pair pair;

    begin(&pair, cli);
    for (int i = 0; i < 2; i++)
        cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 500g --stage 35 --on 2027-05-10 "
                    "--by Ann --named-by Ann --signs stings --hold 'smelt of tar'");
    bob_gets_anns(&pair);
    cli_ok(cli, "harvest release ANN:H27-001 --evidence 'smelt it again'");
    ann_gets_bobs(&pair);
    assert_false(is_held(&pair, pair.bob, "ANN:H27-001"));
    /* It was held when it was logged, in May: a later word counts. */
    assert_false(is_held(&pair, pair.ann, "H27-001"));

    cli_ok(cli, "batch start tincture --from H27-001:150g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    cli_ok(cli, "batch press B27-001 --yield 300mL --on 2027-06-10");
    cli_ok(cli, "lot hold L27-001 --why 'cloudy'");
    bob_gets_anns(&pair);
    cli_ok(cli, "lot release ANN:L27-001 --why 'it is only pectin'");
    cli_ok(cli, "lot use ANN:L27-001:5mL --for 3");
    ann_gets_bobs(&pair);
    cli_refused(cli, "lot use L27-001:5mL --for 4", 1, "cloudy");
    cli_ok(cli, "book trust BOB");
    cli_ok(cli, "lot use L27-001:5mL --for 4");
    cli_ok(cli, "book trust BOB --no");
    cli_refused(cli, "lot use L27-001:5mL --for 4", 1, "cloudy");
    cli_ok(cli, "lot release L27-001 --why 'seen by both'");
    cli_ok(cli, "lot use L27-001:5mL --for 4");
    sound(&pair);
    end(&pair);
}

/* The rack was taken down by both: one weight in both books, whichever merged first, and a
 * question that holds what comes of it. */
static void one_rack_taken_down_in_two_books_is_asked_in_both(void **state)
{
    struct cli *cli = *state;
    double dry[2];
    struct pair pair;

    begin(&pair, cli);
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 900g --stage 35 --on 2027-05-10 "
                "--by Ann --named-by Ann --signs stings");
    cli_ok(cli, "dry start --from H27-001 --on 2027-05-10");
    bob_gets_anns(&pair);
    cli_ok(cli, "dry finish ANN:D27-001 --weight 200g --on 2027-05-20");
    at(&pair, pair.ann);
    cli_ok(cli, "dry finish D27-001 --weight 190g --on 2027-05-19");
    ann_gets_bobs(&pair);
    bob_gets_anns(&pair);
    for (int i = 0; i < 2; i++) {
        json_t *list, *shown;
        int found = 0;

        at(&pair, i == 0 ? pair.ann : pair.bob);
        shown = cli_json(cli, i == 0 ? "dry show D27-001 --json" : "dry show ANN:D27-001 --json");
        dry[i] = json_number(shown, "dry_g");
        json_decref(shown);
        list = cli_json(cli, "questions --json");
        for (size_t k = 0; k < json_array_size(list); k++)
            found += strcmp(json_text(json_array_get(list, k), "kind"), "weighed-twice") == 0;
        json_decref(list);
        assert_int_equal(found, 1);
    }
    expect_near(dry[0], dry[1], 0, "g in both books");
    at(&pair, pair.ann);
    cli_ok(cli, "answer D27-001 --evidence 'one rack, weighed by her; his was the other'");
    cli_ok(cli, "batch start tincture --from D27-001:50g --jar 500mL --menstruum 'spirit 60%'");
    sound(&pair);
    end(&pair);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(the_page_tells_what_came_and_what_stands_otherwise),
        cli_test(all_is_accepted_but_what_is_left_and_taken_back),
        cli_test(a_refusal_is_taken_back_too),
        cli_test(a_dry_run_tells_and_writes_nothing),
        cli_test(what_is_left_must_be_listed),
        cli_test(a_lent_book_comes_home),
        cli_test(a_release_of_the_same_day_frees_nothing_of_anothers),
        cli_test(one_rack_taken_down_in_two_books_is_asked_in_both),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
