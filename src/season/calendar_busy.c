/* SPDX-License-Identifier: MIT
 *
 * Busy times of a person's own calendar. See simpling/calendar.h.
 */
#include "exchange/busy.h"
#include "season/house_private.h"
#include "simpling/calendar.h"
#include "simpling/entry.h"

#define BUSY_DAYS 365

static const struct spl_input busy_rows[] = {
    SPL_INPUT(spl_busy_question, path, FILE, "file", "the calendar", .needed = 1),
    SPL_INPUT(spl_busy_question, from, DAY, "from", "first day", .today = 1),
    SPL_INPUT(spl_busy_question, to, DAY, "to", "last day (default a year later)"),
    SPL_INPUT(spl_busy_question, zone, NAME, "zone", "whose clock to show", .value = "ZONE",
              .setting = "zone"),
    SPL_INPUT(spl_busy_question, others, FLAG, "others",
              "without the outings that a book wrote into it"),
};

static void fill_busy(void *record, struct spl_day today)
{
    struct spl_busy_question *question = record;

    (void)today;
    if (!spl_day_is_set(question->to) && spl_day_is_set(question->from))
        question->to = spl_day_add(question->from, BUSY_DAYS);
}
const struct spl_inputs spl_busy_inputs =
    SPL_INPUTS("busy", spl_busy_question, busy_rows, .fill = fill_busy);

gboolean spl_calendar_busy(struct spl_house *house, const struct spl_busy_question *said,
                           struct spl_busy_read *busy, GError **error)
{
    g_autofree char *names = g_build_filename(house->data, "zones.csv", NULL);
    struct spl_busy_question question;
    gboolean ok;

    if (!spl_entry_take(house, &spl_busy_inputs, said, &question, error))
        return FALSE;
    ok = spl_busy_read(question.path, question.from, question.to, question.zone, names,
                       question.others, busy, error);
    spl_inputs_clear(&spl_busy_inputs, &question);
    return ok;
}
