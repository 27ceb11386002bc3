/* SPDX-License-Identifier: MIT
 *
 * Putting herb, marc and lots into a jar. See season/charging.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/amendment.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "core/alcohol.h"
#include "core/dry.h"
#include "core/keeping.h"
#include "core/need.h"
#include "core/pool.h"
#include "core/stage.h"
#include "season/charging.h"
#include "season/check_private.h"
#include "season/source.h"
#include "season/state.h"
#include "simpling/error.h"

/* Writes a charge and keeps it in the list that is reckoned with. Takes the row over. */
gboolean spl_charging_put(struct spl_charging *f, struct spl_charge_row *row, GError **error)
{
    if (!spl_charge_add(f->house->book, f->brew->row.id, row, error)) {
        spl_charge_row_clear(row);
        return FALSE;
    }
    g_array_append_val(f->brew->charges, *row);
    return TRUE;
}

static gboolean refuse_circle(struct spl_charging *f, gint64 source_id, const char *code,
                              GError **error)
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

static gboolean join(struct spl_charging *f, gint64 id, const char *code, GError **error)
{
    return spl_joining_take(f->house, &f->joining, id, code, TRUE, f->cautions, error);
}

/* A stage that does not suit is said again where it matters. */
static void caution_stage(struct spl_charging *f, const struct spl_source *source)
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

    if (source->state == SPL_HERB_DRIED)
        return SPL_DRY_MOISTURE_FRAC;
    if (source->state == SPL_HERB_WILTED || source->state == SPL_HERB_HEATED)
        return CLAMP(1.0 - (1.0 - fresh) * source->fresh_per_g, 0.0, fresh);
    return fresh;
}

static struct spl_figure kept_by(const struct spl_charging *f, gboolean dried)
{
    struct spl_figure kept = f->press == NULL ? SPL_FIGURE_NONE
                             : dried          ? f->press->retained_dry_ml_per_g
                                              : f->press->retained_fresh_ml_per_g;

    if (isnan(kept.value))
        kept = spl_kept_by_hand(dried);
    return kept;
}

static gboolean check_state(const struct spl_charging *f, const struct spl_source *source,
                            GError **error)
{
    const struct spl_preparation *preparation = f->brew->preparation;
    gboolean dried = source->state == SPL_HERB_DRIED;

    if (preparation->frozen &&
        (source->state == SPL_HERB_FROZEN || source->state == SPL_HERB_FRESH))
        return TRUE;
    if (preparation->liquid == SPL_LIQUID_NONE && source->thing.kind == 'D' && !dried) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is %s, not dry, and would mould; dry it first", source->thing.code,
                    spl_herb_state_names[source->state]);
        return FALSE;
    }
    if ((preparation->liquid == SPL_LIQUID_NONE && preparation->takes_fresh &&
         !preparation->frozen) ||
        (dried ? preparation->takes_dried : preparation->takes_fresh))
        return TRUE;
    if (!preparation->takes_fresh && !preparation->takes_dried) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is herb, and %s is mixed of what was made before: draw on lots",
                    source->thing.code, preparation->name);
        return FALSE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s, and %s is not made of %s herb",
                source->thing.code, dried ? "dried" : "fresh", preparation->name,
                dried ? "dried" : "fresh");
    return FALSE;
}

/* Under oil goes as dried what was shown to be dry; the supplier's number stands for what was
 * bought. */
static gboolean check_dry(const struct spl_charging *f, const struct spl_source *source,
                          GError **error)
{
    enum spl_part part = source->row != NULL ? source->row->part : SPL_PART_ANY;

    if (!spl_liquid_is_oil(f->brew->liquid) || source->state != SPL_HERB_DRIED ||
        source->dryness == SPL_DRYNESS_SHOWN)
        return TRUE;
    if (source->dryness == SPL_DRYNESS_DOUBT) {
        spl_caution_add(f->cautions,
                        "%s: was shown to be dry, though by its weights %.0f to %.0f %% of it may "
                        "be water: look for drops under the oil",
                        source->thing.code, source->left.low * 100.0, source->left.high * 100.0);
        return TRUE;
    }
    if (source->thing.kind == 'P') {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: bought herb goes under oil with the number of its supplier, who answers "
                    "for its being dry; correct %s when it is known",
                    source->thing.code, source->thing.code);
        spl_error_explain(error, "not-dry",
                          spl_next_new(SPL_ACTION_AMEND, "code", source->thing.code, "number", NULL,
                                       "why", NULL, NULL),
                          NULL);
        return FALSE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: nothing shows that it is dry, and damp herb under oil can breed botulism: try "
                "it by hand (%s), or weigh it twice, a day apart, before it is taken down",
                source->thing.code, spl_dry_sign_words(spl_dry_sign_of(part)));
    spl_error_explain(error, "not-dry",
                      spl_next_new(SPL_ACTION_DRY_TEST, "code", source->thing.code, "how",
                                   spl_dry_sign_name(spl_dry_sign_of(part)), NULL),
                      NULL);
    return FALSE;
}

/* What is for outside only goes into nothing that is for inside, and a table's own row with its
 * source alone lifts that. */
static gboolean check_outside(const struct spl_charging *f, const struct spl_source *source,
                              GError **error)
{
    if (source->row == NULL || !source->row->outside_only || f->brew->row.outside)
        return TRUE;
    if (f->brew->preparation->inside_only)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s is for outside use only, and %s is made to be swallowed; make an oil "
                    "or a tincture for outside of it",
                    source->thing.code, source->material, f->brew->preparation->name);
    else
        spl_error_set_input(error, SPL_ERROR_REFUSED, "outside",
                            "is missing: %s (%s) is for outside use only, so the batch must be",
                            source->material, source->thing.code);
    spl_error_explain(error, "outside-only", NULL, NULL);
    return FALSE;
}

/* Who answers for raw fruit stands with the batch; what was begun without any is corrected. */
static gboolean answer_raw(struct spl_charging *f, const char *by, GError **error)
{
    if (g_strcmp0(f->brew->row.raw_by, by) == 0)
        return TRUE;
    if (!spl_amendment_add_text(f->house->book, f->brew->row.uuid, "raw_by", by, f->words->by,
                                "raw fruit went in", error))
        return FALSE;
    g_free(g_steal_pointer(&f->brew->row.raw_by));
    f->brew->row.raw_by = g_strdup(by);
    return TRUE;
}

/* Fruit that poisons raw is heated or dried first, or made by what cooks it, or somebody answers
 * for it by name. */
static gboolean check_raw(struct spl_charging *f, const struct spl_source *source, GError **error)
{
    const struct spl_preparation *preparation = f->brew->preparation;
    const char *by = f->words->raw_by != NULL ? f->words->raw_by : f->brew->row.raw_by;

    if (source->row == NULL || !source->row->must_cook || source->state == SPL_HERB_DRIED ||
        preparation->cooks || preparation->liquid == SPL_LIQUID_NONE ||
        (source->state == SPL_HERB_HEATED && source->minutes >= SPL_HEATED_MINUTES))
        return TRUE;
    if (by != NULL) {
        spl_caution_add(f->cautions,
                        "%s go in raw: %s answers for their being ripe and stripped of every "
                        "stalk; the label says so",
                        source->row->spoken, by);
        return answer_raw(f, by, error);
    }
    spl_error_set_input(error, SPL_ERROR_REFUSED, "raw_by",
                        "%s (%s) poison raw: heat them (%d minutes at a simmer, the lid off, "
                        "stalks and green ones out first), dry them, or say who answers for it "
                        "that they are ripe and stripped of every stalk",
                        source->row->spoken, source->thing.code, SPL_HEATED_MINUTES);
    spl_error_explain(error, "raw-fruit",
                      spl_next_new(SPL_ACTION_HEAT, "from", source->thing.code, "kind", "heated",
                                   "minutes", G_STRINGIFY(SPL_HEATED_MINUTES), NULL),
                      NULL);
    return FALSE;
}

/* Fresh herb is put up within two days (core/keeping.h); drying and the like are noted with their
 * day. Dried herb is put on no liquid, so that one is only cautioned, as on the rack. */
static gboolean check_picked(const struct spl_charging *f, const struct spl_source *source,
                             GError **error)
{
    int days = source->state == SPL_HERB_FRESH && spl_day_is_set(source->picked)
                   ? spl_day_diff(f->words->on, source->picked)
                   : 0;
    g_autofree char *stale = spl_keeping_stale(days);
    char day[SPL_DAY_TEXT_SIZE];

    if (stale == NULL || f->brew->liquid == SPL_LIQUID_NONE)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s", source->thing.code, stale);
    spl_error_explain(error, "stale",
                      spl_next_new(SPL_ACTION_DRYING_START, "from", source->thing.code, "on",
                                   spl_day_format(source->picked, day), NULL),
                      NULL);
    return FALSE;
}

/* Of herb that is pressed before it is mixed only the juice goes in: as measured, or as usual. */
static void press_first(const struct spl_charging *f, const struct spl_source *source,
                        struct spl_charge_row *row)
{
    struct spl_figure juice = f->brew->preparation->juice_ml_per_g;

    if (!(juice.value > 0.0) || source->state == SPL_HERB_DRIED)
        return;
    if (!isnan(f->words->juice_ml))
        juice = SPL_FIGURE(f->words->juice_ml / row->grams, "measured");
    row->volume_ml_per_g = juice.value;
    row->moisture_frac = MIN(1.0, juice.value * SPL_WATER_G_PER_ML);
    row->kept_ml_per_g = SPL_FIGURE(0.0, "pressed before it is mixed");
}

static gboolean put_herb(struct spl_charging *f, const struct spl_source_words *words,
                         GError **error)
{
    struct spl_source source;
    struct spl_charge_row row = {
        .kind = SPL_CHARGE_HERB, .titrated_on = SPL_DAY_NONE, .strength_frac = NAN};
    gboolean dried, ok;

    if (!isnan(words->amount.ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: herb is weighed; say grams, as %s:87g", words->code, words->code);
        return FALSE;
    }
    if (!spl_source_open(f->house, words->code, "HPD", &source, error))
        return FALSE;
    dried = source.state == SPL_HERB_DRIED;
    /* The draw is written with the charge; here the amount and the day are only checked. */
    ok = check_state(f, &source, error) && check_picked(f, &source, error) &&
         check_dry(f, &source, error) && check_outside(f, &source, error) &&
         check_raw(f, &source, error) && join(f, source.thing.id, source.thing.code, error) &&
         spl_source_allow(&source, words->amount.g, f->words->on, &row.grams, error);
    if (ok) {
        row.source_id = source.thing.id;
        row.code = g_strdup(source.thing.code);
        row.day = f->words->on;
        row.material = g_strdup(source.material);
        /* What was heated too shortly to count is as raw as it was. */
        row.state = source.state == SPL_HERB_HEATED && source.row != NULL &&
                            source.row->must_cook && source.minutes < SPL_HEATED_MINUTES
                        ? SPL_HERB_FRESH
                        : source.state;
        row.moisture_frac = moisture_of(&source);
        row.volume_ml_per_g = (source.state == SPL_HERB_FRESH || source.state == SPL_HERB_FROZEN) &&
                                      source.row != NULL &&
                                      spl_figure_is_set(source.row->volume_ml_per_g)
                                  ? source.row->volume_ml_per_g.value
                                  : spl_herb_volume_ml_per_g(row.moisture_frac);
        row.kept_ml_per_g = kept_by(f, dried);
        press_first(f, &source, &row);
        if (source.state == SPL_HERB_FRESH && spl_day_is_set(source.picked))
            f->days_since_picked =
                MAX(f->days_since_picked, spl_day_diff(f->words->on, source.picked));
        caution_stage(f, &source);
    }
    spl_source_clear(&source);
    if (!ok) {
        spl_charge_row_clear(&row);
        return FALSE;
    }
    return spl_charging_put(f, &row, error);
}

/* What is for outside makes what it enters for outside, and that must be said. */
static gboolean same_use(const struct spl_charging *f, gboolean outside, const char *code,
                         GError **error)
{
    if (!outside || f->brew->row.outside)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_REFUSED, "outside",
                        "is missing: %s is for outside use only, so the batch must be", code);
    spl_error_explain(error, "outside-only", NULL, NULL);
    return FALSE;
}

static void refuse_marc(const char *code, double wanted_g, double left_g, GError **error)
{
    g_autofree char *wanted = spl_mass_exact(wanted_g), *left = spl_mass_exact(left_g);

    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: marc of %s herb is wanted, of %s is left",
                code, wanted, left);
}

/* Marc: the pressed herb of another batch, with the liquid that it still holds. */
static gboolean put_marc(struct spl_charging *f, const struct spl_source_words *words,
                         GError **error)
{
    struct spl_brew source;
    struct spl_standing standing = {0};
    double left_g, share;
    struct spl_charge_row row = {
        .kind = SPL_CHARGE_MARC, .titrated_on = SPL_DAY_NONE, .strength_frac = NAN};
    gboolean ok = FALSE;

    if (!spl_brew_load(f->house, words->code, &source, error))
        return FALSE;
    /* Herb that was put up as a lot is in it, not in the jar. */
    left_g =
        source.sum.herb_g - source.row.marc_drawn_g - source.row.pressed_g - source.row.discarded_g;
    row.grams = isnan(words->amount.g) ? left_g : words->amount.g;
    if (source.row.struck != NULL || !spl_day_is_set(source.row.pressed))
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s; only the marc of a pressed batch can be used again", source.row.code,
                    source.row.struck != NULL ? "is struck" : "still stands unpressed");
    else if (!isnan(words->amount.ml))
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: marc is reckoned by the herb it was; say grams", source.row.code);
    else if (left_g < SPL_CRUMB)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: nothing is left of its marc; draw on another batch", source.row.code);
    else if (row.grams > left_g + SPL_CRUMB)
        refuse_marc(source.row.code, row.grams, left_g, error);
    else if (spl_day_compare(f->words->on, source.row.pressed) < 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: was pressed later than that day; correct the day", source.row.code);
    else if (spl_liquid_is_oil(f->brew->liquid) && !spl_liquid_is_oil(source.liquid))
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: its marc is wet with %s, and wet herb under oil can breed botulism; take "
                    "dried herb, or the marc of an oil",
                    source.row.code, spl_liquid_name(source.liquid));
    else
        ok = spl_standing_of(f->house, source.row.id, &standing, error) &&
             same_use(f, source.row.outside || standing.outside, source.row.code, error) &&
             (source.row.raw_by == NULL || answer_raw(f, source.row.raw_by, error)) &&
             refuse_circle(f, source.row.id, source.row.code, error) &&
             join(f, source.row.id, source.row.code, error);
    if (ok) {
        row.grams = MIN(row.grams, left_g);
        share = row.grams / source.sum.herb_g;
        row.source_id = source.row.id;
        row.code = g_strdup(source.row.code);
        row.day = f->words->on;
        row.material = source.material != NULL ? g_strdup(source.material->slug)
                                               : spl_brew_materials(f->house, &source, NULL);
        row.moisture_frac = 0.0;
        row.blend = spl_blend_part(source.sum.pool,
                                   MAX(0.0, source.sum.pool.ml - source.row.pressed_ml) * share);
        row.volume_ml_per_g = 0.25; /* the solids alone: what it holds counts as liquid; memory */
        row.kept_ml_per_g = kept_by(f, FALSE);
    }
    spl_brew_clear(&source);
    spl_standing_clear(&standing);
    if (!ok)
        return FALSE;
    return spl_charging_put(f, &row, error);
}

/* An oil of herb that was not dried lasts days, and no wax makes it last longer; the traditional
 * exception has its own days, which bound those of the salve. */
static gboolean check_dried_oil(const struct spl_charging *f, const struct spl_lot *lot,
                                GError **error)
{
    gboolean dried = TRUE;

    for (guint i = 0; dried && lot->from != NULL && i < lot->from->len; i++) {
        struct spl_brew made;

        if (!spl_brew_load(f->house, g_ptr_array_index(lot->from, i), &made, error))
            return FALSE;
        for (guint k = 0; k < made.charges->len; k++) {
            const struct spl_charge_row *charge =
                &g_array_index(made.charges, struct spl_charge_row, k);
            const struct spl_material *row =
                charge->kind == SPL_CHARGE_HERB
                    ? spl_tables_material_by_slug(f->house->tables, charge->material)
                    : NULL;

            if (charge->kind == SPL_CHARGE_HERB && charge->state != SPL_HERB_DRIED &&
                (row == NULL || !row->fresh_oil))
                dried = FALSE;
        }
        spl_brew_clear(&made);
    }
    if (!dried)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is an oil of herb that was not dried, which is used within days; a salve "
                    "is made of an oil of dried herb",
                    lot->code);
    return dried;
}

/* Nothing that holds water goes into oil or a salve. */
static gboolean check_oil_lot(const struct spl_charging *f, const struct spl_lot *lot,
                              GError **error)
{
    const struct spl_preparation *row =
        spl_tables_preparation_by_slug(f->house->tables, lot->preparation);

    if (!spl_liquid_is_oil(f->brew->liquid) || row == NULL || spl_liquid_is_oil(row->liquid))
        return f->brew->liquid != SPL_LIQUID_SALVE || check_dried_oil(f, lot, error);
    g_set_error(
        error, SPL_ERROR, SPL_ERROR_REFUSED,
        "%s: is %s and holds water, under which germs grow in %s; take an oil of dried herb",
        lot->code, row->name, f->brew->preparation->name);
    return FALSE;
}

static gboolean put_lot(struct spl_charging *f, const struct spl_source_words *words,
                        GError **error)
{
    struct spl_lot lot;
    struct spl_blend one;
    struct spl_charge_row row = {.kind = SPL_CHARGE_LOT,
                                 .titrated_on = SPL_DAY_NONE,
                                 .grams = NAN,
                                 .moisture_frac = NAN,
                                 .volume_ml_per_g = NAN,
                                 .kept_ml_per_g = {NAN, NAN, NAN, NULL, FALSE},
                                 .strength_frac = NAN};
    double ml = NAN;
    gboolean ok;

    if (!spl_shelf_find(f->house, words->code, &lot, &one, error))
        return FALSE;
    ok = spl_lot_may_go(&lot, TRUE, words->amount.ml, words->amount.g, f->words->on, &ml, error) &&
         join(f, lot.id, lot.code, error) && refuse_circle(f, lot.id, lot.code, error);
    if (ok && isnan(lot.left_ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is dried herb; draw on the drying or purchase it came from", lot.code);
        ok = FALSE;
    }
    ok = ok && check_oil_lot(f, &lot, error);
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
        row.strength_frac =
            f->brew->liquid == SPL_LIQUID_SYRUP || f->brew->liquid == SPL_LIQUID_SALVE
                ? spl_charging_target(f)
                : spl_blend_strength(&row.blend, f->brew->liquid);
        ok = same_use(f, lot.outside, lot.code, error);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    if (!ok) {
        spl_charge_row_clear(&row);
        return FALSE;
    }
    return spl_charging_put(f, &row, error);
}

gboolean spl_charging_known(struct spl_house *house, const GArray *sources, GError **error)
{
    for (guint i = 0; sources != NULL && i < sources->len; i++) {
        g_autofree char *path = g_strdup_printf("from.%u", i);
        struct spl_thing thing;

        if (!spl_code_find(house->book, g_array_index(sources, struct spl_source_words, i).code,
                           "HPDBL", "a source", &thing, error)) {
            spl_error_about(error, path);
            return FALSE;
        }
        spl_thing_clear(&thing);
    }
    return TRUE;
}

gboolean spl_charging_sources(struct spl_charging *f, GError **error)
{
    const GArray *sources = f->words->sources;
    gboolean ok = TRUE;

    /* What stands in the jar already. */
    for (guint i = 0; ok && i < f->brew->charges->len; i++)
        if (g_array_index(f->brew->charges, struct spl_charge_row, i).source_id != 0) {
            ok = spl_joining_take(f->house, &f->joining, f->brew->row.id, f->brew->row.code, FALSE,
                                  NULL, error);
            break;
        }
    for (guint i = 0; ok && sources != NULL && i < sources->len; i++) {
        const struct spl_source_words *words = &g_array_index(sources, struct spl_source_words, i);
        g_autofree char *path = g_strdup_printf("from.%u", i);
        struct spl_thing thing;
        char kind;

        ok = spl_code_find(f->house->book, words->code, "HPDBL", "a source", &thing, error);
        if (!ok) {
            spl_error_about(error, path);
            break;
        }
        kind = thing.kind;
        spl_thing_clear(&thing);
        ok = kind == 'B'   ? put_marc(f, words, error)
             : kind == 'L' ? put_lot(f, words, error)
                           : put_herb(f, words, error);
        if (!ok)
            spl_error_about(error, path);
    }
    spl_joining_clear(&f->joining);
    return ok;
}
