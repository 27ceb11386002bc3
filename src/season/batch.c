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
#include "season/charging.h"
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
static gboolean fill(struct spl_charging *f, GError **error)
{
    return spl_charging_sources(f, error) && spl_charging_liquid(f, error) &&
           check_fit(f, 1.0, error) &&
           spl_brew_judge(f->house, f->brew, f->days_since_picked, NULL, f->brew->row.hold,
                          f->cautions, error);
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

gboolean spl_batch_begin(struct spl_house *house, const struct spl_batch_words *words,
                         struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    struct spl_brew brew = {0};
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
        ok = spl_batch_add(house->book, &brew.row, error);
        if (ok) {
            brew.liquid = brew.preparation->liquid;
            ok = fill(&f, error);
            brew.row.herb_g = brew.sum.herb_g;
        }
        if (ok) {
            caution_ratio(&f);
            caution_materials(&f);
            ok = spl_brew_record(house, &brew, batch, error);
        }
        ok = finish_with(house, ok, batch, error);
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
    struct spl_charging f = {
        .house = house, .words = words, .brew = &brew, .days_since_picked = -1};
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
         take_press(house, words->press, &f.press, error) && spl_charging_sources(&f, error);
    if (ok && (!isnan(words->liquid_ml) || !isnan(words->honey_ml))) {
        ok = spl_charging_menstruum(&f, &m, error);
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
         spl_brew_judge(house, &brew, f.days_since_picked, NULL,
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
    if (which == SPL_STEP_STRAIN || which == SPL_STEP_USE_BY) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "batch step: '%s' is no step to note; straining is 'batch press %s --yield …'",
                    spl_step_name(which), code);
        return FALSE;
    }
    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_brew_load(house, code, &brew, error))
        return spl_book_finish(house->book, FALSE, error);
    /* What settles is poured off when it was pressed, and before. */
    ok = ((which == SPL_STEP_DECANT && g_str_equal(spl_brew_state(&brew), "pressed")) ||
          spl_brew_stands(&brew, "stepped", error)) &&
         check_day(house, &brew, on, error) &&
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
    ok = finish_with(house, ok, batch, error);
    if (ok && *cautions == NULL)
        *cautions = g_ptr_array_new_with_free_func(g_free);
    else if (!ok)
        g_clear_pointer(cautions, g_ptr_array_unref);
    return ok;
}
