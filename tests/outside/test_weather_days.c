/* SPDX-License-Identifier: MIT
 *
 * Washington's 25,520 days of GHCN-Daily (NOAA, USC00186350) as a table, and written anew as .dly
 * and as one element a line by a program of Python: the same days, however they come. Skipped
 * without the data (open_data.h).
 */
#include <glib/gstdio.h>

#include "exchange/weather.h"
#include "expect.h"
#include "open_data.h"

static const char *const writer =
    "import csv, sys\n"
    "days = {}\n"
    "for r in csv.DictReader(open(sys.argv[1])):\n"
    "    y, m, d = r['date'].split('-')\n"
    "    days.setdefault((y, m), {})[int(d)] = (r['tmin_c'], r['tmax_c'])\n"
    "dly, csvf = open(sys.argv[2], 'w'), open(sys.argv[3], 'w')\n"
    "for (y, m), month in sorted(days.items()):\n"
    "    for k, name in ((0, 'TMIN'), (1, 'TMAX')):\n"
    "        line = 'USC00186350' + y + m + name\n"
    "        for d in range(1, 32):\n"
    "            v = round(float(month[d][k]) * 10) if d in month else -9999\n"
    "            line += '%5d  7' % v\n"
    "            if d in month:\n"
    "                csvf.write('USC00186350,%s%s%02d,%s,%d,,,7,\\n' % (y, m, d, name, v))\n"
    "        dly.write(line + '\\n')\n";

static void washington_in_three_formats_is_the_same(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("simpling-weather-XXXXXX", NULL);
    g_autofree char *days = open_data_path("ghcnd_USC00186350_daily_tmin_tmax_1950_2022.csv");
    g_autofree char *dly = g_build_filename(folder, "station.dly", NULL);
    g_autofree char *elements = g_build_filename(folder, "elements.csv", NULL);
    char *argv[] = {"/usr/bin/python3", "-c", (char *)writer, days, dly, elements, NULL};
    struct spl_weather_file table, other;
    g_autoptr(GError) error = NULL;
    int status;

    (void)state;
    assert_true(g_spawn_sync(NULL, argv, NULL, 0, NULL, NULL, NULL, NULL, &status, NULL));
    assert_true(g_spawn_check_wait_status(status, NULL));
    if (!spl_weather_file_read(days, SPL_WEATHER_UNIT_SAID, NULL, NULL, &table, &error))
        fail_msg("%s", error->message);
    print_message("Washington: %u days, %u left out\n", table.days->len, table.left->len);
    /* The collection was sifted at 3.3 robust sd of its own making; ours at 5 leaves nearly all. */
    assert_true(table.days->len + table.left->len == 25520 && table.left->len < 26);
    for (int i = 0; i < 2; i++) {
        if (!spl_weather_file_read(i == 0 ? dly : elements, SPL_WEATHER_UNIT_SAID, NULL, NULL,
                                   &other, &error))
            fail_msg("%s", error->message);
        assert_string_equal(other.station, "USC00186350");
        assert_int_equal(other.days->len, table.days->len);
        for (guint d = 0; d < table.days->len; d++) {
            const struct spl_weather_day *a = &g_array_index(table.days, struct spl_weather_day, d);
            const struct spl_weather_day *b = &g_array_index(other.days, struct spl_weather_day, d);

            assert_int_equal(a->day.n, b->day.n);
            expect_near(b->tmin_c, a->tmin_c, 0.05, "C");
            expect_near(b->tmax_c, a->tmax_c, 0.05, "C");
        }
        spl_weather_file_clear(&other);
    }
    spl_weather_file_clear(&table);
    g_unlink(dly);
    g_unlink(elements);
    g_rmdir(folder);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(washington_in_three_formats_is_the_same),
};

int main(void)
{
    if (!open_data_is_there())
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
