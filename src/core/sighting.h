/* SPDX-License-Identifier: MIT
 *
 * Learning from what was seen growing: how far a place runs ahead of or behind the model, and how
 * far this year does.
 *
 * The residual r of a sighting is the day on which a stage was seen minus the day on which the
 * model, run for that site and year, expected it: r = site + year + rest. A site's lasting offset
 * is N(0, tau^2), a year's own N(0, sigma^2): normal-normal empirical Bayes. Of the year's part
 * some is shared by all plants near by, some by the places of one plant.
 */
#ifndef SPL_CORE_SIGHTING_H
#define SPL_CORE_SIGHTING_H

#include <glib.h>

#include "simpling/day.h"

/* Standard deviations in days, until a book holds enough to learn its own: between sites after
 * moving by place; between years with that year's temperatures, and without them. */
#define SPL_SIGHTING_TAU_D 6.0
#define SPL_SIGHTING_SIGMA_WEATHER_D 5.0
#define SPL_SIGHTING_SIGMA_NO_WEATHER_D 9.0

/* Engineering choices: half of tau^2 is shared by all sites of a material (the almanac or the model
 * is off for that plant), half is the site's own; a person dates a stage to within 3 days (sd). */
#define SPL_SIGHTING_SHARED 0.5
#define SPL_SIGHTING_SEEN_SD_D 3.0

/* How much of a year's own part the places of one plant share: what the Swiss cherries have in
 * common within 50 km. Two thirds of that is taken to be shared by all plants (a choice). */
#define SPL_YEAR_SAME_PLANT 0.6
#define SPL_YEAR_ANY_PLANT 0.4
#define SPL_YEAR_NEAR_KM 50.0
#define SPL_YEAR_NEAR_DAYS 75 /* a spring says little of the autumn after it */

struct spl_sighting {
    int site;               /* 0: the site itself; other sites by any other number */
    double residual_d;      /* seen - expected, days; NAN: it says nothing of the day */
    gboolean weather_known; /* the expectation had that year's weather */
    gboolean this_year;     /* in the growing year that is being forecast */
    gboolean open;          /* says only that the window was open: a picking, a stage that lasts */
    struct spl_day on;      /* when it was seen */
    double stage;           /* BBCH */
    double blur_d;          /* how badly the stage says the day, sd on top of the years\' */
};

struct spl_sighting_offset {
    double mean_d; /* days to add to the model's date */
    double sd_d;   /* of the site's offset */
    double weight; /* of own sightings, 0..1 */
    double scale;  /* how much larger the model's own error turned out to be than it is taken for */
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

/*
 * A residual of NAN is passed over, and one of this year: that is the year's matter. One beyond 2.5
 * standard deviations of all counts for less and less.
 */
void spl_sighting_pool_add(struct spl_sighting_pool *pool, const struct spl_sighting *sighting);

/*
 * A site's offset on a day, from all sightings of other years. Other sites first give the
 * material's shared part, N(0, shared x tau^2), each with the mean of its residuals; that, with the
 * site's own part, is the prior of the update above. tau and the model's error are learnt from the
 * pool: tau by moments over the sites with two sightings or more, where there are five of them, the
 * error by what is left about their means, each beside a prior worth six sightings. From ten
 * sightings at one site it is learnt too whether offsets wander (core/sighting_level.h); then the
 * site's nearest in time say the most. `place_variance`: what the place may be off in all (d^2);
 * less than tau^2 counts as tau^2. `on_n`: the day, in days since 1970. `pool` NULL: no sightings.
 */
void spl_sighting_pool_offset(struct spl_sighting_pool *pool, int site, double on_n,
                              double place_variance, struct spl_sighting_offset *offset);

/* The same for site 0 from a list of struct spl_sighting; NULL is empty. */
void spl_sighting_offset_of(const GArray *sightings, double on_n,
                            struct spl_sighting_offset *offset);

/* A pool of such a list; NULL for an empty one. */
struct spl_sighting_pool *spl_sighting_pool_of(const GArray *sightings);

/* ---- the year ---- */

/* What was seen this year, at any site near by and of any plant, against what was expected. */
struct spl_year_note {
    const char *plant; /* slug, borrowed */
    double z;          /* the residual, its site's offset taken off, in sds of its year's part */
    double noise;      /* variance of all else in it (place, seeing), in units of the same square */
};

/* The year's part of a forecast in its own standard deviations. n 0: nothing is known, 0 and 1. */
struct spl_year_effect {
    double mean_z, variance_z;
    int n;
};

/*
 * Best linear estimate for `plant`: z = A + B_plant + rest with variances SPL_YEAR_ANY_PLANT,
 * SPL_YEAR_SAME_PLANT - SPL_YEAR_ANY_PLANT and what is left of 1.
 */
void spl_year_effect_of(const struct spl_year_note *notes, guint n, const char *plant,
                        struct spl_year_effect *effect);

#endif
