/* SPDX-License-Identifier: MIT
 *
 * Days from hours. See exchange/weather_hours.h.
 */
#include "exchange/weather_hours.h"

#include <math.h>
#include <string.h>

#include "simpling/day.h"

#define MOST_MISSING 2 /* hours in succession */
#define DEGREES_PER_H 15.0
#define HOURS 24

static const char *const time_names[] = {"timestamp", "time", "datetime"};
static const char *const degree_names[] = {"temperature", "temperature_2m", "air_temperature"};

struct day {
    double low, high; /* NAN: none */
    guint32 heard;    /* a bit an hour */
    gboolean whole;   /* extremes of the day itself, not of its hours */
};

struct days {
    GTree *by_number; /* day number -> struct day, in order */
    double lat, lon, elevation_m;
    gboolean fahrenheit;
};

static int compare_days(gconstpointer a, gconstpointer b, gpointer data)
{
    (void)data;
    return GPOINTER_TO_INT(a) - GPOINTER_TO_INT(b);
}

static struct day *day_of(struct days *days, int number)
{
    struct day *day = g_tree_lookup(days->by_number, GINT_TO_POINTER(number));

    if (day == NULL) {
        day = g_new(struct day, 1);
        *day = (struct day){.low = NAN, .high = NAN};
        g_tree_insert(days->by_number, GINT_TO_POINTER(number), day);
    }
    return day;
}

static double number_of(const json_t *object, const char *name)
{
    const json_t *value = json_object_get(object, name);

    return json_is_number(value) ? json_number_value(value) : NAN;
}

static const json_t *first_of(const json_t *object, const char *const *names, gsize n)
{
    const json_t *value = NULL;

    for (gsize i = 0; value == NULL && i < n; i++)
        value = json_object_get(object, names[i]);
    return value;
}

/* ---- when ---------------------------------------------------------------------------------- */

/* "2027-05-04T06:00", with seconds and an offset or without; FALSE: it is no such time. */
static gboolean read_time(const char *text, int *day, int *hour, gboolean *utc)
{
    const char *colon = text == NULL ? NULL : strchr(text, ':');
    g_autofree char *date = NULL;
    struct spl_day parsed;

    if (colon == NULL || strlen(text) < strlen("2027-05-04T06:00") ||
        (text[10] != 'T' && text[10] != ' ') || colon != text + 13 || !g_ascii_isdigit(text[11]) ||
        !g_ascii_isdigit(text[12]))
        return FALSE;
    date = g_strndup(text, 10);
    if (!spl_day_parse(date, "time", &parsed, NULL))
        return FALSE;
    *day = parsed.n;
    *hour = (text[11] - '0') * 10 + text[12] - '0';
    *utc = g_str_has_suffix(text, "Z") || g_str_has_suffix(text, "+00:00");
    return *hour < HOURS;
}

static void add_hour(struct days *days, const json_t *time, const json_t *degrees, gboolean all_utc)
{
    int number, hour;
    gboolean utc;
    struct day *day;

    if (!json_is_number(degrees) || !read_time(json_string_value(time), &number, &hour, &utc))
        return;
    if ((utc || all_utc) && fabs(days->lon) <= 180) {
        hour += (int)lround(days->lon / DEGREES_PER_H);
        number += hour < 0 ? -1 : hour >= HOURS ? 1 : 0;
        hour = (hour + HOURS) % HOURS;
    }
    day = day_of(days, number);
    day->low = fmin(day->low, json_number_value(degrees));
    day->high = fmax(day->high, json_number_value(degrees));
    day->heard |= 1U << hour;
}

/* No more than two hours missing in succession. */
static gboolean is_heard(const struct day *day)
{
    int missing = 0;

    for (int hour = 0; hour < HOURS; hour++) {
        missing = day->heard & (1U << hour) ? 0 : missing + 1;
        if (missing > MOST_MISSING)
            return FALSE;
    }
    return TRUE;
}

/* ---- the three forms ----------------------------------------------------------------------- */

/* The station of the first source: the others only fill its gaps. */
static void read_place(struct days *days, const json_t *root)
{
    const json_t *source = json_array_get(json_object_get(root, "sources"), 0);

    days->lat = number_of(root, "latitude");
    days->lon = number_of(root, "longitude");
    days->elevation_m = number_of(root, "elevation");
    if (!json_is_object(source))
        return;
    days->lat = number_of(source, "lat");
    days->lon = number_of(source, "lon");
    days->elevation_m = number_of(source, "height");
}

/* A day or a night; what lasts an hour is an hour. */
static void add_period(struct days *days, const json_t *period)
{
    const json_t *start = json_object_get(period, "startTime");
    gboolean by_day = json_is_true(json_object_get(period, "isDaytime")), utc;
    const char *unit = json_string_value(json_object_get(period, "temperatureUnit"));
    double degrees = number_of(period, "temperature");
    int from, from_hour, to, to_hour;
    struct day *day;

    days->fahrenheit = unit != NULL && strcmp(unit, "F") == 0;
    if (!isfinite(degrees) || !read_time(json_string_value(start), &from, &from_hour, &utc) ||
        !read_time(json_string_value(json_object_get(period, "endTime")), &to, &to_hour, &utc))
        return;
    if ((to - from) * HOURS + to_hour - from_hour <= 1) {
        add_hour(days, start, json_object_get(period, "temperature"), FALSE);
        return;
    }
    day = day_of(days, by_day ? from : to);
    day->whole = TRUE;
    *(by_day ? &day->high : &day->low) = degrees;
}

static void add_rows(struct days *days, const json_t *rows)
{
    for (gsize i = 0; i < json_array_size(rows); i++) {
        const json_t *row = json_array_get(rows, i);

        if (!json_is_object(row))
            return;
        if (json_object_get(row, "isDaytime") != NULL)
            add_period(days, row);
        else
            add_hour(days, first_of(row, time_names, G_N_ELEMENTS(time_names)),
                     first_of(row, degree_names, G_N_ELEMENTS(degree_names)), FALSE);
    }
}

/* Without an offset in the times, the answer says how far they are from UTC, 0 where it was not
 * asked for local ones. */
static void add_columns(struct days *days, const json_t *root, const char *name,
                        const json_t *columns)
{
    g_autofree char *units_name = g_strconcat(name, "_units", NULL);
    const json_t *times = first_of(columns, time_names, G_N_ELEMENTS(time_names));
    const json_t *units = json_object_get(root, units_name);
    const json_t *offset = json_object_get(root, "utc_offset_seconds");
    const json_t *degrees = first_of(columns, degree_names, G_N_ELEMENTS(degree_names));
    const char *unit = json_string_value(first_of(units, degree_names, G_N_ELEMENTS(degree_names)));

    if (!json_is_array(times) || json_array_size(degrees) != json_array_size(times))
        return;
    days->fahrenheit = unit != NULL && strchr(unit, 'F') != NULL;
    for (gsize i = 0; i < json_array_size(times); i++)
        add_hour(days, json_array_get(times, i), json_array_get(degrees, i),
                 json_is_integer(offset) && json_integer_value(offset) == 0);
}

static void add_part(struct days *days, const json_t *root, const char *name, const json_t *part)
{
    if (json_is_array(part))
        add_rows(days, part);
    else if (json_is_object(part))
        add_columns(days, root, name, part);
}

/* ---- the table ----------------------------------------------------------------------------- */

struct writing {
    GString *table;
    const struct days *days;
};

static void put(GString *table, double value)
{
    char room[G_ASCII_DTOSTR_BUF_SIZE];

    g_string_append_c(table, ',');
    if (isfinite(value))
        g_string_append(table, g_ascii_formatd(room, sizeof room, "%.10g", value));
}

static gboolean write_day(gpointer key, gpointer value, gpointer data)
{
    const struct day *day = value;
    struct writing *writing = data;
    struct spl_day on = {GPOINTER_TO_INT(key)};
    char text[SPL_DAY_TEXT_SIZE];
    gboolean told = day->whole || is_heard(day);

    g_string_append(writing->table, spl_day_format(on, text));
    put(writing->table, told ? day->low : NAN);
    put(writing->table, told ? day->high : NAN);
    if (isfinite(writing->days->lat) && isfinite(writing->days->lon)) {
        put(writing->table, writing->days->lat);
        put(writing->table, writing->days->lon);
        put(writing->table, writing->days->elevation_m);
    }
    g_string_append_c(writing->table, '\n');
    return FALSE;
}

GString *spl_weather_hours_table(const json_t *root)
{
    struct days days = {.by_number = g_tree_new_full(compare_days, NULL, NULL, g_free)};
    const json_t *parts = json_object_get(root, "properties");
    GString *table = NULL;

    read_place(&days, root);
    if (!json_is_object(parts))
        parts = root;
    if (json_is_array(parts))
        add_rows(&days, parts);
    for (void *at = json_object_iter((json_t *)parts);
         at != NULL && g_tree_nnodes(days.by_number) == 0;
         at = json_object_iter_next((json_t *)parts, at))
        add_part(&days, parts, json_object_iter_key(at), json_object_iter_value(at));
    if (g_tree_nnodes(days.by_number) > 0) {
        const char *unit = days.fahrenheit ? "\u00b0F" : "\u00b0C";
        struct writing writing = {table = g_string_new(NULL), &days};

        g_string_append_printf(
            table, "date,tmin (%s),tmax (%s)%s\n", unit, unit,
            isfinite(days.lat) && isfinite(days.lon) ? ",latitude,longitude,elevation" : "");
        g_tree_foreach(days.by_number, write_day, &writing);
    }
    g_tree_unref(days.by_number);
    return table;
}
