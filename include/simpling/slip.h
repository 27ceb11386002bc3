/* SPDX-License-Identifier: MIT
 *
 * The slip: what the book knows of its places for some days, to be carried where there is neither
 * book nor signal. This is what stands on it; simpling's face for browsers makes a page or a text
 * of it.
 */
#ifndef SIMPLING_SLIP_H
#define SIMPLING_SLIP_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/slip.h"
#include "simpling/row.h"

#define SPL_SLIP_DAYS 10      /* when nobody says how many */
#define SPL_SLIP_DAYS_MOST 31 /* of what is known on one day no more is worth carrying */

/* What of a plant one must know that stands before it. */
struct spl_slip_plant {
    char *plant; /* slug */
    char *common, *latin;
    gboolean deadly;  /* it has kin that kill */
    char *lookalikes; /* with the signs that tell them apart; "" */
};
extern const struct spl_shape spl_slip_plant_shape;

/* Ground judged alike for some of what grows there. */
struct spl_slip_class {
    GArray *runs; /* struct spl_slip_run, all days of the slip */
};
extern const struct spl_shape spl_slip_class_shape;

/* What is in season at a place, or wanted there. */
struct spl_slip_material {
    char *material; /* slug */
    char *spoken;   /* "nettle leaf": as the reader of notes knows it */
    int plant;      /* its place among the slip's plants */
    int class;      /* its place among the place's classes */
    struct spl_day earliest, likely_start, likely_end,
        latest;        /* of its window; none: it has none */
    GPtrArray *stages; /* words for it, that of its window first */
    char *stage;       /* of its window, in words; NULL */
    char *hours;       /* of the slip's first day; NULL */
    double left_g;     /* what the stand could spare when the slip was written; NAN: not known */
    char *stand;       /* why nothing, or a caution; NULL */
    double wanted_g;   /* by the outing; NAN: by none */
    char *what_for;    /* the planned batches; NULL */
    GPtrArray *care;   /* what its picker must know, and the law */
};
extern const struct spl_shape spl_slip_material_shape;

struct spl_slip_place {
    char *name;
    double lat, lon;     /* NAN where the slip tells no positions */
    double km;           /* from home as the crow flies; NAN */
    char *reckoned_from; /* what is known of its ground */
    char *remark;
    char *leave;        /* who gave it, until when; NULL */
    char *ask;          /* whom; NULL */
    GPtrArray *reasons; /* that the runs name */
    GArray *classes;    /* struct spl_slip_class; the first is of the place itself */
    GArray *materials;  /* struct spl_slip_material */
};
extern const struct spl_shape spl_slip_place_shape;

/* A step of a jar that falls due. */
struct spl_slip_step {
    char *code, *what;
    char *step, *done; /* "strain"; as one notes it: "strained" */
    struct spl_day due;
    char *words;
};
extern const struct spl_shape spl_slip_step_shape;

struct spl_slip {
    char *id;   /* four letters */
    char *mark; /* of the book */
    char *of;   /* "all places", "the outing of 14 July 2027" */
    struct spl_day first, last;
    struct spl_day today; /* as the book took it */
    char *clock; /* the time when it was made, "07:10" in the zone; NULL: on a day that was said */
    char *zone;  /* of the book; NULL: not said */
    char *who;   /* whose log it is; NULL */
    gboolean group; /* for a group: no people, no leave, no log */
    gboolean positions;
    struct spl_day outing, reserve;
    GArray *places;      /* struct spl_slip_place: in the outing's order, else the nearest first */
    GArray *plants;      /* struct spl_slip_plant */
    GArray *steps;       /* struct spl_slip_step */
    GPtrArray *cautions; /* what is not known of the law here */
};
extern const struct spl_shape spl_slip_shape;

/* What is to stand on it. */
struct spl_slip_words {
    const char *out;       /* for who writes it: FILE.html or FILE.txt */
    gboolean force;        /* for who writes it: replace a file that is no slip */
    struct spl_day outing; /* the places of the outing kept for that day, or with it in reserve */
    const char *site;      /* one place; with `group` it is needed */
    int days;              /* SPL_COUNT_NONE: SPL_SLIP_DAYS */
    struct spl_day from; /* its first day; none: today, or the outing's when that is too far off */
    gboolean without_places; /* without coordinates */
    gboolean group;
};
extern const struct spl_inputs spl_slip_inputs;

/* `slip` is yours on TRUE. SPL_ERROR_NOT_FOUND: no such outing or place, or the book has none. */
gboolean spl_slip_make(struct spl_house *house, const struct spl_slip_words *said,
                       struct spl_slip *slip, GError **error);

/* What was written of one. */
struct spl_slip_written {
    char *file;
    char *of;   /* in words */
    char *slip; /* its letters */
    struct spl_day first, last;
    int places, materials;
    int bytes;
    GPtrArray *cautions;
};
extern const struct spl_shape spl_slip_written_shape;

#endif
