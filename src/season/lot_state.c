/* SPDX-License-Identifier: MIT
 *
 * Lots, and records of whatever else may be held, with the state of today: what the book holds, put
 * together with how it stands by the rules. See spl_standing_say and spl_shelf_... in
 * season/state.h.
 */
#include <math.h>

#include "book/discard.h"
#include "book/lot.h"
#include "season/batch_private.h"
#include "season/state.h"

gboolean spl_standing_say(struct spl_house *house, const struct spl_standings *standings, gint64 id,
                          char **held, GArray **because, GError **error)
{
    struct spl_standing standing;

    if (standings != NULL)
        spl_standings_get(standings, id, &standing);
    else if (!spl_standing_of(house, id, &standing, error))
        return FALSE;
    g_free(*held);
    spl_list_free(&spl_cause_shape, *because);
    *held = g_steal_pointer(&standing.why);
    *because = g_steal_pointer(&standing.because);
    spl_standing_clear(&standing);
    return TRUE;
}

/* The name of its state by the rules, where the book only knows what its own rows say. */
static void settle(struct spl_lot *lot, struct spl_standing *standing, struct spl_day today)
{
    const struct spl_state_own own = {.struck = lot->struck != NULL,
                                      .destroyed = lot->state == SPL_STATE_DESTROYED,
                                      .used_up = (isnan(lot->left_g) ? lot->left_ml : lot->left_g) <
                                                 SPL_CRUMB,
                                      .use_by = lot->use_by};
    const struct spl_state_sum sum = {.held = standing->held, .withdrawn = standing->withdrawn};
    enum spl_state_word state = spl_state_settle(&own, &sum, today);

    if (state == SPL_STATE_STRUCK || state == SPL_STATE_DESTROYED)
        return; /* with its own words */
    g_free(lot->why);
    lot->state = state;
    lot->why =
        state == SPL_STATE_IS_HELD || state == SPL_STATE_WITHDRAWN ? g_strdup(standing->why) : NULL;
    lot->outside = lot->outside || standing->outside;
    lot->because = g_steal_pointer(&standing->because);
}

/* Hands the lot over as it stands today, or clears it. */
static gboolean hand_over(struct spl_house *house, struct spl_lot *found, struct spl_lot *lot,
                          GError **error)
{
    struct spl_standing standing;

    if (!spl_standing_of(house, found->id, &standing, error)) {
        spl_record_clear(&spl_lot_shape, found);
        return FALSE;
    }
    settle(found, &standing, house->today);
    spl_standing_clear(&standing);
    *lot = *found;
    return TRUE;
}

/* What was thrown away happened to it as a count did. */
static gboolean take_discard(const struct spl_discard_row *row, gpointer data, GError **error)
{
    GArray *events = data;
    struct spl_lot_event event = {.date = row->day,
                                  .kind = SPL_LOT_DISCARDED,
                                  .why = g_strdup(row->why),
                                  .counted = NAN,
                                  .difference = -(isnan(row->grams) ? row->ml : row->grams),
                                  .by = g_strdup(row->by)};
    guint at = events->len;

    (void)error;
    while (at > 0 &&
           spl_day_compare(g_array_index(events, struct spl_lot_event, at - 1).date, row->day) > 0)
        at--;
    g_array_insert_val(events, at, event);
    return TRUE;
}

gboolean spl_shelf_find(struct spl_house *house, const char *code, struct spl_lot *lot,
                        struct spl_blend *blend, GError **error)
{
    struct spl_blend mixed;
    struct spl_lot found;

    if (!spl_lot_find(house->book, code, house->today, &found, &mixed, error))
        return FALSE;
    if (!spl_discard_each_of(house->book, found.id, take_discard, found.events, error)) {
        spl_record_clear(&spl_lot_shape, &found);
        return FALSE;
    }
    if (!hand_over(house, &found, lot, error))
        return FALSE;
    if (blend != NULL)
        *blend = mixed;
    return TRUE;
}

gboolean spl_shelf_get(struct spl_house *house, gint64 id, struct spl_lot *lot, GError **error)
{
    struct spl_lot found;

    return spl_lot_get(house->book, id, house->today, &found, error) &&
           hand_over(house, &found, lot, error);
}

struct shelf {
    struct spl_house *house;
    const struct spl_standings *states;
    GHashTable *asked; /* ids of lots that are shown, whatever became of them */
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

    spl_standings_get(shelf->states, lot->id, &standing);
    shown.why = g_strdup(lot->why);
    settle(&shown, &standing, shelf->house->today);
    spl_standing_clear(&standing);
    more = (!shelf->all && spl_lot_is_gone(&shown) &&
            !g_hash_table_contains(shelf->asked, &shown.id)) ||
           shelf->each(&shown, shelf->data, error);
    g_free(shown.why);
    spl_list_free(&spl_cause_shape, shown.because);
    return more;
}

static gboolean shelf_all(struct spl_house *house, const struct spl_standings *standings,
                          gboolean (*each)(const struct spl_lot *lot, gpointer data,
                                           GError **error),
                          gpointer data, GError **error)
{
    struct shelf shelf = {
        .house = house, .states = standings, .all = TRUE, .each = each, .data = data};

    return spl_lot_each(house->book, house->today, TRUE, show_lot, &shelf, error);
}

/* What is withdrawn with what it came from is shown until it is destroyed: by its own rows it may
 * be used up. */
static gboolean
shelf_open(struct spl_house *house, const struct spl_standings *standings, const GArray *also,
           gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
           gpointer data, GError **error)
{
    g_autoptr(GArray) ids = spl_standings_ids(standings, TRUE);
    g_autoptr(GHashTable) asked = g_hash_table_new(g_int64_hash, g_int64_equal);
    struct shelf shelf = {
        .house = house, .states = standings, .asked = asked, .each = each, .data = data};

    if (also != NULL)
        g_array_append_vals(ids, also->data, also->len);
    for (guint i = 0; also != NULL && i < also->len; i++)
        g_hash_table_add(asked, &g_array_index(also, gint64, i));
    return spl_lot_each_open(house->book, house->today, ids, show_lot, &shelf, error);
}

gboolean
spl_shelf_each_in(struct spl_house *house, const struct spl_standings *standings, gboolean all,
                  gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                  gpointer data, GError **error)
{
    return all ? shelf_all(house, standings, each, data, error)
               : shelf_open(house, standings, NULL, each, data, error);
}

gboolean spl_shelf_each_and(struct spl_house *house, const GArray *also,
                            gboolean (*each)(const struct spl_lot *lot, gpointer data,
                                             GError **error),
                            gpointer data, GError **error)
{
    g_autoptr(spl_standings) standings = spl_standings_load(house, error);

    return standings != NULL && shelf_open(house, standings, also, each, data, error);
}

gboolean spl_shelf_each(struct spl_house *house, gboolean all,
                        gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                        gpointer data, GError **error)
{
    g_autoptr(spl_standings) standings = spl_standings_load(house, error);

    return standings != NULL && spl_shelf_each_in(house, standings, all, each, data, error);
}
