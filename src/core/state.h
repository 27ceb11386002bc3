/* SPDX-License-Identifier: MIT
 *
 * What may be done with a thing, and what is to be asked: a pure function of rows, integers in and
 * integers out.
 *
 * A *root* is a reason why a thing is not free: its ground was sprayed, nobody has said whether it
 * was, somebody holds it. The few roots are spread forward along the draws, through dryings, jars,
 * marc, lots and lots of lots; circles end. Nothing else of the log is looked at.
 *
 *   stop    sprayed, contaminated, wrong plant, poison, keeping refused, held by hand, withdrawn:
 *           holds the thing and all that came of it, whenever it was made.
 *   doubt   what is "ask" on its day: asked about. Holds the thing and all that came of it, but for
 *           what a draw had put into a lot before the stamp of the fact that raises the doubt: that
 *           is asked about, not held, and so is what is made of that lot later. On one and the same
 *           stamp it holds.
 *   paper   a name, a sign, a number is missing: asked about, on the record alone. (Where the plant
 *           has a deadly look-alike the missing name is a stop: whoever makes the roots says so.)
 *
 * A root that only asks (rules that changed) is asked about wherever it reaches and holds nothing.
 *
 * An *answer* stands on a thing and names a reason by kind, evidence and the evidence's version,
 * and the grade that it was given for. It takes that very reason off the thing, and so off what
 * came of it by way of this thing; none of another kind, of other evidence, of another version, or
 * of a worse grade. An answer "for outside only" leaves the mark "outside" on all that comes of the
 * thing, whatever the grade, and takes the hold of a doubt away, never that of a stop: it narrows
 * and never widens. Of two answers to one reason the one that settles it counts.
 *
 * An answer of the days when answers named nothing takes off its thing whatever was raised before
 * that answer's stamp.
 *
 * The rows are a set: their order, and one given twice, make no difference. More roots, more draws,
 * an earlier or worse root, an answer less never make anything milder; a root less or an answer
 * more never makes anything stricter.
 */
#ifndef SPL_CORE_STATE_H
#define SPL_CORE_STATE_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/state.h"

/* ---- what is known ---- */

struct spl_state_thing { /* each on which a root stands or that a draw names; one that is left out
                            counts as no lot, still there, gone out */
    gint64 id;
    gint64 stamp;      /* when it was entered; a lot: when it was bottled */
    char kind;         /* 'H' 'P' 'D' 'B' 'L' */
    gboolean went_out; /* a lot: some of it went to somebody */
    gboolean over;     /* nothing is left of it, and a lot is out of date */
};

struct spl_state_draw {
    gint64 source, taker; /* ids of things */
    gint64 stamp;
};

struct spl_state_root {
    gint64 thing; /* on which it stands */
    enum spl_state_grade grade;
    gint64 stamp; /* of the fact that raises it */
    int kind;     /* the caller's numbers for kinds of reasons */
    gint64 evidence, version;
    gboolean asks_only;  /* holds nothing, whatever its grade */
    gboolean bars_start; /* while it holds a thing, no work may be started from it */
    gboolean withdraws;  /* the thing on which it stands is withdrawn; what came of it is held */
};

struct spl_state_answer {
    gint64 thing;
    int kind;
    gint64 evidence, version;
    enum spl_state_grade grade; /* the worst that it answers */
    gboolean outside;           /* for outside only */
    gint64 names_none; /* 0, or the stamp of an answer that names no reason; nothing else of
                          it but the thing counts then */
};

struct spl_state_facts { /* all borrowed; NULL: none */
    const GArray *things;
    const GArray *draws;
    const GArray *roots;
    const GArray *answers;
};

/* ---- what follows ---- */

enum spl_state_mode {
    SPL_STATE_HELD = 1 << 0,
    SPL_STATE_ASKED = 1 << 1,
    SPL_STATE_OUTSIDE = 1 << 2 /* may be used outside only */
};

struct spl_state_mark { /* one reason on one thing */
    gint64 thing;
    guint root;  /* in `roots` of the spread */
    guint modes; /* of enum spl_state_mode, one or more */
};

struct spl_state_spread {
    GArray *roots; /* struct spl_state_root: each once, worst first, then by stamp */
    GArray *marks; /* struct spl_state_mark, by thing, then by root */
};

/*
 * Spreads the roots. Takes time and room for what is touched: for each root the draws that it
 * reaches. Never fails. Clear with spl_state_spread_clear.
 */
void spl_state_spread(const struct spl_state_facts *facts, struct spl_state_spread *spread);
void spl_state_spread_clear(struct spl_state_spread *spread);

/* What one thing is under; all FALSE for one that no root reaches. */
struct spl_state_sum {
    gboolean held, asked, outside, bars_start, withdrawn;
    guint first, n; /* its marks */
};
struct spl_state_sum spl_state_sum(const struct spl_state_spread *spread, gint64 thing);

/* ---- the name of it ---- */

/* "on the shelf", for what is no lot "free"; "out of date", "held", … */
const char *spl_state_name(enum spl_state_word state, char kind);

struct spl_state_own { /* what a thing's own rows say */
    gboolean struck, destroyed, used_up;
    struct spl_day use_by; /* its last good day; none: no end */
};

/* The one name of a thing on a day: of all that hold the last in the list of the names. */
enum spl_state_word spl_state_settle(const struct spl_state_own *own,
                                     const struct spl_state_sum *sum, struct spl_day day);

/* ---- questions ---- */

struct spl_state_sleep { /* "will ring back": such an answer puts a question off */
    int kind;
    gint64 evidence, version;
    enum spl_state_grade grade; /* asked then; a worse one is not put off */
    struct spl_day until;       /* asked again on this day */
};

struct spl_state_question { /* one for all that hangs on the same evidence */
    int kind;
    gint64 evidence, version;
    enum spl_state_grade grade; /* the worst of it */
    enum spl_state_urgency urgency;
    gint64 since;   /* the first stamp of it */
    GArray *things; /* gint64, rising: what it touches, but what is over */
};

/*
 * The questions that are open on `day`, most urgent first. One of which all things are over has
 * closed itself. `sleeps` (struct spl_state_sleep) may be NULL. A GArray of struct
 * spl_state_question that clears its elements.
 */
GArray *spl_state_questions(const struct spl_state_facts *facts,
                            const struct spl_state_spread *spread, const GArray *sleeps,
                            struct spl_day day);

/*
 * The identity of a question, the same in every book: of the name of its kind, the UUID of its
 * evidence and the evidence's version. Free with g_free.
 */
char *spl_state_question_id(const char *kind, const char *evidence_uuid, gint64 version);

/* Of two reasons (struct spl_state_root) that are asked about as one: for a hash table. */
guint spl_state_root_hash(gconstpointer root);
gboolean spl_state_root_equal(gconstpointer a, gconstpointer b);

#endif
