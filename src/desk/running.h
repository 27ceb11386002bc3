/* SPDX-License-Identifier: MIT
 *
 * One desk per book: a file of the runtime folder, locked while the desk runs. It holds what opens
 * the door, so that a second call can open the first, and that open forms outlive a restart.
 */
#ifndef SPL_DESK_RUNNING_H
#define SPL_DESK_RUNNING_H

#include <glib.h>

#include "desk/door.h"

struct spl_running {
    char *path;
    int fd;   /* locked */
    int port; /* of the last desk of this book; 0: none is known */
};

/*
 * Takes the lock of `book`'s desk, with the name and cookie of the last one in `door` where there
 * was one
 * (`door` is begun). `theirs`: another process has it; then `running->port` and door's name and
 * secret are that one's, and there is no lock. SPL_ERROR_IO, SPL_ERROR_REFUSED (the file is
 * another's).
 */
gboolean spl_running_take(const char *book, struct spl_running *running, struct spl_door *door,
                          gboolean *theirs, GError **error);

/* Writes what opens it, once the port is known. */
gboolean spl_running_tell(struct spl_running *running, const struct spl_door *door, int port,
                          GError **error);

/* Gives the lock up; the file stays. */
void spl_running_end(struct spl_running *running);

#endif
