/* SPDX-License-Identifier: MIT
 *
 * Whose strikes and corrections count here, as the book keeps it: derived from the rows and from
 * whom it trusts (core/revision.h), looked at by `live` and every view of present values. Never
 * merged; `book check` compares it, `book repair` makes it anew.
 */
#ifndef SPL_BOOK_REVISION_H
#define SPL_BOOK_REVISION_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

/* What an answer that agrees to a revision is said to answer. */
#define SPL_REVISION_KIND "revision"

/* Judges every revision by another mark anew and keeps what came of it. Inside a transaction. */
gboolean spl_revision_weigh(struct spl_book *book, GError **error);

/* The same, and places answer to the names that follow: for whoever writes of trust or of an
 * agreement, or takes one back. */
gboolean spl_revision_settle(struct spl_book *book, GError **error);

/* How many rows of what is kept are not what the facts make them. */
gboolean spl_revision_faults(struct spl_book *book, guint *wrong, GError **error);

struct spl_revision_asked {
    char *uuid; /* of the strike or the correction */
    char *mark; /* that wrote it */
    gint64 at;
    gboolean strike;
    gboolean counts;     /* it makes it worse, and counts already */
    char *field, *value; /* of a correction; the value as SQL would write it */
    char *why, *by;
    char *of;             /* the mark that wrote what it revises */
    char *code;           /* of what it revises; NULL: it has none */
    char kind;            /* of that code; 0 */
    char *site;           /* the place's name, of what speaks of one; NULL */
    char *table;          /* where what it revises stands */
    char *subject;        /* its UUID */
    char *says;           /* of a spray note its kind; NULL */
    struct spl_day later; /* put off till then; none */
};

/* Those that are asked about and that nobody struck, by (at, uuid). A GArray of struct
 * spl_revision_asked that clears its elements; NULL with an error. */
GArray *spl_revision_list(struct spl_book *book, GError **error);

struct spl_revision_reading {
    char *subject; /* UUID of what is corrected */
    char *mark;    /* that corrects it */
    char *field;
    double number;    /* the value: a number or a day; NAN */
    char *text;       /* or a text, an outline as WKT; NULL */
    gboolean damaged; /* an outline that cannot be read */
};

/* All corrections that wait, by (at, uuid): how what they correct may also be read. A GArray of
 * struct spl_revision_reading that clears its elements; NULL with an error. */
GArray *spl_revision_readings(struct spl_book *book, GError **error);

#endif
