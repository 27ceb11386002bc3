/* SPDX-License-Identifier: MIT
 *
 * GPX with GMarkup, which knows no entities, DTDs or foreign files and so cannot be made to fetch
 * or to swell.
 */
#include "exchange/gpx.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "base/text.h"
#include "simpling/error.h"

#define DEPTH_MAX 64
#define TEXT_MAX 65536

struct reading {
    const char *path;
    GArray *places;
    GPtrArray *remarks;
    guint depth, waypoints, tracks;
    gboolean is_gpx, in_waypoint;
    double lat, lon, elevation_m;
    char *name, *remark;
    GString *text; /* of the element that is open */
};

/* "gpx:wpt" is a wpt. */
static const char *local(const char *name)
{
    const char *colon = strrchr(name, ':');

    return colon != NULL ? colon + 1 : name;
}

static gboolean read_degrees(const char *text, double most, double *degrees)
{
    return text != NULL && spl_number_parse(text, "degrees", -most, most, degrees, NULL);
}

static void on_start(GMarkupParseContext *context, const char *element, const char **names,
                     const char **values, gpointer data, GError **error)
{
    struct reading *reading = data;
    const char *name = local(element), *lat = NULL, *lon = NULL;

    (void)context;
    if (++reading->depth > DEPTH_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT, "%s: is nested more than %d deep",
                    reading->path, DEPTH_MAX);
        return;
    }
    if (reading->depth == 1) {
        reading->is_gpx = strcmp(name, "gpx") == 0;
        if (!reading->is_gpx)
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: is no GPX (it begins with <%.40s>); give a .gpx file", reading->path,
                        name);
        return;
    }
    g_string_truncate(reading->text, 0);
    if (reading->depth == 2 && (strcmp(name, "trk") == 0 || strcmp(name, "rte") == 0))
        reading->tracks++;
    if (reading->depth != 2 || strcmp(name, "wpt") != 0)
        return;
    for (guint i = 0; names[i] != NULL; i++) {
        if (strcmp(names[i], "lat") == 0)
            lat = values[i];
        if (strcmp(names[i], "lon") == 0)
            lon = values[i];
    }
    reading->waypoints++;
    reading->in_waypoint = TRUE;
    reading->elevation_m = NAN;
    if (!read_degrees(lat, 90, &reading->lat) || !read_degrees(lon, 180, &reading->lon))
        reading->lat = reading->lon = NAN;
}

static void end_waypoint(struct reading *reading)
{
    struct spl_place *place;

    reading->in_waypoint = FALSE;
    if (reading->name == NULL || isnan(reading->lat))
        spl_place_remark(reading->remarks, "waypoint %u was passed over: %s", reading->waypoints,
                         reading->name == NULL ? "it has no name"
                                               : "its latitude or longitude cannot be read");
    else {
        place = spl_places_add(reading->places);
        place->name = g_steal_pointer(&reading->name);
        place->remark = g_steal_pointer(&reading->remark);
        place->elevation_m = reading->elevation_m;
        place->ground = spl_geometry_new_point(reading->lat, reading->lon);
    }
    g_clear_pointer(&reading->name, g_free);
    g_clear_pointer(&reading->remark, g_free);
}

static void on_end(GMarkupParseContext *context, const char *element, gpointer data, GError **error)
{
    struct reading *reading = data;
    const char *name = local(element);

    (void)context;
    if (reading->in_waypoint && reading->depth == 3) {
        g_autofree char *text = spl_text_scrub(reading->text->str, FALSE);

        g_strstrip(text);
        if (strcmp(name, "name") == 0 && *text != '\0') {
            g_free(reading->name);
            reading->name = g_steal_pointer(&text);
        } else if (strcmp(name, "ele") == 0) {
            if (!spl_number_parse(text, "ele", -500, 9000, &reading->elevation_m, NULL))
                reading->elevation_m = NAN;
        } else if ((strcmp(name, "cmt") == 0 || strcmp(name, "desc") == 0) && *text != '\0' &&
                   reading->remark == NULL)
            reading->remark = g_steal_pointer(&text);
    }
    if (reading->in_waypoint && reading->depth == 2)
        end_waypoint(reading);
    g_string_truncate(reading->text, 0);
    reading->depth--;
    if (reading->places->len > SPL_PLACES_MAX)
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT, "%s: holds more than %d waypoints; split it",
                    reading->path, SPL_PLACES_MAX);
}

static void on_text(GMarkupParseContext *context, const char *text, gsize size, gpointer data,
                    GError **error)
{
    struct reading *reading = data;

    (void)context;
    (void)error;
    if (reading->in_waypoint && reading->depth == 3 && reading->text->len < TEXT_MAX)
        g_string_append_len(reading->text, text, (gssize)MIN(size, TEXT_MAX));
}

GArray *spl_gpx_read(const char *path, GPtrArray *remarks, GError **error)
{
    static const GMarkupParser parser = {
        .start_element = on_start, .end_element = on_end, .text = on_text};
    g_autoptr(GArray) places = spl_places_new();
    struct reading reading = {.path = path, .places = places, .remarks = remarks};
    GMarkupParseContext *context;
    GError *fault = NULL;
    gsize size;
    g_autofree char *text = spl_file_read(path, SPL_PLACE_FILE_MAX, &size, error);
    gboolean ok;

    if (text == NULL)
        return NULL;
    reading.text = g_string_new(NULL);
    context = g_markup_parse_context_new(&parser, G_MARKUP_TREAT_CDATA_AS_TEXT, &reading, NULL);
    ok = g_markup_parse_context_parse(context, text, (gssize)size, &fault) &&
         g_markup_parse_context_end_parse(context, &fault);
    g_markup_parse_context_free(context);
    g_string_free(reading.text, TRUE);
    g_free(reading.name);
    g_free(reading.remark);
    if (ok && reading.tracks > 0)
        spl_place_remark(remarks,
                         "%u tracks and routes were passed over; only waypoints are places",
                         reading.tracks);
    if (ok)
        return g_steal_pointer(&places);
    if (fault->domain == SPL_ERROR)
        g_propagate_error(error, fault);
    else {
        g_autofree char *shown = spl_text_scrub(fault->message, FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is no GPX (%s); give a .gpx file",
                    path, shown);
        g_error_free(fault);
    }
    return NULL;
}

/* ---- out ---- */

static gboolean put(struct spl_file_writer *writer, const char *element, const char *text,
                    GError **error)
{
    g_autofree char *clean = NULL, *escaped = NULL, *line = NULL;

    if (text == NULL || *text == '\0')
        return TRUE;
    clean = spl_text_scrub(text, TRUE);
    escaped = g_markup_escape_text(clean, -1);
    line = g_strdup_printf("    <%s>%s</%s>\n", element, escaped, element);
    return spl_file_writer_text(writer, line, error);
}

static gboolean write_place(struct spl_file_writer *writer, const struct spl_place *place,
                            GError **error)
{
    g_autofree char *lat = spl_number_format(place->lat, 7),
                    *lon = spl_number_format(place->lon, 7);
    g_autofree char *elevation =
        isnan(place->elevation_m) ? NULL : spl_number_format(place->elevation_m, 1);
    g_autofree char *head = g_strdup_printf("  <wpt lat=\"%s\" lon=\"%s\">\n", lat, lon);
    char day[SPL_DAY_TEXT_SIZE];
    g_autofree char *verdict =
        place->verdict == SPL_VERDICT_NONE
            ? NULL
            : g_strdup_printf("%s on %s%s%s; check again before picking",
                              spl_verdict_names[place->verdict], spl_day_format(place->date, day),
                              place->why != NULL ? ": " : "", place->why != NULL ? place->why : "");

    /* The order of the elements is the schema's. */
    return spl_file_writer_text(writer, head, error) && put(writer, "ele", elevation, error) &&
           put(writer, "name", place->name, error) && put(writer, "cmt", place->remark, error) &&
           put(writer, "desc", verdict, error) && spl_file_writer_text(writer, "  </wpt>\n", error);
}

gboolean spl_gpx_write(const char *path, const GArray *places, GError **error)
{
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);

    if (writer == NULL)
        return FALSE;
    spl_file_writer_keep_private(writer);
    if (!spl_file_writer_text(writer,
                              "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                              "<gpx version=\"1.1\" creator=\"simpling\" "
                              "xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
                              error))
        return FALSE;
    for (guint i = 0; i < places->len; i++)
        if (!write_place(writer, &g_array_index(places, struct spl_place, i), error))
            return FALSE;
    return spl_file_writer_text(writer, "</gpx>\n", error) && spl_file_writer_commit(writer, error);
}
