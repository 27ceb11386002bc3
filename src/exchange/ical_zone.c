/* SPDX-License-Identifier: MIT
 *
 * VTIMEZONE from the machine's zone data. See ical_zone.h.
 */
#include "exchange/ical_zone.h"

#include <string.h>

#include "simpling/day.h"
#include "simpling/error.h"

#define DAY_SECONDS 86400

/* The zone, or NULL when the machine does not know it. Only plain names are looked up: GLib would
 * also take a path, an offset or nothing at all. */
static GTimeZone *zone_find(const char *zone)
{
    if (zone == NULL || !g_ascii_isalpha(zone[0]) || strlen(zone) > 60 ||
        strstr(zone, "..") != NULL)
        return NULL;
    for (const char *c = zone; *c != '\0'; c++)
        if (!g_ascii_isalnum(*c) && strchr("/_+-", *c) == NULL)
            return NULL;
    return g_time_zone_new_identifier(zone);
}

gboolean spl_zone_is_known(const char *zone)
{
    g_autoptr(GTimeZone) found = zone_find(zone);

    return found != NULL;
}

/* Names are words with a capital each ("America/Port-au-Prince" aside), or all capitals. */
char *spl_zone_spelling(const char *text)
{
    g_autofree char *words = g_ascii_strdown(text, -1);
    g_autofree char *capitals = g_ascii_strup(text, -1);

    for (char *c = words; *c != '\0'; c++)
        if (c == words || strchr("/_-", c[-1]) != NULL)
            *c = g_ascii_toupper(*c);
    if (spl_zone_is_known(words))
        return g_steal_pointer(&words);
    return spl_zone_is_known(capitals) ? g_steal_pointer(&capitals) : NULL;
}

static void append_offset(GString *out, const char *name, gint32 seconds)
{
    int size = seconds < 0 ? -seconds : seconds;

    g_string_append_printf(out, "%s:%c%02d%02d", name, seconds < 0 ? '-' : '+', size / 3600,
                           size / 60 % 60);
    if (size % 60 != 0)
        g_string_append_printf(out, "%02d", size % 60);
    g_string_append(out, "\r\n");
}

static void append_observance(GString *out, GTimeZone *zone, gint64 at, gint32 offset_from)
{
    int interval = g_time_zone_find_interval(zone, G_TIME_TYPE_UNIVERSAL, at);
    const char *kind = g_time_zone_is_dst(zone, interval) ? "DAYLIGHT" : "STANDARD";
    gint64 local = at + offset_from;
    struct spl_day day = {
        (gint32)((local - (local % DAY_SECONDS + DAY_SECONDS) % DAY_SECONDS) / DAY_SECONDS)};
    int second = (int)((local % DAY_SECONDS + DAY_SECONDS) % DAY_SECONDS);
    int year, month, dom;

    spl_day_to_ymd(day, &year, &month, &dom);
    g_string_append_printf(out, "BEGIN:%s\r\nDTSTART:%04d%02d%02dT%02d%02d%02d\r\n", kind, year,
                           month, dom, second / 3600, second / 60 % 60, second % 60);
    append_offset(out, "TZOFFSETFROM", offset_from);
    append_offset(out, "TZOFFSETTO", g_time_zone_get_offset(zone, interval));
    g_string_append_printf(out, "TZNAME:%s\r\nEND:%s\r\n",
                           g_time_zone_get_abbreviation(zone, interval), kind);
}

/* The first second after `low` and up to `high` at which another interval holds. */
static gint64 find_change(GTimeZone *zone, gint64 low, gint64 high)
{
    int before = g_time_zone_find_interval(zone, G_TIME_TYPE_UNIVERSAL, low);

    while (high - low > 1) {
        gint64 middle = low + (high - low) / 2;

        if (g_time_zone_find_interval(zone, G_TIME_TYPE_UNIVERSAL, middle) == before)
            low = middle;
        else
            high = middle;
    }
    return high;
}

char *spl_zone_component(const char *zone, int year_first, int year_last, GError **error)
{
    g_autoptr(GTimeZone) found = zone_find(zone);
    struct spl_day from = spl_day_from_ymd(year_first - 1, 1, 1);
    struct spl_day to = spl_day_from_ymd(year_last, 12, 31);
    GString *out;
    gint64 at, end, first_kept = G_MININT64;
    gint32 offset, offset_from;

    if (found == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "zone '%s' is not known here: write it as Europe/London", zone);
        return NULL;
    }
    if (!spl_day_is_set(from) || !spl_day_is_set(to) || year_last < year_first ||
        year_last - year_first > 200) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "a zone description for the years %d to %d is not possible: give at most 200 "
                    "years",
                    year_first, year_last);
        return NULL;
    }
    out = g_string_new(NULL);
    g_string_append_printf(out, "BEGIN:VTIMEZONE\r\nTZID:%s\r\n", zone);
    /* The last change of the year before is found on the way, so that the first days of year_first
     * have their offset too; a zone without one gets a plain beginning. */
    at = (gint64)from.n * DAY_SECONDS;
    end = ((gint64)to.n + 1) * DAY_SECONDS;
    offset =
        g_time_zone_get_offset(found, g_time_zone_find_interval(found, G_TIME_TYPE_UNIVERSAL, at));
    offset_from = offset;
    first_kept = at - offset; /* midnight on that clock */
    for (gint64 day = at; day < end; day += DAY_SECONDS) {
        int here = g_time_zone_find_interval(found, G_TIME_TYPE_UNIVERSAL, day);
        int next = g_time_zone_find_interval(found, G_TIME_TYPE_UNIVERSAL, day + DAY_SECONDS);
        gint64 change;

        if (here == next)
            continue;
        change = find_change(found, day, day + DAY_SECONDS);
        /* While still in the year before, only the latest change counts. */
        if (change >= (gint64)spl_day_from_ymd(year_first, 1, 1).n * DAY_SECONDS - offset &&
            first_kept != G_MININT64) {
            append_observance(out, found, first_kept, offset_from);
            first_kept = G_MININT64;
        }
        offset_from = g_time_zone_get_offset(found, here);
        offset = g_time_zone_get_offset(found, next);
        if (first_kept != G_MININT64)
            first_kept = change;
        else
            append_observance(out, found, change, offset_from);
    }
    if (first_kept != G_MININT64)
        append_observance(out, found, first_kept, offset_from);
    g_string_append(out, "END:VTIMEZONE\r\n");
    return g_string_free(out, FALSE);
}

gboolean spl_zone_convert(const char *zone_from, const char *zone_to, gint32 *day_n, int *minutes)
{
    g_autoptr(GTimeZone) from = NULL;
    g_autoptr(GTimeZone) to = NULL;
    gint64 local, utc;
    int interval;

    if (zone_from == NULL || zone_to == NULL || strcmp(zone_from, zone_to) == 0)
        return TRUE;
    from = zone_find(zone_from);
    to = zone_find(zone_to);
    if (from == NULL || to == NULL)
        return FALSE;
    local = (gint64)*day_n * DAY_SECONDS + (gint64)*minutes * 60;
    interval = g_time_zone_adjust_time(from, G_TIME_TYPE_STANDARD, &local);
    utc = local - g_time_zone_get_offset(from, interval);
    interval = g_time_zone_find_interval(to, G_TIME_TYPE_UNIVERSAL, utc);
    local = utc + g_time_zone_get_offset(to, interval);
    *minutes = (int)(((local % DAY_SECONDS) + DAY_SECONDS) % DAY_SECONDS / 60);
    *day_n = (gint32)((local - (gint64)*minutes * 60) / DAY_SECONDS);
    return TRUE;
}
