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
#include "core/blend.h"
#include "core/keeping.h"
#include "core/need.h"
#include "core/water.h"
#include "season/batch_private.h"
#include "season/house_private.h"
#include "season/recipe.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define NOMINAL_TO_BRIM 1.04 /* a jar of no listed size: a little over its name, from memory */

static const struct spl_input jar_rows[] = {
    SPL_INPUT(spl_jar_words, count, COUNT, "count", "how many", .min = 1, .max = 1000),
    SPL_INPUT(spl_jar_words, nominal_ml, VOLUME, "size", "of each: 500mL", .needed = 1),
};

static gboolean read_jar(const char *text, const char *what, void *element, GError **error)
{
    struct spl_jar_words *jar = element;

    return spl_jars_parse(text, what, &jar->count, &jar->nominal_ml, error);
}

static void fill_jar(void *record, struct spl_day today)
{
    struct spl_jar_words *jar = record;

    (void)today;
    if (jar->count == SPL_COUNT_NONE)
        jar->count = 1;
}

const struct spl_inputs spl_jar_inputs = SPL_INPUTS(
    "jar", spl_jar_words, jar_rows, .line = read_jar, .line_value = "VOLUME", .fill = fill_jar);

static const struct spl_input need_rows[] = {
    SPL_INPUT(spl_need_words, material, MATERIAL, "material", "what is put up", .needed = 1),
    SPL_INPUT(spl_need_words, preparation, PREPARATION, "preparation", "what is made of it",
              .needed = 1),
    SPL_INPUT(spl_need_words, as, NAME, "as",
              "a recipe of your own, or last, or none (default: the one kept last for this herb)",
              .value = "NAME"),
    SPL_INPUT(spl_need_words, jars, LIST, "jar", "jars to fill: 500mL, 6x500mL",
              .item = &spl_jar_inputs),
    SPL_INPUT(spl_need_words, yield, AMOUNT, "yield",
              "what is wanted: 1L; dried herb and salve in grams: 200g"),
    SPL_INPUT(spl_need_words, herb_g, MASS, "herb", "cleaned herb at hand: 300g"),
    SPL_INPUT(spl_need_words, fill_frac, SHARE, "fill",
              "reckon by how full of loose herb the jar is: 0.75 or 75%"),
    SPL_INPUT(spl_need_words, by_fill, FLAG, "by_fill",
              "by fill, as full as is usual for the preparation"),
    SPL_INPUT(spl_need_words, ratio, RATIO, "ratio", "herb to liquid: 1:5"),
    SPL_INPUT(spl_need_words, ratio_means, CHOICE, "ratio_means",
              "what N counts: put-in (mL poured on, the default), mass (g poured on), finished (mL "
              "of product)",
              .words = "put-in mass finished", .advanced = 1),
    SPL_INPUT(
        spl_need_words, strength_frac, STRENGTH, "strength",
        "of what is poured on: 40%, 80 proof us; vinegar: its acid; in the end, a syrup's sugar "
        "and a salve's wax: 20%"),
    SPL_INPUT(spl_need_words, final_frac, STRENGTH, "final",
              "wanted in the end; gives the strength to pour on"),
    SPL_INPUT(spl_need_words, press, PRESS, "press", "drained, hand, screw, hydraulic",
              .value = "WORD", .setting = "press"),
    SPL_INPUT(spl_need_words, dry, FLAG, "dry", "the herb goes in dried"),
    SPL_INPUT(spl_need_words, moisture_frac, SHARE, "moisture",
              "water in the herb as you measured it: 80%", .advanced = 1),
    SPL_INPUT(spl_need_words, trim_frac, SHARE, "trim", "lost in cleaning: 10%", .advanced = 1),
    SPL_INPUT(spl_need_words, fresh_per_dry, NUMBER, "fresh_per_dry",
              "grams fresh for one gram dry: 5", .min = 1, .max = 50, .advanced = 1),
    SPL_INPUT(spl_need_words, honey_ml_per_ml, NUMBER, "honey",
              "oxymel: parts of honey to one of vinegar, by volume", .min = 0.05, .max = 100),
};
static void figures(struct spl_house *house, void *record, GArray *filled);
const struct spl_inputs spl_need_inputs =
    SPL_INPUTS("need", spl_need_words, need_rows, .figures = figures);

static const struct spl_input dilute_rows[] = {
    SPL_INPUT(spl_dilute_words, from_frac, STRENGTH, "from", "the spirit at hand: 96%",
              .value = "FROM", .needed = 1),
    SPL_INPUT(spl_dilute_words, to_frac, STRENGTH, "to", "the strength that is wanted: 40%",
              .value = "TO", .needed = 1),
    SPL_INPUT(spl_dilute_words, make_ml, VOLUME, "make", "how much of the weaker one: 1L"),
    SPL_INPUT(spl_dilute_words, use_ml, VOLUME, "use",
              "or how much of the spirit to use up: 500mL"),
};
static const struct spl_rule dilute_rules[] = {{SPL_RULE_ONE, {"make", "use"}}};
const struct spl_inputs spl_dilute_inputs =
    SPL_INPUTS("dilute", spl_dilute_words, dilute_rows, SPL_RULES(dilute_rules));

void spl_need_words_init(struct spl_need_words *words)
{
    spl_inputs_init(&spl_need_inputs, words);
}

struct spl_vessel spl_house_vessel(const struct spl_tables *tables, double nominal_ml, int count)
{
    const struct spl_jar *jar = spl_tables_jar(tables, nominal_ml);

    if (jar != NULL)
        return (struct spl_vessel){nominal_ml, jar->brimful_ml, count, jar->source};
    return (struct spl_vessel){nominal_ml, nominal_ml * NOMINAL_TO_BRIM, count,
                               "4 % over its name; no source"};
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

        int count; /* which there are, not which are free */

        if (spl_jars_parse(g_strstrip(names[i]), "jars", &count, &ml, NULL)) {
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
        *figure = SPL_FIGURE(value, "asked");
}

/* The ratio that one's own racks gave comes before the tables'. A book that cannot be read leaves
 * the tables' figure. */
static void take_own_drying(struct spl_house *house, const struct spl_material *material,
                            struct spl_need_ask *ask)
{
    double fresh_g, dry_g;
    int count;

    if (house->book != NULL && !ask->frozen &&
        spl_drying_learnt(house->book, material->slug, &fresh_g, &dry_g, &count, NULL) && count > 0)
        ask->fresh_per_dry = SPL_FIGURE(fresh_g / dry_g, "own dryings");
}

static struct spl_recipe_ask recipe_ask(const struct spl_need_words *words,
                                        const struct spl_material *material,
                                        const struct spl_preparation *preparation)
{
    return (struct spl_recipe_ask){.as = words->as,
                                   .preparation = preparation->slug,
                                   .materials = material->slug,
                                   .dry = words->dry};
}

/* A recipe of one's own comes before the tables, and what is said before both. */
static gboolean take_recipe(struct spl_house *house, const struct spl_need_words *words,
                            const struct spl_material *material,
                            const struct spl_preparation *preparation, struct spl_need_ask *ask,
                            GError **error)
{
    const struct spl_recipe_ask which = recipe_ask(words, material, preparation);
    const char *source = "own recipe";
    struct spl_recipe recipe;
    GError *failed = NULL;

    if (!spl_recipe_choose(house, &which, &recipe, &failed)) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        return failed == NULL;
    }
    if (!isnan(recipe.ratio)) {
        ask->ratio = SPL_FIGURE(recipe.ratio, source);
        ask->fill_frac = SPL_FIGURE_NONE;
    }
    if (!isnan(recipe.strength_pct)) {
        ask->strength_frac = SPL_FIGURE(spl_recipe_strength(&recipe), source);
        ask->aim = FALSE;
    }
    if (!isnan(recipe.honey_ml_per_ml))
        ask->honey_ml_per_ml = SPL_FIGURE(recipe.honey_ml_per_ml, source);
    spl_record_clear(&spl_recipe_shape, &recipe);
    return TRUE;
}

/* Which recipe it was reckoned by is said. */
static void say_recipe(struct spl_house *house, const struct spl_need_words *words,
                       const struct spl_material *material,
                       const struct spl_preparation *preparation, struct spl_need_result *result)
{
    const struct spl_recipe_ask which = recipe_ask(words, material, preparation);
    struct spl_recipe recipe;

    if (spl_recipe_choose(house, &which, &recipe, NULL)) {
        g_autofree char *text = spl_recipe_words(&recipe, &which);

        spl_need_caution(result, "%s", text);
        spl_record_clear(&spl_recipe_shape, &recipe);
    }
}

static gboolean build_ask(struct spl_house *house, const struct spl_tables *tables,
                          const struct spl_need_words *words, const struct spl_material *material,
                          const struct spl_preparation *preparation, struct spl_need_ask *ask,
                          GError **error)
{
    const struct spl_press *press;

    if (!spl_tables_press(tables, words->press != NULL ? words->press : "hand", &press, error)) {
        spl_error_about(error, "press");
        return FALSE;
    }
    spl_need_ask_from_tables(ask, tables, material, preparation, press, words->dry);
    if (!take_recipe(house, words, material, preparation, ask, error))
        return FALSE;
    if (words->ratio_means != NULL)
        spl_ratio_meaning_from_text(words->ratio_means, &ask->ratio_meaning);
    if (words->by_fill)
        ask->fill_frac = spl_tables_making(tables, material, preparation, words->dry).fill_frac;
    say(&ask->fill_frac, words->fill_frac);
    if (words->by_fill && isnan(ask->fill_frac.value)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "fill",
                            "%s has no usual fill in the tables: say it, as 0.75",
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
        ask->volume_ml_per_g = SPL_FIGURE_NONE;
    if (!isnan(words->strength_frac)) {
        ask->strength_frac.value = words->strength_frac;
        if (isnan(ask->strength_frac.low)) /* the tables know no usual range */
            ask->strength_frac.low = ask->strength_frac.high = words->strength_frac;
        ask->aim = FALSE;
    }
    ask->wanted_frac = words->final_frac;
    if (!isnan(words->final_frac))
        ask->aim = FALSE;
    ask->yield_ml = words->yield.ml;
    ask->yield_g = words->yield.g;
    ask->herb_g = words->herb_g;
    return TRUE;
}

/* By the names as they were said; without both there are no figures yet. */
static void figures(struct spl_house *house, void *record, GArray *filled)
{
    struct spl_need_words *words = record;
    const struct spl_tables *tables = spl_house_tables(house, NULL);
    const struct spl_material *material;
    const struct spl_preparation *preparation;
    struct spl_need_ask ask;

    if (tables == NULL || words->material == NULL || words->preparation == NULL ||
        !spl_tables_material(tables, words->material, &material, NULL) ||
        !spl_tables_preparation(tables, words->preparation, &preparation, NULL) ||
        !build_ask(house, tables, words, material, preparation, &ask, NULL))
        return;
    if (words->by_fill)
        spl_entry_figure("fill", &words->fill_frac, &ask.fill_frac, filled);
    else
        spl_entry_figure("ratio", &words->ratio, &ask.ratio, filled);
    if (isnan(words->final_frac) && !ask.aim) /* else it is poured for what it is to end at */
        spl_entry_figure("strength", &words->strength_frac, &ask.strength_frac, filled);
    spl_entry_figure("moisture", &words->moisture_frac, &ask.moisture_frac, filled);
    spl_entry_figure("trim", &words->trim_frac, &ask.trim_frac, filled);
    spl_entry_figure("fresh_per_dry", &words->fresh_per_dry, &ask.fresh_per_dry, filled);
    spl_entry_figure("honey", &words->honey_ml_per_ml, &ask.honey_ml_per_ml, filled);
}

/* Whether the table says that this preparation takes the herb so. */
static gboolean check_state(const struct spl_need_words *words, const struct spl_material *material,
                            const struct spl_preparation *preparation, GError **error)
{
    if (words->dry && material->part == SPL_PART_SAP) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "dry", "%s is sap and goes in fresh",
                            material->slug);
        return FALSE;
    }
    if (words->dry ? preparation->takes_dried : preparation->takes_fresh)
        return TRUE;
    if (!preparation->takes_fresh && !preparation->takes_dried) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "preparation",
                            "%s is mixed of what was made before, and needs no herb of its own",
                            preparation->name);
        return FALSE;
    }
    spl_error_set_input(error, SPL_ERROR_REFUSED, "dry", "%s is not made of %s herb%s",
                        preparation->name, words->dry ? "dried" : "fresh",
                        words->dry ? "" : ", only of dried");
    return FALSE;
}

/* Fresh herb under oil is reckoned where tradition has it, else it is dried first. */
static gboolean check_oil(const struct spl_need_words *words, const struct spl_material *material,
                          const struct spl_preparation *preparation, GError **error)
{
    if (preparation->liquid != SPL_LIQUID_OIL || words->dry || material->fresh_oil)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_REFUSED, "dry",
                        "%s goes into oil dried through, fresh it can breed botulism there; say "
                        "that it is dry",
                        material->spoken);
    return FALSE;
}

/* What is for outside only is reckoned for outside, and fruit that must be cooked is said. */
static gboolean check_use(const struct spl_need_words *words, const struct spl_material *material,
                          const struct spl_preparation *preparation, struct spl_need_result *result,
                          GError **error)
{
    if (material->outside_only && preparation->inside_only) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "preparation",
                            "%s is for outside use only, and %s is made to be swallowed; take an "
                            "oil or a tincture for outside",
                            material->spoken, preparation->name);
        return FALSE;
    }
    if (material->must_cook && !words->dry && !preparation->cooks &&
        preparation->liquid != SPL_LIQUID_NONE)
        spl_need_caution(result,
                         "%s poison raw: heat them first (%d minutes at a simmer, the lid off), "
                         "dry them, or answer for them by name when the batch is started",
                         material->spoken, SPL_HEATED_MINUTES);
    return TRUE;
}

/* What its water comes to, as it will be in the jar. */
static void judge_water(const struct spl_need_ask *ask, const struct spl_need_result *result,
                        struct spl_keeping_ask *keeping)
{
    double parts = isnan(ask->honey_ml_per_ml.value) ? 1.0 : ask->honey_ml_per_ml.value;
    struct spl_blend honey, pool;

    if (ask->liquid == SPL_LIQUID_NONE)
        return;
    honey = spl_blend_of(ask->liquid, result->menstruum_ml, result->menstruum_pct / 100.0,
                         parts / (1.0 + parts));
    pool = honey;
    if (ask->liquid != SPL_LIQUID_HONEY || !ask->dried)
        pool = spl_blend_mix(honey, spl_blend_water(result->herb_g * ask->moisture_frac.value));
    keeping->water_activity =
        spl_blend_water_activity(&pool, ask->liquid, result->final_sugar / 100.0);
    if (ask->liquid != SPL_LIQUID_HONEY)
        return;
    keeping->water_frac = 1.0 - result->final_sugar / 100.0;
    keeping->honey_room_g =
        spl_honey_room_g(honey.mass_g, 1.0 - spl_blend_strength(&honey, SPL_LIQUID_HONEY),
                         ask->moisture_frac.value, SPL_HONEY_KEEPS_FRAC);
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
    judge_water(ask, result, &keeping);
    if (material->fresh_oil)
        keeping.oil_exception = material->spoken;
    if (spl_keeping_dry_only(material))
        keeping.dry_only = material->spoken;
    findings = spl_keeping_judge(&keeping);
    /* `need` only reckons: what a reason would let through is said, what nothing would is refused.
     */
    if (!spl_keeping_allow(findings, "only reckoned", error))
        return FALSE;
    spl_need_add_findings(result, findings);
    return TRUE;
}

/* The answer to what was said, ready. */
static gboolean reckon(struct spl_house *house, const struct spl_need_words *words,
                       struct spl_need_result *result, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_material *material = spl_tables_material_by_slug(tables, words->material);
    const struct spl_preparation *preparation =
        spl_tables_preparation_by_slug(tables, words->preparation);
    struct spl_need_ask ask;
    g_autoptr(GArray) jars = g_array_new(FALSE, FALSE, sizeof(struct spl_vessel));
    g_autoptr(GArray) choice = NULL, spirits = NULL;

    if (!check_state(words, material, preparation, error) ||
        !check_oil(words, material, preparation, error) ||
        !build_ask(house, tables, words, material, preparation, &ask, error))
        return FALSE;
    for (guint i = 0; words->jars != NULL && i < words->jars->len; i++) {
        const struct spl_jar_words *jar = &g_array_index(words->jars, struct spl_jar_words, i);
        struct spl_vessel one = spl_house_vessel(tables, jar->nominal_ml, jar->count);

        g_array_append_val(jars, one);
    }
    ask.jars = (const struct spl_vessel *)(const void *)jars->data;
    ask.n_jars = jars->len;
    spirits = spl_house_spirits(house);
    ask.spirits_frac = (const double *)(const void *)spirits->data;
    ask.n_spirits = spirits->len;
    choice = sizes(house, tables);
    ask.sizes = (const struct spl_vessel *)(const void *)choice->data;
    ask.n_sizes = choice->len;
    if (!spl_need(&ask, result, error))
        return FALSE;
    if (preparation->lid[0] != '\0')
        g_ptr_array_add(result->cautions, g_strdup_printf("The jar: %s.", preparation->lid));
    if (!check_use(words, material, preparation, result, error) ||
        !judge(material, preparation, words, &ask, result, error)) {
        spl_record_clear(&spl_need_result_shape, result);
        return FALSE;
    }
    spl_need_add_plant(result, material);
    say_recipe(house, words, material, preparation, result);
    return TRUE;
}

gboolean spl_need_answer(struct spl_house *house, const struct spl_need_words *said,
                         struct spl_need_result *result, GError **error)
{
    struct spl_need_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_need_inputs, said, &words, error))
        return FALSE;
    ok = reckon(house, &words, result, error);
    spl_inputs_clear(&spl_need_inputs, &words);
    return ok;
}

gboolean spl_dilute(const struct spl_dilute_words *words, struct spl_dilution *dilution,
                    GError **error)
{
    double make_ml = words->make_ml;

    if (!spl_inputs_check(&spl_dilute_inputs, words, error))
        return FALSE;
    if (!isnan(words->use_ml)) /* ethanol stays: V2 = V1 q1 / q2 */
        make_ml = words->to_frac > 0.0 ? words->use_ml * words->from_frac / words->to_frac
                                       : words->use_ml;
    return spl_alcohol_dilute(words->from_frac, words->to_frac, make_ml, 20.0, dilution, error);
}
