/* SPDX-License-Identifier: MIT
 *
 * Files written whole or not at all. See base/file.h.
 */
#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/digest.h"
#include "simpling/error.h"

struct spl_file_writer {
    char *path;      /* the target */
    char *temporary; /* beside it; NULL once renamed or removed */
    int fd;
    spl_digest *sum;
    GByteArray *pending; /* not yet given to the system */
    gboolean fresh;      /* there was no such file */
    gboolean failed;
};

#define PENDING_MOST (64 * 1024)

static void set_errno_error(GError **error, int number, const char *path, const char *doing)
{
    enum spl_error_code code = SPL_ERROR_IO;

    if (number == EACCES || number == EPERM || number == EROFS)
        code = SPL_ERROR_READ_ONLY;
    else if (number == ENOENT || number == ENOTDIR)
        code = SPL_ERROR_NOT_FOUND;
    g_set_error(error, SPL_ERROR, (int)code, "%s: cannot %s: %s; nothing was changed", path, doing,
                g_strerror(number));
}

static gboolean is_a_file(const struct stat *there, const char *path, GError **error)
{
    if (S_ISREG(there->st_mode))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: is a folder, pipe or device, not a file; name a file", path);
    return FALSE;
}

gboolean spl_file_is_target(const char *path, GError **error)
{
    struct stat there;

    return stat(path, &there) != 0 || is_a_file(&there, path, error);
}

struct spl_file_writer *spl_file_writer_open(const char *path, GError **error)
{
    struct spl_file_writer *writer;
    struct stat there;
    mode_t mode = 0666;

    if (stat(path, &there) == 0) {
        if (!is_a_file(&there, path, error))
            return NULL;
        if (access(path, W_OK) != 0) {
            set_errno_error(error, errno, path, "write it");
            return NULL;
        }
        mode = there.st_mode & 0777;
    }
    writer = g_new0(struct spl_file_writer, 1);
    writer->path = g_strdup(path);
    writer->temporary = g_strdup_printf("%s.XXXXXX", path);
    writer->fd = g_mkstemp_full(writer->temporary, O_RDWR | O_CLOEXEC, 0600);
    if (writer->fd < 0) {
        set_errno_error(error, errno, path, "write in its folder");
        g_clear_pointer(&writer->temporary, g_free);
        spl_file_writer_free(writer);
        return NULL;
    }
    if (mode != 0666) {
        (void)fchmod(writer->fd, mode); /* keep the person's own choice of who may read it */
    } else {
        mode_t mask = umask(0);

        umask(mask);
        (void)fchmod(writer->fd, mode & ~mask);
        writer->fresh = TRUE;
    }
    writer->sum = spl_digest_new();
    writer->pending = g_byte_array_sized_new(PENDING_MOST);
    return writer;
}

void spl_file_writer_keep_private(struct spl_file_writer *writer)
{
    if (writer->fresh)
        (void)fchmod(writer->fd, 0600); /* in vain where files have no modes */
}

static gboolean flush(struct spl_file_writer *writer, GError **error)
{
    gsize at = 0;

    while (at < writer->pending->len) {
        ssize_t done = write(writer->fd, writer->pending->data + at, writer->pending->len - at);

        if (done < 0 && errno == EINTR)
            continue;
        if (done < 0) {
            writer->failed = TRUE;
            set_errno_error(error, errno, writer->path, "write");
            return FALSE;
        }
        at += (gsize)done;
    }
    g_byte_array_set_size(writer->pending, 0);
    return TRUE;
}

gboolean spl_file_writer_write(struct spl_file_writer *writer, const void *data, gsize size,
                               GError **error)
{
    const guint8 *bytes = data;

    g_return_val_if_fail(!writer->failed, FALSE);
    spl_digest_add(writer->sum, bytes, size);
    while (size > 0) {
        gsize part = MIN(size, PENDING_MOST - writer->pending->len);

        g_byte_array_append(writer->pending, bytes, (guint)part);
        bytes += part;
        size -= part;
        if (writer->pending->len == PENDING_MOST && !flush(writer, error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_file_writer_text(struct spl_file_writer *writer, const char *text, GError **error)
{
    return spl_file_writer_write(writer, text, strlen(text), error);
}

char *spl_file_writer_checksum(const struct spl_file_writer *writer)
{
    return spl_digest_hex(writer->sum);
}

/* The rename is only durable once the folder's own entry is on the disk. */
static void sync_folder(const char *path)
{
    g_autofree char *folder = g_path_get_dirname(path);
    int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    if (fd >= 0) {
        (void)fsync(fd);
        close(fd);
    }
}

/* Fills the buffer as far as the file goes; how much, -1: it cannot be read. */
static ssize_t read_at(int fd, guint8 *bytes, gsize size, off_t from)
{
    gsize at = 0;

    while (at < size) {
        ssize_t got = pread(fd, bytes + at, size - at, from + (off_t)at);

        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return -1;
        if (got == 0)
            break;
        at += (gsize)got;
    }
    return (ssize_t)at;
}

static gboolean same_bytes(int one, int other)
{
    g_autofree guint8 *bytes = g_malloc(PENDING_MOST);
    g_autofree guint8 *others = g_malloc(PENDING_MOST);
    off_t at = 0;
    ssize_t got;

    do {
        got = read_at(one, bytes, PENDING_MOST, at);
        if (got < 0 || read_at(other, others, PENDING_MOST, at) != got ||
            memcmp(bytes, others, (gsize)got) != 0)
            return FALSE;
        at += got;
    } while (got == PENDING_MOST);
    return TRUE;
}

gboolean spl_file_writer_changes(struct spl_file_writer *writer, gboolean *changes, GError **error)
{
    struct stat there, here;
    int fd;

    if (!flush(writer, error))
        return FALSE;
    fd = open(writer->path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    *changes = fd < 0 || fstat(fd, &there) != 0 || fstat(writer->fd, &here) != 0 ||
               !S_ISREG(there.st_mode) || there.st_size != here.st_size ||
               !same_bytes(writer->fd, fd);
    if (fd >= 0)
        close(fd);
    return TRUE;
}

gboolean spl_file_writer_commit(struct spl_file_writer *writer, GError **error)
{
    gboolean changes;

    if (!spl_file_writer_changes(writer, &changes, error))
        return FALSE;
    if (!changes)
        return TRUE; /* free() throws the copy away */
    if (fsync(writer->fd) != 0 || g_rename(writer->temporary, writer->path) != 0) {
        writer->failed = TRUE;
        set_errno_error(error, errno, writer->path, "finish writing");
        return FALSE;
    }
    g_clear_pointer(&writer->temporary, g_free);
    sync_folder(writer->path);
    return TRUE;
}

void spl_file_writer_free(struct spl_file_writer *writer)
{
    if (writer == NULL)
        return;
    if (writer->fd >= 0)
        close(writer->fd);
    if (writer->temporary != NULL)
        (void)g_unlink(writer->temporary);
    g_free(writer->temporary);
    g_free(writer->path);
    spl_digest_free(writer->sum);
    g_clear_pointer(&writer->pending, g_byte_array_unref);
    g_free(writer);
}

char *spl_file_checksum(const char *path, GError **error)
{
    g_autoptr(spl_digest) sum = spl_digest_new();
    guint8 bytes[16 * 1024];
    /* Without O_NONBLOCK a pipe that nobody writes to would be waited for. */
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    struct stat there;
    ssize_t got;

    if (fd < 0) {
        set_errno_error(error, errno, path, "read it");
        return NULL;
    }
    if (fstat(fd, &there) == 0 && !is_a_file(&there, path, error)) {
        close(fd);
        return NULL;
    }
    while ((got = read(fd, bytes, sizeof bytes)) != 0) {
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            set_errno_error(error, errno, path, "read it");
            close(fd);
            return NULL;
        }
        spl_digest_add(sum, bytes, (gsize)got);
    }
    close(fd);
    return spl_digest_hex(sum);
}

char *spl_file_read(const char *path, gsize max, gsize *size, GError **error)
{
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    guint8 part[16 * 1024];
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    struct stat there;
    ssize_t got;

    if (fd < 0) {
        set_errno_error(error, errno, path, "read it");
        return NULL;
    }
    if (fstat(fd, &there) == 0 && S_ISDIR(there.st_mode)) {
        close(fd);
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is a folder; name a file in it",
                    path);
        return NULL;
    }
    while ((got = read(fd, part, sizeof part)) != 0) {
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0 || bytes->len + (gsize)got > max) {
            int number = errno;

            close(fd);
            if (got < 0)
                set_errno_error(error, number, path, "read it");
            else
                g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                            "%s: is larger than %" G_GSIZE_FORMAT
                            " bytes, the most that is read here; split it",
                            path, max);
            return NULL;
        }
        g_byte_array_append(bytes, part, (guint)got);
    }
    close(fd);
    if (size != NULL)
        *size = bytes->len;
    g_byte_array_append(bytes, (const guint8 *)"", 1);
    return (char *)g_byte_array_free(g_steal_pointer(&bytes), FALSE);
}

gboolean spl_file_write_private(const char *path, const char *text, gsize size, GError **error)
{
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);

    if (writer == NULL)
        return FALSE;
    spl_file_writer_keep_private(writer);
    return spl_file_writer_write(writer, text, size, error) &&
           spl_file_writer_commit(writer, error);
}

gboolean spl_file_write(const char *path, const char *text, gsize size, GError **error)
{
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);

    return writer != NULL && spl_file_writer_write(writer, text, size, error) &&
           spl_file_writer_commit(writer, error);
}
