/* SPDX-License-Identifier: MIT
 *
 * Every table of inputs that season has. See simpling/entry.h.
 */
#include "simpling/almanac.h"
#include "simpling/amend.h"
#include "simpling/batch.h"
#include "simpling/calendar.h"
#include "simpling/carry.h"
#include "simpling/check.h"
#include "simpling/drying.h"
#include "simpling/entry.h"
#include "simpling/harvest.h"
#include "simpling/hazard.h"
#include "simpling/known.h"
#include "simpling/liquid.h"
#include "simpling/need.h"
#include "simpling/note.h"
#include "simpling/outing.h"
#include "simpling/photo.h"
#include "simpling/picture.h"
#include "simpling/plan.h"
#include "simpling/purchase.h"
#include "simpling/question.h"
#include "simpling/recipe.h"
#include "simpling/site.h"
#include "simpling/site_carry.h"
#include "simpling/slip.h"
#include "simpling/stand.h"
#include "simpling/start.h"
#include "simpling/trace.h"
#include "simpling/trust.h"
#include "simpling/weather.h"
#include "simpling/window.h"

const struct spl_inputs *const spl_all_inputs[] = {
    &spl_start_inputs,
    &spl_book_inputs,
    &spl_setting_inputs,
    &spl_book_copy_inputs,
    &spl_carry_out_inputs,
    &spl_carry_in_inputs,
    &spl_merge_inputs,
    &spl_trust_inputs,
    &spl_lend_inputs,
    &spl_plan_inputs,
    &spl_plan_question_inputs,
    &spl_plan_drop_inputs,
    &spl_plan_short_inputs,
    &spl_plan_year_inputs,
    &spl_plan_wish_inputs,
    &spl_outing_move_inputs,
    &spl_outing_pin_inputs,
    &spl_outing_take_inputs,
    &spl_outing_drop_inputs,
    &spl_window_inputs,
    &spl_window_check_inputs,
    &spl_site_export_inputs,
    &spl_site_import_inputs,
    &spl_hazard_inputs,
    &spl_hazard_pick_inputs,
    &spl_hazard_near_inputs,
    &spl_method_inputs,
    &spl_hazard_import_inputs,
    &spl_weather_inputs,
    &spl_follow_inputs,
    &spl_refresh_inputs,
    &spl_check_inputs,
    &spl_known_inputs,
    &spl_almanac_inputs,
    &spl_almanac_question_inputs,
    &spl_calendar_inputs,
    &spl_calendar_reading_inputs,
    &spl_calendar_file_inputs,
    &spl_calendar_again_inputs,
    &spl_busy_inputs,
    &spl_harvest_inputs,
    &spl_harvest_pick_inputs,
    &spl_harvest_question_inputs,
    &spl_harvest_weigh_inputs,
    &spl_harvest_release_inputs,
    &spl_site_inputs,
    &spl_site_edit_inputs,
    &spl_site_pick_inputs,
    &spl_site_question_inputs,
    &spl_permission_inputs,
    &spl_spray_inputs,
    &spl_need_inputs,
    &spl_dilute_inputs,
    &spl_batch_inputs,
    &spl_batch_add_inputs,
    &spl_press_inputs,
    &spl_purchase_inputs,
    &spl_purchase_pick_inputs,
    &spl_purchase_question_inputs,
    &spl_drying_inputs,
    &spl_drying_turn_inputs,
    &spl_drying_weigh_inputs,
    &spl_drying_test_inputs,
    &spl_drying_finish_inputs,
    &spl_drying_pick_inputs,
    &spl_drying_question_inputs,
    &spl_lot_pick_inputs,
    &spl_lot_question_inputs,
    &spl_liquid_add_inputs,
    &spl_liquid_use_inputs,
    &spl_liquid_question_inputs,
    &spl_liquid_period_inputs,
    &spl_lot_year_inputs,
    &spl_handed_inputs,
    &spl_lot_count_inputs,
    &spl_count_inputs,
    &spl_lot_decide_inputs,
    &spl_lot_use_inputs,
    &spl_lot_bottle_inputs,
    &spl_reaction_inputs,
    &spl_discard_inputs,
    &spl_note_inputs,
    &spl_photo_inputs,
    &spl_photo_question_inputs,
    &spl_photo_file_inputs,
    &spl_recipe_inputs,
    &spl_recipe_drop_inputs,
    &spl_recipe_question_inputs,
    &spl_batch_step_inputs,
    &spl_batch_steps_inputs,
    &spl_batch_pick_inputs,
    &spl_batch_question_inputs,
    &spl_stage_inputs,
    &spl_stage_question_inputs,
    &spl_amend_inputs,
    &spl_strike_inputs,
    &spl_stand_inputs,
    &spl_stand_mark_inputs,
    &spl_stand_rest_inputs,
    &spl_stand_taken_inputs,
    &spl_stand_question_inputs,
    &spl_questions_question_inputs,
    &spl_answer_inputs,
    &spl_trace_inputs,
    &spl_slip_inputs,
    &spl_picture_season_inputs,
    &spl_picture_map_inputs,
    &spl_picture_shelf_inputs,
    &spl_picture_outing_inputs,
    &spl_picture_batch_inputs,
    &spl_picture_recall_inputs,
    &spl_picture_lot_inputs,
    &spl_picture_year_inputs,
    &spl_label_inputs,
};
const gsize spl_n_all_inputs = G_N_ELEMENTS(spl_all_inputs);
