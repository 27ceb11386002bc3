/* SPDX-License-Identifier: MIT
 *
 * Opening the house, and what a person may say and ask of the book itself. See simpling/house.h.
 */
#include "simpling/house.h"

#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/check.h"
#include "book/over.h"
#include "book/restore.h"
#include "book/setting.h"
#include "book/trust.h"
#include "exchange/table_files.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/judged.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/row.h"

static gboolean refresh_judged(gpointer house, GError **error)
{
    return spl_judged_refresh(house, error) &&
           spl_over_settle(((struct spl_house *)house)->book, error);
}

struct spl_house *spl_house_open(const struct spl_house_options *options,
                                 enum spl_house_access access, GError **error)
{
    g_autoptr(spl_house) house = g_new0(struct spl_house, 1);

    house->data = g_strdup(options->data);
    house->own_data = g_strdup(options->own_data);
    house->calendars = g_strdup(options->calendars);
    house->helpers = g_strdup(options->helpers);
    house->today = options->today;
    house->progress = (struct spl_progress){options->tell, options->tell_data};
    if (access != SPL_HOUSE_TABLES) {
        const enum spl_book_mode reading = options->as_it_is ? SPL_BOOK_EXAMINE : SPL_BOOK_READ;
        const enum spl_book_mode writing = options->as_it_is ? SPL_BOOK_MEND : SPL_BOOK_WRITE;

        house->book =
            spl_book_open(options->book, access == SPL_HOUSE_READ ? reading : writing, error);
        if (house->book == NULL) {
            if (error != NULL && g_error_matches(*error, SPL_ERROR, SPL_ERROR_NOT_FOUND))
                spl_error_explain(error, NULL,
                                  spl_next_new(SPL_ACTION_BOOK_MAKE, "mark", NULL, NULL), NULL);
            return NULL;
        }
        spl_book_set_now(house->book, options->now_us);
        if (access == SPL_HOUSE_WRITE && !options->as_it_is)
            spl_book_on_commit(house->book, refresh_judged, house);
    }
    return g_steal_pointer(&house);
}

void spl_house_close(struct spl_house *house)
{
    if (house == NULL)
        return;
    spl_ground_map_forget(house);
    spl_book_close(house->book);
    spl_tables_free(house->tables);
    spl_tables_free(house->methods);
    g_free(house->data);
    g_free(house->own_data);
    g_free(house->calendars);
    g_free(house->helpers);
    g_free(house);
}

struct spl_day spl_house_today(const struct spl_house *house)
{
    return house->today;
}

const struct spl_tables *spl_house_tables(struct spl_house *house, GError **error)
{
    if (house->tables == NULL)
        house->tables = spl_tables_load(house->data, house->own_data, error);
    return house->tables;
}

GPtrArray *spl_house_left_out(struct spl_house *house)
{
    const struct spl_tables *tables = house->tables != NULL ? house->tables : house->methods;

    return tables != NULL ? spl_tables_left_out(tables) : NULL;
}

const struct spl_tables *spl_house_methods(struct spl_house *house, GError **error)
{
    if (house->tables != NULL)
        return house->tables;
    if (house->methods == NULL)
        house->methods = spl_tables_load_methods(house->data, house->own_data, error);
    return house->methods;
}

#define AGES_AGO_DAYS (90 * 365)

gboolean spl_house_past(const struct spl_house *house, struct spl_day day, const char *what,
                        GError **error)
{
    char text[SPL_DAY_TEXT_SIZE], today[SPL_DAY_TEXT_SIZE];

    /* Two digits of the year stand in a code, so that those of a century ago would look like those
     * of today: a day so long past is a slip of the pen. */
    if (spl_day_compare(day, house->today) <= 0 && day.n < house->today.n - AGES_AGO_DAYS) {
        struct spl_day meant = day;
        int year, month, of_month, this_year;

        spl_day_to_ymd(day, &year, &month, &of_month);
        spl_day_to_ymd(house->today, &this_year, NULL, NULL);
        for (int y = this_year; y >= this_year - 1; y--) {
            meant = spl_day_from_ymd(y, month, MIN(of_month, 28));
            if (spl_day_compare(meant, house->today) <= 0)
                break;
        }
        meant = spl_day_add(meant, of_month - MIN(of_month, 28));
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: %s lies %d years back; write the year in full, as %s (older than 90 "
                    "years is not taken)",
                    what, spl_day_format(day, text), this_year - year,
                    spl_day_format(meant, today));
        return FALSE;
    }
    if (spl_day_compare(day, house->today) <= 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: %s lies after today (%s); give the day on which it happened", what,
                spl_day_format(day, text), spl_day_format(house->today, today));
    spl_error_about(error, what);
    return FALSE;
}

gboolean spl_house_site(struct spl_house *house, const char *key, const char *name,
                        struct spl_site *site, GError **error)
{
    if (spl_site_find(house->book, name, site, error))
        return TRUE;
    spl_error_about(error, key);
    return FALSE;
}

/* Settings ------------------------------------------------------------------------------------- */

/* Each checks a value and gives its canonical text (free with g_free). */
static char *check_place(const char *value, const char *key, GError **error)
{
    double lat, lon;
    g_autofree char *a = NULL, *b = NULL;

    if (!spl_coordinates_parse(value, key, &lat, &lon, error))
        return NULL;
    a = spl_number_format(lat, 6);
    b = spl_number_format(lon, 6);
    return g_strconcat(a, ",", b, NULL);
}

static char *check_number(const char *value, const char *key, double min, double max,
                          GError **error)
{
    double number;

    return spl_number_parse(value, key, min, max, &number, error) ? spl_number_format(number, 3)
                                                                  : NULL;
}

static char *check_speed(const char *value, const char *key, GError **error)
{
    return check_number(value, key, 1, 130, error);
}

static char *check_hours(const char *value, const char *key, GError **error)
{
    return check_number(value, key, 0, 24, error);
}

static char *check_people(const char *value, const char *key, GError **error)
{
    int count;

    return spl_count_parse(value, key, 1, 1000, &count, error) ? g_strdup_printf("%d", count)
                                                               : NULL;
}

static char *check_racks(const char *value, const char *key, GError **error)
{
    double m2;

    if (!spl_area_parse(value, key, &m2, error))
        return NULL;
    return spl_number_format(m2, 2);
}

static char *check_grams(const char *value, const char *key, GError **error)
{
    double grams;

    return spl_mass_parse(value, key, &grams, error) ? spl_number_format(grams, 1) : NULL;
}

static char *check_text(const char *value, const char *key, GError **error)
{
    return spl_text_clean(value, key, SPL_NAME_MAX, FALSE, error);
}

static char *check_jars(const char *value, const char *key, GError **error)
{
    g_auto(GStrv) words = g_strsplit(value, ",", 50);
    GString *list = g_string_new(NULL);

    for (guint i = 0; words[i] != NULL; i++) {
        g_autofree char *number = NULL;
        double ml;

        if (!spl_volume_parse(g_strstrip(words[i]), key, &ml, error)) {
            g_string_free(list, TRUE);
            return NULL;
        }
        number = spl_number_format(ml, 1);
        g_string_append_printf(list, "%s%smL", i > 0 ? "," : "", number);
    }
    return g_string_free(list, FALSE);
}

static gint by_size(gconstpointer a, gconstpointer b)
{
    double first = *(const double *)a, second = *(const double *)b;

    return (first > second) - (first < second);
}

/* "40% 70% 96%", or with commas where a strength has blanks of its own. NULL with an error. */
static GArray *read_spirits(const char *value, const char *key, GError **error)
{
    g_auto(GStrv) words = g_strsplit(value, strchr(value, ',') != NULL ? "," : " ", 50);
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(double));

    for (guint i = 0; words[i] != NULL; i++) {
        double frac;

        if (*g_strstrip(words[i]) == '\0')
            continue;
        if (!spl_strength_parse(words[i], key, &frac, error))
            return NULL;
        if (frac < 0.15) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: '%s' is too weak for a spirit; give those you pour, as 40%% 70%% 96%%",
                        key, words[i]);
            return NULL;
        }
        g_array_append_val(list, frac);
    }
    g_array_sort(list, by_size);
    return g_steal_pointer(&list);
}

static char *check_spirits(const char *value, const char *key, GError **error)
{
    g_autoptr(GArray) list = read_spirits(value, key, error);
    g_autoptr(GString) text = g_string_new(NULL);

    if (list == NULL)
        return NULL;
    for (guint i = 0; i < list->len; i++) {
        g_autofree char *number = spl_number_format(g_array_index(list, double, i) * 100.0, 2);

        g_string_append_printf(text, "%s%s%%", i > 0 ? " " : "", number);
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

GArray *spl_house_spirits(struct spl_house *house)
{
    g_autofree char *text = spl_house_setting_text(house, "spirits");
    GArray *list = text != NULL ? read_spirits(text, "spirits", NULL) : NULL;

    return list != NULL ? list : g_array_new(FALSE, FALSE, sizeof(double));
}

static char *check_zone(const char *value, const char *key, GError **error)
{
    g_autoptr(GTimeZone) zone = g_time_zone_new_identifier(value);

    if (zone == NULL || strchr(value, '/') == NULL) {
        g_autofree char *shown = spl_text_scrub(value, FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%.40s' is not a time zone; write it as Europe/London", key, shown);
        return NULL;
    }
    return g_strdup(value);
}

static char *check_country(const char *value, const char *key, GError **error)
{
    g_autofree char *upper = g_ascii_strup(value, -1);
    gsize length = strlen(upper);

    if (length < 2 || length > 6 || !g_ascii_isupper(upper[0]) || !g_ascii_isupper(upper[1]) ||
        (length > 2 && upper[2] != '-')) {
        g_autofree char *shown = spl_text_scrub(value, FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%.40s' is not a country; write its ISO 3166 code, GB or US-VT", key,
                    shown);
        return NULL;
    }
    return g_steal_pointer(&upper);
}

static const struct {
    const char *key;
    char *(*check)(const char *value, const char *key, GError **error);
    const char *about;
} settings[] = {
    {"home", check_place, "where outings begin and end: 54.9712,-2.4610"},
    {"zone", check_zone, "time zone of the calendar: Europe/London"},
    {"country", check_country, "whose protected plants count: GB, US-VT"},
    {"who", check_text, "your name, for the log"},
    {"speed", check_speed, "travel speed in km/h, for outings"},
    {"hours", check_hours, "hours of a gathering day"},
    {"pickers", check_people, "how many people pick"},
    {"press", check_text, "the press you own: drained, hand, screw, hydraulic"},
    {"jars", check_jars, "your jar sizes: 250mL,500mL,1L"},
    {"spirits", check_spirits, "the spirits that you pour: 40% 70% 96%"},
    {"dew", check_hours, "hours after sunrise until the dew is off"},
    {"racks", check_racks, "drying racks in all: 3m2"},
    {"weight-outing", check_hours, "planning: hours that setting out at all weighs, 2"},
    {"weight-edge", check_hours, "planning: a herb picked on the first or last day of its time, 1"},
    {"weight-late", check_hours, "planning: the same on the last day before it spoils, 4"},
    {"weight-ask", check_hours, "planning: a herb from ground with one thing to ask about, 0.5"},
    {"weight-small", check_hours, "planning: a herb from a stand of under 100 plants, 0.5"},
    {"weight-open", check_hours, "planning: a herb of a batch left out, 6"},
    {"weight-batch", check_hours, "planning: a batch that cannot be made whole, 12"},
    {"least", check_grams, "planning: the least that is picked unless it makes a batch whole, 15g"},
    {"keeping", check_text,
     "the keeping custom that your shelf follows: table, or another of "
     "data/keeping.csv"},
};

/* Settings that name a row of the tables are checked against it. */
static gboolean check_row(struct spl_house *house, const char *key, const char *value,
                          GError **error)
{
    const struct spl_press *press;
    const struct spl_tables *tables;

    if (strcmp(key, "press") != 0 && strcmp(key, "keeping") != 0)
        return TRUE;
    tables = spl_house_tables(house, error);
    if (tables == NULL)
        return FALSE;
    if (strcmp(key, "press") == 0)
        return spl_tables_press(tables, value, &press, error);
    return spl_tables_custom_check(tables, value, error);
}

static const struct spl_input setting_rows[] = {
    SPL_INPUT(spl_setting_words, key, NAME, "key", "which setting", .value = "KEY", .needed = 1),
    SPL_INPUT(spl_setting_words, value, TEXT, "value", "in the form that it has", .value = "VALUE",
              .needed = 1),
};
const struct spl_inputs spl_setting_inputs = SPL_INPUTS("setting", spl_setting_words, setting_rows);

gboolean spl_setting_check(const char *key, const char *value, GError **error)
{
    for (gsize i = 0; i < G_N_ELEMENTS(settings); i++) {
        g_autofree char *checked = NULL;

        if (strcmp(settings[i].key, key) != 0)
            continue;
        checked = settings[i].check(value, key, error);
        spl_error_about(checked == NULL ? error : NULL, key);
        return checked != NULL;
    }
    return TRUE;
}

static gboolean set_setting(struct spl_house *house, const char *key, const char *value,
                            GError **error)
{
    g_autoptr(GPtrArray) keys = g_ptr_array_new();
    g_autofree char *offer = NULL;

    for (gsize i = 0; i < G_N_ELEMENTS(settings); i++) {
        g_autofree char *checked = NULL;

        g_ptr_array_add(keys, (gpointer)settings[i].key);
        if (strcmp(settings[i].key, key) != 0)
            continue;
        checked = settings[i].check(value, key, error);
        if (checked == NULL || !check_row(house, key, checked, error)) {
            spl_error_about(error, "value");
            return FALSE;
        }
        return spl_book_begin(house->book, error) &&
               spl_book_finish(house->book, spl_setting_set(house->book, key, checked, error),
                               error);
    }
    offer = spl_names_offer(key, keys);
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "key", "'%.40s': there is no such setting%s%s",
                        key, offer, *offer == '\0' ? "; the book's description lists them" : "");
    return FALSE;
}

gboolean spl_book_set(struct spl_house *house, const struct spl_setting_words *said, GError **error)
{
    struct spl_setting_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_setting_inputs, said, &words, error))
        return FALSE;
    ok = set_setting(house, words.key, words.value, error);
    spl_inputs_clear(&spl_setting_inputs, &words);
    return ok;
}

char *spl_house_setting_text(struct spl_house *house, const char *key)
{
    return house->book != NULL ? spl_setting_get(house->book, key, NULL) : NULL;
}

gboolean spl_house_setting_number(struct spl_house *house, const char *key, double *value)
{
    g_autofree char *text = spl_house_setting_text(house, key);

    if (text == NULL)
        return FALSE;
    *value = g_ascii_strtod(text, NULL);
    return TRUE;
}

gboolean spl_house_setting_place(struct spl_house *house, double *lat, double *lon)
{
    g_autofree char *text = spl_house_setting_text(house, "home");

    return text != NULL && spl_coordinates_parse(text, "home", lat, lon, NULL);
}

char *spl_house_who(struct spl_house *house, const char *by)
{
    return by != NULL ? g_strdup(by) : spl_house_setting_text(house, "who");
}

/* The book ------------------------------------------------------------------------------------- */

static const struct spl_field setting_line_fields[] = {
    SPL_FIELD(spl_setting_line, key, SPL_TEXT, "key", "key"),
    SPL_FIELD(spl_setting_line, value, SPL_TEXT, "value", "value"),
    SPL_FIELD(spl_setting_line, about, SPL_TEXT, "about", "what it is"),
};
const struct spl_shape spl_setting_line_shape =
    SPL_SHAPE("setting", spl_setting_line, setting_line_fields);

static const struct spl_field info_fields[] = {
    SPL_FIELD(spl_book_info, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(spl_book_info, schema, SPL_INT, "schema", "schema"),
    SPL_FIELD(spl_book_info, mark, SPL_TEXT, "mark", "mark"),
    SPL_FIELD(spl_book_info, sites, SPL_INT, "sites", "sites"),
    SPL_FIELD(spl_book_info, harvests, SPL_INT, "harvests", "harvests"),
    SPL_FIELD(spl_book_info, batches, SPL_INT, "batches", "batches"),
    SPL_FIELD(spl_book_info, lots, SPL_INT, "lots", "lots"),
    SPL_FIELD_LIST(spl_book_info, trusts, &spl_trust_shape, "trusts", "trusts"),
    SPL_FIELD_LIST(spl_book_info, settings, &spl_setting_line_shape, "settings", "settings"),
};
const struct spl_shape spl_book_info_shape = SPL_SHAPE("book", spl_book_info, info_fields);

static gboolean describe(struct spl_book *book, struct spl_book_info *info, GError **error)
{
    struct spl_book_counts counts;

    GArray *trusts;

    if (!spl_book_count(book, &counts, error) || (trusts = spl_trust_list(book, error)) == NULL)
        return FALSE;
    *info = (struct spl_book_info){
        .path = g_strdup(spl_book_path(book)),
        .schema = spl_book_schema_found(book),
        .mark = g_strdup(spl_setting_mark(book)),
        .sites = (int)counts.sites,
        .harvests = (int)counts.harvests,
        .batches = (int)counts.batches,
        .lots = (int)counts.lots,
        .trusts = trusts,
        .settings = spl_list_new(&spl_setting_line_shape),
    };
    for (gsize i = 0; i < G_N_ELEMENTS(settings); i++) {
        struct spl_setting_line line = {
            .key = g_strdup(settings[i].key),
            .value = spl_setting_get(book, settings[i].key, NULL),
            .about = g_strdup(settings[i].about),
        };

        g_array_append_val(info->settings, line);
    }
    return TRUE;
}

gboolean spl_book_describe(struct spl_house *house, struct spl_book_info *info, GError **error)
{
    return describe(house->book, info, error);
}

struct beginning {
    const char *mark;
    struct spl_book_info *info; /* NULL: nobody asks */
};

/* What a new book begins with. Its description is read before the commit, after which nothing may
 * fail any more. */
static gboolean begin_book(struct spl_book *book, gpointer data, GError **error)
{
    const struct beginning *beginning = data;
    g_autofree char *uuid = spl_uuid_new();

    return spl_setting_set(book, "mark", beginning->mark, error) &&
           spl_setting_set(book, "uuid", uuid, error) &&
           (beginning->info == NULL || describe(book, beginning->info, error));
}

static const struct spl_input book_rows[] = {
    SPL_INPUT(spl_book_words, mark, NAME, "mark",
              "2 to 8 letters for this book, before the codes that others see: ANN",
              .value = "MARK", .needed = 1),
};

gboolean spl_mark_check(const char *mark, GError **error)
{
    gsize length = strlen(mark);
    gboolean ok = length >= 2 && length <= 8;

    for (gsize i = 0; ok && i < length; i++)
        ok = g_ascii_isalpha(mark[i]) || (i > 0 && g_ascii_isdigit(mark[i]));
    if (!ok)
        spl_error_set_input(error, SPL_ERROR_INVALID, "mark",
                            "'%.20s' is not a mark; take 2 to 8 letters, your initials for example",
                            mark);
    return ok;
}

static gboolean check_book(const void *record, GError **error)
{
    return spl_mark_check(((const struct spl_book_words *)record)->mark, error);
}
const struct spl_inputs spl_book_inputs =
    SPL_INPUTS("book", spl_book_words, book_rows, .check = check_book);

gboolean spl_book_make(const struct spl_house_options *options, const char *mark,
                       struct spl_book_info *info, GError **error)
{
    struct spl_book_words said = {mark}, words;
    struct spl_book_info made = {.path = NULL};
    g_autoptr(spl_book) book = NULL;

    if (!spl_inputs_copy(&spl_book_inputs, &said, &words, error))
        return FALSE;
    if (spl_inputs_check(&spl_book_inputs, &words, error)) {
        g_autofree char *upper = g_ascii_strup(words.mark, -1);
        struct beginning beginning = {upper, info != NULL ? &made : NULL};

        book = spl_book_open_new(options->book, begin_book, &beginning, error);
    }
    spl_inputs_clear(&spl_book_inputs, &words);
    if (book != NULL && info != NULL)
        *info = made;
    else
        spl_record_clear(&spl_book_info_shape, &made);
    return book != NULL;
}

static const struct spl_input copy_rows[] = {
    SPL_INPUT(spl_book_place, path, FILE, "file", "the copy", .needed = 1),
};
const struct spl_inputs spl_book_copy_inputs = SPL_INPUTS("book_copy", spl_book_place, copy_rows);

gboolean spl_book_copy(struct spl_house *house, const char *path, GError **error)
{
    struct spl_book_place said = {path};

    return spl_entry_check(house, &spl_book_copy_inputs, &said, error) &&
           spl_book_backup(house->book, path, error);
}

static const struct spl_field restored_fields[] = {
    SPL_FIELD(spl_book_restored, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(spl_book_restored, from, SPL_TEXT, "from", "is again"),
    SPL_FIELD(spl_book_restored, aside, SPL_TEXT, "aside", "what it was"),
};
const struct spl_shape spl_book_restored_shape =
    SPL_SHAPE("restored", spl_book_restored, restored_fields);

gboolean spl_book_go_back(const struct spl_house_options *where, struct spl_book_restored *restored,
                          GError **error)
{
    char *from, *aside;

    if (!spl_book_restore(where->book, &from, &aside, error))
        return FALSE;
    *restored = (struct spl_book_restored){g_strdup(where->book), from, aside};
    return TRUE;
}

GPtrArray *spl_book_examine(struct spl_house *house, GError **error)
{
    GPtrArray *findings = spl_book_check(house->book, error);
    guint missing = 0, surplus = 0;

    /* What is derived is held against what it is derived from, where that is right. */
    if (findings == NULL || findings->len > 0)
        return findings;
    if (!spl_judged_compare(house, &missing, &surplus, error)) {
        g_ptr_array_unref(findings);
        return NULL;
    }
    if (missing > 0)
        g_ptr_array_add(findings,
                        g_strdup_printf("judged ground: %u harvests are taken for free that are "
                                        "not; it is mended when the book is repaired",
                                        missing));
    if (surplus > 0)
        g_ptr_array_add(findings,
                        g_strdup_printf("judged ground: %u harvests are looked at that are free; "
                                        "it is mended when the book is repaired",
                                        surplus));
    return findings;
}
