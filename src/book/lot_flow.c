/* SPDX-License-Identifier: MIT
 *
 * What came into each lot and went out of it. See book/lot_flow.h.
 */
#include "book/lot_flow.h"

#include "book/code.h"
#include "book/statement.h"

static const struct spl_field flow_fields[] = {
    SPL_FIELD(spl_lot_flow, code, SPL_TEXT, "code", "lot"),
    SPL_FIELD(spl_lot_flow, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_lot_flow, materials, SPL_TEXT, "materials", "materials"),
    SPL_FIELD(spl_lot_flow, made_on, SPL_DAY, "made_on", "bottled"),
    SPL_FIELD(spl_lot_flow, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD_NUM(spl_lot_flow, before, 1, "before", "at first", .by_unit = 1),
    SPL_FIELD_NUM(spl_lot_flow, made, 1, "made", "made", .by_unit = 1),
    SPL_FIELD_NUM(spl_lot_flow, out, 1, "out", "went out", .by_unit = 1),
    SPL_FIELD_NUM(spl_lot_flow, drawn, 1, "drawn", "in other jars", .by_unit = 1),
    SPL_FIELD_NUM(spl_lot_flow, thrown, 1, "thrown", "thrown away", .by_unit = 1),
    SPL_FIELD_NUM(spl_lot_flow, counted, 1, "counted", "by counts", .by_unit = 1),
    SPL_FIELD_NUM(spl_lot_flow, left, 1, "left", "at last", .by_unit = 1),
    SPL_FIELD_LIST(spl_lot_flow, uses, &spl_lot_use_shape, "uses", NULL),
};
const struct spl_shape spl_lot_flow_shape = SPL_SHAPE("lot_flow", spl_lot_flow, flow_fields);

/* Of lot l, before the first day and from it to the last. The plus keeps SQLite from going through
 * all that went out of any lot in that span, once for each lot. */
#define BEFORE_AND_IN(what, from, of)                                                              \
    " (SELECT total(" what ") FROM " from " WHERE " of " AND +day < ?1),"                          \
    " (SELECT total(" what ") FROM " from " WHERE " of " AND +day BETWEEN ?1 AND ?2)"
#define BY_UNIT "CASE l.unit WHEN 'g' THEN grams ELSE ml END"

/* clang-format off */
static const char all_flows[] =
    "SELECT l.id, 'L', l.mark, l.year, l.number, l.preparation, l.materials, l.day, l.unit, l.amount,"
    BEFORE_AND_IN("amount", "lot_use_now", "lot_id = l.id") ","
    BEFORE_AND_IN(BY_UNIT, "draw_now", "source_id = l.id") ","
    BEFORE_AND_IN(BY_UNIT, "discard_now", "thing_id = l.id") ","
    BEFORE_AND_IN("difference", "lot_event_now", "lot_id = l.id AND kind = 'count'")
    " FROM lot_now l WHERE l.id IN (SELECT thing_id FROM judged_over WHERE ended IS NULL UNION ALL"
    "   SELECT thing_id FROM judged_over WHERE ended >= ?1)"
    " AND l.struck IS NULL AND l.day <= ?2 ORDER BY l.day, l.id";
/* clang-format on */

GArray *spl_lot_flows(struct spl_book *book, struct spl_day first, struct spl_day last,
                      GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, all_flows, SPL_WITH(first, last));
    double amount, out, drawn, thrown, counted;
    struct spl_lot_flow flow;
    struct spl_coded coded;
    GError *failed = NULL;
    GArray *flows;

    if (rows == NULL)
        return NULL;
    flows = spl_list_new(&spl_lot_flow_shape);
    flow = (struct spl_lot_flow){.uses = NULL};
    while (
        spl_statement_next(rows, &failed,
                           SPL_INTO(&flow.id, &coded, &flow.preparation, &flow.materials,
                                    &flow.made_on, &flow.unit, &amount, &out, &flow.out, &drawn,
                                    &flow.drawn, &thrown, &flow.thrown, &counted, &flow.counted))) {
        gboolean new_one = spl_day_compare(flow.made_on, first) >= 0;

        flow.code = spl_coded_format(book, &coded);
        flow.made = new_one ? amount : 0.0;
        flow.before = (new_one ? 0.0 : amount) - out - drawn - thrown + counted;
        flow.left = flow.before + flow.made - flow.out - flow.drawn - flow.thrown + flow.counted;
        g_array_append_val(flows, flow);
        flow = (struct spl_lot_flow){.uses = NULL};
    }
    if (failed == NULL)
        return flows;
    g_propagate_error(error, failed);
    spl_list_free(&spl_lot_flow_shape, flows);
    return NULL;
}
