/* SPDX-License-Identifier: MIT
 *
 * Records to rows and back by the shape's table of fields. See book/noun.h.
 */
#include "book/noun.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/book_private.h"
#include "book/code.h"
#include "book/setting.h"
#include "book/statement_private.h"

/* Plans ----------------------------------------------------------------------------------------
 */

/* One noun's texts, or those of a subset of it; for the life of the book. */
struct spl_plan {
    struct spl_book *book;
    const struct spl_noun *noun;
    char *only; /* as they were asked for */
    char *more;
    GPtrArray *read; /* struct spl_field *, in the order of the columns */
    char *select;    /* "SELECT … FROM … " */
    GHashTable
        *texts; /* what follows it, by its address -> struct whole: nearly all are literals */
};

struct whole {
    char *where;
    const char *sql; /* interned */
};

static void whole_free(gpointer data)
{
    struct whole *whole = data;

    g_free(whole->where);
    g_free(whole);
}

static void plan_free(gpointer data)
{
    struct spl_plan *plan = data;

    g_ptr_array_unref(plan->read);
    g_hash_table_unref(plan->texts);
    g_free(plan->only);
    g_free(plan->more);
    g_free(plan->select);
    g_free(plan);
}

static gboolean is_bare(const char *column)
{
    for (const char *p = column; *p != '\0'; p++) {
        if (!g_ascii_isalnum(*p) && *p != '_')
            return FALSE;
    }
    return TRUE;
}

static gboolean is_wanted(const struct spl_field *field, const char *only)
{
    g_autofree char *name = NULL;

    if (field->keep == SPL_KEEP_NOT)
        return FALSE;
    if (only == NULL)
        return TRUE;
    name = g_strconcat(" ", field->column, " ", NULL);
    return strstr(only, name) != NULL;
}

static struct spl_plan *plan_new(struct spl_book *book, const struct spl_noun *noun,
                                 const char *only, const char *more)
{
    struct spl_plan *plan = g_new(struct spl_plan, 1);
    GString *select = g_string_new("SELECT ");

    *plan = (struct spl_plan){
        .book = book,
        .noun = noun,
        .only = g_strdup(only),
        .more = g_strdup(more),
        .read = g_ptr_array_new(),
        .texts = g_hash_table_new_full(NULL, NULL, NULL, whole_free),
    };
    for (gsize i = 0; i < noun->shape->n_fields; i++) {
        const struct spl_field *field = &noun->shape->fields[i];

        if (!is_wanted(field, only))
            continue;
        g_string_append_printf(select, "%s%s%s", plan->read->len > 0 ? ", " : "",
                               is_bare(field->column) ? "t." : "", field->column);
        g_ptr_array_add(plan->read, (gpointer)field);
    }
    if (more != NULL)
        g_string_append_printf(select, ", %s", more);
    g_string_append_printf(select, " FROM %s ", noun->from);
    plan->select = g_string_free(select, FALSE);
    return plan;
}

static const struct spl_plan *plan_of(struct spl_book *book, const struct spl_noun *noun,
                                      const char *only, const char *more)
{
    struct spl_plan *plan;

    if (book->plans == NULL)
        book->plans = g_ptr_array_new_with_free_func(plan_free);
    for (guint i = 0; i < book->plans->len; i++) {
        plan = g_ptr_array_index(book->plans, i);
        if (plan->noun == noun && g_strcmp0(plan->only, only) == 0 &&
            g_strcmp0(plan->more, more) == 0)
            return plan;
    }
    plan = plan_new(book, noun, only, more);
    g_ptr_array_add(book->plans, plan);
    return plan;
}

/* Reading ----------------------------------------------------------------------------------------
 */

static char *read_text(const struct spl_field *field, sqlite3_stmt *stmt, int column)
{
    const char *text = spl_statement_text(stmt, column);

    /* "" is how an amendment says that there is nothing any more. */
    return text != NULL && (*text != '\0' || field->empty) ? g_strdup(text) : NULL;
}

static char *read_code(struct spl_book *book, sqlite3_stmt *stmt, int column)
{
    struct spl_coded coded = spl_statement_coded(stmt, column);

    return spl_coded_format(book, &coded);
}

/* Reads the field's column or columns; how many they were. */
static int read_field(const struct spl_plan *plan, const struct spl_field *field,
                      sqlite3_stmt *stmt, int column, char *record)
{
    gpointer at = record + field->offset;

    if (field->keep == SPL_KEEP_CODE) {
        *(char **)at = read_code(plan->book, stmt, column);
        return 4;
    }
    switch (field->kind) {
    case SPL_TEXT:
        *(char **)at = read_text(field, stmt, column);
        break;
    case SPL_INT:
        *(int *)at = sqlite3_column_int(stmt, column);
        break;
    case SPL_LONG:
        *(gint64 *)at = sqlite3_column_int64(stmt, column);
        break;
    case SPL_NUM:
        *(double *)at = spl_statement_real(stmt, column);
        break;
    case SPL_BOOL:
        *(gboolean *)at = sqlite3_column_int(stmt, column) != 0;
        break;
    case SPL_DAY:
        *(struct spl_day *)at = spl_statement_day(stmt, column);
        break;
    case SPL_WORD:
        *(unsigned *)at =
            (unsigned)MAX(0, spl_word_value(field->names, spl_statement_text(stmt, column)));
        break;
    case SPL_TEXTS:
    case SPL_LIST:
    case SPL_ONE:
        g_assert_not_reached(); /* are no column; tests/book/test_noun.c looks */
    }
    return 1;
}

/* Numbers and days that nothing was read into are absent, not zero. */
static void set_absent(const struct spl_shape *shape, char *record)
{
    for (gsize i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];

        if (field->kind == SPL_NUM)
            *(double *)(gpointer)(record + field->offset) = NAN;
        else if (field->kind == SPL_DAY)
            *(struct spl_day *)(gpointer)(record + field->offset) = SPL_DAY_NONE;
    }
}

/* The whole text of a question; put together once for each. */
static const char *whole_of(const struct spl_plan *plan, const char *where)
{
    struct whole *whole;
    g_autofree char *sql = NULL;

    if (where == NULL)
        where = "";
    whole = g_hash_table_lookup(plan->texts, where);
    if (whole != NULL && strcmp(whole->where, where) == 0)
        return whole->sql;
    sql = g_strconcat(plan->select, where, NULL);
    whole = g_new(struct whole, 1);
    *whole = (struct whole){g_strdup(where), g_intern_string(sql)};
    g_hash_table_insert(plan->texts, (gpointer)where, whole);
    return whole->sql;
}

static struct spl_statement *open_plan(struct spl_book *book, const struct spl_plan *plan,
                                       const char *where, const struct spl_value *values,
                                       GError **error)
{
    struct spl_statement *rows = spl_statement_open(book, error, whole_of(plan, where), values);

    if (rows != NULL)
        spl_statement_set_plan(rows, plan);
    return rows;
}

struct spl_statement *spl_noun_open(struct spl_book *book, const struct spl_noun *noun,
                                    const char *only, const char *where,
                                    const struct spl_value *values, GError **error)
{
    return open_plan(book, plan_of(book, noun, only, NULL), where, values, error);
}

struct spl_statement *spl_noun_open_with(struct spl_book *book, const struct spl_noun *noun,
                                         const char *more, const char *where,
                                         const struct spl_value *values, GError **error)
{
    return open_plan(book, plan_of(book, noun, NULL, more), where, values, error);
}

gboolean spl_noun_next_with(struct spl_statement *rows, void *record, const struct spl_target *more,
                            GError **error)
{
    const struct spl_plan *plan = spl_statement_plan(rows);
    sqlite3_stmt *stmt;
    int column = 0;

    if (!spl_statement_row(rows, error))
        return FALSE;
    stmt = spl_statement_handle(rows);
    memset(record, 0, plan->noun->shape->size);
    set_absent(plan->noun->shape, record);
    for (guint i = 0; i < plan->read->len; i++)
        column += read_field(plan, g_ptr_array_index(plan->read, i), stmt, column, record);
    if (more != NULL)
        spl_statement_read_from(rows, column, more);
    return TRUE;
}

gboolean spl_noun_next(struct spl_statement *rows, void *record, GError **error)
{
    return spl_noun_next_with(rows, record, NULL, error);
}

gboolean spl_noun_get(struct spl_book *book, const struct spl_noun *noun, const char *where,
                      const struct spl_value *values, void *record, GError **error)
{
    g_autoptr(spl_statement) rows = spl_noun_open(book, noun, NULL, where, values, error);

    return rows != NULL && spl_noun_next(rows, record, error);
}

GArray *spl_noun_list(struct spl_book *book, const struct spl_noun *noun, const char *where,
                      const struct spl_value *values, GError **error)
{
    g_autoptr(spl_statement) rows = spl_noun_open(book, noun, NULL, where, values, error);
    GArray *list = spl_list_new(noun->shape);
    g_autofree void *record = g_malloc(noun->shape->size);
    GError *failed = NULL;

    while (rows != NULL && spl_noun_next(rows, record, &failed))
        g_array_append_vals(list, record, 1);
    if (failed != NULL)
        g_propagate_error(error, failed);
    if (rows != NULL && failed == NULL)
        return list;
    spl_list_free(noun->shape, list);
    return NULL;
}

/* Writing ----------------------------------------------------------------------------------------
 */

/* The value of a member as it is written. */
static struct spl_value value_of(const struct spl_field *field, const char *record)
{
    gconstpointer at = record + field->offset;
    const char *word;

    switch (field->kind) {
    case SPL_TEXT:
        return spl_value_text(*(char *const *)at);
    case SPL_INT:
        return *(const int *)at == 0 && field->none_is_0 ? spl_value_text(NULL)
                                                         : spl_value_long(*(const int *)at);
    case SPL_LONG:
        return *(const gint64 *)at == 0 && field->none_is_0 ? spl_value_text(NULL)
                                                            : spl_value_long(*(const gint64 *)at);
    case SPL_NUM:
        return spl_value_real(*(const double *)at);
    case SPL_BOOL:
        return spl_value_long(*(const gboolean *)at != FALSE);
    case SPL_DAY:
        return spl_value_day(*(const struct spl_day *)at);
    case SPL_WORD:
        word = field->names[*(const unsigned *)at];
        return spl_value_text(*word != '\0' ? word : NULL);
    case SPL_TEXTS:
    case SPL_LIST:
    case SPL_ONE:
        break;
    }
    g_assert_not_reached();
}

/* The columns of an INSERT and their values, gathered. */
struct insert {
    GString *columns, *marks;
    GArray *values; /* struct spl_value */
};

static struct insert insert_begin(void)
{
    return (struct insert){g_string_new(NULL), g_string_new(NULL),
                           g_array_new(TRUE, TRUE, sizeof(struct spl_value))};
}

static void take(struct insert *insert, const char *column, struct spl_value value)
{
    g_string_append_printf(insert->columns, "%s\"%s\"", insert->values->len > 0 ? ", " : "",
                           column);
    g_string_append(insert->marks, insert->values->len > 0 ? ", ?" : "?");
    g_array_append_val(insert->values, value);
}

static void take_named(struct insert *insert, const struct spl_value *values)
{
    for (; values != NULL && values->type != SPL_VALUE_END; values++)
        take(insert, values->name, *values);
}

/* What the book gives every row of fact. */
static void take_facts(struct spl_book *book, struct insert *insert, const char *uuid, gint64 at)
{
    take(insert, "uuid", spl_value_text(uuid));
    take(insert, "mark", spl_value_text(spl_setting_mark(book)));
    take(insert, "at", spl_value_long(at));
}

static gboolean insert_run(struct spl_book *book, const char *table, struct insert *insert,
                           GError **error)
{
    g_autofree char *sql = g_strdup_printf("INSERT INTO \"%s\" (%s) VALUES (%s)", table,
                                           insert->columns->str, insert->marks->str);
    gboolean ok =
        spl_book_execute(book, error, g_intern_string(sql), (gconstpointer)insert->values->data);

    g_string_free(insert->columns, TRUE);
    g_string_free(insert->marks, TRUE);
    g_array_unref(insert->values);
    return ok;
}

char *spl_fact_add_uuid(struct spl_book *book, const char *table, const struct spl_value *values,
                        GError **error)
{
    g_autofree char *uuid = spl_book_uuid(book);
    gint64 at = spl_book_stamp(book, error);
    struct insert insert;

    if (at == 0)
        return NULL;
    insert = insert_begin();
    take_named(&insert, values);
    take_facts(book, &insert, uuid, at);
    return insert_run(book, table, &insert, error) ? g_steal_pointer(&uuid) : NULL;
}

gboolean spl_fact_add(struct spl_book *book, const char *table, const struct spl_value *values,
                      GError **error)
{
    g_autofree char *uuid = spl_fact_add_uuid(book, table, values, error);

    return uuid != NULL;
}

static gboolean is_uuid(const struct spl_field *field)
{
    return field->column != NULL && strcmp(field->column, "uuid") == 0;
}

/* Hands what the book gave a record over to it. */
static void give(const struct spl_noun *noun, char *record, struct spl_thing *given)
{
    for (gsize i = 0; i < noun->shape->n_fields; i++) {
        const struct spl_field *field = &noun->shape->fields[i];
        gpointer at = record + field->offset;

        if (field->keep == SPL_KEEP_ID) {
            *(gint64 *)at = given->id;
        } else if (is_uuid(field)) {
            g_free(*(char **)at);
            *(char **)at = g_steal_pointer(&given->uuid);
        } else if (field->keep == SPL_KEEP_CODE && noun->thing != 0) {
            g_free(*(char **)at);
            *(char **)at = g_steal_pointer(&given->code);
        }
    }
    spl_thing_clear(given);
}

static gboolean insert_record(struct spl_book *book, const struct spl_noun *noun,
                              const char *record, struct spl_thing *given,
                              const struct spl_value *more, GError **error)
{
    struct insert insert;
    gint64 at = 0;

    if (noun->fact) {
        at = spl_book_stamp(book, error);
        if (at == 0)
            return FALSE;
        given->uuid = spl_book_uuid(book);
    }
    insert = insert_begin();
    if (noun->thing != 0)
        take(&insert, "id", spl_value_long(given->id));
    if (noun->fact)
        take_facts(book, &insert, given->uuid, at);
    for (gsize i = 0; i < noun->shape->n_fields; i++) {
        const struct spl_field *field = &noun->shape->fields[i];

        if (field->keep == SPL_KEEP_STORED && !is_uuid(field))
            take(&insert, field->column, value_of(field, record));
    }
    take_named(&insert, more);
    if (!insert_run(book, noun->table, &insert, error))
        return FALSE;
    if (noun->thing == 0)
        given->id = spl_book_last_id(book);
    return TRUE;
}

gboolean spl_noun_add(struct spl_book *book, const struct spl_noun *noun, void *record,
                      struct spl_day day, const struct spl_value *more, GError **error)
{
    struct spl_thing given = {0};

    if (noun->thing != 0 && !spl_thing_add(book, noun->thing, day, &given, error))
        return FALSE;
    if (insert_record(book, noun, record, &given, more, error)) {
        give(noun, record, &given);
        return TRUE;
    }
    spl_thing_clear(&given);
    return FALSE;
}
