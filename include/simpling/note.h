/* SPDX-License-Identifier: MIT
 *
 * Notes: plain lines from a slip or from any notes application, read back into the book.
 *
 * A line is believed only when every word of it means something; two readings are told as two, and
 * nothing is guessed. Each line goes through the same doors as any entry. data/manual/notes.md has
 * the grammar with examples.
 */
#ifndef SIMPLING_NOTE_H
#define SIMPLING_NOTE_H

#include <glib.h>
#include <stdio.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

/* What a line is about. Names stay: spl_note_kind_names. */
enum spl_note_kind {
    SPL_NOTE_KIND_NONE, /* not understood */
    SPL_NOTE_KIND_HEADING,
    SPL_NOTE_KIND_HARVEST,
    SPL_NOTE_KIND_STAGE,
    SPL_NOTE_KIND_SPRAY,
    SPL_NOTE_KIND_LEAVE,
    SPL_NOTE_KIND_NOT_REACHED,
    SPL_NOTE_KIND_STAND,
    SPL_NOTE_KIND_STEP,
    SPL_NOTE_KIND_YIELD,
    SPL_NOTE_KIND_DISCARD,
    SPL_NOTE_KIND_WEIGHT,
    SPL_NOTE_KIND_DRYING,
    SPL_NOTE_KIND_GIVEN,
    SPL_NOTE_KIND_REMARK,
    SPL_NOTE_KIND_STRIKE
};
extern const char *const spl_note_kind_names[]; /* "harvest"; that of none is empty */

enum spl_note_state {
    SPL_NOTE_READABLE, /* would be written */
    SPL_NOTE_WRITTEN,
    SPL_NOTE_AGAIN,   /* was taken before */
    SPL_NOTE_ASKED,   /* a person must say more, or choose */
    SPL_NOTE_REFUSED, /* not understood, or a door refuses it */
    SPL_NOTE_CONTEXT, /* a heading: place and day for what stands below */
    SPL_NOTE_LEFT     /* no entry: an open box, a mail's signature */
};
extern const char *const spl_note_state_names[]; /* "readable" */

struct spl_note_row {
    char *file; /* base name */
    int line;
    char *text; /* as typed */
    enum spl_note_state state;
    enum spl_note_kind kind;
    struct spl_day date;
    char *site;
    int date_line, site_line; /* where they were said; 0: nowhere, or on the line itself */
    char *record;             /* what it says, in words: "600 g lime/flower, full flower" */
    char *code;               /* of what was written or is there; NULL: it has none */
    char *word;               /* the one that is not understood; NULL */
    char *reason;             /* of what is not written; NULL */
    gboolean warning;         /* it speaks of spraying and was not entered */
    GPtrArray *cautions;      /* what to know of what is written */
};
extern const struct spl_shape spl_note_row_shape;

struct spl_note_file {
    const char *path;
};
extern const struct spl_inputs spl_note_file_inputs; /* of an element */

struct spl_note_words {
    GArray *files; /* struct spl_note_file; "-": a stream */
    gboolean apply;
    struct spl_day written; /* the day of typing: "yesterday" is told from it; none: not known */
    const char *by;         /* who; NULL: the setting `who` */
};
extern const struct spl_inputs spl_note_inputs;

/*
 * Reads notes; writes what is understood with `apply` alone, the records of a line all or none.
 * Without it they are written into a copy in memory, so that all is told that the doors would say.
 * Lines that speak of spraying and were not entered come first. `stream` is read for "-"; NULL:
 * nothing may be. A list of spl_note_row_shape; NULL with an error: a file cannot be read at all,
 * and nothing is written then.
 */
GArray *spl_notes_read(struct spl_house *house, const struct spl_note_words *words, FILE *stream,
                       GError **error);

#endif
