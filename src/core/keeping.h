/* SPDX-License-Identifier: MIT
 *
 * Whether a preparation keeps, and until when.
 *
 * The rules are cautions for a trained maker, not permissions: they say where a weak preservation
 * is known to fail. Local food and medicine law and licensed practice come before them.
 */
#ifndef SPL_CORE_KEEPING_H
#define SPL_CORE_KEEPING_H

#include <glib.h>

#include "core/need.h"
#include "simpling/day.h"

enum spl_finding_grade {
    SPL_FINDING_CAUTION,  /* said, nothing more */
    SPL_FINDING_OVERRIDE, /* refused unless a person says a reason why not */
    SPL_FINDING_REFUSED   /* refused */
};

struct spl_finding {
    enum spl_finding_grade grade;
    char *text; /* one sentence with the figure, the limit and the cure */
};
extern const struct spl_shape spl_finding_shape;

/* Fresh herb is covered within a day, and after two it is no longer fresh; common practice, no
 * source. What is dried, wilted on a rack, frozen or heated in that time is not counted so. */
#define SPL_FRESH_DAYS 1
#define SPL_FRESH_DAYS_MOST 2
/* Why herb picked so many days ago is not put up as fresh; NULL: it may be. Free with g_free. */
char *spl_keeping_stale(int days_since_picked);

/* Simmered for at least so long, the lid off, fruit that must be cooked counts as heated: advice
 * for elderberries runs from 15 to 30 minutes, and no experiment was found that names a time. */
#define SPL_HEATED_MINUTES 20

/* Whether a material goes into oil only dried, whatever is said: garlic and its kin, which made the
 * known cases (Morse et al. 1990, Am J Public Health 80:1372), and what comes from the soil or
 * holds its water inside: roots, bark, fruit, seed. */
gboolean spl_keeping_dry_only(const struct spl_material *material);

struct spl_keeping_ask {
    enum spl_liquid liquid;
    gboolean fresh;                            /* any of the herb goes in fresh */
    gboolean outside_use;                      /* never taken by mouth */
    const struct spl_preparation *preparation; /* its floors; NULL: none are applied */
    double poured_frac;                        /* strength poured in; NAN unknown */
    double final_frac;                         /* as spl_pool's; NAN unknown */
    double acid_frac;                          /* oxymel, vinegar: final acid, g per mL */
    double sugar_frac;                         /* oxymel: final sugar by mass */
    double water_frac;                         /* honey: its water in the end, by mass */
    double water_activity;                     /* core/water.h; NAN: not reckoned */
    double honey_room_g; /* honey: fresh herb that it bears and keeps; NAN unknown */
    double
        ethanol_missing_ml; /* syrup under 65 %: ethanol the free water needs and lacks; 0 none */
    const char *poison_in;  /* the liquid of which `poison` is said, as the person wrote it */
    const char *poison;     /* the word in it that names spirit not to be drunk, or NULL */
    gboolean poison_close;  /* … which is only spelt like it */
    const char *dry_only;   /* oil, honey: what of the undried herb goes in only dried, or NULL */
    const char *oil_exception; /* oil: the named traditional exception, or NULL */
    int days_since_picked;     /* of the oldest fresh herb; -1 unknown */
    const char *home_made_in;  /* the liquid of which `home_made` is said */
    const char *home_made;     /* the word that names a vinegar which nobody measured, or NULL */
    gboolean home_made_close;  /* … which is only spelt like it */
};
void spl_keeping_ask_init(struct spl_keeping_ask *ask);

/* All that the rules have to say, worst first: GArray of struct spl_finding, never NULL; free with
 * g_array_unref. */
GArray *spl_keeping_judge(const struct spl_keeping_ask *ask);

/* The worst of them as an error SPL_ERROR_REFUSED: FALSE when one is REFUSED, or OVERRIDE without
 * `hold`. */
gboolean spl_keeping_allow(const GArray *findings, const char *hold, GError **error);

/*
 * Use by: `days` after `made`, never later than the earliest use-by among the parents
 * (SPL_DAY_NONE: none has one). days <= 0 or NAN: no day of its own.
 */
struct spl_day spl_keeping_use_by(struct spl_day made, double days, struct spl_day earliest_parent);

#endif
