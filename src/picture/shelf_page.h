/* SPDX-License-Identifier: MIT
 *
 * The shelf as a ledger: jars that stand (since when, ready from, strain by) and bottled lots
 * (left, use by, held or withdrawn and why).
 *
 * An unset day is SPL_DAY_NONE, never a zeroed struct (that is 1 January 1970).
 */
#ifndef SPL_PICTURE_SHELF_PAGE_H
#define SPL_PICTURE_SHELF_PAGE_H

#include "picture/page.h"
#include "simpling/day.h"
#include "simpling/record/state.h"

/* A batch in its jar. */
struct spl_shelf_page_jar {
    const char *code;          /* "B27-003" */
    const char *what;          /* "Dandelion flower tincture" */
    const char *from;          /* "H27-001, High Croft"; may be NULL */
    const char *ratio;         /* "1:5, 40 %"; may be NULL */
    double jar_ml;             /* nominal size, mL; NAN: not known */
    struct spl_day since;      /* stands since */
    struct spl_day ready_from; /* unset: not known */
    struct spl_day strain_by;  /* unset: no limit */
    const char *next_step;     /* "top up"; NULL: none */
    struct spl_day next_due;
    const char *remark; /* "held: …"; may be NULL */
};

/* Bottles. */
struct spl_shelf_page_lot {
    const char *code; /* "L27-003" */
    const char *what; /* "Dandelion flower and leaf tincture" */
    struct spl_day made;
    double made_amount;    /* in unit */
    double left;           /* in unit */
    const char *unit;      /* "mL" or "g" */
    double final_abv_frac; /* NAN: no alcohol or not known */
    struct spl_day use_by; /* unset: not known */
    enum spl_state_word state;
    const char *reason; /* why, with its date; may be NULL */
    const char *keep;   /* where and how: "shelf B3: 3 × 100 mL; cool and dark"; may be NULL */
};

struct spl_shelf_page {
    const char *title;    /* "The shelf" */
    const char *subtitle; /* may be NULL */
    struct spl_day today; /* what is past by then is said so; unset: nothing is */
    const struct spl_shelf_page_jar *jars;
    gsize n_jars;
    const struct spl_shelf_page_lot *lots;
    gsize n_lots;
};

GBytes *spl_shelf_page_draw(const struct spl_shelf_page *shelf,
                            const struct spl_page_options *options, struct spl_page_report *report,
                            GError **error);

#endif
