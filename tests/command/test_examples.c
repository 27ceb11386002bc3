/* SPDX-License-Identifier: MIT
 *
 * Every example of every command's help runs: in order, on a copy of the demo, with the demo's
 * today. With --json its answer is one JSON document that has the keys and kinds that the row
 * promises.
 */
#include "cli.h"

#include "command/command.h"
#include "photo_make.h"

/* The demo, made once; each command's examples get a copy of the folder. */
static struct cli demo;

static void copy_of_demo(struct cli *cli)
{
    g_autofree char *line = NULL, *photo = NULL;
    GError *error = NULL;

    *cli = (struct cli){.today = CLI_TODAY};
    cli->folder = g_dir_make_tmp("simpling-examples-XXXXXX", &error);
    expect_ok(error);
    cli->book = g_build_filename(cli->folder, "book.db", NULL);
    line = g_strdup_printf("cp -r '%s'/. '" SPL_SOURCE_DIR "/tests/command/samples'/. '%s'",
                           demo.folder, cli->folder);
    assert_true(g_spawn_command_line_sync(line, NULL, NULL, NULL, NULL));
    photo = g_build_filename(cli->folder, "leaf-base.jpg", NULL);
    assert_true(
        g_file_set_contents(photo, (const char *)photo_png, sizeof photo_png, NULL)); /* is a PNG */
}

static void drop(struct cli *cli)
{
    cli_remove(cli->folder);
    g_free(cli->folder);
    g_free(cli->book);
    g_free(cli->out);
    g_free(cli->err);
}

/* What comes after "simpling " of an example. */
static const char *words_of(const char *example)
{
    if (!g_str_has_prefix(example, "simpling ") && strcmp(example, "simpling") != 0)
        fail_msg("an example that does not call simpling: %s", example);
    return example + MIN(strlen("simpling "), strlen(example));
}

/* A call of simpling alone has no words. */
static int run_words(struct cli *cli, const char *words)
{
    static const char *const none[] = {NULL};

    return *words != '\0' ? cli_run(cli, words) : cli_argv(cli, none);
}

/* What an example takes for granted beside the demo: a copy kept before an upgrade. */
static void make_ready(struct cli *cli, const struct spl_command *command)
{
    g_autofree char *line = g_strdup_printf("book backup '%s.before-schema-9'", cli->book);

    if (strcmp(command->words, "book restore") == 0)
        assert_int_equal(run_words(cli, line), 0);
}

/* `check` answers with the verdict; an example that asks a host that there is not (RFC 6761 keeps
 * the names in .example free) is told so; all else is done. */
static gboolean is_well(const struct spl_command *command, int status)
{
    if (strcmp(command->words, "weather follow") == 0 ||
        strcmp(command->words, "weather refresh") == 0)
        return status == 1;
    return status == 0 || (strcmp(command->words, "check") == 0 && (status == 3 || status == 4));
}

/* A desk serves until it is told to end: it says its address, and ends well when told. */
static int serve_words(const struct cli *cli, const char *words)
{
    g_autofree char *line = g_strdup_printf(
        "env SIMPLING_BOOK='%s' XDG_RUNTIME_DIR='%s' timeout --preserve-status 3 '%s' %s",
        cli->book, cli->folder, SPL_BUILD_DIR "/bin/simpling", words);
    g_autofree char *said = NULL;
    GError *error = NULL;
    int status = 0;

    g_spawn_command_line_sync(line, &said, NULL, &status, &error);
    expect_ok(error);
    if (!g_str_has_prefix(said, "http://"))
        print_error("%s: says no address first: %s\n", words, said);
    return g_str_has_prefix(said, "http://") ? status : -1;
}

static void every_command_has_examples_and_they_run(void **state)
{
    int bad = 0;

    (void)state;
    for (gsize i = 0; i < spl_n_commands; i++) {
        const struct spl_command *command = spl_commands[i];
        struct cli cli;

        if (command->examples == NULL || command->examples[0] == NULL) {
            print_error("'%s' has no example\n", command->words);
            bad++;
            continue;
        }
        copy_of_demo(&cli);
        make_ready(&cli, command);
        for (gsize e = 0; command->examples[e] != NULL; e++) {
            const char *words = words_of(command->examples[e]);
            int status = strcmp(command->words, "desk") == 0 ? serve_words(&cli, words)
                                                             : run_words(&cli, words);

            if (!is_well(command, status)) {
                print_error("%s: status %d: %s", command->examples[e], status, cli.err);
                bad++;
            }
        }
        drop(&cli);
    }
    assert_int_equal(bad, 0);
}

/* The kinds of a document ------------------------------------------------------------------------
 */

static const char *fault_of_record(const struct spl_shape *shape, json_t *json);

static const char *fault_of_list(const struct spl_shape *shape, json_t *json)
{
    if (!json_is_array(json))
        return "is not a list";
    for (size_t i = 0; i < json_array_size(json); i++) {
        const char *fault = fault_of_record(shape, json_array_get(json, i));

        if (fault != NULL)
            return fault;
    }
    return NULL;
}

static const char *fault_of_value(const struct spl_field *field, json_t *value)
{
    if (value == NULL)
        return "is missing";
    if (json_is_null(value))
        return field->kind == SPL_TEXTS || field->kind == SPL_LIST || field->kind == SPL_BOOL ||
                       field->kind == SPL_INT || field->kind == SPL_LONG
                   ? "may not be null"
                   : NULL;
    switch (field->kind) {
    case SPL_TEXT:
        return json_is_string(value) ? NULL : "is no text";
    case SPL_WORD:
        return spl_word_value(field->names, json_string_value(value)) >= 0 ? NULL : "is no name";
    case SPL_DAY: {
        struct spl_day day;

        return json_is_string(value) && spl_day_parse(json_string_value(value), "", &day, NULL)
                   ? NULL
                   : "is no day";
    }
    case SPL_INT:
    case SPL_LONG:
        return json_is_integer(value) ? NULL : "is no whole number";
    case SPL_NUM:
        return json_is_number(value) ? NULL : "is no number";
    case SPL_BOOL:
        return json_is_boolean(value) ? NULL : "is no truth value";
    case SPL_TEXTS:
        return json_is_array(value) ? NULL : "is no list";
    case SPL_LIST:
        return fault_of_list(field->inner, value);
    case SPL_ONE:
        return fault_of_record(field->inner, value);
    }
    return "is of no known kind";
}

static const char *fault_of_record(const struct spl_shape *shape, json_t *json)
{
    static char text[200];
    size_t shown = 0;

    if (!json_is_object(json))
        return "is no object";
    for (size_t i = 0; i < shape->n_fields; i++)
        shown +=
            shape->fields[i].key != NULL &&
            (!shape->fields[i].if_known || json_object_get(json, shape->fields[i].key) != NULL);
    if (json_object_size(json) != shown)
        return "has more or fewer keys than its shape";
    for (size_t i = 0; i < shape->n_fields; i++) {
        const struct spl_field *field = &shape->fields[i];
        const char *fault =
            field->key != NULL && (!field->if_known || json_object_get(json, field->key) != NULL)
                ? fault_of_value(field, json_object_get(json, field->key))
                : NULL;

        if (fault != NULL && fault != text)
            g_snprintf(text, sizeof text, "%s of %s %s", field->key, shape->name, fault);
        if (fault != NULL)
            return text;
    }
    return NULL;
}

static void the_json_of_every_example_has_its_shape(void **state)
{
    int bad = 0;

    (void)state;
    for (gsize i = 0; i < spl_n_commands; i++) {
        const struct spl_command *command = spl_commands[i];
        struct cli cli;

        if (command->shape == NULL || command->examples == NULL)
            continue;
        copy_of_demo(&cli);
        make_ready(&cli, command);
        for (gsize e = 0; command->examples[e] != NULL; e++) {
            g_autofree char *line = g_strconcat(words_of(command->examples[e]), " --json", NULL);
            const char *fault;
            json_t *json;
            json_error_t error;

            /* Some examples first prepare something with another command. */
            if (!g_str_has_prefix(line, command->words))
                continue;
            /* A dash for standard output leaves no place for the answer. */
            if (strstr(line, " - ") != NULL || strstr(line, "--json --json") != NULL)
                continue;
            if (!is_well(command, cli_run(&cli, line)) || *cli.out == '\0')
                continue; /* the other test tells */
            json = json_loads(cli.out, 0, &error);
            if (json == NULL)
                fault = error.text;
            else if (command->array)
                fault = fault_of_list(command->shape, json);
            else
                fault = fault_of_record(command->shape, json);
            if (fault != NULL && json != NULL && command->other != NULL)
                fault = fault_of_list(command->other, json);
            if (fault != NULL) {
                print_error("%s: %s\n", line, fault);
                bad++;
            }
            json_decref(json);
        }
        drop(&cli);
    }
    assert_int_equal(bad, 0);
}

static int set_up(void **state)
{
    GError *error = NULL;
    g_autofree char *line = NULL;

    (void)state;
    demo = (struct cli){.today = CLI_TODAY};
    demo.folder = g_dir_make_tmp("simpling-demo-XXXXXX", &error);
    expect_ok(error);
    demo.book = g_build_filename(demo.folder, "none.db", NULL);
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
    drop(&demo);
    return 0;
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_command_has_examples_and_they_run),
        cmocka_unit_test(the_json_of_every_example_has_its_shape),
    };

    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
