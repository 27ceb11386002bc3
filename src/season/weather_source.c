/* SPDX-License-Identifier: MIT
 *
 * The warmth of a place. See season/weather_source.h.
 */
#include "season/weather_source.h"

#include <math.h>

#include "book/weather.h"
#include "core/geodesic.h"

/* A season's span: from 15 October before it (15 April in the south), so that 60 days of warmth lie
 * before its first day, to the spring after it. */
#define SPAN_DAYS 530
#define YEAR_MEASURED 330 /* days of another year, for it to count */
#define MOST_YEARS 40
#define YEARS_STEP_K 2        /* they are kept for every so many kelvin of difference in height */
#define FORECAST_DAYS 7       /* ahead: farther, a forecast of the weather says little */
#define FORECAST_FRESH_DAYS 3 /* an older one is of no use */

/* A station's measured days of one span. */
struct span {
    double tmin_c[SPAN_DAYS], tmax_c[SPAN_DAYS];
    int last;     /* index after the last measured day; 0: none */
    int foretold; /* index after the last day that is foretold; 0: none */
};

static struct spl_day span_first(int season, double lat)
{
    return lat < 0 ? spl_day_from_ymd(season, 4, 15) : spl_day_from_ymd(season - 1, 10, 15);
}

struct post {
    struct spl_station *station; /* borrowed from `stations` */
    gboolean asked;              /* normals were looked for */
    gboolean has_normals;
    gboolean has_range; /* minima and maxima are known, not means alone */
    struct spl_normals normals;
    struct spl_normals_curve curve;
    GHashTable *spans; /* first day of the span -> struct span */
    GArray *days;      /* of struct spl_weather_day: all of them; NULL: not read yet */
    GHashTable *years; /* first day and warmer by so many K -> struct spl_warmth_years */
};

struct spl_weather_source {
    struct spl_house *house;
    struct spl_day today;
    int without_year;
    GArray *stations; /* of struct spl_station */
    struct post *posts;
};

static void years_free(gpointer years)
{
    spl_warmth_years_clear(years);
    g_free(years);
}

struct spl_weather_source *spl_weather_source_new(struct spl_house *house, struct spl_day today,
                                                  int without_year, GError **error)
{
    g_autoptr(spl_weather_source) source = g_new0(struct spl_weather_source, 1);

    source->house = house;
    source->today = today;
    source->without_year = without_year;
    source->stations = spl_station_all(house->book, error);
    if (source->stations == NULL)
        return NULL;
    source->posts = g_new0(struct post, source->stations->len + 1);
    for (guint i = 0; i < source->stations->len; i++) {
        source->posts[i].station = &g_array_index(source->stations, struct spl_station, i);
        source->posts[i].spans = g_hash_table_new_full(NULL, NULL, NULL, g_free);
        source->posts[i].years = g_hash_table_new_full(NULL, NULL, NULL, years_free);
    }
    return g_steal_pointer(&source);
}

void spl_weather_source_free(struct spl_weather_source *source)
{
    if (source == NULL)
        return;
    for (guint i = 0; source->stations != NULL && i < source->stations->len; i++) {
        g_hash_table_unref(source->posts[i].spans);
        g_hash_table_unref(source->posts[i].years);
        g_clear_pointer(&source->posts[i].days, g_array_unref);
    }
    g_free(source->posts);
    spl_list_free(&spl_station_shape, source->stations);
    g_free(source);
}

void spl_weather_source_set_today(struct spl_weather_source *source, struct spl_day today)
{
    source->today = today;
}

/* All days of the station but those of the growing year that is left out, from the October before
 * it (the April, in the south). */
static gboolean read_days(struct spl_weather_source *source, struct post *post, GError **error)
{
    int out = source->without_year;
    struct spl_day from = span_first(out, post->station->lat), begin, to;
    struct spl_weather_day *day;
    guint kept = 0;

    if (post->days != NULL)
        return TRUE;
    post->days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    if (!spl_weather_days(source->house->book, post->station->id, SPL_DAY_NONE, SPL_DAY_NONE,
                          post->days, error))
        return FALSE;
    if (out == 0)
        return TRUE;
    spl_day_season_bounds(out, post->station->lat, &begin, &to);
    day = (struct spl_weather_day *)(void *)post->days->data;
    for (guint i = 0; i < post->days->len; i++) {
        if (day[i].day.n < from.n || day[i].day.n > to.n)
            day[kept++] = day[i];
    }
    g_array_set_size(post->days, kept);
    return TRUE;
}

/* Normals from the station's own days, else those that were imported. */
static gboolean find_normals(struct spl_weather_source *source, struct post *post, GError **error)
{
    double mean_c[12], range_c[12];
    gboolean south = post->station->lat < 0;

    post->asked = TRUE;
    if (post->station->days >= SPL_NORMALS_MIN_YEARS * 300) {
        if (!read_days(source, post, error))
            return FALSE;
        post->has_normals =
            spl_normals_from_days((const struct spl_weather_day *)(const void *)post->days->data,
                                  post->days->len, SPL_NORMALS_MIN_YEARS, &post->normals);
        post->has_range = post->has_normals;
    }
    if (!post->has_normals && post->station->normals) {
        if (!spl_weather_normals(source->house->book, post->station->id, &post->has_normals, mean_c,
                                 range_c, error))
            return FALSE;
        spl_normals_from_means(mean_c, south, &post->normals);
        for (int m = 0; m < 12; m++) {
            if (!isnan(range_c[m])) {
                post->normals.range_c[m] = range_c[m];
                post->has_range = TRUE;
            }
        }
    }
    if (post->has_normals)
        spl_normals_to_curve(&post->normals, &post->curve);
    return TRUE;
}

const struct spl_station *spl_weather_source_station(struct spl_weather_source *source, double lat,
                                                     double lon, double *km, GError **error)
{
    const struct spl_station *best = NULL;
    double least = SPL_STATION_FARTHEST_KM * 1000;

    for (guint i = 0; i < source->stations->len; i++) {
        struct post *post = &source->posts[i];
        const struct spl_station *one = post->station;
        double metres;

        /* The other hemisphere has other seasons; a degree of latitude is at least 110 km. */
        if (isnan(one->lat) || (one->lat < 0) != (lat < 0) || fabs(one->lat - lat) * 110000 > least)
            continue;
        metres = spl_geodesic_inverse((struct spl_position){.lat = lat, .lon = lon},
                                      (struct spl_position){.lat = one->lat, .lon = one->lon}, NULL,
                                      NULL);
        if (!(metres < least))
            continue;
        if (!post->asked && !find_normals(source, post, error))
            return NULL;
        if (!post->has_normals)
            continue;
        least = metres;
        best = one;
    }
    *km = least / 1000;
    return best;
}

static struct post *post_of(struct spl_weather_source *source, const struct spl_station *station)
{
    return &source
                ->posts[station - (const struct spl_station *)(const void *)source->stations->data];
}

const struct spl_normals *spl_weather_source_normals(struct spl_weather_source *source,
                                                     const struct spl_station *station)
{
    return &post_of(source, station)->normals;
}

/* The next days as they are foretold, where nothing is measured: only today's forecast of today. */
static gboolean add_forecast(struct spl_weather_source *source, const struct post *post,
                             struct spl_day first, struct span *span, GError **error)
{
    g_autoptr(GArray) days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));

    if (!spl_weather_forecast(source->house->book, post->station->id, first, source->house->today,
                              FORECAST_FRESH_DAYS, days, error))
        return FALSE;
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
        int at = spl_day_diff(day->day, first);

        if (at >= SPAN_DAYS || at < span->last ||
            spl_day_diff(day->day, source->house->today) > FORECAST_DAYS)
            continue;
        span->tmin_c[at] = day->tmin_c;
        span->tmax_c[at] = day->tmax_c;
        span->foretold = at + 1;
    }
    return TRUE;
}

static struct span *span_of(struct spl_weather_source *source, struct post *post,
                            struct spl_day first, GError **error)
{
    struct span *span = g_hash_table_lookup(post->spans, GINT_TO_POINTER(first.n));
    g_autoptr(GArray) days = NULL;

    if (span != NULL)
        return span;
    days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    if (!spl_weather_days(source->house->book, post->station->id, first,
                          spl_day_add(first, SPAN_DAYS - 1), days, error))
        return NULL;
    span = g_new(struct span, 1);
    span->last = span->foretold = 0;
    for (int i = 0; i < SPAN_DAYS; i++)
        span->tmin_c[i] = span->tmax_c[i] = NAN;
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
        int at = spl_day_diff(day->day, first);

        span->tmin_c[at] = day->tmin_c;
        span->tmax_c[at] = day->tmax_c;
        span->last = at + 1;
    }
    if (!add_forecast(source, post, first, span, error)) {
        g_free(span);
        return NULL;
    }
    g_hash_table_insert(post->spans, GINT_TO_POINTER(first.n), span);
    return span;
}

/* The year that begins like the span `first`, so many years away. */
static struct spl_day like(struct spl_day first, int years)
{
    int year, month, dom;

    spl_day_to_ymd(first, &year, &month, &dom);
    return spl_day_from_ymd(year + years, month, dom);
}

/* The days of another year put on the span's; FALSE: too few of its own year were measured. */
static gboolean take_year(const struct post *post, struct spl_day first, double *tmin_c,
                          double *tmax_c)
{
    const struct spl_weather_day *day =
        (const struct spl_weather_day *)(const void *)post->days->data;
    guint low = 0, high = post->days->len;
    int measured = 0;

    for (int i = 0; i < SPAN_DAYS; i++)
        tmin_c[i] = tmax_c[i] = NAN;
    while (low < high) {
        guint middle = low + (high - low) / 2;

        if (day[middle].day.n < first.n)
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < post->days->len && day[low].day.n < first.n + SPAN_DAYS; low++) {
        int at = day[low].day.n - first.n;

        tmin_c[at] = day[low].tmin_c;
        tmax_c[at] = day[low].tmax_c;
        measured += at < 365;
    }
    return measured >= YEAR_MEASURED;
}

/* The station's other years over the span, warmer by about `offset_c`; NULL: too few. */
static const struct spl_warmth_years *years_of(struct post *post, struct spl_day first,
                                               double offset_c)
{
    int warmer = (int)rint(offset_c / YEARS_STEP_K) * YEARS_STEP_K;
    gpointer key = GINT_TO_POINTER(first.n * 100 + warmer + 50);
    struct spl_warmth_years *years = g_hash_table_lookup(post->years, key);
    double tmin_c[SPAN_DAYS], tmax_c[SPAN_DAYS];

    if (years == NULL && post->days != NULL && post->days->len > 0) {
        const struct spl_weather_day *day =
            (const struct spl_weather_day *)(const void *)post->days->data;
        struct spl_warmth usual;
        int from, to, own, season_first;

        spl_day_to_ymd(day[0].day, &from, NULL, NULL);
        spl_day_to_ymd(day[post->days->len - 1].day, &to, NULL, NULL);
        spl_day_to_ymd(first, &own, NULL, NULL);
        years = g_new(struct spl_warmth_years, 1);
        spl_warmth_init_normals(&usual, first, SPAN_DAYS, &post->curve, warmer);
        spl_warmth_years_init(years, &usual);
        spl_warmth_clear(&usual);
        for (season_first = from - 1; season_first <= to; season_first++) {
            if (season_first != own && years->n < MOST_YEARS &&
                take_year(post, like(first, season_first - own), tmin_c, tmax_c))
                spl_warmth_years_add(years, tmin_c, tmax_c, warmer);
        }
        g_hash_table_insert(post->years, key, years);
    }
    return years != NULL && years->n >= SPL_WARMTH_YEARS_MIN ? years : NULL;
}

gboolean spl_weather_source_warmth(struct spl_weather_source *source,
                                   const struct spl_station *station, double lat,
                                   double elevation_m, int season, struct spl_site_warmth *warmth,
                                   GError **error)
{
    struct post *post = post_of(source, station);
    struct spl_day first = span_first(season, lat);
    struct span *span = span_of(source, post, first, error);
    struct spl_normals there;
    double offset_c = 0;
    int n;

    if (span == NULL)
        return FALSE;
    if (!isnan(elevation_m) && !isnan(station->elevation_m))
        offset_c = (station->elevation_m - elevation_m) * SPL_LAPSE_K_PER_M;
    there = post->normals;
    for (int m = 0; m < 12; m++)
        there.mean_c[m] = warmth->mean_c[m] = post->normals.mean_c[m] + offset_c;
    if (post->has_range)
        spl_frost_of_normals(&there, lat < 0, &warmth->frost);
    else
        spl_frost_guess(there.mean_c, lat < 0, &warmth->frost);
    spl_warmth_init_normals(&warmth->usual, first, SPAN_DAYS, &post->curve, offset_c);
    n = CLAMP(spl_day_diff(source->today, first) + 1, 0, span->last);
    /* A past day is foretold again without what was foretold of its next days: that is not kept. */
    warmth->foretold =
        spl_day_compare(source->today, source->house->today) == 0 && span->foretold > n;
    if (warmth->foretold)
        n = span->foretold;
    warmth->has_year = n > 0;
    warmth->year = warmth->usual;
    if (warmth->has_year) {
        warmth->year.sum_dd = g_memdup2(warmth->usual.sum_dd, (SPAN_DAYS + 1) * sizeof(double));
        spl_warmth_add_weather(&warmth->year, span->tmin_c, span->tmax_c, n, offset_c);
    }
    warmth->years = years_of(post, first, offset_c);
    return TRUE;
}

void spl_site_warmth_clear(struct spl_site_warmth *warmth)
{
    if (warmth->has_year)
        spl_warmth_clear(&warmth->year);
    spl_warmth_clear(&warmth->usual);
}
