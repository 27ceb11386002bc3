/* SPDX-License-Identifier: MIT
 *
 * The register of calendar entries. See book/calendar.h.
 */
#include "book/calendar.h"

#include <string.h>

#include "book/statement.h"
#include "simpling/error.h"

static const char *const state_words[] = {"open", "done", "withdrawn", "dropped"};

static enum spl_calendar_state state_of(const char *word)
{
    for (gsize i = 0; i < G_N_ELEMENTS(state_words); i++)
        if (g_strcmp0(word, state_words[i]) == 0)
            return (enum spl_calendar_state)i;
    return SPL_CALENDAR_OPEN;
}

void spl_calendar_row_clear(struct spl_calendar_row *row)
{
    g_free(row->uid);
    g_free(row->key);
    g_free(row->summary);
    *row = (struct spl_calendar_row){.first = SPL_DAY_NONE,
                                     .last = SPL_DAY_NONE,
                                     .outer_first = SPL_DAY_NONE,
                                     .outer_last = SPL_DAY_NONE};
}

#define COLUMNS                                                                                    \
    "id, uid, key, year, summary, first, last, outer_first, outer_last, state, sequence, "         \
    "changed_at"

static void take_row(spl_statement *rows, struct spl_calendar_row *row)
{
    *row = (struct spl_calendar_row){
        .id = spl_column_long(rows, 0),
        .uid = spl_column_text(rows, 1),
        .key = spl_column_text(rows, 2),
        .year = spl_column_int(rows, 3),
        .summary = spl_column_text(rows, 4),
        .first = spl_column_day(rows, 5),
        .last = spl_column_day(rows, 6),
        .outer_first = spl_column_day(rows, 7),
        .outer_last = spl_column_day(rows, 8),
        .state = state_of(spl_column_peek(rows, 9)),
        .sequence = spl_column_int(rows, 10),
        .changed_at = spl_column_long(rows, 11),
    };
}

gboolean spl_calendar_row_find(struct spl_book *book, const char *uid, struct spl_calendar_row *row,
                               gboolean *found, GError **error)
{
    g_autofree char *lower = g_ascii_strdown(uid, -1);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT " COLUMNS " FROM calendar_entry WHERE uid = ?", "t", lower);
    GError *failed = NULL;

    *row = (struct spl_calendar_row){0};
    spl_calendar_row_clear(row);
    *found = FALSE;
    if (rows == NULL)
        return FALSE;
    if (spl_statement_row(rows, &failed)) {
        take_row(rows, row);
        *found = TRUE;
    }
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

gboolean spl_calendar_row_add(struct spl_book *book, struct spl_calendar_row *row, GError **error)
{
    if (!spl_book_execute(book, error,
                          "INSERT INTO calendar_entry (uid, key, year, summary, first, last,"
                          " outer_first, outer_last, state, sequence, changed_at)"
                          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                          "ttitddddtil", row->uid, row->key, row->year, row->summary, row->first,
                          row->last, row->outer_first, row->outer_last, state_words[row->state],
                          row->sequence, row->changed_at))
        return FALSE;
    row->id = spl_book_last_id(book);
    return TRUE;
}

gboolean spl_calendar_row_update(struct spl_book *book, const struct spl_calendar_row *row,
                                 GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR IGNORE INTO calendar_value (entry_id, first, last, state)"
                            " SELECT id, first, last, state FROM calendar_entry WHERE id = ?",
                            "l", row->id) &&
           spl_book_execute(book, error,
                            "UPDATE calendar_entry SET year = ?, summary = ?, first = ?, last = ?,"
                            " outer_first = ?, outer_last = ?, state = ?, sequence = ?,"
                            " changed_at = ? WHERE id = ?",
                            "itddddtill", row->year, row->summary, row->first, row->last,
                            row->outer_first, row->outer_last, state_words[row->state],
                            row->sequence, row->changed_at, row->id);
}

gboolean spl_calendar_row_raise(struct spl_book *book, gint64 id, int sequence, GError **error)
{
    return spl_book_execute(book, error,
                            "UPDATE calendar_entry SET sequence = max(sequence, ?) WHERE id = ?",
                            "il", sequence, id);
}

gboolean spl_calendar_row_each(struct spl_book *book, int year,
                               gboolean (*each)(const struct spl_calendar_row *row, gpointer data,
                                                GError **error),
                               gpointer data, GError **error)
{
    /* The visitor may write to the table: what it adds has a greater id, and what it changes keeps
     * its own, so going on from the last id sees each row once. */
    gint64 id = 0;

    for (;;) {
        g_autoptr(spl_statement) rows =
            spl_statement_open(book, error,
                               "SELECT " COLUMNS " FROM calendar_entry WHERE id > ? AND year >= ?"
                               " ORDER BY id LIMIT 1",
                               "li", id, year);
        GError *failed = NULL;
        struct spl_calendar_row row;
        gboolean ok;

        if (rows == NULL)
            return FALSE;
        if (!spl_statement_row(rows, &failed)) {
            if (failed != NULL)
                g_propagate_error(error, failed);
            return failed == NULL;
        }
        take_row(rows, &row);
        id = row.id;
        g_clear_pointer(&rows, spl_statement_done);
        ok = each(&row, data, error);
        spl_calendar_row_clear(&row);
        if (!ok)
            return FALSE;
    }
}

gboolean spl_calendar_value_known(struct spl_book *book, const struct spl_calendar_row *row,
                                  struct spl_day first, struct spl_day last,
                                  enum spl_calendar_state state, gboolean *days,
                                  gboolean *state_known, GError **error)
{
    GError *failed = NULL;

    *days = row->first.n == first.n && row->last.n == last.n;
    *state_known = row->state == state;
    if (!*days)
        *days = spl_book_number(book, 0, &failed,
                                "SELECT count(*) FROM calendar_value WHERE entry_id = ?"
                                " AND first = ? AND last = ?",
                                "ldd", row->id, first, last) > 0;
    if (!*state_known && failed == NULL)
        *state_known = spl_book_number(book, 0, &failed,
                                       "SELECT count(*) FROM calendar_value WHERE entry_id = ?"
                                       " AND state = ?",
                                       "lt", row->id, state_words[state]) > 0;
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

gboolean spl_calendar_value_add(struct spl_book *book, gint64 entry_id, struct spl_day first,
                                struct spl_day last, enum spl_calendar_state state, GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR IGNORE INTO calendar_value (entry_id, first, last, state)"
                            " VALUES (?, ?, ?, ?)",
                            "lddt", entry_id, first, last, state_words[state]);
}

gboolean spl_calendar_target(struct spl_book *book, const char *name, gboolean make, gint64 *id,
                             GError **error)
{
    GError *failed = NULL;

    *id = spl_book_number(book, 0, &failed, "SELECT id FROM calendar_target WHERE name = ?", "t",
                          name);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (*id != 0 || !make)
        return TRUE;
    if (!spl_book_execute(book, error, "INSERT INTO calendar_target (name) VALUES (?)", "t", name))
        return FALSE;
    *id = spl_book_last_id(book);
    return TRUE;
}

gboolean spl_calendar_sent_find(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                struct spl_calendar_sent *sent, gboolean *found, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT hash, sequence, changed_at, cancelled, first, last FROM calendar_sent"
        " WHERE target_id = ? AND entry_id = ?",
        "ll", target_id, entry_id);
    GError *failed = NULL;

    *sent = (struct spl_calendar_sent){0};
    *found = FALSE;
    if (rows == NULL)
        return FALSE;
    if (spl_statement_row(rows, &failed)) {
        g_strlcpy(sent->hash, spl_column_peek(rows, 0), sizeof sent->hash);
        sent->sequence = spl_column_int(rows, 1);
        sent->changed_at = spl_column_long(rows, 2);
        sent->cancelled = spl_column_int(rows, 3) != 0;
        sent->first = spl_column_day(rows, 4);
        sent->last = spl_column_day(rows, 5);
        *found = TRUE;
    }
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

gboolean spl_calendar_sent_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                               const struct spl_calendar_sent *sent, GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR REPLACE INTO calendar_sent (target_id, entry_id, hash,"
                            " sequence, changed_at, cancelled, first, last)"
                            " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                            "lltilidd", target_id, entry_id, sent->hash, sent->sequence,
                            sent->changed_at, sent->cancelled ? 1 : 0, sent->first, sent->last);
}

char *spl_calendar_file_checksum(struct spl_book *book, const char *path, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT checksum FROM calendar_file WHERE path = ?", "t", path);

    return rows != NULL && spl_statement_row(rows, error) ? spl_column_text(rows, 0) : NULL;
}

gboolean spl_calendar_file_known(struct spl_book *book, const char *checksum, gboolean *known,
                                 GError **error)
{
    GError *failed = NULL;

    *known =
        spl_book_number(book, 0, &failed, "SELECT count(*) FROM calendar_file WHERE checksum = ?",
                        "t", checksum) > 0;
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

gboolean spl_calendar_file_put(struct spl_book *book, const char *path, const char *checksum,
                               GError **error)
{
    return spl_book_execute(book, error,
                            "INSERT OR REPLACE INTO calendar_file (path, checksum) VALUES (?, ?)",
                            "tt", path, checksum);
}

static GPtrArray *texts_of(spl_statement *rows, GError **error)
{
    GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed))
        g_ptr_array_add(texts, spl_column_text(rows, 0));
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
        " UNION SELECT material FROM window_fix WHERE site_id = ?1 ORDER BY material",
        "l", site_id);
    g_autoptr(spl_statement) by_plant = spl_statement_open(
        book, error, "SELECT DISTINCT plant FROM stand_note WHERE site_id = ? ORDER BY plant", "l",
        site_id);

    *plants = NULL;
    *materials = texts_of(by_material, error);
    if (*materials != NULL)
        *plants = texts_of(by_plant, error);
    if (*plants != NULL)
        return TRUE;
    g_clear_pointer(materials, g_ptr_array_unref);
    return FALSE;
}
