/* SPDX-License-Identifier: MIT
 *
 * The table of commands. A new one is a row here and its file.
 */
#include "command/rows.h"

/* One a line, in the order of the help. */
/* clang-format off */
const struct spl_command *const spl_commands[] = {
    &spl_command_help,
    &spl_command_start,
    &spl_command_book_init,
    &spl_command_book_info,
    &spl_command_book_set,
    &spl_command_book_backup,
    &spl_command_book_check,
    &spl_command_book_export,
    &spl_command_book_import,
    &spl_command_book_merge,
    &spl_command_site_add,
    &spl_command_site_edit,
    &spl_command_site_permit,
    &spl_command_site_list,
    &spl_command_site_show,
    &spl_command_stand_set,
    &spl_command_stand_mark,
    &spl_command_stand_rest,
    &spl_command_stand_list,
    &spl_command_spray_note,
    &spl_command_hazard_import,
    &spl_command_hazard_add,
    &spl_command_hazard_list,
    &spl_command_hazard_drop,
    &spl_command_hazard_method,
    &spl_command_check,
    &spl_command_stage_note,
    &spl_command_stage_list,
    &spl_command_almanac_add,
    &spl_command_almanac_list,
    &spl_command_weather_import,
    &spl_command_weather_list,
    &spl_command_window_list,
    &spl_command_window_check,
    &spl_command_harvest_add,
    &spl_command_harvest_list,
    &spl_command_harvest_show,
    &spl_command_harvest_release,
    &spl_command_purchase_add,
    &spl_command_purchase_list,
    &spl_command_purchase_show,
    &spl_command_dry_start,
    &spl_command_dry_turn,
    &spl_command_dry_weigh,
    &spl_command_dry_finish,
    &spl_command_dry_list,
    &spl_command_dry_show,
    &spl_command_need,
    &spl_command_dilute,
    &spl_command_amend,
    &spl_command_strike,
    &spl_command_demo,
};
/* clang-format on */
const gsize spl_n_commands = G_N_ELEMENTS(spl_commands);
