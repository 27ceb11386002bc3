/* SPDX-License-Identifier: MIT
 *
 * Shared by the readers of weather files: the stations of a file while it is read.
 */
#ifndef SPL_EXCHANGE_WEATHER_PRIVATE_H
#define SPL_EXCHANGE_WEATHER_PRIVATE_H

#include "exchange/csv.h"
#include "exchange/weather.h"

#define SPL_WEATHER_MAX_BYTES SPL_CSV_MAX_BYTES /* but for GHCN-Daily, read line by line */
#define SPL_WEATHER_HEAD_BYTES 4096             /* enough to know such a file by */
#define SPL_WEATHER_TELL_EVERY 20000            /* rows between two signs of progress */

/* One station of a file while it is read. */
struct spl_weather_series {
    char *id;
    char *name; /* NULL: none */
    double lat, lon, elevation_m;
    GArray *days;       /* of struct spl_weather_day, NAN where a value is still missing */
    GHashTable *by_day; /* day -> index in days, when values come singly; or NULL */
    int flagged;
    gboolean passed; /* another station is meant: its values are not kept */
};

struct spl_weather_reading {
    const char *path;
    enum spl_weather_unit unit;
    const char *station; /* the one that is meant; NULL: not said */
    gboolean one;        /* only one station is wanted: of others just the names are kept */
    const struct spl_progress *progress;
    GPtrArray *series; /* of struct spl_weather_series */
    GHashTable *by_id;
    struct spl_weather_series *last;
    gboolean scaled; /* values are converted on somebody's word */
    GArray *bad;     /* struct spl_weather_left: rows that could not be read */
    const char
        *text; /* the table, when it was decoded or does not begin the file; NULL: the file */
    gsize size;
};

/* Whether a person means the same by both. */
gboolean spl_weather_same_name(const char *a, const char *b);

/* The station of this id, new when it is the first time; NULL (SPL_ERROR_LIMIT): too many. */
struct spl_weather_series *spl_weather_series_of(struct spl_weather_reading *reading,
                                                 const char *id, GError **error);

/* Weather as JSON: the table of it, for the reader of tables. NULL (SPL_ERROR_INVALID): it is no
 * JSON, or has no days. Free with g_free. */
#define SPL_WEATHER_MOST_NAMES 200
gboolean spl_weather_is_json(const char *text, gsize size);
char *spl_weather_json_table(const char *text, gsize size, const char *path, gsize *table_size,
                             GError **error);

/* "20270504"; FALSE if it is not that, or no such day. */
gboolean spl_weather_compact_day(const char *text, struct spl_day *day);

/* GHCN-Daily without headings: is this its first line, and read the whole file. */
gboolean spl_weather_is_dly(const char *line);
gboolean spl_weather_is_elements(const char *line);
gboolean spl_weather_read_dly(struct spl_weather_reading *reading, GError **error);
gboolean spl_weather_read_elements(struct spl_weather_reading *reading, GError **error);

#endif
