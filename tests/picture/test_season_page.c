/* SPDX-License-Identifier: MIT
 *
 * The almanac page: ordinary and hostile seasons.
 */
#include "drawn.h"

#include <math.h>

#include "sample_season.h"

static void draw_clean(const struct spl_season_page *season, struct spl_page_report *report)
{
    static const enum spl_page_paper papers[] = {SPL_PAPER_LETTER, SPL_PAPER_A4};
    for (gsize i = 0; i < G_N_ELEMENTS(papers); i++) {
        struct spl_page_options options = {.paper = papers[i], .format = SPL_PAGE_PDF};
        GError *error = NULL;
        spl_page_report_clear(report);
        g_autoptr(GBytes) bytes = spl_season_page_draw(season, &options, report, &error);
        expect_ok(error);
        assert_non_null(bytes);
        drawn_expect_clean(report);
    }
}

static void an_ordinary_season_has_all_its_words(void **state)
{
    (void)state;
    struct spl_season_page season = sample_season();
    struct spl_page_report report = {0};
    draw_clean(&season, &report);
    g_autofree char *words = drawn_words(&report);
    static const char *const wanted[] = {"The season 2027",
                                         "Dandelion",
                                         "Taraxacum officinale",
                                         "flower, High Croft, clear",
                                         "may begin 14 Apr",
                                         "mostly over 20 May",
                                         "24 Apr \342\200\223 6 May",
                                         "today, 9 May",
                                         "may begin 20 Mar",
                                         "mostly over 14 May",
                                         "may begin 25 July",
                                         "mostly over 10 Sep",
                                         "no dates known",
                                         "B27-001 Dandelion flower tincture",
                                         "stands since 24 Apr",
                                         "ready from 5 June 2027",
                                         "1 Sat 24 Apr (reserve Sun 25 Apr): High Croft, Sike Foot",
                                         "leaf (medicine), High Croft, clear",
                                         "5 Sat 19 June: Beck Side, Far Garth",
                                         "Dates that rest on an almanac"};
    for (gsize i = 0; i < G_N_ELEMENTS(wanted); i++)
        drawn_expect_holds(words, wanted[i]);
    /* Spring flowers and summer leaves of one plant stand beneath each other. */
    const char *flower = strstr(words, "flower,HighCroft"), *leaf = strstr(words, "leaf(medicine)");
    assert_non_null(flower);
    assert_true(leaf > flower);
    g_autofree char *between = g_strndup(flower, (gsize)(leaf - flower));
    assert_null(strstr(between, "Elder"));
    spl_page_report_clear(&report);
}

/* Where a text was written. */
static const struct spl_ink *ink_of(const struct spl_page_report *report, const char *what)
{
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_TEXT && strcmp(ink->what, what) == 0)
            return ink;
    }
    fail_msg("'%s' is not drawn", what);
    return NULL;
}

/* Where a year's day lies (`passed`: the days before it), by the months' names: they are centred on
 * their months, so January's and December's middles, both of 31 days, give the scale. */
static double x_of(const struct spl_page_report *report, double passed, double *per_day)
{
    const struct spl_ink *jan = ink_of(report, "Jan"), *dec = ink_of(report, "Dec");
    double left = jan->x + jan->w / 2.0, right = dec->x + dec->w / 2.0;
    *per_day = (right - left) / (365.0 - 31.0);
    return left + (passed - 15.5) * *per_day;
}

/* From a point to the nearest of a rectangle, pt. */
static double gap_between(const struct spl_ink *a, const struct spl_ink *b)
{
    double across = MAX(0.0, MAX(a->x - b->x - b->w, b->x - a->x - a->w));
    double down = MAX(0.0, MAX(a->y - b->y - b->h, b->y - a->y - a->h));
    return hypot(across, down);
}

/* These words stand beside or below the band that begins (ends) on their day, and no other band of
 * that row is nearer to them. */
static void expect_at_band(const struct spl_page_report *report, const char *begin,
                           struct spl_day day, gboolean at_end)
{
    double per_day;
    double x = x_of(report, day.n - sample_day(2027, 1, 1).n + (at_end ? 1 : 0), &per_day);
    const struct spl_ink *words = NULL, *own = NULL;
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_TEXT && strstr(ink->what, begin) != NULL)
            words = ink;
    }
    if (words == NULL)
        fail_msg("'%s' is not drawn", begin);
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        double end = at_end ? ink->x + ink->w : ink->x;
        if (ink->kind == SPL_INK_HATCH && ink->page == words->page &&
            fabs(end - x) < 1.5 * per_day &&
            (own == NULL || gap_between(words, ink) < gap_between(words, own)))
            own = ink;
    }
    if (own == NULL || gap_between(words, own) > 16.0) /* two lines below */
        fail_msg("'%s' does not stand at its band", begin);
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_HATCH && ink->page == words->page && ink->y == own->y &&
            ink != own && gap_between(words, ink) < gap_between(words, own))
            fail_msg("'%s' stands nearer to another band of its row", begin);
    }
}

static void words_stand_at_the_band_they_are_of(void **state)
{
    (void)state;
    struct spl_season_page season = sample_season();
    /* A second flush that begins before the first is over, and one at the year's end. */
    struct spl_season_page_window late[] = {SAMPLE_WINDOW(6, 14, 6, 26, 8, 19, 9, 2),
                                            SAMPLE_WINDOW(8, 21, 9, 4, 10, 4, 10, 18),
                                            SAMPLE_WINDOW(11, 26, 12, 1, 12, 20, 12, 30)};
    season.today = SPL_DAY_NONE;
    struct spl_season_page_line *lines = g_memdup2(season.lines, sizeof *lines * season.n_lines);
    lines[8].windows = late;
    lines[8].n_windows = G_N_ELEMENTS(late);
    season.lines = lines;
    struct spl_page_report report = {0};
    draw_clean(&season, &report);
    int looked_at = 0;
    for (gsize i = 0; i < season.n_lines; i++)
        for (gsize k = 0; k < lines[i].n_windows; k++) {
            static const char *const months[] = {"Jan",  "Feb", "Mar", "Apr", "May", "June",
                                                 "July", "Aug", "Sep", "Oct", "Nov", "Dec"};
            const struct spl_season_page_window *window = &lines[i].windows[k];
            int month, dom;
            spl_day_to_ymd(window->earliest, NULL, &month, &dom);
            g_autofree char *from = g_strdup_printf("may begin %d %s", dom, months[month - 1]);
            expect_at_band(&report, from, window->earliest, FALSE);
            spl_day_to_ymd(window->latest, NULL, &month, &dom);
            g_autofree char *to = g_strdup_printf("mostly over %d %s", dom, months[month - 1]);
            if (strcmp(to, "mostly over 20 Dec") !=
                0) /* stands with its first word, at the other end */
                expect_at_band(&report, to, window->latest, TRUE);
            looked_at++;
        }
    assert_int_equal(looked_at, 14);
    g_free(lines);
    spl_page_report_clear(&report);
}

static void a_last_line_alone_on_a_page_is_avoided(void **state)
{
    (void)state;
    struct spl_season_page_window window = SAMPLE_WINDOW(4, 14, 4, 24, 5, 6, 5, 20);
    struct spl_season_page_line lines[60];
    struct spl_season_page season = {.first = sample_day(2027, 1, 1),
                                     .last = sample_day(2027, 12, 31),
                                     .today = SPL_DAY_NONE,
                                     .lines = lines};
    static const char *const notes[] = {"A word at the end."};
    season.notes = notes;
    season.n_notes = 1;
    for (int i = 0; i < 60; i++)
        lines[i] = (struct spl_season_page_line){
            .plant = "Elder", .part = "leaf", .place = "Here", .windows = &window, .n_windows = 1};
    /* Whatever the number of lines, the notes share a page with some of them, but where even the
     * closest rows just fill it. */
    int alone = 0;
    for (season.n_lines = 1; season.n_lines <= 60; season.n_lines++) {
        struct spl_page_options options = {.format = SPL_PAGE_SVG};
        struct spl_page_report report = {0};
        g_autoptr(GBytes) bytes = spl_season_page_draw(&season, &options, &report, NULL);
        assert_non_null(bytes);
        alone += drawn_count(&report, "leaf, Here", report.pages - 1) == 0;
        spl_page_report_clear(&report);
    }
    assert_true(alone <= 1);
}

static void a_band_lies_on_its_days(void **state)
{
    (void)state;
    struct spl_season_page_window window = SAMPLE_WINDOW(3, 1, 4, 1, 5, 1, 5, 31);
    struct spl_season_page_line line = {
        .plant = "Elder", .part = "flower", .place = "Here", .windows = &window, .n_windows = 1};
    struct spl_season_page season = {.first = sample_day(2027, 1, 1),
                                     .last = sample_day(2027, 12, 31),
                                     .today = SPL_DAY_NONE,
                                     .lines = &line,
                                     .n_lines = 1};
    struct spl_page_options options = {.format = SPL_PAGE_SVG};
    struct spl_page_report report = {0};
    g_autoptr(GBytes) bytes = spl_season_page_draw(&season, &options, &report, NULL);
    assert_non_null(bytes);
    const struct spl_ink *band = NULL;
    const struct spl_ink *jan = ink_of(&report, "Jan");
    for (guint i = 0; i < report.inks->len && band == NULL; i++) {
        const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_HATCH && ink->x > jan->x) /* the key's stands left of it */
            band = ink;
    }
    assert_non_null(band);
    double per_day;
    double start = x_of(&report, 59.0, &per_day); /* 1 March is day 60: 59 days have passed */
    expect_near(band->x, start, per_day, "pt");
    expect_near(band->w, 92.0 * per_day, per_day, "pt"); /* 31 + 30 + 31 days */
    spl_page_report_clear(&report);
}

static void two_hundred_lines_run_over_pages_with_heads(void **state)
{
    (void)state;
    struct spl_season_page_window window = SAMPLE_WINDOW(4, 14, 4, 24, 5, 6, 5, 20);
    struct spl_season_page_line lines[200];
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; i < 200; i++) {
        char *name = g_strdup_printf("Plant number %d", i / 25);
        char *place = g_strdup_printf("Site %03d", i);
        g_ptr_array_add(names, name);
        g_ptr_array_add(names, place);
        lines[i] = (struct spl_season_page_line){
            .plant = name, .part = "leaf", .place = place, .windows = &window, .n_windows = 1};
    }
    struct spl_season_page season = sample_season();
    season.lines = lines;
    season.n_lines = 200;
    struct spl_page_report report = {0};
    draw_clean(&season, &report);
    assert_true(report.pages >= 4);
    g_autofree char *words = drawn_words(&report);
    for (int i = 0; i < 200; i++) {
        g_autofree char *wanted = g_strdup_printf("leaf, Site %03d", i);
        drawn_expect_holds(words, wanted);
    }
    for (int page = 0; page < report.pages; page++)
        assert_int_equal(drawn_count(&report, "may be gathered; closest in the best days", page),
                         1);
    for (int page = 0; page < report.pages - 1; page++) {
        assert_int_equal(drawn_count(&report, "Jan", page), 1);
        assert_int_equal(drawn_count(&report, "Dec", page), 1);
        assert_true(drawn_count(&report, "The season 2027", page) == 1);
    }
    spl_page_report_clear(&report);
}

static void hostile_names_and_dates_do_not_collide(void **state)
{
    (void)state;
    /* Windows at both ends of the year, all year, one day, many flushes; names of 40 letters and
     * more, without spaces, in several scripts. */
    struct spl_season_page_window windows[] = {
        SAMPLE_WINDOW(1, 1, 1, 1, 12, 31, 12, 31),
        SAMPLE_WINDOW(1, 1, 1, 1, 1, 3, 1, 5),
        SAMPLE_WINDOW(12, 28, 12, 29, 12, 30, 12, 31),
        SAMPLE_WINDOW(6, 15, 6, 15, 6, 15, 6, 15),
        SAMPLE_WINDOW(2, 1, 2, 3, 2, 5, 2, 7),
        SAMPLE_WINDOW(2, 10, 2, 12, 2, 14, 2, 16),
        SAMPLE_WINDOW(2, 18, 2, 20, 2, 22, 2, 24),
        SAMPLE_WINDOW(2, 25, 2, 26, 2, 27, 2, 28),
        SAMPLE_WINDOW(3, 25, 3, 26, 3, 27, 3, 28),
        SAMPLE_WINDOW(1, 20, 2, 26, 11, 27, 12, 10),
        {sample_day(2026, 11, 1), sample_day(2026, 12, 1), sample_day(2027, 2, 1),
         sample_day(2027, 3, 1)},
        {sample_day(2027, 11, 1), SPL_DAY_NONE, SPL_DAY_NONE, sample_day(2028, 3, 1)},
    };
    const char *forty = "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww";
    const char *spaced =
        "The long meadow below the old mill by the second beck of Harrowdale parish";
    const char *han = "\350\222\262\345\205\254\350\213\261\350\222\262\345\205\254\350\213\261\350"
                      "\222\262\345\205\254\350\213\261\350\222\262\345\205\254\350\213\261\350\222"
                      "\262\345\205\254\350\213\261";
    const char *arabic = "\330\247\331\204\331\207\331\206\330\257\330\250\330\247\330\241";
    gsize outings[] = {0, 1, 2, 3, 4, 5, 99};
    struct spl_season_page_line lines[] = {
        {forty, forty, forty, "medicine", forty, SPL_VERDICT_CLOSED, "shifted", &windows[0], 1,
         outings, 7},
        {forty, forty, spaced, NULL, spaced, SPL_VERDICT_ASK, NULL, &windows[1], 1, outings, 2},
        {spaced, spaced, "leaf", NULL, han, SPL_VERDICT_ASK, NULL, &windows[2], 1, NULL, 0},
        {han, "Taraxacum officinale", han, "food", arabic, SPL_VERDICT_NONE, NULL, &windows[3], 1,
         NULL, 0},
        {arabic, NULL, arabic, "food", forty, SPL_VERDICT_NONE, NULL, &windows[4], 5, NULL, 0},
        {"Elder", NULL, "berry", NULL, "x", SPL_VERDICT_NONE, NULL, &windows[9], 1, NULL, 0},
        {"Elder", NULL, "root", NULL, "x", SPL_VERDICT_NONE, NULL, &windows[10], 1, NULL, 0},
        {"Elder", NULL, "bark", NULL, "x", SPL_VERDICT_NONE, NULL, &windows[11], 1, NULL, 0},
        {"Elder", NULL, "bud", NULL, "x", SPL_VERDICT_NONE, NULL, NULL, 0, NULL, 0},
    };
    struct spl_season_page season = sample_season();
    struct spl_season_page_outing days[60];
    for (int i = 0; i < 60; i++)
        days[i] = (struct spl_season_page_outing){spl_day_add(sample_day(2027, 5, 1), i % 7),
                                                  spl_day_add(sample_day(2027, 12, 28), i % 4),
                                                  i % 9 == 0 ? forty : spaced};
    season.lines = lines;
    season.n_lines = G_N_ELEMENTS(lines);
    season.title = spaced;
    season.subtitle = forty;
    season.today = sample_day(2027, 12, 31);
    struct spl_page_report report = {0};
    draw_clean(&season, &report);
    season.outings = days;
    season.n_outings = 60;
    season.today = sample_day(2027, 1, 1);
    draw_clean(&season, &report);
    assert_int_equal(report.warnings->len, 0);
    spl_page_report_clear(&report);
}

static void an_empty_book_gives_a_page_that_says_so(void **state)
{
    (void)state;
    struct spl_season_page season = {
        .first = sample_day(2027, 7, 1), .last = sample_day(2028, 6, 30), .today = SPL_DAY_NONE};
    struct spl_page_report report = {0};
    draw_clean(&season, &report);
    g_autofree char *words = drawn_words(&report);
    drawn_expect_holds(words, "The season 2027 to 2028");
    drawn_expect_holds(words, "No windows are known yet");
    /* South of the equator the page begins with July. */
    const char *july = strstr(words, "Jul"), *january = strstr(words, "Jan");
    assert_true(july != NULL && january != NULL && july < january);
    spl_page_report_clear(&report);
}

static void a_season_that_is_no_year_is_refused(void **state)
{
    (void)state;
    struct spl_page_options options = {.format = SPL_PAGE_PDF};
    const struct spl_day pairs[][2] = {{sample_day(2027, 1, 1), sample_day(2028, 6, 1)},
                                       {sample_day(2027, 5, 1), sample_day(2027, 1, 1)},
                                       {SPL_DAY_NONE, sample_day(2027, 1, 1)}};
    for (gsize i = 0; i < G_N_ELEMENTS(pairs); i++) {
        struct spl_season_page season = {.first = pairs[i][0], .last = pairs[i][1]};
        GError *error = NULL;
        assert_null(spl_season_page_draw(&season, &options, NULL, &error));
        expect_error(error, SPL_ERROR_INVALID, "season");
    }
}

static void the_same_season_gives_the_same_bytes(void **state)
{
    (void)state;
    struct spl_season_page season = sample_season();
    for (int format = SPL_PAGE_PDF; format <= SPL_PAGE_PNG; format++) {
        struct spl_page_options options = {.format = (enum spl_page_format)format};
        g_autoptr(GBytes) one = spl_season_page_draw(&season, &options, NULL, NULL);
        g_autoptr(GBytes) two = spl_season_page_draw(&season, &options, NULL, NULL);
        assert_true(g_bytes_equal(one, two));
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(an_ordinary_season_has_all_its_words),
    cmocka_unit_test(words_stand_at_the_band_they_are_of),
    cmocka_unit_test(a_last_line_alone_on_a_page_is_avoided),
    cmocka_unit_test(a_band_lies_on_its_days),
    cmocka_unit_test(two_hundred_lines_run_over_pages_with_heads),
    cmocka_unit_test(hostile_names_and_dates_do_not_collide),
    cmocka_unit_test(an_empty_book_gives_a_page_that_says_so),
    cmocka_unit_test(a_season_that_is_no_year_is_refused),
    cmocka_unit_test(the_same_season_gives_the_same_bytes),
};

expect_main(tests)
