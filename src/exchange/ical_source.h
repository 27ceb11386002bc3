/* SPDX-License-Identifier: MIT
 *
 * The lines of a foreign calendar file: octets from a file or memory, unfolded (RFC 5545 3.1),
 * whatever ends them (CR LF, LF, CR), without more memory than the longest line that is wanted.
 */
#ifndef SPL_EXCHANGE_ICAL_SOURCE_H
#define SPL_EXCHANGE_ICAL_SOURCE_H

#include <glib.h>

typedef struct spl_ical_source spl_ical_source;

/*
 * Opens a file and looks at its first octets: SPL_ERROR_NOT_FOUND, _IO, _INVALID (a folder),
 * _CORRUPT (empty, UTF-16, HTML or XML). Reading more than `file_bytes` will be SPL_ERROR_LIMIT.
 */
struct spl_ical_source *spl_ical_source_open(const char *path, gsize file_bytes, gsize line_bytes,
                                             GError **error);
/* The same for bytes in memory, which must outlive it. */
struct spl_ical_source *spl_ical_source_open_bytes(const char *bytes, gsize size, gsize file_bytes,
                                                   gsize line_bytes, GError **error);

/* One unfolded line. FALSE at the end without an error, or with one (_IO, _LIMIT, and _CORRUPT for
 * a NUL octet). */
gboolean spl_ical_source_next(struct spl_ical_source *source, GError **error);

/* The line just read; what is longer than line_bytes is cut. Borrowed until the next one. */
const GString *spl_ical_source_line(const struct spl_ical_source *source);
/* Its length before it was cut. */
gsize spl_ical_source_line_size(const struct spl_ical_source *source);
/* The physical line on which it begins, from 1. */
int spl_ical_source_line_at(const struct spl_ical_source *source);
/* The file's name for messages. */
const char *spl_ical_source_name(const struct spl_ical_source *source);

void spl_ical_source_free(struct spl_ical_source *source);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ical_source, spl_ical_source_free)

#endif
