/* SPDX-License-Identifier: MIT
 *
 * Throwing away, from any code. See simpling/batch.h.
 */
#include <math.h>

#include "book/draw.h"
#include "book/drying.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "book/purchase.h"
#include "season/batch_private.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input discard_rows[] = {
    SPL_INPUT(spl_discard_words, code, CODE, "code", "what is thrown away", .needed = 1,
              .words = "HPDBL"),
    SPL_INPUT(spl_discard_words, amount, AMOUNT, "amount", "how much of it (default: all)"),
    SPL_INPUT(spl_discard_words, why, TEXT, "why", "what happened", .needed = 1),
    SPL_INPUT(spl_discard_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_discard_words, by, NAME, "by", "who threw it away", .value = "WHO",
              .setting = "who"),
};
const struct spl_inputs spl_discard_inputs = SPL_INPUTS("discard", spl_discard_words, discard_rows);

static const struct spl_field discarded_fields[] = {
    SPL_FIELD(spl_discarded, code, SPL_TEXT, "code", "code"),
    SPL_FIELD_NUM(spl_discarded, g, 1, "g", "thrown away g"),
    SPL_FIELD_NUM(spl_discarded, ml, 1, "ml", "thrown away mL"),
    SPL_FIELD_NUM(spl_discarded, left_g, 1, "left_g", "left g"),
    SPL_FIELD_NUM(spl_discarded, left_ml, 1, "left_ml", "left mL"),
    SPL_FIELD(spl_discarded, why, SPL_TEXT, "why", "why"),
};
const struct spl_shape spl_discarded_shape =
    SPL_SHAPE("discarded", spl_discarded, discarded_fields);

/* What there is of a thing, before. */
struct there {
    double g, ml; /* NAN: not counted so */
    struct spl_day since;
    gboolean standing_batch;
};

static gboolean look_at_herb(struct spl_house *house, const struct spl_thing *thing,
                             struct there *there, GError **error)
{
    if (thing->kind == 'H') {
        struct spl_harvest harvest;

        if (!spl_harvest_find(house->book, thing->code, &harvest, error))
            return FALSE;
        there->g = harvest.left_g;
        there->since = harvest.date;
        spl_record_clear(&spl_harvest_shape, &harvest);
    } else if (thing->kind == 'P') {
        struct spl_purchase purchase;

        if (!spl_purchase_find(house->book, thing->code, &purchase, error))
            return FALSE;
        there->g = purchase.left_g;
        there->since = purchase.date;
        spl_record_clear(&spl_purchase_shape, &purchase);
    } else {
        struct spl_drying drying;

        if (!spl_drying_find(house->book, thing->code, &drying, error))
            return FALSE;
        there->g = drying.left_g;
        there->since = drying.started;
        spl_record_clear(&spl_drying_shape, &drying);
    }
    return TRUE;
}

static gboolean look_at(struct spl_house *house, const struct spl_thing *thing, struct there *there,
                        GError **error)
{
    *there = (struct there){.g = NAN, .ml = NAN, .since = SPL_DAY_NONE};
    if (thing->kind == 'L') {
        struct spl_lot lot;

        if (!spl_shelf_get(house, thing->id, &lot, error))
            return FALSE;
        there->g = lot.left_g;
        there->ml = lot.left_ml;
        there->since = lot.made;
        spl_record_clear(&spl_lot_shape, &lot);
        return TRUE;
    }
    if (thing->kind == 'B') {
        struct spl_brew brew;

        if (!spl_brew_load(house, thing->code, &brew, error))
            return FALSE;
        there->since = brew.row.day;
        there->standing_batch = spl_brew_state(&brew) == SPL_BATCH_STANDS;
        if (there->standing_batch && brew.liquid != SPL_LIQUID_NONE)
            there->ml = brew.sum.pool.ml;
        if (!there->standing_batch || brew.liquid == SPL_LIQUID_NONE)
            there->g =
                brew.row.herb_g - brew.row.marc_drawn_g - brew.row.pressed_g - brew.row.discarded_g;
        if (spl_brew_state(&brew) == SPL_BATCH_DISCARDED)
            there->g = there->ml = 0.0;
        spl_brew_clear(&brew);
        return TRUE;
    }
    return look_at_herb(house, thing, there, error);
}

/* How much goes: what was said, else everything. */
static gboolean take_amount(const struct spl_thing *thing, const struct there *there,
                            struct spl_amount said, struct spl_discarded *discarded, GError **error)
{
    gboolean by_ml = !isnan(there->ml);
    double left = by_ml ? there->ml : there->g, wanted = by_ml ? said.ml : said.g;
    const char *unit = by_ml ? "mL" : "g";

    if (by_ml ? !isnan(said.g) : !isnan(said.ml)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "amount", "%s is counted in %s; say it so",
                            thing->code, unit);
        return FALSE;
    }
    if (isnan(left)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: its weight is missing; weigh it first, a guess is better than none",
                    thing->code);
        return FALSE;
    }
    if (left < SPL_CRUMB) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: nothing is left to throw away",
                    thing->code);
        return FALSE;
    }
    if (isnan(wanted))
        wanted = left;
    if (wanted > left + SPL_CRUMB) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %.1f %s to throw away, %.1f %s are there", thing->code, wanted, unit, left,
                    unit);
        return FALSE;
    }
    wanted = MIN(wanted, left);
    *discarded = (struct spl_discarded){.code = g_strdup(thing->code),
                                        .g = by_ml ? (double)NAN : wanted,
                                        .ml = by_ml ? wanted : (double)NAN,
                                        .left_g = by_ml ? (double)NAN : left - wanted,
                                        .left_ml = by_ml ? left - wanted : (double)NAN};
    return TRUE;
}

/* Inside the transaction. */
static gboolean discard(struct spl_house *house, const struct spl_discard_words *words,
                        const struct spl_thing *thing, struct spl_discarded *discarded,
                        GError **error)
{
    struct there there;

    if (!spl_thing_stands(house->book, thing, error) || !look_at(house, thing, &there, error) ||
        !take_amount(thing, &there, words->amount, discarded, error))
        return FALSE;
    if (spl_day_compare(words->on, there.since) < 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "on",
                            "%s is of a later day; give that day or one after it", thing->code);
        return FALSE;
    }
    discarded->why = g_strdup(words->why);
    if (!spl_discard_add(house->book, thing->id, words->on, discarded->g, discarded->ml, words->why,
                         words->by, error))
        return FALSE;
    /* A bottle thrown away whole is destroyed, whatever else was decided about it. */
    return thing->kind != 'L' ||
           (isnan(discarded->left_ml) ? discarded->left_g : discarded->left_ml) >= SPL_CRUMB ||
           spl_lot_event_add(house->book, thing->id, SPL_LOT_WAS_DESTROYED, words->on, words->why,
                             NAN, NAN, words->by, error);
}

static gboolean find_and_discard(struct spl_house *house, const struct spl_discard_words *words,
                                 struct spl_discarded *discarded, GError **error)
{
    struct spl_thing thing;
    gboolean ok;

    if (!spl_code_find(house->book, words->code, "HPDBL", "anything to throw away", &thing,
                       error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = discard(house, words, &thing, discarded, error);
    spl_thing_clear(&thing);
    return ok;
}

gboolean spl_discard(struct spl_house *house, const struct spl_discard_words *said,
                     struct spl_discarded *discarded, GError **error)
{
    struct spl_discard_words words;
    struct spl_discarded made = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_discard_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, find_and_discard(house, &words, &made, error), error);
    if (ok)
        *discarded = made;
    else
        spl_record_clear(&spl_discarded_shape, &made);
    spl_inputs_clear(&spl_discard_inputs, &words);
    return ok;
}
