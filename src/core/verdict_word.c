/* SPDX-License-Identifier: MIT
 *
 * The verdict's rules about what people said and allowed: leave to gather, sprayings noted and
 * planned, words that nothing was sprayed.
 */
#include "core/verdict_private.h"

#include <math.h>
#include <string.h>

#define ORGANIC_RULE "7 CFR 205.207(a); Regulation (EU) 2018/848 Annex II: three years without"

/* The last permission noted by the day asked about. Of two words of one day a refusal counts. */
static const struct spl_permission *current_permission(const struct spl_judge *judge)
{
    const GArray *list = judge->ground->permissions;
    const struct spl_permission *current = NULL;

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_permission *one = &g_array_index(list, struct spl_permission, i);

        if (spl_day_is_set(one->on) && one->on.n > judge->day.n)
            continue;
        if (current == NULL || !spl_day_is_set(current->on) ||
            (spl_day_is_set(one->on) &&
             (one->on.n > current->on.n ||
              (one->on.n == current->on.n && (current->given || !one->given)))))
            current = one;
    }
    return current;
}

void spl_judge_permission(struct spl_judge *judge)
{
    const struct spl_verdict_case *ground = judge->ground;
    const struct spl_permission *leave = current_permission(judge);
    enum spl_verdict verdict = SPL_VERDICT_CLEAR;
    enum spl_reason_kind kind;
    gboolean dug = spl_part_is_dug(ground->part), over, named, all, teaching;
    enum spl_part part = dug ? SPL_PART_ROOT : ground->part; /* leave for roots is for all dug */
    g_autofree char *until = leave != NULL ? spl_day_words(leave->until) : NULL;
    g_autofree char *what = NULL;
    const char *rule;

    over = leave != NULL && leave->given && spl_day_is_set(leave->until) &&
           leave->until.n < judge->day.n;
    teaching = leave != NULL && leave->given && leave->teaching && !over && !ground->own;
    all = leave != NULL && (leave->parts & SPL_PART_BIT(SPL_PART_ANY)) != 0;
    named = leave != NULL && (all || (leave->parts & SPL_PART_BIT(part)) != 0);
    if (leave != NULL && !leave->given) {
        verdict = SPL_VERDICT_CLOSED;
        rule = "where gathering is refused the site is closed";
    } else if (teaching) {
        verdict = SPL_VERDICT_CLOSED;
        rule = "leave to teach is no leave to gather";
    } else if (dug && !ground->own && (leave == NULL || over || !named)) {
        verdict = SPL_VERDICT_CLOSED;
        rule = "roots are dug only with leave that names roots";
    } else if (ground->own) {
        rule = "your own ground needs no leave";
    } else if (leave == NULL || over) {
        verdict = SPL_VERDICT_ASK;
        rule = "without leave that still holds, ask first";
    } else if (ground->part != SPL_PART_ANY && leave->parts != 0 && !named) {
        verdict = SPL_VERDICT_ASK;
        rule = "leave holds for the parts that it names";
    } else {
        rule = "leave to gather holds";
    }
    spl_judge_grade(judge, verdict);
    if (judge->reasons == NULL)
        return;
    if (leave == NULL && ground->own)
        what = g_strdup("your own ground");
    else if (leave == NULL)
        what = g_strdup(dug ? "nobody has given leave to dig" : "nobody has given leave to gather");
    else if (!leave->given)
        what = g_strdup_printf("gathering refused by %s",
                               spl_judge_is_text(leave->by) ? leave->by : "the owner");
    else if (over)
        what = g_strdup_printf("leave given by %s ran out on %s",
                               spl_judge_is_text(leave->by) ? leave->by : "the owner", until);
    else if (teaching)
        what = g_strdup_printf("leave given by %s is for teaching only; nothing is taken for stock",
                               spl_judge_is_text(leave->by) ? leave->by : "the owner");
    else if (verdict != SPL_VERDICT_CLEAR)
        what = g_strdup_printf("leave given by %s does not name %s",
                               spl_judge_is_text(leave->by) ? leave->by : "the owner",
                               spl_part_name(ground->part));
    else
        what = g_strdup_printf("%sleave to gather given by %s", leave->written ? "written " : "",
                               spl_judge_is_text(leave->by) ? leave->by : "the owner");
    kind = leave != NULL && !leave->given ? SPL_REASON_LEAVE_REFUSED
           : verdict == SPL_VERDICT_CLEAR
               ? ground->own ? SPL_REASON_OWN_GROUND : SPL_REASON_LEAVE_HOLDS
           : leave == NULL ? SPL_REASON_LEAVE_MISSING
           : over          ? SPL_REASON_LEAVE_OVER
                           : SPL_REASON_LEAVE_PART;
    spl_judge_tell(judge,
                   &(struct spl_reason){.verdict = verdict,
                                        .kind = kind,
                                        .what = g_steal_pointer(&what),
                                        .distance_m = NAN,
                                        .date = leave != NULL ? leave->on : SPL_DAY_NONE,
                                        .rule = g_strdup(rule),
                                        .source = g_strdup(leave == NULL    ? "no leave noted"
                                                           : leave->written ? "leave, in writing"
                                                                            : "leave, as said"),
                                        .next = verdict != SPL_VERDICT_CLEAR
                                                    ? spl_judge_next_leave(judge, leave)
                                                    : NULL},
                   leave != NULL ? leave->evidence : NULL, NULL);
}

/* ---- what was said about spraying ---- */

/* Does a word of a later day say that nothing was done on this day? One of the day itself may have
 * been given at eight, and the sprayer have come at two. */
static const struct spl_spray_note *word_against(const struct spl_judge *judge,
                                                 struct spl_day planned)
{
    const GArray *notes = judge->ground->notes;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_UNSPRAYED && spl_day_is_set(note->since) &&
            spl_day_is_set(note->on) && note->since.n <= planned.n && note->on.n > planned.n)
            return note;
    }
    return NULL;
}

/* Was it said of this very spraying that it was not done? */
static gboolean is_called_off(const struct spl_judge *judge, struct spl_day planned)
{
    const GArray *notes = judge->ground->notes;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_NOT_DONE && note->on.n == planned.n)
            return TRUE;
    }
    return FALSE;
}

static char *note_words(const struct spl_spray_note *note, const char *begin)
{
    GString *words = g_string_new(begin);

    if (spl_judge_is_text(note->method) && strcmp(note->method, "unknown") == 0)
        g_string_append(words, "; how is not known");
    else if (spl_judge_is_text(note->method))
        g_string_append_printf(words, ", %s", note->method);
    if (spl_judge_is_text(note->product))
        g_string_append_printf(words, ", %s", note->product);
    if (!spl_day_is_set(note->on))
        g_string_append(words, "; when is not known");
    return g_string_free(words, FALSE);
}

static void judge_sprayed(struct spl_judge *judge, const struct spl_spray_note *note)
{
    gboolean dated = spl_day_is_set(note->on);

    if (dated && (note->on.n > judge->day.n || judge->day.n - note->on.n > judge->hold_days))
        return; /* not yet, or long enough ago */
    spl_judge_grade(judge, SPL_VERDICT_CLOSED);
    if (judge->reasons == NULL)
        return;
    spl_judge_tell(judge,
                   &(struct spl_reason){
                       .verdict = SPL_VERDICT_CLOSED,
                       .kind = dated ? SPL_REASON_SPRAYED : SPL_REASON_SPRAYED_UNDATED,
                       .what = note_words(note, "sprayed on the site"),
                       .date = note->on,
                       .rule = dated ? g_strdup_printf("sprayed ground is closed for %d days",
                                                       judge->hold_days)
                                     : g_strdup("ground sprayed at an unknown time is closed"),
                       .source = g_strdup_printf(
                           "%s; figure: " ORGANIC_RULE,
                           spl_judge_is_text(note->source) ? note->source : "source not noted"),
                       .next = spl_judge_next_sprayed(judge, note)},
                   note->evidence, note->code);
}

/* A planned spraying; `rule` is taken over. */
static void tell_planned(struct spl_judge *judge, const struct spl_spray_note *note,
                         enum spl_reason_kind kind, char *rule)
{
    spl_judge_tell(
        judge,
        &(struct spl_reason){
            .verdict = kind == SPL_REASON_SPRAYING_AHEAD ? SPL_VERDICT_ASK : SPL_VERDICT_CLOSED,
            .kind = kind,
            .what = note_words(note, kind == SPL_REASON_SPRAYING_DUE
                                         ? "a spraying of the site was planned and nobody has said "
                                           "that it was not done"
                                         : "a spraying of the site is planned"),
            .date = note->on,
            .rule = rule,
            .source = spl_judge_source(note->source),
            .next = spl_judge_next_planned(judge, note)},
        note->evidence, note->code);
}

static void judge_planned(struct spl_judge *judge, const struct spl_spray_note *note)
{
    int age;

    if (!spl_day_is_set(note->on)) {
        spl_judge_grade(judge, SPL_VERDICT_CLOSED);
        if (judge->reasons != NULL)
            tell_planned(judge, note, SPL_REASON_SPRAYING_UNDATED,
                         g_strdup("a spraying planned for an unknown day may have been done"));
        return;
    }
    age = judge->day.n - note->on.n;
    if (age < -SPL_PLANNED_AHEAD_DAYS || age > judge->hold_days || is_called_off(judge, note->on) ||
        word_against(judge, note->on) != NULL)
        return;
    if (age < 0 && word_against(judge, judge->day) != NULL)
        return; /* looking back: it was not done early */
    spl_judge_grade(judge, age < 0 ? SPL_VERDICT_ASK : SPL_VERDICT_CLOSED);
    if (judge->reasons == NULL)
        return;
    if (age < 0)
        tell_planned(judge, note, SPL_REASON_SPRAYING_AHEAD,
                     g_strdup_printf(
                         "within %d days before a planned spraying, ask whether it was done early",
                         SPL_PLANNED_AHEAD_DAYS));
    else
        tell_planned(
            judge, note, SPL_REASON_SPRAYING_DUE,
            g_strdup_printf("a planned spraying counts as done from its day on, for %d days",
                            judge->hold_days));
}

int spl_judge_word_days(const struct spl_judge *judge, struct spl_day day)
{
    int month;

    if (judge->ground->own)
        return SPL_WORD_OWN_DAYS;
    spl_day_to_ymd(day, NULL, &month, NULL);
    if (judge->ground->lat < 0)
        month = (month + 5) % 12 + 1; /* half a year on */
    return month >= 3 && month <= 10 ? SPL_WORD_GROWING_DAYS : SPL_WORD_RESTING_DAYS;
}

struct spl_day spl_judge_last_growing_day(const struct spl_judge *judge)
{
    int year, month;

    spl_day_to_ymd(judge->day, &year, &month, NULL);
    if (judge->ground->lat < 0)
        return spl_day_from_ymd(year, 4, 30);
    return spl_day_from_ymd(month <= 2 ? year - 1 : year, 10, 31);
}

static gboolean word_is_in_time(const struct spl_judge *judge, const struct spl_spray_note *note)
{
    if (!spl_day_is_set(note->on))
        return FALSE;
    if (spl_day_is_set(note->until) && note->until.n < judge->day.n)
        return FALSE;
    if (note->on.n > judge->day.n) /* said later, about a time that holds the day */
        return spl_day_is_set(note->since) && note->since.n <= judge->day.n;
    if (spl_judge_word_days(judge, judge->day) == SPL_WORD_RESTING_DAYS &&
        spl_judge_last_growing_day(judge).n - note->on.n > SPL_WORD_GROWING_DAYS)
        return FALSE;
    return judge->day.n - note->on.n <= spl_judge_word_days(judge, judge->day);
}

/* The first day that this word vouches for, with the earlier words that join on to it. */
static struct spl_day word_reach(const struct spl_judge *judge, const struct spl_spray_note *word)
{
    const GArray *notes = judge->ground->notes;
    struct spl_day reach = word->since;
    gboolean joined = TRUE;

    while (joined) {
        joined = FALSE;
        for (guint i = 0; i < notes->len; i++) {
            const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);

            if (note->kind == SPL_SPRAY_UNSPRAYED && spl_day_is_set(note->since) &&
                spl_day_is_set(note->on) && note->since.n < reach.n && note->on.n >= reach.n - 1) {
                reach = note->since;
                joined = TRUE;
            }
        }
    }
    return reach;
}

enum word_state { WORD_NONE, WORD_OLD, WORD_OPEN, WORD_SHORT, WORD_GOOD };

static void judge_word(struct spl_judge *judge)
{
    const GArray *notes = judge->ground->notes;
    const struct spl_spray_note *best = NULL;
    enum word_state best_state = WORD_NONE;
    struct spl_day best_reach = SPL_DAY_NONE;
    enum spl_reason_kind kind = SPL_REASON_OTHER;
    g_autofree char *first = NULL;
    g_autofree char *what = NULL;
    g_autofree char *rule = NULL;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);
        enum word_state state;
        struct spl_day reach = SPL_DAY_NONE;

        if (note->kind != SPL_SPRAY_UNSPRAYED)
            continue;
        if (!word_is_in_time(judge, note))
            state = spl_day_is_set(note->on) && note->on.n > judge->day.n ? WORD_NONE : WORD_OLD;
        else if (!spl_day_is_set(note->since))
            state = WORD_OPEN;
        else {
            reach = word_reach(judge, note);
            state = reach.n <= judge->day.n - judge->hold_days ? WORD_GOOD : WORD_SHORT;
        }
        if (state > best_state || (state == best_state && best != NULL &&
                                   spl_day_is_set(note->on) && note->on.n > best->on.n)) {
            best = state == WORD_NONE ? NULL : note;
            best_state = state;
            best_reach = reach;
        }
    }
    spl_judge_grade(judge, best_state == WORD_GOOD ? SPL_VERDICT_CLEAR : SPL_VERDICT_ASK);
    if (judge->reasons == NULL)
        return;
    first = spl_day_words(best_reach);
    switch (best_state) {
    case WORD_NONE:
        kind = SPL_REASON_WORD_MISSING;
        what = g_strdup("nobody has said whether it is sprayed");
        rule = g_strdup("unknown is never clear");
        break;
    case WORD_OLD:
        kind = SPL_REASON_WORD_OLD;
        what = g_strdup("the last 'unsprayed' is too old");
        rule = g_strdup_printf("such a statement holds %d days in %s, %d otherwise, %d on your "
                               "own ground, never longer than it says",
                               SPL_WORD_GROWING_DAYS,
                               judge->ground->lat < 0 ? "September to April" : "March to October",
                               SPL_WORD_RESTING_DAYS, SPL_WORD_OWN_DAYS);
        break;
    case WORD_OPEN:
        kind = SPL_REASON_WORD_OPEN;
        what = g_strdup("the last 'unsprayed' does not say since when");
        rule = g_strdup("a statement must say since when it holds");
        break;
    case WORD_SHORT:
        kind = SPL_REASON_WORD_SHORT;
        what = g_strdup_printf("the last 'unsprayed' reaches back to %s only", first);
        rule = g_strdup_printf("the statements must reach back %d days", judge->hold_days);
        break;
    case WORD_GOOD:
        kind = SPL_REASON_WORD_HOLDS;
        what = g_strdup_printf("said not to be sprayed since %s", first);
        rule = g_strdup_printf("a statement in time that reaches back %d days", judge->hold_days);
        break;
    }
    spl_judge_tell(
        judge,
        &(struct spl_reason){
            .verdict = best_state == WORD_GOOD ? SPL_VERDICT_CLEAR : SPL_VERDICT_ASK,
            .kind = kind,
            .what = g_steal_pointer(&what),
            .distance_m = NAN,
            .date = best != NULL ? best->on : SPL_DAY_NONE,
            .rule = g_steal_pointer(&rule),
            .source = best != NULL ? spl_judge_source(best->source) : g_strdup("nothing noted"),
            .next = best_state != WORD_GOOD ? spl_judge_next_word(judge) : NULL},
        best != NULL ? best->evidence : NULL, best != NULL ? best->code : NULL);
}

void spl_judge_notes(struct spl_judge *judge)
{
    const GArray *notes = judge->ground->notes;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_SPRAYED)
            judge_sprayed(judge, note);
        else if (note->kind == SPL_SPRAY_PLANNED)
            judge_planned(judge, note);
    }
    judge_word(judge);
}
