/* SPDX-License-Identifier: MIT
 *
 * What GEOS does for shapes: telling whether rings are sound, making them so, a place inside.
 *
 * Longitudes go to GEOS unrolled from the first place, so that a shape across the antimeridian is
 * one shape there too.
 */
#include "core/geometry.h"

#include <math.h>
#include <string.h>

#include "core/geos.h"
#include "simpling/error.h"

struct geos {
    GEOSContextHandle_t handle;
    char message[200];
};

static void keep_message(const char *message, void *data)
{
    struct geos *geos = data;

    g_strlcpy(geos->message, message, sizeof geos->message);
    g_strdelimit(geos->message, "\r\n", ' ');
}

static gboolean begin(struct geos *geos, GError **error)
{
    if (!spl_geos_load(error))
        return FALSE;
    geos->message[0] = '\0';
    geos->handle = GEOS_init_r();
    GEOSContext_setErrorMessageHandler_r(geos->handle, keep_message, geos);
    return TRUE;
}

static GEOSGeometry *to_ring(struct geos *geos, const struct spl_geometry *geometry,
                             const struct spl_path *path, double around)
{
    const struct spl_position *p = spl_geometry_points(geometry) + path->first;
    GEOSCoordSequence *row = GEOSCoordSeq_create_r(geos->handle, path->count, 2);
    double shift = 360 * round((around - p[0].lon) / 360), last = p[0].lon;

    if (row == NULL)
        return NULL;
    for (guint i = 0; i < path->count; i++) {
        if (i > 0 && fabs(p[i].lon - last) > 180)
            shift -= 360 * round((p[i].lon - last) / 360);
        last = p[i].lon;
        GEOSCoordSeq_setXY_r(geos->handle, row, i, p[i].lon + shift, p[i].lat);
    }
    return GEOSGeom_createLinearRing_r(geos->handle, row);
}

static GEOSGeometry *to_polygons(struct geos *geos, const struct spl_geometry *geometry)
{
    g_autoptr(GPtrArray) polygons = g_ptr_array_new();
    double around = spl_geometry_points(geometry)[0].lon;
    guint i = 0;

    while (i < geometry->paths->len) {
        GEOSGeometry *outer = to_ring(geos, geometry, spl_geometry_path(geometry, i), around), *one;
        g_autoptr(GPtrArray) holes = g_ptr_array_new();
        gboolean failed = outer == NULL;

        for (i++; i < geometry->paths->len && spl_geometry_path(geometry, i)->hole; i++) {
            GEOSGeometry *hole = to_ring(geos, geometry, spl_geometry_path(geometry, i), around);

            failed |= hole == NULL;
            if (hole != NULL)
                g_ptr_array_add(holes, hole);
        }
        one = failed ? NULL
                     : GEOSGeom_createPolygon_r(geos->handle, outer, (GEOSGeometry **)holes->pdata,
                                                holes->len);
        if (one == NULL) {
            for (guint k = 0; k < polygons->len; k++)
                GEOSGeom_destroy_r(geos->handle, polygons->pdata[k]);
            return NULL;
        }
        g_ptr_array_add(polygons, one);
    }
    if (polygons->len == 1)
        return polygons->pdata[0];
    return GEOSGeom_createCollection_r(geos->handle, GEOS_MULTIPOLYGON,
                                       (GEOSGeometry **)polygons->pdata, polygons->len);
}

static void from_ring(struct geos *geos, const GEOSGeometry *ring, gboolean hole,
                      struct spl_geometry *geometry)
{
    const GEOSCoordSequence *row = GEOSGeom_getCoordSeq_r(geos->handle, ring);
    unsigned n = 0;

    GEOSCoordSeq_getSize_r(geos->handle, row, &n);
    spl_geometry_begin(geometry, hole);
    for (unsigned i = 0; i < n; i++) {
        double x, y;

        GEOSCoordSeq_getXY_r(geos->handle, row, i, &x, &y);
        if (fabs(x) > 180)
            x = remainder(x, 360);
        spl_geometry_append(geometry, x, y);
    }
}

/* Every polygon in whatever GEOS made; what has no area is left out. */
static void from_polygons(struct geos *geos, const GEOSGeometry *made,
                          struct spl_geometry *geometry)
{
    int n = GEOSGetNumGeometries_r(geos->handle, made);
    int type = GEOSGeomTypeId_r(geos->handle, made);

    if (type == GEOS_POLYGON) {
        const GEOSGeometry *outer = GEOSGetExteriorRing_r(geos->handle, made);

        if (GEOSisEmpty_r(geos->handle, made) != 0)
            return;
        from_ring(geos, outer, FALSE, geometry);
        for (int i = 0; i < GEOSGetNumInteriorRings_r(geos->handle, made); i++)
            from_ring(geos, GEOSGetInteriorRingN_r(geos->handle, made, i), TRUE, geometry);
    } else if (type == GEOS_MULTIPOLYGON || type == GEOS_GEOMETRYCOLLECTION)
        for (int i = 0; i < n; i++)
            from_polygons(geos, GEOSGetGeometryN_r(geos->handle, made, i), geometry);
}

gboolean spl_geometry_check_rings(const struct spl_geometry *geometry, const char *what,
                                  GError **error)
{
    struct geos geos;
    GEOSGeometry *shape, *where = NULL;
    char *reason = NULL, valid;

    if (geometry->kind != SPL_GEOMETRY_POLYGON)
        return TRUE;
    if (!begin(&geos, error))
        return FALSE;
    shape = to_polygons(&geos, geometry);
    valid = shape != NULL ? GEOSisValidDetail_r(geos.handle, shape, 0, &reason, &where) : 2;
    if (valid != 1) {
        double x = NAN, y = NAN;

        if (where != NULL) {
            GEOSGeomGetX_r(geos.handle, where, &x);
            GEOSGeomGetY_r(geos.handle, where, &y);
        }
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_INVALID,
            "%s: the rings are not sound (%s near %.6f %.6f); draw them so that none crosses "
            "itself or another",
            what, reason != NULL ? reason : geos.message, x, y);
    }
    if (reason != NULL)
        GEOSFree_r(geos.handle, reason);
    if (where != NULL)
        GEOSGeom_destroy_r(geos.handle, where);
    if (shape != NULL)
        GEOSGeom_destroy_r(geos.handle, shape);
    GEOS_finish_r(geos.handle);
    return valid == 1;
}

struct spl_geometry *spl_geometry_repair(const struct spl_geometry *geometry, const char *what,
                                         GError **error)
{
    g_autoptr(spl_geometry) repaired = NULL;
    struct geos geos;
    GEOSGeometry *shape, *made = NULL;
    GEOSMakeValidParams *params;

    if (geometry->kind != SPL_GEOMETRY_POLYGON)
        return spl_geometry_copy(geometry);
    if (!begin(&geos, error))
        return NULL;
    repaired = spl_geometry_new(SPL_GEOMETRY_POLYGON);
    shape = to_polygons(&geos, geometry);
    params = GEOSMakeValidParams_create_r(geos.handle);
    GEOSMakeValidParams_setMethod_r(geos.handle, params, GEOS_MAKE_VALID_STRUCTURE);
    GEOSMakeValidParams_setKeepCollapsed_r(geos.handle, params, 0);
    if (shape != NULL)
        made = GEOSMakeValidWithParams_r(geos.handle, shape, params);
    if (made != NULL)
        from_polygons(&geos, made, repaired);
    GEOSMakeValidParams_destroy_r(geos.handle, params);
    if (made != NULL)
        GEOSGeom_destroy_r(geos.handle, made);
    if (shape != NULL)
        GEOSGeom_destroy_r(geos.handle, shape);
    GEOS_finish_r(geos.handle);
    if (repaired->paths->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: the rings enclose no ground%s%s; draw them again", what,
                    geos.message[0] != '\0' ? ": " : "", geos.message);
        return NULL;
    }
    return g_steal_pointer(&repaired);
}

struct spl_position spl_geometry_middle(const struct spl_geometry *geometry)
{
    struct spl_position middle = spl_geometry_box_middle(geometry);
    struct geos geos;
    GEOSGeometry *shape, *inside = NULL;
    double x, y;

    if (spl_geometry_n_points(geometry) == 1)
        return spl_geometry_points(geometry)[0];
    if (geometry->kind != SPL_GEOMETRY_POLYGON)
        return middle;
    if (!begin(&geos, NULL))
        return middle;
    shape = to_polygons(&geos, geometry);
    if (shape != NULL)
        inside = GEOSPointOnSurface_r(geos.handle, shape);
    if (inside != NULL && GEOSisEmpty_r(geos.handle, inside) == 0 &&
        GEOSGeomGetX_r(geos.handle, inside, &x) == 1 &&
        GEOSGeomGetY_r(geos.handle, inside, &y) == 1)
        middle = (struct spl_position){remainder(x, 360), y};
    if (inside != NULL)
        GEOSGeom_destroy_r(geos.handle, inside);
    if (shape != NULL)
        GEOSGeom_destroy_r(geos.handle, shape);
    GEOS_finish_r(geos.handle);
    return middle;
}
