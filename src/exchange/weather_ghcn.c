/* SPDX-License-Identifier: MIT
 *
 * GHCN-Daily without headings: .dly (fixed width, a month of one element a line) and .csv (one
 * element of one day a line). NOAA, readme of GHCN-Daily, section III, and of its files by station.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "exchange/weather_private.h"
#include "simpling/error.h"

#define MAX_STATIONS 100000
#define DLY_HEAD 21 /* characters before the first value of a .dly line */
#define DLY_CELL 8
#define ROOM_BYTES 65536 /* a line has a few hundred at most */

/* The station of this id, new when it is the first time; NULL: too many. */
struct spl_weather_series *spl_weather_series_of(struct spl_weather_reading *reading,
                                                 const char *id, GError **error)
{
    struct spl_weather_series *series = reading->last;

    if (series != NULL && strcmp(series->id, id) == 0)
        return series;
    series = g_hash_table_lookup(reading->by_id, id);
    if (series == NULL) {
        if (reading->series->len >= MAX_STATIONS) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                        "%s: more than %d stations; cut the file to the one that you need",
                        reading->path, MAX_STATIONS);
            return NULL;
        }
        series = g_new0(struct spl_weather_series, 1);
        series->id = g_strdup(id);
        series->lat = series->lon = series->elevation_m = NAN;
        series->days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
        /* The first is kept in case that it is the only one, whatever the person calls it. */
        series->passed = reading->one && reading->series->len > 0 &&
                         (reading->station == NULL || !spl_weather_same_name(id, reading->station));
        g_ptr_array_add(reading->series, series);
        g_hash_table_insert(reading->by_id, series->id, series);
    }
    reading->last = series;
    return series;
}

/* Puts a single value where its day is. */
static void put(struct spl_weather_series *series, struct spl_day day, gboolean maximum,
                double value_c)
{
    struct spl_weather_day fresh = {day, NAN, NAN};
    struct spl_weather_day *at;
    gpointer index;

    if (series->by_day == NULL)
        series->by_day = g_hash_table_new(NULL, NULL);
    if (!g_hash_table_lookup_extended(series->by_day, GINT_TO_POINTER(day.n), NULL, &index)) {
        index = GUINT_TO_POINTER(series->days->len);
        g_hash_table_insert(series->by_day, GINT_TO_POINTER(day.n), index);
        g_array_append_val(series->days, fresh);
    }
    at = &g_array_index(series->days, struct spl_weather_day, GPOINTER_TO_UINT(index));
    *(maximum ? &at->tmax_c : &at->tmin_c) = value_c;
}

static gboolean digits(const char *text, int n, int *value)
{
    *value = 0;
    for (int i = 0; i < n; i++) {
        if (!g_ascii_isdigit(text[i]))
            return FALSE;
        *value = *value * 10 + (text[i] - '0');
    }
    return TRUE;
}

/* ---- GHCN-Daily .dly ------------------------------------------------------------------------ */

gboolean spl_weather_is_dly(const char *line)
{
    int number;

    if (strlen(line) < DLY_HEAD + DLY_CELL || !digits(line + 11, 6, &number))
        return FALSE;
    for (int i = 0; i < 11; i++) {
        if (!g_ascii_isalnum(line[i]) && line[i] != '_' && line[i] != '-')
            return FALSE;
    }
    return g_ascii_isupper(line[17]) && strchr(line, ',') == NULL;
}

static gboolean line_fail(const struct spl_weather_reading *reading, int line, const char *what,
                          GError **error)
{
    g_autofree char *name = g_path_get_basename(reading->path);

    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s:%d: %s", name, line, what);
    return FALSE;
}

static gboolean dly_line(struct spl_weather_reading *reading, const char *text, int line,
                         GError **error)
{
    g_autofree char *id = NULL;
    struct spl_weather_series *series;
    int year, month, cells;
    gboolean maximum;

    if (!spl_weather_is_dly(text))
        return line_fail(reading, line, "not a line of a GHCN-Daily .dly file; get it anew", error);
    maximum = strncmp(text + 17, "TMAX", 4) == 0;
    if (!maximum && strncmp(text + 17, "TMIN", 4) != 0)
        return TRUE;
    digits(text + 11, 4, &year);
    digits(text + 15, 2, &month);
    if (month < 1 || month > 12)
        return line_fail(reading, line, "there is no such month; get the file anew", error);
    id = g_strndup(text, 11);
    series = spl_weather_series_of(reading, id, error);
    if (series == NULL)
        return FALSE;
    if (series->passed)
        return TRUE;
    cells = MIN((int)(strlen(text) - DLY_HEAD) / DLY_CELL, 31);
    for (int i = 0; i < cells; i++) {
        const char *cell = text + DLY_HEAD + i * DLY_CELL;
        g_autofree char *value = g_strndup(cell, 5);
        struct spl_day day = spl_day_from_ymd(year, month, i + 1);
        char *end;
        gint64 tenths;

        g_strstrip(value);
        tenths = g_ascii_strtoll(value, &end, 10);
        if (*value == '\0' || *end != '\0')
            return line_fail(reading, line, "a value that is no number; get the file anew", error);
        if (tenths == -9999)
            continue;
        if (!spl_day_is_set(day))
            return line_fail(reading, line, "a value for a day that does not exist", error);
        if (cell[6] != ' ') {
            series->flagged++;
            continue;
        }
        put(series, day, maximum, (double)tenths / 10);
    }
    return TRUE;
}

/* ---- GHCN-Daily, one element a line ---------------------------------------------------------- */

/* The headings that one of the services puts above them. */
static gboolean is_elements_head(const char *line)
{
    return g_str_has_prefix(line, "ID,DATE,ELEMENT,DATA_VALUE,");
}

gboolean spl_weather_is_elements(const char *line)
{
    g_auto(GStrv) cell = g_strsplit(line, ",", 5);
    int day;

    if (is_elements_head(line))
        return TRUE;
    return g_strv_length(cell) >= 4 && strlen(cell[0]) == 11 && strlen(cell[1]) == 8 &&
           digits(cell[1], 8, &day) && strlen(cell[2]) == 4 && g_ascii_isupper(cell[2][0]);
}

gboolean spl_weather_compact_day(const char *text, struct spl_day *day)
{
    int number;

    if (strlen(text) != 8 || !digits(text, 8, &number))
        return FALSE;
    *day = spl_day_from_ymd(number / 10000, number / 100 % 100, number % 100);
    return spl_day_is_set(*day);
}

static gboolean element_line(struct spl_weather_reading *reading, const char *text, int line,
                             GError **error)
{
    g_auto(GStrv) cell = g_strsplit(text, ",", -1);
    struct spl_weather_series *series;
    struct spl_day day;
    gboolean maximum;
    gint64 tenths;
    char *end;

    if (!spl_weather_is_elements(text))
        return line_fail(reading, line,
                         "not a line ID,YYYYMMDD,ELEMENT,VALUE of GHCN-Daily; get it anew", error);
    maximum = strcmp(cell[2], "TMAX") == 0;
    if (!maximum && strcmp(cell[2], "TMIN") != 0)
        return TRUE; /* the headings too */
    if (!spl_weather_compact_day(cell[1], &day))
        return line_fail(reading, line, "there is no such day; get the file anew", error);
    tenths = g_ascii_strtoll(cell[3], &end, 10);
    if (*cell[3] == '\0' || *end != '\0')
        return line_fail(reading, line, "a value that is no number; get the file anew", error);
    series = spl_weather_series_of(reading, cell[0], error);
    if (series == NULL)
        return FALSE;
    if (tenths == -9999 || series->passed)
        return TRUE;
    if (g_strv_length(cell) > 5 && *cell[5] != '\0') {
        series->flagged++;
        return TRUE;
    }
    put(series, day, maximum, (double)tenths / 10);
    return TRUE;
}

/* A file that is read line by line: some are larger than memory. */
struct lines {
    FILE *file;
    char *room; /* ROOM_BYTES and a NUL */
    gsize begin, end;
    gint64 taken; /* bytes of the lines before */
};

/* The next line, without its end; NULL at the end of the file, and with an error (`line`) where it
 * is none of a text file. */
static char *next_line(const struct spl_weather_reading *reading, struct lines *lines, int line,
                       GError **error)
{
    char *end = memchr(lines->room + lines->begin, '\n', lines->end - lines->begin), *at;

    if (end == NULL && lines->begin > 0) {
        memmove(lines->room, lines->room + lines->begin, lines->end - lines->begin);
        lines->end -= lines->begin;
        lines->begin = 0;
    }
    if (end == NULL) {
        lines->end += fread(lines->room + lines->end, 1, ROOM_BYTES - lines->end, lines->file);
        if (ferror(lines->file)) {
            line_fail(reading, line, "the file cannot be read; is the disk in order?", error);
            return NULL;
        }
        end = memchr(lines->room, '\n', lines->end);
        if (end == NULL && lines->end == ROOM_BYTES) {
            line_fail(reading, line, "a line without an end; that is no text file", error);
            return NULL;
        }
        if (end == NULL)
            end = lines->room + lines->end;
    }
    at = lines->room + lines->begin;
    if (at == lines->room + lines->end)
        return NULL;
    if (memchr(at, '\0', (gsize)(end - at)) != NULL) {
        line_fail(reading, line, "holds zero bytes; that is no text file", error);
        return NULL;
    }
    *end = '\0';
    if (end > at && end[-1] == '\r')
        end[-1] = '\0';
    lines->taken += end - at + 1;
    lines->begin = MIN((gsize)(end - lines->room) + 1, lines->end);
    return at;
}

static gboolean take_lines(struct spl_weather_reading *reading, struct lines *lines, gint64 size,
                           gboolean (*take)(struct spl_weather_reading *, const char *, int,
                                            GError **),
                           GError **error)
{
    GError *why = NULL;
    char *text;

    for (int line = 1; (text = next_line(reading, lines, line, &why)) != NULL; line++) {
        if (*text != '\0' && !take(reading, text, line, error))
            return FALSE;
        if (line % SPL_WEATHER_TELL_EVERY == 0)
            spl_progress_tell(reading->progress, "reading weather", lines->taken, size);
    }
    if (why != NULL)
        g_propagate_error(error, why);
    return why == NULL;
}

static gboolean read_lines(struct spl_weather_reading *reading,
                           gboolean (*take)(struct spl_weather_reading *, const char *, int,
                                            GError **),
                           GError **error)
{
    struct lines lines = {.file = fopen(reading->path, "rbe")};
    gint64 size = 0;
    gboolean ok;

    if (lines.file != NULL && fseeko(lines.file, 0, SEEK_END) == 0)
        size = ftello(lines.file);
    if (lines.file == NULL || fseeko(lines.file, 0, SEEK_SET) != 0) {
        ok = line_fail(reading, 1, "the file cannot be read; look at its rights", error);
    } else if (!reading->one && size > SPL_WEATHER_MAX_BYTES) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: is larger than %d MB, too large for all its stations; name the one that "
                    "you need",
                    reading->path, SPL_WEATHER_MAX_BYTES / (1024 * 1024));
        ok = FALSE;
    } else {
        lines.room = g_malloc(ROOM_BYTES + 1);
        ok = take_lines(reading, &lines, size, take, error);
        g_free(lines.room);
    }
    if (lines.file != NULL)
        fclose(lines.file);
    return ok;
}

gboolean spl_weather_read_dly(struct spl_weather_reading *reading, GError **error)
{
    return read_lines(reading, dly_line, error);
}

gboolean spl_weather_read_elements(struct spl_weather_reading *reading, GError **error)
{
    return read_lines(reading, element_line, error);
}
