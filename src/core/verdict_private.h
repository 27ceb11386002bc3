/* SPDX-License-Identifier: MIT
 *
 * What the files of the verdict share: the judge that goes over the evidence, one function for each
 * kind. Each tells a grade, and, where somebody reads it, the words.
 */
#ifndef SPL_CORE_VERDICT_PRIVATE_H
#define SPL_CORE_VERDICT_PRIVATE_H

#include "core/verdict.h"

#define SPL_PLANNED_AHEAD_DAYS 14 /* before a planned spraying one asks: it may be done early */
#define SPL_HOLD_DEFAULT_DAYS 1095
/* How long a word that nothing was sprayed holds (common practice, no source). */
#define SPL_WORD_GROWING_DAYS 60
#define SPL_WORD_RESTING_DAYS 180
#define SPL_WORD_OWN_DAYS 365

struct spl_judge {
    const struct spl_verdict_case *ground;
    struct spl_day day;
    int hold_days;
    enum spl_verdict worst;
    GArray *reasons; /* struct spl_reason; NULL: the grade is all that is wanted */
};

/* Notes the grade. */
void spl_judge_grade(struct spl_judge *judge, enum spl_verdict verdict);

/* Adds a reason; only when judge->reasons is set. The texts are taken over. */
void spl_judge_tell(struct spl_judge *judge, enum spl_verdict grade, enum spl_reason_kind kind,
                    double distance_m, struct spl_day date, char *what, char *rule, char *source);

gboolean spl_judge_is_text(const char *text);
char *spl_judge_source(const char *source); /* or that it is not noted; free with g_free */

/* verdict_word.c: what people said and allowed */
void spl_judge_permission(struct spl_judge *judge);
void spl_judge_notes(struct spl_judge *judge);

/* verdict_near.c: what lies near, and how well that is known */
void spl_judge_hazards(struct spl_judge *judge);
void spl_judge_layers(struct spl_judge *judge);
void spl_judge_position(struct spl_judge *judge);

#endif
