/* SPDX-License-Identifier: MIT
 *
 * Windows. See core/window.h. Engineering choices, with what they rest on:
 * - between years a first day of flowering or leafing varies by 10 d (sd) in December-March, 7.5 d
 * in April and May, 6 d in June and July, 8 d later and for ripening, 9 d for die-back (open
 * series: 5.9 d leaf-out, 6.3-8.8 d flowering at one station, 6.3-8.6 d cherries; early events vary
 * most);
 * - the model itself errs by 4.5 d with all temperatures known, and loses its knowledge of the year
 *   evenly over the 60 days before: var(lead) = s_m^2 + (s_0^2 - s_m^2) min(1, lead / 60);
 * - a date that is not moved to its place is off by 10.5 d (raw spread of 31 flowering events over
 *   Norway), a shift by a quarter of itself (the middle half of those events' slopes), an unknown
 *   height counts as 150 m;
 * - the first stage of a window is its first day; a later one lies on a line to the last, give or
 *   take a quarter of the days that have passed by then.
 */
#include "core/window.h"

#include <math.h>

#include "core/degree_day.h"

#define MODEL_SD_D 4.5
#define MEMORY_DAYS 60.0
#define UNMOVED_SD_D 10.5
#define SHIFT_SHARE 0.25
#define UNKNOWN_HEIGHT_M 150.0
#define HEIGHT_D_PER_100_M 3.0
#define STAGE_BLUR 0.25

static const struct spl_field fields[] = {
    SPL_FIELD(spl_window, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_window, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_window, use, SPL_TEXT, "use", "use"),
    SPL_FIELD_SHOW(spl_window, flush, SPL_INT, "flush", "flush"),
    SPL_FIELD(spl_window, year, SPL_INT, "year", NULL),
    SPL_FIELD(spl_window, earliest, SPL_DAY, "earliest", "may begin"),
    SPL_FIELD(spl_window, likely_start, SPL_DAY, "likely_start", "likely from"),
    SPL_FIELD(spl_window, likely_end, SPL_DAY, "likely_end", "likely to"),
    SPL_FIELD(spl_window, latest, SPL_DAY, "latest", "mostly over"),
    {.key = "stage_from",
     .heading = "from stage",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, stage_from)},
    {.key = "stage_to",
     .heading = "to stage",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, stage_to)},
    SPL_FIELD(spl_window, basis, SPL_TEXT, "basis", "basis"),
    SPL_FIELD_SHOW(spl_window, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_window_shape = SPL_SHAPE("window", spl_window, fields);

const char *spl_basis_word(enum spl_basis basis)
{
    static const char *const words[] = {"almanac", "shifted",  "normals",
                                        "weather", "observed", "fixed"};

    return words[basis];
}

static double square(double x)
{
    return x * x;
}

static struct spl_day nearest_day(double n)
{
    return (struct spl_day){(gint32)rint(n)};
}

/* Month of the year as the northern hemisphere counts it. */
static int northern_month(struct spl_day day, double lat)
{
    int month;

    spl_day_to_ymd(day, NULL, &month, NULL);
    return lat < 0 ? (month + 5) % 12 + 1 : month;
}

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
}

/* Degree-days at the reference place in the days before `end`, by its own normals. */
static double reference_needs(const struct spl_reference *reference, struct spl_day end)
{
    struct spl_day day = spl_day_add(end, -SPL_WARMTH_LEAD_DAYS);
    double needs = 0;

    if (!reference->known || !spl_day_is_set(day))
        return NAN;
    for (; day.n < end.n; day.n++)
        needs += reference->daily_dd[spl_normals_index(day)];
    return needs > 0 ? needs : NAN;
}

gboolean spl_row_season_init(const struct spl_almanac_row *row, int season, double site_lat,
                             const struct spl_reference *reference, struct spl_row_season *base)
{
    double lat = spl_almanac_row_has_place(row) ? row->lat : site_lat;
    struct spl_day start, end, own_start, own_end;

    spl_almanac_row_days(row, season, site_lat, &start, &end);
    if (!spl_day_is_set(start) || !spl_day_is_set(end))
        return FALSE;
    spl_almanac_row_days(row, season, lat, &own_start, &own_end);
    *base = (struct spl_row_season){.row = row,
                                    .season = season,
                                    .half_year = other_hemisphere(row, site_lat),
                                    .start_n = start.n,
                                    .end_n = end.n};
    base->start_event =
        spl_event_of(row->stage_from, row->material, northern_month(own_start, lat));
    base->end_event = spl_event_of(row->stage_to, row->material, northern_month(own_end, lat));
    base->start_needs_dd = reference_needs(reference, own_start);
    base->end_needs_dd = reference_needs(reference, own_end);
    return TRUE;
}

/* Between-years standard deviation of an event on a day. */
static double year_sd(enum spl_event event, struct spl_day day, double lat)
{
    int month = northern_month(day, lat);

    if (event == SPL_EVENT_SENESCENCE)
        return 9;
    if (event == SPL_EVENT_RIPENING || (month >= 8 && month <= 11))
        return 8;
    if (month == 12 || month <= 3)
        return 10;
    return month <= 5 ? 7.5 : 6;
}

/* One end of a window on its way to a date. */
struct end {
    double n;              /* P50 */
    double place_variance; /* lasting: the place against the model */
    double year_variance;  /* this year against the model */
    double lasting_sd;     /* year_variance's root when nothing of the year is known */
    double shift_d;        /* NAN: not moved by place */
    double needs_dd, from_n;
    enum spl_basis basis;
};

static struct end end_almanac(double n, enum spl_event event, double lat, gboolean has_site)
{
    struct end end = {
        .n = n, .shift_d = NAN, .needs_dd = NAN, .from_n = NAN, .basis = SPL_BASIS_ALMANAC};

    end.lasting_sd = year_sd(event, nearest_day(n), lat);
    end.year_variance = square(end.lasting_sd);
    end.place_variance = has_site ? square(UNMOVED_SD_D) : 0;
    return end;
}

static void end_shift(struct end *end, const struct spl_almanac_row *row, enum spl_event event,
                      const struct spl_window_site *site, double elevation_m, gboolean assumed)
{
    gboolean america =
        spl_shift_in_america(row->lat, row->lon) && spl_shift_in_america(site->lat, site->lon);
    /* An almanac that is silent about its height is taken to lie as high as the site. */
    double from_m = isnan(row->elevation_m) ? elevation_m : row->elevation_m;

    end->shift_d = spl_shift_days(spl_shift_rates_of(event, america), row->lat, row->lon, from_m,
                                  site->lat, site->lon, elevation_m);
    end->n += end->shift_d;
    end->place_variance = square(SPL_SIGHTING_TAU_D) + square(SHIFT_SHARE * end->shift_d);
    if (assumed || isnan(row->elevation_m))
        end->place_variance += square(HEIGHT_D_PER_100_M * UNKNOWN_HEIGHT_M / 100);
    end->basis = SPL_BASIS_SHIFTED;
}

/*
 * By warmth: the sum begins 60 days before the almanac's day. What the event needs is what the
 * reference place has by its normals, or, when the almanac is silent about those, what the site
 * itself usually has by the shifted date. The height is in the temperatures: no shift on top.
 */
static void end_warm(struct end *end, double own_n, double needs_dd, gboolean assumed,
                     const struct spl_window_site *site)
{
    double from_n = own_n - SPL_WARMTH_LEAD_DAYS, n, lead;
    const struct spl_warmth *warmth = site->year != NULL ? site->year : site->usual;

    if (site->usual == NULL || (isnan(needs_dd) && site->year == NULL))
        return;
    if (isnan(needs_dd))
        needs_dd = end->n > from_n ? spl_warmth_between(site->usual, from_n, end->n) : NAN;
    if (isnan(needs_dd) || needs_dd <= 0)
        return;
    n = spl_warmth_reach(warmth, from_n, needs_dd);
    if (isnan(n))
        return;
    end->n = n;
    end->needs_dd = needs_dd;
    end->from_n = from_n;
    end->basis = SPL_BASIS_NORMALS;
    end->place_variance = square(SPL_SIGHTING_TAU_D);
    if (assumed)
        end->place_variance += square(HEIGHT_D_PER_100_M * UNKNOWN_HEIGHT_M / 100);
    if (site->year == NULL || !spl_day_is_set(site->year->known_until) ||
        site->year->known_until.n < from_n)
        return;
    lead = CLAMP((n - site->year->known_until.n) / MEMORY_DAYS, 0.0, 1.0);
    end->year_variance = square(MODEL_SD_D) + (square(end->lasting_sd) - square(MODEL_SD_D)) * lead;
    end->basis = SPL_BASIS_WEATHER;
}

/* The latest sighting of this year at the site itself that has a residual; NULL: none. */
static const struct spl_sighting *seen_this_year(const GArray *sightings)
{
    const struct spl_sighting *latest = NULL;

    for (guint i = 0; sightings != NULL && i < sightings->len; i++) {
        const struct spl_sighting *one = &g_array_index(sightings, struct spl_sighting, i);

        if (one->site == 0 && one->this_year && !isnan(one->residual_d) &&
            (latest == NULL || one->on.n >= latest->on.n))
            latest = one;
    }
    return latest;
}

static void end_correct(struct end *end, const struct spl_sighting_offset *offset,
                        const struct spl_sighting *now, double *correction_d)
{
    const double tau2 = square(SPL_SIGHTING_TAU_D);
    double both, gain;

    /* What is left of the place's variance: its own part shrinks, a doubtful height stays. */
    *correction_d = offset->mean_d;
    if (offset->n > 0)
        end->place_variance = MAX(end->place_variance - tau2, 0) + square(offset->sd_d);
    if (now != NULL) {
        /* This year's sighting tells of the place and the year together. */
        both = end->place_variance + end->year_variance;
        gain = both / (both + square(SPL_SIGHTING_SEEN_SD_D) + square(now->blur_d));
        *correction_d += gain * (now->residual_d - offset->mean_d);
        end->n += *correction_d;
        end->place_variance = (1 - gain) * both;
        end->year_variance =
            square(end->lasting_sd) * MIN(1, fabs(end->n - now->on.n) / MEMORY_DAYS);
    } else {
        end->n += *correction_d;
    }
    end->basis = SPL_BASIS_OBSERVED;
}

static double end_sd(const struct end *end)
{
    return sqrt(end->place_variance + end->year_variance);
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
        if (one->on.n < forecast->start_n - MEMORY_DAYS ||
            one->on.n > forecast->end_n + MEMORY_DAYS)
            continue;
        if (one->stage < row->stage_from) {
            forecast->not_before.n = MAX(forecast->not_before.n, one->on.n + 1);
            used++;
        } else if (one->stage > row->stage_to) {
            if (!spl_day_is_set(forecast->not_after) || one->on.n < forecast->not_after.n)
                forecast->not_after = one->on;
            used++;
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

static void settle(const struct spl_row_season *base, const struct end *start,
                   const struct end *end, struct spl_day today, struct spl_forecast *forecast)
{
    *forecast =
        (struct spl_forecast){.basis = MAX(start->basis, end->basis),
                              .start_n = start->n,
                              .end_n = MAX(end->n, start->n),
                              .start_p10_n = start->n - SPL_WINDOW_P90 * end_sd(start),
                              .start_p90_n = start->n + SPL_WINDOW_P90 * end_sd(start),
                              .end_p90_n = MAX(end->n, start->n) + SPL_WINDOW_P90 * end_sd(end),
                              .start_sd_d = end_sd(start),
                              .end_sd_d = end_sd(end),
                              .start_shift_d = start->shift_d,
                              .end_shift_d = end->shift_d,
                              .sum_from_n = start->from_n,
                              .needs_dd = start->needs_dd,
                              .reached_dd = NAN,
                              .known_until = SPL_DAY_NONE,
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
    struct end start = end_almanac(base->start_n, base->start_event, site->lat, has_site);
    struct end end = end_almanac(base->end_n, base->end_event, site->lat, has_site);

    settle(base, &start, &end, today, forecast);
}

void spl_window_forecast(const struct spl_row_season *base, const struct spl_window_site *site,
                         struct spl_day today, const GArray *sightings,
                         struct spl_forecast *forecast)
{
    struct spl_sighting_offset offset;

    spl_sighting_offset_of(sightings, &offset);
    spl_window_forecast_with(base, site, today, &offset, sightings, forecast);
}

void spl_window_forecast_with(const struct spl_row_season *base, const struct spl_window_site *site,
                              struct spl_day today, const struct spl_sighting_offset *offset,
                              const GArray *sightings, struct spl_forecast *forecast)
{
    const struct spl_almanac_row *row = base->row;
    const struct spl_sighting *now = seen_this_year(sightings);
    gboolean assumed = isnan(site->elevation_m);
    double elevation_m = site->elevation_m, correction_d;
    struct end start, end;

    if (isnan(site->lat) || isnan(site->lon) || !spl_almanac_row_has_place(row)) {
        spl_window_forecast_almanac(base, site, today, forecast);
        return;
    }
    if (assumed)
        elevation_m = isnan(site->station_elevation_m) ? 0 : site->station_elevation_m;
    start = end_almanac(base->start_n, base->start_event, site->lat, TRUE);
    end = end_almanac(base->end_n, base->end_event, site->lat, TRUE);
    end_shift(&start, row, base->start_event, site, elevation_m, assumed);
    end_shift(&end, row, base->end_event, site, elevation_m, assumed);
    /* Die-back follows the shorter days and the frost, not a sum of warmth. */
    if (base->start_event != SPL_EVENT_SENESCENCE)
        end_warm(&start, base->start_n, base->start_needs_dd, assumed, site);
    if (base->end_event != SPL_EVENT_SENESCENCE)
        end_warm(&end, base->end_n, base->end_needs_dd, assumed, site);
    correction_d = 0;
    if (offset->n > 0 || now != NULL) {
        end_correct(&end, offset, now, &correction_d);
        end_correct(&start, offset, now, &correction_d);
    }
    settle(base, &start, &end, today, forecast);
    forecast->elevation_m = elevation_m;
    forecast->elevation_assumed = assumed;
    forecast->offset_d = correction_d;
    forecast->n_sightings = offset->n + (now != NULL);
    if (site->year != NULL && !isnan(start.from_n) && spl_day_is_set(site->year->known_until)) {
        forecast->known_until = site->year->known_until;
        if (site->year->known_until.n >= start.from_n)
            forecast->reached_dd =
                spl_warmth_between(site->year, start.from_n, site->year->known_until.n + 1);
    }
    if (bound(row, sightings, forecast) > 0)
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

static void say_days(GString *note, double days, const char *zero)
{
    int whole = (int)rint(fabs(days));

    if (whole == 0)
        g_string_append(note, zero);
    else
        g_string_append_printf(note, "%d %s %s", whole, whole == 1 ? "day" : "days",
                               days > 0 ? "later" : "earlier");
}

static char *note_of(const struct spl_window_site *site, const struct spl_forecast *forecast)
{
    GString *note = g_string_sized_new(160);
    char day[SPL_DAY_TEXT_SIZE];
    gboolean warm = !isnan(forecast->needs_dd);

    if (forecast->basis == SPL_BASIS_FIXED) {
        g_string_append(note, "the days set in your calendar");
        return g_string_free(note, FALSE);
    }
    if (isnan(forecast->start_shift_d)) {
        g_string_append(note, site->name != NULL
                                  ? "the almanac's own dates, not yet moved to this place"
                                  : "the almanac's own dates for its own place");
    } else if (warm && site->station != NULL) {
        if (spl_day_is_set(forecast->known_until) && !isnan(forecast->reached_dd)) {
            g_autofree char *words = spl_day_words(forecast->known_until);

            g_string_append_printf(note, "by this year's warmth to %s, the usual after it, at %s",
                                   words, site->station);
        } else {
            g_string_append_printf(note, "by the usual warmth at %s", site->station);
        }
        if (!isnan(site->station_km))
            g_string_append_printf(note, ", %.0f km away", site->station_km);
    } else {
        g_string_append(note, "moved by latitude and height: ");
        say_days(note, forecast->start_shift_d, "no change");
    }
    if (forecast->n_sightings > 0) {
        g_string_append(note, "; corrected by ");
        g_string_append_printf(note, "%d %s: ", forecast->n_sightings,
                               forecast->n_sightings == 1 ? "sighting" : "sightings");
        say_days(note, forecast->offset_d, "no change");
    }
    if (spl_day_is_set(forecast->not_before))
        g_string_append_printf(note, "; not yet begun on %s",
                               spl_day_format(spl_day_add(forecast->not_before, -1), day));
    if (spl_day_is_set(forecast->not_after))
        g_string_append_printf(note, "; seen to be over on %s",
                               spl_day_format(forecast->not_after, day));
    if (forecast->elevation_assumed)
        g_string_append_printf(note, "; the site's height is not known, taken as %.0f m",
                               forecast->elevation_m);
    if (forecast->half_year)
        g_string_append(note, "; half a year from the almanac's dates, on the other hemisphere");
    if (forecast->far_ahead)
        g_string_append(note, "; over 45 days ahead: little better than the usual date");
    return g_string_free(note, FALSE);
}

void spl_window_from_forecast(const struct spl_row_season *base, const struct spl_window_site *site,
                              const struct spl_forecast *forecast, struct spl_window *window)
{
    const struct spl_almanac_row *row = base->row;

    *window = (struct spl_window){.site = g_strdup(site->name),
                                  .material = g_strdup(row->material),
                                  .use = g_strdup(row->use),
                                  .flush = row->flush,
                                  .year = base->season,
                                  .earliest = nearest_day(forecast->start_p10_n),
                                  .likely_start = nearest_day(forecast->start_n),
                                  .likely_end = nearest_day(forecast->end_n),
                                  .latest = nearest_day(forecast->end_p90_n),
                                  .stage_from = row->stage_from,
                                  .stage_to = row->stage_to,
                                  .basis = g_strdup(spl_basis_word(forecast->basis)),
                                  .note = note_of(site, forecast),
                                  .every_days = row->every_days,
                                  .row = row};
}

gboolean spl_window_from_almanac(const struct spl_almanac_row *row, const char *site, double lat,
                                 int season, struct spl_window *window)
{
    struct spl_window_site place = {.name = site,
                                    .lat = lat,
                                    .lon = NAN,
                                    .elevation_m = NAN,
                                    .station_km = NAN,
                                    .station_elevation_m = NAN};
    const struct spl_reference reference = {.known = FALSE};
    struct spl_row_season base;
    struct spl_forecast forecast;

    if (!spl_row_season_init(row, season, lat, &reference, &base))
        return FALSE;
    spl_window_forecast_almanac(&base, &place, SPL_DAY_NONE, &forecast);
    spl_window_from_forecast(&base, &place, &forecast, window);
    return TRUE;
}
