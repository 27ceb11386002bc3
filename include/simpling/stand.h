/* SPDX-License-Identifier: MIT
 *
 * Stands: what a site bears of a plant, and what may still be taken of it.
 */
#ifndef SIMPLING_STAND_H
#define SIMPLING_STAND_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* What was noted of a stand. */
struct spl_stand_record {
    char *site, *plant;
    enum spl_stand_kind kind;
    char *part;    /* grams: of which part */
    char *words;   /* "120 plants", "40 m2, 30 % covered", "rests until 2029" */
    double number; /* plants, m2, g, share 0..1, the year; NAN for a mark */
    double cover;  /* 0..1; NAN */
    char *seen;    /* mark */
    struct spl_day on;
    char *by, *remark;
};
extern const struct spl_shape spl_stand_record_shape;

/* Of what, on which day, by whom; of all three notes. */
#define SPL_STAND_NOTE                                                                             \
    const char *site, *plant;                                                                      \
    struct spl_day on; /* none: today */                                                           \
    const char *by;    /* NULL: the setting `who` */                                               \
    const char *remark

struct spl_stand_words {
    SPL_STAND_NOTE;
    int plants;        /* SPL_COUNT_NONE */
    double area_m2;    /* paced, with cover_frac; NAN */
    double cover_frac; /* how much of it the plant covers */
    double grams;      /* fresh ones that it bears, with part; NAN; 0: none */
    const char *part;  /* of which part they are */
    double share_frac; /* one's own share that may be taken; NAN */
    gboolean grown;    /* sown or planted: a bed that may give all, as a share of 1 */
};
extern const struct spl_inputs spl_stand_inputs;
/* Counts, paces or weighs a stand: one of plants, area with cover, grams of a part; and share, or
 * that it is grown. */
gboolean spl_stand_set(struct spl_house *house, const struct spl_stand_words *words,
                       struct spl_stand_record *record, GError **error);

struct spl_stand_mark_words {
    SPL_STAND_NOTE;
    const char *seen; /* "leaf", "flower" */
    int growth_year;  /* 1 or 2 of a biennial; SPL_COUNT_NONE */
};
extern const struct spl_inputs spl_stand_mark_inputs;
/* Notes that the plant was found in leaf or flower, so that its root may be dug for sure later. */
gboolean spl_stand_mark(struct spl_house *house, const struct spl_stand_mark_words *words,
                        struct spl_stand_record *record, GError **error);

struct spl_stand_rest_words {
    SPL_STAND_NOTE;
    int until;    /* the first season in which it may be picked again, or … */
    gboolean end; /* … the rest is over */
};
extern const struct spl_inputs spl_stand_rest_inputs;
/* Lets it rest, or ends the rest. */
gboolean spl_stand_rest(struct spl_house *house, const struct spl_stand_rest_words *words,
                        struct spl_stand_record *record, GError **error);

struct spl_stand_taken_words {
    SPL_STAND_NOTE;    /* `by`: who picked; NULL: others */
    double share_frac; /* of what may be taken of the plant in this season; NAN, or … */
    double grams;      /* … fresh ones, NAN, … */
    const char *part;  /* … of this part */
};
extern const struct spl_inputs spl_stand_taken_inputs;
/* Others picked here: so much less is to spare in the season of that day. */
gboolean spl_stand_taken(struct spl_house *house, const struct spl_stand_taken_words *words,
                         struct spl_stand_record *record, GError **error);

/* One material of a stand in a season. */
struct spl_stand_line {
    char *site, *material;
    double grams;       /* that it bears; NAN: unsized */
    double share;       /* 0..1 that may be taken */
    double allowance_g; /* in this season, were no other part taken */
    double taken_g;
    double left_g;         /* what may still be taken, beside what was taken of the other parts */
    int plants;            /* -1: not counted */
    char *basis;           /* how the grams came about */
    struct spl_day marked; /* last found in leaf or flower; unset: never */
    char *note;            /* why nothing, or a caution; NULL */
};
extern const struct spl_shape spl_stand_line_shape;

struct spl_stand_question {
    const char *site; /* NULL: all */
    int year;         /* the season; SPL_COUNT_NONE: that of today */
};
extern const struct spl_inputs spl_stand_question_inputs;
/* A list of spl_stand_line_shape. */
GArray *spl_stand_lines(struct spl_house *house, const struct spl_stand_question *question,
                        GError **error);

#endif
