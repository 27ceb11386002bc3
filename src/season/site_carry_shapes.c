/* SPDX-License-Identifier: MIT
 *
 * What places in and out as map files are told and answer: in a file of its own, so that their rows
 * in the table of commands need neither shapelib nor PROJ.
 */
#include "simpling/site_carry.h"

static const struct spl_field export_fields[] = {
    SPL_FIELD(spl_site_export, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_site_export, format, SPL_TEXT, "format", "format"),
    SPL_FIELD(spl_site_export, sites, SPL_INT, "sites", "sites"),
};
const struct spl_shape spl_site_export_shape = SPL_SHAPE("export", spl_site_export, export_fields);

static const struct spl_field import_fields[] = {
    SPL_FIELD(spl_site_import, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_site_import, added, SPL_INT, "added", "added"),
    SPL_FIELD(spl_site_import, updated, SPL_INT, "updated", "updated"),
    SPL_FIELD(spl_site_import, remarks, SPL_TEXTS, "remarks", "remarks"),
};
const struct spl_shape spl_site_import_shape =
    SPL_SHAPE("site_import", spl_site_import, import_fields);

static const struct spl_input export_rows[] = {
    SPL_INPUT(spl_site_export_words, path, FILE, "file", "its ending tells the format",
              .needed = 1),
    SPL_INPUT(spl_site_export_words, on, DAY, "on", "the verdict of another day", .today = 1),
    SPL_INPUT(spl_site_export_words, areas, FLAG, "areas",
              "a shapefile of the sites with an outline, as polygons"),
    SPL_INPUT(spl_site_export_words, force, FLAG, "force", "replace a file that is there"),
};
const struct spl_inputs spl_site_export_inputs =
    SPL_INPUTS("site_export", spl_site_export_words, export_rows);

static const struct spl_input import_rows[] = {
    SPL_INPUT(spl_site_import_words, path, FILE, "file", "its ending tells the format",
              .needed = 1),
    SPL_INPUT(spl_site_import_words, name_field, NAME, "name_field",
              "the column or property with the name"),
    SPL_INPUT(spl_site_import_words, update, FLAG, "update",
              "move known sites to where the file has them"),
    SPL_INPUT(spl_site_import_words, accuracy_m, LENGTH, "accuracy",
              "how far the positions may be off, in metres", .bare = 1, .max = 100000),
    SPL_INPUT(spl_site_import_words, crs, NAME, "crs",
              "a shapefile's reference system, without a .prj", .value = "EPSG:N", .advanced = 1),
    SPL_INPUT(spl_site_import_words, encoding, NAME, "encoding", "of a shapefile's texts",
              .advanced = 1),
};
const struct spl_inputs spl_site_import_inputs =
    SPL_INPUTS("site_import", spl_site_import_words, import_rows);
