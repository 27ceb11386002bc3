/* SPDX-License-Identifier: MIT
 *
 * What a heading of a weather table means.
 */
#ifndef SPL_EXCHANGE_WEATHER_COLUMN_H
#define SPL_EXCHANGE_WEATHER_COLUMN_H

#include <glib.h>

#include "exchange/csv.h"

enum spl_weather_column {
    SPL_WEATHER_DATE,
    SPL_WEATHER_MONTH,
    SPL_WEATHER_TMIN,
    SPL_WEATHER_TMAX,
    SPL_WEATHER_MEAN,
    SPL_WEATHER_TMIN_FLAGS,
    SPL_WEATHER_TMAX_FLAGS,
    SPL_WEATHER_STATION,
    SPL_WEATHER_NAME,
    SPL_WEATHER_LAT,
    SPL_WEATHER_LON,
    SPL_WEATHER_ELEVATION,
    SPL_WEATHER_OTHER
};

/* The columns of a table, -1 for those that it lacks. */
struct spl_weather_columns {
    int at[SPL_WEATHER_OTHER];
    gboolean fahrenheit; /* a temperature's heading says degrees Fahrenheit */
    gboolean celsius;
};

/* SPL_ERROR_INVALID when two headings mean the same temperature or day. */
gboolean spl_weather_columns_find(const struct spl_csv *csv, struct spl_weather_columns *columns,
                                  GError **error);

/* A day in any form that weather services and spreadsheets write. */
gboolean spl_weather_day_parse(const char *text, struct spl_day *day);

/* A line of headings that names days (or months) and a temperature. */
gboolean spl_weather_is_heading(const char *line, gsize length);

/* Where the table begins: the first line that names days and a temperature; 0: the first of all. */
gsize spl_weather_table_start(const char *text, gsize size);

#endif
