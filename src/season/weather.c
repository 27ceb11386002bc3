/* SPDX-License-Identifier: MIT
 *
 * Weather files into the book. See simpling/weather.h.
 */
#include "simpling/weather.h"

#include <math.h>

#include "base/text.h"
#include "book/weather.h"
#include "exchange/weather.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define TROPICS_DEG 25.0 /* nearer to the equator the seasons do not tell the hemisphere */
#define WRONG_BY_K 2.0   /* a summer this much colder than winter is the other hemisphere's */
#define SEASON_DAYS 60   /* needed of either, to tell it */

static const struct spl_field part_fields[] = {
    SPL_FIELD(spl_weather_part, station, SPL_TEXT, "station", "station"),
    SPL_FIELD(spl_weather_part, days, SPL_INT, "days", "days"),
    SPL_FIELD(spl_weather_part, first, SPL_DAY, "first", "first"),
    SPL_FIELD(spl_weather_part, last, SPL_DAY, "last", "last"),
    SPL_FIELD(spl_weather_part, missing, SPL_INT, "missing", "missing"),
    SPL_FIELD(spl_weather_part, left_out, SPL_INT, "left_out", "left out"),
};
const struct spl_shape spl_weather_part_shape =
    SPL_SHAPE("weather_part", spl_weather_part, part_fields);

static const struct spl_field import_fields[] = {
    SPL_FIELD(spl_weather_import, station, SPL_TEXT, "station", "station"),
    SPL_FIELD(spl_weather_import, days, SPL_INT, "days", "days"),
    SPL_FIELD(spl_weather_import, first, SPL_DAY, "first", "first"),
    SPL_FIELD(spl_weather_import, last, SPL_DAY, "last", "last"),
    SPL_FIELD_LIST(spl_weather_import, gaps, &spl_weather_gap_shape, "gaps", "gaps"),
    SPL_FIELD_LIST(spl_weather_import, left_out, &spl_weather_left_shape, "left_out", "left out"),
    SPL_FIELD(spl_weather_import, flagged, SPL_INT, "flagged", "marked as failed by the source"),
    SPL_FIELD(spl_weather_import, normals, SPL_BOOL, "normals", "monthly normals"),
    SPL_FIELD(spl_weather_import, format, SPL_TEXT, "format", "format"),
    SPL_FIELD_LIST(spl_weather_import, stations, &spl_weather_part_shape, "stations", "stations"),
    SPL_FIELD(spl_weather_import, cautions, SPL_TEXTS, "cautions", "cautions"),
};
const struct spl_shape spl_weather_import_shape =
    SPL_SHAPE("weather_import", spl_weather_import, import_fields);

static const struct spl_input weather_rows[] = {
    SPL_INPUT(spl_weather_words, path, FILE, "file", "a table of days or of months", .needed = 1),
    SPL_INPUT(spl_weather_words, station, NAME, "station",
              "its name, or which of several in the file"),
    SPL_INPUT(spl_weather_words, at, COORDINATES, "at",
              "where it stands, if the file does not say"),
    SPL_INPUT(spl_weather_words, elevation_m, LENGTH, "elevation",
              "its height in metres, if the file does not say", .bare = 1, .min = -500,
              .max = 9000),
    SPL_INPUT(spl_weather_words, all, FLAG, "all", "every station of the file"),
    SPL_INPUT(spl_weather_words, unit, CHOICE, "unit",
              "degrees Celsius, Fahrenheit, or tenths of a C", .words = "c f tenths",
              .value = "c|f|tenths"),
};
static const struct spl_rule weather_rules[] = {
    {SPL_RULE_MOST, {"all", "station"}},
    {SPL_RULE_MOST, {"all", "at"}},
    {SPL_RULE_MOST, {"all", "elevation"}},
};
const struct spl_inputs spl_weather_inputs =
    SPL_INPUTS("weather", spl_weather_words, weather_rows, SPL_RULES(weather_rules));

static gboolean refuse(GError **error, const char *path, const char *what)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: %s", path, what);
    return FALSE;
}

/* Whether summer comes in the wrong half of the year for the place. */
static gboolean seasons_fit(const struct spl_weather_file *file, double lat)
{
    double june = 0, december = 0;
    int n_june = 0, n_december = 0;

    if (isnan(lat) || fabs(lat) < TROPICS_DEG)
        return TRUE;
    if (file->has_normals) {
        june = file->mean_c[5] + file->mean_c[6] + file->mean_c[7];
        december = file->mean_c[11] + file->mean_c[0] + file->mean_c[1];
        return (lat > 0 ? june - december : december - june) > -3 * WRONG_BY_K;
    }
    for (guint i = 0; i < file->days->len; i++) {
        const struct spl_weather_day *day = &g_array_index(file->days, struct spl_weather_day, i);
        int month;

        spl_day_to_ymd(day->day, NULL, &month, NULL);
        if (month >= 6 && month <= 8) {
            june += day->tmax_c;
            n_june++;
        } else if (month == 12 || month <= 2) {
            december += day->tmax_c;
            n_december++;
        }
    }
    if (n_june < SEASON_DAYS || n_december < SEASON_DAYS)
        return TRUE;
    june /= n_june;
    december /= n_december;
    return (lat > 0 ? june - december : december - june) > -WRONG_BY_K;
}

/* Days after today were not measured: they are left out and named. */
static void drop_future(const struct spl_house *house, struct spl_weather_file *file)
{
    guint kept = 0;

    for (guint i = 0; file->days != NULL && i < file->days->len; i++) {
        struct spl_weather_day day = g_array_index(file->days, struct spl_weather_day, i);
        struct spl_weather_left left = {day.day, day.tmin_c, day.tmax_c, NULL};

        if (spl_day_compare(day.day, house->today) <= 0) {
            g_array_index(file->days, struct spl_weather_day, kept++) = day;
            continue;
        }
        left.why = g_strdup("the day lies after today, so nobody has measured it");
        g_array_append_val(file->left, left);
    }
    if (file->days != NULL)
        g_array_set_size(file->days, kept);
}

/* `said`: the person said the unit. */
static gboolean check_file(const char *path, const struct spl_weather_file *file, gboolean said,
                           const struct spl_station *station, GError **error)
{
    if (!seasons_fit(file, station->lat))
        return refuse(error, path,
                      station->lat > 0
                          ? "is warmest around January, but its place lies north of the "
                            "equator; look at the sign of the latitude"
                          : "is warmest around July, but its place lies south of the "
                            "equator; look at the sign of the latitude");
    if (file->has_normals) {
        for (int m = 0; m < 12; m++) {
            if (file->mean_c[m] >= -60 && file->mean_c[m] <= 50)
                continue;
            spl_error_set_input(error, SPL_ERROR_INVALID, "unit",
                                "the normals of %s cannot be degrees Celsius; say f or tenths",
                                path);
            return FALSE;
        }
        return TRUE;
    }
    if (!said && spl_weather_winter_too_warm(file->days, station->lat)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "unit",
                            "the winter days of %s are too warm for their place in degrees "
                            "Celsius, as if they were Fahrenheit; say c, f or tenths",
                            path);
        return FALSE;
    }
    if (file->days->len == 0)
        return refuse(error, path, "all its days lie after today; look at their years");
    return TRUE;
}

/* What is said goes before what the file has. */
static void set_place(const struct spl_weather_words *words, const struct spl_weather_file *file,
                      struct spl_station *station)
{
    gboolean said = !isnan(words->at.lat);

    station->lat = said ? words->at.lat : file->lat;
    station->lon = said ? words->at.lon : file->lon;
    station->elevation_m = isnan(words->elevation_m) ? file->elevation_m : words->elevation_m;
}

static gboolean write_all(struct spl_house *house, const struct spl_weather_file *file,
                          struct spl_station *station, GError **error)
{
    if (!spl_station_put(house->book, station, error))
        return FALSE;
    if (file->has_normals)
        return spl_weather_put_normals(house->book, station->id, file->mean_c, file->range_c,
                                       error);
    return spl_weather_put_days(house->book, station->id, file->days, &house->progress, error);
}

/* What the book now knows of the station's place, for the cautions. */
static gboolean caution(struct spl_house *house, const struct spl_station *station,
                        struct spl_weather_import *import, GError **error)
{
    GArray *all = spl_station_all(house->book, error);

    if (all == NULL)
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        const struct spl_station *one = &g_array_index(all, struct spl_station, i);

        if (one->id != station->id)
            continue;
        if (isnan(one->lat))
            g_ptr_array_add(import->cautions,
                            g_strdup("nobody knows where this station is, so it serves no site; "
                                     "read the file again and say where it stands"));
        else if (!one->normals && one->days < SPL_NORMALS_MIN_YEARS * 300)
            g_ptr_array_add(import->cautions,
                            g_strdup_printf("with fewer than %d years of days this station serves "
                                            "no site yet; read its monthly normals too",
                                            SPL_NORMALS_MIN_YEARS));
        if (!isnan(one->lat) && isnan(one->elevation_m))
            g_ptr_array_add(import->cautions,
                            g_strdup("the station's height is not known; it is taken to lie as "
                                     "high as each site; read the file again and say it"));
    }
    spl_list_free(&spl_station_shape, all);
    return TRUE;
}

static void report(const struct spl_weather_file *file, struct spl_weather_import *import)
{
    import->format = g_strdup(file->format);
    import->normals = file->has_normals;
    import->flagged = file->flagged;
    import->first = import->last = SPL_DAY_NONE;
    if (file->has_normals)
        return;
    import->days = (int)file->days->len;
    import->first = g_array_index(file->days, struct spl_weather_day, 0).day;
    import->last = g_array_index(file->days, struct spl_weather_day, file->days->len - 1).day;
    import->gaps = spl_weather_gaps(file->days);
    for (guint i = 0; i < import->gaps->len; i++) {
        const struct spl_weather_gap *gap = &g_array_index(import->gaps, struct spl_weather_gap, i);

        if (gap->days > SPL_WEATHER_LONG_GAP_DAYS) {
            g_ptr_array_add(import->cautions,
                            g_strdup("the usual warmth stands in where days are missing; over a "
                                     "long gap the year's windows are less sure"));
            break;
        }
    }
}

/* One station of a file that has only, or was asked for, one. */
static gboolean import_one(struct spl_house *house, const struct spl_weather_words *words,
                           enum spl_weather_unit unit, struct spl_weather_import *import,
                           GError **error)
{
    struct spl_station station = {0};
    struct spl_weather_file file;
    gboolean ok = TRUE;

    if (!spl_weather_file_read(words->path, unit, words->station, &house->progress, &file, error))
        return FALSE;
    if (words->station != NULL)
        station.name = g_strdup(words->station);
    else if (file.station != NULL)
        ok = (station.name = spl_text_clean(file.station, "the station's name", SPL_NAME_MAX, FALSE,
                                            error)) != NULL;
    if (ok && station.name == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "station",
                            "%s names no station; give it a name", words->path);
        ok = FALSE;
    }
    drop_future(house, &file);
    set_place(words, &file, &station);
    ok = ok && check_file(words->path, &file, unit != SPL_WEATHER_UNIT_SAID, &station, error) &&
         spl_book_begin(house->book, error);
    if (ok) {
        ok = write_all(house, &file, &station, error) && caution(house, &station, import, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok) {
        report(&file, import);
        import->left_out = g_steal_pointer(&file.left);
        import->station = g_strdup(station.name);
    }
    spl_weather_file_clear(&file);
    g_free(station.name);
    return ok;
}

struct importing {
    struct spl_house *house;
    const char *path;
    struct spl_weather_import *import;
    gboolean said;  /* the unit */
    gboolean begun; /* the transaction begins when the file is read: others may write until then */
};

static gboolean import_next(struct spl_weather_file *file, gpointer data, GError **error)
{
    struct importing *importing = data;
    struct spl_weather_import *import = importing->import;
    struct spl_station station = {
        .lat = file->lat, .lon = file->lon, .elevation_m = file->elevation_m};
    struct spl_weather_part part = {0};
    gboolean ok;

    drop_future(importing->house, file);
    part.days = (int)file->days->len;
    part.left_out = (int)file->left->len;

    if (!importing->begun && !(importing->begun = spl_book_begin(importing->house->book, error)))
        return FALSE;
    station.name = spl_text_clean(file->station, "a station's name", SPL_NAME_MAX, FALSE, error);
    ok = station.name != NULL &&
         check_file(importing->path, file, importing->said, &station, error) &&
         write_all(importing->house, file, &station, error);
    if (!ok) {
        g_prefix_error(error, "station '%s': ", file->station);
        g_free(station.name);
        return FALSE;
    }
    part.station = station.name;
    part.first = g_array_index(file->days, struct spl_weather_day, 0).day;
    part.last = g_array_index(file->days, struct spl_weather_day, file->days->len - 1).day;
    part.missing = spl_day_diff(part.last, part.first) + 1 - part.days;
    g_array_append_val(import->stations, part);
    import->days += part.days;
    import->flagged += file->flagged;
    if (!spl_day_is_set(import->first) || part.first.n < import->first.n)
        import->first = part.first;
    if (!spl_day_is_set(import->last) || part.last.n > import->last.n)
        import->last = part.last;
    if (import->format == NULL)
        import->format = g_strdup(file->format);
    return TRUE;
}

static gboolean import_all(struct spl_house *house, const char *path, enum spl_weather_unit unit,
                           struct spl_weather_import *import, GError **error)
{
    g_autoptr(GPtrArray) without = g_ptr_array_new_with_free_func(g_free);
    struct importing importing = {house, path, import, unit != SPL_WEATHER_UNIT_SAID, FALSE};
    gboolean ok;

    import->first = import->last = SPL_DAY_NONE;
    import->stations = spl_list_new(&spl_weather_part_shape);
    ok = spl_weather_file_each(path, unit, &house->progress, without, import_next, &importing,
                               error);
    if (importing.begun)
        ok = spl_book_finish(house->book, ok, error);
    if (!ok)
        return FALSE;
    for (guint i = 0; i < without->len; i++)
        g_ptr_array_add(import->cautions,
                        g_strdup_printf("station '%s' has not one day with a minimum and a maximum",
                                        (const char *)g_ptr_array_index(without, i)));
    import->station = g_strdup_printf("%u stations", import->stations->len);
    return TRUE;
}

gboolean spl_weather_import_file(struct spl_house *house, const struct spl_weather_words *said,
                                 struct spl_weather_import *import, GError **error)
{
    enum spl_weather_unit unit = SPL_WEATHER_UNIT_SAID;
    struct spl_weather_import made = {.cautions = NULL};
    struct spl_weather_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_weather_inputs, said, &words, error))
        return FALSE;
    made.cautions = g_ptr_array_new_with_free_func(g_free);
    ok = words.unit == NULL || spl_weather_unit_parse(words.unit, "unit", &unit, error);
    if (ok)
        ok = words.all ? import_all(house, words.path, unit, &made, error)
                       : import_one(house, &words, unit, &made, error);
    spl_inputs_clear(&spl_weather_inputs, &words);
    if (ok)
        *import = made;
    else
        spl_record_clear(&spl_weather_import_shape, &made);
    return ok;
}

GArray *spl_weather_list(struct spl_house *house, GError **error)
{
    return spl_station_all(house->book, error);
}
