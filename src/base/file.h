/* SPDX-License-Identifier: MIT
 *
 * Files written whole or not at all: a stream into a temporary file beside the target, then fsync,
 * rename, fsync of the folder. Nobody ever sees half a file, and a failure leaves the old one.
 * Memory use does not grow with the file.
 */
#ifndef SPL_BASE_FILE_H
#define SPL_BASE_FILE_H

#include <glib.h>

typedef struct spl_file_writer spl_file_writer; /* the name that g_autoptr needs */

/* Whether something can be written to `path`: nothing is there, or a file; a folder, pipe or device
 * is SPL_ERROR_INVALID. To be asked before the target is read or any work is done. */
gboolean spl_file_is_target(const char *path, GError **error);

/* Opens a writer for `path`. SPL_ERROR_READ_ONLY, _NOT_FOUND (no such folder) or _IO. */
struct spl_file_writer *spl_file_writer_open(const char *path, GError **error);

/* What tells of places is for its owner's eyes: a new file has the mode 0600; one that was there
 * keeps the mode that the person gave it. */
void spl_file_writer_keep_private(struct spl_file_writer *writer);

/* Appends `size` bytes. After a failure the writer can only be freed. */
gboolean spl_file_writer_write(struct spl_file_writer *writer, const void *data, gsize size,
                               GError **error);
gboolean spl_file_writer_text(struct spl_file_writer *writer, const char *text, GError **error);

/* The SHA-256 in hex of what was written so far; free with g_free. */
char *spl_file_writer_checksum(const struct spl_file_writer *writer);

/* Whether the target holds anything else than what was written so far, or is not there: a commit
 * would change it. */
gboolean spl_file_writer_changes(struct spl_file_writer *writer, gboolean *changes, GError **error);

/*
 * Leaves the target untouched (its time too) when it already holds just these bytes; otherwise
 * replaces it. The writer is spent either way and must still be freed.
 */
gboolean spl_file_writer_commit(struct spl_file_writer *writer, GError **error);

/* Without a commit before, throws the temporary file away. NULL is fine. */
void spl_file_writer_free(struct spl_file_writer *writer);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_file_writer, spl_file_writer_free)

/* SHA-256 in hex of a file, read in pieces. SPL_ERROR_NOT_FOUND, SPL_ERROR_IO, or SPL_ERROR_INVALID
 * of what is no file (a device may never end). */
char *spl_file_checksum(const char *path, GError **error);

/* The whole of a file of at most `max` bytes (SPL_ERROR_LIMIT), with a NUL after it. A directory or
 * other special file is SPL_ERROR_INVALID. `size` may be NULL. Free with g_free. */
char *spl_file_read(const char *path, gsize max, gsize *size, GError **error);

/* Writes `text` whole to `path`: open, write, commit; _private: as spl_file_writer_keep_private. */
gboolean spl_file_write(const char *path, const char *text, gsize size, GError **error);
gboolean spl_file_write_private(const char *path, const char *text, gsize size, GError **error);

#endif
