/* SPDX-License-Identifier: MIT
 *
 * simpling site import, site export: places as map files. They run in the helper simpling-ground
 * (site_carry_run.c).
 */
#include "simpling/site_carry.h"
#include "command/rows.h"

const struct spl_command spl_command_site_import = {
    .words = "site import",
    .summary = "Read places from a shapefile, GeoJSON or GPX file",
    .inputs = &spl_site_import_inputs,
    .at = "file",
    .about =
        "The ending tells the format: .shp, .geojson (.json) or .gpx (its waypoints). Points and "
        "areas become\nsites, all or none; what has no name or another shape is passed over and "
        "said. With --update\na known site goes where the file has it, and loses its outline when "
        "it "
        "leaves it.",
    .examples = (const char *const[]){"simpling site import walk.gpx --accuracy 8", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_site_import_shape,
    .helper = "simpling-ground",
};

const struct spl_command spl_command_site_export = {
    .words = "site export",
    .summary = "Write the places with their verdicts for a map or a phone",
    .inputs = &spl_site_export_inputs,
    .at = "file",
    .about =
        "The ending tells the format: .shp (points; with .prj, .cpg and a table), .geojson, .gpx "
        "(waypoints).\nA shapefile's columns: NAME, VERDICT, DATE (of the verdict), UNTIL (when it "
        "may next change), WHY,\nELEV_M, ACC_M, REMARK. A stand's place is private: think before "
        "you pass the file on, and check again\nbefore picking.",
    .examples = (const char *const[]){"simpling site export places.geojson",
                                      "simpling site export places.shp",
                                      "simpling site export places.gpx", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_site_export_shape,
    .helper = "simpling-ground",
};
