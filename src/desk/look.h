/* SPDX-License-Identifier: MIT
 *
 * Looking things up: what can be asked of the book beside the pages made for it. A row says all of
 * one: its form comes from the table of inputs, season answers, and the page shows the records.
 */
#ifndef SPL_DESK_LOOK_H
#define SPL_DESK_LOOK_H

#include <glib.h>

#include "desk/html.h"
#include "desk/visit.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

struct spl_look {
    const char *name;                /* the step of its address */
    const char *page;                /* the page of the list that it belongs to: "/jars" */
    const char *title;               /* "What is on the racks" */
    const struct spl_inputs *inputs; /* NULL: it asks nothing */
    const struct spl_shape *shape;   /* of what is answered */
    const char *nothing;             /* what is said when there is none */
    gboolean is_long;                /* another process answers it */
    /* A list of `shape`; NULL with an error. */
    GArray *(*run)(struct spl_house *house, const void *said, GError **error);
};

/* The look of this place in the table; NULL behind the last. */
const struct spl_look *spl_look_at(gsize i);
/* NULL: there is none of that name. */
const struct spl_look *spl_look_find(const char *name);

/* What can be done with a record that it lists (desk/look_acts.c). */
gboolean spl_look_has_acts(const struct spl_look *look);
void spl_look_put_acts(struct spl_html *html, const struct spl_look *look, const void *record);
/* The forms that stand once, below the heading; nothing when there is none. */
void spl_look_put_forms(struct spl_html *html, const struct spl_look *look);

/* Links to the looks that belong to this page; nothing when none does. */
void spl_look_links(struct spl_html *html, const char *page);

#endif
