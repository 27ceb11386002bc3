/* SPDX-License-Identifier: MIT
 *
 * Nothing that is held goes out, whatever command is tried. Every command that writes and takes the
 * code of a record stands in the list below with lines that try it; a new one has to join it.
 */
#include <sqlite3.h>

#include "cli.h"
#include "command/command.h"
#include "photo_png.h"
#include "simpling/batch.h"

#define T60 "--jar 500mL --menstruum 'spirit 60%, Ash Beck Still, 114'"

/*
 * What there is when they are tried. Of sprayed ground: H27-001; B27-001, pressed into L27-001;
 * B27-002, which took of L27-001 and of the harvest; B27-003, which stands; D27-001, on the rack;
 * H27-003, not weighed yet. Free: H27-002, B27-004, L27-002.
 */
enum may {
    REFUSED, /* of what is held, or of held and free together */
    CARRIES, /* work: what comes of it is held with it */
    KEEPS    /* says something of it, or takes it away; nothing reaches anybody */
};

/* One line or more for each command. */
static const struct {
    const char *words;
    enum may may;
    const char *line;
} tried[] = {
    {"lot use", REFUSED, "lot use L27-001:10mL --for 1042"},
    {"lot use", REFUSED, "lot use L27-002:10mL L27-001:10mL --for 1042"},
    {"label", REFUSED, "label L27-001 --for 1042 --bottle 50mL --out one.pdf"},
    {"batch start", REFUSED, "batch start tincture --from L27-001:50mL --from H27-004:50g " T60},
    {"batch start", REFUSED, "batch start tincture --from H27-005:50g " T60},
    {"batch add", REFUSED, "batch add B27-004 --from L27-001:20mL"},
    {"batch add", REFUSED, "batch add B27-002 --from L27-001:20mL"},
    {"batch press", REFUSED, "batch press B27-003 B27-004 --yield 300mL --yield 300mL"},
    {"batch press", CARRIES, "batch press B27-002 --yield 300mL"},
    {"batch steps", KEEPS, "batch steps shake --but B27-004"},
    {"batch step", KEEPS, "batch step B27-003 shake"},
    {"dry start", REFUSED, "dry start --from H27-001:50g --from H27-002:50g"},
    {"dry start", REFUSED, "dry start --from H27-001:50g"},
    {"dry turn", KEEPS, "dry turn D27-001"},
    {"dry weigh", KEEPS, "dry weigh D27-001 80g"},
    {"dry test", KEEPS, "dry test D27-001 --how crumbles"},
    {"dry finish", CARRIES, "dry finish D27-001 --weight 40g"},
    {"harvest weigh", KEEPS, "harvest weigh H27-003 300g"},
    {"lot count", KEEPS, "lot count L27-001 340mL"},
    {"lot hold", KEEPS, "lot hold L27-001 --why cloudy"},
    {"lot bottle", KEEPS, "lot bottle L27-001 3x100mL --at 'shelf B3'"},
    {"recipe keep", KEEPS, "recipe keep B27-001 'nettle as always'"},
    {"lot reaction", KEEPS, "lot reaction L27-001 --for 1042 --text 'a rash'"},
    {"photo add", KEEPS, "photo add leaf.png H27-001"},
    {"amend", KEEPS, "amend L27-001 --remark 'in the blue bottle' --why forgotten"},
    {"amend", REFUSED, "amend H27-001 --on 2027-05-26 --why 'it was a day later'"},
    {"amend", KEEPS, "amend L27-001 --use-by 2035-01-01 --why hopeful"},
    {"discard", KEEPS, "discard L27-001 10mL --why spilt"},
    {"discard", KEEPS, "discard H27-001 10g --why brown"},
    {"lot withdraw", KEEPS, "lot withdraw L27-001 --why cloudy"},
    /* What lets out does so by evidence, and names what it answers: never without, and never by
     * crossing out. */
    {"lot release", REFUSED, "lot release L27-001"},
    {"harvest release", REFUSED, "harvest release H27-001"},
    {"answer", REFUSED, "answer 'Withy Gill' --unknowable mine --by Edda --why 'nobody knows'"},
    {"answer", REFUSED, "answer 'Withy Gill' --evidence 'it looks well'"},
    {"answer", KEEPS, "answer 'Withy Gill' --later 2027-07-01"},
    {"strike", REFUSED, "strike H27-001 --why 'never mind'"},
    {"strike", REFUSED, "strike L27-001 --why 'never mind'"},
};

static gboolean is_listed(const char *words)
{
    for (gsize i = 0; i < G_N_ELEMENTS(tried); i++)
        if (g_str_equal(tried[i].words, words))
            return TRUE;
    return FALSE;
}

/* Does it take the code of a record, itself or in a list? */
static gboolean takes_code(const struct spl_inputs *inputs)
{
    for (gsize i = 0; inputs != NULL && i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];

        if (row->kind == SPL_INPUT_CODE ||
            (row->kind == SPL_INPUT_LIST &&
             (row->item == &spl_source_inputs || takes_code(row->item))))
            return TRUE;
    }
    return FALSE;
}

static void every_command_that_takes_a_code_and_writes_is_on_the_list(void **state)
{
    int bad = 0;

    (void)state;
    for (gsize i = 0; i < spl_n_commands; i++) {
        const struct spl_command *command = spl_commands[i];

        if ((command->needs != SPL_NEEDS_WRITE && command->writes_with == NULL) ||
            !takes_code(command->inputs) || is_listed(command->words))
            continue;
        print_error("'%s' takes a code and writes: say on the list here what it may do with what "
                    "is held\n",
                    command->words);
        bad++;
    }
    assert_int_equal(bad, 0);
}

static void what_there_is(struct cli *cli)
{
    g_autofree char *photo = g_build_filename(cli->folder, "leaf.png", NULL);

    assert_true(
        g_file_set_contents(photo, (const char *)photo_png, (gssize)sizeof photo_png, NULL));
    cli_clear_site(cli, "Withy Gill");
    cli_clear_site(cli, "Ash Beck");
    cli_ok(cli, "site edit 'Ash Beck' --at 54.7,-2.7 --accuracy 10");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "harvest add 'Ash Beck' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --bags 2 --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-10");
    cli_ok(cli, "batch start tincture --from H27-001:50g --liquid 250mL " T60 " --on 2027-05-25");
    cli_ok(cli, "batch add B27-002 --from L27-001:50mL");
    cli_ok(cli, "batch start tincture --from H27-001:80g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-002:80g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-002:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-005 --yield 400mL --on 2027-06-10");
    cli_ok(cli, "dry start --from H27-001:200g --on 2027-05-25");
    cli_ok(cli, "harvest add 'Ash Beck' nettle/leaf --weight 100g --stage 35 --on 2027-06-19");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35 --on 2027-06-19");
    cli_ok(cli, "lot use L27-001:10mL --for 1051 --on 2027-06-12"); /* it was free then */
    cli_ok(cli, "spray note 'Withy Gill' --kind sprayed --on 2027-05-09 --source 'a neighbour'");
}

static gint64 gone_out(const struct cli *cli)
{
    sqlite3 *db;
    sqlite3_stmt *row;
    gint64 n;

    assert_int_equal(sqlite3_open(cli->book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, "SELECT count(*) FROM lot_use", -1, &row, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    n = sqlite3_column_int64(row, 0);
    sqlite3_finalize(row);
    sqlite3_close(db);
    return n;
}

/* All that came of the sprayed ground is held, whatever was done with it since. */
static void expect_held(struct cli *cli, const char *after)
{
    json_t *trace = cli_json(cli, "trace H27-001 --json"), *one;
    size_t i;

    json_array_foreach(json_object_get(trace, "lots"), i, one)
    {
        if (strcmp(json_text(one, "state"), "on the shelf") == 0)
            fail_msg("after '%s' %s is free", after, json_text(one, "code"));
    }
    json_decref(trace);
}

static void nothing_held_goes_out_whatever_is_tried(void **state)
{
    struct cli *cli = *state;
    json_t *again, *lots;

    what_there_is(cli);
    expect_held(cli, "the spraying became known");
    for (gsize i = 0; i < G_N_ELEMENTS(tried); i++) {
        int status = cli_run(cli, tried[i].line);

        if ((status != 0) != (tried[i].may == REFUSED))
            fail_msg("'%s' ends with %d: %s", tried[i].line, status, cli->err);
        if (gone_out(cli) != 1)
            fail_msg("'%s' lets out what is held", tried[i].line);
        expect_held(cli, tried[i].line);
    }
    /* What came of it on the way is held too: the lot of the mixture, and the dried herb. */
    cli_refused(cli, "lot use L27-003:5mL --for 1042", 1, "is held");
    cli_refused(cli, "batch start dried-herb --from D27-001", 1, "sprayed");
    /* What is free goes out all the while; the same as last time only of what is free. */
    cli_ok(cli, "lot use L27-002:5mL --for 1042");
    again = cli_json(cli, "lot use --again --for 1051 --json");
    lots = json_object_get(again, "lots");
    assert_int_equal(json_array_size(lots), 1);
    assert_string_equal(json_text(json_array_get(lots, 0), "code"), "L27-002");
    json_decref(again);
}

/* A jar that is being filled is no source of itself. */
static void a_new_jar_does_not_see_itself(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "batch start dried-herb --from P27-001", 1, "there is no such code");
    assert_null(strstr(cli->err, "B27-001"));
    cli_refused(cli, "batch start tincture --from B27-001:100g " T60, 1, "there is no such code");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_command_that_takes_a_code_and_writes_is_on_the_list),
    cli_test(nothing_held_goes_out_whatever_is_tried),
    cli_test(a_new_jar_does_not_see_itself),
};
expect_main(tests)
