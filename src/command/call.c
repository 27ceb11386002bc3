/* SPDX-License-Identifier: MIT
 *
 * What a command does with its call: reading options, printing results. See command/command.h.
 */
#include <string.h>

#include "base/layout.h"
#include "command/command.h"

const GPtrArray *spl_call_all(const struct spl_call *call, const char *option)
{
    static GPtrArray *none; /* one for the life of the program */
    const GPtrArray *values = g_hash_table_lookup(call->values, option);

    if (values != NULL)
        return values;
    if (none == NULL)
        none = g_ptr_array_new();
    return none;
}

const char *spl_call_get(const struct spl_call *call, const char *option)
{
    const GPtrArray *values = spl_call_all(call, option);

    return values->len > 0 ? g_ptr_array_index(values, 0) : NULL;
}

gboolean spl_call_has(const struct spl_call *call, const char *option)
{
    return spl_call_get(call, option) != NULL;
}

/* Keeps the record's code, if it has one: should printing fail, the person must know it. */
static void note_code(struct spl_call *call, const struct spl_shape *shape, const void *record)
{
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (field->kind != SPL_TEXT || g_strcmp0(field->key, "code") != 0)
            continue;
        g_free(call->reported);
        call->reported = g_strdup(*(char *const *)((const char *)record + field->offset));
    }
}

int spl_call_print(struct spl_call *call, const void *record)
{
    const struct spl_shape *shape = call->command->shape;

    note_code(call, shape, record);
    if (call->json)
        spl_record_write_json(shape, record, call->out);
    else
        spl_record_write_lines(shape, record, call->width, call->out);
    return 0;
}

int spl_call_tell(struct spl_call *call, void *record, GPtrArray *cautions)
{
    spl_call_print(call, record);
    if (cautions != NULL) {
        spl_call_caution(call, cautions);
        g_ptr_array_unref(cautions);
    }
    spl_record_clear(call->command->shape, record);
    return 0;
}

int spl_call_tell_held(struct spl_call *call, void *record, const GArray *because)
{
    spl_call_print(call, record);
    spl_call_tell_causes(call, because);
    spl_record_clear(call->command->shape, record);
    return 0;
}

int spl_call_print_list(struct spl_call *call, const GArray *list, const char *empty)
{
    const struct spl_shape *shape = call->command->shape;

    if (call->json)
        spl_list_write_json(shape, list, call->out);
    else if (list->len == 0)
        fprintf(call->out, "%s\n", empty);
    else
        spl_list_write_table(shape, list, call->width, call->out);
    return 0;
}

/* Streams ---------------------------------------------------------------------------------------
 *
 * A table needs all its lines to align; one of this many aligns well enough and bounds memory. */
#define CHUNK 200

void spl_call_stream_begin(struct spl_call_stream *stream, struct spl_call *call)
{
    spl_call_stream_begin_as(stream, call, call->command->shape);
}

void spl_call_stream_begin_as(struct spl_call_stream *stream, struct spl_call *call,
                              const struct spl_shape *shape)
{
    *stream = (struct spl_call_stream){.call = call, .shape = shape};
    if (!call->json)
        stream->chunk = spl_list_new(stream->shape);
}

/* The bracket comes with the first item, or at the end: a list that fails before leaves nothing. */
static void begin_array(struct spl_call_stream *stream)
{
    if (!stream->any)
        spl_json_array_begin(&stream->array, stream->shape, stream->call->out);
}

static void write_chunk(struct spl_call_stream *stream)
{
    spl_list_write_table(stream->shape, stream->chunk, stream->call->width, stream->call->out);
    spl_list_free(stream->shape, stream->chunk);
    stream->chunk = spl_list_new(stream->shape);
}

gboolean spl_call_stream_item(struct spl_call_stream *stream, const void *record, GError **error)
{
    (void)error;
    if (stream->call->json)
        begin_array(stream);
    stream->any = TRUE;
    if (stream->call->json)
        return spl_json_array_item(&stream->array, record);
    g_array_set_size(stream->chunk, stream->chunk->len + 1);
    spl_record_copy(stream->shape, record,
                    stream->chunk->data + (gsize)(stream->chunk->len - 1) * stream->shape->size);
    if (stream->chunk->len == CHUNK)
        write_chunk(stream);
    return TRUE;
}

int spl_call_stream_end(struct spl_call_stream *stream, const char *empty)
{
    if (stream->call->json) {
        begin_array(stream);
        spl_json_array_end(&stream->array);
        return 0;
    }
    if (stream->chunk->len > 0)
        write_chunk(stream);
    spl_list_free(stream->shape, stream->chunk);
    if (!stream->any && empty != NULL)
        fprintf(stream->call->out, "%s\n", empty);
    return 0;
}

void spl_call_say(const char *lead, const char *text, int width, FILE *out)
{
    g_autofree char *whole = g_strconcat(lead, text, NULL);

    spl_text_print_folded(whole, *lead != '\0' ? 2 : 0, width, out);
}

char *spl_call_short_day(struct spl_day day)
{
    g_autofree char *words = spl_day_words(day);
    g_auto(GStrv) parts = g_strsplit(words, " ", 3);

    if (g_strv_length(parts) < 2)
        return g_strdup("");
    return g_strdup_printf("%s %.3s", parts[0], parts[1]);
}

char *spl_call_short_span(const struct spl_call *call, struct spl_day first, struct spl_day last)
{
    g_autofree char *from = spl_call_short_day(first), *to = spl_call_short_day(last);
    g_autofree char *span = g_strdup_printf("%s to %s", from, to);
    g_auto(GStrv) words = g_strsplit(span, " ", -1);

    /* U+00A0 keeps it on one line of a folded table. */
    return g_strjoinv(call->width > 0 ? "\xc2\xa0" : " ", words);
}

static gboolean is_kept(const GPtrArray *kept, const char *caution)
{
    return g_ptr_array_find_with_equal_func((GPtrArray *)kept, caution, g_str_equal, NULL);
}

void spl_call_caution(struct spl_call *call, const GPtrArray *cautions)
{
    if (call->cautions == NULL)
        call->cautions = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; cautions != NULL && i < cautions->len; i++) {
        if (!is_kept(call->cautions, g_ptr_array_index(cautions, i)))
            g_ptr_array_add(call->cautions, g_strdup(g_ptr_array_index(cautions, i)));
    }
}

void spl_call_tell_cautions(struct spl_call *call)
{
    for (guint i = 0; call->cautions != NULL && i < call->cautions->len; i++)
        spl_call_say("caution: ", g_ptr_array_index(call->cautions, i), call->width, stderr);
    g_clear_pointer(&call->cautions, g_ptr_array_unref);
}

void spl_call_touched(const char *words, const GPtrArray *lines)
{
    if (lines == NULL || lines->len == 0)
        return;
    fprintf(stderr, "simpling: %s; look at each with 'trace':\n", words);
    for (guint i = 0; i < lines->len; i++)
        fprintf(stderr, "  %s\n", (char *)g_ptr_array_index(lines, i));
}
