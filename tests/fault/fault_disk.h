/* SPDX-License-Identifier: MIT
 *
 * What the platter would hold: for each named file the content as of its last sync, and what was
 * done to it since. Part of the fault VFS; see fault_vfs.h for the model.
 */
#ifndef SPL_TESTS_FAULT_DISK_H
#define SPL_TESTS_FAULT_DISK_H

#include <glib.h>

/* Forgets everything; files are taken up again as they are when they are next opened. */
void fault_disk_reset(void);

/* The file is about to be opened, and made if `create`. */
void fault_disk_open(const char *path, gboolean create);

void fault_disk_write(const char *path, const void *bytes, int n, gint64 offset);
void fault_disk_truncate(const char *path, gint64 size);
void fault_disk_delete(const char *path, gboolean sync_folder);
void fault_disk_sync(const char *path);

/*
 * Leaves every file as after a loss of power: all that is not synced dropped, or with `tear` each
 * operation kept or dropped, and writes kept in part, as `seed` chooses.
 */
void fault_disk_lose(gboolean tear, guint32 seed);

#endif
