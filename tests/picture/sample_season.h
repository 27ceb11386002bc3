/* SPDX-License-Identifier: MIT
 *
 * An invented season for the picture tests: an ordinary one and hostile ones.
 */
#ifndef SPL_TESTS_SAMPLE_SEASON_H
#define SPL_TESTS_SAMPLE_SEASON_H

#include <glib.h>

#include "picture/season_page.h"

static inline struct spl_day sample_day(int year, int month, int dom)
{
    return spl_day_from_ymd(year, month, dom);
}

#define SAMPLE_WINDOW(m0, d0, m1, d1, m2, d2, m3, d3)                                              \
    {                                                                                              \
        sample_day(2027, m0, d0), sample_day(2027, m1, d1), sample_day(2027, m2, d2),              \
            sample_day(2027, m3, d3)                                                               \
    }

/* Draws `season` with `lines` of the ordinary invented season; statics live as long as the test. */
static inline struct spl_season_page sample_season(void)
{
    static struct spl_season_page_window windows[16];
    static struct spl_season_page_line lines[16];
    static struct spl_season_page_outing outings[6];
    static struct spl_season_page_batch batches[5];
    static const gsize first[] = {0, 1}, second[] = {2}, third[] = {3, 4}, fourth[] = {5};
    const struct spl_season_page_window w[] = {
        SAMPLE_WINDOW(4, 14, 4, 24, 5, 6, 5, 20),    SAMPLE_WINDOW(4, 20, 4, 30, 5, 12, 5, 26),
        SAMPLE_WINDOW(6, 8, 6, 20, 7, 8, 7, 30),     SAMPLE_WINDOW(9, 25, 10, 10, 11, 20, 12, 20),
        SAMPLE_WINDOW(3, 20, 4, 1, 4, 28, 5, 14),    SAMPLE_WINDOW(7, 25, 8, 5, 8, 25, 9, 10),
        SAMPLE_WINDOW(6, 1, 6, 8, 6, 18, 6, 30),     SAMPLE_WINDOW(9, 1, 9, 12, 9, 30, 10, 14),
        SAMPLE_WINDOW(5, 10, 5, 18, 5, 28, 6, 8),    SAMPLE_WINDOW(6, 28, 7, 5, 7, 20, 8, 4),
        SAMPLE_WINDOW(10, 5, 10, 15, 11, 10, 12, 5), SAMPLE_WINDOW(6, 24, 7, 1, 7, 14, 8, 1),
    };
    memcpy(windows, w, sizeof w);
    const struct spl_season_page_line l[] = {
        {"Dandelion", "Taraxacum officinale", "flower", NULL, "High Croft", SPL_VERDICT_CLEAR,
         "shifted", &windows[0], 1, first, 2},
        {"Dandelion", "Taraxacum officinale", "flower", NULL, "Sike Foot", SPL_VERDICT_ASK,
         "shifted", &windows[1], 1, NULL, 0},
        {"Dandelion", "Taraxacum officinale", "leaf", "medicine", "High Croft", SPL_VERDICT_CLEAR,
         "shifted", &windows[2], 1, second, 1},
        {"Dandelion", "Taraxacum officinale", "root", NULL, "High Croft", SPL_VERDICT_ASK,
         "shifted", &windows[3], 1, NULL, 0},
        {"Nettle", "Urtica dioica", "leaf", NULL, "Mill Lane End", SPL_VERDICT_CLEAR, "shifted",
         &windows[4], 2, NULL, 0},
        {"Elder", "Sambucus nigra", "flower", NULL, "Beck Side", SPL_VERDICT_CLEAR, "shifted",
         &windows[6], 1, third, 2},
        {"Elder", "Sambucus nigra", "berry", NULL, "Beck Side", SPL_VERDICT_CLEAR, "shifted",
         &windows[7], 1, fourth, 1},
        {"Hawthorn", "Crataegus monogyna", "leaf and flower", NULL, "Old Drove", SPL_VERDICT_CLOSED,
         "almanac", &windows[8], 1, NULL, 0},
        {"Yarrow", "Achillea millefolium", "herb", NULL, "Far Garth", SPL_VERDICT_CLEAR, "observed",
         &windows[9], 1, NULL, 0},
        {"Burdock", "Arctium lappa", "root", NULL, "Quarry Wood", SPL_VERDICT_ASK, "shifted",
         &windows[10], 1, NULL, 0},
        {"St John's wort", "Hypericum perforatum", "flowering tops", NULL, "Far Garth",
         SPL_VERDICT_CLEAR, "shifted", &windows[11], 1, NULL, 0},
        {"Meadowsweet", "Filipendula ulmaria", "herb", NULL, "Sike Foot", SPL_VERDICT_ASK, NULL,
         NULL, 0, NULL, 0},
    };
    memcpy(lines, l, sizeof l);
    const struct spl_season_page_outing o[] = {
        {sample_day(2027, 4, 24), sample_day(2027, 4, 25), "High Croft, Sike Foot"},
        {sample_day(2027, 5, 1), sample_day(2027, 5, 2), "High Croft"},
        {sample_day(2027, 6, 26), sample_day(2027, 6, 27), "High Croft, Mill Lane End"},
        {sample_day(2027, 6, 12), sample_day(2027, 6, 13), "Beck Side"},
        {sample_day(2027, 6, 19), SPL_DAY_NONE, "Beck Side, Far Garth"},
        {sample_day(2027, 9, 18), sample_day(2027, 9, 19), "Beck Side"},
    };
    memcpy(outings, o, sizeof o);
    const struct spl_season_page_batch b[] = {
        {"B26-011", "Hawthorn berry tincture", sample_day(2026, 11, 20), sample_day(2027, 1, 8),
         sample_day(2027, 1, 10)},
        {"B27-001", "Dandelion flower tincture", sample_day(2027, 4, 24), sample_day(2027, 6, 5),
         SPL_DAY_NONE},
        {"B27-002", "Nettle leaf vinegar", sample_day(2027, 4, 10), sample_day(2027, 5, 1),
         SPL_DAY_NONE},
        {"B27-003", "Burdock root tincture", sample_day(2027, 10, 30), sample_day(2028, 1, 20),
         SPL_DAY_NONE},
    };
    memcpy(batches, b, sizeof b);
    static const char *const notes[] = {
        "Dates that rest on an almanac are those of its own place and are not yet moved to yours."};
    return (struct spl_season_page){
        .title = "The season 2027",
        .subtitle = "Gathering book of an invented dispensary in Harrowdale, north of England",
        .first = sample_day(2027, 1, 1),
        .last = sample_day(2027, 12, 31),
        .today = sample_day(2027, 5, 9),
        .lines = lines,
        .n_lines = G_N_ELEMENTS(l),
        .outings = outings,
        .n_outings = G_N_ELEMENTS(o),
        .batches = batches,
        .n_batches = G_N_ELEMENTS(b),
        .notes = notes,
        .n_notes = 1,
    };
}

#endif
