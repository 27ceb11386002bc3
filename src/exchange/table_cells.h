/* SPDX-License-Identifier: MIT
 *
 * Cells that several kinds of table rows have, and the readers of the kinds. For table_files.c.
 *
 * Each reader starts from the row of the same key that is there already, or from an empty one, lets
 * the cells override it, and puts it back. Errors name file, line and column.
 */
#ifndef SPL_EXCHANGE_TABLE_CELLS_H
#define SPL_EXCHANGE_TABLE_CELLS_H

#include "exchange/table_row.h"

#define SPL_TABLE_DAYS_MAX 36525 /* a hundred years */

/* A slug: small letters, digits and hyphens; must be given. */
gboolean spl_cell_slug(struct spl_table_row *row, const char *column, const char **slug,
                       GError **error);

/* Which of the first `n` names the cell says; an empty one leaves `*choice`. */
gboolean spl_cell_choice(struct spl_table_row *row, const char *column, const char *(*name_of)(int),
                         int n, int *choice, GError **error);
const char *spl_cell_habit_name(int i);
const char *spl_cell_liquid_name(int i);
const char *spl_cell_protection_name(int i);
const char *spl_cell_step_name(int i);
const char *spl_cell_state_name(int i);

/* The column "part"; SPL_PART_ANY when empty. */
gboolean spl_cell_part(struct spl_table_row *row, enum spl_part *part, GError **error);

/* "fresh", "dried" or "any"; SPL_STATE_ANY when empty. */
gboolean spl_cell_state(struct spl_table_row *row, const char *column, enum spl_state *state,
                        GError **error);

/* Refuses the cell when what it names was not found in `table`. */
gboolean spl_cell_refer(struct spl_table_row *row, const char *column, gconstpointer found,
                        const char *table, GError **error);

/* The column "preparation": a slug that must be known. */
gboolean spl_cell_preparation(struct spl_tables *tables, struct spl_table_row *row,
                              const struct spl_preparation **preparation, GError **error);

/* The column "material": a known slug; NULL for "any" and an empty cell. */
gboolean spl_cell_material(struct spl_tables *tables, struct spl_table_row *row,
                           const struct spl_material **material, GError **error);

/* A list "a; b; c"; an empty cell leaves it, or makes an empty list of NULL. */
void spl_cell_names(struct spl_tables *tables, struct spl_table_row *row, const char *column,
                    const char *const **names);

gboolean spl_table_read_plant(struct spl_tables *tables, struct spl_table_row *row, GError **error);
gboolean spl_table_read_material(struct spl_tables *tables, struct spl_table_row *row,
                                 GError **error);
gboolean spl_table_read_preparation(struct spl_tables *tables, struct spl_table_row *row,
                                    GError **error);
gboolean spl_table_read_making(struct spl_tables *tables, struct spl_table_row *row,
                               GError **error);
gboolean spl_table_read_step_rule(struct spl_tables *tables, struct spl_table_row *row,
                                  GError **error);
gboolean spl_table_read_keeping(struct spl_tables *tables, struct spl_table_row *row,
                                GError **error);
gboolean spl_table_read_jar(struct spl_tables *tables, struct spl_table_row *row, GError **error);
gboolean spl_table_read_press(struct spl_tables *tables, struct spl_table_row *row, GError **error);
gboolean spl_table_read_menstruum_word(struct spl_tables *tables, struct spl_table_row *row,
                                       GError **error);
gboolean spl_table_read_method(struct spl_tables *tables, struct spl_table_row *row,
                               GError **error);
gboolean spl_table_read_protected(struct spl_tables *tables, struct spl_table_row *row,
                                  GError **error);

#endif
