/* SPDX-License-Identifier: MIT
 *
 * Every command's row, defined in the file of its group.
 */
#ifndef SPL_COMMAND_ROWS_H
#define SPL_COMMAND_ROWS_H

#include "command/command.h"

/* help_command.c */
extern const struct spl_command spl_command_help;
/* book.c */
extern const struct spl_command spl_command_book_init, spl_command_book_info, spl_command_book_set,
    spl_command_book_backup, spl_command_book_restore, spl_command_book_check,
    spl_command_book_repair, spl_command_book_trust, spl_command_book_lend;
/* site.c */
extern const struct spl_command spl_command_site_add, spl_command_site_edit,
    spl_command_site_permit, spl_command_site_list, spl_command_site_show;
/* spray.c */
extern const struct spl_command spl_command_spray_note;
/* known.c */
extern const struct spl_command spl_command_material_list, spl_command_preparation_list;
/* check.c */
extern const struct spl_command spl_command_check;
/* stand.c */
extern const struct spl_command spl_command_stand_set, spl_command_stand_mark,
    spl_command_stand_rest, spl_command_stand_taken, spl_command_stand_list;
/* site_carry.c */
extern const struct spl_command spl_command_site_import, spl_command_site_export;
/* hazard.c */
extern const struct spl_command spl_command_hazard_import, spl_command_hazard_add,
    spl_command_hazard_list, spl_command_hazard_drop, spl_command_hazard_method;
/* plan.c */
extern const struct spl_command spl_command_plan_add, spl_command_plan_list, spl_command_plan_drop,
    spl_command_plan_shortfall, spl_command_plan_outings, spl_command_plan_year;
/* outing.c */
extern const struct spl_command spl_command_outing_move, spl_command_outing_pin,
    spl_command_outing_take, spl_command_outing_drop;
/* stage.c */
extern const struct spl_command spl_command_stage_note, spl_command_stage_list;
/* almanac.c */
extern const struct spl_command spl_command_almanac_add, spl_command_almanac_list;
/* weather.c */
extern const struct spl_command spl_command_weather_import, spl_command_weather_list,
    spl_command_weather_follow, spl_command_weather_refresh;
/* window.c */
extern const struct spl_command spl_command_window_list, spl_command_window_check;
/* harvest.c */
extern const struct spl_command spl_command_harvest_add, spl_command_harvest_list,
    spl_command_harvest_show, spl_command_harvest_weigh, spl_command_harvest_release;
/* need.c */
extern const struct spl_command spl_command_need, spl_command_dilute;
/* purchase.c */
extern const struct spl_command spl_command_purchase_add, spl_command_purchase_list,
    spl_command_purchase_show;
/* dry.c */
extern const struct spl_command spl_command_dry_start, spl_command_dry_turn, spl_command_dry_weigh,
    spl_command_dry_test, spl_command_dry_finish, spl_command_dry_list, spl_command_dry_show;
/* liquid.c */
extern const struct spl_command spl_command_liquid_add, spl_command_liquid_use,
    spl_command_liquid_list, spl_command_liquid_ledger;
/* batch.c */
extern const struct spl_command spl_command_batch_start, spl_command_batch_add,
    spl_command_batch_step, spl_command_batch_steps, spl_command_batch_press,
    spl_command_batch_list, spl_command_batch_show;
/* lot.c */
extern const struct spl_command spl_command_lot_year, spl_command_lot_list, spl_command_lot_show,
    spl_command_lot_count, spl_command_lot_release, spl_command_lot_withdraw, spl_command_lot_hold,
    spl_command_lot_use, spl_command_lot_bottle, spl_command_lot_reaction, spl_command_discard;
/* photo.c */
extern const struct spl_command spl_command_photo_add, spl_command_photo_list,
    spl_command_photo_look;
/* note.c */
extern const struct spl_command spl_command_slip_read;
/* recipe.c */
extern const struct spl_command spl_command_recipe_keep, spl_command_recipe_list,
    spl_command_recipe_drop;
/* room.c */
extern const struct spl_command spl_command_room;
/* question.c */
extern const struct spl_command spl_command_questions, spl_command_answer, spl_command_answers;
/* trace.c */
extern const struct spl_command spl_command_trace;
/* amend.c */
extern const struct spl_command spl_command_amend, spl_command_strike;
/* carry.c */
extern const struct spl_command spl_command_book_export, spl_command_book_import,
    spl_command_book_merge;
/* today.c */
extern const struct spl_command spl_command_today;
extern const struct spl_command spl_command_desk;
/* start.c */
extern const struct spl_command spl_command_start;
/* calendar.c */
extern const struct spl_command spl_command_calendar_write, spl_command_calendar_read,
    spl_command_calendar_check, spl_command_calendar_again, spl_command_calendar_busy;
/* draw.c; the insides are in draw_run.c */
extern const struct spl_command spl_command_draw_season, spl_command_draw_map,
    spl_command_draw_outing, spl_command_draw_shelf, spl_command_draw_batch, spl_command_draw_year,
    spl_command_draw_recall, spl_command_draw_lot, spl_command_label;
/* slip.c; the inside is in src/programs/simpling-slip.c */
extern const struct spl_command spl_command_slip_write;
/* demo.c */
extern const struct spl_command spl_command_demo;

#endif
