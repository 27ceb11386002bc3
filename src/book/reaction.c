/* SPDX-License-Identifier: MIT
 *
 * Complaints and reactions as rows. See book/reaction.h.
 */
#include "book/reaction.h"

#include "book/noun.h"

static const char *const kind_names[] = {"complaint", "reaction", NULL};

static const struct spl_field reaction_fields[] = {
    SPL_FIELD(spl_reaction, day, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD(spl_reaction, code, SPL_TEXT, "code", "lot",
              SPL_CODE("h.kind, h.mark, h.year, h.number")),
    SPL_FIELD(spl_reaction, ref, SPL_TEXT, "ref", "for", SPL_STORED("ref")),
    SPL_FIELD(spl_reaction, kind, SPL_WORD, "kind", "what", SPL_STORED("kind"),
              .names = kind_names),
    SPL_FIELD(spl_reaction, words, SPL_TEXT, "words", "words", SPL_STORED("words"), .empty = TRUE),
    SPL_FIELD(spl_reaction, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_reaction, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_reaction, uuid, SPL_TEXT, SPL_READ("uuid"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_reaction, lot_id, SPL_LONG, SPL_STORED("lot_id"), .none_is_0 = TRUE),
};
const struct spl_shape spl_reaction_shape = SPL_SHAPE("reaction", spl_reaction, reaction_fields);

const struct spl_noun spl_reaction_noun = {
    .shape = &spl_reaction_shape,
    .table = "reaction",
    .from = "reaction_now t LEFT JOIN thing h ON h.id = t.lot_id",
    .fact = TRUE,
};

gboolean spl_reaction_add(struct spl_book *book, struct spl_reaction *reaction, GError **error)
{
    return spl_noun_add(book, &spl_reaction_noun, reaction, reaction->day, SPL_NONE, error);
}

GArray *spl_reaction_list(struct spl_book *book, gint64 lot_id, const char *ref, GError **error)
{
    return spl_noun_list(book, &spl_reaction_noun,
                         "WHERE (?1 = 0 OR t.lot_id = ?1) AND (?2 IS NULL OR t.ref = ?2)"
                         " ORDER BY t.day, t.at, t.uuid",
                         SPL_WITH(lot_id, ref), error);
}
