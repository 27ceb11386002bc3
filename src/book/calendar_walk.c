/* SPDX-License-Identifier: MIT
 *
 * The register read beside what is written. See book/calendar_walk.h.
 */
#include "book/calendar_walk.h"

#include "book/noun.h"

#define SENT_COLUMNS                                                                               \
    "s.hash, coalesce(s.sequence, 0), coalesce(s.changed_at, 0), coalesce(s.cancelled, 0),"        \
    " coalesce(s.there, 0), s.first, s.last"
#define SENT_JOIN "LEFT JOIN calendar_sent s ON s.target_id = ?1 AND s.entry_id = t.id "

struct spl_calendar_walk {
    struct spl_book *book;
    gint64 target_id;
    spl_statement *rows;           /* in order of id; NULL: not begun, or at the end */
    struct spl_calendar_kept next; /* read, and nobody's yet */
    gboolean has_next;
    gint64 after; /* the id up to which the walk has come */
};

struct spl_calendar_walk *spl_calendar_walk_new(struct spl_book *book, gint64 target_id)
{
    struct spl_calendar_walk *walk = g_new0(struct spl_calendar_walk, 1);

    walk->book = book;
    walk->target_id = target_id;
    walk->after = -1;
    return walk;
}

static void drop_next(struct spl_calendar_walk *walk)
{
    if (walk->has_next)
        spl_calendar_row_clear(&walk->next.row);
    walk->has_next = FALSE;
}

void spl_calendar_walk_free(struct spl_calendar_walk *walk)
{
    if (walk == NULL)
        return;
    drop_next(walk);
    spl_statement_done(walk->rows);
    g_free(walk);
}

static gboolean read_row(spl_statement *rows, struct spl_calendar_kept *kept, GError **error)
{
    struct spl_calendar_sent sent = {.there = FALSE};
    const char *hash;

    if (!spl_noun_next_with(rows, &kept->row,
                            SPL_INTO(&hash, &sent.sequence, &sent.changed_at, &sent.cancelled,
                                     &sent.there, &sent.first, &sent.last),
                            error))
        return FALSE;
    kept->had = hash != NULL;
    if (kept->had)
        g_strlcpy(sent.hash, hash, sizeof sent.hash);
    kept->sent = sent;
    return TRUE;
}

/* What stands next in the register, into `next`. */
static gboolean read_next(struct spl_calendar_walk *walk, GError **error)
{
    GError *failed = NULL;

    walk->has_next = read_row(walk->rows, &walk->next, &failed);
    if (walk->has_next) {
        walk->after = walk->next.row.id;
        return TRUE;
    }
    g_clear_pointer(&walk->rows, spl_statement_done);
    walk->after = G_MAXINT64;
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* Goes on behind an entry. */
static gboolean begin_after(struct spl_calendar_walk *walk, gint64 id, GError **error)
{
    drop_next(walk);
    spl_statement_done(walk->rows);
    walk->after = id;
    walk->rows = spl_noun_open_with(walk->book, &spl_calendar_entry_noun, SENT_COLUMNS,
                                    SENT_JOIN "WHERE t.id > ?2 ORDER BY t.id",
                                    SPL_WITH(walk->target_id, id), error);
    return walk->rows != NULL;
}

static gboolean look_up(struct spl_calendar_walk *walk, const char *uid,
                        struct spl_calendar_kept *kept, gboolean *found, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_noun_open_with(walk->book, &spl_calendar_entry_noun, SENT_COLUMNS,
                           SENT_JOIN "WHERE t.uid = ?2", SPL_WITH(walk->target_id, uid), error);
    GError *failed = NULL;

    *found = rows != NULL && read_row(rows, kept, &failed);
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_calendar_walk_find(struct spl_calendar_walk *walk, const char *uid,
                                struct spl_calendar_kept *kept, gboolean *found, GError **error)
{
    if (walk->after < 0 && !begin_after(walk, 0, error))
        return FALSE;
    if (!walk->has_next && walk->rows != NULL && !read_next(walk, error))
        return FALSE;
    if (walk->has_next && g_str_equal(walk->next.row.uid, uid)) {
        *kept = walk->next;
        *found = TRUE;
        walk->has_next = FALSE;
        return TRUE;
    }
    if (!look_up(walk, uid, kept, found, error))
        return FALSE;
    /* What is written stands further on in the register: so will what comes after it. */
    if (*found && kept->row.id > walk->after && !begin_after(walk, kept->row.id, error)) {
        spl_calendar_row_clear(&kept->row);
        return FALSE;
    }
    return TRUE;
}
