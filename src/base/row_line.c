/* SPDX-License-Identifier: MIT
 *
 * Records as lines of JSON (RFC 8259). See base/row_line.h.
 */
#include "base/row_line.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* Small parts are put together before the file is asked. */
struct line {
    FILE *out;
    size_t n;
    gboolean failed;
    char room[4096];
};

static void flush(struct line *line)
{
    line->failed |= fwrite(line->room, 1, line->n, line->out) != line->n;
    line->n = 0;
}

static void put(struct line *line, const char *text, size_t size)
{
    if (size > sizeof line->room - line->n)
        flush(line);
    if (size > sizeof line->room) {
        line->failed |= fwrite(text, 1, size, line->out) != size;
        return;
    }
    memcpy(line->room + line->n, text, size);
    line->n += size;
}

static void put_word(struct line *line, const char *word)
{
    put(line, word, strlen(word));
}

/* A sign that cannot stand in a string as it is. */
static void put_escaped(struct line *line, char sign)
{
    static const char from[] = "\"\\\b\f\n\r\t", to[] = "\"\\bfnrt";
    const char *at = strchr(from, sign);
    char text[8];

    if (at != NULL)
        g_snprintf(text, sizeof text, "\\%c", to[at - from]);
    else
        g_snprintf(text, sizeof text, "\\u%04X", (unsigned)sign);
    put_word(line, text);
}

static void put_text(struct line *line, const char *text)
{
    g_autofree char *valid = NULL;

    if (text == NULL) {
        put_word(line, "null");
        return;
    }
    if (!g_utf8_validate(text, -1, NULL))
        text = valid = g_utf8_make_valid(text, -1);
    put_word(line, "\"");
    for (;;) {
        const char *from = text;

        while ((guchar)*text >= 0x20 && *text != '"' && *text != '\\')
            text++;
        put(line, from, (size_t)(text - from));
        if (*text == '\0')
            break;
        put_escaped(line, *text++);
    }
    put_word(line, "\"");
}

/* Most figures are whole: their digits are written without the library's formats. */
static void put_whole(struct line *line, gint64 number)
{
    guint64 rest = number < 0 ? 0 - (guint64)number : (guint64)number;
    char text[20], *at = text + sizeof text; /* 19 digits and a sign */

    do {
        *--at = (char)('0' + rest % 10);
        rest /= 10;
    } while (rest > 0);
    if (number < 0)
        *--at = '-';
    put(line, at, (size_t)(text + sizeof text - at));
}

/* Rounded in decimal, as row.c does. */
static void put_number(struct line *line, double number, int decimals)
{
    double scale = pow(10, decimals), rounded = round(number * scale) / scale;
    char text[G_ASCII_DTOSTR_BUF_SIZE];

    if (!isfinite(number)) {
        put_word(line, "null");
        return;
    }
    if (decimals == 0 && fabs(rounded) < 9e15) {
        put_whole(line, (gint64)rounded);
        return;
    }
    if (fabs(rounded) < 1e15 && rounded == trunc(rounded)) { /* below, "%.15g" has no exponent */
        put_whole(line, (gint64)rounded);
        put_word(line, ".0");
        return;
    }
    g_ascii_formatd(text, sizeof text, "%.15g", rounded);
    if (strchr(text, 'e') != NULL) { /* far too large or small to be usual: the library's way */
        json_t *real = json_real(rounded);
        size_t n = json_dumpb(real, text, sizeof text, JSON_ENCODE_ANY | JSON_REAL_PRECISION(15));

        put(line, text, MIN(n, sizeof text));
        json_decref(real);
        return;
    }
    put_word(line, text);
    if (strchr(text, '.') == NULL)
        put_word(line, ".0");
}

static void put_record(struct line *line, const struct spl_shape *shape, gconstpointer record);

static void put_field(struct line *line, const struct spl_field *field, gconstpointer at)
{
    char text[SPL_DAY_TEXT_SIZE];

    switch (field->kind) {
    case SPL_TEXT:
        put_text(line, *(char *const *)at);
        break;
    case SPL_WORD: {
        unsigned value = *(const unsigned *)at, i = 0;

        while (i < value && field->names[i] != NULL)
            i++;
        put_text(line,
                 field->names[i] != NULL && *field->names[i] != '\0' ? field->names[i] : NULL);
        break;
    }
    case SPL_INT:
        put_whole(line, *(const int *)at);
        break;
    case SPL_LONG:
        put_whole(line, *(const gint64 *)at);
        break;
    case SPL_NUM:
        put_number(line, *(const double *)at, field->decimals);
        break;
    case SPL_BOOL:
        put_word(line, *(const gboolean *)at ? "true" : "false");
        break;
    case SPL_DAY: {
        struct spl_day day = *(const struct spl_day *)at;

        put_text(line, spl_day_is_set(day) ? spl_day_format(day, text) : NULL);
        break;
    }
    case SPL_TEXTS: {
        const GPtrArray *texts = *(GPtrArray *const *)at;

        put_word(line, "[");
        for (guint i = 0; texts != NULL && i < texts->len; i++) {
            put_word(line, i > 0 ? "," : "");
            put_text(line, g_ptr_array_index(texts, i));
        }
        put_word(line, "]");
        break;
    }
    case SPL_LIST: {
        const GArray *list = *(GArray *const *)at;

        put_word(line, "[");
        for (guint i = 0; list != NULL && i < list->len; i++) {
            put_word(line, i > 0 ? "," : "");
            put_record(line, field->inner, list->data + (gsize)i * field->inner->size);
        }
        put_word(line, "]");
        break;
    }
    case SPL_ONE: {
        gconstpointer one = *(gconstpointer const *)at;

        if (one != NULL)
            put_record(line, field->inner, one);
        else
            put_word(line, "null");
        break;
    }
    }
}

gboolean spl_row_is_known(const struct spl_field *field, const void *record)
{
    const void *at = (const char *)record + field->offset;

    return !field->if_known || *(gconstpointer const *)at != NULL;
}

static void put_record(struct line *line, const struct spl_shape *shape, gconstpointer record)
{
    gboolean any = FALSE;

    put_word(line, "{");
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (field->key == NULL || !spl_row_is_known(field, record))
            continue;
        put_word(line, any ? ",\"" : "\"");
        put_word(line, field->key); /* keys are plain words */
        put_word(line, "\":");
        put_field(line, field, (const char *)record + field->offset);
        any = TRUE;
    }
    put_word(line, "}");
}

gboolean spl_row_write_line(const struct spl_shape *shape, const void *record, FILE *out)
{
    struct line line;

    line.out = out;
    line.n = 0; /* the room need not be cleared */
    line.failed = FALSE;
    put_record(&line, shape, record);
    flush(&line);
    return !line.failed;
}
