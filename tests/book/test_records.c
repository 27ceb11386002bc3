/* SPDX-License-Identifier: MIT
 *
 * Records in the book: codes, names, corrections, strikes, balances; the plans of its questions.
 */
#include "shelf.h"

#include <sqlite3.h>

#include "book/amendment.h"
#include "book/code.h"
#include "book/statement.h"

static const struct spl_day MAY = {20577}; /* 2026-05-04 */

static void codes_count_from_001_within_their_year(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");
    static const struct {
        int year;
        const char *code;
    } rows[] = {{2026, "H26-001"}, {2026, "H26-002"}, {2027, "H27-001"}, {2026, "H26-003"}};

    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *code =
            shelf_harvest(book, site, spl_day_from_ymd(rows[i].year, 5, 4), 100);

        assert_string_equal(code, rows[i].code);
    }
    spl_book_close(book);
}

static void the_thousandth_code_has_four_digits(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_thing thing;

    assert_true(spl_book_begin(book, &error));
    for (int i = 1; i <= 1000; i++) {
        assert_true(spl_thing_add(book, 'H', MAY, &thing, &error));
        if (i == 999)
            assert_string_equal(thing.code, "H26-999");
        if (i == 1000)
            assert_string_equal(thing.code, "H26-1000");
        spl_thing_clear(&thing);
    }
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_code_find(book, "h26-1000", "H", "a harvest", &thing, &error));
    spl_thing_clear(&thing);
    spl_book_close(book);
}

static void codes_are_found_forgivingly_and_refused_clearly(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");
    g_autofree char *code = shelf_harvest(book, site, MAY, 100);
    g_autoptr(GError) error = NULL;
    struct spl_thing thing;
    static const char *const good[] = {"H26-001", "h26-1", "ANN:H26-001", "ann:h26-01"};

    for (gsize i = 0; i < G_N_ELEMENTS(good); i++) {
        assert_true(spl_code_find(book, good[i], "H", "a harvest", &thing, &error));
        assert_string_equal(thing.code, "H26-001");
        spl_thing_clear(&thing);
    }
    assert_false(spl_code_find(book, "H26-007", "H", "a harvest", &thing, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "H26-001");
    assert_false(spl_code_find(book, "B26-001", "H", "a harvest", &thing, &error));
    expect_error(error, SPL_ERROR_INVALID, "B26-001");
    assert_false(spl_code_find(book, "nettle", "H", "a harvest", &thing, &error));
    expect_error(error, SPL_ERROR_INVALID, "H27-001");
    assert_false(spl_code_find(book, "BOB:H26-001", "H", "a harvest", &thing, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "BOB:H26-001");
    spl_book_close(book);
}

static void sites_are_found_by_key_or_a_unique_beginning(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_site site;

    shelf_site(book, "Hölle Lane");
    shelf_site(book, "Withy Gill");
    shelf_site(book, "Withy Moss");
    assert_true(spl_site_find(book, "HOLLE LANE", &site, &error));
    assert_string_equal(site.name, "Hölle Lane");
    spl_record_clear(&spl_site_shape, &site);
    assert_true(spl_site_find(book, "hol", &site, &error));
    spl_record_clear(&spl_site_shape, &site);
    assert_false(spl_site_find(book, "withy", &site, &error));
    expect_error(error, SPL_ERROR_AMBIGUOUS, "Withy Moss");
    assert_false(spl_site_find(book, "wihty gill", &site, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "Withy Gill");
    spl_book_close(book);
}

static void the_last_amendment_holds_and_the_old_value_stays(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");
    g_autofree char *code = shelf_harvest(book, site, MAY, 100);
    g_autoptr(GError) error = NULL;
    struct spl_harvest harvest;
    GArray *list;

    assert_true(spl_harvest_find(book, code, &harvest, &error));
    assert_true(spl_book_begin(book, &error));
    /* The clock stands still, then is set back: order is that of writing all the same. */
    spl_book_set_now(book, 2000000);
    assert_true(spl_amendment_add_real(book, harvest.uuid, "weight_g", 90, "Ann", "a", &error));
    spl_book_set_now(book, 1000000);
    assert_true(spl_amendment_add_real(book, harvest.uuid, "weight_g", 80, "Ann", "b", &error));
    assert_true(spl_book_commit(book, &error));
    list = spl_amendment_list(book, harvest.uuid, &error);
    assert_int_equal(list->len, 2);
    spl_list_free(&spl_amendment_shape, list);
    spl_record_clear(&spl_harvest_shape, &harvest);
    assert_true(spl_harvest_find(book, code, &harvest, &error));
    expect_near(harvest.weight_g, 80, 0, "g");
    assert_int_equal(spl_book_number(book, 0, &error, "SELECT weight_g FROM harvest", SPL_NONE),
                     100);
    spl_record_clear(&spl_harvest_shape, &harvest);
    spl_book_close(book);
}

static void a_renamed_site_answers_to_its_new_name_only(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_site site;

    shelf_site(book, "Withy Gill");
    shelf_site(book, "Low Croft");
    assert_true(spl_site_find(book, "Withy Gill", &site, &error));
    assert_true(spl_book_begin(book, &error));
    assert_false(spl_site_rename(book, &site, "low croft", NULL, "x", &error));
    expect_error(error, SPL_ERROR_EXISTS, "low croft");
    assert_true(spl_site_rename(book, &site, "Withy Ghyll", NULL, "its spelling", &error));
    assert_true(spl_book_commit(book, &error));
    spl_record_clear(&spl_site_shape, &site);
    assert_true(spl_site_find(book, "withy ghyll", &site, &error));
    assert_string_equal(site.name, "Withy Ghyll");
    spl_record_clear(&spl_site_shape, &site);
    assert_false(spl_site_find(book, "Withy Gill", &site, &error));
    g_clear_error(&error);
    spl_book_close(book);
}

static gboolean count(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    (void)harvest;
    (void)error;
    ++*(int *)data;
    return TRUE;
}

static void struck_records_leave_the_lists_but_stay_in_the_book(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 site = shelf_site(book, "Withy Gill");
    g_autofree char *code = shelf_harvest(book, site, MAY, 100);
    g_autoptr(GError) error = NULL;
    struct spl_harvest_filter filter = {.from = SPL_DAY_NONE, .to = SPL_DAY_NONE};
    struct spl_thing thing;
    int n = 0;

    assert_true(spl_code_find(book, code, "H", "a harvest", &thing, &error));
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_strike_add(book, &thing, "Ann", "logged twice", &error));
    assert_false(spl_strike_add(book, &thing, "Ann", "again", &error));
    expect_error(error, SPL_ERROR_EXISTS, "logged twice");
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_harvest_each(book, &filter, count, &n, &error));
    assert_int_equal(n, 0);
    filter.all = TRUE;
    assert_true(spl_harvest_each(book, &filter, count, &n, &error));
    assert_int_equal(n, 1);
    expect_near(spl_harvest_taken_g(book, site, "nettle/leaf", MAY, MAY, &error), 0, 0, "g");
    spl_thing_clear(&thing);
    spl_book_close(book);
}

/* Fails when a step of the plan walks a whole table of records. */
static void expect_no_scan(struct spl_book *book, const char *sql)
{
    g_autofree char *explain = g_strconcat("EXPLAIN QUERY PLAN ", sql, NULL);
    sqlite3_stmt *stmt;

    assert_int_equal(sqlite3_prepare_v2(spl_book_handle(book), explain, -1, &stmt, NULL),
                     SQLITE_OK);
    while (sqlite3_step(stmt) == SQLITE_ROW) {
        const char *step = (const char *)sqlite3_column_text(stmt, 3);

        if (g_str_has_prefix(step, "SCAN"))
            fail_msg("'%s' in the plan of: %s", step, sql);
    }
    sqlite3_finalize(stmt);
}

static void everyday_questions_walk_no_whole_table(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_READ);

    expect_no_scan(book, "SELECT site_id FROM site_key WHERE name_key = 'x'");
    expect_no_scan(book, "SELECT * FROM site_now WHERE id = 1");
    expect_no_scan(book, "SELECT * FROM harvest_now h JOIN site_now s ON s.id = h.site_id"
                         " WHERE h.site_id = 1 AND h.struck IS NULL ORDER BY h.day, h.id");
    expect_no_scan(book, "SELECT * FROM harvest_now WHERE id = 1");
    expect_no_scan(book, "SELECT * FROM spray_note_now WHERE site_id = 1 AND struck IS NULL");
    expect_no_scan(book, "SELECT * FROM permission WHERE site_id = 1 ORDER BY day, at");
    spl_book_close(book);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(codes_count_from_001_within_their_year, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(the_thousandth_code_has_four_digits, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(codes_are_found_forgivingly_and_refused_clearly, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(sites_are_found_by_key_or_a_unique_beginning, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(the_last_amendment_holds_and_the_old_value_stays, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(a_renamed_site_answers_to_its_new_name_only, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(struck_records_leave_the_lists_but_stay_in_the_book,
                                    shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(everyday_questions_walk_no_whole_table, shelf_set_up,
                                    shelf_tear_down),
};
expect_main(tests)
