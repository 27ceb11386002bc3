/* SPDX-License-Identifier: MIT
 *
 * The year in review, for the herbalist or an inspector: what was taken where, made, used and lost;
 * yields against their estimates; how far the predicted dates were off.
 *
 * An unset day is SPL_DAY_NONE, never a zeroed struct (that is 1 January 1970).
 */
#ifndef SPL_PICTURE_YEAR_PAGE_H
#define SPL_PICTURE_YEAR_PAGE_H

#include "picture/page.h"
#include "simpling/day.h"
#include "simpling/record/reason.h"
#include "simpling/record/state.h"

struct spl_year_page_taken {
    const char *site;
    const char *material;       /* "Nettle leaf" */
    const char *codes;          /* "H27-001, H27-004" */
    struct spl_day first, last; /* of the harvests */
    double grams;               /* taken in all, g; NAN: none of it was weighed yet */
    double allowance_g;         /* what the stand could spare, g; NAN: not known */
    enum spl_verdict verdict;   /* worst on the days of picking */
};

struct spl_year_page_made {
    const char *code; /* batch */
    const char *what;
    struct spl_day started, pressed; /* pressed unset: still stands, or is gone */
    gboolean gone;                   /* thrown away before it was pressed */
    double herb_g;                   /* g */
    double menstruum_ml;             /* mL */
    double yield_ml;                 /* measured; NAN: not pressed yet */
    double expected_ml;              /* estimate; NAN: none */
    double low_ml, high_ml;          /* of the estimate; NAN: none */
    const char *lots;                /* "L27-001" */
};

struct spl_year_page_used {
    const char *code; /* lot */
    const char *what;
    /* In unit; before + made - out - drawn - thrown + counted = left. */
    double before, made, out, drawn, thrown, counted, left;
    const char *unit; /* "mL" or "g" */
    enum spl_state_word state;
};

/* Herb that was bought or dried. */
struct spl_year_page_came {
    const char *code;
    const char *what;
    const char *how; /* "dried, 4.8 g fresh to 1 g", "bought of Sallow Bank Herbs, SB-114" */
    struct spl_day day;
    const char *amount; /* "120 g" */
};

struct spl_year_page_lost {
    const char *code; /* of what was discarded */
    const char *what;
    struct spl_day day;
    const char *amount; /* "120 g" */
    const char *why;
};

/* A window that was predicted and then seen. */
struct spl_year_page_prediction {
    const char *material, *site;
    struct spl_day earliest;  /* of the range given for the start; unset: none was given */
    struct spl_day predicted; /* unset: nothing was foretold */
    struct spl_day latest;
    struct spl_day seen; /* when it was there */
    const char *basis;
};

struct spl_year_page {
    const char *title;    /* NULL: "The year 2027" */
    const char *subtitle; /* may be NULL */
    int year;
    const struct spl_year_page_taken *taken;
    gsize n_taken;
    const struct spl_year_page_made *made;
    gsize n_made;
    const struct spl_year_page_used *used;
    gsize n_used;
    const struct spl_year_page_came *came;
    gsize n_came;
    const struct spl_year_page_lost *lost;
    gsize n_lost;
    const struct spl_year_page_prediction *predictions;
    gsize n_predictions;
    int pickings, pickings_inside; /* and those inside their windows as foretold 14 days ahead */
};

GBytes *spl_year_page_draw(const struct spl_year_page *year, const struct spl_page_options *options,
                           struct spl_page_report *report, GError **error);

#endif
