/* SPDX-License-Identifier: MIT
 *
 * The ledger of spirit: litres of pure alcohol. See simpling/liquid.h.
 */
#include <math.h>

#include "book/liquid.h"
#include "core/alcohol.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/liquid.h"

static const struct spl_field entry_fields[] = {
    SPL_FIELD(spl_liquid_entry, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_liquid_entry, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_liquid_entry, supplier, SPL_TEXT, "supplier", "supplier"),
    SPL_FIELD(spl_liquid_entry, number, SPL_TEXT, "number", "number"),
    SPL_FIELD_NUM(spl_liquid_entry, ml, 0, "ml", "mL"),
    SPL_FIELD_NUM(spl_liquid_entry, strength_pct, 1, "strength_pct", "% vol"),
    SPL_FIELD_NUM(spl_liquid_entry, pure_l, 3, "pure_l", "L pure"),
    SPL_FIELD(spl_liquid_entry, known, SPL_BOOL, "known", NULL),
};
const struct spl_shape spl_liquid_entry_shape =
    SPL_SHAPE("liquid_entry", spl_liquid_entry, entry_fields);

static const struct spl_field ledger_fields[] = {
    SPL_FIELD(spl_liquid_ledger, from, SPL_DAY, "from", "from"),
    SPL_FIELD(spl_liquid_ledger, to, SPL_DAY, "to", "to"),
    SPL_FIELD_NUM(spl_liquid_ledger, opening_l, 3, "opening_l", "L pure at first"),
    SPL_FIELD_NUM(spl_liquid_ledger, bought_l, 3, "bought_l", "came in"),
    SPL_FIELD_NUM(spl_liquid_ledger, drawn_l, 3, "drawn_l", "into jars"),
    SPL_FIELD_NUM(spl_liquid_ledger, other_l, 3, "other_l", "otherwise"),
    SPL_FIELD_NUM(spl_liquid_ledger, closing_l, 3, "closing_l", "at last"),
    SPL_FIELD_NUM(spl_liquid_ledger, unknown_l, 3, "unknown_l", "poured, not known where from"),
    SPL_FIELD_LIST(spl_liquid_ledger, entries, &spl_liquid_entry_shape, "entries", "entries"),
};
const struct spl_shape spl_liquid_ledger_shape =
    SPL_SHAPE("liquid_ledger", spl_liquid_ledger, ledger_fields);

static const struct spl_input period_rows[] = {
    SPL_INPUT(spl_liquid_period, from, DAY, "from", "first day"),
    SPL_INPUT(spl_liquid_period, to, DAY, "to", "last day (default today)"),
};
static gboolean check_period(const void *record, GError **error)
{
    const struct spl_liquid_period *period = record;

    if (!spl_day_is_set(period->from) || !spl_day_is_set(period->to) ||
        spl_day_compare(period->from, period->to) <= 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "to", "lies before the first day");
    return FALSE;
}
const struct spl_inputs spl_liquid_period_inputs =
    SPL_INPUTS("liquid_period", spl_liquid_period, period_rows, .check = check_period);

struct booking {
    struct spl_liquid_ledger *ledger;
    GHashTable *known; /* keys of spirit that came in */
};

static void book(struct spl_liquid_ledger *ledger, struct spl_liquid_entry *entry, double *sum)
{
    gboolean before =
        spl_day_is_set(ledger->from) && spl_day_compare(entry->date, ledger->from) < 0;

    if (spl_day_compare(entry->date, ledger->to) > 0) {
        spl_record_clear(&spl_liquid_entry_shape, entry);
    } else if (before) {
        ledger->opening_l += entry->known ? entry->pure_l : 0.0;
        spl_record_clear(&spl_liquid_entry_shape, entry);
    } else {
        *sum += fabs(entry->pure_l);
        g_array_append_val(ledger->entries, *entry);
    }
}

static void book_row(struct booking *booking, const struct spl_liquid_row *row)
{
    struct spl_liquid_ledger *ledger = booking->ledger;
    double pure_l = row->ml * row->strength_frac / 1000.0;
    struct spl_liquid_entry entry = {.date = row->day,
                                     .what = g_strdup(row->why != NULL ? row->why : "bought"),
                                     .supplier = g_strdup(row->supplier),
                                     .number = g_strdup(row->number),
                                     .ml = row->ml,
                                     .strength_pct = row->strength_frac * 100.0,
                                     .pure_l = row->why != NULL ? -pure_l : pure_l,
                                     .known = TRUE};

    g_hash_table_add(booking->known, spl_liquid_key(row->supplier, row->number));
    book(ledger, &entry, row->why != NULL ? &ledger->other_l : &ledger->bought_l);
}

static gboolean book_charge(const struct spl_liquid_charge *charge, gpointer data, GError **error)
{
    struct booking *booking = data;
    struct spl_liquid_ledger *ledger = booking->ledger;
    g_autofree char *key = spl_liquid_key(charge->supplier, charge->number);
    struct spl_liquid_entry entry;

    (void)error;
    if (!(charge->blend.ethanol_g > 0.0))
        return TRUE;
    entry = (struct spl_liquid_entry){
        .date = charge->day,
        .what = g_strdup(charge->code),
        .supplier = g_strdup(charge->supplier),
        .number = g_strdup(charge->number),
        .ml = charge->blend.ml,
        .strength_pct = charge->strength_frac * 100.0,
        .pure_l = -charge->blend.ethanol_g / SPL_ETHANOL_G_PER_ML / 1000.0,
        .known = charge->supplier != NULL && g_hash_table_contains(booking->known, key)};
    book(ledger, &entry, entry.known ? &ledger->drawn_l : &ledger->unknown_l);
    return TRUE;
}

static int by_day(gconstpointer a, gconstpointer b)
{
    const struct spl_liquid_entry *x = a, *y = b;
    int order = spl_day_compare(x->date, y->date);

    return order != 0 ? order : (x->pure_l < y->pure_l) - (x->pure_l > y->pure_l);
}

gboolean spl_liquid_ledger(struct spl_house *house, const struct spl_liquid_period *said,
                           struct spl_liquid_ledger *ledger, GError **error)
{
    g_autoptr(GHashTable) known = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    struct spl_liquid_ledger made = {0};
    struct booking booking = {&made, known};
    struct spl_liquid_period period;
    GArray *rows = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_liquid_period_inputs, said, &period, error))
        return FALSE;
    made.from = period.from;
    made.to = spl_day_is_set(period.to) ? period.to : spl_house_today(house);
    made.entries = spl_list_new(&spl_liquid_entry_shape);
    spl_inputs_clear(&spl_liquid_period_inputs, &period);
    rows = spl_liquid_rows(house->book, error);
    for (guint i = 0; rows != NULL && i < rows->len; i++) {
        const struct spl_liquid_row *row = &g_array_index(rows, struct spl_liquid_row, i);

        if (row->kind == SPL_STOCK_SPIRIT)
            book_row(&booking, row);
    }
    ok = rows != NULL && spl_liquid_each_charge(house->book, book_charge, &booking, error);
    if (rows != NULL)
        spl_list_free(&spl_liquid_row_shape, rows);
    if (!ok) {
        spl_record_clear(&spl_liquid_ledger_shape, &made);
        return FALSE;
    }
    g_array_sort(made.entries, by_day);
    made.closing_l = made.opening_l + made.bought_l - made.drawn_l - made.other_l;
    *ledger = made;
    return TRUE;
}
