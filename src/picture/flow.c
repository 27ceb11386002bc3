/* SPDX-License-Identifier: MIT
 *
 * What runs down a page and over to the next: cursor, paragraphs, ruled tables.
 */
#include "picture/flow.h"

#include <string.h>

#define PAD 2.0                       /* between a rule and words, pt */
#define SIDE (SPL_TABLE_GUTTER / 2.0) /* between a column's edge and its words, pt */

void spl_flow_begin(struct spl_flow *flow, struct spl_page *page,
                    void (*head)(struct spl_flow *flow, gpointer data), gpointer data)
{
    double h;
    flow->page = page;
    flow->head = head;
    flow->data = data;
    spl_page_box(page, &flow->x, &flow->y, &flow->w, &h);
    flow->bottom = flow->y + h;
    if (head != NULL)
        head(flow, data);
    flow->top = flow->y;
}

void spl_flow_turn(struct spl_flow *flow)
{
    double x, h;
    spl_page_next(flow->page);
    spl_page_box(flow->page, &x, &flow->y, &flow->w, &h);
    flow->bottom = flow->y + h;
    if (flow->head != NULL)
        flow->head(flow, flow->data);
    flow->top = flow->y;
}

gboolean spl_flow_need(struct spl_flow *flow, double h)
{
    if (flow->y + h <= flow->bottom || flow->y <= flow->top)
        return FALSE;
    spl_flow_turn(flow);
    return TRUE;
}

void spl_flow_text(struct spl_flow *flow, const struct spl_type *type, const char *text,
                   double after)
{
    if (text == NULL || text[0] == '\0')
        return;
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    const char *rest = valid;
    while (rest[0] != '\0') {
        double h;
        spl_page_measure(flow->page, flow->w, type, rest, NULL, &h);
        if (flow->y + h <= flow->bottom) {
            flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, type, rest);
            break;
        }
        gsize fits = spl_page_text_fitting(flow->page, flow->w, type, rest, flow->bottom - flow->y);
        if (fits == 0) {
            if (flow->y <= flow->top) /* a line higher than the page: draw it all the same */
                fits = strlen(rest);
            else {
                spl_flow_turn(flow);
                continue;
            }
        }
        g_autofree char *piece = g_strndup(rest, fits);
        flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, type, piece);
        rest += fits;
        if (rest[0] != '\0')
            spl_flow_turn(flow);
    }
    flow->y += after;
}

void spl_flow_title(struct spl_flow *flow, const char *title, const char *subtitle)
{
    struct spl_type big = {.face = SPL_FACE_SERIF, .size = 17.0, .bold = TRUE};
    struct spl_type small = {
        .face = SPL_FACE_SERIF, .size = 9.0, .italic = TRUE, .tone = SPL_TONE_SOFT};
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &big, title);
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, subtitle);
    flow->y += 2.0;
    spl_page_line(flow->page, flow->x, flow->y, flow->x + flow->w, flow->y, 1.2, SPL_TONE_BLACK, 0);
    flow->y += 2.2;
    spl_page_line(flow->page, flow->x, flow->y, flow->x + flow->w, flow->y, 0.4, SPL_TONE_BLACK, 0);
    flow->y += 4.0;
}

void spl_flow_section(struct spl_flow *flow, const char *name, double with)
{
    struct spl_type type = {.face = SPL_FACE_SERIF, .size = 11.0, .bold = TRUE};
    double h;
    spl_page_measure(flow->page, flow->w, &type, name, NULL, &h);
    spl_flow_need(flow, 6.0 + h + 2.0 + with);
    if (flow->y > flow->top)
        flow->y += 6.0;
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &type, name) + 2.0;
}

static gboolean is_out(const struct spl_table *table, gsize column)
{
    return (table->left_out & (1U << column)) != 0;
}

void spl_table_leave_out(struct spl_table *table, gsize column)
{
    g_return_if_fail(column < table->n_columns);
    table->left_out |= 1U << column;
}

static void measures(const struct spl_table *table, double x[], double w[])
{
    double all = 0.0, at = table->flow->x;
    for (gsize i = 0; i < table->n_columns; i++)
        all += is_out(table, i) ? 0.0 : table->columns[i].share;
    for (gsize i = 0; i < table->n_columns; i++) {
        w[i] = is_out(table, i) ? 0.0 : table->flow->w * table->columns[i].share / all;
        x[i] = at;
        at += w[i];
    }
}

static struct spl_type cell_type(const struct spl_table *table, gsize column, enum spl_tone tone)
{
    return (struct spl_type){.face = SPL_FACE_SANS,
                             .size = table->size,
                             .bold = table->columns[column].bold,
                             .align = table->columns[column].align,
                             .tone = tone};
}

static void rule_below(const struct spl_table *table, const double x[], double top, double bottom,
                       double width, enum spl_tone tone)
{
    struct spl_flow *flow = table->flow;
    spl_page_line(flow->page, flow->x, bottom, flow->x + flow->w, bottom, width, tone, 0.0);
    if (!table->upright)
        return;
    for (gsize i = 0; i < table->n_columns; i++)
        if (!is_out(table, i))
            spl_page_line(flow->page, x[i], top, x[i], bottom, 0.3, SPL_TONE_RULE, 0.0);
    spl_page_line(flow->page, flow->x + flow->w, top, flow->x + flow->w, bottom, 0.3, SPL_TONE_RULE,
                  0.0);
}

static double heads_height(const struct spl_table *table, const double w[])
{
    double highest = 0.0;
    for (gsize i = 0; i < table->n_columns; i++) {
        struct spl_type type = cell_type(table, i, SPL_TONE_SOFT);
        type.face = SPL_FACE_SERIF;
        type.bold = FALSE;
        type.italic = TRUE;
        double h;
        if (is_out(table, i))
            continue;
        spl_page_measure(table->flow->page, w[i] - 2.0 * SIDE, &type, table->columns[i].heading,
                         NULL, &h);
        highest = MAX(highest, h);
    }
    return highest + 2.0 * PAD;
}

static void draw_heads(struct spl_table *table, const double x[], const double w[])
{
    struct spl_flow *flow = table->flow;
    double h = heads_height(table, w);
    for (gsize i = 0; i < table->n_columns; i++) {
        struct spl_type type = cell_type(table, i, SPL_TONE_SOFT);
        type.face = SPL_FACE_SERIF;
        type.bold = FALSE;
        type.italic = TRUE;
        if (is_out(table, i))
            continue;
        spl_page_text(flow->page, x[i] + SIDE, flow->y + PAD, w[i] - 2.0 * SIDE, &type,
                      table->columns[i].heading);
    }
    rule_below(table, x, flow->y, flow->y + h, 0.8, SPL_TONE_BLACK);
    flow->y += h;
    table->shown_on = spl_page_number(flow->page);
}

void spl_table_row(struct spl_table *table, const char *const *cells)
{
    spl_table_row_toned(table, cells, SPL_TONE_BLACK);
}

void spl_table_row_toned(struct spl_table *table, const char *const *cells, enum spl_tone tone)
{
    g_return_if_fail(table->n_columns <= SPL_TABLE_MOST_COLUMNS);
    struct spl_flow *flow = table->flow;
    double x[SPL_TABLE_MOST_COLUMNS], w[SPL_TABLE_MOST_COLUMNS];
    char *rest[SPL_TABLE_MOST_COLUMNS];
    measures(table, x, w);
    double whole = MAX(table->least, table->size * 1.3);
    for (gsize i = 0; i < table->n_columns; i++) {
        struct spl_type type = cell_type(table, i, tone);
        rest[i] = g_utf8_make_valid(cells[i] != NULL && !is_out(table, i) ? cells[i] : "", -1);
        double h;
        spl_page_measure(flow->page, w[i] - 2.0 * SIDE, &type, rest[i], NULL, &h);
        whole = MAX(whole, h);
    }
    whole += 2.0 * PAD;
    double heads = heads_height(table, w);
    gboolean headless = table->shown_on != spl_page_number(flow->page);
    /* A row is kept together unless no page could hold it. */
    double room = flow->bottom - flow->y - (headless ? heads : 0.0);
    if (whole > room && whole <= flow->bottom - flow->top - heads)
        spl_flow_need(flow, whole + heads);
    else if (room < table->size * 5.0)
        spl_flow_need(flow, table->size * 5.0 + heads);
    for (gboolean more = TRUE; more;) {
        if (table->shown_on != spl_page_number(flow->page))
            draw_heads(table, x, w);
        double inner = flow->bottom - flow->y - 2.0 * PAD, highest = MAX(table->least, 0.0);
        more = FALSE;
        for (gsize i = 0; i < table->n_columns; i++) {
            struct spl_type type = cell_type(table, i, tone);
            gsize fits = strlen(rest[i]);
            double h;
            spl_page_measure(flow->page, w[i] - 2.0 * SIDE, &type, rest[i], NULL, &h);
            if (h > inner + 0.01)
                fits = spl_page_text_fitting(flow->page, w[i] - 2.0 * SIDE, &type, rest[i], inner);
            g_autofree char *piece = g_strndup(rest[i], fits);
            h = spl_page_text(flow->page, x[i] + SIDE, flow->y + PAD, w[i] - 2.0 * SIDE, &type,
                              piece);
            highest = MAX(highest, h);
            memmove(rest[i], rest[i] + fits, strlen(rest[i]) - fits + 1);
            more = more || rest[i][0] != '\0';
        }
        if (more && highest <= 0.0) /* not one line fits: a page too small for the words */
            more = FALSE;
        highest = MAX(highest, table->size * 1.3);
        rule_below(table, x, flow->y, flow->y + highest + 2.0 * PAD, 0.3, SPL_TONE_RULE);
        flow->y += highest + 2.0 * PAD;
        if (more)
            spl_flow_turn(flow);
    }
    for (gsize i = 0; i < table->n_columns; i++)
        g_free(rest[i]);
}
