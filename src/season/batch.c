/* SPDX-License-Identifier: MIT
 *
 * Starting a batch and adding to it. See simpling/batch.h.
 */
#include "simpling/batch.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "core/alcohol.h"
#include "core/need.h"
#include "core/pool.h"
#include "core/stage.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "season/menstruum.h"
#include "season/source.h"
#include "simpling/error.h"

#define TOP_UP_ROOM                                                                                \
    1.15 /* herb settles and drinks: so much more than the jar may go in with time */

void spl_batch_words_init(struct spl_batch_words *words)
{
    memset(words, 0, sizeof *words);
    words->liquid_ml = words->ratio = words->honey_ml = NAN;
    words->on = SPL_DAY_NONE;
}

/* What the putting-in needs to know while it goes on. */
struct filling {
    struct spl_house *house;
    const struct spl_batch_words *words;
    struct spl_brew *brew;
    const struct spl_press *press;
    GPtrArray *cautions;
    int days_since_picked; /* of the oldest fresh herb; -1 unknown */
};

/* Writes a charge and keeps it in the list that is reckoned with. Takes the row over. */
static gboolean put_in(struct filling *f, struct spl_charge_row *row, GError **error)
{
    if (!spl_charge_add(f->house->book, f->brew->row.id, row, error)) {
        spl_charge_row_clear(row);
        return FALSE;
    }
    g_array_append_val(f->brew->charges, *row);
    return TRUE;
}

static gboolean refuse_circle(struct filling *f, gint64 source_id, const char *code, GError **error)
{
    gboolean comes;

    if (!spl_thing_comes_from(f->house->book, source_id, f->brew->row.id, &comes, error))
        return FALSE;
    if (!comes)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: comes from %s itself; a batch cannot be made of what it made", code,
                f->brew->row.code);
    return FALSE;
}

static gboolean refuse_trouble(struct filling *f, gint64 id, const char *code, GError **error)
{
    g_autofree char *why = NULL;

    if (!spl_upstream_trouble(f->house, id, &why, error))
        return FALSE;
    if (why != NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s", code, why);
    return why == NULL;
}

/* A stage that does not suit is said again where it matters. */
static void caution_stage(struct filling *f, const struct spl_source *source)
{
    struct spl_harvest harvest;

    if (source->thing.kind != 'H' || source->row == NULL ||
        !spl_harvest_find(f->house->book, source->thing.code, &harvest, NULL))
        return;
    if (!spl_stage_in(harvest.stage, source->row->stage_from, source->row->stage_to))
        spl_caution_add(
            f->cautions, "%s: was taken at stage %d (%s), which is not the usual one for %s",
            source->thing.code, harvest.stage, spl_stage_word(harvest.stage), source->material);
    spl_record_clear(&spl_harvest_shape, &harvest);
}

/* The water in the herb as it goes in: wilting takes water and leaves the dry matter. */
static double moisture_of(const struct spl_source *source)
{
    double fresh = source->row != NULL && spl_figure_is_set(source->row->moisture_frac)
                       ? source->row->moisture_frac.value
                       : 0.8;

    if (source->state == SPL_SOURCE_DRIED)
        return SPL_DRY_MOISTURE_FRAC;
    if (source->state == SPL_SOURCE_WILTED)
        return CLAMP(1.0 - (1.0 - fresh) * source->fresh_per_g, 0.0, fresh);
    return fresh;
}

static struct spl_figure kept_by(const struct filling *f, gboolean dried)
{
    struct spl_figure kept = f->press == NULL ? (struct spl_figure){NAN, NAN, NAN, NULL}
                             : dried          ? f->press->retained_dry_ml_per_g
                                              : f->press->retained_fresh_ml_per_g;

    if (isnan(kept.value))
        kept = dried ? SPL_FIGURE_RANGE(1.75, 1.5, 2.0, "by hand; memory")
                     : SPL_FIGURE_RANGE(1.25, 0.9, 1.25, "by hand; memory");
    return kept;
}

static gboolean check_state(const struct filling *f, const struct spl_source *source,
                            GError **error)
{
    const struct spl_preparation *preparation = f->brew->preparation;
    gboolean dried = source->state == SPL_SOURCE_DRIED;

    if (preparation->liquid == SPL_LIQUID_NONE ||
        (dried ? preparation->takes_dried : preparation->takes_fresh))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s, and %s is not made of %s herb",
                source->thing.code, dried ? "dried" : "fresh", preparation->name,
                dried ? "dried" : "fresh");
    return FALSE;
}

static gboolean put_herb(struct filling *f, const struct spl_source_words *words, GError **error)
{
    static const char *const states[] = {"fresh", "wilted", "dried"};
    struct spl_source source;
    struct spl_charge_row row = {.kind = SPL_CHARGE_HERB, .strength_frac = NAN};
    gboolean dried, ok;

    if (!isnan(words->ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: herb is weighed; say grams, as %s:87g", words->code, words->code);
        return FALSE;
    }
    if (!spl_source_open(f->house, words->code, "HPD", &source, error))
        return FALSE;
    dried = source.state == SPL_SOURCE_DRIED;
    /* The draw is written with the charge; here the amount and the day are only checked. */
    ok = check_state(f, &source, error) &&
         (source.thing.kind != 'D' ||
          refuse_trouble(f, source.thing.id, source.thing.code, error)) &&
         spl_source_allow(&source, words->grams, f->words->on, &row.grams, error);
    if (ok) {
        row.source_id = source.thing.id;
        row.code = g_strdup(source.thing.code);
        row.day = f->words->on;
        row.material = g_strdup(source.material);
        row.state = g_strdup(states[source.state]);
        row.moisture_frac = moisture_of(&source);
        row.volume_ml_per_g = source.state == SPL_SOURCE_FRESH && source.row != NULL &&
                                      spl_figure_is_set(source.row->volume_ml_per_g)
                                  ? source.row->volume_ml_per_g.value
                                  : spl_herb_volume_ml_per_g(row.moisture_frac);
        row.kept_ml_per_g = kept_by(f, dried);
        if (source.row != NULL && source.row->outside_only && !f->brew->row.outside) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                        "%s: %s is for outside use only; say --outside", source.thing.code,
                        source.material);
            ok = FALSE;
        }
        if (source.state == SPL_SOURCE_FRESH && spl_day_is_set(source.picked))
            f->days_since_picked =
                MAX(f->days_since_picked, spl_day_diff(f->words->on, source.picked));
        caution_stage(f, &source);
    }
    spl_source_clear(&source);
    if (!ok) {
        spl_charge_row_clear(&row);
        return FALSE;
    }
    return put_in(f, &row, error);
}

/* Marc: the pressed herb of another batch, with the liquid that it still holds. */
static gboolean put_marc(struct filling *f, const struct spl_source_words *words, GError **error)
{
    struct spl_brew source;
    double left_g, share;
    struct spl_charge_row row = {.kind = SPL_CHARGE_MARC, .strength_frac = NAN};
    gboolean ok = FALSE;

    if (!spl_brew_load(f->house, words->code, &source, error))
        return FALSE;
    left_g = source.sum.herb_g - source.row.marc_drawn_g - source.row.discarded_g;
    row.grams = isnan(words->grams) ? left_g : words->grams;
    if (source.row.struck != NULL || !spl_day_is_set(source.row.pressed))
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s; only the marc of a pressed batch can be used again", source.row.code,
                    source.row.struck != NULL ? "is struck" : "still stands unpressed");
    else if (!isnan(words->ml))
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: marc is reckoned by the herb it was; say grams", source.row.code);
    else if (left_g < SPL_CRUMB || row.grams > left_g + SPL_CRUMB)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: marc of %.1f g herb is wanted, of %.1f g is left", source.row.code,
                    row.grams, left_g);
    else if (spl_day_compare(f->words->on, source.row.pressed) < 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: was pressed later than that day",
                    source.row.code);
    else
        ok = refuse_circle(f, source.row.id, source.row.code, error) &&
             refuse_trouble(f, source.row.id, source.row.code, error);
    if (ok) {
        row.grams = MIN(row.grams, left_g);
        share = row.grams / source.sum.herb_g;
        row.source_id = source.row.id;
        row.code = g_strdup(source.row.code);
        row.day = f->words->on;
        row.material = source.material != NULL ? g_strdup(source.material->slug)
                                               : spl_brew_materials(f->house, &source, NULL);
        row.state = NULL;
        row.moisture_frac = 0.0;
        row.blend = spl_blend_part(source.sum.pool,
                                   MAX(0.0, source.sum.pool.ml - source.row.pressed_ml) * share);
        row.volume_ml_per_g = 0.25; /* the solids alone: what it holds counts as liquid; memory */
        row.kept_ml_per_g = kept_by(f, FALSE);
    }
    spl_brew_clear(&source);
    if (!ok)
        return FALSE;
    return put_in(f, &row, error);
}

static gboolean put_lot(struct filling *f, const struct spl_source_words *words, GError **error)
{
    struct spl_lot lot;
    struct spl_blend one;
    struct spl_charge_row row = {.kind = SPL_CHARGE_LOT,
                                 .grams = NAN,
                                 .moisture_frac = NAN,
                                 .volume_ml_per_g = NAN,
                                 .kept_ml_per_g = {NAN, NAN, NAN, NULL},
                                 .strength_frac = NAN};
    double ml = NAN;
    gboolean ok;

    if (!spl_lot_find(f->house->book, words->code, f->house->today, &lot, &one, error))
        return FALSE;
    ok = spl_lot_may_go(&lot, words->ml, words->grams, f->words->on, &ml, error) &&
         refuse_circle(f, lot.id, lot.code, error);
    if (ok && isnan(lot.left_ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is dried herb; draw on the drying or purchase it came from", lot.code);
        ok = FALSE;
    }
    if (ok) {
        row.source_id = lot.id;
        row.code = g_strdup(lot.code);
        row.day = f->words->on;
        row.blend = one;
        row.blend.ml = ml;
        row.blend.mass_g *= ml;
        row.blend.ethanol_g *= ml;
        row.blend.acid_g *= ml;
        row.blend.glycerol_ml *= ml;
        row.blend.sugar_g *= ml;
        row.words = g_strdup_printf("%s %s", lot.preparation, lot.code);
        row.strength_frac = spl_blend_strength(&row.blend, f->brew->liquid);
        if (lot.outside && !f->brew->row.outside) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                        "%s: is for outside use only; say --outside", lot.code);
            ok = FALSE;
        }
    }
    spl_record_clear(&spl_lot_shape, &lot);
    if (!ok) {
        spl_charge_row_clear(&row);
        return FALSE;
    }
    return put_in(f, &row, error);
}

static gboolean put_sources(struct filling *f, GError **error)
{
    for (guint i = 0; i < f->words->n_sources; i++) {
        const struct spl_source_words *words = &f->words->sources[i];
        struct spl_thing thing;
        char kind;

        if (!spl_code_find(f->house->book, words->code, "HPDBL", "a source", &thing, error))
            return FALSE;
        kind = thing.kind;
        spl_thing_clear(&thing);
        if (kind == 'B'   ? !put_marc(f, words, error)
            : kind == 'L' ? !put_lot(f, words, error)
                          : !put_herb(f, words, error))
            return FALSE;
    }
    return TRUE;
}

/* ---- liquid -------------------------------------------------------------------------------- */

static double usual_ratio(const struct filling *f)
{
    struct spl_making making =
        spl_tables_making(f->house->tables, f->brew->material, f->brew->preparation);

    return f->brew->dried ? making.ratio_dry_ml_per_g.value : making.ratio_fresh_ml_per_g.value;
}

/* How much to pour on herb that takes `room_ml`: as measured, by the ratio that was said, up to the
 * brim, or by the usual ratio. NAN: nothing is poured. */
static gboolean liquid_wanted(struct filling *f, double *ml, GError **error)
{
    const struct spl_charge *sum = &f->brew->sum;
    double headspace = f->brew->preparation->headspace_frac.value;

    *ml = NAN;
    if (f->brew->liquid == SPL_LIQUID_NONE)
        return TRUE;
    if (!isnan(f->words->liquid_ml)) {
        *ml = f->words->liquid_ml;
    } else if (!isnan(f->words->ratio)) {
        *ml = f->words->ratio * sum->herb_g - sum->poured_ml;
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
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%.0f g of herb fill the jar (%.0f mL to the brim) and leave no room for liquid: "
                "take a larger jar or less herb",
                sum->herb_g, f->brew->row.brimful_ml);
    return FALSE;
}

static gboolean put_one_liquid(struct filling *f, enum spl_liquid kind, double ml, double strength,
                               double honey, const struct spl_menstruum *m, const char *words,
                               GError **error)
{
    struct spl_charge_row row = {.kind = SPL_CHARGE_LIQUID,
                                 .grams = NAN,
                                 .moisture_frac = NAN,
                                 .volume_ml_per_g = NAN,
                                 .kept_ml_per_g = {NAN, NAN, NAN, NULL},
                                 .day = f->words->on,
                                 .strength_frac = strength > 0.0 ? strength : (double)NAN};

    if (!(ml > 0.0))
        return TRUE;
    row.blend = kind == SPL_LIQUID_SYRUP ? spl_blend_water(ml * SPL_WATER_G_PER_ML)
                                         : spl_blend_of(kind, ml, strength, honey);
    row.blend.ml = ml;
    row.words = g_strdup(words != NULL ? words : m->words);
    if (words == NULL) {
        row.supplier = g_strdup(m->supplier);
        row.number = g_strdup(m->number);
    }
    return put_in(f, &row, error);
}

/* What the menstruum is when nothing is said: as the first liquid of the batch, else as the tables
 * have it. */
static gboolean find_menstruum(struct filling *f, struct spl_menstruum *m, GError **error)
{
    const struct spl_preparation *preparation = f->brew->preparation;
    struct spl_making making = spl_tables_making(f->house->tables, f->brew->material, preparation);

    if (f->words->menstruum != NULL) {
        if (!spl_menstruum_parse(f->words->menstruum, f->brew->liquid, m, error))
            return FALSE;
        if (isnan(m->strength_frac) && f->brew->liquid == SPL_LIQUID_SYRUP)
            m->strength_frac = making.strength_frac.value;
        return TRUE;
    }
    *m = (struct spl_menstruum){.strength_frac = making.strength_frac.value};
    for (guint i = 0; i < f->brew->charges->len; i++) {
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
    m->words = isnan(m->strength_frac) || f->brew->liquid == SPL_LIQUID_SYRUP
                   ? g_strdup(preparation->menstruum)
                   : g_strdup_printf("%s %.4g%%",
                                     spl_liquid_name(f->brew->liquid == SPL_LIQUID_OXYMEL
                                                         ? SPL_LIQUID_VINEGAR
                                                         : f->brew->liquid),
                                     m->strength_frac * 100.0);
    return TRUE;
}

/* Honey and vinegar: each as measured, or by the table's parts. */
static gboolean put_oxymel(struct filling *f, double ml, const struct spl_menstruum *m,
                           GError **error)
{
    double parts = f->brew->preparation->honey_ml_per_ml.value;
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
    return put_one_liquid(f, SPL_LIQUID_OXYMEL, honey_ml, 0.0, 1.0, m, "honey", error) &&
           put_one_liquid(f, SPL_LIQUID_VINEGAR, vinegar_ml, m->strength_frac, 0.0, m, NULL, error);
}

static gboolean put_liquid(struct filling *f, GError **error)
{
    struct spl_menstruum m;
    double ml;
    gboolean ok;

    if (!spl_brew_reckon(f->house, f->brew, error) || !liquid_wanted(f, &ml, error))
        return FALSE;
    if (isnan(ml) && (f->brew->liquid != SPL_LIQUID_OXYMEL || f->brew->sum.poured_ml <= 0.0))
        return TRUE;
    if (!find_menstruum(f, &m, error))
        return FALSE;
    if (f->words->menstruum == NULL && m.supplier == NULL && !isnan(ml) &&
        f->brew->liquid != SPL_LIQUID_SYRUP)
        spl_caution_add(f->cautions,
                        "the liquid is taken to be %s, supplier and number unknown; "
                        "say it with --menstruum \"%s, SUPPLIER, NUMBER\"",
                        m.words, m.words);
    ok = f->brew->liquid == SPL_LIQUID_OXYMEL
             ? put_oxymel(f, ml, &m, error)
             : put_one_liquid(f, f->brew->liquid, ml, m.strength_frac, 0.0, &m, NULL, error);
    spl_menstruum_clear(&m);
    return ok && spl_brew_reckon(f->house, f->brew, error);
}

/* ---- the whole ----------------------------------------------------------------------------- */

static gboolean check_fit(const struct filling *f, double more, GError **error)
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

static void caution_ratio(const struct filling *f)
{
    struct spl_making making =
        spl_tables_making(f->house->tables, f->brew->material, f->brew->preparation);
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

static gboolean check_day(struct spl_house *house, const struct spl_brew *brew, struct spl_day on,
                          GError **error)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (!spl_house_past(house, on, "--on", error))
        return FALSE;
    if (spl_day_compare(on, brew->row.day) >= 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "--on: %s was started on %s, later than that",
                brew->row.code, spl_day_format(brew->row.day, text));
    return FALSE;
}

static gboolean take_press(struct spl_house *house, const char *said,
                           const struct spl_press **press, GError **error)
{
    g_autofree char *own = said == NULL ? spl_house_setting_text(house, "press") : NULL;
    const char *name = said != NULL ? said : own != NULL ? own : "hand";

    return spl_tables_press(house->tables, name, press, error);
}

static gboolean take_row(struct spl_house *house, const struct spl_batch_words *words,
                         struct spl_brew *brew, GError **error)
{
    struct spl_batch_row *row = &brew->row;
    const struct spl_tables *tables = spl_house_tables(house, error);

    if (tables == NULL ||
        !spl_tables_preparation(tables, words->preparation, &brew->preparation, error) ||
        !spl_house_past(house, words->on, "--on", error))
        return FALSE;
    if (words->n_sources == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "batch start: say what goes in: --from H27-001:87g");
        return FALSE;
    }
    row->preparation = g_strdup(brew->preparation->slug);
    row->day = words->on;
    row->outside = words->outside;
    row->jar_ml = row->brimful_ml = NAN;
    for (guint i = 0; i < words->n_jars; i++) {
        struct spl_vessel jar =
            spl_house_vessel(tables, words->jars[i].nominal_ml, words->jars[i].count);

        row->jars += jar.count;
        row->jar_ml = (isnan(row->jar_ml) ? 0.0 : row->jar_ml) + jar.count * jar.nominal_ml;
        row->brimful_ml =
            (isnan(row->brimful_ml) ? 0.0 : row->brimful_ml) + jar.count * jar.brimful_ml;
    }
    row->keeping = spl_house_setting_text(house, "keeping");
    if (row->keeping == NULL)
        row->keeping = g_strdup(SPL_KEEPING_TABLE);
    row->by = spl_house_who(house, words->by);
    return (words->hold == NULL ||
            (row->hold = spl_text_clean(words->hold, "--hold", SPL_REMARK_MAX, TRUE, error)) !=
                NULL) &&
           (words->remark == NULL ||
            (row->remark =
                 spl_text_clean(words->remark, "--remark", SPL_REMARK_MAX, TRUE, error)) != NULL);
}

/* Everything after the row is there: sources, liquid, the rules. */
static gboolean fill(struct filling *f, GError **error)
{
    return put_sources(f, error) && put_liquid(f, error) && check_fit(f, 1.0, error) &&
           spl_brew_judge(f->house, f->brew, f->days_since_picked, NULL, f->brew->row.hold,
                          f->cautions, error);
}

static void caution_materials(struct filling *f)
{
    if (f->brew->material != NULL)
        spl_material_cautions(f->house, f->brew->material, f->cautions);
    if (*f->brew->preparation->cautions != '\0')
        spl_caution_add(f->cautions, "%s", f->brew->preparation->cautions);
}

gboolean spl_batch_begin(struct spl_house *house, const struct spl_batch_words *words,
                         struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    struct spl_brew brew = {0};
    struct filling f = {.house = house, .words = words, .brew = &brew, .days_since_picked = -1};
    gboolean ok;

    f.cautions = g_ptr_array_new_with_free_func(g_free);
    brew.row.pressed = SPL_DAY_NONE;
    brew.charges = g_array_new(FALSE, FALSE, sizeof(struct spl_charge_row));
    g_array_set_clear_func(brew.charges, (GDestroyNotify)spl_charge_row_clear);
    brew.done = g_array_new(FALSE, FALSE, sizeof(struct spl_step_done));
    ok = take_row(house, words, &brew, error) && take_press(house, words->press, &f.press, error);
    if (ok && (ok = spl_book_begin(house->book, error))) {
        ok = spl_batch_add(house->book, &brew.row, error);
        if (ok) {
            brew.liquid = brew.preparation->liquid;
            ok = fill(&f, error);
            brew.row.herb_g = brew.sum.herb_g;
        }
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok) {
        caution_ratio(&f);
        caution_materials(&f);
        ok = spl_brew_record(house, &brew, batch, error);
    }
    spl_brew_clear(&brew);
    if (!ok)
        g_ptr_array_unref(f.cautions);
    else
        *cautions = f.cautions;
    return ok;
}

gboolean spl_batch_extend(struct spl_house *house, const char *code,
                          const struct spl_batch_words *words, struct spl_batch *batch,
                          GPtrArray **cautions, GError **error)
{
    struct spl_brew brew;
    struct filling f = {.house = house, .words = words, .brew = &brew, .days_since_picked = -1};
    struct spl_menstruum m;
    gboolean ok;

    if (words->n_sources == 0 && isnan(words->liquid_ml) && isnan(words->honey_ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "batch add: say what goes in: --from H27-002:40g or --liquid 50mL");
        return FALSE;
    }
    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_brew_load(house, code, &brew, error))
        return spl_book_finish(house->book, FALSE, error);
    f.cautions = g_ptr_array_new_with_free_func(g_free);
    ok = spl_brew_stands(&brew, "added to", error) && check_day(house, &brew, words->on, error) &&
         take_press(house, words->press, &f.press, error) && put_sources(&f, error);
    if (ok && (!isnan(words->liquid_ml) || !isnan(words->honey_ml))) {
        ok = find_menstruum(&f, &m, error);
        if (ok) {
            ok = put_one_liquid(&f, SPL_LIQUID_OXYMEL, words->honey_ml, 0.0, 1.0, &m, "honey",
                                error) &&
                 put_one_liquid(&f,
                                brew.liquid == SPL_LIQUID_OXYMEL ? SPL_LIQUID_VINEGAR : brew.liquid,
                                words->liquid_ml, m.strength_frac, 0.0, &m, NULL, error);
            spl_menstruum_clear(&m);
        }
    }
    ok = ok && spl_brew_reckon(house, &brew, error) && check_fit(&f, TOP_UP_ROOM, error) &&
         spl_brew_judge(house, &brew, f.days_since_picked, NULL,
                        words->hold != NULL ? words->hold : brew.row.hold, f.cautions, error) &&
         spl_brew_record(house, &brew, batch, error);
    if (ok)
        caution_ratio(&f);
    spl_brew_clear(&brew);
    ok = spl_book_finish(house->book, ok, error);
    if (!ok)
        g_ptr_array_unref(f.cautions);
    else
        *cautions = f.cautions;
    return ok;
}

gboolean spl_batch_step(struct spl_house *house, const char *code, const char *step,
                        double liquid_ml, struct spl_day on, const char *by,
                        struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    struct spl_brew brew;
    enum spl_step which;
    gboolean ok;

    if (!spl_step_parse(step, "STEP", &which, error))
        return FALSE;
    if (which == SPL_STEP_STRAIN || which == SPL_STEP_USE_BY || which == SPL_STEP_READY) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "batch step: '%s' is no step to note; straining is 'batch press %s --yield …'",
                    spl_step_name(which), code);
        return FALSE;
    }
    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_brew_load(house, code, &brew, error))
        return spl_book_finish(house->book, FALSE, error);
    ok = spl_brew_stands(&brew, "stepped", error) && check_day(house, &brew, on, error) &&
         spl_batch_step_add(house->book, brew.row.id, which, on, who, error);
    *cautions = NULL;
    if (ok && !isnan(liquid_ml)) {
        struct spl_batch_words words;

        spl_batch_words_init(&words);
        words.liquid_ml = liquid_ml;
        words.on = on;
        words.by = by;
        ok = spl_batch_extend(house, code, &words, batch, cautions, error);
        if (ok)
            spl_record_clear(&spl_batch_shape, batch);
    }
    spl_brew_clear(&brew);
    if (ok && (ok = spl_brew_load(house, code, &brew, error))) {
        ok = spl_brew_record(house, &brew, batch, error);
        spl_brew_clear(&brew);
    }
    ok = spl_book_finish(house->book, ok, error);
    if (ok && *cautions == NULL)
        *cautions = g_ptr_array_new_with_free_func(g_free);
    else if (!ok)
        g_clear_pointer(cautions, g_ptr_array_unref);
    return ok;
}
