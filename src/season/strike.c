/* SPDX-License-Identifier: MIT
 *
 * Taking back a record, or the last entry whatever it was. See simpling/amend.h.
 */
#include <string.h>

#include "book/amendment.h"
#include "book/batch.h"
#include "book/code.h"
#include "book/draw.h"
#include "book/last.h"
#include "season/ground_map.h"
#include "season/state.h"
#include "simpling/amend.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input strike_rows[] = {
    SPL_INPUT(spl_strike_words, code, CODE, "code", "the record", .words = "HPDBLNU"),
    SPL_INPUT(spl_strike_words, last, FLAG, "last",
              "the last entry, whatever it was; if that was a strike, what it struck stands again"),
    SPL_INPUT(spl_strike_words, why, TEXT, "why",
              "the reason (the last entry alone may go without)"),
    SPL_INPUT(spl_strike_words, by, NAME, "by", "who takes it back", .value = "WHO",
              .setting = "who"),
    SPL_INPUT(spl_strike_words, entry, NAME, "entry",
              "with the last entry: its identity; nothing is taken back when another came since",
              .value = "UUID", .advanced = 1),
};
static const struct spl_rule strike_rules[] = {{SPL_RULE_ONE, {"code", "last"}},
                                               {SPL_RULE_WITH, {"entry", "last"}}};

static gboolean check_strike(const void *record, GError **error)
{
    const struct spl_strike_words *words = record;

    if (words->last || words->why != NULL)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_USAGE, "why", "is missing: the reason");
    return FALSE;
}

const struct spl_inputs spl_strike_inputs = SPL_INPUTS(
    "strike", spl_strike_words, strike_rows, SPL_RULES(strike_rules), .check = check_strike);

/* Does the marc of any of these batches stand in another jar? Its code, NULL: no. */
static gboolean marc_gone(struct spl_house *house, const GPtrArray *batches, const char **gone,
                          GError **error)
{
    *gone = NULL;
    for (guint i = 0; *gone == NULL && i < batches->len; i++) {
        struct spl_batch_row row;

        if (!spl_batch_find(house->book, batches->pdata[i], &row, error))
            return FALSE;
        if (row.marc_drawn_g > 0)
            *gone = batches->pdata[i];
        spl_batch_row_clear(&row);
    }
    return TRUE;
}

/* What went out of a lot cannot be crossed out of a recall, and a jar whose herb is in another one
 * does not stand again. */
static gboolean may_strike(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    const char *gone;
    struct spl_lot lot;
    gboolean ok;

    if (thing->kind == 'U') {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: went out and stays in every trace; only as the last entry is it taken "
                    "back, and to whom it went can be corrected",
                    thing->code);
        return FALSE;
    }
    if (thing->kind != 'L')
        return TRUE;
    if (!spl_shelf_find(house, thing->code, &lot, NULL, error))
        return FALSE;
    ok = marc_gone(house, lot.from, &gone, error);
    if (ok && lot.used->len > 0) {
        const struct spl_lot_use *first = &g_array_index(lot.used, struct spl_lot_use, 0);
        char day[SPL_DAY_TEXT_SIZE];

        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: went out (first on %s%s%s) and stays in every trace; count it, withdraw "
                    "it or throw the rest away instead",
                    lot.code, spl_day_format(first->date, day), first->ref != NULL ? " to " : "",
                    first->ref != NULL ? first->ref : "");
        ok = FALSE;
    } else if (ok && gone != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: the marc of %s went into another jar, so that jar cannot stand again; "
                    "strike the other jar first, or count the lot to correct what it holds",
                    lot.code, gone);
        ok = FALSE;
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

static gboolean strike_code(struct spl_house *house, const struct spl_strike_words *words,
                            struct spl_correction *correction, GError **error)
{
    struct spl_thing thing;
    gboolean ok;

    if (!spl_code_find(house->book, words->code, "HPDBLNU", "a record", &thing, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = may_strike(house, &thing, error) &&
         spl_strike_add(house->book, &thing, words->by, words->why, error);
    *correction = (struct spl_correction){
        .code = g_strdup(thing.code),
        .field = g_strdup("record"),
        .became = g_strdup("struck"),
        .why = g_strdup(words->why),
        .by = g_strdup(words->by),
    };
    spl_thing_clear(&thing);
    return ok;
}

/* ---- the last entry ---- */

/* What is written in these tables, and whether it can be taken back so: what is set anew each time
 * is set anew, not crossed out. */
static const struct what {
    const char *table, *words;
    gboolean back;
} whats[] = {
    {"site", "place", FALSE},
    {"permission", "leave", TRUE},
    {"stand_note", "stand", TRUE},
    {"amendment", "correction", TRUE},
    {"strike", "strike", TRUE},
    {"release", "release", TRUE},
    {"hold", "hold", TRUE},
    {"lot_event", "decision or count", TRUE},
    {"discard", "discard", TRUE},
    {"drying_event", "weighing or turning", TRUE},
    {"batch_step", "step", TRUE},
    {"charge", "addition", TRUE},
    {"reaction", "reaction", TRUE},
    {"recipe", "recipe", TRUE},
    {"planned", "planned batch", TRUE},
    {"liquid", "entry of what is poured", TRUE},
    {"answer", "answer", TRUE},
    {"trust", "trust", TRUE},
    {"draw", "draw", TRUE},
    {"lot_use", "use", TRUE},
    {"station", "weather station", FALSE},
    {"almanac", "almanac", FALSE},
    {"window_fix", "fixed window", FALSE},
    {"outing", "plan of outings", FALSE},
    {"outing_version", "plan of outings", FALSE},
    {"day_off", "plan of outings", FALSE},
    {"hazard_layer", "layer of contaminated ground", FALSE},
    {"method_figure", "figure of a method", FALSE},
};

static const char *what_is(const struct spl_last_row *row, gboolean *back)
{
    static const struct {
        char kind;
        const char *words;
    } things[] = {{'H', "harvest"}, {'P', "purchase"}, {'D', "drying"}, {'B', "batch"},
                  {'L', "lot"},     {'N', "note"},     {'U', "use"}};
    const char *code = row->code != NULL ? strrchr(row->code, ':') : NULL;

    *back = TRUE;
    if (strcmp(row->table, "thing") == 0) {
        code = code != NULL ? code + 1 : row->code;
        for (gsize i = 0; i < G_N_ELEMENTS(things); i++) {
            if (code != NULL && things[i].kind == *code)
                return things[i].words;
        }
        return "record";
    }
    for (gsize i = 0; i < G_N_ELEMENTS(whats); i++) {
        if (strcmp(row->table, whats[i].table) == 0) {
            *back = whats[i].back;
            return whats[i].words;
        }
    }
    return row->table;
}

/* What a thing is made of goes with it: a struck batch draws on nothing. */
static gboolean goes_with(const GArray *rows, const struct spl_last_row *row)
{
    if (strcmp(row->table, "draw") != 0 && strcmp(row->table, "charge") != 0 &&
        strcmp(row->table, "lot_use") != 0)
        return FALSE;
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_last_row *other = &g_array_index(rows, struct spl_last_row, i);

        if (strcmp(other->table, "thing") == 0 && other->thing_id == row->thing_id)
            return TRUE;
    }
    return FALSE;
}

/* Another book may have gone on from it. */
static gboolean nothing_hangs_on(struct spl_house *house, const struct spl_last_row *row,
                                 GError **error)
{
    g_autoptr(GPtrArray) takers = NULL;

    if (strcmp(row->table, "thing") != 0)
        return TRUE;
    takers = spl_draw_takers(house->book, row->thing_id, error);
    if (takers == NULL)
        return FALSE;
    if (takers->len > 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s draws on it; strike that first",
                    row->code, (const char *)g_ptr_array_index(takers, 0));
    return takers->len == 0;
}

/* After it was struck: does what a strike had struck stand? */
static gboolean stands_now(struct spl_house *house, const struct spl_last_row *row,
                           gboolean *stands, GError **error)
{
    const struct spl_thing thing = {.id = row->thing_id, .uuid = row->subject};
    g_autofree char *why = NULL;

    *stands = FALSE;
    if (strcmp(row->table, "strike") != 0)
        return TRUE;
    if (row->subject == NULL) { /* of no thing: the usual strike of a row */
        *stands = TRUE;
        return TRUE;
    }
    if (!spl_thing_struck(house->book, &thing, &why, error))
        return FALSE;
    *stands = why == NULL;
    return TRUE;
}

static void add_once(GString *list, const char *word)
{
    if (word == NULL || strstr(list->str, word) != NULL)
        return;
    g_string_append_printf(list, "%s%s", list->len > 0 ? ", " : "", word);
}

static gboolean strike_last(struct spl_house *house, const struct spl_strike_words *words,
                            struct spl_correction *correction, GError **error)
{
    g_autoptr(GArray) rows = spl_last_entry(house->book, 0, error);
    g_autoptr(GString) codes = g_string_new(NULL), kinds = g_string_new(NULL);
    const char *why = words->why != NULL ? words->why : "taken back at once";
    gboolean again = TRUE; /* it was a strike, and what it struck stands again */

    if (rows == NULL)
        return FALSE;
    if (rows->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "nothing that can be taken back was entered in this book");
        return FALSE;
    }
    if (words->entry != NULL &&
        strcmp(words->entry, g_array_index(rows, struct spl_last_row, 0).uuid) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CONFLICT,
                    "something else was entered since; strike the record by its code, or enter "
                    "what is right anew");
        return FALSE;
    }
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_last_row *row = &g_array_index(rows, struct spl_last_row, i);
        gboolean back, stands;
        const char *what = what_is(row, &back);

        if (!back) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                        "the last entry is a %s, which is not struck; enter it anew, or drop it",
                        what);
            return FALSE;
        }
        if (goes_with(rows, row))
            continue;
        if (strcmp(row->table, "draw") != 0)
            add_once(kinds, what);
        add_once(codes, row->code != NULL ? row->code : row->name);
        if (!nothing_hangs_on(house, row, error) ||
            !spl_strike_row(house->book, row->uuid, words->by, why, error) ||
            !stands_now(house, row, &stands, error))
            return FALSE;
        again &= stands;
    }
    *correction = (struct spl_correction){
        .code = codes->len > 0 ? g_strdup(codes->str) : NULL,
        .field = g_strdup(kinds->str),
        .became = g_strdup(again ? "stands again" : "struck"),
        .why = g_strdup(why),
        .by = g_strdup(words->by),
    };
    return TRUE;
}

/* Inside the transaction. */
static gboolean strike(struct spl_house *house, const struct spl_strike_words *words,
                       struct spl_correction *correction, GError **error)
{
    return words->last ? strike_last(house, words, correction, error)
                       : strike_code(house, words, correction, error);
}

gboolean spl_record_strike(struct spl_house *house, const struct spl_strike_words *said,
                           struct spl_correction *correction, GError **error)
{
    struct spl_correction made = {0};
    struct spl_strike_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_strike_inputs, said, &words, error))
        return FALSE;
    spl_ground_map_forget(house); /* whose corrections count may change by it */
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, strike(house, &words, &made, error), error);
    if (ok)
        *correction = made;
    else
        spl_record_clear(&spl_correction_shape, &made);
    spl_inputs_clear(&spl_strike_inputs, &words);
    return ok;
}
