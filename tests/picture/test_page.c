/* SPDX-License-Identifier: MIT
 *
 * Pages: inks that can be read, words that are never cut, the same bytes for the same input,
 * titles.
 */
#include "drawn.h"

#include <cairo.h>

static struct spl_page_setup setup_of(enum spl_page_format format)
{
    return (struct spl_page_setup){.options = {.format = format}, .title = "A <test> & more"};
}

/* WCAG 2.1, "relative luminance" and "contrast ratio". */
static double luminance(const double rgb[3])
{
    double part[3];
    for (int i = 0; i < 3; i++)
        part[i] = rgb[i] <= 0.03928 ? rgb[i] / 12.92 : pow((rgb[i] + 0.055) / 1.055, 2.4);
    return 0.2126 * part[0] + 0.7152 * part[1] + 0.0722 * part[2];
}

static double contrast(const double a[3], const double b[3])
{
    double one = luminance(a), two = luminance(b);
    return (MAX(one, two) + 0.05) / (MIN(one, two) + 0.05);
}

static void words_stand_out_by_four_and_a_half_to_one(void **state)
{
    (void)state;
    /* The formula first: black on white is 21:1 (WCAG); #767676 is the lightest grey that passes.
     */
    static const double black[3] = {0, 0, 0}, white[3] = {1, 1, 1};
    const double grey[3] = {0x76 / 255.0, 0x76 / 255.0, 0x76 / 255.0};
    expect_near(contrast(black, white), 21.0, 1e-9, ": 1");
    expect_near(contrast(grey, white), 4.54, 0.01, ": 1");
    static const enum spl_tone words[] = {SPL_TONE_BLACK, SPL_TONE_SOFT, SPL_TONE_LEAF,
                                          SPL_TONE_MADDER, SPL_TONE_WOAD};
    double paper[3];
    spl_tone_rgb(SPL_TONE_PAPER, paper);
    for (gsize i = 0; i < G_N_ELEMENTS(words); i++) {
        double rgb[3];
        spl_tone_rgb(words[i], rgb);
        assert_true(contrast(rgb, paper) >= 4.5);
    }
}

static void a_file_name_says_the_format(void **state)
{
    (void)state;
    enum spl_page_format format;
    GError *error = NULL;
    assert_true(spl_page_format_from_path("a/b.SVG", &format, &error));
    assert_int_equal(format, SPL_PAGE_SVG);
    assert_true(spl_page_format_from_path("b.pdf", &format, &error));
    assert_int_equal(format, SPL_PAGE_PDF);
    assert_true(spl_page_format_from_path("b.png", &format, &error));
    assert_int_equal(format, SPL_PAGE_PNG);
    static const char *const bad[] = {"b.jpg", "pdf", ".pdf", "", "b.pdf.txt"};
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        assert_false(spl_page_format_from_path(bad[i], &format, &error));
        expect_error(error, SPL_ERROR_USAGE, ".svg, .pdf or .png");
    }
    enum spl_page_paper paper;
    assert_true(spl_page_paper_from_text("Letter", &paper, &error));
    assert_int_equal(paper, SPL_PAPER_LETTER);
    assert_false(spl_page_paper_from_text("a3", &paper, &error));
    expect_error(error, SPL_ERROR_USAGE, "a3");
}

static void a_resolution_out_of_reason_is_refused(void **state)
{
    (void)state;
    struct spl_page_setup setup = setup_of(SPL_PAGE_PNG);
    static const double bad[] = {-1.0, 10.0, 601.0, NAN, INFINITY};
    for (gsize i = 0; i < G_N_ELEMENTS(bad); i++) {
        GError *error = NULL;
        setup.options.dpi = bad[i];
        assert_null(spl_page_open(&setup, &error));
        expect_error(error, SPL_ERROR_INVALID, "36 to 600");
    }
}

static void words_wrap_and_are_never_cut(void **state)
{
    (void)state;
    struct spl_page_setup setup = setup_of(SPL_PAGE_PDF);
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 8.0};
    static const char *const texts[] = {
        "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch",
        "a b c d e f g h i j k l m n o p q r s t u v w x y z",
        "\320\232\321\200\320\260\320\277\320\270\320\262\320\260 "
        "\320\264\320\262\321\203\320\264\320\276\320\274\320\275\320\260\321\217", /* Cyrillic */
        "\350\222\262\345\205\254\350\213\261\350\222\262\345\205\254\350\213\261\350\222\262\345"
        "\205\254\350\213\261", /* Han, no spaces */
        "\330\247\331\204\331\207\331\206\330\257\330\250\330\247\330\241 "
        "\330\247\331\204\330\250\330\261\331\212\330\251", /* Arabic */
    };
    struct spl_page *page = spl_page_open(&setup, NULL);
    double y = 60.0;
    for (gsize i = 0; i < G_N_ELEMENTS(texts); i++)
        y += spl_page_text(page, 100.0, y, 60.0, &type, texts[i]) + 4.0;
    struct spl_page_report report = {0};
    g_autoptr(GBytes) bytes = spl_page_finish(page, &report, NULL);
    assert_non_null(bytes);
    assert_int_equal(report.warnings->len, 0);
    assert_int_equal(report.inks->len, G_N_ELEMENTS(texts));
    for (guint i = 0; i < report.inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
        assert_string_equal(ink->what, texts[i]);
        assert_true(ink->x >= 99.0 && ink->x + ink->w <= 161.0);
    }
    drawn_expect_clean(&report);
    spl_page_report_clear(&report);
}

static void signs_without_a_font_are_warned_about_by_name(void **state)
{
    (void)state;
    struct spl_page_setup setup = setup_of(SPL_PAGE_SVG);
    struct spl_type type = {.face = SPL_FACE_SERIF, .size = 8.0};
    struct spl_page *page = spl_page_open(&setup, NULL);
    /* U+10FFFD lies in a private plane: no font has it. */
    spl_page_text(page, 50.0, 50.0, 0.0, &type, "odd \364\217\277\275 herb");
    spl_page_text(page, 50.0, 70.0, 0.0, &type, "odd \364\217\277\275 herb");
    spl_page_text(page, 50.0, 90.0, 0.0, &type, "plain herb");
    struct spl_page_report report = {0};
    g_autoptr(GBytes) bytes = spl_page_finish(page, &report, NULL);
    assert_int_equal(report.warnings->len, 1);
    assert_non_null(strstr(g_ptr_array_index(report.warnings, 0), "odd "));
    assert_non_null(strstr(g_ptr_array_index(report.warnings, 0), "no installed font"));
    spl_page_report_clear(&report);
}

static GBytes *sample(enum spl_page_format format, int pages)
{
    struct spl_page_setup setup = setup_of(format);
    setup.about = "About \"it\" < >";
    setup.foot = "foot";
    struct spl_type type = {.face = SPL_FACE_SERIF, .size = 12.0, .tone = SPL_TONE_LEAF};
    struct spl_page *page = spl_page_open(&setup, NULL);
    for (int i = 0; i < pages; i++) {
        if (i > 0)
            spl_page_next(page);
        spl_page_text(page, 50.0, 50.0, 300.0, &type, "Meadowsweet, \342\200\234queen\342\200\235");
        spl_page_sign(page, SPL_SIGN_LOZENGE, 60.0, 100.0, 4.0, SPL_TONE_WOAD, "mark");
        spl_page_line(page, 50, 120, 200, 120, 1.0, SPL_TONE_BLACK, 3.0);
        spl_page_say(page, 50, 50, 100, 20, "nettle & <elder>");
    }
    return spl_page_finish(page, NULL, NULL);
}

static void the_same_input_gives_the_same_bytes(void **state)
{
    (void)state;
    for (int format = SPL_PAGE_PDF; format <= SPL_PAGE_PNG; format++) {
        g_autoptr(GBytes) one = sample((enum spl_page_format)format, 2);
        g_autoptr(GBytes) other = sample(SPL_PAGE_SVG, 3); /* moves cairo's own counters */
        g_autoptr(GBytes) two = sample((enum spl_page_format)format, 2);
        assert_non_null(one);
        assert_true(g_bytes_equal(one, two));
        assert_false(g_bytes_equal(one, other));
    }
}

static void our_own_pictures_are_known_again(void **state)
{
    (void)state;
    for (int format = SPL_PAGE_PDF; format <= SPL_PAGE_PNG; format++) {
        g_autoptr(GBytes) bytes = sample((enum spl_page_format)format, 1);
        gsize size;
        const void *data = g_bytes_get_data(bytes, &size);
        assert_true(spl_page_is_ours(data, size));
    }
    static const char other[] =
        "<?xml version=\"1.0\"?><svg xmlns=\"http://www.w3.org/2000/svg\"/>";
    assert_false(spl_page_is_ours(other, sizeof other - 1));
    assert_false(spl_page_is_ours("%PDF-1.5 something else", 23));
    assert_false(spl_page_is_ours("", 0));
    /* The text chunk's check sum by RFC 2083: cairo's own reader looks at every chunk. */
    g_autoptr(GBytes) png = sample(SPL_PAGE_PNG, 1);
    g_autofree char *folder = g_dir_make_tmp("spl-page-XXXXXX", NULL);
    g_autofree char *path = drawn_keep(folder, "a.png", png);
    cairo_surface_t *read = cairo_image_surface_create_from_png(path);
    assert_int_equal(cairo_surface_status(read), CAIRO_STATUS_SUCCESS);
    cairo_surface_destroy(read);
    drawn_drop(folder);
}

static void a_pdf_carries_a_fixed_date(void **state)
{
    (void)state;
    g_autoptr(GBytes) pdf = sample(SPL_PAGE_PDF, 1);
    gsize size;
    const char *data = g_bytes_get_data(pdf, &size);
    assert_true(size > 100 && memcmp(data, "%PDF-", 5) == 0);
    gboolean found = FALSE;
    for (gsize i = 0; i + 23 < size && !found; i++)
        found = memcmp(data + i, "/CreationDate (20000101", 23) == 0;
    assert_true(found);
}

static void an_svg_is_titled_for_screen_readers(void **state)
{
    (void)state;
    g_autoptr(GBytes) svg = sample(SPL_PAGE_SVG, 2);
    gsize size;
    const char *data = g_bytes_get_data(svg, &size);
    g_autofree char *text = g_strndup(data, size);
    assert_non_null(strstr(text, "<title>A &lt;test&gt; &amp; more</title>"));
    assert_non_null(strstr(text, "<desc>About &quot;it&quot; &lt; &gt;</desc>"));
    const char *said = strstr(text, "<title>nettle &amp; &lt;elder&gt;</title>");
    assert_non_null(said);
    assert_non_null(strstr(said + 1, "<title>nettle &amp; &lt;elder&gt;</title>")); /* page two */
    assert_true(g_utf8_validate(data, (gssize)size, NULL));
}

static void a_foot_counts_the_pages(void **state)
{
    (void)state;
    struct spl_page_setup setup = setup_of(SPL_PAGE_PDF);
    setup.foot = "a foot that is long enough to need more than one line if it were not for the "
                 "width of the page, which it has to share with the number";
    struct spl_page *page = spl_page_open(&setup, NULL);
    spl_page_next(page);
    spl_page_next(page);
    struct spl_page_report report = {0};
    g_autoptr(GBytes) bytes = spl_page_finish(page, &report, NULL);
    assert_int_equal(report.pages, 3);
    assert_int_equal(drawn_count(&report, "page 1 of 3", 0), 1);
    assert_int_equal(drawn_count(&report, "page 3 of 3", 2), 1);
    drawn_expect_clean(&report);
    spl_page_report_clear(&report);
}

static void a_png_of_too_many_pages_is_refused(void **state)
{
    (void)state;
    struct spl_page_setup setup = setup_of(SPL_PAGE_PNG);
    struct spl_page *page = spl_page_open(&setup, NULL);
    for (int i = 0; i < 40; i++)
        spl_page_next(page);
    GError *error = NULL;
    assert_null(spl_page_finish(page, NULL, &error));
    expect_error(error, SPL_ERROR_LIMIT, "write a .pdf");
}

static void letter_and_a4_have_their_sizes(void **state)
{
    (void)state;
    double w, h;
    spl_page_paper_size(SPL_PAPER_LETTER, &w, &h); /* ANSI Y14.1: 8.5 x 11 in */
    expect_near(w, 8.5 * 72.0, 1e-9, "pt");
    expect_near(h, 11.0 * 72.0, 1e-9, "pt");
    spl_page_paper_size(SPL_PAPER_A4, &w, &h); /* ISO 216: 210 x 297 mm */
    expect_near(w * 25.4 / 72.0, 210.0, 1e-9, "mm");
    expect_near(h * 25.4 / 72.0, 297.0, 1e-9, "mm");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(words_stand_out_by_four_and_a_half_to_one),
    cmocka_unit_test(a_file_name_says_the_format),
    cmocka_unit_test(a_resolution_out_of_reason_is_refused),
    cmocka_unit_test(words_wrap_and_are_never_cut),
    cmocka_unit_test(signs_without_a_font_are_warned_about_by_name),
    cmocka_unit_test(the_same_input_gives_the_same_bytes),
    cmocka_unit_test(our_own_pictures_are_known_again),
    cmocka_unit_test(a_pdf_carries_a_fixed_date),
    cmocka_unit_test(an_svg_is_titled_for_screen_readers),
    cmocka_unit_test(a_foot_counts_the_pages),
    cmocka_unit_test(a_png_of_too_many_pages_is_refused),
    cmocka_unit_test(letter_and_a4_have_their_sizes),
};

expect_main(tests)
