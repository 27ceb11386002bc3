/* SPDX-License-Identifier: MIT
 *
 * The data tables as spreadsheet-editable CSV files: data/plants.csv, materials.csv,
 * preparations.csv, makings.csv, steps.csv, keeping.csv, jars.csv, presses.csv, hazards.csv,
 * protected.csv. A person's own files of the same names add rows or override ours by key; an empty
 * cell there keeps what we have.
 */
#ifndef SPL_EXCHANGE_TABLE_FILES_H
#define SPL_EXCHANGE_TABLE_FILES_H

#include "core/tables.h"

/*
 * Reads all tables of `data_dir`, then those that there are in `user_dir` (NULL: none; a folder
 * that does not exist is none). NULL on failure: SPL_ERROR_NOT_FOUND for a missing table of ours,
 * SPL_ERROR_INVALID with file, line and column for a row that cannot be used (a figure without its
 * source, out of range, an unknown plant, part or preparation), SPL_ERROR_EXISTS for a row that is
 * there twice in one file. Free with spl_tables_free.
 *
 * A row of the person's own that cannot be used is left out, and so is a file of theirs whose
 * columns cannot be read; when their rows take a name that another row has, all of theirs are:
 * spl_tables_left_out says what and why.
 */
struct spl_tables *spl_tables_load(const char *data_dir, const char *user_dir, GError **error);

/* The same with the methods of hazards alone: all that a question about ground needs, in a tenth of
 * the time. */
struct spl_tables *spl_tables_load_methods(const char *data_dir, const char *user_dir,
                                           GError **error);

#endif
