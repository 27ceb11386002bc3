/* SPDX-License-Identifier: MIT
 *
 * Headings of weather tables. See exchange/weather_column.h.
 */
#include "exchange/weather_column.h"

#include <string.h>

#include "exchange/weather_private.h"
#include "simpling/error.h"

#define PREAMBLE_LINES 60 /* that services put before the table */

/* The words of a heading, lower case, without what stands between them. */
static GPtrArray *words_of(const char *heading)
{
    GPtrArray *words = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *lower = g_utf8_strdown(heading, -1);
    GString *word = g_string_new(NULL);

    for (const char *c = lower;; c = g_utf8_next_char(c)) {
        gunichar letter = g_utf8_get_char(c);

        if (*c != '\0' && g_unichar_isalnum(letter)) {
            g_string_append_unichar(word, letter);
            continue;
        }
        if (word->len > 0)
            g_ptr_array_add(words, g_strdup(word->str));
        g_string_truncate(word, 0);
        if (*c == '\0')
            break;
    }
    g_string_free(word, TRUE);
    return words;
}

static gboolean is_one_of(const char *word, const char *const *list)
{
    return g_strv_contains(list, word);
}

/* English, German, and the names that DWD, MeteoSwiss and GeoSphere give their
 * columns. */
static const char *const low_words[] = {"tmin",  "tn",    "mintemp",          "tnk", "tre200dn",
                                        "tlmin", "mintp", "tiefsttemperatur", NULL};
static const char *const high_words[] = {
    "tmax", "tx", "maxtemp", "txk", "tre200dx", "tlmax", "maxtp", "h\u00f6chsttemperatur", NULL};
static const char *const mean_words[] = {
    "tmean", "tavg", "tg", "meantemp", "tmk", "tre200d0", "mitteltemperatur", NULL};
/* These mean a temperature only if nothing else stands beside them ("min wind"). */
static const char *const bare_low[] = {"min",        "minimum", "low", "lowest",
                                       "tiefstwert", "tiefste", NULL};
static const char *const bare_high[] = {
    "max", "maximum", "high", "highest", "h\u00f6chstwert", "h\u00f6chste", NULL};
static const char *const bare_mean[] = {"mean",   "average",    "avg", "normal",
                                        "mittel", "mittelwert", NULL};
static const char *const bland[] = {"temp",
                                    "temperature",
                                    "temperatures",
                                    "t",
                                    "air",
                                    "daily",
                                    "deg",
                                    "degrees",
                                    "monthly",
                                    "2m",
                                    "of",
                                    "c",
                                    "degc",
                                    "celsius",
                                    "f",
                                    "degf",
                                    "fahrenheit",
                                    "temperatur",
                                    "lufttemperatur",
                                    "grad",
                                    "tages",
                                    "t\u00e4gliche",
                                    "t\u00e4gliches",
                                    "monats",
                                    NULL};
static const char *const celsius[] = {"c", "degc", "celsius", NULL};
static const char *const fahrenheit[] = {"f", "degf", "fahrenheit", NULL};
static const char *const flags[] = {"attributes", "attribute", "flag", "flags", NULL};

static enum spl_weather_column temperature_of(GPtrArray *words)
{
    enum spl_weather_column kind = SPL_WEATHER_OTHER;
    gboolean flagged = FALSE;

    for (guint i = 0; i < words->len; i++) {
        const char *word = g_ptr_array_index(words, i);
        enum spl_weather_column one = SPL_WEATHER_OTHER;

        if (is_one_of(word, low_words) || is_one_of(word, bare_low))
            one = SPL_WEATHER_TMIN;
        else if (is_one_of(word, high_words) || is_one_of(word, bare_high))
            one = SPL_WEATHER_TMAX;
        else if (is_one_of(word, mean_words) || is_one_of(word, bare_mean))
            one = SPL_WEATHER_MEAN;
        else if (is_one_of(word, flags))
            flagged = TRUE;
        else if (!is_one_of(word, bland))
            return SPL_WEATHER_OTHER;
        /* "mean minimum", "mean daily maximum": the extreme is what it is about. */
        if (one == SPL_WEATHER_OTHER || (one == SPL_WEATHER_MEAN && kind != SPL_WEATHER_OTHER))
            continue;
        if (kind != SPL_WEATHER_OTHER && kind != SPL_WEATHER_MEAN && kind != one)
            return SPL_WEATHER_OTHER;
        kind = one;
    }
    if (!flagged)
        return kind;
    if (kind == SPL_WEATHER_TMIN)
        return SPL_WEATHER_TMIN_FLAGS;
    return kind == SPL_WEATHER_TMAX ? SPL_WEATHER_TMAX_FLAGS : SPL_WEATHER_OTHER;
}

static enum spl_weather_column kind_of(const char *heading, GPtrArray *words)
{
    static const struct {
        const char *word;
        enum spl_weather_column kind;
    } plain[] = {{"date", SPL_WEATHER_DATE},
                 {"day", SPL_WEATHER_DATE},
                 {"time", SPL_WEATHER_DATE},
                 {"month", SPL_WEATHER_MONTH},
                 {"station", SPL_WEATHER_STATION},
                 {"location", SPL_WEATHER_STATION},
                 {"id", SPL_WEATHER_STATION},
                 {"name", SPL_WEATHER_NAME},
                 {"latitude", SPL_WEATHER_LAT},
                 {"lat", SPL_WEATHER_LAT},
                 {"longitude", SPL_WEATHER_LON},
                 {"lon", SPL_WEATHER_LON},
                 {"long", SPL_WEATHER_LON},
                 {"elevation", SPL_WEATHER_ELEVATION},
                 {"alt", SPL_WEATHER_ELEVATION},
                 {"altitude", SPL_WEATHER_ELEVATION},
                 {"datum", SPL_WEATHER_DATE},
                 {"tag", SPL_WEATHER_DATE},
                 {"zeit", SPL_WEATHER_DATE},
                 {"monat", SPL_WEATHER_MONTH},
                 {"ort", SPL_WEATHER_STATION},
                 {"breite", SPL_WEATHER_LAT},
                 {"breitengrad", SPL_WEATHER_LAT},
                 {"l\u00e4nge", SPL_WEATHER_LON},
                 {"l\u00e4ngengrad", SPL_WEATHER_LON},
                 {"h\u00f6he", SPL_WEATHER_ELEVATION},
                 {"seeh\u00f6he", SPL_WEATHER_ELEVATION}};

    static const struct {
        const char *heading;
        enum spl_weather_column kind;
    } whole[] = {{"MESS_DATUM", SPL_WEATHER_DATE},
                 {"reference_timestamp", SPL_WEATHER_DATE},
                 {"STATIONS_ID", SPL_WEATHER_STATION},
                 {"station_abbr", SPL_WEATHER_STATION}};

    for (gsize i = 0; i < G_N_ELEMENTS(whole); i++) {
        if (g_ascii_strcasecmp(heading, whole[i].heading) == 0)
            return whole[i].kind;
    }
    if (words->len == 1 || (words->len == 2 && strcmp(g_ptr_array_index(words, 1), "m") == 0)) {
        for (gsize i = 0; i < G_N_ELEMENTS(plain); i++) {
            if (strcmp(g_ptr_array_index(words, 0), plain[i].word) == 0)
                return plain[i].kind;
        }
    }
    return temperature_of(words);
}

gboolean spl_weather_columns_find(const struct spl_csv *csv, struct spl_weather_columns *columns,
                                  GError **error)
{
    for (int kind = 0; kind < SPL_WEATHER_OTHER; kind++)
        columns->at[kind] = -1;
    columns->fahrenheit = columns->celsius = FALSE;
    for (int column = 0; column < spl_csv_columns(csv); column++) {
        const char *heading = spl_csv_header(csv, column);
        g_autoptr(GPtrArray) words = words_of(heading);
        enum spl_weather_column kind = kind_of(heading, words);

        if (kind == SPL_WEATHER_OTHER)
            continue;
        if (columns->at[kind] >= 0) {
            /* A second station, name or place column is none of ours; a second temperature is. */
            if (kind > SPL_WEATHER_MEAN)
                continue;
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: the columns '%s' and '%s' seem to mean the same; leave one in",
                        spl_csv_name(csv), spl_csv_header(csv, columns->at[kind]), heading);
            return FALSE;
        }
        columns->at[kind] = column;
        if (kind != SPL_WEATHER_TMIN && kind != SPL_WEATHER_TMAX && kind != SPL_WEATHER_MEAN)
            continue;
        for (guint i = 0; i < words->len; i++) {
            columns->fahrenheit |= is_one_of(g_ptr_array_index(words, i), fahrenheit);
            columns->celsius |= is_one_of(g_ptr_array_index(words, i), celsius);
        }
    }
    if (columns->fahrenheit && columns->celsius) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: its headings say both degrees Celsius and Fahrenheit; use one unit",
                    spl_csv_name(csv));
        return FALSE;
    }
    return TRUE;
}

/* "2027-05-04" or "20270504", with a time behind it or not, "4.5.2027", "4-may-2027". */
gboolean spl_weather_day_parse(const char *text, struct spl_day *day)
{
    static const char *const months[] = {"jan", "feb", "mar", "apr", "may", "jun",
                                         "jul", "aug", "sep", "oct", "nov", "dec"};
    g_autofree char *date = NULL;
    g_auto(GStrv) part = NULL;
    char *end;
    int dom, month = 0, year;

    if (spl_weather_compact_day(text, day))
        return TRUE;
    date = g_strndup(text, strcspn(text, " T"));
    if (spl_day_parse(date, "day", day, NULL))
        return TRUE;
    part = g_strsplit_set(date, ".-", -1);
    if (g_strv_length(part) != 3 || strlen(part[2]) != 4)
        return FALSE;
    dom = (int)g_ascii_strtoll(part[0], &end, 10);
    if (end == part[0] || *end != '\0')
        return FALSE;
    year = (int)g_ascii_strtoll(part[2], &end, 10);
    if (*end != '\0')
        return FALSE;
    for (int m = 0; m < 12; m++) {
        if (g_ascii_strcasecmp(part[1], months[m]) == 0)
            month = m + 1;
    }
    if (month == 0) {
        month = (int)g_ascii_strtoll(part[1], &end, 10);
        if (end == part[1] || *end != '\0')
            return FALSE;
    }
    *day = spl_day_from_ymd(year, month, dom);
    return spl_day_is_set(*day);
}

gboolean spl_weather_is_heading(const char *line, gsize length)
{
    g_autofree char *row = g_strndup(line, MIN(length, 4096));
    g_auto(GStrv) cell = g_strsplit_set(row, ",;\t\r", -1);
    gboolean date = FALSE, warmth = FALSE;

    for (char **c = cell; *c != NULL; c++) {
        g_autofree char *clean = g_utf8_make_valid(*c, -1);
        g_autoptr(GPtrArray) words = NULL;
        enum spl_weather_column kind;

        g_strdelimit(clean, "\"", ' ');
        words = words_of(clean);
        kind = words->len == 0 ? SPL_WEATHER_OTHER : kind_of(g_strstrip(clean), words);
        date |= kind == SPL_WEATHER_DATE || kind == SPL_WEATHER_MONTH;
        warmth |= kind == SPL_WEATHER_TMIN || kind == SPL_WEATHER_TMAX || kind == SPL_WEATHER_MEAN;
    }
    return date && warmth;
}

gsize spl_weather_table_start(const char *text, gsize size)
{
    const char *at = text;

    for (int line = 0; line < PREAMBLE_LINES && at < text + size; line++) {
        const char *feed = memchr(at, '\n', size - (gsize)(at - text));
        gsize length = feed != NULL ? (gsize)(feed - at) : size - (gsize)(at - text);

        if (spl_weather_is_heading(at, length))
            return (gsize)(at - text);
        at += length + (feed != NULL);
    }
    return 0;
}
