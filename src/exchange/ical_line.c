/* SPDX-License-Identifier: MIT
 *
 * Content lines. See ical_line.h.
 */
#include "exchange/ical_line.h"

#include <string.h>

#define LINE_MOST 75 /* octets without the line break; one of a folded line is its space */
#define DAY_SECONDS (24 * 60 * 60)

/* Where the line that begins at `text` with `left` octets must end: after a blank, semicolon or
 * colon if there is one, else between two characters. */
static gsize fold_at(const char *text, gsize left)
{
    gsize at;

    if (left < LINE_MOST - 2)
        return left;
    for (at = MIN(left, LINE_MOST - 1) - 1; at > 0; at--)
        if (text[at] == ' ' || text[at] == ';' || text[at] == ':')
            return at + 1;
    if (left < LINE_MOST)
        return left;
    for (at = LINE_MOST - 1; at > 0; at--)
        if (((guchar)text[at] & 0xc0) != 0x80)
            return at;
    return LINE_MOST - 1;
}

/* Folds what stands in `out` from `start` on, and ends the line. */
static void end_line(GString *out, gsize start)
{
    gsize left = out->len - start, part = fold_at(out->str + start, left);

    if (part < left) {
        g_autofree char *line = g_strdup(out->str + start);
        const char *at = line;

        g_string_truncate(out, start);
        while (part < left) {
            g_string_append_len(out, at, (gssize)part);
            g_string_append_len(out, "\r\n ", 3);
            at += part;
            left -= part;
            part = fold_at(at, left);
        }
        g_string_append_len(out, at, (gssize)left);
    }
    g_string_append_len(out, "\r\n", 2);
}

static gsize begin_line(GString *out, const char *name)
{
    gsize start = out->len;

    g_string_append(out, name);
    g_string_append_c(out, ':');
    return start;
}

void spl_ical_line_raw(GString *out, const char *name, const char *value)
{
    gsize start = begin_line(out, name);

    g_string_append(out, value);
    end_line(out, start);
}

void spl_ical_line_text(GString *out, const char *name, const char *value)
{
    gsize start = begin_line(out, name);

    for (;;) {
        gsize plain = strcspn(value, "\\;,\n");

        g_string_append_len(out, value, (gssize)plain);
        value += plain;
        if (*value == '\0')
            break;
        g_string_append_c(out, '\\');
        g_string_append_c(out, *value == '\n' ? 'n' : *value);
        value++;
    }
    end_line(out, start);
}

/* `count` digits of a number that has no more. */
static char *put_digits(char *at, int number, int count)
{
    for (int i = count - 1; i >= 0; i--) {
        at[i] = (char)('0' + number % 10);
        number /= 10;
    }
    return at + count;
}

static char *put_day(char *at, struct spl_day day)
{
    int year, month, date;

    spl_day_to_ymd(day, &year, &month, &date);
    return put_digits(put_digits(put_digits(at, year, 4), month, 2), date, 2);
}

void spl_ical_line_date(GString *out, const char *name, struct spl_day day)
{
    gsize start = out->len;
    char text[8];

    put_day(text, day);
    g_string_append(out, name);
    g_string_append(out, ";VALUE=DATE:");
    g_string_append_len(out, text, sizeof text);
    end_line(out, start);
}

/* "20270504T080000". */
static void append_time(GString *out, struct spl_day day, int second)
{
    char text[15], *at = put_day(text, day);

    *at++ = 'T';
    put_digits(put_digits(put_digits(at, second / 3600, 2), second / 60 % 60, 2), second % 60, 2);
    g_string_append_len(out, text, sizeof text);
}

void spl_ical_line_time(GString *out, const char *name, struct spl_day day, int minutes,
                        const char *zone)
{
    gsize start = out->len;
    gboolean utc = strcmp(zone, "UTC") == 0;

    g_string_append(out, name);
    if (!utc) {
        g_string_append(out, ";TZID=");
        g_string_append(out, zone);
    }
    g_string_append_c(out, ':');
    append_time(out, spl_day_add(day, minutes / (24 * 60)), minutes % (24 * 60) * 60);
    if (utc)
        g_string_append_c(out, 'Z');
    end_line(out, start);
}

void spl_ical_line_moment(GString *out, const char *name, gint64 seconds)
{
    gsize start = begin_line(out, name);

    append_time(out, (struct spl_day){(int)(seconds / DAY_SECONDS)}, (int)(seconds % DAY_SECONDS));
    g_string_append_c(out, 'Z');
    end_line(out, start);
}
