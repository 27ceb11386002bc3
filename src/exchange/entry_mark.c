/* SPDX-License-Identifier: MIT
 *
 * Marks of what we wrote. See exchange/entry_mark.h.
 */
#include "exchange/entry_mark.h"

#include <string.h>

guint32 spl_text_mark(const char *text, guint *length)
{
    guint32 mark = 2166136261U; /* offset and prime of Fowler, Noll and Vo */
    guint count = 0;

    for (const guchar *at = (const guchar *)text; at != NULL && *at != '\0'; at++) {
        if (*at == ' ' || (*at >= '\t' && *at <= '\r'))
            continue;
        mark = (mark ^ *at) * 16777619U;
        count++;
    }
    if (length != NULL)
        *length = count;
    return mark;
}

/* "1f", then `end`. */
static char *put_hex(char *at, guint32 number, char end)
{
    int digits = 1;

    while (digits < 8 && number >> (4 * digits) != 0)
        digits++;
    for (int i = digits - 1; i >= 0; i--)
        *at++ = "0123456789abcdef"[number >> (4 * i) & 15];
    *at++ = end;
    return at;
}

/* Each entry that is written has one. */
void spl_entry_mark_format(const struct spl_entry_mark *mark, char text[SPL_ENTRY_MARK_SIZE])
{
    char *at = put_hex(text, mark->title, '-');

    at = put_hex(put_hex(at, mark->own, '.'), mark->own_length, '-');
    at = put_hex(put_hex(put_hex(at, mark->note, '-'), mark->category, '-'), mark->alarms, '-');
    if (mark->start_min < 0)
        memcpy(at, "day", sizeof "day");
    else
        g_snprintf(at, 24, "%d.%d", mark->start_min, mark->end_min);
}

/* A number in digits of the base, at most `most`, and what stands behind it; FALSE when it is none.
 */
static gboolean take_number(const char **at, guint base, char behind, guint64 most, guint64 *value)
{
    char *end;

    if (!(base == 16 ? g_ascii_isxdigit(**at) : g_ascii_isdigit(**at)))
        return FALSE;
    *value = g_ascii_strtoull(*at, &end, base);
    if (*value > most || *end != behind)
        return FALSE;
    *at = end + 1;
    return TRUE;
}

static gboolean take_hex(const char **at, char behind, guint32 *value)
{
    guint64 number;
    gboolean ok = take_number(at, 16, behind, G_MAXUINT32, &number);

    if (ok)
        *value = (guint32)number;
    return ok;
}

/* Minutes of a day. */
static gboolean take_minutes(const char **at, char behind, guint64 most, int *minutes)
{
    guint64 number;
    gboolean ok = take_number(at, 10, behind, most, &number);

    if (ok)
        *minutes = (int)number;
    return ok;
}

gboolean spl_entry_mark_parse(const char *text, struct spl_entry_mark *mark)
{
    const char *at = text;
    guint32 length;

    if (text == NULL || !take_hex(&at, '-', &mark->title) || !take_hex(&at, '.', &mark->own) ||
        !take_hex(&at, '-', &length) || !take_hex(&at, '-', &mark->note) ||
        !take_hex(&at, '-', &mark->category) || !take_hex(&at, '-', &mark->alarms))
        return FALSE;
    mark->own_length = length;
    mark->start_min = mark->end_min = -1;
    if (strcmp(at, "day") == 0)
        return TRUE;
    return take_minutes(&at, '.', 24 * 60 - 1, &mark->start_min) &&
           take_minutes(&at, '\0', 24 * 60, &mark->end_min);
}

/* Behind the first `count` letters that are no blanks; NULL: there are fewer. */
static const char *after_letters(const char *text, guint count)
{
    for (; count > 0; text++) {
        if (*text == '\0')
            return NULL;
        if (!g_ascii_isspace(*text) && *text != '\v')
            count--;
    }
    return text;
}

/* The text up to `end`; TRUE when it is just our own. */
static gboolean is_own(const struct spl_entry_mark *mark, const char *text, gsize size)
{
    g_autofree char *part = g_strndup(text, size);
    guint length;

    return spl_text_mark(part, &length) == mark->own && length == mark->own_length;
}

static char *stripped(const char *text, gsize size)
{
    char *part = g_strstrip(g_strndup(text, size));

    if (*part == '\0')
        g_clear_pointer(&part, g_free);
    return part;
}

/* The beginning of the line "Your note:", NULL: there is none. */
static const char *note_line(const char *text)
{
    const char *found = text;

    while ((found = strstr(found, SPL_ENTRY_NOTE_LINE)) != NULL) {
        if (found == text || found[-1] == '\n')
            return found;
        found++;
    }
    return NULL;
}

char *spl_entry_mark_note(const struct spl_entry_mark *mark, const char *text, gboolean *whole)
{
    const char *note, *end;
    guint letters;

    *whole = FALSE;
    if (text == NULL)
        return NULL;
    note = note_line(text);
    if (note != NULL && is_own(mark, text, (gsize)(note - text)))
        return stripped(note + strlen(SPL_ENTRY_NOTE_LINE),
                        strlen(note) - strlen(SPL_ENTRY_NOTE_LINE));
    end = after_letters(text, mark->own_length);
    if (end != NULL && is_own(mark, text, (gsize)(end - text)))
        return stripped(end, strlen(end));
    (void)spl_text_mark(text, &letters);
    if (letters > mark->own_length) {
        const char *own = after_letters(text, letters - mark->own_length);

        if (is_own(mark, own, strlen(own)))
            return stripped(text, (gsize)(own - text));
    }
    *whole = TRUE;
    return stripped(text, strlen(text));
}
