/* SPDX-License-Identifier: MIT
 *
 * The results of site import and export as shapes: in a file of their own, so that their rows in
 * the table of commands need neither shapelib nor PROJ.
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
