/* SPDX-License-Identifier: MIT
 *
 * Lines of notes that were taken: what makes a line the same as one that is in the book.
 */
#ifndef SPL_BOOK_NOTE_LINE_H
#define SPL_BOOK_NOTE_LINE_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

struct spl_note_taken {
    char *about; /* kind, day, place, material or code and verb */
    char *key;   /* and the amount */
    int occurrence;
    char *slip, *phone; /* NULL: a typed line */
    int number, revision;
    gboolean struck;
    char *line; /* as it was typed */
    char *file; /* hash of its file */
    char *made; /* UUID of the first record; NULL: none was made */
    char *code; /* what it was called; NULL */
};
void spl_note_taken_clear(struct spl_note_taken *taken);

/* Writes it. Inside a transaction. */
gboolean spl_note_taken_add(struct spl_book *book, const struct spl_note_taken *taken,
                            GError **error);

/* The typed line of that key and occurrence; the slip's line with its highest revision. FALSE
 * without an error: it was not taken. */
gboolean spl_note_taken_typed(struct spl_book *book, const char *key, int occurrence,
                              struct spl_note_taken *taken, GError **error);
gboolean spl_note_taken_slip(struct spl_book *book, const char *slip, const char *phone, int number,
                             struct spl_note_taken *taken, GError **error);

/* Typed lines about the same: a GArray of struct spl_note_taken that clears them; NULL with an
 * error. */
GArray *spl_note_taken_about(struct spl_book *book, const char *about, GError **error);

/* The day on which a file of that hash was read and written; not set: never. */
gboolean spl_note_file_read(struct spl_book *book, const char *hash, struct spl_day *day,
                            GError **error);
gboolean spl_note_file_add(struct spl_book *book, const char *hash, const char *name,
                           struct spl_day day, GError **error);

#endif
