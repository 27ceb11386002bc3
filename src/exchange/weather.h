/* SPDX-License-Identifier: MIT
 *
 * Weather files: daily minima and maxima of a station, or its monthly normals.
 *
 * - plain CSV: a day (2027-05-04, 20270504, 4.5.2027, 4-may-2027), a minimum and a maximum, under
 *   headings that say so, in English or German ("date", "tmin", "Minimum temperature (°F)",
 * "Datum", "Höchstwert") or as weather services name them; a station column if it holds several;
 * lines before the headings are passed over;
 * - GHCN-Daily .dly (fixed width, tenths of a degree; NOAA's readme, section III);
 * - GHCN-Daily .csv, with headings (STATION, DATE, TMAX, TMAX_ATTRIBUTES …, tenths) or one element
 *   a line (ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,TIME, tenths), with those headings or without;
 * - the same as JSON (exchange/weather_json.c), and hours as JSON (exchange/weather_hours.h);
 * - monthly normals: CSV with `month` and a mean or a minimum and maximum, or just twelve numbers.
 * A row that cannot be read is left out and named; with 500 of them the file is refused. UTF-16 and
 * Windows-1252 are read; a comma is a decimal mark where `;` parts the cells.
 * Values whose quality flag says that they failed are missing. Empty cells, NA, NaN, -999 and -9999
 * are missing.
 */
#ifndef SPL_EXCHANGE_WEATHER_H
#define SPL_EXCHANGE_WEATHER_H

#include <glib.h>

#include "base/progress.h"
#include "core/weather.h"

enum spl_weather_unit {
    SPL_WEATHER_UNIT_SAID, /* what the headings or the format say, else degrees Celsius */
    SPL_WEATHER_UNIT_C,
    SPL_WEATHER_UNIT_F,
    SPL_WEATHER_UNIT_TENTHS /* of a degree Celsius */
};

/* "c", "f", "tenths"; SPL_ERROR_INVALID lists them. */
gboolean spl_weather_unit_parse(const char *text, const char *what, enum spl_weather_unit *unit,
                                GError **error);

struct spl_weather_file {
    char *format;         /* in words */
    char *station;        /* as the file names it; NULL: it does not */
    double lat, lon;      /* NAN: not said */
    double elevation_m;   /* NAN: not said */
    GArray *days;         /* of struct spl_weather_day, cleaned and sorted */
    GArray *left;         /* of struct spl_weather_left */
    int flagged;          /* values left out for their quality flag */
    char *columns;        /* the headings of a table, or the format of a file without */
    gboolean has_normals; /* monthly normals, January first; then there are no days */
    double mean_c[12];
    double range_c[12]; /* maximum - minimum; NAN where only means are given */
};

/*
 * Reads `path`. `station` picks one of several stations in a file (by its id or name) and otherwise
 * only names it; NULL with several is SPL_ERROR_AMBIGUOUS, which lists them. Refused with
 * SPL_ERROR_INVALID: unknown columns, days that do not exist, a unit that looks wrong, a file
 * without a single usable day; SPL_ERROR_LIMIT above 256 MB, but for GHCN-Daily, whose files of a
 * whole year hold all stations: of those only the one that is meant is kept. Clear `out` with
 * spl_weather_file_clear.
 */
gboolean spl_weather_file_read(const char *path, enum spl_weather_unit unit, const char *station,
                               const struct spl_progress *progress, struct spl_weather_file *out,
                               GError **error);

void spl_weather_file_clear(struct spl_weather_file *out);

/*
 * Every station of a file that names its stations: calls `each` for one at a time, cleared after
 * the call, and stops when it returns FALSE. Stations without a usable day are passed over; their
 * names go into `without` (owned texts; may be NULL). SPL_ERROR_INVALID for a file that names no
 * stations; SPL_ERROR_LIMIT above 256 MB of any kind.
 */
gboolean spl_weather_file_each(const char *path, enum spl_weather_unit unit,
                               const struct spl_progress *progress, GPtrArray *without,
                               gboolean (*each)(struct spl_weather_file *file, gpointer data,
                                                GError **error),
                               gpointer data, GError **error);

#endif
