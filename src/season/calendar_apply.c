/* SPDX-License-Identifier: MIT
 *
 * Taking over what the person changed in their calendar: moved windows, outings and steps, ticked
 * tasks, cancelled entries. See season/calendar_read.h.
 */
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "book/almanac.h"
#include "book/calendar_theirs.h"
#include "book/plan.h"
#include "book/site.h"
#include "book/window.h"
#include "season/calendar_gone.h"
#include "season/calendar_read.h"
#include "season/calendar_theirs.h"
#include "simpling/batch.h"
#include "simpling/error.h"

static const struct spl_site *site_of(const struct spl_calendar_reading_run *run, const char *uuid)
{
    GHashTableIter iter;
    gpointer site;

    g_hash_table_iter_init(&iter, run->gather.sites);
    while (g_hash_table_iter_next(&iter, NULL, &site))
        if (strcmp(((const struct spl_site *)site)->uuid, uuid) == 0)
            return site;
    return NULL;
}

static gboolean move_window(struct spl_calendar_reading_run *run,
                            const struct spl_calendar_candidate *candidate, GError **error)
{
    const struct spl_site *site = site_of(run, candidate->key.subject);
    struct spl_window_fix fix = {
        .site_id = site != NULL ? site->id : 0,
        .material = candidate->key.material,
        .use = candidate->key.use,
        .flush = candidate->key.flush,
        .year = candidate->key.year,
        .start = candidate->first,
        .end = candidate->last,
    };

    if (site != NULL)
        return spl_window_fix_add(run->house->book, &fix, error);
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "%s: the book no longer has its site",
                candidate->row.summary);
    return FALSE;
}

static gboolean move_outing(struct spl_calendar_reading_run *run,
                            const struct spl_calendar_candidate *candidate, GError **error)
{
    g_autoptr(GArray) outings = spl_kept_outing_list(run->house->book, run->gather.season, error);

    for (guint i = 0; outings != NULL && i < outings->len; i++) {
        struct spl_kept_outing *outing = &g_array_index(outings, struct spl_kept_outing, i);

        if (strcmp(outing->uuid, candidate->key.subject) != 0)
            continue;
        outing->day = candidate->first;
        outing->fixed = TRUE;
        return spl_kept_outing_put(run->house->book, outing, error);
    }
    if (outings != NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "%s: the book no longer has it",
                    candidate->row.summary);
    return FALSE;
}

/* The application's clock may be wrong or not say: then it was done today. */
struct spl_day spl_calendar_done_on(const struct spl_calendar_reading_run *run,
                                    const struct spl_calendar_candidate *candidate)
{
    struct spl_day today = run->house->today;
    gboolean believed =
        spl_day_is_set(candidate->completed) && candidate->completed.n <= today.n &&
        (!spl_day_is_set(candidate->since) || candidate->completed.n >= candidate->since.n);

    return believed ? candidate->completed : today;
}

/* Does what is said of the candidate's step. */
static gboolean note_step(struct spl_calendar_reading_run *run,
                          const struct spl_calendar_candidate *candidate,
                          struct spl_batch_step_words *words, GError **error)
{
    g_autoptr(GPtrArray) cautions = NULL;
    struct spl_batch batch;

    words->code = candidate->code;
    words->step = candidate->key.step;
    words->by = run->reading->by;
    if (!spl_batch_step(run->house, words, &batch, &cautions, error))
        return FALSE;
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

static gboolean do_step(struct spl_calendar_reading_run *run,
                        const struct spl_calendar_candidate *candidate, GError **error)
{
    struct spl_batch_step_words words;

    spl_inputs_init(&spl_batch_step_inputs, &words);
    words.on = spl_calendar_done_on(run, candidate);
    return note_step(run, candidate, &words, error);
}

static gboolean move_step(struct spl_calendar_reading_run *run,
                          const struct spl_calendar_candidate *candidate, GError **error)
{
    struct spl_batch_step_words words;

    spl_inputs_init(&spl_batch_step_inputs, &words);
    words.drop = candidate->state == SPL_CALENDAR_DROPPED;
    words.why =
        words.drop ? "cancelled in the person's calendar" : "moved in the person's calendar";
    if (!words.drop)
        words.due = candidate->first;
    return note_step(run, candidate, &words, error);
}

/* The event of a step and the task beside it are one thing: what the first one did, the second need
 * not do again. */
static gboolean change_step(struct spl_calendar_reading_run *run,
                            const struct spl_calendar_candidate *candidate, GError **error)
{
    gboolean drop = candidate->state == SPL_CALENDAR_DROPPED;
    gboolean done =
        candidate->state == SPL_CALENDAR_DONE && candidate->row.state != SPL_CALENDAR_DONE;
    g_autofree char *step = g_strconcat(candidate->key.subject, ";", candidate->key.step, NULL);

    if (drop && strcmp(candidate->key.step, "use-by") == 0)
        return TRUE; /* the reminder goes, the day stays */
    if (!drop && !done && !candidate->moved)
        return TRUE;
    if (!g_hash_table_add(run->changed, g_steal_pointer(&step)))
        return TRUE;
    if (done)
        return candidate->have_done || do_step(run, candidate, error);
    return move_step(run, candidate, error);
}

static gboolean take_over(struct spl_calendar_reading_run *run,
                          const struct spl_calendar_candidate *candidate, GError **error)
{
    const char *kind = candidate->key.kind;

    if (strcmp(kind, "step") == 0)
        return change_step(run, candidate, error);
    if (candidate->state == SPL_CALENDAR_DROPPED)
        /* Of windows, use-by days and days of checking only the reminder goes. */
        return strcmp(kind, "outing") != 0 ||
               spl_plan_strike(run->house->book, candidate->key.subject, run->reading->by,
                               "cancelled in the calendar", error);
    if (!candidate->moved)
        return TRUE;
    return strcmp(kind, "window") == 0 ? move_window(run, candidate, error)
                                       : move_outing(run, candidate, error);
}

/* The register follows, so that the same file read again says nothing new; the next writing counts
 * on from the greater of both sequences. */
static gboolean follow(struct spl_calendar_reading_run *run,
                       struct spl_calendar_candidate *candidate, GError **error)
{
    struct spl_calendar_row row = candidate->row; /* its texts stay the candidate's */
    int theirs = GPOINTER_TO_INT(g_hash_table_lookup(run->sequences, &row.id));
    struct spl_calendar_sent sent;
    gboolean had;

    row.first = candidate->first;
    row.last = candidate->last;
    row.state = candidate->state;
    row.sequence = MAX(row.sequence, theirs) + 1;
    if (!spl_calendar_row_update(run->house->book, &row, error) ||
        !spl_calendar_sent_find(run->house->book, run->target_id, row.id, &sent, &had, error))
        return FALSE;
    sent.hash[0] = '\0';
    sent.first = row.first;
    sent.last = row.last;
    return !had || spl_calendar_sent_put(run->house->book, run->target_id, row.id, &sent, error);
}

/* The person's days are known from now on, and ours will be written again, as something newer. */
static gboolean prefer_book(struct spl_calendar_reading_run *run,
                            struct spl_calendar_candidate *candidate, GError **error)
{
    return spl_calendar_value_add(run->house->book, candidate->row.id, candidate->first,
                                  candidate->last, candidate->state, error) &&
           spl_calendar_forget_sent(run, candidate->row.id, error);
}

/* What was deleted there: dropped as if it were cancelled, but nothing of it is written into this
 * calendar any more; or written again as something newer. */
static gboolean settle_gone(struct spl_calendar_reading_run *run,
                            struct spl_calendar_candidate *candidate, GError **error)
{
    gint64 id = candidate->row.id;

    if (run->reading->deleted == NULL)
        return TRUE;
    candidate->applied = TRUE;
    if (strcmp(run->reading->deleted, "again") == 0)
        return spl_calendar_forget_sent(run, id, error) &&
               spl_calendar_there_put(run->house->book, run->target_id, id, FALSE, error);
    if (!spl_calendar_twin_stays(run, candidate) &&
        !(take_over(run, candidate, error) && follow(run, candidate, error)))
        return FALSE;
    return spl_calendar_hide(run, id, error);
}

/* A copy that an application counted up is older than ours only if ours counts on from there. */
static gboolean raise_sequences(struct spl_calendar_reading_run *run, GError **error)
{
    GHashTableIter iter;
    gpointer id, sequence;

    g_hash_table_iter_init(&iter, run->sequences);
    while (g_hash_table_iter_next(&iter, &id, &sequence))
        if (!spl_calendar_row_raise(run->house->book, *(gint64 *)id, GPOINTER_TO_INT(sequence),
                                    error))
            return FALSE;
    return TRUE;
}

/* Files of ours that hold nothing else may be written over again. */
static gboolean accept_files(struct spl_calendar_reading_run *run, GError **error)
{
    for (guint i = 0; i < run->candidates->len; i++) {
        const struct spl_calendar_candidate *candidate = g_ptr_array_index(run->candidates, i);

        if (!candidate->applied && !candidate->ignored)
            return TRUE; /* something in it would be lost */
    }
    if (run->target_id == 0 && run->sets->len > 0)
        return TRUE; /* so would what the person set */
    for (guint i = 0; i < run->ours->len; i++) {
        const char *path = g_ptr_array_index(run->ours, i);
        GError *failed = NULL;
        g_autofree char *ours = spl_calendar_file_checksum(run->house->book, path, &failed);
        g_autofree char *now = NULL;

        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
        /* Of a folder also what was renamed in it; a single file must have been ours. */
        if (ours == NULL && !run->folder)
            continue;
        now = spl_file_checksum(path, error);
        if (now == NULL || !spl_calendar_file_put(run->house->book, path, now, error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_calendar_apply(struct spl_calendar_reading_run *run, GError **error)
{
    for (guint i = 0; i < run->candidates->len; i++) {
        struct spl_calendar_candidate *candidate = g_ptr_array_index(run->candidates, i);

        /* What has no meaning for the book is written again as the book has it, as something newer.
         */
        if (candidate->ignored) {
            if (!spl_calendar_forget_sent(run, candidate->row.id, error))
                return FALSE;
            continue;
        }
        if (candidate->gone) {
            if (!settle_gone(run, candidate, error))
                return FALSE;
            continue;
        }
        if (candidate->both && g_strcmp0(run->reading->prefer, "book") == 0) {
            if (!prefer_book(run, candidate, error))
                return FALSE;
            candidate->ignored = TRUE;
            continue;
        }
        if (candidate->why != NULL &&
            !(candidate->both && g_strcmp0(run->reading->prefer, "calendar") == 0))
            continue;
        if (!take_over(run, candidate, error) || !follow(run, candidate, error))
            return FALSE;
        candidate->applied = TRUE;
    }
    if (run->rows->len > 0) {
        int fresh, changed;

        if (!spl_almanac_put(run->house->book, run->reading->as_almanac, run->rows, &fresh,
                             &changed, error))
            return FALSE;
    }
    return spl_calendar_keep_theirs(run, error) && raise_sequences(run, error) &&
           accept_files(run, error);
}
