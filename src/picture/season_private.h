/* SPDX-License-Identifier: MIT
 *
 * The inside of the almanac page, shared by season_page.c (lines) and season_marks.c (groups,
 * outings, jars, key). Nobody else includes it.
 */
#ifndef SPL_PICTURE_SEASON_PRIVATE_H
#define SPL_PICTURE_SEASON_PRIVATE_H

#include "picture/flow.h"
#include "picture/season_page.h"

struct spl_season_draw {
    const struct spl_season_page *season;
    const char *title;
    struct spl_flow flow;
    double chart_x, chart_w;                  /* where the months lie */
    const struct spl_season_page_line *group; /* first line of the plant being drawn */
    gboolean plain;                           /* further pages without months */
    double row_pad;                           /* above and below a band, pt */
};

/* Words for the two ends of a band or jar, and where they go. */
struct spl_season_end {
    double x0, x1;        /* the band */
    char *before, *after; /* "may begin 4 May", "mostly over 12 June" */
    double before_x, after_x;
    guint before_line, after_line; /* 0: beside the end; 1 …: so many lines below it */
};

double spl_season_x(const struct spl_season_draw *draw, struct spl_day day);
gboolean spl_season_shows(const struct spl_season_draw *draw, struct spl_day day);
/* Month rules and today's line behind one row. */
void spl_season_grid(const struct spl_season_draw *draw, double top, double bottom);

/* Draws what spl_hatch_band reckoned. */
void spl_season_hatch(struct spl_page *page, const GArray *strokes, const GArray *widths);

/* Finds places for the words of n bands on one row. */
void spl_season_ends(struct spl_season_draw *draw, struct spl_season_end *ends, gsize n);
double spl_season_ends_below(const struct spl_season_draw *draw, const struct spl_season_end *ends,
                             gsize n);
void spl_season_ends_draw(const struct spl_season_draw *draw, const struct spl_season_end *ends,
                          gsize n, double y, double band);
void spl_season_ends_free(struct spl_season_end *ends, gsize n);

/* A plant's name above its lines; again after a page turn. */
void spl_season_group(struct spl_season_draw *draw, const struct spl_season_page_line *line);
void spl_season_group_again(struct spl_season_draw *draw);

/* The strip of outings and today's word below the months. */
void spl_season_draw_outings(struct spl_season_draw *draw);
/* The outings that take from one line, on its band. */
void spl_season_line_outings(struct spl_season_draw *draw, const struct spl_season_page_line *line,
                             double y);
void spl_season_draw_batches(struct spl_season_draw *draw);
/* What the signs mean, at the foot of every page: takes its room off the flow. */
void spl_season_draw_signs(struct spl_season_draw *draw);
/* The list of outings and the notes, behind the last line. */
void spl_season_draw_key(struct spl_season_draw *draw);

#endif
