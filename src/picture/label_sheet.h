/* SPDX-License-Identifier: MIT
 *
 * Labels for bottles and jars, many to a sheet, each with a QR code of the book's mark and the
 * code. What stands on one goes by the size of what it is for. Words wrap and shrink down to
 * SPL_LABEL_SMALLEST, nothing is ever cut: what has no room goes, the least needed first, to a
 * sheet behind the labels, and the label names it.
 *
 * An unset day is SPL_DAY_NONE, never a zeroed struct (that is 1 January 1970).
 */
#ifndef SPL_PICTURE_LABEL_SHEET_H
#define SPL_PICTURE_LABEL_SHEET_H

#include "picture/page.h"
#include "simpling/day.h"

#define SPL_LABEL_SMALLEST 7.0 /* pt: usual for medicines (common practice, no source) */

enum spl_label_size {
    SPL_LABEL_SMALL,  /* a dropper bottle, up to 50 mL: what its taker must know */
    SPL_LABEL_MIDDLE, /* up to 250 mL: also who must not take it, Latin, the day of opening */
    SPL_LABEL_LARGE,  /* on the shelf of who gives it out */
    SPL_LABEL_TAG     /* of a jar that stands: its code large, when to strain it */
};

/* A kind of label sheet: one row of data/labels.csv. All lengths in mm. */
struct spl_label_stock {
    char *name; /* "3x8" */
    double page_w, page_h;
    int across, down;
    double label_w, label_h;
    double left, top;      /* of the first label */
    double step_x, step_y; /* from one label's left (top) edge to the next */
    char *source;
};
void spl_label_stock_clear(struct spl_label_stock *stock);

/* SPL_ERROR_INVALID when the labels overlap, leave the page or are too small to print on. */
gboolean spl_label_stock_check(const struct spl_label_stock *stock, GError **error);

/* Marks the corners of the label at (x, y), where no words stand, when it is to be cut by hand: a
 * line along each edge that meets there. Nothing on sheets whose labels are cut already. */
void spl_label_stock_mark(struct spl_page *page, const struct spl_label_stock *stock, double x,
                          double y);

/* What may stand on one label. Texts may be NULL when they do not apply. */
struct spl_label {
    enum spl_label_size size;
    const char *mark;        /* of the book that made the code: "ANN" */
    const char *code;        /* "L27-003" */
    const char *common;      /* "Dandelion" (several: "Dandelion flower and leaf") */
    const char *latin;       /* "Taraxacum officinale" */
    const char *part;        /* "flower"; NULL when `common` has it */
    const char *preparation; /* "Tincture" */
    const char *ratio;       /* "1:5 fresh, mL per g put in": the ratio and which one */
    const char *menstruum;   /* "spirit 40 %" */
    double final_abv_frac;   /* NAN: without alcohol */
    double amount;           /* in unit; NAN: not printed */
    const char *unit;        /* "mL" or "g" */
    struct spl_day gathered_from, gathered_to; /* unset: not printed */
    struct spl_day made;
    const char *made_as;    /* "gathered", "dried", "strained"; NULL: "made" */
    struct spl_day use_by;  /* unset: not printed */
    const char *use_as;     /* "strain from"; NULL: "use by" */
    const char *directions; /* how it is taken */
    const char *shares;     /* of a mixture: "1:1 of Dandelion flower and Dandelion leaf" */
    const char *shelf;      /* where it stands */
    const char *children;   /* the sentence that keeps it from them */
    const char *warning;    /* of a small bottle: who keeps off its alcohol */
    gboolean inside;        /* to be swallowed: said on the shelf's label */
    const char *place;      /* where it was gathered, if wished */
    const char *storage;    /* "cool and dark" */
    const char *lid;        /* of a jar: "parchment under a metal lid"; NULL: nothing */
    const char *state;      /* "HELD" or "WITHDRAWN": printed large; NULL: released */
    gboolean outside_use;   /* "For external use only" */
    const char *dispensary; /* name and address of who hands it out */
    const char *reference;  /* --for: a number, never a name; prints the day of handing out */
    struct spl_day handed_out;
    const char *const *cautions; /* one sentence each, the most important first */
    gsize n_cautions;
};

struct spl_label_sheet {
    const struct spl_label_stock *stock; /* NULL: one label per page of the options' paper */
    const struct spl_label *labels;
    gsize n_labels;
    int skip; /* labels of the first sheet that are already used */
};

/*
 * SPL_ERROR_INVALID: a label without code; a text that does not fit the label even at the smallest
 * size (named, with the next larger sheet to try).
 */
GBytes *spl_label_sheet_draw(const struct spl_label_sheet *sheet,
                             const struct spl_page_options *options, struct spl_page_report *report,
                             GError **error);

/* What the QR code of a label says: "ANN:L27-003", or the bare code without a mark. g_free. */
char *spl_label_qr_text(const char *mark, const char *code);

#endif
