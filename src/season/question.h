/* SPDX-License-Identifier: MIT
 *
 * The open questions of what was read already. See simpling/question.h.
 */
#ifndef SPL_SEASON_QUESTION_H
#define SPL_SEASON_QUESTION_H

#include "season/state.h"
#include "simpling/question.h"

/* As spl_questions; `asleep`: those that were put off too. */
GArray *spl_questions_of(struct spl_house *house, struct spl_standings *standings, gboolean asleep,
                         GError **error);

/* Takes back what was answered to a question; inside the transaction. */
gboolean spl_answer_back(struct spl_house *house, const struct spl_answer_words *words,
                         struct spl_answered *answered, GError **error);

#endif
