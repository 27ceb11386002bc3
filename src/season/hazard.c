/* SPDX-License-Identifier: MIT
 *
 * Fouled ground added by hand, listed, dropped; the figures of methods. See simpling/hazard.h.
 */
#include "simpling/hazard.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/code.h"
#include "book/hazard.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/touched.h"
#include "season/whereabouts.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/record/site.h"

#define ACCURACY_M 10.0 /* of ground pointed out by hand, when nobody says */
#define RADIUS_MAX_M 100000.0
#define WKT_MAX 1000000 /* bytes */
#define FIGURE_MAX_M 10000
#define HOLD_MAX_DAYS 36500

/* Inputs ----------------------------------------------------------------------------------------
 */

static const struct spl_input corner_rows[] = {
    SPL_INPUT(spl_hazard_corner, at, COORDINATES, "at", "a place of the line", .needed = 1),
};
static const struct spl_inputs corner_inputs =
    SPL_INPUTS("hazard_corner", spl_hazard_corner, corner_rows);

static const struct spl_input hazard_rows[] = {
    SPL_INPUT(spl_hazard_words, name, NAME, "name", "what you call it", .needed = 1),
    SPL_INPUT(spl_hazard_words, method, METHOD, "method",
              "how it is contaminated, one of the methods", .needed = 1),
    SPL_INPUT(spl_hazard_words, at, COORDINATES, "at", "where it is"),
    SPL_INPUT(spl_hazard_words, radius_m, LENGTH, "radius", "how far it reaches from there",
              .bare = 1, .max = RADIUS_MAX_M),
    SPL_INPUT(spl_hazard_words, wkt, TEXT, "wkt",
              "its shape, POLYGON((lon lat, …)) or LINESTRING(…)", .max = WKT_MAX),
    SPL_INPUT(spl_hazard_words, along, LIST, "along", "a place of a line, one after the other",
              .item = &corner_inputs),
    SPL_INPUT(spl_hazard_words, on, DAY, "on", "the day of the spraying (default not known)"),
    SPL_INPUT(spl_hazard_words, product, NAME, "product", "what was sprayed"),
    SPL_INPUT(spl_hazard_words, source, NAME, "source", "who said so, or what was seen",
              .value = "TEXT"),
    SPL_INPUT(spl_hazard_words, accuracy_m, LENGTH, "accuracy",
              "how far its place may be off (default 10)", .bare = 1, .max = 100000),
};
static const struct spl_rule hazard_rules[] = {
    {SPL_RULE_ONE, {"at", "wkt", "along"}},
    {SPL_RULE_WITH, {"radius", "at"}},
};

static gboolean check_hazard(const void *record, GError **error)
{
    const struct spl_hazard_words *words = record;

    if (spl_code_is_shaped(words->name))
        spl_error_set_input(error, SPL_ERROR_INVALID, "name",
                            "'%s': a hazard's name may not look like a code; choose a name in "
                            "words",
                            words->name);
    else if (words->along != NULL && words->along->len == 1)
        spl_error_set_input(error, SPL_ERROR_USAGE, "along",
                            "a line needs two places or more; say them one after the other");
    else
        return TRUE;
    return FALSE;
}
const struct spl_inputs spl_hazard_inputs = SPL_INPUTS(
    "hazard", spl_hazard_words, hazard_rows, SPL_RULES(hazard_rules), .check = check_hazard);

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_hazard_pick, name, NAME, "name", "the layer or the hazard", .needed = 1),
};
const struct spl_inputs spl_hazard_pick_inputs =
    SPL_INPUTS("hazard_pick", spl_hazard_pick, pick_rows);

static const struct spl_input near_rows[] = {
    SPL_INPUT(spl_hazard_near_question, site, SITE, "site", "the place", .needed = 1),
    SPL_INPUT(spl_hazard_near_question, within_m, LENGTH, "near", "within so many metres",
              .bare = 1, .needed = 1, .min = 1, .max = 100000),
};
const struct spl_inputs spl_hazard_near_inputs =
    SPL_INPUTS("hazard_near", spl_hazard_near_question, near_rows);

static const struct spl_input method_rows[] = {
    SPL_INPUT(spl_method_words, method, METHOD, "method", "the one to change", .needed = 1),
    SPL_INPUT(spl_method_words, closed_m, LENGTH, "closed", "nearer than this is closed", .bare = 1,
              .max = FIGURE_MAX_M),
    SPL_INPUT(spl_method_words, ask_m, LENGTH, "ask", "nearer than this is to be asked about",
              .bare = 1, .max = FIGURE_MAX_M),
    SPL_INPUT(spl_method_words, hold_on_days, COUNT, "hold_on",
              "closed for so long after a spraying of the site", .value = "DAYS",
              .max = HOLD_MAX_DAYS),
    SPL_INPUT(spl_method_words, hold_near_days, COUNT, "hold_near",
              "closed for so long after a spraying beside it", .value = "DAYS",
              .max = HOLD_MAX_DAYS),
    SPL_INPUT(spl_method_words, why, NAME, "why", "the reason; it is kept with the change",
              .value = "TEXT", .needed = 1),
    SPL_INPUT(spl_method_words, by, NAME, "by", "who decided", .value = "WHO", .setting = "who"),
};
static const struct spl_rule method_rules[] = {
    {SPL_RULE_SOME, {"closed", "ask", "hold_on", "hold_near"}}};
const struct spl_inputs spl_method_inputs =
    SPL_INPUTS("hazard_method", spl_method_words, method_rows, SPL_RULES(method_rules));

/* ---- by hand ---- */

static struct spl_geometry *line_along(const GArray *along, GError **error)
{
    g_autoptr(spl_geometry) line = spl_geometry_new(SPL_GEOMETRY_LINE);

    spl_geometry_begin(line, FALSE);
    for (guint i = 0; i < along->len; i++) {
        struct spl_coordinates at = g_array_index(along, struct spl_hazard_corner, i).at;

        spl_geometry_append(line, at.lon, at.lat);
    }
    if (!spl_geometry_check(line, "along", error) ||
        !spl_geometry_split_edges(line, "along", error)) {
        spl_error_about(error, "along");
        return NULL;
    }
    return g_steal_pointer(&line);
}

static struct spl_geometry *shape_of(const struct spl_hazard_words *words, GError **error)
{
    g_autoptr(spl_geometry) shape = NULL;

    if (words->along != NULL)
        return line_along(words->along, error);
    if (words->wkt == NULL)
        return words->radius_m > 0
                   ? spl_geometry_circle((struct spl_position){words->at.lon, words->at.lat},
                                         words->radius_m)
                   : spl_geometry_new_point(words->at.lat, words->at.lon);
    shape = spl_geometry_from_wkt(words->wkt, "wkt", error);
    if (shape == NULL || !spl_geometry_check_rings(shape, "wkt", error)) {
        spl_error_about(error, "wkt");
        return NULL;
    }
    return g_steal_pointer(&shape);
}

static void set_bounds(struct spl_hazard_layer *layer, const struct spl_geometry *shape)
{
    struct spl_box boxes[2];
    int n = spl_geometry_boxes(shape, 0, boxes);

    layer->min_lon = n == 1 ? boxes[0].min_lon : -180;
    layer->max_lon = n == 1 ? boxes[0].max_lon : 180;
    layer->min_lat = boxes[0].min_lat;
    layer->max_lat = boxes[0].max_lat;
}

/* Inside the transaction. */
static gboolean write_hazard(struct spl_house *house, const struct spl_hazard_words *words,
                             gboolean lasting, const struct spl_geometry *shape,
                             struct spl_hazard_layer *layer, GPtrArray *touched, GError **error)
{
    struct spl_hazard_put put = {.record = 1,
                                 .name = words->name,
                                 .method = words->method,
                                 .product = words->product,
                                 .on = words->on,
                                 .shape = shape};

    spl_ground_map_forget(house);
    if (!spl_hazard_layer_begin(house->book, layer, TRUE, error)) {
        spl_error_about(error, "name");
        return FALSE;
    }
    return spl_hazard_put(house->book, layer, &put, error) &&
           spl_hazard_layer_end(house->book, layer, error) &&
           (lasting ||
            spl_touched_by_layer(house, layer->name, touched,
                                 layer->touched = spl_list_new(&spl_touched_shape), error));
}

static gboolean add_hazard(struct spl_house *house, const struct spl_hazard_words *words,
                           struct spl_hazard_layer *layer, GPtrArray *touched, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autoptr(spl_geometry) shape = NULL;
    gboolean lasting;

    if (tables == NULL)
        return FALSE;
    lasting = spl_tables_method_by_slug(tables, words->method)->lasting;
    if (lasting && spl_day_is_set(words->on)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "on",
                            "'%s' is lasting ground and has no day; leave it out", words->method);
        return FALSE;
    }
    shape = shape_of(words, error);
    if (shape == NULL)
        return FALSE;
    layer->name = g_strdup(words->name);
    layer->source = g_strdup(words->source != NULL ? words->source : "added by hand");
    layer->accuracy_m = isnan(words->accuracy_m) ? ACCURACY_M : words->accuracy_m;
    layer->methods = g_strdup(words->method);
    set_bounds(layer, shape);
    if (!spl_whereabouts_fit(
            house,
            &(struct spl_box){layer->min_lon, layer->min_lat, layer->max_lon, layer->max_lat},
            layer->name, error))
        return FALSE;
    return spl_book_begin(house->book, error) &&
           spl_book_finish(house->book,
                           write_hazard(house, words, lasting, shape, layer, touched, error),
                           error);
}

gboolean spl_hazard_new(struct spl_house *house, const struct spl_hazard_words *said,
                        struct spl_hazard_layer *layer, GPtrArray **touched, GError **error)
{
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    struct spl_hazard_layer made = {.records = 1, .imported = house->today};
    struct spl_hazard_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_hazard_inputs, said, &words, error))
        return FALSE;
    ok = add_hazard(house, &words, &made, lines, error);
    spl_inputs_clear(&spl_hazard_inputs, &words);
    if (ok) {
        *layer = made;
        *touched = g_steal_pointer(&lines);
    } else {
        spl_record_clear(&spl_hazard_layer_shape, &made);
    }
    return ok;
}

/* ---- lists ---- */

GArray *spl_hazard_list(struct spl_house *house, GError **error)
{
    return spl_hazard_layers(house->book, error);
}

gboolean spl_hazard_drop(struct spl_house *house, const struct spl_hazard_pick *said,
                         GError **error)
{
    struct spl_hazard_pick pick;
    gboolean ok;

    if (!spl_entry_take(house, &spl_hazard_pick_inputs, said, &pick, error))
        return FALSE;
    spl_ground_map_forget(house);
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, spl_hazard_layer_drop(house->book, pick.name, error), error);
    if (!ok)
        spl_error_about(error, "name");
    spl_inputs_clear(&spl_hazard_pick_inputs, &pick);
    return ok;
}

static int compare_lines(gconstpointer a, gconstpointer b)
{
    const struct spl_hazard_line *first = a, *second = b;

    if (first->distance_m != second->distance_m)
        return first->distance_m < second->distance_m ? -1 : 1;
    return strcmp(first->what, second->what);
}

static GArray *lines_near(struct spl_house *house, const struct spl_site *site, double within_m,
                          GError **error)
{
    struct spl_ground_map *map = spl_ground_map_of(house, error);
    struct spl_ground_near near;
    GArray *lines = NULL;

    if (map != NULL && spl_ground_map_near(map, house, site, within_m, &near, error)) {
        lines = spl_list_new(&spl_hazard_line_shape);
        for (guint i = 0; i < near.hazards->len; i++) {
            const struct spl_hazard_near *hazard =
                &g_array_index(near.hazards, struct spl_hazard_near, i);
            struct spl_hazard_line line = {
                .what = g_strdup(hazard->name != NULL ? hazard->name : hazard->method->name),
                .method = g_strdup(hazard->method->slug),
                .distance_m = hazard->distance_m,
                .uncertainty_m = hazard->uncertainty_m,
                .on = hazard->on,
                .product = g_strdup(hazard->product),
                .layer = g_strdup(hazard->layer),
                .record = g_array_index(near.records, gint64, i),
            };

            g_array_append_val(lines, line);
        }
        g_array_sort(lines, compare_lines);
        spl_ground_near_clear(&near);
    }
    return lines;
}

GArray *spl_hazard_lines(struct spl_house *house, const struct spl_hazard_near_question *said,
                         GError **error)
{
    struct spl_hazard_near_question question;
    GArray *lines = NULL;
    struct spl_site site;

    if (!spl_entry_take(house, &spl_hazard_near_inputs, said, &question, error))
        return NULL;
    if (spl_house_site(house, "site", question.site, &site, error)) {
        lines = lines_near(house, &site, question.within_m, error);
        spl_record_clear(&spl_site_shape, &site);
    }
    spl_inputs_clear(&spl_hazard_near_inputs, &question);
    return lines;
}

/* ---- figures ---- */

GArray *spl_hazard_methods(struct spl_house *house, GError **error)
{
    struct spl_ground_map *map = spl_ground_map_of(house, error);

    return map != NULL ? spl_ground_map_methods(map, house, error) : NULL;
}

/* The method's figures as they are now. */
static gboolean figures_now(struct spl_house *house, const char *method,
                            struct spl_method_line *line, GError **error)
{
    GArray *lines = spl_hazard_methods(house, error);

    if (lines == NULL)
        return FALSE;
    for (guint i = 0; i < lines->len; i++) {
        const struct spl_method_line *now = &g_array_index(lines, struct spl_method_line, i);

        if (strcmp(now->method, method) == 0)
            spl_record_copy(&spl_method_line_shape, now, line);
    }
    spl_list_free(&spl_method_line_shape, lines);
    return TRUE;
}

static gboolean change_figures(const struct spl_method *method,
                               const struct spl_method_words *words, struct spl_method_line *line,
                               GError **error)
{
    g_autofree char *ask = NULL, *closed = NULL;
    gboolean holds_on = words->hold_on_days != SPL_COUNT_NONE;
    gboolean holds_near = words->hold_near_days != SPL_COUNT_NONE;

    if (method->lasting && (holds_on || holds_near)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, holds_on ? "hold_on" : "hold_near",
                            "'%s' is lasting ground; leave it out", method->slug);
        return FALSE;
    }
    if (!isnan(words->closed_m))
        line->closed_m = words->closed_m;
    line->ask_m = isnan(words->ask_m) ? fmax(line->ask_m, line->closed_m) : words->ask_m;
    if (holds_on)
        line->hold_on_days = words->hold_on_days;
    if (holds_near)
        line->hold_near_days = words->hold_near_days;
    if (line->ask_m >= line->closed_m)
        return TRUE;
    ask = spl_length_format(line->ask_m);
    closed = spl_length_format(line->closed_m);
    spl_error_set_input(error, SPL_ERROR_INVALID, "ask",
                        "%s is less than the %s that are closed; give at least as many", ask,
                        closed);
    return FALSE;
}

gboolean spl_hazard_method_change(struct spl_house *house, const struct spl_method_words *said,
                                  struct spl_method_line *line, GError **error)
{
    struct spl_method_line made = {0};
    struct spl_method_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_method_inputs, said, &words, error))
        return FALSE;
    ok = figures_now(house, words.method, &made, error) &&
         change_figures(spl_tables_method_by_slug(house->tables, words.method), &words, &made,
                        error) &&
         spl_book_begin(house->book, error);
    if (ok) {
        made.changed = house->today;
        g_free(made.why);
        made.why = g_strdup(words.why);
        spl_ground_map_forget(house);
        ok = spl_book_finish(house->book,
                             spl_method_figure_add(house->book, &made, words.by, error), error);
    }
    spl_inputs_clear(&spl_method_inputs, &words);
    if (ok)
        *line = made;
    else
        spl_record_clear(&spl_method_line_shape, &made);
    return ok;
}
