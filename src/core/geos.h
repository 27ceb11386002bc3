/* SPDX-License-Identifier: MIT
 *
 * GEOS, loaded when the first shape needs it: its C++ library would cost every start of the program
 * 1.7 ms (a whole `check` takes 4), and most questions have no rings to mend.
 *
 * After spl_geos_load the functions of geos_c.h are called by their own names.
 */
#ifndef SPL_CORE_GEOS_H
#define SPL_CORE_GEOS_H

#include <geos_c.h>
#include <glib.h>

/* Every function of GEOS that is used. */
#define SPL_GEOS_FUNCTIONS(X)                                                                      \
    X(GEOSContext_setErrorMessageHandler_r)                                                        \
    X(GEOSCoordSeq_create_r)                                                                       \
    X(GEOSCoordSeq_getSize_r)                                                                      \
    X(GEOSCoordSeq_getXY_r)                                                                        \
    X(GEOSCoordSeq_setXY_r)                                                                        \
    X(GEOSFree_r)                                                                                  \
    X(GEOSGeomGetX_r)                                                                              \
    X(GEOSGeomGetY_r)                                                                              \
    X(GEOSGeomTypeId_r)                                                                            \
    X(GEOSGeom_createCollection_r)                                                                 \
    X(GEOSGeom_createLinearRing_r)                                                                 \
    X(GEOSGeom_createPolygon_r)                                                                    \
    X(GEOSGeom_destroy_r)                                                                          \
    X(GEOSGeom_getCoordSeq_r)                                                                      \
    X(GEOSGetExteriorRing_r)                                                                       \
    X(GEOSGetGeometryN_r)                                                                          \
    X(GEOSGetInteriorRingN_r)                                                                      \
    X(GEOSGetNumGeometries_r)                                                                      \
    X(GEOSGetNumInteriorRings_r)                                                                   \
    X(GEOSMakeValidParams_create_r)                                                                \
    X(GEOSMakeValidParams_destroy_r)                                                               \
    X(GEOSMakeValidParams_setKeepCollapsed_r)                                                      \
    X(GEOSMakeValidParams_setMethod_r)                                                             \
    X(GEOSMakeValidWithParams_r)                                                                   \
    X(GEOSPointOnSurface_r)                                                                        \
    X(GEOS_finish_r)                                                                               \
    X(GEOS_init_r)                                                                                 \
    X(GEOSisEmpty_r)                                                                               \
    X(GEOSisValidDetail_r)

struct spl_geos_table {
#define SPL_GEOS_MEMBER(name) __typeof__(name) *name##_;
    SPL_GEOS_FUNCTIONS(SPL_GEOS_MEMBER)
#undef SPL_GEOS_MEMBER
};
extern struct spl_geos_table spl_geos;

/* Loads the library once. SPL_ERROR_INTERNAL when it is not installed or too old. */
gboolean spl_geos_load(GError **error);

#define GEOSContext_setErrorMessageHandler_r spl_geos.GEOSContext_setErrorMessageHandler_r_
#define GEOSCoordSeq_create_r spl_geos.GEOSCoordSeq_create_r_
#define GEOSCoordSeq_getSize_r spl_geos.GEOSCoordSeq_getSize_r_
#define GEOSCoordSeq_getXY_r spl_geos.GEOSCoordSeq_getXY_r_
#define GEOSCoordSeq_setXY_r spl_geos.GEOSCoordSeq_setXY_r_
#define GEOSFree_r spl_geos.GEOSFree_r_
#define GEOSGeomGetX_r spl_geos.GEOSGeomGetX_r_
#define GEOSGeomGetY_r spl_geos.GEOSGeomGetY_r_
#define GEOSGeomTypeId_r spl_geos.GEOSGeomTypeId_r_
#define GEOSGeom_createCollection_r spl_geos.GEOSGeom_createCollection_r_
#define GEOSGeom_createLinearRing_r spl_geos.GEOSGeom_createLinearRing_r_
#define GEOSGeom_createPolygon_r spl_geos.GEOSGeom_createPolygon_r_
#define GEOSGeom_destroy_r spl_geos.GEOSGeom_destroy_r_
#define GEOSGeom_getCoordSeq_r spl_geos.GEOSGeom_getCoordSeq_r_
#define GEOSGetExteriorRing_r spl_geos.GEOSGetExteriorRing_r_
#define GEOSGetGeometryN_r spl_geos.GEOSGetGeometryN_r_
#define GEOSGetInteriorRingN_r spl_geos.GEOSGetInteriorRingN_r_
#define GEOSGetNumGeometries_r spl_geos.GEOSGetNumGeometries_r_
#define GEOSGetNumInteriorRings_r spl_geos.GEOSGetNumInteriorRings_r_
#define GEOSMakeValidParams_create_r spl_geos.GEOSMakeValidParams_create_r_
#define GEOSMakeValidParams_destroy_r spl_geos.GEOSMakeValidParams_destroy_r_
#define GEOSMakeValidParams_setKeepCollapsed_r spl_geos.GEOSMakeValidParams_setKeepCollapsed_r_
#define GEOSMakeValidParams_setMethod_r spl_geos.GEOSMakeValidParams_setMethod_r_
#define GEOSMakeValidWithParams_r spl_geos.GEOSMakeValidWithParams_r_
#define GEOSPointOnSurface_r spl_geos.GEOSPointOnSurface_r_
#define GEOS_finish_r spl_geos.GEOS_finish_r_
#define GEOS_init_r spl_geos.GEOS_init_r_
#define GEOSisEmpty_r spl_geos.GEOSisEmpty_r_
#define GEOSisValidDetail_r spl_geos.GEOSisValidDetail_r_

#endif
