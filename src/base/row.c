/* SPDX-License-Identifier: MIT
 *
 * The row writer: walks a struct by its table of fields. JSON through jansson, tables through
 * base/layout.h. See simpling/row.h.
 */
#include "simpling/row.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/layout.h"
#include "base/row_line.h"
#include "base/text.h"
#include "simpling/customs.h"

static gpointer member(const struct spl_field *field, gconstpointer record)
{
    return (char *)(guintptr)record + field->offset;
}

int spl_word_value(const char *const *names, const char *name)
{
    for (int i = 0; name != NULL && names[i] != NULL; i++) {
        if (strcmp(names[i], name) == 0)
            return i;
    }
    return -1;
}

/* Enums are unsigned ints here as everywhere; a value beyond the names has none, nor has one whose
 * name is empty. */
static const char *word_of(const struct spl_field *field, gconstpointer record)
{
    unsigned value = *(unsigned *)member(field, record);

    for (unsigned i = 0; field->names[i] != NULL; i++) {
        if (i == value)
            return *field->names[i] != '\0' ? field->names[i] : NULL;
    }
    return NULL;
}

GArray *spl_list_new(const struct spl_shape *shape)
{
    return g_array_new(FALSE, TRUE, (guint)shape->size);
}

static gpointer element(const struct spl_shape *shape, const GArray *list, guint i)
{
    return list->data + (gsize)i * shape->size;
}

void spl_list_free(const struct spl_shape *shape, GArray *list)
{
    if (list == NULL)
        return;
    for (guint i = 0; i < list->len; i++)
        spl_record_clear(shape, element(shape, list, i));
    g_array_unref(list);
}

void spl_record_clear(const struct spl_shape *shape, void *record)
{
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        gpointer *target = member(field, record);

        switch (field->kind) {
        case SPL_TEXT:
            g_free(*target);
            break;
        case SPL_TEXTS:
            g_clear_pointer((GPtrArray **)target, g_ptr_array_unref);
            break;
        case SPL_LIST:
            spl_list_free(field->inner, *target);
            break;
        case SPL_ONE:
            spl_record_free(field->inner, *target);
            break;
        case SPL_INT:
        case SPL_LONG:
        case SPL_NUM:
        case SPL_BOOL:
        case SPL_DAY:
        case SPL_WORD:
            break;
        }
    }
    memset(record, 0, shape->size);
}

static gboolean is_pointer(enum spl_kind kind)
{
    return kind == SPL_TEXT || kind == SPL_TEXTS || kind == SPL_LIST || kind == SPL_ONE;
}

void spl_record_copy(const struct spl_shape *shape, const void *record, void *copy)
{
    memcpy(copy, record, shape->size);
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        gpointer *target = member(field, copy);

        if (!is_pointer(field->kind) || *target == NULL)
            continue;
        switch (field->kind) {
        case SPL_TEXT:
            *target = g_strdup(*target);
            break;
        case SPL_TEXTS: {
            GPtrArray *texts = *target;
            GPtrArray *own = g_ptr_array_new_with_free_func(g_free);

            for (guint j = 0; j < texts->len; j++)
                g_ptr_array_add(own, g_strdup(g_ptr_array_index(texts, j)));
            *target = own;
            break;
        }
        case SPL_LIST:
            *target = spl_list_copy(field->inner, *target);
            break;
        case SPL_ONE: {
            gpointer own = g_malloc0(field->inner->size);

            spl_record_copy(field->inner, *target, own);
            *target = own;
            break;
        }
        case SPL_INT:
        case SPL_LONG:
        case SPL_NUM:
        case SPL_BOOL:
        case SPL_DAY:
        case SPL_WORD:
            break;
        }
    }
}

GArray *spl_list_copy(const struct spl_shape *shape, const GArray *list)
{
    GArray *own = spl_list_new(shape);

    g_array_set_size(own, list != NULL ? list->len : 0);
    for (guint i = 0; i < own->len; i++)
        spl_record_copy(shape, element(shape, list, i), element(shape, own, i));
    return own;
}

void spl_record_free(const struct spl_shape *shape, void *record)
{
    if (record == NULL)
        return;
    spl_record_clear(shape, record);
    g_free(record);
}

/* JSON ------------------------------------------------------------------------------------------
 */

static json_t *text_json(const char *text)
{
    g_autofree char *valid = NULL;

    if (text == NULL)
        return json_null();
    if (g_utf8_validate(text, -1, NULL))
        return json_string_nocheck(text);
    valid = g_utf8_make_valid(text, -1);
    return json_string(valid);
}

/* Rounded in decimal, so that 34.2 is written as 34.2; whole numbers without a point. */
static json_t *number_json(double number, int decimals)
{
    double scale = pow(10, decimals), rounded;

    if (!isfinite(number))
        return json_null();
    rounded = round(number * scale) / scale;
    if (decimals == 0 && fabs(rounded) < 9e15)
        return json_integer((json_int_t)rounded);
    return json_real(rounded == 0 ? 0 : rounded);
}

static json_t *record_json(const struct spl_shape *shape, gconstpointer record);

static json_t *field_json(const struct spl_field *field, gconstpointer record)
{
    gpointer at = member(field, record);
    json_t *array;

    switch (field->kind) {
    case SPL_TEXT:
        return text_json(*(char **)at);
    case SPL_WORD:
        return text_json(word_of(field, record));
    case SPL_INT:
        return json_integer(*(int *)at);
    case SPL_LONG:
        return json_integer(*(gint64 *)at);
    case SPL_NUM:
        return number_json(*(double *)at, field->decimals);
    case SPL_BOOL:
        return json_boolean(*(gboolean *)at);
    case SPL_DAY: {
        struct spl_day *day = at;
        char text[SPL_DAY_TEXT_SIZE];

        return spl_day_is_set(*day) ? json_string_nocheck(spl_day_format(*day, text)) : json_null();
    }
    case SPL_TEXTS: {
        GPtrArray *texts = *(GPtrArray **)at;

        array = json_array();
        for (guint i = 0; texts != NULL && i < texts->len; i++)
            json_array_append_new(array, text_json(g_ptr_array_index(texts, i)));
        return array;
    }
    case SPL_LIST: {
        GArray *list = *(GArray **)at;

        array = json_array();
        for (guint i = 0; list != NULL && i < list->len; i++)
            json_array_append_new(array, record_json(field->inner, element(field->inner, list, i)));
        return array;
    }
    case SPL_ONE: {
        gpointer one = *(gpointer *)at;

        return one != NULL ? record_json(field->inner, one) : json_null();
    }
    }
    return json_null();
}

static json_t *record_json(const struct spl_shape *shape, gconstpointer record)
{
    json_t *object = json_object();

    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (field->key != NULL && spl_row_is_known(field, record))
            json_object_set_new_nocheck(object, field->key, field_json(field, record));
    }
    return object;
}

static int write_piece(const char *buffer, size_t size, void *data)
{
    return fwrite(buffer, 1, size, data) == size ? 0 : -1;
}

gboolean spl_record_write_json(const struct spl_shape *shape, const void *record, FILE *out)
{
    json_t *object = record_json(shape, record);
    int failed =
        json_dump_callback(object, write_piece, out, JSON_INDENT(2) | JSON_REAL_PRECISION(15));

    json_decref(object);
    return failed == 0 && fputc('\n', out) != EOF;
}

void spl_json_array_begin(struct spl_json_array *array, const struct spl_shape *shape, FILE *out)
{
    *array = (struct spl_json_array){.shape = shape, .out = out};
    fputc('[', out);
}

gboolean spl_json_array_item(struct spl_json_array *array, const void *record)
{
    fputs(array->any ? ",\n " : "\n ", array->out);
    array->any = TRUE;
    return spl_row_write_line(array->shape, record, array->out);
}

gboolean spl_json_array_end(struct spl_json_array *array)
{
    fputs(array->any ? "\n]\n" : "]\n", array->out);
    return ferror(array->out) == 0;
}

gboolean spl_list_write_json(const struct spl_shape *shape, const GArray *list, FILE *out)
{
    struct spl_json_array array;

    spl_json_array_begin(&array, shape, out);
    for (guint i = 0; list != NULL && i < list->len; i++) {
        if (!spl_json_array_item(&array, element(shape, list, i)))
            return FALSE;
    }
    return spl_json_array_end(&array);
}

/* As one line; `json` is given up. */
static char *dump(json_t *json)
{
    char *dumped = json_dumps(json, JSON_COMPACT | JSON_REAL_PRECISION(15));
    char *text = g_strdup(dumped);

    json_decref(json);
    free(dumped);
    return text;
}

char *spl_record_json(const struct spl_shape *shape, const void *record)
{
    return dump(record_json(shape, record));
}

char *spl_list_json(const struct spl_shape *shape, const GArray *list)
{
    json_t *array = json_array();

    for (guint i = 0; list != NULL && i < list->len; i++)
        json_array_append_new(array, record_json(shape, element(shape, list, i)));
    return dump(array);
}

/* Tables ----------------------------------------------------------------------------------------
 */

static char *field_text(const struct spl_shape *shape, const struct spl_field *field,
                        gconstpointer record);

/* The first text of each inner record, joined: enough for a cell. */
static char *list_text(const struct spl_shape *inner, const GArray *list)
{
    GString *joined = g_string_new(NULL);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        g_autofree char *first = field_text(inner, &inner->fields[0], element(inner, list, i));

        g_string_append_printf(joined, "%s%s", i > 0 ? ", " : "", first);
    }
    return g_string_free(joined, FALSE);
}

/* What a key's last part says of its number: how people read it in customary units, and what
 * stands for the unit's sign in a heading that is nothing else. */
struct measure {
    const char *unit; /* "ml": of the keys "ml" and "left_ml", not of "kept_ml_per_ml" */
    const char *sign; /* in headings: "mL" */
    char *(*format)(double number);
    const char *word;
};

static const struct measure *measure_of(const char *key)
{
    static const struct measure measures[] = {
        {"g", "g", spl_mass_format, "weight"},
        {"grams", "g", spl_mass_format, "weight"},
        {"ml", "mL", spl_volume_format, "volume"},
        {"m", "m", spl_length_format, "distance"},
        {"m2", "m2", spl_area_format, "area"},
        {"km", "km", spl_distance_format, "distance"},
        {"c", "C", spl_temperature_format, "temperature"},
    };
    static const struct measure height = {"m", "m", spl_height_format, "height"};

    if (spl_customs()->print == SPL_UNITS_METRIC || key == NULL || strstr(key, "_per_") != NULL)
        return NULL;
    if (strcmp(key, "elevation_m") == 0)
        return &height;
    for (gsize i = 0; i < G_N_ELEMENTS(measures); i++) {
        const char *from = g_strrstr(key, measures[i].unit);

        if (from != NULL && strcmp(from, measures[i].unit) == 0 && (from == key || from[-1] == '_'))
            return &measures[i];
    }
    return NULL;
}

/* "g" or "mL", the record's own word for its figures; NULL: it has none. */
static const char *unit_of(const struct spl_shape *shape, gconstpointer record)
{
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (field->kind == SPL_TEXT && g_strcmp0(field->key, "unit") == 0)
            return *(char **)member(field, record);
    }
    return NULL;
}

static gboolean has_figures_by_unit(const struct spl_shape *shape)
{
    for (gsize i = 0; i < shape->n_fields; i++) {
        if (shape->fields[i].by_unit)
            return TRUE;
    }
    return FALSE;
}

/* Counted things ("jars") have the unit behind the number too. */
static char *by_unit_text(double number, int decimals, const char *unit)
{
    g_autofree char *plain = spl_number_format(number, decimals);

    if (g_strcmp0(unit, "g") == 0 || g_strcmp0(unit, "mL") == 0)
        return spl_amount_format(number, unit);
    return g_strdup_printf("%s %s", plain, unit != NULL ? unit : "");
}

static char *number_text(const struct spl_shape *shape, const struct spl_field *field,
                         gconstpointer record)
{
    const struct measure *measure = measure_of(field->key);
    double number = *(double *)member(field, record);

    if (!isfinite(number))
        return g_strdup("");
    if (field->by_unit && spl_customs()->print != SPL_UNITS_METRIC)
        return by_unit_text(number, field->decimals, unit_of(shape, record));
    return measure != NULL ? measure->format(number) : spl_number_format(number, field->decimals);
}

/* The heading, without the sign of a unit that stands in the cells. Free with g_free. */
static char *heading_of(const struct spl_field *field)
{
    const struct measure *measure = measure_of(field->key);
    g_auto(GStrv) words = NULL;
    GString *heading;

    if (measure == NULL || field->kind != SPL_NUM)
        return g_strdup(field->heading);
    words = g_strsplit(field->heading, " ", -1);
    heading = g_string_new(NULL);
    for (guint i = 0; words[i] != NULL; i++) {
        if (strcmp(words[i], measure->sign) != 0)
            g_string_append_printf(heading, "%s%s", heading->len > 0 ? " " : "", words[i]);
    }
    if (heading->len == 0)
        g_string_append(heading, measure->word);
    return g_string_free(heading, FALSE);
}

static char *field_text(const struct spl_shape *shape, const struct spl_field *field,
                        gconstpointer record)
{
    gpointer at = member(field, record);

    switch (field->kind) {
    case SPL_TEXT:
        return *(char **)at != NULL ? spl_text_scrub(*(char **)at, FALSE) : g_strdup("");
    case SPL_WORD: {
        const char *word = word_of(field, record);

        return g_strdup(word != NULL ? word : "");
    }
    case SPL_INT:
        return *(int *)at == 0 && field->none_is_0 ? g_strdup("")
                                                   : g_strdup_printf("%d", *(int *)at);
    case SPL_LONG:
        return g_strdup_printf("%" G_GINT64_FORMAT, *(gint64 *)at);
    case SPL_NUM:
        return number_text(shape, field, record);
    case SPL_BOOL:
        return g_strdup(*(gboolean *)at ? "yes" : "no");
    case SPL_DAY: {
        char text[SPL_DAY_TEXT_SIZE];

        return g_strdup(spl_day_format(*(struct spl_day *)at, text));
    }
    case SPL_TEXTS: {
        GPtrArray *texts = *(GPtrArray **)at;
        GString *joined = g_string_new(NULL);

        for (guint i = 0; texts != NULL && i < texts->len; i++) {
            g_autofree char *one = spl_text_scrub(g_ptr_array_index(texts, i), FALSE);

            g_string_append_printf(joined, "%s%s", i > 0 ? "; " : "", one);
        }
        return g_string_free(joined, FALSE);
    }
    case SPL_LIST:
        return list_text(field->inner, *(GArray **)at);
    case SPL_ONE: {
        gpointer one = *(gpointer *)at;

        return one != NULL ? field_text(field->inner, &field->inner->fields[0], one) : g_strdup("");
    }
    }
    return g_strdup("");
}

char *spl_field_text(const struct spl_shape *shape, const struct spl_field *field,
                     const void *record)
{
    return field_text(shape, field, record);
}

char *spl_field_heading(const struct spl_field *field)
{
    return heading_of(field);
}

static gboolean is_numeric(enum spl_kind kind)
{
    return kind == SPL_INT || kind == SPL_LONG || kind == SPL_NUM;
}

/* The record's word for its unit is said in the figures themselves where these are customary. */
static gboolean is_shown(const struct spl_shape *shape, const struct spl_field *field)
{
    return field->heading != NULL &&
           (spl_customs()->print == SPL_UNITS_METRIC || g_strcmp0(field->key, "unit") != 0 ||
            !has_figures_by_unit(shape));
}

static gboolean in_tables(const struct spl_shape *shape, const struct spl_field *field)
{
    return is_shown(shape, field) && !field->show_only;
}

gboolean spl_list_write_table(const struct spl_shape *shape, const GArray *list, int width,
                              FILE *out)
{
    g_autofree struct spl_grid_column *columns = g_new0(struct spl_grid_column, shape->n_fields);
    g_autoptr(GPtrArray) cells = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) headings = g_ptr_array_new_with_free_func(g_free);
    gsize n_columns = 0, n_rows = list != NULL ? list->len : 0;

    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (!in_tables(shape, field))
            continue;
        g_ptr_array_add(headings, heading_of(field));
        columns[n_columns] = (struct spl_grid_column){
            .heading = g_ptr_array_index(headings, n_columns),
            .right = is_numeric(field->kind),
            .whole = is_numeric(field->kind) || field->kind == SPL_DAY ||
                     strcmp(field->key, "code") == 0,
        };
        n_columns++;
    }
    for (guint row = 0; row < n_rows; row++) {
        for (gsize i = 0; i < shape->n_fields; i++) {
            if (in_tables(shape, &shape->fields[i]))
                g_ptr_array_add(cells,
                                field_text(shape, &shape->fields[i], element(shape, list, row)));
        }
    }
    return spl_grid_print(columns, n_columns, (const char *const *)cells->pdata, n_rows, width,
                          out);
}

/* The single values first, the lists below them, each as a table. */
gboolean spl_record_write_lines(const struct spl_shape *shape, const void *record, int width,
                                FILE *out)
{
    int widest = 0;

    for (gsize i = 0; i < shape->n_fields; i++) {
        g_autofree char *heading = NULL;

        if (!is_shown(shape, &shape->fields[i]) || shape->fields[i].kind == SPL_LIST)
            continue;
        heading = heading_of(&shape->fields[i]);
        widest = MAX(widest, spl_text_width(heading));
    }
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        g_autofree char *text = NULL, *heading = NULL;

        if (!is_shown(shape, field) || field->kind == SPL_LIST)
            continue;
        text = field_text(shape, field, record);
        if (*text == '\0')
            continue;
        heading = heading_of(field);
        fprintf(out, "%s%*s  ", heading, widest - spl_text_width(heading), "");
        spl_text_print_folded(text, widest + 2, width, out);
    }
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        const GArray *list;

        if (field->heading == NULL || field->kind != SPL_LIST)
            continue;
        list = *(GArray **)member(field, record);
        if (list == NULL || list->len == 0)
            continue;
        fprintf(out, "\n%s\n", field->heading);
        if (!spl_list_write_table(field->inner, list, width, out))
            return FALSE;
    }
    return ferror(out) == 0;
}
