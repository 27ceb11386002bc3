/* SPDX-License-Identifier: MIT
 *
 * A dispensary after twenty years: what it does each day and what it asks of a year, the page of
 * the year with its forecasts too, cost no more than after the first one. Work is counted in steps
 * of the database, so that the load of the machine has no part in it.
 */
#include <glib/gstdio.h>
#include <math.h>

#include "book/over.h"
#include "book/statement.h"
#include "expect.h"
#include "season/house_private.h"
#include "simpling/batch.h"
#include "simpling/house.h"
#include "simpling/picture.h"
#include "simpling/plan.h"
#include "simpling/today.h"

#define YEARS 20
#define MOST 1.3 /* times the work of the first year */

/* 30 places that have been asked, each with a stand. */
static const char places[] =
    "PRAGMA foreign_keys = OFF;"
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 30)"
    " INSERT INTO site (id, uuid, name, lat, lon, accuracy_m, at)"
    " SELECT i, printf('s%d', i), printf('Place %02d', i), 54 + i / 100.0, -2 - i / 100.0, 5, 1"
    " FROM n;"
    "INSERT INTO site_key SELECT printf('place %02d', id), id FROM site;"
    "INSERT INTO permission (uuid, site_id, given, by, day, written, at)"
    " SELECT printf('p%d', id), id, 1, 'the tenant', 10000, 0, 1 FROM site;"
    "INSERT INTO stand_note (uuid, mark, site_id, plant, kind, area_m2, cover_frac, day, at)"
    " SELECT printf('g%d', id), 'ANN', id, 'nettle', 'area', 60, 0.5, 10900, 1 FROM site;"
    "INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " SELECT 100 + id, printf('n%d', id), 'N', 'ANN', 2027, id, 1 FROM site;"
    "INSERT INTO spray_note (id, site_id, kind, day, since, source)"
    " SELECT 100 + id, id, 'unsprayed', 21160, 7000, 'the tenant' FROM site;";

/* One year: 60 harvests, jars and lots, 2,500 uses of 50 mL that leave 50 mL of 20 lots of the last
 * year and nothing of the others. The
 * year is in the setting `test_year`; ids are year * 10,000 + 1,000 for H, B, L, then the uses. */
static const char one_year[] =
    "CREATE TEMP TABLE y AS SELECT CAST(value AS INTEGER) AS y, CAST(value AS INTEGER) * 10000 AS"
    "   base, (CAST(value AS INTEGER) - 1970) * 36525 / 100 AS day FROM setting WHERE key ="
    "   'test_year';"
    "CREATE TEMP TABLE k AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n"
    "   WHERE i < 60) SELECT i, CASE i % 6 WHEN 0 THEN 'nettle/leaf' WHEN 1 THEN 'dandelion/leaf'"
    "   WHEN 2 THEN 'lime/flower' WHEN 3 THEN 'elder/flower' WHEN 4 THEN 'hawthorn/tops' ELSE"
    "   'yarrow/tops' END AS material FROM n;"
    "INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " SELECT base + 1000 * w + i, printf('t%d', base + 1000 * w + i), substr('HBL', w, 1), 'ANN', "
    "y,"
    "   i, 10 FROM y, k, (SELECT 1 AS w UNION ALL SELECT 2 UNION ALL SELECT 3);"
    "INSERT INTO harvest (id, site_id, material, stage, day, weight_g, named_by, signs, verdict,"
    "   reasons) SELECT base + 1000 + i, 1 + i % 30, material, 65, day + 150 + i, 1000, 'Edda',"
    "   'all of them', 'clear', '[]' FROM y, k;"
    "INSERT INTO batch (id, preparation, day, jars, jar_ml, brimful_ml, outside, keeping)"
    " SELECT base + 2000 + i, 'tincture', day + 150 + i, 1, 3000, 3100, 0, '[]' FROM y, k;"
    "INSERT INTO draw (id, uuid, taker_id, source_id, day, grams, at)"
    " SELECT base + 2000 + i, printf('b%d', base + i), base + 2000 + i, base + 1000 + i,"
    "   day + 150 + i, 1000, 20 FROM y, k;"
    "INSERT INTO charge (uuid, batch_id, draw_id, kind, day, material, state, grams, moisture_frac,"
    "   volume_ml_per_g, kept, kept_low, kept_high, at) SELECT printf('c%d', base + i), base + 2000"
    "   + i, base + 2000 + i, 'herb', day + 150 + i, material, 'fresh', 1000, 0.8, 0.9, 0.5, 0.4,"
    "   0.6, 20 FROM y, k;"
    "INSERT INTO charge (uuid, batch_id, kind, day, ml, strength_frac, mass_g, ethanol_g, acid_g,"
    "   glycerol_ml, sugar_g, words, at) SELECT printf('w%d', base + i), base + 2000 + i, 'liquid',"
    "   day + 150 + i, 2000, 0.6, 1800, 950, 0, 0, 0, 'spirit 60%', 20 FROM y, k;"
    "INSERT INTO lot (id, preparation, materials, day, unit, amount, use_by, ratio, mass_g,"
    "   ethanol_g, acid_g, glycerol_ml, sugar_g, outside) SELECT base + 3000 + i, 'tincture',"
    "   material, day + 180 + i, 'mL', iif(i > 40 AND y < 2027, 2050, 2100), day + 2000, 2, 0.93, "
    "0.35, 0, 0, 0, 0 FROM y, k;"
    "INSERT INTO draw (id, uuid, taker_id, source_id, day, grams, ml, at)"
    " SELECT base + 3000 + i, printf('l%d', base + i), base + 3000 + i, base + 2000 + i,"
    "   day + 180 + i, 1000, iif(i > 40 AND y < 2027, 2050, 2100), 30 FROM y, k;"
    "CREATE TEMP TABLE u AS WITH RECURSIVE n(j) AS (SELECT 0 UNION ALL SELECT j + 1 FROM n"
    "   WHERE j < 2499) SELECT j, 1 + j % 60 AS i FROM n;"
    "INSERT INTO thing (id, uuid, kind, mark, year, number, at)"
    " SELECT base + 5000 + j, printf('u%d', base + j), 'U', 'ANN', y, j + 1, 40 FROM y, u;"
    "INSERT INTO use (id, day, ref, by) SELECT base + 5000 + j, day + 241 + j / 60,"
    "   CAST(1000 + j % 300 AS TEXT), 'Edda' FROM y, u;"
    "INSERT INTO lot_use (uuid, lot_id, call, day, amount, ref, by, at, use_id)"
    " SELECT printf('o%d', base + j), base + 3000 + i, printf('u%d', base + j), day + 241 + j / 60,"
    "   50, CAST(1000 + j % 300 AS TEXT), 'Edda', 40, base + 5000 + j FROM y, u;"
    "DROP TABLE y; DROP TABLE k; DROP TABLE u; DELETE FROM setting WHERE key = 'test_year';";

struct dispensary {
    char *folder, *path;
    struct spl_house_options options;
};

static int set_up(void **state)
{
    struct dispensary *dispensary = g_new0(struct dispensary, 1);
    g_autoptr(GError) error = NULL;

    dispensary->folder = g_dir_make_tmp("spl-dispensary-XXXXXX", NULL);
    dispensary->path = g_build_filename(dispensary->folder, "book.db", NULL);
    dispensary->options = (struct spl_house_options){
        .book = dispensary->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 12, 20),
    };
    assert_true(spl_book_make(&dispensary->options, "ANN", NULL, &error));
    expect_ok(error);
    *state = dispensary;
    return 0;
}

static int tear_down(void **state)
{
    struct dispensary *dispensary = *state;

    g_unlink(dispensary->path);
    g_rmdir(dispensary->folder);
    g_free(dispensary->path);
    g_free(dispensary->folder);
    g_free(dispensary);
    return 0;
}

/* As a writing command leaves it. */
static void write_years(struct dispensary *dispensary, int from, int to)
{
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&dispensary->options, SPL_HOUSE_WRITE, &error);

    expect_ok(error);
    assert_true(spl_book_script(house->book, "PRAGMA synchronous = OFF", &error) &&
                spl_book_begin(house->book, &error));
    if (to == 2027)
        assert_true(spl_book_script(house->book, places, &error));
    for (int year = from; year <= to; year++) {
        assert_true(spl_book_execute(house->book, &error,
                                     "INSERT INTO setting (key, value) VALUES ('test_year', ?)",
                                     SPL_WITH(year)));
        assert_true(spl_book_script(house->book, one_year, &error));
    }
    assert_true(spl_book_commit(house->book, &error));
    expect_ok(error);
    spl_house_close(house);
}

struct cost {
    gint64 today, use, again, year, list, sheet, plan, page;
    guint open;
};

static void look_at_today(struct spl_house *house, struct cost *cost)
{
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;
    struct spl_today today;

    assert_true(spl_today(house, &today, &error));
    expect_ok(error);
    cost->today = spl_book_worked(house->book) - before;
    spl_record_clear(&spl_today_shape, &today);
}

/* What the year page says of the lots, and that it adds up. */
static void look_at_year(struct spl_house *house, struct cost *cost)
{
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;
    double out = 0.0;
    GArray *flows = spl_lot_year(house, &(struct spl_lot_year_question){2027}, &error);

    expect_ok(error);
    cost->year = spl_book_worked(house->book) - before;
    for (guint i = 0; i < flows->len; i++) {
        const struct spl_lot_flow *flow = &g_array_index(flows, struct spl_lot_flow, i);

        out += flow->out;
        assert_true(fabs(flow->before + flow->made - flow->out - flow->left) < 0.01);
    }
    assert_true(fabs(out - 2500 * 50) < 110); /* and what was given out by this test */
    spl_list_free(&spl_lot_flow_shape, flows);
}

static gboolean count_one(const struct spl_lot *lot, gpointer data, GError **error)
{
    (void)error;
    assert_true(lot->left_ml > 0.05);
    ++*(guint *)data;
    return TRUE;
}

static void look_at_shelf(struct spl_house *house, struct cost *cost)
{
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;

    assert_true(spl_lot_lines(house, &(struct spl_lot_question){.all = FALSE}, count_one,
                              &cost->open, &error));
    expect_ok(error);
    cost->list = spl_book_worked(house->book) - before;
}

/* The sheet to count by, of all that stands. */
static void look_at_sheet(struct dispensary *dispensary, struct spl_house *house, struct cost *cost)
{
    g_autofree char *path = g_build_filename(dispensary->folder, "sheet.csv", NULL);
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;
    GArray *lines = spl_lot_count_sheet(
        house,
        &(struct spl_lot_count_words){.counted = {NAN, NAN}, .sheet = path, .on = SPL_DAY_NONE},
        &error);

    expect_ok(error);
    cost->sheet = spl_book_worked(house->book) - before;
    assert_true(lines->len >= 20);
    spl_list_free(&spl_counted_shape, lines);
    g_unlink(path);
}

static void look_at_plan(struct spl_house *house, struct cost *cost)
{
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;
    GArray *lines = spl_plan_year(
        house,
        &(struct spl_plan_year_words){.season = 2028, .amount = {NAN, NAN}, .by = SPL_DAY_NONE},
        &error);

    expect_ok(error);
    cost->plan = spl_book_worked(house->book) - before;
    assert_int_equal(lines->len, 6);
    spl_list_free(&spl_plan_year_line_shape, lines);
}

static void look_at_page(struct dispensary *dispensary, struct spl_house *house, struct cost *cost)
{
    g_autofree char *path = g_build_filename(dispensary->folder, "year.svg", NULL);
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;
    struct spl_picture picture;

    assert_true(spl_picture_draw_year(
        house, &(struct spl_picture_year_words){{.out = path, .dpi = SPL_COUNT_NONE}, 2027},
        &picture, &error));
    expect_ok(error);
    cost->page = spl_book_worked(house->book) - before;
    spl_record_clear(&spl_picture_shape, &picture);
    g_unlink(path);
}

static gint64 give(struct spl_house *house, const struct spl_lot_use_words *words)
{
    const gint64 before = spl_book_worked(house->book);
    g_autoptr(GError) error = NULL;
    g_autoptr(GPtrArray) cautions = NULL;
    struct spl_dispensed given;

    assert_true(spl_lot_give(house, words, &given, &cautions, &error));
    expect_ok(error);
    spl_record_clear(&spl_dispensed_shape, &given);
    return spl_book_worked(house->book) - before;
}

static struct cost cost_of(struct dispensary *dispensary)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) lots = g_array_new(FALSE, FALSE, sizeof(struct spl_source_words));
    const struct spl_source_words lot = {.code = "L27-045", .amount = {.g = NAN, .ml = 5}};
    struct spl_house *house = spl_house_open(&dispensary->options, SPL_HOUSE_WRITE, &error);
    struct cost cost = {0};
    guint wrong;

    expect_ok(error);
    g_array_append_val(lots, lot);
    cost.use =
        give(house, &(struct spl_lot_use_words){.lots = lots, .ref = "7042", .on = SPL_DAY_NONE});
    cost.again =
        give(house, &(struct spl_lot_use_words){.again = TRUE, .ref = "7042", .on = SPL_DAY_NONE});
    assert_true(spl_over_faults(house->book, &wrong, &error));
    expect_ok(error);
    assert_int_equal(wrong, 0);
    spl_house_close(house);
    house = spl_house_open(&dispensary->options, SPL_HOUSE_READ, &error);
    expect_ok(error);
    look_at_today(house, &cost);
    look_at_shelf(house, &cost);
    look_at_year(house, &cost);
    look_at_sheet(dispensary, house, &cost);
    look_at_plan(house, &cost);
    look_at_page(dispensary, house, &cost);
    spl_house_close(house);
    return cost;
}

static void expect_no_more(const char *what, gint64 once, gint64 later)
{
    print_message("%s: %" G_GINT64_FORMAT " steps after a year, %" G_GINT64_FORMAT
                  " after %d years\n",
                  what, once, later, YEARS);
    if ((double)later > MOST * (double)once)
        fail_msg("%s: %" G_GINT64_FORMAT " steps after %d years and %" G_GINT64_FORMAT
                 " after the first",
                 what, later, YEARS, once);
}

static void twenty_years_cost_what_one_does(void **state)
{
    struct dispensary *dispensary = *state;
    struct cost once, later;

    write_years(dispensary, 2027, 2027);
    once = cost_of(dispensary);
    assert_int_equal(once.open, 20); /* of 60 those with 41 uses: number 41 to 60 */
    write_years(dispensary, 2027 - YEARS + 1, 2026);
    later = cost_of(dispensary);
    expect_no_more("today", once.today, later.today);
    expect_no_more("a use", once.use, later.use);
    expect_no_more("the same again", once.again, later.again);
    expect_no_more("the year's lots", once.year, later.year);
    expect_no_more("the sheet to count by", once.sheet, later.sheet);
    expect_no_more("what to make", once.plan, later.plan);
    expect_no_more("the year's page", once.page, later.page);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(twenty_years_cost_what_one_does, set_up, tear_down),
};
expect_main(tests)
