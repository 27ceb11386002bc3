/* SPDX-License-Identifier: MIT
 *
 * The estate map out of the book. See simpling/picture.h.
 */
#include <math.h>

#include "book/site.h"
#include "core/geometry.h"
#include "picture/estate_map.h"
#include "season/album.h"
#include "season/album_places.h"
#include "season/ground.h"

struct gathering {
    struct spl_album *album;
    const struct spl_places_known *known;
    struct spl_day on;
    GArray *sites; /* of struct spl_estate_map_site */
};

/* The first ring of the site's ground as lat, lon by turns. */
static gboolean fill_outline(struct gathering *gathering, const struct spl_site *site,
                             struct spl_estate_map_site *drawn, GError **error)
{
    g_autoptr(spl_geometry) ground = NULL;
    const struct spl_path *ring;
    GArray *outline;

    if (site->outline_wkt == NULL)
        return TRUE;
    ground = spl_geometry_from_wkt(site->outline_wkt, site->name, error);
    if (ground == NULL)
        return FALSE;
    if (ground->kind != SPL_GEOMETRY_POLYGON)
        return TRUE;
    ring = spl_geometry_path(ground, 0);
    outline = spl_album_array(gathering->album, sizeof(double));
    for (guint i = 0; i + 1 < ring->count; i++) { /* the last is the first again */
        const struct spl_position *p = &spl_geometry_points(ground)[ring->first + i];

        g_array_append_val(outline, p->lat);
        g_array_append_val(outline, p->lon);
    }
    drawn->outline = (const double *)(void *)outline->data;
    drawn->n_outline = outline->len / 2;
    return TRUE;
}

static const char *stands_of(struct gathering *gathering, const char *site)
{
    const GPtrArray *slugs = spl_places_known_materials(gathering->known, site);
    g_autoptr(GPtrArray) words = g_ptr_array_new();

    if (slugs == NULL)
        return NULL;
    for (guint i = 0; i < slugs->len; i++)
        g_ptr_array_add(
            words, (gpointer)spl_album_material(gathering->album, g_ptr_array_index(slugs, i)));
    g_ptr_array_add(words, NULL);
    return spl_album_take(gathering->album, g_strjoinv(", ", (char **)words->pdata));
}

static gboolean take_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    struct spl_verdict_result result;
    struct spl_estate_map_site drawn = {
        .name = spl_album_text(album, site->name),
        .lat = site->lat,
        .lon = site->lon,
        .stands = stands_of(gathering, site->name),
        .hazard_m = NAN,
        .hazard_lat = NAN,
        .hazard_lon = NAN,
    };

    if (!spl_ground_judge(album->house, site, gathering->on, NULL, &result, error))
        return FALSE;
    drawn.verdict = spl_album_text(album, spl_verdict_name(result.verdict));
    drawn.reason = spl_album_take(album, spl_ground_worst(&result));
    for (guint i = 0; i < result.reasons->len; i++) {
        double far = g_array_index(result.reasons, struct spl_reason, i).distance_m;

        if (!isnan(far) && !(drawn.hazard_m <= far))
            drawn.hazard_m = far;
    }
    spl_verdict_result_clear(&result);
    if (!fill_outline(gathering, site, &drawn, error))
        return FALSE;
    g_array_append_val(gathering->sites, drawn);
    return TRUE;
}

static int by_name(gconstpointer a, gconstpointer b)
{
    const struct spl_estate_map_site *one = a, *two = b;

    return g_strcmp0(one->name, two->name);
}

static gboolean draw(struct spl_album *album, struct spl_day on, struct spl_picture *picture,
                     GError **error)
{
    static const char *const notes[] = {
        "Where nothing is drawn, nothing is known; that is not the same as clean."};
    g_autoptr(spl_places_known) known = spl_places_known_new(album->house, error);
    struct gathering gathering = {.album = album, .known = known, .on = on};
    struct spl_page_report report = {0};
    struct spl_estate_map map = {
        .today = on, .home_lat = NAN, .home_lon = NAN, .notes = notes, .n_notes = 1};

    if (known == NULL)
        return FALSE;
    gathering.sites = spl_album_array(album, sizeof(struct spl_estate_map_site));
    if (!spl_site_each(album->house->book, take_site, &gathering, error))
        return FALSE;
    g_array_sort(gathering.sites, by_name);
    spl_house_setting_place(album->house, &map.home_lat, &map.home_lon);
    map.sites = (const struct spl_estate_map_site *)(void *)gathering.sites->data;
    map.n_sites = gathering.sites->len;
    return spl_album_write(album, spl_estate_map_draw(&map, &album->options, &report, error),
                           &report, "the gathering grounds", picture, error);
}

gboolean spl_picture_draw_map(struct spl_house *house, struct spl_day on,
                              const struct spl_picture_words *words, struct spl_picture *picture,
                              GError **error)
{
    struct spl_album album;
    gboolean ok;

    if (!spl_album_open(&album, house, words, error))
        return FALSE;
    ok = draw(&album, on, picture, error);
    spl_album_close(&album);
    return ok;
}
