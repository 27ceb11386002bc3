/* SPDX-License-Identifier: MIT
 *
 * When is a material right for a use at a site? Harvest windows from almanacs, moved by place,
 * usual warmth, this year's weather and what was seen growing; how good past ones were.
 */
#ifndef SIMPLING_WINDOW_H
#define SIMPLING_WINDOW_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
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

/* What is asked; what is not said: everything. */
struct spl_window_words {
    int year; /* the growing year; SPL_COUNT_NONE: the one that today lies in, by each place */
    const char *site;
    struct spl_coordinates near; /* in place of a site */
    const char *material;
    const char *use;
    gboolean open;      /* only what can be gathered on `on`, see spl_window_list */
    struct spl_day on;  /* with `open`; none: today */
    const char *within; /* with `open`: no farther from home, "20min"; NULL: anywhere */
    gboolean explain;   /* fill `explain`, else it is NULL */
    GPtrArray *unfit;   /* of texts: gets "PLACE: why it has no windows" for each such, and what
                           `open`   left out; may be NULL */
};
extern const struct spl_inputs spl_window_inputs;

/*
 * With `open`: those whose day lies between "may begin" and "mostly over", of stands that somebody
 * noted (of every material that grows there by the almanac where a site, a point or a material is
 * named), with the verdict of the day, what the stand can spare and the way there; closed ground,
 * what the law forbids and stands that can spare nothing are left out, and said in `unfit`.
 *
 * All windows asked for, site by site, by date: calls `each` for one at a time, which is cleared
 * after the call. `each` returns FALSE with an error to stop.
 */
gboolean spl_window_list(struct spl_house *house, const struct spl_window_words *words,
                         gboolean (*each)(const struct spl_window_told *told, gpointer data,
                                          GError **error),
                         gpointer data, GError **error);

/* How far ahead a year is foretold again. The whole year's weather is no forecast: it says what the
 * model can do at best. */
enum spl_window_lead {
    SPL_WINDOW_ALMANAC, /* the almanac's own day */
    SPL_WINDOW_PLACE, /* moved by place, or by the usual warmth, 120 days before the growing year */
    SPL_WINDOW_AHEAD_30,
    SPL_WINDOW_AHEAD_21,
    SPL_WINDOW_AHEAD_14,
    SPL_WINDOW_AHEAD_7,
    SPL_WINDOW_WHOLE,
    SPL_WINDOW_LEADS
};

/* One stage that was noted, and by how many days each forecast was off (+: it said too late). NAN:
 * it knew nothing. */
struct spl_window_error {
    char *site, *material, *use;
    int year, stage;
    struct spl_day on;
    double almanac_d, place_d, ahead_30_d, ahead_21_d, ahead_14_d, ahead_7_d, whole_year_d;
    /* what was foretold 14 days before: P10, P50 and P90 of the stage's day */
    struct spl_day foretold_p10, foretold, foretold_p90;
};
extern const struct spl_shape spl_window_error_shape;

/* One picking, and whether it lay inside its window ("may begin" to "mostly over") as foretold. It
 * says that the window was open, not when it began, so it counts apart. */
struct spl_window_picked {
    char *site, *material, *use;
    int year, stage;
    struct spl_day on;
    gboolean inside_30, inside_21, inside_14, inside_7;
    struct spl_day foretold_from, foretold_to; /* 14 days before: may begin, mostly over */
};
extern const struct spl_shape spl_window_picked_shape;

/* How good one lead was over all stages. */
struct spl_window_skill {
    char *lead;            /* "almanac", "place", "30 days ahead" … "whole year" */
    int stages;            /* that it could foretell */
    double rmse_d, bias_d; /* + : too late; NAN: none */
    int inside;            /* of them between P10 and P90, which is right for 80 of 100 */
    double inside_pct;
    int picked, picked_inside; /* pickings, and those inside their windows */
};
extern const struct spl_shape spl_window_skill_shape;

struct spl_window_errors {
    int from_year, to_year;
    int stages;     /* notes that could be compared */
    int pickings;   /* entries of the log that could be */
    int outside;    /* sightings that no almanac row covers */
    GArray *skill;  /* struct spl_window_skill, by lead */
    GArray *errors; /* struct spl_window_error, by site, material and day */
    GArray *picked; /* struct spl_window_picked, likewise */
};
extern const struct spl_shape spl_window_errors_shape;

struct spl_window_question {
    int year;
    int to; /* the last year, 60 later at most; SPL_COUNT_NONE: that one alone */
    const char *site, *material;
};
extern const struct spl_inputs spl_window_check_inputs;
/*
 * Foretells these growing years again, each with what was known on its days: no later weather,
 * sightings or days set in the calendar; the normals leave out the year that is foretold. A
 * sighting belongs to the window that the usual date puts nearest, at every lead.
 */
gboolean spl_window_check(struct spl_house *house, const struct spl_window_question *question,
                          struct spl_window_errors *errors, GError **error);

/*
 * What is odd about a stage that was noted: it was seen a month or more from where any window of
 * the place expects it. A sentence that says what it counts for; NULL: nothing is odd, or no window
 * has the stage. Free with g_free.
 */
char *spl_stage_doubt(struct spl_house *house, const char *site, const char *material, int stage,
                      struct spl_day on, GError **error);

/*
 * The hours for picking on a day, in local time: "from 09:10, when the dew is off, to 14:20". NULL:
 * the sun does not rise, or no hours are left. Dew hours and zone are the person's settings.
 * Free with g_free.
 */
char *spl_picking_words(struct spl_house *house, double lat, double lon, struct spl_day day,
                        const char *material);

#endif
