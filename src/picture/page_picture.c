/* SPDX-License-Identifier: MIT
 *
 * A picture of pixels on a page. See picture/page.h.
 */
#include "picture/page_private.h"

/* cairo's own octets: a pixel is a number of 32 bits, red in the third octet. */
static cairo_surface_t *surface_of(const struct spl_page_pixels *pixels)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels->width, pixels->height);
    guint8 *rows = cairo_image_surface_get_data(surface);
    const gsize stride = (gsize)cairo_image_surface_get_stride(surface);

    if (rows == NULL)
        return surface; /* in an error state, with which nothing is drawn */
    cairo_surface_flush(surface);
    for (int y = 0; y < pixels->height; y++) {
        guint32 *to = (guint32 *)(void *)(rows + (gsize)y * stride);
        const guint8 *from = pixels->rgb + (gsize)y * (gsize)pixels->width * 3;

        for (int x = 0; x < pixels->width; x++, from += 3)
            to[x] = (guint32)from[0] << 16 | (guint32)from[1] << 8 | from[2];
    }
    cairo_surface_mark_dirty(surface);
    return surface;
}

void spl_page_picture(struct spl_page *page, double x, double y, double w, double h,
                      const struct spl_page_pixels *pixels, const char *what)
{
    cairo_surface_t *surface = surface_of(pixels);

    cairo_save(page->cr);
    cairo_translate(page->cr, x, y);
    cairo_scale(page->cr, w / pixels->width, h / pixels->height);
    cairo_set_source_surface(page->cr, surface, 0, 0);
    cairo_rectangle(page->cr, 0, 0, pixels->width, pixels->height);
    cairo_fill(page->cr);
    cairo_restore(page->cr);
    cairo_surface_destroy(surface);
    spl_page_ink(page, SPL_INK_MARK, x, y, w, h, what);
}
