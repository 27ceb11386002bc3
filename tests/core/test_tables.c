/* SPDX-License-Identifier: MIT
 *
 * Look-ups in the data tables, on a small set made by hand.
 */
#include "expect.h"

#include "core/tables_build.h"

struct small {
    spl_tables *tables;
    const struct spl_plant *nettle, *elder, *rose;
    const struct spl_material *nettle_leaf, *nettle_root, *elder_flower, *hips;
    const struct spl_preparation *tincture, *vinegar;
};

static const struct spl_plant *put_plant(spl_tables *tables, const char *slug, const char *common,
                                         const char *latin, const char *others)
{
    struct spl_plant plant = {
        .slug = slug, .common = common, .latin = latin, .names = spl_tables_names(tables, others)};
    return spl_tables_put_plant(tables, &plant);
}

static const struct spl_material *put_material(spl_tables *tables, const struct spl_plant *plant,
                                               enum spl_part part, const char *spoken,
                                               const char *others, const char *pharmacy)
{
    struct spl_material material = {.plant = plant,
                                    .part = part,
                                    .spoken = spoken,
                                    .pharmacy = pharmacy,
                                    .names = spl_tables_names(tables, others)};
    return spl_tables_put_material(tables, &material);
}

static const struct spl_preparation *put_preparation(spl_tables *tables, const char *slug,
                                                     double ratio)
{
    struct spl_preparation preparation = {.slug = slug,
                                          .name = slug,
                                          .ratio_fresh_ml_per_g = spl_figure_of(ratio, "book"),
                                          .ratio_dry_ml_per_g = spl_figure_of(2 * ratio, "book"),
                                          .strength_frac = spl_figure_of(0.4, "book"),
                                          .fill_frac = spl_figure_none()};
    return spl_tables_put_preparation(tables, &preparation);
}

static int set_up(void **state)
{
    struct small *small = g_new0(struct small, 1);
    spl_tables *tables = spl_tables_new();
    g_autoptr(GError) error = NULL;

    small->tables = tables;
    small->nettle = put_plant(tables, "nettle", "nettle", "Urtica dioica", "stinging nettle");
    small->elder = put_plant(tables, "elder", "elder", "Sambucus nigra", "black elder");
    small->rose =
        put_plant(tables, "dog-rose", "dog rose", "Rosa canina", "wild rose; rosé sauvage");
    put_plant(tables, "st-johns-wort", "St John's wort", "Hypericum perforatum", NULL);
    small->nettle_leaf = put_material(tables, small->nettle, SPL_PART_LEAF, "nettle leaf",
                                      "nettle tops", "Urticae folium");
    small->nettle_root =
        put_material(tables, small->nettle, SPL_PART_ROOT, "nettle root", "", "Urticae radix");
    small->elder_flower =
        put_material(tables, small->elder, SPL_PART_FLOWER, "elderflower", "elderflowers", "");
    small->hips = put_material(tables, small->rose, SPL_PART_FRUIT, "rosehips", "hips; hip", "");
    small->tincture = put_preparation(tables, "tincture", 5);
    small->vinegar = put_preparation(tables, "infused-vinegar", 6);
    assert_true(spl_tables_finish(tables, &error));
    *state = small;
    return 0;
}

static int tear_down(void **state)
{
    struct small *small = *state;

    spl_tables_free(small->tables);
    g_free(small);
    return 0;
}

static void materials_are_found_by_every_way_of_saying_them(void **state)
{
    const struct small *small = *state;
    const struct {
        const char *name;
        const struct spl_material *wanted;
    } cases[] = {
        {"nettle/leaf", small->nettle_leaf},
        {"Nettle Leaf", small->nettle_leaf},
        {"nettle leaves", small->nettle_leaf},
        {"NETTLE-LEAVES", small->nettle_leaf},
        {"nettle tops", small->nettle_leaf},
        {"stinging nettle leaf", small->nettle_leaf},
        {"Urtica dioica leaf", small->nettle_leaf},
        {"urticae folium", small->nettle_leaf},
        {"Urtica dioica/radix", small->nettle_root},
        {"elderflower", small->elder_flower},
        {"elder blossom", small->elder_flower},
        {"elder", small->elder_flower}, /* the only part that is known */
        {"hips", small->hips},
        {"dog-rose/berries", small->hips},
        {"Rose sauvage fruit", small->hips},
    };

    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(GError) error = NULL;
        const struct spl_material *material = NULL;

        if (!spl_tables_material(small->tables, cases[i].name, &material, &error))
            fail_msg("%s: %s", cases[i].name, error->message);
        if (material != cases[i].wanted)
            fail_msg("'%s' is %s, expected %s", cases[i].name, material->slug,
                     cases[i].wanted->slug);
    }
}

static void a_plant_of_several_parts_must_be_said_with_its_part(void **state)
{
    const struct small *small = *state;
    g_autoptr(GError) error = NULL;
    const struct spl_material *material = NULL;

    assert_false(spl_tables_material(small->tables, "nettle", &material, &error));
    expect_error(error, SPL_ERROR_AMBIGUOUS, "'nettle/leaf', 'nettle/root'");
    assert_null(material);
}

static void unknown_names_are_answered_with_the_nearest(void **state)
{
    const struct small *small = *state;
    g_autoptr(GError) error = NULL;
    const struct spl_material *material = NULL;
    const struct spl_plant *plant = NULL;
    const struct spl_preparation *preparation = NULL;
    const struct spl_press *press = NULL;
    const struct spl_method *method = NULL;

    assert_false(spl_tables_material(small->tables, "nettel/leaf", &material, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "nettle/leaf");
    assert_false(spl_tables_plant(small->tables, "Urtica dioeca", &plant, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "Urtica dioica");
    assert_false(spl_tables_preparation(small->tables, "tinkture", &preparation, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "tincture");
    assert_false(spl_tables_material(small->tables, "quite something else", &material, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "materials.csv");
    /* The name of the file is a plural that is no rule. */
    assert_false(spl_tables_press(small->tables, "qqqqqqqq", &press, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "your own presses.csv");
    assert_false(spl_tables_method(small->tables, "qqqqqqqq", &method, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "your own hazards.csv");
}

static void hostile_names_are_refused_in_one_short_line(void **state)
{
    const struct small *small = *state;
    g_autofree char *long_name = g_strnfill(100000, 'n');
    const char *const bad[] = {"", "nettle\xff", long_name, "a\nb", "\033[31mnettle"};

    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        const struct spl_material *material = NULL;

        assert_false(spl_tables_material(small->tables, bad[i], &material, &error));
        assert_non_null(error);
        assert_true(strlen(error->message) < 400);
        assert_null(strchr(error->message, '\n'));
        assert_null(strchr(error->message, '\033'));
    }
}

static void plants_are_found_without_apostrophe_and_accent(void **state)
{
    const struct small *small = *state;
    static const char *const names[] = {"St John's wort", "st johns wort", "St. John's-wort",
                                        "ST JOHN\xe2\x80\x99S WORT", "hypericum perforatum"};

    for (gsize i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autoptr(GError) error = NULL;
        const struct spl_plant *plant = NULL;

        assert_true(spl_tables_plant(small->tables, names[i], &plant, &error));
        assert_string_equal(plant->slug, "st-johns-wort");
    }
}

static void a_stored_slug_that_is_gone_is_no_error(void **state)
{
    const struct small *small = *state;

    assert_null(spl_tables_material_by_slug(small->tables, "arnica/flower"));
    assert_ptr_equal(spl_tables_material_by_slug(small->tables, "nettle/leaf"), small->nettle_leaf);
    assert_null(spl_tables_plant_by_slug(small->tables, "Nettle"));
}

static void a_second_row_of_a_key_replaces_the_first_in_place(void **state)
{
    struct small *small = *state;
    g_autoptr(GError) error = NULL;
    struct spl_material changed = *small->nettle_leaf;
    guint before = spl_tables_materials(small->tables)->len;

    changed.moisture_frac = spl_figure_of(0.83, "own weighing");
    assert_ptr_equal(spl_tables_put_material(small->tables, &changed), small->nettle_leaf);
    assert_int_equal(spl_tables_materials(small->tables)->len, before);
    assert_true(spl_tables_finish(small->tables, &error));
    expect_near(small->nettle_leaf->moisture_frac.value, 0.83, 1e-12, "");
    assert_string_equal(small->nettle_leaf->moisture_frac.source, "own weighing");
}

static void two_rows_that_cannot_be_told_apart_are_refused(void **state)
{
    struct small *small = *state;
    g_autoptr(GError) error = NULL;

    put_plant(small->tables, "wild-leek", "wild leek", "Allium tricoccum", "nettle");
    assert_false(spl_tables_finish(small->tables, &error));
    expect_error(error, SPL_ERROR_INVALID, "nettle");
}

static void a_making_overrides_only_what_it_gives(void **state)
{
    struct small *small = *state;
    struct spl_making own = {.material = small->nettle_leaf,
                             .preparation = small->tincture,
                             .ratio_fresh_ml_per_g = spl_figure_none(),
                             .ratio_dry_ml_per_g = spl_figure_none(),
                             .strength_frac = spl_figure_of(0.45, "monograph"),
                             .fill_frac = spl_figure_none(),
                             .note = "own"};

    spl_tables_put_making(small->tables, &own);
    struct spl_making making =
        spl_tables_making(small->tables, small->nettle_leaf, small->tincture, FALSE);
    expect_near(making.strength_frac.value, 0.45, 1e-12, "");
    assert_string_equal(making.strength_frac.source, "monograph");
    expect_near(making.ratio_fresh_ml_per_g.value, 5, 1e-12, "mL/g");
    assert_false(spl_figure_is_set(making.fill_frac));
    making = spl_tables_making(small->tables, small->nettle_root, small->tincture, FALSE);
    expect_near(making.strength_frac.value, 0.4, 1e-12, "");
    making = spl_tables_making(small->tables, NULL, small->vinegar, FALSE);
    expect_near(making.ratio_fresh_ml_per_g.value, 6, 1e-12, "mL/g");
    assert_string_equal(making.note, "");
}

static void put_step(const struct small *small, const struct spl_material *material,
                     enum spl_part part, enum spl_state state, enum spl_step step, int day)
{
    struct spl_step_rule rule = {.preparation = small->vinegar,
                                 .material = material,
                                 .part = part,
                                 .state = state,
                                 .step = step,
                                 .earliest_days = day,
                                 .usual_days = day,
                                 .latest_days = day,
                                 .words = "do it",
                                 .source = "book"};
    spl_tables_put_step_rule(small->tables, &rule);
}

static int usual_of(const struct small *small, const struct spl_material *material, gboolean dried,
                    enum spl_step step)
{
    g_autoptr(GPtrArray) steps = spl_tables_steps(small->tables, small->vinegar, material, dried);
    int found = -1, before = -1;

    for (guint i = 0; i < steps->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(steps, i);
        assert_true(rule->usual_days >= before);
        before = rule->usual_days;
        if (rule->step == step)
            found = rule->usual_days;
    }
    return found;
}

static void the_closest_step_rule_holds(void **state)
{
    const struct small *small = *state;

    put_step(small, NULL, SPL_PART_ANY, SPL_STATE_ANY, SPL_STEP_READY, 28);
    put_step(small, NULL, SPL_PART_ANY, SPL_STATE_DRIED, SPL_STEP_READY, 30);
    put_step(small, NULL, SPL_PART_FLOWER, SPL_STATE_ANY, SPL_STEP_READY, 14);
    put_step(small, small->hips, SPL_PART_ANY, SPL_STATE_FRESH, SPL_STEP_READY, 40);
    put_step(small, NULL, SPL_PART_ANY, SPL_STATE_ANY, SPL_STEP_TOP_UP, 1);
    assert_int_equal(usual_of(small, small->nettle_leaf, FALSE, SPL_STEP_READY), 28);
    assert_int_equal(usual_of(small, small->nettle_leaf, TRUE, SPL_STEP_READY), 30);
    assert_int_equal(usual_of(small, small->elder_flower, FALSE, SPL_STEP_READY), 14);
    assert_int_equal(usual_of(small, small->elder_flower, TRUE, SPL_STEP_READY), 14);
    assert_int_equal(usual_of(small, small->hips, FALSE, SPL_STEP_READY), 40);
    assert_int_equal(usual_of(small, small->hips, TRUE, SPL_STEP_READY), 30);
    assert_int_equal(usual_of(small, NULL, FALSE, SPL_STEP_READY), 28);
    assert_int_equal(usual_of(small, NULL, FALSE, SPL_STEP_TOP_UP), 1);
    assert_int_equal(usual_of(small, NULL, FALSE, SPL_STEP_SHAKE), -1);
    g_autoptr(GPtrArray) none = spl_tables_steps(small->tables, small->tincture, NULL, FALSE);
    assert_int_equal(none->len, 0);
}

static void put_keeping(const struct small *small, const char *custom,
                        const struct spl_material *material, enum spl_part part,
                        enum spl_state state, double days)
{
    struct spl_keeping keeping = {.custom = custom,
                                  .preparation = small->tincture,
                                  .material = material,
                                  .part = part,
                                  .state = state,
                                  .pressed_days = spl_figure_of(days, "book"),
                                  .unpressed_days = spl_figure_none()};
    spl_tables_put_keeping(small->tables, &keeping);
}

static double days_of(const struct small *small, const char *custom, enum spl_part part,
                      gboolean dried)
{
    const struct spl_keeping *row =
        spl_tables_keeping(small->tables, custom, small->tincture, part, dried);
    return row != NULL ? row->pressed_days.value : -1;
}

static void a_custom_comes_before_the_table_and_falls_back_to_it(void **state)
{
    const struct small *small = *state;
    g_autoptr(GError) error = NULL;

    assert_null(spl_tables_keeping(small->tables, NULL, small->tincture, SPL_PART_LEAF, FALSE));
    put_keeping(small, SPL_KEEPING_TABLE, NULL, SPL_PART_ANY, SPL_STATE_ANY, 1000);
    put_keeping(small, SPL_KEEPING_TABLE, NULL, SPL_PART_ROOT, SPL_STATE_ANY, 2000);
    put_keeping(small, SPL_KEEPING_TABLE, small->hips, SPL_PART_ANY, SPL_STATE_ANY, 50);
    put_keeping(small, "house", NULL, SPL_PART_LEAF, SPL_STATE_FRESH, 365);
    expect_near(days_of(small, NULL, SPL_PART_LEAF, FALSE), 1000, 0, "d");
    expect_near(days_of(small, NULL, SPL_PART_ROOT, FALSE), 2000, 0, "d");
    expect_near(days_of(small, NULL, SPL_PART_FRUIT, FALSE), 1000, 0, "d");
    expect_near(days_of(small, "house", SPL_PART_LEAF, FALSE), 365, 0, "d");
    expect_near(days_of(small, "house", SPL_PART_LEAF, TRUE), 1000, 0, "d");
    expect_near(days_of(small, "house", SPL_PART_ROOT, FALSE), 2000, 0, "d");
    expect_near(
        spl_tables_keeping_material(small->tables, NULL, small->tincture, small->hips, FALSE)
            ->pressed_days.value,
        50, 0, "d");
    expect_near(spl_tables_keeping_material(small->tables, NULL, small->tincture, NULL, FALSE)
                    ->pressed_days.value,
                1000, 0, "d");
    assert_true(spl_tables_custom_check(small->tables, "house", &error));
    assert_false(spl_tables_custom_check(small->tables, "mine", &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "there are: table, house");
}

static void jars_are_found_by_what_they_are_called(void **state)
{
    const struct small *small = *state;
    struct spl_jar half = {.nominal_ml = 500, .brimful_ml = 520};

    spl_tables_put_jar(small->tables, &half);
    expect_near(spl_tables_jar(small->tables, 500)->brimful_ml, 520, 0, "mL");
    expect_near(spl_tables_jar(small->tables, 501.9)->brimful_ml, 520, 0, "mL");
    assert_null(spl_tables_jar(small->tables, 510));
    half.brimful_ml = 580;
    spl_tables_put_jar(small->tables, &half);
    expect_near(spl_tables_jar(small->tables, 500)->brimful_ml, 580, 0, "mL");
    assert_int_equal(spl_tables_jars(small->tables)->len, 1);
}

static void put_rule(const struct small *small, const char *country, const char *latin,
                     enum spl_part part, enum spl_protection rule)
{
    struct spl_protected row = {.country = country, .latin = latin, .part = part, .rule = rule};

    spl_tables_put_protected(small->tables, &row);
}

static void protection_holds_by_country_plant_and_part(void **state)
{
    const struct small *small = *state;

    put_rule(small, "GB", "*", SPL_PART_ROOT, SPL_PROTECTION_LEAVE);
    put_rule(small, "GB-NIR", "Rosa canina", SPL_PART_ANY, SPL_PROTECTION_REFUSE);
    put_rule(small, "DE", "Urtica dioica", SPL_PART_ANY, SPL_PROTECTION_CAUTION);
    assert_true(spl_tables_finish(small->tables, NULL));

    static const struct {
        const char *country;
        gboolean rose;
        enum spl_part part;
        guint rules;
        int first;
    } cases[] = {
        {"GB", FALSE, SPL_PART_ROOT, 1, SPL_PROTECTION_LEAVE},
        {"GB", FALSE, SPL_PART_LEAF, 0, -1},
        {"gb", TRUE, SPL_PART_ROOT, 1, SPL_PROTECTION_LEAVE},
        {"GB-NIR", TRUE, SPL_PART_ROOT, 2, SPL_PROTECTION_REFUSE},
        {"GB-NIR", TRUE, SPL_PART_FRUIT, 1, SPL_PROTECTION_REFUSE},
        {"GB-WLS", TRUE, SPL_PART_FRUIT, 0, -1},
        {"DE", FALSE, SPL_PART_LEAF, 1, SPL_PROTECTION_CAUTION},
        {"DE", TRUE, SPL_PART_LEAF, 0, -1},
        {"D", FALSE, SPL_PART_LEAF, 0, -1},
    };
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(GPtrArray) rules =
            spl_tables_protected(small->tables, cases[i].country,
                                 cases[i].rose ? small->rose : small->nettle, cases[i].part);
        assert_int_equal(rules->len, cases[i].rules);
        if (rules->len > 0) {
            const struct spl_protected *first = g_ptr_array_index(rules, 0);
            assert_int_equal((int)first->rule, cases[i].first);
        }
    }
}

static void parts_and_steps_have_their_words(void **state)
{
    static const struct {
        const char *text;
        enum spl_part part;
    } parts[] = {{"leaf", SPL_PART_LEAF},     {"Leaves", SPL_PART_LEAF},
                 {"berries", SPL_PART_FRUIT}, {"rhizome", SPL_PART_ROOT},
                 {"flos", SPL_PART_FLOWER},   {"Flowering tops", SPL_PART_TOPS}};
    g_autoptr(GError) error = NULL;
    enum spl_part part = SPL_PART_ANY;
    enum spl_step step = SPL_STEP_SHAKE;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(parts); i++) {
        assert_true(spl_part_parse(parts[i].text, "--part", &part, &error));
        assert_int_equal((int)part, (int)parts[i].part);
    }
    for (int i = 0; i < SPL_PARTS; i++) {
        assert_true(spl_part_parse(spl_part_name((enum spl_part)i), "--part", &part, &error));
        assert_int_equal((int)part, i);
    }
    assert_false(spl_part_parse("twig", "--part", &part, &error));
    expect_error(error, SPL_ERROR_INVALID, "--part 'twig'");
    for (int i = 0; i < SPL_STEPS; i++) {
        assert_true(spl_step_parse(spl_step_name((enum spl_step)i), "the step", &step, &error));
        assert_int_equal((int)step, i);
    }
    assert_true(spl_step_parse("Top up", "the step", &step, &error));
    assert_int_equal((int)step, SPL_STEP_TOP_UP);
    assert_false(spl_step_parse("stir", "the step", &step, &error));
    expect_error(error, SPL_ERROR_INVALID, "strain");
}

#define small_test(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
static const struct CMUnitTest tests[] = {
    small_test(materials_are_found_by_every_way_of_saying_them),
    small_test(a_plant_of_several_parts_must_be_said_with_its_part),
    small_test(unknown_names_are_answered_with_the_nearest),
    small_test(hostile_names_are_refused_in_one_short_line),
    small_test(plants_are_found_without_apostrophe_and_accent),
    small_test(a_stored_slug_that_is_gone_is_no_error),
    small_test(a_second_row_of_a_key_replaces_the_first_in_place),
    small_test(two_rows_that_cannot_be_told_apart_are_refused),
    small_test(a_making_overrides_only_what_it_gives),
    small_test(the_closest_step_rule_holds),
    small_test(a_custom_comes_before_the_table_and_falls_back_to_it),
    small_test(jars_are_found_by_what_they_are_called),
    small_test(protection_holds_by_country_plant_and_part),
    cmocka_unit_test(parts_and_steps_have_their_words),
};
expect_main(tests)
