/* SPDX-License-Identifier: MIT
 *
 * Dates of one period moved to another. See core/period.h.
 */
#include "core/period.h"

#include <math.h>

#define LEVEL_UNTIL 1976.0 /* the middle of 1961-1990 */
#define STEP_YEARS 30.0    /* to the middle of 1991-2020 */
#define LEAD_DAYS 60
#define MOST_DAYS 12.0

/* Kelvin from 1961-1990 to 1991-2020, January first. */
static const double warming_k[12] = {1.1, 1.0, 1.2, 1.2, 1.1, 1.1, 1.3, 1.2, 0.5, 0.4, 0.9, 0.7};

gboolean spl_period_parse(const char *text, struct spl_period *period)
{
    char *end;
    gint64 from, to;

    if (!g_ascii_isdigit(*text))
        return FALSE;
    from = g_ascii_strtoll(text, &end, 10);
    if (*end != '-' || !g_ascii_isdigit(end[1]))
        return FALSE;
    to = g_ascii_strtoll(end + 1, &end, 10);
    if (*end != '\0' || from < 1700 || to > 2200 || to < from)
        return FALSE;
    *period = (struct spl_period){(int)from, (int)to};
    return TRUE;
}

/* Kelvin, in units of the table, by which the middle of a period is warmer than before 1975. */
static double steps(struct spl_period period)
{
    double middle = (period.from + period.to + 1) / 2.0;

    return MAX(middle - LEVEL_UNTIL, 0) / STEP_YEARS;
}

/* The table's mean over the 60 days before a day of the year. */
static double warming_before(double day)
{
    double sum = 0;

    for (int i = 1; i <= LEAD_DAYS; i++) {
        double month = fmod(day - i + 365, 365) / 365 * 12;

        sum += warming_k[CLAMP((int)month, 0, 11)];
    }
    return sum / LEAD_DAYS;
}

double spl_period_days(enum spl_event event, double day, struct spl_period from,
                       struct spl_period to)
{
    double years, days;

    if (from.from == 0 || to.from == 0)
        return 0;
    years = steps(to) - steps(from);
    if (event == SPL_EVENT_SENESCENCE)
        days = 2.5 * years * (warming_k[8] + warming_k[9]) / 2;
    else if (event == SPL_EVENT_RIPENING || day < 91 || day > 166)
        days = -4 * years * warming_before(day);
    else
        days = -4.5 * years * warming_before(day);
    return CLAMP(days, -MOST_DAYS, MOST_DAYS);
}
