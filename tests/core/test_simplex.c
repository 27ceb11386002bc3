/* SPDX-License-Identifier: MIT
 *
 * The small linear program against published examples.
 */
#include "core/simplex.h"
#include "expect.h"

static void the_product_mix_of_the_textbook_comes_out(void **state)
{
    /* Hillier and Lieberman, Introduction to Operations Research, chapter 3, first example:
     * max 3x + 5y, x <= 4, 2y <= 12, 3x + 2y <= 18: 36 at (2, 6). */
    const double a[] = {1, 0, 0, 2, 3, 2}, b[] = {4, 12, 18}, cost[] = {3, 5};
    double x[2];

    (void)state;
    expect_near(spl_simplex(3, 2, a, b, cost, x), 36, 1e-9, "");
    expect_near(x[0], 2, 1e-9, "");
    expect_near(x[1], 6, 1e-9, "");
}

static void an_example_that_cycles_still_ends(void **state)
{
    /* Beale, Naval Research Logistics Quarterly 2 (1955) 269: the largest coefficient rule cycles
     * on it; the optimum is 1/20 at (1/25, 0, 1, 0). */
    const double a[] = {0.25, -60, -1.0 / 25, 9, 0.5, -90, -1.0 / 50, 3, 0, 0, 1, 0};
    const double b[] = {0, 0, 1}, cost[] = {0.75, -150, 0.02, -6};
    double x[4];

    (void)state;
    expect_near(spl_simplex(3, 4, a, b, cost, x), 0.05, 1e-9, "");
    expect_near(x[0], 0.04, 1e-9, "");
    expect_near(x[2], 1, 1e-9, "");
}

static void an_unbounded_one_is_said_to_be(void **state)
{
    const double a[] = {-1}, b[] = {1}, cost[] = {1};
    double x[1];

    (void)state;
    assert_true(isinf(spl_simplex(1, 1, a, b, cost, x)));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_product_mix_of_the_textbook_comes_out),
    cmocka_unit_test(an_example_that_cycles_still_ends),
    cmocka_unit_test(an_unbounded_one_is_said_to_be),
};
expect_main(tests)
