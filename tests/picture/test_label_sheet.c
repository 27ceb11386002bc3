/* SPDX-License-Identifier: MIT
 *
 * Labels: nothing is cut, nothing overlaps, each stays on its own label, cautions are never lost.
 */
#include "drawn.h"

#include "sample_sheets.h"

static const struct spl_page_options pdf = {.format = SPL_PAGE_PDF};

static void an_ordinary_sheet_has_all_its_words(void **state)
{
    (void)state;
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = sample_labels();
    struct spl_page_report report = {0};
    sheet.stock = &stock;
    GError *error = NULL;
    g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, &error);
    expect_ok(error);
    drawn_expect_clean(&report);
    g_autofree char *words = drawn_words(&report);
    static const char *const wanted[] = {"Dandelion flower",
                                         "Taraxacum officinale",
                                         "Tincture 1:5 fresh, mL per g put in",
                                         "alcohol about 34.2 % vol",
                                         "use by 6 June 2029",
                                         "100 mL",
                                         "from High Croft",
                                         "cool and dark",
                                         "ANN:L27-001",
                                         "Keep out of the reach of children.",
                                         "WITHDRAWN: do not use",
                                         "For external use only",
                                         "for no. 4711, handed out 2 Sep 2027",
                                         "Cautions: read the sheet for L27-003",
                                         "To go with the labels",
                                         "L27-003 St John's wort",
                                         "Stop at least ten days before an operation."};
    for (gsize i = 0; i < G_N_ELEMENTS(wanted); i++)
        drawn_expect_holds(words, wanted[i]);
    assert_int_equal(report.pages, 2); /* labels, cautions */
    spl_page_report_clear(&report);
}

/* Each ink of the first page lies within the label that it belongs to, in order. */
static void expect_within_labels(const struct spl_page_report *report,
                                 const struct spl_label_stock *s, int skip, int count)
{
    int place = skip - 1;
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->page > 0)
            break;
        if (ink->kind == SPL_INK_MARK) /* the QR code is drawn first */
            place++;
        double x = SPL_MM(s->left + (place % s->across) * s->step_x);
        double y = SPL_MM(s->top + (place / s->across) * s->step_y);
        assert_true(ink->x >= x && ink->y >= y && ink->x + ink->w <= x + SPL_MM(s->label_w) &&
                    ink->y + ink->h <= y + SPL_MM(s->label_h));
    }
    assert_int_equal(place - skip + 1, count);
}

static void labels_keep_to_their_places_and_used_ones_are_left_out(void **state)
{
    (void)state;
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = sample_labels();
    sheet.stock = &stock;
    for (sheet.skip = 0; sheet.skip < 19; sheet.skip += 6) {
        struct spl_page_report report = {0};
        g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, NULL);
        assert_non_null(bytes);
        expect_within_labels(&report, &stock, sheet.skip, 5);
        spl_page_report_clear(&report);
    }
    sheet.skip = 24;
    GError *error = NULL;
    assert_null(spl_label_sheet_draw(&sheet, &pdf, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "give 0 to 23");
}

static void hostile_names_wrap_and_nothing_is_lost(void **state)
{
    (void)state;
    static const char *const names[] = {
        "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
        "The mixed spring tincture of dandelion flower and leaf with nettle and cleavers",
        "\350\222\262\345\205\254\350\213\261\350\222\262\345\205\254\350\213\261\350\222\262\345"
        "\205\254\350\213\261",
        "\330\247\331\204\331\207\331\206\330\257\330\250\330\247\330\241 "
        "\330\247\331\204\330\250\330\261\331\212\330\251",
        "\320\236\320\264\321\203\320\262\320\260\320\275\321\207\320\270\320\272 "
        "\320\273\320\265\320\272\320\260\321\200\321\201\321\202\320\262\320\265\320\275\320\275"
        "\321\213\320\271",
        "\340\244\270\340\244\277\340\244\202\340\244\271\340\244\252\340\244\260\340\245\215\340"
        "\244\243\340\245\200",
    };
    static const char *const cautions[] = {
        "A first caution that is quite long and says with what it must not be taken together.",
        "A second caution.", "A third one, for children.", "A fourth one, for expectant mothers."};
    struct spl_label labels[60];
    char codes[60][16];
    for (int i = 0; i < 60; i++) {
        g_snprintf(codes[i], sizeof codes[i], "L27-%03d", i + 1);
        labels[i] = (struct spl_label){.size = SPL_LABEL_MIDDLE,
                                       .mark = i % 4 == 0 ? "GREENDALE" : "ANN",
                                       .code = codes[i],
                                       .common = names[(gsize)i % G_N_ELEMENTS(names)],
                                       .latin = "Taraxacum officinale",
                                       .part = "flower and leaf",
                                       .preparation = "Tincture",
                                       .ratio = "1:5 fresh, mL per g put in",
                                       .menstruum = "spirit 40 %",
                                       .final_abv_frac = 0.342,
                                       .amount = 100,
                                       .unit = "mL",
                                       .made = DAY(2027, 5, 4),
                                       .use_by = DAY(2029, 5, 4),
                                       .place = i % 3 == 0 ? names[0] : "High Croft",
                                       .storage = "cool and dark",
                                       .cautions = cautions,
                                       .n_cautions = (gsize)i % 5};
        if (labels[i].n_cautions > 4)
            labels[i].n_cautions = 4;
    }
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = {.stock = &stock, .labels = labels, .n_labels = 60};
    struct spl_page_report report = {0};
    GError *error = NULL;
    g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, &error);
    expect_ok(error);
    drawn_expect_clean(&report);
    assert_int_equal(report.warnings->len, 0);
    g_autofree char *words = drawn_words(&report);
    for (int i = 0; i < 60; i++) {
        drawn_expect_holds(words, labels[i].common);
        g_autofree char *code = spl_label_qr_text(labels[i].mark, labels[i].code);
        drawn_expect_holds(words, code);
    }
    /* Per label: either its cautions or the name of their sheet, and then the sheet has them. */
    for (int i = 0; i < 60; i++) {
        if (labels[i].n_cautions == 0)
            continue;
        g_autofree char *named = g_strdup_printf("Cautions: read the sheet for %s", codes[i]);
        g_autofree char *squeezed = drawn_squeeze(named);
        g_autofree char *head = g_strdup_printf("%s  %s %s %s", codes[i], labels[i].common,
                                                labels[i].part, labels[i].preparation);
        if (strstr(words, squeezed) != NULL)
            drawn_expect_holds(words, head);
    }
    spl_page_report_clear(&report);
}

static void one_label_on_a_page(void **state)
{
    (void)state;
    struct spl_label_sheet sheet = sample_labels();
    struct spl_page_report report = {0};
    g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, NULL);
    assert_non_null(bytes);
    assert_int_equal(report.pages, 5); /* there is room for all cautions */
    drawn_expect_clean(&report);
    spl_page_report_clear(&report);
}

/* Lengths in mm: a dropper bottle of 30 mL, a bottle of 100 mL, a jar of a litre, its tag. No word
 * is under 7 pt (common practice for medicines, no source), and all of it lies on the label. */
static void each_size_says_what_belongs_on_it(void **state)
{
    static const struct {
        enum spl_label_size size;
        double w, h;
        const char *says[6], *not [4];
    } rows[] = {
        {SPL_LABEL_SMALL,
         63.5,
         33.9,
         {"for no. 1042", "Tincture 1:5, 34.2 % vol alcohol", "Keep out of the reach of children.",
          "5 mL in water", "use by 6 June 2029", "ANN:L27-001"},
         {"Taraxacum", "opened on", "left:", "in spirit"}},
        {SPL_LABEL_MIDDLE,
         99.1,
         67.7,
         {"Taraxacum officinale", "opened on", "1:1 of L27-002 and L27-003", "5 mL in water",
          "Not with bile-duct obstruction", "Harrowdale"},
         {"left:", "shaken", "INSIDE", NULL}},
        {SPL_LABEL_SMALL,
         99.1,
         38.1,
         {"Alcohol: not for children", "Harrowdale dispensary", "Dandelion flower", "5 mL in water",
          "use by 6 June 2029", "ANN:L27-001"},
         {"Taraxacum", "opened on", "left:", "in spirit"}},
        {SPL_LABEL_LARGE,
         99.1,
         67.7,
         {"INSIDE", "left:", "strained 6 June 2027", "shelf B3", "parchment under a metal lid",
          "use by 6 June 2029"},
         {"opened on", "shaken", "5 mL in water", NULL}},
        {SPL_LABEL_TAG,
         63.5,
         33.9,
         {"L27-001", "Dandelion flower", "strained from 6 June 2029", "shaken",
          "Dandelion flower, tincture 1:5", NULL},
         {"left:", "opened on", "Harrowdale", "INSIDE"}},
    };
    static const char *const cautions[] = {"Not with bile-duct obstruction or gallstones."};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct spl_label label = {.size = rows[i].size,
                                  .mark = "ANN",
                                  .code = "L27-001",
                                  .common = "Dandelion",
                                  .part = "flower",
                                  .latin = "Taraxacum officinale",
                                  .preparation = "Tincture",
                                  .ratio = "1:5",
                                  .menstruum = "spirit 40 %",
                                  .final_abv_frac = 0.342,
                                  .amount = NAN,
                                  .made = DAY(2027, 6, 6),
                                  .made_as = "strained",
                                  .use_by = DAY(2029, 6, 6),
                                  .use_as = rows[i].size == SPL_LABEL_TAG ? "strained from" : NULL,
                                  .directions = "5 mL in water, three times a day",
                                  .shares = "1:1 of L27-002 and L27-003",
                                  .shelf = "shelf B3",
                                  .lid = "parchment under a metal lid",
                                  .inside = TRUE,
                                  .gathered_from = SPL_DAY_NONE,
                                  .gathered_to = SPL_DAY_NONE,
                                  .handed_out = DAY(2027, 9, 2),
                                  .reference = "1042",
                                  .dispensary = "Harrowdale dispensary",
                                  .children = "Keep out of the reach of children.",
                                  .warning = "Alcohol: not for children, nor in pregnancy.",
                                  .cautions = cautions,
                                  .n_cautions = 1};
        struct spl_label_stock stock = sample_stock();
        struct spl_label_sheet sheet = {.stock = &stock, .labels = &label, .n_labels = 1};
        struct spl_page_report report = {0};
        GError *error = NULL;

        stock.across = stock.down = 1;
        stock.label_w = rows[i].w;
        stock.label_h = rows[i].h;
        g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, &error);
        expect_ok(error);
        drawn_expect_clean(&report);
        g_autofree char *words = drawn_words_of_page(&report, 0);
        for (gsize k = 0; k < G_N_ELEMENTS(rows[i].says) && rows[i].says[k] != NULL; k++)
            drawn_expect_holds(words, rows[i].says[k]);
        for (gsize k = 0; k < G_N_ELEMENTS(rows[i].not ) && rows[i].not [k] != NULL; k++)
            drawn_expect_lacks(words, rows[i].not [k]);
        spl_page_report_clear(&report);
    }
}

/* Low labels: below 11 mm no telephone reads a code from a bottle, so its words stand alone. */
static void a_label_too_low_for_a_code_has_its_words(void **state)
{
    (void)state;
    struct spl_label label = {.size = SPL_LABEL_SMALL,
                              .mark = "ANN",
                              .code = "L27-001",
                              .common = "Dandelion",
                              .part = "flower",
                              .preparation = "Tincture",
                              .ratio = "1:5",
                              .final_abv_frac = 0.342,
                              .amount = NAN,
                              .made = DAY(2027, 6, 6),
                              .gathered_from = SPL_DAY_NONE,
                              .gathered_to = SPL_DAY_NONE,
                              .handed_out = SPL_DAY_NONE,
                              .use_by = DAY(2029, 6, 6)};
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = {.stock = &stock, .labels = &label, .n_labels = 1};
    static const double heights[] = {17.5, 25.4}; /* mm */

    stock.across = stock.down = 1;
    stock.label_w = 70.0;
    for (gsize i = 0; i < G_N_ELEMENTS(heights); i++) {
        struct spl_page_report report = {0};
        GError *error = NULL;
        guint codes = 0;

        stock.label_h = heights[i];
        g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, &error);
        expect_ok(error);
        drawn_expect_clean(&report);
        for (guint k = 0; k < report.inks->len; k++) {
            const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, k);
            codes += ink->kind == SPL_INK_MARK;
            if (ink->kind == SPL_INK_MARK)
                assert_true(ink->w >= SPL_MM(11.0) && ink->h >= SPL_MM(11.0));
        }
        assert_int_equal(codes, i); /* none on the low one */
        assert_int_equal(drawn_count(&report, "ANN:L27-001", 0), 1);
        spl_page_report_clear(&report);
    }
}

static void words_that_cannot_fit_are_an_error_that_names_the_label(void **state)
{
    (void)state;
    g_autofree char *long_name = g_strnfill(900, 'w');
    struct spl_label label = {.mark = "ANN",
                              .code = "L27-009",
                              .common = long_name,
                              .final_abv_frac = NAN,
                              .amount = NAN,
                              .made = DAY(2027, 5, 4),
                              .use_by = SPL_DAY_NONE};
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = {.stock = &stock, .labels = &label, .n_labels = 1};
    GError *error = NULL;
    assert_null(spl_label_sheet_draw(&sheet, &pdf, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "L27-009");
    label.code = NULL;
    assert_null(spl_label_sheet_draw(&sheet, &pdf, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "no code");
    g_autofree char *long_code = g_strnfill(400, 'L');
    label = (struct spl_label){.code = long_code,
                               .common = "x",
                               .final_abv_frac = NAN,
                               .amount = NAN,
                               .made = DAY(2027, 5, 4),
                               .use_by = SPL_DAY_NONE};
    assert_null(spl_label_sheet_draw(&sheet, &pdf, NULL, &error));
    assert_non_null(error);
    assert_int_equal(error->code, SPL_ERROR_INVALID);
    g_clear_error(&error);
}

static void a_sheet_that_cannot_be_is_refused(void **state)
{
    (void)state;
    static const struct {
        double label_w, step_x, left, page_w;
        int across;
        const char *said;
    } rows[] = {
        {63.5, 60.0, 7.25, 210.0, 3, "overlap"},
        {63.5, 66.0, 30.0, 210.0, 3, "leave the page"},
        {10.0, 66.0, 7.25, 210.0, 3, "too small"},
        {63.5, 66.0, 7.25, 9000.0, 3, "printer"},
        {63.5, 66.0, 7.25, 210.0, 0, "no labels"},
        {NAN, 66.0, 7.25, 210.0, 3, "too small"},
        {63.5, 66.0, NAN, 210.0, 3, "leave the page"},
    };
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct spl_label_stock stock = sample_stock();
        stock.label_w = rows[i].label_w;
        stock.step_x = rows[i].step_x;
        stock.left = rows[i].left;
        stock.page_w = rows[i].page_w;
        stock.across = rows[i].across;
        GError *error = NULL;
        assert_false(spl_label_stock_check(&stock, &error));
        expect_error(error, SPL_ERROR_INVALID, rows[i].said);
    }
}

/* Labels that touch are cut by hand: a mark along each edge at each corner, where no words are. */
static void labels_that_touch_have_cutting_marks(void **state)
{
    (void)state;
    struct spl_label_stock stock = sample_stock();
    struct spl_label_sheet sheet = sample_labels();
    sheet.stock = &stock;
    for (int touching = 0; touching < 2; touching++) {
        struct spl_page_report report = {0};
        guint marks = 0;
        if (touching) {
            stock.label_w = stock.step_x = 70.0;
            stock.label_h = stock.step_y = 37.0;
            stock.left = 0.0;
            stock.top = 0.5;
        }
        g_autoptr(GBytes) bytes = spl_label_sheet_draw(&sheet, &pdf, &report, NULL);
        assert_non_null(bytes);
        for (guint i = 0; i < report.inks->len; i++) {
            const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
            if (ink->page > 0 || ink->kind != SPL_INK_RULE)
                continue;
            double across = fmod(ink->x + ink->w / 2, SPL_MM(70.0));
            double down = fmod(ink->y + ink->h / 2 - SPL_MM(0.5) + SPL_MM(37.0), SPL_MM(37.0));
            assert_true(MIN(across, SPL_MM(70.0) - across) < SPL_MM(1.8));
            assert_true(MIN(down, SPL_MM(37.0) - down) < SPL_MM(1.8));
            marks++;
        }
        assert_int_equal(marks, touching ? 8 * 5 : 0);
        drawn_expect_clean(&report);
        spl_page_report_clear(&report);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(an_ordinary_sheet_has_all_its_words),
    cmocka_unit_test(labels_that_touch_have_cutting_marks),
    cmocka_unit_test(labels_keep_to_their_places_and_used_ones_are_left_out),
    cmocka_unit_test(hostile_names_wrap_and_nothing_is_lost),
    cmocka_unit_test(one_label_on_a_page),
    cmocka_unit_test(each_size_says_what_belongs_on_it),
    cmocka_unit_test(a_label_too_low_for_a_code_has_its_words),
    cmocka_unit_test(words_that_cannot_fit_are_an_error_that_names_the_label),
    cmocka_unit_test(a_sheet_that_cannot_be_is_refused),
};

expect_main(tests)
