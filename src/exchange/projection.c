/* SPDX-License-Identifier: MIT
 *
 * PROJ for one file. How exact an operation is PROJ tells only of the one last used, so it is asked
 * after the first positions and every few thousand later; the worst answer counts.
 */
#include "exchange/projection.h"

#include <math.h>
#include <proj.h>
#include <string.h>

#include "simpling/error.h"

#define ASK_EVERY 4096 /* calls between two questions about accuracy */
#define TEXT_MAX 65536

struct spl_projection {
    PJ_CONTEXT *context;
    PJ *pj; /* NULL: degrees as they are */
    char *name;
    gboolean degrees;
    double accuracy_m;
    gboolean asked;
    guint calls;
};

static void be_silent(void *data, int level, const char *message)
{
    (void)data;
    (void)level;
    (void)message;
}

static gboolean is_geographic(PJ_CONTEXT *context, const PJ *crs)
{
    PJ_TYPE type = proj_get_type(crs);
    PJ *inner;
    gboolean answer;

    if (type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS)
        return TRUE;
    if (type == PJ_TYPE_BOUND_CRS)
        inner = proj_get_source_crs(context, crs);
    else if (type == PJ_TYPE_COMPOUND_CRS)
        inner = proj_crs_get_sub_crs(context, crs, 0);
    else
        return FALSE;
    answer = inner != NULL && is_geographic(context, inner);
    proj_destroy(inner);
    return answer;
}

/* Does it tell where something lies across the earth? Heights, earth-centred and local systems do
 * not. */
static gboolean is_horizontal(const PJ *crs)
{
    switch (proj_get_type(crs)) {
    case PJ_TYPE_GEOGRAPHIC_2D_CRS:
    case PJ_TYPE_GEOGRAPHIC_3D_CRS:
    case PJ_TYPE_PROJECTED_CRS:
    case PJ_TYPE_COMPOUND_CRS:
    case PJ_TYPE_BOUND_CRS:
        return TRUE;
    default:
        return FALSE;
    }
}

/* A name as PROJ knows it, one line, never empty. */
static char *clean_name(const char *name)
{
    char *clean = g_utf8_make_valid(name != NULL && name[0] != '\0' ? name : "unnamed", -1);

    for (char *c = clean; *c != '\0'; c++)
        if (g_ascii_iscntrl(*c))
            *c = ' ';
    return clean;
}

static gboolean prepare(struct spl_projection *projection, const char *crs, const char *what,
                        GError **error)
{
    g_autofree char *text = g_strstrip(g_strdup(crs));
    gboolean is_code = g_ascii_strncasecmp(text, "EPSG:", 5) == 0;
    PJ *source, *raw;

    if (strlen(text) > TEXT_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: the reference system is over %d bytes long; name it as EPSG:NUMBER", what,
                    TEXT_MAX);
        return FALSE;
    }
    /* "+proj=..." and files named by the text are nobody's .prj and not taken. */
    source = is_code || strchr(text, '[') != NULL ? proj_create(projection->context, text) : NULL;
    if (source == NULL || !is_horizontal(source)) {
        proj_destroy(source);
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%.40s' is no reference system that is known; name the right one as "
                    "EPSG:NUMBER",
                    what, text);
        return FALSE;
    }
    projection->name = clean_name(proj_get_name(source));
    projection->degrees = is_geographic(projection->context, source);
    proj_destroy(source);
    raw = proj_create_crs_to_crs(projection->context, text, "OGC:CRS84", NULL);
    projection->pj =
        raw != NULL ? proj_normalize_for_visualization(projection->context, raw) : NULL;
    proj_destroy(raw);
    if (projection->pj == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%s' cannot be placed on earth; name the right system as EPSG:NUMBER",
                    what, projection->name);
        return FALSE;
    }
    return TRUE;
}

struct spl_projection *spl_projection_new(const char *crs, const char *what, GError **error)
{
    g_autoptr(spl_projection) projection = g_new0(struct spl_projection, 1);

    projection->accuracy_m = NAN;
    if (crs == NULL) {
        projection->name = g_strdup("longitude and latitude (assumed)");
        projection->degrees = TRUE;
        return g_steal_pointer(&projection);
    }
    projection->context = proj_context_create();
    proj_log_func(projection->context, NULL, be_silent);
    proj_context_set_enable_network(projection->context, 0);
    if (!prepare(projection, crs, what, error))
        return NULL;
    return g_steal_pointer(&projection);
}

void spl_projection_free(struct spl_projection *projection)
{
    if (projection == NULL)
        return;
    proj_destroy(projection->pj);
    if (projection->context != NULL)
        proj_context_destroy(projection->context);
    g_free(projection->name);
    g_free(projection);
}

static void ask_accuracy(struct spl_projection *projection)
{
    PJ *used = proj_trans_get_last_used_operation(projection->pj);
    PJ_PROJ_INFO info;

    if (used == NULL)
        return;
    info = proj_pj_info(used);
    if (info.accuracy < 0 ||
        (info.description != NULL && strstr(info.description, "Ballpark") != NULL))
        projection->accuracy_m = NAN;
    else if (!projection->asked)
        projection->accuracy_m = info.accuracy;
    else if (!isnan(projection->accuracy_m))
        projection->accuracy_m = fmax(projection->accuracy_m, info.accuracy);
    projection->asked = TRUE;
    proj_destroy(used);
}

gsize spl_projection_apply(struct spl_projection *projection, struct spl_position *positions,
                           gsize n)
{
    gsize good = 0;

    if (n == 0)
        return 0;
    if (projection->pj != NULL) {
        proj_trans_generic(projection->pj, PJ_FWD, &positions->lon, sizeof *positions, n,
                           &positions->lat, sizeof *positions, n, NULL, 0, 0, NULL, 0, 0);
        if (projection->calls++ % ASK_EVERY == 0)
            ask_accuracy(projection);
    }
    for (gsize i = 0; i < n; i++) {
        struct spl_position *p = &positions[i];

        /* A turned meridian may come out as 180.0000000001; world maps count to 360. */
        if (projection->pj != NULL && fabs(p->lon) > 180 && fabs(p->lon) <= 360.001)
            p->lon = remainder(p->lon, 360);
        if (fabs(p->lon) <= 180 && fabs(p->lat) <= 90)
            good++;
        else
            p->lon = p->lat = NAN;
    }
    return good;
}

const char *spl_projection_name(const struct spl_projection *projection)
{
    return projection->name;
}

gboolean spl_projection_is_degrees(const struct spl_projection *projection)
{
    return projection->degrees;
}

double spl_projection_accuracy_m(struct spl_projection *projection)
{
    return projection->accuracy_m;
}
