/* SPDX-License-Identifier: MIT
 *
 * The row writer: one field table gives JSON, table, schema and clean-up.
 */
#include "simpling/row.h"

#include <jansson.h>
#include <locale.h>

#include "expect.h"
#include "simpling/customs.h"

struct sign {
    char *word;
    double length_m;
};

static const struct spl_field sign_fields[] = {
    SPL_FIELD(sign, word, SPL_TEXT, "word", "word"),
    SPL_FIELD_NUM(sign, length_m, 1, "length_m", "m"),
};
static const struct spl_shape sign_shape = SPL_SHAPE("sign", sign, sign_fields);

struct sheet {
    char *name;
    double weight_g, share;
    int count;
    struct spl_day day, never;
    gboolean dry;
    GPtrArray *names;
    GArray *signs;
    struct sign *first;
};

static const struct spl_field sheet_fields[] = {
    SPL_FIELD(sheet, name, SPL_TEXT, "name", "name"),
    SPL_FIELD_NUM(sheet, weight_g, 0, "weight_g", "g"),
    SPL_FIELD_NUM(sheet, share, 1, "share", NULL),
    SPL_FIELD(sheet, count, SPL_INT, "count", "n"),
    SPL_FIELD(sheet, day, SPL_DAY, "day", "day"),
    SPL_FIELD(sheet, never, SPL_DAY, "never", NULL),
    SPL_FIELD(sheet, dry, SPL_BOOL, "dry", NULL),
    SPL_FIELD(sheet, names, SPL_TEXTS, "names", NULL),
    SPL_FIELD_LIST(sheet, signs, &sign_shape, "signs", "signs"),
    SPL_FIELD_ONE(sheet, first, &sign_shape, "first"),
};
static const struct spl_shape sheet_shape = SPL_SHAPE("sheet", sheet, sheet_fields);

static struct sheet *new_sheet(void)
{
    struct sheet *sheet = g_new0(struct sheet, 1);
    struct sign sign = {g_strdup("hollow \"stem\""), NAN};

    *sheet = (struct sheet){.name = g_strdup("dåndelion\x01"),
                            .weight_g = 86.6,
                            .share = 34.24999,
                            .count = 3,
                            .day = spl_day_from_ymd(2027, 5, 4),
                            .never = SPL_DAY_NONE,
                            .dry = TRUE,
                            .signs = spl_list_new(&sign_shape)};
    g_array_append_val(sheet->signs, sign);
    return sheet;
}

static char *written(gboolean (*write)(const struct spl_shape *, const void *, FILE *),
                     const struct spl_shape *shape, const void *what)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    assert_true(write(shape, what, out));
    fclose(out);
    return text;
}

static void a_record_becomes_json_with_absent_values_as_null(void **state)
{
    struct sheet *sheet = new_sheet();
    char *text = written(spl_record_write_json, &sheet_shape, sheet);
    json_t *json = json_loads(text, 0, NULL);

    (void)state;
    assert_non_null(json);
    assert_string_equal(json_string_value(json_object_get(json, "name")), "dåndelion\x01");
    assert_int_equal(json_integer_value(json_object_get(json, "weight_g")), 87);
    assert_non_null(strstr(text, "\"share\": 34.2,"));
    assert_string_equal(json_string_value(json_object_get(json, "day")), "2027-05-04");
    assert_true(json_is_null(json_object_get(json, "never")));
    assert_true(json_is_true(json_object_get(json, "dry")));
    assert_int_equal(json_array_size(json_object_get(json, "names")), 0);
    assert_true(json_is_array(json_object_get(json, "names")));
    assert_true(json_is_null(
        json_object_get(json_array_get(json_object_get(json, "signs"), 0), "length_m")));
    assert_true(json_is_null(json_object_get(json, "first")));
    json_decref(json);
    free(text);
    spl_record_free(&sheet_shape, sheet);
}

static gboolean write_table(const struct spl_shape *shape, const void *list, FILE *out)
{
    return spl_list_write_table(shape, list, 60, out);
}

static void a_list_becomes_a_table_of_its_headed_fields(void **state)
{
    GArray *list = spl_list_new(&sheet_shape);
    struct sheet *sheet = new_sheet();
    char *text;

    (void)state;
    setlocale(LC_CTYPE, "C.UTF-8");
    g_array_append_vals(list, sheet, 1);
    g_free(sheet);
    text = written(write_table, &sheet_shape, list);
    assert_non_null(strstr(text, "dåndelion"));
    assert_non_null(strstr(text, "hollow \"stem\""));
    assert_null(strchr(text, '\x01'));
    assert_null(strstr(text, "34.2"));
    free(text);
    spl_list_free(&sheet_shape, list);
}

static gboolean write_lines(const struct spl_shape *shape, const void *record, FILE *out)
{
    return spl_record_write_lines(shape, record, 0, out);
}

static void people_read_the_units_of_their_customs(void **state)
{
    struct spl_customs us = {.read = SPL_UNITS_US, .print = SPL_UNITS_US, .today = SPL_DAY_NONE};
    struct sheet *sheet = new_sheet();
    char *text, *json;

    (void)state;
    spl_customs_set(&us);
    text = written(write_lines, &sheet_shape, sheet);
    json = written(spl_record_write_json, &sheet_shape, sheet);
    us.read = us.print = SPL_UNITS_METRIC;
    spl_customs_set(&us);
    /* 86.6 g / 28.349523125 g (NIST Handbook 44, Appendix C) = 3.055 oz. */
    assert_non_null(strstr(text, "3.1 oz"));
    assert_null(strstr(text, "87"));
    assert_non_null(strstr(json, "87"));
    free(text);
    free(json);
    spl_record_free(&sheet_shape, sheet);
}

static gboolean write_list(const struct spl_shape *shape, const void *list, FILE *out)
{
    return spl_list_write_json(shape, list, out);
}

static void arrays_are_json_even_when_empty(void **state)
{
    char *text = written(write_list, &sheet_shape, NULL);
    json_t *json = json_loads(text, 0, NULL);

    (void)state;
    assert_true(json_is_array(json));
    json_decref(json);
    free(text);
}

/* Lists are written straight, single records through jansson: the octets are the same, for every
 * sign, texts that are no UTF-8, long ones, and numbers of all sizes. */
static void a_line_of_a_list_is_what_the_library_writes(void **state)
{
    static const double numbers[] = {
        0,    -0.04, 12,       86.6,          34.25, 1e15, 999999999999999, -999999999999999, -1e16,
        1e22, 1e-9,  0.05,     1e300,         -1,    10,   999999999999998, 99999999999999.5, 1e14,
        NAN,  -1e15, INFINITY, 123456789.125, -7.5};
    static const int counts[] = {0, G_MININT, G_MAXINT, -1, 9, 10, -1000};
    struct sheet *sheet = new_sheet();

    (void)state;
    sheet->names = g_ptr_array_new_with_free_func(g_free);
    sheet->first = g_new0(struct sign, 1);
    for (int c = 1; c < 256; c++)
        g_ptr_array_add(sheet->names, g_strdup_printf("a%cb\xc3\xa5%c", c, c));
    g_ptr_array_add(sheet->names, g_strnfill(10000, 'x'));
    g_ptr_array_add(sheet->names, g_strdup(""));
    for (gsize i = 0; i < G_N_ELEMENTS(numbers); i++) {
        struct sign sign = {NULL, numbers[i]};
        g_autofree char *whole = NULL, *line = NULL;
        struct spl_json_array array;
        char *text = NULL;
        size_t size = 0;
        FILE *out = open_memstream(&text, &size);

        g_array_append_val(sheet->signs, sign);
        sheet->weight_g = sheet->share = numbers[i];
        sheet->count = counts[i % G_N_ELEMENTS(counts)];
        spl_json_array_begin(&array, &sheet_shape, out);
        assert_true(spl_json_array_item(&array, sheet));
        assert_true(spl_json_array_end(&array));
        fclose(out);
        whole = spl_record_json(&sheet_shape, sheet);
        line = g_strdup_printf("[\n %s\n]\n", whole);
        assert_string_equal(text, line);
        free(text);
    }
    spl_record_free(&sheet_shape, sheet);
}

static void the_schema_names_every_key(void **state)
{
    g_autofree char *text = spl_shape_schema(&sheet_shape, TRUE, NULL);
    json_t *json = json_loads(text, 0, NULL);
    json_t *properties;

    (void)state;
    assert_non_null(json);
    properties = json_object_get(json_object_get(json, "items"), "properties");
    assert_int_equal(json_object_size(properties), G_N_ELEMENTS(sheet_fields));
    json_decref(json);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_record_becomes_json_with_absent_values_as_null),
    cmocka_unit_test(a_list_becomes_a_table_of_its_headed_fields),
    cmocka_unit_test(people_read_the_units_of_their_customs),
    cmocka_unit_test(arrays_are_json_even_when_empty),
    cmocka_unit_test(a_line_of_a_list_is_what_the_library_writes),
    cmocka_unit_test(the_schema_names_every_key),
};
expect_main(tests)
