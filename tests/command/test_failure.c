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
    assert_true(json_is_null(json_object_get(json, "input")));
    assert_true(json_is_null(json_object_get(json, "next")));
    json_decref(json);
    json = failure(cli, "harvest show --json --nosuch", 2);
    assert_string_equal(json_text(json, "kind"), "usage");
    json_decref(json);
    json = failure(cli, "--json nosuch", 2);
    assert_string_equal(json_text(json, "kind"), "usage");
    json_decref(json);
    /* A helper of libexec answers like the program itself. */
    json = failure(cli, "hazard import nosuch.shp --method road --json", 1);
    assert_string_equal(json_text(json, "kind"), "not-found");
    json_decref(json);
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
    cli_test(people_get_one_line),
};
expect_main(tests)
