/* Learning from stages seen: the normal-normal update against an independent program, by hand for
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
    spl_sighting_offset_of(NULL, &offset);
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
    spl_sighting_offset_of(list, &offset);
    /* By hand: shared variance 8, each site 8 + 42.25 = 50.25; precision 1/8 + 2/50.25 = 0.1648010;
     * mean 12/50.25/0.1648010 = 1.449057; variance 8 + 1/0.1648010 = 14.067924. */
    expect_near(offset.mean_d, 1.449057, 1e-5, "d");
    expect_near(offset.sd_d, sqrt(14.067924), 1e-5, "d");
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
    spl_sighting_offset_of(own, &alone);
    spl_sighting_offset_of(both, &with);
    spl_sighting_offset_of(rough, &without_weather);
    expect_near(alone.mean_d, 2.197, 6e-4, "d"); /* the first row of the check table */
    assert_true(with.mean_d < alone.mean_d && with.mean_d > 0);
    /* 16 / (16 + 9.5^2) x 8 */
    expect_near(without_weather.mean_d, 1.204706, 1e-5, "d");
}

static void a_blurred_sighting_counts_less(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 0, 8, TRUE, FALSE);
    g_array_index(list, struct spl_sighting, 0).blur_d = 4;
    spl_sighting_offset_of(list, &offset);
    /* 16 / (16 + 6.5^2 + 4^2) x 8 */
    expect_near(offset.mean_d, 1.723906, 1e-5, "d");
}

static void this_years_own_and_unplaced_sightings_are_left_to_the_forecast(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting_offset offset;

    (void)state;
    add(list, 0, 8, TRUE, TRUE);
    add(list, 0, NAN, TRUE, FALSE);
    add(list, 4, NAN, TRUE, FALSE);
    spl_sighting_offset_of(list, &offset);
    expect_near(offset.mean_d, 0, 1e-12, "d");
    assert_int_equal(offset.n, 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_update_agrees_with_the_check_values),
    cmocka_unit_test(one_after_the_other_is_the_same_as_all_at_once),
    cmocka_unit_test(nothing_seen_leaves_the_prior),
    cmocka_unit_test(other_sites_count_for_a_part),
    cmocka_unit_test(own_sightings_outweigh_the_others),
    cmocka_unit_test(a_blurred_sighting_counts_less),
    cmocka_unit_test(this_years_own_and_unplaced_sightings_are_left_to_the_forecast),
};
expect_main(tests)
