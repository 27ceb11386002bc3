/* SPDX-License-Identifier: MIT
 *
 * GPX 1.0 and 1.1 as a map layer: waypoints as points, tracks and routes as lines, with GMarkup, as
 * exchange/gpx.c reads places. See exchange/map_layer.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "base/text.h"
#include "exchange/map_layer_private.h"
#include "exchange/place.h"
#include "simpling/error.h"

#define DEPTH_MAX 64
#define TEXT_MAX 65536
#define RECEIVER_M 10.0      /* what a hand-held receiver knows; common practice, no source */
#define ROUND_MIN 4          /* positions of a track that may go round something */
#define ROUND_DEGREES 0.0003 /* about 30 m: a walk that ends where it began */
#define DOT_DEGREES 1e-7     /* about 1 cm */

struct reading {
    struct spl_map_layer *layer;
    guint depth, empty;
    gboolean point;           /* it is a waypoint */
    struct spl_geometry *raw; /* of the waypoint, track or route that is open; NULL: none is */
    gboolean bad, repaired, begins; /* a position cannot be read; the next begins a path */
    GPtrArray *said;                /* names and values in turn */
    GString *text;
};

static const char *local(const char *name)
{
    const char *colon = strrchr(name, ':');

    return colon != NULL ? colon + 1 : name;
}

static gboolean read_degrees(const char *text, double most, double *degrees)
{
    return text != NULL && spl_number_parse(text, "degrees", -most, most, degrees, NULL);
}

static void take_position(struct reading *reading, const char **names, const char **values)
{
    const char *lat = NULL, *lon = NULL;
    struct spl_position at;

    for (guint i = 0; names[i] != NULL; i++) {
        if (strcmp(names[i], "lat") == 0)
            lat = values[i];
        if (strcmp(names[i], "lon") == 0)
            lon = values[i];
    }
    if (!read_degrees(lat, 90, &at.lat) || !read_degrees(lon, 180, &at.lon)) {
        reading->bad = TRUE;
        return;
    }
    if (reading->begins)
        spl_geometry_begin(reading->raw, FALSE);
    reading->begins = FALSE;
    spl_geometry_append(reading->raw, at.lon, at.lat);
}

static void begin(struct reading *reading, gboolean point)
{
    reading->point = point;
    reading->raw = spl_geometry_new(point ? SPL_GEOMETRY_POINT : SPL_GEOMETRY_LINE);
    reading->bad = reading->repaired = FALSE;
    reading->begins = TRUE;
    g_ptr_array_set_size(reading->said, 0);
}

static void on_start(GMarkupParseContext *context, const char *element, const char **names,
                     const char **values, gpointer data, GError **error)
{
    struct reading *reading = data;
    const char *name = local(element);

    (void)context;
    if (++reading->depth > DEPTH_MAX)
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT, "%s: is nested more than %d deep",
                    reading->layer->path, DEPTH_MAX);
    else if (reading->depth == 1 && strcmp(name, "gpx") != 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is no GPX (it begins with <%.40s>); give a .gpx file",
                    reading->layer->path, name);
    g_string_truncate(reading->text, 0);
    if (reading->depth == 2 &&
        (strcmp(name, "wpt") == 0 || strcmp(name, "trk") == 0 || strcmp(name, "rte") == 0)) {
        begin(reading, *name == 'w');
        if (reading->point)
            take_position(reading, names, values);
    } else if (reading->raw != NULL && strcmp(name, "trkseg") == 0) {
        reading->begins = TRUE;
    } else if (reading->raw != NULL && !reading->point &&
               (strcmp(name, "trkpt") == 0 || strcmp(name, "rtept") == 0)) {
        take_position(reading, names, values);
    }
}

/* A piece of one position is ground too: a line of a centimetre. */
static struct spl_geometry *lengthen(struct reading *reading)
{
    struct spl_geometry *whole = spl_geometry_new(SPL_GEOMETRY_LINE);

    for (guint i = 0; i < reading->raw->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(reading->raw, i);
        const struct spl_position *p = &spl_geometry_points(reading->raw)[path->first];

        spl_geometry_begin(whole, FALSE);
        for (guint k = 0; k < path->count; k++)
            spl_geometry_append(whole, p[k].lon, p[k].lat);
        if (path->count == 1) {
            spl_geometry_append(whole, p[0].lon,
                                p[0].lat > 0 ? p[0].lat - DOT_DEGREES : p[0].lat + DOT_DEGREES);
            reading->repaired = TRUE;
        }
    }
    return whole;
}

static gboolean goes_round(const struct spl_geometry *raw)
{
    guint n = spl_geometry_n_points(raw);
    const struct spl_position *p = spl_geometry_points(raw);

    return n >= ROUND_MIN && fabs(p[0].lat - p[n - 1].lat) < ROUND_DEGREES &&
           fabs(p[0].lon - p[n - 1].lon) * cos(p[0].lat * G_PI / 180) < ROUND_DEGREES;
}

static void end(struct reading *reading)
{
    struct spl_geometry *raw = NULL;
    guint record;

    if (!reading->bad && spl_geometry_n_points(reading->raw) == 0) {
        reading->empty++;
        g_clear_pointer(&reading->raw, spl_geometry_free);
        return;
    }
    if (!reading->bad) {
        reading->layer->rounds += !reading->point && goes_round(reading->raw) ? 1 : 0;
        raw = reading->point ? g_steal_pointer(&reading->raw) : lengthen(reading);
    }
    record = spl_map_layer_add(
        reading->layer, raw,
        raw == NULL ? g_strdup("a latitude or longitude of it cannot be read") : NULL,
        reading->repaired);
    for (guint i = 0; i + 1 < reading->said->len; i += 2)
        spl_map_layer_say(reading->layer, record, reading->said->pdata[i],
                          reading->said->pdata[i + 1], FALSE);
    g_clear_pointer(&reading->raw, spl_geometry_free);
}

static void on_end(GMarkupParseContext *context, const char *element, gpointer data, GError **error)
{
    struct reading *reading = data;
    const char *name = local(element);

    (void)context;
    if (reading->raw != NULL && reading->depth == 3 && reading->text->len > 0 &&
        strcmp(name, "trkseg") != 0 && strcmp(name, "rtept") != 0) {
        g_ptr_array_add(reading->said, g_strdup(name));
        g_ptr_array_add(reading->said, g_strdup(reading->text->str));
    }
    if (reading->raw != NULL && reading->depth == 2)
        end(reading);
    g_string_truncate(reading->text, 0);
    reading->depth--;
    if (reading->layer->records->len > SPL_PLACES_MAX)
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: holds more than %d waypoints and tracks; split it", reading->layer->path,
                    SPL_PLACES_MAX);
}

static void on_text(GMarkupParseContext *context, const char *text, gsize size, gpointer data,
                    GError **error)
{
    struct reading *reading = data;

    (void)context;
    (void)error;
    if (reading->raw != NULL && reading->depth == 3 && reading->text->len < TEXT_MAX)
        g_string_append_len(reading->text, text, (gssize)MIN(size, TEXT_MAX));
}

static gboolean refuse(const char *path, GError *fault, GError **error)
{
    g_autofree char *shown = spl_text_scrub(fault->message, FALSE);

    if (fault->domain == SPL_ERROR) {
        g_propagate_error(error, fault);
        return FALSE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is no GPX (%s); give a .gpx file", path,
                shown);
    g_error_free(fault);
    return FALSE;
}

gboolean spl_map_layer_gpx(struct spl_map_layer *layer, GError **error)
{
    static const GMarkupParser parser = {
        .start_element = on_start, .end_element = on_end, .text = on_text};
    struct reading reading = {.layer = layer};
    GMarkupParseContext *context;
    GError *fault = NULL;
    gsize size;
    g_autofree char *text = spl_file_read(layer->path, SPL_PLACE_FILE_MAX, &size, error);
    gboolean ok;

    if (text == NULL)
        return FALSE;
    reading.text = g_string_new(NULL);
    reading.said = g_ptr_array_new_with_free_func(g_free);
    layer->least_m = RECEIVER_M;
    context = g_markup_parse_context_new(&parser, G_MARKUP_TREAT_CDATA_AS_TEXT, &reading, NULL);
    ok = g_markup_parse_context_parse(context, text, (gssize)size, &fault) &&
         g_markup_parse_context_end_parse(context, &fault);
    g_markup_parse_context_free(context);
    g_string_free(reading.text, TRUE);
    g_ptr_array_unref(reading.said);
    spl_geometry_free(reading.raw);
    if (!ok)
        return refuse(layer->path, fault, error);
    if (reading.empty > 0)
        spl_place_remark(layer->remarks, "%u tracks or routes without a position were passed over",
                         reading.empty);
    return TRUE;
}
