/* SPDX-License-Identifier: MIT
 *
 * Pressing batches, alone or together, into lots. See simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/draw.h"
#include "book/lot.h"
#include "core/alcohol.h"
#include "core/pool.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "season/menstruum.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

struct pressing {
    struct spl_house *house;
    const struct spl_press_words *words;
    struct spl_brew *brews;
    guint n;
    gboolean grams;  /* the yields are grams: dried herb */
    gboolean parted; /* the mixture is made by parts */
    double *yields;  /* of each: mL, or g of dried herb */
    GPtrArray *cautions;
};

static const struct spl_press_jar *jar_at(const struct spl_press_words *words, guint i)
{
    return &g_array_index(words->jars, struct spl_press_jar, i);
}

static gboolean is_said(struct spl_amount amount)
{
    return !isnan(amount.g) || !isnan(amount.ml);
}

static const struct spl_input jar_rows[] = {
    SPL_INPUT(spl_press_jar, code, CODE, "code", "the batch", .needed = 1, .words = "B",
              .typed = SPL_TYPED_PLACE),
    SPL_INPUT(spl_press_jar, yield, AMOUNT, "yield",
              "what came out (needed): one for all, or one for each in their order: 390mL; dried "
              "herb and salve: 120g",
              .typed = SPL_TYPED_ZIP, .whole = "together"),
    SPL_INPUT(spl_press_jar, part, NUMBER, "part",
              "by volume into one lot; what is over is a lot of its own", .min = 0.001, .max = 1000,
              .typed = SPL_TYPED_SPREAD),
};
static const struct spl_inputs jar_inputs = SPL_INPUTS("press_jar", spl_press_jar, jar_rows);

static const struct spl_input press_rows[] = {
    SPL_INPUT(spl_press_words, jars, LIST, "jars", "the batches that are pressed", .needed = 1,
              .item = &jar_inputs),
    SPL_INPUT(spl_press_words, together, AMOUNT, "together", "what came of all together"),
    SPL_INPUT(spl_press_words, wax, TEXT, "wax",
              "salve: the wax that was melted in, \"beeswax, SUPPLIER, NUMBER\"", .value = "WORDS"),
    SPL_INPUT(spl_press_words, wax_g, MASS, "wax_weight",
              "and how much of it (default: by its share of the salve)", .advanced = 1),
    SPL_INPUT(spl_press_words, bottles, LIST, "bottles",
              "what it was bottled into, if it was: 4x100mL", .item = &spl_bottle_inputs),
    SPL_INPUT(spl_press_words, place, NAME, "at", "where that stands: \"shelf B3\"",
              .value = "PLACE"),
    SPL_INPUT(spl_press_words, hold, TEXT, "hold", "what the lots wait for", .value = "WHY",
              .advanced = 1),
    SPL_INPUT(spl_press_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_press_words, by, NAME, "by", "who did it", .value = "WHO", .setting = "who"),
    SPL_INPUT(spl_press_words, remark, TEXT, "remark", "anything to remember"),
};

static gboolean check_press(const void *record, GError **error)
{
    const struct spl_press_words *words = record;
    guint n = words->jars->len, yields = 0, parts = 0, weighed = 0;

    for (guint i = 0; i < n; i++) {
        yields += is_said(jar_at(words, i)->yield) ? 1 : 0;
        weighed += !isnan(jar_at(words, i)->yield.g) ? 1 : 0;
        parts += !isnan(jar_at(words, i)->part) ? 1 : 0;
    }
    if (yields > 0 && is_said(words->together))
        spl_error_set_input(error, SPL_ERROR_USAGE, "together",
                            "is said of each and of all together; say one of both");
    else if (yields == 0 && !is_said(words->together))
        spl_error_set_input(error, SPL_ERROR_USAGE, "together",
                            "is missing: what came out, of each or of all together");
    else if (yields > 0 && yields < n)
        spl_error_set_input(error, SPL_ERROR_USAGE, "jars.0.yield",
                            "%u yields for %u batches; give one for each, or one for all", yields,
                            n);
    else if (weighed > 0 && weighed < yields)
        spl_error_set_input(error, SPL_ERROR_USAGE, "jars.0.yield",
                            "some in millilitres and some in grams; give all in one");
    else if (parts > 0 && parts < n)
        spl_error_set_input(error, SPL_ERROR_USAGE, "jars.0.part",
                            "%u parts for %u batches; give one for each", parts, n);
    else
        return TRUE;
    return FALSE;
}

const struct spl_inputs spl_press_inputs =
    SPL_INPUTS("press", spl_press_words, press_rows, .check = check_press);

static gboolean check_brew(struct pressing *p, guint i, GError **error)
{
    struct spl_brew *brew = &p->brews[i];
    char text[SPL_DAY_TEXT_SIZE];

    if (!spl_brew_stands(brew, "pressed again", error))
        return FALSE;
    for (guint j = 0; j < i; j++) {
        if (p->brews[j].row.id == brew->row.id) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: is named twice; name it once",
                        brew->row.code);
            return FALSE;
        }
    }
    if (strcmp(brew->row.preparation, p->brews[0].row.preparation) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is %s, %s is %s; press each by itself and mix the lots in a new batch",
                    brew->row.code, brew->row.preparation, p->brews[0].row.code,
                    p->brews[0].row.preparation);
        return FALSE;
    }
    if (spl_day_compare(p->words->on, brew->last_on) < 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "on",
                            "something went into %s on %s, later than that", brew->row.code,
                            spl_day_format(brew->last_on, text));
        return FALSE;
    }
    if (brew->liquid == SPL_LIQUID_SALVE)
        p->grams = FALSE; /* weighed or measured: it is kept by its volume */
    if (p->grams != (brew->liquid == SPL_LIQUID_NONE)) {
        spl_error_set_input(
            error, SPL_ERROR_INVALID, is_said(p->words->together) ? "together" : "jars.0.yield",
            brew->liquid == SPL_LIQUID_NONE ? "%s is weighed; say it in grams, as 120g"
                                            : "%s is measured; say it in millilitres, as 390mL",
            brew->row.preparation);
        return FALSE;
    }
    return TRUE;
}

static gboolean load_all(struct pressing *p, GError **error)
{
    for (guint i = 0; i < p->words->jars->len; i++) {
        if (!spl_brew_load(p->house, jar_at(p->words, i)->code, &p->brews[i], error)) {
            g_autofree char *path = g_strdup_printf("jars.%u.code", i);

            spl_error_about(error, path);
            return FALSE;
        }
        p->n = i + 1;
        if (!check_brew(p, i, error))
            return FALSE;
    }
    return TRUE;
}

/* As it is kept: grams of dried herb, mL of all else, a salve's from its weight too. */
static double kept_amount(const struct pressing *p, const struct spl_brew *brew,
                          struct spl_amount said)
{
    if (p->grams)
        return said.g;
    return isnan(said.ml) ? said.g * spl_salve_ml_per_g(brew->sugar_frac) : said.ml;
}

/* What each gave: as measured, or its share of one measure by parts, else by what was expected. */
static void share_yield(struct pressing *p)
{
    struct spl_amount together = p->words->together;
    double whole = 0.0;

    for (guint i = 0; i < p->n; i++) {
        const struct spl_press_jar *jar = jar_at(p->words, i);

        if (!is_said(together))
            p->yields[i] = kept_amount(p, &p->brews[i], jar->yield);
        else
            p->yields[i] = p->parted  ? jar->part
                           : p->grams ? p->brews[i].sum.herb_g
                                      : MAX(p->brews[i].sum.yield_ml, 1e-3);
        whole += p->yields[i];
    }
    for (guint i = 0; is_said(together) && i < p->n; i++)
        p->yields[i] *= kept_amount(p, &p->brews[0], together) / whole;
}

/* Strained before it is ready: said, not refused. */
static void caution_early(struct pressing *p, const struct spl_brew *brew)
{
    g_autoptr(GArray) schedule = spl_brew_schedule(p->house, brew, NULL);

    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);
        g_autofree char *ready = NULL;

        if (due->step != SPL_STEP_READY || spl_day_compare(p->words->on, due->earliest) >= 0)
            continue;
        ready = spl_day_words(due->earliest);
        spl_caution_add(p->cautions, "%s: is pressed early; it would be ready from %s",
                        brew->row.code, ready);
    }
}

/* The wax of a salve goes in by weight when it is poured, and takes no room from what drew: from
 * then on it stands with what the batch took, and the stock of it has that much less. */
static gboolean put_wax(struct pressing *p, GError **error)
{
    struct spl_menstruum wax;
    double whole = 0.0;
    gboolean ok = TRUE;

    if (p->words->wax == NULL && isnan(p->words->wax_g))
        return TRUE;
    if (p->brews[0].liquid != SPL_LIQUID_SALVE) {
        spl_error_set_input(error, SPL_ERROR_INVALID, p->words->wax != NULL ? "wax" : "wax_weight",
                            "goes into a salve, and this is %s; leave it out",
                            p->brews[0].row.preparation);
        return FALSE;
    }
    if (!spl_menstruum_parse(p->words->wax != NULL ? p->words->wax : "beeswax", SPL_LIQUID_SALVE,
                             &wax, error)) {
        spl_error_about(error, "wax");
        return FALSE;
    }
    for (guint i = 0; i < p->n; i++)
        whole += p->yields[i];
    for (guint i = 0; ok && i < p->n; i++) {
        struct spl_brew *brew = &p->brews[i];
        double grams =
            isnan(p->words->wax_g)
                ? spl_blend_of(brew->liquid, p->yields[i], brew->sugar_frac, 0.0).mass_g *
                      brew->sugar_frac
                : p->words->wax_g * p->yields[i] / whole;
        struct spl_charge_row row = {.kind = SPL_CHARGE_LIQUID,
                                     .day = p->words->on,
                                     .titrated_on = SPL_DAY_NONE,
                                     .grams = NAN,
                                     .moisture_frac = NAN,
                                     .volume_ml_per_g = NAN,
                                     .kept_ml_per_g = {NAN, NAN, NAN, NULL, FALSE},
                                     .strength_frac = NAN,
                                     .blend = {.mass_g = grams},
                                     .words = g_strdup(wax.words),
                                     .supplier = g_strdup(wax.supplier),
                                     .number = g_strdup(wax.number)};

        ok = spl_charge_add(p->house->book, brew->row.id, &row, error);
        if (ok)
            g_array_append_val(brew->charges, row);
        else
            spl_charge_row_clear(&row);
        if (ok && wax.supplier == NULL) {
            g_autofree char *much = spl_mass_format(grams);

            spl_caution_add(p->cautions,
                            "%s: %s of wax, from whom is not known; say it as the wax: "
                            "\"beeswax, SUPPLIER, NUMBER\"",
                            brew->row.code, much);
        }
    }
    spl_menstruum_clear(&wax);
    return ok;
}

static gboolean check_yields(struct pressing *p, GError **error)
{
    for (guint i = 0; i < p->n; i++) {
        const struct spl_brew *brew = &p->brews[i];

        caution_early(p, brew);
        if (!spl_brew_can_give(brew, p->yields[i], error))
            return FALSE;
        /* Water is boiled down as one likes. */
        if (!p->grams && brew->liquid != SPL_LIQUID_WATER && !isnan(brew->sum.yield_low_ml) &&
            p->yields[i] < brew->sum.yield_low_ml * 0.8) {
            g_autofree char *came = spl_volume_format(p->yields[i]);
            g_autofree char *low = spl_volume_format(brew->sum.yield_low_ml);
            g_autofree char *high = spl_volume_format(brew->sum.yield_high_ml);

            spl_caution_add(p->cautions,
                            "%s: %s came out, %s to %s were expected; the marc still holds it, "
                            "press again or use it for another batch",
                            brew->row.code, came, low, high);
        }
    }
    return TRUE;
}

/* The liquid of a batch that `ml` of yield is. */
static struct spl_blend blend_of(const struct spl_brew *brew, double ml)
{
    struct spl_blend part;

    if (!isnan(brew->dissolve_g))
        return spl_blend_of(brew->liquid, ml, brew->sugar_frac, 0.0);
    part = spl_blend_part(brew->sum.pool, ml);
    if (part.ml > 0.0 && part.ml < ml) { /* a jug's error: as strong, a little more */
        double more = ml / part.ml;

        part = (struct spl_blend){ml,
                                  part.mass_g * more,
                                  part.ethanol_g * more,
                                  part.acid_g * more,
                                  part.glycerol_ml * more,
                                  part.sugar_g * more};
    }
    return part;
}

static char *joined_once(GPtrArray *texts, const char *between)
{
    GString *all = g_string_new(NULL);

    for (guint i = 0; i < texts->len; i++) {
        guint first = i;

        g_ptr_array_find_with_equal_func(texts, g_ptr_array_index(texts, i), g_str_equal, &first);
        if (first == i)
            g_string_append_printf(all, "%s%s", all->len > 0 ? between : "",
                                   (char *)g_ptr_array_index(texts, i));
    }
    return g_string_free(all, FALSE);
}

/* What the lots in a batch were drawn with: of a salve the oil, of an elixir the spirit. */
static gboolean name_drawn(struct pressing *p, const struct spl_brew *brew, GPtrArray *liquids,
                           GError **error)
{
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge =
            &g_array_index(brew->charges, struct spl_charge_row, i);
        struct spl_lot lot;

        if (charge->kind != SPL_CHARGE_LOT)
            continue;
        if (!spl_shelf_get(p->house, charge->source_id, &lot, error))
            return FALSE;
        if (lot.menstruum != NULL)
            g_ptr_array_add(liquids, g_strdup(lot.menstruum));
        spl_record_clear(&spl_lot_shape, &lot);
    }
    return TRUE;
}

/* Materials and menstrua of those that take part. */
static gboolean name_lot(struct pressing *p, const double *taken, struct spl_lot *lot,
                         GError **error)
{
    g_autoptr(GPtrArray) materials = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) liquids = g_ptr_array_new_with_free_func(g_free);

    for (guint i = 0; i < p->n; i++) {
        g_autofree char *list = NULL;
        g_auto(GStrv) pieces = NULL;
        char *liquid;

        if (!(taken[i] > SPL_CRUMB))
            continue;
        list = spl_brew_materials(p->house, &p->brews[i], error);
        if (list == NULL)
            return FALSE;
        pieces = g_strsplit(list, ", ", -1);
        for (guint k = 0; pieces[k] != NULL; k++)
            g_ptr_array_add(materials, g_strdup(pieces[k]));
        if (!name_drawn(p, &p->brews[i], liquids, error))
            return FALSE;
        liquid = spl_brew_menstruum(&p->brews[i]);
        if (liquid != NULL)
            g_ptr_array_add(liquids, liquid);
    }
    lot->materials = joined_once(materials, ", ");
    if (liquids->len > 0)
        lot->menstruum = joined_once(liquids, " + ");
    return TRUE;
}

/* Use by: the shortest keeping of those in it, never later than any lot that went in. */
static void date_lot(struct pressing *p, const double *taken, struct spl_lot *lot)
{
    lot->use_by = SPL_DAY_NONE;
    for (guint i = 0; i < p->n; i++) {
        const struct spl_keeping *keeping = spl_brew_keeping(p->house, &p->brews[i]);
        struct spl_day use_by;

        if (!(taken[i] > SPL_CRUMB))
            continue;
        use_by = spl_keeping_use_by(keeping != NULL && keeping->from_start ? p->brews[i].row.day
                                                                           : p->words->on,
                                    keeping != NULL ? keeping->pressed_days.value : (double)NAN,
                                    p->brews[i].earliest_use_by);
        if (spl_day_compare(use_by, lot->use_by) < 0)
            lot->use_by = use_by;
        if (lot->storage == NULL && keeping != NULL && *keeping->storage != '\0')
            lot->storage = g_strdup(keeping->storage);
        else if (lot->storage == NULL && p->brews[i].preparation != NULL)
            lot->storage = g_strdup(p->brews[i].preparation->storage);
    }
}

/* Adds a word to "a, b" unless it is there. */
static void add_word(char **list, const char *word)
{
    g_auto(GStrv) words = g_strsplit(*list != NULL ? *list : "", ", ", -1);
    char *before = *list;

    if (g_strv_contains((const char *const *)words, word))
        return;
    *list =
        before != NULL && *before != '\0' ? g_strconcat(before, ", ", word, NULL) : g_strdup(word);
    g_free(before);
}

/* Whether what it gives is for outside, and which fruit in it is raw. */
static gboolean take_use(struct pressing *p, const struct spl_brew *brew, struct spl_lot *lot,
                         GError **error)
{
    struct spl_standing standing;

    if (!spl_standing_of(p->house, brew->row.id, &standing, error))
        return FALSE;
    lot->outside |= brew->row.outside || standing.outside;
    spl_standing_clear(&standing);
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge =
            &g_array_index(brew->charges, struct spl_charge_row, i);
        const struct spl_material *row =
            charge->material != NULL
                ? spl_tables_material_by_slug(p->house->tables, charge->material)
                : NULL;
        struct spl_lot from;

        if (charge->kind == SPL_CHARGE_LOT) {
            if (!spl_shelf_get(p->house, charge->source_id, &from, error))
                return FALSE;
            if (from.raw != NULL)
                add_word(&lot->raw, from.raw);
            spl_record_clear(&spl_lot_shape, &from);
        } else if (brew->row.raw_by != NULL && row != NULL && row->must_cook &&
                   charge->state != SPL_HERB_DRIED && charge->state != SPL_HERB_HEATED) {
            add_word(&lot->raw, row->spoken);
        }
    }
    return TRUE;
}

/* Makes one lot of `taken` from each batch. */
static gboolean make_lot(struct pressing *p, const double *taken, GArray *lots, GError **error)
{
    struct spl_blend blend = {0};
    double amount = 0.0, poured = 0.0, herb = 0.0;
    g_autofree char *hold = g_strdup(p->words->hold);
    struct spl_lot lot = {.made = p->words->on,
                          .made_ml = NAN,
                          .made_g = NAN,
                          .by = g_strdup(p->words->by),
                          .remark = g_strdup(p->words->remark),
                          .preparation = g_strdup(p->brews[0].row.preparation)};
    gboolean ok;

    for (guint i = 0; i < p->n; i++) {
        const struct spl_brew *brew = &p->brews[i];
        double share = taken[i] / p->yields[i];

        if (!(taken[i] > SPL_CRUMB))
            continue;
        amount += taken[i];
        if (!p->grams)
            blend = spl_blend_mix(blend, blend_of(brew, taken[i]));
        poured += share * brew->sum.poured_ml;
        herb += share * (brew->sum.herb_g + brew->lot_herb_g);
        if (!take_use(p, brew, &lot, error)) {
            spl_record_clear(&spl_lot_shape, &lot);
            return FALSE;
        }
        if (hold == NULL && brew->row.hold != NULL)
            hold = g_strdup_printf("made against a keeping rule: %s", brew->row.hold);
    }
    lot.ratio = poured > 0.0 && herb > 0.0 ? poured / herb : (double)NAN;
    if (p->grams)
        lot.made_g = amount;
    else
        lot.made_ml = amount;
    date_lot(p, taken, &lot);
    ok = name_lot(p, taken, &lot, error) && spl_lot_add(p->house->book, &lot, &blend, hold, error);
    for (guint i = 0; ok && i < p->n; i++) {
        if (taken[i] > SPL_CRUMB)
            ok = spl_draw_add(p->house->book, lot.id, p->brews[i].row.id, p->words->on,
                              p->grams ? taken[i] : (double)NAN, p->grams ? (double)NAN : taken[i],
                              error);
    }
    if (ok) {
        struct spl_lot shown;

        ok = spl_shelf_find(p->house, lot.code, &shown, NULL, error);
        if (ok && shown.state == SPL_STATE_IS_HELD)
            spl_caution_add(p->cautions, "the lot is held: %s", shown.why);
        if (ok)
            g_array_append_val(lots, shown);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

/* What is pressed together is all held or all free. */
static gboolean check_joining(const struct pressing *p, GError **error)
{
    struct spl_joining joining = {0};
    gboolean ok = TRUE;

    for (guint i = 0; ok && p->n > 1 && i < p->n; i++)
        ok = spl_joining_take(p->house, &joining, p->brews[i].row.id, p->brews[i].row.code, FALSE,
                              NULL, error);
    spl_joining_clear(&joining);
    return ok;
}

/* The mixture by parts first, then what is over of each. */
static gboolean make_lots(struct pressing *p, GArray *lots, GError **error)
{
    g_autofree double *taken = g_new0(double, p->n);
    g_autofree double *rest = g_new0(double, p->n);
    g_autofree double *parts = g_new0(double, p->n);

    for (guint i = 0; i < p->n; i++)
        parts[i] = jar_at(p->words, i)->part;
    if (!p->parted || p->n == 1 || is_said(p->words->together))
        memcpy(taken, p->yields, p->n * sizeof *taken);
    else if (!spl_parts_share(p->yields, parts, p->n, taken, error))
        return FALSE;
    if (!make_lot(p, taken, lots, error))
        return FALSE;
    for (guint i = 0; i < p->n; i++) {
        rest[i] = p->yields[i] - taken[i];
        if (rest[i] > SPL_CRUMB) {
            g_autofree double *one = g_new0(double, p->n);

            one[i] = rest[i];
            if (!make_lot(p, one, lots, error))
                return FALSE;
        }
    }
    return TRUE;
}

/* What was bottled at once: the first lot, inside the same transaction. */
static gboolean bottle_first(struct pressing *p, GArray *lots, GError **error)
{
    struct spl_lot *lot = &g_array_index(lots, struct spl_lot, 0), bottled;
    const struct spl_lot_bottle_words words = {.code = lot->code,
                                               .bottles = p->words->bottles,
                                               .place = p->words->place,
                                               .by = p->words->by};
    GPtrArray *told = NULL;

    if (words.bottles == NULL && words.place == NULL)
        return TRUE;
    if (!spl_lot_bottle(p->house, &words, &bottled, &told, error))
        return FALSE;
    spl_record_clear(&spl_lot_shape, lot);
    *lot = bottled;
    g_ptr_array_extend_and_steal(p->cautions, told);
    return TRUE;
}

static GArray *press(struct spl_house *house, const struct spl_press_words *words,
                     GPtrArray **cautions, GError **error)
{
    guint n = words->jars->len;
    struct pressing p = {
        .house = house,
        .words = words,
        .grams = !isnan(words->together.g) || !isnan(jar_at(words, 0)->yield.g),
        .parted = !isnan(jar_at(words, 0)->part),
    };
    GArray *lots;
    gboolean ok;

    if (!spl_book_begin(house->book, error))
        return NULL;
    p.brews = g_new0(struct spl_brew, n);
    p.yields = g_new0(double, n);
    p.cautions = g_ptr_array_new_with_free_func(g_free);
    lots = spl_list_new(&spl_lot_shape);
    ok = load_all(&p, error);
    if (ok) {
        share_yield(&p);
        ok = check_joining(&p, error) && check_yields(&p, error) && put_wax(&p, error) &&
             make_lots(&p, lots, error) && bottle_first(&p, lots, error);
    }
    ok = spl_book_finish(house->book, ok, error);
    for (guint i = 0; i < n; i++)
        spl_brew_clear(&p.brews[i]);
    g_free(p.brews);
    g_free(p.yields);
    if (!ok) {
        g_ptr_array_unref(p.cautions);
        spl_list_free(&spl_lot_shape, lots);
        return NULL;
    }
    *cautions = p.cautions;
    return lots;
}

GArray *spl_batch_press(struct spl_house *house, const struct spl_press_words *said,
                        GPtrArray **cautions, GError **error)
{
    struct spl_press_words words;
    GArray *lots;

    if (!spl_entry_take(house, &spl_press_inputs, said, &words, error))
        return NULL;
    lots = press(house, &words, cautions, error);
    spl_inputs_clear(&spl_press_inputs, &words);
    return lots;
}
