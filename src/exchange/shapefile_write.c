/* SPDX-License-Identifier: MIT
 *
 * Writing shapefiles: shapelib into a temporary folder beside the target, then each file renamed.
 */
#include "exchange/shapefile_write.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <math.h>
#include <shapefil.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "simpling/error.h"

#define TEXT_WIDTH 254

static const char wgs84[] =
    "GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\",SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],"
    "PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]";

enum column { NAME, VERDICT, DATE, UNTIL, WHY, ELEV_M, ACC_M, REMARK };

static gboolean add_columns(DBFHandle dbf)
{
    return DBFAddField(dbf, "NAME", FTString, TEXT_WIDTH, 0) == NAME &&
           DBFAddField(dbf, "VERDICT", FTString, 6, 0) == VERDICT &&
           DBFAddNativeFieldType(dbf, "DATE", 'D', 8, 0) == DATE &&
           DBFAddNativeFieldType(dbf, "UNTIL", 'D', 8, 0) == UNTIL &&
           DBFAddField(dbf, "WHY", FTString, TEXT_WIDTH, 0) == WHY &&
           DBFAddField(dbf, "ELEV_M", FTDouble, 8, 1) == ELEV_M &&
           DBFAddField(dbf, "ACC_M", FTDouble, 8, 1) == ACC_M &&
           DBFAddField(dbf, "REMARK", FTString, TEXT_WIDTH, 0) == REMARK;
}

/* Cut at a character's end. */
static gboolean put_text(DBFHandle dbf, int row, int column, const char *text)
{
    g_autofree char *cut = NULL;
    gsize n = text != NULL ? strlen(text) : 0;

    if (n == 0)
        return DBFWriteNULLAttribute(dbf, row, column);
    if (n > TEXT_WIDTH) {
        const char *end = g_utf8_find_prev_char(text, text + TEXT_WIDTH + 1);

        n = end != NULL ? (gsize)(end - text) : 0;
    }
    cut = g_strndup(text, n);
    return DBFWriteStringAttribute(dbf, row, column, cut);
}

static gboolean put_day(DBFHandle dbf, int row, int column, struct spl_day day)
{
    int y, m, d;
    char text[32];

    if (!spl_day_is_set(day))
        return DBFWriteNULLAttribute(dbf, row, column);
    spl_day_to_ymd(day, &y, &m, &d);
    g_snprintf(text, sizeof text, "%04d%02d%02d", y, m, d);
    return DBFWriteAttributeDirectly(dbf, row, column, text);
}

static gboolean put_number(DBFHandle dbf, int row, int column, double number)
{
    return isnan(number) ? DBFWriteNULLAttribute(dbf, row, column)
                         : DBFWriteDoubleAttribute(dbf, row, column, number);
}

static gboolean put_row(DBFHandle dbf, int row, const struct spl_place *place)
{
    return put_text(dbf, row, NAME, place->name) &&
           put_text(dbf, row, VERDICT, spl_verdict_names[place->verdict]) &&
           put_day(dbf, row, DATE, place->date) && put_day(dbf, row, UNTIL, place->until) &&
           put_text(dbf, row, WHY, place->why) &&
           put_number(dbf, row, ELEV_M, place->elevation_m) &&
           put_number(dbf, row, ACC_M, place->accuracy_m) &&
           put_text(dbf, row, REMARK, place->remark);
}

static gboolean put_shape(SHPHandle shp, const struct spl_place *place, gboolean areas)
{
    const struct spl_geometry *ground = place->ground;
    SHPObject *shape;
    int row;

    if (!areas) {
        double x = place->lon, y = place->lat;

        shape = SHPCreateSimpleObject(SHPT_POINT, 1, &x, &y, NULL);
    } else {
        int n = (int)spl_geometry_n_points(ground), parts = (int)ground->paths->len;
        g_autofree double *x = g_new(double, n), *y = g_new(double, n);
        g_autofree int *starts = g_new(int, parts);

        for (int i = 0; i < n; i++) {
            x[i] = spl_geometry_points(ground)[i].lon;
            y[i] = spl_geometry_points(ground)[i].lat;
        }
        for (int i = 0; i < parts; i++)
            starts[i] = (int)spl_geometry_path(ground, (guint)i)->first;
        shape = SHPCreateObject(SHPT_POLYGON, -1, parts, starts, NULL, n, x, y, NULL, NULL);
        SHPRewindObject(shp, shape); /* outer rings clockwise, as the format wants them */
    }
    row = SHPWriteObject(shp, -1, shape);
    SHPDestroyObject(shape);
    return row >= 0;
}

static gboolean write_all(const char *stem, const GArray *places, gboolean areas)
{
    SHPHandle shp = SHPCreate(stem, areas ? SHPT_POLYGON : SHPT_POINT);
    DBFHandle dbf = DBFCreateEx(stem, "UTF-8");
    g_autofree char *prj = g_strconcat(stem, ".prj", NULL), *cpg = g_strconcat(stem, ".cpg", NULL);
    gboolean ok = shp != NULL && dbf != NULL && add_columns(dbf);
    int row = 0;

    for (guint i = 0; i < places->len && ok; i++) {
        const struct spl_place *place = &g_array_index(places, struct spl_place, i);

        if (areas && (place->ground == NULL || place->ground->kind != SPL_GEOMETRY_POLYGON))
            continue;
        ok = put_shape(shp, place, areas) && put_row(dbf, row++, place);
    }
    if (shp != NULL)
        SHPClose(shp);
    if (dbf != NULL)
        DBFClose(dbf);
    return ok && g_file_set_contents(prj, wgs84, -1, NULL) &&
           g_file_set_contents(cpg, "UTF-8\n", -1, NULL);
}

static const char *const endings[] = {".shx", ".dbf", ".prj", ".cpg", ".shp"};

char **spl_shapefile_files(const char *path)
{
    g_autofree char *stem = g_strdup(path);
    char *dot = strrchr(stem, '.');
    char **files = g_new0(char *, G_N_ELEMENTS(endings) + 1);

    if (dot != NULL && g_ascii_strcasecmp(dot, ".shp") == 0)
        *dot = '\0';
    for (gsize i = 0; i < G_N_ELEMENTS(endings); i++)
        files[i] = g_strconcat(stem, endings[i], NULL);
    return files;
}

/* A stand's place is private; where a file is replaced, the person's choice of its mode stays. */
static void settle_mode(const char *from, const char *to)
{
    struct stat there;

    (void)g_chmod(from, stat(to, &there) == 0 ? (int)(there.st_mode & 0777) : 0600);
}

gboolean spl_shapefile_write(const char *path, const GArray *places, gboolean areas, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(path);
    g_autofree char *scratch = g_build_filename(folder, ".simpling-XXXXXX", NULL);
    g_autofree char *inner = NULL;
    g_auto(GStrv) files = spl_shapefile_files(path);
    gboolean ok;

    if (g_mkdtemp(scratch) == NULL) {
        g_set_error(error, SPL_ERROR,
                    errno == ENOENT                     ? SPL_ERROR_NOT_FOUND
                    : errno == EACCES || errno == EROFS ? SPL_ERROR_READ_ONLY
                                                        : SPL_ERROR_IO,
                    "%s: nothing can be written in this folder (%s); choose another", folder,
                    g_strerror(errno));
        return FALSE;
    }
    inner = g_build_filename(scratch, "sites", NULL);
    ok = write_all(inner, places, areas);
    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: could not be written whole; look whether the disk is full", path);
    for (guint i = 0; i < G_N_ELEMENTS(endings); i++) {
        g_autofree char *from = g_strconcat(inner, endings[i], NULL);
        const char *to = files[i];

        settle_mode(from, to);
        if (ok && g_rename(from, to) != 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: could not be put in place (%s)", to,
                        g_strerror(errno));
            ok = FALSE;
        }
        if (!ok)
            g_remove(from);
    }
    g_rmdir(scratch);
    return ok;
}
