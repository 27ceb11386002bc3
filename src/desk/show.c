/* SPDX-License-Identifier: MIT
 *
 * What season answers, laid out by its row tables. See desk/page.h.
 */
#include <math.h>
#include <string.h>

#include "desk/page.h"

static gpointer member(const struct spl_field *field, gconstpointer record)
{
    return (char *)(guintptr)record + field->offset;
}

static gconstpointer element(const struct spl_shape *shape, const GArray *list, guint i)
{
    return list->data + (gsize)i * shape->size;
}

static gboolean is_number(const struct spl_field *field)
{
    return field->kind == SPL_INT || field->kind == SPL_LONG || field->kind == SPL_NUM;
}

static gboolean has_key(const struct spl_field *field, const char *key)
{
    return field->key != NULL && strcmp(field->key, key) == 0;
}

/* Cells -----------------------------------------------------------------------------------------
 */

static void put_day(struct spl_html *html, struct spl_day day)
{
    g_autofree char *words = spl_day_words(day);
    char iso[SPL_DAY_TEXT_SIZE];

    spl_html_open(html, "time");
    spl_html_attr(html, "datetime", spl_day_format(day, iso));
    spl_html_text(html, words);
    spl_html_close(html, "time");
}

static void put_plants(struct spl_html *html, const char *materials)
{
    g_auto(GStrv) each = g_strsplit(materials, ", ", -1);

    for (guint i = 0; each[i] != NULL; i++) {
        if (i > 0)
            spl_html_text(html, ", ");
        if (strchr(each[i], '/') != NULL)
            spl_desk_plant(html, each[i]);
        else
            spl_html_text(html, each[i]);
    }
}

/* A verdict or state stands out by its words, and by a rule that thickens. */
static void put_word(struct spl_html *html, const char *word)
{
    g_autofree char *class = g_strconcat("word ", word, NULL);

    g_strdelimit(class + 5, " ", '-');
    spl_html_line(html, "span", class, word);
}

static void put_cell(struct spl_html *html, const struct spl_field *field, gconstpointer record,
                     const char *text)
{
    if (field->kind == SPL_DAY)
        put_day(html, *(struct spl_day *)member(field, record));
    else if (field->kind == SPL_WORD)
        put_word(html, text);
    else if (field->kind == SPL_TEXT && has_key(field, "site"))
        spl_desk_place(html, text);
    else if (field->kind == SPL_TEXT && (has_key(field, "material") || has_key(field, "materials")))
        put_plants(html, text);
    else
        spl_desk_text(html, text);
}

/* What is not so is left out. */
static gboolean says_nothing(const struct spl_field *field, gconstpointer record, const char *text)
{
    return *text == '\0' || (field->kind == SPL_BOOL && !*(gboolean *)member(field, record));
}

/* Records ---------------------------------------------------------------------------------------
 */

void spl_desk_values(struct spl_html *html, const struct spl_shape *shape, const void *record)
{
    spl_html_open(html, "dl");
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        g_autofree char *text = NULL, *heading = NULL;

        if (field->heading == NULL || field->kind == SPL_LIST)
            continue;
        text = spl_field_text(shape, field, record);
        if (says_nothing(field, record, text))
            continue;
        heading = spl_field_heading(field);
        spl_html_open(html, "div");
        spl_html_line(html, "dt", NULL, heading);
        spl_html_open(html, "dd");
        put_cell(html, field, record, text);
        spl_html_close(html, "dd");
        spl_html_close(html, "div");
    }
    spl_html_close(html, "dl");
}

void spl_desk_record(struct spl_html *html, const struct spl_shape *shape, const void *record)
{
    spl_desk_values(html, shape, record);
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        const GArray *list;

        if (field->heading == NULL || field->kind != SPL_LIST)
            continue;
        list = *(GArray **)member(field, record);
        spl_desk_table(html, field->heading, field->inner, list, NULL);
    }
}

/* Tables ----------------------------------------------------------------------------------------
 */

static gboolean is_shown(const struct spl_field *field, const char *without)
{
    g_auto(GStrv) keys = NULL;

    if (field->heading == NULL || field->show_only || field->key == NULL)
        return FALSE;
    if (without == NULL)
        return TRUE;
    keys = g_strsplit(without, " ", -1);
    return !g_strv_contains((const char *const *)keys, field->key);
}

/* Whether a cell says anything; most are texts, which tell without being laid out. */
static gboolean says_something(const struct spl_shape *shape, const struct spl_field *field,
                               gconstpointer record)
{
    g_autofree char *text = NULL;

    if ((field->kind == SPL_TEXT && *(char **)member(field, record) == NULL) ||
        (field->kind == SPL_LIST && *(GArray **)member(field, record) == NULL) ||
        (field->kind == SPL_NUM && isnan(*(double *)member(field, record))))
        return FALSE;
    text = spl_field_text(shape, field, record);
    return *text != '\0';
}

/* Columns in which nothing stands are left out. */
static GArray *used_columns(const struct spl_shape *shape, const GArray *list, const char *without)
{
    GArray *columns = g_array_new(FALSE, FALSE, sizeof(gsize));

    for (gsize i = 0; i < shape->n_fields; i++) {
        gboolean used = FALSE;

        if (!is_shown(&shape->fields[i], without))
            continue;
        for (guint row = 0; row < list->len && !used; row++)
            used = says_something(shape, &shape->fields[i], element(shape, list, row));
        if (used)
            g_array_append_val(columns, i);
    }
    return columns;
}

/* What each cell of a column says of itself, made once; of those in which nothing stands behind it.
 */
static GPtrArray *cell_words(const struct spl_shape *shape, const GArray *columns,
                             const GPtrArray *headings)
{
    GPtrArray *words = g_ptr_array_new_with_free_func(g_free);

    for (guint c = 0; c < columns->len; c++) {
        const struct spl_field *field = &shape->fields[g_array_index(columns, gsize, c)];
        const char *head = g_ptr_array_index(headings, c);
        const char *said[] = {
            "role", "cell", "data-head", head, "class", is_number(field) ? "number" : NULL, NULL};
        const char *none[] = {"role", "cell", "data-head", head, "class", "none", NULL};

        g_ptr_array_add(words, spl_html_ready(said));
        g_ptr_array_add(words, spl_html_ready(none));
    }
    return words;
}

static void put_row(struct spl_html *html, const struct spl_shape *shape, gconstpointer record,
                    const GArray *columns, const GPtrArray *words, spl_desk_put put, gpointer data)
{
    spl_html_open(html, "tr");
    spl_html_attr(html, "role", "row");
    for (guint c = 0; c < columns->len; c++) {
        const struct spl_field *field = &shape->fields[g_array_index(columns, gsize, c)];
        g_autofree char *text = spl_field_text(shape, field, record);

        spl_html_open(html, "td");
        spl_html_attrs(html, g_ptr_array_index(words, 2 * c + (*text == '\0' ? 1 : 0)));
        if (*text != '\0')
            put_cell(html, field, record, text);
        spl_html_close(html, "td");
    }
    if (put != NULL) {
        spl_html_open(html, "td");
        spl_html_attr(html, "role", "cell");
        spl_html_attr(html, "class", "acts");
        put(html, record, data);
        spl_html_close(html, "td");
    }
    spl_html_close(html, "tr");
}

/* The roles are said: on a narrow page a row is laid out as a block, which would take them away. */
void spl_desk_table_acts(struct spl_html *html, const char *caption, const struct spl_shape *shape,
                         const GArray *list, const char *without, spl_desk_put put, gpointer data)
{
    g_autoptr(GArray) columns = NULL;
    g_autoptr(GPtrArray) headings = g_ptr_array_new_with_free_func(g_free), words = NULL;

    if (list == NULL || list->len == 0)
        return;
    columns = used_columns(shape, list, without);
    spl_html_open(html, "table");
    spl_html_attr(html, "role", "table");
    if (caption != NULL)
        spl_html_line(html, "caption", NULL, caption);
    spl_html_open(html, "thead");
    spl_html_attr(html, "role", "rowgroup");
    spl_html_open(html, "tr");
    spl_html_attr(html, "role", "row");
    for (guint c = 0; c < columns->len; c++) {
        const struct spl_field *field = &shape->fields[g_array_index(columns, gsize, c)];
        char *heading = spl_field_heading(field);

        g_ptr_array_add(headings, heading);
        spl_html_open(html, "th");
        spl_html_attr(html, "role", "columnheader");
        spl_html_attr(html, "scope", "col");
        spl_html_attr(html, "class", is_number(field) ? "number" : NULL);
        spl_html_text(html, heading);
        spl_html_close(html, "th");
    }
    if (put != NULL) {
        spl_html_open(html, "th");
        spl_html_attr(html, "role", "columnheader");
        spl_html_attr(html, "scope", "col");
        spl_html_text(html, "to do");
        spl_html_close(html, "th");
    }
    spl_html_close(html, "tr");
    spl_html_close(html, "thead");
    spl_html_open(html, "tbody");
    spl_html_attr(html, "role", "rowgroup");
    words = cell_words(shape, columns, headings);
    for (guint row = 0; row < list->len; row++)
        put_row(html, shape, element(shape, list, row), columns, words, put, data);
    spl_html_close(html, "tbody");
    spl_html_close(html, "table");
}

void spl_desk_table(struct spl_html *html, const char *caption, const struct spl_shape *shape,
                    const GArray *list, const char *without)
{
    spl_desk_table_acts(html, caption, shape, list, without, NULL, NULL);
}

void spl_desk_keep(GArray *list, const struct spl_shape *shape, const void *record)
{
    g_array_set_size(list, list->len + 1);
    spl_record_copy(shape, record, list->data + (gsize)(list->len - 1) * shape->size);
}

void spl_desk_keep_row(GArray *list, const struct spl_shape *shape, const void *record)
{
    g_autofree char *shown = g_memdup2(record, shape->size);

    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        const gboolean owned = field->kind == SPL_TEXT || field->kind == SPL_TEXTS ||
                               field->kind == SPL_LIST || field->kind == SPL_ONE;

        if (owned && !is_shown(field, NULL))
            *(gpointer *)(shown + field->offset) = NULL;
    }
    spl_desk_keep(list, shape, shown);
}

/* Asking again ----------------------------------------------------------------------------------
 */

void spl_desk_ask_begin(struct spl_html *html, const char *path)
{
    const char *parts[] = {path, NULL};

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_link(html, "action", "/", parts, NULL);
    spl_html_attr(html, "class", "ask");
}

void spl_desk_ask_field(struct spl_html *html, const char *key, const char *label, const char *help,
                        const char *value)
{
    g_autofree char *id = g_strconcat("f-", key, NULL), *help_id = g_strconcat(id, "-help", NULL);

    spl_html_open(html, "p");
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_text(html, label);
    spl_html_close(html, "label");
    spl_html_open(html, "small");
    spl_html_attr(html, "id", help_id);
    spl_html_text(html, help);
    spl_html_close(html, "small");
    spl_html_open(html, "input");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "name", key);
    spl_html_attr(html, "type", "text");
    spl_html_attr(html, "autocomplete", "off");
    spl_html_attr(html, "aria-describedby", help_id);
    spl_html_attr(html, "value", value);
    spl_html_close(html, "p");
}

void spl_desk_ask_end(struct spl_html *html, const char *button)
{
    spl_html_open(html, "p");
    spl_html_open(html, "button");
    spl_html_attr(html, "type", "submit");
    spl_html_text(html, button);
    spl_html_close(html, "button");
    spl_html_close(html, "p");
    spl_html_close(html, "form");
}
