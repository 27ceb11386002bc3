/* SPDX-License-Identifier: MIT
 *
 * A clock that was set back: the log is a year ahead of today, and what is written next must still
 * come after what is there. Nothing that is noted is refused or lost for it.
 */
#include "cli.h"

#define LATER "2027-06-20"
#define EARLIER "2026-06-20" /* the clock's battery died */

/* A harvest, its batch and lot, all of LATER. */
static void fill(struct cli *cli)
{
    cli->today = LATER;
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35");
    cli_ok(cli, "batch start tincture --from H27-001:40g --jar 250mL --menstruum 'spirit 40%, Ash "
                "Beck Still, 130'");
    cli_ok(cli, "batch press B27-001 --yield 190mL");
    cli->today = EARLIER;
}

static double number_of(struct cli *cli, const char *line, const char *key)
{
    json_t *json = cli_json(cli, line);
    double number = json_number(json, key);

    json_decref(json);
    return number;
}

static void expect_state(struct cli *cli, const char *line, const char *state)
{
    json_t *json = cli_json(cli, line);

    assert_string_equal(json_text(json, "state"), state);
    json_decref(json);
}

static void the_last_correction_holds_whatever_the_clock_says(void **state)
{
    struct cli *cli = *state;

    fill(cli);
    cli->today = LATER;
    cli_ok(cli, "amend H27-001 --weight 90g --why 'the scales'");
    cli->today = EARLIER;
    cli_ok(cli, "amend H27-001 --weight 80g --why 'the scales again'");
    expect_near(number_of(cli, "harvest show H27-001 --json", "weight_g"), 80, 0, "g");
    cli->today = "2025-01-01";
    cli_ok(cli, "amend H27-001 --weight 70g --why 'once more'");
    expect_near(number_of(cli, "harvest show H27-001 --json", "weight_g"), 70, 0, "g");
    cli->today = LATER;
    cli_ok(cli, "amend H27-001 --weight 60g --why 'the clock is right again'");
    expect_near(number_of(cli, "harvest show H27-001 --json", "weight_g"), 60, 0, "g");
    cli_ok(cli, "site edit 'Withy Gill' --elevation 220 --why map");
    cli->today = EARLIER;
    cli_ok(cli, "site edit 'Withy Gill' --elevation 230 --why 'a better map'");
    cli_ok(cli, "site list --json");
    assert_non_null(strstr(cli->out, "\"elevation_m\":230"));
    cli_ok(cli, "book check");
}

/* Withdrawn, released, held: the last decision holds, and so do a strike and a count. */
static void the_last_decision_holds_whatever_the_clock_says(void **state)
{
    struct cli *cli = *state;

    fill(cli);
    cli->today = LATER;
    cli_ok(cli, "lot withdraw L27-001 --why 'the verge was sprayed'");
    expect_state(cli, "lot show L27-001 --json", "withdrawn");
    cli->today = EARLIER;
    cli_ok(cli, "lot release L27-001 --why 'it was another verge' --on 2027-06-20 --today "
                "2027-06-20");
    expect_state(cli, "lot show L27-001 --json", "on the shelf");
    /* A lot of a later day cannot have been looked at before it was made: said, nothing lost. */
    cli_refused(cli, "lot withdraw L27-001 --why again", 2, "was made on 2027-06-20");
    cli->today = LATER;
    cli_ok(cli, "lot withdraw L27-001 --why again");
    expect_state(cli, "lot show L27-001 --json", "withdrawn");
    cli->today = EARLIER;
    cli_ok(cli, "book check");
}

static void a_strike_and_new_facts_are_kept_beside_later_ones(void **state)
{
    struct cli *cli = *state;
    json_t *list;

    fill(cli);
    /* What is of the earlier day is accepted; codes count in its own year. */
    cli_ok(cli, "purchase add calendula/flower --weight 50g --garden");
    assert_non_null(strstr(cli->out, "P26-001"));
    cli->today = LATER;
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 50g --stage 35");
    cli->today = EARLIER;
    cli_ok(cli, "strike H27-002 --why 'logged twice'");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --since "
                "2020-01-01");
    list = cli_json(cli, "harvest list --all --json");
    assert_int_equal(json_array_size(list), 2);
    json_decref(list);
    cli_ok(cli, "lot list --json");
    assert_non_null(strstr(cli->out, "L27-001"));
    cli_ok(cli, "batch list --all --json");
    assert_non_null(strstr(cli->out, "B27-001"));
    cli_ok(cli, "book check");
    /* Back in the right year everything is there. */
    cli->today = LATER;
    cli_refused(cli,
                "batch start tincture --from H27-002:10g --jar 100mL --menstruum 'spirit 40%, "
                "Ash Beck Still, 130'",
                1, "is struck");
    cli_ok(cli, "lot use L27-001:10mL --for 7");
    cli_ok(cli, "book check");
}

/* A permission of the same day: the last that was written holds. */
static void of_one_day_the_refusal_holds_whatever_the_clock_says(void **state)
{
    struct cli *cli = *state;

    fill(cli);
    cli->today = LATER;
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --on 2026-06-01");
    cli->today = EARLIER;
    cli_ok(cli, "site permit 'Withy Gill' --refused --by 'the tenant' --on 2026-06-01");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2026-06-10"), 4);
    cli->today = "2026-06-19";
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --on 2026-06-01");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2026-06-10"), 4);
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --on 2026-06-02");
    assert_int_not_equal(cli_run(cli, "check 'Withy Gill' --on 2026-06-10"), 4);
}

static const struct CMUnitTest tests[] = {
    cli_test(the_last_correction_holds_whatever_the_clock_says),
    cli_test(the_last_decision_holds_whatever_the_clock_says),
    cli_test(a_strike_and_new_facts_are_kept_beside_later_ones),
    cli_test(of_one_day_the_refusal_holds_whatever_the_clock_says),
};
expect_main(tests)
