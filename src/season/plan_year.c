/* SPDX-License-Identifier: MIT
 *
 * What to make this year: what went out in twelve months against what stands and until when it is
 * good. See simpling/plan.h.
 */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "season/medicine.h"
#include "season/plan_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/stand.h"
#include "simpling/window.h"

#define YEAR_DAYS 365
#define TURN_DAYS 60 /* so near its end a growing year is past: one plans the next */

static const struct spl_field year_fields[] = {
    SPL_FIELD(spl_plan_year_line, medicine, SPL_TEXT, "medicine", "medicine"),
    SPL_FIELD(spl_plan_year_line, preparation, SPL_TEXT, "preparation", NULL),
    SPL_FIELD(spl_plan_year_line, materials, SPL_TEXT, "materials", NULL),
    SPL_FIELD(spl_plan_year_line, outside, SPL_BOOL, "outside", NULL),
    SPL_FIELD(spl_plan_year_line, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD_NUM(spl_plan_year_line, out, 0, "out", "went out in 12 months", .by_unit = 1),
    SPL_FIELD_NUM(spl_plan_year_line, left, 0, "left", "left", .by_unit = 1),
    SPL_FIELD(spl_plan_year_line, good_until, SPL_DAY, "good_until", "good until"),
    SPL_FIELD_NUM(spl_plan_year_line, to_come, 0, "to_come", "in jars", .by_unit = 1),
    SPL_FIELD(spl_plan_year_line, lasts_until, SPL_DAY, "lasts_until", "lasts until"),
    SPL_FIELD(spl_plan_year_line, until, SPL_DAY, "until", "next of it on"),
    SPL_FIELD_NUM(spl_plan_year_line, suggested, 0, "suggested", "suggested", .by_unit = 1),
    SPL_FIELD_NUM(spl_plan_year_line, wanted, 0, "wanted", "planned", .by_unit = 1),
    SPL_FIELD_NUM(spl_plan_year_line, fresh_g, 0, "fresh_g", "fresh g"),
    SPL_FIELD_NUM(spl_plan_year_line, spare_g, 0, "spare_g", "stands spare g"),
    SPL_FIELD(spl_plan_year_line, late, SPL_TEXT, "late", "out of date before it is wanted"),
    SPL_FIELD(spl_plan_year_line, held, SPL_TEXT, "held", "held"),
    SPL_FIELD(spl_plan_year_line, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_plan_year_line_shape =
    SPL_SHAPE("plan_year", spl_plan_year_line, year_fields);

static const struct spl_input year_rows[] = {
    SPL_INPUT(spl_plan_year_words, season, COUNT, "year",
              "the growing year (default this one, near its end the next)", .value = "Y",
              .min = 1900, .max = 9999),
    SPL_INPUT(spl_plan_year_words, accept, NAME, "accept", "a medicine that goes into the plan",
              .value = "MEDICINE"),
    SPL_INPUT(spl_plan_year_words, amount, AMOUNT, "amount", "how much of it (default: suggested)"),
    SPL_INPUT(spl_plan_year_words, by, DAY, "by", "bottled by this day", .ahead = 1),
};
static const struct spl_rule year_rules[] = {{SPL_RULE_WITH, {"amount", "accept"}},
                                             {SPL_RULE_WITH, {"by", "accept"}}};
const struct spl_inputs spl_plan_year_inputs =
    SPL_INPUTS("plan_year", spl_plan_year_words, year_rows, SPL_RULES(year_rules));

struct reckoning {
    struct spl_house *house;
    int season;
    struct spl_day last; /* of that growing year */
    GHashTable *latest;  /* material -> struct spl_day: the last good day of its windows */
    GHashTable *spare;   /* material -> double: what the stands can spare in that year */
    GArray *planned;     /* struct spl_planned */
};

/* ---- what is known of the year ---- */

static gboolean take_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct reckoning *r = data;
    const struct spl_window *window = &told->window;
    struct spl_day *latest = g_hash_table_lookup(r->latest, window->material);

    (void)error;
    if (latest == NULL) {
        latest = g_new(struct spl_day, 1);
        *latest = window->likely_end;
        g_hash_table_insert(r->latest, g_strdup(window->material), latest);
    } else if (spl_day_compare(window->likely_end, *latest) > 0) {
        *latest = window->likely_end;
    }
    return TRUE;
}

static gboolean take_stands(struct reckoning *r, GError **error)
{
    GArray *lines =
        spl_stand_lines(r->house, &(struct spl_stand_question){.year = r->season}, error);

    if (lines == NULL)
        return FALSE;
    for (guint i = 0; i < lines->len; i++) {
        const struct spl_stand_line *line = &g_array_index(lines, struct spl_stand_line, i);
        double *spare = g_hash_table_lookup(r->spare, line->material);

        if (isnan(line->left_g))
            continue;
        if (spare == NULL) {
            spare = g_new0(double, 1);
            g_hash_table_insert(r->spare, g_strdup(line->material), spare);
        }
        *spare += line->left_g;
    }
    spl_list_free(&spl_stand_line_shape, lines);
    return TRUE;
}

static int usual_season(struct spl_house *house)
{
    struct spl_day first, last;
    double lat;
    int season = spl_plan_season(house, &lat);

    spl_day_season_bounds(season, lat, &first, &last);
    return spl_day_diff(last, house->today) < TURN_DAYS ? season + 1 : season;
}

/* ---- one medicine ---- */

/* The batch that would be planned; clear it with spl_planned_clear. */
static struct spl_planned batch_of(const struct reckoning *r, const struct spl_medicine *medicine,
                                   double amount)
{
    g_auto(GStrv) slugs = g_strsplit(medicine->materials, ", ", -1);
    struct spl_planned planned = {.season = r->season,
                                  .preparation = g_strdup(medicine->preparation),
                                  .yield_ml = medicine->weighed ? (double)NAN : amount,
                                  .yield_g = medicine->weighed ? amount : (double)NAN,
                                  .by = SPL_DAY_NONE,
                                  .ratio = NAN,
                                  .strength_frac = NAN,
                                  .parts =
                                      g_array_new(FALSE, TRUE, sizeof(struct spl_planned_part))};

    for (guint i = 0; slugs[i] != NULL; i++) {
        struct spl_planned_part part = {.material = g_strdup(slugs[i]), .parts = 1.0};

        g_array_append_val(planned.parts, part);
    }
    return planned;
}

static void clear_batch(struct spl_planned *planned)
{
    for (guint i = 0; i < planned->parts->len; i++)
        g_free(g_array_index(planned->parts, struct spl_planned_part, i).material);
    spl_planned_clear(planned);
}

/* Fresh grams for an amount, and how long it takes from the hedge to the shelf; FALSE: why not. */
static gboolean needs(const struct reckoning *r, const struct spl_medicine *medicine, double amount,
                      double *fresh_g, int *days, char **why)
{
    struct spl_planned planned = batch_of(r, medicine, amount);
    g_autoptr(GError) failed = NULL;
    gboolean ok = TRUE;

    *fresh_g = 0.0;
    *days = 0;
    for (guint i = 0; ok && i < planned.parts->len; i++) {
        struct spl_plan_want want;

        ok = spl_plan_need(r->house, &planned, i, &want, &failed);
        if (ok) {
            *fresh_g += want.need_g;
            *days = MAX(*days, want.steeping_days);
        }
    }
    if (!ok) {
        *fresh_g = NAN;
        *why = g_strdup(failed->message);
    }
    clear_batch(&planned);
    return ok;
}

/* When the year after next year's herb is bottled: until then this year's making has to last. */
static struct spl_day next_on(const struct reckoning *r, const struct spl_medicine *medicine,
                              int days)
{
    g_auto(GStrv) slugs = g_strsplit(medicine->materials, ", ", -1);
    struct spl_day last = SPL_DAY_NONE;

    for (guint i = 0; slugs[i] != NULL; i++) {
        const struct spl_day *latest = g_hash_table_lookup(r->latest, slugs[i]);

        if (latest != NULL && (!spl_day_is_set(last) || spl_day_compare(*latest, last) > 0))
            last = *latest;
    }
    if (!spl_day_is_set(last))
        last = r->last;
    return spl_day_add(last, days + YEAR_DAYS);
}

/* As one makes it: to 10 below 200, to 50 above. */
static double rounded(double amount)
{
    double step = amount < 200.0 ? 10.0 : 50.0;

    return amount < 0.5 ? 0.0 : ceil(amount / step - 1e-9) * step;
}

/* What is planned of it already, by the same herb and preparation. */
static double planned_of(const struct reckoning *r, const struct spl_medicine *medicine)
{
    g_auto(GStrv) slugs = g_strsplit(medicine->materials, ", ", -1);
    double sum = 0.0;

    for (guint i = 0; i < r->planned->len; i++) {
        const struct spl_planned *one = &g_array_index(r->planned, struct spl_planned, i);
        gboolean same = strcmp(one->preparation, medicine->preparation) == 0 &&
                        one->parts->len == g_strv_length(slugs);

        for (guint k = 0; same && k < one->parts->len; k++)
            same = g_strv_contains((const char *const *)slugs,
                                   g_array_index(one->parts, struct spl_planned_part, k).material);
        if (same) {
            double amount = medicine->weighed ? one->yield_g : one->yield_ml;

            sum += isnan(amount) ? 0.0 : amount;
        }
    }
    return sum;
}

static char *late_words(const struct spl_medicine *medicine, const struct spl_lasting_lot *lots)
{
    g_autoptr(GString) words = g_string_new(NULL);

    for (guint i = 0; i < medicine->lots->len; i++) {
        char day[SPL_DAY_TEXT_SIZE];

        if (lots[i].late >= 0.5)
            g_string_append_printf(words, "%s%.0f %s of %s on %s", words->len > 0 ? ", " : "",
                                   lots[i].late, medicine->weighed ? "g" : "mL",
                                   (char *)g_ptr_array_index(medicine->lots, i),
                                   spl_day_format(lots[i].use_by, day));
    }
    return words->len > 0 ? g_string_free(g_steal_pointer(&words), FALSE) : NULL;
}

static struct spl_plan_year_line line_of(const struct reckoning *r,
                                         const struct spl_medicine *medicine)
{
    struct spl_plan_year_line line = {.medicine = g_strdup(medicine->name),
                                      .preparation = g_strdup(medicine->preparation),
                                      .materials = g_strdup(medicine->materials),
                                      .outside = medicine->outside,
                                      .unit = g_strdup(medicine->weighed ? "g" : "mL"),
                                      .out = medicine->out,
                                      .good_until = SPL_DAY_NONE,
                                      .fresh_g = NAN,
                                      .spare_g = NAN};
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(struct spl_lasting_lot));
    double per_day = medicine->out / YEAR_DAYS, fresh_g;
    const double *spare = g_hash_table_lookup(r->spare, medicine->materials);
    struct spl_lasting lasting;
    int days = 0;

    for (guint i = 0; i < medicine->stock->len; i++) {
        const struct spl_lasting_lot *lot =
            &g_array_index(medicine->stock, struct spl_lasting_lot, i);

        line.left += lot->amount;
        if (spl_day_is_set(lot->use_by) &&
            (!spl_day_is_set(line.good_until) || spl_day_compare(lot->use_by, line.good_until) > 0))
            line.good_until = lot->use_by;
    }
    for (guint i = 0; i < medicine->to_come->len; i++)
        line.to_come += g_array_index(medicine->to_come, struct spl_lasting_lot, i).amount;
    needs(r, medicine, 1000.0, &fresh_g, &days, &line.note);
    line.until = next_on(r, medicine, days);
    g_array_append_vals(all, medicine->stock->data, medicine->stock->len);
    g_array_append_vals(all, medicine->to_come->data, medicine->to_come->len);
    lasting = spl_lasting_reckon((struct spl_lasting_lot *)(void *)all->data, all->len, per_day,
                                 r->house->today, line.until);
    line.lasts_until = lasting.lasts_until;
    line.late = late_words(medicine, (const struct spl_lasting_lot *)(const void *)all->data);
    line.suggested = rounded(lasting.missing);
    line.wanted = planned_of(r, medicine);
    if (line.note == NULL && line.suggested > 0.0)
        needs(r, medicine, line.suggested, &line.fresh_g, &days, &line.note);
    if (spare != NULL)
        line.spare_g = *spare;
    if (medicine->held->len > 0) {
        g_autoptr(GString) held = g_string_new(NULL);

        for (guint i = 0; i < medicine->held->len; i++)
            g_string_append_printf(held, "%s%s", i > 0 ? "; " : "",
                                   (char *)g_ptr_array_index(medicine->held, i));
        line.held = g_string_free(g_steal_pointer(&held), FALSE);
    }
    return line;
}

static int by_end(gconstpointer a, gconstpointer b)
{
    const struct spl_plan_year_line *x = a, *y = b;

    if (spl_day_is_set(x->lasts_until) != spl_day_is_set(y->lasts_until))
        return spl_day_is_set(x->lasts_until) ? -1 : 1;
    if (x->lasts_until.n != y->lasts_until.n)
        return x->lasts_until.n < y->lasts_until.n ? -1 : 1;
    return strcmp(x->medicine, y->medicine);
}

static GArray *reckon(struct reckoning *r, GError **error)
{
    struct spl_window_words windows = {.year = r->season, .near = {NAN, NAN}, .on = SPL_DAY_NONE};
    g_autoptr(GArray) medicines =
        spl_medicines(r->house, spl_day_add(r->house->today, -YEAR_DAYS), error);
    struct spl_day first;
    GArray *lines;
    double lat;

    spl_plan_season(r->house, &lat);
    spl_day_season_bounds(r->season, lat, &first, &r->last);
    if (medicines == NULL || !spl_window_list(r->house, &windows, take_window, r, error) ||
        !take_stands(r, error))
        return NULL;
    lines = spl_list_new(&spl_plan_year_line_shape);
    for (guint i = 0; i < medicines->len; i++) {
        struct spl_plan_year_line line =
            line_of(r, &g_array_index(medicines, struct spl_medicine, i));

        g_array_append_val(lines, line);
    }
    g_array_sort(lines, by_end);
    return lines;
}

/* ---- into the plan ---- */

/* The index of the line; -1 with an error. */
static int find_line(const GArray *lines, const char *name, GError **error)
{
    g_autofree char *key = spl_name_key(name);
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    g_autofree char *known = NULL;

    for (guint i = 0; i < lines->len; i++) {
        char *medicine = g_array_index(lines, struct spl_plan_year_line, i).medicine;
        g_autofree char *other = spl_name_key(medicine);

        if (strcmp(key, other) == 0)
            return (int)i;
        g_ptr_array_add(names, medicine);
    }
    g_ptr_array_add(names, NULL);
    known = g_strjoinv("; ", (char **)names->pdata);
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "accept",
                        "'%s' is no medicine of this book; there are: %s", name, known);
    return -1;
}

static gboolean accept(struct reckoning *r, const struct spl_plan_year_words *words,
                       struct spl_plan_year_line *line, GError **error)
{
    gboolean weighed = strcmp(line->unit, "g") == 0;
    g_auto(GStrv) slugs = g_strsplit(line->materials, ", ", -1);
    g_autoptr(GArray) parts = g_array_new(FALSE, FALSE, sizeof(struct spl_plan_part));
    struct spl_plan_words planned = {.name = line->medicine,
                                     .preparation = line->preparation,
                                     .materials = parts,
                                     .yield = words->amount,
                                     .by = words->by,
                                     .ratio = NAN,
                                     .strength_frac = NAN,
                                     .season = r->season};
    struct spl_plan_line made;
    GPtrArray *cautions;
    double amount;

    for (guint i = 0; slugs[i] != NULL; i++) {
        const struct spl_plan_part part = {slugs[i], NAN};

        g_array_append_val(parts, part);
    }
    if (isnan(planned.yield.g) && isnan(planned.yield.ml)) {
        amount = line->suggested - line->wanted;
        if (!(amount > 0.0)) {
            spl_error_set_input(error, SPL_ERROR_REFUSED, "amount",
                                "of %s no more is suggested; say how much you want",
                                line->medicine);
            return FALSE;
        }
        planned.yield = (struct spl_amount){.g = weighed ? amount : (double)NAN,
                                            .ml = weighed ? (double)NAN : amount};
    }
    if (!spl_plan_add(r->house, &planned, &made, &cautions, error))
        return FALSE;
    amount = weighed ? made.yield_g : made.yield_ml;
    line->wanted += isnan(amount) ? 0.0 : amount;
    if (line->note == NULL && cautions->len > 0) {
        g_ptr_array_add(cautions, NULL);
        line->note = g_strjoinv("; ", (char **)cautions->pdata);
    }
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_plan_line_shape, &made);
    return TRUE;
}

/* Keeps the one line. */
static gboolean accept_one(struct reckoning *r, const struct spl_plan_year_words *words,
                           GArray *lines, GError **error)
{
    int at = find_line(lines, words->accept, error);

    if (at < 0 || !accept(r, words, &g_array_index(lines, struct spl_plan_year_line, at), error))
        return FALSE;
    for (guint i = lines->len; i-- > 0;) {
        if ((int)i == at)
            continue;
        spl_record_clear(&spl_plan_year_line_shape,
                         &g_array_index(lines, struct spl_plan_year_line, i));
        memset(&g_array_index(lines, struct spl_plan_year_line, i), 0,
               sizeof(struct spl_plan_year_line));
        g_array_remove_index(lines, i);
    }
    return TRUE;
}

GArray *spl_plan_year(struct spl_house *house, const struct spl_plan_year_words *said,
                      GError **error)
{
    g_autoptr(GHashTable) latest = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    g_autoptr(GHashTable) spare = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    g_autoptr(GArray) planned = NULL;
    struct reckoning r = {.house = house, .latest = latest, .spare = spare};
    struct spl_plan_year_words words;
    GArray *lines = NULL;

    if (spl_house_tables(house, error) == NULL ||
        !spl_entry_take(house, &spl_plan_year_inputs, said, &words, error))
        return NULL;
    r.season = words.season != SPL_COUNT_NONE ? words.season : usual_season(house);
    r.planned = planned = spl_planned_list(house->book, r.season, error);
    if (planned != NULL)
        lines = reckon(&r, error);
    if (lines != NULL && words.accept != NULL && !accept_one(&r, &words, lines, error)) {
        spl_list_free(&spl_plan_year_line_shape, lines);
        lines = NULL;
    }
    spl_inputs_clear(&spl_plan_year_inputs, &words);
    return lines;
}
