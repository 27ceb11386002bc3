/* SPDX-License-Identifier: MIT
 *
 * The frame of the verdict: the judge goes over all evidence. The same rules, asked about later
 * days, tell on which day the verdict next changes.
 */
#include "core/verdict.h"

#include <math.h>
#include <string.h>

#include "core/verdict_private.h"

const char *spl_verdict_words(enum spl_verdict verdict)
{
    switch (verdict) {
    case SPL_VERDICT_CLEAR:
        return "nothing known against it";
    case SPL_VERDICT_ASK:
        return "ask first";
    case SPL_VERDICT_CLOSED:
        return "closed";
    case SPL_VERDICT_NONE:
        break;
    }
    return "not checked";
}
/* ---- judging ---- */

void spl_judge_tell(struct spl_judge *judge, const struct spl_reason *reason, const char *evidence,
                    const char *about)
{
    struct spl_reason told = *reason;

    told.evidence = g_strdup(evidence);
    told.about = g_strdup(about);
    g_array_append_val(judge->reasons, told);
}

void spl_judge_grade(struct spl_judge *judge, enum spl_verdict verdict)
{
    judge->worst = MAX(judge->worst, verdict);
}

gboolean spl_judge_is_text(const char *text)
{
    return text != NULL && text[0] != '\0';
}

char *spl_judge_source(const char *source)
{
    return g_strdup(spl_judge_is_text(source) ? source : "source not noted");
}
static void judge_contamination(struct spl_judge *judge)
{
    const struct spl_verdict_case *ground = judge->ground;

    if (ground->contaminated == NULL)
        return;
    spl_judge_grade(judge, SPL_VERDICT_CLOSED);
    if (judge->reasons != NULL)
        spl_judge_tell(
            judge,
            &(struct spl_reason){
                .verdict = SPL_VERDICT_CLOSED,
                .kind = SPL_REASON_CONTAMINATED,
                .what = g_strdup_printf("marked contaminated: %s", ground->contaminated),
                .distance_m = NAN,
                .date = ground->contaminated_on,
                .rule = g_strdup("contaminated ground is closed until the mark is taken off"),
                .source = g_strdup("the site's own record"),
                .next = spl_judge_next_contaminated(judge)},
            ground->evidence, NULL);
}

static void judge_all(struct spl_judge *judge)
{
    judge_contamination(judge);
    spl_judge_permission(judge);
    spl_judge_notes(judge);
    spl_judge_hazards(judge);
    spl_judge_layers(judge);
    spl_judge_position(judge);
}

static struct spl_judge judge_begin(const struct spl_verdict_case *ground, struct spl_day day)
{
    return (struct spl_judge){.ground = ground,
                              .day = day,
                              .hold_days = ground->hold_on_days > 0 ? ground->hold_on_days
                                                                    : SPL_HOLD_DEFAULT_DAYS,
                              .worst = SPL_VERDICT_CLEAR};
}

static enum spl_verdict grade_on(const struct spl_verdict_case *ground, struct spl_day day)
{
    struct spl_judge judge = judge_begin(ground, day);

    judge_all(&judge);
    return judge.worst;
}

enum spl_verdict spl_verdict_grade(const struct spl_verdict_case *ground)
{
    return grade_on(ground, ground->day);
}

/* ---- when it next changes ---- */

static void turn(GArray *days, struct spl_day from, struct spl_day base, int after)
{
    struct spl_day day;

    if (!spl_day_is_set(base))
        return;
    day = spl_day_add(base, after);
    if (spl_day_is_set(day) && day.n > from.n)
        g_array_append_val(days, day);
}

/* Every day after this one on which any rule may turn. */
static GArray *turning_days(const struct spl_verdict_case *ground, int hold_days)
{
    GArray *days = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
    struct spl_day from = ground->day;
    int year;

    for (guint i = 0; ground->permissions != NULL && i < ground->permissions->len; i++) {
        const struct spl_permission *leave =
            &g_array_index(ground->permissions, struct spl_permission, i);

        turn(days, from, leave->on, 0);
        turn(days, from, leave->until, 1);
    }
    for (guint i = 0; ground->notes != NULL && i < ground->notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(ground->notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_UNSPRAYED) {
            turn(days, from, note->on, 0);
            turn(days, from, note->on, SPL_WORD_GROWING_DAYS + 1);
            turn(days, from, note->on, SPL_WORD_RESTING_DAYS + 1);
            turn(days, from, note->on, SPL_WORD_OWN_DAYS + 1);
            turn(days, from, note->until, 1);
            turn(days, from, note->since, 0);
            turn(days, from, note->since, hold_days);
        } else {
            turn(days, from, note->on, -SPL_PLANNED_AHEAD_DAYS);
            turn(days, from, note->on, 0);
            turn(days, from, note->on, hold_days + 1);
        }
    }
    for (guint i = 0; ground->hazards != NULL && i < ground->hazards->len; i++) {
        const struct spl_hazard_near *hazard =
            &g_array_index(ground->hazards, struct spl_hazard_near, i);

        if (hazard->method->lasting)
            continue;
        turn(days, from, hazard->on, -SPL_PLANNED_AHEAD_DAYS);
        turn(days, from, hazard->on, 0);
        turn(days, from, hazard->on, hazard->method->hold_near_days + 1);
        turn(days, from, hazard->on,
             MAX(hazard->method->hold_on_days, hazard->method->hold_near_days) + 1);
    }
    /* A word's life turns with the months, north and south; one year of them is enough, as no word
     * outlives it. */
    spl_day_to_ymd(from, &year, NULL, NULL);
    for (int y = year; y <= year + 1 && y <= 9999; y++) {
        turn(days, from, spl_day_from_ymd(y, 3, 1), 0);
        turn(days, from, spl_day_from_ymd(y, 5, 1), 0);
        turn(days, from, spl_day_from_ymd(y, 9, 1), 0);
        turn(days, from, spl_day_from_ymd(y, 11, 1), 0);
    }
    return days;
}

static int compare_days(gconstpointer a, gconstpointer b)
{
    const struct spl_day *first = a, *second = b;

    return spl_day_compare(*first, *second);
}

static struct spl_day next_change(const struct spl_verdict_case *ground, enum spl_verdict now)
{
    g_autoptr(GArray) days = turning_days(ground, judge_begin(ground, ground->day).hold_days);

    g_array_sort(days, compare_days);
    for (guint i = 0; i < days->len; i++) {
        struct spl_day day = g_array_index(days, struct spl_day, i);

        if (i > 0 && day.n == g_array_index(days, struct spl_day, i - 1).n)
            continue;
        if (grade_on(ground, day) != now)
            return day;
    }
    return SPL_DAY_NONE;
}

/* Worst first; among equals what has a distance before what has none, nearest first, newest first,
 * then by the words, so that the order never depends on that of the input. */
static int compare_reasons(gconstpointer a, gconstpointer b)
{
    const struct spl_reason *first = a, *second = b;

    if (first->verdict != second->verdict)
        return first->verdict > second->verdict ? -1 : 1;
    if (isnan(first->distance_m) != isnan(second->distance_m))
        return isnan(first->distance_m) ? 1 : -1;
    if (first->distance_m < second->distance_m)
        return -1;
    if (first->distance_m > second->distance_m)
        return 1;
    if (first->date.n != second->date.n)
        return spl_day_compare(second->date, first->date);
    return strcmp(first->what, second->what);
}

void spl_verdict_judge(const struct spl_verdict_case *ground, struct spl_verdict_result *result)
{
    struct spl_judge judge = judge_begin(ground, ground->day);

    judge.reasons = spl_list_new(&spl_reason_shape);
    judge_all(&judge);
    g_array_sort(judge.reasons, compare_reasons);
    *result = (struct spl_verdict_result){.verdict = judge.worst,
                                          .until = next_change(ground, judge.worst),
                                          .reasons = judge.reasons};
}

void spl_verdict_result_clear(struct spl_verdict_result *result)
{
    spl_list_free(&spl_reason_shape, result->reasons);
    result->reasons = NULL;
}
