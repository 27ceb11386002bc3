/* SPDX-License-Identifier: MIT
 *
 * libmicrohttpd in the main loop. See desk/turn.h.
 */
#include "desk/turn.h"

struct turn {
    GSource source;
    struct MHD_Daemon *daemon;
    gpointer tag;
    void (*begins)(void *data);
    void *data;
};

static gboolean turn_prepare(GSource *source, int *timeout_ms)
{
    struct turn *turn = (struct turn *)source;
    MHD_UNSIGNED_LONG_LONG ms = 0;

    *timeout_ms = MHD_get_timeout(turn->daemon, &ms) == MHD_YES ? (int)MIN(ms, 1000) : -1;
    return *timeout_ms == 0;
}

static gboolean turn_check(GSource *source)
{
    struct turn *turn = (struct turn *)source;
    MHD_UNSIGNED_LONG_LONG ms = 1;

    return g_source_query_unix_fd(source, turn->tag) != 0 ||
           (MHD_get_timeout(turn->daemon, &ms) == MHD_YES && ms == 0);
}

static gboolean turn_dispatch(GSource *source, GSourceFunc callback, gpointer data)
{
    struct turn *turn = (struct turn *)source;

    (void)callback;
    (void)data;
    turn->begins(turn->data);
    MHD_run(turn->daemon);
    return G_SOURCE_CONTINUE;
}

GSource *spl_turn_new(struct MHD_Daemon *daemon, void (*begins)(void *data), void *data)
{
    static GSourceFuncs funcs = {
        .prepare = turn_prepare, .check = turn_check, .dispatch = turn_dispatch};
    const union MHD_DaemonInfo *info = MHD_get_daemon_info(daemon, MHD_DAEMON_INFO_EPOLL_FD);
    GSource *source = g_source_new(&funcs, sizeof(struct turn));
    struct turn *turn = (struct turn *)source;

    turn->daemon = daemon;
    turn->begins = begins;
    turn->data = data;
    turn->tag = g_source_add_unix_fd(source, info->epoll_fd, G_IO_IN);
    g_source_attach(source, NULL);
    return source;
}
