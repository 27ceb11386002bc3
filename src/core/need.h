/* SPDX-License-Identifier: MIT
 *
 * How much plant a batch needs, and what becomes of it: jar -> herb, yield -> herb, herb -> jars.
 *
 * The model, for one gram of cleaned herb with water w (g per g) covered with R mL of liquid:
 *
 *     jar     holds      R + v              v: mL that the herb itself takes, w/0.998 + (1-w)/1.45
 *     pool    is         R mL of menstruum + w g of plant water, mixed by mass
 *     yield   is         pool - r           r: mL that the pressed herb keeps
 *
 * Each uncertain figure comes as usual, low and high with its source; the answer carries the
 * extremes. Every step of the arithmetic is kept in words ("explain"). Nothing here knows a plant
 * or a preparation by name: the caller fills the ask from the data tables, from the book's own
 * figures or from what a person typed, and says so in `source`.
 */
#ifndef SPL_CORE_NEED_H
#define SPL_CORE_NEED_H

#include <glib.h>

#include "core/pool.h"
#include "core/tables.h"
#include "core/vessel.h"
#include "simpling/record/need.h"

/* What "1:5" counts. */
enum spl_ratio_meaning {
    SPL_RATIO_PUT_IN,  /* g herb : mL of liquid poured on (the house's; herbalists' w/v) */
    SPL_RATIO_MASS,    /* g herb : g of liquid poured on (European pharmacopoeia) */
    SPL_RATIO_FINISHED /* g herb : mL of finished product (United States pharmacopoeia) */
};

/* "put-in", "mass", "finished", and the sentence that a person reads. */
gboolean spl_ratio_meaning_from_text(const char *text, enum spl_ratio_meaning *meaning);
const char *spl_ratio_meaning_words(enum spl_ratio_meaning meaning);

/* Figures that are no row of a table: one that is unknown, one without and one with a range. */
#define SPL_FIGURE_NONE ((struct spl_figure){NAN, NAN, NAN, NULL, FALSE})
#define SPL_FIGURE(value_, source_) ((struct spl_figure){value_, value_, value_, source_, FALSE})
#define SPL_FIGURE_RANGE(value_, low_, high_, source_)                                             \
    ((struct spl_figure){value_, low_, high_, source_, FALSE})

/*
 * What is asked. Set it up with spl_need_ask_init or spl_need_ask_from_tables, then say what
 * differs. Exactly one of jars, yield_ml, yield_g and herb_g says how much. All texts are borrowed.
 */
struct spl_need_ask {
    const char *material;    /* as shown, "dandelion/flower" */
    const char *preparation; /* as shown, "tincture" */
    enum spl_liquid liquid;
    gboolean dried; /* the herb goes in dry; gross, pieces and hours count the fresh herb before */

    const struct spl_vessel *jars; /* jars to be filled */
    guint n_jars;
    double yield_ml; /* NAN: not asked */
    double yield_g;  /* dried herb: grams wanted; NAN: not asked */
    double herb_g;   /* cleaned herb at hand, as it goes in (for dried herb: fresh, as
                        it goes on the rack); NAN: not asked */
    const struct spl_vessel *sizes; /* jars to choose from when herb or yield is given */
    guint n_sizes;                  /* 0: no jars are chosen */

    struct spl_figure ratio; /* as `ratio_meaning` counts, mL or g to 1 g; unset with fill */
    enum spl_ratio_meaning ratio_meaning;
    struct spl_figure fill_frac; /* share of the jar that loose herb fills; unset: by ratio */

    struct spl_figure strength_frac; /* 0..1 of what is poured on; syrup: sugar in the end. low and
                                        high are what is usual for it: outside them is warned */
    /* Spirit: the end strength that is published for the drug. With `aim` it is what is poured for,
     * as near as the spirits reach; else it is only said. Unset: none is known. */
    struct spl_figure published_frac;
    gboolean aim;
    const double *spirits_frac;        /* one's own spirits, 0..1, weakest first */
    guint n_spirits;                   /* 0: not said; then spirit of 96 % can be had */
    double wanted_frac;                /* wanted final strength 0..1 instead; NAN: not asked */
    struct spl_figure honey_ml_per_ml; /* oxymel: honey to 1 mL vinegar */

    struct spl_figure moisture_frac;   /* of the herb as it goes in */
    struct spl_figure fresh_per_dry;   /* g fresh to 1 g dry */
    struct spl_figure volume_ml_per_g; /* room under liquid; unset: from the moisture */
    struct spl_figure bulk_g_per_ml;   /* loose chopped herb; needed with fill and for dried herb */
    struct spl_figure headspace_frac;  /* of the jar left empty; 0 for a tincture */
    struct spl_figure kept_ml_per_g;   /* by the pressed herb, its own water included */
    gboolean pressed_first; /* the liquid meets the juice alone (succus): moisture is that juice */
    gboolean frozen;        /* kept frozen as it is: no liquid, and nothing is dried */
    struct spl_figure trim_frac;       /* lost in cleaning; unset: unknown */
    struct spl_figure piece_g;         /* one flower, leaf, root; unset: unknown */
    const char *piece;                 /* "flower head"; NULL or "" */
    struct spl_figure picking_g_per_h; /* one person; unset: unknown */
};

/* What herb that is pressed by hand keeps of what was poured on, mL per g, where the row of a press
 * says nothing: the figures of the row "hand". */
struct spl_figure spl_kept_by_hand(gboolean dried);

void spl_need_ask_init(struct spl_need_ask *ask);

/*
 * An ask with the tables' own figures for putting `material` up as `preparation`, pressed by
 * `press` (NULL: by hand, from memory). It borrows from the tables. No amount is set.
 */
void spl_need_ask_from_tables(struct spl_need_ask *ask, const struct spl_tables *tables,
                              const struct spl_material *material,
                              const struct spl_preparation *preparation,
                              const struct spl_press *press, gboolean dried);

/* Rectified spirit as it is sold: common practice, no source. */
#define SPL_SPIRIT_STRONGEST_FRAC 0.96

/*
 * What to pour, 0..1, on herb of water `moisture_frac` at `ratio` mL per g so that it ends at
 * `end_frac`, as near as the strongest of the spirits reaches (n 0: 96 %).
 */
double spl_spirit_to_pour(double end_frac, double ratio, double moisture_frac,
                          const double *spirits_frac, guint n_spirits);

/* Water in air-dry herb, 0..1, when nothing better is known: 10 % (pharmacopoeia limits are usually
 * 10-13 %, from memory). */
#define SPL_DRY_MOISTURE_FRAC 0.10

/* Share of fresh tissue that is air on the first day: 0.15 (typical of herbs, from memory; leaves
 * span 0.03-0.73, Plant Physiology 178 (2018) 148-162). */
#define SPL_TISSUE_AIR_FRAC 0.15

/*
 * Answers the ask. On success `result` (zeroed before) is filled and the caller clears it with
 * spl_record_clear(&spl_need_result_shape, result). The keeping rules (core/keeping.h) are not
 * applied here: the caller adds their findings.
 *
 * SPL_ERROR_INVALID: not exactly one amount, a figure outside its range or missing;
 * SPL_ERROR_REFUSED: a ratio or fill that cannot fit the jar, a press that would leave nothing, a
 * final strength "not reachable even with absolute alcohol" (with what would cure it).
 */
gboolean spl_need(const struct spl_need_ask *ask, struct spl_need_result *result, GError **error);

/* Appends the findings of the keeping rules (GArray of struct spl_finding) to the cautions. */
void spl_need_add_findings(struct spl_need_result *result, const GArray *findings);

/* One caution more, before all others. */
void spl_need_caution(struct spl_need_result *result, const char *format, ...) G_GNUC_PRINTF(2, 3);

/* Appends what the tables say about the plant: look-alikes, cautions, who should not take it. */
void spl_need_add_plant(struct spl_need_result *result, const struct spl_material *material);

#endif
