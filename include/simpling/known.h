/* SPDX-License-Identifier: MIT
 *
 * What the program knows by name: materials, preparations, and the words for growth stages.
 */
#ifndef SIMPLING_KNOWN_H
#define SIMPLING_KNOWN_H

#include "simpling/house.h"
#include "simpling/row.h"

struct spl_known_material {
    char *material; /* slug: "nettle/leaf" */
    char *spoken;   /* as people say it: "nettle leaf" */
    char *names;    /* other names that are understood, with ", " between; "" */
    char *latin;    /* of the plant */
    char *stages;   /* at which it is usually gathered, in words; "" where the tables have none */
};
extern const struct spl_shape spl_known_material_shape;

struct spl_known_preparation {
    char *preparation; /* slug: "infused-oil" */
    char *name;
    char *menstruum;  /* what is poured on, in words; "" of dried herb */
    double ratio;     /* mL poured on a gram of fresh herb; NAN: not used fresh, or not said */
    double ratio_dry; /* the same of dried herb */
};
extern const struct spl_shape spl_known_preparation_shape;

struct spl_known_stage {
    int code; /* BBCH */
    char *word, *about;
};
extern const struct spl_shape spl_known_stage_shape;

/* A preparation that the tables have a making of this herb for. */
struct spl_known_making {
    char *material, *preparation;
    double ratio, ratio_dry; /* mL poured on a gram of fresh, of dried herb; NAN: not said */
    double strength_pct;     /* % vol of what is poured on; NAN */
    char *note;              /* "" */
};
extern const struct spl_shape spl_known_making_shape;

/* All that is known of one plant beside its days. */
struct spl_known_plant {
    char *plant; /* slug */
    char *common, *latin, *family;
    char *names;         /* other names that are understood, with ", " between; "" */
    gboolean deadly;     /* it has kin that kill */
    GPtrArray *cautions; /* look-alikes first, the law, the stand, who must not take it */
    GArray *parts;       /* struct spl_known_material */
    GArray *makings;     /* struct spl_known_making */
};
extern const struct spl_shape spl_known_plant_shape;

struct spl_known_question {
    const char *text; /* what its names hold: "nettle"; NULL: all */
};
extern const struct spl_inputs spl_known_inputs;

/* Lists of the shapes above, in the order of the tables; NULL with an error. An empty list where
 * nothing is called so. */
GArray *spl_known_materials(struct spl_house *house, const struct spl_known_question *said,
                            GError **error);
GArray *spl_known_preparations(struct spl_house *house, const struct spl_known_question *said,
                               GError **error);
GArray *spl_known_stages(void);
/* By any of its names; `plant` is yours on TRUE. SPL_ERROR_NOT_FOUND. */
gboolean spl_known_plant(struct spl_house *house, const char *name, struct spl_known_plant *plant,
                         GError **error);

#endif
