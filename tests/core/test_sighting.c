/* SPDX-License-Identifier: MIT
 *
 * Learning from stages seen: the normal-normal update against an independent program, by hand for
 * other sites, and the order in which sightings arrive. */
#include "core/sighting.h"
#include "core/window.h"
#include "sheet.h"

static void the_update_agrees_with_the_check_values(void **state)
{
    g_autoptr(spl_sheet) sheet = sheet_open("sighting.csv");

    (void)state;
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        g_auto(GStrv) seen = g_strsplit(sheet_text(sheet, row, "observed"), " ", -1);
        double prior = sheet_number(sheet, row, "prior"), tau = sheet_number(sheet, row, "tau");
        double sigma = sheet_number(sheet, row, "sigma"), predictive;
        int n = (int)g_strv_length(seen);
        double day[8], sigmas[8];
        struct spl_sighting_offset offset;

        for (int i = 0; i < n; i++) {
            day[i] = g_ascii_strtod(seen[i], NULL);
            sigmas[i] = sigma;
        }
        spl_sighting_update(prior, tau, day, sigmas, n, &offset);
        predictive = sqrt(offset.sd_d * offset.sd_d + sigma * sigma);
        expect_near(offset.weight, sheet_number(sheet, row, "weight"), 6e-5, "");
        expect_near(offset.mean_d, sheet_number(sheet, row, "mean"), 6e-4, "d");
        expect_near(offset.sd_d, sheet_number(sheet, row, "sd"), 6e-4, "d");
        expect_near(predictive, sheet_number(sheet, row, "predictive_sd"), 6e-4, "d");
        expect_near(offset.mean_d - SPL_WINDOW_P90 * predictive, sheet_number(sheet, row, "p10"),
                    6e-3, "d");
        expect_near(offset.mean_d + SPL_WINDOW_P90 * predictive, sheet_number(sheet, row, "p90"),
                    6e-3, "d");
    }
}

static void one_after_the_other_is_the_same_as_all_at_once(void **state)
{
    static const double seen[] = {3, -1, 8, 2.5}, sigma[] = {6.5, 9.5, 6.5, 9.5};
    struct spl_sighting_offset all, step = {.mean_d = 0, .sd_d = 4};

    (void)state;
    spl_sighting_update(0, 4, seen, sigma, 4, &all);
    for (int i = 0; i < 4; i++)
        spl_sighting_update(step.mean_d, step.sd_d, &seen[i], &sigma[i], 1, &step);
    expect_near(step.mean_d, all.mean_d, 1e-9, "d");
    expect_near(step.sd_d, all.sd_d, 1e-9, "d");
}

static void nothing_seen_leaves_the_prior(void **state)
{
    struct spl_sighting_offset offset;

    (void)state;
    spl_sighting_offset_of(NULL, 0, &offset);
    expect_near(offset.mean_d, 0, 1e-12, "d");
    expect_near(offset.sd_d, SPL_SIGHTING_TAU_D, 1e-12, "d");
    assert_int_equal(offset.n, 0);
}

static void add(GArray *list, int site, double residual, gboolean weather, gboolean this_year)
{
    struct spl_sighting one = {.site = site,
                               .residual_d = residual,
                               .weather_known = weather,
                               .this_year = this_year,
                               .stage = 61};

    g_array_append_val(list, one);
}

static void other_sites_count_for_a_part(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 1, 6, TRUE, FALSE);
    add(list, 2, 6, TRUE, FALSE);
    spl_sighting_offset_of(list, 0, &offset);
    /* By hand: shared variance 18, each site 18 + 25 = 43; precision 1/18 + 2/43 =
     * 0.1020672; mean 12/43/0.1020672 = 2.734177; variance 18 + 1/0.1020672 = 27.79747. */
    expect_near(offset.mean_d, 2.734177, 1e-5, "d");
    expect_near(offset.sd_d, sqrt(27.79747), 1e-5, "d");
    expect_near(offset.weight, 0, 1e-12, "");
    assert_int_equal(offset.n, 2);
}

static void own_sightings_outweigh_the_others(void **state)
{
    g_autoptr(GArray) own = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    g_autoptr(GArray) both = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    g_autoptr(GArray) rough = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset alone, with, without_weather;

    (void)state;
    add(own, 0, 8, TRUE, FALSE);
    add(both, 0, 8, TRUE, FALSE);
    add(both, 3, -8, TRUE, FALSE);
    add(rough, 0, 8, FALSE, FALSE);
    spl_sighting_offset_of(own, 0, &alone);
    spl_sighting_offset_of(both, 0, &with);
    spl_sighting_offset_of(rough, 0, &without_weather);
    expect_near(alone.mean_d, 4.721311, 1e-5, "d"); /* 36 / (36 + 5^2) x 8 */
    assert_true(with.mean_d < alone.mean_d && with.mean_d > 0);
    /* 36 / (36 + 9^2) x 8 */
    expect_near(without_weather.mean_d, 2.461538, 1e-5, "d");
}

static void a_blurred_sighting_counts_less(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 0, 8, TRUE, FALSE);
    g_array_index(list, struct spl_sighting, 0).blur_d = 4;
    spl_sighting_offset_of(list, 0, &offset);
    /* 36 / (36 + 5^2 + 4^2) x 8 */
    expect_near(offset.mean_d, 3.740260, 1e-5, "d");
}

static void this_years_own_and_unplaced_sightings_are_left_to_the_forecast(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 0, 8, TRUE, TRUE);
    add(list, 0, NAN, TRUE, FALSE);
    add(list, 4, NAN, TRUE, FALSE);
    spl_sighting_offset_of(list, 0, &offset);
    expect_near(offset.mean_d, 0, 1e-12, "d");
    assert_int_equal(offset.n, 0);
}

/* A doubtful place learns more from the same sighting. */
static void a_place_that_may_be_far_off_learns_faster(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    g_autoptr(spl_sighting_pool) pool = NULL;
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 0, 8, TRUE, FALSE);
    pool = spl_sighting_pool_of(list);
    spl_sighting_pool_offset(pool, 0, 0, 100, &offset);
    /* 100 / (100 + 5^2) x 8 */
    expect_near(offset.mean_d, 6.4, 1e-5, "d");
}

static void a_nonsense_note_moves_little(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 0, 50, FALSE, FALSE);
    spl_sighting_offset_of(list, 0, &offset);
    /* 2.5 sqrt(36 + 81) / 50 = 0.540833, squared 0.2925: 36 / (36 + 81 / 0.2925) x 50 = 5.75, where
     * it would be 15.4 in full. */
    expect_near(offset.mean_d, 5.752212, 1e-3, "d");
}

/* What a book holds tells how far its places differ, and how well the model does. */
static void the_spreads_are_learnt(void **state)
{
    g_autoptr(GArray) quiet = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    g_autoptr(GArray) wild = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset a, b;

    (void)state;
    for (int year = 0; year < 20; year++) {
        add(quiet, 0, year % 2 == 0 ? 1 : -1, TRUE, FALSE);
        add(wild, 0, year % 2 == 0 ? 12 : -12, TRUE, FALSE);
    }
    spl_sighting_offset_of(quiet, 0, &a);
    spl_sighting_offset_of(wild, 0, &b);
    /* (6 + 20 x 1/25) / 25 and (6 + 20 x 144/25) / 25, roots */
    expect_near(a.scale, 0.521536, 1e-5, "");
    expect_near(b.scale, 2, 1e-9, ""); /* at most twice: 2.2018 by hand */
}

static void the_year_is_shared_by_hand(void **state)
{
    static const struct spl_year_note own = {"nettle", 1, 0}, other = {"elder", 1, 0};
    struct spl_year_note both[2] = {own, other};
    struct spl_year_effect effect;

    (void)state;
    spl_year_effect_of(NULL, 0, "nettle", &effect);
    expect_near(effect.mean_z, 0, 1e-12, "");
    expect_near(effect.variance_z, 1, 1e-12, "");
    /* 0.6 of the variance is the plant's year: half of the knowledge of it, and 0.24 + 0.4 left. */
    spl_year_effect_of(&own, 1, "nettle", &effect);
    expect_near(effect.mean_z, 0.6, 1e-12, "");
    expect_near(effect.variance_z, 0.64, 1e-12, "");
    /* Another plant: 0.4 of 1, and 0.24 + 0.2 + 0.4 left. */
    spl_year_effect_of(&other, 1, "nettle", &effect);
    expect_near(effect.mean_z, 0.4, 1e-12, "");
    expect_near(effect.variance_z, 0.84, 1e-12, "");
    /* Both: prior 0.4 with variance 0.44, then gain 0.44 / 0.84 of the rest. */
    spl_year_effect_of(both, 2, "nettle", &effect);
    expect_near(effect.mean_z, 0.4 + 0.44 / 0.84 * 0.6, 1e-12, "");
    expect_near(effect.variance_z, 0.44 * (1 - 0.44 / 0.84) + 0.4, 1e-12, "");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_place_that_may_be_far_off_learns_faster),
    cmocka_unit_test(a_nonsense_note_moves_little),
    cmocka_unit_test(the_spreads_are_learnt),
    cmocka_unit_test(the_year_is_shared_by_hand),
    cmocka_unit_test(the_update_agrees_with_the_check_values),
    cmocka_unit_test(one_after_the_other_is_the_same_as_all_at_once),
    cmocka_unit_test(nothing_seen_leaves_the_prior),
    cmocka_unit_test(other_sites_count_for_a_part),
    cmocka_unit_test(own_sightings_outweigh_the_others),
    cmocka_unit_test(a_blurred_sighting_counts_less),
    cmocka_unit_test(this_years_own_and_unplaced_sightings_are_left_to_the_forecast),
};
expect_main(tests)
