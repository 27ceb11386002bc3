/* SPDX-License-Identifier: MIT
 *
 * The plain records of a lot: what stands on the shelf, and what went out.
 */
#ifndef SIMPLING_RECORD_LOT_H
#define SIMPLING_RECORD_LOT_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* Something that happened to a lot. */
struct spl_lot_event {
    struct spl_day date;
    enum spl_lot_act kind;
    char *why;
    double counted;    /* count: what was there, mL or g; else NAN */
    double difference; /* count: counted less what the book had; discard: what went, below 0 */
    char *by;
};
extern const struct spl_shape spl_lot_event_shape;

/* Something that went out. */
struct spl_lot_use {
    char *code; /* of the lot */
    struct spl_day date;
    double ml, g; /* one of them; the other NAN */
    char *ref;    /* a number, never a name; NULL */
    char *by;
    char *use;        /* its code, U27-014: one for all lots that went out together */
    char *directions; /* NULL: none were noted */
    char *with;       /* what else went out with it, "L26-002 2 mL"; NULL: nothing */
};
extern const struct spl_shape spl_lot_use_shape;

/* What went out at one time to one person. */
struct spl_dispensed {
    char *code; /* U27-014 */
    struct spl_day date;
    char *ref;             /* a number, never a name; NULL */
    GArray *lots;          /* struct spl_lot_use */
    double ml, g;          /* of all together; NAN: none is measured so */
    double abv;            /* of the mixture, per cent vol; NAN: no alcohol */
    struct spl_day use_by; /* the earliest of them; unset: none is known */
    gboolean outside;      /* for outside use only */
    char *directions, *by; /* NULL: not noted */
    GPtrArray *label;      /* the label's text, a line each */
};
extern const struct spl_shape spl_dispensed_shape;

/* One lot through a span of days: before + made - out - drawn - thrown + counted = left. */
struct spl_lot_flow {
    gint64 id; /* in the book; not in JSON */
    char *code, *preparation, *materials;
    struct spl_day made_on;
    char *unit;     /* "mL", "g": of all amounts */
    double before;  /* on the shelf when it begins */
    double made;    /* bottled in it */
    double out;     /* to people */
    double drawn;   /* into other jars */
    double thrown;  /* away */
    double counted; /* by counts: above 0 what they found more */
    double left;    /* on the shelf when it ends */
    GArray *uses;   /* struct spl_lot_use: what `out` is the sum of */
};
extern const struct spl_shape spl_lot_flow_shape;

struct spl_lot {
    gint64 id;
    char *uuid;
    char *code;
    char *preparation;           /* slug */
    char *materials;             /* slugs, joined with ", " */
    struct spl_day made, use_by; /* use_by unset: none is known */
    double made_ml, made_g;      /* one of them */
    double left_ml, left_g;      /* derived */
    enum spl_state_word state;
    char *why;       /* of that state; NULL */
    GArray *because; /* struct spl_cause: all that hold it today, or ask; filled by season */
    double ratio;
    double abv, acid, glycerol, sugar; /* per cent; NAN */
    char *menstruum;                   /* in words */
    char *storage;
    gboolean outside;
    char *raw; /* the fruit that went in raw, as spoken: "elderberries"; NULL */
    /* Of one lot; NULL in lists: not looked up. */
    GPtrArray *from;   /* codes of batches */
    GPtrArray *taken;  /* codes of batches that drew on it */
    GArray *events;    /* struct spl_lot_event */
    GArray *used;      /* struct spl_lot_use */
    GArray *reactions; /* struct spl_reaction */
    GArray *answered;  /* struct spl_cause: what its release answered; else NULL */
    char *bottles;     /* what it was bottled into, "4x100 1x250", mL or g; NULL: not said */
    char *full;        /* of these, by what is left: "3 × 100 + open 40 mL"; NULL: not known */
    char *place;       /* where it stands, in words; NULL: not said */
    char *by, *remark, *struck;

    /* As it is kept; not shown. */
    enum spl_lot_unit { SPL_LOT_ML, SPL_LOT_G } unit;
    double drawn, out, thrown, counted; /* of it into other jars, to people, away; by counts */
    double amount, gone;                /* in `unit` */
    double mass_g, ethanol_g, acid_g, glycerol_ml, sugar_g; /* of a millilitre; NAN: of dry herb */
    char *hold;                                             /* what it waited for from the first */
    enum spl_lot_act decided;                               /* the last event but counts */
    char *decided_why;
};
extern const struct spl_shape spl_lot_shape;

#endif
