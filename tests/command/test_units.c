/* SPDX-License-Identifier: MIT
 *
 * The units of the person: said once, read and printed everywhere; JSON and tables for machines
 * stay metric.
 */
#include "cli.h"

/* A book of one who weighs in pounds, with a clear place. */
static void begin_us(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "book set units us");
    cli_ok(cli, "book set country US-VT");
}

static void expect_says(struct cli *cli, const char *line, const char *const *parts)
{
    cli_run(cli, line);
    for (; *parts != NULL; parts++) {
        if (strstr(cli->out, *parts) == NULL)
            fail_msg("%s does not say '%s': %s%s", line, *parts, cli->out, cli->err);
    }
}

/* 2 lb 8 oz are 40 oz of 28.349523125 g (NIST HB 44 App. C): 1134.0 g; a pint is 473.2 mL. */
static void units_said_once_hold_for_what_is_typed_and_shown(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    begin_us(cli);
    cli_ok(cli, "harvest add 'withy' nettle/leaf --weight '2 lb 8 oz' --stage 35 --on 'May 25'");
    expect_says(cli, "harvest list", (const char *const[]){"2 lb 8 oz", "2027-05-25", NULL});
    assert_null(strstr(cli->out, "weight g"));
    json = cli_json(cli, "harvest show H27-001 --json");
    expect_near(json_number(json, "weight_g"), 1134.0, 0.05, "g");
    json_decref(json);
    expect_says(cli, "harvest show H27-001 --metric", (const char *const[]){"1134", NULL});
    cli_ok(cli, "batch start tincture --from H27-001:3oz --jar '1 pint' --menstruum 'spirit 60%, "
                "Ash Beck Still, 114' --on 5/25");
    json = cli_json(cli, "batch show B27-001 --json");
    expect_near(json_number(json, "jar_ml"), 473.2, 0.5, "mL");
    json_decref(json);
    cli_ok(cli, "batch press B27-001 --yield '12 fl oz' --on '10 June'");
    expect_says(cli, "lot list", (const char *const[]){"12 fl oz", NULL});
    cli_ok(cli, "lot use 'L27-001:2 fl oz' --for 1203");
    json = cli_json(cli, "lot show L27-001 --json");
    expect_near(json_number(json, "left_ml"), 10 * 29.5735295625, 0.06, "mL");
    json_decref(json);
    cli_refused(cli, "lot use 'L27-001:1 pint' --for 1203", 1, "10 fl oz are left");
}

static void a_bare_pint_is_refused_in_a_metric_book(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "need nettle/leaf tincture --jar '1 pint'", 2, "could be US or imperial");
    cli_ok(cli, "need nettle/leaf tincture --jar '1 pint' --us");
    assert_non_null(strstr(cli->out, "1 of 16 fl oz"));
    cli_ok(cli, "need nettle/leaf tincture --jar '1 pint' --imp");
    assert_non_null(strstr(cli->out, "1 of 20 fl oz"));
    cli_refused(cli, "need nettle/leaf tincture --jar 20drops", 2, "drops and droppers differ");
    cli_refused(cli, "book set units stones", 2, "none of metric, us, imp");
}

/* 40 % of 1 US quart (946.35 mL): by the tables of OIML R 22, as for a litre 421.1 mL of 95 % and
 * 606.4 mL of water. In fluid ounces of 29.5735 mL: 13.47, and 607.5 mL of water are
 * 19.44. */
static void spirit_and_water_are_measured_in_fluid_ounces(void **state)
{
    struct cli *cli = *state;

    expect_says(
        cli, "dilute '190 proof' '80 proof' --make '1 quart' --us",
        (const char *const[]){"13.47 fl oz of 95 %", "19.44 fl oz", "32 fl oz of 40 %", NULL});
    cli_refused(cli, "dilute '190 proof' 40% --make 1L", 2, "old British proof");
}

static void a_leading_minus_is_a_number_everywhere(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "book set home -42.8821,147.3272");
    cli_ok(cli, "book set home ' -42.8821, 147.3272'");
    cli_ok(cli, "book set home geo:-42.8821,147.3272");
    cli_ok(cli, "site add 'Huon Flat' --at -43.1,147.02 --elevation -2");
    cli_ok(cli, "window list --near -43.1,147.02 --material elder/flower");
    cli_refused(cli, "site add 'Huon Bank' --at -43.1,147.02 -elevation 4", 2, "elevation");
    cli_refused(cli, "harvest add 'Huon Flat' elder/flower --weight -40g --stage 65", 2,
                "not more than nothing");
}

static void a_length_needs_its_unit_where_two_are_in_use(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    cli_ok(cli, "book set units us");
    cli_refused(cli, "site add Dooryard --at 44.8,-72.2 --elevation 980", 2, "has no unit");
    cli_ok(cli, "site add Dooryard --at 44.8,-72.2 --elevation 980ft --accuracy '30 ft'");
    expect_says(cli, "site show Dooryard", (const char *const[]){"980 ft", NULL});
    json = cli_json(cli, "site list --json");
    expect_near(json_number(json_array_get(json, 0), "elevation_m"), 298.7, 0.5, "m");
    json_decref(json);
    cli_ok(cli, "book set speed 30mph");
    cli_ok(cli, "book set racks '30 sq ft'");
}

static void six_hundred_kilograms_of_flowers_are_asked_about(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "harvest add 'Withy Gill' elder/flower --weight 600kg --stage 65", 1,
                "were it 600 g?");
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --weight 21kg --sure --stage 65");
    cli_refused(cli, "amend H27-001 --weight 600kg --why typo", 1, "were it 600 g");
    cli_ok(cli, "amend H27-001 --weight 22kg --sure --why 'two of us'");
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --bags 2 --stage 65");
    cli_refused(cli, "harvest weigh H27-002 600kg", 1, "600 g");
}

static void days_are_typed_as_they_are_said(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stage note 'Withy Gill' elder/flower 'in bud' --on yesterday");
    cli_ok(cli, "stage note 'Withy Gill' elder/flower 'first flowers' --on '20.6.2027'");
    cli_refused(cli, "stage note 'Withy Gill' elder/flower 'in bud' --on 5/6", 2,
                "could be 5 June or 6 May");
    cli_ok(cli, "book set country GB");
    cli_ok(cli, "stage note 'Withy Gill' elder/flower 'in bud' --on 5/6");
    expect_says(cli, "stage list", (const char *const[]){"2027-06-05", "2027-06-19", NULL});
    cli_refused(cli, "stage note 'Withy Gill' elder/flower 'in bud' --on 'Mon 5 June'", 2,
                "5 June 2027 is a Saturday");
}

static const struct CMUnitTest tests[] = {
    cli_test(units_said_once_hold_for_what_is_typed_and_shown),
    cli_test(a_bare_pint_is_refused_in_a_metric_book),
    cli_test(spirit_and_water_are_measured_in_fluid_ounces),
    cli_test(a_leading_minus_is_a_number_everywhere),
    cli_test(a_length_needs_its_unit_where_two_are_in_use),
    cli_test(six_hundred_kilograms_of_flowers_are_asked_about),
    cli_test(days_are_typed_as_they_are_said),
};
expect_main(tests)
