/* SPDX-License-Identifier: MIT
 *
 * The runtime file of a desk. See desk/running.h.
 */
#define _GNU_SOURCE /* locks of the open file, not of the process */
#include "desk/running.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "simpling/error.h"

#define FILE_MAX 512

/* The same file by whatever path it is named; one that is not there yet by its folder's. */
static char *real_path(const char *book)
{
    char *real = realpath(book, NULL);
    g_autofree char *folder = NULL, *name = NULL;
    char *path;

    if (real != NULL) {
        path = g_strdup(real);
        free(real);
        return path;
    }
    folder = g_path_get_dirname(book);
    name = g_path_get_basename(book);
    real = realpath(folder, NULL);
    path = real != NULL ? g_build_filename(real, name, NULL) : g_canonicalize_filename(book, NULL);
    free(real);
    return path;
}

static char *find_path(const char *book, GError **error)
{
    g_autofree char *folder = g_build_filename(g_get_user_runtime_dir(), "simpling", NULL);
    g_autofree char *real = real_path(book), *name = NULL;
    g_autofree char *sum = g_compute_checksum_for_string(G_CHECKSUM_SHA256, real, -1);

    if (g_mkdir_with_parents(folder, 0700) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s: cannot be made: %s; set XDG_RUNTIME_DIR to a folder of yours", folder,
                    g_strerror(errno));
        return NULL;
    }
    sum[16] = '\0';
    name = g_strconcat("desk-", sum, NULL);
    return g_build_filename(folder, name, NULL);
}

static gboolean is_hex(const char *text, gsize n)
{
    return strlen(text) == n && strspn(text, "0123456789abcdef") == n;
}

/* port, name, cookie, secret, a line each. */
static gboolean read_file(int fd, int *port, char ***lines)
{
    char text[FILE_MAX + 1];
    ssize_t n = pread(fd, text, FILE_MAX, 0);
    guint64 number = 0;

    if (n <= 0)
        return FALSE;
    text[n] = '\0';
    *lines = g_strsplit(text, "\n", -1);
    if (g_strv_length(*lines) >= 4 && is_hex((*lines)[1], 10) && is_hex((*lines)[2], 32) &&
        is_hex((*lines)[3], 32) &&
        g_ascii_string_to_unsigned((*lines)[0], 10, 1, 65535, &number, NULL)) {
        *port = (int)number;
        return TRUE;
    }
    g_clear_pointer(lines, g_strfreev);
    return FALSE;
}

static gboolean is_ours(int fd)
{
    struct stat is;

    return fstat(fd, &is) == 0 && S_ISREG(is.st_mode) && is.st_uid == geteuid() &&
           (is.st_mode & 077) == 0;
}

static void replace(char **text, const char *by)
{
    g_free(*text);
    *text = g_strdup(by);
}

gboolean spl_running_take(const char *book, struct spl_running *running, struct spl_door *door,
                          gboolean *theirs, GError **error)
{
    struct flock lock = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    g_auto(GStrv) lines = NULL;
    g_autofree char *path = find_path(book, error);
    int fd, port = 0;

    if (path == NULL)
        return FALSE;
    fd = open(path, O_RDWR | O_CREAT | O_NOFOLLOW | O_CLOEXEC, 0600);
    if (fd < 0 || !is_ours(fd)) {
        g_set_error(error, SPL_ERROR, fd < 0 ? SPL_ERROR_IO : SPL_ERROR_REFUSED,
                    "%s: %s; remove it", path, fd < 0 ? g_strerror(errno) : "is not yours alone");
        if (fd >= 0)
            close(fd);
        return FALSE;
    }
    *theirs = fcntl(fd, F_OFD_SETLK, &lock) != 0;
    /* The other may be about to write its first lines. */
    for (int tries = 0; !read_file(fd, &port, &lines) && *theirs && tries < 20; tries++)
        g_usleep(100000);
    if (*theirs && lines == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_BUSY,
                    "%s: another desk of this book is about to begin or to end; try again", path);
        close(fd);
        return FALSE;
    }
    if (lines != NULL) {
        replace(&door->name, lines[1]);
        replace(&door->cookie, lines[2]);
        if (*theirs)
            replace(&door->secret, lines[3]);
    }
    if (*theirs) {
        close(fd);
        fd = -1;
    }
    *running = (struct spl_running){g_steal_pointer(&path), fd, port};
    return TRUE;
}

gboolean spl_running_tell(struct spl_running *running, const struct spl_door *door, int port,
                          GError **error)
{
    g_autofree char *text =
        g_strdup_printf("%d\n%s\n%s\n%s\n", port, door->name, door->cookie, door->secret);
    gsize n = strlen(text);

    if (ftruncate(running->fd, 0) != 0 || pwrite(running->fd, text, n, 0) != (ssize_t)n) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: cannot be written: %s", running->path,
                    g_strerror(errno));
        return FALSE;
    }
    running->port = port;
    return TRUE;
}

void spl_running_end(struct spl_running *running)
{
    if (running->fd >= 0)
        close(running->fd);
    running->fd = -1;
    g_clear_pointer(&running->path, g_free);
}
