/* SPDX-License-Identifier: MIT
 *
 * Steps of a batch that are put off, dropped and taken up again.
 */
#include "cli.h"

static void start_batch(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --weight 300g --stage 61 --on 2027-06-19 "
                "--named-by Edda --signs 'woody shrub, corky bark'");
    cli_ok(cli, "batch start tincture --from H27-001:80g --jar 500mL --menstruum 'spirit 40%, Ash "
                "Beck Still, 98' --on 2027-06-19");
}

/* A step of what the line prints. */
static void expect(struct cli *cli, const char *line, const char *step, const char *due,
                   const char *done, const char *dropped)
{
    json_t *batch = cli_json(cli, line), *item;
    size_t i;

    json_array_foreach(json_object_get(batch, "steps"), i, item)
    {
        if (strcmp(json_text(item, "step"), step) != 0)
            continue;
        assert_string_equal(json_text(item, "due"), due);
        assert_string_equal(json_text(item, "done"), done);
        assert_string_equal(json_text(item, "dropped"), dropped);
        json_decref(batch);
        return;
    }
    fail_msg("%s: no step '%s' in %s%s", line, step, cli->out, cli->err);
}

static void a_step_is_put_off_dropped_and_taken_up_again(void **state)
{
    struct cli *cli = *state;

    start_batch(cli);
    expect(cli, "batch step B27-001 strain --due 2027-08-20 --json", "strain", "2027-08-20", "",
           "");
    expect(cli, "batch step B27-001 shake --drop --why 'it needs none' --json", "shake",
           "2027-06-21", "", "2027-06-20");
    assert_null(strstr(cli_ok(cli, "batch list"), "shake"));
    cli->today = "2027-06-25";
    assert_null(strstr(cli_ok(cli, "--json"), "shake"));
    expect(cli, "batch step B27-001 shake --due 2027-06-27 --json", "shake", "2027-06-27", "", "");
    expect(cli, "batch step B27-001 shake --drop --json", "shake", "2027-06-21", "", "2027-06-25");
    /* Doing it later takes it up again too. */
    cli->today = "2027-06-28";
    expect(cli, "batch step B27-001 shake --json", "shake", "2027-06-30", "2027-06-28", "");
    cli_ok(cli, "book check");
    /* Pressed, the batch still says what was dropped and what done. */
    expect(cli, "batch step B27-001 ready --drop --json", "ready", "2027-07-31", "", "2027-06-28");
    cli->today = "2027-08-20";
    cli_ok(cli, "batch press B27-001 --yield 400mL");
    expect(cli, "batch show B27-001 --json", "ready", "2027-07-31", "", "2027-06-28");
    expect(cli, "batch show B27-001 --json", "strain", "2027-08-14", "2027-08-20", "");
}

static void what_cannot_be_put_off_or_dropped_is_refused(void **state)
{
    struct cli *cli = *state;

    start_batch(cli);
    cli_refused(cli, "batch step B27-001 use-by --drop", 2, "no work");
    cli_refused(cli, "batch step B27-001 use-by --due 2030-01-01", 2, "no work");
    cli_refused(cli, "batch step B27-001 turn --drop", 1, "no open step 'turn'");
    cli_refused(cli, "batch step B27-001 strain --due 2027-06-01", 2, "before the batch");
    cli_refused(cli, "batch step B27-001 shake --drop --due 2027-07-01", 2, "say one");
    cli_refused(cli, "batch step B27-001 shake --drop --on 2027-06-20", 2, "say one");
    cli_refused(cli, "batch step B27-001 shake --why 'so it is'", 2, "--why: goes only with");
    cli_refused(cli, "batch step B27-001 shake --due soon", 2, "--due");
    cli_ok(cli, "batch step B27-001 shake --drop");
    cli_refused(cli, "batch step B27-001 shake --drop", 1, "no open step 'shake'");
    cli_refused(cli, "batch step B27-009 shake --drop", 1, "B27-009");
}

/* The words of a sheet, without spaces: a day may stand on two lines of its cell. */
static char *words_of(struct cli *cli, const char *line, const char *file)
{
    g_autofree char *path = g_build_filename(cli->folder, file, NULL);
    const char *argv[] = {"pdftotext", "-raw", "-enc", "UTF-8", path, "-", NULL};
    char *text = NULL, *to;
    int status = 0;

    cli_ok(cli, line);
    assert_true(g_spawn_sync(NULL, (char **)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &text,
                             NULL, &status, NULL));
    assert_int_equal(status, 0);
    to = text;
    for (const char *from = text; *from != '\0'; from++)
        if (!g_ascii_isspace(*from))
            *to++ = *from;
    *to = '\0';
    return text;
}

/* "2027-12-09" after these words, as "9Dec2027" or "9December2027". */
static void expect_day(const char *words, const char *before, const char *iso)
{
    static const char *const months[][2] = {
        {"Jan", "January"},   {"Feb", "February"}, {"Mar", "March"},    {"Apr", "April"},
        {"May", "May"},       {"June", "June"},    {"July", "July"},    {"Aug", "August"},
        {"Sep", "September"}, {"Oct", "October"},  {"Nov", "November"}, {"Dec", "December"}};
    int year, month, day;
    gboolean said = FALSE;

    assert_int_equal(sscanf(iso, "%d-%d-%d", &year, &month, &day), 3);
    for (int i = 0; i < 2; i++) {
        g_autofree char *wanted =
            g_strdup_printf("%s%d%s%d", before, day, months[month - 1][i], year);

        said = said || strstr(words, wanted) != NULL;
    }
    if (!said)
        fail_msg("%s%s is not said in %s", before, iso, words);
}

/* The ledger of the shelf has a jar's days of being ready and strained, and its next step. */
static void expect_the_ledger_says(struct cli *cli, const json_t *batch)
{
    g_autofree char *words = words_of(cli, "draw shelf --out shelf.pdf --force", "shelf.pdf");
    gboolean next = FALSE;
    json_t *step;
    size_t i;

    json_array_foreach(json_object_get(batch, "steps"), i, step)
    {
        const char *name = json_text(step, "step");
        const gboolean column = strcmp(name, "ready") == 0 || strcmp(name, "strain") == 0;

        if (*json_text(step, "done") != '\0')
            continue;
        if (column)
            expect_day(words, "", json_text(step, "due"));
        if (!next) {
            g_autofree char *before = g_strconcat(name, ",", NULL);

            expect_day(words, before, json_text(step, "due"));
            next = TRUE;
        }
    }
    assert_true(next);
}

/* The days of a jar as its own command says them, held against the shelf's sheet, the list, the
 * calendar and the day's screen. */
static void expect_one_day_for_each_step(struct cli *cli, const char *code)
{
    g_autofree char *show = g_strdup_printf("batch show %s --json", code);
    g_autofree char *calendar = g_strdup(cli_ok(cli, "calendar write --what steps --out -"));
    json_t *batch = cli_json(cli, show), *list = cli_json(cli, "batch list --json");
    json_t *today = cli_json(cli, "--json"), *step, *one;
    const char *next = NULL;
    gsize found = 0;
    size_t i, k;

    json_array_foreach(json_object_get(batch, "steps"), i, step)
    {
        const char *name = json_text(step, "step"), *due = json_text(step, "due");
        g_autofree char *first = g_ascii_strup(name, 1);
        g_autofree char *words = g_strdup_printf("SUMMARY:%s%s %s", first, name + 1, code);
        g_autofree char *start =
            g_strdup_printf("DTSTART;VALUE=DATE:%.4s%.2s%.2s", due, due + 5, due + 8);
        g_auto(GStrv) events = g_strsplit(calendar, "BEGIN:VEVENT", -1);

        if (*json_text(step, "done") != '\0')
            continue;
        if (next == NULL)
            next = due;
        for (char **event = events; *event != NULL; event++) {
            if (strstr(*event, words) == NULL)
                continue;
            found++;
            if (strstr(*event, start) == NULL)
                fail_msg("%s %s is due %s; the calendar says %s", code, name, due, *event);
        }
        json_array_foreach(json_object_get(today, "due"), k, one)
        {
            if (strcmp(json_text(one, "code"), code) == 0 &&
                strcmp(json_text(one, "step"), name) == 0)
                assert_string_equal(json_text(one, "due"), due);
        }
    }
    assert_true(found > 0);
    json_array_foreach(list, i, one)
    {
        if (strcmp(json_text(one, "code"), code) == 0 && next != NULL)
            assert_string_equal(json_text(one, "next_due"), next);
    }
    expect_the_ledger_says(cli, batch);
    json_decref(batch);
    json_decref(list);
    json_decref(today);
}

/* The day by which a lot is to be used, wherever it is said. */
static void expect_one_use_by(struct cli *cli, const char *code, const char *by)
{
    g_autofree char *show = g_strdup_printf("lot show %s --json", code);
    g_autofree char *summary = g_strdup_printf("SUMMARY:Use by %s", code);
    g_autofree char *start = g_strdup_printf("DTSTART;VALUE=DATE:%.4s%.2s%.2s", by, by + 5, by + 8);
    g_autofree char *shelf = NULL, *label = NULL;
    g_auto(GStrv) events = NULL;
    json_t *lot = cli_json(cli, show), *list = cli_json(cli, "lot list --json"), *one;
    gboolean told = FALSE;
    size_t i;

    assert_string_equal(json_text(lot, "use_by"), by);
    json_array_foreach(list, i, one)
    {
        if (strcmp(json_text(one, "code"), code) == 0)
            assert_string_equal(json_text(one, "use_by"), by);
    }
    events = g_strsplit(cli_ok(cli, "calendar write --what steps --out -"), "BEGIN:VEVENT", -1);
    for (char **event = events; *event != NULL; event++) {
        if (strstr(*event, summary) == NULL)
            continue;
        told = TRUE;
        if (strstr(*event, start) == NULL)
            fail_msg("%s is to be used by %s; the calendar says %s", code, by, *event);
    }
    assert_true(told);
    shelf = words_of(cli, "draw shelf --out shelf.pdf --force", "shelf.pdf");
    expect_day(shelf, "", by);
    label = words_of(cli, "label L27-001 --out label.pdf --force", "label.pdf");
    expect_day(label, "useby", by);
    json_decref(lot);
    json_decref(list);
}

static void one_day_for_one_thing(void **state)
{
    struct cli *cli = *state;

    start_batch(cli);
    expect_one_day_for_each_step(cli, "B27-001");
    cli_ok(cli, "batch step B27-001 strain --due 2027-08-20");
    expect_one_day_for_each_step(cli, "B27-001");
    cli->today = "2027-06-22";
    cli_ok(cli, "batch step B27-001 top-up");
    cli_ok(cli, "amend B27-001 --on 2027-06-20 --why 'a day later'");
    expect_one_day_for_each_step(cli, "B27-001");
    cli->today = "2027-08-20";
    cli_ok(cli, "batch press B27-001 --yield 400mL");
    json_t *lot = cli_json(cli, "lot show L27-001 --json");
    g_autofree char *by = g_strdup(json_text(lot, "use_by"));

    json_decref(lot);
    expect_one_use_by(cli, "L27-001", by);
    cli_ok(cli, "amend L27-001 --use-by 2028-12-24 --why 'the old cork'");
    expect_one_use_by(cli, "L27-001", "2028-12-24");
}

#define test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

static const struct CMUnitTest tests[] = {
    test(one_day_for_one_thing),
    test(a_step_is_put_off_dropped_and_taken_up_again),
    test(what_cannot_be_put_off_or_dropped_is_refused),
};
expect_main(tests)
