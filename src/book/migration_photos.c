/* SPDX-License-Identifier: MIT
 *
 * Photos that go with entries as evidence. See book/photo.h and book/migrations.h.
 */
#include "book/migration_views.h"
#include "book/migrations.h"

/* Columns are laid out by hand. */
/* clang-format off */

const char spl_migration_photos[] =
    "CREATE TABLE photo ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE," /* of the entry and the hash: the same in every book */
    "  mark TEXT NOT NULL DEFAULT '',"
    "  subject TEXT NOT NULL," /* UUID of the entry that it goes with */
    "  hash TEXT NOT NULL CHECK (length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*')," /* SHA-256 */
    "  kind TEXT NOT NULL CHECK (kind IN ('jpeg', 'png', 'heic')),"
    "  bytes INTEGER NOT NULL CHECK (bytes > 0),"
    "  width INTEGER CHECK (width BETWEEN 1 AND 65535)," /* pixels; NULL: not known */
    "  height INTEGER CHECK (height BETWEEN 1 AND 65535),"
    "  small TEXT," /* a JPEG, base64; says nothing of place or day */
    "  unseen TEXT," /* why there is none */
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE INDEX photo_subject ON photo (subject);"
    STANDING("photo");

/* clang-format on */
