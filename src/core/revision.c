/* SPDX-License-Identifier: MIT
 *
 * Revisions of other people's rows. See core/revision.h.
 */
#include "core/revision.h"

#define DEEP                                                                                       \
    8 /* strikes of strikes that are followed; each is later than the one that it strikes */

struct lookup {
    const struct spl_revision_facts *facts;
    GHashTable *rows, *revisions; /* gint64 * of the facts to the struct */
};

static GHashTable *by_id(const GArray *array, gsize size)
{
    GHashTable *table = g_hash_table_new(g_int64_hash, g_int64_equal);

    for (guint i = 0; array != NULL && i < array->len; i++) {
        gpointer one = array->data + i * size; /* its id comes first */

        g_hash_table_insert(table, one, one);
    }
    return table;
}

static enum spl_revised_says says(const struct lookup *lookup, gint64 subject, int depth)
{
    const struct spl_revision *revision = g_hash_table_lookup(lookup->revisions, &subject);
    const struct spl_revised_row *row = g_hash_table_lookup(lookup->rows, &subject);

    if (revision == NULL)
        return row != NULL ? row->says : SPL_SAYS_OTHER;
    if (!revision->strike)
        return revision->warns ? SPL_SAYS_DANGER : SPL_SAYS_OTHER;
    if (depth >= DEEP)
        return SPL_SAYS_OTHER;
    switch (says(lookup, revision->subject, depth + 1)) {
    case SPL_SAYS_DANGER:
        return SPL_SAYS_SAFE;
    case SPL_SAYS_SAFE:
        return SPL_SAYS_DANGER;
    case SPL_SAYS_OTHER:
        break;
    }
    return SPL_SAYS_OTHER;
}

/* Who wrote it, and when; FALSE: nothing is known of it. */
static gboolean subject_of(const struct lookup *lookup, const struct spl_revision *revision,
                           int *mark, gint64 *stamp)
{
    const struct spl_revision *other = g_hash_table_lookup(lookup->revisions, &revision->subject);
    const struct spl_revised_row *row = g_hash_table_lookup(lookup->rows, &revision->subject);

    if (other == NULL && row == NULL)
        return FALSE;
    *mark = other != NULL ? other->mark : row->mark;
    *stamp = other != NULL ? other->stamp : row->stamp;
    return TRUE;
}

static gboolean is_trusted(const struct spl_revision_facts *facts, int mark)
{
    const struct spl_trust_word *last = NULL;

    for (guint i = 0; facts->trusts != NULL && i < facts->trusts->len; i++) {
        const struct spl_trust_word *one = &g_array_index(facts->trusts, struct spl_trust_word, i);

        if (one->whom == mark && (last == NULL || one->stamp > last->stamp ||
                                  (one->stamp == last->stamp && one->id > last->id)))
            last = one;
    }
    return last != NULL && last->trusted;
}

/* By who wrote what it revises, by the reader, or by one whose own revision would count. */
static gboolean is_agreed(const struct spl_revision_facts *facts, gint64 revision, int writer)
{
    for (guint i = 0; facts->agreements != NULL && i < facts->agreements->len; i++) {
        const struct spl_agreement *one =
            &g_array_index(facts->agreements, struct spl_agreement, i);

        if (one->revision == revision &&
            (one->mark == writer || one->mark == facts->reader || is_trusted(facts, one->mark)))
            return TRUE;
    }
    return FALSE;
}

static enum spl_revision_grade grade_of(const struct lookup *lookup,
                                        const struct spl_revision *revision)
{
    const struct spl_revision_facts *facts = lookup->facts;
    gint64 stamp;
    int writer;

    if (!subject_of(lookup, revision, &writer, &stamp))
        return SPL_REVISION_COUNTS;
    if (revision->strike && revision->stamp <= stamp)
        return SPL_REVISION_VOID;
    if (revision->mark == writer || revision->mark == facts->reader ||
        revision->stamp <= facts->kept || is_trusted(facts, revision->mark) ||
        is_agreed(facts, revision->id, writer))
        return SPL_REVISION_COUNTS;
    if (revision->strike ? says(lookup, revision->subject, 0) == SPL_SAYS_SAFE : revision->warns)
        return SPL_REVISION_HARDENS;
    return SPL_REVISION_WAITS;
}

static int compare_judged(gconstpointer a, gconstpointer b)
{
    const struct spl_revision_judged *first = a, *second = b;

    return (first->id > second->id) - (first->id < second->id);
}

GArray *spl_revision_judge(const struct spl_revision_facts *facts)
{
    struct lookup lookup = {facts, by_id(facts->rows, sizeof(struct spl_revised_row)),
                            by_id(facts->revisions, sizeof(struct spl_revision))};
    GArray *judged = g_array_new(FALSE, FALSE, sizeof(struct spl_revision_judged));
    GHashTableIter each;
    gpointer revision;

    g_hash_table_iter_init(&each, lookup.revisions);
    while (g_hash_table_iter_next(&each, NULL, &revision)) {
        const struct spl_revision *one = revision;
        struct spl_revision_judged result = {one->id, grade_of(&lookup, one)};

        g_array_append_val(judged, result);
    }
    g_array_sort(judged, compare_judged);
    g_hash_table_unref(lookup.rows);
    g_hash_table_unref(lookup.revisions);
    return judged;
}

static gboolean counts(const GArray *judged, gint64 id)
{
    const struct spl_revision_judged key = {.id = id};
    guint at;

    if (!g_array_binary_search((GArray *)judged, &key, compare_judged, &at))
        return FALSE;
    return g_array_index(judged, struct spl_revision_judged, at).grade <= SPL_REVISION_HARDENS;
}

static gboolean struck(const struct spl_revision_facts *facts, const GArray *judged, gint64 id,
                       int depth)
{
    for (guint i = 0; facts->revisions != NULL && depth < DEEP && i < facts->revisions->len; i++) {
        const struct spl_revision *one = &g_array_index(facts->revisions, struct spl_revision, i);

        if (one->strike && one->subject == id && counts(judged, one->id) &&
            !struck(facts, judged, one->id, depth + 1))
            return TRUE;
    }
    return FALSE;
}

gboolean spl_revision_struck(const struct spl_revision_facts *facts, const GArray *judged,
                             gint64 id)
{
    return struck(facts, judged, id, 0);
}
