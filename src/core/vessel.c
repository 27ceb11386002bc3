/* SPDX-License-Identifier: MIT
 *
 * Which jars to take: the fewest for each capacity by dynamic programming over whole millilitres.
 */
#include "core/vessel.h"

#include <math.h>

#include "base/amount.h"
#include "simpling/error.h"

#define EXACT_ML 100000 /* above it the largest jars come first */
#define EMPTY_FRAC 0.10 /* what may stay empty for the sake of fewer jars */
#define JARS_MAX 10000

static gint compare_sizes(gconstpointer a, gconstpointer b)
{
    const struct spl_vessel *left = a, *right = b;

    return left->brimful_ml > right->brimful_ml ? -1 : left->brimful_ml < right->brimful_ml;
}

/* Adds to `counts` the jars (by index into `sizes`) that take `ml` (<= EXACT_ML + one jar). */
static void choose(int ml, const GArray *sizes, int *counts)
{
    int largest = (int)g_array_index(sizes, struct spl_vessel, 0).brimful_ml;
    int end = MAX((int)(ml * (1.0 + EMPTY_FRAC)), ml + largest) + 1;
    g_autofree int *fewest = g_new(int, (gsize)end + 1); /* jars that hold just this much */
    g_autofree int *last = g_new0(int, (gsize)end + 1);  /* the jar added last */
    int best = -1;

    fewest[0] = 0;
    for (int capacity = 1; capacity <= end; capacity++) {
        fewest[capacity] = G_MAXINT;
        for (guint i = 0; i < sizes->len; i++) {
            int size = (int)g_array_index(sizes, struct spl_vessel, i).brimful_ml;

            if (size <= capacity && fewest[capacity - size] != G_MAXINT &&
                fewest[capacity - size] + 1 < fewest[capacity]) {
                fewest[capacity] = fewest[capacity - size] + 1;
                last[capacity] = (int)i;
            }
        }
    }
    for (int capacity = ml; capacity <= end; capacity++) {
        if (fewest[capacity] == G_MAXINT)
            continue;
        if (best >= 0 && capacity > ml * (1.0 + EMPTY_FRAC))
            break;
        if (best < 0 || fewest[capacity] < fewest[best])
            best = capacity;
    }
    for (int capacity = best; capacity > 0;) {
        counts[last[capacity]]++;
        capacity -= (int)g_array_index(sizes, struct spl_vessel, last[capacity]).brimful_ml;
    }
}

GArray *spl_jars_for(double ml, const struct spl_vessel *sizes, guint n_sizes, GError **error)
{
    g_autoptr(GArray) ordered = g_array_new(FALSE, FALSE, sizeof(struct spl_vessel));
    g_autofree int *counts = g_new0(int, n_sizes + 1);
    GArray *jars;
    double largest;
    int before = 0;

    for (guint i = 0; i < n_sizes; i++) {
        if (sizes[i].brimful_ml >= 1.0 && isfinite(sizes[i].brimful_ml))
            g_array_append_val(ordered, sizes[i]);
    }
    if (ordered->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "no jar sizes are known: keep those that you own as the setting 'jars', or "
                    "name the jar");
        return NULL;
    }
    g_array_sort(ordered, compare_sizes);
    largest = g_array_index(ordered, struct spl_vessel, 0).brimful_ml;
    if (!(ml > 0.0) || !(ml / largest <= JARS_MAX)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%g mL do not go into at most %d jars of the sizes known: give larger ones", ml,
                    JARS_MAX);
        return NULL;
    }
    if (ml > EXACT_ML) {
        before = (int)floor((ml - EXACT_ML) / largest) + 1;
        ml -= before * largest;
    }
    if (ml > 0.0)
        choose(MAX(1, (int)ml), ordered, counts); /* a millilitre more or less is no matter */
    counts[0] += before;
    jars = g_array_new(FALSE, FALSE, sizeof(struct spl_vessel));
    for (guint i = 0; i < ordered->len; i++) {
        struct spl_vessel jar = g_array_index(ordered, struct spl_vessel, i);

        jar.count = counts[i];
        if (jar.count > 0)
            g_array_append_val(jars, jar);
    }
    return jars;
}

gboolean spl_jars_fit(double herb_g, double volume_ml_per_g, double menstruum_ml, double brimful_ml,
                      double headspace_frac, GError **error)
{
    double wanted_ml = herb_g * volume_ml_per_g + menstruum_ml;
    double room_ml = brimful_ml * (1.0 - headspace_frac);
    g_autofree char *herb = NULL, *liquid = NULL, *wanted = NULL, *room = NULL, *less = NULL;

    /* Half a per cent is what no kitchen measure sees. */
    if (wanted_ml <= room_ml * 1.005)
        return TRUE;
    herb = spl_mass_format(herb_g);
    liquid = spl_volume_format(menstruum_ml);
    wanted = spl_volume_format(wanted_ml);
    room = spl_volume_format(room_ml);
    less = spl_mass_format(herb_g * room_ml / wanted_ml);
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s of herb under %s of liquid take %s, the jar has room for %s: put in %s, or "
                "take a larger jar",
                herb, liquid, wanted, room, less);
    return FALSE;
}
