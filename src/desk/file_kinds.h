/* SPDX-License-Identifier: MIT
 *
 * Kinds of files that are sent to the desk: a new one is a row of the table in file_kinds.c.
 */
#ifndef SPL_DESK_FILE_KINDS_H
#define SPL_DESK_FILE_KINDS_H

#include <stdio.h>

#include "desk/act.h"

/* The name of the calendar that the desk writes and reads, when nobody says another. */
#define SPL_DESK_CALENDAR "desk"

struct spl_file_kind {
    const char *name, *title, *about;
    const char *main;    /* endings of the one file that is read, the likeliest first */
    const char *endings; /* of all that may come with it, and be in a zip */
    const struct spl_inputs *inputs;
    const char *file;   /* key of the input that is the file */
    const char *apply;  /* key of the flag without which nothing is written; NULL: there is none */
    const char *dry;    /* key of the flag with which nothing is written; NULL: there is none */
    const char *pasted; /* label of the field in which the text can be pasted; NULL: none */
    gboolean (*read)(struct spl_house *house, const void *said, FILE *text, struct spl_done *done,
                     GError **error);
    /* Shows what is in it; NULL: `read` does, told so by its flag. */
    gboolean (*look)(struct spl_house *house, const void *said, struct spl_done *done,
                     GError **error);
    gboolean looks_only; /* nothing is ever written */
    gboolean tries;      /* what it would write is found by writing it and taking it back */
    /* More of the form that applies what was shown; NULL: nothing. */
    void (*put_more)(struct spl_html *html, const struct spl_done *done);
    const char *without; /* keys that the form does not ask for, with blanks; NULL: none */
};

/* NULL: there is none of that name. */
const struct spl_file_kind *spl_file_kind_find(const char *name);
/* The kind of this place in the table; NULL behind the last. */
const struct spl_file_kind *spl_file_kind_at(gsize i);

/* Of what a merge lists all is agreed to, but what was ticked: says so as season reads it. Others
 * are left as they are. */
gboolean spl_file_kind_choose(const struct spl_file_kind *kind, const GArray *pairs, void *said,
                              GError **error);

#endif
