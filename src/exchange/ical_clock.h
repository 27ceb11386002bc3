/* SPDX-License-Identifier: MIT
 *
 * A clock as a calendar file describes it itself: the observances of one VTIMEZONE (RFC 5545
 * 3.6.5). Names of zones differ between programs ("W. Europe Standard Time", "Customized Time
 * Zone"); the description beside them does not lie.
 */
#ifndef SPL_EXCHANGE_ICAL_CLOCK_H
#define SPL_EXCHANGE_ICAL_CLOCK_H

#include <glib.h>

/* One STANDARD or DAYLIGHT, as it is being read. Begin with zeros. */
struct spl_ical_observance {
    char *start;     /* DTSTART */
    char *from, *to; /* TZOFFSETFROM, TZOFFSETTO */
    char *rule;      /* RRULE; NULL */
    GPtrArray *more; /* RDATE values, a line each; NULL */
};
void spl_ical_observance_clear(struct spl_ical_observance *observance);

typedef struct spl_ical_clock spl_ical_clock;

spl_ical_clock *spl_ical_clock_new(void);

/* Adds an observance as the file has it and clears it; one that cannot be read is passed over. */
void spl_ical_clock_add(spl_ical_clock *clock, struct spl_ical_observance *observance);

/* TRUE: it has an observance, so it tells an offset for every time. */
gboolean spl_ical_clock_is_usable(const spl_ical_clock *clock);

/* Seconds east of Greenwich at a local time, `minutes` after midnight of day `day_n` (days since
 * 1970): those of the observance that began last before it; before the first one its
 * TZOFFSETFROM. */
int spl_ical_clock_offset(const spl_ical_clock *clock, gint32 day_n, int minutes);

void spl_ical_clock_free(spl_ical_clock *clock);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ical_clock, spl_ical_clock_free)

#endif
