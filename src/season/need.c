/* SPDX-License-Identifier: MIT
 *
 * How much a batch needs: the tables' figures, the book's own ways and what the person says, put
 * into one ask. See simpling/need.h.
 */
#include "simpling/need.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/drying.h"
#include "core/alcohol.h"
#include "core/keeping.h"
#include "core/need.h"
#include "season/batch_private.h"
#include "season/house_private.h"
#include "simpling/error.h"

#define NOMINAL_TO_BRIM 1.04 /* a jar of no listed size: a little over its name, from memory */

void spl_need_words_init(struct spl_need_words *words)
{
    memset(words, 0, sizeof *words);
    words->yield_ml = words->yield_g = words->herb_g = words->fill_frac = words->ratio = NAN;
    words->strength_frac = words->final_frac = words->moisture_frac = words->trim_frac = NAN;
    words->fresh_per_dry = words->honey_ml_per_ml = NAN;
}

struct spl_vessel spl_house_vessel(const struct spl_tables *tables, double nominal_ml, int count)
{
    const struct spl_jar *jar = spl_tables_jar(tables, nominal_ml);

    if (jar != NULL)
        return (struct spl_vessel){nominal_ml, jar->brimful_ml, count, jar->source};
    return (struct spl_vessel){nominal_ml, nominal_ml * NOMINAL_TO_BRIM, count,
                               "4 % over its name; memory"};
}

/* The jars to choose from: the book's, else those of the tables up to 5 L. */
static GArray *sizes(struct spl_house *house, const struct spl_tables *tables)
{
    GArray *list = g_array_new(FALSE, FALSE, sizeof(struct spl_vessel));
    g_autofree char *own = spl_house_setting_text(house, "jars");
    g_auto(GStrv) names = own != NULL ? g_strsplit(own, ",", -1) : NULL;
    GPtrArray *rows = spl_tables_jars(tables);

    for (guint i = 0; names != NULL && names[i] != NULL; i++) {
        double ml;

        if (spl_volume_parse(g_strstrip(names[i]), "jars", &ml, NULL)) {
            struct spl_vessel one = spl_house_vessel(tables, ml, 0);

            g_array_append_val(list, one);
        }
    }
    for (guint i = 0; own == NULL && i < rows->len; i++) {
        const struct spl_jar *row = g_ptr_array_index(rows, i);
        struct spl_vessel one = {row->nominal_ml, row->brimful_ml, 0, row->source};
        double tens = row->nominal_ml / 10.0;

        /* Preparing is done in jars of 250 mL and more, and not in the customary US sizes. */
        if (row->nominal_ml >= 250.0 && tens == floor(tens))
            g_array_append_val(list, one);
    }
    return list;
}

/* One's own figure takes the place of the tables'; the usual range of a strength stays. */
static void say(struct spl_figure *figure, double value)
{
    if (!isnan(value))
        *figure = (struct spl_figure){value, value, value, "asked"};
}

static gboolean take_press(struct spl_house *house, const struct spl_tables *tables,
                           const char *said, const struct spl_press **press, GError **error)
{
    g_autofree char *own = said == NULL ? spl_house_setting_text(house, "press") : NULL;

    *press = NULL;
    if (said == NULL && own == NULL)
        return spl_tables_press(tables, "hand", press, error);
    return spl_tables_press(tables, said != NULL ? said : own, press, error);
}

/* The ratio that one's own racks gave comes before the tables'. A book that cannot be read leaves
 * the tables' figure. */
static void take_own_drying(struct spl_house *house, const struct spl_material *material,
                            struct spl_need_ask *ask)
{
    double fresh_g, dry_g;
    int count;

    if (house->book != NULL &&
        spl_drying_learnt(house->book, material->slug, &fresh_g, &dry_g, &count, NULL) && count > 0)
        ask->fresh_per_dry =
            (struct spl_figure){fresh_g / dry_g, fresh_g / dry_g, fresh_g / dry_g, "own dryings"};
}

static gboolean build_ask(struct spl_house *house, const struct spl_tables *tables,
                          const struct spl_need_words *words, const struct spl_material *material,
                          const struct spl_preparation *preparation, struct spl_need_ask *ask,
                          GError **error)
{
    const struct spl_press *press;

    if (!take_press(house, tables, words->press, &press, error))
        return FALSE;
    spl_need_ask_from_tables(ask, tables, material, preparation, press, words->dry);
    if (words->ratio_means != NULL &&
        !spl_ratio_meaning_from_text(words->ratio_means, &ask->ratio_meaning)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--ratio-means '%s': a ratio counts put-in (mL poured on), mass (g poured on) "
                    "or finished (mL of product)",
                    words->ratio_means);
        return FALSE;
    }
    if (words->by_fill)
        ask->fill_frac = spl_tables_making(tables, material, preparation).fill_frac;
    say(&ask->fill_frac, words->fill_frac);
    if (words->by_fill && isnan(ask->fill_frac.value)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "%s has no usual fill in the tables: say it, as --fill 0.75",
                    preparation->name);
        return FALSE;
    }
    take_own_drying(house, material, ask);
    say(&ask->ratio, words->ratio);
    say(&ask->moisture_frac, words->moisture_frac);
    say(&ask->trim_frac, words->trim_frac);
    say(&ask->fresh_per_dry, words->fresh_per_dry);
    say(&ask->honey_ml_per_ml, words->honey_ml_per_ml);
    if (!isnan(words->moisture_frac))
        ask->volume_ml_per_g = (struct spl_figure){NAN, NAN, NAN, NULL};
    if (!isnan(words->strength_frac)) {
        ask->strength_frac.value = words->strength_frac;
        if (isnan(ask->strength_frac.low)) /* the tables know no usual range */
            ask->strength_frac.low = ask->strength_frac.high = words->strength_frac;
    }
    ask->wanted_frac = words->final_frac;
    ask->yield_ml = words->yield_ml;
    ask->yield_g = words->yield_g;
    ask->herb_g = words->herb_g;
    return TRUE;
}

/* Whether the table says that this preparation takes the herb so. */
static gboolean check_state(const struct spl_need_words *words,
                            const struct spl_preparation *preparation, GError **error)
{
    if (words->dry ? preparation->takes_dried : preparation->takes_fresh)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s is not made of %s herb: %s",
                preparation->name, words->dry ? "dried" : "fresh",
                words->dry ? "leave --dry out" : "add --dry");
    return FALSE;
}

/* What the keeping rules say of the answer. */
static gboolean judge(const struct spl_material *material,
                      const struct spl_preparation *preparation, const struct spl_need_words *words,
                      const struct spl_need_ask *ask, struct spl_need_result *result,
                      GError **error)
{
    struct spl_keeping_ask keeping;
    g_autoptr(GArray) findings = NULL;

    spl_keeping_ask_init(&keeping);
    keeping.preparation = preparation;
    keeping.liquid = preparation->liquid;
    keeping.fresh = !words->dry && preparation->liquid != SPL_LIQUID_NONE;
    keeping.outside_use = material->outside_only;
    keeping.poured_frac = result->menstruum_pct / 100.0;
    keeping.acid_frac = result->final_acid / 100.0;
    keeping.sugar_frac = result->final_sugar / 100.0;
    switch (preparation->liquid) {
    case SPL_LIQUID_SPIRIT:
        keeping.final_frac = result->final_abv / 100.0;
        break;
    case SPL_LIQUID_VINEGAR:
        keeping.final_frac = result->final_acid / 100.0;
        break;
    case SPL_LIQUID_GLYCEROL:
        keeping.final_frac = result->final_glycerol / 100.0;
        break;
    case SPL_LIQUID_SYRUP:
        keeping.final_frac = result->final_sugar / 100.0;
        keeping.ethanol_missing_ml = spl_syrup_ethanol_ml(result->yield_ml, result->sugar_g);
        break;
    default:
        break;
    }
    if (material->fresh_oil)
        keeping.oil_exception = material->spoken;
    keeping.dry_weight_known = !isnan(words->moisture_frac) && words->moisture_frac < 0.5;
    (void)ask;
    findings = spl_keeping_judge(&keeping);
    /* `need` only reckons: what a reason would let through is said, what nothing would is refused.
     */
    if (!spl_keeping_allow(findings, "only reckoned", error))
        return FALSE;
    spl_need_add_findings(result, findings);
    return TRUE;
}

gboolean spl_need_answer(struct spl_house *house, const struct spl_need_words *words,
                         struct spl_need_result *result, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_material *material;
    const struct spl_preparation *preparation;
    struct spl_need_ask ask;
    g_autoptr(GArray) jars = g_array_new(FALSE, FALSE, sizeof(struct spl_vessel));
    g_autoptr(GArray) choice = NULL;

    if (tables == NULL || !spl_tables_material(tables, words->material, &material, error) ||
        !spl_tables_preparation(tables, words->preparation, &preparation, error) ||
        !check_state(words, preparation, error) ||
        !build_ask(house, tables, words, material, preparation, &ask, error))
        return FALSE;
    for (guint i = 0; i < words->n_jars; i++) {
        struct spl_vessel one =
            spl_house_vessel(tables, words->jars[i].nominal_ml, words->jars[i].count);

        g_array_append_val(jars, one);
    }
    ask.jars = (const struct spl_vessel *)(const void *)jars->data;
    ask.n_jars = jars->len;
    choice = sizes(house, tables);
    ask.sizes = (const struct spl_vessel *)(const void *)choice->data;
    ask.n_sizes = choice->len;
    if (!spl_need(&ask, result, error))
        return FALSE;
    if (!judge(material, preparation, words, &ask, result, error)) {
        spl_record_clear(&spl_need_result_shape, result);
        return FALSE;
    }
    spl_need_add_plant(result, material);
    return TRUE;
}

gboolean spl_dilute(double from_frac, double to_frac, double make_ml, double use_ml,
                    struct spl_dilution *dilution, GError **error)
{
    if (!isnan(use_ml)) {
        if (!isnan(make_ml)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                        "say either how much to make or how much spirit to use, not both");
            return FALSE;
        }
        /* Ethanol stays: V2 = V1 q1 / q2. */
        make_ml = to_frac > 0.0 ? use_ml * from_frac / to_frac : use_ml;
    }
    return spl_alcohol_dilute(from_frac, to_frac, make_ml, 20.0, dilution, error);
}
