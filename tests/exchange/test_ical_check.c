/* SPDX-License-Identifier: MIT
 *
 * The calendar checker: one broken file for each rule, named RULE.ics or RULE.variant.ics, and each
 * is found by that rule alone. The rules' sections stand in src/exchange/ical_rules.c. */
#include "exchange/ical_check.h"
#include "exchange/ical_rules.h"
#include "expect.h"

#define DATA SPL_SOURCE_DIR "/tests/data/ical/"

static void a_file_in_order_has_no_finding(void **state)
{
    g_autoptr(GError) error = NULL;
    struct spl_ical_checked checked;

    (void)state;
    assert_true(spl_ical_check_file(DATA "good.ics", &checked, &error));
    expect_ok(error);
    for (guint i = 0; i < checked.findings->len; i++) {
        struct spl_ical_finding *finding =
            &g_array_index(checked.findings, struct spl_ical_finding, i);

        fail_msg("line %d: %s: %s", finding->line, finding->rule, finding->message);
    }
    assert_true(checked.ok);
    assert_int_equal(checked.events, 2);
    assert_int_equal(checked.todos, 1);
    assert_int_equal(checked.alarms, 1);
    spl_record_clear(&spl_ical_checked_shape, &checked);
}

static void each_broken_file_is_found_by_its_own_rule_alone(void **state)
{
    g_autoptr(GDir) folder = g_dir_open(DATA "broken", 0, NULL);
    const char *name;
    int files = 0;

    (void)state;
    assert_non_null(folder);
    while ((name = g_dir_read_name(folder)) != NULL) {
        g_autoptr(GError) error = NULL;
        g_autofree char *path = g_build_filename(DATA "broken", name, NULL);
        g_autofree char *rule = g_strndup(name, strcspn(name, "."));
        struct spl_ical_checked checked;

        assert_true(spl_ical_check_file(path, &checked, &error));
        if (checked.findings->len == 0)
            fail_msg("%s passes", name);
        for (guint i = 0; i < checked.findings->len; i++) {
            struct spl_ical_finding *finding =
                &g_array_index(checked.findings, struct spl_ical_finding, i);

            if (strcmp(finding->rule, rule) != 0)
                fail_msg("%s: line %d: %s: %s", name, finding->line, finding->rule,
                         finding->message);
            assert_non_null(finding->section);
        }
        spl_record_clear(&spl_ical_checked_shape, &checked);
        files++;
    }
    assert_true(files >= (int)spl_ical_n_rules);
}

static void every_rule_has_a_broken_file(void **state)
{
    (void)state;
    for (gsize i = 0; i < spl_ical_n_rules; i++) {
        g_autofree char *path = g_strconcat(DATA "broken/", spl_ical_rules[i].name, ".ics", NULL);

        if (!g_file_test(path, G_FILE_TEST_EXISTS))
            fail_msg("no file %s.ics", spl_ical_rules[i].name);
    }
}

/* What the rules leave open is told from what they forbid: the first file is as a large calendar
 * service exports one. */
static void habits_of_others_are_remarks_and_no_errors(void **state)
{
    static const struct {
        const char *head, *event;
        int errors, remarks;
    } cases[] = {
        {"METHOD:PUBLISH\r\nX-WR-CALDESC:a, b\r\n", "UID:7a@example.org\r\n", 0, 2},
        {"", "UID:a\r\nSUMMARY:\r\n", 0, 1},
        {"", "UID:a\r\nCOLOR:DarkSlateGrey\r\n", 0, 0},
        {"", "UID:a\r\nCOLOR:#ff0000\r\n", 1, 0},
        {"", "UID:a\r\nRRULE:FREQ=MONTHLY;BYDAY=-1SU,2MO\r\n", 0, 0},
        {"", "UID:a\r\nRRULE:FREQ=YEARLY;BYWEEKNO=-1;BYDAY=MO;WKST=SU\r\n", 0, 0},
        {"METHOD:PUBLISH\r\n", "UID:a\r\nRRULE:FREQ=WEEKLY;BYDAY=2MO\r\n", 1, 1},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *text = g_strdup_printf(
            "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n%sBEGIN:VEVENT\r\n"
            "DTSTAMP:20270301T080000Z\r\nDTSTART;VALUE=DATE:20270504\r\n%sEND:VEVENT\r\n"
            "END:VCALENDAR\r\n",
            cases[i].head, cases[i].event);
        struct spl_ical_checked checked;

        spl_ical_check_bytes(text, strlen(text), &checked);
        if (checked.errors != cases[i].errors || checked.remarks != cases[i].remarks ||
            checked.ok != (cases[i].errors == 0) ||
            (int)checked.findings->len != cases[i].errors + cases[i].remarks)
            fail_msg("%s: %d errors, %d remarks", text, checked.errors, checked.remarks);
        spl_record_clear(&spl_ical_checked_shape, &checked);
    }
}

static void the_line_of_a_finding_is_the_one_in_the_file(void **state)
{
    static const char text[] = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n"
                               "BEGIN:VEVENT\r\nUID:a\r\nDTSTAMP:20270301T080000Z\r\n"
                               "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:a\r\n  folded\r\n"
                               "STATUS:MAYBE\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";
    struct spl_ical_checked checked;

    (void)state;
    spl_ical_check_bytes(text, sizeof text - 1, &checked);
    assert_int_equal(checked.findings->len, 1);
    assert_int_equal(g_array_index(checked.findings, struct spl_ical_finding, 0).line, 10);
    spl_record_clear(&spl_ical_checked_shape, &checked);
}

static void what_is_no_calendar_is_found_without_harm(void **state)
{
    static const struct {
        const char *bytes;
        gsize size;
    } odd[] = {{"", 0},
               {"\r\n", 2},
               {"<html>", 6},
               {"\0\0\0", 3},
               {"BEGIN:VCALENDAR", 15},
               {":", 1},
               {";;;:::", 6},
               {"BEGIN:VEVENT\r\nEND:VEVENT", 24},
               {"END:VCALENDAR\r\n", 15}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(odd); i++) {
        struct spl_ical_checked checked;

        spl_ical_check_bytes(odd[i].bytes, odd[i].size, &checked);
        assert_false(checked.ok);
        spl_record_clear(&spl_ical_checked_shape, &checked);
    }
}

static void a_file_of_nothing_but_faults_stops_at_the_limit(void **state)
{
    g_autoptr(GString) text = g_string_new(NULL);
    struct spl_ical_checked checked;

    (void)state;
    for (int i = 0; i < 100000; i++)
        g_string_append(text, "BEGIN:VEVENT\n");
    spl_ical_check_bytes(text->str, text->len, &checked);
    assert_true(checked.more);
    assert_int_equal(checked.findings->len, SPL_ICAL_FINDINGS_MAX);
    spl_record_clear(&spl_ical_checked_shape, &checked);
}

static void a_missing_file_and_a_folder_are_errors(void **state)
{
    g_autoptr(GError) error = NULL;
    struct spl_ical_checked checked;

    (void)state;
    assert_false(spl_ical_check_file(DATA "not-there.ics", &checked, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "not-there.ics");
    assert_false(spl_ical_check_file(DATA, &checked, &error));
    expect_error(error, SPL_ERROR_INVALID, "ical");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_file_in_order_has_no_finding),
    cmocka_unit_test(each_broken_file_is_found_by_its_own_rule_alone),
    cmocka_unit_test(every_rule_has_a_broken_file),
    cmocka_unit_test(habits_of_others_are_remarks_and_no_errors),
    cmocka_unit_test(the_line_of_a_finding_is_the_one_in_the_file),
    cmocka_unit_test(what_is_no_calendar_is_found_without_harm),
    cmocka_unit_test(a_file_of_nothing_but_faults_stops_at_the_limit),
    cmocka_unit_test(a_missing_file_and_a_folder_are_errors),
};
expect_main(tests)
