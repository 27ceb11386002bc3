/* SPDX-License-Identifier: MIT
 *
 * A colleague's book brought in. See simpling/carry.h.
 */
#include "book/merge.h"
#include "book/merge_news.h"
#include "book/photo.h"
#include "book/setting.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/merge_page.h"
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

static const struct spl_field came_fields[] = {
    SPL_FIELD(spl_merge_came, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_merge_came, rows, SPL_LONG, "rows", "rows"),
};
const struct spl_shape spl_merge_came_shape = SPL_SHAPE("merge_came", spl_merge_came, came_fields);

static const struct spl_field change_fields[] = {
    SPL_FIELD(spl_merge_change, turn, SPL_WORD, "turn", "turned", .names = spl_merge_turn_names),
    SPL_FIELD(spl_merge_change, about, SPL_TEXT, "about", "about"),
    SPL_FIELD(spl_merge_change, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_merge_change, before, SPL_TEXT, "before", "before"),
    SPL_FIELD(spl_merge_change, after, SPL_TEXT, "after", "now"),
    SPL_FIELD(spl_merge_change, why, SPL_TEXT, "why", "why"),
};
const struct spl_shape spl_merge_change_shape =
    SPL_SHAPE("merge_change", spl_merge_change, change_fields);

static const struct spl_field revision_fields[] = {
    SPL_FIELD(spl_merge_revision, number, SPL_INT, "number", "no"),
    SPL_FIELD(spl_merge_revision, id, SPL_TEXT, "id", NULL),
    SPL_FIELD(spl_merge_revision, turn, SPL_WORD, "turn", "makes it",
              .names = spl_merge_turn_names),
    SPL_FIELD(spl_merge_revision, about, SPL_TEXT, "about", "about"),
    SPL_FIELD(spl_merge_revision, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_merge_revision, accepted, SPL_BOOL, "accepted", "accepted"),
};
const struct spl_shape spl_merge_revision_shape =
    SPL_SHAPE("merge_revision", spl_merge_revision, revision_fields);

static const struct spl_field asked_fields[] = {
    SPL_FIELD(spl_merge_asked, ask, SPL_TEXT, "ask", "ask"),
    SPL_FIELD(spl_merge_asked, questions, SPL_INT, "questions", "questions"),
    SPL_FIELD(spl_merge_asked, settles, SPL_TEXT, "settles", "settles"),
};
const struct spl_shape spl_merge_asked_shape =
    SPL_SHAPE("merge_asked", spl_merge_asked, asked_fields);

static const struct spl_field merged_fields[] = {
    SPL_FIELD(spl_merged, other, SPL_TEXT, "other", "brought in"),
    SPL_FIELD(spl_merged, mark, SPL_TEXT, "mark", "its mark"),
    SPL_FIELD(spl_merged, dry_run, SPL_BOOL, "dry_run", "looked at only"),
    SPL_FIELD(spl_merged, added, SPL_LONG, "added", "rows added"),
    SPL_FIELD(spl_merged, had, SPL_LONG, "had", "rows here already"),
    SPL_FIELD(spl_merged, left_out, SPL_LONG, "left_out", "rows left out"),
    SPL_FIELD_LIST(spl_merged, came, &spl_merge_came_shape, "came", "came"),
    SPL_FIELD_LIST(spl_merged, changes, &spl_merge_change_shape, "changes", "stands otherwise"),
    SPL_FIELD_LIST(spl_merged, revisions, &spl_merge_revision_shape, "revisions",
                   "waits for an answer"),
    SPL_FIELD_LIST(spl_merged, questions, &spl_merge_asked_shape, "questions", "new questions"),
    SPL_FIELD_LIST(spl_merged, conflicts, &spl_merge_conflict_shape, "conflicts", "to settle"),
};
const struct spl_shape spl_merged_shape = SPL_SHAPE("merged", spl_merged, merged_fields);

static const struct spl_input merge_rows[] = {
    SPL_INPUT(spl_merge_words, path, FILE, "file", "the other book", .needed = 1),
    SPL_INPUT(spl_merge_words, accept, FLAG, "accept",
              "agree to all that was struck or corrected of others' records"),
    SPL_INPUT(spl_merge_words, but, NAME, "but", "but to these: their numbers on the page",
              .value = "NUMBERS", .joins = 1),
    SPL_INPUT(spl_merge_words, dry_run, FLAG, "dry_run",
              "tell what would come of it; write nothing"),
    SPL_INPUT(spl_merge_words, by, NAME, "by", "who agrees", .value = "WHO", .setting = "who"),
    SPL_INPUT(spl_merge_words, on, DAY, "on", "the day", .past = 1, .today = 1),
};
static const struct spl_rule merge_rules[] = {{SPL_RULE_WITH, {"but", "accept"}}};
const struct spl_inputs spl_merge_inputs =
    SPL_INPUTS("book_merge", spl_merge_words, merge_rows, SPL_RULES(merge_rules));

/* The book as it stands, read beside the transaction that is to come. */
static struct spl_book *read_before(struct spl_house *house, GError **error)
{
    g_autoptr(spl_book) before = spl_book_open(spl_book_path(house->book), SPL_BOOK_READ, error);
    gint64 thing, site;

    /* The first question fixes what it sees. */
    if (before == NULL || !spl_book_begin_reading(before, error) ||
        !spl_news_last(before, &thing, &site, error))
        return NULL;
    return g_steal_pointer(&before);
}

static void take_notes(const struct spl_merge *merge, struct spl_merged *merged)
{
    merged->added = merge->added;
    merged->had = merge->had;
    merged->left_out = merge->left_out;
    merged->conflicts = spl_list_new(&spl_merge_conflict_shape);
    for (guint i = 0; i < merge->notes->len; i++) {
        const struct spl_merge_note *note = g_ptr_array_index(merge->notes, i);
        struct spl_merge_conflict conflict = {g_strdup(note->code), g_strdup(note->what)};

        g_array_append_val(merged->conflicts, conflict);
    }
}

/* Photos come as small pictures: their files are beside the other book, for its owner's eyes. */
static gboolean tell_photos(struct spl_house *house, GHashTable *before, struct spl_merge *merge,
                            GError **error)
{
    GArray *after = spl_photo_list(house->book, NULL, FALSE, error);
    guint came = 0;

    for (guint i = 0; after != NULL && i < after->len; i++) {
        const struct spl_photo *photo = &g_array_index(after, struct spl_photo, i);

        if (photo->state == SPL_PHOTO_MISSING && !g_hash_table_contains(before, photo->hash))
            came++;
    }
    if (after == NULL)
        return FALSE;
    spl_list_free(&spl_photo_shape, after);
    if (came > 0)
        spl_merge_add_note(merge, g_strdup("photos"),
                           g_strdup_printf("%u came as small pictures; their files stayed beside "
                                           "the other book: add a file where you have it, and it "
                                           "is put in its place",
                                           came));
    return TRUE;
}

static GHashTable *photos_of(struct spl_house *house, GError **error)
{
    GArray *all = spl_photo_list(house->book, NULL, FALSE, error);
    GHashTable *hashes;

    if (all == NULL)
        return NULL;
    hashes = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (guint i = 0; i < all->len; i++)
        g_hash_table_add(hashes, g_strdup(g_array_index(all, struct spl_photo, i).hash));
    spl_list_free(&spl_photo_shape, all);
    return hashes;
}

/* Inside the transaction. */
static gboolean bring_in(struct spl_house *house, struct spl_book *before, struct spl_book *other,
                         const struct spl_look *look, const struct spl_merge_words *words,
                         struct spl_merged *merged, GError **error)
{
    g_autoptr(GHashTable) photos = photos_of(house, error);
    struct spl_merge merge = {0};
    gboolean ok;

    spl_ground_map_forget(house);
    ok = photos != NULL && spl_book_merge(house->book, other, look, &merge, error) &&
         tell_photos(house, photos, &merge, error);
    if (ok)
        take_notes(&merge, merged);
    spl_merge_clear(&merge);
    if (ok) /* before anything is answered here */
        merged->came = spl_merge_came_list(house, before, error);
    if (ok && merged->came != NULL)
        merged->revisions = spl_merge_revisions(house, other, words, error);
    return ok && merged->revisions != NULL && spl_merge_page(house, before, merged, error);
}

/* Whole or not at all; of a dry run nothing stays. */
static gboolean merge(struct spl_house *house, struct spl_book *other, const struct spl_look *look,
                      const struct spl_merge_words *words, struct spl_merged *merged,
                      GError **error)
{
    g_autoptr(spl_book) before = read_before(house, error);
    gboolean ok = before != NULL && spl_book_begin(house->book, error);

    if (!ok)
        return FALSE;
    ok = bring_in(house, before, other, look, words, merged, error);
    g_clear_pointer(&before, spl_book_close); /* nothing is committed past a reader */
    if (ok && words->dry_run) {
        spl_book_rollback(house->book);
        return TRUE;
    }
    return spl_book_finish(house->book, ok, error);
}

/* Under one lock of theirs, so that what is taken is what was looked at. */
static gboolean look_and_merge(struct spl_house *house, const struct spl_merge_words *words,
                               struct spl_merged *merged, GError **error)
{
    g_autoptr(spl_book) other = spl_book_open(words->path, SPL_BOOK_READ, error);
    struct spl_merged made = {.dry_run = words->dry_run};
    struct spl_look look = {0};
    gboolean ok;

    if (other == NULL || !spl_book_begin_reading(other, error) ||
        !spl_look_at_stranger(other, spl_book_tomorrow(house->book), LOOK_SECONDS, &look, error))
        return FALSE;
    made.other = g_strdup(words->path);
    made.mark = g_strdup(spl_setting_mark(other));
    ok = merge(house, other, &look, words, &made, error);
    spl_look_clear(&look);
    if (ok)
        *merged = made;
    else
        spl_record_clear(&spl_merged_shape, &made);
    return ok;
}

gboolean spl_merge(struct spl_house *house, const struct spl_merge_words *said,
                   struct spl_merged *merged, GError **error)
{
    struct spl_merge_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_merge_inputs, said, &words, error))
        return FALSE;
    ok = look_and_merge(house, &words, merged, error);
    spl_inputs_clear(&spl_merge_inputs, &words);
    return ok;
}
