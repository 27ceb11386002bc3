/* SPDX-License-Identifier: MIT
 *
 * An invented valley for the picture tests.
 */
#ifndef SPL_TESTS_SAMPLE_MAP_H
#define SPL_TESTS_SAMPLE_MAP_H

#include <glib.h>
#include <math.h>

#include "picture/estate_map.h"

static inline struct spl_estate_map sample_map(void)
{
    static const double croft[] = {54.9760, -2.4700, 54.9768, -2.4660,
                                   54.9748, -2.4652, 54.9742, -2.4695};
    static const struct spl_estate_map_site sites[] = {
        {"High Croft", 54.9755, -2.4675, SPL_VERDICT_CLEAR,
         "asked 2 Apr 2027, the farmer: not sprayed", "dandelion flower, leaf and root", croft, 4,
         NAN, NAN, NAN},
        {"Sike Foot", 54.9688, -2.4520, SPL_VERDICT_ASK, "no word since 3 Dec 2026",
         "meadowsweet, dandelion", NULL, 0, 260.0, 54.9675, -2.4485},
        {"Mill Lane End", 54.9641, -2.4720, SPL_VERDICT_CLEAR, "asked 20 Mar 2027, the parish",
         "nettle leaf", NULL, 0, NAN, NAN, NAN},
        {"Beck Side", 54.9652, -2.4688, SPL_VERDICT_CLEAR, "own ground", "elder flower and berry",
         NULL, 0, NAN, NAN, NAN},
        {"Old Drove", 54.9722, -2.4402, SPL_VERDICT_CLOSED,
         "24 m from an orchard sprayed 3 May 2027 (closed to 31 m)", "hawthorn", NULL, 0, 24.0,
         54.9724, -2.4400},
        {"Far Garth", 54.9830, -2.4470, SPL_VERDICT_CLEAR, "asked 11 Apr 2027, the owner",
         "yarrow, St John's wort", NULL, 0, NAN, NAN, NAN},
        {"Quarry Wood", 54.9801, -2.4850, SPL_VERDICT_ASK, "permission to dig not yet given",
         "burdock root", NULL, 0, NAN, NAN, NAN},
        {"Chapel Verge", 54.9660, -2.4601, SPL_VERDICT_CLOSED, "6 m from the road (closed to 10 m)",
         "nettle", NULL, 0, 6.0, NAN, NAN},
    };
    static const double orchard[] = {54.9724, -2.4400, 54.9740, -2.4390, 54.9735,
                                     -2.4340, 54.9712, -2.4345, 54.9712, -2.4385};
    static const double field[] = {54.9675, -2.4485, 54.9690, -2.4440,
                                   54.9672, -2.4420, 54.9655, -2.4460};
    static const double road[] = {54.9600, -2.4900, 54.9630, -2.4780, 54.9655, -2.4640,
                                  54.9661, -2.4600, 54.9680, -2.4560, 54.9720, -2.4500,
                                  54.9790, -2.4380, 54.9860, -2.4330};
    static const double tip[] = {54.9780, -2.4800};
    static const struct spl_estate_map_hazard hazards[] = {
        {SPL_MAP_POLYGON, "orchard, airblast sprayer", "Garth orchard, sprayed 3 May 2027", 31, 80,
         orchard, 5, NULL, 0},
        {SPL_MAP_POLYGON, "field, boom sprayer", "Low Field, sprayed 12 Apr 2027", 10, 31, field, 4,
         NULL, 0},
        {SPL_MAP_LINE, "road", "Harrowdale road", 10, 50, road, 8, NULL, 0},
        {SPL_MAP_POINT, "old tip", "quarry tip", 10, 50, tip, 1, NULL, 0},
    };
    static const char *const notes[] = {"Invented places. Where nothing is drawn, nothing is "
                                        "known; that is not the same as clean."};
    return (struct spl_estate_map){
        .title = "The gathering grounds of Harrowdale",
        .subtitle = "An invented valley in the north of England",
        .today = spl_day_from_ymd(2027, 5, 9),
        .home_lat = 54.9668,
        .home_lon = -2.4740,
        .home_name = "the dispensary",
        .sites = sites,
        .n_sites = G_N_ELEMENTS(sites),
        .hazards = hazards,
        .n_hazards = G_N_ELEMENTS(hazards),
        .notes = notes,
        .n_notes = 1,
    };
}

#endif
