/* SPDX-License-Identifier: MIT
 *
 * The estate map's frame with its coordinates, scale bar and north.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "picture/estate_private.h"
#include "simpling/customs.h"

#define EDGE_SAMPLES 240
#define MILE_M 1609.344
#define FOOT_M 0.3048

/* Steps of coordinates, in seconds of arc. */
static const int steps[] = {1,   2,    5,    10,   15,    30,    60,    120,    300,    600,
                            900, 1800, 3600, 7200, 18000, 36000, 54000, 108000, 162000, 324000};

static char *degrees_words(double seconds, int step, char plus, char minus)
{
    long all = lround(fabs(seconds));
    long d = all / 3600, m = all / 60 % 60, s = all % 60;
    char side = all == 0 || (plus == 'E' && all == 648000) ? ' ' : seconds > 0.0 ? plus : minus;
    char *words =
        step % 3600 == 0 ? g_strdup_printf("%ld\302\260%c", d, side)
        : step % 60 == 0
            ? g_strdup_printf("%ld\302\260%02ld\342\200\262%c", d, m, side)
            : g_strdup_printf("%ld\302\260%02ld\342\200\262%02ld\342\200\263%c", d, m, s, side);
    return g_strchomp(words);
}

struct edge_point {
    double x, y, lat, lon;
    gboolean on_earth;
};

static gboolean place_at(const struct spl_estate_draw *draw, double x, double y, double *lat,
                         double *lon)
{
    double east = draw->middle_e + (x - draw->frame_x - draw->frame_w / 2.0) / draw->pt_per_m;
    double north = draw->middle_n - (y - draw->frame_y - draw->frame_h / 2.0) / draw->pt_per_m;
    return spl_projection_back(&draw->projection, east, north, lat, lon);
}

static void sample_edge(const struct spl_estate_draw *draw, double x0, double y0, double x1,
                        double y1, struct edge_point points[EDGE_SAMPLES + 1])
{
    for (int i = 0; i <= EDGE_SAMPLES; i++) {
        struct edge_point *p = &points[i];
        p->x = x0 + (x1 - x0) * i / EDGE_SAMPLES;
        p->y = y0 + (y1 - y0) * i / EDGE_SAMPLES;
        p->on_earth = place_at(draw, p->x, p->y, &p->lat, &p->lon);
    }
}

/* The step that gives this edge a tick every 70 points or more. */
static int step_for(const struct edge_point *points, gboolean lat, double length)
{
    double range = 0.0; /* all the way along the edge, not from end to end */
    for (int i = 1; i <= EDGE_SAMPLES; i++) {
        if (!points[i].on_earth || !points[i - 1].on_earth)
            continue;
        range += lat ? fabs(points[i].lat - points[i - 1].lat)
                     : fabs(remainder(points[i].lon - points[i - 1].lon, 360.0));
    }
    double wanted = range * 3600.0 / MAX(1.0, length / 70.0);
    for (gsize i = 0; i < G_N_ELEMENTS(steps); i++)
        if (steps[i] >= wanted)
            return steps[i];
    return steps[G_N_ELEMENTS(steps) - 1];
}

/* Ticks and words along one edge. `side`: the edge is upright; out: -1 left or up, +1 right, down.
 */
static void mark_edge(struct spl_estate_draw *draw, const struct edge_point *points, gboolean side,
                      double out, int step)
{
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.0, .align = SPL_ALIGN_LEFT};
    double taken = -INFINITY; /* end of the last words along the edge */
    for (int i = 1; i <= EDGE_SAMPLES; i++) {
        const struct edge_point *a = &points[i - 1], *b = &points[i];
        if (!a->on_earth || !b->on_earth)
            continue;
        double from = side ? a->lat : a->lon;
        double turn = side ? b->lat - a->lat : remainder(b->lon - a->lon, 360.0);
        double to = from + turn;
        double lower = MIN(from, to) * 3600.0 / step, upper = MAX(from, to) * 3600.0 / step;
        double round_value = ceil(lower);
        if (round_value >= upper || fabs(turn) > 30.0)
            continue;
        double share = (round_value * step / 3600.0 - from) / turn;
        double x = a->x + (b->x - a->x) * share, y = a->y + (b->y - a->y) * share;
        double seconds = round_value * step;
        if (!side)
            seconds = remainder(seconds, 1296000.0);
        g_autofree char *words =
            side ? degrees_words(seconds, step, 'N', 'S') : degrees_words(seconds, step, 'E', 'W');
        double w, h;
        spl_page_measure(draw->page, 0.0, &type, words, &w, &h);
        double half = side ? h / 2.0 : w / 2.0, along = side ? y : x;
        double start = side ? draw->frame_y : draw->frame_x;
        double end = start + (side ? draw->frame_h : draw->frame_w);
        spl_page_line(draw->page, x, y, side ? x + out * 3.0 : x, side ? y : y + out * 3.0, 0.6,
                      SPL_TONE_BLACK, 0.0);
        if (along - half < MAX(taken + 3.0, start) || along + half > end)
            continue;
        double text_x = side ? (out < 0.0 ? x - 4.0 - w : x + 4.0) : x - w / 2.0;
        double text_y = side ? y - h / 2.0 : (out < 0.0 ? y - 2.0 - h : y + 2.0);
        spl_page_text(draw->page, text_x, text_y, 0.0, &type, words);
        taken = along + half;
    }
}

void spl_estate_draw_frame(struct spl_estate_draw *draw)
{
    double x = draw->frame_x, y = draw->frame_y, w = draw->frame_w, h = draw->frame_h;
    spl_page_frame(draw->page, x, y, w, h, 0.6, SPL_TONE_BLACK);
    spl_page_frame(draw->page, x - SPL_BAND_SIDE, y - SPL_BAND_TOP, w + 2.0 * SPL_BAND_SIDE,
                   h + 2.0 * SPL_BAND_TOP, 1.4, SPL_TONE_BLACK);
    g_autofree struct edge_point *points = g_new(struct edge_point, EDGE_SAMPLES + 1);
    sample_edge(draw, x, y, x, y + h, points);
    int lat_step = step_for(points, TRUE, h);
    mark_edge(draw, points, TRUE, -1.0, lat_step);
    sample_edge(draw, x + w, y, x + w, y + h, points);
    mark_edge(draw, points, TRUE, 1.0, lat_step);
    sample_edge(draw, x, y, x + w, y, points);
    int lon_step = step_for(points, FALSE, w);
    mark_edge(draw, points, FALSE, -1.0, lon_step);
    sample_edge(draw, x, y + h, x + w, y + h, points);
    mark_edge(draw, points, FALSE, 1.0, step_for(points, FALSE, w));
}

static void draw_north(struct spl_page *page, double x, double y)
{
    struct spl_type type = {
        .face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE, .align = SPL_ALIGN_CENTRE};
    double h = spl_page_text(page, x - 8.0, y, 16.0, &type, "N");
    double top = y + h, left[6] = {x, top, x - 5.0, top + 24.0, x, top + 18.0};
    double right[6] = {x, top, x + 5.0, top + 24.0, x, top + 18.0};
    spl_page_fill(page, left, 3, SPL_TONE_BLACK);
    spl_page_path(page, right, 3, TRUE, 0.6, SPL_TONE_BLACK, 0.0);
    spl_page_ink(page, SPL_INK_MARK, x - 5.0, top, 10.0, 24.0, "north");
}

/* 1, 2 or 5 times a power of ten, the largest not above `most`. */
static double round_length(double most)
{
    double power = pow(10.0, floor(log10(most)));
    double share = most / power;
    return power * (share >= 5.0 ? 5.0 : share >= 2.0 ? 2.0 : 1.0);
}

double spl_estate_draw_scale(struct spl_estate_draw *draw, double x, double y, double w)
{
    struct spl_page *page = draw->page;
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.0};
    draw_north(page, x + w - 10.0, y);
    double room = w - 50.0;
    /* A round number of the unit that people read. */
    gboolean metric = spl_customs()->print == SPL_UNITS_METRIC;
    double most_m = room / draw->pt_per_m;
    gboolean large = most_m >= (metric ? 1000.0 : MILE_M);
    double unit_m = metric ? (large ? 1000.0 : 1.0) : large ? MILE_M : FOOT_M;
    const char *unit = metric ? (large ? "km" : "m") : large ? "miles" : "ft";
    double in_unit = round_length(most_m / unit_m), length = in_unit * unit_m * draw->pt_per_m;
    double bar_y = y + 16.0;
    /* Five parts, black and open by turns. */
    for (int i = 0; i < 5; i++) {
        double left = x + 2.0 + length * i / 5.0, right = x + 2.0 + length * (i + 1) / 5.0;
        double part[8] = {left, bar_y, right, bar_y, right, bar_y + 4.0, left, bar_y + 4.0};
        if (i % 2 == 0)
            spl_page_fill(page, part, 4, SPL_TONE_BLACK);
        spl_page_path(page, part, 4, TRUE, 0.5, SPL_TONE_BLACK, 0.0);
    }
    spl_page_ink(page, SPL_INK_MARK, x + 2.0, bar_y, length, 4.0, "scale bar");
    g_autofree char *number = spl_number_format(in_unit, 3);
    g_autofree char *end = g_strdup_printf("%s %s", number, unit);
    spl_page_text(page, x, y + 5.0, 0.0, &type, "0");
    double end_w;
    spl_page_measure(page, 0.0, &type, end, &end_w, NULL);
    spl_page_text(page, MAX(x + 12.0, x + 2.0 + length - end_w), y + 5.0, 0.0, &type, end);
    g_autofree char *grouped = NULL;
    double n = draw->denominator;
    grouped = n >= 1e6   ? g_strdup_printf("%.0f %03.0f %03.0f", floor(n / 1e6),
                                           floor(fmod(n, 1e6) / 1e3), fmod(n, 1e3))
              : n >= 1e3 ? g_strdup_printf("%.0f %03.0f", floor(n / 1e3), fmod(n, 1e3))
                         : g_strdup_printf("%.0f", n);
    g_autofree char *ratio = g_strdup_printf(
        "1 : %s on paper%s", grouped,
        draw->frame_w / draw->pt_per_m > 500e3 ? "; distances are true from the middle only" : "");
    double ratio_h = spl_page_text(page, x, bar_y + 7.0, room, &type, ratio);
    return MAX(bar_y + 7.0 + ratio_h, y + 42.0) - y + 4.0;
}
