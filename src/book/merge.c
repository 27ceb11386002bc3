/* SPDX-License-Identifier: MIT
 *
 * Merging by the schema's own description. See book/merge.h.
 */
#include "book/merge.h"

#include <string.h>

#include "base/text.h"
#include "book/code.h"
#include "book/derive.h"
#include "book/hazard.h"
#include "book/look.h"
#include "book/merge_private.h"
#include "book/revision.h"
#include "book/setting.h"
#include "book/statement.h"
#include "book/table.h"
#include "simpling/error.h"

#define NAMED_MOST 20 /* rows left out that are told one by one */

static void note_free(gpointer data)
{
    struct spl_merge_note *note = data;

    g_free(note->code);
    g_free(note->what);
    g_free(note);
}

void spl_merge_clear(struct spl_merge *merge)
{
    g_clear_pointer(&merge->notes, g_ptr_array_unref);
    *merge = (struct spl_merge){0};
}

void spl_merge_add_note(struct spl_merge *merge, char *code, char *what)
{
    struct spl_merge_note *note = g_new(struct spl_merge_note, 1);

    *note = (struct spl_merge_note){code, what};
    g_ptr_array_add(merge->notes, note);
}

/* Bringing rows in ------------------------------------------------------------------------------
 */

struct bring {
    struct spl_book *book;
    struct spl_merge *merge;
    const struct spl_table *table;
    GHashTable *roots; /* table name -> the table whose ids it has: that of a batch is a thing's */
    GHashTable *ids;   /* table name -> GHashTable: their id as text -> our id as text */
    GHashTable *fresh; /* "TABLE ID" of our rows that came with this merge */
    const char *mark;  /* of the other book: what it wrote before rows had marks is its own */
    int uuid, id;      /* columns; -1 */
    gboolean thing;    /* its id is that of a thing */
    const struct spl_look *look;
    gint64 n; /* of the row in its table */
};

static GHashTable *ids_of(struct bring *bring, const char *table)
{
    GHashTable *ids = g_hash_table_lookup(bring->ids, table);

    if (ids == NULL) {
        ids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
        g_hash_table_insert(bring->ids, g_strdup(table), ids);
    }
    return ids;
}

/* The cells with every reference turned to our ids. NULL: it points to a row that was left out. */
static GPtrArray *turned(struct bring *bring, const char *const *cells)
{
    g_autoptr(GPtrArray) own = g_ptr_array_new();

    for (guint i = 0; i < bring->table->columns->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(bring->table->columns, i);
        const char *cell = cells[i];

        if (*cell == '\0' && strcmp(column->name, "mark") == 0)
            cell = bring->mark;
        if (column->references != NULL && *cell != '\0') {
            cell = g_hash_table_lookup(
                ids_of(bring, g_hash_table_lookup(bring->roots, column->references)), cell);
            if (cell == NULL)
                return NULL;
        }
        g_ptr_array_add(own, (gpointer)cell);
    }
    return g_steal_pointer(&own);
}

/* Our row with the same UUID, 0: none. */
static gint64 find_uuid(struct bring *bring, const char *uuid, GError **error)
{
    g_autofree char *sql = g_strdup_printf(bring->id >= 0 ? "SELECT id FROM \"%s\" WHERE uuid = ?"
                                                          : "SELECT 1 FROM \"%s\" WHERE uuid = ?",
                                           bring->table->name);

    return spl_book_number(bring->book, 0, error, sql, SPL_WITH(uuid));
}

static gboolean has_key(struct bring *bring, const GPtrArray *own, gboolean *there, GError **error)
{
    g_autoptr(GString) sql = g_string_new("SELECT count(*) FROM ");
    g_autoptr(spl_statement) statement = NULL;
    int n = 0;

    g_string_append_printf(sql, "\"%s\"", bring->table->name);
    for (guint i = 0; i < own->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(bring->table->columns, i);

        if (column->key)
            g_string_append_printf(sql, "%s \"%s\" = ?", n++ > 0 ? " AND" : " WHERE", column->name);
    }
    statement = spl_statement_open(bring->book, error, sql->str, SPL_NONE);
    if (statement == NULL)
        return FALSE;
    n = 0;
    for (guint i = 0; i < own->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(bring->table->columns, i);

        if (column->key)
            sqlite3_bind_text(spl_statement_handle(statement), ++n, g_ptr_array_index(own, i), -1,
                              SQLITE_TRANSIENT);
    }
    n = 0;
    if (!spl_statement_next(statement, error, SPL_INTO(&n)))
        return FALSE;
    *there = n > 0;
    return TRUE;
}

static void remember(struct bring *bring, const char *theirs, gint64 ours)
{
    g_hash_table_insert(ids_of(bring, bring->table->name), g_strdup(theirs),
                        g_strdup_printf("%" G_GINT64_FORMAT, ours));
}

/* A new site answers to its name, or, where that is taken, to its name and the mark that wrote it.
 */
static gboolean key_site(struct bring *bring, gint64 id, const char *name, const char *mark,
                         GError **error)
{
    g_autofree char *key = spl_name_key(name);
    GError *failed = NULL;
    gint64 taken = spl_book_number(
        bring->book, 0, &failed, "SELECT site_id FROM site_key WHERE name_key = ?", SPL_WITH(key));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (taken != 0) {
        g_autofree char *longer = g_strdup_printf("%s (%s)", name, mark);

        g_free(key);
        key = spl_name_key(longer);
        spl_merge_add_note(
            bring->merge, g_strdup(name),
            g_strdup_printf("is a site in both books; theirs answers to '%s': keep both, or "
                            "give one another name",
                            longer));
    }
    return spl_book_execute(bring->book, error,
                            "INSERT OR IGNORE INTO site_key (name_key, site_id) VALUES (?, ?)",
                            SPL_WITH(key, id));
}

static char *fresh_key(const char *table, const char *id)
{
    return g_strconcat(table, " ", id, NULL);
}

/* A row of another UUID stands here under the same name: theirs is left out, and what hangs on it
 * goes to ours where it can. */
static gboolean settle_clash(struct bring *bring, const GPtrArray *own, const char *const *cells,
                             GError **error)
{
    int name = spl_table_column(bring->table, "name");
    int key = spl_table_column(bring->table, "name_key");

    /* Struck in both, or nobody goes on that day in both: they agree. */
    if (name >= 0)
        spl_merge_add_note(
            bring->merge, g_strdup(cells[name]),
            g_strdup_printf("stands in both books under one name (table %s); this book's was kept",
                            bring->table->name));
    bring->merge->had++;
    if (key >= 0 && bring->id >= 0) {
        g_autofree char *sql =
            g_strdup_printf("SELECT id FROM \"%s\" WHERE name_key = ?", bring->table->name);
        GError *failed = NULL;
        gint64 ours = spl_book_number(bring->book, 0, &failed, sql,
                                      SPL_WITH((const char *)g_ptr_array_index(own, (guint)key)));

        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
        if (ours != 0)
            remember(bring, cells[bring->id], ours);
    }
    return TRUE;
}

/* Hazards are told apart by what they are: one of another's that has the name of one here is a
 * danger more, and answers to its name and mark. */
static gboolean insert_beside(struct bring *bring, GPtrArray *own, gboolean *clash, GError **error)
{
    const int key = spl_table_column(bring->table, "name_key");
    const char *name = own->pdata[spl_table_column(bring->table, "name")];
    const char *mark = own->pdata[spl_table_column(bring->table, "mark")];
    g_autofree char *longer = g_strdup_printf("%s (%s)", name, mark);
    g_autofree char *as_key = spl_name_key(longer);

    gpointer plain = own->pdata[key];
    gboolean ok;

    own->pdata[key] = as_key;
    ok = spl_table_insert(bring->book, bring->table, (const char *const *)own->pdata, clash, error);
    own->pdata[key] = plain;
    if (!ok)
        return FALSE;
    if (!*clash)
        spl_merge_add_note(
            bring->merge, g_strdup(name),
            g_strdup_printf("is a hazard in both books; theirs answers to '%s', and both count",
                            longer));
    return TRUE;
}

static gboolean insert(struct bring *bring, GPtrArray *own, const char *const *cells,
                       GError **error)
{
    gboolean clash = FALSE;

    /* A row with an id of its own gets the next one here. */
    if (bring->id >= 0 && !bring->thing)
        own->pdata[bring->id] = (gpointer) "";
    if (!spl_table_insert(bring->book, bring->table, (const char *const *)own->pdata, &clash,
                          error))
        return FALSE;
    if (clash && strcmp(bring->table->name, "hazard_layer") == 0 &&
        !insert_beside(bring, own, &clash, error))
        return FALSE;
    if (clash)
        return settle_clash(bring, own, cells, error);
    bring->merge->added++;
    if (bring->id >= 0 && !bring->thing) {
        g_autofree char *id = g_strdup_printf("%" G_GINT64_FORMAT, spl_book_last_id(bring->book));

        remember(bring, cells[bring->id], spl_book_last_id(bring->book));
        g_hash_table_add(bring->fresh, fresh_key(bring->table->name, id));
    }
    return TRUE;
}

/* A row that has neither UUID nor thing (a hazard of a layer) comes with what it belongs to. */
static gboolean comes_with_its_parent(struct bring *bring, const GPtrArray *own)
{
    for (guint i = 0; i < own->len; i++) {
        const struct spl_table_column *column = g_ptr_array_index(bring->table->columns, i);
        g_autofree char *key = NULL;

        if (column->references == NULL)
            continue;
        key = fresh_key(column->references, g_ptr_array_index(own, i));
        if (g_hash_table_contains(bring->fresh, key))
            return TRUE;
    }
    return FALSE;
}

/* Whether this row is here already; what it is called here is remembered. */
static gboolean is_here(struct bring *bring, const char *const *cells, const GPtrArray *own,
                        gboolean *here, GError **error)
{
    GError *failed = NULL;
    gint64 ours;

    if (bring->uuid < 0 && bring->id >= 0 && !bring->thing) {
        *here = !comes_with_its_parent(bring, own);
        return TRUE;
    }
    if (bring->uuid < 0)
        return has_key(bring, own, here, error);
    ours = find_uuid(bring, cells[bring->uuid], &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *here = ours != 0;
    if (*here && bring->id >= 0)
        remember(bring, cells[bring->id], ours);
    return TRUE;
}

static gboolean bring_row(const char *const *cells, gpointer data, GError **error)
{
    struct bring *bring = data;
    g_autoptr(GPtrArray) own = NULL;
    gboolean here = FALSE;

    if (spl_look_is_stray(bring->look, bring->table->name, bring->n++))
        return TRUE;
    own = turned(bring, cells);
    if (own == NULL)
        return TRUE; /* it belongs to a row of their own desk, or to one that was left out */
    if (!is_here(bring, cells, own, &here, error))
        return FALSE;
    if (!here)
        return insert(bring, own, cells, error);
    bring->merge->had++;
    return TRUE;
}

static gboolean bring_table(struct bring *bring, struct spl_book *other, GError **error)
{
    const struct spl_table_column *first;

    bring->uuid = spl_table_column(bring->table, "uuid");
    bring->id = spl_table_column(bring->table, "id");
    bring->thing = FALSE;
    bring->n = 0;
    if (bring->id >= 0) {
        first = g_ptr_array_index(bring->table->columns, (guint)bring->id);
        bring->thing = first->references != NULL;
    }
    return spl_table_rows(other, bring->table, bring_row, bring, error);
}

/* A row of a table whose id points to another table has the id of that row, here as there. */
static GHashTable *roots_of(const GPtrArray *tables)
{
    GHashTable *roots = g_hash_table_new(g_str_hash, g_str_equal);

    for (guint i = 0; i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);
        int id = spl_table_column(table, "id");
        const struct spl_table_column *column =
            id >= 0 ? g_ptr_array_index(table->columns, (guint)id) : NULL;

        g_hash_table_insert(roots, table->name,
                            column != NULL && column->references != NULL ? column->references
                                                                         : table->name);
    }
    return roots;
}

/* Derived: which site answers to a name. */
static gboolean key_sites(struct bring *bring, GError **error)
{
    g_autoptr(spl_statement) rows = NULL;
    const char *name, *mark;
    gint64 id;
    GError *failed = NULL;

    if (!spl_site_keys_drop_stale(bring->book, error))
        return FALSE;
    rows = spl_statement_open(
        bring->book, error,
        "SELECT id, name, mark FROM site_now WHERE id NOT IN (SELECT site_id FROM site_key)"
        " ORDER BY uuid",
        SPL_NONE);
    if (rows == NULL)
        return FALSE;
    while (failed == NULL && spl_statement_next(rows, &failed, SPL_INTO(&id, &name, &mark)))
        (void)key_site(bring, id, name, *mark != '\0' ? mark : bring->mark, &failed);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* What is written next must come after everything that came, whatever the clocks say. */
static gboolean keep_stamp(struct spl_book *book, const GPtrArray *tables, GError **error)
{
    g_autoptr(GString) sql = g_string_new("INSERT INTO setting (key, value) SELECT 'stamp', max(at)"
                                          " FROM (SELECT 0 AS at");

    for (guint i = 0; i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);

        if (spl_table_column(table, "at") >= 0)
            g_string_append_printf(sql, " UNION ALL SELECT max(at) FROM \"%s\"", table->name);
    }
    g_string_append(sql, ") WHERE TRUE ON CONFLICT (key) DO UPDATE SET value = excluded.value");
    return spl_book_script(book, sql->str, error);
}

/* Things of which more went out than there was, by id. */
static GHashTable *overdrawn(struct spl_book *book, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, "SELECT id FROM balance WHERE left < -0.05", SPL_NONE);
    g_autoptr(GHashTable) ids = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    GError *failed = NULL;
    gint64 id;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&id)))
        g_hash_table_add(ids, g_memdup2(&id, sizeof id));
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&ids) : NULL;
}

/* What one person weighed less and the other drew on: neither alone did wrong. */
static gboolean note_overdrawn(struct bring *bring, GHashTable *before, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        bring->book, error,
        "SELECT b.id, t.kind, t.mark, t.year, t.number, b.unit, -b.left FROM balance b"
        " JOIN thing t ON t.id = b.id WHERE b.left < -0.05 ORDER BY t.kind, t.mark, t.year,"
        " t.number",
        SPL_NONE);
    struct spl_coded coded;
    const char *unit;
    double over;
    gint64 id;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&id, &coded, &unit, &over))) {
        if (!g_hash_table_contains(before, &id))
            spl_merge_add_note(
                bring->merge, spl_coded_format(bring->book, &coded),
                g_strdup_printf("%.1f %s more went out of it in the two books than there was; "
                                "correct its amount, or strike what drew too much",
                                over, unit));
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

/* Rows that were left out are named, the first of them. */
static void note_strays(struct spl_merge *merge, const struct spl_look *look)
{
    merge->left_out = look->strays->len;
    for (guint i = 0; i < MIN(look->strays->len, NAMED_MOST); i++) {
        const struct spl_stray *stray = g_ptr_array_index(look->strays, i);

        spl_merge_add_note(merge, g_strdup(stray->what),
                           g_strconcat("was left out: ", stray->reason, NULL));
    }
    if (look->strays->len > NAMED_MOST)
        spl_merge_add_note(
            merge, g_strdup("rows"),
            g_strdup_printf("%u more were left out; checking the other book names them "
                            "all",
                            look->strays->len - NAMED_MOST));
}

gboolean spl_book_merge(struct spl_book *book, struct spl_book *other, const struct spl_look *look,
                        struct spl_merge *merge, GError **error)
{
    g_autoptr(GPtrArray) tables = spl_table_list(book, error);
    g_autoptr(GHashTable) ids =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, (GDestroyNotify)g_hash_table_unref);
    g_autoptr(GHashTable) fresh = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) roots = NULL, before = NULL;
    struct bring bring = {.book = book,
                          .merge = merge,
                          .ids = ids,
                          .fresh = fresh,
                          .mark = spl_setting_mark(other),
                          .look = look};

    *merge = (struct spl_merge){.notes = g_ptr_array_new_with_free_func(note_free)};
    if (tables == NULL || !spl_merge_look(book, other, merge, error) ||
        (before = overdrawn(book, error)) == NULL)
        return FALSE;
    note_strays(merge, look);
    bring.roots = roots = roots_of(tables);
    for (guint i = 0; i < tables->len; i++) {
        bring.table = g_ptr_array_index(tables, i);
        if (!spl_look_is_own(bring.table->name) && !bring_table(&bring, other, error))
            return FALSE;
    }
    /* What the names are now hangs on whose corrections count. */
    return spl_revision_weigh(book, error) && key_sites(&bring, error) &&
           spl_hazard_rebuild(book, error) && note_overdrawn(&bring, before, error) &&
           keep_stamp(book, tables, error);
}
