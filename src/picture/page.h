/* SPDX-License-Identifier: MIT
 *
 * The picture room: what people look at, drawn by one code to SVG, PDF and PNG.
 *
 * The room knows cairo and pango and the base room, never the book: each sheet has a plain input
 * struct in its own header, whose texts and arrays the caller owns and keeps alive while drawing.
 * A sheet is returned as bytes; nobody here opens a file, reads a clock or a locale, so the same
 * input gives the same bytes.
 *
 * This header is the page itself. Lengths are points (1/72 inch), origin at the page's top left
 * corner, y downward. A document has one or more pages: a PDF has real ones, an SVG or PNG shows
 * them one beneath the other with a gap between.
 *
 * Whatever is drawn is also written down as a rectangle with its kind, so that tests can see that
 * no two texts or marks overlap and nothing leaves the page.
 */
#ifndef SPL_PICTURE_PAGE_H
#define SPL_PICTURE_PAGE_H

#include <glib.h>

#include "simpling/error.h"

#define SPL_MM(mm) ((mm)*72.0 / 25.4)
#define SPL_PAGE_GAP SPL_MM(3.0) /* or a little more */
#define SPL_PAGE_MARGIN SPL_MM(12.0)
struct spl_page;

#define SPL_PAGE_DPI 150.0 /* of a PNG when the caller does not say */

enum spl_page_paper { SPL_PAPER_A4, SPL_PAPER_LETTER };

enum spl_page_format { SPL_PAGE_PDF, SPL_PAGE_SVG, SPL_PAGE_PNG };

/* How a sheet is wanted. */
struct spl_page_options {
    enum spl_page_paper paper;
    enum spl_page_format format;
    double dpi; /* PNG only, 36-600; 0: SPL_PAGE_DPI */
};

enum spl_ink_kind {
    SPL_INK_TEXT,  /* words; may touch no other text and no mark */
    SPL_INK_MARK,  /* a sign that must stay readable: site, outing, QR code, arrow head */
    SPL_INK_HATCH, /* hatching of the almanac page: no text may stand on it */
    SPL_INK_RULE   /* rules, frames, map hatching under the words: only kept on the page */
};

/* One thing that was drawn. */
struct spl_ink {
    enum spl_ink_kind kind;
    int page;    /* 0.. */
    double x, y; /* top left, pt */
    double w, h; /* pt */
    double size; /* of the words, pt; 0: none */
    char *what;  /* the text, or what the mark stands for; NULL for rules */
};

/* What came of a drawing beside its bytes. Zero it before, clear it after. */
struct spl_page_report {
    int pages;
    double width, height; /* of one page, pt */
    double whole;         /* height of the picture that shows all of them, pt */
    GPtrArray *warnings;  /* of char *: texts with signs that no installed font can draw */
    GArray *inks;         /* of struct spl_ink, in drawing order */
};
void spl_page_report_clear(struct spl_page_report *report);

/* The format that a file name ends in (.svg .pdf .png, any case); else SPL_ERROR_USAGE. */
gboolean spl_page_format_from_path(const char *path, enum spl_page_format *format, GError **error);

/* TRUE if these bytes are a picture that this room made: it says so in the file itself. */
gboolean spl_page_is_ours(const void *data, gsize size);

/* "a4" or "letter", any case; else SPL_ERROR_USAGE. */
gboolean spl_page_paper_from_text(const char *text, enum spl_page_paper *paper, GError **error);

/* Makes of a box on that page (x, y, w, h in pt) its shares of the picture that shows all pages
 * which there are by now. */
void spl_page_shares(const struct spl_page *page, int number, double box[4]);

/* Width and height in points, upright. */
void spl_page_paper_size(enum spl_page_paper paper, double *width, double *height);

/*
 * The inks of the house. All are readable as text on paper (contrast at least 4.5:1) and differ in
 * grey; meaning never hangs on them alone.
 */
enum spl_tone {
    SPL_TONE_BLACK,  /* words, frames */
    SPL_TONE_SOFT,   /* lesser words */
    SPL_TONE_LEAF,   /* dark green: plants */
    SPL_TONE_MADDER, /* dark red: hazards, withdrawn */
    SPL_TONE_WOAD,   /* dark blue: water and outings */
    SPL_TONE_RULE,   /* fine rules; never for text */
    SPL_TONE_FAINT,  /* rules that words may stand on */
    SPL_TONE_PAPER,  /* white */
    SPL_TONE_COUNT
};
/* Red, green, blue, each 0..1. */
void spl_tone_rgb(enum spl_tone tone, double rgb[3]);

enum spl_face { SPL_FACE_SERIF, SPL_FACE_SANS, SPL_FACE_MONO };
enum spl_align { SPL_ALIGN_LEFT, SPL_ALIGN_CENTRE, SPL_ALIGN_RIGHT };

struct spl_type {
    enum spl_face face;
    double size; /* pt */
    gboolean bold, italic;
    enum spl_tone tone;
    enum spl_align align;
    gboolean knock_out; /* paper colour is laid under the words first */
};

struct spl_page;

/* How a document begins. */
struct spl_page_setup {
    struct spl_page_options options;
    gboolean landscape;
    double width, height; /* own page size, pt; 0: that of the paper */
    const char *title;    /* of the document: PDF title, SVG title */
    const char *about;    /* one or two sentences for who cannot see it; may be NULL */
    const char *foot;     /* printed at the foot of each page with "page n of N"; NULL: no foot */
};

/* Opens a document with its first page. Never NULL unless `error` is set. */
struct spl_page *spl_page_open(const struct spl_page_setup *setup, GError **error);

/* Ends this page and begins the next. */
void spl_page_next(struct spl_page *page);

/* Number of the page that is being drawn, from 0. */
int spl_page_number(const struct spl_page *page);

/* Size of the page and the box within its margins (above the foot when there is one), pt. */
void spl_page_box(const struct spl_page *page, double *x, double *y, double *w, double *h);

/*
 * Ends the document. Returns its bytes and frees the page; `report` (may be NULL) takes what was
 * written down. SPL_ERROR_LIMIT: too many pages for a PNG.
 */
GBytes *spl_page_finish(struct spl_page *page, struct spl_page_report *report, GError **error);

/* Gives a document up. */
void spl_page_free(struct spl_page *page);

/*
 * Text, wrapped at `width` (<= 0: one line) between words or, when a word is longer, inside it;
 * never cut. (x, y) is the top left corner of the column. Returns the height of the paragraph.
 * Line breaks in `text` are kept. NULL and "" draw nothing and are 0 high.
 */
double spl_page_text(struct spl_page *page, double x, double y, double width,
                     const struct spl_type *type, const char *text);

/* Width and height that spl_page_text would take; either target may be NULL. */
void spl_page_measure(struct spl_page *page, double width, const struct spl_type *type,
                      const char *text, double *w, double *h);

/* How many bytes of `text` (valid UTF-8) fit into `height`, whole lines only; 0: not even one line.
 */
gsize spl_page_text_fitting(struct spl_page *page, double width, const struct spl_type *type,
                            const char *text, double height);

/*
 * Lines and shapes. Paths are closed polygons or open lines through n points, x and y by turns.
 * Strokes are solid unless `dash` > 0 (length of dash and gap, pt). They are written down as rules.
 */
void spl_page_line(struct spl_page *page, double x1, double y1, double x2, double y2, double width,
                   enum spl_tone tone, double dash);
void spl_page_path(struct spl_page *page, const double *xy, gsize n, gboolean closed, double width,
                   enum spl_tone tone, double dash);
void spl_page_fill(struct spl_page *page, const double *xy, gsize n, enum spl_tone tone);
void spl_page_frame(struct spl_page *page, double x, double y, double w, double h, double width,
                    enum spl_tone tone);

/*
 * Many separate strokes of one width at once: n strokes of four numbers (x1 y1 x2 y2). Written down
 * as nothing: the caller does, with spl_page_ink.
 */
void spl_page_strokes(struct spl_page *page, const double *xyxy, gsize n, double width,
                      enum spl_tone tone);

/* Signs, written down as marks that stand for `what`. (x, y) is the middle, r half the size. */
enum spl_sign {
    SPL_SIGN_DOT,
    SPL_SIGN_RING,
    SPL_SIGN_LOZENGE,
    SPL_SIGN_LOZENGE_OPEN,
    SPL_SIGN_CROSS,
    SPL_SIGN_HOUSE
};
void spl_page_sign(struct spl_page *page, enum spl_sign sign, double x, double y, double r,
                   enum spl_tone tone, const char *what);

/* Pixels, three octets each (red, green, blue), rows without gaps. */
struct spl_page_pixels {
    const guint8 *rgb;
    int width, height;
};
/* A picture in the rectangle, which has its proportions; written down as a mark for `what`. */
void spl_page_picture(struct spl_page *page, double x, double y, double w, double h,
                      const struct spl_page_pixels *pixels, const char *what);

/* All that is drawn between is cut off outside the rectangle. Not nested. */
void spl_page_clip(struct spl_page *page, double x, double y, double w, double h);
void spl_page_unclip(struct spl_page *page);

/* Writes a rectangle down without drawing. `what` is copied and may be NULL. */
void spl_page_ink(struct spl_page *page, enum spl_ink_kind kind, double x, double y, double w,
                  double h, const char *what);

/*
 * Says in words what stands in a rectangle, for screen readers and pointers: it becomes a <title>
 * over that place in an SVG. Other formats ignore it.
 */
void spl_page_say(struct spl_page *page, double x, double y, double w, double h, const char *words);

#endif
