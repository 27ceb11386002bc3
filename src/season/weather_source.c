/* SPDX-License-Identifier: MIT
 *
 * The warmth of a place. See season/weather_source.h.
 */
#include "season/weather_source.h"

#include <math.h>

#include "book/weather.h"
#include "core/geodesic.h"
#include "core/weather.h"

/* A season's span: from 15 October before it (15 April in the south), so that 60 days of warmth lie
 * before its first day, to the spring after it. */
#define SPAN_DAYS 530
#define SPAN_LEAD_DAYS 108 /* to the end of January: a gap that begins before is taken as usual */

/* A station's measured days of one span. */
struct span {
    double tmin_c[SPAN_DAYS], tmax_c[SPAN_DAYS];
    int last; /* index after the last measured day; 0: none */
};

struct post {
    struct spl_station *station; /* borrowed from `stations` */
    gboolean asked;              /* normals were looked for */
    gboolean has_normals;
    struct spl_normals normals;
    struct spl_normals_curve curve;
    GHashTable *spans; /* first day of the span -> struct span */
};

struct spl_weather_source {
    struct spl_house *house;
    struct spl_day today;
    int without_year;
    GArray *stations; /* of struct spl_station */
    struct post *posts;
};

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
    }
    return g_steal_pointer(&source);
}

void spl_weather_source_free(struct spl_weather_source *source)
{
    if (source == NULL)
        return;
    for (guint i = 0; source->stations != NULL && i < source->stations->len; i++)
        g_hash_table_unref(source->posts[i].spans);
    g_free(source->posts);
    spl_list_free(&spl_station_shape, source->stations);
    g_free(source);
}

void spl_weather_source_set_today(struct spl_weather_source *source, struct spl_day today)
{
    source->today = today;
}

/* Normals from the station's own days, else those that were imported. */
static gboolean find_normals(struct spl_weather_source *source, struct post *post, GError **error)
{
    g_autoptr(GArray) days = NULL;
    double mean_c[12], range_c[12];
    gboolean south = post->station->lat < 0;

    post->asked = TRUE;
    if (post->station->days >= SPL_NORMALS_MIN_YEARS * 300) {
        struct spl_day from = spl_day_from_ymd(source->without_year, 1, 1);
        struct spl_day to = spl_day_from_ymd(source->without_year, 12, 31);
        struct spl_weather_day *day;
        guint kept = 0;

        days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
        if (!spl_weather_days(source->house->book, post->station->id, SPL_DAY_NONE, SPL_DAY_NONE,
                              days, error))
            return FALSE;
        day = (struct spl_weather_day *)(void *)days->data;
        for (guint i = 0; source->without_year != 0 && i < days->len; i++) {
            if (day[i].day.n < from.n || day[i].day.n > to.n)
                day[kept++] = day[i];
        }
        if (source->without_year != 0)
            g_array_set_size(days, kept);
        post->has_normals =
            spl_normals_from_days((const struct spl_weather_day *)(const void *)days->data,
                                  days->len, SPL_NORMALS_MIN_YEARS, &post->normals);
    }
    if (!post->has_normals && post->station->normals) {
        if (!spl_weather_normals(source->house->book, post->station->id, &post->has_normals, mean_c,
                                 range_c, error))
            return FALSE;
        spl_normals_from_means(mean_c, south, &post->normals);
        for (int m = 0; m < 12; m++) {
            if (!isnan(range_c[m]))
                post->normals.range_c[m] = range_c[m];
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
    span->last = 0;
    for (int i = 0; i < SPAN_DAYS; i++)
        span->tmin_c[i] = span->tmax_c[i] = NAN;
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
        int at = spl_day_diff(day->day, first);

        span->tmin_c[at] = day->tmin_c;
        span->tmax_c[at] = day->tmax_c;
        span->last = at + 1;
    }
    g_hash_table_insert(post->spans, GINT_TO_POINTER(first.n), span);
    return span;
}

gboolean spl_weather_source_warmth(struct spl_weather_source *source,
                                   const struct spl_station *station, double lat,
                                   double elevation_m, int season, struct spl_site_warmth *warmth,
                                   GError **error)
{
    struct post *post = post_of(source, station);
    struct spl_day first =
        lat < 0 ? spl_day_from_ymd(season, 4, 15) : spl_day_from_ymd(season - 1, 10, 15);
    struct span *span = span_of(source, post, first, error);
    double offset_c = 0;
    int n;

    if (span == NULL)
        return FALSE;
    if (!isnan(elevation_m) && !isnan(station->elevation_m))
        offset_c = (station->elevation_m - elevation_m) * SPL_LAPSE_K_PER_M;
    spl_warmth_init_normals(&warmth->usual, first, SPAN_DAYS, &post->curve, offset_c);
    n = CLAMP(spl_day_diff(source->today, first) + 1, 0, span->last);
    n = spl_weather_usable(span->tmin_c, span->tmax_c, n, SPAN_LEAD_DAYS);
    warmth->has_year = n > 0;
    warmth->year = warmth->usual;
    if (warmth->has_year) {
        warmth->year.sum_dd = g_memdup2(warmth->usual.sum_dd, (SPAN_DAYS + 1) * sizeof(double));
        spl_warmth_add_weather(&warmth->year, span->tmin_c, span->tmax_c, n, offset_c);
    }
    return TRUE;
}

void spl_site_warmth_clear(struct spl_site_warmth *warmth)
{
    if (warmth->has_year)
        spl_warmth_clear(&warmth->year);
    spl_warmth_clear(&warmth->usual);
}
