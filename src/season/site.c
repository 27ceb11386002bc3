/* SPDX-License-Identifier: MIT
 *
 * Adding, changing and showing places. See simpling/site.h.
 */
#include "simpling/site.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "book/amendment.h"
#include "book/site.h"
#include "core/geometry.h"
#include "core/stage.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/touched.h"
#include "season/whereabouts.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define AREA_FILE_MAX (4 * 1024 * 1024)

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_site_line, name, SPL_TEXT, "name", "site"),
    SPL_FIELD_NUM(spl_site_line, lat, 6, "lat", "lat"),
    SPL_FIELD_NUM(spl_site_line, lon, 6, "lon", "lon"),
    SPL_FIELD_NUM(spl_site_line, elevation_m, 0, "elevation_m", "elevation m"),
    SPL_FIELD(spl_site_line, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD(spl_site_line, why, SPL_TEXT, "why", "why"),
    SPL_FIELD_LIST(spl_site_line, reasons, &spl_reason_shape, "reasons", NULL),
};
const struct spl_shape spl_site_line_shape = SPL_SHAPE("site_line", spl_site_line, line_fields);

static const struct spl_field sheet_fields[] = {
    SPL_FIELD_ONE(spl_site_sheet, site, &spl_site_shape, "site"),
    SPL_FIELD(spl_site_sheet, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD_LIST(spl_site_sheet, permissions, &spl_permission_note_shape, "permissions",
                   "permission"),
    SPL_FIELD_LIST(spl_site_sheet, notes, &spl_spray_record_shape, "notes", "spray notes"),
    SPL_FIELD_LIST(spl_site_sheet, stages, &spl_stage_record_shape, "stages", "stages seen"),
};
const struct spl_shape spl_site_sheet_shape = SPL_SHAPE("site_sheet", spl_site_sheet, sheet_fields);

#define SITE_ROWS(record, words)                                                                   \
    SPL_INPUT(record, words at, COORDINATES, "at",                                                 \
              "where it is, WGS 84 (54.9712,-2.4610, d°m's\", geo:)", .amends = 1),                \
        SPL_INPUT(record, words elevation_m, LENGTH, "elevation", "metres above the sea",          \
                  .bare = 1, .min = -500, .max = 9000, .amends = 1),                               \
        SPL_INPUT(record, words accuracy_m, LENGTH, "accuracy",                                    \
                  "how far the position may be off, in metres; distances to hazards shrink by it", \
                  .bare = 1, .max = 100000, .amends = 1),                                          \
        SPL_INPUT(record, words area, FILE, "area",                                                \
                  "the ground's outline as WKT, POLYGON ((lon lat, …))", .amends = 1),             \
        SPL_INPUT(record, words remark, TEXT, "remark", "anything to remember", .amends = 1),      \
        SPL_INPUT(record, words contaminated, TEXT, "contaminated", "closed for good, and why",    \
                  .value = "WHY", .amends = 1)

static gboolean check_name(const char *name, GError **error)
{
    if (name == NULL || !spl_code_is_shaped(name))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "name",
                        "'%s': a site's name may not look like a code; choose a name in words",
                        name);
    return FALSE;
}

static const struct spl_input site_rows[] = {
    SPL_INPUT(spl_site_words, name, NAME, "name", "what you call it", .needed = 1),
    SITE_ROWS(spl_site_words, ),
    SPL_INPUT(spl_site_words, own, YES, "own", "ground of your own"),
};
static const struct spl_rule site_rules[] = {{SPL_RULE_SOME, {"at", "area"}}};

static gboolean check_site(const void *record, GError **error)
{
    return check_name(((const struct spl_site_words *)record)->name, error);
}
const struct spl_inputs spl_site_inputs =
    SPL_INPUTS("site", spl_site_words, site_rows, SPL_RULES(site_rules), .check = check_site);

static const struct spl_input edit_rows[] = {
    SPL_INPUT(spl_site_edit_words, site, SITE, "site", "the place", .value = "NAME", .needed = 1),
    SPL_INPUT(spl_site_edit_words, to.name, NAME, "name", "another name", .value = "NEW"),
    SITE_ROWS(spl_site_edit_words, to.),
    SPL_INPUT(spl_site_edit_words, to.own, YES, "own", "ground of your own", .amends = 1),
    SPL_INPUT(spl_site_edit_words, not_contaminated, FLAG, "not_contaminated",
              "the mark was wrong, or a test cleared it"),
    SPL_INPUT(spl_site_edit_words, why, TEXT, "why", "the reason for the change"),
};
static const struct spl_rule edit_rules[] = {{SPL_RULE_MOST, {"contaminated", "not_contaminated"}}};

static gboolean check_edit(const void *record, GError **error)
{
    const struct spl_site_edit_words *words = record;

    for (gsize i = 0; i < G_N_ELEMENTS(edit_rows); i++) {
        const struct spl_input *row = &edit_rows[i];

        if (strcmp(row->key, "site") != 0 && strcmp(row->key, "why") != 0 &&
            spl_input_is_said(row, record))
            return check_name(words->to.name, error);
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: nothing to change was said", words->site);
    return FALSE;
}
const struct spl_inputs spl_site_edit_inputs = SPL_INPUTS(
    "site_edit", spl_site_edit_words, edit_rows, SPL_RULES(edit_rules), .check = check_edit);

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_site_pick, site, SITE, "site", "the place", .value = "NAME", .needed = 1),
};
const struct spl_inputs spl_site_pick_inputs = SPL_INPUTS("site_pick", spl_site_pick, pick_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_site_question, on, DAY, "on", "the verdict of another day", .today = 1),
};
const struct spl_inputs spl_site_question_inputs =
    SPL_INPUTS("site_question", spl_site_question, question_rows);

/* An outline must be ground around the point that goes with it. */
static gboolean read_outline(const char *path, char **wkt, GError **error)
{
    g_autofree char *text = NULL;
    g_autoptr(spl_geometry) geometry = NULL;
    double m2;

    /* How large it is, and no outline: the likely slip. */
    if (!g_file_test(path, G_FILE_TEST_EXISTS) && spl_area_parse(path, "area", &m2, NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "'%s' is a size, and this is a file with the outline of the place; how large a "
                    "stand on it is, is noted of the stand",
                    path);
        return FALSE;
    }
    text = spl_file_read(path, AREA_FILE_MAX, NULL, error);
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

/* The outline that was said, checked; NULL when none was. FALSE with an error of `area`. */
static gboolean take_outline(const char *area, char **wkt, GError **error)
{
    *wkt = NULL;
    if (area == NULL || read_outline(area, wkt, error))
        return TRUE;
    spl_error_about(error, "area");
    return FALSE;
}

/* Without a point of its own, the outline's middle stands for the site. */
static gboolean place_of(const char *name, const char *wkt, struct spl_coordinates *at,
                         GError **error)
{
    g_autoptr(spl_geometry) geometry = NULL;
    struct spl_position middle;

    if (!isnan(at->lat))
        return TRUE;
    geometry = spl_geometry_from_wkt(wkt, name, error);
    if (geometry == NULL)
        return FALSE;
    middle = spl_geometry_middle(geometry);
    *at = (struct spl_coordinates){middle.lat, middle.lon};
    return TRUE;
}

gboolean spl_site_new(struct spl_house *house, const struct spl_site_words *said,
                      struct spl_site *site, char **caution, GError **error)
{
    struct spl_site_words words;
    g_autofree char *far = NULL;
    g_autofree char *wkt = NULL;
    struct spl_site made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_site_inputs, said, &words, error))
        return FALSE;
    ok = take_outline(words.area, &wkt, error) && place_of(words.name, wkt, &words.at, error) &&
         spl_whereabouts_point(house, words.at.lat, words.at.lon, words.name, 0, &far, error) &&
         spl_book_begin(house->book, error);
    if (ok) {
        made = (struct spl_site){
            .name = g_strdup(words.name),
            .lat = words.at.lat,
            .lon = words.at.lon,
            .elevation_m = words.elevation_m,
            .accuracy_m = words.accuracy_m,
            .own = words.own == 1,
            .contaminated = g_strdup(words.contaminated),
            .contaminated_on = words.contaminated != NULL ? house->today : SPL_DAY_NONE,
            .remark = g_strdup(words.remark),
            .outline_wkt = g_steal_pointer(&wkt),
        };
        ok = spl_book_finish(house->book, spl_site_add(house->book, &made, error), error);
        if (ok) {
            *site = made;
            *caution = g_steal_pointer(&far);
        } else
            spl_record_clear(&spl_site_shape, &made);
    }
    spl_inputs_clear(&spl_site_inputs, &words);
    return ok;
}

/* Writes one amendment for each thing that was said. */
static gboolean amend_site(struct spl_house *house, const struct spl_site *site,
                           const struct spl_site_edit_words *words, const char *wkt,
                           const char *why, GError **error)
{
    const struct spl_site_words *to = &words->to;
    g_autofree char *by = spl_house_who(house, NULL);
    struct spl_book *book = house->book;
    const char *uuid = site->uuid;
    gboolean ok = TRUE;

    if (to->name != NULL)
        ok = spl_site_rename(book, site, to->name, by, why, error);
    if (ok && !isnan(to->at.lat))
        ok = spl_amendment_add_real(book, uuid, "lat", to->at.lat, by, why, error) &&
             spl_amendment_add_real(book, uuid, "lon", to->at.lon, by, why, error);
    /* Moved off its outline: that is another place's ground now. */
    if (ok && !isnan(to->at.lat) && wkt == NULL &&
        !spl_site_outline_holds(site, to->at.lat, to->at.lon))
        ok = spl_amendment_add_text(book, uuid, "outline", NULL, by, why, error);
    if (ok && !isnan(to->elevation_m))
        ok = spl_amendment_add_real(book, uuid, "elevation_m", to->elevation_m, by, why, error);
    if (ok && !isnan(to->accuracy_m))
        ok = spl_amendment_add_real(book, uuid, "accuracy_m", to->accuracy_m, by, why, error);
    if (ok && wkt != NULL) {
        g_autoptr(spl_geometry) geometry = spl_geometry_from_wkt(wkt, site->name, error);
        g_autoptr(GBytes) bytes = geometry != NULL ? spl_geometry_to_bytes(geometry) : NULL;

        ok = bytes != NULL && spl_amendment_add_bytes(book, uuid, "outline", bytes, by, why, error);
    }
    if (ok && to->own >= 0)
        ok = spl_amendment_add_int(book, uuid, "own", to->own, by, why, error);
    if (ok && (to->contaminated != NULL || words->not_contaminated))
        ok = spl_amendment_add_text(book, uuid, "contaminated", to->contaminated, by, why, error) &&
             spl_amendment_add_day(book, uuid, "contaminated_on", house->today, by, why, error);
    if (ok && to->remark != NULL)
        ok = spl_amendment_add_text(book, uuid, "remark", to->remark, by, why, error);
    return ok;
}

/* Where it is moved to, by its position or its ground, is looked at as if it were new. */
static gboolean look_where(struct spl_house *house, const struct spl_site *site,
                           const struct spl_site_words *to, const char *wkt, char **caution,
                           GError **error)
{
    struct spl_coordinates at = to->at;

    return (isnan(at.lat) && wkt == NULL) ||
           (place_of(site->name, wkt, &at, error) &&
            spl_whereabouts_point(house, at.lat, at.lon, site->name, site->id, caution, error));
}

/* Inside the transaction; `site` is filled when it succeeds. */
static gboolean change(struct spl_house *house, const struct spl_site_edit_words *words,
                       const char *wkt, struct spl_site *site, GPtrArray *touched, char **caution,
                       GError **error)
{
    struct spl_site before;
    gint64 id;
    gboolean ok;

    if (!spl_house_site(house, "site", words->site, &before, error))
        return FALSE;
    id = before.id;
    ok = look_where(house, &before, &words->to, wkt, caution, error) &&
         amend_site(house, &before, words, wkt, words->why != NULL ? words->why : "edited", error);
    spl_record_clear(&spl_site_shape, &before);
    return ok && spl_site_load(house->book, id, site, error) &&
           (words->to.contaminated == NULL ||
            spl_touched_by_site(house, id, SPL_DAY_NONE, touched,
                                site->touched = spl_list_new(&spl_touched_shape), error));
}

gboolean spl_site_change(struct spl_house *house, const struct spl_site_edit_words *said,
                         struct spl_site *site, GPtrArray **touched, char **caution, GError **error)
{
    g_autofree char *far = NULL;
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    struct spl_site_edit_words words;
    struct spl_site after = {0};
    g_autofree char *wkt = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_site_edit_inputs, said, &words, error))
        return FALSE;
    ok =
        take_outline(words.to.area, &wkt, error) && spl_book_begin(house->book, error) &&
        spl_book_finish(house->book, change(house, &words, wkt, &after, lines, &far, error), error);
    spl_inputs_clear(&spl_site_edit_inputs, &words);
    if (ok) {
        *site = after;
        *touched = g_steal_pointer(&lines);
        *caution = g_steal_pointer(&far);
    } else {
        spl_record_clear(&spl_site_shape, &after);
    }
    return ok;
}

/* Showing -------------------------------------------------------------------------------------- */

gboolean spl_site_lines(struct spl_house *house, const struct spl_site_question *said,
                        gboolean (*each)(const struct spl_site_line *line, gpointer data,
                                         GError **error),
                        gpointer data, GError **error)
{
    struct spl_site_question question;
    GArray *sites;
    gboolean ok;

    if (!spl_entry_take(house, &spl_site_question_inputs, said, &question, error))
        return FALSE;
    sites = spl_site_all(house->book, error);
    ok = sites != NULL;

    for (guint i = 0; ok && i < sites->len; i++) {
        const struct spl_site *site = &g_array_index(sites, struct spl_site, i);
        struct spl_verdict_result result;
        struct spl_site_line line;

        ok = spl_ground_judge(house, site, question.on, NULL, &result, error);
        if (!ok)
            break;
        line = (struct spl_site_line){
            .name = g_strdup(site->name),
            .lat = site->lat,
            .lon = site->lon,
            .elevation_m = site->elevation_m,
            .verdict = result.verdict,
            .why = spl_ground_why(&result),
            .reasons = g_steal_pointer(&result.reasons),
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
    struct spl_site_sheet found = {0};
    struct spl_verdict_result result;
    struct spl_site_pick pick = {name};

    if (!spl_entry_check(house, &spl_site_pick_inputs, &pick, error))
        return FALSE;
    found.site = g_new0(struct spl_site, 1);
    if (spl_house_site(house, "site", name, found.site, error) &&
        (found.permissions = spl_permission_list(house->book, found.site->id, error)) != NULL &&
        (found.notes = spl_spray_list(house->book, found.site->id, TRUE, error)) != NULL &&
        (found.stages = spl_stage_list(house->book, found.site->id, NULL, error)) != NULL &&
        spl_ground_judge(house, found.site, house->today, NULL, &result, error)) {
        name_stages(found.stages);
        found.verdict = result.verdict;
        spl_verdict_result_clear(&result);
        *sheet = found;
        return TRUE;
    }
    spl_record_clear(&spl_site_sheet_shape, &found);
    return FALSE;
}

GArray *spl_stage_notes(struct spl_house *house, const struct spl_stage_question *said,
                        GError **error)
{
    struct spl_stage_question question;
    struct spl_site place = {0};
    GArray *list = NULL;

    if (!spl_entry_take(house, &spl_stage_question_inputs, said, &question, error))
        return NULL;
    if (question.site == NULL || spl_house_site(house, "site", question.site, &place, error))
        list = spl_stage_list(house->book, place.id, question.material, error);
    spl_record_clear(&spl_site_shape, &place);
    spl_inputs_clear(&spl_stage_question_inputs, &question);
    if (list != NULL)
        name_stages(list);
    return list;
}
