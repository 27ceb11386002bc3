/* SPDX-License-Identifier: MIT
 *
 * Zip files unpacked, with bounds. See desk/unpack.h.
 */
#include "desk/unpack.h"

#include <archive.h>
#include <archive_entry.h>
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "simpling/error.h"

#define BLOCK 65536
#define ENTRIES_MAX 10000 /* looked at, ours or not */

gboolean spl_has_ending(const char *name, const char *endings)
{
    g_auto(GStrv) each = g_strsplit(endings, " ", -1);
    const char *dot = strrchr(name, '.');

    for (guint i = 0; dot != NULL && each[i] != NULL; i++)
        if (g_ascii_strcasecmp(dot, each[i]) == 0)
            return TRUE;
    return FALSE;
}

/* The last step, as desk/upload.c makes names. NULL: it has none. Free with g_free. */
static char *name_of(struct archive_entry *entry)
{
    const char *path = archive_entry_pathname(entry), *slash, *back;
    char *name;

    if (path == NULL)
        return NULL;
    slash = strrchr(path, '/');
    path = slash != NULL ? slash + 1 : path;
    back = strrchr(path, '\\');
    path = back != NULL ? back + 1 : path;
    if (*path == '\0' || *path == '.' || strlen(path) > 80)
        return NULL;
    name = g_strdup(path);
    for (char *p = name; *p != '\0'; p++)
        if (!g_ascii_isalnum(*p) && strchr(p == name ? "_" : "._-", *p) == NULL)
            *p = '_';
    return name;
}

static gboolean is_damaged(struct archive *from, GError **error)
{
    const char *why = archive_error_string(from);

    g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                "the zip cannot be read (%s); make it again, without a password",
                why != NULL ? why : "it ends too soon");
    return FALSE;
}

static gboolean copy_entry(struct archive *from, const char *name, gint64 *left, GError **error)
{
    g_autofree char *block = g_malloc(BLOCK);
    int fd = open(name, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    la_ssize_t n = 0;
    gboolean ok = fd >= 0;

    if (!ok)
        g_set_error(error, SPL_ERROR, errno == EEXIST ? SPL_ERROR_INVALID : SPL_ERROR_IO,
                    errno == EEXIST ? "the zip holds %s twice; pack one layer alone"
                                    : "%s cannot be unpacked; make room on the disk",
                    name);
    while (ok && (n = archive_read_data(from, block, BLOCK)) > 0) {
        *left -= n;
        if (*left < 0)
            g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                        "the zip unpacks to more than 512 MB; pack the part that you need");
        else if (write(fd, block, (size_t)n) != n)
            g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                        "%s cannot be unpacked; make room on the disk", name);
        else
            continue;
        ok = FALSE;
    }
    if (fd >= 0)
        close(fd);
    return ok && (n == 0 || is_damaged(from, error));
}

static gboolean unpack(struct archive *from, const char *endings, GError **error)
{
    struct archive_entry *entry;
    gint64 left = SPL_UNPACK_MAX;
    guint found = 0, looked_at = 0;
    int code;

    while ((code = archive_read_next_header(from, &entry)) == ARCHIVE_OK || code == ARCHIVE_WARN) {
        g_autofree char *name = name_of(entry);

        if (++looked_at > ENTRIES_MAX || found == SPL_UNPACK_FILES) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                        "the zip holds too many files; pack one layer alone");
            return FALSE;
        }
        if (name == NULL || archive_entry_filetype(entry) != AE_IFREG ||
            !spl_has_ending(name, endings))
            continue;
        found++;
        if (!copy_entry(from, name, &left, error))
            return FALSE;
    }
    if (code != ARCHIVE_EOF)
        return is_damaged(from, error);
    if (found == 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "the zip holds no file of these kinds: %s",
                    endings);
    return found > 0;
}

/* Packing ---------------------------------------------------------------------------------------
 */

static gboolean pack_file(struct archive *into, const char *path, GError **error)
{
    struct archive_entry *entry = archive_entry_new();
    g_autofree char *block = g_malloc(BLOCK);
    int fd = open(path, O_RDONLY | O_NOFOLLOW | O_CLOEXEC);
    struct stat is;
    gboolean ok = fd >= 0 && fstat(fd, &is) == 0;
    ssize_t n = 0;

    if (ok) {
        archive_entry_set_pathname(entry, path);
        archive_entry_set_filetype(entry, AE_IFREG);
        archive_entry_set_perm(entry, 0600);
        archive_entry_set_size(entry, is.st_size);
        archive_entry_set_mtime(entry, is.st_mtime, 0);
        ok = archive_write_header(into, entry) == ARCHIVE_OK;
    }
    while (ok && (n = read(fd, block, BLOCK)) > 0)
        ok = archive_write_data(into, block, (size_t)n) == n;
    if (fd >= 0)
        close(fd);
    archive_entry_free(entry);
    if (!ok || n < 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s cannot be packed; make room on the disk",
                    path);
    return ok && n == 0;
}

static gboolean pack_folder(struct archive *into, const char *folder, GError **error)
{
    g_autoptr(GDir) names = g_dir_open(folder, 0, error);
    gboolean ok = names != NULL;
    const char *name;

    while (ok && (name = g_dir_read_name(names)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);

        ok = g_file_test(path, G_FILE_TEST_IS_DIR) ? pack_folder(into, path, error)
                                                   : pack_file(into, path, error);
    }
    return ok;
}

gboolean spl_pack(const char *folder, const char *zip, GError **error)
{
    struct archive *into = archive_write_new();
    gboolean ok;

    archive_write_set_format_zip(into);
    ok = archive_write_open_filename(into, zip) == ARCHIVE_OK && pack_folder(into, folder, error);
    ok = archive_write_close(into) == ARCHIVE_OK && ok;
    archive_write_free(into);
    if (!ok && error != NULL && *error == NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s cannot be written; make room on the disk",
                    zip);
    return ok;
}

/* Unpacking -------------------------------------------------------------------------------------
 */

gboolean spl_unpack(const char *zip, const char *endings, GError **error)
{
    struct archive *from = archive_read_new();
    gboolean ok;

    archive_read_support_format_zip(from);
    ok = archive_read_open_filename(from, zip, BLOCK) == ARCHIVE_OK ? unpack(from, endings, error)
                                                                    : is_damaged(from, error);
    archive_read_free(from);
    g_unlink(zip);
    return ok;
}
