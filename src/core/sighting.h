/* SPDX-License-Identifier: MIT
 *
 * Learning from what was seen growing: how far a place runs ahead of or behind the model.
 *
 * The residual r of a sighting is the day on which a stage was seen minus the day on which the
 * model, run for that site and year, expected it. A site's lasting offset is N(0, tau^2), a year's
 * own is N(0, sigma^2): normal-normal empirical Bayes.
 */
#ifndef SPL_CORE_SIGHTING_H
#define SPL_CORE_SIGHTING_H

#include <glib.h>

#define SPL_SIGHTING_TAU_D 4.0              /* between sites, after moving by place */
#define SPL_SIGHTING_SIGMA_WEATHER_D 6.5    /* between years, with that year's temperatures */
#define SPL_SIGHTING_SIGMA_NO_WEATHER_D 9.5 /* between years, without them */

struct spl_sighting {
    double residual_d;      /* seen - expected, days */
    gboolean own_site;      /* at the site itself; else at another one */
    gboolean weather_known; /* the expectation had that year's weather */
    gboolean this_year;     /* in the growing year that is being forecast */
};

struct spl_sighting_offset {
    double mean_d; /* days to add to the model's date */
    double sd_d;   /* of the site's offset */
    double weight; /* of own sightings, 0..1 */
};

/*
 * Posterior of a site's offset from `n` own residuals, each with its own sigma, prior
 * N(prior_d, tau_d^2): mean = prior + sum((r - prior) / sigma_i^2) / (1/tau^2 + sum 1/sigma_i^2).
 */
void spl_sighting_update(double prior_d, double tau_d, const double *residual_d,
                         const double *sigma_d, int n, struct spl_sighting_offset *offset);

#endif
