/* SPDX-License-Identifier: MIT
 *
 * The JSON schema of what a table of inputs accepts. See simpling/input.h.
 */
#include <jansson.h>
#include <string.h>

#include "base/text.h"
#include "simpling/input.h"

static json_t *object_schema(const struct spl_inputs *inputs);

static json_t *list_schema(const struct spl_input *row)
{
    json_t *element = object_schema(row->item);

    /* An element that has a line may be said in it. */
    if (row->item->line != NULL || row->item->n == 1)
        element = json_pack("{s:[{s:s},o]}", "anyOf", "type", "string", element);
    return json_pack("{s:s,s:o}", "type", "array", "items", element);
}

static json_t *choice_schema(const struct spl_input *row)
{
    g_auto(GStrv) words = g_strsplit(row->words, " ", -1);
    json_t *list = json_array();

    for (guint i = 0; words[i] != NULL; i++)
        json_array_append_new(list, json_string(words[i]));
    return json_pack("{s:s,s:o}", "type", "string", "enum", list);
}

static json_t *row_schema(const struct spl_input *row)
{
    const char *value = spl_input_value(row);
    json_t *schema;

    switch (row->kind) {
    case SPL_INPUT_FLAG:
    case SPL_INPUT_YES:
        schema = json_pack("{s:s}", "type", "boolean");
        break;
    case SPL_INPUT_LIST:
        schema = list_schema(row);
        break;
    case SPL_INPUT_CHOICE:
        schema = choice_schema(row);
        break;
    case SPL_INPUT_NAME:
        schema = json_pack("{s:s,s:i}", "type", "string", "maxLength",
                           row->joins ? SPL_REMARK_MAX : SPL_NAME_MAX);
        break;
    case SPL_INPUT_TEXT:
        schema = json_pack("{s:s,s:i}", "type", "string", "maxLength",
                           row->max > 0 ? (int)row->max : SPL_REMARK_MAX);
        break;
    default:
        schema = json_pack("{s:s}", "type", "string");
        break;
    }
    json_object_set_new(schema, "description", json_string(row->help));
    if (value != NULL && row->kind != SPL_INPUT_LIST && row->kind != SPL_INPUT_CHOICE)
        json_object_set_new(schema, "title", json_string(value));
    return schema;
}

static json_t *required(const char *key)
{
    return json_pack("{s:[s]}", "required", key);
}

/* A rule as a schema; NULL for those about members of a list, which only the check knows. */
static json_t *rule_schema(const struct spl_rule *rule)
{
    json_t *some = json_array(), *pairs = json_array(), *all = json_array();
    guint n = 0;

    for (; n < G_N_ELEMENTS(rule->keys) && rule->keys[n] != NULL; n++) {
        if (strchr(rule->keys[n], '.') != NULL)
            break;
        if (n > 0 || rule->kind != SPL_RULE_WITH)
            json_array_append_new(some, required(rule->keys[n]));
        for (guint i = 0; i < n; i++)
            json_array_append_new(
                pairs, json_pack("{s:{s:[s,s]}}", "not", "required", rule->keys[i], rule->keys[n]));
    }
    if (n == G_N_ELEMENTS(rule->keys) || rule->keys[n] == NULL) {
        if (rule->kind == SPL_RULE_WITH)
            json_array_append_new(all, json_pack("{s:o,s:{s:O}}", "if", required(rule->keys[0]),
                                                 "then", "anyOf", some));
        if (rule->kind == SPL_RULE_SOME || rule->kind == SPL_RULE_ONE)
            json_array_append_new(all, json_pack("{s:O}", "anyOf", some));
        if (rule->kind == SPL_RULE_MOST || rule->kind == SPL_RULE_ONE)
            json_array_extend(all, pairs);
    }
    json_decref(some);
    json_decref(pairs);
    return all;
}

static json_t *object_schema(const struct spl_inputs *inputs)
{
    json_t *properties = json_object(), *needed = json_array(), *rules = json_array(), *schema;

    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];

        json_object_set_new(properties, row->key, row_schema(row));
        if (row->needed)
            json_array_append_new(needed, json_string(row->key));
    }
    for (gsize i = 0; i < inputs->n_rules; i++) {
        json_t *rule = rule_schema(&inputs->rules[i]);

        json_array_extend(rules, rule);
        json_decref(rule);
    }
    schema = json_pack("{s:s,s:s,s:o,s:o,s:b}", "title", inputs->name, "type", "object",
                       "properties", properties, "required", needed, "additionalProperties", 0);
    if (json_array_size(rules) > 0)
        json_object_set(schema, "allOf", rules);
    json_decref(rules);
    return schema;
}

char *spl_inputs_schema(const struct spl_inputs *inputs)
{
    json_t *whole = json_pack("{s:s}", "$schema", "https://json-schema.org/draft/2020-12/schema");
    json_t *schema = object_schema(inputs);
    char *dumped, *text;

    json_object_update(whole, schema);
    json_decref(schema);
    dumped = json_dumps(whole, JSON_INDENT(2));
    json_decref(whole);
    text = g_strconcat(dumped, "\n", NULL);
    free(dumped);
    return text;
}
