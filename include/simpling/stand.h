/* SPDX-License-Identifier: MIT
 *
 * Stands: what a site bears of a plant, and what may still be taken of it.
 */
#ifndef SIMPLING_STAND_H
#define SIMPLING_STAND_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/row.h"

/* What was noted of a stand. */
struct spl_stand_record {
    char *site, *plant;
    char *kind;    /* "plants" "area" "grams" "share" "mark" "rest" */
    char *part;    /* grams: of which part */
    char *words;   /* "120 plants", "40 m2, 30 % covered", "rests until 2029" */
    double number; /* plants, m2, g, share 0..1, the year; NAN for a mark */
    double cover;  /* 0..1; NAN */
    char *seen;    /* mark */
    struct spl_day on;
    char *by, *remark;
};
extern const struct spl_shape spl_stand_record_shape;

/* What a person says; NULL and 0: not said. */
struct spl_stand_words {
    const char *site, *plant;
    const char *plants, *area, *cover, *grams, *part, *share;
    const char *seen;        /* mark: "leaf", "flower" */
    const char *growth_year; /* mark: 1 or 2 of a biennial */
    const char *until;       /* rest: the season from which it may be picked; "" ends a rest */
    struct spl_day on;
    const char *by, *remark;
};

/* Counts, paces or weighs a stand: one of plants, area with cover, grams of a part; and share. */
gboolean spl_stand_set(struct spl_house *house, const struct spl_stand_words *words,
                       struct spl_stand_record *record, GError **error);
/* Notes that the plant was found in leaf or flower, so that its root may be dug for sure later. */
gboolean spl_stand_mark(struct spl_house *house, const struct spl_stand_words *words,
                        struct spl_stand_record *record, GError **error);
/* Lets it rest, or ends the rest. */
gboolean spl_stand_rest(struct spl_house *house, const struct spl_stand_words *words,
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

/* All stands, or those of one site (NULL: all), in a season (0: that of today). A list of
 * spl_stand_line_shape. */
GArray *spl_stand_lines(struct spl_house *house, const char *site, int season, GError **error);

#endif
