/* SPDX-License-Identifier: MIT
 *
 * The book's own check of itself as a fault_action's check.
 */
#include "fault_check.h"

#include "book/check.h"
#include "simpling/error.h"

gboolean fault_check_book(const char *path, GError **error)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, error);
    if (book == NULL)
        return FALSE;
    g_autoptr(GPtrArray) findings = spl_book_check(book, error);
    if (findings == NULL)
        return FALSE;
    if (findings->len > 0) {
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_CORRUPT, g_ptr_array_index(findings, 0));
        return FALSE;
    }
    return TRUE;
}
