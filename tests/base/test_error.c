/* SPDX-License-Identifier: MIT
 *
 * An error knows which input it is about. See simpling/error.h.
 */
#include "simpling/error.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static void an_error_tells_key_and_sentence_apart(void **state)
{
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_error_set_input(&error, SPL_ERROR_INVALID, "garbled", "more than the %s", "weight");
    assert_true(g_error_matches(error, SPL_ERROR, SPL_ERROR_INVALID));
    assert_string_equal(error->message, "garbled: more than the weight");
    assert_string_equal(spl_error_input(error), "garbled");
    assert_string_equal(spl_error_sentence(error), "more than the weight");
}

static void a_copy_keeps_the_key(void **state)
{
    g_autoptr(GError) copy = NULL;
    GError *error = NULL;

    (void)state;
    spl_error_set_input(&error, SPL_ERROR_USAGE, "on", "is missing");
    copy = g_error_copy(error);
    g_error_free(error);
    assert_string_equal(spl_error_input(copy), "on");
}

static void a_prefix_keeps_the_whole_message(void **state)
{
    g_autoptr(GError) error = NULL;

    (void)state;
    spl_error_set_input(&error, SPL_ERROR_INVALID, "on", "lies after today");
    g_prefix_error(&error, "row 3: ");
    assert_string_equal(spl_error_input(error), "on");
    assert_string_equal(spl_error_sentence(error), "row 3: on: lies after today");
}

static void an_error_without_an_input_has_none(void **state)
{
    g_autoptr(GError) ours = g_error_new(SPL_ERROR, SPL_ERROR_IO, "the disk: is full");
    g_autoptr(GError) other = g_error_new(G_FILE_ERROR, G_FILE_ERROR_NOENT, "the file: is gone");

    (void)state;
    assert_null(spl_error_input(ours));
    assert_string_equal(spl_error_sentence(ours), "the disk: is full");
    assert_null(spl_error_input(other));
    assert_string_equal(spl_error_sentence(other), "the file: is gone");
    assert_null(spl_error_input(NULL));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_error_tells_key_and_sentence_apart),
        cmocka_unit_test(a_copy_keeps_the_key),
        cmocka_unit_test(a_prefix_keeps_the_whole_message),
        cmocka_unit_test(an_error_without_an_input_has_none),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
