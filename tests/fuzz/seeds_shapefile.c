/* SPDX-License-Identifier: MIT
 *
 * Writes the seeds of fuzz_shapefile into a folder: one of each kind of shape, holes, broken ones.
 *   ninja seeds_shapefile && tests/seeds_shapefile FOLDER
 *   sh tests/fuzz/keep.sh shapefile FOLDER/...
 */
#include <stdio.h>

#include "../exchange/shape_make.h"

static void put_seed(struct make *make, const char *folder, const char *name)
{
    g_autoptr(GByteArray) shp = make_head(make, make->shp->len),
                          shx = make_head(make, make->shx->len);
    g_autoptr(GByteArray) dbf = make->n_fields > 0 ? make_dbf(make) : g_byte_array_new();
    g_autoptr(GByteArray) seed = g_byte_array_new();
    guint8 sizes[4];

    g_byte_array_append(shp, make->shp->data, make->shp->len);
    g_byte_array_append(shx, make->shx->data, make->shx->len);
    sizes[0] = (guint8)shx->len;
    sizes[1] = (guint8)(shx->len >> 8);
    sizes[2] = (guint8)dbf->len;
    sizes[3] = (guint8)(dbf->len >> 8);
    if (make->no_shx)
        sizes[0] = sizes[1] = 0;
    g_byte_array_append(seed, sizes, 4);
    if (!make->no_shx)
        g_byte_array_append(seed, shx->data, shx->len);
    g_byte_array_append(seed, dbf->data, dbf->len);
    g_byte_array_append(seed, shp->data, shp->len);
    make_put(folder, name, seed->data, seed->len);
    make_end(make);
}

static void begin(struct make *make, int type)
{
    make_begin(make, type);
    make_field(make, "NAME", 'C', 12, 0);
    make_field(make, "DAY", 'D', 8, 0);
}

int main(int argc, char **argv)
{
    static const int types[] = {1, 3, 5, 8, 11, 13, 15, 18, 21, 23, 25, 28};
    static const double hole[] = {-2.60, 54.59,  -2.60, 54.61,  -2.57,  54.61, -2.57,
                                  54.59, -2.60,  54.59, -2.59,  54.595, -2.58, 54.595,
                                  -2.58, 54.605, -2.59, 54.605, -2.59,  54.595};
    static const double tie[] = {-2.60, 54.59, -2.57, 54.61, -2.57,
                                 54.59, -2.60, 54.61, -2.60, 54.59};
    static const double wide[] = {-170, 89.90, -170, 89.95, 170, 89.95, 170, 89.90, -170, 89.90};
    static const int starts[] = {0, 5};
    struct make make;

    if (argc != 2)
        return 2;
    for (gsize i = 0; i < G_N_ELEMENTS(types); i++) {
        g_autofree char *name = g_strdup_printf("type-%d", types[i]);

        begin(&make, types[i]);
        make_add(&make, hole, types[i] % 10 == 1 ? 1 : 5, starts, 1);
        make_row(&make, ' ', "one", "20270504");
        make_add(&make, tie, types[i] % 10 == 1 ? 1 : 5, starts, 1);
        make_row(&make, '*', "caf\xe9", "00000000");
        put_seed(&make, argv[1], name);
    }
    begin(&make, 5);
    make_add(&make, hole, 10, starts, 2);
    make_row(&make, ' ', "with a hole", "20270504");
    put_seed(&make, argv[1], "hole");
    begin(&make, 5);
    make_add(&make, wide, 5, starts, 1);
    make_row(&make, ' ', "wide", "20270230");
    put_seed(&make, argv[1], "wide");
    make_begin(&make, 1); /* days as text */
    make_field(&make, "NAME", 'C', 12, 0);
    make_field(&make, "DAY", 'C', 12, 0);
    make_add(&make, hole, 1, starts, 1);
    make_row(&make, ' ', "one", "2027-05-04");
    make_add(&make, tie, 1, starts, 1);
    make_row(&make, ' ', "two", "2027/5/4");
    put_seed(&make, argv[1], "text-days");
    make_begin(&make, 5);
    make.no_shx = TRUE;
    make_square(&make, -2.58, 54.60, 0.001);
    make_add(&make, hole, 3, starts, 1);
    make_add(&make, tie, 4, starts, 1);
    put_seed(&make, argv[1], "bare");
    return 0;
}
