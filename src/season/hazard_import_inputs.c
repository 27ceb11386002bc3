/* SPDX-License-Identifier: MIT
 *
 * What an import of a map layer is told and answers: in a file of its own, so that its row in the
 * table of commands needs neither shapelib nor PROJ.
 */
#include "simpling/hazard.h"

#include "simpling/record/site.h"

static const struct spl_input import_rows[] = {
    SPL_INPUT(spl_hazard_import_words, path, FILE, "file", "the layer: .shp, .geojson or .gpx",
              .value = "FILE", .needed = 1),
    SPL_INPUT(spl_hazard_import_words, method, METHOD, "method",
              "what the layer shows: road, railway, boom …"),
    SPL_INPUT(spl_hazard_import_words, method_field, NAME, "method_field",
              "the column that tells it record by record", .value = "COLUMN"),
    SPL_INPUT(spl_hazard_import_words, date_field, NAME, "date_field",
              "the column with the day of the spraying", .value = "COLUMN"),
    SPL_INPUT(spl_hazard_import_words, product_field, NAME, "product_field",
              "the column with what was sprayed", .value = "COLUMN"),
    SPL_INPUT(spl_hazard_import_words, name_field, NAME, "name_field",
              "the column with the name of the ground", .value = "COLUMN"),
    SPL_INPUT(spl_hazard_import_words, on, DAY, "on", "the day, for records that have none"),
    SPL_INPUT(spl_hazard_import_words, layer, NAME, "layer",
              "the name to keep it under (default the file's)"),
    SPL_INPUT(spl_hazard_import_words, source, NAME, "source",
              "who made the layer (default the file's name)", .value = "TEXT"),
    SPL_INPUT(spl_hazard_import_words, crs, NAME, "crs",
              "its reference system, when no .prj tells it", .value = "EPSG:N", .advanced = 1),
    SPL_INPUT(spl_hazard_import_words, encoding, NAME, "encoding",
              "of its texts, when they come out wrong", .advanced = 1),
    SPL_INPUT(spl_hazard_import_words, dry_run, FLAG, "dry_run",
              "show what is in it and write nothing"),
};
/* That method or method_field is needed is said once the file is known to be one. */
const struct spl_inputs spl_hazard_import_inputs =
    SPL_INPUTS("hazard_import", spl_hazard_import_words, import_rows);

static const struct spl_field skip_fields[] = {
    SPL_FIELD(spl_hazard_skip, record, SPL_LONG, "record", "record"),
    SPL_FIELD(spl_hazard_skip, reason, SPL_TEXT, "reason", "why"),
};
const struct spl_shape spl_hazard_skip_shape = SPL_SHAPE("skipped", spl_hazard_skip, skip_fields);

static const struct spl_field column_fields[] = {
    SPL_FIELD(spl_hazard_column, name, SPL_TEXT, "name", "column"),
    SPL_FIELD(spl_hazard_column, type, SPL_TEXT, "type", "holds"),
    SPL_FIELD(spl_hazard_column, width, SPL_INT, "width", NULL),
    SPL_FIELD(spl_hazard_column, first, SPL_TEXTS, "first", "first values"),
};
const struct spl_shape spl_hazard_column_shape =
    SPL_SHAPE("column", spl_hazard_column, column_fields);

static const struct spl_field import_fields[] = {
    SPL_FIELD(spl_hazard_import, layer, SPL_TEXT, "layer", "layer"),
    SPL_FIELD(spl_hazard_import, kind, SPL_TEXT, "kind", "holds"),
    SPL_FIELD(spl_hazard_import, records, SPL_LONG, "records", "records"),
    SPL_FIELD(spl_hazard_import, imported, SPL_LONG, "imported", "imported"),
    SPL_FIELD(spl_hazard_import, repaired, SPL_LONG, "repaired", "of these repaired"),
    SPL_FIELD(spl_hazard_import, unread, SPL_LONG, "unread", "could not be read"),
    SPL_FIELD(spl_hazard_import, deleted, SPL_LONG, "deleted", "struck out in the table"),
    SPL_FIELD(spl_hazard_import, crs, SPL_TEXT, "crs", "reference system"),
    SPL_FIELD_NUM(spl_hazard_import, min_lat, 5, "min_lat", "latitude from"),
    SPL_FIELD_NUM(spl_hazard_import, max_lat, 5, "max_lat", "to"),
    SPL_FIELD_NUM(spl_hazard_import, min_lon, 5, "min_lon", "longitude from"),
    SPL_FIELD_NUM(spl_hazard_import, max_lon, 5, "max_lon", "to"),
    SPL_FIELD_NUM(spl_hazard_import, accuracy_m, 1, "accuracy_m", "positions known to m"),
    SPL_FIELD(spl_hazard_import, encoding, SPL_TEXT, "encoding", "encoding"),
    SPL_FIELD_LIST(spl_hazard_import, fields, &spl_hazard_column_shape, "fields", "columns"),
    SPL_FIELD_LIST(spl_hazard_import, skipped, &spl_hazard_skip_shape, "skipped", "left out"),
    SPL_FIELD(spl_hazard_import, remarks, SPL_TEXTS, "remarks", "remarks"),
    SPL_FIELD(spl_hazard_import, touched, SPL_TEXTS, "touched", "picked there since"),
    SPL_FIELD_LIST(spl_hazard_import, picked, &spl_touched_shape, "picked", NULL),
    SPL_FIELD_NUM(spl_hazard_import, seconds, 2, "seconds", "seconds"),
};
const struct spl_shape spl_hazard_import_shape =
    SPL_SHAPE("import", spl_hazard_import, import_fields);
