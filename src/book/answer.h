/* SPDX-License-Identifier: MIT
 *
 * Answers: what somebody said to a question. A question is no row; its ID follows from a reason's
 * kind, the row that it rests on and that row's version (spl_state_question_id in core/state.h).
 */
#ifndef SPL_BOOK_ANSWER_H
#define SPL_BOOK_ANSWER_H

#include <glib.h>

#include "book/book.h"
#include "core/state.h"
#include "simpling/day.h"
#include "simpling/row.h"

enum spl_answer_how {
    SPL_ANSWER_EVIDENCE, /* settles it */
    SPL_ANSWER_LATER,    /* asked again on `until` */
    SPL_ANSWER_DESTROY,  /* cannot be known: what it touches is destroyed */
    SPL_ANSWER_OUTSIDE,  /* cannot be known: for outside only */
    SPL_ANSWER_MINE      /* cannot be known, a doubt: taken on by `by` */
};

struct spl_answer {
    gint64 id;
    char *uuid, *mark; /* mark: of the book that wrote it; '' before rows had marks */
    char *question;
    char *kind;                 /* of the reason, its stable name */
    char *fact;                 /* UUID of the row that it rests on */
    gint64 version;             /* the stamp of that row */
    enum spl_state_grade grade; /* the worst that is answered */
    enum spl_answer_how how;
    struct spl_day until; /* later; else none */
    char *words;          /* the evidence, or why */
    char *by;
    struct spl_day day;
    gint64 at;
};
/* JSON: id (the question's) kind grade how until words by date. */
extern const struct spl_shape spl_answer_shape;

/* Writes it (id, uuid filled in). Inside a transaction. */
gboolean spl_answer_add(struct spl_book *book, struct spl_answer *answer, GError **error);

/* The same of several; whose corrections count is settled once. */
gboolean spl_answer_add_all(struct spl_book *book, struct spl_answer *answers, guint n,
                            GError **error);

/* Those that stand, oldest first: to one question, or with NULL to all. A list of spl_answer_shape;
 * NULL with an error. */
GArray *spl_answer_list(struct spl_book *book, const char *question, GError **error);

/* A strike or correction by another mark that was refused: a strike of it that stands. */
struct spl_refusal {
    char *uuid;     /* of the strike that refuses */
    char *refused;  /* UUID of what is refused */
    gint64 version; /* the stamp of that */
    char *mark, *why, *by;
    gint64 at;
};
/* By (at, uuid). A GArray of struct spl_refusal that clears its elements; NULL with an error. */
GArray *spl_refusal_list(struct spl_book *book, GError **error);

#endif
