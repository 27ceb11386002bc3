/* SPDX-License-Identifier: MIT
 *
 * Windows: every basis by hand, hemispheres, New Year, what was seen this year, honest notes.
 */
#include "core/window.h"
#include "expect.h"

static void make_row(struct spl_almanac_row *row, const char *material, int month, int dom,
                     int days, double stage_from, double stage_to)
{
    spl_almanac_row_init(row);
    row->almanac = g_strdup("Invented almanac");
    row->uid = g_strdup("row-1");
    row->material = g_strdup(material);
    row->use = g_strdup("medicine");
    row->start = spl_day_from_ymd(2020, month, dom);
    row->end = spl_day_add(row->start, days - 1);
    row->stage_from = stage_from;
    row->stage_to = stage_to;
    row->lat = 50;
    row->lon = 10;
    row->elevation_m = 100;
    row->period_from = 1991;
    row->period_to = 2020;
}

static void row_free(struct spl_almanac_row *row)
{
    spl_record_clear(&spl_almanac_row_shape, row);
}

static void set_normals(struct spl_almanac_row *row, double mean_c)
{
    for (int m = 0; m < 12; m++)
        row->normals_c[m] = mean_c;
}

static struct spl_window_site place(double lat, double lon, double elevation_m)
{
    return (struct spl_window_site){.name = "Top Field",
                                    .lat = lat,
                                    .lon = lon,
                                    .elevation_m = elevation_m,
                                    .station_km = NAN,
                                    .station_elevation_m = NAN};
}

static struct spl_day ymd(int month, int dom)
{
    return spl_day_from_ymd(2027, month, dom);
}

#define expect_day(got, wanted)                                                                    \
    do {                                                                                           \
        char got_[SPL_DAY_TEXT_SIZE], wanted_[SPL_DAY_TEXT_SIZE];                                  \
        assert_string_equal(spl_day_format(got, got_), spl_day_format(wanted, wanted_));           \
    } while (0)

#define expect_note(window, part)                                                                  \
    do {                                                                                           \
        if (strstr((window).note, (part)) == NULL)                                                 \
            fail_msg("'%s' does not say '%s'", (window).note, (part));                             \
    } while (0)

/* The forecast as a line. */
static void line(const struct spl_almanac_row *row, const struct spl_window_site *site,
                 struct spl_day today, const GArray *sightings, struct spl_forecast *forecast,
                 struct spl_window *window)
{
    struct spl_reference reference;
    struct spl_row_season base;

    spl_reference_init(row, site->lat, NULL, &reference);
    assert_true(spl_row_season_init(row, 2027, site->lat, &reference, &base));
    spl_window_forecast(&base, site, today, sightings, forecast);
    spl_window_from_forecast(&base, site, forecast, window);
}

static void the_json_has_the_keys_that_were_promised(void **state)
{
    static const char *const keys[] = {
        "site",         "material",   "use",        "flush",      "year",     "earliest",
        "likely_start", "likely_end", "latest",     "stage_from", "stage_to", "basis",
        "note",         "almanac",    "almanac_km", "verdict",    "way_min",  "spare_g"};

    (void)state;
    assert_true(spl_window_shape.n_fields == G_N_ELEMENTS(keys));
    for (guint i = 0; i < G_N_ELEMENTS(keys); i++)
        assert_string_equal(spl_window_shape.fields[i].key, keys[i]);
}

static void the_almanacs_own_dates_say_that_they_are_not_moved(void **state)
{
    struct spl_almanac_row row;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    assert_true(spl_window_from_almanac(&row, "Top Field", 54, 2027, &window));
    assert_string_equal(window.site, "Top Field");
    assert_string_equal(window.material, "dandelion/flower");
    assert_int_equal(window.basis, SPL_BASIS_ALMANAC);
    assert_int_equal(window.year, 2027);
    expect_day(window.likely_start, ymd(5, 1));
    expect_day(window.likely_end, ymd(5, 10));
    /* sd by hand: 7.5 d between years and 10.5 d between places not moved: 12.904; x 1.2816 = 16.5
     */
    expect_day(window.earliest, ymd(4, 14));
    expect_day(window.latest, ymd(5, 27));
    expect_note(window, "not yet moved to this place");
    assert_true(window.row == &row);
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void a_place_is_reached_by_latitude_and_height(void **state)
{
    struct spl_window_site site = place(54, -2, 300);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    line(&row, &site, ymd(4, 20), NULL, &forecast, &window);
    /* 4 x 3.5 (the mean of 3.75 at 50 and 3.25 at 54 degrees) + 2 x 3.4 = 20.8 d later. sd:
     * sqrt(7.5^2 + 6^2 + (20.8/4)^2) = 10.921, x 1.28155 = 14.0 */
    assert_int_equal(window.basis, SPL_BASIS_SHIFTED);
    expect_near(forecast.start_shift_d, 20.8, 1e-9, "d");
    expect_near(forecast.start_sd_d, 10.921, 1e-3, "d");
    expect_day(window.likely_start, ymd(5, 22));
    expect_day(window.likely_end, ymd(5, 31));
    expect_day(window.earliest, ymd(5, 8));
    expect_day(window.latest, ymd(6, 14));
    expect_note(window, "21 days later");
    assert_false(forecast.far_ahead);
    assert_null(strstr(window.note, "usual date"));
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void an_unknown_height_is_said_and_widens(void **state)
{
    struct spl_window_site known = place(50, 10, 0), unknown = place(50, 10, NAN);
    struct spl_almanac_row row;
    struct spl_forecast a, b;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    line(&row, &known, ymd(4, 20), NULL, &a, &window);
    spl_record_clear(&spl_window_shape, &window);
    line(&row, &unknown, ymd(4, 20), NULL, &b, &window);
    assert_true(b.elevation_assumed);
    expect_near(b.start_n, a.start_n, 1e-9, "d");
    /* 150 m at 3.4 d per 100 m: 5.1 d more, in quadrature. */
    expect_near(b.start_sd_d * b.start_sd_d - a.start_sd_d * a.start_sd_d, 5.1 * 5.1, 1e-9, "d2");
    expect_note(window, "height is not known, taken as 0 m");
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void no_place_leaves_the_almanac(void **state)
{
    struct spl_window_site nowhere = place(NAN, NAN, NAN), site = place(54, -2, 300);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    line(&row, &nowhere, ymd(4, 20), NULL, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_ALMANAC);
    spl_record_clear(&spl_window_shape, &window);
    row.lat = row.lon = NAN;
    line(&row, &site, ymd(4, 20), NULL, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_ALMANAC);
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void roots_come_earlier_with_height(void **state)
{
    struct spl_window_site site = place(54, 10, 300);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "nettle/root", 10, 15, 40, 97, 97);
    line(&row, &site, ymd(10, 1), NULL, &forecast, &window);
    expect_near(forecast.start_shift_d, -4, 1e-9, "d"); /* 2 x -2.0 */
    expect_day(window.likely_start, ymd(10, 11));
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void the_other_hemisphere_is_half_a_year_away(void **state)
{
    struct spl_window_site site = place(-50, 170, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    line(&row, &site, ymd(10, 1), NULL, &forecast, &window);
    assert_true(forecast.half_year);
    expect_near(forecast.start_shift_d, 0, 1e-9, "d");
    expect_day(window.likely_start, ymd(10, 30)); /* 1 May + 182 */
    assert_int_equal(window.year, 2027);
    expect_note(window, "half a year");
    spl_record_clear(&spl_window_shape, &window);
    /* A northern September is a southern March, of the season that began the July before. */
    row_free(&row);
    make_row(&row, "hawthorn/berry", 9, 10, 20, 85, 89);
    line(&row, &site, ymd(12, 1), NULL, &forecast, &window);
    expect_day(window.likely_start, spl_day_from_ymd(2028, 3, 10)); /* 10 Sep 2027 + 182 */
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

/* A station's usual year of `mean_c` throughout, spread as the almanac's own normals have it. */
static void usual_year(struct spl_warmth *warmth, double mean_c)
{
    double means[12];
    struct spl_normals normals;
    struct spl_normals_curve curve;

    for (int m = 0; m < 12; m++)
        means[m] = mean_c;
    spl_normals_from_means(means, FALSE, &normals);
    spl_normals_to_curve(&normals, &curve);
    spl_warmth_init_normals(warmth, spl_day_from_ymd(2026, 10, 1), 600, &curve, 0);
}

static void usual_warmth_moves_a_window(void **state)
{
    struct spl_window_site site = place(54, -2, 300);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;
    struct spl_warmth usual;

    (void)state;
    make_row(&row, "dandelion/flower", 7, 1, 10, 61, 65);
    set_normals(&row, 15);
    usual_year(&usual, 12);
    site.usual = &usual;
    site.station = "Low Mill";
    site.station_km = 11.6;
    site.station_elevation_m = 100;
    line(&row, &site, ymd(5, 20), NULL, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_NORMALS);
    /* 60 days at 15 make close to 900 degree-days, which takes 75 days at 12: 15 days later. The
     * height is in the temperatures already: no shift on top. */
    expect_near(forecast.needs_dd, 900, 2, "degree-days");
    expect_near(forecast.start_n, ymd(7, 16).n, 0.5, "d");
    expect_day(window.likely_start, ymd(7, 16));
    expect_note(window, "Low Mill, 12 km");
    /* A site as warm as the reference place has the reference's days. */
    spl_record_clear(&spl_window_shape, &window);
    spl_warmth_clear(&usual);
    usual_year(&usual, 15);
    line(&row, &site, ymd(5, 20), NULL, &forecast, &window);
    expect_near(forecast.start_n, ymd(7, 1).n, 1e-6, "d");
    expect_near(forecast.end_n, ymd(7, 10).n, 1e-6, "d");
    spl_record_clear(&spl_window_shape, &window);
    spl_warmth_clear(&usual);
    row_free(&row);
}

static void this_years_days_move_it_further(void **state)
{
    struct spl_window_site site = place(50, 10, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast, without;
    struct spl_window window;
    struct spl_warmth usual, year;
    double low[600], high[600];
    int until;

    (void)state;
    make_row(&row, "dandelion/flower", 7, 1, 10, 61, 65);
    set_normals(&row, 15);
    usual_year(&usual, 15);
    usual_year(&year, 15);
    /* 18 C instead of 15 for the 30 days from 2 May (the sum begins on 2 May, 60 days before). */
    until = ymd(6, 1).n - usual.first.n;
    for (int i = 0; i < until; i++)
        low[i] = high[i] = i < ymd(5, 2).n - usual.first.n ? 15 : 18;
    spl_warmth_add_weather(&year, low, high, until, 0);
    site.usual = &usual;
    site.year = &year;
    site.station = "Low Mill";
    site.station_km = 3;
    line(&row, &site, ymd(6, 1), NULL, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_WEATHER);
    /* 540 of 900 are reached, 360 at 15 a day take 24 more days: 6 days early. */
    expect_near(forecast.reached_dd, 540, 1, "degree-days");
    expect_near(forecast.start_n, ymd(6, 25).n, 0.3, "d");
    expect_note(window, "31 May 2027");
    /* 24.. days ahead; sd by hand: 6^2 + 5^2 + (6^2 - 5^2) x 25/60, from the last measured day
     */
    expect_near(forecast.start_sd_d, sqrt(36 + 25 + 11 * 25.0 / 60), 0.05, "d");
    spl_record_clear(&spl_window_shape, &window);

    /* Without normals in the almanac the warm weather still counts, from the shifted date. */
    set_normals(&row, NAN);
    line(&row, &site, ymd(6, 1), NULL, &without, &window);
    assert_int_equal(window.basis, SPL_BASIS_WEATHER);
    expect_near(without.start_n, forecast.start_n, 0.01, "d");
    spl_record_clear(&spl_window_shape, &window);
    site.year = NULL;
    line(&row, &site, ymd(6, 1), NULL, &without, &window);
    assert_int_equal(window.basis, SPL_BASIS_SHIFTED);
    spl_record_clear(&spl_window_shape, &window);
    spl_warmth_clear(&usual);
    spl_warmth_clear(&year);
    row_free(&row);
}

static void die_back_is_no_matter_of_warmth_sums(void **state)
{
    struct spl_window_site site = place(50, 10, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;
    struct spl_warmth usual;

    (void)state;
    make_row(&row, "nettle/root", 10, 15, 40, 97, 97);
    set_normals(&row, 10);
    usual_year(&usual, 5);
    site.usual = &usual;
    site.station = "Low Mill";
    line(&row, &site, ymd(10, 1), NULL, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_SHIFTED);
    expect_day(window.likely_start, ymd(10, 15));
    spl_record_clear(&spl_window_shape, &window);
    spl_warmth_clear(&usual);
    row_free(&row);
}

static void a_place_too_cold_for_the_sum_falls_back(void **state)
{
    struct spl_window_site site = place(50, 10, 2500);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;
    struct spl_warmth usual;

    (void)state;
    make_row(&row, "dandelion/flower", 7, 1, 10, 61, 65);
    set_normals(&row, 15);
    usual_year(&usual, -30);
    site.usual = &usual;
    site.station = "Low Mill";
    line(&row, &site, ymd(5, 20), NULL, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_SHIFTED);
    spl_record_clear(&spl_window_shape, &window);
    spl_warmth_clear(&usual);
    row_free(&row);
}

static struct spl_sighting seen(int site, double residual, double stage, struct spl_day on,
                                gboolean this_year)
{
    return (struct spl_sighting){.site = site,
                                 .residual_d = residual,
                                 .weather_known = TRUE,
                                 .this_year = this_year,
                                 .on = on,
                                 .stage = stage};
}

static void what_was_seen_corrects(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting one = seen(0, 8, 61, spl_day_from_ymd(2026, 5, 9), FALSE);
    struct spl_window_site site = place(50, 10, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    g_array_append_val(list, one);
    line(&row, &site, ymd(4, 20), list, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_OBSERVED);
    /* 36 / (36 + 5^2) of 8 */
    expect_near(forecast.offset_d, 4.72131, 1e-5, "d");
    expect_near(forecast.start_n, ymd(5, 1).n + 4.72131, 1e-5, "d");
    expect_day(window.likely_start, ymd(5, 6));
    /* 1/(1/36 + 1/25) + 7.5^2: the site's own part is better known than 6 d now. */
    expect_near(forecast.start_sd_d, sqrt(14.75410 + 56.25), 1e-5, "d");
    expect_note(window, "5 days later");
    expect_note(window, "1 sighting");
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void flowers_seen_this_year_count_nearly_in_full(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting one = seen(0, -10, 61, ymd(4, 21), TRUE);
    struct spl_window_site site = place(50, 10, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    g_array_append_val(list, one);
    line(&row, &site, ymd(4, 22), list, &forecast, &window);
    /* By hand: (36 + 56.25) / (36 + 56.25 + 9) = 0.911111 of -10. */
    assert_int_equal(window.basis, SPL_BASIS_OBSERVED);
    expect_near(forecast.offset_d, -9.11111, 1e-4, "d");
    assert_true(forecast.start_sd_d < 4);
    expect_day(window.likely_start, ymd(4, 22));
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void a_stage_seen_this_year_bounds_the_window(void **state)
{
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    struct spl_sighting bud = seen(0, NAN, 55, ymd(5, 4), TRUE);
    struct spl_sighting over = seen(0, NAN, 69, ymd(5, 7), TRUE);
    struct spl_sighting elsewhere = seen(2, NAN, 69, ymd(5, 6), TRUE);
    struct spl_window_site site = place(50, 10, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    /* Still in bud on 4 May: it begins after that day. */
    g_array_append_val(list, bud);
    g_array_append_val(list, elsewhere);
    line(&row, &site, ymd(5, 5), list, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_OBSERVED);
    /* N(1 May, 36 + 7.5^2) cut off below 5 May; by tables of the normal distribution: P10 5.91, P50
     * 10.19 May. */
    expect_day(window.earliest, ymd(5, 6));
    expect_day(window.likely_start, ymd(5, 10));
    spl_record_clear(&spl_window_shape, &window);
    /* Over on 7 May: no later day is right. */
    g_array_append_val(list, over);
    line(&row, &site, ymd(5, 8), list, &forecast, &window);
    assert_true(window.earliest.n >= ymd(5, 5).n);
    assert_true(window.latest.n <= ymd(5, 7).n);
    assert_true(window.earliest.n <= window.likely_start.n);
    assert_true(window.likely_start.n <= window.likely_end.n);
    expect_note(window, "over");
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void far_ahead_is_little_better_than_the_usual_date(void **state)
{
    struct spl_window_site site = place(50, 10, 100);
    struct spl_almanac_row row;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    line(&row, &site, ymd(3, 16), NULL, &forecast, &window); /* 46 days */
    assert_true(forecast.far_ahead);
    expect_note(window, "little better than the usual date");
    spl_record_clear(&spl_window_shape, &window);
    line(&row, &site, ymd(3, 17), NULL, &forecast, &window); /* 45 days */
    assert_false(forecast.far_ahead);
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void the_persons_own_days_win(void **state)
{
    struct spl_window_site site = place(54, 10, 100);
    struct spl_almanac_row row;
    struct spl_reference reference;
    struct spl_row_season base;
    struct spl_forecast forecast;
    struct spl_window window;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 65);
    spl_reference_init(&row, 54, NULL, &reference);
    assert_true(spl_row_season_init(&row, 2027, 54, &reference, &base));
    spl_window_forecast(&base, &site, ymd(1, 1), NULL, &forecast);
    spl_window_forecast_fix(&forecast, ymd(4, 20), ymd(4, 29));
    spl_window_from_forecast(&base, &site, &forecast, &window);
    assert_int_equal(window.basis, SPL_BASIS_FIXED);
    expect_day(window.earliest, ymd(4, 20));
    expect_day(window.likely_start, ymd(4, 20));
    expect_day(window.likely_end, ymd(4, 29));
    expect_day(window.latest, ymd(4, 29));
    expect_note(window, "your calendar");
    assert_null(strstr(window.note, "usual date"));
    spl_record_clear(&spl_window_shape, &window);
    row_free(&row);
}

static void stages_lie_on_a_line_between_the_rows_own(void **state)
{
    struct spl_forecast forecast = {.start_n = 100, .end_n = 110};
    struct spl_almanac_row row;

    (void)state;
    make_row(&row, "dandelion/flower", 5, 1, 10, 61, 66);
    expect_near(spl_window_stage_day(&row, &forecast, 61), 100, 1e-9, "d");
    expect_near(spl_window_stage_day(&row, &forecast, 63), 104, 1e-9, "d");
    expect_near(spl_window_stage_day(&row, &forecast, 66), 110, 1e-9, "d");
    expect_near(spl_window_stage_blur(&row, &forecast, 61), 0, 1e-9, "d");
    expect_near(spl_window_stage_blur(&row, &forecast, 63), 1, 1e-9, "d"); /* a quarter of 4 */
    assert_true(isnan(spl_window_stage_day(&row, &forecast, 59)));
    assert_true(isnan(spl_window_stage_day(&row, &forecast, 67)));
    row.stage_to = 61;
    expect_near(spl_window_stage_day(&row, &forecast, 61), 100, 1e-9, "d");
    row.stage_from = NAN;
    assert_true(isnan(spl_window_stage_day(&row, &forecast, 61)));
    row_free(&row);
}

/* Whatever is put in, the four days stand in order and the note says something. */
static void days_are_always_in_order(void **state)
{
    static const double lats[] = {-55, -10, 0, 35, 54, 70}, heights[] = {NAN, 0, 900, 2500};
    static const double means[] = {-8, 3, 11, 24};

    (void)state;
    for (guint m = 0; m < G_N_ELEMENTS(means); m++) {
        struct spl_warmth usual;

        usual_year(&usual, means[m]);
        for (guint l = 0; l < G_N_ELEMENTS(lats); l++) {
            for (guint h = 0; h < G_N_ELEMENTS(heights); h++) {
                for (int month = 1; month <= 12; month++) {
                    struct spl_window_site site = place(lats[l], 3, heights[h]);
                    struct spl_almanac_row row;
                    struct spl_forecast forecast;
                    struct spl_window w;

                    make_row(&row, month > 8 ? "nettle/root" : "nettle/leaf", month, 3, 5, 13, 97);
                    if (month % 2 == 0)
                        set_normals(&row, 9);
                    site.usual = &usual;
                    site.station = "Low Mill";
                    line(&row, &site, ymd(month, 1), NULL, &forecast, &w);
                    assert_true(w.earliest.n <= w.likely_start.n);
                    assert_true(w.likely_start.n <= w.likely_end.n);
                    assert_true(w.likely_end.n <= w.latest.n);
                    assert_true(*w.note != '\0');
                    spl_record_clear(&spl_window_shape, &w);
                    row_free(&row);
                }
            }
        }
        spl_warmth_clear(&usual);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_json_has_the_keys_that_were_promised),
    cmocka_unit_test(the_almanacs_own_dates_say_that_they_are_not_moved),
    cmocka_unit_test(a_place_is_reached_by_latitude_and_height),
    cmocka_unit_test(an_unknown_height_is_said_and_widens),
    cmocka_unit_test(no_place_leaves_the_almanac),
    cmocka_unit_test(roots_come_earlier_with_height),
    cmocka_unit_test(the_other_hemisphere_is_half_a_year_away),
    cmocka_unit_test(usual_warmth_moves_a_window),
    cmocka_unit_test(this_years_days_move_it_further),
    cmocka_unit_test(die_back_is_no_matter_of_warmth_sums),
    cmocka_unit_test(a_place_too_cold_for_the_sum_falls_back),
    cmocka_unit_test(what_was_seen_corrects),
    cmocka_unit_test(flowers_seen_this_year_count_nearly_in_full),
    cmocka_unit_test(a_stage_seen_this_year_bounds_the_window),
    cmocka_unit_test(far_ahead_is_little_better_than_the_usual_date),
    cmocka_unit_test(the_persons_own_days_win),
    cmocka_unit_test(stages_lie_on_a_line_between_the_rows_own),
    cmocka_unit_test(days_are_always_in_order),
};
expect_main(tests)
