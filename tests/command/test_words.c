/* SPDX-License-Identifier: MIT
 *
 * The words of the command line: what is known by name, the place that a word of its name means,
 * answers that are short unless more is asked for.
 */
#include "cli.h"

static void what_is_known_can_be_listed(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    cli_ok(cli, "material list nettle");
    assert_non_null(strstr(cli->out, "nettle/leaf"));
    assert_non_null(strstr(cli->out, "Urtica dioica"));
    assert_null(strstr(cli->out, "dandelion"));
    json = cli_json(cli, "material list --json");
    assert_true(json_array_size(json) > 50);
    json_decref(json);
    cli_ok(cli, "preparation list");
    assert_non_null(strstr(cli->out, "infused-oil"));
    /* BBCH 65: full flowering (Meier 2018). */
    json = cli_json(cli, "stage list --words --json");
    for (gsize i = 0; i < json_array_size(json); i++) {
        if (json_number(json_array_get(json, i), "code") == 65)
            assert_string_equal(json_text(json_array_get(json, i), "word"), "full flower");
    }
    assert_true(json_array_size(json) > 10);
    json_decref(json);
}

static void a_word_of_its_name_finds_the_only_place(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add 'Station Verge' --at 54.6,-2.5");
    cli_ok(cli, "site add 'Fell Side' --at 54.61,-2.5");
    cli_ok(cli, "spray note verge --kind unsprayed --source 'the owner'");
    assert_non_null(strstr(cli->out, "Station Verge"));
    cli_refused(cli, "spray note erge --kind unsprayed --source 'the owner'", 1, "no such site");
    cli_ok(cli, "site add 'Mill Verge' --at 54.62,-2.5");
    cli_refused(cli, "spray note verge --kind unsprayed --source 'the owner'", 1,
                "'Mill Verge' or 'Station Verge'");
}

static void a_rule_is_put_aside_with_despite_and_by_its_old_name(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add 'Kell Moss' --at 54.6,-2.5");
    cli_ok(cli, "site permit 'Kell Moss' --refused --by 'the owner'");
    cli_ok(cli, "harvest add 'Kell Moss' nettle/leaf --weight 20g --stage 35 --despite 'to show'");
    cli_ok(cli, "harvest add 'Kell Moss' nettle/leaf --weight 20g --stage 35 --hold 'to show'");
    cli_ok(cli, "harvest add 'Kell Moss' nettle/leaf --weight 20g --stage 35 --hold='to show'");
    cli_ok(cli, "help harvest add");
    assert_non_null(strstr(cli->out, "--despite WHY"));
    assert_null(strstr(cli->out, "--hold"));
}

static void a_check_is_short_unless_all_is_asked_for(void **state)
{
    struct cli *cli = *state;
    gsize length;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "check 'Withy Gill' dandelion/flower");
    assert_non_null(strstr(cli->out, "DEADLY LOOK-ALIKES"));
    assert_null(strstr(cli->out, "children"));
    length = strlen(cli->out);
    cli_ok(cli, "check 'Withy Gill' dandelion/flower --full");
    assert_non_null(strstr(cli->out, "children"));
    assert_true(strlen(cli->out) > length);
}

static void a_name_that_is_taken_is_said_as_it_stands(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add 'Größerer Bühel' --at 47.8,13.05");
    cli_refused(cli, "site add 'grosserer Buhel' --at 47.9,13.05", 1,
                "there is a site of that name, 'Größerer Bühel'");
    assert_non_null(strstr(cli->err, "simpling site edit 'Größerer Bühel'"));
}

static void since_may_be_a_year(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6,-2.5");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --since 2020 --source 'the owner'");
    assert_non_null(strstr(cli->out, "2020-01-01"));
    cli_refused(cli, "spray note 'Withy Gill' --kind unsprayed --since 2029 --source 'the owner'",
                2, "lies after the statement itself");
}

/* Two jars of one day, put up alike: the step of both, of all but one, and never of another. */
static void one_step_of_every_jar_is_one_call(void **state)
{
    static const char start[] = "batch start tincture --from H27-001:40g --jar 250mL --menstruum "
                                "'spirit 60%' --on 2027-06-10";
    struct cli *cli = *state;
    json_t *json;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 300g --stage 35 --on 2027-06-10");
    for (int i = 0; i < 3; i++)
        cli_ok(cli, start);
    json = cli_json(cli, "batch step shake --all --but B27-002 --json");
    assert_int_equal(json_array_size(json), 2);
    assert_string_equal(json_text(json_array_get(json, 0), "code"), "B27-001");
    assert_string_equal(json_text(json_array_get(json, 1), "code"), "B27-003");
    json_decref(json);
    cli_refused(cli, "batch steps shake --but B27-001", 1, "B27-001 is none of the jars");
    cli_ok(cli, "batch steps shake");
    assert_null(strstr(cli->out, "B27-001"));
    assert_non_null(strstr(cli->out, "B27-002"));
    cli_refused(cli, "batch step shake --all", 1, "due for no other jar");
    cli_refused(cli, "batch step strain --all", 2, "press the batch");
}

/* What refuses says what stands in the way, by name, and in measures that fit the thing. */
static void a_refusal_names_what_is_in_the_way(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "book set racks much", 2, "write it as 3m2 or '30 sq ft'");
    cli_refused(cli, "book set racks 2ha", 2, "write it as 3m2 or '30 sq ft'");
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stage note 'Withy Gill' dandelion/flower bloom --on 2027-05-10");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 300g --stage 35 --on 2027-06-10");
    for (int i = 0; i < 2; i++)
        cli_ok(cli, "batch start tincture --from H27-001:40g --jar 250mL --menstruum 'spirit 60%' "
                    "--on 2027-06-10");
    cli_refused(cli, "strike H27-001 --why x", 1, "B27-001, B27-002 have drawn on it");
    /* a group by its name alone, in whichever book */
    cli_ok(cli, "batch");
    assert_non_null(strstr(cli->out, "batch start"));
    assert_non_null(strstr(cli->out, "batch press"));
    assert_null(strstr(cli->out, "site add"));
}

static const struct CMUnitTest tests[] = {
    cli_test(what_is_known_can_be_listed),
    cli_test(a_word_of_its_name_finds_the_only_place),
    cli_test(a_rule_is_put_aside_with_despite_and_by_its_old_name),
    cli_test(a_check_is_short_unless_all_is_asked_for),
    cli_test(a_name_that_is_taken_is_said_as_it_stands),
    cli_test(since_may_be_a_year),
    cli_test(one_step_of_every_jar_is_one_call),
    cli_test(a_refusal_names_what_is_in_the_way),
};
expect_main(tests)
