/* SPDX-License-Identifier: MIT
 *
 * The table of kinds of files that are sent to the desk. See desk/file_kinds.h.
 */
#include "desk/file_kinds.h"

#include <string.h>

#include "desk/target.h"
#include "simpling/almanac.h"
#include "simpling/calendar.h"
#include "simpling/carry.h"
#include "simpling/error.h"
#include "simpling/hazard.h"
#include "simpling/note.h"
#include "simpling/photo.h"
#include "simpling/site_carry.h"
#include "simpling/weather.h"

#define MAPS ".shp .dbf .shx .prj .cpg .geojson .json .gpx"
#define LEFT "leave" /* a number that stays a question */

/* What season does for each ---------------------------------------------------------------------
 */

static gboolean read_notes(struct spl_house *house, const void *said, FILE *text,
                           struct spl_done *done, GError **error)
{
    done->shape = &spl_note_row_shape;
    done->records = spl_notes_read(house, said, text, error);
    return done->records != NULL;
}

/* A season's function (house, said, &record, error) with its shape. */
#define READ_RECORD(name, function, type, shape_)                                                  \
    static gboolean read_##name(struct spl_house *house, const void *said, FILE *text,             \
                                struct spl_done *done, GError **error)                             \
    {                                                                                              \
        struct type record;                                                                        \
                                                                                                   \
        (void)text;                                                                                \
        if (!function(house, said, &record, error))                                                \
            return FALSE;                                                                          \
        spl_done_take(done, &shape_, &record);                                                     \
        return TRUE;                                                                               \
    }
READ_RECORD(hazards, spl_hazard_read, spl_hazard_import, spl_hazard_import_shape)
READ_RECORD(weather, spl_weather_import_file, spl_weather_import, spl_weather_import_shape)
READ_RECORD(almanac, spl_almanac_add, spl_almanac_added, spl_almanac_added_shape)
READ_RECORD(book, spl_merge, spl_merged, spl_merged_shape)
READ_RECORD(photo, spl_photo_take_in, spl_photo, spl_photo_shape)

/* The file is the calendar that the desk wrote, when nobody says another (desk/page_out.c). */
static gboolean read_calendar(struct spl_house *house, const void *said, FILE *text,
                              struct spl_done *done, GError **error)
{
    struct spl_calendar_reading words = *(const struct spl_calendar_reading *)said;
    struct spl_calendar_read read;

    (void)text;
    if (words.as == NULL)
        words.as = SPL_DESK_CALENDAR;
    if (!spl_calendar_read(house, &words, &read, error))
        return FALSE;
    spl_done_take(done, &spl_calendar_read_shape, &read);
    return TRUE;
}

#define DAY_MIN (24 * 60)

/* A busy time as one says it. */
struct busy_line {
    struct spl_day day;
    char *hours, *what;
};
static const struct spl_field busy_fields[] = {
    SPL_FIELD(busy_line, day, SPL_DAY, "date", "day"),
    SPL_FIELD(busy_line, hours, SPL_TEXT, "hours", "busy"),
    SPL_FIELD(busy_line, what, SPL_TEXT, "what", "what"),
};
static const struct spl_shape busy_shape = SPL_SHAPE("busy_line", busy_line, busy_fields);

static gboolean read_busy(struct spl_house *house, const void *said, FILE *text,
                          struct spl_done *done, GError **error)
{
    struct spl_busy_read read;

    (void)text;
    if (!spl_calendar_busy(house, said, &read, error))
        return FALSE;
    done->shape = &busy_shape;
    done->records = spl_list_new(&busy_shape);
    for (guint i = 0; i < read.busy->len; i++) {
        const struct spl_busy *piece = &g_array_index(read.busy, struct spl_busy, i);
        gboolean whole = piece->from_min == 0 && piece->to_min == DAY_MIN;
        struct busy_line line = {.day = piece->day, .what = g_strdup(piece->what)};

        line.hours =
            whole ? g_strdup("all day")
                  : g_strdup_printf("%02d:%02d to %02d:%02d", piece->from_min / 60,
                                    piece->from_min % 60, piece->to_min / 60, piece->to_min % 60);
        g_array_append_val(done->records, line);
    }
    done->cautions = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < read.left_out->len; i++) {
        const struct spl_ical_left *left = &g_array_index(read.left_out, struct spl_ical_left, i);

        g_ptr_array_add(done->cautions, g_strdup_printf("line %d, %s, was left out: %s", left->line,
                                                        left->what, left->why));
    }
    if (read.truncated)
        g_ptr_array_add(done->cautions, g_strdup("the file ends in the middle of an entry"));
    spl_record_clear(&spl_busy_read_shape, &read);
    return TRUE;
}

/* A file that breaks its rules is told of, finding by finding. */
static gboolean read_checked(struct spl_house *house, const void *said, FILE *text,
                             struct spl_done *done, GError **error)
{
    struct spl_ical_checked checked;

    (void)house;
    (void)text;
    if (!spl_calendar_check(said, &checked, error))
        return FALSE;
    spl_done_take(done, &spl_ical_checked_shape, &checked);
    return TRUE;
}

static gboolean look_at_photo(struct spl_house *house, const void *said, struct spl_done *done,
                              GError **error)
{
    const struct spl_photo_words *words = said;
    const struct spl_photo_file file = {words->file};
    struct spl_photo_offer offer;

    if (!spl_photo_look_at(house, &file, &offer, error))
        return FALSE;
    spl_done_take(done, &spl_photo_offer_shape, &offer);
    return TRUE;
}

/* What waits for an answer in another book -------------------------------------------------------
 */

static void put_tick(struct spl_html *html, const char *id, const char *key, const char *value,
                     const char *words)
{
    spl_html_open(html, "p");
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "checkbox");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "name", key);
    spl_html_attr(html, "value", value);
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_text(html, words);
    spl_html_close(html, "label");
    spl_html_close(html, "p");
}

static void put_revisions(struct spl_html *html, const struct spl_done *done)
{
    const struct spl_merged *merged = (const void *)done->records->data;

    if (merged->revisions == NULL || merged->revisions->len == 0)
        return;
    spl_html_open(html, "fieldset");
    spl_html_line(html, "legend", NULL, "What waits for an answer, the milder first");
    put_tick(html, "f-agree", "accept", "yes",
             "I agree to all of these but those ticked below; else all stay questions");
    for (guint i = 0; i < merged->revisions->len; i++) {
        const struct spl_merge_revision *revision =
            &g_array_index(merged->revisions, struct spl_merge_revision, i);
        g_autofree char *id = g_strdup_printf("f-leave-%d", revision->number);
        g_autofree char *value = g_strdup_printf("%d", revision->number);
        g_autofree char *words =
            g_strdup_printf("%d stays a question: %s, %s; with it, it is %s", revision->number,
                            revision->about, revision->what, spl_merge_turn_names[revision->turn]);

        put_tick(html, id, LEFT, value, words);
    }
    spl_html_close(html, "fieldset");
}

gboolean spl_file_kind_choose(const struct spl_file_kind *kind, const GArray *pairs, void *said,
                              GError **error)
{
    g_autoptr(GString) but = g_string_new(NULL);

    if (kind->put_more != put_revisions || spl_pairs_get(pairs, "accept") == NULL)
        return TRUE;
    for (guint i = 0; i < pairs->len; i++) {
        const struct spl_pair *pair = &g_array_index(pairs, struct spl_pair, i);

        if (strcmp(pair->key, LEFT) == 0)
            g_string_append_printf(but, "%s%s", but->len > 0 ? ", " : "", pair->value);
    }
    return but->len == 0 || spl_inputs_read(kind->inputs, "but", but->str, said, error);
}

static gboolean read_places(struct spl_house *house, const void *said, FILE *text,
                            struct spl_done *done, GError **error)
{
    struct spl_site_import import;

    (void)text;
    if (!spl_site_import(house, said, &import, error))
        return FALSE;
    if (import.added + import.updated == 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "file", "holds no place: %s",
                            import.remarks != NULL && import.remarks->len > 0
                                ? (const char *)g_ptr_array_index(import.remarks, 0)
                                : "it is empty");
        spl_record_clear(&spl_site_import_shape, &import);
        return FALSE;
    }
    spl_done_take(done, &spl_site_import_shape, &import);
    return TRUE;
}

/* clang-format off */
static const struct spl_file_kind kinds[] = {
    {"notes", "Notes and slips", "Plain lines from a phone or a slip, one an entry. Each line is shown with what it would write.",
     ".txt .text .md .csv", ".txt .text .md .csv", &spl_note_inputs, "files", "apply", NULL, "Or paste the lines here", read_notes, NULL, FALSE, FALSE, NULL, NULL},
    {"calendar", "A calendar", "A calendar file that this book wrote and you changed elsewhere. What was moved, done or deleted there is shown.",
     ".ics", ".ics", &spl_calendar_reading_inputs, "file", "apply", NULL, NULL, read_calendar, NULL, FALSE, FALSE, NULL, NULL},
    {"places", "Places", "Waypoints from a phone, or a map's points and areas: GPX, GeoJSON, a shapefile's parts or their zip. All come in, or none.",
     ".gpx .geojson .json .shp", MAPS, &spl_site_import_inputs, "file", NULL, NULL, NULL, read_places, NULL, FALSE, FALSE, NULL, NULL},
    {"hazards", "Sprayed or contaminated ground", "A map layer: GeoJSON, GPX, a shapefile's parts or their zip. Waypoints are points, tracks lines, polygons areas; a track round a field is its edge, not the field. What is in it is shown first.",
     ".shp .geojson .json .gpx", MAPS, &spl_hazard_import_inputs, "file", NULL, "dry_run", NULL, read_hazards, NULL, FALSE, FALSE, NULL, NULL},
    {"weather", "Weather", "A table of days or of months from a weather station.",
     ".csv .txt .json .dly .dat .tsv", ".csv .txt .json .dly .dat .tsv", &spl_weather_inputs, "file", NULL, NULL, NULL, read_weather, NULL, FALSE, FALSE, NULL, NULL},
    {"photo", "A photo", "A photo as evidence: of a plant's signs, a stage, a letter that gives leave. What it says of its day and place is shown; nothing of that is taken over by itself.",
     ".jpg .jpeg .png .heic .heif", ".jpg .jpeg .png .heic .heif", &spl_photo_inputs, "photo", NULL, NULL, NULL, read_photo, look_at_photo, FALSE, FALSE, NULL, NULL},
    {"almanac", "An almanac", "A calendar of usual gathering times: an event titled like a known material ('Nettle leaf') is a window of every year.",
     ".ics", ".ics", &spl_almanac_inputs, "file", NULL, "dry_run", NULL, read_almanac, NULL, FALSE, TRUE, NULL, NULL},
    {"book", "A colleague's book", "Every record of another book that is not here yet. What it would change is shown first, what turns milder at the top, and what waits for your answer.",
     ".db", ".db", &spl_merge_inputs, "file", NULL, "dry_run", NULL, read_book, NULL, FALSE, TRUE, put_revisions, "accept but"},
    {"calendar-check", "Check a calendar", "Whether a calendar file keeps the rules of RFC 5545, which every calendar application reads. Nothing is written.",
     ".ics", ".ics", &spl_calendar_file_inputs, "file", NULL, NULL, NULL, read_checked, NULL, TRUE, FALSE, NULL, NULL},
    {"calendar-busy", "Your busy days", "What outings would keep clear of in your own calendar, with its repetitions. Nothing is written.",
     ".ics", ".ics", &spl_busy_inputs, "file", NULL, NULL, NULL, read_busy, NULL, TRUE, FALSE, NULL, NULL},
};
/* clang-format on */

const struct spl_file_kind *spl_file_kind_find(const char *name)
{
    for (gsize i = 0; i < G_N_ELEMENTS(kinds); i++)
        if (g_strcmp0(kinds[i].name, name) == 0)
            return &kinds[i];
    return NULL;
}

const struct spl_file_kind *spl_file_kind_at(gsize i)
{
    return i < G_N_ELEMENTS(kinds) ? &kinds[i] : NULL;
}
