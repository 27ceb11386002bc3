/* SPDX-License-Identifier: MIT
 *
 * Looking into a photo: what it is, how large, when and where it says it was taken, and a small
 * picture of it that says none of this. Only the child simpling-photo looks (exchange/photo.h): the
 * bytes are a stranger's, and these are the libraries that decode them.
 *
 * JPEG by libjpeg, PNG by libpng, HEIC by libheif where that is installed; EXIF by libexif.
 */
#ifndef SPL_EXCHANGE_PHOTO_LOOK_H
#define SPL_EXCHANGE_PHOTO_LOOK_H

#include <glib.h>

#include "exchange/photo.h"

/* Pixels, three octets each (red, green, blue), rows without gaps. */
struct spl_pixels {
    guint8 *rgb;
    int width, height;
};
void spl_pixels_clear(struct spl_pixels *pixels);

/* The longer side of a small picture, and its most octets: as base64 it is a text that the book
 * takes in one row. */
#define SPL_PHOTO_SMALL_SIDE 640
#define SPL_PHOTO_SMALL_MOST 48000

/* Fills `facts`. SPL_ERROR_INVALID: no photo, or damaged; SPL_ERROR_LIMIT: more pixels than we
 * decode. */
gboolean spl_photo_look(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                        GError **error);

/* The kind by the first octets. */
enum spl_photo_kind spl_photo_kind_of(const guint8 *bytes, gsize size);

/* What EXIF says: day, minute, place, how exact. A whole JPEG, or a block that begins "Exif\0\0".
 * `orientation`: 1 to 8 as TIFF 6.0 counts them; 1 where nothing is said. */
void spl_photo_exif(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                    int *orientation);

/* Each decodes to at least SPL_PHOTO_SMALL_SIDE where the picture has as much; the whole picture's
 * size goes into facts->width and height. */
gboolean spl_photo_jpeg(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                        struct spl_pixels *pixels, GError **error);
gboolean spl_photo_png(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                       struct spl_pixels *pixels, GError **error);
/* Without libheif: TRUE without pixels, and facts->unseen says why. Its turning is done, and what
 * EXIF it has is read. */
gboolean spl_photo_heif(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                        struct spl_pixels *pixels, GError **error);

/* A JPEG of these pixels, which says nothing else; free with free(). NULL: no memory. */
guint8 *spl_photo_encode(const struct spl_pixels *pixels, int quality, gsize *size);

#endif
