/* SPDX-License-Identifier: MIT
 *
 * Copies of the book. See book/book.h.
 */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <sys/stat.h>
#include <unistd.h>

#include "book/book.h"
#include "book/book_private.h"
#include "book/check.h"
#include "book/statement.h"
#include "simpling/error.h"

static gboolean sync_file(const char *path, GError **error)
{
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    gboolean synced = fd >= 0 && fsync(fd) == 0;

    if (!synced)
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: cannot be written to the disk: %s", path,
                    g_strerror(errno));
    if (fd >= 0)
        close(fd);
    return synced;
}

static gboolean rename_synced(const char *from, const char *to, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(to);

    if (g_rename(from, to) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: cannot be named so: %s", to,
                    g_strerror(errno));
        return FALSE;
    }
    return sync_file(folder, error);
}

/* Opens the copy and has SQLite look at every page. */
gboolean spl_book_is_whole(const char *path, GError **error)
{
    g_autoptr(spl_book) copy = spl_book_open(path, SPL_BOOK_EXAMINE, error);
    g_autoptr(GPtrArray) findings = g_ptr_array_new_with_free_func(g_free);

    if (copy == NULL || !spl_book_check_file(copy, findings, error))
        return FALSE;
    if (findings->len > 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT, "%s: the copy is damaged (%s); try again",
                    path, (char *)g_ptr_array_index(findings, 0));
    return findings->len == 0;
}

/* An empty file beside the copy's name, whose own name nobody had; as readable as the book itself.
 * NULL with an error. Free with g_free. */
static char *new_part(const struct spl_book *book, const char *path, GError **error)
{
    g_autofree char *part = g_strconcat(path, ".part-XXXXXX", NULL);
    struct stat there;
    int fd = g_mkstemp_full(part, O_RDWR | O_CLOEXEC, 0600);

    if (fd < 0) {
        g_set_error(error, SPL_ERROR, errno == ENOENT ? SPL_ERROR_NOT_FOUND : SPL_ERROR_READ_ONLY,
                    "%s: no copy can be made here: %s; choose another place", path,
                    g_strerror(errno));
        return NULL;
    }
    if (stat(book->path, &there) == 0)
        (void)fchmod(fd, there.st_mode & 0666); /* in vain where files have no modes */
    close(fd);
    return g_steal_pointer(&part);
}

/* Under another name until it is proven, so that a half is never taken for a copy. */
gboolean spl_book_backup(struct spl_book *book, const char *path, GError **error)
{
    g_autofree char *part = NULL;
    gboolean reading, done;

    if (g_file_test(path, G_FILE_TEST_EXISTS)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is something already; choose another name for the copy", path);
        return FALSE;
    }
    part = new_part(book, path, error);
    if (part == NULL)
        return FALSE;
    /* A reading connection may not write, not even into another file. */
    reading = spl_book_number(book, 0, NULL, "PRAGMA query_only", SPL_NONE) == 1;
    if (reading && !spl_book_script(book, "PRAGMA query_only = OFF", error)) {
        g_unlink(part);
        return FALSE;
    }
    done = spl_book_execute(book, error, "VACUUM INTO ?", SPL_WITH(part)) &&
           spl_book_is_whole(part, error) && sync_file(part, error) &&
           rename_synced(part, path, error);
    if (reading && !spl_book_script(book, "PRAGMA query_only = ON", done ? error : NULL))
        done = FALSE;
    if (!done)
        g_unlink(part);
    return done;
}
