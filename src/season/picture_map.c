/* SPDX-License-Identifier: MIT
 *
 * The estate map out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "book/hazard.h"
#include "book/site.h"
#include "core/geometry.h"
#include "picture/estate_map.h"
#include "picture/words.h"
#include "season/album.h"
#include "season/album_places.h"
#include "season/ground.h"
#include "season/ground_map.h"

#define FAR_M 3500.0 /* what lies farther from all places is not drawn: farther than any ask_m */

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

static int by_text(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* "Dandelion flower, leaf and root and nettle leaf". */
static const char *stands_of(struct gathering *gathering, const char *site)
{
    const GPtrArray *slugs = spl_places_known_materials(gathering->known, site);
    g_autoptr(GPtrArray) sorted = g_ptr_array_new();
    g_autofree char *joined = NULL;

    if (slugs == NULL)
        return NULL;
    for (guint i = 0; i < slugs->len; i++)
        g_ptr_array_add(sorted, g_ptr_array_index(slugs, i));
    g_ptr_array_sort(sorted, by_text); /* the parts of a plant beside each other */
    g_ptr_array_add(sorted, NULL);
    joined = g_strjoinv(", ", (char **)sorted->pdata);
    return spl_album_materials(gathering->album, joined);
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
    drawn.verdict = result.verdict;
    drawn.reason = spl_album_take(album, spl_ground_why(&result));
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

/* ---- contaminated ground ---- */

struct mapping {
    struct spl_album *album;
    GArray *methods; /* of struct spl_method_line */
    GArray *hazards; /* of struct spl_estate_map_hazard */
    struct spl_day on;
    struct spl_geometry *shape;
};

static const struct spl_method_line *method_of(const struct mapping *mapping, const char *slug)
{
    const struct spl_method_line *unknown = NULL;

    for (guint i = 0; i < mapping->methods->len; i++) {
        const struct spl_method_line *line =
            &g_array_index(mapping->methods, struct spl_method_line, i);

        if (g_strcmp0(line->method, slug) == 0)
            return line;
        if (g_strcmp0(line->method, SPL_METHOD_UNKNOWN) == 0)
            unknown = line;
    }
    return unknown;
}

/* "the orchard, 3 May 2027" for what has a name or a day of its own. */
static const char *name_of(struct mapping *mapping, const struct spl_hazard_row *row)
{
    g_autofree char *day = spl_day_words(row->on);
    const char *bits[] = {row->name, *day != '\0' ? day : NULL};
    g_autofree char *words = spl_words_join(", ", bits, 2);

    return *words != '\0' ? spl_album_text(mapping->album, words) : NULL;
}

static gboolean take_hazard(const struct spl_hazard_row *row, gpointer data, GError **error)
{
    struct mapping *mapping = data;
    const struct spl_method_line *method = method_of(mapping, row->method);
    struct spl_estate_map_hazard drawn = {.name = name_of(mapping, row)};
    GArray *points, *rings;

    (void)error;
    /* The verdicts beside the places say that something there cannot be read. */
    if (!spl_geometry_from_bytes(mapping->shape, row->shape, row->shape_size, NULL))
        return TRUE;
    drawn.kind = spl_album_text(mapping->album, method != NULL ? method->name : row->method);
    drawn.closed_m = method != NULL ? method->closed_m : 0.0;
    drawn.ask_m = method != NULL ? MAX(method->ask_m, method->closed_m) : 0.0;
    /* A spraying older than the hold on the site drops out of every verdict. */
    if (method != NULL && !method->lasting && spl_day_is_set(row->on) &&
        spl_day_diff(mapping->on, row->on) > method->hold_on_days)
        return TRUE;
    drawn.shape = mapping->shape->kind == SPL_GEOMETRY_POLYGON ? SPL_MAP_POLYGON
                  : mapping->shape->kind == SPL_GEOMETRY_LINE  ? SPL_MAP_LINE
                                                               : SPL_MAP_POINT;
    points = g_array_sized_new(FALSE, FALSE, sizeof(double), 2 * mapping->shape->points->len);
    rings = g_array_sized_new(FALSE, FALSE, sizeof(gsize), mapping->shape->paths->len);
    g_ptr_array_add(mapping->album->arrays, points);
    g_ptr_array_add(mapping->album->arrays, rings);
    for (guint r = 0; r < mapping->shape->paths->len; r++) {
        const struct spl_path *path = spl_geometry_path(mapping->shape, r);
        /* Rings come closed; the map closes them itself. */
        gsize n = path->count - (drawn.shape == SPL_MAP_POLYGON ? 1 : 0);

        for (gsize i = 0; i < n; i++) {
            const struct spl_position *p = &spl_geometry_points(mapping->shape)[path->first + i];

            g_array_append_val(points, p->lat);
            g_array_append_val(points, p->lon);
        }
        g_array_append_val(rings, n);
    }
    drawn.points = (const double *)(void *)points->data;
    drawn.n_points = points->len / 2;
    drawn.rings = (const gsize *)(void *)rings->data;
    drawn.n_rings = rings->len;
    g_array_append_val(mapping->hazards, drawn);
    return TRUE;
}

/* All that lies within reach of the places and home. */
static gboolean take_hazards(struct gathering *gathering, const struct spl_estate_map *map,
                             GArray *hazards, GError **error)
{
    struct spl_house *house = gathering->album->house;
    struct spl_ground_map *ground = spl_ground_map_of(house, error);
    g_autoptr(spl_geometry) places = spl_geometry_new(SPL_GEOMETRY_POINT);
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct mapping mapping = {
        .album = gathering->album, .hazards = hazards, .on = gathering->on, .shape = shape};
    struct spl_box boxes[2];
    gboolean ok;
    int n;

    if (ground == NULL)
        return FALSE;
    spl_geometry_begin(places, FALSE);
    for (gsize i = 0; i < map->n_sites; i++)
        spl_geometry_append(places, map->sites[i].lon, map->sites[i].lat);
    if (!isnan(map->home_lat))
        spl_geometry_append(places, map->home_lon, map->home_lat);
    if (spl_geometry_n_points(places) == 0)
        return TRUE;
    mapping.methods = spl_ground_map_methods(ground, house, error);
    if (mapping.methods == NULL)
        return FALSE;
    n = spl_geometry_boxes(places, FAR_M, boxes);
    ok = spl_hazard_near(house->book, boxes, n, take_hazard, &mapping, error);
    spl_list_free(&spl_method_line_shape, mapping.methods);
    return ok;
}

static int by_name(gconstpointer a, gconstpointer b)
{
    const struct spl_estate_map_site *one = a, *two = b;

    return g_strcmp0(one->name, two->name);
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    struct spl_day on = ((const struct spl_picture_map_words *)words)->on;
    static const char *const notes[] = {
        "Where nothing is drawn, nothing is known; that is not the same as clean."};
    g_autoptr(spl_places_known) known = spl_places_known_new(album->house, error);
    struct gathering gathering = {.album = album, .known = known, .on = on};
    struct spl_page_report report = {0};
    struct spl_estate_map map = {
        .today = on, .home_lat = NAN, .home_lon = NAN, .notes = notes, .n_notes = 1};
    GArray *hazards;

    if (known == NULL)
        return FALSE;
    album->shows_places = TRUE;
    gathering.sites = spl_album_array(album, sizeof(struct spl_estate_map_site));
    if (!spl_site_each(album->house->book, take_site, &gathering, error))
        return FALSE;
    g_array_sort(gathering.sites, by_name);
    spl_house_setting_place(album->house, &map.home_lat, &map.home_lon);
    map.sites = (const struct spl_estate_map_site *)(void *)gathering.sites->data;
    map.n_sites = gathering.sites->len;
    hazards = spl_album_array(album, sizeof(struct spl_estate_map_hazard));
    if (!take_hazards(&gathering, &map, hazards, error))
        return FALSE;
    map.hazards = (const struct spl_estate_map_hazard *)(void *)hazards->data;
    map.n_hazards = hazards->len;
    return spl_album_write(album, spl_estate_map_draw(&map, &album->options, &report, error),
                           &report, "the gathering grounds", picture, error);
}

gboolean spl_picture_draw_map(struct spl_house *house, const struct spl_picture_map_words *said,
                              struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_map_inputs, said, draw, picture, error);
}

/* ---- where to touch it ---- */

static const struct spl_field spot_fields[] = {
    SPL_FIELD(spl_map_spot, site, SPL_TEXT, "site", "site"),
    SPL_FIELD_NUM(spl_map_spot, x, 4, "x", "x"),
    SPL_FIELD_NUM(spl_map_spot, y, 4, "y", "y"),
};
const struct spl_shape spl_map_spot_shape = SPL_SHAPE("map_spot", spl_map_spot, spot_fields);

/* A place without its verdict, which moves nothing on the map. */
static gboolean take_position(const struct spl_site *site, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_estate_map_site drawn = {
        .name = spl_album_text(gathering->album, site->name), .lat = site->lat, .lon = site->lon};

    if (!fill_outline(gathering, site, &drawn, error))
        return FALSE;
    g_array_append_val(gathering->sites, drawn);
    return TRUE;
}

static void take_spot(const struct spl_estate_map_site *site, double x, double y, gpointer data)
{
    const struct spl_map_spot spot = {g_strdup(site->name), x, y};

    g_array_append_val((GArray *)data, spot);
}

GArray *spl_picture_map_spots(struct spl_house *house, double *page, GError **error)
{
    g_autoptr(GPtrArray) arrays = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    struct spl_album album = {.house = house, .texts = g_string_chunk_new(1024), .arrays = arrays};
    struct gathering gathering = {.album = &album, .on = spl_house_today(house)};
    struct spl_estate_map map = {.today = gathering.on, .home_lat = NAN, .home_lon = NAN};
    GArray *spots = spl_list_new(&spl_map_spot_shape);
    double width, height;
    gboolean ok;

    gathering.sites = spl_album_array(&album, sizeof(struct spl_estate_map_site));
    ok = spl_site_each(house->book, take_position, &gathering, error);
    if (ok) {
        g_array_sort(gathering.sites, by_name);
        spl_house_setting_place(house, &map.home_lat, &map.home_lon);
        map.sites = (const struct spl_estate_map_site *)(void *)gathering.sites->data;
        map.n_sites = gathering.sites->len;
        ok = spl_estate_map_spots(&map, &album.options, take_spot, spots, error);
    }
    g_string_chunk_free(album.texts);
    if (!ok) {
        spl_list_free(&spl_map_spot_shape, spots);
        return NULL;
    }
    spl_page_paper_size(album.options.paper, &height, &width);
    *page = width / height;
    return spots;
}
