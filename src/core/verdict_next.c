/* SPDX-License-Identifier: MIT
 *
 * What would settle each reason of the verdict, for the day asked about. Of ground that somebody
 * means to pick from: whom to ask, until when to wait, how far to go. Of a day that is past, as a
 * harvest was picked on it: what covers that day, or which record to correct.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/verdict_private.h"

/* How exactly a place is taken to be known once somebody says so. */
#define EXACT_M 10.0

static struct spl_day today_of(const struct spl_judge *judge)
{
    return spl_day_is_set(judge->ground->today) ? judge->ground->today : judge->day;
}

static gboolean is_past(const struct spl_judge *judge)
{
    return judge->day.n < today_of(judge).n;
}

static void give_day(struct spl_next *next, const char *key, struct spl_day day)
{
    char text[SPL_DAY_TEXT_SIZE];

    spl_next_give(next, key, spl_day_format(day, text));
}

/* An entry of the day asked about where that is past, else of the day on which it is made. */
static void give_past_day(const struct spl_judge *judge, struct spl_next *next)
{
    if (is_past(judge))
        give_day(next, "on", judge->day);
}

struct spl_next *spl_judge_next_contaminated(const struct spl_judge *judge)
{
    return spl_next_new(SPL_ACTION_SITE_EDIT, "site", judge->ground->site, "not_contaminated",
                        "yes", "why", NULL, NULL);
}

struct spl_next *spl_judge_next_position(const struct spl_judge *judge)
{
    return spl_next_new(SPL_ACTION_SITE_EDIT, "site", judge->ground->site, "accuracy", NULL, NULL);
}

/* Leave ------------------------------------------------------------------------------------------
 */

/* The parts that leave must name for the one asked about, without losing any that it named. */
static char *parts_wanted(const struct spl_judge *judge, const struct spl_permission *leave)
{
    enum spl_part asked =
        spl_part_is_dug(judge->ground->part) ? SPL_PART_ROOT : judge->ground->part;
    gboolean gathers = leave != NULL && leave->given && !leave->teaching;
    guint had = gathers ? leave->parts : 0;
    GString *names;

    if (asked == SPL_PART_ANY || (had == 0 && asked != SPL_PART_ROOT))
        return NULL;
    /* All that needs no digging, and digging. */
    if ((gathers && had == 0) || (had & SPL_PART_BIT(SPL_PART_ANY)) != 0)
        return g_strdup("any");
    names = g_string_new(NULL);
    for (unsigned part = 1; part < SPL_PARTS; part++) {
        if ((had & SPL_PART_BIT(part)) != 0 || part == (unsigned)asked)
            g_string_append_printf(names, "%s%s", names->len > 0 ? "," : "",
                                   spl_part_name((enum spl_part)part));
    }
    return g_string_free(names, FALSE);
}

struct spl_next *spl_judge_next_leave(const struct spl_judge *judge,
                                      const struct spl_permission *leave)
{
    gboolean refused = leave != NULL && !leave->given;
    g_autofree char *parts = parts_wanted(judge, leave);
    struct spl_next *next;

    /* What was refused on the day itself stays so; a later day may bring another answer. */
    if (refused && is_past(judge) && spl_day_is_set(leave->on) && leave->on.n >= judge->day.n)
        return NULL;
    next = spl_next_new(SPL_ACTION_SITE_PERMIT, "site", judge->ground->site, "given", "yes", "by",
                        NULL, NULL);
    if (parts != NULL)
        spl_next_give(next, "parts", parts);
    if (refused && spl_day_is_set(leave->on) && leave->on.n >= today_of(judge).n) {
        next->until = spl_day_add(leave->on, 1);
        give_day(next, "on", next->until);
    } else {
        give_past_day(judge, next);
    }
    return next;
}

/* What was said about spraying -------------------------------------------------------------------
 */

/* A word that nothing was sprayed, from `since` on; not before `from`, if that is to come. */
static struct spl_next *ask_for_word(const struct spl_judge *judge, struct spl_day since,
                                     struct spl_day from)
{
    struct spl_next *next =
        spl_next_new(SPL_ACTION_SPRAY_NOTE, "site", judge->ground->site, "kind", "unsprayed", NULL);

    if (spl_day_is_set(from) && from.n > today_of(judge).n) {
        next->until = from;
        give_day(next, "on", from);
    }
    give_day(next, "since", since);
    spl_next_give(next, "source", NULL);
    return next;
}

/* The first day on which a word is given that still holds on the day asked about. */
static struct spl_day first_word_day(const struct spl_judge *judge)
{
    int days = spl_judge_word_days(judge, judge->day);
    struct spl_day first = spl_day_add(judge->day, -days);

    if (days == SPL_WORD_RESTING_DAYS) {
        struct spl_day growing =
            spl_day_add(spl_judge_last_growing_day(judge), -SPL_WORD_GROWING_DAYS);

        if (growing.n > first.n)
            first = growing;
    }
    return first;
}

struct spl_next *spl_judge_next_word(const struct spl_judge *judge)
{
    return ask_for_word(judge, spl_day_add(judge->day, -judge->hold_days), first_word_day(judge));
}

static struct spl_next *correct_note(const struct spl_spray_note *note)
{
    return spl_next_new(SPL_ACTION_STRIKE, "code", note->code, "why", NULL, NULL);
}

struct spl_next *spl_judge_next_sprayed(const struct spl_judge *judge,
                                        const struct spl_spray_note *note)
{
    if (!spl_day_is_set(note->on))
        return spl_next_new(SPL_ACTION_AMEND, "code", note->code, "on", NULL, "why", NULL, NULL);
    if (is_past(judge))
        return correct_note(note);
    return spl_next_wait(spl_day_add(note->on, judge->hold_days + 1));
}

/* On the day itself it may still be sprayed, so the word is asked for on the day after; looking
 * back, one that covers the day asked about is enough. */
struct spl_next *spl_judge_next_planned(const struct spl_judge *judge,
                                        const struct spl_spray_note *note)
{
    struct spl_day since = spl_day_add(judge->day, -judge->hold_days);
    struct spl_day last = is_past(judge) && judge->day.n < note->on.n ? judge->day : note->on;

    if (!spl_day_is_set(note->on))
        return correct_note(note);
    return ask_for_word(judge, note->on.n < since.n ? note->on : since, spl_day_add(last, 1));
}

/* What lies near ---------------------------------------------------------------------------------
 */

static struct spl_next *import_again(const char *layer, const char *methods)
{
    struct spl_next *next =
        spl_next_new(SPL_ACTION_HAZARD_IMPORT, "file", NULL, "layer", layer, NULL);

    /* Of several methods a column of the file tells. */
    if (methods != NULL && strchr(methods, ',') == NULL)
        spl_next_give(next, "method", methods);
    else
        spl_next_give(next, "method_field", NULL);
    return next;
}

struct spl_next *spl_judge_next_layer(const struct spl_layer_near *layer)
{
    struct spl_next *next = import_again(layer->name, layer->methods);

    if (layer->doubtful)
        spl_next_give(next, "crs", NULL);
    return next;
}

/* Far enough that nothing is asked, from a place that is known. */
static struct spl_next *go_farther(const struct spl_judge *judge,
                                   const struct spl_hazard_near *hazard, double ask_m)
{
    double site_m = judge->ground->uncertainty_m;
    double raw_m = isnan(hazard->distance_m) ? 0 : MAX(hazard->distance_m, 0);
    double known_m = isnan(site_m) || site_m > SPL_DOUBTFUL_M ? EXACT_M : site_m;
    g_autofree char *accuracy = spl_number_format(known_m, 1);
    struct spl_next *next =
        spl_next_new(SPL_ACTION_SITE_ADD, "name", NULL, "at", NULL, "accuracy", accuracy, NULL);

    next->farther_m = ceil(ask_m + known_m + spl_judge_asking_m(hazard->uncertainty_m) - raw_m) + 1;
    return next;
}

struct spl_next *spl_judge_next_hazard(const struct spl_judge *judge,
                                       const struct spl_hazard_near *hazard,
                                       enum spl_reason_kind kind)
{
    const struct spl_method *method = hazard->method;
    double ask_m = fmax(method->ask_m, method->closed_m); /* NAN only when both are */
    double site_m = judge->ground->uncertainty_m;

    if (kind == SPL_REASON_HAZARD_POSITION && !(site_m <= SPL_DOUBTFUL_M) &&
        hazard->distance_m - EXACT_M - spl_judge_asking_m(hazard->uncertainty_m) >= ask_m)
        return spl_judge_next_position(judge);
    if (hazard->note != NULL && (is_past(judge) || kind != SPL_REASON_HAZARD_SPRAYED))
        return spl_next_new(SPL_ACTION_STRIKE, "code", hazard->note, "why", NULL, NULL);
    if (!is_past(judge) && kind == SPL_REASON_HAZARD_SPRAYED)
        return spl_next_wait(
            spl_day_add(hazard->on, MAX(method->hold_on_days, method->hold_near_days) + 1));
    if (!is_past(judge) && !isnan(method->ask_m) && !isnan(method->closed_m))
        return go_farther(judge, hazard, ask_m);
    if (hazard->by_hand)
        return spl_next_new(SPL_ACTION_HAZARD_DROP, "name", hazard->layer, NULL);
    return import_again(hazard->layer, hazard->methods);
}
