/* SPDX-License-Identifier: MIT
 *
 * What an entry of ours says of itself: marks, and what of a text is the person's.
 */
#include "expect.h"

#include "exchange/entry_mark.h"
#include "exchange/ical_read.h"

/* The values are those that Fowler, Noll and Vo publish with FNV-1a (from memory). */
static void a_mark_is_of_the_letters_alone(void **state)
{
    guint length;

    (void)state;
    assert_int_equal(spl_text_mark("", NULL), 0x811c9dc5);
    assert_int_equal(spl_text_mark(NULL, &length), 0x811c9dc5);
    assert_int_equal(length, 0);
    assert_int_equal(spl_text_mark("a", NULL), 0xe40c292c);
    assert_int_equal(spl_text_mark("foobar", NULL), 0xbf9cf968);
    assert_int_equal(spl_text_mark(" foo\r\n\tbar ", &length), 0xbf9cf968);
    assert_int_equal(length, 6);
}

static void a_mark_comes_back_as_it_was(void **state)
{
    static const struct spl_entry_mark marks[] = {
        {1, 2, 3, 4, 5, 6, -1, -1},
        {G_MAXUINT32, 0, 1, 0xabcdef, 0, G_MAXUINT32, 0, 1440},
        {7, 7, 7, 7, 7, 70000, 1439, 0},
    };
    static const char *const bad[] = {"",
                                      "x",
                                      "1-2.3-4-5-6",
                                      "1-2.3-4-5-6-",
                                      "1-2.3-4-5-6-x",
                                      "1-2.3-4-5-6-1440.0",
                                      "1-2.3-4-5-6-1.1441",
                                      "1-2.3-4-5-6-1.2.3",
                                      "1-2.3-4-5-6--1.2",
                                      "100000000-2.3-4-5-6-day",
                                      "1-2-3-4-5-6-day",
                                      " 1-2.3-4-5-6-day"};
    char text[SPL_ENTRY_MARK_SIZE];
    struct spl_entry_mark back;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(marks); i++) {
        spl_entry_mark_format(&marks[i], text);
        assert_true(spl_entry_mark_parse(text, &back));
        assert_memory_equal(&back, &marks[i], sizeof back);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++)
        if (spl_entry_mark_parse(bad[i], &back))
            fail_msg("'%s' is taken for a mark", bad[i]);
    assert_false(spl_entry_mark_parse(NULL, &back));
}

static void of_a_text_what_was_added_is_the_persons(void **state)
{
    static const struct {
        const char *text, *note;
        gboolean whole;
    } cases[] = {
        {"Best from 4 May.\nCheck again.", NULL, FALSE},
        {"Best from 4 May. Check again.  \r\n", NULL, FALSE},
        {"Best from 4 May.\nCheck again.\nTake the ladder.", "Take the ladder.", FALSE},
        {"Take the ladder.\n\nBest from 4 May.\nCheck again.", "Take the ladder.", FALSE},
        {"Best from 4 May.\nCheck again.\n\nYour note:\nTake the ladder.\nAnd bags.",
         "Take the ladder.\nAnd bags.", FALSE},
        {"Best from 4 May.\nCheck again.\n\nYour note:\n", NULL, FALSE},
        {"Best from 4 May.\nTake the ladder.\nCheck again.",
         "Best from 4 May.\nTake the ladder.\nCheck again.", TRUE},
        {"Take the ladder.", "Take the ladder.", TRUE},
        {"", NULL, TRUE},
        {NULL, NULL, FALSE},
    };
    struct spl_entry_mark mark = {0};

    (void)state;
    mark.own = spl_text_mark("Best from 4 May.\nCheck again.", &mark.own_length);
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        gboolean whole;
        g_autofree char *note = spl_entry_mark_note(&mark, cases[i].text, &whole);

        if (g_strcmp0(note, cases[i].note) != 0 || whole != cases[i].whole)
            fail_msg("%s: note '%s', whole %d", cases[i].text, note, whole);
    }
}

/* The alarms of each entry as minutes before it begins, by hand. */
static void alarms_are_read_as_minutes_before_the_start(void **state)
{
#define EVENT(times, alarms)                                                                       \
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"            \
    "DTSTAMP:20270101T000000Z\r\n" times alarms "END:VEVENT\r\nEND:VCALENDAR\r\n"
#define ALARM(trigger, more)                                                                       \
    "BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\n" more "TRIGGER" trigger                   \
    "\r\nEND:VALARM\r\n"
#define DAYS "DTSTART;VALUE=DATE:20270720\r\nDTEND;VALUE=DATE:20270722\r\n"
#define HOURS "DTSTART:20270720T080000Z\r\nDTEND:20270720T100000Z\r\n"
    static const struct {
        const char *text, *zone, *alarms;
    } cases[] = {
        {EVENT(DAYS, ""), NULL, ""},
        {EVENT(DAYS, ALARM(":-PT15H", "")), NULL, "900"},
        {EVENT(DAYS, ALARM(":-P1DT15H", "") ALARM(":-PT15H", "")), NULL, "900,2340"},
        {EVENT(DAYS, ALARM(":PT8H", "")), NULL, "-480"},
        {EVENT(DAYS, ALARM(";RELATED=END:-P2D", "")), NULL, "0"},
        {EVENT(HOURS, ALARM(";RELATED=END:-PT3H", "")), NULL, "60"},
        {EVENT(HOURS, ALARM(";VALUE=DATE-TIME:20270720T073000Z", "")), NULL, "30"},
        /* Nine in the morning of the day before, in London's summer. */
        {EVENT(DAYS, ALARM(";VALUE=DATE-TIME:20270719T080000Z", "")), "Europe/London", "900"},
        {EVENT(DAYS, ALARM(":-PT15H", "") ALARM(":-PT5M", "RELATED-TO;RELTYPE=SNOOZE:7\r\n")), NULL,
         "900"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(spl_ical_reader) reader =
            spl_ical_reader_open_bytes(cases[i].text, strlen(cases[i].text), NULL, &error);
        g_autofree char *alarms = NULL;
        struct spl_entry entry, copy;

        expect_ok(error);
        spl_entry_init(&entry);
        assert_true(spl_ical_reader_next(reader, &entry, &error));
        alarms = spl_entry_alarms_text(&entry, cases[i].zone);
        if (strcmp(alarms, cases[i].alarms) != 0)
            fail_msg("%s\nalarms %s, not %s", cases[i].text, alarms, cases[i].alarms);
        spl_entry_init(&copy);
        spl_entry_set_alarms(&copy, alarms);
        {
            g_autofree char *again = spl_entry_alarms_text(&copy, NULL);

            assert_string_equal(again, alarms);
        }
        spl_entry_clear(&entry);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_mark_is_of_the_letters_alone),
    cmocka_unit_test(a_mark_comes_back_as_it_was),
    cmocka_unit_test(of_a_text_what_was_added_is_the_persons),
    cmocka_unit_test(alarms_are_read_as_minutes_before_the_start),
};
expect_main(tests)
