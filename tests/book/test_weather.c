/* SPDX-License-Identifier: MIT
 *
 * Weather in the book: stations, days and normals read again, the lists, fixed windows.
 */
#include "shelf.h"

#include <math.h>

#include "book/site.h"
#include "book/weather.h"
#include "book/window.h"

static gint64 put(struct spl_book *book, const char *name, double lat, double elevation_m)
{
    struct spl_station station = {.name = (char *)name,
                                  .lat = lat,
                                  .lon = isnan(lat) ? NAN : -2.5,
                                  .elevation_m = elevation_m};
    g_autoptr(GError) error = NULL;

    if (!spl_station_put(book, &station, &error))
        fail_msg("%s", error->message);
    return station.id;
}

static GArray *some_days(int n, double low)
{
    GArray *days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));

    for (int i = 0; i < n; i++) {
        struct spl_weather_day day = {spl_day_from_ymd(2027, 3, 1 + i), low, low + 8};

        g_array_append_val(days, day);
    }
    return days;
}

static void a_station_is_one_under_any_spelling(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    const struct spl_station *station;
    GArray *all;
    gint64 first;

    assert_true(spl_book_begin(book, &error));
    first = put(book, "Low Mill", 54.6, NAN);
    assert_int_equal(put(book, "low  mill", NAN, 120), first);
    assert_true(put(book, "High Moor", NAN, NAN) != first);
    assert_true(spl_book_commit(book, &error));
    all = spl_station_all(book, &error);
    assert_int_equal(all->len, 2);
    station = &g_array_index(all, struct spl_station, 1);
    assert_string_equal(station->name, "Low Mill");
    expect_near(station->lat, 54.6, 1e-9, "degrees");  /* kept */
    expect_near(station->elevation_m, 120, 1e-9, "m"); /* added */
    assert_int_equal(station->days, 0);
    assert_false(spl_day_is_set(station->first));
    spl_list_free(&spl_station_shape, all);
    spl_book_close(book);
}

static void reading_again_replaces_days(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GArray) cold = some_days(5, -3), mild = some_days(2, 4);
    g_autoptr(GArray) back = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
    g_autoptr(GError) error = NULL;
    GArray *all;
    gint64 id;

    assert_true(spl_book_begin(book, &error));
    id = put(book, "Low Mill", 54.6, 120);
    assert_true(spl_weather_put_days(book, id, cold, NULL, &error));
    assert_true(spl_weather_put_days(book, id, mild, NULL, &error));
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_weather_days(book, id, SPL_DAY_NONE, SPL_DAY_NONE, back, &error));
    assert_int_equal(back->len, 5);
    expect_near(g_array_index(back, struct spl_weather_day, 1).tmin_c, 4, 1e-9, "C");
    expect_near(g_array_index(back, struct spl_weather_day, 2).tmin_c, -3, 1e-9, "C");
    g_array_set_size(back, 0);
    assert_true(spl_weather_days(book, id, spl_day_from_ymd(2027, 3, 2),
                                 spl_day_from_ymd(2027, 3, 3), back, &error));
    assert_int_equal(back->len, 2);
    all = spl_station_all(book, &error);
    assert_int_equal(g_array_index(all, struct spl_station, 0).days, 5);
    assert_int_equal(g_array_index(all, struct spl_station, 0).last.n,
                     spl_day_from_ymd(2027, 3, 5).n);
    spl_list_free(&spl_station_shape, all);
    spl_book_close(book);
}

static void what_cannot_be_is_not_written(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GArray) days = some_days(1, 70);
    g_autoptr(GError) error = NULL;
    gint64 id;

    assert_true(spl_book_begin(book, &error));
    id = put(book, "Low Mill", 54.6, 120);
    assert_false(spl_weather_put_days(book, id, days, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "nothing was changed");
    spl_book_rollback(book);
    spl_book_close(book);
}

static void normals_are_twelve_or_none(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    double mean[12], range[12], mean_back[12], range_back[12];
    g_autoptr(GError) error = NULL;
    gboolean there = TRUE;
    gint64 id;

    for (int m = 0; m < 12; m++) {
        mean[m] = m + 0.5;
        range[m] = m == 3 ? NAN : 8;
    }
    assert_true(spl_book_begin(book, &error));
    id = put(book, "Low Mill", 54.6, 120);
    assert_true(spl_weather_normals(book, id, &there, mean_back, range_back, &error));
    assert_false(there);
    assert_true(spl_weather_put_normals(book, id, mean, range, &error));
    assert_true(spl_weather_put_normals(book, id, mean, range, &error));
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_weather_normals(book, id, &there, mean_back, range_back, &error));
    assert_true(there);
    expect_near(mean_back[11], 11.5, 1e-9, "C");
    assert_true(isnan(range_back[3]));
    spl_book_close(book);
}

static void the_last_fix_of_a_window_holds(void **state)
{
    struct shelf *shelf = *state;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_window_fix fix = {.material = (char *)"nettle/leaf",
                                 .use = (char *)"food",
                                 .flush = 1,
                                 .year = 2027,
                                 .start = {20900},
                                 .end = {20910}};
    struct spl_window_fixes *fixes;
    struct spl_day start, end;

    fix.site_id = shelf_site(book, "Withy Gill");
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_window_fix_add(book, &fix, &error));
    fix.start.n += 3;
    assert_true(spl_window_fix_add(book, &fix, &error));
    assert_true(spl_book_commit(book, &error));
    fixes = spl_window_fixes_load(book, 2027, spl_day_from_ymd(2100, 1, 1), &error);
    assert_true(spl_window_fixes_find(fixes, fix.site_id, "nettle/leaf", "food", 1, &start, &end));
    assert_int_equal(start.n, 20903);
    assert_int_equal(end.n, 20910);
    assert_false(
        spl_window_fixes_find(fixes, fix.site_id, "nettle/leaf", "medicine", 1, &start, &end));
    assert_false(spl_window_fixes_find(fixes, fix.site_id, "nettle/leaf", "food", 2, &start, &end));
    spl_window_fixes_free(fixes);
    fixes = spl_window_fixes_load(book, 2028, spl_day_from_ymd(2100, 1, 1), &error);
    assert_false(spl_window_fixes_find(fixes, fix.site_id, "nettle/leaf", "food", 1, &start, &end));
    spl_window_fixes_free(fixes);

    assert_true(spl_book_begin(book, &error));
    fix.start = fix.end = SPL_DAY_NONE; /* let go */
    assert_true(spl_window_fix_add(book, &fix, &error));
    assert_true(spl_book_commit(book, &error));
    fixes = spl_window_fixes_load(book, 2027, spl_day_from_ymd(2100, 1, 1), &error);
    assert_false(spl_window_fixes_find(fixes, fix.site_id, "nettle/leaf", "food", 1, &start, &end));
    spl_window_fixes_free(fixes);
    spl_book_close(book);
}

#define shelf_test(test) cmocka_unit_test_setup_teardown(test, shelf_set_up, shelf_tear_down)

static const struct CMUnitTest tests[] = {
    shelf_test(a_station_is_one_under_any_spelling), shelf_test(reading_again_replaces_days),
    shelf_test(what_cannot_be_is_not_written),       shelf_test(normals_are_twelve_or_none),
    shelf_test(the_last_fix_of_a_window_holds),
};
expect_main(tests)
