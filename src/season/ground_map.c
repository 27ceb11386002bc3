/* SPDX-License-Identifier: MIT
 *
 * What lies near a site. The R*Tree gives the candidates, core the distances; a hazard further off
 * than its own method reaches is left out.
 */
#include "season/ground_map.h"

#include <math.h>
#include <string.h>

#include "book/hazard.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "season/readings.h"
#include "simpling/error.h"

struct method {
    struct spl_method figures; /* as this book uses them */
    struct spl_day changed;
    const char *why;
};

/* A place of the book that was sprayed: a hazard to its neighbours. */
struct sprayed {
    gint64 site_id;
    struct spl_site site;
    struct spl_spray_record word;
    const struct method *method;
    struct spl_geometry *ground;
    struct spl_box boxes[2];
    int n_boxes;
};

struct spl_ground_map {
    GArray *layers;             /* struct spl_hazard_layer */
    GHashTable *by_id;          /* id -> struct spl_hazard_layer */
    GArray *changes;            /* struct spl_method_line */
    GHashTable *methods;        /* slug -> struct method, filled as they are met */
    GArray *sprayed;            /* struct sprayed */
    double ask_m;               /* the furthest that any hazard asks */
    double accuracy_m;          /* the worst of any layer; NAN: doubtful */
    struct spl_geometry *shape; /* kept between distances */
    struct spl_geometry *point; /* the last site that is a point, and its ranger; kept too */
    struct spl_ranger *ranger;
    GArray *readings; /* of corrections that wait (season/readings.h) */
};

/* ---- methods ---- */

static const struct method *find_method(struct spl_ground_map *map, struct spl_house *house,
                                        const char *slug, GError **error)
{
    struct method *method = g_hash_table_lookup(map->methods, slug);
    const struct spl_tables *tables;
    const struct spl_method *row;

    if (method != NULL)
        return method;
    tables = spl_house_methods(house, error);
    if (tables == NULL)
        return NULL;
    row = spl_tables_method_by_slug(tables, slug);
    if (row == NULL) /* a method that the tables no longer know is taken for the unknown one */
        row = spl_tables_method_by_slug(tables, SPL_METHOD_UNKNOWN);
    if (row == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "hazards.csv: has neither '%s' nor '%s'; put the row back", slug,
                    SPL_METHOD_UNKNOWN);
        return NULL;
    }
    method = g_new(struct method, 1);
    *method = (struct method){.figures = *row, .changed = SPL_DAY_NONE};
    for (guint i = 0; i < map->changes->len; i++) {
        const struct spl_method_line *change =
            &g_array_index(map->changes, struct spl_method_line, i);

        if (strcmp(change->method, row->slug) == 0) {
            method->figures.closed_m = change->closed_m;
            method->figures.ask_m = change->ask_m;
            method->figures.hold_on_days = change->hold_on_days;
            method->figures.hold_near_days = change->hold_near_days;
            method->changed = change->changed;
            method->why = change->why;
        }
    }
    g_hash_table_insert(map->methods, g_strdup(slug), method);
    return method;
}

gboolean spl_ground_map_reach(struct spl_ground_map *map, struct spl_house *house,
                              const char *methods, double *ask_m, GError **error)
{
    g_auto(GStrv) slugs = g_strsplit(methods, ",", -1);

    *ask_m = 0;
    for (guint i = 0; slugs[i] != NULL; i++) {
        const struct method *method = find_method(map, house, slugs[i], error);

        if (method == NULL)
            return FALSE;
        *ask_m = fmax(*ask_m, fmax(method->figures.ask_m, method->figures.closed_m));
    }
    return TRUE;
}

/* The map looks as far as its furthest hazard asks and as its worst position may be off; once that
 * is not known, nothing that is known better narrows it. */
static void reach_out(struct spl_ground_map *map, double ask_m, double accuracy_m)
{
    map->ask_m = fmax(map->ask_m, ask_m);
    if (isnan(map->accuracy_m) || isnan(accuracy_m))
        map->accuracy_m = NAN;
    else
        map->accuracy_m = fmax(map->accuracy_m, accuracy_m);
}

/* ---- places that were sprayed ---- */

static void clear_sprayed(gpointer data)
{
    struct sprayed *one = data;

    spl_record_clear(&spl_site_shape, &one->site);
    spl_record_clear(&spl_spray_record_shape, &one->word);
    spl_geometry_free(one->ground);
}

/* What was said of one place. A place without a position, or one whose outline cannot be read, is
 * near nothing that could be reckoned; its own verdict says so. */
static gboolean add_sprayed(struct spl_ground_map *map, struct spl_house *house, gint64 site_id,
                            GError **error)
{
    struct spl_site site;
    GArray *words;
    gboolean ok = TRUE;

    if (!spl_site_named(house->book, site_id, &site, error))
        return FALSE;
    words = spl_spray_list(house->book, site_id, FALSE, error);
    for (guint i = 0; ok && words != NULL && i < words->len; i++) {
        const struct spl_spray_record *word = &g_array_index(words, struct spl_spray_record, i);
        struct sprayed one = {.site_id = site_id};

        if (word->kind != SPL_SPRAY_SPRAYED || site.damaged || site.gone || !isfinite(site.lat) ||
            !isfinite(site.lon))
            continue;
        one.method = find_method(map, house,
                                 word->method != NULL ? word->method : SPL_METHOD_UNKNOWN, error);
        ok = one.method != NULL;
        if (!ok || (one.ground = spl_site_ground(&site, NULL)) == NULL)
            continue;
        one.n_boxes = spl_geometry_boxes(one.ground, 0, one.boxes);
        spl_record_copy(&spl_site_shape, &site, &one.site);
        spl_record_copy(&spl_spray_record_shape, word, &one.word);
        g_array_append_val(map->sprayed, one);
        reach_out(map, fmax(one.method->figures.ask_m, one.method->figures.closed_m),
                  site.accuracy_m);
    }
    ok = ok && words != NULL;
    spl_list_free(&spl_spray_record_shape, words);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

static gboolean fill_sprayed(struct spl_ground_map *map, struct spl_house *house, GError **error)
{
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    gboolean ok = spl_spray_places(house->book, ids, error);

    map->sprayed = g_array_new(FALSE, FALSE, sizeof(struct sprayed));
    g_array_set_clear_func(map->sprayed, clear_sprayed);
    for (guint i = 0; ok && i < ids->len; i++)
        ok = add_sprayed(map, house, g_array_index(ids, gint64, i), error);
    return ok;
}

/* ---- the map ---- */

static void map_free(struct spl_ground_map *map)
{
    g_clear_pointer(&map->sprayed, g_array_unref);
    g_clear_pointer(&map->readings, g_array_unref);
    spl_list_free(&spl_hazard_layer_shape, map->layers);
    spl_list_free(&spl_method_line_shape, map->changes);
    if (map->by_id != NULL)
        g_hash_table_unref(map->by_id);
    if (map->methods != NULL)
        g_hash_table_unref(map->methods);
    spl_geometry_free(map->shape);
    spl_geometry_free(map->point);
    spl_ranger_free(map->ranger);
    g_free(map);
}

void spl_ground_map_forget(struct spl_house *house)
{
    g_clear_pointer(&house->map, map_free);
}

static gboolean fill(struct spl_ground_map *map, struct spl_house *house, GError **error)
{
    map->layers = spl_hazard_layers(house->book, error);
    if (map->layers == NULL)
        return FALSE;
    map->changes = spl_method_figures(house->book, error);
    if (map->changes == NULL)
        return FALSE;
    map->readings = spl_readings_load(house, error);
    if (map->readings == NULL)
        return FALSE;
    map->by_id = g_hash_table_new(g_int64_hash, g_int64_equal);
    map->methods = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    map->shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    map->point = spl_geometry_new_point(0, 0);
    map->ranger = spl_ranger_new(map->point);
    for (guint i = 0; i < map->layers->len; i++) {
        struct spl_hazard_layer *layer = &g_array_index(map->layers, struct spl_hazard_layer, i);
        double ask_m;

        g_hash_table_insert(map->by_id, &layer->id, layer);
        if (!spl_ground_map_reach(map, house, layer->methods, &ask_m, error))
            return FALSE;
        reach_out(map, ask_m, layer->accuracy_m);
    }
    return fill_sprayed(map, house, error);
}

struct spl_ground_map *spl_ground_map_of(struct spl_house *house, GError **error)
{
    struct spl_ground_map *map;

    if (house->map != NULL)
        return house->map;
    map = g_new0(struct spl_ground_map, 1);
    if (!fill(map, house, error)) {
        map_free(map);
        return NULL;
    }
    house->map = map;
    return map;
}

const GArray *spl_ground_map_readings(const struct spl_ground_map *map)
{
    return map->readings;
}

/* ---- near a site ---- */

struct spl_geometry *spl_site_ground(const struct spl_site *site, GError **error)
{
    if (site->outline_wkt != NULL)
        return spl_geometry_from_wkt(site->outline_wkt, site->name, error);
    return spl_geometry_new_point(site->lat, site->lon);
}

gboolean spl_site_outline_holds(const struct spl_site *site, double lat, double lon)
{
    g_autoptr(spl_geometry) ground = NULL, point = NULL;

    if (site->outline_wkt == NULL)
        return TRUE;
    ground = spl_site_ground(site, NULL);
    point = spl_geometry_new_point(lat, lon);
    return ground != NULL && spl_geometry_distance_m(point, ground) == 0;
}

struct search {
    struct spl_ground_map *map;
    struct spl_house *house;
    const struct spl_site *site;
    struct spl_ranger *ranger;
    double within_m;
    struct spl_ground_near *near;
};

/* Ground whose shape cannot be read: it may be here, so it is asked about. `words` say it where
 * what cannot be read is no layer; NULL where it is. */
static void add_damaged(struct spl_ground_near *near, const char *what, const char *words)
{
    struct spl_layer_near damaged = {
        .name = g_string_chunk_insert(near->texts, what),
        .words = words != NULL ? g_string_chunk_insert(near->texts, words) : NULL,
        .incomplete = TRUE,
        .unread = 1,
        .reach_m = 1,
        .imported = SPL_DAY_NONE};

    g_array_append_val(near->layers, damaged);
}

static gboolean take_hazard(const struct spl_hazard_row *row, gpointer data, GError **error)
{
    struct search *search = data;
    struct spl_ground_near *near = search->near;
    const struct spl_hazard_layer *layer = g_hash_table_lookup(search->map->by_id, &row->layer_id);
    const struct method *method = find_method(search->map, search->house, row->method, error);
    struct spl_hazard_near hazard;
    double reach_m;

    if (method == NULL)
        return FALSE;
    if (!spl_geometry_from_bytes(search->map->shape, row->shape, row->shape_size, NULL)) {
        add_damaged(near, layer != NULL ? layer->name : row->method, NULL);
        return TRUE;
    }
    hazard = (struct spl_hazard_near){
        .method = &method->figures,
        .method_changed = method->changed,
        .distance_m = spl_ranger_distance_m(search->ranger, search->map->shape),
        .uncertainty_m = layer != NULL ? layer->accuracy_m : NAN,
        .on = row->on,
        .layer = layer != NULL ? layer->name : NULL,
        .methods = layer != NULL ? layer->methods : NULL,
        .by_hand = layer != NULL && layer->checksum == NULL,
    };
    reach_m = search->within_m > 0
                  ? search->within_m
                  : spl_verdict_reach_m(fmax(method->figures.ask_m, method->figures.closed_m),
                                        search->site->accuracy_m, hazard.uncertainty_m);
    if (hazard.distance_m > reach_m)
        return TRUE;
    if (layer != NULL) {
        g_autofree char *evidence =
            g_strdup_printf("%s#%" G_GINT64_FORMAT, layer->uuid, row->record);

        hazard.evidence = g_string_chunk_insert(near->texts, evidence);
    }
    if (row->name != NULL)
        hazard.name = g_string_chunk_insert(near->texts, row->name);
    if (row->product != NULL)
        hazard.product = g_string_chunk_insert(near->texts, row->product);
    if (layer == NULL || layer->checksum == NULL)
        hazard.source = layer != NULL ? layer->source : NULL;
    else {
        char day[SPL_DAY_TEXT_SIZE];
        g_autofree char *source =
            g_strdup_printf("layer '%s' record %" G_GINT64_FORMAT ", imported %s", layer->name,
                            row->record, spl_day_format(layer->imported, day));

        hazard.source = g_string_chunk_insert(near->texts, source);
    }
    g_array_append_val(near->hazards, hazard);
    g_array_append_val(near->records, row->record);
    return TRUE;
}

/* The neighbours' own words that they were sprayed. */
static void take_sprayed(struct search *search, const struct spl_box *boxes, int n)
{
    for (guint i = 0; i < search->map->sprayed->len; i++) {
        const struct sprayed *one = &g_array_index(search->map->sprayed, struct sprayed, i);
        struct spl_hazard_near hazard = {.method = &one->method->figures,
                                         .method_changed = one->method->changed,
                                         .uncertainty_m = one->site.accuracy_m,
                                         .on = one->word.on,
                                         .name = one->site.name,
                                         .product = one->word.product,
                                         .source = one->word.source,
                                         .evidence = one->word.uuid,
                                         .note = one->word.code};
        const gint64 record = 0;
        gboolean meets = FALSE;

        if (one->site_id == search->site->id)
            continue;
        for (int k = 0; k < n; k++)
            for (int m = 0; m < one->n_boxes; m++)
                meets |= spl_boxes_meet(&boxes[k], &one->boxes[m]);
        if (!meets)
            continue;
        hazard.distance_m = spl_ranger_distance_m(search->ranger, one->ground);
        if (hazard.distance_m >
            (search->within_m > 0
                 ? search->within_m
                 : spl_verdict_reach_m(fmax(hazard.method->ask_m, hazard.method->closed_m),
                                       search->site->accuracy_m, hazard.uncertainty_m)))
            continue;
        g_array_append_val(search->near->hazards, hazard);
        g_array_append_val(search->near->records, record);
    }
}

/* Layers that are not to be relied on and reach to here. */
static gboolean take_layers(struct search *search, const struct spl_geometry *ground,
                            GError **error)
{
    const struct spl_site *site = search->site;

    for (guint i = 0; i < search->map->layers->len; i++) {
        const struct spl_hazard_layer *layer =
            &g_array_index(search->map->layers, struct spl_hazard_layer, i);
        const struct spl_box bounds = {layer->min_lon, layer->min_lat, layer->max_lon,
                                       layer->max_lat};
        struct spl_layer_near near = {
            .name = layer->name,
            .incomplete = layer->unread > 0,
            .unread = (int)MIN(layer->unread, G_MAXINT),
            .doubtful = isnan(layer->accuracy_m),
            .imported = layer->imported,
            .source = layer->source,
            .methods = layer->methods,
            .evidence = layer->uuid,
        };
        struct spl_position here = {site->lon, site->lat}, edge;
        struct spl_box boxes[2];
        gboolean meets = FALSE;
        int n;

        if (!near.incomplete && !near.doubtful)
            continue;
        if (!spl_ground_map_reach(search->map, search->house, layer->methods, &near.reach_m, error))
            return FALSE;
        n = spl_geometry_boxes(
            ground, spl_verdict_reach_m(near.reach_m, site->accuracy_m, layer->accuracy_m), boxes);
        for (int k = 0; k < n; k++)
            meets |= spl_boxes_meet(&boxes[k], &bounds);
        if (!meets)
            continue;
        edge = (struct spl_position){CLAMP(here.lon, bounds.min_lon, bounds.max_lon),
                                     CLAMP(here.lat, bounds.min_lat, bounds.max_lat)};
        n = spl_geometry_boxes(ground, 0, boxes);
        for (int k = 0; k < n; k++)
            if (spl_boxes_meet(&boxes[k], &bounds))
                edge = here; /* some of the ground lies within */
        near.distance_m = spl_geodesic_inverse(here, edge, NULL, NULL);
        g_array_append_val(search->near->layers, near);
    }
    return TRUE;
}

/* A layer speaks of a place that lies so near to it. */
#define HERE_M 2000.0
/* The ways of hazards.csv that are roads. */
static const char *const roads[] = {"lane", "road", "motorway", "city-street", NULL};

char *spl_ground_map_words(const struct spl_ground_map *map, const struct spl_site *site)
{
    g_autoptr(spl_geometry) point = NULL;
    struct spl_box boxes[2];
    guint layers = 0, by_hand = 0;
    gboolean has_roads = FALSE;
    GString *words = g_string_new(NULL);
    int n = 0;

    if (isfinite(site->lat) && isfinite(site->lon)) {
        point = spl_geometry_new_point(site->lat, site->lon);
        n = spl_geometry_boxes(point, HERE_M, boxes);
    }
    for (guint i = 0; i < map->layers->len; i++) {
        const struct spl_hazard_layer *layer =
            &g_array_index(map->layers, struct spl_hazard_layer, i);
        const struct spl_box bounds = {layer->min_lon, layer->min_lat, layer->max_lon,
                                       layer->max_lat};
        g_auto(GStrv) methods = g_strsplit(layer->methods, ",", -1);
        gboolean meets = FALSE;

        for (int k = 0; k < n; k++)
            meets |= spl_boxes_meet(&boxes[k], &bounds);
        if (!meets)
            continue;
        layers += layer->checksum != NULL;
        by_hand += layer->checksum == NULL;
        for (guint k = 0; methods[k] != NULL; k++)
            has_roads |= g_strv_contains(roads, methods[k]);
    }
    if (layers > 0 || by_hand == 0)
        g_string_append_printf(words, "%u layer%s", layers, layers == 1 ? "" : "s");
    if (by_hand > 0)
        g_string_append_printf(words, "%s%u hazard%s set by hand", words->len > 0 ? ", " : "",
                               by_hand, by_hand == 1 ? "" : "s");
    g_string_append(words, has_roads ? "; roads among them" : "; no roads known here");
    return g_string_free(words, FALSE);
}

static void move_point(struct spl_ground_map *map, const struct spl_site *site)
{
    const struct spl_position here = {site->lon, site->lat};

    spl_geometry_reset(map->point, SPL_GEOMETRY_POINT);
    spl_geometry_begin(map->point, FALSE);
    spl_geometry_append(map->point, here.lon, here.lat);
    spl_ranger_set_point(map->ranger, here);
}

gboolean spl_ground_map_near(struct spl_ground_map *map, struct spl_house *house,
                             const struct spl_site *site, double within_m,
                             struct spl_ground_near *near, GError **error)
{
    struct search search = {
        .map = map, .house = house, .site = site, .within_m = within_m, .near = near};
    g_autoptr(spl_geometry) outline = NULL;
    const struct spl_geometry *ground = map->point;
    struct spl_box boxes[2];
    double margin_m;
    gboolean ok;
    int n;

    *near = (struct spl_ground_near){
        .hazards = g_array_new(FALSE, TRUE, sizeof(struct spl_hazard_near)),
        .records = g_array_new(FALSE, TRUE, sizeof(gint64)),
        .layers = g_array_new(FALSE, TRUE, sizeof(struct spl_layer_near)),
        .texts = g_string_chunk_new(256),
    };
    if (site->damaged) {
        g_autofree char *words = g_strdup_printf("the outline of %s cannot be read", site->name);

        add_damaged(near, site->name, words);
    }
    if (site->gone) {
        g_autofree char *words = g_strdup_printf("%s is gone from the book", site->name);

        add_damaged(near, site->name, words);
    }
    if ((map->layers->len == 0 && map->sprayed->len == 0) || !isfinite(site->lat) ||
        !isfinite(site->lon))
        return TRUE;
    if (site->outline_wkt == NULL)
        move_point(map, site);
    else if ((ground = outline = spl_site_ground(site, error)) == NULL) {
        spl_ground_near_clear(near);
        return FALSE;
    }
    margin_m = within_m > 0 ? within_m
                            : spl_verdict_reach_m(map->ask_m, site->accuracy_m, map->accuracy_m);
    n = spl_geometry_boxes(ground, margin_m, boxes);
    search.ranger = outline != NULL ? spl_ranger_new(outline) : map->ranger;
    ok = spl_hazard_near(house->book, boxes, n, take_hazard, &search, error) &&
         take_layers(&search, ground, error);
    if (ok)
        take_sprayed(&search, boxes, n);
    if (outline != NULL)
        spl_ranger_free(search.ranger);
    if (!ok)
        spl_ground_near_clear(near);
    return ok;
}

void spl_ground_near_clear(struct spl_ground_near *near)
{
    g_clear_pointer(&near->hazards, g_array_unref);
    g_clear_pointer(&near->records, g_array_unref);
    g_clear_pointer(&near->layers, g_array_unref);
    g_clear_pointer(&near->texts, g_string_chunk_free);
}

GArray *spl_ground_map_methods(struct spl_ground_map *map, struct spl_house *house, GError **error)
{
    const struct spl_tables *tables = spl_house_methods(house, error);
    const GPtrArray *rows; /* the tables' own */
    GArray *lines;

    if (tables == NULL)
        return NULL;
    rows = spl_tables_methods(tables);
    lines = spl_list_new(&spl_method_line_shape);
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_method *row = g_ptr_array_index(rows, i);
        const struct method *method = find_method(map, house, row->slug, error);
        struct spl_method_line line;

        if (method == NULL) {
            spl_list_free(&spl_method_line_shape, lines);
            return NULL;
        }
        line = (struct spl_method_line){
            .method = g_strdup(row->slug),
            .name = g_strdup(row->name),
            .lasting = row->lasting,
            .closed_m = method->figures.closed_m,
            .ask_m = method->figures.ask_m,
            .hold_on_days = method->figures.hold_on_days,
            .hold_near_days = method->figures.hold_near_days,
            .source = g_strdup(row->source),
            .changed = method->changed,
            .why = g_strdup(method->why),
        };
        g_array_append_val(lines, line);
    }
    return lines;
}
