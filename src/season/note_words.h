/* SPDX-License-Identifier: MIT
 *
 * The words that a note may be made of: names of places, plants and what is gathered of them,
 * growth stages, what was done, what was said of spraying, and the small words between.
 *
 * A name is found by its pieces (runs of letters, runs of digits; capitals, accents and apostrophes
 * do not count), longest first: "may blossom" before "may". One whose pieces are run together or
 * parted otherwise is found too, where only one such name exists.
 */
#ifndef SPL_SEASON_NOTE_WORDS_H
#define SPL_SEASON_NOTE_WORDS_H

#include <glib.h>

#include "core/tables.h"

enum spl_note_word {
    SPL_NOTE_UNKNOWN,
    SPL_NOTE_SITE,
    SPL_NOTE_HERB,        /* a plant or what is gathered of it; `text` as the tables look it up */
    SPL_NOTE_PART,        /* value: enum spl_part */
    SPL_NOTE_STAGE,       /* value: BBCH */
    SPL_NOTE_PREPARATION, /* text: slug */
    SPL_NOTE_DONE,        /* value: enum spl_note_done */
    SPL_NOTE_TODO,        /* the same, not yet done: "strain" */
    SPL_NOTE_SPRAY,       /* value: enum spl_spray_kind */
    SPL_NOTE_SAYS,        /* "says", "rang": who said it stands before */
    SPL_NOTE_GUARD,       /* "not", "planned": such a line is never taken for what it says */
    SPL_NOTE_ABOUT,       /* "about": kept as a remark */
    SPL_NOTE_FILLER,      /* "the" */
    SPL_NOTE_ALL,
    SPL_NOTE_EXCEPT,
    SPL_NOTE_HALF,
    SPL_NOTE_SINCE,
    SPL_NOTE_UNTIL,
    SPL_NOTE_LATER,
    SPL_NOTE_THIS_YEAR,
    SPL_NOTE_DITTO,
    /* What note_lex.c adds. */
    SPL_NOTE_CODE,
    SPL_NOTE_DAY,
    SPL_NOTE_TIME,
    SPL_NOTE_MASS,
    SPL_NOTE_VOLUME,
    SPL_NOTE_BAGS,
    SPL_NOTE_PLANTS,
    SPL_NOTE_NUMBER
};

/* What herb was counted in, the value of SPL_NOTE_BAGS. */
enum spl_note_container {
    SPL_NOTE_IN_BAGS,
    SPL_NOTE_IN_OTHERS, /* taken for bags; said in the remark */
    SPL_NOTE_IN_HANDFULS
};

enum spl_note_done {
    SPL_NOTE_SHOOK,
    SPL_NOTE_TOPPED,
    SPL_NOTE_LOOKED,
    SPL_NOTE_DECANTED,
    SPL_NOTE_TURNED,
    SPL_NOTE_READY,
    SPL_NOTE_STRAINED,
    SPL_NOTE_SPOILT, /* mouldy, thrown away: the whole, if no less is said */
    SPL_NOTE_BROKEN, /* cracked, leaking, spilt: some of it may be saved */
    SPL_NOTE_LOST,   /* of what is spoilt: how much follows */
    SPL_NOTE_WEIGHED,
    SPL_NOTE_WASHED,
    SPL_NOTE_HAD,
    SPL_NOTE_ALLOWED,
    SPL_NOTE_TEACHING, /* allowed to teach there: nothing for stock */
    SPL_NOTE_FORBIDDEN,
    SPL_NOTE_NOT_REACHED,
    SPL_NOTE_MARKED,
    SPL_NOTE_COUNTED,
    SPL_NOTE_CUT,
    SPL_NOTE_RESTING,
    SPL_NOTE_REMARKED
};

struct spl_note_name {
    enum spl_note_word word;
    int value;
    char *text; /* as it is called; NULL where the value says all */
};

typedef struct spl_note_names spl_note_names;

/* `sites`: names of places (const char *). Tables are borrowed and must live as long. */
struct spl_note_names *spl_note_names_new(const struct spl_tables *tables, const GPtrArray *sites);
void spl_note_names_free(struct spl_note_names *names);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_note_names, spl_note_names_free)

/*
 * The longest name that begins at the byte `at` of a folded text; its end in `end`. The list
 * (const struct spl_note_name *) is borrowed; NULL: none begins there.
 */
const GPtrArray *spl_note_names_at(const struct spl_note_names *names, const char *text, gsize at,
                                   gsize *end);

/* The end of the run of letters, or of digits, that begins there. */
gsize spl_note_piece_end(const char *text, gsize at);

/* What is known that looks like the word, as " (did you mean 'fellwort'?)"; "" when nothing does.
 * Free with g_free. */
char *spl_note_names_near(const struct spl_note_names *names, const char *word);

#endif
