/* SPDX-License-Identifier: MIT
 *
 * How far from home. See season/whereabouts.h.
 */
#include "season/whereabouts.h"

#include <math.h>

#include "base/amount.h"
#include "book/hazard.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "simpling/error.h"

#define NO_SITE (-1) /* a layer is compared with places alone */

/* The nearest of what the book knows, to the box as it is and as it would be the other way round.
 */
struct nearest {
    struct spl_box box, turned;
    gboolean can_turn; /* its longitudes could be latitudes */
    gint64 moved;      /* a site that is passed over */
    double m, turned_m;
    char *name;
};

static double distance_m(const struct spl_box *box, double lat, double lon)
{
    const struct spl_position here = {lon, lat};
    const struct spl_position edge = {CLAMP(lon, box->min_lon, box->max_lon),
                                      CLAMP(lat, box->min_lat, box->max_lat)};

    return spl_geodesic_inverse(here, edge, NULL, NULL);
}

static void compare(struct nearest *nearest, const char *name, double lat, double lon)
{
    double m = distance_m(&nearest->box, lat, lon);

    if (isnan(nearest->m) || m < nearest->m) {
        nearest->m = m;
        g_free(nearest->name);
        nearest->name = g_strdup(name);
    }
    if (nearest->can_turn) {
        m = distance_m(&nearest->turned, lat, lon);
        nearest->turned_m = isnan(nearest->turned_m) ? m : fmin(nearest->turned_m, m);
    }
}

static gboolean take_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct nearest *nearest = data;

    (void)error;
    if (site->id != nearest->moved)
        compare(nearest, site->name, site->lat, site->lon);
    return TRUE;
}

/* A book that knows no place yet may know ground: layers that came before the first site. */
static gboolean take_layers(struct spl_house *house, struct nearest *nearest, GError **error)
{
    GArray *layers = spl_hazard_layers(house->book, error);

    for (guint i = 0; layers != NULL && i < layers->len; i++) {
        const struct spl_hazard_layer *layer = &g_array_index(layers, struct spl_hazard_layer, i);
        g_autofree char *name = g_strdup_printf("the layer '%s'", layer->name);

        if (!isnan(layer->min_lat))
            compare(nearest, name, CLAMP(nearest->box.min_lat, layer->min_lat, layer->max_lat),
                    CLAMP(nearest->box.min_lon, layer->min_lon, layer->max_lon));
    }
    spl_list_free(&spl_hazard_layer_shape, layers);
    return layers != NULL;
}

static char *whereabouts(struct spl_house *house, const struct spl_box *box, gint64 moved,
                         gboolean *swapped, GError **error)
{
    struct nearest nearest = {
        .box = *box,
        .turned = {box->min_lat, box->min_lon, box->max_lat, box->max_lon},
        .can_turn = box->min_lon >= -90 && box->max_lon <= 90,
        .moved = moved,
        .m = NAN,
        .turned_m = NAN,
    };
    double lat, lon;
    char *words = NULL;
    gboolean places, ok;

    *swapped = FALSE;
    if (spl_house_setting_place(house, &lat, &lon))
        compare(&nearest, "home", lat, lon);
    ok = spl_site_each(house->book, take_site, &nearest, error);
    places = !isnan(nearest.m);
    if (ok && (places || moved < 0 || take_layers(house, &nearest, error)) &&
        nearest.m > SPL_FAR_M) {
        g_autofree char *away = spl_distance_format(nearest.m / 1000);

        /* Of a layer nobody knows whether it lies right itself. */
        *swapped = places && nearest.turned_m <= SPL_FAR_M;
        words = g_strdup_printf(
            "lies at latitude %.2f to %.2f, longitude %.2f to %.2f, %s from %s%s", box->min_lat,
            box->max_lat, box->min_lon, box->max_lon, away, nearest.name,
            *swapped ? "; with latitude and longitude the other way round it would be near" : "");
    }
    g_free(nearest.name);
    return words;
}

char *spl_whereabouts(struct spl_house *house, const struct spl_box *box, gboolean *swapped,
                      GError **error)
{
    return whereabouts(house, box, NO_SITE, swapped, error);
}

gboolean spl_whereabouts_fit(struct spl_house *house, const struct spl_box *box, const char *what,
                             GError **error)
{
    GError *failed = NULL;
    gboolean swapped;
    g_autofree char *words = spl_whereabouts(house, box, &swapped, &failed);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (words == NULL)
        return TRUE;
    g_set_error(
        error, SPL_ERROR, SPL_ERROR_INVALID,
        "%s: %s; look at the order of its numbers and at its reference system (or, if it is "
        "right, add your first site there before it)",
        what, words);
    return FALSE;
}

gboolean spl_whereabouts_point(struct spl_house *house, double lat, double lon, const char *what,
                               gint64 moved, char **caution, GError **error)
{
    const struct spl_box box = {lon, lat, lon, lat};
    GError *failed = NULL;
    gboolean swapped;
    g_autofree char *words = whereabouts(house, &box, moved, &swapped, &failed);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (swapped) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: %.5f,%.5f is far from all that the book knows, and %.5f,%.5f is near: "
                    "latitude comes first; write it so, or set home there if the first is meant",
                    what, lat, lon, lon, lat);
        return FALSE;
    }
    *caution =
        words != NULL ? g_strdup_printf("%s %s; look at its coordinates", what, words) : NULL;
    return TRUE;
}
