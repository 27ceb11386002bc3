/* SPDX-License-Identifier: MIT
 *
 * The files of a shapefile: found in whatever case, opened for reading only, given to shapelib
 * through its hooks; and the index of records, built from the .shp itself, so that a .shx that is
 * missing, short or wrong hides no ground.
 */
#ifndef SPL_EXCHANGE_SHAPE_SOURCE_H
#define SPL_EXCHANGE_SHAPE_SOURCE_H

#include <glib.h>
#include <shapefil.h>

#define SPL_SHAPE_RECORD_MAX                                                                       \
    (256 * 1024 * 1024) /* bytes in one record that we are willing to read */

struct spl_shape_entry {
    guint64 offset; /* of the record's head */
    guint32 length; /* bytes of content, cut to what the file holds */
    gboolean cut;   /* the file ends before the record does */
};

typedef struct spl_shape_source {
    char *shp, *shx, *dbf, *prj, *cpg; /* paths; NULL: not there */
    int type;                          /* SHPT_… of the .shp's head */
    double bounds[4];                  /* xmin ymin xmax ymax of the head, as they stand there */
    guint64 size;                      /* of the .shp */
    GArray *index;                     /* struct spl_shape_entry */
    GByteArray *shx_bytes;             /* the index as shapelib wants it */
    gboolean broken;                   /* the .shp stops making sense before its end */
    GPtrArray *remarks;                /* sentences */
} spl_shape_source;

/*
 * Finds the files, reads and checks the head. SPL_ERROR_NOT_FOUND, _INVALID, _CORRUPT, _IO.
 */
struct spl_shape_source *spl_shape_source_open(const char *path, GError **error);
void spl_shape_source_free(struct spl_shape_source *source);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_shape_source, spl_shape_source_free)

/* Builds the index. `rows` of the table, or -1, decide between an index and records that differ. */
gboolean spl_shape_source_index(struct spl_shape_source *source, int rows, GError **error);

/*
 * The numbers of the records (from 0) in an order in which neighbours on the map follow each other,
 * by the boxes that the records state (a Z-order curve). A book written in it finds the neighbours
 * of a place on the same pages. Free with g_array_unref.
 */
GArray *spl_shape_source_order(const struct spl_shape_source *source);

/* Opens both with shapelib; NULL with an error in its words. The .shp after the index only. */
SHPHandle spl_shape_source_shapes(struct spl_shape_source *source, GError **error);
DBFHandle spl_shape_source_table(struct spl_shape_source *source, GError **error);

#endif
