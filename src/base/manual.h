/* SPDX-License-Identifier: MIT
 *
 * The manual, data/manual/NAME.md: one text for the man page, the plain site and a face's help. It
 * is written in a small part of Markdown (the blocks as in CommonMark 0.31, tables as in GitHub
 * Flavored Markdown):
 *
 *     # Title, ## Section, ### Part      one line; the title once, first
 *     paragraphs                         lines up to an empty one
 *     - item                             what goes on is set in by two
 *         code                           set in by four, behind an empty line
 *     | a table |                        second line |--|; every row with as many cells
 *     `code`, **strong**, [text](PAGE.md#id)
 *
 * Nothing else is markup, and no character is escaped. A section is found by its page and id: that
 * of "What a version may change" is "what-a-version-may-change" (spl_manual_id).
 */
#ifndef SPL_BASE_MANUAL_H
#define SPL_BASE_MANUAL_H

#include <glib.h>

enum spl_manual_kind {
    SPL_MANUAL_HEADING,
    SPL_MANUAL_TEXT,
    SPL_MANUAL_ITEM,
    SPL_MANUAL_CODE, /* with its line breaks */
    SPL_MANUAL_HEAD, /* the first row of a table */
    SPL_MANUAL_ROW
};

struct spl_manual_block {
    enum spl_manual_kind kind;
    int level;        /* of a heading: 1 to 3 */
    GPtrArray *texts; /* of char *, with their marks: the cells of a row, else one */
};

enum spl_manual_mark { SPL_MANUAL_PLAIN, SPL_MANUAL_LITERAL, SPL_MANUAL_STRONG, SPL_MANUAL_LINK };

/* A piece of a text. */
struct spl_manual_span {
    enum spl_manual_mark mark;
    char *text;
    char *page, *id; /* of a link: "words" (NULL: this page) and "ground" (NULL: its beginning) */
};

/*
 * The blocks of a page (struct spl_manual_block), in order; free with g_array_unref. NULL with
 * SPL_ERROR_CORRUPT: `what` is named with the line that is none of the above.
 */
GArray *spl_manual_read(const char *text, const char *what, GError **error);

/* The pieces of one text (struct spl_manual_span); free with g_array_unref. A mark without its end
 * is plain. */
GArray *spl_manual_spans(const char *text);

/* The id of a heading: small letters and digits, all else one hyphen. Free with g_free. */
char *spl_manual_id(const char *heading);

#endif
