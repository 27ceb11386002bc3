/* SPDX-License-Identifier: MIT
 *
 * The settings of a book: what each may hold, kept in its canonical form. See simpling/house.h.
 */
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/setting.h"
#include "season/house_private.h"
#include "season/room.h"
#include "simpling/customs.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/row.h"

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
    double km_h;

    if (!spl_speed_parse(value, key, &km_h, error))
        return NULL;
    if (km_h >= 1 && km_h <= 130)
        return spl_number_format(km_h, 3);
    spl_error_set_input(error, SPL_ERROR_INVALID, key, "is not between 1 and 130 km/h");
    return NULL;
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

#define RACKS_MOST_M2 10000.0 /* a hectare of racks is a slip of the pen */

static char *check_racks(const char *value, const char *key, GError **error)
{
    double m2;

    if (!spl_area_parse(value, key, &m2, NULL) || m2 > RACKS_MOST_M2) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%.40s' is no area of drying racks; write it as 3m2 or '30 sq ft'", key,
                    value);
        return NULL;
    }
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

static char *check_units(const char *value, const char *key, GError **error)
{
    g_autofree char *lower = g_ascii_strdown(value, -1);

    if (strcmp(lower, "imperial") == 0)
        return g_strdup("imp");
    if (spl_word_value(spl_units_names, lower) >= 0)
        return g_steal_pointer(&lower);
    spl_error_set_input(error, SPL_ERROR_INVALID, key, "'%.20s' is none of metric, us, imp", value);
    return NULL;
}

static const struct {
    const char *key;
    char *(*check)(const char *value, const char *key, GError **error);
    const char *about;
} settings[] = {
    {"home", check_place, "where outings begin and end: 54.9712,-2.4610"},
    {"zone", check_zone, "time zone of the calendar: Europe/London"},
    {"country", check_country, "whose protected plants count, and what 7/8 means: GB, US-VT"},
    {"units", check_units, "amounts as you say and read them: metric, us, imp"},
    {"who", check_text, "your name, for the log"},
    {"practice", check_text, "name, address and phone of your practice, for labels"},
    {"speed", check_speed, "travel speed in km/h, for outings"},
    {"hours", check_hours, "hours of a gathering day"},
    {"pickers", check_people, "how many people pick"},
    {"press", check_text, "the press you own: drained, hand, screw, hydraulic"},
    {"jars", spl_room_jars_clean, "your jars by size, and how many: 250mL,12x500mL,8x1L"},
    {"spirits", check_spirits, "the spirits that you pour: 40% 70% 96%"},
    {"dew", check_hours, "hours after sunrise until the dew is off"},
    {"racks", check_racks, "drying racks in all: 3m2"},
    {"freezer", check_grams, "how much herb the freezer holds: 20kg"},
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

int spl_house_month(struct spl_house *house)
{
    double lat = 0.0, lon;
    int month = 1;

    spl_day_to_ymd(house->today, NULL, &month, NULL);
    if (spl_house_setting_place(house, &lat, &lon) && lat < 0.0)
        month = (month + 5) % 12 + 1;
    return month;
}

char *spl_house_who(struct spl_house *house, const char *by)
{
    return by != NULL ? g_strdup(by) : spl_house_setting_text(house, "who");
}

static const struct spl_field setting_line_fields[] = {
    SPL_FIELD(spl_setting_line, key, SPL_TEXT, "key", "key"),
    SPL_FIELD(spl_setting_line, value, SPL_TEXT, "value", "value"),
    SPL_FIELD(spl_setting_line, about, SPL_TEXT, "about", "what it is"),
};
const struct spl_shape spl_setting_line_shape =
    SPL_SHAPE("setting", spl_setting_line, setting_line_fields);

GArray *spl_setting_lines(struct spl_book *book)
{
    GArray *lines = spl_list_new(&spl_setting_line_shape);

    for (gsize i = 0; i < G_N_ELEMENTS(settings); i++) {
        struct spl_setting_line line = {
            .key = g_strdup(settings[i].key),
            .value = spl_setting_get(book, settings[i].key, NULL),
            .about = g_strdup(settings[i].about),
        };

        g_array_append_val(lines, line);
    }
    return lines;
}
