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

#include "exchange/shape_bytes.h"
#include "simpling/error.h"

#define VERSION 1000

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
    guint8 head[SPL_SHAPE_HEAD_SIZE];
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
            "%s: is a zip archive; unpack it first (unzip FILE.zip -d FOLDER) and give the file in "
            "FOLDER that ends in .shp",
            source->shp);
        return FALSE;
    }
    if (got < sizeof head || spl_big32(head) != SPL_SHAPE_MAGIC) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is no shapefile (its head is %s); give a file that ends in .shp",
                    source->shp,
                    got == 0            ? "empty"
                    : got < sizeof head ? "cut short"
                                        : "another's");
        return FALSE;
    }
    source->type = (int)spl_little32(head + 32);
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
        source->bounds[i] = spl_little_double(head + 36 + 8 * i);
    if (spl_little32(head + 28) != VERSION)
        g_ptr_array_add(source->remarks, g_strdup_printf("the head states version %u, not 1000",
                                                         spl_little32(head + 28)));
    if ((guint64)spl_big32(head + 24) * 2 != source->size)
        g_ptr_array_add(source->remarks,
                        g_strdup_printf("the head states %" G_GUINT64_FORMAT
                                        " bytes, the file has %" G_GUINT64_FORMAT,
                                        (guint64)spl_big32(head + 24) * 2, source->size));
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
