/* SPDX-License-Identifier: MIT
 *
 * JPEG by libjpeg (ITU-T T.81). See exchange/photo_look.h.
 *
 * A picture is decoded straight to an eighth, or as many eighths as give the small one its size:
 * twelve million pixels are never held. Bounds: pixels; scans, as a few octets can ask for
 * thousands of them over the whole picture (each is walked through).
 */
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>

#include <jerror.h>

#include "exchange/photo_look.h"
#include "simpling/error.h"

#define PIXELS_MOST 300000000L /* the largest telephones' have 200 million */
#define WHOLE_MOST 60000000L   /* of a progressive one, whose coefficients are all held */
#define SCANS_MOST 100

struct reading {
    struct jpeg_error_mgr errors; /* first: libjpeg hands back its address */
    jmp_buf out;
    const char *wrong; /* NULL: what libjpeg says */
};

static void give_up(j_common_ptr common)
{
    struct reading *reading = (struct reading *)common->err;

    longjmp(reading->out, 1);
}

/* What was cut short or damaged is no evidence; what cameras do beside the standard is. */
static void heed(j_common_ptr common, int level)
{
    struct reading *reading = (struct reading *)common->err;

    if (level >= 0)
        return;
    switch (common->err->msg_code) {
    case JWRN_JPEG_EOF:
        reading->wrong = "is cut short";
        longjmp(reading->out, 1);
    case JWRN_HIT_MARKER:
    case JWRN_HUFF_BAD_CODE:
        reading->wrong = "is damaged";
        longjmp(reading->out, 1);
    default:
        break;
    }
}

static void say_nothing(j_common_ptr common)
{
    (void)common;
}

static void count_scans(j_common_ptr common)
{
    struct reading *reading = (struct reading *)common->err;

    if (((j_decompress_ptr)common)->input_scan_number <= SCANS_MOST)
        return;
    reading->wrong = "is built of more scans than any camera writes";
    longjmp(reading->out, 1);
}

/* As many eighths as leave the longer side no smaller than the small picture's. */
static unsigned eighths(unsigned longer)
{
    unsigned n = 1;

    while (n < 8 && (guint64)longer * n / 8 < SPL_PHOTO_SMALL_SIDE)
        n++;
    return n;
}

static gboolean read_head(struct jpeg_decompress_struct *jpeg, struct spl_photo_facts *facts,
                          GError **error)
{
    const gint64 pixels = (gint64)jpeg->image_width * jpeg->image_height;

    facts->width = (int)jpeg->image_width;
    facts->height = (int)jpeg->image_height;
    if (pixels > PIXELS_MOST || (pixels > WHOLE_MOST && jpeg_has_multiple_scans(jpeg))) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "has %d x %d pixels, more than are decoded; take a smaller copy of it",
                    facts->width, facts->height);
        return FALSE;
    }
    if (jpeg->jpeg_color_space == JCS_CMYK || jpeg->jpeg_color_space == JCS_YCCK) {
        facts->unseen = g_strdup("it is in the colours of a printing press");
        return TRUE;
    }
    jpeg->out_color_space = JCS_RGB;
    jpeg->dct_method = JDCT_ISLOW;
    jpeg->scale_num = eighths(MAX(jpeg->image_width, jpeg->image_height));
    jpeg->scale_denom = 8;
    return TRUE;
}

static void read_rows(struct jpeg_decompress_struct *jpeg, struct spl_pixels *pixels)
{
    jpeg_start_decompress(jpeg);
    pixels->width = (int)jpeg->output_width;
    pixels->height = (int)jpeg->output_height;
    pixels->rgb = g_malloc0((gsize)pixels->width * (gsize)pixels->height * 3);
    while (jpeg->output_scanline < jpeg->output_height) {
        JSAMPROW row = pixels->rgb + (gsize)jpeg->output_scanline * (gsize)pixels->width * 3;

        jpeg_read_scanlines(jpeg, &row, 1);
    }
    jpeg_finish_decompress(jpeg);
}

gboolean spl_photo_jpeg(const guint8 *bytes, gsize size, struct spl_photo_facts *facts,
                        struct spl_pixels *pixels, GError **error)
{
    struct jpeg_decompress_struct jpeg;
    struct jpeg_progress_mgr progress = {.progress_monitor = count_scans};
    struct reading reading = {.wrong = NULL};
    gboolean ok = FALSE;

    jpeg.err = jpeg_std_error(&reading.errors);
    reading.errors.error_exit = give_up;
    reading.errors.emit_message = heed;
    reading.errors.output_message = say_nothing;
    if (setjmp(reading.out) != 0) {
        char words[JMSG_LENGTH_MAX];

        reading.errors.format_message((j_common_ptr)&jpeg, words);
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s%s%s; copy it anew from where it was taken",
                    reading.wrong != NULL ? reading.wrong : "is damaged (",
                    reading.wrong != NULL ? "" : words, reading.wrong != NULL ? "" : ")");
        jpeg_destroy_decompress(&jpeg);
        spl_pixels_clear(pixels);
        return FALSE;
    }
    jpeg_create_decompress(&jpeg);
    jpeg.progress = &progress;
    jpeg_mem_src(&jpeg, bytes, size);
    jpeg_read_header(&jpeg, TRUE);
    ok = read_head(&jpeg, facts, error);
    if (ok && facts->unseen == NULL)
        read_rows(&jpeg, pixels);
    jpeg_destroy_decompress(&jpeg);
    return ok;
}

guint8 *spl_photo_encode(const struct spl_pixels *pixels, int quality, gsize *size)
{
    struct jpeg_compress_struct jpeg;
    struct reading reading = {.wrong = NULL};
    unsigned long length = 0;
    unsigned char *volatile kept = NULL;
    unsigned char *octets = NULL;

    jpeg.err = jpeg_std_error(&reading.errors);
    reading.errors.error_exit = give_up;
    if (setjmp(reading.out) != 0) {
        jpeg_destroy_compress(&jpeg);
        free(kept);
        return NULL;
    }
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, &octets, &length);
    jpeg.image_width = (JDIMENSION)pixels->width;
    jpeg.image_height = (JDIMENSION)pixels->height;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, quality, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    kept = octets;
    while (jpeg.next_scanline < jpeg.image_height) {
        JSAMPROW row = pixels->rgb + (gsize)jpeg.next_scanline * (gsize)pixels->width * 3;

        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    *size = length;
    return octets;
}
