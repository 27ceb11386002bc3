/* SPDX-License-Identifier: MIT
 *
 * The form of a slip's lines: what the slip hands out and the reader of notes takes. By hand.
 */
#include "expect.h"
#include "simpling/record/slip.h"

static void a_line_carries_its_identity(void **state)
{
    struct spl_slip_line line = {
        .day = spl_day_from_ymd(2027, 7, 14),
        .place = "Scarth Wood",
        .what = "fellwort flower 600 g, full flower",
        .tag = {.slip = "a7k3", .phone = "q2", .number = 5, .revision = 1},
    };
    g_autofree char *first = spl_slip_line_write(&line);
    g_autofree char *again = NULL, *struck = NULL, *by_hand = NULL, *jar = NULL, *odd = NULL;
    g_autofree char *place = spl_slip_place(" Kell (north): [old];by the mill");

    (void)state;
    assert_string_equal(first,
                        "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-q2-05]");
    line.tag.revision = 2;
    line.remark = "hot day";
    again = spl_slip_line_write(&line);
    assert_string_equal(
        again,
        "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower; hot day [a7k3-q2-05.2]");
    line.tag.revision = 1;
    line.tag.struck = TRUE;
    line.remark = "";
    struck = spl_slip_line_write(&line);
    assert_string_equal(
        struck, "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-q2-05 struck]");
    line.tag = (struct spl_slip_tag){.slip = "a7k3", .number = 123};
    by_hand = spl_slip_line_write(&line);
    assert_string_equal(by_hand,
                        "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-123]");
    line.place = NULL;
    line.what = "shaken B27-002";
    jar = spl_slip_line_write(&line);
    assert_string_equal(jar, "2027-07-14 shaken B27-002 [a7k3-123]");
    line.remark = "two\nlines [a7k3-q2-01]";
    odd = spl_slip_line_write(&line);
    assert_string_equal(place, "Kell north old by the mill");
    assert_string_equal(odd, "2027-07-14 shaken B27-002; two lines (a7k3-q2-01) [a7k3-123]");
}

static void expect_tail(const char *remark, const char *despite, const char *by, const char *signs,
                        const char *rest)
{
    struct spl_slip_tail tail;

    spl_slip_tail_read(remark, &tail);
    if (g_strcmp0(tail.despite, despite) != 0 || g_strcmp0(tail.by, by) != 0 ||
        g_strcmp0(tail.signs, signs) != 0 || g_strcmp0(tail.rest, rest) != 0)
        fail_msg("'%s': despite '%s', by '%s', signs '%s', rest '%s'", remark, tail.despite,
                 tail.by, tail.signs, tail.rest);
    spl_slip_tail_clear(&tail);
}

static void what_stands_behind_is_told_apart(void **state)
{
    (void)state;
    expect_tail(
        "despite: picked before he came; by Corin; signs: hollow stalk, milk; 19:42; hot day",
        "picked before he came", "Corin", "hollow stalk, milk", "19:42; hot day");
    expect_tail("hot day", NULL, NULL, NULL, "hot day");
    expect_tail("by the gate; by Corin", NULL, "the gate", NULL, "by Corin"); /* each once */
    expect_tail("bypass road; signs:; despite", NULL, NULL, NULL, "bypass road; signs:; despite");
    expect_tail(" ; ;", NULL, NULL, NULL, NULL);
    expect_tail(NULL, NULL, NULL, NULL, NULL);
}

static void letters_are_told_apart(void **state)
{
    g_autofree char *letters = spl_slip_letters(2000);

    (void)state;
    assert_int_equal(strlen(letters), 2000);
    assert_int_equal(strspn(letters, SPL_SLIP_LETTERS), 2000);
    assert_null(strpbrk(SPL_SLIP_LETTERS, "0oO1lIi"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_line_carries_its_identity),
    cmocka_unit_test(what_stands_behind_is_told_apart),
    cmocka_unit_test(letters_are_told_apart),
};
expect_main(tests)
