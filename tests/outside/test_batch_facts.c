/* SPDX-License-Identifier: MIT
 *
 * The facts of the trade, asked of the data tables as they ship: what a jar takes, what it yields,
 * how strong it ends, how long it stands and keeps. "Common practice, no source" unless one is
 * named.
 */
#include "expect.h"

#include "core/keeping.h"
#include "core/need.h"
#include "core/steps.h"
#include "exchange/table_files.h"

static spl_tables *tables;

static int load(void **state)
{
    g_autofree char *dir = g_build_filename(SPL_SOURCE_DIR, "data", NULL);
    g_autoptr(GError) error = NULL;

    (void)state;
    tables = spl_tables_load(dir, NULL, &error);
    if (tables == NULL)
        print_error("%s\n", error->message);
    return tables == NULL;
}

static int unload(void **state)
{
    (void)state;
    spl_tables_free(tables);
    return 0;
}

static void ask_of(struct spl_need_ask *ask, const char *material, const char *preparation,
                   const char *press, gboolean dried)
{
    const struct spl_material *m;
    const struct spl_preparation *p;
    const struct spl_press *k;
    g_autoptr(GError) error = NULL;

    if (!spl_tables_material(tables, material, &m, &error) ||
        !spl_tables_preparation(tables, preparation, &p, &error) ||
        !spl_tables_press(tables, press, &k, &error))
        fail_msg("%s", error->message);
    spl_need_ask_from_tables(ask, tables, m, p, k, dried);
}

static struct spl_vessel vessel(double nominal_ml, int count)
{
    const struct spl_jar *jar = spl_tables_jar(tables, nominal_ml);

    assert_non_null(jar);
    return (struct spl_vessel){jar->nominal_ml, jar->brimful_ml, count, jar->source};
}

static void answer(const struct spl_need_ask *ask, struct spl_need_result *result)
{
    g_autoptr(GError) error = NULL;

    if (!spl_need(ask, result, &error))
        fail_msg("%s, %s: %s", ask->material, ask->preparation, error->message);
}

/* 87 g of chopped fresh dandelion flowers in a 500 mL jar for a 1:5 tincture, close to 400 mL
 * pressed by hand, 34.2 % from household spirit. */
static void a_half_litre_jar_of_dandelion_flowers(void **state)
{
    static const struct {
        const char *press;
        double yield;
    } presses[] = {{"drained", 371.0}, {"hand", 402.0}, {"screw", 467.0}};
    struct spl_vessel jar = vessel(500.0, 1);

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(presses); i++) {
        struct spl_need_ask ask;
        struct spl_need_result result;

        ask_of(&ask, "dandelion flower", "tincture", presses[i].press, FALSE);
        ask.jars = &jar;
        ask.n_jars = 1;
        answer(&ask, &result);
        expect_near(result.ratio, 5.0, 0.0, "");
        expect_near(result.herb_g, 87.0, 87.0 * 0.015, "g");
        expect_near(result.yield_ml, presses[i].yield, presses[i].yield * 0.02, "mL");
        expect_near(result.final_abv, 34.2, 0.3, "% vol");
        spl_record_clear(&spl_need_result_shape, &result);
    }
}

/* A litre of flower vinegar has the jar three-quarters full of roughly chopped flowers; it stays
 * over the four per cent of FDA CPG 525.825. */
static void a_litre_of_flower_vinegar(void **state)
{
    struct spl_vessel jar = vessel(1000.0, 1);
    struct spl_need_ask ask;
    struct spl_need_result result;
    const struct spl_preparation *vinegar;
    g_autoptr(GError) error = NULL;

    (void)state;
    ask_of(&ask, "dandelion flower", "vinegar", "hand", FALSE);
    assert_true(spl_tables_preparation(tables, "vinegar", &vinegar, &error));
    expect_near(vinegar->fill_frac.value, 0.75, 1e-9, "");
    ask.fill_frac = vinegar->fill_frac;
    ask.jars = &jar;
    ask.n_jars = 1;
    answer(&ask, &result);
    assert_true(result.final_acid >= 4.0);
    assert_true(result.herb_g > 130.0 && result.herb_g < 180.0);
    spl_record_clear(&spl_need_result_shape, &result);
}

/* At least 6 weeks for a tincture, topped up after 24 hours; flower vinegar 2 to 3 weeks; one
 * house's custom: 1-2 years pressed, up to ten unpressed. */
static void days_of_standing_and_keeping(void **state)
{
    const struct spl_material *flower;
    const struct spl_preparation *tincture, *vinegar;
    const struct spl_keeping *house;
    struct spl_steps_ask ask = {spl_day_from_ymd(2027, 5, 4), SPL_DAY_NONE, SPL_DAY_NONE,
                                SPL_DAY_NONE};
    g_autoptr(GPtrArray) rules = NULL;
    g_autoptr(GArray) schedule = NULL;
    g_autoptr(GError) error = NULL;
    guint seen = 0;

    (void)state;
    assert_true(spl_tables_material(tables, "dandelion flower", &flower, &error));
    assert_true(spl_tables_preparation(tables, "tincture", &tincture, &error));
    assert_true(spl_tables_preparation(tables, "vinegar", &vinegar, &error));
    rules = spl_tables_steps(tables, tincture, flower, FALSE);
    schedule = spl_steps_schedule(rules, &ask, NULL);
    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);

        if (due->step == SPL_STEP_TOP_UP) {
            assert_int_equal(spl_day_diff(due->due, ask.started), 1);
            seen++;
        } else if (due->step == SPL_STEP_READY) {
            assert_true(spl_day_diff(due->due, ask.started) >= 42);
            seen++;
        }
    }
    g_ptr_array_unref(rules);
    rules = spl_tables_steps(tables, vinegar, flower, FALSE);
    for (guint i = 0; i < rules->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(rules, i);

        if (rule->step == SPL_STEP_READY) {
            assert_true(rule->usual_days >= 14 && rule->usual_days <= 21);
            seen++;
        }
    }
    assert_int_equal(seen, 3);
    house = spl_tables_keeping(tables, "house", tincture, SPL_PART_FLOWER, FALSE);
    assert_non_null(house);
    assert_true(house->pressed_days.value >= 365.0 && house->pressed_days.value <= 731.0);
    assert_true(house->unpressed_days.value >= 3650.0);
}

/* Whatever the shipped tables pair can be reckoned, there and back, with its range in order. */
static void every_material_can_be_put_up_in_every_way_that_its_row_allows(void **state)
{
    GPtrArray *materials = spl_tables_materials(tables);
    GPtrArray *preparations = spl_tables_preparations(tables);
    GPtrArray *jars = spl_tables_jars(tables);
    g_autoptr(GArray) sizes = g_array_new(FALSE, FALSE, sizeof(struct spl_vessel));
    struct spl_vessel jar = vessel(1000.0, 1);
    guint reckoned = 0;

    (void)state;
    for (guint i = 0; i < jars->len; i++) {
        const struct spl_jar *row = g_ptr_array_index(jars, i);
        struct spl_vessel size = {row->nominal_ml, row->brimful_ml, 0, row->source};

        g_array_append_val(sizes, size);
    }
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *material = g_ptr_array_index(materials, i);

        for (guint j = 0; j < preparations->len * 2; j++) {
            const struct spl_preparation *preparation = g_ptr_array_index(preparations, j / 2);
            gboolean dried = j % 2 != 0;
            struct spl_need_ask ask;
            struct spl_need_result there, back;
            double yield;

            if (dried ? !preparation->takes_dried : !preparation->takes_fresh)
                continue;
            if (material->part == SPL_PART_SAP && (dried || preparation->liquid == SPL_LIQUID_NONE))
                continue; /* refused: nobody dries it */
            ask_of(&ask, material->slug, preparation->slug, "hand", dried);
            ask.jars = &jar;
            ask.n_jars = 1;
            answer(&ask, &there);
            ask.n_jars = 0;
            ask.sizes = (const struct spl_vessel *)(const void *)sizes->data;
            ask.n_sizes = sizes->len;
            if (preparation->liquid == SPL_LIQUID_NONE)
                yield = ask.yield_g = there.yield_g;
            else
                yield = ask.yield_ml = there.yield_ml;
            answer(&ask, &back);
            assert_true(yield > 0.0);
            expect_near(back.herb_g, there.herb_g, 0.001 * there.herb_g, "g");
            if (!(there.gross_low_g <= there.gross_g * (1.0 + 1e-9)))
                fail_msg("%s, %s: %g g to pick, at least %g", material->slug, preparation->slug,
                         there.gross_g, there.gross_low_g);
            assert_true(there.gross_high_g >= there.gross_g * (1.0 - 1e-9));
            if (preparation->liquid != SPL_LIQUID_NONE) {
                assert_true(there.yield_low_ml <= there.yield_ml + 1e-9);
                assert_true(there.yield_high_ml >= there.yield_ml - 1e-9);
                assert_true(there.yield_ml <= 1040.0 || preparation->liquid == SPL_LIQUID_SYRUP);
            }
            for (guint k = 0; k < there.explain->len; k++)
                assert_non_null(g_array_index(there.explain, struct spl_need_step, k).source);
            spl_record_clear(&spl_need_result_shape, &there);
            spl_record_clear(&spl_need_result_shape, &back);
            reckoned++;
        }
    }
    assert_true(reckoned >= 45 * 7);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_half_litre_jar_of_dandelion_flowers),
    cmocka_unit_test(a_litre_of_flower_vinegar),
    cmocka_unit_test(days_of_standing_and_keeping),
    cmocka_unit_test(every_material_can_be_put_up_in_every_way_that_its_row_allows),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, load, unload);
}
