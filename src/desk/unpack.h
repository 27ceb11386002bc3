/* SPDX-License-Identifier: MIT
 *
 * Zip files that come with a form: map layers are a handful of files, sent as one. Only the process
 * that answers for them unpacks (desk/errand.h).
 */
#ifndef SPL_DESK_UNPACK_H
#define SPL_DESK_UNPACK_H

#include <glib.h>

#define SPL_UNPACK_FILES 64
#define SPL_UNPACK_MAX ((gint64)512 * 1024 * 1024) /* bytes of all */

/*
 * Puts the files of `zip` that have one of `endings` (".shp .dbf …") into the present folder, by
 * the last step of their names, and removes `zip`; others are passed over. SPL_ERROR_LIMIT (a
 * bomb), SPL_ERROR_CORRUPT, SPL_ERROR_INVALID (two of one name, nothing of these endings in it),
 * SPL_ERROR_IO.
 */
gboolean spl_unpack(const char *zip, const char *endings, GError **error);

/* Writes all files of `folder` into the new file `zip`, in a folder of its name. SPL_ERROR_IO. */
gboolean spl_pack(const char *folder, const char *zip, GError **error);

/* Whether a name has one of these endings; case does not matter. */
gboolean spl_has_ending(const char *name, const char *endings);

#endif
