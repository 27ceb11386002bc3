/* SPDX-License-Identifier: MIT
 *
 * Temperatures of hours, made into days: some services give no daily extremes.
 */
#ifndef SPL_EXCHANGE_WEATHER_HOURS_H
#define SPL_EXCHANGE_WEATHER_HOURS_H

#include <glib.h>
#include <jansson.h>

/*
 * A table of days (date, tmin, tmax, and of the place what stands beside them) from a JSON answer
 * that holds temperatures of hours, in either form of exchange/weather_json.c:
 * - rows, {"weather": [{"timestamp": "2027-05-04T06:00:00+02:00", "temperature": 8.1}, ...],
 *   "sources": [{"lat": ..., "lon": ..., "height": ...}, ...]};
 * - columns, {"hourly": {"time": [...], "temperature_2m": [...]}, "hourly_units": {...}};
 * and from a forecast of day and night periods, {"properties": {"periods": [{"startTime": ...,
 * "endTime": ..., "isDaytime": true, "temperature": 68, "temperatureUnit": "F"}, ...]}}, where a
 * night's is the minimum of the day on which it ends.
 *
 * The day is that of the time as it is written, which is the local one where the service was asked
 * for that. Where it says that the time is UTC and the place is known, it is moved to the place's
 * mean solar time, whole hours: a day's minimum belongs to its morning, in New Zealand too. A day
 * that misses more than two hours in succession, its ends too, has no extremes. What is read once
 * an hour passes over the very extremes by some tenths of a degree (common practice, no source).
 *
 * NULL: the answer holds none of these. Free with g_string_free.
 */
GString *spl_weather_hours_table(const json_t *root);

#endif
