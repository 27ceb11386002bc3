/* SPDX-License-Identifier: MIT
 *
 * What the book holds for the state of things (core/state.h): its reasons and answers, and the net
 * of draws that they reach. Integers, and the words of each reason.
 */
#ifndef SPL_BOOK_STATE_H
#define SPL_BOOK_STATE_H

#include <glib.h>

#include "book/book.h"
#include "core/state.h"
#include "simpling/record/reason.h"

/* Kinds of the reasons that are rows of the book; the caller's own begin behind them. */
enum spl_held_kind {
    SPL_HELD_PICKED,    /* a harvest was logged on doubtful or closed ground; evidence: it */
    SPL_HELD_SINCE,     /* evidence: the hold */
    SPL_HELD_BOTTLED,   /* a lot was held when it was bottled; evidence: it */
    SPL_HELD_LOT,       /* evidence: the event */
    SPL_HELD_WITHDRAWN, /* withdrawn; evidence: the event */
    SPL_HELD_NARROWED,  /* was narrowed to outside use, which holds nothing; evidence: the
                           correction */
    SPL_HELD_REVISED,   /* another mark struck it, or corrected what it is judged by, and nobody who
                           may has agreed; evidence: that strike or correction */
    SPL_HELD_STRUCK,    /* it was struck, and something draws on it or went out of it all the same,
                           as two books together may have it; evidence: the strike */
    SPL_HELD_WEIGHED,   /* a drying that two marks took down, or that one weighed after another had;
                           evidence: the weighing by the one who did not begin it, or came after */
    SPL_HELD_TWICE, /* a batch of which lots of two marks were pressed; evidence: the pressing by
                       the mark that did not start it */
    SPL_HELD_KINDS
};

struct spl_state_reason {
    struct spl_state_root root; /* its evidence is numbered by whoever gathers the facts */
    char *why;                  /* in words */
    enum spl_verdict verdict;   /* `why` begins with its name and ": "; none: it does not */
    char *fact;                 /* UUID of what it rests on */
    char *about;                /* the place, or a code; NULL */
    char *who;                  /* whom to ask, as far as it is known; NULL */
    struct spl_next *next;      /* what would settle it; NULL */
};

void spl_state_reason_copy(const struct spl_state_reason *from, struct spl_state_reason *to);
void spl_state_reason_clear(struct spl_state_reason *reason);

/* A list of them that clears its elements. */
GArray *spl_state_reasons_new(void);

struct spl_state_release { /* what somebody let out */
    gint64 thing;
    gint64 stamp;
    char *kind; /* of the reason, its stable name; NULL: of old, whatever was raised before it */
    char *fact; /* UUID of what that rests on */
    gint64 version;
    enum spl_state_grade grade; /* the worst that is answered */
};

struct spl_state_rows {
    GArray *things;   /* struct spl_state_thing */
    GArray *draws;    /* struct spl_state_draw */
    GArray *reasons;  /* struct spl_state_reason */
    GArray *releases; /* struct spl_state_release */
};
void spl_state_rows_clear(struct spl_state_rows *rows);

/* What of a harvest the judging of its ground needs. */
struct spl_state_harvest {
    gint64 id, site_id;
    gint64 stamp;
    gint64 moved; /* stamp of the correction of its day; 0: as it was logged */
    struct spl_day day;
    const char *material, *held; /* as they were kept; held may be NULL */
    enum spl_verdict verdict;    /* as it was kept */
    gboolean named;              /* who named it is noted, and by which signs */
};

/* Calls `each` for the harvests among these ids (NULL: all) that are not struck, those of one site
 * together; and behind them again for each whose day a colleague corrected while that waits to be
 * agreed to, as of that day. */
gboolean spl_state_harvests(struct spl_book *book, const GArray *ids,
                            gboolean (*each)(const struct spl_state_harvest *harvest, gpointer data,
                                             GError **error),
                            gpointer data, GError **error);

struct spl_state_purchase {
    gint64 id, stamp;
    const char *uuid, *material, *supplier, *number; /* number may be NULL */
    char *code;
    gboolean fresh, named; /* who named it is noted, and by which signs */
};

/* The same for the purchases among these ids (NULL: all) that are not struck. */
gboolean spl_state_purchases(struct spl_book *book, const GArray *ids,
                             gboolean (*each)(const struct spl_state_purchase *purchase,
                                              gpointer data, GError **error),
                             gpointer data, GError **error);

/* The stamp of a fact, by its UUID: of its last revision that ground is judged by. 0: no such. */
gboolean spl_state_stamp(struct spl_book *book, const char *uuid, gint64 *stamp, GError **error);

/* UUID and code of a thing. Free both with g_free. */
gboolean spl_state_thing_named(struct spl_book *book, gint64 id, char **uuid, char **code,
                               GError **error);

/* The last stamp of all that was ever said, corrected or struck of a place's spraying and leave. */
gboolean spl_state_said(struct spl_book *book, gint64 site_id, gint64 *stamp, GError **error);

/* When the rules that judge last changed: what stood before that stamp was judged by those of then.
 * 0: never. */
gboolean spl_state_baseline(struct spl_book *book, gint64 *stamp, GError **error);

/* Sets `over` of these (struct spl_state_thing): struck, destroyed, pressed, used up (a lot of
 * which some went out: and out of date on `today`). */
gboolean spl_state_over(struct spl_book *book, struct spl_day today, GArray *things,
                        GError **error);

/* Appends the ids (gint64) of all things on which a reason stands, but for harvests that were held
 * when they were logged: those are in book/judged.h. */
gboolean spl_state_seeds(struct spl_book *book, GArray *ids, GError **error);

/*
 * All that the book holds on these things (gint64), and the draws between them. For the state of
 * the ids to be whole they must be closed one way: all that came of some things, or all that they
 * came from.
 */
gboolean spl_state_read(struct spl_book *book, const GArray *ids, struct spl_state_rows *rows,
                        GError **error);

#endif
