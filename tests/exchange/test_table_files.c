/* SPDX-License-Identifier: MIT
 *
 * The data tables as they are shipped: every row loads, and says what the trade and the rules say.
 */
#include "sheet.h"

#include "exchange/csv.h"
#include "exchange/table_files.h"

#define DATA SPL_SOURCE_DIR "/data"

static spl_tables *load(void)
{
    g_autoptr(GError) error = NULL;
    spl_tables *tables = spl_tables_load(DATA, NULL, &error);

    if (tables == NULL)
        fail_msg("%s", error->message);
    return tables;
}

static char *read_file(const char *name)
{
    g_autofree char *path = g_build_filename(DATA, name, NULL);
    char *text = NULL;

    assert_true(g_file_get_contents(path, &text, NULL, NULL));
    return text;
}

static const struct spl_material *material_of(const spl_tables *tables, const char *name)
{
    g_autoptr(GError) error = NULL;
    const struct spl_material *material = NULL;

    if (!spl_tables_material(tables, name, &material, &error))
        fail_msg("%s", error->message);
    return material;
}

static const struct spl_preparation *preparation_of(const spl_tables *tables, const char *name)
{
    g_autoptr(GError) error = NULL;
    const struct spl_preparation *preparation = NULL;

    if (!spl_tables_preparation(tables, name, &preparation, &error))
        fail_msg("%s", error->message);
    return preparation;
}

/* ---- what is shipped ----------------------------------------------------------------------- */

static guint data_rows(const char *name)
{
    g_autofree char *text = read_file(name);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    guint rows = 0;

    /* No cell of ours holds a line break, so lines are rows. */
    for (guint i = 1; lines[i] != NULL; i++)
        rows += lines[i][0] != '\0';
    return rows;
}

static void every_row_of_every_table_loads(void **state)
{
    g_autoptr(spl_tables) tables = load();

    (void)state;
    assert_int_equal(spl_tables_plants(tables)->len, data_rows("plants.csv"));
    assert_int_equal(spl_tables_materials(tables)->len, data_rows("materials.csv"));
    assert_int_equal(spl_tables_preparations(tables)->len, data_rows("preparations.csv"));
    assert_int_equal(spl_tables_makings(tables)->len, data_rows("makings.csv"));
    assert_int_equal(spl_tables_step_rules(tables)->len, data_rows("steps.csv"));
    assert_int_equal(spl_tables_keepings(tables)->len, data_rows("keeping.csv"));
    assert_int_equal(spl_tables_jars(tables)->len, data_rows("jars.csv"));
    assert_int_equal(spl_tables_presses(tables)->len, data_rows("presses.csv"));
    assert_int_equal(spl_tables_methods(tables)->len, data_rows("hazards.csv"));
    assert_int_equal(spl_tables_protections(tables)->len, data_rows("protected.csv"));
}

static void the_tables_are_as_wide_as_they_were_promised(void **state)
{
    g_autoptr(spl_tables) tables = load();
    static const char *const preparations[] = {"tincture",  "vinegar", "infused oil", "dried herb",
                                               "glycerite", "oxymel",  "syrup"};
    g_autoptr(GHashTable) countries = g_hash_table_new(g_str_hash, g_str_equal);
    GPtrArray *rules = spl_tables_protections(tables);

    (void)state;
    assert_true(spl_tables_plants(tables)->len >= 24);
    assert_true(spl_tables_materials(tables)->len >= 45);
    for (gsize i = 0; i < G_N_ELEMENTS(preparations); i++)
        preparation_of(tables, preparations[i]);
    for (guint i = 0; i < rules->len; i++) {
        const struct spl_protected *rule = g_ptr_array_index(rules, i);
        g_autofree char *country = g_strndup(rule->country, 2);
        g_hash_table_add(countries, (gpointer)g_intern_string(country));
    }
    assert_true(g_hash_table_size(countries) >= 4);
}

static void every_material_has_what_a_reckoning_needs(void **state)
{
    g_autoptr(spl_tables) tables = load();
    GPtrArray *materials = spl_tables_materials(tables);

    (void)state;
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(materials, i);
        const struct spl_figure figures[] = {row->moisture_frac, row->trim_frac,
                                             row->bulk_g_per_ml, row->picking_g_per_h,
                                             row->share_frac,    row->fresh_per_dry};
        /* Sap is all water and is not dried: it has no last one. */
        for (gsize j = 0; j < G_N_ELEMENTS(figures) - (row->part == SPL_PART_SAP); j++) {
            if (!spl_figure_is_set(figures[j]) || figures[j].source == NULL ||
                figures[j].source[0] == '\0')
                fail_msg("%s lacks figure %zu or its source", row->slug, j);
            assert_true(figures[j].low <= figures[j].value && figures[j].value <= figures[j].high);
        }
        assert_true(spl_stage_is_valid(row->stage_from) && spl_stage_is_valid(row->stage_to));
        assert_string_not_equal(row->spoken, "");
        /* Drying takes water away: fresh:dry with 10 % left in, from the moisture's own range. */
        double driest = 0.9 / (1 - row->moisture_frac.low) * 0.7;
        double wettest = 0.9 / (1 - row->moisture_frac.high) * 1.3;
        if (row->part != SPL_PART_SAP &&
            !(row->fresh_per_dry.value >= driest && row->fresh_per_dry.value <= wettest))
            fail_msg("%s: fresh:dry %g does not fit its moisture (%g to %g)", row->slug,
                     row->fresh_per_dry.value, driest, wettest);
        /* Published limits, conservative reading: nothing dug or barked over 1 in 20. */
        if ((spl_part_is_dug(row->part) || row->part == SPL_PART_BARK ||
             row->part == SPL_PART_SAP) &&
            row->share_frac.value > 0.05 + 1e-9)
            fail_msg("%s: share %g", row->slug, row->share_frac.value);
    }
}

static void the_methods_alone_are_those_of_all_tables(void **state)
{
    g_autoptr(spl_tables) all = load();
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_tables) few = spl_tables_load_methods(DATA, NULL, &error);
    const GPtrArray *rows = spl_tables_methods(all);

    (void)state;
    expect_ok(error);
    assert_true(rows->len > 10);
    assert_int_equal(spl_tables_methods(few)->len, rows->len);
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_method *row = g_ptr_array_index(rows, i);
        const struct spl_method *same = spl_tables_method_by_slug(few, row->slug);

        assert_non_null(same);
        assert_true(same->closed_m == row->closed_m && same->ask_m == row->ask_m);
        assert_int_equal(same->hold_on_days, row->hold_on_days);
        assert_string_equal(same->source, row->source);
    }
    assert_null(spl_tables_material_by_slug(few, "nettle/leaf"));
}

/* The warning of a reckoning rests on it. */
static void figures_from_memory_are_marked(void **state)
{
    g_autoptr(spl_tables) tables = load();
    guint marked = 0, all = 0;

    (void)state;
    for (guint i = 0; i < spl_tables_materials(tables)->len; i++) {
        const struct spl_material *row = g_ptr_array_index(spl_tables_materials(tables), i);
        const struct spl_figure *figures[] = {&row->moisture_frac, &row->trim_frac,
                                              &row->bulk_g_per_ml, &row->picking_g_per_h,
                                              &row->fresh_per_dry};

        for (gsize k = 0; k < G_N_ELEMENTS(figures); k++) {
            if (!spl_figure_is_set(*figures[k]))
                continue;
            all++;
            marked += figures[k]->from_memory ? 1 : 0;
            assert_int_equal(figures[k]->from_memory,
                             strstr(figures[k]->source, "no source: general") != NULL);
        }
    }
    assert_true(marked > 50 && marked < all);
}

static void every_slug_and_spoken_form_leads_to_its_own_row(void **state)
{
    g_autoptr(spl_tables) tables = load();
    GPtrArray *materials = spl_tables_materials(tables);

    (void)state;
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(materials, i);

        assert_ptr_equal(material_of(tables, row->slug), row);
        assert_ptr_equal(material_of(tables, row->spoken), row);
        for (gsize j = 0; row->names[j] != NULL; j++)
            assert_ptr_equal(material_of(tables, row->names[j]), row);
        if (row->pharmacy[0] != '\0')
            assert_ptr_equal(material_of(tables, row->pharmacy), row);
    }
}

static void the_common_spoken_forms_are_understood(void **state)
{
    static const char *const forms[][2] = {
        {"elderflower", "elder/flower"}, {"haws", "hawthorn/fruit"},
        {"hips", "dog-rose/fruit"},      {"nettle tops", "nettle/tops"},
        {"Nettle leaf", "nettle/leaf"},  {"hawthorn/berry", "hawthorn/fruit"},
        {"rosehips", "dog-rose/fruit"},  {"linden flower", "lime/flower"},
        {"burdock", "burdock/root"},     {"Taraxacum officinale leaf", "dandelion/leaf"},
        {"wild garlic", "ramsons/leaf"}, {"St John's wort", "st-johns-wort/tops"},
    };
    g_autoptr(spl_tables) tables = load();

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(forms); i++)
        assert_string_equal(material_of(tables, forms[i][0])->slug, forms[i][1]);
}

/* Sources: see the column of tests/data/hazard_methods.csv. */
static void hazard_distances_are_the_documented_ones(void **state)
{
    g_autoptr(spl_tables) tables = load();
    g_autoptr(spl_sheet) sheet = sheet_open("hazard_methods.csv");

    (void)state;
    for (guint i = 0; i < sheet_rows(sheet); i++) {
        const struct spl_method *method =
            spl_tables_method_by_slug(tables, sheet_text(sheet, i, "method"));
        assert_non_null(method);
        expect_near(method->closed_m, sheet_number(sheet, i, "closed_m"), 0, "m");
        expect_near(method->ask_m, sheet_number(sheet, i, "ask_m"), 0, "m");
        assert_int_equal(method->lasting,
                         strcmp(sheet_text(sheet, i, "lasting"), "yes") == 0 ? TRUE : FALSE);
        /* 7 CFR 205.207(a): three years; a year beside it is our own rule. */
        assert_int_equal(method->hold_on_days, method->lasting ? 0 : 1095);
        assert_int_equal(method->hold_near_days, method->lasting ? 0 : 365);
    }
    const struct spl_method *water = spl_tables_method_by_slug(tables, "grazed-water");
    assert_true(water->water_only && water->lasting);
}

static const struct spl_step_rule *step_of(const spl_tables *tables, const char *preparation,
                                           const char *material, gboolean dried, enum spl_step step)
{
    g_autoptr(GPtrArray) steps = spl_tables_steps(tables, preparation_of(tables, preparation),
                                                  material_of(tables, material), dried);

    for (guint i = 0; i < steps->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(steps, i);
        if (rule->step == step)
            return rule;
    }
    fail_msg("%s of %s has no step %d", preparation, material, (int)step);
    return NULL;
}

/* Shares and years of rest by habit and part. Of trees and of what is dug or peeled one in twenty
 * (Wagner, Oregon Flora On-Line Newsletter 1(3) 1995); of the others a tenth (canton of Lucerne). A
 * root is not back two years after (Van der Voort 2003); bark, tips and the longer years are common
 * practice, no source. */
static void what_comes_back_slowly_rests_and_gives_less(void **state)
{
    g_autoptr(spl_tables) tables = load();
    GPtrArray *materials = spl_tables_materials(tables);

    (void)state;
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(materials, i);
        gboolean dug = spl_part_is_dug(row->part), tree = row->plant->habit == SPL_HABIT_TREE;
        gboolean grown = strcmp(row->plant->slug, "calendula") == 0;
        double most = dug || (tree && row->part != SPL_PART_FRUIT) ? 0.05 : grown ? 1 : 0.1;

        if (row->share_frac.value > most + 1e-9)
            fail_msg("%s: share %g", row->slug, row->share_frac.value);
        if ((dug || row->part == SPL_PART_BARK) &&
            !(row->return_years.value >= (row->plant->habit == SPL_HABIT_BIENNIAL ? 2 : 5)))
            fail_msg("%s: again after %g years", row->slug, row->return_years.value);
    }
    expect_near(material_of(tables, "gentian root")->return_years.value, 15, 0, "years");
    expect_near(material_of(tables, "spruce tips")->return_years.value, 3, 0, "years");
}

/* The dandelion's root of spring, and the root with its herb, are apart from the root of autumn and
 * dry further (Annales Horticulturae, Lublin: by 2.2 and 2.0); what holds of roots holds of all
 * that is dug: they keep and are left standing as roots are. */
static void roots_of_spring_and_of_autumn_are_apart(void **state)
{
    g_autoptr(spl_tables) tables = load();
    const struct spl_material *autumn = material_of(tables, "dandelion root");
    const struct spl_material *spring = material_of(tables, "dandelion spring root");
    const struct spl_material *whole = material_of(tables, "dandelion root with herb");
    const struct spl_material *sap = material_of(tables, "birch sap");
    const struct spl_preparation *dried = preparation_of(tables, "dried-herb");

    (void)state;
    assert_string_equal(autumn->slug, "dandelion/root");
    assert_string_equal(spring->slug, "dandelion/spring-root");
    assert_string_equal(whole->slug, "dandelion/root-with-herb");
    expect_near(spring->fresh_per_dry.value - autumn->fresh_per_dry.value, 2.2, 1e-9, "");
    assert_true(whole->fresh_per_dry.value > spring->fresh_per_dry.value);
    assert_true(spring->stage_to < whole->stage_to && autumn->stage_from > 90);
    assert_true(spl_part_is_dug(spring->part) && spl_part_is_dug(whole->part));
    assert_false(spl_part_is_dug(sap->part));
    expect_near(spl_tables_keeping(tables, NULL, dried, whole->part, TRUE)->pressed_days.value, 730,
                0, "d");
    expect_near(whole->return_years.value, 5, 0, "years");
    assert_false(spl_figure_is_set(sap->fresh_per_dry));
}

/* Common practice, no source. */
static void the_facts_of_the_trade_stand_in_the_tables(void **state)
{
    g_autoptr(spl_tables) tables = load();
    const struct spl_preparation *tincture = preparation_of(tables, "tincture");
    const struct spl_preparation *vinegar = preparation_of(tables, "vinegar");
    const struct spl_material *heads = material_of(tables, "dandelion flower");
    const struct spl_step_rule *rule = NULL;

    (void)state;
    /* A 500 mL jar holds 520 mL to the brim. */
    expect_near(spl_tables_jar(tables, 500)->brimful_ml, 520, 0, "mL");
    /* A tincture of fresh flowers is 1:5 in 40 % spirit, filled to the brim. */
    struct spl_making making = spl_tables_making(tables, heads, tincture, FALSE);
    expect_near(making.ratio_fresh_ml_per_g.value, 5, 0, "mL/g");
    expect_near(making.strength_frac.value, 0.40, 1e-12, "vol");
    expect_near(tincture->headspace_frac.value, 0, 0, "");
    expect_near(heads->moisture_frac.value, 0.85, 1e-12, "");
    /* It is topped up after 24 hours and stands at least 6 weeks. */
    rule = step_of(tables, "tincture", "dandelion/flower", FALSE, SPL_STEP_TOP_UP);
    assert_int_equal(rule->usual_days, 1);
    assert_true(rule->alarm);
    rule = step_of(tables, "tincture", "dandelion/flower", FALSE, SPL_STEP_READY);
    assert_int_equal(rule->earliest_days, 42);
    assert_int_equal(rule->usual_days, 42);
    rule = step_of(tables, "tincture", "dandelion/flower", FALSE, SPL_STEP_STRAIN);
    assert_true(rule->earliest_days >= 42);
    /* Flower vinegar: jar three-quarters full, ready in 2-3 weeks. */
    expect_near(vinegar->fill_frac.value, 0.75, 1e-12, "");
    rule = step_of(tables, "vinegar", "dandelion/flower", FALSE, SPL_STEP_READY);
    assert_true(rule->earliest_days >= 14 && rule->latest_days <= 21);
    /* One house's custom, which a book can choose: 1-2 years pressed, up to ten unpressed. */
    const struct spl_keeping *house =
        spl_tables_keeping(tables, "house", tincture, SPL_PART_FLOWER, FALSE);
    expect_near(house->pressed_days.low, 365, 0, "d");
    expect_near(house->pressed_days.high, 730, 0, "d");
    expect_near(house->unpressed_days.high, 3650, 0, "d");
    /* The table's own: "2-3 years, probably much longer" (a teacher), trade 2-5 years; three. */
    const struct spl_keeping *usual =
        spl_tables_keeping(tables, NULL, tincture, SPL_PART_FLOWER, FALSE);
    expect_near(usual->pressed_days.value, 3 * 365, 0, "d");
    expect_near(usual->pressed_days.low, 2 * 365, 0, "d");
    expect_near(usual->pressed_days.high, 5 * 365, 0, "d");
    /* What holds no water: six months (USP 795 of 2012). Vinegar of any fresh part: three months
     * (extension service); one rule for all parts. */
    usual = spl_tables_keeping(tables, NULL, preparation_of(tables, "infused-oil"), SPL_PART_FLOWER,
                               TRUE);
    expect_near(usual->pressed_days.value, 180, 0, "d");
    for (int part = SPL_PART_LEAF; part <= SPL_PART_BARK; part++)
        expect_near(spl_tables_keeping(tables, NULL, vinegar, (enum spl_part)part, FALSE)
                        ->pressed_days.value,
                    90, 0, "d");
    /* Metal lids need a barrier; jars stand cool and dark. */
    assert_non_null(strstr(tincture->cautions, "Metal lids need a barrier"));
    assert_non_null(strstr(vinegar->cautions, "Metal lids need a barrier"));
    assert_non_null(strstr(tincture->storage, "cool"));
    assert_non_null(strstr(tincture->storage, "Dark"));
    /* The parts of the spring and summer of one plant: flowers first, leaves when bitter. */
    /* With the first flowers, while many buds are still shut, it is right already. */
    assert_int_equal(heads->stage_from, 60);
    assert_int_equal(material_of(tables, "dandelion leaf")->stage_from, 69);
}

/* Strengths of monographs are poured on dried drug; the same drug fresh is to end there. The
 * household's dandelion is neither: 40 % is poured on the fresh flowers (common practice, no
 * source). */
static void a_strength_says_of_which_herb_it_is(void **state)
{
    /* As published in the assessment reports and monographs of the EMA named beside them. */
    static const struct {
        const char *material;
        double low, high;
    } published[] = {{"calendula/flower", 0.70, 0.90}, /* EMA/HMPC/437450/2017: 1:5 */
                     {"nettle/tops", 0.45, 0.45},      /* EMEA/HMPC/170261/2006: 1:5 */
                     {"yarrow/herb", 0.315, 0.45},     /* EMA/HMPC/376415/2019: 1:5 */
                     {"lime/flower", 0.45, 0.45},      /* EMA/HMPC/337067/2011: 1:5 */
                     {"meadowsweet/herb", 0.45, 0.45}, /* EMA/HMPC/434892/2010: 1:5 */
                     {"agrimony/herb", 0.45, 0.45},    /* EMA/HMPC/680595/2013: 1:5 */
                     {"valerian/root", 0.60, 0.80},    /* EMA/HMPC/150846/2015: 1:5 */
                     {"tormentil/root", 0.45, 0.70},   /* EMA/HMPC/5511/2010: 1:5 */
                     {"gentian/root", 0.70, 0.70},     /* EMA/HMPC/607863/2017: 1:5 */
                     {"arnica/flower", 0.60, 0.70},    /* EMA/HMPC/198794/2012: 1:10 */
                     {"peppermint/leaf", 0.45, 0.70}}; /* EMA/HMPC/522409/2013: 1:5 */
    g_autoptr(spl_tables) tables = load();
    const struct spl_preparation *tincture = preparation_of(tables, "tincture");

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(published); i++) {
        const struct spl_material *material = material_of(tables, published[i].material);
        struct spl_making dried = spl_tables_making(tables, material, tincture, TRUE);
        struct spl_making fresh = spl_tables_making(tables, material, tincture, FALSE);

        expect_near(dried.strength_frac.low, published[i].low, 1e-9, published[i].material);
        expect_near(dried.strength_frac.high, published[i].high, 1e-9, published[i].material);
        assert_int_equal(dried.strength_means, SPL_STRENGTH_POURED);
        assert_int_equal(fresh.strength_means, SPL_STRENGTH_FINAL);
    }
    struct spl_making heads =
        spl_tables_making(tables, material_of(tables, "dandelion/flower"), tincture, FALSE);
    expect_near(heads.strength_frac.value, 0.40, 1e-12, "vol");
    assert_int_equal(heads.strength_means, SPL_STRENGTH_POURED);
    /* Glycerol goes undiluted on fresh herb and thinned to 60-75 % on dried: trade, no source. */
    struct spl_making thick = spl_tables_making(tables, material_of(tables, "nettle/leaf"),
                                                preparation_of(tables, "glycerite"), TRUE);
    expect_near(thick.strength_frac.low, 0.60, 1e-12, "vol");
    expect_near(thick.strength_frac.high, 0.75, 1e-12, "vol");
    thick = spl_tables_making(tables, material_of(tables, "nettle/leaf"),
                              preparation_of(tables, "glycerite"), FALSE);
    expect_near(thick.strength_frac.value, 1.0, 1e-12, "vol");
}

static void calendula_is_not_a_forty_per_cent_tincture(void **state)
{
    g_autoptr(spl_tables) tables = load();
    struct spl_making making = spl_tables_making(tables, material_of(tables, "calendula"),
                                                 preparation_of(tables, "tincture"), TRUE);

    (void)state;
    /* EMA/HMPC/437450/2017: tincture 1:5 in ethanol 70-90 %. */
    expect_near(making.strength_frac.low, 0.70, 1e-12, "vol");
    expect_near(making.strength_frac.high, 0.90, 1e-12, "vol");
    expect_near(making.ratio_dry_ml_per_g.value, 5, 0, "mL/g");
}

/* Preservation limits: reference numbers of the rules themselves. */
static void keeping_floors_are_those_of_the_rules(void **state)
{
    g_autoptr(spl_tables) tables = load();

    (void)state;
    expect_near(preparation_of(tables, "tincture")->final_floor_frac.value, 0.20, 1e-12, "");
    expect_near(preparation_of(tables, "tincture")->final_caution_frac.value, 0.25, 1e-12, "");
    /* USDA/NCHFP: at least 5 %; FDA CPG 525.825: never below 4 %. */
    expect_near(preparation_of(tables, "vinegar")->poured_floor_frac.value, 0.05, 1e-12, "");
    expect_near(preparation_of(tables, "vinegar")->final_caution_frac.value, 0.04, 1e-12, "");
    expect_near(preparation_of(tables, "glycerite")->final_floor_frac.value, 0.55, 1e-12, "");
    /* UNC Pharmaceutics: 65 % by mass; USP Syrup: 850 g sucrose with 450 mL water. */
    expect_near(preparation_of(tables, "syrup")->final_floor_frac.value, 0.65, 1e-12, "");
    expect_near(preparation_of(tables, "syrup")->sugar_g_per_ml.value, 850.0 / 450, 0.001, "g/mL");
    /* Oklahoma State extension, Safely infusing oils at home: oils of fresh herb 2-4 days in the
     * refrigerator; Health Canada's reminder of 16 November 2010: a week at most. */
    const struct spl_keeping *oil = spl_tables_keeping(
        tables, NULL, preparation_of(tables, "infused oil"), SPL_PART_LEAF, FALSE);
    assert_true(oil->pressed_days.value <= 4);
    assert_true(oil->pressed_days.high <= 7);
    assert_true(material_of(tables, "St John's wort flowers")->fresh_oil);
    assert_false(material_of(tables, "calendula")->fresh_oil);
}

/* The pairs that kill, by name (reference list of poisonings; signs in the row). */
static void deadly_look_alikes_are_named(void **state)
{
    static const char *const pairs[][2] = {
        {"yarrow", "Conium"},         {"meadowsweet", "Oenanthe"},
        {"valerian", "Cicuta"},       {"ramsons", "Colchicum"},
        {"ramsons", "Convallaria"},   {"ramps", "Veratrum"},
        {"comfrey", "Digitalis"},     {"mullein", "Digitalis"},
        {"burdock", "Atropa"},        {"gentian", "Veratrum"},
        {"mugwort", "Aconitum"},      {"ribwort", "Digitalis"},
        {"elder", "Sambucus ebulus"}, {"horsetail", "Equisetum palustre"},
        {"dandelion", "Digitalis"},   {"ramsons", "Veratrum"},
        {"rosebay", "Veratrum"},      {"american-elder", "Cicuta"},
    };
    g_autoptr(spl_tables) tables = load();

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(pairs); i++) {
        const struct spl_plant *plant = spl_tables_plant_by_slug(tables, pairs[i][0]);
        assert_non_null(plant);
        if (!plant->deadly_lookalike || strstr(plant->lookalikes, pairs[i][1]) == NULL)
            fail_msg("%s does not name %s", pairs[i][0], pairs[i][1]);
    }
    /* Harmful, and nobody is known to have died of the mix-up. */
    assert_false(spl_tables_plant_by_slug(tables, "arnica")->deadly_lookalike);
    assert_false(spl_tables_plant_by_slug(tables, "coltsfoot")->deadly_lookalike);
    assert_false(spl_tables_plant_by_slug(tables, "nettle")->deadly_lookalike);
    assert_true(material_of(tables, "comfrey leaf")->outside_only);
    assert_true(material_of(tables, "arnica")->outside_only);
    assert_non_null(
        strstr(spl_tables_plant_by_slug(tables, "st-johns-wort")->not_with, "contraceptive"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_row_of_every_table_loads),
    cmocka_unit_test(the_tables_are_as_wide_as_they_were_promised),
    cmocka_unit_test(every_material_has_what_a_reckoning_needs),
    cmocka_unit_test(the_methods_alone_are_those_of_all_tables),
    cmocka_unit_test(figures_from_memory_are_marked),
    cmocka_unit_test(every_slug_and_spoken_form_leads_to_its_own_row),
    cmocka_unit_test(the_common_spoken_forms_are_understood),
    cmocka_unit_test(hazard_distances_are_the_documented_ones),
    cmocka_unit_test(what_comes_back_slowly_rests_and_gives_less),
    cmocka_unit_test(roots_of_spring_and_of_autumn_are_apart),
    cmocka_unit_test(the_facts_of_the_trade_stand_in_the_tables),
    cmocka_unit_test(a_strength_says_of_which_herb_it_is),
    cmocka_unit_test(calendula_is_not_a_forty_per_cent_tincture),
    cmocka_unit_test(keeping_floors_are_those_of_the_rules),
    cmocka_unit_test(deadly_look_alikes_are_named),
};
expect_main(tests)
