/* SPDX-License-Identifier: MIT
 *
 * A book out into plain tables and in again. See simpling/carry.h.
 */
#include "simpling/carry.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

#include "base/file.h"
#include "book/look.h"
#include "book/photo.h"
#include "book/table.h"
#include "exchange/csv.h"
#include "exchange/csv_write.h"
#include "season/carry_private.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_field carried_table_fields[] = {
    SPL_FIELD(spl_carried_table, table, SPL_TEXT, "table", "table"),
    SPL_FIELD(spl_carried_table, rows, SPL_LONG, "rows", "rows"),
};
const struct spl_shape spl_carried_table_shape =
    SPL_SHAPE("carried_table", spl_carried_table, carried_table_fields);

static const struct spl_field carried_fields[] = {
    SPL_FIELD(spl_carried, folder, SPL_TEXT, "folder", "folder"),
    SPL_FIELD(spl_carried, schema, SPL_INT, "schema", "schema"),
    SPL_FIELD(spl_carried, rows, SPL_LONG, "rows", "rows"),
    SPL_FIELD(spl_carried, photos, SPL_LONG, "photos", "photos"),
    SPL_FIELD_LIST(spl_carried, tables, &spl_carried_table_shape, "tables", "tables"),
};
const struct spl_shape spl_carried_shape = SPL_SHAPE("carried", spl_carried, carried_fields);

#define SCHEMA_FILE "schema.csv"
/* Beside it stand the photos, as beside any book (book/photo.h). */
#define PHOTOS_OF "book"

static const struct spl_input out_rows[] = {
    SPL_INPUT(spl_carry_words, path, FILE, "folder", "a new folder", .value = "DIR", .needed = 1),
    SPL_INPUT(spl_carry_words, photos, FLAG, "photos",
              "photos too: their files, which may tell where and when they were taken"),
};
const struct spl_inputs spl_carry_out_inputs = SPL_INPUTS("book_export", spl_carry_words, out_rows);

static const struct spl_input in_rows[] = {
    SPL_INPUT(spl_book_place, path, FILE, "folder", "the folder that was written", .value = "DIR",
              .needed = 1),
};
const struct spl_inputs spl_carry_in_inputs = SPL_INPUTS("book_import", spl_book_place, in_rows);

static void count_table(struct spl_carried *carried, const char *name, gint64 rows)
{
    struct spl_carried_table line = {g_strdup(name), rows};

    g_array_append_val(carried->tables, line);
    carried->rows += rows;
}

/* Out -------------------------------------------------------------------------------------------
 */

/* `made`: it was not there before. */
static gboolean folder_is_free(const char *folder, gboolean *made, GError **error)
{
    g_autoptr(GDir) dir = NULL;

    *made = !g_file_test(folder, G_FILE_TEST_EXISTS);
    if (g_mkdir_with_parents(folder, 0700) != 0 || (dir = g_dir_open(folder, 0, NULL)) == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY, "%s: cannot make the folder: %s", folder,
                    g_strerror(errno));
        return FALSE;
    }
    if (g_dir_read_name(dir) != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: the folder is not empty; name another one", folder);
        return FALSE;
    }
    return TRUE;
}

struct out {
    struct spl_file_writer *writer;
    guint columns;
    int without; /* a column that stays at home; -1: none */
    gint64 rows;
};

static gboolean write_row(const char *const *cells, gpointer data, GError **error)
{
    struct out *out = data;

    g_autofree const char **written = g_memdup2(cells, out->columns * sizeof *cells);

    if (out->without >= 0)
        written[out->without] = "";
    out->rows++;
    return spl_csv_write_row(out->writer, written, out->columns, error);
}

static gboolean write_table(struct spl_house *house, const struct spl_carry_words *words,
                            const struct spl_table *table, struct spl_carried *carried,
                            GError **error)
{
    const gboolean small = strcmp(table->name, "photo") == 0 && !words->photos;
    g_autofree char *name = g_strconcat(table->name, ".csv", NULL);
    g_autofree char *path = g_build_filename(words->path, name, NULL);
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);
    g_autoptr(GPtrArray) header = g_ptr_array_new();
    struct out out = {.writer = writer,
                      .columns = table->columns->len,
                      .without = small ? spl_table_column(table, "small") : -1};

    for (guint i = 0; i < table->columns->len; i++)
        g_ptr_array_add(header,
                        ((struct spl_table_column *)g_ptr_array_index(table->columns, i))->name);
    if (writer == NULL)
        return FALSE;
    spl_file_writer_keep_private(writer);
    if (!spl_csv_write_row(writer, (const char *const *)header->pdata, header->len, error) ||
        !spl_table_rows(house->book, table, write_row, &out, error) ||
        !spl_file_writer_commit(writer, error))
        return FALSE;
    count_table(carried, table->name, out.rows);
    return TRUE;
}

static gboolean write_schema(const char *folder, GError **error)
{
    g_autofree char *path = g_build_filename(folder, SCHEMA_FILE, NULL);
    g_autofree char *text = g_strdup_printf("schema\n%d\n", spl_book_schema());

    return spl_file_write_private(path, text, strlen(text), error);
}

/* A half export is none: what was written goes again, and the folder if it is of our making. */
static void take_away(const char *folder, gboolean made, const GPtrArray *tables)
{
    static const char *const others[] = {SCHEMA_FILE, SPL_CARRY_README, SPL_CARRY_COLUMNS,
                                         SPL_CARRY_SITES, SPL_CARRY_HAZARDS};

    for (guint i = 0; tables != NULL && i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);
        g_autofree char *name = g_strconcat(table->name, ".csv", NULL);
        g_autofree char *path = g_build_filename(folder, name, NULL);

        g_unlink(path);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(others); i++) {
        g_autofree char *path = g_build_filename(folder, others[i], NULL);

        g_unlink(path);
    }
    if (made)
        g_rmdir(folder);
}

/* The photos, where that was said. A half is nothing: whatever went there goes again. */
static gboolean write_photos(struct spl_house *house, const struct spl_carry_words *words,
                             struct spl_carried *carried, GError **error)
{
    g_autofree char *beside = g_build_filename(words->path, PHOTOS_OF, NULL);

    if (!words->photos)
        return TRUE;
    if (spl_photo_copy_all(house->book, spl_book_path(house->book), beside, &carried->photos,
                           error))
        return TRUE;
    spl_photo_remove_all(house->book, beside);
    return FALSE;
}

gboolean spl_carry_out(struct spl_house *house, const struct spl_carry_words *words,
                       struct spl_carried *carried, GError **error)
{
    const char *folder = words->path;
    g_autoptr(GPtrArray) tables = NULL;
    gboolean ok, made, free_to_write;
    struct spl_carried written;

    if (!spl_entry_check(house, &spl_carry_out_inputs, words, error))
        return FALSE;
    written = (struct spl_carried){.folder = g_strdup(folder),
                                   .schema = spl_book_schema(),
                                   .tables = spl_list_new(&spl_carried_table_shape)};
    free_to_write = folder_is_free(folder, &made, error);
    ok = free_to_write && (tables = spl_table_list(house->book, error)) != NULL &&
         write_schema(folder, error) && spl_carry_words(folder, tables, error) &&
         spl_carry_maps(house, folder, error);
    for (guint i = 0; ok && i < tables->len; i++) {
        ok = write_table(house, words, g_ptr_array_index(tables, i), &written, error);
        spl_progress_tell(&house->progress, "writing tables", i + 1, tables->len);
    }
    ok = ok && write_photos(house, words, &written, error);
    if (!ok && free_to_write)
        take_away(folder, made, tables);
    if (ok)
        *carried = written;
    else
        spl_record_clear(&spl_carried_shape, &written);
    return ok;
}

/* In --------------------------------------------------------------------------------------------
 */

static gboolean read_schema(const char *folder, int *schema, GError **error)
{
    g_autofree char *path = g_build_filename(folder, SCHEMA_FILE, NULL);
    g_autoptr(spl_csv) csv = spl_csv_open(path, error);
    int column;

    if (csv == NULL || !spl_csv_column_required(csv, "schema", &column, error))
        return FALSE;
    *schema = 0;
    if (!spl_csv_next(csv, error)) {
        if (error != NULL && *error == NULL)
            g_set_error(
                error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: does not say which version of the book it was written from; export again",
                path);
        return FALSE;
    }
    return spl_csv_count(csv, column, 1, 100000, schema, error);
}

static gboolean read_table(struct spl_book *book, const char *folder, const struct spl_table *table,
                           struct spl_carried *carried, GError **error)
{
    g_autofree char *name = g_strconcat(table->name, ".csv", NULL);
    g_autofree char *path = g_build_filename(folder, name, NULL);
    g_autoptr(spl_csv) csv = spl_csv_open(path, error);
    g_autoptr(GArray) places = g_array_new(FALSE, FALSE, sizeof(int));
    g_autofree const char **cells = g_new0(const char *, table->columns->len + 1);
    GError *failed = NULL;
    gint64 rows = 0;

    if (csv == NULL)
        return FALSE;
    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);
        int place;

        if (!spl_csv_column_required(csv, column->name, &place, error))
            return FALSE;
        g_array_append_val(places, place);
    }
    while (failed == NULL && spl_csv_next(csv, &failed)) {
        for (guint i = 0; i < table->columns->len; i++)
            cells[i] = spl_csv_text(csv, g_array_index(places, int, i));
        if (!spl_table_insert(book, table, cells, NULL, &failed))
            g_prefix_error(&failed, "%s:%d: ", name, spl_csv_line(csv));
        rows++;
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    count_table(carried, table->name, rows);
    return TRUE;
}

static gboolean read_tables(struct spl_book *book, const char *folder, struct spl_carried *carried,
                            GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(book, error);
    gboolean ok;

    if (tables == NULL || !spl_book_begin(book, error))
        return FALSE;
    ok = TRUE;
    for (guint i = 0; ok && i < tables->len; i++)
        ok = read_table(book, folder, g_ptr_array_index(tables, i), carried, error);
    return spl_book_finish(book, ok, error);
}

/* The folder may be anyone's, or edited by hand: what no program of ours would have written makes
 * no book. */
static gboolean rows_are_ours(struct spl_book *book, const char *folder, GError **error)
{
    struct spl_look look = {0};
    gboolean ok;

    if (!spl_look_at_rows(book, SPL_STAMP_MAX, TRUE, &look, error))
        return FALSE;
    ok = look.strays->len == 0 && look.damaged->len == 0;
    if (look.strays->len > 0) {
        const struct spl_stray *stray = g_ptr_array_index(look.strays, 0);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: %s: %s; correct it, or take it out of %s.csv", folder, stray->what,
                    stray->reason, stray->table);
    } else if (look.damaged->len > 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: %s; export the book again", folder,
                    (const char *)g_ptr_array_index(look.damaged, 0));
    }
    spl_look_clear(&look);
    return ok;
}

gboolean spl_carry_in(const struct spl_house_options *options, const char *folder,
                      struct spl_carried *carried, GError **error)
{
    g_autofree char *beside = g_strconcat(options->book, ".carrying", NULL);
    g_autofree char *photos = g_build_filename(folder != NULL ? folder : "", PHOTOS_OF, NULL);
    struct spl_book_place said = {folder};
    struct spl_book *book = NULL;
    struct spl_carried read;
    gboolean ok;

    if (!spl_inputs_check(&spl_carry_in_inputs, &said, error))
        return FALSE;
    if (g_file_test(options->book, G_FILE_TEST_EXISTS)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is something already; name a new book", options->book);
        return FALSE;
    }
    read = (struct spl_carried){.folder = g_strdup(folder),
                                .tables = spl_list_new(&spl_carried_table_shape)};
    ok = read_schema(folder, &read.schema, error) &&
         (book = spl_book_make_empty(beside, read.schema, error)) != NULL &&
         read_tables(book, folder, &read, error) && spl_book_carried_in(book, error) &&
         rows_are_ours(book, folder, error) &&
         spl_photo_copy_all(book, photos, options->book, &read.photos, error);
    spl_book_close(book);
    if (ok && g_rename(beside, options->book) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: cannot be put in place: %s", options->book,
                    g_strerror(errno));
        ok = FALSE;
    }
    if (ok) {
        *carried = read;
    } else {
        if (book != NULL)
            g_unlink(beside);
        spl_record_clear(&spl_carried_shape, &read);
    }
    return ok;
}
