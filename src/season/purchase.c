/* SPDX-License-Identifier: MIT
 *
 * Herb that was not gathered. See simpling/purchase.h.
 */
#include "simpling/purchase.h"

#include "base/text.h"
#include "book/purchase.h"
#include "season/check_private.h"
#include "season/house_private.h"
#include "simpling/error.h"

static gboolean take_text(const char *text, const char *what, gsize max, char **target,
                          GError **error)
{
    if (text == NULL)
        return TRUE;
    *target = spl_text_clean(text, what, max, TRUE, error);
    return *target != NULL;
}

static gboolean take_words(struct spl_house *house, const struct spl_purchase_words *words,
                           const struct spl_material **material, struct spl_purchase *purchase,
                           GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);

    if (tables == NULL || !spl_tables_material(tables, words->material, material, error) ||
        !spl_house_past(house, words->on, "--on", error))
        return FALSE;
    if (words->supplier == NULL && !words->garden) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "purchase add: say where it is from: --supplier NAME, or --garden for what you "
                    "grew");
        return FALSE;
    }
    purchase->material = g_strdup((*material)->slug);
    purchase->date = words->on;
    purchase->state = g_strdup(words->dried ? "dried" : "fresh");
    purchase->weight_g = words->weight_g;
    return take_text(words->supplier != NULL ? words->supplier : "own garden", "--supplier",
                     SPL_NAME_MAX, &purchase->supplier, error) &&
           take_text(words->number, "--number", SPL_NAME_MAX, &purchase->number, error) &&
           take_text(words->named_by, "--named-by", SPL_NAME_MAX, &purchase->named_by, error) &&
           take_text(words->signs, "--signs", SPL_REMARK_MAX, &purchase->signs, error) &&
           take_text(words->remark, "--remark", SPL_REMARK_MAX, &purchase->remark, error);
}

gboolean spl_purchase_log(struct spl_house *house, const struct spl_purchase_words *words,
                          struct spl_purchase *purchase, GPtrArray **cautions, GError **error)
{
    const struct spl_material *material;
    gboolean ok;

    *purchase = (struct spl_purchase){0};
    ok = take_words(house, words, &material, purchase, error);
    if (ok && (ok = spl_book_begin(house->book, error))) {
        ok = spl_purchase_add(house->book, purchase, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (!ok) {
        spl_record_clear(&spl_purchase_shape, purchase);
        return FALSE;
    }
    *cautions = g_ptr_array_new_with_free_func(g_free);
    if (purchase->number == NULL && !words->garden)
        spl_caution_add(*cautions,
                        "no batch number of the supplier: a recall could not be followed "
                        "(amend %s --number …)",
                        purchase->code);
    if (material->plant->deadly_lookalike && (!words->dried || purchase->number == NULL) &&
        (purchase->named_by == NULL || purchase->signs == NULL))
        spl_caution_add(*cautions,
                        "%s has a deadly look-alike: no batch may draw on it until it is noted who "
                        "named it and by which signs%s",
                        material->plant->common, words->dried ? ", or the supplier's number" : "");
    spl_material_cautions(house, material, *cautions);
    return TRUE;
}

gboolean spl_purchase_show(struct spl_house *house, const char *code, struct spl_purchase *purchase,
                           GError **error)
{
    return spl_purchase_find(house->book, code, purchase, error);
}

gboolean spl_purchase_entries(struct spl_house *house, gboolean all,
                              gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                               GError **error),
                              gpointer data, GError **error)
{
    return spl_purchase_each(house->book, all, each, data, error);
}
