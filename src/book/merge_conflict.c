/* SPDX-License-Identifier: MIT
 *
 * What two people did with one thing without knowing of each other. See book/merge.h.
 *
 * Each question looks for rows that one book has and the other has not, on both sides; so after a
 * merge nothing of it is found again, and both directions find the same.
 */
#include <string.h>

#include "book/code.h"
#include "book/merge_private.h"
#include "book/statement.h"
#include "simpling/error.h"

static char *series_of(const struct spl_coded *coded)
{
    return g_strdup_printf("%c%s %d", coded->kind, coded->mark, coded->year);
}

/* The last number here of each kind, mark and year: what is beyond it clashes with nothing. */
static GHashTable *last_numbers(struct spl_book *book, GError **error)
{
    g_autoptr(GHashTable) last = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT kind, mark, year, max(number) FROM thing GROUP BY kind, mark, year",
        SPL_NONE);
    struct spl_coded coded;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&coded)))
        g_hash_table_insert(last, series_of(&coded), GINT_TO_POINTER(coded.number));
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&last) : NULL;
}

static gboolean is_beyond(GHashTable *last, const struct spl_coded *coded)
{
    g_autofree char *series = series_of(coded);

    return coded->number > GPOINTER_TO_INT(g_hash_table_lookup(last, series));
}

/* Every thing of the other book whose code is taken here by another UUID. */
static gboolean codes_are_apart(struct spl_book *book, struct spl_book *other, GError **error)
{
    g_autoptr(GHashTable) last = last_numbers(book, error);
    g_autoptr(spl_statement) theirs =
        last != NULL
            ? spl_statement_open(other, error,
                                 "SELECT uuid, kind, mark, year, number FROM thing ORDER BY id",
                                 SPL_NONE)
            : NULL;
    const char *their_uuid, *our_uuid;
    struct spl_coded coded;
    GError *failed = NULL;

    while (theirs != NULL && failed == NULL &&
           spl_statement_next(theirs, &failed, SPL_INTO(&their_uuid, &coded))) {
        const char kind[] = {coded.kind, '\0'};
        g_autoptr(spl_statement) ours = NULL;

        if (is_beyond(last, &coded))
            continue;
        ours = spl_statement_open(book, &failed,
                                  "SELECT uuid FROM thing WHERE kind = ? AND mark = ? AND year = ?"
                                  " AND number = ?",
                                  SPL_WITH(kind, coded.mark, coded.year, coded.number));

        if (ours != NULL && spl_statement_next(ours, &failed, SPL_INTO(&our_uuid)) &&
            strcmp(our_uuid, their_uuid) != 0) {
            g_autofree char *code = spl_coded_format(book, &coded);

            g_set_error(&failed, SPL_ERROR, SPL_ERROR_CONFLICT,
                        "%s: is one thing here and another there, since both books were written "
                        "under the mark %s; begin the second one anew under a mark of its own",
                        code, coded.mark);
        }
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return theirs != NULL && failed == NULL;
}

/* A question to one book about a thing: rows of one column, each of which the other book may have
 * or not. */
struct side {
    const char *rows; /* by the thing's UUID */
    const char *has;  /* whether a book has such a row */
};

/* What stands, from the rows: what the other book keeps of it is no fact. */
#define STANDS(uuids)                                                                              \
    " AND NOT EXISTS (SELECT 1 FROM live_by_rows x WHERE x.subject IN (" uuids "))"

/* What was taken of it, or counted: of the standing takers only. */
static const struct side takes = {
    "SELECT d.uuid FROM draw d JOIN thing s ON s.id = d.source_id JOIN thing k ON k.id = d.taker_id"
    " WHERE s.uuid = ?1" STANDS(
        "d.uuid, k.uuid") " UNION ALL SELECT u.uuid FROM lot_use u JOIN thing s ON s.id = u.lot_id "
                          "LEFT JOIN thing h"
                          " ON h.id = u.use_id WHERE s.uuid = ?1" STANDS(
                              "u.uuid, h.uuid") " UNION ALL SELECT c.uuid FROM discard c JOIN "
                                                "thing s ON s.id = c.thing_id WHERE s.uuid = "
                                                "?1" STANDS("c.uuid") " UNION ALL SELECT e.uuid "
                                                                      "FROM lot_event e JOIN thing "
                                                                      "s ON s.id = e.lot_id WHERE "
                                                                      "s.uuid = ?1"
                                                                      " AND e.kind = "
                                                                      "'count'" STANDS("e.uuid"),
    "SELECT EXISTS (SELECT 1 FROM draw WHERE uuid = ?1) OR EXISTS (SELECT 1 FROM lot_use WHERE"
    " uuid = ?1) OR EXISTS (SELECT 1 FROM discard WHERE uuid = ?1) OR EXISTS (SELECT 1 FROM"
    " lot_event WHERE uuid = ?1)",
};

static const struct side strikes = {
    "SELECT uuid FROM live_by_rows WHERE subject = ?1",
    "SELECT count(*) FROM strike WHERE uuid = ?1",
};

/* Whether `from` has a row about the thing that `other` has not. */
static gboolean beyond(const struct side *side, struct spl_book *from, struct spl_book *other,
                       const char *uuid, gboolean *is, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(from, error, side->rows, SPL_WITH(uuid));
    gboolean found = FALSE;
    GError *failed = NULL;
    const char *row;

    while (rows != NULL && !found && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&row)))
        found = spl_book_number(other, 0, &failed, side->has, SPL_WITH(row)) == 0;
    if (failed != NULL)
        g_propagate_error(error, failed);
    if (rows == NULL || failed != NULL)
        return FALSE;
    *is = found;
    return TRUE;
}

/* Notes one thing that both books have: taken of in both, or taken back in one and taken of in the
 * other. */
static gboolean note_thing(struct spl_book *book, struct spl_book *other, struct spl_merge *merge,
                           const char *uuid, char *code, GError **error)
{
    gboolean ours, theirs, struck, struck_there;

    if (!beyond(&takes, other, book, uuid, &theirs, error) ||
        !beyond(&takes, book, other, uuid, &ours, error) ||
        !beyond(&strikes, book, other, uuid, &struck, error) ||
        !beyond(&strikes, other, book, uuid, &struck_there, error)) {
        g_free(code);
        return FALSE;
    }
    if (ours && theirs)
        spl_merge_add_note(merge, g_strdup(code),
                           g_strdup("was drawn on in both books; look whether it was there twice, "
                                    "and amend or strike one"));
    if ((struck && theirs) || (struck_there && ours))
        spl_merge_add_note(merge, g_strdup(code),
                           g_strdup("is struck in one book and was drawn on in the other; strike "
                                    "what drew on it, or note it again"));
    g_free(code);
    return TRUE;
}

static gboolean note_things(struct spl_book *book, struct spl_book *other, struct spl_merge *merge,
                            GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        other, error,
        "SELECT uuid, kind, mark, year, number FROM thing t WHERE EXISTS (SELECT 1 FROM draw WHERE"
        " source_id = t.id) OR EXISTS (SELECT 1 FROM lot_use WHERE lot_id = t.id) OR EXISTS (SELECT"
        " 1 FROM discard WHERE thing_id = t.id) OR EXISTS (SELECT 1 FROM lot_event WHERE lot_id ="
        " t.id) OR EXISTS (SELECT 1 FROM strike WHERE subject = t.uuid)"
        " ORDER BY kind, mark, year, number",
        SPL_NONE);
    struct spl_coded coded;
    const char *uuid;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&uuid, &coded)))
        (void)note_thing(book, other, merge, uuid, spl_coded_format(book, &coded), &failed);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

/* The last correction of a field, in words, and its rank; NULL: none. */
static char *last_value(struct spl_book *book, const char *subject, const char *field, char **uuid,
                        gint64 *at, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT CASE WHEN field IN ('day', 'since', 'until', 'use_by') OR field LIKE 'due:%'"
        " THEN date(value * 86400, 'unixepoch') WHEN typeof(value) = 'real' THEN"
        " printf('%!.15g', value) ELSE quote(value) END, uuid, at FROM amendment WHERE subject = ? "
        "AND field = ?"
        " ORDER BY at DESC, uuid DESC LIMIT 1",
        SPL_WITH(subject, field));

    char *value = NULL;

    if (row != NULL)
        (void)spl_statement_next(row, error, SPL_INTO(&value, uuid, at));
    return value;
}

static gboolean has_amendment(struct spl_book *book, const char *uuid, GError **error)
{
    return spl_book_number(book, 0, error, "SELECT count(*) FROM amendment WHERE uuid = ?",
                           SPL_WITH(uuid)) > 0;
}

/* The field was corrected on both sides and ends differently: the later one will hold. */
static gboolean note_field(struct spl_book *book, struct spl_book *other, struct spl_merge *merge,
                           const char *subject, const char *field, const char *name, GError **error)
{
    g_autofree char *our_uuid = NULL, *their_uuid = NULL, *ours = NULL, *theirs = NULL;
    GError *failed = NULL;
    gint64 our_at = 0, their_at = 0;

    ours = last_value(book, subject, field, &our_uuid, &our_at, &failed);
    if (failed == NULL)
        theirs = last_value(other, subject, field, &their_uuid, &their_at, &failed);
    if (failed == NULL && ours != NULL && theirs != NULL && strcmp(ours, theirs) != 0 &&
        !has_amendment(other, our_uuid, &failed) && failed == NULL &&
        !has_amendment(book, their_uuid, &failed) && failed == NULL) {
        spl_merge_add_note(
            merge, g_strdup(name),
            g_strdup_printf("its %s was corrected in both books, to %.60s and %.60s; look which of "
                            "them is right, and amend it",
                            field, strcmp(ours, theirs) < 0 ? ours : theirs,
                            strcmp(ours, theirs) < 0 ? theirs : ours));
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

static gboolean note_corrections(struct spl_book *book, struct spl_book *other,
                                 struct spl_merge *merge, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        other, error,
        "SELECT DISTINCT a.subject, a.field, s.name, t.kind, t.mark, t.year, t.number"
        " FROM amendment a LEFT JOIN thing t ON t.uuid = a.subject"
        " LEFT JOIN site s ON s.uuid = a.subject"
        " ORDER BY t.kind, t.mark, t.year, t.number, s.name, a.subject, a.field",
        SPL_NONE);
    const char *subject, *field, *site;
    struct spl_coded coded;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&subject, &field, &site, &coded))) {
        g_autofree char *code = spl_coded_format(book, &coded);
        const char *name = code != NULL ? code : site != NULL ? site : "a record";

        (void)note_field(book, other, merge, subject, field, name, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_merge_look(struct spl_book *book, struct spl_book *other, struct spl_merge *merge,
                        GError **error)
{
    return codes_are_apart(book, other, error) && note_things(book, other, merge, error) &&
           note_corrections(book, other, merge, error);
}
