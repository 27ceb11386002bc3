/* SPDX-License-Identifier: MIT
 *
 * Between books: what two of them made of one drying reads alike in both. See book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

/* Of two weighings the later one by (at, uuid), of two ends too: rows come in any order. */
#define LAST "ORDER BY e.at DESC, e.uuid DESC LIMIT 1"

const char spl_migration_between[] =
    "DROP VIEW drying_now;"
    "CREATE VIEW drying_now AS SELECT t.id, t.uuid, t.mark, t.year, t.number, t.at, t.material,"
    " t.kind, t.minutes,"
    NOW_HERE(day) "," NOW_HERE(rack_m2) "," NOW_HERE(by) "," NOW_HERE(remark) ", "
    STRUCK("t.uuid") " AS struck,"
    " (SELECT total(d.grams) FROM draw_of d WHERE d.taker_id = t.id) AS fresh_g,"
    " (SELECT e.weight_g FROM drying_event_now e WHERE e.drying_id = t.id AND e.kind = 'weigh'"
    "   " LAST ") AS wilted_g,"
    " f.day AS finished, f.weight_g AS dry_g, f.garbled_g,"
    " (SELECT count(*) FROM draw_now d WHERE d.source_id = t.id AND d.at < f.at) AS taken_before,"
    " w.base_g, (SELECT total(d.grams) FROM draw_now d WHERE d.source_id = t.id"
    "   AND d.at > coalesce(w.at, 0)) AS drawn_g,"
    " (SELECT total(d.grams) FROM discard_now d WHERE d.thing_id = t.id"
    "   AND d.at > coalesce(w.at, 0)) AS discarded_g"
    " FROM (SELECT y.*, h.uuid, h.mark, h.year, h.number, h.at FROM drying y JOIN thing h USING"
    "   (id)) t"
    " LEFT JOIN drying_event f ON f.id = (SELECT e.id FROM drying_event_now e"
    "   WHERE e.drying_id = t.id AND e.kind = 'finish' " LAST ")"
    " LEFT JOIN (SELECT id, drying_id, at, coalesce(garbled_g, weight_g) AS base_g"
    "   FROM drying_event) w ON w.id = (SELECT e.id FROM drying_event_now e WHERE e.drying_id ="
    "   t.id AND e.kind IN ('weigh', 'finish') " LAST ");"
    /* Who else weighed what. */
    "CREATE INDEX drying_event_mark ON drying_event (mark, drying_id)"
    "   WHERE kind IN ('weigh', 'finish');";

/* clang-format on */
