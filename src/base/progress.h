/* SPDX-License-Identifier: MIT
 *
 * How work that may take long tells how far it is. The command line draws it on a terminal; others
 * pass NULL.
 */
#ifndef SPL_BASE_PROGRESS_H
#define SPL_BASE_PROGRESS_H

#include <glib.h>

struct spl_progress {
    /* `what` in words ("reading polygons"); done and total in the same unit, total 0: unknown. */
    void (*tell)(const char *what, gint64 done, gint64 total, gpointer data);
    gpointer data;
};

static inline void spl_progress_tell(const struct spl_progress *progress, const char *what,
                                     gint64 done, gint64 total)
{
    if (progress != NULL && progress->tell != NULL)
        progress->tell(what, done, total, progress->data);
}

#endif
