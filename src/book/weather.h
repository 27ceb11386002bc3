/* SPDX-License-Identifier: MIT
 *
 * Weather stations with their daily minima and maxima and monthly normals. A station and day, or
 * station and month, is written once: reading a file again replaces what it says.
 */
#ifndef SPL_BOOK_WEATHER_H
#define SPL_BOOK_WEATHER_H

#include <glib.h>

#include "base/progress.h"
#include "book/book.h"
#include "core/normals.h"
#include "simpling/record/weather.h"

/*
 * The station of this name, made when there is none; `station` has its id then. Of place and height
 * only what is not NAN is taken over. Inside a transaction.
 */
gboolean spl_station_put(struct spl_book *book, struct spl_station *station, GError **error);

/* All stations by name, with the number of days and the first and last: a list of
 * spl_station_shape. */
GArray *spl_station_all(struct spl_book *book, GError **error);

/* Writes days (of struct spl_weather_day) of a station. Inside a transaction. */
gboolean spl_weather_put_days(struct spl_book *book, gint64 station_id, const GArray *days,
                              const struct spl_progress *progress, GError **error);

/* Appends the days from `first` to `last` (none: without end) of a station, in order, to `days` (of
 * struct spl_weather_day). */
gboolean spl_weather_days(struct spl_book *book, gint64 station_id, struct spl_day first,
                          struct spl_day last, GArray *days, GError **error);

/* Monthly normals, January first; a range of NAN is not known. Inside a transaction. */
gboolean spl_weather_put_normals(struct spl_book *book, gint64 station_id, const double mean_c[12],
                                 const double range_c[12], GError **error);

/* `*there`: all twelve are. */
gboolean spl_weather_normals(struct spl_book *book, gint64 station_id, gboolean *there,
                             double mean_c[12], double range_c[12], GError **error);

/* ---- what comes by itself: this desk's own, never merged or carried out ---- */

/* Where a station's days are fetched from. */
struct spl_follow_row {
    gint64 station_id;
    char *station, *url, *unit; /* unit NULL: what the answer says */
    char *columns;              /* the headings that it was first taken with */
    struct spl_day fetched;     /* when it was last had; or none */
    char *failed;               /* why not, the last time; NULL: it was */
};
extern const struct spl_shape spl_follow_row_shape;

/* Writes a station's row in the place of the one before. Inside a transaction. */
gboolean spl_follow_put(struct spl_book *book, const struct spl_follow_row *row, GError **error);

/* All of them by the station's name: a list of spl_follow_row_shape. */
GArray *spl_follow_all(struct spl_book *book, GError **error);

/* Puts days to come (of struct spl_weather_day), foretold on `made`, in the place of all that were
 * there. Inside a transaction. */
gboolean spl_weather_put_forecast(struct spl_book *book, gint64 station_id, const GArray *days,
                                  struct spl_day made, GError **error);

/* Appends those from `first` on, in order, that were made within the last `fresh` days before
 * `today`. */
gboolean spl_weather_forecast(struct spl_book *book, gint64 station_id, struct spl_day first,
                              struct spl_day today, int fresh, GArray *days, GError **error);

#endif
