/* SPDX-License-Identifier: MIT
 *
 * What every test file includes: cmocka with its own prerequisites, and the checks that it lacks.
 */
#ifndef SPL_TESTS_EXPECT_H
#define SPL_TESTS_EXPECT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <glib.h>
#include <math.h>
#include <string.h>

#include "simpling/error.h"

/* |got - wanted| <= tolerance, said with all three and the unit. */
#define expect_near(got, wanted, tolerance, unit)                                                  \
    do {                                                                                           \
        double got_ = (got), wanted_ = (wanted), tolerance_ = (tolerance);                         \
        if (!(fabs(got_ - wanted_) <= tolerance_))                                                 \
            fail_msg("%s = %.9g, expected %.9g +- %.3g %s", #got, got_, wanted_, tolerance_,       \
                     unit);                                                                        \
    } while (0)

/* `error` is set to this code of SPL_ERROR, its message holds `part` and is one line. Clears it. */
#define expect_error(error, code_, part)                                                           \
    do {                                                                                           \
        assert_non_null(error);                                                                    \
        if ((error)->domain != SPL_ERROR || (error)->code != (int)(code_))                         \
            fail_msg("error code %d ('%s'), expected " #code_, (error)->code, (error)->message);   \
        if (strstr((error)->message, (part)) == NULL)                                              \
            fail_msg("'%s' does not name '%s'", (error)->message, (part));                         \
        if (strchr((error)->message, '\n') != NULL)                                                \
            fail_msg("'%s' is more than one line", (error)->message);                              \
        g_clear_error(&(error));                                                                   \
    } while (0)

/* The main of a test program; a pattern as first argument runs only the tests that match it. */
#define expect_main(tests)                                                                         \
    int main(int argc, char **argv)                                                                \
    {                                                                                              \
        if (argc > 1)                                                                              \
            cmocka_set_test_filter(argv[1]);                                                       \
        return cmocka_run_group_tests(tests, NULL, NULL);                                          \
    }

/* No error happened. */
#define expect_ok(error)                                                                           \
    do {                                                                                           \
        if ((error) != NULL)                                                                       \
            fail_msg("unexpected error: %s", (error)->message);                                    \
    } while (0)

#endif
