/* SPDX-License-Identifier: MIT
 *
 * Lines of notes that were taken. See book/note_line.h.
 */
#include "book/note_line.h"

#include "book/noun.h"
#include "book/statement.h"

void spl_note_taken_clear(struct spl_note_taken *taken)
{
    g_free(taken->about);
    g_free(taken->key);
    g_free(taken->slip);
    g_free(taken->phone);
    g_free(taken->line);
    g_free(taken->file);
    g_free(taken->made);
    g_free(taken->code);
    *taken = (struct spl_note_taken){0};
}

gboolean spl_note_taken_add(struct spl_book *book, const struct spl_note_taken *taken,
                            GError **error)
{
    const char *line_about = taken->about, *line_key = taken->key, *slip = taken->slip;
    const char *phone = taken->phone, *line = taken->line, *file = taken->file;
    const char *made = taken->made, *code = taken->code;
    const int occurrence = taken->occurrence, revision = taken->revision;
    const int struck = taken->struck != FALSE, number = taken->number;

    if (slip == NULL)
        return spl_fact_add(
            book, "note_line",
            SPL_NAMED(line_about, line_key, occurrence, revision, struck, line, file, made, code),
            error);
    return spl_fact_add(book, "note_line",
                        SPL_NAMED(line_about, line_key, occurrence, slip, phone, number, revision,
                                  struck, line, file, made, code),
                        error);
}

#define COLUMNS                                                                                    \
    "SELECT line_about, line_key, occurrence, slip, phone, coalesce(number, 0), revision, struck," \
    " line, file, made, code FROM note_line "

static gboolean next(spl_statement *rows, struct spl_note_taken *taken, GError **error)
{
    struct spl_note_taken read = {0};
    GError *failed = NULL;

    if (rows != NULL &&
        spl_statement_next(rows, &failed,
                           SPL_INTO(&read.about, &read.key, &read.occurrence, &read.slip,
                                    &read.phone, &read.number, &read.revision, &read.struck,
                                    &read.line, &read.file, &read.made, &read.code))) {
        *taken = read;
        return TRUE;
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return FALSE;
}

gboolean spl_note_taken_typed(struct spl_book *book, const char *key, int occurrence,
                              struct spl_note_taken *taken, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        COLUMNS "WHERE line_key = ? AND occurrence = ? AND slip IS NULL ORDER BY at, uuid LIMIT 1",
        SPL_WITH(key, occurrence));

    return next(rows, taken, error);
}

gboolean spl_note_taken_slip(struct spl_book *book, const char *slip, const char *phone, int number,
                             struct spl_note_taken *taken, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        COLUMNS "WHERE slip = ? AND phone IS ? AND number = ?"
                " ORDER BY struck DESC, revision DESC, at DESC, uuid DESC LIMIT 1",
        SPL_WITH(slip, phone, number));

    return next(rows, taken, error);
}

GArray *spl_note_taken_about(struct spl_book *book, const char *about, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, COLUMNS "WHERE line_about = ? AND slip IS NULL ORDER BY at, uuid",
        SPL_WITH(about));
    g_autoptr(GArray) list = g_array_new(FALSE, FALSE, sizeof(struct spl_note_taken));
    struct spl_note_taken taken;
    GError *failed = NULL;

    g_array_set_clear_func(list, (GDestroyNotify)spl_note_taken_clear);
    if (rows == NULL)
        return NULL;
    while (next(rows, &taken, &failed))
        g_array_append_val(list, taken);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return NULL;
    }
    return g_steal_pointer(&list);
}

gboolean spl_note_file_read(struct spl_book *book, const char *hash, struct spl_day *day,
                            GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT day FROM note_file WHERE hash = ? ORDER BY at, uuid LIMIT 1",
        SPL_WITH(hash));
    GError *failed = NULL;

    *day = SPL_DAY_NONE;
    if (rows == NULL)
        return FALSE;
    (void)spl_statement_next(rows, &failed, SPL_INTO(day));
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_note_file_add(struct spl_book *book, const char *hash, const char *name,
                           struct spl_day day, GError **error)
{
    return spl_fact_add(book, "note_file", SPL_NAMED(hash, name, day), error);
}
