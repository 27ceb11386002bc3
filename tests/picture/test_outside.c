/* SPDX-License-Identifier: MIT
 *
 * Our pictures seen by other programs: xmllint reads the SVG, rsvg-convert draws it like our PNG,
 * pdftotext finds the words, zbarimg reads the codes.
 */
#include "drawn.h"

#include <cairo.h>

#include "sample_map.h"
#include "sample_season.h"
#include "sample_sheets.h"

typedef GBytes *(*draw_function)(const struct spl_page_options *options,
                                 struct spl_page_report *report);

#define DRAWS(name, type, draw)                                                                    \
    static GBytes *draw_##name(const struct spl_page_options *options,                             \
                               struct spl_page_report *report)                                     \
    {                                                                                              \
        struct type input = sample_##name();                                                       \
        return draw(&input, options, report, NULL);                                                \
    }
DRAWS(season, spl_season_page, spl_season_page_draw)
DRAWS(map, spl_estate_map, spl_estate_map_draw)
DRAWS(shelf, spl_shelf_page, spl_shelf_page_draw)
DRAWS(outing, spl_outing_sheet, spl_outing_sheet_draw)
DRAWS(year, spl_year_page, spl_year_page_draw)
DRAWS(batch, spl_batch_record, spl_batch_record_draw)

static GBytes *draw_labels(const struct spl_page_options *options, struct spl_page_report *report)
{
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = sample_labels();
    sheet.stock = &stock;
    return spl_label_sheet_draw(&sheet, options, report, NULL);
}

static const struct {
    const char *name;
    draw_function draw;
} sheets[] = {{"season", draw_season}, {"map", draw_map},   {"shelf", draw_shelf},
              {"outing", draw_outing}, {"year", draw_year}, {"batch", draw_batch},
              {"labels", draw_labels}};

static char *folder;

static int make_folder(void **state)
{
    (void)state;
    folder = g_dir_make_tmp("spl-picture-XXXXXX", NULL);
    return folder == NULL;
}

static int drop_folder(void **state)
{
    (void)state;
    drawn_drop(folder);
    g_free(folder);
    return 0;
}

static char *drawn_file(gsize sheet, enum spl_page_format format, struct spl_page_report *report)
{
    static const char *const endings[] = {"pdf", "svg", "png"};
    struct spl_page_options options = {.format = format};
    g_autoptr(GBytes) bytes = sheets[sheet].draw(&options, report);
    assert_non_null(bytes);
    g_autofree char *name = g_strdup_printf("%s.%s", sheets[sheet].name, endings[format]);
    return drawn_keep(folder, name, bytes);
}

static void xmllint_finds_every_svg_well_formed(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(sheets); i++) {
        g_autofree char *path = drawn_file(i, SPL_PAGE_SVG, NULL);
        const char *argv[] = {"xmllint", "--noout", "--nonet", path, NULL};
        g_autofree char *out = drawn_run(argv);
        /* A title of the document and one for each place that is said. */
        const char *titles[] = {"xmllint", "--xpath", "count(//*[local-name()='title'])", path,
                                NULL};
        g_autofree char *count = drawn_run(titles);
        assert_true(g_ascii_strtoull(count, NULL, 10) >= 1);
    }
}

/* The picture as grey, on white. */
static guint8 *grey_of(const char *path, int *w, int *h)
{
    cairo_surface_t *file = cairo_image_surface_create_from_png(path);
    assert_int_equal(cairo_surface_status(file), CAIRO_STATUS_SUCCESS);
    *w = cairo_image_surface_get_width(file);
    *h = cairo_image_surface_get_height(file);
    cairo_surface_t *white = cairo_image_surface_create(CAIRO_FORMAT_RGB24, *w, *h);
    cairo_t *cr = cairo_create(white);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_paint(cr);
    cairo_set_source_surface(cr, file, 0, 0);
    cairo_paint(cr);
    cairo_destroy(cr);
    cairo_surface_flush(white);
    const guint8 *data = cairo_image_surface_get_data(white);
    int stride = cairo_image_surface_get_stride(white);
    guint8 *grey = g_malloc((gsize)*w * (gsize)*h);
    for (int y = 0; y < *h; y++)
        for (int x = 0; x < *w; x++) {
            const guint8 *p = data + y * stride + 4 * x;
            grey[y * *w + x] = (guint8)((p[0] * 11 + p[1] * 59 + p[2] * 30) / 100);
        }
    cairo_surface_destroy(white);
    cairo_surface_destroy(file);
    return grey;
}

static void rsvg_draws_the_svg_like_our_png(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(sheets); i++) {
        g_autofree char *svg = drawn_file(i, SPL_PAGE_SVG, NULL);
        g_autofree char *ours = drawn_file(i, SPL_PAGE_PNG, NULL);
        g_autofree char *theirs = g_build_filename(folder, "theirs.png", NULL);
        int w, h, w2, h2;
        g_autofree guint8 *a = grey_of(ours, &w, &h);
        const char *argv[] = {"rsvg-convert", "--unlimited", "--dpi-x", "150", "--dpi-y",
                              "150",          "-o",          theirs,    svg,   NULL};
        g_autofree char *out = drawn_run(argv);
        g_autofree guint8 *b = grey_of(theirs, &w2, &h2);
        assert_int_equal(w, w2);
        assert_int_equal(h, h2);
        double sum = 0.0, dark = 0.0;
        gsize far = 0, n = (gsize)w * (gsize)h;
        for (gsize k = 0; k < n; k++) {
            int difference = abs((int)a[k] - (int)b[k]);
            sum += difference;
            dark += 255 - a[k];
            far += difference > 64;
        }
        /* Edges are antialiased by two rasterisers; shapes and letters must lie alike. */
        if (sum / (double)n > 1.0 || (double)far / (double)n > 0.005 || dark / (double)n < 1.0)
            fail_msg("%s: mean difference %.3f of 255, %.4f %% of the pixels differ by over 64, "
                     "ink %.2f",
                     sheets[i].name, sum / (double)n, 100.0 * (double)far / (double)n,
                     dark / (double)n);
    }
}

static void pdftotext_finds_every_word(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(sheets); i++) {
        struct spl_page_report report = {0};
        g_autofree char *path = drawn_file(i, SPL_PAGE_PDF, &report);
        const char *argv[] = {"pdftotext", "-raw", "-enc", "UTF-8", path, "-", NULL};
        g_autofree char *text = drawn_run(argv);
        g_autofree char *found = drawn_squeeze(text);
        for (guint k = 0; k < report.inks->len; k++) {
            const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, k);
            if (ink->kind != SPL_INK_TEXT)
                continue;
            /* Word by word: the reader orders lines of neighbouring columns as it likes. */
            g_auto(GStrv) words = g_strsplit_set(ink->what, " \n", -1);
            for (guint j = 0; words[j] != NULL; j++) {
                g_autofree char *word = drawn_squeeze(words[j]);
                if (strstr(found, word) == NULL)
                    fail_msg("%s: '%s' of '%s' is not in the PDF's text", sheets[i].name, word,
                             ink->what);
            }
        }
        spl_page_report_clear(&report);
    }
}

static void pdftotext_finds_names_and_figures_unbroken(void **state)
{
    (void)state;
    static const char *const wanted[] = {"Dandelion flower",
                                         "L27-001",
                                         "use by 6 June 2029",
                                         "from High Croft",
                                         "Tincture 1:5 fresh, mL per g put in",
                                         "handed out 2 Sep 2027"};
    g_autofree char *path = drawn_file(6, SPL_PAGE_PDF, NULL);
    const char *argv[] = {"pdftotext", "-raw", "-enc", "UTF-8", path, "-", NULL};
    g_autofree char *text = drawn_run(argv);
    g_autofree char *found = drawn_squeeze(text);
    for (gsize i = 0; i < G_N_ELEMENTS(wanted); i++)
        drawn_expect_holds(found, wanted[i]);
}

static void zbar_reads_the_codes(void **state)
{
    (void)state;
    static const char *const labels[] = {"ANN:L27-001", "ANN:L27-002", "ANN:L27-003", "ANN:L26-005",
                                         "ANN:B27-004"};
    g_autofree char *png = drawn_file(6, SPL_PAGE_PNG, NULL);
    const char *argv[] = {"zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", png, NULL};
    g_autofree char *out = drawn_run(argv);
    for (gsize i = 0; i < G_N_ELEMENTS(labels); i++)
        assert_non_null(strstr(out, labels[i]));
    g_autofree char *record = drawn_file(5, SPL_PAGE_PNG, NULL);
    argv[5] = record;
    g_autofree char *batch = drawn_run(argv);
    assert_string_equal(g_strchomp(batch), "ANN:B27-001");
    g_autofree char *outing = drawn_file(3, SPL_PAGE_PNG, NULL);
    argv[5] = outing;
    g_autofree char *places = drawn_run(argv);
    assert_non_null(strstr(places, "geo:54.97550,-2.46750"));
    assert_non_null(strstr(places, "geo:54.96880,-2.45200"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(xmllint_finds_every_svg_well_formed),
    cmocka_unit_test(rsvg_draws_the_svg_like_our_png),
    cmocka_unit_test(pdftotext_finds_every_word),
    cmocka_unit_test(pdftotext_finds_names_and_figures_unbroken),
    cmocka_unit_test(zbar_reads_the_codes),
};

int main(int argc, char **argv)
{
    drawn_need_tool("xmllint", "libxml2-utils");
    drawn_need_tool("rsvg-convert", "librsvg2-bin");
    drawn_need_tool("pdftotext", "poppler-utils");
    drawn_need_tool("zbarimg", "zbar-tools");
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
