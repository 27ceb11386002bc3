/* SPDX-License-Identifier: MIT
 *
 * Reading foreign calendars: what is forgiven, what is left out and said, what is refused, and that
 * hostile files cost neither time nor memory. Sections are of RFC 5545 unless named otherwise. */
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "exchange/busy.h"
#include "exchange/ical_read.h"
#include "expect.h"

#define HEAD "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n"
#define FOOT "END:VCALENDAR\r\n"
#define EVENT(uid, lines) "BEGIN:VEVENT\r\nUID:" uid "\r\n" lines "END:VEVENT\r\n"

/* Everything in `text`, at most `most` entries; the caller clears them. */
static int read_all(const char *text, gssize size, struct spl_entry *entries, int most,
                    spl_ical_reader **out, GError **error)
{
    GError *failure = NULL;
    int n = 0;

    *out = spl_ical_reader_open_bytes(text, size < 0 ? strlen(text) : (gsize)size, NULL, error);
    if (*out == NULL)
        return -1;
    for (int i = 0; i < most; i++)
        spl_entry_init(&entries[i]);
    while (n < most && spl_ical_reader_next(*out, &entries[n], &failure))
        n++;
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return -1;
    }
    return n;
}

static void clear_all(struct spl_entry *entries, int most, spl_ical_reader *reader)
{
    for (int i = 0; i < most; i++)
        spl_entry_clear(&entries[i]);
    spl_ical_reader_free(reader);
}

static void expect_day(struct spl_day day, const char *wanted)
{
    char text[SPL_DAY_TEXT_SIZE];

    assert_string_equal(spl_day_format(day, text), wanted);
}

static void days_times_and_ends_come_out_inclusive(void **state)
{
    static const struct {
        const char *lines, *first, *last;
        int start_min, end_min;
    } cases[] = {
        /* 3.6.1, 3.8.2.2 */
        {"DTSTART;VALUE=DATE:20270504\r\nDTEND;VALUE=DATE:20270513\r\n", "2027-05-04", "2027-05-12",
         -1, -1},
        {"DTSTART;VALUE=DATE:20270504\r\n", "2027-05-04", "2027-05-04", -1, -1},
        {"DTSTART;VALUE=DATE:20270504\r\nDURATION:P1W\r\n", "2027-05-04", "2027-05-10", -1, -1},
        {"DTSTART:20270504T090000Z\r\nDTEND:20270504T103000Z\r\n", "2027-05-04", "2027-05-04", 540,
         630},
        {"DTSTART:20270504T220000Z\r\nDURATION:PT3H\r\n", "2027-05-04", "2027-05-05", 1320, 60},
        {"DTSTART:20270504T220000Z\r\nDTEND:20270505T000000Z\r\n", "2027-05-04", "2027-05-04", 1320,
         1440},
        /* the type given although it is the default, 3.2.20 */
        {"DTSTART;VALUE=DATE-TIME:20270504T090000Z\r\nDTEND;VALUE=DATE-TIME:20270504T100000Z\r\n",
         "2027-05-04", "2027-05-04", 540, 600},
        /* an end in UTC beside a start in a zone: 11:30Z is 12:30 in Britain in May */
        {"DTSTART;TZID=Europe/London:20270504T120000\r\nDTEND:20270504T113000Z\r\n", "2027-05-04",
         "2027-05-04", 720, 750},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *text = g_strconcat(HEAD "BEGIN:VEVENT\r\nUID:a\r\n", cases[i].lines,
                                            "END:VEVENT\r\n" FOOT, NULL);
        g_autoptr(GError) error = NULL;
        struct spl_entry entry[1];
        spl_ical_reader *reader;

        assert_int_equal(read_all(text, -1, entry, 1, &reader, &error), 1);
        expect_ok(error);
        expect_day(entry[0].first, cases[i].first);
        expect_day(entry[0].last, cases[i].last);
        assert_int_equal(entry[0].start_min, cases[i].start_min);
        assert_int_equal(entry[0].end_min, cases[i].end_min);
        clear_all(entry, 1, reader);
    }
}

static void tasks_are_due_on_the_day_that_people_mean(void **state)
{
    static const struct {
        const char *lines, *first, *due;
        int due_min;
        gboolean done;
    } cases[] = {
        /* the day after the start: by the letter of 3.8.2.3; else the day itself, as programs have
         * it
         */
        {"DTSTART;VALUE=DATE:20270504\r\nDUE;VALUE=DATE:20270505\r\n", "2027-05-04", "2027-05-04",
         -1, FALSE},
        {"DTSTART;VALUE=DATE:20270504\r\nDUE;VALUE=DATE:20270504\r\n", "2027-05-04", "2027-05-04",
         -1, FALSE},
        {"DTSTART;VALUE=DATE:20270504\r\nDUE;VALUE=DATE:20270508\r\n", "2027-05-04", "2027-05-08",
         -1, FALSE},
        {"DUE;VALUE=DATE:20270505\r\nSTATUS:COMPLETED\r\n", "2027-05-05", "2027-05-05", -1, TRUE},
        {"DTSTART:20270504T080000Z\r\nDUE:20270504T180000Z\r\nPERCENT-COMPLETE:100\r\n",
         "2027-05-04", "2027-05-04", 1080, TRUE},
        {"DTSTART;VALUE=DATE:20270504\r\nCOMPLETED;VALUE=DATE-TIME:20270506T070000Z\r\n",
         "2027-05-04", NULL, -1, TRUE},
        {"DTSTART;VALUE=DATE:20270504\r\nPERCENT-COMPLETE:900\r\n", "2027-05-04", NULL, -1, TRUE},
        {"DTSTART;VALUE=DATE:20270504\r\nSTATUS:NEEDS-ACTION\r\nPERCENT-COMPLETE:abc\r\n",
         "2027-05-04", NULL, -1, FALSE},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *text = g_strconcat(HEAD "BEGIN:VTODO\r\nUID:a\r\n", cases[i].lines,
                                            "END:VTODO\r\n" FOOT, NULL);
        g_autoptr(GError) error = NULL;
        struct spl_entry entry[1];
        spl_ical_reader *reader;

        assert_int_equal(read_all(text, -1, entry, 1, &reader, &error), 1);
        assert_int_equal(entry[0].kind, SPL_ENTRY_TASK);
        expect_day(entry[0].first, cases[i].first);
        if (cases[i].due != NULL)
            expect_day(entry[0].due, cases[i].due);
        assert_int_equal(entry[0].due_min, cases[i].due_min);
        assert_int_equal(entry[0].done, cases[i].done);
        clear_all(entry, 1, reader);
    }
}

/* Each reads as exactly one event on 4 May 2027. */
static void what_applications_get_wrong_is_forgiven(void **state)
{
    static const char *const texts[] = {
        /* bare LF */
        "BEGIN:VCALENDAR\nVERSION:2.0\nBEGIN:VEVENT\nUID:a\nDTSTART;VALUE=DATE:20270504\n"
        "SUMMARY:Nettle leaf\nEND:VEVENT\nEND:VCALENDAR\n",
        /* CR only */
        "BEGIN:VCALENDAR\rVERSION:2.0\rBEGIN:VEVENT\rUID:a\rDTSTART;VALUE=DATE:20270504\r"
        "SUMMARY:Nettle leaf\rEND:VEVENT\rEND:VCALENDAR\r",
        /* byte order mark, no line end at the end */
        "\xef\xbb\xbf" HEAD EVENT(
            "a", "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:Nettle leaf\r\n") "END:VCALENDAR",
        /* bare event */
        EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:Nettle leaf\r\n"),
        /* lower case */
        "begin:vcalendar\r\nbegin:vevent\r\nuid:a\r\ndtstart;value=date:20270504\r\n"
        "summary:Nettle leaf\r\nend:vevent\r\nend:vcalendar\r\n",
        /* junk before */
        "HTTP/1.1 200 OK\r\n\r\n" HEAD EVENT(
            "a", "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:Nettle leaf\r\n") FOOT,
        /* two calendars, the second empty */
        HEAD EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:Nettle leaf\r\n") FOOT HEAD FOOT,
        /* folds, also with a TAB, also inside the name */
        HEAD "BEGIN:VEVENT\r\nUID:a\r\nDTSTART;VALUE=DATE:2027\r\n 0504\r\nSUM\r\n\tMARY:Nettle "
             "\r\n leaf\r\nEND:VEVENT\r\n" FOOT,
        /* an alarm with a UID and DURATION of its own (RFC 9074) */
        HEAD EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:Nettle leaf\r\nBEGIN:VALARM\r\n"
                        "UID:other\r\nDURATION:PT5M\r\nEND:VALARM\r\n") FOOT,
        /* a long parameter with quotes that nobody needs */
        HEAD EVENT("a", "DTSTART;X-A=\";:\";VALUE=DATE:20270504\r\nSUMMARY;ALTREP=\"data:;a,b\":"
                        "Nettle leaf\r\n") FOOT,
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++) {
        g_autoptr(GError) error = NULL;
        struct spl_entry entry[2];
        spl_ical_reader *reader;

        if (read_all(texts[i], -1, entry, 2, &reader, &error) != 1)
            fail_msg("case %d: %s", (int)i, error != NULL ? error->message : "not one event");
        expect_ok(error);
        expect_day(entry[0].first, "2027-05-04");
        assert_string_equal(entry[0].uid, "a");
        assert_string_equal(entry[0].summary, "Nettle leaf");
        assert_int_equal(spl_ical_scan_n_left_out(spl_ical_reader_scan(reader)), 0);
        clear_all(entry, 2, reader);
    }
}

static void a_character_cut_by_a_fold_is_put_together(void **state)
{
    static const char text[] = HEAD "BEGIN:VEVENT\r\nUID:a\r\nDTSTART;VALUE=DATE:20270504\r\n"
                                    "SUMMARY:caf\xc3\r\n \xa9\r\nEND:VEVENT\r\n" FOOT;
    g_autoptr(GError) error = NULL;
    struct spl_entry entry[1];
    spl_ical_reader *reader;

    (void)state;
    assert_int_equal(read_all(text, -1, entry, 1, &reader, &error), 1);
    assert_string_equal(entry[0].summary, "caf\xc3\xa9");
    clear_all(entry, 1, reader);
}

/* 30 February among the further days is said; the day before it and the event stay. */
static void a_further_day_that_does_not_exist_is_said(void **state)
{
    static const char text[] =
        HEAD EVENT("a", "DTSTART;VALUE=DATE:20270201\r\nRDATE;VALUE=DATE:20270228\r\n"
                        "RDATE;VALUE=DATE:20270230\r\n") FOOT;
    g_autoptr(GError) error = NULL;
    struct spl_entry entry[1];
    spl_ical_reader *reader;
    GArray *left;

    (void)state;
    assert_int_equal(read_all(text, -1, entry, 1, &reader, &error), 1);
    assert_int_equal(entry[0].extra->len, 1);
    left = spl_ical_scan_left_out(spl_ical_reader_scan(reader));
    assert_int_equal(left->len, 1);
    assert_non_null(
        strstr(g_array_index(left, struct spl_ical_left, 0).why, "further days does not exist"));
    clear_all(entry, 1, reader);
}

/* In each the first event is left out and named, and the second still read. */
/* Our own properties as any other text: in any case of the name, with parameters, folded (3.1) and
 * escaped (3.3.11); of two of a name the first is found; nothing of one entry is left in the next.
 */
static void properties_of_our_own_are_texts(void **state)
{
    static const char text[] =
        HEAD EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nX-SIMPLING-MATERIAL:nettle/\r\n leaf\r\n"
                        "x-simpling-Note;VALUE=TEXT;X-A=\":;\":a\\,b\\;c\\\\d: e\\nf\r\n"
                        "X-SIMPLING-NOTE:later\r\nX-SIMPLING-EMPTY: \r\n"
                        "X-OTHER:never asked for\r\n"
                        "BEGIN:VALARM\r\nX-SIMPLING-USE:food\r\nEND:VALARM\r\n")
            EVENT("b", "DTSTART;VALUE=DATE:20270504\r\nX-SIMPLING-USE:\xc3\xa9t\xc3\xa9\r\n") FOOT;
    g_autoptr(GError) error = NULL;
    struct spl_entry entries[2];
    spl_ical_reader *reader;

    (void)state;
    assert_int_equal(read_all(text, -1, entries, 2, &reader, &error), 2);
    assert_string_equal(spl_entry_get_x(&entries[0], "X-SIMPLING-MATERIAL"), "nettle/leaf");
    assert_string_equal(spl_entry_get_x(&entries[0], "X-SIMPLING-NOTE"), "a,b;c\\d: e f");
    assert_null(spl_entry_get_x(&entries[0], "X-SIMPLING-EMPTY"));
    assert_null(spl_entry_get_x(&entries[0], "X-SIMPLING-USE"));
    assert_null(spl_entry_get_x(&entries[0], "X-OTHER"));
    assert_null(spl_entry_get_x(&entries[1], "X-SIMPLING-MATERIAL"));
    assert_string_equal(spl_entry_get_x(&entries[1], "X-SIMPLING-USE"), "\xc3\xa9t\xc3\xa9");
    clear_all(entries, 2, reader);
}

static void one_bad_entry_does_not_spoil_the_rest(void **state)
{
    static const struct {
        const char *bad, *why;
    } cases[] = {
        {EVENT("a", "DTSTART;VALUE=DATE:20260230\r\n"), "does not exist"},
        {EVENT("a", "DTSTART:20260504T250000Z\r\n"), "does not exist"},
        {EVENT("a", "DTSTART;VALUE=DATE:00000101\r\n"), "does not exist"},
        {EVENT("a", "DTSTART;VALUE=DATE:00010101\r\n"), "before 1601"},
        {EVENT("a", "DTSTART:99991231T100000Z\r\n"), "after 9990"},
        {EVENT("a", "SUMMARY:no day\r\n"), "no day"},
        {EVENT("a", "DTSTART:soon\r\n"), "no day"},
        {EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nDURATION:P99999999999D\r\n"), "duration"},
        {"BEGIN:VEVENT\r\nUID:a\r\nDTSTART;VALUE=DATE:20270504\r\n", "not closed"},
        {"BEGIN:VEVENT\r\nUID:a\r\nDTSTART;VALUE=DATE:20270504\r\nEND:VTODO\r\n", "END names"},
        {"BEGIN:VJOURNAL\r\nUID:a\r\nEND:VJOURNAL\r\n", "only events and tasks"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autofree char *text = g_strconcat(
            HEAD, cases[i].bad, EVENT("good", "DTSTART;VALUE=DATE:20270504\r\n") FOOT, NULL);
        g_autoptr(GError) error = NULL;
        struct spl_entry entry[2];
        spl_ical_reader *reader;
        GArray *left;

        assert_int_equal(read_all(text, -1, entry, 2, &reader, &error), 1);
        assert_string_equal(entry[0].uid, "good");
        left = spl_ical_scan_left_out(spl_ical_reader_scan(reader));
        assert_int_equal(left->len, 1);
        if (strstr(g_array_index(left, struct spl_ical_left, 0).why, cases[i].why) == NULL)
            fail_msg("case %d: '%s'", (int)i, g_array_index(left, struct spl_ical_left, 0).why);
        assert_int_equal(g_array_index(left, struct spl_ical_left, 0).line, 4);
        clear_all(entry, 2, reader);
    }
}

static void an_end_that_is_not_after_its_start_is_said_and_read_as_one_day(void **state)
{
    static const char text[] =
        HEAD EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nDTEND;VALUE=DATE:20270502\r\n") FOOT;
    g_autoptr(GError) error = NULL;
    struct spl_entry entry[1];
    spl_ical_reader *reader;

    (void)state;
    assert_int_equal(read_all(text, -1, entry, 1, &reader, &error), 1);
    expect_day(entry[0].last, "2027-05-04");
    assert_int_equal(spl_ical_scan_n_left_out(spl_ical_reader_scan(reader)), 1);
    clear_all(entry, 1, reader);
}

static void a_missing_uid_and_a_repeated_one_are_handed_on(void **state)
{
    static const char text[] =
        HEAD "BEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20270504\r\nEND:VEVENT\r\n" EVENT(
            "a", "DTSTART;VALUE=DATE:20270505\r\n") EVENT("a", "DTSTART;VALUE=DATE:20270506\r\n")
            FOOT;
    g_autoptr(GError) error = NULL;
    struct spl_entry entry[4];
    spl_ical_reader *reader;

    (void)state;
    assert_int_equal(read_all(text, -1, entry, 4, &reader, &error), 3);
    assert_null(entry[0].uid);
    assert_string_equal(entry[1].uid, "a");
    assert_string_equal(entry[2].uid, "a");
    clear_all(entry, 4, reader);
}

static void zones_are_found_by_name_by_location_and_by_their_end(void **state)
{
    static const char text[] =
        HEAD "BEGIN:VTIMEZONE\r\nTZID:Custom\r\nX-LIC-LOCATION:Europe/Vienna\r\nBEGIN:STANDARD\r\n"
             "DTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\n"
             "END:VTIMEZONE\r\n" EVENT("a", "DTSTART;TZID=Europe/London:20270504T090000\r\n")
                 EVENT("b", "DTSTART;TZID=Custom:20270504T090000\r\n")
                     EVENT("c", "DTSTART;TZID=/example.org/2005/Europe/Berlin:20270504T090000\r\n")
                         EVENT("d", "DTSTART;TZID=\"Somewhere, West\":20270504T090000\r\n")
                             EVENT("e", "DTSTART:20270504T090000\r\n") FOOT;
    g_autoptr(GError) error = NULL;
    struct spl_entry entry[6];
    spl_ical_reader *reader;

    (void)state;
    assert_int_equal(read_all(text, -1, entry, 6, &reader, &error), 5);
    assert_string_equal(entry[0].zone, "Europe/London");
    assert_string_equal(entry[1].zone, "Europe/Vienna");
    assert_string_equal(entry[2].zone, "Europe/Berlin");
    assert_null(entry[3].zone);
    assert_non_null(entry[3].tzid);
    assert_int_equal(entry[3].start_min, 540);
    assert_true(entry[4].floating);
    clear_all(entry, 6, reader);
}

static void a_truncated_file_gives_its_whole_entries_and_says_so(void **state)
{
    static const char text[] = HEAD EVENT("a", "DTSTART;VALUE=DATE:20270504\r\n")
        EVENT("b", "DTSTART;VALUE=DATE:20270505\r\n") "BEGIN:VEVENT\r\nUID:c\r\nDTSTART;VA";
    g_autoptr(GError) error = NULL;
    struct spl_entry entry[4];
    spl_ical_reader *reader;
    GArray *left;

    (void)state;
    assert_int_equal(read_all(text, -1, entry, 4, &reader, &error), 2);
    expect_ok(error);
    assert_true(spl_ical_scan_truncated(spl_ical_reader_scan(reader)));
    left = spl_ical_scan_left_out(spl_ical_reader_scan(reader));
    assert_true(left->len >= 1);
    assert_non_null(
        strstr(g_array_index(left, struct spl_ical_left, left->len - 1).why, "ends in the middle"));
    clear_all(entry, 4, reader);
}

/* Cut at every octet: never a crash, never an entry that was not whole. */
static void a_file_cut_anywhere_is_safe(void **state)
{
    static const char text[] =
        HEAD EVENT("a", "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:caf\xc3\xa9\r\n folded\r\n"
                        "BEGIN:VALARM\r\nTRIGGER:-PT5M\r\nEND:VALARM\r\n") FOOT;
    const char *whole = strstr(text, "END:VEVENT") + 10;

    (void)state;
    for (gsize size = 0; size < sizeof text; size++) {
        g_autoptr(GError) error = NULL;
        struct spl_entry entry[2];
        spl_ical_reader *reader;
        int n = read_all(text, (gssize)size, entry, 2, &reader, &error);

        if (n > 0 && size < (gsize)(whole - text))
            fail_msg("an entry from %d octets", (int)size);
        if (reader != NULL)
            clear_all(entry, 2, reader);
    }
}

static void what_is_no_calendar_is_refused_by_name(void **state)
{
    static const struct {
        const char *bytes;
        gsize size;
        const char *part;
    } cases[] = {
        {"", 0, "empty"},
        {" \r\n\r\n", 5, "empty"},
        {"\xff\xfe"
         "B\0E\0G\0",
         8, "UTF-16"},
        {"\xfe\xff\0B\0E", 6, "UTF-16"},
        {"B\0E\0G\0I\0N\0", 10, "UTF-16"},
        {"<!DOCTYPE html><html>", 21, "web page"},
        {"\n\n<?xml version=\"1.0\"?>", 23, "web page"},
        {"name,date\r\nNettle,2027-05-04\r\n", 30, "not an iCalendar"},
        {"BEGIN:VCARD\r\nVERSION:4.0\r\nEND:VCARD\r\n", 37, "not an iCalendar"},
        {"BEGIN:VCALENDAR\r\nX-A:a\0b\r\nEND:VCALENDAR\r\n", 43, "is not text"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        g_autoptr(GError) error = NULL;
        struct spl_entry entry[1];
        spl_ical_reader *reader;

        assert_int_equal(read_all(cases[i].bytes, (gssize)cases[i].size, entry, 1, &reader, &error),
                         -1);
        expect_error(error, SPL_ERROR_CORRUPT, cases[i].part);
        if (reader != NULL)
            clear_all(entry, 1, reader);
    }
}

static void files_that_cannot_be_read_are_refused(void **state)
{
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_null(spl_ical_reader_open("/nonexistent/a.ics", NULL, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "/nonexistent/a.ics");
    assert_null(spl_ical_reader_open("/", NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "folder");
}

/* ---- hostile files --------------------------------------------------------------------------- */

/* Reads `text` in a child, which must end within a second of processor time and 100 MB. Returns
 * TRUE when it was refused with SPL_ERROR_LIMIT. */
static gboolean is_refused_cheaply(const char *what, const GString *text, gboolean busy)
{
    g_autofree char *path = NULL;
    int fd = g_file_open_tmp("simpling-hostile-XXXXXX.ics", &path, NULL);
    struct rusage usage;
    int status;
    double seconds;
    pid_t child;

    assert_true(fd >= 0 && write(fd, text->str, text->len) == (gssize)text->len);
    close(fd);
    child = fork();
    if (child == 0) {
        g_autoptr(GError) error = NULL;
        int code;

        if (busy) {
            struct spl_busy_read out;

            if (spl_busy_read(path, spl_day_from_ymd(2027, 1, 1), spl_day_from_ymd(2027, 12, 31),
                              NULL, NULL, FALSE, &out, &error))
                spl_record_clear(&spl_busy_read_shape, &out);
        } else {
            spl_ical_reader *reader = spl_ical_reader_open(path, NULL, &error);
            struct spl_entry entry;

            spl_entry_init(&entry);
            while (reader != NULL && spl_ical_reader_next(reader, &entry, &error))
                ;
            spl_ical_reader_free(reader);
        }
        code = error == NULL ? 0 : g_error_matches(error, SPL_ERROR, SPL_ERROR_LIMIT) ? 1 : 2;
        _exit(code);
    }
    assert_int_equal(wait4(child, &status, 0, &usage), child);
    g_unlink(path);
    if (!WIFEXITED(status) || WEXITSTATUS(status) == 2)
        fail_msg("%s: the reader failed (%d)", what, status);
    seconds = (double)usage.ru_utime.tv_sec + (double)usage.ru_stime.tv_sec +
              (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
    print_message("%s: %s, %.2f s, %ld MB\n", what, WEXITSTATUS(status) == 1 ? "refused" : "read",
                  seconds, usage.ru_maxrss / 1024);
#if !defined(__SANITIZE_ADDRESS__)
    if (seconds > 1.0)
        fail_msg("%s: %.2f s", what, seconds);
    if (usage.ru_maxrss > 100 * 1024)
        fail_msg("%s: %ld MB", what, usage.ru_maxrss / 1024);
#endif
    return WEXITSTATUS(status) == 1;
}

static GString *repeated(const char *before, const char *part, int times, const char *after)
{
    GString *text = g_string_new(before);

    for (int i = 0; i < times; i++)
        g_string_append(text, part);
    return g_string_append(text, after);
}

#define BEFORE HEAD "BEGIN:VEVENT\r\nUID:a\r\nDTSTART;VALUE=DATE:20270504\r\n"
#define AFTER "\r\nEND:VEVENT\r\n" FOOT

static void hostile_files_are_refused_within_a_second_and_100_mb(void **state)
{
    GString *text;

    (void)state;
    text = repeated(HEAD, "BEGIN:VEVENT\r\n", 200000, FOOT);
    assert_true(is_refused_cheaply("200,000 nested events", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(HEAD, "BEGIN:VALARM\r\n", 200000, FOOT);
    assert_true(is_refused_cheaply("200,000 nested alarms", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(BEFORE "DESCRIPTION:", "0123456789", 2000000, AFTER);
    assert_true(is_refused_cheaply("a line of 20 MB", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(BEFORE "DESCRIPTION:", "0123456789\r\n ", 2000000, AFTER);
    assert_true(is_refused_cheaply("a folded line of 20 MB", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(BEFORE "SUMMARY", ";X-P=1", 80000, ":a" AFTER);
    assert_true(is_refused_cheaply("80,000 parameters", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(BEFORE "SUMMARY", ";X-P=1", 60, ":a" AFTER);
    assert_true(is_refused_cheaply("60 parameters", text, FALSE));
    g_string_free(text, TRUE);

    {
        GString *values = repeated(":a", ",b", 499, AFTER);

        text = repeated(BEFORE "CATEGORIES;X-P=", "0123456789", 100000, values->str);
        assert_true(is_refused_cheaply("1 MB parameter x 500 values", text, FALSE));
        g_string_free(text, TRUE);
        /* The same below the limits: nothing of it reaches libical. */
        text = repeated(BEFORE, "", 0, "");
        for (int i = 0; i < 1000; i++) {
            g_string_append(text, "CATEGORIES;X-P=");
            for (int j = 0; j < 6000; j++)
                g_string_append(text, "0123456789");
            g_string_append_len(text, values->str, (gssize)values->len - (gssize)strlen(AFTER));
            g_string_append(text, "\r\n");
        }
        g_string_append(text, "END:VEVENT\r\n" FOOT);
        assert_false(is_refused_cheaply("1,000 such lines", text, FALSE));
        g_string_free(values, TRUE);
        g_string_free(text, TRUE);
    }

    text = repeated(BEFORE, "nonsense\r\n", 500000, AFTER);
    assert_false(is_refused_cheaply("500,000 lines of nonsense", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(BEFORE, "SUMMARY:a\r\n", 500000, AFTER);
    assert_false(is_refused_cheaply("500,000 titles", text, FALSE));
    g_string_free(text, TRUE);

    text = repeated(HEAD, "BEGIN:V\r\nEND:V\r\n", 600000, FOOT);
    assert_true(is_refused_cheaply("600,000 components", text, FALSE));
    g_string_free(text, TRUE);
}

static void rules_that_never_end_are_not_expanded(void **state)
{
    static const char *const rules[] = {
        "FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=29;BYHOUR=3",
        "FREQ=SECONDLY",
        "FREQ=MINUTELY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=WEEKLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;BYHOUR=1,2,3;BYMINUTE=1,2,3",
        "FREQ=MONTHLY;BYMONTHDAY=31;BYMONTH=2,4",
        "FREQ=YEARLY;BYWEEKNO=53;BYMONTH=6",
        "FREQ=YEARLY;BYYEARDAY=366;BYMONTH=1",
        "FREQ=DAILY;BYSETPOS=366;BYDAY=MO",
        "FREQ=MONTHLY;BYDAY=5MO;BYMONTHDAY=1",
        "FREQ=DAILY;INTERVAL=30000",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=29,30,31;BYDAY=MO;INTERVAL=13"};
    GString *text = g_string_new(HEAD);

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rules); i++) {
        g_autofree char *name = g_strdup_printf("20 x %s", rules[i]);
        GString *one = g_string_new(HEAD);

        for (int j = 0; j < 20; j++) {
            g_string_append_printf(one,
                                   "BEGIN:VEVENT\r\nUID:u%d\r\nDTSTART:20200504T090000Z\r\n"
                                   "DURATION:PT1H\r\nRRULE:%s\r\nEND:VEVENT\r\n",
                                   j, rules[i]);
            g_string_append_printf(text,
                                   "BEGIN:VEVENT\r\nUID:u%d-%d\r\nDTSTART;VALUE=DATE:19700504\r\n"
                                   "RRULE:%s\r\nEND:VEVENT\r\n",
                                   (int)i, j, rules[i]);
        }
        g_string_append(one, FOOT);
        assert_false(is_refused_cheaply(name, one, TRUE));
        g_string_free(one, TRUE);
    }
    g_string_append(text, FOOT);
    assert_false(is_refused_cheaply("all of them together", text, TRUE));
    g_string_free(text, TRUE);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(days_times_and_ends_come_out_inclusive),
    cmocka_unit_test(tasks_are_due_on_the_day_that_people_mean),
    cmocka_unit_test(what_applications_get_wrong_is_forgiven),
    cmocka_unit_test(a_character_cut_by_a_fold_is_put_together),
    cmocka_unit_test(a_further_day_that_does_not_exist_is_said),
    cmocka_unit_test(properties_of_our_own_are_texts),
    cmocka_unit_test(one_bad_entry_does_not_spoil_the_rest),
    cmocka_unit_test(an_end_that_is_not_after_its_start_is_said_and_read_as_one_day),
    cmocka_unit_test(a_missing_uid_and_a_repeated_one_are_handed_on),
    cmocka_unit_test(zones_are_found_by_name_by_location_and_by_their_end),
    cmocka_unit_test(a_truncated_file_gives_its_whole_entries_and_says_so),
    cmocka_unit_test(a_file_cut_anywhere_is_safe),
    cmocka_unit_test(what_is_no_calendar_is_refused_by_name),
    cmocka_unit_test(files_that_cannot_be_read_are_refused),
    cmocka_unit_test(hostile_files_are_refused_within_a_second_and_100_mb),
    cmocka_unit_test(rules_that_never_end_are_not_expanded),
};
expect_main(tests)
