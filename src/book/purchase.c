/* SPDX-License-Identifier: MIT
 *
 * Purchases as rows. See book/purchase.h.
 */
#include "book/purchase.h"

#include "book/code.h"
#include "book/discard.h"
#include "book/draw.h"
#include "book/noun.h"
#include "simpling/record/reason.h"

static const struct spl_field purchase_fields[] = {
    SPL_FIELD(spl_purchase, code, SPL_TEXT, "code", "code",
              SPL_CODE("'P', t.mark, t.year, t.number_of")),
    SPL_FIELD(spl_purchase, date, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD(spl_purchase, material, SPL_TEXT, "material", "material", SPL_STORED("material"),
              .empty = TRUE),
    SPL_FIELD(spl_purchase, state, SPL_WORD, "state", "state", SPL_STORED("state"),
              .names = spl_herb_state_names),
    SPL_FIELD(spl_purchase, supplier, SPL_TEXT, "supplier", "supplier", SPL_STORED("supplier"),
              .empty = TRUE),
    SPL_FIELD(spl_purchase, number, SPL_TEXT, "number", "their number", SPL_STORED("number")),
    SPL_FIELD_NUM(spl_purchase, weight_g, 1, "weight_g", "weight g", SPL_STORED("weight_g")),
    SPL_FIELD_NUM(spl_purchase, left_g, 1, "left_g", "left g",
                  SPL_READ("t.weight_g - t.drawn_g - t.discarded_g")),
    SPL_FIELD(spl_purchase, held, SPL_TEXT, "held", "held"),
    SPL_FIELD_LIST(spl_purchase, because, &spl_cause_shape, "because", NULL),
    SPL_FIELD_SHOW(spl_purchase, batches, SPL_TEXTS, "batches", "batches", .if_known = TRUE),
    SPL_FIELD_LIST(spl_purchase, thrown, &spl_thrown_shape, "thrown", "thrown away",
                   .if_known = TRUE),
    SPL_FIELD_SHOW(spl_purchase, named_by, SPL_TEXT, "named_by", "named by",
                   SPL_STORED("named_by")),
    SPL_FIELD_SHOW(spl_purchase, signs, SPL_TEXT, "signs", "by the signs", SPL_STORED("signs")),
    SPL_FIELD_SHOW(spl_purchase, remark, SPL_TEXT, "remark", "remark", SPL_STORED("remark")),
    SPL_FIELD_SHOW(spl_purchase, struck, SPL_TEXT, "struck", "struck", SPL_READ("struck"),
                   .empty = TRUE),
    SPL_FIELD(spl_purchase, uuid, SPL_TEXT, "uuid", NULL, SPL_READ("uuid")),
    SPL_FIELD_KEPT(spl_purchase, id, SPL_LONG, SPL_ID("id")),
};
const struct spl_shape spl_purchase_shape = SPL_SHAPE("purchase", spl_purchase, purchase_fields);

const struct spl_noun spl_purchase_noun = {
    .shape = &spl_purchase_shape,
    .table = "purchase",
    .from = "purchase_now t",
    .thing = 'P',
};

gboolean spl_purchase_add(struct spl_book *book, struct spl_purchase *purchase, GError **error)
{
    if (!spl_noun_add(book, &spl_purchase_noun, purchase, purchase->date, SPL_NONE, error))
        return FALSE;
    purchase->left_g = purchase->weight_g;
    purchase->batches = g_ptr_array_new_with_free_func(g_free);
    purchase->thrown = spl_list_new(&spl_thrown_shape);
    return TRUE;
}

gboolean spl_purchase_find(struct spl_book *book, const char *code, struct spl_purchase *purchase,
                           GError **error)
{
    struct spl_purchase found;
    struct spl_thing thing;
    gboolean there;

    if (!spl_code_find(book, code, "P", "a purchase", &thing, error))
        return FALSE;
    there =
        spl_noun_get(book, &spl_purchase_noun, "WHERE t.id = ?", SPL_WITH(thing.id), &found, error);
    spl_thing_clear(&thing);
    if (!there)
        return FALSE;
    if ((found.batches = spl_draw_takers(book, found.id, error)) == NULL ||
        (found.thrown = spl_thrown_list(book, found.id, error)) == NULL) {
        spl_record_clear(&spl_purchase_shape, &found);
        return FALSE;
    }
    *purchase = found;
    return TRUE;
}

gboolean spl_purchase_each(struct spl_book *book, gboolean all,
                           gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                            GError **error),
                           gpointer data, GError **error)
{
    /* By their own table: the view would go through every thing of the book. */
    g_autoptr(spl_statement) rows =
        spl_noun_open(book, &spl_purchase_noun, NULL,
                      "WHERE t.id IN (SELECT id FROM purchase) AND (? OR t.struck IS NULL)"
                      " ORDER BY t.day, t.id",
                      SPL_WITH(all != FALSE), error);
    struct spl_purchase purchase;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_noun_next(rows, &purchase, &failed)) {
        more = each(&purchase, data, &failed);
        spl_record_clear(&spl_purchase_shape, &purchase);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
