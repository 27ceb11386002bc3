/* SPDX-License-Identifier: MIT
 *
 * What was written from this desk lately, by the identity of the form that did it: a form that is
 * sent twice writes once, and its page can be looked at again.
 */
#ifndef SPL_DESK_TOLD_H
#define SPL_DESK_TOLD_H

#include <glib.h>

#include "desk/act.h"

#define SPL_TOLD_MOST 500

struct spl_told;

struct spl_told *spl_told_new(void);
void spl_told_free(struct spl_told *told); /* NULL is fine */

/* Takes over what is in `done`. */
void spl_told_add(struct spl_told *told, const char *form, const struct spl_act *act,
                  struct spl_done *done);

/* NULL: this form was not sent, or too long ago. Borrowed. */
const struct spl_done *spl_told_find(struct spl_told *told, const char *form,
                                     const struct spl_act **act);

/* What was written last; NULL: nothing. Borrowed. */
const char *spl_told_last(const struct spl_told *told);

#endif
