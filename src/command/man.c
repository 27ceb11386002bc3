/* SPDX-License-Identifier: MIT
 *
 * The manual page, from the same rows and texts as the help.
 */
#include <string.h>

#include "base/manual.h"
#include "command/pages.h"

/* Text into roff: backslashes and hyphens are escaped, and no line begins with a control sign. */
static void add(GString *page, const char *text)
{
    gboolean at_start = page->len == 0 || page->str[page->len - 1] == '\n';

    for (; *text != '\0'; text++) {
        if (at_start && (*text == '.' || *text == '\''))
            g_string_append(page, "\\&");
        if (*text == '\\')
            g_string_append(page, "\\e");
        else if (*text == '-')
            g_string_append(page, "\\-");
        else if (strncmp(text, "…", strlen("…")) == 0) {
            g_string_append(page, "...");
            text += strlen("…") - 1;
        } else
            g_string_append_c(page, *text);
        at_start = *text == '\n';
    }
}

static void add_line(GString *page, const char *text)
{
    add(page, text);
    g_string_append_c(page, '\n');
}

/* A text of paragraphs, divided by empty lines. */
static void add_paragraphs(GString *page, const char *text)
{
    g_auto(GStrv) paragraphs = g_strsplit(text, "\n\n", -1);

    for (char **paragraph = paragraphs; *paragraph != NULL; paragraph++) {
        if (paragraph != paragraphs)
            g_string_append(page, ".PP\n");
        add_line(page, g_strchomp(*paragraph));
    }
}

static void add_options(GString *page, const struct spl_option *options)
{
    for (; options != NULL && options->name != NULL; options++) {
        g_string_append(page, ".TP\n\\fB\\-\\-");
        add(page, options->name);
        g_string_append(page, "\\fR");
        if (options->value != NULL) {
            g_string_append(page, " \\fI");
            add(page, options->value);
            g_string_append(page, "\\fR");
        }
        g_string_append_c(page, '\n');
        add(page, options->help);
        add_line(page, options->kind == SPL_OPTION_MANY ? " (may be repeated)" : "");
    }
}

/* Lines as they are typed. */
static void add_examples(GString *page, const char *const *examples)
{
    g_string_append(page, ".PP\nFor example:\n.PP\n.RS 4\n.nf\n");
    for (; *examples != NULL; examples++)
        add_line(page, *examples);
    g_string_append(page, ".fi\n.RE\n");
}

static void add_command(GString *page, const struct spl_command *command)
{
    const struct spl_option *options = spl_command_options(command);
    int min, max;
    const char *places = spl_command_places(command, &min, &max);

    g_string_append(page, ".SS ");
    add_line(page, *command->words != '\0' ? command->words : "(no command)");
    g_string_append(page, "\\fBsimpling");
    if (*command->words != '\0') {
        g_string_append_c(page, ' ');
        add(page, command->words);
    }
    g_string_append(page, "\\fR");
    if (*places != '\0') {
        g_string_append(page, " \\fI");
        add(page, places);
        g_string_append(page, "\\fR");
    }
    if (options != NULL && options[0].name != NULL)
        g_string_append(page, " [\\fIOPTIONS\\fR]");
    g_string_append(page, "\n.PP\n");
    add(page, command->summary);
    add_line(page, strchr("?.!", command->summary[strlen(command->summary) - 1]) ? "" : ".");
    if (command->about != NULL) {
        g_string_append(page, ".PP\n");
        add_paragraphs(page, command->about);
    }
    add_options(page, options);
    if (command->becomes != NULL) {
        g_autofree char *words = g_strdup_printf("the same as '%s'", command->becomes->words);
        const struct spl_option becomes[] = {
            {command->becomes_with, SPL_OPTION_FLAG, NULL, words},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        };

        add_options(page, becomes);
    }
    if (command->examples != NULL)
        add_examples(page, command->examples);
}

static const char *const files[][2] = {
    {"$XDG_DATA_HOME/simpling/book.db",
     "the book, unless --book or SIMPLING_BOOK names another; XDG_DATA_HOME is ~/.local/share if "
     "unset"},
    {"$XDG_CONFIG_HOME/simpling/*.csv",
     "your own rows of plants, materials, preparations and the other tables: they add to or "
     "override those that come with the program"},
    {"PREFIX/share/simpling/", "the tables and almanacs that come with the program"},
};

static const char *const variables[][2] = {
    {"SIMPLING_BOOK", "the book"},
    {"SIMPLING_TODAY", "the day to take for today"},
    {"SIMPLING_DATA", "the folder of the tables, instead of those that came with the program"},
    {"NO_COLOR", "if set, nothing is coloured"},
};

static void add_pairs(GString *page, const char *const (*pairs)[2], gsize n)
{
    for (gsize i = 0; i < n; i++) {
        g_string_append(page, ".TP\n\\fI");
        add(page, pairs[i][0]);
        g_string_append(page, "\\fR\n");
        add_line(page, pairs[i][1]);
    }
}

char *spl_man_page(const char *version, const char *date)
{
    GString *page = g_string_new(NULL);

    g_string_append_printf(page, ".TH SIMPLING 1 \"%s\" \"simpling %s\" \"User Commands\"\n", date,
                           version);
    g_string_append(page, ".SH NAME\nsimpling \\- a clinical herbalist's book of wild plants\n"
                          ".SH SYNOPSIS\n\\fBsimpling\\fR [\\fICOMMAND\\fR] [\\fIOPTIONS\\fR]\n"
                          ".SH DESCRIPTION\n");
    add_paragraphs(page, spl_help_opening);
    g_string_append(page, ".PP\n");
    add_paragraphs(page, spl_help_closing);
    g_string_append(page, ".SH OPTIONS\nEvery command takes these.\n");
    add_options(page, spl_shared_options);
    g_string_append(page, ".SH COMMANDS\n");
    for (gsize i = 0; i < spl_n_commands; i++)
        add_command(page, spl_commands[i]);
    g_string_append(page, ".SH EXIT STATUS\n");
    add_paragraphs(page, spl_help_status);
    g_string_append(page, ".SH FILES\n");
    add_pairs(page, files, G_N_ELEMENTS(files));
    g_string_append(page, ".SH ENVIRONMENT\n");
    add_pairs(page, variables, G_N_ELEMENTS(variables));
    return g_string_free(page, FALSE);
}

/* The manual's pages --------------------------------------------------------------------------- */

/* Links become their words: a man page has no places to go to. */
static void add_marked(GString *page, const char *text)
{
    static const char *const fonts[][2] = {
        {"", ""}, {"\\fB", "\\fR"}, {"\\fB", "\\fR"}, {"\\fI", "\\fR"}};
    g_autoptr(GArray) spans = spl_manual_spans(text);

    for (guint i = 0; i < spans->len; i++) {
        const struct spl_manual_span *span = &g_array_index(spans, struct spl_manual_span, i);

        g_string_append(page, fonts[span->mark][0]);
        add(page, span->text);
        g_string_append(page, fonts[span->mark][1]);
    }
    g_string_append_c(page, '\n');
}

/* A row as a word and what is said of it; more cells one behind the other. */
static void add_row(GString *page, const GPtrArray *cells, const GPtrArray *heads)
{
    g_string_append(page, ".TP\n");
    add_marked(page, g_ptr_array_index(cells, 0));
    for (guint i = 1; i < cells->len; i++) {
        g_autofree char *said =
            cells->len == 2 || heads == NULL
                ? g_strdup(g_ptr_array_index(cells, i))
                : g_strdup_printf("%s: %s.", (char *)g_ptr_array_index(heads, i),
                                  (char *)g_ptr_array_index(cells, i));

        add_marked(page, said);
    }
}

static void add_block(GString *page, const struct spl_manual_block *block, const GPtrArray *heads,
                      gboolean behind_heading)
{
    const char *text = g_ptr_array_index(block->texts, 0);

    switch (block->kind) {
    case SPL_MANUAL_HEADING:
        g_string_append(page, block->level == 1 ? ".SH " : ".SS ");
        add_marked(page, text);
        break;
    case SPL_MANUAL_TEXT:
        if (!behind_heading)
            g_string_append(page, ".PP\n");
        add_marked(page, text);
        break;
    case SPL_MANUAL_ITEM:
        g_string_append(page, ".IP \\(bu 2\n");
        add_marked(page, text);
        break;
    case SPL_MANUAL_CODE:
        g_string_append(page, behind_heading ? ".RS 4\n.nf\n" : ".PP\n.RS 4\n.nf\n");
        add_line(page, text);
        g_string_append(page, ".fi\n.RE\n");
        break;
    case SPL_MANUAL_HEAD: /* its words stand before the cells, where they are needed */
        break;
    case SPL_MANUAL_ROW:
        add_row(page, block->texts, heads);
        break;
    }
}

char *spl_man_manual(const GPtrArray *pages, const char *version, const char *date)
{
    GString *page = g_string_new(NULL);

    g_string_append_printf(page, ".TH SIMPLING\\-MANUAL 7 \"%s\" \"simpling %s\" \"Manual\"\n",
                           date, version);
    g_string_append(page, ".SH NAME\nsimpling\\-manual \\- how a day with simpling goes, and what "
                          "its words mean\n");
    for (guint i = 0; i < pages->len; i++) {
        const GArray *blocks = g_ptr_array_index(pages, i);
        const GPtrArray *heads = NULL;
        gboolean behind_heading = FALSE;

        for (guint b = 0; b < blocks->len; b++) {
            const struct spl_manual_block *block =
                &g_array_index(blocks, struct spl_manual_block, b);

            if (block->kind == SPL_MANUAL_HEAD)
                heads = block->texts;
            add_block(page, block, heads, behind_heading);
            behind_heading = block->kind == SPL_MANUAL_HEADING;
        }
    }
    g_string_append(page, ".SH SEE ALSO\nsimpling(1)\n");
    return g_string_free(page, FALSE);
}
