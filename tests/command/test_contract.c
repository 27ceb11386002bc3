/* SPDX-License-Identifier: MIT
 *
 * The outside face: which commands, options and JSON keys others may rely on, written down here a
 * second time, by hand, so that a change of the program that breaks a promise is seen.
 */
#include "cli.h"

#include <string.h>

#include "command/command.h"

/*
 * A promise about one command.
 *
 * options  names that must be there; with '*' those that may be repeated, with '!' those without a
 *          value
 * keys     of the JSON document: KEY:KIND with t text, d day, n number, b truth value, T texts,
 *          ? any list, [KEYS] list of records, (KEYS) one record. More keys may be there.
 * array    the document is an array of such records
 */
struct promise {
    const char *words, *options, *keys;
    gboolean array;
};

#define OUTING                                                                                     \
    "date:d reserve:d sites:[site:t verdict:t takes:[material:t grams:n for:T]] hours:n km:n"
#define HARVEST                                                                                    \
    "code:t site:t material:t stage:n date:d weight_g:n garbled_g:n left_g:n verdict:t held:t "    \
    "batches:T"
#define PURCHASE "code:t date:d material:t supplier:t number:t weight_g:n left_g:n batches:T"
#define DRYING                                                                                     \
    "code:t date:d material:t from:T fresh_g:n wilted_g:n dry_g:n garbled_g:n left_g:n "           \
    "batches:T"
#define BATCH                                                                                      \
    "code:t preparation:t ratio:n from:[code:t] herb_g:n menstruum_ml:n menstruum_abv:n "          \
    "final_abv:n started:d steps:[step:t due:d done:d] lots:T"
#define LOT "code:t materials:t made:d use_by:d left_ml:n state:t"
#define WINDOW                                                                                     \
    "site:t material:t use:t flush:n year:n earliest:d likely_start:d likely_end:d latest:d "      \
    "stage_from:n stage_to:n basis:t note:t"

static const struct promise promises[] = {
    {"", "",
     "stops:? outing:? calls:? missing_weights:? due:[code:t step:t due:d] gather:? opening:? "
     "questions:? ask:? short:? expiring:?",
     FALSE},
    {"questions", "all!", "id:t kind:t grade:t urgency:t since:d about:t why:t touches:T ask:t",
     TRUE},
    {"answers", "", "id:t kind:t how:t words:t by:t mark:t date:d until:d", TRUE},
    {"answer", "evidence later unknowable why by on",
     "id:t kind:t how:t words:t by:t date:d until:d touches:T held:T", FALSE},
    {"help", "", NULL, FALSE},
    {"start", "", NULL, FALSE},
    {"book init", "mark", "path:t", FALSE},
    {"book info", "", "path:t schema:n sites:n harvests:n batches:n lots:n", FALSE},
    {"book set", "", NULL, FALSE},
    {"book backup", "", NULL, FALSE},
    {"book restore", "", "path:t from:t aside:t", FALSE},
    {"book check", "", NULL, FALSE},
    {"book repair", "", NULL, FALSE},
    {"book export", "", NULL, FALSE},
    {"book import", "", NULL, FALSE},
    {"book lend", "mark by on", "path:t mark:t home:t date:d", FALSE},
    {"book merge", "accept! but* by on",
     "came:[what:t rows:n] changes:[turn:t about:t what:t before:t after:t why:t] "
     "revisions:[number:n id:t turn:t about:t what:t accepted:b] "
     "questions:[ask:t questions:n settles:t] conflicts:?",
     FALSE},
    {"site add", "at elevation area accuracy", "name:t lat:n lon:n elevation_m:n", FALSE},
    {"site edit", "contaminated", "name:t", FALSE},
    {"site permit", "given! refused! by written! parts teaching! until", NULL, FALSE},
    {"site list", "", "name:t lat:n lon:n elevation_m:n verdict:t", TRUE},
    {"site show", "", NULL, FALSE},
    {"site import", "update!", NULL, FALSE},
    {"stand set", "plants area cover grams part", NULL, FALSE},
    {"stand mark", "on", NULL, FALSE},
    {"stand rest", "until", NULL, FALSE},
    {"stand list", "", "site:t material:t grams:n share:n allowance_g:n taken_g:n left_g:n", TRUE},
    {"hazard import", "method method-field date-field product-field on layer crs dry-run!",
     "layer:t records:n imported:n repaired:n skipped:[record:n reason:t] seconds:n", FALSE},
    {"hazard add", "", NULL, FALSE},
    {"hazard list", "", NULL, TRUE},
    {"hazard drop", "", NULL, TRUE},
    {"spray note", "kind on source since method product until", NULL, FALSE},
    {"check", "on all!",
     "site:t date:d verdict:t until:d "
     "reasons:[verdict:t what:t distance_m:n date:d rule:t] window:[" WINDOW
     "] allowance_g:n cautions:T",
     FALSE},
    {"weather import", "station", "station:t days:n first:d last:d gaps:?", FALSE},
    {"weather list", "", NULL, TRUE},
    {"stage note", "on", NULL, FALSE},
    {"stage list", "", NULL, TRUE},
    {"almanac add", "", NULL, FALSE},
    {"almanac list", "", "almanac:t material:t use:t flush:n start:d end:d stage_from:n stage_to:n",
     TRUE},
    {"window list", "year site near material purpose", WINDOW, TRUE},
    {"need", "jar* yield herb fill ratio strength press dry!",
     "material:t preparation:t ratio:n herb_g:n gross_g:n pieces:n picking_hours:n menstruum_ml:n "
     "menstruum_abv:n jars:[ml:n herb_g:n menstruum_ml:n] yield_ml:n final_abv:n final_acid:n "
     "yield_low_ml:n yield_high_ml:n cautions:T warnings:T",
     FALSE},
    {"dilute", "make", "from_abv:n to_abv:n make_ml:n spirit_ml:n water_ml:n contraction_ml:n",
     FALSE},
    {"plan add", "yield jar* by", NULL, FALSE},
    {"plan list", "", NULL, TRUE},
    {"plan drop", "", NULL, FALSE},
    {"plan shortfall", "",
     "material:t need_g:n allowance_g:n short_g:n earliest:d latest:d sites:T cure:t", TRUE},
    {"plan outings", "days hours pickers home busy clear-only! nodes",
     "outings:[date:d reserve:d sites:[site:t verdict:t takes:[material:t grams:n for:T]] hours:n "
     "km:n] call:[site:t who:t by:d] short:[material:t grams:n why:t cure:t] outings_count:n "
     "lower_bound:n gap:n seconds:n",
     FALSE},
    {"outing move", "to", OUTING, FALSE},
    {"outing pin", "loose!", OUTING, FALSE},
    {"outing take", "weight none!", OUTING, FALSE},
    {"outing drop", "why by", OUTING, FALSE},
    {"harvest add", "weight garbled stage on by* named-by signs weather despite", HARVEST, FALSE},
    {"harvest list", "", HARVEST, TRUE},
    {"harvest show", "", HARVEST, FALSE},
    {"harvest release", "", HARVEST, FALSE},
    {"purchase add", "supplier number on", PURCHASE, FALSE},
    {"purchase list", "", PURCHASE, TRUE},
    {"purchase show", "", PURCHASE, FALSE},
    {"dry start", "on", DRYING, FALSE},
    {"dry turn", "on", DRYING, FALSE},
    {"dry weigh", "on", DRYING, FALSE},
    {"dry finish", "on", DRYING, FALSE},
    {"dry list", "", DRYING, TRUE},
    {"dry show", "", DRYING, FALSE},
    {"batch start", "from* jar* menstruum on despite", BATCH, FALSE},
    {"batch add", "from* liquid", BATCH, FALSE},
    {"batch step", "on liquid", BATCH, FALSE},
    {"batch press", "parts yield* on", LOT, TRUE},
    {"batch list", "", "code:t preparation:t started:d", TRUE},
    {"batch show", "", BATCH, FALSE},
    {"lot list", "", LOT, TRUE},
    {"lot show", "", LOT, FALSE},
    {"lot count", "", LOT, FALSE},
    {"lot release", "", LOT, FALSE},
    {"lot withdraw", "", LOT, FALSE},
    {"lot use", "for", NULL, TRUE},
    {"amend", "why amended-by", NULL, TRUE},
    {"strike", "why by", NULL, FALSE},
    {"discard", "why", NULL, FALSE},
    {"trace", "sprayed within withdraw!",
     "harvests:[code:t site:t] batches:[code:t] lots:[code:t left_ml:n used:[ref:t]]", FALSE},
    {"calendar write", "out what tasks! at zone with-places! new-only! split from to as force!",
     "file:t events:n todos:n new:n changed:n cancelled:n", FALSE},
    {"calendar read", "apply!", "moved:? done:? ignored:?", FALSE},
    {"calendar check", "", NULL, FALSE},
    {"calendar busy", "", NULL, FALSE},
    {"draw season", "out", NULL, FALSE},
    {"draw map", "out", NULL, FALSE},
    {"draw outing", "out", NULL, FALSE},
    {"draw batch", "out", NULL, FALSE},
    {"draw shelf", "out", NULL, FALSE},
    {"label", "out sheet for", NULL, FALSE},
    {"demo", "", NULL, FALSE},
    {"room", "", "what:t all:n taken:n left:n unit:t note:t", TRUE},
};

static const struct spl_command *find_command(const char *words)
{
    for (gsize i = 0; i < spl_n_commands; i++) {
        if (strcmp(spl_commands[i]->words, words) == 0)
            return spl_commands[i];
    }
    return NULL;
}

static const struct spl_option *find_option(const struct spl_command *command, const char *name)
{
    const struct spl_option *option = spl_command_options(command);

    for (; option != NULL && option->name != NULL; option++) {
        if (strcmp(option->name, name) == 0)
            return option;
    }
    return NULL;
}

static void every_promised_command_and_option_is_there(void **state)
{
    int bad = 0;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(promises); i++) {
        const struct promise *promise = &promises[i];
        const struct spl_command *command = find_command(promise->words);
        g_auto(GStrv) names = g_strsplit(promise->options, " ", -1);

        if (command == NULL) {
            print_error("'%s' is no command\n", promise->words);
            bad++;
            continue;
        }
        for (guint j = 0; names[j] != NULL; j++) {
            enum spl_option_kind kind = g_str_has_suffix(names[j], "*")   ? SPL_OPTION_MANY
                                        : g_str_has_suffix(names[j], "!") ? SPL_OPTION_FLAG
                                                                          : SPL_OPTION_ONE;
            const struct spl_option *option;

            if (*names[j] == '\0')
                continue;
            names[j][strcspn(names[j], "*!")] = '\0';
            option = find_option(command, names[j]);
            if (option == NULL || option->kind != kind) {
                print_error("%s --%s: %s\n", promise->words, names[j],
                            option == NULL ? "is missing" : "is of another kind");
                bad++;
            }
        }
    }
    assert_int_equal(bad, 0);
}

/* The keys of a shape ---------------------------------------------------------------------------
 */

static gboolean is_kind(char kind, enum spl_kind has)
{
    switch (kind) {
    case 't':
        return has == SPL_TEXT || has == SPL_WORD; /* one name of a few */
    case 'd':
        return has == SPL_DAY;
    case 'n':
        return has == SPL_NUM || has == SPL_INT || has == SPL_LONG;
    case 'b':
        return has == SPL_BOOL;
    case 'T':
        return has == SPL_TEXTS;
    case '[':
        return has == SPL_LIST;
    case '(':
        return has == SPL_ONE;
    default:
        return has == SPL_LIST || has == SPL_TEXTS;
    }
}

static const struct spl_field *find_field(const struct spl_shape *shape, const char *key, gsize n)
{
    for (gsize i = 0; shape != NULL && i < shape->n_fields; i++) {
        const char *own = shape->fields[i].key;

        if (own != NULL && strlen(own) == n && strncmp(own, key, n) == 0)
            return &shape->fields[i];
    }
    return NULL;
}

/* Reads "KEY:KIND …" up to its end or the bracket that closes it; returns where it stopped. */
static const char *keys_are_there(const char *keys, const struct spl_shape *shape,
                                  const char *where, int *bad)
{
    while (*keys != '\0' && *keys != ']' && *keys != ')') {
        gsize n = strcspn(keys, ":");
        char kind = keys[n + 1];
        const struct spl_field *field = find_field(shape, keys, n);

        if (field == NULL || !is_kind(kind, field->kind)) {
            print_error("%s: key %.*s %s\n", where, (int)n, keys,
                        field == NULL ? "is missing" : "is of another kind");
            (*bad)++;
        }
        keys += n + 2;
        if (kind == '[' || kind == '(')
            keys = keys_are_there(keys, field != NULL ? field->inner : NULL, where, bad) + 1;
        while (*keys == ' ')
            keys++;
    }
    return keys;
}

static void every_promised_key_is_there_with_its_kind(void **state)
{
    int bad = 0;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(promises); i++) {
        const struct promise *promise = &promises[i];
        const struct spl_command *command = find_command(promise->words);

        if (command == NULL || promise->keys == NULL)
            continue;
        keys_are_there(promise->keys, command->shape, promise->words, &bad);
        if (command->array != promise->array) {
            print_error("%s: %s an array\n", promise->words,
                        promise->array ? "is not" : "should not be");
            bad++;
        }
    }
    assert_int_equal(bad, 0);
}

/* What is said where ----------------------------------------------------------------------------
 */

/* One document and nothing else; json_decref it. */
static json_t *only_json(struct cli *cli, const char *line)
{
    json_error_t error;
    json_t *json;

    cli_run(cli, line);
    json = json_loads(cli->out, 0, &error); /* refuses anything behind the document */
    if (json == NULL)
        fail_msg("%s: status %d, not one document (%s): %s%s", line, cli->status, error.text,
                 cli->out, cli->err);
    return json;
}

static void a_new_book_answers_every_list_with_an_empty_array(void **state)
{
    static const char *const lists[] = {
        "site list",    "stand list",     "stage list",  "weather list", "window list",
        "harvest list", "purchase list",  "dry list",    "batch list",   "lot list",
        "plan list",    "plan shortfall", "hazard list", "check --all"};
    struct cli *cli = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(lists); i++) {
        g_autofree char *line = g_strconcat(lists[i], " --json", NULL);
        json_t *json = only_json(cli, line);

        if (cli->status != 0 || !json_is_array(json) || json_array_size(json) != 0)
            fail_msg("%s: status %d: %s", line, cli->status, cli->out);
        json_decref(json);
        /* For people there are words, and the status is the same. */
        if (*cli_ok(cli, lists[i]) == '\0')
            fail_msg("%s: says nothing on a new book", lists[i]);
    }
}

static void a_new_book_shows_today(void **state)
{
    static const char *const keys[] = {"stops", "outing", "calls",   "missing_weights",
                                       "due",   "gather", "opening", "questions",
                                       "ask",   "short",  "expiring"};
    struct cli *cli = *state;
    json_t *json = only_json(cli, "--json");

    assert_int_equal(cli->status, 0);
    for (gsize i = 0; i < G_N_ELEMENTS(keys); i++) {
        json_t *list = json_object_get(json, keys[i]);

        if (!json_is_array(list) || json_array_size(list) != 0)
            fail_msg("%s of a new book: %s", keys[i], cli->out);
    }
    json_decref(json);
}

static void a_refusal_leaves_stdout_empty_with_json_too(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "check Nowhere --json", 1, "Nowhere");
    cli_refused(cli, "harvest show H27-001 --json", 1, "H27-001");
    cli_refused(cli, "site add --json", 2, "NAME");
    cli_refused(cli, "need nettle/leaf tincture --json", 2, "\"input\":\"jar\"");
    cli_refused(cli, "dilute 40% 96% --make 1L --json", 1, "stronger");
    cli_refused(cli, "trace B27-001 --json", 1, "B27-001");
    cli_refused(cli, "lot use L27-001:5mL --json", 1, "L27-001");
}

static void absent_values_are_null_and_days_are_iso(void **state)
{
    struct cli *cli = *state;
    json_t *json, *reason;

    cli_ok(cli, "site add 'Kell Moss' --at 54.63,-2.605");
    json = only_json(cli, "check 'Kell Moss' --json");
    assert_int_equal(cli->status, 3);
    assert_string_equal(json_text(json, "date"), CLI_TODAY);
    assert_true(json_is_null(json_object_get(json, "until")));
    assert_true(json_is_null(json_object_get(json, "allowance_g")));
    assert_true(json_is_array(json_object_get(json, "window")));
    assert_true(json_is_array(json_object_get(json, "cautions")));
    reason = json_array_get(json_object_get(json, "reasons"), 0);
    assert_true(json_is_null(json_object_get(reason, "date")));
    json_decref(json);
    json = only_json(cli, "site list --json");
    assert_true(json_is_null(json_object_get(json_array_get(json, 0), "elevation_m")));
    json_decref(json);
}

static void strengths_are_in_per_cent(void **state)
{
    struct cli *cli = *state;
    json_t *json = only_json(cli, "dilute 96% 40% --make 1L --json");

    expect_near(json_number(json, "from_abv"), 96, 0, "% vol");
    expect_near(json_number(json, "to_abv"), 40, 0, "% vol");
    expect_near(json_number(json, "make_ml"), 1000, 0, "mL");
    json_decref(json);
    /* 80 proof of the United States is 40 % vol (27 CFR 5.1, "proof"). */
    json = only_json(cli, "need nettle/leaf tincture --jar 500mL --strength '80 proof us' --json");
    expect_near(json_number(json, "menstruum_abv"), 40, 0, "% vol");
    json_decref(json);
}

static void the_status_is_that_of_the_verdict(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "site add 'Kell Moss' --at 54.63,-2.605 --accuracy 10");
    cli_ok(cli, "site add 'Station Verge' --at 54.579,-2.615 --accuracy 10");
    cli_ok(cli, "spray note 'Station Verge' --kind sprayed --on 2027-05-06 --source 'seen'");
    assert_int_equal(cli_run(cli, "check 'Withy Gill'"), 0);
    assert_int_equal(cli_run(cli, "check 'Kell Moss'"), 3);
    assert_int_equal(cli_run(cli, "check 'Station Verge'"), 4);
    assert_int_equal(cli_run(cli, "check --all"), 0);
    cli_refused(cli, "harvest add 'Station Verge' nettle/leaf --weight 9g --stage 35", 4, "closed");
    assert_int_equal(
        cli_run(cli, "harvest add 'Kell Moss' nettle/leaf --weight 90g --stage 35 --json"), 0);
    assert_non_null(strstr(cli->err, "held"));
}

static void a_word_that_grew_too_old_in_summer_stays_too_old_in_winter(void **state)
{
    struct cli *cli = *state;

    /* The word of 20 May holds 60 days, through 19 July; by winter its 180 days are not over. */
    cli_clear_site(cli, "Withy Gill");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2027-07-19"), 0);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2027-07-20"), 3);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2027-11-10"), 3);
    /* One of September is still good on 31 October and then for 180 days, but not past February. */
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2027-09-15 "
                "--since 2020-01-01 --today 2027-09-15");
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2028-02-29"), 0);
    assert_int_equal(cli_run(cli, "check 'Withy Gill' --on 2028-03-01"), 3);
}

static void clear_is_worded_as_nothing_known_never_as_safe(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "check 'Withy Gill'");
    assert_non_null(strstr(cli->out, "nothing known against it"));
    assert_null(strstr(cli->out, "safe"));
    cli_ok(cli, "check --all");
    assert_null(strstr(cli->out, "safe"));
}

/* Codes and names ------------------------------------------------------------------------------ */

static void codes_carry_the_year_of_their_own_day(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --on 2026-05-20 "
                "--since 2020-01-01");
    json = only_json(cli, "harvest add withy nettle/leaf --weight 90g --stage 35 --json "
                          "--on 2026-06-01 --hold 'leave came later'");
    assert_string_equal(json_text(json, "code"), "H26-001");
    json_decref(json);
    json = only_json(cli, "harvest add withy nettle/leaf --weight 90g --stage 35 --json");
    assert_string_equal(json_text(json, "code"), "H27-001");
    json_decref(json);
    json = only_json(cli, "harvest add withy nettle/leaf --weight 90g --stage 35 --json");
    assert_string_equal(json_text(json, "code"), "H27-002");
    json_decref(json);
    json = only_json(cli, "purchase add nettle/leaf --weight 90g --supplier 'A farm' --json");
    assert_string_equal(json_text(json, "code"), "P27-001");
    json_decref(json);
    /* The code stays when the day is amended; a struck one is not given again. */
    cli_ok(cli, "amend H27-002 --on 2026-06-02 --why 'misread'");
    cli_ok(cli, "strike H27-002 --why 'logged twice'");
    json = only_json(cli, "harvest add withy nettle/leaf --weight 90g --stage 35 --json");
    assert_string_equal(json_text(json, "code"), "H27-003");
    json_decref(json);
}

static void names_shaped_like_codes_are_refused(void **state)
{
    static const char *const shaped[] = {"H27-001", "h27-001", "L26-1000", "ANN:H27-001"};
    struct cli *cli = *state;

    for (gsize i = 0; i < G_N_ELEMENTS(shaped); i++) {
        const char *args[] = {"site", "add", shaped[i], "--at", "54,-2", NULL};

        cli_refused_argv(cli, args, 2, "code");
    }
}

static void case_and_accents_are_forgiven_when_the_match_is_unique(void **state)
{
    struct cli *cli = *state;

    cli_ok(cli, "site add 'Kæl Bråe' --at 54.63,-2.605");
    cli_ok(cli, "site show 'kæl brae'");
    cli_ok(cli, "site add 'Kæl Moss' --at 54.64,-2.605");
    cli_refused(cli, "site show kæl", 1, "Kæl");
}

static void a_colleagues_codes_carry_their_mark(void **state)
{
    struct cli *cli = *state;
    json_t *json;
    gboolean found = FALSE;

    cli_ok(cli, "book init --mark BEE --book other.db");
    cli_ok(cli, "purchase add nettle/leaf --weight 90g --supplier 'A farm' --book other.db");
    cli_ok(cli, "purchase add nettle/leaf --weight 50g --supplier 'A farm'");
    cli_ok(cli, "book merge other.db");
    json = only_json(cli, "purchase list --json");
    assert_int_equal(json_array_size(json), 2);
    for (size_t i = 0; i < 2; i++)
        found = found || strcmp(json_text(json_array_get(json, i), "code"), "BEE:P27-001") == 0;
    assert_true(found);
    json_decref(json);
    json = only_json(cli, "purchase show BEE:P27-001 --json");
    expect_near(json_number(json, "weight_g"), 90, 0, "g");
    json_decref(json);
    json = only_json(cli, "purchase show P27-001 --json");
    expect_near(json_number(json, "weight_g"), 50, 0, "g");
    json_decref(json);
}

static void a_poisonous_plants_root_is_no_other_plants_root(void **state)
{
    struct cli *cli = *state;

    /* Hemlock is in no table; its name must not lead to a root that is. */
    cli_refused(cli, "need hemlock/root tincture --jar 1L", 1, "hemlock/root");
    assert_null(strstr(cli->err, "burdock"));
    cli_refused(cli, "need dandelyon/root tincture --jar 1L", 1, "dandelion/root");
}

static void cautions_stand_behind_the_answer_each_once(void **state)
{
    struct cli *cli = *state;
    const char *first;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 90g --stage 35");
    first = strstr(cli->err, "caution: look-alikes");
    assert_non_null(first);
    assert_null(strstr(first + 1, "caution: look-alikes"));
    /* One that fails tells its error alone. */
    cli_refused(cli, "batch start tincture --from H27-001:80g --jar 5mL", 1, "");
}

/* Shared options ------------------------------------------------------------------------------- */

static void today_is_the_option_before_the_environment_and_is_said(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    cli_ok(cli, "site add X --at 54,-2");
    json = only_json(cli, "check X --json --today 2027-01-05");
    assert_string_equal(json_text(json, "date"), "2027-01-05");
    assert_non_null(strstr(cli->err, "2027-01-05"));
    json_decref(json);
    json = only_json(cli, "check X --json");
    assert_string_equal(json_text(json, "date"), CLI_TODAY);
    assert_non_null(strstr(cli->err, CLI_TODAY));
    json_decref(json);
    /* --on is the day of the thing itself. */
    json = only_json(cli, "check X --json --on 2027-08-09");
    assert_string_equal(json_text(json, "date"), "2027-08-09");
    json_decref(json);
    cli_refused(cli, "check X --today 2027-13-01", 2, "--today");
}

static void a_single_option_given_twice_is_refused_and_a_repeated_one_keeps_its_order(void **state)
{
    struct cli *cli = *state;
    json_t *json;

    cli_refused(cli, "site add X --at 54,-2 --at 54,-3", 2, "twice");
    cli_refused(cli, "site list --today 2027-01-01 --today 2027-01-02", 2, "twice");
    json = only_json(cli, "need nettle/leaf tincture --jar 1L --jar 250mL --json");
    assert_int_equal(json_array_size(json_object_get(json, "jars")), 2);
    expect_near(json_number(json_array_get(json_object_get(json, "jars"), 0), "ml"), 1000, 0, "mL");
    json_decref(json);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_promised_command_and_option_is_there),
    cmocka_unit_test(every_promised_key_is_there_with_its_kind),
    cli_test(a_new_book_answers_every_list_with_an_empty_array),
    cli_test(a_new_book_shows_today),
    cli_test(a_refusal_leaves_stdout_empty_with_json_too),
    cli_test(absent_values_are_null_and_days_are_iso),
    cli_test(strengths_are_in_per_cent),
    cli_test(the_status_is_that_of_the_verdict),
    cli_test(a_word_that_grew_too_old_in_summer_stays_too_old_in_winter),
    cli_test(clear_is_worded_as_nothing_known_never_as_safe),
    cli_test(codes_carry_the_year_of_their_own_day),
    cli_test(names_shaped_like_codes_are_refused),
    cli_test(case_and_accents_are_forgiven_when_the_match_is_unique),
    cli_test(a_colleagues_codes_carry_their_mark),
    cli_test(a_poisonous_plants_root_is_no_other_plants_root),
    cli_test(cautions_stand_behind_the_answer_each_once),
    cli_test(today_is_the_option_before_the_environment_and_is_said),
    cli_test(a_single_option_given_twice_is_refused_and_a_repeated_one_keeps_its_order),
};
expect_main(tests)
