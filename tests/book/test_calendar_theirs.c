/* SPDX-License-Identifier: MIT
 *
 * The register of calendars: what the person made of an entry, and what a calendar held.
 */
#include "shelf.h"

#include "book/calendar_theirs.h"

static const struct spl_day JUNE = {20989}; /* 2027-06-20 */

/* Two entries and a calendar that had both; their ids are 1 and 2. */
static gint64 two_entries(struct spl_book *book)
{
    g_autoptr(GError) error = NULL;
    struct spl_calendar_fresh fresh[2] = {0};
    gint64 target;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_calendar_target(book, "phone", TRUE, &target, &error));
    for (int i = 0; i < 2; i++) {
        fresh[i].row = (struct spl_calendar_row){
            .uid = g_strdup_printf("uid-%d", i),
            .key = g_strdup_printf("lot;%d", i),
            .year = 2027,
            .summary = g_strdup("Use by"),
            .first = JUNE,
            .last = JUNE,
            .outer_first = SPL_DAY_NONE,
            .outer_last = SPL_DAY_NONE,
            .changed_at = 1,
        };
        fresh[i].sent = (struct spl_calendar_sent){.changed_at = 1, .first = JUNE, .last = JUNE};
    }
    assert_true(spl_calendar_add(book, target, fresh, 2, &error));
    assert_true(spl_book_commit(book, &error));
    for (int i = 0; i < 2; i++)
        spl_calendar_row_clear(&fresh[i].row);
    return target;
}

static void what_the_person_set_is_kept_for_the_entry_in_that_calendar(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    gint64 phone = two_entries(book), id = 1, wall;
    struct spl_calendar_theirs theirs = SPL_CALENDAR_THEIRS_NONE;
    GHashTable *all;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_calendar_target(book, "wall", TRUE, &wall, &error));
    theirs.title = "Elder walk";
    theirs.alarms = "";
    theirs.start_min = 0;
    theirs.end_min = 1440;
    assert_true(spl_calendar_theirs_put(book, phone, id, &theirs, &error));
    assert_true(spl_book_commit(book, &error));
    all = spl_calendar_theirs_of(book, phone, &error);
    assert_int_equal(g_hash_table_size(all), 1);
    {
        const struct spl_calendar_theirs *read = g_hash_table_lookup(all, &id);

        assert_string_equal(read->title, "Elder walk");
        assert_null(read->note);
        assert_string_equal(read->alarms, "");
        assert_int_equal(read->start_min, 0);
        assert_int_equal(read->end_min, 1440);
        assert_false(read->hidden);
    }
    g_hash_table_unref(all);
    all = spl_calendar_theirs_of(book, wall, &error);
    assert_int_equal(g_hash_table_size(all), 0);
    g_hash_table_unref(all);
    /* Nothing in it: nothing is kept. */
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_calendar_theirs_put(book, phone, id, &SPL_CALENDAR_THEIRS_NONE, &error));
    assert_true(spl_book_commit(book, &error));
    all = spl_calendar_theirs_of(book, phone, &error);
    assert_int_equal(g_hash_table_size(all), 0);
    g_hash_table_unref(all);
    spl_book_close(book);
}

static gboolean take_id(gint64 id, gpointer data, GError **error)
{
    (void)error;
    g_array_append_val((GArray *)data, id);
    return TRUE;
}

static void what_a_calendar_held_is_known(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    gint64 phone = two_entries(book);
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    struct spl_calendar_sent sent;
    struct spl_calendar_row row;
    gboolean had;

    assert_true(spl_calendar_there_each(book, phone, take_id, ids, &error));
    assert_int_equal(ids->len, 2);
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_calendar_there_put(book, phone, 1, FALSE, &error));
    assert_true(spl_calendar_sent_find(book, phone, 2, &sent, &had, &error));
    assert_true(had && sent.there);
    sent.cancelled = TRUE; /* called off: nobody need ask where it is */
    assert_true(spl_calendar_sent_put(book, phone, 2, &sent, &error));
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_calendar_sent_find(book, phone, 1, &sent, &had, &error));
    assert_true(had && !sent.there);
    g_array_set_size(ids, 0);
    assert_true(spl_calendar_there_each(book, phone, take_id, ids, &error));
    assert_int_equal(ids->len, 0);
    assert_true(spl_calendar_row_get(book, 2, &row, &error));
    assert_string_equal(row.uid, "uid-1");
    spl_calendar_row_clear(&row);
    assert_false(spl_calendar_row_get(book, 3, &row, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "no row 3");
    spl_book_close(book);
}

#define test(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)

static const struct CMUnitTest tests[] = {
    test(what_the_person_set_is_kept_for_the_entry_in_that_calendar),
    test(what_a_calendar_held_is_known),
};
expect_main(tests)
