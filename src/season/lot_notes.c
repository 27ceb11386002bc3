/* SPDX-License-Identifier: MIT
 *
 * What is noted of a lot beside what goes in and out: the bottles and where they stand, what people
 * said of it. See simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/amendment.h"
#include "book/lot.h"
#include "book/reaction.h"
#include "book/use.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

/* ---- bottles and their place ---- */

static const struct spl_input bottle_rows[] = {
    SPL_INPUT(spl_bottle_words, count, COUNT, "count", "how many", .min = 1, .max = 1000),
    SPL_INPUT(spl_bottle_words, size, AMOUNT, "size", "of each: 100mL", .needed = 1),
};

/* "4x100mL", "250g". */
static gboolean read_bottle(const char *text, const char *what, void *element, GError **error)
{
    struct spl_bottle_words *bottle = element;
    const char *size = text;
    char *end;
    guint64 count = g_ascii_strtoull(text, &end, 10);

    if (g_ascii_isdigit(*text) && (*end == 'x' || *end == 'X')) {
        if (count < 1 || count > 1000) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: so many bottles there are not; write it as 4x100mL", what);
            return FALSE;
        }
        bottle->count = (int)count;
        size = end + 1;
    }
    return spl_amount_parse(size, what, &bottle->size, error);
}

static void fill_bottle(void *record, struct spl_day today)
{
    struct spl_bottle_words *bottle = record;

    (void)today;
    if (bottle->count == SPL_COUNT_NONE)
        bottle->count = 1;
}

const struct spl_inputs spl_bottle_inputs =
    SPL_INPUTS("bottle", spl_bottle_words, bottle_rows, .line = read_bottle, .line_value = "AMOUNT",
               .fill = fill_bottle);

static const struct spl_input lot_bottle_rows[] = {
    SPL_INPUT(spl_lot_bottle_words, code, CODE, "code", "the lot", .needed = 1, .words = "L"),
    SPL_INPUT(spl_lot_bottle_words, bottles, LIST, "bottles",
              "what it was bottled into: 4x100mL 1x250mL", .item = &spl_bottle_inputs),
    SPL_INPUT(spl_lot_bottle_words, place, NAME, "at", "where it stands: \"shelf B3\"",
              .value = "PLACE"),
    SPL_INPUT(spl_lot_bottle_words, by, NAME, "by", "who bottled", .value = "WHO",
              .setting = "who"),
};
static const struct spl_rule lot_bottle_rules[] = {{SPL_RULE_SOME, {"bottles", "at"}}};
const struct spl_inputs spl_lot_bottle_inputs =
    SPL_INPUTS("lot_bottle", spl_lot_bottle_words, lot_bottle_rows, SPL_RULES(lot_bottle_rules));

/* "4x100 1x250", in the unit in which the lot is kept; `holds` gets what they hold together. */
static char *bottles_text(const struct spl_lot *lot, const GArray *bottles, double *holds,
                          GError **error)
{
    g_autoptr(GString) text = g_string_new(NULL);

    *holds = 0;
    for (guint i = 0; i < bottles->len; i++) {
        const struct spl_bottle_words *one = &g_array_index(bottles, struct spl_bottle_words, i);
        double size = lot->unit == SPL_LOT_G ? one->size.g : one->size.ml;

        if (isnan(size)) {
            g_autofree char *path = g_strdup_printf("bottles.%u.size", i);

            spl_error_set_input(error, SPL_ERROR_INVALID, path, "%s is kept in %s; say it so",
                                lot->code, lot->unit == SPL_LOT_G ? "grams" : "millilitres");
            return NULL;
        }
        g_string_append_printf(text, "%s%dx%.4g", i > 0 ? " " : "", one->count, size);
        *holds += one->count * size;
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

/* Inside the transaction. */
static gboolean bottle(struct spl_house *house, const struct spl_lot_bottle_words *words,
                       struct spl_lot *lot, GPtrArray *cautions, GError **error)
{
    double holds = NAN, left = lot->unit == SPL_LOT_G ? lot->left_g : lot->left_ml;
    g_autofree char *text = NULL;

    if (lot->struck != NULL || lot->state == SPL_STATE_DESTROYED) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s (%s)", lot->code,
                    spl_state_names[lot->state], lot->why != NULL ? lot->why : "");
        return FALSE;
    }
    if (words->bottles != NULL && words->bottles->len > 0) {
        text = bottles_text(lot, words->bottles, &holds, error);
        if (text == NULL || !spl_amendment_add_text(house->book, lot->uuid, "bottles", text,
                                                    words->by, "bottled", error))
            return FALSE;
    }
    if (holds * SPL_MEASURED_MORE + SPL_CRUMB < left) {
        const char *unit = lot->unit == SPL_LOT_G ? "g" : "mL";
        g_autofree char *room = spl_amount_format(holds, unit);
        g_autofree char *there = spl_amount_format(left, unit);

        spl_caution_add(cautions, "these hold %s, and %s are there", room, there);
    }
    return words->place == NULL ||
           spl_amendment_add_text(house->book, lot->uuid, "place", words->place, words->by,
                                  "where it stands", error);
}

gboolean spl_lot_bottle(struct spl_house *house, const struct spl_lot_bottle_words *said,
                        struct spl_lot *lot, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    struct spl_lot_bottle_words words;
    struct spl_lot found = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_lot_bottle_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error);
    if (ok) {
        ok = spl_shelf_find(house, words.code, &found, NULL, error);
        if (!ok)
            spl_error_about(error, "code");
        ok = ok && bottle(house, &words, &found, told, error);
        spl_record_clear(&spl_lot_shape, &found);
        ok = ok && spl_shelf_find(house, words.code, &found, NULL, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok) {
        *lot = found;
        *cautions = g_steal_pointer(&told);
    } else {
        spl_record_clear(&spl_lot_shape, &found);
    }
    spl_inputs_clear(&spl_lot_bottle_inputs, &words);
    return ok;
}

/* ---- complaints and reactions ---- */

static const struct spl_input reaction_rows[] = {
    SPL_INPUT(spl_reaction_words, code, CODE, "code", "the lot", .words = "L"),
    SPL_INPUT(spl_reaction_words, ref, NAME, "for", "whose: a number, never a name",
              .value = "NUMBER"),
    SPL_INPUT(spl_reaction_words, kind, CHOICE, "kind", "reaction (default) or complaint",
              .value = "KIND", .words = "reaction complaint"),
    SPL_INPUT(spl_reaction_words, text, TEXT, "text", "what was said", .needed = 1),
    SPL_INPUT(spl_reaction_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_reaction_words, by, NAME, "by", "who noted it", .value = "WHO", .setting = "who"),
};
static const struct spl_rule reaction_rules[] = {{SPL_RULE_SOME, {"code", "for"}}};

static gboolean check_reaction(const void *record, GError **error)
{
    return spl_lot_ref_check(((const struct spl_reaction_words *)record)->ref, error);
}

const struct spl_inputs spl_reaction_inputs =
    SPL_INPUTS("lot_reaction", spl_reaction_words, reaction_rows, SPL_RULES(reaction_rules),
               .check = check_reaction);

/* Did anything of the lot go to that reference? */
static gboolean went_to(const struct spl_lot *lot, const char *ref)
{
    for (guint i = 0; i < lot->used->len; i++) {
        if (g_strcmp0(g_array_index(lot->used, struct spl_lot_use, i).ref, ref) == 0)
            return TRUE;
    }
    return FALSE;
}

/* Inside the transaction. */
static gboolean react(struct spl_house *house, const struct spl_reaction_words *words,
                      struct spl_reaction *reaction, GPtrArray *cautions, GError **error)
{
    struct spl_lot lot;
    gboolean known = TRUE;

    if (words->code != NULL) {
        if (!spl_shelf_find(house, words->code, &lot, NULL, error)) {
            spl_error_about(error, "code");
            return FALSE;
        }
        if (words->ref != NULL && !went_to(&lot, words->ref))
            spl_caution_add(cautions, "by this book nothing of %s went to %s", lot.code,
                            words->ref);
        reaction->lot_id = lot.id;
        reaction->code = g_strdup(lot.code);
        spl_record_clear(&spl_lot_shape, &lot);
    } else if (!spl_use_of_ref(house->book, words->ref, &known, error)) {
        return FALSE;
    }
    if (!known) {
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "for",
                            "nothing went to %s by this book; look at the number, or say the lot",
                            words->ref);
        return FALSE;
    }
    return spl_reaction_add(house->book, reaction, error);
}

gboolean spl_lot_react(struct spl_house *house, const struct spl_reaction_words *said,
                       struct spl_reaction *reaction, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    struct spl_reaction_words words;
    struct spl_reaction made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_reaction_inputs, said, &words, error))
        return FALSE;
    made = (struct spl_reaction){.ref = g_strdup(words.ref),
                                 .kind = g_strcmp0(words.kind, "complaint") == 0
                                             ? SPL_REACTION_COMPLAINT
                                             : SPL_REACTION_REACTION,
                                 .day = words.on,
                                 .words = g_strdup(words.text),
                                 .by = g_strdup(words.by)};
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, react(house, &words, &made, told, error), error);
    if (ok) {
        *reaction = made;
        *cautions = g_steal_pointer(&told);
    } else {
        spl_record_clear(&spl_reaction_shape, &made);
    }
    spl_inputs_clear(&spl_reaction_inputs, &words);
    return ok;
}
