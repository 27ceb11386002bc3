/* SPDX-License-Identifier: MIT
 *
 * The shelf: what stands there, stock-taking, decisions. What goes out is in giving.c. See
 * simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/lot.h"
#include "season/batch_private.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_lot_pick, code, CODE, "code", "the lot's code", .needed = 1, .words = "L"),
};
const struct spl_inputs spl_lot_pick_inputs = SPL_INPUTS("lot_pick", spl_lot_pick, pick_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_lot_question, all, FLAG, "all", "used up, destroyed and struck ones too"),
};
const struct spl_inputs spl_lot_question_inputs =
    SPL_INPUTS("lot_question", spl_lot_question, question_rows);

static const struct spl_input decide_rows[] = {
    SPL_INPUT(spl_lot_decide_words, code, CODE, "code", "the lot", .needed = 1, .words = "L"),
    SPL_INPUT(spl_lot_decide_words, why, TEXT, "why", "the reason, kept with its day", .needed = 1),
    SPL_INPUT(spl_lot_decide_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_lot_decide_words, by, NAME, "by", "who decided", .value = "WHO",
              .setting = "who"),
};
const struct spl_inputs spl_lot_decide_inputs =
    SPL_INPUTS("lot_decide", spl_lot_decide_words, decide_rows);

/* What would settle why it is held; when nothing is known to, it is let out by itself. */
static struct spl_next *settles(const struct spl_lot *lot)
{
    for (guint i = 0; lot->because != NULL && i < lot->because->len; i++) {
        const struct spl_cause *cause = &g_array_index(lot->because, struct spl_cause, i);

        if (cause->holds && cause->next != NULL)
            return spl_next_copy(cause->next);
    }
    return spl_next_new(SPL_ACTION_LOT_RELEASE, "code", lot->code, "why", NULL, NULL);
}

gboolean spl_lot_may_go(const struct spl_lot *lot, gboolean work, double ml, double g,
                        struct spl_day on, double *amount, GError **error)
{
    gboolean weighed = !isnan(lot->left_g);
    double left = weighed ? lot->left_g : lot->left_ml, asked = weighed ? g : ml;
    const char *unit = weighed ? "g" : "mL";
    char text[SPL_DAY_TEXT_SIZE];

    /* Out of date is a matter of the day on which it goes, which may be typed in later. */
    if (lot->state != SPL_STATE_ON_SHELF && lot->state != SPL_STATE_OUT_OF_DATE &&
        !(work && lot->state == SPL_STATE_IS_HELD)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s%s%s%s", lot->code,
                    spl_state_names[lot->state], lot->why != NULL ? " (" : "",
                    lot->why != NULL ? lot->why : "", lot->why != NULL ? ")" : "");
        if (lot->state == SPL_STATE_IS_HELD)
            spl_error_explain(error, "held", settles(lot), NULL);
        return FALSE;
    }
    if (weighed ? !isnan(ml) : !isnan(g)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is kept in %s; say it so, as %s:50%s",
                    lot->code, unit, lot->code, unit);
        return FALSE;
    }
    if (spl_day_compare(on, lot->made) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: was made on %s, later than that day",
                    lot->code, spl_day_format(lot->made, text));
        return FALSE;
    }
    if (spl_day_is_set(lot->use_by) && spl_day_compare(lot->use_by, on) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: was to be used by %s", lot->code,
                    spl_day_format(lot->use_by, text));
        return FALSE;
    }
    if (isnan(asked))
        asked = left;
    if (asked > left + SPL_CRUMB) {
        g_autofree char *wanted = spl_amount_exact(asked, unit);
        g_autofree char *there = spl_amount_exact(left, unit);

        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s are wanted, %s are left; count what stands there", lot->code, wanted,
                    there);
        spl_error_explain(
            error, NULL,
            spl_next_new(SPL_ACTION_LOT_COUNT, "code", lot->code, "amount", NULL, NULL), NULL);
        return FALSE;
    }
    *amount = MIN(asked, left);
    return TRUE;
}

gboolean spl_lot_show(struct spl_house *house, const char *code, struct spl_lot *lot,
                      GError **error)
{
    struct spl_lot_pick said = {code}, pick;
    gboolean ok;

    if (!spl_entry_take(house, &spl_lot_pick_inputs, &said, &pick, error))
        return FALSE;
    ok = spl_shelf_find(house, pick.code, lot, NULL, error);
    if (!ok)
        spl_error_about(error, "code");
    spl_inputs_clear(&spl_lot_pick_inputs, &pick);
    return ok;
}

gboolean spl_lot_lines(struct spl_house *house, const struct spl_lot_question *said,
                       gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                       gpointer data, GError **error)
{
    struct spl_lot_question question;

    return spl_entry_take(house, &spl_lot_question_inputs, said, &question, error) &&
           spl_shelf_each(house, question.all, each, data, error);
}

gboolean spl_lot_stands_on(const struct spl_lot *lot, struct spl_day on, GError **error)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (lot->struck != NULL || lot->state == SPL_STATE_DESTROYED) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s (%s)", lot->code,
                    spl_state_names[lot->state], lot->why != NULL ? lot->why : "");
        return FALSE;
    }
    if (spl_day_compare(on, lot->made) < 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "on", "%s was made on %s, later than that",
                            lot->code, spl_day_format(lot->made, text));
        return FALSE;
    }
    return TRUE;
}

/* The lot as it stands after what was done. */
static gboolean reread(struct spl_house *house, struct spl_lot *lot, GError **error)
{
    g_autofree char *code = g_strdup(lot->code);

    spl_record_clear(&spl_lot_shape, lot);
    return spl_shelf_find(house, code, lot, NULL, error);
}

/* The lot that something is done with on a day; inside the transaction. */
static gboolean find_standing(struct spl_house *house, const char *code, struct spl_day on,
                              struct spl_lot *lot, GError **error)
{
    if (!spl_shelf_find(house, code, lot, NULL, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    if (spl_lot_stands_on(lot, on, error))
        return TRUE;
    spl_record_clear(&spl_lot_shape, lot);
    return FALSE;
}

/* Ends the transaction; the caller's lot is written when all went well. */
static gboolean finish_with(struct spl_house *house, gboolean ok, struct spl_lot *found,
                            struct spl_lot *lot, GError **error)
{
    if (spl_book_finish(house->book, ok, error)) {
        *lot = *found;
        return TRUE;
    }
    spl_record_clear(&spl_lot_shape, found);
    return FALSE;
}

static const enum spl_lot_act decision_acts[] = {[SPL_LOT_RELEASE] = SPL_LOT_RELEASED,
                                                 [SPL_LOT_WITHDRAW] = SPL_LOT_WAS_WITHDRAWN,
                                                 [SPL_LOT_HOLD] = SPL_LOT_WAS_HELD};

static gboolean write_decision(struct spl_house *house, enum spl_lot_decision decision,
                               const struct spl_lot_decide_words *words, struct spl_lot *lot,
                               GPtrArray **with, GError **error)
{
    gboolean free_already = lot->state != SPL_STATE_IS_HELD && lot->state != SPL_STATE_WITHDRAWN;
    GArray *answered = NULL;

    if (decision == SPL_LOT_RELEASE && free_already) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s; nothing to release", lot->code,
                    spl_state_names[lot->state]);
        return FALSE;
    }
    if (decision == SPL_LOT_WITHDRAW && lot->state == SPL_STATE_WITHDRAWN) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS, "%s: is withdrawn already (%s)", lot->code,
                    lot->why);
        return FALSE;
    }
    if (decision == SPL_LOT_RELEASE &&
        (answered =
             spl_standing_release(house, lot->id, words->on, words->by, words->why, error)) == NULL)
        return FALSE;
    if (!spl_lot_event_add(house->book, lot->id, decision_acts[decision], words->on, words->why,
                           NAN, NAN, words->by, error) ||
        !reread(house, lot, error)) {
        spl_list_free(&spl_cause_shape, answered);
        return FALSE;
    }
    lot->answered = answered;
    *with = decision == SPL_LOT_RELEASE ? g_ptr_array_new()
                                        : spl_standing_downstream(house, lot->id, error);
    return *with != NULL;
}

gboolean spl_lot_decide(struct spl_house *house, enum spl_lot_decision decision,
                        const struct spl_lot_decide_words *said, struct spl_lot *lot,
                        GPtrArray **with, GError **error)
{
    struct spl_lot_decide_words words;
    struct spl_lot found = {0};
    GPtrArray *came = NULL;
    gboolean ok;

    if ((guint)decision >= G_N_ELEMENTS(decision_acts)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "decision",
                            "is none of these: release, withdraw, hold");
        return FALSE;
    }
    if (!spl_entry_take(house, &spl_lot_decide_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error);
    if (ok) {
        ok = find_standing(house, words.code, words.on, &found, error) &&
             write_decision(house, decision, &words, &found, &came, error);
        ok = finish_with(house, ok, &found, lot, error);
    }
    if (ok)
        *with = came;
    else
        g_clear_pointer(&came, g_ptr_array_unref);
    spl_inputs_clear(&spl_lot_decide_inputs, &words);
    return ok;
}
