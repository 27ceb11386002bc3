/* SPDX-License-Identifier: MIT
 *
 * What may be asked of spl_need: set up by hand or from the tables, and checked.
 */
#include <math.h>
#include <string.h>

#include "core/alcohol.h"
#include "core/need.h"
#include "core/need_model.h"
#include "simpling/error.h"

#define RATIO_MAX 1000.0
#define JARS_MAX 1000

/* ---- words --------------------------------------------------------------------------------- */

static const char *const meaning_texts[] = {"put-in", "mass", "finished"};

gboolean spl_ratio_meaning_from_text(const char *text, enum spl_ratio_meaning *meaning)
{
    for (guint i = 0; i < G_N_ELEMENTS(meaning_texts); i++) {
        if (g_ascii_strcasecmp(text, meaning_texts[i]) == 0) {
            *meaning = (enum spl_ratio_meaning)i;
            return TRUE;
        }
    }
    return FALSE;
}

const char *spl_ratio_meaning_words(enum spl_ratio_meaning meaning)
{
    switch (meaning) {
    case SPL_RATIO_MASS:
        return "grams of herb to grams of liquid poured on (m/m)";
    case SPL_RATIO_FINISHED:
        return "grams of herb to millilitres of finished product";
    case SPL_RATIO_PUT_IN:
        break;
    }
    return "grams of herb to millilitres of liquid poured on (w/v)";
}

void spl_need_ask_init(struct spl_need_ask *ask)
{
    const struct spl_figure none = SPL_FIGURE_NONE;

    memset(ask, 0, sizeof *ask);
    ask->yield_ml = ask->yield_g = ask->herb_g = ask->wanted_frac = NAN;
    ask->ratio = ask->fill_frac = ask->strength_frac = ask->honey_ml_per_ml = none;
    ask->moisture_frac = ask->fresh_per_dry = ask->volume_ml_per_g = ask->bulk_g_per_ml = none;
    ask->headspace_frac = ask->kept_ml_per_g = ask->trim_frac = ask->piece_g = none;
    ask->picking_g_per_h = ask->published_frac = none;
}

/* The figure itself, or `fallback` where a row does not give it. */
static struct spl_figure figure_or(struct spl_figure figure, struct spl_figure fallback)
{
    return isnan(figure.value) ? fallback : figure;
}

struct spl_figure spl_kept_by_hand(gboolean dried)
{
    return dried ? SPL_FIGURE_RANGE(1.4, 1.0, 2.0, "by hand; as the table of presses")
                 : SPL_FIGURE_RANGE(1.25, 0.9, 1.25, "by hand; no source");
}

void spl_need_ask_from_tables(struct spl_need_ask *ask, const struct spl_tables *tables,
                              const struct spl_material *material,
                              const struct spl_preparation *preparation,
                              const struct spl_press *press, gboolean dried)
{
    struct spl_making making = spl_tables_making(tables, material, preparation, dried);

    spl_need_ask_init(ask);
    ask->material = material->slug;
    ask->preparation = preparation->slug;
    ask->liquid = preparation->liquid;
    ask->dried = dried;
    ask->ratio = dried ? making.ratio_dry_ml_per_g : making.ratio_fresh_ml_per_g;
    ask->strength_frac = making.strength_frac;
    if (preparation->liquid == SPL_LIQUID_SPIRIT && making.strength_means == SPL_STRENGTH_FINAL) {
        ask->published_frac = making.strength_frac;
        ask->strength_frac = preparation->strength_frac;
        ask->aim = TRUE;
    }
    ask->honey_ml_per_ml = preparation->honey_ml_per_ml;
    ask->headspace_frac = figure_or(preparation->headspace_frac, SPL_FIGURE(0.0, "to the brim"));
    ask->fresh_per_dry = material->fresh_per_dry;
    ask->trim_frac = material->trim_frac;
    ask->piece_g = material->piece_g;
    ask->piece = material->piece;
    ask->picking_g_per_h = material->picking_g_per_h;
    if (dried) {
        gboolean solid = spl_part_is_dug(material->part) || material->part == SPL_PART_FRUIT ||
                         material->part == SPL_PART_SEED || material->part == SPL_PART_BARK;

        ask->moisture_frac =
            SPL_FIGURE_RANGE(SPL_DRY_MOISTURE_FRAC, 0.06, 0.13, "air-dry herb; no source");
        ask->bulk_g_per_ml =
            solid ? SPL_FIGURE_RANGE(0.35, 0.25, 0.50, "dried pieces; no source")
                  : SPL_FIGURE_RANGE(0.11, 0.08, 0.20, "USDA 02066 02029 02027 dried herbs");
    } else {
        ask->moisture_frac = material->moisture_frac;
        ask->bulk_g_per_ml = material->bulk_g_per_ml;
        ask->volume_ml_per_g = material->volume_ml_per_g;
    }
    if (preparation->frozen) {
        ask->frozen = TRUE;
        ask->fresh_per_dry = SPL_FIGURE(1.0, "frozen as it is");
    }
    if (press != NULL)
        ask->kept_ml_per_g = dried ? press->retained_dry_ml_per_g : press->retained_fresh_ml_per_g;
    ask->kept_ml_per_g = figure_or(ask->kept_ml_per_g, spl_kept_by_hand(dried));
    if (!dried && preparation->juice_ml_per_g.value > 0.0) {
        struct spl_figure juice = preparation->juice_ml_per_g;

        /* What is pressed first keeps nothing of what is poured, and only juice is in the jar. */
        ask->pressed_first = TRUE;
        ask->volume_ml_per_g = juice;
        juice.value *= SPL_WATER_G_PER_ML;
        juice.low *= SPL_WATER_G_PER_ML;
        juice.high *= SPL_WATER_G_PER_ML;
        ask->moisture_frac = juice;
        ask->kept_ml_per_g = SPL_FIGURE(0.0, "pressed before it is mixed");
    }
    /* Dried herb and, where it says so, a household preparation are put up by fill. */
    if (isnan(ask->ratio.value))
        ask->fill_frac = making.fill_frac;
}

/* ---- checks -------------------------------------------------------------------------------- */

static gboolean check_range(double value, double low, double high, const char *what, GError **error)
{
    if (value >= low && value <= high)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s of %g: it must lie between %g and %g",
                what, value, low, high);
    return FALSE;
}

/* As above for a figure that may be unset. */
static gboolean check_figure(const struct spl_figure *figure, double low, double high,
                             const char *what, GError **error)
{
    return isnan(figure->value) || check_range(figure->value, low, high, what, error);
}

static gboolean check_known(const struct spl_figure *figure, const char *what,
                            const struct spl_need_ask *ask, GError **error)
{
    if (!isnan(figure->value))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "the %s of %s for %s is not known: give it",
                what, ask->material, ask->preparation);
    return FALSE;
}

gboolean spl_need_ask_check(const struct spl_need_ask *ask, GError **error)
{
    int amounts =
        (ask->n_jars > 0) + !isnan(ask->yield_ml) + !isnan(ask->yield_g) + !isnan(ask->herb_g);
    gboolean has_strength = ask->liquid != SPL_LIQUID_OIL && ask->liquid != SPL_LIQUID_NONE &&
                            ask->liquid != SPL_LIQUID_WATER;

    if (amounts != 1) {
        spl_error_set_input(error, SPL_ERROR_INVALID,
                            ask->n_jars > 0 || amounts == 0 ? "jar" : "yield",
                            "say the amount in one way: the jars, the yield or the herb at hand");
        return FALSE;
    }
    if (ask->liquid == SPL_LIQUID_NONE ? !isnan(ask->yield_ml)
                                       : ask->liquid != SPL_LIQUID_SALVE && !isnan(ask->yield_g)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    ask->liquid == SPL_LIQUID_NONE
                        ? "%s is weighed, not measured: give the yield in grams"
                        : "%s is measured, not weighed: give the yield in millilitres",
                    ask->preparation);
        return FALSE;
    }
    for (guint i = 0; i < ask->n_jars; i++) {
        if (!check_range(ask->jars[i].brimful_ml, 1.0, 1e6, "a jar's mL", error) ||
            !check_range(ask->jars[i].count, 1, JARS_MAX, "a number of jars", error))
            return FALSE;
    }
    if ((!isnan(ask->yield_ml) && !check_range(ask->yield_ml, 1e-3, 1e6, "a yield in mL", error)) ||
        (!isnan(ask->yield_g) && !check_range(ask->yield_g, 1e-3, 1e6, "a yield in g", error)) ||
        (!isnan(ask->herb_g) && !check_range(ask->herb_g, 1e-3, 1e6, "herb in g", error)))
        return FALSE;
    if (!check_figure(&ask->ratio, 1e-3, RATIO_MAX, "a ratio in mL per g", error) ||
        !check_figure(&ask->fill_frac, 0.01, 1.0, "a fill", error) ||
        !check_figure(&ask->strength_frac, 1e-6, 1.0, "a strength (as a share)", error) ||
        !check_figure(&ask->published_frac, 1e-6, 1.0, "a published strength (as a share)",
                      error) ||
        !check_figure(&ask->moisture_frac, 0.0, 0.99, "a water content", error) ||
        !check_figure(&ask->volume_ml_per_g, 0.1, 20.0, "mL that a gram takes", error) ||
        !check_figure(&ask->kept_ml_per_g, 0.0, 20.0, "mL that a gram keeps", error) ||
        !check_figure(&ask->headspace_frac, 0.0, 0.9, "a headspace", error) ||
        !check_figure(&ask->trim_frac, 0.0, 0.95, "a trimming loss", error) ||
        !check_figure(&ask->bulk_g_per_ml, 0.005, 1.2, "a bulk density", error) ||
        !check_figure(&ask->fresh_per_dry, 1.0, 50.0, "a fresh:dry ratio", error) ||
        !check_figure(&ask->piece_g, 1e-4, 1e5, "a piece weight", error) ||
        !check_figure(&ask->picking_g_per_h, 0.1, 1e6, "a picking rate", error) ||
        !check_figure(&ask->honey_ml_per_ml, 0.0, 100.0, "honey to vinegar", error))
        return FALSE;
    if (!isnan(ask->wanted_frac)) {
        if (!has_strength) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "a final strength was asked, but %s has none", ask->preparation);
            return FALSE;
        }
        if (!check_range(ask->wanted_frac, 1e-3, 0.999, "a final strength (as a share)", error))
            return FALSE;
    }
    if (ask->liquid == SPL_LIQUID_NONE)
        return check_known(&ask->fresh_per_dry, "fresh:dry ratio", ask, error) &&
               (ask->n_jars == 0 || check_known(&ask->bulk_g_per_ml, "bulk density", ask, error));
    if (!check_known(&ask->moisture_frac, "water content", ask, error) ||
        !check_known(&ask->kept_ml_per_g, "liquid kept by the pressed herb", ask, error))
        return FALSE;
    if (has_strength && isnan(ask->wanted_frac) &&
        !check_known(&ask->strength_frac, "strength", ask, error))
        return FALSE;
    if (ask->liquid == SPL_LIQUID_SYRUP &&
        !check_range(isnan(ask->wanted_frac) ? ask->strength_frac.value : ask->wanted_frac, 0.01,
                     0.8, "a syrup's sugar (as a share of its mass)", error))
        return FALSE;
    if (ask->liquid == SPL_LIQUID_SALVE &&
        !check_range(isnan(ask->wanted_frac) ? ask->strength_frac.value : ask->wanted_frac, 0.01,
                     0.8, "a salve's wax (as a share of its mass)", error))
        return FALSE;
    if (!isnan(ask->fill_frac.value))
        return check_known(&ask->bulk_g_per_ml, "bulk density", ask, error);
    return check_known(&ask->ratio, "ratio", ask, error);
}
