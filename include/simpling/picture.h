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
#include "simpling/input.h"
#include "simpling/row.h"

/* Where a picture goes: the first member of what each is told. */
struct spl_picture_file {
    const char *out;   /* FILE.svg, FILE.pdf or FILE.png */
    const char *paper; /* "a4", "letter"; NULL: a4 */
    int dpi;           /* of a PNG, 36 to 600; SPL_COUNT_NONE: 150 */
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
 * All write the file whole or not at all, and leave it untouched when it holds just that; `picture`
 * is yours on TRUE. SPL_ERROR_USAGE: the name ends in no known format. SPL_ERROR_CONFLICT: the file
 * is no picture of ours and `force` is not given. SPL_ERROR_LIMIT: too many pages for a PNG.
 */

struct spl_picture_season_words {
    struct spl_picture_file to;
    int year;             /* the growing year; SPL_COUNT_NONE: the one that today lies in */
    const char *site;     /* NULL: all */
    const char *material; /* NULL: all */
    gboolean all;         /* also plants that are not known to grow at a place */
};
extern const struct spl_inputs spl_picture_season_inputs;
gboolean spl_picture_draw_season(struct spl_house *house,
                                 const struct spl_picture_season_words *said,
                                 struct spl_picture *picture, GError **error);

/* Where a line of that page lies, so that it can be touched there. */
struct spl_season_spot {
    char *site;             /* NULL: the almanac's place */
    char *material, *words; /* slug; "Dandelion flower" */
    char *days;             /* "from 4 May to 12 June", of each flush */
    double x, y, w, h;      /* shares of the picture's width and height */
};
extern const struct spl_shape spl_season_spot_shape;
/* From top to bottom: a list of spl_season_spot_shape; `picture` gets its width by its height.
 * NULL with an error. */
GArray *spl_picture_season_spots(struct spl_house *house, double *picture, GError **error);

struct spl_picture_map_words {
    struct spl_picture_file to;
    struct spl_day on; /* the verdicts of this day; none: today's */
};
extern const struct spl_inputs spl_picture_map_inputs;
gboolean spl_picture_draw_map(struct spl_house *house, const struct spl_picture_map_words *said,
                              struct spl_picture *picture, GError **error);

/* Where a place lies on that map, so that it can be touched there. */
struct spl_map_spot {
    char *site;
    double x, y; /* shares of the first page's width and height */
};
extern const struct spl_shape spl_map_spot_shape;
/* By name: a list of spl_map_spot_shape; `page` gets width by height of the page. NULL with an
 * error. */
GArray *spl_picture_map_spots(struct spl_house *house, double *page, GError **error);

/* The sheet to carry. */
struct spl_picture_outing_words {
    struct spl_picture_file to;
    struct spl_day on; /* of the kept outing, or its reserve day; none: the next one */
};
extern const struct spl_inputs spl_picture_outing_inputs;
/* SPL_ERROR_NOT_FOUND names the days there are. */
gboolean spl_picture_draw_outing(struct spl_house *house,
                                 const struct spl_picture_outing_words *said,
                                 struct spl_picture *picture, GError **error);

struct spl_picture_shelf_words {
    struct spl_picture_file to;
    gboolean all; /* used up and destroyed lots too */
};
extern const struct spl_inputs spl_picture_shelf_inputs;
gboolean spl_picture_draw_shelf(struct spl_house *house, const struct spl_picture_shelf_words *said,
                                struct spl_picture *picture, GError **error);

/* The one-page record. */
struct spl_picture_batch_words {
    struct spl_picture_file to;
    const char *code;
};
extern const struct spl_inputs spl_picture_batch_inputs;
/* SPL_ERROR_NOT_FOUND. */
gboolean spl_picture_draw_batch(struct spl_house *house, const struct spl_picture_batch_words *said,
                                struct spl_picture *picture, GError **error);

/* The recall: what was said, what came of it and where that is, to whom it went, and room for how
 * it ended. Of a code or of a place that was sprayed, as a trace is (simpling/trace.h). */
struct spl_picture_recall_words {
    struct spl_picture_file to;
    const char *of;
    struct spl_day sprayed;
    double within_m;
};
extern const struct spl_inputs spl_picture_recall_inputs;
gboolean spl_picture_draw_recall(struct spl_house *house,
                                 const struct spl_picture_recall_words *said,
                                 struct spl_picture *picture, GError **error);

/* Everything about one lot. */
struct spl_picture_lot_words {
    struct spl_picture_file to;
    const char *code;
};
extern const struct spl_inputs spl_picture_lot_inputs;
/* SPL_ERROR_NOT_FOUND. */
gboolean spl_picture_draw_lot(struct spl_house *house, const struct spl_picture_lot_words *said,
                              struct spl_picture *picture, GError **error);

/* A calendar year in review. */
struct spl_picture_year_words {
    struct spl_picture_file to;
    int year;
};
extern const struct spl_inputs spl_picture_year_inputs;
gboolean spl_picture_draw_year(struct spl_house *house, const struct spl_picture_year_words *said,
                               struct spl_picture *picture, GError **error);

/* Labels. */
struct spl_label_code {
    const char *code; /* of a lot, batch, harvest, purchase or drying */
};
extern const struct spl_inputs spl_label_code_inputs;

struct spl_label_words {
    struct spl_picture_file to;
    GArray *codes;          /* struct spl_label_code */
    int copies;             /* of each; SPL_COUNT_NONE: one */
    const char *sheet;      /* a row of data/labels.csv; NULL: "3x8"; "1": one per page */
    int skip;               /* labels of the first sheet that are used already */
    const char *ref;        /* handed out under this number (never a name); NULL: not handed out */
    const char *dispensary; /* name, address, phone of who hands it out; NULL: the setting */
    const char *directions; /* how it is taken; NULL: as noted when it went out under `ref` */
    struct spl_amount bottle; /* what one bottle holds; not said: not printed */
    gboolean place;           /* print where it was gathered */
};
extern const struct spl_inputs spl_label_inputs;
/* SPL_ERROR_REFUSED: `ref` for a lot that may not go out (held, withdrawn, out of date). */
gboolean spl_picture_draw_labels(struct spl_house *house, const struct spl_label_words *said,
                                 struct spl_picture *picture, GError **error);

#endif
