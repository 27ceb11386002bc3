/* SPDX-License-Identifier: MIT
 *
 * The table of acts: a new one is a row here and what season does for it. See desk/act.h.
 */
#include <math.h>
#include <string.h>

#include "desk/act.h"
#include "simpling/amend.h"
#include "simpling/batch.h"
#include "simpling/calendar.h"
#include "simpling/drying.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/hazard.h"
#include "simpling/liquid.h"
#include "simpling/outing.h"
#include "simpling/plan.h"
#include "simpling/purchase.h"
#include "simpling/question.h"
#include "simpling/recipe.h"
#include "simpling/site.h"
#include "simpling/stand.h"
#include "simpling/trace.h"
#include "simpling/trust.h"
#include "simpling/weather.h"

#define RUN(name)                                                                                  \
    static gboolean run_##name(struct spl_house *house, const void *said, struct spl_done *done,   \
                               GError **error)

/* A season's function (house, said, &record, error) with its shape. */
#define RUN_RECORD(name, function, type, shape_)                                                   \
    RUN(name)                                                                                      \
    {                                                                                              \
        struct type record;                                                                        \
                                                                                                   \
        if (!function(house, said, &record, error))                                                \
            return FALSE;                                                                          \
        spl_done_take(done, &shape_, &record);                                                     \
        return TRUE;                                                                               \
    }
/* The same with what to know. */
#define RUN_CAUTIONS(name, function, type, shape_)                                                 \
    RUN(name)                                                                                      \
    {                                                                                              \
        struct type record;                                                                        \
                                                                                                   \
        if (!function(house, said, &record, &done->cautions, error))                               \
            return FALSE;                                                                          \
        spl_done_take(done, &shape_, &record);                                                     \
        return TRUE;                                                                               \
    }

RUN_CAUTIONS(harvest_add, spl_harvest_log, spl_harvest, spl_harvest_shape)
RUN_RECORD(harvest_weigh, spl_harvest_weigh, spl_harvest, spl_harvest_shape)
RUN_RECORD(harvest_release, spl_harvest_let_out, spl_harvest, spl_harvest_shape)
RUN_RECORD(site_permit, spl_site_permit, spl_permission_note, spl_permission_note_shape)
RUN_RECORD(stage_note, spl_stage_note_add, spl_stage_record, spl_stage_record_shape)
RUN_RECORD(stand_set, spl_stand_set, spl_stand_record, spl_stand_record_shape)
RUN_RECORD(stand_mark, spl_stand_mark, spl_stand_record, spl_stand_record_shape)
RUN_RECORD(stand_rest, spl_stand_rest, spl_stand_record, spl_stand_record_shape)
RUN_CAUTIONS(drying_start, spl_drying_begin, spl_drying, spl_drying_shape)
RUN_RECORD(drying_turn, spl_drying_turn, spl_drying, spl_drying_shape)
RUN_RECORD(drying_weigh, spl_drying_weigh, spl_drying, spl_drying_shape)
RUN_CAUTIONS(drying_test, spl_drying_try, spl_drying, spl_drying_shape)
RUN_CAUTIONS(drying_finish, spl_drying_end, spl_drying, spl_drying_shape)
RUN_CAUTIONS(batch_start, spl_batch_begin, spl_batch, spl_batch_shape)
RUN_CAUTIONS(batch_add, spl_batch_extend, spl_batch, spl_batch_shape)
RUN_CAUTIONS(batch_step, spl_batch_step, spl_batch, spl_batch_shape)
RUN_CAUTIONS(lot_use, spl_lot_give, spl_dispensed, spl_dispensed_shape)
RUN_CAUTIONS(lot_bottle, spl_lot_bottle, spl_lot, spl_lot_shape)
RUN_RECORD(lot_count, spl_lot_count, spl_lot, spl_lot_shape)
RUN_CAUTIONS(lot_reaction, spl_lot_react, spl_reaction, spl_reaction_shape)
RUN_RECORD(discard, spl_discard, spl_discarded, spl_discarded_shape)
RUN_RECORD(strike, spl_record_strike, spl_correction, spl_correction_shape)
RUN_RECORD(answer, spl_answer, spl_answered, spl_answered_shape)
RUN_CAUTIONS(outing_move, spl_outing_move, spl_plan_outing, spl_plan_outing_shape)
RUN_CAUTIONS(outing_drop, spl_outing_drop, spl_plan_outing, spl_plan_outing_shape)
RUN_CAUTIONS(plan_add, spl_plan_add, spl_plan_line, spl_plan_line_shape)
RUN_RECORD(plan_drop, spl_plan_drop, spl_plan_line, spl_plan_line_shape)
RUN_CAUTIONS(outing_pin, spl_outing_pin, spl_plan_outing, spl_plan_outing_shape)
RUN_CAUTIONS(outing_take, spl_outing_take, spl_plan_outing, spl_plan_outing_shape)
RUN_RECORD(stand_taken, spl_stand_taken, spl_stand_record, spl_stand_record_shape)
RUN_CAUTIONS(purchase_add, spl_purchase_log, spl_purchase, spl_purchase_shape)
RUN_CAUTIONS(liquid_add, spl_liquid_add, spl_liquid_row, spl_liquid_row_shape)
RUN_CAUTIONS(liquid_use, spl_liquid_use, spl_liquid_row, spl_liquid_row_shape)
RUN_CAUTIONS(recipe_keep, spl_recipe_keep, spl_recipe, spl_recipe_shape)
RUN_RECORD(recipe_drop, spl_recipe_drop, spl_recipe, spl_recipe_shape)

RUN_RECORD(trust, spl_trust_say, spl_trust, spl_trust_shape)
RUN_RECORD(weather_follow, spl_weather_follow, spl_weather_fetched, spl_weather_fetched_shape)
RUN_RECORD(hazard_method, spl_hazard_method_change, spl_method_line, spl_method_line_shape)

RUN(amend)
{
    done->shape = &spl_correction_shape;
    done->records = spl_record_amend(house, said, error);
    return done->records != NULL;
}

RUN(batch_steps)
{
    done->shape = &spl_batch_shape;
    done->records = spl_batch_steps(house, said, &done->cautions, error);
    return done->records != NULL;
}

RUN(calendar_again)
{
    const struct spl_calendar_again_words *words = said;

    if (words->title == NULL) { /* what there is, a look lists */
        spl_error_set_input(error, SPL_ERROR_INVALID, "title", "is needed: what is to be taken up");
        return FALSE;
    }
    done->shape = &spl_calendar_dropped_shape;
    done->records = spl_calendar_again(house, said, error);
    return done->records != NULL;
}

RUN(weather_refresh)
{
    const struct spl_refresh_words *words = said;

    done->shape = &spl_weather_fetched_shape;
    done->records = spl_weather_refresh(house, words->station, error);
    return done->records != NULL;
}

RUN(hazard_add)
{
    struct spl_hazard_layer layer;

    if (!spl_hazard_new(house, said, &layer, &done->cautions, error))
        return FALSE;
    spl_done_take(done, &spl_hazard_layer_shape, &layer);
    return TRUE;
}

/* What is left of them. */
RUN(hazard_drop)
{
    if (!spl_hazard_drop(house, said, error))
        return FALSE;
    done->shape = &spl_hazard_layer_shape;
    done->records = spl_hazard_list(house, error);
    return done->records != NULL;
}

RUN(site_edit)
{
    struct spl_site site;
    char *caution = NULL;

    if (!spl_site_change(house, said, &site, &done->cautions, &caution, error))
        return FALSE;
    if (caution != NULL) {
        if (done->cautions == NULL)
            done->cautions = g_ptr_array_new_with_free_func(g_free);
        g_ptr_array_add(done->cautions, caution);
    }
    spl_done_take(done, &spl_site_shape, &site);
    return TRUE;
}

/* The book with all its settings, as they stand now. */
RUN(setting)
{
    struct spl_book_info info;

    if (!spl_book_set(house, said, error) || !spl_book_describe(house, &info, error))
        return FALSE;
    spl_done_take(done, &spl_book_info_shape, &info);
    return TRUE;
}

RUN(spray_note)
{
    struct spl_spray_record note;

    if (!spl_spray_note_add(house, said, &note, &done->cautions, error))
        return FALSE;
    spl_done_take(done, &spl_spray_record_shape, &note);
    return TRUE;
}

RUN(site_add)
{
    struct spl_site site;
    char *caution = NULL;

    if (!spl_site_new(house, said, &site, &caution, error))
        return FALSE;
    if (caution != NULL) {
        done->cautions = g_ptr_array_new_with_free_func(g_free);
        g_ptr_array_add(done->cautions, caution);
    }
    spl_done_take(done, &spl_site_shape, &site);
    return TRUE;
}

RUN(count)
{
    done->shape = &spl_counted_shape;
    done->records = spl_count_lines(house, said, error);
    return done->records != NULL;
}

RUN(batch_press)
{
    done->shape = &spl_lot_shape;
    done->records = spl_batch_press(house, said, &done->cautions, error);
    return done->records != NULL;
}

static gboolean decide(struct spl_house *house, enum spl_lot_decision decision, const void *said,
                       struct spl_done *done, GError **error)
{
    struct spl_lot lot;

    if (!spl_lot_decide(house, decision, said, &lot, &done->cautions, error))
        return FALSE;
    spl_done_take(done, &spl_lot_shape, &lot);
    return TRUE;
}

RUN(lot_release)
{
    return decide(house, SPL_LOT_RELEASE, said, done, error);
}

RUN(lot_hold)
{
    return decide(house, SPL_LOT_HOLD, said, done, error);
}

RUN(lot_withdraw)
{
    return decide(house, SPL_LOT_WITHDRAW, said, done, error);
}

/* What a recall was about, as its page asks for it. */
static char **asked_of(const struct spl_trace_words *words)
{
    GStrvBuilder *pairs = g_strv_builder_new();
    char day[SPL_DAY_TEXT_SIZE];
    char **asked;

    g_strv_builder_add_many(pairs, "of", words->of, NULL);
    if (spl_day_is_set(words->sprayed))
        g_strv_builder_add_many(pairs, "sprayed", spl_day_format(words->sprayed, day), NULL);
    if (!isnan(words->within_m)) {
        g_autofree char *within = g_strdup_printf("%.0fm", words->within_m);

        g_strv_builder_add_many(pairs, "within", within, NULL);
    }
    asked = g_strv_builder_end(pairs);
    g_strv_builder_unref(pairs);
    return asked;
}

RUN(recall_withdraw)
{
    struct spl_trace_words words = *(const struct spl_trace_words *)said;
    struct spl_trace trace;

    words.withdraw = TRUE;
    if (!spl_trace_follow(house, &words, &trace, error))
        return FALSE;
    done->asked = asked_of(&words);
    spl_done_take(done, &spl_trace_shape, &trace);
    return TRUE;
}

/* Several steps at once ------------------------------------------------------------------------
 */

struct one_step {
    const char *code, *step;
};
struct steps_words {
    GArray *steps;   /* struct one_step */
    const char *but; /* "CODE STEP": all but this one; NULL: all */
};

static gboolean read_step(const char *text, const char *what, void *element, GError **error)
{
    struct one_step *one = element;
    const char *blank = strchr(text, ' ');

    if (blank == NULL || blank == text || blank[1] == '\0') {
        spl_error_set_input(error, SPL_ERROR_INVALID, what,
                            "is no code and step, as B27-003 shake");
        return FALSE;
    }
    one->code = g_strndup(text, (gsize)(blank - text));
    one->step = g_strdup(blank + 1);
    return TRUE;
}

static const struct spl_input one_step_rows[] = {
    SPL_INPUT(one_step, code, CODE, "code", "the batch", .needed = 1, .words = "B"),
    SPL_INPUT(one_step, step, NAME, "step", "what was done", .needed = 1),
};
static const struct spl_inputs one_step_inputs =
    SPL_INPUTS("one_step", one_step, one_step_rows, .line = read_step, .line_value = "CODE STEP");

static const struct spl_input steps_rows[] = {
    SPL_INPUT(steps_words, steps, LIST, "steps",
              "what was done today, a batch and its step a line: B27-003 shake", .needed = 1,
              .item = &one_step_inputs),
    SPL_INPUT(steps_words, but, NAME, "but", "all of these but one: B27-003 shake"),
};
static const struct spl_inputs steps_inputs = SPL_INPUTS("steps", steps_words, steps_rows);

static gboolean is_left_out(const struct steps_words *words, const struct one_step *one)
{
    g_autofree char *line = g_strdup_printf("%s %s", one->code, one->step);

    return words->but != NULL && strcmp(words->but, line) == 0;
}

/* All of them, or none. */
RUN(steps_done)
{
    const struct steps_words *words = said;

    if (!spl_inputs_check(&steps_inputs, words, error))
        return FALSE;
    done->cautions = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < words->steps->len; i++) {
        const struct one_step *one = &g_array_index(words->steps, struct one_step, i);
        struct spl_batch_step_words step;
        GPtrArray *cautions = NULL;
        struct spl_batch batch;

        if (is_left_out(words, one))
            continue;
        spl_inputs_init(&spl_batch_step_inputs, &step);
        step.code = one->code;
        step.step = one->step;
        if (!spl_batch_step(house, &step, &batch, &cautions, error))
            return FALSE;
        for (guint k = 0; cautions != NULL && k < cautions->len; k++)
            g_ptr_array_add(done->cautions, g_strdup(g_ptr_array_index(cautions, k)));
        if (cautions != NULL)
            g_ptr_array_unref(cautions);
        spl_done_take(done, &spl_batch_shape, &batch);
    }
    if (done->records == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "steps", "none of them was done");
        return FALSE;
    }
    return TRUE;
}

/* The table -------------------------------------------------------------------------------------
 */

/* clang-format off */
static const struct spl_act acts[] = {
    {"harvest-add", "Log a harvest", "Into the log", "It is in the log.", &spl_harvest_inputs, NULL, FALSE, run_harvest_add, FALSE},
    {"harvest-weigh", "Weigh a harvest", "Note the weight", "The weight is in the log.", &spl_harvest_weigh_inputs, NULL, FALSE, run_harvest_weigh, FALSE},
    {"harvest-release", "Let a harvest out", "Let it out", "It is let out.", &spl_harvest_release_inputs, NULL, FALSE, run_harvest_release, FALSE},
    {"spray-note", "What was said of spraying", "Note it", "It is noted.", &spl_spray_inputs, NULL, FALSE, run_spray_note, FALSE},
    {"site-permit", "Leave to gather", "Note it", "It is noted.", &spl_permission_inputs, NULL, FALSE, run_site_permit, FALSE},
    {"site-add", "A new place", "Into the book", "The place is in the book.", &spl_site_inputs, NULL, TRUE, run_site_add, FALSE},
    {"stage-note", "A growth stage seen", "Note it", "It is noted.", &spl_stage_inputs, NULL, FALSE, run_stage_note, FALSE},
    {"stand-set", "What a place bears", "Note it", "It is noted.", &spl_stand_inputs, NULL, FALSE, run_stand_set, FALSE},
    {"stand-mark", "Found in leaf or flower", "Note it", "It is noted.", &spl_stand_mark_inputs, NULL, FALSE, run_stand_mark, FALSE},
    {"stand-rest", "A rest", "Note it", "It is noted.", &spl_stand_rest_inputs, NULL, FALSE, run_stand_rest, FALSE},
    {"drying-start", "Herb on a rack", "Put it up", "It is put up.", &spl_drying_inputs, NULL, FALSE, run_drying_start, FALSE},
    {"drying-turn", "Turned on the rack", "Turned", "It is noted.", &spl_drying_turn_inputs, NULL, FALSE, run_drying_turn, FALSE},
    {"drying-weigh", "Weighed on the rack", "Note the weight", "The weight is noted.", &spl_drying_weigh_inputs, NULL, FALSE, run_drying_weigh, FALSE},
    {"drying-test", "Tried by hand", "Note it", "It is noted.", &spl_drying_test_inputs, NULL, FALSE, run_drying_test, FALSE},
    {"drying-finish", "Taken down from the rack", "Taken down", "It is taken down.", &spl_drying_finish_inputs, NULL, FALSE, run_drying_finish, FALSE},
    {"batch-start", "A new jar", "Put it up", "The jar stands.", &spl_batch_inputs, NULL, FALSE, run_batch_start, FALSE},
    {"batch-add", "More into a jar", "Add it", "It is in the jar.", &spl_batch_add_inputs, NULL, FALSE, run_batch_add, FALSE},
    {"batch-step", "A step of a jar", "Note it", "It is noted.", &spl_batch_step_inputs, NULL, FALSE, run_batch_step, FALSE},
    {"steps-done", "Steps done today", "These are done", "They are noted.", &steps_inputs, NULL, FALSE, run_steps_done, FALSE},
    {"batch-press", "Strain and press", "Pressed", "It is pressed; this came of it.", &spl_press_inputs, NULL, FALSE, run_batch_press, FALSE},
    {"lot-use", "Giving out", "Given out", "It is given out.", &spl_lot_use_inputs, NULL, FALSE, run_lot_use, FALSE},
    {"lot-bottle", "Bottled", "Note it", "It is noted.", &spl_lot_bottle_inputs, NULL, FALSE, run_lot_bottle, FALSE},
    {"lot-count", "Count a lot", "Counted", "The count is in the book.", &spl_lot_count_inputs, "force", FALSE, run_lot_count, FALSE},
    {"count", "Stock-taking", "These are counted", "What could be taken is in the book.", &spl_count_inputs, NULL, FALSE, run_count, FALSE},
    {"lot-release", "Let a lot out", "Let it out", "It is let out.", &spl_lot_decide_inputs, NULL, FALSE, run_lot_release, FALSE},
    {"lot-hold", "Hold a lot", "Hold it", "It is held.", &spl_lot_decide_inputs, NULL, FALSE, run_lot_hold, FALSE},
    {"lot-withdraw", "Withdraw a lot", "Withdraw it", "It is withdrawn.", &spl_lot_decide_inputs, NULL, FALSE, run_lot_withdraw, FALSE},
    {"lot-reaction", "What somebody said of a bottle", "Note it", "It is noted.", &spl_reaction_inputs, NULL, FALSE, run_lot_reaction, FALSE},
    {"recall-withdraw", "Withdraw all that came of it", "Withdraw them", "These are withdrawn or held now.", &spl_trace_inputs, "withdraw", FALSE, run_recall_withdraw, FALSE},
    {"discard", "Thrown away", "Note it", "It is noted.", &spl_discard_inputs, NULL, FALSE, run_discard, FALSE},
    {"strike", "Strike a record", "Strike it", "It is struck; the record stays in the book.", &spl_strike_inputs, "last entry", FALSE, run_strike, FALSE},
    {"take-back", "Take back the last entry", "Take it back", "It is taken back.", &spl_strike_inputs, "code", TRUE, run_strike, FALSE},
    {"answer", "Answer a question", "Answer", "The answer is in the book.", &spl_answer_inputs, NULL, FALSE, run_answer, FALSE},
    {"outing-move", "Move an outing", "Move it", "The outing is moved.", &spl_outing_move_inputs, NULL, TRUE, run_outing_move, FALSE},
    {"outing-drop", "Drop an outing", "Drop it", "The outing is dropped.", &spl_outing_drop_inputs, NULL, TRUE, run_outing_drop, FALSE},
    {"plan-add", "Plan a batch", "Plan it", "It is planned.", &spl_plan_inputs, NULL, FALSE, run_plan_add, FALSE},
    {"plan-drop", "Drop a planned batch", "Drop it", "It is out of the plan.", &spl_plan_drop_inputs, NULL, TRUE, run_plan_drop, FALSE},
    {"outing-pin", "Keep an outing as it is", "Keep it so", "It stays as it is.", &spl_outing_pin_inputs, NULL, TRUE, run_outing_pin, FALSE},
    {"outing-take", "What an outing takes", "Note it", "It is noted.", &spl_outing_take_inputs, NULL, TRUE, run_outing_take, FALSE},
    {"stand-taken", "Others picked here", "Note it", "It is noted.", &spl_stand_taken_inputs, NULL, TRUE, run_stand_taken, FALSE},
    {"purchase-add", "Herb that was bought or given", "Into the log", "It is in the log.", &spl_purchase_inputs, NULL, TRUE, run_purchase_add, FALSE},
    {"liquid-add", "Spirit, vinegar, oil that came in", "Into the log", "It is in the log.", &spl_liquid_add_inputs, NULL, TRUE, run_liquid_add, FALSE},
    {"liquid-use", "Liquid that went otherwise", "Note it", "It is noted.", &spl_liquid_use_inputs, NULL, TRUE, run_liquid_use, FALSE},
    {"recipe-keep", "Keep how a batch was made", "Keep it", "It is kept under its name.", &spl_recipe_inputs, NULL, TRUE, run_recipe_keep, FALSE},
    {"recipe-drop", "Take a recipe back", "Take it back", "It is taken back.", &spl_recipe_drop_inputs, NULL, TRUE, run_recipe_drop, FALSE},
    {"amend", "Correct a record", "Correct it", "It is corrected; what it was stays in the book.", &spl_amend_inputs, NULL, FALSE, run_amend, FALSE},
    {"batch-steps", "One step of many jars", "Note it", "It is noted.", &spl_batch_steps_inputs, NULL, FALSE, run_batch_steps, FALSE},
    {"site-edit", "Change what is known of a place", "Change it", "It is changed.", &spl_site_edit_inputs, NULL, TRUE, run_site_edit, FALSE},
    {"hazard-add", "A field, road or other hazard", "Into the book", "It is in the book.", &spl_hazard_inputs, NULL, TRUE, run_hazard_add, FALSE},
    {"hazard-drop", "Take a hazard off the map", "Take it off", "It is off the map; these are left.", &spl_hazard_pick_inputs, NULL, TRUE, run_hazard_drop, FALSE},
    {"hazard-method", "How far to keep from what was sprayed", "Keep to it", "It counts from now on.", &spl_method_inputs, NULL, TRUE, run_hazard_method, FALSE},
    {"book-set", "A setting of the book", "Set it", "It is set.", &spl_setting_inputs, NULL, TRUE, run_setting, FALSE},
    {"book-trust", "Whose corrections count here", "Note it", "It is noted.", &spl_trust_inputs, NULL, TRUE, run_trust, FALSE},
    {"calendar-again", "Take up again what was dropped from a calendar", "Take it up", "It stands once more in the next calendar.", &spl_calendar_again_inputs, NULL, TRUE, run_calendar_again, FALSE},
    {"weather-follow", "Follow a weather station", "Follow it", "It is followed.", &spl_follow_inputs, NULL, TRUE, run_weather_follow, TRUE},
    {"weather-refresh", "Fetch the weather of today", "Fetch it", "This is what came.", &spl_refresh_inputs, NULL, TRUE, run_weather_refresh, TRUE},
};
/* clang-format on */

const struct spl_act *spl_act_at(gsize i)
{
    return i < G_N_ELEMENTS(acts) ? &acts[i] : NULL;
}

const struct spl_act *spl_act_find(const char *name)
{
    for (gsize i = 0; i < G_N_ELEMENTS(acts); i++) {
        if (strcmp(acts[i].name, name) == 0)
            return &acts[i];
    }
    return NULL;
}
