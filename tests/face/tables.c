/* SPDX-License-Identifier: MIT
 *
 * The tables of inputs with words that season takes. See tables.h.
 */
#include "tables.h"

#include "simpling/almanac.h"
#include "simpling/calendar.h"
#include "simpling/carry.h"
#include "simpling/check.h"
#include "simpling/hazard.h"
#include "simpling/need.h"
#include "simpling/plan.h"
#include "simpling/site.h"
#include "simpling/site_carry.h"
#include "simpling/trust.h"
#include "simpling/weather.h"
#include "simpling/window.h"

#include <glib/gstdio.h>

/* Entries -------------------------------------------------------------------------------------- */

static gboolean add_hazard(struct spl_house *house, const void *said, GError **error)
{
    struct spl_hazard_layer layer;
    GPtrArray *touched;

    face_mark(&layer, sizeof layer);
    if (!spl_hazard_new(house, said, &layer, &touched, error))
        return face_untouched(&layer, sizeof layer);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_hazard_layer_shape, &layer);
    return TRUE;
}

static gboolean drop_hazard(struct spl_house *house, const void *said, GError **error)
{
    return spl_hazard_drop(house, said, error);
}

static gboolean list_hazards(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_hazard_lines(house, said, error);

    if (lines == NULL)
        return FALSE;
    spl_list_free(&spl_hazard_line_shape, lines);
    return TRUE;
}

static gboolean change_method(struct spl_house *house, const void *said, GError **error)
{
    struct spl_method_line line;

    face_mark(&line, sizeof line);
    if (!spl_hazard_method_change(house, said, &line, error))
        return face_untouched(&line, sizeof line);
    spl_record_clear(&spl_method_line_shape, &line);
    return TRUE;
}

static gboolean import_hazards(struct spl_house *house, const void *said, GError **error)
{
    struct spl_hazard_import import;

    face_mark(&import, sizeof import);
    if (!spl_hazard_read(house, said, &import, error))
        return face_untouched(&import, sizeof import);
    spl_record_clear(&spl_hazard_import_shape, &import);
    return TRUE;
}

static gboolean import_weather(struct spl_house *house, const void *said, GError **error)
{
    struct spl_weather_import import;

    face_mark(&import, sizeof import);
    if (!spl_weather_import_file(house, said, &import, error))
        return face_untouched(&import, sizeof import);
    spl_record_clear(&spl_weather_import_shape, &import);
    return TRUE;
}

static gboolean see_check(const struct spl_check *check, gpointer data, GError **error)
{
    (void)check;
    (void)data;
    (void)error;
    return TRUE;
}

static gboolean check(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_check_question *question = said;
    struct spl_check answer;

    face_mark(&answer, sizeof answer);
    if (question->all)
        return spl_check_all(house, question, see_check, NULL, NULL, error);
    if (!spl_check_site(house, question, &answer, error))
        return face_untouched(&answer, sizeof answer);
    spl_record_clear(&spl_check_shape, &answer);
    return TRUE;
}

static gboolean add_almanac(struct spl_house *house, const void *said, GError **error)
{
    struct spl_almanac_added added;

    face_mark(&added, sizeof added);
    if (!spl_almanac_add(house, said, &added, error))
        return face_untouched(&added, sizeof added);
    spl_record_clear(&spl_almanac_added_shape, &added);
    return TRUE;
}

static gboolean list_almanacs(struct spl_house *house, const void *said, GError **error)
{
    GArray *rows = spl_almanac_list(house, said, error);

    if (rows == NULL)
        return FALSE;
    spl_list_free(&spl_almanac_row_shape, rows);
    return TRUE;
}

/* A stream takes it: this face writes no file. */
static gboolean write_calendar(struct spl_house *house, const void *said, GError **error)
{
    struct spl_calendar_words words = *(const struct spl_calendar_words *)said;
    struct spl_calendar_written written;
    FILE *stream = tmpfile();
    gboolean ok;

    words.out = words.split == NULL ? "-" : words.out;
    ok = spl_calendar_write(house, &words, stream, &written, error);
    fclose(stream);
    if (ok)
        spl_record_clear(&spl_calendar_written_shape, &written);
    return ok;
}

static gboolean read_calendar(struct spl_house *house, const void *said, GError **error)
{
    struct spl_calendar_read read;

    face_mark(&read, sizeof read);
    if (!spl_calendar_read(house, said, &read, error))
        return face_untouched(&read, sizeof read);
    spl_record_clear(&spl_calendar_read_shape, &read);
    return TRUE;
}

static gboolean take_again(struct spl_house *house, const void *said, GError **error)
{
    GArray *list = spl_calendar_again(house, said, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_calendar_dropped_shape, list);
    return TRUE;
}

static gboolean check_calendar(struct spl_house *house, const void *said, GError **error)
{
    struct spl_ical_checked checked;

    face_mark(&checked, sizeof checked);
    (void)house;
    if (!spl_calendar_check(said, &checked, error))
        return face_untouched(&checked, sizeof checked);
    spl_record_clear(&spl_ical_checked_shape, &checked);
    return TRUE;
}

static gboolean read_busy(struct spl_house *house, const void *said, GError **error)
{
    struct spl_busy_read busy;

    face_mark(&busy, sizeof busy);
    if (!spl_calendar_busy(house, said, &busy, error))
        return face_untouched(&busy, sizeof busy);
    spl_record_clear(&spl_busy_read_shape, &busy);
    return TRUE;
}

/* A path of its own, in a folder that goes again, for each call that writes. NULL: not said. */
static char *own_path(const char *said, char **folder)
{
    if (said == NULL || *said == '\0' || *said == ' ')
        return NULL;
    *folder = g_dir_make_tmp("spl-face-out-XXXXXX", NULL);
    return g_build_filename(*folder, said, NULL);
}

static void take_away(const char *path, const char *folder)
{
    g_autoptr(GDir) dir = path != NULL ? g_dir_open(path, 0, NULL) : NULL;
    const char *name;

    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *file = g_build_filename(path, name, NULL);

        g_unlink(file);
    }
    if (path != NULL) {
        g_remove(path);
        g_rmdir(folder);
    }
}

static gboolean make_book(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_book_words *words = said;
    g_autofree char *folder = NULL, *path = own_path("new.db", &folder);
    struct spl_house_options options = {.book = path, .today = spl_house_today(house)};
    struct spl_book_info info;
    gboolean ok = spl_book_make(&options, words->mark, &info, error);

    if (ok)
        spl_record_clear(&spl_book_info_shape, &info);
    take_away(path, folder);
    return ok;
}

static gboolean set_setting(struct spl_house *house, const void *said, GError **error)
{
    return spl_book_set(house, said, error);
}

static gboolean copy_book(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_book_place *place = said;
    g_autofree char *folder = NULL, *path = own_path(place->path, &folder);
    gboolean ok = spl_book_copy(house, path, error);

    take_away(path, folder);
    return ok;
}

static gboolean carry_out(struct spl_house *house, const void *said, GError **error)
{
    struct spl_carry_words words = *(const struct spl_carry_words *)said;
    g_autofree char *folder = NULL, *path = own_path(words.path, &folder);
    struct spl_carried carried;
    gboolean ok;

    words.path = path;
    ok = spl_carry_out(house, &words, &carried, error);

    if (ok)
        spl_record_clear(&spl_carried_shape, &carried);
    take_away(path, folder);
    return ok;
}

static gboolean carry_in(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_book_place *place = said;
    g_autofree char *folder = NULL, *path = own_path(place->path, &folder);
    g_autofree char *book =
        path != NULL ? g_build_filename(folder, "again.db", NULL) : g_strdup("/nowhere/again.db");
    struct spl_house_options options = {.book = book, .today = spl_house_today(house)};
    struct spl_carried carried;
    const struct spl_carry_words words = {.path = path};
    gboolean ok = path == NULL || spl_carry_out(house, &words, &carried, error);

    if (ok && path != NULL)
        spl_record_clear(&spl_carried_shape, &carried);
    ok = ok && spl_carry_in(&options, path, &carried, error);
    if (ok)
        spl_record_clear(&spl_carried_shape, &carried);
    g_unlink(book);
    take_away(path, folder);
    return ok;
}

static gboolean merge(struct spl_house *house, const void *said, GError **error)
{
    struct spl_merge_words words = *(const struct spl_merge_words *)said;
    g_autofree char *folder = NULL, *path = own_path(words.path, &folder);
    struct spl_merged merged;
    gboolean ok;

    words.path = path;
    ok = (path == NULL || spl_book_copy(house, path, error)) &&
         spl_merge(house, &words, &merged, error);

    if (ok)
        spl_record_clear(&spl_merged_shape, &merged);
    take_away(path, folder);
    return ok;
}

static gboolean lend(struct spl_house *house, const void *said, GError **error)
{
    struct spl_lend_words words = *(const struct spl_lend_words *)said;
    g_autofree char *folder = NULL, *path = own_path(words.path, &folder);
    struct spl_lent lent;
    gboolean ok;

    words.path = path;
    ok = spl_book_lend(house, &words, &lent, error);
    if (ok)
        spl_record_clear(&spl_lent_shape, &lent);
    take_away(path, folder);
    return ok;
}

static gboolean see_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    (void)told;
    (void)data;
    (void)error;
    return TRUE;
}

static gboolean list_windows(struct spl_house *house, const void *said, GError **error)
{
    return spl_window_list(house, said, see_window, NULL, error);
}

static gboolean check_windows(struct spl_house *house, const void *said, GError **error)
{
    struct spl_window_errors errors;

    face_mark(&errors, sizeof errors);
    if (!spl_window_check(house, said, &errors, error))
        return face_untouched(&errors, sizeof errors);
    spl_record_clear(&spl_window_errors_shape, &errors);
    return TRUE;
}

static gboolean export_sites(struct spl_house *house, const void *said, GError **error)
{
    struct spl_site_export_words words = *(const struct spl_site_export_words *)said;
    g_autofree char *folder = NULL, *path = own_path(words.path, &folder);
    struct spl_site_export done;
    gboolean ok;

    words.path = path;
    ok = spl_site_export(house, &words, &done, error);
    if (ok)
        spl_record_clear(&spl_site_export_shape, &done);
    take_away(path, folder);
    return ok;
}

static gboolean import_sites(struct spl_house *house, const void *said, GError **error)
{
    struct spl_site_import done;

    face_mark(&done, sizeof done);
    if (!spl_site_import(house, said, &done, error))
        return face_untouched(&done, sizeof done);
    spl_record_clear(&spl_site_import_shape, &done);
    return TRUE;
}

static gboolean add_plan(struct spl_house *house, const void *said, GError **error)
{
    struct spl_plan_line line;
    GPtrArray *cautions;

    face_mark(&line, sizeof line);
    if (!spl_plan_add(house, said, &line, &cautions, error))
        return face_untouched(&line, sizeof line);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_plan_line_shape, &line);
    return TRUE;
}

static gboolean list_plans(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_plan_lines(house, said, error);

    if (lines == NULL)
        return FALSE;
    spl_list_free(&spl_plan_line_shape, lines);
    return TRUE;
}

static gboolean drop_plan(struct spl_house *house, const void *said, GError **error)
{
    struct spl_plan_line line;

    face_mark(&line, sizeof line);
    if (!spl_plan_drop(house, said, &line, error))
        return face_untouched(&line, sizeof line);
    spl_record_clear(&spl_plan_line_shape, &line);
    return TRUE;
}

static gboolean plan_year(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_plan_year(house, said, error);

    spl_list_free(&spl_plan_year_line_shape, lines);
    return lines != NULL;
}

static gboolean list_shortages(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_plan_shortfall(house, said, error);

    if (lines == NULL)
        return FALSE;
    spl_list_free(&spl_plan_shortage_shape, lines);
    return TRUE;
}

#define SAMPLES SPL_SOURCE_DIR "/tests/command/samples/"

static gboolean add_site(struct spl_house *house, const void *said, GError **error)
{
    g_autofree char *caution = NULL;
    struct spl_site site;

    face_mark(&site, sizeof site);
    if (!spl_site_new(house, said, &site, &caution, error))
        return face_untouched(&site, sizeof site);
    spl_record_clear(&spl_site_shape, &site);
    return TRUE;
}

static gboolean edit_site(struct spl_house *house, const void *said, GError **error)
{
    struct spl_site site;
    GPtrArray *touched;
    char *caution;

    face_mark(&site, sizeof site);
    if (!spl_site_change(house, said, &site, &touched, &caution, error))
        return face_untouched(&site, sizeof site);
    g_free(caution);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_site_shape, &site);
    return TRUE;
}

static gboolean show_site(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_site_pick *pick = said;
    struct spl_site_sheet sheet;

    face_mark(&sheet, sizeof sheet);
    if (!spl_site_sheet(house, pick->site, &sheet, error))
        return face_untouched(&sheet, sizeof sheet);
    spl_record_clear(&spl_site_sheet_shape, &sheet);
    return TRUE;
}

static gboolean see_site(const struct spl_site_line *line, gpointer data, GError **error)
{
    (void)line;
    (void)data;
    (void)error;
    return TRUE;
}

static gboolean list_sites(struct spl_house *house, const void *said, GError **error)
{
    return spl_site_lines(house, said, see_site, NULL, error);
}

static gboolean permit(struct spl_house *house, const void *said, GError **error)
{
    struct spl_permission_note note;

    face_mark(&note, sizeof note);
    if (!spl_site_permit(house, said, &note, error))
        return face_untouched(&note, sizeof note);
    spl_record_clear(&spl_permission_note_shape, &note);
    return TRUE;
}

static gboolean note_spray(struct spl_house *house, const void *said, GError **error)
{
    struct spl_spray_record note;
    GPtrArray *touched;

    face_mark(&note, sizeof note);
    if (!spl_spray_note_add(house, said, &note, &touched, error))
        return face_untouched(&note, sizeof note);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_spray_record_shape, &note);
    return TRUE;
}

static gboolean answer_need(struct spl_house *house, const void *said, GError **error)
{
    struct spl_need_result result;

    face_mark(&result, sizeof result);
    if (!spl_need_answer(house, said, &result, error))
        return face_untouched(&result, sizeof result);
    spl_record_clear(&spl_need_result_shape, &result);
    return TRUE;
}

static gboolean dilute(struct spl_house *house, const void *said, GError **error)
{
    struct spl_dilution dilution;

    (void)house;
    return spl_dilute(said, &dilution, error);
}

static gboolean say_trust(struct spl_house *house, const void *said, GError **error)
{
    struct spl_trust trust;

    face_mark(&trust, sizeof trust);
    if (!spl_trust_say(house, said, &trust, error))
        return face_untouched(&trust, sizeof trust);
    spl_record_clear(&spl_trust_shape, &trust);
    return TRUE;
}

const struct face_table face_tables[] = {
    {&spl_plan_inputs,
     add_plan,
     {"name", "winter tincture", "preparation", "tincture", "materials", "nettle/leaf:2",
      "materials", "dandelion/leaf", "yield", "500mL", "by", "2027-11-01", "remark",
      "for the coughs", "year", "2027", NULL}},
    {&spl_plan_inputs,
     add_plan,
     {"name", "dried, 1:5", "preparation", "tincture", "materials", "nettle/leaf", "yield", "500mL",
      "dry", "yes", "ratio", "1:5", "strength", "50%", NULL}},
    {&spl_plan_inputs,
     add_plan,
     {"name", "six jars", "preparation", "tincture", "materials", "nettle/leaf", "jar", "6x500mL",
      NULL}},
    {&spl_plan_question_inputs, list_plans, {"year", "2027", NULL}},
    {&spl_plan_drop_inputs,
     drop_plan,
     {"name", "the first one", "why", "enough", "by", "Edda", "year", "2027", NULL}},
    {&spl_plan_year_inputs,
     plan_year,
     {"year", "2027", "accept", "Nettle leaf tincture", "amount", "200mL", "by", "2027-09-01",
      NULL}},
    {&spl_plan_short_inputs, list_shortages, {"clear_only", "yes", "year", "2027", NULL}},
    {&spl_book_inputs, make_book, {"mark", "ANN", NULL}},
    {&spl_setting_inputs, set_setting, {"key", "home", "value", "54.6,-2.6", NULL}},
    {&spl_book_copy_inputs, copy_book, {"file", "copy.db", NULL}},
    {&spl_carry_out_inputs, carry_out, {"folder", "out", NULL}},
    {&spl_carry_in_inputs, carry_in, {"folder", "out", NULL}},
    {&spl_merge_inputs,
     merge,
     {"file", "other.db", "accept", "yes", "dry_run", "yes", "by", "Edda", "on", "2027-05-01",
      NULL}},
    {&spl_lend_inputs,
     lend,
     {"file", "laptop.db", "mark", "EDL", "by", "Edda", "on", "2027-05-01", NULL}},
    {&spl_trust_inputs,
     say_trust,
     {"mark", "BOB", "no", "yes", "by", "Edda", "on", "2027-05-01", NULL}},
    {&spl_window_inputs,
     list_windows,
     {"year", "2027", "site", "Withy Gill", "material", "nettle/leaf", "use", "food", "explain",
      "yes", NULL}},
    {&spl_window_inputs, list_windows, {"near", "54.6,-2.6", NULL}},
    {&spl_window_check_inputs,
     check_windows,
     {"year", "2026", "to", "2027", "site", "Withy Gill", "material", "nettle/leaf", NULL}},
    {&spl_site_export_inputs,
     export_sites,
     {"file", "p.geojson", "on", "2027-05-01", "areas", "yes", "force", "yes", NULL}},
    {&spl_site_import_inputs,
     import_sites,
     {"file", SAMPLES "walk.gpx", "name_field", "name", "update", "yes", "accuracy", "8", "crs",
      "EPSG:4326", "encoding", "UTF-8", NULL}},
    {&spl_hazard_inputs,
     add_hazard,
     {"name", "Low Croft barley", "method", "boom", "at", "54.6031,-2.5874", "radius", "80m", "on",
      "2027-04-20", "product", "thistle killer", "source", "seen from the lane", "accuracy", "5",
      NULL}},
    {&spl_hazard_inputs,
     add_hazard,
     {"name", "the old line", "method", "railway", "along", "54.600,-2.600", "along",
      "54.605,-2.590", NULL}},
    {&spl_hazard_inputs,
     add_hazard,
     {"name", "the tip", "method", "tip", "wkt",
      "POLYGON((-2.588 54.601,-2.586 54.601,-2.586 54.602,-2.588 54.601))", NULL}},
    {&spl_hazard_pick_inputs, drop_hazard, {"name", "the old lane", NULL}},
    {&spl_hazard_near_inputs, list_hazards, {"site", "Withy Gill", "near", "1km", NULL}},
    {&spl_method_inputs,
     change_method,
     {"method", "boom", "closed", "200", "ask", "300m", "hold_on", "100", "hold_near", "60", "why",
      "steep banks", "by", "Edda", NULL}},
    {&spl_hazard_import_inputs,
     import_hazards,
     {"file", SAMPLES "lanes.shp", "method", "lane", "name_field", "NAME", "on", "2027-05-01",
      "layer", "lanes of the dale", "source", "the parish", "crs", "EPSG:4326", "encoding", "UTF-8",
      "dry_run", "yes", NULL}},
    {&spl_weather_inputs,
     import_weather,
     {"file", SAMPLES "daily.csv", "station", "Low Croft", "at", "54.5889,-2.6104", "elevation",
      "160m", "unit", "C", NULL}},
    {&spl_check_inputs,
     check,
     {"site", "Withy Gill", "material", "nettle/leaf", "on", "2027-05-02", "near", "500", NULL}},
    {&spl_almanac_inputs,
     add_almanac,
     {"file", SAMPLES "our-dale.ics", "at", "54.6,-2.6", "elevation", "140", "dry_run", "yes",
      NULL}},
    {&spl_almanac_question_inputs, list_almanacs, {"almanac", "Britain", NULL}},
    {&spl_calendar_inputs,
     write_calendar,
     {"what", "windows,steps", "tasks",       "yes",        "at",       "08:30",
      "zone", "Europe/London", "with_places", "yes",        "new_only", "yes",
      "from", "2027-01-01",    "to",          "2027-12-31", "name",     "our season",
      "as",   "the phone",     "force",       "yes",        NULL}},
    {&spl_calendar_reading_inputs,
     read_calendar,
     {"file", SAMPLES "our-dale.ics", "apply", "yes", "prefer", "book", "deleted", "again",
      "as_almanac", "Our dale", "as", "the phone", "by", "Edda", NULL}},
    {&spl_calendar_again_inputs, take_again, {NULL}},
    {&spl_calendar_file_inputs, check_calendar, {"file", SAMPLES "our-dale.ics", NULL}},
    {&spl_busy_inputs,
     read_busy,
     {"file", SAMPLES "our-dale.ics", "from", "2027-01-01", "to", "2027-06-30", "zone",
      "Europe/London", "others", "yes", NULL}},
    {&spl_check_inputs, check, {"all", "yes", "on", "2027-05-02", NULL}},
    {&spl_site_inputs,
     add_site,
     {"name", "Brant Fell", "at", "54.6155,-2.6420", "elevation", "210", "accuracy", "10m",
      "remark", "by the gate", "contaminated", "an old tip", "own", "yes", NULL}},
    {&spl_site_edit_inputs,
     edit_site,
     {"site", "Withy Gill", "name", "Withy Gill Foot", "at", "54.6,-2.6", "elevation", "150",
      "accuracy", "25", "remark", "below the ford", "contaminated", "an old tip", "own", "no",
      "why", "looked again", NULL}},
    {&spl_site_pick_inputs, show_site, {"site", "Withy Gill", NULL}},
    {&spl_site_question_inputs, list_sites, {"on", "2027-07-01", NULL}},
    {&spl_permission_inputs,
     permit,
     {"site", "Withy Gill", "given", "yes", "by", "the tenant", "written", "yes", "parts",
      "leaf,flower", "amount", "two baskets", "on", "2027-05-01", "until", "2027-12-31", NULL}},
    {&spl_spray_inputs,
     note_spray,
     {"site", "Withy Gill", "kind", "unsprayed", "source", "the tenant", "on", "2027-05-01",
      "since", "2020-01-01", "until", "2027-06-30", "method", "boom", "product", "thistle killer",
      NULL}},
    {&spl_need_inputs,
     answer_need,
     {"material", "nettle leaves", "preparation", "tincture",    "jar",    "6x500mL",  "jar",
      "1L",       "ratio",         "1:5",         "ratio_means", "put-in", "strength", "60%",
      "press",    "screw",         "moisture",    "80%",         "trim",   "0.1",      NULL}},
    {&spl_dilute_inputs, dilute, {"from", "96%", "to", "40%", "make", "1L", NULL}},
};
const gsize face_n_tables = G_N_ELEMENTS(face_tables);
