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
#include <math.h>
#include <string.h>

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

/* A refusal with all that it can carry. */
static GError *explained(void)
{
    struct spl_reason reason = {.verdict = SPL_VERDICT_ASK,
                                .kind = SPL_REASON_WORD_OLD,
                                .what = g_strdup("the word is too old"),
                                .distance_m = NAN,
                                .evidence = g_strdup("0190"),
                                .next = spl_next_wait((struct spl_day){20000})};
    GArray *reasons = spl_list_new(&spl_reason_shape);
    GError *error = g_error_new(SPL_ERROR, SPL_ERROR_CLOSED, "Withy Gill: is closed");

    g_array_append_val(reasons, reason);
    spl_error_explain(
        &error, "hold",
        spl_next_new(SPL_ACTION_SPRAY_NOTE, "site", "Hunter's Wood", "source", NULL, NULL),
        reasons);
    return error;
}

static void assert_explained(const GError *error)
{
    const struct spl_next *next = spl_error_next(error);
    const GArray *reasons = spl_error_reasons(error);
    const struct spl_reason *reason;

    assert_string_equal(spl_error_kind(error), "hold");
    assert_non_null(next);
    assert_int_equal(next->action, SPL_ACTION_SPRAY_NOTE);
    assert_int_equal(next->inputs->len, 2);
    assert_string_equal(g_array_index(next->inputs, struct spl_given, 0).value, "Hunter's Wood");
    assert_null(g_array_index(next->inputs, struct spl_given, 1).value);
    assert_non_null(reasons);
    assert_int_equal(reasons->len, 1);
    reason = &g_array_index(reasons, struct spl_reason, 0);
    assert_int_equal(reason->kind, SPL_REASON_WORD_OLD);
    assert_string_equal(reason->evidence, "0190");
    assert_int_equal(reason->next->until.n, 20000);
}

static void kind_next_and_reasons_go_with_the_error(void **state)
{
    g_autoptr(GError) copy = NULL;
    GError *error = explained();

    (void)state;
    g_prefix_error(&error, "row 3: ");
    assert_explained(error);
    copy = g_error_copy(error);
    g_error_free(error);
    assert_explained(copy);
    assert_string_equal(spl_error_sentence(copy), "row 3: Withy Gill: is closed");
}

static void every_error_has_a_kind(void **state)
{
    g_autoptr(GError) ours = g_error_new(SPL_ERROR, SPL_ERROR_NOT_FOUND, "no such site");
    g_autoptr(GError) last = g_error_new(SPL_ERROR, SPL_ERROR_INTERNAL, "a defect");
    g_autoptr(GError) beyond = g_error_new(SPL_ERROR, 999, "a code that is none");
    g_autoptr(GError) other = g_error_new(G_FILE_ERROR, G_FILE_ERROR_NOENT, "the file: is gone");

    (void)state;
    assert_string_equal(spl_error_kind(ours), "not-found");
    assert_string_equal(spl_error_kind(last), "internal");
    assert_string_equal(spl_error_kind(beyond), "failed");
    assert_string_equal(spl_error_kind(other), "failed");
    assert_null(spl_error_next(ours));
    assert_null(spl_error_reasons(other));
}

/* Nobody may want the error, and another's cannot carry anything: nothing is lost then. */
static void what_cannot_be_carried_is_let_go(void **state)
{
    GError *other = g_error_new(G_FILE_ERROR, G_FILE_ERROR_NOENT, "the file: is gone"),
           *none = NULL;

    (void)state;
    spl_error_explain(NULL, "hold", spl_next_wait((struct spl_day){1}), NULL);
    spl_error_explain(&none, "hold", spl_next_wait((struct spl_day){1}), NULL);
    spl_error_explain(&other, "hold", spl_next_wait((struct spl_day){1}),
                      spl_list_new(&spl_reason_shape));
    assert_null(spl_error_next(other));
    g_error_free(other);
}

static void an_error_is_one_line_of_json(void **state)
{
    g_autoptr(GError) error = explained();
    struct spl_failure failure;
    g_autofree char *line = NULL;

    (void)state;
    spl_error_failure(error, &failure);
    line = spl_record_json(&spl_failure_shape, &failure);
    spl_record_clear(&spl_failure_shape, &failure);
    assert_string_equal(line,
                        "{\"error\":\"Withy Gill: is closed\",\"input\":null,\"kind\":\"hold\","
                        "\"next\":{\"action\":\"spray-note\",\"inputs\":[{\"key\":\"site\",\"va"
                        "lue\":\"Hunter's Wood\"},{\"key\":\"source\",\"value\":null}],\"until"
                        "\":null,\"farther_m\":null},\"reasons\":[{\"verdict\":\"ask\",\"kind\""
                        ":\"word-old\",\"what\":\"the word is too old\",\"distance_m\":null,\"d"
                        "ate\":\"1970-01-01\",\"rule\":null,\"source\":null,\"evidence\":\"0190"
                        "\",\"about\":null,\"next\":{\"action\":\"wait\",\"inputs\":[],\"until"
                        "\":\"2024-10-04\",\"farther_m\":null}}]}");
}

/* Programs rely on the names: each there, none twice. */
static void names_stand_once_each(void **state)
{
    (void)state;
    for (int i = 0; i < SPL_REASON_KINDS; i++)
        assert_int_equal(spl_word_value(spl_reason_kind_names, spl_reason_kind_names[i]), i);
    for (int i = 0; i < SPL_ACTIONS; i++)
        assert_int_equal(spl_word_value(spl_action_names, spl_action_names[i]), i);
    assert_int_equal(spl_word_value(spl_action_names, "no such action"), -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_error_tells_key_and_sentence_apart),
        cmocka_unit_test(a_copy_keeps_the_key),
        cmocka_unit_test(a_prefix_keeps_the_whole_message),
        cmocka_unit_test(an_error_without_an_input_has_none),
        cmocka_unit_test(kind_next_and_reasons_go_with_the_error),
        cmocka_unit_test(every_error_has_a_kind),
        cmocka_unit_test(what_cannot_be_carried_is_let_go),
        cmocka_unit_test(an_error_is_one_line_of_json),
        cmocka_unit_test(names_stand_once_each),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
