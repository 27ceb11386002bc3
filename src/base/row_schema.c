/* SPDX-License-Identifier: MIT
 *
 * The JSON schema of what the row writer writes. See simpling/row.h.
 */
#include <jansson.h>
#include <stdlib.h>

#include "simpling/row.h"

static json_t *shape_schema(const struct spl_shape *shape);

static json_t *field_schema(const struct spl_field *field)
{
    json_t *schema = NULL;

    switch (field->kind) {
    case SPL_TEXT:
    case SPL_WORD:
        schema = json_pack("{s:[s,s]}", "type", "string", "null");
        break;
    case SPL_INT:
    case SPL_LONG:
        schema = json_pack("{s:s}", "type", "integer");
        break;
    case SPL_NUM:
        schema = json_pack("{s:[s,s]}", "type", "number", "null");
        break;
    case SPL_BOOL:
        schema = json_pack("{s:s}", "type", "boolean");
        break;
    case SPL_DAY:
        schema = json_pack("{s:[s,s],s:s}", "type", "string", "null", "format", "date");
        break;
    case SPL_TEXTS:
        schema = json_pack("{s:s,s:{s:s}}", "type", "array", "items", "type", "string");
        break;
    case SPL_LIST:
        schema = json_pack("{s:s,s:o}", "type", "array", "items", shape_schema(field->inner));
        break;
    case SPL_ONE:
        schema = json_pack("{s:[{s:s},o]}", "anyOf", "type", "null", shape_schema(field->inner));
        break;
    }
    if (field->about != NULL)
        json_object_set_new(schema, "description", json_string(field->about));
    return schema;
}

static json_t *shape_schema(const struct spl_shape *shape)
{
    json_t *properties = json_object(), *required = json_array();

    for (gsize i = 0; i < shape->n_fields; i++) {
        if (shape->fields[i].key == NULL)
            continue;
        json_object_set_new(properties, shape->fields[i].key, field_schema(&shape->fields[i]));
        if (!shape->fields[i].if_known)
            json_array_append_new(required, json_string(shape->fields[i].key));
    }
    return json_pack("{s:s,s:s,s:o,s:o,s:b}", "title", shape->name, "type", "object", "properties",
                     properties, "required", required, "additionalProperties", 0);
}

static json_t *document_schema(const struct spl_shape *shape, gboolean array)
{
    json_t *schema = shape_schema(shape);

    return array ? json_pack("{s:s,s:o}", "type", "array", "items", schema) : schema;
}

char *spl_shape_schema(const struct spl_shape *shape, gboolean array, const struct spl_shape *other)
{
    json_t *schema = document_schema(shape, array), *whole;
    char *dumped, *text;

    if (other != NULL)
        schema = json_pack("{s:[o,o]}", "anyOf", schema, document_schema(other, TRUE));
    whole = json_pack("{s:s}", "$schema", "https://json-schema.org/draft/2020-12/schema");
    json_object_update(whole, schema);
    json_decref(schema);
    dumped = json_dumps(whole, JSON_INDENT(2));
    json_decref(whole);
    text = g_strconcat(dumped, "\n", NULL);
    free(dumped);
    return text;
}
