/* SPDX-License-Identifier: MIT
 *
 * Looking at every row. See book/look.h.
 *
 * Two walks over the tables: the first gathers what rows can hang on (ids, UUIDs), the second
 * looks. What hangs on a stray is a stray too, so the second walk is done again until it finds no
 * more.
 */
#include "book/look.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/book_private.h"
#include "book/check.h"
#include "book/statement.h"
#include "core/geometry.h"
#include "simpling/day.h"
#include "simpling/error.h"

#define ROWS_MAX 20000000 /* a thousand seasons of a busy dispensary */
#define TEXT_MAX 65536    /* bytes: reasons kept as JSON are the longest */
#define MARK_LEAST 2
#define MARK_MOST 8

static const char *const own_tables[] = {"setting", "site_key", "baseline"};

gboolean spl_look_is_own(const char *table)
{
    for (gsize i = 0; i < G_N_ELEMENTS(own_tables); i++) {
        if (strcmp(own_tables[i], table) == 0)
            return TRUE;
    }
    return g_str_has_prefix(table, "calendar_");
}

static void stray_free(gpointer data)
{
    struct spl_stray *stray = data;

    g_free(stray->table);
    g_free(stray->what);
    g_free(stray->reason);
    g_strfreev(stray->cells);
    g_free(stray);
}

void spl_look_clear(struct spl_look *look)
{
    g_clear_pointer(&look->strays, g_ptr_array_unref);
    g_clear_pointer(&look->damaged, g_ptr_array_unref);
    g_clear_pointer(&look->rows, g_hash_table_unref);
    *look = (struct spl_look){0};
}

/* "TABLE n": a row by its place, or an id of a table. */
static char *key_of(const char *table, const char *n)
{
    return g_strconcat(table, " ", n, NULL);
}

gboolean spl_look_is_stray(const struct spl_look *look, const char *table, gint64 n)
{
    g_autofree char *key = NULL;

    if (g_hash_table_size(look->rows) == 0) /* nearly always, and asked of every row */
        return FALSE;
    key = g_strdup_printf("%s %" G_GINT64_FORMAT, table, n);
    return g_hash_table_contains(look->rows, key);
}

gint64 spl_book_tomorrow(const struct spl_book *book)
{
    return MAX(book->now_us, g_get_real_time()) + G_TIME_SPAN_DAY;
}

struct walk {
    struct spl_book *book;
    struct spl_look *look;
    const struct spl_table *table;
    gint64 latest_us;
    gboolean stranger;
    GHashTable *ids;    /* "TABLE id" of rows that are no strays */
    GHashTable *uuids;  /* of the same */
    GHashTable *sites;  /* UUIDs of places */
    GHashTable *wrong;  /* ids of amendments to a value that cannot be; NULL: not asked */
    GHashTable *doomed; /* "TABLE id": what it is stands in a row that is a stray */
    struct spl_geometry *shape;
    gboolean cascades;
    gboolean alone; /* of the table: nothing points to its rows, and they are no things */
    gint64 n;       /* of the row in its table */
    gboolean found;
};

/* A cell without the apostrophes that book/table.h puts round some texts. */
static char *bare(const char *cell)
{
    gsize length = strlen(cell);

    return length >= 2 && *cell == '\'' && cell[length - 1] == '\''
               ? g_strndup(cell + 1, length - 2)
               : g_strdup(cell);
}

/* The first walk: what is there. */
static gboolean gather_row(const char *const *cells, gpointer data, GError **error)
{
    struct walk *walk = data;
    int id = spl_table_column(walk->table, "id"), uuid = spl_table_column(walk->table, "uuid");

    if (id >= 0)
        g_hash_table_add(walk->ids, key_of(walk->table->name, cells[id]));
    if (uuid >= 0)
        g_hash_table_add(walk->uuids, bare(cells[uuid]));
    if (uuid >= 0 && strcmp(walk->table->name, "site") == 0)
        g_hash_table_add(walk->sites, bare(cells[uuid]));
    if (++walk->look->n_rows <= ROWS_MAX)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                "%s: holds more than %d rows, which is no herbalist's book; nothing was taken from "
                "it",
                spl_book_path(walk->book), ROWS_MAX);
    return FALSE;
}

/* ---- one cell ---- */

static gboolean is_day(const char *column)
{
    static const char *const days[] = {"day", "since", "until", "use_by", "contaminated_on"};

    for (gsize i = 0; i < G_N_ELEMENTS(days); i++) {
        if (strcmp(days[i], column) == 0)
            return TRUE;
    }
    return FALSE;
}

static gboolean is_mark(const char *text)
{
    gsize length = strlen(text);

    /* As the door takes them: a letter, then letters and digits. */
    for (const char *p = text; *p != '\0'; p++) {
        if (!g_ascii_isalpha(*p) && (p == text || !g_ascii_isdigit(*p)))
            return FALSE;
    }
    return length >= MARK_LEAST && length <= MARK_MOST;
}

/* NULL: a text that the door would take in this column. Free with g_free. */
static char *text_fault(const char *column, const char *text)
{
    const gsize most = strcmp(column, "name") == 0 ? SPL_NAME_MAX : TEXT_MAX;
    const char *fault = spl_text_fault(text, most);

    if (fault != NULL)
        return g_strdup_printf("its %s %s", column, fault);
    if (strcmp(column, "mark") == 0 && !is_mark(text))
        return g_strdup("its mark is none (2 to 8 letters)");
    return NULL;
}

static char *integer_fault(const struct walk *walk, const struct spl_table_column *column,
                           const char *cell)
{
    gint64 number = g_ascii_strtoll(cell, NULL, 10);

    /* `version` of an answer is the stamp of what it rests on. */
    if (strcmp(column->name, "at") == 0 || strcmp(column->name, "version") == 0)
        return number <= walk->latest_us
                   ? NULL
                   : g_strdup("was written after tomorrow, by its stamp: a clock was wrong");
    if (column->references != NULL || strcmp(column->name, "id") == 0)
        return NULL;
    if (is_day(column->name)) {
        if (number >= spl_day_from_ymd(1, 1, 1).n && number <= spl_day_from_ymd(9999, 12, 31).n)
            return NULL;
        return g_strdup_printf("its %s is no day", column->name);
    }
    /* All are read as int. */
    if (number >= G_MININT32 && number <= G_MAXINT32)
        return NULL;
    return g_strdup_printf("its %s is out of all bounds", column->name);
}

static guint8 *bytes_of(const char *hex, gsize *size)
{
    guint8 *bytes;

    *size = strlen(hex) / 2;
    bytes = g_malloc(*size + 1);
    for (gsize i = 0; i < *size; i++)
        bytes[i] =
            (guint8)(g_ascii_xdigit_value(hex[2 * i]) << 4 | g_ascii_xdigit_value(hex[2 * i + 1]));
    return bytes;
}

/* Shapes of a stranger: what is none makes the whole book one to be mended first, as ground that is
 * left out could make a verdict milder. */
static void look_at_shape(struct walk *walk, const char *hex, const char *what)
{
    g_autoptr(GError) damaged = NULL;
    gsize size;
    g_autofree guint8 *bytes = NULL;

    if (!walk->stranger || *hex == '\0')
        return;
    bytes = bytes_of(hex, &size);
    if (!spl_geometry_from_bytes(walk->shape, bytes, size, &damaged))
        g_ptr_array_add(walk->look->damaged, g_strdup_printf("%s: its shape is damaged", what));
}

static char *any_fault(struct walk *walk, const char *column, const char *literal, const char *what)
{
    gsize length = strlen(literal);

    if (*literal == '\'') {
        g_autofree char *text = bare(literal);

        return text_fault(column, text);
    }
    if (length >= 3 && g_ascii_toupper(*literal) == 'X') {
        g_autofree char *hex = g_strndup(literal + 2, length - 3);

        look_at_shape(walk, hex, what);
    }
    return NULL;
}

static char *cell_fault(struct walk *walk, const struct spl_table_column *column, const char *cell,
                        const char *what)
{
    if (*cell == '\0')
        return NULL;
    if (strcmp(column->type, "TEXT") == 0) {
        g_autofree char *text = bare(cell);

        return text_fault(column->name, text);
    }
    if (strcmp(column->type, "INTEGER") == 0)
        return integer_fault(walk, column, cell);
    if (strcmp(column->type, "REAL") == 0)
        return isfinite(g_ascii_strtod(cell, NULL))
                   ? NULL
                   : g_strdup_printf("its %s is no number", column->name);
    if (strcmp(column->type, "BLOB") == 0)
        look_at_shape(walk, cell, what);
    else
        return any_fault(walk, column->name, cell, what);
    return NULL;
}

/* ---- one row ---- */

/* Rules are no row, and a layer that was read in again is another one: what was answered of them
 * stays, and answers nothing more. */
static gboolean may_rest_on_nothing(const struct walk *walk, const char *const *cells)
{
    int kind = spl_table_column(walk->table, "kind");
    g_autofree char *word = kind >= 0 ? bare(cells[kind]) : g_strdup("");

    return strcmp(word, "rules") == 0 || g_str_has_prefix(word, "hazard-") ||
           g_str_has_prefix(word, "layer-");
}

static char *reference_fault(const struct walk *walk, const struct spl_table_column *column,
                             const char *const *cells, const char *cell)
{
    g_autofree char *key = NULL, *subject = NULL;

    if (column->references != NULL && *cell != '\0' &&
        strcmp(column->references, walk->table->name) != 0) {
        key = key_of(column->references, cell);
        if (!g_hash_table_contains(walk->ids, key))
            return g_strdup_printf("points to a row of %s that is not here", column->references);
    }
    /* What an answer or a release rests on. */
    if (strcmp(column->name, "subject") == 0 ||
        (strcmp(column->name, "fact") == 0 && *cell != '\0' && !may_rest_on_nothing(walk, cells))) {
        subject = bare(cell);
        if (!g_hash_table_contains(walk->uuids, subject))
            return g_strdup_printf("%s nothing that is here",
                                   strcmp(walk->table->name, "amendment") == 0 ? "corrects"
                                   : strcmp(walk->table->name, "strike") == 0  ? "strikes"
                                                                               : "is about");
        /* What was picked, said and planned there would hang on nothing. */
        if (strcmp(walk->table->name, "strike") == 0 && g_hash_table_contains(walk->sites, subject))
            return g_strdup("strikes a place, which no command does");
    }
    return NULL;
}

static char *row_fault(struct walk *walk, const char *const *cells, const char *what)
{
    int id = spl_table_column(walk->table, "id");

    for (guint i = 0; i < walk->table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(walk->table->columns, i);
        char *fault = cell_fault(walk, column, cells[i], what);

        if (fault == NULL)
            fault = reference_fault(walk, column, cells, cells[i]);
        if (fault != NULL)
            return fault;
    }
    if (id >= 0) {
        g_autofree char *key = key_of(walk->table->name, cells[id]);

        if (g_hash_table_contains(walk->doomed, key))
            return g_strdup("has a code, and what it was is left out");
    }
    if (walk->wrong != NULL && id >= 0 && strcmp(walk->table->name, "amendment") == 0 &&
        g_hash_table_contains(walk->wrong, cells[id]))
        return g_strdup("corrects to a value that cannot be");
    return NULL;
}

/* How a row is called: by its UUID, else by its key. */
static char *name_of(const struct spl_table *table, const char *const *cells)
{
    int uuid = spl_table_column(table, "uuid");
    g_autoptr(GString) key = g_string_new(NULL);
    g_autofree char *clean = NULL;

    for (guint i = 0; i < table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(table->columns, i);

        if (uuid >= 0 ? (int)i == uuid : column->key)
            g_string_append_printf(key, " %.60s", cells[i]);
    }
    clean = spl_text_scrub(key->str, FALSE);
    return g_strconcat(table->name, clean, NULL);
}

static void add_stray(struct walk *walk, const char *const *cells, char *what, char *reason)
{
    struct spl_stray *stray = g_new0(struct spl_stray, 1);
    int id = spl_table_column(walk->table, "id"), uuid = spl_table_column(walk->table, "uuid");

    *stray = (struct spl_stray){.table = g_strdup(walk->table->name),
                                .what = what,
                                .reason = reason,
                                .cells = g_strdupv((char **)cells),
                                .alone = walk->alone};
    g_ptr_array_add(walk->look->strays, stray);
    g_hash_table_add(walk->look->rows,
                     g_strdup_printf("%s %" G_GINT64_FORMAT, walk->table->name, walk->n));
    if (!walk->cascades)
        return;
    walk->found = TRUE;
    if (uuid >= 0) {
        g_autofree char *text = bare(cells[uuid]);

        g_hash_table_remove(walk->uuids, text);
    }
    if (id >= 0) {
        const struct spl_table_column *column = g_ptr_array_index(walk->table->columns, (guint)id);
        g_autofree char *key = key_of(walk->table->name, cells[id]);

        g_hash_table_remove(walk->ids, key);
        /* The row whose id it has is the same thing. */
        if (column->references != NULL)
            g_hash_table_add(walk->doomed, key_of(column->references, cells[id]));
    }
}

static gboolean look_at_row(const char *const *cells, gpointer data, GError **error)
{
    struct walk *walk = data;
    g_autofree char *what = NULL;
    char *reason;

    (void)error;
    if (!spl_look_is_stray(walk->look, walk->table->name, walk->n)) {
        what = name_of(walk->table, cells);
        reason = row_fault(walk, cells, what);
        if (reason != NULL)
            add_stray(walk, cells, g_steal_pointer(&what), reason);
    }
    walk->n++;
    return TRUE;
}

static gboolean is_alone(const struct spl_table *table, const GPtrArray *tables)
{
    int id = spl_table_column(table, "id");

    if (id >= 0 &&
        ((struct spl_table_column *)g_ptr_array_index(table->columns, (guint)id))->references !=
            NULL)
        return FALSE;
    for (guint i = 0; i < tables->len; i++) {
        const struct spl_table *other = g_ptr_array_index(tables, i);

        for (guint k = 0; k < other->columns->len; k++) {
            const struct spl_table_column *column = g_ptr_array_index(other->columns, k);

            if (g_strcmp0(column->references, table->name) == 0)
                return FALSE;
        }
    }
    return TRUE;
}

static gboolean walk_tables(struct walk *walk, const GPtrArray *tables,
                            gboolean (*each)(const char *const *cells, gpointer data,
                                             GError **error),
                            GError **error)
{
    for (guint i = 0; i < tables->len; i++) {
        walk->table = g_ptr_array_index(tables, i);
        walk->n = 0;
        walk->alone = is_alone(walk->table, tables);
        if (!spl_look_is_own(walk->table->name) &&
            !spl_table_rows(walk->book, walk->table, each, walk, error))
            return FALSE;
    }
    return TRUE;
}

/* Amendments that a column's own CHECK would have refused. */
static GHashTable *wrong_amendments(struct spl_book *book, GError **error)
{
    g_autoptr(GHashTable) wrong = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT a.id FROM amendment a WHERE " SPL_AMENDMENT_IS_WRONG, SPL_NONE);
    GError *failed = NULL;
    char *id;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&id)))
        g_hash_table_add(wrong, id);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&wrong) : NULL;
}

gboolean spl_look_at_rows(struct spl_book *book, gint64 latest_us, gboolean stranger,
                          struct spl_look *look, GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(book, error);
    g_autoptr(GHashTable) ids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) uuids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) sites = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) doomed = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) wrong = NULL;
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct walk walk = {.book = book,
                        .look = look,
                        .latest_us = latest_us,
                        .stranger = stranger,
                        .cascades = stranger,
                        .ids = ids,
                        .uuids = uuids,
                        .sites = sites,
                        .doomed = doomed,
                        .shape = shape};
    gboolean ok;

    *look = (struct spl_look){
        .strays = g_ptr_array_new_with_free_func(stray_free),
        .damaged = g_ptr_array_new_with_free_func(g_free),
        .rows = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
    };
    if (stranger && tables != NULL)
        walk.wrong = wrong = wrong_amendments(book, error);
    ok = tables != NULL && (!stranger || wrong != NULL) &&
         walk_tables(&walk, tables, gather_row, error);
    do {
        walk.found = FALSE;
        ok = ok && walk_tables(&walk, tables, look_at_row, error);
        walk.stranger = FALSE; /* the shapes were looked at */
    } while (ok && walk.found);
    if (!ok)
        spl_look_clear(look);
    return ok;
}

/* ---- a stranger's book ---- */

static int is_too_late(void *data)
{
    const struct spl_book *book = data;

    return g_get_monotonic_time() > book->deadline;
}

gboolean spl_look_at_stranger(struct spl_book *book, gint64 latest_us, int seconds,
                              struct spl_look *look, GError **error)
{
    g_autoptr(GPtrArray) findings = g_ptr_array_new_with_free_func(g_free);
    const char *fault = NULL;

    *look = (struct spl_look){0};
    book->deadline = g_get_monotonic_time() + seconds * G_USEC_PER_SEC;
    sqlite3_progress_handler(book->db, 10000, is_too_late, book);
    if (!spl_book_check_file(book, findings, error) ||
        (findings->len == 0 && !spl_look_at_rows(book, latest_us, TRUE, look, error)))
        return FALSE;
    if (findings->len > 0)
        fault = g_ptr_array_index(findings, 0);
    else if (look->damaged->len > 0)
        fault = g_ptr_array_index(look->damaged, 0);
    if (fault == NULL)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                "%s: nothing was taken from it, as it is damaged (%s); it must be mended first: "
                "checking that book tells how",
                spl_book_path(book), fault);
    spl_look_clear(look);
    return FALSE;
}
