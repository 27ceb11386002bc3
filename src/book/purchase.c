/* SPDX-License-Identifier: MIT
 *
 * Purchases as rows. See book/purchase.h.
 */
#include "book/purchase.h"

#include "book/code.h"
#include "book/draw.h"
#include "book/statement.h"

static const struct spl_field purchase_fields[] = {
    SPL_FIELD(spl_purchase, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_purchase, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_purchase, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_purchase, state, SPL_TEXT, "state", "state"),
    SPL_FIELD(spl_purchase, supplier, SPL_TEXT, "supplier", "supplier"),
    SPL_FIELD(spl_purchase, number, SPL_TEXT, "number", "their number"),
    SPL_FIELD_NUM(spl_purchase, weight_g, 1, "weight_g", "weight g"),
    SPL_FIELD_NUM(spl_purchase, left_g, 1, "left_g", "left g"),
    SPL_FIELD_SHOW(spl_purchase, batches, SPL_TEXTS, "batches", "batches"),
    SPL_FIELD_SHOW(spl_purchase, named_by, SPL_TEXT, "named_by", "named by"),
    SPL_FIELD_SHOW(spl_purchase, signs, SPL_TEXT, "signs", "by the signs"),
    SPL_FIELD_SHOW(spl_purchase, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD_SHOW(spl_purchase, struck, SPL_TEXT, "struck", "struck"),
    SPL_FIELD(spl_purchase, uuid, SPL_TEXT, "uuid", NULL),
};
const struct spl_shape spl_purchase_shape = SPL_SHAPE("purchase", spl_purchase, purchase_fields);

#define PURCHASE_COLUMNS                                                                           \
    "SELECT id, uuid, mark, year, number_of, material, day, state, supplier, number, weight_g,"    \
    " drawn_g + discarded_g, named_by, signs, remark, struck FROM purchase_now"

/* "" is how an amendment says that there is nothing any more. */
static char *text_or_null(struct spl_statement *row, int column)
{
    const char *text = spl_column_peek(row, column);

    return text != NULL && *text != '\0' ? g_strdup(text) : NULL;
}

static void read_purchase(struct spl_book *book, struct spl_statement *row,
                          struct spl_purchase *purchase)
{
    *purchase = (struct spl_purchase){
        .id = spl_column_long(row, 0),
        .uuid = spl_column_text(row, 1),
        .code = spl_code_format(book, 'P', spl_column_peek(row, 2), spl_column_int(row, 3),
                                spl_column_int(row, 4)),
        .material = spl_column_text(row, 5),
        .date = spl_column_day(row, 6),
        .state = spl_column_text(row, 7),
        .supplier = spl_column_text(row, 8),
        .number = text_or_null(row, 9),
        .weight_g = spl_column_real(row, 10),
        .left_g = spl_column_real(row, 10) - spl_column_real(row, 11),
        .named_by = text_or_null(row, 12),
        .signs = text_or_null(row, 13),
        .remark = text_or_null(row, 14),
        .struck = spl_column_text(row, 15),
    };
}

gboolean spl_purchase_add(struct spl_book *book, struct spl_purchase *purchase, GError **error)
{
    struct spl_thing thing;

    if (!spl_thing_add(book, 'P', purchase->date, &thing, error))
        return FALSE;
    purchase->id = thing.id;
    purchase->uuid = thing.uuid;
    purchase->code = thing.code;
    purchase->left_g = purchase->weight_g;
    return spl_book_execute(
        book, error,
        "INSERT INTO purchase (id, material, day, state, supplier, number, weight_g, named_by,"
        " signs, remark) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        "ltdtttrttt", purchase->id, purchase->material, purchase->date, purchase->state,
        purchase->supplier, purchase->number, purchase->weight_g, purchase->named_by,
        purchase->signs, purchase->remark);
}

gboolean spl_purchase_find(struct spl_book *book, const char *code, struct spl_purchase *purchase,
                           GError **error)
{
    struct spl_thing thing;
    g_autoptr(spl_statement) row = NULL;

    if (!spl_code_find(book, code, "P", "a purchase", &thing, error))
        return FALSE;
    row = spl_statement_open(book, error, PURCHASE_COLUMNS " WHERE id = ?", "l", thing.id);
    spl_thing_clear(&thing);
    if (row == NULL || !spl_statement_row(row, error))
        return FALSE;
    read_purchase(book, row, purchase);
    purchase->batches = spl_draw_takers(book, purchase->id, error);
    if (purchase->batches == NULL) {
        spl_record_clear(&spl_purchase_shape, purchase);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_purchase_each(struct spl_book *book, gboolean all,
                           gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                            GError **error),
                           gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, PURCHASE_COLUMNS " WHERE ? OR struck IS NULL ORDER BY day, id", "i",
        all != FALSE);
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_statement_row(rows, &failed)) {
        struct spl_purchase purchase;

        read_purchase(book, rows, &purchase);
        more = each(&purchase, data, &failed);
        spl_record_clear(&spl_purchase_shape, &purchase);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}
