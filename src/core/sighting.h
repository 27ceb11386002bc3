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

#include "simpling/day.h"

#define SPL_SIGHTING_TAU_D 4.0              /* between sites, after moving by place */
#define SPL_SIGHTING_SIGMA_WEATHER_D 6.5    /* between years, with that year's temperatures */
#define SPL_SIGHTING_SIGMA_NO_WEATHER_D 9.5 /* between years, without them */

/* Engineering choices: half of tau^2 is shared by all sites of a material (the almanac or the model
 * is off for that plant), half is the site's own; a person dates a stage to within 3 days (sd). */
#define SPL_SIGHTING_SHARED 0.5
#define SPL_SIGHTING_SEEN_SD_D 3.0

struct spl_sighting {
    int site;               /* 0: the site itself; other sites by any other number */
    double residual_d;      /* seen - expected, days; NAN: the stage lies outside the row's */
    gboolean weather_known; /* the expectation had that year's weather */
    gboolean this_year;     /* in the growing year that is being forecast */
    struct spl_day on;      /* when it was seen */
    double stage;           /* BBCH */
    double blur_d;          /* how badly the stage says the day, sd on top of the years\' */
};

struct spl_sighting_offset {
    double mean_d; /* days to add to the model's date */
    double sd_d;   /* of the site's offset */
    double weight; /* of own sightings, 0..1 */
    int n;         /* residuals used */
};

/*
 * Posterior of a site's offset from `n` own residuals, each with its own sigma, prior
 * N(prior_d, tau_d^2): mean = prior + sum((r - prior) / sigma_i^2) / (1/tau^2 + sum 1/sigma_i^2).
 */
void spl_sighting_update(double prior_d, double tau_d, const double *residual_d,
                         const double *sigma_d, int n, struct spl_sighting_offset *offset);

/*
 * All sightings of one material (of one row of an almanac), for many sites to ask.
 */
typedef struct spl_sighting_pool spl_sighting_pool;
struct spl_sighting_pool *spl_sighting_pool_new(void);
void spl_sighting_pool_free(struct spl_sighting_pool *pool); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_sighting_pool, spl_sighting_pool_free)

/* A residual of NAN is passed over. */
void spl_sighting_pool_add(struct spl_sighting_pool *pool, const struct spl_sighting *sighting);

/*
 * A site's lasting offset from all sightings but its own of this year. Other sites first give the
 * material's shared part, N(0, shared x tau^2), each with the mean of its residuals; that, with the
 * site's own part, is the prior of the update above. NULL: no sightings.
 */
void spl_sighting_pool_offset(const struct spl_sighting_pool *pool, int site,
                              struct spl_sighting_offset *offset);

/* The same for site 0 from a list of struct spl_sighting; NULL is empty. */
void spl_sighting_offset_of(const GArray *sightings, struct spl_sighting_offset *offset);

#endif
