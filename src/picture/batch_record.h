/* SPDX-License-Identifier: MIT
 *
 * The one-page record of a batch. Its items follow the list of 21 CFR 111.260 (a)-(n), each headed
 * by its letter, filled from the book where the book knows it and ruled for handwriting where not.
 * Who makes medicine for sale answers to the local code; this sheet does not make a batch comply.
 *
 * An unset day is SPL_DAY_NONE, never a zeroed struct (that is 1 January 1970).
 */
#ifndef SPL_PICTURE_BATCH_RECORD_H
#define SPL_PICTURE_BATCH_RECORD_H

#include "picture/page.h"
#include "simpling/day.h"

/* Something that went in: 111.260 (d) its identifier, (e) identity and weight or measure. */
struct spl_batch_record_component {
    const char *identifier; /* "H27-001", a supplier's number, "L26-002" */
    const char *what;       /* "Dandelion flower, fresh, High Croft"; "spirit 40 %, supplier" */
    double amount;          /* in unit */
    const char *unit;       /* "g" or "mL" */
    struct spl_day added;
    const char *by; /* who weighed it; NULL: a line to sign */
};

/* A step: 111.260 (j) who did it and who checked it, with the day. */
struct spl_batch_record_step {
    const char *what;    /* "top up with 20 mL" */
    struct spl_day due;  /* unset: none */
    struct spl_day done; /* unset: not yet */
    const char *by;      /* NULL: a line to sign */
};

/* A packaged lot: 111.260 (a) its number, (k) labels. */
struct spl_batch_record_lot {
    const char *code;
    double amount;
    const char *unit;
    struct spl_day made, use_by;
    const char *state; /* "on the shelf" … with its dated reason: (l) */
};

/* A record that departs from the plan: (n); a remark that belongs to (g), (h), (m) likewise. */
struct spl_batch_record_note {
    char item;          /* 'b' 'c' 'g' 'h' 'i' 'k' 'l' 'm' 'n' */
    struct spl_day day; /* unset: not dated */
    const char *text;
};

struct spl_batch_record {
    const char *mark, *code; /* "ANN", "B27-003": (a), and the QR code */
    const char *what;        /* "Dandelion flower tincture" */
    const char *latin;       /* may be NULL */
    const char *preparation; /* "tincture" */
    const char *ratio;       /* "1:5 fresh, mL per g put in" */
    struct spl_day started;
    struct spl_day pressed; /* unset: still stands, or is gone */
    gboolean gone;          /* thrown away before it was pressed */
    double jar_ml;          /* mL; NAN: not known */
    double herb_g, menstruum_ml;
    double menstruum_abv_frac, final_abv_frac; /* NAN: without alcohol */
    double final_acid_frac;                    /* NAN: does not apply */
    double yield_ml;                           /* (f) actual; NAN: not pressed yet */
    double expected_ml;                        /* (f) reckoned with; NAN: none */
    double low_ml, high_ml;                    /* likely range; NAN: none */
    const struct spl_batch_record_component *components;
    gsize n_components;
    const struct spl_batch_record_step *steps;
    gsize n_steps;
    const struct spl_batch_record_lot *lots;
    gsize n_lots;
    const struct spl_batch_record_note *notes;
    gsize n_notes;
    const char *const *cautions;
    gsize n_cautions;
    struct spl_day printed; /* "as the book stood on …"; unset: not said */
};

GBytes *spl_batch_record_draw(const struct spl_batch_record *record,
                              const struct spl_page_options *options,
                              struct spl_page_report *report, GError **error);

#endif
