/* SPDX-License-Identifier: MIT
 *
 * What page and text of a slip say alike. See desk/slip.h.
 */
#include "desk/slip.h"

#include <math.h>

#include "base/amount.h"

static const char *const weekdays[] = {"Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"};
static const char *const months[] = {"January",   "February", "March",    "April",
                                     "May",       "June",     "July",     "August",
                                     "September", "October",  "November", "December"};

/* 1970-01-01 was a Thursday. */
static const char *weekday(struct spl_day day)
{
    return weekdays[((day.n % 7) + 7) % 7];
}

char *spl_slip_day_words(struct spl_day day, gboolean year)
{
    int y, m, d;

    spl_day_to_ymd(day, &y, &m, &d);
    return year ? g_strdup_printf("%s %d %s %d", weekday(day), d, months[m - 1], y)
                : g_strdup_printf("%s %d %s", weekday(day), d, months[m - 1]);
}

char *spl_slip_run_words(struct spl_day first, struct spl_day last)
{
    g_autofree char *to = spl_slip_day_words(last, FALSE);
    g_autofree char *from = NULL;
    int m, d, last_m;

    if (first.n == last.n)
        return g_steal_pointer(&to);
    spl_day_to_ymd(first, NULL, &m, &d);
    spl_day_to_ymd(last, NULL, &last_m, NULL);
    if (m == last_m && spl_day_diff(last, first) < 31)
        return g_strdup_printf("%s %d to %s", weekday(first), d, to);
    from = spl_slip_day_words(first, FALSE);
    return g_strdup_printf("%s to %s", from, to);
}

char *spl_slip_days_words(const struct spl_slip *slip)
{
    g_autofree char *run = spl_slip_run_words(slip->first, slip->last);
    int year;

    spl_day_to_ymd(slip->last, &year, NULL, NULL);
    return g_strdup_printf("Good for %s %d", run, year);
}

const char *spl_slip_verdict_words(enum spl_verdict verdict)
{
    return verdict == SPL_VERDICT_CLEAR ? "clear"
           : verdict == SPL_VERDICT_ASK ? "ask first"
                                        : "CLOSED";
}

char *spl_slip_class_words(const struct spl_slip_place *place, int class)
{
    GString *words = g_string_new(NULL);

    for (guint i = 0; i < place->materials->len; i++) {
        const struct spl_slip_material *one =
            &g_array_index(place->materials, struct spl_slip_material, i);

        if (one->class == class)
            g_string_append_printf(words, "%s%s", words->len > 0 ? ", " : "", one->spoken);
    }
    return g_string_free(words, words->len == 0);
}

char *spl_slip_left_words(const struct spl_slip_material *material)
{
    g_autofree char *amount = NULL;

    if (isnan(material->left_g))
        return NULL;
    if (material->left_g < 1.0)
        return g_strdup("nothing to spare");
    /* Never more than the stand can spare, though three figures are shown. */
    amount = spl_mass_format(material->left_g >= 1000.0 ? floor(material->left_g / 10.0) * 10.0
                                                        : floor(material->left_g));
    return g_strdup_printf("may take %s", amount);
}

/* "31 May to 20 July": windows are no promise of a day, and its weekday says nothing. */
static char *span_words(struct spl_day first, struct spl_day last)
{
    int m, d, last_m, last_d;

    spl_day_to_ymd(first, NULL, &m, &d);
    spl_day_to_ymd(last, NULL, &last_m, &last_d);
    return g_strdup_printf("%d %s to %d %s", d, months[m - 1], last_d, months[last_m - 1]);
}

char *spl_slip_season_words(const struct spl_slip_material *material)
{
    g_autofree char *season = NULL, *best = NULL;

    if (!spl_day_is_set(material->earliest) || !spl_day_is_set(material->latest))
        return NULL;
    season = span_words(material->earliest, material->latest);
    if (!spl_day_is_set(material->likely_start) || !spl_day_is_set(material->likely_end) ||
        spl_day_compare(material->likely_start, material->likely_end) > 0)
        return g_strdup_printf("in season %s", season);
    best = span_words(material->likely_start, material->likely_end);
    return g_strdup_printf("in season %s, best %s", season, best);
}
