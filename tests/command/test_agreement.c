/* SPDX-License-Identifier: MIT
 *
 * Whatever one command says, another may not deny: verdicts, windows, allowances and plans of the
 * demo, asked in every way that there is.
 */
#include "cli.h"

#include <string.h>

static struct cli demo;

static json_t *asked(const char *format, ...) G_GNUC_PRINTF(1, 2);

/* A line for the demo's book; json_decref the answer. */
static json_t *asked(const char *format, ...)
{
    g_autofree char *line = NULL;
    va_list values;

    va_start(values, format);
    line = g_strdup_vprintf(format, values);
    va_end(values);
    return cli_json(&demo, line);
}

static json_t *find(const json_t *list, const char *key, const char *value)
{
    for (size_t i = 0; i < json_array_size(list); i++) {
        if (strcmp(json_text(json_array_get(list, i), key), value) == 0)
            return json_array_get(list, i);
    }
    return NULL;
}

static void check_and_the_lists_give_one_verdict(void **state)
{
    json_t *sites = asked("site list --json"), *all = asked("check --all --json");
    json_t *today = asked("--json"), *ask = json_object_get(today, "ask");

    (void)state;
    assert_true(json_array_size(sites) >= 8);
    assert_int_equal(json_array_size(all), json_array_size(sites));
    for (size_t i = 0; i < json_array_size(sites); i++) {
        json_t *site = json_array_get(sites, i);
        const char *name = json_text(site, "name"), *verdict = json_text(site, "verdict");
        json_t *check = asked("check '%s' --json", name);
        int status = demo.status;

        assert_string_equal(json_text(check, "verdict"), verdict);
        assert_string_equal(json_text(find(all, "site", name), "verdict"), verdict);
        assert_int_equal(status, strcmp(verdict, "clear") == 0 ? 0
                                 : strcmp(verdict, "ask") == 0 ? 3
                                                               : 4);
        /* The worst reason is the verdict's own. */
        assert_string_equal(
            json_text(json_array_get(json_object_get(check, "reasons"), 0), "verdict"), verdict);
        if (find(ask, "site", name) != NULL && strcmp(verdict, "ask") != 0)
            fail_msg("%s: today says ask, check says %s", name, verdict);
        json_decref(check);
    }
    json_decref(sites);
    json_decref(all);
    json_decref(today);
}

static void the_log_takes_what_check_allows(void **state)
{
    json_t *sites = asked("site list --json");

    (void)state;
    for (size_t i = 0; i < json_array_size(sites); i++) {
        const char *name = json_text(json_array_get(sites, i), "name");
        json_t *check = asked("check '%s' ribwort/leaf --json", name);
        const char *verdict = json_text(check, "verdict");
        g_autofree char *line =
            g_strdup_printf("harvest add '%s' ribwort/leaf --weight 5g --stage 35 --json", name);

        cli_run(&demo, line);
        if (strcmp(verdict, "closed") == 0) {
            assert_int_equal(demo.status, 4);
            assert_string_equal(demo.out, "");
        } else {
            json_t *harvest = json_loads(demo.out, 0, NULL);

            assert_int_equal(demo.status, 0);
            assert_string_equal(json_text(harvest, "verdict"), verdict);
            assert_int_equal(json_is_string(json_object_get(harvest, "held")),
                             strcmp(verdict, "ask") == 0);
            json_decref(harvest);
        }
        json_decref(check);
    }
    json_decref(sites);
}

static void check_and_window_list_give_one_window(void **state)
{
    static const char *const materials[] = {"dandelion/leaf", "elder/flower", "nettle/leaf"};
    json_t *sites = asked("site list --json");

    (void)state;
    for (size_t i = 0; i < json_array_size(sites); i++) {
        const char *name = json_text(json_array_get(sites, i), "name");

        for (gsize m = 0; m < G_N_ELEMENTS(materials); m++) {
            json_t *check = asked("check '%s' %s --json", name, materials[m]);
            json_t *list =
                asked("window list --site '%s' --material %s --json", name, materials[m]);

            if (!json_equal(json_object_get(check, "window"), list))
                fail_msg("%s, %s: check and window list differ", name, materials[m]);
            json_decref(check);
            json_decref(list);
        }
    }
    json_decref(sites);
}

static void check_and_stand_list_give_one_allowance(void **state)
{
    json_t *stands = asked("stand list --json");

    (void)state;
    assert_true(json_array_size(stands) > 5);
    for (size_t i = 0; i < json_array_size(stands); i++) {
        json_t *stand = json_array_get(stands, i), *left = json_object_get(stand, "left_g");
        json_t *check =
            asked("check '%s' %s --json", json_text(stand, "site"), json_text(stand, "material"));

        if (!json_equal(json_object_get(check, "allowance_g"), left))
            fail_msg("%s, %s: check says %.0f g, stand list %.0f g", json_text(stand, "site"),
                     json_text(stand, "material"), json_number(check, "allowance_g"),
                     json_number(stand, "left_g"));
        json_decref(check);
    }
    json_decref(stands);
}

/* A plan's day, its site's verdict and what it takes, against check on that day. */
static void outing_agrees(const json_t *outing)
{
    const char *date = json_text(outing, "date"), *reserve = json_text(outing, "reserve");
    const json_t *stops = json_object_get(outing, "sites");

    for (size_t s = 0; s < json_array_size(stops); s++) {
        const json_t *stop = json_array_get(stops, s), *takes = json_object_get(stop, "takes");
        gboolean ask = FALSE;

        for (size_t t = 0; t < json_array_size(takes); t++) {
            const json_t *take = json_array_get(takes, t);
            const char *site = json_text(stop, "site"), *material = json_text(take, "material");
            json_t *check = asked("check '%s' %s --on %s --json", site, material, date);
            json_t *then = asked("check '%s' %s --on %s --json", site, material,
                                 *reserve != '\0' ? reserve : date);

            ask = ask || strcmp(json_text(check, "verdict"), "ask") == 0 ||
                  strcmp(json_text(then, "verdict"), "ask") == 0;
            assert_string_not_equal(json_text(check, "verdict"), "closed");
            if (json_number(take, "grams") > json_number(check, "allowance_g") + 1)
                fail_msg("%s, %s: the plan takes %.0f g of %.0f g", site, material,
                         json_number(take, "grams"), json_number(check, "allowance_g"));
            json_decref(check);
            json_decref(then);
        }
        assert_string_equal(json_text(stop, "verdict"), ask ? "ask" : "clear");
    }
}

static void a_plan_says_of_its_days_what_check_says_of_them(void **state)
{
    json_t *plan = asked("plan outings --json"), *outings = json_object_get(plan, "outings");

    (void)state;
    assert_true(json_array_size(outings) >= 1);
    for (size_t i = 0; i < json_array_size(outings); i++)
        outing_agrees(json_array_get(outings, i));
    json_decref(plan);
}

static void a_lots_trace_and_its_harvests_trace_meet(void **state)
{
    json_t *back = asked("trace L26-001 --json"), *harvests = json_object_get(back, "harvests");

    (void)state;
    assert_true(json_array_size(harvests) >= 1);
    for (size_t i = 0; i < json_array_size(harvests); i++) {
        json_t *forward = asked("trace %s --json", json_text(json_array_get(harvests, i), "code"));

        assert_non_null(find(json_object_get(forward, "lots"), "code", "L26-001"));
        json_decref(forward);
    }
    json_decref(back);
}

/* What a list says of a record is what its own command says of it; what a list does not look up it
 * does not mention. */
static void lists_say_what_show_says_or_nothing(void **state)
{
    static const char *const nouns[] = {"harvest", "purchase", "dry", "batch", "lot"};
    gsize compared = 0;

    (void)state;
    for (gsize n = 0; n < G_N_ELEMENTS(nouns); n++) {
        json_t *list = asked("%s list --json", nouns[n]), *one, *value;
        const char *key;
        size_t i;

        json_array_foreach(list, i, one)
        {
            const char *code = json_text(one, "code");
            json_t *shown = asked("%s show %s --json", nouns[n], code);

            json_object_foreach(one, key, value)
            {
                const json_t *other = json_object_get(shown, key);

                if (other == NULL && strcmp(nouns[n], "batch") == 0)
                    continue; /* a line of the ledger has words of its own */
                compared++;
                if (!json_equal(value, other)) {
                    g_autofree char *said = json_dumps(value, JSON_ENCODE_ANY);

                    fail_msg("%s list says of %s: %s is %s, show does not", nouns[n], code, key,
                             said);
                }
            }
            json_decref(shown);
            if (i >= 5)
                break; /* a few of each */
        }
        assert_true(i > 0);
        json_decref(list);
    }
    assert_true(compared > 200);
}

static int set_up(void **state)
{
    g_autofree char *line = NULL;

    (void)state;
    demo = (struct cli){.today = CLI_TODAY};
    demo.folder = g_dir_make_tmp("simpling-agree-XXXXXX", NULL);
    demo.book = g_build_filename(demo.folder, "book.db", NULL);
    line = g_strdup_printf("demo '%s'", demo.folder);
    if (cli_run(&demo, line) != 0) {
        print_error("%s: %s\n", line, demo.err);
        return -1;
    }
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    cli_remove(demo.folder);
    return 0;
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_and_the_lists_give_one_verdict),
        cmocka_unit_test(check_and_window_list_give_one_window),
        cmocka_unit_test(check_and_stand_list_give_one_allowance),
        cmocka_unit_test(a_plan_says_of_its_days_what_check_says_of_them),
        cmocka_unit_test(a_lots_trace_and_its_harvests_trace_meet),
        cmocka_unit_test(lists_say_what_show_says_or_nothing),
        cmocka_unit_test(the_log_takes_what_check_allows),
    };

    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
