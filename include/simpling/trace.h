/* SPDX-License-Identifier: MIT
 *
 * Trace: from a site or harvest forward to the bottles, from a bottle back to the ground.
 */
#ifndef SIMPLING_TRACE_H
#define SIMPLING_TRACE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/lot.h"
#include "simpling/record/reaction.h"
#include "simpling/record/reason.h"
#include "simpling/record/state.h"

struct spl_trace_harvest {
    char *code, *site, *material;
    struct spl_day date;
    enum spl_verdict verdict; /* of that day */
    char *permission;         /* of that day, in words; NULL: none was noted */
    double weight_g;
    char *struck; /* why it was struck; NULL: it stands */
};
extern const struct spl_shape spl_trace_harvest_shape;

struct spl_trace_other { /* purchases and dryings */
    char *code, *material, *supplier, *number;
    struct spl_day date;
};
extern const struct spl_shape spl_trace_other_shape;

struct spl_trace_batch {
    char *code, *preparation;
    struct spl_day started;
    enum spl_batch_state state;
    char *held;      /* why nothing of it may go out; NULL: free */
    GArray *because; /* struct spl_cause: all that hold it today, or ask */
};
extern const struct spl_shape spl_trace_batch_shape;

struct spl_trace_lot {
    char *code, *preparation, *materials;
    struct spl_day made, use_by;
    double left_ml, left_g;
    enum spl_state_word state;
    GArray *because; /* struct spl_cause: all that hold it today, or ask */
    char *why;       /* of that state; NULL */
    /* Where it is, in the unit in which it is kept: made = left + out + drawn + thrown +
     * unaccounted. */
    char *unit;                   /* "mL", "g" */
    double made_amount;           /* what came out of the jars */
    double left;                  /* on the shelf */
    double out;                   /* to people */
    double drawn;                 /* into other jars */
    double thrown;                /* away */
    double unaccounted;           /* that a count did not find; below 0: that it found more */
    char *bottles, *full, *place; /* as of a lot; NULL: not said */
    GArray *used;                 /* struct spl_lot_use */
};
extern const struct spl_shape spl_trace_lot_shape;

/* What was said of spraying at a place from which it came. */
struct spl_trace_said {
    char *code, *site, *source, *method, *product;
    enum spl_spray_kind kind;
    struct spl_day on, noted; /* on: of the spraying, unset: nobody knows */
};
extern const struct spl_shape spl_trace_said_shape;

struct spl_trace {
    char *of;          /* what was traced, in words */
    GPtrArray *sites;  /* names, nearest first */
    GArray *said;      /* struct spl_trace_said: sprayings done or planned, that stand */
    GArray *harvests;  /* struct spl_trace_harvest */
    GArray *purchases; /* struct spl_trace_other */
    GArray *dryings;   /* struct spl_trace_other */
    GArray *batches;   /* struct spl_trace_batch */
    GArray *lots;      /* struct spl_trace_lot */
    GArray *uses;      /* struct spl_lot_use of all those lots: to whom it went, how much, when */
    GArray *reactions; /* struct spl_reaction: to those lots, or of those to whom they went */
    GPtrArray *withdrawn; /* codes of lots that were withdrawn now */
    GPtrArray *held;      /* and of harvests that are held from now on */
};
extern const struct spl_shape spl_trace_shape;

struct spl_trace_words {
    const char *of;         /* a code, or with `sprayed` the name of a place */
    struct spl_day sprayed; /* the place was sprayed then (a month: its first day); none */
    double within_m;        /* places so near to it too; NAN: only it */
    gboolean withdraw;      /* every lot reached that is not withdrawn or destroyed yet */
    const char *by;         /* who withdraws; NULL: the setting `who` */
};
extern const struct spl_inputs spl_trace_inputs;

/*
 * Of a code: everything upstream and downstream, struck records too: what went out cannot be
 * crossed out of a recall. Of a spraying: what it touches, that is harvests of that place from that
 * day until the hold is over, and all that came of them.
 */
gboolean spl_trace_follow(struct spl_house *house, const struct spl_trace_words *words,
                          struct spl_trace *trace, GError **error);

#endif
