/* SPDX-License-Identifier: MIT
 *
 * Forms from the tables of inputs. See desk/form.h.
 */
#include "desk/form.h"

#include <string.h>

#include "base/text.h"
#include "desk/door.h"
#include "simpling/error.h"

#define SPARE 2 /* empty lines behind those of a list that are filled in */

/* Reading ---------------------------------------------------------------------------------------
 */

static void wrong_clear(gpointer data)
{
    struct spl_wrong *wrong = data;

    g_free(wrong->key);
    g_free(wrong->sentence);
}

static gboolean has_word(const char *words, const char *word)
{
    g_auto(GStrv) all = g_strsplit(words != NULL ? words : "", " ", -1);

    return g_strv_contains((const char *const *)all, word);
}

static gboolean is_blank(const char *text)
{
    while (g_ascii_isspace(*text))
        text++;
    return *text == '\0';
}

/* The row of a list's own key or of another input; NULL: it is none, or a member of an element. */
static const struct spl_input *row_of(const struct spl_reading *reading, const char *path)
{
    return spl_inputs_row(reading->inputs, path);
}

static void read_text(struct spl_reading *reading, const char *path, const char *text)
{
    GError *error = NULL;

    if (!spl_inputs_read(reading->inputs, path, text, reading->said, &error))
        spl_reading_wrong(reading, error);
}

/* Line breaks come as CR LF; of a list each line is an element. */
static void read_pair(struct spl_reading *reading, const struct spl_pair *pair)
{
    const struct spl_input *row = row_of(reading, pair->key);
    g_auto(GStrv) lines = g_strsplit(pair->value, "\r\n", -1);
    g_autofree char *text = g_strjoinv("\n", lines);

    /* A path on this machine is for who sits at its terminal. */
    if (is_blank(text) || (row != NULL && row->kind == SPL_INPUT_FILE))
        return;
    if (row != NULL && row->kind == SPL_INPUT_LIST) {
        g_auto(GStrv) each = g_strsplit(text, "\n", -1);

        for (guint i = 0; each[i] != NULL; i++)
            if (!is_blank(each[i]))
                read_text(reading, pair->key, g_strstrip(each[i]));
    } else {
        read_text(reading, pair->key, text);
    }
}

void spl_reading_begin(struct spl_reading *reading, const struct spl_inputs *inputs,
                       const GArray *pairs, const char *without)
{
    *reading = (struct spl_reading){inputs, g_malloc0(inputs->size), pairs,
                                    g_array_new(FALSE, FALSE, sizeof(struct spl_wrong))};
    g_array_set_clear_func(reading->errors, wrong_clear);
    spl_inputs_init(inputs, reading->said);
    for (guint i = 0; pairs != NULL && i < pairs->len; i++) {
        const struct spl_pair *pair = &g_array_index(pairs, struct spl_pair, i);

        if (!has_word(without, pair->key))
            read_pair(reading, pair);
    }
}

void spl_reading_wrong(struct spl_reading *reading, GError *error)
{
    struct spl_wrong wrong = {g_strdup(spl_error_input(error)),
                              g_strdup(spl_error_sentence(error))};

    g_array_append_val(reading->errors, wrong);
    g_error_free(error);
}

void spl_reading_end(struct spl_reading *reading)
{
    spl_inputs_clear(reading->inputs, reading->said);
    g_clear_pointer(&reading->said, g_free);
    g_clear_pointer(&reading->errors, g_array_unref);
}

static const char *wrong_of(const struct spl_reading *reading, const char *path)
{
    for (guint i = 0; i < reading->errors->len; i++) {
        const struct spl_wrong *wrong = &g_array_index(reading->errors, struct spl_wrong, i);

        if (wrong->key != NULL && strcmp(wrong->key, path) == 0)
            return wrong->sentence;
    }
    return NULL;
}

/* As typed; the lines of a list below each other. NULL: nothing. Free with g_free. */
static char *typed(const struct spl_reading *reading, const char *path)
{
    GString *text = NULL;

    for (guint i = 0; reading->pairs != NULL && i < reading->pairs->len; i++) {
        const struct spl_pair *pair = &g_array_index(reading->pairs, struct spl_pair, i);

        if (strcmp(pair->key, path) != 0)
            continue;
        if (text == NULL)
            text = g_string_new(pair->value);
        else
            g_string_append_printf(text, "\n%s", pair->value);
    }
    return text != NULL ? g_string_free(text, FALSE) : NULL;
}

/* Fields ----------------------------------------------------------------------------------------
 */

struct field {
    const struct spl_reading *reading;
    const struct spl_input *row;
    char *path, *id, *help_id, *wrong_id, *label, *value;
    const char *wrong;
};

static struct field field_of(const char *prefix, const struct spl_reading *reading,
                             const struct spl_input *row, const char *before)
{
    struct field field = {.reading = reading, .row = row};
    g_autofree char *words = NULL;

    field.path = g_strconcat(before, row->key, NULL);
    field.id = g_strconcat(prefix, "-", field.path, NULL);
    g_strdelimit(field.id, ".", '-');
    field.help_id = g_strconcat(field.id, "-help", NULL);
    field.wrong_id = g_strconcat(field.id, "-wrong", NULL);
    words = g_strdelimit(g_strdup(row->label != NULL ? row->label : row->key), "_", ' ');
    field.label = g_strdup_printf("%c%s%s", g_ascii_toupper(words[0]), words + 1,
                                  row->needed ? " (needed)" : "");
    field.value = typed(reading, field.path);
    field.wrong = wrong_of(reading, field.path);
    return field;
}

static void field_clear(struct field *field)
{
    g_free(field->path);
    g_free(field->id);
    g_free(field->help_id);
    g_free(field->wrong_id);
    g_free(field->label);
    g_free(field->value);
}

/* What every field has. */
static void put_common(struct spl_html *html, const struct field *field)
{
    g_autofree char *by = field->wrong != NULL
                              ? g_strconcat(field->help_id, " ", field->wrong_id, NULL)
                              : g_strdup(field->help_id);

    spl_html_attr(html, "id", field->id);
    spl_html_attr(html, "name", field->path);
    spl_html_attr(html, "aria-describedby", by);
    spl_html_attr(html, "aria-invalid", field->wrong != NULL ? "true" : NULL);
}

static void put_label(struct spl_html *html, const struct field *field)
{
    spl_html_open(html, "label");
    spl_html_attr(html, "for", field->id);
    spl_html_text(html, field->label);
    spl_html_close(html, "label");
}

static void put_help(struct spl_html *html, const struct field *field)
{
    spl_html_open(html, "small");
    spl_html_attr(html, "id", field->help_id);
    spl_html_text(html, field->row->help);
    if (field->row->today)
        spl_html_text(html, "; empty: today; as 2027-07-14");
    else if (field->row->kind == SPL_INPUT_DAY)
        spl_html_text(html, "; as 2027-07-14");
    else if (field->row->setting != NULL)
        spl_html_text(html, "; empty: as your book says");
    spl_html_close(html, "small");
    if (field->wrong != NULL) {
        spl_html_open(html, "span");
        spl_html_attr(html, "id", field->wrong_id);
        spl_html_attr(html, "class", "wrong");
        spl_html_text(html, field->wrong);
        spl_html_close(html, "span");
    }
}

static void put_option(struct spl_html *html, const char *value, const char *words,
                       const char *chosen)
{
    spl_html_open(html, "option");
    spl_html_attr(html, "value", value);
    spl_html_flag(html, "selected", g_strcmp0(value, chosen != NULL ? chosen : "") == 0);
    spl_html_text(html, words);
    spl_html_close(html, "option");
}

static void put_choice(struct spl_html *html, const struct field *field)
{
    g_auto(GStrv) words =
        g_strsplit(field->row->kind == SPL_INPUT_YES ? "yes no" : field->row->words, " ", -1);

    spl_html_open(html, "select");
    put_common(html, field);
    put_option(html, "", "not said", field->value);
    for (guint i = 0; words[i] != NULL; i++)
        put_option(html, words[i], words[i], field->value);
    spl_html_close(html, "select");
}

static void put_area(struct spl_html *html, const struct field *field)
{
    spl_html_open(html, "textarea");
    put_common(html, field);
    spl_html_attr(html, "rows", field->row->kind == SPL_INPUT_LIST ? "3" : "2");
    spl_html_text(html, field->value != NULL ? field->value : "");
    spl_html_close(html, "textarea");
}

/* Amounts and days are texts, read by our own parsers: a browser's number field makes 15 of "1,5".
 */
static void put_line(struct spl_html *html, const struct field *field)
{
    gboolean bare = field->row->kind == SPL_INPUT_COUNT || field->row->kind == SPL_INPUT_NUMBER ||
                    field->row->kind == SPL_INPUT_HOURS;

    spl_html_open(html, "input");
    spl_html_attr(html, "type", "text");
    put_common(html, field);
    spl_html_attr(html, "inputmode", bare ? "decimal" : NULL);
    spl_html_attr(html, "autocomplete", "off");
    spl_html_attr(html, "value", field->value);
}

static void put_flag(struct spl_html *html, const struct field *field)
{
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "checkbox");
    put_common(html, field);
    spl_html_attr(html, "value", "yes");
    spl_html_flag(html, "checked", field->value != NULL && *field->value != '\0');
    put_label(html, field);
    put_help(html, field);
}

static void put_field(struct spl_html *html, const struct field *field)
{
    const struct spl_input *row = field->row;

    spl_html_open(html, "p");
    spl_html_attr(html, "class", field->wrong != NULL ? "is-wrong" : NULL);
    if (row->kind == SPL_INPUT_FLAG) {
        put_flag(html, field);
    } else {
        put_label(html, field);
        put_help(html, field);
        if (row->kind == SPL_INPUT_CHOICE || row->kind == SPL_INPUT_YES)
            put_choice(html, field);
        else if (row->kind == SPL_INPUT_TEXT || row->kind == SPL_INPUT_LIST)
            put_area(html, field);
        else
            put_line(html, field);
    }
    spl_html_close(html, "p");
}

/* How many elements of this list were typed into. */
static guint count_typed(const struct spl_reading *reading, const char *key)
{
    g_autofree char *before = g_strconcat(key, ".", NULL);
    guint most = 0;

    for (guint i = 0; reading->pairs != NULL && i < reading->pairs->len; i++) {
        const struct spl_pair *pair = &g_array_index(reading->pairs, struct spl_pair, i);

        if (g_str_has_prefix(pair->key, before) && !is_blank(pair->value))
            most = MAX(most,
                       (guint)MIN(g_ascii_strtoull(pair->key + strlen(before), NULL, 10), 200) + 1);
    }
    return most;
}

/* A list whose elements have no line: a box for each. */
static void put_elements(struct spl_html *html, const char *prefix,
                         const struct spl_reading *reading, const struct spl_input *row)
{
    guint n = count_typed(reading, row->key) + SPARE;

    for (guint i = 0; i < n; i++) {
        g_autofree char *before = g_strdup_printf("%s.%u.", row->key, i);

        spl_html_open(html, "fieldset");
        spl_html_open(html, "legend");
        spl_html_printf(html, "%s, %u", row->label != NULL ? row->label : row->help, i + 1);
        spl_html_close(html, "legend");
        for (gsize k = 0; k < row->item->n; k++) {
            struct field field = field_of(prefix, reading, &row->item->rows[k], before);

            put_field(html, &field);
            field_clear(&field);
        }
        spl_html_close(html, "fieldset");
    }
}

static void put_row(struct spl_html *html, const char *prefix, const struct spl_reading *reading,
                    const struct spl_input *row)
{
    struct field field;

    if (row->kind == SPL_INPUT_LIST && row->item->line == NULL && row->item->n != 1) {
        put_elements(html, prefix, reading, row);
        return;
    }
    field = field_of(prefix, reading, row, "");
    put_field(html, &field);
    field_clear(&field);
}

/* A folded field that was typed into, or is wrong, is not folded. */
static gboolean is_in_use(const struct spl_reading *reading, const struct spl_input *row)
{
    g_autofree char *value = typed(reading, row->key);

    return (value != NULL && !is_blank(value)) || wrong_of(reading, row->key) != NULL;
}

void spl_form_fields(struct spl_html *html, const char *prefix, const struct spl_reading *reading,
                     const char *without)
{
    const struct spl_inputs *inputs = reading->inputs;
    gboolean folded = FALSE, open = FALSE;

    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];

        /* A path on this machine is not asked for in a browser. */
        if (has_word(without, row->key) || row->kind == SPL_INPUT_FILE)
            continue;
        folded |= row->advanced;
        open |= row->advanced && is_in_use(reading, row);
        if (!row->advanced)
            put_row(html, prefix, reading, row);
    }
    if (!folded)
        return;
    spl_html_open(html, "details");
    spl_html_flag(html, "open", open);
    spl_html_line(html, "summary", NULL, "Seldom needed");
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];

        if (row->advanced && !has_word(without, row->key) && row->kind != SPL_INPUT_FILE)
            put_row(html, prefix, reading, row);
    }
    spl_html_close(html, "details");
}

/* The first part of a path that is a field of the form: "jars" of "jars.0.yield" where the list is
 * one field. */
static char *id_of(const char *prefix, const struct spl_reading *reading, const char *path)
{
    g_autofree char *first = g_strndup(path, strcspn(path, "."));
    const struct spl_input *row = spl_inputs_row(reading->inputs, first);
    gboolean whole = row != NULL && row->kind == SPL_INPUT_LIST &&
                     (row->item->line != NULL || row->item->n == 1);
    gboolean boxes = row != NULL && row->kind == SPL_INPUT_LIST && !whole;
    g_autofree char *of = NULL;
    char *id;

    if (row == NULL)
        return NULL;
    if (boxes && strchr(path, '.') == NULL)
        of = g_strdup_printf("%s.0.%s", first, row->item->rows[0].key);
    id = g_strconcat(prefix, "-", of != NULL ? of : whole ? first : path, NULL);
    return g_strdelimit(id, ".", '-');
}

void spl_form_summary(struct spl_html *html, const char *prefix, const struct spl_reading *reading)
{
    if (reading->errors->len == 0)
        return;
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "summary");
    spl_html_attr(html, "role", "alert");
    spl_html_attr(html, "tabindex", "-1");
    spl_html_flag(html, "autofocus", TRUE);
    spl_html_line(html, "p", NULL, "Nothing was done yet:");
    spl_html_open(html, "ul");
    for (guint i = 0; i < reading->errors->len; i++) {
        const struct spl_wrong *wrong = &g_array_index(reading->errors, struct spl_wrong, i);
        g_autofree char *id = wrong->key != NULL ? id_of(prefix, reading, wrong->key) : NULL;

        spl_html_open(html, "li");
        if (id != NULL) {
            spl_html_open(html, "a");
            spl_html_place(html, id);
        }
        if (wrong->key != NULL)
            spl_html_printf(html, "%s: ", wrong->key);
        spl_html_text(html, wrong->sentence);
        if (id != NULL)
            spl_html_close(html, "a");
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
    spl_html_close(html, "div");
}

/* Forms -----------------------------------------------------------------------------------------
 */

static void put_button(struct spl_html *html, const char *button)
{
    spl_html_open(html, "p");
    spl_html_open(html, "button");
    spl_html_attr(html, "type", "submit");
    spl_html_text(html, button);
    spl_html_close(html, "button");
    spl_html_close(html, "p");
}

void spl_form_ask(struct spl_html *html, const char *path, const char *what,
                  const struct spl_reading *reading, const char *button)
{
    const char *parts[] = {path, NULL};

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/", parts, NULL);
    spl_form_hidden(html, "what", what);
    spl_form_fields(html, what, reading, NULL);
    put_button(html, button);
    spl_html_close(html, "form");
}

void spl_form_hidden(struct spl_html *html, const char *key, const char *value)
{
    if (value == NULL)
        return;
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "hidden");
    spl_html_attr(html, "name", key);
    spl_html_attr(html, "value", value);
}

void spl_form_begin(struct spl_html *html, const char *act)
{
    const char *parts[] = {act, NULL};
    g_autofree char *form = spl_uuid_new();

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/act", parts, NULL);
    spl_form_hidden(html, "form", form);
}

void spl_form_tick(struct spl_html *html, const char *key, const char *code, const char *word,
                   const char *what, const char *but)
{
    g_autofree char *value = g_strdup_printf("%s %s", code, word);

    spl_html_open(html, "p");
    spl_html_open(html, "label");
    spl_html_attr(html, "class", "tick");
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "checkbox");
    spl_html_attr(html, "name", key);
    spl_html_attr(html, "value", value);
    spl_html_flag(html, "checked", TRUE);
    spl_html_printf(html, " %s %s, %s", word, code, what);
    spl_html_close(html, "label");
    if (but != NULL) {
        g_autofree char *words = g_strdup_printf("All but %s", code);

        spl_html_text(html, " ");
        spl_form_button(html, but, value, words);
    }
    spl_html_close(html, "p");
}

void spl_form_line(struct spl_html *html, const char *id, const char *key, const char *label,
                   const char *value)
{
    spl_html_open(html, "p");
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_text(html, label);
    spl_html_close(html, "label");
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "text");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "name", key);
    spl_html_attr(html, "autocomplete", "off");
    spl_html_attr(html, "value", value);
    spl_html_close(html, "p");
}

void spl_form_button(struct spl_html *html, const char *key, const char *value, const char *button)
{
    spl_html_open(html, "button");
    spl_html_attr(html, "type", "submit");
    spl_html_attr(html, "name", key);
    spl_html_attr(html, "value", value);
    spl_html_attr(html, "class", "small");
    spl_html_text(html, button);
    spl_html_close(html, "button");
}

void spl_form_send(struct spl_html *html, const char *button)
{
    put_button(html, button);
}

void spl_form_close(struct spl_html *html)
{
    spl_html_close(html, "form");
}

void spl_form_end(struct spl_html *html, const char *button)
{
    put_button(html, button);
    spl_form_close(html);
}

void spl_form_renew(char *page)
{
    /* As spl_form_hidden writes it; in a text the quotes would be escaped. */
    static const char before[] = "name=\"form\" value=\"";

    for (char *at = page; (at = strstr(at, before)) != NULL;) {
        g_autofree char *form = spl_uuid_new();

        at += strlen(before);
        memcpy(at, form, MIN(strlen(form), strlen(at)));
    }
}
