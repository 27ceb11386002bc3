/* SPDX-License-Identifier: MIT
 *
 * Calendars at the command line: outings with their hours, a calendar of each kind, and the grades
 * of what is wrong with a file.
 */
#include <glib/gstdio.h>

#include "calendar_file.h"

static void plan_an_outing(struct cli *cli, gboolean zone)
{
    if (zone)
        cli_ok(cli, "book set zone Europe/London");
    cli_ok(cli, "book set home 54.5903,-2.6021");
    cli_ok(cli, "book set speed 30");
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stand set 'Withy Gill' elder --area 200m2 --cover 50%");
    cli_ok(cli, "plan add 'for the winter' tincture elder/flower --yield 300mL");
    cli_ok(cli, "plan outings --days sat --nodes 200 --keep");
}

/* The sun rose at Penrith, 10 km away, on 26 June at about 04:38 (a table of sunrises, from
 * memory), and the dew takes three hours. The way: 1.55 km as the crow flies (the haversine
 * formula, by hand), by road 1.3 times as much, 2 km, at 30 km/h 4 minutes. */
static void an_outing_takes_its_hours_and_says_how_to_get_there_and_back(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *start = NULL, *about = NULL, *end = NULL;
    json_t *busy, *piece;

    plan_an_outing(cli, TRUE);
    cli_ok(cli, "calendar write --what outings --out o.ics");
    cli_ok(cli, "calendar check o.ics");
    text = read_file(cli, "o.ics");
    entry = entry_of(text, "Outing: Withy Gill");
    start = value_of(entry, "DTSTART;TZID=Europe/London");
    end = value_of(entry, "DTEND;TZID=Europe/London");
    about = value_of(entry, "DESCRIPTION");
    assert_true(strcmp(start, "20270626T073000") > 0 && strcmp(start, "20270626T074600") < 0);
    assert_true(strcmp(end, start) > 0);
    assert_non_null(strstr(entry, "TRANSP:OPAQUE"));
    assert_non_null(strstr(about, "when the dew is off"));
    assert_non_null(
        strstr(about, "Travel: to Withy Gill 2 km\\, 4 min\\; way home 2 km\\, 4 min."));
    assert_non_null(strstr(about, "Withy Gill: nothing known against it."));
    assert_non_null(strstr(about, "of Elderflower for for the winter"));
    assert_non_null(strstr(entry, "DESCRIPTION:Tomorrow: Outing: Withy Gill"));
    /* The herbalist is away; and planning anew does not stand in its own way. */
    busy = cli_json(cli, "calendar busy o.ics --from 2027-06-20 --to 2027-07-20 --json");
    piece = only(busy, "busy");
    assert_string_equal(json_text(piece, "date"), "2027-06-26");
    json_decref(busy);
    busy = cli_json(cli, "calendar busy o.ics --others --from 2027-06-20 --to 2027-07-20 --json");
    assert_int_equal(json_array_size(json_object_get(busy, "busy")), 0);
    json_decref(busy);
    busy = cli_json(cli, "plan outings --days sat --nodes 200 --busy o.ics --json");
    assert_string_equal(json_text(only(busy, "outings"), "date"), "2027-06-26");
    json_decref(busy);
}

static void an_outing_at_another_hour_stays_there(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL, *from = NULL, *start = NULL, *end = NULL;
    json_t *read;

    plan_an_outing(cli, TRUE);
    cli_ok(cli, "calendar write --what outings --out o.ics");
    text = read_file(cli, "o.ics");
    entry = entry_of(text, "Outing: Withy Gill");
    start = value_of(entry, "DTSTART");
    end = value_of(entry, "DTEND");
    from =
        g_strdup_printf("DTSTART;TZID=Europe/London:%s\r\nDTEND;TZID=Europe/London:%s", start, end);
    /* In UTC, as some programs write it, on the next day at ten in the morning. */
    change(cli, "o.ics", "Outing: Withy Gill", from,
           "DTSTART:20270627T090000Z\r\nDTEND:20270627T110000Z");
    read = cli_json(cli, "calendar read o.ics --apply --json");
    assert_string_equal(json_text(only(read, "moved"), "first"), "2027-06-27");
    assert_string_equal(json_text(only(read, "kept"), "change"), "time");
    assert_string_equal(json_text(only(read, "kept"), "text"), "10:00");
    json_decref(read);
    cli_ok(cli, "calendar write --what outings --out o.ics");
    g_free(text);
    text = read_file(cli, "o.ics");
    assert_non_null(strstr(text, "DTSTART;TZID=Europe/London:20270627T100000\r\n"));
    assert_non_null(strstr(text, "DTEND;TZID=Europe/London:20270627T120000\r\n"));
    read = cli_json(cli, "calendar read o.ics --json");
    assert_int_equal(json_array_size(json_object_get(read, "moved")), 0);
    assert_int_equal(json_array_size(json_object_get(read, "kept")), 0);
    json_decref(read);
}

static void without_a_zone_an_outing_takes_the_day_and_says_why(void **state)
{
    struct cli *cli = *state;
    g_autofree char *text = NULL, *entry = NULL;

    plan_an_outing(cli, FALSE);
    cli_ok(cli, "calendar write --what outings --out o.ics");
    text = read_file(cli, "o.ics");
    entry = entry_of(text, "Outing: Withy Gill");
    assert_non_null(strstr(entry, "DTSTART;VALUE=DATE:20270626"));
    assert_non_null(strstr(entry, "TRANSP:OPAQUE"));
    assert_non_null(strstr(entry, "as long as the book has no zone"));
}

static void each_kind_has_a_calendar_with_a_name_of_its_own(void **state)
{
    static const char *const kinds[] = {"windows", "steps", "checks"};
    struct cli *cli = *state;
    g_autofree char *off = NULL, *none = path_in(cli, "k/outings.ics");

    season(cli);
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-20");
    cli_ok(cli, "lot use L27-001:60mL --for 1042");
    cli_ok(cli, "batch start tincture --from H27-001:40g --jar 250mL --menstruum 'spirit "
                "40%, Ash Beck Still, 98' --on 2027-06-19");
    cli_ok(cli, "calendar write --kinds k");
    for (gsize i = 0; i < G_N_ELEMENTS(kinds); i++) {
        g_autofree char *file = g_strdup_printf("k/%s.ics", kinds[i]);
        g_autofree char *name = g_strdup_printf("\r\nNAME:Herb season: %s\r\n", kinds[i]);
        g_autofree char *line = g_strdup_printf("\r\nCATEGORIES:%s\r\n", kinds[i]);
        g_autofree char *text = read_file(cli, file);

        assert_non_null(strstr(text, name));
        assert_non_null(strstr(text, line));
        for (gsize j = 0; j < G_N_ELEMENTS(kinds); j++) {
            g_autofree char *other = g_strdup_printf("\r\nCATEGORIES:%s\r\n", kinds[j]);

            assert_true((strstr(text, other) != NULL) == (i == j));
        }
        /* To whom it went, and what is to be asked, are nobody's business there. */
        assert_null(strstr(text, "1042"));
        assert_null(strstr(text, "uestion"));
    }
    assert_false(g_file_test(none, G_FILE_TEST_EXISTS)); /* there is no outing */
    expect_counts(cli, "calendar write --kinds k --json", 0, 0, 0);
    /* Each is whole of its kind: what is dropped is called off there. */
    cli_ok(cli, "batch step B27-002 shake --drop --why 'no need'");
    expect_counts(cli, "calendar write --kinds k --json", 0, 0, 1);
    off = read_file(cli, "k/steps.ics");
    assert_non_null(strstr(off, "SUMMARY:Called off: Shake B27-002"));
    cli_refused(cli, "calendar write --kinds k --out a.ics", 2, "kinds");
}

static void remarks_are_no_failure(void **state)
{
    struct cli *cli = *state;

    write_text(cli, "export.ics",
               "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nMETHOD:PUBLISH\r\n"
               "BEGIN:VEVENT\r\nUID:7a@example.org\r\nDTSTAMP:20270301T080000Z\r\n"
               "DTSTART;VALUE=DATE:20270504\r\nSUMMARY:Tea\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n");
    assert_non_null(strstr(cli_ok(cli, "calendar check export.ics"), "2 remarks"));
    write_text(cli, "broken.ics",
               "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nMETHOD:PUBLISH\r\n"
               "BEGIN:VEVENT\r\nUID:7a@example.org\r\nDTSTAMP:20270301T080000Z\r\n"
               "DTSTART;VALUE=DATE:20270504\r\nRRULE:FREQ=MONTHLY;BYWEEKNO=3\r\nEND:VEVENT\r\n"
               "END:VCALENDAR\r\n");
    cli_run(cli, "calendar check broken.ics");
    assert_int_equal(cli->status, 1);
    assert_non_null(strstr(cli->err, "1 error;"));
}

#define test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

static const struct CMUnitTest tests[] = {
    test(an_outing_takes_its_hours_and_says_how_to_get_there_and_back),
    test(an_outing_at_another_hour_stays_there),
    test(without_a_zone_an_outing_takes_the_day_and_says_why),
    test(each_kind_has_a_calendar_with_a_name_of_its_own),
    test(remarks_are_no_failure),
};
expect_main(tests)
