/* SPDX-License-Identifier: MIT
 *
 * Sections of words and ruled tables.
 */
#include "picture/report.h"

#include "picture/flow.h"
#include "picture/words.h"

#define WORDS 8.6 /* pt */
#define CELLS 7.6

static void draw_head(struct spl_flow *flow, gpointer data)
{
    const struct spl_report *report = data;
    if (spl_page_number(flow->page) > 0) {
        struct spl_type small = {.face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE};
        flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, report->title);
        flow->y += 3.0;
        return;
    }
    spl_flow_title(flow, report->title, report->subtitle);
}

static gboolean is_used(const struct spl_report_section *section, gsize column)
{
    for (gsize i = 0; i < section->n_rows; i++)
        if (section->rows[i].cells[column] != NULL && section->rows[i].cells[column][0] != '\0')
            return TRUE;
    return FALSE;
}

static void draw_rows(struct spl_flow *flow, const struct spl_report_section *section)
{
    struct spl_table_column columns[SPL_REPORT_COLUMNS];
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = section->n_columns,
                              .size = CELLS,
                              .least = section->least,
                              .upright = section->upright,
                              .shown_on = -1};
    for (gsize i = 0; i < section->n_columns; i++) {
        const struct spl_report_column *column = &section->columns[i];
        columns[i] = (struct spl_table_column){column->heading, column->share,
                                               column->right ? SPL_ALIGN_RIGHT : SPL_ALIGN_LEFT,
                                               column->bold};
    }
    /* Where rows are to be written in, empty columns stay. */
    for (gsize k = 0; k < section->n_columns && section->least <= 0.0; k++)
        if (!is_used(section, k))
            spl_table_leave_out(&table, k);
    for (gsize i = 0; i < section->n_rows; i++) {
        const struct spl_report_row *row = &section->rows[i];
        int page = spl_page_number(flow->page);
        double top = flow->y;
        spl_table_row_toned(&table, row->cells, row->barred ? SPL_TONE_MADDER : SPL_TONE_BLACK);
        if (spl_page_number(flow->page) != page)
            top = flow->top;
        g_autofree char *words = spl_words_join("; ", row->cells, section->n_columns);
        spl_page_say(flow->page, flow->x, top, flow->w, MAX(flow->y - top, 1.0), words);
    }
}

#define PICTURES_ACROSS 4
#define PICTURE_GAP 12.0 /* pt */
#define PICTURE_HIGH 130.0

/* The height of what is drawn of it in a column of this width. */
static double draw_picture(struct spl_flow *flow, const struct spl_report_picture *picture,
                           double x, double w)
{
    const struct spl_type words = {.face = SPL_FACE_SANS, .size = CELLS};
    const struct spl_page_pixels *pixels = &picture->pixels;
    double high = 0;

    if (pixels->rgb != NULL) {
        const double scale = MIN(w / pixels->width, PICTURE_HIGH / pixels->height);

        spl_page_picture(flow->page, x, flow->y, pixels->width * scale, pixels->height * scale,
                         pixels, picture->words);
        high = pixels->height * scale + 2.0;
    }
    return high + spl_page_text(flow->page, x, flow->y + high, w, &words, picture->words);
}

/* Rows of pictures, each on one page with its words. */
static void draw_pictures(struct spl_flow *flow, const struct spl_report_section *section)
{
    const struct spl_type words = {.face = SPL_FACE_SANS, .size = CELLS};
    const double w = (flow->w - PICTURE_GAP * (PICTURES_ACROSS - 1)) / PICTURES_ACROSS;

    for (gsize i = 0; i < section->n_pictures; i += PICTURES_ACROSS) {
        const gsize end = MIN(section->n_pictures, i + PICTURES_ACROSS);
        double most = 0;

        for (gsize k = i; k < end; k++) {
            double h;

            spl_page_measure(flow->page, w, &words, section->pictures[k].words, NULL, &h);
            most = MAX(most, h + PICTURE_HIGH + 2.0);
        }
        spl_flow_need(flow, most);
        most = 0;
        for (gsize k = i; k < end; k++)
            most = MAX(most, draw_picture(flow, &section->pictures[k],
                                          flow->x + (double)(k - i) * (w + PICTURE_GAP), w));
        flow->y += most + PICTURE_GAP;
    }
}

static void draw_section(struct spl_flow *flow, const struct spl_report_section *section)
{
    struct spl_type words = {.face = SPL_FACE_SANS, .size = WORDS};
    struct spl_type none = {.face = SPL_FACE_SERIF, .size = WORDS, .italic = TRUE};
    if (section->n_columns > 0 && section->n_rows == 0 && section->none == NULL)
        return;
    spl_flow_section(flow, section->name, 40.0);
    if (section->text != NULL)
        spl_flow_text(flow, &words, section->text, 3.0);
    if (section->n_columns > 0 && section->n_rows == 0)
        spl_flow_text(flow, &none, section->none, 2.0);
    else if (section->n_columns > 0)
        draw_rows(flow, section);
    draw_pictures(flow, section);
}

GBytes *spl_report_draw(const struct spl_report *report, const struct spl_page_options *options,
                        struct spl_page_report *done, GError **error)
{
    struct spl_page_setup setup = {.options = *options,
                                   .landscape = TRUE,
                                   .title = report->title,
                                   .about = report->about,
                                   .foot = report->title};
    struct spl_page *page = spl_page_open(&setup, error);
    if (page == NULL)
        return NULL;
    struct spl_flow flow;
    spl_flow_begin(&flow, page, draw_head, (gpointer)report);
    for (gsize i = 0; i < report->n_sections; i++)
        draw_section(&flow, &report->sections[i]);
    return spl_page_finish(page, done, error);
}
