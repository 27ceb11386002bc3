/* SPDX-License-Identifier: MIT
 *
 * Listing windows. See simpling/window.h.
 */
#include "simpling/window.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/reach.h"
#include "core/sun.h"
#include "season/window_open.h"
#include "season/windows.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define ODD_DAYS 30.0 /* from what is expected: worth a word */
#define DEW_HOURS 3.0 /* an engineering choice; the setting `dew` overrides it */

static const struct spl_field account_fields[] = {
    SPL_FIELD(spl_window_account, almanac, SPL_TEXT, "almanac", "almanac"),
    SPL_FIELD_NUM(spl_window_account, almanac_km, 0, "almanac_km", "its own place, km away"),
    SPL_FIELD_NUM(spl_window_account, climate_k, 1, "climate_k", "climates apart K"),
    SPL_FIELD(spl_window_account, source, SPL_TEXT, "source", "source"),
    SPL_FIELD_NUM(spl_window_account, period_d, 1, "period_d", "days later in today's climate"),
    SPL_FIELD(spl_window_account, usual_start, SPL_DAY, "usual_start", "usual from"),
    SPL_FIELD(spl_window_account, usual_end, SPL_DAY, "usual_end", "usual to"),
    SPL_FIELD_NUM(spl_window_account, shift_d, 1, "shift_d", "days later by place"),
    SPL_FIELD(spl_window_account, station, SPL_TEXT, "station", "station"),
    SPL_FIELD_NUM(spl_window_account, station_km, 1, "station_km", "km away"),
    SPL_FIELD_NUM(spl_window_account, station_elevation_m, 0, "station_elevation_m",
                  "station's height m"),
    SPL_FIELD_NUM(spl_window_account, elevation_m, 0, "elevation_m", "height m"),
    SPL_FIELD(spl_window_account, sum_from, SPL_DAY, "sum_from", "warmth from"),
    SPL_FIELD_NUM(spl_window_account, needs_dd, 0, "needs_dd", "warmth needed, degree-days"),
    SPL_FIELD_NUM(spl_window_account, reached_dd, 0, "reached_dd", "reached"),
    SPL_FIELD(spl_window_account, known_until, SPL_DAY, "known_until", "by"),
    SPL_FIELD(spl_window_account, sightings, SPL_INT, "sightings", "sightings"),
    SPL_FIELD_NUM(spl_window_account, sightings_d, 1, "sightings_d", "moved by sightings, days"),
    SPL_FIELD(spl_window_account, year_sightings, SPL_INT, "year_sightings",
              "sightings near by this year"),
    SPL_FIELD_NUM(spl_window_account, year_d, 1, "year_d", "moved by those, days"),
    SPL_FIELD(spl_window_account, frost, SPL_DAY, "frost", "usual first killing frost"),
    SPL_FIELD_NUM(spl_window_account, start_sd_d, 1, "start_sd_d", "start, give or take days"),
    SPL_FIELD_NUM(spl_window_account, end_sd_d, 1, "end_sd_d", "end, give or take days"),
};
const struct spl_shape spl_window_account_shape =
    SPL_SHAPE("window_account", spl_window_account, account_fields);

static const struct spl_field told_fields[] = {
    SPL_FIELD(spl_window_told, window.site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_window_told, window.material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_window_told, window.use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_window_told, window.flush, SPL_INT, "flush", "which time"),
    SPL_FIELD(spl_window_told, window.year, SPL_INT, "year", NULL),
    SPL_FIELD(spl_window_told, window.earliest, SPL_DAY, "earliest", "may begin"),
    SPL_FIELD(spl_window_told, window.likely_start, SPL_DAY, "likely_start", "likely from"),
    SPL_FIELD(spl_window_told, window.likely_end, SPL_DAY, "likely_end", "to"),
    SPL_FIELD(spl_window_told, window.latest, SPL_DAY, "latest", "mostly over"),
    SPL_FIELD_NUM(spl_window_told, window.stage_from, 0, "stage_from", "stage"),
    SPL_FIELD_NUM(spl_window_told, window.stage_to, 0, "stage_to", "to"),
    SPL_FIELD(spl_window_told, window.basis, SPL_WORD, "basis", "basis", .names = spl_basis_names),
    SPL_FIELD(spl_window_told, window.note, SPL_TEXT, "note", "note"),
    SPL_FIELD(spl_window_told, window.almanac, SPL_TEXT, "almanac", "almanac"),
    SPL_FIELD_NUM(spl_window_told, window.almanac_km, 0, "almanac_km", "its own place, km away"),
    SPL_FIELD(spl_window_told, window.verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD_NUM(spl_window_told, window.way_min, 0, "way_min", "minutes from home"),
    SPL_FIELD_NUM(spl_window_told, window.spare_g, 0, "spare_g", "can spare g"),
    SPL_FIELD_ONE(spl_window_told, explain, &spl_window_account_shape, "explain"),
};
const struct spl_shape spl_window_told_shape =
    SPL_SHAPE("window_told", spl_window_told, told_fields);

struct listing {
    struct spl_window_maker *maker;
    struct spl_window_open *open; /* NULL: every window is asked for, at every place */
    struct spl_day day;           /* on which one stands */
    const struct spl_window_words *words;
    const char *material;
    struct spl_progress *progress;
    gboolean (*each)(const struct spl_window_told *told, gpointer data, GError **error);
    gpointer data;
    gint64 done;
};

static gboolean list_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct listing *listing = data;
    const struct spl_window_words *words = listing->words;
    GArray *list;
    gboolean ok;

    if (listing->open != NULL && !spl_window_open_within(listing->open, site))
        return TRUE;
    list = words->year != SPL_COUNT_NONE
               ? spl_window_maker_year(listing->maker, site, words->year, listing->material,
                                       words->use, words->explain, error)
               : spl_window_maker_on(listing->maker, site, listing->day, listing->material,
                                     words->use, words->explain, error);
    ok = list != NULL &&
         (listing->open == NULL || spl_window_open_keep(listing->open, site, list, error));

    if (ok && words->unfit != NULL && spl_window_maker_unfit(listing->maker) != NULL)
        g_ptr_array_add(words->unfit, g_strdup_printf("%s: %s", site->name,
                                                      spl_window_maker_unfit(listing->maker)));

    for (guint i = 0; ok && i < list->len; i++)
        ok = listing->each(&g_array_index(list, struct spl_window_told, i), listing->data, error);
    spl_list_free(&spl_window_told_shape, list);
    spl_progress_tell(listing->progress, "foretelling windows", ++listing->done, 0);
    return ok;
}

static gboolean list_near(struct listing *listing, struct spl_coordinates near, GError **error)
{
    struct spl_site place = {
        .lat = near.lat, .lon = near.lon, .elevation_m = NAN, .accuracy_m = NAN};
    g_autofree char *name = NULL, *lat = NULL, *lon = NULL;

    lat = spl_number_format(place.lat, 4);
    lon = spl_number_format(place.lon, 4);
    name = g_strconcat(lat, ",", lon, NULL);
    place.name = name;
    return list_site(&place, listing, error);
}

static const struct spl_input window_rows[] = {
    SPL_INPUT(spl_window_words, year, COUNT, "year", "the growing year (default this one)",
              .value = "Y", .min = 1, .max = 9998),
    SPL_INPUT(spl_window_words, site, SITE, "site", "at one place"),
    SPL_INPUT(spl_window_words, near, COORDINATES, "near", "at a point, in place of a site"),
    SPL_INPUT(spl_window_words, material, MATERIAL, "material", "of one material"),
    SPL_INPUT(spl_window_words, use, NAME, "use", "for one purpose: medicine or food",
              .value = "WHAT"),
    SPL_INPUT(spl_window_words, open, FLAG, "open",
              "what can be gathered on one day: of known stands, with the verdict, without closed "
              "ground"),
    SPL_INPUT(spl_window_words, on, DAY, "on", "open on that day (default today)"),
    SPL_INPUT(spl_window_words, within, NAME, "within",
              "not farther from home than that, one way: 20min", .value = "TIME"),
    SPL_INPUT(spl_window_words, explain, FLAG, "explain",
              "how each window came about, with the sums"),
};
static const struct spl_rule window_rules[] = {{SPL_RULE_MOST, {"near", "site"}},
                                               {SPL_RULE_MOST, {"open", "year"}},
                                               {SPL_RULE_WITH, {"on", "open"}},
                                               {SPL_RULE_WITH, {"within", "open"}}};
const struct spl_inputs spl_window_inputs =
    SPL_INPUTS("window", spl_window_words, window_rows, SPL_RULES(window_rules));

static gboolean list_windows(struct spl_house *house, struct listing *listing, GError **error)
{
    const struct spl_window_words *words = listing->words;
    g_autoptr(spl_window_maker) maker = NULL;
    g_autoptr(spl_window_open) open = NULL;
    struct spl_site site = {0};
    gboolean ok;

    if (words->site != NULL && !spl_house_site(house, "site", words->site, &site, error))
        return FALSE;
    listing->material = words->material;
    if (words->open) {
        listing->open = open = spl_window_open_new(house, words, error);
        listing->day = spl_day_is_set(words->on) ? words->on : house->today;
        if (open == NULL) {
            spl_record_clear(&spl_site_shape, &site);
            return FALSE;
        }
    }
    listing->maker = maker = spl_window_maker_new(house, site.id, error);
    if (maker == NULL)
        ok = FALSE;
    else if (words->site != NULL)
        ok = list_site(&site, listing, error);
    else if (!isnan(words->near.lat))
        ok = list_near(listing, words->near, error);
    else
        ok = spl_site_each(house->book, list_site, listing, error);
    if (ok && open != NULL && words->unfit != NULL)
        spl_window_open_left_out(open, words->unfit);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

gboolean spl_window_list(struct spl_house *house, const struct spl_window_words *said,
                         gboolean (*each)(const struct spl_window_told *told, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    struct spl_window_words words;
    struct listing listing = {.day = house->today,
                              .words = &words,
                              .progress = &house->progress,
                              .each = each,
                              .data = data};
    gboolean ok;

    if (!spl_entry_take(house, &spl_window_inputs, said, &words, error))
        return FALSE;
    words.unfit = said->unfit;
    ok = list_windows(house, &listing, error);
    spl_inputs_clear(&spl_window_inputs, &words);
    return ok;
}

/* Odd stages ------------------------------------------------------------------------------------
 */

char *spl_stage_doubt(struct spl_house *house, const char *site_name, const char *material,
                      int stage, struct spl_day on, GError **error)
{
    g_autoptr(spl_window_maker) maker = NULL;
    struct spl_site site = {0};
    double least = INFINITY;
    char *words = NULL;

    if (!spl_site_find(house->book, site_name, &site, error))
        return NULL;
    /* As the day before, so that the sighting itself moves nothing. */
    maker = spl_window_maker_new_at(house, site.id, spl_day_add(on, -1), 0, error);
    for (int season = spl_day_season(on, site.lat) - 1;
         maker != NULL && season <= spl_day_season(on, site.lat) + 1; season++) {
        GArray *list = spl_window_maker_at(maker, &site, season, material, NULL, FALSE, error);

        for (guint i = 0; list != NULL && i < list->len; i++) {
            const struct spl_window *window =
                &g_array_index(list, struct spl_window_told, i).window;
            struct spl_forecast line = {.start_n = window->likely_start.n,
                                        .end_n = window->likely_end.n};
            double day = spl_window_stage_day(window->row, &line, stage);

            if (spl_window_stage_lasts(stage) && !isnan(day))
                day = CLAMP((double)on.n, line.start_n, line.end_n);
            if (!isnan(day) && fabs(on.n - day) < fabs(least))
                least = on.n - day;
        }
        spl_list_free(&spl_window_told_shape, list);
    }
    spl_record_clear(&spl_site_shape, &site);
    if (isfinite(least) && fabs(least) > SPL_REACH_MOVE_D)
        words =
            g_strdup_printf("that is %.0f days %s than it is expected here: the note is kept, but "
                            "no window is moved by it; is the stage or the day a slip?",
                            fabs(least), least > 0 ? "later" : "earlier");
    else if (isfinite(least) && fabs(least) > ODD_DAYS)
        words =
            g_strdup_printf("that is %.0f days %s than it is expected here; it counts for little "
                            "in other years. Is the stage or the day a slip?",
                            fabs(least), least > 0 ? "later" : "earlier");
    return words;
}

/* Picking hours ---------------------------------------------------------------------------------
 */

/* Minutes after 0h UTC of `day` as the clock of `zone` shows them. */
static char *clock_of(GTimeZone *zone, struct spl_day day, double minutes)
{
    gint64 utc = (gint64)day.n * 86400 + (gint64)rint(minutes) * 60;
    g_autoptr(GDateTime) there = NULL;
    g_autoptr(GDateTime) instant = g_date_time_new_from_unix_utc(utc);

    if (instant == NULL)
        return g_strdup("");
    there = g_date_time_to_timezone(instant, zone);
    return g_date_time_format(there, "%H:%M");
}

static gboolean is_flower(const char *material)
{
    return material != NULL && g_str_has_suffix(material, "/flower");
}

char *spl_picking_words(struct spl_house *house, double lat, double lon, struct spl_day day,
                        const char *material)
{
    g_autofree char *name = spl_house_setting_text(house, "zone");
    g_autoptr(GTimeZone) zone = NULL;
    g_autofree char *from_text = NULL, *until_text = NULL;
    gboolean flower = is_flower(material);
    double dew = DEW_HOURS, from, until;

    spl_house_setting_number(house, "dew", &dew);
    if (!spl_sun_picking(day, lat, lon, dew, flower, &from, &until))
        return NULL;
    zone = name != NULL ? g_time_zone_new_identifier(name) : NULL;
    if (zone == NULL)
        zone = g_time_zone_new_utc();
    from_text = clock_of(zone, day, from);
    until_text = clock_of(zone, day, until);
    return g_strdup_printf("from %s, when the dew is off, to %s%s%s", from_text, until_text,
                           flower ? ", while the flowers are fresh" : "",
                           name == NULL ? " (UTC)" : "");
}
