/* SPDX-License-Identifier: MIT
 *
 * Shapefiles in (ESRI, Shapefile Technical Description, July 1998): .shp with its .dbf, .shx, .prj
 * and .cpg, read record by record.
 *
 * Nothing that cannot be read is taken for "no ground there": each such record is counted, named
 * with its reason, and makes the layer incomplete. What can be made good is (an unclosed ring,
 * rings that cross, a lost .shx) and is counted as repaired. Files are only ever read; names are
 * found in whatever case. shapelib and PROJ do the work, so only helper programs call this.
 */
#ifndef SPL_EXCHANGE_SHAPEFILE_H
#define SPL_EXCHANGE_SHAPEFILE_H

#include <glib.h>

#include "base/progress.h"
#include "core/geometry.h"
#include "simpling/day.h"
#include "simpling/row.h"

struct spl_shapefile_request {
    const char *crs; /* "EPSG:27700": instead of the .prj; NULL: the .prj; without one numbers that
                        can be degrees are taken for them, with a doubtful position */
    const char *encoding; /* of the texts, instead of .cpg and table; NULL: theirs */
    /* Columns of the table, NULL: none; case does not matter. */
    const char *name_field, *method_field, *date_field, *product_field;
};

typedef struct spl_shapefile spl_shapefile;

/*
 * Opens FILE.shp (or its name without the ending). SPL_ERROR_NOT_FOUND, _INVALID (a folder, another
 * kind of file, surfaces in space, no reference system, no such column), _CORRUPT, _IO. Free with
 * spl_shapefile_free.
 */
struct spl_shapefile *
spl_shapefile_open(const char *path, const struct spl_shapefile_request *request, GError **error);
void spl_shapefile_free(struct spl_shapefile *file);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_shapefile, spl_shapefile_free)

/* The path of its .shp. Borrowed. */
const char *spl_shapefile_path(const struct spl_shapefile *file);

/* A column of the table, for people who choose from them. */
struct spl_shapefile_field {
    char *name;
    char *type; /* "text", "number", "date", "yes/no" */
    int width;
    GPtrArray *first; /* its first three values that are not empty */
};
extern const struct spl_shape spl_shapefile_field_shape;
GArray *spl_shapefile_fields(struct spl_shapefile *file);

struct spl_shapefile_skip {
    gint64 record; /* from 1, as in the file */
    char *reason;
};
extern const struct spl_shape spl_shapefile_skip_shape;

#define SPL_SHAPEFILE_SKIPS_MAX 200 /* named; all are counted */

struct spl_shapefile_summary {
    char *kind; /* "polygons" … */
    char *crs;  /* the reference system's name */
    char *encoding;
    double accuracy_m; /* NAN: positions are doubtful */
    gint64 records;    /* that the file should have */
    gint64 imported, repaired;
    gint64 unread;         /* should be there and could not be had: the layer is incomplete */
    gint64 deleted;        /* struck out in the table by its owner: left out, and no gap */
    GArray *skipped;       /* struct spl_shapefile_skip: the unread and the deleted */
    GPtrArray *remarks;    /* what else was found, a sentence each */
    struct spl_box bounds; /* of all that was read and of what the file's head states */
    gboolean everywhere;   /* unread records may lie anywhere: the head states no bounds */
};
void spl_shapefile_summary_clear(struct spl_shapefile_summary *summary);

struct spl_shapefile_record {
    gint64 record;                       /* from 1 */
    const struct spl_geometry *geometry; /* WGS 84, sound, long edges split */
    const char *name, *method, *product; /* NULL: empty, or no such column */
    struct spl_day on;                   /* none: empty or unreadable */
    gboolean repaired;
};

/*
 * Reads all records, neighbours on the map one after the other; `each` may refuse (FALSE with an
 * error), which ends it. The summary is filled in as far as it went, also on failure.
 */
gboolean spl_shapefile_read(struct spl_shapefile *file,
                            gboolean (*each)(const struct spl_shapefile_record *record,
                                             gpointer data, GError **error),
                            gpointer data, const struct spl_progress *progress,
                            struct spl_shapefile_summary *summary, GError **error);

#endif
