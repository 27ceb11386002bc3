/* SPDX-License-Identifier: MIT
 *
 * core: computing, and nothing else. No files, SQL, clock, environment, locale or random numbers
 * here; "today" is passed in. A test reads the undefined symbols of this room against a list.
 */
#include <glib.h>

extern const char spl_core_room[];
const char spl_core_room[] = "core";
