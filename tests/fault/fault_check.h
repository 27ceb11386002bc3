/* SPDX-License-Identifier: MIT
 *
 * The book's own check of itself as a fault_action's check.
 */
#ifndef SPL_TESTS_FAULT_CHECK_H
#define SPL_TESTS_FAULT_CHECK_H

#include <glib.h>

/* FALSE with the first finding as error; also when the book does not open. */
gboolean fault_check_book(const char *path, GError **error);

#endif
