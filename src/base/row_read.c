/* SPDX-License-Identifier: MIT
 *
 * Records from the JSON that the row writer keeps: the way back of spl_list_json. See
 * simpling/row.h.
 */
#include <jansson.h>
#include <math.h>

#include "simpling/row.h"

static void read_record(const struct spl_shape *shape, const json_t *json, gpointer record);

static GArray *read_list(const struct spl_shape *shape, const json_t *json)
{
    GArray *list = spl_list_new(shape);

    for (gsize i = 0; i < json_array_size(json); i++) {
        g_array_set_size(list, list->len + 1);
        read_record(shape, json_array_get(json, i),
                    list->data + (gsize)(list->len - 1) * shape->size);
    }
    return list;
}

static void read_field(const struct spl_field *field, const json_t *json, gpointer at)
{
    switch (field->kind) {
    case SPL_TEXT:
        *(char **)at = g_strdup(json_string_value(json));
        break;
    case SPL_WORD:
        *(unsigned *)at = (unsigned)MAX(spl_word_value(field->names, json_string_value(json)), 0);
        break;
    case SPL_INT:
        *(int *)at = (int)json_integer_value(json);
        break;
    case SPL_LONG:
        *(gint64 *)at = json_integer_value(json);
        break;
    case SPL_NUM:
        *(double *)at = json_is_number(json) ? json_number_value(json) : (double)NAN;
        break;
    case SPL_BOOL:
        *(gboolean *)at = json_is_true(json);
        break;
    case SPL_DAY:
        *(struct spl_day *)at = SPL_DAY_NONE;
        if (json_is_string(json))
            (void)spl_day_parse(json_string_value(json), "", at, NULL);
        break;
    case SPL_TEXTS: {
        GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);

        for (gsize i = 0; i < json_array_size(json); i++)
            g_ptr_array_add(texts, g_strdup(json_string_value(json_array_get(json, i))));
        *(GPtrArray **)at = texts;
        break;
    }
    case SPL_LIST:
        *(GArray **)at = read_list(field->inner, json);
        break;
    case SPL_ONE:
        if (!json_is_object(json))
            break;
        *(gpointer *)at = g_malloc0(field->inner->size);
        read_record(field->inner, json, *(gpointer *)at);
        break;
    }
}

static void read_record(const struct spl_shape *shape, const json_t *json, gpointer record)
{
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (field->key != NULL)
            read_field(field, json_object_get(json, field->key), (char *)record + field->offset);
    }
}

GArray *spl_list_read_json(const struct spl_shape *shape, const char *text)
{
    json_t *json = text != NULL ? json_loads(text, 0, NULL) : NULL;
    GArray *list = read_list(shape, json);

    json_decref(json);
    return list;
}
