/* SPDX-License-Identifier: MIT
 *
 * The state of a thing today. See season/state.h.
 */
#include "season/state.h"

#include <math.h>

#include "book/lot.h"
#include "book/state.h"
#include "book/trace.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "simpling/error.h"

/* ---- the rows of some things, spread ---- */

struct states {
    GArray *reached;   /* struct spl_reached: all things that are looked at */
    GHashTable *codes; /* of their ids, borrowed from there */
    struct spl_state_rows rows;
    GHashTable *whys; /* of reasons, by what they rest on; borrowed from the rows */
    struct spl_state_spread spread;
};

static void states_clear(struct states *states)
{
    g_clear_pointer(&states->codes, g_hash_table_unref);
    g_clear_pointer(&states->whys, g_hash_table_unref);
    g_clear_pointer(&states->reached, g_array_unref);
    spl_state_rows_clear(&states->rows);
    spl_state_spread_clear(&states->spread);
}

static guint hash_reason(gconstpointer key)
{
    const struct spl_state_root *root = key;

    return (guint)(root->thing * 31 + root->evidence * 7 + root->kind);
}

static gboolean equal_reasons(gconstpointer a, gconstpointer b)
{
    const struct spl_state_root *first = a, *second = b;

    return first->thing == second->thing && first->kind == second->kind &&
           first->evidence == second->evidence && first->version == second->version;
}

/* All that these things came from, or all that came of them, with what the book holds on it. */
static gboolean states_read(struct spl_house *house, const GArray *seeds, gboolean forward,
                            struct states *states, GError **error)
{
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) roots = g_array_new(FALSE, FALSE, sizeof(struct spl_state_root));
    struct spl_state_facts facts;

    *states = (struct states){.reached = spl_trace_reach(house->book, seeds, forward, error)};
    if (states->reached == NULL)
        return FALSE;
    states->codes = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < states->reached->len; i++) {
        struct spl_reached *one = &g_array_index(states->reached, struct spl_reached, i);

        g_array_append_val(ids, one->id);
        g_hash_table_insert(states->codes, &one->id, one->code);
    }
    if (!spl_state_read(house->book, ids, &states->rows, error)) {
        states_clear(states);
        return FALSE;
    }
    states->whys = g_hash_table_new(hash_reason, equal_reasons);
    for (guint i = 0; i < states->rows.reasons->len; i++) {
        struct spl_state_reason *reason =
            &g_array_index(states->rows.reasons, struct spl_state_reason, i);

        g_array_append_val(roots, reason->root);
        g_hash_table_insert(states->whys, &reason->root, reason->why);
    }
    facts = (struct spl_state_facts){.things = states->rows.things,
                                     .draws = states->rows.draws,
                                     .roots = roots,
                                     .answers = states->rows.answers};
    spl_state_spread(&facts, &states->spread);
    return TRUE;
}

/* Of one thing: it and all that it came from. */
static gboolean states_behind(struct spl_house *house, gint64 id, struct states *states,
                              GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));

    g_array_append_val(seeds, id);
    return states_read(house, seeds, FALSE, states, error);
}

/* Of everything that is not free. */
static gboolean states_of_all(struct spl_house *house, struct states *states, GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));

    return spl_state_seeds(house->book, seeds, error) &&
           states_read(house, seeds, TRUE, states, error);
}

/* ---- words ---- */

static char *words_of(const struct states *states, gint64 id, const struct spl_state_root *root)
{
    const char *why = g_hash_table_lookup(states->whys, root);
    const char *code = g_hash_table_lookup(states->codes, &root->thing);

    if (root->thing == id)
        return g_strdup(why);
    return g_strdup_printf("comes of %s, which is %s: %s", code,
                           root->withdraws ? "withdrawn" : "held", why);
}

static void standing_in(const struct states *states, gint64 id, struct spl_standing *standing)
{
    struct spl_state_sum sum = spl_state_sum(&states->spread, id);

    *standing = (struct spl_standing){.held = sum.held,
                                      .asked = sum.asked,
                                      .outside = sum.outside,
                                      .withdrawn = sum.withdrawn,
                                      .bars_start = sum.bars_start};
    /* The roots are in order, worst first; what stands on the thing itself is said before what
     * comes from afar. */
    for (int own = 1; own >= 0 && sum.held && standing->why == NULL; own--)
        for (guint i = sum.first; i < sum.first + sum.n && standing->why == NULL; i++) {
            const struct spl_state_mark *mark =
                &g_array_index(states->spread.marks, struct spl_state_mark, i);
            const struct spl_state_root *root =
                &g_array_index(states->spread.roots, struct spl_state_root, mark->root);

            if ((mark->modes & SPL_STATE_HELD) != 0 && (root->thing == id) == own &&
                (!sum.withdrawn || root->withdraws))
                standing->why = words_of(states, id, root);
        }
}

void spl_standing_clear(struct spl_standing *standing)
{
    g_clear_pointer(&standing->why, g_free);
}

gboolean spl_standing_of(struct spl_house *house, gint64 id, struct spl_standing *standing,
                         GError **error)
{
    struct states states;

    if (!states_behind(house, id, &states, error))
        return FALSE;
    standing_in(&states, id, standing);
    states_clear(&states);
    return TRUE;
}

void spl_joining_clear(struct spl_joining *joining)
{
    g_clear_pointer(&joining->first, g_free);
}

gboolean spl_joining_take(struct spl_house *house, struct spl_joining *joining, gint64 id,
                          const char *code, gboolean started, GPtrArray *cautions, GError **error)
{
    struct spl_standing standing;
    gboolean ok = TRUE;

    if (!spl_standing_of(house, id, &standing, error))
        return FALSE;
    if (started && standing.bars_start) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is held (%s); nothing is made of it until that is settled", code,
                    standing.why);
        ok = FALSE;
    } else if (joining->any && joining->held != standing.held) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is %s and %s is %s; the two are not put together until that is settled",
                    code, standing.held ? "held" : "free", joining->first,
                    joining->held ? "held" : "free");
        ok = FALSE;
    } else if (standing.held && started && cautions != NULL) {
        spl_caution_add(cautions, "%s is held: %s; what is made of it is held with it", code,
                        standing.why);
    }
    if (ok && !joining->any)
        *joining = (struct spl_joining){TRUE, standing.held, g_strdup(code)};
    spl_standing_clear(&standing);
    return ok;
}

GPtrArray *spl_standing_downstream(struct spl_house *house, gint64 id, GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) reached = NULL;
    GPtrArray *codes;

    g_array_append_val(seeds, id);
    reached = spl_trace_reach(house->book, seeds, TRUE, error);
    if (reached == NULL)
        return NULL;
    codes = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < reached->len; i++) {
        const struct spl_reached *one = &g_array_index(reached, struct spl_reached, i);

        if (one->id != id)
            g_ptr_array_add(codes, g_strdup(one->code));
    }
    return codes;
}

/* ---- the shelf ---- */

/* The name of its state by the rules, where the book only knows what its own rows say. */
static void settle(struct spl_lot *lot, const struct spl_standing *standing, struct spl_day today)
{
    const struct spl_state_own own = {.struck = lot->struck != NULL,
                                      .destroyed = g_str_equal(lot->state, "destroyed"),
                                      .used_up = (isnan(lot->left_g) ? lot->left_ml : lot->left_g) <
                                                 SPL_CRUMB,
                                      .use_by = lot->use_by};
    const struct spl_state_sum sum = {.held = standing->held, .withdrawn = standing->withdrawn};
    enum spl_state_word state = spl_state_settle(&own, &sum, today);

    if (state == SPL_STATE_STRUCK || state == SPL_STATE_DESTROYED)
        return; /* with its own words */
    g_free(lot->state);
    g_free(lot->why);
    lot->state = g_strdup(state == SPL_STATE_ON_SHELF ? "released" : spl_state_name(state, 'L'));
    lot->why =
        state == SPL_STATE_IS_HELD || state == SPL_STATE_WITHDRAWN ? g_strdup(standing->why) : NULL;
    lot->outside = lot->outside || standing->outside;
}

static gboolean settle_one(struct spl_house *house, struct spl_lot *lot, GError **error)
{
    struct spl_standing standing;

    if (!spl_standing_of(house, lot->id, &standing, error)) {
        spl_record_clear(&spl_lot_shape, lot);
        return FALSE;
    }
    settle(lot, &standing, house->today);
    spl_standing_clear(&standing);
    return TRUE;
}

gboolean spl_shelf_find(struct spl_house *house, const char *code, struct spl_lot *lot,
                        struct spl_blend *blend, GError **error)
{
    return spl_lot_find(house->book, code, house->today, lot, blend, error) &&
           settle_one(house, lot, error);
}

gboolean spl_shelf_get(struct spl_house *house, gint64 id, struct spl_lot *lot, GError **error)
{
    return spl_lot_get(house->book, id, house->today, lot, error) && settle_one(house, lot, error);
}

struct shelf {
    struct spl_house *house;
    struct states states;
    gboolean all;
    gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error);
    gpointer data;
};

static gboolean show_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct shelf *shelf = data;
    struct spl_lot shown = *lot; /* borrowed but for what is said of its state */
    struct spl_standing standing;
    gboolean more;

    standing_in(&shelf->states, lot->id, &standing);
    shown.state = g_strdup(lot->state);
    shown.why = g_strdup(lot->why);
    settle(&shown, &standing, shelf->house->today);
    spl_standing_clear(&standing);
    more = (!shelf->all &&
            (g_str_equal(shown.state, "struck") || g_str_equal(shown.state, "used up") ||
             g_str_equal(shown.state, "destroyed"))) ||
           shelf->each(&shown, shelf->data, error);
    g_free(shown.state);
    g_free(shown.why);
    return more;
}

gboolean spl_shelf_each(struct spl_house *house, gboolean all,
                        gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                        gpointer data, GError **error)
{
    struct shelf shelf = {.house = house, .all = all, .each = each, .data = data};
    gboolean ok;

    if (!states_of_all(house, &shelf.states, error))
        return FALSE;
    ok = spl_lot_each(house->book, house->today, TRUE, show_lot, &shelf, error);
    states_clear(&shelf.states);
    return ok;
}
