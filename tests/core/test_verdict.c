/* SPDX-License-Identifier: MIT
 *
 * The verdict: every threshold and every day on both sides of its limit; what it says; when it
 * changes. */
#include "verdict_set.h"

/* The verdict, after seeing that the quick grade and the order of reasons agree with it. */
static enum spl_verdict judged(struct set *set)
{
    struct spl_verdict_result result;
    enum spl_verdict verdict;

    spl_verdict_judge(&set->ground, &result);
    verdict = result.verdict;
    assert_int_equal(spl_verdict_grade(&set->ground), verdict);
    assert_true(result.reasons->len > 0);
    assert_int_equal(g_array_index(result.reasons, struct spl_reason, 0).verdict, verdict);
    for (guint i = 0; i < result.reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(result.reasons, struct spl_reason, i);

        assert_true(reason->kind > SPL_REASON_OTHER && reason->kind < SPL_REASON_KINDS);
        assert_true((reason->verdict == SPL_VERDICT_CLEAR) ==
                    (reason->kind >= SPL_REASON_WORD_HOLDS));
        assert_true(reason->what[0] != '\0' && reason->rule[0] != '\0' &&
                    reason->source[0] != '\0');
        assert_null(strstr(reason->what, "safe"));
        if (i > 0)
            assert_true(g_array_index(result.reasons, struct spl_reason, i - 1).verdict >=
                        reason->verdict);
    }
    spl_verdict_result_clear(&result);
    return verdict;
}

#define expect_verdict(set, wanted)                                                                \
    do {                                                                                           \
        enum spl_verdict verdict_ = judged(set);                                                   \
        if (verdict_ != (wanted))                                                                  \
            fail_msg("%s, expected " #wanted, spl_verdict_names[verdict_]);                        \
    } while (0)

/* One hazard more on a clear case. */
static enum spl_verdict with_hazard(const struct spl_method *method, double m, int age)
{
    struct set set;
    enum spl_verdict verdict;

    begin(&set);
    add_hazard(&set, method, m, age == G_MAXINT ? SPL_DAY_NONE : before(&set, age));
    verdict = judged(&set);
    end(&set);
    return verdict;
}

static void nothing_known_against_it_is_clear(void **state)
{
    struct set set;

    (void)state;
    begin(&set);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    assert_string_equal(spl_verdict_words(SPL_VERDICT_CLEAR), "nothing known against it");
    end(&set);
}

static void dated_ground_is_judged_by_distance_and_day(void **state)
{
    const double less = 1e-6;

    (void)state;
    /* on it: three years to the day */
    assert_int_equal(with_hazard(&boom, 0, 0), SPL_VERDICT_CLOSED);
    assert_int_equal(with_hazard(&boom, 0, 1095), SPL_VERDICT_CLOSED);
    assert_int_equal(with_hazard(&boom, 0, 1096), SPL_VERDICT_CLEAR);
    assert_int_equal(with_hazard(&boom, 0, G_MAXINT), SPL_VERDICT_CLOSED);
    /* beside it */
    assert_int_equal(with_hazard(&boom, 10 - less, 365), SPL_VERDICT_CLOSED);
    assert_int_equal(with_hazard(&boom, 10 - less, 366), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 10 - less, 1095), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 10 - less, 1096), SPL_VERDICT_CLEAR);
    assert_int_equal(with_hazard(&boom, 10 - less, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 10, 0), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 31 - less, 365), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 31, 0), SPL_VERDICT_CLEAR);
    assert_int_equal(with_hazard(&boom, 31, G_MAXINT), SPL_VERDICT_CLEAR);
    /* to come */
    assert_int_equal(with_hazard(&boom, 5, -1), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 0, -14), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&boom, 0, -15), SPL_VERDICT_CLEAR);
}

static void lasting_ground_is_judged_by_distance_alone(void **state)
{
    (void)state;
    assert_int_equal(with_hazard(&road, 9.999, G_MAXINT), SPL_VERDICT_CLOSED);
    assert_int_equal(with_hazard(&road, 9.999, 5000), SPL_VERDICT_CLOSED);
    assert_int_equal(with_hazard(&road, 10, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&road, 49.999, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_hazard(&road, 50, G_MAXINT), SPL_VERDICT_CLEAR);
    assert_int_equal(with_hazard(&tip, 0, G_MAXINT), SPL_VERDICT_CLOSED);
    assert_int_equal(with_hazard(&tip, 0.01, G_MAXINT), SPL_VERDICT_CLEAR);
    assert_int_equal(with_hazard(&road, NAN, G_MAXINT), SPL_VERDICT_CLOSED);
}

static void foul_water_concerns_water_plants(void **state)
{
    struct set set;

    (void)state;
    begin(&set);
    add_hazard(&set, &grazed, 0, SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    set.ground.water_plant = TRUE;
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    end(&set);
}

static void what_is_not_known_of_positions_shortens_distances(void **state)
{
    struct set set;
    struct spl_hazard_near *hazard;

    (void)state;
    begin(&set);
    hazard = add_hazard(&set, &road, 17, SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_ASK);
    set.ground.uncertainty_m = 5;
    expect_verdict(&set, SPL_VERDICT_ASK);
    hazard->uncertainty_m = 2;
    expect_verdict(&set, SPL_VERDICT_ASK); /* 17 - 5 - 2 = 10, not nearer than 10 */
    hazard->uncertainty_m = 2.001;
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    /* doubtful: to be asked about far out */
    hazard->distance_m = 900;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    hazard->uncertainty_m = NAN;
    expect_verdict(&set, SPL_VERDICT_ASK);
    hazard->uncertainty_m = 0;
    set.ground.uncertainty_m = NAN;
    expect_verdict(&set, SPL_VERDICT_ASK);
    set.ground.uncertainty_m = 100;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    set.ground.uncertainty_m = 100.1;
    expect_verdict(&set, SPL_VERDICT_ASK);
    end(&set);
}

static void sprayed_ground_is_closed_for_three_years(void **state)
{
    struct set set;
    struct spl_spray_note *note;

    (void)state;
    begin(&set);
    add_note(&set, SPL_SPRAY_SPRAYED, before(&set, 1095));
    note = &g_array_index(set.notes, struct spl_spray_note, 1);
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    note->on = before(&set, 1096);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    note->on = SPL_DAY_NONE;
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    note->on = before(&set, -1); /* tomorrow's deed says nothing about today */
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    note->on = before(&set, 0);
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    end(&set);
}

static void a_planned_spraying_counts_as_done_until_denied(void **state)
{
    struct set set;
    struct spl_spray_note *note;

    (void)state;
    begin(&set);
    add_note(&set, SPL_SPRAY_PLANNED, before(&set, -15));
    note = &g_array_index(set.notes, struct spl_spray_note, 1);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    note->on = before(&set, -14);
    expect_verdict(&set, SPL_VERDICT_ASK);
    note->on = before(&set, -1);
    expect_verdict(&set, SPL_VERDICT_ASK);
    note->on = before(&set, 0);
    expect_verdict(&set, SPL_VERDICT_CLOSED); /* the word is of yesterday */
    note->on = before(&set, 1);
    expect_verdict(&set, SPL_VERDICT_CLOSED); /* a word of the very day may be of the morning */
    note->on = before(&set, 2);
    expect_verdict(&set, SPL_VERDICT_CLEAR); /* the word of a later day denies it */
    g_array_index(set.notes, struct spl_spray_note, 0).since = SPL_DAY_NONE;
    expect_verdict(&set, SPL_VERDICT_CLOSED); /* one that does not say since when cannot */
    end(&set);
}

static void looking_back_what_came_later_says_nothing(void **state)
{
    struct set set;

    (void)state;
    begin(&set);
    add_hazard(&set, &boom, 5, before(&set, -10));
    expect_verdict(&set, SPL_VERDICT_ASK); /* planned, on the day itself */
    set.ground.seen_from = before(&set, -30);
    expect_verdict(&set, SPL_VERDICT_CLEAR); /* sprayed ten days after it was picked */
    set.ground.seen_from = before(&set, -9);
    expect_verdict(&set, SPL_VERDICT_ASK); /* still ahead for who looks back */
    set.ground.seen_from = before(&set, -30);
    add_note(&set, SPL_SPRAY_PLANNED, before(&set, -10));
    expect_verdict(&set, SPL_VERDICT_ASK); /* done early, perhaps */
    add_word(&set, before(&set, -3), before(&set, 3000), SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_CLEAR); /* said later that it was not */
    end(&set);
}

static void of_two_words_of_one_day_the_refusal_counts(void **state)
{
    (void)state;
    for (int refused_first = 0; refused_first < 2; refused_first++) {
        struct set set;

        begin(&set);
        add_leave(&set, refused_first == 0, before(&set, 3));
        add_leave(&set, refused_first != 0, before(&set, 3));
        expect_verdict(&set, SPL_VERDICT_CLOSED);
        add_leave(&set, TRUE, before(&set, 2)); /* given on a later day */
        expect_verdict(&set, SPL_VERDICT_CLEAR);
        end(&set);
    }
}

static enum spl_verdict with_word(struct spl_day day, int age, gboolean own, double lat, int until)
{
    struct set set;
    enum spl_verdict verdict;

    bare(&set, day);
    set.ground.own = own;
    set.ground.lat = lat;
    add_leave(&set, TRUE, before(&set, 400));
    add_word(&set, before(&set, age), before(&set, 3000),
             until == G_MAXINT ? SPL_DAY_NONE : before(&set, until));
    verdict = judged(&set);
    end(&set);
    return verdict;
}

static void a_word_holds_as_long_as_its_season_lets_it(void **state)
{
    const struct spl_day may = ymd(2027, 5, 4), february = ymd(2027, 2, 28),
                         march = ymd(2027, 3, 1);
    const struct spl_day october = ymd(2027, 10, 31), november = ymd(2027, 11, 1);

    (void)state;
    assert_int_equal(with_word(may, 60, FALSE, 54, G_MAXINT), SPL_VERDICT_CLEAR);
    assert_int_equal(with_word(may, 61, FALSE, 54, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_word(march, 61, FALSE, 54, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_word(february, 180, FALSE, 54, G_MAXINT), SPL_VERDICT_CLEAR);
    assert_int_equal(with_word(february, 181, FALSE, 54, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_word(october, 61, FALSE, 54, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_word(november, 61, FALSE, 54, G_MAXINT), SPL_VERDICT_CLEAR);
    /* south of the equator half a year on */
    assert_int_equal(with_word(november, 61, FALSE, -40, G_MAXINT), SPL_VERDICT_ASK);
    assert_int_equal(with_word(may, 61, FALSE, -40, G_MAXINT), SPL_VERDICT_CLEAR);
    assert_int_equal(with_word(ymd(2027, 4, 30), 61, FALSE, -40, G_MAXINT), SPL_VERDICT_ASK);
    /* one's own ground */
    assert_int_equal(with_word(may, 365, TRUE, 54, G_MAXINT), SPL_VERDICT_CLEAR);
    assert_int_equal(with_word(may, 366, TRUE, 54, G_MAXINT), SPL_VERDICT_ASK);
    /* its own last day shortens, and never lengthens */
    assert_int_equal(with_word(may, 10, FALSE, 54, 0), SPL_VERDICT_CLEAR);
    assert_int_equal(with_word(may, 10, FALSE, 54, 1), SPL_VERDICT_ASK);
    assert_int_equal(with_word(may, 61, FALSE, 54, -100), SPL_VERDICT_ASK);
}

static void a_word_must_reach_back_three_years_alone_or_joined(void **state)
{
    struct set set;

    (void)state;
    bare(&set, ymd(2027, 5, 4));
    add_leave(&set, TRUE, before(&set, 1));
    expect_verdict(&set, SPL_VERDICT_ASK); /* nobody was asked */
    add_word(&set, before(&set, 5), SPL_DAY_NONE, SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_ASK); /* since when? */
    add_word(&set, before(&set, 5), before(&set, 1094), SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_ASK); /* a day short */
    add_word(&set, before(&set, 1096), before(&set, 4000), SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_ASK); /* a day is missing between them */
    add_word(&set, before(&set, 1095), before(&set, 1096), SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    end(&set);
    bare(&set, ymd(2027, 5, 4));
    add_leave(&set, TRUE, before(&set, 1));
    add_word(&set, before(&set, 5), before(&set, 1095), SPL_DAY_NONE);
    expect_verdict(&set, SPL_VERDICT_CLEAR); /* just enough */
    end(&set);
}

static void leave_is_needed_and_refusal_closes(void **state)
{
    struct set set;
    struct spl_permission *leave;

    (void)state;
    begin(&set);
    leave = &g_array_index(set.permissions, struct spl_permission, 0);
    leave->until = before(&set, 0);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    leave->until = before(&set, 1);
    expect_verdict(&set, SPL_VERDICT_ASK);
    leave->until = SPL_DAY_NONE;
    leave->on = before(&set, -1); /* given tomorrow */
    expect_verdict(&set, SPL_VERDICT_ASK);
    leave->on = before(&set, 30);
    leave = add_leave(&set, FALSE, before(&set, 3));
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    set.ground.own = TRUE;
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    add_leave(&set, TRUE, before(&set, 2)); /* the last one counts */
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    g_array_set_size(set.permissions, 0);
    expect_verdict(&set, SPL_VERDICT_CLEAR); /* ground of one's own */
    set.ground.own = FALSE;
    expect_verdict(&set, SPL_VERDICT_ASK);
    end(&set);
}

static void roots_need_leave_to_dig_and_other_parts_their_name(void **state)
{
    struct set set;
    struct spl_permission *leave;

    (void)state;
    begin(&set);
    leave = &g_array_index(set.permissions, struct spl_permission, 0);
    set.ground.part = SPL_PART_LEAF;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    set.ground.part = SPL_PART_ROOT;
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    leave->parts = SPL_PART_BIT(SPL_PART_LEAF) | SPL_PART_BIT(SPL_PART_ROOT);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    set.ground.part = SPL_PART_FLOWER;
    expect_verdict(&set, SPL_VERDICT_ASK);
    leave->parts = SPL_PART_BIT(SPL_PART_ANY);
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    set.ground.part = SPL_PART_ROOT;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    leave->until = before(&set, 1);
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    g_array_set_size(set.permissions, 0);
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    set.ground.own = TRUE;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    end(&set);
}

static void a_mark_of_contamination_closes(void **state)
{
    struct set set;

    (void)state;
    begin(&set);
    set.ground.contaminated = "lead in the soil, 410 ppm";
    expect_verdict(&set, SPL_VERDICT_CLOSED);
    end(&set);
}

static void a_layer_with_gaps_asks_within_its_reach(void **state)
{
    struct set set;
    struct spl_layer_near *layer;
    const struct spl_layer_near one = {.name = "parcels",
                                       .distance_m = 30.9,
                                       .reach_m = 31,
                                       .incomplete = TRUE,
                                       .unread = 2,
                                       .source = "parcels.shp"};

    (void)state;
    begin(&set);
    g_array_append_val(set.layers, one);
    layer = &g_array_index(set.layers, struct spl_layer_near, 0);
    expect_verdict(&set, SPL_VERDICT_ASK);
    layer->distance_m = 31;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    layer->distance_m = 0;
    layer->incomplete = FALSE;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    layer->doubtful = TRUE;
    expect_verdict(&set, SPL_VERDICT_ASK);
    layer->distance_m = 1030;
    expect_verdict(&set, SPL_VERDICT_ASK);
    layer->distance_m = 1032;
    expect_verdict(&set, SPL_VERDICT_CLEAR);
    end(&set);
}

static void reasons_name_their_evidence_worst_first(void **state)
{
    struct set set;
    struct spl_verdict_result result;
    const struct spl_reason *reason;
    struct spl_hazard_near *hazard;

    (void)state;
    begin(&set);
    add_hazard(&set, &road, 40, SPL_DAY_NONE)->name = "Mill Lane";
    hazard = add_hazard(&set, &boom, 9.5, ymd(2027, 4, 20));
    hazard->name = "Top Field";
    hazard->product = "a weedkiller";
    hazard->method_changed = ymd(2027, 1, 2);
    add_hazard(&set, &boom, 5, ymd(2027, 4, 20))->name = "Low Field";
    set.ground.uncertainty_m = 4;
    spl_verdict_judge(&set.ground, &result);
    assert_int_equal(result.verdict, SPL_VERDICT_CLOSED);
    assert_true(result.reasons->len == 5);
    reason = &g_array_index(result.reasons, struct spl_reason, 0);
    assert_non_null(strstr(reason->what, "Low Field (field boom), sprayed, 5 m away"));
    reason = &g_array_index(result.reasons, struct spl_reason, 1);
    assert_non_null(strstr(
        reason->what,
        "Top Field (field boom), sprayed with a weedkiller, 9.5 m away (may be as near as 5.5 m"));
    /* the drift curve of the facts at 5.5 m: 2.7593 x 5.5^-0.9778 = 0.521, by hand */
    assert_non_null(strstr(reason->what, "0.52 %"));
    expect_near(reason->distance_m, 9.5, 0, "m");
    assert_int_equal(reason->date.n, ymd(2027, 4, 20).n);
    assert_non_null(strstr(reason->rule, "nearer than 10 m is closed for 365 days"));
    assert_non_null(strstr(reason->source, "layer parcels"));
    assert_non_null(strstr(reason->source, "changed in this book on 2027-01-02"));
    reason = &g_array_index(result.reasons, struct spl_reason, 2);
    assert_non_null(strstr(reason->what, "Mill Lane"));
    assert_int_equal(reason->verdict, SPL_VERDICT_ASK);
    assert_false(spl_day_is_set(reason->date));
    reason = &g_array_index(result.reasons, struct spl_reason, 4);
    assert_int_equal(reason->verdict, SPL_VERDICT_CLEAR);
    spl_verdict_result_clear(&result);
    end(&set);
}

static void words_that_say_today_do_not_age_daily(void **state)
{
    struct set set;
    struct spl_verdict_result one, other;

    (void)state;
    begin(&set);
    add_hazard(&set, &boom, 20, ymd(2027, 4, 20));
    add_note(&set, SPL_SPRAY_SPRAYED, ymd(2026, 6, 1));
    g_array_index(set.notes, struct spl_spray_note, 0).since = ymd(2026, 1, 1);
    spl_verdict_judge(&set.ground, &one);
    set.ground.day = spl_day_add(set.ground.day, 1);
    spl_verdict_judge(&set.ground, &other);
    assert_int_equal(one.reasons->len, other.reasons->len);
    for (guint i = 0; i < one.reasons->len; i++) {
        assert_string_equal(g_array_index(one.reasons, struct spl_reason, i).what,
                            g_array_index(other.reasons, struct spl_reason, i).what);
        assert_string_equal(g_array_index(one.reasons, struct spl_reason, i).rule,
                            g_array_index(other.reasons, struct spl_reason, i).rule);
    }
    spl_verdict_result_clear(&one);
    spl_verdict_result_clear(&other);
    end(&set);
}

static void the_next_change_is_named_to_the_day(void **state)
{
    struct set set;

    (void)state;
    begin(&set);
    /* the word of 3 May holds 60 days: until 2 July */
    assert_int_equal(until_of(&set).n, ymd(2027, 7, 3).n);
    /* closed by a field for a year, then to be asked about: the word is too old by then */
    add_hazard(&set, &boom, 5, ymd(2027, 4, 20));
    assert_int_equal(until_of(&set).n,
                     ymd(2028, 4, 20).n); /* 2028 has a leap day: 365 days later is 19 April */
    add_note(&set, SPL_SPRAY_SPRAYED, ymd(2027, 4, 1));
    /* 1 April 2027 + 1095 days is 31 March 2030; the day after it is asked about */
    assert_int_equal(until_of(&set).n, ymd(2030, 4, 1).n);
    add_hazard(&set, &road, 5, SPL_DAY_NONE);
    assert_false(spl_day_is_set(until_of(&set)));
    end(&set);
    /* leave that runs out before the word does; a plan before that */
    begin(&set);
    g_array_index(set.permissions, struct spl_permission, 0).until = ymd(2027, 6, 1);
    assert_int_equal(until_of(&set).n, ymd(2027, 6, 2).n);
    add_note(&set, SPL_SPRAY_PLANNED, ymd(2027, 6, 10));
    assert_int_equal(until_of(&set).n, ymd(2027, 5, 27).n);
    end(&set);
    /* a winter word ends with the winter */
    bare(&set, ymd(2026, 12, 1));
    add_leave(&set, TRUE, before(&set, 1));
    add_word(&set, ymd(2026, 11, 20), before(&set, 3000), SPL_DAY_NONE);
    assert_int_equal(until_of(&set).n, ymd(2027, 3, 1).n);
    end(&set);
}

static void what_is_planned_for_no_known_day_closes(void **state)
{
    const struct spl_reason *reason;
    struct spl_spray_note *note;
    struct spl_verdict_result result;
    struct set set;

    (void)state;
    begin(&set);
    add_note(&set, SPL_SPRAY_PLANNED, SPL_DAY_NONE);
    note = &g_array_index(set.notes, struct spl_spray_note, set.notes->len - 1);
    note->method = "boom";
    note->product = "a weedkiller";
    spl_verdict_judge(&set.ground, &result);
    assert_int_equal(result.verdict, SPL_VERDICT_CLOSED);
    reason = &g_array_index(result.reasons, struct spl_reason, 0);
    assert_string_equal(reason->what, "a spraying of the site is planned, boom, a weedkiller; "
                                      "when is not known");
    spl_verdict_result_clear(&result);
    end(&set);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_is_planned_for_no_known_day_closes),
    cmocka_unit_test(nothing_known_against_it_is_clear),
    cmocka_unit_test(dated_ground_is_judged_by_distance_and_day),
    cmocka_unit_test(lasting_ground_is_judged_by_distance_alone),
    cmocka_unit_test(foul_water_concerns_water_plants),
    cmocka_unit_test(what_is_not_known_of_positions_shortens_distances),
    cmocka_unit_test(sprayed_ground_is_closed_for_three_years),
    cmocka_unit_test(a_planned_spraying_counts_as_done_until_denied),
    cmocka_unit_test(a_word_holds_as_long_as_its_season_lets_it),
    cmocka_unit_test(a_word_must_reach_back_three_years_alone_or_joined),
    cmocka_unit_test(leave_is_needed_and_refusal_closes),
    cmocka_unit_test(looking_back_what_came_later_says_nothing),
    cmocka_unit_test(of_two_words_of_one_day_the_refusal_counts),
    cmocka_unit_test(roots_need_leave_to_dig_and_other_parts_their_name),
    cmocka_unit_test(a_mark_of_contamination_closes),
    cmocka_unit_test(a_layer_with_gaps_asks_within_its_reach),
    cmocka_unit_test(reasons_name_their_evidence_worst_first),
    cmocka_unit_test(words_that_say_today_do_not_age_daily),
    cmocka_unit_test(the_next_change_is_named_to_the_day),
};
expect_main(tests)
