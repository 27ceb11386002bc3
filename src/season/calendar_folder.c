/* SPDX-License-Identifier: MIT
 *
 * Reading a calendar back from its file, or from a folder of one file an entry. See
 * season/calendar_read.h.
 */
#include <string.h>

#include "exchange/ical_read.h"
#include "season/calendar_read.h"
#include "simpling/error.h"

/* What was left out of a file; in a folder its name stands before the reason. */
static void note_left(struct spl_calendar_reading_run *run, int line, const char *what,
                      const char *name, const char *why)
{
    struct spl_ical_left left = {line, g_strdup(what),
                                 name != NULL ? g_strconcat(name, ": ", why, NULL) : g_strdup(why)};

    g_array_append_val(run->out->left_out, left);
}

/* `name` NULL: the file that was asked for; else one of a folder. */
static gboolean read_entries(struct spl_calendar_reading_run *run, const char *path,
                             const char *name, GError **error)
{
    g_autoptr(spl_ical_reader) reader = spl_ical_reader_open(path, NULL, error);
    GError *failed = NULL;
    struct spl_entry entry;
    int foreign = run->out->foreign;
    GArray *left;

    if (reader == NULL)
        return FALSE;
    spl_entry_init(&entry);
    while (failed == NULL && spl_ical_reader_next(reader, &entry, &failed))
        if (!spl_calendar_take_entry(run, &entry, &failed))
            break;
    spl_entry_clear(&entry);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    left = spl_ical_scan_left_out(spl_ical_reader_scan(reader));
    for (guint i = 0; i < left->len; i++) {
        const struct spl_ical_left *one = &g_array_index(left, struct spl_ical_left, i);

        note_left(run, one->line, one->what, name, one->why);
    }
    if (spl_ical_scan_truncated(spl_ical_reader_scan(reader)))
        run->out->truncated = TRUE;
    else if (run->out->foreign == foreign)
        g_ptr_array_add(run->ours, g_canonicalize_filename(path, NULL));
    return TRUE;
}

static int compare_texts(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* A folder that a program keeps in step with a server: every .ics in it, by name; one that cannot
 * be read is listed, and the others are read all the same. */
static gboolean read_folder(struct spl_calendar_reading_run *run, GDir *folder, GError **error)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    const char *name;

    while ((name = g_dir_read_name(folder)) != NULL)
        if (*name != '.' && g_str_has_suffix(name, ".ics"))
            g_ptr_array_add(names, g_strdup(name));
    g_ptr_array_sort(names, compare_texts);
    if (names->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "%s: there is no .ics file in this folder", run->reading->path);
        return FALSE;
    }
    for (guint i = 0; i < names->len; i++) {
        g_autofree char *path =
            g_build_filename(run->reading->path, g_ptr_array_index(names, i), NULL);
        g_autoptr(GError) failed = NULL;

        if (read_entries(run, path, g_ptr_array_index(names, i), &failed))
            continue;
        if (!g_error_matches(failed, SPL_ERROR, SPL_ERROR_CORRUPT) &&
            !g_error_matches(failed, SPL_ERROR, SPL_ERROR_LIMIT) &&
            !g_error_matches(failed, SPL_ERROR, SPL_ERROR_NOT_FOUND)) {
            g_propagate_error(error, g_steal_pointer(&failed));
            return FALSE;
        }
        note_left(run, 0, g_ptr_array_index(names, i), NULL, failed->message);
    }
    return TRUE;
}

gboolean spl_calendar_read_files(struct spl_calendar_reading_run *run, GError **error)
{
    g_autoptr(GDir) folder = g_dir_open(run->reading->path, 0, NULL);

    run->folder = folder != NULL;
    return folder != NULL ? read_folder(run, folder, error)
                          : read_entries(run, run->reading->path, NULL, error);
}
