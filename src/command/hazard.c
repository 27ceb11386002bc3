/* SPDX-License-Identifier: MIT
 *
 * simpling hazard …: sprayed and otherwise contaminated ground. The import runs in the helper
 * `ground` (hazard_import.c), which alone is linked with the libraries for map files.
 */
#include "simpling/hazard.h"

#include <math.h>

#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_hazard_layer layer;
    GPtrArray *touched;

    if (!spl_hazard_new(call->house, call->said, &layer, &touched, error))
        return -1;
    spl_call_print(call, &layer);
    spl_call_touched("picked there since", touched);
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_hazard_layer_shape, &layer);
    return 0;
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *layers = spl_hazard_list(call->house, error);
    int status;

    if (layers == NULL)
        return -1;
    status = spl_call_print_list(call, layers,
                                 "no hazards yet; add one with 'hazard add', or a map layer with "
                                 "'hazard import'");
    spl_list_free(&spl_hazard_layer_shape, layers);
    return status;
}

static int run_drop(struct spl_call *call, GError **error)
{
    if (!spl_hazard_drop(call->house, call->said, error))
        return -1;
    return run_list(call, error);
}

/* A method for people: lasting ground, which is closed for good, counts no days. */
struct method_told {
    char *method, *name, *why;
    gboolean lasting;
    double closed_m, ask_m, on_days, near_days;
    struct spl_day changed;
};

static const struct spl_field told_fields[] = {
    SPL_FIELD(method_told, method, SPL_TEXT, "method", "method"),
    SPL_FIELD(method_told, name, SPL_TEXT, "name", "what it is"),
    SPL_FIELD(method_told, lasting, SPL_BOOL, "lasting", "lasting"),
    SPL_FIELD_NUM(method_told, closed_m, 1, "closed_m", "closed m"),
    SPL_FIELD_NUM(method_told, ask_m, 1, "ask_m", "ask m"),
    SPL_FIELD_NUM(method_told, on_days, 0, "on", "days on it"),
    SPL_FIELD_NUM(method_told, near_days, 0, "near", "days beside"),
    SPL_FIELD(method_told, changed, SPL_DAY, "changed", "changed"),
    SPL_FIELD(method_told, why, SPL_TEXT, "why", "why"),
};
static const struct spl_shape told_shape = SPL_SHAPE("method_told", method_told, told_fields);

/* Takes the list over. */
static int print_methods(struct spl_call *call, GArray *lines)
{
    struct spl_call_stream stream;
    gboolean ok = TRUE;

    spl_call_stream_begin_as(&stream, call, call->json ? &spl_method_line_shape : &told_shape);
    for (guint i = 0; ok && i < lines->len; i++) {
        const struct spl_method_line *line = &g_array_index(lines, struct spl_method_line, i);
        struct method_told told = {.method = line->method,
                                   .name = line->name,
                                   .why = line->why,
                                   .lasting = line->lasting,
                                   .closed_m = line->closed_m,
                                   .ask_m = line->ask_m,
                                   .on_days = line->lasting ? (double)NAN : line->hold_on_days,
                                   .near_days = line->lasting ? (double)NAN : line->hold_near_days,
                                   .changed = line->changed};

        ok = spl_call_stream_item(&stream, call->json ? (const void *)line : &told, NULL);
    }
    spl_list_free(&spl_method_line_shape, lines);
    return spl_call_stream_end(&stream, "no methods");
}

static int list_methods(struct spl_call *call, GError **error)
{
    GArray *lines = spl_hazard_methods(call->house, error);

    return lines != NULL ? print_methods(call, lines) : -1;
}

static gboolean says_nothing(const struct spl_call *call)
{
    for (gsize i = 0; i < call->command->inputs->n; i++) {
        if (spl_input_is_said(&call->command->inputs->rows[i], call->said))
            return FALSE;
    }
    return TRUE;
}

static int run_method(struct spl_call *call, GError **error)
{
    struct spl_method_line line;
    GArray *lines;

    if (says_nothing(call))
        return list_methods(call, error);
    if (!spl_hazard_method_change(call->house, call->said, &line, error))
        return -1;
    lines = spl_list_new(&spl_method_line_shape);
    g_array_append_val(lines, line);
    return print_methods(call, lines);
}

const struct spl_command spl_command_hazard_import = {
    .words = "hazard import",
    .summary = "Read a map layer of sprayed or contaminated ground (roads, parcels, railways …)",
    .inputs = &spl_hazard_import_inputs,
    .at = "file",
    .about =
        "A layer from the county usually comes as a .zip: unpack it first (unzip FILE.zip -d "
        "FOLDER); "
        "of the\nfiles in it the one that ends in .shp is given here, and the others must lie "
        "beside "
        "it.\n\n"
        "  1. look at it:       simpling hazard import FOLDER/roads.shp --dry-run\n"
        "  2. choose a method:  simpling hazard method\n"
        "  3. read it in:       simpling hazard import FOLDER/roads.shp --method road\n"
        "  4. ask:              simpling check SITE\n\n"
        "The same layer read in again takes the place of the old one, whole or not at all. Records "
        "that "
        "cannot\nbe read are counted and named; near such a layer every verdict is at least 'ask', "
        "since what is\nmissing may lie there. A layer whose reference system is not known is "
        "doubtful "
        "in the same way: ask\nwhoever made it, and name the system with --crs (British National "
        "Grid: "
        "EPSG:27700; GPS longitude\nand latitude: EPSG:4326). Sprayings that come to light late "
        "name "
        "the harvests, batches and lots they\ntouch.\n\nGeoJSON (.geojson, .json) and GPX (.gpx) "
        "are "
        "read as well: points, lines and areas, with their properties as\ncolumns; waypoints are "
        "points, tracks and routes lines. A track round a field is its edge, not the field.",
    .examples = (const char *const[]){"simpling hazard import lanes.shp --dry-run",
                                      "simpling hazard import lanes.shp --method lane "
                                      "--name-field NAME",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_hazard_import_shape,
    .helper = "simpling-ground",
};

const struct spl_command spl_command_hazard_add = {
    .words = "hazard add",
    .summary = "Add sprayed or contaminated ground by hand",
    .inputs = &spl_hazard_inputs,
    .at = "name",
    .about =
        "Lasting ground (a road, a tip, an old orchard) has no day. Sprayed ground without a day "
        "closes what\nlies on it and asks beside it. A day to come counts as a planned spraying.",
    .examples =
        (const char *const[]){
            "simpling hazard add 'Low Croft barley' --method boom --at 54.6031,-2.5874 --radius 80 "
            "--on 2027-04-20 --source 'seen from the lane'",
            "simpling hazard add 'the old line' --method railway --along 54.600,-2.600 --along "
            "54.605,-2.590 --along 54.611,-2.585",
            NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_hazard_layer_shape,
    .run = run_add,
};

const struct spl_command spl_command_hazard_list = {
    .words = "hazard list",
    .summary = "The map layers and the ground added by hand",
    .places = "",
    .about = "What lies near one place is shown by 'check SITE --near 200'.",
    .examples = (const char *const[]){"simpling hazard list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_hazard_layer_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_hazard_drop = {
    .words = "hazard drop",
    .summary = "Take a layer or a hazard off the map",
    .inputs = &spl_hazard_pick_inputs,
    .at = "name",
    .about = "Verdicts that were kept with harvests keep their reasons. Shows what is left.",
    .examples = (const char *const[]){"simpling hazard add 'the tip' --method tip --at "
                                      "54.6100,-2.5700 --radius 40",
                                      "simpling hazard drop 'the tip'", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_hazard_layer_shape,
    .array = TRUE,
    .run = run_drop,
};

const struct spl_command spl_command_hazard_method = {
    .words = "hazard method",
    .summary = "The distances and days of each kind of hazard; change them for this book",
    .inputs = &spl_method_inputs,
    .at = "method?",
    .about =
        "The figures come from data/hazards.csv, each with its source. A change is dated, and "
        "every verdict\nthat used it says so. Local codes may ask for more than these figures.",
    .examples =
        (const char *const[]){"simpling hazard method",
                              "simpling hazard method road --closed 20 --why 'steep verges'", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_method_line_shape,
    .array = TRUE,
    .run = run_method,
};
