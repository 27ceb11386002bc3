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
/* A position known worse than this is doubtful: it closes no further out, but asks further out. */
#define SPL_DOUBTFUL_M 100.0
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

/* Adds a reason; only when judge->reasons is set. What it owns is taken over; its `verdict` is
 * filled in, and what it rests on (`evidence`) and is `about` copied, both NULL if there is none.
 */
void spl_judge_tell(struct spl_judge *judge, const struct spl_reason *reason, const char *evidence,
                    const char *about);

gboolean spl_judge_is_text(const char *text);
char *spl_judge_source(const char *source); /* or that it is not noted; free with g_free */

/* verdict_word.c: what people said and allowed */
void spl_judge_permission(struct spl_judge *judge);
void spl_judge_notes(struct spl_judge *judge);
/* How many days a word that nothing was sprayed holds, for a day like this one. */
int spl_judge_word_days(const struct spl_judge *judge, struct spl_day day);
/* The last day of the growing months before a day of the resting ones. A word that was too old by
 * then stays so: what was sprayed in late summer is not unsprayed by winter. */
struct spl_day spl_judge_last_growing_day(const struct spl_judge *judge);

/* verdict_near.c: what lies near, and how well that is known */
void spl_judge_hazards(struct spl_judge *judge);
void spl_judge_layers(struct spl_judge *judge);
void spl_judge_position(struct spl_judge *judge);
/* What an uncertainty adds when it is asked about how far off something is. */
double spl_judge_asking_m(double uncertainty_m);

/* verdict_next.c: what would settle a reason; NULL: nothing would. */
struct spl_next *spl_judge_next_contaminated(const struct spl_judge *judge);
struct spl_next *spl_judge_next_leave(const struct spl_judge *judge,
                                      const struct spl_permission *leave);
struct spl_next *spl_judge_next_word(const struct spl_judge *judge);
struct spl_next *spl_judge_next_sprayed(const struct spl_judge *judge,
                                        const struct spl_spray_note *note);
struct spl_next *spl_judge_next_planned(const struct spl_judge *judge,
                                        const struct spl_spray_note *note);
struct spl_next *spl_judge_next_hazard(const struct spl_judge *judge,
                                       const struct spl_hazard_near *hazard,
                                       enum spl_reason_kind kind);
struct spl_next *spl_judge_next_layer(const struct spl_layer_near *layer);
struct spl_next *spl_judge_next_position(const struct spl_judge *judge);

#endif
