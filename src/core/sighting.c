/* SPDX-License-Identifier: MIT
 *
 * Learning from what was seen growing. See core/sighting.h.
 */
#include "core/sighting.h"

#include <math.h>

void spl_sighting_update(double prior_d, double tau_d, const double *residual_d,
                         const double *sigma_d, int n, struct spl_sighting_offset *offset)
{
    double prior_precision = 1 / (tau_d * tau_d), precision = 0, pull = 0;

    for (int i = 0; i < n; i++) {
        double p = 1 / (sigma_d[i] * sigma_d[i]);

        precision += p;
        pull += p * (residual_d[i] - prior_d);
    }
    offset->mean_d = prior_d + pull / (prior_precision + precision);
    offset->sd_d = 1 / sqrt(prior_precision + precision);
    offset->weight = precision / (prior_precision + precision);
    offset->n = n;
}

static double precision_of(const struct spl_sighting *one)
{
    double sigma =
        one->weather_known ? SPL_SIGHTING_SIGMA_WEATHER_D : SPL_SIGHTING_SIGMA_NO_WEATHER_D;

    return 1 / (sigma * sigma + one->blur_d * one->blur_d);
}

/* The residuals of one site: count, precision and precision-weighted sum. */
struct sum {
    int n;
    double precision, pull;
};

struct site_sum {
    struct sum past, all; /* without and with those of this year */
};

struct spl_sighting_pool {
    GHashTable *sites; /* site -> struct site_sum */
    int n;
    double precision, pull; /* of the shared part, all sites together */
};

struct spl_sighting_pool *spl_sighting_pool_new(void)
{
    struct spl_sighting_pool *pool = g_new0(struct spl_sighting_pool, 1);

    pool->sites = g_hash_table_new_full(NULL, NULL, NULL, g_free);
    return pool;
}

void spl_sighting_pool_free(struct spl_sighting_pool *pool)
{
    if (pool == NULL)
        return;
    g_hash_table_unref(pool->sites);
    g_free(pool);
}

/* What a site's mean says of the shared part: its own part and its years blur it. */
static double shared_precision(const struct sum *sum)
{
    return 1 / ((1 - SPL_SIGHTING_SHARED) * SPL_SIGHTING_TAU_D * SPL_SIGHTING_TAU_D +
                1 / sum->precision);
}

static void count_in(struct spl_sighting_pool *pool, const struct sum *sum, int sign)
{
    double precision;

    if (sum->n == 0)
        return;
    precision = shared_precision(sum);
    pool->n += sign * sum->n;
    pool->precision += sign * precision;
    pool->pull += sign * precision * sum->pull / sum->precision;
}

static void sum_add(struct sum *sum, const struct spl_sighting *one)
{
    double precision = precision_of(one);

    sum->n++;
    sum->precision += precision;
    sum->pull += precision * one->residual_d;
}

void spl_sighting_pool_add(struct spl_sighting_pool *pool, const struct spl_sighting *sighting)
{
    struct site_sum *site = g_hash_table_lookup(pool->sites, GINT_TO_POINTER(sighting->site));

    if (isnan(sighting->residual_d))
        return;
    if (site == NULL) {
        site = g_new0(struct site_sum, 1);
        g_hash_table_insert(pool->sites, GINT_TO_POINTER(sighting->site), site);
    }
    count_in(pool, &site->all, -1);
    sum_add(&site->all, sighting);
    if (!sighting->this_year)
        sum_add(&site->past, sighting);
    count_in(pool, &site->all, 1);
}

void spl_sighting_pool_offset(const struct spl_sighting_pool *pool, int site,
                              struct spl_sighting_offset *offset)
{
    const double tau2 = SPL_SIGHTING_TAU_D * SPL_SIGHTING_TAU_D;
    const struct site_sum *own;
    struct spl_sighting_pool others;
    double precision, prior, prior_precision, all_precision;

    *offset = (struct spl_sighting_offset){.mean_d = 0, .sd_d = SPL_SIGHTING_TAU_D};
    if (pool == NULL || g_hash_table_size(pool->sites) == 0) /* the usual case, many times over */
        return;
    own = g_hash_table_lookup(pool->sites, GINT_TO_POINTER(site));
    others = *pool;
    if (own != NULL)
        count_in(&others, &own->all, -1);
    precision = 1 / (SPL_SIGHTING_SHARED * tau2) + others.precision;
    prior = others.pull / precision;
    prior_precision = 1 / ((1 - SPL_SIGHTING_SHARED) * tau2 + 1 / precision);
    all_precision = prior_precision + (own != NULL ? own->past.precision : 0);
    offset->mean_d = own != NULL
                         ? prior + (own->past.pull - own->past.precision * prior) / all_precision
                         : prior;
    offset->sd_d = 1 / sqrt(all_precision);
    offset->weight = 1 - prior_precision / all_precision;
    offset->n = others.n + (own != NULL ? own->past.n : 0);
}

void spl_sighting_offset_of(const GArray *sightings, struct spl_sighting_offset *offset)
{
    g_autoptr(spl_sighting_pool) pool = NULL;

    if (sightings != NULL && sightings->len > 0) {
        pool = spl_sighting_pool_new();
        for (guint i = 0; i < sightings->len; i++)
            spl_sighting_pool_add(pool, &g_array_index(sightings, struct spl_sighting, i));
    }
    spl_sighting_pool_offset(pool, 0, offset);
}
