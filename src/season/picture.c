/* SPDX-License-Identifier: MIT
 *
 * What a picture is told, and what is told of it. Apart from what draws, so that the table of
 * commands, which names both, pulls in no drawing library.
 */
#include "simpling/picture.h"

/* Of every picture; spl_album_draw finds them in front. */
#define FILE_ROWS(record)                                                                          \
    SPL_INPUT(record, to.out, FILE, "out", "the picture: FILE.svg, FILE.pdf or FILE.png",          \
              .needed = 1),                                                                        \
        SPL_INPUT(record, to.paper, CHOICE, "paper", "a4 (the default) or letter",                 \
                  .words = "a4 letter", .value = "PAPER"),                                         \
        SPL_INPUT(record, to.dpi, COUNT, "dpi", "dots per inch of a PNG, 36 to 600 (default 150)", \
                  .min = 36, .max = 600),                                                          \
        SPL_INPUT(record, to.force, FLAG, "force",                                                 \
                  "replace a file that is no picture of this program")

static const struct spl_input season_rows[] = {
    SPL_INPUT(spl_picture_season_words, year, COUNT, "year", "the growing year (default: today's)",
              .value = "Y", .min = 1, .max = 9998),
    SPL_INPUT(spl_picture_season_words, site, SITE, "site", "one place"),
    SPL_INPUT(spl_picture_season_words, material, MATERIAL, "material", "one material"),
    SPL_INPUT(spl_picture_season_words, all, FLAG, "all",
              "every window, also of plants not known at a place"),
    FILE_ROWS(spl_picture_season_words),
};
const struct spl_inputs spl_picture_season_inputs =
    SPL_INPUTS("picture_season", spl_picture_season_words, season_rows);

static const struct spl_input map_rows[] = {
    SPL_INPUT(spl_picture_map_words, on, DAY, "on", "the verdicts of this day", .today = 1),
    FILE_ROWS(spl_picture_map_words),
};
const struct spl_inputs spl_picture_map_inputs =
    SPL_INPUTS("picture_map", spl_picture_map_words, map_rows);

static const struct spl_input outing_rows[] = {
    SPL_INPUT(spl_picture_outing_words, on, DAY, "on", "its day, or its reserve day"),
    FILE_ROWS(spl_picture_outing_words),
};
const struct spl_inputs spl_picture_outing_inputs =
    SPL_INPUTS("picture_outing", spl_picture_outing_words, outing_rows);

static const struct spl_input shelf_rows[] = {
    SPL_INPUT(spl_picture_shelf_words, all, FLAG, "all", "used up and destroyed lots too"),
    FILE_ROWS(spl_picture_shelf_words),
};
const struct spl_inputs spl_picture_shelf_inputs =
    SPL_INPUTS("picture_shelf", spl_picture_shelf_words, shelf_rows);

static const struct spl_input recall_rows[] = {
    SPL_INPUT(spl_picture_recall_words, of, NAME, "of",
              "a code, or the name of a place that was sprayed", .value = "CODE|SITE", .needed = 1),
    SPL_INPUT(spl_picture_recall_words, sprayed, MONTH, "sprayed",
              "the place was sprayed then: 2027-05-12, or a month 2027-05", .past = 1),
    SPL_INPUT(spl_picture_recall_words, within_m, LENGTH, "within",
              "places so near to it too: 100m", .value = "DISTANCE"),
    FILE_ROWS(spl_picture_recall_words),
};
static const struct spl_rule recall_rules[] = {{SPL_RULE_WITH, {"within", "sprayed"}}};
const struct spl_inputs spl_picture_recall_inputs =
    SPL_INPUTS("picture_recall", spl_picture_recall_words, recall_rows, SPL_RULES(recall_rules));

static const struct spl_input lot_rows[] = {
    SPL_INPUT(spl_picture_lot_words, code, CODE, "code", "the lot", .words = "L", .needed = 1),
    FILE_ROWS(spl_picture_lot_words),
};
const struct spl_inputs spl_picture_lot_inputs =
    SPL_INPUTS("picture_lot", spl_picture_lot_words, lot_rows);

static const struct spl_input batch_rows[] = {
    SPL_INPUT(spl_picture_batch_words, code, CODE, "code", "the batch", .words = "B", .needed = 1),
    FILE_ROWS(spl_picture_batch_words),
};
const struct spl_inputs spl_picture_batch_inputs =
    SPL_INPUTS("picture_batch", spl_picture_batch_words, batch_rows);

static const struct spl_input year_rows[] = {
    SPL_INPUT(spl_picture_year_words, year, COUNT, "year", "the calendar year", .value = "YEAR",
              .needed = 1, .min = 1, .max = 9998),
    FILE_ROWS(spl_picture_year_words),
};
const struct spl_inputs spl_picture_year_inputs =
    SPL_INPUTS("picture_year", spl_picture_year_words, year_rows);

static const struct spl_input code_rows[] = {
    SPL_INPUT(spl_label_code, code, CODE, "code", "a lot, batch, harvest, purchase or drying",
              .words = "LBHPD", .needed = 1),
};
const struct spl_inputs spl_label_code_inputs = SPL_INPUTS("label_code", spl_label_code, code_rows);

static const struct spl_input label_rows[] = {
    SPL_INPUT(spl_label_words, codes, LIST, "codes", "what gets a label", .needed = 1,
              .item = &spl_label_code_inputs),
    SPL_INPUT(spl_label_words, sheet, NAME, "sheet",
              "a row of labels.csv (default 3x8), or 1: one label a page", .value = "SHEET"),
    SPL_INPUT(spl_label_words, copies, COUNT, "copies", "of each label (default 1)", .min = 1,
              .max = 1000),
    SPL_INPUT(spl_label_words, skip, COUNT, "skip",
              "labels of the first sheet that are used already", .min = 0, .max = 2499),
    SPL_INPUT(spl_label_words, bottle, AMOUNT, "bottle", "what one bottle holds: 100mL, or 50g",
              .value = "V"),
    SPL_INPUT(spl_label_words, place, FLAG, "place", "print where it was gathered"),
    SPL_INPUT(spl_label_words, ref, NAME, "for",
              "handed out under this number (never a name), today", .value = "REF"),
    SPL_INPUT(spl_label_words, dispensary, NAME, "dispensary",
              "name, address and phone of who hands it out", .value = "TEXT",
              .setting = "practice"),
    SPL_INPUT(spl_label_words, directions, NAME, "directions",
              "how it is taken (default: as noted when it went out)", .value = "TEXT"),
    FILE_ROWS(spl_label_words),
};
const struct spl_inputs spl_label_inputs = SPL_INPUTS("label", spl_label_words, label_rows);

static const struct spl_field picture_fields[] = {
    SPL_FIELD(spl_picture, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_picture, of, SPL_TEXT, "of", "shows"),
    SPL_FIELD(spl_picture, pages, SPL_INT, "pages", "pages"),
    SPL_FIELD(spl_picture, warnings, SPL_TEXTS, "warnings", NULL),
};
const struct spl_shape spl_picture_shape = SPL_SHAPE("picture", spl_picture, picture_fields);
