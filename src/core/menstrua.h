/* SPDX-License-Identifier: MIT
 *
 * What the words of a liquid say it is: spirit that must not be drunk, vinegar that nobody
 * measured. The words are rows of data/menstrua.csv, in the languages of the countries that the
 * tables know.
 */
#ifndef SPL_CORE_MENSTRUA_H
#define SPL_CORE_MENSTRUA_H

#include <glib.h>

#include "core/tables.h"

/*
 * The row of this meaning whose word stands in `text`, whatever its case and accents, as a whole
 * word; NULL: none. `*close` is TRUE when it is only spelt so that it may be meant: one letter
 * more, less, other or changed with its neighbour, in a word of six letters and more that begins
 * the same (so that ethanol is not methanol).
 */
const struct spl_menstruum_word *spl_menstruum_find(const struct spl_tables *tables,
                                                    const char *text,
                                                    enum spl_menstruum_meaning meaning,
                                                    gboolean *close);

/* The row of this meaning whose word `text` is from end to end ("Our own"); NULL: none. */
const struct spl_menstruum_word *spl_menstruum_is(const struct spl_tables *tables, const char *text,
                                                  enum spl_menstruum_meaning meaning);

#endif
