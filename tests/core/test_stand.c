/* SPDX-License-Identifier: MIT
 *
 * What a stand can spare: shares, the allowance that the parts share, small stands, rest, digging.
 */
#include "core/stand.h"
#include "core/tables_build.h"
#include "expect.h"

/* An invented herb with a root of 20 g, flowers, leaves. */
struct fixture {
    struct spl_tables *tables;
    const struct spl_material *flower, *leaf, *root;
};

static const struct spl_material *put(struct fixture *f, const struct spl_plant *plant,
                                      enum spl_part part, double share)
{
    struct spl_material row = {.plant = plant, .part = part, .spoken = ""};

    row.moisture_frac = row.trim_frac = row.bulk_g_per_ml = row.volume_ml_per_g =
        row.picking_g_per_h = row.fresh_per_dry = row.stages = row.piece_g = spl_figure_none();
    row.share_frac = spl_figure_of(share, "test");
    if (part == SPL_PART_ROOT)
        row.piece_g = spl_figure_of(20, "test");
    return spl_tables_put_material(f->tables, &row);
}

static int set_up(void **state)
{
    struct fixture *f = g_new0(struct fixture, 1);
    struct spl_plant herb = {.slug = "fellwort", .common = "fellwort", .latin = "Fellus inventus"};
    const struct spl_plant *plant;

    f->tables = spl_tables_new();
    herb.names = spl_tables_names(f->tables, "");
    herb.habit = SPL_HABIT_PERENNIAL;
    plant = spl_tables_put_plant(f->tables, &herb);
    f->flower = put(f, plant, SPL_PART_FLOWER, 0.10);
    f->leaf = put(f, plant, SPL_PART_LEAF, 0.10);
    f->root = put(f, plant, SPL_PART_ROOT, 0.05);
    *state = f;
    return 0;
}

static int tear_down(void **state)
{
    struct fixture *f = *state;

    spl_tables_free(f->tables);
    g_free(f);
    return 0;
}

static void one_root_of_twenty_may_be_dug_and_none_of_nineteen(void **state)
{
    /* 1 in 20, and none until 20 are seen: Wagner, Oregon Flora On-Line Newsletter 1(3) 1995. */
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_allowance a;

    stand.plants = 20;
    spl_stand_allowance(&stand, f->root, NULL, 2027, &a);
    assert_int_equal(a.refusal, SPL_STAND_FREE);
    expect_near(a.left_g, 20, 1e-9, "g");
    assert_true(a.caution);
    spl_stand_allowance_clear(&a);
    stand.plants = 19;
    spl_stand_allowance(&stand, f->root, NULL, 2027, &a);
    assert_int_equal(a.refusal, SPL_STAND_FEW);
    expect_near(a.left_g, 0, 0, "g");
    assert_non_null(strstr(a.reason, "19 plants"));
    spl_stand_allowance_clear(&a);
    stand.plants = 39; /* one whole plant, not 1.95 */
    spl_stand_allowance(&stand, f->root, NULL, 2027, &a);
    expect_near(a.left_g, 20, 1e-9, "g");
    spl_stand_allowance_clear(&a);
}

static void under_a_hundred_plants_it_cautions(void **state)
{
    /* Plant Conservation Roundtable, guideline 4, 1986: not from fewer than 100 plants. */
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_allowance a;

    stand.plants = 99;
    spl_stand_allowance(&stand, f->leaf, NULL, 2027, &a);
    assert_true(a.caution);
    spl_stand_allowance_clear(&a);
    stand.plants = 100;
    spl_stand_allowance(&stand, f->leaf, NULL, 2027, &a);
    assert_false(a.caution);
    assert_null(a.reason);
    spl_stand_allowance_clear(&a);
}

static void the_parts_share_one_allowance(void **state)
{
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_taking taken[] = {{f->flower, 75, 2027, 0, 0}, {f->flower, 500, 2026, 0, 0}};
    g_autoptr(GArray) takings = g_array_new(FALSE, FALSE, sizeof taken[0]);
    struct spl_stand_allowance a;

    stand.grams[SPL_PART_FLOWER] = 3000; /* a tenth: 300 g */
    stand.grams[SPL_PART_LEAF] = 5000;   /* a tenth: 500 g */
    g_array_append_vals(takings, taken, 2);
    spl_stand_allowance(&stand, f->flower, takings, 2027, &a);
    expect_near(a.allowance_g, 300, 1e-9, "g");
    expect_near(a.taken_g, 75, 0, "g");
    expect_near(a.left_g, 225, 1e-9, "g");
    spl_stand_allowance_clear(&a);
    /* A quarter of the flowers is gone, so three quarters of the leaves are left. */
    spl_stand_allowance(&stand, f->leaf, takings, 2027, &a);
    expect_near(a.left_g, 375, 1e-9, "g");
    expect_near(a.taken_g, 0, 0, "g");
    expect_near(a.used_frac, 0.25, 1e-12, "");
    spl_stand_allowance_clear(&a);
    /* In the next season the flowers of this one do not count. */
    spl_stand_allowance(&stand, f->leaf, takings, 2028, &a);
    expect_near(a.left_g, 500, 1e-9, "g");
    spl_stand_allowance_clear(&a);
}

static void a_stand_overdrawn_gives_nothing_more(void **state)
{
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_taking taken = {f->leaf, 800, 2027, 0, 0};
    g_autoptr(GArray) takings = g_array_new(FALSE, FALSE, sizeof taken);
    struct spl_stand_allowance a;

    stand.grams[SPL_PART_LEAF] = 5000;
    g_array_append_val(takings, taken);
    spl_stand_allowance(&stand, f->leaf, takings, 2027, &a);
    expect_near(a.left_g, 0, 0, "g");
    expect_near(a.used_frac, 1.6, 1e-12, "");
    spl_stand_allowance_clear(&a);
}

static void dug_plants_never_count_again(void **state)
{
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_taking taken[] = {{f->root, 400, 2025, 0, 0}, {f->root, 1240, 2026, 0, 0}};
    g_autoptr(GArray) takings = g_array_new(FALSE, FALSE, sizeof taken[0]);
    struct spl_stand_allowance a;

    stand.plants = 100; /* 20 dug in 2025 leave 80; 62 more in 2026 leave 18 */
    g_array_append_vals(takings, taken, 1);
    spl_stand_allowance(&stand, f->root, takings, 2026, &a);
    assert_int_equal(a.plants, 80);
    expect_near(a.left_g, 4 * 20, 1e-9, "g");
    spl_stand_allowance_clear(&a);
    g_array_append_vals(takings, taken + 1, 1);
    spl_stand_allowance(&stand, f->flower, takings, 2027, &a);
    assert_int_equal(a.plants, 18);
    assert_int_equal(a.refusal, SPL_STAND_DUG);
    spl_stand_allowance_clear(&a);
}

static void a_resting_stand_gives_nothing_until_its_year(void **state)
{
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_allowance a;

    stand.area_m2 = 40;
    stand.cover_frac = 0.3;
    stand.rest_until = 2028;
    spl_stand_allowance(&stand, f->leaf, NULL, 2027, &a);
    assert_int_equal(a.refusal, SPL_STAND_RESTS);
    expect_near(a.left_g, 0, 0, "g");
    assert_non_null(strstr(a.reason, "2028"));
    spl_stand_allowance_clear(&a);
    spl_stand_allowance(&stand, f->leaf, NULL, 2028, &a);
    assert_int_equal(a.refusal, SPL_STAND_FREE);
    /* 12 m2 covered, by hand. */
    expect_near(a.bears_g, 12 * spl_stand_m2_g(f->leaf), 1e-9, "g");
    spl_stand_allowance_clear(&a);
}

static void a_stand_that_nobody_counted_says_so(void **state)
{
    struct fixture *f = *state;
    struct spl_stand stand = spl_stand_unknown();
    struct spl_stand_allowance a;

    spl_stand_allowance(&stand, f->leaf, NULL, 2027, &a);
    assert_int_equal(a.refusal, SPL_STAND_UNSIZED);
    assert_non_null(strstr(a.reason, "count it"));
    assert_true(isnan(a.bears_g));
    spl_stand_allowance_clear(&a);
}

/* What is dug comes back slowly (Van der Voort 2003, Am. Midl. Nat. 149:282: goldenseal and ginseng
 * had not recovered two years after): a stand rests for the years of its table, whatever is left
 * standing; the days of one season are one digging. */
static void a_dug_stand_rests_until_the_roots_are_back(void **state)
{
    const struct fixture *f = *state;
    struct spl_material root = *f->root;
    struct spl_stand stand = spl_stand_unknown();
    g_autoptr(GArray) takings = g_array_new(FALSE, FALSE, sizeof(struct spl_stand_taking));
    struct spl_stand_taking dug = {&root, 20, 2025, 0, 0};
    static const struct {
        int season;
        gboolean rests;
    } years[] = {{2025, FALSE}, {2026, TRUE}, {2029, TRUE}, {2030, FALSE}};

    root.return_years = (struct spl_figure){5, 5, 5, "test", FALSE};
    stand.plants = 400;
    g_array_append_val(takings, dug);
    for (gsize i = 0; i < G_N_ELEMENTS(years); i++) {
        struct spl_stand_allowance a;

        spl_stand_allowance(&stand, &root, takings, years[i].season, &a);
        assert_int_equal(a.refusal, years[i].rests ? SPL_STAND_RESTS : SPL_STAND_FREE);
        assert_true(years[i].rests ? a.left_g <= 0 : a.left_g > 0);
        if (years[i].rests)
            assert_non_null(strstr(a.reason, "2030"));
        spl_stand_allowance_clear(&a);
    }
}

/* Trees and shrubs are counted one by one: five are a stand (common practice, no source), twenty
 * herbs are (Wagner 1995). */
static void five_trees_are_a_stand(void **state)
{
    const struct fixture *f = *state;
    struct spl_plant plant = *f->leaf->plant;
    struct spl_material leaf = *f->leaf;
    struct spl_stand stand = spl_stand_unknown();
    static const struct {
        enum spl_habit habit;
        int plants;
        enum spl_stand_refusal refusal;
    } cases[] = {{SPL_HABIT_TREE, 4, SPL_STAND_FEW},
                 {SPL_HABIT_TREE, 5, SPL_STAND_FREE},
                 {SPL_HABIT_SHRUB, 5, SPL_STAND_FREE},
                 {SPL_HABIT_PERENNIAL, 19, SPL_STAND_FEW},
                 {SPL_HABIT_PERENNIAL, 20, SPL_STAND_FREE}};

    leaf.plant = &plant;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        struct spl_stand_allowance a;

        plant.habit = cases[i].habit;
        stand.plants = cases[i].plants;
        spl_stand_allowance(&stand, &leaf, NULL, 2026, &a);
        assert_int_equal(a.refusal, cases[i].refusal);
        spl_stand_allowance_clear(&a);
    }
}

/* Who sowed it may cut it all, and dig the same bed every year. */
static void a_bed_may_give_all_and_rests_only_when_told(void **state)
{
    const struct fixture *f = *state;
    struct spl_material root = *f->root;
    struct spl_stand bed = spl_stand_unknown();
    struct spl_stand_taking dug = {&root, 40, 2025, 0, 0};
    g_autoptr(GArray) takings = g_array_new(FALSE, FALSE, sizeof dug);
    struct spl_stand_allowance a;

    root.return_years = (struct spl_figure){5, 5, 5, "test", FALSE};
    g_array_append_val(takings, dug);
    bed.plants = 12;
    bed.share_frac = 1;
    spl_stand_allowance(&bed, f->leaf, NULL, 2026, &a);
    assert_int_equal(a.refusal, SPL_STAND_FREE);
    assert_null(a.reason);
    expect_near(a.left_g, 12 * spl_stand_plant_g(f->leaf), 1e-9, "g");
    spl_stand_allowance_clear(&a);
    spl_stand_allowance(&bed, &root, takings, 2026, &a);
    assert_int_equal(a.refusal, SPL_STAND_FREE);
    assert_true(a.left_g > 0);
    spl_stand_allowance_clear(&a);
    bed.rest_until = 2027;
    spl_stand_allowance(&bed, f->leaf, NULL, 2026, &a);
    assert_int_equal(a.refusal, SPL_STAND_RESTS);
    spl_stand_allowance_clear(&a);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_bed_may_give_all_and_rests_only_when_told, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_dug_stand_rests_until_the_roots_are_back, set_up, tear_down),
    cmocka_unit_test_setup_teardown(five_trees_are_a_stand, set_up, tear_down),
    cmocka_unit_test_setup_teardown(one_root_of_twenty_may_be_dug_and_none_of_nineteen, set_up,
                                    tear_down),
    cmocka_unit_test_setup_teardown(under_a_hundred_plants_it_cautions, set_up, tear_down),
    cmocka_unit_test_setup_teardown(the_parts_share_one_allowance, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_stand_overdrawn_gives_nothing_more, set_up, tear_down),
    cmocka_unit_test_setup_teardown(dug_plants_never_count_again, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_resting_stand_gives_nothing_until_its_year, set_up,
                                    tear_down),
    cmocka_unit_test_setup_teardown(a_stand_that_nobody_counted_says_so, set_up, tear_down),
};
expect_main(tests)
