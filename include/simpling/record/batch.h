/* SPDX-License-Identifier: MIT
 *
 * The plain records of a batch: what went into the jar, its figures, its steps.
 */
#ifndef SIMPLING_RECORD_BATCH_H
#define SIMPLING_RECORD_BATCH_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* One thing that went into the jar. */
struct spl_batch_part {
    enum spl_charge_kind kind;
    char *code;                /* the source; NULL for liquid */
    char *material;            /* herb, marc; else NULL */
    enum spl_herb_state state; /* of herb */
    double grams;              /* NAN for liquids */
    double ml;                 /* NAN for herb */
    double strength_pct;       /* of a liquid, as its kind counts; NAN */
    char *words;               /* a liquid as it was written */
    char *supplier, *number;   /* of a liquid; NULL */
    struct spl_day date;
};
extern const struct spl_shape spl_batch_part_shape;

/* A step as it stands. */
struct spl_batch_step {
    char *step; /* "top-up" */
    struct spl_day due, done;
    struct spl_day dropped; /* when it was said that it is no longer to be done; unset: not so */
    struct spl_day earliest, latest;
    int repeat_days;     /* 0: once */
    struct spl_day last; /* of a repeated step */
    gboolean open, alarm;
    char *words;
};
extern const struct spl_shape spl_batch_step_shape;

struct spl_batch {
    gint64 id;
    char *uuid;
    char *code;
    char *preparation; /* slug */
    char *materials;   /* slugs, joined with ", " */
    struct spl_day started;
    enum spl_batch_state state;
    double jar_ml; /* nominal, all jars together; NAN: not said */
    int jars;
    double ratio; /* mL poured on a gram; NAN without herb or liquid */
    GArray *from; /* struct spl_batch_part */
    double herb_g;
    double menstruum_ml;
    double menstruum_abv;      /* % vol of spirit, else NAN */
    double menstruum_strength; /* per cent as its kind counts */
    char *menstruum;           /* in words, with supplier and number */
    double final_abv;          /* % vol, NAN for other liquids */
    double final_acid, final_glycerol, final_sugar;
    double sugar_g, wax_g; /* syrup, salve: to dissolve in what is strained, as expected; NAN */
    double pool_ml;        /* liquid in the jar, the plant's water included */
    double yield_ml, yield_low_ml, yield_high_ml; /* expected */
    double pressed_ml;                            /* measured; NAN while it stands */
    double boiled_ml;                             /* decoction: lost over the fire; else NAN */
    double marc_g;                                /* herb in it that was not used again */
    struct spl_day pressed;                       /* unset: stands */
    struct spl_day use_by;                        /* left unpressed */
    GArray *steps;                                /* struct spl_batch_step */
    GPtrArray *lots;                              /* codes of what was made of it */
    GArray *thrown;                               /* struct spl_thrown: what was thrown away */
    char *held;       /* why nothing of it may go out today; NULL: free */
    GArray *because;  /* struct spl_cause: all that hold it today, or ask; filled by season */
    char *hold;       /* on whose judgement a rule was put aside; NULL */
    gboolean outside; /* outside use only */
    char *raw_by;     /* who answers for raw fruit in it; NULL */
    char *by, *remark, *struck;
};
extern const struct spl_shape spl_batch_shape;

/* A line of the shelf's ledger. */
struct spl_batch_line {
    char *code;
    char *preparation;
    char *materials;
    struct spl_day started;
    enum spl_batch_state state;
    char *words; /* "stands since 4 May 2027, strain from 15 June 2027" */
    char *next_step;
    struct spl_day next_due;
    struct spl_day strain_from; /* while it stands; none: it is not strained */
    struct spl_day pressed;     /* or put up */
    double pressed_ml;          /* NAN: not pressed, or weighed */
    gboolean held;              /* not in JSON: `words` says so, and 'batch show' why */
};
extern const struct spl_shape spl_batch_line_shape;

#endif
