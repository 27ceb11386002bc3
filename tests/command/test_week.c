/* SPDX-License-Identifier: MIT
 *
 * The working week at the hedge: herb that is not weighed yet, picked by many, what others took, an
 * outing that is rained off. Expected figures are reckoned by hand.
 */
#include "cli.h"

/* The stand's line of a material; owned by `lines`. */
static const json_t *line_of(const json_t *lines, const char *material)
{
    size_t i;
    const json_t *one;

    json_array_foreach(lines, i, one)
    {
        if (strcmp(json_text(one, "material"), material) == 0)
            return one;
    }
    fail_msg("no line of %s", material);
    return NULL;
}

static void expect_stand(struct cli *cli, double taken, double left, const char *note)
{
    json_t *lines = cli_json(cli, "stand list --json");
    const json_t *leaf = line_of(lines, "nettle/leaf");

    expect_near(json_number(leaf, "taken_g"), taken, 0.5, "g");
    expect_near(json_number(leaf, "left_g"), left, 0.5, "g");
    if (note != NULL)
        assert_non_null(strstr(json_text(leaf, "note"), note));
    json_decref(lines);
}

static void what_is_not_weighed_counts_as_the_most_it_may_be(void **state)
{
    struct cli *cli = *state;
    json_t *one;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --grams 10000 --part leaf --share 20%");
    expect_stand(cli, 0.0, 2000.0, NULL);
    one = cli_json(cli, "harvest add 'Withy Gill' nettle/leaf --handfuls 12 --stage 35 --by Edda "
                        "--people 12 --json");
    assert_true(json_is_true(json_object_get(one, "handfuls")));
    expect_near(json_number(one, "bags"), 12.0, 0.0, "handfuls");
    expect_near(json_number(one, "people"), 12.0, 0.0, "people");
    json_decref(one);
    /* Twelve handfuls of 10 to 50 g. */
    expect_stand(cli, 600.0, 1400.0, "120 g to 600 g");
    /* It heads the day. */
    one = cli_json(cli, "--json");
    assert_string_equal(json_text(json_array_get(json_object_get(one, "missing_weights"), 0), "in"),
                        "handfuls");
    json_decref(one);
    cli_ok(cli, "harvest weigh H27-001 240g");
    expect_stand(cli, 240.0, 1760.0, NULL);
    /* Three own ones that were weighed say what a handful is: 20, 25 and 30 g. */
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --handfuls 4 --stage 35");
    cli_ok(cli, "harvest weigh H27-002 100g");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --handfuls 2 --stage 35");
    cli_ok(cli, "harvest weigh H27-003 60g");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --handfuls 5 --stage 35");
    expect_stand(cli, 550.0, 1450.0, "500 g to 550 g");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --handfuls 0 --stage 35", 2, "handfuls");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --handfuls 2 --bags 1 --stage 35", 2,
                "handfuls");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --stage 35", 2, "handfuls");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --bags 2 --people many --stage 35", 2,
                "people");
}

static void what_others_took_is_less_to_spare(void **state)
{
    struct cli *cli = *state;
    json_t *one;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --grams 10000 --part leaf --share 20%");
    one = cli_json(cli, "stand taken 'Withy Gill' nettle --share 40% --json");
    assert_string_equal(json_text(one, "words"), "40 % of what may be taken was picked by others");
    json_decref(one);
    expect_stand(cli, 0.0, 1200.0, "others picked 40 %");
    cli_ok(cli, "stand taken 'Withy Gill' nettle --grams 500g --part leaf --by 'a school class'");
    expect_stand(cli, 500.0, 700.0, NULL);
    cli_refused(cli, "stand taken 'Withy Gill' nettle", 2, "share");
    cli_refused(cli, "stand taken 'Withy Gill' nettle --share 140%", 2, "share");
    cli_refused(cli, "stand taken 'Withy Gill' nettle --grams 500g", 2, "part");
    cli_refused(cli, "stand taken 'Withy Gill' nettle --grams 500g --part bark", 1, "bark");
    expect_stand(cli, 500.0, 700.0, NULL);
}

static void a_rained_off_outing_goes_to_its_reserve_day(void **state)
{
    struct cli *cli = *state;
    json_t *plan, *moved;
    const json_t *outing;
    g_autofree char *day = NULL, *reserve = NULL, *line = NULL, *said = NULL;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' nettle --area 200m2 --cover 80%");
    cli_ok(cli, "plan add nettle tincture nettle/leaf --yield 400mL");
    plan = cli_json(cli, "plan outings --days sat,sun,wed --home 54.5,-2.6 --nodes 20 --keep "
                         "--json");
    outing = json_array_get(json_object_get(plan, "outings"), 0);
    assert_non_null(outing);
    day = g_strdup(json_text(outing, "date"));
    reserve = g_strdup(json_text(outing, "reserve"));
    json_decref(plan);
    assert_non_null(reserve);
    line = g_strdup_printf("outing move %s --to reserve --why 'rained off' --json", day);
    moved = cli_json(cli, line);
    said = g_strdup_printf("moved from %s: rained off", day);
    assert_string_equal(json_text(moved, "date"), reserve);
    assert_string_equal(json_text(moved, "moved"), said);
    json_decref(moved);
    cli_refused(cli, line, 1, "no outing is kept");
    g_free(line);
    line = g_strdup_printf("outing move %s --to reserve", reserve);
    cli_refused(cli, line, 1, "reserve");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(what_is_not_weighed_counts_as_the_most_it_may_be),
        cli_test(what_others_took_is_less_to_spare),
        cli_test(a_rained_off_outing_goes_to_its_reserve_day),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
