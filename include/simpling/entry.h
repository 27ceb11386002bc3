/* SPDX-License-Identifier: MIT
 *
 * What a face said, made ready for the book: filled where it was left open, checked, its names
 * found in the tables. Every function of season that takes a struct of inputs begins so.
 */
#ifndef SIMPLING_ENTRY_H
#define SIMPLING_ENTRY_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"

/* Where a value came from that was not said: the book's setting, a figure of the data tables or of
 * one's own dryings, else today or what else was said. */
struct spl_filled {
    const char *key;
    const char *setting; /* NULL: from none */
    const char *source; /* of the figure, as the table names it; the house's own; NULL: no figure */
};

/*
 * Fills what was not said from today and the book's settings; `filled` (NULL, or a GArray of struct
 * spl_filled) tells what, and then figures are filled too that season would take from the data
 * tables. Those need not be said: season takes them itself, with the table's range. `record` must
 * own its texts (spl_inputs_init, _read, _copy).
 */
void spl_entry_fill(struct spl_house *house, const struct spl_inputs *inputs, void *record,
                    GArray *filled);

/*
 * An own copy of what was said: cleaned, filled, checked; days that must have come have, and
 * plants, materials, preparations, methods and presses stand as the tables' slugs. Errors as
 * spl_inputs_check, and SPL_ERROR_NOT_FOUND or SPL_ERROR_AMBIGUOUS for a name, all with the input's
 * key; `entry` is untouched then. Clear with spl_inputs_clear.
 */
gboolean spl_entry_take(struct spl_house *house, const struct spl_inputs *inputs, const void *said,
                        void *entry, GError **error);

/* The same without keeping it: whether an entry of season would take this. */
gboolean spl_entry_check(struct spl_house *house, const struct spl_inputs *inputs, const void *said,
                         GError **error);

/* Every table of inputs that season has. */
extern const struct spl_inputs *const spl_all_inputs[];
extern const gsize spl_n_all_inputs;

#endif
