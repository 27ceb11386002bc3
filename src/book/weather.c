/* SPDX-License-Identifier: MIT
 *
 * Weather in the book. See book/weather.h.
 */
#include "book/weather.h"

#include <math.h>

#include "base/text.h"
#include "book/noun.h"
#include "book/setting.h"

#define TELL_EVERY 20000

/* A station that is known takes over what is new of it, so it is written by hand. */
static const struct spl_field station_fields[] = {
    SPL_FIELD(spl_station, name, SPL_TEXT, "station", "station", SPL_READ("name"), .empty = TRUE),
    SPL_FIELD_NUM(spl_station, lat, 6, "lat", "lat", SPL_READ("lat")),
    SPL_FIELD_NUM(spl_station, lon, 6, "lon", "lon", SPL_READ("lon")),
    SPL_FIELD_NUM(spl_station, elevation_m, 0, "elevation_m", "elevation m",
                  SPL_READ("elevation_m")),
    SPL_FIELD(spl_station, days, SPL_INT, "days", "days",
              SPL_READ("(SELECT count(*) FROM weather_day d WHERE d.station_id = t.id)")),
    SPL_FIELD(spl_station, first, SPL_DAY, "first", "first",
              SPL_READ("(SELECT min(day) FROM weather_day d WHERE d.station_id = t.id)")),
    SPL_FIELD(spl_station, last, SPL_DAY, "last", "last",
              SPL_READ("(SELECT max(day) FROM weather_day d WHERE d.station_id = t.id)")),
    SPL_FIELD(spl_station, normals, SPL_BOOL, "normals", "normals",
              SPL_READ("(SELECT count(*) FROM weather_normal n WHERE n.station_id = t.id) = 12")),
    SPL_FIELD_KEPT(spl_station, id, SPL_LONG, SPL_ID("id")),
};
const struct spl_shape spl_station_shape = SPL_SHAPE("station", spl_station, station_fields);

const struct spl_noun spl_station_noun = {.shape = &spl_station_shape, .from = "station t"};

gboolean spl_station_put(struct spl_book *book, struct spl_station *station, GError **error)
{
    g_autofree char *key = spl_name_key(station->name);
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    if (at == 0 ||
        !spl_book_execute(book, error,
                          "INSERT INTO station (uuid, mark, name, name_key, lat, lon,"
                          " elevation_m, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
                          " ON CONFLICT (name_key) DO UPDATE SET lat = coalesce(excluded.lat, lat),"
                          " lon = coalesce(excluded.lon, lon),"
                          " elevation_m = coalesce(excluded.elevation_m, elevation_m)",
                          SPL_WITH(uuid, spl_setting_mark(book), station->name, key, station->lat,
                                   station->lon, station->elevation_m, at)))
        return FALSE;
    station->id =
        spl_book_number(book, 0, error, "SELECT id FROM station WHERE name_key = ?", SPL_WITH(key));
    return station->id != 0;
}

GArray *spl_station_all(struct spl_book *book, GError **error)
{
    return spl_noun_list(book, &spl_station_noun, "ORDER BY t.name_key", SPL_NONE, error);
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
                              SPL_WITH(station_id, day->day, day->tmin_c, day->tmax_c)))
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
        SPL_WITH(station_id, (gint64)(spl_day_is_set(first) ? first.n : G_MININT32),
                 (gint64)(spl_day_is_set(last) ? last.n : G_MAXINT32)));
    struct spl_weather_day day = {0};
    GError *failed = NULL;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&day.day, &day.tmin_c, &day.tmax_c)))
        g_array_append_val(days, day);
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
                              SPL_WITH(station_id, m + 1, mean_c[m], range_c[m])))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_weather_normals(struct spl_book *book, gint64 station_id, gboolean *there,
                             double mean_c[12], double range_c[12], GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT month, mean_c, range_c FROM weather_normal WHERE station_id = ?",
        SPL_WITH(station_id));
    GError *failed = NULL;
    double mean, range;
    int months = 0, month;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&month, &mean, &range))) {
        mean_c[month - 1] = mean;
        range_c[month - 1] = range;
        months++;
    }
    *there = months == 12;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

/* ---- what comes by itself ---- */

static const struct spl_field follow_fields[] = {
    SPL_FIELD(spl_follow_row, station, SPL_TEXT, "station", "station"),
    SPL_FIELD(spl_follow_row, url, SPL_TEXT, "url", "address"),
    SPL_FIELD(spl_follow_row, unit, SPL_TEXT, "unit", NULL),
    SPL_FIELD(spl_follow_row, columns, SPL_TEXT, "columns", NULL),
    SPL_FIELD(spl_follow_row, fetched, SPL_DAY, "fetched", "last had"),
    SPL_FIELD(spl_follow_row, failed, SPL_TEXT, "failed", "why not"),
};
const struct spl_shape spl_follow_row_shape =
    SPL_SHAPE("weather_follow", spl_follow_row, follow_fields);

gboolean spl_follow_put(struct spl_book *book, const struct spl_follow_row *row, GError **error)
{
    gint64 at = spl_book_stamp(book, error);

    return at != 0 &&
           spl_book_execute(book, error,
                            "INSERT OR REPLACE INTO weather_follow (station_id, url, unit, columns,"
                            " fetched, failed, at) VALUES (?, ?, ?, ?, ?, ?, ?)",
                            SPL_WITH(row->station_id, row->url, row->unit, row->columns,
                                     row->fetched, row->failed, at));
}

GArray *spl_follow_all(struct spl_book *book, GError **error)
{
    GArray *list = spl_list_new(&spl_follow_row_shape);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT f.station_id, s.name, f.url, f.unit, f.columns, f.fetched, f.failed"
        " FROM weather_follow f JOIN station s ON s.id = f.station_id ORDER BY s.name_key",
        SPL_NONE);
    struct spl_follow_row row;
    GError *failed = NULL;

    while (rows != NULL &&
           spl_statement_next(rows, &failed,
                              SPL_INTO(&row.station_id, &row.station, &row.url, &row.unit,
                                       &row.columns, &row.fetched, &row.failed)))
        g_array_append_val(list, row);
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_follow_row_shape, list);
        return NULL;
    }
    return list;
}

gboolean spl_weather_put_forecast(struct spl_book *book, gint64 station_id, const GArray *days,
                                  struct spl_day made, GError **error)
{
    if (!spl_book_execute(book, error, "DELETE FROM weather_forecast WHERE station_id = ?",
                          SPL_WITH(station_id)))
        return FALSE;
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);

        if (!spl_book_execute(book, error,
                              "INSERT OR REPLACE INTO weather_forecast (station_id, day, tmin_c,"
                              " tmax_c, made) VALUES (?, ?, ?, ?, ?)",
                              SPL_WITH(station_id, day->day, day->tmin_c, day->tmax_c, made)))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_weather_forecast(struct spl_book *book, gint64 station_id, struct spl_day first,
                              struct spl_day today, int fresh, GArray *days, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT day, tmin_c, tmax_c FROM weather_forecast WHERE station_id = ? AND day >= ?"
        " AND made <= ? AND made >= ? ORDER BY day",
        SPL_WITH(station_id, first, today, spl_day_add(today, -fresh)));
    struct spl_weather_day day;
    GError *failed = NULL;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&day.day, &day.tmin_c, &day.tmax_c)))
        g_array_append_val(days, day);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
