/* SPDX-License-Identifier: MIT
 *
 * Cleaning daily temperatures. See core/weather.h.
 */
#include "core/weather.h"

#include <math.h>
#include <stdlib.h>

#define BUCKET_DAYS 5
#define BUCKETS (SPL_NORMALS_DAYS / BUCKET_DAYS)
#define WINDOW_BUCKETS 3 /* on either side: 35 days in all */
#define WINDOW_MIN 60    /* values, to judge one of them */
#define SD_FLOOR_K 1.0
#define MONTH_DAYS 28
#define WARM_NIGHT_C 30.0
#define WIDE_DAY_K 22.0
#define WINTER_DAYS 20
#define WINTER_LAT 35.0
#define WINTER_C 18.0
#define MAD_TO_SD 1.4826 /* for a normal distribution */

static const struct spl_field left_fields[] = {
    SPL_FIELD(spl_weather_left, day, SPL_DAY, "day", "day"),
    SPL_FIELD_NUM(spl_weather_left, tmin_c, 1, "tmin_c", "min C"),
    SPL_FIELD_NUM(spl_weather_left, tmax_c, 1, "tmax_c", "max C"),
    SPL_FIELD(spl_weather_left, why, SPL_TEXT, "why", "why left out"),
};
const struct spl_shape spl_weather_left_shape =
    SPL_SHAPE("weather_left", spl_weather_left, left_fields);

static const struct spl_field gap_fields[] = {
    SPL_FIELD(spl_weather_gap, first, SPL_DAY, "first", "from"),
    SPL_FIELD(spl_weather_gap, last, SPL_DAY, "last", "to"),
    SPL_FIELD(spl_weather_gap, days, SPL_INT, "days", "days"),
};
const struct spl_shape spl_weather_gap_shape =
    SPL_SHAPE("weather_gap", spl_weather_gap, gap_fields);

/* Sorting by day that keeps the order of equal days: the position is carried along. */
struct placed {
    struct spl_weather_day day;
    guint place;
};

static int by_day(const void *a, const void *b)
{
    const struct placed *x = a, *y = b;

    if (x->day.day.n != y->day.day.n)
        return x->day.day.n < y->day.day.n ? -1 : 1;
    return x->place < y->place ? -1 : 1;
}

static void sort_days(GArray *days)
{
    struct spl_weather_day *day = (struct spl_weather_day *)(void *)days->data;
    struct placed *placed;
    gboolean sorted = TRUE;

    for (guint i = 1; i < days->len && sorted; i++)
        sorted = day[i - 1].day.n <= day[i].day.n;
    if (sorted)
        return;
    placed = g_new(struct placed, days->len);
    for (guint i = 0; i < days->len; i++)
        placed[i] = (struct placed){day[i], i};
    qsort(placed, days->len, sizeof *placed, by_day);
    for (guint i = 0; i < days->len; i++)
        day[i] = placed[i].day;
    g_free(placed);
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double median(GArray *x)
{
    const double *value = (const double *)(const void *)x->data;
    guint half = x->len / 2;

    qsort(x->data, x->len, sizeof(double), by_size);
    return x->len % 2 == 1 ? value[half] : (value[half - 1] + value[half]) / 2;
}

/* The middle and the robust spread of each bucket's 35 days. */
struct usual {
    double middle, sd; /* sd INFINITY: too few values */
};

static void usual_of(GPtrArray *buckets, struct usual usual[BUCKETS])
{
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(double));

    for (int b = 0; b < BUCKETS; b++) {
        double *value;

        g_array_set_size(all, 0);
        for (int near = b - WINDOW_BUCKETS; near <= b + WINDOW_BUCKETS; near++) {
            const GArray *bucket = g_ptr_array_index(buckets, (guint)((near + BUCKETS) % BUCKETS));

            g_array_append_vals(all, bucket->data, bucket->len);
        }
        usual[b] = (struct usual){0, INFINITY};
        if (all->len < WINDOW_MIN)
            continue;
        usual[b].middle = median(all);
        value = (double *)(void *)all->data;
        for (guint i = 0; i < all->len; i++)
            value[i] = fabs(value[i] - usual[b].middle);
        usual[b].sd = MAX(median(all) * MAD_TO_SD, SD_FLOOR_K);
    }
}

static void free_bucket(gpointer bucket)
{
    g_array_unref(bucket);
}

static void judge(const GArray *days, gboolean maxima, struct usual usual[BUCKETS])
{
    g_autoptr(GPtrArray) buckets = g_ptr_array_new_with_free_func(free_bucket);

    for (int b = 0; b < BUCKETS; b++)
        g_ptr_array_add(buckets, g_array_new(FALSE, FALSE, sizeof(double)));
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
        GArray *bucket =
            g_ptr_array_index(buckets, (guint)(spl_normals_index(day->day) / BUCKET_DAYS));
        double value = maxima ? day->tmax_c : day->tmin_c;

        g_array_append_val(bucket, value);
    }
    usual_of(buckets, usual);
}

static gboolean off_record(const struct spl_weather_day *day)
{
    return day->tmax_c > SPL_WEATHER_HOTTEST_C || day->tmin_c < SPL_WEATHER_COLDEST_C;
}

/* Keeps the days for which `why` is NULL. */
static void sift(GArray *days, GArray *left,
                 const char *(*why_of)(const GArray *days, guint i, gpointer data), gpointer data)
{
    g_autoptr(GArray) kept = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));

    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
        const char *why = why_of(days, i, data);
        struct spl_weather_left one;

        if (why == NULL) {
            g_array_append_vals(kept, day, 1);
            continue;
        }
        one = (struct spl_weather_left){day->day, day->tmin_c, day->tmax_c, g_strdup(why)};
        g_array_append_val(left, one);
    }
    g_array_set_size(days, 0);
    g_array_append_vals(days, kept->data, kept->len);
}

static const char *plainly_wrong(const GArray *days, guint i, gpointer data)
{
    const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);

    (void)data;
    if (i > 0 && g_array_index(days, struct spl_weather_day, i - 1).day.n == day->day.n)
        return "the day comes twice; the first one stays";
    if (day->tmin_c > day->tmax_c)
        return "the minimum is above the maximum";
    if (off_record(day))
        return "no place on earth has measured this";
    return NULL;
}

struct both {
    struct usual low[BUCKETS], high[BUCKETS];
};

static const char *far_off(const GArray *days, guint i, gpointer data)
{
    const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
    const struct both *both = data;
    int b = spl_normals_index(day->day) / BUCKET_DAYS;

    if (fabs(day->tmin_c - both->low[b].middle) > SPL_WEATHER_ROBUST_SD * both->low[b].sd)
        return "the minimum is more than 5 robust standard deviations from the usual";
    if (fabs(day->tmax_c - both->high[b].middle) > SPL_WEATHER_ROBUST_SD * both->high[b].sd)
        return "the maximum is more than 5 robust standard deviations from the usual";
    return NULL;
}

void spl_weather_clean(GArray *days, GArray *left)
{
    struct both *both = g_new(struct both, 1);

    sort_days(days);
    sift(days, left, plainly_wrong, NULL);
    judge(days, FALSE, both->low);
    judge(days, TRUE, both->high);
    sift(days, left, far_off, both);
    g_free(both);
}

GArray *spl_weather_gaps(const GArray *days)
{
    GArray *gaps = spl_list_new(&spl_weather_gap_shape);

    for (guint i = 1; i < days->len; i++) {
        struct spl_day before = g_array_index(days, struct spl_weather_day, i - 1).day;
        struct spl_day after = g_array_index(days, struct spl_weather_day, i).day;
        int missing = spl_day_diff(after, before) - 1;
        struct spl_weather_gap gap = {spl_day_add(before, 1), spl_day_add(after, -1), missing};

        if (missing > 0)
            g_array_append_val(gaps, gap);
    }
    return gaps;
}

const char *spl_weather_suspect_unit(const GArray *days, gboolean scaled)
{
    g_autoptr(GArray) low = g_array_new(FALSE, FALSE, sizeof(double));
    guint off = 0;
    double warmest = -INFINITY, swing = 0;

    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);

        off += off_record(day) || day->tmin_c > SPL_WEATHER_HOTTEST_C;
        warmest = MAX(warmest, day->tmax_c);
        swing += day->tmax_c - day->tmin_c;
        g_array_append_val(low, day->tmin_c);
    }
    if (off * 100 > days->len)
        return "values over 60 look like degrees Fahrenheit or tenths";
    if (!scaled && days->len >= MONTH_DAYS && median(low) > WARM_NIGHT_C)
        return "nights above 30 look like degrees Fahrenheit";
    if (!scaled && days->len >= MONTH_DAYS && swing / days->len > WIDE_DAY_K)
        return "days that swing by more than 22 look like degrees Fahrenheit";
    if (scaled && days->len >= 180 && warmest < 8)
        return "no day reaches 8 C after conversion";
    return NULL;
}

gboolean spl_weather_winter_too_warm(const GArray *days, double lat)
{
    double sum = 0;
    int n = 0;

    if (isnan(lat) || fabs(lat) < WINTER_LAT)
        return FALSE;
    for (guint i = 0; i < days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(days, struct spl_weather_day, i);
        int month;

        spl_day_to_ymd(day->day, NULL, &month, NULL);
        if (lat < 0 ? month >= 6 && month <= 8 : month == 12 || month <= 2) {
            sum += (day->tmin_c + day->tmax_c) / 2;
            n++;
        }
    }
    return n >= WINTER_DAYS && sum / n > WINTER_C;
}
