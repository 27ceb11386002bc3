/* SPDX-License-Identifier: MIT
 *
 * Learning from what was seen growing. See core/sighting.h.
 */
#include "core/sighting.h"

#include <math.h>
#include <string.h>

#include "core/sighting_level.h"

#define PRIOR_SITES 6.0 /* what the usual tau weighs beside the book's own, in sites */
#define PRIOR_YEARS 6.0 /* the same for the model's error, in sightings */
#define ENOUGH_SITES 5  /* fewer say nothing of how places differ */
#define ENOUGH_NOTES 10 /* at one site; fewer say nothing of whether it wanders */
#define FAR_OFF_SD 2.5
#define DAYS_OF_YEAR 365.25

void spl_sighting_update(double prior_d, double tau_d, const double *residual_d,
                         const double *sigma_d, int n, struct spl_sighting_offset *offset)
{
    double prior_precision = 1 / (tau_d * tau_d), precision = 0, pull = 0;

    for (int i = 0; i < n; i++) {
        double p = 1 / (sigma_d[i] * sigma_d[i]);

        precision += p;
        pull += p * (residual_d[i] - prior_d);
    }
    *offset = (struct spl_sighting_offset){.mean_d = prior_d + pull / (prior_precision + precision),
                                           .sd_d = 1 / sqrt(prior_precision + precision),
                                           .weight = precision / (prior_precision + precision),
                                           .scale = 1,
                                           .n = n};
}

/* ---- lasting offsets ---- */

static double precision_of(const struct spl_sighting *one)
{
    double sigma =
        one->weather_known ? SPL_SIGHTING_SIGMA_WEATHER_D : SPL_SIGHTING_SIGMA_NO_WEATHER_D;
    double variance = sigma * sigma + one->blur_d * one->blur_d;
    double all = variance + SPL_SIGHTING_TAU_D * SPL_SIGHTING_TAU_D;
    double far = FAR_OFF_SD * sqrt(all) / MAX(fabs(one->residual_d), 1e-9);

    return MIN(1, far * far) / variance;
}

/* The residuals of one site: count, precision, and precision-weighted sums of r and r^2. */
struct sum {
    int n;
    double precision, pull, squares;
    GArray *notes; /* struct spl_level_note */
};

struct spl_sighting_pool {
    GHashTable *sites; /* site -> struct sum */
    gboolean settled;  /* what follows is up to date */
    double tau2, scale;
    struct spl_level_law law; /* drift 0: offsets stand still */
    int n;
    double precision, pull; /* of the shared part, all sites together */
};

static void sum_free(gpointer data)
{
    struct sum *sum = data;

    g_array_unref(sum->notes);
    g_free(sum);
}

struct spl_sighting_pool *spl_sighting_pool_new(void)
{
    struct spl_sighting_pool *pool = g_new0(struct spl_sighting_pool, 1);

    pool->sites = g_hash_table_new_full(NULL, NULL, NULL, sum_free);
    return pool;
}

void spl_sighting_pool_free(struct spl_sighting_pool *pool)
{
    if (pool == NULL)
        return;
    g_hash_table_unref(pool->sites);
    g_free(pool);
}

void spl_sighting_pool_add(struct spl_sighting_pool *pool, const struct spl_sighting *sighting)
{
    struct spl_level_note note;
    struct sum *site;
    double precision;

    if (isnan(sighting->residual_d) || sighting->this_year)
        return;
    site = g_hash_table_lookup(pool->sites, GINT_TO_POINTER(sighting->site));
    if (site == NULL) {
        site = g_new0(struct sum, 1);
        site->notes = g_array_new(FALSE, FALSE, sizeof(struct spl_level_note));
        g_hash_table_insert(pool->sites, GINT_TO_POINTER(sighting->site), site);
    }
    precision = precision_of(sighting);
    note =
        (struct spl_level_note){sighting->on.n / DAYS_OF_YEAR, sighting->residual_d, 1 / precision};
    g_array_append_val(site->notes, note);
    site->n++;
    site->precision += precision;
    site->pull += precision * sighting->residual_d;
    site->squares += precision * sighting->residual_d * sighting->residual_d;
    pool->settled = FALSE;
}

/* What a site's mean says of the shared part: its own part and its years blur it. */
static void count_in(struct spl_sighting_pool *pool, const struct sum *sum, int sign)
{
    double precision = 1 / ((1 - SPL_SIGHTING_SHARED) * pool->tau2 + 1 / sum->precision);

    pool->n += sign * sum->n;
    pool->precision += sign * precision;
    pool->pull += sign * precision * sum->pull / sum->precision;
}

/* Whether offsets wander, from the sites with many notes; sorts those of all. */
static void learn_law(struct spl_sighting_pool *pool)
{
    g_autoptr(GPtrArray) long_ones = g_ptr_array_new();
    GHashTableIter iter;
    gpointer value;

    g_hash_table_iter_init(&iter, pool->sites);
    while (g_hash_table_iter_next(&iter, NULL, &value)) {
        const struct sum *sum = value;

        spl_level_sort(sum->notes);
        if (sum->n >= ENOUGH_NOTES)
            g_ptr_array_add(long_ones, sum->notes);
    }
    pool->law = (struct spl_level_law){0, pool->scale * pool->scale};
    if (long_ones->len == 0)
        return;
    spl_level_learn((GArray *const *)long_ones->pdata, long_ones->len, pool->tau2, &pool->law);
    if (pool->law.drift > 0)
        pool->scale = sqrt(pool->law.scale2);
}

static void settle(struct spl_sighting_pool *pool)
{
    const double usual2 = SPL_SIGHTING_TAU_D * SPL_SIGHTING_TAU_D;
    double between = 0, about = 0;
    int sites = 0, years = 0;
    GHashTableIter iter;
    gpointer value;

    g_hash_table_iter_init(&iter, pool->sites);
    while (g_hash_table_iter_next(&iter, NULL, &value)) {
        const struct sum *sum = value;
        double mean = sum->pull / sum->precision;

        if (sum->n < 2)
            continue;
        between += mean * mean - 1 / sum->precision;
        sites++;
        about += MAX(sum->squares - sum->pull * mean, 0);
        years += sum->n - 1;
    }
    pool->tau2 =
        sites < ENOUGH_SITES ? usual2 : (PRIOR_SITES * usual2 + between) / (PRIOR_SITES + sites);
    pool->tau2 = CLAMP(pool->tau2, usual2 / 4, usual2 * 3);
    pool->scale = sqrt((PRIOR_YEARS + about) / (PRIOR_YEARS + years));
    pool->scale = CLAMP(pool->scale, 0.5, 2.0);
    learn_law(pool);
    pool->n = 0;
    pool->precision = pool->pull = 0;
    g_hash_table_iter_init(&iter, pool->sites);
    while (g_hash_table_iter_next(&iter, NULL, &value))
        count_in(pool, value, 1);
    pool->settled = TRUE;
}

void spl_sighting_pool_offset(struct spl_sighting_pool *pool, int site, double on_n,
                              double place_variance, struct spl_sighting_offset *offset)
{
    const struct sum *own;
    struct spl_sighting_pool others;
    double own_part, precision, prior, prior_precision, all_precision;

    *offset = (struct spl_sighting_offset){
        .mean_d = 0,
        .sd_d = sqrt(MAX(place_variance, SPL_SIGHTING_TAU_D * SPL_SIGHTING_TAU_D)),
        .scale = 1};
    if (pool == NULL || g_hash_table_size(pool->sites) == 0) /* the usual case, many times over */
        return;
    if (!pool->settled)
        settle(pool);
    own = g_hash_table_lookup(pool->sites, GINT_TO_POINTER(site));
    others = *pool;
    if (own != NULL)
        count_in(&others, own, -1);
    own_part = MAX(place_variance - SPL_SIGHTING_SHARED * pool->tau2,
                   (1 - SPL_SIGHTING_SHARED) * pool->tau2);
    precision = 1 / (SPL_SIGHTING_SHARED * pool->tau2) + others.precision;
    prior = others.pull / precision;
    prior_precision = 1 / (own_part + 1 / precision);
    all_precision = prior_precision + (own != NULL ? own->precision : 0);
    offset->mean_d =
        own != NULL ? prior + (own->pull - own->precision * prior) / all_precision : prior;
    offset->sd_d = 1 / sqrt(all_precision);
    offset->weight = 1 - prior_precision / all_precision;
    offset->scale = pool->scale;
    offset->n = others.n + (own != NULL ? own->n : 0);
    if (own != NULL && pool->law.drift > 0) {
        double variance;

        spl_level_at(own->notes, &pool->law, prior, 1 / prior_precision, on_n / DAYS_OF_YEAR,
                     &offset->mean_d, &variance);
        offset->sd_d = sqrt(variance);
    }
}

struct spl_sighting_pool *spl_sighting_pool_of(const GArray *sightings)
{
    struct spl_sighting_pool *pool;

    if (sightings == NULL || sightings->len == 0)
        return NULL;
    pool = spl_sighting_pool_new();
    for (guint i = 0; i < sightings->len; i++)
        spl_sighting_pool_add(pool, &g_array_index(sightings, struct spl_sighting, i));
    return pool;
}

void spl_sighting_offset_of(const GArray *sightings, double on_n,
                            struct spl_sighting_offset *offset)
{
    g_autoptr(spl_sighting_pool) pool = spl_sighting_pool_of(sightings);

    spl_sighting_pool_offset(pool, 0, on_n, 0, offset);
}

/* ---- the year ---- */

/* One plant's notes together: z = A + B + rest, the rest averaged. */
struct plant_sum {
    double precision, pull;
};

static struct plant_sum sum_plant(const struct spl_year_note *notes, guint n, const char *plant)
{
    struct plant_sum sum = {0, 0};

    for (guint i = 0; i < n; i++) {
        double precision = 1 / (1 - SPL_YEAR_SAME_PLANT + notes[i].noise);

        if (strcmp(notes[i].plant, plant) != 0)
            continue;
        sum.precision += precision;
        sum.pull += precision * notes[i].z;
    }
    return sum;
}

static gboolean is_first_of_plant(const struct spl_year_note *notes, guint i)
{
    for (guint j = 0; j < i; j++) {
        if (strcmp(notes[j].plant, notes[i].plant) == 0)
            return FALSE;
    }
    return TRUE;
}

void spl_year_effect_of(const struct spl_year_note *notes, guint n, const char *plant,
                        struct spl_year_effect *effect)
{
    const double plants_own = SPL_YEAR_SAME_PLANT - SPL_YEAR_ANY_PLANT;
    double precision = 1 / SPL_YEAR_ANY_PLANT, pull = 0, mean, variance;
    struct plant_sum own;

    *effect = (struct spl_year_effect){.variance_z = 1, .n = (int)n};
    if (n == 0)
        return;
    for (guint i = 0; i < n; i++) {
        struct plant_sum other;
        double one;

        if (strcmp(notes[i].plant, plant) == 0 || !is_first_of_plant(notes, i))
            continue;
        other = sum_plant(notes, n, notes[i].plant);
        one = 1 / (plants_own + 1 / other.precision);
        precision += one;
        pull += one * other.pull / other.precision;
    }
    mean = pull / precision;
    variance = 1 / precision + plants_own;
    own = sum_plant(notes, n, plant);
    if (own.precision > 0) {
        double gain = variance / (variance + 1 / own.precision);

        mean += gain * (own.pull / own.precision - mean);
        variance *= 1 - gain;
    }
    effect->mean_z = mean;
    effect->variance_z = variance + 1 - SPL_YEAR_SAME_PLANT;
}
