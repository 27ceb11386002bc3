/* SPDX-License-Identifier: MIT
 *
 * Files in: what somebody wrote, mapped or measured elsewhere. A row of the table is one kind
 * (desk/file_kinds.h). The form is shown by the desk; what was sent is read by another process, in
 * whose present folder the files lie (desk/errand.h). Where the book can say what it would write,
 * that is shown first, and a second form applies it. See desk/page.h.
 */
#include <stdio.h>
#include <string.h>

#include "desk/act.h"
#include "desk/file_kinds.h"
#include "desk/form.h"
#include "desk/look.h"
#include "desk/page.h"
#include "desk/unpack.h"
#include "simpling/error.h"

#define NO_INPUTS "form upload apply pasted file leave"

static gboolean is_shown_first(const struct spl_file_kind *kind)
{
    return kind->apply != NULL || kind->dry != NULL || kind->look != NULL;
}

/* Keys that the form does not ask for. Free with g_free. */
static char *without(const struct spl_file_kind *kind)
{
    return g_strjoin(" ", kind->file, kind->apply != NULL ? kind->apply : kind->file,
                     kind->dry != NULL ? kind->dry : kind->file, kind->without, NULL);
}

/* The forms -------------------------------------------------------------------------------------
 */

static void put_chooser(struct spl_html *html, const struct spl_file_kind *kind, const char *wrong)
{
    g_autofree char *accept = g_strdelimit(g_strdup(kind->endings), " ", ',');

    spl_html_open(html, "p");
    spl_html_attr(html, "class", wrong != NULL ? "is-wrong" : NULL);
    spl_html_open(html, "label");
    spl_html_attr(html, "for", "f-file");
    spl_html_text(html, "File");
    spl_html_close(html, "label");
    spl_html_open(html, "small");
    spl_html_attr(html, "id", "f-file-help");
    spl_html_printf(html, "%s, or these in a zip; up to 256 MB", kind->endings);
    spl_html_close(html, "small");
    if (wrong != NULL) {
        spl_html_open(html, "span");
        spl_html_attr(html, "class", "wrong");
        spl_html_attr(html, "id", "f-file-wrong");
        spl_html_text(html, wrong);
        spl_html_text(html, "; choose the file again");
        spl_html_close(html, "span");
    }
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "file");
    spl_html_attr(html, "id", "f-file");
    spl_html_attr(html, "name", "file");
    spl_html_flag(html, "multiple", TRUE);
    spl_html_attr(html, "accept", accept);
    spl_html_attr(html, "aria-describedby",
                  wrong != NULL ? "f-file-help f-file-wrong" : "f-file-help");
    spl_html_close(html, "p");
}

static void put_pasted(struct spl_html *html, const struct spl_file_kind *kind, const char *text)
{
    if (kind->pasted == NULL)
        return;
    spl_html_open(html, "p");
    spl_html_open(html, "label");
    spl_html_attr(html, "for", "f-pasted");
    spl_html_text(html, kind->pasted);
    spl_html_close(html, "label");
    spl_html_open(html, "textarea");
    spl_html_attr(html, "id", "f-pasted");
    spl_html_attr(html, "name", "pasted");
    spl_html_attr(html, "rows", "8");
    spl_html_text(html, text != NULL ? text : "");
    spl_html_close(html, "textarea");
    spl_html_close(html, "p");
}

/* What is wrong with the file itself; NULL: nothing, or it is with a field. */
static const char *wrong_file(const struct spl_file_kind *kind, const struct spl_reading *reading)
{
    for (guint i = 0; i < reading->errors->len; i++) {
        const struct spl_wrong *wrong = &g_array_index(reading->errors, struct spl_wrong, i);

        if (wrong->key == NULL || g_str_has_prefix(wrong->key, kind->file))
            return wrong->sentence;
    }
    return NULL;
}

/* What was sent and is still kept goes along by its name. */
static void put_kept(struct spl_html *html, const struct spl_visit *visit)
{
    g_autofree char *id = visit->files != NULL ? g_path_get_basename(visit->files) : NULL;

    spl_form_hidden(html, "upload", id);
    if (id != NULL)
        spl_desk_note(html, "The file that you sent is kept meanwhile.");
}

static void begin_form(struct spl_html *html, const struct spl_file_kind *kind, gboolean with_file)
{
    const char *parts[] = {kind->name, NULL};

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_attr(html, "enctype", with_file ? "multipart/form-data" : NULL);
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/files", parts, NULL);
}

/* What was ticked on the page that showed it. */
static void put_chosen(struct spl_html *html, const struct spl_file_kind *kind, const GArray *pairs)
{
    for (guint i = 0; pairs != NULL && kind->put_more != NULL && i < pairs->len; i++) {
        const struct spl_pair *pair = &g_array_index(pairs, struct spl_pair, i);

        if (strcmp(pair->key, "accept") == 0 || strcmp(pair->key, "leave") == 0)
            spl_form_hidden(html, pair->key, pair->value);
    }
}

static void put_form(struct spl_visit *visit, const struct spl_file_kind *kind,
                     const struct spl_reading *reading, unsigned status)
{
    gboolean wrong = reading->errors->len > 0;
    gboolean applies = visit->form != NULL && spl_pairs_get(visit->form, "apply") != NULL;
    const char *pasted = visit->form != NULL ? spl_pairs_get(visit->form, "pasted") : NULL;
    g_autofree char *title = g_strconcat(wrong ? "Error: " : "", kind->title, NULL);
    g_autofree char *left_out = without(kind);
    struct spl_html *html = spl_desk_begin_bare(visit, title, NULL);

    visit->keep_files = visit->files != NULL && wrong && wrong_file(kind, reading) == NULL;
    spl_form_summary(html, "f", reading);
    spl_desk_heading(html, kind->title);
    spl_desk_say(html, kind->about);
    begin_form(html, kind, !visit->keep_files);
    if (visit->keep_files) {
        put_kept(html, visit);
        spl_form_hidden(html, "apply", applies ? "yes" : NULL);
        put_chosen(html, kind, visit->form);
    } else {
        put_chooser(html, kind, wrong_file(kind, reading));
        put_pasted(html, kind, pasted);
    }
    spl_form_fields(html, "f", reading, left_out);
    spl_form_end(html, kind->looks_only               ? "Look at it"
                       : !is_shown_first(kind)        ? "Take it in"
                       : applies && visit->keep_files ? "Write it into the book"
                                                      : "Show what it would write");
    spl_visit_page(visit, status, spl_desk_end(html));
}

/* What was said stands in the form once more: a column is chosen when it was seen. */
static void put_apply(const struct spl_visit *visit, struct spl_html *html,
                      const struct spl_file_kind *kind, const struct spl_reading *reading,
                      const struct spl_done *done)
{
    g_autofree char *left_out = without(kind);

    begin_form(html, kind, FALSE);
    put_kept(html, visit);
    spl_form_hidden(html, "pasted", spl_pairs_get(visit->form, "pasted"));
    spl_form_hidden(html, "apply", "yes");
    if (kind->put_more != NULL)
        kind->put_more(html, done);
    spl_form_fields(html, "f", reading, left_out);
    spl_form_end(html, "Write it into the book");
}

/* Reading ---------------------------------------------------------------------------------------
 */

static gboolean unpack_zips(const struct spl_file_kind *kind, GError **error)
{
    g_autoptr(GDir) folder = g_dir_open(".", 0, error);
    g_autoptr(GPtrArray) zips = g_ptr_array_new_with_free_func(g_free);
    const char *name;

    while (folder != NULL && (name = g_dir_read_name(folder)) != NULL)
        if (spl_has_ending(name, ".zip"))
            g_ptr_array_add(zips, g_strdup(name));
    for (guint i = 0; i < zips->len; i++)
        if (!spl_unpack(g_ptr_array_index(zips, i), kind->endings, error))
            return FALSE;
    return folder != NULL;
}

/* The one file that is to be read. Free with g_free. */
static char *choose_file(const struct spl_file_kind *kind, GError **error)
{
    g_auto(GStrv) endings = g_strsplit(kind->main, " ", -1);
    g_autofree char *found = NULL;
    const char *name;

    if (!unpack_zips(kind, error))
        return NULL;
    for (guint i = 0; endings[i] != NULL && found == NULL; i++) {
        g_autoptr(GDir) folder = g_dir_open(".", 0, error);

        while (folder != NULL && (name = g_dir_read_name(folder)) != NULL) {
            if (!spl_has_ending(name, endings[i]))
                continue;
            if (found != NULL) {
                spl_error_set_input(error, SPL_ERROR_AMBIGUOUS, kind->file,
                                    "is several: %s and %s; send one at a time", found, name);
                return NULL;
            }
            found = g_strdup(name);
        }
    }
    if (found == NULL)
        spl_error_set_input(error, SPL_ERROR_INVALID, kind->file,
                            "has another ending than %s; save it as one of these", kind->main);
    return g_steal_pointer(&found);
}

static gboolean has_text(const char *text)
{
    return text != NULL && *text != '\0';
}

/* Names the file among what was said; `text` is what was pasted, if no file came. */
static gboolean take_file(const struct spl_visit *visit, const struct spl_file_kind *kind,
                          struct spl_reading *reading, FILE **text, GError **error)
{
    const char *pasted = kind->pasted != NULL ? spl_pairs_get(visit->form, "pasted") : NULL;
    g_autofree char *name = NULL;

    if (visit->files == NULL && has_text(pasted)) {
        *text = fmemopen((void *)pasted, strlen(pasted), "r");
        name = g_strdup("-");
    } else if (visit->files == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, kind->file,
                            spl_pairs_get(visit->form, "upload") != NULL
                                ? "is no longer kept: it was applied, or half an hour is over"
                                : "was not chosen");
        return FALSE;
    } else {
        name = choose_file(kind, error);
    }
    return name != NULL && spl_inputs_read(reading->inputs, kind->file, name, reading->said, error);
}

static gboolean take_all(struct spl_visit *visit, const struct spl_file_kind *kind,
                         struct spl_reading *reading, struct spl_done *done, GError **error)
{
    gboolean apply = !is_shown_first(kind) || spl_pairs_get(visit->form, "apply") != NULL;
    g_autoptr(spl_house) house = NULL;
    FILE *text = NULL;
    gboolean ok = FALSE;

    if (reading->errors->len == 0 && take_file(visit, kind, reading, &text, error) &&
        spl_file_kind_choose(kind, visit->form, reading->said, error) &&
        (kind->apply == NULL || !apply ||
         spl_inputs_read(kind->inputs, kind->apply, "yes", reading->said, error)) &&
        (kind->dry == NULL || apply ||
         spl_inputs_read(kind->inputs, kind->dry, "yes", reading->said, error))) {
        gboolean writes = !kind->looks_only && (apply || kind->tries);

        house = spl_house_open(&visit->where, writes ? SPL_HOUSE_WRITE : SPL_HOUSE_READ, error);
        ok = house != NULL &&
             (!apply && kind->look != NULL ? kind->look(house, reading->said, done, error)
                                           : kind->read(house, reading->said, text, done, error));
    }
    if (text != NULL)
        fclose(text);
    return ok;
}

/* Where one looks at what came in. */
static void put_behind(struct spl_html *html, const struct spl_file_kind *kind)
{
    if (kind->looks_only)
        spl_desk_go(html, "/files", NULL, "To the files");
    else if (strcmp(kind->name, "notes") == 0)
        spl_desk_go(html, "/log", NULL, "To the log");
    else if (strcmp(kind->name, "book") == 0)
        spl_desk_go(html, "/questions", NULL, "To the questions");
    else if (strcmp(kind->name, "almanac") == 0 || strcmp(kind->name, "weather") == 0)
        spl_desk_go(html, "/season", NULL, "To the season");
    else if (strcmp(kind->name, "places") == 0)
        spl_desk_go(html, "/places", NULL, "To the places");
    else if (strcmp(kind->name, "hazards") == 0)
        spl_desk_go(html, "/places", NULL, "To the places, and what it says of them");
    else
        spl_desk_go(html, "/", NULL, "To today");
}

static void put_taken(struct spl_visit *visit, const struct spl_file_kind *kind,
                      const struct spl_reading *reading, const struct spl_done *done)
{
    gboolean shown = is_shown_first(kind) && spl_pairs_get(visit->form, "apply") == NULL;
    struct spl_html *html = spl_desk_begin(visit,
                                           kind->looks_only ? kind->title
                                           : shown          ? "What it would write"
                                                            : "Taken into the book",
                                           NULL);

    spl_html_open(html, "p");
    spl_html_attr(html, "class", shown || kind->looks_only ? NULL : "done");
    spl_html_text(html, kind->looks_only ? "Nothing was written; this is what is in it."
                        : shown          ? "Nothing is written yet."
                                         : "This is what came of it.");
    spl_html_close(html, "p");
    spl_desk_cautions(html, done->cautions);
    if (done->records->len == 0)
        spl_desk_say(html, "There is nothing of it in the file.");
    else if (done->records->len == 1)
        spl_desk_record(html, done->shape, done->records->data);
    else
        spl_desk_table(html, NULL, done->shape, done->records, NULL);
    if (shown)
        put_apply(visit, html, kind, reading, done);
    else
        put_behind(html, kind);
    visit->keep_files = shown;
    spl_visit_page(visit, 200, spl_desk_end(html));
}

static void come_back(struct spl_visit *visit, const struct spl_file_kind *kind, GError *error,
                      unsigned status)
{
    struct spl_reading reading;

    spl_reading_begin(&reading, kind->inputs, visit->form != NULL ? visit->form : visit->query,
                      NO_INPUTS);
    if (error != NULL)
        spl_reading_wrong(&reading, error);
    put_form(visit, kind, &reading, status);
    spl_reading_end(&reading);
}

gboolean spl_files_come_back(struct spl_visit *visit, GError *error)
{
    const struct spl_file_kind *kind =
        g_strcmp0(visit->steps[0], "files") == 0 ? spl_file_kind_find(spl_visit_of(visit)) : NULL;

    if (kind == NULL)
        return FALSE;
    come_back(visit, kind, error,
              g_error_matches(error, SPL_ERROR, SPL_ERROR_LIMIT)     ? 413
              : g_error_matches(error, SPL_ERROR, SPL_ERROR_INVALID) ? 422
                                                                     : 500);
    return TRUE;
}

/* Every form of the desk, so that none is out of reach; most are also where they are needed. */
static void put_forms(struct spl_html *html)
{
    spl_desk_part(html, "All forms");
    spl_html_open(html, "ul");
    for (gsize i = 0; spl_act_at(i) != NULL; i++) {
        const struct spl_act *act = spl_act_at(i);

        if (strcmp(act->name, "take-back") == 0) /* belongs to the page that confirms an entry */
            continue;
        spl_html_open(html, "li");
        spl_desk_act(html, act->name, act->title, NULL);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
}

static void put_kinds(struct spl_visit *visit)
{
    struct spl_html *html = spl_desk_begin(visit, "Files and forms", "/files");

    spl_desk_part(html, "Into the book");
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "ledger");
    for (gsize i = 0; spl_file_kind_at(i) != NULL; i++) {
        const struct spl_file_kind *kind = spl_file_kind_at(i);
        const char *parts[] = {kind->name, NULL};

        spl_html_open(html, "li");
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/files", parts, NULL);
        spl_html_text(html, kind->title);
        spl_html_close(html, "a");
        spl_html_text(html, " ");
        spl_html_line(html, "small", NULL, kind->about);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
    spl_desk_out_links(html);
    spl_look_links(html, "/files");
    put_forms(html);
    spl_visit_page(visit, 200, spl_desk_end(html));
}

void spl_desk_files(struct spl_visit *visit)
{
    const struct spl_file_kind *kind = spl_file_kind_find(spl_visit_of(visit));
    struct spl_done done = {.records = NULL};
    g_autoptr(spl_house) house = NULL;
    struct spl_reading reading;
    GError *error = NULL;

    if (kind == NULL && visit->steps[1] == NULL && visit->form == NULL) {
        put_kinds(visit);
        return;
    }
    if (kind == NULL || visit->steps[2] != NULL) {
        struct spl_html *html = spl_desk_begin(visit, "There is no such form", NULL);

        spl_desk_say(html, "The desk takes no files under this address. Nothing was written.");
        spl_visit_page(visit, 404, spl_desk_end(html));
        return;
    }
    if (visit->form == NULL) {
        come_back(visit, kind, NULL, 200);
        return;
    }
    /* The book says in which units words are read. */
    house = spl_house_open(&visit->where, SPL_HOUSE_READ, NULL);
    spl_reading_begin(&reading, kind->inputs, visit->form, NO_INPUTS);
    g_clear_pointer(&house, spl_house_close);
    if (take_all(visit, kind, &reading, &done, &error)) {
        put_taken(visit, kind, &reading, &done);
    } else {
        if (error != NULL)
            spl_reading_wrong(&reading, error);
        put_form(visit, kind, &reading, 422);
    }
    spl_done_clear(&done);
    spl_reading_end(&reading);
}
