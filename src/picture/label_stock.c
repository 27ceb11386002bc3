/* SPDX-License-Identifier: MIT
 *
 * A kind of label sheet, looked over, and where it is to be cut. See picture/label_sheet.h.
 */
#include <string.h>

#include "picture/label_sheet.h"

#define CUT SPL_MM(1.5) /* arm of a cutting mark: less than the padding of a label */
#define HAIR 0.4        /* its width, pt */
#define NO_GAP_MM 0.2   /* between labels that touch */

void spl_label_stock_clear(struct spl_label_stock *stock)
{
    g_free(stock->name);
    g_free(stock->source);
    memset(stock, 0, sizeof *stock);
}

gboolean spl_label_stock_check(const struct spl_label_stock *s, GError **error)
{
    const char *wrong = NULL;
    double right = s->left + (s->across - 1) * s->step_x + s->label_w;
    double bottom = s->top + (s->down - 1) * s->step_y + s->label_h;
    if (s->across < 1 || s->down < 1 || s->across > 50 || s->down > 50)
        wrong = "has no labels or more than 50 in a row";
    else if (!(s->page_w >= 20.0 && s->page_h >= 15.0 && s->page_w <= 1200.0 &&
               s->page_h <= 1200.0))
        wrong = "has a page that no printer takes (20 x 15 to 1200 mm)";
    else if (!(s->label_w >= 30.0 && s->label_h >= 15.0))
        wrong = "has labels too small to read (at least 30 x 15 mm)";
    else if ((s->across > 1 && s->step_x < s->label_w - 1e-6) ||
             (s->down > 1 && s->step_y < s->label_h - 1e-6))
        wrong = "has labels that overlap; its steps must be at least the label";
    else if (!(s->left >= 0.0 && s->top >= 0.0 && right <= s->page_w + 1e-6 &&
               bottom <= s->page_h + 1e-6))
        wrong = "has labels that leave the page";
    if (wrong == NULL)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "label sheet '%s' %s; correct its row",
                s->name != NULL ? s->name : "", wrong);
    return FALSE;
}

/* Labels that touch on all sides, and one on plain paper. Those with a gap are cut already. */
static gboolean is_cut(const struct spl_label_stock *s)
{
    if (s->across == 1 && s->down == 1)
        return s->label_w < s->page_w - NO_GAP_MM;
    return (s->across == 1 || s->step_x < s->label_w + NO_GAP_MM) &&
           (s->down == 1 || s->step_y < s->label_h + NO_GAP_MM);
}

void spl_label_stock_mark(struct spl_page *page, const struct spl_label_stock *stock, double x,
                          double y)
{
    double w = SPL_MM(stock->label_w), h = SPL_MM(stock->label_h);

    for (int corner = 0; corner < 4 && is_cut(stock); corner++) {
        double across = corner % 2 == 0 ? CUT : -CUT, down = corner < 2 ? CUT : -CUT;
        double at_x = across > 0.0 ? x : x + w, at_y = down > 0.0 ? y : y + h;

        spl_page_line(page, at_x, at_y, at_x + across, at_y, HAIR, SPL_TONE_SOFT, 0.0);
        spl_page_line(page, at_x, at_y, at_x, at_y + down, HAIR, SPL_TONE_SOFT, 0.0);
    }
}
