/* SPDX-License-Identifier: MIT
 *
 * What a request asks for, taken apart by our own few lines: the path in its steps, and the pairs
 * of a query or of a form (https://url.spec.whatwg.org/#urlencoded-parsing).
 */
#ifndef SPL_DESK_TARGET_H
#define SPL_DESK_TARGET_H

#include <glib.h>

#define SPL_TARGET_STEPS 6    /* most steps of a path */
#define SPL_TARGET_PAIRS 2400 /* most pairs of a query or form: a count has three a line */

/* One pair. */
struct spl_pair {
    char *key, *value;
};

/*
 * The steps of the path of a request line, "/batch/B27-003?x=1", each decoded: {"batch",
 * "B27-003"}; of "/" none. NULL when it is no path of ours: it does not begin with one '/', has an
 * empty step, a step "." or "..", a wrong escape, a NUL or control character, or is no UTF-8.
 * g_strfreev.
 */
char **spl_target_steps(const char *target);

/* The pairs behind its '?', as spl_pairs_read. */
GArray *spl_target_pairs(const char *target);

/*
 * Reads `length` bytes as pairs (struct spl_pair; the list frees what is in it). A key without '='
 * has the value "". NULL when a text is no UTF-8, holds a NUL, or there are too many pairs.
 */
GArray *spl_pairs_read(const char *text, gsize length);

/* The value of the first pair of this key; NULL: there is none. Borrowed. */
const char *spl_pairs_get(const GArray *pairs, const char *key);

#endif
