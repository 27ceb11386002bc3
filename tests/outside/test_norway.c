/* SPDX-License-Identifier: MIT
 *
 * Moving dates by place against open data, every number of the rules fitted without what it is
 * tested on:
 * - Norway's mean dates of 1928-52, 277 places, printed by Lauscher & Printz 1959 (Die Phaenologie
 *   Norwegens II), machine-read by Findable AS (MIT): 13 events in flower, 4 of ripening, 3 of leaf
 *   fall, each left out in turn;
 * - full flower of cherries at half of the Swiss stations 1951-2023 (MeteoSwiss, by the GMU set),
 *   each station left out in turn.
 * Hopkins' constants, no move at all and a regression of the set itself stand beside. What the
 * house ships (core/shift.h) is the same fit with nothing left out, rounded. Skipped without the
 * data (open_data.h).
 */
#include "core/shift.h"
#include "core/sighting.h"
#include "open_data.h"
#include "sheet.h"

#define P90 1.2815515655
#define MOST 300
#define STEEP_LAT 48.0
#define FLAT_LAT 60.0
#define STEEP_D 4.0 /* published: Hopkins 1918 */

struct place {
    double day, lat, lon, elevation_m;
};

struct event {
    const char *name;
    struct place place[MOST];
    int n;
};

/* Every year of the Swiss stations that count, by station and year. */
static struct {
    int station;
    double day;
} bloom[8000];
static int n_bloom;

static struct event flowers[20], ripening[10], falls[10], swiss;
static int n_flowers, n_ripening, n_falls;

/* Reading ---------------------------------------------------------------------------------------
 */

static double spread(const double *x, int n)
{
    double mean = 0, sum = 0;

    for (int i = 0; i < n; i++)
        mean += x[i] / n;
    for (int i = 0; i < n; i++)
        sum += (x[i] - mean) * (x[i] - mean);
    return sqrt(sum / (n - 1));
}

/* Cells with five years and more (printed bare), without those more than 3 sd from the event's mean
 * (digits misread). */
static void read_event(const spl_sheet *sheet, const char *name, struct event *event)
{
    double day[MOST], mean = 0, sd;
    int kept = 0;

    event->name = name;
    event->n = 0;
    for (guint row = 0; row < sheet_rows(sheet); row++) {
        const char *cell = sheet_text(sheet, row, name);
        struct place one = {g_ascii_strtod(cell, NULL), sheet_number(sheet, row, "lat_deg_n"),
                            sheet_number(sheet, row, "lon_deg_e"),
                            sheet_number(sheet, row, "elev_m")};

        if (!g_ascii_isdigit(*cell) || isnan(one.lat) || isnan(one.elevation_m))
            continue;
        day[event->n] = one.day;
        mean += one.day;
        event->place[event->n++] = one;
    }
    mean /= event->n;
    sd = spread(day, event->n);
    for (int i = 0; i < event->n; i++) {
        if (fabs(event->place[i].day - mean) <= 3 * sd)
            event->place[kept++] = event->place[i];
    }
    event->n = kept;
}

static int read_events(const spl_sheet *sheet, const char *suffix, struct event *events)
{
    char **heading = g_ptr_array_index(sheet->rows, 0);
    int n = 0;

    for (char **name = heading; *name != NULL; name++) {
        if (!g_str_has_suffix(*name, suffix))
            continue;
        read_event(sheet, *name, &events[n]);
        if (events[n].n >= 20)
            n++;
    }
    return n;
}

/* Station means corrected for the years that they hold: station + year, by turns. */
static void read_swiss(const spl_sheet *sheet)
{
    enum { FIRST = 1951, YEARS = 73 };
    g_autoptr(GHashTable) index = g_hash_table_new(g_str_hash, g_str_equal);
    static double sum[MOST], year_d[YEARS], station_d[MOST];
    static int count[MOST];
    double middle = 0;
    int stations = 0, kept = 0;

    for (guint row = 0; row < sheet_rows(sheet); row++) {
        const char *name = sheet_text(sheet, row, "location");

        if (!g_hash_table_contains(index, name)) {
            swiss.place[stations] =
                (struct place){0, sheet_number(sheet, row, "lat"), sheet_number(sheet, row, "long"),
                               sheet_number(sheet, row, "alt")};
            g_hash_table_insert(index, (gpointer)name, GINT_TO_POINTER(stations++));
        }
        count[GPOINTER_TO_INT(g_hash_table_lookup(index, name))]++;
    }
    for (int turn = 0; turn < 60; turn++) {
        double year_sum[YEARS] = {0};
        int year_n[YEARS] = {0};

        memset(sum, 0, sizeof sum);
        for (guint row = 0; row < sheet_rows(sheet); row++) {
            int s = GPOINTER_TO_INT(g_hash_table_lookup(index, sheet_text(sheet, row, "location")));

            sum[s] += sheet_number(sheet, row, "bloom_doy") -
                      year_d[(int)sheet_number(sheet, row, "year") - FIRST];
        }
        for (int s = 0; s < stations; s++)
            station_d[s] = sum[s] / count[s];
        for (guint row = 0; row < sheet_rows(sheet); row++) {
            int s = GPOINTER_TO_INT(g_hash_table_lookup(index, sheet_text(sheet, row, "location")));
            int y = (int)sheet_number(sheet, row, "year") - FIRST;

            if (count[s] < 10)
                continue;
            year_sum[y] += sheet_number(sheet, row, "bloom_doy") - station_d[s];
            year_n[y]++;
        }
        for (int y = 0; y < YEARS; y++)
            year_d[y] = year_n[y] > 0 ? year_sum[y] / year_n[y] : 0;
    }
    for (int y = 0; y < YEARS; y++)
        middle += year_d[y] / YEARS;
    for (int s = 0; s < stations; s++) {
        if (count[s] < 10)
            continue;
        for (guint row = 0; row < sheet_rows(sheet); row++) {
            if (GPOINTER_TO_INT(g_hash_table_lookup(index, sheet_text(sheet, row, "location"))) !=
                s)
                continue;
            bloom[n_bloom].station = kept;
            bloom[n_bloom++].day = sheet_number(sheet, row, "bloom_doy");
        }
        swiss.place[kept] = swiss.place[s];
        swiss.place[kept++].day = station_d[s] + middle;
    }
    swiss.name = "Swiss cherry";
    swiss.n = kept;
}

/* Fitting ---------------------------------------------------------------------------------------
 */

/* The house's form: days per degree of latitude (4 below 48 degrees, falling to `flat_d` at 60), of
 * longitude, and per 100 m. */
struct rule {
    double flat_d, lon_d, height_d;
    double sd_d; /* of one place about another, besides a quarter of the move */
};

/* Latitude as the rule counts it: the part with a fixed rate, and that which `flat_d` multiplies.
 */
static void lat_parts(double lat, double *fixed_d, double *flat)
{
    double band = FLAT_LAT - STEEP_LAT, past = CLAMP(fabs(lat) - STEEP_LAT, 0, band);

    *fixed_d = STEEP_D * MIN(fabs(lat), STEEP_LAT) + STEEP_D * (past - past * past / band / 2);
    *flat = past * past / band / 2 + MAX(fabs(lat) - FLAT_LAT, 0);
}

/* Least squares of three unknowns, `use[]` says which are free; the others stay. */
static void solve(double a[3][4], const gboolean use[3], double x[3])
{
    for (int i = 0; i < 3; i++) {
        if (use[i])
            continue;
        for (int r = 0; r < 3; r++) {
            a[r][3] -= a[r][i] * x[i];
            a[r][i] = a[i][r] = 0;
        }
        a[i][i] = 1;
        a[i][3] = x[i];
    }
    for (int i = 0; i < 3; i++) {
        for (int r = 0; r < 3; r++) {
            double f = r == i ? 0 : a[r][i] / a[i][i];

            for (int c = 0; c < 4 && r != i; c++)
                a[r][c] -= f * a[i][c];
        }
    }
    for (int i = 0; i < 3; i++)
        x[i] = a[i][3] / a[i][i];
}

/* Adds an event's places about their means with weight `w`; `steep`: with the fixed latitude part.
 */
static void add_event(const struct event *event, int without, double w, gboolean steep,
                      double a[3][4])
{
    double mean[4] = {0};
    int n = 0;

    for (int turn = 0; turn < 2; turn++) {
        for (int i = 0; i < event->n; i++) {
            const struct place *one = &event->place[i];
            double fixed_d, flat, x[4];

            if (i == without)
                continue;
            lat_parts(one->lat, &fixed_d, &flat);
            x[0] = steep ? flat : one->lat;
            x[1] = one->lon;
            x[2] = one->elevation_m / 100;
            x[3] = one->day - (steep ? fixed_d : 0);
            if (turn == 0) {
                n++;
                for (int k = 0; k < 4; k++)
                    mean[k] += x[k];
                continue;
            }
            for (int r = 0; r < 3; r++) {
                for (int c = 0; c < 4; c++)
                    a[r][c] += w * (x[r] - mean[r]) * (x[c] - mean[c]);
            }
        }
        for (int k = 0; turn == 0 && k < 4; k++)
            mean[k] /= n;
    }
}

static double shift(const struct rule *rule, gboolean steep, const struct place *from,
                    const struct place *to)
{
    double fixed0, flat0, fixed, flat;
    double days = rule->lon_d * (to->lon - from->lon) +
                  rule->height_d * (to->elevation_m - from->elevation_m) / 100;

    if (!steep)
        return days + rule->flat_d * (to->lat - from->lat);
    lat_parts(from->lat, &fixed0, &flat0);
    lat_parts(to->lat, &fixed, &flat);
    return days + fixed - fixed0 + rule->flat_d * (flat - flat0);
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double median(double *x, int n)
{
    qsort(x, (size_t)n, sizeof *x, by_size);
    return n % 2 == 1 ? x[n / 2] : (x[n / 2 - 1] + x[n / 2]) / 2;
}

/* RMSE of all other places from each, the median over those that they are foretold from. `rule`
 * NULL: no move; `hopkins` in its place. */
static double from_place_to_place(const struct event *event, const struct rule *rule,
                                  gboolean steep, gboolean hopkins, int turned)
{
    double rmse[MOST];

    for (int r = 0; r < event->n; r++) {
        double squares = 0;

        for (int i = 0; i < event->n; i++) {
            const struct place *from = &event->place[r], *to = &event->place[i];
            double days = 0;

            if (hopkins)
                days = turned * (4 * (to->lat - from->lat) +
                                 4 / 1.2192 * (to->elevation_m - from->elevation_m) / 100);
            else if (rule != NULL)
                days = shift(rule, steep, from, to);
            squares += (from->day + days - to->day) * (from->day + days - to->day);
        }
        rmse[r] = sqrt(squares / (event->n - 1));
    }
    return median(rmse, event->n);
}

/* The spread that holds 80 % of the moves of these events (without one place of theirs, if that is
 * said), as sd_d^2 + (move / 4)^2: the house's share of a move. */
static double fit_spread(const struct event *const *events, int n, int without,
                         const struct rule *rule, gboolean steep)
{
    double *off = g_new(double, 20 * MOST * 40), sd;
    int count = 0;

    for (int e = 0; e < n; e++) {
        for (int r = 0; r < events[e]->n; r += MAX(events[e]->n / 30, 1)) {
            for (int i = 0; i < events[e]->n; i++) {
                const struct place *from = &events[e]->place[r], *to = &events[e]->place[i];
                double days = shift(rule, steep, from, to), left = from->day + days - to->day;

                if (i != r && i != without && r != without)
                    off[count++] = MAX(left * left / P90 / P90 - days * days / 16, 0);
            }
        }
    }
    qsort(off, (size_t)count, sizeof *off, by_size);
    sd = sqrt(off[(int)(0.8 * count)]);
    g_free(off);
    return sd;
}

struct held {
    int inside, all;
};

static void hold(const struct event *event, int only, const struct rule *rule, gboolean steep,
                 struct held *held)
{
    for (int r = 0; r < event->n; r++) {
        for (int i = 0; i < event->n; i++) {
            const struct place *from = &event->place[r], *to = &event->place[i];
            double days = shift(rule, steep, from, to);
            double sd = sqrt(rule->sd_d * rule->sd_d + days * days / 16);

            if (i == r || (only >= 0 && i != only))
                continue;
            held->inside += fabs(from->day + days - to->day) <= P90 * sd;
            held->all++;
        }
    }
}

static double percent(const struct held *held)
{
    return 100.0 * held->inside / held->all;
}

/* The 95 % band of 80 % for `n` independent cases. */
static double band(int n)
{
    return 100 * 1.96 * sqrt(0.8 * 0.2 / n);
}

/* Growth: the moves are fitted to both sets together, each with the same weight in units of what
 * its own regression leaves, without one event of Norway or one station of Switzerland; the spread
 * to what is left of the set that is tested, since one gives means of few years and many observers,
 * the other of many years. */
static struct rule fit_growth(int without_event, int without_station)
{
    const gboolean use[3] = {TRUE, FALSE, TRUE};
    double a[3][4] = {{0}}, x[3] = {0, 0, 0};
    const struct event *all[21];
    int rows = 0, n = 0;
    struct rule rule;

    for (int e = 0; e < n_flowers; e++)
        rows += e == without_event ? 0 : flowers[e].n;
    for (int e = 0; e < n_flowers; e++) {
        if (e == without_event)
            continue;
        /* What regressions leave, about 8 and 5 d: their squares weigh the sets. */
        add_event(&flowers[e], -1, 1 / 64.0 / rows, TRUE, a);
        all[n++] = &flowers[e];
    }
    add_event(&swiss, without_station, 1 / 25.0 / swiss.n, TRUE, a);
    solve(a, use, x);
    rule = (struct rule){.flat_d = x[0], .lon_d = 0, .height_d = x[2]};
    all[0] = without_station >= 0 ? &swiss : all[0];
    rule.sd_d = fit_spread(all, without_station >= 0 ? 1 : n, without_station, &rule, TRUE);
    return rule;
}

static void flowers_are_reached_better_than_by_hopkins(void **state)
{
    double raw[20], hopkins[20], ours[20];
    struct held held = {0, 0};
    int better = 0;
    struct rule all;

    (void)state;
    for (int e = 0; e < n_flowers; e++) {
        struct rule rule = fit_growth(e, -1);

        raw[e] = from_place_to_place(&flowers[e], NULL, TRUE, FALSE, 1);
        hopkins[e] = from_place_to_place(&flowers[e], NULL, TRUE, TRUE, 1);
        ours[e] = from_place_to_place(&flowers[e], &rule, TRUE, FALSE, 1);
        better += ours[e] < hopkins[e];
        hold(&flowers[e], -1, &rule, TRUE, &held);
        print_message("%-28s %3d places: raw %4.1f, Hopkins %4.1f, ours %4.1f d\n", flowers[e].name,
                      flowers[e].n, raw[e], hopkins[e], ours[e]);
    }
    all = fit_growth(-1, -1);
    print_message("nothing left out: %.2f d a degree beyond 60 N, %.2f d per 100 m, sd %.1f d\n",
                  all.flat_d, all.height_d, all.sd_d);
    /* What the house ships is this, rounded. */
    expect_near(all.flat_d, 2.5, 0.3, "d");
    expect_near(all.height_d, 3.4, 0.2, "d");
    print_message(
        "Norway, %d events in flower, place to place, median: raw %.1f, Hopkins %.1f, ours "
        "%.1f d; better in %d; P10-P90 holds %.1f %% of %d moves\n",
        n_flowers, median(raw, n_flowers), median(hopkins, n_flowers), median(ours, n_flowers),
        better, percent(&held), held.all);
    assert_int_equal(n_flowers, 13);
    assert_true(median(ours, n_flowers) <= 0.95 * median(hopkins, n_flowers));
    assert_true(median(ours, n_flowers) < median(raw, n_flowers));
    /* 13 events, not their thousands of moves, are what is independent. */
    assert_true(fabs(percent(&held) - 80) <= band(n_flowers));
    expect_near(percent(&held), 80, 5, "%");
}

static void other_events_are_too(void **state)
{
    struct {
        const char *what;
        struct event *events;
        int n, turned;
        gboolean use[3];
    } kinds[] = {{"ripening", ripening, n_ripening, 1, {TRUE, FALSE, TRUE}},
                 {"leaf fall", falls, n_falls, -1, {FALSE, TRUE, TRUE}}};

    (void)state;
    for (gsize k = 0; k < G_N_ELEMENTS(kinds); k++) {
        double raw[10], hopkins[10], ours[10];
        struct held held = {0, 0};
        int n = kinds[k].n;

        for (int e = 0; e < n; e++) {
            double a[3][4] = {{0}}, x[3] = {0, 0, 0};
            const struct event *others[10];
            struct rule rule;
            int m = 0;

            for (int o = 0; o < n; o++) {
                if (o == e)
                    continue;
                add_event(&kinds[k].events[o], -1, 1, FALSE, a);
                others[m++] = &kinds[k].events[o];
            }
            solve(a, kinds[k].use, x);
            rule = (struct rule){.flat_d = x[0], .lon_d = x[1], .height_d = x[2]};
            rule.sd_d = fit_spread(others, m, -1, &rule, FALSE);
            raw[e] = from_place_to_place(&kinds[k].events[e], NULL, FALSE, FALSE, 1);
            hopkins[e] =
                from_place_to_place(&kinds[k].events[e], NULL, FALSE, TRUE, kinds[k].turned);
            ours[e] = from_place_to_place(&kinds[k].events[e], &rule, FALSE, FALSE, 1);
            hold(&kinds[k].events[e], -1, &rule, FALSE, &held);
            print_message(
                "%-28s %3d places: raw %4.1f, Hopkins %4.1f, ours %4.1f d (%.1f d a degree "
                "north, %.1f east, %.1f per 100 m)\n",
                kinds[k].events[e].name, kinds[k].events[e].n, raw[e], hopkins[e], ours[e],
                rule.flat_d, rule.lon_d, rule.height_d);
        }
        print_message(
            "Norway, %d of %s: raw %.1f, Hopkins %.1f, ours %.1f d; P10-P90 holds %.1f %%\n", n,
            kinds[k].what, median(raw, n), median(hopkins, n), median(ours, n), percent(&held));
        assert_true(median(ours, n) < median(hopkins, n));
        assert_true(fabs(percent(&held) - 80) <= band(n));
    }
    assert_int_equal(n_ripening, 4);
    assert_int_equal(n_falls, 3);
}

static void swiss_stations_are_reached_at_least_as_well(void **state)
{
    static double squares[MOST], hopkins_squares[MOST];
    double left = 0, pairs = 0, hopkins_pairs = 0, ours[MOST], hopkins[MOST], raw;
    struct held held = {0, 0};

    (void)state;
    for (int s = 0; s < swiss.n; s++) {
        const gboolean use[3] = {TRUE, FALSE, TRUE};
        struct rule rule = fit_growth(-1, s);
        double a[3][4] = {{0}}, x[3] = {0, 0, 0}, mean[3] = {0};

        /* The station from each of the others. */
        for (int r = 0; r < swiss.n; r++) {
            const struct place *from = &swiss.place[r], *to = &swiss.place[s];
            double off = from->day + shift(&rule, TRUE, from, to) - to->day;
            double hop = from->day + 4 * (to->lat - from->lat) +
                         4 / 1.2192 * (to->elevation_m - from->elevation_m) / 100 - to->day;

            if (r == s)
                continue;
            squares[r] += off * off;
            hopkins_squares[r] += hop * hop;
            pairs += off * off;
            hopkins_pairs += hop * hop;
            mean[0] += from->lat / (swiss.n - 1);
            mean[1] += from->elevation_m / 100 / (swiss.n - 1);
            mean[2] += from->day / (swiss.n - 1);
        }
        hold(&swiss, s, &rule, TRUE, &held);
        /* A regression of the set itself, the station left out: the ceiling. */
        add_event(&swiss, s, 1, FALSE, a);
        solve(a, use, x);
        x[1] = mean[2] + x[0] * (swiss.place[s].lat - mean[0]) +
               x[2] * (swiss.place[s].elevation_m / 100 - mean[1]) - swiss.place[s].day;
        left += x[1] * x[1];
    }
    for (int r = 0; r < swiss.n; r++) {
        ours[r] = sqrt(squares[r] / (swiss.n - 1));
        hopkins[r] = sqrt(hopkins_squares[r] / (swiss.n - 1));
    }
    raw = from_place_to_place(&swiss, NULL, TRUE, FALSE, 1);
    pairs = sqrt(pairs / swiss.n / (swiss.n - 1));
    hopkins_pairs = sqrt(hopkins_pairs / swiss.n / (swiss.n - 1));
    print_message(
        "Swiss cherry, %d stations, place to place, median: raw %.1f, Hopkins %.2f, ours "
        "%.2f d; all pairs %.2f and %.2f d; regression %.1f d; P10-P90 holds %.1f %% of %d\n",
        swiss.n, raw, median(hopkins, swiss.n), median(ours, swiss.n), hopkins_pairs, pairs,
        sqrt(left / swiss.n), percent(&held), held.all);
    assert_true(swiss.n > 60);
    assert_true(median(ours, swiss.n) <= median(hopkins, swiss.n));
    assert_true(pairs <= hopkins_pairs);
    assert_true(median(ours, swiss.n) < raw);
    assert_true(fabs(percent(&held) - 80) <= band(swiss.n));
    expect_near(percent(&held), 80, 5, "%");
}

/*
 * What notes are worth: the usual date of a station foretold from another one, corrected by the
 * first k years seen there (their own lateness and all), against the station's mean; beside plain
 * shrinkage with tau 6 and sigma 9 d, and the running mean alone. The rule is fitted without the
 * station.
 */
static void notes_are_worth_at_least_plain_shrinkage(void **state)
{
    static const int notes[] = {0, 1, 2, 5, 10};
    double ours[5] = {0}, plain[5] = {0}, mean_alone[5] = {0};
    int n = 0;

    (void)state;
    for (int s = 0; s < swiss.n; s++) {
        struct rule rule = fit_growth(-1, s);

        for (int r = s % 7; r < swiss.n; r += 7) {
            const struct place *from = &swiss.place[r], *to = &swiss.place[s];
            double usual = from->day + shift(&rule, TRUE, from, to);
            g_autoptr(GArray) seen = g_array_new(FALSE, FALSE, sizeof(struct spl_sighting));
            double sum = 0;

            if (r == s)
                continue;
            n++;
            for (int k = 0, at = 0, done = 0; k < 5; k++) {
                struct spl_sighting_offset offset;
                double shrunk;

                for (; done < notes[k]; at++) {
                    struct spl_sighting one = {.residual_d = bloom[at].day - usual, .stage = 65};

                    if (bloom[at].station != s)
                        continue;
                    g_array_append_val(seen, one);
                    sum += one.residual_d;
                    done++;
                }
                spl_sighting_offset_of(seen, 0, &offset);
                shrunk = sum * 36 / (36.0 * notes[k] + 81);
                ours[k] += (usual + offset.mean_d - to->day) * (usual + offset.mean_d - to->day);
                plain[k] += (usual + shrunk - to->day) * (usual + shrunk - to->day);
                shrunk = notes[k] > 0 ? sum / notes[k] : 0;
                mean_alone[k] += (usual + shrunk - to->day) * (usual + shrunk - to->day);
            }
        }
    }
    for (int k = 0; k < 5; k++)
        print_message(
            "after %2d years of notes: ours %.2f, plain shrinkage %.2f, running mean %.2f d\n",
            notes[k], sqrt(ours[k] / n), sqrt(plain[k] / n), sqrt(mean_alone[k] / n));
    assert_true(sqrt(ours[2] / n) <= sqrt(plain[2] / n) + 0.005);
    assert_true(ours[4] < ours[2] && ours[2] < ours[0]);
}

/* The house's own function beside the rule that is fitted here. */
static void the_house_moves_as_the_rule_does(void **state)
{
    const struct rule rule = {.flat_d = 2.5, .height_d = 3.4};

    (void)state;
    for (int i = 1; i < flowers[0].n; i++) {
        const struct place *from = &flowers[0].place[0], *to = &flowers[0].place[i];
        struct spl_shift_place a = {from->lat, from->lon, from->elevation_m, NAN};
        struct spl_shift_place b = {to->lat, to->lon, to->elevation_m, NAN};

        expect_near(spl_shift_event_days(SPL_EVENT_GROWTH, &a, &b), shift(&rule, TRUE, from, to),
                    1e-9, "d");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(flowers_are_reached_better_than_by_hopkins),
    cmocka_unit_test(other_events_are_too),
    cmocka_unit_test(swiss_stations_are_reached_at_least_as_well),
    cmocka_unit_test(notes_are_worth_at_least_plain_shrinkage),
    cmocka_unit_test(the_house_moves_as_the_rule_does),
};

int main(void)
{
    g_autofree char *norway = NULL, *alps = NULL;
    g_autoptr(spl_sheet) sheet = NULL, cherries = NULL;

    if (!open_data_is_there())
        return 77;
    norway = open_data_path("printz_norway_1928_1952_subset.csv");
    alps = open_data_path("swiss_cherry_half_of_the_stations_1951_2023.csv");
    sheet = sheet_open_path(norway);
    cherries = sheet_open_path(alps);
    n_flowers = read_events(sheet, "_flowering", flowers);
    n_ripening = read_events(sheet, "_start_ripening", ripening);
    n_falls = read_events(sheet, "_leaffall", falls);
    read_swiss(cherries);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
