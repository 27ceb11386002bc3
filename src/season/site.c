/* SPDX-License-Identifier: MIT
 *
 * Adding, changing and showing places. See simpling/site.h.
 */
#include "simpling/site.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "base/text.h"
#include "book/amendment.h"
#include "book/site.h"
#include "core/geometry.h"
#include "core/stage.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/touched.h"
#include "simpling/error.h"

#define AREA_FILE_MAX (4 * 1024 * 1024)

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_site_line, name, SPL_TEXT, "name", "site"),
    SPL_FIELD_NUM(spl_site_line, lat, 6, "lat", "lat"),
    SPL_FIELD_NUM(spl_site_line, lon, 6, "lon", "lon"),
    SPL_FIELD_NUM(spl_site_line, elevation_m, 0, "elevation_m", "elevation m"),
    SPL_FIELD(spl_site_line, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD(spl_site_line, why, SPL_TEXT, "why", "why"),
};
const struct spl_shape spl_site_line_shape = SPL_SHAPE("site_line", spl_site_line, line_fields);

static const struct spl_field sheet_fields[] = {
    SPL_FIELD_ONE(spl_site_sheet, site, &spl_site_shape, "site"),
    SPL_FIELD(spl_site_sheet, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD_LIST(spl_site_sheet, permissions, &spl_permission_note_shape, "permissions",
                   "permission"),
    SPL_FIELD_LIST(spl_site_sheet, notes, &spl_spray_record_shape, "notes", "spray notes"),
    SPL_FIELD_LIST(spl_site_sheet, stages, &spl_stage_record_shape, "stages", "stages seen"),
};
const struct spl_shape spl_site_sheet_shape = SPL_SHAPE("site_sheet", spl_site_sheet, sheet_fields);

/* What was said, parsed; unset members were not said. */
struct said {
    char *name, *remark, *contaminated, *outline_wkt;
    double lat, lon, elevation_m, accuracy_m;
};

static void said_clear(struct said *said)
{
    g_free(said->name);
    g_free(said->remark);
    g_free(said->contaminated);
    g_free(said->outline_wkt);
}

static gboolean read_name(const char *text, char **name, GError **error)
{
    *name = spl_text_clean(text, "the site's name", SPL_NAME_MAX, FALSE, error);
    if (*name == NULL)
        return FALSE;
    if (spl_code_is_shaped(*name)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: a site's name may not look like a code; choose a name in words", *name);
        return FALSE;
    }
    return TRUE;
}

static gboolean read_metres(const char *text, const char *what, double min, double max,
                            double *metres, GError **error)
{
    if (g_ascii_isdigit(text[strlen(text) > 0 ? strlen(text) - 1 : 0]))
        return spl_number_parse(text, what, min, max, metres, error);
    if (!spl_length_parse(text, what, metres, error))
        return FALSE;
    if (*metres > max) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: '%s' is more than %.0f m; look again",
                    what, text, max);
        return FALSE;
    }
    return TRUE;
}

/* An outline must be ground around the point that goes with it. */
static gboolean read_outline(const char *path, char **wkt, GError **error)
{
    g_autofree char *text = spl_file_read(path, AREA_FILE_MAX, NULL, error);
    g_autoptr(spl_geometry) geometry = NULL;

    if (text == NULL)
        return FALSE;
    if (!g_utf8_validate(text, -1, NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is not a text file; give the outline as WKT, POLYGON ((lon lat, …))",
                    path);
        return FALSE;
    }
    geometry = spl_geometry_from_wkt(g_strstrip(text), path, error);
    if (geometry == NULL || !spl_geometry_check_rings(geometry, path, error))
        return FALSE;
    if (geometry->kind != SPL_GEOMETRY_POLYGON) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: holds no area; give the outline as POLYGON ((lon lat, …))", path);
        return FALSE;
    }
    *wkt = spl_geometry_to_wkt(geometry);
    return TRUE;
}

static gboolean read_words(const struct spl_site_words *words, struct said *said, GError **error)
{
    *said = (struct said){.lat = NAN, .lon = NAN, .elevation_m = NAN, .accuracy_m = NAN};
    if (words->name != NULL && !read_name(words->name, &said->name, error))
        return FALSE;
    if (words->at != NULL &&
        !spl_coordinates_parse(words->at, "--at", &said->lat, &said->lon, error))
        return FALSE;
    if (words->elevation != NULL &&
        !read_metres(words->elevation, "--elevation", -500, 9000, &said->elevation_m, error))
        return FALSE;
    if (words->accuracy != NULL &&
        !read_metres(words->accuracy, "--accuracy", 0, 100000, &said->accuracy_m, error))
        return FALSE;
    if (words->area != NULL && !read_outline(words->area, &said->outline_wkt, error))
        return FALSE;
    if (words->remark != NULL) {
        said->remark = spl_text_clean(words->remark, "--remark", SPL_REMARK_MAX, TRUE, error);
        if (said->remark == NULL)
            return FALSE;
    }
    if (words->contaminated != NULL && *words->contaminated != '\0') {
        said->contaminated =
            spl_text_clean(words->contaminated, "--contaminated", SPL_REMARK_MAX, TRUE, error);
        if (said->contaminated == NULL)
            return FALSE;
    }
    return TRUE;
}

/* Without a point of its own, the outline's middle stands for the site. */
static gboolean place_of(struct said *said, const struct spl_site_words *words, GError **error)
{
    g_autoptr(spl_geometry) geometry = NULL;
    struct spl_position middle;

    if (words->at != NULL)
        return TRUE;
    if (said->outline_wkt == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "%s: where is it? Give --at 54.9712,-2.4610 or an outline with --area FILE",
                    said->name);
        return FALSE;
    }
    geometry = spl_geometry_from_wkt(said->outline_wkt, said->name, error);
    if (geometry == NULL)
        return FALSE;
    middle = spl_geometry_middle(geometry);
    said->lat = middle.lat;
    said->lon = middle.lon;
    return TRUE;
}

gboolean spl_site_new(struct spl_house *house, const struct spl_site_words *words,
                      struct spl_site *site, GError **error)
{
    struct said said;
    gboolean ok = read_words(words, &said, error) && place_of(&said, words, error);

    if (!ok || !spl_book_begin(house->book, error)) {
        said_clear(&said);
        return FALSE;
    }
    *site = (struct spl_site){
        .name = g_steal_pointer(&said.name),
        .lat = said.lat,
        .lon = said.lon,
        .elevation_m = said.elevation_m,
        .accuracy_m = said.accuracy_m,
        .own = words->own == 1,
        .contaminated = g_steal_pointer(&said.contaminated),
        .contaminated_on = words->contaminated != NULL ? house->today : SPL_DAY_NONE,
        .remark = g_steal_pointer(&said.remark),
        .outline_wkt = g_steal_pointer(&said.outline_wkt),
    };
    said_clear(&said);
    ok = spl_site_add(house->book, site, error);
    ok = spl_book_finish(house->book, ok, error);
    if (!ok)
        spl_record_clear(&spl_site_shape, site);
    return ok;
}

/* Writes one amendment for each thing that was said. */
static gboolean amend_site(struct spl_house *house, const struct spl_site *site,
                           const struct spl_site_words *words, const struct said *said,
                           const char *why, GError **error)
{
    g_autofree char *by = spl_house_who(house, NULL);
    struct spl_book *book = house->book;
    const char *uuid = site->uuid;
    gboolean ok = TRUE;

    if (said->name != NULL)
        ok = spl_site_rename(book, site, said->name, by, why, error);
    if (ok && words->at != NULL)
        ok = spl_amendment_add_real(book, uuid, "lat", said->lat, by, why, error) &&
             spl_amendment_add_real(book, uuid, "lon", said->lon, by, why, error);
    /* Moved off its outline: that is another place's ground now. */
    if (ok && words->at != NULL && said->outline_wkt == NULL &&
        !spl_site_outline_holds(site, said->lat, said->lon))
        ok = spl_amendment_add_text(book, uuid, "outline", NULL, by, why, error);
    if (ok && words->elevation != NULL)
        ok = spl_amendment_add_real(book, uuid, "elevation_m", said->elevation_m, by, why, error);
    if (ok && words->accuracy != NULL)
        ok = spl_amendment_add_real(book, uuid, "accuracy_m", said->accuracy_m, by, why, error);
    if (ok && said->outline_wkt != NULL) {
        g_autoptr(spl_geometry) geometry =
            spl_geometry_from_wkt(said->outline_wkt, site->name, error);
        g_autoptr(GBytes) bytes = geometry != NULL ? spl_geometry_to_bytes(geometry) : NULL;

        ok = bytes != NULL && spl_amendment_add_bytes(book, uuid, "outline", bytes, by, why, error);
    }
    if (ok && words->own >= 0)
        ok = spl_amendment_add_int(book, uuid, "own", words->own, by, why, error);
    if (ok && words->contaminated != NULL)
        ok = spl_amendment_add_text(book, uuid, "contaminated", said->contaminated, by, why,
                                    error) &&
             spl_amendment_add_day(book, uuid, "contaminated_on", house->today, by, why, error);
    if (ok && words->remark != NULL)
        ok = spl_amendment_add_text(book, uuid, "remark", said->remark, by, why, error);
    return ok;
}

gboolean spl_site_change(struct spl_house *house, const char *name,
                         const struct spl_site_words *words, const char *why, struct spl_site *site,
                         GPtrArray **touched, GError **error)
{
    struct said said = {0};
    g_autofree char *reason = NULL;
    gint64 id = 0;
    gboolean ok;

    if (words->name == NULL && words->at == NULL && words->elevation == NULL &&
        words->accuracy == NULL && words->area == NULL && words->remark == NULL &&
        words->contaminated == NULL && words->own < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "site edit: nothing to change was said; see 'simpling help site edit'");
        return FALSE;
    }
    reason = spl_text_clean(why != NULL ? why : "edited", "--why", SPL_REMARK_MAX, TRUE, error);
    if (reason == NULL || !read_words(words, &said, error)) {
        said_clear(&said);
        return FALSE;
    }
    if (!spl_book_begin(house->book, error)) {
        said_clear(&said);
        return FALSE;
    }
    ok = spl_site_find(house->book, name, site, error);
    if (ok) {
        id = site->id;
        ok = amend_site(house, site, words, &said, reason, error);
        spl_record_clear(&spl_site_shape, site);
        ok = ok && spl_site_load(house->book, id, site, error);
    }
    *touched = g_ptr_array_new_with_free_func(g_free);
    if (ok && said.contaminated != NULL)
        ok = spl_touched_by_site(house, id, SPL_DAY_NONE, *touched, error);
    said_clear(&said);
    ok = spl_book_finish(house->book, ok, error);
    if (!ok)
        g_clear_pointer(touched, g_ptr_array_unref);
    return ok;
}

/* Showing -------------------------------------------------------------------------------------- */

gboolean spl_site_lines(struct spl_house *house, struct spl_day on,
                        gboolean (*each)(const struct spl_site_line *line, gpointer data,
                                         GError **error),
                        gpointer data, GError **error)
{
    GArray *sites = spl_site_all(house->book, error);
    gboolean ok = sites != NULL;

    for (guint i = 0; ok && i < sites->len; i++) {
        const struct spl_site *site = &g_array_index(sites, struct spl_site, i);
        struct spl_verdict_result result;
        struct spl_site_line line;

        ok = spl_ground_judge(house, site, on, NULL, &result, error);
        if (!ok)
            break;
        line = (struct spl_site_line){
            .name = g_strdup(site->name),
            .lat = site->lat,
            .lon = site->lon,
            .elevation_m = site->elevation_m,
            .verdict = g_strdup(spl_verdict_name(result.verdict)),
            .why = spl_ground_worst(&result),
        };
        ok = each(&line, data, error);
        spl_record_clear(&spl_site_line_shape, &line);
        spl_verdict_result_clear(&result);
    }
    spl_list_free(&spl_site_shape, sites);
    return ok;
}

/* The words for codes, which the book does not know. */
static void name_stages(GArray *stages)
{
    for (guint i = 0; i < stages->len; i++) {
        struct spl_stage_record *record = &g_array_index(stages, struct spl_stage_record, i);

        record->stage_word = g_strdup(spl_stage_word(record->stage));
    }
}

gboolean spl_site_sheet(struct spl_house *house, const char *name, struct spl_site_sheet *sheet,
                        GError **error)
{
    struct spl_verdict_result result;

    *sheet = (struct spl_site_sheet){.site = g_new0(struct spl_site, 1)};
    if (spl_site_find(house->book, name, sheet->site, error) &&
        (sheet->permissions = spl_permission_list(house->book, sheet->site->id, error)) != NULL &&
        (sheet->notes = spl_spray_list(house->book, sheet->site->id, TRUE, error)) != NULL &&
        (sheet->stages = spl_stage_list(house->book, sheet->site->id, NULL, error)) != NULL &&
        spl_ground_judge(house, sheet->site, house->today, NULL, &result, error)) {
        name_stages(sheet->stages);
        sheet->verdict = g_strdup(spl_verdict_name(result.verdict));
        spl_verdict_result_clear(&result);
        return TRUE;
    }
    spl_record_clear(&spl_site_sheet_shape, sheet);
    return FALSE;
}

GArray *spl_stage_notes(struct spl_house *house, const char *site, const char *material,
                        GError **error)
{
    const struct spl_tables *tables;
    const struct spl_material *found = NULL;
    struct spl_site place = {0};
    GArray *list;

    if (material != NULL) {
        tables = spl_house_tables(house, error);
        if (tables == NULL || !spl_tables_material(tables, material, &found, error))
            return NULL;
    }
    if (site != NULL && !spl_site_find(house->book, site, &place, error))
        return NULL;
    list = spl_stage_list(house->book, place.id, found != NULL ? found->slug : NULL, error);
    spl_record_clear(&spl_site_shape, &place);
    if (list != NULL)
        name_stages(list);
    return list;
}
