/* SPDX-License-Identifier: MIT
 *
 * What went wrong, as people and as programs read it.
 */
#include "cli.h"

#include <string.h>

/* What stands on stderr behind the line that names today; the whole of it must be one object. */
static json_t *failure(struct cli *cli, const char *line, int status)
{
    const char *said;
    json_error_t error;
    json_t *json;

    cli_run(cli, line);
    assert_int_equal(cli->status, status);
    assert_string_equal(cli->out, "");
    said = strchr(cli->err, '\n');
    json = said != NULL ? json_loads(said, 0, &error) : NULL;
    if (json == NULL)
        json = json_loads(cli->err, 0, &error);
    if (json == NULL)
        fail_msg("%s: no JSON (%s): %s", line, error.text, cli->err);
    assert_int_equal(json_object_size(json), 5);
    assert_true(json_is_string(json_object_get(json, "error")));
    assert_true(json_is_array(json_object_get(json, "reasons")));
    return json;
}

static void a_program_gets_one_object(void **state)
{
    struct cli *cli = *state;
    json_t *json = failure(cli, "check Nowhere --json", 1);

    assert_string_equal(json_text(json, "kind"), "not-found");
    assert_non_null(strstr(json_text(json, "error"), "Nowhere"));
    assert_string_equal(json_text(json, "input"), "site");
    assert_string_equal(json_text(json_object_get(json, "next"), "action"), "site-list");
    json_decref(json);
    json = failure(cli, "harvest show --json --nosuch", 2);
    assert_string_equal(json_text(json, "kind"), "usage");
    assert_true(json_is_null(json_object_get(json, "next")));
    json_decref(json);
    json = failure(cli, "--json nosuch", 2);
    assert_string_equal(json_text(json, "kind"), "usage");
    json_decref(json);
    /* A helper of libexec answers like the program itself. */
    json = failure(cli, "hazard import nosuch.shp --method road --json", 1);
    assert_string_equal(json_text(json, "kind"), "not-found");
    json_decref(json);
}

/* A refusal brings every reason, with what would settle it, and so do a hold and the log. */
static void every_reason_is_brought(void **state)
{
    struct cli *cli = *state;
    const json_t *reasons, *next;
    json_t *json, *list;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10");
    json =
        cli_json(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage rosette --json");
    reasons = json_object_get(json, "reasons");
    assert_int_equal(json_array_size(reasons), 2);
    assert_string_equal(json_text(json_array_get(reasons, 0), "kind"), "leave-missing");
    assert_string_equal(json_text(json_array_get(reasons, 1), "kind"), "word-missing");
    assert_string_equal(json_text(json, "held"),
                        "ask: nobody has given leave to gather; nobody has "
                        "said whether it is sprayed");
    json_decref(json);
    list = cli_json(cli, "harvest list --json");
    reasons = json_object_get(json_array_get(list, 0), "reasons");
    assert_int_equal(json_array_size(reasons), 2);
    next = json_object_get(json_array_get(reasons, 1), "next");
    assert_string_equal(json_text(next, "action"), "spray-note");
    /* The kept text stays as it was. */
    assert_non_null(strstr(json_text(json_array_get(list, 0), "verdict_reasons"), "word-missing"));
    json_decref(list);
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-06-01 --source seen");
    json = failure(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage rosette --json",
                   4);
    assert_string_equal(json_text(json, "kind"), "closed");
    assert_int_equal(json_array_size(json_object_get(json, "reasons")), 3);
    assert_string_equal(json_text(json_object_get(json, "next"), "action"), "wait");
    assert_string_equal(json_text(json_object_get(json, "next"), "until"), "2030-06-01");
    json_decref(json);
    cli_run(cli, "check --all");
    assert_non_null(strstr(cli->out,
                           "sprayed on the site; nobody has given leave to gather; nobody "
                           "has said whether it is sprayed"));
}

/* Down the chain each reason is a record: on what it stands, what it rests on, what would settle
 * it.
 */
static void what_is_held_says_why_as_records(void **state)
{
    struct cli *cli = *state;
    const json_t *because, *cause;
    json_t *json;

    cli_ok(cli, "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage rosette "
                "--on 2027-06-10 --named-by Edda --signs 'stinging hairs'");
    cli_ok(cli, "batch start tincture --from H27-001:50g --jar 250mL --menstruum 'spirit 60%' "
                "--on 2027-06-10");
    json = cli_json(cli, "hazard add 'Low Croft' --method boom --at 54.6012,-2.5871 "
                         "--on 2027-06-01 --json");
    assert_string_equal(json_text(json_array_get(json_object_get(json, "touched"), 0), "code"),
                        "H27-001");
    assert_string_equal(json_text(json_array_get(json_object_get(json, "touched"), 1), "code"),
                        "B27-001");
    json_decref(json);
    json = cli_json(cli, "batch show B27-001 --json");
    because = json_object_get(json, "because");
    cause = json_array_get(because, 0); /* the worst */
    assert_true(json_array_size(because) >= 3);
    assert_string_equal(json_text(cause, "kind"), "hazard-sprayed");
    assert_string_equal(json_text(cause, "grade"), "stop");
    assert_true(json_is_true(json_object_get(cause, "holds")));
    assert_string_equal(json_text(cause, "of"), "H27-001");
    assert_true(json_is_string(json_object_get(cause, "evidence")));
    json_decref(json);
    json = cli_json(cli, "site edit 'Withy Gill' --contaminated 'an old tip' --json");
    assert_string_equal(json_text(json_array_get(json_object_get(json, "touched"), 0), "code"),
                        "H27-001");
    json_decref(json);
}

/* Below the line, quoted for the shell; done, it is settled. */
static void people_are_told_what_would_settle_it(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add \"Hunter's Wood\" --at 54.6012,-2.5871 --accuracy 10");
    cli_run(cli, "harvest add \"Hunter's Wood\" valerian/root --weight 400g --stage rosette");
    assert_non_null(strstr(cli->err, "\n  simpling site permit 'Hunter'\\''s Wood' --given"));
    cli_ok(cli, "site permit \"Hunter's Wood\" --given --by 'the tenant' --parts root "
                "--on 2027-06-01");
    cli_ok(cli, "spray note \"Hunter's Wood\" --kind unsprayed --source 'the tenant' "
                "--since 2020-01-01 --on 2027-06-05");
    cli_ok(cli, "harvest add \"Hunter's Wood\" valerian/root --weight 400g --stage rosette "
                "--on 2027-06-10 --named-by Edda --signs 'smell'");
    cli_run(cli, "batch start tincture --from H27-001:50g --jar 500mL --menstruum 'spirit 60%'");
    assert_non_null(
        strstr(cli->err, "\n  simpling stand mark 'Hunter'\\''s Wood' valerian --seen"));
    cli_ok(cli, "stand mark 'Hunter'\\''s Wood' valerian --seen flower --on 2027-06-09");
    cli_ok(cli, "batch start tincture --from H27-001:50g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-06-11");
}

static void people_get_one_line(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "check Nowhere", 1, "Nowhere");
    /* Behind a double dash it is a name. */
    cli_run(cli, "check -- --json");
    assert_non_null(strstr(cli->err, "\nsimpling: --json"));
}

static const struct CMUnitTest tests[] = {
    cli_test(a_program_gets_one_object),
    cli_test(every_reason_is_brought),
    cli_test(what_is_held_says_why_as_records),
    cli_test(people_are_told_what_would_settle_it),
    cli_test(people_get_one_line),
};
expect_main(tests)
