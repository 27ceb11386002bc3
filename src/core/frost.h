/* SPDX-License-Identifier: MIT
 *
 * The first killing frost of autumn, from the usual daily minima of a place.
 *
 * p(d) = Phi((t - m(d)) / s) is the chance that the minimum of day d is below t, m(d) the curve
 * that keeps the monthly mean minima, s the spread of the daily minimum. A frost-free autumn lasts
 * to day d with S(d) = product over the days so far of (1 - p)^a. a < 1, since cold days come in
 * runs: 0.6 is what gives the median of a simulated series whose days hang together by 0.65 to 0.7
 * from one to the next (an engineering choice; fitted to no station).
 */
#ifndef SPL_CORE_FROST_H
#define SPL_CORE_FROST_H

#include <glib.h>

#include "core/normals.h"

/* What tables of hard or killing frosts use: 28 F, the frost that ends soft growth. */
#define SPL_FROST_C (-2.0)

/* Days after 30 June (31 December south of the equator), fractional; INFINITY: in that share of
 * years there is none before the next summer. */
struct spl_frost {
    double p10_d, median_d, p90_d;
};

/* `min_mean_c`: monthly means of the daily minimum, January first; `min_sd_c`: the spread (sd) of
 * the daily minimum about them, each > 0. */
void spl_frost_first(const double min_mean_c[12], const double min_sd_c[12], gboolean south,
                     struct spl_frost *frost);

/* By a place's normals; the spread of the minimum is taken to be that of the daily mean. */
void spl_frost_of_normals(const struct spl_normals *normals, gboolean south,
                          struct spl_frost *frost);

/*
 * From means alone: half the daily range and the spread grow with the range of the year
 * (engineering choices: 3.3 K and 3.3 K where it is 12 K, as near the Atlantic, 5.4 K and 4.7 K
 * where it is 28 K, as inland).
 */
void spl_frost_guess(const double mean_c[12], gboolean south, struct spl_frost *frost);

/* A quantile as fractional days since 1970 in the growing year `season`; INFINITY stays. */
double spl_frost_n(double days, int season, gboolean south);

#endif
