/* SPDX-License-Identifier: MIT
 *
 * Those who wait for one page at the same time: one thread answers, and the last of eight windows
 * would wait for the same page to be made seven times before its own. What was made for the first
 * goes to the others too, each with identities of its own in its forms.
 */
#ifndef SPL_DESK_TOGETHER_H
#define SPL_DESK_TOGETHER_H

#include "desk/visit.h"

struct spl_together;

struct spl_together *spl_together_new(void);
void spl_together_free(struct spl_together *together); /* NULL is fine */

/* Who asks from here on may see something else: those who waited have been answered, or something
 * was written. */
void spl_together_forget(struct spl_together *together);

/* Answers with what was made for another; FALSE: nobody asked for the same. */
gboolean spl_together_find(const struct spl_together *together, struct spl_visit *visit);

/* Keeps a copy of an answer, if others may have it. */
void spl_together_keep(struct spl_together *together, const struct spl_visit *visit);

#endif
