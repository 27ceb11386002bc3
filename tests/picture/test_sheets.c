/* SPDX-License-Identifier: MIT
 *
 * Ledger, outing sheet, year in review and batch record: all their words, on paper, apart.
 */
#include "drawn.h"

#include "sample_sheets.h"

#define FORTY "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"
#define LONG                                                                                       \
    "asked on the first of May about the verge along the long meadow below the old mill; the "     \
    "person who owns the ground will ask the contractor and ring back before the week is out"

static const struct spl_page_options pdf = {.format = SPL_PAGE_PDF};
static const struct spl_page_options letter = {.paper = SPL_PAPER_LETTER, .format = SPL_PAGE_SVG};

/* Draws to A4 and Letter, checks both, leaves the A4 report. */
#define draw_clean(draw, input, report)                                                            \
    do {                                                                                           \
        for (int pass_ = 0; pass_ < 2; pass_++) {                                                  \
            GError *error_ = NULL;                                                                 \
            spl_page_report_clear(report);                                                         \
            g_autoptr(GBytes) bytes_ = draw(input, pass_ == 0 ? &letter : &pdf, report, &error_);  \
            expect_ok(error_);                                                                     \
            assert_non_null(bytes_);                                                               \
            drawn_expect_clean(report);                                                            \
        }                                                                                          \
    } while (0)

static void expect_all(const struct spl_page_report *report, const char *const *wanted, gsize n)
{
    g_autofree char *words = drawn_words(report);
    for (gsize i = 0; i < n; i++)
        drawn_expect_holds(words, wanted[i]);
}

static void the_ledger_says_since_when_and_until_when(void **state)
{
    (void)state;
    struct spl_shelf_page shelf = sample_shelf();
    struct spl_page_report report = {0};
    draw_clean(spl_shelf_page_draw, &shelf, &report);
    static const char *const wanted[] = {"B27-001",
                                         "Dandelion flower tincture",
                                         "24 Apr 2027",
                                         "5 June 2027",
                                         "24 Apr 2028",
                                         "shake, 10 May 2027",
                                         "1 May 2027, ready",
                                         "8 May 2027 (past)",
                                         "L26-005",
                                         "WITHDRAWN",
                                         "4 May 2027: the verge was sprayed in May 2026",
                                         "34.2 % vol",
                                         "310 mL",
                                         "2 Apr 2027",
                                         "as it stood on 9 May 2027",
                                         "500 mL"};
    expect_all(&report, wanted, G_N_ELEMENTS(wanted));
    spl_page_report_clear(&report);
}

/* Words that stand beside each other on a line are 3 mm apart. */
static void expect_gutters(const struct spl_page_report *report)
{
    int beside = 0;
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *a = &g_array_index(report->inks, struct spl_ink, i);
        for (guint k = 0; k < report->inks->len; k++) {
            const struct spl_ink *b = &g_array_index(report->inks, struct spl_ink, k);
            if (i == k || a->kind != SPL_INK_TEXT || b->kind != SPL_INK_TEXT ||
                a->page != b->page || b->x < a->x || a->y > b->y + b->h || b->y > a->y + a->h)
                continue;
            beside++;
            if (b->x - a->x - a->w < SPL_MM(3.0) - 0.7) /* a sign may overhang its place a little */
                fail_msg("'%s' and '%s' are only %.1f mm apart", a->what, b->what,
                         (b->x - a->x - a->w) * 25.4 / 72.0);
        }
    }
    assert_true(beside > 20);
}

static void columns_keep_apart_and_empty_ones_are_left_out(void **state)
{
    (void)state;
    struct spl_shelf_page shelf = sample_shelf();
    struct spl_year_page year = sample_year();
    struct spl_page_report report = {0};
    year.predictions = NULL; /* whose picture has words of its own */
    year.n_predictions = 0;
    draw_clean(spl_year_page_draw, &year, &report);
    expect_gutters(&report);
    draw_clean(spl_shelf_page_draw, &shelf, &report);
    expect_gutters(&report);
    assert_int_equal(drawn_count(&report, "remarks", 0), 1);
    assert_int_equal(drawn_count(&report, "why", 0), 1);
    shelf.n_jars = 1; /* of which nothing is remarked */
    shelf.n_lots = 2; /* on the shelf, neither withdrawn */
    draw_clean(spl_shelf_page_draw, &shelf, &report);
    expect_gutters(&report);
    assert_int_equal(drawn_count(&report, "remarks", 0), 0);
    assert_int_equal(drawn_count(&report, "why", 0), 0);
    assert_int_equal(drawn_count(&report, "strength", 0), 1);
    spl_page_report_clear(&report);
}

static void a_long_ledger_repeats_its_heads(void **state)
{
    (void)state;
    enum { N = 200 };
    struct spl_shelf_page shelf = sample_shelf();
    g_autofree struct spl_shelf_page_lot *lots = g_new0(struct spl_shelf_page_lot, N);
    g_autofree struct spl_shelf_page_jar *jars = g_new0(struct spl_shelf_page_jar, N);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; i < N; i++) {
        g_ptr_array_add(names, g_strdup_printf("L27-%03d", i + 1));
        lots[i] = shelf.lots[i % 4];
        lots[i].code = g_ptr_array_index(names, names->len - 1);
        lots[i].what = i % 7 == 0 ? FORTY : lots[i].what;
        lots[i].reason = i % 11 == 0 ? LONG : NULL;
        g_ptr_array_add(names, g_strdup_printf("B27-%03d", i + 1));
        jars[i] = shelf.jars[i % 3];
        jars[i].code = g_ptr_array_index(names, names->len - 1);
        jars[i].remark = i % 5 == 0 ? FORTY FORTY : NULL;
    }
    shelf.lots = lots;
    shelf.jars = jars;
    shelf.n_lots = shelf.n_jars = N;
    struct spl_page_report report = {0};
    draw_clean(spl_shelf_page_draw, &shelf, &report);
    g_autofree char *words = drawn_words(&report);
    for (guint i = 0; i < names->len; i++)
        drawn_expect_holds(words, g_ptr_array_index(names, i));
    for (int page = 0; page < report.pages; page++)
        assert_true(drawn_count(&report, "what", page) >= 1);
    spl_page_report_clear(&report);
}

static void a_remark_longer_than_a_page_runs_on(void **state)
{
    (void)state;
    struct spl_shelf_page shelf = sample_shelf();
    struct spl_shelf_page_lot lot = shelf.lots[0];
    GString *remark = g_string_new(NULL);
    for (int i = 0; remark->len < 4000; i++)
        g_string_append_printf(remark, "word%d ", i);
    g_string_append(remark, "lastword");
    lot.reason = remark->str;
    shelf.lots = &lot;
    shelf.n_lots = 1;
    struct spl_page_report report = {0};
    draw_clean(spl_shelf_page_draw, &shelf, &report);
    assert_true(report.pages >= 2);
    g_autofree char *words = drawn_words(&report);
    drawn_expect_holds(words, "word0 word1");
    drawn_expect_holds(words, "lastword");
    for (int i = 0; i < 500; i += 17) {
        g_autofree char *one = g_strdup_printf("word%d", i);
        drawn_expect_holds(words, one);
    }
    g_string_free(remark, TRUE);
    spl_page_report_clear(&report);
}

static void the_outing_sheet_asks_what_the_log_asks(void **state)
{
    (void)state;
    struct spl_outing_sheet outing = sample_outing();
    struct spl_page_report report = {0};
    draw_clean(spl_outing_sheet_draw, &outing, &report);
    assert_int_equal(report.pages, 2); /* its front, and the back with the cautions */
    static const char *const wanted[] = {"Outing of Saturday 24 April 2027",
                                         "reserve day Sun 25 Apr",
                                         "out 09:30",
                                         "home by 15:00",
                                         "1 High Croft",
                                         "not before 10:00",
                                         "away by 12:30",
                                         "54.9755, -2.4675",
                                         "CLEAR",
                                         "last asked 2 Apr 2027",
                                         "take 180 g",
                                         "about 230 pieces",
                                         "take 300 g",
                                         "the stand can spare no more",
                                         "look for: first flowers, many buds still shut",
                                         "14 Apr to 20 May",
                                         "2 Sike Foot",
                                         "ASK",
                                         "last asked 3 Dec 2026",
                                         "Deadly look-alikes",
                                         "weight",
                                         "garbled",
                                         "stage seen",
                                         "weather",
                                         "gathered by",
                                         "plant named by",
                                         "by which signs",
                                         "asked whom, on which day",
                                         "leave given by",
                                         "Without who named it and by which signs",
                                         "4.8 km in all",
                                         "Then home: 2.3 km.",
                                         "Take along: scales",
                                         "No more than the sheet says."};
    expect_all(&report, wanted, G_N_ELEMENTS(wanted));
    spl_page_report_clear(&report);
}

/* The size of the words that are just these, pt. */
static double size_of(const struct spl_page_report *report, const char *words)
{
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_TEXT && strcmp(ink->what, words) == 0)
            return ink->size;
    }
    fail_msg("'%s' is not drawn", words);
    return 0.0;
}

/* Held at arm's length: 14 pt for what decides, 8 pt at least for all but the foot, in black
 * (common practice, no source). */
static void the_outing_sheet_is_read_at_arms_length(void **state)
{
    (void)state;
    struct spl_outing_sheet outing = sample_outing();
    struct spl_page_report report = {0};
    draw_clean(spl_outing_sheet_draw, &outing, &report);
    static const char *const loud[] = {"1  High Croft", "CLEAR",      "2  Sike Foot", "ASK",
                                       "take 180 g",    "take 250 g", "take 300 g"};
    for (gsize i = 0; i < G_N_ELEMENTS(loud); i++)
        assert_true(size_of(&report, loud[i]) >= 13.0);
    for (guint i = 0; i < report.inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
        gboolean foot = ink->y > report.height - SPL_PAGE_MARGIN - SPL_MM(5.0);
        if (ink->kind == SPL_INK_TEXT && !foot && ink->size < 8.0)
            fail_msg("'%s' is written in %.1f pt", ink->what, ink->size);
    }
    /* Amounts: one for each plant and no second. */
    g_autofree char *front = drawn_words_of_page(&report, 0);
    drawn_expect_lacks(front, "420 g");
    drawn_expect_lacks(front, "900 g");
    /* What the plant could be mistaken for stands on the back, and only there. */
    g_autofree char *back = drawn_words_of_page(&report, 1);
    drawn_expect_lacks(front, "hemlock water-dropwort");
    drawn_expect_lacks(front, "cat's-ear");
    drawn_expect_holds(back, "hemlock water-dropwort");
    drawn_expect_holds(front, "DEADLY look-alike: read the back before you pick");
    const char *once = strstr(back, "cat's-ear"); /* of two parts of one plant */
    assert_non_null(once);
    assert_null(strstr(once + 1, "cat's-ear"));
    /* A code with the position of each stop, by RFC 5870. */
    int codes = 0;
    for (guint i = 0; i < report.inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
        codes += ink->kind == SPL_INK_MARK && (strcmp(ink->what, "geo:54.97550,-2.46750") == 0 ||
                                               strcmp(ink->what, "geo:54.96880,-2.45200") == 0);
    }
    assert_int_equal(codes, 2);
    spl_page_report_clear(&report);
}

static void closed_ground_and_a_spent_stand_name_no_amount(void **state)
{
    (void)state;
    struct spl_outing_sheet outing = sample_outing();
    struct spl_outing_sheet_stop stops[2];
    struct spl_outing_sheet_take spent;
    struct spl_page_report report = {0};
    memcpy(stops, outing.stops, sizeof stops);
    spent = stops[1].takes[0];
    spent.grams = 0;
    spent.allowance_g = 0;
    stops[0].verdict = SPL_VERDICT_CLOSED;
    stops[1].takes = &spent;
    outing.stops = stops;
    draw_clean(spl_outing_sheet_draw, &outing, &report);
    g_autofree char *words = drawn_words(&report);
    drawn_expect_holds(words, "CLOSED");
    drawn_expect_holds(words, "Closed: gather nothing here.");
    drawn_expect_holds(words, "take nothing");
    drawn_expect_lacks(words, "180 g");
    drawn_expect_lacks(words, "cat's-ear");
    spl_page_report_clear(&report);
}

static void a_full_day_shrinks_then_runs_on(void **state)
{
    (void)state;
    struct spl_outing_sheet outing = sample_outing();
    struct spl_outing_sheet_stop stops[12];
    for (int i = 0; i < 12; i++) {
        stops[i] = outing.stops[i % 2];
        stops[i].site = i % 3 == 0 ? FORTY : "Sike Foot";
        stops[i].notes = i % 4 == 3 ? LONG LONG : NULL;
    }
    outing.stops = stops;
    struct spl_page_report report = {0};
    outing.n_stops = 3;
    draw_clean(spl_outing_sheet_draw, &outing, &report);
    assert_int_equal(report.pages, 2);
    outing.n_stops = 12;
    draw_clean(spl_outing_sheet_draw, &outing, &report);
    assert_true(report.pages >= 4);
    outing.n_stops = 0;
    draw_clean(spl_outing_sheet_draw, &outing, &report);
    static const char *const wanted[] = {"No outing is planned for this day."};
    expect_all(&report, wanted, 1);
    spl_page_report_clear(&report);
}

static void the_year_holds_its_figures(void **state)
{
    (void)state;
    struct spl_year_page year = sample_year();
    struct spl_page_report report = {0};
    draw_clean(spl_year_page_draw, &year, &report);
    static const char *const wanted[] = {"The year 2027",
                                         "H27-001, H27-003",
                                         "265 g",
                                         "63 %",
                                         "107 %",
                                         "1.42 kg",
                                         "402 mL (371 mL\342\200\223420 mL)",
                                         "99 %",
                                         "121 %",
                                         "still stands",
                                         "D27-001",
                                         "gone brown on the rack",
                                         "3 days early",
                                         "9 days late",
                                         "nothing",
                                         "On the mean 4 days off",
                                         "2 of 3 within the range"};
    expect_all(&report, wanted, G_N_ELEMENTS(wanted));
    struct spl_year_page empty = {.year = 2027};
    draw_clean(spl_year_page_draw, &empty, &report);
    static const char *const none[] = {"Nothing was gathered.", "No batch was started.",
                                       "Nothing was lost."};
    expect_all(&report, none, G_N_ELEMENTS(none));
    spl_page_report_clear(&report);
}

static void a_long_year_repeats_its_heads(void **state)
{
    (void)state;
    enum { N = 200 };
    struct spl_year_page year = sample_year();
    struct spl_year_page_taken taken[N];
    struct spl_year_page_made made[N];
    for (int i = 0; i < N; i++) {
        taken[i] = year.taken[i % 3];
        taken[i].site = i % 5 == 0 ? FORTY : "Beck Side";
        made[i] = year.made[i % 3];
        made[i].what = i % 6 == 0 ? FORTY : made[i].what;
    }
    year.taken = taken;
    year.made = made;
    year.n_taken = year.n_made = N;
    struct spl_page_report report = {0};
    draw_clean(spl_year_page_draw, &year, &report);
    guint heads = drawn_count(&report, "could spare", -1);
    assert_true(heads >= 4 && report.pages >= 8);
    spl_page_report_clear(&report);
}

static void the_batch_record_has_every_item(void **state)
{
    (void)state;
    struct spl_batch_record batch = sample_batch();
    struct spl_page_report report = {0};
    draw_clean(spl_batch_record_draw, &batch, &report);
    assert_int_equal(report.pages, 1);
    /* 21 CFR 111.260 (a)-(n); (d) and (e) share a table. */
    static const char *const wanted[] = {"(a)",
                                         "(b)",
                                         "(c)",
                                         "(d)(e)",
                                         "(f)",
                                         "(g)",
                                         "(h)",
                                         "(i)",
                                         "(j)",
                                         "(k)",
                                         "(l)",
                                         "(m)",
                                         "(n)",
                                         "ANN:B27-001",
                                         "H27-001",
                                         "87 g",
                                         "lot 8812",
                                         "435 mL",
                                         "455 mL of 40 % vol",
                                         "reckoned final strength 34.2 % vol",
                                         "Actual 398 mL; reckoned with 402 mL; that is 99 % of it",
                                         "within the likely range of 371 mL to 420 mL",
                                         "top up with 20 mL",
                                         "L27-001",
                                         "released 7 June 2027 by Ann",
                                         "one shake missed",
                                         "Screw press",
                                         "6 June 2029",
                                         "not with bile-duct obstruction"};
    expect_all(&report, wanted, G_N_ELEMENTS(wanted));
    /* In the rule's order, and the page is used: what is left over is there to write on. */
    g_autofree char *words = drawn_words(&report);
    const char *at = words;
    for (gsize i = 0; i < 13; i++) {
        g_autofree char *item = drawn_squeeze(wanted[i]);
        at = strstr(at, item);
        if (at == NULL)
            fail_msg("%s does not follow %s", wanted[i], wanted[i - 1]);
    }
    double lowest = 0.0, foot = report.height - SPL_PAGE_MARGIN - SPL_MM(5.0);
    for (guint i = 0; i < report.inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
        if (ink->y < foot)
            lowest = MAX(lowest, ink->y + ink->h);
    }
    assert_true(lowest > 0.85 * report.height);
    batch.yield_ml = 300;
    draw_clean(spl_batch_record_draw, &batch, &report);
    static const char *const outside[] = {"OUTSIDE the likely range"};
    expect_all(&report, outside, 1);
    batch.yield_ml = NAN;
    batch.pressed = SPL_DAY_NONE;
    draw_clean(spl_batch_record_draw, &batch, &report);
    static const char *const standing[] = {"still stands",
                                           "Not pressed yet; reckoned with 402 mL."};
    expect_all(&report, standing, 2);
    spl_page_report_clear(&report);
}

static void a_hostile_batch_record_runs_on(void **state)
{
    (void)state;
    enum { N = 80 };
    struct spl_batch_record batch = sample_batch();
    struct spl_batch_record_component components[N];
    struct spl_batch_record_note notes[N];
    for (int i = 0; i < N; i++) {
        components[i] = batch.components[i % 3];
        components[i].what = i % 4 == 0 ? FORTY FORTY : LONG;
        notes[i] = (struct spl_batch_record_note){"bcghiklmn"[i % 9], SPL_DAY_NONE, LONG};
    }
    batch.components = components;
    batch.n_components = N;
    batch.notes = notes;
    batch.n_notes = N;
    batch.what = FORTY " " FORTY;
    struct spl_page_report report = {0};
    draw_clean(spl_batch_record_draw, &batch, &report);
    assert_true(report.pages > 2);
    assert_true(drawn_count(&report, "identifier", -1) >= 2);
    spl_page_report_clear(&report);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_ledger_says_since_when_and_until_when),
    cmocka_unit_test(columns_keep_apart_and_empty_ones_are_left_out),
    cmocka_unit_test(a_long_ledger_repeats_its_heads),
    cmocka_unit_test(a_remark_longer_than_a_page_runs_on),
    cmocka_unit_test(the_outing_sheet_asks_what_the_log_asks),
    cmocka_unit_test(the_outing_sheet_is_read_at_arms_length),
    cmocka_unit_test(closed_ground_and_a_spent_stand_name_no_amount),
    cmocka_unit_test(a_full_day_shrinks_then_runs_on),
    cmocka_unit_test(the_year_holds_its_figures),
    cmocka_unit_test(a_long_year_repeats_its_heads),
    cmocka_unit_test(the_batch_record_has_every_item),
    cmocka_unit_test(a_hostile_batch_record_runs_on),
};

expect_main(tests)
