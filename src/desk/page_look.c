/* SPDX-License-Identifier: MIT
 *
 * /look/NAME: what can be asked of the book beside the pages made for it, with its form; the
 * links to them on those pages. See desk/look.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/error.h"

/* Beside its inputs: that it was asked. */
#define ASKED "asked"

static gboolean needs_words(const struct spl_look *look)
{
    for (gsize i = 0; look->inputs != NULL && i < look->inputs->n; i++)
        if (look->inputs->rows[i].needed)
            return TRUE;
    return FALSE;
}

static void put_record_acts(struct spl_html *html, const void *record, gpointer look)
{
    spl_look_put_acts(html, look, record);
}

/* A record alone is shown whole; many are a table. */
static void put_answer(struct spl_html *html, const struct spl_look *look, const GArray *list)
{
    gboolean acts = spl_look_has_acts(look);

    if (list->len == 0) {
        spl_desk_say(html, look->nothing);
    } else if (list->len == 1) {
        spl_desk_record(html, look->shape, list->data);
        if (acts) {
            spl_desk_acts_begin(html);
            spl_look_put_acts(html, look, list->data);
            spl_desk_acts_end(html);
        }
    } else {
        spl_desk_table_acts(html, NULL, look->shape, list, NULL, acts ? put_record_acts : NULL,
                            (gpointer)(guintptr)look);
    }
}

static void put_form(struct spl_html *html, const struct spl_look *look,
                     const struct spl_reading *reading)
{
    const char *parts[] = {look->name, NULL};

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/look", parts, NULL);
    spl_form_fields(html, "f", reading, NULL);
    spl_form_hidden(html, ASKED, "yes");
    spl_form_end(html, "Look it up");
}

static void put_page(struct spl_visit *visit, const struct spl_look *look,
                     const struct spl_reading *reading, const GArray *list)
{
    gboolean wrong = reading != NULL && reading->errors->len > 0;
    g_autofree char *title = g_strconcat(wrong ? "Error: " : "", look->title, NULL);
    struct spl_html *html = spl_desk_begin_bare(visit, title, look->page);

    if (wrong)
        spl_form_summary(html, "f", reading);
    spl_desk_heading(html, look->title);
    spl_look_put_forms(html, look);
    if (list != NULL)
        put_answer(html, look, list);
    if (reading != NULL)
        put_form(html, look, reading);
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
}

SPL_PAGE(look)
{
    const struct spl_look *look = spl_look_find(spl_visit_of(visit));
    gboolean asked = spl_visit_asked(visit, ASKED) != NULL;
    struct spl_reading reading;
    GError *failed = NULL;
    GArray *list = NULL;

    if (look == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "the desk answers no such question");
        return FALSE;
    }
    if (look->inputs == NULL) {
        list = look->run(house, NULL, error);
        if (list != NULL)
            put_page(visit, look, NULL, list);
        spl_list_free(look->shape, list);
        return list != NULL;
    }
    spl_reading_begin(&reading, look->inputs, visit->query, ASKED);
    if (!asked && needs_words(look))
        g_array_set_size(reading.errors, 0); /* nobody typed it yet */
    else if (reading.errors->len == 0)
        list = look->run(house, reading.said, &failed);
    if (failed != NULL && asked)
        spl_reading_wrong(&reading, failed);
    else
        g_clear_error(&failed); /* it wants more than nothing, and says so in its form */
    put_page(visit, look, &reading, list);
    spl_list_free(look->shape, list);
    spl_reading_end(&reading);
    return TRUE;
}

void spl_look_links(struct spl_html *html, const char *page)
{
    gboolean any = FALSE;

    for (gsize i = 0; spl_look_at(i) != NULL; i++) {
        const struct spl_look *look = spl_look_at(i);
        const char *parts[] = {look->name, NULL};

        if (strcmp(look->page, page) != 0)
            continue;
        if (!any) {
            spl_html_open(html, "section");
            spl_html_attr(html, "class", "acts");
            spl_desk_part(html, "Look up");
            spl_html_open(html, "ul");
        }
        any = TRUE;
        spl_html_open(html, "li");
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/look", parts, NULL);
        spl_html_text(html, look->title);
        spl_html_close(html, "a");
        spl_html_close(html, "li");
    }
    if (any) {
        spl_html_close(html, "ul");
        spl_html_close(html, "section");
    }
}
