/* SPDX-License-Identifier: MIT
 *
 * Invented jars, lots, an outing, a year, labels and a batch for the picture tests.
 */
#ifndef SPL_TESTS_SAMPLE_SHEETS_H
#define SPL_TESTS_SAMPLE_SHEETS_H

#include <glib.h>
#include <math.h>
#include <string.h>

#include "picture/batch_record.h"
#include "picture/label_sheet.h"
#include "picture/outing_sheet.h"
#include "picture/shelf_page.h"
#include "picture/year_page.h"

#define DAY(y, m, d) spl_day_from_ymd(y, m, d)

static inline struct spl_shelf_page sample_shelf(void)
{
    static struct spl_shelf_page_jar jars[3];
    static struct spl_shelf_page_lot lots[4];
    const struct spl_shelf_page_jar j[] = {
        {"B27-001", "Dandelion flower tincture", "H27-001 87 g, High Croft", "1:5 fresh, 40 %", 500,
         DAY(2027, 4, 24), DAY(2027, 6, 5), DAY(2028, 4, 24), "shake", DAY(2027, 5, 10), NULL},
        {"B27-002", "Nettle leaf vinegar", "H27-002 300 g, Mill Lane End",
         "three quarters full, 6 %", 1000, DAY(2027, 4, 10), DAY(2027, 5, 1), DAY(2027, 5, 8),
         "strain", DAY(2027, 5, 8), "plastic lid"},
        {"B27-004", "Elder flower glycerite", "P27-001 dried, bought in", "1:8 dried", NAN,
         DAY(2027, 5, 2), DAY(2027, 5, 30), SPL_DAY_NONE, NULL, SPL_DAY_NONE,
         "held: asked about the verge on 1 May, no answer yet"},
    };
    memcpy(jars, j, sizeof j);
    const struct spl_shelf_page_lot l[] = {
        {"L26-003", "Hawthorn berry tincture", DAY(2026, 12, 1), 402, 310, "mL", 0.342,
         DAY(2028, 12, 1), SPL_STATE_ON_SHELF, NULL, "cool and dark"},
        {"L26-004", "Yarrow herb, dried", DAY(2026, 8, 30), 220, 45.5, "g", NAN, DAY(2027, 8, 30),
         SPL_STATE_ON_SHELF, NULL, "dry, in the tin"},
        {"L26-005", "Nettle leaf tincture", DAY(2026, 6, 20), 380, 180, "mL", 0.251,
         DAY(2027, 6, 20), SPL_STATE_WITHDRAWN, "4 May 2027: the verge was sprayed in May 2026",
         "cool and dark"},
        {"L26-001", "Elder berry syrup", DAY(2026, 10, 2), 750, 0, "mL", NAN, DAY(2027, 4, 2),
         SPL_STATE_USED_UP, NULL, NULL},
    };
    memcpy(lots, l, sizeof l);
    return (struct spl_shelf_page){.title = "The shelf",
                                   .subtitle = "An invented dispensary in Harrowdale",
                                   .today = DAY(2027, 5, 9),
                                   .jars = jars,
                                   .n_jars = G_N_ELEMENTS(j),
                                   .lots = lots,
                                   .n_lots = G_N_ELEMENTS(l)};
}

static inline struct spl_outing_sheet sample_outing(void)
{
    static struct spl_outing_sheet_take first[2], second[1];
    static struct spl_outing_sheet_stop stops[2];
    static const char *const dandelion[] = {
        "Look-alikes: cat's-ear and hawkbits (harmless); young ragwort rosettes (harmful)."};
    static const char *const sweet[] = {"Deadly look-alikes on the same wet ground: hemlock "
                                        "water-dropwort, water hemlock, hemlock.",
                                        "Not with salicylate allergy or blood thinners."};
    static const char *const kit[] = {"scales", "paper bags", "book or telephone for the log"};
    static const char *const rules[] = {"No more than the sheet says.", "Jars are filled today."};
    const struct spl_outing_sheet_take a[] = {
        {"Dandelion flower (Taraxacum officinale)", 180, 420, 230,
         "first flowers, many buds still shut", DAY(2027, 4, 14), DAY(2027, 5, 20),
         "for two jars of tincture", dandelion, 1, 1, FALSE},
        {"Dandelion leaf (Taraxacum officinale)", 250, 900, NAN, "well grown, bitter",
         DAY(2027, 4, 8), DAY(2027, 7, 30), "for the vinegar", dandelion, 1, 1, FALSE},
    };
    const struct spl_outing_sheet_take b[] = {{"Meadowsweet herb (Filipendula ulmaria)", 300, 300,
                                               NAN, "in bud to full flower", DAY(2027, 6, 20),
                                               DAY(2027, 8, 10), NULL, sweet, 2, 1, TRUE}};
    memcpy(first, a, sizeof a);
    memcpy(second, b, sizeof b);
    const struct spl_outing_sheet_stop s[] = {
        {"High Croft", 54.9755, -2.4675, SPL_VERDICT_CLEAR, "nothing known against it",
         DAY(2027, 4, 2), "flower and leaf allowed by the farmer until 31 Oct 2027", FALSE, 10 * 60,
         12 * 60 + 30, "from 09:10, when the dew is off, to 14:20", 1.1,
         "gate by the chapel, dog on the yard", first, 2},
        {"Sike Foot", 54.9688, -2.4520, SPL_VERDICT_ASK, "the word is 157 days old",
         DAY(2026, 12, 3), NULL, TRUE, 13 * 60, 14 * 60 + 30, NULL, 1.4, NULL, second, 1},
    };
    memcpy(stops, s, sizeof s);
    return (struct spl_outing_sheet){.day = DAY(2027, 4, 24),
                                     .reserve = DAY(2027, 4, 25),
                                     .hours = 5,
                                     .km = 4.8,
                                     .start_min = 9 * 60 + 30,
                                     .end_min = 15 * 60,
                                     .weather = "Flowers: dry, after the dew is off.",
                                     .stops = stops,
                                     .n_stops = 2,
                                     .home_km = 2.3,
                                     .kit = kit,
                                     .n_kit = G_N_ELEMENTS(kit),
                                     .rules = rules,
                                     .n_rules = G_N_ELEMENTS(rules)};
}

static inline struct spl_year_page sample_year(void)
{
    static struct spl_year_page_taken taken[3];
    static struct spl_year_page_made made[3];
    static struct spl_year_page_used used[2];
    static struct spl_year_page_lost lost[1];
    static struct spl_year_page_prediction seen[3];
    const struct spl_year_page_taken t[] = {
        {"High Croft", "Dandelion flower", "H27-001, H27-003", DAY(2027, 4, 24), DAY(2027, 5, 1),
         265, 420, SPL_VERDICT_CLEAR},
        {"Mill Lane End", "Nettle leaf", "H27-002", DAY(2027, 4, 10), DAY(2027, 4, 10), 640, 600,
         SPL_VERDICT_CLEAR},
        {"Beck Side", "Elder flower", "H27-004", DAY(2027, 6, 12), DAY(2027, 6, 19), 510, NAN,
         SPL_VERDICT_ASK},
    };
    const struct spl_year_page_made m[] = {
        {"B27-001", "Dandelion flower tincture", DAY(2027, 4, 24), DAY(2027, 6, 6), FALSE, 87, 435,
         398, 402, 371, 420, "L27-001"},
        {"B27-002", "Nettle leaf vinegar", DAY(2027, 4, 10), DAY(2027, 5, 9), FALSE, 300, 900, 850,
         700, 660, 780, "L27-002, L27-003"},
        {"B27-005", "Burdock root tincture", DAY(2027, 10, 30), SPL_DAY_NONE, FALSE, 180, 720, NAN,
         640, 600, 690, NULL},
    };
    const struct spl_year_page_used u[] = {
        {"L27-001", "Dandelion flower tincture", 0, 398, 150, 0, 3, 0, 245, "mL",
         SPL_STATE_ON_SHELF},
        {"L26-005", "Nettle leaf tincture", 380, 0, 200, 0, 170, -10, 0, "mL", SPL_STATE_WITHDRAWN},
    };
    static struct spl_year_page_came came[2];
    const struct spl_year_page_came c[] = {
        {"D27-001", "Elder flower", "dried, 5 g fresh to 1 g", DAY(2027, 6, 24), "100 g"},
        {"P27-001", "Marigold flower", "bought of Sallow Bank Herbs, SB-114", DAY(2027, 4, 3),
         "250 g"}};
    const struct spl_year_page_lost l[] = {
        {"D27-001", "Elder flower, drying", DAY(2027, 6, 24), "120 g", "gone brown on the rack"}};
    const struct spl_year_page_prediction p[] = {
        {"Dandelion flower", "High Croft", DAY(2027, 4, 10), DAY(2027, 4, 17), DAY(2027, 4, 24),
         DAY(2027, 4, 14), "shifted"},
        {"Elder flower", "Beck Side", DAY(2027, 6, 1), DAY(2027, 6, 7), DAY(2027, 6, 14),
         DAY(2027, 6, 7), "weather"},
        {"Hawthorn flower", "Old Drove", DAY(2027, 5, 8), DAY(2027, 5, 14), DAY(2027, 5, 20),
         DAY(2027, 5, 23), "shifted"},
    };
    memcpy(taken, t, sizeof t);
    memcpy(made, m, sizeof m);
    memcpy(used, u, sizeof u);
    memcpy(lost, l, sizeof l);
    memcpy(came, c, sizeof c);
    memcpy(seen, p, sizeof p);
    return (struct spl_year_page){.subtitle = "An invented dispensary in Harrowdale",
                                  .year = 2027,
                                  .taken = taken,
                                  .n_taken = 3,
                                  .made = made,
                                  .n_made = 3,
                                  .used = used,
                                  .n_used = 2,
                                  .came = came,
                                  .n_came = 2,
                                  .lost = lost,
                                  .n_lost = 1,
                                  .predictions = seen,
                                  .n_predictions = 3};
}

static inline struct spl_label_stock sample_stock(void)
{
    return (struct spl_label_stock){.name = (char *)"3x8",
                                    .page_w = 210,
                                    .page_h = 297,
                                    .across = 3,
                                    .down = 8,
                                    .label_w = 63.5,
                                    .label_h = 33.9,
                                    .left = 7.25,
                                    .top = 12.9,
                                    .step_x = 66.0,
                                    .step_y = 33.9};
}

static inline struct spl_label_sheet sample_labels(void)
{
    static struct spl_label labels[5];
    static const char *const some[] = {"Not with bile-duct obstruction or gallstones.",
                                       "Keep out of the reach of children."};
    static const char *const many[] = {
        "Weakens many medicines, among them the contraceptive pill, ciclosporin, tacrolimus, "
        "warfarin, digoxin and HIV protease inhibitors.",
        "Not together with antidepressants.",
        "Makes the skin tender to sunlight.",
        "Stop at least ten days before an operation.",
        "Not under 18 years.",
        "Keep out of the reach of children."};
    const struct spl_label l[] = {
        {.size = SPL_LABEL_MIDDLE,
         .mark = "ANN",
         .code = "L27-001",
         .common = "Dandelion",
         .latin = "Taraxacum officinale",
         .part = "flower",
         .preparation = "Tincture",
         .ratio = "1:5 fresh, mL per g put in",
         .menstruum = "spirit 40 %",
         .final_abv_frac = 0.342,
         .amount = 100,
         .unit = "mL",
         .made = DAY(2027, 6, 6),
         .use_by = DAY(2029, 6, 6),
         .place = "High Croft",
         .storage = "cool and dark",
         .cautions = some,
         .n_cautions = 2},
        {.size = SPL_LABEL_MIDDLE,
         .mark = "ANN",
         .code = "L27-002",
         .common = "Nettle",
         .latin = "Urtica dioica",
         .part = "leaf",
         .preparation = "Vinegar",
         .ratio = "three quarters full",
         .menstruum = "cider vinegar 6 %",
         .final_abv_frac = NAN,
         .amount = 250,
         .unit = "mL",
         .made = DAY(2027, 5, 9),
         .use_by = DAY(2028, 5, 9),
         .storage = "cool and dark"},
        {.size = SPL_LABEL_MIDDLE,
         .mark = "ANN",
         .code = "L27-003",
         .common = "St John's wort",
         .latin = "Hypericum perforatum",
         .part = "flowering tops",
         .preparation = "Tincture",
         .ratio = "1:5 fresh, mL per g put in",
         .menstruum = "spirit 60 %",
         .final_abv_frac = 0.47,
         .amount = 100,
         .unit = "mL",
         .made = DAY(2027, 8, 20),
         .use_by = DAY(2029, 8, 20),
         .storage = "cool and dark",
         .cautions = many,
         .n_cautions = 6,
         .reference = "4711",
         .handed_out = DAY(2027, 9, 2),
         .dispensary = "The invented dispensary, 1 Nowhere Row, Harrowdale"},
        {.size = SPL_LABEL_MIDDLE,
         .mark = "ANN",
         .code = "L26-005",
         .common = "Nettle",
         .latin = "Urtica dioica",
         .part = "leaf",
         .preparation = "Tincture",
         .ratio = "1:5 fresh, mL per g put in",
         .menstruum = "spirit 40 %",
         .final_abv_frac = 0.25,
         .amount = 180,
         .unit = "mL",
         .made = DAY(2026, 6, 20),
         .use_by = SPL_DAY_NONE,
         .state = "WITHDRAWN: do not use"},
        {.size = SPL_LABEL_MIDDLE,
         .mark = "ANN",
         .code = "B27-004",
         .common = "Calendula",
         .latin = "Calendula officinalis",
         .part = "flower",
         .preparation = "Infused oil",
         .ratio = "1:10 dried, mass to mass",
         .final_abv_frac = NAN,
         .amount = NAN,
         .made = DAY(2027, 7, 1),
         .outside_use = TRUE,
         .use_by = DAY(2028, 7, 1),
         .storage = "cool and dark"},
    };
    memcpy(labels, l, sizeof l);
    return (struct spl_label_sheet){.labels = labels, .n_labels = G_N_ELEMENTS(l)};
}

static inline struct spl_batch_record sample_batch(void)
{
    static struct spl_batch_record_component components[3];
    static struct spl_batch_record_step steps[5];
    static struct spl_batch_record_lot lots[1];
    static struct spl_batch_record_note notes[2];
    static const char *const cautions[] = {
        "Dandelion: not with bile-duct obstruction, gallstones or an active stomach ulcer."};
    const struct spl_batch_record_component c[] = {
        {"H27-001", "Dandelion flower, fresh, High Croft, clear on the day", 87, "g",
         DAY(2027, 4, 24), "Ann"},
        {"lot 8812", "spirit 40 %, the invented distillery", 435, "mL", DAY(2027, 4, 24), "Ann"},
        {"lot 8812", "spirit 40 %, topped up", 20, "mL", DAY(2027, 4, 25), NULL},
    };
    const struct spl_batch_record_step s[] = {
        {"top up with 20 mL", DAY(2027, 4, 25), DAY(2027, 4, 25), "Ann"},
        {"shake", DAY(2027, 5, 1), DAY(2027, 5, 1), NULL},
        {"shake", DAY(2027, 5, 8), SPL_DAY_NONE, NULL},
        {"ready from", DAY(2027, 6, 5), SPL_DAY_NONE, NULL},
        {"press", DAY(2027, 6, 6), DAY(2027, 6, 6), "Ann"},
    };
    const struct spl_batch_record_lot l[] = {
        {"L27-001", 398, "mL", DAY(2027, 6, 6), DAY(2029, 6, 6), "released 7 June 2027 by Ann"}};
    const struct spl_batch_record_note n[] = {
        {'n', DAY(2027, 5, 8), "Jar moved to the north room; one shake missed."},
        {'b', SPL_DAY_NONE, "Screw press, 500 mL jar no. 7."}};
    memcpy(components, c, sizeof c);
    memcpy(steps, s, sizeof s);
    memcpy(lots, l, sizeof l);
    memcpy(notes, n, sizeof n);
    return (struct spl_batch_record){.mark = "ANN",
                                     .code = "B27-001",
                                     .what = "Dandelion flower tincture",
                                     .latin = "Taraxacum officinale",
                                     .preparation = "tincture",
                                     .ratio = "1:5 fresh, mL per g put in",
                                     .started = DAY(2027, 4, 24),
                                     .pressed = DAY(2027, 6, 6),
                                     .jar_ml = 500,
                                     .herb_g = 87,
                                     .menstruum_ml = 455,
                                     .menstruum_abv_frac = 0.40,
                                     .final_abv_frac = 0.342,
                                     .final_acid_frac = NAN,
                                     .yield_ml = 398,
                                     .expected_ml = 402,
                                     .low_ml = 371,
                                     .high_ml = 420,
                                     .components = components,
                                     .n_components = 3,
                                     .steps = steps,
                                     .n_steps = 5,
                                     .lots = lots,
                                     .n_lots = 1,
                                     .notes = notes,
                                     .n_notes = 2,
                                     .cautions = cautions,
                                     .n_cautions = 1,
                                     .printed = DAY(2027, 6, 8)};
}

#endif
