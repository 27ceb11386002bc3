/* SPDX-License-Identifier: MIT
 *
 * When is a material right for a use at a site? Harvest windows from almanacs, moved by place,
 * usual warmth, this year's weather and what was seen growing; how good past ones were.
 */
#ifndef SIMPLING_WINDOW_H
#define SIMPLING_WINDOW_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/record/window.h"
#include "simpling/row.h"

/* How a window came about (`window list --explain`). */
struct spl_window_account {
    char *almanac;              /* its calendar */
    double almanac_km;          /* how far its own place is; NAN: one of the person's own */
    double climate_k;           /* RMS of the twelve normals between the two; NAN: not known */
    double period_d;            /* moved to today's climate, days later; NAN: not */
    char *source;               /* of its dates */
    struct spl_day usual_start; /* the almanac's own days in that year */
    struct spl_day usual_end;
    double shift_d; /* by place, days later; NAN: not moved so */
    char *station;  /* whose warmth; NULL: none */
    double station_km;
    double station_elevation_m;
    double elevation_m;          /* taken for the site */
    struct spl_day sum_from;     /* warmth counts from here */
    double needs_dd;             /* degree-days above 0 C that the start needs */
    double reached_dd;           /* of them by `known_until` */
    struct spl_day known_until;  /* the last measured day */
    int sightings;               /* stages seen that it rests on */
    double sightings_d;          /* days by which they moved it */
    int year_sightings;          /* seen near by this year that it rests on */
    double year_d;               /* days by which they moved it */
    struct spl_day frost;        /* the usual first killing frost; none: not known */
    double start_sd_d, end_sd_d; /* standard deviations, days */
};
extern const struct spl_shape spl_window_account_shape;

/* A window with its account: the window's keys, then `explain`. */
struct spl_window_told {
    struct spl_window window;
    struct spl_window_account *explain;
};
extern const struct spl_shape spl_window_told_shape;

/* What is asked; NULL and 0: everything. */
struct spl_window_words {
    int year; /* the growing year; 0: the one that today lies in, by each place */
    const char *site;
    const char *near; /* coordinates in place of a site */
    const char *material;
    const char *use;
    gboolean explain; /* fill `explain`, else it is NULL */
    GPtrArray *unfit; /* of texts: gets "PLACE: why it has no windows" for each such; may be NULL */
};

/*
 * All windows asked for, site by site, by date: calls `each` for one at a time, which is cleared
 * after the call. `each` returns FALSE with an error to stop.
 */
gboolean spl_window_list(struct spl_house *house, const struct spl_window_words *words,
                         gboolean (*each)(const struct spl_window_told *told, gpointer data,
                                          GError **error),
                         gpointer data, GError **error);

/* One stage that was logged, and by how many days each way of foretelling it was off (+: it said
 * too late). NAN: that way knew nothing. */
struct spl_window_error {
    char *site, *material, *use;
    int stage;
    struct spl_day on;
    char *from;        /* "stage note", "harvest" */
    double almanac_d;  /* the almanac's own day */
    double place_d;    /* moved by place, or by the usual warmth */
    double ahead_30_d; /* as it would have been foretold 30, 14 and 7 days before */
    double ahead_14_d;
    double ahead_7_d;
    double whole_year_d; /* with all of that year's weather */
};
extern const struct spl_shape spl_window_error_shape;

/* The same, all stages together: root mean square in days. */
struct spl_window_errors {
    int year;
    int stages;  /* that could be compared */
    int outside; /* logged stages that no almanac row covers */
    double almanac_rms_d, place_rms_d, ahead_30_rms_d, ahead_14_rms_d, ahead_7_rms_d,
        whole_year_rms_d;
    GArray *errors; /* struct spl_window_error, by site, material and day */
};
extern const struct spl_shape spl_window_errors_shape;

/* Foretells `year` again with what was known then, and compares with the stages logged in it. */
gboolean spl_window_check(struct spl_house *house, int year, const char *site, const char *material,
                          struct spl_window_errors *errors, GError **error);

/*
 * The hours for picking on a day, in local time: "from 09:10, when the dew is off, to 14:20". NULL:
 * the sun does not rise, or no hours are left. Dew hours and zone are the person's settings.
 * Free with g_free.
 */
char *spl_picking_words(struct spl_house *house, double lat, double lon, struct spl_day day,
                        const char *material);

#endif
