/* SPDX-License-Identifier: MIT
 *
 * Numbers in the files of a shapefile, some most significant byte first, some last (ESRI Shapefile
 * Technical Description, 1998).
 */
#ifndef SPL_EXCHANGE_SHAPE_BYTES_H
#define SPL_EXCHANGE_SHAPE_BYTES_H

#include <glib.h>
#include <string.h>

#define SPL_SHAPE_HEAD_SIZE 100 /* of a .shp and a .shx */
#define SPL_SHAPE_MAGIC 9994

static inline guint32 spl_big32(const guint8 *p)
{
    return (guint32)p[0] << 24 | (guint32)p[1] << 16 | (guint32)p[2] << 8 | p[3];
}
static inline guint32 spl_little32(const guint8 *p)
{
    return (guint32)p[3] << 24 | (guint32)p[2] << 16 | (guint32)p[1] << 8 | p[0];
}
static inline double spl_little_double(const guint8 *p)
{
    guint64 bits = (guint64)spl_little32(p + 4) << 32 | spl_little32(p);
    double number;

    memcpy(&number, &bits, sizeof number);
    return number;
}
static inline void spl_put_big32(GByteArray *bytes, guint32 n)
{
    const guint8 p[4] = {(guint8)(n >> 24), (guint8)(n >> 16), (guint8)(n >> 8), (guint8)n};

    g_byte_array_append(bytes, p, 4);
}

#endif
