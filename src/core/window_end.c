/* SPDX-License-Identifier: MIT
 *
 * One end of a window. See core/window_end.h.
 */
#include "core/window_end.h"

#include <math.h>

#include "core/degree_day.h"

#define MODEL_SD_D SPL_SIGHTING_SIGMA_WEATHER_D
#define UNMOVED_SD_D 10.5
#define UNDATED_SD_D 5.0
#define HALF_YEAR_SD_D 12.0
#define SHIFT_SHARE 0.25
#define UNKNOWN_HEIGHT_M 150.0
#define HEIGHT_D_PER_100_M 3.4
#define STATION_D_PER_KM 0.05
#define STATION_D_PER_M 0.0045
#define EARLY_DAY 60  /* 1 March */
#define SPRING_DAY 91 /* 1 April */
#define EARLY_SHARE 0.5
#define EARLY_SD_SHARE 0.85
#define LEAST_DD 1.0 /* degree-days a day; less says nothing of days */

static double square(double x)
{
    return x * x;
}

double spl_window_northern_day(double n, double lat)
{
    struct spl_day day = {(gint32)rint(n)};

    return spl_day_of_year(lat < 0 ? spl_day_add(day, 182) : day);
}

int spl_window_northern_month(double n, double lat)
{
    int month;

    spl_day_to_ymd((struct spl_day){(gint32)rint(n)}, NULL, &month, NULL);
    return lat < 0 ? (month + 5) % 12 + 1 : month;
}

/* Between-years standard deviation of an event on a day. */
static double year_sd(enum spl_event event, double n, double lat)
{
    static const double month_sd[12] = {14, 14, 12, 8.5, 7.5, 6, 6, 8, 8, 8, 8, 14};

    if (event == SPL_EVENT_SENESCENCE)
        return 9;
    if (event == SPL_EVENT_RIPENING)
        return 8;
    return month_sd[spl_window_northern_month(n, lat) - 1];
}

void spl_window_end_init(struct spl_window_end *end, double n, enum spl_event event, double lat,
                         gboolean has_site, gboolean undated)
{
    *end = (struct spl_window_end){.n = n,
                                   .usual_n = n,
                                   .shift_d = NAN,
                                   .needs_dd = NAN,
                                   .from_n = NAN,
                                   .basis = SPL_BASIS_ALMANAC};
    end->lasting_sd = year_sd(event, n, lat);
    end->year_variance = square(end->lasting_sd);
    end->undated_variance = undated ? square(UNDATED_SD_D) : 0;
    end->place_variance = (has_site ? square(UNMOVED_SD_D) : 0) + end->undated_variance;
}

/* What is not known of a place's height. */
static double height_variance(gboolean assumed)
{
    return assumed ? square(HEIGHT_D_PER_100_M * UNKNOWN_HEIGHT_M / 100) : 0;
}

void spl_window_end_shift(struct spl_window_end *end, const struct spl_row_season *base,
                          enum spl_event event, const struct spl_window_site *site,
                          double elevation_m, gboolean assumed)
{
    const struct spl_almanac_row *row = base->row;
    /* An almanac that is silent about its height is taken to lie as high as the site. */
    struct spl_shift_place from = {row->lat, row->lon,
                                   isnan(row->elevation_m) ? elevation_m : row->elevation_m,
                                   base->autumn_c};
    struct spl_shift_place to = {
        site->lat, site->lon, elevation_m,
        site->mean_c == NULL ? NAN : spl_shift_autumn_c(site->mean_c, site->lat < 0)};

    /* Half a year off is all that is known of the other hemisphere: its middle latitudes are cooler
     * than ours, so that a latitude there is no measure here. */
    if (base->half_year)
        from.lat = to.lat;
    end->shift_d = spl_shift_event_days(event, &from, &to);
    end->n += end->shift_d;
    end->usual_n = end->n;
    end->place_variance = square(SPL_SIGHTING_TAU_D) + square(SHIFT_SHARE * end->shift_d) +
                          square(site->reach_sd_d) +
                          height_variance(assumed || isnan(row->elevation_m)) +
                          end->undated_variance + (base->half_year ? square(HALF_YEAR_SD_D) : 0);
    end->lasting_sd = year_sd(event, end->n, site->lat);
    end->year_variance = square(end->lasting_sd);
    end->basis = SPL_BASIS_SHIFTED;
}

/* How much of a warmth sum's word counts for an event on that day. */
static double warm_share(double n, double lat)
{
    double day = spl_window_northern_day(n, lat);

    if (day > 334) /* December */
        return EARLY_SHARE;
    return EARLY_SHARE +
           (1 - EARLY_SHARE) * CLAMP((day - EARLY_DAY) / (SPRING_DAY - EARLY_DAY), 0.0, 1.0);
}

/* How the rest of the way came out in the station's other years, from what is reached by `known_n`;
 * days without a measurement before it are as open as days to come. */
static void run_years(const struct spl_window_end *end, double known_n,
                      const struct spl_window_site *site, struct spl_warmth_ensemble *ensemble)
{
    double from_n = MAX(known_n, end->from_n), need_dd = end->needs_dd;

    *ensemble = (struct spl_warmth_ensemble){NAN, NAN};
    if (site->years == NULL)
        return;
    if (site->year != NULL && from_n > end->from_n) {
        need_dd -= spl_warmth_between(site->year, end->from_n, from_n);
        from_n -= spl_warmth_unknown(site->year, end->from_n);
        need_dd += spl_warmth_between(site->usual, from_n, MAX(known_n, end->from_n));
    }
    spl_warmth_run(site->years, site->usual, from_n, need_dd, ensemble);
}

static void know_the_year(struct spl_window_end *end, double share,
                          const struct spl_window_site *site)
{
    gboolean weather = site->year != NULL && spl_day_is_set(site->year->known_until) &&
                       site->year->known_until.n >= end->from_n;
    double known_n = weather ? site->year->known_until.n + 1 : end->from_n;
    struct spl_warmth_ensemble ensemble;
    double lead;

    run_years(end, known_n, site, &ensemble);
    if (weather)
        end->basis = SPL_BASIS_WEATHER;
    end->model_variance = square(MODEL_SD_D);
    if (!isnan(ensemble.sd_d)) {
        end->year_variance = end->model_variance + square(ensemble.sd_d);
        /* The sum's usual days say the middle of warmths; the years say the middle of days. */
        if (weather && !isnan(ensemble.mean_n))
            end->n += share * (ensemble.mean_n - end->n);
    } else if (weather) {
        lead = CLAMP((end->n - (known_n - 1) + spl_warmth_unknown(site->year, end->from_n)) /
                         SPL_WINDOW_MEMORY_DAYS,
                     0.0, 1.0);
        end->year_variance =
            end->model_variance + (square(end->lasting_sd) - end->model_variance) * lead;
    }
    if (share < 1)
        end->year_variance = MAX(end->year_variance, square(EARLY_SD_SHARE * end->lasting_sd) *
                                                         (1 - share) / (1 - EARLY_SHARE));
}

void spl_window_end_warm(struct spl_window_end *end, double from_n, double needs_dd,
                         double elevation_m, gboolean assumed, const struct spl_window_site *site)
{
    double usual_n, share, apart_m;

    if (site->usual == NULL || (isnan(needs_dd) && site->year == NULL))
        return;
    if (isnan(needs_dd))
        needs_dd = end->n > from_n ? spl_warmth_between(site->usual, from_n, end->n) : NAN;
    if (isnan(needs_dd) || needs_dd <= 0)
        return;
    usual_n = spl_warmth_reach(site->usual, from_n, needs_dd);
    if (isnan(usual_n))
        return;
    share = warm_share(usual_n, site->lat);
    end->n = end->usual_n = usual_n;
    if (site->year != NULL) {
        double n = spl_warmth_reach(site->year, from_n, needs_dd);

        if (isnan(n))
            return;
        end->n += share * (n - usual_n);
    }
    end->needs_dd = needs_dd;
    end->from_n = from_n;
    end->basis = SPL_BASIS_NORMALS;
    apart_m = isnan(site->station_elevation_m) ? 0 : elevation_m - site->station_elevation_m;
    end->place_variance =
        square(SPL_SIGHTING_TAU_D) + height_variance(assumed) + square(site->reach_sd_d) +
        end->undated_variance + square(STATION_D_PER_M * apart_m) +
        (isnan(site->station_km) ? 0 : square(STATION_D_PER_KM * site->station_km));
    know_the_year(end, share, site);
}

double spl_window_end_correct(struct spl_window_end *end, const struct spl_sighting_offset *offset,
                              const struct spl_sighting *now, const struct spl_year_effect *year,
                              double *year_d)
{
    double correction = offset->mean_d;

    *year_d = 0;
    if (offset->n > 0) {
        end->place_variance = square(offset->sd_d);
        end->year_variance += (square(offset->scale) - 1) * end->model_variance;
    }
    if (year != NULL && year->n > 0) {
        *year_d = year->mean_z * sqrt(end->year_variance);
        end->year_variance *= year->variance_z;
        correction += *year_d;
    }
    if (now != NULL) {
        /* This year's sighting tells of the place and the year together. */
        double both = end->place_variance + end->year_variance;
        double gain = both / (both + square(SPL_SIGHTING_SEEN_SD_D) + square(now->blur_d));
        double more = gain * (now->residual_d - correction);

        correction += more;
        *year_d += more;
        end->n += correction;
        end->place_variance = (1 - gain) * both;
        end->year_variance =
            square(end->lasting_sd) * MIN(1, fabs(end->n - now->on.n) / SPL_WINDOW_MEMORY_DAYS);
    } else {
        end->n += correction;
    }
    end->basis = SPL_BASIS_OBSERVED;
    return correction;
}

double spl_window_end_sd(const struct spl_window_end *end)
{
    return sqrt(end->place_variance + end->year_variance);
}
