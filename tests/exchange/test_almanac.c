/* SPDX-License-Identifier: MIT
 *
 * Almanacs: the shipped ones whole, calendars made by hand, and that nothing is dropped silently.
 */
#include <unistd.h>

#include <glib/gstdio.h>

#include "exchange/almanac.h"
#include "exchange/ical_check.h"
#include "exchange/table_files.h"
#include "expect.h"

static struct spl_tables *tables;

static int set_up(void **state)
{
    g_autoptr(GError) error = NULL;

    (void)state;
    tables = spl_tables_load(SPL_SOURCE_DIR "/data", NULL, &error);
    if (error != NULL)
        print_error("%s\n", error->message);
    return tables == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    spl_tables_free(tables);
    return 0;
}

static void expect_day(struct spl_day day, const char *wanted)
{
    char text[SPL_DAY_TEXT_SIZE];

    assert_string_equal(spl_day_format(day, text), wanted);
}

/* The shipped almanacs pass the checker and are understood to the last event. */
static void the_shipped_almanacs_are_in_order_and_understood(void **state)
{
    static const char *const names[] = {"britain.ics", "central-europe.ics",
                                        "northeast-america.ics"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *path = g_build_filename(SPL_SOURCE_DIR "/calendars", names[i], NULL);
        g_autoptr(GError) error = NULL;
        struct spl_ical_checked checked;
        struct spl_almanac_read read;

        assert_true(spl_ical_check_file(path, &checked, &error));
        for (guint j = 0; j < checked.findings->len; j++) {
            struct spl_ical_finding *finding =
                &g_array_index(checked.findings, struct spl_ical_finding, j);

            fail_msg("%s line %d: %s: %s", names[i], finding->line, finding->rule,
                     finding->message);
        }
        if (!spl_almanac_read_file(path, tables, &read, &error))
            fail_msg("%s", error->message);
        for (guint j = 0; j < read.not_understood->len; j++) {
            struct spl_ical_left *left =
                &g_array_index(read.not_understood, struct spl_ical_left, j);

            fail_msg("%s line %d: %s: %s", names[i], left->line, left->what, left->why);
        }
        assert_int_equal(read.rows->len, checked.events);
        for (guint j = 0; j < read.rows->len; j++) {
            struct spl_almanac_row *row = &g_array_index(read.rows, struct spl_almanac_row, j);

            assert_true(spl_almanac_row_check(row, &error));
            assert_true(spl_almanac_row_has_place(row));
            assert_true(spl_almanac_row_has_normals(row));
            assert_non_null(row->source);
            assert_string_equal(row->almanac, read.name);
            if (spl_tables_material_by_slug(tables, row->material) == NULL)
                fail_msg("%s is not in the tables", row->material);
        }
        assert_non_null(read.normals_source);
        spl_record_clear(&spl_ical_checked_shape, &checked);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
}

static void read_text(const char *text, struct spl_almanac_read *read)
{
    g_autofree char *path = NULL;
    g_autoptr(GError) error = NULL;
    int fd = g_file_open_tmp("my valley XXXXXX.ics", &path, NULL);

    close(fd);
    assert_true(g_file_set_contents(path, text, -1, NULL));
    if (!spl_almanac_read_file(path, tables, read, &error))
        fail_msg("%s", error->message);
    g_unlink(path);
}

#define EVENT(uid, lines) "BEGIN:VEVENT\nUID:" uid "\n" lines "END:VEVENT\n"

/* As somebody types them into a calendar application. */
static void a_calendar_made_by_hand_is_understood_by_its_titles(void **state)
{
    static const char text[] = "BEGIN:VCALENDAR\nVERSION:2.0\n" EVENT(
        "a", "DTSTART;VALUE=DATE:20250412\nDTEND;VALUE=DATE:20250503\nSUMMARY:Nettle leaf\n"
             "RRULE:FREQ=YEARLY\n")
        EVENT("b",
              "DTSTART:20250601T090000Z\nDTEND:20250610T170000Z\nSUMMARY:elderflower\n"
              "CATEGORIES:Food\n") EVENT("c",
                                         "DTSTART;VALUE=DATE:20250901\nDTEND;VALUE=DATE:20250915\n"
                                         "SUMMARY:Nettle leaf - second growth\n")
            EVENT("d", "DTSTART;VALUE=DATE:20250704\nSUMMARY:Dentist\n") EVENT(
                "e", "DTSTART;VALUE=DATE:20250704\nSUMMARY:dandelion\n")
                EVENT("f", "DTSTART;VALUE=DATE:20250230\nSUMMARY:Hawthorn berries\n") EVENT(
                    "g",
                    "DTSTART;VALUE=DATE:20250101\nDTEND;VALUE=DATE:20260401\nSUMMARY:Nettle seed\n")
                    EVENT("h", "DTSTART;VALUE=DATE:20250301\nSUMMARY:Nettle "
                               "root\nSTATUS:CANCELLED\n") "BEGIN:VTODO\nUID:i\nDUE;VALUE=DATE:"
                                                           "20250704\nSUMMARY:Nettle "
                                                           "leaf\nEND:VTODO\n"
                                                           "END:VCALENDAR\n";
    struct spl_almanac_read read;
    struct spl_almanac_row *row;

    (void)state;
    read_text(text, &read);
    assert_int_equal(read.rows->len, 3);
    assert_true(g_str_has_prefix(read.name, "my valley"));
    row = &g_array_index(read.rows, struct spl_almanac_row, 0);
    assert_string_equal(row->material, "nettle/leaf");
    assert_string_equal(row->use, "medicine");
    assert_int_equal(row->flush, 1);
    expect_day(row->start, "2025-04-12");
    expect_day(row->end, "2025-05-02");
    row = &g_array_index(read.rows, struct spl_almanac_row, 1);
    assert_string_equal(row->material, "elder/flower");
    assert_string_equal(row->use, "food");
    expect_day(row->start, "2025-06-01");
    expect_day(row->end, "2025-06-10");
    row = &g_array_index(read.rows, struct spl_almanac_row, 2);
    assert_string_equal(row->material, "nettle/leaf");
    assert_int_equal(row->flush, 2);
    /* d to i: a foreign title, one that could be several, a day that is none, too long, cancelled,
     * a task. */
    assert_int_equal(read.not_understood->len, 6);
    spl_record_clear(&spl_almanac_read_shape, &read);
}

/* As people title what they will do. */
static void titles_with_pictures_and_the_word_for_picking_are_understood(void **state)
{
    static const struct {
        const char *title, *material; /* NULL: not understood */
    } cases[] = {
        {"Pick yarrow", "yarrow/herb"},
        {"elderflower \xf0\x9f\x8c\xbc", "elder/flower"},
        {"\xf0\x9f\x8c\xbf Gather nettle leaf (medicine)", "nettle/leaf"},
        {"\xe2\x98\x98\xef\xb8\x8f nettle leaf", "nettle/leaf"},
        {"Cut the hedge", NULL},
        {"\xf0\x9f\x8c\xbc", NULL},
        {"Pick", NULL},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(cases); i++) {
        struct spl_almanac_read read;
        g_autofree char *text =
            g_strdup_printf("BEGIN:VCALENDAR\nVERSION:2.0\n" EVENT(
                                "a", "DTSTART;VALUE=DATE:20250412\nDTEND;VALUE=DATE:"
                                     "20250503\nSUMMARY:%s\n") "END:VCALENDAR\n",
                            cases[i].title);

        read_text(text, &read);
        if (read.rows->len != (cases[i].material != NULL))
            fail_msg("%s: %u rows", cases[i].title, read.rows->len);
        if (cases[i].material != NULL)
            assert_string_equal(g_array_index(read.rows, struct spl_almanac_row, 0).material,
                                cases[i].material);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
}

static void what_an_almanac_says_badly_is_said_and_the_rest_kept(void **state)
{
    static const char text[] =
        "BEGIN:VCALENDAR\nVERSION:2.0\nX-WR-CALNAME:Test\nX-SIMPLING-NORMALS:1 2 3\n" EVENT(
            "a", "DTSTART;VALUE=DATE:20250412\nDTEND;VALUE=DATE:20250503\nSUMMARY:x\n"
                 "X-SIMPLING-MATERIAL:nettle/leaf\nX-SIMPLING-STAGES:200-300\n"
                 "X-SIMPLING-FLUSH:two\nX-SIMPLING-EVERY:-1\nX-SIMPLING-ELEVATION:high\n"
                 "RRULE:FREQ=MONTHLY\n")
            EVENT("b",
                  "DTSTART;VALUE=DATE:20250412\nSUMMARY:x\nX-SIMPLING-MATERIAL:moonwort/leaf\n")
                EVENT("c",
                      "DTSTART;VALUE=DATE:20250412\nSUMMARY:x\nX-SIMPLING-MATERIAL:no such thing\n")
                    EVENT("a",
                          "DTSTART;VALUE=DATE:20250501\nSUMMARY:Nettle leaf\n") "END:VCALENDAR\n";
    struct spl_almanac_read read;
    struct spl_almanac_row *row;

    (void)state;
    read_text(text, &read);
    assert_string_equal(read.name, "Test");
    assert_int_equal(read.rows->len, 2);
    row = &g_array_index(read.rows, struct spl_almanac_row, 0);
    assert_true(isnan(row->stage_from));
    assert_int_equal(row->flush, 1);
    assert_int_equal(row->every_days, 0);
    assert_true(isnan(row->elevation_m));
    row = &g_array_index(read.rows, struct spl_almanac_row, 1);
    assert_string_equal(row->material, "moonwort/leaf");
    /* stages, flush, every, elevation, monthly rule; unknown slug kept; no slug; UID twice; normals
     */
    assert_int_equal(read.not_understood->len, 9);
    spl_record_clear(&spl_almanac_read_shape, &read);
}

static void what_is_no_calendar_is_an_error(void **state)
{
    g_autoptr(GError) error = NULL;
    struct spl_almanac_read read;

    (void)state;
    assert_false(spl_almanac_read_file(SPL_SOURCE_DIR "/LICENSE", tables, &read, &error));
    expect_error(error, SPL_ERROR_CORRUPT, "LICENSE");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_shipped_almanacs_are_in_order_and_understood),
    cmocka_unit_test(a_calendar_made_by_hand_is_understood_by_its_titles),
    cmocka_unit_test(titles_with_pictures_and_the_word_for_picking_are_understood),
    cmocka_unit_test(what_an_almanac_says_badly_is_said_and_the_rest_kept),
    cmocka_unit_test(what_is_no_calendar_is_an_error),
};

int main(int argc, char **argv)
{
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
