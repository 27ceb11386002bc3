/* SPDX-License-Identifier: MIT
 *
 * How far the season's plan is: what each planned batch needs, less what was bottled, stands, was
 * gathered or lies dried. Nothing of this is stored: it follows from the log, the batches, the
 * shelf. See season/plan_private.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "season/plan_private.h"
#include "season/state.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/harvest.h"
#include "simpling/purchase.h"

#define HARDLY 0.5 /* mL or g */

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_plan_line, name, SPL_TEXT, "name", "planned"),
    SPL_FIELD(spl_plan_line, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_plan_line, materials, SPL_TEXTS, "materials", "of"),
    SPL_FIELD(spl_plan_line, making, SPL_TEXT, "making", "made"),
    SPL_FIELD_NUM(spl_plan_line, yield_ml, 0, "yield_ml", "mL"),
    SPL_FIELD_NUM(spl_plan_line, yield_g, 0, "yield_g", "g"),
    SPL_FIELD(spl_plan_line, by, SPL_DAY, "by", "by"),
    SPL_FIELD(spl_plan_line, gather_by, SPL_DAY, "gather_by", "gather by"),
    SPL_FIELD_NUM(spl_plan_line, need_g, 0, "need_g", "fresh g"),
    SPL_FIELD_NUM(spl_plan_line, gathered_g, 0, "gathered_g", NULL),
    SPL_FIELD_NUM(spl_plan_line, standing_ml, 0, "standing_ml", NULL),
    SPL_FIELD_NUM(spl_plan_line, standing_g, 0, "standing_g", NULL),
    SPL_FIELD_NUM(spl_plan_line, bottled_ml, 0, "bottled_ml", NULL),
    SPL_FIELD_NUM(spl_plan_line, bottled_g, 0, "bottled_g", NULL),
    SPL_FIELD_NUM(spl_plan_line, to_come_g, 0, "to_come_g", "to pick g"),
    SPL_FIELD(spl_plan_line, state, SPL_TEXT, "state", "how far"),
    SPL_FIELD(spl_plan_line, held, SPL_BOOL, "held", NULL),
    SPL_FIELD(spl_plan_line, harvests, SPL_TEXTS, "harvests", NULL),
    SPL_FIELD(spl_plan_line, batches, SPL_TEXTS, "batches", NULL),
    SPL_FIELD(spl_plan_line, lots, SPL_TEXTS, "lots", NULL),
};
const struct spl_shape spl_plan_line_shape = SPL_SHAPE("planned", spl_plan_line, line_fields);

/* ---- what there is ------------------------------------------------------------------------- */

/* A lot, a standing batch, a harvest, a drying, a purchase. */
struct supply {
    char kind; /* 'L' 'B' 'H' 'S' (stock: dried or bought) */
    char *code;
    char *preparation; /* of L and B */
    char *materials;   /* slugs joined with ", " */
    double left;       /* mL, or g */
    gboolean dry, held;
    struct spl_day use_by;
};

static void clear_supply(gpointer data)
{
    struct supply *supply = data;

    g_free(supply->code);
    g_free(supply->preparation);
    g_free(supply->materials);
}

struct gather {
    struct spl_house *house;
    const struct spl_tables *tables;
    const struct spl_plan_state *state;
    GArray *supplies;
    struct spl_standings *standings;
};

static gboolean is_held(const struct gather *g, gint64 id)
{
    struct spl_standing standing;
    gboolean held;

    spl_standings_get(g->standings, id, &standing);
    held = standing.held;
    spl_standing_clear(&standing);
    return held;
}

static gboolean add_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gather *g = data;
    struct supply supply = {.kind = 'L', .use_by = lot->use_by};
    gboolean own_season = spl_day_season(lot->made, g->state->lat) == g->state->season;
    gboolean weighed = isnan(lot->made_ml);

    (void)error;
    /* What this season made counts whole, though some went out since; of older lots what is left.
     * Held ones are made and wait; withdrawn, destroyed and stale ones are no use. */
    if (lot->struck != NULL ||
        (lot->state != SPL_STATE_ON_SHELF && lot->state != SPL_STATE_IS_HELD &&
         !(own_season && lot->state == SPL_STATE_USED_UP)))
        return TRUE;
    supply.left = own_season ? (weighed ? lot->made_g : lot->made_ml)
                             : (weighed ? lot->left_g : lot->left_ml);
    if (!(supply.left > HARDLY))
        return TRUE;
    supply.held = lot->state == SPL_STATE_IS_HELD;
    supply.code = g_strdup(lot->code);
    supply.preparation = g_strdup(lot->preparation);
    supply.materials = g_strdup(lot->materials);
    g_array_append_val(g->supplies, supply);
    return TRUE;
}

static gboolean add_batch(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gather *g = data;
    struct supply supply = {.kind = 'B', .use_by = SPL_DAY_NONE};

    (void)error;
    if (batch->state != SPL_BATCH_STANDS)
        return TRUE;
    supply.left = batch->yield_ml > 0 ? batch->yield_ml : batch->herb_g;
    if (!(supply.left > HARDLY))
        return TRUE;
    supply.held = batch->held != NULL;
    supply.code = g_strdup(batch->code);
    supply.preparation = g_strdup(batch->preparation);
    supply.materials = g_strdup(batch->materials);
    g_array_append_val(g->supplies, supply);
    return TRUE;
}

/* Cleaned grams back to grams as picked. */
static double as_picked(const struct spl_material *material, double cleaned_g)
{
    return spl_figure_is_set(material->trim_frac) && material->trim_frac.value < 1
               ? cleaned_g / (1 - material->trim_frac.value)
               : cleaned_g;
}

static gboolean add_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    struct gather *g = data;
    const struct spl_material *material = spl_tables_material_by_slug(g->tables, harvest->material);
    struct supply supply = {.kind = 'H', .use_by = SPL_DAY_NONE};

    (void)error;
    if (material == NULL || harvest->struck != NULL || is_held(g, harvest->id) ||
        spl_day_season(harvest->date, g->state->lat) != g->state->season ||
        !(harvest->left_g > HARDLY))
        return TRUE;
    supply.left =
        isnan(harvest->garbled_g) ? harvest->left_g : as_picked(material, harvest->left_g);
    supply.code = g_strdup(harvest->code);
    supply.materials = g_strdup(harvest->material);
    g_array_append_val(g->supplies, supply);
    return TRUE;
}

static double fresh_per_dry(const struct spl_material *material)
{
    return spl_figure_is_set(material->fresh_per_dry) ? material->fresh_per_dry.value : NAN;
}

static gboolean add_drying(const struct spl_drying *drying, gpointer data, GError **error)
{
    struct gather *g = data;
    const struct spl_material *material = spl_tables_material_by_slug(g->tables, drying->material);
    struct supply supply = {.kind = 'S', .use_by = SPL_DAY_NONE, .dry = TRUE};
    double ratio;

    (void)error;
    if (material == NULL || drying->struck != NULL || !(drying->left_g > 0))
        return TRUE;
    ratio = isfinite(drying->fresh_per_dry) ? drying->fresh_per_dry : fresh_per_dry(material);
    /* On the rack it was last weighed fresh or wilted: what went up is what counts. */
    supply.left = !spl_day_is_set(drying->finished) ? drying->fresh_g
                  : isfinite(ratio)                 ? as_picked(material, drying->left_g * ratio)
                                                    : 0;
    if (!(supply.left > HARDLY))
        return TRUE;
    supply.code = g_strdup(drying->code);
    supply.materials = g_strdup(drying->material);
    g_array_append_val(g->supplies, supply);
    return TRUE;
}

static gboolean add_purchase(const struct spl_purchase *purchase, gpointer data, GError **error)
{
    struct gather *g = data;
    const struct spl_material *material =
        spl_tables_material_by_slug(g->tables, purchase->material);
    struct supply supply = {.kind = 'S', .use_by = SPL_DAY_NONE};

    (void)error;
    if (material == NULL || purchase->struck != NULL || !(purchase->left_g > HARDLY))
        return TRUE;
    supply.dry = purchase->state == SPL_HERB_DRIED;
    supply.left = supply.dry ? as_picked(material, purchase->left_g * fresh_per_dry(material))
                             : as_picked(material, purchase->left_g);
    if (!(supply.left > HARDLY))
        return TRUE;
    supply.code = g_strdup(purchase->code);
    supply.materials = g_strdup(purchase->material);
    g_array_append_val(g->supplies, supply);
    return TRUE;
}

/* Of this season, of what is wanted: the rest of the log is not read. */
static gboolean add_harvests(struct gather *g, GError **error)
{
    g_autoptr(GPtrArray) done = g_ptr_array_new();

    for (guint w = 0; w < g->state->wants->len; w++) {
        const char *material =
            g_array_index(g->state->wants, struct spl_plan_want, w).material->slug;
        const struct spl_harvest_filter filter = {
            .material = material, .from = g->state->first, .to = g->state->last};

        if (g_ptr_array_find_with_equal_func(done, material, g_str_equal, NULL))
            continue;
        g_ptr_array_add(done, (gpointer)material);
        if (!spl_harvest_each(g->house->book, &filter, add_harvest, g, error))
            return FALSE;
    }
    return TRUE;
}

static GArray *supplies_of(struct spl_house *house, const struct spl_plan_state *state,
                           GError **error)
{
    struct gather g = {.house = house, .tables = spl_house_tables(house, error), .state = state};
    g_autoptr(spl_standings) standings = g.tables != NULL ? spl_standings_load(house, error) : NULL;
    g_autoptr(GArray) made = g_array_new(FALSE, FALSE, sizeof(gint64));
    struct spl_day first, last;

    spl_day_season_bounds(state->season, state->lat, &first, &last);
    if (standings == NULL || !spl_lot_made_between(house->book, first, last, made, error))
        return NULL;
    g.standings = standings;
    g.supplies = g_array_new(FALSE, TRUE, sizeof(struct supply));
    g_array_set_clear_func(g.supplies, clear_supply);
    if (!spl_shelf_each_and(house, made, add_lot, &g, error) ||
        !spl_batch_each_full(house, FALSE, add_batch, &g, error) || !add_harvests(&g, error) ||
        !spl_drying_entries(house, &(struct spl_drying_question){0}, add_drying, &g, error) ||
        !spl_purchase_entries(house, &(struct spl_purchase_question){0}, add_purchase, &g, error)) {
        g_array_unref(g.supplies);
        return NULL;
    }
    return g.supplies;
}

/* ---- sharing it out ------------------------------------------------------------------------ */

static struct spl_plan_want *want_at(const struct spl_plan_state *state, guint i)
{
    return &g_array_index(state->wants, struct spl_plan_want, i);
}

static struct spl_plan_line *line_at(const struct spl_plan_state *state, guint i)
{
    return &g_array_index(state->lines, struct spl_plan_line, i);
}

static const struct spl_planned *planned_at(const struct spl_plan_state *state, guint i)
{
    return &g_array_index(state->planned, struct spl_planned, i);
}

static gboolean names_material(const char *list, const char *slug)
{
    g_auto(GStrv) words = g_strsplit(list != NULL ? list : "", ", ", -1);

    return g_strv_contains((const char *const *)words, slug);
}

/* All materials of the list are wanted by the planned batch; `whole`: and it wants no others. */
static gboolean of_planned(const char *list, const struct spl_planned *planned, gboolean *whole)
{
    g_auto(GStrv) words = g_strsplit(list != NULL ? list : "", ", ", -1);
    guint n = g_strv_length(words), found = 0;

    for (guint i = 0; i < planned->parts->len; i++) {
        if (g_strv_contains((const char *const *)words,
                            g_array_index(planned->parts, struct spl_planned_part, i).material))
            found++;
    }
    *whole = found == planned->parts->len;
    return n > 0 && found == n;
}

static void note_code(GPtrArray *codes, const char *code)
{
    g_ptr_array_add(codes, g_strdup(code));
}

/* Lots and standing batches of the preparation cover yield: those of the whole mixture all parts
 * alike, those of one material its part. */
static void cover(struct spl_plan_state *state, guint p, char kind, GArray *supplies)
{
    const struct spl_planned *planned = planned_at(state, p);
    struct spl_plan_line *line = line_at(state, p);

    for (guint s = 0; s < supplies->len; s++) {
        struct supply *supply = &g_array_index(supplies, struct supply, s);
        gboolean whole;
        double used = 0;

        if (supply->kind != kind || supply->left <= HARDLY ||
            strcmp(supply->preparation, planned->preparation) != 0 ||
            !of_planned(supply->materials, planned, &whole) ||
            (spl_day_is_set(supply->use_by) && spl_day_is_set(planned->by) &&
             spl_day_compare(supply->use_by, planned->by) < 0))
            continue;
        for (guint w = 0; w < state->wants->len; w++) {
            struct spl_plan_want *want = want_at(state, w);
            double part;

            if (want->planned != p || !names_material(supply->materials, want->material->slug))
                continue;
            part = MIN(want->yield - want->covered,
                       whole ? supply->left * want->share : supply->left - used);
            part = MAX(part, 0);
            want->covered += part;
            used += part;
        }
        if (used <= HARDLY)
            continue;
        supply->left -= used;
        line->held = line->held || supply->held;
        note_code(kind == 'L' ? line->lots : line->batches, supply->code);
        if (kind == 'L') {
            line->bottled_ml += isnan(planned->yield_g) ? used : 0;
            line->bottled_g += isnan(planned->yield_g) ? 0 : used;
        } else {
            line->standing_ml += isnan(planned->yield_g) ? used : 0;
            line->standing_g += isnan(planned->yield_g) ? 0 : used;
        }
    }
}

/* Herb on hand serves what is still needed: harvests first, then what lies dried or was bought. */
static void serve(struct spl_plan_state *state, struct spl_plan_want *want, GArray *supplies)
{
    struct spl_plan_line *line = line_at(state, want->planned);

    for (int turn = 0; turn < 2; turn++) {
        for (guint s = 0; s < supplies->len; s++) {
            struct supply *supply = &g_array_index(supplies, struct supply, s);
            double part;

            if (supply->kind != (turn == 0 ? 'H' : 'S') || supply->left <= HARDLY ||
                strcmp(supply->materials, want->material->slug) != 0 ||
                (supply->dry && !want->dry && strcmp(line->preparation, "dried-herb") != 0))
                continue;
            part = MIN(supply->left, want->remaining_g);
            if (part <= HARDLY)
                continue;
            supply->left -= part;
            want->remaining_g -= part;
            if (turn == 0)
                want->gathered_g += part;
            else
                want->stock_g += part;
            note_code(line->harvests, supply->code);
        }
    }
    if (want->remaining_g < HARDLY)
        want->remaining_g = 0;
}

/* ---- in words ------------------------------------------------------------------------------ */

static char *joined(const GPtrArray *codes)
{
    GString *text = g_string_new(NULL);

    for (guint i = 0; i < codes->len; i++)
        g_string_append_printf(text, "%s%s", i > 0 ? ", " : "",
                               (const char *)g_ptr_array_index(codes, i));
    return g_string_free(text, FALSE);
}

static char *yield_words(double ml, double g)
{
    return g > 0 ? spl_mass_format(round(g)) : spl_volume_format(round(ml));
}

static void describe(struct spl_plan_line *line)
{
    GString *text;

    if (line->state != NULL) /* it cannot be reckoned */
        return;
    text = g_string_new(NULL);
    if (line->bottled_ml > 0 || line->bottled_g > 0) {
        g_autofree char *much = yield_words(line->bottled_ml, line->bottled_g);
        g_autofree char *codes = joined(line->lots);

        g_string_append_printf(text, "bottled %s (%s); ", much, codes);
    }
    if (line->standing_ml > 0 || line->standing_g > 0) {
        g_autofree char *much = yield_words(line->standing_ml, line->standing_g);
        g_autofree char *codes = joined(line->batches);

        g_string_append_printf(text, "stands, about %s (%s); ", much, codes);
    }
    if (line->harvests->len > 0) {
        g_autofree char *much = spl_mass_format(round(line->gathered_g));
        g_autofree char *codes = joined(line->harvests);

        g_string_append_printf(text, "gathered %s (%s); ", much, codes);
    }
    if (line->to_come_g > 0) {
        g_autofree char *much = spl_mass_format(ceil(line->to_come_g));

        g_string_append_printf(text, "to pick: %s", much);
    } else if (line->bottled_ml + line->bottled_g > 0 && line->batches->len == 0 &&
               line->harvests->len == 0) {
        g_string_append(text, "done");
    } else {
        g_string_append(text, "all gathered");
    }
    if (line->held)
        g_string_append(text, "; some of it is held");
    line->state = g_string_free(text, FALSE);
}

/* "of dried herb, 1:5, 50 %"; NULL: as usual. */
static char *making_words(const struct spl_planned *planned)
{
    GString *text = g_string_new(planned->dry ? "of dried herb" : NULL);

    if (!isnan(planned->ratio)) {
        g_autofree char *ratio = spl_number_format(planned->ratio, 2);

        g_string_append_printf(text, "%s1:%s", text->len > 0 ? ", " : "", ratio);
    }
    if (!isnan(planned->strength_frac)) {
        g_autofree char *strength = spl_number_format(100 * planned->strength_frac, 1);

        g_string_append_printf(text, "%s%s %%", text->len > 0 ? ", " : "", strength);
    }
    if (planned->recipe != NULL)
        g_string_append_printf(text, "%sby the recipe '%s'", text->len > 0 ? ", " : "",
                               planned->recipe);
    return g_string_free(text, text->len == 0);
}

static void begin_line(const struct spl_planned *planned, struct spl_plan_line *line)
{
    *line = (struct spl_plan_line){
        .name = g_strdup(planned->name),
        .preparation = g_strdup(planned->preparation),
        .materials = g_ptr_array_new_with_free_func(g_free),
        .making = making_words(planned),
        .yield_ml = planned->yield_ml,
        .yield_g = planned->yield_g,
        .by = planned->by,
        .gather_by = SPL_DAY_NONE,
        .harvests = g_ptr_array_new_with_free_func(g_free),
        .batches = g_ptr_array_new_with_free_func(g_free),
        .lots = g_ptr_array_new_with_free_func(g_free),
    };
    for (guint i = 0; i < planned->parts->len; i++) {
        const struct spl_planned_part *part =
            &g_array_index(planned->parts, struct spl_planned_part, i);
        g_autofree char *parts = spl_number_format(part->parts, 2);

        g_ptr_array_add(line->materials, planned->parts->len > 1
                                             ? g_strdup_printf("%s:%s", part->material, parts)
                                             : g_strdup(part->material));
    }
}

/* ---- all together -------------------------------------------------------------------------- */

static int by_day(gconstpointer a, gconstpointer b, gpointer data)
{
    const struct spl_plan_state *state = data;
    guint one = *(const guint *)a, other = *(const guint *)b;
    int order = spl_day_compare(planned_at(state, one)->by, planned_at(state, other)->by);

    return order != 0 ? order : one < other ? -1 : one > other;
}

static gboolean reckon(struct spl_house *house, struct spl_plan_state *state, GError **error)
{
    g_autoptr(GArray) supplies = NULL;
    g_autoptr(GArray) turn = g_array_new(FALSE, FALSE, sizeof(guint));

    if (state->planned->len == 0)
        return TRUE; /* nothing is wanted */
    supplies = supplies_of(house, state, error);
    if (supplies == NULL)
        return FALSE;
    for (guint p = 0; p < state->planned->len; p++)
        g_array_append_val(turn, p);
    g_array_sort_with_data(turn, by_day, state);
    /* What is due first is served first. */
    for (guint k = 0; k < turn->len; k++) {
        guint p = g_array_index(turn, guint, k);
        struct spl_plan_line *line = line_at(state, p);

        cover(state, p, 'L', supplies);
        cover(state, p, 'B', supplies);
        for (guint w = 0; w < state->wants->len; w++) {
            struct spl_plan_want *want = want_at(state, w);

            if (want->planned != p)
                continue;
            want->remaining_g =
                want->yield > 0 ? want->need_g * MAX(1 - want->covered / want->yield, 0) : 0;
            serve(state, want, supplies);
            line->need_g += want->need_g;
            line->gathered_g += want->gathered_g + want->stock_g;
            line->to_come_g += want->remaining_g;
            if (spl_day_compare(want->gather_by, line->gather_by) < 0)
                line->gather_by = want->gather_by;
        }
        describe(line);
    }
    return TRUE;
}

/* A herb of it that left the tables since: in words, which; NULL: none did. Free with g_free. */
static char *gone_words(struct spl_house *house, const struct spl_planned *planned)
{
    const struct spl_tables *tables = spl_house_tables(house, NULL);
    const char *gone = NULL;

    if (tables == NULL)
        return NULL; /* the first need says why */
    for (guint i = 0; gone == NULL && i < planned->parts->len; i++) {
        const struct spl_planned_part *part =
            &g_array_index(planned->parts, struct spl_planned_part, i);

        if (spl_tables_material_by_slug(tables, part->material) == NULL)
            gone = part->material;
    }
    return gone == NULL ? NULL
                        : g_strdup_printf("%s is in no table any more: give it a row of your own, "
                                          "or drop this",
                                          gone);
}

/* What one planned batch wants, put behind the others. */
static gboolean add_planned(struct spl_house *house, struct spl_plan_state *state, guint p,
                            GError **error)
{
    const struct spl_planned *planned = planned_at(state, p);
    struct spl_plan_line line;
    double yield = 0;

    begin_line(planned, &line);
    line.state = gone_words(house, planned);
    for (guint i = 0; line.state == NULL && i < planned->parts->len; i++) {
        struct spl_plan_want want;

        if (!spl_plan_need(house, planned, i, &want, error)) {
            g_prefix_error(error, "%s: ", planned->name);
            spl_record_clear(&spl_plan_line_shape, &line);
            return FALSE;
        }
        want.planned = p;
        yield += want.yield;
        g_array_append_val(state->wants, want);
    }
    if (planned->jars != NULL)
        line.yield_ml = yield;
    g_array_append_val(state->lines, line);
    return TRUE;
}

gboolean spl_plan_state_load(struct spl_house *house, int season, struct spl_plan_state *state,
                             GError **error)
{
    struct spl_plan_state own = {0};
    gboolean ok;

    own.season = spl_plan_season(house, &own.lat);
    if (season != 0)
        own.season = season;
    spl_day_season_bounds(own.season, own.lat, &own.first, &own.last);
    own.wants = g_array_new(FALSE, FALSE, sizeof(struct spl_plan_want));
    own.lines = spl_list_new(&spl_plan_line_shape);
    own.planned = spl_planned_list(house->book, own.season, error);
    ok = own.planned != NULL;
    for (guint p = 0; ok && p < own.planned->len; p++)
        ok = add_planned(house, &own, p, error);
    if (ok && reckon(house, &own, error)) {
        *state = own;
        return TRUE;
    }
    spl_plan_state_clear(&own);
    return FALSE;
}

void spl_plan_state_clear(struct spl_plan_state *state)
{
    g_clear_pointer(&state->planned, g_array_unref);
    g_clear_pointer(&state->wants, g_array_unref);
    if (state->lines != NULL)
        spl_list_free(&spl_plan_line_shape, state->lines);
    state->lines = NULL;
}
