/* SPDX-License-Identifier: MIT
 *
 * Rows of an almanac: their days in any season and hemisphere, and bad ones refused by name.
 */
#include "core/almanac.h"
#include "expect.h"

static void make_row(struct spl_almanac_row *row, const char *material, int month, int dom,
                     int days, double stage_from, double stage_to)
{
    spl_almanac_row_init(row);
    row->almanac = g_strdup("Invented almanac");
    row->uid = g_strdup("row-1");
    row->material = g_strdup(material);
    row->use = g_strdup("medicine");
    row->start = spl_day_from_ymd(2020, month, dom);
    row->end = spl_day_add(row->start, days - 1);
    row->stage_from = stage_from;
    row->stage_to = stage_to;
    row->lat = 50;
    row->lon = 10;
    row->elevation_m = 100;
}

static void row_free(struct spl_almanac_row *row)
{
    spl_record_clear(&spl_almanac_row_shape, row);
}

static struct spl_day ymd(int month, int dom)
{
    return spl_day_from_ymd(2027, month, dom);
}

#define expect_day(got, wanted)                                                                    \
    do {                                                                                           \
        char got_[SPL_DAY_TEXT_SIZE], wanted_[SPL_DAY_TEXT_SIZE];                                  \
        assert_string_equal(spl_day_format(got, got_), spl_day_format(wanted, wanted_));           \
    } while (0)

static void a_southern_almanac_serves_the_north_too(void **state)
{
    struct spl_almanac_row row;
    struct spl_day start, end;

    (void)state;
    make_row(&row, "dandelion/flower", 10, 30, 10, 61, 65);
    row.lat = -40;
    spl_almanac_row_days(&row, 2027, -40, &start, &end);
    expect_day(start, ymd(10, 30));
    spl_almanac_row_days(&row, 2027, 50, &start, &end);
    expect_day(start, ymd(5, 1));
    expect_day(end, ymd(5, 10));
    /* February of the season 2027 lies in 2028 in the south, in August 2027 in the north. */
    row.start = spl_day_from_ymd(2020, 2, 1);
    row.end = spl_day_from_ymd(2020, 2, 20);
    spl_almanac_row_days(&row, 2027, -40, &start, &end);
    expect_day(start, spl_day_from_ymd(2028, 2, 1));
    spl_almanac_row_days(&row, 2027, 50, &start, &end);
    expect_day(start, ymd(8, 3));
    row_free(&row);
}

static void windows_run_over_new_year_and_leap_days(void **state)
{
    struct spl_almanac_row row;
    struct spl_day start, end;

    (void)state;
    make_row(&row, "burdock/root", 11, 20, 90, 97, 0);
    spl_almanac_row_days(&row, 2027, 50, &start, &end);
    expect_day(start, ymd(11, 20));
    expect_day(end, spl_day_from_ymd(2028, 2, 17));
    row.start = spl_day_from_ymd(2020, 2, 29);
    row.end = spl_day_from_ymd(2020, 3, 4);
    spl_almanac_row_days(&row, 2027, 50, &start, &end);
    expect_day(start, ymd(2, 28));
    spl_almanac_row_days(&row, 2028, 50, &start, &end);
    expect_day(start, spl_day_from_ymd(2028, 2, 29));
    row_free(&row);
}

static void bad_rows_are_refused_by_name(void **state)
{
    struct spl_almanac_row good, row;
    GError *error = NULL;

    (void)state;
    make_row(&good, "dandelion/flower", 5, 1, 10, 61, 65);
    assert_true(spl_almanac_row_check(&good, &error));
    expect_ok(error);
    row = good;
    row.end = spl_day_add(row.start, -1);
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "row-1");
    row = good;
    row.end = spl_day_add(row.start, 365);
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "a year");
    row = good;
    row.stage_to = 100;
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "stage");
    row = good;
    row.lat = 91;
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "place");
    row = good;
    row.normals_c[3] = 8;
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "normals");
#define REFUSED(change, part)                                                                      \
    row = good;                                                                                    \
    change;                                                                                        \
    assert_false(spl_almanac_row_check(&row, &error));                                             \
    expect_error(error, SPL_ERROR_INVALID, part)
    REFUSED(row.flush = 0, "flushes count from 1");
    REFUSED(row.every_days = -1, "days between pickings");
    REFUSED(row.stage_from = -1, "stage");
    REFUSED(row.lat = -91, "place");
    REFUSED(row.lat = NAN, "place");
    REFUSED(row.lon = NAN, "place");
    REFUSED(row.lon = -181, "place");
    REFUSED(row.lon = 181, "place");
    REFUSED(row.elevation_m = -501, "height");
    REFUSED(row.elevation_m = 9001, "height");
    REFUSED(row.end = SPL_DAY_NONE, "row-1");
    REFUSED(row.uid = NULL; row.flush = 0, "without a UID");
    for (int m = 0; m < 12; m++)
        good.normals_c[m] = 10;
    assert_true(spl_almanac_row_check(&good, &error));
    REFUSED(row.normals_c[6] = 68, "degrees Celsius"); /* Fahrenheit, as likely as not */
    REFUSED(row.normals_c[0] = -61, "degrees Celsius");
#undef REFUSED
    row = good;
    row.material = NULL;
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "material");
    row = good;
    row.start = SPL_DAY_NONE;
    assert_false(spl_almanac_row_check(&row, &error));
    expect_error(error, SPL_ERROR_INVALID, "row-1");
    row_free(&good);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_southern_almanac_serves_the_north_too),
    cmocka_unit_test(windows_run_over_new_year_and_leap_days),
    cmocka_unit_test(bad_rows_are_refused_by_name),
};
expect_main(tests)
