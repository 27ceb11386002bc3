/* SPDX-License-Identifier: MIT
 *
 * Forecasts against Washington's cherries: full bloom 1950-2021 (US National Park Service, via EPA)
 * and the daily temperatures of GHCN-Daily USC00186350 (NOAA), each year foretold from the others
 * only, through the same code that `window list` runs. What is fitted is fitted anew for each year
 * from the others: the mean date, the normals, the site's offset, how it wanders and how large the
 * model's error is. That offsets may wander was put in after the errors of this very series were
 * seen to lean one way before 1975 and the other way since. Skipped without the data (open_data.h).
 */
#include "core/window.h"
#include "open_data.h"
#include "sheet.h"

#define FIRST_YEAR 1950
#define LAST_YEAR 2021
#define YEARS (LAST_YEAR - FIRST_YEAR + 1)
#define SPAN_FIRST_MONTH 11 /* of the year before */
#define SPAN_DAYS 300

/* One year: its bloom, and its days from November before, NAN where nothing was measured. */
struct year {
    gboolean usable;
    struct spl_day bloom;
    double tmin_c[SPAN_DAYS], tmax_c[SPAN_DAYS];
};

static struct year years[YEARS];
static GArray *days; /* of struct spl_weather_day */

static struct spl_day span_first(int year)
{
    return spl_day_from_ymd(year - 1, SPAN_FIRST_MONTH, 1);
}

static void load(void)
{
    g_autofree char *bloom_path = open_data_path("washingtondc_cherry_1921_2026.csv");
    g_autofree char *days_path = open_data_path("ghcnd_USC00186350_daily_tmin_tmax_1950_2022.csv");
    g_autoptr(spl_sheet) bloom = sheet_open_path(bloom_path);
    g_autoptr(spl_sheet) weather = sheet_open_path(days_path);
    days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    for (int y = 0; y < YEARS; y++) {
        for (int i = 0; i < SPAN_DAYS; i++)
            years[y].tmin_c[i] = years[y].tmax_c[i] = NAN;
        years[y].bloom = SPL_DAY_NONE;
    }
    for (guint row = 0; row < sheet_rows(weather); row++) {
        struct spl_weather_day day = {.tmin_c = sheet_number(weather, row, "tmin_c"),
                                      .tmax_c = sheet_number(weather, row, "tmax_c")};

        if (!spl_day_parse(sheet_text(weather, row, "date"), "date", &day.day, NULL))
            fail_msg("bad date in row %u", row);
        g_array_append_val(days, day);
        for (int y = 0; y < YEARS; y++) {
            int i = spl_day_diff(day.day, span_first(FIRST_YEAR + y));

            if (i >= 0 && i < SPAN_DAYS) {
                years[y].tmin_c[i] = day.tmin_c;
                years[y].tmax_c[i] = day.tmax_c;
            }
        }
    }
    for (guint row = 0; row < sheet_rows(bloom); row++) {
        int year = (int)sheet_number(bloom, row, "year");

        if (year >= FIRST_YEAR && year <= LAST_YEAR &&
            !spl_day_parse(sheet_text(bloom, row, "bloom_date"), "bloom",
                           &years[year - FIRST_YEAR].bloom, NULL))
            fail_msg("bad bloom date in %d", year);
    }
    /* A year counts with its bloom and nine tenths of the days of February to April measured. */
    for (int y = 0; y < YEARS; y++) {
        int from = spl_day_diff(spl_day_from_ymd(FIRST_YEAR + y, 2, 1), span_first(FIRST_YEAR + y));
        int measured = 0;

        for (int i = from; i < from + 89; i++)
            measured += !isnan(years[y].tmin_c[i]);
        years[y].usable = spl_day_is_set(years[y].bloom) && measured >= 80;
    }
}

/* What the other years teach. */
struct lesson {
    struct spl_almanac_row row;
    struct spl_normals normals;
    struct spl_normals_curve curve;
    double mean_day; /* of the year, 1.. */
    double sd_d;
    GArray *sightings;
    int left_out;
};

static void foretell(const struct lesson *lesson, int year, int known_days, struct spl_day today,
                     const GArray *sightings, struct spl_forecast *forecast)
{
    struct spl_warmth usual, this_year;
    struct spl_reference reference;
    struct spl_row_season base;
    struct spl_window_site site = {.name = "Tidal basin",
                                   .lat = lesson->row.lat,
                                   .lon = lesson->row.lon,
                                   .elevation_m = lesson->row.elevation_m,
                                   .usual = &usual,
                                   .year = &this_year,
                                   .station = "USC00186350",
                                   .station_km = 5,
                                   .station_elevation_m = 0};

    struct spl_warmth_years others;

    spl_warmth_init_normals(&usual, span_first(year), SPAN_DAYS, &lesson->curve, 0);
    spl_warmth_years_init(&others, &usual);
    for (int y = 0; y < YEARS; y++) {
        if (years[y].usable && FIRST_YEAR + y != year && FIRST_YEAR + y != lesson->left_out)
            spl_warmth_years_add(&others, years[y].tmin_c, years[y].tmax_c, 0);
    }
    site.years = &others;
    spl_warmth_init_normals(&this_year, span_first(year), SPAN_DAYS, &lesson->curve, 0);
    spl_warmth_add_weather(&this_year, years[year - FIRST_YEAR].tmin_c,
                           years[year - FIRST_YEAR].tmax_c, CLAMP(known_days, 0, SPAN_DAYS), 0);
    spl_reference_init(&lesson->row, lesson->row.lat, &lesson->normals, &reference);
    if (!spl_row_season_init(&lesson->row, year, lesson->row.lat, &reference, &base))
        fail_msg("no days in %d", year);
    spl_window_forecast(&base, &site, today, sightings, forecast);
    spl_warmth_clear(&usual);
    spl_warmth_clear(&this_year);
    spl_warmth_years_clear(&others);
}

static void learn(int left_out, struct lesson *lesson)
{
    g_autoptr(GArray) rest = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    struct spl_day out_first = spl_day_from_ymd(left_out, 1, 1);
    struct spl_day out_last = spl_day_from_ymd(left_out, 12, 31);
    double sum = 0, squares = 0;
    int n = 0;

    lesson->left_out = left_out;

    for (guint i = 0; i < days->len; i++) {
        struct spl_weather_day day = g_array_index(days, struct spl_weather_day, i);

        if (day.day.n < out_first.n || day.day.n > out_last.n)
            g_array_append_val(rest, day);
    }
    if (!spl_normals_from_days((const struct spl_weather_day *)(const void *)rest->data, rest->len,
                               SPL_NORMALS_MIN_YEARS, &lesson->normals))
        fail_msg("no normals without %d", left_out);
    spl_normals_to_curve(&lesson->normals, &lesson->curve);
    for (int y = 0; y < YEARS; y++) {
        double day;

        if (!years[y].usable || FIRST_YEAR + y == left_out)
            continue;
        day = spl_day_of_year(years[y].bloom);
        sum += day;
        squares += day * day;
        n++;
    }
    lesson->mean_day = sum / n;
    lesson->sd_d = sqrt((squares - sum * sum / n) / (n - 1));
    spl_almanac_row_init(&lesson->row);
    lesson->row.material = g_strdup("cherry/flower");
    lesson->row.start = spl_day_add(spl_day_from_ymd(2023, 1, 1), (int)rint(lesson->mean_day) - 1);
    lesson->row.end = spl_day_add(lesson->row.start, 6);
    lesson->row.stage_from = 65;
    lesson->row.stage_to = 69;
    lesson->row.lat = 38.8853;
    lesson->row.lon = -77.0386;
    lesson->row.elevation_m = 0;
    lesson->row.period_from = lesson->row.normals_from = FIRST_YEAR;
    lesson->row.period_to = lesson->row.normals_to = LAST_YEAR;
    memcpy(lesson->row.normals_c, lesson->normals.mean_c, sizeof lesson->row.normals_c);
    lesson->sightings = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
    for (int y = 0; y < YEARS; y++) {
        struct spl_forecast forecast;
        struct spl_sighting one = {.site = 0, .weather_known = TRUE, .stage = 65};

        if (!years[y].usable || FIRST_YEAR + y == left_out)
            continue;
        foretell(lesson, FIRST_YEAR + y, SPAN_DAYS, years[y].bloom, NULL, &forecast);
        one.residual_d = years[y].bloom.n - forecast.start_n;
        one.on = years[y].bloom;
        g_array_append_val(lesson->sightings, one);
    }
}

static void lesson_clear(struct lesson *lesson)
{
    spl_record_clear(&spl_almanac_row_shape, &lesson->row);
    g_array_unref(lesson->sightings);
}

struct score {
    double squares, bias, part;
    int n, inside;
};

static void count(struct score *score, double error_d, gboolean inside)
{
    score->squares += error_d * error_d;
    score->bias += error_d;
    score->inside += inside;
    score->n++;
}

/* P10 and P90 as they are told, in whole days; a bloom is some time of its day. */
static gboolean holds(const struct spl_forecast *forecast, double seen)
{
    return seen >= rint(forecast->start_p10_n) && seen <= rint(forecast->start_p90_n);
}

/* The part of the day of the bloom that lies in P10-P90: of this, unlike of whole days, 80 % is
 * exact. */
static double part_held(const struct spl_forecast *forecast, double seen)
{
    return MAX(0, MIN(seen + 0.5, forecast->start_p90_n) - MAX(seen - 0.5, forecast->start_p10_n));
}

/*
 * Which of the two counts is fair. Of a forecast that is right, N(0, spread^2) about a time of any
 * hour, the parts of days hold 80 %. Whole days hold more: at either end half a day more on the
 * average, each day at P10 and P90 worth 0.1755 / spread (the normal density there), together
 * 17.5 % / spread, 4.4 % for four days. A person is told whole days; 80 % is to be the count by
 * parts.
 */
static void parts_of_days_are_the_fair_count(void **state)
{
    static const double spreads[] = {4, 6};
    enum { HOURS = 24, STEPS = 4000 };

    (void)state;
    for (gsize k = 0; k < G_N_ELEMENTS(spreads); k++) {
        double parts = 0, whole = 0;

        for (int hour = 0; hour < HOURS; hour++) {
            for (int step = 0; step < STEPS; step++) {
                double z = -5 + 10 * (step + 0.5) / STEPS;
                double weight = exp(-z * z / 2) / sqrt(2 * G_PI) * 10 / STEPS / HOURS;
                double mean = 100 + (hour + 0.5) / HOURS;
                const struct spl_forecast forecast = {
                    .start_n = mean,
                    .start_p10_n = mean - SPL_WINDOW_P90 * spreads[k],
                    .start_p90_n = mean + SPL_WINDOW_P90 * spreads[k]};
                double seen = floor(mean + z * spreads[k] + 0.5);

                parts += weight * part_held(&forecast, seen);
                whole += weight * holds(&forecast, seen);
            }
        }
        print_message(
            "a right forecast of +-%.0f d: %.1f%% in whole days, %.1f%% by parts of days\n",
            spreads[k], 100 * whole, 100 * parts);
        expect_near(100 * parts, 80, 0.5, "%");
        expect_near(100 * whole, 80 + 17.5 / spreads[k], 1, "%");
    }
}

/* Half of the 95 % binomial band about 80 %, in percent. Of 57 to 69 years a right forecast lies
 * between 75 and 85 % at four leads at once in one case of four or five only: that it should is no
 * test of it, but that all leads together do is. */
static double band(int n)
{
    return 1.96 * sqrt(0.8 * 0.2 / n) * 100;
}

static double rmse(const struct score *score)
{
    return sqrt(score->squares / score->n);
}

static void each_year_is_foretold_from_the_others(void **state)
{
    static const int leads[] = {60, 45, 30, 21, 14, 7};
    /* What was reached before offsets wandered, or before windows had a spread of their own. */
    static const double at_most[] = {NAN, NAN, 6.51, 6.13, 5.54, 4.75};
    struct score fixed = {0}, after = {0}, lead[G_N_ELEMENTS(leads)] = {{0}};
    int covered = 0, all = 0;
    double parts = 0;

    (void)state;
    load();
    for (int y = 0; y < YEARS; y++) {
        int year = FIRST_YEAR + y;
        struct spl_forecast forecast;
        struct spl_sighting not_yet;
        struct lesson lesson;
        double seen = years[y].bloom.n, mean_n;

        if (!years[y].usable)
            continue;
        learn(year, &lesson);
        mean_n = spl_day_from_ymd(year, 1, 1).n + lesson.mean_day - 1;
        count(&fixed, mean_n - seen, fabs(mean_n - seen) <= SPL_WINDOW_P90 * lesson.sd_d);
        foretell(&lesson, year, SPAN_DAYS, years[y].bloom, lesson.sightings, &forecast);
        count(&after, forecast.start_n - seen, holds(&forecast, seen));
        for (guint l = 0; l < G_N_ELEMENTS(leads); l++) {
            struct spl_day today = {(gint32)rint(mean_n) - leads[l]};

            if (years[y].bloom.n < today.n)
                continue; /* nobody foretells what is over; that it is not yet so, one sees */
            not_yet = (struct spl_sighting){.site = 0,
                                            .residual_d = NAN,
                                            .this_year = TRUE,
                                            .on = spl_day_add(today, -1),
                                            .stage = 59};
            g_array_append_val(lesson.sightings, not_yet);
            foretell(&lesson, year, today.n - span_first(year).n, today, lesson.sightings,
                     &forecast);
            g_array_set_size(lesson.sightings, lesson.sightings->len - 1);
            assert_int_equal(forecast.basis, SPL_BASIS_OBSERVED);
            count(&lead[l], forecast.start_n - seen, holds(&forecast, seen));
            lead[l].part += part_held(&forecast, seen);
        }
        lesson_clear(&lesson);
    }
    print_message("fixed mean date: %d years, RMSE %.2f d, %d%% in P10-P90\n", fixed.n,
                  rmse(&fixed), 100 * fixed.inside / fixed.n);
    print_message("thermal time after the fact: RMSE %.2f d, bias %.2f d, %d%% in P10-P90\n",
                  rmse(&after), after.bias / after.n, 100 * after.inside / after.n);
    for (guint l = 0; l < G_N_ELEMENTS(leads); l++)
        print_message(
            "%2d days ahead: %d years, RMSE %.2f d, bias %.2f d, in P10-P90 %.1f%% in whole "
            "days, %.1f%% by parts of days\n",
            leads[l], lead[l].n, rmse(&lead[l]), lead[l].bias / lead[l].n,
            100.0 * lead[l].inside / lead[l].n, 100 * lead[l].part / lead[l].n);
    assert_true(fixed.n >= 60);
    assert_true(rmse(&after) < rmse(&fixed));
    assert_true(rmse(&after) <= 4.84);
    for (guint l = 0; l < G_N_ELEMENTS(leads); l++) {
        if (isnan(at_most[l]))
            continue;
        if (!(rmse(&lead[l]) <= at_most[l]))
            fail_msg("%d days ahead: RMSE %.2f d, at most %.2f", leads[l], rmse(&lead[l]),
                     at_most[l]);
        covered += lead[l].inside;
        all += lead[l].n;
        parts += lead[l].part;
        expect_near(100.0 * lead[l].inside / lead[l].n, 80, band(lead[l].n), "%");
        expect_near(100 * lead[l].part / lead[l].n, 80, band(lead[l].n), "%");
    }
    print_message(
        "P10-P90 holds %.1f%% of all forecasts 30 to 7 days ahead in whole days, %.1f%% by "
        "parts of days\n",
        100.0 * covered / all, 100 * parts / all);
    expect_near(100.0 * covered / all, 80, 5, "%");
    expect_near(100 * parts / all, 80, 5, "%");
    g_array_unref(days);
}

/* The sightings of the `n` years before a year, without what was seen in it. */
static GArray *years_before(const struct lesson *lesson, int year, guint n)
{
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));

    for (guint i = lesson->sightings->len; i > 0 && list->len < n; i--) {
        const struct spl_sighting *one =
            &g_array_index(lesson->sightings, struct spl_sighting, i - 1);

        if (one->on.n < spl_day_from_ymd(year, 1, 1).n)
            g_array_append_val(list, *one);
    }
    return list;
}

static int compare_days(gconstpointer a, gconstpointer b)
{
    const double *x = a, *y = b;

    return (*x > *y) - (*x < *y);
}

/*
 * What a person gets, who has only the years before: fourteen days ahead without a note, with the
 * last ten years' and with all of them. And the earliest eighth of the years, in which one misses
 * the harvest: chosen by how they came out, they are foretold late by any honest forecast; but "may
 * begin" is to be too late for no more than the tenth that it says, of all years.
 */
static void notes_help_and_early_years_are_not_missed_more_than_said(void **state)
{
    static const guint notes[] = {0, 10, 100};
    struct score score[3] = {{0}}, earliest = {0};
    g_autoptr(GArray) blooms = g_array_new(FALSE, FALSE, sizeof(double));
    int missed = 0;
    double eighth;

    (void)state;
    load();
    for (int y = 0; y < YEARS; y++) {
        double day = spl_day_of_year(years[y].bloom);

        if (years[y].usable)
            g_array_append_val(blooms, day);
    }
    g_array_sort(blooms, compare_days);
    eighth = g_array_index(blooms, double, blooms->len / 8 - 1);
    for (int y = 10; y < YEARS; y++) {
        int year = FIRST_YEAR + y;
        double seen = years[y].bloom.n;
        struct lesson lesson;

        if (!years[y].usable)
            continue;
        learn(year, &lesson);
        for (gsize k = 0; k < G_N_ELEMENTS(notes); k++) {
            g_autoptr(GArray) before = years_before(&lesson, year, notes[k]);
            struct spl_day today =
                spl_day_add(spl_day_from_ymd(year, 1, 1), (int)rint(lesson.mean_day) - 1 - 14);
            struct spl_forecast forecast;

            if (years[y].bloom.n < today.n)
                continue;
            foretell(&lesson, year, today.n - span_first(year).n, today, before, &forecast);
            count(&score[k], forecast.start_n - seen, holds(&forecast, seen));
            if (k < 2)
                continue;
            missed += seen < rint(forecast.start_p10_n);
            if (spl_day_of_year(years[y].bloom) <= eighth)
                count(&earliest, forecast.start_n - seen, holds(&forecast, seen));
        }
        lesson_clear(&lesson);
    }
    for (gsize k = 0; k < G_N_ELEMENTS(notes); k++)
        print_message(
            "14 days ahead, %3u years of notes: %d years, RMSE %.2f d, bias %.2f d, %.0f%% "
            "in P10-P90\n",
            notes[k], score[k].n, rmse(&score[k]), score[k].bias / score[k].n,
            100.0 * score[k].inside / score[k].n);
    print_message(
        "the earliest eighth: %d years, bias %+.1f d, %d of them in P10-P90; begun before "
        "P10 in %d of all %d years\n",
        earliest.n, earliest.bias / earliest.n, earliest.inside, missed, score[2].n);
    assert_true(rmse(&score[1]) < rmse(&score[0]));
    assert_true(rmse(&score[2]) < rmse(&score[0]));
    /* A tenth, and twice the chance of it. */
    assert_true(missed <= score[2].n * 0.1 + 2 * sqrt(score[2].n * 0.1 * 0.9));
    g_array_unref(days);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(parts_of_days_are_the_fair_count),
    cmocka_unit_test(notes_help_and_early_years_are_not_missed_more_than_said),
    cmocka_unit_test(each_year_is_foretold_from_the_others),
};

int main(void)
{
    if (!open_data_is_there())
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
