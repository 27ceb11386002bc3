/* SPDX-License-Identifier: MIT
 *
 * Jars: which to take, and whether a batch goes into them.
 */
#ifndef SPL_CORE_VESSEL_H
#define SPL_CORE_VESSEL_H

#include <glib.h>

/* Jars of one kind. */
struct spl_vessel {
    double nominal_ml;  /* as it is called */
    double brimful_ml;  /* what it holds to the brim */
    int count;          /* how many of them */
    const char *source; /* of the brimful volume; borrowed, may be NULL */
};

/*
 * Which jars of `sizes` (their counts are ignored) take `ml`: the fewest that leave at most a tenth
 * of it empty, then those that leave least; if none leaves so little, those that leave least. Above
 * 100 L the largest jars come first. A GArray of struct spl_vessel with counts, largest first.
 * SPL_ERROR_INVALID: no sizes, an amount not above 0, more than 10,000 jars.
 */
GArray *spl_jars_for(double ml, const struct spl_vessel *sizes, guint n_sizes, GError **error);

/*
 * Whether `herb_g` taking `volume_ml_per_g` each under `menstruum_ml` goes into jars that hold
 * `brimful_ml` together with `headspace_frac` of it left empty; SPL_ERROR_REFUSED says by how much
 * it does not, and the herb that would.
 */
gboolean spl_jars_fit(double herb_g, double volume_ml_per_g, double menstruum_ml, double brimful_ml,
                      double headspace_frac, GError **error);

#endif
