/* SPDX-License-Identifier: MIT
 *
 * What is asked of a slip, and what stands on it. Apart from slip.c, so that the table of commands,
 * which names these, pulls in nothing else.
 */
#include "simpling/slip.h"

static const struct spl_field plant_fields[] = {
    SPL_FIELD(spl_slip_plant, plant, SPL_TEXT, "plant", "plant"),
    SPL_FIELD(spl_slip_plant, common, SPL_TEXT, "common", "name"),
    SPL_FIELD(spl_slip_plant, latin, SPL_TEXT, "latin", "Latin"),
    SPL_FIELD(spl_slip_plant, deadly, SPL_BOOL, "deadly", "deadly kin"),
    SPL_FIELD(spl_slip_plant, lookalikes, SPL_TEXT, "lookalikes", "look-alikes"),
};
const struct spl_shape spl_slip_plant_shape = SPL_SHAPE("slip_plant", spl_slip_plant, plant_fields);

static const struct spl_field class_fields[] = {
    SPL_FIELD_LIST(spl_slip_class, runs, &spl_slip_run_shape, "runs", "runs"),
};
const struct spl_shape spl_slip_class_shape = SPL_SHAPE("slip_class", spl_slip_class, class_fields);

static const struct spl_field material_fields[] = {
    SPL_FIELD(spl_slip_material, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_slip_material, spoken, SPL_TEXT, "spoken", NULL),
    SPL_FIELD(spl_slip_material, plant, SPL_INT, "plant", NULL),
    SPL_FIELD(spl_slip_material, class, SPL_INT, "class", NULL),
    SPL_FIELD(spl_slip_material, earliest, SPL_DAY, "earliest", "may begin"),
    SPL_FIELD(spl_slip_material, likely_start, SPL_DAY, "likely_start", "likely from"),
    SPL_FIELD(spl_slip_material, likely_end, SPL_DAY, "likely_end", "likely to"),
    SPL_FIELD(spl_slip_material, latest, SPL_DAY, "latest", "mostly over"),
    SPL_FIELD(spl_slip_material, stages, SPL_TEXTS, "stages", NULL),
    SPL_FIELD(spl_slip_material, stage, SPL_TEXT, "stage", "stage"),
    SPL_FIELD(spl_slip_material, hours, SPL_TEXT, "hours", "pick"),
    SPL_FIELD_NUM(spl_slip_material, left_g, 0, "left_g", "may take g"),
    SPL_FIELD(spl_slip_material, stand, SPL_TEXT, "stand", "the stand"),
    SPL_FIELD_NUM(spl_slip_material, wanted_g, 0, "wanted_g", "wanted g"),
    SPL_FIELD(spl_slip_material, what_for, SPL_TEXT, "what_for", "for"),
    SPL_FIELD(spl_slip_material, care, SPL_TEXTS, "care", NULL),
};
const struct spl_shape spl_slip_material_shape =
    SPL_SHAPE("slip_material", spl_slip_material, material_fields);

static const struct spl_field place_fields[] = {
    SPL_FIELD(spl_slip_place, name, SPL_TEXT, "name", "place"),
    SPL_FIELD_NUM(spl_slip_place, lat, 5, "lat", NULL),
    SPL_FIELD_NUM(spl_slip_place, lon, 5, "lon", NULL),
    SPL_FIELD_NUM(spl_slip_place, km, 1, "km", "km"),
    SPL_FIELD(spl_slip_place, reckoned_from, SPL_TEXT, "reckoned_from", "reckoned from"),
    SPL_FIELD(spl_slip_place, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD(spl_slip_place, leave, SPL_TEXT, "leave", "leave"),
    SPL_FIELD(spl_slip_place, ask, SPL_TEXT, "ask", "ask"),
    SPL_FIELD(spl_slip_place, reasons, SPL_TEXTS, "reasons", "reasons"),
    SPL_FIELD_LIST(spl_slip_place, classes, &spl_slip_class_shape, "classes", NULL),
    SPL_FIELD_LIST(spl_slip_place, materials, &spl_slip_material_shape, "materials", "materials"),
};
const struct spl_shape spl_slip_place_shape = SPL_SHAPE("slip_place", spl_slip_place, place_fields);

static const struct spl_field step_fields[] = {
    SPL_FIELD(spl_slip_step, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_slip_step, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_slip_step, step, SPL_TEXT, "step", "step"),
    SPL_FIELD(spl_slip_step, done, SPL_TEXT, "done", NULL),
    SPL_FIELD(spl_slip_step, due, SPL_DAY, "due", "due"),
    SPL_FIELD(spl_slip_step, words, SPL_TEXT, "words", NULL),
};
const struct spl_shape spl_slip_step_shape = SPL_SHAPE("slip_step", spl_slip_step, step_fields);

static const struct spl_field slip_fields[] = {
    SPL_FIELD(spl_slip, id, SPL_TEXT, "id", "slip"),
    SPL_FIELD(spl_slip, mark, SPL_TEXT, "mark", "book"),
    SPL_FIELD(spl_slip, of, SPL_TEXT, "of", "of"),
    SPL_FIELD(spl_slip, first, SPL_DAY, "first", "from"),
    SPL_FIELD(spl_slip, last, SPL_DAY, "last", "to"),
    SPL_FIELD(spl_slip, today, SPL_DAY, "today", "written"),
    SPL_FIELD(spl_slip, clock, SPL_TEXT, "clock", "at"),
    SPL_FIELD(spl_slip, zone, SPL_TEXT, "zone", "zone"),
    SPL_FIELD(spl_slip, who, SPL_TEXT, "who", NULL),
    SPL_FIELD(spl_slip, group, SPL_BOOL, "group", NULL),
    SPL_FIELD(spl_slip, positions, SPL_BOOL, "positions", NULL),
    SPL_FIELD(spl_slip, outing, SPL_DAY, "outing", "outing"),
    SPL_FIELD(spl_slip, reserve, SPL_DAY, "reserve", "in reserve"),
    SPL_FIELD_LIST(spl_slip, places, &spl_slip_place_shape, "places", NULL),
    SPL_FIELD_LIST(spl_slip, plants, &spl_slip_plant_shape, "plants", NULL),
    SPL_FIELD_LIST(spl_slip, steps, &spl_slip_step_shape, "steps", NULL),
    SPL_FIELD(spl_slip, cautions, SPL_TEXTS, "cautions", NULL),
};
const struct spl_shape spl_slip_shape = SPL_SHAPE("slip", spl_slip, slip_fields);

static const struct spl_field written_fields[] = {
    SPL_FIELD(spl_slip_written, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_slip_written, of, SPL_TEXT, "of", "of"),
    SPL_FIELD(spl_slip_written, slip, SPL_TEXT, "slip", "slip"),
    SPL_FIELD(spl_slip_written, first, SPL_DAY, "first", "good from"),
    SPL_FIELD(spl_slip_written, last, SPL_DAY, "last", "to"),
    SPL_FIELD(spl_slip_written, places, SPL_INT, "places", "places"),
    SPL_FIELD(spl_slip_written, materials, SPL_INT, "materials", "in season"),
    SPL_FIELD(spl_slip_written, bytes, SPL_INT, "bytes", "bytes"),
    SPL_FIELD(spl_slip_written, cautions, SPL_TEXTS, "cautions", NULL),
};
const struct spl_shape spl_slip_written_shape =
    SPL_SHAPE("slip_written", spl_slip_written, written_fields);

static const struct spl_input slip_rows[] = {
    SPL_INPUT(spl_slip_words, out, FILE, "out", "FILE.html, or FILE.txt for the same as plain text",
              .needed = 1),
    SPL_INPUT(spl_slip_words, outing, DAY, "outing",
              "the places of the outing kept for that day (default: all places)"),
    SPL_INPUT(spl_slip_words, site, SITE, "site", "one place"),
    SPL_INPUT(spl_slip_words, days, COUNT, "days", "for so many days, 1 to 31 (default 10)",
              .min = 1, .max = SPL_SLIP_DAYS_MOST),
    SPL_INPUT(spl_slip_words, from, DAY, "from", "its first day (default: today)"),
    SPL_INPUT(spl_slip_words, without_places, FLAG, "without_places",
              "without coordinates: it cannot tell the nearest, nor give a stand away"),
    SPL_INPUT(spl_slip_words, group, FLAG, "group",
              "for a group: one place, its plants and what they are taken for; no people, no log"),
    SPL_INPUT(spl_slip_words, force, FLAG, "force", "replace a file that is no slip of simpling's"),
};
static const struct spl_rule slip_rules[] = {
    {SPL_RULE_MOST, {"outing", "site"}},
    {SPL_RULE_WITH, {"group", "site"}},
};
const struct spl_inputs spl_slip_inputs =
    SPL_INPUTS("slip", spl_slip_words, slip_rows, SPL_RULES(slip_rules));
