/* SPDX-License-Identifier: MIT
 *
 * Help from the rows of the command table: `help`, `help COMMAND`, --help and the man page are one
 * text.
 */
#include <string.h>

#include "base/layout.h"
#include "base/text.h"
#include "command/command.h"

#define HELP_WIDTH 80
#define OPTION_WIDTH 22 /* of "--on DATE" in its column */

/* Folded to the width of the help; lines but the first are indented. */
static void append_folded(GString *text, const char *words, int indent)
{
    g_autofree char *folded = spl_text_fold(words, HELP_WIDTH - indent);
    g_auto(GStrv) lines = g_strsplit(folded, "\n", -1);

    for (guint i = 0; lines[i] != NULL; i++)
        g_string_append_printf(text, "%*s%s\n", i > 0 ? indent : 0, "", lines[i]);
}

/* Single line breaks of a text are where its writer's line ended: only empty lines part. */
static void append_paragraphs(GString *text, const char *words)
{
    g_auto(GStrv) paragraphs = g_strsplit(words, "\n\n", -1);

    for (guint i = 0; paragraphs[i] != NULL; i++) {
        if (i > 0)
            g_string_append_c(text, '\n');
        if (*paragraphs[i] == ' ') { /* set out by its writer */
            g_string_append_printf(text, "%s\n", paragraphs[i]);
            continue;
        }
        g_strdelimit(paragraphs[i], "\n", ' ');
        append_folded(text, paragraphs[i], 0);
    }
}

static void append_option(GString *text, const struct spl_option *option)
{
    g_autofree char *left = option->value != NULL
                                ? g_strdup_printf("--%s %s", option->name, option->value)
                                : g_strdup_printf("--%s", option->name);
    g_autofree char *words = g_strconcat(
        option->help, option->kind == SPL_OPTION_MANY ? " (may be repeated)" : "", NULL);

    if (strlen(left) > OPTION_WIDTH)
        g_string_append_printf(text, "  %s\n  %-*s  ", left, OPTION_WIDTH, "");
    else
        g_string_append_printf(text, "  %-*s  ", OPTION_WIDTH, left);
    append_folded(text, words, OPTION_WIDTH + 4);
}

char *spl_usage_line(const struct spl_command *command)
{
    const struct spl_option *options = spl_command_options(command);
    int min, max;
    const char *places = spl_command_places(command, &min, &max);

    return g_strdup_printf("usage: simpling%s%s%s%s%s", *command->words != '\0' ? " " : "",
                           command->words, *places != '\0' ? " " : "", places,
                           options != NULL && options[0].name != NULL ? " [OPTIONS]" : "");
}

static void append_shared(GString *text)
{
    g_string_append(text, "\nOptions of every command:\n");
    for (const struct spl_option *option = spl_shared_options; option->name != NULL; option++)
        append_option(text, option);
}

const char *const spl_help_opening =
    "simpling keeps a clinical herbalist's book of wild plants: the places and whether\n"
    "they were sprayed, when to gather what, what was taken, and the batches and\n"
    "bottles made of it.\n";

const char *const spl_help_status =
    "0 done, 1 it could not be done, 2 wrong usage, 3 the verdict is 'ask',\n"
    "4 the verdict is 'closed'.\n";

const char *const spl_help_closing =
    "The tool helps to keep records; it does not make a plant or a place safe. Know your\n"
    "plants, ask about the ground, follow the law of the land and the rules of your licence.\n";

/* The list of all commands, grouped by their first word as the table has them. */
static char *overview(void)
{
    GString *text = g_string_new(spl_help_opening);

    g_string_append(text, "\nusage: simpling [COMMAND] [OPTIONS]\n\nCommands:\n");
    for (gsize i = 0; i < spl_n_commands; i++) {
        g_string_append_printf(text, "  %-16s  ",
                               *spl_commands[i]->words != '\0' ? spl_commands[i]->words : "(none)");
        append_folded(text, spl_commands[i]->summary, 20);
    }
    append_shared(text);
    g_string_append_printf(text, "\nExit status: %s\n'simpling help COMMAND' tells more.\n\n%s",
                           spl_help_status, spl_help_closing);
    return g_string_free(text, FALSE);
}

char *spl_help_text(const struct spl_command *command)
{
    const struct spl_option *options;
    g_autofree char *usage = NULL;
    GString *text;

    if (command == NULL)
        return overview();
    usage = spl_usage_line(command);
    text = g_string_new(usage);
    g_string_append_printf(text, "\n\n%s.\n", command->summary);
    if (command->about != NULL) {
        g_string_append_c(text, '\n');
        append_paragraphs(text, command->about);
    }
    options = spl_command_options(command);
    if (options != NULL && options[0].name != NULL) {
        g_string_append(text, "\nOptions:\n");
        for (const struct spl_option *option = options; option->name != NULL; option++)
            append_option(text, option);
    }
    append_shared(text);
    if (command->examples != NULL) {
        g_string_append(text, "\nExamples:\n");
        for (guint i = 0; command->examples[i] != NULL; i++)
            g_string_append_printf(text, "  %s\n", command->examples[i]);
    }
    return g_string_free(text, FALSE);
}
