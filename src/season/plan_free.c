/* SPDX-License-Identifier: MIT
 *
 * The free stretch of a day. See season/plan_free.h.
 */
#include "season/plan_free.h"

#include <math.h>

#include "core/sun.h"
#include "simpling/record/calendar.h"

#define DEW_HOURS 3.0      /* as in core/sun.h; the setting `dew` overrides it */
#define DARK_FROM (9 * 60) /* where the sun does not rise: daylight of sorts, from memory */
#define DARK_TO (15 * 60)
#define DAY_MIN (24 * 60)
#define SOLAR_MIN_PER_DEGREE 4

/* Minutes that the clock of the book's zone is ahead of UTC at `utc_min` after 0h UTC of `day`. */
static double ahead_min(struct spl_house *house, struct spl_day day, double utc_min, double lon)
{
    g_autofree char *name = spl_house_setting_text(house, "zone");
    g_autoptr(GTimeZone) zone = name != NULL ? g_time_zone_new_identifier(name) : NULL;
    gint64 instant = (gint64)day.n * 86400 + (gint64)(utc_min * 60);
    gint interval;

    if (zone == NULL)
        return lon * SOLAR_MIN_PER_DEGREE;
    interval = g_time_zone_find_interval(zone, G_TIME_TYPE_UNIVERSAL, instant);
    return interval < 0 ? 0 : g_time_zone_get_offset(zone, interval) / 60.0;
}

/* From the dew to dusk. */
static struct spl_plan_free dry_hours(struct spl_house *house, struct spl_day day, double lat,
                                      double lon)
{
    double dew = DEW_HOURS, from, until;

    spl_house_setting_number(house, "dew", &dew);
    if (!spl_sun_picking(day, lat, lon, dew, FALSE, &from, &until)) {
        struct spl_sun sun = spl_sun_times(day, lat, lon);

        if (sun.state == SPL_SUN_NEVER_SETS)
            return (struct spl_plan_free){0, DAY_MIN};
        return (struct spl_plan_free){DARK_FROM, sun.state == SPL_SUN_RISES ? 0 : DARK_TO};
    }
    from += ahead_min(house, day, from, lon);
    until += ahead_min(house, day, until, lon);
    return (struct spl_plan_free){(int)ceil(CLAMP(from, 0, DAY_MIN)),
                                  (int)floor(CLAMP(until, 0, DAY_MIN))};
}

struct spl_plan_free spl_plan_free_on(struct spl_house *house, const GArray *busy,
                                      struct spl_day day, double lat, double lon)
{
    struct spl_plan_free whole = dry_hours(house, day, lat, lon), best = {whole.from_min, 0};
    int at = whole.from_min;

    /* They stand by day and start. */
    for (guint i = 0; busy != NULL && i < busy->len; i++) {
        const struct spl_busy *piece = &g_array_index(busy, struct spl_busy, i);

        if (piece->day.n != day.n)
            continue;
        if (MIN(piece->from_min, whole.to_min) - at > best.to_min - best.from_min)
            best = (struct spl_plan_free){at, MIN(piece->from_min, whole.to_min)};
        at = MAX(at, piece->to_min);
    }
    if (whole.to_min - at > best.to_min - best.from_min)
        best = (struct spl_plan_free){at, whole.to_min};
    return best;
}

char *spl_plan_free_words(struct spl_plan_free time)
{
    return g_strdup_printf("%02d:%02d-%02d:%02d", time.from_min / 60, time.from_min % 60,
                           time.to_min / 60, time.to_min % 60);
}
