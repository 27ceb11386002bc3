/* SPDX-License-Identifier: MIT
 *
 * Notes as bytes: the plain lines that anyone types on a phone, out of any notes application, a
 * mail or a text file, made ready for season/note.h, which knows what their words mean.
 *
 * A byte-order mark is dropped; UTF-8, UTF-16 with its mark, else Windows-1252. Lines end at LF,
 * CRLF, CR, form feed, U+2028 and U+2029. What is no text (a picture, a PDF) is refused whole.
 *
 * Each line comes twice: as it was typed, and folded, for reading: small ASCII letters, marks
 * dropped, one kind of dash, quote and space, fractions apart from the number before them. `at`
 * leads from each byte of the folded text to its place in the typed one.
 */
#ifndef SPL_EXCHANGE_NOTE_LINES_H
#define SPL_EXCHANGE_NOTE_LINES_H

#include <glib.h>

#define SPL_NOTES_MAX (1024 * 1024) /* bytes of a file */
#define SPL_NOTES_LINES 5000
#define SPL_NOTE_LINE_MAX 2000 /* characters */

/* A box before a line of a checklist. */
enum spl_note_box { SPL_NOTE_BOX_NONE, SPL_NOTE_BOX_OPEN, SPL_NOTE_BOX_TICKED };

/* Why a line is none. */
enum spl_note_skip {
    SPL_NOTE_READ,
    SPL_NOTE_EMPTY,
    SPL_NOTE_MAIL,   /* "On Tue … wrote:", "-- ", "Sent from my phone" */
    SPL_NOTE_EXPORT, /* "[14/07/2027, 19:42] Ann: …": a messenger's own stamp before it */
    SPL_NOTE_LONG,
    SPL_NOTE_DIGITS /* digits that are not 0-9 */
};

struct spl_note_line {
    int number;     /* from 1 */
    char *typed;    /* valid UTF-8 without control characters, marks of lists and mail in it */
    GString *text;  /* folded, without them */
    GArray *at;     /* gsize for each byte of `text`, and one for its end: where in `typed` */
    char *pictures; /* emoji and the like that were in it; NULL: none */
    enum spl_note_box box;
    enum spl_note_skip skip;
    /* The identity at the end of a slip's line, "[a7k3-q2-05.2]"; slip NULL: it has none. */
    char *slip, *phone; /* phone NULL: the slip's own first phone */
    int entry, revision;
    gboolean struck;
};

/* What was read of one file. */
struct spl_note_lines {
    GPtrArray *lines; /* struct spl_note_line *, empty ones left out */
    char *hash;       /* SHA-256 of its bytes in hex */
};
void spl_note_lines_clear(struct spl_note_lines *lines);

/* `name` stands in errors. SPL_ERROR_CORRUPT: no plain text; SPL_ERROR_LIMIT. */
gboolean spl_note_lines_take(const char *bytes, gsize size, const char *name,
                             struct spl_note_lines *lines, GError **error);

/* The same folding for a name or word that is to be found in such a text. Free with g_free. */
char *spl_note_fold(const char *text);

/* A pattern over folded texts, byte by byte, made at its first use and kept. */
const GRegex *spl_note_pattern(GRegex **kept, const char *pattern);

#endif
