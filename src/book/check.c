/* SPDX-License-Identifier: MIT
 *
 * What must hold in a book, as questions whose rows are faults. See book/check.h.
 *
 * The program refuses all of this at the door; here it is looked at again, as a book may have been
 * mended by hand, merged from two, or hit by a fault of ours. To add a rule: a query whose first
 * column is the fault's line, and in tests/book/test_check.c a way to plant it.
 */
#include "book/check.h"

#include <string.h>

#include "book/derive.h"
#include "book/look.h"
#include "book/photo.h"
#include "book/schema.h"
#include "book/statement.h"
#include "core/geometry.h"
#include "core/ring.h"
#include "simpling/error.h"

#define ALIKE_MOST 100 /* findings of one rule that are told one by one */

/* The code of a row of `thing`, as this book shows it. */
#define CODE(t)                                                                                    \
    "(CASE " t ".mark WHEN (SELECT value FROM setting WHERE key = 'mark') THEN '' ELSE " t         \
    ".mark || ':' END || printf('%s%02d-%03d', " t ".kind, " t ".year % 100, " t ".number))"

#define DATE(day) "coalesce(date((" day ") * 86400, 'unixepoch'), 'no date')"

/* Everything with a code and a date that stands, with its present date. */
#define DATED                                                                                      \
    "WITH dated AS (SELECT t.id, t.kind, " CODE(                                                   \
        "t") " AS code,"                                                                           \
             " coalesce((SELECT a.value FROM amendment_now a WHERE a.subject = t.uuid AND "        \
             "a.field = "                                                                          \
             "'day'"                                                                               \
             "   ORDER BY a.at DESC, a.uuid DESC LIMIT 1),"                                        \
             "  CASE t.kind WHEN 'H' THEN (SELECT day FROM harvest x WHERE x.id = t.id)"           \
             "   WHEN 'P' THEN (SELECT day FROM purchase x WHERE x.id = t.id)"                     \
             "   WHEN 'D' THEN (SELECT day FROM drying x WHERE x.id = t.id)"                       \
             "   WHEN 'B' THEN (SELECT day FROM batch x WHERE x.id = t.id)"                        \
             "   WHEN 'L' THEN (SELECT day FROM lot x WHERE x.id = t.id) END) AS day"              \
             " FROM thing t WHERE t.kind NOT IN ('N', 'U')"                                        \
             " AND NOT EXISTS (SELECT 1 FROM live s WHERE s.subject = t.uuid)) "

/* What happened to a thing on a day before that of the thing itself. */
#define BEFORE(table, column, what)                                                                \
    DATED "SELECT t.code || ': " what                                                              \
          " on ' || " DATE("e.day") " || ', before its own day, ' || " DATE(                       \
              "t.day") " || '; correct its day'"                                                   \
                       " FROM " table " e JOIN dated t ON t.id = e." column " WHERE e.day < t.day"

/* A row whose thing is of another kind, or a thing of that kind without its row. */
#define OF_KIND(table, letter)                                                                     \
    "SELECT " CODE("t") " || ': is a " table " by its row, not by its code; take the last backup'" \
                        " FROM " table " x JOIN thing t ON t.id = x.id WHERE t.kind <> '" letter   \
                        "'"

/* SQL in lines of its own. */
/* clang-format off */

/* Dates in order. More may go into a batch after its start. */
static const char *const date_rules[] = {
    DATED "SELECT k.code || ': is of ' || " DATE("k.day") " || ', ' || s.code || ' that went"
    " into it of ' || " DATE("s.day") " || '; correct one of the days'"
    " FROM draw_of d JOIN dated k ON k.id = d.taker_id JOIN dated s ON s.id = d.source_id"
    " WHERE s.day > CASE k.kind WHEN 'B' THEN max(k.day, d.day) ELSE k.day END",
    BEFORE("batch_step_now", "batch_id", "''' || e.step || ''' was noted"),
    BEFORE("drying_event_now", "drying_id", "was seen to"),
    BEFORE("lot_event_now", "lot_id", "was looked at (' || e.kind || ')"),
    BEFORE("lot_use_now", "lot_id", "was used"),
    BEFORE("discard_now", "thing_id", "was thrown away"),
    BEFORE("release_now", "thing_id", "was released"),
};

static const char *const rules[] = {
    /* References and identity. */
    OF_KIND("harvest", "H"),
    OF_KIND("use", "U"),
    OF_KIND("purchase", "P"),
    OF_KIND("drying", "D"),
    OF_KIND("batch", "B"),
    OF_KIND("lot", "L"),
    OF_KIND("spray_note", "N"),
    OF_KIND("stage_note", "N"),
    "SELECT " CODE("t") " || ': has a code and nothing else; take the last backup, or strike"
    " it' FROM thing t WHERE NOT EXISTS (SELECT 1 FROM harvest WHERE id = t.id) AND NOT EXISTS"
    " (SELECT 1 FROM purchase WHERE id = t.id) AND NOT EXISTS (SELECT 1"
    " FROM drying WHERE id = t.id) AND NOT EXISTS (SELECT 1 FROM batch WHERE id = t.id) AND NOT"
    " EXISTS (SELECT 1 FROM lot WHERE id = t.id) AND NOT EXISTS (SELECT 1"
    " FROM spray_note WHERE id = t.id) AND NOT EXISTS (SELECT 1 FROM stage_note"
    " WHERE id = t.id) AND NOT EXISTS (SELECT 1 FROM use WHERE id = t.id) AND NOT EXISTS (SELECT 1 FROM live s WHERE s.subject = t.uuid)",
    /* A code keeps the year of its first date. */
    "SELECT " CODE("t") " || ': its first date is ' || " DATE("x.day") " || ', of another year"
    " than its code; take the last backup' FROM thing t JOIN (SELECT id, day"
    " FROM harvest UNION ALL SELECT id, day FROM purchase UNION ALL SELECT id, day"
    " FROM drying UNION ALL SELECT id, day FROM batch UNION ALL SELECT id, day"
    " FROM lot) x ON x.id = t.id WHERE t.year <> CAST(strftime('%Y', x.day * 86400,"
    " 'unixepoch') AS INTEGER)",

    /* Corrections and strikes. */
    "SELECT " CODE("t") " || ': went out of it without a code; take the last backup'"
    " FROM lot_use u JOIN thing t ON t.id = u.lot_id WHERE u.use_id IS NULL",
    "SELECT " CODE("t") " || ': is a use of no lot; strike it' FROM use u JOIN thing t USING (id)"
    " WHERE NOT EXISTS (SELECT 1 FROM lot_use l WHERE l.use_id = u.id) AND NOT EXISTS (SELECT 1"
    " FROM live s WHERE s.subject = t.uuid)",
    "SELECT " CODE("t") " || ': was corrected in ''' || a.field || ''', which it has not; take"
    " the last backup' FROM amendment a JOIN thing t ON t.uuid = a.subject"
    " WHERE a.field NOT LIKE 'due:%' AND NOT EXISTS (SELECT 1 FROM pragma_table_info(CASE"
    " t.kind WHEN 'H' THEN 'harvest' WHEN 'P' THEN 'purchase' WHEN 'D' THEN 'drying'"
    " WHEN 'B' THEN 'batch' WHEN 'L' THEN 'lot' WHEN 'U' THEN 'use' ELSE CASE WHEN EXISTS (SELECT 1"
    " FROM spray_note n WHERE n.id = t.id) THEN 'spray_note' ELSE 'stage_note' END END) c"
    " WHERE c.name = a.field)",
    "SELECT 'site ' || s.name || ': was corrected in ''' || a.field || ''', which it has not;"
    " take the last backup' FROM amendment a JOIN site s ON s.uuid = a.subject"
    " WHERE NOT EXISTS (SELECT 1 FROM pragma_table_info('site') c WHERE c.name = a.field)",
    /* What a column's own CHECK would refuse must not come in as a correction. */
    "SELECT coalesce(" CODE("t") ", 'site ' || s.name) || ': ' || a.field || ' was corrected"
    " to ' || quote(a.value) || ', which cannot be; amend it again' FROM amendment a LEFT"
    " JOIN thing t ON t.uuid = a.subject LEFT JOIN site s ON s.uuid = a.subject"
    " WHERE " SPL_AMENDMENT_IS_WRONG,
    "SELECT " CODE("h") " || ': weighs ' || h.garbled_g || ' g garbled and ' || h.weight_g ||"
    " ' g as it came home; correct one of the two weights'"
    " FROM harvest_now h WHERE h.struck IS NULL AND h.garbled_g > h.weight_g",
    "SELECT " CODE("s") " || ': is struck, and ' || " CODE("k") " || ' draws on it; strike"
    " that too, or note the harvest or batch again' FROM draw_of d JOIN thing s ON s.id ="
    " d.source_id JOIN thing k ON k.id = d.taker_id JOIN live x ON x.subject = s.uuid"
    " WHERE NOT EXISTS (SELECT 1 FROM live y WHERE y.subject = k.uuid)",

    /* What was taken from what. */
    "SELECT " CODE("k") " || ': cannot have been made of ' || " CODE("s") " || '; take the"
    " last backup' FROM draw d JOIN thing s ON s.id = d.source_id JOIN thing k ON k.id ="
    " d.taker_id WHERE NOT CASE k.kind WHEN 'D' THEN s.kind IN ('H', 'P')"
    " WHEN 'B' THEN s.kind IN ('H', 'P', 'D', 'L', 'B') WHEN 'L' THEN s.kind = 'B'"
    " ELSE FALSE END",
    "SELECT " CODE("t") " || printf(': %.1f %s went out of it, %.1f %s were there; ', b.drawn"
    " + b.discarded, b.unit, b.made, b.unit) || CASE b.kind WHEN 'L' THEN 'count what stands'"
    " WHEN 'H' THEN 'correct its weight, or strike what drew too much'"
    " WHEN 'P' THEN 'correct its weight, or strike what drew too much'"
    " ELSE 'strike what drew too much' END FROM balance b JOIN thing t ON t.id = b.id"
    " WHERE b.left < -0.05",
    /* Of the rows as they were written: a corrected yield is both sides' in proportion. */
    "SELECT " CODE("l") " || printf(': %.1f %s were bottled, its batches gave %.1f %s; strike"
    " it and press again', l.bottled, l.unit, l.given, l.unit) FROM (SELECT n.*, t.kind,"
    " b.amount AS bottled, (SELECT total(CASE n.unit WHEN 'g' THEN d.grams ELSE d.ml END)"
    " FROM draw d WHERE d.taker_id = n.id) AS given FROM lot_now n JOIN lot b ON b.id = n.id"
    " JOIN thing t ON t.id = n.id) l"
    " WHERE l.struck IS NULL AND abs(l.bottled - l.given) > 0.05",
    /* Sugar more than doubles a syrup: a bound that holds for every preparation. */
    "SELECT " CODE("b") " || printf(': %.1f mL were pressed out of it, %.1f mL and %.1f g went"
    " in; strike the lot and press again', b.pressed_ml, b.ml, b.herb_g)"
    " FROM (SELECT n.*, t.kind, (SELECT total(c.ml) FROM charge c WHERE c.batch_id = n.id) AS"
    " ml FROM batch_now n JOIN thing t ON t.id = n.id) b WHERE b.struck IS NULL AND"
    " b.pressed_ml > 2.4 * b.ml + b.herb_g + 1",
    "SELECT " CODE("t") " || ': a charge does not say what was drawn for it; take the last"
    " backup' FROM charge c JOIN draw d ON d.id = c.draw_id JOIN thing t ON t.id = c.batch_id"
    " WHERE d.taker_id <> c.batch_id OR abs(coalesce(d.grams, 0) - coalesce(c.grams, 0)) > 0.05"
    " OR (c.kind = 'lot' AND abs(coalesce(d.ml, 0) - coalesce(c.ml, 0)) > 0.05)",
    "SELECT " CODE("t") " || ': took of ' || " CODE("s") " || ' and no charge of it says so;"
    " take the last backup' FROM draw d JOIN thing t ON t.id = d.taker_id"
    " JOIN thing s ON s.id = d.source_id WHERE t.kind = 'B' AND d.id NOT IN (SELECT draw_id"
    " FROM charge WHERE draw_id IS NOT NULL)",
    "SELECT " CODE("t") " || ': dries nothing; strike it' FROM thing t"
    " WHERE t.kind = 'D' AND NOT EXISTS (SELECT 1 FROM draw d WHERE d.taker_id = t.id) AND NOT"
    " EXISTS (SELECT 1 FROM live s WHERE s.subject = t.uuid)",
    "SELECT " CODE("t") " || ': was taken down twice; take the last backup'"
    /* By two marks: that is asked about (book/state.c). */
    " FROM thing t WHERE EXISTS (SELECT 1 FROM drying_event_now e WHERE e.drying_id = t.id AND"
    " e.kind = 'finish' GROUP BY e.mark HAVING count(*) > 1)",
    "SELECT " CODE("t") " || ': speaks for the time since ' || " DATE("n.since") " || ', after"
    " the statement itself; correct since when'"
    " FROM spray_note_now n JOIN thing t ON t.id = n.id WHERE n.struck IS NULL AND n.since >"
    " n.day",

    /* The season's plan. */
    "SELECT 'planned batch ' || name || ': of no material; drop it'"
    " FROM planned p WHERE NOT EXISTS (SELECT 1 FROM planned_part x WHERE x.planned_id = p.id)",
    "SELECT 'outing ' || uuid || ': on no day; make the plan again'"
    " FROM outing o WHERE NOT EXISTS (SELECT 1 FROM outing_version v WHERE v.outing_id = o.id)",
    "SELECT 'outing of ' || " DATE("v.day") " || ': takes ' || x.material || ' where it does"
    " not stop; make the plan again' FROM outing_take x JOIN outing_version v ON v.id ="
    " x.version_id WHERE NOT EXISTS (SELECT 1 FROM outing_stop s WHERE s.version_id ="
    " x.version_id AND s.site_id = x.site_id)",

    /* Ground: a record that is lost could make a verdict milder. */
    "SELECT 'layer ' || l.name || ': has ' || (l.records - l.unread) || ' records to show and '"
    " || n || ' on the map; import it again' FROM (SELECT l.*, (SELECT count(*)"
    " FROM hazard h WHERE h.layer_id = l.id) AS n FROM hazard_layer l) l"
    " WHERE n <> l.records - l.unread",
};

/* clang-format on */

/* What cannot be read for damage is a finding like others, and the rest is still looked at. */
static gboolean is_damage(GError *failed, GPtrArray *findings, GError **error)
{
    if (failed == NULL)
        return TRUE;
    if (!g_error_matches(failed, SPL_ERROR, SPL_ERROR_CORRUPT)) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    g_ptr_array_add(findings, g_strconcat("file: ", failed->message, NULL));
    g_error_free(failed);
    return TRUE;
}

/* Of one rule's findings the first tell what happened. */
static void add_rest(GPtrArray *findings, guint n)
{
    if (n > ALIKE_MOST)
        g_ptr_array_add(findings,
                        g_strdup_printf("and %u more of the same kind; mend the first and "
                                        "check again",
                                        n - ALIKE_MOST));
}

static gboolean ask(struct spl_book *book, const char *rule, GPtrArray *findings, GError **error)
{
    GError *failed = NULL;
    g_autoptr(spl_statement) rows = spl_statement_open(book, &failed, rule, SPL_NONE);
    const char *text;
    guint n = 0;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&text))) {
        if (n++ < ALIKE_MOST)
            g_ptr_array_add(
                findings,
                g_strdup(text != NULL ? text : "a row: has no name; take the last backup"));
    }
    add_rest(findings, n);
    return is_damage(failed, findings, error);
}

gboolean spl_book_check_file(struct spl_book *book, GPtrArray *findings, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT integrity_check FROM pragma_integrity_check", SPL_NONE);
    GError *failed = NULL;
    const char *answer;

    if (rows == NULL)
        return FALSE;
    while (spl_statement_next(rows, &failed, SPL_INTO(&answer))) {
        if (g_strcmp0(answer, "ok") != 0)
            g_ptr_array_add(
                findings,
                g_strdelimit(g_strdup_printf("file: %s; take the last backup", answer), "\n", ' '));
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* Outlines are bytes: whether they make a shape, no question tells. */
static gboolean look_at_outlines(struct spl_book *book, GPtrArray *findings, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT name, outline FROM site_now WHERE typeof(outline) = 'blob'"
                           " ORDER BY id",
                           SPL_NONE);
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    GError *failed = NULL;
    struct spl_blob bytes;
    const char *name;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&name, &bytes))) {
        g_autoptr(GError) damaged = NULL;

        if (bytes.size > 0 && !spl_geometry_from_bytes(shape, bytes.data, bytes.size, &damaged))
            g_ptr_array_add(findings, g_strdup_printf("site %s: its outline is damaged (%s); give "
                                                      "it again",
                                                      name, damaged->message));
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

static gboolean look_at_schema(struct spl_book *book, GPtrArray *findings, GError **error)
{
    GError *failed = NULL;
    g_autoptr(GPtrArray) faults = spl_schema_faults(book, spl_book_schema(), &failed);

    for (guint i = 0; faults != NULL && i < faults->len; i++) {
        g_autofree char *words = spl_schema_fault_words(g_ptr_array_index(faults, i));

        g_ptr_array_add(findings, g_strconcat(words, "; the book can be repaired", NULL));
    }
    return is_damage(failed, findings, error);
}

/* Rows that the program would not have written; `book repair` takes them out. */
static gboolean look_at_rows(struct spl_book *book, GPtrArray *findings, GError **error)
{
    struct spl_look look = {0};
    GError *failed = NULL;
    gboolean looked = spl_look_at_rows(book, SPL_STAMP_MAX, FALSE, &look, &failed);

    for (guint i = 0; looked && i < MIN(look.strays->len, ALIKE_MOST); i++) {
        const struct spl_stray *stray = g_ptr_array_index(look.strays, i);

        g_ptr_array_add(findings,
                        g_strdup_printf("%s: %s; %s", stray->what, stray->reason,
                                        stray->alone ? "it is put aside when the book is repaired"
                                                     : "take the last backup"));
    }
    if (looked)
        add_rest(findings, look.strays->len);
    spl_look_clear(&look);
    return is_damage(failed, findings, error);
}

/* What went into itself, each thing of such a ring. */
static gboolean look_at_draws(struct spl_book *book, GPtrArray *findings, GError **error)
{
    GError *failed = NULL;
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, &failed, "SELECT taker_id, source_id FROM draw ORDER BY id", SPL_NONE);
    g_autoptr(GArray) arcs = g_array_new(FALSE, FALSE, sizeof(struct spl_arc));
    g_autoptr(GArray) ring = NULL;
    struct spl_arc arc;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&arc.from, &arc.to)))
        g_array_append_val(arcs, arc);
    if (failed == NULL)
        ring = spl_rings(arcs);
    for (guint i = 0; failed == NULL && i < MIN(ring->len, ALIKE_MOST); i++) {
        const gint64 id = g_array_index(ring, gint64, i);
        g_autoptr(spl_statement) row = spl_statement_open(
            book, &failed, "SELECT " CODE("t") " FROM thing t WHERE id = ?", SPL_WITH(id));
        const char *code;

        if (row != NULL && spl_statement_next(row, &failed, SPL_INTO(&code)))
            g_ptr_array_add(findings,
                            g_strdup_printf("%s: went into itself; take the last backup", code));
    }
    if (ring != NULL)
        add_rest(findings, ring->len);
    return is_damage(failed, findings, error);
}

GPtrArray *spl_book_check(struct spl_book *book, GError **error)
{
    g_autoptr(GPtrArray) findings = g_ptr_array_new_with_free_func(g_free);
    GError *failed = NULL;
    GArray *derived;

    if (!spl_book_check_file(book, findings, error) || !look_at_schema(book, findings, error) ||
        !look_at_rows(book, findings, error) || !look_at_draws(book, findings, error))
        return NULL;
    for (gsize i = 0; i < G_N_ELEMENTS(rules); i++) {
        if (!ask(book, rules[i], findings, error))
            return NULL;
    }
    for (gsize i = 0; i < G_N_ELEMENTS(date_rules); i++) {
        if (!ask(book, date_rules[i], findings, error))
            return NULL;
    }
    derived = look_at_outlines(book, findings, &failed) ? spl_derived_faults(book, &failed) : NULL;
    if (!is_damage(failed, findings, error))
        return NULL;
    for (guint i = 0; derived != NULL && i < derived->len; i++) {
        const struct spl_mending *fault = &g_array_index(derived, struct spl_mending, i);

        g_ptr_array_add(findings, g_strdup_printf("%s: %s; %s", fault->thing, fault->was,
                                                  fault->done != NULL
                                                      ? "it is mended when the book is repaired"
                                                      : fault->cure));
    }
    if (derived != NULL)
        spl_list_free(&spl_mending_shape, derived);
    if (findings->len == 0 && !spl_photo_look_at_files(book, findings, error))
        return NULL;
    return g_steal_pointer(&findings);
}

gboolean spl_book_check_dates(struct spl_book *book, const char *code, GError **error)
{
    g_autoptr(GPtrArray) findings = g_ptr_array_new_with_free_func(g_free);

    for (gsize i = 0; i < G_N_ELEMENTS(date_rules); i++) {
        if (!ask(book, date_rules[i], findings, error))
            return FALSE;
    }
    for (guint i = 0; i < findings->len; i++) {
        const char *finding = g_ptr_array_index(findings, i);
        const char *at = strstr(finding, code);

        if (at == NULL || g_ascii_isdigit(at[strlen(code)]))
            continue;
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s", finding);
        return FALSE;
    }
    return TRUE;
}
