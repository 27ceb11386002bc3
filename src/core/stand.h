/* SPDX-License-Identifier: MIT
 *
 * What a stand can spare: what it bears of a part × the share that may be taken, one allowance for
 * all parts of the plant, less what was taken already.
 *
 * The parts of one plant share one allowance: flowers taken are berries lost. Each part alone may
 * take bears × share; every gram taken uses its fraction of that, and the fractions of all parts
 * together may not exceed 1. Plants dug for their roots in earlier seasons no longer count at all.
 *
 * Limits (reference: Wagner, Oregon Flora On-Line Newsletter 1(3) 1995: one in twenty, none until
 * twenty are seen; Plant Conservation Roundtable guideline 4, 1986: not from fewer than 100).
 */
#ifndef SPL_CORE_STAND_H
#define SPL_CORE_STAND_H

#include <glib.h>

#include "core/tables.h"

#define SPL_STAND_PLANTS_FEWEST 20 /* fewer: nothing is taken; exactly so many may give one */
#define SPL_STAND_PLANTS_CAUTION 100
/* Of trees and shrubs, which are counted one by one: common practice, no source. */
#define SPL_STAND_WOODY_FEWEST 5
#define SPL_STAND_WOODY_CAUTION 20

/* What one site bears of one plant, as it was last counted, paced or weighed out by eye. */
struct spl_stand {
    int plants;              /* counted; -1: not counted */
    double area_m2;          /* paced; NAN: not paced */
    double cover_frac;       /* of that area, 0..1 */
    double grams[SPL_PARTS]; /* fresh g that it bears of a part, said outright; NAN: not said */
    int rest_until;          /* the season from which it may be picked again; 0: no rest */
    double share_frac;       /* the person's own share for this stand; NAN: the table's; 1: a bed
                                that was sown or planted, which may give all */
};

/* A stand of which nothing is known. */
struct spl_stand spl_stand_unknown(void);

/* Sown or planted: it may give all, however few plants it has, and rests only when told to. */
gboolean spl_stand_is_bed(const struct spl_stand *stand);

/* Something taken from the stand: which part, fresh grams, in which season. */
struct spl_stand_taking {
    const struct spl_material *material;
    double grams; /* the most that it may be */
    int season;
    double unsure_g; /* by so much it may be less: it is not weighed yet */
    double share;    /* instead of grams: so much of what the plant could spare (material NULL) */
};

/* What a bag and a handful of fresh herb weigh while nobody has weighed own ones: from memory,
 * wide on purpose. */
#define SPL_STAND_BAG_LEAST_G 150.0
#define SPL_STAND_BAG_MOST_G 1000.0
#define SPL_STAND_HANDFUL_LEAST_G 10.0
#define SPL_STAND_HANDFUL_MOST_G 50.0

enum spl_stand_refusal {
    SPL_STAND_FREE,    /* something may be taken, or all of it already was */
    SPL_STAND_UNSIZED, /* nobody has said what it bears */
    SPL_STAND_RESTS,   /* its year of rest, or the years until a root or bark has come back */
    SPL_STAND_FEW,     /* under 20 plants, or 5 trees or shrubs */
    SPL_STAND_DUG      /* the plants left after digging are under that */
};

struct spl_stand_allowance {
    enum spl_stand_refusal refusal;
    gboolean caution;   /* under 100 plants, or 20 trees or shrubs */
    double bears_g;     /* fresh g of this part; NAN: unsized */
    double share_frac;  /* that may be taken */
    double allowance_g; /* in this season, were no other part taken */
    double taken_g;     /* of this part in this season */
    double left_g;      /* what may still be taken of this part, >= 0 */
    double used_frac;   /* of the shared allowance, by all parts; above 1: overdrawn */
    int plants;         /* still standing; -1: not counted */
    char *basis;        /* "120 plants x 6 g, of which 10 %" */
    char *reason;       /* why nothing or with what caution, NULL if neither */
};
void spl_stand_allowance_clear(struct spl_stand_allowance *allowance);

/*
 * Reckons the allowance of `material` on `stand` in `season`. `takings` is a GArray of struct
 * spl_stand_taking of the same plant at that site, in any order, of any season; NULL: none.
 * Fresh grams as picked. Never fails; clear the result with spl_stand_allowance_clear.
 */
void spl_stand_allowance(const struct spl_stand *stand, const struct spl_material *material,
                         const GArray *takings, int season, struct spl_stand_allowance *allowance);

/* Fresh g of the part on one plant and on one fully covered m2, by part and habit (memory), the
 * piece of a root by the table. */
double spl_stand_plant_g(const struct spl_material *material);
double spl_stand_m2_g(const struct spl_material *material);

/* TRUE if taking this part ends the plant (root, and bark of a non-woody habit never occurs). */
gboolean spl_stand_part_ends_plant(const struct spl_material *material);

#endif
