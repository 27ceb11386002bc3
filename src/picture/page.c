/* SPDX-License-Identifier: MIT
 *
 * Pages: opening, turning over, lines, shapes and signs. Words are in page_text.c, bytes in
 * page_out.c.
 */
#include "picture/page.h"

#include <cairo-svg.h>
#include <math.h>
#include <string.h>

#include "picture/page_private.h"

/* Each tone for words has at least 7:1 against paper by WCAG 2 relative luminance (a test checks
 * 4.5:1); leaf, madder and woad lie apart in grey as well as in hue. */
static const double tones[SPL_TONE_COUNT][3] = {
    [SPL_TONE_BLACK] = {0.08, 0.08, 0.08}, [SPL_TONE_SOFT] = {0.30, 0.30, 0.30},
    [SPL_TONE_LEAF] = {0.07, 0.27, 0.14},  [SPL_TONE_MADDER] = {0.50, 0.11, 0.12},
    [SPL_TONE_WOAD] = {0.10, 0.22, 0.42},  [SPL_TONE_RULE] = {0.62, 0.62, 0.60},
    [SPL_TONE_FAINT] = {0.80, 0.80, 0.79}, [SPL_TONE_PAPER] = {1.0, 1.0, 1.0},
};

void spl_tone_rgb(enum spl_tone tone, double rgb[3])
{
    g_return_if_fail(tone < SPL_TONE_COUNT);
    memcpy(rgb, tones[tone], sizeof tones[tone]);
}

void spl_page_tone(cairo_t *cr, enum spl_tone tone)
{
    cairo_set_source_rgb(cr, tones[tone][0], tones[tone][1], tones[tone][2]);
}

gboolean spl_page_format_from_path(const char *path, enum spl_page_format *format, GError **error)
{
    static const char *const endings[] = {
        [SPL_PAGE_PDF] = ".pdf", [SPL_PAGE_SVG] = ".svg", [SPL_PAGE_PNG] = ".png"};
    g_autofree char *lower = g_ascii_strdown(path, -1);
    for (guint i = 0; i < G_N_ELEMENTS(endings); i++) {
        if (g_str_has_suffix(lower, endings[i]) && strlen(lower) > strlen(endings[i])) {
            *format = (enum spl_page_format)i;
            return TRUE;
        }
    }
    g_set_error(
        error, SPL_ERROR, SPL_ERROR_USAGE,
        "'%s' does not say what kind of picture to write; end its name in .svg, .pdf or .png",
        path);
    return FALSE;
}

gboolean spl_page_paper_from_text(const char *text, enum spl_page_paper *paper, GError **error)
{
    if (g_ascii_strcasecmp(text, "a4") == 0) {
        *paper = SPL_PAPER_A4;
        return TRUE;
    }
    if (g_ascii_strcasecmp(text, "letter") == 0) {
        *paper = SPL_PAPER_LETTER;
        return TRUE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "paper '%s' is not known; use a4 or letter",
                text);
    return FALSE;
}

void spl_page_paper_size(enum spl_page_paper paper, double *width, double *height)
{
    if (paper == SPL_PAPER_LETTER) { /* ANSI A: 8.5 x 11 in */
        *width = 612.0;
        *height = 792.0;
    } else { /* ISO 216 A4: 210 x 297 mm */
        *width = SPL_MM(210.0);
        *height = SPL_MM(297.0);
    }
}

static void ink_clear(gpointer ink)
{
    g_free(((struct spl_ink *)ink)->what);
}

static void said_clear(gpointer said)
{
    g_free(((struct spl_page_said *)said)->words);
}

void spl_page_report_clear(struct spl_page_report *report)
{
    g_clear_pointer(&report->warnings, g_ptr_array_unref);
    g_clear_pointer(&report->inks, g_array_unref);
    memset(report, 0, sizeof *report);
}

struct spl_page *spl_page_open(const struct spl_page_setup *setup, GError **error)
{
    const struct spl_page_options *options = &setup->options;
    if (options->dpi != 0.0 && !(options->dpi >= 36.0 && options->dpi <= 600.0)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "a picture of %g dots per inch cannot be drawn; use 36 to 600", options->dpi);
        return NULL;
    }
    struct spl_page *page = g_new0(struct spl_page, 1);
    page->options = *options;
    spl_page_paper_size(options->paper, &page->width, &page->height);
    if (setup->width > 0.0 && setup->height > 0.0) {
        page->width = setup->width;
        page->height = setup->height;
    }
    if (setup->landscape) {
        double upright = page->width;
        page->width = page->height;
        page->height = upright;
    }
    page->title = g_strdup(setup->title != NULL ? setup->title : "");
    page->about = g_strdup(setup->about);
    page->foot = g_strdup(setup->foot);
    page->pages = g_ptr_array_new_with_free_func((GDestroyNotify)cairo_surface_destroy);
    page->bytes = g_byte_array_new();
    page->warnings = g_ptr_array_new_with_free_func(g_free);
    page->warned = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    page->inks = g_array_new(FALSE, TRUE, sizeof(struct spl_ink));
    g_array_set_clear_func(page->inks, ink_clear);
    page->said = g_array_new(FALSE, TRUE, sizeof(struct spl_page_said));
    g_array_set_clear_func(page->said, said_clear);

    /* One user unit is one point, so that sizes mean the same in every format. Nothing is hinted:
     * hinting would bend outlines and widths by the resolution of the target. */
    page->fonts = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(page->fonts), 72.0);
    page->context = pango_font_map_create_context(page->fonts);
    cairo_font_options_t *plain = cairo_font_options_create();
    cairo_font_options_set_antialias(plain, CAIRO_ANTIALIAS_GRAY);
    cairo_font_options_set_hint_style(plain, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(plain, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(page->context, plain);
    cairo_font_options_destroy(plain);
    pango_context_set_round_glyph_positions(page->context, FALSE);
    /* Not the locale's: which font stands in for missing glyphs depends on it. */
    pango_context_set_language(page->context, pango_language_from_string("en"));
    pango_context_set_base_dir(page->context, PANGO_DIRECTION_WEAK_LTR);

    spl_page_next(page);
    return page;
}

static cairo_status_t take_bytes(void *closure, const unsigned char *data, unsigned int length)
{
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
}

/*
 * What a page is drawn on. A PDF's pages are recorded, because their feet need the number of all;
 * it is the only kind that is: cairo stretches recordings to whole pixels in a PNG and loses the
 * place of letters when one is moved in an SVG. An SVG is one tall surface whose height is written
 * into it at the end.
 */
static cairo_surface_t *new_surface(struct spl_page *page)
{
    double scale = spl_page_scale(page);
    cairo_rectangle_t extents = {0.0, 0.0, page->width, page->height};
    switch (page->options.format) {
    case SPL_PAGE_SVG:
        if (page->pages->len > 0)
            return cairo_surface_reference(g_ptr_array_index(page->pages, 0));
        return cairo_svg_surface_create_for_stream(take_bytes, page->bytes, page->width,
                                                   SPL_SVG_TALL);
    case SPL_PAGE_PNG:
        return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(page->width * scale),
                                          (int)ceil(page->height * scale));
    case SPL_PAGE_PDF:
        break;
    }
    return cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &extents);
}

void spl_page_next(struct spl_page *page)
{
    if (page->pages->len > 0 && !spl_page_png_fits(page, page->count + 1))
        page->too_long = TRUE; /* go on on the last page: finishing will refuse */
    else
        g_ptr_array_add(page->pages, new_surface(page));
    page->count++;
    spl_page_draw_on(page, page->count - 1);
    if (page->options.format == SPL_PAGE_PDF)
        return;
    if (page->options.format == SPL_PAGE_SVG && page->count > 1) { /* the gap: a table top's grey */
        double gap = spl_page_top(page, 1) - page->height;
        cairo_set_source_rgb(page->cr, 0.85, 0.85, 0.85);
        cairo_rectangle(page->cr, 0.0, -gap, page->width, gap);
        cairo_fill(page->cr);
    }
    spl_page_tone(page->cr, SPL_TONE_PAPER);
    if (page->options.format == SPL_PAGE_PNG) {
        cairo_paint(page->cr); /* to the last pixel, of which the page may take a part */
        return;
    }
    cairo_rectangle(page->cr, 0.0, 0.0, page->width, page->height);
    cairo_fill(page->cr);
}

void spl_page_draw_on(struct spl_page *page, guint number)
{
    g_clear_pointer(&page->cr, cairo_destroy);
    page->cr = cairo_create(g_ptr_array_index(page->pages, MIN(number, page->pages->len - 1)));
    cairo_set_line_join(page->cr, CAIRO_LINE_JOIN_ROUND);
    if (page->options.format == SPL_PAGE_SVG)
        cairo_translate(page->cr, 0.0, spl_page_top(page, number));
    double scale = spl_page_scale(page);
    cairo_scale(page->cr, scale, scale);
}

gboolean spl_page_png_fits(const struct spl_page *page, guint count)
{
    if (page->options.format != SPL_PAGE_PNG)
        return TRUE;
    double scale = spl_page_scale(page), one = page->width * page->height * scale * scale;
    double height = (spl_page_top(page, count - 1) + page->height) * scale;
    /* All pages, and the picture that shows them beneath each other. */
    return height <= SPL_PNG_MOST_SIDE &&
           one * (count > 1 ? 2.0 * count : 1.0) <= SPL_PNG_MOST_PIXELS;
}

double spl_page_top(const struct spl_page *page, guint number)
{
    /* Whole pixels at 72, 96, 150 and 300 dots per inch: pages look alike whatever their number. */
    return ceil((page->height + SPL_PAGE_GAP) / 12.0) * 12.0 * number;
}

void spl_page_shares(const struct spl_page *page, int number, double box[4])
{
    double height = spl_page_top(page, page->count - 1) + page->height;

    box[1] = (box[1] + spl_page_top(page, (guint)number)) / height;
    box[3] /= height;
    box[0] /= page->width;
    box[2] /= page->width;
}

double spl_page_scale(const struct spl_page *page)
{
    if (page->options.format != SPL_PAGE_PNG)
        return 1.0;
    return (page->options.dpi > 0.0 ? page->options.dpi : SPL_PAGE_DPI) / 72.0;
}

void spl_page_free(struct spl_page *page)
{
    if (page == NULL)
        return;
    g_clear_pointer(&page->cr, cairo_destroy);
    g_ptr_array_unref(page->pages);
    g_byte_array_unref(page->bytes);
    g_object_unref(page->context);
    g_object_unref(page->fonts);
    g_ptr_array_unref(page->warnings);
    g_hash_table_unref(page->warned);
    g_array_unref(page->inks);
    g_array_unref(page->said);
    g_free(page->title);
    g_free(page->about);
    g_free(page->foot);
    g_free(page);
}

int spl_page_number(const struct spl_page *page)
{
    return (int)page->count - 1;
}

void spl_page_box(const struct spl_page *page, double *x, double *y, double *w, double *h)
{
    double foot = page->foot != NULL ? SPL_MM(5.0) : 0.0;
    *x = SPL_PAGE_MARGIN;
    *y = SPL_PAGE_MARGIN;
    *w = page->width - 2.0 * SPL_PAGE_MARGIN;
    *h = page->height - 2.0 * SPL_PAGE_MARGIN - foot;
}

void spl_page_ink(struct spl_page *page, enum spl_ink_kind kind, double x, double y, double w,
                  double h, const char *what)
{
    struct spl_ink ink = {kind, spl_page_number(page), x, y, w, h, 0.0, g_strdup(what)};
    g_array_append_val(page->inks, ink);
}

void spl_page_say(struct spl_page *page, double x, double y, double w, double h, const char *words)
{
    struct spl_page_said said = {spl_page_number(page), x, y, w, h, g_strdup(words)};
    g_array_append_val(page->said, said);
}

/* The rectangle around points, grown by half a stroke. */
static void ink_points(struct spl_page *page, enum spl_ink_kind kind, const double *xy, gsize n,
                       double grow, const char *what)
{
    double left = xy[0], right = xy[0], top = xy[1], bottom = xy[1];
    for (gsize i = 1; i < n; i++) {
        left = MIN(left, xy[2 * i]);
        right = MAX(right, xy[2 * i]);
        top = MIN(top, xy[2 * i + 1]);
        bottom = MAX(bottom, xy[2 * i + 1]);
    }
    spl_page_ink(page, kind, left - grow, top - grow, right - left + 2.0 * grow,
                 bottom - top + 2.0 * grow, what);
}

static void trace(cairo_t *cr, const double *xy, gsize n, gboolean closed)
{
    cairo_new_path(cr);
    for (gsize i = 0; i < n; i++)
        cairo_line_to(cr, xy[2 * i], xy[2 * i + 1]);
    if (closed)
        cairo_close_path(cr);
}

static void pen(cairo_t *cr, double width, enum spl_tone tone, double dash)
{
    spl_page_tone(cr, tone);
    cairo_set_line_width(cr, width);
    if (dash > 0.0)
        cairo_set_dash(cr, &dash, 1, 0.0);
    else
        cairo_set_dash(cr, NULL, 0, 0.0);
}

void spl_page_path(struct spl_page *page, const double *xy, gsize n, gboolean closed, double width,
                   enum spl_tone tone, double dash)
{
    if (n < 2)
        return;
    trace(page->cr, xy, n, closed);
    pen(page->cr, width, tone, dash);
    cairo_stroke(page->cr);
    ink_points(page, SPL_INK_RULE, xy, n, width / 2.0, NULL);
}

void spl_page_line(struct spl_page *page, double x1, double y1, double x2, double y2, double width,
                   enum spl_tone tone, double dash)
{
    double xy[4] = {x1, y1, x2, y2};
    spl_page_path(page, xy, 2, FALSE, width, tone, dash);
}

void spl_page_fill(struct spl_page *page, const double *xy, gsize n, enum spl_tone tone)
{
    if (n < 3)
        return;
    trace(page->cr, xy, n, TRUE);
    spl_page_tone(page->cr, tone);
    cairo_fill(page->cr);
    ink_points(page, SPL_INK_RULE, xy, n, 0.0, NULL);
}

void spl_page_frame(struct spl_page *page, double x, double y, double w, double h, double width,
                    enum spl_tone tone)
{
    double xy[8] = {x, y, x + w, y, x + w, y + h, x, y + h};
    spl_page_path(page, xy, 4, TRUE, width, tone, 0.0);
}

void spl_page_strokes(struct spl_page *page, const double *xyxy, gsize n, double width,
                      enum spl_tone tone)
{
    if (n == 0)
        return;
    cairo_new_path(page->cr);
    for (gsize i = 0; i < n; i++) {
        cairo_move_to(page->cr, xyxy[4 * i], xyxy[4 * i + 1]);
        cairo_line_to(page->cr, xyxy[4 * i + 2], xyxy[4 * i + 3]);
    }
    pen(page->cr, width, tone, 0.0);
    cairo_stroke(page->cr);
}

void spl_page_sign(struct spl_page *page, enum spl_sign sign, double x, double y, double r,
                   enum spl_tone tone, const char *what)
{
    cairo_t *cr = page->cr;
    double thin = MAX(0.6, r * 0.28);
    pen(cr, thin, tone, 0.0);
    cairo_new_path(cr);
    switch (sign) {
    case SPL_SIGN_DOT:
        cairo_arc(cr, x, y, r, 0.0, 2.0 * G_PI);
        cairo_fill(cr);
        break;
    case SPL_SIGN_RING:
        cairo_arc(cr, x, y, r - thin / 2.0, 0.0, 2.0 * G_PI);
        spl_page_tone(cr, SPL_TONE_PAPER);
        cairo_fill_preserve(cr);
        spl_page_tone(cr, tone);
        cairo_stroke(cr);
        break;
    case SPL_SIGN_LOZENGE:
    case SPL_SIGN_LOZENGE_OPEN: {
        double inner = sign == SPL_SIGN_LOZENGE ? r : r - thin * 0.75;
        double xy[8] = {x, y - inner, x + inner, y, x, y + inner, x - inner, y};
        trace(cr, xy, 4, TRUE);
        if (sign == SPL_SIGN_LOZENGE) {
            cairo_fill(cr);
        } else {
            spl_page_tone(cr, SPL_TONE_PAPER);
            cairo_fill_preserve(cr);
            spl_page_tone(cr, tone);
            cairo_stroke(cr);
        }
        break;
    }
    case SPL_SIGN_CROSS: {
        double arm = r - thin / 2.0;
        cairo_move_to(cr, x - arm, y - arm);
        cairo_line_to(cr, x + arm, y + arm);
        cairo_move_to(cr, x - arm, y + arm);
        cairo_line_to(cr, x + arm, y - arm);
        cairo_stroke(cr);
        break;
    }
    case SPL_SIGN_HOUSE: {
        double xy[10] = {x,     y - r,       x + r * 0.9, y - r * 0.1, x + r * 0.6,
                         y + r, x - r * 0.6, y + r,       x - r * 0.9, y - r * 0.1};
        trace(cr, xy, 5, TRUE);
        cairo_fill(cr);
        break;
    }
    }
    spl_page_ink(page, SPL_INK_MARK, x - r, y - r, 2.0 * r, 2.0 * r, what);
}

void spl_page_clip(struct spl_page *page, double x, double y, double w, double h)
{
    cairo_save(page->cr);
    cairo_rectangle(page->cr, x, y, w, h);
    cairo_clip(page->cr);
}

void spl_page_unclip(struct spl_page *page)
{
    cairo_restore(page->cr);
}
