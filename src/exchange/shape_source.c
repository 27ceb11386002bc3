/* SPDX-License-Identifier: MIT
 *
 * The files behind a shapefile, and shapelib's way to them.
 *
 * shapelib 1.5 gives its hooks no pointer of ours, so which source they are to open is kept in a
 * variable of the thread while it opens.
 */
#include "exchange/shape_source.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "simpling/error.h"

#define HEAD_SIZE 100
#define MAGIC 9994
#define VERSION 1000
#define WINDOW_SIZE (1 << 17)

/* ---- numbers in files ---- */

static guint32 big32(const guint8 *p)
{
    return (guint32)p[0] << 24 | (guint32)p[1] << 16 | (guint32)p[2] << 8 | p[3];
}
static guint32 little32(const guint8 *p)
{
    return (guint32)p[3] << 24 | (guint32)p[2] << 16 | (guint32)p[1] << 8 | p[0];
}
static double little_double(const guint8 *p)
{
    guint64 bits = (guint64)little32(p + 4) << 32 | little32(p);
    double number;

    memcpy(&number, &bits, sizeof number);
    return number;
}
static void put_big32(GByteArray *bytes, guint32 n)
{
    const guint8 p[4] = {(guint8)(n >> 24), (guint8)(n >> 16), (guint8)(n >> 8), (guint8)n};

    g_byte_array_append(bytes, p, 4);
}

/* ---- shapelib's hooks ---- */

struct stream {
    FILE *file; /* NULL: memory */
    const guint8 *memory;
    gsize size, at;
};

static _Thread_local const struct spl_shape_source *opening;
static _Thread_local char last_message[200];

static SAFile hook_open(const char *name, const char *access)
{
    const char *dot = strrchr(name, '.');
    struct stream *stream;
    FILE *file = NULL;

    if (opening == NULL || dot == NULL || strpbrk(access, "wa+") != NULL)
        return NULL;
    if (g_ascii_strcasecmp(dot, ".shx") == 0) {
        stream = g_new0(struct stream, 1);
        stream->memory = opening->shx_bytes->data;
        stream->size = opening->shx_bytes->len;
        return (SAFile)(void *)stream;
    }
    if (g_ascii_strcasecmp(dot, ".shp") == 0 && opening->shp != NULL)
        file = fopen(opening->shp, "rb");
    else if (g_ascii_strcasecmp(dot, ".dbf") == 0 && opening->dbf != NULL)
        file = fopen(opening->dbf, "rb");
    if (file == NULL)
        return NULL; /* a .cpg too: it is read by ourselves */
    stream = g_new0(struct stream, 1);
    stream->file = file;
    return (SAFile)(void *)stream;
}

static SAOffset hook_read(void *p, SAOffset size, SAOffset n, SAFile file)
{
    struct stream *stream = (struct stream *)(void *)file;
    gsize can;

    if (stream->file != NULL)
        return fread(p, size, n, stream->file);
    if (size == 0)
        return 0;
    can = MIN(n, (stream->size - MIN(stream->at, stream->size)) / size);
    memcpy(p, stream->memory + stream->at, can * size);
    stream->at += can * size;
    return can;
}

static SAOffset hook_write(void *p, SAOffset size, SAOffset n, SAFile file)
{
    (void)p;
    (void)size;
    (void)n;
    (void)file;
    return 0; /* read only */
}

static SAOffset hook_seek(SAFile file, SAOffset offset, int whence)
{
    struct stream *stream = (struct stream *)(void *)file;

    if (stream->file != NULL)
        return (SAOffset)fseek(stream->file, (long)offset, whence);
    stream->at = whence == SEEK_SET   ? offset
                 : whence == SEEK_CUR ? stream->at + offset
                                      : stream->size + offset;
    return 0;
}

static SAOffset hook_tell(SAFile file)
{
    struct stream *stream = (struct stream *)(void *)file;

    return stream->file != NULL ? (SAOffset)ftell(stream->file) : stream->at;
}

static int hook_flush(SAFile file)
{
    (void)file;
    return 0;
}

static int hook_close(SAFile file)
{
    struct stream *stream = (struct stream *)(void *)file;

    if (stream->file != NULL)
        fclose(stream->file);
    g_free(stream);
    return 0;
}

static int hook_remove(const char *name)
{
    (void)name;
    return -1;
}

static void hook_error(const char *message)
{
    g_strlcpy(last_message, message, sizeof last_message);
    g_strdelimit(last_message, "\r\n", ' ');
}

static double hook_atof(const char *text)
{
    return g_ascii_strtod(text, NULL);
}

static SAHooks hooks(const struct spl_shape_source *source)
{
    opening = source;
    last_message[0] = '\0';
    return (SAHooks){.FOpen = hook_open,
                     .FRead = hook_read,
                     .FWrite = hook_write,
                     .FSeek = hook_seek,
                     .FTell = hook_tell,
                     .FFlush = hook_flush,
                     .FClose = hook_close,
                     .Remove = hook_remove,
                     .Error = hook_error,
                     .Atof = hook_atof};
}

SHPHandle spl_shape_source_shapes(struct spl_shape_source *source, GError **error)
{
    SAHooks own = hooks(source);
    SHPHandle handle = SHPOpenLL(source->shp, "rb", &own);

    opening = NULL;
    if (handle == NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT, "%s: the shapes cannot be read (%s)",
                    source->shp, last_message[0] != '\0' ? last_message : "damaged");
    return handle;
}

DBFHandle spl_shape_source_table(struct spl_shape_source *source, GError **error)
{
    SAHooks own = hooks(source);
    DBFHandle handle = DBFOpenLL(source->dbf, "rb", &own);

    opening = NULL;
    if (handle == NULL)
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_CORRUPT,
            "%s: the table cannot be read (%s); ask for the file again, or import the shapes "
            "without it by taking it out of the folder",
            source->dbf, last_message[0] != '\0' ? last_message : "damaged");
    return handle;
}

/* ---- finding and opening ---- */

/* The file beside `shp` with this ending in whatever case. */
static char *find_beside(const char *folder, const char *stem, const char *ending)
{
    g_autofree char *wanted = g_strconcat(stem, ending, NULL);
    g_autofree char *exact = g_build_filename(folder, wanted, NULL);
    GDir *dir;
    const char *name;
    char *found = NULL;

    if (g_file_test(exact, G_FILE_TEST_IS_REGULAR))
        return g_steal_pointer(&exact);
    dir = g_dir_open(folder, 0, NULL);
    while (dir != NULL && found == NULL && (name = g_dir_read_name(dir)) != NULL)
        if (g_ascii_strcasecmp(name, wanted) == 0)
            found = g_build_filename(folder, name, NULL);
    if (dir != NULL)
        g_dir_close(dir);
    if (found != NULL && !g_file_test(found, G_FILE_TEST_IS_REGULAR))
        g_clear_pointer(&found, g_free);
    return found;
}

static gboolean read_head(struct spl_shape_source *source, GError **error)
{
    guint8 head[HEAD_SIZE];
    FILE *file = fopen(source->shp, "rb");
    gsize got;
    long size;

    if (file == NULL) {
        g_set_error(error, SPL_ERROR, errno == ENOENT ? SPL_ERROR_NOT_FOUND : SPL_ERROR_IO,
                    "%s: cannot be read (%s)", source->shp, g_strerror(errno));
        return FALSE;
    }
    got = fread(head, 1, sizeof head, file);
    fseek(file, 0, SEEK_END);
    size = ftell(file);
    fclose(file);
    source->size = size > 0 ? (guint64)size : 0;
    if (got >= 4 && memcmp(head, "PK\003\004", 4) == 0) {
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_INVALID,
            "%s: is a zip archive; unpack it first (unzip FILE -d FOLDER) and give the .shp in it",
            source->shp);
        return FALSE;
    }
    if (got < sizeof head || big32(head) != MAGIC) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is no shapefile (its head is %s); give a file that ends in .shp",
                    source->shp,
                    got == 0            ? "empty"
                    : got < sizeof head ? "cut short"
                                        : "another's");
        return FALSE;
    }
    source->type = (int)little32(head + 32);
    switch (source->type) {
    case SHPT_POINT:
    case SHPT_ARC:
    case SHPT_POLYGON:
    case SHPT_MULTIPOINT:
    case SHPT_POINTZ:
    case SHPT_ARCZ:
    case SHPT_POLYGONZ:
    case SHPT_MULTIPOINTZ:
    case SHPT_POINTM:
    case SHPT_ARCM:
    case SHPT_POLYGONM:
    case SHPT_MULTIPOINTM:
        break;
    default:
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_INVALID,
            "%s: holds %s, not points, lines or polygons; ask for the layer in one of these",
            source->shp,
            source->type == SHPT_MULTIPATCH ? "surfaces in space"
            : source->type == SHPT_NULL     ? "no shapes"
                                            : "shapes of an unknown kind");
        return FALSE;
    }
    for (int i = 0; i < 4; i++)
        source->bounds[i] = little_double(head + 36 + 8 * i);
    if (little32(head + 28) != VERSION)
        g_ptr_array_add(source->remarks, g_strdup_printf("the head states version %u, not 1000",
                                                         little32(head + 28)));
    if ((guint64)big32(head + 24) * 2 != source->size)
        g_ptr_array_add(source->remarks,
                        g_strdup_printf("the head states %" G_GUINT64_FORMAT
                                        " bytes, the file has %" G_GUINT64_FORMAT,
                                        (guint64)big32(head + 24) * 2, source->size));
    return TRUE;
}

struct spl_shape_source *spl_shape_source_open(const char *path, GError **error)
{
    g_autoptr(spl_shape_source) source = g_new0(struct spl_shape_source, 1);
    g_autofree char *folder = g_path_get_dirname(path);
    g_autofree char *stem = g_path_get_basename(path);
    char *dot = strrchr(stem, '.');
    gboolean has_ending =
        dot != NULL && dot != stem &&
        (g_ascii_strcasecmp(dot, ".shp") == 0 || g_ascii_strcasecmp(dot, ".shx") == 0 ||
         g_ascii_strcasecmp(dot, ".dbf") == 0 || g_ascii_strcasecmp(dot, ".prj") == 0);

    source->remarks = g_ptr_array_new_with_free_func(g_free);
    source->index = g_array_new(FALSE, TRUE, sizeof(struct spl_shape_entry));
    source->shx_bytes = g_byte_array_new();
    if (g_file_test(path, G_FILE_TEST_IS_DIR)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is a folder; give the .shp file in it", path);
        return NULL;
    }
    if (has_ending)
        *dot = '\0';
    source->shp = find_beside(folder, stem, ".shp");
    if (source->shp == NULL && !has_ending && g_file_test(path, G_FILE_TEST_EXISTS)) {
        source->shp = g_strdup(path); /* another ending: its head will tell */
        if (dot != NULL && dot != stem)
            *dot = '\0';
    }
    if (source->shp == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "%s: there is no such file; give the path of the .shp", path);
        return NULL;
    }
    source->shx = find_beside(folder, stem, ".shx");
    source->dbf = find_beside(folder, stem, ".dbf");
    source->prj = find_beside(folder, stem, ".prj");
    source->cpg = find_beside(folder, stem, ".cpg");
    if (!read_head(source, error))
        return NULL;
    return g_steal_pointer(&source);
}

void spl_shape_source_free(struct spl_shape_source *source)
{
    if (source == NULL)
        return;
    g_free(source->shp);
    g_free(source->shx);
    g_free(source->dbf);
    g_free(source->prj);
    g_free(source->cpg);
    g_array_unref(source->index);
    g_byte_array_unref(source->shx_bytes);
    g_ptr_array_unref(source->remarks);
    g_free(source);
}

/* ---- the index ---- */

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
    guint64 offset = HEAD_SIZE;

    while (offset < source->size) {
        const guint8 *head = look(window, offset, 8);
        guint64 length;

        if (head == NULL)
            return FALSE;
        length = (guint64)big32(head + 4) * 2;
        /* Every record begins with its type, so four bytes are the least. */
        if (length < 4 || length > G_MAXINT32 || big32(head) == 0)
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

    if (source->shx == NULL || !g_file_get_contents(source->shx, &bytes, &size, NULL))
        return NULL;
    p = (const guint8 *)bytes;
    if (size < HEAD_SIZE || big32(p) != MAGIC || (size - HEAD_SIZE) % 8 != 0 ||
        (guint64)big32(p + 24) * 2 != size)
        return NULL;
    index = g_array_new(FALSE, TRUE, sizeof(struct spl_shape_entry));
    for (gsize i = HEAD_SIZE; i < size; i += 8) {
        guint64 offset = (guint64)big32(p + i) * 2;

        if (offset < HEAD_SIZE) {
            g_array_unref(index);
            return NULL;
        }
        add_entry(index, source->size, offset, (guint64)big32(p + i + 4) * 2);
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
    put_big32(source->shx_bytes, MAGIC);
    g_byte_array_append(source->shx_bytes, zero, 20);
    put_big32(source->shx_bytes, (HEAD_SIZE + 8 * n) / 2);
    g_byte_array_append(source->shx_bytes, version, 4);
    g_byte_array_append(source->shx_bytes, type, 4);
    g_byte_array_append(source->shx_bytes, zero, 64);
    for (guint i = 0; i < n; i++) {
        const struct spl_shape_entry *entry =
            &g_array_index(source->index, struct spl_shape_entry, i);

        put_big32(source->shx_bytes, (guint32)(entry->offset / 2));
        put_big32(source->shx_bytes, entry->length / 2);
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
    if (source->index->len > (G_MAXINT32 - HEAD_SIZE) / 8) {
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
            double x = little_double(content + 4), y = little_double(content + 12);

            if (!point) {
                x = (x + little_double(content + 20)) / 2;
                y = (y + little_double(content + 28)) / 2;
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
