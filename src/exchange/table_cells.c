/* SPDX-License-Identifier: MIT
 *
 * Cells that several kinds of table rows have. See table_cells.h.
 */
#include "exchange/table_cells.h"

#include <string.h>

#include "core/tables_build.h"
#include "simpling/error.h"

/* A slug: lower-case letters, digits and hyphens. */
gboolean spl_cell_slug(struct spl_table_row *row, const char *column, const char **slug,
                       GError **error)
{
    if (!spl_table_row_required(row, column, slug, error))
        return FALSE;
    if ((*slug)[strspn(*slug, "abcdefghijklmnopqrstuvwxyz0123456789-")] != '\0')
        return spl_table_row_fail(row, column, error,
                                  "'%s' must be made of small letters, digits and hyphens", *slug);
    return TRUE;
}

/* Which of `names` (of an enum from 0) the cell says; empty leaves `*choice`. */
gboolean spl_cell_choice(struct spl_table_row *row, const char *column, const char *(*name_of)(int),
                         int n, int *choice, GError **error)
{
    const char *cell = spl_table_row_cell(row, column);

    if (cell[0] == '\0')
        return TRUE;
    for (int i = 0; i < n; i++) {
        if (g_ascii_strcasecmp(cell, name_of(i)) == 0) {
            *choice = i;
            return TRUE;
        }
    }
    g_autoptr(GString) names = g_string_new(NULL);
    for (int i = 0; i < n; i++)
        g_string_append_printf(names, "%s%s", i == 0 ? "" : ", ", name_of(i));
    return spl_table_row_fail(row, column, error, "'%s' is none of: %s", cell, names->str);
}

const char *spl_cell_habit_name(int i)
{
    return spl_habit_name((enum spl_habit)i);
}

const char *spl_cell_liquid_name(int i)
{
    return spl_liquid_name((enum spl_liquid)i);
}

const char *spl_cell_protection_name(int i)
{
    return spl_protection_name((enum spl_protection)i);
}

const char *spl_cell_step_name(int i)
{
    return spl_step_name((enum spl_step)i);
}

const char *spl_cell_state_name(int i)
{
    static const char *const names[] = {"any", "fresh", "dried"};
    return names[i];
}

/* A part, "any" when the cell is empty. */
gboolean spl_cell_part(struct spl_table_row *row, enum spl_part *part, GError **error)
{
    const char *cell = spl_table_row_cell(row, "part");
    g_autoptr(GError) problem = NULL;

    *part = SPL_PART_ANY;
    if (cell[0] == '\0' || spl_part_parse(cell, "the part", part, &problem))
        return TRUE;
    return spl_table_row_fail(row, "part", error, "%s", problem->message);
}

/* The row of another table that a cell names by slug. */
gboolean spl_cell_refer(struct spl_table_row *row, const char *column, gconstpointer found,
                        const char *table, GError **error)
{
    if (found != NULL)
        return TRUE;
    return spl_table_row_fail(row, column, error, "'%s' is in no row of %s; add it there first",
                              spl_table_row_cell(row, column), table);
}

gboolean spl_cell_preparation(struct spl_tables *tables, struct spl_table_row *row,
                              const struct spl_preparation **preparation, GError **error)
{
    const char *slug = NULL;

    if (!spl_table_row_required(row, "preparation", &slug, error))
        return FALSE;
    *preparation = spl_tables_preparation_by_slug(tables, slug);
    return spl_cell_refer(row, "preparation", *preparation, "preparations.csv", error);
}

/* "any" or nothing: NULL. */
gboolean spl_cell_material(struct spl_tables *tables, struct spl_table_row *row,
                           const struct spl_material **material, GError **error)
{
    const char *slug = spl_table_row_cell(row, "material");

    *material = NULL;
    if (slug[0] == '\0' || strcmp(slug, "any") == 0)
        return TRUE;
    *material = spl_tables_material_by_slug(tables, slug);
    return spl_cell_refer(row, "material", *material, "materials.csv", error);
}

gboolean spl_cell_state(struct spl_table_row *row, const char *column, enum spl_state *state,
                        GError **error)
{
    int choice = SPL_STATE_ANY;

    if (!spl_cell_choice(row, column, spl_cell_state_name, 3, &choice, error))
        return FALSE;
    *state = (enum spl_state)choice;
    return TRUE;
}

/* A list of names; an empty cell leaves it. */
void spl_cell_names(struct spl_tables *tables, struct spl_table_row *row, const char *column,
                    const char *const **names)
{
    const char *cell = spl_table_row_cell(row, column);

    if (cell[0] != '\0' || *names == NULL)
        *names = spl_tables_names(tables, cell);
}
