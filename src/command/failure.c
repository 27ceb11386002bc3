/* SPDX-License-Identifier: MIT
 *
 * What went wrong, on stderr: a line for people, and what would settle it; one JSON object for
 * programs.
 */
#include "command/command.h"

void spl_tell_failure(const struct spl_command *command, const GError *error, gboolean json)
{
    g_autofree char *line = NULL;

    if (json) {
        struct spl_failure failure;

        spl_error_failure(error, &failure);
        line = spl_record_json(&spl_failure_shape, &failure);
        spl_record_clear(&spl_failure_shape, &failure);
        fprintf(stderr, "%s\n", line);
        return;
    }
    line = spl_command_error(command, error);
    fprintf(stderr, "simpling: %s\n", line);
    spl_tell_error_next(error, stderr);
}
