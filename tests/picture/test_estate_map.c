/* SPDX-License-Identifier: MIT
 *
 * The estate map: distances on paper against geodesics, and places that make maps difficult.
 */
#include "drawn.h"

#include <geodesic.h>

#include "sample_map.h"

static void draw_clean(const struct spl_estate_map *map, struct spl_page_report *report)
{
    static const enum spl_page_paper papers[] = {SPL_PAPER_LETTER, SPL_PAPER_A4};
    for (gsize i = 0; i < G_N_ELEMENTS(papers); i++) {
        struct spl_page_options options = {.paper = papers[i], .format = SPL_PAGE_SVG};
        GError *error = NULL;
        spl_page_report_clear(report);
        g_autoptr(GBytes) bytes = spl_estate_map_draw(map, &options, report, &error);
        expect_ok(error);
        assert_non_null(bytes);
        drawn_expect_clean(report);
    }
}

/* The middle of the mark that stands for what begins so. */
static void mark_at(const struct spl_page_report *report, const char *begin, double *x, double *y)
{
    *x = *y = NAN;
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind != SPL_INK_MARK || !g_str_has_prefix(ink->what, begin))
            continue;
        *x = ink->x + ink->w / 2.0;
        *y = ink->y + ink->h / 2.0;
        return;
    }
    fail_msg("no mark for '%s'", begin);
}

/* Points per metre by the scale bar as a reader would use it: its length and the words at its end.
 */
static double scale_of(const struct spl_page_report *report)
{
    double length = NAN, metres = NAN;
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_MARK && strcmp(ink->what, "scale bar") == 0)
            length = ink->w;
        else if (ink->kind == SPL_INK_TEXT && !isnan(length) && isnan(metres)) {
            char *unit = NULL;
            double number = g_ascii_strtod(ink->what, &unit);
            if (number > 0.0 && strcmp(unit, " km") == 0)
                metres = number * 1000.0;
            else if (number > 0.0 && strcmp(unit, " m") == 0)
                metres = number;
        }
    }
    return length / metres;
}

static void distances_on_paper_are_those_on_the_ground(void **state)
{
    (void)state;
    struct geod_geodesic earth;
    geod_init(&earth, 6378137.0, 1.0 / 298.257223563);
    /* Valleys on four latitudes, one across the 180th meridian, and one 100 km wide. */
    static const double middles[][3] = {{54.97, -2.46, 0.02},
                                        {-43.5, 172.6, 0.05},
                                        {0.0, 179.995, 0.02},
                                        {78.2, 15.6, 0.05},
                                        {44.0, -73.0, 0.6}};
    for (gsize m = 0; m < G_N_ELEMENTS(middles); m++) {
        struct spl_estate_map_site sites[12];
        char names[12][12];
        for (int i = 0; i < 12; i++) {
            double lon = middles[m][1] + middles[m][2] * ((i * 7 % 12) - 6) / 6.0;
            g_snprintf(names[i], sizeof names[i], "Place %c", 'A' + i);
            sites[i] =
                (struct spl_estate_map_site){.name = names[i],
                                             .lat = middles[m][0] + middles[m][2] * (i - 6) / 8.0,
                                             .lon = remainder(lon, 360.0),
                                             .verdict = SPL_VERDICT_CLEAR,
                                             .hazard_m = NAN};
        }
        struct spl_estate_map map = {
            .today = SPL_DAY_NONE, .home_lat = NAN, .home_lon = NAN, .sites = sites, .n_sites = 12};
        struct spl_page_report report = {0};
        draw_clean(&map, &report);
        double scale = scale_of(&report);
        assert_true(scale > 0.0);
        for (int i = 0; i < 12; i++) {
            for (int k = 0; k < i; k++) {
                double x1, y1, x2, y2, metres;
                g_autofree char *one = g_strdup_printf("%d Place %c", i + 1, 'A' + i);
                g_autofree char *two = g_strdup_printf("%d Place %c", k + 1, 'A' + k);
                mark_at(&report, one, &x1, &y1);
                mark_at(&report, two, &x2, &y2);
                geod_inverse(&earth, sites[i].lat, sites[i].lon, sites[k].lat, sites[k].lon,
                             &metres, NULL, NULL);
                expect_near(hypot(x1 - x2, y1 - y2), metres * scale, 0.005 * report.width, "pt");
            }
        }
        spl_page_report_clear(&report);
    }
}

static void every_place_has_its_verdict_written_out(void **state)
{
    (void)state;
    struct spl_estate_map map = sample_map();
    struct spl_page_report report = {0};
    draw_clean(&map, &report);
    g_autofree char *words = drawn_words(&report);
    for (gsize i = 0; i < map.n_sites; i++) {
        g_autofree char *label = g_strdup_printf("%zu %s, %s", i + 1, map.sites[i].name,
                                                 spl_verdict_names[map.sites[i].verdict]);
        drawn_expect_holds(words, label);
        drawn_expect_holds(words, map.sites[i].reason);
        drawn_expect_holds(words, map.sites[i].stands);
    }
    static const char *const wanted[] = {"orchard, airblast sprayer: closed to 31 m, ask to 80 m",
                                         "the dispensary",
                                         "Harrowdale road: closed to 10 m, ask to 50 m",
                                         "24 m from contaminated ground",
                                         "1 km",
                                         "54\302\26058\342\200\26200\342\200\263N",
                                         "2\302\26027\342\200\26200\342\200\263W",
                                         "9 May 2027",
                                         "54.9755, -2.4675",
                                         "1 : 20 000 on paper",
                                         "North is up. No base map"};
    for (gsize i = 0; i < G_N_ELEMENTS(wanted); i++)
        drawn_expect_holds(words, wanted[i]);
    double x, y;
    mark_at(&report, "north", &x, &y);
    spl_page_report_clear(&report);
}

/* The share of the frame that the places span, and the larger of its two sides' shares. */
static double filled(const struct spl_page_report *report, double *side)
{
    double left = INFINITY, right = -INFINITY, top = INFINITY, bottom = -INFINITY;
    const struct spl_ink *frame = NULL; /* the inner of the two */
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->page != 0)
            continue;
        if (ink->kind == SPL_INK_RULE && ink->w > 150.0 && ink->h > 150.0 &&
            (frame == NULL || ink->w < frame->w))
            frame = ink;
        if (ink->kind != SPL_INK_MARK || !g_ascii_isdigit(ink->what[0]))
            continue;
        left = MIN(left, ink->x);
        right = MAX(right, ink->x + ink->w);
        top = MIN(top, ink->y);
        bottom = MAX(bottom, ink->y + ink->h);
    }
    assert_non_null(frame);
    *side = MAX((right - left) / frame->w, (bottom - top) / frame->h);
    return (right - left) * (bottom - top) / (frame->w * frame->h);
}

static void the_places_fill_the_frame(void **state)
{
    (void)state;
    struct spl_page_report report = {0};
    double side;
    /* Valleys from twice as long as wide to the other way about, of many sizes. */
    for (int i = 0; i < 24; i++) {
        double tall_km = 1.0 + 0.37 * i, wide_km = tall_km * (i % 3 == 0 ? 0.5 : i % 3);
        double lat = tall_km / 2.0 / 111.3,
               lon = wide_km / 2.0 / (111.3 * cos(54.6 * G_PI / 180.0));
        const struct spl_estate_map_site sites[] = {
            {.name = "A", .lat = 54.6 - lat, .lon = -2.6 + lon, .hazard_m = NAN},
            {.name = "B", .lat = 54.6 + lat, .lon = -2.6 - lon, .hazard_m = NAN}};
        struct spl_estate_map map = {
            .today = SPL_DAY_NONE, .home_lat = NAN, .home_lon = NAN, .sites = sites, .n_sites = 2};
        draw_clean(&map, &report);
        double share = filled(&report, &side);
        if (side < 0.75 || share < (i % 3 == 1 ? 0.6 : 0.4))
            fail_msg("%.1f x %.1f km: the places span %.0f %% of the frame, %.0f %% of a side",
                     wide_km, tall_km, share * 100.0, side * 100.0);
    }
    spl_page_report_clear(&report);
}

static void thirty_places_in_one_village_stay_apart(void **state)
{
    (void)state;
    struct spl_estate_map_site sites[31];
    char names[31][64];
    g_autoptr(GRand) random = g_rand_new_with_seed(3);
    for (int i = 0; i < 31; i++) {
        g_snprintf(names[i], sizeof names[i], "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww%02d", i);
        sites[i] = (struct spl_estate_map_site){
            .name = names[i],
            .lat = 54.97 + g_rand_double_range(random, -0.001, 0.001),
            .lon = -2.46 + g_rand_double_range(random, -0.001, 0.001),
            .verdict = i % 3 == 0   ? SPL_VERDICT_CLEAR
                       : i % 3 == 1 ? SPL_VERDICT_ASK
                                    : SPL_VERDICT_CLOSED,
            .reason =
                "no word for this ground since the third of December, and the old word was short",
            .stands = "nettle, elder, dandelion, hawthorn",
            .hazard_m = NAN};
    }
    sites[30].lat = 55.2; /* one far away makes the village a spot */
    struct spl_estate_map map = {
        .today = SPL_DAY_NONE, .home_lat = 54.97, .home_lon = -2.46, .sites = sites, .n_sites = 30};
    struct spl_page_report report = {0};
    for (gsize n = 30; n <= 31; n++) {
        map.n_sites = n;
        draw_clean(&map, &report);
        g_autofree char *words = drawn_words(&report);
        for (gsize i = 0; i < n; i++)
            drawn_expect_holds(words, names[i]);
    }
    /* With one far away the village shares a spot or few: what holds is written for each number. */
    guint ask = 0;
    for (guint i = 0; i < report.inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report.inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_TEXT && ink->page == 0 && g_str_has_prefix(ink->what, "closed ") &&
            strstr(ink->what, "; ask ") != NULL && strstr(ink->what, "; clear ") != NULL)
            ask++;
    }
    assert_true(ask >= 1);
    spl_page_report_clear(&report);
}

static void a_place_at_each_pole_fits_on_one_map(void **state)
{
    (void)state;
    const struct spl_estate_map_site sites[] = {
        {.name = "North Pole",
         .lat = 90.0,
         .lon = 0.0,
         .verdict = SPL_VERDICT_ASK,
         .hazard_m = NAN},
        {.name = "South Pole",
         .lat = -90.0,
         .lon = 0.0,
         .verdict = SPL_VERDICT_ASK,
         .hazard_m = NAN},
        {.name = "Equator",
         .lat = 0.0,
         .lon = 180.0,
         .verdict = SPL_VERDICT_CLEAR,
         .hazard_m = NAN},
        {.name = "Also there",
         .lat = 0.0,
         .lon = -180.0,
         .verdict = SPL_VERDICT_CLOSED,
         .hazard_m = NAN},
    };
    struct spl_estate_map map = {
        .today = SPL_DAY_NONE, .home_lat = NAN, .home_lon = NAN, .sites = sites};
    struct spl_page_report report = {0};
    for (gsize n = 1; n <= G_N_ELEMENTS(sites); n++) {
        map.n_sites = n;
        draw_clean(&map, &report);
        g_autofree char *words = drawn_words(&report);
        for (gsize i = 0; i < n; i++)
            drawn_expect_holds(words, sites[i].name);
    }
    g_autofree char *all = drawn_words(&report);
    drawn_expect_holds(all, "distances are true from the middle only");
    map.sites = &sites[1]; /* the south pole alone */
    map.n_sites = 1;
    draw_clean(&map, &report);
    spl_page_report_clear(&report);
}

static void the_180th_meridian_does_not_tear_the_map(void **state)
{
    (void)state;
    const struct spl_estate_map_site sites[] = {
        {.name = "West of it",
         .lat = -17.0,
         .lon = 179.995,
         .verdict = SPL_VERDICT_CLEAR,
         .hazard_m = NAN},
        {.name = "East of it",
         .lat = -17.0,
         .lon = -179.995,
         .verdict = SPL_VERDICT_CLEAR,
         .hazard_m = NAN},
    };
    struct spl_estate_map map = {
        .today = SPL_DAY_NONE, .home_lat = NAN, .home_lon = NAN, .sites = sites, .n_sites = 2};
    struct spl_page_report report = {0};
    draw_clean(&map, &report);
    double x1, y1, x2, y2;
    mark_at(&report, "1 West", &x1, &y1);
    mark_at(&report, "2 East", &x2, &y2);
    assert_true(x1 < x2);
    expect_near((x2 - x1) / scale_of(&report), 1065.0, 5.0,
                "m"); /* 0.01 deg x 106.5 km/deg at 17 */
    g_autofree char *words = drawn_words(&report);
    drawn_expect_holds(words,
                       "180\302\260"); /* the meridian itself is named once, on neither side */
    spl_page_report_clear(&report);
}

static void an_empty_book_gives_a_frame_that_says_so(void **state)
{
    (void)state;
    struct spl_estate_map map = {.today = SPL_DAY_NONE, .home_lat = NAN, .home_lon = NAN};
    struct spl_page_report report = {0};
    draw_clean(&map, &report);
    g_autofree char *words = drawn_words(&report);
    drawn_expect_holds(words, "The book has no places yet.");
    spl_page_report_clear(&report);
}

static void five_hundred_places_and_many_fields_stay_clean(void **state)
{
    (void)state;
    enum { SITES = 500, FIELDS = 1000 };
    g_autofree struct spl_estate_map_site *sites = g_new0(struct spl_estate_map_site, SITES);
    g_autofree struct spl_estate_map_hazard *hazards = g_new0(struct spl_estate_map_hazard, FIELDS);
    g_autofree double *corners = g_new(double, FIELDS * 8);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GRand) random = g_rand_new_with_seed(5);
    for (int i = 0; i < SITES; i++) {
        g_ptr_array_add(names, g_strdup_printf("Site number %d", i));
        sites[i] = (struct spl_estate_map_site){.name = g_ptr_array_index(names, i),
                                                .lat = g_rand_double_range(random, 54.9, 55.1),
                                                .lon = g_rand_double_range(random, -2.6, -2.3),
                                                .verdict = SPL_VERDICT_ASK,
                                                .hazard_m = 120.0};
    }
    for (int i = 0; i < FIELDS; i++) {
        double lat = g_rand_double_range(random, 54.9, 55.1),
               lon = g_rand_double_range(random, -2.6, -2.3);
        const double square[8] = {lat,         lon,         lat,         lon + 0.002,
                                  lat + 0.001, lon + 0.002, lat + 0.001, lon};
        memcpy(&corners[8 * i], square, sizeof square);
        hazards[i] = (struct spl_estate_map_hazard){.shape = SPL_MAP_POLYGON,
                                                    .kind = "field",
                                                    .name = i % 10 == 0 ? "a field" : NULL,
                                                    .closed_m = 31,
                                                    .ask_m = 80,
                                                    .points = &corners[8 * i],
                                                    .n_points = 4};
    }
    struct spl_estate_map map = {.today = SPL_DAY_NONE,
                                 .home_lat = 55.0,
                                 .home_lon = -2.45,
                                 .sites = sites,
                                 .n_sites = SITES,
                                 .hazards = hazards,
                                 .n_hazards = FIELDS};
    struct spl_page_report report = {0};
    struct spl_page_options options = {.format = SPL_PAGE_PDF};
    g_autoptr(GBytes) bytes = spl_estate_map_draw(&map, &options, &report, NULL);
    assert_non_null(bytes);
    drawn_expect_clean(&report);
    g_autofree char *words = drawn_words(&report);
    for (int i = 0; i < SITES; i++)
        drawn_expect_holds(words, sites[i].name);
    assert_true(report.pages > 2);
    assert_int_equal(drawn_count(&report, "what grows there", 1), 1);
    assert_int_equal(drawn_count(&report, "what grows there", report.pages - 1), 1);
    spl_page_report_clear(&report);
}

static void coordinates_off_the_earth_are_refused_by_name(void **state)
{
    (void)state;
    struct spl_estate_map_site site = {.name = "Nowhere", .lat = 91.0, .lon = 0.0, .hazard_m = NAN};
    struct spl_estate_map map = {
        .today = SPL_DAY_NONE, .home_lat = NAN, .home_lon = NAN, .sites = &site, .n_sites = 1};
    struct spl_page_options options = {.format = SPL_PAGE_PDF};
    GError *error = NULL;
    assert_null(spl_estate_map_draw(&map, &options, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "Nowhere");
    site.lat = NAN;
    assert_null(spl_estate_map_draw(&map, &options, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "Nowhere");
    site.lat = 50.0;
    static const double bad[] = {50.0, 181.0};
    struct spl_estate_map_hazard hazard = {
        .shape = SPL_MAP_POINT, .kind = "tip", .points = bad, .n_points = 1};
    map.hazards = &hazard;
    map.n_hazards = 1;
    assert_null(spl_estate_map_draw(&map, &options, NULL, &error));
    expect_error(error, SPL_ERROR_INVALID, "tip");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(distances_on_paper_are_those_on_the_ground),
    cmocka_unit_test(every_place_has_its_verdict_written_out),
    cmocka_unit_test(the_places_fill_the_frame),
    cmocka_unit_test(thirty_places_in_one_village_stay_apart),
    cmocka_unit_test(a_place_at_each_pole_fits_on_one_map),
    cmocka_unit_test(the_180th_meridian_does_not_tear_the_map),
    cmocka_unit_test(an_empty_book_gives_a_frame_that_says_so),
    cmocka_unit_test(five_hundred_places_and_many_fields_stay_clean),
    cmocka_unit_test(coordinates_off_the_earth_are_refused_by_name),
};

expect_main(tests)
