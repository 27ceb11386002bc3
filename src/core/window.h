/* SPDX-License-Identifier: MIT
 *
 * The window: in which days of one growing year a material is right for a use at one site.
 *
 * An almanac row says when that is at its reference place. Depending on what is known the days are
 * moved by place (core/shift.h), by warmth sums (core/warmth.h) and by what was seen growing
 * (core/sighting.h). The best basis wins and is named. core/window_end.c moves one end of a window,
 * core/window.c joins both with what was seen, core/window_words.c says it. Every number that is
 * not sourced where it stands is an engineering choice and says so there.
 */
#ifndef SPL_CORE_WINDOW_H
#define SPL_CORE_WINDOW_H

#include <glib.h>

#include "core/almanac.h"
#include "core/frost.h"
#include "core/shift.h"
#include "core/sighting.h"
#include "core/warmth.h"
#include "simpling/day.h"
#include "simpling/record/window.h"
#include "simpling/row.h"

/* Words for the reason why longer views are no better; days ahead. */
#define SPL_WINDOW_HONEST_DAYS 45

/* The 90 % point of the standard normal distribution: P10 and P90 are mean -+ this x sd. */
#define SPL_WINDOW_P90 1.2815515655

/*
 * A row in one growing year of one hemisphere, reckoned once for all sites. Days are fractional
 * days since 1970-01-01.
 */
struct spl_row_season {
    const struct spl_almanac_row *row; /* borrowed */
    int season;
    gboolean half_year;    /* moved to the other hemisphere */
    double start_n, end_n; /* the almanac's own days, moved to the period of its normals */
    double period_d;       /* by so many days, the start; 0: not moved */
    gboolean undated;      /* nobody says of which years they are */
    enum spl_event start_event, end_event;
    double start_from_n, end_from_n;     /* warmth for them is summed from here */
    double start_needs_dd, end_needs_dd; /* warmth at the reference place from there; NAN: the
                                            almanac gives no normals */
    double autumn_c;                     /* of the reference place, see core/shift.h; NAN */
    double frost_n;        /* its usual first killing frost; INFINITY: none, NAN: not known */
    gboolean stands_frost; /* a frost does not end it */
};

/*
 * The reference place's usual year: degree-days expected of each day, from its monthly means. An
 * almanac gives means only; `spread` (of the station whose warmth the site uses, at `site_lat`)
 * lends it the spread of its days, so that both sides are reckoned alike; NULL: the usual spread.
 */
struct spl_reference {
    gboolean known; /* FALSE: the almanac gives no normals */
    double autumn_c;
    struct spl_frost frost;
    double daily_dd[SPL_NORMALS_DAYS];
};
void spl_reference_init(const struct spl_almanac_row *row, double site_lat,
                        const struct spl_normals *spread, struct spl_reference *reference);

/*
 * FALSE: the row has no days in that season. `site_lat` only says the hemisphere (NAN: the row's).
 * `reference` was made from a row of the same calendar.
 */
gboolean spl_row_season_init(const struct spl_almanac_row *row, int season, double site_lat,
                             const struct spl_reference *reference, struct spl_row_season *base);

/* What is known about a place in one growing year. Everything is borrowed. */
struct spl_window_site {
    const char *name;   /* NULL: none */
    double lat, lon;    /* NAN: no place at all, every basis but `almanac` and `fixed` falls away */
    double elevation_m; /* NAN: unknown; the station's, else 0, is assumed and the window widened */
    const struct spl_warmth *usual; /* the season's degree-days at the site by normals; or NULL */
    const struct spl_warmth *year;  /* with the days measured so far; NULL: none measured */
    const char *station;            /* where the warmth is from; NULL without */
    double station_km;              /* how far away that is */
    gboolean foretold;              /* the last days of `year` are a forecast of the weather */
    double station_elevation_m;     /* NAN: unknown */
    const struct spl_warmth_years *years; /* the station's other years; NULL: not known */
    const double *mean_c;                 /* monthly normals at the site's height; NULL */
    const struct spl_frost *frost;        /* first killing frost there; NULL: not known */
    double almanac_km;                    /* how far the almanac's own place is; NAN: its own */
    double reach_sd_d;                    /* what the almanac's distance adds (core/reach.h) */
    gboolean fair;                        /* the almanac serves with a caution */
};

/* Why there is no window although the row has days. */
enum spl_window_refusal {
    SPL_WINDOW_FINE,
    SPL_WINDOW_MOVED_TOO_FAR, /* SPL_REACH_MOVE_D, or 30 days for die-back */
    SPL_WINDOW_IN_WINTER,     /* growth where the place still freezes */
    SPL_WINDOW_AFTER_FROST    /* the killing frost comes first */
};

/* How one window came about, for `window list --explain`. Days are fractional days since 1970. */
struct spl_forecast {
    enum spl_basis basis;
    double start_n, end_n; /* P50 */
    double start_p10_n, start_p90_n, end_p90_n;
    double start_sd_d, end_sd_d;  /* standard deviations in days */
    double place_sd_d, year_sd_d; /* of the start, what makes it up */
    double start_shift_d,
        end_shift_d;            /* by place, against the almanac's own days; NAN: not moved */
    double sum_from_n;          /* warmth for the start is summed from here; NAN: not */
    double needs_dd;            /* degree-days that the start needs; NAN: not used */
    double reached_dd;          /* of them by the end of the measured days; NAN: not used */
    struct spl_day known_until; /* the last measured day; or none */
    double offset_d;            /* correction by what was seen; 0: none */
    int n_sightings;            /* on how many sightings it rests */
    double year_d;              /* of that by what was seen near by this year */
    int n_year;                 /* on how many */
    double period_d;            /* moved to the climate of the normals; 0: not */
    gboolean undated;
    double frost_n;       /* usual first killing frost at the site; NAN: not known */
    gboolean frost_ends;  /* the end is that */
    gboolean after_frost; /* it stands frost and its end lies after that */
    enum spl_window_refusal refusal;
    gboolean fair;
    struct spl_day not_before; /* an earlier stage was seen the day before; or none */
    struct spl_day not_after;  /* a later stage was seen on that day; or none */
    double elevation_m;        /* used for the site; NAN: none */
    gboolean elevation_assumed;
    gboolean half_year;
    gboolean far_ahead; /* begins more than SPL_WINDOW_HONEST_DAYS after `today` */
};

/*
 * The best forecast as seen on `today`. `sightings` holds struct spl_sighting of the row's material
 * (may be NULL).
 */
void spl_window_forecast(const struct spl_row_season *base, const struct spl_window_site *site,
                         struct spl_day today, const GArray *sightings,
                         struct spl_forecast *forecast);

/* What was seen, as a caller who asks for many sites keeps it; every member may be NULL. */
struct spl_window_seen {
    struct spl_sighting_pool *pool; /* all sites of the row's material */
    int site;                       /* its number in there */
    const GArray *own_this_year;    /* struct spl_sighting, with site 0 */
    const struct spl_year_effect *year;
};
void spl_window_forecast_with(const struct spl_row_season *base, const struct spl_window_site *site,
                              struct spl_day today, const struct spl_window_seen *seen,
                              struct spl_forecast *forecast);

/* The same with nothing but the almanac's own dates. */
void spl_window_forecast_almanac(const struct spl_row_season *base,
                                 const struct spl_window_site *site, struct spl_day today,
                                 struct spl_forecast *forecast);

/* Pins a forecast to the days that the person chose. */
void spl_window_forecast_fix(struct spl_forecast *forecast, struct spl_day start,
                             struct spl_day end);

/*
 * The instant at which a forecast expects `stage`, by straight line between the row's stages; NAN
 * when the row has no stages or `stage` lies outside them.
 */
double spl_window_stage_day(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                            double stage);

/* How badly that line may say the day: 0 at the first stage, then a quarter of the days since. */
double spl_window_stage_blur(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                             double stage);

/* P90 of that instant less its P10, over twice SPL_WINDOW_P90: the standard deviation, days. */
double spl_window_stage_sd(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                           double stage);

/* A stage that lasts for weeks ("in leaf", a rosette, in seed): seeing it says that the window is
 * open, not when it began. */
gboolean spl_window_stage_lasts(int stage);

/* The line of `window list` for a forecast; `window` is filled anew, clear it with its shape. */
void spl_window_from_forecast(const struct spl_row_season *base, const struct spl_window_site *site,
                              const struct spl_forecast *forecast, struct spl_window *window);

/*
 * The short way for callers that know no more than the almanac: a window of basis `almanac`, whose
 * note says that it is not moved to the place. `site` may be NULL (the reference place itself) and
 * `lat` NAN. FALSE, and nothing to clear: the row has no days in that season.
 */
gboolean spl_window_from_almanac(const struct spl_almanac_row *row, const char *site, double lat,
                                 int season, struct spl_window *window);

#endif
