/* SPDX-License-Identifier: MIT
 *
 * The sheet to carry on an outing: the order of the places with their positions as codes, what to
 * take and not more, the stage to look for in words, when the ground was last asked about, and room
 * to write down what `harvest add` will ask for; on the back look-alikes and cautions.
 *
 * An unset day is SPL_DAY_NONE, never a zeroed struct (that is 1 January 1970).
 */
#ifndef SPL_PICTURE_OUTING_SHEET_H
#define SPL_PICTURE_OUTING_SHEET_H

#include "picture/page.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"

/* One material at one place. */
struct spl_outing_sheet_take {
    const char *material;    /* "Dandelion flower (Taraxacum officinale)" */
    double grams;            /* to take, g */
    double allowance_g;      /* what the stand can spare: never more, g; NAN: not known */
    double pieces;           /* about how many that is; NAN: not known */
    const char *stage;       /* what to look for, in words: "first flowers, many buds still shut" */
    struct spl_day earliest; /* its window here; unset: not known */
    struct spl_day latest;   /* inclusive */
    const char *purpose;     /* "for the dandelion tincture"; may be NULL */
    const char *const *cautions; /* look-alikes first, then cautions; one sentence each */
    gsize n_cautions;
    gsize n_lookalikes;    /* how many of them are about look-alikes: these stand out */
    gboolean signs_needed; /* a deadly look-alike: who named it and by which signs must be noted */
};

/* A place, in the order of visit. */
struct spl_outing_sheet_stop {
    const char *site;
    double lat, lon; /* WGS 84, degrees; NAN: not printed */
    enum spl_verdict verdict;
    const char *reason;     /* in words; may be NULL */
    struct spl_day asked;   /* when somebody was last asked about spraying; unset: never */
    const char *permission; /* "Given by the owner, leaf and flower, until …"; may be NULL */
    gboolean ask_leave;     /* it ran out or was never given: lines to write the new one on */
    int arrive_min;         /* earliest, minutes after midnight; -1: not known */
    int leave_min;          /* latest, minutes after midnight; -1: not known */
    const char *hours;      /* for picking, in words: "from 09:10, when the dew is off, to 14:20" */
    double leg_km;          /* from the stop before (or home), km; NAN: not known */
    const char *notes;      /* "gate by the chapel"; may be NULL */
    const struct spl_outing_sheet_take *takes;
    gsize n_takes;
};

struct spl_outing_sheet {
    const char *title; /* NULL: "Outing of Saturday 17 April 2027" from the day */
    struct spl_day day;
    struct spl_day reserve; /* unset: none */
    double hours;           /* planned, h; NAN: not known */
    double km;              /* whole round, km; NAN: not known */
    int start_min;          /* minutes after midnight; -1: not known */
    int end_min;            /* -1: not known */
    const char *weather;    /* "dry since the morning before, dew off by 10:00"; may be NULL */
    const struct spl_outing_sheet_stop *stops;
    gsize n_stops;
    double home_km;         /* from the last stop home, km; NAN: not known */
    const char *const *kit; /* "scales", "paper bags" …; may be NULL */
    gsize n_kit;
    const char *const *rules; /* one sentence each; may be NULL */
    gsize n_rules;
};

GBytes *spl_outing_sheet_draw(const struct spl_outing_sheet *outing,
                              const struct spl_page_options *options,
                              struct spl_page_report *report, GError **error);

#endif
