/* SPDX-License-Identifier: MIT
 *
 * Places in and out as map files. See simpling/site_carry.h.
 */
#include "simpling/site_carry.h"

#include <math.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "book/amendment.h"
#include "book/code.h"
#include "book/site.h"
#include "exchange/geojson.h"
#include "exchange/gpx.h"
#include "exchange/shapefile.h"
#include "exchange/shapefile_write.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/whereabouts.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define LOOKED_AT 100 /* places of a file whose whereabouts are looked at: each takes all sites */

enum format { SHAPEFILE, GEOJSON, GPX };

static gboolean format_of(const char *path, enum format *format, GError **error)
{
    const char *dot = strrchr(path, '.');

    if (dot != NULL && g_ascii_strcasecmp(dot, ".shp") == 0)
        *format = SHAPEFILE;
    else if (dot != NULL &&
             (g_ascii_strcasecmp(dot, ".geojson") == 0 || g_ascii_strcasecmp(dot, ".json") == 0))
        *format = GEOJSON;
    else if (dot != NULL && g_ascii_strcasecmp(dot, ".gpx") == 0)
        *format = GPX;
    else {
        spl_error_set_input(error, SPL_ERROR_USAGE, "file",
                            "%s: the ending tells the format; use .shp, .geojson or .gpx", path);
        return FALSE;
    }
    return TRUE;
}

/* ---- out ---- */

struct exporting {
    struct spl_house *house;
    struct spl_day on;
    GArray *places;
};

static gboolean take_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct exporting *exporting = data;
    struct spl_verdict_result result;
    struct spl_place *place;

    if (!spl_ground_judge(exporting->house, site, exporting->on, NULL, &result, error))
        return FALSE;
    place = spl_places_add(exporting->places);
    place->name = g_strdup(site->name);
    place->lat = site->lat;
    place->lon = site->lon;
    place->elevation_m = site->elevation_m;
    place->accuracy_m = site->accuracy_m;
    place->remark = g_strdup(site->remark);
    place->verdict = result.verdict;
    place->why = spl_ground_why(&result);
    place->date = exporting->on;
    place->until = result.until;
    spl_verdict_result_clear(&result);
    place->ground = spl_site_ground(site, error);
    return place->ground != NULL;
}

/* Every file of the format is looked at before anything is written: a shapefile is five. */
static gboolean may_write(const char *path, enum format format, gboolean force, GError **error)
{
    const char *alone[] = {path, NULL};
    g_auto(GStrv) files =
        format == SHAPEFILE ? spl_shapefile_files(path) : g_strdupv((char **)alone);

    for (char **file = files; *file != NULL; file++) {
        if (!spl_file_is_target(*file, error))
            return FALSE;
        if (force || !g_file_test(*file, G_FILE_TEST_EXISTS))
            continue;
        spl_error_set_input(error, SPL_ERROR_EXISTS, "force",
                            "%s is there already; choose another name, or say that it is to be "
                            "replaced",
                            *file);
        return FALSE;
    }
    return TRUE;
}

static gboolean export_sites(struct spl_house *house, const struct spl_site_export_words *words,
                             struct spl_site_export *done, GError **error)
{
    static const char *const names[] = {"shapefile", "GeoJSON", "GPX"};
    g_autoptr(GArray) places = spl_places_new();
    struct exporting exporting = {house, words->on, places};
    const char *path = words->path;
    enum format format;
    gboolean ok;

    if (!format_of(path, &format, error))
        return FALSE;
    if (!may_write(path, format, words->force, error))
        return FALSE;
    if (!spl_site_each(house->book, take_site, &exporting, error))
        return FALSE;
    if (format == SHAPEFILE)
        ok = spl_shapefile_write(path, places, words->areas, error);
    else
        ok = format == GEOJSON ? spl_geojson_write(path, places, error)
                               : spl_gpx_write(path, places, error);
    if (!ok)
        return FALSE;
    *done = (struct spl_site_export){
        .file = g_strdup(path), .format = g_strdup(names[format]), .sites = (int)places->len};
    for (guint i = 0; format == SHAPEFILE && words->areas && i < places->len; i++)
        if (g_array_index(places, struct spl_place, i).ground->kind != SPL_GEOMETRY_POLYGON)
            done->sites--;
    return TRUE;
}

gboolean spl_site_export(struct spl_house *house, const struct spl_site_export_words *said,
                         struct spl_site_export *done, GError **error)
{
    struct spl_site_export_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_site_export_inputs, said, &words, error))
        return FALSE;
    ok = export_sites(house, &words, done, error);
    spl_inputs_clear(&spl_site_export_inputs, &words);
    return ok;
}

/* ---- in ---- */

struct taking {
    GArray *places;
    GPtrArray *remarks;
};

static gboolean take_record(const struct spl_shapefile_record *record, gpointer data,
                            GError **error)
{
    struct taking *taking = data;
    struct spl_place *place;

    (void)error;
    if (record->name == NULL)
        spl_place_remark(taking->remarks,
                         "record %" G_GINT64_FORMAT " was passed over: it has no name",
                         record->record);
    else if (record->geometry->kind == SPL_GEOMETRY_LINE ||
             (record->geometry->kind == SPL_GEOMETRY_POINT &&
              spl_geometry_n_points(record->geometry) != 1))
        spl_place_remark(taking->remarks, "%s was passed over: a place is one point or an area",
                         record->name);
    else {
        place = spl_places_add(taking->places);
        place->name = g_strdup(record->name);
        place->ground = spl_geometry_copy(record->geometry);
    }
    return TRUE;
}

/* `system_m`: how exactly its reference system lies on earth; NAN: not known. */
static GArray *read_shapefile(struct spl_house *house, const struct spl_site_import_words *words,
                              GPtrArray *remarks, double *system_m, GError **error)
{
    const struct spl_shapefile_request request = {
        .crs = words->crs,
        .encoding = words->encoding,
        .name_field = words->name_field != NULL ? words->name_field : "NAME"};
    g_autoptr(spl_shapefile) file = spl_shapefile_open(words->path, &request, error);
    g_autoptr(GArray) places = spl_places_new();
    struct taking taking = {places, remarks};
    struct spl_shapefile_summary summary = {0};
    gboolean ok;

    if (file == NULL)
        return NULL;
    ok = spl_shapefile_read(file, take_record, &taking, &house->progress, &summary, error);
    if (ok) {
        for (guint i = 0; i < summary.skipped->len; i++) {
            const struct spl_shapefile_skip *skip =
                &g_array_index(summary.skipped, struct spl_shapefile_skip, i);

            spl_place_remark(remarks, "record %" G_GINT64_FORMAT " was passed over: %s",
                             skip->record, skip->reason);
        }
        for (guint i = 0; i < summary.remarks->len; i++)
            spl_place_remark(remarks, "%s", (char *)summary.remarks->pdata[i]);
        /* A doubtful reference system leaves the places doubtful, however exactly they were taken.
         */
        *system_m = summary.accuracy_m;
    }
    spl_shapefile_summary_clear(&summary);
    return ok ? g_steal_pointer(&places) : NULL;
}

static gboolean update_site(struct spl_house *house, const struct spl_site *site,
                            const struct spl_place *place, const char *path, GError **error)
{
    g_autofree char *base = g_path_get_basename(path);
    g_autofree char *why = g_strdup_printf("read from %s", base);
    g_autofree char *by = spl_house_who(house, NULL);
    gboolean area = place->ground->kind == SPL_GEOMETRY_POLYGON;
    g_autoptr(GBytes) outline = area ? spl_geometry_to_bytes(place->ground) : NULL;

    return spl_amendment_add_real(house->book, site->uuid, "lat", place->lat, by, why, error) &&
           spl_amendment_add_real(house->book, site->uuid, "lon", place->lon, by, why, error) &&
           (isnan(place->elevation_m) ||
            spl_amendment_add_real(house->book, site->uuid, "elevation_m", place->elevation_m, by,
                                   why, error)) &&
           (isnan(place->accuracy_m) ||
            spl_amendment_add_real(house->book, site->uuid, "accuracy_m", place->accuracy_m, by,
                                   why, error)) &&
           (area ? spl_amendment_add_bytes(house->book, site->uuid, "outline", outline, by, why,
                                           error)
                 : spl_site_outline_holds(site, place->lat, place->lon) ||
                       spl_amendment_add_text(house->book, site->uuid, "outline", NULL, by, why,
                                              error)) &&
           (place->remark == NULL || spl_amendment_add_text(house->book, site->uuid, "remark",
                                                            place->remark, by, why, error));
}

/* How exactly the place is known: its own word or the person's, and the system's share. */
static double place_accuracy_m(const struct spl_place *place,
                               const struct spl_site_import_words *words, double system_m)
{
    double own_m = isnan(place->accuracy_m) ? words->accuracy_m : place->accuracy_m;

    return fmin(own_m + system_m, isnan(own_m + system_m) ? NAN : 100000);
}

static gboolean clean_remark(struct spl_place *place, GError **error)
{
    char *clean;

    if (place->remark == NULL)
        return TRUE;
    clean = spl_text_clean(place->remark, "a place's remark", SPL_REMARK_MAX, TRUE, error);
    g_free(place->remark);
    place->remark = clean;
    return clean != NULL;
}

/* One file may not say two things of one place: the second would move the first. */
static gboolean is_first(GHashTable *put, gint64 known, const char *name, GError **error)
{
    if (!g_hash_table_contains(put, &known))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "file",
                        "has two places of the name '%s'; rename one of them in the file", name);
    return FALSE;
}

/* `remarks` gets what is odd about where it lies; NULL: nobody asks. `put`: the ids of those of the
 * file that were put before. */
static gboolean put_place(struct spl_house *house, const struct spl_site_import_words *words,
                          double system_m, struct spl_place *place, GPtrArray *remarks,
                          GHashTable *put, struct spl_site_import *done, GError **error)
{
    g_autofree char *name =
        spl_text_clean(place->name, "a place's name", SPL_NAME_MAX, FALSE, error);
    g_autofree char *far = NULL;
    struct spl_position middle;
    struct spl_site site = {0};
    gint64 known;
    gboolean ok;

    if (name == NULL || !clean_remark(place, error))
        return FALSE;
    if (spl_code_is_shaped(name)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: a site's name may not look like a code; rename it in the file", name);
        return FALSE;
    }
    middle = spl_geometry_middle(place->ground);
    place->lat = middle.lat;
    place->lon = middle.lon;
    place->accuracy_m = place_accuracy_m(place, words, system_m);
    known = spl_site_known(house->book, name, error);
    if (known < 0 || (remarks != NULL && !spl_whereabouts_point(house, place->lat, place->lon, name,
                                                                known, &far, error)))
        return FALSE;
    if (far != NULL)
        spl_place_remark(remarks, "%s", far);
    if (known > 0 && !is_first(put, known, name, error))
        return FALSE;
    if (known > 0 && !words->update) {
        spl_error_set_input(error, SPL_ERROR_EXISTS, "update",
                            "there is a site of the name '%s' already; say that it is to be moved "
                            "to where the file has it, or rename it in the file",
                            name);
        return FALSE;
    }
    if (known > 0 && isnan(system_m)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "crs",
                            "'%s' is not moved: the file's reference system is not known, and so "
                            "its places are doubtful; name the system, as EPSG:NUMBER",
                            name);
        return FALSE;
    }
    if (known > 0) {
        ok = spl_site_load(house->book, known, &site, error) &&
             update_site(house, &site, place, words->path, error);
        done->updated++;
    } else {
        site = (struct spl_site){
            .name = g_steal_pointer(&name),
            .lat = place->lat,
            .lon = place->lon,
            .elevation_m = place->elevation_m,
            .accuracy_m = place->accuracy_m,
            .contaminated_on = SPL_DAY_NONE,
            .outline_wkt = place->ground->kind == SPL_GEOMETRY_POLYGON
                               ? spl_geometry_to_wkt(place->ground)
                               : NULL,
            .remark = g_steal_pointer(&place->remark),
        };
        ok = spl_site_add(house->book, &site, error);
        done->added++;
    }
    g_hash_table_add(put, g_memdup2(&site.id, sizeof site.id));
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

static gboolean import_sites(struct spl_house *house, const struct spl_site_import_words *words,
                             struct spl_site_import *done, GError **error)
{
    g_autoptr(GPtrArray) remarks = spl_place_remarks_new();
    g_autoptr(GHashTable) put = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    g_autoptr(GArray) places = NULL;
    enum format format;
    double system_m = 0;
    gboolean ok = TRUE;

    if (!format_of(words->path, &format, error))
        return FALSE;
    places = format == SHAPEFILE ? read_shapefile(house, words, remarks, &system_m, error)
             : format == GEOJSON ? spl_geojson_read(words->path, words->name_field, remarks, error)
                                 : spl_gpx_read(words->path, remarks, error);
    if (places == NULL || !spl_book_begin(house->book, error))
        return FALSE;
    *done = (struct spl_site_import){.file = g_strdup(words->path)};
    for (guint i = 0; i < places->len && ok; i++)
        ok = put_place(house, words, system_m, &g_array_index(places, struct spl_place, i),
                       i < LOOKED_AT ? remarks : NULL, put, done, error);
    ok = spl_book_finish(house->book, ok, error);
    if (ok)
        done->remarks = g_steal_pointer(&remarks);
    else
        spl_record_clear(&spl_site_import_shape, done);
    return ok;
}

gboolean spl_site_import(struct spl_house *house, const struct spl_site_import_words *said,
                         struct spl_site_import *done, GError **error)
{
    struct spl_site_import_words words;
    struct spl_site_import made = {.file = NULL};
    gboolean ok;

    if (!spl_entry_take(house, &spl_site_import_inputs, said, &words, error))
        return FALSE;
    ok = import_sites(house, &words, &made, error);
    spl_inputs_clear(&spl_site_import_inputs, &words);
    if (ok)
        *done = made;
    return ok;
}
