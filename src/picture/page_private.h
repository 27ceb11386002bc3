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

struct spl_page_said {
    int page;
    double x, y, w, h;
    char *words;
};

struct spl_page {
    struct spl_page_options options;
    double width, height;
    char *title, *about, *foot;
    GPtrArray *pages; /* of cairo_surface_t *: each page as recorded */
    cairo_t *cr;      /* on the last of them */
    PangoFontMap *fonts;
    PangoContext *context;
    GPtrArray *warnings;
    GHashTable *warned; /* texts that have a warning already */
    GArray *inks;       /* of struct spl_ink */
    GArray *said;       /* of struct spl_page_said */
};

/* Sets the source colour. */
void spl_page_tone(cairo_t *cr, enum spl_tone tone);

#endif
