/* SPDX-License-Identifier: MIT
 *
 * What a calendar that has not changed costs: of each batch that stands the book is asked for its
 * own rows and nothing else. What holds it, and what was written of each of its steps before, is
 * read once for all.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <sqlite3.h>
#include <string.h>

#include "book/batch.h"
#include "book/harvest.h"
#include "book/site.h"
#include "book/statement.h"
#include "expect.h"
#include "season/house_private.h"
#include "simpling/calendar.h"
#include "simpling/house.h"

#define ASKED_MOST                                                                                 \
    4 /* questions for one batch more: what went in, what was done, what was moved                 \
       */

struct shop {
    char *folder, *path, *calendar;
    struct spl_house_options options;
};

static int set_up(void **state)
{
    struct shop *shop = g_new0(struct shop, 1);
    g_autoptr(GError) error = NULL;

    shop->folder = g_dir_make_tmp("spl-calendar-work-XXXXXX", NULL);
    shop->path = g_build_filename(shop->folder, "book.db", NULL);
    shop->calendar = g_build_filename(shop->folder, "herbs.ics", NULL);
    shop->options = (struct spl_house_options){
        .book = shop->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 6, 20),
    };
    assert_true(spl_book_make(&shop->options, "ANN", NULL, &error));
    expect_ok(error);
    *state = shop;
    return 0;
}

static int tear_down(void **state)
{
    struct shop *shop = *state;

    g_unlink(shop->calendar);
    g_unlink(shop->path);
    g_rmdir(shop->folder);
    g_free(shop->calendar);
    g_free(shop->path);
    g_free(shop->folder);
    g_free(shop);
    return 0;
}

/* A harvest from a place of which nothing is known, so that all that comes of it is held. */
static gint64 add_harvest(struct spl_book *book)
{
    g_autoptr(GError) error = NULL;
    struct spl_site site = {.name = g_strdup("Withy Gill"),
                            .lat = 54.5,
                            .lon = -2.5,
                            .accuracy_m = 5,
                            .contaminated_on = SPL_DAY_NONE};
    struct spl_harvest harvest = {.material = g_strdup("nettle/leaf"),
                                  .stage = 41,
                                  .date = spl_day_from_ymd(2027, 6, 1),
                                  .weight_g = 9000,
                                  .garbled_g = NAN,
                                  .by = g_strdup("Ann"),
                                  .verdict = SPL_VERDICT_ASK,
                                  .reasons_json = g_strdup("[]")};
    gint64 id;

    assert_true(spl_site_add(book, &site, &error));
    harvest.site_id = site.id;
    assert_true(spl_harvest_add(book, &harvest, &error));
    expect_ok(error);
    id = harvest.id;
    spl_record_clear(&spl_site_shape, &site);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return id;
}

static void add_batch(struct spl_book *book, gint64 harvest_id)
{
    g_autoptr(GError) error = NULL;
    struct spl_day day = spl_day_from_ymd(2027, 6, 2);
    struct spl_batch_row row = {.preparation = g_strdup("tincture"),
                                .keeping = g_strdup("table"),
                                .day = day,
                                .jars = 1,
                                .jar_ml = 500,
                                .brimful_ml = 520,
                                .by = g_strdup("Ann")};
    struct spl_charge_row herb = {.kind = SPL_CHARGE_HERB,
                                  .source_id = harvest_id,
                                  .day = day,
                                  .titrated_on = SPL_DAY_NONE,
                                  .material = (char *)"nettle/leaf",
                                  .state = SPL_HERB_FRESH,
                                  .grams = 87,
                                  .moisture_frac = 0.85,
                                  .volume_ml_per_g = 1,
                                  .kept_ml_per_g = {1.25, 1.0, 1.5, NULL},
                                  .strength_frac = NAN};

    assert_true(spl_batch_add(book, &row, &error));
    assert_true(spl_charge_add(book, row.id, &herb, &error));
    expect_ok(error);
    spl_batch_row_clear(&row);
}

static void add_batches(struct shop *shop, gint64 *harvest_id, int n)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&shop->options, SPL_HOUSE_WRITE, &error);

    expect_ok(error);
    assert_true(spl_book_begin(house->book, &error));
    if (*harvest_id == 0)
        *harvest_id = add_harvest(house->book);
    for (int i = 0; i < n; i++)
        add_batch(house->book, *harvest_id);
    assert_true(spl_book_commit(house->book, &error));
    expect_ok(error);
    spl_house_close(house);
}

static int count(unsigned event, void *asked, void *stmt, void *text)
{
    (void)event;
    (void)stmt;
    (void)text;
    ++*(int *)asked;
    return 0;
}

/* Writes the calendar; how many questions the book was asked. */
static int write_calendar(struct shop *shop, struct spl_calendar_written *written)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&shop->options, SPL_HOUSE_WRITE, &error);
    const struct spl_calendar_words words = {
        .out = shop->calendar, .from = SPL_DAY_NONE, .to = SPL_DAY_NONE};
    int asked = 0;

    expect_ok(error);
    assert_int_equal(
        sqlite3_trace_v2(spl_book_handle(house->book), SQLITE_TRACE_STMT, count, &asked),
        SQLITE_OK);
    assert_true(spl_calendar_write(house, &words, NULL, written, &error));
    expect_ok(error);
    spl_house_close(house);
    return asked;
}

static int write_again(struct shop *shop, int batches)
{
    struct spl_calendar_written written;
    int events, asked;

    (void)write_calendar(shop, &written);
    events = written.events;
    spl_record_clear(&spl_calendar_written_shape, &written);
    asked = write_calendar(shop, &written);
    assert_int_equal(written.events, events);
    assert_true(written.events >= 3 * batches); /* each has its steps */
    assert_int_equal(written.fresh + written.changed + written.cancelled, 0);
    spl_record_clear(&spl_calendar_written_shape, &written);
    return asked;
}

static void a_batch_more_is_a_few_questions_more(void **state)
{
    struct shop *shop = *state;
    g_autofree char *text = NULL;
    gint64 harvest_id = 0;
    int few, many;

    add_batches(shop, &harvest_id, 10);
    few = write_again(shop, 10);
    add_batches(shop, &harvest_id, 40);
    many = write_again(shop, 50);
    print_message("a calendar of 10 batches asks %d times, one of 50 %d times\n", few, many);
    assert_true(g_file_get_contents(shop->calendar, &text, NULL, NULL));
    assert_non_null(strstr(text, "(HELD)"));
    if (many - few > 40 * ASKED_MOST)
        fail_msg("40 batches more are %d questions more", many - few);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_batch_more_is_a_few_questions_more, set_up, tear_down),
};
expect_main(tests)
