/* SPDX-License-Identifier: MIT
 *
 * The tables of inputs, each with what is said in its own words and the function of season that
 * takes it. A new table gets a row in tables.c.
 */
#ifndef SPL_TESTS_FACE_TABLES_H
#define SPL_TESTS_FACE_TABLES_H

#include "simpling/entry.h"

#define FACE_SAID_MAX 24

struct face_table {
    const struct spl_inputs *inputs;
    /* Clears the answer at once: only whether there is one counts. */
    gboolean (*call)(struct spl_house *house, const void *said, GError **error);
    /* Pairs of a path and a text that the function takes; NULL at the end. As many as go together.
     */
    const char *said[2 * FACE_SAID_MAX + 1];
};

extern const struct face_table face_tables[];
extern const gsize face_n_tables;
extern const struct face_table face_log_tables[]; /* of the log and the shelf */
extern const gsize face_n_log_tables;
extern const struct face_table face_season_tables[]; /* of pictures, outings, beginnings */
extern const gsize face_n_season_tables;

static inline gsize face_count(void)
{
    return face_n_tables + face_n_log_tables + face_n_season_tables;
}

static inline const struct face_table *face_at(gsize i)
{
    if (i < face_n_tables)
        return &face_tables[i];
    i -= face_n_tables;
    return i < face_n_log_tables ? &face_log_tables[i] : &face_season_tables[i - face_n_log_tables];
}

/* Before and after a call that fills a record: it is the caller's when the call is TRUE, and
 * untouched when it is FALSE. face_untouched is FALSE; face_was_touched tells once whether it was.
 */
void face_mark(void *record, gsize size);
gboolean face_untouched(const void *record, gsize size);
gboolean face_was_touched(void);

gboolean face_amend(struct spl_house *house, const void *said, GError **error);

/* What the book holds before each call: places, harvests, a batch that stands, a lot. */
gboolean face_prepare(struct spl_house *house, GError **error);

#endif
