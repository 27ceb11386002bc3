/* SPDX-License-Identifier: MIT
 *
 * The register of calendars read beside what is written: whatever the order, it finds what a
 * look-up by UID finds.
 */
#include "shelf.h"

#include "book/calendar_walk.h"

#define ENTRIES 40

static const struct spl_day JUNE = {20989}; /* 2027-06-20 */

/* Entries of ids 1 and up, of UIDs that stand in no order; the calendar had each. */
static gint64 some_entries(struct spl_book *book)
{
    g_autoptr(GError) error = NULL;
    struct spl_calendar_fresh fresh[ENTRIES] = {0};
    gint64 target;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_calendar_target(book, "phone", TRUE, &target, &error));
    for (int i = 0; i < ENTRIES; i++) {
        fresh[i].row = (struct spl_calendar_row){
            .uid = g_strdup_printf("uid-%02d", i * 17 % ENTRIES),
            .key = g_strdup_printf("lot;%d", i),
            .year = 2027,
            .summary = g_strdup("Use by"),
            .first = spl_day_add(JUNE, i),
            .last = spl_day_add(JUNE, i),
            .outer_first = SPL_DAY_NONE,
            .outer_last = SPL_DAY_NONE,
            .changed_at = 1,
        };
        fresh[i].sent = (struct spl_calendar_sent){
            .changed_at = 1 + i, .there = TRUE, .first = JUNE, .last = spl_day_add(JUNE, i)};
        g_snprintf(fresh[i].sent.hash, sizeof fresh[i].sent.hash, "hash-%d", i);
    }
    assert_true(spl_calendar_add(book, target, fresh, ENTRIES, &error));
    assert_true(spl_book_commit(book, &error));
    expect_ok(error);
    for (int i = 0; i < ENTRIES; i++)
        spl_calendar_row_clear(&fresh[i].row);
    return target;
}

/* Asks for the i-th entry and looks at all that was kept of it. */
static void find(spl_calendar_walk *walk, int i, gboolean had)
{
    g_autofree char *uid = g_strdup_printf("uid-%02d", i * 17 % ENTRIES);
    g_autofree char *key = g_strdup_printf("lot;%d", i);
    g_autofree char *hash = g_strdup_printf("hash-%d", i);
    g_autoptr(GError) error = NULL;
    struct spl_calendar_kept kept;
    gboolean found;

    assert_true(spl_calendar_walk_find(walk, uid, &kept, &found, &error));
    expect_ok(error);
    assert_true(found);
    assert_int_equal(kept.row.id, i + 1);
    assert_string_equal(kept.row.uid, uid);
    assert_string_equal(kept.row.key, key);
    assert_int_equal(kept.row.first.n, JUNE.n + i);
    assert_int_equal(kept.had, had);
    if (had) {
        assert_string_equal(kept.sent.hash, hash);
        assert_int_equal(kept.sent.changed_at, 1 + i);
        assert_int_equal(kept.sent.first.n, JUNE.n);
        assert_int_equal(kept.sent.last.n, JUNE.n + i);
        assert_true(kept.sent.there);
        assert_false(kept.sent.cancelled);
    }
    spl_calendar_row_clear(&kept.row);
}

static void every_order_finds_the_same(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 phone = some_entries(book);
    static const int steps[] = {1, 3, 7, 11, 39}; /* 39: backwards */

    for (gsize s = 0; s < G_N_ELEMENTS(steps); s++) {
        g_autoptr(spl_calendar_walk) walk = spl_calendar_walk_new(book, phone);

        for (int i = 0; i < ENTRIES; i++)
            find(walk, i * steps[s] % ENTRIES, TRUE);
        find(walk, 5, TRUE); /* once more, after its end */
    }
    spl_book_close(book);
}

static void what_the_register_does_not_know_is_not_found_and_stops_nothing(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 phone = some_entries(book);
    g_autoptr(spl_calendar_walk) walk = spl_calendar_walk_new(book, phone);
    g_autoptr(GError) error = NULL;

    for (int i = 0; i < ENTRIES; i++) {
        struct spl_calendar_kept kept;
        gboolean found = TRUE;

        assert_true(spl_calendar_walk_find(walk, "uid-new", &kept, &found, &error));
        assert_false(found);
        if (i % 3 != 0) /* some are not there any more */
            find(walk, i, TRUE);
    }
    g_clear_pointer(&walk, spl_calendar_walk_free);
    spl_book_close(book);
}

static void another_calendar_had_none_of_them(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    gint64 wall;

    (void)some_entries(book);
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_calendar_target(book, "wall", TRUE, &wall, &error));
    assert_true(spl_book_commit(book, &error));
    {
        g_autoptr(spl_calendar_walk) walk = spl_calendar_walk_new(book, wall);

        for (int i = 0; i < ENTRIES; i++)
            find(walk, i, FALSE);
    }
    spl_book_close(book);
}

/* What is found is changed, and new entries come in between. */
static void the_register_may_be_written_meanwhile(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    gint64 phone = some_entries(book);
    g_autoptr(spl_calendar_walk) walk = spl_calendar_walk_new(book, phone);
    g_autoptr(GError) error = NULL;

    assert_true(spl_book_begin(book, &error));
    for (int i = 0; i < ENTRIES; i++) {
        g_autofree char *uid = g_strdup_printf("uid-%02d", i * 17 % ENTRIES);
        struct spl_calendar_fresh fresh = {
            .row = {.uid = g_strdup_printf("fresh-%d", i),
                    .key = g_strdup("lot;new"),
                    .year = 2027,
                    .summary = g_strdup("Use by"),
                    .first = JUNE,
                    .last = JUNE,
                    .outer_first = SPL_DAY_NONE,
                    .outer_last = SPL_DAY_NONE,
                    .changed_at = 1},
            .sent = {.hash = "", .changed_at = 1, .first = JUNE, .last = JUNE}};
        struct spl_calendar_kept kept;
        gboolean found;

        assert_true(spl_calendar_walk_find(walk, uid, &kept, &found, &error));
        assert_true(found);
        assert_int_equal(kept.row.id, i + 1);
        kept.row.sequence++;
        assert_true(spl_calendar_row_update(book, &kept.row, &error));
        assert_true(spl_calendar_add(book, phone, &fresh, 1, &error));
        expect_ok(error);
        spl_calendar_row_clear(&kept.row);
        spl_calendar_row_clear(&fresh.row);
    }
    assert_true(spl_book_commit(book, &error));
    for (int i = 0; i < ENTRIES; i++) {
        g_autofree char *uid = g_strdup_printf("uid-%02d", i);
        struct spl_calendar_row row;
        gboolean found;

        assert_true(spl_calendar_row_find(book, uid, &row, &found, &error));
        assert_int_equal(row.sequence, 1);
        spl_calendar_row_clear(&row);
    }
    g_clear_pointer(&walk, spl_calendar_walk_free);
    spl_book_close(book);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(every_order_finds_the_same, shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(what_the_register_does_not_know_is_not_found_and_stops_nothing,
                                    shelf_set_up, shelf_tear_down),
    cmocka_unit_test_setup_teardown(another_calendar_had_none_of_them, shelf_set_up,
                                    shelf_tear_down),
    cmocka_unit_test_setup_teardown(the_register_may_be_written_meanwhile, shelf_set_up,
                                    shelf_tear_down),
};
expect_main(tests)
