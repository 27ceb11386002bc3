/* SPDX-License-Identifier: MIT
 *
 * Makes small shapefiles byte by byte, sound ones and broken ones, after the ESRI Shapefile
 * Technical Description (July 1998) and the dBASE III table. Shared by tests, fuzz seeds and
 * benches.
 */
#ifndef SPL_TESTS_SHAPE_MAKE_H
#define SPL_TESTS_SHAPE_MAKE_H

#include <glib.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define MAKE_WGS84                                                                                 \
    "GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\",SPHEROID[\"WGS_1984\",6378137.0,298.257223563]]" \
    ","                                                                                            \
    "PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]"

struct make {
    int type;
    double bounds[4];
    gboolean any;
    GByteArray *shp, *shx; /* records alone; heads come at the end */
    GByteArray *fields, *rows;
    int n_fields, n_rows, row_size;
    const char *prj, *cpg; /* NULL: no such file */
    guint8 mark;           /* byte 29 of the table */
    gboolean no_dbf, no_shx;
};

static inline void make_le32(GByteArray *bytes, guint32 n)
{
    const guint8 p[4] = {(guint8)n, (guint8)(n >> 8), (guint8)(n >> 16), (guint8)(n >> 24)};

    g_byte_array_append(bytes, p, 4);
}
static inline void make_be32(GByteArray *bytes, guint32 n)
{
    const guint8 p[4] = {(guint8)(n >> 24), (guint8)(n >> 16), (guint8)(n >> 8), (guint8)n};

    g_byte_array_append(bytes, p, 4);
}
static inline void make_double(GByteArray *bytes, double d)
{
    guint64 bits;

    memcpy(&bits, &d, 8);
    make_le32(bytes, (guint32)bits);
    make_le32(bytes, (guint32)(bits >> 32));
}

static inline void make_begin(struct make *make, int type)
{
    *make = (struct make){.type = type,
                          .shp = g_byte_array_new(),
                          .shx = g_byte_array_new(),
                          .fields = g_byte_array_new(),
                          .rows = g_byte_array_new(),
                          .row_size = 1,
                          .prj = MAKE_WGS84};
}

static inline void make_end(struct make *make)
{
    g_byte_array_unref(make->shp);
    g_byte_array_unref(make->shx);
    g_byte_array_unref(make->fields);
    g_byte_array_unref(make->rows);
}

static inline guint make_n(const struct make *make)
{
    return make->shx->len / 8;
}

/* Any content as one record. */
static inline void make_record(struct make *make, const guint8 *content, gsize size)
{
    make_be32(make->shx, (100 + make->shp->len) / 2);
    make_be32(make->shx, (guint32)(size / 2));
    make_be32(make->shp, make_n(make));
    make_be32(make->shp, (guint32)(size / 2));
    g_byte_array_append(make->shp, content, (guint)size);
}

/*
 * A shape of n places (x, y one after the other) in parts that begin at starts[]. Types with Z and
 * M get heights and measures. `parts` 0: a multipoint.
 */
static inline GByteArray *make_shape(struct make *make, int type, const double *xy, int n,
                                     const int *starts, int parts)
{
    GByteArray *c = g_byte_array_new();
    int base = type % 10;
    gboolean z = type > 10 && type<20, m = type> 10;
    double box[4] = {xy[0], xy[1], xy[0], xy[1]};

    for (int i = 0; i < n; i++) {
        box[0] = fmin(box[0], xy[2 * i]);
        box[1] = fmin(box[1], xy[2 * i + 1]);
        box[2] = fmax(box[2], xy[2 * i]);
        box[3] = fmax(box[3], xy[2 * i + 1]);
    }
    for (int k = 0; k < 4; k++)
        make->bounds[k] = !make->any ? box[k]
                          : k < 2    ? fmin(make->bounds[k], box[k])
                                     : fmax(make->bounds[k], box[k]);
    make->any = TRUE;
    make_le32(c, (guint32)type);
    if (base == 1) {
        make_double(c, xy[0]);
        make_double(c, xy[1]);
        if (z)
            make_double(c, 12.5);
        if (m)
            make_double(c, -1e39);
        return c;
    }
    for (int k = 0; k < 4; k++)
        make_double(c, box[k]);
    if (base != 8)
        make_le32(c, (guint32)parts);
    make_le32(c, (guint32)n);
    if (base != 8)
        for (int k = 0; k < parts; k++)
            make_le32(c, (guint32)starts[k]);
    for (int i = 0; i < 2 * n; i++)
        make_double(c, xy[i]);
    for (int extra = 0; extra < (z ? 1 : 0) + (m ? 1 : 0); extra++) {
        make_double(c, 0);
        make_double(c, 100);
        for (int i = 0; i < n; i++)
            make_double(c, 50);
    }
    return c;
}

static inline void make_add(struct make *make, const double *xy, int n, const int *starts,
                            int parts)
{
    GByteArray *c = make_shape(make, make->type, xy, n, starts, parts);

    make_record(make, c->data, c->len);
    g_byte_array_unref(c);
}

/* A square with its lower left corner at x, y, clockwise as the format wants it. */
static inline void make_square(struct make *make, double x, double y, double side)
{
    const double xy[] = {x, y, x, y + side, x + side, y + side, x + side, y, x, y};
    const int start = 0;

    make_add(make, xy, 5, &start, 1);
}

static inline void make_field(struct make *make, const char *name, char type, int width,
                              int decimals)
{
    guint8 field[32] = {0};

    memcpy(field, name, MIN(strlen(name), 11));
    field[11] = (guint8)type;
    field[16] = (guint8)width;
    field[17] = (guint8)decimals;
    g_byte_array_append(make->fields, field, 32);
    make->n_fields++;
    make->row_size += width;
}

/* One row: the texts of its fields; they are padded or cut. `state` is ' ' or '*' (struck out). */
static inline void make_row(struct make *make, char state, ...)
{
    va_list values;

    va_start(values, state);
    g_byte_array_append(make->rows, (const guint8 *)&state, 1);
    for (int i = 0; i < make->n_fields; i++) {
        const char *value = va_arg(values, const char *);
        int width = make->fields->data[32 * i + 16];
        g_autofree char *padded = g_strnfill((gsize)width, ' ');

        memcpy(padded, value, MIN(strlen(value), (gsize)width));
        g_byte_array_append(make->rows, (const guint8 *)padded, (guint)width);
    }
    va_end(values);
    make->n_rows++;
}

static inline GByteArray *make_head(const struct make *make, gsize records_size)
{
    GByteArray *head = g_byte_array_new();

    make_be32(head, 9994);
    for (int i = 0; i < 5; i++)
        make_be32(head, 0);
    make_be32(head, (guint32)((100 + records_size) / 2));
    make_le32(head, 1000);
    make_le32(head, (guint32)make->type);
    for (int i = 0; i < 4; i++)
        make_double(head, make->bounds[i]);
    for (int i = 0; i < 4; i++)
        make_double(head, 0);
    return head;
}

static inline GByteArray *make_dbf(const struct make *make)
{
    GByteArray *dbf = g_byte_array_new();
    guint8 head[32] = {0x03, 126, 11, 25};
    int head_size = 32 + (int)make->fields->len + 1;

    head[4] = (guint8)make->n_rows;
    head[5] = (guint8)(make->n_rows >> 8);
    head[6] = (guint8)(make->n_rows >> 16);
    head[8] = (guint8)head_size;
    head[9] = (guint8)(head_size >> 8);
    head[10] = (guint8)make->row_size;
    head[11] = (guint8)(make->row_size >> 8);
    head[29] = make->mark;
    g_byte_array_append(dbf, head, 32);
    g_byte_array_append(dbf, make->fields->data, make->fields->len);
    g_byte_array_append(dbf, (const guint8 *)"\r", 1);
    g_byte_array_append(dbf, make->rows->data, make->rows->len);
    g_byte_array_append(dbf, (const guint8 *)"\x1a", 1);
    return dbf;
}

static inline void make_put(const char *folder, const char *name, const void *data, gsize size)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);

    if (!g_file_set_contents(path, data, (gssize)size, NULL))
        g_error("cannot write %s", path);
}

/* Writes all files as FOLDER/STEM.*; returns the path of the .shp. */
static inline char *make_write(const struct make *make, const char *folder, const char *stem)
{
    g_autoptr(GByteArray) shp = make_head(make, make->shp->len),
                          shx = make_head(make, make->shx->len);
    g_autofree char *shp_name = g_strconcat(stem, ".shp", NULL),
                    *shx_name = g_strconcat(stem, ".shx", NULL);
    g_autofree char *dbf_name = g_strconcat(stem, ".dbf", NULL),
                    *prj_name = g_strconcat(stem, ".prj", NULL);
    g_autofree char *cpg_name = g_strconcat(stem, ".cpg", NULL);

    g_byte_array_append(shp, make->shp->data, make->shp->len);
    make_put(folder, shp_name, shp->data, shp->len);
    g_byte_array_append(shx, make->shx->data, make->shx->len);
    if (!make->no_shx)
        make_put(folder, shx_name, shx->data, shx->len);
    if (!make->no_dbf && make->n_fields > 0) {
        g_autoptr(GByteArray) dbf = make_dbf(make);

        make_put(folder, dbf_name, dbf->data, dbf->len);
    }
    if (make->prj != NULL)
        make_put(folder, prj_name, make->prj, strlen(make->prj));
    if (make->cpg != NULL)
        make_put(folder, cpg_name, make->cpg, strlen(make->cpg));
    return g_build_filename(folder, shp_name, NULL);
}

/* An empty folder for one test; make_folder_clear takes it away with the files in it. */
static inline char *make_folder(void)
{
    return g_dir_make_tmp("simpling-shape-XXXXXX", NULL);
}

static inline void make_folder_clear(char *folder)
{
    GDir *dir = g_dir_open(folder, 0, NULL);
    const char *name;

    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);

        g_remove(path);
    }
    if (dir != NULL)
        g_dir_close(dir);
    g_rmdir(folder);
    g_free(folder);
}

#endif
