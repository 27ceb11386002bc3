/* SPDX-License-Identifier: MIT
 *
 * The index of a shapefile's records, walked in the .shp itself and compared with what the .shx
 * states; and the order in which to read them.
 */
#include <errno.h>
#include <stdio.h>

#include "base/file.h"
#include "exchange/shape_bytes.h"
#include "exchange/shape_source.h"
#include "simpling/error.h"

#define WINDOW_SIZE (1 << 17)

struct window { /* a piece of the file; reads are mostly forward */
    FILE *file;
    guint64 start;
    gsize have;
    guint8 *bytes;
};

static const guint8 *look(struct window *window, guint64 offset, gsize n)
{
    if (offset < window->start || offset + n > window->start + window->have) {
        window->start = offset;
        window->have = fseek(window->file, (long)offset, SEEK_SET) == 0
                           ? fread(window->bytes, 1, WINDOW_SIZE, window->file)
                           : 0;
    }
    return window->have >= n && offset + n <= window->start + window->have
               ? window->bytes + (offset - window->start)
               : NULL;
}

static gboolean add_entry(GArray *index, guint64 size, guint64 offset, guint64 length)
{
    struct spl_shape_entry entry = {.offset = offset, .cut = offset + 8 + length > size};

    if (offset + 8 > size)
        length = 0;
    else if (entry.cut)
        length = size - offset - 8;
    entry.length = (guint32)MIN(length, G_MAXUINT32 - 8);
    g_array_append_val(index, entry);
    return !entry.cut;
}

/* Goes from record head to record head. TRUE: the last record ends where the file does. */
static gboolean walk(const struct spl_shape_source *source, struct window *window, GArray *index)
{
    guint64 offset = SPL_SHAPE_HEAD_SIZE;

    while (offset < source->size) {
        const guint8 *head = look(window, offset, 8);
        guint64 length;

        if (head == NULL)
            return FALSE;
        length = (guint64)spl_big32(head + 4) * 2;
        /* Every record begins with its type, so four bytes are the least. */
        if (length < 4 || length > G_MAXINT32 || spl_big32(head) == 0)
            return FALSE;
        if (!add_entry(index, source->size, offset, length))
            return FALSE;
        offset += 8 + length;
    }
    return TRUE;
}

/* The .shx as a list; NULL when there is none or it is none. */
static GArray *read_shx(const struct spl_shape_source *source)
{
    g_autofree char *bytes = NULL;
    gsize size;
    const guint8 *p;
    GArray *index;

    /* A record has twelve bytes at least, so an index longer than the shapes is none. */
    if (source->shx == NULL ||
        (bytes = spl_file_read(source->shx, SPL_SHAPE_HEAD_SIZE + (gsize)source->size, &size,
                               NULL)) == NULL)
        return NULL;
    p = (const guint8 *)bytes;
    if (size < SPL_SHAPE_HEAD_SIZE || spl_big32(p) != SPL_SHAPE_MAGIC ||
        (size - SPL_SHAPE_HEAD_SIZE) % 8 != 0 || (guint64)spl_big32(p + 24) * 2 != size)
        return NULL;
    index = g_array_new(FALSE, TRUE, sizeof(struct spl_shape_entry));
    for (gsize i = SPL_SHAPE_HEAD_SIZE; i < size; i += 8) {
        guint64 offset = (guint64)spl_big32(p + i) * 2;

        if (offset < SPL_SHAPE_HEAD_SIZE) {
            g_array_unref(index);
            return NULL;
        }
        add_entry(index, source->size, offset, (guint64)spl_big32(p + i + 4) * 2);
    }
    return index;
}

static gboolean same(const GArray *a, const GArray *b)
{
    if (a->len != b->len)
        return FALSE;
    for (guint i = 0; i < a->len; i++)
        if (g_array_index(a, struct spl_shape_entry, i).offset !=
                g_array_index(b, struct spl_shape_entry, i).offset ||
            g_array_index(a, struct spl_shape_entry, i).length !=
                g_array_index(b, struct spl_shape_entry, i).length)
            return FALSE;
    return TRUE;
}

static gboolean has_cut(const GArray *index)
{
    for (guint i = 0; i < index->len; i++)
        if (g_array_index(index, struct spl_shape_entry, i).cut)
            return TRUE;
    return FALSE;
}

/* shapelib believes its .shx; give it one that says what we found. */
static void make_shx(struct spl_shape_source *source)
{
    guint n = source->index->len;
    guint8 zero[72] = {0};
    const guint8 version[4] = {0xe8, 0x03, 0, 0};
    const guint8 type[4] = {(guint8)source->type, 0, 0, 0};

    g_byte_array_set_size(source->shx_bytes, 0);
    spl_put_big32(source->shx_bytes, SPL_SHAPE_MAGIC);
    g_byte_array_append(source->shx_bytes, zero, 20);
    spl_put_big32(source->shx_bytes, (SPL_SHAPE_HEAD_SIZE + 8 * n) / 2);
    g_byte_array_append(source->shx_bytes, version, 4);
    g_byte_array_append(source->shx_bytes, type, 4);
    g_byte_array_append(source->shx_bytes, zero, 64);
    for (guint i = 0; i < n; i++) {
        const struct spl_shape_entry *entry =
            &g_array_index(source->index, struct spl_shape_entry, i);

        spl_put_big32(source->shx_bytes, (guint32)(entry->offset / 2));
        spl_put_big32(source->shx_bytes, entry->length / 2);
    }
}

gboolean spl_shape_source_index(struct spl_shape_source *source, int rows, GError **error)
{
    g_autoptr(GArray) walked = g_array_new(FALSE, TRUE, sizeof(struct spl_shape_entry));
    g_autoptr(GArray) stated = read_shx(source);
    g_autofree guint8 *bytes = g_malloc(WINDOW_SIZE);
    struct window window = {.file = fopen(source->shp, "rb"), .bytes = bytes};
    gboolean clean, use_stated;

    if (window.file == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: cannot be read (%s)", source->shp,
                    g_strerror(errno));
        return FALSE;
    }
    clean = walk(source, &window, walked);
    fclose(window.file);
    if (stated == NULL) {
        use_stated = FALSE;
        g_ptr_array_add(source->remarks,
                        g_strdup(source->shx == NULL
                                     ? "the .shx is missing; the index was made from the shapes"
                                     : "the .shx is damaged; the index was made from the shapes"));
    } else if (same(stated, walked))
        use_stated = FALSE;
    else if (clean)
        /* Both make sense: old versions of records may lie between those that count. The table
         * knows how many there should be. */
        use_stated = !has_cut(stated) && rows >= 0 && (guint)rows == stated->len &&
                     (guint)rows != walked->len;
    else
        use_stated = stated->len >= walked->len;
    if (stated != NULL && !same(stated, walked))
        g_ptr_array_add(
            source->remarks,
            g_strdup_printf("the .shx (%u records) and the shapes (%u) differ; the %s was "
                            "followed",
                            stated->len, walked->len, use_stated ? ".shx" : "shapes"));
    g_array_set_size(source->index, 0);
    if (use_stated)
        g_array_append_vals(source->index, stated->data, stated->len);
    else
        g_array_append_vals(source->index, walked->data, walked->len);
    source->broken =
        !clean && !use_stated && (stated == NULL || !same(stated, walked) || has_cut(stated));
    if (source->index->len > (G_MAXINT32 - SPL_SHAPE_HEAD_SIZE) / 8) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT, "%s: holds more records than can be indexed",
                    source->shp);
        return FALSE;
    }
    make_shx(source);
    return TRUE;
}

/* ---- the order ---- */

struct keyed {
    guint64 key;
    guint32 record;
};

/* The bits of n apart, a zero between each two. */
static guint64 spread(guint32 n)
{
    guint64 x = n;

    x = (x | x << 16) & G_GUINT64_CONSTANT(0x0000ffff0000ffff);
    x = (x | x << 8) & G_GUINT64_CONSTANT(0x00ff00ff00ff00ff);
    x = (x | x << 4) & G_GUINT64_CONSTANT(0x0f0f0f0f0f0f0f0f);
    x = (x | x << 2) & G_GUINT64_CONSTANT(0x3333333333333333);
    return (x | x << 1) & G_GUINT64_CONSTANT(0x5555555555555555);
}

static int compare_keys(gconstpointer a, gconstpointer b)
{
    const struct keyed *first = a, *second = b;

    if (first->key != second->key)
        return first->key < second->key ? -1 : 1;
    return first->record < second->record ? -1 : 1;
}

/* 0..65535 within the stated bounds; whatever makes no sense goes to an end. */
static guint32 cell(double value, double min, double max)
{
    double share = (value - min) / (max - min);

    return share > 0 ? share < 1 ? (guint32)(share * 65535) : 65535 : 0;
}

GArray *spl_shape_source_order(const struct spl_shape_source *source)
{
    g_autofree guint8 *bytes = g_malloc(WINDOW_SIZE);
    g_autoptr(GArray) keys =
        g_array_sized_new(FALSE, FALSE, sizeof(struct keyed), source->index->len);
    GArray *order = g_array_sized_new(FALSE, FALSE, sizeof(guint32), source->index->len);
    struct window window = {.file = fopen(source->shp, "rb"), .bytes = bytes};
    const double *b = source->bounds;
    gboolean point = source->type % 10 == 1;

    for (guint i = 0; i < source->index->len; i++) {
        const struct spl_shape_entry *entry =
            &g_array_index(source->index, struct spl_shape_entry, i);
        struct keyed keyed = {.record = i};
        gsize wanted = point ? 20 : 36; /* type, then a place or a box */
        const guint8 *content = window.file != NULL && entry->length >= wanted
                                    ? look(&window, entry->offset + 8, wanted)
                                    : NULL;

        if (content != NULL) {
            double x = spl_little_double(content + 4), y = spl_little_double(content + 12);

            if (!point) {
                x = (x + spl_little_double(content + 20)) / 2;
                y = (y + spl_little_double(content + 28)) / 2;
            }
            keyed.key = spread(cell(x, b[0], b[2])) | spread(cell(y, b[1], b[3])) << 1;
        }
        g_array_append_val(keys, keyed);
    }
    if (window.file != NULL)
        fclose(window.file);
    g_array_sort(keys, compare_keys);
    for (guint i = 0; i < keys->len; i++)
        g_array_append_val(order, g_array_index(keys, struct keyed, i).record);
    return order;
}
