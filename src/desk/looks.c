/* SPDX-License-Identifier: MIT
 *
 * The table of looks: a new one is a row here and what season answers. See desk/look.h.
 */
#include "desk/look.h"

#include <string.h>

#include "desk/page.h"
#include "simpling/almanac.h"
#include "simpling/batch.h"
#include "simpling/calendar.h"
#include "simpling/check.h"
#include "simpling/drying.h"
#include "simpling/harvest.h"
#include "simpling/hazard.h"
#include "simpling/known.h"
#include "simpling/liquid.h"
#include "simpling/photo.h"
#include "simpling/plan.h"
#include "simpling/purchase.h"
#include "simpling/question.h"
#include "simpling/recipe.h"
#include "simpling/room.h"
#include "simpling/site.h"
#include "simpling/stand.h"
#include "simpling/weather.h"
#include "simpling/window.h"

#define RUN(name)                                                                                  \
    static GArray *run_##name(struct spl_house *house, const void *said, GError **error)

/* A season's function that gives the list. */
#define RUN_LIST(name, function)                                                                   \
    RUN(name)                                                                                      \
    {                                                                                              \
        return function(house, said, error);                                                       \
    }
/* One that asks nothing. */
#define RUN_ALL(name, function)                                                                    \
    RUN(name)                                                                                      \
    {                                                                                              \
        (void)said;                                                                                \
        return function(house, error);                                                             \
    }
/* One that calls for each record. */
#define RUN_EACH(name, function, type, shape_)                                                     \
    static gboolean keep_##name(const struct type *record, gpointer list, GError **error)          \
    {                                                                                              \
        (void)error;                                                                               \
        spl_desk_keep(list, &shape_, record);                                                      \
        return TRUE;                                                                               \
    }                                                                                              \
    RUN(name)                                                                                      \
    {                                                                                              \
        GArray *list = spl_list_new(&shape_);                                                      \
                                                                                                   \
        if (function(house, said, keep_##name, list, error))                                       \
            return list;                                                                           \
        spl_list_free(&shape_, list);                                                              \
        return NULL;                                                                               \
    }
/* One that fills a record: a list of that one. */
#define RUN_ONE(name, call, type, shape_)                                                          \
    RUN(name)                                                                                      \
    {                                                                                              \
        struct type record;                                                                        \
        GArray *list;                                                                              \
                                                                                                   \
        if (!call)                                                                                 \
            return NULL;                                                                           \
        list = spl_list_new(&shape_);                                                              \
        g_array_append_val(list, record);                                                          \
        return list;                                                                               \
    }

RUN_LIST(stands, spl_stand_lines)
RUN_LIST(stages, spl_stage_notes)
RUN_LIST(almanacs, spl_almanac_list)
RUN_LIST(materials, spl_known_materials)
RUN_LIST(preparations, spl_known_preparations)
RUN_LIST(photos, spl_photos)
RUN_LIST(recipes, spl_recipe_lines)
RUN_LIST(planned, spl_plan_lines)
RUN_LIST(shortfall, spl_plan_shortfall)
RUN_LIST(year, spl_plan_year)
RUN_LIST(flows, spl_lot_year)
RUN_LIST(questions, spl_questions)
RUN_ALL(hazards, spl_hazard_list)
RUN_ALL(methods, spl_hazard_methods)
RUN_ALL(stations, spl_weather_list)
RUN_ALL(rooms, spl_rooms)
RUN_ALL(answers, spl_answers)
RUN_EACH(sites, spl_site_lines, spl_site_line, spl_site_line_shape)
RUN_EACH(harvests, spl_harvest_entries, spl_harvest, spl_harvest_shape)
RUN_EACH(purchases, spl_purchase_entries, spl_purchase, spl_purchase_shape)
RUN_EACH(dryings, spl_drying_entries, spl_drying, spl_drying_shape)
RUN_EACH(batches, spl_batch_lines, spl_batch_line, spl_batch_line_shape)
RUN_EACH(lots, spl_lot_lines, spl_lot, spl_lot_shape)
RUN_ONE(check, spl_check_site(house, said, &record, error), spl_check, spl_check_shape)
RUN_ONE(errors, spl_window_check(house, said, &record, error), spl_window_errors,
        spl_window_errors_shape)
RUN_ONE(liquids, spl_liquid_stock(house, said, &record, error), spl_liquid_stock,
        spl_liquid_stock_shape)
RUN_ONE(ledger, spl_liquid_ledger(house, said, &record, error), spl_liquid_ledger,
        spl_liquid_ledger_shape)
RUN_ONE(purchase,
        spl_purchase_show(house, ((const struct spl_purchase_pick *)said)->code, &record, error),
        spl_purchase, spl_purchase_shape)

RUN(book)
{
    struct spl_book_info record;
    GArray *list;

    (void)said;
    if (!spl_book_describe(house, &record, error))
        return NULL;
    list = spl_list_new(&spl_book_info_shape);
    g_array_append_val(list, record);
    return list;
}

/* Nothing is taken up. */
RUN(dropped)
{
    struct spl_calendar_again_words none;

    (void)said;
    spl_inputs_init(&spl_calendar_again_inputs, &none);
    return spl_calendar_again(house, &none, error);
}

static gboolean keep_window(const struct spl_window_told *told, gpointer list, GError **error)
{
    (void)error;
    spl_desk_keep(list, &spl_window_shape, &told->window);
    return TRUE;
}

RUN(windows)
{
    GArray *list = spl_list_new(&spl_window_shape);

    if (spl_window_list(house, said, keep_window, list, error))
        return list;
    spl_list_free(&spl_window_shape, list);
    return NULL;
}

/* What a look into the book's file found. */
struct finding {
    char *what;
};
static const struct spl_field finding_fields[] = {
    SPL_FIELD(finding, what, SPL_TEXT, "what", "what is wrong"),
};
static const struct spl_shape finding_shape = SPL_SHAPE("finding", finding, finding_fields);

RUN(findings)
{
    g_autoptr(GPtrArray) found = spl_book_examine(house, error);
    GArray *list;

    (void)said;
    if (found == NULL)
        return NULL;
    list = spl_list_new(&finding_shape);
    for (guint i = 0; i < found->len; i++) {
        struct finding finding = {g_strdup(g_ptr_array_index(found, i))};

        g_array_append_val(list, finding);
    }
    return list;
}

/* clang-format off */
static const struct spl_look looks[] = {
    {"check", "/places", "May one gather at a place on a day", &spl_check_inputs, &spl_check_shape, "", FALSE, run_check},
    {"site-list", "/places", "Places, by what is asked", &spl_site_question_inputs, &spl_site_line_shape, "There is no such place.", FALSE, run_sites},
    {"stand-list", "/places", "What the places bear, and what may be taken", &spl_stand_question_inputs, &spl_stand_line_shape, "No stand was counted yet.", FALSE, run_stands},
    {"hazard-list", "/places", "Fields, roads and other hazards of the ground", NULL, &spl_hazard_layer_shape, "None is in the book yet.", FALSE, run_hazards},
    {"hazard-methods", "/places", "How far one keeps from what was sprayed", NULL, &spl_method_line_shape, "", FALSE, run_methods},
    {"photo-list", "/places", "Photos", &spl_photo_question_inputs, &spl_photo_shape, "There is no such photo.", FALSE, run_photos},
    {"window-list", "/season", "The windows of a year", &spl_window_inputs, &spl_window_shape, "There are no such windows.", TRUE, run_windows},
    {"window-check", "/season", "How well the windows were foretold", &spl_window_check_inputs, &spl_window_errors_shape, "", TRUE, run_errors},
    {"stage-list", "/season", "The growth stages that were seen", &spl_stage_question_inputs, &spl_stage_record_shape, "None was noted yet.", FALSE, run_stages},
    {"almanac-list", "/season", "The almanacs, day by day", &spl_almanac_question_inputs, &spl_almanac_row_shape, "There is no such day.", FALSE, run_almanacs},
    {"weather-list", "/season", "The weather stations", NULL, &spl_station_shape, "There is none yet.", FALSE, run_stations},
    {"material-list", "/season", "The plants and parts that are known", &spl_known_inputs, &spl_known_material_shape, "None is known by that.", FALSE, run_materials},
    {"plan-list", "/plan", "The planned batches of a season", &spl_plan_question_inputs, &spl_plan_line_shape, "Nothing is planned for that season.", FALSE, run_planned},
    {"plan-shortfall", "/plan", "What a season's batches need, and what is short", &spl_plan_short_inputs, &spl_plan_shortage_shape, "Nothing is short.", TRUE, run_shortfall},
    {"plan-year", "/plan", "What to make in a year", &spl_plan_year_inputs, &spl_plan_year_line_shape, "Nothing went out in twelve months, and nothing stands.", TRUE, run_year},
    {"harvest-list", "/log", "Harvests, by what is asked", &spl_harvest_question_inputs, &spl_harvest_shape, "There is no such harvest.", FALSE, run_harvests},
    {"purchase-list", "/log", "What was bought or given", &spl_purchase_question_inputs, &spl_purchase_shape, "There is no such entry.", FALSE, run_purchases},
    {"purchase-show", "/log", "One purchase", &spl_purchase_pick_inputs, &spl_purchase_shape, "", FALSE, run_purchase},
    {"drying-list", "/racks", "Dryings, by what is asked", &spl_drying_question_inputs, &spl_drying_shape, "There is no such drying.", FALSE, run_dryings},
    {"room", "/racks", "What room is left, on racks and in jars", NULL, &spl_room_shape, "The book does not say how much room there is.", FALSE, run_rooms},
    {"batch-list", "/jars", "Jars, by what is asked", &spl_batch_question_inputs, &spl_batch_line_shape, "There is no such jar.", FALSE, run_batches},
    {"recipe-list", "/jars", "Recipes that were kept", &spl_recipe_question_inputs, &spl_recipe_shape, "None is kept yet.", FALSE, run_recipes},
    {"preparation-list", "/jars", "The preparations that are known", &spl_known_inputs, &spl_known_preparation_shape, "None is known by that.", FALSE, run_preparations},
    {"liquid-list", "/shelf", "Spirit, vinegar and oil: what is left", &spl_liquid_question_inputs, &spl_liquid_stock_shape, "", FALSE, run_liquids},
    {"liquid-ledger", "/shelf", "The ledger of the spirit", &spl_liquid_period_inputs, &spl_liquid_ledger_shape, "", FALSE, run_ledger},
    {"lot-list", "/shelf", "Lots, by what is asked", &spl_lot_question_inputs, &spl_lot_shape, "There is no such lot.", FALSE, run_lots},
    {"lot-year", "/shelf", "What went out in a year", &spl_lot_year_inputs, &spl_lot_flow_shape, "Nothing went out.", FALSE, run_flows},
    {"questions", "/questions", "Questions, by what is asked", &spl_questions_question_inputs, &spl_question_shape, "Nothing is open.", FALSE, run_questions},
    {"answers", "/questions", "Answers that were given", NULL, &spl_answer_given_shape, "None was given yet.", FALSE, run_answers},
    {"book-info", "/files", "The book and its settings", NULL, &spl_book_info_shape, "", FALSE, run_book},
    {"calendar-dropped", "/files", "What was dropped from a calendar", NULL, &spl_calendar_dropped_shape, "Nothing was.", FALSE, run_dropped},
    {"book-check", "/files", "Is the book sound", NULL, &finding_shape, "The book is sound.", TRUE, run_findings},
};
/* clang-format on */

const struct spl_look *spl_look_at(gsize i)
{
    return i < G_N_ELEMENTS(looks) ? &looks[i] : NULL;
}

const struct spl_look *spl_look_find(const char *name)
{
    for (gsize i = 0; i < G_N_ELEMENTS(looks); i++)
        if (g_strcmp0(looks[i].name, name) == 0)
            return &looks[i];
    return NULL;
}
