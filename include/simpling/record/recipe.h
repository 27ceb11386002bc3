/* SPDX-License-Identifier: MIT
 *
 * The plain record of a recipe: how a batch was made, kept under a name to be made so again.
 */
#ifndef SIMPLING_RECORD_RECIPE_H
#define SIMPLING_RECORD_RECIPE_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

struct spl_recipe {
    gint64 id;
    char *uuid;
    char *name, *name_key; /* the key is filled on writing */
    struct spl_day day;    /* it was kept on */
    gint64 batch_id;
    char *code;             /* of the batch; filled on reading */
    char *preparation;      /* slug */
    char *materials;        /* slugs in order of the alphabet, joined with ", " */
    gboolean dry;           /* the herb went in dried */
    double ratio;           /* mL poured on a gram; NAN: no liquid */
    double strength_pct;    /* of what was poured on, as its kind counts; NAN: it has none */
    char *menstruum;        /* in words, without supplier and number: "spirit 60%"; NULL */
    double honey_ml_per_ml; /* oxymel: honey to 1 mL of vinegar; NAN */
    double jar_ml;          /* nominal, all jars together; NAN: not said */
    int jars;               /* 0: not said */
    int days;               /* it stood until it was pressed; 0: it still stands */
    char *by;
};
/* JSON: name date code preparation materials dry ratio strength menstruum honey jar_ml jars days
 * by. */
extern const struct spl_shape spl_recipe_shape;

#endif
