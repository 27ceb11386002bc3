/* SPDX-License-Identifier: MIT
 *
 * Photos for tests, made and not kept: a JPEG of given pixels, EXIF by hand after CIPA DC-008 and
 * TIFF 6.0. A PNG: photo_png.h.
 */
#ifndef SPL_TESTS_PHOTO_MAKE_H
#define SPL_TESTS_PHOTO_MAKE_H

#include <stdlib.h>
#include <string.h>

#include "exchange/photo_look.h"
#include "photo_png.h"

/* Red above on the left, green above on the right, blue below on the left, white below. */
static inline GByteArray *photo_jpeg(int width, int height)
{
    struct spl_pixels pixels = {g_malloc0((gsize)width * (gsize)height * 3), width, height};
    GByteArray *bytes = g_byte_array_new();
    gsize size;
    guint8 *jpeg;

    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            guint8 *at = pixels.rgb + ((gsize)y * (gsize)width + (gsize)x) * 3;
            gboolean right = x >= width / 2, below = y >= height / 2;

            at[0] = right == below ? 255 : 0;
            at[1] = right ? 255 : 0;
            at[2] = below ? 255 : 0;
        }
    }
    jpeg = spl_photo_encode(&pixels, 90, &size);
    g_byte_array_append(bytes, jpeg, (guint)size);
    free(jpeg);
    spl_pixels_clear(&pixels);
    return bytes;
}

static inline void photo_u16(GByteArray *bytes, guint value)
{
    const guint8 two[] = {(guint8)(value >> 8), (guint8)value};

    g_byte_array_append(bytes, two, 2);
}

static inline void photo_u32(GByteArray *bytes, guint value)
{
    photo_u16(bytes, value >> 16);
    photo_u16(bytes, value & 0xffff);
}

static inline void photo_entry(GByteArray *bytes, guint tag, guint type, guint n, guint value)
{
    photo_u16(bytes, tag);
    photo_u16(bytes, type);
    photo_u32(bytes, n);
    photo_u32(bytes, value);
}

/* What a camera would say. */
struct photo_said {
    int orientation;
    const char *when; /* "2027:07:14 19:42:10"; 20 octets with their NUL */
    guint lat[6];     /* three rationals */
    guint lon[6];
    char north, east; /* 'N' 'S', 'E' 'W'; 0: no position */
};

/* Big-endian: the directory at 8, EXIF's at 50, that of the position at 68, values behind. */
static inline GByteArray *photo_tiff(const struct photo_said *said)
{
    GByteArray *tiff = g_byte_array_new();

    g_byte_array_append(tiff, (const guint8 *)"MM\0*", 4);
    photo_u32(tiff, 8);
    photo_u16(tiff, said->north != 0 ? 3 : 2);
    photo_entry(tiff, 0x0112, 3, 1, (guint)said->orientation << 16);
    photo_entry(tiff, 0x8769, 4, 1, 50);
    photo_entry(tiff, said->north != 0 ? 0x8825 : 0, said->north != 0 ? 4 : 0, 1, 68);
    photo_u32(tiff, 0);
    g_byte_array_set_size(tiff, 50);
    photo_u16(tiff, 1);
    photo_entry(tiff, 0x9003, 2, 20, 122);
    photo_u32(tiff, 0);
    photo_u16(tiff, 4);
    photo_entry(tiff, 1, 2, 2, (guint)said->north << 24);
    photo_entry(tiff, 2, 5, 3, 142);
    photo_entry(tiff, 3, 2, 2, (guint)said->east << 24);
    photo_entry(tiff, 4, 5, 3, 166);
    photo_u32(tiff, 0);
    g_byte_array_append(tiff, (const guint8 *)said->when, 20);
    for (int i = 0; i < 6; i++)
        photo_u32(tiff, said->lat[i]);
    for (int i = 0; i < 6; i++)
        photo_u32(tiff, said->lon[i]);
    return tiff;
}

/* The picture with this said in it, as APP1 behind its first marker. Frees `jpeg`. */
static inline GByteArray *photo_with(GByteArray *jpeg, const struct photo_said *said)
{
    GByteArray *whole = g_byte_array_new(), *tiff = photo_tiff(said);

    g_byte_array_append(whole, jpeg->data, 2);
    g_byte_array_append(whole, (const guint8 *)"\xff\xe1", 2);
    photo_u16(whole, tiff->len + 8);
    g_byte_array_append(whole, (const guint8 *)"Exif\0\0", 6);
    g_byte_array_append(whole, tiff->data, tiff->len);
    g_byte_array_append(whole, jpeg->data + 2, jpeg->len - 2);
    g_byte_array_unref(tiff);
    g_byte_array_unref(jpeg);
    return whole;
}

/* 14 July 2027, 19:42, at 54 deg 36' 4.3" N, 2 deg 35' 13.5" W: 54.601194, -2.587083. */
#define PHOTO_SAID                                                                                 \
    {                                                                                              \
        .orientation = 1, .when = "2027:07:14 19:42:10", .lat = {54, 1, 36, 1, 43, 10},            \
        .lon = {2, 1, 35, 1, 135, 10}, .north = 'N', .east = 'W'                                   \
    }

#endif
