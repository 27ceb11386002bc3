/* SPDX-License-Identifier: MIT
 *
 * Uses as rows. See book/use.h.
 */
#include "book/use.h"

#include "book/code.h"
#include "book/noun.h"

static const struct spl_field use_fields[] = {
    SPL_FIELD_KEPT(spl_use, code, SPL_TEXT, SPL_CODE("'U', t.mark, t.year, t.number")),
    SPL_FIELD_KEPT(spl_use, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_use, uuid, SPL_TEXT, SPL_READ("uuid")),
    SPL_FIELD_KEPT(spl_use, day, SPL_DAY, SPL_STORED("day")),
    SPL_FIELD_KEPT(spl_use, ref, SPL_TEXT, SPL_STORED("ref")),
    SPL_FIELD_KEPT(spl_use, directions, SPL_TEXT, SPL_STORED("directions")),
    SPL_FIELD_KEPT(spl_use, by, SPL_TEXT, SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_use, struck, SPL_TEXT, SPL_READ("struck"), .empty = TRUE),
};
static const struct spl_shape use_shape = SPL_SHAPE("use", spl_use, use_fields);

const struct spl_noun spl_use_noun = {
    .shape = &use_shape,
    .table = "use",
    .from = "use_now t",
    .thing = 'U',
};

void spl_use_clear(struct spl_use *use)
{
    spl_record_clear(&use_shape, use);
}

gboolean spl_use_add(struct spl_book *book, struct spl_use *use, GError **error)
{
    return spl_noun_add(book, &spl_use_noun, use, use->day, SPL_NONE, error);
}

gboolean spl_use_find(struct spl_book *book, const char *code, struct spl_use *use, GError **error)
{
    struct spl_thing thing;
    gboolean there;

    if (!spl_code_find(book, code, "U", "a use", &thing, error))
        return FALSE;
    there = spl_noun_get(book, &spl_use_noun, "WHERE t.id = ?", SPL_WITH(thing.id), use, error);
    spl_thing_clear(&thing);
    return there;
}

/* Uses whose reference was ever ?1: asked by the written column, since the present one would be
 * made for every use of the book. */
#define OF_REF                                                                                     \
    "t.id IN (SELECT id FROM use WHERE ref = ?1 UNION SELECT h.id FROM amendment a"                \
    " JOIN thing h ON h.uuid = a.subject WHERE a.field = 'ref' AND a.value = ?1)"

gboolean spl_use_last_of_ref(struct spl_book *book, const char *ref, struct spl_day until,
                             struct spl_use *use, GError **error)
{
    return spl_noun_get(book, &spl_use_noun,
                        "WHERE " OF_REF " AND t.ref = ?1 AND t.struck IS NULL AND t.day <= ?2"
                        " ORDER BY t.day DESC, t.at DESC LIMIT 1",
                        SPL_WITH(ref, until), use, error);
}

gboolean spl_use_of_ref(struct spl_book *book, const char *ref, gboolean *known, GError **error)
{
    GError *failed = NULL;
    gint64 n = spl_book_number(book, 0, &failed,
                               "SELECT count(*) FROM use_now t WHERE " OF_REF " AND t.ref = ?1",
                               SPL_WITH(ref));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *known = n > 0;
    return TRUE;
}
