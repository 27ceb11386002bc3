/* SPDX-License-Identifier: MIT
 *
 * Pictures from the book: the almanac page, the estate map, the shelf's ledger, the sheet for an
 * outing, the record of a batch, the year in review, labels.
 *
 * These pull in cairo and pango: a program that is to stay light leaves them to a helper.
 */
#ifndef SIMPLING_PICTURE_H
#define SIMPLING_PICTURE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

/* Where a picture goes. */
struct spl_picture_words {
    const char *out;   /* FILE.svg, FILE.pdf or FILE.png */
    const char *paper; /* "a4", "letter"; NULL: a4 */
    int dpi;           /* of a PNG; 0: 150 */
    gboolean force;    /* replace a file that is not a picture of ours */
};

/* What was drawn. */
struct spl_picture {
    char *file;
    char *of; /* in words */
    int pages;
    GPtrArray *warnings; /* texts that no installed font can draw, and what is left out */
};
extern const struct spl_shape spl_picture_shape;

/*
 * All write the file whole or not at all, and leave it untouched when it holds just that.
 * SPL_ERROR_USAGE: the name ends in no known format. SPL_ERROR_CONFLICT: the file is no picture of
 * ours and `force` is not given. SPL_ERROR_LIMIT: too many pages for a PNG.
 */

struct spl_picture_season {
    int year;             /* the growing year; 0: the one that today lies in */
    const char *site;     /* NULL: all */
    const char *material; /* NULL: all */
    gboolean all;         /* also plants that are not known to grow at a place */
};
gboolean spl_picture_draw_season(struct spl_house *house, const struct spl_picture_season *what,
                                 const struct spl_picture_words *words, struct spl_picture *picture,
                                 GError **error);

/* The grounds with the verdicts of a day. */
gboolean spl_picture_draw_map(struct spl_house *house, struct spl_day on,
                              const struct spl_picture_words *words, struct spl_picture *picture,
                              GError **error);

/* The sheet to carry on the kept outing of this day, or of this reserve day; no day: the next one.
 * SPL_ERROR_NOT_FOUND
 * names the days there are. */
gboolean spl_picture_draw_outing(struct spl_house *house, struct spl_day day,
                                 const struct spl_picture_words *words, struct spl_picture *picture,
                                 GError **error);

/* The shelf; `all`: used up and destroyed lots too. */
gboolean spl_picture_draw_shelf(struct spl_house *house, gboolean all,
                                const struct spl_picture_words *words, struct spl_picture *picture,
                                GError **error);

/* The one-page record of a batch. SPL_ERROR_NOT_FOUND. */
gboolean spl_picture_draw_batch(struct spl_house *house, const char *code,
                                const struct spl_picture_words *words, struct spl_picture *picture,
                                GError **error);

/* A calendar year in review. */
gboolean spl_picture_draw_year(struct spl_house *house, int year,
                               const struct spl_picture_words *words, struct spl_picture *picture,
                               GError **error);

/* Labels. */
struct spl_label_words {
    const char *const *codes; /* lots, batches, harvests, purchases, dryings */
    guint n_codes;
    int copies;             /* of each; 0: one */
    const char *sheet;      /* a row of data/labels.csv; NULL: "3x8"; "1": one per page */
    int skip;               /* labels of the first sheet that are used already */
    const char *ref;        /* handed out under this number (never a name); NULL: not handed out */
    const char *dispensary; /* name and address of who hands it out; NULL: not printed */
    double bottle_ml, bottle_g; /* what one bottle holds; NAN: not printed */
    gboolean place;             /* print where it was gathered */
};
/* SPL_ERROR_REFUSED: `ref` for a lot that may not go out (held, withdrawn, out of date). */
gboolean spl_picture_draw_labels(struct spl_house *house, const struct spl_label_words *labels,
                                 const struct spl_picture_words *words, struct spl_picture *picture,
                                 GError **error);

#endif
