/* Steps of a batch that are put off, dropped and taken up again. */
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

#define test(name) cmocka_unit_test_setup_teardown(name, cli_set_up, cli_tear_down)

static const struct CMUnitTest tests[] = {
    test(a_step_is_put_off_dropped_and_taken_up_again),
    test(what_cannot_be_put_off_or_dropped_is_refused),
};
expect_main(tests)
