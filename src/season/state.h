/* SPDX-License-Identifier: MIT
 *
 * The state of a thing today: one answer for every command, sheet, label and calendar. The rules
 * are core's (core/state.h); here its rows come together with the ground as it is known today.
 *
 * Lots are read through here and never from the book directly, so that nothing shows a state that
 * was kept when something was written.
 */
#ifndef SPL_SEASON_STATE_H
#define SPL_SEASON_STATE_H

#include "book/state.h"
#include "core/blend.h"
#include "season/house_private.h"
#include "simpling/record/lot.h"

/* Why a thing is not free, and what that bars. */
struct spl_standing {
    gboolean held, asked, outside, withdrawn;
    gboolean stopped;    /* held by a stop, which no word answers */
    gboolean bars_start; /* no work may be started from it */
    char *why;           /* the worst reason that holds it, in words; NULL: none */
    GArray *because;     /* struct spl_cause: all that hold it or ask, worst first; NULL: none */
};
void spl_standing_clear(struct spl_standing *standing);

/* Of one thing: looks at what it came from. */
gboolean spl_standing_of(struct spl_house *house, gint64 id, struct spl_standing *standing,
                         GError **error);

/* The standing of everything, for lists: read once, asked often. */
typedef struct spl_standings spl_standings;
struct spl_standings *spl_standings_load(struct spl_house *house, GError **error);
void spl_standings_free(struct spl_standings *standings); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_standings, spl_standings_free)
void spl_standings_get(const struct spl_standings *standings, gint64 id,
                       struct spl_standing *standing);

/* Ids (gint64) of all that was read, or only of what is withdrawn, by itself or with what it came
 * from; what is not among the former is free. Free with g_array_unref. */
GArray *spl_standings_ids(const struct spl_standings *standings, gboolean withdrawn);

/* Why it is held, in words, and nothing else of it; NULL: it is not. Free with g_free. */
char *spl_standings_why(const struct spl_standings *standings, gint64 id);

/* How it stands today, as a record says it: `held` and `because` are filled in place of what is
 * there. `standings` NULL: looked up for it alone. */
gboolean spl_standing_say(struct spl_house *house, const struct spl_standings *standings, gint64 id,
                          char **held, GArray **because, GError **error);

/* Lets a thing out again: names, one row each, the reasons that hold it now. Whatever comes later
 * or turns out worse holds it again. The reasons that it answered: a list of spl_cause_shape; NULL
 * with an error. Inside a transaction. */
GArray *spl_standing_release(struct spl_house *house, gint64 id, struct spl_day day, const char *by,
                             const char *evidence, GError **error);

struct spl_asked { /* one question */
    char *id;
    struct spl_state_reason reason; /* the worst that it is made of */
    enum spl_state_grade grade;
    enum spl_state_urgency urgency;
    gint64 since;     /* the first stamp of it */
    GArray *things;   /* gint64: what it touches and is not over */
    GPtrArray *codes; /* of these */
};

/* The open questions, most urgent first; `asleep`: those that were put off too. A GArray of struct
 * spl_asked that clears its elements; NULL with an error. */
GArray *spl_standings_asked(struct spl_house *house, struct spl_standings *standings,
                            gboolean asleep, GError **error);

/* All that came of a thing and is held with it, for people: "L27-002". Codes of lots and batches
 * that stand; a GPtrArray that frees them. */
GPtrArray *spl_standing_downstream(struct spl_house *house, gint64 id, GError **error);

/* What goes together into one jar, rack or bottle: all of it held, or nothing. Begins as {0}. */
struct spl_joining {
    gboolean any, held;
    char *first; /* the code that came first */
};
void spl_joining_clear(struct spl_joining *joining);

/*
 * One thing more. Work goes on on what is held and carries the hold along: `cautions` (may be NULL)
 * say so. SPL_ERROR_REFUSED where held and free would be joined and, when something is `started`
 * from it, where that is barred (closed ground).
 */
gboolean spl_joining_take(struct spl_house *house, struct spl_joining *joining, gint64 id,
                          const char *code, gboolean started, GPtrArray *cautions, GError **error);

/* As those of book/lot.h, with the state of today; _in: as it was read once. */
gboolean spl_shelf_find(struct spl_house *house, const char *code, struct spl_lot *lot,
                        struct spl_blend *blend, GError **error);
gboolean spl_shelf_get(struct spl_house *house, gint64 id, struct spl_lot *lot, GError **error);
gboolean spl_shelf_each(struct spl_house *house, gboolean all,
                        gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                        gpointer data, GError **error);
gboolean
spl_shelf_each_in(struct spl_house *house, const struct spl_standings *standings, gboolean all,
                  gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                  gpointer data, GError **error);

/* What is not gone, and of the rest the lots in `also` (gint64). */
gboolean spl_shelf_each_and(struct spl_house *house, const GArray *also,
                            gboolean (*each)(const struct spl_lot *lot, gpointer data,
                                             GError **error),
                            gpointer data, GError **error);

#endif
