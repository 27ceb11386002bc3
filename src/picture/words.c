/* SPDX-License-Identifier: MIT
 *
 * Days, hours and figures as the sheets word them.
 */
#include "picture/words.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "simpling/customs.h"

static const char *const months[] = {"January",   "February", "March",    "April",
                                     "May",       "June",     "July",     "August",
                                     "September", "October",  "November", "December"};
static const char *const weekdays[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                       "Friday", "Saturday", "Sunday"};

const char *spl_words_month(int month)
{
    g_return_val_if_fail(month >= 1 && month <= 12, "");
    return months[month - 1];
}

/* 1970-01-01 was a Thursday. */
static const char *weekday_of(struct spl_day day)
{
    return weekdays[(((day.n + 3) % 7) + 7) % 7];
}

char *spl_words_day(struct spl_day day)
{
    if (!spl_day_is_set(day))
        return g_strdup("");
    int month, dom;
    spl_day_to_ymd(day, NULL, &month, &dom);
    const char *name = months[month - 1];
    return g_strdup_printf("%d %.*s", dom, strlen(name) <= 4 ? 4 : 3, name);
}

char *spl_words_weekday(struct spl_day day)
{
    if (!spl_day_is_set(day))
        return g_strdup("");
    g_autofree char *rest = spl_words_day(day);
    return g_strdup_printf("%.3s %s", weekday_of(day), rest);
}

char *spl_words_date(struct spl_day day)
{
    if (!spl_day_is_set(day))
        return g_strdup("");
    int year;
    spl_day_to_ymd(day, &year, NULL, NULL);
    g_autofree char *rest = spl_words_day(day);
    return g_strdup_printf("%s %d", rest, year);
}

char *spl_words_long_day(struct spl_day day)
{
    if (!spl_day_is_set(day))
        return g_strdup("");
    int year, month, dom;
    spl_day_to_ymd(day, &year, &month, &dom);
    return g_strdup_printf("%s %d %s %d", weekday_of(day), dom, months[month - 1], year);
}

char *spl_words_clock(int minutes)
{
    if (minutes < 0)
        return g_strdup("");
    return g_strdup_printf("%02d:%02d", minutes / 60, minutes % 60);
}

char *spl_words_amount(double amount, const char *unit)
{
    if (isnan(amount))
        return g_strdup("");
    if (g_strcmp0(unit, "g") == 0 || g_strcmp0(unit, "mL") == 0)
        return spl_amount_format(amount, unit);
    g_autofree char *number = spl_number_format(amount, 1);
    return unit != NULL ? g_strdup_printf("%s %s", number, unit) : g_steal_pointer(&number);
}

char *spl_words_percent(double frac)
{
    if (isnan(frac))
        return g_strdup("");
    g_autofree char *number = spl_number_format(frac * 100.0, 1);
    return g_strdup_printf("%s\302\240%%\302\240vol", number);
}

char *spl_words_km(double km)
{
    if (isnan(km))
        return g_strdup("");
    if (spl_customs()->print != SPL_UNITS_METRIC)
        return km < 0.4 ? spl_length_format(km * 1000.0) : spl_distance_format(km);
    gboolean metres = km < 0.95;
    g_autofree char *number = km < 0.1 ? spl_number_format(floor(km * 1000.0), 0)
                              : metres ? spl_number_format(round(km * 100.0) * 10.0, 0)
                                       : spl_number_format(km, km < 20.0 ? 1 : 0);
    return g_strdup_printf("%s %s", number, metres ? "m" : "km");
}

char *spl_words_place(double lat, double lon)
{
    if (isnan(lat) || isnan(lon))
        return g_strdup("");
    char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE];
    return g_strdup_printf("%s, %s", g_ascii_formatd(a, sizeof a, "%.4f", lat),
                           g_ascii_formatd(b, sizeof b, "%.4f", lon));
}

const char *spl_words_verdict(enum spl_verdict verdict)
{
    return verdict != SPL_VERDICT_NONE ? spl_verdict_names[verdict] : "not checked";
}

char *spl_words_join(const char *between, const char *const *texts, gsize n)
{
    GString *all = g_string_new(NULL);
    for (gsize i = 0; i < n; i++) {
        if (texts[i] == NULL || texts[i][0] == '\0')
            continue;
        if (all->len > 0)
            g_string_append(all, between);
        g_string_append(all, texts[i]);
    }
    return g_string_free(all, FALSE);
}
