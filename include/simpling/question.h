/* SPDX-License-Identifier: MIT
 *
 * Questions: what only a person can answer, and what they answered. A question is no row; it
 * follows from what the book holds and is gone when nothing hangs on it any more.
 */
#ifndef SIMPLING_QUESTION_H
#define SIMPLING_QUESTION_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

struct spl_question {
    char *id;   /* a UUID, the same in every book */
    char *kind; /* of its reason: "word-missing", "withdrawn" */
    enum spl_state_grade grade;
    enum spl_state_urgency urgency;
    struct spl_day since; /* when what raises it was entered */
    char *about;          /* the place, or the code of the record */
    char *why;
    gboolean holds;     /* FALSE: it only asks */
    char *evidence;     /* UUID of what its reason rests on; NULL: none */
    GPtrArray *touches; /* codes of all that hangs on it and is still there */
    char *ask;          /* whom */
    struct spl_next *next;
};
extern const struct spl_shape spl_question_shape;

struct spl_questions_question {
    gboolean all; /* those that were put off too */
};
extern const struct spl_inputs spl_questions_question_inputs;

/* Most urgent first; those of one person to ask stand together. A list of spl_question_shape; NULL
 * with an error. */
GArray *spl_questions(struct spl_house *house, const struct spl_questions_question *question,
                      GError **error);

/* What one call settles, of these (struct spl_question) that ask the same person: "4 harvests, 3
 * jars". Free with g_free. */
char *spl_questions_settled(const GArray *questions, const char *ask);

struct spl_answer_words {
    const char *id; /* of the question, or how it begins; the place or a code that it is about */
    const char *evidence;   /* who said what, or which test showed it */
    struct spl_day later;   /* asked again on that day */
    const char *unknowable; /* "destroy", "outside", "mine" */
    const char *why;        /* of what cannot be known */
    const char *refuse;     /* a colleague's strike or correction is wrong, and why */
    const char *back;       /* why what was answered is taken back */
    const char *by;         /* NULL: the setting `who` */
    struct spl_day on;      /* none: today */
};
extern const struct spl_inputs spl_answer_inputs;

struct spl_answered {
    char *id, *kind, *how, *words, *by;
    struct spl_day date, until;
    GPtrArray *touches; /* codes of what it was asked about */
    GPtrArray *held;    /* of those, what is held still */
};
extern const struct spl_shape spl_answered_shape;

/*
 * SPL_ERROR_NOT_FOUND: no such question is open; SPL_ERROR_REFUSED: such an answer does not settle
 * it. `destroy` throws away all that it touches. `back`: takes back every answer to the question
 * of that id, which is asked again then; _REFUSED for what was destroyed.
 */
gboolean spl_answer(struct spl_house *house, const struct spl_answer_words *words,
                    struct spl_answered *answered, GError **error);

/* What was answered and stands: "evidence", "later", "destroy", "outside", "mine", and "refuse" of
 * a colleague's strike or correction. */
struct spl_answer_given {
    char *id; /* of the question, by which it is taken back */
    char *kind, *how, *words, *by;
    char *mark; /* of the book that wrote it; NULL: this one's */
    struct spl_day date, until;
};
extern const struct spl_shape spl_answer_given_shape;

/* The last first. A list of spl_answer_given_shape; NULL with an error. */
GArray *spl_answers(struct spl_house *house, GError **error);

#endif
