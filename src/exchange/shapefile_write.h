/* SPDX-License-Identifier: MIT
 *
 * Shapefiles of places out, on WGS 84, texts in UTF-8. Columns, as the format has ten characters
 * for a name: NAME, VERDICT, DATE (of the verdict), UNTIL (when it may next change), WHY (the worst
 * reason, cut to 254 bytes), ELEV_M, ACC_M (accuracy of the position), REMARK.
 */
#ifndef SPL_EXCHANGE_SHAPEFILE_WRITE_H
#define SPL_EXCHANGE_SHAPEFILE_WRITE_H

#include <glib.h>

#include "exchange/place.h"

/* The files that writing to `path` touches: FILE.shx, .dbf, .prj, .cpg and, last, .shp. Free with
 * g_strfreev. */
char **spl_shapefile_files(const char *path);

/*
 * Writes FILE.shp, .shx, .dbf, .prj and .cpg, each whole or not at all: all places as points, or,
 * with `areas`, those that have an area as polygons. What is there already is replaced; new files
 * have the mode 0600. SPL_ERROR_IO, _READ_ONLY, _NOT_FOUND (folder).
 */
gboolean spl_shapefile_write(const char *path, const GArray *places, gboolean areas,
                             GError **error);

#endif
