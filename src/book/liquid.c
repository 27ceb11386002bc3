/* SPDX-License-Identifier: MIT
 *
 * What is poured, as rows. See book/liquid.h.
 */
#include "book/liquid.h"

#include "base/text.h"
#include "book/code.h"
#include "book/noun.h"
#include "book/statement.h"

const char *const spl_liquid_kind_names[] = {"spirit",   "vinegar", "honey", "oil",
                                             "glycerol", "sugar",   "wax",   NULL};

static const struct spl_field row_fields[] = {
    SPL_FIELD(spl_liquid_row, kind, SPL_WORD, "kind", "what", SPL_STORED("kind"),
              .names = spl_liquid_kind_names),
    SPL_FIELD(spl_liquid_row, day, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD_NUM(spl_liquid_row, ml, 1, "ml", "mL", SPL_STORED("ml")),
    SPL_FIELD_NUM(spl_liquid_row, g, 1, "g", "g", SPL_STORED("g")),
    SPL_FIELD_NUM(spl_liquid_row, strength_frac, 4, "strength_frac", "strength",
                  SPL_STORED("strength_frac")),
    SPL_FIELD(spl_liquid_row, supplier, SPL_TEXT, "supplier", "supplier", SPL_STORED("supplier"),
              .empty = TRUE),
    SPL_FIELD(spl_liquid_row, number, SPL_TEXT, "number", "their number", SPL_STORED("number")),
    SPL_FIELD(spl_liquid_row, why, SPL_TEXT, "why", "went for", SPL_STORED("why")),
    SPL_FIELD(spl_liquid_row, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_liquid_row, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_liquid_row, uuid, SPL_TEXT, SPL_READ("uuid"), .empty = TRUE),
};
const struct spl_shape spl_liquid_row_shape = SPL_SHAPE("liquid", spl_liquid_row, row_fields);

const struct spl_noun spl_liquid_noun = {
    .shape = &spl_liquid_row_shape,
    .table = "liquid",
    .from = "liquid_now t",
    .fact = TRUE,
};

gboolean spl_liquid_row_add(struct spl_book *book, struct spl_liquid_row *row, GError **error)
{
    return spl_noun_add(book, &spl_liquid_noun, row, row->day, SPL_NONE, error);
}

GArray *spl_liquid_rows(struct spl_book *book, GError **error)
{
    return spl_noun_list(book, &spl_liquid_noun, "ORDER BY t.day, t.at, t.uuid", SPL_NONE, error);
}

gboolean spl_liquid_each_charge(struct spl_book *book,
                                gboolean (*each)(const struct spl_liquid_charge *charge,
                                                 gpointer data, GError **error),
                                gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT b.kind, b.mark, b.year, b.number, c.day, c.words, c.supplier, c.number,"
        " c.strength_frac, c.ml, c.mass_g, c.ethanol_g, c.acid_g, c.glycerol_ml, c.sugar_g"
        " FROM charge_now c JOIN thing b ON b.id = c.batch_id"
        " WHERE c.kind = 'liquid' AND NOT EXISTS (SELECT 1 FROM live x WHERE x.subject = b.uuid)"
        " ORDER BY c.day, c.id",
        SPL_NONE);
    struct spl_liquid_charge charge;
    const char *words, *supplier, *number;
    struct spl_coded coded;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL &&
           spl_statement_next(
               rows, &failed,
               SPL_INTO(&coded, &charge.day, &words, &supplier, &number, &charge.strength_frac,
                        &charge.blend.ml, &charge.blend.mass_g, &charge.blend.ethanol_g,
                        &charge.blend.acid_g, &charge.blend.glycerol_ml, &charge.blend.sugar_g))) {
        g_autofree char *code = spl_coded_format(book, &coded);

        charge.code = code;
        charge.words = (char *)words;
        charge.supplier = (char *)supplier;
        charge.number = (char *)number;
        more = each(&charge, data, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

char *spl_liquid_key(const char *supplier, const char *number)
{
    g_autofree char *who = spl_name_key(supplier != NULL ? supplier : "");
    g_autofree char *which = spl_name_key(number != NULL ? number : "");

    return g_strdup_printf("%s|%s", who, which);
}
