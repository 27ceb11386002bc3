/* SPDX-License-Identifier: MIT
 *
 * Weather files. See exchange/weather.h.
 */
#include "exchange/weather.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "exchange/csv.h"
#include "exchange/weather_column.h"
#include "exchange/weather_private.h"
#include "simpling/error.h"

gboolean spl_weather_unit_parse(const char *text, const char *what, enum spl_weather_unit *unit,
                                GError **error)
{
    if (g_ascii_strcasecmp(text, "c") == 0)
        *unit = SPL_WEATHER_UNIT_C;
    else if (g_ascii_strcasecmp(text, "f") == 0)
        *unit = SPL_WEATHER_UNIT_F;
    else if (g_ascii_strcasecmp(text, "tenths") == 0)
        *unit = SPL_WEATHER_UNIT_TENTHS;
    else {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: units are c (degrees Celsius), f (Fahrenheit) and tenths (of a degree "
                    "Celsius)",
                    what);
        return FALSE;
    }
    return TRUE;
}

#define BAD_MOST 500 /* rows: a file with more is no table of days */

static void series_free(gpointer data)
{
    struct spl_weather_series *series = data;

    g_free(series->id);
    g_free(series->name);
    g_array_unref(series->days);
    g_clear_pointer(&series->by_day, g_hash_table_unref);
    g_free(series);
}

/* ---- tables with headings ------------------------------------------------------------------- */

static gboolean is_missing(const char *text)
{
    static const char *const words[] = {"",       "na",      "n/a",  "nan",   "null",  "-",
                                        "m",      "t",       "-999", "-9999", "-99.9", "-999.0",
                                        "-999.9", "-9999.0", "---",  NULL};
    g_autofree char *lower = g_ascii_strdown(text, -1);

    return g_strv_contains(words, lower);
}

static double to_celsius(enum spl_weather_unit unit, double value)
{
    if (unit == SPL_WEATHER_UNIT_F)
        return (value - 32) / 1.8;
    return unit == SPL_WEATHER_UNIT_TENTHS ? value / 10 : value;
}

static gboolean temperature(const struct spl_csv *csv, int column, enum spl_weather_unit unit,
                            double *value_c, GError **error)
{
    double value;

    *value_c = NAN;
    if (column < 0 || is_missing(spl_csv_text(csv, column)))
        return TRUE;
    if (!spl_csv_number(csv, column, -2000, 2000, &value, error))
        return FALSE;
    *value_c = to_celsius(unit, value);
    return TRUE;
}

static gboolean cell_day(const struct spl_csv *csv, int column, struct spl_day *day, GError **error)
{
    const char *text = spl_csv_text(csv, column);
    GError *why = NULL;

    if (spl_weather_day_parse(text, day))
        return TRUE;
    if (spl_day_parse(text, "day", day, &why))
        return TRUE;
    spl_csv_fail(csv, column, SPL_ERROR_INVALID, error, "%s", why->message);
    g_error_free(why);
    return FALSE;
}

/* NOAA's flags M,Q,S: the second says that the value failed a check. */
static gboolean failed(const struct spl_csv *csv, int column)
{
    g_auto(GStrv) flag = NULL;

    if (column < 0)
        return FALSE;
    flag = g_strsplit(spl_csv_text(csv, column), ",", 4);
    return g_strv_length(flag) >= 2 && *g_strstrip(flag[1]) != '\0';
}

static void station_place(struct spl_weather_series *series, const struct spl_csv *csv,
                          const struct spl_weather_columns *columns)
{
    if (!isnan(series->lat) || columns->at[SPL_WEATHER_LAT] < 0)
        return;
    /* A place that cannot be read is as good as none: --at gives it. */
    if (!spl_csv_number(csv, columns->at[SPL_WEATHER_LAT], -90, 90, &series->lat, NULL) ||
        !spl_csv_number(csv, columns->at[SPL_WEATHER_LON], -180, 180, &series->lon, NULL))
        series->lat = series->lon = NAN;
    if (columns->at[SPL_WEATHER_ELEVATION] < 0 ||
        !spl_csv_number(csv, columns->at[SPL_WEATHER_ELEVATION], -500, 9000, &series->elevation_m,
                        NULL))
        series->elevation_m = NAN;
}

static gboolean table_row(struct spl_weather_reading *reading, const struct spl_csv *csv,
                          const struct spl_weather_columns *columns, enum spl_weather_unit unit,
                          GError **error)
{
    int station = columns->at[SPL_WEATHER_STATION] >= 0 ? columns->at[SPL_WEATHER_STATION]
                                                        : columns->at[SPL_WEATHER_NAME];
    struct spl_weather_series *series =
        spl_weather_series_of(reading, spl_csv_text(csv, station), error);
    struct spl_weather_day day;

    if (series == NULL)
        return FALSE;
    if (series->name == NULL && columns->at[SPL_WEATHER_NAME] >= 0)
        series->name = spl_text_scrub(spl_csv_text(csv, columns->at[SPL_WEATHER_NAME]), FALSE);
    station_place(series, csv, columns);
    if (!cell_day(csv, columns->at[SPL_WEATHER_DATE], &day.day, error) ||
        !temperature(csv, columns->at[SPL_WEATHER_TMIN], unit, &day.tmin_c, error) ||
        !temperature(csv, columns->at[SPL_WEATHER_TMAX], unit, &day.tmax_c, error))
        return FALSE;
    if (failed(csv, columns->at[SPL_WEATHER_TMIN_FLAGS]) && !isnan(day.tmin_c)) {
        day.tmin_c = NAN;
        series->flagged++;
    }
    if (failed(csv, columns->at[SPL_WEATHER_TMAX_FLAGS]) && !isnan(day.tmax_c)) {
        day.tmax_c = NAN;
        series->flagged++;
    }
    g_array_append_val(series->days, day);
    return TRUE;
}

static int month_number(const char *text)
{
    static const char *const names[] = {"jan",      "feb", "mar",      "apr", "may", "jun",
                                        "jul",      "aug", "sep",      "oct", "nov", "dec",
                                        "j\u00e4n", "",    "m\u00e4r", "",    "mai", "",
                                        "",         "",    "",         "okt", "",    "dez"};
    g_autofree char *lower = g_utf8_strdown(text, -1);
    char *end;
    gint64 number = g_ascii_strtoll(text, &end, 10);

    if (*text != '\0' && *end == '\0' && number >= 1 && number <= 12)
        return (int)number - 1;
    for (int m = 0; m < 24; m++) {
        if (*names[m] != '\0' && g_str_has_prefix(lower, names[m]))
            return m % 12;
    }
    return g_str_has_prefix(lower, "mrz") ? 2 : -1;
}

static gboolean read_monthly(struct spl_weather_reading *reading, struct spl_csv *csv,
                             const struct spl_weather_columns *columns, enum spl_weather_unit unit,
                             struct spl_weather_file *out, GError **error)
{
    int column = columns->at[SPL_WEATHER_MONTH];
    gboolean seen[12] = {FALSE};
    GError *why = NULL;
    int months = 0;

    (void)reading;
    while (spl_csv_next(csv, &why)) {
        int m = month_number(spl_csv_text(csv, column));
        double low, high, mean;

        if (m < 0)
            return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error,
                                "'%s' is no month; write 1 to 12 or its name",
                                spl_csv_text(csv, column));
        if (seen[m])
            return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error,
                                "this month comes twice; leave one in");
        if (!temperature(csv, columns->at[SPL_WEATHER_TMIN], unit, &low, error) ||
            !temperature(csv, columns->at[SPL_WEATHER_TMAX], unit, &high, error) ||
            !temperature(csv, columns->at[SPL_WEATHER_MEAN], unit, &mean, error))
            return FALSE;
        if (low > high)
            return spl_csv_fail(csv, columns->at[SPL_WEATHER_TMIN], SPL_ERROR_INVALID, error,
                                "the minimum is above the maximum");
        out->range_c[m] = high - low;
        out->mean_c[m] = isnan(mean) ? (low + high) / 2 : mean;
        if (isnan(out->mean_c[m]))
            return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error, "this month has no temperature");
        seen[m] = TRUE;
        months++;
    }
    if (why != NULL) {
        g_propagate_error(error, why);
        return FALSE;
    }
    if (months != 12) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: normals need all twelve months, it has %d", spl_csv_name(csv), months);
        return FALSE;
    }
    out->has_normals = TRUE;
    out->format = g_strdup("monthly normals");
    return TRUE;
}

/* A bad row is left out and named, the others go in; `why` is taken. FALSE: too many of them. */
static gboolean leave_out(struct spl_weather_reading *reading, GError **why, GError **error)
{
    struct spl_weather_left left = {SPL_DAY_NONE, NAN, NAN, g_strdup((*why)->message)};

    if (!g_error_matches(*why, SPL_ERROR, SPL_ERROR_INVALID) || reading->bad->len >= BAD_MOST) {
        g_free(left.why);
        g_propagate_error(error, g_steal_pointer(why));
        return FALSE;
    }
    g_clear_error(why);
    g_array_append_val(reading->bad, left);
    return TRUE;
}

static char *headings(const struct spl_csv *csv)
{
    GString *text = g_string_new(NULL);

    for (int column = 0; column < spl_csv_columns(csv); column++)
        g_string_append_printf(text, "%s%s", column == 0 ? "" : ", ", spl_csv_header(csv, column));
    return g_string_free(text, FALSE);
}

static guint days_of(const struct spl_weather_reading *reading)
{
    guint days = 0;

    for (guint i = 0; i < reading->series->len; i++)
        days +=
            ((const struct spl_weather_series *)g_ptr_array_index(reading->series, i))->days->len;
    return days;
}

static gboolean read_table(struct spl_weather_reading *reading, struct spl_weather_file *out,
                           GError **error)
{
    g_autoptr(spl_csv) csv = reading->text != NULL ? spl_csv_open_text(reading->text, reading->size,
                                                                       reading->path, error)
                                                   : spl_csv_open(reading->path, error);
    enum spl_weather_unit unit = reading->unit;
    struct spl_weather_columns columns;
    gboolean noaa;
    GError *why = NULL;

    if (csv == NULL || !spl_weather_columns_find(csv, &columns, error))
        return FALSE;
    noaa = columns.at[SPL_WEATHER_TMIN_FLAGS] >= 0 && columns.at[SPL_WEATHER_TMAX_FLAGS] >= 0;
    if (unit == SPL_WEATHER_UNIT_SAID)
        unit = columns.fahrenheit         ? SPL_WEATHER_UNIT_F
               : noaa && !columns.celsius ? SPL_WEATHER_UNIT_TENTHS
                                          : SPL_WEATHER_UNIT_C;
    reading->scaled = unit != SPL_WEATHER_UNIT_C;
    if (columns.at[SPL_WEATHER_DATE] < 0 && columns.at[SPL_WEATHER_MONTH] >= 0 &&
        (columns.at[SPL_WEATHER_MEAN] >= 0 ||
         (columns.at[SPL_WEATHER_TMIN] >= 0 && columns.at[SPL_WEATHER_TMAX] >= 0)))
        return read_monthly(reading, csv, &columns, unit, out, error);
    if (columns.at[SPL_WEATHER_DATE] < 0 || columns.at[SPL_WEATHER_TMIN] < 0 ||
        columns.at[SPL_WEATHER_TMAX] < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: found no column of %s; name the columns date, tmin and tmax (or month and "
                    "mean for normals)",
                    spl_csv_name(csv),
                    columns.at[SPL_WEATHER_DATE] < 0   ? "days"
                    : columns.at[SPL_WEATHER_TMIN] < 0 ? "minima"
                                                       : "maxima");
        return FALSE;
    }
    out->columns = headings(csv);
    for (int rows = 1;; rows++) {
        if (spl_csv_next(csv, &why)) {
            if (!table_row(reading, csv, &columns, unit, &why) && !leave_out(reading, &why, error))
                return FALSE;
        } else if (why == NULL) {
            break;
        } else if (spl_csv_broken(csv) || !leave_out(reading, &why, error)) {
            if (why != NULL)
                g_propagate_error(error, why);
            return FALSE;
        }
        if (rows % SPL_WEATHER_TELL_EVERY == 0)
            spl_progress_tell(reading->progress, "reading weather", rows, 0);
    }
    if (days_of(reading) == 0 && reading->bad->len > 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s",
                    g_array_index(reading->bad, struct spl_weather_left, 0).why);
        return FALSE;
    }
    out->format = g_strdup(noaa ? "GHCN-Daily .csv" : "daily table");
    return TRUE;
}

/* ---- twelve numbers -------------------------------------------------------------------------- */

/* TRUE if the text is nothing but numbers and what may stand between them; twelve fill `mean_c`. */
static gboolean only_numbers(const char *text, double mean_c[12], int *count)
{
    g_autofree char *own = g_strdup(text);
    /* Where blanks or semicolons part them, a comma is a decimal mark. */
    gboolean commas = strpbrk(text, " \t\n;") != NULL && strstr(text, ", ") == NULL &&
                      strchr(text, '.') == NULL && strchr(text, ',') != NULL &&
                      strpbrk(g_strchomp(g_strdelimit(own, "\r\n", ' ')), " \t;") != NULL;
    g_auto(GStrv) word =
        g_strsplit_set(commas ? g_strdelimit(own, ",", '.') : own, " \t\r\n,;", -1);

    *count = 0;
    for (char **at = word; *at != NULL; at++) {
        char *end;
        double value;

        if (**at == '\0')
            continue;
        if (!g_ascii_isdigit(**at) && **at != '-' && **at != '.')
            return FALSE;
        value = g_ascii_strtod(*at, &end);
        if (*end != '\0' || !isfinite(value))
            return FALSE;
        if (*count < 12)
            mean_c[*count] = value;
        (*count)++;
    }
    return *count > 0;
}

static gboolean read_numbers(struct spl_weather_reading *reading, int count,
                             struct spl_weather_file *out, GError **error)
{
    enum spl_weather_unit unit = reading->unit;

    if (count != 12) {
        g_autofree char *name = g_path_get_basename(reading->path);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: holds %d bare numbers; monthly normals are twelve, January first", name,
                    count);
        return FALSE;
    }
    for (int m = 0; m < 12; m++)
        out->mean_c[m] = to_celsius(unit, out->mean_c[m]);
    out->has_normals = TRUE;
    out->format = g_strdup("monthly normals");
    return TRUE;
}

/* ---- the file -------------------------------------------------------------------------------- */

gboolean spl_weather_same_name(const char *a, const char *b)
{
    g_autofree char *x = spl_name_key(a), *y = spl_name_key(b);

    return strcmp(x, y) == 0;
}

static struct spl_weather_series *choose(const struct spl_weather_reading *reading,
                                         const char *station, GError **error)
{
    g_autoptr(GString) list = g_string_new(NULL);

    for (guint i = 0; station != NULL && i < reading->series->len; i++) {
        struct spl_weather_series *one = g_ptr_array_index(reading->series, i);

        if (spl_weather_same_name(one->id, station) ||
            (one->name != NULL && spl_weather_same_name(one->name, station)))
            return one;
    }
    if (reading->series->len == 1)
        return g_ptr_array_index(reading->series, 0);
    for (guint i = 0; i < reading->series->len && i < 8; i++) {
        const struct spl_weather_series *one = g_ptr_array_index(reading->series, i);
        g_autofree char *shown = spl_text_scrub(one->id, FALSE);

        g_string_append_printf(list, "%s'%s'", i == 0 ? "" : ", ", shown);
    }
    if (reading->series->len > 8)
        g_string_append_printf(list, " and %u more", reading->series->len - 8);
    spl_error_set_input(error, SPL_ERROR_AMBIGUOUS, "station",
                        "%s: holds several stations (%s); choose one", reading->path, list->str);
    return NULL;
}

static gboolean take_series(struct spl_weather_reading *reading, struct spl_weather_series *series,
                            struct spl_weather_file *out, GError **error)
{
    const char *suspect;

    out->days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    for (guint i = 0; i < series->days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(series->days, struct spl_weather_day, i);

        if (!isnan(day->tmin_c) && !isnan(day->tmax_c))
            g_array_append_vals(out->days, day, 1);
    }
    suspect = spl_weather_suspect_unit(out->days, reading->scaled);
    if (suspect != NULL) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "unit",
                            "%s: %s; say the unit: c, f or tenths", reading->path, suspect);
        return FALSE;
    }
    spl_progress_tell(reading->progress, "checking weather", 0, 0);
    spl_weather_clean(out->days, out->left);
    /* Rows that could not be read stand with the first station. */
    g_array_prepend_vals(out->left, reading->bad->data, reading->bad->len);
    g_array_set_size(reading->bad, 0);
    if (out->days->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: not one day with a minimum and a maximum; look at the file",
                    reading->path);
        return FALSE;
    }
    out->station = *series->id != '\0' ? g_strdup(series->id) : NULL;
    if (series->name != NULL && *series->name != '\0') {
        g_free(out->station);
        out->station = g_strdup(series->name);
    }
    out->lat = series->lat;
    out->lon = series->lon;
    out->elevation_m = series->elevation_m;
    out->flagged = series->flagged;
    return TRUE;
}

/* By which GHCN-Daily is known, before a file that may be large is read whole. Free with g_free. */
static char *first_line(const char *path)
{
    g_autofree char *head = g_malloc(SPL_WEATHER_HEAD_BYTES + 1);
    FILE *file = fopen(path, "rbe");
    gsize got = file == NULL ? 0 : fread(head, 1, SPL_WEATHER_HEAD_BYTES, file);

    /* What cannot be opened is told by who reads it whole. */
    if (file != NULL)
        fclose(file);
    head[got] = '\0';
    return g_strndup(head, strcspn(head, "\r\n"));
}

static gboolean read_any(struct spl_weather_reading *reading, struct spl_weather_file *out,
                         GError **error)
{
    g_autofree char *text = NULL;
    g_autofree char *first = NULL, *decoded = NULL, *table = NULL;
    gsize size, decoded_size, start;
    gboolean ok;
    int count;

    first = first_line(reading->path);
    if (spl_weather_is_dly(first)) {
        out->format = g_strdup("GHCN-Daily .dly");
        return spl_weather_read_dly(reading, error);
    }
    if (spl_weather_is_elements(first)) {
        out->format = g_strdup("GHCN-Daily .csv, one element a line");
        return spl_weather_read_elements(reading, error);
    }
    text = spl_file_read(reading->path, SPL_WEATHER_MAX_BYTES, &size, error);
    if (text == NULL)
        return FALSE;
    decoded = spl_csv_decode(text, size, &decoded_size);
    if (decoded != NULL) {
        g_free(text);
        text = g_steal_pointer(&decoded);
        size = decoded_size;
        reading->text = text;
        reading->size = size;
    }
    if (spl_weather_is_json(text, size)) {
        table = spl_weather_json_table(text, size, reading->path, &reading->size, error);
        reading->text = table;
        ok = table != NULL && read_table(reading, out, error);
        reading->text = NULL;
        return ok;
    }
    if (size < 2000 && only_numbers(text, out->mean_c, &count))
        return read_numbers(reading, count, out, error);
    start = spl_weather_table_start(text, size);
    if (start > 0) {
        reading->text = text + start;
        reading->size = size - start;
    }
    if (reading->text != NULL) {
        ok = read_table(reading, out, error);
        reading->text = NULL;
        return ok;
    }
    g_clear_pointer(&text, g_free);
    return read_table(reading, out, error);
}

static void file_init(struct spl_weather_file *out)
{
    *out = (struct spl_weather_file){.lat = NAN, .lon = NAN, .elevation_m = NAN};
    out->left = spl_list_new(&spl_weather_left_shape);
    for (int m = 0; m < 12; m++)
        out->mean_c[m] = out->range_c[m] = NAN;
}

static void reading_clear(struct spl_weather_reading *reading)
{
    g_hash_table_unref(reading->by_id);
    g_ptr_array_unref(reading->series);
    spl_list_free(&spl_weather_left_shape, reading->bad);
}

/* Reads the whole file: normals into `out`, or the stations into `reading`, which is to be cleared
 * either way. */
static gboolean read_whole(struct spl_weather_reading *reading, struct spl_weather_file *out,
                           GError **error)
{
    file_init(out);
    reading->series = g_ptr_array_new_with_free_func(series_free);
    reading->by_id = g_hash_table_new(g_str_hash, g_str_equal);
    reading->bad = spl_list_new(&spl_weather_left_shape);
    if (!read_any(reading, out, error))
        return FALSE;
    if (out->has_normals || reading->series->len > 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: not one day with a minimum and a maximum; look at the file", reading->path);
    return FALSE;
}

gboolean spl_weather_file_read(const char *path, enum spl_weather_unit unit, const char *station,
                               const struct spl_progress *progress, struct spl_weather_file *out,
                               GError **error)
{
    struct spl_weather_reading reading = {
        .path = path, .unit = unit, .station = station, .one = TRUE, .progress = progress};
    gboolean ok = read_whole(&reading, out, error);

    if (ok && !out->has_normals) {
        struct spl_weather_series *series = choose(&reading, station, error);

        ok = series != NULL && take_series(&reading, series, out, error);
    }
    reading_clear(&reading);
    if (ok && out->columns == NULL)
        out->columns = g_strdup(out->format);
    if (!ok)
        spl_weather_file_clear(out);
    return ok;
}

/* TRUE if some day has both values. */
static gboolean has_days(const struct spl_weather_series *series)
{
    for (guint i = 0; i < series->days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(series->days, struct spl_weather_day, i);

        if (!isnan(day->tmin_c) && !isnan(day->tmax_c))
            return TRUE;
    }
    return FALSE;
}

gboolean spl_weather_file_each(const char *path, enum spl_weather_unit unit,
                               const struct spl_progress *progress, GPtrArray *without,
                               gboolean (*each)(struct spl_weather_file *file, gpointer data,
                                                GError **error),
                               gpointer data, GError **error)
{
    struct spl_weather_reading reading = {.path = path, .unit = unit, .progress = progress};
    struct spl_weather_file whole;
    gboolean ok = read_whole(&reading, &whole, error);

    for (guint i = 0; ok && i < reading.series->len; i++) {
        struct spl_weather_series *series = g_ptr_array_index(reading.series, i);
        struct spl_weather_file one;

        if (*series->id == '\0') {
            spl_error_set_input(error, SPL_ERROR_INVALID, "station",
                                "%s: does not name its stations; name the station", path);
            ok = FALSE;
            break;
        }
        if (!has_days(series)) {
            if (without != NULL)
                g_ptr_array_add(without, g_strdup(series->id));
            continue;
        }
        file_init(&one);
        one.format = g_strdup(whole.format);
        ok = take_series(&reading, series, &one, error) && each(&one, data, error);
        spl_weather_file_clear(&one);
        g_array_set_size(series->days, 0);
    }
    if (ok && whole.has_normals) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "station",
                            "%s: monthly normals are of one station; name it", path);
        ok = FALSE;
    }
    reading_clear(&reading);
    spl_weather_file_clear(&whole);
    return ok;
}

void spl_weather_file_clear(struct spl_weather_file *out)
{
    g_clear_pointer(&out->format, g_free);
    g_clear_pointer(&out->columns, g_free);
    g_clear_pointer(&out->station, g_free);
    g_clear_pointer(&out->days, g_array_unref);
    if (out->left != NULL)
        spl_list_free(&spl_weather_left_shape, out->left);
    out->left = NULL;
}
