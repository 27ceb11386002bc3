/* SPDX-License-Identifier: MIT
 *
 * The register of calendar entries: their identity, days, sequence, what each target had, and the
 * files as we left them. Everything that writes stands inside a transaction.
 */
#ifndef SPL_BOOK_CALENDAR_H
#define SPL_BOOK_CALENDAR_H

#include <glib.h>

#include "book/book.h"
#include "simpling/day.h"

enum spl_calendar_state {
    SPL_CALENDAR_OPEN,
    SPL_CALENDAR_DONE,
    SPL_CALENDAR_WITHDRAWN, /* the book no longer has it */
    SPL_CALENDAR_DROPPED    /* the person cancelled it in their calendar */
};

struct spl_calendar_row {
    gint64 id;
    char *uid;
    char *key;
    int year;
    char *summary;
    struct spl_day first, last;             /* inclusive */
    struct spl_day outer_first, outer_last; /* unset: none */
    enum spl_calendar_state state;
    int sequence;
    gint64 changed_at; /* seconds since 1970 UTC */
};
void spl_calendar_row_clear(struct spl_calendar_row *row);

/* By UID (any case). `*found` FALSE leaves `row` cleared. */
gboolean spl_calendar_row_find(struct spl_book *book, const char *uid, struct spl_calendar_row *row,
                               gboolean *found, GError **error);

/* TRUE in `*empty` when nothing was ever written into a calendar. */
gboolean spl_calendar_is_empty(struct spl_book *book, gboolean *empty, GError **error);

/* Writes the row's present values over the old ones; days and state that it had are kept as
 * values. */
gboolean spl_calendar_row_update(struct spl_book *book, const struct spl_calendar_row *row,
                                 GError **error);

/* The row's SEQUENCE is at least this. */
gboolean spl_calendar_row_raise(struct spl_book *book, gint64 id, int sequence, GError **error);

/* All rows of `year` and later in order of id. `row` is cleared after each call, which may change
 * that row but add none. */
gboolean spl_calendar_row_each(struct spl_book *book, int year,
                               gboolean (*each)(const struct spl_calendar_row *row, gpointer data,
                                                GError **error),
                               gpointer data, GError **error);
/* The same of their ids alone. */
gboolean spl_calendar_id_each(struct spl_book *book, int year,
                              gboolean (*each)(gint64 id, gpointer data, GError **error),
                              gpointer data, GError **error);

/* TRUE in `*days` when the entry has or had these days, in `*state_known` when this state. */
gboolean spl_calendar_value_known(struct spl_book *book, const struct spl_calendar_row *row,
                                  struct spl_day first, struct spl_day last,
                                  enum spl_calendar_state state, gboolean *days,
                                  gboolean *state_known, GError **error);

/* Notes days and a state as known, though they are not the present ones. */
gboolean spl_calendar_value_add(struct spl_book *book, gint64 entry_id, struct spl_day first,
                                struct spl_day last, enum spl_calendar_state state, GError **error);

/* The target of this name; `make`: when there is none it is made, else its id is 0. */
gboolean spl_calendar_target(struct spl_book *book, const char *name, gboolean make, gint64 *id,
                             GError **error);

struct spl_calendar_sent {
    char hash[65];
    int sequence;
    gint64 changed_at;
    gboolean cancelled;
    gboolean there;             /* the calendar held it when it was written last */
    struct spl_day first, last; /* the days that it was sent with */
};

/* What the target had of the entry. */
gboolean spl_calendar_sent_find(struct spl_book *book, gint64 target_id, gint64 entry_id,
                                struct spl_calendar_sent *sent, gboolean *found, GError **error);
gboolean spl_calendar_sent_put(struct spl_book *book, gint64 target_id, gint64 entry_id,
                               const struct spl_calendar_sent *sent, GError **error);

/* A new entry, and what the target that it goes to first has of it. */
struct spl_calendar_fresh {
    struct spl_calendar_row row;
    struct spl_calendar_sent sent;
};
#define SPL_CALENDAR_MANY 32

/* Adds new entries, best SPL_CALENDAR_MANY at once; their ids are filled in. */
gboolean spl_calendar_add(struct spl_book *book, gint64 target_id, struct spl_calendar_fresh *fresh,
                          guint count, GError **error);

/* The checksum of a file as we left it, NULL when we never wrote it. Free with g_free. */
char *spl_calendar_file_checksum(struct spl_book *book, const char *path, GError **error);
/* TRUE in `*known` when some file was left by us with just this content: the folder may have moved.
 */
gboolean spl_calendar_file_known(struct spl_book *book, const char *checksum, gboolean *known,
                                 GError **error);
gboolean spl_calendar_file_put(struct spl_book *book, const char *path, const char *checksum,
                               GError **error);

/* What a site is known to bear: material slugs of the log, of stages seen and of fixed windows, in
 * order, each once; and the plants of its stands. Free both with g_ptr_array_unref. */
gboolean spl_calendar_known(struct spl_book *book, gint64 site_id, GPtrArray **materials,
                            GPtrArray **plants, GError **error);

#endif
