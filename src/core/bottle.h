/* SPDX-License-Identifier: MIT
 *
 * Bottles: which of those that something was put up in still stand full, by what is left of it.
 */
#ifndef SPL_CORE_BOTTLE_H
#define SPL_CORE_BOTTLE_H

#include <glib.h>

/*
 * "3 × 100 + 1 × 250 + open 40 mL" of "4x100 1x250" with 590 left. Nobody notes which bottle is
 * opened, so the smallest go first, as one gives out; of what is left beyond the bottles it says "+
 * 60 not bottled". `bottles` is "COUNTxSIZE" with blanks between; NULL or anything else: NULL.
 * Yours, g_free.
 */
char *spl_bottles_left(const char *bottles, double left, const char *unit);

#endif
