/* SPDX-License-Identifier: MIT
 *
 * Words on a page: fonts by name with fallbacks, wrapping that never cuts, a warning for each text
 * with signs that no installed font can draw.
 */
#include "picture/page.h"

#include "picture/page_private.h"

/* The first family that is installed counts; for signs that it lacks pango looks through all. */
static const char *const families[] = {
    [SPL_FACE_SERIF] = "Noto Serif,DejaVu Serif,serif",
    [SPL_FACE_SANS] = "Noto Sans,DejaVu Sans,sans-serif",
    [SPL_FACE_MONO] = "Noto Sans Mono,DejaVu Sans Mono,monospace",
};

/*
 * Words are laid out at one size and scaled: nothing is hinted, so that is exact, and looking up a
 * family's fonts and fallbacks (milliseconds each time) is done once per style and not per size.
 */
#define LAID_OUT_AT 10.0

static PangoLayout *lay_out(struct spl_page *page, double width, const struct spl_type *type,
                            const char *text)
{
    PangoLayout *layout = pango_layout_new(page->context);
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, families[type->face]);
    pango_font_description_set_weight(font, type->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_style(font, type->italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
    pango_font_description_set_size(font, (int)(LAID_OUT_AT * PANGO_SCALE));
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    if (width > 0.0)
        pango_layout_set_width(layout, (int)(width * LAID_OUT_AT / type->size * PANGO_SCALE));
    static const PangoAlignment aligns[] = {[SPL_ALIGN_LEFT] = PANGO_ALIGN_LEFT,
                                            [SPL_ALIGN_CENTRE] = PANGO_ALIGN_CENTER,
                                            [SPL_ALIGN_RIGHT] = PANGO_ALIGN_RIGHT};
    pango_layout_set_alignment(layout, aligns[type->align]);
    /* Left means the page's left also for a script that runs from the right. */
    pango_layout_set_auto_dir(layout, FALSE);
    pango_layout_set_text(layout, text, -1);
    return layout;
}

static double points(int units, const struct spl_type *type)
{
    return (double)units / PANGO_SCALE * type->size / LAID_OUT_AT;
}

void spl_page_measure(struct spl_page *page, double width, const struct spl_type *type,
                      const char *text, double *w, double *h)
{
    double got_w = 0.0, got_h = 0.0;
    if (text != NULL && text[0] != '\0') {
        g_autofree char *valid = g_utf8_make_valid(text, -1);
        PangoLayout *layout = lay_out(page, width, type, valid);
        PangoRectangle logical;
        pango_layout_get_extents(layout, NULL, &logical);
        got_w = points(logical.width, type);
        got_h = points(logical.height, type);
        g_object_unref(layout);
    }
    if (w != NULL)
        *w = got_w;
    if (h != NULL)
        *h = got_h;
}

static void warn_unknown(struct spl_page *page, PangoLayout *layout, const char *text)
{
    int unknown = pango_layout_get_unknown_glyphs_count(layout);
    if (unknown == 0 || !g_hash_table_add(page->warned, g_strdup(text)))
        return;
    g_ptr_array_add(page->warnings,
                    g_strdup_printf("'%s' has %d %s that no installed font can draw; install a "
                                    "font for its script (fonts-noto-core, fonts-noto-cjk)",
                                    text, unknown, unknown == 1 ? "sign" : "signs"));
}

double spl_page_text(struct spl_page *page, double x, double y, double width,
                     const struct spl_type *type, const char *text)
{
    if (text == NULL || text[0] == '\0')
        return 0.0;
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    PangoLayout *layout = lay_out(page, width, type, valid);
    warn_unknown(page, layout, valid);
    PangoRectangle ink, logical;
    pango_layout_get_extents(layout, &ink, &logical);
    double ix = x + points(ink.x, type), iy = y + points(ink.y, type);
    double iw = points(ink.width, type), ih = points(ink.height, type);

    cairo_t *cr = page->cr;
    if (type->knock_out) {
        cairo_rectangle(cr, ix - 1.0, iy - 1.0, iw + 2.0, ih + 2.0);
        spl_page_tone(cr, SPL_TONE_PAPER);
        cairo_fill(cr);
    }
    spl_page_tone(cr, type->tone);
    cairo_save(cr);
    cairo_translate(cr, x, y);
    cairo_scale(cr, type->size / LAID_OUT_AT, type->size / LAID_OUT_AT);
    cairo_move_to(cr, 0.0, 0.0);
    if (page->options.format == SPL_PAGE_PNG) {
        /* As outlines: cairo sets glyph images only at whole pixels, which would shift letters
         * against the SVG and PDF. */
        pango_cairo_layout_path(cr, layout);
        cairo_fill(cr);
    } else {
        pango_cairo_show_layout(cr, layout);
    }
    cairo_new_path(cr);
    cairo_restore(cr);
    spl_page_ink(page, SPL_INK_TEXT, ix, iy, iw, ih, valid);
    g_array_index(page->inks, struct spl_ink, page->inks->len - 1).size = type->size;
    g_object_unref(layout);
    return points(logical.height, type);
}

gsize spl_page_text_fitting(struct spl_page *page, double width, const struct spl_type *type,
                            const char *text, double height)
{
    PangoLayout *layout = lay_out(page, width, type, text);
    PangoLayoutIter *iter = pango_layout_get_iter(layout);
    gsize fits = 0;
    do {
        PangoRectangle line;
        pango_layout_iter_get_line_extents(iter, NULL, &line);
        if (points(line.y + line.height, type) > height)
            break;
        PangoLayoutLine *here = pango_layout_iter_get_line_readonly(iter);
        fits = (gsize)here->start_index + (gsize)here->length;
        if (text[fits] == '\n')
            fits++;
    } while (pango_layout_iter_next_line(iter));
    pango_layout_iter_free(iter);
    g_object_unref(layout);
    return fits;
}
