/* SPDX-License-Identifier: MIT
 *
 * From the reference system of a file to WGS 84 longitude and latitude, and how well that is known.
 *
 * PROJ does it, without network and without its database of grids being asked for. The everyday
 * program does not link it: only helper programs call this file.
 */
#ifndef SPL_EXCHANGE_PROJECTION_H
#define SPL_EXCHANGE_PROJECTION_H

#include <glib.h>

#include "core/geometry.h"

typedef struct spl_projection spl_projection;

/*
 * `crs`: the text of a .prj (WKT of ESRI or OGC) or "EPSG:27700". NULL: the coordinates are taken
 * for longitude and latitude of an unknown datum. `what` names the file or option.
 * SPL_ERROR_INVALID: not understood, or a local grid that nobody can place on earth. Free with
 * spl_projection_free.
 */
struct spl_projection *spl_projection_new(const char *crs, const char *what, GError **error);
void spl_projection_free(struct spl_projection *projection);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_projection, spl_projection_free)

/*
 * Turns n positions (x as lon, y as lat) in place. Returns how many became a place on earth; the
 * others are NAN.
 */
gsize spl_projection_apply(struct spl_projection *projection, struct spl_position *positions,
                           gsize n);

/* The name of the system for people ("OSGB36 / British National Grid"). Borrowed. */
const char *spl_projection_name(const struct spl_projection *projection);

/* Longitude and latitude in degrees already, so that an edge from -180 to 180 goes round the earth.
 */
gboolean spl_projection_is_degrees(const struct spl_projection *projection);

/* How far the turned positions may be off, m; NAN: PROJ does not know (an unnamed datum, or no
 * system given at all). Final once positions have been turned. */
double spl_projection_accuracy_m(struct spl_projection *projection);

#endif
