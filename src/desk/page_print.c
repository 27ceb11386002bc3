/* SPDX-License-Identifier: MIT
 *
 * What is printed: labels, the recall's sheet, the ledger, the outing's sheet … as a PDF that the
 * browser opens. /print?what=labels&codes=L27-001 is the sheet; with form=yes it asks first. See
 * desk/page.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/page.h"
#include "desk/picture.h"
#include "simpling/error.h"
#include "simpling/picture.h"

#define DRAW(name)                                                                                 \
    static gboolean draw_##name(struct spl_house *house, const void *said,                         \
                                struct spl_picture *picture, GError **error)                       \
    {                                                                                              \
        return spl_picture_draw_##name(house, said, picture, error);                               \
    }
DRAW(labels)
DRAW(recall)
DRAW(shelf)
DRAW(outing)
DRAW(batch)
DRAW(lot)
DRAW(year)
DRAW(season)
DRAW(map)

/* Of each the struct that is said begins with where the picture goes. */
static const struct sheet {
    const char *what, *title, *button;
    const struct spl_inputs *inputs;
    gboolean (*draw)(struct spl_house *house, const void *said, struct spl_picture *picture,
                     GError **error);
} sheets[] = {
    {"labels", "Labels", "Make the labels", &spl_label_inputs, draw_labels},
    {"recall", "The sheet of a recall", "Make the sheet", &spl_picture_recall_inputs, draw_recall},
    {"shelf", "The ledger of the shelf", "Make the sheet", &spl_picture_shelf_inputs, draw_shelf},
    {"outing", "The sheet of an outing", "Make the sheet", &spl_picture_outing_inputs, draw_outing},
    {"batch", "The record of a batch", "Make the sheet", &spl_picture_batch_inputs, draw_batch},
    {"lot", "All of one lot", "Make the sheet", &spl_picture_lot_inputs, draw_lot},
    {"year", "A year in review", "Make the sheet", &spl_picture_year_inputs, draw_year},
    {"season", "The season page", "Make the sheet", &spl_picture_season_inputs, draw_season},
    {"map", "The map of the gathering grounds", "Make the sheet", &spl_picture_map_inputs,
     draw_map},
};

static const struct sheet *find_sheet(const char *what)
{
    for (gsize i = 0; i < G_N_ELEMENTS(sheets); i++)
        if (g_strcmp0(sheets[i].what, what) == 0)
            return &sheets[i];
    return NULL;
}

static void put_form(struct spl_visit *visit, const struct sheet *sheet,
                     const struct spl_reading *reading)
{
    static const char *const path[] = {"print", NULL};
    gboolean wrong = reading->errors->len > 0;
    g_autofree char *title = g_strconcat(wrong ? "Error: " : "", sheet->title, NULL);
    struct spl_html *html = spl_desk_begin_bare(visit, title, NULL);

    spl_form_summary(html, "f", reading);
    spl_desk_heading(html, sheet->title);
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/", path, NULL);
    spl_form_hidden(html, "what", sheet->what);
    spl_form_fields(html, "f", reading, "dpi force");
    spl_form_end(html, sheet->button);
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
}

struct drawing {
    const struct sheet *sheet;
    void *said;
};

static gboolean draw_sheet(struct spl_house *house, const struct spl_picture_file *to,
                           gpointer data, struct spl_picture *picture, GError **error)
{
    const struct drawing *drawing = data;
    struct spl_picture_file *file = drawing->said;

    file->out = g_strdup(to->out); /* the reading frees it */
    return drawing->sheet->draw(house, drawing->said, picture, error);
}

SPL_PAGE(print)
{
    const struct sheet *sheet = find_sheet(spl_visit_asked(visit, "what"));
    gboolean asks = spl_visit_asked(visit, "form") != NULL;
    struct spl_reading reading;
    GError *failed = NULL;

    if (sheet == NULL) {
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
            "the desk prints labels, a recall, the shelf, an outing, a batch, a lot, a year, "
            "the season or the map");
        return FALSE;
    }
    spl_reading_begin(&reading, sheet->inputs, visit->query, "what form");
    if (asks)
        g_array_set_size(reading.errors, 0); /* nobody typed it yet */
    if (!asks && reading.errors->len == 0) {
        struct drawing drawing = {sheet, reading.said};

        if (!spl_picture_answer(visit, house, SPL_PICTURE_PDF, draw_sheet, &drawing, &failed))
            spl_reading_wrong(&reading, failed);
    }
    if (asks || reading.errors->len > 0)
        put_form(visit, sheet, &reading);
    spl_reading_end(&reading);
    return TRUE;
}
