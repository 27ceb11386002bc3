/* SPDX-License-Identifier: MIT
 *
 * How good the windows of a past year were. See simpling/window.h.
 */
#include <math.h>
#include <string.h>

#include "book/sighting.h"
#include "season/windows.h"
#include "simpling/error.h"

#define MOST_STAGES 5000 /* of one material */

static const struct spl_field error_fields[] = {
    SPL_FIELD(spl_window_error, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_window_error, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_SHOW(spl_window_error, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_window_error, stage, SPL_INT, "stage", "stage"),
    SPL_FIELD(spl_window_error, on, SPL_DAY, "on", "seen"),
    SPL_FIELD_SHOW(spl_window_error, from, SPL_TEXT, "from", "from"),
    SPL_FIELD_NUM(spl_window_error, almanac_d, 1, "almanac_d", "almanac d"),
    SPL_FIELD_NUM(spl_window_error, place_d, 1, "place_d", "place d"),
    SPL_FIELD_NUM(spl_window_error, ahead_30_d, 1, "ahead_30_d", "30 d ahead"),
    SPL_FIELD_NUM(spl_window_error, ahead_14_d, 1, "ahead_14_d", "14 d ahead"),
    SPL_FIELD_NUM(spl_window_error, ahead_7_d, 1, "ahead_7_d", "7 d ahead"),
    SPL_FIELD_NUM(spl_window_error, whole_year_d, 1, "whole_year_d", "whole year d"),
};
const struct spl_shape spl_window_error_shape =
    SPL_SHAPE("window_error", spl_window_error, error_fields);

static const struct spl_field errors_fields[] = {
    SPL_FIELD(spl_window_errors, year, SPL_INT, "year", "year"),
    SPL_FIELD(spl_window_errors, stages, SPL_INT, "stages", "stages compared"),
    SPL_FIELD(spl_window_errors, outside, SPL_INT, "outside", "stages that no almanac row covers"),
    SPL_FIELD_NUM(spl_window_errors, almanac_rms_d, 1, "almanac_rms_d",
                  "the almanac's own days: off by days (rms)"),
    SPL_FIELD_NUM(spl_window_errors, place_rms_d, 1, "place_rms_d", "moved by place"),
    SPL_FIELD_NUM(spl_window_errors, ahead_30_rms_d, 1, "ahead_30_rms_d", "foretold 30 days ahead"),
    SPL_FIELD_NUM(spl_window_errors, ahead_14_rms_d, 1, "ahead_14_rms_d", "foretold 14 days ahead"),
    SPL_FIELD_NUM(spl_window_errors, ahead_7_rms_d, 1, "ahead_7_rms_d", "foretold 7 days ahead"),
    SPL_FIELD_NUM(spl_window_errors, whole_year_rms_d, 1, "whole_year_rms_d",
                  "with the whole year's weather"),
    SPL_FIELD_LIST(spl_window_errors, errors, &spl_window_error_shape, "errors", "each stage"),
};
const struct spl_shape spl_window_errors_shape =
    SPL_SHAPE("window_errors", spl_window_errors, errors_fields);

/* A stage that was logged in the year. */
struct logged {
    struct spl_seen seen;
    char *material; /* borrowed */
    struct spl_site *site;
};

/* The stages of the year, in no order; FALSE with an error. */
static gboolean gather(struct spl_house *house, GPtrArray *materials, int year, gint64 site_id,
                       GHashTable *sites, GArray *logged, GError **error)
{
    for (guint m = 0; m < materials->len; m++) {
        char *material = g_ptr_array_index(materials, m);
        g_autoptr(GArray) seen = spl_seen_list(
            house->book, material, site_id, spl_day_from_ymd(year + 1, 6, 30), MOST_STAGES, error);

        if (seen == NULL)
            return FALSE;
        for (guint i = 0; i < seen->len; i++) {
            struct logged one = {.seen = g_array_index(seen, struct spl_seen, i),
                                 .material = material};

            one.site = g_hash_table_lookup(sites, &one.seen.site_id);
            if (one.site == NULL) {
                one.site = g_new0(struct spl_site, 1);
                if (!spl_site_load(house->book, one.seen.site_id, one.site, error)) {
                    g_free(one.site);
                    return FALSE;
                }
                g_hash_table_insert(sites, &one.site->id, one.site);
            }
            if (spl_day_season(one.seen.on, one.site->lat) == year &&
                spl_day_compare(one.seen.on, house->today) <= 0)
                g_array_append_val(logged, one);
        }
    }
    return TRUE;
}

/* The ways of foretelling that are compared. */
enum way { WAY_ALMANAC, WAY_PLACE, WAY_30, WAY_14, WAY_7, WAY_WHOLE, N_WAYS };

/*
 * The day on which a window expects what was logged. A stage note says when a stage began; a
 * harvest says that the window was open: any day of it is as good, so the nearest counts.
 */
static double day_in(const struct spl_almanac_row *row, double start_n, double end_n,
                     const struct logged *logged)
{
    struct spl_forecast line = {.start_n = start_n, .end_n = end_n};
    double day = spl_window_stage_day(row, &line, logged->seen.stage);

    if (isnan(day) || !logged->seen.harvest)
        return day;
    return CLAMP((double)logged->seen.on.n, start_n, end_n);
}

/* The window that covers a stage, with the day on which it expects it; the nearest of several. */
static double expected_of(const GArray *windows, const struct logged *logged, char **use)
{
    double best = NAN;

    for (guint i = 0; i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window_told, i).window;
        double day = day_in(window->row, window->likely_start.n, window->likely_end.n, logged);

        if (isnan(day) ||
            (!isnan(best) && fabs(day - logged->seen.on.n) >= fabs(best - logged->seen.on.n)))
            continue;
        best = day;
        if (use != NULL) {
            g_free(*use);
            *use = g_strdup(window->use);
        }
    }
    return best;
}

static double almanac_day(const GArray *windows, const struct logged *logged, int year)
{
    double best = NAN;

    for (guint i = 0; i < windows->len; i++) {
        const struct spl_almanac_row *row =
            g_array_index(windows, struct spl_window_told, i).window.row;
        struct spl_day start, end;
        double day;

        spl_almanac_row_days(row, year, logged->site->lat, &start, &end);
        day = day_in(row, start.n, end.n, logged);
        if (!isnan(day) &&
            (isnan(best) || fabs(day - logged->seen.on.n) < fabs(best - logged->seen.on.n)))
            best = day;
    }
    return best;
}

/* One stage foretold in every way; FALSE without an error: no row covers it. */
static gboolean foretell(struct spl_window_maker *maker, const struct logged *logged, int year,
                         struct spl_window_error *out, double way[N_WAYS], GError **error)
{
    struct spl_day first, last;
    /* The day before the sighting, so that it does not foretell itself; and before the season,
     * when nothing but the place and earlier years is known. */
    struct spl_day seen_on[N_WAYS] = {
        [WAY_30] = spl_day_add(logged->seen.on, -30),
        [WAY_14] = spl_day_add(logged->seen.on, -14),
        [WAY_7] = spl_day_add(logged->seen.on, -7),
        [WAY_WHOLE] = spl_day_add(logged->seen.on, -1),
    };

    spl_day_season_bounds(year, logged->site->lat, &first, &last);
    seen_on[WAY_PLACE] = spl_day_add(first, -120);
    seen_on[WAY_ALMANAC] = seen_on[WAY_PLACE];
    for (int w = WAY_PLACE; w < N_WAYS; w++) {
        GArray *windows;

        spl_window_maker_set_today(maker, seen_on[w]);
        windows =
            spl_window_maker_at(maker, logged->site, year, logged->material, NULL, FALSE, error);
        if (windows == NULL)
            return FALSE;
        way[w] = expected_of(windows, logged, w == WAY_WHOLE ? &out->use : NULL);
        if (w == WAY_PLACE)
            way[WAY_ALMANAC] = almanac_day(windows, logged, year);
        spl_list_free(&spl_window_told_shape, windows);
    }
    for (int w = 0; w < N_WAYS; w++)
        way[w] -= logged->seen.on.n;
    return !isnan(way[WAY_WHOLE]);
}

static int by_place(gconstpointer a, gconstpointer b)
{
    const struct spl_window_error *x = a, *y = b;
    int order = strcmp(x->site, y->site);

    if (order == 0)
        order = strcmp(x->material, y->material);
    return order != 0 ? order : spl_day_compare(x->on, y->on);
}

static gboolean compare_all(struct spl_house *house, const GArray *logged, int year,
                            struct spl_window_errors *errors, GError **error)
{
    double squares[N_WAYS] = {0};
    int n[N_WAYS] = {0};
    double *rms[N_WAYS] = {&errors->almanac_rms_d,  &errors->place_rms_d,
                           &errors->ahead_30_rms_d, &errors->ahead_14_rms_d,
                           &errors->ahead_7_rms_d,  &errors->whole_year_rms_d};
    g_autoptr(spl_window_maker) maker =
        spl_window_maker_new_at(house, 0, house->today, year, error);

    if (maker == NULL)
        return FALSE;
    for (guint i = 0; i < logged->len; i++) {
        const struct logged *one = &g_array_index(logged, struct logged, i);
        struct spl_window_error row = {.use = NULL};
        GError *failed = NULL;
        double way[N_WAYS];

        spl_progress_tell(&house->progress, "foretelling again", i, logged->len);
        if (!foretell(maker, one, year, &row, way, &failed)) {
            g_free(row.use);
            if (failed != NULL) {
                g_propagate_error(error, failed);
                return FALSE;
            }
            errors->outside++;
            continue;
        }
        for (int w = 0; w < N_WAYS; w++) {
            if (isnan(way[w]))
                continue;
            squares[w] += way[w] * way[w];
            n[w]++;
        }
        row.site = g_strdup(one->site->name);
        row.material = g_strdup(one->material);
        row.stage = one->seen.stage;
        row.on = one->seen.on;
        row.from = g_strdup(one->seen.harvest ? "harvest" : "stage note");
        row.almanac_d = way[WAY_ALMANAC];
        row.place_d = way[WAY_PLACE];
        row.ahead_30_d = way[WAY_30];
        row.ahead_14_d = way[WAY_14];
        row.ahead_7_d = way[WAY_7];
        row.whole_year_d = way[WAY_WHOLE];
        g_array_append_val(errors->errors, row);
    }
    errors->stages = (int)errors->errors->len;
    for (int w = 0; w < N_WAYS; w++)
        *rms[w] = n[w] > 0 ? sqrt(squares[w] / n[w]) : NAN;
    g_array_sort(errors->errors, by_place);
    return TRUE;
}

static void free_site(gpointer site)
{
    spl_record_free(&spl_site_shape, site);
}

gboolean spl_window_check(struct spl_house *house, int year, const char *site, const char *material,
                          struct spl_window_errors *errors, GError **error)
{
    g_autoptr(GHashTable) sites =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, free_site);
    g_autoptr(GArray) logged = g_array_new(FALSE, FALSE, sizeof(struct logged));
    g_autoptr(GPtrArray) materials = NULL;
    struct spl_site place = {0};
    gint64 site_id;
    gboolean ok;

    *errors = (struct spl_window_errors){.year = year};
    if (site != NULL && !spl_site_find(house->book, site, &place, error))
        return FALSE;
    site_id = place.id;
    spl_record_clear(&spl_site_shape, &place);
    if (material != NULL) {
        const struct spl_tables *tables = spl_house_tables(house, error);
        const struct spl_material *found;

        if (tables == NULL || !spl_tables_material(tables, material, &found, error))
            return FALSE;
        materials = g_ptr_array_new_with_free_func(g_free);
        g_ptr_array_add(materials, g_strdup(found->slug));
    } else {
        materials = spl_seen_materials(house->book, error);
        if (materials == NULL)
            return FALSE;
    }
    errors->errors = spl_list_new(&spl_window_error_shape);
    ok = gather(house, materials, year, site_id, sites, logged, error) &&
         compare_all(house, logged, year, errors, error);
    if (!ok)
        spl_record_clear(&spl_window_errors_shape, errors);
    return ok;
}
