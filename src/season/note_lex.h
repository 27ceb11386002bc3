/* SPDX-License-Identifier: MIT
 *
 * A note's line taken apart into words that mean something: codes, days, amounts, names. What means
 * nothing is a token too, since every word of a line must be used up before it is believed.
 */
#ifndef SPL_SEASON_NOTE_LEX_H
#define SPL_SEASON_NOTE_LEX_H

#include <glib.h>

#include "exchange/note_lines.h"
#include "season/note_words.h"
#include "simpling/day.h"

/* A day as it was said. */
struct spl_note_when {
    int year, month, dom; /* 0: not said */
    int weekday;          /* 1 Monday to 7 Sunday; 0: not said */
    gboolean relative;    /* "yesterday": so many days ago; "last Saturday", by its weekday */
    int ago;
    gboolean either; /* 7/8: day and month may stand the other way round */
};

struct spl_note_token {
    enum spl_note_word word;
    gsize start, end; /* in the folded text */
    int value;
    double number;          /* g, mL, bags, plants; of a number itself */
    const GPtrArray *names; /* struct spl_note_name: what it may be; NULL */
    char *text;             /* of a code: the code; of a number: as it stands; else NULL */
    struct spl_note_when when;
    char *fault; /* why it refuses the line, whatever else stands there; NULL */
};

struct spl_note_lexed {
    GArray *tokens;  /* struct spl_note_token */
    GString *remark; /* behind ";" or in brackets, times, "about", pictures */
    char *rest;      /* the folded text without it */
};
void spl_note_lexed_clear(struct spl_note_lexed *lexed);

void spl_note_lex(const struct spl_note_names *names, const struct spl_note_line *line,
                  struct spl_note_lexed *lexed);

/* The words from one place of the folded text to another as they were typed, without blanks and
 * commas at their ends. Free with g_free. */
char *spl_note_typed(const struct spl_note_line *line, gsize start, gsize end);

/* One more thing to the remark. */
void spl_note_remark(GString *remark, const char *text);

#endif
