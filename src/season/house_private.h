/* SPDX-License-Identifier: MIT
 *
 * season: the use cases. Each file answers one question of a person by joining book, exchange and
 * picture with core; this header is the inside of the house that they share.
 */
#ifndef SPL_SEASON_HOUSE_PRIVATE_H
#define SPL_SEASON_HOUSE_PRIVATE_H

#include <glib.h>

#include "base/progress.h"
#include "book/book.h"
#include "book/site.h"
#include "core/tables.h"
#include "simpling/house.h"

struct spl_house {
    struct spl_book *book;      /* NULL with SPL_HOUSE_TABLES */
    struct spl_tables *tables;  /* NULL until asked for: use spl_house_tables */
    struct spl_tables *methods; /* the same: spl_house_methods */
    char *data, *own_data, *calendars, *helpers;
    struct spl_day today;
    struct spl_progress progress;
    struct spl_ground_map *map; /* NULL until asked for: season/ground_map.h */
};

/* The data tables, read on first use (a command that needs none starts faster). Borrowed. */
const struct spl_tables *spl_house_tables(struct spl_house *house, GError **error);
/* Those of them that tell the methods of hazards, for what asks about ground alone. */
const struct spl_tables *spl_house_methods(struct spl_house *house, GError **error);

/*
 * A setting read and parsed: FALSE and `*value` untouched when it is not said. Keys are those of
 * spl_book_set, the number's unit that of the key.
 */
gboolean spl_house_setting_number(struct spl_house *house, const char *key, double *value);
gboolean spl_house_setting_place(struct spl_house *house, double *lat, double *lon);
/* The text or NULL; free with g_free. */
char *spl_house_setting_text(struct spl_house *house, const char *key);

/* One's own spirits, shares by volume as doubles, weakest first; empty when not said. Free with
 * g_array_unref. */
GArray *spl_house_spirits(struct spl_house *house);

/* Who does it: `by` when given, else the setting `who`, else NULL. Free with g_free. */
char *spl_house_who(struct spl_house *house, const char *by);

/* The place of the input `key`, whose error it is when there is none of that name. */
gboolean spl_house_site(struct spl_house *house, const char *key, const char *name,
                        struct spl_site *site, GError **error);

/* SPL_ERROR_INVALID when `day` lies after today, or ages ago: for what is said to have happened. */
gboolean spl_house_past(const struct spl_house *house, struct spl_day day, const char *what,
                        GError **error);

/* Whether it may be a book's mark; its error is about "mark". */
gboolean spl_mark_check(const char *mark, GError **error);

/* Every setting with its value and what it is, struct spl_setting_line each. */
GArray *spl_setting_lines(struct spl_book *book);

/* Whether the setting may have this value, as far as its text shows; its error is about `key`. */
gboolean spl_setting_check(const char *key, const char *value, GError **error);

/* For a table's `figures`: where the member was not said, the figure, with its source. */
void spl_entry_figure(const char *key, double *member, const struct spl_figure *figure,
                      GArray *filled);

#endif
