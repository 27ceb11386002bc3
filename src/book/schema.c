/* SPDX-License-Identifier: MIT
 *
 * The schema compared with that of the migrations. See book/schema.h.
 */
#include "book/schema.h"

#include <string.h>

#include "base/digest.h"
#include "book/migrations.h"
#include "book/statement.h"
#include "simpling/error.h"

void spl_schema_fault_free(gpointer data)
{
    struct spl_schema_fault *fault = data;

    g_free(fault->type);
    g_free(fault->name);
    g_free(fault->model);
    g_free(fault);
}

/* One row of sqlite_schema. */
struct part {
    char *type, *name;
    char *plain; /* its table and SQL as compared */
    char *sql;   /* as written; NULL: SQLite's own */
};

static void part_free(gpointer data)
{
    struct part *part = data;

    g_free(part->type);
    g_free(part->name);
    g_free(part->plain);
    g_free(part->sql);
    g_free(part);
}

/* Whether white space beside it says nothing. */
static gboolean is_mark(char c)
{
    return strchr("(),;=<>+-*/|", c) != NULL && c != '\0';
}

/* The end of a quoted run that begins at `p`, behind its last quote; a doubled one is inside. */
static const char *quoted_end(const char *p)
{
    const char quote = *p++;

    while (*p != '\0' && (*p != quote || p[1] == quote))
        p += *p == quote ? 2 : 1;
    return *p != '\0' ? p + 1 : p;
}

static gboolean is_plain_name(const char *first, const char *end)
{
    if (first == end || g_ascii_isdigit(*first))
        return FALSE;
    for (; first < end; first++) {
        if (!g_ascii_isalnum(*first) && *first != '_')
            return FALSE;
    }
    return TRUE;
}

/*
 * SQL as one compares it: white space as one space, none beside marks, a plain name without its
 * quotes. SQLite writes names quoted after a rename, and programs break lines otherwise from one
 * release to the next. Texts between apostrophes and odd names stay as they are.
 */
static void append_plain(GString *plain, const char *sql)
{
    gsize length = plain->len;
    const char *p = sql;
    char *begin, *to;

    /* At each opening of a book: into room enough, which is the length of the SQL. */
    g_string_set_size(plain, length + strlen(sql));
    begin = to = plain->str + length;
    while (*p != '\0') {
        if (*p == '\'' || *p == '"') {
            const char *end = quoted_end(p);
            gboolean bare = *p == '"' && end - p > 2 && is_plain_name(p + 1, end - 1);
            gsize n = (gsize)(end - p) - (bare ? 2 : 0);

            memcpy(to, bare ? p + 1 : p, n);
            to += n;
            p = end;
        } else if (!g_ascii_isspace(*p)) {
            *to++ = *p++;
        } else {
            while (g_ascii_isspace(*p))
                p++;
            if (to > begin && !is_mark(to[-1]) && !is_mark(*p) && *p != '\0')
                *to++ = ' ';
        }
    }
    g_string_truncate(plain, (gsize)(to - plain->str));
}

static char *key_of(const char *type, const char *name)
{
    return g_strconcat(type, " ", name, NULL);
}

/* The tables of R*Trees are SQLite's own: how they are made differs with its version. */
static GHashTable *shadows_of(struct spl_book *book, GError **error)
{
    GHashTable *shadows = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT name FROM pragma_table_list WHERE type = 'shadow'", SPL_NONE);
    GError *failed = NULL;
    char *name;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&name)))
        g_hash_table_add(shadows, name);
    if (failed != NULL)
        g_propagate_error(error, failed);
    if (rows != NULL && failed == NULL)
        return shadows;
    g_hash_table_unref(shadows);
    return NULL;
}

/* Every part of the schema by type and name; what SQLite counted for its planner is none. */
static GHashTable *parts_of(struct spl_book *book, GHashTable *shadows, GError **error)
{
    g_autoptr(GHashTable) parts = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, part_free);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT type, name, tbl_name, sql FROM sqlite_schema"
                           " WHERE name NOT LIKE 'sqlite\\_stat%' ESCAPE '\\'",
                           SPL_NONE);
    GError *failed = NULL;
    const char *type, *name, *table;
    char *sql;

    while (rows != NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&type, &name, &table, &sql))) {
        struct part *part = g_new0(struct part, 1);
        GString *plain = g_string_new(table != NULL ? table : "");
        char *key;

        part->type = g_strdup(type != NULL ? type : "");
        part->name = g_strdup(name != NULL ? name : "");
        part->sql = sql;
        g_string_append_c(plain, '\n');
        if (part->sql != NULL && !g_hash_table_contains(shadows, part->name))
            append_plain(plain, part->sql);
        part->plain = g_string_free(plain, FALSE);
        key = key_of(part->type, part->name);
        if (!g_hash_table_replace(parts, key, part))
            part->plain[0] = '\0'; /* twice: like nothing of ours */
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&parts) : NULL;
}

/* Of schemas as SQLite 3.40 writes them; another version may write the R*Tree's tables otherwise,
 * and the model is asked. tests/book/test_schema.c holds them against the model. */
static const struct {
    int schema;
    const char *print;
} prints[] = {
    {7, "28cad935ca491bd8dff6aa571ceb4d092bc2fd011bc66cf51931f068cfe3efa5"},
    {8, "ce1c83af38be910fd5a4ab86601a150c80c6f3f141b5ac86a3dd5660b658dd41"},
    {9, "10ffc73fcdeb310d2c86dabdade0eec833f1ba9f947c59fee9a57290a01cd294"},
    {10, "364d36ff7b0c1bf2bc3bd301fb7888672608b86a550aaa775c588f658d3abac2"},
    {11, "e7d2fe996702543a308d8b18eafe6131708c16582e39f3bd6778ce829de3a26e"},
    {12, "1e661b589e10679059eb95dbf248f6468fa143a856f7ef73fd2aa572ba372961"},
    {13, "6e7df56ba68b7b4d8b4b0e5a92b0bddbb7b84efc6c21f4b6ae46a9552bd0c35b"},
    {14, "dd6873731822c272cfb04c1209d976c8a90342f75f0eb859682204aa48f5554e"},
    {15, "0e7cfa0c227ffa910e46a98c0a3a690013e2f103dc1100578f80b4251c9899a2"},
    {16, "05982079c407d44bc855fb231cc93c90cd7016e79fbbdfe4e7bf06c4aa71bc1f"},
    {17, "07ab20423c732592b85a63836584860cf499c316d933b8fd33e07977e4ad048e"},
    {18, "4e87937e63eb540319d88d092d67a2045561c12166a135061f0cb16dade85e9d"},
    {19, "9c4d6ace8879585c1b317a14985e9af3dda1f168e15999697341407d7736b922"},
    {20, "d7f3c040a9535ea22ddcbee18965e2b4fca9dc36d21a7351dde0989923a964bf"},
    {21, "6ddb111c2a63cf521caedbd15917302fed4a413f0bccdf00cbe952ff7aeb3e14"},
    {22, "651b357e977ded0a18a61fda9d7188237a91b69988f3b8baf847ebb5f8d04f4d"},
    {23, "bd12a6a0030f953a13cac0cb17d75f48c51b3a4df99b379db30a22c76ef97d87"},
    {24, "559f062eaa6ec032a32ac43055e73f79a13ce98cc47247637b992becbec39ad4"},
    {25, "b1d30119f07053dc1d9ba5fb6a3d74102d5f38ff35dd41355a33c93422b94354"},
    {26, "0958d7b0e66ee8cf127ebfd8e4d69280f32a1f4caace5378a83b0c47d6ff3407"},
};

const char *spl_schema_print_kept(int schema)
{
    for (gsize i = 0; i < G_N_ELEMENTS(prints); i++) {
        if (prints[i].schema == schema)
            return prints[i].print;
    }
    return NULL;
}

char *spl_schema_print(struct spl_book *book, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT coalesce(type, '') || ' ' || coalesce(name, '') AS key, tbl_name, sql"
        " FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_stat%' ESCAPE '\\' ORDER BY key",
        SPL_NONE);
    g_autoptr(spl_digest) sum = spl_digest_new();
    g_autoptr(GString) text = g_string_new(NULL);
    const char *key, *table, *sql;
    GError *failed = NULL;

    if (rows == NULL)
        return NULL;
    while (spl_statement_next(rows, &failed, SPL_INTO(&key, &table, &sql))) {
        /* With a zero at their ends, so that nothing moves from one to the next. */
        g_string_append_len(text, key, (gssize)strlen(key) + 1);
        g_string_append(text, table != NULL ? table : "");
        g_string_append_c(text, '\n');
        append_plain(text, sql != NULL ? sql : "");
        g_string_append_c(text, '\0');
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return NULL;
    }
    spl_digest_add(sum, text->str, text->len);
    return spl_digest_hex(sum);
}

static void add_fault(GPtrArray *faults, const struct part *part, const char *model,
                      gboolean missing)
{
    struct spl_schema_fault *fault = g_new0(struct spl_schema_fault, 1);

    fault->type = g_strdup(part->type);
    fault->name = g_strdup(part->name);
    fault->model = g_strdup(model);
    fault->missing = missing;
    g_ptr_array_add(faults, fault);
}

static int compare_faults(gconstpointer a, gconstpointer b)
{
    const struct spl_schema_fault *x = *(struct spl_schema_fault *const *)a,
                                  *y = *(struct spl_schema_fault *const *)b;
    int types = strcmp(x->type, y->type);

    return types != 0 ? types : strcmp(x->name, y->name);
}

/* Appends what differs from the schema that the migrations make in memory. */
static gboolean compare_with_model(struct spl_book *book, int schema, GPtrArray *faults,
                                   GError **error)
{
    g_autoptr(spl_book) model = spl_book_model(schema, error);
    g_autoptr(GHashTable) shadows = model != NULL ? shadows_of(model, error) : NULL;
    g_autoptr(GHashTable) ours = shadows != NULL ? parts_of(model, shadows, error) : NULL;
    g_autoptr(GHashTable) theirs = ours != NULL ? parts_of(book, shadows, error) : NULL;
    GHashTableIter iter;
    gpointer key, value;

    if (theirs == NULL)
        return FALSE;
    g_hash_table_iter_init(&iter, ours);
    while (g_hash_table_iter_next(&iter, &key, &value)) {
        const struct part *mine = value, *found = g_hash_table_lookup(theirs, key);

        if (found == NULL || strcmp(found->plain, mine->plain) != 0)
            add_fault(faults, mine, mine->sql != NULL ? mine->sql : "", found == NULL);
    }
    g_hash_table_iter_init(&iter, theirs);
    while (g_hash_table_iter_next(&iter, &key, &value)) {
        if (!g_hash_table_contains(ours, key))
            add_fault(faults, value, NULL, FALSE);
    }
    g_ptr_array_sort(faults, compare_faults);
    return TRUE;
}

static gboolean is_part(const struct spl_fresh_part *part, const char *const *row)
{
    return g_strcmp0(part->type, row[0]) == 0 && g_strcmp0(part->name, row[1]) == 0 &&
           g_strcmp0(part->table, row[2]) == 0 && g_strcmp0(part->sql, row[3]) == 0;
}

/* Whether it is row by row what this program writes, as most books are: a look at each opening that
 * costs no more than reading it. FALSE says nothing. */
static gboolean is_as_written(struct spl_book *book, gboolean *same, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY rowid",
        SPL_NONE);
    const struct spl_fresh_part *part = spl_fresh_parts;
    const char *row[4];
    GError *failed = NULL;

    *same = TRUE;
    while (rows != NULL && *same &&
           spl_statement_next(rows, &failed, SPL_INTO(&row[0], &row[1], &row[2], &row[3]))) {
        if (row[1] != NULL && g_str_has_prefix(row[1], "sqlite_stat"))
            continue; /* what SQLite counted for its planner */
        *same = part->type != NULL && is_part(part, row);
        part += *same;
    }
    *same = *same && part->type == NULL;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

GPtrArray *spl_schema_faults(struct spl_book *book, int schema, GError **error)
{
    g_autoptr(GPtrArray) faults = g_ptr_array_new_with_free_func(spl_schema_fault_free);
    g_autofree char *print = NULL;
    gboolean same = FALSE;

    if (schema == spl_fresh_number && !is_as_written(book, &same, error))
        return NULL;
    if (same)
        return g_steal_pointer(&faults);
    print = spl_schema_print(book, error);
    if (print == NULL)
        return NULL;
    if (g_strcmp0(print, spl_schema_print_kept(schema)) == 0)
        return g_steal_pointer(&faults);
    return compare_with_model(book, schema, faults, error) ? g_steal_pointer(&faults) : NULL;
}

char *spl_schema_fault_words(const struct spl_schema_fault *fault)
{
    return g_strdup_printf("%.20s '%.60s': %s", *fault->type != '\0' ? fault->type : "part",
                           fault->name,
                           fault->model == NULL ? "is no part of a book"
                           : fault->missing     ? "is missing"
                                                : "is not as simpling makes it");
}

gboolean spl_schema_is_ours(struct spl_book *book, int schema, GError **error)
{
    g_autoptr(GPtrArray) faults = spl_schema_faults(book, schema, error);

    for (guint i = 0; faults != NULL && i < faults->len; i++) {
        const struct spl_schema_fault *fault = g_ptr_array_index(faults, i);
        g_autofree char *words = NULL;

        if (fault->missing && strcmp(fault->type, "index") == 0)
            continue;
        words = spl_schema_fault_words(fault);
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: %s, so nothing was read from it; checking the book names all that "
                    "differs, repairing it makes the tables again",
                    spl_book_path(book), words);
        return FALSE;
    }
    return faults != NULL;
}
