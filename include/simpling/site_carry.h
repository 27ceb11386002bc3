/* SPDX-License-Identifier: MIT
 *
 * Places in and out as map files: shapefiles, GeoJSON and GPX. Only in a program that is linked
 * with shapelib and PROJ.
 */
#ifndef SIMPLING_SITE_CARRY_H
#define SIMPLING_SITE_CARRY_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

struct spl_site_export {
    char *file;
    char *format; /* "shapefile", "GeoJSON", "GPX" */
    int sites;
};
extern const struct spl_shape spl_site_export_shape;

struct spl_site_export_words {
    const char *path;  /* the ending tells the format: .shp, .geojson (.json), .gpx */
    struct spl_day on; /* whose verdict; none: today */
    gboolean areas;    /* only sites with an outline, as polygons (shapefiles; GeoJSON has both) */
    gboolean force;    /* replace a file that is there */
};
extern const struct spl_inputs spl_site_export_inputs;
/* Writes all sites with the verdict of the day. SPL_ERROR_EXISTS without `force` when the file is
 * there. */
gboolean spl_site_export(struct spl_house *house, const struct spl_site_export_words *words,
                         struct spl_site_export *done, GError **error);

struct spl_site_import_words {
    const char *path;
    const char *name_field;     /* column or property with the name; NULL: NAME, name, title */
    const char *crs, *encoding; /* shapefiles, as of `hazard import` */
    double accuracy_m;          /* of places that do not say; NAN: not known */
    gboolean update;            /* sites of these names are moved to where the file has them */
};
extern const struct spl_inputs spl_site_import_inputs;

struct spl_site_import {
    char *file;
    int added, updated;
    GPtrArray *remarks; /* what was passed over, and why */
};
extern const struct spl_shape spl_site_import_shape;

/* All or nothing. SPL_ERROR_EXISTS for a known name without `update`. */
gboolean spl_site_import(struct spl_house *house, const struct spl_site_import_words *words,
                         struct spl_site_import *done, GError **error);

#endif
