/* SPDX-License-Identifier: MIT
 *
 * A batch's step on another day than the tables say, or dropped. See simpling/batch.h.
 */
#include "book/batch_move.h"
#include "base/text.h"
#include "season/batch_private.h"
#include "simpling/error.h"

static gboolean check_step(struct spl_house *house, const struct spl_brew *brew,
                           enum spl_step which, struct spl_day due, GError **error)
{
    g_autoptr(GArray) schedule = spl_brew_schedule(house, brew, NULL);

    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *step = &g_array_index(schedule, struct spl_step_due, i);

        if (step->step != (int)which)
            continue;
        if (spl_day_is_set(spl_brew_dropped(brew, step->step, step->done)) ? !spl_day_is_set(due)
                                                                           : !step->open)
            break;
        if (!spl_day_is_set(due) || due.n >= brew->row.day.n)
            return TRUE;
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%s' cannot be due before the batch was started; choose a later day",
                    brew->row.code, step->name);
        return FALSE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                "%s: has no open step '%s'; 'batch show %s' tells its steps", brew->row.code,
                spl_step_name(which), brew->row.code);
    return FALSE;
}

/* As it stands now. */
static gboolean read_back(struct spl_house *house, const char *code, struct spl_batch *batch,
                          GError **error)
{
    return batch == NULL || spl_batch_show(house, code, batch, error);
}

gboolean spl_batch_move_step(struct spl_house *house, const char *code, const char *step,
                             struct spl_day due, const char *by, const char *why,
                             struct spl_batch *batch, GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    g_autofree char *clean = NULL;
    struct spl_brew brew;
    enum spl_step which;
    gboolean ok;

    if (!spl_step_parse(step, "STEP", &which, error) ||
        (clean = spl_text_clean(why, "--why", SPL_REMARK_MAX, TRUE, error)) == NULL)
        return FALSE;
    if (which == SPL_STEP_USE_BY) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "%s: 'use-by' is no work that can be put off or dropped: press the batch, or "
                    "'discard %s --why …'",
                    code, code);
        return FALSE;
    }
    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_brew_load(house, code, &brew, error))
        return spl_book_finish(house->book, FALSE, error);
    ok = spl_brew_stands(&brew, "put off", error) && check_step(house, &brew, which, due, error) &&
         spl_batch_move_add(house->book, brew.row.uuid, which, due, who, clean, error);
    spl_brew_clear(&brew);
    ok = ok && read_back(house, code, batch, error);
    return spl_book_finish(house->book, ok, error);
}
