/* SPDX-License-Identifier: MIT
 *
 * Headings of weather tables. See exchange/weather_column.h.
 */
#include "exchange/weather_column.h"

#include <string.h>

#include "simpling/error.h"

/* The words of a heading, lower case, without what stands between them. */
static GPtrArray *words_of(const char *heading)
{
    GPtrArray *words = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *lower = g_utf8_strdown(heading, -1);
    GString *word = g_string_new(NULL);

    for (const char *c = lower;; c++) {
        if (*c != '\0' && g_ascii_isalnum(*c)) {
            g_string_append_c(word, *c);
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

static const char *const low_words[] = {"tmin", "tn", "mintemp", NULL};
static const char *const high_words[] = {"tmax", "tx", "maxtemp", NULL};
static const char *const mean_words[] = {"tmean", "tavg", "tg", "meantemp", NULL};
/* These mean a temperature only if nothing else stands beside them ("min wind"). */
static const char *const bare_low[] = {"min", "minimum", "low", "lowest", NULL};
static const char *const bare_high[] = {"max", "maximum", "high", "highest", NULL};
static const char *const bare_mean[] = {"mean", "average", "avg", "normal", NULL};
static const char *const bland[] = {
    "temp",    "temperature", "temperatures", "t",  "air", "daily", "deg",
    "degrees", "monthly",     "2m",           "of", "c",   "degc",  "celsius",
    "f",       "degf",        "fahrenheit",   NULL};
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
    } plain[] = {{"date", SPL_WEATHER_DATE},       {"day", SPL_WEATHER_DATE},
                 {"time", SPL_WEATHER_DATE},       {"month", SPL_WEATHER_MONTH},
                 {"station", SPL_WEATHER_STATION}, {"location", SPL_WEATHER_STATION},
                 {"id", SPL_WEATHER_STATION},      {"name", SPL_WEATHER_NAME},
                 {"latitude", SPL_WEATHER_LAT},    {"lat", SPL_WEATHER_LAT},
                 {"longitude", SPL_WEATHER_LON},   {"lon", SPL_WEATHER_LON},
                 {"long", SPL_WEATHER_LON},        {"elevation", SPL_WEATHER_ELEVATION},
                 {"alt", SPL_WEATHER_ELEVATION},   {"altitude", SPL_WEATHER_ELEVATION}};

    (void)heading;
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
