/* SPDX-License-Identifier: MIT
 *
 * Stock-taking: all that stands, with a field for what is there; what stays empty is not counted.
 * See desk/page.h.
 */
#include "desk/form.h"
#include "desk/page.h"
#include "simpling/batch.h"
#include "simpling/error.h"

struct counting {
    guint n; /* lines so far */
};

static void put_fields(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_counted *line = record;
    struct counting *counting = data;
    guint i = counting->n++;
    g_autofree char *code = g_strdup_printf("lines.%u.code", i);
    g_autofree char *counted = g_strdup_printf("lines.%u.counted", i);
    g_autofree char *why = g_strdup_printf("lines.%u.why", i);
    g_autofree char *counted_id = g_strdup_printf("c-%u", i), *why_id = g_strdup_printf("w-%u", i);
    g_autofree char *label = g_strdup_printf("%s stands there, %s", line->code, line->unit);

    spl_form_hidden(html, code, line->code);
    spl_form_line(html, counted_id, counted, label, NULL);
    spl_form_line(html, why_id, why, "Why it differs", NULL);
}

SPL_PAGE(count)
{
    GArray *lines = spl_count_standing(house, error);
    struct counting counting = {0};
    struct spl_html *html;

    if (lines == NULL)
        return FALSE;
    html = spl_desk_begin(visit, "Stock-taking", "/shelf");
    if (lines->len == 0) {
        spl_desk_say(html, "Nothing stands anywhere.");
    } else {
        spl_desk_note(html, "Fill in what you find, as 640mL, 3x100mL+40mL or a bare number in the "
                            "unit of the line; what you leave empty is not counted. What differs "
                            "by more than measuring explains wants a reason.");
        spl_form_begin(html, "count");
        spl_form_send(html, "These are counted");
        spl_desk_table_acts(html, NULL, &spl_counted_shape, lines, "taken", put_fields, &counting);
        spl_form_line(html, "count-on", "on", "Counted on (empty: today)", NULL);
        spl_form_line(html, "count-by", "by", "Counted by (empty: as your book says)", NULL);
        spl_form_end(html, "These are counted");
        spl_desk_script(html);
    }
    spl_list_free(&spl_counted_shape, lines);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
