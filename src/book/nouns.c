/* SPDX-License-Identifier: MIT
 *
 * The list of all nouns. See book/noun.h.
 */
#include "book/noun.h"

const struct spl_noun *const spl_nouns[] = {
    &spl_almanac_row_noun,
    &spl_amendment_noun,
    &spl_answer_noun,
    &spl_charge_noun,
    &spl_batch_noun,
    &spl_calendar_entry_noun,
    &spl_drying_event_noun,
    &spl_drying_noun,
    &spl_harvest_noun,
    &spl_hazard_layer_noun,
    &spl_method_figure_noun,
    &spl_liquid_noun,
    &spl_lot_event_noun,
    &spl_lot_use_noun,
    &spl_lot_noun,
    &spl_planned_part_noun,
    &spl_planned_noun,
    &spl_kept_stop_noun,
    &spl_kept_take_noun,
    &spl_kept_outing_noun,
    &spl_purchase_noun,
    &spl_reaction_noun,
    &spl_recipe_noun,
    &spl_site_noun,
    &spl_permission_noun,
    &spl_spray_noun,
    &spl_stage_noun,
    &spl_stand_noun,
    &spl_thrown_noun,
    &spl_trust_noun,
    &spl_use_noun,
    &spl_photo_noun,
    &spl_station_noun,
    &spl_window_fix_noun,
    NULL,
};
