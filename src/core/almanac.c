/* SPDX-License-Identifier: MIT
 *
 * Rows of an almanac. See core/almanac.h.
 */
#include "core/almanac.h"

#include <math.h>

#include "simpling/error.h"

#define HALF_YEAR 182 /* days between the seasons of the hemispheres */

static const struct spl_field fields[] = {
    SPL_FIELD(spl_almanac_row, almanac, SPL_TEXT, "almanac", "almanac"),
    SPL_FIELD(spl_almanac_row, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_almanac_row, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_almanac_row, flush, SPL_INT, "flush", "which time"),
    SPL_FIELD(spl_almanac_row, start, SPL_DAY, "start", "start"),
    SPL_FIELD(spl_almanac_row, end, SPL_DAY, "end", "end"),
    SPL_FIELD_NUM(spl_almanac_row, stage_from, 0, "stage_from", "stage from"),
    SPL_FIELD_NUM(spl_almanac_row, stage_to, 0, "stage_to", "to"),
    SPL_FIELD(spl_almanac_row, every_days, SPL_INT, "every_days", "every days"),
    SPL_FIELD_NUM(spl_almanac_row, lat, 4, "lat", NULL),
    SPL_FIELD_NUM(spl_almanac_row, lon, 4, "lon", NULL),
    SPL_FIELD_NUM(spl_almanac_row, elevation_m, 0, "elevation_m", NULL),
    SPL_FIELD(spl_almanac_row, uid, SPL_TEXT, "uid", NULL),
    SPL_FIELD(spl_almanac_row, source, SPL_TEXT, "source", "source"),
    SPL_FIELD(spl_almanac_row, period_from, SPL_INT, "period_from", NULL),
    SPL_FIELD(spl_almanac_row, period_to, SPL_INT, "period_to", NULL),
};
const struct spl_shape spl_almanac_row_shape = SPL_SHAPE("almanac_row", spl_almanac_row, fields);

void spl_almanac_row_init(struct spl_almanac_row *row)
{
    *row = (struct spl_almanac_row){.flush = 1,
                                    .start = SPL_DAY_NONE,
                                    .end = SPL_DAY_NONE,
                                    .stage_from = NAN,
                                    .stage_to = NAN,
                                    .lat = NAN,
                                    .lon = NAN,
                                    .elevation_m = NAN,
                                    .stands_frost = -1};
    for (int m = 0; m < 12; m++)
        row->normals_c[m] = NAN;
}

static gboolean refuse(const struct spl_almanac_row *row, const char *what, GError **error)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "almanac entry %s: %s",
                row->uid != NULL ? row->uid : "without a UID", what);
    return FALSE;
}

static gboolean is_stage(double stage)
{
    return isnan(stage) || (stage >= 0 && stage <= 99);
}

gboolean spl_almanac_row_check(const struct spl_almanac_row *row, GError **error)
{
    int given = 0;

    if (row->material == NULL || *row->material == '\0')
        return refuse(row, "it names no material; title it like one (\"Nettle leaf\")", error);
    if (!spl_day_is_set(row->start) || !spl_day_is_set(row->end))
        return refuse(row, "it has no first or last day; give it both", error);
    if (row->end.n < row->start.n)
        return refuse(row, "it ends before it starts; look at its days", error);
    if (spl_day_diff(row->end, row->start) >= 364)
        return refuse(row, "it lasts a year or longer; a window has to open and close", error);
    if (row->flush < 1 || row->every_days < 0)
        return refuse(row, "flushes count from 1 and days between pickings from 0; correct them",
                      error);
    if (!is_stage(row->stage_from) || !is_stage(row->stage_to))
        return refuse(row, "a growth stage is a BBCH code from 0 to 99; correct it", error);
    if (isnan(row->lat) != isnan(row->lon) || row->lat < -90 || row->lat > 90 || row->lon < -180 ||
        row->lon > 180)
        return refuse(row, "its reference place is not on the globe; write latitude;longitude",
                      error);
    if (row->elevation_m < -500 || row->elevation_m > 9000)
        return refuse(row, "the height of its reference place cannot be; write it in metres",
                      error);
    for (int m = 0; m < 12; m++) {
        given += !isnan(row->normals_c[m]);
        if (row->normals_c[m] < -60 || row->normals_c[m] > 50)
            return refuse(row, "its normals cannot be degrees Celsius; look at their unit", error);
    }
    if (given != 0 && given != 12)
        return refuse(row, "its normals must be twelve monthly means; add those that are missing",
                      error);
    return TRUE;
}

gboolean spl_almanac_row_has_place(const struct spl_almanac_row *row)
{
    return !isnan(row->lat) && !isnan(row->lon);
}

gboolean spl_almanac_row_has_normals(const struct spl_almanac_row *row)
{
    return !isnan(row->normals_c[0]);
}

gboolean spl_almanac_row_stands_frost(const struct spl_almanac_row *row)
{
    static const char *const tender[] = {"/flower", "/leaf", "/tops", "/herb", "/fruit"};

    if (row->stands_frost >= 0)
        return row->stands_frost != 0;
    for (gsize i = 0; i < G_N_ELEMENTS(tender); i++) {
        if (row->material != NULL && g_str_has_suffix(row->material, tender[i]))
            return FALSE;
    }
    return TRUE;
}

/* This month and day in another year. */
static struct spl_day in_year(int year, int month, int dom)
{
    return spl_day_from_ymd(
        year, month, month == 2 && dom == 29 && !g_date_is_leap_year((GDateYear)year) ? 28 : dom);
}

void spl_almanac_row_days(const struct spl_almanac_row *row, int season, double site_lat,
                          struct spl_day *start, struct spl_day *end)
{
    double lat = spl_almanac_row_has_place(row) ? row->lat : site_lat;
    int month, dom, length = spl_day_diff(row->end, row->start);

    spl_day_to_ymd(row->start, NULL, &month, &dom);
    /* South of the equator January to June belong to the season that began the July before. */
    *start = season < 1 || season > 9998
                 ? SPL_DAY_NONE
                 : in_year(lat < 0 && month < 7 ? season + 1 : season, month, dom);
    if (!isnan(site_lat) && (lat < 0) != (site_lat < 0))
        *start = spl_day_add(*start, lat < 0 ? -HALF_YEAR : HALF_YEAR);
    *end = spl_day_add(*start, length);
}
