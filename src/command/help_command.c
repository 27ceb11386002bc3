/* SPDX-License-Identifier: MIT
 *
 * simpling help [COMMAND]
 */
#include <string.h>

#include "base/text.h"
#include "command/rows.h"

static int run(struct spl_call *call, GError **error)
{
    g_autofree char *wanted = call->n_places > 0 ? g_strjoinv(" ", call->places) : NULL;
    g_autofree char *offer = NULL, *shown = NULL, *text = NULL;
    g_autoptr(GPtrArray) names = g_ptr_array_new();

    if (wanted == NULL)
        text = spl_help_text(NULL, call->width);
    for (gsize i = 0; i < spl_n_commands && text == NULL; i++) {
        g_ptr_array_add(names, (gpointer)spl_commands[i]->words);
        if (wanted != NULL && strcmp(spl_commands[i]->words, wanted) == 0)
            text = spl_help_text(spl_commands[i], call->width);
    }
    if (text == NULL) /* "help site" lists site add, site edit … */
        text = spl_help_group(wanted, call->width);
    if (text != NULL) {
        fputs(text, call->out);
        return 0;
    }
    shown = spl_text_scrub(wanted, FALSE);
    offer = spl_names_offer(shown, names);
    g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%.60s: there is no such command%s", shown,
                offer);
    return -1;
}

const struct spl_command spl_command_help = {
    .words = "help",
    .summary = "What the commands do and how they are called",
    .places = "[COMMAND]",
    .max_places = 4,
    .examples = (const char *const[]){"simpling help site add", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .run = run,
};
