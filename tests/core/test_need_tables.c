/* SPDX-License-Identifier: MIT
 *
 * An ask filled from the data tables: whose figures are taken, and where their sources go.
 */
#include "expect.h"

#include "core/need.h"
#include "core/tables_build.h"

struct small {
    spl_tables *tables;
    const struct spl_material *leaf, *root;
    const struct spl_preparation *tincture;
    struct spl_press screw;
};

static struct small small_tables(void)
{
    struct small s = {.tables = spl_tables_new()};
    const struct spl_figure none = spl_figure_none();
    struct spl_plant plant = {.slug = "burdock",
                              .common = "burdock",
                              .latin = "Arctium lappa",
                              .deadly_lookalike = TRUE,
                              .lookalikes = "deadly nightshade root",
                              .cautions = "daisy-family allergy",
                              .contraindications = "oedema",
                              .names = spl_tables_names(s.tables, "")};
    struct spl_material material = {.part = SPL_PART_LEAF,
                                    .spoken = "burdock leaf",
                                    .names = spl_tables_names(s.tables, ""),
                                    .moisture_frac = SPL_FIGURE_RANGE(0.8, 0.7, 0.9, "memory"),
                                    .trim_frac = none,
                                    .bulk_g_per_ml = spl_figure_of(0.2, "USDA"),
                                    .volume_ml_per_g = none,
                                    .piece_g = none,
                                    .picking_g_per_h = none,
                                    .share_frac = none,
                                    .fresh_per_dry = spl_figure_of(5.0, "leaf table"),
                                    .stages = none};
    struct spl_preparation preparation = {.slug = "tincture",
                                          .name = "tincture",
                                          .liquid = SPL_LIQUID_SPIRIT,
                                          .takes_fresh = TRUE,
                                          .takes_dried = TRUE,
                                          .ratio_fresh_ml_per_g = spl_figure_of(2.0, "general"),
                                          .ratio_dry_ml_per_g = spl_figure_of(5.0, "general"),
                                          .strength_frac =
                                              SPL_FIGURE_RANGE(0.6, 0.4, 0.96, "general"),
                                          .fill_frac = none,
                                          .headspace_frac = none,
                                          .poured_floor_frac = none,
                                          .final_floor_frac = none,
                                          .final_caution_frac = none,
                                          .honey_ml_per_ml = none,
                                          .sugar_g_per_ml = none};
    struct spl_making making = {.ratio_fresh_ml_per_g = spl_figure_of(5.0, "own"),
                                .ratio_dry_ml_per_g = none,
                                .strength_frac = spl_figure_of(0.4, "own"),
                                .fill_frac = none};
    GError *error = NULL;

    material.plant = spl_tables_put_plant(s.tables, &plant);
    s.leaf = spl_tables_put_material(s.tables, &material);
    material.part = SPL_PART_ROOT;
    material.spoken = "burdock root";
    s.root = spl_tables_put_material(s.tables, &material);
    s.tincture = spl_tables_put_preparation(s.tables, &preparation);
    making.material = s.leaf;
    making.preparation = s.tincture;
    spl_tables_put_making(s.tables, &making);
    s.screw =
        (struct spl_press){.slug = "screw",
                           .retained_fresh_ml_per_g = SPL_FIGURE_RANGE(0.5, 0.4, 0.6, "memory"),
                           .retained_dry_ml_per_g = spl_figure_of(1.0, "memory")};
    assert_true(spl_tables_finish(s.tables, &error));
    return s;
}

static void the_materials_own_making_comes_before_the_preparations(void **state)
{
    struct small s = small_tables();
    g_autoptr(spl_tables) tables = s.tables;
    struct spl_need_ask ask;

    (void)state;
    spl_need_ask_from_tables(&ask, tables, s.leaf, s.tincture, &s.screw, FALSE);
    expect_near(ask.ratio.value, 5.0, 0.0, "");
    assert_string_equal(ask.ratio.source, "own");
    expect_near(ask.strength_frac.value, 0.4, 0.0, "");
    expect_near(ask.kept_ml_per_g.value, 0.5, 0.0, "");
    expect_near(ask.moisture_frac.low, 0.7, 0.0, "");
    assert_string_equal(ask.material, "burdock/leaf");
    spl_need_ask_from_tables(&ask, tables, s.root, s.tincture, NULL, FALSE);
    expect_near(ask.ratio.value, 2.0, 0.0, "");
    expect_near(ask.strength_frac.value, 0.6, 0.0, "");
    expect_near(ask.kept_ml_per_g.value, 1.25, 0.0, "");
}

static void dried_herb_has_its_own_ratio_water_and_bulk(void **state)
{
    static const struct spl_vessel jar = {500.0, 520.0, 1, "jars"};
    struct small s = small_tables();
    g_autoptr(spl_tables) tables = s.tables;
    struct spl_need_ask ask;
    struct spl_need_result result;
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_need_ask_from_tables(&ask, tables, s.leaf, s.tincture, &s.screw, TRUE);
    expect_near(ask.ratio.value, 5.0, 0.0, "");
    assert_string_equal(ask.ratio.source, "general");
    expect_near(ask.moisture_frac.value, 0.10, 0.0, "");
    expect_near(ask.kept_ml_per_g.value, 1.0, 0.0, "");
    ask.jars = &jar;
    ask.n_jars = 1;
    assert_true(spl_need(&ask, &result, &error));
    /* By hand: v = 0.1 / 0.9982 + 0.9 / 1.45 = 0.7209; 520 / 5.7209 = 90.89 g dry, 454.5 g fresh.
     */
    expect_near(result.herb_g, 90.89, 0.02, "g");
    expect_near(result.gross_g, 454.5, 0.1, "g");
    expect_near(result.ratio_dry, 5.0, 1e-9, "");
    spl_record_clear(&spl_need_result_shape, &result);
}

static void the_plants_dangers_come_with_the_answer(void **state)
{
    struct small s = small_tables();
    g_autoptr(spl_tables) tables = s.tables;
    struct spl_need_ask ask;
    struct spl_need_result result;
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_need_ask_from_tables(&ask, tables, s.root, s.tincture, NULL, FALSE);
    ask.herb_g = 100.0;
    assert_true(spl_need(&ask, &result, &error));
    spl_need_add_plant(&result, s.root);
    assert_int_equal(result.cautions->len, 4);
    assert_string_equal(g_ptr_array_index(result.cautions, 0),
                        "DEADLY LOOK-ALIKE: deadly nightshade root");
    assert_string_equal(g_ptr_array_index(result.cautions, 2), "not for: oedema");
    assert_string_equal(g_ptr_array_index(result.cautions, 3), "daisy-family allergy");
    spl_record_clear(&spl_need_result_shape, &result);
}

/* The strength that is published of a dried drug is what fresh herb is to end at. By hand, with the
 * densities of the alcohol tables at 20 degrees (OIML R 22: 0.90200 g/mL at 62.4 % vol, 0.93957 at
 * 45 %): a gram of leaf with 0.8 g of water under 2 mL of 62.4 % makes 2.604 g; its ethanol, 1.248
 * mL, is 45 % of 2.773 mL, which weigh 2.606 g. */
static void fresh_herb_ends_where_the_dried_drug_is_published(void **state)
{
    static const double own[] = {0.40, 0.96};
    struct small s = small_tables();
    g_autoptr(spl_tables) tables = s.tables;
    struct spl_making monograph = {.material = s.root,
                                   .preparation = s.tincture,
                                   .drug_state = SPL_STATE_DRIED,
                                   .ratio_fresh_ml_per_g = spl_figure_none(),
                                   .ratio_dry_ml_per_g = spl_figure_none(),
                                   .strength_frac = spl_figure_of(0.45, "monograph"),
                                   .fill_frac = spl_figure_none()};
    struct spl_need_ask ask;
    struct spl_need_result result;
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_tables_put_making(tables, &monograph);
    /* Dried herb gets it as it is. */
    spl_need_ask_from_tables(&ask, tables, s.root, s.tincture, NULL, TRUE);
    expect_near(ask.strength_frac.value, 0.45, 0.0, "");
    assert_false(ask.aim);
    spl_need_ask_from_tables(&ask, tables, s.root, s.tincture, NULL, FALSE);
    ask.herb_g = 100.0;
    ask.spirits_frac = own;
    ask.n_spirits = G_N_ELEMENTS(own);
    assert_true(spl_need(&ask, &result, &error));
    expect_near(result.menstruum_pct, 62.4, 0.15, "% vol");
    expect_near(result.final_abv, 45.0, 0.01, "% vol");
    expect_near(result.published_abv, 45.0, 1e-9, "% vol");
    assert_int_equal(result.spirits->len, 2);
    /* 2 mL of 40 % (d 0.94805, 0.6314 g ethanol) and 0.8 g water: 2.6961 g with 23.42 % by mass,
     * 28.7 % vol. */
    const struct spl_need_spirit *weak = &g_array_index(result.spirits, struct spl_need_spirit, 0);
    expect_near(weak->final_abv, 28.7, 0.2, "% vol");
    expect_near(weak->water_ml, 0.0, 0.0, "mL");
    /* 200 mL x 62.4 / 96 = 130.0 mL. */
    const struct spl_need_spirit *strong =
        &g_array_index(result.spirits, struct spl_need_spirit, 1);
    expect_near(strong->spirit_ml, 130.0, 0.5, "mL");
    expect_near(strong->final_abv, 45.0, 0.05, "% vol");
    spl_record_clear(&spl_need_result_shape, &result);
    /* Out of reach of a shelf with 40 % alone: said, not refused. */
    ask.n_spirits = 1;
    assert_true(spl_need(&ask, &result, &error));
    expect_near(result.menstruum_pct, 40.0, 1e-9, "% vol");
    expect_near(result.final_abv, 28.7, 0.2, "% vol");
    assert_non_null(strstr(g_ptr_array_index(result.warnings, 0), "not reached"));
    assert_non_null(strstr(g_ptr_array_index(result.warnings, 0), "monograph"));
    spl_record_clear(&spl_need_result_shape, &result);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(fresh_herb_ends_where_the_dried_drug_is_published),
    cmocka_unit_test(the_materials_own_making_comes_before_the_preparations),
    cmocka_unit_test(dried_herb_has_its_own_ratio_water_and_bulk),
    cmocka_unit_test(the_plants_dangers_come_with_the_answer),
};
expect_main(tests)
