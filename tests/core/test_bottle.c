/* SPDX-License-Identifier: MIT
 *
 * Bottles that still stand full: figures by hand.
 */
#include "core/bottle.h"
#include "expect.h"

static void expect_left(const char *bottles, double left, const char *unit, const char *expected)
{
    g_autofree char *words = spl_bottles_left(bottles, left, unit);

    if (g_strcmp0(words, expected) != 0)
        fail_msg("%s, %g left: '%s', expected '%s'", bottles, left, words, expected);
}

static void what_is_left_stands_in_full_bottles_and_one_open(void **state)
{
    (void)state;
    expect_left("4x100", 400.0, "mL", "4 × 100 mL");
    expect_left("4x100", 340.0, "mL", "3 × 100 + open 40 mL");
    expect_left("4x100", 300.0, "mL", "3 × 100 mL");
    expect_left("4x100", 40.0, "mL", "open 40 mL");
    expect_left("2x50", 75.0, "g", "1 × 50 + open 25 g");
}

static void small_bottles_go_before_large_ones(void **state)
{
    (void)state;
    /* 4 x 100 + 250 = 650; 60 went: of one of 100 there are 40. */
    expect_left("1x250 4x100", 590.0, "mL", "3 × 100 + 1 × 250 + open 40 mL");
    /* 400 + 100 went: of the large one there are 150. */
    expect_left("1x250 4x100", 150.0, "mL", "open 150 mL");
}

static void what_was_not_bottled_is_said(void **state)
{
    (void)state;
    expect_left("3x100", 360.0, "mL", "3 × 100 + 60 not bottled mL");
}

static void nothing_is_said_of_nothing(void **state)
{
    (void)state;
    expect_left(NULL, 100.0, "mL", NULL);
    expect_left("", 100.0, "mL", NULL);
    expect_left("4x100", 0.0, "mL", NULL);
    expect_left("four bottles", 100.0, "mL", NULL);
    expect_left("4x", 100.0, "mL", NULL);
    expect_left("4x100,2x50", 100.0, "mL", NULL);
    expect_left("0x100", 100.0, "mL", NULL);
    expect_left("4x-100", 100.0, "mL", NULL);
    expect_left("4xnan", 100.0, "mL", NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_left_stands_in_full_bottles_and_one_open),
        cmocka_unit_test(small_bottles_go_before_large_ones),
        cmocka_unit_test(what_was_not_bottled_is_said),
        cmocka_unit_test(nothing_is_said_of_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
