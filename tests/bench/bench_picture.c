/* SPDX-License-Identifier: MIT
 *
 * Pictures at full size, one task a process, so that its peak of memory is its own:
 *     bench_picture season FORMAT FILE   an almanac page of 200 lines
 *     bench_picture map FORMAT FILE      500 sites among 20,000 hazard polygons
 * FORMAT is svg, pdf or png. Prints: task, pages, seconds, bytes, peak memory in MB. Beside it on
 * the same SVG: rsvg-convert -o FILE.png FILE.svg.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "picture/estate_map.h"
#include "picture/season_page.h"

enum { LINES = 200, SITES = 500, FIELDS = 20000 };

static GBytes *season(const struct spl_page_options *options, struct spl_page_report *report,
                      GError **error)
{
    struct spl_season_page_line lines[LINES];
    struct spl_season_page_window windows[LINES];
    struct spl_season_page_outing outings[20];
    static const char *const parts[] = {"flower", "leaf", "root", "herb", "berry"};
    static const gsize taken[] = {3, 7};

    for (int i = 0; i < 20; i++)
        outings[i] = (struct spl_season_page_outing){spl_day_from_ymd(2027, 4, 1 + i),
                                                     spl_day_from_ymd(2027, 4, 2 + i),
                                                     "High Croft, Mill Lane End"};
    for (int i = 0; i < LINES; i++) {
        struct spl_day first = spl_day_add(spl_day_from_ymd(2027, 3, 1), i);

        windows[i] = (struct spl_season_page_window){
            first, spl_day_add(first, 8), spl_day_add(first, 20), spl_day_add(first, 34)};
        lines[i] = (struct spl_season_page_line){
            .plant = g_strdup_printf("Plant %d", i / 5),
            .latin = "Plantago lanceolata",
            .part = parts[i % 5],
            .place = g_strdup_printf("Site %d", i % 40),
            .verdict = SPL_VERDICT_ASK,
            .windows = &windows[i],
            .n_windows = 1,
            .outings = taken,
            .n_outings = 2,
        };
    }
    struct spl_season_page page = {
        .first = spl_day_from_ymd(2027, 1, 1),
        .last = spl_day_from_ymd(2027, 12, 31),
        .today = spl_day_from_ymd(2027, 5, 9),
        .lines = lines,
        .n_lines = LINES,
        .outings = outings,
        .n_outings = 20,
    };
    return spl_season_page_draw(&page, options, report, error);
}

static GBytes *map(const struct spl_page_options *options, struct spl_page_report *report,
                   GError **error)
{
    struct spl_estate_map_site *sites = g_new0(struct spl_estate_map_site, SITES);
    struct spl_estate_map_hazard *hazards = g_new0(struct spl_estate_map_hazard, FIELDS);
    enum { CORNERS = 9 };
    double *corners = g_new(double, FIELDS *CORNERS * 2);
    g_autoptr(GRand) random = g_rand_new_with_seed(1);

    for (int i = 0; i < SITES; i++)
        sites[i] = (struct spl_estate_map_site){
            .name = g_strdup_printf("Site number %d", i),
            .lat = g_rand_double_range(random, 54.8, 55.1),
            .lon = g_rand_double_range(random, -2.7, -2.2),
            .verdict = i % 3 == 0   ? SPL_VERDICT_CLEAR
                       : i % 3 == 1 ? SPL_VERDICT_ASK
                                    : SPL_VERDICT_CLOSED,
            .reason = "no word since 3 Dec 2026",
            .stands = "nettle leaf, elder flower",
            .hazard_m = 120.0,
            .hazard_lat = NAN,
            .hazard_lon = NAN,
        };
    for (int i = 0; i < FIELDS; i++) {
        double lat = g_rand_double_range(random, 54.8, 55.1);
        double lon = g_rand_double_range(random, -2.7, -2.2);
        double size = g_rand_double_range(random, 30.0, 150.0);

        for (int k = 0; k < CORNERS; k++) {
            double turn = 2.0 * G_PI * k / CORNERS, far = size * (1.0 + 0.3 * (k % 2));

            corners[(i * CORNERS + k) * 2] = lat + far * sin(turn) / 111300.0;
            corners[(i * CORNERS + k) * 2 + 1] = lon + far * cos(turn) / 63900.0;
        }
        hazards[i] = (struct spl_estate_map_hazard){
            .shape = SPL_MAP_POLYGON,
            .kind = i % 2 == 0 ? "field, boom sprayer" : "orchard, airblast sprayer",
            .closed_m = i % 2 == 0 ? 10.0 : 31.0,
            .ask_m = i % 2 == 0 ? 31.0 : 80.0,
            .points = &corners[i * CORNERS * 2],
            .n_points = CORNERS,
        };
    }
    struct spl_estate_map input = {
        .today = spl_day_from_ymd(2027, 5, 9),
        .home_lat = 54.95,
        .home_lon = -2.45,
        .sites = sites,
        .n_sites = SITES,
        .hazards = hazards,
        .n_hazards = FIELDS,
    };
    return spl_estate_map_draw(&input, options, report, error);
}

int main(int argc, char **argv)
{
    static const char *const formats[] = {"pdf", "svg", "png"};
    struct spl_page_options options = {.paper = SPL_PAPER_A4};
    struct spl_page_report report = {0};
    g_autoptr(GError) error = NULL;
    struct rusage usage;
    gsize size;

    for (int i = 0; argc == 4 && i < 3; i++)
        if (strcmp(argv[2], formats[i]) == 0)
            options.format = (enum spl_page_format)i;
    if (argc != 4 || (strcmp(argv[1], "season") != 0 && strcmp(argv[1], "map") != 0)) {
        fputs("usage: bench_picture season|map svg|pdf|png FILE\n", stderr);
        return 2;
    }
    gint64 start = g_get_monotonic_time();
    GBytes *(*draw)(const struct spl_page_options *, struct spl_page_report *, GError **) =
        strcmp(argv[1], "map") == 0 ? map : season;
    g_autoptr(GBytes) bytes = draw(&options, &report, &error);
    double seconds = (double)(g_get_monotonic_time() - start) / 1e6;
    if (bytes == NULL) {
        fprintf(stderr, "%s\n", error->message);
        return 1;
    }
    const char *data = g_bytes_get_data(bytes, &size);
    g_file_set_contents(argv[3], data, (gssize)size, NULL);
    getrusage(RUSAGE_SELF, &usage);
    printf("%s %s: %d pages, %.3f s, %zu bytes, %.1f MB\n", argv[1], argv[2], report.pages, seconds,
           size, (double)usage.ru_maxrss / 1024.0);
    return 0;
}
