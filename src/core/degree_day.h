/* SPDX-License-Identifier: MIT
 *
 * Degree-days of one day from its minimum and maximum, and their expected value when only a mean
 * and its spread are known.
 *
 * Everything rests on A(t), the mean over the day of max(T - t, 0). With lower threshold L and
 * upper U: no cut-off A(L); horizontal A(L) - A(U); intermediate A(L) - 2 A(U); vertical A(L) -
 * A(U) - (U - L) f, f being the share of the day above U. Works in any unit of temperature as long
 * as all four are in the same one.
 */
#ifndef SPL_CORE_DEGREE_DAY_H
#define SPL_CORE_DEGREE_DAY_H

#include <glib.h>

enum spl_degree_day_method {
    SPL_DEGREE_DAY_SINE,             /* Baskerville & Emin 1969, Ecology 50:514-517 */
    SPL_DEGREE_DAY_TRIANGLE,         /* Sevacherian et al. 1977, J. Econ. Entomol. 70:399-402 */
    SPL_DEGREE_DAY_AVERAGE_MEAN,     /* the mean, clipped at U; no other cut-off than horizontal */
    SPL_DEGREE_DAY_AVERAGE_EXTREMES, /* maximum and minimum clipped at U first, then the mean */
    SPL_DEGREE_DAY_MODIFIED          /* both clipped into L..U first ("86/50"), then the mean */
};

enum spl_degree_day_cutoff {
    SPL_CUTOFF_NONE,
    SPL_CUTOFF_HORIZONTAL,
    SPL_CUTOFF_INTERMEDIATE, /* sine and triangle only */
    SPL_CUTOFF_VERTICAL      /* sine and triangle only */
};

/*
 * Degree-days of a day with extremes tmin <= tmax. NAN for anything that cannot be reckoned: values
 * that are not finite, tmin > tmax, lower >= upper (unless there is no cut-off), a cut-off that the
 * method does not have. The intermediate cut-off may go below 0.
 */
double spl_degree_days(enum spl_degree_day_method method, enum spl_degree_day_cutoff cutoff,
                       double tmin, double tmax, double lower, double upper);

/* Half a day with this day's minimum and half with the next day's ("double sine/triangle"). */
double spl_degree_days_double(enum spl_degree_day_method method, enum spl_degree_day_cutoff cutoff,
                              double tmin, double tmax, double tmin_next, double lower,
                              double upper);

/*
 * E[max(T - base, 0)] for T ~ N(mean, sd^2): (mean - base) Phi(z) + sd phi(z), z = (mean -
 * base)/sd. sd 0 gives max(mean - base, 0). It replaces the table of Thom 1954 (Mon. Wea. Rev.
 * 82:1-6).
 */
double spl_expected_excess(double mean, double sd, double base);

/* The same with a horizontal cut-off: g(lower) - g(upper). */
double spl_expected_degree_days(double mean, double sd, double lower, double upper);

/*
 * The sd to use so that expected values match the daily single sine: the variance of the daily
 * cycle, (range/2)^2 / 2, is added to that of the daily mean.
 */
double spl_expected_sd(double daily_mean_sd, double daily_range);

#endif
