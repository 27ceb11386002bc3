/* SPDX-License-Identifier: MIT
 *
 * A book of 100,000 harvests and 10,000 sites: everyday questions find their rows by index.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "book/statement.h"
#include "expect.h"
#include "season/house_private.h"
#include "simpling/check.h"
#include "simpling/harvest.h"
#include "simpling/house.h"

/* Walking this many rows without an index is a small table (settings), never the log. */
#define FEW_ROWS 200

static const char fill[] =
    "PRAGMA foreign_keys = OFF;" /* ids are those of the rows themselves */
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 10000)"
    " INSERT INTO site (id, uuid, name, lat, lon, at)"
    " SELECT i, printf('s%d', i), printf('Place %05d', i), 50 + i / 10000.0, -2 - i / 10000.0, 1"
    " FROM n;"
    "INSERT INTO site_key SELECT printf('place %05d', id), id FROM site;"
    "INSERT INTO permission (uuid, site_id, given, by, day, written, at)"
    " SELECT printf('p%d', id), id, 1, 'the tenant', 20000, 0, 1 FROM site;"
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 100000)"
    " INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " SELECT i, printf('h%d', i), 'H', 'ANN', 2020 + i % 8, i, 1 FROM n;"
    "INSERT INTO harvest (id, site_id, material, stage, day, weight_g, verdict, reasons)"
    " SELECT id, 1 + id % 10000, 'nettle/leaf', 41, 18262 + id % 2800, 100, 'clear', '[]'"
    " FROM thing;"
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 10000)"
    " INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " SELECT 200000 + i, printf('n%d', i), 'N', 'ANN', 2027, i, 1 FROM n;"
    "INSERT INTO spray_note (id, site_id, kind, day, since, source)"
    " SELECT id, id - 200000, 'unsprayed', 20980, 18000, 'the tenant' FROM thing"
    " WHERE kind = 'N';"
    "INSERT INTO amendment (uuid, subject, field, value, at, why)"
    " SELECT printf('a%d', id), uuid, 'weight_g', 90.0, 2, 'x' FROM thing WHERE id % 50 = 0"
    " AND kind = 'H';";

struct large {
    char *folder, *path;
    struct spl_house_options options;
};

static int set_up(void **state)
{
    struct large *large = g_new0(struct large, 1);
    g_autoptr(GError) error = NULL;
    struct spl_book *book;

    large->folder = g_dir_make_tmp("spl-large-XXXXXX", NULL);
    large->path = g_build_filename(large->folder, "book.db", NULL);
    large->options = (struct spl_house_options){
        .book = large->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 6, 20),
    };
    assert_true(spl_book_make(&large->options, "ANN", NULL, &error));
    book = spl_book_open(large->path, SPL_BOOK_WRITE, &error);
    expect_ok(error);
    assert_true(spl_book_begin(book, &error));
    spl_book_script(book, fill, &error);
    expect_ok(error);
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    *state = large;
    return 0;
}

static int tear_down(void **state)
{
    struct large *large = *state;

    g_unlink(large->path);
    g_rmdir(large->folder);
    g_free(large->path);
    g_free(large->folder);
    g_free(large);
    return 0;
}

static struct spl_house *open_large(struct large *large)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&large->options, SPL_HOUSE_READ, &error);

    expect_ok(error);
    return house;
}

static void expect_indexed(struct spl_house *house, const char *question)
{
    gint64 scanned = spl_book_scanned(house->book);

    if (scanned > FEW_ROWS)
        fail_msg("%s walked %" G_GINT64_FORMAT " rows without an index", question, scanned);
    spl_house_close(house);
}

static void check_finds_its_rows_by_index(void **state)
{
    struct spl_house *house = open_large(*state);
    g_autoptr(GError) error = NULL;
    struct spl_check_question question = {
        .site = "place 04711", .material = "nettle/leaf", .on = SPL_DAY_NONE, .near_m = NAN};
    struct spl_check check;

    spl_check_site(house, &question, &check, &error);
    expect_ok(error);
    spl_record_clear(&spl_check_shape, &check);
    expect_indexed(house, "check");
}

static gboolean count(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    (void)error;
    assert_string_equal(harvest->site, "Place 00051");
    ++*(int *)data;
    return TRUE;
}

static void the_log_of_a_site_is_found_by_index(void **state)
{
    struct spl_house *house = open_large(*state);
    struct spl_harvest_question question = {
        .site = "Place 00051", .from = SPL_DAY_NONE, .to = SPL_DAY_NONE};
    g_autoptr(GError) error = NULL;
    int n = 0;

    spl_harvest_entries(house, &question, count, &n, &error);
    expect_ok(error);
    assert_int_equal(n, 10);
    expect_indexed(house, "harvest list --site");
}

static void an_entry_is_found_by_index(void **state)
{
    struct spl_house *house = open_large(*state);
    g_autoptr(GError) error = NULL;
    struct spl_harvest harvest;

    spl_harvest_show(house, "H22-50", &harvest, &error);
    expect_ok(error);
    expect_near(harvest.weight_g, 90, 0, "g");
    spl_record_clear(&spl_harvest_shape, &harvest);
    expect_indexed(house, "harvest show");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(check_finds_its_rows_by_index),
    cmocka_unit_test(the_log_of_a_site_is_found_by_index),
    cmocka_unit_test(an_entry_is_found_by_index),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
