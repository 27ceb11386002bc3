/* SPDX-License-Identifier: MIT
 *
 * Trust as rows. See book/trust.h.
 */
#include "book/trust.h"

#include "book/noun.h"
#include "book/revision.h"
#include "book/setting.h"

static const struct spl_field trust_fields[] = {
    SPL_FIELD(spl_trust, whom, SPL_TEXT, "mark", "mark", SPL_STORED("whom"), .empty = TRUE),
    SPL_FIELD(spl_trust, trusted, SPL_BOOL, "trusted", "trusted", SPL_STORED("trusted")),
    SPL_FIELD(spl_trust, day, SPL_DAY, "date", "since", SPL_STORED("day")),
    SPL_FIELD(spl_trust, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
};
const struct spl_shape spl_trust_shape = SPL_SHAPE("trust", spl_trust, trust_fields);

const struct spl_noun spl_trust_noun = {
    .shape = &spl_trust_shape,
    .table = "trust",
    .from = "trust_now t",
    .fact = TRUE,
};

gboolean spl_trust_add(struct spl_book *book, const char *whom, gboolean trusted,
                       struct spl_day day, const char *by, GError **error)
{
    struct spl_trust row = {(char *)whom, trusted, day, (char *)by};

    return spl_noun_add(book, &spl_trust_noun, &row, day, SPL_NONE, error) &&
           spl_revision_settle(book, error);
}

GArray *spl_trust_list(struct spl_book *book, GError **error)
{
    const char *own = spl_setting_mark(book);

    return spl_noun_list(book, &spl_trust_noun, "WHERE t.mark = ? ORDER BY t.whom", SPL_WITH(own),
                         error);
}
