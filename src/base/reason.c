/* SPDX-License-Identifier: MIT
 *
 * The shapes of reasons and of what would settle them. See simpling/record/reason.h.
 */
#include "simpling/record/reason.h"

#include <math.h>

const char *const spl_verdict_names[] = {
    [SPL_VERDICT_NONE] = "",
    [SPL_VERDICT_CLEAR] = "clear",
    [SPL_VERDICT_ASK] = "ask",
    [SPL_VERDICT_CLOSED] = "closed",
    NULL,
};

const char *const spl_reason_kind_names[] = {
    [SPL_REASON_OTHER] = "other",
    [SPL_REASON_CONTAMINATED] = "contaminated",
    [SPL_REASON_SPRAYED] = "sprayed",
    [SPL_REASON_SPRAYED_UNDATED] = "sprayed-undated",
    [SPL_REASON_SPRAYING_AHEAD] = "spraying-ahead",
    [SPL_REASON_SPRAYING_DUE] = "spraying-due",
    [SPL_REASON_SPRAYING_UNDATED] = "spraying-undated",
    [SPL_REASON_HAZARD_LASTING] = "hazard-lasting",
    [SPL_REASON_HAZARD_SPRAYED] = "hazard-sprayed",
    [SPL_REASON_HAZARD_UNDATED] = "hazard-undated",
    [SPL_REASON_HAZARD_AHEAD] = "hazard-ahead",
    [SPL_REASON_HAZARD_POSITION] = "hazard-position",
    [SPL_REASON_LAYER_INCOMPLETE] = "layer-incomplete",
    [SPL_REASON_LAYER_POSITION] = "layer-position",
    [SPL_REASON_SITE_POSITION] = "site-position",
    [SPL_REASON_WORD_MISSING] = "word-missing",
    [SPL_REASON_WORD_OLD] = "word-old",
    [SPL_REASON_WORD_OPEN] = "word-open",
    [SPL_REASON_WORD_SHORT] = "word-short",
    [SPL_REASON_LEAVE_MISSING] = "leave-missing",
    [SPL_REASON_LEAVE_OVER] = "leave-over",
    [SPL_REASON_LEAVE_PART] = "leave-part",
    [SPL_REASON_LEAVE_REFUSED] = "leave-refused",
    [SPL_REASON_WORD_HOLDS] = "word-holds",
    [SPL_REASON_LEAVE_HOLDS] = "leave-holds",
    [SPL_REASON_OWN_GROUND] = "own-ground",
    [SPL_REASON_KINDS] = NULL,
};
G_STATIC_ASSERT(G_N_ELEMENTS(spl_reason_kind_names) == SPL_REASON_KINDS + 1);

const char *const spl_action_names[] = {
    [SPL_ACTION_NONE] = "none",
    [SPL_ACTION_WAIT] = "wait",
    [SPL_ACTION_SPRAY_NOTE] = "spray-note",
    [SPL_ACTION_SITE_PERMIT] = "site-permit",
    [SPL_ACTION_SITE_EDIT] = "site-edit",
    [SPL_ACTION_SITE_ADD] = "site-add",
    [SPL_ACTION_HAZARD_DROP] = "hazard-drop",
    [SPL_ACTION_HAZARD_IMPORT] = "hazard-import",
    [SPL_ACTION_AMEND] = "amend",
    [SPL_ACTION_STRIKE] = "strike",
    [SPL_ACTION_SITE_LIST] = "site-list",
    [SPL_ACTION_BOOK_MAKE] = "book-make",
    [SPL_ACTION_BOOK_SET] = "book-set",
    [SPL_ACTION_DRYING_WEIGH] = "drying-weigh",
    [SPL_ACTION_STAND_MARK] = "stand-mark",
    [SPL_ACTION_LOT_RELEASE] = "lot-release",
    [SPL_ACTION_LOT_COUNT] = "lot-count",
    [SPL_ACTION_PLAN_ADD] = "plan-add",
    [SPL_ACTION_DRY_TEST] = "dry-test",
    [SPL_ACTION_HEAT] = "heat",
    [SPL_ACTION_DRYING_START] = "drying-start",
    [SPL_ACTION_HARVEST_RELEASE] = "harvest-release",
    [SPL_ACTION_ANSWER] = "answer",
    [SPL_ACTIONS] = NULL,
};
G_STATIC_ASSERT(G_N_ELEMENTS(spl_action_names) == SPL_ACTIONS + 1);

static const struct spl_field given_fields[] = {
    SPL_FIELD(spl_given, key, SPL_TEXT, "key", "what"),
    SPL_FIELD(spl_given, value, SPL_TEXT, "value", "is"),
};
const struct spl_shape spl_given_shape = SPL_SHAPE("given", spl_given, given_fields);

static const struct spl_field next_fields[] = {
    SPL_FIELD(spl_next, action, SPL_WORD, "action", NULL, .names = spl_action_names),
    SPL_FIELD_LIST(spl_next, inputs, &spl_given_shape, "inputs", NULL),
    SPL_FIELD(spl_next, until, SPL_DAY, "until", NULL),
    SPL_FIELD_NUM(spl_next, farther_m, 0, "farther_m", NULL),
};
const struct spl_shape spl_next_shape = SPL_SHAPE("next", spl_next, next_fields);

static const struct spl_field reason_fields[] = {
    SPL_FIELD(spl_reason, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD(spl_reason, kind, SPL_WORD, "kind", NULL, .names = spl_reason_kind_names),
    SPL_FIELD(spl_reason, what, SPL_TEXT, "what", "why"),
    SPL_FIELD_NUM(spl_reason, distance_m, 1, "distance_m", "m away"),
    SPL_FIELD(spl_reason, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_reason, rule, SPL_TEXT, "rule", "rule"),
    SPL_FIELD(spl_reason, source, SPL_TEXT, "source", "source"),
    SPL_FIELD(spl_reason, evidence, SPL_TEXT, "evidence", NULL),
    SPL_FIELD(spl_reason, about, SPL_TEXT, "about", NULL),
    SPL_FIELD_ONE(spl_reason, next, &spl_next_shape, "next"),
};
const struct spl_shape spl_reason_shape = SPL_SHAPE("reason", spl_reason, reason_fields);

static const struct spl_field cause_fields[] = {
    SPL_FIELD(spl_cause, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_cause, grade, SPL_WORD, "grade", "grade", .names = spl_state_grade_names),
    SPL_FIELD(spl_cause, holds, SPL_BOOL, "holds", "holds"),
    SPL_FIELD(spl_cause, what, SPL_TEXT, "what", "why"),
    SPL_FIELD(spl_cause, of, SPL_TEXT, "of", "of"),
    SPL_FIELD(spl_cause, about, SPL_TEXT, "about", "about"),
    SPL_FIELD(spl_cause, evidence, SPL_TEXT, "evidence", NULL),
    SPL_FIELD(spl_cause, ask, SPL_TEXT, "ask", "ask"),
    SPL_FIELD_ONE(spl_cause, next, &spl_next_shape, "next"),
};
const struct spl_shape spl_cause_shape = SPL_SHAPE("cause", spl_cause, cause_fields);

static struct spl_next *next_begin(enum spl_action action, struct spl_day until)
{
    struct spl_next *next = g_new0(struct spl_next, 1);

    *next = (struct spl_next){.action = action,
                              .inputs = spl_list_new(&spl_given_shape),
                              .until = until,
                              .farther_m = NAN};
    return next;
}

struct spl_next *spl_next_new(enum spl_action action, const char *key, ...)
{
    struct spl_next *next = next_begin(action, SPL_DAY_NONE);
    va_list pairs;

    va_start(pairs, key);
    for (; key != NULL; key = va_arg(pairs, const char *))
        spl_next_give(next, key, va_arg(pairs, const char *));
    va_end(pairs);
    return next;
}

void spl_next_give(struct spl_next *next, const char *key, const char *value)
{
    struct spl_given given = {g_strdup(key), g_strdup(value)};

    g_array_append_val(next->inputs, given);
}

struct spl_next *spl_next_wait(struct spl_day until)
{
    return next_begin(SPL_ACTION_WAIT, until);
}

struct spl_next *spl_next_copy(const struct spl_next *next)
{
    struct spl_next *own = next != NULL ? g_new0(struct spl_next, 1) : NULL;

    if (next != NULL)
        spl_record_copy(&spl_next_shape, next, own);
    return own;
}

void spl_next_free(struct spl_next *next)
{
    spl_record_free(&spl_next_shape, next);
}
