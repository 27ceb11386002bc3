/* SPDX-License-Identifier: MIT
 *
 * Starting a batch and adding to it. See simpling/batch.h.
 */
#include "simpling/batch.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/batch_move.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "core/alcohol.h"
#include "core/need.h"
#include "core/pool.h"
#include "core/stage.h"
#include "season/batch_private.h"
#include "season/charging.h"
#include "season/check_private.h"
#include "season/menstruum.h"
#include "season/room.h"
#include "season/source.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define TOP_UP_ROOM                                                                                \
    1.15 /* herb settles and drinks: so much more than the jar may go in with time */

static const struct spl_input source_rows[] = {
    SPL_INPUT(spl_source_words, code, CODE, "code", "what is drawn on", .needed = 1,
              .words = "HPDBL"),
    SPL_INPUT(spl_source_words, amount, AMOUNT, "amount", "how much of it (default: all)"),
};

/* "H27-001", "H27-001:87g", "L27-001:250mL": what follows the last colon is an amount when it
 * begins with a digit or a sign, since codes of other books have a colon too. */
static gboolean read_source(const char *text, const char *what, void *element, GError **error)
{
    struct spl_source_words *source = element;
    const char *colon = strrchr(text, ':');

    if (colon == NULL || (!g_ascii_isdigit(colon[1]) && strchr("-+.", colon[1]) == NULL)) {
        source->code = g_strdup(text);
        return TRUE;
    }
    if (!spl_amount_parse(colon + 1, what, &source->amount, error))
        return FALSE;
    source->code = g_strndup(text, (gsize)(colon - text));
    return TRUE;
}

const struct spl_inputs spl_source_inputs = SPL_INPUTS(
    "source", spl_source_words, source_rows, .line = read_source, .line_value = "CODE[:AMOUNT]");

#define FROM_HELP                                                                                  \
    "harvest, purchase, drying, marc of a batch (87g) or a lot (250mL); all of it if no amount "   \
    "is said"

static const struct spl_input batch_rows[] = {
    SPL_INPUT(spl_batch_words, preparation, PREPARATION, "preparation", "what is made",
              .needed = 1),
    SPL_INPUT(spl_batch_words, sources, LIST, "from", FROM_HELP, .needed = 1,
              .item = &spl_source_inputs),
    SPL_INPUT(spl_batch_words, as, NAME, "as",
              "a recipe of your own, or last, or none (default: the one kept last for this herb)",
              .value = "NAME"),
    SPL_INPUT(spl_batch_words, jars, LIST, "jar", "the jars: 500mL, 2x1L", .item = &spl_jar_inputs),
    SPL_INPUT(spl_batch_words, menstruum, TEXT, "menstruum", "\"spirit 40%, SUPPLIER, NUMBER\""),
    SPL_INPUT(spl_batch_words, liquid_ml, VOLUME, "liquid",
              "poured on, as measured (default: by the ratio, else up to the brim)"),
    SPL_INPUT(spl_batch_words, second, TEXT, "second",
              "a second solvent: \"spirit 96%, SUPPLIER, NUMBER\", water", .advanced = 1),
    SPL_INPUT(spl_batch_words, second_ml, VOLUME, "second_liquid", "how much of it", .advanced = 1),
    SPL_INPUT(spl_batch_words, juice_ml, VOLUME, "juice",
              "succus: the juice as measured, of one source", .advanced = 1),
    SPL_INPUT(spl_batch_words, honey_ml, VOLUME, "honey", "oxymel: honey, as measured"),
    SPL_INPUT(spl_batch_words, ratio, RATIO, "ratio", "millilitres poured on a gram"),
    SPL_INPUT(spl_batch_words, press, PRESS, "press",
              "how it will be pressed: drained, hand, screw …", .value = "WORD",
              .setting = "press"),
    SPL_INPUT(spl_batch_words, outside, FLAG, "outside", "for outside use only", .amends = 1),
    SPL_INPUT(spl_batch_words, raw_by, NAME, "raw_by",
              "who answers for raw fruit: ripe, and stripped of every stalk", .value = "WHO"),
    SPL_INPUT(spl_batch_words, titrated, TEXT, "titrated",
              "vinegar of one's own: how its acid was measured", .value = "HOW", .advanced = 1),
    SPL_INPUT(spl_batch_words, titrated_on, DAY, "titrated_on", "the day it was", .past = 1,
              .advanced = 1),
    SPL_INPUT(spl_batch_words, titrated_by, NAME, "titrated_by", "who measured it", .value = "WHO",
              .advanced = 1),
    SPL_INPUT(spl_batch_words, hold, TEXT, "hold",
              "put a keeping rule aside on your own judgement; the lot is then held",
              .value = "WHY", .advanced = 1),
    SPL_INPUT(spl_batch_words, on, DAY, "on", "the day", .past = 1, .today = 1, .amends = 1),
    SPL_INPUT(spl_batch_words, by, NAME, "by", "who made it", .value = "WHO", .setting = "who",
              .amends = 1),
    SPL_INPUT(spl_batch_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
};
/* How, when and by whom: a bare percentage is none. */
#define TITRATED_RULES                                                                             \
    {SPL_RULE_WITH, {"titrated", "titrated_on"}}, {SPL_RULE_WITH, {"titrated", "titrated_by"}},    \
        {SPL_RULE_WITH, {"titrated_on", "titrated"}},                                              \
    {                                                                                              \
        SPL_RULE_WITH,                                                                             \
        {                                                                                          \
            "titrated_by", "titrated"                                                              \
        }                                                                                          \
    }
static const struct spl_rule batch_rules[] = {{SPL_RULE_WITH, {"second", "second_liquid"}},
                                              {SPL_RULE_WITH, {"second_liquid", "second"}},
                                              TITRATED_RULES};

static gboolean check_batch(const void *record, GError **error)
{
    const struct spl_batch_words *words = record;

    if (isnan(words->juice_ml) || words->sources->len == 1)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_USAGE, "juice",
                        "is that of one source; press and mix each by itself");
    return FALSE;
}

const struct spl_inputs spl_batch_inputs =
    SPL_INPUTS("batch", spl_batch_words, batch_rows, SPL_RULES(batch_rules), .check = check_batch);

static const struct spl_input add_rows[] = {
    SPL_INPUT(spl_batch_add_words, code, CODE, "code", "the batch that stands", .needed = 1,
              .words = "B"),
    SPL_INPUT(spl_batch_add_words, more.sources, LIST, "from", FROM_HELP,
              .item = &spl_source_inputs),
    SPL_INPUT(spl_batch_add_words, more.liquid_ml, VOLUME, "liquid", "poured on, as measured"),
    SPL_INPUT(spl_batch_add_words, more.menstruum, TEXT, "menstruum",
              "its strength and source (default: as the first)"),
    SPL_INPUT(spl_batch_add_words, more.honey_ml, VOLUME, "honey", "oxymel: honey"),
    SPL_INPUT(spl_batch_add_words, more.press, PRESS, "press", "how it will be pressed",
              .value = "WORD", .setting = "press"),
    SPL_INPUT(spl_batch_add_words, more.raw_by, NAME, "raw_by",
              "who answers for raw fruit: ripe, and stripped of every stalk", .value = "WHO"),
    SPL_INPUT(spl_batch_add_words, more.titrated, TEXT, "titrated",
              "vinegar of one's own: how its acid was measured", .value = "HOW", .advanced = 1),
    SPL_INPUT(spl_batch_add_words, more.titrated_on, DAY, "titrated_on", "the day it was",
              .past = 1, .advanced = 1),
    SPL_INPUT(spl_batch_add_words, more.titrated_by, NAME, "titrated_by", "who measured it",
              .value = "WHO", .advanced = 1),
    SPL_INPUT(spl_batch_add_words, more.hold, TEXT, "hold", "put a keeping rule aside",
              .value = "WHY", .advanced = 1),
    SPL_INPUT(spl_batch_add_words, more.on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_batch_add_words, more.by, NAME, "by", "who did it", .value = "WHO",
              .setting = "who"),
};
static const struct spl_rule add_rules[] = {{SPL_RULE_SOME, {"from", "liquid", "honey"}},
                                            TITRATED_RULES};
const struct spl_inputs spl_batch_add_inputs =
    SPL_INPUTS("batch_add", spl_batch_add_words, add_rows, SPL_RULES(add_rules));

static gboolean check_fit(const struct spl_charging *f, double more, GError **error)
{
    double headspace = f->brew->preparation->headspace_frac.value;

    if (isnan(f->brew->row.brimful_ml) || f->brew->liquid == SPL_LIQUID_NONE)
        return TRUE;
    return spl_jars_fit(f->brew->sum.herb_g,
                        f->brew->sum.herb_g > 0.0
                            ? (f->brew->sum.room_ml - f->brew->sum.poured_ml) / f->brew->sum.herb_g
                            : 0.0,
                        f->brew->sum.poured_ml, f->brew->row.brimful_ml * more,
                        isnan(headspace) || more > 1.0 ? 0.0 : headspace, error);
}

static void caution_ratio(const struct spl_charging *f)
{
    struct spl_making making = spl_tables_making(f->house->tables, f->brew->material,
                                                 f->brew->preparation, f->brew->dried);
    struct spl_figure usual =
        f->brew->dried ? making.ratio_dry_ml_per_g : making.ratio_fresh_ml_per_g;
    double ratio = f->brew->sum.ratio;

    if (f->brew->material == NULL || isnan(usual.value) || isnan(ratio))
        return;
    for (guint i = 0; i < f->brew->charges->len; i++) {
        if (g_array_index(f->brew->charges, struct spl_charge_row, i).kind == SPL_CHARGE_MARC)
            return;
    }
    if (ratio < usual.low * 0.95 || ratio > usual.high * 1.05)
        spl_caution_add(f->cautions, "1:%.3g is poured on; usual are 1:%.3g to 1:%.3g (%s)", ratio,
                        usual.low, usual.high, usual.source != NULL ? usual.source : "tables");
}

#define ROOM_WORTH_A_WORD 0.05 /* of the jar, to the brim */

/* A jar that is topped up to the brim as the step says gets thinner than its ratio: said where a
 * ratio was weighed out, while the jar can still be changed. */
static void caution_room(const struct spl_charging *f)
{
    const struct spl_brew *brew = f->brew;
    double left = brew->row.brimful_ml - brew->sum.room_ml;
    double thinner = (brew->sum.poured_ml + left) / brew->sum.herb_g;
    g_autofree char *room = NULL;

    if (isnan(f->words->ratio) || brew->liquid == SPL_LIQUID_NONE || !(brew->sum.herb_g > 0.0) ||
        !(left > ROOM_WORTH_A_WORD * brew->row.brimful_ml))
        return;
    room = spl_volume_format(left);
    spl_caution_add(f->cautions,
                    "the jar has room for %s more: topped up to the brim it is 1:%.3g and no "
                    "longer 1:%.3g; take a smaller jar, or press the herb under",
                    room, thinner, brew->sum.ratio);
}

/* What was drawn on herb before and is poured on herb again: both herbs count, and both waters. */
static void caution_twice(const struct spl_charging *f)
{
    const struct spl_brew *brew = f->brew;

    if (!(brew->lot_herb_g > 0.0) || !(brew->sum.herb_g > 0.0))
        return;
    if (brew->sum.pool.ethanol_g > 0.0)
        spl_caution_add(f->cautions,
                        "a second dose of herb in what a first was drawn with: 1:%.3g of both, and "
                        "it ends at %.1f %% vol, lower each time",
                        brew->sum.poured_ml / (brew->sum.herb_g + brew->lot_herb_g),
                        spl_blend_abv(&brew->sum.pool) * 100.0);
    else
        spl_caution_add(f->cautions,
                        "a second dose of herb in what a first was drawn with: 1:%.3g of both",
                        brew->sum.poured_ml / (brew->sum.herb_g + brew->lot_herb_g));
}

static gboolean take_press(struct spl_house *house, const char *said,
                           const struct spl_press **press, GError **error)
{
    if (spl_tables_press(house->tables, said != NULL ? said : "hand", press, error))
        return TRUE;
    spl_error_about(error, "press");
    return FALSE;
}

static gboolean take_row(struct spl_house *house, const struct spl_batch_words *words,
                         struct spl_brew *brew, GError **error)
{
    struct spl_batch_row *row = &brew->row;
    const struct spl_tables *tables = spl_house_tables(house, error);

    if (tables == NULL)
        return FALSE;
    brew->preparation = spl_tables_preparation_by_slug(tables, words->preparation);
    row->preparation = g_strdup(words->preparation);
    row->day = words->on;
    row->outside = words->outside || brew->preparation->outside_only;
    row->raw_by = g_strdup(words->raw_by);
    if (words->outside && brew->preparation->inside_only) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "outside",
                            "%s is made to be swallowed; for outside take an oil, a tincture or a "
                            "vinegar",
                            brew->preparation->name);
        return FALSE;
    }
    row->jar_ml = row->brimful_ml = NAN;
    for (guint i = 0; words->jars != NULL && i < words->jars->len; i++) {
        const struct spl_jar_words *said = &g_array_index(words->jars, struct spl_jar_words, i);
        struct spl_vessel jar = spl_house_vessel(tables, said->nominal_ml, said->count);

        row->jars += jar.count;
        row->jar_ml = (isnan(row->jar_ml) ? 0.0 : row->jar_ml) + jar.count * jar.nominal_ml;
        row->brimful_ml =
            (isnan(row->brimful_ml) ? 0.0 : row->brimful_ml) + jar.count * jar.brimful_ml;
    }
    row->keeping = spl_house_setting_text(house, "keeping");
    if (row->keeping == NULL)
        row->keeping = g_strdup(SPL_KEEPING_TABLE);
    row->by = g_strdup(words->by);
    row->hold = g_strdup(words->hold);
    row->remark = g_strdup(words->remark);
    return TRUE;
}

/* Which recipe the herb that went in is made by; left empty: by the tables. */
static gboolean take_recipe(struct spl_charging *f, struct spl_recipe *recipe, GError **error)
{
    g_autofree char *materials = NULL;
    GError *failed = NULL;

    if (!spl_brew_reckon(f->house, f->brew, error) ||
        (materials = spl_brew_materials(f->house, f->brew, error)) == NULL)
        return FALSE;
    struct spl_recipe_ask ask = {.as = f->words->as,
                                 .preparation = f->brew->row.preparation,
                                 .materials = materials,
                                 .dry = f->brew->dried,
                                 .but = f->brew->row.id};

    if (spl_recipe_choose(f->house, &ask, recipe, &failed)) {
        g_autofree char *words = spl_recipe_words(recipe, &ask);

        f->recipe = recipe;
        spl_caution_add(f->cautions, "%s", words);
    }
    if (failed == NULL)
        return TRUE;
    g_propagate_error(error, failed);
    return FALSE;
}

/* It stands as long as the recipe did, though never past the last day of the tables. */
static gboolean follow_days(struct spl_charging *f, GError **error)
{
    g_autoptr(GArray) schedule = NULL;
    g_autofree char *why = NULL;
    struct spl_day due;

    if (f->recipe == NULL || f->recipe->days <= 0)
        return TRUE;
    why = g_strdup_printf("as in %s", f->recipe->code);
    due = spl_day_add(f->words->on, f->recipe->days);
    schedule = spl_brew_schedule(f->house, f->brew, NULL);
    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *step = &g_array_index(schedule, struct spl_step_due, i);
        struct spl_day day = due;

        if (step->step == SPL_STEP_STRAIN && spl_day_compare(step->latest, due) < 0)
            day = step->latest;
        /* Shorter than usual is ready then; longer is ready all the same. */
        if (step->step != SPL_STEP_STRAIN &&
            (step->step != SPL_STEP_READY || spl_day_compare(step->earliest, due) <= 0))
            continue;
        if (!spl_batch_move_add(f->house->book, f->brew->row.uuid, (enum spl_step)step->step, day,
                                f->words->by, why, error))
            return FALSE;
    }
    g_clear_pointer(&f->brew->moves, g_array_unref);
    f->brew->moves = spl_batch_move_list(f->house->book, f->brew->row.uuid, error);
    return f->brew->moves != NULL;
}

/* A recipe that is named brings its jar, when none is said. */
static gboolean take_jar(struct spl_house *house, struct spl_batch_words *words, GError **error)
{
    struct spl_recipe_ask ask = {.as = words->as, .preparation = words->preparation};
    GError *failed = NULL;
    struct spl_recipe recipe;

    if (words->as == NULL || words->jars != NULL ||
        g_ascii_strcasecmp(words->as, SPL_RECIPE_LAST) == 0)
        return TRUE;
    if (!spl_recipe_choose(house, &ask, &recipe, &failed)) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        return failed == NULL;
    }
    if (recipe.jars > 0 && recipe.jar_ml > 0.0) {
        struct spl_jar_words jar = {.count = recipe.jars,
                                    .nominal_ml = recipe.jar_ml / recipe.jars};

        words->jars = spl_inputs_list(&spl_jar_inputs);
        g_array_append_val(words->jars, jar);
    }
    spl_record_clear(&spl_recipe_shape, &recipe);
    return TRUE;
}

/* Everything after the row is there: sources, liquid, the rules. */
static gboolean fill(struct spl_charging *f, struct spl_recipe *recipe, GError **error)
{
    return spl_charging_sources(f, error) && take_recipe(f, recipe, error) &&
           spl_charging_liquid(f, error) && check_fit(f, 1.0, error) &&
           spl_brew_judge(f->house, f->brew, f->days_since_picked, f->brew->row.hold, f->cautions,
                          error) &&
           follow_days(f, error);
}

static void caution_materials(struct spl_charging *f)
{
    if (f->brew->material != NULL)
        spl_material_cautions(f->house, f->brew->material, f->cautions);
    if (*f->brew->preparation->cautions != '\0')
        spl_caution_add(f->cautions, "%s", f->brew->preparation->cautions);
}

/* Ends the transaction. The record was read back before: after the commit nothing may fail any
 * more, or a batch that stands would be reported as refused. */
static gboolean finish_with(struct spl_house *house, gboolean ok, struct spl_batch *batch,
                            GError **error)
{
    if (spl_book_finish(house->book, ok, error))
        return TRUE;
    if (ok)
        spl_record_clear(&spl_batch_shape, batch);
    return FALSE;
}

static gboolean begin(struct spl_house *house, const struct spl_batch_words *words,
                      struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    struct spl_brew brew = {0};
    struct spl_recipe recipe = {0};
    struct spl_charging f = {
        .house = house, .words = words, .brew = &brew, .days_since_picked = -1};
    gboolean ok;

    f.cautions = g_ptr_array_new_with_free_func(g_free);
    brew.row.pressed = SPL_DAY_NONE;
    brew.charges = g_array_new(FALSE, FALSE, sizeof(struct spl_charge_row));
    g_array_set_clear_func(brew.charges, (GDestroyNotify)spl_charge_row_clear);
    brew.done = g_array_new(FALSE, FALSE, sizeof(struct spl_step_done));
    ok = take_row(house, words, &brew, error) && take_press(house, words->press, &f.press, error);
    if (ok && (ok = spl_book_begin(house->book, error))) {
        /* Looked for before the jar has its code, which is no source of itself. */
        ok = spl_charging_known(house, words->sources, error) &&
             spl_batch_add(house->book, &brew.row, error);
        if (ok) {
            brew.liquid = brew.preparation->liquid;
            ok = fill(&f, &recipe, error);
            brew.row.herb_g = brew.sum.herb_g;
        }
        if (ok) {
            caution_ratio(&f);
            caution_room(&f);
            caution_twice(&f);
            caution_materials(&f);
            ok = brew.row.jars == 0 ||
                 spl_room_caution_jars(house, brew.row.jar_ml / brew.row.jars, f.cautions, error);
            ok = ok && spl_brew_record(house, &brew, batch, error);
        }
        ok = finish_with(house, ok, batch, error);
    }
    spl_record_clear(&spl_recipe_shape, &recipe);
    spl_brew_clear(&brew);
    if (!ok)
        g_ptr_array_unref(f.cautions);
    else
        *cautions = f.cautions;
    return ok;
}

gboolean spl_batch_begin(struct spl_house *house, const struct spl_batch_words *said,
                         struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    struct spl_batch_words words;
    struct spl_batch made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_batch_inputs, said, &words, error))
        return FALSE;
    ok = take_jar(house, &words, error) && begin(house, &words, &made, cautions, error);
    if (ok)
        *batch = made;
    spl_inputs_clear(&spl_batch_inputs, &words);
    return ok;
}

static gboolean extend(struct spl_house *house, const char *code,
                       const struct spl_batch_words *words, struct spl_batch *batch,
                       GPtrArray **cautions, GError **error)
{
    struct spl_brew brew;
    struct spl_charging f = {
        .house = house, .words = words, .brew = &brew, .days_since_picked = -1};
    struct spl_menstruum m;
    gboolean ok;

    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_brew_load(house, code, &brew, error)) {
        spl_error_about(error, "code");
        return spl_book_finish(house->book, FALSE, error);
    }
    f.cautions = g_ptr_array_new_with_free_func(g_free);
    ok = spl_brew_stands(&brew, "added to", error) && spl_brew_check_day(&brew, words->on, error) &&
         take_press(house, words->press, &f.press, error) && spl_charging_sources(&f, error);
    if (ok && (!isnan(words->liquid_ml) || !isnan(words->honey_ml))) {
        ok = spl_charging_menstruum(&f, words->liquid_ml, &m, error);
        if (ok) {
            ok = spl_charging_pour(&f, SPL_LIQUID_OXYMEL, words->honey_ml, 0.0, 1.0, &m, "honey",
                                   error) &&
                 spl_charging_pour(
                     &f, brew.liquid == SPL_LIQUID_OXYMEL ? SPL_LIQUID_VINEGAR : brew.liquid,
                     words->liquid_ml, m.strength_frac, 0.0, &m, NULL, error);
            spl_menstruum_clear(&m);
        }
    }
    ok = ok && spl_brew_reckon(house, &brew, error) && check_fit(&f, TOP_UP_ROOM, error) &&
         spl_brew_judge(house, &brew, f.days_since_picked,
                        words->hold != NULL ? words->hold : brew.row.hold, f.cautions, error) &&
         spl_brew_record(house, &brew, batch, error);
    if (ok)
        caution_ratio(&f);
    spl_brew_clear(&brew);
    ok = finish_with(house, ok, batch, error);
    if (!ok)
        g_ptr_array_unref(f.cautions);
    else
        *cautions = f.cautions;
    return ok;
}

gboolean spl_batch_extend(struct spl_house *house, const struct spl_batch_add_words *said,
                          struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    struct spl_batch_add_words words;
    struct spl_batch made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_batch_add_inputs, said, &words, error))
        return FALSE;
    ok = extend(house, words.code, &words.more, &made, cautions, error);
    if (ok)
        *batch = made;
    spl_inputs_clear(&spl_batch_add_inputs, &words);
    return ok;
}
