/* SPDX-License-Identifier: MIT
 *
 * One reason: of a verdict as `check` gives it, of a refusal, of a hold. It has a kind, the facts
 * that it rests on, one sentence for people, and what would settle it. No face reads the sentence
 * to find out more: what it wants to know stands in a member of its own.
 */
#ifndef SIMPLING_RECORD_REASON_H
#define SIMPLING_RECORD_REASON_H

#include "simpling/day.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* In the order of their weight. */
enum spl_verdict {
    SPL_VERDICT_NONE, /* not looked at */
    SPL_VERDICT_CLEAR,
    SPL_VERDICT_ASK,
    SPL_VERDICT_CLOSED
};
/* "clear", "ask", "closed"; that of none is empty. NULL at the end. */
extern const char *const spl_verdict_names[];

/* Each has a name in JSON that stays: spl_reason_kind_names. New ones go before the last. */
enum spl_reason_kind {
    SPL_REASON_OTHER, /* has not been told apart */
    /* fouled ground */
    SPL_REASON_CONTAMINATED,    /* the site is marked */
    SPL_REASON_SPRAYED,         /* a note: on the site, on a day */
    SPL_REASON_SPRAYED_UNDATED, /* a note: on the site, nobody knows when */
    SPL_REASON_SPRAYING_AHEAD,  /* a note: planned, for soon */
    SPL_REASON_SPRAYING_DUE, /* a note: planned, its day is past and nobody said it was not done */
    SPL_REASON_SPRAYING_UNDATED, /* a note: planned for nobody knows when */
    SPL_REASON_HAZARD_LASTING,   /* a road, a tip: near, or here */
    SPL_REASON_HAZARD_SPRAYED,   /* ground that was sprayed on a day */
    SPL_REASON_HAZARD_UNDATED,   /* ground that was sprayed, nobody knows when */
    SPL_REASON_HAZARD_AHEAD,     /* ground that will be sprayed, soon */
    SPL_REASON_HAZARD_POSITION,  /* far enough off if the positions are right, which is doubtful */
    SPL_REASON_LAYER_INCOMPLETE, /* a map layer with records that could not be read */
    SPL_REASON_LAYER_POSITION,   /* a map layer whose positions are doubtful */
    SPL_REASON_SITE_POSITION,    /* the site's own position is not known well enough */
    /* nobody vouches for it */
    SPL_REASON_WORD_MISSING, /* no word that it is not sprayed */
    SPL_REASON_WORD_OLD,
    SPL_REASON_WORD_OPEN,  /* does not say since when */
    SPL_REASON_WORD_SHORT, /* does not reach back far enough */
    /* leave to gather */
    SPL_REASON_LEAVE_MISSING,
    SPL_REASON_LEAVE_OVER,
    SPL_REASON_LEAVE_PART, /* does not name the part */
    SPL_REASON_LEAVE_REFUSED,
    /* what speaks for it */
    SPL_REASON_WORD_HOLDS,
    SPL_REASON_LEAVE_HOLDS,
    SPL_REASON_OWN_GROUND,
    SPL_REASON_KINDS /* how many there are */
};
extern const char *const spl_reason_kind_names[]; /* "word-old"; NULL at the end */

/* What a person can do. Each face has its own words for them. */
enum spl_action {
    SPL_ACTION_NONE,
    SPL_ACTION_WAIT,            /* until the day */
    SPL_ACTION_SPRAY_NOTE,      /* ask, and note the answer */
    SPL_ACTION_SITE_PERMIT,     /* ask for leave, and note the answer */
    SPL_ACTION_SITE_EDIT,       /* correct what is known of the place */
    SPL_ACTION_SITE_ADD,        /* go farther off, and note that place */
    SPL_ACTION_HAZARD_DROP,     /* where it is wrong */
    SPL_ACTION_HAZARD_IMPORT,   /* read the layer in again, mended */
    SPL_ACTION_AMEND,           /* where the record is wrong */
    SPL_ACTION_STRIKE,          /* where there should be no such record */
    SPL_ACTION_SITE_LIST,       /* look which places there are */
    SPL_ACTION_BOOK_MAKE,       /* begin a book */
    SPL_ACTION_BOOK_SET,        /* say a setting once */
    SPL_ACTION_DRYING_WEIGH,    /* weigh what is on the rack */
    SPL_ACTION_STAND_MARK,      /* say by what the stand was known */
    SPL_ACTION_LOT_RELEASE,     /* let it out, with evidence */
    SPL_ACTION_LOT_COUNT,       /* count what stands there */
    SPL_ACTION_PLAN_ADD,        /* plan a batch */
    SPL_ACTION_DRY_TEST,        /* try by hand whether it is dry */
    SPL_ACTION_HEAT,            /* fruit that must be cooked */
    SPL_ACTION_DRYING_START,    /* note how herb was kept: dried, wilted, frozen */
    SPL_ACTION_HARVEST_RELEASE, /* let it out, with evidence */
    SPL_ACTION_ANSWER,          /* answer the question */
    SPL_ACTIONS                 /* how many there are */
};
extern const char *const spl_action_names[]; /* "spray-note"; NULL at the end */

/* One input of an action: its key as in the table of inputs, its value as it would be typed. */
struct spl_given {
    char *key;
    char *value; /* NULL: only the person knows it */
};
extern const struct spl_shape spl_given_shape;

struct spl_next {
    enum spl_action action;
    GArray *inputs; /* struct spl_given; what is left out, only the person knows or may leave */
    struct spl_day until; /* not before this day; to wait: until it; none: at once */
    double farther_m;     /* to go farther: by at least so much; else NAN */
};
extern const struct spl_shape spl_next_shape;

/* What to do, with pairs of key and value (copied; NULL: only the person knows it), then NULL. */
struct spl_next *spl_next_new(enum spl_action action, const char *key, ...) G_GNUC_NULL_TERMINATED;
/* One more input. */
void spl_next_give(struct spl_next *next, const char *key, const char *value);
struct spl_next *spl_next_wait(struct spl_day until);
/* A copy, yours to free with spl_next_free; NULL of NULL. */
struct spl_next *spl_next_copy(const struct spl_next *next);
void spl_next_free(struct spl_next *next);

struct spl_reason {
    enum spl_verdict verdict; /* clear: evidence for it */
    enum spl_reason_kind kind;
    char *what;            /* in words, with what it is and how far */
    double distance_m;     /* raw; NAN: no distance in it */
    struct spl_day date;   /* of the evidence */
    char *rule;            /* which rule, with its figures */
    char *source;          /* of the evidence, and of the figure */
    char *evidence;        /* UUID of the record that it rests on, of one hazard that of its layer,
                              "#" and its record there; NULL: it rests on none */
    char *about;           /* its name or code, in short; NULL: the site itself */
    struct spl_next *next; /* what would settle it; NULL: nothing need be done */
};
extern const struct spl_shape spl_reason_shape;

/* Why a thing is held or asked about today: a reason, and where in the chain it stands. */
struct spl_cause {
    char *kind; /* its stable name: "sprayed", "word-missing", "withdrawn" */
    enum spl_state_grade grade;
    gboolean holds; /* FALSE: it only asks */
    char *what;     /* in words */
    char *of;       /* the code of the thing on which it stands; it may be the thing itself */
    char *about;    /* the place, or a code; NULL */
    char *evidence; /* UUID of what it rests on; NULL: none */
    char *ask;      /* whom; NULL: not known */
    struct spl_next *next;
};
extern const struct spl_shape spl_cause_shape;

#endif
