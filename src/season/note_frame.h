/* SPDX-License-Identifier: MIT
 *
 * What a note's line says, from its words and from the headings above it: one day, one place, one
 * thing. What is missing, said twice or left over refuses it.
 */
#ifndef SPL_SEASON_NOTE_FRAME_H
#define SPL_SEASON_NOTE_FRAME_H

#include <glib.h>

#include "season/note_lex.h"
#include "simpling/house.h"
#include "simpling/note.h"

/* What holds for lines below a heading, and what the reader knows. */
struct spl_note_context {
    const struct spl_tables *tables;
    const struct spl_note_names *names;
    const char *country; /* NULL: not said */
    struct spl_day today, written;
    char *site;
    int site_line;
    struct spl_day day;
    int day_line;
};

struct spl_note_entry {
    enum spl_note_kind kind;
    enum spl_note_state state; /* readable, asked, refused, a context, left */
    char *reason, *word;
    struct spl_day day;
    gboolean own_day; /* said on the line itself */
    char *site;
    gboolean own_site;
    char *material;    /* slug; of a step or a lot: a material or a plant */
    char *plant;       /* slug */
    char *preparation; /* how it begins, as slugs joined with "," */
    int stage;         /* BBCH; SPL_STAGE_NONE */
    double g, ml;
    int bags, plants;
    gboolean handfuls;      /* the bags are */
    GPtrArray *codes, *but; /* char * */
    gboolean all, half;
    enum spl_note_done done;
    int spray; /* enum spl_spray_kind */
    char *who, *why, *ref, *product, *signs, *by;
    struct spl_day since, until;
    char *remark; /* NULL: none */
    /* Of a slip's line. */
    const struct spl_note_line *line;
};
void spl_note_entry_clear(struct spl_note_entry *entry);

/* Never fails: what cannot be read is refused in `entry`. A heading changes the context. */
void spl_note_frame(struct spl_note_context *context, const struct spl_note_line *line,
                    struct spl_note_entry *entry);

/* ---- inside: note_choose.c, note_frame.c, note_spray.c, note_when.c ---- */

/* Refuses, for the words of a token (NULL: no one of them); the first refusal holds. */
void spl_note_refuse(struct spl_note_entry *entry, const struct spl_note_token *token,
                     const char *format, ...) G_GNUC_PRINTF(3, 4);
void spl_note_ask(struct spl_note_entry *entry, const char *format, ...) G_GNUC_PRINTF(2, 3);

/* Settles what a name is that may be several things, where the line leaves only one: a place called
 * Oak is the place where another plant is named or nothing but a day stands beside it, and the
 * plant where another place is. Else it is asked. */
void spl_note_choose(const struct spl_note_lexed *lexed, struct spl_note_entry *entry);

/* The day that is meant, on or before the day of reading; with `ahead` also one that comes. */
gboolean spl_note_when_resolve(const struct spl_note_context *context,
                               const struct spl_note_token *token, gboolean ahead,
                               struct spl_note_entry *entry, struct spl_day *day);
/* Of "since 2020" the first day, of "until October" the last. */
gboolean spl_note_when_bound(const struct spl_note_context *context,
                             const struct spl_note_token *token, gboolean last,
                             struct spl_note_entry *entry, struct spl_day *day);

/* A line that speaks of spraying. */
void spl_note_frame_spray(const struct spl_note_context *context,
                          const struct spl_note_lexed *lexed, struct spl_note_entry *entry);

/* The material of a name with the part said beside it (SPL_PART_ANY: none); its plant alone goes
 * into `entry` when the tables know no one material. FALSE: refused. */
gboolean spl_note_herb(const struct spl_note_context *context, const struct spl_note_token *token,
                       enum spl_part part, struct spl_note_entry *entry);

#endif
