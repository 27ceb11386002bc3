/* SPDX-License-Identifier: MIT
 *
 * The book's rows for core/revision.h, and what it keeps of the answer. See book/revision.h; the
 * table, its triggers and the view `live` stand in migration_judged.c.
 */
#include "book/revision.h"

#include <math.h>
#include <string.h>

#include "book/code.h"
#include "book/derive.h"
#include "book/setting.h"
#include "book/statement.h"
#include "book/table.h"
#include "core/geometry.h"
#include "core/revision.h"

#define OTHERS "mark NOT IN ('', ?1)"

/* UUIDs and marks as numbers, and the facts in numbers. */
struct gathered {
    struct spl_book *book;
    GHashTable *numbers, *marks; /* text to number */
    GPtrArray *uuids;            /* number - 1 to UUID */
    GArray *rows, *revisions, *trusts, *agreements;
};

static void gathered_begin(struct gathered *gathered, struct spl_book *book)
{
    *gathered =
        (struct gathered){.book = book,
                          .numbers = g_hash_table_new(g_str_hash, g_str_equal),
                          .marks = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
                          .uuids = g_ptr_array_new_with_free_func(g_free),
                          .rows = g_array_new(FALSE, FALSE, sizeof(struct spl_revised_row)),
                          .revisions = g_array_new(FALSE, FALSE, sizeof(struct spl_revision)),
                          .trusts = g_array_new(FALSE, FALSE, sizeof(struct spl_trust_word)),
                          .agreements = g_array_new(FALSE, FALSE, sizeof(struct spl_agreement))};
}

static void gathered_end(struct gathered *gathered)
{
    g_hash_table_unref(gathered->numbers);
    g_hash_table_unref(gathered->marks);
    g_ptr_array_unref(gathered->uuids);
    g_array_unref(gathered->rows);
    g_array_unref(gathered->revisions);
    g_array_unref(gathered->trusts);
    g_array_unref(gathered->agreements);
}

static gint64 number_of(struct gathered *gathered, const char *uuid)
{
    guint number = GPOINTER_TO_UINT(g_hash_table_lookup(gathered->numbers, uuid));

    if (number == 0) {
        char *own = g_strdup(uuid);

        g_ptr_array_add(gathered->uuids, own);
        number = gathered->uuids->len;
        g_hash_table_insert(gathered->numbers, own, GUINT_TO_POINTER(number));
    }
    return number;
}

#define READER 1

/* What was written before rows had marks is the reader's own. */
static int mark_of(struct gathered *gathered, const char *mark)
{
    int number;

    if (*mark == '\0' || strcmp(mark, spl_setting_mark(gathered->book)) == 0)
        return READER;
    number = GPOINTER_TO_INT(g_hash_table_lookup(gathered->marks, mark));
    if (number == 0) {
        number = READER + 1 + (int)g_hash_table_size(gathered->marks);
        g_hash_table_insert(gathered->marks, g_strdup(mark), GINT_TO_POINTER(number));
    }
    return number;
}

static gboolean pass_on(GError *failed, GError **error)
{
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* ---- gathering ---- */

static gboolean gather_revisions(struct gathered *gathered, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        gathered->book, error,
        "SELECT uuid, subject, mark, at, 1, 0 FROM strike"
        " UNION ALL SELECT uuid, subject, mark, at, 0, field LIKE 'contaminated%' AND value <> ''"
        " AND value IS NOT NULL FROM amendment a WHERE " OTHERS
        "   OR EXISTS (SELECT 1 FROM strike s WHERE s.subject = a.uuid)",
        SPL_WITH(spl_setting_mark(gathered->book)));
    const char *uuid, *subject, *mark;
    struct spl_revision one;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed,
                                              SPL_INTO(&uuid, &subject, &mark, &one.stamp,
                                                       &one.strike, &one.warns))) {
        one.id = number_of(gathered, uuid);
        one.subject = number_of(gathered, subject);
        one.mark = mark_of(gathered, mark);
        g_array_append_val(gathered->revisions, one);
    }
    return rows != NULL && pass_on(failed, error);
}

/* What a row of a table says of danger, as SQL about t; of most, nothing. */
static const char *says_sql(const char *table)
{
    static const struct {
        const char *table, *sql;
    } speak[] = {
        {"permission", "CASE t.given WHEN 1 THEN 2 ELSE 1 END"},
        {"hold", "1"},
        {"hazard_layer", "1"},
        {"release", "2"},
        {"answer", "CASE t.kind WHEN '" SPL_REVISION_KIND "' THEN 0 ELSE 2 END"},
        {"lot_event", "CASE t.kind WHEN 'release' THEN 2 WHEN 'count' THEN 0 ELSE 1 END"},
        {"thing", "coalesce((SELECT CASE WHEN n.kind IN ('sprayed', 'planned') THEN 1 ELSE 2 END"
                  " FROM spray_note n WHERE n.id = t.id), 0)"},
    };

    for (gsize i = 0; i < G_N_ELEMENTS(speak); i++)
        if (strcmp(table, speak[i].table) == 0)
            return speak[i].sql;
    return "0";
}

static gboolean gather_table(struct gathered *gathered, const char *table, GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "SELECT t.uuid, t.mark, t.at, %s FROM \"%s\" t WHERE t.uuid IN (SELECT subject FROM strike"
        " UNION SELECT subject FROM amendment WHERE " OTHERS ")",
        says_sql(table), table);
    g_autoptr(spl_statement) rows =
        spl_statement_open(gathered->book, error, sql, SPL_WITH(spl_setting_mark(gathered->book)));
    const char *uuid, *mark;
    struct spl_revised_row one;
    GError *failed = NULL;
    int says;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&uuid, &mark, &one.stamp, &says))) {
        one.id = number_of(gathered, uuid);
        one.mark = mark_of(gathered, mark);
        one.says = (enum spl_revised_says)says;
        g_array_append_val(gathered->rows, one);
    }
    return rows != NULL && pass_on(failed, error);
}

/* Every table whose rows say who wrote them, and when. */
static gboolean gather_rows(struct gathered *gathered, GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(gathered->book, error);

    for (guint i = 0; tables != NULL && i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);

        if (spl_table_column(table, "uuid") < 0 || spl_table_column(table, "mark") < 0 ||
            spl_table_column(table, "at") < 0 || strcmp(table->name, "strike") == 0 ||
            strcmp(table->name, "amendment") == 0)
            continue;
        if (!gather_table(gathered, table->name, error))
            return FALSE;
    }
    return tables != NULL;
}

/* Whom one trusts, and to what one agreed, is taken back by whoever said it alone. */
#define NOT_TAKEN_BACK(t)                                                                          \
    " NOT EXISTS (SELECT 1 FROM strike s WHERE s.subject = " t ".uuid AND s.mark = " t ".mark"     \
    "   AND NOT EXISTS (SELECT 1 FROM strike z WHERE z.subject = s.uuid AND z.mark = s.mark))"

static gboolean gather_trust(struct gathered *gathered, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        gathered->book, error,
        "SELECT whom, trusted, at FROM trust t WHERE mark IN ('', ?1) AND" NOT_TAKEN_BACK(
            "t") " ORDER BY at, uuid",
        SPL_WITH(spl_setting_mark(gathered->book)));
    struct spl_trust_word one = {.id = 0};
    GError *failed = NULL;
    const char *whom;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&whom, &one.trusted, &one.stamp))) {
        one.whom = mark_of(gathered, whom);
        one.id++;
        g_array_append_val(gathered->trusts, one);
    }
    return rows != NULL && pass_on(failed, error);
}

static gboolean gather_agreements(struct gathered *gathered, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        gathered->book, error,
        "SELECT fact, mark FROM answer t WHERE kind = '" SPL_REVISION_KIND "' AND how = 'evidence'"
        " AND" NOT_TAKEN_BACK("t"),
        SPL_NONE);
    const char *fact, *mark;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&fact, &mark))) {
        struct spl_agreement one = {number_of(gathered, fact), mark_of(gathered, mark)};

        g_array_append_val(gathered->agreements, one);
    }
    return rows != NULL && pass_on(failed, error);
}

/* What is kept of a revision: NULL, it simply counts. */
static const char *kept_of(enum spl_revision_grade grade)
{
    switch (grade) {
    case SPL_REVISION_HARDENS:
        return "0 1";
    case SPL_REVISION_WAITS:
        return "1 1";
    case SPL_REVISION_VOID:
        return "1 0";
    case SPL_REVISION_COUNTS:
        break;
    }
    return NULL;
}

/* UUID to "off asked", as the facts make it; NULL with an error. */
static GHashTable *judge(struct spl_book *book, GError **error)
{
    g_autoptr(GHashTable) kept = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    struct gathered gathered;
    GError *failed = NULL;
    gint64 since = 0;
    gboolean ok;

    /* A book that no other was brought into has nothing to judge. */
    if (spl_book_number(book, 0, &failed,
                        "SELECT EXISTS (SELECT 1 FROM strike WHERE " OTHERS
                        ") OR EXISTS (SELECT 1 FROM amendment WHERE " OTHERS ")",
                        SPL_WITH(spl_setting_mark(book))) == 0)
        return pass_on(failed, error) ? g_steal_pointer(&kept) : NULL;
    gathered_begin(&gathered, book);
    since = spl_book_number(book, 0, &failed,
                            "SELECT CAST(value AS INTEGER) FROM setting WHERE key = 'revised'",
                            SPL_NONE);
    ok = pass_on(failed, error) && gather_revisions(&gathered, error) &&
         gather_rows(&gathered, error) && gather_trust(&gathered, error) &&
         gather_agreements(&gathered, error);
    if (ok) {
        const struct spl_revision_facts facts = {.rows = gathered.rows,
                                                 .revisions = gathered.revisions,
                                                 .trusts = gathered.trusts,
                                                 .agreements = gathered.agreements,
                                                 .reader = READER,
                                                 .kept = since};
        g_autoptr(GArray) judged = spl_revision_judge(&facts);

        for (guint i = 0; i < judged->len; i++) {
            const struct spl_revision_judged *one =
                &g_array_index(judged, struct spl_revision_judged, i);
            const char *as = kept_of(one->grade);

            if (as != NULL)
                g_hash_table_insert(kept, g_strdup(gathered.uuids->pdata[one->id - 1]),
                                    (gpointer)as);
        }
    }
    gathered_end(&gathered);
    return ok ? g_steal_pointer(&kept) : NULL;
}

/* ---- keeping ---- */

/* Takes what is kept rightly out of `right`, and gives what is kept wrongly. */
static GPtrArray *compare(struct spl_book *book, GHashTable *right, GError **error)
{
    g_autoptr(GPtrArray) wrong = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT uuid, off || ' ' || asked FROM judged_revision", SPL_NONE);
    const char *uuid, *as;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&uuid, &as))) {
        if (g_strcmp0(g_hash_table_lookup(right, uuid), as) == 0)
            g_hash_table_remove(right, uuid);
        else
            g_ptr_array_add(wrong, g_strdup(uuid));
    }
    return rows != NULL && pass_on(failed, error) ? g_steal_pointer(&wrong) : NULL;
}

gboolean spl_revision_weigh(struct spl_book *book, GError **error)
{
    g_autoptr(GHashTable) right = judge(book, error);
    g_autoptr(GPtrArray) wrong = right != NULL ? compare(book, right, error) : NULL;
    GHashTableIter each;
    gpointer uuid, as;

    if (wrong == NULL)
        return FALSE;
    for (guint i = 0; i < wrong->len; i++)
        if (!spl_book_execute(book, error, "DELETE FROM judged_revision WHERE uuid = ?",
                              SPL_WITH((const char *)wrong->pdata[i])))
            return FALSE;
    g_hash_table_iter_init(&each, right);
    while (g_hash_table_iter_next(&each, &uuid, &as)) {
        const int off = ((const char *)as)[0] == '1', asked = ((const char *)as)[2] == '1';

        if (!spl_book_execute(book, error,
                              "INSERT INTO judged_revision (uuid, off, asked) VALUES (?, ?, ?)",
                              SPL_WITH((const char *)uuid, off, asked)))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_revision_settle(struct spl_book *book, GError **error)
{
    GArray *renamed;
    gboolean ok;

    if (!spl_revision_weigh(book, error))
        return FALSE;
    renamed = spl_list_new(&spl_mending_shape);
    ok = spl_site_keys_look(book, TRUE, renamed, error);
    spl_list_free(&spl_mending_shape, renamed);
    return ok;
}

gboolean spl_revision_faults(struct spl_book *book, guint *wrong, GError **error)
{
    g_autoptr(GHashTable) right = judge(book, error);
    g_autoptr(GPtrArray) kept = right != NULL ? compare(book, right, error) : NULL;

    if (kept == NULL)
        return FALSE;
    *wrong = kept->len + g_hash_table_size(right);
    return TRUE;
}

/* ---- what is asked ---- */

static void clear_asked(gpointer data)
{
    struct spl_revision_asked *asked = data;

    g_free(asked->uuid);
    g_free(asked->mark);
    g_free(asked->field);
    g_free(asked->value);
    g_free(asked->why);
    g_free(asked->by);
    g_free(asked->of);
    g_free(asked->code);
    g_free(asked->site);
    g_free(asked->table);
    g_free(asked->subject);
    g_free(asked->says);
}

/* A row of a table that has no code of its own but hangs on a thing, or speaks of a place. */
#define HANGS_ON(table, column)                                                                    \
    " UNION ALL SELECT '" table                                                                    \
    "', t.mark, h.kind, h.mark, h.year, h.number, NULL, NULL FROM " table                          \
    " t JOIN thing h ON h.id = t." column " WHERE t.uuid = ?1"
#define SPEAKS_OF(table)                                                                           \
    " UNION ALL SELECT '" table "', t.mark, NULL, NULL, NULL, NULL, s.name, NULL FROM " table      \
    " t LEFT JOIN site s ON s.id = t.site_id WHERE t.uuid = ?1"
#define STANDS_ALONE(table, name)                                                                  \
    " UNION ALL SELECT '" table "', t.mark, NULL, NULL, NULL, NULL, " name ", NULL FROM " table    \
    " t WHERE t.uuid = ?1"
static const char whose[] =
    "SELECT 'thing', t.mark, t.kind, t.mark, t.year, t.number, (SELECT s.name FROM spray_note n"
    " JOIN site s ON s.id = n.site_id WHERE n.id = t.id), (SELECT n.kind FROM spray_note n"
    " WHERE n.id = t.id) FROM thing t WHERE t.uuid = ?1" STANDS_ALONE("site", "t.name")
        SPEAKS_OF("permission") SPEAKS_OF("stand_note") HANGS_ON("hold", "thing_id")
            HANGS_ON("release", "thing_id") HANGS_ON("discard", "thing_id")
                HANGS_ON("lot_event", "lot_id") HANGS_ON("batch_step", "batch_id")
                    HANGS_ON("charge", "batch_id") HANGS_ON("drying_event", "drying_id")
                        HANGS_ON("draw", "taker_id") HANGS_ON("lot_use", "lot_id")
                            STANDS_ALONE("hazard_layer", "t.name") STANDS_ALONE("amendment", "NULL")
                                STANDS_ALONE("strike", "NULL") STANDS_ALONE("answer", "NULL");

/* What the revision is about; of a strike of a strike, what that one struck, by which code it is
 * known. */
static gboolean tell_subject(struct spl_book *book, struct spl_revision_asked *asked,
                             GError **error)
{
    g_autofree char *subject = g_strdup(asked->subject);
    GError *failed = NULL;

    for (int depth = 0; depth < 4 && subject != NULL; depth++) {
        g_autoptr(spl_statement) row =
            spl_statement_open(book, &failed, whose, SPL_WITH((const char *)subject));
        struct spl_coded coded = {0};
        const char *table, *mark, *site, *says;

        if (row == NULL ||
            !spl_statement_next(row, &failed, SPL_INTO(&table, &mark, &coded, &site, &says)))
            break;
        if (depth == 0) {
            asked->of = g_strdup(mark);
            asked->table = g_strdup(table);
        }
        if (coded.kind != 0) {
            asked->code = spl_coded_format(book, &coded);
            asked->kind = coded.kind;
        }
        asked->site = g_strdup(site);
        asked->says = g_strdup(says);
        g_clear_pointer(&subject, g_free);
        if (asked->code == NULL && asked->site == NULL) {
            g_autoptr(spl_statement) up = spl_statement_open(
                book, &failed,
                "SELECT subject FROM strike WHERE uuid = ?1 UNION ALL SELECT subject FROM"
                " amendment WHERE uuid = ?1",
                SPL_WITH(asked->subject));

            if (up != NULL && depth == 0)
                (void)spl_statement_next(up, &failed, SPL_INTO(&subject));
        }
    }
    return pass_on(failed, error);
}

static void clear_reading(gpointer data)
{
    struct spl_revision_reading *reading = data;

    g_free(reading->subject);
    g_free(reading->mark);
    g_free(reading->field);
    g_free(reading->text);
}

/* An outline comes as bytes, and is told in words. */
static void read_outline(struct spl_revision_reading *reading, const struct spl_blob *outline)
{
    g_autoptr(spl_geometry) shape = NULL;

    if (outline->size == 0 || strcmp(reading->field, "outline") != 0)
        return;
    shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    reading->damaged = !spl_geometry_from_bytes(shape, outline->data, outline->size, NULL);
    g_free(reading->text);
    reading->text = reading->damaged ? NULL : spl_geometry_to_wkt(shape);
}

GArray *spl_revision_readings(struct spl_book *book, GError **error)
{
    g_autoptr(GArray) list = g_array_new(FALSE, TRUE, sizeof(struct spl_revision_reading));
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT k.subject, k.mark, k.field, CASE WHEN typeof(k.value) IN ('integer', 'real') THEN"
        " k.value END, CASE WHEN typeof(k.value) = 'text' THEN k.value END, CASE WHEN"
        " typeof(k.value) = 'blob' THEN k.value END FROM judged_revision r CROSS JOIN amendment k"
        " ON k.uuid = r.uuid WHERE r.off = 1 AND r.asked = 1"
        " AND NOT EXISTS (SELECT 1 FROM live x WHERE x.subject = k.uuid) ORDER BY k.at, k.uuid",
        SPL_NONE);
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_reading);
    while (rows != NULL) {
        struct spl_revision_reading one = {.number = NAN};
        struct spl_blob outline = {0};

        if (!spl_statement_next(
                rows, &failed,
                SPL_INTO(&one.subject, &one.mark, &one.field, &one.number, &one.text, &outline)))
            break;
        read_outline(&one, &outline);
        g_array_append_val(list, one);
    }
    return rows != NULL && pass_on(failed, error) ? g_steal_pointer(&list) : NULL;
}

GArray *spl_revision_list(struct spl_book *book, GError **error)
{
    g_autoptr(GArray) list = g_array_new(FALSE, TRUE, sizeof(struct spl_revision_asked));
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "WITH asked AS (SELECT r.uuid, r.off, s.subject, s.mark, s.at, s.why, s.by, NULL AS field,"
        "   NULL AS value FROM judged_revision r JOIN strike s ON s.uuid = r.uuid WHERE r.asked = 1"
        "  UNION ALL SELECT r.uuid, r.off, a.subject, a.mark, a.at, a.why, a.by, a.field,"
        "   CASE WHEN a.field IN ('day', 'since', 'until', 'use_by', 'contaminated_on') OR a.field "
        "LIKE"
        "   'due:%' THEN date(a.value * 86400, 'unixepoch') WHEN typeof(a.value) = 'blob' THEN"
        "   'another outline' ELSE CAST(a.value AS TEXT) END FROM judged_revision r JOIN amendment "
        "a ON a.uuid = r.uuid"
        "   WHERE r.asked = 1)"
        " SELECT uuid, off, subject, mark, at, why, by, field, value, (SELECT w.until"
        "   FROM answer_now w WHERE w.fact = k.uuid AND w.kind = '" SPL_REVISION_KIND "'"
        "   AND w.how = 'later' ORDER BY w.at DESC, w.uuid DESC LIMIT 1)"
        " FROM asked k WHERE NOT EXISTS (SELECT 1 FROM live x WHERE x.subject = k.uuid)"
        " ORDER BY at, uuid",
        SPL_NONE);
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_asked);
    while (rows != NULL && failed == NULL) {
        struct spl_revision_asked one = {0};
        gboolean off;

        if (!spl_statement_next(rows, &failed,
                                SPL_INTO(&one.uuid, &off, &one.subject, &one.mark, &one.at,
                                         &one.why, &one.by, &one.field, &one.value, &one.later)))
            break;
        one.strike = one.field == NULL;
        one.counts = !off;
        (void)tell_subject(book, &one, &failed);
        g_array_append_val(list, one);
    }
    return rows != NULL && pass_on(failed, error) ? g_steal_pointer(&list) : NULL;
}
