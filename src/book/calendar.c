/* SPDX-License-Identifier: MIT
 *
 * The register of calendar entries. See book/calendar.h.
 */
#include "book/calendar.h"

#include <string.h>

#include "book/noun.h"
#include "simpling/error.h"

static const char *const state_words[] = {"open", "done", "withdrawn", "dropped", NULL};

static const struct spl_field row_fields[] = {
    SPL_FIELD_KEPT(spl_calendar_row, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_calendar_row, uid, SPL_TEXT, SPL_STORED("uid"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_calendar_row, key, SPL_TEXT, SPL_STORED("key"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_calendar_row, year, SPL_INT, SPL_STORED("year")),
    SPL_FIELD_KEPT(spl_calendar_row, summary, SPL_TEXT, SPL_STORED("summary"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_calendar_row, first, SPL_DAY, SPL_STORED("first")),
    SPL_FIELD_KEPT(spl_calendar_row, last, SPL_DAY, SPL_STORED("last")),
    SPL_FIELD_KEPT(spl_calendar_row, outer_first, SPL_DAY, SPL_STORED("outer_first")),
    SPL_FIELD_KEPT(spl_calendar_row, outer_last, SPL_DAY, SPL_STORED("outer_last")),
    SPL_FIELD_KEPT(spl_calendar_row, state, SPL_WORD, SPL_STORED("state"), .names = state_words),
    SPL_FIELD_KEPT(spl_calendar_row, sequence, SPL_INT, SPL_STORED("sequence")),
    SPL_FIELD_KEPT(spl_calendar_row, changed_at, SPL_LONG, SPL_STORED("changed_at")),
};
static const struct spl_shape row_shape = SPL_SHAPE("calendar_entry", spl_calendar_row, row_fields);

const struct spl_noun spl_calendar_entry_noun = {
    .shape = &row_shape,
    .table = "calendar_entry",
    .from = "calendar_entry t",
};

void spl_calendar_row_clear(struct spl_calendar_row *row)
{
    spl_record_clear(&row_shape, row);
    row->first = row->last = row->outer_first = row->outer_last = SPL_DAY_NONE;
}

gboolean spl_calendar_row_find(struct spl_book *book, const char *uid, struct spl_calendar_row *row,
                               gboolean *found, GError **error)
{
    g_autofree char *lower = g_ascii_strdown(uid, -1);
    struct spl_calendar_row read;
    GError *failed = NULL;
    gboolean there = spl_noun_get(book, &spl_calendar_entry_noun, "WHERE t.uid = ?",
                                  SPL_WITH(lower), &read, &failed);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (!there) {
        read = (struct spl_calendar_row){0};
        spl_calendar_row_clear(&read);
    }
    *row = read;
    *found = there;
    return TRUE;
}

gboolean spl_calendar_is_empty(struct spl_book *book, gboolean *empty, GError **error)
{
    GError *failed = NULL;
    gint64 any =
        spl_book_number(book, 0, &failed, "SELECT EXISTS (SELECT 1 FROM calendar_entry)", SPL_NONE);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *empty = any == 0;
    return TRUE;
}

gboolean spl_calendar_row_update(struct spl_book *book, const struct spl_calendar_row *row,
                                 GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR IGNORE INTO calendar_value (entry_id, first, last, state)"
                            " SELECT id, first, last, state FROM calendar_entry WHERE id = ?",
                            SPL_WITH(row->id)) &&
           spl_book_execute(book, error,
                            "UPDATE calendar_entry SET year = ?, summary = ?, first = ?, last = ?,"
                            " outer_first = ?, outer_last = ?, state = ?, sequence = ?,"
                            " changed_at = ? WHERE id = ?",
                            SPL_WITH(row->year, row->summary, row->first, row->last,
                                     row->outer_first, row->outer_last, state_words[row->state],
                                     row->sequence, row->changed_at, row->id));
}

gboolean spl_calendar_row_raise(struct spl_book *book, gint64 id, int sequence, GError **error)
{
    return spl_book_execute(book, error,
                            "UPDATE calendar_entry SET sequence = max(sequence, ?) WHERE id = ?",
                            SPL_WITH(sequence, id));
}

gboolean spl_calendar_row_each(struct spl_book *book, int year,
                               gboolean (*each)(const struct spl_calendar_row *row, gpointer data,
                                                GError **error),
                               gpointer data, GError **error)
{
    /* The visitor may change the row that it was given: a walk by id sees each row once. */
    g_autoptr(spl_statement) rows =
        spl_noun_open(book, &spl_calendar_entry_noun, NULL, "WHERE t.year >= ? ORDER BY t.id",
                      SPL_WITH(year), error);
    struct spl_calendar_row row;
    GError *failed = NULL;
    gboolean ok = rows != NULL;

    while (ok && spl_noun_next(rows, &row, &failed)) {
        ok = each(&row, data, error);
        spl_calendar_row_clear(&row);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return ok && failed == NULL;
}

gboolean spl_calendar_id_each(struct spl_book *book, int year,
                              gboolean (*each)(gint64 id, gpointer data, GError **error),
                              gpointer data, GError **error)
{
    /* The visitor may change the row that it was given: a walk by id sees each row once. */
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT id FROM calendar_entry WHERE year >= ? ORDER BY id", SPL_WITH(year));

    return spl_statement_each_id(rows, each, data, error);
}

gboolean spl_calendar_value_known(struct spl_book *book, const struct spl_calendar_row *row,
                                  struct spl_day first, struct spl_day last,
                                  enum spl_calendar_state state, gboolean *days,
                                  gboolean *state_known, GError **error)
{
    gboolean had_days = row->first.n == first.n && row->last.n == last.n;
    gboolean had_state = row->state == state;
    GError *failed = NULL;

    if (!had_days)
        had_days = spl_book_number(book, 0, &failed,
                                   "SELECT count(*) FROM calendar_value WHERE entry_id = ?"
                                   " AND first = ? AND last = ?",
                                   SPL_WITH(row->id, first, last)) > 0;
    if (!had_state && failed == NULL)
        had_state = spl_book_number(book, 0, &failed,
                                    "SELECT count(*) FROM calendar_value WHERE entry_id = ?"
                                    " AND state = ?",
                                    SPL_WITH(row->id, state_words[state])) > 0;
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *days = had_days;
    *state_known = had_state;
    return TRUE;
}

gboolean spl_calendar_value_add(struct spl_book *book, gint64 entry_id, struct spl_day first,
                                struct spl_day last, enum spl_calendar_state state, GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR IGNORE INTO calendar_value (entry_id, first, last, state)"
                            " VALUES (?, ?, ?, ?)",
                            SPL_WITH(entry_id, first, last, state_words[state]));
}

gboolean spl_calendar_target(struct spl_book *book, const char *name, gboolean make, gint64 *id,
                             GError **error)
{
    GError *failed = NULL;
    gint64 found = spl_book_number(book, 0, &failed,
                                   "SELECT id FROM calendar_target WHERE name = ?", SPL_WITH(name));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (found == 0 && make) {
        if (!spl_book_execute(book, error, "INSERT INTO calendar_target (name) VALUES (?)",
                              SPL_WITH(name)))
            return FALSE;
        found = spl_book_last_id(book);
    }
    *id = found;
    return TRUE;
}

gboolean spl_calendar_sent_find(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                struct spl_calendar_sent *sent, gboolean *found, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT hash, sequence, changed_at, cancelled, there, first, last FROM calendar_sent"
        " WHERE target_id = ? AND entry_id = ?",
        SPL_WITH(target_id, entry_id));
    struct spl_calendar_sent read = {0};
    const char *hash;
    GError *failed = NULL;
    gboolean there =
        rows != NULL &&
        spl_statement_next(rows, &failed,
                           SPL_INTO(&hash, &read.sequence, &read.changed_at, &read.cancelled,
                                    &read.there, &read.first, &read.last));

    if (failed != NULL)
        g_propagate_error(error, failed);
    if (rows == NULL || failed != NULL)
        return FALSE;
    if (there)
        g_strlcpy(read.hash, hash, sizeof read.hash);
    *sent = read;
    *found = there;
    return TRUE;
}

gboolean spl_calendar_sent_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                               const struct spl_calendar_sent *sent, GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT INTO calendar_sent (target_id, entry_id, hash, sequence,"
                            " changed_at, cancelled, there, first, last)"
                            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
                            " ON CONFLICT (target_id, entry_id) DO UPDATE SET"
                            " hash = excluded.hash, sequence = excluded.sequence,"
                            " changed_at = excluded.changed_at, cancelled = excluded.cancelled,"
                            " there = excluded.there,"
                            " first = excluded.first, last = excluded.last",
                            SPL_WITH(target_id, entry_id, sent->hash, sent->sequence,
                                     sent->changed_at, sent->cancelled ? 1 : 0, sent->there ? 1 : 0,
                                     sent->first, sent->last));
}

/* New entries come by the ten thousand. Many in one statement cost a third: SQLite makes ready what
 * a statement needs, such as the list in a CHECK, only once. */
#define FOUR(row) row "," row "," row "," row
#define MANY(row)                                                                                  \
    FOUR(row)                                                                                      \
    "," FOUR(row) "," FOUR(row) "," FOUR(row) "," FOUR(row) "," FOUR(row) "," FOUR(row) "," FOUR(  \
        row)
G_STATIC_ASSERT(SPL_CALENDAR_MANY == 32);

#define ENTRY_INTO                                                                                 \
    "INSERT INTO calendar_entry (uid, key, year, summary, first, last, outer_first, outer_last,"   \
    " state, sequence, changed_at) VALUES "
#define ENTRY_ROW "(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
#define ENTRY_COLUMNS 11
#define SENT_INTO                                                                                  \
    "INSERT INTO calendar_sent (target_id, entry_id, hash, sequence, changed_at, cancelled,"       \
    " first, last) VALUES "
#define SENT_ROW "(?, ?, ?, ?, ?, ?, ?, ?)"
#define SENT_COLUMNS 8

/* The texts stand until the statement has run. */
static void bind_text(sqlite3_stmt *stmt, int at, const char *text)
{
    (void)sqlite3_bind_text(stmt, at, text, -1, SQLITE_STATIC);
}

static void bind_day(sqlite3_stmt *stmt, int at, struct spl_day day)
{
    if (spl_day_is_set(day))
        (void)sqlite3_bind_int(stmt, at, day.n);
}

static void bind_entry(sqlite3_stmt *stmt, int at, const struct spl_calendar_row *row)
{
    bind_text(stmt, at + 1, row->uid);
    bind_text(stmt, at + 2, row->key);
    (void)sqlite3_bind_int(stmt, at + 3, row->year);
    bind_text(stmt, at + 4, row->summary);
    bind_day(stmt, at + 5, row->first);
    bind_day(stmt, at + 6, row->last);
    bind_day(stmt, at + 7, row->outer_first);
    bind_day(stmt, at + 8, row->outer_last);
    bind_text(stmt, at + 9, state_words[row->state]);
    (void)sqlite3_bind_int(stmt, at + 10, row->sequence);
    (void)sqlite3_bind_int64(stmt, at + 11, row->changed_at);
}

static void bind_sent(sqlite3_stmt *stmt, int at, gint64 target_id, gint64 entry_id,
                      const struct spl_calendar_sent *sent)
{
    (void)sqlite3_bind_int64(stmt, at + 1, target_id);
    (void)sqlite3_bind_int64(stmt, at + 2, entry_id);
    bind_text(stmt, at + 3, sent->hash);
    (void)sqlite3_bind_int(stmt, at + 4, sent->sequence);
    (void)sqlite3_bind_int64(stmt, at + 5, sent->changed_at);
    (void)sqlite3_bind_int(stmt, at + 6, sent->cancelled ? 1 : 0);
    bind_day(stmt, at + 7, sent->first);
    bind_day(stmt, at + 8, sent->last);
}

static gboolean run_bound(spl_statement *statement, GError **error)
{
    GError *failed = NULL;

    while (spl_statement_row(statement, &failed))
        ;
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

static gboolean add_entries(struct spl_book *book, struct spl_calendar_fresh *fresh, gboolean many,
                            GError **error)
{
    int count = many ? SPL_CALENDAR_MANY : 1;
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, many ? ENTRY_INTO MANY(ENTRY_ROW) : ENTRY_INTO ENTRY_ROW, SPL_NONE);

    for (int i = 0; rows != NULL && i < count; i++)
        bind_entry(spl_statement_handle(rows), i * ENTRY_COLUMNS, &fresh[i].row);
    if (rows == NULL || !run_bound(rows, error))
        return FALSE;
    /* Ids of one statement follow one another. */
    for (int i = 0; i < count; i++)
        fresh[i].row.id = spl_book_last_id(book) - count + 1 + i;
    return TRUE;
}

static gboolean add_sent(struct spl_book *book, gint64 target_id,
                         const struct spl_calendar_fresh *fresh, gboolean many, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, many ? SENT_INTO MANY(SENT_ROW) : SENT_INTO SENT_ROW, SPL_NONE);

    for (int i = 0; rows != NULL && i < (many ? SPL_CALENDAR_MANY : 1); i++)
        bind_sent(spl_statement_handle(rows), i * SENT_COLUMNS, target_id, fresh[i].row.id,
                  &fresh[i].sent);
    return rows != NULL && run_bound(rows, error);
}

/* One table after the other: each then stays where it is in the processor's memory. */
gboolean spl_calendar_add(struct spl_book *book, gint64 target_id, struct spl_calendar_fresh *fresh,
                          guint count, GError **error)
{
    gboolean many;

    for (guint i = 0; i < count; i += many ? SPL_CALENDAR_MANY : 1) {
        many = count - i >= SPL_CALENDAR_MANY;
        if (!add_entries(book, fresh + i, many, error))
            return FALSE;
    }
    for (guint i = 0; i < count; i += many ? SPL_CALENDAR_MANY : 1) {
        many = count - i >= SPL_CALENDAR_MANY;
        if (!add_sent(book, target_id, fresh + i, many, error))
            return FALSE;
    }
    return TRUE;
}

char *spl_calendar_file_checksum(struct spl_book *book, const char *path, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT checksum FROM calendar_file WHERE path = ?", SPL_WITH(path));
    char *checksum = NULL;

    if (rows != NULL)
        (void)spl_statement_next(rows, error, SPL_INTO(&checksum));
    return checksum;
}

gboolean spl_calendar_file_known(struct spl_book *book, const char *checksum, gboolean *known,
                                 GError **error)
{
    GError *failed = NULL;
    gint64 n =
        spl_book_number(book, 0, &failed, "SELECT count(*) FROM calendar_file WHERE checksum = ?",
                        SPL_WITH(checksum));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *known = n > 0;
    return TRUE;
}

gboolean spl_calendar_file_put(struct spl_book *book, const char *path, const char *checksum,
                               GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR REPLACE INTO calendar_file (path, checksum) VALUES (?, ?)",
                            SPL_WITH(path, checksum));
}

static GPtrArray *texts_of(spl_statement *rows, GError **error)
{
    GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);
    GError *failed = NULL;
    char *text;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&text)))
        g_ptr_array_add(texts, text);
    if (rows != NULL && failed == NULL)
        return texts;
    if (failed != NULL)
        g_propagate_error(error, failed);
    g_ptr_array_unref(texts);
    return NULL;
}

gboolean spl_calendar_known(struct spl_book *book, gint64 site_id, GPtrArray **materials,
                            GPtrArray **plants, GError **error)
{
    g_autoptr(spl_statement) by_material = spl_statement_open(
        book, error,
        "SELECT material FROM harvest WHERE site_id = ?1"
        " UNION SELECT material FROM stage_note WHERE site_id = ?1"
        " UNION SELECT material FROM window_fix_now WHERE site_id = ?1 ORDER BY material",
        SPL_WITH(site_id));
    g_autoptr(spl_statement) by_plant = spl_statement_open(
        book, error, "SELECT DISTINCT plant FROM stand_note_now WHERE site_id = ? ORDER BY plant",
        SPL_WITH(site_id));

    g_autoptr(GPtrArray) first = texts_of(by_material, error);
    GPtrArray *second = first != NULL ? texts_of(by_plant, error) : NULL;

    if (second == NULL)
        return FALSE;
    *materials = g_steal_pointer(&first);
    *plants = second;
    return TRUE;
}
