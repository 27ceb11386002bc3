/* SPDX-License-Identifier: MIT
 *
 * One row of a data table while it is read: its cells, and the source that names each figure
 * ("moisture=USDA 11207; trim, piece=memory"). For table_files.c.
 *
 * An empty cell leaves its target as it was, so that a person's own row need only say what differs.
 * A figure or tagged text without its tag is refused, and so is a tag without its figure; in a
 * person's own row a figure without one is theirs.
 */
#ifndef SPL_EXCHANGE_TABLE_ROW_H
#define SPL_EXCHANGE_TABLE_ROW_H

#include "core/tables.h"
#include "exchange/csv.h"

/* A source of our tables is a key of data/SOURCES with, behind a colon, where in it and what it
 * says; or one of these two, with a colon and more behind them. */
#define SPL_SOURCE_PRACTICE "common practice, no source"
#define SPL_SOURCE_UNCHECKED "memory, unchecked"
/* How the latter is said to a person. */
#define SPL_SOURCE_UNCHECKED_SAID "no source: general knowledge, check it"

struct spl_table_tag {
    const char *figure; /* "moisture" */
    const char *source; /* "USDA 11207" */
    gboolean used;      /* a figure or text claimed it */
};

struct spl_table_row {
    struct spl_csv *csv;
    char *tag_text;   /* what the tags point into */
    GArray *tags;     /* struct spl_table_tag */
    GPtrArray *made;  /* sources as they are said, of this row */
    GHashTable *seen; /* key of a row -> line, of this file */
    int source;       /* column; -1 in a person's own table without one */
    gboolean own;     /* a person's own row: its figures need no source */
};

/* Refuses columns that are in no place of `known` (NULL at the end) and takes up `csv`, which stays
 * the caller's. */
gboolean spl_table_row_init(struct spl_table_row *row, struct spl_csv *csv,
                            const char *const *known, GError **error);
void spl_table_row_clear(struct spl_table_row *row);

/* Steps to the next row and reads its tags; FALSE at the end or on an error. */
gboolean spl_table_row_next(struct spl_table_row *row, GError **error);

/* After all cells were asked for: refuses tags that nothing claimed. */
gboolean spl_table_row_end(struct spl_table_row *row, GError **error);

/* Refuses a second row of the same key in one file. */
gboolean spl_table_row_key(struct spl_table_row *row, const char *key, GError **error);

/* "" when the column is not there. */
const char *spl_table_row_cell(const struct spl_table_row *row, const char *column);

/* FILE:LINE: column 'NAME': message. Always FALSE. */
gboolean spl_table_row_fail(const struct spl_table_row *row, const char *column, GError **error,
                            const char *format, ...) G_GNUC_PRINTF(4, 5);

/* A cell that must not be empty. */
gboolean spl_table_row_required(struct spl_table_row *row, const char *column, const char **text,
                                GError **error);

/* A text that needs no source; NULL in `*text` becomes "". */
void spl_table_row_text(struct spl_table_row *row, const char *column, const char **text);

/* A text with a source; `tag` names it. */
gboolean spl_table_row_told(struct spl_table_row *row, const char *column, const char *tag,
                            const char **text, GError **error);

/* "yes" or "no". */
gboolean spl_table_row_yes(struct spl_table_row *row, const char *column, gboolean *yes,
                           GError **error);

/* The three columns of a figure: SPL_TABLE_FIGURE("moisture", "_pct") is "moisture_pct",
 * "moisture_low_pct", "moisture_high_pct". */
#define SPL_TABLE_FIGURE(stem, unit) stem unit, stem "_low" unit, stem "_high" unit

/*
 * A figure of up to three cells, each in [min, max] and low <= value <= high; multiplied by `scale`
 * into the house's unit. The columns are given with SPL_TABLE_FIGURE.
 */
gboolean spl_table_row_figure(struct spl_table_row *row, const char *tag, const char *value_column,
                              const char *low_column, const char *high_column, double scale,
                              double min, double max, struct spl_figure *figure, GError **error);

/* A whole number under a tag. */
gboolean spl_table_row_days(struct spl_table_row *row, const char *column, const char *tag, int max,
                            int *days, GError **error);

/* The text of a tag, claimed; FALSE when it is missing, named with `column`. */
gboolean spl_table_row_tag(struct spl_table_row *row, const char *tag, const char *column,
                           const char **source, GError **error);

/* The same, but that a person's own row need not name it. */
gboolean spl_table_row_tag_or_own(struct spl_table_row *row, const char *tag, const char *column,
                                  const char **source, GError **error);

#endif
