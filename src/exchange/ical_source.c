/* SPDX-License-Identifier: MIT
 *
 * Octets to unfolded lines. See ical_source.h.
 */
#include "exchange/ical_source.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "simpling/error.h"

#define BUFFER_BYTES (128 * 1024)

struct spl_ical_source {
    char *path; /* for messages */
    int fd;     /* -1: from memory */
    gsize file_bytes, line_bytes;
    char *buffer;
    const char *bytes; /* the buffer, or all bytes in memory */
    gsize size, at;    /* in `bytes` */
    gsize next_lf;     /* first LF at or after `at`, `size` if none, as it was last looked for */
    gboolean lf_known, end, after_cr;
    gsize read_bytes;
    int physical; /* lines so far */
    GString *line;
    int line_at;     /* physical line on which it begins */
    gsize line_size; /* with what was not kept */
};

static void source_error(struct spl_ical_source *source, GError **error, enum spl_error_code code,
                         const char *format, ...) G_GNUC_PRINTF(4, 5);

static void source_error(struct spl_ical_source *source, GError **error, enum spl_error_code code,
                         const char *format, ...)
{
    g_autofree char *message = NULL;
    va_list arguments;

    va_start(arguments, format);
    message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_set_error(error, SPL_ERROR, (int)code, "%s: %s", source->path, message);
}

/* Fills the buffer anew once it is used up. FALSE on failure; the end sets `end`. */
static gboolean refill(struct spl_ical_source *source, GError **error)
{
    ssize_t got;

    if (source->at < source->size || source->end)
        return TRUE;
    if (source->fd < 0) {
        source->end = TRUE;
        return TRUE;
    }
    do
        got = read(source->fd, source->buffer, BUFFER_BYTES);
    while (got < 0 && errno == EINTR);
    if (got < 0) {
        source_error(source, error, SPL_ERROR_IO, "cannot be read: %s", g_strerror(errno));
        return FALSE;
    }
    source->at = 0;
    source->size = (gsize)got;
    source->lf_known = FALSE;
    source->end = got == 0;
    source->read_bytes += (gsize)got;
    if (source->read_bytes > source->file_bytes) {
        source_error(source, error, SPL_ERROR_LIMIT,
                     "is larger than %" G_GSIZE_FORMAT
                     " MB; no calendar is, give a smaller part of it",
                     source->file_bytes >> 20);
        return FALSE;
    }
    return TRUE;
}

/* Appends the rest of the physical line to `line` and steps over its end (CRLF, LF or CR). */
static gboolean read_physical(struct spl_ical_source *source, GError **error)
{
    source->physical++;
    for (;;) {
        const char *from, *cr;
        gsize stop, part;

        if (!refill(source, error))
            return FALSE;
        if (source->end)
            return TRUE;
        if (source->after_cr) {
            source->after_cr = FALSE;
            if (source->bytes[source->at] == '\n') {
                source->at++;
                continue;
            }
        }
        if (!source->lf_known || source->next_lf < source->at) {
            const char *lf = memchr(source->bytes + source->at, '\n', source->size - source->at);

            source->next_lf = lf != NULL ? (gsize)(lf - source->bytes) : source->size;
            source->lf_known = TRUE;
        }
        from = source->bytes + source->at;
        stop = source->next_lf;
        cr = memchr(from, '\r', stop - source->at);
        if (cr != NULL)
            stop = (gsize)(cr - source->bytes);
        part = stop - source->at;
        if (memchr(from, '\0', part) != NULL) {
            source_error(source, error, SPL_ERROR_CORRUPT,
                         "line %d is not text: this is not a calendar file, or a damaged one; "
                         "export it again",
                         source->physical);
            return FALSE;
        }
        source->line_size += part;
        if (source->line->len < source->line_bytes)
            g_string_append_len(source->line, from,
                                (gssize)MIN(part, source->line_bytes - source->line->len));
        source->at = stop;
        if (stop == source->size)
            continue; /* goes on in the next buffer */
        source->at++;
        if (cr != NULL)
            source->after_cr = TRUE;
        return TRUE;
    }
}

/* Steps over the LF of a CRLF, then looks at the next octet: -1 at the end, -2 on failure. */
static int peek(struct spl_ical_source *source, GError **error)
{
    do {
        if (!refill(source, error))
            return -2;
        if (source->end)
            return -1;
        if (!source->after_cr)
            break;
        source->after_cr = FALSE;
        if (source->bytes[source->at] != '\n')
            break;
        source->at++;
    } while (TRUE);
    return (unsigned char)source->bytes[source->at];
}

gboolean spl_ical_source_next(struct spl_ical_source *source, GError **error)
{
    int next = peek(source, error);

    if (next < 0)
        return FALSE;
    g_string_truncate(source->line, 0);
    source->line_size = 0;
    source->line_at = source->physical + 1;
    do {
        if (!read_physical(source, error))
            return FALSE;
        next = peek(source, error);
        if (next == -2)
            return FALSE;
        if (next == ' ' || next == '\t')
            source->at++;
    } while (next == ' ' || next == '\t');
    return TRUE;
}

/* What the first octets say: a byte order mark is skipped, other things are refused by name. */
static gboolean look_at_head(struct spl_ical_source *source, GError **error)
{
    const guchar *head;
    gsize size, blank = 0;

    if (!refill(source, error))
        return FALSE;
    head = (const guchar *)source->bytes;
    size = source->size;
    while (blank < size && g_ascii_isspace(head[blank]))
        blank++;
    if (blank == size) {
        source_error(source, error, SPL_ERROR_CORRUPT, "is empty; export the calendar once more");
        return FALSE;
    }
    if (size >= 2 &&
        ((head[0] == 0xff && head[1] == 0xfe) || (head[0] == 0xfe && head[1] == 0xff) ||
         (head[0] == 'B' && head[1] == 0) || (head[0] == 0 && head[1] == 'B'))) {
        source_error(source, error, SPL_ERROR_CORRUPT,
                     "is written in UTF-16; calendars are UTF-8, save it so");
        return FALSE;
    }
    if (head[blank] == '<') {
        source_error(source, error, SPL_ERROR_CORRUPT,
                     "is a web page or XML, not a calendar; save the .ics file itself");
        return FALSE;
    }
    if (size >= 3 && head[0] == 0xef && head[1] == 0xbb && head[2] == 0xbf)
        source->at = 3;
    return TRUE;
}

static struct spl_ical_source *source_new(const char *path, gsize file_bytes, gsize line_bytes)
{
    struct spl_ical_source *source = g_new0(struct spl_ical_source, 1);

    source->path = g_strdup(path);
    source->fd = -1;
    source->file_bytes = file_bytes;
    source->line_bytes = line_bytes;
    source->line = g_string_sized_new(1024);
    return source;
}

struct spl_ical_source *spl_ical_source_open(const char *path, gsize file_bytes, gsize line_bytes,
                                             GError **error)
{
    g_autoptr(spl_ical_source) source = source_new(path, file_bytes, line_bytes);
    struct stat there;

    source->fd = open(path, O_RDONLY | O_CLOEXEC);
    if (source->fd < 0) {
        source_error(source, error, errno == ENOENT ? SPL_ERROR_NOT_FOUND : SPL_ERROR_IO,
                     "cannot be read: %s", g_strerror(errno));
        return NULL;
    }
    if (fstat(source->fd, &there) == 0 && S_ISDIR(there.st_mode)) {
        source_error(source, error, SPL_ERROR_INVALID, "is a folder; name a calendar file in it");
        return NULL;
    }
    source->buffer = g_malloc(BUFFER_BYTES);
    source->bytes = source->buffer;
    return look_at_head(source, error) ? g_steal_pointer(&source) : NULL;
}

struct spl_ical_source *spl_ical_source_open_bytes(const char *bytes, gsize size, gsize file_bytes,
                                                   gsize line_bytes, GError **error)
{
    g_autoptr(spl_ical_source) source = source_new("the calendar", file_bytes, line_bytes);

    source->bytes = bytes;
    source->size = size;
    source->read_bytes = size;
    if (size > file_bytes) {
        source_error(source, error, SPL_ERROR_LIMIT, "is larger than %" G_GSIZE_FORMAT " MB",
                     file_bytes >> 20);
        return NULL;
    }
    return look_at_head(source, error) ? g_steal_pointer(&source) : NULL;
}

const GString *spl_ical_source_line(const struct spl_ical_source *source)
{
    return source->line;
}

gsize spl_ical_source_line_size(const struct spl_ical_source *source)
{
    return source->line_size;
}

int spl_ical_source_line_at(const struct spl_ical_source *source)
{
    return source->line_at;
}

const char *spl_ical_source_name(const struct spl_ical_source *source)
{
    return source->path;
}

void spl_ical_source_free(struct spl_ical_source *source)
{
    if (source == NULL)
        return;
    if (source->fd >= 0)
        close(source->fd);
    g_free(source->buffer);
    g_free(source->path);
    g_string_free(source->line, TRUE);
    g_free(source);
}
