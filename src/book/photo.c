/* SPDX-License-Identifier: MIT
 *
 * Photos as rows, and their files. See book/photo.h.
 */
#include "book/photo.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

#include "base/digest.h"
#include "base/file.h"
#include "base/text.h"
#include "book/code.h"
#include "book/noun.h"
#include "book/setting.h"
#include "simpling/error.h"

/* The space of the UUIDs of photos: a UUID made for this purpose. */
#define SPACE "b7c3a3de-52a1-4a0e-8f7e-4c3f0b1d9e52"

#define BYTES_MOST (64 * 1024 * 1024)

static const struct spl_field photo_fields[] = {
    SPL_FIELD(spl_photo, of, SPL_TEXT, "of", "of"),
    SPL_FIELD(spl_photo, kind, SPL_WORD, "kind", "kind", SPL_STORED("kind"),
              .names = spl_photo_kind_names),
    SPL_FIELD(spl_photo, width, SPL_INT, "width", "width", SPL_STORED("width"), .none_is_0 = TRUE),
    SPL_FIELD(spl_photo, height, SPL_INT, "height", "height", SPL_STORED("height"),
              .none_is_0 = TRUE),
    SPL_FIELD(spl_photo, bytes, SPL_LONG, "bytes", NULL, SPL_STORED("bytes")),
    SPL_FIELD(spl_photo, state, SPL_WORD, "state", "file", .names = spl_photo_state_names),
    SPL_FIELD(spl_photo, says, SPL_TEXT, "says", "says of itself"),
    SPL_FIELD(spl_photo, unseen, SPL_TEXT, "unseen", "not shown", SPL_STORED("unseen")),
    SPL_FIELD_SHOW(spl_photo, file, SPL_TEXT, "file", "kept as"),
    SPL_FIELD(spl_photo, hash, SPL_TEXT, "sha256", NULL, SPL_STORED("hash")),
    SPL_FIELD_KEPT(spl_photo, small, SPL_TEXT, SPL_STORED("small")),
    SPL_FIELD_KEPT(spl_photo, site, SPL_TEXT),
    SPL_FIELD_KEPT(spl_photo, subject, SPL_TEXT, SPL_STORED("subject")),
};
const struct spl_shape spl_photo_shape = SPL_SHAPE("photo", spl_photo, photo_fields);

const struct spl_noun spl_photo_noun = {
    .shape = &spl_photo_shape,
    .table = "photo",
    .from = "photo_now t",
    .fact = TRUE,
};

gboolean spl_photo_add(struct spl_book *book, const struct spl_photo *photo, GError **error)
{
    struct spl_photo written = *photo;
    g_autofree char *name = g_strconcat(photo->subject, photo->hash, NULL);
    g_autofree char *uuid = spl_uuid_v5(SPACE, name);
    GError *failed = NULL;
    gint64 there =
        spl_book_number(book, 0, &failed, "SELECT id FROM photo WHERE uuid = ?", SPL_WITH(uuid));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (there != 0)
        return TRUE;
    spl_book_bring(book, uuid);
    return spl_noun_add(book, &spl_photo_noun, &written, SPL_DAY_NONE, SPL_NONE, error);
}

char *spl_photo_path(const char *book_path, const char *hash, enum spl_photo_kind kind)
{
    static const char *const endings[] = {"", ".jpg", ".png", ".heic"};
    g_autofree char *folder = g_strconcat(book_path, ".photos", NULL);
    g_autofree char *first = g_strndup(hash, 2);
    g_autofree char *name = g_strconcat(hash + MIN(2, strlen(hash)), endings[kind], NULL);

    return g_build_filename(folder, first, name, NULL);
}

/* Its code, or what it is where it has none; and the ground of which it speaks. */
static gboolean name_subject(struct spl_book *book, struct spl_photo *photo, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT k.kind, k.mark, k.year, k.number, p.id, s.name FROM (SELECT ?1 AS subject) w"
        " LEFT JOIN thing k ON k.uuid = w.subject LEFT JOIN permission p ON p.uuid = w.subject"
        " LEFT JOIN spray_note n ON n.id = k.id"
        " LEFT JOIN site_now s ON s.id = coalesce(p.site_id, n.site_id)",
        SPL_WITH(photo->subject));
    struct spl_coded coded = {0};
    gint64 leave = 0;

    if (row == NULL || !spl_statement_next(row, error, SPL_INTO(&coded, &leave, &photo->site)))
        return FALSE;
    photo->of = coded.kind != 0                     ? spl_coded_format(book, &coded)
                : leave != 0 && photo->site != NULL ? g_strdup_printf("leave at %s", photo->site)
                                                    : g_strdup(photo->subject);
    return TRUE;
}

static enum spl_photo_state state_of(const struct spl_photo *photo, gboolean thorough)
{
    g_autofree char *sum = NULL;
    GStatBuf there;

    if (g_stat(photo->file, &there) != 0 || !S_ISREG(there.st_mode))
        return SPL_PHOTO_MISSING;
    if (there.st_size != photo->bytes)
        return SPL_PHOTO_ALTERED;
    if (!thorough)
        return SPL_PHOTO_KEPT;
    sum = spl_file_checksum(photo->file, NULL);
    return g_strcmp0(sum, photo->hash) == 0 ? SPL_PHOTO_KEPT : SPL_PHOTO_ALTERED;
}

GArray *spl_photo_list(struct spl_book *book, const char *subject, gboolean thorough,
                       GError **error)
{
    GArray *list = spl_noun_list(book, &spl_photo_noun,
                                 "WHERE (?1 IS NULL OR t.subject = ?1) ORDER BY t.at, t.uuid",
                                 SPL_WITH(subject), error);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        struct spl_photo *photo = &g_array_index(list, struct spl_photo, i);

        if (!name_subject(book, photo, error)) {
            spl_list_free(&spl_photo_shape, list);
            return NULL;
        }
        photo->file = spl_photo_path(spl_book_path(book), photo->hash, photo->kind);
        photo->state = state_of(photo, thorough);
    }
    return list;
}

gboolean spl_photo_is_known(struct spl_book *book, const char *hash, enum spl_photo_kind *kind,
                            GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error, "SELECT kind FROM photo_now WHERE hash = ? LIMIT 1", SPL_WITH(hash));
    const char *word;
    int found;

    if (row == NULL || !spl_statement_next(row, error, SPL_INTO(&word)))
        return FALSE;
    found = spl_word_value(spl_photo_kind_names, word);
    *kind = (enum spl_photo_kind)MAX(0, found);
    return found > 0;
}

/* For its owner alone, whatever the umask. */
static gboolean make_folder(const char *path, GError **error)
{
    if (g_mkdir_with_parents(path, 0700) == 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY,
                "%s: the folder for photos cannot be made: %s; nothing was taken in", path,
                g_strerror(errno));
    return FALSE;
}

/* Whole or not at all; one that is there as it should be stays. */
static gboolean put_at(const char *path, const void *bytes, gsize size, GError **error)
{
    g_autofree char *inner = g_path_get_dirname(path), *folder = g_path_get_dirname(inner);

    return make_folder(folder, error) && make_folder(inner, error) &&
           spl_file_write_private(path, bytes, size, error);
}

gboolean spl_photo_put(const struct spl_book *book, const char *hash, enum spl_photo_kind kind,
                       const void *bytes, gsize size, gboolean *fresh, GError **error)
{
    g_autofree char *path = spl_photo_path(spl_book_path(book), hash, kind);

    *fresh = !g_file_test(path, G_FILE_TEST_EXISTS);
    return put_at(path, bytes, size, error);
}

/* One for each file, of whichever entries. */
static GArray *by_file(struct spl_book *book, gboolean thorough, GError **error)
{
    GArray *list = spl_photo_list(book, NULL, thorough, error);
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);

    for (guint i = 0; list != NULL && i < list->len;) {
        struct spl_photo *photo = &g_array_index(list, struct spl_photo, i);

        if (g_hash_table_add(seen, photo->hash)) {
            i++;
            continue;
        }
        spl_record_clear(&spl_photo_shape, photo);
        g_array_remove_index(list, i);
    }
    return list;
}

/* The file's octets where it is whole, NULL where it is missing or altered. */
static char *read_whole(const char *path, const struct spl_photo *photo, gsize *size)
{
    g_autoptr(spl_digest) digest = spl_digest_new();
    g_autofree char *bytes = spl_file_read(path, BYTES_MOST, size, NULL), *hash = NULL;

    if (bytes == NULL)
        return NULL;
    spl_digest_add(digest, bytes, *size);
    hash = spl_digest_hex(digest);
    return strcmp(hash, photo->hash) == 0 ? g_steal_pointer(&bytes) : NULL;
}

gboolean spl_photo_copy_all(struct spl_book *book, const char *from, const char *to, gint64 *copied,
                            GError **error)
{
    GArray *list = by_file(book, FALSE, error);
    gboolean ok = list != NULL;

    *copied = 0;
    for (guint i = 0; ok && i < list->len; i++) {
        const struct spl_photo *photo = &g_array_index(list, struct spl_photo, i);
        g_autofree char *source = spl_photo_path(from, photo->hash, photo->kind);
        g_autofree char *target = spl_photo_path(to, photo->hash, photo->kind);
        gsize size;
        g_autofree char *bytes = read_whole(source, photo, &size);

        if (bytes == NULL)
            continue;
        ok = put_at(target, bytes, size, error);
        ++*copied;
    }
    if (list != NULL)
        spl_list_free(&spl_photo_shape, list);
    return ok;
}

void spl_photo_remove_all(struct spl_book *book, const char *path)
{
    GArray *list = by_file(book, FALSE, NULL);
    g_autofree char *folder = g_strconcat(path, ".photos", NULL);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_photo *photo = &g_array_index(list, struct spl_photo, i);
        g_autofree char *file = spl_photo_path(path, photo->hash, photo->kind);
        g_autofree char *inner = g_path_get_dirname(file);

        g_unlink(file);
        g_rmdir(inner);
    }
    g_rmdir(folder);
    spl_list_free(&spl_photo_shape, list);
}

gboolean spl_photo_look_at_files(struct spl_book *book, GPtrArray *findings, GError **error)
{
    GArray *list = by_file(book, TRUE, error);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_photo *photo = &g_array_index(list, struct spl_photo, i);
        gboolean own =
            spl_book_number(book, 0, NULL, "SELECT count(*) FROM photo WHERE hash = ? AND mark = ?",
                            SPL_WITH(photo->hash, spl_setting_mark(book))) > 0;

        if (photo->state == SPL_PHOTO_ALTERED)
            g_ptr_array_add(findings,
                            g_strdup_printf("%s: the file of its photo, %s, is no longer what was "
                                            "taken in; put it back from a backup, or add the photo "
                                            "again",
                                            photo->of, photo->file));
        else if (photo->state == SPL_PHOTO_MISSING && own)
            g_ptr_array_add(findings,
                            g_strdup_printf("%s: the file of its photo, %s, is missing; the small "
                                            "picture is in the book: put the file back from a "
                                            "backup, or add the photo again",
                                            photo->of, photo->file));
    }
    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_photo_shape, list);
    return TRUE;
}
