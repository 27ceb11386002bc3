/* SPDX-License-Identifier: MIT
 *
 * The files of one `calendar write`: which may be replaced, and taking them back when the book
 * could not record them.
 */
#ifndef SPL_SEASON_CALENDAR_FILES_H
#define SPL_SEASON_CALENDAR_FILES_H

#include <glib.h>

#include "book/book.h"

/* TRUE if nothing is at `path`, or what this book left there (`force`: anything). Else
 * SPL_ERROR_CONFLICT. */
gboolean spl_calendar_file_is_ours(struct spl_book *book, const char *path, gboolean force,
                                   GError **error);

/* Files put in place since the transaction began. */
GPtrArray *spl_calendar_files_new(void);

/* To be called before `path` is replaced: what is there now is kept under a hidden name beside it,
 * where the file system can. */
void spl_calendar_files_keep(GPtrArray *files, const char *path);

/* Ends it: with `done` what was kept is removed, without it each file is again as it was. Frees
 * `files`. */
void spl_calendar_files_settle(GPtrArray *files, gboolean done);

#endif
