/* SPDX-License-Identifier: MIT
 *
 * Weather in the book. See book/weather.h.
 */
#include "book/weather.h"

#include <math.h>

#include "base/text.h"
#include "book/statement.h"

#define TELL_EVERY 20000

static const struct spl_field station_fields[] = {
    SPL_FIELD(spl_station, name, SPL_TEXT, "station", "station"),
    SPL_FIELD_NUM(spl_station, lat, 6, "lat", "lat"),
    SPL_FIELD_NUM(spl_station, lon, 6, "lon", "lon"),
    SPL_FIELD_NUM(spl_station, elevation_m, 0, "elevation_m", "elevation m"),
    SPL_FIELD(spl_station, days, SPL_INT, "days", "days"),
    SPL_FIELD(spl_station, first, SPL_DAY, "first", "first"),
    SPL_FIELD(spl_station, last, SPL_DAY, "last", "last"),
    SPL_FIELD(spl_station, normals, SPL_BOOL, "normals", "normals"),
};
const struct spl_shape spl_station_shape = SPL_SHAPE("station", spl_station, station_fields);

gboolean spl_station_put(struct spl_book *book, struct spl_station *station, GError **error)
{
    g_autofree char *key = spl_name_key(station->name);
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    if (at == 0 ||
        !spl_book_execute(book, error,
                          "INSERT INTO station (uuid, name, name_key, lat, lon, elevation_m, at)"
                          " VALUES (?, ?, ?, ?, ?, ?, ?)"
                          " ON CONFLICT (name_key) DO UPDATE SET lat = coalesce(excluded.lat, lat),"
                          " lon = coalesce(excluded.lon, lon),"
                          " elevation_m = coalesce(excluded.elevation_m, elevation_m)",
                          "tttrrrl", uuid, station->name, key, station->lat, station->lon,
                          station->elevation_m, at))
        return FALSE;
    station->id =
        spl_book_number(book, 0, error, "SELECT id FROM station WHERE name_key = ?", "t", key);
    return station->id != 0;
}

GArray *spl_station_all(struct spl_book *book, GError **error)
{
    GArray *list = spl_list_new(&spl_station_shape);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT s.id, s.name, s.lat, s.lon, s.elevation_m,"
                           " (SELECT count(*) FROM weather_day d WHERE d.station_id = s.id),"
                           " (SELECT min(day) FROM weather_day d WHERE d.station_id = s.id),"
                           " (SELECT max(day) FROM weather_day d WHERE d.station_id = s.id),"
                           " (SELECT count(*) FROM weather_normal n WHERE n.station_id = s.id) = 12"
                           " FROM station s ORDER BY s.name_key",
                           "");
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_station station = {
            .id = spl_column_long(rows, 0),
            .name = spl_column_text(rows, 1),
            .lat = spl_column_real(rows, 2),
            .lon = spl_column_real(rows, 3),
            .elevation_m = spl_column_real(rows, 4),
            .days = spl_column_int(rows, 5),
            .first = spl_column_day(rows, 6),
            .last = spl_column_day(rows, 7),
            .normals = spl_column_int(rows, 8) != 0,
        };

        g_array_append_val(list, station);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_station_shape, list);
        return NULL;
    }
    return list;
}

gboolean spl_weather_put_days(struct spl_book *book, gint64 station_id, const GArray *days,
                              const struct spl_progress *progress, GError **error)
{
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);

        if (!spl_book_execute(book, error,
                              "INSERT INTO weather_day (station_id, day, tmin_c, tmax_c)"
                              " VALUES (?, ?, ?, ?) ON CONFLICT (station_id, day)"
                              " DO UPDATE SET tmin_c = excluded.tmin_c, tmax_c = excluded.tmax_c",
                              "ldrr", station_id, day->day, day->tmin_c, day->tmax_c))
            return FALSE;
        if (i % TELL_EVERY == 0)
            spl_progress_tell(progress, "writing weather", i, days->len);
    }
    return TRUE;
}

gboolean spl_weather_days(struct spl_book *book, gint64 station_id, struct spl_day first,
                          struct spl_day last, GArray *days, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT day, tmin_c, tmax_c FROM weather_day WHERE station_id = ? AND day >= ?"
        " AND day <= ? ORDER BY day",
        "lll", station_id, (gint64)(spl_day_is_set(first) ? first.n : G_MININT32),
        (gint64)(spl_day_is_set(last) ? last.n : G_MAXINT32));
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_weather_day day = {
            .day = spl_column_day(rows, 0),
            .tmin_c = spl_column_real(rows, 1),
            .tmax_c = spl_column_real(rows, 2),
        };

        g_array_append_val(days, day);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_weather_put_normals(struct spl_book *book, gint64 station_id, const double mean_c[12],
                                 const double range_c[12], GError **error)
{
    for (int m = 0; m < 12; m++) {
        if (!spl_book_execute(book, error,
                              "INSERT INTO weather_normal (station_id, month, mean_c, range_c)"
                              " VALUES (?, ?, ?, ?) ON CONFLICT (station_id, month)"
                              " DO UPDATE SET mean_c = excluded.mean_c, range_c = excluded.range_c",
                              "lirr", station_id, m + 1, mean_c[m], range_c[m]))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_weather_normals(struct spl_book *book, gint64 station_id, gboolean *there,
                             double mean_c[12], double range_c[12], GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT month, mean_c, range_c FROM weather_normal WHERE station_id = ?", "l",
        station_id);
    GError *failed = NULL;
    int months = 0;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        int m = spl_column_int(rows, 0) - 1;

        mean_c[m] = spl_column_real(rows, 1);
        range_c[m] = spl_column_real(rows, 2);
        months++;
    }
    *there = months == 12;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
