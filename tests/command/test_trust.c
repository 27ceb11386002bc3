/* SPDX-License-Identifier: MIT
 *
 * Two people, two books: what one corrects of the other's records waits, makes it worse at once, or
 * counts, by who wrote the record, whom the reader trusts and what was agreed. Each case ends as
 * the rules in core/revision.h say, by hand, in both books.
 */
#include "pair.h"

#include <string.h>

static void answer(struct pair *pair, char *book, const char *how)
{
    g_autofree char *id = NULL, *line = NULL;

    assert_int_equal(asked(pair, book, &id), 1);
    line = g_strdup_printf("answer %s %s", id, how);
    cli_ok(pair->cli, line);
}

static void a_colleagues_strike_opens_no_ground_until_it_is_trusted(void **state)
{
    struct pair pair;
    json_t *info;

    begin(&pair, *state);
    cli_ok(pair.cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                     "2027-05-25");
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "strike ANN:N27-002 --why 'another field'");
    verdict_is(&pair, pair.bob, CLEAR); /* settled there */
    ann_gets_bobs(&pair);
    assert_non_null(strstr(pair.cli->out, "BOB struck the statement 'sprayed' (another field)"));
    verdict_is(&pair, pair.ann, CLOSED);
    assert_int_equal(asked(&pair, pair.ann, NULL), 1);
    cli_ok(pair.cli, "questions");
    assert_non_null(strstr(pair.cli->out, "until somebody agrees, it holds as it was noted"));

    cli_ok(pair.cli, "book trust bob --by Edda");
    verdict_is(&pair, pair.ann, CLEAR);
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    info = cli_json(pair.cli, "book info --json");
    assert_string_equal(json_text(json_array_get(json_object_get(info, "trusts"), 0), "mark"),
                        "BOB");
    json_decref(info);

    cli_ok(pair.cli, "book trust BOB --no");
    verdict_is(&pair, pair.ann, CLOSED);
    cli_ok(pair.cli, "strike --last"); /* trusted again */
    verdict_is(&pair, pair.ann, CLEAR);
    cli_ok(pair.cli, "book trust BOB --no");
    assert_int_equal(asked(&pair, pair.ann, NULL), 1);
    sound(&pair);
    end(&pair);
}

static void what_its_writer_agreed_to_counts_in_every_book(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    cli_ok(pair.cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                     "2027-05-25");
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "strike ANN:N27-002 --why 'another field'");
    ann_gets_bobs(&pair);
    answer(&pair, pair.ann, "--later 2027-07-01");
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    verdict_is(&pair, pair.ann, CLOSED); /* put off is not agreed */
    cli_ok(pair.cli, "strike --last");
    answer(&pair, pair.ann, "--evidence 'the tenant: it was the field across the lane'");
    verdict_is(&pair, pair.ann, CLEAR);
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    cli_ok(pair.cli, "strike --last"); /* what was accepted is taken back */
    verdict_is(&pair, pair.ann, CLOSED);
    sound(&pair);
    end(&pair);
}

static void a_strike_that_is_refused_is_asked_about_no_more(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    cli_ok(pair.cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                     "2027-05-25");
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "strike ANN:N27-002 --why 'another field'");
    ann_gets_bobs(&pair);
    answer(&pair, pair.ann, "--refuse 'I stood beside it'");
    assert_int_equal(asked(&pair, pair.ann, NULL), 0);
    verdict_is(&pair, pair.ann, CLOSED);
    /* His own book is told that she took it back: the danger stands again at once, and he is asked.
     */
    bob_gets_anns(&pair);
    verdict_is(&pair, pair.bob, CLOSED);
    assert_int_equal(asked(&pair, pair.bob, NULL), 1);
    sound(&pair);
    end(&pair);
}

static void a_colleagues_strike_of_a_good_word_counts_at_once(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    bob_gets_anns(&pair);
    verdict_is(&pair, pair.bob, CLEAR);
    cli_ok(pair.cli, "strike ANN:N27-001 --why 'he spoke of another year'");
    ann_gets_bobs(&pair);
    verdict_is(&pair, pair.ann, 3);
    answer(&pair, pair.ann, "--refuse 'he said this year, to me'");
    verdict_is(&pair, pair.ann, CLEAR);
    sound(&pair);
    end(&pair);
}

/* The last good day is the earlier one of both readings, of a spraying both days count. */
static void of_two_readings_the_worse_one_counts(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "amend ANN:N27-001 --until 2027-06-01 --why 'the tenant leaves in June'");
    ann_gets_bobs(&pair);
    verdict_is(&pair, pair.ann, 3); /* after 1 June nobody has said so in his reading */
    answer(&pair, pair.ann, "--refuse 'he stays'");
    verdict_is(&pair, pair.ann, CLEAR);

    cli_ok(pair.cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                     "2023-05-25"); /* three years of waiting are over */
    verdict_is(&pair, pair.ann, CLEAR);
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "amend ANN:N27-002 --on 2026-05-25 --why 'it was last year'");
    ann_gets_bobs(&pair);
    verdict_is(&pair, pair.ann, CLOSED);
    answer(&pair, pair.ann, "--refuse 'I have his letter of 2023'");
    verdict_is(&pair, pair.ann, CLEAR);
    sound(&pair);
    end(&pair);
}

static void a_place_that_a_colleague_moved_is_judged_in_both(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    cli_ok(pair.cli, "hazard add 'the road' --method road --at 54.6012,-2.5871");
    verdict_is(&pair, pair.ann, CLOSED);
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "site edit 'Withy Gill' --at 54.7012,-2.5871 --why 'by the map'");
    verdict_is(&pair, pair.bob, CLEAR);
    ann_gets_bobs(&pair);
    verdict_is(&pair, pair.ann, CLOSED);
    cli_ok(pair.cli, "book trust BOB");
    verdict_is(&pair, pair.ann, CLEAR);
    cli_ok(pair.cli, "book trust BOB --no");
    /* And the other way: it is moved to the road. */
    cli_ok(pair.cli, "site edit 'Withy Gill' --at 54.8012,-2.5871 --why 'as I paced it'");
    verdict_is(&pair, pair.ann, CLEAR);
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "site edit 'Withy Gill' --at 54.6012,-2.5871 --why 'no, here'");
    ann_gets_bobs(&pair);
    verdict_is(&pair, pair.ann, CLOSED);
    sound(&pair);
    end(&pair);
}

static void marked_ground_counts_from_anybody(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "site edit 'Withy Gill' --contaminated 'an old tip' --why 'a neighbour'");
    ann_gets_bobs(&pair);
    verdict_is(&pair, pair.ann, CLOSED);
    end(&pair);
}

/* How many reasons hold it. */
static gsize causes(struct cli *cli, const char *code)
{
    g_autofree char *line = g_strdup_printf("harvest show %s --json", code);
    json_t *shown = cli_json(cli, line);
    gsize n = json_array_size(json_object_get(shown, "because"));

    json_decref(shown);
    return n;
}

static void a_struck_harvest_of_hers_is_held_and_another_day_is_looked_at(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    cli_ok(pair.cli, "harvest add 'Withy Gill' nettle/leaf --weight 900g --stage 35 --on "
                     "2027-05-10");
    cli_ok(pair.cli, "harvest add 'Withy Gill' nettle/leaf --weight 300g --stage 35 --on "
                     "2027-05-10");
    bob_gets_anns(&pair);
    cli_ok(pair.cli, "strike ANN:H27-001 --why 'it was hemp nettle'");
    cli_ok(pair.cli, "amend ANN:H27-002 --on 2027-05-14 --why 'it was the Friday'");
    ann_gets_bobs(&pair);
    assert_int_equal(causes(pair.cli, "H27-001"), 1);
    assert_int_equal(causes(pair.cli, "H27-002"), 1);
    /* On the day that he means it was sprayed already. */
    cli_ok(pair.cli, "spray note 'Withy Gill' --kind sprayed --source 'the tenant' --on "
                     "2027-05-12");
    assert_int_equal(causes(pair.cli, "H27-001"), 1);
    assert_int_equal(causes(pair.cli, "H27-002"), 2);
    cli_ok(pair.cli, "answer H27-001 --refuse 'I have pressed a leaf of it'");
    assert_int_equal(causes(pair.cli, "H27-001"), 0);
    answer(&pair, pair.ann, "--refuse 'it was the tenth'");
    assert_int_equal(causes(pair.cli, "H27-002"), 0);
    sound(&pair);
    end(&pair);
}

/* Three people have a place of one name, and one of them a mark with a digit: each is shown and
 * found by its mark, and nothing that warns is left out. */
static void places_of_one_name_are_told_apart_by_their_marks(void **state)
{
    static const char *const marks[] = {"DAN", "K2"};
    struct cli *cli = *state;
    char *ann = cli->book;
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    json_t *sites, *merged, *listed;

    cli_ok(cli, "site add 'Kell Moss' --at 54.6,-2.6 --accuracy 5");
    for (gsize i = 0; i < G_N_ELEMENTS(marks); i++) {
        g_autofree char *init = g_strdup_printf("book init --mark %s", marks[i]);

        g_ptr_array_add(paths, g_strdup_printf("%s/%s.db", cli->folder, marks[i]));
        cli->book = paths->pdata[i];
        cli_ok(cli, init);
        cli_ok(cli, "site add 'Kell Moss' --at 54.9,-2.9 --accuracy 5");
    }
    cli_ok(cli, "hazard add 'the tip' --method tip --at 54.9,-2.9");
    cli->book = ann; /* hers has the same name and lies elsewhere */
    cli_ok(cli, "hazard add 'the tip' --method tip --at 54.2,-2.2");
    cli->book = paths->pdata[1];
    cli_ok(cli, "harvest add 'Kell Moss' lime/flower --weight 20g --stage 65 --hold 'by the tip'");
    cli->book = paths->pdata[0];
    cli_ok(cli, "book merge K2.db");
    cli->book = ann;
    merged = cli_json(cli, "book merge DAN.db --json");
    assert_int_equal(json_integer_value(json_object_get(merged, "left_out")), 0);
    json_decref(merged);
    sites = cli_json(cli, "site list --json");
    assert_int_equal(json_array_size(sites), 3);
    for (gsize i = 0; i < 3; i++) {
        static const char *const shown[] = {"Kell Moss", "Kell Moss (DAN)", "Kell Moss (K2)"};
        gboolean there = FALSE;

        for (gsize k = 0; k < 3; k++)
            there = there || strcmp(json_text(json_array_get(sites, k), "name"), shown[i]) == 0;
        if (!there)
            fail_msg("%s is not listed", shown[i]);
    }
    json_decref(sites);
    assert_int_equal(cli_run(cli, "check 'Kell Moss (K2)'"), CLOSED); /* the tip came too */
    listed = cli_json(cli, "harvest list --json");
    assert_string_equal(json_text(json_array_get(listed, 0), "site"), "Kell Moss (K2)");
    json_decref(listed);
    cli_ok(cli, "hazard list");
    assert_non_null(strstr(cli->out, "the tip (K2)"));
    cli_ok(cli, "book check");
    cli_ok(cli, "book repair");
    cli_ok(cli, "hazard drop 'the tip (K2)'");
    assert_int_not_equal(cli_run(cli, "check 'Kell Moss (K2)'"), CLOSED);
    for (guint i = 0; i < paths->len; i++)
        g_unlink(paths->pdata[i]);
}

static void only_a_mark_is_trusted_and_never_ones_own(void **state)
{
    struct pair pair;

    begin(&pair, *state);
    assert_int_not_equal(cli_run(pair.cli, "book trust ANN"), 0);
    assert_non_null(strstr(pair.cli->err, "is this book's own"));
    assert_int_not_equal(cli_run(pair.cli, "book trust 'Bob the gardener'"), 0);
    assert_int_not_equal(cli_run(pair.cli, "book trust"), 0);
    cli_ok(pair.cli, "harvest add 'Withy Gill' nettle/leaf --bags 1 --stage 35 --on 2027-05-10");
    at(&pair, pair.ann);
    cli_ok(pair.cli, "site add 'Mill Holme' --at 54.62,-2.60 --accuracy 10");
    cli_ok(pair.cli, "harvest add 'Mill Holme' nettle/leaf --weight 1kg --stage 35 --on "
                     "2027-05-10");
    assert_int_not_equal(cli_run(pair.cli, "answer 'Mill Holme' --refuse 'no'"), 0);
    end(&pair);
}

/* The questions of this kind in a book; each touches this lot, and giving out of it is refused. */
static void both_ask(struct pair *pair, const char *kind, const char *of_ann, const char *of_bob)
{
    const char *lots[] = {of_ann, of_bob};
    char *books[] = {pair->ann, pair->bob};

    for (int i = 0; i < 2; i++) {
        g_autofree char *use = g_strdup_printf("lot use %s:10mL --for 12", lots[i]);
        json_t *questions, *one;
        int found = 0;
        size_t k;

        at(pair, books[i]);
        questions = cli_json(pair->cli, "questions --json");
        json_array_foreach(questions, k, one) found += g_str_equal(json_text(one, "kind"), kind);
        json_decref(questions);
        assert_int_equal(found, 1);
        cli_refused(pair->cli, use, 1, "is held");
    }
}

/* What draws on a harvest in one book hinders no one from striking it in the other: whoever has
 * the jar hears of it, from whichever book it comes, and nothing goes out until it is answered. */
static void what_was_struck_while_another_drew_on_it_is_asked_in_both_books(void **state)
{
    struct cli *cli = *state;
    struct pair pair;

    begin(&pair, cli);
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage 35 --on 2027-05-10 "
                "--by Ann --named-by Ann --signs stings");
    bob_gets_anns(&pair);
    cli_ok(cli, "batch start tincture --from ANN:H27-001:150g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    cli_ok(cli, "batch press B27-001 --yield 300mL --on 2027-06-10");
    at(&pair, pair.ann);
    cli_ok(cli, "strike H27-001 --why 'wrong plant'");
    bob_gets_anns(&pair);
    ann_gets_bobs(&pair);
    both_ask(&pair, "struck-in-use", "BOB:L27-001", "L27-001");
    at(&pair, pair.bob);
    cli_ok(cli, "answer ANN:H27-001 --evidence 'she meant another basket'");
    cli_ok(cli, "lot use L27-001:10mL --for 12");
    end(&pair);
}

/* The other order of merging, and a strike of one of the two settles it. */
static void one_jar_pressed_in_two_books_is_asked_in_both(void **state)
{
    struct cli *cli = *state;
    struct pair pair;

    begin(&pair, cli);
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage 35 --on 2027-05-10 "
                "--by Ann --named-by Ann --signs stings");
    cli_ok(cli, "batch start tincture --from H27-001:150g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    bob_gets_anns(&pair);
    cli_ok(cli, "batch press ANN:B27-001 --yield 310mL --on 2027-06-10");
    at(&pair, pair.ann);
    cli_ok(cli, "batch press B27-001 --yield 300mL --on 2027-06-10");
    cli_ok(cli, "lot use L27-001:10mL --for 12");
    ann_gets_bobs(&pair);
    bob_gets_anns(&pair);
    both_ask(&pair, "pressed-twice", "L27-001", "L27-001");
    cli_ok(cli, "strike L27-001 --why 'it was never there'");
    ann_gets_bobs(&pair);
    cli_ok(cli, "lot use L27-001:10mL --for 12");
    end(&pair);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(a_colleagues_strike_opens_no_ground_until_it_is_trusted),
        cli_test(what_its_writer_agreed_to_counts_in_every_book),
        cli_test(a_strike_that_is_refused_is_asked_about_no_more),
        cli_test(a_colleagues_strike_of_a_good_word_counts_at_once),
        cli_test(of_two_readings_the_worse_one_counts),
        cli_test(a_place_that_a_colleague_moved_is_judged_in_both),
        cli_test(marked_ground_counts_from_anybody),
        cli_test(a_struck_harvest_of_hers_is_held_and_another_day_is_looked_at),
        cli_test(places_of_one_name_are_told_apart_by_their_marks),
        cli_test(only_a_mark_is_trusted_and_never_ones_own),
        cli_test(what_was_struck_while_another_drew_on_it_is_asked_in_both_books),
        cli_test(one_jar_pressed_in_two_books_is_asked_in_both),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
