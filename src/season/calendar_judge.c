/* SPDX-License-Identifier: MIT
 *
 * Which changes of a calendar cannot be taken over, and what to do instead: those that mean nothing
 * for the book, those that the book contradicts, and an event and its task that contradict each
 * other. See calendar_read.h.
 */
#include <string.h>

#include "season/calendar_read.h"

static void set_why(struct spl_calendar_candidate *candidate, const char *why)
{
    if (candidate->why == NULL)
        candidate->why = g_strdup(why);
}

static void ignore(struct spl_calendar_candidate *candidate, const char *next, const char *why)
{
    candidate->ignored = TRUE;
    candidate->next = next;
    set_why(candidate, why);
}

/* Straining is done when the book knows what came out, which a tick cannot say; a use-by day is no
 * work at all. Every other step is done by ticking it. */
static void judge_step(struct spl_calendar_candidate *candidate)
{
    if (strcmp(candidate->key.step, "use-by") == 0)
        ignore(candidate, "end",
               "a use-by day follows from how the batch was made: pressing or discarding it ends "
               "it");
    else if (candidate->state == SPL_CALENDAR_DONE && strcmp(candidate->key.step, "strain") == 0)
        ignore(candidate, "press", "the book must know what came out of it: press it");
}

/* A step or an outing that the book dropped is taken up in the book, with its day. */
static void judge_again(struct spl_calendar_candidate *candidate)
{
    const char *kind = candidate->key.kind;

    if (strcmp(kind, "outing") == 0)
        ignore(candidate, NULL, "it was taken out of the plan: plan it again");
    else if (strcmp(kind, "step") == 0 && strcmp(candidate->key.step, "use-by") != 0)
        ignore(candidate, "due", "it was dropped in the book: give the step a day again");
}

/* Changes that have no meaning for the book. */
static void judge_meaning(struct spl_calendar_candidate *candidate)
{
    const char *kind = candidate->key.kind;

    if (candidate->again) {
        judge_again(candidate);
        return;
    }
    if (candidate->state == SPL_CALENDAR_DROPPED && candidate->row.state != SPL_CALENDAR_DROPPED)
        return;
    if (strcmp(kind, "step") == 0)
        judge_step(candidate);
    else if (strcmp(kind, "check") == 0)
        ignore(candidate, "note",
               "the day on which a verdict changes follows from what was noted: note what is known "
               "now");
    else if (strcmp(kind, "lot") == 0)
        ignore(candidate, "use",
               "a use-by day follows from how the lot was made: using it up or discarding it ends "
               "it");
    else if (candidate->state == SPL_CALENDAR_DONE && !candidate->moved)
        ignore(candidate, NULL, "only steps of batches can be done");
}

/* What was changed here since it was written, while it was changed there. */
static void judge_conflict(struct spl_calendar_candidate *candidate)
{
    const struct spl_calendar_row *row = &candidate->row;

    if (candidate->ignored || candidate->gone)
        return;
    if (!spl_day_is_set(candidate->have_first)) {
        if (row->state != SPL_CALENDAR_DROPPED)
            set_why(candidate, "the book no longer has it");
    } else if (candidate->have_done && row->state != SPL_CALENDAR_DONE &&
               candidate->state != SPL_CALENDAR_DONE) {
        set_why(candidate, "it is done in the book");
    } else if (candidate->moved &&
               (candidate->have_first.n != candidate->base_first.n ||
                candidate->have_last.n != candidate->base_last.n) &&
               (candidate->have_first.n != candidate->first.n ||
                candidate->have_last.n != candidate->last.n)) {
        char here[SPL_DAY_TEXT_SIZE];

        candidate->both = TRUE;
        candidate->next = "prefer";
        if (candidate->why == NULL)
            candidate->why =
                g_strdup_printf("the book moved it too, to %s; say which of both is to hold",
                                spl_day_format(candidate->have_first, here));
    }
}

/* An event and the task beside it are one thing: they may not be moved to different days. */
static void judge_pairs(struct spl_calendar_reading_run *run)
{
    for (guint i = 0; i < run->candidates->len; i++) {
        struct spl_calendar_candidate *task = g_ptr_array_index(run->candidates, i);

        if (!task->key.task)
            continue;
        for (guint j = 0; j < run->candidates->len; j++) {
            struct spl_calendar_candidate *event = g_ptr_array_index(run->candidates, j);

            if (event->key.task || strcmp(event->row.key, task->row.key + strlen("task;")) != 0)
                continue;
            if (task->moved && event->moved && task->first.n != event->first.n) {
                set_why(task, "the event and the task beside it were moved to different days");
                set_why(event, "the event and the task beside it were moved to different days");
            }
        }
    }
}

void spl_calendar_judge(struct spl_calendar_reading_run *run)
{
    for (guint i = 0; i < run->candidates->len; i++) {
        judge_meaning(g_ptr_array_index(run->candidates, i));
        judge_conflict(g_ptr_array_index(run->candidates, i));
    }
    judge_pairs(run);
}
