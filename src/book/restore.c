/* SPDX-License-Identifier: MIT
 *
 * Before an upgrade, and back to the book before it. See book/restore.h.
 */
#include "book/restore.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>
#include <unistd.h>

#include "book/check.h"
#include "simpling/error.h"

#define BUSY_MS 10000

/* The header of an SQLite file (https://www.sqlite.org/fileformat.html#the_database_header):
 * numbers of four bytes, the highest first. */
#define HEADER 100
#define SCHEMA_AT 60
#define APPLICATION_AT 68

static guint32 number_at(const guint8 *bytes)
{
    return (guint32)bytes[0] << 24 | (guint32)bytes[1] << 16 | (guint32)bytes[2] << 8 | bytes[3];
}

gboolean spl_book_is_older(const char *path)
{
    guint8 header[HEADER] = {0};
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    gboolean whole = fd >= 0 && pread(fd, header, sizeof header, 0) == (ssize_t)sizeof header;
    guint32 schema = number_at(header + SCHEMA_AT);

    if (fd >= 0)
        close(fd);
    return whole && number_at(header + APPLICATION_AT) == SPL_BOOK_APPLICATION_ID && schema > 0 &&
           schema < (guint32)spl_book_schema();
}

/* The copy of the highest schema, and of those of one schema the last; NULL: none. */
static char *newest_copy(const char *path)
{
    for (int schema = spl_book_schema(); schema > 0; schema--) {
        g_autofree char *name = g_strdup_printf("%s.before-schema-%d", path, schema);
        char *found = g_file_test(name, G_FILE_TEST_IS_REGULAR) ? g_strdup(name) : NULL;

        for (int n = 2; n < 1000; n++) {
            g_autofree char *other = g_strdup_printf("%s-%d", name, n);

            if (!g_file_test(other, G_FILE_TEST_IS_REGULAR))
                break;
            g_free(found);
            found = g_steal_pointer(&other);
        }
        if (found != NULL)
            return found;
    }
    return NULL;
}

static gboolean is_sound(const char *copy, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(copy, SPL_BOOK_READ, error);
    g_autoptr(GPtrArray) findings = g_ptr_array_new_with_free_func(g_free);

    if (book == NULL || !spl_book_check_file(book, findings, error))
        return FALSE;
    if (findings->len > 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: the copy is damaged (%s); take the last backup", copy,
                    (char *)g_ptr_array_index(findings, 0));
    return findings->len == 0;
}

static gboolean failed_to(const char *path, const char *what, GError **error)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                "%s: cannot be %s: %s; look whether its folder may be written", path, what,
                g_strerror(errno));
    return FALSE;
}

/* The present book under another name too, then the copy in its place in one step: there is a book
 * at every moment. */
static gboolean swap(const char *copy, const char *path, const char *aside, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(path);
    int fd;

    if (link(path, aside) != 0)
        return failed_to(path, "kept under another name", error);
    if (g_rename(copy, path) != 0) {
        failed_to(copy, "put in the book's place", error);
        g_unlink(aside);
        return FALSE;
    }
    fd = open(folder, O_RDONLY | O_CLOEXEC);
    if (fd >= 0) {
        (void)fsync(fd);
        close(fd);
    }
    return TRUE;
}

static char *free_name(const char *path)
{
    char *name = g_strconcat(path, ".set-aside", NULL);

    for (int n = 2; n < 1000 && g_file_test(name, G_FILE_TEST_EXISTS); n++) {
        g_free(name);
        name = g_strdup_printf("%s.set-aside-%d", path, n);
    }
    return name;
}

gboolean spl_book_restore(const char *path, char **from, char **aside, GError **error)
{
    g_autofree char *copy = newest_copy(path), *name = free_name(path);
    sqlite3 *db = NULL;
    gboolean ok = FALSE;
    int code;

    if (!g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "%s: there is no book", path);
        return FALSE;
    }
    if (copy == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "%s: no copy from before an upgrade lies beside it; take a backup of your own",
                    path);
        return FALSE;
    }
    if (!is_sound(copy, error))
        return FALSE;
    /* Nobody writes meanwhile; what a killed writer left half is rolled back first. A present book
     * that cannot be read is no reason to stay with it. */
    code = sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
    if (code == SQLITE_OK) {
        sqlite3_busy_timeout(db, BUSY_MS);
        code = sqlite3_exec(db, "BEGIN EXCLUSIVE", NULL, NULL, NULL);
    }
    if ((code & 0xff) == SQLITE_BUSY || (code & 0xff) == SQLITE_LOCKED)
        g_set_error(error, SPL_ERROR, SPL_ERROR_BUSY,
                    "%s: another program is writing in the book; try again when it has finished",
                    path);
    else
        ok = swap(copy, path, name, error);
    sqlite3_close_v2(db);
    if (!ok)
        return FALSE;
    *from = g_steal_pointer(&copy);
    *aside = g_steal_pointer(&name);
    return TRUE;
}
