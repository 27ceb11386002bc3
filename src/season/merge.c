/* SPDX-License-Identifier: MIT
 *
 * A colleague's book brought in. See simpling/carry.h.
 */
#include "book/merge.h"
#include "book/setting.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/revision.h"
#include "simpling/carry.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define LOOK_SECONDS 60 /* a large book is looked at in two or three */

static const struct spl_field conflict_fields[] = {
    SPL_FIELD(spl_merge_conflict, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_merge_conflict, what, SPL_TEXT, "what", "what"),
};
const struct spl_shape spl_merge_conflict_shape =
    SPL_SHAPE("merge_conflict", spl_merge_conflict, conflict_fields);

static const struct spl_field merged_fields[] = {
    SPL_FIELD(spl_merged, other, SPL_TEXT, "other", "brought in"),
    SPL_FIELD(spl_merged, mark, SPL_TEXT, "mark", "its mark"),
    SPL_FIELD(spl_merged, added, SPL_LONG, "added", "rows added"),
    SPL_FIELD(spl_merged, had, SPL_LONG, "had", "rows here already"),
    SPL_FIELD(spl_merged, left_out, SPL_LONG, "left_out", "rows left out"),
    SPL_FIELD_LIST(spl_merged, conflicts, &spl_merge_conflict_shape, "conflicts", "to settle"),
};
const struct spl_shape spl_merged_shape = SPL_SHAPE("merged", spl_merged, merged_fields);

static const struct spl_input merge_rows[] = {
    SPL_INPUT(spl_book_place, path, FILE, "file", "the other book", .needed = 1),
};
const struct spl_inputs spl_merge_inputs = SPL_INPUTS("book_merge", spl_book_place, merge_rows);

/* What colleagues corrected of others' records, beside what was asked about before. */
static gboolean tell_revisions(struct spl_house *house, const GArray *before,
                               struct spl_merge *merge, GError **error)
{
    g_autoptr(GHashTable) known = g_hash_table_new(g_str_hash, g_str_equal);
    g_autoptr(GArray) after = spl_revisions_tell(house, error);

    if (after == NULL)
        return FALSE;
    for (guint i = 0; i < before->len; i++)
        g_hash_table_add(known, g_array_index(before, struct spl_revision_told, i).uuid);
    for (guint i = 0; i < after->len; i++) {
        const struct spl_revision_told *one = &g_array_index(after, struct spl_revision_told, i);

        if (!g_hash_table_contains(known, one->uuid))
            spl_merge_add_note(merge, g_strdup(one->about), g_strdup(one->what));
    }
    return TRUE;
}

/* Inside the transaction. */
static gboolean bring_in(struct spl_house *house, struct spl_book *other,
                         const struct spl_look *look, struct spl_merge *merge, GError **error)
{
    g_autoptr(GArray) before = spl_revisions_tell(house, error);

    spl_ground_map_forget(house);
    return before != NULL && spl_book_merge(house->book, other, look, merge, error) &&
           tell_revisions(house, before, merge, error);
}

gboolean spl_merge(struct spl_house *house, const char *path, struct spl_merged *merged,
                   GError **error)
{
    struct spl_book_place said = {path};
    g_autoptr(spl_book) other = NULL;
    struct spl_merge merge = {0};
    struct spl_look look = {0};
    gboolean ok;

    if (!spl_entry_check(house, &spl_merge_inputs, &said, error))
        return FALSE;
    /* Under one lock of theirs, so that what is taken is what was looked at; mine comes after. */
    other = spl_book_open(path, SPL_BOOK_READ, error);
    if (other == NULL || !spl_book_begin_reading(other, error) ||
        !spl_look_at_stranger(other, spl_book_tomorrow(house->book), LOOK_SECONDS, &look, error))
        return FALSE;
    ok = spl_book_begin(house->book, error);
    if (ok) {
        ok = bring_in(house, other, &look, &merge, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    spl_look_clear(&look);
    if (ok) {
        *merged = (struct spl_merged){
            .other = g_strdup(path),
            .mark = g_strdup(spl_setting_mark(other)),
            .added = merge.added,
            .had = merge.had,
            .left_out = merge.left_out,
            .conflicts = spl_list_new(&spl_merge_conflict_shape),
        };
        for (guint i = 0; i < merge.notes->len; i++) {
            const struct spl_merge_note *note = g_ptr_array_index(merge.notes, i);
            struct spl_merge_conflict conflict = {g_strdup(note->code), g_strdup(note->what)};

            g_array_append_val(merged->conflicts, conflict);
        }
    }
    spl_merge_clear(&merge);
    return ok;
}
