/* SPDX-License-Identifier: MIT
 *
 * Putting liquid into a jar. See season/charging.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "core/alcohol.h"
#include "core/need.h"
#include "core/pool.h"
#include "core/stage.h"
#include "season/charging.h"
#include "season/check_private.h"
#include "season/source.h"
#include "simpling/error.h"

static double usual_ratio(const struct spl_charging *f)
{
    struct spl_making making = spl_tables_making(f->house->tables, f->brew->material,
                                                 f->brew->preparation, f->brew->dried);

    return f->brew->dried ? making.ratio_dry_ml_per_g.value : making.ratio_fresh_ml_per_g.value;
}

/* How much to pour on herb that takes `room_ml`: as measured, by the ratio that was said, up to the
 * brim, or by the usual ratio. NAN: nothing is poured. */
static gboolean liquid_wanted(struct spl_charging *f, double *ml, GError **error)
{
    g_autofree char *herb = NULL, *brim = NULL;
    const struct spl_charge *sum = &f->brew->sum;
    double headspace = f->brew->preparation->headspace_frac.value;
    double ratio = isnan(f->words->ratio) && f->recipe != NULL ? f->recipe->ratio : f->words->ratio;

    *ml = NAN;
    if (f->brew->liquid == SPL_LIQUID_NONE)
        return TRUE;
    if (!isnan(f->words->liquid_ml)) {
        *ml = f->words->liquid_ml;
    } else if (!isnan(ratio)) {
        *ml = ratio * sum->herb_g - sum->poured_ml;
    } else if (!isnan(f->brew->row.brimful_ml) && sum->herb_g > 0.0) {
        *ml = f->brew->row.brimful_ml * (1.0 - (isnan(headspace) ? 0.0 : headspace)) - sum->room_ml;
    } else if (sum->herb_g > 0.0 && sum->poured_ml <= 0.0) {
        *ml = usual_ratio(f) * sum->herb_g;
    }
    if (*ml > 0.0 || isnan(*ml))
        return TRUE;
    if (sum->poured_ml > 0.0 && isnan(f->words->liquid_ml)) {
        *ml = NAN; /* lots fill the jar */
        return TRUE;
    }
    herb = spl_mass_format(sum->herb_g);
    brim = spl_volume_format(f->brew->row.brimful_ml);
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s of herb fill the jar (%s to the brim) and leave no room for liquid: take a "
                "larger jar or less herb",
                herb, brim);
    return FALSE;
}

gboolean spl_charging_pour(struct spl_charging *f, enum spl_liquid kind, double ml, double strength,
                           double honey, const struct spl_menstruum *m, const char *words,
                           GError **error)
{
    struct spl_charge_row row = {.kind = SPL_CHARGE_LIQUID,
                                 .titrated_on = SPL_DAY_NONE,
                                 .grams = NAN,
                                 .moisture_frac = NAN,
                                 .volume_ml_per_g = NAN,
                                 .kept_ml_per_g = {NAN, NAN, NAN, NULL, FALSE},
                                 .day = f->words->on,
                                 .strength_frac = strength > 0.0 ? strength : (double)NAN};

    if (!(ml > 0.0))
        return TRUE;
    if (kind == SPL_LIQUID_SPIRIT && isnan(strength)) /* water thins what is mixed */
        strength = 0.0;
    row.blend =
        kind == SPL_LIQUID_SYRUP || kind == SPL_LIQUID_WATER
            ? spl_blend_water(ml * SPL_WATER_G_PER_ML)
            : spl_blend_of(kind == SPL_LIQUID_SALVE ? SPL_LIQUID_OIL : kind, ml, strength, honey);
    row.blend.ml = ml;
    row.words = g_strdup(words != NULL ? words : m->words);
    if (words == NULL) {
        row.supplier = g_strdup(m->supplier);
        row.number = g_strdup(m->number);
        row.titrated = g_strdup(f->words->titrated);
        row.titrated_on = f->words->titrated_on;
        row.titrated_by = g_strdup(f->words->titrated_by);
    }
    return spl_charging_put(f, &row, error);
}

/* What the tables would have poured: where they know the end alone, what reaches it with the water
 * of the herb that is in. */
static double usual_strength(const struct spl_charging *f, double ml)
{
    struct spl_making making = spl_tables_making(f->house->tables, f->brew->material,
                                                 f->brew->preparation, f->brew->dried);
    g_autoptr(GArray) spirits = NULL;
    double herb_g = 0.0, water_g = 0.0;

    if (making.strength_means != SPL_STRENGTH_FINAL || f->brew->liquid != SPL_LIQUID_SPIRIT)
        return making.strength_frac.value;
    for (guint i = 0; i < f->brew->charges->len; i++) {
        const struct spl_charge_row *row =
            &g_array_index(f->brew->charges, struct spl_charge_row, i);

        if (row->kind == SPL_CHARGE_HERB) {
            herb_g += row->grams;
            water_g += row->grams * row->moisture_frac;
        }
    }
    if (!(herb_g > 0.0) || !(ml > 0.0))
        return f->brew->preparation->strength_frac.value;
    spirits = spl_house_spirits(f->house);
    return spl_spirit_to_pour(making.strength_frac.value, ml / herb_g, water_g / herb_g,
                              (const double *)(const void *)spirits->data, spirits->len);
}

/* What the menstruum is when nothing is said: as the first liquid of the batch, else as the tables
 * have it. */
gboolean spl_charging_menstruum(struct spl_charging *f, double ml, struct spl_menstruum *m,
                                GError **error)
{
    const struct spl_preparation *preparation = f->brew->preparation;
    double usual = usual_strength(f, ml);
    g_autofree char *noun = NULL;

    if (f->words->menstruum != NULL) {
        if (!spl_menstruum_parse(f->words->menstruum, f->brew->liquid, m, error)) {
            spl_error_about(error, "menstruum");
            return FALSE;
        }
        if (isnan(m->strength_frac) &&
            (f->brew->liquid == SPL_LIQUID_SYRUP || f->brew->liquid == SPL_LIQUID_HONEY ||
             f->brew->liquid == SPL_LIQUID_SALVE))
            m->strength_frac = usual;
        return TRUE;
    }
    *m = (struct spl_menstruum){.strength_frac = usual};
    if (f->recipe != NULL && !isnan(f->recipe->strength_pct)) {
        m->strength_frac = spl_recipe_strength(f->recipe);
        m->words = g_strdup(f->recipe->menstruum); /* NULL: by its strength, below */
    }
    for (guint i = 0; f->recipe == NULL && i < f->brew->charges->len; i++) {
        const struct spl_charge_row *row =
            &g_array_index(f->brew->charges, struct spl_charge_row, i);

        if (row->kind == SPL_CHARGE_LIQUID && row->strength_frac > 0.0) {
            m->words = g_strdup(row->words);
            m->supplier = g_strdup(row->supplier);
            m->number = g_strdup(row->number);
            m->strength_frac = row->strength_frac;
            return TRUE;
        }
    }
    if (m->words != NULL)
        return TRUE;
    /* What of spirit is poured is the first word of the row: spirit, wine. */
    noun = f->brew->liquid == SPL_LIQUID_SPIRIT && *preparation->menstruum != '\0'
               ? g_strndup(preparation->menstruum, strcspn(preparation->menstruum, " ,"))
               : g_strdup(spl_liquid_name(f->brew->liquid == SPL_LIQUID_OXYMEL ? SPL_LIQUID_VINEGAR
                                                                               : f->brew->liquid));
    m->words = isnan(m->strength_frac) || f->brew->liquid == SPL_LIQUID_SYRUP ||
                       f->brew->liquid == SPL_LIQUID_SALVE || f->brew->liquid == SPL_LIQUID_HONEY
                   ? g_strdup(preparation->menstruum)
                   : g_strdup_printf("%s %.4g%%", noun, m->strength_frac * 100.0);
    return TRUE;
}

/* Honey and vinegar: each as measured, or by the table's parts. */
static gboolean put_oxymel(struct spl_charging *f, double ml, const struct spl_menstruum *m,
                           GError **error)
{
    double parts = f->recipe != NULL && !isnan(f->recipe->honey_ml_per_ml)
                       ? f->recipe->honey_ml_per_ml
                       : f->brew->preparation->honey_ml_per_ml.value;
    double honey_ml = f->words->honey_ml, vinegar_ml = ml;

    if (isnan(parts))
        parts = 1.0;
    if (isnan(honey_ml)) {
        if (isnan(ml)) { /* all vinegar comes from lots */
            honey_ml = f->brew->sum.poured_ml * parts;
        } else {
            honey_ml = ml * parts / (1.0 + parts);
            vinegar_ml = ml - honey_ml;
        }
    } else if (!isnan(ml) && isnan(f->words->liquid_ml)) {
        vinegar_ml = ml - honey_ml;
    }
    if (honey_ml > 0.0 && vinegar_ml > 0.0) {
        g_autofree char *honey_g = spl_mass_format(honey_ml * SPL_HONEY_G_PER_ML);
        g_autofree char *honey = spl_volume_format(honey_ml);
        g_autofree char *vinegar = spl_volume_format(vinegar_ml);

        spl_caution_add(f->cautions, "honey %s (%s), vinegar %s", honey_g, honey, vinegar);
    }
    return spl_charging_pour(f, SPL_LIQUID_OXYMEL, honey_ml, 0.0, 1.0, m, "honey", error) &&
           spl_charging_pour(f, SPL_LIQUID_VINEGAR, vinegar_ml, m->strength_frac, 0.0, m, NULL,
                             error);
}

double spl_charging_target(const struct spl_charging *f)
{
    struct spl_menstruum m;
    double target = NAN;

    if (f->words->menstruum != NULL &&
        spl_menstruum_parse(f->words->menstruum, f->brew->liquid, &m, NULL)) {
        target = m.strength_frac;
        spl_menstruum_clear(&m);
    }
    if (isnan(target) && f->recipe != NULL)
        target = spl_recipe_strength(f->recipe);
    return isnan(target) ? f->brew->preparation->strength_frac.value : target;
}

/* A second solvent beside the first: spirit into wine or juice, water into what is mixed. */
static gboolean put_second(struct spl_charging *f, GError **error)
{
    struct spl_menstruum m;
    gboolean ok;

    if (f->words->second == NULL)
        return TRUE;
    if (!spl_menstruum_parse(f->words->second, f->brew->liquid, &m, error)) {
        spl_error_about(error, "second");
        return FALSE;
    }
    ok = spl_charging_pour(f, f->brew->liquid, f->words->second_ml, m.strength_frac, 0.0, &m, NULL,
                           error);
    spl_menstruum_clear(&m);
    return ok;
}

gboolean spl_charging_liquid(struct spl_charging *f, GError **error)
{
    struct spl_menstruum m;
    double ml;
    gboolean ok;

    if (!spl_brew_reckon(f->house, f->brew, error) || !liquid_wanted(f, &ml, error))
        return FALSE;
    if (isnan(ml) && (f->brew->liquid != SPL_LIQUID_OXYMEL || f->brew->sum.poured_ml <= 0.0))
        return put_second(f, error) && spl_brew_reckon(f->house, f->brew, error);
    if (!spl_charging_menstruum(f, ml, &m, error))
        return FALSE;
    if (f->words->menstruum == NULL && m.supplier == NULL && !isnan(ml) &&
        f->brew->liquid != SPL_LIQUID_SYRUP && f->brew->liquid != SPL_LIQUID_WATER)
        spl_caution_add(f->cautions,
                        "the liquid is taken to be %s, supplier and number unknown; "
                        "say it as the menstruum: \"%s, SUPPLIER, NUMBER\"",
                        m.words, m.words);
    ok = f->brew->liquid == SPL_LIQUID_OXYMEL
             ? put_oxymel(f, ml, &m, error)
             : spl_charging_pour(f, f->brew->liquid, ml, m.strength_frac, 0.0, &m, NULL, error);
    spl_menstruum_clear(&m);
    return ok && put_second(f, error) && spl_brew_reckon(f->house, f->brew, error);
}
