/* SPDX-License-Identifier: MIT
 *
 * The almanac page's plant names, outings, jars and key.
 */
#include <math.h>

#include "picture/hatch.h"
#include "picture/season_private.h"
#include "picture/words.h"

#define LOZENGE 3.4 /* half its size */
#define JAR 6.0     /* height of a jar's line */

/* ---- plants ------------------------------------------------------------------------------ */

static void draw_group(struct spl_season_draw *draw, gboolean again)
{
    struct spl_flow *flow = &draw->flow;
    struct spl_type name = {
        .face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE, .tone = SPL_TONE_LEAF};
    struct spl_type latin = {
        .face = SPL_FACE_SERIF, .size = 7.4, .italic = TRUE, .tone = SPL_TONE_SOFT};
    double words_w = draw->chart_x - flow->x - 6.0, name_w, name_h, latin_w;
    g_autofree char *words =
        g_strdup_printf("%s%s", draw->group->plant, again ? " (continued)" : "");
    spl_page_measure(flow->page, words_w, &name, words, &name_w, &name_h);
    spl_page_measure(flow->page, 0.0, &latin, draw->group->latin, &latin_w, NULL);
    gboolean beside = name_w + 5.0 + latin_w <= words_w;
    double latin_h = 0.0;
    if (!beside)
        spl_page_measure(flow->page, words_w, &latin, draw->group->latin, NULL, &latin_h);
    double h = name_h + latin_h + 1.0;
    spl_season_grid(draw, flow->y, flow->y + h);
    spl_page_line(flow->page, flow->x, flow->y, flow->x + flow->w, flow->y, 0.4, SPL_TONE_RULE, 0);
    spl_page_text(flow->page, flow->x, flow->y, words_w, &name, words);
    if (beside)
        spl_page_text(flow->page, flow->x + name_w + 5.0, flow->y + 1.6, 0.0, &latin,
                      draw->group->latin);
    else
        spl_page_text(flow->page, flow->x, flow->y + name_h, words_w, &latin, draw->group->latin);
    flow->y += h;
}

void spl_season_group(struct spl_season_draw *draw, const struct spl_season_page_line *line)
{
    draw->group = line;
    spl_flow_need(&draw->flow, 60.0); /* the name is not left alone at the foot of a page */
    draw_group(draw, FALSE);
}

void spl_season_group_again(struct spl_season_draw *draw)
{
    draw_group(draw, TRUE);
}

/* ---- outings ----------------------------------------------------------------------------- */

static char *number_of(gsize outing)
{
    return g_strdup_printf("%" G_GSIZE_FORMAT, outing + 1);
}

static void say_outing(struct spl_season_draw *draw, gsize i, gboolean reserve, double x, double y)
{
    const struct spl_season_page_outing *outing = &draw->season->outings[i];
    g_autofree char *day = spl_words_weekday(reserve ? outing->reserve : outing->day);
    g_autofree char *words = g_strdup_printf("%s %" G_GSIZE_FORMAT ", %s: %s",
                                             reserve ? "reserve day of outing" : "outing", i + 1,
                                             day, outing->places != NULL ? outing->places : "");
    spl_page_say(draw->flow.page, x - LOZENGE, y - LOZENGE, 2.0 * LOZENGE, 2.0 * LOZENGE, words);
}

struct strip_item {
    gsize outing;
    gboolean reserve;
    struct spl_day day;
};

static int compare_items(gconstpointer a, gconstpointer b)
{
    const struct strip_item *one = a, *two = b;
    int c = spl_day_compare(one->day, two->day);
    if (c == 0)
        c = (one->reserve ? 1 : 0) - (two->reserve ? 1 : 0);
    return c != 0 ? c : (one->outing > two->outing) - (one->outing < two->outing);
}

/* A lozenge for the n outings of one day with their numbers beside it, in the first lane of the
 * strip that has room there. */
static void strip_mark(struct spl_season_draw *draw, GArray *lanes, double top,
                       const struct strip_item *items, guint n)
{
    if (!spl_season_shows(draw, items->day))
        return;
    struct spl_page *page = draw->flow.page;
    struct spl_type type = {.face = SPL_FACE_SANS,
                            .size = 7.0,
                            .bold = !items->reserve,
                            .tone = SPL_TONE_WOAD,
                            .knock_out = TRUE};
    GString *numbers = g_string_new(NULL);
    for (guint i = 0; i < n; i++)
        g_string_append_printf(numbers, "%s%" G_GSIZE_FORMAT, i > 0 ? ", " : "",
                               items[i].outing + 1);
    double w, h;
    spl_page_measure(page, 0.0, &type, numbers->str, &w, &h);
    double x =
        (spl_season_x(draw, items->day) + spl_season_x(draw, spl_day_add(items->day, 1))) / 2.0;
    double right = draw->chart_x + draw->chart_w;
    gboolean flip = x + LOZENGE + 1.5 + w > right; /* the numbers to its left at the year's end */
    double from = flip ? x - LOZENGE - 1.5 - w : x - LOZENGE;
    double to = flip ? x + LOZENGE : x + LOZENGE + 1.5 + w;
    guint lane = 0;
    while (lane < lanes->len && g_array_index(lanes, double, lane) > from - 1.5)
        lane++;
    if (lane == lanes->len)
        g_array_append_val(lanes, to);
    g_array_index(lanes, double, lane) = to;
    double step = MAX(h, 2.0 * LOZENGE) + 1.0, y = top + step * (lane + 0.5);
    spl_page_sign(page, items->reserve ? SPL_SIGN_LOZENGE_OPEN : SPL_SIGN_LOZENGE, x, y, LOZENGE,
                  SPL_TONE_WOAD, numbers->str);
    spl_page_text(page, flip ? from : x + LOZENGE + 1.5, y - h / 2.0, 0.0, &type, numbers->str);
    for (guint i = 0; i < n; i++)
        say_outing(draw, items[i].outing, items->reserve, x, y);
    g_string_free(numbers, TRUE);
}

void spl_season_draw_outings(struct spl_season_draw *draw)
{
    struct spl_flow *flow = &draw->flow;
    const struct spl_season_page *season = draw->season;
    struct spl_type type = {
        .face = SPL_FACE_SERIF, .size = 7.5, .italic = TRUE, .tone = SPL_TONE_SOFT};
    struct spl_type now = {.face = SPL_FACE_SANS,
                           .size = 7.0,
                           .bold = TRUE,
                           .tone = SPL_TONE_MADDER,
                           .knock_out = TRUE};
    double top = flow->y, step, h;
    spl_page_measure(flow->page, 0.0, &now, "today", NULL, &h);
    step = MAX(h, 2.0 * LOZENGE) + 1.0;
    if (spl_season_shows(draw, season->today)) {
        g_autofree char *day = spl_words_day(season->today);
        g_autofree char *words = g_strdup_printf("today, %s", day);
        double w;
        spl_page_measure(flow->page, 0.0, &now, words, &w, NULL);
        double x = spl_season_x(draw, season->today) - w / 2.0;
        x = CLAMP(x, draw->chart_x, draw->chart_x + draw->chart_w - w);
        spl_page_text(flow->page, x, top, 0.0, &now, words);
        top += step;
    }
    if (season->n_outings > 0) {
        g_autoptr(GArray) items = g_array_new(FALSE, FALSE, sizeof(struct strip_item));
        for (gsize i = 0; i < season->n_outings; i++) {
            struct strip_item item = {i, FALSE, season->outings[i].day};
            if (spl_day_is_set(item.day))
                g_array_append_val(items, item);
            item = (struct strip_item){i, TRUE, season->outings[i].reserve};
            if (spl_day_is_set(item.day))
                g_array_append_val(items, item);
        }
        g_array_sort(items, compare_items);
        g_autoptr(GArray) lanes = g_array_new(FALSE, FALSE, sizeof(double));
        spl_page_text(flow->page, flow->x, top, draw->chart_x - flow->x - 6.0, &type,
                      "outings, and their reserve days (open)");
        for (guint i = 0, n; i < items->len; i += n) {
            const struct strip_item *first = &g_array_index(items, struct strip_item, i);
            for (n = 1; i + n < items->len && first[n].day.n == first->day.n &&
                        first[n].reserve == first->reserve;)
                n++;
            strip_mark(draw, lanes, top, first, n);
        }
        top += MAX(step * lanes->len, 11.0);
    }
    flow->y = top + 1.0;
}

void spl_season_line_outings(struct spl_season_draw *draw, const struct spl_season_page_line *line,
                             double y)
{
    /* A lozenge stands for all outings that come closer together than its width: the strip below
     * the months tells them apart. */
    g_autoptr(GArray) drawn = g_array_new(FALSE, FALSE, sizeof(double));
    for (gsize i = 0; i < line->n_outings; i++) {
        gsize index = line->outings[i];
        if (index >= draw->season->n_outings)
            continue;
        struct spl_day day = draw->season->outings[index].day;
        if (!spl_season_shows(draw, day))
            continue;
        double x = (spl_season_x(draw, day) + spl_season_x(draw, spl_day_add(day, 1))) / 2.0;
        double r = LOZENGE - 0.8, edge = r + 1.2;
        say_outing(draw, index, FALSE, x, y);
        gboolean close = FALSE;
        for (guint k = 0; k < drawn->len; k++)
            close = close || fabs(g_array_index(drawn, double, k) - x) < 2.0 * r + 0.5;
        if (close)
            continue;
        g_array_append_val(drawn, x);
        double patch[8] = {x, y - edge, x + edge, y, x, y + edge, x - edge, y};
        spl_page_fill(draw->flow.page, patch, 4, SPL_TONE_PAPER);
        g_autofree char *number = number_of(index);
        spl_page_sign(draw->flow.page, SPL_SIGN_LOZENGE, x, y, r, SPL_TONE_WOAD, number);
    }
}

/* ---- jars -------------------------------------------------------------------------------- */

static void draw_jar(struct spl_season_draw *draw, const struct spl_season_page_batch *batch)
{
    struct spl_flow *flow = &draw->flow;
    struct spl_page *page = flow->page;
    struct spl_type name = {.face = SPL_FACE_SANS, .size = 7.4};
    double name_w = draw->chart_x - flow->x - 12.0, name_h;
    g_autofree char *words = g_strdup_printf("%s %s", batch->code, batch->what);
    spl_page_measure(page, name_w, &name, words, NULL, &name_h);

    struct spl_day end = spl_day_is_set(batch->pressed) ? batch->pressed : batch->ready;
    if (!spl_day_is_set(end))
        end = draw->season->last;
    struct spl_season_end *ends = g_new0(struct spl_season_end, 1);
    double ready_x = -1.0; /* ready, but still standing: the jar goes on, dashed, until today */
    if (!spl_day_is_set(batch->pressed) && spl_day_is_set(batch->ready) &&
        spl_day_is_set(draw->season->today) && draw->season->today.n > end.n)
        ready_x = spl_season_x(draw, end);
    g_autofree char *since = spl_words_day(batch->started);
    g_autofree char *till = spl_words_date(end);
    ends->x0 = spl_season_x(draw, batch->started);
    ends->x1 = MAX(spl_season_x(draw, end), ends->x0 + 3.0);
    double stopper = ends->x1;
    if (ready_x >= 0.0)
        ends->x1 = MAX(ends->x1, spl_season_x(draw, draw->season->today));
    ends->before = g_strdup_printf("stands since %s", since);
    ends->after = !spl_day_is_set(batch->ready) && !spl_day_is_set(batch->pressed)
                      ? g_strdup("ready: not known")
                      : g_strdup_printf(
                            spl_day_is_set(batch->pressed) ? "pressed %s" : "ready from %s", till);
    g_autofree char *said = g_strdup_printf("%s, %s, %s", words, ends->before, ends->after);
    spl_season_ends(draw, ends, 1);
    double h = MAX(name_h, JAR + 6.0 + spl_season_ends_below(draw, ends, 1));
    spl_flow_need(flow, h);
    spl_season_grid(draw, flow->y, flow->y + h);
    spl_page_text(page, flow->x + 8.0, flow->y, name_w, &name, words);
    double y = flow->y + 3.0, a = y + 1.6, b = y + JAR - 1.6;
    /* A jar lying on its side: two rules, a bottom and a stopper. */
    double glass[8] = {ends->x0, a, stopper, a, stopper, b, ends->x0, b};
    spl_page_fill(page, glass, 4, SPL_TONE_PAPER);
    spl_page_path(page, glass, 4, TRUE, 0.7, SPL_TONE_BLACK, 0.0);
    spl_page_line(page, stopper, y, stopper, y + JAR, 1.6, SPL_TONE_BLACK, 0.0);
    if (ends->x1 > stopper)
        spl_page_line(page, stopper, y + JAR / 2.0, ends->x1, y + JAR / 2.0, 0.8, SPL_TONE_BLACK,
                      1.6);
    spl_page_ink(page, SPL_INK_HATCH, ends->x0, y, ends->x1 - ends->x0, JAR, NULL);
    spl_season_ends_draw(draw, ends, 1, y, JAR);
    spl_page_say(page, flow->x, flow->y, flow->w, h, said);
    spl_season_ends_free(ends, 1);
    flow->y += h;
}

void spl_season_draw_batches(struct spl_season_draw *draw)
{
    const struct spl_season_page *season = draw->season;
    gboolean any = FALSE;
    for (gsize i = 0; i < season->n_batches; i++) {
        const struct spl_season_page_batch *batch = &season->batches[i];
        struct spl_day end = spl_day_is_set(batch->pressed) ? batch->pressed : batch->ready;
        if (!spl_day_is_set(batch->started) || batch->started.n > season->last.n ||
            (spl_day_is_set(end) && end.n < season->first.n))
            continue;
        if (!any) {
            static const struct spl_season_page_line jars = {.plant = "Standing in jars"};
            spl_season_group(draw, &jars);
            any = TRUE;
        }
        draw_jar(draw, batch);
    }
}

/* ---- key --------------------------------------------------------------------------------- */

void spl_season_draw_signs(struct spl_season_draw *draw)
{
    struct spl_flow *flow = &draw->flow;
    struct spl_page *page = flow->page;
    struct spl_type type = {
        .face = SPL_FACE_SERIF, .size = 7.5, .italic = TRUE, .tone = SPL_TONE_SOFT};
    const char *bands = "may be gathered; closest in the best days";
    const char *check = "Check again before picking: a window is a forecast, a verdict ages.";
    double x = flow->x, w, h, check_w;
    spl_page_measure(page, 0.0, &type, bands, &w, &h);
    double y = flow->bottom - h - 1.0;
    g_autoptr(GArray) strokes = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GArray) widths = g_array_new(FALSE, FALSE, sizeof(double));
    spl_page_line(page, x, y - 3.0, x + flow->w, y - 3.0, 0.4, SPL_TONE_RULE, 0.0);
    spl_hatch_band(x, x + 18.0, x + 30.0, x + 44.0, y + 1.0, 8.0, 6.0, 1.9, strokes, widths);
    spl_season_hatch(page, strokes, widths);
    spl_page_ink(page, SPL_INK_HATCH, x, y + 1.0, 44.0, 8.0, NULL);
    x += 49.0;
    spl_page_text(page, x, y, 0.0, &type, bands);
    x += w + 16.0;
    static const struct {
        enum spl_sign sign;
        const char *words;
    } signs[] = {{SPL_SIGN_LOZENGE, "outing"}, {SPL_SIGN_LOZENGE_OPEN, "its reserve day"}};
    for (gsize i = 0; i < G_N_ELEMENTS(signs); i++) {
        spl_page_sign(page, signs[i].sign, x + LOZENGE, y + h / 2.0, LOZENGE, SPL_TONE_WOAD, "key");
        x += 2.0 * LOZENGE + 4.0;
        spl_page_text(page, x, y, 0.0, &type, signs[i].words);
        spl_page_measure(page, 0.0, &type, signs[i].words, &w, NULL);
        x += w + 16.0;
    }
    spl_page_measure(page, 0.0, &type, check, &check_w, NULL);
    spl_page_text(page, MAX(x, flow->x + flow->w - check_w), y, 0.0, &type, check);
    flow->bottom = y - 5.0;
}

static void key_outings(struct spl_season_draw *draw)
{
    struct spl_flow *flow = &draw->flow;
    const struct spl_season_page *season = draw->season;
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.2};
    double half = (flow->w - 12.0) / 2.0;
    for (gsize i = 0; i < season->n_outings; i += 2) {
        double highest = 0.0;
        for (int pass = 0; pass < 2; pass++) { /* the pair is measured, then drawn */
            for (gsize k = i; k < MIN(i + 2, season->n_outings); k++) {
                const struct spl_season_page_outing *outing = &season->outings[k];
                g_autofree char *day = spl_words_weekday(outing->day);
                g_autofree char *other = spl_words_weekday(outing->reserve);
                g_autofree char *words = g_strdup_printf(
                    "%" G_GSIZE_FORMAT "  %s%s%s%s: %s", k + 1, day,
                    other[0] != '\0' ? " (reserve " : "", other, other[0] != '\0' ? ")" : "",
                    outing->places != NULL ? outing->places : "");
                double h;
                spl_page_measure(flow->page, half, &type, words, NULL, &h);
                if (pass == 0)
                    highest = MAX(highest, h);
                else
                    spl_page_text(flow->page, flow->x + (double)(k - i) * (half + 12.0), flow->y,
                                  half, &type, words);
            }
            if (pass == 0)
                spl_flow_need(flow, highest);
        }
        flow->y += highest + 0.5;
    }
}

void spl_season_draw_key(struct spl_season_draw *draw)
{
    struct spl_flow *flow = &draw->flow;
    struct spl_type note = {.face = SPL_FACE_SANS, .size = 7.2, .tone = SPL_TONE_SOFT};
    draw->plain = TRUE;
    spl_page_line(flow->page, flow->x, flow->y + 1.0, flow->x + flow->w, flow->y + 1.0, 0.8,
                  SPL_TONE_BLACK, 0.0);
    flow->y += 4.0;
    key_outings(draw);
    for (gsize i = 0; i < draw->season->n_notes; i++)
        spl_flow_text(flow, &note, draw->season->notes[i], 1.0);
}
