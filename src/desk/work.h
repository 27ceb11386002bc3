/* SPDX-License-Identifier: MIT
 *
 * Work: errands that are under way or done lately. The desk answers others meanwhile; who asked
 * sees a page that looks again by itself, and can stop it.
 */
#ifndef SPL_DESK_WORK_H
#define SPL_DESK_WORK_H

#include <glib.h>

#include "desk/visit.h"

#define SPL_WORKS_AT_ONCE 4

struct spl_uploads; /* desk/upload.h */
struct spl_works;
struct spl_work;

/* `uploads`: whose files go when their work is over, unless they are to be read once more;
 * borrowed. */
struct spl_works *spl_works_new(struct spl_uploads *uploads);
void spl_works_free(struct spl_works *works); /* ends what is under way; NULL is fine */

/*
 * Begins to answer `visit` in another process; `form` as it was sent, NULL: nothing was. `done` is
 * called from the main loop once it is over, whatever came of it, and never after
 * spl_work_forget_done. NULL with SPL_ERROR_BUSY or _IO. Borrowed: it is kept until a while after
 * it is over, but not beyond the next turn of the main loop after that is sure.
 */
struct spl_work *spl_work_begin(struct spl_works *works, const struct spl_visit *visit,
                                const char *form, void (*done)(gpointer data), gpointer data,
                                GError **error);
/* Nobody waits for it any more. */
void spl_work_forget_done(struct spl_work *work);
gboolean spl_work_is_done(const struct spl_work *work);
/* Its address. Free with g_free. */
char *spl_work_address(const struct spl_work *work);
/* Answers with what came of it: the other process's page, or why there is none, with what was typed
 * still in the form. */
void spl_work_answer(struct spl_work *work, struct spl_visit *visit);

/* /work/ID: the page that looks again, or what came of it; with a form sent it is stopped. */
void spl_works_visit(struct spl_works *works, struct spl_visit *visit);

#endif
