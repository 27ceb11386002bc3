/* SPDX-License-Identifier: MIT
 *
 * A batch loaded and reckoned: what every use case of batches begins with. See
 * season/batch_private.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/batch_move.h"
#include "book/discard.h"
#include "book/draw.h"
#include "book/lot.h"
#include "core/alcohol.h"
#include "core/pool.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "season/state.h"
#include "simpling/error.h"
void spl_brew_clear(struct spl_brew *brew)
{
    spl_batch_row_clear(&brew->row);
    g_clear_pointer(&brew->charges, g_array_unref);
    g_clear_pointer(&brew->done, g_array_unref);
    g_clear_pointer(&brew->moves, g_array_unref);
    memset(brew, 0, sizeof *brew);
}

static const struct spl_charge_row *charge_at(const struct spl_brew *brew, guint i)
{
    return &g_array_index(brew->charges, struct spl_charge_row, i);
}

/* The one material of all herb in it; NULL when there are several, none, or none is known. */
static const struct spl_material *single_material(const struct spl_tables *tables,
                                                  const struct spl_brew *brew)
{
    const char *slug = NULL;

    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);

        if (charge->material == NULL)
            continue;
        if (slug != NULL && strcmp(slug, charge->material) != 0)
            return NULL;
        slug = charge->material;
    }
    return slug != NULL ? spl_tables_material_by_slug(tables, slug) : NULL;
}

/* Whether the days of a lot bound those of what it went into: not those of a tea or a decoction
 * whose water alcohol or sugar keeps from then on. */
static gboolean bounds(const struct spl_house *house, const struct spl_brew *brew,
                       const struct spl_lot *lot)
{
    const struct spl_preparation *row =
        spl_tables_preparation_by_slug(house->tables, lot->preparation);

    return row == NULL || row->liquid != SPL_LIQUID_WATER || brew->preparation == NULL ||
           !(brew->sum.final_frac >= brew->preparation->final_floor_frac.value);
}

/* The earliest use-by among the lots in it, and of how much herb they were made. */
static gboolean find_use_by(struct spl_house *house, struct spl_brew *brew, GError **error)
{
    brew->earliest_use_by = SPL_DAY_NONE;
    brew->lot_herb_g = 0.0;
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        struct spl_lot lot;

        if (charge->kind != SPL_CHARGE_LOT)
            continue;
        if (!spl_shelf_get(house, charge->source_id, &lot, error))
            return FALSE;
        if (bounds(house, brew, &lot) && spl_day_compare(lot.use_by, brew->earliest_use_by) < 0)
            brew->earliest_use_by = lot.use_by;
        if (lot.ratio > 0.0)
            brew->lot_herb_g += charge->blend.ml / lot.ratio;
        spl_record_clear(&spl_lot_shape, &lot);
    }
    return TRUE;
}

/* The sugar or wax that so much strained liquid takes up, and its room. */
static double dissolved_g(const struct spl_brew *brew, double ml)
{
    return brew->liquid == SPL_LIQUID_SALVE
               ? spl_salve_wax_g(ml * SPL_OIL_G_PER_ML, brew->sugar_frac)
               : spl_syrup_sugar_g(ml * SPL_WATER_G_PER_ML, brew->sugar_frac);
}

static double dissolved_ml(const struct spl_brew *brew, double grams)
{
    return brew->liquid == SPL_LIQUID_SALVE ? spl_salve_wax_ml(grams) : spl_syrup_sugar_ml(grams);
}

gboolean spl_brew_reckon(struct spl_house *house, struct spl_brew *brew, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autoptr(GArray) herbs = g_array_new(FALSE, FALSE, sizeof(struct spl_charge_herb));
    g_autoptr(GArray) liquids = g_array_new(FALSE, FALSE, sizeof(struct spl_charge_liquid));
    gboolean any_herb = FALSE, any_fresh = FALSE;

    if (tables == NULL)
        return FALSE;
    brew->preparation = spl_tables_preparation_by_slug(tables, brew->row.preparation);
    brew->liquid = brew->preparation != NULL ? brew->preparation->liquid : SPL_LIQUID_SPIRIT;
    brew->material = single_material(tables, brew);
    brew->first_on = brew->last_on = brew->row.day;
    brew->sugar_frac = NAN;
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);

        if (spl_day_compare(charge->day, brew->last_on) > 0)
            brew->last_on = charge->day;
        if (charge->kind == SPL_CHARGE_HERB || charge->kind == SPL_CHARGE_MARC) {
            gboolean fresh = charge->state != SPL_HERB_UNSAID && charge->state != SPL_HERB_DRIED;
            struct spl_charge_herb herb = {.grams = charge->grams,
                                           .moisture_frac = charge->moisture_frac,
                                           .volume_ml_per_g = charge->volume_ml_per_g,
                                           .kept_ml_per_g = charge->kept_ml_per_g,
                                           .fresh = fresh,
                                           .on = charge->day};

            if (charge->kind == SPL_CHARGE_MARC) {
                herb.soaked = charge->blend;
                herb.moisture_frac = 0.0;
            }
            any_herb = TRUE;
            any_fresh |= fresh;
            g_array_append_val(herbs, herb);
        } else {
            struct spl_charge_liquid liquid = {charge->blend, charge->day};

            if ((brew->liquid == SPL_LIQUID_SYRUP || brew->liquid == SPL_LIQUID_SALVE) &&
                isnan(brew->sugar_frac))
                brew->sugar_frac = charge->strength_frac;
            g_array_append_val(liquids, liquid);
        }
    }
    brew->dried = any_herb && !any_fresh;
    spl_charge_sum(brew->liquid, (struct spl_charge_herb *)(void *)herbs->data, herbs->len,
                   (struct spl_charge_liquid *)(void *)liquids->data, liquids->len, &brew->sum);
    if (brew->row.discarded_ml > 0.0)
        brew->sum.pool =
            spl_blend_less(brew->sum.pool, spl_blend_part(brew->sum.pool, brew->row.discarded_ml));
    brew->dissolve_g = NAN;
    if ((brew->liquid == SPL_LIQUID_SYRUP || brew->liquid == SPL_LIQUID_SALVE) &&
        !isnan(brew->sugar_frac)) {
        double *yields[] = {&brew->sum.yield_ml, &brew->sum.yield_low_ml, &brew->sum.yield_high_ml};

        brew->dissolve_g = dissolved_g(brew, brew->sum.yield_ml);
        for (guint i = 0; i < G_N_ELEMENTS(yields); i++)
            *yields[i] += dissolved_ml(brew, dissolved_g(brew, *yields[i]));
        brew->sum.final_frac = brew->sum.poured_frac = brew->sugar_frac;
        if (brew->liquid == SPL_LIQUID_SYRUP)
            brew->sum.sugar_frac = brew->sugar_frac;
    }
    return find_use_by(house, brew, error);
}

gboolean spl_brew_load_row(struct spl_house *house, struct spl_batch_row *row,
                           struct spl_brew *brew, GError **error)
{
    struct spl_brew made = {.row = *row};

    memset(row, 0, sizeof *row);
    if ((made.charges = spl_charge_list(house->book, made.row.id, error)) == NULL ||
        (made.done = spl_batch_step_list(house->book, made.row.id, error)) == NULL ||
        (made.moves = spl_batch_move_list(house->book, made.row.uuid, error)) == NULL ||
        !spl_brew_reckon(house, &made, error)) {
        spl_brew_clear(&made);
        return FALSE;
    }
    *brew = made;
    return TRUE;
}

gboolean spl_brew_load(struct spl_house *house, const char *code, struct spl_brew *brew,
                       GError **error)
{
    struct spl_batch_row row;

    return spl_batch_find(house->book, code, &row, error) &&
           spl_brew_load_row(house, &row, brew, error);
}

enum spl_batch_state spl_brew_state(const struct spl_brew *brew)
{
    if (brew->row.struck != NULL)
        return SPL_BATCH_STRUCK;
    if (spl_day_is_set(brew->row.pressed))
        return SPL_BATCH_PRESSED;
    if ((brew->row.discarded_ml > 0.0 && brew->sum.pool.ml < SPL_CRUMB) ||
        (brew->row.discarded_g > 0.0 && brew->row.discarded_g + SPL_CRUMB >= brew->sum.herb_g))
        return SPL_BATCH_DISCARDED;
    return SPL_BATCH_STANDS;
}

/* What can have been in the jar at most. */
static double most_of(const struct spl_brew *brew)
{
    double ml = brew->sum.pool.ml;

    if (brew->liquid == SPL_LIQUID_NONE)
        return brew->sum.herb_g - brew->row.marc_drawn_g - brew->row.discarded_g;
    if (!isnan(brew->dissolve_g))
        ml += dissolved_ml(brew, dissolved_g(brew, ml));
    return ml;
}

gboolean spl_brew_can_give(const struct spl_brew *brew, double yield, GError **error)
{
    const char *unit = brew->liquid == SPL_LIQUID_NONE ? "g" : "mL";
    double most = most_of(brew);
    g_autofree char *came = NULL, *was = NULL;

    if (yield <= most * SPL_MEASURED_MORE + SPL_CRUMB)
        return TRUE;
    came = spl_amount_format(yield, unit);
    was = spl_amount_format(most, unit);
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: %s came out, but no more than %s were in it; measure again, or add to the "
                "batch what was poured on since",
                brew->row.code, came, was);
    return FALSE;
}

gboolean spl_brew_stands(const struct spl_brew *brew, const char *doing, GError **error)
{
    enum spl_batch_state state = spl_brew_state(brew);
    char text[SPL_DAY_TEXT_SIZE];

    if (state == SPL_BATCH_STANDS)
        return TRUE;
    if (state == SPL_BATCH_PRESSED)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: was pressed on %s; it cannot be %s (its marc can start a batch)",
                    brew->row.code, spl_day_format(brew->row.pressed, text), doing);
    else
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s; it cannot be %s",
                    brew->row.code, spl_batch_state_names[state], doing);
    return FALSE;
}

/* Adds each of the comma-joined words of `list` that is not there yet. */
static void add_words(GPtrArray *words, const char *list)
{
    g_auto(GStrv) pieces = g_strsplit(list, ", ", -1);

    for (guint i = 0; pieces[i] != NULL; i++) {
        if (*pieces[i] != '\0' &&
            !g_ptr_array_find_with_equal_func(words, pieces[i], g_str_equal, NULL))
            g_ptr_array_add(words, g_strdup(pieces[i]));
    }
}

static char *joined(GPtrArray *words, const char *between)
{
    g_ptr_array_add(words, NULL);
    return g_strjoinv(between, (char **)words->pdata);
}

char *spl_brew_materials(struct spl_house *house, const struct spl_brew *brew, GError **error)
{
    g_autoptr(GPtrArray) words = g_ptr_array_new_with_free_func(g_free);

    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        struct spl_lot lot;

        if (charge->material != NULL)
            add_words(words, charge->material);
        if (charge->kind != SPL_CHARGE_LOT)
            continue;
        if (!spl_shelf_get(house, charge->source_id, &lot, error))
            return NULL;
        add_words(words, lot.materials);
        spl_record_clear(&spl_lot_shape, &lot);
    }
    return joined(words, ", ");
}

/* Water that thins what was mixed of lots: it draws nothing, and is no menstruum. */
static gboolean thins(const struct spl_brew *brew, const struct spl_charge_row *charge)
{
    gboolean mixed = FALSE;

    for (guint i = 0; i < brew->charges->len; i++)
        mixed = mixed || charge_at(brew, i)->kind == SPL_CHARGE_LOT;
    return mixed && brew->liquid == SPL_LIQUID_SPIRIT && !(charge->blend.ethanol_g > 0.0) &&
           !(charge->blend.sugar_g > 0.0);
}

char *spl_brew_menstruum(const struct spl_brew *brew)
{
    g_autoptr(GPtrArray) words = g_ptr_array_new_with_free_func(g_free);

    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        g_autofree char *text = NULL;

        if (charge->kind != SPL_CHARGE_LIQUID || charge->words == NULL || thins(brew, charge))
            continue;
        text = g_strjoin("; ", charge->words, charge->supplier, NULL);
        if (charge->supplier != NULL && charge->number != NULL) {
            char *longer = g_strjoin(" ", text, charge->number, NULL);

            g_free(text);
            text = longer;
        }
        if (!g_ptr_array_find_with_equal_func(words, text, g_str_equal, NULL))
            g_ptr_array_add(words, g_steal_pointer(&text));
    }
    return words->len > 0 ? joined(words, " + ") : NULL;
}

const struct spl_keeping *spl_brew_keeping(struct spl_house *house, const struct spl_brew *brew)
{
    const struct spl_keeping *least = NULL;

    if (brew->preparation == NULL)
        return NULL;
    /* Of several herbs the one that keeps least. */
    for (guint i = 0; brew->material == NULL && i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        const struct spl_material *row =
            charge->material != NULL ? spl_tables_material_by_slug(house->tables, charge->material)
                                     : NULL;
        const struct spl_keeping *keeping =
            row != NULL ? spl_tables_keeping_material(house->tables, brew->row.keeping,
                                                      brew->preparation, row, brew->dried)
                        : NULL;

        if (keeping != NULL &&
            (least == NULL || keeping->pressed_days.value < least->pressed_days.value))
            least = keeping;
    }
    if (least != NULL)
        return least;
    return spl_tables_keeping_material(house->tables, brew->row.keeping, brew->preparation,
                                       brew->material, brew->dried);
}

/* A step that is done once and still open is due when the person set it to be, or no more. */
static void move_steps(const struct spl_brew *brew, GArray *schedule)
{
    for (guint i = 0; brew->moves != NULL && i < brew->moves->len; i++) {
        const struct spl_batch_move *move = &g_array_index(brew->moves, struct spl_batch_move, i);

        for (guint j = 0; j < schedule->len; j++) {
            struct spl_step_due *step = &g_array_index(schedule, struct spl_step_due, j);

            if (step->step != move->step || !step->open)
                continue;
            if (!spl_day_is_set(move->due))
                step->open = !spl_day_is_set(spl_brew_dropped(brew, step->step, step->done));
            else if (step->repeat_days == 0 || move->due.n > step->due.n)
                step->due = move->due;
            /* What is to be done sooner than usual is not early then. */
            if (spl_day_is_set(move->due) && move->due.n < step->earliest.n)
                step->earliest = move->due;
        }
    }
}

struct spl_day spl_brew_dropped(const struct spl_brew *brew, int step, struct spl_day done)
{
    for (guint i = 0; brew->moves != NULL && i < brew->moves->len; i++) {
        const struct spl_batch_move *move = &g_array_index(brew->moves, struct spl_batch_move, i);

        if (move->step == step && !spl_day_is_set(move->due) &&
            (!spl_day_is_set(done) || done.n <= move->on.n))
            return move->on;
    }
    return SPL_DAY_NONE;
}

GArray *spl_brew_schedule(struct spl_house *house, const struct spl_brew *brew,
                          struct spl_day *use_by)
{
    const struct spl_keeping *keeping = spl_brew_keeping(house, brew);
    g_autoptr(GPtrArray) rules =
        brew->preparation != NULL
            ? spl_tables_steps(house->tables, brew->preparation, brew->material, brew->dried)
            : g_ptr_array_new();
    struct spl_steps_ask ask = {.started = brew->row.day,
                                .last_herb = brew->sum.last_herb_on,
                                .pressed = brew->row.pressed,
                                .use_by = SPL_DAY_NONE};
    GArray *schedule;

    if (!spl_day_is_set(brew->row.pressed))
        ask.use_by = spl_keeping_use_by(
            brew->row.day, keeping != NULL ? keeping->unpressed_days.value : (double)NAN,
            brew->earliest_use_by);
    if (use_by != NULL)
        *use_by = ask.use_by;
    schedule = spl_steps_schedule(rules, &ask, brew->done);
    move_steps(brew, schedule);
    return schedule;
}

static void fill_from(const struct spl_brew *brew, struct spl_batch *batch)
{
    batch->from = spl_list_new(&spl_batch_part_shape);
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge = charge_at(brew, i);
        gboolean by_weight = charge->kind == SPL_CHARGE_LIQUID && !(charge->blend.ml > 0.0);
        struct spl_batch_part part = {
            .kind = charge->kind,
            .code = g_strdup(charge->code),
            .material = g_strdup(charge->material),
            .state = charge->state,
            .grams = by_weight ? charge->blend.mass_g : charge->grams,
            .ml = charge->kind == SPL_CHARGE_HERB || by_weight ? (double)NAN : charge->blend.ml,
            .strength_pct = charge->strength_frac * 100.0,
            .words = g_strdup(charge->words),
            .supplier = g_strdup(charge->supplier),
            .number = g_strdup(charge->number),
            .date = charge->day,
        };

        g_array_append_val(batch->from, part);
    }
}

/* What a decoction lost over the fire: all water that went in, less what the herb keeps and what
 * came out. NAN: nothing is simmered, or it is not strained yet. */
static double boiled_ml(const struct spl_brew *brew)
{
    if (brew->liquid != SPL_LIQUID_WATER || brew->preparation == NULL ||
        !brew->preparation->cooks || !spl_day_is_set(brew->row.pressed))
        return NAN;
    return MAX(0.0, brew->sum.yield_ml - brew->row.pressed_ml);
}

static void fill_steps(struct spl_house *house, const struct spl_brew *brew,
                       struct spl_batch *batch)
{
    g_autoptr(GArray) schedule = spl_brew_schedule(house, brew, &batch->use_by);
    gboolean stands = spl_brew_state(brew) == SPL_BATCH_STANDS;
    gboolean pressed = spl_brew_state(brew) == SPL_BATCH_PRESSED;

    batch->steps = spl_list_new(&spl_batch_step_shape);
    for (guint i = 0; i < schedule->len; i++) {
        struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);

        /* What was bottled bears a day of its own. */
        if (pressed && due->step == SPL_STEP_USE_BY && !spl_day_is_set(due->done))
            continue;
        struct spl_batch_step step = {
            .step = g_steal_pointer(&due->name),
            .due = due->due,
            .done = due->done,
            .dropped = due->open ? SPL_DAY_NONE : spl_brew_dropped(brew, due->step, due->done),
            .earliest = due->earliest,
            .latest = due->latest,
            .repeat_days = due->repeat_days,
            .last = due->last,
            .open = due->open && (stands || (pressed && due->step == SPL_STEP_DECANT)),
            .alarm = due->alarm,
            .words = g_steal_pointer(&due->words),
        };

        g_array_append_val(batch->steps, step);
    }
}

gboolean spl_brew_tell(struct spl_house *house, struct spl_brew *brew, struct spl_batch *batch,
                       GError **error)
{
    const struct spl_charge *sum = &brew->sum;
    gboolean spirit = brew->liquid == SPL_LIQUID_SPIRIT;
    struct spl_batch told = {
        .id = brew->row.id,
        .uuid = g_strdup(brew->row.uuid),
        .code = g_strdup(brew->row.code),
        .preparation = g_strdup(brew->row.preparation),
        .started = brew->row.day,
        .state = spl_brew_state(brew),
        .jar_ml = brew->row.jar_ml,
        .jars = brew->row.jars,
        .ratio = sum->ratio,
        .herb_g = sum->herb_g,
        .menstruum_ml = sum->poured_ml,
        .menstruum_abv = spirit ? sum->poured_frac * 100.0 : (double)NAN,
        .menstruum_strength =
            brew->liquid == SPL_LIQUID_SALVE ? (double)NAN : sum->poured_frac * 100.0,
        .menstruum = spl_brew_menstruum(brew),
        .final_abv = sum->pool.ethanol_g > 0.0 ? spl_blend_abv(&sum->pool) * 100.0 : (double)NAN,
        .final_acid = sum->acid_frac * 100.0,
        .final_glycerol = sum->pool.glycerol_ml > 0.0 ? sum->pool.glycerol_ml / sum->pool.ml * 100.0
                                                      : (double)NAN,
        .final_sugar = sum->sugar_frac * 100.0,
        .sugar_g = brew->liquid == SPL_LIQUID_SYRUP ? brew->dissolve_g : (double)NAN,
        .wax_g = brew->liquid == SPL_LIQUID_SALVE ? brew->dissolve_g : (double)NAN,
        .pool_ml = sum->pool.ml,
        .yield_ml = sum->yield_ml,
        .yield_low_ml = sum->yield_low_ml,
        .yield_high_ml = sum->yield_high_ml,
        .pressed_ml = spl_day_is_set(brew->row.pressed) ? brew->row.pressed_ml : (double)NAN,
        .boiled_ml = boiled_ml(brew),
        .marc_g =
            brew->row.herb_g - brew->row.marc_drawn_g - brew->row.discarded_g - brew->row.pressed_g,
        .pressed = brew->row.pressed,
        .hold = g_strdup(brew->row.hold),
        .outside = brew->row.outside,
        .raw_by = g_strdup(brew->row.raw_by),
        .by = g_strdup(brew->row.by),
        .remark = g_strdup(brew->row.remark),
        .struck = g_strdup(brew->row.struck),
    };

    fill_steps(house, brew, &told);
    told.materials = spl_brew_materials(house, brew, error);
    if (told.materials == NULL) {
        spl_record_clear(&spl_batch_shape, &told);
        return FALSE;
    }
    *batch = told;
    return TRUE;
}

/* Adds how it stands, which is spent, and what was drawn from it, and hands the record over. */
static gboolean tell_standing(struct spl_house *house, const struct spl_brew *brew,
                              struct spl_standing *standing, struct spl_batch *told,
                              struct spl_batch *batch, GError **error)
{
    fill_from(brew, told);
    told->held = g_steal_pointer(&standing->why);
    told->outside |= standing->outside;
    told->because = g_steal_pointer(&standing->because);
    spl_standing_clear(standing);
    if ((told->lots = spl_draw_takers(house->book, brew->row.id, error)) == NULL ||
        (told->thrown = spl_thrown_list(house->book, brew->row.id, error)) == NULL) {
        spl_record_clear(&spl_batch_shape, told);
        return FALSE;
    }
    /* What took its marc is a batch: only bottles are lots. */
    for (guint i = told->lots->len; i > 0; i--) {
        const char *code = g_ptr_array_index(told->lots, i - 1);
        const char *colon = strrchr(code, ':');

        if (*(colon != NULL ? colon + 1 : code) != 'L')
            g_ptr_array_remove_index(told->lots, i - 1);
    }
    *batch = *told;
    return TRUE;
}

gboolean spl_brew_record(struct spl_house *house, struct spl_brew *brew, struct spl_batch *batch,
                         GError **error)
{
    struct spl_standing standing;
    struct spl_batch told;

    if (!spl_brew_tell(house, brew, &told, error))
        return FALSE;
    if (!spl_standing_of(house, brew->row.id, &standing, error)) {
        spl_record_clear(&spl_batch_shape, &told);
        return FALSE;
    }
    return tell_standing(house, brew, &standing, &told, batch, error);
}

gboolean spl_brew_record_in(struct spl_house *house, const struct spl_standings *standings,
                            struct spl_brew *brew, struct spl_batch *batch, GError **error)
{
    struct spl_standing standing;
    struct spl_batch told;

    if (!spl_brew_tell(house, brew, &told, error))
        return FALSE;
    spl_standings_get(standings, brew->row.id, &standing);
    return tell_standing(house, brew, &standing, &told, batch, error);
}
