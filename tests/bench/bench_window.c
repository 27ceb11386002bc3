/* SPDX-License-Identifier: MIT
 *
 * How much processor `window list` takes: sites x 60 materials with 30 years of daily weather from
 * 50 stations, as JSON into nothing; its memory, and how both grow with the number of sites.
 * Invented places and weather.
 *
 *   bench_window [SITES]      default 10000; prints a tenth, a third and the whole
 *
 * The promise: 10,000 sites within 20 s and 500 MB, growing linearly.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "book/almanac.h"
#include "book/setting.h"
#include "book/site.h"
#include "book/statement.h"
#include "book/weather.h"
#include "simpling/window.h"

#define STATIONS 50
#define YEARS 30
#define MATERIALS 60
#define FIRST_YEAR 1998

static void must(gboolean ok, const GError *error)
{
    if (!ok) {
        fprintf(stderr, "bench_window: %s\n", error != NULL ? error->message : "failed");
        exit(1);
    }
}

/* The same numbers in every run. */
static double chance(guint32 *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state / 4294967296.0;
}

static void add_stations(struct spl_book *book, guint32 *state)
{
    for (int s = 0; s < STATIONS; s++) {
        g_autofree char *name = g_strdup_printf("Station %d", s);
        struct spl_station station = {.name = name,
                                      .lat = 53 + 3 * chance(state),
                                      .lon = -4 + 4 * chance(state),
                                      .elevation_m = 400 * chance(state)};
        g_autoptr(GArray) days = g_array_new(FALSE, FALSE, sizeof(struct spl_weather_day));
        g_autoptr(GError) error = NULL;

        for (struct spl_day day = spl_day_from_ymd(FIRST_YEAR, 1, 1);
             day.n <= spl_day_from_ymd(FIRST_YEAR + YEARS - 1, 4, 30).n; day.n++) {
            double mean =
                9 - 6 * cos(2 * G_PI * (spl_day_of_year(day) - 20) / 365) + 6 * chance(state) - 3;
            struct spl_weather_day one = {day, mean - 4, mean + 4};

            g_array_append_val(days, one);
        }
        must(spl_station_put(book, &station, &error) &&
                 spl_weather_put_days(book, station.id, days, NULL, &error),
             error);
    }
}

static void add_almanac(struct spl_book *book)
{
    GArray *rows = spl_list_new(&spl_almanac_row_shape);
    g_autoptr(GError) error = NULL;
    int fresh, changed;

    for (int m = 0; m < MATERIALS; m++) {
        struct spl_almanac_row row;

        spl_almanac_row_init(&row);
        row.uid = g_strdup_printf("row-%d", m);
        row.material = g_strdup_printf("herb%d/%s", m, m % 3 == 0 ? "leaf" : "flower");
        row.use = g_strdup("medicine");
        row.start = spl_day_add(spl_day_from_ymd(2026, 3, 20), m * 3);
        row.end = spl_day_add(row.start, 20);
        row.stage_from = 60;
        row.stage_to = 65;
        row.lat = 54.5;
        row.lon = -2.5;
        row.elevation_m = 100;
        for (int k = 0; k < 12; k++)
            row.normals_c[k] = 9 - 6 * cos(2 * G_PI * k / 12);
        g_array_append_val(rows, row);
    }
    must(spl_almanac_put(book, "Bench", rows, &fresh, &changed, &error), error);
    spl_list_free(&spl_almanac_row_shape, rows);
}

static void add_sites(struct spl_book *book, int n, guint32 *state)
{
    for (int i = 0; i < n; i++) {
        struct spl_site site = {.name = g_strdup_printf("Place %d of many", i),
                                .lat = 53 + 3 * chance(state),
                                .lon = -4 + 4 * chance(state),
                                .elevation_m = 600 * chance(state),
                                .accuracy_m = NAN,
                                .contaminated_on = SPL_DAY_NONE};
        g_autoptr(GError) error = NULL;

        must(spl_site_add(book, &site, &error), error);
        spl_record_clear(&spl_site_shape, &site);
    }
}

static void make_book(const char *path, int sites)
{
    g_autoptr(GError) error = NULL;
    struct spl_book *book = spl_book_open(path, SPL_BOOK_MAKE, &error);
    guint32 state = 7;

    must(book != NULL, error);
    must(spl_book_begin(book, &error) && spl_setting_set(book, "mark", "BENCH", &error), error);
    add_stations(book, &state);
    add_almanac(book);
    add_sites(book, sites, &state);
    must(spl_book_commit(book, &error), error);
    spl_book_close(book);
}

struct count {
    struct spl_json_array array;
    int windows;
};

static gboolean count_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct count *count = data;

    (void)error;
    count->windows++;
    return spl_json_array_item(&count->array, &told->window);
}

/* In a child of its own, so that its memory is its own. */
static void measure(const char *path, int sites)
{
    int status;
    pid_t child = fork();

    if (child == 0) {
        struct spl_house_options options = {.book = path,
                                            .data = SPL_SOURCE_DIR "/data",
                                            .today =
                                                spl_day_from_ymd(FIRST_YEAR + YEARS - 1, 5, 1)};
        g_autoptr(GError) error = NULL;
        struct spl_house *house = spl_house_open(&options, SPL_HOUSE_READ, &error);
        struct spl_window_words words = {
            .year = SPL_COUNT_NONE, .near = {NAN, NAN}, .on = SPL_DAY_NONE};
        struct count count = {.windows = 0};
        FILE *out = fopen("/dev/null", "w");
        struct rusage usage;
        double seconds;

        must(house != NULL && out != NULL, error);
        spl_json_array_begin(&count.array, &spl_window_shape, out);
        must(spl_window_list(house, &words, count_window, &count, &error), error);
        spl_json_array_end(&count.array);
        getrusage(RUSAGE_SELF, &usage);
        seconds = (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
                  (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
        printf("%6d sites: %7d windows, %6.2f s of processor, %4ld MB, %.1f us a window\n", sites,
               count.windows, seconds, usage.ru_maxrss / 1024,
               seconds * 1e6 / MAX(count.windows, 1));
        fflush(stdout);
        spl_house_close(house);
        fclose(out);
        _exit(count.windows == sites * MATERIALS ? 0 : 1);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || status != 0) {
        fprintf(stderr, "bench_window: a run failed\n");
        exit(1);
    }
}

int main(int argc, char **argv)
{
    int whole = argc > 1 ? atoi(argv[1]) : 10000;
    int sizes[] = {whole / 10, whole / 3, whole};
    g_autofree char *folder = g_dir_make_tmp("simpling-bench-XXXXXX", NULL);

    for (guint i = 0; i < G_N_ELEMENTS(sizes); i++) {
        g_autofree char *path = g_build_filename(folder, "book.db", NULL);

        make_book(path, sizes[i]);
        measure(path, sizes[i]);
        unlink(path);
    }
    rmdir(folder);
    return 0;
}
