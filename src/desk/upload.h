/* SPDX-License-Identifier: MIT
 *
 * Uploads: files that come with a form, streamed into a folder of the person's cache that is theirs
 * alone. Each upload has a folder of its own in it, which is removed when it was refused, read to
 * the end or forgotten, when the desk ends, and, of a desk that was killed, when the next begins.
 */
#ifndef SPL_DESK_UPLOAD_H
#define SPL_DESK_UPLOAD_H

#include <glib.h>
#include <microhttpd.h>

#define SPL_UPLOAD_MAX ((guint64)256 * 1024 * 1024) /* bytes of all files of one form */
#define SPL_UPLOAD_FILES 8
#define SPL_UPLOADS_KEPT 8     /* that wait to be applied; then the oldest goes */
#define SPL_UPLOAD_KEPT_S 1800 /* so long at most */

struct spl_uploads;
struct spl_upload;

/* `name`: of the desk, so that two do not share a folder. Nothing is made before the first upload.
 */
struct spl_uploads *spl_uploads_new(const char *name);
void spl_uploads_free(struct spl_uploads *uploads); /* with all that was kept; NULL is fine */

/* Begins to take what `connection` sends. Never NULL. */
struct spl_upload *spl_upload_begin(struct spl_uploads *uploads, struct MHD_Connection *connection);
/* The next bytes. What is wrong is told at the end; until then the rest is read and thrown away, as
 * browsers hear no answer while they send. */
void spl_upload_take(struct spl_upload *upload, const char *data, gsize size);
guint64 spl_upload_size(const struct spl_upload *upload); /* bytes so far */
/* All is there. The form's other fields as a browser would have sent them without files go to
 * `form`. FALSE: SPL_ERROR_LIMIT, _IO, _INVALID; the files are gone. */
gboolean spl_upload_end(struct spl_upload *upload, GString *form, GError **error);
/* Frees it; the files stay if `spl_upload_end` was TRUE. */
void spl_upload_free(struct spl_upload *upload);
/* By which its files are found later. Borrowed. */
const char *spl_upload_id(const struct spl_upload *upload);

/* The folder of an upload; NULL: there is none of this name (any more). Borrowed. */
const char *spl_uploads_find(struct spl_uploads *uploads, const char *id);
/* A new folder of no upload, for what is made to be sent out, kept and removed as one; its name.
 * NULL: none can be made. Borrowed. */
const char *spl_uploads_make(struct spl_uploads *uploads);
/* Removes its files; nothing when there are none. */
void spl_uploads_drop(struct spl_uploads *uploads, const char *id);

#endif
