/* SPDX-License-Identifier: MIT
 *
 * Nouns: the shape of a record, its table and what it is read from say one thing. And values and
 * columns by their C types.
 */
#include "book/noun.h"

#include <math.h>

#include "shelf.h"

/* What the book gives a row, and what hangs it on another one: no member of a record. */
static const char *const given[] = {"id", "uuid", "at", "mark"};

/* Columns that the writer gives beside the record (SPL_NAMED). */
static const char *const beside[] = {
    "site.outline",           "permission.site_id",     "spray_note.site_id",
    "stage_note.site_id",     "drying_event.drying_id", "charge.batch_id",
    "charge.draw_id",         "lot_event.lot_id",       "planned_part.planned_id",
    "planned_part.seq",       "outing_stop.version_id", "outing_stop.seq",
    "outing_take.version_id", "outing_take.seq",        "outing_version.outing_id",
    "almanac_row.almanac_id", "almanac_row.normals",    "hazard_layer.name_key",
    "method_figure.by",       "drying_event.by",
};

static gboolean is_in(const char *const *list, gsize n, const char *text)
{
    for (gsize i = 0; i < n; i++) {
        if (g_str_equal(list[i], text))
            return TRUE;
    }
    return FALSE;
}

static const struct spl_field *stored(const struct spl_noun *noun, const char *column)
{
    for (gsize i = 0; i < noun->shape->n_fields; i++) {
        const struct spl_field *field = &noun->shape->fields[i];

        if (field->keep == SPL_KEEP_STORED && g_str_equal(field->column, column))
            return field;
    }
    return NULL;
}

/* Whether a member of this kind fits a column of this type. */
static gboolean fits(const struct spl_field *field, const char *type)
{
    switch (field->kind) {
    case SPL_TEXT:
    case SPL_WORD:
        return g_str_equal(type, "TEXT");
    case SPL_NUM:
        return g_str_equal(type, "REAL");
    case SPL_INT:
    case SPL_LONG:
    case SPL_BOOL:
    case SPL_DAY:
        return g_str_equal(type, "INTEGER");
    case SPL_TEXTS:
    case SPL_LIST:
    case SPL_ONE:
        return FALSE;
    }
    return FALSE;
}

static void look_at_table(struct spl_book *book, const struct spl_noun *noun, int *faults)
{
    g_autoptr(spl_statement) columns =
        spl_statement_open(book, NULL, "SELECT name, type FROM pragma_table_info(?) ORDER BY cid",
                           SPL_WITH(noun->table));
    guint found = 0, wanted = 0;
    const char *name, *type;

    for (gsize i = 0; i < noun->shape->n_fields; i++)
        wanted += noun->shape->fields[i].keep == SPL_KEEP_STORED;
    while (spl_statement_next(columns, NULL, SPL_INTO(&name, &type))) {
        const struct spl_field *field = stored(noun, name);
        g_autofree char *full = g_strdup_printf("%s.%s", noun->table, name);

        found += field != NULL;
        if (field != NULL && !fits(field, type)) {
            print_message("%s is %s, its member is not\n", full, type);
            ++*faults;
        }
        if (field == NULL && !is_in(given, G_N_ELEMENTS(given), name) &&
            !is_in(beside, G_N_ELEMENTS(beside), full)) {
            print_message("%s has no member\n", full);
            ++*faults;
        }
    }
    if (found != wanted) {
        print_message("%s has %u of the %u columns of its shape\n", noun->table, found, wanted);
        ++*faults;
    }
}

/* Every column of the table is there under its name in what the noun is read from. */
static void look_at_view(struct spl_book *book, const struct spl_noun *noun, int *faults)
{
    for (gsize i = 0; i < noun->shape->n_fields; i++) {
        const struct spl_field *field = &noun->shape->fields[i];
        g_autoptr(spl_statement) rows = NULL;
        g_autoptr(GError) error = NULL;
        g_autofree char *only = NULL;

        if (field->keep == SPL_KEEP_NOT)
            continue;
        only = g_strconcat(" ", field->column, " ", NULL);
        rows = spl_noun_open(book, noun, only, "LIMIT 1", SPL_NONE, &error);
        if (rows == NULL) {
            print_message("%s.%s: %s\n", noun->shape->name, field->column, error->message);
            ++*faults;
        }
    }
}

static int look_at(struct spl_book *book, const struct spl_noun *noun)
{
    int faults = 0;

    if (noun->table != NULL)
        look_at_table(book, noun, &faults);
    look_at_view(book, noun, &faults);
    return faults;
}

static void every_noun_stands_in_the_book_as_its_shape_says(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_READ);
    int faults = 0;

    for (gsize i = 0; spl_nouns[i] != NULL; i++)
        faults += look_at(book, spl_nouns[i]);
    assert_int_equal(faults, 0);
}

/* The look above finds what it is for. */
static void a_shape_that_does_not_fit_is_found(void **state)
{
    struct jar {
        double lat;
        char *lid;
        char *name;
    };
    static const struct spl_field fields[] = {
        {.kind = SPL_NUM, .offset = offsetof(struct jar, lat), SPL_STORED("name")},
        {.kind = SPL_TEXT, .offset = offsetof(struct jar, lid), SPL_STORED("lid")},
    };
    static const struct spl_shape shape = SPL_SHAPE("jar", jar, fields);
    static const struct spl_noun jar = {.shape = &shape, .table = "station", .from = "station t"};
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_READ);

    /* name is no number; name_key, lat, lon, elevation_m have no member; lid is no column, neither
     * of the table nor of what it is read from. */
    assert_int_equal(look_at(book, &jar), 7);
}

/* All kinds there and back, absent values as absent, and in the order given. */
static void values_and_columns_go_by_their_types(void **state)
{
    static const guint8 octets[] = {0, 1, 0xff};
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_READ);
    g_autoptr(GBytes) bytes = g_bytes_new_static(octets, sizeof octets);
    g_autoptr(spl_statement) row = NULL;
    g_autofree char *copy = NULL, *none = NULL;
    const char *peek;
    const struct spl_day day = {20000}, never = SPL_DAY_NONE;
    struct spl_day read_day, read_never;
    struct spl_blob blob;
    struct spl_coded coded;
    double real, absent;
    gint64 big;
    int small, null;

    row = spl_statement_open(book, NULL, "SELECT ?, ?, ?, ?, ?, ?, ?, ?, ?, 'H', 'ANN', 2027, ?, ?",
                             SPL_WITH(7, G_GINT64_CONSTANT(5000000000), 1.5, (double)NAN, day,
                                      never, "Ä", NULL, bytes, 14, "end"));
    assert_true(spl_statement_next(row, NULL,
                                   SPL_INTO(&small, &big, &real, &absent, &read_day, &read_never,
                                            &copy, &none, &blob, &coded, &peek)));
    assert_int_equal(small, 7);
    assert_true(big == G_GINT64_CONSTANT(5000000000));
    assert_true(real == 1.5 && isnan(absent));
    assert_int_equal(read_day.n, 20000);
    assert_false(spl_day_is_set(read_never));
    assert_string_equal(copy, "Ä");
    assert_null(none);
    assert_int_equal(blob.size, 3);
    assert_memory_equal(blob.data, octets, 3);
    assert_int_equal(coded.kind, 'H');
    assert_string_equal(coded.mark, "ANN");
    assert_int_equal(coded.year, 2027);
    assert_int_equal(coded.number, 14);
    assert_string_equal(peek, "end");
    small = 3;
    assert_false(spl_statement_next(row, NULL, SPL_INTO(&small))); /* untouched on FALSE */
    assert_int_equal(small, 3);
    g_clear_pointer(&row, spl_statement_done);

    row = spl_statement_open(book, NULL, "SELECT NULL", SPL_NONE);
    assert_true(spl_statement_next(row, NULL, SPL_INTO(&null)));
    assert_int_equal(null, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_noun_stands_in_the_book_as_its_shape_says,
                                        shelf_set_up, shelf_tear_down),
        cmocka_unit_test_setup_teardown(a_shape_that_does_not_fit_is_found, shelf_set_up,
                                        shelf_tear_down),
        cmocka_unit_test_setup_teardown(values_and_columns_go_by_their_types, shelf_set_up,
                                        shelf_tear_down),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
