/* SPDX-License-Identifier: MIT
 *
 * Trust: whose corrections of other people's rows count in this book. A dated row, taken back by a
 * later one; what another book trusts comes with a merge and counts there alone.
 */
#ifndef SPL_BOOK_TRUST_H
#define SPL_BOOK_TRUST_H

#include <glib.h>

#include "book/book.h"
#include "simpling/record/trust.h"

/* Inside a transaction. */
gboolean spl_trust_add(struct spl_book *book, const char *whom, gboolean trusted,
                       struct spl_day day, const char *by, GError **error);

/* What holds in this book, by mark: a list of spl_trust_shape; NULL with an error. */
GArray *spl_trust_list(struct spl_book *book, GError **error);

#endif
