/* SPDX-License-Identifier: MIT
 *
 * A batch's step on another day than the tables say. See simpling/batch.h.
 */
#include "book/batch_move.h"
#include "season/batch_private.h"
#include "simpling/error.h"

static gboolean check_step(struct spl_house *house, const struct spl_brew *brew,
                           enum spl_step which, struct spl_day due, GError **error)
{
    g_autoptr(GArray) schedule = spl_brew_schedule(house, brew, NULL);

    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *step = &g_array_index(schedule, struct spl_step_due, i);

        if (step->step != (int)which || !step->open)
            continue;
        if (due.n >= brew->row.day.n)
            return TRUE;
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%s' cannot be due before the batch was started; choose a later day",
                    brew->row.code, step->name);
        return FALSE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "%s: has no open step '%s'", brew->row.code,
                spl_step_name(which));
    return FALSE;
}

gboolean spl_batch_move_step(struct spl_house *house, const char *code, const char *step,
                             struct spl_day due, const char *by, GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    struct spl_brew brew;
    enum spl_step which;
    gboolean ok;

    if (!spl_step_parse(step, "STEP", &which, error) || !spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_brew_load(house, code, &brew, error))
        return spl_book_finish(house->book, FALSE, error);
    ok = spl_brew_stands(&brew, "put off", error) && check_step(house, &brew, which, due, error) &&
         spl_batch_move_add(house->book, brew.row.uuid, which, due, who,
                            "moved in the person's calendar", error);
    spl_brew_clear(&brew);
    return spl_book_finish(house->book, ok, error);
}
