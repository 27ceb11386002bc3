/* SPDX-License-Identifier: MIT
 *
 * Which harvests have anything against their ground, as the book keeps it. Derived from the facts:
 * triggers of the book mark what is to be judged again, season judges and puts it down here.
 */
#ifndef SPL_BOOK_JUDGED_H
#define SPL_BOOK_JUDGED_H

#include <glib.h>

#include "book/book.h"
#include "core/geometry.h"

/* The UUID of the rules that it was judged by; NULL: all is to be judged again. Free with g_free;
 * NULL with *error set: it cannot be read. */
char *spl_judged_basis(struct spl_book *book, GError **error);

/* Is anything to be judged again? */
gboolean spl_judged_stale(struct spl_book *book, gboolean *stale, GError **error);

/* Appends the harvests (gint64) that have anything against their ground or are to be judged again;
 * `again`: only the latter. Those of struck harvests too. */
gboolean spl_judged_list(struct spl_book *book, gboolean again, GArray *ids, GError **error);

/* Appends the harvests (gint64) that are held for what was known when they were logged and that no
 * judging of their ground concerns: by hand, or struck. `settled` gets the others that were held
 * then. */
gboolean spl_judged_held(struct spl_book *book, GArray *by_hand, GArray *settled, GError **error);

/* Puts down what was judged: of the harvests in `judged` (NULL: of all), those in `against` have
 * something against their ground. Both of gint64. Inside a transaction. */
gboolean spl_judged_put(struct spl_book *book, const char *rules, const GArray *judged,
                        const GArray *against, GError **error);

/* Is anything to be judged again that speaks of its neighbours: a place that was ever said to be
 * sprayed, or the ground of a layer? */
gboolean spl_judged_spreads(struct spl_book *book, gboolean *spreads, GError **error);

/* Ground that came, changed or went since: what lies within its reach is to be judged again. */
struct spl_judged_danger {
    struct spl_geometry *ground;
    char *methods;     /* slugs, with commas */
    double accuracy_m; /* NAN: positions are doubtful */
};

/* Of layers and of sprayed places, those wherever they ever were: an array that clears its
 * elements. *everywhere: one of them is too wide to look round it. NULL with an error. */
GArray *spl_judged_dangers(struct spl_book *book, gboolean *everywhere, GError **error);

/* The places (gint64) in `ids` are to be judged again. Inside a transaction. */
gboolean spl_judged_mark(struct spl_book *book, const GArray *ids, GError **error);

/* Appends the places (gint64) of which something was said since. */
gboolean spl_judged_places(struct spl_book *book, GArray *ids, GError **error);

/* Forgets it all, so that it is judged again. Inside a transaction. */
gboolean spl_judged_forget(struct spl_book *book, GError **error);

#endif
