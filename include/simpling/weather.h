/* SPDX-License-Identifier: MIT
 *
 * Weather: reading station files into the book, and what is there.
 */
#ifndef SIMPLING_WEATHER_H
#define SIMPLING_WEATHER_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/weather.h"
#include "simpling/row.h"

/* A file, and what is said about it. */
struct spl_weather_words {
    const char *path;
    const char *station; /* name, or which one of a file's several */
    struct spl_coordinates at;
    double elevation_m;
    const char *unit; /* "c", "f", "tenths" */
    gboolean all;     /* every station of the file, in one transaction */
};
extern const struct spl_inputs spl_weather_inputs;

/* One of several stations of a file. */
struct spl_weather_part {
    char *station;
    int days;
    struct spl_day first, last;
    int missing;  /* days between them */
    int left_out; /* days that cannot be */
};
extern const struct spl_shape spl_weather_part_shape;

struct spl_weather_import {
    char *station; /* "50 stations" with `all` */
    int days;
    struct spl_day first, last;
    GArray *gaps;     /* struct spl_weather_gap: runs of missing days between them */
    GArray *left_out; /* struct spl_weather_left: days that cannot be, and why */
    int flagged;      /* values that the source itself had marked as failed */
    gboolean normals; /* the file held monthly normals */
    char *format;
    GArray *stations; /* struct spl_weather_part: with `all`, what came of each */
    GPtrArray *cautions;
};
extern const struct spl_shape spl_weather_import_shape;

/*
 * Reads a file, or what an https:// address answers, into the book in one transaction.
 * SPL_ERROR_USAGE: the station has no name; SPL_ERROR_INVALID: days after today, seasons of the
 * other hemisphere, and all that exchange/weather.h refuses.
 */
gboolean spl_weather_import_file(struct spl_house *house, const struct spl_weather_words *words,
                                 struct spl_weather_import *import, GError **error);

/* A station that is followed. */
struct spl_follow_words {
    const char *station;
    const char *address;
    struct spl_coordinates at;
    double elevation_m;
    const char *unit; /* "c", "f", "tenths" */
};
extern const struct spl_inputs spl_follow_inputs;

/* What came of fetching one station. */
struct spl_weather_fetched {
    char *station;
    char *host; /* that was asked */
    int days;   /* measured, in the answer */
    struct spl_day first, last;
    int foretold; /* days to come that it foretells */
    int left_out; /* days and rows that cannot be */
    char *failed; /* why it could not be had; NULL: it was */
    GPtrArray *cautions;
};
extern const struct spl_shape spl_weather_fetched_shape;

/*
 * Fetches a station's days from an https address now, and again at every refresh. `{from}`, `{to}`
 * and `{today}` in it are filled with days. Its columns are pinned: an answer with others is
 * refused. Days to come are kept as forecasts, used, and replaced by what is measured. The address
 * is this desk's own: it is neither merged nor carried out.
 */
gboolean spl_weather_follow(struct spl_house *house, const struct spl_follow_words *words,
                            struct spl_weather_fetched *fetched, GError **error);

struct spl_refresh_words {
    const char *station; /* NULL: all */
};
extern const struct spl_inputs spl_refresh_inputs;

/* Fetches every followed station, or one. A station that cannot be had keeps what it has, and says
 * why: a list of spl_weather_fetched_shape. SPL_ERROR_NOT_FOUND: none is followed. */
GArray *spl_weather_refresh(struct spl_house *house, const char *station, GError **error);

/* A list of spl_station_shape (simpling/record/weather.h). */
GArray *spl_weather_list(struct spl_house *house, GError **error);

#endif
