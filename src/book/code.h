/* SPDX-License-Identifier: MIT
 *
 * Codes: H27-001, ANN:B27-014. What people write on jars, and the `thing` rows behind them.
 *
 * A letter for the kind (H harvest, P purchase, D drying, B batch, L lot, N note,
 * U use), the two-digit
 * year of its own date, a number from 001, unique within the book that made it. A code of another
 * book shows with that book's mark before it. Numbers are never used again, and stay when a date is
 * amended.
 */
#ifndef SPL_BOOK_CODE_H
#define SPL_BOOK_CODE_H

#include <glib.h>

#include "book/book.h"
#include "book/statement.h"

struct spl_thing {
    gint64 id;
    char kind; /* 'H' … */
    char *uuid;
    char *code; /* as this book shows it */
};
void spl_thing_clear(struct spl_thing *thing);

/* "H27-001" for the own mark, "ANN:H27-001" for another one. Free with g_free. */
char *spl_code_format(struct spl_book *book, char kind, const char *mark, int year, int number);

/* The same of a code that was read from the book; NULL where no thing is. */
char *spl_coded_format(struct spl_book *book, const struct spl_coded *coded);

/* TRUE if the text is shaped like a code ("h27-1", "ANN:L26-003"); site names may not be. */
gboolean spl_code_is_shaped(const char *text);

/*
 * Finds the thing with this code. `kinds` lists the kinds that are accepted ("HPDBL"), in words
 * `what` ("a harvest"). SPL_ERROR_INVALID: not shaped like a code or of another kind;
 * SPL_ERROR_NOT_FOUND offers the nearest codes.
 */
gboolean spl_code_find(struct spl_book *book, const char *text, const char *kinds, const char *what,
                       struct spl_thing *thing, GError **error);

/* Gives the next number of the kind in the year of `day` and writes the thing row. Inside a
 * transaction. */
gboolean spl_thing_add(struct spl_book *book, char kind, struct spl_day day,
                       struct spl_thing *thing, GError **error);

/* Looks why the thing was struck: NULL if it was not. Free with g_free. FALSE: the book could not
 * be read. */
gboolean spl_thing_struck(struct spl_book *book, const struct spl_thing *thing, char **why,
                          GError **error);

/* TRUE if the thing was not struck; if it was, refused with SPL_ERROR_REFUSED and the reason. */
gboolean spl_thing_stands(struct spl_book *book, const struct spl_thing *thing, GError **error);

/* How many things draw on this one and are not struck. */
gint64 spl_thing_takers(struct spl_book *book, gint64 id, GError **error);

#endif
