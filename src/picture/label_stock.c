/* SPDX-License-Identifier: MIT
 *
 * A kind of label sheet, looked over. See picture/label_sheet.h.
 */
#include <string.h>

#include "picture/label_sheet.h"

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
