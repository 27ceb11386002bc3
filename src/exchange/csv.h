/* SPDX-License-Identifier: MIT
 *
 * Reads comma-separated tables as people export them: a header row with names, a byte order mark or
 * none, `,` `;` or a tab between the cells, quoted cells that may hold line breaks, any line end.
 *
 * One row at a time, so memory does not grow with the file. Guards: the file's and a row's size,
 * the number of columns, bytes that are no UTF-8, NUL, control characters, rows that are too short
 * or too long, a quote that is never closed. Every message begins "FILE:LINE:" and, where it is
 * about a cell, names the column. A comma inside a number is its decimal mark where `;` or a tab
 * parts the cells, as spreadsheets write it, and refused with a hint elsewhere. UTF-16 (with its
 * mark) and Windows-1252 are turned into UTF-8.
 *
 *     g_autoptr(spl_csv) csv = spl_csv_open(path, error);
 *     int day = spl_csv_column(csv, "date");
 *     while (spl_csv_next(csv, &err)) { spl_csv_day(csv, day, ...) ... }
 *     if (err != NULL) ...
 */
#ifndef SPL_EXCHANGE_CSV_H
#define SPL_EXCHANGE_CSV_H

#include <glib.h>

#include "simpling/day.h"

#define SPL_CSV_MAX_BYTES (256 * 1024 * 1024) /* of a file */
#define SPL_CSV_MAX_ROW (1024 * 1024)         /* bytes of a row */
#define SPL_CSV_MAX_COLUMNS 512

typedef struct spl_csv spl_csv;

/* Opens a file and reads its header. SPL_ERROR_NOT_FOUND, _IO, _INVALID (no text table: a folder, a
 * spreadsheet file, UTF-16, an empty file, two columns of one name) or _LIMIT. */
struct spl_csv *spl_csv_open(const char *path, GError **error);

/* The same from `size` bytes that stay the caller's until the end; `name` stands for the file. */
struct spl_csv *spl_csv_open_text(const char *text, gsize size, const char *name, GError **error);

void spl_csv_free(struct spl_csv *csv); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_csv, spl_csv_free)

/* The file's name without its folders, as messages say it. */
const char *spl_csv_name(const struct spl_csv *csv);
int spl_csv_columns(const struct spl_csv *csv);
/* The header of a column as written. */
const char *spl_csv_header(const struct spl_csv *csv, int column);

/* The column of this name (case, '-', '_' and spaces are forgiven), -1 if there is none. */
int spl_csv_column(const struct spl_csv *csv, const char *name);

/* As above, but a missing one is SPL_ERROR_INVALID with the columns that there are. */
gboolean spl_csv_column_required(const struct spl_csv *csv, const char *name, int *column,
                                 GError **error);

/* Steps to the next row; FALSE at the end (`error` stays unset) or on an error. Empty rows are left
 * out. */
gboolean spl_csv_next(struct spl_csv *csv, GError **error);

/* After spl_csv_next failed: nothing more can be read. Else the next call gives the row behind the
 * bad one. */
gboolean spl_csv_broken(const struct spl_csv *csv);

/* Text in UTF-16 (with its mark) or Windows-1252 as UTF-8; NULL: it is UTF-8 already, or no text.
 * Free with g_free. */
char *spl_csv_decode(const char *text, gsize size, gsize *decoded_size);

/* The line on which the row begins, counted from 1. */
int spl_csv_line(const struct spl_csv *csv);

/* A cell of the row without white space at its ends; "" for an empty one and for column -1. Valid
 * until the next row. */
const char *spl_csv_text(const struct spl_csv *csv, int column);

/*
 * A cell as a number in [min, max], a decimal point whatever the locale; an empty cell is NAN.
 * SPL_ERROR_INVALID for anything else (in a table parted by commas "12,5" is answered with "write
 * 12.5").
 */
gboolean spl_csv_number(const struct spl_csv *csv, int column, double min, double max,
                        double *number, GError **error);

/* As a whole number; an empty cell leaves `*count` as it is. */
gboolean spl_csv_count(const struct spl_csv *csv, int column, int min, int max, int *count,
                       GError **error);

/* As an ISO date; an empty cell is SPL_DAY_NONE. */
gboolean spl_csv_day(const struct spl_csv *csv, int column, struct spl_day *day, GError **error);

/* Sets `error` (any code of SPL_ERROR) to "FILE:LINE: column 'NAME': " and the message; column -1:
 * without the column. Always FALSE. */
gboolean spl_csv_fail(const struct spl_csv *csv, int column, int code, GError **error,
                      const char *format, ...) G_GNUC_PRINTF(5, 6);

#endif
