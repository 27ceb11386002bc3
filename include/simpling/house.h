/* SPDX-License-Identifier: MIT
 *
 * The house: a person's book, the data tables and today, opened together. What every use case takes
 * first; the command line and every other face begin here.
 */
#ifndef SIMPLING_HOUSE_H
#define SIMPLING_HOUSE_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/input.h"
#include "simpling/record/mending.h"

typedef struct spl_house spl_house;

enum spl_house_access {
    SPL_HOUSE_TABLES, /* no book */
    SPL_HOUSE_READ,   /* the book is never changed */
    SPL_HOUSE_WRITE
};

struct spl_house_options {
    const char *book;      /* path of the book; not needed with SPL_HOUSE_TABLES */
    const char *data;      /* folder of the data tables */
    const char *own_data;  /* the person's own rows, NULL or absent: none */
    const char *calendars; /* folder of the almanacs that come with the program; may be NULL */
    const char *helpers;   /* folder of the helper programs; may be NULL */
    gboolean as_it_is;     /* also a book whose tables are not right: to check or repair it */
    struct spl_day today;  /* must be set */
    gint64 now_us;         /* microseconds since 1970 UTC; 0: the clock */
    /* Tells how far long work is; NULL: nobody looks. `total` 0: unknown. */
    void (*tell)(const char *what, gint64 done, gint64 total, gpointer data);
    gpointer tell_data;
};

/* Opens; texts are copied. NULL with an error: SPL_ERROR_NOT_FOUND, _CORRUPT, _TOO_NEW, _BUSY … */
struct spl_house *spl_house_open(const struct spl_house_options *options,
                                 enum spl_house_access access, GError **error);
void spl_house_close(struct spl_house *house); /* NULL is fine */

/*
 * For a program of one thread that opens a house again and again: from now on the data tables that
 * one has read are kept for the next, and read anew when one of their files has changed.
 */
void spl_house_keep_tables(void);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_house, spl_house_close)

struct spl_day spl_house_today(const struct spl_house *house);
/* 1 to 12: the month that today lies in, told as north of the equator: a home south of it has June
 * in December. */
int spl_house_month(struct spl_house *house);

/* ---- the book itself ---- */

struct spl_book_info {
    char *path;
    int schema;
    char *mark;
    int sites, harvests, batches, lots;
    GArray *trusts;   /* struct spl_trust: of each mark of which anything was said, what holds */
    GArray *settings; /* struct spl_setting_line */
};
extern const struct spl_shape spl_book_info_shape;

struct spl_setting_line {
    char *key;
    char *value; /* NULL: not said */
    char *about; /* what it is for, and its form */
};
extern const struct spl_shape spl_setting_line_shape;

/* A new book: a mark of 2-8 letters. */
struct spl_book_words {
    const char *mark;
};
extern const struct spl_inputs spl_book_inputs;
/* Makes a book at options->book. SPL_ERROR_EXISTS. */
gboolean spl_book_make(const struct spl_house_options *options, const char *mark,
                       struct spl_book_info *info, GError **error);

gboolean spl_book_describe(struct spl_house *house, struct spl_book_info *info, GError **error);

/* Why rows of the person's own tables were left out of what was read so far (const char *); NULL or
 * empty: none was. Borrowed. */
GPtrArray *spl_house_left_out(struct spl_house *house);

struct spl_setting_words {
    const char *key, *value;
};
extern const struct spl_inputs spl_setting_inputs;
/* Sets one of the keys. SPL_ERROR_NOT_FOUND offers the nearest, SPL_ERROR_INVALID says the form. */
gboolean spl_book_set(struct spl_house *house, const struct spl_setting_words *words,
                      GError **error);

/* Where to, or where from. */
struct spl_book_place {
    const char *path;
};
extern const struct spl_inputs spl_book_copy_inputs;
/* A checked copy at `path`; SPL_ERROR_EXISTS. */
gboolean spl_book_copy(struct spl_house *house, const char *path, GError **error);

/* Whether the first entry would upgrade the book's file, which is of an earlier schema; a copy as
 * it was is kept beside it. No house may be open on it in this process. */
gboolean spl_book_is_before_upgrade(const struct spl_house_options *where);

struct spl_book_restored {
    char *path;  /* the book, now as it was before the upgrade */
    char *from;  /* the copy that it was */
    char *aside; /* what stood there, with all that was written since */
};
extern const struct spl_shape spl_book_restored_shape;

/* Goes back to the copy that was kept before the last upgrade. SPL_ERROR_NOT_FOUND: there is none.
 */
gboolean spl_book_go_back(const struct spl_house_options *where, struct spl_book_restored *restored,
                          GError **error);

/* What is wrong with the book, one line each; an empty array when nothing is. Free with
 * g_ptr_array_unref. */
GPtrArray *spl_book_examine(struct spl_house *house, GError **error);

struct spl_repaired {
    char *path;
    gboolean ok;     /* nothing is left */
    char *copy;      /* the book as it was, when anything was mended; else NULL */
    GArray *mended;  /* struct spl_mending: made again from the facts */
    char *aside;     /* SQL of the rows that left the book, each with its reason; NULL: none did */
    GPtrArray *left; /* faults left to the person, one line each with what to do */
};
extern const struct spl_shape spl_repaired_shape;

/*
 * Makes again what the book derives from its facts, and tables, views and indexes that are not as
 * they should be, after a copy was kept beside the book: all of it or none. No fact is changed; a
 * row that is none (it hangs on nothing, or no program of ours could have written it) goes into a
 * file beside the book. SPL_ERROR_CORRUPT when the file itself is damaged. The house must be opened
 * `as_it_is`.
 */
gboolean spl_book_repair(struct spl_house *house, struct spl_repaired *repaired, GError **error);

#endif
