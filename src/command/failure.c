/* SPDX-License-Identifier: MIT
 *
 * What went wrong, on stderr: one line for people, one JSON object for programs.
 */
#include <string.h>

#include "command/command.h"

static gboolean has_option(const struct spl_option *options, const char *name)
{
    for (; options != NULL && options->name != NULL; options++)
        if (strcmp(options->name, name) == 0)
            return TRUE;
    return FALSE;
}

/* The input as it is typed: "--named-by: ", "weight: " for what has no option, "" for none. */
static char *typed_input(const struct spl_command *command, const GError *error)
{
    const char *key = spl_error_input(error);
    g_autofree char *option = NULL;

    if (key == NULL || spl_error_sentence(error) == error->message)
        return g_strdup("");
    option = g_strdelimit(g_strdup(key), "_", '-');
    if (command != NULL &&
        (has_option(command->options, option) || has_option(spl_shared_options, option)))
        return g_strdup_printf("--%s: ", option);
    return g_strdup_printf("%s: ", key);
}

void spl_tell_failure(const struct spl_command *command, const GError *error, gboolean json)
{
    g_autofree char *input = NULL;

    if (json) {
        struct spl_failure failure;
        g_autofree char *line = NULL;

        spl_error_failure(error, &failure);
        line = spl_record_json(&spl_failure_shape, &failure);
        spl_record_clear(&spl_failure_shape, &failure);
        fprintf(stderr, "%s\n", line);
        return;
    }
    input = typed_input(command, error);
    fprintf(stderr, "simpling: %s%s\n", input, spl_error_sentence(error));
}
