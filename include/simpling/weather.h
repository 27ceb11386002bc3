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
 * Reads a file into the book in one transaction. SPL_ERROR_USAGE: the station has no name;
 * SPL_ERROR_INVALID: days after today, seasons of the other hemisphere, and all that
 * exchange/weather.h refuses.
 */
gboolean spl_weather_import_file(struct spl_house *house, const struct spl_weather_words *words,
                                 struct spl_weather_import *import, GError **error);

/* A list of spl_station_shape (simpling/record/weather.h). */
GArray *spl_weather_list(struct spl_house *house, GError **error);

#endif
