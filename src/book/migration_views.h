/* SPDX-License-Identifier: MIT
 *
 * What the views of the book are made of since every row can be struck: pieces of SQL for the
 * migrations that make such a view.
 */
#ifndef SPL_BOOK_MIGRATION_VIEWS_H
#define SPL_BOOK_MIGRATION_VIEWS_H

/* Columns are laid out by hand. */
/* clang-format off */

/* A row that no standing strike takes back; why it was struck. */
#define STANDS(uuid) "NOT EXISTS (SELECT 1 FROM live x WHERE x.subject = " uuid ")"
#define STRUCK(uuid)                                                                               \
    "(SELECT x.why FROM live x WHERE x.subject = " uuid " ORDER BY x.at, x.uuid LIMIT 1)"

/* The last amendment of a column of table alias t that stands, else the row's own value. */
#define NOW(field)                                                                                 \
    " coalesce((SELECT a.value FROM amendment a WHERE a.subject = t.uuid AND a.field = '" #field   \
    "' AND " STANDS("a.uuid") " ORDER BY a.at DESC, a.uuid DESC LIMIT 1), t." #field ") AS "       \
    #field

/* The rows of a table that stand. */
#define STANDING(table)                                                                            \
    "CREATE VIEW " table "_now AS SELECT t.* FROM " table " t WHERE " STANDS("t.uuid") ";"

/* clang-format on */

#endif
