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
#define OPTION_WIDTH 22  /* of "--on DATE" in its column */
#define COMMAND_WIDTH 16 /* of "harvest release" */
#define NARROW 60        /* below it what a name means stands under it */

/* A terminal narrower than the help narrows it; a wider one does not make it wider. */
static int width_of(int terminal)
{
    return terminal > 0 ? MIN(terminal, HELP_WIDTH) : HELP_WIDTH;
}

/* Folded to the width of the help; lines but the first are indented. */
static void append_folded(GString *text, const char *words, int indent, int width)
{
    g_autofree char *folded = spl_text_fold(words, width - indent);
    g_auto(GStrv) lines = g_strsplit(folded, "\n", -1);

    for (guint i = 0; lines[i] != NULL; i++)
        g_string_append_printf(text, "%*s%s\n", i > 0 ? indent : 0, "", lines[i]);
}

/* "  name   what it means", in columns where the width has room for two. */
static void append_pair(GString *text, const char *name, const char *words, int column, int width)
{
    if (width < NARROW || (int)strlen(name) > column) {
        int indent = width < NARROW ? 6 : column + 4;

        g_string_append_printf(text, "  %s\n%*s", name, indent, "");
        append_folded(text, words, indent, width);
        return;
    }
    g_string_append_printf(text, "  %-*s  ", column, name);
    append_folded(text, words, column + 4, width);
}

/* Single line breaks of a text are where its writer's line ended: only empty lines part. */
static void append_paragraphs(GString *text, const char *words, int width)
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
        append_folded(text, paragraphs[i], 0, width);
    }
}

static void append_option(GString *text, const struct spl_option *option, int width)
{
    g_autofree char *left = option->value != NULL
                                ? g_strdup_printf("--%s %s", option->name, option->value)
                                : g_strdup_printf("--%s", option->name);
    g_autofree char *words = g_strconcat(
        option->help, option->kind == SPL_OPTION_MANY ? " (may be repeated)" : "", NULL);

    append_pair(text, left, words, OPTION_WIDTH, width);
}

char *spl_usage_line(const struct spl_command *command)
{
    const struct spl_option *options = spl_command_options(command);
    int min, max;
    const char *places = spl_command_places(command, &min, &max);
    g_autofree char *needed = spl_command_needed(command);

    return g_strdup_printf("usage: simpling%s%s%s%s%s%s", *command->words != '\0' ? " " : "",
                           command->words, *places != '\0' ? " " : "", places, needed,
                           options != NULL && options[0].name != NULL ? " [OPTIONS]" : "");
}

static void append_shared(GString *text, int width)
{
    g_string_append(text, "\nOptions of every command:\n");
    for (const struct spl_option *option = spl_shared_options; option->name != NULL; option++)
        append_option(text, option, width);
}

/* Below a command's own options: their names alone, since 'simpling help' says what they are. */
static void append_shared_names(GString *text, int width)
{
    g_autoptr(GString) names =
        g_string_new("Options of every command ('simpling help' tells more):");

    for (const struct spl_option *option = spl_shared_options; option->name != NULL; option++)
        g_string_append_printf(names, " --%s", option->name);
    g_string_append_c(text, '\n');
    append_folded(text, names->str, 2, width);
}

const char *const spl_help_opening =
    "simpling keeps a clinical herbalist's book of wild plants: the places and\n"
    "whether they were sprayed, when to gather what, what was taken, and the batches\n"
    "and bottles made of it.\n";

const char *const spl_help_status =
    "0 done, 1 it could not be done, 2 wrong usage, 3 the verdict is\n"
    "'ask', 4 the verdict is 'closed'.\n";

const char *const spl_help_closing =
    "This program keeps records; it does not make a plant or a place safe. Know your\n"
    "plants, ask about the ground, follow the law of the land and the rules of your\n"
    "licence.\n";

/* The list of all commands in the order in which they are wanted, by their first word. */
static const struct {
    const char *title;
    const char *groups[16]; /* none: what no other has */
} sections[] = {
    {"Every day",
     {"", "check", "window", "harvest", "spray", "stage", "batch", "lot", "questions", "answer"}},
    {"Places and what they bear", {"site", "stand", "hazard"}},
    {"Dates and weather", {"almanac", "weather"}},
    {"What was bought, dried and poured", {"purchase", "dry", "liquid"}},
    {"Reckoning and recipes", {"need", "dilute", "recipe", "material", "preparation"}},
    {"The season's plan and the calendar", {"plan", "outing", "calendar"}},
    {"Recalls and corrections", {"trace", "discard", "amend", "strike"}},
    {"Pictures, sheets and labels", {"draw", "label"}},
    {"The book", {"start", "book", "demo", "help"}},
    {"More", {NULL}},
};

/* The length of a command's first word. */
static gsize first_word(const struct spl_command *command)
{
    return strcspn(command->words, " ");
}

static gboolean is_of(const struct spl_command *command, const char *group)
{
    gsize length = first_word(command);

    return strlen(group) == length && strncmp(command->words, group, length) == 0;
}

static gboolean is_in(const struct spl_command *command, gsize section)
{
    for (gsize i = 0; sections[section].groups[i] != NULL; i++) {
        if (is_of(command, sections[section].groups[i]))
            return TRUE;
    }
    return FALSE;
}

static gboolean is_elsewhere(const struct spl_command *command)
{
    for (gsize i = 0; i < G_N_ELEMENTS(sections); i++) {
        if (is_in(command, i))
            return TRUE;
    }
    return FALSE;
}

static void append_line(GString *text, const struct spl_command *command, int width)
{
    append_pair(text, *command->words != '\0' ? command->words : "(none)", command->summary,
                COMMAND_WIDTH, width);
}

/* In the order of the section's groups, then of the table. */
static void append_section(GString *text, gsize section, int width)
{
    const char *const *groups = sections[section].groups;

    for (gsize g = 0; groups[g] != NULL; g++)
        for (gsize i = 0; i < spl_n_commands; i++) {
            if (is_of(spl_commands[i], groups[g]))
                append_line(text, spl_commands[i], width);
        }
    for (gsize i = 0; groups[0] == NULL && i < spl_n_commands; i++) {
        if (!is_elsewhere(spl_commands[i]))
            append_line(text, spl_commands[i], width);
    }
}

static char *overview(int width)
{
    g_autofree char *status = g_strdup_printf("Exit status: %s", spl_help_status);
    GString *text = g_string_new(NULL);

    append_paragraphs(text, spl_help_opening, width);

    g_string_append(text, "\nusage: simpling [COMMAND] [OPTIONS]\n");
    for (gsize i = 0; i < G_N_ELEMENTS(sections); i++) {
        gsize before;

        g_string_append_printf(text, "\n%s:\n", sections[i].title);
        before = text->len;
        append_section(text, i, width);
        if (text->len == before) /* nothing is left over */
            g_string_truncate(text, before - strlen(sections[i].title) - 3);
    }
    append_shared(text, width);
    g_string_append_c(text, '\n');
    append_paragraphs(text, status, width);
    g_string_append(text, "\n'simpling help COMMAND' tells more.\n\n");
    append_paragraphs(text, spl_help_closing, width);
    return g_string_free(text, FALSE);
}

char *spl_help_group(const char *group, int terminal)
{
    const int width = width_of(terminal);
    g_autoptr(GString) lines = g_string_new(NULL);

    for (gsize i = 0; i < spl_n_commands; i++) {
        if (is_of(spl_commands[i], group) && spl_commands[i]->words[strlen(group)] == ' ')
            append_line(lines, spl_commands[i], width);
    }
    return lines->len == 0
               ? NULL
               : g_strdup_printf("usage: simpling %s … [OPTIONS]\n\n%s\n'simpling help %s …' tells "
                                 "more of one of them.\n",
                                 group, lines->str, group);
}

char *spl_help_text(const struct spl_command *command, int terminal)
{
    const int width = width_of(terminal);
    const struct spl_option *options;
    g_autofree char *usage = NULL, *summary = NULL;
    GString *text;

    if (command == NULL)
        return overview(width);
    usage = spl_usage_line(command);
    summary =
        g_strconcat(command->summary,
                    strchr("?.!", command->summary[strlen(command->summary) - 1]) ? "" : ".", NULL);
    text = g_string_new(NULL);
    append_folded(text, usage, 7, width);
    g_string_append_c(text, '\n');
    append_folded(text, summary, 0, width);
    if (command->about != NULL) {
        g_string_append_c(text, '\n');
        append_paragraphs(text, command->about, width);
    }
    options = spl_command_options(command);
    if (options != NULL && options[0].name != NULL) {
        g_string_append(text, "\nOptions:\n");
        for (const struct spl_option *option = options; option->name != NULL; option++)
            append_option(text, option, width);
    }
    if (command->becomes != NULL) {
        g_autofree char *option = g_strconcat("--", command->becomes_with, NULL);
        g_autofree char *words = g_strdup_printf("the same as '%s'", command->becomes->words);

        append_pair(text, option, words, OPTION_WIDTH, width);
    }
    append_shared_names(text, width);
    if (command->examples != NULL) {
        g_string_append(text, "\nExamples:\n");
        for (guint i = 0; command->examples[i] != NULL; i++)
            g_string_append_printf(text, "  %s\n", command->examples[i]);
    }
    return g_string_free(text, FALSE);
}
