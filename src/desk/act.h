/* SPDX-License-Identifier: MIT
 *
 * Acts: what can be written from the desk. A row says all of one: its form comes from the table of
 * inputs, season writes it, and the page behind it shows the record with what to know.
 */
#ifndef SPL_DESK_ACT_H
#define SPL_DESK_ACT_H

#include <glib.h>

#include "desk/html.h"
#include "desk/visit.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

/* What was written. */
struct spl_done {
    const struct spl_shape *shape; /* of `records` */
    GArray *records;               /* owned */
    GPtrArray *cautions;           /* what to know; NULL: nothing */
    char *entry;  /* by which it can be taken back (simpling/stamp.h); NULL: it cannot be */
    char **asked; /* what it was about, for the pages that go on from there: pairs of a query,
                     NULL-ended; NULL: the records say it */
};
void spl_done_clear(struct spl_done *done);
/* A record that season filled: taken over. */
void spl_done_take(struct spl_done *done, const struct spl_shape *shape, void *record);

struct spl_act {
    const char *name;   /* the step of its address */
    const char *title;  /* "Log a harvest" */
    const char *button; /* "Into the log" */
    const char *said;   /* when it is done: "is in the log" */
    const struct spl_inputs *inputs;
    const char *without;     /* keys that the desk does not ask for, with blanks; NULL: none */
    gboolean no_taking_back; /* it is itself one, or nothing is written that could be */
    gboolean (*run)(struct spl_house *house, const void *said, struct spl_done *done,
                    GError **error);
    gboolean is_long; /* it asks others: another process does it */
};

/* NULL: there is none of that name. */
const struct spl_act *spl_act_find(const char *name);

/* What one does next, as links below what was written (desk/after.c). */
void spl_act_after(struct spl_html *html, const struct spl_done *done);

/* The act of this place in the table; NULL behind the last. */
const struct spl_act *spl_act_at(gsize i);

/* /act/NAME: the form, filled in from the query; with a form sent, the writing. */
void spl_act_visit(struct spl_visit *visit);

/* The form that was sent comes back as it was typed, with what went wrong elsewhere. FALSE: it was
 * sent to no act; TRUE: `error` is taken over. */
gboolean spl_act_come_back(struct spl_visit *visit, GError *error);

#endif
