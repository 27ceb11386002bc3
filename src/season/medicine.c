/* SPDX-License-Identifier: MIT
 *
 * Medicines. See season/medicine.h.
 */
#include "season/medicine.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/lot.h"
#include "season/label_words.h"
#include "season/state.h"
#include "simpling/batch.h"

struct gather {
    const struct spl_tables *tables;
    GArray *medicines;
    GHashTable *at;  /* key -> index + 1 */
    GHashTable *out; /* id of a lot -> what went out of it */
};

static void clear_medicine(gpointer data)
{
    struct spl_medicine *medicine = data;

    g_free(medicine->name);
    g_free(medicine->preparation);
    g_free(medicine->materials);
    g_ptr_array_unref(medicine->lots);
    g_array_unref(medicine->stock);
    g_ptr_array_unref(medicine->held);
    g_ptr_array_unref(medicine->jars);
    g_array_unref(medicine->to_come);
}

static struct spl_medicine *medicine_of(struct gather *gather, const char *preparation,
                                        const char *materials, gboolean outside, gboolean weighed)
{
    g_autofree char *key =
        g_strdup_printf("%s|%s|%d|%d", preparation, materials, outside != FALSE, weighed != FALSE);
    guint at = GPOINTER_TO_UINT(g_hash_table_lookup(gather->at, key));

    if (at == 0) {
        const struct spl_preparation *row =
            spl_tables_preparation_by_slug(gather->tables, preparation);
        g_autofree char *of = spl_label_materials(gather->tables, materials);
        struct spl_medicine fresh = {
            .name = g_strdup_printf("%s %s%s", of, row != NULL ? row->name : preparation,
                                    outside ? ", for outside" : ""),
            .preparation = g_strdup(preparation),
            .materials = g_strdup(materials),
            .outside = outside,
            .weighed = weighed,
            .lots = g_ptr_array_new_with_free_func(g_free),
            .stock = g_array_new(FALSE, FALSE, sizeof(struct spl_lasting_lot)),
            .held = g_ptr_array_new_with_free_func(g_free),
            .jars = g_ptr_array_new_with_free_func(g_free),
            .to_come = g_array_new(FALSE, FALSE, sizeof(struct spl_lasting_lot))};

        g_array_append_val(gather->medicines, fresh);
        at = gather->medicines->len;
        g_hash_table_insert(gather->at, g_steal_pointer(&key), GUINT_TO_POINTER(at));
    }
    return &g_array_index(gather->medicines, struct spl_medicine, at - 1);
}

static gboolean take_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gather *gather = data;
    const double *out = g_hash_table_lookup(gather->out, &lot->id);
    gboolean weighed = !isnan(lot->left_g);
    struct spl_medicine *medicine;

    (void)error;
    if (out == NULL && lot->state != SPL_STATE_ON_SHELF && lot->state != SPL_STATE_IS_HELD)
        return TRUE;
    medicine = medicine_of(gather, lot->preparation, lot->materials, lot->outside, weighed);
    medicine->out += out != NULL ? *out : 0.0;
    if (lot->state == SPL_STATE_IS_HELD) {
        g_autofree char *left =
            weighed ? spl_mass_format(lot->left_g) : spl_volume_format(lot->left_ml);

        g_ptr_array_add(medicine->held, g_strdup_printf("%s, %s", lot->code, left));
    }
    if (lot->state == SPL_STATE_ON_SHELF) {
        const struct spl_lasting_lot one = {.amount = weighed ? lot->left_g : lot->left_ml,
                                            .from = SPL_DAY_NONE,
                                            .use_by = lot->use_by};

        g_array_append_val(medicine->stock, one);
        g_ptr_array_add(medicine->lots, g_strdup(lot->code));
    }
    return TRUE;
}

static gboolean take_jar(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gather *gather = data;
    struct spl_lasting_lot one = {
        .amount = batch->yield_ml, .from = SPL_DAY_NONE, .use_by = SPL_DAY_NONE};
    struct spl_medicine *medicine;

    (void)error;
    if (isnan(batch->yield_ml))
        return TRUE;
    medicine = medicine_of(gather, batch->preparation, batch->materials, batch->outside, FALSE);
    if (batch->held != NULL) {
        g_ptr_array_add(medicine->held, g_strdup(batch->code));
        return TRUE;
    }
    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(step->step, "ready") == 0)
            one.from = step->due;
    }
    g_array_append_val(medicine->to_come, one);
    g_ptr_array_add(medicine->jars, g_strdup(batch->code));
    return TRUE;
}

GArray *spl_medicines(struct spl_house *house, struct spl_day since, GError **error)
{
    g_autoptr(GArray) medicines = g_array_new(FALSE, FALSE, sizeof(struct spl_medicine));
    g_autoptr(GHashTable) at = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) out =
        spl_lot_out_between(house->book, since, spl_house_today(house), error);
    g_autoptr(GArray) went = g_array_new(FALSE, FALSE, sizeof(gint64));
    struct gather gather = {.medicines = medicines, .at = at, .out = out};
    GHashTableIter each;
    gpointer id;

    g_array_set_clear_func(medicines, clear_medicine);
    gather.tables = out != NULL ? spl_house_tables(house, error) : NULL;
    if (gather.tables == NULL)
        return NULL;
    g_hash_table_iter_init(&each, out);
    while (g_hash_table_iter_next(&each, &id, NULL))
        g_array_append_vals(went, id, 1);
    if (!spl_shelf_each_and(house, went, take_lot, &gather, error) ||
        !spl_batch_each_full(house, FALSE, take_jar, &gather, error))
        return NULL;
    return g_steal_pointer(&medicines);
}
