/* SPDX-License-Identifier: MIT
 *
 * What today's answer looks like: its lists and their columns. See simpling/today.h.
 */
#include "simpling/today.h"

static const struct spl_field stop_fields[] = {
    SPL_FIELD(spl_today_stop, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_today_stop, state, SPL_WORD, "state", "state", .names = spl_stop_state_names),
    SPL_FIELD(spl_today_stop, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_today_stop, touches, SPL_TEXT, "touches", "touches"),
    SPL_FIELD_LIST(spl_today_stop, because, &spl_cause_shape, "because", NULL),
};
const struct spl_shape spl_today_stop_shape = SPL_SHAPE("stop", spl_today_stop, stop_fields);

static const struct spl_field due_fields[] = {
    SPL_FIELD(spl_today_due, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_today_due, step, SPL_TEXT, "step", "step"),
    SPL_FIELD(spl_today_due, due, SPL_DAY, "due", "due"),
    SPL_FIELD(spl_today_due, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_today_due, words, SPL_TEXT, "words", "to do"),
};
const struct spl_shape spl_today_due_shape = SPL_SHAPE("due", spl_today_due, due_fields);

static const struct spl_field opening_fields[] = {
    SPL_FIELD(spl_today_opening, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_today_opening, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_today_opening, verdict, SPL_WORD, "verdict", "verdict",
              .names = spl_verdict_names),
    SPL_FIELD(spl_today_opening, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(spl_today_opening, earliest, SPL_DAY, "earliest", "may begin"),
    SPL_FIELD(spl_today_opening, likely_start, SPL_DAY, "likely_start", "likely from"),
    SPL_FIELD(spl_today_opening, likely_end, SPL_DAY, "likely_end", "likely to"),
    SPL_FIELD_SHOW(spl_today_opening, basis, SPL_WORD, "basis", "basis", .names = spl_basis_names),
    SPL_FIELD_LIST(spl_today_opening, reasons, &spl_reason_shape, "reasons", NULL),
};
const struct spl_shape spl_today_opening_shape =
    SPL_SHAPE("opening", spl_today_opening, opening_fields);

static const struct spl_field ask_fields[] = {
    SPL_FIELD(spl_today_ask, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_today_ask, why, SPL_TEXT, "why", "why"),
    SPL_FIELD_LIST(spl_today_ask, reasons, &spl_reason_shape, "reasons", NULL),
};
const struct spl_shape spl_today_ask_shape = SPL_SHAPE("ask", spl_today_ask, ask_fields);

static const struct spl_field short_fields[] = {
    SPL_FIELD(spl_today_short, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_today_short, need_g, 0, "need_g", "need g"),
    SPL_FIELD_NUM(spl_today_short, short_g, 0, "short_g", "short g"),
    SPL_FIELD(spl_today_short, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_today_short, cure, SPL_TEXT, "cure", "what helps"),
};
const struct spl_shape spl_today_short_shape = SPL_SHAPE("short", spl_today_short, short_fields);

static const struct spl_field expiring_fields[] = {
    SPL_FIELD(spl_today_expiring, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_today_expiring, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_today_expiring, use_by, SPL_DAY, "use_by", "use by"),
    SPL_FIELD_NUM(spl_today_expiring, left_ml, 0, "left_ml", "left mL"),
    SPL_FIELD_NUM(spl_today_expiring, left_g, 0, "left_g", "left g"),
};
const struct spl_shape spl_today_expiring_shape =
    SPL_SHAPE("expiring", spl_today_expiring, expiring_fields);

static const struct spl_field missing_fields[] = {
    SPL_FIELD(spl_today_missing, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_today_missing, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_today_missing, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_today_missing, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_today_missing, bags, SPL_INT, "bags", "counted", .none_is_0 = TRUE),
    SPL_FIELD(spl_today_missing, in, SPL_TEXT, "in", "in"),
};
const struct spl_shape spl_today_missing_shape =
    SPL_SHAPE("missing_weight", spl_today_missing, missing_fields);

static const struct spl_field press_fields[] = {
    SPL_FIELD(spl_today_press, medicine, SPL_TEXT, "medicine", "medicine"),
    SPL_FIELD(spl_today_press, used_up, SPL_DAY, "used_up", "used up about"),
    SPL_FIELD(spl_today_press, jars, SPL_TEXT, "jars", "press"),
};
const struct spl_shape spl_today_press_shape = SPL_SHAPE("press", spl_today_press, press_fields);

/* In the order in which one needs it; what has no label is for programs. */
static const struct spl_field today_fields[] = {
    SPL_FIELD(spl_today, date, SPL_DAY, "date", "today"),
    SPL_FIELD(spl_today, to_answer, SPL_TEXT, "to_answer", "to answer", .empty = TRUE),
    SPL_FIELD_LIST(spl_today, stops, &spl_today_stop_shape, "stops", "stops"),
    SPL_FIELD_LIST(spl_today, missing_weights, &spl_today_missing_shape, "missing_weights",
                   "weights missing"),
    SPL_FIELD_LIST(spl_today, outing, &spl_plan_stop_shape, "outing", "today's outing"),
    SPL_FIELD_LIST(spl_today, calls, &spl_plan_call_shape, "calls", "calls to make"),
    SPL_FIELD_LIST(spl_today, due, &spl_today_due_shape, "due", "steps due"),
    SPL_FIELD_LIST(spl_today, to_press, &spl_today_press_shape, "to_press",
                   "runs out, a jar is ready"),
    SPL_FIELD_LIST(spl_today, gather, &spl_today_opening_shape, "gather", "can be gathered"),
    SPL_FIELD_LIST(spl_today, opening, &spl_today_opening_shape, "opening", "opens soon"),
    SPL_FIELD_LIST(spl_today, questions, &spl_question_shape, "questions", NULL),
    SPL_FIELD_LIST(spl_today, ask, &spl_today_ask_shape, "ask", NULL),
    SPL_FIELD_LIST(spl_today, shortage, &spl_today_short_shape, "short", "runs short"),
    SPL_FIELD_LIST(spl_today, expiring, &spl_today_expiring_shape, "expiring",
                   "out of date, or soon"),
};
const struct spl_shape spl_today_shape = SPL_SHAPE("today", spl_today, today_fields);
