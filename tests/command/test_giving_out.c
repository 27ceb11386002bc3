/* SPDX-License-Identifier: MIT
 *
 * Nothing that is held goes out, whatever command is tried. Every command that writes and takes the
 * code of a lot stands in the list below with what it may do; a new one has to join it.
 */
#include <sqlite3.h>

#include "cli.h"
#include "command/command.h"
#include "simpling/batch.h"

#define T60 "--jar 500mL --menstruum 'spirit 60%, Ash Beck Still, 114'"

enum may {
    REFUSED, /* of what is held */
    CARRIES, /* work: what comes of it is held with it */
    KEEPS    /* says something of it, or takes it away; nothing reaches anybody */
};

static const struct {
    const char *words;
    enum may may;
    const char *line; /* of L27-001, which is held; NULL: it takes no code of what could go out */
} tried[] = {
    {"lot use", REFUSED, "lot use L27-001:10mL --for 1042"},
    {"batch start", CARRIES, "batch start tincture --from L27-001:50mL --from H27-002:50g " T60},
    {"batch add", CARRIES, "batch add B27-002 --from L27-001:50mL"},
    {"lot count", KEEPS, "lot count L27-001 350mL"},
    {"lot hold", KEEPS, "lot hold L27-001 --why cloudy"},
    {"lot withdraw", KEEPS, "lot withdraw L27-001 --why cloudy"},
    {"lot bottle", KEEPS, "lot bottle L27-001 3x100mL --at 'shelf B3'"},
    {"lot reaction", KEEPS, "lot reaction L27-001 --for 1042 --text 'a rash'"},
    {"amend", KEEPS, "amend L27-001 --remark 'in the blue bottle' --why forgotten"},
    {"discard", KEEPS, "discard L27-001 10mL --why spilt"},
    /* These are what lets a thing out, with its evidence: not tried here. */
    {"lot release", KEEPS, NULL},
    {"answer", KEEPS, NULL},
    {"strike", KEEPS, NULL},
    /* Of what is no lot. */
    {"batch press", CARRIES, NULL},
    {"batch step", KEEPS, NULL},
    {"dry start", CARRIES, NULL},
    {"dry turn", KEEPS, NULL},
    {"dry weigh", KEEPS, NULL},
    {"dry finish", KEEPS, NULL},
    {"dry test", KEEPS, NULL},
    {"harvest release", KEEPS, NULL},
    {"harvest weigh", KEEPS, NULL},
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

/* A lot that is held as its ground was sprayed; and a jar that came of it, held with it. */
static void held_lot(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
    cli_ok(cli, "batch start tincture --from H27-001:100g " T60 " --on 2027-05-25");
    cli_ok(cli, "batch press B27-001 --yield 400mL --on 2027-06-10");
    cli_ok(cli, "batch start tincture --from H27-001:50g --liquid 250mL " T60 " --on 2027-05-25");
    cli_ok(cli, "batch add B27-002 --from L27-001:50mL");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 100g --stage 35 --on 2027-06-19");
    cli_ok(cli, "lot hold L27-001 --why 'a smell of yeast'");
    cli_ok(cli, "harvest show H27-001");
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

static void nothing_held_goes_out_whatever_is_tried(void **state)
{
    struct cli *cli = *state;

    held_lot(cli);
    /* The jar in which free herb and this lot were put together before is held with it. */
    cli_ok(cli, "batch show B27-002");
    assert_non_null(strstr(cli->out, "comes of L27-001, which is held"));
    for (gsize i = 0; i < G_N_ELEMENTS(tried); i++) {
        if (tried[i].line == NULL)
            continue;
        if (tried[i].may == REFUSED)
            cli_refused(cli, tried[i].line, 1, "is held");
        else
            (void)cli_run(cli, tried[i].line); /* done or refused: nothing goes out */
        if (gone_out(cli) != 0)
            fail_msg("'%s' lets out what is held", tried[i].words);
    }
    cli_ok(cli, "batch press B27-002 --yield 300mL");
    cli_refused(cli, "lot use L27-002:5mL --for 1042", 1, "is held");
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
