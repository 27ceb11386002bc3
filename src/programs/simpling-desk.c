/* SPDX-License-Identifier: MIT
 *
 * simpling-desk: the book in a browser on this machine. It has the same table of commands as
 * simpling, and the inside of the one that serves.
 */
#include <stdio.h>

#include "command/command.h"
#include "desk/desk.h"

/* Whoever started it may wait for the address. */
static void say(const char *line, gpointer data)
{
    FILE *out = data;

    fprintf(out, "%s\n", line);
    fflush(out);
}

static gboolean read_port(const char *text, int *port, GError **error)
{
    guint64 number = 0;

    if (text != NULL && !g_ascii_string_to_unsigned(text, 10, 0, 65535, &number, NULL)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "port",
                            "'%.40s' is no port: 1024 to 65535, or 0 for a free one", text);
        return FALSE;
    }
    *port = (int)number;
    return TRUE;
}

static int run_desk(struct spl_call *call, GError **error)
{
    struct spl_desk_options options = {
        .where = call->where,
        .show = !spl_call_has(call, "no-browser"),
        .say = say,
        .say_data = call->out,
    };

    if (!read_port(spl_call_get(call, "port"), &options.port, error))
        return -1;
    return spl_desk_run(&options, error) ? 0 : -1;
}

int main(int argc, char **argv)
{
    static const struct spl_helper_run runs[] = {{"desk", run_desk}, {NULL, NULL}};

    return spl_run(argc, argv, runs);
}
