/* SPDX-License-Identifier: MIT
 *
 * What holds a thing, told by small stories; the expected states are those of the rules in the head
 * of core/state.h, worked out by hand. */
#include "state_set.h"

enum { SPRAYED = 1, NO_WORD, NAME, WITHDRAWN };

static void thing(struct set *set, gint64 id, char kind, gint64 stamp)
{
    struct spl_state_thing row = {.id = id, .kind = kind, .stamp = stamp};

    g_array_append_val(set->things, row);
}

static void draw(struct set *set, gint64 source, gint64 taker, gint64 stamp)
{
    struct spl_state_draw row = {source, taker, stamp};

    g_array_append_val(set->draws, row);
}

static struct spl_state_root *root(struct set *set, gint64 on, enum spl_state_grade grade, int kind,
                                   gint64 stamp)
{
    struct spl_state_root row = {
        .thing = on, .grade = grade, .kind = kind, .stamp = stamp, .evidence = 500, .version = 1};

    g_array_append_val(set->roots, row);
    return &g_array_index(set->roots, struct spl_state_root, set->roots->len - 1);
}

static struct spl_state_answer *answer(struct set *set, gint64 on, enum spl_state_grade grade,
                                       int kind)
{
    struct spl_state_answer row = {
        .thing = on, .grade = grade, .kind = kind, .evidence = 500, .version = 1};

    g_array_append_val(set->answers, row);
    return &g_array_index(set->answers, struct spl_state_answer, set->answers->len - 1);
}

/* 'h' held, 'a' asked about alone, 'o' for outside only, '-' nothing: one letter for each thing of
 * `ids`. */
static void expect_marks(const struct set *set, const char *ids, const char *wanted)
{
    struct spl_state_spread spread;
    g_autoptr(GString) got = g_string_new(NULL);

    spl_state_spread(&set->facts, &spread);
    for (const char *p = ids; *p != '\0'; p++) {
        struct spl_state_sum sum = spl_state_sum(&spread, *p - '0');

        g_string_append_c(got, sum.held ? 'h' : sum.asked ? 'a' : sum.outside ? 'o' : '-');
    }
    spl_state_spread_clear(&spread);
    assert_string_equal(got->str, wanted);
}

/* A harvest 1 dried as 2; jar 3 of the dried and jar 4 of another harvest 5; lots 6 of jar 3 and 7
 * of both jars; 8 a jar with lot 6 in it, lot 9 of that. The stamps rise with the numbers of the
 * lots: 6 at 60, 7 at 70, 9 at 90. */
static void story(struct set *set)
{
    begin(set);
    thing(set, 1, 'H', 10);
    thing(set, 2, 'D', 20);
    thing(set, 3, 'B', 30);
    thing(set, 4, 'B', 40);
    thing(set, 5, 'H', 15);
    thing(set, 6, 'L', 60);
    thing(set, 7, 'L', 70);
    thing(set, 8, 'B', 80);
    thing(set, 9, 'L', 90);
    draw(set, 1, 2, 20);
    draw(set, 2, 3, 30);
    draw(set, 5, 4, 40);
    draw(set, 3, 6, 60);
    draw(set, 3, 7, 70);
    draw(set, 4, 7, 70);
    draw(set, 6, 8, 80);
    draw(set, 8, 9, 90);
}

static void a_stop_holds_all_that_came_of_it_whenever_it_was_made(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 100);
    expect_marks(&set, "123456789", "hhh--hhhh");
    end(&set);
}

static void a_doubt_asks_about_what_was_bottled_before_it_and_holds_the_rest(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    /* between the lots 6 and 7: 6 was bottled, and what is made of it later asks as it does */
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 65);
    expect_marks(&set, "123456789", "hhh--ahaa");
    end(&set);
    story(&set);
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 10); /* on the day it was picked: all */
    expect_marks(&set, "123456789", "hhh--hhhh");
    end(&set);
    story(&set);
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 60); /* on the very stamp of the bottling: held */
    expect_marks(&set, "67", "hh");
    end(&set);
    story(&set);
    root(&set, 6, SPL_STATE_DOUBT, NO_WORD, 61); /* of the lot itself, bottled before */
    expect_marks(&set, "689", "aaa");
    end(&set);
}

static void paper_stays_on_its_record(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_PAPER, NAME, 10);
    expect_marks(&set, "123456789", "a--------");
    end(&set);
}

static void rules_that_changed_ask_everywhere_and_hold_nothing(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 100)->asks_only = TRUE;
    expect_marks(&set, "123456789", "aaa--aaaa");
    end(&set);
}

static void an_answer_takes_away_what_it_names_and_nothing_else(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 10);
    answer(&set, 1, SPL_STATE_DOUBT, NO_WORD); /* where it stands: all is free */
    expect_marks(&set, "123456789", "---------");
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 100); /* the milder answer lets nothing sprayed out */
    expect_marks(&set, "123456789", "hhh--hhhh");
    end(&set);

    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 100);
    answer(&set, 6, SPL_STATE_STOP, SPRAYED); /* a lot, tested: it and what comes of it alone */
    expect_marks(&set, "123456789", "hhh---h--");
    answer(&set, 6, SPL_STATE_STOP, SPRAYED)->version = 2;
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 101)->version = 3; /* the note was amended since */
    expect_marks(&set, "123456789", "hhh--hhhh");
    end(&set);

    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 100);
    answer(&set, 1, SPL_STATE_DOUBT, SPRAYED); /* was given for a doubt */
    answer(&set, 1, SPL_STATE_STOP, NO_WORD);
    answer(&set, 1, SPL_STATE_STOP, SPRAYED)->evidence = 501;
    expect_marks(&set, "1", "h");
    end(&set);
}

static void an_answer_of_old_takes_away_what_was_raised_before_it(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 50);
    answer(&set, 6, SPL_STATE_PAPER, 0)->names_none = 50; /* not before: at the same stamp */
    expect_marks(&set, "16789", "hhhhh");
    answer(&set, 6, SPL_STATE_PAPER, 0)->names_none = 51;
    expect_marks(&set, "16789", "h-h--");
    root(&set, 3, SPL_STATE_STOP, NO_WORD, 52);
    expect_marks(&set, "16789", "hhhhh");
    end(&set);
}

static void outside_only_narrows_and_never_widens(void **state)
{
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 10);
    answer(&set, 6, SPL_STATE_DOUBT, NO_WORD)->outside = TRUE;
    expect_marks(&set, "123456789", "hhh--ohoo");
    answer(&set, 6, SPL_STATE_DOUBT, NO_WORD); /* settled after all */
    expect_marks(&set, "123456789", "hhh---h--");
    end(&set);
    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 10);
    answer(&set, 6, SPL_STATE_STOP, SPRAYED)->outside = TRUE;
    expect_marks(&set, "6", "h");
    end(&set);
}

static void circles_end(void **state)
{
    struct set set;

    (void)state;
    begin(&set);
    thing(&set, 1, 'B', 1);
    thing(&set, 2, 'L', 2);
    thing(&set, 3, 'L', 3);
    draw(&set, 1, 2, 2);
    draw(&set, 2, 1, 3);
    draw(&set, 2, 3, 3);
    draw(&set, 3, 3, 3);
    root(&set, 2, SPL_STATE_STOP, WITHDRAWN, 9)->withdraws = TRUE;
    expect_marks(&set, "123", "hhh");
    end(&set);
}

static enum spl_state_word settled(const struct set *set, gint64 id, struct spl_state_own own,
                                   int day)
{
    struct spl_state_spread spread;
    struct spl_state_sum sum;

    spl_state_spread(&set->facts, &spread);
    sum = spl_state_sum(&spread, id);
    spl_state_spread_clear(&spread);
    return spl_state_settle(&own, &sum, (struct spl_day){day});
}

static void the_name_is_the_hardest_that_holds(void **state)
{
    const struct spl_state_own good = {.use_by = {100}};
    struct set set;

    (void)state;
    story(&set);
    assert_int_equal(settled(&set, 6, good, 100), SPL_STATE_ON_SHELF); /* the last good day */
    assert_int_equal(settled(&set, 6, good, 101), SPL_STATE_OUT_OF_DATE);
    root(&set, 6, SPL_STATE_STOP, WITHDRAWN, 95)->withdraws = TRUE;
    assert_int_equal(settled(&set, 6, good, 101), SPL_STATE_WITHDRAWN);
    assert_int_equal(settled(&set, 9, good, 101), SPL_STATE_IS_HELD); /* comes of it */
    assert_int_equal(settled(&set, 9, (struct spl_state_own){.used_up = TRUE}, 1),
                     SPL_STATE_USED_UP);
    assert_int_equal(settled(&set, 6, (struct spl_state_own){.destroyed = TRUE}, 1),
                     SPL_STATE_DESTROYED);
    assert_int_equal(settled(&set, 6, (struct spl_state_own){.destroyed = TRUE, .struck = TRUE}, 1),
                     SPL_STATE_STRUCK);
    end(&set);
    assert_string_equal(spl_state_name(SPL_STATE_ON_SHELF, 'L'), "on the shelf");
    assert_string_equal(spl_state_name(SPL_STATE_ON_SHELF, 'H'), "free");
    assert_string_equal(spl_state_name(SPL_STATE_WITHDRAWN, 'L'), "withdrawn");
}

static void closed_ground_bars_a_start_from_what_it_holds(void **state)
{
    struct spl_state_spread spread;
    struct set set;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_STOP, SPRAYED, 65)->bars_start = TRUE;
    spl_state_spread(&set.facts, &spread);
    assert_true(spl_state_sum(&spread, 2).bars_start);
    assert_false(spl_state_sum(&spread, 4).bars_start);
    spl_state_spread_clear(&spread);
    end(&set);
}

/* ---- questions ---- */

static GArray *ask(const struct set *set, const GArray *sleeps, int day)
{
    struct spl_state_spread spread;
    GArray *questions;

    spl_state_spread(&set->facts, &spread);
    questions = spl_state_questions(&set->facts, &spread, sleeps, (struct spl_day){day});
    spl_state_spread_clear(&spread);
    return questions;
}

static struct spl_state_thing *thing_of(struct set *set, gint64 id)
{
    for (guint i = 0; i < set->things->len; i++) {
        struct spl_state_thing *one = &g_array_index(set->things, struct spl_state_thing, i);

        if (one->id == id)
            return one;
    }
    fail();
    return NULL;
}

static void one_piece_of_evidence_is_one_question(void **state)
{
    const struct spl_state_question *question;
    struct set set;
    GArray *questions;

    (void)state;
    story(&set);
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 10);
    root(&set, 5, SPL_STATE_DOUBT, NO_WORD, 15); /* the same word for both harvests */
    root(&set, 5, SPL_STATE_PAPER, NAME, 15);
    questions = ask(&set, NULL, 0);
    assert_int_equal(questions->len, 2);
    question = &g_array_index(questions, struct spl_state_question, 0);
    assert_int_equal(question->kind, NO_WORD);
    assert_int_equal(question->urgency, SPL_STATE_SHELF);
    assert_int_equal(question->since, 10);
    assert_int_equal(question->things->len, 9);
    question = &g_array_index(questions, struct spl_state_question, 1);
    assert_int_equal(question->kind, NAME);
    assert_int_equal(question->urgency, SPL_STATE_RECORD);
    assert_int_equal(question->things->len, 1);
    g_array_unref(questions);
    end(&set);
}

static void what_went_out_is_asked_about_first(void **state)
{
    struct set set;
    GArray *questions;

    (void)state;
    story(&set);
    root(&set, 4, SPL_STATE_STOP, SPRAYED, 5); /* older and worse, on the shelf alone */
    root(&set, 6, SPL_STATE_DOUBT, NO_WORD, 99);
    thing_of(&set, 6)->went_out = TRUE;
    questions = ask(&set, NULL, 0);
    assert_int_equal(questions->len, 2);
    assert_int_equal(g_array_index(questions, struct spl_state_question, 0).kind, NO_WORD);
    assert_int_equal(g_array_index(questions, struct spl_state_question, 0).urgency,
                     SPL_STATE_GONE_OUT);
    g_array_unref(questions);
    end(&set);
}

static void a_question_whose_things_are_all_over_closes_itself(void **state)
{
    struct set set;
    GArray *questions;

    (void)state;
    story(&set);
    root(&set, 8, SPL_STATE_DOUBT, NO_WORD, 10);
    thing_of(&set, 8)->over = TRUE;
    questions = ask(&set, NULL, 0);
    assert_int_equal(questions->len, 1); /* lot 9 still stands */
    assert_int_equal(g_array_index(questions, struct spl_state_question, 0).things->len, 1);
    g_array_unref(questions);
    thing_of(&set, 9)->over = TRUE;
    questions = ask(&set, NULL, 0);
    assert_int_equal(questions->len, 0);
    g_array_unref(questions);
    end(&set);
}

static void a_question_put_off_sleeps_until_its_day_or_until_it_gets_worse(void **state)
{
    const struct spl_state_sleep sleep = {
        .kind = NO_WORD, .evidence = 500, .version = 1, .grade = SPL_STATE_DOUBT, .until = {50}};
    g_autoptr(GArray) sleeps = g_array_new(FALSE, FALSE, sizeof sleep);
    struct set set;
    GArray *questions;

    (void)state;
    g_array_append_val(sleeps, sleep);
    story(&set);
    root(&set, 1, SPL_STATE_DOUBT, NO_WORD, 10);
    questions = ask(&set, sleeps, 49);
    assert_int_equal(questions->len, 0);
    g_array_unref(questions);
    questions = ask(&set, sleeps, 50);
    assert_int_equal(questions->len, 1);
    g_array_unref(questions);
    root(&set, 5, SPL_STATE_STOP, NO_WORD, 10);
    questions = ask(&set, sleeps, 49);
    assert_int_equal(questions->len, 1);
    g_array_unref(questions);
    end(&set);
}

/* Expected: Python 3.11, uuid.uuid5. */
static void a_question_bears_the_same_name_in_every_book(void **state)
{
    g_autofree char *id =
        spl_state_question_id("word-old", "0f9c3d52-4f0a-4f0e-8f43-0c2d1b7a9e10", 1811839200000000);

    (void)state;
    assert_string_equal(id, "e7475d72-4ccd-520b-aeb7-72041ca658d5");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_stop_holds_all_that_came_of_it_whenever_it_was_made),
    cmocka_unit_test(a_doubt_asks_about_what_was_bottled_before_it_and_holds_the_rest),
    cmocka_unit_test(paper_stays_on_its_record),
    cmocka_unit_test(rules_that_changed_ask_everywhere_and_hold_nothing),
    cmocka_unit_test(an_answer_takes_away_what_it_names_and_nothing_else),
    cmocka_unit_test(an_answer_of_old_takes_away_what_was_raised_before_it),
    cmocka_unit_test(outside_only_narrows_and_never_widens),
    cmocka_unit_test(circles_end),
    cmocka_unit_test(the_name_is_the_hardest_that_holds),
    cmocka_unit_test(closed_ground_bars_a_start_from_what_it_holds),
    cmocka_unit_test(one_piece_of_evidence_is_one_question),
    cmocka_unit_test(what_went_out_is_asked_about_first),
    cmocka_unit_test(a_question_whose_things_are_all_over_closes_itself),
    cmocka_unit_test(a_question_put_off_sleeps_until_its_day_or_until_it_gets_worse),
    cmocka_unit_test(a_question_bears_the_same_name_in_every_book),
};
expect_main(tests)
