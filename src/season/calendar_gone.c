/* SPDX-License-Identifier: MIT
 *
 * What the person deleted from a calendar. See season/calendar_gone.h.
 */
#include "season/calendar_gone.h"

#include <string.h>

#include "base/text.h"
#include "book/calendar_theirs.h"

gboolean spl_calendar_is_missed(const struct spl_calendar_row *row, struct spl_day today)
{
    return row->state == SPL_CALENDAR_OPEN && row->last.n >= today.n;
}

/* What was in the file but could not be read is not gone. */
static gboolean was_left_out(const struct spl_calendar_reading_run *run, const char *title)
{
    for (guint i = 0; i < run->out->left_out->len; i++)
        if (strcmp(g_array_index(run->out->left_out, struct spl_ical_left, i).what, title) == 0)
            return TRUE;
    return FALSE;
}

/* In a folder a file of its name that could not be read. */
static gboolean has_file(const struct spl_calendar_reading_run *run, const char *uid)
{
    g_autofree char *name = g_strconcat(uid, ".ics", NULL);
    g_autofree char *path = g_build_filename(run->reading->path, name, NULL);

    return run->folder && g_file_test(path, G_FILE_TEST_EXISTS);
}

static gboolean take_gone(gint64 id, gpointer data, GError **error)
{
    struct spl_calendar_reading_run *run = data;
    const struct spl_calendar_theirs *theirs = g_hash_table_lookup(run->theirs, &id);
    struct spl_calendar_candidate *candidate;
    struct spl_calendar_row row;
    struct spl_calendar_key key;

    if (g_hash_table_contains(run->met, &id) || (theirs != NULL && theirs->hidden))
        return TRUE;
    if (!spl_calendar_row_get(run->house->book, id, &row, error))
        return FALSE;
    if (!spl_calendar_is_missed(&row, run->house->today) || was_left_out(run, row.summary) ||
        has_file(run, row.uid) || !spl_calendar_key_parse(row.key, &key)) {
        spl_calendar_row_clear(&row);
        return TRUE;
    }
    candidate = g_new0(struct spl_calendar_candidate, 1);
    candidate->gone = TRUE;
    candidate->row = row;
    candidate->key = key;
    candidate->first = candidate->base_first = row.first;
    candidate->last = candidate->base_last = row.last;
    candidate->state = SPL_CALENDAR_DROPPED;
    candidate->completed = candidate->have_first = candidate->have_last = SPL_DAY_NONE;
    g_ptr_array_add(run->candidates, candidate);
    g_hash_table_insert(run->by_uid, candidate->row.uid, candidate);
    return TRUE;
}

/* One file of a folder says nothing of the others: one that stands in it, or bears the name of its
 * entry. */
static gboolean is_one_of_a_folder(const struct spl_calendar_reading_run *run)
{
    g_autofree char *uid = g_path_get_basename(run->reading->path);

    if (run->one_of_folder)
        return TRUE;
    if (run->folder || !g_str_has_suffix(uid, ".ics"))
        return FALSE;
    uid[strlen(uid) - strlen(".ics")] = '\0';
    return g_hash_table_contains(run->met_uids, uid);
}

gboolean spl_calendar_find_gone(struct spl_calendar_reading_run *run, GError **error)
{
    if (run->target_id == 0 || run->out->truncated || is_one_of_a_folder(run))
        return TRUE;
    return spl_calendar_there_each(run->house->book, run->target_id, take_gone, run, error);
}

void spl_calendar_judge_gone(struct spl_calendar_reading_run *run)
{
    for (guint i = run->candidates->len; i-- > 0;) {
        const struct spl_calendar_candidate *candidate = g_ptr_array_index(run->candidates, i);

        if (!candidate->gone || (spl_day_is_set(candidate->have_first) && !candidate->have_done))
            continue;
        g_hash_table_remove(run->by_uid, candidate->row.uid);
        g_ptr_array_remove_index(run->candidates, i);
    }
}

gboolean spl_calendar_twin_stays(const struct spl_calendar_reading_run *run,
                                 const struct spl_calendar_candidate *candidate)
{
    g_autofree char *key = candidate->key.task ? g_strdup(candidate->row.key + strlen("task;"))
                                               : g_strconcat("task;", candidate->row.key, NULL);
    g_autofree char *uid = spl_uuid_v5(run->gather.space, key);

    return g_hash_table_contains(run->met_uids, uid);
}

gboolean spl_calendar_hide(struct spl_calendar_reading_run *run, gint64 id, GError **error)
{
    const struct spl_calendar_theirs *had = g_hash_table_lookup(run->theirs, &id);
    struct spl_calendar_theirs theirs = had != NULL ? *had : SPL_CALENDAR_THEIRS_NONE;

    theirs.hidden = TRUE; /* its texts stay the table's */
    return spl_calendar_theirs_put(run->house->book, run->target_id, id, &theirs, error);
}
