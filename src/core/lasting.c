/* SPDX-License-Identifier: MIT
 *
 * How long what stands lasts. See core/lasting.h.
 */
#include "core/lasting.h"

#define CRUMB 1e-9

static gboolean is_good(const struct spl_lasting_lot *lot, struct spl_day day)
{
    return lot->late > CRUMB &&
           (!spl_day_is_set(lot->from) || spl_day_compare(lot->from, day) <= 0) &&
           (!spl_day_is_set(lot->use_by) || spl_day_compare(lot->use_by, day) >= 0);
}

/* That of which the last day comes first; one without a last day comes last. */
static struct spl_lasting_lot *next_of(struct spl_lasting_lot *lots, gsize n, struct spl_day day)
{
    struct spl_lasting_lot *next = NULL;

    for (gsize i = 0; i < n; i++) {
        if (!is_good(&lots[i], day))
            continue;
        if (next == NULL ||
            (spl_day_is_set(lots[i].use_by) &&
             (!spl_day_is_set(next->use_by) || spl_day_compare(lots[i].use_by, next->use_by) < 0)))
            next = &lots[i];
    }
    return next;
}

struct spl_lasting spl_lasting_reckon(struct spl_lasting_lot *lots, gsize n, double per_day,
                                      struct spl_day today, struct spl_day until)
{
    struct spl_lasting told = {.lasts_until = SPL_DAY_NONE};

    /* What is left of each, while the days go by. */
    for (gsize i = 0; i < n; i++)
        lots[i].late = lots[i].amount;
    for (struct spl_day day = today; per_day > 0.0 && spl_day_compare(day, until) < 0; day.n++) {
        double wanted = per_day;

        while (wanted > CRUMB) {
            struct spl_lasting_lot *lot = next_of(lots, n, day);
            double taken;

            if (lot == NULL)
                break;
            taken = MIN(wanted, lot->late);
            lot->late -= taken;
            wanted -= taken;
            told.given += taken;
        }
        told.missing += wanted > CRUMB ? wanted : 0.0;
        if (wanted > CRUMB && !spl_day_is_set(told.lasts_until))
            told.lasts_until = spl_day_add(day, -1);
    }
    for (gsize i = 0; i < n; i++) {
        if (!spl_day_is_set(lots[i].use_by) || spl_day_compare(lots[i].use_by, until) >= 0 ||
            lots[i].late <= CRUMB)
            lots[i].late = 0.0;
        told.late += lots[i].late;
    }
    return told;
}
