/* SPDX-License-Identifier: MIT
 *
 * Whose word counts about whose rows, where several books share a season: a pure function of the
 * rows, of the book that reads them and of whom it trusts; integers in and integers out.
 *
 * A *revision* is a strike or a correction of a row. It counts when the mark that wrote the row
 * wrote it too; when the reader did (settled here); when the writer of the row, the reader, or a
 * mark that the reader trusts has agreed to it; when the reader trusts its mark; or when it was
 * there before trust was kept. Until then the row has two readings, of which the worse one counts,
 * and it is asked about: a strike of what speaks for the ground (unsprayed, leave, a release)
 * counts at once, one of what warns of it (sprayed, refused, a hold) does not, and neither does any
 * other, but for a correction that itself warns. A strike of a strike turns this round. A strike
 * that is stamped no later than what it strikes is void.
 *
 * Rows are a set: their order, and one that is given twice, make no difference. A revision more by
 * a mark that is neither the writer's nor trusted never makes anything milder.
 */
#ifndef SPL_CORE_REVISION_H
#define SPL_CORE_REVISION_H

#include <glib.h>

enum spl_revised_says {
    SPL_SAYS_OTHER,
    SPL_SAYS_DANGER, /* it warns: sprayed, planned, refused, a hazard, held, withdrawn */
    SPL_SAYS_SAFE    /* it softens: unsprayed, not done, leave, a release, an answer */
};

struct spl_revised_row {
    gint64 id;
    int mark; /* that wrote it */
    gint64 stamp;
    enum spl_revised_says says;
};

struct spl_revision {
    gint64 id;
    gint64 subject; /* a row, or another revision; of what is not given nothing is known */
    int mark;
    gint64 stamp;
    gboolean strike; /* else a correction */
    gboolean warns;  /* a correction that says of a danger alone: the ground is contaminated */
};

struct spl_trust_word { /* by the reader; of one mark the last by (stamp, id) holds */
    int whom;
    gboolean trusted;
    gint64 stamp, id;
};

struct spl_agreement { /* a mark agreed to a revision */
    gint64 revision;
    int mark;
};

struct spl_revision_facts { /* all borrowed; NULL: none */
    const GArray *rows, *revisions, *trusts, *agreements;
    int reader;
    gint64 kept; /* what is stamped up to here was there before trust was kept; 0: nothing */
};

enum spl_revision_grade {
    SPL_REVISION_COUNTS,
    SPL_REVISION_HARDENS, /* counts, and is asked about */
    SPL_REVISION_WAITS,   /* does not count, and is asked about */
    SPL_REVISION_VOID     /* never counts */
};

struct spl_revision_judged {
    gint64 id;
    enum spl_revision_grade grade;
};

/* Each revision once, by its id. A GArray of struct spl_revision_judged. Never fails. */
GArray *spl_revision_judge(const struct spl_revision_facts *facts);

/* Is this row, or revision, struck by what counts? */
gboolean spl_revision_struck(const struct spl_revision_facts *facts, const GArray *judged,
                             gint64 id);

#endif
