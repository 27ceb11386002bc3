/* SPDX-License-Identifier: MIT
 *
 * What must hold for every window: warmth never delays, height never hastens growth, knowledge
 * never widens. A sweep over places, months and weather. */
#include "core/window.h"
#include "expect.h"

static struct spl_day ymd(int month, int dom)
{
    return spl_day_from_ymd(2027, month, dom);
}

static void make_row(struct spl_almanac_row *row, const char *material, struct spl_day start,
                     double stage)
{
    spl_almanac_row_init(row);
    row->material = g_strdup(material);
    row->start = start;
    row->end = spl_day_add(start, 14);
    row->stage_from = stage;
    row->stage_to = stage + 4;
    row->lat = 50;
    row->lon = 9;
    row->elevation_m = 200;
    row->period_from = 1991;
    row->period_to = 2020;
    for (int m = 0; m < 12; m++)
        row->normals_c[m] = 9.5 - 8.5 * cos(2 * G_PI * (m + 0.3) / 12);
}

static void make_usual(const struct spl_almanac_row *row, struct spl_warmth *usual, double warmer)
{
    struct spl_normals normals;
    struct spl_normals_curve curve;

    spl_normals_from_means(row->normals_c, FALSE, &normals);
    spl_normals_to_curve(&normals, &curve);
    spl_warmth_init_normals(usual, spl_day_from_ymd(2026, 10, 15), 530, &curve, warmer);
}

/* The year so far `warmer` than usual, until the day before `today`. */
static void make_year(const struct spl_almanac_row *row, struct spl_warmth *year,
                      struct spl_day today, double warmer)
{
    double low[530], high[530], mean[SPL_NORMALS_DAYS];
    int n = CLAMP(spl_day_diff(today, spl_day_from_ymd(2026, 10, 15)), 0, 530);

    make_usual(row, year, 0);
    spl_normals_daily(row->normals_c, 50, mean);
    for (int i = 0; i < n; i++) {
        double usual = mean[spl_normals_index(spl_day_add(year->first, i))];

        low[i] = usual + warmer - 5;
        high[i] = usual + warmer + 5;
    }
    spl_warmth_add_weather(year, low, high, n, 0);
}

static void foretell(const struct spl_almanac_row *row, double elevation_m,
                     const struct spl_warmth *usual, const struct spl_warmth *year,
                     struct spl_day today, const GArray *sightings, struct spl_forecast *forecast)
{
    struct spl_window_site site = {.name = "Here",
                                   .lat = 52,
                                   .lon = 0,
                                   .elevation_m = elevation_m,
                                   .usual = usual,
                                   .year = year,
                                   .station = usual != NULL ? "Post" : NULL,
                                   .station_km = NAN,
                                   .station_elevation_m = NAN};
    struct spl_reference reference;
    struct spl_row_season base;

    spl_reference_init(row, 52, NULL, &reference);
    assert_true(spl_row_season_init(row, 2027, 52, &reference, &base));
    spl_window_forecast(&base, &site, today, sightings, forecast);
}

static void a_warmer_spring_is_never_a_later_one(void **state)
{
    (void)state;
    for (int month = 3; month <= 9; month++) {
        for (int ahead = 0; ahead <= 50; ahead += 10) {
            struct spl_almanac_row row;
            struct spl_day today;
            double last = INFINITY;

            make_row(&row, "elder/flower", ymd(month, 10), 60);
            today = spl_day_add(ymd(month, 10), -ahead);
            for (double warmer = -4; warmer <= 4; warmer += 1) {
                struct spl_warmth usual, year;
                struct spl_forecast forecast;

                make_usual(&row, &usual, 0);
                make_year(&row, &year, today, warmer);
                foretell(&row, 200, &usual, &year, today, NULL, &forecast);
                assert_true(forecast.start_n <= last + 1e-9);
                last = forecast.start_n;
                spl_warmth_clear(&usual);
                spl_warmth_clear(&year);
            }
            spl_record_clear(&spl_almanac_row_shape, &row);
        }
    }
}

static void height_never_hastens_growth_nor_delays_die_back(void **state)
{
    (void)state;
    for (int month = 3; month <= 7; month++) {
        struct spl_almanac_row row;
        double last = -INFINITY, last_warm = -INFINITY;

        make_row(&row, "nettle/leaf", ymd(month, 5), 30);
        for (double height = 0; height <= 1200; height += 150) {
            struct spl_forecast forecast;
            struct spl_warmth usual;

            foretell(&row, height, NULL, NULL, ymd(month, 1), NULL, &forecast);
            assert_true(forecast.start_n > last);
            last = forecast.start_n;
            make_usual(&row, &usual, (200 - height) * SPL_LAPSE_K_PER_M);
            foretell(&row, height, &usual, NULL, ymd(month, 1), NULL, &forecast);
            assert_true(forecast.start_n > last_warm);
            last_warm = forecast.start_n;
            spl_warmth_clear(&usual);
        }
        spl_record_clear(&spl_almanac_row_shape, &row);
    }
    for (int month = 9; month <= 11; month++) {
        struct spl_almanac_row row;
        double last = INFINITY;

        make_row(&row, "nettle/root", ymd(month, 5), 93);
        for (double height = 0; height <= 1200; height += 150) {
            struct spl_forecast forecast;

            foretell(&row, height, NULL, NULL, ymd(month, 1), NULL, &forecast);
            assert_true(forecast.start_n < last);
            last = forecast.start_n;
        }
        spl_record_clear(&spl_almanac_row_shape, &row);
    }
}

/* The year so far as usual, but for fourteen days that are eight degrees warmer. */
static void make_warm_fortnight(const struct spl_almanac_row *row, struct spl_warmth *year,
                                struct spl_day from, struct spl_day today)
{
    double low[530], high[530], mean[SPL_NORMALS_DAYS];
    int n;

    make_usual(row, year, 0);
    n = spl_day_diff(today, year->first);
    spl_normals_daily(row->normals_c, 50, mean);
    for (int i = 0; i < n; i++) {
        int after = spl_day_diff(spl_day_add(year->first, i), from);
        double usual = mean[spl_normals_index(spl_day_add(year->first, i))];

        low[i] = usual - 5 + (after >= 0 && after < 14 ? 8 : 0);
        high[i] = usual + 5 + (after >= 0 && after < 14 ? 8 : 0);
    }
    spl_warmth_add_weather(year, low, high, n, 0);
}

/*
 * A warm fortnight in winter says little of a plant of early March, and does not make it surer: of
 * what the sum would move it by, a part counts, 0.5 before March growing to all of it in April; its
 * spread stays at 0.85 of 12 d in the same measure. Before mid-January nothing counts at all.
 */
static void a_warm_winter_neither_rushes_nor_settles_early_plants(void **state)
{
    struct spl_almanac_row row;
    struct spl_warmth usual, plain, warm, december;
    struct spl_forecast as_usual, early, before;
    struct spl_day today = ymd(2, 10);
    double share, whole_d;

    (void)state;
    make_row(&row, "coltsfoot/flower", ymd(3, 8), 60);
    make_usual(&row, &usual, 0);
    make_warm_fortnight(&row, &plain, ymd(6, 1), today);
    make_warm_fortnight(&row, &warm, ymd(1, 20), today);
    make_warm_fortnight(&row, &december, spl_day_from_ymd(2026, 12, 28), today);
    foretell(&row, 200, &usual, &plain, today, NULL, &as_usual);
    foretell(&row, 200, &usual, &warm, today, NULL, &early);
    foretell(&row, 200, &usual, &december, today, NULL, &before);
    whole_d = spl_warmth_reach(&warm, as_usual.sum_from_n, as_usual.needs_dd) -
              spl_warmth_reach(&plain, as_usual.sum_from_n, as_usual.needs_dd);
    share = 0.5 + 0.5 * (67.0 - 60) / 31; /* 8 March is day 67, 1 March 60, 1 April 91 */
    assert_true(whole_d < -5);
    expect_near(early.start_n - as_usual.start_n, share * whole_d, 0.1, "d");
    assert_true(early.start_sd_d >= as_usual.start_sd_d - 0.05); /* it lies nearer */
    assert_true(early.year_sd_d >= 0.85 * 12 * sqrt((1 - share) / 0.5) - 1e-6);
    expect_near(before.start_n, as_usual.start_n, 1e-6, "d");
    spl_warmth_clear(&usual);
    spl_warmth_clear(&plain);
    spl_warmth_clear(&warm);
    spl_warmth_clear(&december);
    spl_record_clear(&spl_almanac_row_shape, &row);
}

static void the_nearer_the_better_known(void **state)
{
    struct spl_almanac_row row;
    double last = 0;

    (void)state;
    make_row(&row, "elder/flower", ymd(5, 10), 60);
    for (int ahead = 0; ahead <= 60; ahead += 5) {
        struct spl_day today = spl_day_add(ymd(5, 10), -ahead);
        struct spl_warmth usual, year;
        struct spl_forecast forecast;

        make_usual(&row, &usual, 0);
        make_year(&row, &year, today, 0);
        foretell(&row, 200, &usual, &year, today, NULL, &forecast);
        assert_true(forecast.start_sd_d >= last - 1e-9);
        last = forecast.start_sd_d;
        spl_warmth_clear(&usual);
        spl_warmth_clear(&year);
    }
    spl_record_clear(&spl_almanac_row_shape, &row);
}

static void more_sightings_pull_more_and_narrow(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    double last_offset = 0, last_sd;

    (void)state;
    make_row(&row, "elder/flower", ymd(5, 10), 60);
    foretell(&row, 200, NULL, NULL, ymd(4, 20), list, &forecast);
    last_sd = forecast.start_sd_d;
    for (int year = 2010; year < 2027; year++) {
        struct spl_sighting one = {.site = 0,
                                   .residual_d = 6,
                                   .weather_known = year % 2 == 0,
                                   .on = spl_day_from_ymd(year, 5, 16),
                                   .stage = 60};

        g_array_append_val(list, one);
        foretell(&row, 200, NULL, NULL, ymd(4, 20), list, &forecast);
        assert_true(forecast.offset_d > last_offset && forecast.offset_d < 6);
        assert_true(forecast.start_sd_d < last_sd);
        last_offset = forecast.offset_d;
        last_sd = forecast.start_sd_d;
    }
    assert_true(last_offset > 4); /* seventeen years say nearly all */
    spl_record_clear(&spl_almanac_row_shape, &row);
}

static void without_new_knowledge_a_day_changes_nothing(void **state)
{
    struct spl_almanac_row row;
    struct spl_forecast first, later;

    (void)state;
    make_row(&row, "elder/flower", ymd(5, 10), 60);
    foretell(&row, 200, NULL, NULL, ymd(4, 20), NULL, &first);
    foretell(&row, 200, NULL, NULL, ymd(5, 4), NULL, &later);
    expect_near(first.start_n, later.start_n, 0, "d");
    expect_near(first.end_p90_n, later.end_p90_n, 0, "d");
    spl_record_clear(&spl_almanac_row_shape, &row);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_warmer_spring_is_never_a_later_one),
    cmocka_unit_test(height_never_hastens_growth_nor_delays_die_back),
    cmocka_unit_test(a_warm_winter_neither_rushes_nor_settles_early_plants),
    cmocka_unit_test(the_nearer_the_better_known),
    cmocka_unit_test(more_sightings_pull_more_and_narrow),
    cmocka_unit_test(without_new_knowledge_a_day_changes_nothing),
};
expect_main(tests)
