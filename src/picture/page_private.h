/* SPDX-License-Identifier: MIT
 *
 * The inside of a page document, shared by page.c (drawing), page_text.c (words) and page_out.c
 * (bytes). Nobody else includes it.
 */
#ifndef SPL_PICTURE_PAGE_PRIVATE_H
#define SPL_PICTURE_PAGE_PRIVATE_H

#include <cairo.h>
#include <pango/pangocairo.h>

#include "picture/page.h"

#define SPL_SVG_TALL 1e6          /* pt: height of an SVG until its pages are known */
#define SPL_PNG_MOST_PIXELS 48e6  /* in all: some 190 MB of memory */
#define SPL_PNG_MOST_SIDE 32000.0 /* cairo's own limit is 32767 */

struct spl_page_said {
    int page;
    double x, y, w, h;
    char *words;
};

struct spl_page {
    struct spl_page_options options;
    double width, height;
    char *title, *about, *foot;
    GPtrArray *pages;  /* of cairo_surface_t *, one for each page; an SVG's are all the same one */
    guint count;       /* of pages */
    gboolean too_long; /* for a PNG */
    GByteArray *bytes; /* of the SVG while it is drawn */
    cairo_t *cr;       /* on the last of them */
    PangoFontMap *fonts;
    PangoContext *context;
    GPtrArray *warnings;
    GHashTable *warned; /* texts that have a warning already */
    GArray *inks;       /* of struct spl_ink */
    GArray *said;       /* of struct spl_page_said */
};

/* Goes on drawing on a page that there is. */
void spl_page_draw_on(struct spl_page *page, guint number);

/* Top of a page in a picture that shows them all, pt; what a point is in the page's pixels (a
 * PNG's, else 1). */
double spl_page_top(const struct spl_page *page, guint number);
double spl_page_scale(const struct spl_page *page);

/* Whether a PNG can hold so many pages; other formats always can. */
gboolean spl_page_png_fits(const struct spl_page *page, guint count);

/* Sets the source colour. */
void spl_page_tone(cairo_t *cr, enum spl_tone tone);

#endif
