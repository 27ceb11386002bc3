/* SPDX-License-Identifier: MIT
 *
 * Correcting and striking any coded record. See simpling/amend.h.
 *
 * What may be corrected are the rows with .amends of the inputs by which a record is entered, read
 * and checked as there. A kind of record that lets more be corrected marks more rows.
 */
#include "simpling/amend.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/input_walk.h"
#include "book/amendment.h"
#include "book/batch.h"
#include "book/check.h"
#include "book/code.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "book/purchase.h"
#include "book/site.h"
#include "core/stage.h"
#include "core/tables.h"
#include "season/batch_private.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "season/source.h"
#include "season/state.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/purchase.h"
#include "simpling/site.h"

static const struct spl_field correction_fields[] = {
    SPL_FIELD(spl_correction, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_correction, field, SPL_TEXT, "field", "what"),
    SPL_FIELD(spl_correction, was, SPL_TEXT, "was", "was"),
    SPL_FIELD(spl_correction, became, SPL_TEXT, "became", "became"),
    SPL_FIELD(spl_correction, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_correction, by, SPL_TEXT, "by", "by"),
};
const struct spl_shape spl_correction_shape =
    SPL_SHAPE("correction", spl_correction, correction_fields);

static const struct spl_input change_rows[] = {
    SPL_INPUT(spl_change_words, key, NAME, "key", "what of it", .needed = 1, .value = "WHAT"),
    SPL_INPUT(spl_change_words, text, TEXT, "text", "how it is right", .needed = 1),
};
const struct spl_inputs spl_change_inputs = SPL_INPUTS("change", spl_change_words, change_rows);

static const struct spl_input amend_rows[] = {
    SPL_INPUT(spl_amend_words, code, CODE, "code", "the record", .needed = 1, .words = "HPDBLNU"),
    SPL_INPUT(spl_amend_words, changes, LIST, "changes", "what is to be corrected, and to what",
              .needed = 1, .item = &spl_change_inputs),
    SPL_INPUT(spl_amend_words, why, TEXT, "why", "the reason", .needed = 1),
    SPL_INPUT(spl_amend_words, by, NAME, "amended_by", "who corrects", .value = "WHO",
              .setting = "who"),
    SPL_INPUT(spl_amend_words, sure, FLAG, "sure",
              "it weighs so, although nobody carries that much home", .advanced = 1),
};
const struct spl_inputs spl_amend_inputs = SPL_INPUTS("amend", spl_amend_words, amend_rows);

/* A lot is made by pressing, several at a time; this is what one may say of each afterwards. */
struct lot_words {
    struct spl_day on, use_by;
    struct spl_amount yield;
    gboolean outside;
    const char *by, *remark;
};
static const struct spl_input lot_rows[] = {
    SPL_INPUT(lot_words, on, DAY, "on", "the day it was made", .past = 1, .amends = 1),
    SPL_INPUT(lot_words, yield, AMOUNT, "yield", "what came out of the jars: 390mL", .amends = 1),
    SPL_INPUT(lot_words, use_by, DAY, "use_by", "use by", .amends = 1),
    SPL_INPUT(lot_words, outside, FLAG, "outside", "for outside use only", .amends = 1),
    SPL_INPUT(lot_words, by, NAME, "by", "who made it", .value = "WHO", .amends = 1),
    SPL_INPUT(lot_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
};
static const struct spl_inputs lot_inputs = SPL_INPUTS("lot", lot_words, lot_rows);

/* The same of what went out. */
struct use_words {
    const char *ref, *directions, *by;
};
static const struct spl_input use_rows[] = {
    SPL_INPUT(use_words, ref, NAME, "for", "your reference: a number, never a name",
              .value = "NUMBER", .amends = 1),
    SPL_INPUT(use_words, directions, TEXT, "directions", "how it is to be taken", .amends = 1),
    SPL_INPUT(use_words, by, NAME, "by", "who gave it out", .value = "WHO", .amends = 1),
};
static gboolean check_use(const void *record, GError **error)
{
    return spl_lot_ref_check(((const struct use_words *)record)->ref, error);
}
static const struct spl_inputs use_inputs =
    SPL_INPUTS("use", use_words, use_rows, .check = check_use);

const struct spl_inputs *const spl_amended_inputs[] = {
    &spl_harvest_inputs, &spl_purchase_inputs, &spl_drying_inputs,
    &spl_batch_inputs,   &lot_inputs,          &spl_spray_inputs,
    &spl_stage_inputs,   &use_inputs,          NULL};

/* Where the present values of each of these stand, in their order. A code's letter may stand for
 * several kinds of record, and the view that holds it tells which. */
static const struct home {
    char kind;
    const char *view;
} homes[] = {{'H', "harvest_now"},    {'P', "purchase_now"}, {'D', "drying_now"},
             {'B', "batch_now"},      {'L', "lot_now"},      {'N', "spray_note_now"},
             {'N', "stage_note_now"}, {'U', "use_now"}};
G_STATIC_ASSERT(G_N_ELEMENTS(homes) + 1 == G_N_ELEMENTS(spl_amended_inputs));

/* The column of a view, and name of the amended field, in which an input lands. Free with g_free.
 */
static char *column_of(const struct spl_input *row)
{
    if (row->kind == SPL_INPUT_MASS)
        return g_strconcat(row->key, "_g", NULL);
    if (row->kind == SPL_INPUT_AMOUNT)
        return g_strdup("amount");
    if (strcmp(row->key, "for") == 0)
        return g_strdup("ref");
    return g_strdup(strcmp(row->key, "on") == 0 ? "day" : row->key);
}

/* One value that is corrected. */
struct change {
    const struct home *home;
    const struct spl_inputs *inputs;
    const struct spl_input *row;
    char *column, *was;
};

static void change_clear(struct change *change)
{
    g_free(change->column);
    g_free(change->was);
}

/* Whether the record is of this table; `was` gets the present value of the row's column. */
static gboolean look_up(struct spl_book *book, const struct spl_thing *thing,
                        const struct home *home, const struct spl_input *row, char **was,
                        gboolean *there, GError **error)
{
    g_autofree char *column = column_of(row);
    GError *failed = NULL;

    *was = spl_amendment_value(book, home->view, column, thing->id, there, &failed);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* Finds the row of this very record for a key; `keys` gets all that it has. */
static gboolean find_change(struct spl_book *book, const struct spl_thing *thing, const char *key,
                            GString *keys, struct change *change, GError **error)
{
    for (gsize i = 0; i < G_N_ELEMENTS(homes); i++) {
        const struct spl_inputs *inputs = spl_amended_inputs[i];
        gboolean there = homes[i].kind == thing->kind;

        for (gsize k = 0; there && k < inputs->n; k++) {
            const struct spl_input *row = &inputs->rows[k];
            g_autofree char *was = NULL;
            g_autofree char *word = g_strdelimit(g_strdup(row->key), "_", ' ');

            if (!row->amends)
                continue;
            if (!look_up(book, thing, &homes[i], row, &was, &there, error))
                return FALSE;
            if (there && strcmp(row->key, key) == 0) {
                *change =
                    (struct change){&homes[i], inputs, row, column_of(row), g_steal_pointer(&was)};
                return TRUE;
            }
            if (there)
                g_string_append_printf(keys, "%s%s", keys->len > 0 ? ", " : "", word);
        }
    }
    return TRUE;
}

/* What is only planned can be put off to a day that is still to come; all else has been. */
static gboolean has_come(struct spl_house *house, const struct change *change,
                         const struct spl_thing *thing)
{
    gboolean there;
    g_autofree char *kind = NULL;

    if (change->inputs != &spl_spray_inputs)
        return change->row->past;
    kind = spl_amendment_value(house->book, change->home->view, "kind", thing->id, &there, NULL);
    switch (spl_word_value(spl_spray_kind_names, kind)) {
    case SPL_SPRAY_PLANNED:
    case SPL_SPRAY_NOT_DONE:
        return FALSE;
    default:
        return strcmp(change->row->key, "until") != 0;
    }
}

/* No jar can have given more than was in it. */
static gboolean batches_can_give(struct spl_house *house, const GPtrArray *batches, GError **error)
{
    gboolean ok = TRUE;

    for (guint i = 0; ok && i < batches->len; i++) {
        struct spl_brew brew;

        if (!spl_brew_load(house, batches->pdata[i], &brew, error))
            return FALSE;
        ok = spl_brew_can_give(
            &brew, brew.liquid == SPL_LIQUID_NONE ? brew.row.pressed_g : brew.row.pressed_ml,
            error);
        spl_brew_clear(&brew);
    }
    return ok;
}

/* What was counted since stands as it was counted, whatever came out of the jar. */
static gboolean keep_count(struct spl_house *house, const struct spl_lot *lot, double amount,
                           const char *by, GError **error)
{
    double left = lot->unit == SPL_LOT_G ? lot->left_g : lot->left_ml;
    gboolean counted = FALSE;

    for (guint i = 0; i < lot->events->len; i++)
        counted |= g_array_index(lot->events, struct spl_lot_event, i).kind == SPL_LOT_COUNTED;
    if (counted && left > amount * SPL_MEASURED_MORE + SPL_CRUMB) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: more than that was counted of it; count it again first", lot->code);
        return FALSE;
    }
    return !counted || spl_lot_event_add(house->book, lot->id, SPL_LOT_COUNTED, house->today,
                                         "the yield was corrected; what was counted stands", left,
                                         lot->amount - amount, by, error);
}

static gboolean write_yield(struct spl_house *house, const struct spl_thing *thing,
                            struct spl_amount yield, const char *by, const char *why,
                            GError **error)
{
    struct spl_lot lot;
    double amount;
    gboolean ok, weighed;

    if (!spl_shelf_find(house, thing->code, &lot, NULL, error))
        return FALSE;
    weighed = lot.unit == SPL_LOT_G;
    amount = weighed ? yield.g : yield.ml;
    ok = !isnan(amount);
    if (!ok)
        spl_error_set_input(error, SPL_ERROR_INVALID, "yield", "%s is kept in %s; say it so",
                            lot.code, weighed ? "grams" : "millilitres");
    ok = ok && spl_amendment_add_real(house->book, thing->uuid, "amount", amount, by, why, error) &&
         keep_count(house, &lot, amount, by, error) && batches_can_give(house, lot.from, error);
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

static gboolean add_value(struct spl_house *house, const struct change *change,
                          const struct spl_thing *thing, const void *record, const char *by,
                          const char *why, GError **error)
{
    const spl_member_at *member = spl_input_member(change->row, record);
    struct spl_book *book = house->book;
    const char *uuid = thing->uuid;
    int stage;

    if (spl_input_is_number(change->row))
        return spl_amendment_add_real(book, uuid, change->column, member->number, by, why, error);
    switch (change->row->kind) {
    case SPL_INPUT_DAY:
    case SPL_INPUT_MONTH:
        return spl_amendment_add_day(book, uuid, change->column, member->day, by, why, error);
    case SPL_INPUT_AMOUNT:
        return write_yield(house, thing, member->amount, by, why, error);
    case SPL_INPUT_STAGE:
        return spl_stage_parse(member->text, change->row->key, &stage, error) &&
               spl_amendment_add_int(book, uuid, change->column, stage, by, why, error);
    case SPL_INPUT_FLAG:
        /* What a flag says narrows: inside to outside, and never back. */
        if (member->count == 0) {
            spl_error_set_input(
                error, SPL_ERROR_REFUSED, change->row->key,
                "only narrows: what was once for outside is never for inside again");
            return FALSE;
        }
        return spl_amendment_add_int(book, uuid, change->column, 1, by, why, error);
    default:
        return spl_amendment_add_text(book, uuid, change->column, member->text, by, why, error);
    }
}

/* Reads and checks the text as the entry's own input and writes the amendment. */
static gboolean write_value(struct spl_house *house, const struct change *change,
                            const struct spl_thing *thing, const char *text, const char *by,
                            const char *why, GError **error)
{
    struct spl_input row = *change->row;
    struct spl_inputs one = {
        .name = change->inputs->name, .rows = &row, .n = 1, .size = change->inputs->size};
    g_autofree void *said = g_malloc0(one.size), *own = g_malloc0(one.size);
    gboolean ok;

    row.past = has_come(house, change, thing) ? 1 : 0;
    row.needed = 1;
    row.today = 0;
    row.setting = NULL;
    spl_inputs_init(&one, said);
    spl_inputs_init(&one, own);
    ok = spl_inputs_read(&one, row.key, text, said, error) &&
         spl_entry_take(house, &one, said, own, error) &&
         (change->inputs != &use_inputs || check_use(own, error)) &&
         add_value(house, change, thing, own, by, why, error);
    if (!ok)
        spl_error_about(error, row.key);
    spl_inputs_clear(&one, said);
    spl_inputs_clear(&one, own);
    return ok;
}

static void refuse_less(const char *code, double drawn_g, GError **error)
{
    g_autofree char *drawn = spl_mass_exact(drawn_g);

    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: %s more than that were drawn from it already; correct the batches first", code,
                drawn);
}

static gboolean purchase_sound(struct spl_house *house, const struct spl_thing *thing,
                               GError **error)
{
    struct spl_purchase purchase;
    gboolean ok;

    if (!spl_purchase_find(house->book, thing->code, &purchase, error))
        return FALSE;
    ok = purchase.left_g > -0.05;
    if (!ok)
        refuse_less(thing->code, -purchase.left_g, error);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return ok;
}

static gboolean lot_sound(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    struct spl_lot lot;
    double less;

    if (!spl_lot_get(house->book, thing->id, house->today, &lot, error))
        return FALSE;
    less = lot.gone - lot.amount;
    if (less >= SPL_CRUMB)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %.1f %s more than that went out of it already", thing->code, less,
                    lot.unit == SPL_LOT_G ? "g" : "mL");
    spl_record_clear(&spl_lot_shape, &lot);
    return less < SPL_CRUMB;
}

/* What must still hold after the correction. */
static gboolean still_sound(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    struct spl_harvest harvest;
    gboolean ok;

    if (thing->kind == 'P')
        return purchase_sound(house, thing, error);
    if (thing->kind == 'L')
        return lot_sound(house, thing, error);
    if (thing->kind != 'H')
        return TRUE;
    if (!spl_harvest_find(house->book, thing->code, &harvest, error))
        return FALSE;
    ok = !(harvest.left_g <= -0.05); /* not weighed yet: nothing was drawn */
    if (!ok)
        refuse_less(thing->code, -harvest.left_g, error);
    else if (!isnan(harvest.garbled_g) && harvest.garbled_g > harvest.weight_g) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: would weigh more garbled than it came home; correct both", thing->code);
        ok = FALSE;
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

/* What a harvest is said to weigh now is asked about as when it was logged. */
static gboolean load_sound(struct spl_house *house, const struct spl_thing *thing,
                           const struct spl_amend_words *words, GError **error)
{
    struct spl_harvest harvest;
    gboolean weighed = FALSE, ok;

    for (guint i = 0; i < words->changes->len; i++)
        weighed |=
            strcmp(g_array_index(words->changes, struct spl_change_words, i).key, "weight") == 0;
    if (thing->kind != 'H' || !weighed)
        return TRUE;
    if (!spl_harvest_find(house->book, thing->code, &harvest, error))
        return FALSE;
    ok = spl_load_check(harvest.weight_g, words->sure, error);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

/* A harvest that is moved to another day was picked from the ground of that day: closed ground is
 * refused as it is when it is logged; doubtful ground holds by itself. */
static gboolean judge_again(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    struct spl_verdict_result result;
    struct spl_harvest harvest;
    struct spl_site site;
    g_autofree char *why_held = NULL;
    char day[SPL_DAY_TEXT_SIZE];
    gboolean ok;

    if (tables == NULL || !spl_harvest_find(house->book, thing->code, &harvest, error))
        return FALSE;
    ok = spl_site_named(house->book, harvest.site_id, &site, error);
    if (ok) {
        ok =
            spl_ground_judge(house, &site, harvest.date,
                             spl_tables_material_by_slug(tables, harvest.material), &result, error);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (ok) {
        why_held = spl_ground_why(&result);
        if (result.verdict == SPL_VERDICT_CLOSED && harvest.held == NULL) {
            spl_ground_refuse(error, &result, "%s: %s is closed on %s, the day was not changed",
                              thing->code, harvest.site, spl_day_format(harvest.date, day));
            ok = FALSE;
        }
        spl_verdict_result_clear(&result);
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

/* A day as it stands in a column ("20574") as an ISO date; NULL stays NULL. */
static char *day_text(const char *number)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (number == NULL)
        return NULL;
    return g_strdup(
        spl_day_format((struct spl_day){(gint32)g_ascii_strtoll(number, NULL, 10)}, text));
}

static gboolean amend_one(struct spl_house *house, const struct spl_thing *thing,
                          const struct spl_change_words *said, const struct spl_amend_words *words,
                          GArray *corrections, gboolean *dated, GError **error)
{
    g_autoptr(GString) keys = g_string_new(NULL);
    struct change change = {0};
    struct spl_correction correction;
    gboolean ok;

    if (!find_change(house->book, thing, said->key, keys, &change, error))
        return FALSE;
    if (change.row == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, said->key, "%s has none to correct; it has %s",
                            thing->code,
                            keys->len > 0 ? keys->str : "nothing that can be amended, only struck");
        return FALSE;
    }
    correction = (struct spl_correction){
        .code = g_strdup(thing->code),
        .field = g_strdelimit(g_strdup(said->key), "_", '-'),
        .was = change.row->kind == SPL_INPUT_DAY || change.row->kind == SPL_INPUT_MONTH
                   ? day_text(change.was)
                   : g_strdup(change.was),
        .became = g_strdup(said->text),
        .why = g_strdup(words->why),
        .by = g_strdup(words->by),
    };
    g_array_append_val(corrections, correction);
    *dated |= strcmp(change.column, "day") == 0;
    ok = write_value(house, &change, thing, said->text, words->by, words->why, error);
    change_clear(&change);
    return ok;
}

static gboolean amend_all(struct spl_house *house, const struct spl_thing *thing,
                          const struct spl_amend_words *words, GArray *corrections, GError **error)
{
    gboolean dated = FALSE; /* what hangs on the date must still come after it */

    for (guint i = 0; i < words->changes->len; i++) {
        if (!amend_one(house, thing, &g_array_index(words->changes, struct spl_change_words, i),
                       words, corrections, &dated, error))
            return FALSE;
    }
    return still_sound(house, thing, error) && load_sound(house, thing, words, error) &&
           (!dated || thing->kind != 'H' || judge_again(house, thing, error)) &&
           (!dated || spl_book_check_dates(house->book, thing->code, error));
}

/* The record that something is done with; inside the transaction. */
static gboolean find_thing(struct spl_house *house, const char *code, struct spl_thing *thing,
                           GError **error)
{
    if (spl_code_find(house->book, code, "HPDBLNU", "a record", thing, error))
        return TRUE;
    spl_error_about(error, "code");
    return FALSE;
}

static gboolean find_and_amend(struct spl_house *house, const struct spl_amend_words *words,
                               GArray *corrections, GError **error)
{
    struct spl_thing thing;
    gboolean ok;

    if (!find_thing(house, words->code, &thing, error))
        return FALSE;
    ok = spl_thing_stands(house->book, &thing, error) &&
         amend_all(house, &thing, words, corrections, error);
    spl_thing_clear(&thing);
    return ok;
}

GArray *spl_record_amend(struct spl_house *house, const struct spl_amend_words *said,
                         GError **error)
{
    struct spl_amend_words words;
    GArray *corrections = NULL;

    if (!spl_entry_take(house, &spl_amend_inputs, said, &words, error))
        return NULL;
    if (spl_book_begin(house->book, error)) {
        corrections = spl_list_new(&spl_correction_shape);
        if (!spl_book_finish(house->book, find_and_amend(house, &words, corrections, error),
                             error)) {
            spl_list_free(&spl_correction_shape, corrections);
            corrections = NULL;
        }
    }
    spl_inputs_clear(&spl_amend_inputs, &words);
    return corrections;
}
