/* SPDX-License-Identifier: MIT
 *
 * Style sheets and scripts that are built into the program (assets.gresource.xml).
 */
#ifndef SPL_DESK_ASSETS_H
#define SPL_DESK_ASSETS_H

#include <glib.h>

/* The text of "style.css", "slip.css" or "slip.js"; ends with a NUL that `length` (may be NULL)
 * does not count. Stays as long as the program runs. */
const char *spl_asset(const char *name, gsize *length);

#endif
