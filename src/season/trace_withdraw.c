/* SPDX-License-Identifier: MIT
 *
 * A recall: what was traced from sprayed ground is withdrawn and held. See season/trace_withdraw.h.
 */
#include "season/trace_withdraw.h"

#include <math.h>
#include <string.h>

#include "book/code.h"
#include "book/harvest.h"
#include "book/hold.h"
#include "book/lot.h"
#include "book/site.h"
#include "season/state.h"

/* One recall. */
struct recall {
    struct spl_house *house;
    struct spl_trace *trace;
    struct spl_standings *before;
    GHashTable *notes; /* UUIDs: the sprayings that it is about, as far as they are noted */
    const char *why;   /* what is written with each hold */
    const char *who;
};

/* Is it held already by a note of that very spraying, or by this recall? Nothing is written on top
 * of these: what holds it goes when the note turns out to be wrong. Whatever else holds it may be
 * answered, and must not let this out. */
static gboolean is_held_for_it(const struct recall *recall, gint64 id)
{
    struct spl_standing standing;
    gboolean held = FALSE;

    spl_standings_get(recall->before, id, &standing);
    for (guint i = 0; standing.because != NULL && i < standing.because->len; i++) {
        const struct spl_cause *cause = &g_array_index(standing.because, struct spl_cause, i);

        held |=
            cause->holds && cause->grade == SPL_STATE_STOP &&
            (strcmp(cause->what, recall->why) == 0 ||
             (cause->evidence != NULL && g_hash_table_contains(recall->notes, cause->evidence)));
    }
    spl_standing_clear(&standing);
    return held;
}

static gboolean withdraw_lot(const struct recall *recall, struct spl_trace_lot *line,
                             GError **error)
{
    struct spl_lot lot;
    gboolean ok = TRUE;

    if (line->state == SPL_STATE_WITHDRAWN || line->state == SPL_STATE_DESTROYED ||
        line->state == SPL_STATE_STRUCK)
        return TRUE;
    if (!spl_shelf_find(recall->house, line->code, &lot, NULL, error))
        return FALSE;
    if (!is_held_for_it(recall, lot.id)) {
        ok = spl_lot_event_add(recall->house->book, lot.id, SPL_LOT_WAS_WITHDRAWN,
                               recall->house->today, recall->why, NAN, NAN, recall->who, error);
        line->state = SPL_STATE_WITHDRAWN;
        g_ptr_array_add(recall->trace->withdrawn, g_strdup(line->code));
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

static gboolean hold_harvest(const struct recall *recall, const char *code, GError **error)
{
    struct spl_harvest harvest;
    gboolean ok = TRUE;

    if (!spl_harvest_find(recall->house->book, code, &harvest, error))
        return FALSE;
    if (harvest.struck == NULL && !is_held_for_it(recall, harvest.id)) {
        ok = spl_hold_add(recall->house->book, harvest.id, recall->house->today, recall->why,
                          recall->who, error);
        g_ptr_array_add(recall->trace->held, g_strdup(code));
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

/* The notes of sprayings at the traced places from that day on. */
static gboolean find_notes(const struct recall *recall, struct spl_day sprayed, GError **error)
{
    for (guint i = 0; i < recall->trace->sites->len; i++) {
        struct spl_site site;
        GArray *notes;
        gboolean ok = TRUE;

        if (!spl_site_find(recall->house->book, recall->trace->sites->pdata[i], &site, error))
            return FALSE;
        notes = spl_spray_list(recall->house->book, site.id, FALSE, error);
        spl_record_clear(&spl_site_shape, &site);
        for (guint k = 0; ok && notes != NULL && k < notes->len; k++) {
            const struct spl_spray_record *note = &g_array_index(notes, struct spl_spray_record, k);
            struct spl_thing thing;

            if (note->kind != SPL_SPRAY_SPRAYED || !spl_day_is_set(note->on) ||
                spl_day_compare(note->on, sprayed) < 0)
                continue;
            ok = spl_code_find(recall->house->book, note->code, "N", "a note", &thing, error);
            if (ok) {
                g_hash_table_add(recall->notes, g_strdup(thing.uuid));
                spl_thing_clear(&thing);
            }
        }
        if (notes == NULL)
            return FALSE;
        spl_list_free(&spl_spray_record_shape, notes);
        if (!ok)
            return FALSE;
    }
    return TRUE;
}

gboolean spl_trace_withdraw(struct spl_house *house, struct spl_trace *trace,
                            struct spl_day sprayed, const char *by, GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    g_autoptr(spl_standings) before = spl_standings_load(house, error);
    g_autoptr(GHashTable) notes = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    const struct recall recall = {house, trace, before, notes, trace->of, who};
    gboolean ok = before != NULL && find_notes(&recall, sprayed, error);

    for (guint i = 0; ok && i < trace->lots->len; i++)
        ok = withdraw_lot(&recall, &g_array_index(trace->lots, struct spl_trace_lot, i), error);
    for (guint i = 0; ok && i < trace->harvests->len; i++)
        ok = hold_harvest(&recall, g_array_index(trace->harvests, struct spl_trace_harvest, i).code,
                          error);
    return ok;
}
