/* SPDX-License-Identifier: MIT
 *
 * Libraries that are loaded when they are first needed, because every start of the program would
 * pay for them and most of what is asked has no use for them.
 */
#ifndef SPL_BASE_LATE_H
#define SPL_BASE_LATE_H

#include <glib.h>

struct spl_late_function {
    const char *name;
    glong offset; /* in the table, of the pointer to it */
};

struct spl_late {
    const char *library; /* "libgeos_c.so.1" */
    const char *package; /* what to install when it is not there */
    const struct spl_late_function *functions;
    gsize n_functions;
    gpointer table; /* of pointers to functions; filled when all were found */
    gsize loaded;   /* 0: not tried yet; for spl_late_load alone */
};

/* Loads the library and fills the table, once; from any thread. SPL_ERROR_INTERNAL when it is not
 * installed or lacks a function. It stays loaded. */
gboolean spl_late_load(struct spl_late *late, GError **error);

#endif
