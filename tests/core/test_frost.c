/* SPDX-License-Identifier: MIT
 *
 * The first killing frost from twelve mean minima: eight medians of stations that set no number of
 * it, a simulated series, and what hangs on it. */
#include "core/frost.h"
#include "expect.h"

static struct spl_frost of(const double low[12], double sd)
{
    double sds[12];
    struct spl_frost frost;

    for (int m = 0; m < 12; m++)
        sds[m] = sd;
    spl_frost_first(low, sds, FALSE, &frost);
    return frost;
}

/* Days after 30 June. */
static double july(int month, int dom)
{
    return spl_day_from_ymd(2027, month, dom).n - spl_day_from_ymd(2027, 7, 1).n + 1;
}

/*
 * Median first day of -2 C (-2.2 where the table is of 28 F): Lebanon NH and White Plains NY by
 * NOAA's normals of 1991-2020 (2006-2020); the others reckoned from their daily series (GHCN-Daily,
 * MeteoSwiss, chillR) by an independent program. Where the mean minima of a period are not at hand,
 * the means less half the daily range of the later period stand in. The spread is the station's own
 * in its frost month.
 */
static void published_medians_are_met(void **state)
{
    static const struct {
        const char *station;
        double low[12];
        double sd;
        int month, dom;
    } checks[] = {
        {"Lebanon 1991-2020",
         {-12.6, -11.7, -6.3, -0.1, 6.5, 11.3, 14.3, 13.4, 9.2, 3.0, -2.4, -7.7},
         4.7,
         10,
         15},
        {"White Plains 2006-2020",
         {-4.8, -4.4, -0.6, 4.7, 10.4, 15.4, 18.9, 17.8, 14.2, 8.3, 2.5, -1.6},
         4.15,
         11,
         13},
        {"Washington 1961-1990",
         {-4.2, -3.0, 1.8, 6.4, 12.2, 17.2, 19.6, 18.7, 15.8, 8.1, 3.3, -1.3},
         4.85,
         11,
         7},
        {"Washington 1991-2020",
         {-2.9, -1.7, 2.0, 7.5, 13.1, 18.3, 21.0, 19.8, 15.8, 8.8, 3.5, -0.4},
         4.6,
         11,
         12},
        {"Klein-Altendorf 1961-1990",
         {-1.4, -1.2, 0.8, 2.7, 6.5, 9.3, 10.9, 11.0, 8.9, 6.2, 2.4, 0.0},
         3.8,
         11,
         8},
        {"Klein-Altendorf 1991-2018",
         {-0.2, -0.1, 2.0, 4.3, 7.8, 10.6, 12.7, 12.3, 9.4, 6.3, 3.2, 0.7},
         3.8,
         11,
         10},
        {"Basel 1971-1990",
         {-1.8, -0.9, 1.2, 3.9, 8.0, 11.2, 13.2, 12.8, 10.4, 6.6, 2.1, -0.7},
         3.2,
         11,
         20},
        {"Basel 1991-2020",
         {-0.5, -0.1, 2.6, 5.5, 9.5, 13.1, 14.9, 14.8, 11.0, 7.6, 3.2, 0.4},
         3.35,
         11,
         26},
    };
    int within = 0;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(checks); i++) {
        struct spl_frost frost = of(checks[i].low, checks[i].sd);
        double off = frost.median_d - july(checks[i].month, checks[i].dom);

        print_message("%-26s %+.1f d (P10 to P90: %.0f to %.0f d)\n", checks[i].station, off,
                      frost.p10_d - frost.median_d, frost.p90_d - frost.median_d);
        within += fabs(off) <= 5;
    }
    print_message("%d of %d medians within 5 d\n", within, (int)G_N_ELEMENTS(checks));
    assert_true(within >= 6);
}

/* 2000 autumns of a series whose days hang together by 0.67, from a generator of its own. */
static void a_simulated_series_has_the_same_median(void **state)
{
    static const double low[12] = {-1, -0.5, 1.5, 4, 8, 11, 13, 12.5, 9.5, 6.5, 2.5, 0};
    const double sd = 3.7, together = 0.67;
    struct spl_frost frost = of(low, sd);
    double curve[SPL_NORMALS_DAYS];
    guint64 random = 20270417;
    int before = 0;

    (void)state;
    spl_normals_daily(low, 50, curve);
    for (int year = 0; year < 2000; year++) {
        double x = 0;

        for (int day = -30; day <= 300; day++) {
            double sum = 0;

            for (int i = 0; i < 12; i++) { /* twelve even numbers less six are nearly normal */
                random = random * 6364136223846793005u + 1442695040888963407u;
                sum += (double)(random >> 11) / 9007199254740992.0;
            }
            x = together * x + sqrt(1 - together * together) * (sum - 6);
            if (day >= 1 && curve[(180 + day) % SPL_NORMALS_DAYS] + sd * x <= SPL_FROST_C) {
                before += day <= frost.median_d;
                break;
            }
        }
    }
    print_message("%.1f %% of simulated first frosts by the median\n", before / 20.0);
    assert_in_range(before, 900, 1100);
}

static void a_warm_winter_has_none(void **state)
{
    static const double low[12] = {9, 9, 10, 12, 15, 18, 20, 20, 18, 15, 12, 10};
    struct spl_frost frost = of(low, 3);

    (void)state;
    assert_true(isinf(frost.median_d));
    assert_true(isinf(spl_frost_n(frost.median_d, 2027, FALSE)));
}

static void the_south_has_it_half_a_year_later(void **state)
{
    static const double north[12] = {-3, -2, 1, 4, 8, 11, 13, 12, 9, 5, 1, -2};
    double south[12], sd[12];
    struct spl_frost a, b;

    (void)state;
    for (int m = 0; m < 12; m++) {
        south[m] = north[(m + 6) % 12];
        sd[m] = 4;
    }
    spl_frost_first(north, sd, FALSE, &a);
    spl_frost_first(south, sd, TRUE, &b);
    expect_near(a.median_d, b.median_d, 3, "d");
    assert_true(a.p10_d < a.median_d && a.median_d < a.p90_d);
    /* 1 November is day 124 after 30 June, of 2027 in the season 2027; in the south the season runs
     * on into 2028. */
    assert_int_equal((int)spl_frost_n(124, 2027, FALSE), spl_day_from_ymd(2027, 11, 1).n);
    assert_int_equal((int)spl_frost_n(121, 2027, TRUE), spl_day_from_ymd(2028, 4, 30).n);
}

static void colder_is_earlier_and_means_alone_will_do(void **state)
{
    static const double britain[12] = {3.7,  4.0,  5.6,  8.0, 11.0, 13.8,
                                       15.7, 15.4, 13.1, 9.8, 6.4,  4.1};
    static const double vermont[12] = {-7.0, -5.5, -0.3, 6.9, 13.5, 18.3,
                                       21.0, 20.0, 15.7, 9.1, 3.0,  -3.4};
    struct spl_frost mild, hard;

    (void)state;
    spl_frost_guess(britain, FALSE, &mild);
    spl_frost_guess(vermont, FALSE, &hard);
    assert_true(hard.median_d < mild.median_d);
    /* Lebanon NH, whose normals these nearly are: 15 October. */
    expect_near(hard.median_d, july(10, 15), 6, "d");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(published_medians_are_met),
    cmocka_unit_test(a_simulated_series_has_the_same_median),
    cmocka_unit_test(a_warm_winter_has_none),
    cmocka_unit_test(the_south_has_it_half_a_year_later),
    cmocka_unit_test(colder_is_earlier_and_means_alone_will_do),
};
expect_main(tests)
