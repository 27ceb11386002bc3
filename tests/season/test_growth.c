/* SPDX-License-Identifier: MIT
 *
 * The day's screen costs what is known to grow and what is asked, not the log: of a log twice as
 * long, without a new question, it walks hardly more rows.
 */
#include <glib/gstdio.h>
#include <string.h>
#include <time.h>

#include "book/statement.h"
#include "expect.h"
#include "season/house_private.h"
#include "simpling/hazard.h"
#include "simpling/house.h"
#include "simpling/site.h"
#include "simpling/today.h"

/* 2,000 places with leave and a word that reaches far back, 50 with a stand of nettle, a harvest of
 * lime at each in ten years; one place of which it is known now that it was sprayed. */
static const char fill[] =
    "PRAGMA foreign_keys = OFF;" /* ids are those of the rows themselves */
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2000)"
    " INSERT INTO site (id, uuid, name, lat, lon, accuracy_m, at)"
    " SELECT i, printf('s%d', i), printf('Place %05d', i), 50 + i / 1000.0, -2 - i / 1000.0, 5, 1"
    " FROM n;"
    "INSERT INTO site_key SELECT printf('place %05d', id), id FROM site;"
    "INSERT INTO permission (uuid, site_id, given, by, day, written, at)"
    " SELECT printf('p%d', id), id, 1, 'the tenant', 10000, 0, 1 FROM site;"
    "INSERT INTO stand_note (uuid, mark, site_id, plant, kind, area_m2, cover_frac, day, at)"
    " SELECT printf('g%d', id), 'ANN', id, 'nettle', 'area', 60, 0.5, 20900, 1 FROM site"
    " WHERE id % 40 = 0;"
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2000)"
    " INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " SELECT 200000 + i, printf('n%d', i), 'N', 'ANN', 2027, i, 1 FROM n;"
    "INSERT INTO spray_note (id, site_id, kind, day, since, source)"
    " SELECT id, id - 200000, 'unsprayed', 20980, 10000, 'the tenant' FROM thing"
    " WHERE kind = 'N';"
    "INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " VALUES (300001, 'sprayed', 'N', 'ANN', 2027, 20001, 3);"
    "INSERT INTO spray_note (id, site_id, kind, day, source) VALUES (300001, 77, 'sprayed', 19400,"
    " 'a neighbour');";

/* Ten years more, of every place but the one that is asked about. */
static const char ten_years[] =
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000)"
    " INSERT INTO thing (uuid, kind, mark, year, number, at)"
    " SELECT printf('h%d-%d', i, count), 'H', 'ANN', 2017 + i % 10, count + i, 1 FROM n,"
    "   (SELECT count(*) AS count FROM thing WHERE kind = 'H');"
    "INSERT INTO harvest (id, site_id, material, stage, day, weight_g, verdict, reasons)"
    " SELECT t.id, 1 + t.number % 2000, 'lime/flower', 65, 17300 + 365 * (t.year - 2017), 100,"
    "   'clear', '[]' FROM thing t WHERE t.kind = 'H' AND t.id NOT IN (SELECT id FROM harvest);";
static const char not_there[] =
    "DELETE FROM harvest WHERE site_id = 77 AND id NOT IN (SELECT min(id) FROM harvest GROUP BY"
    " site_id, day);"
    "DELETE FROM thing WHERE kind = 'H' AND id NOT IN (SELECT id FROM harvest);";

struct growing {
    char *folder, *path;
    struct spl_house_options options;
};

static int set_up(void **state)
{
    struct growing *growing = g_new0(struct growing, 1);
    g_autoptr(GError) error = NULL;

    growing->folder = g_dir_make_tmp("spl-growth-XXXXXX", NULL);
    growing->path = g_build_filename(growing->folder, "book.db", NULL);
    growing->options = (struct spl_house_options){
        .book = growing->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 6, 20),
    };
    assert_true(spl_book_make(&growing->options, "ANN", NULL, &error));
    expect_ok(error);
    *state = growing;
    return 0;
}

static int tear_down(void **state)
{
    struct growing *growing = *state;

    g_unlink(growing->path);
    g_rmdir(growing->folder);
    g_free(growing->path);
    g_free(growing->folder);
    g_free(growing);
    return 0;
}

/* As a writing command leaves it: what was touched is judged. */
static void write_rows(struct growing *growing, const char *const *scripts)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&growing->options, SPL_HOUSE_WRITE, &error);

    expect_ok(error);
    assert_true(spl_book_script(house->book, "PRAGMA synchronous = OFF", &error) &&
                spl_book_begin(house->book, &error));
    for (; *scripts != NULL; scripts++)
        assert_true(spl_book_script(house->book, *scripts, &error));
    assert_true(spl_book_commit(house->book, &error));
    expect_ok(error);
    spl_house_close(house);
}

struct cost {
    gint64 scanned, cpu_us;
    guint questions, gather;
};

static struct cost cost_of_today(struct growing *growing)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&growing->options, SPL_HOUSE_READ, &error);
    const clock_t before = clock();
    struct spl_today today;
    struct cost cost;

    expect_ok(error);
    assert_true(spl_today(house, &today, &error));
    expect_ok(error);
    cost = (struct cost){.scanned = spl_book_scanned(house->book),
                         .cpu_us = (gint64)(clock() - before) * 1000000 / CLOCKS_PER_SEC,
                         .questions = today.questions->len,
                         .gather = today.gather->len};
    spl_record_clear(&spl_today_shape, &today);
    spl_house_close(house);
    return cost;
}

static void a_log_twice_as_long_costs_no_more(void **state)
{
    struct growing *growing = *state;
    struct cost once, twice;

    write_rows(growing, (const char *const[]){fill, ten_years, NULL});
    once = cost_of_today(growing);
    assert_int_equal(once.questions, 1);
    assert_true(once.gather > 0);
    write_rows(growing, (const char *const[]){ten_years, not_there, NULL});
    twice = cost_of_today(growing);
    assert_int_equal(twice.questions, once.questions);
    print_message("today: %" G_GINT64_FORMAT " ms of processor and %" G_GINT64_FORMAT
                  " rows walked, of a log twice as long %" G_GINT64_FORMAT
                  " ms and %" G_GINT64_FORMAT "\n",
                  once.cpu_us / 1000, once.scanned, twice.cpu_us / 1000, twice.scanned);
    if (twice.scanned > once.scanned + once.scanned / 10)
        fail_msg("of a log twice as long %" G_GINT64_FORMAT
                 " rows are walked, not %" G_GINT64_FORMAT,
                 twice.scanned, once.scanned);
}

/* Rows that are walked to note something of the place that was once sprayed, and to put a field
 * beside it. */
static gint64 cost_of_words(struct growing *growing, const char *field)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&growing->options, SPL_HOUSE_WRITE, &error);
    const struct spl_spray_words words = {.site = "Place 00077",
                                          .kind = "unsprayed",
                                          .source = "the tenant",
                                          .on = spl_day_from_ymd(2027, 6, 18),
                                          .since = spl_day_from_ymd(2026, 6, 18),
                                          .until = SPL_DAY_NONE};
    struct spl_hazard_words beside;
    struct spl_hazard_layer layer;
    struct spl_spray_record note;
    GPtrArray *touched;
    gint64 scanned;

    expect_ok(error);
    assert_true(spl_spray_note_add(house, &words, &note, &touched, &error));
    expect_ok(error);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_spray_record_shape, &note);
    spl_inputs_init(&spl_hazard_inputs, &beside);
    beside.name = field;
    beside.method = "boom";
    beside.at = (struct spl_coordinates){50.077, -2.077};
    beside.radius_m = 30;
    beside.on = spl_day_from_ymd(2020, 5, 1);
    beside.source = "seen";
    assert_true(spl_hazard_new(house, &beside, &layer, &touched, &error));
    expect_ok(error);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_hazard_layer_shape, &layer);
    scanned = spl_book_scanned(house->book);
    spl_house_close(house);
    return scanned;
}

/* Only the neighbours are judged again, not every harvest of the log. */
static void what_is_noted_of_ground_costs_its_neighbours(void **state)
{
    struct growing *growing = *state;
    gint64 once, twice;

    write_rows(growing, (const char *const[]){fill, ten_years, NULL});
    once = cost_of_words(growing, "the first field");
    write_rows(growing, (const char *const[]){ten_years, not_there, NULL});
    twice = cost_of_words(growing, "the second field");
    if (twice > once + once / 10)
        fail_msg("of a log twice as long %" G_GINT64_FORMAT
                 " rows are walked, not %" G_GINT64_FORMAT,
                 twice, once);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(what_is_noted_of_ground_costs_its_neighbours, set_up,
                                    tear_down),
    cmocka_unit_test_setup_teardown(a_log_twice_as_long_costs_no_more, set_up, tear_down),
};
expect_main(tests)
