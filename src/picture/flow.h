/* SPDX-License-Identifier: MIT
 *
 * What runs down a page and over to the next: a cursor with a page head that is drawn again on
 * every page, paragraphs, and ruled tables whose column heads are repeated too.
 */
#ifndef SPL_PICTURE_FLOW_H
#define SPL_PICTURE_FLOW_H

#include "picture/page.h"

struct spl_flow {
    struct spl_page *page;
    double x, w;        /* the column, pt */
    double y;           /* the cursor */
    double top, bottom; /* of what is below the head, on this page */
    /* Draws the page's head at y and moves it; may be NULL. */
    void (*head)(struct spl_flow *flow, gpointer data);
    gpointer data;
};

/* Fills the box of the page and draws the first head. */
void spl_flow_begin(struct spl_flow *flow, struct spl_page *page,
                    void (*head)(struct spl_flow *flow, gpointer data), gpointer data);

/* Turns the page when less than `h` is left (and something is on it already). TRUE: turned. */
gboolean spl_flow_need(struct spl_flow *flow, double h);

/* Turns the page in any case. */
void spl_flow_turn(struct spl_flow *flow);

/* A paragraph as wide as the column, over as many pages as it needs, with `after` below it. */
void spl_flow_text(struct spl_flow *flow, const struct spl_type *type, const char *text,
                   double after);

/* The head that most sheets share: title in large serif, subtitle, a double rule. */
void spl_flow_title(struct spl_flow *flow, const char *title, const char *subtitle);

/* A section's name with a rule; keeps at least `with` below it on the same page. */
void spl_flow_section(struct spl_flow *flow, const char *name, double with);

struct spl_table_column {
    const char *heading;
    double share; /* of the width, relative to the others */
    enum spl_align align;
    gboolean bold;
};

struct spl_table {
    struct spl_flow *flow;
    const struct spl_table_column *columns; /* borrowed */
    gsize n_columns;                        /* at most SPL_TABLE_MOST_COLUMNS */
    double size;                            /* of the words, pt */
    double least;                           /* lowest row, pt: room for handwriting; may be 0 */
    gboolean upright;                       /* rules between the columns too */
    int shown_on;                           /* page that has the column heads; set to -1 */
    guint left_out;                         /* a bit for each column that is not shown */
};

#define SPL_TABLE_MOST_COLUMNS 12
#define SPL_TABLE_GUTTER SPL_MM(3.0) /* between the words of two columns */

/* Leaves out a column that no row uses: what is empty from top to bottom takes no room from the
 * others. Before the first row. */
void spl_table_leave_out(struct spl_table *table, gsize column);

/* One row of n_columns cells (NULL: empty). Draws the column heads first where the page has none.
 */
void spl_table_row(struct spl_table *table, const char *const *cells);

/* As above; `tone` colours the words, e.g. for what is withdrawn. */
void spl_table_row_toned(struct spl_table *table, const char *const *cells, enum spl_tone tone);

#endif
