/* SPDX-License-Identifier: MIT
 *
 * The settings of the book, each with what is set now; whose corrections count here, since when,
 * and taking that back. See desk/page.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/trust.h"

#define PLANNING "planning: "

/* One setting: its label is what it is for, its field holds what is set. */
static void put_setting(struct spl_html *html, const struct spl_setting_line *line)
{
    gboolean planning = g_str_has_prefix(line->about, PLANNING);
    g_autofree char *id = g_strconcat("s-", line->key, NULL);
    g_autofree char *label =
        g_strconcat(line->key, ": ", line->about + (planning ? strlen(PLANNING) : 0), NULL);

    spl_form_begin(html, "book-set");
    spl_form_hidden(html, "key", line->key);
    spl_form_line(html, id, "value", label, line->value);
    spl_form_end(html, "Set it");
}

static void put_settings(struct spl_html *html, const GArray *lines, gboolean planning)
{
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "settings");
    for (guint i = 0; i < lines->len; i++) {
        const struct spl_setting_line *line = &g_array_index(lines, struct spl_setting_line, i);

        if (g_str_has_prefix(line->about, PLANNING) == planning)
            put_setting(html, line);
    }
    spl_html_close(html, "div");
}

static void put_trust_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_trust *trust = record;
    const char *query[] = {"mark", trust->whom, "no", trust->trusted ? "yes" : NULL, NULL};

    (void)data;
    spl_desk_act(html, "book-trust", trust->trusted ? "No longer" : "Again", query);
}

static void put_trust(struct spl_html *html, const struct spl_book_info *info)
{
    spl_desk_part(html, "Whose corrections count here");
    spl_html_open(html, "p");
    spl_html_text(html, "Records of any book can be brought in, and what they say of danger counts "
                        "at once. What a colleague strikes or corrects of somebody else's records "
                        "counts when this book trusts the colleague; until then it is a question. "
                        "This book's own mark is ");
    spl_html_name(html, info->mark);
    spl_html_text(html, ".");
    spl_html_close(html, "p");
    if (info->trusts->len == 0)
        spl_desk_say(html, "Nothing was said of any colleague's book yet.");
    spl_desk_table_acts(html, NULL, &spl_trust_shape, info->trusts, NULL, put_trust_act, NULL);
    spl_html_open(html, "p");
    spl_desk_act(html, "book-trust", "Trust a colleague's book", NULL);
    spl_html_close(html, "p");
}

SPL_PAGE(settings)
{
    struct spl_book_info info;
    struct spl_html *html;

    if (!spl_book_describe(house, &info, error))
        return FALSE;
    html = spl_desk_begin(visit, "Settings", NULL);
    spl_desk_note(html, "An empty field is not set: then the desk says so where it would be "
                        "needed, or the tables decide. Enter sets the field one is in.");
    spl_desk_part(html, "The house");
    put_settings(html, info.settings, FALSE);
    spl_desk_part(html, "How outings are weighed");
    put_settings(html, info.settings, TRUE);
    put_trust(html, &info);
    spl_desk_part(html, "What the program knows");
    spl_desk_go(html, "/tables", NULL, "Tables of your own: plants, materials, jars, hazards …");
    spl_record_clear(&spl_book_info_shape, &info);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
