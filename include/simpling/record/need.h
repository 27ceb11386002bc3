/* SPDX-License-Identifier: MIT
 *
 * The plain record of what a batch needs: herb, liquid, jars, yield, strength, and the way to each
 * figure.
 */
#ifndef SIMPLING_RECORD_NEED_H
#define SIMPLING_RECORD_NEED_H

#include <glib.h>

#include "simpling/row.h"

/* One step of the arithmetic, as a person may check it. */
struct spl_need_step {
    char *label; /* "herb that fits the jar" */
    char *how;   /* "520 mL / (5 + 0.955)" */
    double figure;
    char *unit;   /* "g" */
    char *source; /* "tables: USDA 11207", "asked", "computed" */
};
extern const struct spl_shape spl_need_step_shape;

/* One jar of the answer. */
struct spl_need_jar {
    double ml; /* nominal */
    double herb_g;
    double menstruum_ml;
};
extern const struct spl_shape spl_need_jar_shape;

/* One of one's own spirits, put to this batch. */
struct spl_need_spirit {
    double abv;       /* % vol */
    double spirit_ml; /* of it */
    double water_ml;  /* with it; 0: as it is */
    double final_abv; /* % vol that it ends at */
};
extern const struct spl_shape spl_need_spirit_shape;

/* The answer. Strengths in per cent. Absent figures are NAN. */
struct spl_need_result {
    char *material;
    char *preparation;
    double ratio;        /* mL put in per g, whatever was asked */
    char *ratio_meaning; /* what the ratio that was asked counts, in words */
    double ratio_asked;
    double ratio_mass;     /* the same batch as g put in per g */
    double ratio_finished; /* and as mL of finished product per g */
    double ratio_dry;      /* and as mL put in per g of dry herb */
    double herb_g;         /* cleaned, as it goes into the jars */
    double gross_g;        /* to pick, before cleaning (fresh) */
    double gross_low_g, gross_high_g;
    double pieces;
    double picking_hours;
    double menstruum_ml;
    double menstruum_abv;       /* % vol of spirit; NAN for other liquids */
    double menstruum_pct;       /* strength of whatever is poured, as its kind counts */
    double top_up_ml;           /* what the air in the fresh herb makes room for after a day */
    double sugar_g;             /* syrup: to dissolve in the pressed liquid */
    double wax_g;               /* salve: to melt in the strained oil */
    double honey_g, vinegar_ml; /* oxymel: what its liquid is made of */
    GArray *jars;               /* struct spl_need_jar */
    double yield_ml;
    double yield_low_ml, yield_high_ml;
    double yield_g; /* dried herb */
    double yield_low_g, yield_high_g;
    double final_abv, final_abv_low, final_abv_high;    /* % vol */
    double final_acid, final_acid_low, final_acid_high; /* g / 100 mL */
    double published_abv;  /* spirit: what is published for the drug, % vol in the end */
    GArray *spirits;       /* struct spl_need_spirit: one's own, weakest first */
    double final_glycerol; /* % vol */
    double final_sugar;    /* % mass */
    GPtrArray *cautions;   /* about the plant and the keeping: of char * */
    GPtrArray *warnings;   /* about the reckoning: of char * */
    GArray *explain;       /* struct spl_need_step */
};
extern const struct spl_shape spl_need_result_shape;

#endif
