/* SPDX-License-Identifier: MIT
 *
 * The almanac page of a season: months across the top, a line per material and place under its
 * plant's name, hatching that thickens towards the best days with words at its ends, outings with
 * their reserve days, batches that stand until they are ready, today.
 *
 * An unset day is SPL_DAY_NONE, never a zeroed struct (that is 1 January 1970).
 */
#ifndef SPL_PICTURE_SEASON_PAGE_H
#define SPL_PICTURE_SEASON_PAGE_H

#include "picture/page.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"

/* One stretch of days in which the material is right. earliest <= best_first <= best_last <=
 * latest. */
struct spl_season_page_window {
    struct spl_day earliest;   /* may begin */
    struct spl_day best_first; /* first of the best days; unset: as earliest */
    struct spl_day best_last;  /* last of the best days, inclusive; unset: as latest */
    struct spl_day latest;     /* mostly over, inclusive */
};

/* A material at a place. */
struct spl_season_page_line {
    const char *plant;        /* "Dandelion": lines of one plant are put together */
    const char *latin;        /* "Taraxacum officinale", or NULL */
    const char *part;         /* "flower" */
    const char *use;          /* "medicine", "food"; NULL: not said */
    const char *place;        /* the site's name, or that of the almanac's reference place */
    enum spl_verdict verdict; /* none: not said */
    const char *basis;        /* what the dates rest on: "shifted", "almanac"; NULL: not said */
    const struct spl_season_page_window *windows; /* one per flush, in order of days */
    gsize n_windows;                              /* 0: the line says "no dates known" */
    const gsize *outings; /* which of the season's outings take from here: indices, from 0 */
    gsize n_outings;
};

/* A day out. */
struct spl_season_page_outing {
    struct spl_day day;
    struct spl_day reserve; /* unset: none */
    const char *places;     /* "High Croft, Mill Lane" */
};

/* A jar that stands. */
struct spl_season_page_batch {
    const char *code;       /* "B27-003" */
    const char *what;       /* "Dandelion flower tincture" */
    struct spl_day started; /* may lie before the season */
    struct spl_day ready;   /* ready from; may lie after the season */
    struct spl_day pressed; /* unset: still standing */
};

/* Where a line was drawn, as shares of the picture that shows all pages beneath each other. */
struct spl_season_page_row {
    gsize line; /* of the season's lines */
    int page;
    double x, y, w, h;
};

struct spl_season_page {
    const char *title;    /* "The season 2027"; NULL: made from the days */
    const char *subtitle; /* whose, where; may be NULL */
    struct spl_day first; /* of the growing year: 1 January, or 1 July south of the equator */
    struct spl_day last;  /* inclusive; at most 366 days later */
    struct spl_day today; /* unset: not drawn */
    const struct spl_season_page_line *lines;
    gsize n_lines;
    const struct spl_season_page_outing *outings;
    gsize n_outings;
    const struct spl_season_page_batch *batches;
    gsize n_batches;
    const char *const
        *notes; /* sentences for the foot of the last page ("dates not yet moved …") */
    gsize n_notes;
    GArray *rows; /* gets struct spl_season_page_row for each line; NULL: nobody asks */
};

/* SPL_ERROR_INVALID: the season's days make no sense. */
GBytes *spl_season_page_draw(const struct spl_season_page *season,
                             const struct spl_page_options *options, struct spl_page_report *report,
                             GError **error);

#endif
