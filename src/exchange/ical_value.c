/* SPDX-License-Identifier: MIT
 *
 * Strict values of RFC 5545. See ical_value.h.
 */
#include "exchange/ical_value.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

/* `n` digits as a number, -1 when there are not so many. */
static int digits(const char *text, int n)
{
    int number = 0;

    for (int i = 0; i < n; i++) {
        if (!g_ascii_isdigit(text[i]))
            return -1;
        number = number * 10 + (text[i] - '0');
    }
    return number;
}

gboolean spl_ical_time_parse(const char *text, struct spl_ical_time *time)
{
    int year = digits(text, 4), month, dom, hour, minute, second;

    if (year < 0 || (month = digits(text + 4, 2)) < 0 || (dom = digits(text + 6, 2)) < 0)
        return FALSE;
    *time = (struct spl_ical_time){spl_day_from_ymd(year, month, dom), -1, FALSE};
    text += 8;
    if (*text == '\0')
        return TRUE;
    if (*text != 'T' || (hour = digits(text + 1, 2)) < 0 || (minute = digits(text + 3, 2)) < 0 ||
        (second = digits(text + 5, 2)) < 0)
        return FALSE;
    time->second =
        hour > 23 || minute > 59 || second > 60 ? -2 : hour * 3600 + minute * 60 + second;
    text += 7;
    if (*text == 'Z') {
        time->utc = TRUE;
        text++;
    }
    return *text == '\0';
}

int spl_ical_time_compare(struct spl_ical_time a, struct spl_ical_time b)
{
    return a.day.n != b.day.n ? spl_day_compare(a.day, b.day) : a.second - b.second;
}

gboolean spl_ical_span_parse(const char *text, struct spl_ical_span *span)
{
    static const struct {
        char letter;
        int seconds;
    } units[] = {{'W', 604800}, {'D', 86400}, {'H', 3600}, {'M', 60}, {'S', 1}};
    gboolean negative = *text == '-', in_time = FALSE, any = FALSE;
    gsize last = 0; /* units must descend, and H M S must be neighbours */
    gint64 total = 0;

    if (*text == '-' || *text == '+')
        text++;
    if (*text++ != 'P')
        return FALSE;
    span->whole_days = TRUE;
    while (*text != '\0') {
        gint64 number = 0;
        gsize unit;

        if (*text == 'T' && !in_time) {
            in_time = TRUE;
            span->whole_days = FALSE;
            text++;
        }
        if (!g_ascii_isdigit(*text))
            return FALSE;
        for (; g_ascii_isdigit(*text); text++)
            if ((number = number * 10 + (*text - '0')) > 100000000)
                return FALSE;
        for (unit = 0; unit < G_N_ELEMENTS(units) && units[unit].letter != *text; unit++)
            ;
        if (unit == G_N_ELEMENTS(units) || (unit >= 2) != in_time || (any && unit <= last) ||
            (any && last == 0) || (any && last >= 2 && unit != last + 1))
            return FALSE;
        total += number * units[unit].seconds;
        last = unit;
        any = TRUE;
        text++;
    }
    span->seconds = negative ? -total : total;
    return any && (!in_time || last >= 2);
}

gboolean spl_ical_integer_parse(const char *text, int min, int max)
{
    gint64 number;

    if (!g_ascii_isdigit(*text) && !(min < 0 && *text == '-'))
        return FALSE;
    return g_ascii_string_to_signed(text, 10, min, max, &number, NULL);
}

/* One decimal degree within +-most, ended by `stop`; NULL when it is none. */
static const char *degree(const char *text, double most, char stop)
{
    char *end;

    for (const char *c = text; *c != stop && *c != '\0'; c++)
        if (!g_ascii_isdigit(*c) && *c != '.' && !((*c == '-' || *c == '+') && c == text))
            return NULL;
    if (!(fabs(g_ascii_strtod(text, &end)) <= most) || end == text || *end != stop)
        return NULL;
    return end;
}

gboolean spl_ical_geo_is_valid(const char *text)
{
    const char *middle = degree(text, 90, ';');

    return middle != NULL && degree(middle + 1, 180, '\0') != NULL;
}

gboolean spl_ical_offset_is_valid(const char *text)
{
    int hour, minute, second = 0;

    if (*text != '+' && *text != '-')
        return FALSE;
    if ((hour = digits(text + 1, 2)) < 0 || (minute = digits(text + 3, 2)) < 0)
        return FALSE;
    if (text[5] != '\0' && ((second = digits(text + 5, 2)) < 0 || text[7] != '\0'))
        return FALSE;
    return hour <= 23 && minute <= 59 && second <= 59 &&
           !(*text == '-' && hour == 0 && minute == 0 && second == 0);
}

gboolean spl_ical_text_is_valid(const char *text, gboolean list)
{
    for (; *text != '\0'; text++) {
        if (*text == '\\') {
            if (text[1] == '\0' || strchr("\\;,nN", text[1]) == NULL)
                return FALSE;
            text++;
        } else if (*text == ';' || (*text == ',' && !list)) {
            return FALSE;
        }
    }
    return TRUE;
}

gboolean spl_ical_uri_is_valid(const char *text)
{
    for (const char *c = text; *c != '\0'; c++)
        if (*c <= ' ' || *c > '~' || strchr("\"<>\\^`{|}", *c) != NULL)
            return FALSE;
    return g_uri_is_valid(text, G_URI_FLAGS_NONE, NULL);
}

gboolean spl_ical_uid_is_valid(const char *text)
{
    gsize size = text == NULL ? 0 : strlen(text);

    if (size == 0 || size > 254)
        return FALSE;
    for (const char *c = text; *c != '\0'; c++)
        if (!g_ascii_isalnum(*c) && *c != '-')
            return FALSE;
    return TRUE;
}

char *spl_ical_unescape(const char *value, gsize size)
{
    g_autoptr(GString) text = g_string_sized_new(size);

    for (gsize i = 0; i < size; i++) {
        if (value[i] == '\\' && i + 1 < size) {
            i++;
            g_string_append_c(text, value[i] == 'n' || value[i] == 'N' ? '\n' : value[i]);
        } else {
            g_string_append_c(text, value[i]);
        }
    }
    return g_strstrip(spl_text_scrub(text->str, TRUE));
}
