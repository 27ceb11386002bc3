/* SPDX-License-Identifier: MIT
 *
 * simpling hazard …: sprayed and otherwise fouled ground. The import runs in the helper `ground`
 * (hazard_import.c), which alone is linked with the libraries for map files.
 */
#include "simpling/hazard.h"

#include <math.h>

#include "base/amount.h"
#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_hazard_words words = {
        .name = call->places[0],
        .method = spl_call_demand(call, "method", error),
        .at = spl_call_get(call, "at"),
        .radius = spl_call_get(call, "radius"),
        .wkt = spl_call_get(call, "wkt"),
        .along = spl_call_all(call, "along"),
        .product = spl_call_get(call, "product"),
        .source = spl_call_get(call, "source"),
        .accuracy = spl_call_get(call, "accuracy"),
    };
    struct spl_hazard_layer layer;
    GPtrArray *touched;

    if (words.method == NULL || !spl_call_day(call, "on", SPL_DAY_NONE, &words.on, error) ||
        !spl_hazard_new(call->house, &words, &layer, &touched, error))
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
    if (!spl_hazard_drop(call->house, call->places[0], error))
        return -1;
    return run_list(call, error);
}

static int run_method(struct spl_call *call, GError **error)
{
    struct spl_method_words words = {.why = spl_call_get(call, "why")};
    struct spl_method_line line;
    GArray *lines;
    gboolean change = spl_call_has(call, "closed") || spl_call_has(call, "ask") ||
                      spl_call_has(call, "hold-on") || spl_call_has(call, "hold-near");

    if (!change) {
        if (call->n_places > 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                        "hazard method: say what to change with --closed, --ask, --hold-on or "
                        "--hold-near, and --why");
            return -1;
        }
        lines = spl_hazard_methods(call->house, error);
        if (lines == NULL)
            return -1;
        spl_call_print_list(call, lines, "no methods");
        spl_list_free(&spl_method_line_shape, lines);
        return 0;
    }
    if (call->n_places == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "hazard method: name the METHOD to change");
        return -1;
    }
    words.method = call->places[0];
    if (spl_call_demand(call, "why", error) == NULL ||
        !spl_call_number(call, "closed", 0, 10000, NAN, &words.closed_m, error) ||
        !spl_call_number(call, "ask", 0, 10000, NAN, &words.ask_m, error) ||
        !spl_call_count(call, "hold-on", 0, 36500, -1, &words.hold_on_days, error) ||
        !spl_call_count(call, "hold-near", 0, 36500, -1, &words.hold_near_days, error) ||
        !spl_hazard_method_change(call->house, &words, &line, error))
        return -1;
    lines = spl_list_new(&spl_method_line_shape);
    g_array_append_val(lines, line);
    spl_call_print_list(call, lines, "");
    spl_list_free(&spl_method_line_shape, lines);
    return 0;
}

const struct spl_command spl_command_hazard_import = {
    .words = "hazard import",
    .summary = "Read a map layer of sprayed or fouled ground (roads, parcels, railways …)",
    .places = "FILE.shp",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"method", SPL_OPTION_ONE, "METHOD", "what the layer shows: road, railway, boom …"},
            {"method-field", SPL_OPTION_ONE, "COLUMN", "the column that tells it record by record"},
            {"date-field", SPL_OPTION_ONE, "COLUMN", "the column with the day of the spraying"},
            {"product-field", SPL_OPTION_ONE, "COLUMN", "the column with what was sprayed"},
            {"name-field", SPL_OPTION_ONE, "COLUMN", "the column with the name of the ground"},
            {"on", SPL_OPTION_ONE, "DATE", "the day, for records that have none"},
            {"layer", SPL_OPTION_ONE, "NAME", "the name to keep it under (default the file's)"},
            {"source", SPL_OPTION_ONE, "TEXT", "who made the layer (default the file's name)"},
            {"crs", SPL_OPTION_ONE, "EPSG:N", "its reference system, when no .prj tells it"},
            {"encoding", SPL_OPTION_ONE, "NAME", "of its texts, when they come out wrong"},
            {"dry-run", SPL_OPTION_FLAG, NULL, "show what is in it and write nothing"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
        "the harvests, batches and lots they\ntouch.",
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
    .summary = "Add sprayed or fouled ground by hand",
    .places = "NAME",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"method", SPL_OPTION_ONE, "METHOD",
             "how it is fouled: 'hazard method' lists them (needed)"},
            {"at", SPL_OPTION_ONE, "LAT,LON", "where it is"},
            {"radius", SPL_OPTION_ONE, "M", "how far it reaches from there"},
            {"wkt", SPL_OPTION_ONE, "TEXT", "its shape, POLYGON((lon lat, …)) or LINESTRING(…)"},
            {"along", SPL_OPTION_MANY, "LAT,LON", "a place of a line, one after the other"},
            {"on", SPL_OPTION_ONE, "DATE", "the day of the spraying (default not known)"},
            {"product", SPL_OPTION_ONE, "NAME", "what was sprayed"},
            {"source", SPL_OPTION_ONE, "TEXT", "who said so, or what was seen"},
            {"accuracy", SPL_OPTION_ONE, "M", "how far its place may be off (default 10)"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
    .options = (const struct spl_option[]){{NULL, SPL_OPTION_FLAG, NULL, NULL}},
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
    .places = "NAME",
    .min_places = 1,
    .max_places = 1,
    .options = (const struct spl_option[]){{NULL, SPL_OPTION_FLAG, NULL, NULL}},
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
    .places = "[METHOD]",
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"closed", SPL_OPTION_ONE, "M", "nearer than this is closed"},
            {"ask", SPL_OPTION_ONE, "M", "nearer than this is to be asked about"},
            {"hold-on", SPL_OPTION_ONE, "DAYS", "closed for so long after a spraying of the site"},
            {"hold-near", SPL_OPTION_ONE, "DAYS", "closed for so long after a spraying beside it"},
            {"why", SPL_OPTION_ONE, "TEXT", "the reason; it is kept with the change"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
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
