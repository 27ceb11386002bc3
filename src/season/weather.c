/* SPDX-License-Identifier: MIT
 *
 * Weather files into the book. See simpling/weather.h.
 */
#include "simpling/weather.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/weather.h"
#include "exchange/fetch.h"
#include "exchange/weather.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define FIRST_DAYS 400   /* asked for at first, where an address has {from} */
#define AGAIN_DAYS 10    /* before the last time: late corrections */
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

static const struct spl_input follow_rows[] = {
    SPL_INPUT(spl_follow_words, station, NAME, "station", "the station's name", .needed = 1),
    SPL_INPUT(spl_follow_words, address, TEXT, "address", "begins with https://", .needed = 1),
    SPL_INPUT(spl_follow_words, at, COORDINATES, "at",
              "where it stands, if the answer does not say"),
    SPL_INPUT(spl_follow_words, elevation_m, LENGTH, "elevation",
              "its height in metres, if the answer does not say", .bare = 1, .min = -500,
              .max = 9000),
    SPL_INPUT(spl_follow_words, unit, CHOICE, "unit",
              "degrees Celsius, Fahrenheit, or tenths of a C", .words = "c f tenths",
              .value = "c|f|tenths"),
};
const struct spl_inputs spl_follow_inputs =
    SPL_INPUTS("weather_follow", spl_follow_words, follow_rows);

static const struct spl_field fetched_fields[] = {
    SPL_FIELD(spl_weather_fetched, station, SPL_TEXT, "station", "station"),
    SPL_FIELD(spl_weather_fetched, host, SPL_TEXT, "host", "from"),
    SPL_FIELD(spl_weather_fetched, days, SPL_INT, "days", "days"),
    SPL_FIELD(spl_weather_fetched, first, SPL_DAY, "first", "first"),
    SPL_FIELD(spl_weather_fetched, last, SPL_DAY, "last", "last"),
    SPL_FIELD(spl_weather_fetched, foretold, SPL_INT, "foretold", "days foretold"),
    SPL_FIELD(spl_weather_fetched, left_out, SPL_INT, "left_out", "left out"),
    SPL_FIELD(spl_weather_fetched, failed, SPL_TEXT, "failed", "why not"),
    SPL_FIELD(spl_weather_fetched, cautions, SPL_TEXTS, "cautions", "cautions"),
};
const struct spl_shape spl_weather_fetched_shape =
    SPL_SHAPE("weather_fetched", spl_weather_fetched, fetched_fields);

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

/* What an address answers, as a file of its own; spl_fetch_drop. */
static char *fetch(struct spl_house *house, const char *address, struct spl_day from,
                   GError **error)
{
    g_autofree char *program =
        g_build_filename(house->helpers != NULL ? house->helpers : "", "simpling-fetch", NULL);
    g_autofree char *filled = spl_fetch_fill(address, from, house->today);

    if (!spl_fetch_check(filled, error))
        return NULL;
    spl_progress_tell(&house->progress, "fetching", 0, 0);
    return spl_fetch(program, filled, error);
}

gboolean spl_weather_import_file(struct spl_house *house, const struct spl_weather_words *said,
                                 struct spl_weather_import *import, GError **error)
{
    enum spl_weather_unit unit = SPL_WEATHER_UNIT_SAID;
    struct spl_weather_import made = {.cautions = NULL};
    struct spl_weather_words words;
    const char *file;
    char *answer = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_weather_inputs, said, &words, error))
        return FALSE;
    made.cautions = g_ptr_array_new_with_free_func(g_free);
    ok = words.unit == NULL || spl_weather_unit_parse(words.unit, "unit", &unit, error);
    file = words.path;
    if (ok && spl_fetch_is_address(file)) {
        answer = fetch(house, file, spl_day_add(house->today, -FIRST_DAYS), error);
        ok = answer != NULL;
        words.path = answer;
    }
    if (ok)
        ok = words.all ? import_all(house, words.path, unit, &made, error)
                       : import_one(house, &words, unit, &made, error);
    words.path = file;
    spl_fetch_drop(answer);
    spl_inputs_clear(&spl_weather_inputs, &words);
    if (ok)
        *import = made;
    else
        spl_record_clear(&spl_weather_import_shape, &made);
    return ok;
}

/* Following -------------------------------------------------------------------------------------
 */

/* Takes the days to come out of a file's days into `ahead`. */
static void split_future(const struct spl_house *house, struct spl_weather_file *file,
                         GArray *ahead)
{
    guint kept = 0;

    for (guint i = 0; i < file->days->len; i++) {
        struct spl_weather_day day = g_array_index(file->days, struct spl_weather_day, i);

        /* Today is not over: what is said of it is a forecast. */
        if (spl_day_compare(day.day, house->today) < 0)
            g_array_index(file->days, struct spl_weather_day, kept++) = day;
        else
            g_array_append_val(ahead, day);
    }
    g_array_set_size(file->days, kept);
}

/* The answer's columns against those that were pinned. */
static gboolean check_columns(const struct spl_follow_row *row, const struct spl_weather_file *file,
                              GError **error)
{
    if (row->columns == NULL || strcmp(row->columns, file->columns) == 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "its columns are no longer those that it was first taken with (now '%.80s', then "
                "'%.80s'); look at the address and follow it anew",
                file->columns, row->columns);
    return FALSE;
}

/* Fetches and writes one station; `row` has its address, and its columns when they are pinned. */
static gboolean fetch_one(struct spl_house *house, struct spl_follow_row *row,
                          struct spl_station *station, struct spl_weather_fetched *fetched,
                          GError **error)
{
    g_autoptr(GArray) ahead = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    enum spl_weather_unit unit = SPL_WEATHER_UNIT_SAID;
    struct spl_day from = spl_day_is_set(row->fetched) ? spl_day_add(row->fetched, -AGAIN_DAYS)
                                                       : spl_day_add(house->today, -FIRST_DAYS);
    struct spl_weather_file file;
    char *answer;
    gboolean ok;

    if (row->unit != NULL && !spl_weather_unit_parse(row->unit, "unit", &unit, error))
        return FALSE;
    answer = fetch(house, row->url, from, error);
    if (answer == NULL)
        return FALSE;
    ok = spl_weather_file_read(answer, unit, station->name, &house->progress, &file, error);
    spl_fetch_drop(answer);
    if (!ok) {
        g_prefix_error(error, "what the address answers: ");
        return FALSE;
    }
    if (file.has_normals) {
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_INVALID,
            "the address answers monthly normals, which do not change; import them instead");
        spl_weather_file_clear(&file);
        return FALSE;
    }
    split_future(house, &file, ahead);
    station->lat = isnan(station->lat) ? file.lat : station->lat;
    station->lon = isnan(station->lon) ? file.lon : station->lon;
    station->elevation_m = isnan(station->elevation_m) ? file.elevation_m : station->elevation_m;
    ok = check_columns(row, &file, error) &&
         (file.days->len == 0 ||
          check_file(fetched->host, &file, unit != SPL_WEATHER_UNIT_SAID, station, error)) &&
         spl_book_begin(house->book, error);
    if (ok) {
        g_free(row->columns);
        row->columns = g_strdup(file.columns);
        row->fetched = house->today;
        g_clear_pointer(&row->failed, g_free);
        ok = spl_station_put(house->book, station, error) &&
             spl_weather_put_days(house->book, station->id, file.days, &house->progress, error) &&
             spl_weather_put_forecast(house->book, station->id, ahead, house->today, error);
        row->station_id = station->id;
        ok = ok && spl_follow_put(house->book, row, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok) {
        fetched->days = (int)file.days->len;
        fetched->foretold = (int)ahead->len;
        fetched->left_out = (int)file.left->len;
        if (file.days->len > 0) {
            fetched->first = g_array_index(file.days, struct spl_weather_day, 0).day;
            fetched->last =
                g_array_index(file.days, struct spl_weather_day, file.days->len - 1).day;
        }
    }
    spl_weather_file_clear(&file);
    return ok;
}

static struct spl_weather_fetched fetched_of(const char *station, const char *address)
{
    return (struct spl_weather_fetched){.station = g_strdup(station),
                                        .host = spl_fetch_host(address),
                                        .first = SPL_DAY_NONE,
                                        .last = SPL_DAY_NONE,
                                        .cautions = g_ptr_array_new_with_free_func(g_free)};
}

/* `words` is filled in and right. */
static gboolean follow(struct spl_house *house, const struct spl_follow_words *words,
                       struct spl_weather_fetched *fetched, GError **error)
{
    struct spl_station station = {.name = g_strdup(words->station),
                                  .lat = words->at.lat,
                                  .lon = words->at.lon,
                                  .elevation_m = words->elevation_m};
    struct spl_follow_row row = {
        .url = (char *)words->address, .unit = (char *)words->unit, .fetched = SPL_DAY_NONE};
    struct spl_weather_import said = {.cautions = fetched->cautions};
    gboolean ok;

    ok = fetch_one(house, &row, &station, fetched, error) && caution(house, &station, &said, error);
    g_free(row.columns);
    g_free(station.name);
    if (ok)
        g_ptr_array_insert(
            fetched->cautions, 0,
            g_strdup_printf(
                "at every refresh %s learns your address on the net and which place you "
                "ask about; nothing else of the book leaves this machine",
                fetched->host));
    return ok;
}

gboolean spl_weather_follow(struct spl_house *house, const struct spl_follow_words *said,
                            struct spl_weather_fetched *fetched, GError **error)
{
    struct spl_weather_fetched made = {.cautions = NULL};
    struct spl_follow_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_follow_inputs, said, &words, error))
        return FALSE;
    ok = spl_fetch_check(words.address, error);
    if (ok) {
        made = fetched_of(words.station, words.address);
        ok = follow(house, &words, &made, error);
    }
    spl_inputs_clear(&spl_follow_inputs, &words);
    if (ok)
        *fetched = made;
    else
        spl_record_clear(&spl_weather_fetched_shape, &made);
    return ok;
}

/* Notes why a station could not be had. */
static gboolean note_failure(struct spl_house *house, struct spl_follow_row *row, const char *why,
                             GError **error)
{
    gboolean ok;

    g_free(row->failed);
    row->failed = g_strdup(why);
    ok = spl_book_begin(house->book, error);
    return ok && spl_book_finish(house->book, spl_follow_put(house->book, row, error), error);
}

static const struct spl_input refresh_rows[] = {
    SPL_INPUT(spl_refresh_words, station, NAME, "station", "of one of them"),
};
const struct spl_inputs spl_refresh_inputs =
    SPL_INPUTS("weather_refresh", spl_refresh_words, refresh_rows);

GArray *spl_weather_refresh(struct spl_house *house, const char *station, GError **error)
{
    const struct spl_refresh_words said = {station};
    gboolean ok = spl_entry_check(house, &spl_refresh_inputs, &said, error);
    GArray *rows = ok ? spl_follow_all(house->book, error) : NULL, *list;
    g_autofree char *wanted = ok && station != NULL ? spl_name_key(station) : NULL;

    if (rows == NULL)
        return NULL;
    list = spl_list_new(&spl_weather_fetched_shape);
    for (guint i = 0; ok && i < rows->len; i++) {
        struct spl_follow_row *row = &g_array_index(rows, struct spl_follow_row, i);
        struct spl_station place = {
            .name = row->station, .lat = NAN, .lon = NAN, .elevation_m = NAN};
        g_autofree char *key = spl_name_key(row->station);
        struct spl_weather_fetched fetched;
        g_autoptr(GError) why = NULL;

        if (wanted != NULL && strcmp(wanted, key) != 0)
            continue;
        fetched = fetched_of(row->station, row->url);
        if (!fetch_one(house, row, &place, &fetched, &why)) {
            fetched.failed = g_strdup(why->message);
            ok = note_failure(house, row, why->message, error);
        }
        g_array_append_val(list, fetched);
    }
    spl_list_free(&spl_follow_row_shape, rows);
    if (ok && list->len == 0) {
        if (station == NULL)
            g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "no station is followed yet");
        else
            spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "station",
                                "no station of the name '%s' is followed", station);
        ok = FALSE;
    }
    if (ok)
        return list;
    spl_list_free(&spl_weather_fetched_shape, list);
    return NULL;
}

GArray *spl_weather_list(struct spl_house *house, GError **error)
{
    return spl_station_all(house->book, error);
}
