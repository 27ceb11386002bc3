/* SPDX-License-Identifier: MIT
 *
 * May one pick here? The verdict for a site on a day, with every reason for it.
 *
 * The rules (figures in data/hazards.csv, changeable per book). Distances are shortened by what is
 * not known about the positions before they are compared; "nearer" is strictly less; a time limit
 * includes its last day.
 *
 *   closed  marked contaminated; gathering refused; a dug part without leave to dig; sprayed on the
 *           site (a note, or a dated hazard at no distance) within hold_on_days or with no date; a
 *           planned spraying from its date on, until somebody says that it was not done or a word
 * of a later day covers that day; a dated hazard nearer than closed_m within hold_near_days; a
 * lasting one nearer than closed_m. ask     a hazard nearer than ask_m, or nearer than closed_m
 * without a date or past hold_near_days; the 14 days before a planned spraying; no "unsprayed"
 * word, or one that is too old (60 days in March-October, September-April in the south; 180
 * otherwise, but one too old at the end of those months stays so; 365 on ground of one's own; its
 * own `until` may shorten it), or that does not say since when, or that does not reach back
 * hold_on_days, alone or joined to earlier words; leave to gather run out, never given, or not for
 * this part; a layer that is incomplete or of doubtful position; a site of unknown accuracy. clear
 * none of these. In words "nothing known against it", never "safe".
 *
 * Of leave given and refused on one day the refusal counts. Looking back at a day that is past,
 * what was sprayed after it says nothing of it, and a later word that covers it settles what only
 * was to be asked.
 *
 * A dated hazard older than hold_on_days drops out. Adding danger or taking knowledge away never
 * makes a verdict milder.
 *
 * Each reason says what would settle it for the day asked about. Of a day that is past, as a
 * harvest was picked on it, that is what was so then: a word or leave that covers the day, or that
 * the record is wrong; nobody can wait for it any more or go farther off.
 */
#ifndef SPL_CORE_VERDICT_H
#define SPL_CORE_VERDICT_H

#include <glib.h>

#include "core/tables.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* "nothing known against it", "ask first", "closed". */
const char *spl_verdict_words(enum spl_verdict verdict);

/* ---- what is known; every pointer is borrowed, texts may be NULL ----
 *
 * `evidence` names the record in the reasons (simpling/record/reason.h); no rule looks at it.
 */

struct spl_hazard_near {
    const struct spl_method *method; /* never NULL; with the book's own figures applied */
    struct spl_day method_changed;   /* the day on which this book changed the figures, or none */
    double distance_m;               /* raw, 0: on it; NAN (cannot be known) counts as 0 */
    double uncertainty_m;            /* of the ground's position; NAN: doubtful */
    struct spl_day on;               /* of the spraying; none: not known. Lasting methods ignore it.
                                        After the day asked about: counts as planned for it */
    const char *name;                /* "Top Field"; NULL: the method's words */
    const char *product;
    const char *source;  /* who or which layer says so */
    const char *layer;   /* its layer's name, for those who ask; no rule looks at it */
    const char *methods; /* of its layer: slugs with commas */
    gboolean by_hand;    /* its layer is this hazard alone, not read from a file */
    const char *note;    /* it is a word about another place: its code; NULL: on the map */
    const char *evidence;
};

struct spl_layer_near { /* a layer with gaps, near enough to matter */
    const char *name;
    double distance_m; /* from the bounds that it states; 0 within */
    double reach_m;    /* the largest ask_m of its methods */
    gboolean incomplete;
    int unread;        /* records that could not be read, for the words */
    const char *words; /* what is wrong, where it is no layer; NULL: by the members above */
    gboolean doubtful; /* position not known to a figure */
    struct spl_day imported;
    const char *source;  /* file */
    const char *methods; /* slugs with commas */
    const char *evidence;
};

struct spl_spray_note { /* one that stands: struck ones are left out */
    enum spl_spray_kind kind;
    struct spl_day on;
    struct spl_day since; /* unsprayed only; none: not said */
    struct spl_day
        until; /* unsprayed only: the last day on which the word holds; none: the rule's */
    const char *source;
    const char *method, *product;
    const char *code;
    const char *evidence;
};

#define SPL_PART_BIT(part) (1u << (unsigned)(part))

struct spl_permission {
    gboolean given; /* FALSE: refused */
    struct spl_day on;
    struct spl_day until; /* last day; none: open */
    gboolean written;
    const char *by;
    guint parts;       /* SPL_PART_BIT of each part named; 0: all that need no digging; the bit of
                          SPL_PART_ANY: everything, digging too */
    gboolean teaching; /* to teach there, and to take nothing for stock */
    const char *evidence;
};

struct spl_verdict_case {
    struct spl_day day;
    struct spl_day seen_from; /* looking back from this day: what is dated between was done, not
                                 planned; none: not looking back */
    struct spl_day today;     /* when it is asked, for what would settle it; none: on that day */
    const char *site;         /* its name, for that too */
    const char *evidence;     /* for what rests on the site's own record */
    double lat;               /* turns the months for the south */
    double uncertainty_m;     /* of the site's position; NAN: not known */
    gboolean own;             /* ground of one's own: no leave needed unless refused */
    const char *contaminated; /* why; NULL: not marked */
    struct spl_day contaminated_on;
    enum spl_part part;    /* of the material asked about; SPL_PART_ANY: the site alone */
    gboolean water_plant;  /* hazards that only matter to water plants are for these */
    int hold_on_days;      /* for notes without a method, 1095; <= 0 means 1095 */
    const GArray *hazards; /* struct spl_hazard_near; NULL: none */
    const GArray *layers;  /* struct spl_layer_near */
    const GArray *notes;   /* struct spl_spray_note, any order */
    const GArray
        *permissions; /* struct spl_permission, in the order noted: the last by day counts */
};

/*
 * How far off ground of a method that asks within `ask_m` can still matter, where the site and the
 * ground are known to these figures (NAN: not known): what must be looked up.
 */
double spl_verdict_reach_m(double ask_m, double site_uncertainty_m, double uncertainty_m);

/* ---- the answer ---- */

struct spl_verdict_result {
    enum spl_verdict verdict;
    struct spl_day
        until;       /* the first later day with another verdict if nothing new is noted; none */
    GArray *reasons; /* struct spl_reason, worst first, nearest first within a grade */
};

/* Never fails. Free what it holds with spl_verdict_result_clear. */
void spl_verdict_judge(const struct spl_verdict_case *ground, struct spl_verdict_result *result);
void spl_verdict_result_clear(struct spl_verdict_result *result);

/* The verdict alone, without words: for many sites and days. */
enum spl_verdict spl_verdict_grade(const struct spl_verdict_case *ground);

#endif
