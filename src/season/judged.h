/* SPDX-License-Identifier: MIT
 *
 * What the ground of harvests is known today to have been on the day they were picked, as reasons
 * for the state (core/state.h).
 *
 * What was closed is a stop, what was to be asked a doubt. Each is raised at the stamp of the fact
 * that it rests on: what was known when the harvest was logged, with the harvest; what came later,
 * or was corrected, with that. Where nothing was said since and the kept verdict is milder, the
 * rules changed: that is asked about, all of it in one question, and holds nothing. So is what a
 * book of an earlier schema would be judged otherwise for by what stood in it on the day of its
 * upgrade, but for ground that is closed by a spraying on or before the day of the harvest.
 */
#ifndef SPL_SEASON_JUDGED_H
#define SPL_SEASON_JUDGED_H

#include <glib.h>

#include "book/state.h"
#include "season/house_private.h"

/* Kinds of reasons, behind those of the book's rows: these and enum spl_reason_kind. */
enum {
    SPL_JUDGED_RULES = SPL_HELD_KINDS,
    SPL_JUDGED_NAME,   /* of a plant with a deadly look-alike; evidence: the record */
    SPL_JUDGED_NUMBER, /* the supplier's, on paper alone; evidence: the purchase */
    SPL_JUDGED_GROUND
};

/* The stable name of any kind of reason; what names none is "other". */
const char *spl_judged_kind_name(int kind);
/* The way back; -1 for a name that no kind has. */
int spl_judged_kind(const char *name);

/* What all rules that judge ground are known by, in every book that has the same: a UUID of their
 * figures. Free with g_free; NULL with an error. */
char *spl_judged_rules(struct spl_house *house, GError **error);

/*
 * Appends the reasons (struct spl_state_reason) of the harvests among `ids` (gint64; NULL: all).
 * `judged` (ids as keys) gets all that were judged: what the book kept of their verdict no longer
 * counts. What their reasons rest on is not numbered yet.
 */
gboolean spl_judged_reasons(struct spl_house *house, const GArray *ids, GArray *reasons,
                            GHashTable *judged, GError **error);

/* Appends what is missing of the purchases among `ids` (NULL: all): who named a plant with a deadly
 * look-alike where no supplier's number of dried herb stands for it, a stop; the number, which is
 * asked about on the record alone. */
gboolean spl_judged_purchases(struct spl_house *house, const GArray *ids, GArray *reasons,
                              GError **error);

/*
 * Those of all harvests, by what the book keeps of its judging: costs what has something against
 * it, and what was touched since. Appends to `seeds` (gint64) every harvest on which a reason
 * stands, those that were held by hand when they were logged too.
 */
gboolean spl_judged_all(struct spl_house *house, GArray *seeds, GArray *reasons, GHashTable *judged,
                        GError **error);

/* Judges what was touched and puts it down in the book. Inside a transaction, last of all. */
gboolean spl_judged_refresh(struct spl_house *house, GError **error);

/* How many harvests the book wrongly takes for free, and how many wrongly for not. */
gboolean spl_judged_compare(struct spl_house *house, guint *missing, guint *surplus,
                            GError **error);

/* The number of a UUID in such a table (of texts to numbers from 1 on), given when it is met first.
 * Numbers of one table can be compared, others cannot. */
gint64 spl_judged_number(GHashTable *evidence, const char *uuid);

/* What no record settles is let out by whoever answers for it, where it stands; rules that changed
 * are one question for all that they touch. */
struct spl_next *spl_judged_settles(const struct spl_state_root *root,
                                    const struct spl_state_reason *reason, const char *code);

#endif
