/* SPDX-License-Identifier: MIT
 *
 * The terminal: how wide it is, and the line that tells of long work.
 */
#include <stdio.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "command/command.h"

#define WIDTH_MIN 20 /* what is narrower wraps by itself */

/* Of a terminal; one that does not know its width is asked about in $COLUMNS. */
int spl_terminal_width(void)
{
    const char *said = g_getenv("COLUMNS");
    guint64 columns = 0;
    struct winsize size;

    if (!isatty(STDOUT_FILENO))
        return 0;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
        return MAX(size.ws_col, WIDTH_MIN);
    if (said != NULL && g_ascii_string_to_unsigned(said, 10, WIDTH_MIN, 1000, &columns, NULL))
        return (int)columns;
    return 80;
}

/* A line that is drawn over again, on a terminal only, once work has taken a second. */
static gboolean line_is_drawn;

void spl_terminal_wipe(void)
{
    const int width = spl_terminal_width();

    if (line_is_drawn)
        fprintf(stderr, "\r%*s\r", (width > 0 ? width : 80) - 1, "");
    line_is_drawn = FALSE;
}

void spl_terminal_tell(const char *what, gint64 done, gint64 total, gpointer data)
{
    static gint64 started, last; /* of the work at hand; 0 between two */
    gint64 now = g_get_monotonic_time();

    (void)data;
    if (started == 0)
        started = now;
    if (total > 0 && done >= total) {
        spl_terminal_wipe();
        started = 0;
    } else if (now - started >= G_USEC_PER_SEC && now - last >= G_USEC_PER_SEC / 5) {
        g_autofree char *line = total > 0
                                    ? g_strdup_printf("%s: %d %%", what, (int)(100 * done / total))
                                    : g_strdup_printf("%s: %" G_GINT64_FORMAT, what, done);

        last = now;
        spl_terminal_wipe();
        fprintf(stderr, "%s", line);
        line_is_drawn = TRUE;
    }
    fflush(stderr);
}

#define LINE_MAX_BYTES 1000

char *spl_terminal_ask(const char *question)
{
    char line[LINE_MAX_BYTES];

    if (feof(stdin))
        return NULL;
    spl_call_say("", question, spl_terminal_width(), stderr);
    fputs("> ", stderr);
    fflush(stderr);
    if (fgets(line, sizeof line, stdin) == NULL)
        return NULL;
    g_strstrip(line);
    return *line != '\0' && g_utf8_validate(line, -1, NULL) ? g_strdup(line) : NULL;
}

gboolean spl_terminal_asks(const struct spl_call *call)
{
    return call->command->asks && call->n_places == 0 && !call->json && isatty(STDIN_FILENO) &&
           isatty(STDERR_FILENO);
}
