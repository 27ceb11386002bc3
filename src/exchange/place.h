/* SPDX-License-Identifier: MIT
 *
 * A place as map formats carry it: its name, ground and what is said of it. Shared by the readers
 * and writers of GeoJSON, GPX and shapefiles of sites.
 */
#ifndef SPL_EXCHANGE_PLACE_H
#define SPL_EXCHANGE_PLACE_H

#include <glib.h>

#include "core/geometry.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"

#define SPL_PLACE_FILE_MAX (16 * 1024 * 1024) /* bytes of a file; JSON takes 36 times as much */
#define SPL_PLACES_MAX 200000

struct spl_place {
    char *name;
    struct spl_geometry *ground; /* WGS 84: a point or polygons */
    double lat, lon;             /* the point that stands for it; NAN when reading: of the ground */
    double elevation_m;          /* -500..9000; NAN: not said */
    double accuracy_m;           /* 0..100000; NAN: not said */
    char *remark;                /* NULL: none */
    /* written, not read */
    enum spl_verdict verdict;
    char *why;
    struct spl_day date, until;
};

/* An empty list; its places are freed with it (g_array_unref). */
GArray *spl_places_new(void);

/* A new place at the end of the list. Its members are to be filled with owned values. */
struct spl_place *spl_places_add(GArray *places);

/*
 * What a reader found beside the places: each record that was passed over with its reason, in
 * words. Free with g_ptr_array_unref.
 */
GPtrArray *spl_place_remarks_new(void);
void spl_place_remark(GPtrArray *remarks, const char *format, ...) G_GNUC_PRINTF(2, 3);

#endif
