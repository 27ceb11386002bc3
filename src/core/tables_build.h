/* SPDX-License-Identifier: MIT
 *
 * Making the data tables: rows are put in one after the other, then the whole is finished and never
 * changes again. Used by the reader of the files, and by tests that want a small table by hand.
 *
 * A row with the key of one that is there already replaces it (that is how a person's own rows
 * override ours); what points to the old row sees the new one. Texts of a row are copied; NULL
 * counts as "". Pointers in a row must come from the same tables.
 */
#ifndef SPL_CORE_TABLES_BUILD_H
#define SPL_CORE_TABLES_BUILD_H

#include "core/tables.h"

struct spl_tables *spl_tables_new(void);

/* A figure that the row does not give. */
struct spl_figure spl_figure_none(void);

/* A figure without a range. The source is borrowed until the row is put. */
struct spl_figure spl_figure_of(double value, const char *source);

/* Splits "a; b; c" into a list of names for a row; empty pieces are left out. Owned by `tables`. */
const char *const *spl_tables_names(struct spl_tables *tables, const char *list);

/* Keys: the slug; for materials plant and part. Each returns the row as it stands in the tables. */
const struct spl_plant *spl_tables_put_plant(struct spl_tables *tables,
                                             const struct spl_plant *plant);
/* `slug` is made of plant and part, whatever the row says. */
const struct spl_material *spl_tables_put_material(struct spl_tables *tables,
                                                   const struct spl_material *material);
const struct spl_preparation *spl_tables_put_preparation(struct spl_tables *tables,
                                                         const struct spl_preparation *preparation);
void spl_tables_put_method(struct spl_tables *tables, const struct spl_method *method);
void spl_tables_put_press(struct spl_tables *tables, const struct spl_press *press);
/* Key: the word. */
void spl_tables_put_menstruum_word(struct spl_tables *tables,
                                   const struct spl_menstruum_word *word);
/* Key: nominal volume. */
void spl_tables_put_jar(struct spl_tables *tables, const struct spl_jar *jar);
/* Key: material and preparation. */
/* Notes why a row was left out. */
void spl_tables_leave_out(struct spl_tables *tables, const char *why);

void spl_tables_put_making(struct spl_tables *tables, const struct spl_making *making);
/* Key: preparation, material, part, state, step. */
void spl_tables_put_step_rule(struct spl_tables *tables, const struct spl_step_rule *rule);
/* Key: custom, preparation, material, part, state. */
void spl_tables_put_keeping(struct spl_tables *tables, const struct spl_keeping *keeping);
/* Key: country, Latin name, part. */
void spl_tables_put_protected(struct spl_tables *tables, const struct spl_protected *rule);

/*
 * Lists every form of every name, so that look-ups are one hash each. SPL_ERROR_INVALID when two
 * plants or two materials claim the same slug-like name in a way that neither could be reached.
 */
gboolean spl_tables_finish(struct spl_tables *tables, GError **error);

#endif
