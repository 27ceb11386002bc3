/* SPDX-License-Identifier: MIT
 *
 * From recorded pages to bytes: PDF with fixed dates, SVG with titles, PNG. The same pages give the
 * same bytes in every process.
 */
#include <cairo-pdf.h>
#include <math.h>
#include <string.h>

#include "picture/page.h"
#include "picture/page_private.h"

#define OURS "simpling" /* how a picture of ours names its maker */

static cairo_status_t take_bytes(void *closure, const unsigned char *data, unsigned int length)
{
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
}

static void draw_feet(struct spl_page *page)
{
    if (page->foot == NULL)
        return;
    struct spl_type left = {.face = SPL_FACE_SANS, .size = 7.0, .tone = SPL_TONE_SOFT};
    struct spl_type right = left;
    right.align = SPL_ALIGN_RIGHT;
    double y = page->height - SPL_PAGE_MARGIN - SPL_MM(3.0);
    double width = page->width - 2.0 * SPL_PAGE_MARGIN;
    guint count = page->count;
    for (guint i = 0; i < count; i++) {
        spl_page_draw_on(page, i);
        guint first = page->inks->len;
        g_autofree char *number = g_strdup_printf("page %u of %u", i + 1, count);
        spl_page_text(page, SPL_PAGE_MARGIN, y, width - SPL_MM(30.0), &left, page->foot);
        spl_page_text(page, SPL_PAGE_MARGIN + width - SPL_MM(28.0), y, SPL_MM(28.0), &right,
                      number);
        for (guint k = first; k < page->inks->len; k++)
            g_array_index(page->inks, struct spl_ink, k).page = (int)i;
    }
}

static double stacked_height(const struct spl_page *page)
{
    return spl_page_top(page, page->count - 1) + page->height;
}

static cairo_status_t make_pdf(struct spl_page *page, GByteArray *bytes)
{
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(take_bytes, bytes, page->width, page->height);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, page->title);
    if (page->about != NULL)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, page->about);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, OURS);
    /* The moment of drawing would make every file differ; what day the picture is of stands on it.
     */
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   "2000-01-01T00:00:00+00:00");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_MOD_DATE,
                                   "2000-01-01T00:00:00+00:00");
    cairo_t *cr = cairo_create(surface);
    for (guint i = 0; i < page->pages->len; i++) {
        cairo_set_source_surface(cr, g_ptr_array_index(page->pages, i), 0.0, 0.0);
        cairo_paint(cr);
        cairo_show_page(cr);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return status;
}

/* ---- whose picture it is ------------------------------------------------------------------- */

/* CRC of ISO 3309 as PNG (RFC 2083, appendix 15) has it. */
static guint32 crc_of(const guint8 *data, gsize n)
{
    guint32 crc = 0xffffffffU;
    for (gsize i = 0; i < n; i++) {
        crc ^= data[i];
        for (int bit = 0; bit < 8; bit++)
            crc = (crc & 1U) != 0 ? 0xedb88320U ^ (crc >> 1) : crc >> 1;
    }
    return crc ^ 0xffffffffU;
}

#define PNG_HEAD 33 /* signature and IHDR */

/* A text chunk "Software" after the first, which cairo does not write. */
static void mark_png(GByteArray *bytes)
{
    static const char text[] = "tEXtSoftware\0" OURS;
    gsize n = sizeof text - 1;
    guint32 length = GUINT32_TO_BE((guint32)(n - 4));
    guint32 crc = GUINT32_TO_BE(crc_of((const guint8 *)text, n));
    g_autoptr(GByteArray) rest = g_byte_array_new();
    if (bytes->len < PNG_HEAD)
        return;
    g_byte_array_append(rest, bytes->data + PNG_HEAD, bytes->len - PNG_HEAD);
    g_byte_array_set_size(bytes, PNG_HEAD);
    g_byte_array_append(bytes, (const guint8 *)&length, 4);
    g_byte_array_append(bytes, (const guint8 *)text, (guint)n);
    g_byte_array_append(bytes, (const guint8 *)&crc, 4);
    g_byte_array_append(bytes, rest->data, rest->len);
}

static gboolean holds(const char *data, gsize size, const char *wanted)
{
    return g_strstr_len(data, (gssize)size, wanted) != NULL;
}

gboolean spl_page_is_ours(const void *data, gsize size)
{
    const char *bytes = data;
    static const char png[] = "tEXtSoftware\0" OURS;
    if (size > PNG_HEAD + 4 + sizeof png && memcmp(bytes, "\211PNG", 4) == 0)
        return memcmp(bytes + PNG_HEAD + 4, png, sizeof png - 1) == 0;
    if (size > 8 && memcmp(bytes, "%PDF-", 5) == 0) {
        /* cairo writes the document's facts near the end; g_strstr_len stops at a NUL. */
        for (gsize i = 0; i + 19 < size; i++)
            if (bytes[i] == '/' && memcmp(bytes + i, "/Creator (" OURS ")", 19) == 0)
                return TRUE;
        return FALSE;
    }
    return holds(bytes, MIN(size, 400), "<!-- drawn by " OURS " -->");
}

/* The pages beneath each other on a table top's grey, at whole pixels. */
static cairo_status_t make_png(struct spl_page *page, GByteArray *bytes)
{
    if (page->count == 1)
        return cairo_surface_write_to_png_stream(g_ptr_array_index(page->pages, 0), take_bytes,
                                                 bytes);
    double scale = spl_page_scale(page);
    int width = (int)ceil(page->width * scale), height = (int)ceil(stacked_height(page) * scale);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, 0.85, 0.85, 0.85);
    cairo_paint(cr);
    for (guint i = 0; i < page->pages->len; i++) {
        cairo_set_source_surface(cr, g_ptr_array_index(page->pages, i), 0.0,
                                 round(spl_page_top(page, i) * scale));
        cairo_paint(cr);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_write_to_png_stream(surface, take_bytes, bytes);
    cairo_surface_destroy(surface);
    return status;
}

/* cairo counts its surfaces through the life of the process; here they are counted from 1. */
static void renumber_surfaces(const char *svg, gsize size, GString *out)
{
    static const char word[] = "surface";
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    const char *at = svg, *end = svg + size;
    while (at < end) {
        const char *hit = g_strstr_len(at, end - at, word);
        if (hit == NULL)
            break;
        const char *digits = hit + sizeof word - 1, *stop = digits;
        while (stop < end && g_ascii_isdigit(*stop))
            stop++;
        g_string_append_len(out, at, digits - at);
        if (stop > digits) {
            g_autofree char *old = g_strndup(digits, (gsize)(stop - digits));
            gpointer number = g_hash_table_lookup(seen, old);
            if (number == NULL) {
                number = GUINT_TO_POINTER(g_hash_table_size(seen) + 1);
                g_hash_table_insert(seen, g_steal_pointer(&old), number);
            }
            g_string_append_printf(out, "%u", GPOINTER_TO_UINT(number));
        }
        at = stop;
    }
    g_string_append_len(out, at, end - at);
}

static void append_number(GString *out, double number)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append(out, g_ascii_formatd(text, sizeof text, "%.2f", number));
}

static void append_said(const struct spl_page *page, GString *out)
{
    for (guint i = 0; i < page->said->len; i++) {
        const struct spl_page_said *said = &g_array_index(page->said, struct spl_page_said, i);
        g_autofree char *valid = g_utf8_make_valid(said->words, -1);
        g_autofree char *words = g_markup_escape_text(valid, -1);
        g_string_append(out, "<g role=\"img\"><title>");
        g_string_append(out, words);
        g_string_append(out, "</title><rect fill=\"none\" pointer-events=\"all\" x=\"");
        append_number(out, said->x);
        g_string_append(out, "\" y=\"");
        append_number(out, said->y + spl_page_top(page, (guint)said->page));
        g_string_append(out, "\" width=\"");
        append_number(out, said->w);
        g_string_append(out, "\" height=\"");
        append_number(out, said->h);
        g_string_append(out, "\"/></g>\n");
    }
}

/*
 * The document's head with its height, title and description; then what cairo drew; the places that
 * are said go last (they lie on top, so that a pointer meets them).
 */
static GString *finish_svg(const struct spl_page *page)
{
    GString *whole = g_string_sized_new(page->bytes->len + 4096);
    renumber_surfaces((const char *)page->bytes->data, page->bytes->len, whole);
    const char *root = strstr(whole->str, "<svg ");
    const char *close = root != NULL ? strchr(root, '>') : NULL;
    const char *last = g_strrstr_len(whole->str, (gssize)whole->len, "</svg>");
    g_return_val_if_fail(close != NULL && last != NULL, whole);

    GString *out = g_string_sized_new(whole->len + 4096);
    g_autofree char *valid_title = g_utf8_make_valid(page->title, -1);
    g_autofree char *title = g_markup_escape_text(valid_title, -1);
    g_string_append_len(out, whole->str, root - whole->str);
    g_string_append(out, "<!-- drawn by " OURS " -->\n");
    g_string_append(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                         "xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"");
    append_number(out, page->width);
    g_string_append(out, "pt\" height=\"");
    append_number(out, stacked_height(page));
    g_string_append(out, "pt\" viewBox=\"0 0 ");
    append_number(out, page->width);
    g_string_append_c(out, ' ');
    append_number(out, stacked_height(page));
    g_string_append_printf(out, "\" version=\"1.1\" role=\"document\">\n<title>%s</title>\n",
                           title);
    if (page->about != NULL) {
        g_autofree char *valid_about = g_utf8_make_valid(page->about, -1);
        g_autofree char *about = g_markup_escape_text(valid_about, -1);
        g_string_append_printf(out, "<desc>%s</desc>\n", about);
    }
    g_string_append_len(out, close + 1, last - close - 1);
    append_said(page, out);
    g_string_append(out, last);
    g_string_free(whole, TRUE);
    return out;
}

static cairo_status_t make_svg(struct spl_page *page)
{
    cairo_surface_t *surface = g_ptr_array_index(page->pages, 0);
    cairo_surface_finish(surface); /* into page->bytes */
    return cairo_surface_status(surface);
}

static GBytes *make(struct spl_page *page, GError **error)
{
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    cairo_status_t status = CAIRO_STATUS_SUCCESS;
    switch (page->options.format) {
    case SPL_PAGE_PDF:
        status = make_pdf(page, bytes);
        break;
    case SPL_PAGE_PNG:
        if (page->too_long || !spl_page_png_fits(page, page->count)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                        "a PNG cannot hold the %u pages of '%s'; write a .pdf instead", page->count,
                        page->title);
            return NULL;
        }
        status = make_png(page, bytes);
        mark_png(bytes);
        break;
    case SPL_PAGE_SVG:
        status = make_svg(page);
        break;
    }
    if (status != CAIRO_STATUS_SUCCESS) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL, "'%s' could not be drawn: %s",
                    page->title, cairo_status_to_string(status));
        return NULL;
    }
    if (page->options.format != SPL_PAGE_SVG)
        return g_byte_array_free_to_bytes(g_steal_pointer(&bytes));
    GString *svg = finish_svg(page);
    gsize size = svg->len;
    return g_bytes_new_take(g_string_free(svg, FALSE), size);
}

GBytes *spl_page_finish(struct spl_page *page, struct spl_page_report *report, GError **error)
{
    draw_feet(page);
    g_clear_pointer(&page->cr, cairo_destroy);
    GBytes *result = make(page, error);
    if (result != NULL && report != NULL) {
        report->pages = (int)page->count;
        report->width = page->width;
        report->height = page->height;
        report->whole = spl_page_top(page, page->count - 1) + page->height;
        report->warnings = g_ptr_array_ref(page->warnings);
        report->inks = g_array_ref(page->inks);
    }
    spl_page_free(page);
    return result;
}
