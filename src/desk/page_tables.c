/* SPDX-License-Identifier: MIT
 *
 * Tables of one's own: which there are; one of them, its rows beside the program's; one row as a
 * form, a bad cell told beside it. See desk/page.h.
 */
#include <string.h>

#include "desk/form.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/own_table.h"

#define CELL "c." /* before the column, in a form */
#define NEW_ROW "new"
#define MOST_WORDS 220 /* characters of a row in a list */

/* All tables ------------------------------------------------------------------------------------
 */

static void put_table_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_own_line *line = record;
    const char *parts[] = {line->table, NULL};

    (void)data;
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/table", parts, NULL);
    spl_html_attr(html, "class", "act");
    spl_html_printf(html, "The rows of %s", line->table);
    spl_html_close(html, "a");
}

SPL_PAGE(tables)
{
    GArray *lines = spl_own_tables(house, error);
    struct spl_html *html;

    if (lines == NULL)
        return FALSE;
    html = spl_desk_begin(visit, "Tables of your own", NULL);
    spl_desk_note(html, "What the program knows of plants, herbs and jars stands in tables. Rows "
                        "of your own add to them, or say another figure for a row that is there. "
                        "They are files that a spreadsheet opens too.");
    spl_desk_table_acts(html, NULL, &spl_own_line_shape, lines, NULL, put_table_act, NULL);
    spl_list_free(&spl_own_line_shape, lines);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}

/* One row as a form -----------------------------------------------------------------------------
 */

struct editing {
    const struct spl_own_sheet *sheet;
    int row;              /* SPL_COUNT_NONE: a new one */
    char **cells;         /* as they stand in the form */
    char **beside;        /* the program's own row of these keys; NULL: it has none */
    const char *column;   /* the one at fault; NULL: none */
    const char *sentence; /* what is wrong; NULL: nothing */
    const char *stamp;    /* of the table that was shown */
};

static void put_cell(struct spl_html *html, const struct editing *editing, guint i)
{
    const char *column = editing->sheet->columns[i];
    const char *ours = editing->beside != NULL ? editing->beside[i] : "";
    gboolean wrong = g_strcmp0(editing->column, column) == 0;
    g_autofree char *id = g_strconcat("c-", column, NULL), *name = g_strconcat(CELL, column, NULL),
                    *help = g_strconcat(id, "-help", NULL), *why = g_strconcat(id, "-wrong", NULL),
                    *by = g_strconcat(help, wrong ? " " : "", wrong ? why : "", NULL);

    spl_html_open(html, "p");
    spl_html_attr(html, "class", wrong ? "is-wrong" : NULL);
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_text(html, column);
    spl_html_close(html, "label");
    spl_html_open(html, "small");
    spl_html_attr(html, "id", help);
    if (*ours != '\0')
        spl_html_printf(html, "the program has: %s", ours);
    else if (i < editing->sheet->n_keys)
        spl_html_text(html, "tells the row from the others");
    else
        spl_html_text(html, editing->beside != NULL ? "the program says nothing" : "may be empty");
    if (strcmp(column, "source") == 0)
        spl_html_text(html, "; written as figure=where it is from");
    spl_html_close(html, "small");
    if (wrong) {
        spl_html_open(html, "span");
        spl_html_attr(html, "id", why);
        spl_html_attr(html, "class", "wrong");
        spl_html_text(html, editing->sentence);
        spl_html_close(html, "span");
    }
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "text");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "name", name);
    spl_html_attr(html, "autocomplete", "off");
    spl_html_attr(html, "aria-describedby", by);
    spl_html_attr(html, "aria-invalid", wrong ? "true" : NULL);
    spl_html_attr(html, "value", editing->cells[i]);
    spl_html_close(html, "p");
}

static void put_summary(struct spl_html *html, const struct editing *editing)
{
    gboolean at_cell =
        editing->column != NULL &&
        g_strv_contains((const char *const *)editing->sheet->columns, editing->column);

    if (editing->sentence == NULL)
        return;
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "summary");
    spl_html_attr(html, "role", "alert");
    spl_html_attr(html, "tabindex", "-1");
    spl_html_flag(html, "autofocus", TRUE);
    spl_html_line(html, "p", NULL, "Nothing was written; your table is as it was:");
    spl_html_open(html, "ul");
    spl_html_open(html, "li");
    if (at_cell) {
        g_autofree char *id = g_strconcat("c-", editing->column, NULL);

        spl_html_open(html, "a");
        spl_html_place(html, id);
        spl_html_printf(html, "%s: %s", editing->column, editing->sentence);
        spl_html_close(html, "a");
    } else {
        spl_html_text(html, editing->sentence);
    }
    spl_html_close(html, "li");
    spl_html_close(html, "ul");
    spl_html_close(html, "div");
}

static void put_form_begin(struct spl_html *html, const struct editing *editing)
{
    const char *parts[] = {editing->sheet->table, NULL};
    g_autofree char *row =
        editing->row == SPL_COUNT_NONE ? g_strdup(NEW_ROW) : g_strdup_printf("%d", editing->row);

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/table", parts, NULL);
    spl_form_hidden(html, "row", row);
    spl_form_hidden(html, "stamp", editing->stamp);
}

static void put_row_link(struct spl_html *html, const struct spl_own_sheet *sheet,
                         const char *const *query, const char *words)
{
    const char *parts[] = {sheet->table, NULL};

    spl_html_open(html, "a");
    spl_html_link(html, "href", "/table", parts, query);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, words);
    spl_html_close(html, "a");
}

static void show_row(struct spl_visit *visit, const struct editing *editing, unsigned status)
{
    g_autofree char *title = g_strdup_printf(
        "%s of %s", editing->row == SPL_COUNT_NONE ? "A row" : "Your row", editing->sheet->table);
    g_autofree char *window = g_strconcat(editing->sentence != NULL ? "Error: " : "", title, NULL);
    struct spl_html *html = spl_desk_begin_bare(visit, window, NULL);

    put_summary(html, editing);
    spl_desk_heading(html, title);
    put_row_link(html, editing->sheet, NULL, "All rows of the table");
    spl_desk_note(html, "What is left empty stays as the program has it; of a row that is all "
                        "yours it is not known. A source says where a figure is from.");
    put_form_begin(html, editing);
    for (guint i = 0; i < editing->sheet->n_columns; i++)
        put_cell(html, editing, i);
    spl_form_send(html, "Into your table");
    if (editing->row != SPL_COUNT_NONE) {
        spl_html_open(html, "p");
        spl_form_button(html, "take_out", "yes", "Take this row out");
        spl_html_close(html, "p");
    }
    spl_form_close(html);
    spl_visit_page(visit, status, spl_desk_end(html));
}

/* One table -------------------------------------------------------------------------------------
 */

/* A row in few words: its keys, then the first cells that say something. */
static void put_words(struct spl_html *html, const struct spl_own_sheet *sheet, char *const *cells)
{
    GString *more = g_string_new(NULL);

    for (guint i = 0; i < sheet->n_columns; i++) {
        if (*cells[i] == '\0')
            continue;
        if (i >= sheet->n_keys)
            g_string_append_printf(more, "%s%s %s", more->len > 0 ? "; " : "", sheet->columns[i],
                                   cells[i]);
    }
    spl_html_open(html, "strong");
    for (guint i = 0; i < sheet->n_keys; i++)
        if (*cells[i] != '\0')
            spl_html_printf(html, "%s%s", i > 0 ? " " : "", cells[i]);
    spl_html_close(html, "strong");
    if (g_utf8_strlen(more->str, -1) > MOST_WORDS) { /* the row's own form has all of it */
        gsize end = (gsize)(g_utf8_offset_to_pointer(more->str, MOST_WORDS) - more->str);

        g_string_truncate(more, end);
        g_string_append(more, " \xE2\x80\xA6");
    }
    spl_html_line(html, "small", NULL, more->str);
    g_string_free(more, TRUE);
}

static void put_rows(struct spl_html *html, const struct spl_own_sheet *sheet, gboolean own)
{
    const GPtrArray *rows = own ? sheet->own : sheet->ours;

    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "ledger");
    for (guint i = 0; i < rows->len; i++) {
        char *const *cells = g_ptr_array_index(rows, i);
        g_autofree char *number = g_strdup_printf("%u", i);
        const char *query[] = {own ? "row" : "like", number, NULL};

        spl_html_open(html, "li");
        put_words(html, sheet, cells);
        if (own || spl_own_row_like(sheet, sheet->own, cells) == NULL)
            put_row_link(html, sheet, query, own ? "Change it" : "Say it otherwise");
        else
            spl_html_line(html, "small", NULL, "your row says it otherwise");
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
}

static void show_sheet(struct spl_visit *visit, const struct spl_own_sheet *sheet)
{
    static const char *const fresh[] = {"row", NEW_ROW, NULL};
    g_autofree char *title = g_strdup_printf("Your rows of %s", sheet->table);
    struct spl_html *html = spl_desk_begin(visit, title, NULL);

    spl_desk_go(html, "/tables", NULL, "All tables");
    spl_html_open(html, "p");
    spl_html_text(html, "They stand in ");
    spl_html_name(html, sheet->file);
    spl_html_text(html, ", which a spreadsheet opens too.");
    spl_html_close(html, "p");
    for (guint i = 0; i < sheet->wrong->len; i++) {
        spl_html_open(html, "p");
        spl_html_attr(html, "class", "wrong");
        spl_html_printf(html, "Left out: %s", (const char *)g_ptr_array_index(sheet->wrong, i));
        spl_html_close(html, "p");
    }
    if (sheet->own->len == 0)
        spl_desk_say(html, "None yet.");
    else
        put_rows(html, sheet, TRUE);
    spl_html_open(html, "p");
    put_row_link(html, sheet, fresh, "A new row");
    spl_html_close(html, "p");
    spl_desk_part(html, "What the program has");
    put_rows(html, sheet, FALSE);
    spl_visit_page(visit, 200, spl_desk_end(html));
}

/* A number of a row; SPL_COUNT_NONE: none. */
static int number_of(const char *text, guint n)
{
    guint64 number = 0;

    return text != NULL &&
                   g_ascii_string_to_unsigned(text, 10, 0, n > 0 ? n - 1 : 0, &number, NULL) &&
                   n > 0
               ? (int)number
               : SPL_COUNT_NONE;
}

static char **empty_cells(const struct spl_own_sheet *sheet)
{
    char **cells = g_new0(char *, sheet->n_columns + 1);

    for (guint i = 0; i < sheet->n_columns; i++)
        cells[i] = g_strdup("");
    return cells;
}

/* The form for a row of one's own, or for one that says another figure than the program's. */
static void ask_row(struct spl_visit *visit, const struct spl_own_sheet *sheet, const char *row,
                    const char *like)
{
    int number = number_of(row, sheet->own->len), ours = number_of(like, sheet->ours->len);
    char **kept = number != SPL_COUNT_NONE ? g_ptr_array_index(sheet->own, number) : NULL;
    char **model = ours != SPL_COUNT_NONE ? g_ptr_array_index(sheet->ours, ours) : NULL;
    g_auto(GStrv) cells = kept != NULL ? g_strdupv(kept) : empty_cells(sheet);
    struct editing editing = {.sheet = sheet, .row = number, .cells = cells, .stamp = sheet->stamp};

    for (guint i = 0; model != NULL && kept == NULL && i < sheet->n_keys; i++) {
        g_free(cells[i]);
        cells[i] = g_strdup(model[i]);
    }
    editing.beside =
        kept != NULL || model != NULL ? spl_own_row_like(sheet, sheet->ours, cells) : NULL;
    show_row(visit, &editing, 200);
}

SPL_PAGE(table)
{
    struct spl_own_sheet sheet;
    const char *row = spl_visit_asked(visit, "row"), *like = spl_visit_asked(visit, "like");

    if (!spl_own_sheet_read(house, spl_visit_of(visit), &sheet, error))
        return FALSE;
    if (row != NULL || like != NULL)
        ask_row(visit, &sheet, row, like);
    else
        show_sheet(visit, &sheet);
    spl_own_sheet_clear(&sheet);
    return TRUE;
}

/* A row that was sent ---------------------------------------------------------------------------
 */

static char **sent_cells(const struct spl_visit *visit, const struct spl_own_sheet *sheet)
{
    char **cells = g_new0(char *, sheet->n_columns + 1);

    for (guint i = 0; i < sheet->n_columns; i++) {
        g_autofree char *key = g_strconcat(CELL, sheet->columns[i], NULL);
        const char *cell = spl_pairs_get(visit->form, key);

        cells[i] = g_strstrip(g_strdup(cell != NULL ? cell : ""));
    }
    return cells;
}

static void write_row(struct spl_visit *visit, struct spl_house *house,
                      const struct spl_own_sheet *sheet)
{
    const char *number = spl_pairs_get(visit->form, "row");
    gboolean fresh = g_strcmp0(number, NEW_ROW) == 0;
    g_auto(GStrv) cells = sent_cells(visit, sheet);
    struct spl_own_row row = {
        .table = sheet->table,
        .row = fresh ? SPL_COUNT_NONE : number_of(number, sheet->own->len),
        .stamp = spl_pairs_get(visit->form, "stamp"),
        .take_out = spl_pairs_get(visit->form, "take_out") != NULL,
        .cells = cells,
    };
    struct editing editing = {.sheet = sheet,
                              .row = row.row,
                              .cells = cells,
                              .stamp = row.stamp != NULL ? row.stamp : ""};
    g_autoptr(GError) failed = NULL;

    if (!fresh && row.row == SPL_COUNT_NONE)
        row.stamp = "gone"; /* that row is: told as a change meanwhile */
    if (spl_own_row_write(house, &row, &failed)) {
        spl_visit_send_on(visit, g_strconcat("/table/", sheet->table, NULL));
        return;
    }
    editing.column = spl_error_input(failed);
    editing.sentence = spl_error_sentence(failed);
    editing.beside = spl_own_row_like(sheet, sheet->ours, cells);
    show_row(visit, &editing, g_error_matches(failed, SPL_ERROR, SPL_ERROR_CONFLICT) ? 409 : 422);
}

void spl_desk_own_row(struct spl_visit *visit)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_house) house = spl_house_open(&visit->where, SPL_HOUSE_READ, &error);
    struct spl_own_sheet sheet;

    if (house == NULL || !spl_own_sheet_read(house, spl_visit_of(visit), &sheet, &error)) {
        spl_desk_failure(visit, error);
        return;
    }
    write_row(visit, house, &sheet);
    spl_own_sheet_clear(&sheet);
}
