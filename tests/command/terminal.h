/* SPDX-License-Identifier: MIT
 *
 * The program on a terminal of a given width: a pseudo-terminal is its stdin, stdout and stderr.
 */
#ifndef SPL_TESTS_COMMAND_TERMINAL_H
#define SPL_TESTS_COMMAND_TERMINAL_H

#include <fcntl.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>

#include "base/layout.h"
#include "cli.h"

/* Not everywhere: a bare chroot has no /dev/pts. */
static inline gboolean terminal_is_there(void)
{
    int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    char name[64];
    gboolean good =
        terminal >= 0 && ptsname_r(terminal, name, sizeof name) == 0 && access(name, F_OK) == 0;

    if (terminal >= 0)
        close(terminal);
    return good;
}

/*
 * What a line prints on a terminal of `columns`, both streams as they come; `typed` is what the
 * person types (NULL: nothing), which the terminal does not echo. Sets the status of `cli`. Free
 * with g_free.
 */
static inline char *terminal_run(struct cli *cli, const char *line, int columns, const char *typed)
{
    const struct winsize size = {.ws_row = 50, .ws_col = (unsigned short)columns};
    int terminal = posix_openpt(O_RDWR | O_NOCTTY), ends[2], status;
    g_autofree char *whole = g_strconcat(SPL_BUILD_DIR "/bin/simpling ", line, NULL);
    g_auto(GStrv) argv = NULL, env = g_get_environ();
    GString *said = g_string_new(NULL);
    char name[64], piece[4096];
    ssize_t got;
    GPid child;

    assert_true(terminal >= 0 && grantpt(terminal) == 0 && unlockpt(terminal) == 0);
    assert_int_equal(ptsname_r(terminal, name, sizeof name), 0);
    ends[0] = open(name, O_RDWR | O_NOCTTY);
    ends[1] = dup(ends[0]);
    assert_true(ends[0] >= 0 && ends[1] >= 0);
    assert_int_equal(ioctl(ends[0], TIOCSWINSZ, &size), 0);
    assert_true(g_shell_parse_argv(whole, NULL, &argv, NULL));
    env = g_environ_unsetenv(env, "LANG");
    env = g_environ_unsetenv(env, "LC_ALL");
    env = g_environ_unsetenv(env, "COLUMNS");
    env = g_environ_setenv(env, "SIMPLING_BOOK", cli->book, TRUE);
    env = g_environ_setenv(env, "SIMPLING_TODAY", cli->today, TRUE);
    env = g_environ_setenv(env, "XDG_CONFIG_HOME", cli->folder, TRUE);
    if (typed != NULL) /* the line discipline keeps it until it is read */
        assert_int_equal(write(terminal, typed, strlen(typed)), (ssize_t)strlen(typed));
    if (!g_spawn_async_with_fds(cli->folder, argv, env, G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL,
                                &child, ends[0], ends[1], ends[1], NULL))
        fail_msg("cannot run: %s", whole);
    close(ends[0]);
    close(ends[1]);
    while ((got = read(terminal, piece, sizeof piece)) > 0) /* EIO: nobody holds the other end */
        g_string_append_len(said, piece, got);
    close(terminal);
    assert_int_equal(waitpid(child, &status, 0), child);
    if (!WIFEXITED(status))
        fail_msg("%s: killed by signal %d", line, WTERMSIG(status));
    cli->status = WEXITSTATUS(status);
    return g_string_free(said, FALSE);
}

/* No line of what `line` printed is wider, but for one without blanks: a path, an address. */
static inline void terminal_fits(const char *line, const char *out, int columns)
{
    g_auto(GStrv) rows = g_strsplit(out, "\n", -1);

    setlocale(LC_CTYPE, "C.UTF-8");
    for (guint r = 0; rows[r] != NULL; r++) {
        g_strchomp(rows[r]);
        if (spl_text_width(rows[r]) > columns && strchr(g_strstrip(rows[r]), ' ') != NULL &&
            !g_str_has_prefix(rows[r], "simpling: "))
            fail_msg("%s: '%s' is wider than %d", line, rows[r], columns);
    }
}

#endif
