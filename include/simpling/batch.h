/* SPDX-License-Identifier: MIT
 *
 * Batches and lots: making, adding, stepping, pressing; the shelf and what goes out.
 */
#ifndef SIMPLING_BATCH_H
#define SIMPLING_BATCH_H

#include <glib.h>

#include "simpling/drying.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/need.h"
#include "simpling/record/batch.h"
#include "simpling/record/lot.h"
#include "simpling/record/reaction.h"
#include "simpling/source.h"

/* ---- making ---- */

struct spl_batch_words {
    const char *preparation;
    const char *as;        /* a recipe's name, "last", "none"; NULL: the one kept for this herb */
    GArray *sources;       /* struct spl_source_words */
    GArray *jars;          /* struct spl_jar_words; NULL: not said */
    double liquid_ml;      /* poured on as measured; NAN: by ratio if said, else up to the brim */
    double ratio;          /* NAN */
    const char *menstruum; /* "spirit 40%, SUPPLIER, NUMBER"; NULL: the usual one, unnamed */
    const char *second;    /* a second solvent as written like the first; NULL: none */
    double second_ml;      /* of it; NAN */
    double juice_ml;       /* succus: the juice as measured; NAN: as the tables have it */
    double honey_ml;       /* oxymel: honey as measured; NAN: by the table's parts */
    const char *press;     /* how it will be pressed; NULL: the setting */
    gboolean outside;
    const char *raw_by; /* who answers for fruit that goes in raw: ripe, stripped of every stalk */
    const char *titrated; /* vinegar of one's own: how its acid was measured, … */
    struct spl_day titrated_on;
    const char *titrated_by;
    const char *hold; /* on whose judgement a keeping rule is put aside */
    struct spl_day on;
    const char *by, *remark;
};
extern const struct spl_inputs spl_batch_inputs;

/* `cautions` of all of these: what to know, to be freed with g_ptr_array_unref. */
gboolean spl_batch_begin(struct spl_house *house, const struct spl_batch_words *words,
                         struct spl_batch *batch, GPtrArray **cautions, GError **error);

struct spl_batch_add_words {
    const char *code;
    struct spl_batch_words more; /* without preparation, jars, ratio, outside, remark */
};
extern const struct spl_inputs spl_batch_add_inputs;
/* Adds herb, marc or lots (sources) or liquid (liquid_ml, menstruum NULL: as the first) to a
 * batch that stands; of the words only these, `honey_ml`, `raw_by`, what was titrated, `hold`, `on`
 * and `by` count. */
gboolean spl_batch_extend(struct spl_house *house, const struct spl_batch_add_words *words,
                          struct spl_batch *batch, GPtrArray **cautions, GError **error);

/* A step done, put off or dropped. */
struct spl_batch_step_words {
    const char *code;
    const char *step;   /* top-up, shake, look, decant, turn, ready; not done also strain */
    double liquid_ml;   /* done: poured on with it; NAN: none */
    struct spl_day on;  /* done: the day; none: today */
    struct spl_day due; /* not done: due then, also when it was dropped */
    gboolean drop;      /* not done: no longer to be done */
    const char *why;    /* it is put off or dropped; NULL: just so */
    const char *by;     /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_batch_step_inputs;
/* SPL_ERROR_NOT_FOUND: a step that is put off or dropped and is not open. */
gboolean spl_batch_step(struct spl_house *house, const struct spl_batch_step_words *words,
                        struct spl_batch *batch, GPtrArray **cautions, GError **error);

/* One jar that is left out. */
struct spl_batch_but {
    const char *code;
};
/* One step of every jar for which it is due. */
struct spl_batch_steps_words {
    const char *step;  /* top-up, shake, look, decant, turn, ready */
    GArray *but;       /* struct spl_batch_but: not these; NULL: none */
    struct spl_day on; /* the day it was done; none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_batch_steps_inputs;
/* All of them or none (struct spl_batch); spl_list_free them with spl_batch_shape. NULL with
 * SPL_ERROR_NOT_FOUND: it is due for no jar, or one that is left out is none of those. */
GArray *spl_batch_steps(struct spl_house *house, const struct spl_batch_steps_words *words,
                        GPtrArray **cautions, GError **error);

/* One batch that is pressed. */
struct spl_press_jar {
    const char *code;
    struct spl_amount yield; /* what came out: mL, or g of dried herb or of salve */
    double part;             /* by volume into the mixture; NAN in all: everything into one lot */
};
struct spl_press_words {
    GArray *jars;               /* struct spl_press_jar, each with its yield … */
    struct spl_amount together; /* … or what came of all together */
    const char *wax;            /* salve: "beeswax, SUPPLIER, NUMBER"; NULL: not said */
    double wax_g;               /* what was melted in, of all together; NAN: as reckoned */
    GArray *bottles;   /* struct spl_bottle_words: what the first lot was bottled into … */
    const char *place; /* … and where that stands; both NULL: not said yet */
    const char *hold;  /* what the lots wait for; NULL: released at once */
    struct spl_day on; /* none: today */
    const char *by, *remark;
};
extern const struct spl_inputs spl_press_inputs;
/* Presses; with `parts` what is over of each becomes a lot of its own. Returns the lots made (a
 * list of spl_lot_shape), the mixture first: the bottles are its. */
GArray *spl_batch_press(struct spl_house *house, const struct spl_press_words *words,
                        GPtrArray **cautions, GError **error);

/* The one record that is asked for. */
struct spl_batch_pick {
    const char *code;
};
extern const struct spl_inputs spl_batch_pick_inputs;
gboolean spl_batch_show(struct spl_house *house, const char *code, struct spl_batch *batch,
                        GError **error);

struct spl_batch_question {
    gboolean standing;                  /* only what stands */
    gboolean all;                       /* struck and discarded ones too */
    const char *preparation, *material; /* NULL: any */
};
extern const struct spl_inputs spl_batch_question_inputs;
/* Lines of the ledger, in order of start. */
gboolean spl_batch_lines(struct spl_house *house, const struct spl_batch_question *question,
                         gboolean (*each)(const struct spl_batch_line *line, gpointer data,
                                          GError **error),
                         gpointer data, GError **error);

/* The full record of every batch that stands (or was pressed, with `all`): for calendars, drawings
 * and "today". */
gboolean spl_batch_each_full(struct spl_house *house, gboolean all,
                             gboolean (*each)(const struct spl_batch *batch, gpointer data,
                                              GError **error),
                             gpointer data, GError **error);

/* The same of those that were started or pressed in a span of days, and of some others. */
gboolean spl_batch_each_between_full(struct spl_house *house, struct spl_day first,
                                     struct spl_day last,
                                     gboolean (*each)(const struct spl_batch *batch, gpointer data,
                                                      GError **error),
                                     gpointer data, GError **error);

/* ---- the shelf ---- */

/* The one record that is asked for. */
struct spl_lot_pick {
    const char *code;
};
extern const struct spl_inputs spl_lot_pick_inputs;
gboolean spl_lot_show(struct spl_house *house, const char *code, struct spl_lot *lot,
                      GError **error);

struct spl_lot_question {
    gboolean all; /* also used up, destroyed and struck ones */
};
extern const struct spl_inputs spl_lot_question_inputs;
/* In order of code. Without events, uses, codes. */
gboolean spl_lot_lines(struct spl_house *house, const struct spl_lot_question *question,
                       gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                       gpointer data, GError **error);

struct spl_lot_year_question {
    int year; /* the growing year; SPL_COUNT_NONE: that of today */
};
extern const struct spl_inputs spl_lot_year_inputs;
/* Each lot of which anything stood or moved in that year: a list of spl_lot_flow_shape. */
GArray *spl_lot_year(struct spl_house *house, const struct spl_lot_year_question *question,
                     GError **error);

struct spl_lot_count_words {
    const char *code;
    struct spl_amount counted; /* as the lot is kept: mL or g; 0: it is empty */
    const char *why;           /* it differs; NULL: not said */
    const char *all;           /* in place of a code: a filled sheet, a table as a file; NULL */
    const char *sheet;         /* or where such a sheet is to be written; NULL */
    gboolean force;            /* the sheet replaces a file that is there */
    struct spl_day on;         /* none: today */
    const char *by;            /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_lot_count_inputs;
/* Takes stock: the difference stays in the book. SPL_ERROR_REFUSED: it differs by more than 2 % up
 * or 10 % down (and 5 mL or g), and nobody says why. */
gboolean spl_lot_count(struct spl_house *house, const struct spl_lot_count_words *words,
                       struct spl_lot *lot, GError **error);

/* One line of a count of everything. */
struct spl_counted {
    char *code, *what, *place;
    double book, counted, difference; /* in unit; NAN: not known, not counted */
    char *unit;                       /* "mL", "g", "jars" */
    char *why;
    gboolean taken; /* it is in the book now */
    char *note;     /* why not, or what to do; NULL: nothing to say */
};
extern const struct spl_shape spl_counted_shape;
/* All that stands, as a sheet to count by: code, what, place, bottles, book, unit, counted, why.
 * Writes it to words->sheet, and returns its lines: a list of spl_counted_shape. */
GArray *spl_lot_count_sheet(struct spl_house *house, const struct spl_lot_count_words *words,
                            GError **error);
/* The filled sheet words->all. A row that cannot be taken is left out and says why; the others go
 * in. Herb that a count does not find is thrown away by the book. Returns what was counted, then
 * what stands and was not: a list of spl_counted_shape. */
GArray *spl_lot_count_all(struct spl_house *house, const struct spl_lot_count_words *words,
                          GError **error);

/* The same without a file: a line for each thing that was counted. */
struct spl_count_line {
    const char *code;
    const char *counted; /* "340 mL", "3x100mL+40mL", or a bare number in the unit of the thing */
    const char *why;     /* it differs; NULL: not said */
};
struct spl_count_words {
    GArray *lines;     /* struct spl_count_line */
    struct spl_day on; /* none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_count_inputs;
/* All that stands, uncounted: a list of spl_counted_shape. */
GArray *spl_count_standing(struct spl_house *house, GError **error);
/* Takes what spl_lot_count_all takes of a sheet, and returns the lines that were given. */
GArray *spl_count_lines(struct spl_house *house, const struct spl_count_words *words,
                        GError **error);

enum spl_lot_decision { SPL_LOT_RELEASE, SPL_LOT_WITHDRAW, SPL_LOT_HOLD };

struct spl_lot_decide_words {
    const char *code;
    const char *why;
    struct spl_day on; /* none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_lot_decide_inputs;
/* A withdrawn lot is let out again by a release. `with`: the codes of all that came of a lot that
 * is withdrawn or held, and is held with it; free it with g_ptr_array_unref. */
gboolean spl_lot_decide(struct spl_house *house, enum spl_lot_decision decision,
                        const struct spl_lot_decide_words *words, struct spl_lot *lot,
                        GPtrArray **with, GError **error);

struct spl_lot_use_words {
    GArray *lots;           /* struct spl_source_words, each with its amount; NULL with `again` */
    const char *ref;        /* to whom: a number, never a name; NULL */
    gboolean again;         /* what went to `ref` last, with its directions */
    const char *directions; /* how it is to be taken; NULL */
    struct spl_day on;      /* none: today */
    const char *by;         /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_lot_use_inputs;
/* What went out: one call for a mixture of several. All or nothing. SPL_ERROR_REFUSED: held,
 * withdrawn, destroyed or out-of-date lots, more than is left, outside and inside in one mixture;
 * SPL_ERROR_INVALID: a reference that is no number. Again: a lot that may not go out any more is
 * replaced by the oldest of the same medicine that may, which `cautions` say (g_ptr_array_unref);
 * SPL_ERROR_NOT_FOUND: nothing ever went to that reference. */
gboolean spl_lot_give(struct spl_house *house, const struct spl_lot_use_words *words,
                      struct spl_dispensed *given, GPtrArray **cautions, GError **error);

/* What went out in a span of days. */
struct spl_handed_line {
    struct spl_day date;
    char *ref;                     /* a number, never a name; NULL */
    char *use, *code;              /* U27-014, and the lot of which it was */
    char *preparation, *materials; /* slugs */
    double ml, g;                  /* one of them; the other NAN */
    char *directions, *by;         /* NULL: not noted */
};
extern const struct spl_shape spl_handed_line_shape;

/* All of it that went to one reference. */
struct spl_handed_to {
    char *ref; /* NULL: without one */
    int lots;  /* bottles of so many lots */
    double ml, g;
};
extern const struct spl_shape spl_handed_to_shape;

struct spl_handed {
    struct spl_day from, to;
    double ml, g;   /* of all together; NAN: none is measured so */
    GArray *lines;  /* struct spl_handed_line: by day, reference, use */
    GArray *people; /* struct spl_handed_to */
    GArray *lots;   /* struct spl_lot_flow: through these days; `uses` NULL */
};
extern const struct spl_shape spl_handed_shape;

struct spl_handed_question {
    struct spl_day from; /* none: today */
    struct spl_day to;   /* none: that one day */
};
extern const struct spl_inputs spl_handed_inputs;
/* SPL_ERROR_INVALID: it ends before it begins. */
gboolean spl_handed_between(struct spl_house *house, const struct spl_handed_question *span,
                            struct spl_handed *handed, GError **error);

/* Some bottles, bags or jars of one size. */
struct spl_bottle_words {
    int count;
    struct spl_amount size;
};
extern const struct spl_inputs spl_bottle_inputs; /* of an element: "4x100mL", "250g" */

struct spl_lot_bottle_words {
    const char *code;
    GArray *bottles;   /* struct spl_bottle_words; NULL: as they were */
    const char *place; /* where it stands; NULL: as it was */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_lot_bottle_inputs;
/* What it was bottled into, and where that stands. SPL_ERROR_INVALID: bottles in mL of what is
 * kept in grams, or the other way round. `cautions`: free with g_ptr_array_unref. */
gboolean spl_lot_bottle(struct spl_house *house, const struct spl_lot_bottle_words *words,
                        struct spl_lot *lot, GPtrArray **cautions, GError **error);

struct spl_reaction_words {
    const char *code;  /* of the lot; NULL: not known which */
    const char *ref;   /* to whom it went: a number, never a name; NULL */
    const char *kind;  /* "reaction", "complaint"; NULL: reaction */
    const char *text;  /* what was said */
    struct spl_day on; /* none: today */
    const char *by;    /* who noted it; NULL: the setting `who` */
};
extern const struct spl_inputs spl_reaction_inputs;
/* Notes what somebody said of a lot or of what went to a reference; traces show it. SPL_ERROR_
 * NOT_FOUND: nothing ever went to that reference. `cautions`: free with g_ptr_array_unref. */
gboolean spl_lot_react(struct spl_house *house, const struct spl_reaction_words *words,
                       struct spl_reaction *reaction, GPtrArray **cautions, GError **error);

struct spl_discard_words {
    const char *code;
    struct spl_amount amount; /* not said: all of it */
    const char *why;
    struct spl_day on; /* none: today */
    const char *by;    /* NULL: the setting `who` */
};
extern const struct spl_inputs spl_discard_inputs;

/* What was thrown away. */
struct spl_discarded {
    char *code;
    double g, ml; /* thrown away */
    double left_g, left_ml;
    char *why;
};
extern const struct spl_shape spl_discarded_shape;
/* Throws away from any code: all of it, or so much. */
gboolean spl_discard(struct spl_house *house, const struct spl_discard_words *words,
                     struct spl_discarded *discarded, GError **error);

#endif
