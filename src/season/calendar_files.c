/* SPDX-License-Identifier: MIT
 *
 * The files of one writing. See season/calendar_files.h.
 */
#include "season/calendar_files.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <unistd.h>

#include "base/file.h"
#include "book/calendar.h"
#include "simpling/error.h"

gboolean spl_calendar_file_is_ours(struct spl_book *book, const char *path, gboolean force,
                                   GError **error)
{
    g_autofree char *there = NULL;
    g_autofree char *ours = NULL;
    GError *failed = NULL;
    gboolean known;

    if (force || !g_file_test(path, G_FILE_TEST_EXISTS))
        return TRUE;
    there = spl_file_checksum(path, error);
    if (there == NULL)
        return FALSE;
    ours = spl_calendar_file_checksum(book, path, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (g_strcmp0(there, ours) == 0)
        return TRUE;
    /* The folder may have moved: what we left anywhere is ours. */
    if (!spl_calendar_file_known(book, there, &known, error))
        return FALSE;
    if (known)
        return TRUE;
    spl_error_set_input(
        error, SPL_ERROR_CONFLICT, "force",
        ours == NULL ? "%s is not a file of this program; write elsewhere, or say that it is to be "
                       "replaced"
                     : "%s was changed since we wrote it; read it and take the changes "
                       "over, or say that it is to be replaced",
        path);
    return FALSE;
}

struct placed {
    char *path;
    char *kept; /* the hidden name; NULL: there was no file */
};

static void placed_free(gpointer data)
{
    struct placed *placed = data;

    g_free(placed->path);
    g_free(placed->kept);
    g_free(placed);
}

GPtrArray *spl_calendar_files_new(void)
{
    return g_ptr_array_new_with_free_func(placed_free);
}

void spl_calendar_files_keep(GPtrArray *files, const char *path)
{
    struct placed *placed = g_new0(struct placed, 1);

    placed->path = g_strdup(path);
    if (g_file_test(path, G_FILE_TEST_EXISTS)) {
        g_autofree char *folder = g_path_get_dirname(path), *name = g_path_get_basename(path);

        /* A name that nobody has: what stands there already is not ours. Without hard links the new
         * file stays if the book fails: the error says that it failed, and the next write asks
         * whether it may be replaced. */
        for (int tries = 0; tries < 100 && placed->kept == NULL; tries++) {
            g_autofree char *hidden = g_strdup_printf(".%s.before-%08x", name, g_random_int());
            g_autofree char *kept = g_build_filename(folder, hidden, NULL);

            if (link(path, kept) == 0)
                placed->kept = g_steal_pointer(&kept);
            else if (errno != EEXIST)
                break;
        }
        if (placed->kept == NULL) {
            placed_free(placed);
            return;
        }
    }
    g_ptr_array_add(files, placed);
}

void spl_calendar_files_settle(GPtrArray *files, gboolean done)
{
    for (guint i = 0; i < files->len; i++) {
        const struct placed *placed = g_ptr_array_index(files, i);

        if (!done && placed->kept == NULL)
            g_unlink(placed->path);
        else if (!done)
            g_rename(placed->kept, placed->path);
        /* A rename onto the same file leaves both names (POSIX). */
        if (placed->kept != NULL)
            g_unlink(placed->kept);
    }
    g_ptr_array_unref(files);
}
