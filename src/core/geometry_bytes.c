/* SPDX-License-Identifier: MIT
 *
 * Shapes as exact bytes: version 1, kind, two zero bytes, the number of paths, for each path its
 * count with the top bit set for a hole, then all positions. Everything little-endian.
 */
#include "core/geometry.h"

#include <math.h>
#include <string.h>

#include "simpling/error.h"

#define BYTES_VERSION 1
#define HEAD_SIZE 8
#define HOLE_BIT 0x80000000u

G_STATIC_ASSERT(sizeof(struct spl_position) == 2 * sizeof(double));

static void copy_doubles(void *to, const void *from, gsize n)
{
#if G_BYTE_ORDER == G_LITTLE_ENDIAN
    memcpy(to, from, n * 8);
#else
    const guint8 *in = from;
    guint8 *out = to;

    for (gsize i = 0; i < n * 8; i++)
        out[i] = in[(i & ~(gsize)7) + (7 - (i & 7))];
#endif
}

GBytes *spl_geometry_to_bytes(const struct spl_geometry *geometry)
{
    guint n = spl_geometry_n_points(geometry), paths = geometry->paths->len;
    gsize size = HEAD_SIZE + 4 * (gsize)paths + 16 * (gsize)n;
    guint8 *data = g_malloc0(size);
    guint32 word = GUINT32_TO_LE(paths);

    data[0] = BYTES_VERSION;
    data[1] = (guint8)geometry->kind;
    memcpy(data + 4, &word, 4);
    for (guint i = 0; i < paths; i++) {
        const struct spl_path *path = spl_geometry_path(geometry, i);

        word = GUINT32_TO_LE(path->count | (path->hole ? HOLE_BIT : 0));
        memcpy(data + HEAD_SIZE + 4 * (gsize)i, &word, 4);
    }
    copy_doubles(data + HEAD_SIZE + 4 * (gsize)paths, geometry->points->data, 2 * (gsize)n);
    return g_bytes_new_take(data, size);
}

static gboolean damaged(GError **error)
{
    g_set_error_literal(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                        "a stored shape is damaged; check the book, and restore a backup");
    return FALSE;
}

gboolean spl_geometry_from_bytes(struct spl_geometry *geometry, const void *data, gsize size,
                                 GError **error)
{
    const guint8 *bytes = data;
    guint32 paths, word;
    guint64 n = 0;

    if (size < HEAD_SIZE || bytes[0] != BYTES_VERSION || bytes[1] < SPL_GEOMETRY_POINT ||
        bytes[1] > SPL_GEOMETRY_POLYGON)
        return damaged(error);
    memcpy(&paths, bytes + 4, 4);
    paths = GUINT32_FROM_LE(paths);
    if (paths > (size - HEAD_SIZE) / 4)
        return damaged(error);
    spl_geometry_reset(geometry, (enum spl_geometry_kind)bytes[1]);
    g_array_set_size(geometry->paths, paths);
    for (guint32 i = 0; i < paths; i++) {
        memcpy(&word, bytes + HEAD_SIZE + 4 * (gsize)i, 4);
        word = GUINT32_FROM_LE(word);
        g_array_index(geometry->paths, struct spl_path, i) =
            (struct spl_path){.first = (guint32)MIN(n, G_MAXUINT32),
                              .count = word & ~HOLE_BIT,
                              .hole = (word & HOLE_BIT) != 0};
        n += word & ~HOLE_BIT;
    }
    if (n > SPL_GEOMETRY_POINTS_MAX || size != HEAD_SIZE + 4 * (gsize)paths + 16 * n)
        return damaged(error);
    g_array_set_size(geometry->points, (guint)n);
    if (n > 0)
        copy_doubles(geometry->points->data, bytes + HEAD_SIZE + 4 * (gsize)paths, 2 * (gsize)n);
    if (!spl_geometry_check(geometry, "stored shape", NULL))
        return damaged(error);
    return TRUE;
}
