/* SPDX-License-Identifier: MIT
 *
 * A trace through 100,000 harvests, 20,000 batches and 20,000 lots, mixed six deep: what it reaches
 * is what a second reckoning reaches, by index, and at the price of index look-ups.
 */
#include <math.h>

#include <glib/gstdio.h>

#include "book/statement.h"
#include "book/trace.h"
#include "expect.h"
#include "season/house_private.h"
#include "simpling/trace.h"

#define BATCHES 20000
#define PER_BATCH 5 /* harvests in each: 100,000 */
#define DEPTH 6
#define SITES 10000

struct large {
    char *folder, *path;
    struct spl_house *house;
};

static int set_up(void **state)
{
    struct large *large = g_new0(struct large, 1);
    g_autoptr(GError) error = NULL;
    struct spl_house_options options = {.data = SPL_SOURCE_DIR "/data",
                                        .today = spl_day_from_ymd(2027, 6, 20)};
    g_autofree char *fill = NULL;
    struct spl_book *book;

    g_file_get_contents(SPL_SOURCE_DIR "/tests/season/trace_large.sql", &fill, NULL, &error);
    expect_ok(error);
    large->folder = g_dir_make_tmp("spl-trace-XXXXXX", NULL);
    large->path = g_build_filename(large->folder, "book.db", NULL);
    options.book = large->path;
    book = spl_book_open(large->path, SPL_BOOK_MAKE, &error);
    expect_ok(error);
    assert_true(spl_book_begin(book, &error));
    if (!spl_book_script(book, fill, &error))
        fail_msg("%s", error->message);
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    large->house = spl_house_open(&options, SPL_HOUSE_READ, &error);
    expect_ok(error);
    *state = large;
    return 0;
}

static int tear_down(void **state)
{
    struct large *large = *state;

    spl_house_close(large->house);
    g_unlink(large->path);
    g_rmdir(large->folder);
    g_free(large->path);
    g_free(large->folder);
    g_free(large);
    return 0;
}

/* Marks the batches that a batch reaches, by walking the rule of the filling itself. */
static void walk(gboolean *batches, int i)
{
    if (i > BATCHES || batches[i])
        return;
    batches[i] = TRUE;
    if ((i + 1) % DEPTH != 1)
        walk(batches, i + 1);
    if ((i + 7) % DEPTH != 1)
        walk(batches, i + 7);
}

static void a_trace_reaches_just_what_the_rule_of_the_book_says(void **state)
{
    struct large *large = *state;

    for (int harvest = 1; harvest <= 100000; harvest += 9973) {
        g_autofree gboolean *batches = g_new0(gboolean, BATCHES + 1);
        g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64)), reached = NULL;
        g_autoptr(GError) error = NULL;
        gint64 id = harvest;
        guint expected = 1, found = 0;

        walk(batches, 1 + (harvest - 1) / PER_BATCH);
        for (int i = 1; i <= BATCHES; i++)
            expected += batches[i] ? 2 : 0; /* the batch and its lot */
        g_array_append_val(seeds, id);
        reached = spl_trace_reach(large->house->book, seeds, TRUE, &error);
        expect_ok(error);
        for (guint k = 0; k < reached->len; k++) {
            const struct spl_reached *one = &g_array_index(reached, struct spl_reached, k);

            if (one->kind == 'B')
                assert_true(batches[one->id - 100000]);
            found++;
        }
        assert_int_equal(found, expected);
    }
}

static void a_trace_costs_no_more_than_two_index_look_ups_a_row(void **state)
{
    struct large *large = *state;
    struct spl_book *book = large->house->book;
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GError) error = NULL;
    double best_trace = INFINITY, best_look_up = INFINITY;
    sqlite3_stmt *look_up;
    guint rows = 0;

    assert_int_equal(sqlite3_prepare_v2(spl_book_handle(book),
                                        "SELECT taker_id FROM draw WHERE source_id = ?", -1,
                                        &look_up, NULL),
                     SQLITE_OK);
    for (gint64 id = 1; id <= 100000; id += 10)
        g_array_append_val(seeds, id);
    for (int run = 0; run < 5; run++) {
        gint64 start = g_get_monotonic_time(), sum = 0;
        g_autoptr(GArray) list = spl_trace_reach(book, seeds, TRUE, &error);

        expect_ok(error);
        rows = list->len;
        best_trace = MIN(best_trace, (double)(g_get_monotonic_time() - start) / rows);
        start = g_get_monotonic_time();
        for (guint i = 0; i < rows; i++) {
            sqlite3_bind_int64(look_up, 1, g_array_index(list, struct spl_reached, i).id);
            if (sqlite3_step(look_up) == SQLITE_ROW)
                sum += sqlite3_column_int64(look_up, 0);
            sqlite3_reset(look_up);
        }
        assert_true(sum > 0);
        best_look_up = MIN(best_look_up, (double)(g_get_monotonic_time() - start) / rows);
    }
    sqlite3_finalize(look_up);
    print_message("trace %.3f us a row (%u rows), index look-up %.3f us\n", best_trace, rows,
                  best_look_up);
    assert_true(rows > 40000);
    assert_true(best_trace <= 2.0 * best_look_up);
}

static void no_step_of_a_trace_reads_a_whole_table(void **state)
{
    static const char *const questions[] = {
        "EXPLAIN QUERY PLAN WITH RECURSIVE reach (id) AS (SELECT value FROM json_each('[1]') UNION"
        " SELECT d.taker_id FROM reach JOIN draw_now d ON d.source_id = reach.id)"
        " SELECT t.id, t.kind FROM reach JOIN thing t ON t.id = reach.id ORDER BY t.kind, t.id",
        "EXPLAIN QUERY PLAN SELECT id FROM harvest_now WHERE site_id = 5 AND day >= 1 AND day <= 2",
        "EXPLAIN QUERY PLAN SELECT * FROM lot_now WHERE id = 120001",
        "EXPLAIN QUERY PLAN SELECT * FROM batch_now WHERE id = 100001",
        "EXPLAIN QUERY PLAN SELECT * FROM drying_now WHERE id = 5",
        "EXPLAIN QUERY PLAN SELECT * FROM purchase_now WHERE id = 5"};
    struct large *large = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(questions); i++) {
        sqlite3_stmt *row;
        sqlite3 *db = spl_book_handle(large->house->book);

        assert_int_equal(sqlite3_prepare_v2(db, questions[i], -1, &row, NULL), SQLITE_OK);
        while (sqlite3_step(row) == SQLITE_ROW) {
            const char *detail = (const char *)sqlite3_column_text(row, 3);

            if (g_str_has_prefix(detail, "SCAN ") && strstr(detail, "reach") == NULL &&
                strstr(detail, "json_each") == NULL && strstr(detail, "CONSTANT") == NULL)
                fail_msg("%s: %s", questions[i], detail);
        }
        sqlite3_finalize(row);
    }
}

static void a_sprayed_place_is_answered_whole(void **state)
{
    struct large *large = *state;
    g_autoptr(GError) error = NULL;
    struct spl_trace_words words = {
        .of = "Place 00042", .sprayed = spl_day_from_ymd(2026, 6, 1), .within_m = NAN};
    struct spl_trace trace;
    gint64 start = g_get_monotonic_time();
    guint rows;

    if (!spl_trace_follow(large->house, &words, &trace, &error))
        fail_msg("%s", error->message);
    rows = trace.harvests->len + trace.batches->len + trace.lots->len;
    print_message("a place with all its records: %u rows in %.1f ms\n", rows,
                  (double)(g_get_monotonic_time() - start) / 1000.0);
    assert_int_equal(trace.harvests->len, 10);
    assert_true(trace.lots->len >= 10);
    spl_record_clear(&spl_trace_shape, &trace);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_trace_reaches_just_what_the_rule_of_the_book_says),
    cmocka_unit_test(a_trace_costs_no_more_than_two_index_look_ups_a_row),
    cmocka_unit_test(no_step_of_a_trace_reads_a_whole_table),
    cmocka_unit_test(a_sprayed_place_is_answered_whole),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
