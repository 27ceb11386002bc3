/* SPDX-License-Identifier: MIT
 *
 * desk: the face for a browser. One thread, one event loop; the house is opened for each request
 * and closed behind it. serve.c holds the server, door.c who is let in, routes.c the table of
 * pages; a page is one file, composed of season's answers, and forms come from the tables of
 * inputs.
 *
 * It never uses command, nor command it; it prints nothing but through `say`.
 */
#ifndef SPL_DESK_DESK_H
#define SPL_DESK_DESK_H

#include <glib.h>

#include "simpling/house.h"

struct spl_desk_options {
    const struct spl_house_options *where;        /* `now_us` set: its today stands still */
    int port;                                     /* 0: a free one */
    gboolean show;                                /* opens the browser, where there is a display */
    void (*say)(const char *line, gpointer data); /* the addresses, and what goes wrong later */
    gpointer say_data;
};

/*
 * Serves the book on this machine until SIGINT or SIGTERM, and finishes then what is being written.
 * Where a desk of this book runs already, that one is said and opened, and this returns at once.
 * SPL_ERROR_EXISTS: the port is taken; SPL_ERROR_IO.
 */
gboolean spl_desk_run(const struct spl_desk_options *options, GError **error);

#endif
