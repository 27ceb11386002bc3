/* SPDX-License-Identifier: MIT
 *
 * Offsets from a VTIMEZONE's own rules. See ical_clock.h.
 */
#include "exchange/ical_clock.h"

#include <string.h>

#include "exchange/ical_repeat.h"
#include "exchange/ical_value.h"

#define OBSERVANCES_MAX 400
#define FIRST_YEAR 1601     /* rules that begin "in the year 1" begin then */
#define LOOK_BACK_DAYS 3700 /* a rule that has not fired for ten years is over */
#define BUDGET 200000       /* days that one look may cost */

struct observance {
    struct spl_day day; /* of its start */
    int second;         /* of that day, on the clock before */
    int from_s, to_s;
    char *rule;
    GArray *more; /* of struct spl_day */
};

struct spl_ical_clock {
    GArray *observances;
};

void spl_ical_observance_clear(struct spl_ical_observance *observance)
{
    g_free(observance->start);
    g_free(observance->from);
    g_free(observance->to);
    g_free(observance->rule);
    g_clear_pointer(&observance->more, g_ptr_array_unref);
    *observance = (struct spl_ical_observance){0};
}

static void observance_clear(gpointer data)
{
    struct observance *observance = data;

    g_free(observance->rule);
    g_clear_pointer(&observance->more, g_array_unref);
}

spl_ical_clock *spl_ical_clock_new(void)
{
    struct spl_ical_clock *clock = g_new0(struct spl_ical_clock, 1);

    clock->observances = g_array_new(FALSE, FALSE, sizeof(struct observance));
    g_array_set_clear_func(clock->observances, observance_clear);
    return clock;
}

/* "+0100", "-053000" as seconds; forgiving about nothing else. */
static gboolean offset_parse(const char *text, int *seconds)
{
    gsize size = text != NULL ? strlen(text) : 0;
    int number[6];

    if ((size != 5 && size != 7) || (text[0] != '+' && text[0] != '-'))
        return FALSE;
    for (gsize i = 1; i < size; i++) {
        if (!g_ascii_isdigit(text[i]))
            return FALSE;
        number[i - 1] = text[i] - '0';
    }
    *seconds = (number[0] * 10 + number[1]) * 3600 + (number[2] * 10 + number[3]) * 60;
    if (size == 7)
        *seconds += number[4] * 10 + number[5];
    if (*seconds > 18 * 3600)
        return FALSE;
    if (text[0] == '-')
        *seconds = -*seconds;
    return TRUE;
}

/* A local time; years before the calendar of today are moved to its first. */
static gboolean start_parse(const char *text, struct spl_day *day, int *second)
{
    g_autofree char *late = NULL;
    struct spl_ical_time time;
    int year;

    if (text == NULL || strlen(text) < 8)
        return FALSE;
    year = (text[0] - '0') * 1000 + (text[1] - '0') * 100 + (text[2] - '0') * 10 + (text[3] - '0');
    if (year < FIRST_YEAR) {
        late = g_strdup_printf("%04d%s", FIRST_YEAR, text + 4);
        text = late;
    }
    if (!spl_ical_time_parse(text, &time) || !spl_day_is_set(time.day) || time.second < 0)
        return FALSE;
    *day = time.day;
    *second = time.second;
    return TRUE;
}

void spl_ical_clock_add(spl_ical_clock *clock, struct spl_ical_observance *text)
{
    struct observance observance = {0};
    gboolean good = clock->observances->len < OBSERVANCES_MAX &&
                    start_parse(text->start, &observance.day, &observance.second) &&
                    offset_parse(text->from, &observance.from_s) &&
                    offset_parse(text->to, &observance.to_s);

    if (good) {
        observance.rule = g_steal_pointer(&text->rule);
        for (guint i = 0; text->more != NULL && i < text->more->len; i++) {
            g_auto(GStrv) parts = g_strsplit(g_ptr_array_index(text->more, i), ",", 200);

            for (char **part = parts; *part != NULL; part++) {
                struct spl_day day;
                int second;

                if (!start_parse(*part, &day, &second))
                    continue;
                if (observance.more == NULL)
                    observance.more = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
                g_array_append_val(observance.more, day);
            }
        }
        g_array_append_val(clock->observances, observance);
    }
    spl_ical_observance_clear(text);
}

gboolean spl_ical_clock_is_usable(const spl_ical_clock *clock)
{
    return clock->observances->len > 0;
}

static gint64 local_second(struct spl_day day, int second)
{
    return (gint64)day.n * 86400 + second;
}

/* The last second at which this observance began, up to `at`; G_MININT64: never yet. */
static gint64 last_begin(const struct observance *observance, gint64 at)
{
    struct spl_day day = {(gint32)(at >= 0 ? at / 86400 : (at - 86399) / 86400)};
    gint64 last = G_MININT64, budget = BUDGET;

    if (local_second(observance->day, observance->second) <= at)
        last = local_second(observance->day, observance->second);
    for (guint i = 0; observance->more != NULL && i < observance->more->len; i++) {
        gint64 begin =
            local_second(g_array_index(observance->more, struct spl_day, i), observance->second);

        if (begin <= at)
            last = MAX(last, begin);
    }
    if (observance->rule != NULL && last != G_MININT64) {
        g_autoptr(GArray) days =
            spl_repeat_days(observance->rule, observance->day, observance->second / 60, NULL,
                            spl_day_add(day, -LOOK_BACK_DAYS), day, &budget, NULL);

        for (guint i = 0; days != NULL && i < days->len; i++) {
            gint64 begin = local_second(g_array_index(days, struct spl_day, i), observance->second);

            if (begin <= at)
                last = MAX(last, begin);
        }
    }
    return last;
}

int spl_ical_clock_offset(const spl_ical_clock *clock, gint32 day_n, int minutes)
{
    gint64 at = (gint64)day_n * 86400 + (gint64)minutes * 60, best = G_MININT64;
    int offset = 0;
    const struct observance *earliest = NULL;

    for (guint i = 0; i < clock->observances->len; i++) {
        const struct observance *observance =
            &g_array_index(clock->observances, struct observance, i);
        gint64 begin = last_begin(observance, at);

        if (earliest == NULL || local_second(observance->day, observance->second) <
                                    local_second(earliest->day, earliest->second))
            earliest = observance;
        if (begin != G_MININT64 && begin >= best) {
            best = begin;
            offset = observance->to_s;
        }
    }
    return best != G_MININT64 || earliest == NULL ? offset : earliest->from_s;
}

void spl_ical_clock_free(spl_ical_clock *clock)
{
    if (clock == NULL)
        return;
    g_array_unref(clock->observances);
    g_free(clock);
}
