/* SPDX-License-Identifier: MIT
 *
 * The working week at the hedge: herb that is not weighed yet, picked by many, what others took, an
 * outing that is rained off. Expected figures are reckoned by hand.
 */
#include <math.h>

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
    /* Of what hangs in a bag and of what others picked the reason tells both. */
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --bags 1 --stage 35");
    expect_stand(cli, 1500.0, 0.0, "as not all of it is weighed");
    expect_stand(cli, 1500.0, 0.0, "others picked 40 %");
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

static const json_t *room_of(const json_t *rooms, const char *what)
{
    for (size_t i = 0; i < json_array_size(rooms); i++)
        if (strcmp(json_text(json_array_get(rooms, i), "what"), what) == 0)
            return json_array_get(rooms, i);
    fail_msg("no room is told of %s", what);
    return NULL;
}

/* Racks, freezer and jars as places: what is taken, what is free, and when they are full. */
static void what_is_full_takes_no_more(void **state)
{
    struct cli *cli = *state;
    const json_t *room;
    json_t *rooms;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 5kg --stage 35 --on 2027-06-20 "
                "--named-by Ann --signs stings");
    assert_non_null(strstr(cli_ok(cli, "room"), "book set freezer"));
    cli_ok(cli, "book set racks 3m2");
    cli_ok(cli, "book set freezer 2kg");
    cli_ok(cli, "book set jars '500mL, 2x1L'");
    cli_ok(cli, "dry start --from H27-001:400g --rack 1.2m2");
    cli_ok(cli, "dry start --from H27-001:1500g --kind frozen");
    cli_refused(cli, "dry start --from H27-001:600g --kind frozen", 1,
                "600 g are to be frozen, and of 2 kg of freezer 1.5 kg are taken");
    cli_ok(cli, "batch start tincture --from H27-001:150g --jar 1L --menstruum 'spirit 60%'");
    assert_null(strstr(cli->err, "jars"));
    rooms = cli_json(cli, "room --json");
    assert_int_equal(json_array_size(rooms), 4); /* and jars of 500 mL, nobody said how many */
    room = room_of(rooms, "racks");
    assert_true(fabs(json_number(room, "left") - 1.8) < 1e-6);
    room = room_of(rooms, "freezer");
    assert_true(fabs(json_number(room, "left") - 500.0) < 1e-6);
    room = room_of(rooms, "jars of 1 L");
    assert_true(fabs(json_number(room, "left") - 1.0) < 1e-6);
    assert_string_equal(json_text(room, "note"), "1 of your 2 jars of 1 L is free");
    assert_true(json_is_null(json_object_get(room_of(rooms, "jars of 500 mL"), "all")));
    json_decref(rooms);
    cli_ok(cli, "batch start tincture --from H27-001:150g --jar 1L --menstruum 'spirit 60%'");
    assert_non_null(strstr(cli->err, "all 2 of your jars of 1 L stand; none is free"));
    cli_ok(cli, "batch start tincture --from H27-001:300g --jar 2x1L --menstruum 'spirit 60%'");
    assert_non_null(strstr(cli->err, "4 jars of 1 L stand, and you have 2 of them"));
    /* Where it stands is on the sheet, and jars by their own size. */
    cli_ok(cli, "lot count --sheet sheet.csv");
    {
        g_autofree char *path = g_build_filename(cli->folder, "sheet.csv", NULL), *sheet = NULL;

        assert_true(g_file_get_contents(path, &sheet, NULL, NULL));
        assert_non_null(strstr(sheet, "D27-001,\"Nettle leaf, on the rack\",rack,"));
        assert_non_null(strstr(sheet, "D27-002,\"Nettle leaf, frozen\",freezer,"));
        assert_non_null(strstr(sheet, "2 \u00d7 1 L"));
    }
    /* A jar that is pressed is free again. */
    cli_ok(cli, "batch press B27-003 --yield 1500mL");
    rooms = cli_json(cli, "room --json");
    assert_true(fabs(json_number(room_of(rooms, "jars of 1 L"), "left")) < 1e-6);
    json_decref(rooms);
    cli_refused(cli, "book set freezer 2L", 2, "2L");
    cli_refused(cli, "book set jars 0x1L", 2, "between 1 and 1000 jars");
    cli_refused(cli, "book set jars 8x1kg", 2, "1kg");
}

/* Where the tables know a sign, the step says it, on the day's list too. The signs are common
 * practice. */
static void the_sign_that_it_is_ready_stands_with_its_step(void **state)
{
    static const struct {
        const char *herb, *start, *sign;
    } rows[] = {
        {"dandelion/flower --weight 200g", "vinegar --jar 1L --menstruum 'vinegar 6%'",
         "when the vinegar is bright yellow"},
        {"calendula/flower --weight 60g --dry", "infused-oil --jar 500mL --menstruum 'olive oil'",
         "when the oil is deep yellow"},
        {"st-johns-wort/tops --weight 150g", "tincture --jar 1L --menstruum 'spirit 60%'",
         "when it is deep red"},
    };
    struct cli *cli = *state;

    for (guint i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *buy = g_strdup_printf("purchase add %s --supplier 'Sallow Bank Herbs' "
                                               "--number 9 --named-by Ann --signs seen --on "
                                               "2027-06-01",
                                               rows[i].herb);
        g_autofree char *start =
            g_strdup_printf("batch start %s --from P27-%03u --on 2027-06-01", rows[i].start, i + 1);
        g_autofree char *show = g_strdup_printf("batch show B27-%03u", i + 1);

        cli_ok(cli, buy);
        cli_ok(cli, start);
        if (strstr(cli_ok(cli, show), rows[i].sign) == NULL)
            fail_msg("%s does not say '%s': %s", show, rows[i].sign, cli->out);
    }
    assert_non_null(strstr(cli_ok(cli, "--metric"), rows[0].sign)); /* ready since the 15th */
}

/* Leave to teach there keeps the place closed for what is gathered for stock, until it ran out or
 * other leave came; on one's own ground nobody's leave is needed. */
static void leave_to_teach_is_no_leave_to_gather(void **state)
{
    static const char *const pick = "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35";
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site permit 'Withy Gill' --given --teaching --by 'the tenant' --until 2027-07-31");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' nettle/leaf"), 4);
    assert_non_null(strstr(cli->out, "for teaching only"));
    cli_refused(cli, pick, 4, "for teaching only");
    assert_non_null(strstr(cli_ok(cli, "site show 'Withy Gill'"), "teaching"));
    /* What the group took home is not in stock, and the stand has less. */
    cli_ok(cli, "stand set 'Withy Gill' nettle --grams 10000 --part leaf --share 20%");
    cli_ok(cli, "stand taken 'Withy Gill' nettle --grams 300g --part leaf");
    expect_stand(cli, 300.0, 1700.0, NULL);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' nettle/leaf --on 2027-08-01"), 3);
    assert_non_null(strstr(cli->out, "ran out"));
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant'");
    cli_ok(cli, pick);
    cli_refused(cli, "site permit 'Withy Gill' --given --teaching --parts leaf --by x", 2,
                "--teaching");
    cli_refused(cli, "site permit 'Withy Gill' --refused --teaching --by x", 2, "--teaching");
    cli_ok(cli, "site add 'Home Garth' --at 54.3,-2.9 --elevation 100 --own");
    cli_ok(cli, "site permit 'Home Garth' --given --teaching --by Ann");
    assert_int_not_equal(cli_run(cli, "check 'Home Garth' nettle/leaf"), 4);
}

/* However the line is put: leave to teach, or that hangs on what is not understood, is never noted
 * as leave to gather. */
static void leave_that_is_bound_is_no_plain_leave(void **state)
{
    static const struct {
        const char *line, *read;
    } rows[] = {
        {"the owner gave leave till December for teaching",
         "leave for teaching, by: the owner until"},
        {"owner gave leave till October to teach", "leave for teaching, by: owner until"},
        {"owner said yes to teaching", "leave for teaching, by: owner"},
        {"the owner gave leave, leaf and flower, for teaching", "refused"},
        {"the owner gave leave till October, Sundays only", "refused"},
        {"the owner gave leave till October; Sundays only", "remark: Sundays only"},
        {"the owner gave leave till October", "leave given, by: the owner until"},
    };
    struct cli *cli = *state;
    g_autofree char *notes = g_build_filename(cli->folder, "notes.txt", NULL);

    cli_clear_site(cli, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *text = g_strdup_printf("20 June 2027 Withy Gill\n%s\n", rows[i].line);

        assert_true(g_file_set_contents(notes, text, -1, NULL));
        cli_run(cli, "slip read notes.txt");
        if (strstr(cli->out, rows[i].read) == NULL)
            fail_msg("'%s' is read as: %s", rows[i].line, cli->out);
    }
}

/* Said at the gate and noted on the phone: the book closes, and the slip says what the leave is
 * for. */
static void leave_to_teach_comes_by_a_note_and_goes_on_the_slip(void **state)
{
    struct cli *cli = *state;
    g_autofree char *notes = g_build_filename(cli->folder, "notes.txt", NULL);
    g_autofree char *slip = g_build_filename(cli->folder, "slip.txt", NULL);
    g_autofree char *text = NULL;

    cli_clear_site(cli, "Withy Gill");
    assert_true(g_file_set_contents(
        notes, "20 June 2027 Withy Gill\nthe tenant gave leave to teach till October\n", -1, NULL));
    cli_ok(cli, "slip read notes.txt --apply");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' nettle/leaf"), 4);
    assert_non_null(strstr(cli->out, "for teaching only"));
    cli_ok(cli, "slip write --out slip.txt");
    assert_true(g_file_get_contents(slip, &text, NULL, NULL));
    assert_non_null(strstr(text, "leave given by the tenant for teaching until 31 October 2027"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(what_is_not_weighed_counts_as_the_most_it_may_be),
        cli_test(what_others_took_is_less_to_spare),
        cli_test(a_rained_off_outing_goes_to_its_reserve_day),
        cli_test(what_is_full_takes_no_more),
        cli_test(the_sign_that_it_is_ready_stands_with_its_step),
        cli_test(leave_to_teach_is_no_leave_to_gather),
        cli_test(leave_that_is_bound_is_no_plain_leave),
        cli_test(leave_to_teach_comes_by_a_note_and_goes_on_the_slip),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
