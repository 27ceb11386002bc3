/* SPDX-License-Identifier: MIT
 *
 * The names of states: they stand in books, in JSON and in what other programs were written to
 * read, so none of them changes.
 */
#include "expect.h"

#include "simpling/record/reason.h"
#include "simpling/record/state.h"

static void the_names_of_states_stay(void **state)
{
    static const struct {
        const char *const *names;
        const char *stay;
    } tables[] = {
        {spl_state_names, "|on the shelf|out of date|held|used up|withdrawn|destroyed|struck"},
        {spl_state_grade_names, "paper|doubt|stop"},
        {spl_verdict_names, "|clear|ask|closed"},
        {spl_batch_state_names, "|stands|pressed|discarded|struck"},
        {spl_herb_state_names, "|fresh|wilted|dried|frozen|heated"},
        {spl_drying_kind_names, "dried|frozen|heated"},
        {spl_drying_act_names, "|turn|weigh|test|finish"},
        {spl_lot_act_names, "|release|withdraw|destroy|hold|count|discard"},
        {spl_charge_kind_names, "herb|liquid|lot|marc"},
        {spl_spray_kind_names, "unsprayed|sprayed|planned|not-done"},
        {spl_stand_kind_names, "plants|area|grams|share|mark|rest|taken"},
        {spl_basis_names, "almanac|shifted|normals|weather|observed|fixed"},
        {spl_thing_kind_names, "harvest|purchase|drying|batch|lot"},
        {spl_stop_state_names, "closed|held|withdrawn|damaged"},
        {spl_state_urgency_names, "gone out|on the shelf|in jars|picked|on paper"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++) {
        g_autofree char *names = g_strjoinv("|", (char **)tables[i].names);

        assert_string_equal(names, tables[i].stay);
    }
}

struct thing {
    enum spl_herb_state state;
};
static const struct spl_field thing_fields[] = {
    SPL_FIELD(thing, state, SPL_WORD, "state", "state", .names = spl_herb_state_names),
};
static const struct spl_shape thing_shape = SPL_SHAPE("thing", thing, thing_fields);

static void what_has_no_name_is_absent_and_comes_back_so(void **state)
{
    struct thing none = {SPL_HERB_UNSAID}, dried = {SPL_HERB_DRIED};
    g_autofree char *absent = spl_record_json(&thing_shape, &none);
    g_autofree char *there = spl_record_json(&thing_shape, &dried);
    GArray *back;

    (void)state;
    assert_string_equal(absent, "{\"state\":null}");
    assert_string_equal(there, "{\"state\":\"dried\"}");
    back = spl_list_read_json(&thing_shape, "[{\"state\":null},{\"state\":\"dried\"},{}]");
    assert_int_equal(back->len, 3);
    assert_int_equal(g_array_index(back, struct thing, 0).state, SPL_HERB_UNSAID);
    assert_int_equal(g_array_index(back, struct thing, 1).state, SPL_HERB_DRIED);
    assert_int_equal(g_array_index(back, struct thing, 2).state, SPL_HERB_UNSAID);
    spl_list_free(&thing_shape, back);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_names_of_states_stay),
    cmocka_unit_test(what_has_no_name_is_absent_and_comes_back_so),
};
expect_main(tests)
