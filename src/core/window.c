/* SPDX-License-Identifier: MIT
 *
 * Windows: both ends joined with what was seen, with frost and with how far an almanac reaches. See
 * core/window.h. Engineering choices beside those of core/window_end.h:
 * - the first stage of a window is its first day; a later one lies on a line to the last, give or
 *   take a quarter of the days that have passed by then;
 * - an end in September or later is the season's, not the plant's, where frost does not set it: it
 *   moves as die-back does.
 */
#include "core/window.h"

#include <math.h>

#include "core/degree_day.h"
#include "core/period.h"
#include "core/reach.h"
#include "core/window_end.h"

#define STAGE_BLUR 0.25
#define AUTUMN_DAY 244     /* 1 September */
#define MID_JANUARY 15     /* no warmth counts before */
#define AUTUMN_MOST_D 30.0 /* die-back moves by no more */

static gboolean other_hemisphere(const struct spl_almanac_row *row, double site_lat)
{
    return spl_almanac_row_has_place(row) && !isnan(site_lat) && (row->lat < 0) != (site_lat < 0);
}

void spl_reference_init(const struct spl_almanac_row *row, double site_lat,
                        const struct spl_normals *spread, struct spl_reference *reference)
{
    int turn = other_hemisphere(row, site_lat) ? 6 : 0;
    double lat = spl_almanac_row_has_place(row) ? row->lat : site_lat;
    struct spl_normals normals;
    struct spl_normals_curve curve;

    reference->known = spl_almanac_row_has_normals(row);
    reference->autumn_c = NAN;
    if (!reference->known)
        return;
    spl_normals_from_means(row->normals_c, lat < 0, &normals);
    for (int m = 0; spread != NULL && m < 12; m++) {
        normals.sd_c[m] = spread->sd_c[(m + turn) % 12];
        normals.range_c[m] = spread->range_c[(m + turn) % 12];
    }
    spl_normals_to_curve(&normals, &curve);
    for (int d = 0; d < SPL_NORMALS_DAYS; d++)
        reference->daily_dd[d] = spl_expected_degree_days(curve.mean_c[d], curve.sd_c[d],
                                                          SPL_WARMTH_BASE_C, SPL_WARMTH_UPPER_C);
    reference->autumn_c = spl_shift_autumn_c(row->normals_c, lat < 0);
    spl_frost_guess(row->normals_c, lat < 0, &reference->frost);
}

/* Degree-days at the reference place between two days, by its own normals. */
static double reference_needs(const struct spl_reference *reference, double from_n, double to_n)
{
    struct spl_day day = {(gint32)rint(from_n)};
    double needs = 0, to = rint(to_n);
    int index;

    if (!reference->known || isnan(from_n))
        return NAN;
    index = day.n < to ? spl_normals_index(day) : 0;
    while (day.n < to) {
        needs += reference->daily_dd[index];
        day.n++;
        index = spl_normals_index_after(index, day);
    }
    return needs > 0 ? needs : NAN;
}

/* Where the sum for an event on a day begins: 60 days before, but not before the days lengthen. */
static double sum_from(double n, int season, double lat)
{
    double january = (lat < 0 ? spl_day_from_ymd(season, 7, MID_JANUARY)
                              : spl_day_from_ymd(season, 1, MID_JANUARY))
                         .n;
    double from_n = n - SPL_WARMTH_LEAD_DAYS;

    /* A window that itself begins in the depth of winter keeps its own two months. */
    return n - january > SPL_WARMTH_LEAD_DAYS / 2.0 ? MAX(from_n, january) : from_n;
}

/* The days by which an own date is moved to the climate of the normals. */
static double period_days(const struct spl_almanac_row *row, enum spl_event event, double n,
                          double lat)
{
    struct spl_period from = {row->period_from, row->period_to};
    struct spl_period to = {row->normals_from, row->normals_to};

    if (to.from == 0)
        to = SPL_PERIOD_NOW;
    return spl_period_days(event, spl_window_northern_day(n, lat), from, to);
}

gboolean spl_row_season_init(const struct spl_almanac_row *row, int season, double site_lat,
                             const struct spl_reference *reference, struct spl_row_season *base)
{
    double lat = spl_almanac_row_has_place(row) ? row->lat : site_lat;
    struct spl_day start, end, own_start, own_end;
    double turned, start_d, end_d;

    spl_almanac_row_days(row, season, site_lat, &start, &end);
    if (!spl_day_is_set(start) || !spl_day_is_set(end))
        return FALSE;
    spl_almanac_row_days(row, season, lat, &own_start, &own_end);
    turned = start.n - own_start.n;
    *base = (struct spl_row_season){.row = row,
                                    .season = season,
                                    .half_year = other_hemisphere(row, site_lat),
                                    .undated = row->period_from == 0,
                                    .stands_frost = spl_almanac_row_stands_frost(row),
                                    .autumn_c = reference->known ? reference->autumn_c : NAN,
                                    .frost_n = NAN};
    base->start_event =
        spl_event_of(row->stage_from, row->material, spl_window_northern_month(own_start.n, lat));
    base->end_event =
        spl_event_of(row->stage_to, row->material, spl_window_northern_month(own_end.n, lat));
    start_d = period_days(row, base->start_event, own_start.n, lat);
    end_d = period_days(row, base->end_event, own_end.n, lat);
    base->period_d = start_d;
    base->start_n = start.n + start_d;
    base->end_n = end.n + end_d;
    base->start_from_n = sum_from(base->start_n, season, site_lat);
    base->end_from_n = base->end_n - SPL_WARMTH_LEAD_DAYS;
    base->start_needs_dd =
        reference_needs(reference, base->start_from_n - turned, base->start_n - turned);
    base->end_needs_dd =
        reference_needs(reference, base->end_from_n - turned, base->end_n - turned);
    if (reference->known)
        base->frost_n = spl_frost_n(reference->frost.median_d, season, lat < 0) + turned;
    if (base->stands_frost && spl_window_northern_day(own_end.n, lat) >= AUTUMN_DAY)
        base->end_event = SPL_EVENT_SENESCENCE;
    return TRUE;
}

/* Sightings of this year ------------------------------------------------------------------------
 */

gboolean spl_window_stage_lasts(int stage)
{
    return (stage >= 17 && stage <= 49) || stage == 79 || stage >= 97 || stage == 0;
}

/* The latest sighting of this year at the site itself that says a day; NULL: none. */
static const struct spl_sighting *seen_this_year(const GArray *sightings)
{
    const struct spl_sighting *latest = NULL;

    for (guint i = 0; sightings != NULL && i < sightings->len; i++) {
        const struct spl_sighting *one = &g_array_index(sightings, struct spl_sighting, i);

        if (one->site == 0 && one->this_year && !one->open && !isnan(one->residual_d) &&
            (latest == NULL || one->on.n >= latest->on.n))
            latest = one;
    }
    return latest;
}

/* The z above which the standard normal has this share left; 0 < share <= 1. */
static double upper_quantile(double share)
{
    double low = -40, high = 40;

    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;

        if (erfc(middle / G_SQRT2) / 2 > share)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* P10, P50 and P90 of N(mean, sd^2) once it is known to be no less than `least`. */
static void bounded_below(double mean, double sd, double least, double quantile[3])
{
    double left = sd > 0 ? erfc((least - mean) / sd / G_SQRT2) / 2 : 0;

    for (int i = 0; i < 3; i++) {
        static const double share[3] = {0.9, 0.5, 0.1};

        /* Far past all expectation nothing but the bound is known. */
        quantile[i] = left > 1e-12 ? MAX(mean + sd * upper_quantile(left * share[i]), least)
                                   : MAX(mean, least);
    }
}

/* A window cannot end before it begins; the better known start stays. */
static void in_order(struct spl_forecast *forecast)
{
    forecast->end_n = MAX(forecast->end_n, forecast->start_n);
    forecast->end_p90_n = MAX(forecast->end_p90_n, forecast->end_n);
    forecast->start_p10_n = MIN(forecast->start_p10_n, forecast->start_n);
}

/* A picking, or a stage that lasts, inside the row's stages: the window was open on that day. */
static gboolean reach_to(const struct spl_sighting *one, struct spl_forecast *forecast)
{
    double on_n = one->on.n;

    if (on_n < forecast->start_n) {
        forecast->start_n = on_n;
        forecast->start_p10_n = MIN(forecast->start_p10_n, on_n);
        forecast->start_p90_n = MIN(forecast->start_p90_n, on_n);
        return TRUE;
    }
    if (on_n > forecast->end_n) {
        forecast->end_n = on_n;
        forecast->end_p90_n = MAX(forecast->end_p90_n, on_n);
        return TRUE;
    }
    return FALSE;
}

/* Stages seen at the site this year that are not yet, or no longer, the row's: bounds in days. */
static int bound(const struct spl_almanac_row *row, const GArray *sightings,
                 struct spl_forecast *forecast)
{
    double *all[] = {&forecast->start_p10_n, &forecast->start_n, &forecast->start_p90_n,
                     &forecast->end_n, &forecast->end_p90_n};
    double quantile[3];
    int used = 0;

    /* A range over the winter (93 to 07) has no earlier or later stages in this sense. */
    if (isnan(row->stage_from) || isnan(row->stage_to) || row->stage_from > row->stage_to)
        return 0;
    for (guint i = 0; sightings != NULL && i < sightings->len; i++) {
        const struct spl_sighting *one = &g_array_index(sightings, struct spl_sighting, i);

        if (one->site != 0 || !one->this_year || !spl_day_is_set(one->on))
            continue;
        /* A sighting months away belongs to another flush. */
        if (one->on.n < forecast->start_n - SPL_WINDOW_MEMORY_DAYS ||
            one->on.n > forecast->end_n + SPL_WINDOW_MEMORY_DAYS)
            continue;
        if (one->stage < row->stage_from) {
            forecast->not_before.n = MAX(forecast->not_before.n, one->on.n + 1);
            used++;
        } else if (one->stage > row->stage_to) {
            if (!spl_day_is_set(forecast->not_after) || one->on.n < forecast->not_after.n)
                forecast->not_after = one->on;
            used++;
        } else if (one->open && !isnan(one->residual_d)) {
            used += reach_to(one, forecast);
        }
    }
    if (spl_day_is_set(forecast->not_before)) {
        bounded_below(forecast->start_n, forecast->start_sd_d, forecast->not_before.n, quantile);
        forecast->start_p10_n = quantile[0];
        forecast->start_n = quantile[1];
        forecast->start_p90_n = quantile[2];
    }
    if (spl_day_is_set(forecast->not_after)) {
        bounded_below(-forecast->end_n, forecast->end_sd_d, -forecast->not_after.n, quantile);
        forecast->end_p90_n = -quantile[0];
        forecast->end_n = -quantile[1];
    }
    for (gsize i = 0; i < G_N_ELEMENTS(all); i++) {
        if (spl_day_is_set(forecast->not_before))
            *all[i] = MAX(*all[i], forecast->not_before.n);
        if (spl_day_is_set(forecast->not_after)) /* what is over is over, whatever came before */
            *all[i] = MIN(*all[i], forecast->not_after.n);
    }
    in_order(forecast);
    return used;
}

/* Frost and reach -------------------------------------------------------------------------------
 */

/* The usual first killing frost at the site; NAN: not known. */
static double frost_at(const struct spl_row_season *base, const struct spl_window_site *site,
                       double elevation_m)
{
    const struct spl_almanac_row *row = base->row;
    struct spl_shift_place from = {row->lat, row->lon,
                                   isnan(row->elevation_m) ? elevation_m : row->elevation_m,
                                   base->autumn_c};
    struct spl_shift_place to = {base->half_year ? row->lat : site->lat, site->lon, elevation_m,
                                 NAN};

    if (site->frost != NULL)
        return spl_frost_n(site->frost->median_d, base->season, site->lat < 0);
    if (isnan(base->frost_n))
        return NAN;
    return base->frost_n + spl_shift_event_days(SPL_EVENT_SENESCENCE, &from, &to);
}

static void end_by_frost(const struct spl_row_season *base, const struct spl_window_site *site,
                         double frost_n, struct spl_forecast *forecast)
{
    double latest_n = frost_n;

    forecast->frost_n = frost_n;
    if (isnan(frost_n) || isinf(frost_n) || forecast->end_n <= frost_n)
        return;
    if (base->stands_frost) {
        forecast->after_frost =
            base->end_event == SPL_EVENT_RIPENING ||
            (base->end_event == SPL_EVENT_SENESCENCE && base->start_event == SPL_EVENT_RIPENING);
        return;
    }
    /* A window that begins in winter at its own place has the frost behind it. */
    if (base->end_event == SPL_EVENT_SENESCENCE ||
        !(isnan(base->frost_n) || base->start_n < base->frost_n))
        return;
    if (site->frost != NULL)
        latest_n = spl_frost_n(site->frost->p90_d, base->season, site->lat < 0);
    if (forecast->start_n >= frost_n)
        forecast->refusal = SPL_WINDOW_AFTER_FROST;
    forecast->frost_ends = TRUE;
    forecast->end_n = frost_n;
    forecast->end_p90_n = MIN(forecast->end_p90_n, latest_n);
    in_order(forecast);
}

/* The place's usual mean temperature on a day, between mid-months. */
static double usual_c(const double mean_c[12], double n)
{
    double at = (spl_day_of_year((struct spl_day){(gint32)rint(n)}) - 15.5) / 30.44;
    int before = (int)floor(at);
    double part = at - before;

    return mean_c[(before + 12) % 12] * (1 - part) + mean_c[(before + 13) % 12] * part;
}

static enum spl_window_refusal refusal_of(const struct spl_row_season *base,
                                          const struct spl_window_site *site,
                                          const struct spl_window_end *start,
                                          const struct spl_window_end *end)
{
    double start_most =
        base->start_event == SPL_EVENT_SENESCENCE ? AUTUMN_MOST_D : SPL_REACH_MOVE_D;
    double end_most = base->end_event == SPL_EVENT_SENESCENCE ? AUTUMN_MOST_D : SPL_REACH_MOVE_D;

    if (fabs(start->usual_n - base->start_n) > start_most ||
        fabs(end->usual_n - base->end_n) > end_most)
        return SPL_WINDOW_MOVED_TOO_FAR;
    if (site->mean_c != NULL && base->start_event == SPL_EVENT_GROWTH &&
        usual_c(site->mean_c, start->usual_n) < 0)
        return SPL_WINDOW_IN_WINTER;
    return SPL_WINDOW_FINE;
}

/* Forecasts -------------------------------------------------------------------------------------
 */

static void settle(const struct spl_row_season *base, const struct spl_window_end *start,
                   const struct spl_window_end *end, struct spl_day today,
                   struct spl_forecast *forecast)
{
    double start_sd = spl_window_end_sd(start), end_sd = spl_window_end_sd(end);

    *forecast = (struct spl_forecast){.basis = MAX(start->basis, end->basis),
                                      .start_n = start->n,
                                      .end_n = MAX(end->n, start->n),
                                      .start_p10_n = start->n - SPL_WINDOW_P90 * start_sd,
                                      .start_p90_n = start->n + SPL_WINDOW_P90 * start_sd,
                                      .end_p90_n = MAX(end->n, start->n) + SPL_WINDOW_P90 * end_sd,
                                      .start_sd_d = start_sd,
                                      .end_sd_d = end_sd,
                                      .place_sd_d = sqrt(start->place_variance),
                                      .year_sd_d = sqrt(start->year_variance),
                                      .start_shift_d = start->shift_d,
                                      .end_shift_d = end->shift_d,
                                      .sum_from_n = start->from_n,
                                      .needs_dd = start->needs_dd,
                                      .reached_dd = NAN,
                                      .known_until = SPL_DAY_NONE,
                                      .period_d = base->period_d,
                                      .undated = base->undated,
                                      .frost_n = NAN,
                                      .not_before = SPL_DAY_NONE,
                                      .not_after = SPL_DAY_NONE,
                                      .elevation_m = NAN,
                                      .half_year = base->half_year};
    forecast->far_ahead = spl_day_is_set(today) && start->n - today.n > SPL_WINDOW_HONEST_DAYS;
}

void spl_window_forecast_almanac(const struct spl_row_season *base,
                                 const struct spl_window_site *site, struct spl_day today,
                                 struct spl_forecast *forecast)
{
    gboolean has_site = site->name != NULL;
    struct spl_window_end start, end;

    spl_window_end_init(&start, base->start_n, base->start_event, site->lat, has_site,
                        base->undated);
    spl_window_end_init(&end, base->end_n, base->end_event, site->lat, has_site, base->undated);
    settle(base, &start, &end, today, forecast);
}

void spl_window_forecast(const struct spl_row_season *base, const struct spl_window_site *site,
                         struct spl_day today, const GArray *sightings,
                         struct spl_forecast *forecast)
{
    g_autoptr(spl_sighting_pool) pool = spl_sighting_pool_of(sightings);
    struct spl_window_seen seen = {.pool = pool, .own_this_year = sightings};

    spl_window_forecast_with(base, site, today, &seen, forecast);
}

/* Both ends moved to the place. */
static void move_ends(const struct spl_row_season *base, const struct spl_window_site *site,
                      double elevation_m, gboolean assumed, struct spl_window_end *start,
                      struct spl_window_end *end)
{
    spl_window_end_init(start, base->start_n, base->start_event, site->lat, TRUE, base->undated);
    spl_window_end_init(end, base->end_n, base->end_event, site->lat, TRUE, base->undated);
    spl_window_end_shift(start, base, base->start_event, site, elevation_m, assumed);
    spl_window_end_shift(end, base, base->end_event, site, elevation_m, assumed);
    /* Die-back follows the shorter days and the frost, not a sum of warmth. */
    if (base->start_event != SPL_EVENT_SENESCENCE)
        spl_window_end_warm(start, base->start_from_n, base->start_needs_dd, elevation_m, assumed,
                            site);
    if (base->end_event != SPL_EVENT_SENESCENCE)
        spl_window_end_warm(end, base->end_from_n, base->end_needs_dd, elevation_m, assumed, site);
}

void spl_window_forecast_with(const struct spl_row_season *base, const struct spl_window_site *site,
                              struct spl_day today, const struct spl_window_seen *seen,
                              struct spl_forecast *forecast)
{
    const struct spl_almanac_row *row = base->row;
    const struct spl_sighting *now = seen_this_year(seen->own_this_year);
    int n_year = seen->year == NULL ? 0 : seen->year->n;
    gboolean assumed = isnan(site->elevation_m);
    double elevation_m = site->elevation_m, correction_d = 0, year_d = 0;
    enum spl_window_refusal refusal;
    struct spl_sighting_offset offset;
    struct spl_window_end start, end;

    if (isnan(site->lat) || isnan(site->lon) || !spl_almanac_row_has_place(row)) {
        spl_window_forecast_almanac(base, site, today, forecast);
        return;
    }
    if (assumed)
        elevation_m = isnan(site->station_elevation_m) ? 0 : site->station_elevation_m;
    move_ends(base, site, elevation_m, assumed, &start, &end);
    refusal = refusal_of(base, site, &start, &end);
    spl_sighting_pool_offset(seen->pool, seen->site, start.n, start.place_variance, &offset);
    if (offset.n > 0 || now != NULL || n_year > 0) {
        spl_window_end_correct(&end, &offset, now, seen->year, &year_d);
        correction_d = spl_window_end_correct(&start, &offset, now, seen->year, &year_d);
    }
    settle(base, &start, &end, today, forecast);
    forecast->refusal = refusal;
    forecast->fair = site->fair;
    forecast->elevation_m = elevation_m;
    forecast->elevation_assumed = assumed;
    forecast->offset_d = correction_d;
    forecast->n_sightings = offset.n + (now != NULL);
    forecast->year_d = now != NULL ? 0 : year_d;
    forecast->n_year = now != NULL ? 0 : n_year;
    if (site->year != NULL && !isnan(start.from_n) && spl_day_is_set(site->year->known_until)) {
        forecast->known_until = site->year->known_until;
        if (site->year->known_until.n >= start.from_n)
            forecast->reached_dd =
                spl_warmth_between(site->year, start.from_n, site->year->known_until.n + 1);
    }
    end_by_frost(base, site, frost_at(base, site, elevation_m), forecast);
    if (bound(row, seen->own_this_year, forecast) > 0)
        forecast->basis = SPL_BASIS_OBSERVED;
}

void spl_window_forecast_fix(struct spl_forecast *forecast, struct spl_day start,
                             struct spl_day end)
{
    forecast->basis = SPL_BASIS_FIXED;
    forecast->start_n = forecast->start_p10_n = forecast->start_p90_n = start.n;
    forecast->end_n = forecast->end_p90_n = end.n;
    forecast->start_sd_d = forecast->end_sd_d = 0;
    forecast->not_before = forecast->not_after = SPL_DAY_NONE;
    forecast->far_ahead = FALSE;
    forecast->refusal = SPL_WINDOW_FINE;
    forecast->frost_ends = forecast->after_frost = FALSE;
}

double spl_window_stage_day(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                            double stage)
{
    double span = row->stage_to - row->stage_from;

    if (isnan(span) || stage < row->stage_from || stage > row->stage_to)
        return NAN;
    if (span <= 0)
        return forecast->start_n;
    return forecast->start_n +
           (forecast->end_n - forecast->start_n) * (stage - row->stage_from) / span;
}

double spl_window_stage_blur(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                             double stage)
{
    double span = row->stage_to - row->stage_from;

    if (!(span > 0))
        return 0;
    return STAGE_BLUR * (forecast->end_n - forecast->start_n) * (stage - row->stage_from) / span;
}

double spl_window_stage_sd(const struct spl_almanac_row *row, const struct spl_forecast *forecast,
                           double stage)
{
    double span = row->stage_to - row->stage_from, blur, part, start_sd;

    if (isnan(spl_window_stage_day(row, forecast, stage)))
        return NAN;
    part = span > 0 ? (stage - row->stage_from) / span : 0;
    blur = spl_window_stage_blur(row, forecast, stage);
    start_sd = (forecast->start_p90_n - forecast->start_p10_n) / (2 * SPL_WINDOW_P90);
    return sqrt((1 - part) * start_sd * start_sd + part * forecast->end_sd_d * forecast->end_sd_d +
                blur * blur);
}
