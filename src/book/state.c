/* SPDX-License-Identifier: MIT
 *
 * The rows of the state. See book/state.h.
 */
#include "book/state.h"

#include <string.h>

#include "book/code.h"
#include "book/setting.h"
#include "book/statement.h"

/* Lots of earlier versions kept "comes of H27-001, which is held: …" as a reason of their own. It
 * follows from the harvest, and ends with the harvest's. */
#define OF_ITS_OWN "l.hold IS NOT NULL AND l.hold NOT LIKE 'comes of %'"

/* What was made for inside and is for outside now, with all that comes of it. */
#define NARROWED "a.field = 'outside' AND a.value = 1"

/* What another mark struck of a thing, or corrected of what it is judged by, to which nobody who
 * may has agreed: as it was noted it may be wrong. SQL about thing t and revision k. */
#define REVISED(table)                                                                             \
    " FROM judged_revision r CROSS JOIN " table " k ON k.uuid = r.uuid JOIN thing t"               \
    " ON t.uuid = k.subject WHERE r.off = 1 AND r.asked = 1"                                       \
    " AND t.kind IN ('H', 'P', 'D', 'B', 'L')"                                                     \
    " AND NOT EXISTS (SELECT 1 FROM live x WHERE x.subject IN (k.uuid, t.uuid))"
#define JUDGED_BY " AND t.kind IN ('H', 'P') AND k.field IN ('day', 'named_by', 'signs')"

/* SQL is laid out by hand. A plus keeps a column from being what is searched by. */
/* clang-format off */
/* What was struck in one book while another drew on it or gave of it: each alone forbids that. SQL
 * about thing t and strike k: of all strikes, or of some things. */
#define IN_USE                                                                                     \
    " +t.kind IN ('H', 'P', 'D', 'B', 'L')"                                                        \
    " AND (EXISTS (SELECT 1 FROM draw_now d WHERE d.source_id = t.id)"                             \
    " OR EXISTS (SELECT 1 FROM lot_use_now u WHERE u.lot_id = t.id))"
#define STRUCK_IN_USE " FROM live k CROSS JOIN thing t ON t.uuid = k.subject WHERE" IN_USE
#define STRUCK_OF_SOME " FROM thing t CROSS JOIN live k ON k.subject = t.uuid WHERE" IN_USE

/* One jar pressed in two books, each of which knew of no other pressing: one of the two may never
 * have been. SQL about thing t, a batch, and draw k of the lot x; of all it begins with the lots of
 * others, by the index of codes. */
#define OWN "coalesce((SELECT value FROM setting WHERE key = 'mark'), '')"
#define OTHERWISE_PRESSED                                                                          \
    " +t.kind = 'B' AND x.kind = 'L' AND EXISTS (SELECT 1 FROM draw_now o JOIN thing y"             \
    " ON y.id = o.taker_id WHERE o.source_id = t.id AND y.kind = 'L' AND y.mark <> x.mark)"
#define PRESSED_TWICE                                                                              \
    " FROM (SELECT id, kind, mark FROM thing WHERE kind = 'L' AND mark < " OWN                     \
    "   UNION ALL SELECT id, kind, mark FROM thing WHERE kind = 'L' AND mark > " OWN ") x"         \
    " CROSS JOIN draw_now k ON k.taker_id = x.id CROSS JOIN thing t ON t.id = k.source_id"         \
    " WHERE" OTHERWISE_PRESSED
#define TWICE_OF_SOME                                                                              \
    " FROM thing t CROSS JOIN draw_now k ON k.source_id = t.id CROSS JOIN thing x"                 \
    " ON x.id = k.taker_id WHERE x.mark <> t.mark AND" OTHERWISE_PRESSED

/* One drying of which two marks say what it weighed when it was done, or that one weighed when
 * another had taken it down: one of the two was of something else. SQL about drying events k and o
 * of thing t; of all it begins with what others weighed, by index. */
#define AT_ODDS(k, o)                                                                              \
    "(" o ".kind = 'finish' AND " o ".mark <> " k ".mark AND (" k ".kind = 'finish' OR ("          \
    k ".kind = 'weigh' AND " k ".day > " o ".day)))"
#define WEIGHED_BY_OTHERS(is)                                                                      \
    " SELECT x.drying_id FROM drying_event_now x CROSS JOIN drying_event_now y"                    \
    " ON y.drying_id = x.drying_id WHERE x.kind IN ('weigh', 'finish') AND x.mark " is " " OWN     \
    " AND (" AT_ODDS("x", "y") " OR " AT_ODDS("y", "x") ")"
#define WEIGHED_TWICE WEIGHED_BY_OTHERS("<") " UNION" WEIGHED_BY_OTHERS(">")
#define WEIGHED_OF_SOME                                                                            \
    " FROM thing t CROSS JOIN drying_event_now k ON k.drying_id = t.id"                            \
    " CROSS JOIN drying_event_now o ON o.drying_id = t.id WHERE +t.kind = 'D'"                     \
    " AND " AT_ODDS("k", "o") " AND (k.kind = 'weigh' OR k.mark <> t.mark)"

/* What softens counts from anybody, but not against a danger of the same day or later that another
 * raised: whoever let it out may not have known of it. One's own word and that of whom one trusts
 * settles it. SQL about release r. */
#define MAY_SOFTEN                                                                                 \
    " AND (r.mark IN ('', " OWN ") OR NOT EXISTS (SELECT 1 FROM (SELECT mark, day FROM hold WHERE" \
    "   uuid = r.fact UNION ALL SELECT mark, day FROM lot_event WHERE uuid = r.fact"               \
    "   UNION ALL SELECT h.mark, coalesce(n.day, r.day) FROM thing h JOIN spray_note n USING (id)" \
    "   WHERE h.uuid = r.fact) d WHERE d.mark NOT IN ('', r.mark) AND d.day >= r.day)"             \
    " OR EXISTS (SELECT 1 FROM trust_now w WHERE w.mark IN ('', " OWN ") AND w.whom = r.mark"      \
    "   AND w.trusted = 1))"
/* clang-format on */

static gboolean each_row(struct spl_statement *rows,
                         void (*take)(struct spl_statement *row, gpointer into), gpointer into,
                         GError **error)
{
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed))
        take(rows, into);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

static void take_id(struct spl_statement *row, gpointer into)
{
    gint64 id;

    spl_statement_read(row, SPL_INTO(&id));
    g_array_append_val((GArray *)into, id);
}

gboolean spl_state_seeds(struct spl_book *book, GArray *ids, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT thing_id FROM hold_now UNION SELECT l.id FROM lot l WHERE " OF_ITS_OWN
        " UNION SELECT lot_id FROM lot_event_now WHERE kind IN ('hold', 'withdraw')"
        " UNION SELECT t.id FROM thing t JOIN amendment_now a ON a.subject = t.uuid"
        " WHERE " NARROWED
        " UNION SELECT t.id" REVISED("strike") " UNION SELECT t.id" REVISED("amendment") JUDGED_BY
        " UNION SELECT t.id" STRUCK_IN_USE " UNION SELECT t.id" PRESSED_TWICE
        " UNION" WEIGHED_TWICE,
        SPL_NONE);

    return each_row(rows, take_id, ids, error);
}

void spl_state_reason_copy(const struct spl_state_reason *from, struct spl_state_reason *to)
{
    *to = (struct spl_state_reason){.root = from->root,
                                    .why = g_strdup(from->why),
                                    .verdict = from->verdict,
                                    .fact = g_strdup(from->fact),
                                    .about = g_strdup(from->about),
                                    .who = g_strdup(from->who),
                                    .next = spl_next_copy(from->next)};
}

void spl_state_reason_clear(struct spl_state_reason *reason)
{
    g_free(reason->why);
    g_free(reason->fact);
    g_free(reason->about);
    g_free(reason->who);
    spl_next_free(reason->next);
}

static void clear_reason(gpointer reason)
{
    spl_state_reason_clear(reason);
}

static void clear_release(gpointer data)
{
    struct spl_state_release *release = data;

    g_free(release->kind);
    g_free(release->fact);
}

static GArray *releases_new(void)
{
    GArray *releases = g_array_new(FALSE, FALSE, sizeof(struct spl_state_release));

    g_array_set_clear_func(releases, clear_release);
    return releases;
}

GArray *spl_state_reasons_new(void)
{
    GArray *reasons = g_array_new(FALSE, FALSE, sizeof(struct spl_state_reason));

    g_array_set_clear_func(reasons, clear_reason);
    return reasons;
}

void spl_state_rows_clear(struct spl_state_rows *rows)
{
    g_clear_pointer(&rows->things, g_array_unref);
    g_clear_pointer(&rows->draws, g_array_unref);
    g_clear_pointer(&rows->reasons, g_array_unref);
    g_clear_pointer(&rows->releases, g_array_unref);
}

static void take_thing(struct spl_statement *row, gpointer into)
{
    struct spl_state_thing thing = {0};
    const char *kind;

    spl_statement_read(row, SPL_INTO(&thing.id, &kind, &thing.stamp, &thing.went_out));
    thing.kind = *kind;
    g_array_append_val((GArray *)into, thing);
}

static void take_draw(struct spl_statement *row, gpointer into)
{
    struct spl_state_draw draw;

    spl_statement_read(row, SPL_INTO(&draw.source, &draw.taker, &draw.stamp));
    g_array_append_val((GArray *)into, draw);
}

static void take_reason(struct spl_statement *row, gpointer into)
{
    struct spl_state_reason reason = {.root = {.grade = SPL_STATE_STOP}};
    const char *why, *fact, *who;
    int kind;

    spl_statement_read(row,
                       SPL_INTO(&reason.root.thing, &kind, &reason.root.stamp, &fact, &why, &who));
    reason.root.kind = kind;
    reason.fact = g_strdup(fact);
    reason.who = g_strdup(who);
    reason.root.version = reason.root.stamp;
    reason.root.withdraws = kind == SPL_HELD_WITHDRAWN;
    reason.why = g_strdup(why != NULL ? why : "");
    /* What is only to be asked about says so in its first word. */
    if (kind == SPL_HELD_NARROWED || kind == SPL_HELD_REVISED || kind == SPL_HELD_STRUCK ||
        kind == SPL_HELD_WEIGHED || kind == SPL_HELD_TWICE) {
        /* The former with its own answer: it spreads and holds nothing. */
        reason.root.grade = SPL_STATE_DOUBT;
    } else if ((kind == SPL_HELD_PICKED || kind == SPL_HELD_SINCE) &&
               g_str_has_prefix(reason.why, "ask: ")) {
        reason.root.grade = SPL_STATE_DOUBT;
        reason.verdict = SPL_VERDICT_ASK;
    } else {
        reason.root.bars_start = kind == SPL_HELD_PICKED || kind == SPL_HELD_SINCE;
    }
    g_array_append_val((GArray *)into, reason);
}

static void take_release(struct spl_statement *row, gpointer into)
{
    struct spl_state_release release = {.grade = SPL_STATE_STOP};
    const char *kind, *fact, *grade;

    spl_statement_read(
        row, SPL_INTO(&release.thing, &release.stamp, &kind, &fact, &release.version, &grade));
    release.kind = g_strdup(kind);
    release.fact = g_strdup(fact);
    for (int i = SPL_STATE_PAPER; grade != NULL && i <= SPL_STATE_STOP; i++)
        if (g_str_equal(grade, spl_state_grade_names[i]))
            release.grade = (enum spl_state_grade)i;
    g_array_append_val((GArray *)into, release);
}

#define ASKED "(SELECT value FROM json_each(?1))"

/* clang-format off */
gboolean spl_state_read(struct spl_book *book, const GArray *ids, struct spl_state_rows *rows,
                        GError **error)
{
    g_autofree char *json = spl_ids_json(ids);
    const struct {
        const char *sql;
        void (*take)(struct spl_statement *row, gpointer into);
        GArray *into;
    } parts[] = {
        {"SELECT t.id, t.kind, t.at, EXISTS (SELECT 1 FROM lot_use_now u WHERE u.lot_id = t.id)"
         " FROM thing t WHERE t.id IN " ASKED,
         take_thing, g_array_new(FALSE, FALSE, sizeof(struct spl_state_thing))},
        {"SELECT source_id, taker_id, at FROM draw_of WHERE source_id IN " ASKED
         " AND taker_id IN " ASKED,
         take_draw, g_array_new(FALSE, FALSE, sizeof(struct spl_state_draw))},
        {"SELECT t.id, 0, t.at, t.uuid, h.held, h.by FROM harvest h JOIN thing t USING (id)"
         " WHERE h.id IN " ASKED " AND h.held IS NOT NULL"
         " UNION ALL SELECT thing_id, 1, at, uuid, why, by FROM hold_now WHERE thing_id IN " ASKED
         " UNION ALL SELECT t.id, 2, t.at, t.uuid, l.hold, l.by FROM lot l JOIN thing t USING (id)"
         " WHERE l.id IN " ASKED " AND " OF_ITS_OWN
         " UNION ALL SELECT lot_id, CASE kind WHEN 'hold' THEN 3 ELSE 4 END, at, uuid, why, by"
         " FROM lot_event_now WHERE kind IN ('hold', 'withdraw') AND lot_id IN " ASKED
         " UNION ALL SELECT t.id, 5, a.at, a.uuid, a.why, a.by FROM thing t"
         " JOIN amendment_now a ON a.subject = t.uuid WHERE " NARROWED " AND t.id IN " ASKED
         " UNION ALL SELECT t.id, 6, k.at, k.uuid, k.mark || ' struck it (' || k.why || ') and"
         " nobody has agreed', NULL" REVISED("strike") " AND t.id IN " ASKED
         " UNION ALL SELECT t.id, 6, k.at, k.uuid, k.mark || ' corrected what it is judged by ('"
         " || k.why || ') and nobody has agreed', NULL" REVISED("amendment") JUDGED_BY
         " AND t.id IN " ASKED
         " UNION ALL SELECT t.id, 7, k.at, k.uuid, 'was struck (' || k.why || ') while something"
         " was made or went out of it', k.by" STRUCK_OF_SOME " AND t.id IN " ASKED
         " UNION ALL SELECT t.id, 8, k.at, k.uuid, CASE k.kind WHEN 'finish' THEN 'was taken down by '"
         " || o.mark || ' and by ' || k.mark ELSE 'was weighed by ' || k.mark || ' after ' || o.mark"
         " || ' had taken it down' END || ': look whether it was one rack, and say which weight holds',"
         " NULL" WEIGHED_OF_SOME " AND t.id IN " ASKED
         " UNION ALL SELECT t.id, 9, k.at, k.uuid, 'was pressed by ' || t.mark || ' and by '"
         " || x.mark || ': look whether it was there twice, and amend or strike one', NULL"
         TWICE_OF_SOME " AND t.id IN " ASKED,
         take_reason, spl_state_reasons_new()},
        /* Rows without a mark are from before releases named what they answer. */
        {"SELECT thing_id, at, kind, fact, coalesce(version, 0), grade FROM release_now r"
         " WHERE thing_id IN " ASKED MAY_SOFTEN
         " UNION ALL SELECT lot_id, at, NULL, NULL, 0, NULL FROM lot_event_now"
         " WHERE kind = 'release' AND mark = '' AND lot_id IN " ASKED,
         take_release, releases_new()},
    };
    gboolean ok = TRUE;

    *rows = (struct spl_state_rows){parts[0].into, parts[1].into, parts[2].into, parts[3].into};
    for (guint i = 0; ok && i < G_N_ELEMENTS(parts); i++) {
        g_autoptr(spl_statement) found =
            spl_statement_open(book, error, parts[i].sql, SPL_WITH(json));

        ok = each_row(found, parts[i].take, parts[i].into, error);
    }
    if (!ok)
        spl_state_rows_clear(rows);
    return ok;
}
/* clang-format on */

/* SQL is laid out by hand. */
/* clang-format off */
#define COUNTS(a)                                                                                  \
    " AND NOT EXISTS (SELECT 1 FROM live s WHERE s.subject = " a ".uuid)"                          \
    " AND NOT EXISTS (SELECT 1 FROM judged_revision r WHERE r.uuid = " a ".uuid AND r.off = 1)"
#define NOW(field)                                                                                 \
    "coalesce((SELECT a.value FROM amendment a WHERE a.subject = t.uuid AND a.field = '" field     \
    "'" COUNTS("a") " ORDER BY a.at DESC, a.uuid DESC LIMIT 1), h." field ")"
#define HARVEST_OF(moved, day)                                                                     \
    "SELECT h.id, h.site_id, t.at, " moved ", " day ", h.material, h.verdict, h.held, "            \
    NOW("named_by") " IS NOT NULL AND " NOW("signs") " IS NOT NULL"
#define HARVESTS                                                                                   \
    HARVEST_OF("coalesce((SELECT max(a.at) FROM amendment a WHERE a.subject = t.uuid"              \
               " AND a.field = 'day'" COUNTS("a") "), 0)", NOW("day"))                             \
    " FROM harvest h JOIN thing t USING (id)"                                                      \
    " WHERE NOT EXISTS (SELECT 1 FROM live s WHERE s.subject = t.uuid)"
/* Once more, as of another day, while a colleague's correction of it waits to be agreed to. */
#define HARVESTS_ELSEWHEN                                                                          \
    HARVEST_OF("k.at", "k.value")                                                                  \
    " FROM judged_revision r CROSS JOIN amendment k ON k.uuid = r.uuid"                            \
    " JOIN thing t ON t.uuid = k.subject JOIN harvest h ON h.id = t.id"                            \
    " WHERE r.off = 1 AND r.asked = 1 AND k.field = 'day'"                                         \
    " AND NOT EXISTS (SELECT 1 FROM live s WHERE s.subject IN (t.uuid, k.uuid))"
/* clang-format on */

static gboolean each_harvest(struct spl_statement *rows,
                             gboolean (*each)(const struct spl_state_harvest *harvest,
                                              gpointer data, GError **error),
                             gpointer data, GError **error)
{
    struct spl_state_harvest one;
    const char *verdict;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more &&
           spl_statement_next(rows, &failed,
                              SPL_INTO(&one.id, &one.site_id, &one.stamp, &one.moved, &one.day,
                                       &one.material, &verdict, &one.held, &one.named))) {
        one.verdict = (enum spl_verdict)MAX(0, spl_word_value(spl_verdict_names, verdict));
        more = each(&one, data, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_state_harvests(struct spl_book *book, const GArray *ids,
                            gboolean (*each)(const struct spl_state_harvest *harvest, gpointer data,
                                             GError **error),
                            gpointer data, GError **error)
{
    g_autofree char *json = ids != NULL ? spl_ids_json(ids) : NULL;
    const char *of_all[] = {HARVESTS " ORDER BY h.site_id", HARVESTS_ELSEWHEN};
    const char *of_some[] = {HARVESTS " AND h.id IN " ASKED " ORDER BY h.site_id",
                             HARVESTS_ELSEWHEN " AND h.id IN " ASKED};

    for (guint i = 0; i < G_N_ELEMENTS(of_all); i++) {
        g_autoptr(spl_statement) rows =
            ids != NULL ? spl_statement_open(book, error, of_some[i], SPL_WITH(json))
                        : spl_statement_open(book, error, of_all[i], SPL_NONE);

        if (!each_harvest(rows, each, data, error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_state_purchases(struct spl_book *book, const GArray *ids,
                             gboolean (*each)(const struct spl_state_purchase *purchase,
                                              gpointer data, GError **error),
                             gpointer data, GError **error)
{
    g_autofree char *json = ids != NULL ? spl_ids_json(ids) : NULL;
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT t.id, t.at, t.uuid, t.material, t.supplier, t.number, 'P', t.mark, t.year,"
        " t.number_of, t.state = 'fresh', t.named_by IS NOT NULL AND t.signs IS NOT NULL"
        " FROM purchase_now t WHERE t.struck IS NULL"
        " AND (?1 IS NULL OR t.id IN " ASKED ") ORDER BY t.id",
        SPL_WITH(json));
    struct spl_state_purchase one;
    struct spl_coded coded;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more &&
           spl_statement_next(rows, &failed,
                              SPL_INTO(&one.id, &one.stamp, &one.uuid, &one.material, &one.supplier,
                                       &one.number, &coded, &one.fresh, &one.named))) {
        one.code = spl_coded_format(book, &coded);
        more = each(&one, data, &failed);
        g_free(one.code);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

static gboolean one_number(struct spl_statement *row, gint64 *number, GError **error)
{
    GError *failed = NULL;

    *number = 0;
    if (row != NULL)
        spl_statement_next(row, &failed, SPL_INTO(number));
    if (failed != NULL)
        g_propagate_error(error, failed);
    return row != NULL && failed == NULL;
}

gboolean spl_state_stamp(struct spl_book *book, const char *uuid, gint64 *stamp, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT coalesce(max(at), 0) FROM (SELECT at FROM thing WHERE uuid = ?1"
        " UNION ALL SELECT at FROM permission WHERE uuid = ?1"
        " UNION ALL SELECT at FROM site WHERE uuid = ?1"
        " UNION ALL SELECT at FROM hazard_layer WHERE uuid = ?1"
        " UNION ALL SELECT at FROM amendment WHERE subject = ?1"
        "   AND field NOT IN ('name', 'remark', 'elevation_m', 'source', 'product'))",
        SPL_WITH(uuid));

    return one_number(row, stamp, error);
}

gboolean spl_state_thing_named(struct spl_book *book, gint64 id, char **uuid, char **code,
                               GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error, "SELECT uuid, kind, mark, year, number FROM thing WHERE id = ?", SPL_WITH(id));
    struct spl_coded coded;

    if (row == NULL || !spl_statement_next(row, error, SPL_INTO(uuid, &coded)))
        return FALSE;
    *code = spl_coded_format(book, &coded);
    return TRUE;
}

gboolean spl_state_baseline(struct spl_book *book, gint64 *stamp, GError **error)
{
    const char *own = spl_setting_mark(book);
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error, "SELECT coalesce(max(at), 0) FROM baseline WHERE mark IN ('', ?1)",
        SPL_WITH(own));

    return one_number(row, stamp, error);
}

/* Of one thing, so that SQLite asks for that one alone. What is put up stands on as a lot; the jar
 * itself asks nothing more. */
static const char still_there[] =
    "SELECT EXISTS (SELECT 1 FROM balance b WHERE b.id = ?1"
    "   AND NOT (b.kind = 'L' AND coalesce((SELECT l.decided FROM lot_now l WHERE l.id = ?1), '')"
    "     = 'destroy')"
    "   AND NOT (b.kind = 'B' AND EXISTS (SELECT 1 FROM draw_now d WHERE d.source_id = ?1"
    "     AND d.taker_kind = 'L'))"
    "   AND (b.left >= 0.05 OR b.left IS NULL OR (b.kind = 'L'"
    "     AND coalesce((SELECT l.use_by FROM lot_now l WHERE l.id = ?1), ?2) >= ?2"
    "     AND EXISTS (SELECT 1 FROM lot_use_now u WHERE u.lot_id = ?1))))";

gboolean spl_state_over(struct spl_book *book, struct spl_day today, GArray *things, GError **error)
{
    for (guint i = 0; i < things->len; i++) {
        struct spl_state_thing *thing = &g_array_index(things, struct spl_state_thing, i);
        GError *failed = NULL;

        thing->over =
            spl_book_number(book, 0, &failed, still_there, SPL_WITH(thing->id, today)) == 0;
        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
    }
    return TRUE;
}

gboolean spl_state_said(struct spl_book *book, gint64 site_id, gint64 *stamp, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "WITH said (uuid, at) AS (SELECT t.uuid, t.at FROM spray_note n JOIN thing t USING (id)"
        "   WHERE n.site_id = ?1 UNION ALL SELECT uuid, at FROM permission WHERE site_id = ?1)"
        " SELECT coalesce(max(at), 0) FROM (SELECT at FROM said"
        "   UNION ALL SELECT a.at FROM amendment a JOIN said s ON a.subject = s.uuid"
        "   UNION ALL SELECT k.at FROM strike k JOIN said s ON k.subject = s.uuid"
        "   UNION ALL SELECT b.at FROM strike b JOIN strike k ON b.subject = k.uuid"
        "     JOIN said s ON k.subject = s.uuid)",
        SPL_WITH(site_id));

    return one_number(row, stamp, error);
}
