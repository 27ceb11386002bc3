/* SPDX-License-Identifier: MIT
 *
 * What went out on a day, or in a span of days: each bottle with its reference, the sums of each
 * reference and of each lot. See simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "book/lot.h"
#include "book/lot_flow.h"
#include "season/house_private.h"
#include "simpling/batch.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define NOTHING 0.05 /* mL or g */

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_handed_line, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_handed_line, ref, SPL_TEXT, "ref", "for"),
    SPL_FIELD(spl_handed_line, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_handed_line, code, SPL_TEXT, "code", "lot"),
    SPL_FIELD(spl_handed_line, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_handed_line, materials, SPL_TEXT, "materials", "of"),
    SPL_FIELD_NUM(spl_handed_line, ml, 1, "ml", "mL"),
    SPL_FIELD_NUM(spl_handed_line, g, 1, "g", "g"),
    SPL_FIELD(spl_handed_line, directions, SPL_TEXT, "directions", "directions"),
    SPL_FIELD(spl_handed_line, by, SPL_TEXT, "by", "by"),
};
const struct spl_shape spl_handed_line_shape =
    SPL_SHAPE("handed_line", spl_handed_line, line_fields);

static const struct spl_field to_fields[] = {
    SPL_FIELD(spl_handed_to, ref, SPL_TEXT, "ref", "for"),
    SPL_FIELD(spl_handed_to, lots, SPL_INT, "lots", "lots"),
    SPL_FIELD_NUM(spl_handed_to, ml, 1, "ml", "mL together"),
    SPL_FIELD_NUM(spl_handed_to, g, 1, "g", "g together"),
};
const struct spl_shape spl_handed_to_shape = SPL_SHAPE("handed_to", spl_handed_to, to_fields);

static const struct spl_field given_fields[] = {
    SPL_FIELD(spl_handed, from, SPL_DAY, "from", "from"),
    SPL_FIELD(spl_handed, to, SPL_DAY, "to", "to"),
    SPL_FIELD_NUM(spl_handed, ml, 1, "ml", "mL in all"),
    SPL_FIELD_NUM(spl_handed, g, 1, "g", "g in all"),
    SPL_FIELD_LIST(spl_handed, lines, &spl_handed_line_shape, "lines", "went out"),
    SPL_FIELD_LIST(spl_handed, people, &spl_handed_to_shape, "people", "to whom"),
    SPL_FIELD_LIST(spl_handed, lots, &spl_lot_flow_shape, "lots", "of which lots"),
};
const struct spl_shape spl_handed_shape = SPL_SHAPE("handed", spl_handed, given_fields);

static gboolean check_span(const void *record, GError **error)
{
    const struct spl_handed_question *span = record;

    if (!spl_day_is_set(span->from) || !spl_day_is_set(span->to) ||
        spl_day_compare(span->from, span->to) <= 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "to", "is before the first day");
    return FALSE;
}

static const struct spl_input given_rows[] = {
    SPL_INPUT(spl_handed_question, from, DAY, "from", "the day, or the first of several",
              .today = 1),
    SPL_INPUT(spl_handed_question, to, DAY, "to", "the last day; empty: that one day"),
};
const struct spl_inputs spl_handed_inputs =
    SPL_INPUTS("handed", spl_handed_question, given_rows, .check = check_span);

static void add(double *sum, double amount)
{
    if (!isnan(amount))
        *sum = isnan(*sum) ? amount : *sum + amount;
}

static void add_line(struct spl_handed *handed, const struct spl_lot_flow *flow,
                     const struct spl_lot_use *use)
{
    struct spl_handed_line line = {
        .date = use->date,
        .ref = g_strdup(use->ref),
        .use = g_strdup(use->use),
        .code = g_strdup(flow->code),
        .preparation = g_strdup(flow->preparation),
        .materials = g_strdup(flow->materials),
        .ml = use->ml,
        .g = use->g,
        .directions = g_strdup(use->directions),
        .by = g_strdup(use->by),
    };

    g_array_append_val(handed->lines, line);
    add(&handed->ml, use->ml);
    add(&handed->g, use->g);
}

/* Of one lot: what went out of it on these days. */
static gboolean take_lot(struct spl_house *house, const struct spl_lot_flow *flow,
                         struct spl_handed *handed, GError **error)
{
    GArray *uses = spl_lot_uses(house->book, flow->id, error);
    struct spl_lot_flow own;

    if (uses == NULL)
        return FALSE;
    for (guint i = 0; i < uses->len; i++) {
        const struct spl_lot_use *use = &g_array_index(uses, struct spl_lot_use, i);

        if (spl_day_compare(use->date, handed->from) >= 0 &&
            spl_day_compare(use->date, handed->to) <= 0)
            add_line(handed, flow, use);
    }
    spl_list_free(&spl_lot_use_shape, uses);
    spl_record_copy(&spl_lot_flow_shape, flow, &own);
    own.id = flow->id;
    g_array_append_val(handed->lots, own);
    return TRUE;
}

/* By day, reference, use, lot. */
static int in_order(gconstpointer a, gconstpointer b)
{
    const struct spl_handed_line *one = a, *other = b;
    int by = spl_day_compare(one->date, other->date);

    if (by == 0)
        by = g_strcmp0(one->ref, other->ref);
    if (by == 0)
        by = g_strcmp0(one->use, other->use);
    return by != 0 ? by : g_strcmp0(one->code, other->code);
}

static int by_ref(gconstpointer a, gconstpointer b)
{
    return g_strcmp0(((const struct spl_handed_to *)a)->ref,
                     ((const struct spl_handed_to *)b)->ref);
}

static void add_person(GArray *people, const struct spl_handed_line *line)
{
    struct spl_handed_to one = {g_strdup(line->ref), 1, line->ml, line->g};

    for (guint i = 0; i < people->len; i++) {
        struct spl_handed_to *to = &g_array_index(people, struct spl_handed_to, i);

        if (g_strcmp0(to->ref, line->ref) != 0)
            continue;
        to->lots++;
        add(&to->ml, line->ml);
        add(&to->g, line->g);
        g_free(one.ref);
        return;
    }
    g_array_append_val(people, one);
}

static void sum_up(struct spl_handed *handed)
{
    g_array_sort(handed->lines, in_order);
    for (guint i = 0; i < handed->lines->len; i++)
        add_person(handed->people, &g_array_index(handed->lines, struct spl_handed_line, i));
    g_array_sort(handed->people, by_ref);
}

gboolean spl_handed_between(struct spl_house *house, const struct spl_handed_question *said,
                            struct spl_handed *handed, GError **error)
{
    struct spl_handed made = {.ml = NAN, .g = NAN};
    struct spl_handed_question span;
    GArray *flows;
    gboolean done = TRUE;

    if (!spl_entry_take(house, &spl_handed_inputs, said, &span, error))
        return FALSE;
    made.from = span.from;
    made.to = spl_day_is_set(span.to) ? span.to : span.from;
    spl_inputs_clear(&spl_handed_inputs, &span);
    flows = spl_lot_flows(house->book, made.from, made.to, error);
    if (flows == NULL)
        return FALSE;
    made.lines = spl_list_new(&spl_handed_line_shape);
    made.people = spl_list_new(&spl_handed_to_shape);
    made.lots = spl_list_new(&spl_lot_flow_shape);
    for (guint i = 0; done && i < flows->len; i++) {
        const struct spl_lot_flow *flow = &g_array_index(flows, struct spl_lot_flow, i);

        done = flow->out < NOTHING || take_lot(house, flow, &made, error);
    }
    spl_list_free(&spl_lot_flow_shape, flows);
    if (done) {
        sum_up(&made);
        *handed = made;
    } else {
        spl_record_clear(&spl_handed_shape, &made);
    }
    return done;
}
