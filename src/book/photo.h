/* SPDX-License-Identifier: MIT
 *
 * Photos that go with entries: their rows, and their files beside the book.
 *
 * A file is kept in BOOK.photos/ab/cdef….jpg, named by its SHA-256, so that no photo stands twice,
 * for its owner's eyes alone: it may tell where a stand is. The book itself has a small picture
 * that does not, so that a book that was mailed or merged still shows it.
 */
#ifndef SPL_BOOK_PHOTO_H
#define SPL_BOOK_PHOTO_H

#include <glib.h>

#include "book/book.h"
#include "simpling/record/photo.h"

/* Writes the row of `photo` (subject, hash, kind, bytes, width, height, small, unseen). One that is
 * there already, of the same entry and file, stays. Inside a transaction. */
gboolean spl_photo_add(struct spl_book *book, const struct spl_photo *photo, GError **error);

/* Those of an entry, by its UUID, or all (NULL): a list of spl_photo_shape, NULL with an error.
 * Their state says whether the file is there; `thorough`: and whether it is still what was taken
 * in. */
GArray *spl_photo_list(struct spl_book *book, const char *subject, gboolean thorough,
                       GError **error);

/* Whether any entry has a photo of that hash. FALSE with *error set when the book cannot be read.
 */
gboolean spl_photo_is_known(struct spl_book *book, const char *hash, enum spl_photo_kind *kind,
                            GError **error);

/* Where the file of that hash is kept beside the book at `path`. Free with g_free. */
char *spl_photo_path(const char *book_path, const char *hash, enum spl_photo_kind kind);

/* Puts the file there, its folders made; `fresh`: it was not there before. SPL_ERROR_READ_ONLY,
 * _IO.
 */
gboolean spl_photo_put(const struct spl_book *book, const char *hash, enum spl_photo_kind kind,
                       const void *bytes, gsize size, gboolean *fresh, GError **error);

/* Copies the file of every photo of `book` that is whole beside the book at `from` to beside that
 * at `to`, as for a backup; `copied` counts them. What is missing stays missing. */
gboolean spl_photo_copy_all(struct spl_book *book, const char *from, const char *to, gint64 *copied,
                            GError **error);

/* Takes away what was copied to beside the book at `path`, folders that are empty then among it. */
void spl_photo_remove_all(struct spl_book *book, const char *path);

/* Own photos whose file is missing, and any that was altered, a line each, for `book check`. */
gboolean spl_photo_look_at_files(struct spl_book *book, GPtrArray *findings, GError **error);

#endif
