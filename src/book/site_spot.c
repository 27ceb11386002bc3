/* SPDX-License-Identifier: MIT
 *
 * Where places lie and ever lay, read without their views: whoever looks for what may lie near
 * some ground takes a place too many rather than one too few. See book/site.h.
 */
#include <math.h>

#include "book/site.h"
#include "book/statement.h"

/* One place, as its row and its corrections have it. */
struct place {
    gint64 id;
    GArray *lats, *lons;  /* double */
    GPtrArray *outlines;  /* struct spl_geometry */
    gboolean unread;      /* an outline cannot be read */
    double accuracy_m;    /* the worst; NAN */
    spl_geometry *corner; /* kept between spots */
};

struct telling {
    void (*each)(const struct spl_site_spot *spot, gpointer data);
    gpointer data;
};

static void begin_place(struct place *place, gint64 id)
{
    place->id = id;
    g_array_set_size(place->lats, 0);
    g_array_set_size(place->lons, 0);
    g_ptr_array_set_size(place->outlines, 0);
    place->unread = FALSE;
    place->accuracy_m = 0;
}

static void add_number(GArray *numbers, double number)
{
    if (isfinite(number))
        g_array_append_val(numbers, number);
}

static void add_accuracy(struct place *place, double accuracy_m)
{
    place->accuracy_m =
        isnan(accuracy_m) || isnan(place->accuracy_m) ? NAN : fmax(place->accuracy_m, accuracy_m);
}

static void add_outline(struct place *place, struct spl_blob bytes)
{
    g_autoptr(spl_geometry) outline = NULL;

    if (bytes.size == 0)
        return;
    outline = spl_geometry_new(SPL_GEOMETRY_POINT);
    if (spl_geometry_from_bytes(outline, bytes.data, bytes.size, NULL))
        g_ptr_array_add(place->outlines, g_steal_pointer(&outline));
    else
        place->unread = TRUE;
}

static void tell(const struct place *place, const struct telling *telling,
                 const struct spl_geometry *ground)
{
    const struct spl_site_spot spot = {
        .site_id = place->id, .ground = ground, .accuracy_m = place->accuracy_m};

    telling->each(&spot, telling->data);
}

/* Latitude and longitude are corrected each by itself: any may go with any. */
static void tell_place(const struct place *place, const struct telling *telling)
{
    if (place->id == 0)
        return;
    for (guint i = 0; i < place->lats->len; i++)
        for (guint k = 0; k < place->lons->len; k++) {
            spl_geometry_reset(place->corner, SPL_GEOMETRY_POINT);
            spl_geometry_begin(place->corner, FALSE);
            spl_geometry_append(place->corner, g_array_index(place->lons, double, k),
                                g_array_index(place->lats, double, i));
            tell(place, telling, place->corner);
        }
    for (guint i = 0; i < place->outlines->len; i++)
        tell(place, telling, g_ptr_array_index(place->outlines, i));
    if (place->unread)
        tell(place, telling, NULL);
}

/* Each row of a place with one of its corrections, by its field: a number, or the bytes of an
 * outline. */
#define SPOTS                                                                                      \
    "SELECT s.id, s.lat, s.lon, s.accuracy_m, s.outline, coalesce(a.field, ''),"                   \
    " CASE WHEN typeof(a.value) IN ('real', 'integer') THEN CAST(a.value AS REAL) END,"            \
    " CASE WHEN typeof(a.value) = 'blob' THEN a.value END"                                         \
    " FROM site s LEFT JOIN amendment a ON a.subject = s.uuid"                                     \
    " AND a.field IN ('lat', 'lon', 'accuracy_m', 'outline')"

gboolean spl_site_spots(struct spl_book *book, gint64 site_id,
                        void (*each)(const struct spl_site_spot *spot, gpointer data),
                        gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows =
        site_id != 0 ? spl_statement_open(book, error, SPOTS " WHERE s.id = ?", SPL_WITH(site_id))
                     : spl_statement_open(book, error, SPOTS " ORDER BY s.id", SPL_NONE);
    struct place place = {
        .lats = g_array_new(FALSE, FALSE, sizeof(double)),
        .lons = g_array_new(FALSE, FALSE, sizeof(double)),
        .outlines = g_ptr_array_new_with_free_func((GDestroyNotify)spl_geometry_free),
        .corner = spl_geometry_new(SPL_GEOMETRY_POINT),
    };
    const struct telling telling = {each, data};
    double lat, lon, accuracy_m, number;
    struct spl_blob outline, to_outline;
    GError *failed = NULL;
    const char *field;
    gint64 id;

    while (rows != NULL && spl_statement_next(rows, &failed,
                                              SPL_INTO(&id, &lat, &lon, &accuracy_m, &outline,
                                                       &field, &number, &to_outline))) {
        if (id != place.id) {
            tell_place(&place, &telling);
            begin_place(&place, id);
            add_number(place.lats, lat);
            add_number(place.lons, lon);
            add_accuracy(&place, accuracy_m);
            add_outline(&place, outline);
        }
        if (g_str_equal(field, "lat"))
            add_number(place.lats, number);
        else if (g_str_equal(field, "lon"))
            add_number(place.lons, number);
        else if (g_str_equal(field, "accuracy_m"))
            add_accuracy(&place, number);
        add_outline(&place, to_outline);
    }
    if (failed == NULL)
        tell_place(&place, &telling);
    g_array_unref(place.lats);
    g_array_unref(place.lons);
    g_ptr_array_unref(place.outlines);
    spl_geometry_free(place.corner);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
