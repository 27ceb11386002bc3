/* SPDX-License-Identifier: MIT
 *
 * Files that come with a form. See desk/upload.h.
 */
#define _GNU_SOURCE /* nftw */
#include "desk/upload.h"

#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "desk/door.h"
#include "simpling/error.h"

#define PARSER_MEMORY 8192
#define FIELDS_MAX 65536 /* bytes of the other fields, escaped */
#define NAME_MAX_BYTES 80
#define ID_BYTES 16

struct spl_uploads {
    char *folder;
    GQueue *kept; /* of struct kept, the last first */
};

struct kept {
    char *id, *path;
    gint64 since_us;
};

struct spl_upload {
    struct spl_uploads *uploads;
    struct MHD_PostProcessor *parser; /* NULL: the form has no parts */
    char *id, *path;
    GString *form;
    guint64 size;
    guint n_files;
    int fd; /* of the file that comes now; -1: none */
    gboolean ended;
    GError *wrong; /* what is the matter with it; the first */
};

/* Folders ---------------------------------------------------------------------------------------
 */

static int remove_one(const char *path, const struct stat *is, int kind, struct FTW *where)
{
    (void)is;
    (void)kind;
    (void)where;
    (void)remove(path);
    return 0;
}

static void remove_all(const char *path)
{
    nftw(path, remove_one, 8, FTW_DEPTH | FTW_PHYS | FTW_MOUNT);
}

static void kept_free(gpointer data)
{
    struct kept *kept = data;

    remove_all(kept->path);
    g_free(kept->id);
    g_free(kept->path);
    g_free(kept);
}

struct spl_uploads *spl_uploads_new(const char *name)
{
    struct spl_uploads *uploads = g_new(struct spl_uploads, 1);

    *uploads = (struct spl_uploads){
        g_build_filename(g_get_user_cache_dir(), "simpling", name, NULL), g_queue_new()};
    remove_all(uploads->folder); /* of a desk that was killed */
    return uploads;
}

void spl_uploads_free(struct spl_uploads *uploads)
{
    if (uploads == NULL)
        return;
    g_queue_free_full(uploads->kept, kept_free);
    remove_all(uploads->folder);
    g_free(uploads->folder);
    g_free(uploads);
}

static GList *find(struct spl_uploads *uploads, const char *id)
{
    for (GList *each = uploads->kept->head; id != NULL && each != NULL; each = each->next)
        if (strcmp(((struct kept *)each->data)->id, id) == 0)
            return each;
    return NULL;
}

static void drop_link(struct spl_uploads *uploads, GList *link)
{
    kept_free(link->data);
    g_queue_delete_link(uploads->kept, link);
}

static void drop_old(struct spl_uploads *uploads)
{
    gint64 since = g_get_monotonic_time() - (gint64)SPL_UPLOAD_KEPT_S * G_USEC_PER_SEC;

    while (uploads->kept->tail != NULL &&
           (uploads->kept->length > SPL_UPLOADS_KEPT ||
            ((struct kept *)uploads->kept->tail->data)->since_us < since))
        drop_link(uploads, uploads->kept->tail);
}

const char *spl_uploads_find(struct spl_uploads *uploads, const char *id)
{
    GList *link;

    drop_old(uploads);
    link = find(uploads, id);
    return link != NULL ? ((struct kept *)link->data)->path : NULL;
}

const char *spl_uploads_make(struct spl_uploads *uploads)
{
    g_autofree char *id = spl_door_random(ID_BYTES);
    g_autofree char *path = id != NULL ? g_build_filename(uploads->folder, id, NULL) : NULL;
    struct kept *kept;

    if (path == NULL || g_mkdir_with_parents(path, 0700) != 0)
        return NULL;
    kept = g_new(struct kept, 1);
    *kept = (struct kept){g_steal_pointer(&id), g_steal_pointer(&path), g_get_monotonic_time()};
    g_queue_push_head(uploads->kept, kept);
    drop_old(uploads);
    return kept->id;
}

void spl_uploads_drop(struct spl_uploads *uploads, const char *id)
{
    GList *link = find(uploads, id);

    if (link != NULL)
        drop_link(uploads, link);
}

/* Taking ----------------------------------------------------------------------------------------
 */

static void close_file(struct spl_upload *upload)
{
    if (upload->fd >= 0 && close(upload->fd) != 0 && upload->wrong == NULL)
        g_set_error(&upload->wrong, SPL_ERROR, SPL_ERROR_IO,
                    "The file could not be kept: %s; make room and send it again",
                    g_strerror(errno));
    upload->fd = -1;
}

static void is_wrong(struct spl_upload *upload, enum spl_error_code code, const char *what)
{
    if (upload->wrong == NULL)
        g_set_error_literal(&upload->wrong, SPL_ERROR, (int)code, what);
    close_file(upload);
    if (upload->path != NULL)
        remove_all(upload->path); /* so that what is thrown away takes no room */
}

/* The last step of what the other side calls it, of harmless signs, so that it is no path and no
 * option; its ending tells what it holds. Free with g_free. */
static char *harmless(const char *name)
{
    const char *slash = strrchr(name, '/'), *back = strrchr(name, '\\');
    const char *from = slash != NULL ? slash + 1 : name;
    char *own;
    gsize n;

    if (back != NULL && back + 1 > from)
        from = back + 1;
    n = strlen(from);
    if (n > NAME_MAX_BYTES)
        from += n - NAME_MAX_BYTES;
    own = g_strdup(*from != '\0' ? from : "file");
    for (char *p = own; *p != '\0'; p++)
        if (!g_ascii_isalnum(*p) && strchr(p == own ? "_" : "._-", *p) == NULL)
            *p = '_';
    return own;
}

static void open_file(struct spl_upload *upload, const char *name)
{
    g_autofree char *own = harmless(name), *path = NULL;

    if (upload->n_files++ >= SPL_UPLOAD_FILES) {
        is_wrong(upload, SPL_ERROR_LIMIT, "More than eight files came at once; send them as a zip");
        return;
    }
    if (g_mkdir_with_parents(upload->path, 0700) == 0) {
        path = g_build_filename(upload->path, own, NULL);
        upload->fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    }
    if (upload->fd < 0)
        is_wrong(upload, errno == EEXIST ? SPL_ERROR_INVALID : SPL_ERROR_IO,
                 errno == EEXIST ? "Two files of one name came; send them one after the other"
                                 : "The file could not be kept: the folder for it cannot be made");
}

static void write_file(struct spl_upload *upload, const char *data, gsize size)
{
    while (size > 0) {
        ssize_t n = write(upload->fd, data, size);

        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0) {
            is_wrong(upload, SPL_ERROR_IO,
                     "The file could not be kept: the disk may be full; make room and send it "
                     "again");
            return;
        }
        data += n;
        size -= (gsize)n;
    }
}

static void add_field(struct spl_upload *upload, const char *key, const char *data, gsize size,
                      gboolean begins)
{
    g_autofree char *value = g_uri_escape_bytes((const guint8 *)data, size, NULL);

    if (begins) {
        g_autofree char *name = g_uri_escape_bytes((const guint8 *)key, strlen(key), NULL);

        g_string_append_printf(upload->form, "%s%s=", upload->form->len > 0 ? "&" : "", name);
    }
    g_string_append(upload->form, value);
    if (upload->form->len > FIELDS_MAX)
        is_wrong(upload, SPL_ERROR_LIMIT, "The form is larger than any that the desk has");
}

static enum MHD_Result take_part(void *data, enum MHD_ValueKind kind, const char *key,
                                 const char *name, const char *type, const char *coding,
                                 const char *bytes, uint64_t offset, size_t size)
{
    struct spl_upload *upload = data;

    (void)kind;
    (void)type;
    (void)coding;
    if (upload->wrong != NULL)
        return MHD_YES;
    if (offset == 0)
        close_file(upload);
    if (name == NULL) {
        add_field(upload, key != NULL ? key : "", bytes, size, offset == 0);
        return MHD_YES;
    }
    if (*name == '\0' && size == 0) /* none was chosen */
        return MHD_YES;
    if (offset == 0)
        open_file(upload, name);
    if (upload->fd >= 0)
        write_file(upload, bytes, size);
    return MHD_YES;
}

struct spl_upload *spl_upload_begin(struct spl_uploads *uploads, struct MHD_Connection *connection)
{
    struct spl_upload *upload = g_new(struct spl_upload, 1);

    *upload = (struct spl_upload){
        .uploads = uploads, .id = spl_door_random(ID_BYTES), .form = g_string_new(NULL), .fd = -1};
    if (upload->id != NULL)
        upload->path = g_build_filename(uploads->folder, upload->id, NULL);
    upload->parser = MHD_create_post_processor(connection, PARSER_MEMORY, take_part, upload);
    if (upload->parser == NULL || upload->id == NULL)
        is_wrong(upload, SPL_ERROR_INVALID, "The form that the file came with cannot be read");
    return upload;
}

void spl_upload_take(struct spl_upload *upload, const char *data, gsize size)
{
    upload->size += size;
    if (upload->wrong != NULL)
        return;
    if (upload->size > SPL_UPLOAD_MAX + FIELDS_MAX)
        is_wrong(upload, SPL_ERROR_LIMIT,
                 "The file is larger than 256 MB; send the part of it that you need");
    else if (MHD_post_process(upload->parser, data, size) != MHD_YES)
        is_wrong(upload, SPL_ERROR_INVALID, "The form that the file came with cannot be read");
}

guint64 spl_upload_size(const struct spl_upload *upload)
{
    return upload->size;
}

gboolean spl_upload_end(struct spl_upload *upload, GString *form, GError **error)
{
    struct kept *kept;

    if (upload->parser != NULL && MHD_destroy_post_processor(upload->parser) != MHD_YES)
        is_wrong(upload, SPL_ERROR_INVALID,
                 "The file did not come whole; choose it again and send it once more");
    upload->parser = NULL;
    close_file(upload);
    g_string_append(form, upload->form->str);
    if (upload->wrong != NULL) {
        if (upload->path != NULL)
            remove_all(upload->path);
        g_propagate_error(error, g_steal_pointer(&upload->wrong));
        return FALSE;
    }
    upload->ended = TRUE;
    kept = g_new(struct kept, 1);
    *kept = (struct kept){g_strdup(upload->id), g_strdup(upload->path), g_get_monotonic_time()};
    g_queue_push_head(upload->uploads->kept, kept);
    drop_old(upload->uploads);
    return TRUE;
}

void spl_upload_free(struct spl_upload *upload)
{
    if (upload == NULL)
        return;
    if (upload->parser != NULL)
        MHD_destroy_post_processor(upload->parser);
    close_file(upload);
    if (!upload->ended && upload->path != NULL)
        remove_all(upload->path);
    g_clear_error(&upload->wrong);
    g_string_free(upload->form, TRUE);
    g_free(upload->id);
    g_free(upload->path);
    g_free(upload);
}

const char *spl_upload_id(const struct spl_upload *upload)
{
    return upload->id;
}
