/* SPDX-License-Identifier: MIT
 *
 * From a photo's octets to what it says and a small picture. See exchange/photo_look.h.
 */
#include "exchange/photo_look.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "simpling/error.h"

void spl_pixels_clear(struct spl_pixels *pixels)
{
    g_free(pixels->rgb);
    *pixels = (struct spl_pixels){0};
}

/* ISO/IEC 14496-12: a file that begins with its brands, major and compatible; those of pictures by
 * HEVC and AV1 (ISO/IEC 23008-12, AVIF). */
static gboolean is_heif(const guint8 *bytes, gsize size)
{
    static const char *const brands[] = {"heic", "heix", "heim", "heis", "mif1", "avif"};
    gsize end;

    if (size < 16 || memcmp(bytes + 4, "ftyp", 4) != 0)
        return FALSE;
    end =
        MIN(size, (gsize)bytes[0] << 24 | (gsize)bytes[1] << 16 | (gsize)bytes[2] << 8 | bytes[3]);
    for (gsize at = 8; at + 4 <= MIN(end, 128); at += 4) {
        for (gsize i = 0; at != 12 && i < G_N_ELEMENTS(brands); i++) {
            if (memcmp(bytes + at, brands[i], 4) == 0)
                return TRUE;
        }
    }
    return FALSE;
}

enum spl_photo_kind spl_photo_kind_of(const guint8 *bytes, gsize size)
{
    if (size >= 3 && memcmp(bytes, "\xff\xd8\xff", 3) == 0)
        return SPL_PHOTO_JPEG;
    if (size >= 8 && memcmp(bytes, "\x89PNG\r\n\x1a\n", 8) == 0)
        return SPL_PHOTO_PNG;
    return is_heif(bytes, size) ? SPL_PHOTO_HEIC : SPL_PHOTO_NONE;
}

/* The mean of the pixels that each new one covers. */
static void shrink(struct spl_pixels *pixels, int side)
{
    const int longer = MAX(pixels->width, pixels->height);
    struct spl_pixels small;

    if (longer <= side)
        return;
    small.width = MAX(1, (int)((gint64)pixels->width * side / longer));
    small.height = MAX(1, (int)((gint64)pixels->height * side / longer));
    small.rgb = g_malloc((gsize)small.width * (gsize)small.height * 3);
    for (int y = 0; y < small.height; y++) {
        const int top = (int)((gint64)y * pixels->height / small.height);
        const int bottom = (int)((gint64)(y + 1) * pixels->height / small.height);

        for (int x = 0; x < small.width; x++) {
            const int left = (int)((gint64)x * pixels->width / small.width);
            const int right = (int)((gint64)(x + 1) * pixels->width / small.width);
            const guint64 n = (guint64)(bottom - top) * (guint64)(right - left);
            guint64 sum[3] = {n / 2, n / 2, n / 2};

            for (int row = top; row < bottom; row++) {
                const guint8 *at =
                    pixels->rgb + ((gsize)row * (gsize)pixels->width + (gsize)left) * 3;

                for (int column = left; column < right; column++, at += 3) {
                    for (int c = 0; c < 3; c++)
                        sum[c] += at[c];
                }
            }
            for (int c = 0; c < 3; c++)
                small.rgb[((gsize)y * (gsize)small.width + (gsize)x) * 3 + (gsize)c] =
                    (guint8)(sum[c] / n);
        }
    }
    spl_pixels_clear(pixels);
    *pixels = small;
}

/* Turned and mirrored so that it is looked at upright: `orientation` tells where the row and column
 * of the first pixel lie (TIFF 6.0, tag 274). */
static void turn(struct spl_pixels *pixels, int orientation)
{
    const gboolean lies = orientation >= 5;
    struct spl_pixels upright = {.width = lies ? pixels->height : pixels->width,
                                 .height = lies ? pixels->width : pixels->height};

    if (orientation <= 1 || orientation > 8)
        return;
    upright.rgb = g_malloc((gsize)upright.width * (gsize)upright.height * 3);
    for (int y = 0; y < upright.height; y++) {
        for (int x = 0; x < upright.width; x++) {
            int column = lies ? y : x, row = lies ? x : y;

            if (orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8)
                column = pixels->width - 1 - column;
            if (orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7)
                row = pixels->height - 1 - row;
            memcpy(upright.rgb + ((gsize)y * (gsize)upright.width + (gsize)x) * 3,
                   pixels->rgb + ((gsize)row * (gsize)pixels->width + (gsize)column) * 3, 3);
        }
    }
    spl_pixels_clear(pixels);
    *pixels = upright;
}

/* As good as fits: first coarser, then smaller. */
static gboolean make_small(struct spl_pixels *pixels, struct spl_photo_facts *facts)
{
    static const int sides[] = {SPL_PHOTO_SMALL_SIDE, 480, 320, 160};
    static const int qualities[] = {75, 60, 45};

    for (gsize i = 0; i < G_N_ELEMENTS(sides); i++) {
        shrink(pixels, sides[i]);
        for (gsize k = 0; k < G_N_ELEMENTS(qualities); k++) {
            gsize size;
            guint8 *jpeg = spl_photo_encode(pixels, qualities[k], &size);

            if (jpeg != NULL && size <= SPL_PHOTO_SMALL_MOST)
                facts->small = g_base64_encode(jpeg, size);
            free(jpeg);
            if (facts->small != NULL)
                return TRUE;
        }
    }
    return FALSE;
}

static gboolean decode(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                       struct spl_pixels *pixels, int *orientation, GError **error)
{
    *orientation = 1;
    switch (facts->kind) {
    case SPL_PHOTO_JPEG:
        spl_photo_exif(bytes, size, facts, orientation);
        return spl_photo_jpeg(bytes, size, facts, pixels, error);
    case SPL_PHOTO_PNG:
        return spl_photo_png(bytes, size, facts, pixels, error);
    case SPL_PHOTO_HEIC:
        return spl_photo_heif(bytes, size, facts, pixels, error);
    default:
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "is no photo; JPEG, PNG and HEIC are taken");
        return FALSE;
    }
}

gboolean spl_photo_look(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                        GError **error)
{
    struct spl_photo_facts seen = {0};
    struct spl_pixels pixels = {0};
    int orientation;

    spl_photo_facts_clear(&seen);
    seen.kind = spl_photo_kind_of(bytes, size);
    if (!decode(bytes, size, &seen, &pixels, &orientation, error)) {
        spl_photo_facts_clear(&seen);
        return FALSE;
    }
    if (orientation >= 5) {
        const int width = seen.width;

        seen.width = seen.height;
        seen.height = width;
    }
    if (pixels.rgb != NULL) {
        shrink(&pixels, SPL_PHOTO_SMALL_SIDE);
        turn(&pixels, orientation);
        if (!make_small(&pixels, &seen))
            seen.unseen = g_strdup("no small picture of it can be made");
        spl_pixels_clear(&pixels);
    }
    *facts = seen;
    return TRUE;
}
