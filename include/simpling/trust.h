/* SPDX-License-Identifier: MIT
 *
 * Between books: whom this book trusts. Rows of anybody are brought in by a merge, and dangers
 * count at once; what a colleague strikes or corrects of somebody else's records counts when that
 * one agreed, when this book trusts the colleague, or when it is settled here by an answer. Until
 * then it is a question (simpling/question.h) and the worse reading counts.
 */
#ifndef SIMPLING_TRUST_H
#define SIMPLING_TRUST_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/trust.h"
#include "simpling/row.h"

struct spl_trust_words {
    const char *mark;
    gboolean no;       /* no longer */
    const char *by;    /* NULL: the setting `who` */
    struct spl_day on; /* none: today */
};
extern const struct spl_inputs spl_trust_inputs;

/* Writes it; what waits is weighed anew. SPL_ERROR_INVALID: no mark, or this book's own. */
gboolean spl_trust_say(struct spl_house *house, const struct spl_trust_words *words,
                       struct spl_trust *trust, GError **error);

struct spl_lend_words {
    const char *path; /* where nothing is yet */
    const char *mark;
    const char *by;    /* NULL: the setting `who` */
    struct spl_day on; /* none: today */
};
extern const struct spl_inputs spl_lend_inputs;

struct spl_lent {
    char *path, *mark;
    char *home; /* this book's mark */
    struct spl_day date;
};
extern const struct spl_shape spl_lent_shape;

/*
 * Makes a copy for a second machine that writes under a mark of its own, so that both may write:
 * each trusts the other, and a merge (simpling/carry.h) brings home what was written. SPL_ERROR_
 * EXISTS: something is there, or the mark is another's; _INVALID: no mark.
 */
gboolean spl_book_lend(struct spl_house *house, const struct spl_lend_words *words,
                       struct spl_lent *lent, GError **error);

#endif
