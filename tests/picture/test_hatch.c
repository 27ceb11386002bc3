/* SPDX-License-Identifier: MIT
 *
 * Hatching covers what it should: length of strokes times spacing is the area, to the spacing's
 * accuracy. Areas by hand from elementary geometry.
 */
#include "expect.h"

#include "picture/hatch.h"

#define SPACING 0.05

static double covered(struct spl_hatch *hatch)
{
    g_autoptr(GArray) strokes = spl_hatch_strokes(hatch);
    double length = 0.0;
    for (guint i = 0; i + 3 < strokes->len; i += 4) {
        const double *s = &g_array_index(strokes, double, i);
        length += hypot(s[2] - s[0], s[3] - s[1]);
    }
    spl_hatch_free(hatch);
    return length * SPACING;
}

static struct spl_hatch *sheet(void)
{
    return spl_hatch_new(0.0, 0.0, 100.0, 100.0, 0.7, SPACING);
}

static const gsize four[] = {4};

static void a_square_is_covered_once(void **state)
{
    (void)state;
    static const double square[] = {10, 10, 40, 10, 40, 40, 10, 40};
    struct spl_hatch *hatch = sheet();
    spl_hatch_polygon(hatch, square, four, 1, 0.0);
    spl_hatch_polygon(hatch, square, four, 1, 0.0);
    expect_near(covered(hatch), 900.0, 1.0, "pt2");
}

static void overlapping_squares_are_joined(void **state)
{
    (void)state;
    static const double one[] = {10, 10, 40, 10, 40, 40, 10, 40};
    static const double two[] = {30, 30, 60, 30, 60, 60, 30, 60};
    struct spl_hatch *hatch = sheet();
    spl_hatch_polygon(hatch, one, four, 1, 0.0);
    spl_hatch_polygon(hatch, two, four, 1, 0.0);
    expect_near(covered(hatch), 900.0 + 900.0 - 100.0, 2.0, "pt2");
}

static void a_hole_stays_open(void **state)
{
    (void)state;
    static const double rings[] = {10, 10, 50, 10, 50, 50, 10, 50, 20, 20, 40, 20, 40, 40, 20, 40};
    static const gsize sizes[] = {4, 4};
    struct spl_hatch *hatch = sheet();
    spl_hatch_polygon(hatch, rings, sizes, 2, 0.0);
    expect_near(covered(hatch), 1600.0 - 400.0, 2.0, "pt2");
}

static void reach_around_a_square_has_round_corners(void **state)
{
    (void)state;
    static const double square[] = {40, 40, 60, 40, 60, 60, 40, 60};
    struct spl_hatch *hatch = sheet();
    spl_hatch_polygon(hatch, square, four, 1, 5.0);
    expect_near(covered(hatch), 400.0 + 4.0 * 20.0 * 5.0 + G_PI * 25.0, 2.0, "pt2");
}

static void reach_along_a_line_and_about_a_point(void **state)
{
    (void)state;
    static const double line[] = {20, 50, 80, 50};
    struct spl_hatch *hatch = sheet();
    spl_hatch_line(hatch, line, 2, 4.0);
    expect_near(covered(hatch), 60.0 * 8.0 + G_PI * 16.0, 2.0, "pt2");
    hatch = sheet();
    spl_hatch_line(hatch, line, 1, 7.0);
    expect_near(covered(hatch), G_PI * 49.0, 2.0, "pt2");
}

static void strokes_end_at_the_rectangle(void **state)
{
    (void)state;
    static const double large[] = {-500, -500, 900, -500, 900, 900, -500, 900};
    struct spl_hatch *hatch = sheet();
    spl_hatch_polygon(hatch, large, four, 1, 30.0);
    g_autoptr(GArray) strokes = spl_hatch_strokes(hatch);
    for (guint i = 0; i < strokes->len; i++) {
        double v = g_array_index(strokes, double, i);
        assert_true(v >= -1e-6 && v <= 100.0 + 1e-6);
    }
    expect_near(covered(hatch), 10000.0, 5.0, "pt2");
}

static void hatching_is_alike_at_any_slope(void **state)
{
    (void)state;
    static const double triangle[] = {10, 10, 90, 20, 30, 80};
    static const gsize three[] = {3};
    for (double angle = -1.5; angle < 1.7; angle += 0.1) {
        struct spl_hatch *hatch = spl_hatch_new(0, 0, 100, 100, angle, SPACING);
        spl_hatch_polygon(hatch, triangle, three, 1, 0.0);
        expect_near(covered(hatch), 0.5 * (80.0 * 70.0 - 20.0 * 10.0), 5.0, "pt2");
    }
}

static double dark(const GArray *strokes, const GArray *widths, double from, double to)
{
    double ink = 0.0;
    for (guint i = 0; i < widths->len; i++) {
        const double *s = &g_array_index(strokes, double, 4 * i);
        double middle = (s[0] + s[2]) / 2.0;
        if (middle >= from && middle < to)
            ink += g_array_index(widths, double, i);
    }
    return ink / (to - from);
}

static void the_band_thickens_towards_the_best_days(void **state)
{
    (void)state;
    g_autoptr(GArray) strokes = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GArray) widths = g_array_new(FALSE, FALSE, sizeof(double));
    spl_hatch_band(0.0, 100.0, 160.0, 260.0, 0.0, 8.0, 6.0, 1.9, strokes, widths);
    double outer = dark(strokes, widths, 0, 40), nearer = dark(strokes, widths, 60, 95);
    double best = dark(strokes, widths, 105, 155);
    assert_true(best > 1.2 * nearer && nearer > 1.5 * outer);
    double last = dark(strokes, widths, 165, 200), end = dark(strokes, widths, 220, 260);
    assert_true(best > 1.2 * last && last > 1.5 * end);
    for (guint i = 0; i < strokes->len; i += 2) {
        double x = g_array_index(strokes, double, i);
        assert_true(x >= -1e-9 && x <= 260.0 + 1e-9);
    }
}

static void a_band_of_one_day_is_still_seen(void **state)
{
    (void)state;
    g_autoptr(GArray) strokes = g_array_new(FALSE, FALSE, sizeof(double));
    g_autoptr(GArray) widths = g_array_new(FALSE, FALSE, sizeof(double));
    spl_hatch_band(50.0, 50.0, 53.0, 53.0, 0.0, 8.0, 6.0, 1.9, strokes, widths);
    assert_true(widths->len >= 2);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_square_is_covered_once),
    cmocka_unit_test(overlapping_squares_are_joined),
    cmocka_unit_test(a_hole_stays_open),
    cmocka_unit_test(reach_around_a_square_has_round_corners),
    cmocka_unit_test(reach_along_a_line_and_about_a_point),
    cmocka_unit_test(strokes_end_at_the_rectangle),
    cmocka_unit_test(hatching_is_alike_at_any_slope),
    cmocka_unit_test(the_band_thickens_towards_the_best_days),
    cmocka_unit_test(a_band_of_one_day_is_still_seen),
};

expect_main(tests)
