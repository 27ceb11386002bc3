/* SPDX-License-Identifier: MIT
 *
 * simpling draw …, simpling label …: the rows. They run in the helper simpling-draw
 * (draw_run.c), so that the everyday program links no drawing library.
 */
#include "command/rows.h"
#include "simpling/picture.h"

#define DRAW_HELPER "simpling-draw"

const struct spl_command spl_command_draw_season = {
    .words = "draw season",
    .summary = "The season page: months across the top, a line per material and place",
    .inputs = &spl_picture_season_inputs,
    .about =
        "Hatching thickens towards the best days, the dates stand at its ends; jars steep until "
        "they are ready; today\nis a dashed line. Plants that were seen or gathered at a "
        "place are shown there.",
    .examples = (const char *const[]){"simpling draw season --out season.svg",
                                      "simpling draw season --all --out everything.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_map = {
    .words = "draw map",
    .summary = "The map of the gathering grounds: places with clear, ask or closed written out",
    .inputs = &spl_picture_map_inputs,
    .about = "Contaminated ground is hatched, with what is closed around it and where to ask. "
             "Coordinates stand on the\nframe. The map shows where things grow: keep it to "
             "yourself.",
    .examples = (const char *const[]){"simpling draw map --out map.svg", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_shelf = {
    .words = "draw shelf",
    .summary = "The ledger of jars that stand and bottled lots",
    .inputs = &spl_picture_shelf_inputs,
    .examples = (const char *const[]){"simpling draw shelf --out shelf.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_outing = {
    .words = "draw outing",
    .summary = "The sheet to carry: places in order, what to take and the most to take",
    .inputs = &spl_picture_outing_inputs,
    .at = "on?",
    .about = "For a kept outing ('plan outings --keep'), by its day or its reserve day; the next "
             "one without. The verdict "
             "is that of the day, as\nthe book knows it today. There is room to write down what "
             "'harvest add' asks for.",
    .examples = (const char *const[]){"simpling draw outing --out outing.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_batch = {
    .words = "draw batch",
    .summary = "The one-page record of a batch, with lines to sign",
    .inputs = &spl_picture_batch_inputs,
    .at = "code",
    .about =
        "Its items follow the list of 21 CFR 111.260. What the book knows is filled in, the "
        "rest is ruled for\nhandwriting. The sheet does not make a batch comply with any code.",
    .examples = (const char *const[]){"simpling draw batch B27-003 --out batch.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_recall = {
    .words = "draw recall",
    .summary = "The recall as a sheet: the lots, to whom they went, room for what they answer",
    .inputs = &spl_picture_recall_inputs,
    .at = "of",
    .about =
        "As 'trace' with the same words, for paper: what was said and by whom, where each lot is, "
        "under each\nnumber what went out and when, words to say, and lines for who was reached, "
        "what came back and how it\nwas destroyed.",
    .examples = (const char *const[]){"simpling draw recall L26-001 --out recall.pdf",
                                      "simpling draw recall \"Withy Gill\" --sprayed 2026-05 --out "
                                      "withy-gill.pdf",
                                      NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_lot = {
    .words = "draw lot",
    .summary = "Everything about one lot, for who inspects it",
    .inputs = &spl_picture_lot_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling draw lot L26-001 --out lot.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_draw_year = {
    .words = "draw year",
    .summary =
        "The year in review: taken, made, used, lost; yields and forecasts against what came",
    .inputs = &spl_picture_year_inputs,
    .at = "year",
    .examples = (const char *const[]){"simpling draw year 2027 --out year.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};

const struct spl_command spl_command_label = {
    .words = "label",
    .summary = "Labels with a QR code, for lots, batches and herb",
    .inputs = &spl_label_inputs,
    .at = "codes",
    .about =
        "Nothing is cut, and no word is under 7 pt: what has no room goes on a sheet behind the "
        "labels, which the\nlabel names. What stands on one goes by the size of what it is for. "
        "Print at 100 %, without fitting to the page.",
    .examples =
        (const char *const[]){
            "simpling label L26-001 B27-002 --out labels.pdf",
            "simpling label L26-001 --copies 3 --bottle 100mL --for 1042 --out bottles.pdf", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_picture_shape,
    .helper = DRAW_HELPER,
};
