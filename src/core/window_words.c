/* SPDX-License-Identifier: MIT
 *
 * What a window says: its line, and the note that a person must read with it. See core/window.h.
 */
#include <math.h>

#include "base/amount.h"
#include "core/window.h"

static const struct spl_field fields[] = {
    SPL_FIELD(spl_window, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_window, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_window, use, SPL_TEXT, "use", "use"),
    SPL_FIELD_SHOW(spl_window, flush, SPL_INT, "flush", "which time"),
    SPL_FIELD(spl_window, year, SPL_INT, "year", NULL),
    SPL_FIELD(spl_window, earliest, SPL_DAY, "earliest", "may begin"),
    SPL_FIELD(spl_window, likely_start, SPL_DAY, "likely_start", "likely from"),
    SPL_FIELD(spl_window, likely_end, SPL_DAY, "likely_end", "likely to"),
    SPL_FIELD(spl_window, latest, SPL_DAY, "latest", "mostly over"),
    {.key = "stage_from",
     .heading = "from stage",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, stage_from)},
    {.key = "stage_to",
     .heading = "to stage",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, stage_to)},
    SPL_FIELD(spl_window, basis, SPL_WORD, "basis", "basis", .names = spl_basis_names),
    SPL_FIELD_SHOW(spl_window, note, SPL_TEXT, "note", "note"),
    SPL_FIELD_SHOW(spl_window, almanac, SPL_TEXT, "almanac", "almanac"),
    {.key = "almanac_km",
     .heading = "its own place, km away",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, almanac_km)},
    SPL_FIELD_SHOW(spl_window, verdict, SPL_TEXT, "verdict", "verdict"),
    {.key = "way_min",
     .heading = "minutes from home",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, way_min)},
    {.key = "spare_g",
     .heading = "can spare g",
     .kind = SPL_NUM,
     .show_only = TRUE,
     .offset = G_STRUCT_OFFSET(struct spl_window, spare_g)},
};
const struct spl_shape spl_window_shape = SPL_SHAPE("window", spl_window, fields);

static struct spl_day nearest_day(double n)
{
    return (struct spl_day){(gint32)rint(n)};
}

static void say_days(GString *note, double days, const char *zero)
{
    int whole = (int)rint(fabs(days));

    if (whole == 0)
        g_string_append(note, zero);
    else
        g_string_append_printf(note, "%d %s %s", whole, whole == 1 ? "day" : "days",
                               days > 0 ? "later" : "earlier");
}

/* How the days were reckoned. */
static void say_basis(GString *note, const struct spl_window_site *site,
                      const struct spl_forecast *forecast)
{
    gboolean warm = !isnan(forecast->needs_dd);

    if (isnan(forecast->start_shift_d)) {
        g_string_append(note, site->name != NULL
                                  ? "the almanac's own dates, not yet moved to this place"
                                  : "the almanac's own dates for its own place");
    } else if (warm && site->station != NULL) {
        if (spl_day_is_set(forecast->known_until) && !isnan(forecast->reached_dd)) {
            g_autofree char *words = spl_day_words(forecast->known_until);

            g_string_append_printf(note, "by this year's warmth%s to %s, the usual after it, at %s",
                                   site->foretold ? " and the forecast" : "", words, site->station);
        } else {
            g_string_append_printf(note, "by the usual warmth at %s", site->station);
        }
        if (!isnan(site->station_km)) {
            g_autofree char *away = spl_distance_format(site->station_km);

            g_string_append_printf(note, ", %s away", away);
        }
        if (!isnan(site->station_elevation_m) && !forecast->elevation_assumed &&
            fabs(site->station_elevation_m - forecast->elevation_m) >= 100) {
            g_autofree char *apart =
                spl_height_format(fabs(site->station_elevation_m - forecast->elevation_m));

            g_string_append_printf(note, " and %s %s", apart,
                                   site->station_elevation_m > forecast->elevation_m ? "higher"
                                                                                     : "lower");
        }
    } else {
        g_string_append(note, "moved by latitude and height: ");
        say_days(note, forecast->start_shift_d, "no change");
    }
    if (fabs(forecast->period_d) >= 0.5) {
        g_string_append(note, "; older dates, ");
        say_days(note, forecast->period_d, "no change");
        g_string_append(note, " in today's climate");
    }
}

static void say_sightings(GString *note, const struct spl_forecast *forecast)
{
    char day[SPL_DAY_TEXT_SIZE];

    if (forecast->n_sightings > 0) {
        g_string_append_printf(note, "; corrected by %d %s: ", forecast->n_sightings,
                               forecast->n_sightings == 1 ? "sighting" : "sightings");
        say_days(note, forecast->offset_d - forecast->year_d, "no change");
    }
    if (forecast->n_year > 0) {
        g_string_append(note, "; by what was seen near here this year: ");
        say_days(note, forecast->year_d, "no change");
    }
    if (spl_day_is_set(forecast->not_before))
        g_string_append_printf(note, "; not yet begun on %s",
                               spl_day_format(spl_day_add(forecast->not_before, -1), day));
    if (spl_day_is_set(forecast->not_after))
        g_string_append_printf(note, "; seen to be over on %s",
                               spl_day_format(forecast->not_after, day));
}

static char *note_of(const struct spl_window_site *site, const struct spl_forecast *forecast)
{
    GString *note = g_string_sized_new(160);

    if (forecast->basis == SPL_BASIS_FIXED) {
        g_string_append(note, "the days set in your calendar");
        return g_string_free(note, FALSE);
    }
    say_basis(note, site, forecast);
    say_sightings(note, forecast);
    if (forecast->frost_ends || forecast->after_frost) {
        g_autofree char *words = spl_day_words(nearest_day(forecast->frost_n));

        g_string_append_printf(note,
                               forecast->frost_ends
                                   ? "; ended by the usual first killing frost, %s"
                                   : "; the usual first killing frost, %s, comes before its end",
                               words);
    }
    if (forecast->elevation_assumed) {
        g_autofree char *height = spl_height_format(forecast->elevation_m);

        g_string_append_printf(note, "; the site's height is not known, taken as %s", height);
    }
    if (forecast->undated && !isnan(forecast->start_shift_d))
        g_string_append(note, "; nobody says of which years the almanac's dates are");
    if (forecast->half_year)
        g_string_append(note,
                        "; half a year from the almanac's dates, on the other hemisphere: take "
                        "it as a rough guide");
    else if (forecast->fair)
        g_string_append(note, "; the almanac's climate is another one: take it as a rough guide");
    if (forecast->far_ahead)
        g_string_append(note, "; over 45 days ahead: little better than the usual date");
    return g_string_free(note, FALSE);
}

void spl_window_from_forecast(const struct spl_row_season *base, const struct spl_window_site *site,
                              const struct spl_forecast *forecast, struct spl_window *window)
{
    const struct spl_almanac_row *row = base->row;

    *window =
        (struct spl_window){.site = g_strdup(site->name),
                            .material = g_strdup(row->material),
                            .use = g_strdup(row->use),
                            .flush = row->flush,
                            .year = base->season,
                            .earliest = nearest_day(forecast->start_p10_n),
                            .likely_start = nearest_day(forecast->start_n),
                            .likely_end = nearest_day(forecast->end_n),
                            .latest = nearest_day(forecast->end_p90_n),
                            .stage_from = row->stage_from,
                            .stage_to = row->stage_to,
                            .basis = forecast->basis,
                            .note = note_of(site, forecast),
                            .almanac = g_strdup(row->almanac),
                            .almanac_km = spl_almanac_row_has_place(row) ? site->almanac_km : NAN,
                            .way_min = NAN,
                            .spare_g = NAN,
                            .start_p90 = nearest_day(forecast->start_p90_n),
                            .every_days = row->every_days,
                            .row = row};
}

gboolean spl_window_from_almanac(const struct spl_almanac_row *row, const char *site, double lat,
                                 int season, struct spl_window *window)
{
    struct spl_window_site place = {.name = site,
                                    .lat = lat,
                                    .lon = NAN,
                                    .elevation_m = NAN,
                                    .station_km = NAN,
                                    .station_elevation_m = NAN};
    const struct spl_reference reference = {.known = FALSE};
    struct spl_row_season base;
    struct spl_forecast forecast;

    if (!spl_row_season_init(row, season, lat, &reference, &base))
        return FALSE;
    spl_window_forecast_almanac(&base, &place, SPL_DAY_NONE, &forecast);
    spl_window_from_forecast(&base, &place, &forecast, window);
    return TRUE;
}
