/* SPDX-License-Identifier: MIT
 *
 * Sun times on a grid of places and days against PyEphem (Debian python3-ephem), west longitudes,
 * date line, polar day and night among them. Skipped when it is not installed. */
#include "core/sun.h"
#include "expect.h"

static const char *const program =
    "import ephem, math, datetime\n"
    "for lat in (-66, -54.8, -43.5, -20, 0, 35, 44.26, 51.48, 59.9, 69.65, 78.2):\n"
    "    for lon in (-179.5, -122.7, -72.6, -0.001, 13.4, 103.8, 172.6, 179.5):\n"
    "        for date in ('2024-02-29', '2025-03-20', '2026-05-04', '2027-06-21', '2028-09-22',\n"
    "                     '2029-11-15', '2030-12-21'):\n"
    "            o = ephem.Observer()\n"
    "            o.lat, o.lon = str(lat), str(lon)\n"
    "            o.pressure, o.horizon = 0, '-0:50'\n"
    "            start = datetime.datetime.fromisoformat(date)\n"
    "            zero = start - datetime.timedelta(hours=lon / 15)\n"
    "            o.date = ephem.Date(zero)\n"
    "            s = ephem.Sun()\n"
    "            noon = o.next_transit(s).datetime()\n"
    "            o.date = ephem.Date(noon)\n"
    "            state, rise, sets = 'rises', 'nan', 'nan'\n"
    "            try:\n"
    "                rise = (o.previous_rising(s, use_center=True).datetime() - start)\n"
    "                o.date = ephem.Date(noon)\n"
    "                sets = (o.next_setting(s, use_center=True).datetime() - start)\n"
    "                rise, sets = rise.total_seconds(), sets.total_seconds()\n"
    "            except ephem.AlwaysUpError:\n"
    "                state = 'up'\n"
    "            except ephem.NeverUpError:\n"
    "                state = 'down'\n"
    "            print(lat, lon, date, state, rise, (noon - start).total_seconds(), sets)\n";

static void a_grid_of_places_and_days_is_within_a_minute(void **state)
{
    char *argv[] = {"/usr/bin/python3", "-c", (char *)program, NULL};
    g_autofree char *text = NULL;
    g_auto(GStrv) lines = NULL;
    double worst = 0;
    int status, checked = 0, polar = 0;

    (void)state;
    if (!g_spawn_sync(NULL, argv, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &text, NULL,
                      &status, NULL) ||
        !g_spawn_check_wait_status(status, NULL))
        fail_msg("PyEphem did not answer");
    lines = g_strsplit(text, "\n", -1);
    for (char **line = lines; *line != NULL && **line != '\0'; line++) {
        g_auto(GStrv) cell = g_strsplit(*line, " ", 7);
        double lat = g_ascii_strtod(cell[0], NULL), lon = g_ascii_strtod(cell[1], NULL);
        double wanted[3], got[3];
        struct spl_day day;
        struct spl_sun sun;

        assert_true(spl_day_parse(cell[2], "date", &day, NULL));
        sun = spl_sun_times(day, lat, lon);
        expect_near(sun.noon_min * 60, g_ascii_strtod(cell[5], NULL), 10, "s");
        if (strcmp(cell[3], "rises") != 0) {
            assert_int_equal(sun.state,
                             strcmp(cell[3], "up") == 0 ? SPL_SUN_NEVER_SETS : SPL_SUN_NEVER_RISES);
            polar++;
            continue;
        }
        assert_int_equal(sun.state, SPL_SUN_RISES);
        wanted[0] = g_ascii_strtod(cell[4], NULL);
        wanted[1] = g_ascii_strtod(cell[6], NULL);
        got[0] = sun.sunrise_min * 60;
        got[1] = sun.sunset_min * 60;
        for (int i = 0; i < 2; i++) {
            if (!(fabs(got[i] - wanted[i]) <= 60))
                fail_msg("%s: %.0f s, PyEphem %.0f s", *line, got[i], wanted[i]);
            worst = MAX(worst, fabs(got[i] - wanted[i]));
        }
        checked++;
    }
    print_message("sun times: %d places and days, worst %.1f s; %d polar days and nights\n",
                  checked, worst, polar);
    assert_true(checked > 500 && polar > 40);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_grid_of_places_and_days_is_within_a_minute),
};

int main(void)
{
    char *argv[] = {"/usr/bin/python3", "-c", "import ephem", NULL};
    int status;

    if (!g_spawn_sync(NULL, argv, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, NULL, NULL, &status,
                      NULL) ||
        !g_spawn_check_wait_status(status, NULL))
        return 77;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
