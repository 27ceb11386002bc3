/* SPDX-License-Identifier: MIT
 *
 * PNG by libpng: what a telephone makes of its own screen, as of a message that gives leave. See
 * exchange/photo_look.h.
 */
#include <png.h>
#include <string.h>

#include "exchange/photo_look.h"
#include "simpling/error.h"

#define PIXELS_MOST 60000000L /* all are held */

gboolean spl_photo_png(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                       struct spl_pixels *pixels, GError **error)
{
    static const png_color paper = {255, 255, 255}; /* under what can be seen through */
    png_image image = {.version = PNG_IMAGE_VERSION};

    if (png_image_begin_read_from_memory(&image, bytes, size) != 0 &&
        (gint64)image.width * image.height > PIXELS_MOST) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "has %u x %u pixels, more than are decoded; take a smaller copy of it",
                    (unsigned)image.width, (unsigned)image.height);
        png_image_free(&image);
        return FALSE;
    }
    if (!PNG_IMAGE_FAILED(image)) {
        image.format = PNG_FORMAT_RGB;
        *pixels = (struct spl_pixels){.rgb = g_malloc0(PNG_IMAGE_SIZE(image)),
                                      .width = (int)image.width,
                                      .height = (int)image.height};
        facts->width = pixels->width;
        facts->height = pixels->height;
        png_image_finish_read(&image, &paper, pixels->rgb, 0, NULL);
    }
    if (PNG_IMAGE_FAILED(image)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "is damaged (%s); copy it anew from where it was taken", image.message);
        png_image_free(&image);
        spl_pixels_clear(pixels);
        return FALSE;
    }
    return TRUE;
}
