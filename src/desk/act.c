/* SPDX-License-Identifier: MIT
 *
 * An act's form, its writing, and the page that confirms it. See desk/act.h.
 */
#include "desk/act.h"

#include <string.h>

#include "base/text.h"
#include "desk/form.h"
#include "desk/page.h"
#include "desk/told.h"
#include "simpling/error.h"
#include "simpling/stamp.h"

#define TOLD_WHOLE 5 /* so many records are shown with all that they say */
#define NO_INPUTS "form stamp stamped upgrade" /* what a form sends beside its inputs */

/* The status of a form that comes back because the book's file is of an earlier schema. */
#define UPGRADE_FIRST 412u

/* The form --------------------------------------------------------------------------------------
 */

static void put_form(struct spl_visit *visit, struct spl_house *house, const struct spl_act *act,
                     const struct spl_reading *reading, unsigned status)
{
    gboolean wrong = reading->errors->len > 0;
    g_autofree char *title = g_strconcat(wrong ? "Error: " : "", act->title, NULL), *stamp = NULL,
                    *fresh = NULL;
    const char *form = visit->form != NULL ? spl_pairs_get(visit->form, "form") : NULL;
    const char *code = spl_pairs_get(reading->pairs, "code"), *parts[] = {act->name, NULL};
    struct spl_html *html = spl_desk_begin_bare(visit, title, NULL);

    /* A form that comes back keeps its identity and what it was about: nothing was written by it.
     */
    if (form == NULL)
        form = fresh = spl_uuid_new();
    /* What stands of the record that it is about, as the person sees it: when they are told that it
     * was changed, anew. */
    if (visit->form != NULL && (status == 422 || status == UPGRADE_FIRST)) {
        stamp = g_strdup(spl_pairs_get(visit->form, "stamp"));
        code = spl_pairs_get(visit->form, "stamped");
    } else if (house != NULL && code != NULL) {
        stamp = spl_stamp(house, code, NULL);
    }
    spl_form_summary(html, "f", reading);
    spl_desk_heading(html, act->title);
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/act", parts, NULL);
    spl_form_hidden(html, "form", form);
    spl_form_hidden(html, "stamp", stamp);
    spl_form_hidden(html, "stamped", stamp != NULL ? code : NULL);
    spl_form_fields(html, "f", reading, act->without);
    spl_form_hidden(html, "upgrade", status == UPGRADE_FIRST ? "yes" : NULL);
    spl_form_end(html, status == UPGRADE_FIRST ? "Upgrade the book, then write it" : act->button);
    spl_visit_page(visit, status, spl_desk_end(html));
}

/* Writing ---------------------------------------------------------------------------------------
 */

struct writing {
    const struct spl_act *act;
    struct spl_house *house;
    const void *said;
    struct spl_done *done;
};

static gboolean write_it(gpointer data, GError **error)
{
    struct writing *writing = data;

    return writing->act->run(writing->house, writing->said, writing->done, error);
}

/* 422 for what the person can mend in the form; else what the failure is. */
static unsigned status_of(const GError *error)
{
    if (g_error_matches(error, SPL_ERROR, SPL_ERROR_CONFLICT))
        return 409;
    if (g_error_matches(error, SPL_ERROR, SPL_ERROR_BUSY))
        return 503;
    if (g_error_matches(error, SPL_ERROR, SPL_ERROR_IO) ||
        g_error_matches(error, SPL_ERROR, SPL_ERROR_READ_ONLY) ||
        g_error_matches(error, SPL_ERROR, SPL_ERROR_CORRUPT) ||
        g_error_matches(error, SPL_ERROR, SPL_ERROR_TOO_NEW) ||
        g_error_matches(error, SPL_ERROR, SPL_ERROR_INTERNAL))
        return 500;
    return 422;
}

static void send_to_written(struct spl_visit *visit, const char *form)
{
    spl_visit_send_on(visit, g_strconcat("/act/written?form=", form, NULL));
}

/* `failed`: why the house could not be opened, NULL: it is. Taken over. */
static void write_act(struct spl_visit *visit, struct spl_house *house, GError *failed,
                      const struct spl_act *act, struct spl_reading *reading)
{
    const char *form = spl_pairs_get(visit->form, "form"),
               *code = spl_pairs_get(visit->form, "code");
    const char *stamped = spl_pairs_get(visit->form, "stamped");
    /* Of another record than the form showed nothing was shown. */
    const char *stamp = g_strcmp0(code, stamped) == 0 ? spl_pairs_get(visit->form, "stamp") : NULL;
    struct spl_done done = {NULL, NULL, NULL, NULL, NULL};
    struct writing writing = {act, house, reading->said, &done};
    unsigned status = 422;

    if (failed == NULL && reading->errors->len == 0 &&
        spl_stamp_hold(house, &(struct spl_stamped){form, code, stamp}, write_it, &writing,
                       &done.entry, &failed)) {
        spl_told_add(visit->told, form, act, &done);
        send_to_written(visit, form);
        return;
    }
    if (failed != NULL && strcmp(spl_error_kind(failed), SPL_STAMP_SENT_BEFORE) == 0) {
        g_error_free(failed);
        send_to_written(visit, form); /* by this desk before it was begun anew */
        return;
    }
    spl_done_clear(&done);
    if (failed != NULL) {
        status = status_of(failed);
        spl_reading_wrong(reading, failed);
    }
    put_form(visit, house, act, reading, status);
}

/* The page that confirms it ---------------------------------------------------------------------
 */

static void put_taking_back(struct spl_html *html, const struct spl_done *done)
{
    if (done->entry == NULL)
        return;
    spl_form_begin(html, "take-back");
    spl_form_hidden(html, "last", "yes");
    spl_form_hidden(html, "entry", done->entry);
    spl_form_end(html, "Take it back");
}

/* The codes of what was written; "": it has none. Free with g_free. */
static char *codes_of(const struct spl_done *done)
{
    g_autoptr(GString) codes = g_string_new(NULL);
    const struct spl_field *code = NULL;

    for (gsize i = 0; done->records != NULL && i < done->shape->n_fields; i++)
        if (g_strcmp0(done->shape->fields[i].key, "code") == 0)
            code = &done->shape->fields[i];
    for (guint i = 0; code != NULL && i < done->records->len; i++) {
        g_autofree char *text =
            spl_field_text(done->shape, code, done->records->data + (gsize)i * done->shape->size);

        if (*text != '\0')
            g_string_append_printf(codes, "%s%s", codes->len > 0 ? ", " : "", text);
    }
    return g_string_free(g_steal_pointer(&codes), FALSE);
}

static void put_done(struct spl_html *html, const struct spl_act *act, const struct spl_done *done)
{
    g_autofree char *codes = codes_of(done);

    spl_html_open(html, "p");
    spl_html_attr(html, "class", "done");
    if (*codes != '\0') {
        spl_desk_text(html, codes);
        spl_html_text(html, ". ");
    }
    spl_desk_text(html, act->said);
    spl_html_close(html, "p");
}

/* Many records of one kind are a table. */
static void put_records(struct spl_html *html, const struct spl_done *done)
{
    guint n = done->records != NULL ? done->records->len : 0;

    if (n > TOLD_WHOLE)
        spl_desk_table(html, NULL, done->shape, done->records, NULL);
    for (guint i = 0; n <= TOLD_WHOLE && i < n; i++)
        spl_desk_record(html, done->shape, done->records->data + (gsize)i * done->shape->size);
}

static void put_written(struct spl_visit *visit)
{
    const char *form = spl_visit_asked(visit, "form");
    const struct spl_act *act = NULL;
    const struct spl_done *done = form != NULL ? spl_told_find(visit->told, form, &act) : NULL;
    struct spl_html *html =
        spl_desk_begin(visit, done != NULL ? "Written" : "Written before", NULL);

    if (done == NULL) {
        spl_desk_say(html, "What this page confirmed was written before this desk began; look it "
                           "up in the log, among "
                           "the jars or on the shelf.");
        spl_visit_page(visit, 404, spl_desk_end(html));
        return;
    }
    put_done(html, act, done);
    spl_desk_cautions(html, done->cautions);
    spl_act_after(html, done);
    put_records(html, done);
    if (!act->no_taking_back && g_strcmp0(spl_told_last(visit->told), form) == 0)
        put_taking_back(html, done);
    spl_html_open(html, "p");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/", NULL, NULL);
    spl_html_text(html, "To today");
    spl_html_close(html, "a");
    spl_html_close(html, "p");
    spl_visit_page(visit, 200, spl_desk_end(html));
}

static void come_back(struct spl_visit *visit, const struct spl_act *act, unsigned status,
                      GError *error)
{
    g_autoptr(spl_house) house = spl_house_open(&visit->where, SPL_HOUSE_READ, NULL);
    struct spl_reading reading;

    spl_reading_begin(&reading, act->inputs, visit->form, NO_INPUTS);
    spl_reading_wrong(&reading, error);
    put_form(visit, house, act, &reading, status);
    spl_reading_end(&reading);
}

gboolean spl_act_come_back(struct spl_visit *visit, GError *error)
{
    const char *name = spl_visit_of(visit);
    const struct spl_act *act =
        g_strcmp0(visit->steps[0], "act") == 0 && name != NULL ? spl_act_find(name) : NULL;

    if (act != NULL)
        come_back(visit, act, 500, error);
    return act != NULL;
}

/* The book was put in its place while the form stood open: nothing is upgraded unasked. */
static void ask_to_upgrade(struct spl_visit *visit, const struct spl_act *act)
{
    GError *asked = NULL;

    g_set_error(&asked, SPL_ERROR, SPL_ERROR_CONFLICT,
                "The book here now is of an earlier version of this program. Writing upgrades it, "
                "and keeps a copy as it is beside it.");
    come_back(visit, act, UPGRADE_FIRST, asked);
}

void spl_act_visit(struct spl_visit *visit)
{
    const char *name = spl_visit_of(visit),
               *form = visit->form != NULL ? spl_pairs_get(visit->form, "form") : NULL;
    const struct spl_act *act = spl_act_find(name), *before = NULL;
    g_autoptr(spl_house) house = NULL;
    struct spl_reading reading;
    GError *failed = NULL;

    if (visit->form == NULL && strcmp(name, "written") == 0) {
        put_written(visit);
        return;
    }
    if (act == NULL || visit->steps[2] != NULL ||
        (visit->form != NULL && (form == NULL || !g_uuid_string_is_valid(form)))) {
        struct spl_html *html = spl_desk_begin(visit, "There is no such form", NULL);

        spl_desk_say(html, "The desk has no form under this address. Nothing was written.");
        spl_visit_page(visit, act == NULL ? 404 : 400, spl_desk_end(html));
        return;
    }
    if (form != NULL && spl_told_find(visit->told, form, &before) != NULL) {
        send_to_written(visit, form); /* sent twice, written once */
        return;
    }
    if (visit->form != NULL && spl_pairs_get(visit->form, "upgrade") == NULL &&
        spl_book_is_before_upgrade(&visit->where)) {
        ask_to_upgrade(visit, act);
        return;
    }
    /* The book says in which units words are read, so it is opened first. */
    house = spl_house_open(&visit->where, form != NULL ? SPL_HOUSE_WRITE : SPL_HOUSE_READ, &failed);
    spl_reading_begin(&reading, act->inputs, visit->form != NULL ? visit->form : visit->query,
                      NO_INPUTS);
    if (visit->form != NULL) {
        write_act(visit, house, failed, act, &reading);
    } else if (house == NULL) {
        spl_desk_failure(visit, failed);
        g_error_free(failed);
    } else {
        g_array_set_size(reading.errors, 0); /* nobody typed it yet */
        put_form(visit, house, act, &reading, 200);
    }
    spl_reading_end(&reading);
}
