/* SPDX-License-Identifier: MIT
 *
 * libmicrohttpd's epoll descriptor as a source of the main loop: the library gets its turn when
 * something comes, or when it is time for what it does by the clock.
 */
#ifndef SPL_DESK_TURN_H
#define SPL_DESK_TURN_H

#include <glib.h>
#include <microhttpd.h>

/* Attached to the default context; destroy and unref it before the daemon is stopped. `begins` is
 * called with `data` before each turn. */
GSource *spl_turn_new(struct MHD_Daemon *daemon, void (*begins)(void *data), void *data);

#endif
