/* SPDX-License-Identifier: MIT
 *
 * Labels for many at once: what stands, ticked, and one sheet of them. See desk/page.h.
 */
#include "desk/form.h"
#include "desk/page.h"
#include "simpling/batch.h"
#include "simpling/error.h"
#include "simpling/picture.h"

static void put_tick(struct spl_html *html, const char *code, const char *words, gboolean ticked)
{
    g_autofree char *id = g_strconcat("t-", code, NULL);

    g_strdelimit(id, ":", '-');
    spl_html_open(html, "p");
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "checkbox");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "name", "codes");
    spl_html_attr(html, "value", code);
    spl_html_flag(html, "checked", ticked);
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_printf(html, "%s, ", code);
    spl_html_text(html, words);
    spl_html_close(html, "label");
    spl_html_close(html, "p");
}

struct listing {
    struct spl_html *html;
    const char *ticked; /* "jars", "lots": all of them; NULL: none */
    guint n;
};

static gboolean put_jar(const struct spl_batch_line *line, gpointer data, GError **error)
{
    struct listing *listing = data;
    g_autofree char *words = g_strdup_printf("%s of %s", line->preparation, line->materials);

    (void)error;
    put_tick(listing->html, line->code, words, g_strcmp0(listing->ticked, "jars") == 0);
    listing->n++;
    return TRUE;
}

static gboolean put_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct listing *listing = data;
    g_autofree char *words = NULL;

    (void)error;
    words = g_strdup_printf("%s of %s%s%s", lot->preparation, lot->materials,
                            lot->state == SPL_STATE_ON_SHELF ? "" : ", ",
                            lot->state == SPL_STATE_ON_SHELF ? "" : spl_state_names[lot->state]);
    put_tick(listing->html, lot->code, words, g_strcmp0(listing->ticked, "lots") == 0);
    listing->n++;
    return TRUE;
}

static void put_all_links(struct spl_html *html)
{
    static const char *const jars[] = {"all", "jars", NULL}, *const lots[] = {"all", "lots", NULL};

    spl_html_open(html, "p");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/labels", NULL, jars);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, "Tick all jars");
    spl_html_close(html, "a");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/labels", NULL, lots);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, "Tick all lots");
    spl_html_close(html, "a");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/labels", NULL, NULL);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, "Tick none");
    spl_html_close(html, "a");
    spl_html_close(html, "p");
}

/* The fields of the sheet: codes are ticked above, what is handed out is for its own page. */
static void put_paper(struct spl_html *html)
{
    struct spl_reading reading;

    spl_reading_begin(&reading, &spl_label_inputs, NULL, NULL);
    spl_desk_part(html, "On which paper");
    spl_form_fields(html, "f", &reading, "codes for directions dpi force");
    spl_reading_end(&reading);
}

SPL_PAGE(labels)
{
    static const char *const path[] = {"print", NULL};
    struct spl_batch_question standing = {.standing = TRUE};
    struct spl_lot_question shelf = {.all = FALSE};
    struct spl_html *html = spl_desk_begin(visit, "Labels", "/shelf");
    struct listing listing = {html, spl_visit_asked(visit, "all"), 0};
    gboolean done;

    spl_desk_note(html, "Tick what gets a label; all of them come on one sheet.");
    put_all_links(html);
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/", path, NULL);
    spl_form_hidden(html, "what", "labels");
    spl_html_open(html, "fieldset");
    spl_html_line(html, "legend", NULL, "Jars that stand");
    done = spl_batch_lines(house, &standing, put_jar, &listing, error);
    if (done && listing.n == 0)
        spl_desk_say(html, "No jar stands.");
    spl_html_close(html, "fieldset");
    listing.n = 0;
    spl_html_open(html, "fieldset");
    spl_html_line(html, "legend", NULL, "Lots on the shelf");
    done = done && spl_lot_lines(house, &shelf, put_lot, &listing, error);
    if (done && listing.n == 0)
        spl_desk_say(html, "The shelf is empty.");
    spl_html_close(html, "fieldset");
    if (!done) {
        spl_html_free(html);
        return FALSE;
    }
    put_paper(html);
    spl_form_end(html, "Make the sheet");
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
