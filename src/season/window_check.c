/* SPDX-License-Identifier: MIT
 *
 * How good the windows of past years were. See simpling/window.h.
 */
#include <math.h>
#include <string.h>

#include "book/sighting.h"
#include "season/windows.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define BEFORE_DAYS 120 /* before the growing year nothing of it is known */

static const struct spl_field error_fields[] = {
    SPL_FIELD(spl_window_error, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_window_error, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_SHOW(spl_window_error, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_window_error, year, SPL_INT, "year", NULL),
    SPL_FIELD(spl_window_error, stage, SPL_INT, "stage", "stage"),
    SPL_FIELD(spl_window_error, on, SPL_DAY, "on", "seen"),
    SPL_FIELD_NUM(spl_window_error, almanac_d, 1, "almanac_d", "almanac"),
    SPL_FIELD_NUM(spl_window_error, place_d, 1, "place_d", "place"),
    SPL_FIELD_NUM(spl_window_error, ahead_30_d, 1, "ahead_30_d", "30 d"),
    SPL_FIELD_NUM(spl_window_error, ahead_21_d, 1, "ahead_21_d", "21 d"),
    SPL_FIELD_NUM(spl_window_error, ahead_14_d, 1, "ahead_14_d", "14 d"),
    SPL_FIELD_NUM(spl_window_error, ahead_7_d, 1, "ahead_7_d", "7 d"),
    SPL_FIELD_NUM(spl_window_error, whole_year_d, 1, "whole_year_d", "all"),
    SPL_FIELD(spl_window_error, foretold_p10, SPL_DAY, "foretold_p10", NULL),
    SPL_FIELD(spl_window_error, foretold, SPL_DAY, "foretold", NULL),
    SPL_FIELD(spl_window_error, foretold_p90, SPL_DAY, "foretold_p90", NULL),
};
const struct spl_shape spl_window_error_shape =
    SPL_SHAPE("window_error", spl_window_error, error_fields);

static const struct spl_field picked_fields[] = {
    SPL_FIELD(spl_window_picked, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_window_picked, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_SHOW(spl_window_picked, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_window_picked, year, SPL_INT, "year", NULL),
    SPL_FIELD_SHOW(spl_window_picked, stage, SPL_INT, "stage", "stage"),
    SPL_FIELD(spl_window_picked, on, SPL_DAY, "on", "picked"),
    SPL_FIELD(spl_window_picked, inside_30, SPL_BOOL, "inside_30", "30 d"),
    SPL_FIELD(spl_window_picked, inside_21, SPL_BOOL, "inside_21", "21 d"),
    SPL_FIELD(spl_window_picked, inside_14, SPL_BOOL, "inside_14", "14 d"),
    SPL_FIELD(spl_window_picked, inside_7, SPL_BOOL, "inside_7", "7 d"),
    SPL_FIELD(spl_window_picked, foretold_from, SPL_DAY, "foretold_from", NULL),
    SPL_FIELD(spl_window_picked, foretold_to, SPL_DAY, "foretold_to", NULL),
};
const struct spl_shape spl_window_picked_shape =
    SPL_SHAPE("window_picked", spl_window_picked, picked_fields);

static const struct spl_field skill_fields[] = {
    SPL_FIELD(spl_window_skill, lead, SPL_TEXT, "lead", "foretold"),
    SPL_FIELD(spl_window_skill, stages, SPL_INT, "stages", "stages"),
    SPL_FIELD_NUM(spl_window_skill, rmse_d, 1, "rmse_d", "typical error, days"),
    SPL_FIELD_NUM(spl_window_skill, bias_d, 1, "bias_d", "late by d"),
    SPL_FIELD(spl_window_skill, inside, SPL_INT, "inside", "in the range"),
    SPL_FIELD_NUM(spl_window_skill, inside_pct, 0, "inside_pct", "% (80 is right)"),
    SPL_FIELD(spl_window_skill, picked, SPL_INT, "picked", "picked"),
    SPL_FIELD(spl_window_skill, picked_inside, SPL_INT, "picked_inside", "inside"),
};
const struct spl_shape spl_window_skill_shape =
    SPL_SHAPE("window_skill", spl_window_skill, skill_fields);

static const struct spl_field errors_fields[] = {
    SPL_FIELD(spl_window_errors, from_year, SPL_INT, "from_year", "from"),
    SPL_FIELD(spl_window_errors, to_year, SPL_INT, "to_year", "to"),
    SPL_FIELD(spl_window_errors, stages, SPL_INT, "stages", "stages compared"),
    SPL_FIELD(spl_window_errors, pickings, SPL_INT, "pickings", "pickings compared"),
    SPL_FIELD(spl_window_errors, outside, SPL_INT, "outside",
              "sightings that no almanac row covers"),
    SPL_FIELD_LIST(spl_window_errors, skill, &spl_window_skill_shape, "skill", "how good"),
    SPL_FIELD_LIST(spl_window_errors, errors, &spl_window_error_shape, "errors",
                   "each stage, off by days (+ too late)"),
    SPL_FIELD_LIST(spl_window_errors, picked, &spl_window_picked_shape, "picked",
                   "each picking, inside its window as foretold"),
};
const struct spl_shape spl_window_errors_shape =
    SPL_SHAPE("window_errors", spl_window_errors, errors_fields);

static const char *const lead_words[SPL_WINDOW_LEADS] = {
    "almanac",       "place",        "30 days ahead", "21 days ahead",
    "14 days ahead", "7 days ahead", "whole year"};

/* A sighting of one growing year. */
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
        /* North or south: the growing year of both ends there. */
        g_autoptr(GArray) seen =
            spl_seen_between(house->book, material, site_id, spl_day_from_ymd(year, 1, 1),
                             spl_day_from_ymd(year + 1, 6, 30), error);

        if (seen == NULL)
            return FALSE;
        for (guint i = 0; i < seen->len; i++) {
            struct logged one = {.seen = g_array_index(seen, struct spl_seen, i),
                                 .material = material};

            one.site = g_hash_table_lookup(sites, &one.seen.site_id);
            if (one.site == NULL) {
                one.site = g_new0(struct spl_site, 1);
                if (!spl_site_named(house->book, one.seen.site_id, one.site, error)) {
                    g_free(one.site);
                    return FALSE;
                }
                g_hash_table_insert(sites, &one.site->id, one.site);
            }
            if (!one.site->gone && spl_day_season(one.seen.on, one.site->lat) == year &&
                spl_day_compare(one.seen.on, house->today) <= 0)
                g_array_append_val(logged, one);
        }
    }
    return TRUE;
}

/* What one lead said of a sighting, in fractional days. */
struct said {
    gboolean known;
    double p10_n, middle_n, p90_n;   /* of the stage's day */
    struct spl_day earliest, latest; /* of the window */
};

static struct said say(const struct spl_window *window, int stage)
{
    struct spl_forecast line = {.start_n = window->likely_start.n,
                                .end_n = window->likely_end.n,
                                .start_p10_n = window->earliest.n,
                                .start_p90_n = window->start_p90.n,
                                .end_sd_d =
                                    (window->latest.n - window->likely_end.n) / SPL_WINDOW_P90};
    struct said said = {.earliest = window->earliest, .latest = window->latest};
    double part, sd;

    said.middle_n = spl_window_stage_day(window->row, &line, stage);
    said.known = !isnan(said.middle_n);
    if (!said.known)
        return said;
    sd = SPL_WINDOW_P90 * spl_window_stage_sd(window->row, &line, stage);
    part =
        window->row->stage_to > window->row->stage_from
            ? (stage - window->row->stage_from) / (window->row->stage_to - window->row->stage_from)
            : 0;
    /* The first stage keeps the range that is told, which need not be even. */
    said.p10_n = part > 0 ? said.middle_n - sd : window->earliest.n;
    said.p90_n = part > 0 ? said.middle_n + sd : window->start_p90.n;
    return said;
}

/* The row that a sighting belongs to: of those that have its stage, the one whose usual days are
 * nearest. NULL: none. */
static const struct spl_almanac_row *row_of(const GArray *usual, const struct logged *logged,
                                            char **use)
{
    const struct spl_almanac_row *row = NULL;
    double least = INFINITY;

    for (guint i = 0; i < usual->len; i++) {
        const struct spl_window *window = &g_array_index(usual, struct spl_window_told, i).window;
        struct said said = say(window, logged->seen.stage);
        double off;

        if (!said.known)
            continue;
        off = logged->seen.harvest ? logged->seen.on.n - CLAMP((double)logged->seen.on.n,
                                                               (double)window->likely_start.n,
                                                               (double)window->likely_end.n)
                                   : logged->seen.on.n - said.middle_n;
        if (fabs(off) >= least)
            continue;
        least = fabs(off);
        row = window->row;
        g_free(*use);
        *use = g_strdup(window->use);
    }
    return row;
}

static double almanac_day(const struct spl_almanac_row *row, const struct logged *logged, int year)
{
    struct spl_forecast line = {.start_n = 0};
    struct spl_day start, end;

    spl_almanac_row_days(row, year, logged->site->lat, &start, &end);
    line.start_n = start.n;
    line.end_n = end.n;
    return spl_window_stage_day(row, &line, logged->seen.stage);
}

/* Which leads are reckoned, a bit each; the place's own days choose the row and always are. */
#define EVERY_LEAD ((1u << SPL_WINDOW_LEADS) - 1)
#define A_FORTNIGHT ((1u << SPL_WINDOW_PLACE) | (1u << SPL_WINDOW_AHEAD_14))

/* A sighting foretold at those leads, each time as on that day. FALSE without an error: no row
 * covers it. */
static gboolean foretell(struct spl_window_maker *maker, const struct logged *logged, int year,
                         guint leads, char **use, struct said said[SPL_WINDOW_LEADS],
                         GError **error)
{
    static const int ahead[SPL_WINDOW_LEADS] = {[SPL_WINDOW_AHEAD_30] = 30,
                                                [SPL_WINDOW_AHEAD_21] = 21,
                                                [SPL_WINDOW_AHEAD_14] = 14,
                                                [SPL_WINDOW_AHEAD_7] = 7,
                                                [SPL_WINDOW_WHOLE] = 1};
    const struct spl_almanac_row *row = NULL;
    struct spl_day first, last;

    memset(said, 0, SPL_WINDOW_LEADS * sizeof *said);
    spl_day_season_bounds(year, logged->site->lat, &first, &last);
    for (int lead = SPL_WINDOW_PLACE; lead < SPL_WINDOW_LEADS; lead++) {
        GArray *windows;

        if ((leads & (1u << lead)) == 0)
            continue;
        spl_window_maker_set_today(maker, lead == SPL_WINDOW_PLACE
                                              ? spl_day_add(first, -BEFORE_DAYS)
                                              : spl_day_add(logged->seen.on, -ahead[lead]));
        windows =
            spl_window_maker_at(maker, logged->site, year, logged->material, NULL, FALSE, error);
        if (windows == NULL)
            return FALSE;
        if (lead == SPL_WINDOW_PLACE)
            row = row_of(windows, logged, use);
        for (guint i = 0; i < windows->len; i++) {
            const struct spl_window *window =
                &g_array_index(windows, struct spl_window_told, i).window;

            if (row != NULL && window->row == row)
                said[lead] = say(window, logged->seen.stage);
        }
        spl_list_free(&spl_window_told_shape, windows);
        if (row == NULL)
            return FALSE;
    }
    said[SPL_WINDOW_ALMANAC].middle_n = almanac_day(row, logged, year);
    said[SPL_WINDOW_ALMANAC].known = !isnan(said[SPL_WINDOW_ALMANAC].middle_n);
    return TRUE;
}

/* What is counted of one lead. */
struct score {
    double squares, sum;
    int n, inside, picked, picked_inside;
};

static gboolean within(const struct said *said, struct spl_day day)
{
    return said->known && day.n >= said->earliest.n && day.n <= said->latest.n;
}

static struct spl_day nearest_day(double n)
{
    return (struct spl_day){(gint32)rint(n)};
}

static void take_picking(const struct logged *one, int year, char *use, const struct said *said,
                         struct score *score, struct spl_window_errors *errors)
{
    const struct said *fortnight = &said[SPL_WINDOW_AHEAD_14];
    struct spl_window_picked row = {
        .site = g_strdup(one->site->name),
        .material = g_strdup(one->material),
        .use = use,
        .year = year,
        .stage = one->seen.stage,
        .on = one->seen.on,
        .inside_30 = within(&said[SPL_WINDOW_AHEAD_30], one->seen.on),
        .inside_21 = within(&said[SPL_WINDOW_AHEAD_21], one->seen.on),
        .inside_14 = within(fortnight, one->seen.on),
        .inside_7 = within(&said[SPL_WINDOW_AHEAD_7], one->seen.on),
        .foretold_from = fortnight->known ? fortnight->earliest : SPL_DAY_NONE,
        .foretold_to = fortnight->known ? fortnight->latest : SPL_DAY_NONE};

    for (int lead = SPL_WINDOW_PLACE; lead < SPL_WINDOW_LEADS; lead++) {
        score[lead].picked += said[lead].known;
        score[lead].picked_inside += within(&said[lead], one->seen.on);
    }
    g_array_append_val(errors->picked, row);
}

static void take_stage(const struct logged *one, int year, char *use, const struct said *said,
                       struct score *score, struct spl_window_errors *errors)
{
    const struct said *fortnight = &said[SPL_WINDOW_AHEAD_14];
    struct spl_window_error row = {.site = g_strdup(one->site->name),
                                   .material = g_strdup(one->material),
                                   .use = use,
                                   .year = year,
                                   .stage = one->seen.stage,
                                   .on = one->seen.on,
                                   .foretold_p10 = SPL_DAY_NONE,
                                   .foretold = SPL_DAY_NONE,
                                   .foretold_p90 = SPL_DAY_NONE};
    double *const off[SPL_WINDOW_LEADS] = {&row.almanac_d,   &row.place_d,    &row.ahead_30_d,
                                           &row.ahead_21_d,  &row.ahead_14_d, &row.ahead_7_d,
                                           &row.whole_year_d};

    for (int lead = 0; lead < SPL_WINDOW_LEADS; lead++) {
        *off[lead] = said[lead].known ? said[lead].middle_n - one->seen.on.n : NAN;
        if (!said[lead].known)
            continue;
        score[lead].n++;
        score[lead].sum += *off[lead];
        score[lead].squares += *off[lead] * *off[lead];
        score[lead].inside += lead != SPL_WINDOW_ALMANAC &&
                              one->seen.on.n >= rint(said[lead].p10_n) &&
                              one->seen.on.n <= rint(said[lead].p90_n);
    }
    if (fortnight->known) {
        row.foretold_p10 = nearest_day(fortnight->p10_n);
        row.foretold = nearest_day(fortnight->middle_n);
        row.foretold_p90 = nearest_day(fortnight->p90_n);
    }
    g_array_append_val(errors->errors, row);
}

static int by_place(gconstpointer a, gconstpointer b)
{
    const struct spl_window_error *x = a, *y = b;
    int order = strcmp(x->site, y->site);

    if (order == 0)
        order = strcmp(x->material, y->material);
    return order != 0 ? order : spl_day_compare(x->on, y->on);
}

static int picked_by_place(gconstpointer a, gconstpointer b)
{
    const struct spl_window_picked *x = a, *y = b;
    int order = strcmp(x->site, y->site);

    if (order == 0)
        order = strcmp(x->material, y->material);
    return order != 0 ? order : spl_day_compare(x->on, y->on);
}

static gboolean compare_year(struct spl_house *house, const GArray *logged, int year, guint leads,
                             struct score *score, struct spl_window_errors *errors, GError **error)
{
    g_autoptr(spl_window_maker) maker = NULL;

    if (logged->len == 0)
        return TRUE;
    maker = spl_window_maker_new_at(house, 0, house->today, year, error);
    if (maker == NULL)
        return FALSE;
    for (guint i = 0; i < logged->len; i++) {
        const struct logged *one = &g_array_index(logged, struct logged, i);
        struct said said[SPL_WINDOW_LEADS];
        GError *failed = NULL;
        char *use = NULL;

        spl_progress_tell(&house->progress, "foretelling again", i, logged->len);
        if (!foretell(maker, one, year, leads, &use, said, &failed)) {
            g_free(use);
            if (failed != NULL) {
                g_propagate_error(error, failed);
                return FALSE;
            }
            errors->outside++;
            continue;
        }
        if (one->seen.harvest || spl_window_stage_lasts(one->seen.stage))
            take_picking(one, year, use, said, score, errors);
        else
            take_stage(one, year, use, said, score, errors);
    }
    return TRUE;
}

static void sum_up(const struct score *score, struct spl_window_errors *errors)
{
    errors->stages = (int)errors->errors->len;
    errors->pickings = (int)errors->picked->len;
    for (int lead = 0; lead < SPL_WINDOW_LEADS; lead++) {
        const struct score *one = &score[lead];
        struct spl_window_skill skill = {.lead = g_strdup(lead_words[lead]),
                                         .stages = one->n,
                                         .rmse_d = one->n > 0 ? sqrt(one->squares / one->n) : NAN,
                                         .bias_d = one->n > 0 ? one->sum / one->n : NAN,
                                         .inside = one->inside,
                                         .inside_pct = one->n > 0 && lead != SPL_WINDOW_ALMANAC
                                                           ? 100.0 * one->inside / one->n
                                                           : NAN,
                                         .picked = one->picked,
                                         .picked_inside = one->picked_inside};

        g_array_append_val(errors->skill, skill);
    }
    g_array_sort(errors->errors, by_place);
    g_array_sort(errors->picked, picked_by_place);
}

static void free_site(gpointer site)
{
    spl_record_free(&spl_site_shape, site);
}

static gboolean check_years(struct spl_house *house, int from_year, int to_year, guint leads,
                            const char *site, const char *material,
                            struct spl_window_errors *errors, GError **error)
{
    g_autoptr(GHashTable) sites =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, free_site);
    g_autoptr(GPtrArray) materials = NULL;
    struct score score[SPL_WINDOW_LEADS] = {{0}};
    struct spl_site place = {0};
    gboolean ok = TRUE;
    gint64 site_id;

    if (site != NULL && !spl_house_site(house, "site", site, &place, error))
        return FALSE;
    site_id = place.id;
    spl_record_clear(&spl_site_shape, &place);
    if (material != NULL) {
        materials = g_ptr_array_new_with_free_func(g_free);
        g_ptr_array_add(materials, g_strdup(material));
    } else {
        materials = spl_seen_materials(house->book, error);
        if (materials == NULL)
            return FALSE;
    }
    *errors = (struct spl_window_errors){.from_year = from_year,
                                         .to_year = to_year,
                                         .skill = spl_list_new(&spl_window_skill_shape),
                                         .errors = spl_list_new(&spl_window_error_shape),
                                         .picked = spl_list_new(&spl_window_picked_shape)};
    for (int year = from_year; ok && year <= to_year; year++) {
        g_autoptr(GArray) logged = g_array_new(FALSE, FALSE, sizeof(struct logged));

        ok = gather(house, materials, year, site_id, sites, logged, error) &&
             compare_year(house, logged, year, leads, score, errors, error);
    }
    if (ok)
        sum_up(score, errors);
    else
        spl_record_clear(&spl_window_errors_shape, errors);
    return ok;
}

#define YEARS_MOST 60 /* looked at at once */

static const struct spl_input check_rows[] = {
    SPL_INPUT(spl_window_question, year, COUNT, "year", "the growing year", .value = "Y",
              .needed = 1, .min = 1, .max = 9998),
    SPL_INPUT(spl_window_question, to, COUNT, "to", "the last one, to look at several at once",
              .value = "Y", .min = 1, .max = 9998),
    SPL_INPUT(spl_window_question, site, SITE, "site", "at one place"),
    SPL_INPUT(spl_window_question, material, MATERIAL, "material", "of one material"),
};

static gboolean check_question(const void *record, GError **error)
{
    const struct spl_window_question *question = record;

    if (question->to == SPL_COUNT_NONE ||
        (question->to >= question->year && question->to <= question->year + YEARS_MOST))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "to",
                        "is to be a year from %d to %d: the first year and at most %d later",
                        question->year, MIN(question->year + YEARS_MOST, 9998), YEARS_MOST);
    return FALSE;
}
const struct spl_inputs spl_window_check_inputs =
    SPL_INPUTS("window_check", spl_window_question, check_rows, .check = check_question);

gboolean spl_window_check(struct spl_house *house, const struct spl_window_question *said,
                          struct spl_window_errors *errors, GError **error)
{
    struct spl_window_question question;
    struct spl_window_errors made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_window_check_inputs, said, &question, error))
        return FALSE;
    ok = check_years(house, question.year,
                     question.to == SPL_COUNT_NONE ? question.year : question.to, EVERY_LEAD,
                     question.site, question.material, &made, error);
    spl_inputs_clear(&spl_window_check_inputs, &question);
    if (ok)
        *errors = made;
    return ok;
}

gboolean spl_window_check_fortnight(struct spl_house *house, int year,
                                    struct spl_window_errors *errors, GError **error)
{
    return check_years(house, year, year, A_FORTNIGHT, NULL, NULL, errors, error);
}
