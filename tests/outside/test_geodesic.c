/* SPDX-License-Identifier: MIT
 *
 * Our geodesics against PROJ's geodesic.h (Karney's own code): 100,000 lines of all lengths.
 */
#include <geodesic.h>

#include "core/geodesic.h"
#include "expect.h"

static void every_line_is_as_long_as_in_the_reference_library(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(1);
    struct geod_geodesic earth;
    double worst_s = 0, worst_end = 0;

    (void)state;
    geod_init(&earth, 6378137, 1 / 298.257223563);
    for (int i = 0; i < 100000; i++) {
        struct spl_position a = {g_rand_double_range(rand, -180, 180),
                                 g_rand_double_range(rand, -90, 90)};
        struct spl_position b = {g_rand_double_range(rand, -180, 180),
                                 g_rand_double_range(rand, -90, 90)},
                            c;
        double s, azi1, azi2, ours, our1, our2, lat, lon, azi;

        if (i % 4 == 1) { /* nearly opposite */
            b.lat = -a.lat + g_rand_double_range(rand, -0.6, 0.6);
            b.lat = CLAMP(b.lat, -90, 90);
            b.lon = remainder(a.lon + 180 + g_rand_double_range(rand, -0.6, 0.6), 360);
        } else if (i % 4 == 2) { /* neighbours */
            b.lat = CLAMP(a.lat + g_rand_double_range(rand, -0.01, 0.01), -90, 90);
            b.lon = remainder(a.lon + g_rand_double_range(rand, -0.01, 0.01), 360);
        } else if (i % 4 == 3) { /* special lines */
            if (i % 8 == 3)
                b.lat = a.lat = round(a.lat / 30) * 30;
            if (i % 16 > 7)
                b.lon = remainder(a.lon + (i % 32 > 15 ? 180 : 0), 360);
        }
        geod_inverse(&earth, a.lat, a.lon, b.lat, b.lon, &s, &azi1, &azi2);
        ours = spl_geodesic_inverse(a, b, &our1, &our2);
        if (!(fabs(ours - s) < 1e-6))
            fail_msg("%.9f %.9f to %.9f %.9f: %.9f m, reference %.9f m", a.lat, a.lon, b.lat, b.lon,
                     ours, s);
        worst_s = fmax(worst_s, fabs(ours - s));
        /* The azimuth by where it leads: between opposite places many are as short. */
        geod_direct(&earth, a.lat, a.lon, our1, ours, &lat, &lon, &azi);
        geod_inverse(&earth, lat, lon, b.lat, b.lon, &s, NULL, NULL);
        if (!(s < 1e-5))
            fail_msg("%.9f %.9f to %.9f %.9f: the azimuth %.9f ends %g m off", a.lat, a.lon, b.lat,
                     b.lon, our1, s);
        c = spl_geodesic_direct(a, azi1, ours);
        geod_direct(&earth, a.lat, a.lon, azi1, ours, &lat, &lon, &azi);
        geod_inverse(&earth, lat, lon, c.lat, c.lon, &s, NULL, NULL);
        worst_end = fmax(worst_end, s);
        if (!(s < 1e-6))
            fail_msg("%.9f %.9f, %.9f degrees, %.3f m: ends %g m off", a.lat, a.lon, azi1, ours, s);
    }
    print_message("worst: %.2g m in length, %.2g m in place\n", worst_s, worst_end);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_line_is_as_long_as_in_the_reference_library),
};
expect_main(tests)
