/* SPDX-License-Identifier: MIT
 *
 * How things stand, as enums. Each has a table of names that stay: those of JSON, of the book and
 * of what people read. The first of an enum, where it has an empty name, is said of nothing.
 */
#ifndef SIMPLING_RECORD_STATE_H
#define SIMPLING_RECORD_STATE_H

/* What may be done with a lot, or with whatever else came of herb; in the order in which of several
 * the last counts. */
enum spl_state_word {
    SPL_STATE_UNSAID,
    SPL_STATE_ON_SHELF, /* what is no lot: free */
    SPL_STATE_OUT_OF_DATE,
    SPL_STATE_IS_HELD,
    SPL_STATE_USED_UP,
    SPL_STATE_WITHDRAWN,
    SPL_STATE_DESTROYED,
    SPL_STATE_STRUCK,
    SPL_STATES
};
extern const char *const spl_state_names[]; /* "on the shelf"; NULL at the end, as in all here */

/* How much a reason weighs. */
enum spl_state_grade { SPL_STATE_PAPER, SPL_STATE_DOUBT, SPL_STATE_STOP };
extern const char *const spl_state_grade_names[]; /* "paper" */

/* How far a batch is. */
enum spl_batch_state {
    SPL_BATCH_UNSAID,
    SPL_BATCH_STANDS,
    SPL_BATCH_PRESSED,
    SPL_BATCH_DISCARDED,
    SPL_BATCH_STRUCK
};
extern const char *const spl_batch_state_names[]; /* "stands" */

/* How herb is when it is bought or goes into a jar. */
enum spl_herb_state {
    SPL_HERB_UNSAID, /* it is no herb */
    SPL_HERB_FRESH,
    SPL_HERB_WILTED, /* weighed on the rack, or taken down before it was dry */
    SPL_HERB_DRIED,
    SPL_HERB_FROZEN,
    SPL_HERB_HEATED
};
extern const char *const spl_herb_state_names[]; /* "fresh" */

/* What is done with herb that is put up. */
enum spl_drying_kind { SPL_DRYING_DRIED, SPL_DRYING_FROZEN, SPL_DRYING_HEATED };
extern const char *const spl_drying_kind_names[]; /* "dried" */

/* What was done with it on a day. */
enum spl_drying_act {
    SPL_DRYING_UNSAID,
    SPL_DRYING_TURN,
    SPL_DRYING_WEIGH,
    SPL_DRYING_TEST,
    SPL_DRYING_FINISH
};
extern const char *const spl_drying_act_names[]; /* "turn" */

/* What happened to a lot. */
enum spl_lot_act {
    SPL_LOT_UNSAID,
    SPL_LOT_RELEASED,
    SPL_LOT_WAS_WITHDRAWN,
    SPL_LOT_WAS_DESTROYED,
    SPL_LOT_WAS_HELD,
    SPL_LOT_COUNTED,
    SPL_LOT_DISCARDED
};
extern const char *const spl_lot_act_names[]; /* "release" */

/* What went into a jar. */
enum spl_charge_kind { SPL_CHARGE_HERB, SPL_CHARGE_LIQUID, SPL_CHARGE_LOT, SPL_CHARGE_MARC };
extern const char *const spl_charge_kind_names[]; /* "herb" */

/* What was said of spraying. */
enum spl_spray_kind {
    SPL_SPRAY_UNSPRAYED, /* a word that nothing was sprayed, from `since` to `on` */
    SPL_SPRAY_SPRAYED,   /* sprayed on the site on `on` (none: at an unknown time) */
    SPL_SPRAY_PLANNED,   /* will be sprayed on `on` */
    SPL_SPRAY_NOT_DONE   /* what was planned for `on` was not done, or is called off */
};
extern const char *const spl_spray_kind_names[]; /* "unsprayed" */

/* What was noted of a stand. */
enum spl_stand_kind {
    SPL_STAND_PLANTS,
    SPL_STAND_AREA,
    SPL_STAND_GRAMS,
    SPL_STAND_SHARE,
    SPL_STAND_MARK,
    SPL_STAND_REST,
    SPL_STAND_TAKEN /* by others */
};
extern const char *const spl_stand_kind_names[]; /* "plants" */

/* What the days of a window rest on, the weakest first. */
enum spl_basis {
    SPL_BASIS_ALMANAC,  /* the almanac's own dates, not moved */
    SPL_BASIS_SHIFTED,  /* moved by latitude, longitude, elevation */
    SPL_BASIS_NORMALS,  /* warmth sum by monthly normals */
    SPL_BASIS_WEATHER,  /* warmth sum by this year's days so far, normals for the rest */
    SPL_BASIS_OBSERVED, /* corrected by stages seen */
    SPL_BASIS_FIXED     /* set by the person in their calendar */
};
extern const char *const spl_basis_names[]; /* "almanac" */

/* What a record of the way from herb to bottle is. */
enum spl_thing_kind {
    SPL_THING_HARVEST,
    SPL_THING_PURCHASE,
    SPL_THING_DRYING,
    SPL_THING_BATCH,
    SPL_THING_LOT
};
extern const char *const spl_thing_kind_names[]; /* "harvest" */

/* Why something stands among the day's stops. */
enum spl_stop_state {
    SPL_STOP_CLOSED,    /* ground */
    SPL_STOP_HELD,      /* a record */
    SPL_STOP_WITHDRAWN, /* a lot */
    SPL_STOP_DAMAGED    /* what cannot be told, as the book is damaged there */
};
extern const char *const spl_stop_state_names[]; /* "closed" */

/* Where what a question is about is by now, in the order in which they are asked. */
enum spl_state_urgency {
    SPL_STATE_GONE_OUT,
    SPL_STATE_SHELF,
    SPL_STATE_JARS,
    SPL_STATE_PICKED,
    SPL_STATE_RECORD
};
extern const char *const spl_state_urgency_names[]; /* "gone out" */

#endif
