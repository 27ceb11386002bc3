/* SPDX-License-Identifier: MIT
 *
 * The ground of harvests, looked back at. See season/judged.h.
 */
#include "season/judged.h"

#include <string.h>

#include "book/site.h"
#include "season/ground.h"

struct looking {
    struct spl_house *house;
    const struct spl_tables *tables;
    GArray *reasons;
    GHashTable *judged, *evidence;
    GHashTable *stamps; /* UUID to gint64 * */
    gint64 site_id;     /* whose ground is loaded; 0: none */
    struct spl_site site;
    struct spl_ground *ground;
    gint64 said; /* of that site; -1: not looked up yet */
};

static void leave_site(struct looking *looking)
{
    if (looking->site_id == 0)
        return;
    g_clear_pointer(&looking->ground, spl_ground_free); /* before the site that it borrows */
    spl_record_clear(&spl_site_shape, &looking->site);
    looking->site_id = 0;
}

static gboolean go_to_site(struct looking *looking, gint64 id, GError **error)
{
    if (looking->site_id == id)
        return TRUE;
    leave_site(looking);
    if (!spl_site_load(looking->house->book, id, &looking->site, error))
        return FALSE;
    looking->site_id = id;
    looking->said = -1;
    looking->ground = spl_ground_load(looking->house, &looking->site, error);
    return looking->ground != NULL;
}

/* When the fact was last revised. One hazard of a layer is known by "UUID#record". */
static gboolean stamp_of(struct looking *looking, const char *evidence, gint64 *stamp,
                         GError **error)
{
    g_autofree char *uuid = g_strndup(evidence, strcspn(evidence, "#"));
    const gint64 *known = g_hash_table_lookup(looking->stamps, uuid);

    if (known != NULL) {
        *stamp = *known;
        return TRUE;
    }
    if (!spl_state_stamp(looking->house->book, uuid, stamp, error))
        return FALSE;
    g_hash_table_insert(looking->stamps, g_steal_pointer(&uuid), g_memdup2(stamp, sizeof *stamp));
    return TRUE;
}

static gint64 number_of(GHashTable *evidence, const char *uuid)
{
    gpointer number = g_hash_table_lookup(evidence, uuid);

    if (number == NULL) {
        number = GUINT_TO_POINTER(g_hash_table_size(evidence) + 1);
        g_hash_table_insert(evidence, g_strdup(uuid), number);
    }
    return GPOINTER_TO_UINT(number);
}

/* Is it the lack of a word or of leave that asks, and not a danger? */
static gboolean is_lack(enum spl_reason_kind kind)
{
    return kind >= SPL_REASON_WORD_MISSING && kind <= SPL_REASON_LEAVE_PART;
}

static gboolean add_reason(struct looking *looking, const struct spl_state_harvest *harvest,
                           enum spl_verdict kept, const struct spl_reason *reason, GError **error)
{
    gboolean closed = reason->grade == SPL_VERDICT_CLOSED;
    const char *evidence = reason->evidence != NULL ? reason->evidence : looking->site.uuid;
    struct spl_state_reason one = {.root = {.thing = harvest->id,
                                            .grade = closed ? SPL_STATE_STOP : SPL_STATE_DOUBT,
                                            .kind = SPL_JUDGED_GROUND + (int)reason->kind,
                                            .evidence = number_of(looking->evidence, evidence),
                                            .bars_start = closed}};
    gint64 fact = 0, since = MAX(harvest->stamp, harvest->moved);

    if (reason->evidence != NULL && !stamp_of(looking, reason->evidence, &fact, error))
        return FALSE;
    one.root.version = fact;
    one.root.stamp = MAX(fact, since);
    if (reason->grade > kept && harvest->moved == 0 && fact <= since) {
        /* It was milder when it was logged, and this fact stood then. */
        gint64 place;

        if (looking->said < 0 &&
            !spl_state_said(looking->house->book, looking->site_id, &looking->said, error))
            return FALSE;
        if (!stamp_of(looking, looking->site.uuid, &place, error))
            return FALSE;
        if (is_lack(reason->kind))
            place = MAX(place, looking->said);
        one.root.stamp = MAX(place, since);
        if (place <= since) {
            one.root.kind = SPL_JUDGED_RULES;
            one.root.evidence = one.root.version = 0;
            one.root.asks_only = TRUE;
            one.root.bars_start = FALSE;
        }
    }
    one.why = g_strdup_printf("%s: %s", reason->verdict, reason->what);
    g_array_append_val(looking->reasons, one);
    return TRUE;
}

static gboolean judge_harvest(const struct spl_state_harvest *harvest, gpointer data,
                              GError **error)
{
    struct looking *looking = data;
    enum spl_verdict kept = SPL_VERDICT_CLOSED;
    const struct spl_material *material =
        spl_tables_material_by_slug(looking->tables, harvest->material);
    struct spl_verdict_result result;
    gboolean ok = TRUE;

    if (!go_to_site(looking, harvest->site_id, error))
        return FALSE;
    spl_verdict_parse(harvest->verdict, &kept);
    if (spl_ground_look_back_grade(looking->ground, harvest->day, material) != SPL_VERDICT_CLEAR) {
        spl_ground_look_back(looking->ground, harvest->day, material, &result);
        for (guint i = 0; ok && i < result.reasons->len; i++) {
            const struct spl_reason *reason = &g_array_index(result.reasons, struct spl_reason, i);

            if (reason->grade != SPL_VERDICT_CLEAR)
                ok = add_reason(looking, harvest, kept, reason, error);
        }
        spl_verdict_result_clear(&result);
    }
    /* What somebody held by hand stays held, whatever the ground. */
    if (harvest->held == NULL || g_str_has_prefix(harvest->held, "ask: ") ||
        kept == SPL_VERDICT_CLOSED)
        g_hash_table_add(looking->judged, g_memdup2(&harvest->id, sizeof harvest->id));
    return ok;
}

gboolean spl_judged_reasons(struct spl_house *house, const GArray *ids, GArray *reasons,
                            GHashTable *judged, GHashTable *evidence, GError **error)
{
    g_autoptr(GHashTable) stamps = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    struct looking looking = {.house = house,
                              .tables = spl_house_tables(house, error),
                              .reasons = reasons,
                              .judged = judged,
                              .evidence = evidence,
                              .stamps = stamps};
    gboolean ok = looking.tables != NULL &&
                  spl_state_harvests(house->book, ids, judge_harvest, &looking, error);

    leave_site(&looking);
    return ok;
}
