/* SPDX-License-Identifier: MIT
 *
 * A made map for the bench of hazards (tests/bench/ground.sh), and C GEOS beside ours:
 *     bench_ground make N SITES DIR    DIR/layer.shp of N polygons in UTM 30N, as dense for every
 * N, DIR/sites.csv and DIR/sites.geojson with SITES places bench_ground geos DIR            loads
 * the layer, C GEOS STRtree, every polygon within 300 m of each site: DIR/geos.csv bench_ground
 * compare A.csv B.csv the same hits, and distances within a scale of 0.2 %? Polygons are
 * star-shaped, 8 to 20 places, radius log-normal about 90 m.
 */
#include <geodesic.h>
#include <geos_c.h>
#include <math.h>
#include <proj.h>
#include <shapefil.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include <glib.h>

#include "book/hazard.h"
#include "book/site.h"
#include "book/statement.h"
#include "season/ground_map.h"

#define WEST 400000.0
#define SOUTH 5900000.0
#define PER_SIDE 200000.0 /* metres for 200,000 polygons */
#define WITHIN_M 300.0

static double normal(GRand *rand)
{
    return sqrt(-2 * log(1 - g_rand_double(rand))) * cos(2 * G_PI * g_rand_double(rand));
}

static int make(int n, int sites, const char *dir)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(20240611);
    g_autofree char *path = g_build_filename(dir, "layer", NULL);
    g_autofree char *csv = g_build_filename(dir, "sites.csv", NULL);
    g_autofree char *prj = g_build_filename(dir, "layer.prj", NULL);
    g_autofree char *geojson = g_build_filename(dir, "sites.geojson", NULL);
    double side = PER_SIDE * sqrt(n / 200000.0);
    SHPHandle shp = SHPCreate(path, SHPT_POLYGON);
    DBFHandle dbf = DBFCreate(path);
    PJ_CONTEXT *context = proj_context_create();
    PJ *raw = proj_create_crs_to_crs(context, "EPSG:32630", "OGC:CRS84", NULL);
    PJ *pj = proj_normalize_for_visualization(context, raw);
    long places = 0;
    FILE *out, *json;

    if (shp == NULL || dbf == NULL || pj == NULL)
        return 1;
    DBFAddField(dbf, "NAME", FTString, 12, 0);
    DBFAddField(dbf, "SPRAYED", FTString, 8, 0);
    for (int i = 0; i < n; i++) {
        double cx = WEST + side * g_rand_double(rand), cy = SOUTH + side * g_rand_double(rand);
        double size = 90 * exp(0.6 * normal(rand)), x[21], y[21];
        int k = g_rand_int_range(rand, 8, 21);
        char name[32];
        SHPObject *shape;

        for (int j = 0; j < k; j++) { /* clockwise */
            double a = -2 * G_PI * j / k, r = size * g_rand_double_range(rand, 0.5, 1);

            x[j] = cx + r * cos(a);
            y[j] = cy + r * sin(a);
        }
        x[k] = x[0];
        y[k] = y[0];
        places += k + 1;
        shape = SHPCreateSimpleObject(SHPT_POLYGON, k + 1, x, y, NULL);
        SHPWriteObject(shp, -1, shape);
        SHPDestroyObject(shape);
        g_snprintf(name, sizeof name, "field %d", i);
        DBFWriteStringAttribute(dbf, i, 0, name);
        DBFWriteStringAttribute(dbf, i, 1, "20270420");
    }
    SHPClose(shp);
    DBFClose(dbf);
    {
        const char *wkt =
            proj_as_wkt(context, proj_create(context, "EPSG:32630"), PJ_WKT1_ESRI, NULL);

        if (!g_file_set_contents(prj, wkt, -1, NULL))
            return 1;
    }
    out = fopen(csv, "w");
    json = fopen(geojson, "w");
    if (out == NULL || json == NULL)
        return 1;
    for (int i = 0; i < sites; i++) {
        double x = WEST + side * g_rand_double(rand), y = SOUTH + side * g_rand_double(rand);
        PJ_COORD c = proj_trans(pj, PJ_FWD, proj_coord(x, y, 0, 0));

        fprintf(out, "%d,%.9f,%.9f,%.6f,%.6f\n", i, c.xy.y, c.xy.x, x, y);
        fprintf(json,
                "{\"type\":\"Feature\",\"properties\":{\"name\":\"place "
                "%d\"},\"geometry\":{\"type\":\"Point\","
                "\"coordinates\":[%.9f,%.9f]}}\n",
                i, c.xy.x, c.xy.y);
    }
    fclose(out);
    fclose(json);
    printf("%d polygons, %ld places, %d sites\n", n, places, sites);
    return 0;
}

struct found {
    GEOSContextHandle_t geos;
    GEOSGeometry *site;
    FILE *out;
    int number;
    long hits;
    double sum;
};

static void take(void *item, void *data)
{
    struct found *found = data;
    GEOSGeometry *polygon = item;
    double d;

    GEOSDistance_r(found->geos, polygon, found->site, &d);
    if (d <= WITHIN_M) {
        found->hits++;
        found->sum += d;
        if (found->out != NULL)
            fprintf(found->out, "%d,%d,%.4f\n", found->number,
                    (int)(gintptr)GEOSGeom_getUserData_r(found->geos, polygon), d);
    }
}

static double now(void)
{
    return (double)g_get_monotonic_time() / 1e6;
}

/* Processor seconds so far: on a busy machine they say more than the clock. */
static double used(void)
{
    struct rusage usage;

    getrusage(RUSAGE_SELF, &usage);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

static int by_geos(const char *dir)
{
    GEOSContextHandle_t geos = GEOS_init_r();
    g_autofree char *path = g_build_filename(dir, "layer", NULL);
    g_autofree char *csv = g_build_filename(dir, "sites.csv", NULL);
    g_autofree char *answer = g_build_filename(dir, "geos.csv", NULL);
    g_autofree char *text = NULL;
    g_auto(GStrv) lines = NULL;
    SHPHandle shp = SHPOpen(path, "rb");
    GEOSSTRtree *tree = GEOSSTRtree_create_r(geos, 10);
    double start = now(), loaded, indexed, asked, processor;
    struct found found = {.geos = geos};
    struct rusage usage;
    int n, type;

    if (shp == NULL || !g_file_get_contents(csv, &text, NULL, NULL))
        return 1;
    lines = g_strsplit(text, "\n", -1);
    SHPGetInfo(shp, &n, &type, NULL, NULL);
    for (int i = 0; i < n; i++) {
        SHPObject *shape = SHPReadObject(shp, i);
        GEOSCoordSequence *row = GEOSCoordSeq_create_r(geos, (unsigned)shape->nVertices, 2);
        GEOSGeometry *polygon;

        for (int j = 0; j < shape->nVertices; j++)
            GEOSCoordSeq_setXY_r(geos, row, (unsigned)j, shape->padfX[j], shape->padfY[j]);
        polygon = GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, row), NULL, 0);
        GEOSGeom_setUserData_r(geos, polygon, (void *)(gintptr)(i + 1));
        GEOSSTRtree_insert_r(geos, tree, polygon, polygon);
        SHPDestroyObject(shape);
    }
    loaded = now();
    { /* the first question builds the tree */
        GEOSGeometry *nowhere = GEOSGeom_createPointFromXY_r(geos, 0, 0);

        found.site = nowhere;
        GEOSSTRtree_query_r(geos, tree, nowhere, take, &found);
        GEOSGeom_destroy_r(geos, nowhere);
    }
    indexed = now();
    processor = used();
    found.hits = 0;
    found.sum = 0;
    for (int pass = 0; pass < 2; pass++) { /* timed without writing, then written */
        if (pass == 1)
            found.out = fopen(answer, "w");
        for (int i = 0; lines[i] != NULL && lines[i][0] != '\0'; i++) {
            double v[5];
            char *p = lines[i];
            GEOSGeometry *box;

            for (int k = 0; k < 5; k++, p++)
                v[k] = g_ascii_strtod(p, &p);
            found.number = (int)v[0];
            found.site = GEOSGeom_createPointFromXY_r(geos, v[3], v[4]);
            box = GEOSGeom_createRectangle_r(geos, v[3] - WITHIN_M, v[4] - WITHIN_M,
                                             v[3] + WITHIN_M, v[4] + WITHIN_M);
            GEOSSTRtree_query_r(geos, tree, box, take, &found);
            GEOSGeom_destroy_r(geos, box);
            GEOSGeom_destroy_r(geos, found.site);
        }
        if (pass == 0) {
            asked = now();
            processor = used() - processor;
            getrusage(RUSAGE_SELF, &usage);
            printf("C GEOS: load %.3f s, index %.3f s, ask %.3f s (processor %.3f s), peak %ld MB, "
                   "%ld hits, sum %.3f\n",
                   loaded - start, indexed - loaded, asked - indexed, processor,
                   usage.ru_maxrss / 1024, found.hits, found.sum);
        }
    }
    fclose(found.out);
    return 0;
}

struct ours {
    struct spl_house *house;
    struct spl_ground_map *map;
    FILE *out;
    long hits;
    double sum;
};

static gboolean ask_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct ours *ours = data;
    struct spl_ground_near near;

    if (!spl_ground_map_near(ours->map, ours->house, site, WITHIN_M, &near, error))
        return FALSE;
    for (guint k = 0; k < near.hazards->len; k++) {
        double d = g_array_index(near.hazards, struct spl_hazard_near, k).distance_m;

        ours->hits++;
        ours->sum += d;
        if (ours->out != NULL)
            fprintf(ours->out, "%s,%" G_GINT64_FORMAT ",%.4f\n", site->name + strlen("place "),
                    g_array_index(near.records, gint64, k), d);
    }
    spl_ground_near_clear(&near);
    return TRUE;
}

static int by_ours(const char *book, const char *dir, const char *data)
{
    struct spl_house_options options = {
        .book = book, .data = data, .today = spl_day_from_ymd(2027, 6, 20)};
    g_autofree char *answer = g_build_filename(dir, "ours.csv", NULL);
    double start = now(), loaded, processor;
    g_autoptr(spl_house) house = spl_house_open(&options, SPL_HOUSE_READ, NULL);
    struct ours ours = {.house = house};
    g_autoptr(spl_statement) reading = NULL;
    GArray *sites;
    struct rusage usage;

    if (house == NULL || (ours.map = spl_ground_map_of(house, NULL)) == NULL ||
        !spl_hazard_expect_many(house->book, NULL))
        return 1;
    sites = spl_site_all(house->book, NULL);
    /* One read of the book, as `check --all` is. */
    reading = spl_statement_open(house->book, NULL, "SELECT id FROM hazard_layer", SPL_NONE);
    if (sites == NULL || reading == NULL || !spl_statement_row(reading, NULL))
        return 1;
    loaded = now();
    processor = used();
    for (guint i = 0; i < sites->len; i++)
        if (!ask_site(&g_array_index(sites, struct spl_site, i), &ours, NULL))
            return 1;
    processor = used() - processor;
    getrusage(RUSAGE_SELF, &usage);
    printf("ours: open, sites %.3f s, ask %.3f s (processor %.3f s), peak %ld MB, %ld hits, sum "
           "%.3f\n",
           loaded - start, now() - loaded, processor, usage.ru_maxrss / 1024, ours.hits, ours.sum);
    ours.out = fopen(answer, "w"); /* once more, written */
    if (ours.out == NULL)
        return 1;
    for (guint i = 0; i < sites->len; i++)
        if (!ask_site(&g_array_index(sites, struct spl_site, i), &ours, NULL))
            return 1;
    fclose(ours.out);
    spl_list_free(&spl_site_shape, sites);
    return 0;
}

int main(int argc, char **argv)
{
    if (argc == 5 && strcmp(argv[1], "make") == 0)
        return make(atoi(argv[2]), atoi(argv[3]), argv[4]);
    if (argc == 3 && strcmp(argv[1], "geos") == 0)
        return by_geos(argv[2]);
    if (argc == 5 && strcmp(argv[1], "ours") == 0)
        return by_ours(argv[2], argv[3], argv[4]);
    fprintf(stderr, "bench_ground make N SITES DIR | geos DIR | ours BOOK DIR DATA\n");
    return 2;
}
