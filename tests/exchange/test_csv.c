/* SPDX-License-Identifier: MIT
 *
 * Tables of cells: header names, marks and separators, quotes, line numbers, guards.
 */
#include "expect.h"

#include <glib/gstdio.h>
#include <unistd.h>

#include "exchange/csv.h"

static struct spl_csv *open_text(const char *text, GError **error)
{
    return spl_csv_open_text(text, strlen(text), "folder/sheet.csv", error);
}

/* The message of the first row that fails. */
static void expect_row_error(const char *text, enum spl_error_code code, const char *part)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = open_text(text, &error);

    while (csv != NULL && spl_csv_next(csv, &error))
        ;
    expect_error(error, code, part);
}

static void a_mark_semicolons_and_any_line_end_are_understood(void **state)
{
    static const char *const texts[] = {
        "\xef\xbb\xbfplant;moisture_pct\r\nnettle;87.67\r\nelder;80\r\n",
        "plant,moisture_pct\nnettle,87.67\nelder,80",
        "plant\tmoisture_pct\rnettle\t87.67\relder\t80\r",
        "\"plant\",\"moisture_pct\"\n\n\"nettle\",87.67\n , \n\nelder, 80 \n\n",
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_csv) csv = open_text(texts[i], &error);
        double number = 0;

        expect_ok(error);
        assert_int_equal(spl_csv_columns(csv), 2);
        assert_int_equal(spl_csv_column(csv, "Moisture pct"), 1);
        assert_int_equal(spl_csv_column(csv, "water"), -1);
        assert_true(spl_csv_next(csv, &error));
        assert_string_equal(spl_csv_text(csv, 0), "nettle");
        assert_true(spl_csv_number(csv, 1, 0, 100, &number, &error));
        expect_near(number, 87.67, 1e-12, "%");
        assert_true(spl_csv_next(csv, &error));
        assert_string_equal(spl_csv_text(csv, 0), "elder");
        assert_string_equal(spl_csv_text(csv, -1), "");
        assert_false(spl_csv_next(csv, &error));
        expect_ok(error);
        assert_false(spl_csv_next(csv, &error));
    }
}

static void quoted_cells_hold_separators_quotes_and_line_breaks(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = open_text("name,note\n"
                                       "a,\"one, \"\"two\"\"\n\nthree\"\n"
                                       "b,\n",
                                       &error);

    (void)state;
    expect_ok(error);
    assert_true(spl_csv_next(csv, &error));
    assert_string_equal(spl_csv_text(csv, 1), "one, \"two\"\n\nthree");
    assert_int_equal(spl_csv_line(csv), 2);
    assert_true(spl_csv_next(csv, &error));
    assert_string_equal(spl_csv_text(csv, 0), "b");
    assert_string_equal(spl_csv_text(csv, 1), "");
    assert_int_equal(spl_csv_line(csv), 5);
}

static void line_numbers_count_empty_lines(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = open_text("\n\nname,x\r\n\r\n,\r\na,1\r\n", &error);

    (void)state;
    expect_ok(error);
    assert_true(spl_csv_next(csv, &error));
    assert_int_equal(spl_csv_line(csv), 6);
}

static void a_decimal_comma_is_refused_with_a_hint(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = open_text("plant,moisture\nnettle,\"87,67\"\n", &error);
    double number = 5;

    (void)state;
    expect_ok(error);
    assert_true(spl_csv_next(csv, &error));
    assert_false(spl_csv_number(csv, 1, 0, 100, &number, &error));
    expect_error(error, SPL_ERROR_INVALID, "sheet.csv:2: column 'moisture'");
    assert_false(spl_csv_number(csv, 1, 0, 100, &number, &error));
    expect_error(error, SPL_ERROR_INVALID, "write 87.67");
    assert_true(number == 5);
    expect_row_error("plant,moisture\nnettle,87,67\n", SPL_ERROR_INVALID, "decimal point");
}

static void numbers_that_are_none_or_out_of_range_are_refused(void **state)
{
    static const char *const bad[] = {"nan", "inf", "0x10",  "12 g", "1e999",
                                      "-1",  "101", "1.2.3", "--1"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        g_autofree char *text = g_strdup_printf("x\n%s\n", bad[i]);
        g_autoptr(spl_csv) csv = open_text(text, &error);
        double number = 5;

        assert_true(spl_csv_next(csv, &error));
        assert_false(spl_csv_number(csv, 0, 0, 100, &number, &error));
        expect_error(error, SPL_ERROR_INVALID, "sheet.csv:2: column 'x'");
        assert_true(number == 5);
    }
}

static void whole_numbers_and_dates_are_read(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = open_text("n,day\n42,2027-05-04\n,\n4.5,2027-02-30\n", &error);
    int count = 7;
    struct spl_day day = SPL_DAY_NONE;

    (void)state;
    assert_true(spl_csv_next(csv, &error));
    assert_true(spl_csv_count(csv, 0, 0, 99, &count, &error));
    assert_int_equal(count, 42);
    assert_true(spl_csv_day(csv, 1, &day, &error));
    assert_int_equal(day.n, spl_day_from_ymd(2027, 5, 4).n);
    /* A row of nothing but separators is left out. */
    assert_true(spl_csv_next(csv, &error));
    assert_int_equal(spl_csv_line(csv), 4);
    assert_false(spl_csv_count(csv, 0, 0, 99, &count, &error));
    expect_error(error, SPL_ERROR_INVALID, "whole number");
    assert_false(spl_csv_day(csv, 1, &day, &error));
    expect_error(error, SPL_ERROR_INVALID, "sheet.csv:4: column 'day'");
}

static void rows_that_are_too_short_or_too_long_are_named(void **state)
{
    (void)state;
    expect_row_error("a,b,c\n1,2,3\n1,2\n", SPL_ERROR_INVALID, "sheet.csv:3: has 2 cells");
    expect_row_error("a,b\n1,2,3\n", SPL_ERROR_INVALID, "sheet.csv:2: has 3 cells");
}

static void broken_quotes_are_named(void **state)
{
    (void)state;
    expect_row_error("a,b\n1,2\n\"open,3\n4,5\n", SPL_ERROR_INVALID, "never closed");
    expect_row_error("a,b\n1,2\n\"x\" y,3\n", SPL_ERROR_INVALID, "sheet.csv:3: the quotes");
}

static void foreign_files_are_refused_with_what_to_do(void **state)
{
    static const struct {
        const char *text;
        gsize size;
        const char *part;
    } bad[] = {
        {"", 0, "is empty"},
        {"\n\n", 2, "is empty"},
        {"\xef\xbb\xbf", 3, "is empty"},
        {"PK\003\004\024\000\006\000", 8, "spreadsheet"},
        {"\xff\xfe"
         "a\0,\0b\0",
         8, "UTF-16"},
        {"a,b\n1\0,2\n", 8, "is not text"},
        {"a,a\n1,2\n", 8, "two columns are named 'a'"},
        {"a,,c\n1,2,3\n", 11, "column 2 has no name"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_csv) csv = spl_csv_open_text(bad[i].text, bad[i].size, "sheet.csv", &error);

        while (csv != NULL && spl_csv_next(csv, &error))
            ;
        expect_error(error, SPL_ERROR_INVALID, bad[i].part);
    }
    expect_row_error("a,b\n\xe4,2\n", SPL_ERROR_INVALID, "not valid UTF-8");
    expect_row_error("a,b\n\033[31m,2\n", SPL_ERROR_INVALID, "control character (U+001B)");
}

static void absurd_sizes_are_refused(void **state)
{
    g_autofree char *wide = g_strnfill(600, ',');
    g_autofree char *wide_text = g_strconcat("a", wide, "\n", NULL);
    g_autofree char *long_cell = g_strnfill(SPL_CSV_MAX_ROW, 'x');
    g_autofree char *long_text = g_strconcat("a\n", long_cell, "\n", NULL);
    g_autofree char *lines = g_strnfill(SPL_CSV_MAX_ROW + 10, '\n');
    g_autofree char *open_text_ = g_strconcat("a\n\"", lines, NULL);

    (void)state;
    expect_row_error(wide_text, SPL_ERROR_LIMIT, "columns");
    expect_row_error(long_text, SPL_ERROR_LIMIT, "longer than");
    expect_row_error(open_text_, SPL_ERROR_LIMIT, "never closed");
}

static void files_that_are_not_there_and_folders_are_named(void **state)
{
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_null(spl_csv_open("/nowhere/plants.csv", &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "/nowhere/plants.csv");
    assert_null(spl_csv_open(SPL_SOURCE_DIR "/tests", &error));
    expect_error(error, SPL_ERROR_INVALID, "is no file");
}

static void a_missing_column_is_named_with_those_that_are_there(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = open_text("date,tmin\n", &error);
    int column = 0;

    (void)state;
    assert_true(spl_csv_column_required(csv, "TMIN", &column, &error));
    assert_int_equal(column, 1);
    assert_false(spl_csv_column_required(csv, "tmax", &column, &error));
    expect_error(error, SPL_ERROR_INVALID, "no column 'tmax'; its columns are: date, tmin");
}

static void a_long_file_is_read_row_by_row(void **state)
{
    g_autofree char *path = NULL;
    g_autoptr(GError) error = NULL;
    int handle = g_file_open_tmp("csv-XXXXXX", &path, &error);
    double sum = 0;

    (void)state;
    FILE *file = fdopen(handle, "w");
    fputs("n,square\r\n", file);
    for (int i = 1; i <= 20000; i++)
        fprintf(file, "%d,\"%d\"\r\n", i, i);
    fclose(file);
    g_autoptr(spl_csv) csv = spl_csv_open(path, &error);
    expect_ok(error);
    while (spl_csv_next(csv, &error)) {
        double number = 0;
        assert_true(spl_csv_number(csv, 1, 0, 1e6, &number, &error));
        assert_int_equal(spl_csv_line(csv), (int)number + 1);
        sum += number;
    }
    expect_ok(error);
    expect_near(sum, 20000.0 * 20001 / 2, 0, "");
    g_unlink(path);
}

static void lines_that_end_at_the_edge_of_a_read_are_whole(void **state)
{
    /* Files are read in pieces of 65,536 bytes: the line end is put before, on and behind the edge.
     */
    static const char *const ends[] = {"\n", "\r\n", "\r"};

    (void)state;
    for (int before = 65536 - 14; before <= 65536 + 2; before++) {
        for (gsize i = 0; i < G_N_ELEMENTS(ends); i++) {
            g_autoptr(GError) error = NULL;
            g_autofree char *path = NULL;
            g_autofree char *filling = g_strnfill((gsize)before, 'x');
            g_autofree char *text =
                g_strconcat("a", ends[i], filling, ends[i], "b", ends[i], "c", NULL);
            int handle = g_file_open_tmp("csv-XXXXXX", &path, &error);

            close(handle);
            assert_true(g_file_set_contents(path, text, -1, &error));
            g_autoptr(spl_csv) csv = spl_csv_open(path, &error);
            expect_ok(error);
            assert_true(spl_csv_next(csv, &error));
            assert_int_equal(strlen(spl_csv_text(csv, 0)), before);
            assert_true(spl_csv_next(csv, &error));
            assert_string_equal(spl_csv_text(csv, 0), "b");
            assert_int_equal(spl_csv_line(csv), 3);
            assert_true(spl_csv_next(csv, &error));
            assert_string_equal(spl_csv_text(csv, 0), "c");
            assert_false(spl_csv_next(csv, &error));
            expect_ok(error);
            g_unlink(path);
        }
    }
}

/* A small generator of its own, so that every run tries the same octets. */
static guint32 next_random(guint32 *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

static void damaged_tables_end_in_rows_or_one_line_errors(void **state)
{
    g_autofree char *text = NULL;
    gsize size = 0;
    guint32 seed = 20270504;
    static const char spice[] = "\"\"\",;\t\r\n\0\xff=-9e.";
    int errors = 0;

    (void)state;
    assert_true(g_file_get_contents(SPL_SOURCE_DIR "/data/makings.csv", &text, &size, NULL));
    for (int round = 0; round < 1500; round++) {
        g_autofree char *damaged = g_memdup2(text, size);
        gsize kept = 1 + next_random(&seed) % size;
        g_autoptr(GError) error = NULL;

        for (guint i = 0; i < 1 + next_random(&seed) % 8; i++)
            damaged[next_random(&seed) % kept] = spice[next_random(&seed) % (sizeof spice - 1)];
        g_autoptr(spl_csv) csv = spl_csv_open_text(damaged, kept, "damaged.csv", &error);
        while (csv != NULL && spl_csv_next(csv, &error)) {
            double number = 0;
            for (int column = -1; column < spl_csv_columns(csv); column++) {
                assert_true(g_utf8_validate(spl_csv_text(csv, column), -1, NULL));
                spl_csv_number(csv, column, 0, 100, &number, NULL);
            }
        }
        if (error != NULL) {
            errors++;
            assert_true(g_utf8_validate(error->message, -1, NULL));
            assert_null(strchr(error->message, '\n'));
        }
    }
    assert_true(errors > 500 && errors < 1500);
}

/* As spreadsheets of much of Europe write it. */
static void a_comma_is_a_decimal_mark_where_semicolons_part_the_cells(void **state)
{
    static const char *const texts[] = {"plant;moisture\nnettle;87,67\n",
                                        "plant\tmoisture\nnettle\t87,67\n"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_csv) csv = open_text(texts[i], &error);
        double number = 5;

        expect_ok(error);
        assert_true(spl_csv_next(csv, &error));
        assert_true(spl_csv_number(csv, 1, 0, 100, &number, &error));
        expect_near(number, 87.67, 1e-12, "%");
    }
    expect_row_error("plant,moisture\nnettle,87,67\n", SPL_ERROR_INVALID, "decimal point");
}

static void other_encodings_are_read(void **state)
{
    static const char latin[] = "ort;h\xf6he\nM\xfchle;12\n";
    static const char little[] = "\xff\xfeo\0r\0t\0\n\0M\0\xfc\0\n\0";
    static const char big[] = "\xfe\xff\0o\0r\0t\0\n\0M\0\xfc\0\n";
    gsize size;
    g_autofree char *a = spl_csv_decode(latin, sizeof latin - 1, &size);
    g_autofree char *b = spl_csv_decode(little, sizeof little - 1, &size);
    g_autofree char *c = spl_csv_decode(big, sizeof big - 1, &size);

    (void)state;
    assert_string_equal(a, "ort;h\u00f6he\nM\u00fchle;12\n");
    assert_string_equal(b, "ort\nM\u00fc\n");
    assert_string_equal(c, "ort\nM\u00fc\n");
    assert_null(spl_csv_decode("ort\n\xc3\xbc", 6, &size));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_comma_is_a_decimal_mark_where_semicolons_part_the_cells),
    cmocka_unit_test(other_encodings_are_read),
    cmocka_unit_test(a_mark_semicolons_and_any_line_end_are_understood),
    cmocka_unit_test(quoted_cells_hold_separators_quotes_and_line_breaks),
    cmocka_unit_test(line_numbers_count_empty_lines),
    cmocka_unit_test(a_decimal_comma_is_refused_with_a_hint),
    cmocka_unit_test(numbers_that_are_none_or_out_of_range_are_refused),
    cmocka_unit_test(whole_numbers_and_dates_are_read),
    cmocka_unit_test(rows_that_are_too_short_or_too_long_are_named),
    cmocka_unit_test(broken_quotes_are_named),
    cmocka_unit_test(foreign_files_are_refused_with_what_to_do),
    cmocka_unit_test(absurd_sizes_are_refused),
    cmocka_unit_test(files_that_are_not_there_and_folders_are_named),
    cmocka_unit_test(a_missing_column_is_named_with_those_that_are_there),
    cmocka_unit_test(a_long_file_is_read_row_by_row),
    cmocka_unit_test(lines_that_end_at_the_edge_of_a_read_are_whole),
    cmocka_unit_test(damaged_tables_end_in_rows_or_one_line_errors),
};
expect_main(tests)
