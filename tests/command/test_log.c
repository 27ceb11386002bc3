/* SPDX-License-Identifier: MIT
 *
 * What is put right in the log afterwards, and what is noted later than the rest: a yield read
 * wrong, the last entry, a spraying called off, bags that are weighed at home, bottles, directions.
 */
#include "cli.h"

#define T60 "--jar 500mL --menstruum 'spirit 60%, Ash Beck Still, 114'"

/* A kilogram of nettle, a jar of it, 400 mL bottled. */
static void bottled(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-10");
}

static void expect_figure(struct cli *cli, const char *line, const char *key, double expected)
{
    json_t *json = cli_json(cli, line);

    expect_near(json_number(json, key), expected, 0.01, key);
    json_decref(json);
}

static void expect_sound(struct cli *cli)
{
    json_t *json = cli_json(cli, "book check --json");

    if (!json_is_true(json_object_get(json, "ok")))
        fail_msg("the book is not sound: %s", cli->out);
    json_decref(json);
}

static void a_yield_can_be_corrected(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "lot use L27-001:50mL --for 1203 --on 2027-06-12");
    cli_ok(cli, "amend L27-001 --yield 380mL --why 'the jug was read wrong'");
    expect_figure(cli, "lot show L27-001 --json", "made_ml", 380);
    expect_figure(cli, "lot show L27-001 --json", "left_ml", 330);
    expect_figure(cli, "batch show B27-001 --json", "pressed_ml", 380);
    /* a jar gives no more than was in it, a lot no less than went out */
    cli_refused(cli, "amend L27-001 --yield 2L --why typo", 1, "were in it");
    cli_refused(cli, "amend L27-001 --yield 40mL --why typo", 1, "went out");
    cli_refused(cli, "amend L27-001 --yield 380g --why typo", 2, "millilitres");
    expect_sound(cli);
}

static void what_was_counted_stands_when_a_yield_is_corrected(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "lot count L27-001 350mL --why leaked --on 2027-06-15");
    cli_ok(cli, "amend L27-001 --yield 380mL --why 'the jug was read wrong'");
    expect_figure(cli, "lot show L27-001 --json", "made_ml", 380);
    expect_figure(cli, "lot show L27-001 --json", "left_ml", 350);
    cli_refused(cli, "amend L27-001 --yield 300mL --why typo", 1, "counted");
    expect_sound(cli);
}

static void of_a_mixture_both_jars_follow_its_yield(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-002 B27-003 --yield 300mL --yield 200mL --on 2027-06-10");
    cli_ok(cli, "amend L27-002 --yield 400mL --why 'the jug was read wrong'");
    /* 300 : 200 of 400 */
    expect_figure(cli, "batch show B27-002 --json", "pressed_ml", 240);
    expect_figure(cli, "batch show B27-003 --json", "pressed_ml", 160);
    expect_figure(cli, "lot show L27-002 --json", "made_ml", 400);
    expect_sound(cli);
}

static void the_last_entry_is_taken_back_whole(void **state)
{
    struct cli *cli = *state;

    bottled(cli);
    /* what went out by mistake, and can be taken back in no other way */
    cli_ok(cli, "lot use L27-001:50mL --for 1203");
    cli_refused(cli, "strike U27-001 --why typo", 1, "stays in every trace");
    cli_ok(cli, "strike --last");
    assert_non_null(strstr(cli->out, "U27-001"));
    expect_figure(cli, "lot show L27-001 --json", "left_ml", 400);
    cli_ok(cli, "lot show L27-001");
    assert_null(strstr(cli->out, "1203"));
    /* the strike was the last entry now */
    cli_ok(cli, "strike --last");
    assert_non_null(strstr(cli->out, "stands again"));
    expect_figure(cli, "lot show L27-001 --json", "left_ml", 350);
    /* a jar with all that went in */
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    expect_figure(cli, "harvest show H27-001 --json", "left_g", 800);
    cli_ok(cli, "strike --last --why 'the wrong harvest'");
    expect_figure(cli, "harvest show H27-001 --json", "left_g", 900);
    /* something that has no code */
    cli_ok(cli, "lot count L27-001 300mL --why leaked");
    cli_ok(cli, "strike --last");
    expect_figure(cli, "lot show L27-001 --json", "left_ml", 350);
    cli_ok(cli, "site permit 'Withy Gill' --refused --by 'the tenant'");
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 4);
    cli_ok(cli, "strike --last");
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 0);
    /* one entry beside the other, of the same day */
    cli_ok(cli, "lot use L27-001:10mL --for 1204");
    cli_ok(cli, "amend U27-002 --for 1205 --why misheard");
    cli_ok(cli, "strike --last");
    cli_ok(cli, "lot show L27-001");
    assert_non_null(strstr(cli->out, "1204"));
    expect_sound(cli);
}

static void what_another_draws_on_is_not_taken_back(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "strike --last", 1, "nothing");
    cli_ok(cli, "site add Foo --at 54.6,-2.6");
    cli_refused(cli, "strike --last", 1, "place");
    cli_refused(cli, "strike", 2, "CODE");
    cli_refused(cli, "strike H27-001", 2, "why");
}

static void to_whom_it_went_can_be_corrected(void **state)
{
    struct cli *cli = *state;
    json_t *lot;

    bottled(cli);
    cli_ok(cli, "lot use L27-001:50mL --for 1203 --directions '5 mL in water' --on 2027-06-12");
    cli_ok(cli, "amend U27-001 --for 1204 --why 'the slip was misread'");
    cli_refused(cli, "amend U27-001 --for 'Ann Ash' --why x", 2, "never a name");
    lot = cli_json(cli, "trace H27-001 --json");
    assert_string_equal(json_text(json_array_get(json_object_get(lot, "uses"), 0), "ref"), "1204");
    assert_string_equal(json_text(json_array_get(json_object_get(lot, "uses"), 0), "directions"),
                        "5 mL in water");
    json_decref(lot);
    expect_sound(cli);
}

static void a_planned_spraying_is_called_off_or_put_off(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "spray note 'Withy Gill' --kind not-done --source 'the tenant'", 1,
                "no spraying is planned");
    cli_ok(cli, "spray note 'Withy Gill' --kind planned --on 2027-06-20 --source 'the tenant'");
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 4);
    /* a word of the very day may be of the morning */
    cli_ok(cli,
           "spray note 'Withy Gill' --kind unsprayed --since 2020-01-01 --source 'the tenant'");
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 4);
    cli_refused(cli, "spray note 'Withy Gill' --kind not-done --on 2027-06-19 --source x", 1,
                "2027-06-20");
    cli_ok(cli, "spray note 'Withy Gill' --kind not-done --source 'the tenant rang'");
    cli_run(cli, "check 'Withy Gill'");
    assert_int_equal(cli->status, 0);
    /* put off: what was said of the other day says nothing of this one */
    cli_ok(cli, "amend N27-002 --on 2027-06-25 --why 'rain'");
    cli_run(cli, "check 'Withy Gill' --on 2027-06-25");
    assert_int_equal(cli->status, 4);
    cli_ok(cli, "spray note 'Withy Gill' --kind not-done --source 'called off' --on 2027-06-25");
    cli_run(cli, "check 'Withy Gill' --on 2027-06-25");
    assert_int_equal(cli->status, 0);
    expect_sound(cli);
}

static void bags_are_weighed_later(void **state)
{
    struct cli *cli = *state;
    json_t *list;

    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli, "harvest add 'Withy Gill' nettle/leaf --stage 35", 2, "bags");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --bags 2 --stage 35 --on 2027-06-19");
    assert_non_null(strstr(cli->err, "weight is missing"));
    cli_refused(cli, "batch start tincture --from H27-001:100g " T60, 1, "weigh it first");
    cli_refused(cli, "batch start tincture --from H27-001 " T60, 1, "weigh it first");
    cli_refused(cli, "dry start --from H27-001", 1, "weigh it first");
    cli_refused(cli, "discard H27-001 --why brown", 1, "weigh it first");
    list = cli_json(cli, "harvest list --unweighed --json");
    assert_int_equal(json_array_size(list), 1);
    assert_int_equal(json_integer_value(json_object_get(json_array_get(list, 0), "bags")), 2);
    assert_true(json_is_null(json_object_get(json_array_get(list, 0), "weight_g")));
    json_decref(list);
    cli_ok(cli, "stand set 'Withy Gill' nettle --area 120m2 --cover 60%");
    cli_ok(cli, "stand list");
    cli_ok(cli, "--json");
    expect_sound(cli);
    cli_refused(cli, "harvest weigh H27-001 600g --garbled 640g", 2, "scales");
    cli_ok(cli, "harvest weigh H27-001 640g --garbled 600g");
    expect_figure(cli, "harvest show H27-001 --json", "weight_g", 640);
    expect_figure(cli, "harvest show H27-001 --json", "left_g", 600);
    cli_refused(cli, "harvest weigh H27-001 700g", 1, "weighed already");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60);
    list = cli_json(cli, "harvest list --unweighed --json");
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
    expect_sound(cli);
}

static void signs_are_said_once_a_season_and_confirmed(void **state)
{
    struct cli *cli = *state;

    /* elder's leaves and flowers are told from those of deadly kin */
    cli_clear_site(cli, "Withy Gill");
    cli_refused(cli,
                "harvest add 'Withy Gill' yarrow/herb --weight 100g --stage 65 --signs-again "
                "--on 2027-06-10",
                1, "nobody has named");
    cli_ok(cli, "harvest add 'Withy Gill' yarrow/herb --weight 100g --stage 65 --on 2027-06-10 "
                "--named-by Edda --signs 'feathered leaves, rough stem'");
    cli_ok(cli, "harvest add 'Withy Gill' yarrow/herb --weight 100g --stage 65 --on 2027-06-11");
    assert_non_null(strstr(cli->err, "H27-001"));
    cli_refused(cli, "batch start tincture --from H27-002:80g " T60, 1, "look-alike");
    cli_ok(cli, "harvest add 'Withy Gill' yarrow/herb --weight 100g --stage 65 --on 2027-06-12 "
                "--signs-again");
    cli_ok(cli, "harvest show H27-003");
    assert_non_null(strstr(cli->out, "feathered leaves, rough stem"));
    cli_ok(cli, "batch start tincture --from H27-003:80g " T60 " --on 2027-06-12");
    cli_refused(cli,
                "harvest add 'Withy Gill' yarrow/herb --weight 100g --stage 65 --signs-again "
                "--signs x",
                2, "signs");
}

static void a_lot_has_bottles_and_a_place(void **state)
{
    struct cli *cli = *state;
    json_t *lot;

    bottled(cli);
    cli_ok(cli, "lot bottle L27-001 2x100mL 250mL --at 'shelf B3'");
    lot = cli_json(cli, "lot show L27-001 --json");
    assert_string_equal(json_text(lot, "bottles"), "2x100 1x250");
    assert_string_equal(json_text(lot, "place"), "shelf B3");
    json_decref(lot);
    cli_ok(cli, "lot bottle L27-001 --at 'the cellar'");
    lot = cli_json(cli, "lot list --json");
    assert_string_equal(json_text(json_array_get(lot, 0), "bottles"), "2x100 1x250");
    assert_string_equal(json_text(json_array_get(lot, 0), "place"), "the cellar");
    json_decref(lot);
    cli_ok(cli, "lot bottle L27-001 100mL");
    assert_non_null(strstr(cli->err, "400 mL are there"));
    cli_refused(cli, "lot bottle L27-001 4x100g", 2, "millilitres");
    cli_refused(cli, "lot bottle L27-001 0x100mL", 2, "bottles");
    cli_refused(cli, "lot bottle L27-001", 2, "AMOUNT");
    expect_sound(cli);
}

static void a_reaction_is_shown_with_the_lot(void **state)
{
    struct cli *cli = *state;
    json_t *lot, *list;

    bottled(cli);
    cli_refused(cli, "lot reaction --for 1203 --text itching", 1, "nothing went to 1203");
    cli_ok(cli, "lot use L27-001:50mL --for 1203 --on 2027-06-12");
    cli_ok(cli, "lot reaction L27-001 --for 1203 --text 'itching, stopped it' --on 2027-06-14");
    cli_ok(cli, "lot reaction L27-001 --kind complaint --text 'it tastes of soap'");
    cli_ok(cli, "lot reaction L27-001 --for 1299 --text 'a headache'");
    assert_non_null(strstr(cli->err, "nothing of L27-001 went to 1299"));
    cli_refused(cli, "lot reaction L27-001 --for 'Ann Ash' --text x", 2, "never a name");
    lot = cli_json(cli, "lot show L27-001 --json");
    list = json_object_get(lot, "reactions");
    assert_int_equal(json_array_size(list), 3);
    assert_string_equal(json_text(json_array_get(list, 0), "words"), "itching, stopped it");
    assert_string_equal(json_text(json_array_get(list, 1), "kind"), "complaint");
    json_decref(lot);
    expect_sound(cli);
}

static void what_was_thrown_away_is_shown_with_its_reason(void **state)
{
    static const struct {
        const char *discard, *show, *why, *key;
        double amount;
    } cases[] = {
        {"discard H27-001 50g --why mould", "harvest show H27-001", "mould", "g", 50},
        {"discard P27-001 5g --why dusty", "purchase show P27-001", "dusty", "g", 5},
        {"discard D27-001 10g --why brown", "dry show D27-001", "brown", "g", 10},
        {"discard B27-001 20mL --why spilt", "batch show B27-001", "spilt", "ml", 20},
    };
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-06-19");
    cli_ok(cli, "purchase add nettle/leaf --weight 100g --dry --supplier 'Sallow Bank Herbs'");
    cli_ok(cli, "dry start --from H27-001:200g");
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL --menstruum 'spirit 60%, Ash "
                "Beck Still, 114'");
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *show = g_strconcat(cases[i].show, " --json", NULL);
        json_t *json, *thrown;

        cli_ok(cli, cases[i].discard);
        json = cli_json(cli, show);
        thrown = json_object_get(json, "thrown");
        assert_int_equal(json_array_size(thrown), 1);
        thrown = json_array_get(thrown, 0);
        assert_string_equal(json_text(thrown, "why"), cases[i].why);
        expect_near(json_number(thrown, cases[i].key), cases[i].amount, 0.01, cases[i].show);
        json_decref(json);
        cli_ok(cli, cases[i].show);
        assert_non_null(strstr(cli->out, "thrown away"));
        assert_non_null(strstr(cli->out, cases[i].why));
    }
}

/* In North America elderberries are those of Sambucus canadensis; the European name is not put on
 * their label by itself. */
static void a_name_of_two_regions_asks_which(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "check 'Withy Gill' elderflower");
    assert_non_null(strstr(cli->out, "elder/flower"));
    cli_ok(cli, "book set country US-VT");
    cli_refused(cli, "check 'Withy Gill' elderflower", 1,
                "'elder/flower', 'american-elder/flower'");
    cli_refused(cli, "harvest add 'Withy Gill' elderberries --weight 1kg --stage 89", 1,
                "'elder/fruit', 'american-elder/fruit'");
    cli_refused(cli, "plan add winter syrup elderberry --yield 1L", 1, "say which");
    /* What leaves no doubt is taken. */
    cli_ok(cli, "check 'Withy Gill' elder/flower");
    cli_ok(cli, "check 'Withy Gill' 'Sambucus nigra flower'");
    cli_ok(cli, "check 'Withy Gill' 'American elderflower'");
    assert_non_null(strstr(cli->out, "american-elder/flower"));
    cli_ok(cli, "check 'Withy Gill' nettle/leaf");
}

/* What was said of a place is shown under the name that the place has now. */
static void words_follow_the_name_of_their_place(void **state)
{
    struct cli *cli = *state;
    json_t *site, *note;
    size_t i;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site edit 'Withy Gill' --name 'Willow Gill'");
    site = cli_json(cli, "site show 'Willow Gill' --json");
    assert_true(json_array_size(json_object_get(site, "notes")) > 0);
    json_array_foreach(json_object_get(site, "notes"), i, note)
    {
        assert_string_equal(json_text(note, "site"), "Willow Gill");
    }
    json_decref(site);
}

static const struct CMUnitTest tests[] = {
    cli_test(words_follow_the_name_of_their_place),
    cli_test(a_yield_can_be_corrected),
    cli_test(what_was_counted_stands_when_a_yield_is_corrected),
    cli_test(of_a_mixture_both_jars_follow_its_yield),
    cli_test(the_last_entry_is_taken_back_whole),
    cli_test(what_another_draws_on_is_not_taken_back),
    cli_test(to_whom_it_went_can_be_corrected),
    cli_test(a_planned_spraying_is_called_off_or_put_off),
    cli_test(bags_are_weighed_later),
    cli_test(signs_are_said_once_a_season_and_confirmed),
    cli_test(a_lot_has_bottles_and_a_place),
    cli_test(a_reaction_is_shown_with_the_lot),
    cli_test(what_was_thrown_away_is_shown_with_its_reason),
    cli_test(a_name_of_two_regions_asks_which),
};
expect_main(tests)
