/* SPDX-License-Identifier: MIT
 *
 * HEIC by libheif, which is loaded where it is installed and not linked: it and its decoders are
 * many megabytes, and most photos are JPEG. See exchange/photo_look.h.
 *
 * What is used of it is declared here, as its header would have it (libheif 1.x, whose interface in
 * C stays), so that building needs no package more.
 */
#include <dlfcn.h>
#include <string.h>

#include "exchange/photo_look.h"
#include "simpling/error.h"

#define PIXELS_MOST 120000000L
#define EXIF_MOST (1024 * 1024)

struct heif_error {
    int code, subcode; /* code 0: none */
    const char *message;
};
enum { COLORSPACE_RGB = 1, CHROMA_INTERLEAVED_RGB = 10, CHANNEL_INTERLEAVED = 10 };

struct library {
    void *(*context_alloc)(void);
    void (*context_free)(void *context);
    struct heif_error (*read)(void *context, const void *bytes, size_t size, const void *options);
    struct heif_error (*primary)(void *context, void **handle);
    void (*handle_release)(const void *handle);
    int (*width)(const void *handle);
    int (*height)(const void *handle);
    struct heif_error (*decode)(const void *handle, void **image, int colorspace, int chroma,
                                const void *options);
    void (*image_release)(const void *image);
    int (*image_width)(const void *image, int channel);
    int (*image_height)(const void *image, int channel);
    const guint8 *(*plane)(const void *image, int channel, int *stride);
    int (*block_ids)(const void *handle, const char *type, guint32 *ids, int count);
    size_t (*block_size)(const void *handle, guint32 id);
    struct heif_error (*block)(const void *handle, guint32 id, void *data);
};

static gboolean load(struct library *library)
{
    static const struct {
        const char *name;
        gsize offset;
    } functions[] = {
        {"heif_context_alloc", G_STRUCT_OFFSET(struct library, context_alloc)},
        {"heif_context_free", G_STRUCT_OFFSET(struct library, context_free)},
        {"heif_context_read_from_memory_without_copy", G_STRUCT_OFFSET(struct library, read)},
        {"heif_context_get_primary_image_handle", G_STRUCT_OFFSET(struct library, primary)},
        {"heif_image_handle_release", G_STRUCT_OFFSET(struct library, handle_release)},
        {"heif_image_handle_get_width", G_STRUCT_OFFSET(struct library, width)},
        {"heif_image_handle_get_height", G_STRUCT_OFFSET(struct library, height)},
        {"heif_decode_image", G_STRUCT_OFFSET(struct library, decode)},
        {"heif_image_release", G_STRUCT_OFFSET(struct library, image_release)},
        {"heif_image_get_width", G_STRUCT_OFFSET(struct library, image_width)},
        {"heif_image_get_height", G_STRUCT_OFFSET(struct library, image_height)},
        {"heif_image_get_plane_readonly", G_STRUCT_OFFSET(struct library, plane)},
        {"heif_image_handle_get_list_of_metadata_block_IDs",
         G_STRUCT_OFFSET(struct library, block_ids)},
        {"heif_image_handle_get_metadata_size", G_STRUCT_OFFSET(struct library, block_size)},
        {"heif_image_handle_get_metadata", G_STRUCT_OFFSET(struct library, block)},
    };
    void *opened = dlopen("libheif.so.1", RTLD_NOW | RTLD_LOCAL);
    gboolean whole = opened != NULL;

    for (gsize i = 0; whole && i < G_N_ELEMENTS(functions); i++) {
        void *found = dlsym(opened, functions[i].name);

        memcpy((char *)library + functions[i].offset, &found, sizeof found);
        whole = found != NULL;
    }
    return whole;
}

/* Four octets tell where behind them the TIFF header lies; libexif wants its own mark before it. */
static void read_exif(const struct library *library, const void *handle,
                      struct spl_photo_facts *facts)
{
    static const char mark[6] = "Exif\0";
    g_autofree guint8 *block = NULL, *marked = NULL;
    guint32 id;
    gsize size, at;
    int orientation; /* libheif has turned it already */

    if (library->block_ids(handle, "Exif", &id, 1) < 1)
        return;
    size = library->block_size(handle, id);
    if (size < 8 || size > EXIF_MOST)
        return;
    block = g_malloc(size);
    if (library->block(handle, id, block).code != 0)
        return;
    at = (gsize)block[0] << 24 | (gsize)block[1] << 16 | (gsize)block[2] << 8 | block[3];
    if (at > size - 8)
        return;
    at += 4;
    marked = g_malloc(size - at + sizeof mark);
    memcpy(marked, mark, sizeof mark);
    memcpy(marked + sizeof mark, block + at, size - at);
    spl_photo_exif(marked, size - at + sizeof mark, facts, &orientation);
}

static gboolean take_pixels(const struct library *library, const void *image,
                            struct spl_pixels *pixels)
{
    int stride = 0;
    const guint8 *plane = library->plane(image, CHANNEL_INTERLEAVED, &stride);
    const int width = library->image_width(image, CHANNEL_INTERLEAVED);
    const int height = library->image_height(image, CHANNEL_INTERLEAVED);

    if (plane == NULL || width < 1 || height < 1 || (gint64)width * height > PIXELS_MOST ||
        stride < width * 3)
        return FALSE;
    *pixels = (struct spl_pixels){
        .rgb = g_malloc((gsize)width * (gsize)height * 3), .width = width, .height = height};
    for (int y = 0; y < height; y++)
        memcpy(pixels->rgb + (gsize)y * (gsize)width * 3, plane + (gsize)y * (gsize)stride,
               (gsize)width * 3);
    return TRUE;
}

/* Its sentences may go on over a line. Free with g_free. */
static char *words_of(const struct heif_error *failed, const char *otherwise)
{
    return failed->code != 0 && failed->message != NULL
               ? g_strndup(failed->message, strcspn(failed->message, "\r\n"))
               : g_strdup(otherwise);
}

static gboolean look(const struct library *library, const void *handle,
                     struct spl_photo_facts *facts, struct spl_pixels *pixels, GError **error)
{
    void *image = NULL;
    struct heif_error failed;
    gboolean ok;

    facts->width = library->width(handle);
    facts->height = library->height(handle);
    if ((gint64)facts->width * facts->height > PIXELS_MOST) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "has %d x %d pixels, more than are decoded; take a smaller copy of it",
                    facts->width, facts->height);
        return FALSE;
    }
    read_exif(library, handle, facts);
    failed = library->decode(handle, &image, COLORSPACE_RGB, CHROMA_INTERLEAVED_RGB, NULL);
    ok = failed.code == 0 && image != NULL && take_pixels(library, image, pixels);
    if (!ok) {
        g_autofree char *words = words_of(&failed, "no pixels");

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "is damaged or of a kind that cannot be decoded here (%s); copy it anew, or as "
                    "a JPEG",
                    words);
    }
    if (image != NULL)
        library->image_release(image);
    return ok;
}

gboolean spl_photo_heif(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                        struct spl_pixels *pixels, GError **error)
{
    struct library library;
    void *context, *handle = NULL;
    struct heif_error failed;
    gboolean ok = FALSE;

    if (!load(&library)) {
        facts->unseen = g_strdup("libheif is not installed, so a HEIC cannot be looked into");
        return TRUE;
    }
    context = library.context_alloc();
    failed = library.read(context, bytes, size, NULL);
    if (failed.code == 0)
        failed = library.primary(context, &handle);
    if (failed.code == 0) {
        ok = look(&library, handle, facts, pixels, error);
    } else {
        g_autofree char *words = words_of(&failed, "no picture");

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "is damaged (%s); copy it anew from where it was taken", words);
    }
    if (handle != NULL)
        library.handle_release(handle);
    library.context_free(context);
    return ok;
}
