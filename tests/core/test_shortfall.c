/* SPDX-License-Identifier: MIT
 *
 * Needs against stands: figures worked out by hand, cause and cure in words.
 */
#include "core/shortfall.h"
#include "expect.h"

struct season {
    GArray *materials, *sources, *needs;
};

static struct spl_day day(int month, int dom)
{
    return spl_day_from_ymd(2027, month, dom);
}

static int set_up(void **state)
{
    struct season *s = g_new0(struct season, 1);
    struct spl_shortfall_material flower = {"fellwort/flower", 0, 6};
    struct spl_shortfall_material leaf = {"fellwort/leaf", 0, 5};

    s->materials = g_array_new(FALSE, FALSE, sizeof flower);
    s->sources = g_array_new(FALSE, FALSE, sizeof(struct spl_shortfall_source));
    s->needs = g_array_new(FALSE, FALSE, sizeof(struct spl_shortfall_need));
    g_array_append_val(s->materials, flower);
    g_array_append_val(s->materials, leaf);
    *state = s;
    return 0;
}

static int tear_down(void **state)
{
    struct season *s = *state;

    g_array_unref(s->materials);
    g_array_unref(s->sources);
    g_array_unref(s->needs);
    g_free(s);
    return 0;
}

static void source(struct season *s, int material, const char *site, int stand, double grams,
                   enum spl_supply_state state)
{
    struct spl_shortfall_source record = {material, site,  stand,     grams,
                                          FALSE,    state, day(5, 1), day(5, 20)};

    g_array_append_val(s->sources, record);
}

static void need(struct season *s, int material, double grams, struct spl_day by)
{
    struct spl_shortfall_need record = {material, grams, by, "winter tincture"};

    g_array_append_val(s->needs, record);
}

static const struct spl_shortfall *at(const GArray *list, guint i)
{
    return &g_array_index(list, struct spl_shortfall, i);
}

static void what_the_stands_can_spare_is_not_short(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    source(s, 0, "Withy Gill", -1, 400, SPL_SUPPLY_OPEN);
    source(s, 0, "Low Croft", -1, 300, SPL_SUPPLY_ASK);
    need(s, 0, 650, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_ok(error);
    assert_int_equal(list->len, 1);
    expect_near(at(list, 0)->short_g, 0, 0, "g");
    expect_near(at(list, 0)->allowance_g, 700, 1e-9, "g");
    assert_int_equal(at(list, 0)->sites->len, 2);
    assert_null(at(list, 0)->cause);
    assert_int_equal(at(list, 0)->earliest.n, day(5, 1).n);
}

static void the_shelf_is_taken_off_first(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    g_array_index(s->materials, struct spl_shortfall_material, 0).stock_g = 250;
    source(s, 0, "Withy Gill", -1, 400, SPL_SUPPLY_OPEN);
    need(s, 0, 800, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_near(at(list, 0)->stock_g, 250, 1e-9, "g");
    expect_near(at(list, 0)->short_g, 150, 1e-6, "g");
    /* 150 g fresh at 6:1 are 25 g dried. */
    assert_non_null(strstr(at(list, 0)->cure, "25 g dried"));
    assert_non_null(strstr(at(list, 0)->cause, "400 g"));
}

static void parts_of_one_plant_are_split_so_that_least_is_short(void **state)
{
    /* Both parts only from shared ground: 300 g of flowers or 500 g of leaves or between. Flowers
     * 150 g use half; the leaves then have 250 g, of 400 wanted: 150 short. By hand: a flower gram
     * costs 1/300 and is worth 1/150, a leaf gram costs 1/500 and is worth 1/400, so per stand
     * flowers bring 2 and leaves 1.25: flowers first. */
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    source(s, 0, "Withy Gill", 0, 300, SPL_SUPPLY_OPEN);
    source(s, 1, "Withy Gill", 0, 500, SPL_SUPPLY_OPEN);
    need(s, 0, 150, SPL_DAY_NONE);
    need(s, 1, 400, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_near(at(list, 0)->short_g, 0, 0, "g");
    expect_near(at(list, 1)->short_g, 150, 1e-6, "g");
    assert_non_null(strstr(at(list, 1)->cause, "fellwort/flower from the same plants"));
}

static void a_split_that_covers_both_is_found(void **state)
{
    /* Flowers also grow elsewhere: taking them there leaves the shared stand to the leaves. */
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    source(s, 0, "Withy Gill", 0, 300, SPL_SUPPLY_OPEN);
    source(s, 1, "Withy Gill", 0, 500, SPL_SUPPLY_OPEN);
    source(s, 0, "Low Croft", -1, 150, SPL_SUPPLY_OPEN);
    need(s, 0, 150, SPL_DAY_NONE);
    need(s, 1, 500, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_near(at(list, 0)->short_g, 0, 0, "g");
    expect_near(at(list, 1)->short_g, 0, 0, "g");
}

static void causes_are_named_with_their_cures(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    source(s, 0, "Withy Gill", -1, 400, SPL_SUPPLY_CLOSED);
    source(s, 0, "Low Croft", -1, 300, SPL_SUPPLY_RESTS);
    source(s, 0, "Long Moss", -1, 0, SPL_SUPPLY_UNSIZED);
    need(s, 0, 100, SPL_DAY_NONE);
    need(s, 1, 100, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    assert_non_null(strstr(at(list, 0)->cause, "1 site is closed"));
    assert_non_null(strstr(at(list, 0)->cause, "1 stand rests"));
    assert_non_null(strstr(at(list, 0)->cure, "count the stand at Long Moss"));
    assert_non_null(strstr(at(list, 1)->cause, "no site bears it"));
}

static void a_day_too_early_is_seen(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    source(s, 0, "Withy Gill", -1, 400, SPL_SUPPLY_OPEN);
    need(s, 0, 100, day(4, 20));
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_near(at(list, 0)->short_g, 100, 1e-9, "g");
    assert_non_null(strstr(at(list, 0)->cause, "too early"));
    assert_non_null(strstr(at(list, 0)->cure, "1 May 2027"));
}

static void the_shelf_serves_the_earliest_day_first(void **state)
{
    /* 250 g on the shelf: all 200 g wanted by 1 April, 50 of the 300 g wanted by June. The stand
     * opens on 1 May and has 200 g for the rest: 50 g short. */
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    g_array_index(s->materials, struct spl_shortfall_material, 0).stock_g = 250;
    source(s, 0, "Withy Gill", -1, 200, SPL_SUPPLY_OPEN);
    need(s, 0, 300, day(6, 1));
    need(s, 0, 200, day(4, 1));
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_ok(error);
    expect_near(at(list, 0)->need_g, 500, 1e-9, "g");
    expect_near(at(list, 0)->stock_g, 250, 1e-9, "g");
    expect_near(at(list, 0)->short_g, 50, 1e-6, "g");
    assert_null(strstr(at(list, 0)->cause, "too early"));
}

static void a_full_shelf_leaves_nothing_to_gather(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    g_array_index(s->materials, struct spl_shortfall_material, 0).stock_g = 900;
    need(s, 0, 300, day(6, 1));
    need(s, 0, 200, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_near(at(list, 0)->stock_g, 500, 1e-9, "g");
    expect_near(at(list, 0)->short_g, 0, 0, "g");
}

static void a_cure_without_a_dry_weight_is_to_buy_fresh(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    g_array_index(s->materials, struct spl_shortfall_material, 0).fresh_per_dry = NAN;
    source(s, 0, "Withy Gill", -1, 100, SPL_SUPPLY_OPEN);
    source(s, 0, "Low Croft", -1, 50, SPL_SUPPLY_OPEN);
    g_array_index(s->sources, struct spl_shortfall_source, 1).latest = day(6, 9);
    need(s, 0, 400, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    expect_near(at(list, 0)->short_g, 250, 1e-6, "g");
    assert_int_equal(at(list, 0)->latest.n, day(6, 9).n);
    /* 150 of 400 g: 37.5 %, rounded down. */
    assert_non_null(strstr(at(list, 0)->cure, "make 37 % of the batch"));
    assert_non_null(strstr(at(list, 0)->cure, "buy 250 g fresh"));
}

static void several_hindrances_are_counted(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) list = NULL;

    source(s, 0, "Withy Gill", -1, 400, SPL_SUPPLY_CLOSED);
    source(s, 0, "Low Croft", -1, 300, SPL_SUPPLY_CLOSED);
    need(s, 0, 100, SPL_DAY_NONE);
    list = spl_shortfall_reckon(s->materials, s->sources, s->needs, &error);
    assert_non_null(strstr(at(list, 0)->cause, "no stand gives any"));
    assert_non_null(strstr(at(list, 0)->cause, "2 sites are closed"));
}

static void impossible_figures_are_refused(void **state)
{
    struct season *s = *state;
    g_autoptr(GError) error = NULL;

    need(s, 0, -5, SPL_DAY_NONE);
    assert_null(spl_shortfall_reckon(s->materials, s->sources, s->needs, &error));
    expect_error(error, SPL_ERROR_INVALID, "winter tincture");
    g_array_index(s->needs, struct spl_shortfall_need, 0).fresh_g = 5;
    source(s, 0, "Withy Gill", -1, NAN, SPL_SUPPLY_OPEN);
    assert_null(spl_shortfall_reckon(s->materials, s->sources, s->needs, &error));
    expect_error(error, SPL_ERROR_INVALID, "Withy Gill");
    g_array_index(s->sources, struct spl_shortfall_source, 0).allowance_g = -1;
    assert_null(spl_shortfall_reckon(s->materials, s->sources, s->needs, &error));
    expect_error(error, SPL_ERROR_INVALID, "may give -1 g");
    g_array_index(s->sources, struct spl_shortfall_source, 0).allowance_g = 1;
    for (int material = -1; material <= 2; material += 3) {
        g_array_index(s->sources, struct spl_shortfall_source, 0).material = material;
        assert_null(spl_shortfall_reckon(s->materials, s->sources, s->needs, &error));
        expect_error(error, SPL_ERROR_INVALID, "of a known material");
    }
    g_array_index(s->sources, struct spl_shortfall_source, 0).material = 0;
    for (int material = -1; material <= 2; material += 3) {
        g_array_index(s->needs, struct spl_shortfall_need, 0).material = material;
        assert_null(spl_shortfall_reckon(s->materials, s->sources, s->needs, &error));
        expect_error(error, SPL_ERROR_INVALID, "of a known material");
    }
    g_array_index(s->needs, struct spl_shortfall_need, 0).material = 0;
    g_array_index(s->needs, struct spl_shortfall_need, 0).fresh_g = INFINITY;
    g_array_index(s->needs, struct spl_shortfall_need, 0).what_for = NULL;
    assert_null(spl_shortfall_reckon(s->materials, s->sources, s->needs, &error));
    expect_error(error, SPL_ERROR_INVALID, "a batch needs inf g");
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
static const struct CMUnitTest tests[] = {
    TEST(what_the_stands_can_spare_is_not_short),
    TEST(the_shelf_is_taken_off_first),
    TEST(parts_of_one_plant_are_split_so_that_least_is_short),
    TEST(a_split_that_covers_both_is_found),
    TEST(causes_are_named_with_their_cures),
    TEST(a_day_too_early_is_seen),
    TEST(the_shelf_serves_the_earliest_day_first),
    TEST(a_full_shelf_leaves_nothing_to_gather),
    TEST(a_cure_without_a_dry_weight_is_to_buy_fresh),
    TEST(several_hindrances_are_counted),
    TEST(impossible_figures_are_refused),
};
expect_main(tests)
