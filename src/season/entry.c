/* SPDX-License-Identifier: MIT
 *
 * Making ready what a face said. See simpling/entry.h.
 */
#include "simpling/entry.h"

#include <math.h>
#include <string.h>

#include "base/input_walk.h"
#include "core/stage.h"
#include "season/house_private.h"
#include "simpling/error.h"

static gboolean fill_setting(struct spl_house *house, const struct spl_input *row, void *record)
{
    g_autofree char *value = spl_house_setting_text(house, row->setting);

    /* What the book keeps was checked when it was set. */
    return value != NULL && *value != '\0' &&
           spl_inputs_read(&(struct spl_inputs){.rows = row, .n = 1}, row->key, value, record,
                           NULL);
}

/* What the table's own `fill` changed is from today, or from what else was said. */
static void fill_by_table(const struct spl_inputs *inputs, struct spl_day today, void *record,
                          GArray *filled)
{
    g_autofree gboolean *said = g_new(gboolean, inputs->n);

    for (gsize i = 0; i < inputs->n; i++)
        said[i] = spl_input_is_said(&inputs->rows[i], record);
    inputs->fill(record, today);
    for (gsize i = 0; filled != NULL && i < inputs->n; i++) {
        struct spl_filled one = {inputs->rows[i].key, NULL, NULL};

        if (!said[i] && spl_input_is_said(&inputs->rows[i], record))
            g_array_append_val(filled, one);
    }
}

void spl_entry_fill(struct spl_house *house, const struct spl_inputs *inputs, void *record,
                    GArray *filled)
{
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];
        struct spl_filled one = {row->key, row->today ? NULL : row->setting, NULL};
        GArray *list = row->kind == SPL_INPUT_LIST ? spl_input_member(row, record)->list : NULL;

        for (guint k = 0; list != NULL && k < list->len; k++)
            spl_entry_fill(house, row->item, spl_input_element(row->item, list, k), NULL);
        if (spl_input_is_said(row, record))
            continue;
        if (row->today)
            spl_input_member(row, record)->day = house->today;
        else if (row->setting == NULL || !fill_setting(house, row, record))
            continue;
        if (filled != NULL)
            g_array_append_val(filled, one);
    }
    if (inputs->fill != NULL)
        fill_by_table(inputs, house->today, record, filled);
    if (inputs->figures != NULL && filled != NULL)
        inputs->figures(house, record, filled);
}

void spl_entry_figure(const char *key, double *member, const struct spl_figure *figure,
                      GArray *filled)
{
    const struct spl_filled one = {key, NULL, figure->source};

    if (!isnan(*member) || !spl_figure_is_set(*figure))
        return;
    *member = figure->value;
    g_array_append_val(filled, one);
}

/* The slug under which the tables have a name. */
static const char *find_slug(struct spl_house *house, const struct spl_tables *tables,
                             const struct spl_input *row, const char *name, GError **error)
{
    g_autofree char *country =
        house->book != NULL ? spl_house_setting_text(house, "country") : NULL;
    const struct spl_plant *plant;
    const struct spl_material *material;
    const struct spl_preparation *preparation;
    const struct spl_method *method;
    const struct spl_press *press;

    switch (row->kind) {
    case SPL_INPUT_PLANT:
        return spl_tables_plant_in(tables, name, country, &plant, error) ? plant->slug : NULL;
    case SPL_INPUT_MATERIAL:
        return spl_tables_material_in(tables, name, country, &material, error) ? material->slug
                                                                               : NULL;
    case SPL_INPUT_PREPARATION:
        return spl_tables_preparation(tables, name, &preparation, error) ? preparation->slug : NULL;
    case SPL_INPUT_METHOD:
        return spl_tables_method(tables, name, &method, error) ? method->slug : NULL;
    default:
        return spl_tables_press(tables, name, &press, error) ? press->slug : NULL;
    }
}

static gboolean resolve(struct spl_house *house, const struct spl_input *row, const char *what,
                        void *record, GError **error)
{
    spl_member_at *member = spl_input_member(row, record);
    const struct spl_tables *tables = NULL;
    const char *slug;
    int stage;

    switch (row->kind) {
    case SPL_INPUT_DAY:
    case SPL_INPUT_MONTH:
        return !row->past || spl_house_past(house, member->day, what, error);
    case SPL_INPUT_STAGE:
        return spl_stage_parse(member->text, what, &stage, error);
    case SPL_INPUT_PLANT:
    case SPL_INPUT_MATERIAL:
    case SPL_INPUT_PREPARATION:
    case SPL_INPUT_METHOD:
    case SPL_INPUT_PRESS:
        tables = spl_house_tables(house, error);
        slug = tables != NULL ? find_slug(house, tables, row, member->text, error) : NULL;
        if (slug == NULL)
            return FALSE;
        g_free((char *)member->text);
        member->text = g_strdup(slug);
        return TRUE;
    default:
        return TRUE;
    }
}

static gboolean resolve_all(struct spl_house *house, const struct spl_inputs *inputs,
                            const char *prefix, void *record, GError **error)
{
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];
        g_autofree char *what = g_strconcat(prefix, row->key, NULL);
        GArray *list;

        if (!spl_input_is_said(row, record))
            continue;
        if (!resolve(house, row, what, record, error)) {
            spl_error_about(error, what);
            return FALSE;
        }
        list = row->kind == SPL_INPUT_LIST ? spl_input_member(row, record)->list : NULL;
        for (guint k = 0; list != NULL && k < list->len; k++) {
            g_autofree char *below = spl_input_path(prefix, row, k);

            if (!resolve_all(house, row->item, below, spl_input_element(row->item, list, k), error))
                return FALSE;
        }
    }
    return TRUE;
}

gboolean spl_entry_take(struct spl_house *house, const struct spl_inputs *inputs, const void *said,
                        void *entry, GError **error)
{
    g_autofree void *own = g_malloc0(inputs->size);

    if (!spl_inputs_copy(inputs, said, own, error))
        return FALSE;
    spl_entry_fill(house, inputs, own, NULL);
    if (!spl_inputs_check(inputs, own, error) || !resolve_all(house, inputs, "", own, error)) {
        spl_inputs_clear(inputs, own);
        return FALSE;
    }
    memcpy(entry, own, inputs->size);
    return TRUE;
}

gboolean spl_entry_check(struct spl_house *house, const struct spl_inputs *inputs, const void *said,
                         GError **error)
{
    g_autofree void *own = g_malloc0(inputs->size);

    if (!spl_entry_take(house, inputs, said, own, error))
        return FALSE;
    spl_inputs_clear(inputs, own);
    return TRUE;
}
