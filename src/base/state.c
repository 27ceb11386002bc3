/* SPDX-License-Identifier: MIT
 *
 * The names of states. See simpling/record/state.h.
 */
#include "simpling/record/state.h"

#include <glib.h>

const char *const spl_state_names[] = {
    [SPL_STATE_UNSAID] = "",
    [SPL_STATE_ON_SHELF] = "on the shelf",
    [SPL_STATE_OUT_OF_DATE] = "out of date",
    [SPL_STATE_IS_HELD] = "held",
    [SPL_STATE_USED_UP] = "used up",
    [SPL_STATE_WITHDRAWN] = "withdrawn",
    [SPL_STATE_DESTROYED] = "destroyed",
    [SPL_STATE_STRUCK] = "struck",
    [SPL_STATES] = NULL,
};

const char *const spl_state_grade_names[] = {
    [SPL_STATE_PAPER] = "paper", [SPL_STATE_DOUBT] = "doubt", [SPL_STATE_STOP] = "stop", NULL};

const char *const spl_batch_state_names[] = {
    [SPL_BATCH_UNSAID] = "",         [SPL_BATCH_STANDS] = "stands",
    [SPL_BATCH_PRESSED] = "pressed", [SPL_BATCH_DISCARDED] = "discarded",
    [SPL_BATCH_STRUCK] = "struck",   NULL,
};

const char *const spl_herb_state_names[] = {
    [SPL_HERB_UNSAID] = "",
    [SPL_HERB_FRESH] = "fresh",
    [SPL_HERB_WILTED] = "wilted",
    [SPL_HERB_DRIED] = "dried",
    [SPL_HERB_FROZEN] = "frozen",
    [SPL_HERB_HEATED] = "heated",
    NULL,
};

const char *const spl_drying_kind_names[] = {[SPL_DRYING_DRIED] = "dried",
                                             [SPL_DRYING_FROZEN] = "frozen",
                                             [SPL_DRYING_HEATED] = "heated",
                                             NULL};

const char *const spl_drying_act_names[] = {
    [SPL_DRYING_UNSAID] = "",   [SPL_DRYING_TURN] = "turn",     [SPL_DRYING_WEIGH] = "weigh",
    [SPL_DRYING_TEST] = "test", [SPL_DRYING_FINISH] = "finish", NULL,
};

const char *const spl_lot_act_names[] = {
    [SPL_LOT_UNSAID] = "",
    [SPL_LOT_RELEASED] = "release",
    [SPL_LOT_WAS_WITHDRAWN] = "withdraw",
    [SPL_LOT_WAS_DESTROYED] = "destroy",
    [SPL_LOT_WAS_HELD] = "hold",
    [SPL_LOT_COUNTED] = "count",
    [SPL_LOT_DISCARDED] = "discard",
    NULL,
};

const char *const spl_charge_kind_names[] = {[SPL_CHARGE_HERB] = "herb",
                                             [SPL_CHARGE_LIQUID] = "liquid",
                                             [SPL_CHARGE_LOT] = "lot",
                                             [SPL_CHARGE_MARC] = "marc",
                                             NULL};

const char *const spl_spray_kind_names[] = {
    [SPL_SPRAY_UNSPRAYED] = "unsprayed",
    [SPL_SPRAY_SPRAYED] = "sprayed",
    [SPL_SPRAY_PLANNED] = "planned",
    [SPL_SPRAY_NOT_DONE] = "not-done",
    NULL,
};

const char *const spl_stand_kind_names[] = {
    [SPL_STAND_PLANTS] = "plants", [SPL_STAND_AREA] = "area",
    [SPL_STAND_GRAMS] = "grams",   [SPL_STAND_SHARE] = "share",
    [SPL_STAND_MARK] = "mark",     [SPL_STAND_REST] = "rest",
    [SPL_STAND_TAKEN] = "taken",   NULL,
};

const char *const spl_basis_names[] = {
    [SPL_BASIS_ALMANAC] = "almanac",
    [SPL_BASIS_SHIFTED] = "shifted",
    [SPL_BASIS_NORMALS] = "normals",
    [SPL_BASIS_WEATHER] = "weather",
    [SPL_BASIS_OBSERVED] = "observed",
    [SPL_BASIS_FIXED] = "fixed",
    NULL,
};

const char *const spl_thing_kind_names[] = {
    [SPL_THING_HARVEST] = "harvest", [SPL_THING_PURCHASE] = "purchase",
    [SPL_THING_DRYING] = "drying",   [SPL_THING_BATCH] = "batch",
    [SPL_THING_LOT] = "lot",         NULL,
};

const char *const spl_stop_state_names[] = {
    [SPL_STOP_CLOSED] = "closed",
    [SPL_STOP_HELD] = "held",
    [SPL_STOP_WITHDRAWN] = "withdrawn",
    [SPL_STOP_DAMAGED] = "damaged",
    NULL,
};

const char *const spl_state_urgency_names[] = {
    [SPL_STATE_GONE_OUT] = "gone out", [SPL_STATE_SHELF] = "on the shelf",
    [SPL_STATE_JARS] = "in jars",      [SPL_STATE_PICKED] = "picked",
    [SPL_STATE_RECORD] = "on paper",   NULL,
};
