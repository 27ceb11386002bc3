/* SPDX-License-Identifier: MIT
 *
 * Mixed-integer problems as sparse rows, and their LP file.
 */
#include "core/mip.h"

#include <math.h>

struct spl_mip *spl_mip_new(void)
{
    struct spl_mip *mip = g_new0(struct spl_mip, 1);

    mip->columns = g_array_new(FALSE, FALSE, sizeof(struct spl_mip_column));
    mip->rows = g_array_new(FALSE, FALSE, sizeof(struct spl_mip_row));
    mip->entries = g_array_new(FALSE, FALSE, sizeof(struct spl_mip_entry));
    mip->col_names = g_ptr_array_new_with_free_func(g_free);
    mip->row_names = g_ptr_array_new_with_free_func(g_free);
    return mip;
}

void spl_mip_free(struct spl_mip *mip)
{
    if (mip == NULL)
        return;
    g_array_unref(mip->columns);
    g_array_unref(mip->rows);
    g_array_unref(mip->entries);
    g_ptr_array_unref(mip->col_names);
    g_ptr_array_unref(mip->row_names);
    g_free(mip);
}

int spl_mip_add_column(struct spl_mip *mip, char *name, double lower, double upper, double cost,
                       gboolean whole)
{
    struct spl_mip_column column = {lower, upper, cost, whole};

    g_array_append_val(mip->columns, column);
    g_ptr_array_add(mip->col_names, name);
    return (int)mip->columns->len - 1;
}

int spl_mip_add_row(struct spl_mip *mip, char *name, double lower, double upper)
{
    struct spl_mip_row row = {lower, upper, (int)mip->entries->len, 0};

    g_array_append_val(mip->rows, row);
    g_ptr_array_add(mip->row_names, name);
    return (int)mip->rows->len - 1;
}

void spl_mip_put(struct spl_mip *mip, int column, double value)
{
    struct spl_mip_entry entry = {column, value};

    g_array_append_val(mip->entries, entry);
    g_array_index(mip->rows, struct spl_mip_row, mip->rows->len - 1).n++;
}

double spl_mip_cost(const struct spl_mip *mip, const double *x)
{
    double cost = 0;

    for (guint c = 0; c < mip->columns->len; c++)
        cost += g_array_index(mip->columns, struct spl_mip_column, c).cost * x[c];
    return cost;
}

double spl_mip_violation(const struct spl_mip *mip, const double *x)
{
    double worst = 0;

    for (guint c = 0; c < mip->columns->len; c++) {
        const struct spl_mip_column *column =
            &g_array_index(mip->columns, struct spl_mip_column, c);

        worst = MAX(worst, MAX(column->lower - x[c], x[c] - column->upper));
        if (column->whole)
            worst = MAX(worst, fabs(x[c] - round(x[c])));
    }
    for (guint r = 0; r < mip->rows->len; r++) {
        const struct spl_mip_row *row = &g_array_index(mip->rows, struct spl_mip_row, r);
        double sum = 0;

        for (int e = row->first; e < row->first + row->n; e++) {
            const struct spl_mip_entry *entry =
                &g_array_index(mip->entries, struct spl_mip_entry, e);

            sum += entry->value * x[entry->column];
        }
        worst = MAX(worst, MAX(row->lower - sum, sum - row->upper));
    }
    return worst;
}

/* ---- LP file ------------------------------------------------------------------------------- */

/* One term "+ 0.25 z_3"; the lines are broken, for readers with a line limit. */
static void lp_term(const struct spl_mip *mip, GString *text, int *on_line, double value,
                    int column)
{
    char number[G_ASCII_DTOSTR_BUF_SIZE];

    if (*on_line == 6) {
        g_string_append(text, "\n ");
        *on_line = 0;
    }
    g_ascii_formatd(number, sizeof number, "%.15g", fabs(value));
    g_string_append_printf(text, " %c %s %s", value < 0 ? '-' : '+', number,
                           (const char *)g_ptr_array_index(mip->col_names, column));
    ++*on_line;
}

static void lp_bound(GString *text, const char *relation, double value)
{
    char number[G_ASCII_DTOSTR_BUF_SIZE];

    g_ascii_formatd(number, sizeof number, "%.15g", value);
    g_string_append_printf(text, " %s %s", relation, number);
}

static void lp_row(const struct spl_mip *mip, GString *text, guint r)
{
    const struct spl_mip_row *row = &g_array_index(mip->rows, struct spl_mip_row, r);
    const char *name = g_ptr_array_index(mip->row_names, r);

    /* A row bounded on both sides becomes two: not every reader knows ranges. */
    for (int side = 0; side < 2; side++) {
        gboolean equal = row->lower >= row->upper;
        int on_line = 0;

        if (side == 0 ? !isfinite(row->lower) : (equal || !isfinite(row->upper)))
            continue;
        g_string_append_printf(text, " %s%s:", name, side == 1 && isfinite(row->lower) ? "_u" : "");
        for (int e = row->first; e < row->first + row->n; e++) {
            const struct spl_mip_entry *entry =
                &g_array_index(mip->entries, struct spl_mip_entry, e);

            lp_term(mip, text, &on_line, entry->value, entry->column);
        }
        lp_bound(text, equal ? "=" : side == 0 ? ">=" : "<=", side == 0 ? row->lower : row->upper);
        g_string_append_c(text, '\n');
    }
}

GString *spl_mip_lp(const struct spl_mip *mip, const char *title)
{
    GString *text = g_string_new(NULL);
    int on_line = 0;

    g_string_append_printf(text, "\\ %s\nMinimize\n cost:", title);
    for (guint c = 0; c < mip->columns->len; c++) {
        double cost = g_array_index(mip->columns, struct spl_mip_column, c).cost;

        if (cost != 0)
            lp_term(mip, text, &on_line, cost, (int)c);
    }
    if (on_line == 0 && mip->columns->len > 0)
        lp_term(mip, text, &on_line, 0, 0);
    g_string_append(text, "\nSubject To\n");
    for (guint r = 0; r < mip->rows->len; r++) {
        /* An empty row holds or not whatever the columns; readers stumble over it. */
        if (g_array_index(mip->rows, struct spl_mip_row, r).n > 0)
            lp_row(mip, text, r);
    }
    g_string_append(text, "Bounds\n");
    for (guint c = 0; c < mip->columns->len; c++) {
        const struct spl_mip_column *column =
            &g_array_index(mip->columns, struct spl_mip_column, c);
        const char *name = g_ptr_array_index(mip->col_names, c);
        char lower[G_ASCII_DTOSTR_BUF_SIZE], upper[G_ASCII_DTOSTR_BUF_SIZE];

        g_ascii_formatd(lower, sizeof lower, "%.15g", column->lower);
        g_ascii_formatd(upper, sizeof upper, "%.15g", column->upper);
        if (isfinite(column->upper))
            g_string_append_printf(text, " %s <= %s <= %s\n", lower, name, upper);
        else
            g_string_append_printf(text, " %s >= %s\n", name, lower);
    }
    g_string_append(text, "General\n");
    for (guint c = 0; c < mip->columns->len; c++) {
        if (g_array_index(mip->columns, struct spl_mip_column, c).whole)
            g_string_append_printf(text, " %s\n",
                                   (const char *)g_ptr_array_index(mip->col_names, c));
    }
    g_string_append(text, "End\n");
    return text;
}

void spl_mip_answer_clear(struct spl_mip_answer *answer)
{
    g_clear_pointer(&answer->x, g_free);
    g_clear_pointer(&answer->duals, g_free);
    *answer = (struct spl_mip_answer){.state = SPL_MIP_UNKNOWN, .cost = NAN, .bound = -INFINITY};
}
