/* SPDX-License-Identifier: MIT
 *
 * Busy times of a person's own calendar. See simpling/calendar.h.
 */
#include "exchange/busy.h"
#include "season/house_private.h"
#include "simpling/calendar.h"

gboolean spl_calendar_busy(struct spl_house *house, const char *path, struct spl_day first,
                           struct spl_day last, const char *zone, struct spl_busy_read *busy,
                           GError **error)
{
    g_autofree char *own =
        zone == NULL && house->book != NULL ? spl_house_setting_text(house, "zone") : NULL;

    g_autofree char *names = g_build_filename(house->data, "zones.csv", NULL);

    return spl_busy_read(path, first, last, zone != NULL ? zone : own, names, busy, error);
}
