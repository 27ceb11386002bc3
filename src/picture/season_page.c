/* SPDX-License-Identifier: MIT
 *
 * The almanac page: a line per material and place. How an outing or a jar is drawn is in
 * season_marks.c.
 */
#include "picture/season_page.h"

#include <math.h>
#include <string.h>

#include "picture/hatch.h"
#include "picture/season_private.h"
#include "picture/words.h"

#define BAND 8.0      /* height of the hatching */
#define ROW_PAD 2.6   /* above and below it */
#define ROW_LEAST 1.4 /* where that saves a page */
#define GAP 3.0       /* between hatching and words */
#define NAMES 150.0   /* width of "what and where" */
#define BEST 66.0     /* width of "best days" */

double spl_season_x(const struct spl_season_draw *draw, struct spl_day day)
{
    double share = (double)(day.n - draw->season->first.n) /
                   (double)(draw->season->last.n - draw->season->first.n + 1);
    return draw->chart_x + draw->chart_w * CLAMP(share, 0.0, 1.0);
}

void spl_season_grid(const struct spl_season_draw *draw, double top, double bottom)
{
    struct spl_page *page = draw->flow.page;
    const struct spl_season_page *season = draw->season;
    int year, month;
    spl_day_to_ymd(season->first, &year, &month, NULL);
    for (int i = 0;; i++) {
        struct spl_day day = spl_day_add_months(spl_day_from_ymd(year, month, 1), i);
        if (day.n > season->last.n)
            break;
        double x = spl_season_x(draw, day);
        spl_page_line(page, x, top, x, bottom, 0.3, SPL_TONE_FAINT, 0.0);
    }
    double right = draw->chart_x + draw->chart_w;
    spl_page_line(page, right, top, right, bottom, 0.3, SPL_TONE_FAINT, 0.0);
    if (spl_season_shows(draw, season->today)) {
        double x = spl_season_x(draw, season->today);
        spl_page_line(page, x, top, x, bottom, 0.9, SPL_TONE_MADDER, 2.2);
    }
}

gboolean spl_season_shows(const struct spl_season_draw *draw, struct spl_day day)
{
    return spl_day_is_set(day) && day.n >= draw->season->first.n && day.n <= draw->season->last.n;
}

static void draw_months(struct spl_season_draw *draw)
{
    struct spl_flow *flow = &draw->flow;
    const struct spl_season_page *season = draw->season;
    struct spl_type name = {
        .face = SPL_FACE_SERIF, .size = 9.5, .bold = TRUE, .align = SPL_ALIGN_CENTRE};
    struct spl_type heading = {
        .face = SPL_FACE_SERIF, .size = 7.5, .italic = TRUE, .tone = SPL_TONE_SOFT};
    double top = flow->y, h = 0.0;
    int year, month;
    spl_day_to_ymd(season->first, &year, &month, NULL);
    for (int i = 0;; i++) {
        struct spl_day day = spl_day_add_months(spl_day_from_ymd(year, month, 1), i);
        if (day.n > season->last.n)
            break;
        struct spl_day next = spl_day_add_months(day, 1);
        double x = spl_season_x(draw, day), w = spl_season_x(draw, next) - x;
        int of_year;
        spl_day_to_ymd(day, NULL, &of_year, NULL);
        g_autofree char *cut = g_strndup(spl_words_month(of_year), 3);
        double cut_h = spl_page_text(flow->page, x, top, w, &name, cut);
        h = MAX(h, cut_h);
    }
    spl_page_text(flow->page, flow->x, top + 2.0, NAMES, &heading, "what and where");
    spl_page_text(flow->page, flow->x + NAMES, top + 2.0, BEST, &heading, "best days");
    flow->y = top + h + 1.0;
    /* Ticks every ten days, so that a date can be read off. */
    for (int i = 0;; i++) {
        struct spl_day day = spl_day_add_months(spl_day_from_ymd(year, month, 1), i / 3);
        day = spl_day_add(day, 10 * (i % 3));
        if (day.n > season->last.n)
            break;
        double x = spl_season_x(draw, day), tick = i % 3 == 0 ? 5.0 : 2.5;
        spl_page_line(flow->page, x, flow->y, x, flow->y + tick, 0.5, SPL_TONE_BLACK, 0.0);
    }
    spl_page_line(flow->page, flow->x, flow->y, flow->x + flow->w, flow->y, 0.8, SPL_TONE_BLACK,
                  0.0);
    flow->y += 5.0;
}

static void draw_head(struct spl_flow *flow, gpointer data)
{
    struct spl_season_draw *draw = data;
    if (spl_page_number(flow->page) == 0) {
        spl_flow_title(flow, draw->title, draw->season->subtitle);
    } else {
        struct spl_type small = {.face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE};
        flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, draw->title) + 2.0;
    }
    spl_season_draw_signs(draw);
    if (draw->plain)
        return;
    draw->chart_x = flow->x + NAMES + BEST;
    draw->chart_w = flow->w - NAMES - BEST;
    draw_months(draw);
    spl_season_draw_outings(draw);
}

/* ---- words at the ends ------------------------------------------------------------------- */

struct span {
    double from, to;
};

static gboolean is_free(const GArray *taken, double from, double to, double low, double high)
{
    if (from < low || to > high)
        return FALSE;
    for (guint i = 0; i < taken->len; i++) {
        const struct span *span = &g_array_index(taken, struct span, i);
        if (from < span->to + 1.5 && to > span->from - 1.5)
            return FALSE;
    }
    return TRUE;
}

static struct spl_type end_type(void)
{
    return (struct spl_type){.face = SPL_FACE_SANS, .size = 7.0};
}

/* Both words of one band on the side that has room. TRUE: they are there. */
static gboolean both_on_one_side(struct spl_season_draw *draw, struct spl_season_end *end,
                                 gboolean left_fits, gboolean right_fits, const GArray *taken)
{
    struct spl_type type = end_type();
    double low = draw->chart_x, high = draw->chart_x + draw->chart_w, whole;

    if (left_fits == right_fits)
        return FALSE;
    g_autofree char *both = g_strdup_printf("%s, %s", end->before, end->after);
    spl_page_measure(draw->flow.page, 0.0, &type, both, &whole, NULL);
    struct span one = right_fits ? (struct span){end->x1 + GAP, end->x1 + GAP + whole}
                                 : (struct span){end->x0 - GAP - whole, end->x0 - GAP};
    if (!is_free(taken, one.from, one.to, low, high))
        return FALSE;
    g_free(end->before);
    g_free(end->after);
    end->before = right_fits ? g_strdup("") : g_steal_pointer(&both);
    end->after = right_fits ? g_steal_pointer(&both) : g_strdup("");
    end->before_x = end->after_x = one.from;
    return TRUE;
}

/* The first line below the bands that has room for `w` from `x` on; lines as long as there are any,
 * then one more. */
static guint line_below(GPtrArray *lines, double x, double w, double low, double high)
{
    struct span span = {x, x + w};

    for (guint i = 0;; i++) {
        if (i == lines->len)
            g_ptr_array_add(lines, g_array_new(FALSE, FALSE, sizeof(struct span)));
        GArray *line = g_ptr_array_index(lines, i);
        /* Words wider than the page stand alone on a line. */
        if (line->len > 0 && !is_free(line, span.from, span.to, low, high))
            continue;
        g_array_append_val(line, span);
        return i + 1;
    }
}

void spl_season_ends(struct spl_season_draw *draw, struct spl_season_end *ends, gsize n)
{
    struct spl_type type = end_type();
    double low = draw->chart_x, high = draw->chart_x + draw->chart_w;
    g_autoptr(GArray) taken = g_array_new(FALSE, FALSE, sizeof(struct span));
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);

    for (gsize i = 0; i < n; i++) {
        struct span span = {ends[i].x0, ends[i].x1};
        g_array_append_val(taken, span);
    }
    for (gsize i = 0; i < n; i++) {
        struct spl_season_end *end = &ends[i];
        double before, after;

        spl_page_measure(draw->flow.page, 0.0, &type, end->before, &before, NULL);
        spl_page_measure(draw->flow.page, 0.0, &type, end->after, &after, NULL);
        struct span left = {end->x0 - GAP - before, end->x0 - GAP};
        struct span right = {end->x1 + GAP, end->x1 + GAP + after};
        gboolean left_fits = is_free(taken, left.from, left.to, low, high);
        gboolean right_fits = is_free(taken, right.from, right.to, low, high);

        if (n == 1 && both_on_one_side(draw, end, left_fits, right_fits, taken))
            return;
        /* Words that have no room beside their end stand below it. */
        end->before_x = left_fits ? left.from : MAX(MIN(end->x0, high - before), low);
        end->after_x = right_fits ? right.from : MAX(MIN(end->x1, high) - after, low);
        end->before_line = left_fits ? 0 : line_below(lines, end->before_x, before, low, high);
        if (left_fits)
            g_array_append_val(taken, left);
        end->after_line = right_fits ? 0 : line_below(lines, end->after_x, after, low, high);
        if (right_fits)
            g_array_append_val(taken, right);
    }
}

static double end_height(const struct spl_season_draw *draw)
{
    struct spl_type type = end_type();
    double h;

    spl_page_measure(draw->flow.page, 0.0, &type, "4 May", NULL, &h);
    return h;
}

double spl_season_ends_below(const struct spl_season_draw *draw, const struct spl_season_end *ends,
                             gsize n)
{
    guint lines = 0;

    for (gsize i = 0; i < n; i++)
        lines = MAX(lines, MAX(ends[i].before_line, ends[i].after_line));
    return lines * end_height(draw);
}

/* Only where it crosses the line of today is paper laid under a word: the rules between the months
 * are fine enough to be read over, and go on. */
static void draw_end(const struct spl_season_draw *draw, double x, double y, double band,
                     guint line, const char *words)
{
    struct spl_type type = end_type();
    double w, h = end_height(draw);

    if (words[0] == '\0')
        return;
    spl_page_measure(draw->flow.page, 0.0, &type, words, &w, NULL);
    if (spl_season_shows(draw, draw->season->today)) {
        double today = spl_season_x(draw, draw->season->today);
        type.knock_out = today > x - 2.0 && today < x + w + 2.0;
    }
    spl_page_text(draw->flow.page, x,
                  line == 0 ? y + (band - h) / 2.0 : y + band + 1.0 + (line - 1) * h, 0.0, &type,
                  words);
}

void spl_season_ends_draw(const struct spl_season_draw *draw, const struct spl_season_end *ends,
                          gsize n, double y, double band)
{
    for (gsize i = 0; i < n; i++) {
        draw_end(draw, ends[i].before_x, y, band, ends[i].before_line, ends[i].before);
        draw_end(draw, ends[i].after_x, y, band, ends[i].after_line, ends[i].after);
    }
}

void spl_season_ends_free(struct spl_season_end *ends, gsize n)
{
    for (gsize i = 0; i < n; i++) {
        g_free(ends[i].before);
        g_free(ends[i].after);
    }
    g_free(ends);
}

/* ---- lines ------------------------------------------------------------------------------- */

static struct spl_day best_first(const struct spl_season_page_window *window)
{
    return spl_day_is_set(window->best_first) ? window->best_first : window->earliest;
}

static struct spl_day best_last(const struct spl_season_page_window *window)
{
    return spl_day_is_set(window->best_last) ? window->best_last : window->latest;
}

static gboolean window_shows(const struct spl_season_draw *draw,
                             const struct spl_season_page_window *window)
{
    return window->latest.n >= draw->season->first.n && window->earliest.n <= draw->season->last.n;
}

/* Strokes of one width are drawn together: a page of 200 lines has some ten thousand of them. */
void spl_season_hatch(struct spl_page *page, const GArray *strokes, const GArray *widths)
{
    double low = INFINITY, high = 0.0;
    for (guint i = 0; i < widths->len; i++) {
        low = MIN(low, g_array_index(widths, double, i));
        high = MAX(high, g_array_index(widths, double, i));
    }
    enum { STEPS = 6 };
    g_autoptr(GArray) alike = g_array_new(FALSE, FALSE, sizeof(double));
    for (int step = 0; step <= STEPS; step++) {
        g_array_set_size(alike, 0);
        for (guint i = 0; i < widths->len; i++) {
            double width = g_array_index(widths, double, i);
            int of = high > low ? (int)lround((width - low) / (high - low) * STEPS) : 0;
            if (of == step)
                g_array_append_vals(alike, &g_array_index(strokes, double, 4 * i), 4);
        }
        spl_page_strokes(page, (const double *)(void *)alike->data, alike->len / 4,
                         low + (high - low) * step / STEPS, SPL_TONE_LEAF);
    }
}

static void draw_band(struct spl_season_draw *draw, const struct spl_season_page_window *window,
                      double y)
{
    struct spl_page *page = draw->flow.page;
    double x0 = spl_season_x(draw, window->earliest);
    double x3 = MAX(spl_season_x(draw, spl_day_add(window->latest, 1)), x0 + 3.0);
    double x1 = CLAMP(spl_season_x(draw, best_first(window)), x0, x3);
    double x2 = CLAMP(spl_season_x(draw, spl_day_add(best_last(window), 1)), x1, x3);
    g_autoptr(GArray) strokes = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GArray) widths = g_array_new(FALSE, FALSE, sizeof(double));
    spl_hatch_band(x0, x1, x2, x3, y, BAND, 6.0, 1.9, strokes, widths);
    spl_season_hatch(page, strokes, widths);
    spl_page_line(page, x0, y + BAND, x3, y + BAND, 0.5, SPL_TONE_LEAF, 0.0);
    spl_page_ink(page, SPL_INK_HATCH, x0, y, x3 - x0, BAND, NULL);
}

static char *name_of(const struct spl_season_page_line *line)
{
    g_autofree char *use =
        line->use != NULL ? g_strdup_printf("%s (%s)", line->part, line->use) : NULL;
    const char *bits[] = {use != NULL ? use : line->part, line->place,
                          spl_verdict_names[line->verdict]};
    return spl_words_join(", ", bits, G_N_ELEMENTS(bits));
}

static char *best_of(const struct spl_season_page_line *line)
{
    GString *all = g_string_new(NULL);
    for (gsize i = 0; i < line->n_windows; i++) {
        g_autofree char *from = spl_words_day(best_first(&line->windows[i]));
        g_autofree char *to = spl_words_day(best_last(&line->windows[i]));
        g_string_append_printf(all, "%s%s \342\200\223 %s", i > 0 ? "\n" : "", from, to);
    }
    return g_string_free(all, FALSE);
}

static void say_line(const struct spl_season_draw *draw, const struct spl_season_page_line *line,
                     double top, double h)
{
    GString *words = g_string_new(line->plant);
    g_autofree char *name = name_of(line);
    g_string_append_printf(words, " %s", name);
    for (gsize i = 0; i < line->n_windows; i++) {
        const struct spl_season_page_window *window = &line->windows[i];
        g_autofree char *a = spl_words_date(window->earliest);
        g_autofree char *b = spl_words_date(best_first(window));
        g_autofree char *c = spl_words_date(best_last(window));
        g_autofree char *d = spl_words_date(window->latest);
        g_string_append_printf(words, "; may begin %s, best %s to %s, mostly over %s", a, b, c, d);
    }
    if (line->n_windows == 0)
        g_string_append(words, "; no dates known");
    if (line->basis != NULL)
        g_string_append_printf(words, " (%s)", line->basis);
    spl_page_say(draw->flow.page, draw->flow.x, top, draw->flow.w, h, words->str);
    g_string_free(words, TRUE);
}

static struct spl_season_end *ends_of(struct spl_season_draw *draw,
                                      const struct spl_season_page_line *line, gsize *n)
{
    struct spl_season_end *ends = g_new0(struct spl_season_end, line->n_windows + 1);
    *n = 0;
    for (gsize i = 0; i < line->n_windows; i++) {
        const struct spl_season_page_window *window = &line->windows[i];
        if (!window_shows(draw, window))
            continue;
        struct spl_season_end *end = &ends[(*n)++];
        g_autofree char *from = spl_words_day(window->earliest);
        g_autofree char *to = spl_words_day(window->latest);
        end->x0 = spl_season_x(draw, window->earliest);
        end->x1 = MAX(spl_season_x(draw, spl_day_add(window->latest, 1)), end->x0 + 3.0);
        end->before = g_strdup_printf("may begin %s", from);
        end->after = g_strdup_printf("mostly over %s", to);
    }
    if (*n > 0)
        spl_season_ends(draw, ends, *n);
    return ends;
}

static void keep_row(const struct spl_season_draw *draw, const struct spl_season_page_line *line,
                     double h)
{
    struct spl_season_page_row row = {
        .line = (gsize)(line - draw->season->lines),
        .page = spl_page_number(draw->flow.page),
        .x = draw->flow.x,
        .y = draw->flow.y,
        .w = draw->flow.w,
        .h = h,
    };

    if (draw->season->rows != NULL)
        g_array_append_val(draw->season->rows, row);
}

static void draw_line(struct spl_season_draw *draw, const struct spl_season_page_line *line)
{
    struct spl_flow *flow = &draw->flow;
    struct spl_type name = {.face = SPL_FACE_SANS, .size = 7.4};
    struct spl_type best = {.face = SPL_FACE_SANS, .size = 7.4, .bold = TRUE};
    struct spl_type none = {
        .face = SPL_FACE_SERIF, .size = 7.0, .italic = TRUE, .tone = SPL_TONE_SOFT};
    g_autofree char *words = name_of(line);
    g_autofree char *days = best_of(line);
    double name_h, best_h;
    spl_page_measure(flow->page, NAMES - 12.0, &name, words, NULL, &name_h);
    spl_page_measure(flow->page, BEST - 4.0, &best, days, NULL, &best_h);
    gsize n;
    struct spl_season_end *ends = ends_of(draw, line, &n);
    double chart_h = BAND + 2.0 * draw->row_pad + spl_season_ends_below(draw, ends, n);
    /* Below days on several lines some room, so that the last are not read as the next row's. */
    double h = MAX(MAX(name_h, best_h + (line->n_windows > 1 ? draw->row_pad : 0.0)), chart_h);
    if (spl_flow_need(flow, h))
        spl_season_group_again(draw);
    spl_season_grid(draw, flow->y, flow->y + h);
    spl_page_text(flow->page, flow->x + 8.0, flow->y, NAMES - 12.0, &name, words);
    spl_page_text(flow->page, flow->x + NAMES, flow->y, BEST - 4.0, &best, days);
    double y = flow->y + draw->row_pad;
    for (gsize i = 0; i < line->n_windows; i++)
        if (window_shows(draw, &line->windows[i]))
            draw_band(draw, &line->windows[i], y);
    spl_season_ends_draw(draw, ends, n, y, BAND);
    if (line->n_windows == 0)
        spl_page_text(flow->page, draw->chart_x + 4.0, flow->y, draw->chart_w - 8.0, &none,
                      "no dates known");
    spl_season_line_outings(draw, line, y + BAND / 2.0);
    say_line(draw, line, flow->y, h);
    keep_row(draw, line, h);
    spl_season_ends_free(ends, n);
    flow->y += h;
}

static struct spl_day line_begin(const struct spl_season_page_line *line)
{
    struct spl_day first = SPL_DAY_NONE;
    for (gsize i = 0; i < line->n_windows; i++)
        if (!spl_day_is_set(first) || line->windows[i].earliest.n < first.n)
            first = line->windows[i].earliest;
    return first;
}

struct order {
    const struct spl_season_page_line *line;
    struct spl_day plant_begin, begin;
};

static int compare_lines(gconstpointer a, gconstpointer b)
{
    const struct order *one = a, *two = b;
    int c = spl_day_compare(one->plant_begin, two->plant_begin);
    if (c == 0)
        c = strcmp(one->line->plant, two->line->plant);
    if (c == 0)
        c = spl_day_compare(one->begin, two->begin);
    if (c == 0)
        c = g_strcmp0(one->line->part, two->line->part);
    return c != 0 ? c : g_strcmp0(one->line->place, two->line->place);
}

/* Plants in the order in which they begin; within a plant its materials as the year brings them,
 * so that the spring flowers and the summer leaves of one plant stand beneath each other. */
static struct order *sort_lines(const struct spl_season_page *season)
{
    struct order *order = g_new0(struct order, season->n_lines + 1);
    g_autoptr(GHashTable) begins = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, g_free);
    for (gsize i = 0; i < season->n_lines; i++) {
        order[i] =
            (struct order){.line = &season->lines[i], .begin = line_begin(&season->lines[i])};
        struct spl_day *first = g_hash_table_lookup(begins, season->lines[i].plant);
        if (first == NULL) {
            first = g_new(struct spl_day, 1);
            *first = order[i].begin;
            g_hash_table_insert(begins, (gpointer)season->lines[i].plant, first);
        } else if (spl_day_compare(order[i].begin, *first) < 0) {
            *first = order[i].begin;
        }
    }
    for (gsize i = 0; i < season->n_lines; i++)
        order[i].plant_begin = *(struct spl_day *)g_hash_table_lookup(begins, order[i].line->plant);
    qsort(order, season->n_lines, sizeof *order, compare_lines);
    return order;
}

static char *default_title(const struct spl_season_page *season)
{
    int from, to;
    spl_day_to_ymd(season->first, &from, NULL, NULL);
    spl_day_to_ymd(season->last, &to, NULL, NULL);
    return from == to ? g_strdup_printf("The season %d", from)
                      : g_strdup_printf("The season %d to %d", from, to);
}

/* The whole document. What follows the last line (outings by number, notes) may stand on a page of
 * its own: `*alone`. */
static struct spl_page *draw_whole(const struct spl_season_page *season,
                                   const struct spl_page_setup *setup, double row_pad,
                                   gboolean *alone, GError **error)
{
    struct spl_page *page = spl_page_open(setup, error);
    struct spl_season_draw draw = {.season = season, .title = setup->title, .row_pad = row_pad};
    g_autofree struct order *order = NULL;
    int last;

    if (page == NULL)
        return NULL;
    if (season->rows != NULL)
        g_array_set_size(season->rows, 0);
    spl_flow_begin(&draw.flow, page, draw_head, &draw);
    order = sort_lines(season);
    for (gsize i = 0; i < season->n_lines; i++) {
        const struct spl_season_page_line *line = order[i].line;

        if (draw.group == NULL || strcmp(draw.group->plant, line->plant) != 0)
            spl_season_group(&draw, line);
        draw_line(&draw, line);
    }
    if (season->n_lines == 0) {
        struct spl_type empty = {.face = SPL_FACE_SERIF, .size = 10.0, .italic = TRUE};

        draw.flow.y += 8.0;
        spl_flow_text(
            &draw.flow, &empty,
            "No windows are known yet: the book has no places with stands, or no almanac.", 6.0);
    }
    spl_season_draw_batches(&draw);
    last = spl_page_number(page);
    spl_season_draw_key(&draw);
    *alone = spl_page_number(page) > last;
    return page;
}

static void tell_rows(const struct spl_page *page, GArray *rows)
{
    for (guint i = 0; i < rows->len; i++) {
        struct spl_season_page_row *row = &g_array_index(rows, struct spl_season_page_row, i);
        double box[4] = {row->x, row->y, row->w, row->h};

        spl_page_shares(page, row->page, box);
        row->x = box[0];
        row->y = box[1];
        row->w = box[2];
        row->h = box[3];
    }
}

GBytes *spl_season_page_draw(const struct spl_season_page *season,
                             const struct spl_page_options *options, struct spl_page_report *report,
                             GError **error)
{
    if (!spl_day_is_set(season->first) || !spl_day_is_set(season->last) ||
        season->last.n < season->first.n || season->last.n - season->first.n > 366) {
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_INVALID,
            "the season's first and last day make no year; give both, at most a year apart");
        return NULL;
    }
    g_autofree char *title =
        season->title != NULL ? g_strdup(season->title) : default_title(season);
    g_autofree char *about = g_strdup_printf(
        "Season page: %" G_GSIZE_FORMAT " lines of materials and places, %" G_GSIZE_FORMAT
        " outings, %" G_GSIZE_FORMAT " batches. Months run across the top.",
        season->n_lines, season->n_outings, season->n_batches);
    g_autofree char *today = spl_words_date(season->today);
    g_autofree char *foot = today[0] != '\0'
                                ? g_strdup_printf("%s, as the book stood on %s", title, today)
                                : g_strdup(title);
    struct spl_page_setup setup = {
        .options = *options, .landscape = TRUE, .title = title, .about = about, .foot = foot};
    gboolean alone;
    struct spl_page *page = draw_whole(season, &setup, ROW_PAD, &alone, error);
    if (page != NULL && alone) { /* a little closer it may do without that page */
        spl_page_free(page);
        page = draw_whole(season, &setup, ROW_LEAST, &alone, error);
    }
    if (page != NULL && season->rows != NULL)
        tell_rows(page, season->rows);
    return page != NULL ? spl_page_finish(page, report, error) : NULL;
}
