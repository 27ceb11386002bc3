/* SPDX-License-Identifier: MIT
 *
 * The year in review.
 */
#include "picture/year_page.h"

#include <math.h>
#include <stdlib.h>

#include "base/amount.h"
#include "picture/flow.h"
#include "picture/words.h"

#define PICTURE_ROW 13.0     /* pt */
#define PICTURE_MOST_DAYS 42 /* either way; a dot farther off stands at the edge */

struct review {
    const struct spl_year_page *year;
    const char *title;
};

static void draw_head(struct spl_flow *flow, gpointer data)
{
    const struct review *review = data;
    if (spl_page_number(flow->page) == 0) {
        spl_flow_title(flow, review->title, review->year->subtitle);
        return;
    }
    struct spl_type small = {.face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE};
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, review->title) + 3.0;
}

static void none(struct spl_flow *flow, const char *words)
{
    struct spl_type type = {.face = SPL_FACE_SERIF, .size = 8.5, .italic = TRUE};
    spl_flow_text(flow, &type, words, 2.0);
}

static char *span_words(struct spl_day first, struct spl_day last)
{
    g_autofree char *a = spl_words_day(first);
    g_autofree char *b = spl_words_day(last);
    if (first.n == last.n || b[0] == '\0')
        return g_steal_pointer(&a);
    return g_strdup_printf("%s to %s", a, b);
}

static char *percent_words(double part, double whole)
{
    if (isnan(part) || isnan(whole) || whole <= 0.0)
        return g_strdup("");
    g_autofree char *number = spl_number_format(part / whole * 100.0, 0);
    return g_strdup_printf("%s %%", number);
}

static void draw_taken(struct spl_flow *flow, const struct spl_year_page *year)
{
    static const struct spl_table_column columns[] = {
        {"place", 22, SPL_ALIGN_LEFT, TRUE},         {"material", 20, SPL_ALIGN_LEFT, FALSE},
        {"when", 18, SPL_ALIGN_LEFT, FALSE},         {"taken", 9, SPL_ALIGN_RIGHT, TRUE},
        {"could spare", 10, SPL_ALIGN_RIGHT, FALSE}, {"share", 7, SPL_ALIGN_RIGHT, FALSE},
        {"verdict then", 9, SPL_ALIGN_LEFT, FALSE},  {"log", 22, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.4,
                              .shown_on = -1};
    spl_flow_section(flow, "Taken", 40.0);
    if (year->n_taken == 0)
        none(flow, "Nothing was gathered.");
    double sum = 0.0;
    for (gsize i = 0; i < year->n_taken; i++) {
        const struct spl_year_page_taken *taken = &year->taken[i];
        g_autofree char *when = span_words(taken->first, taken->last);
        g_autofree char *grams = spl_words_amount(taken->grams, "g");
        g_autofree char *spare = spl_words_amount(taken->allowance_g, "g");
        g_autofree char *share = percent_words(taken->grams, taken->allowance_g);
        const char *cells[] = {taken->site,
                               taken->material,
                               when,
                               grams,
                               spare,
                               share,
                               spl_verdict_names[taken->verdict],
                               taken->codes};
        gboolean over = !isnan(taken->allowance_g) && taken->grams > taken->allowance_g;
        spl_table_row_toned(&table, cells, over ? SPL_TONE_MADDER : SPL_TONE_BLACK);
        sum += isnan(taken->grams) ? 0.0 : taken->grams;
    }
    if (year->n_taken > 1) {
        g_autofree char *all = spl_words_amount(sum, "g");
        const char *cells[] = {"in all", NULL, NULL, all, NULL, NULL, NULL, NULL};
        spl_table_row(&table, cells);
    }
}

/* The estimate's range as a stretch of rule with a cross-stroke at the measured yield. */
static void draw_range(struct spl_flow *flow, double x, double w, double y,
                       const struct spl_year_page_made *made)
{
    if (isnan(made->low_ml) || isnan(made->high_ml) || isnan(made->yield_ml) ||
        made->high_ml <= 0.0)
        return;
    double least = MIN(made->low_ml, made->yield_ml) * 0.9;
    double most = MAX(made->high_ml, made->yield_ml) * 1.1;
    double scale = (w - 4.0) / (most - least);
    double a = x + 2.0 + (made->low_ml - least) * scale,
           b = x + 2.0 + (made->high_ml - least) * scale;
    double m = x + 2.0 + (made->yield_ml - least) * scale;
    spl_page_line(flow->page, x + 2.0, y, x + w - 2.0, y, 0.3, SPL_TONE_RULE, 0.0);
    spl_page_line(flow->page, a, y, b, y, 2.4, SPL_TONE_SOFT, 0.0);
    spl_page_line(flow->page, m, y - 4.0, m, y + 4.0, 1.2, SPL_TONE_BLACK, 0.0);
}

static void draw_made(struct spl_flow *flow, const struct spl_year_page *year)
{
    static const struct spl_table_column columns[] = {
        {"batch", 10, SPL_ALIGN_LEFT, TRUE},    {"what", 25, SPL_ALIGN_LEFT, FALSE},
        {"started", 10, SPL_ALIGN_LEFT, FALSE}, {"pressed", 12, SPL_ALIGN_LEFT, FALSE},
        {"herb", 9, SPL_ALIGN_RIGHT, FALSE},    {"menstruum", 10, SPL_ALIGN_RIGHT, FALSE},
        {"yield", 9, SPL_ALIGN_RIGHT, TRUE},    {"estimate", 22, SPL_ALIGN_RIGHT, FALSE},
        {"of it", 7, SPL_ALIGN_RIGHT, FALSE},   {"range and yield", 16, SPL_ALIGN_LEFT, FALSE},
        {"lots", 12, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.4,
                              .shown_on = -1};
    spl_flow_section(flow, "Made, and yields against their estimates", 40.0);
    if (year->n_made == 0)
        none(flow, "No batch was started.");
    double before = 0.0, all = 0.0; /* where the column of the range lies */
    for (gsize i = 0; i < G_N_ELEMENTS(columns); i++) {
        before += i < 9 ? columns[i].share : 0.0;
        all += columns[i].share;
    }
    double x = flow->x + flow->w * before / all, w = flow->w * columns[9].share / all;
    for (gsize i = 0; i < year->n_made; i++) {
        const struct spl_year_page_made *made = &year->made[i];
        g_autofree char *started = spl_words_day(made->started);
        g_autofree char *pressed = spl_words_day(made->pressed);
        g_autofree char *herb = spl_words_amount(made->herb_g, "g");
        g_autofree char *liquid = spl_words_amount(made->menstruum_ml, "mL");
        g_autofree char *yield = spl_words_amount(made->yield_ml, "mL");
        g_autofree char *expected = spl_words_amount(made->expected_ml, "mL");
        g_autofree char *share = percent_words(made->yield_ml, made->expected_ml);
        g_autofree char *low = spl_words_amount(made->low_ml, "mL");
        g_autofree char *high = spl_words_amount(made->high_ml, "mL");
        g_autofree char *estimate =
            !isnan(made->low_ml) && !isnan(made->high_ml)
                ? g_strdup_printf("%s (%s\342\200\223%s)", expected, low, high)
                : g_strdup(expected);
        const char *cells[] = {
            made->code, made->what,
            started,    made->gone ? "thrown away" : pressed[0] != '\0' ? pressed : "still stands",
            herb,       liquid,
            yield,      estimate,
            share,      NULL,
            made->lots};
        spl_table_row(&table, cells);
        draw_range(flow, x, w, flow->y - 7.0, made);
    }
}

static void draw_used(struct spl_flow *flow, const struct spl_year_page *year)
{
    static const struct spl_table_column columns[] = {
        {"lot", 10, SPL_ALIGN_LEFT, TRUE},          {"what", 30, SPL_ALIGN_LEFT, FALSE},
        {"at first", 9, SPL_ALIGN_RIGHT, FALSE},    {"made", 9, SPL_ALIGN_RIGHT, FALSE},
        {"went out", 9, SPL_ALIGN_RIGHT, FALSE},    {"in other jars", 9, SPL_ALIGN_RIGHT, FALSE},
        {"thrown away", 9, SPL_ALIGN_RIGHT, FALSE}, {"by counts", 9, SPL_ALIGN_RIGHT, FALSE},
        {"at last", 9, SPL_ALIGN_RIGHT, TRUE},      {"state today", 12, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.4,
                              .shown_on = -1};
    spl_flow_section(flow, "Used", 40.0);
    if (year->n_used == 0)
        none(flow, "No lot was on the shelf.");
    for (gsize i = 0; i < year->n_used; i++) {
        const struct spl_year_page_used *used = &year->used[i];
        g_autofree char *before = spl_words_amount(used->before, used->unit);
        g_autofree char *made = spl_words_amount(used->made, used->unit);
        g_autofree char *out = spl_words_amount(used->out, used->unit);
        g_autofree char *drawn = spl_words_amount(used->drawn, used->unit);
        g_autofree char *thrown = spl_words_amount(used->thrown, used->unit);
        g_autofree char *counted = spl_words_amount(fabs(used->counted), used->unit);
        g_autofree char *by_counts =
            g_strdup_printf("%s%s", used->counted < 0.0 ? "\342\210\222" : "", counted);
        g_autofree char *left = spl_words_amount(used->left, used->unit);
        const char *cells[] = {
            used->code, used->what, before,    made, out,
            drawn,      thrown,     by_counts, left, spl_state_names[used->state]};
        spl_table_row_toned(&table, cells,
                            used->state == SPL_STATE_WITHDRAWN ? SPL_TONE_MADDER : SPL_TONE_BLACK);
    }
}

static void draw_came(struct spl_flow *flow, const struct spl_year_page *year)
{
    static const struct spl_table_column columns[] = {
        {"code", 12, SPL_ALIGN_LEFT, TRUE},         {"what", 34, SPL_ALIGN_LEFT, FALSE},
        {"when", 12, SPL_ALIGN_LEFT, FALSE},        {"how much", 12, SPL_ALIGN_RIGHT, TRUE},
        {"how it came", 40, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.4,
                              .shown_on = -1};
    spl_flow_section(flow, "Dried and bought", 40.0);
    if (year->n_came == 0)
        none(flow, "Nothing was dried or bought.");
    for (gsize i = 0; i < year->n_came; i++) {
        const struct spl_year_page_came *came = &year->came[i];
        g_autofree char *day = spl_words_day(came->day);
        const char *cells[] = {came->code, came->what, day, came->amount, came->how};
        spl_table_row(&table, cells);
    }
}

static void draw_lost(struct spl_flow *flow, const struct spl_year_page *year)
{
    static const struct spl_table_column columns[] = {
        {"of", 12, SPL_ALIGN_LEFT, TRUE},    {"what", 34, SPL_ALIGN_LEFT, FALSE},
        {"when", 12, SPL_ALIGN_LEFT, FALSE}, {"how much", 12, SPL_ALIGN_RIGHT, FALSE},
        {"why", 40, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.4,
                              .shown_on = -1};
    spl_flow_section(flow, "Lost", 40.0);
    if (year->n_lost == 0)
        none(flow, "Nothing was lost.");
    for (gsize i = 0; i < year->n_lost; i++) {
        const struct spl_year_page_lost *lost = &year->lost[i];
        g_autofree char *day = spl_words_day(lost->day);
        const char *cells[] = {lost->code, lost->what, day, lost->amount, lost->why};
        spl_table_row(&table, cells);
    }
}

/* One forecast as a line of days: the range that was given for its start, hatched, with a stroke at
 * its middle, and a dot on the day that came. Days are counted from the middle. */
static void draw_foretold(struct spl_flow *flow, const struct spl_year_page_prediction *p, double x,
                          double w, double reach_d)
{
    struct spl_type small = {.face = SPL_FACE_SERIF, .size = 7.4};
    g_autofree char *name = g_strdup_printf("%s, %s", p->material, p->site);
    double y = flow->y + PICTURE_ROW / 2, day = w / (2 * reach_d), middle = x + w / 2;
    double from = middle + (p->earliest.n - p->predicted.n) * day;
    double to = middle + (p->latest.n - p->predicted.n) * day;
    double seen = middle + CLAMP((double)(p->seen.n - p->predicted.n), -reach_d, reach_d) * day;
    g_autofree char *words = NULL;

    spl_page_text(flow->page, flow->x, y - small.size * 0.75, x - flow->x - 6, &small, name);
    spl_page_line(flow->page, x, y + PICTURE_ROW / 2, x + w, y + PICTURE_ROW / 2, 0.3,
                  SPL_TONE_RULE, 0);
    for (int i = 0; from + 2.2 * i <= to; i++) {
        double at = from + 2.2 * i;

        spl_page_line(flow->page, at, y + 3.2, MIN(at + 2.6, to + 2.6), y - 3.2, 0.35,
                      SPL_TONE_LEAF, 0);
    }
    spl_page_line(flow->page, middle, y - 5, middle, y + 5, 1.0, SPL_TONE_BLACK, 0);
    spl_page_sign(flow->page, SPL_SIGN_DOT, seen, y, 2.6, SPL_TONE_WOAD, "seen");
    words = g_strdup_printf("%s: seen %d days from the middle of the forecast", name,
                            spl_day_diff(p->seen, p->predicted));
    spl_page_say(flow->page, x, y - 5, w, 10, words);
    flow->y += PICTURE_ROW;
}

/* The same forecasts as a picture. */
static void draw_picture(struct spl_flow *flow, const struct spl_year_page *year)
{
    struct spl_type small = {
        .face = SPL_FACE_SERIF, .size = 7.0, .italic = TRUE, .align = SPL_ALIGN_CENTRE};
    double x = flow->x + flow->w * 0.3, w = flow->w * 0.62, reach_d = 14;
    gsize drawn = 0;

    for (gsize i = 0; i < year->n_predictions; i++) {
        const struct spl_year_page_prediction *p = &year->predictions[i];

        if (!spl_day_is_set(p->predicted) || !spl_day_is_set(p->earliest) ||
            !spl_day_is_set(p->latest))
            continue;
        reach_d = MAX(reach_d,
                      MAX(abs(p->earliest.n - p->predicted.n), abs(p->latest.n - p->predicted.n)));
        reach_d = MAX(reach_d, MIN(abs(p->seen.n - p->predicted.n), PICTURE_MOST_DAYS));
        drawn++;
    }
    if (drawn == 0)
        return;
    reach_d = 7 * ceil(reach_d / 7);
    spl_flow_need(flow, 3 * PICTURE_ROW);
    flow->y += 6.0;
    for (int week = 0; 7 * week <= 2 * reach_d; week++) {
        double days = 7 * week - reach_d;
        double at = x + w / 2 + days * w / (2 * reach_d);
        g_autofree char *words = fabs(days) < 1 ? g_strdup("as foretold")
                                 : days < 0     ? g_strdup_printf("%.0f d early", -days)
                                                : g_strdup_printf("%.0f d late", days);

        if ((int)fabs(days) % 14 == 0)
            spl_page_text(flow->page, at - 30, flow->y, 60, &small, words);
        spl_page_line(flow->page, at, flow->y + 11, at, flow->y + 14, 0.4, SPL_TONE_SOFT, 0);
    }
    flow->y += 15.0;
    for (gsize i = 0; i < year->n_predictions; i++) {
        const struct spl_year_page_prediction *p = &year->predictions[i];

        if (!spl_day_is_set(p->predicted) || !spl_day_is_set(p->earliest) ||
            !spl_day_is_set(p->latest))
            continue;
        spl_flow_need(flow, PICTURE_ROW);
        draw_foretold(flow, p, x, w, reach_d);
    }
    flow->y += 2.0;
}

static void draw_predictions(struct spl_flow *flow, const struct spl_year_page *year)
{
    static const struct spl_table_column columns[] = {
        {"material", 24, SPL_ALIGN_LEFT, TRUE},      {"place", 22, SPL_ALIGN_LEFT, FALSE},
        {"was to come", 12, SPL_ALIGN_LEFT, FALSE},  {"between", 22, SPL_ALIGN_LEFT, FALSE},
        {"seen", 10, SPL_ALIGN_LEFT, TRUE},          {"off by", 14, SPL_ALIGN_LEFT, FALSE},
        {"in the range", 10, SPL_ALIGN_LEFT, FALSE}, {"reckoned by", 14, SPL_ALIGN_LEFT, FALSE},
    };
    static const struct spl_table_column plain[] = {
        /* when no range was given at all */
        {"material", 28, SPL_ALIGN_LEFT, TRUE},     {"place", 26, SPL_ALIGN_LEFT, FALSE},
        {"was to come", 16, SPL_ALIGN_LEFT, FALSE}, {"seen", 14, SPL_ALIGN_LEFT, TRUE},
        {"off by", 18, SPL_ALIGN_LEFT, FALSE},      {"reckoned by", 22, SPL_ALIGN_LEFT, FALSE},
    };
    gboolean ranges = FALSE;
    for (gsize i = 0; i < year->n_predictions; i++)
        ranges = ranges || spl_day_is_set(year->predictions[i].earliest);
    struct spl_table table = {.flow = flow,
                              .columns = ranges ? columns : plain,
                              .n_columns = ranges ? G_N_ELEMENTS(columns) : G_N_ELEMENTS(plain),
                              .size = 7.4,
                              .shown_on = -1};
    spl_flow_section(flow, "Forecasts against what was seen", 40.0);
    if (year->n_predictions == 0)
        none(flow, "No stage was noted that a forecast spoke of.");
    double off = 0.0;
    gsize inside = 0, counted = 0, with_range = 0;
    for (gsize i = 0; i < year->n_predictions; i++) {
        const struct spl_year_page_prediction *p = &year->predictions[i];
        g_autofree char *middle = spl_words_day(p->predicted);
        g_autofree char *range = span_words(p->earliest, p->latest);
        g_autofree char *seen = spl_words_day(p->seen);
        g_autofree char *error = g_strdup("");
        gboolean within = FALSE;
        gboolean ranged = spl_day_is_set(p->earliest) && spl_day_is_set(p->latest);
        if (spl_day_is_set(p->seen) && spl_day_is_set(p->predicted)) {
            int days = spl_day_diff(p->seen, p->predicted);
            g_free(error);
            error = days == 0
                        ? g_strdup("nothing")
                        : g_strdup_printf("%d %s %s", ABS(days), ABS(days) == 1 ? "day" : "days",
                                          days > 0 ? "late" : "early");
            off += fabs((double)days);
            counted++;
            if (ranged) {
                within = p->seen.n >= p->earliest.n && p->seen.n <= p->latest.n;
                inside += within ? 1 : 0;
                with_range++;
            }
        }
        const char *yes = !ranged ? "" : within ? "yes" : "no";
        const char *cells[] = {p->material, p->site, middle, range, seen, error, yes, p->basis};
        const char *fewer[] = {p->material, p->site, middle, seen, error, p->basis};
        spl_table_row(&table, ranges ? cells : fewer);
    }
    if (counted > 1) {
        struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.6};
        g_autofree char *mean = spl_number_format(off / (double)counted, 1);
        g_autofree char *hits = with_range == 0
                                    ? g_strdup("")
                                    : g_strdup_printf("; %" G_GSIZE_FORMAT " of %" G_GSIZE_FORMAT
                                                      " within the range that was given",
                                                      inside, with_range);
        g_autofree char *words =
            g_strdup_printf("On the mean %s days off, early or late%s.", mean, hits);
        flow->y += 2.0;
        spl_flow_text(flow, &type, words, 2.0);
    }
    if (year->pickings > 0) {
        struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.6};
        g_autofree char *words = g_strdup_printf(
            "Picked inside the window as foretold 14 days ahead: %d of %d. A picking says that the "
            "window was open, not when it began.",
            year->pickings_inside, year->pickings);

        spl_flow_text(flow, &type, words, 2.0);
    }
    draw_picture(flow, year);
}

GBytes *spl_year_page_draw(const struct spl_year_page *year, const struct spl_page_options *options,
                           struct spl_page_report *report, GError **error)
{
    g_autofree char *title =
        year->title != NULL ? g_strdup(year->title) : g_strdup_printf("The year %d", year->year);
    struct spl_page_setup setup = {.options = *options,
                                   .landscape = TRUE,
                                   .title = title,
                                   .about = "Year in review: what was taken, made, used and lost; "
                                            "yields and forecasts against what came.",
                                   .foot = title};
    struct spl_page *page = spl_page_open(&setup, error);
    if (page == NULL)
        return NULL;
    struct review review = {year, title};
    struct spl_flow flow;
    spl_flow_begin(&flow, page, draw_head, &review);
    draw_taken(&flow, year);
    draw_made(&flow, year);
    draw_came(&flow, year);
    draw_used(&flow, year);
    draw_lost(&flow, year);
    draw_predictions(&flow, year);
    return spl_page_finish(page, report, error);
}
