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

static double sigma_of(const struct spl_sighting *one)
{
    return one->weather_known ? SPL_SIGHTING_SIGMA_WEATHER_D : SPL_SIGHTING_SIGMA_NO_WEATHER_D;
}

/* The residuals of one site as one number: precision and precision-weighted sum. */
struct site_sum {
    double precision, pull;
};

void spl_sighting_offset_of(const GArray *sightings, struct spl_sighting_offset *offset)
{
    const double tau2 = SPL_SIGHTING_TAU_D * SPL_SIGHTING_TAU_D;
    double shared_precision = 1 / (SPL_SIGHTING_SHARED * tau2), shared_pull = 0;
    double prior, prior_sd;
    g_autoptr(GHashTable) others = NULL;
    g_autoptr(GArray) residual = NULL;
    g_autoptr(GArray) sigma = NULL;
    GHashTableIter iter;
    gpointer value;
    int n_others = 0;

    if (sightings == NULL || sightings->len == 0) { /* the usual case, many times over */
        *offset = (struct spl_sighting_offset){.mean_d = 0, .sd_d = SPL_SIGHTING_TAU_D};
        return;
    }
    others = g_hash_table_new_full(NULL, NULL, NULL, g_free);
    residual = g_array_new(FALSE, FALSE, sizeof(double));
    sigma = g_array_new(FALSE, FALSE, sizeof(double));
    for (guint i = 0; i < sightings->len; i++) {
        const struct spl_sighting *one = &g_array_index(sightings, struct spl_sighting, i);
        double sd = sigma_of(one);
        struct site_sum *sum;

        if (isnan(one->residual_d) || (one->site == 0 && one->this_year))
            continue;
        if (one->site == 0) {
            g_array_append_val(residual, one->residual_d);
            g_array_append_val(sigma, sd);
            continue;
        }
        sum = g_hash_table_lookup(others, GINT_TO_POINTER(one->site));
        if (sum == NULL) {
            sum = g_new0(struct site_sum, 1);
            g_hash_table_insert(others, GINT_TO_POINTER(one->site), sum);
        }
        sum->precision += 1 / (sd * sd);
        sum->pull += one->residual_d / (sd * sd);
        n_others++;
    }
    g_hash_table_iter_init(&iter, others);
    while (g_hash_table_iter_next(&iter, NULL, &value)) {
        const struct site_sum *sum = value;
        double variance = (1 - SPL_SIGHTING_SHARED) * tau2 + 1 / sum->precision;

        shared_precision += 1 / variance;
        shared_pull += sum->pull / sum->precision / variance;
    }
    prior = shared_pull / shared_precision;
    prior_sd = sqrt((1 - SPL_SIGHTING_SHARED) * tau2 + 1 / shared_precision);
    spl_sighting_update(prior, prior_sd, (const double *)(const void *)residual->data,
                        (const double *)(const void *)sigma->data, (int)residual->len, offset);
    offset->n += n_others;
}
