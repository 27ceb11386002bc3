/* SPDX-License-Identifier: MIT
 *
 * Label sheets out of data/labels.csv. See season/label_stock.h.
 */
#include "season/label_stock.h"

#include <string.h>

#include "base/text.h"
#include "exchange/csv.h"
#include "simpling/error.h"

static const char *const columns[] = {"page_w_mm", "page_h_mm", "label_w_mm", "label_h_mm",
                                      "left_mm",   "top_mm",    "step_x_mm",  "step_y_mm"};

static gboolean read_row(const struct spl_csv *csv, struct spl_label_stock *stock, GError **error)
{
    double *const targets[] = {&stock->page_w, &stock->page_h, &stock->label_w, &stock->label_h,
                               &stock->left,   &stock->top,    &stock->step_x,  &stock->step_y};
    GError *wrong = NULL;

    for (gsize i = 0; i < G_N_ELEMENTS(columns); i++)
        if (!spl_csv_number(csv, spl_csv_column(csv, columns[i]), 0.0, 2000.0, targets[i], error))
            return FALSE;
    if (!spl_csv_count(csv, spl_csv_column(csv, "across"), 1, 50, &stock->across, error) ||
        !spl_csv_count(csv, spl_csv_column(csv, "down"), 1, 50, &stock->down, error))
        return FALSE;
    stock->name = g_strdup(spl_csv_text(csv, spl_csv_column(csv, "name")));
    stock->source = g_strdup(spl_csv_text(csv, spl_csv_column(csv, "source")));
    if (stock->source[0] == '\0')
        return spl_csv_fail(csv, spl_csv_column(csv, "source"), SPL_ERROR_INVALID, error,
                            "is empty; say where the measures are from");
    if (spl_label_stock_check(stock, &wrong))
        return TRUE;
    spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error, "%s", wrong->message);
    g_error_free(wrong);
    return FALSE;
}

/* Reads one file; rows of the same name replace what was found before. */
static gboolean search_file(const char *path, const char *key, GPtrArray *names,
                            struct spl_label_stock *found, GError **error)
{
    g_autoptr(spl_csv) csv = spl_csv_open(path, error);
    GError *failed = NULL;
    int column;

    if (csv == NULL)
        return FALSE;
    for (gsize i = 0; i < G_N_ELEMENTS(columns); i++)
        if (!spl_csv_column_required(csv, columns[i], &column, error))
            return FALSE;
    if (!spl_csv_column_required(csv, "name", &column, error) ||
        !spl_csv_column_required(csv, "across", &column, error) ||
        !spl_csv_column_required(csv, "down", &column, error) ||
        !spl_csv_column_required(csv, "source", &column, error))
        return FALSE;
    while (spl_csv_next(csv, &failed)) {
        struct spl_label_stock stock = {0};
        g_autofree char *this_key = NULL;

        if (!read_row(csv, &stock, error)) {
            spl_label_stock_clear(&stock);
            return FALSE;
        }
        g_ptr_array_add(names, g_strdup(stock.name));
        this_key = spl_name_key(stock.name);
        if (strcmp(this_key, key) == 0) {
            spl_label_stock_clear(found);
            *found = stock;
        } else {
            spl_label_stock_clear(&stock);
        }
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_label_stock_find(struct spl_house *house, const char *name,
                              struct spl_label_stock *stock, GError **error)
{
    g_autofree char *ours = g_build_filename(house->data, "labels.csv", NULL), *own = NULL;
    g_autofree char *key = spl_name_key(name);
    struct spl_label_stock found = {0};
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);

    if (!search_file(ours, key, names, &found, error)) {
        spl_label_stock_clear(&found);
        return FALSE;
    }
    if (house->own_data != NULL) {
        own = g_build_filename(house->own_data, "labels.csv", NULL);
        if (g_file_test(own, G_FILE_TEST_EXISTS) && !search_file(own, key, names, &found, error)) {
            spl_label_stock_clear(&found);
            return FALSE;
        }
    }
    if (found.name == NULL) {
        g_autoptr(GString) all = g_string_new(NULL);

        for (guint i = 0; i < names->len; i++)
            g_string_append_printf(all, "%s%s", i > 0 ? ", " : "",
                                   (char *)g_ptr_array_index(names, i));
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "label sheet '%s' is not known; there are %s, and 1 (one label a page)", name,
                    all->str);
        return FALSE;
    }
    *stock = found;
    return TRUE;
}
