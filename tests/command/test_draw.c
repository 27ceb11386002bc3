/* SPDX-License-Identifier: MIT
 *
 * Pictures and labels of the demo season: what the JSON of the same question says stands in the
 * PDF's text, the same book gives the same bytes in another process and on another day, somebody
 * else's file is left alone, what may not go out gets no label to go out with.
 */
#include <math.h>

#include "cli.h"

static struct cli demo;

static void need_tool(const char *tool, const char *package)
{
    g_autofree char *path = g_find_program_in_path(tool);

    if (path == NULL) {
        g_print("skipped: %s is not installed (package %s)\n", tool, package);
        exit(77);
    }
}

static int make_demo(void **state)
{
    (void)state;
    demo = (struct cli){.today = CLI_TODAY};
    demo.folder = g_dir_make_tmp("simpling-draw-XXXXXX", NULL);
    demo.book = g_build_filename(demo.folder, "book.db", NULL);
    cli_ok(&demo, "demo .");
    return 0;
}

static int drop_demo(void **state)
{
    (void)state;
    cli_remove(demo.folder);
    g_free(demo.folder);
    g_free(demo.book);
    g_free(demo.out);
    g_free(demo.err);
    return 0;
}

static char *in_demo(const char *name)
{
    return g_build_filename(demo.folder, name, NULL);
}

/* Text without white space, no-break spaces too. */
static char *squeeze(const char *text)
{
    GString *out = g_string_new(NULL);

    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if (!g_unichar_isspace(c) && c != 0xa0 && c != 0xad)
            g_string_append_unichar(out, c);
    }
    return g_string_free(out, FALSE);
}

static char *run_tool(const char *const *argv)
{
    char *out = NULL;
    int status = 0;

    assert_true(g_spawn_sync(demo.folder, (char **)(gpointer)argv, NULL, G_SPAWN_SEARCH_PATH, NULL,
                             NULL, &out, NULL, &status, NULL));
    assert_true(g_spawn_check_wait_status(status, NULL));
    return out;
}

/* The words of a PDF of the demo folder, squeezed. */
static char *words_of(const char *pdf)
{
    const char *argv[] = {"pdftotext", "-raw", "-enc", "UTF-8", pdf, "-", NULL};
    g_autofree char *text = run_tool(argv);

    return squeeze(text);
}

static void expect_holds(const char *words, const char *wanted)
{
    g_autofree char *part = squeeze(wanted);

    if (strstr(words, part) == NULL)
        fail_msg("'%s' is not in the picture", wanted);
}

/* "4 May" of "2027-05-04" as the sheets word it. */
static char *day_words(const char *iso)
{
    static const char *const months[] = {"Jan",  "Feb", "Mar", "Apr", "May", "June",
                                         "July", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int year, month, day;

    assert_int_equal(sscanf(iso, "%d-%d-%d", &year, &month, &day), 3);
    return g_strdup_printf("%d %s", day, months[month - 1]);
}

static void the_almanac_page_holds_every_window(void **state)
{
    g_autofree char *words = NULL;
    json_t *windows, *window;
    size_t i, n = 0;

    (void)state;
    cli_ok(&demo, "draw season --all --out season.pdf");
    words = words_of("season.pdf");
    windows = cli_json(&demo, "window list --year 2027 --json");
    json_array_foreach(windows, i, window)
    {
        static const char *const ends[] = {"earliest", "likely_start", "likely_end", "latest"};

        for (gsize k = 0; k < G_N_ELEMENTS(ends); k++) {
            const char *iso = json_text(window, ends[k]);
            g_autofree char *day = day_words(iso);

            expect_holds(words, day);
        }
        expect_holds(words, json_text(window, "site"));
        n++;
    }
    assert_true(n > 100);
    json_decref(windows);
}

static void the_map_holds_every_place_and_verdict(void **state)
{
    g_autofree char *words = NULL;
    json_t *sites, *site;
    size_t i;

    (void)state;
    cli_ok(&demo, "draw map --out map.pdf");
    words = words_of("map.pdf");
    sites = cli_json(&demo, "site list --json");
    assert_int_equal(json_array_size(sites), 9);
    json_array_foreach(sites, i, site)
    {
        g_autofree char *label =
            g_strdup_printf("%s, %s", json_text(site, "name"), json_text(site, "verdict"));
        g_autofree char *place =
            g_strdup_printf("%.4f, %.4f", json_number(site, "lat"), json_number(site, "lon"));

        expect_holds(words, label);
        expect_holds(words, place);
        expect_holds(words, json_text(site, "why"));
    }
    json_decref(sites);
}

static void the_ledger_holds_every_jar_and_lot(void **state)
{
    g_autofree char *words = NULL;
    json_t *list, *line;
    size_t i;

    (void)state;
    cli_ok(&demo, "draw shelf --out shelf.pdf");
    words = words_of("shelf.pdf");
    list = cli_json(&demo, "lot list --json");
    assert_true(json_array_size(list) > 0);
    json_array_foreach(list, i, line)
    {
        g_autofree char *use_by = day_words(json_text(line, "use_by"));

        expect_holds(words, json_text(line, "code"));
        expect_holds(words, use_by);
        if (!isnan(json_number(line, "left_ml"))) {
            g_autofree char *left = g_strdup_printf("%.0f mL", json_number(line, "left_ml"));

            expect_holds(words, left);
        }
    }
    json_decref(list);
    list = cli_json(&demo, "batch list --standing --json");
    assert_true(json_array_size(list) > 0);
    json_array_foreach(list, i, line) expect_holds(words, json_text(line, "code"));
    json_decref(list);
}

static void the_batch_record_holds_what_went_in(void **state)
{
    g_autofree char *words = NULL;
    json_t *batch, *part;
    size_t i;

    (void)state;
    cli_ok(&demo, "draw batch B27-003 --out batch.pdf");
    words = words_of("batch.pdf");
    batch = cli_json(&demo, "batch show B27-003 --json");
    json_array_foreach(json_object_get(batch, "from"), i, part)
    {
        expect_holds(words, json_text(part, "code"));
        expect_holds(words, json_text(part, "number"));
    }
    expect_holds(words, "BECK:B27-003");
    json_decref(batch);
    cli_ok(&demo, "batch step B27-003 strain --drop");
    cli_ok(&demo, "draw batch B27-003 --out dropped.pdf");
    g_free(words);
    words = words_of("dropped.pdf");
    expect_holds(words, "strain: dropped on");
    /* Who topped up, with what they poured on, and who pressed. */
    cli_ok(&demo, "draw batch B26-001 --out done.pdf");
    g_free(words);
    words = words_of("done.pdf");
    expect_holds(words, "15 mL 7 May 2026 Edda");
    expect_holds(words, "7 May 2026 7 May 2026 Edda");
    expect_holds(words, "1 July 2026 12 Aug 2026 Edda");
}

/* By road between two places, km: the haversine formula and 1.3 times the straight line. */
static double road_km(json_t *a, json_t *b)
{
    double rad = acos(-1) / 180;
    double lat = json_number(a, "lat") * rad, other = json_number(b, "lat") * rad;
    double s = sin((other - lat) / 2);
    double t = sin((json_number(b, "lon") - json_number(a, "lon")) * rad / 2);

    return 2 * 6371.0088 * asin(sqrt(s * s + cos(lat) * cos(other) * t * t)) * 1.3;
}

/* The ways out and home too. */
static void expect_ways_home(const char *words, json_t *first, json_t *last)
{
    json_t *home = json_pack("{s:f, s:f}", "lat", 54.5903, "lon", -2.6021); /* of the demo */
    double out_km = road_km(home, first), back_km = road_km(last, home);
    int out = 0, back = 0;

    for (int i = -1; i <= 1;
         i++) { /* the sphere is 0.3 % off at most: the last figure may differ */
        g_autofree char *further = g_strdup_printf("%.1f km further", out_km * (1 + 0.003 * i));
        g_autofree char *then = g_strdup_printf("Then home: %.1f km.", back_km * (1 + 0.003 * i));
        g_autofree char *one = squeeze(further), *two = squeeze(then);

        out += strstr(words, one) != NULL;
        back += strstr(words, two) != NULL;
    }
    assert_true(out > 0 && back > 0);
    json_decref(home);
}

/* The ways between the stops are of the same kind as the way in all, and so add up. */
static void expect_legs(const char *words)
{
    json_t *plan = cli_json(&demo, "plan outings --kept --json");
    json_t *outings = json_object_get(plan, "outings"), *stops = NULL;
    json_t *before = NULL, *first = NULL;

    for (size_t i = 0; i < json_array_size(outings) && stops == NULL; i++)
        if (!json_is_true(json_object_get(json_array_get(outings, i), "past")))
            stops = json_object_get(json_array_get(outings, i), "sites");

    assert_true(json_array_size(stops) >= 2);
    for (size_t i = 0; i < json_array_size(stops); i++) {
        g_autofree char *line =
            g_strdup_printf("site show '%s' --json", json_text(json_array_get(stops, i), "site"));
        json_t *shown = cli_json(&demo, line);
        json_t *site = json_incref(json_object_get(shown, "site"));

        json_decref(shown);
        if (before != NULL) {
            g_autofree char *leg = g_strdup_printf("%.1f km further", road_km(before, site));

            expect_holds(words, leg);
            json_decref(before);
        } else
            first = json_incref(site);
        before = site;
    }
    expect_ways_home(words, first, before);
    json_decref(first);
    json_decref(before);
    json_decref(plan);
}

static void the_outing_sheet_holds_what_the_plan_says(void **state)
{
    g_autofree char *words = NULL;

    (void)state;
    cli_ok(&demo, "draw outing --out outing.pdf");
    words = words_of("outing.pdf");
    expect_holds(words, "Outing of");
    expect_holds(words, "take");
    expect_holds(words, "by which signs");
    expect_legs(words);
    assert_int_equal(cli_run(&demo, "draw outing 2027-01-01 --out none.pdf"), 1);
    assert_non_null(strstr(demo.err, "no outing is kept for 2027-01-01"));
}

static void the_year_holds_the_log(void **state)
{
    g_autofree char *words = NULL;
    json_t *log, *entry;
    size_t i;

    (void)state;
    cli_ok(&demo, "draw year 2027 --out year.pdf");
    words = words_of("year.pdf");
    log = cli_json(&demo, "harvest list --json");
    json_array_foreach(log, i, entry)
    {
        if (g_str_has_prefix(json_text(entry, "date"), "2027"))
            expect_holds(words, json_text(entry, "code"));
    }
    json_decref(log);
    expect_holds(words, "wilted and brown at the edges"); /* a discard of the demo */
}

/* What was thrown away stands no more; what hangs in bags took not nothing; what was bought and
 * dried is told. */
static void the_year_is_true(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "year.pdf", NULL), *words = NULL;

    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 900g --stage 35 --on 2027-05-10 "
                "--named-by Ann --signs stings");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/tops --bags 2 --stage 35 --on 2027-05-10 "
                "--named-by Ann --signs stings");
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    cli_ok(cli, "batch start tincture --from H27-001:100g --jar 500mL --menstruum 'spirit 60%' "
                "--on 2027-05-10");
    cli_ok(cli, "discard B27-002 --why mould");
    cli_ok(cli, "dry start --from H27-001:500g --on 2027-05-10");
    cli_ok(cli, "dry finish D27-001 --weight 110g --on 2027-05-20");
    cli_ok(cli, "purchase add calendula/flower --weight 250g --dry --supplier 'Sallow Bank Herbs' "
                "--number SB-114 --on 2027-05-03");
    cli_ok(cli, "draw year 2027 --out year.pdf");
    words = words_of(path);
    expect_holds(words, "B27-001 Nettle leaf tincture 10 May still stands");
    expect_holds(words, "B27-002 Nettle leaf tincture 10 May thrown away");
    expect_holds(words, "H27-002 (not weighed)");
    if (strstr(words, "10May0g") != NULL)
        fail_msg("what is not weighed is said to be nothing: %s", words);
    expect_holds(words, "110 g dried, 4.5 g fresh to 1 g"); /* 500 g of 110 g */
    expect_holds(words, "250 g from Sallow Bank Herbs, SB-114");
}

static void the_same_book_gives_the_same_bytes(void **state)
{
    static const char *const lines[] = {"draw season --year 2027 --out %s",
                                        "draw map --on 2027-06-20 --out %s",
                                        "label L26-001 --out %s"};
    static const char *const endings[] = {"svg", "pdf", "png"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++) {
        for (gsize k = 0; k < G_N_ELEMENTS(endings); k++) {
            g_autofree char *name_a = g_strdup_printf("a.%s", endings[k]);
            g_autofree char *name_b = g_strdup_printf("b.%s", endings[k]);
            g_autofree char *head = g_strndup(lines[i], strlen(lines[i]) - 2);
            g_autofree char *first = g_strconcat(head, name_a, " --force", NULL);
            g_autofree char *second = g_strconcat(head, name_b, " --force", NULL);
            g_autofree char *a = in_demo(name_a), *b = in_demo(name_b);
            g_autofree char *sum_a = NULL, *sum_b = NULL;

            cli_ok(&demo, first);
            cli_ok(&demo, second);
            sum_a = spl_file_checksum(a, NULL);
            sum_b = spl_file_checksum(b, NULL);
            assert_non_null(sum_a);
            assert_string_equal(sum_a, sum_b);
        }
    }
}

static void somebody_elses_file_is_left_alone(void **state)
{
    g_autofree char *path = in_demo("holiday.png"), *kept = NULL;

    (void)state;
    assert_true(g_file_set_contents(path, "my own", -1, NULL));
    assert_int_equal(cli_run(&demo, "draw map --out holiday.png"), 1);
    assert_non_null(strstr(demo.err, "--force"));
    assert_true(g_file_get_contents(path, &kept, NULL, NULL));
    assert_string_equal(kept, "my own");
    cli_ok(&demo, "draw map --out holiday.png --force");
    cli_ok(&demo, "draw map --out holiday.png"); /* ours now */
}

static void wrong_words_are_refused(void **state)
{
    static const struct {
        const char *line;
        int status;
        const char *said;
    } rows[] = {
        {"draw map", 2, "--out"},
        {"draw map --out map.jpg", 2, ".svg, .pdf or .png"},
        {"draw map --out map.pdf --paper a3", 2, "a4, letter"},
        {"draw map --out map.png --dpi 10", 2, "--dpi"},
        {"draw map --out nowhere/map.pdf", 1, "nowhere"},
        {"draw season --out s.pdf --material dragon", 1, "dragon"},
        {"draw season --out s.pdf --site Atlantis", 1, "Atlantis"},
        {"draw batch B99-001 --out b.pdf", 1, "B99-001"},
        {"draw year soon --out y.pdf", 2, "YEAR"},
        {"label L99-001 --out l.pdf", 1, "L99-001"},
        {"label Low --out l.pdf", 2, "Low"},
        {"label L26-001 --out l.pdf --sheet 9x9", 1, "3x8"},
        {"label L26-001 --out l.pdf --skip 24", 2, "0 to 23"},
        {"label L26-001 --out l.pdf --for Mary", 2, "number"},
        {"label H27-001 --out l.pdf --for 12", 1, "only a lot"},
        {"label L26-003 --out l.pdf --for 12", 1, "held"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        const char *last;

        cli_run(&demo, rows[i].line);
        if (demo.status != rows[i].status || strstr(demo.err, rows[i].said) == NULL)
            fail_msg("%s: status %d: %s", rows[i].line, demo.status, demo.err);
        /* One line beside the one that says which day it is taken to be. */
        last = strchr(demo.err, '\n');
        assert_true(last != NULL && cli_is_one_line(last + 1));
    }
}

static void labels_say_their_codes_to_a_reader(void **state)
{
    const char *argv[] = {"zbarimg",         "--quiet",    "--raw", "-Sdisable",
                          "-Sqrcode.enable", "labels.png", NULL};
    g_autofree char *codes = NULL;

    (void)state;
    cli_ok(&demo, "label L26-001 L26-003 B27-002 H27-001 --place --bottle 100mL --out labels.png");
    codes = run_tool(argv);
    assert_non_null(strstr(codes, "BECK:L26-001"));
    assert_non_null(strstr(codes, "BECK:L26-003"));
    assert_non_null(strstr(codes, "BECK:B27-002"));
    assert_non_null(strstr(codes, "BECK:H27-001"));
}

static void handed_out_labels_bear_the_number_and_the_day(void **state)
{
    g_autofree char *words = NULL;

    (void)state;
    cli_ok(&demo, "label L26-001 --for 1042 --bottle 100mL --sheet 1 --out one.pdf");
    words = words_of("one.pdf");
    expect_holds(words, "for no. 1042, handed out 20 June 2027");
    expect_holds(words, "Keep out of the reach of children.");
    expect_holds(words, "BECK:L26-001");
    expect_holds(words, "100 mL");
    expect_holds(words, "alcohol about 34.4 % vol");
}

/* Days are said in words on paper: 16 May 2026, never 2026-05-16. */
static void no_sheet_writes_a_day_in_figures(void **state)
{
    static const char *const sheets[] = {"season.pdf", "map.pdf",       "outing.pdf",
                                         "shelf.pdf",  "recall.pdf",    "batch-B26-001.pdf",
                                         "labels.pdf", "year-2026.pdf", "lot-L26-006.pdf"};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(sheets); i++) {
        g_autofree char *words = words_of(sheets[i]); /* as the demo drew it */
        g_autoptr(GMatchInfo) match = NULL;
        g_autoptr(GRegex) iso = g_regex_new("\\b20\\d\\d-[01]\\d-[0-3]\\d\\b", 0, 0, NULL);

        assert_true(strlen(words) > 100);
        if (g_regex_match(iso, words, 0, &match)) {
            g_autofree char *day = g_match_info_fetch(match, 0);

            fail_msg("%s says %s", sheets[i], day);
        }
    }
}

/* A sheet of labels as data/labels.csv has it, mm. */
struct stock {
    double page_w, page_h, across, down, w, h, left, top, step_x, step_y;
};

static struct stock stock_named(const char *name)
{
    g_autofree char *path = g_build_filename(SPL_SOURCE_DIR, "data", "labels.csv", NULL);
    g_autofree char *text = NULL, *head = g_strdup_printf("%s,", name);
    g_auto(GStrv) lines = NULL;
    struct stock stock = {0};

    assert_true(g_file_get_contents(path, &text, NULL, NULL));
    lines = g_strsplit(text, "\n", -1);
    for (int i = 0; lines[i] != NULL; i++)
        if (g_str_has_prefix(lines[i], head))
            assert_int_equal(sscanf(lines[i] + strlen(head),
                                    "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf", &stock.page_w,
                                    &stock.page_h, &stock.across, &stock.down, &stock.w, &stock.h,
                                    &stock.left, &stock.top, &stock.step_x, &stock.step_y),
                             10);
    assert_true(stock.w > 0.0);
    return stock;
}

static gboolean on_a_label(const struct stock *stock, const double box[4])
{
    for (int i = 0; i < stock->across * stock->down; i++) {
        double x = stock->left + i % (int)stock->across * stock->step_x;
        double y = stock->top + (double)(i / (int)stock->across) * stock->step_y;

        if (box[0] >= x && box[1] >= y && box[2] <= x + stock->w && box[3] <= y + stock->h)
            return TRUE;
    }
    return FALSE;
}

/* The line of Noto Sans and Noto Serif is 1.362 of their size: ascender 1069 and descender 293 of
 * 1000 units (hhea table of the fonts as published). */
#define NOTO_LINE 1.362

/* Every word of the first page as poppler lays it out: on one of the labels, none under 7 pt. */
static void expect_true_to_size(const char *pdf, const struct stock *stock)
{
    const char *argv[] = {"pdftotext", "-bbox", "-f", "1", "-l", "1", pdf, "-", NULL};
    g_autofree char *text = run_tool(argv);
    double page[2];
    int n = 0;

    assert_int_equal(
        sscanf(strstr(text, "<page "), "<page width=\"%lf\" height=\"%lf\"", &page[0], &page[1]),
        2);
    assert_true(fabs(page[0] * 25.4 / 72.0 - stock->page_w) < 0.1);
    assert_true(fabs(page[1] * 25.4 / 72.0 - stock->page_h) < 0.1);
    for (const char *at = text; (at = strstr(at, "<word ")) != NULL; at++, n++) {
        double box[4];
        char said[80];

        assert_int_equal(sscanf(at,
                                "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">%79[^<]",
                                &box[0], &box[1], &box[2], &box[3], said),
                         5);
        /* A box to tick is no letter, and of another font. */
        if (strcmp(said, "\342\226\241") != 0 && box[3] - box[1] < 7.0 * NOTO_LINE - 0.02)
            fail_msg("%s: '%s' is written in %.2f pt", pdf, said, (box[3] - box[1]) / NOTO_LINE);
        for (int i = 0; i < 4; i++)
            box[i] *= 25.4 / 72.0;
        if (!on_a_label(stock, box))
            fail_msg("%s: '%s' is on no label, at %.1f x %.1f mm", pdf, said, box[0], box[1]);
    }
    assert_true(n > 8);
}

/* The labels of the demo on paper, at true size: 30 mL, 100 mL, a litre on the shelf, a jar's tag.
 */
static void labels_on_paper_are_of_the_right_size(void **state)
{
    static const struct {
        const char *label, *stock;
        const char *codes[4], *says[8], *says_not[4];
    } rows[] = {
        {"L26-001 --for 1042 --bottle 30mL --directions '5 mL in water'",
         "2x7",
         {"BECK:L26-001"},
         {"for no. 1042, handed out 20 June 2027", "Dandelion flower and leaf",
          "Tincture 1:5, 34.4 % vol alcohol", "Alcohol: not for children", "5 mL in water",
          "use by 11 Aug 2029", "Keep out of the reach of children.",
          "Three Becks Dispensary, Skirradale, 01632 960000"},
         {"Taraxacum", "opened on", "Withy Gill", "left:"}},
        {"L26-001 --for 1042 --bottle 100mL --directions '5 mL in water'",
         "2x4",
         {"BECK:L26-001"},
         {"Taraxacum officinale", "1:1 of Dandelion flower and Dandelion leaf", "opened on",
          "not with liver disease", "Children: not under 12 years", "5 mL in water",
          "use by 11 Aug 2029", "Three Becks Dispensary, Skirradale, 01632 960000"},
         {"Withy Gill", "left:"}},
        {"L26-004 L26-002",
         "2x4",
         {"BECK:L26-004", "BECK:L26-002"},
         {"HELD", "Nettle leaf", "Tincture 1:4", "INSIDE", "strained 2 July 2026",
          "gathered 20 May 2026", "shelf B3", "left:"},
         {"opened on", "Fold Lane", "1:4."}},
        {"B27-003 B27-004",
         "3x8",
         {"BECK:B27-003", "BECK:B27-004"},
         {"B27-003", "Elderflower", "strain from", "shaken", NULL},
         {"left:", "Scarth Wood"}},
        {"L26-001 L26-003 L27-001 B27-003 H27-001 P27-001",
         "3x10-letter",
         {"BECK:L26-001", "BECK:L26-003", "BECK:B27-003", "BECK:P27-001"},
         {"use by 11 Aug 2029", "HELD", NULL},
         {NULL}},
    };

    (void)state;
    cli_ok(&demo, "book set practice 'Three Becks Dispensary, Skirradale, 01632 960000'");
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct stock stock = stock_named(rows[i].stock);
        g_autofree char *line = g_strdup_printf("label %s --sheet %s --out size.pdf --force",
                                                rows[i].label, rows[i].stock);
        const char *first[] = {"pdftotext", "-raw", "-f", "1", "-l", "1", "size.pdf", "-", NULL};
        const char *paint[] = {"pdftoppm", "-r",          "300",   "-f",       "1",    "-l",
                               "1",        "-singlefile", "-gray", "size.pdf", "size", NULL};
        const char *read[] = {"zbarimg",         "--quiet",  "--raw", "-Sdisable",
                              "-Sqrcode.enable", "size.pgm", NULL};
        g_autofree char *text = NULL, *words = NULL, *painted = NULL, *codes = NULL;

        cli_ok(&demo, line);
        expect_true_to_size("size.pdf", &stock);
        text = run_tool(first);
        words = squeeze(text);
        for (gsize k = 0; k < G_N_ELEMENTS(rows[i].says) && rows[i].says[k] != NULL; k++)
            expect_holds(words, rows[i].says[k]);
        for (gsize k = 0; k < G_N_ELEMENTS(rows[i].says_not) && rows[i].says_not[k] != NULL; k++)
            if (strstr(words, rows[i].says_not[k]) != NULL)
                fail_msg("label %s says '%s'", rows[i].label, rows[i].says_not[k]);
        painted = run_tool(paint);
        codes = run_tool(read);
        for (gsize k = 0; k < G_N_ELEMENTS(rows[i].codes) && rows[i].codes[k] != NULL; k++)
            if (strstr(codes, rows[i].codes[k]) == NULL)
                fail_msg("label %s: the code of %s is not read: %s", rows[i].label,
                         rows[i].codes[k], codes);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_almanac_page_holds_every_window),
    cmocka_unit_test(the_map_holds_every_place_and_verdict),
    cmocka_unit_test(the_ledger_holds_every_jar_and_lot),
    cmocka_unit_test(the_batch_record_holds_what_went_in),
    cmocka_unit_test(the_outing_sheet_holds_what_the_plan_says),
    cmocka_unit_test(the_year_holds_the_log),
    cmocka_unit_test_setup_teardown(the_year_is_true, cli_set_up, cli_tear_down),
    cmocka_unit_test(the_same_book_gives_the_same_bytes),
    cmocka_unit_test(somebody_elses_file_is_left_alone),
    cmocka_unit_test(wrong_words_are_refused),
    cmocka_unit_test(labels_say_their_codes_to_a_reader),
    cmocka_unit_test(handed_out_labels_bear_the_number_and_the_day),
    cmocka_unit_test(labels_on_paper_are_of_the_right_size),
    cmocka_unit_test(no_sheet_writes_a_day_in_figures),
};

int main(int argc, char **argv)
{
    need_tool("pdftotext", "poppler-utils");
    need_tool("zbarimg", "zbar-tools");
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, make_demo, drop_demo);
}
