/* SPDX-License-Identifier: MIT
 *
 * What keeps and what does not: the limits at their very edge, the words that must stop a batch.
 */
#include "expect.h"

#include "core/keeping.h"

/* The rows' floors as the data tables give them (design: 20 and 25 % vol, 5 and 4 % acid, 55 and 60
 * % glycerol, 65 % sugar). */
static struct spl_preparation row(enum spl_liquid liquid, const char *name, double poured,
                                  double floor_frac, double caution)
{
    return (struct spl_preparation){.slug = name,
                                    .name = name,
                                    .liquid = liquid,
                                    .poured_floor_frac = SPL_FIGURE(poured, "tables"),
                                    .final_floor_frac = SPL_FIGURE(floor_frac, "tables"),
                                    .final_caution_frac = SPL_FIGURE(caution, "tables")};
}

static struct spl_keeping_ask ask_of(const struct spl_preparation *preparation)
{
    struct spl_keeping_ask ask;

    spl_keeping_ask_init(&ask);
    ask.preparation = preparation;
    ask.liquid = preparation->liquid;
    ask.fresh = TRUE;
    return ask;
}

/* -1 when nothing is said, else the worst grade. */
static int worst(const struct spl_keeping_ask *ask, const char *part)
{
    g_autoptr(GArray) findings = spl_keeping_judge(ask);
    const struct spl_finding *first;

    if (findings->len == 0)
        return -1;
    first = &g_array_index(findings, struct spl_finding, 0);
    if (part != NULL && strstr(first->text, part) == NULL)
        fail_msg("'%s' does not name '%s'", first->text, part);
    return (int)first->grade;
}

static void a_tincture_is_held_under_20_and_cautioned_under_25_per_cent(void **state)
{
    struct spl_preparation tincture = row(SPL_LIQUID_SPIRIT, "tincture", NAN, 0.20, 0.25);
    struct spl_keeping_ask ask = ask_of(&tincture);

    (void)state;
    ask.final_frac = 0.1999;
    assert_int_equal(worst(&ask, "20.0 % vol alcohol; under 20 %"), SPL_FINDING_OVERRIDE);
    ask.final_frac = 0.20;
    assert_int_equal(worst(&ask, "keeps only just"), SPL_FINDING_CAUTION);
    ask.final_frac = 0.2499;
    assert_int_equal(worst(&ask, "stronger spirit"), SPL_FINDING_CAUTION);
    ask.final_frac = 0.25;
    assert_int_equal(worst(&ask, NULL), -1);
    ask.final_frac = NAN;
    assert_int_equal(worst(&ask, NULL), -1);
}

static void vinegar_is_refused_under_five_and_cautioned_when_it_ends_under_four(void **state)
{
    struct spl_preparation vinegar = row(SPL_LIQUID_VINEGAR, "vinegar", 0.05, NAN, 0.04);
    struct spl_keeping_ask ask = ask_of(&vinegar);

    (void)state;
    ask.poured_frac = 0.049;
    ask.final_frac = 0.045;
    assert_int_equal(worst(&ask, "at least 5 %"), SPL_FINDING_REFUSED);
    ask.poured_frac = 0.05;
    assert_int_equal(worst(&ask, NULL), -1);
    ask.final_frac = 0.0399;
    assert_int_equal(worst(&ask, "less herb, stronger vinegar, or wilted herb"),
                     SPL_FINDING_CAUTION);
    ask.final_frac = 0.04;
    assert_int_equal(worst(&ask, NULL), -1);
    ask.home_made_in = "our own cider vinegar 5%";
    ask.home_made = "own";
    assert_int_equal(worst(&ask, "our own cider vinegar"), SPL_FINDING_REFUSED);
    ask.home_made_close = TRUE;
    assert_int_equal(worst(&ask, "spelt like"), SPL_FINDING_REFUSED);
}

static void a_glycerite_needs_55_and_a_syrup_65_or_alcohol(void **state)
{
    struct spl_preparation glycerite = row(SPL_LIQUID_GLYCEROL, "glycerite", NAN, 0.55, 0.60);
    struct spl_preparation syrup = row(SPL_LIQUID_SYRUP, "syrup", NAN, 0.65, NAN);
    struct spl_keeping_ask ask = ask_of(&glycerite);

    (void)state;
    ask.final_frac = 0.54;
    assert_int_equal(worst(&ask, "glycerol"), SPL_FINDING_OVERRIDE);
    ask.final_frac = 0.56;
    assert_int_equal(worst(&ask, NULL), SPL_FINDING_CAUTION);
    ask.final_frac = 0.60;
    assert_int_equal(worst(&ask, NULL), -1);
    ask = ask_of(&syrup);
    ask.final_frac = 0.65;
    assert_int_equal(worst(&ask, NULL), -1);
    ask.final_frac = 0.50;
    ask.ethanol_missing_ml = 74.1;
    assert_int_equal(worst(&ask, "74 mL of pure alcohol"), SPL_FINDING_OVERRIDE);
    ask.ethanol_missing_ml = 0.0;
    assert_int_equal(worst(&ask, NULL), -1);
}

static void an_oxymel_counts_acid_and_sugar_together(void **state)
{
    struct spl_preparation oxymel = row(SPL_LIQUID_OXYMEL, "oxymel", 0.05, NAN, NAN);
    struct spl_keeping_ask ask = ask_of(&oxymel);

    (void)state;
    ask.fresh = FALSE;
    ask.poured_frac = 0.05;
    ask.acid_frac = 0.025; /* 0.625 + 0.738: a household 1:1 */
    ask.sugar_frac = 0.48;
    assert_int_equal(worst(&ask, NULL), -1);
    ask.fresh = TRUE;
    assert_int_equal(worst(&ask, "cold"), SPL_FINDING_CAUTION);
    ask.acid_frac = 0.01; /* 0.25 + 0.46 */
    ask.sugar_frac = 0.30;
    assert_int_equal(worst(&ask, "do not keep"), SPL_FINDING_OVERRIDE);
    ask.poured_frac = 0.04;
    ask.acid_frac = 0.02;
    ask.sugar_frac = 0.6;
    assert_int_equal(worst(&ask, "4.0 % acid"), SPL_FINDING_REFUSED);
}

static void fresh_herb_in_oil_is_refused_but_for_the_named_exception(void **state)
{
    struct spl_preparation oil = row(SPL_LIQUID_OIL, "infused oil", NAN, NAN, NAN);
    struct spl_keeping_ask ask = ask_of(&oil);

    (void)state;
    /* Fresh or wilted: on one's own judgement, in the cold and for days. */
    assert_int_equal(worst(&ask, "strained within 4 days"), SPL_FINDING_OVERRIDE);
    ask.dry_only = "ramsons";
    assert_int_equal(worst(&ask, "ramsons: fresh or wilted it can breed botulism"),
                     SPL_FINDING_REFUSED);
    ask.dry_only = NULL;
    ask.oil_exception = "St John's wort flowers";
    assert_int_equal(worst(&ask, "cloth"), SPL_FINDING_CAUTION);
    ask.oil_exception = NULL;
    ask.fresh = FALSE;
    assert_int_equal(worst(&ask, NULL), -1);
}

static void spirit_that_must_not_be_drunk_is_for_outside_use_only(void **state)
{
    struct spl_preparation tincture = row(SPL_LIQUID_SPIRIT, "tincture", NAN, 0.20, 0.25);
    struct spl_keeping_ask ask = ask_of(&tincture);

    (void)state;
    ask.final_frac = 0.5;
    ask.poison_in = "surgical spirit 90%";
    assert_int_equal(worst(&ask, NULL), -1);
    ask.poison = "surgical";
    assert_int_equal(worst(&ask, "must not be drunk"), SPL_FINDING_REFUSED);
    ask.poison_close = TRUE;
    assert_int_equal(worst(&ask, "name it otherwise"), SPL_FINDING_REFUSED);
    ask.outside_use = TRUE;
    assert_int_equal(worst(&ask, "outside use only"), SPL_FINDING_CAUTION);
}

/* Garlic in oil is the known case (Morse et al. 1990); roots and fruit hold their water inside. */
static void garlic_kin_roots_and_fruit_go_into_oil_only_dried(void **state)
{
    static const struct {
        const char *family;
        enum spl_part part;
        gboolean dry_only;
    } rows[] = {
        {"Amaryllidaceae", SPL_PART_LEAF, TRUE},  {"Boraginaceae", SPL_PART_LEAF, FALSE},
        {"Boraginaceae", SPL_PART_ROOT, TRUE},    {"Rosaceae", SPL_PART_FRUIT, TRUE},
        {"Rosaceae", SPL_PART_FLOWER, FALSE},     {"Salicaceae", SPL_PART_BARK, TRUE},
        {"Hypericaceae", SPL_PART_FLOWER, FALSE}, {"Urticaceae", SPL_PART_SEED, TRUE},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct spl_plant plant = {.family = rows[i].family};
        struct spl_material material = {.plant = &plant, .part = rows[i].part};

        assert_int_equal(spl_keeping_dry_only(&material), rows[i].dry_only);
    }
}

static void herb_that_lay_is_cautioned_after_a_day(void **state)
{
    struct spl_preparation tincture = row(SPL_LIQUID_SPIRIT, "tincture", NAN, 0.20, 0.25);
    struct spl_keeping_ask ask = ask_of(&tincture);

    g_autofree char *stale = NULL;

    (void)state;
    ask.final_frac = 0.5;
    ask.days_since_picked = 1;
    assert_int_equal(worst(&ask, NULL), -1);
    ask.days_since_picked = 2;
    assert_int_equal(worst(&ask, "2 days after picking"), SPL_FINDING_CAUTION);
    ask.days_since_picked = 3;
    stale = spl_keeping_stale(3);
    assert_non_null(strstr(stale, "picked 3 days before"));
    assert_null(spl_keeping_stale(2));
    ask.fresh = FALSE; /* dried: its picking no longer counts */
    assert_int_equal(worst(&ask, NULL), -1);
}

static void only_a_reason_lets_an_override_through_and_nothing_a_refusal(void **state)
{
    struct spl_preparation tincture = row(SPL_LIQUID_SPIRIT, "tincture", NAN, 0.20, 0.25);
    struct spl_keeping_ask ask = ask_of(&tincture);
    g_autoptr(GArray) weak = NULL, poison = NULL;
    GError *error = NULL;

    (void)state;
    ask.final_frac = 0.15;
    weak = spl_keeping_judge(&ask);
    assert_false(spl_keeping_allow(weak, NULL, &error));
    expect_error(error, SPL_ERROR_REFUSED, "say why (hold)");
    assert_false(spl_keeping_allow(weak, "", &error));
    expect_error(error, SPL_ERROR_REFUSED, "say why (hold)");
    assert_true(spl_keeping_allow(weak, "for tomorrow", &error));
    ask.poison_in = "isopropyl 70%";
    ask.poison = "isopropyl";
    poison = spl_keeping_judge(&ask);
    assert_int_equal(g_array_index(poison, struct spl_finding, 0).grade, SPL_FINDING_REFUSED);
    assert_false(spl_keeping_allow(poison, "for tomorrow", &error));
    expect_error(error, SPL_ERROR_REFUSED, "isopropyl");
    assert_true(spl_keeping_allow(NULL, NULL, &error));
}

static void use_by_is_never_later_than_the_earliest_parent(void **state)
{
    struct spl_day made = spl_day_from_ymd(2027, 6, 15), none = SPL_DAY_NONE;

    (void)state;
    assert_int_equal(spl_keeping_use_by(made, 730.0, none).n, made.n + 730);
    assert_int_equal(spl_keeping_use_by(made, 730.0, spl_day_add(made, 100)).n, made.n + 100);
    assert_int_equal(spl_keeping_use_by(made, 730.0, spl_day_add(made, 800)).n, made.n + 730);
    assert_int_equal(spl_keeping_use_by(made, 0.0, spl_day_add(made, 100)).n, made.n + 100);
    assert_false(spl_day_is_set(spl_keeping_use_by(made, (double)NAN, none)));
    assert_false(spl_day_is_set(spl_keeping_use_by(made, -5.0, none)));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_tincture_is_held_under_20_and_cautioned_under_25_per_cent),
    cmocka_unit_test(vinegar_is_refused_under_five_and_cautioned_when_it_ends_under_four),
    cmocka_unit_test(a_glycerite_needs_55_and_a_syrup_65_or_alcohol),
    cmocka_unit_test(an_oxymel_counts_acid_and_sugar_together),
    cmocka_unit_test(fresh_herb_in_oil_is_refused_but_for_the_named_exception),
    cmocka_unit_test(spirit_that_must_not_be_drunk_is_for_outside_use_only),
    cmocka_unit_test(garlic_kin_roots_and_fruit_go_into_oil_only_dried),
    cmocka_unit_test(herb_that_lay_is_cautioned_after_a_day),
    cmocka_unit_test(only_a_reason_lets_an_override_through_and_nothing_a_refusal),
    cmocka_unit_test(use_by_is_never_later_than_the_earliest_parent),
};
expect_main(tests)
