/* SPDX-License-Identifier: MIT
 *
 * The places and the ground to keep off of an exported book, for any map program.
 */
#include <math.h>

#include "book/hazard.h"
#include "book/site.h"
#include "exchange/geojson.h"
#include "season/carry_private.h"
#include "season/ground_map.h"

static gboolean put_site(const struct spl_site *site, gpointer data, GError **error)
{
    g_autoptr(spl_geometry) ground = spl_site_ground(site, error);
    const struct spl_geojson_property properties[] = {
        {.name = "name", .text = site->name},
        {.name = "uuid", .text = site->uuid},
        {.name = "lat", SPL_GEOJSON_NUMBER, .number = site->lat},
        {.name = "lon", SPL_GEOJSON_NUMBER, .number = site->lon},
        {.name = "elevation_m", SPL_GEOJSON_NUMBER, .number = site->elevation_m},
        {.name = "accuracy_m", SPL_GEOJSON_NUMBER, .number = site->accuracy_m},
        {.name = "own", SPL_GEOJSON_WHOLE, .whole = site->own},
        {.name = "contaminated", .text = site->contaminated},
        {.name = "contaminated_on", SPL_GEOJSON_DAY, .day = site->contaminated_on},
        {.name = "remark", .text = site->remark},
    };

    return ground != NULL &&
           spl_geojson_writer_put(data, ground, properties, G_N_ELEMENTS(properties), error);
}

struct hazards {
    struct spl_geojson_writer *writer;
    GArray *layers; /* struct spl_hazard_layer */
    struct spl_geometry *shape;
};

static gboolean put_hazard(const struct spl_hazard_row *row, gpointer data, GError **error)
{
    struct hazards *hazards = data;
    struct spl_hazard_layer none = {.accuracy_m = NAN};
    const struct spl_hazard_layer *layer = &none;

    for (guint i = 0; i < hazards->layers->len; i++) {
        if (g_array_index(hazards->layers, struct spl_hazard_layer, i).id == row->layer_id)
            layer = &g_array_index(hazards->layers, struct spl_hazard_layer, i);
    }
    const struct spl_geojson_property properties[] = {
        {.name = "layer", .text = layer->name},
        {.name = "record", SPL_GEOJSON_WHOLE, .whole = row->record},
        {.name = "name", .text = row->name},
        {.name = "method", .text = row->method},
        {.name = "product", .text = row->product},
        {.name = "date", SPL_GEOJSON_DAY, .day = row->on},
        {.name = "accuracy_m", SPL_GEOJSON_NUMBER, .number = layer->accuracy_m},
        {.name = "source", .text = layer->source},
    };

    /* The table has its bytes; a map cannot show them, and the other hazards come all the same. */
    if (!spl_geometry_from_bytes(hazards->shape, row->shape, row->shape_size, NULL))
        return TRUE;
    return spl_geojson_writer_put(hazards->writer, hazards->shape, properties,
                                  G_N_ELEMENTS(properties), error);
}

static struct spl_geojson_writer *open_map(const char *folder, const char *name, GError **error)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);

    return spl_geojson_writer_open(path, error);
}

static gboolean write_hazards(struct spl_house *house, const char *folder, GError **error)
{
    g_autoptr(spl_geojson_writer) writer = open_map(folder, SPL_CARRY_HAZARDS, error);
    g_autoptr(spl_geometry) shape = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct hazards hazards = {writer, NULL, shape};
    gboolean ok;

    if (writer == NULL || (hazards.layers = spl_hazard_layers(house->book, error)) == NULL)
        return FALSE;
    ok = spl_hazard_each(house->book, put_hazard, &hazards, error) &&
         spl_geojson_writer_commit(writer, error);
    spl_list_free(&spl_hazard_layer_shape, hazards.layers);
    return ok;
}

gboolean spl_carry_maps(struct spl_house *house, const char *folder, GError **error)
{
    g_autoptr(spl_geojson_writer) writer = open_map(folder, SPL_CARRY_SITES, error);

    return writer != NULL && spl_site_each(house->book, put_site, writer, error) &&
           spl_geojson_writer_commit(writer, error) && write_hazards(house, folder, error);
}
