/* SPDX-License-Identifier: MIT
 *
 * The ground of harvests, looked back at. See season/judged.h.
 */
#include "season/judged.h"

#include <string.h>

#include "base/text.h"
#include "book/judged.h"
#include "book/site.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/judged_near.h"
#include "simpling/record/purchase.h"

struct looking {
    struct spl_house *house;
    const struct spl_tables *tables;
    GArray *reasons;
    GHashTable *judged;
    GHashTable *stamps; /* UUID to gint64 * */
    gint64 site_id;     /* whose ground is loaded; 0: none */
    struct spl_site site;
    struct spl_ground *ground;
    gint64 said;     /* of that site; -1: not looked up yet */
    gint64 baseline; /* stamp of the upgrade; 0: there was none */
    char *rules;     /* what the rules are known by; NULL: not looked up yet */
};

/* ---- names ---- */

static const char *const held_names[] = {
    [SPL_HELD_PICKED] = "picked",           [SPL_HELD_SINCE] = "held",
    [SPL_HELD_BOTTLED] = "bottled",         [SPL_HELD_LOT] = "lot-held",
    [SPL_HELD_WITHDRAWN] = "withdrawn",     [SPL_HELD_NARROWED] = "narrowed",
    [SPL_HELD_REVISED] = "revision",        [SPL_HELD_STRUCK] = "struck-in-use",
    [SPL_HELD_WEIGHED] = "weighed-twice",   [SPL_HELD_TWICE] = "pressed-twice",
    [SPL_JUDGED_RULES] = "rules",           [SPL_JUDGED_NAME] = "name-missing",
    [SPL_JUDGED_NUMBER] = "number-missing",
};
G_STATIC_ASSERT(G_N_ELEMENTS(held_names) == SPL_JUDGED_GROUND);

const char *spl_judged_kind_name(int kind)
{
    if (kind >= 0 && kind < SPL_JUDGED_GROUND)
        return held_names[kind];
    kind -= SPL_JUDGED_GROUND;
    return spl_reason_kind_names[kind >= 0 && kind < SPL_REASON_KINDS ? kind : SPL_REASON_OTHER];
}

int spl_judged_kind(const char *name)
{
    for (int kind = 0; kind < SPL_JUDGED_GROUND + SPL_REASON_KINDS; kind++)
        if (g_strcmp0(name, spl_judged_kind_name(kind)) == 0)
            return kind;
    return -1;
}

struct spl_next *spl_judged_settles(const struct spl_state_root *root,
                                    const struct spl_state_reason *reason, const char *code)
{
    const char *colon = strrchr(code, ':'); /* of another's book: "ANN:H27-001" */

    if (root->kind == SPL_HELD_REVISED || root->kind == SPL_HELD_STRUCK ||
        root->kind == SPL_HELD_WEIGHED || root->kind == SPL_HELD_TWICE)
        return spl_next_new(SPL_ACTION_ANSWER, "id", code, "evidence", NULL, NULL);
    if (root->kind == SPL_JUDGED_RULES)
        return spl_next_new(SPL_ACTION_ANSWER, "id", reason->about != NULL ? reason->about : code,
                            "evidence", NULL, NULL);
    if (reason->next != NULL)
        return spl_next_copy(reason->next);
    if (root->kind == SPL_HELD_NARROWED)
        return NULL; /* holds nothing */
    switch (*(colon != NULL ? colon + 1 : code)) {
    case 'H':
        return spl_next_new(SPL_ACTION_HARVEST_RELEASE, "code", code, "evidence", NULL, NULL);
    case 'L':
        return spl_next_new(SPL_ACTION_LOT_RELEASE, "code", code, "why", NULL, NULL);
    default:
        return NULL;
    }
}

/* A name space of our own, made once by chance (RFC 9562, section 5.5). */
#define RULES_SPACE "1f6d3a0e-7c55-4b8e-9a57-0d9a5b1f2c46"
/* To be raised when core judges otherwise by the same figures. */
#define RULES_EDITION 2

char *spl_judged_rules(struct spl_house *house, GError **error)
{
    struct spl_ground_map *map = spl_ground_map_of(house, error);
    const struct spl_tables *tables = spl_house_tables(house, error);
    const GPtrArray *materials;
    GArray *methods;
    GString *text;
    char *uuid;

    if (map == NULL || tables == NULL ||
        (methods = spl_ground_map_methods(map, house, error)) == NULL)
        return NULL;
    text = g_string_new(NULL);
    g_string_append_printf(text, "%d", RULES_EDITION);
    for (guint i = 0; i < methods->len; i++) {
        const struct spl_method_line *line = &g_array_index(methods, struct spl_method_line, i);

        g_string_append_printf(text, "\n%s %d %.3f %.3f %d %d", line->method, line->lasting,
                               line->closed_m, line->ask_m, line->hold_on_days,
                               line->hold_near_days);
    }
    spl_list_free(&spl_method_line_shape, methods);
    materials = spl_tables_materials(tables);
    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *material = g_ptr_array_index(materials, i);

        g_string_append_printf(text, "\n%s %d %d %d", material->slug, material->part,
                               material->plant->water_plant, material->plant->deadly_lookalike);
    }
    uuid = spl_uuid_v5(RULES_SPACE, text->str);
    g_string_free(text, TRUE);
    return uuid;
}

/* ---- the ground of one place ---- */

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
    if (!spl_site_named(looking->house->book, id, &looking->site, error))
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

gint64 spl_judged_number(GHashTable *evidence, const char *uuid)
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

/* Whom to ask: who said it; of ground about which nobody did, whoever speaks for the place. */
static char *whom(const struct looking *looking, const struct spl_reason *reason)
{
    if (reason->kind >= SPL_REASON_LEAVE_MISSING && reason->kind <= SPL_REASON_LEAVE_REFUSED)
        return spl_ground_speaker(looking->ground, TRUE);
    return spl_ground_speaker(looking->ground, FALSE);
}

/* Was it sprayed there, on or before the day? */
static gboolean is_spraying(enum spl_reason_kind kind)
{
    return kind == SPL_REASON_SPRAYED || kind == SPL_REASON_SPRAYING_DUE ||
           kind == SPL_REASON_HAZARD_SPRAYED;
}

/* It was milder when it was logged, and it was the rules that changed since, or it is of the time
 * before the upgrade: part of the one question about all such. */
static gboolean make_of_rules(struct looking *looking, struct spl_state_reason *one, GError **error)
{
    if (looking->rules == NULL)
        looking->rules = spl_judged_rules(looking->house, error);
    if (looking->rules == NULL)
        return FALSE;
    one->root.kind = SPL_JUDGED_RULES;
    one->root.version = 0;
    one->root.asks_only = TRUE;
    one->root.bars_start = FALSE;
    one->fact = g_strdup(looking->rules);
    return TRUE;
}

static gboolean add_reason(struct looking *looking, const struct spl_state_harvest *harvest,
                           enum spl_verdict kept, struct spl_reason *reason, GError **error)
{
    gboolean closed = reason->verdict == SPL_VERDICT_CLOSED, stricter = reason->verdict > kept;
    struct spl_state_reason one = {.root = {.thing = harvest->id,
                                            .grade = closed ? SPL_STATE_STOP : SPL_STATE_DOUBT,
                                            .kind = SPL_JUDGED_GROUND + (int)reason->kind,
                                            .bars_start = closed}};
    gint64 fact = 0, since = MAX(harvest->stamp, harvest->moved);
    gboolean of_rules = FALSE;

    if (reason->evidence != NULL && !stamp_of(looking, reason->evidence, &fact, error))
        return FALSE;
    one.root.version = fact;
    one.root.stamp = MAX(fact, since);
    if (stricter && harvest->moved == 0 && fact <= since) {
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
        of_rules = place <= since;
    }
    if (stricter && one.root.stamp < looking->baseline && !(closed && is_spraying(reason->kind)))
        of_rules = TRUE;
    if (of_rules && !make_of_rules(looking, &one, error))
        return FALSE;
    if (one.fact == NULL)
        one.fact = g_strdup(reason->evidence != NULL ? reason->evidence : looking->site.uuid);
    one.verdict = reason->verdict;
    one.why = g_strdup_printf("%s: %s", spl_verdict_names[one.verdict], reason->what);
    one.about = g_strdup(looking->site.name);
    one.who = of_rules ? NULL : whom(looking, reason);
    one.next = g_steal_pointer(&reason->next);
    g_array_append_val(looking->reasons, one);
    return TRUE;
}

static gboolean is_before(gint64 stamp, struct spl_day day)
{
    return stamp < (gint64)day.n * 86400 * G_USEC_PER_SEC;
}

/* Was it logged before the tables said that its plant has a deadly look-alike? Nobody was to be
 * asked then: it is of the one question about what changed, as ground is. */
static gboolean is_before_the_gate(gint64 stamp, const struct spl_plant *plant)
{
    return spl_day_is_set(plant->gated_since) && is_before(stamp, plant->gated_since);
}

/* A plant with a deadly look-alike of which nobody noted who named it, and by which signs. */
static gboolean lacks_name(const struct spl_state_harvest *harvest,
                           const struct spl_material *material)
{
    return material != NULL && material->plant->deadly_lookalike && !harvest->named;
}

static gboolean add_lack_of_name(struct looking *looking, const struct spl_state_harvest *harvest,
                                 const struct spl_material *material, GError **error)
{
    struct spl_state_reason one = {.root = {.thing = harvest->id,
                                            .grade = SPL_STATE_STOP,
                                            .kind = SPL_JUDGED_NAME,
                                            .stamp = harvest->stamp,
                                            .version = harvest->stamp,
                                            .bars_start = TRUE}};

    if (!spl_state_thing_named(looking->house->book, harvest->id, &one.fact, &one.about, error))
        return FALSE;
    one.why =
        g_strdup_printf("%s has a deadly look-alike: who named it, and by which signs, is not "
                        "noted",
                        material->plant->common);
    one.next = spl_next_new(SPL_ACTION_AMEND, "code", one.about, "named_by", NULL, "signs", NULL,
                            "why", NULL, NULL);
    if (is_before_the_gate(harvest->stamp, material->plant)) {
        g_clear_pointer(&one.fact, g_free);
        if (!make_of_rules(looking, &one, error)) {
            spl_state_reason_clear(&one);
            return FALSE;
        }
    }
    g_array_append_val(looking->reasons, one);
    return TRUE;
}

static gboolean judge_harvest(const struct spl_state_harvest *harvest, gpointer data,
                              GError **error)
{
    struct looking *looking = data;
    const enum spl_verdict kept =
        harvest->verdict != SPL_VERDICT_NONE ? harvest->verdict : SPL_VERDICT_CLOSED;
    const struct spl_material *material =
        spl_tables_material_by_slug(looking->tables, harvest->material);
    struct spl_verdict_result result;
    gboolean ok = TRUE;

    if (!go_to_site(looking, harvest->site_id, error))
        return FALSE;
    if (spl_ground_look_back_grade(looking->ground, harvest->day, material) != SPL_VERDICT_CLEAR) {
        spl_ground_look_back(looking->ground, harvest->day, material, &result);
        for (guint i = 0; ok && i < result.reasons->len; i++) {
            struct spl_reason *reason = &g_array_index(result.reasons, struct spl_reason, i);

            if (reason->verdict != SPL_VERDICT_CLEAR)
                ok = add_reason(looking, harvest, kept, reason, error);
        }
        spl_verdict_result_clear(&result);
    }
    if (ok && lacks_name(harvest, material))
        ok = add_lack_of_name(looking, harvest, material, error);
    /* What somebody held by hand stays held, whatever the ground. */
    if (harvest->held == NULL || g_str_has_prefix(harvest->held, "ask: ") ||
        kept == SPL_VERDICT_CLOSED)
        g_hash_table_add(looking->judged, g_memdup2(&harvest->id, sizeof harvest->id));
    return ok;
}

gboolean spl_judged_reasons(struct spl_house *house, const GArray *ids, GArray *reasons,
                            GHashTable *judged, GError **error)
{
    g_autoptr(GHashTable) stamps = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    struct looking looking = {.house = house,
                              .tables = spl_house_tables(house, error),
                              .reasons = reasons,
                              .judged = judged,
                              .stamps = stamps};
    gboolean ok = looking.tables != NULL &&
                  spl_state_baseline(house->book, &looking.baseline, error) &&
                  spl_state_harvests(house->book, ids, judge_harvest, &looking, error);

    leave_site(&looking);
    g_free(looking.rules);
    return ok;
}

/* ---- what is missing of purchases ---- */

/* Until this day nobody was asked what plant was bought: 30 November 2026. */
static const struct spl_day purchases_judged_since = {20787};

static gboolean judge_purchase(const struct spl_state_purchase *purchase, gpointer data,
                               GError **error)
{
    struct looking *looking = data;
    const struct spl_material *material =
        spl_tables_material_by_slug(looking->tables, purchase->material);
    gboolean named = purchase->named || (!purchase->fresh && purchase->number != NULL);
    struct spl_state_reason one = {.root = {.thing = purchase->id,
                                            .grade = SPL_STATE_PAPER,
                                            .kind = SPL_JUDGED_NUMBER,
                                            .stamp = purchase->stamp,
                                            .version = purchase->stamp}};

    if (material != NULL && material->plant->deadly_lookalike && !named) {
        one.root.grade = SPL_STATE_STOP;
        one.root.kind = SPL_JUDGED_NAME;
        one.root.bars_start = TRUE;
        one.why = g_strdup_printf("%s has a deadly look-alike: who named it, and by which signs, "
                                  "is not noted",
                                  material->plant->common);
        one.next = spl_next_new(SPL_ACTION_AMEND, "code", purchase->code, "named_by", NULL, "signs",
                                NULL, "why", NULL, NULL);
    } else if (purchase->number == NULL && strcmp(purchase->supplier, SPL_OWN_GARDEN) != 0) {
        one.why =
            g_strdup("the supplier's number is not noted: their recall could not be followed");
        one.next = spl_next_new(SPL_ACTION_AMEND, "code", purchase->code, "number", NULL, "why",
                                NULL, NULL);
    } else {
        return TRUE;
    }
    one.about = g_strdup(purchase->code);
    if (one.root.grade == SPL_STATE_STOP &&
        (is_before(purchase->stamp, purchases_judged_since) ||
         is_before_the_gate(purchase->stamp, material->plant))) {
        if (!make_of_rules(looking, &one, error)) {
            spl_state_reason_clear(&one);
            return FALSE;
        }
    } else {
        one.fact = g_strdup(purchase->uuid);
        one.who = g_strdup(purchase->supplier);
    }
    g_array_append_val(looking->reasons, one);
    return TRUE;
}

gboolean spl_judged_purchases(struct spl_house *house, const GArray *ids, GArray *reasons,
                              GError **error)
{
    struct looking looking = {
        .house = house, .tables = spl_house_tables(house, error), .reasons = reasons};
    gboolean ok = looking.tables != NULL &&
                  spl_state_purchases(house->book, ids, judge_purchase, &looking, error);

    g_free(looking.rules);
    return ok;
}

/* ---- what the book keeps of it ---- */

/* Those that may have something against their ground, by what the book keeps; NULL: it keeps
 * nothing that is right by these rules. */
static gboolean candidates(struct spl_house *house, GArray **ids, GError **error)
{
    GError *failed = NULL;
    gboolean spreads;
    g_autofree char *basis = spl_judged_basis(house->book, &failed);
    g_autofree char *rules = failed == NULL ? spl_judged_rules(house, &failed) : NULL;

    *ids = NULL;
    /* What was left unjudged since nobody could (a table that could not be read) may reach anyone.
     */
    if (failed == NULL && g_strcmp0(basis, rules) == 0 &&
        spl_judged_spreads(house->book, &spreads, &failed) && !spreads) {
        *ids = g_array_new(FALSE, FALSE, sizeof(gint64));
        if (spl_judged_list(house->book, FALSE, *ids, &failed))
            return TRUE;
        g_clear_pointer(ids, g_array_unref);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

gboolean spl_judged_all(struct spl_house *house, GArray *seeds, GArray *reasons, GHashTable *judged,
                        GError **error)
{
    g_autoptr(GArray) ids = NULL, settled = g_array_new(FALSE, FALSE, sizeof(gint64));

    if (!candidates(house, &ids, error) ||
        !spl_judged_reasons(house, ids, reasons, judged, error) ||
        !spl_judged_purchases(house, NULL, reasons, error) ||
        !spl_judged_held(house->book, seeds, settled, error))
        return FALSE;
    /* Their ground is free today, or it was judged just now: what was kept no longer counts. */
    for (guint i = 0; i < settled->len; i++)
        g_hash_table_add(judged, g_memdup2(&g_array_index(settled, gint64, i), sizeof(gint64)));
    for (guint i = 0; i < reasons->len; i++)
        g_array_append_val(seeds, g_array_index(reasons, struct spl_state_reason, i).root.thing);
    return TRUE;
}

struct sorting {
    struct looking looking;
    GArray *against; /* gint64 */
};

static gboolean sort_harvest(const struct spl_state_harvest *harvest, gpointer data, GError **error)
{
    struct sorting *sorting = data;
    struct looking *looking = &sorting->looking;
    const struct spl_material *material =
        spl_tables_material_by_slug(looking->tables, harvest->material);

    if (!go_to_site(looking, harvest->site_id, error))
        return FALSE;
    if (lacks_name(harvest, material) ||
        spl_ground_worst_grade(looking->ground, harvest->day, material) != SPL_VERDICT_CLEAR)
        g_array_append_val(sorting->against, harvest->id);
    return TRUE;
}

static int by_number(gconstpointer a, gconstpointer b)
{
    gint64 first = *(const gint64 *)a, second = *(const gint64 *)b;

    return (first > second) - (first < second);
}

static void keep_once(GArray *ids)
{
    guint n = 0;

    g_array_sort(ids, by_number);
    for (guint i = 0; i < ids->len; i++)
        if (n == 0 || g_array_index(ids, gint64, i) != g_array_index(ids, gint64, n - 1))
            g_array_index(ids, gint64, n++) = g_array_index(ids, gint64, i);
    g_array_set_size(ids, n);
}

/* Of these harvests (NULL: of all) the ones with something against their ground. */
static GArray *sort_out(struct spl_house *house, const GArray *ids, GError **error)
{
    struct sorting sorting = {.looking = {.house = house, .tables = spl_house_tables(house, error)},
                              .against = g_array_new(FALSE, FALSE, sizeof(gint64))};
    gboolean ok = sorting.looking.tables != NULL &&
                  spl_state_harvests(house->book, ids, sort_harvest, &sorting, error);

    leave_site(&sorting.looking);
    if (!ok)
        g_clear_pointer(&sorting.against, g_array_unref);
    else
        keep_once(sorting.against); /* one may be read as of two days */
    return sorting.against;
}

gboolean spl_judged_refresh(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) again = NULL, against = NULL;
    g_autofree char *basis = NULL, *rules = NULL;
    gboolean stale, spreads, everywhere = FALSE;
    GError *failed = NULL;

    if (!spl_judged_stale(house->book, &stale, error))
        return FALSE;
    if (!stale)
        return TRUE;
    basis = spl_judged_basis(house->book, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (basis == NULL)
        spl_ground_map_forget(house);
    /* Tables that cannot be read hinder nobody from writing: it is judged when it is looked at. */
    rules = spl_house_tables(house, NULL) != NULL ? spl_judged_rules(house, error) : NULL;
    if (rules == NULL)
        return spl_house_tables(house, NULL) == NULL;
    if (!spl_judged_spreads(house->book, &spreads, error))
        return FALSE;
    if (g_strcmp0(basis, rules) == 0 && spreads && !spl_judged_mark_near(house, &everywhere, error))
        return FALSE;
    if (g_strcmp0(basis, rules) == 0 && !everywhere) {
        again = g_array_new(FALSE, FALSE, sizeof(gint64));
        if (!spl_judged_list(house->book, TRUE, again, error))
            return FALSE;
    }
    against = sort_out(house, again, error);
    return against != NULL && spl_judged_put(house->book, rules, again, against, error);
}

gboolean spl_judged_compare(struct spl_house *house, guint *missing, guint *surplus, GError **error)
{
    g_autofree char *basis = NULL, *rules = NULL;
    g_autoptr(GArray) kept = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) again = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) right = NULL;
    g_autoptr(GHashTable) stale = g_hash_table_new(g_int64_hash, g_int64_equal);
    GError *failed = NULL;
    gboolean spreads;
    guint k = 0, r = 0;

    *missing = *surplus = 0;
    basis = spl_judged_basis(house->book, &failed);
    rules = failed == NULL && basis != NULL ? spl_judged_rules(house, &failed) : NULL;
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (!spl_judged_spreads(house->book, &spreads, error))
        return FALSE;
    if (basis == NULL || spreads || strcmp(basis, rules) != 0)
        return TRUE; /* it is not looked at */
    right = sort_out(house, NULL, error);
    if (right == NULL || !spl_judged_list(house->book, FALSE, kept, error) ||
        !spl_judged_list(house->book, TRUE, again, error))
        return FALSE;
    for (guint i = 0; i < again->len; i++)
        g_hash_table_add(stale, &g_array_index(again, gint64, i));
    g_array_sort(kept, by_number);
    while (k < kept->len || r < right->len) {
        const gint64 *one = k < kept->len ? &g_array_index(kept, gint64, k) : NULL;
        const gint64 *other = r < right->len ? &g_array_index(right, gint64, r) : NULL;

        if (other == NULL || (one != NULL && *one < *other)) {
            *surplus += !g_hash_table_contains(stale, one); /* to be judged again: no harm */
            k++;
        } else if (one == NULL || *other < *one) {
            (*missing)++;
            r++;
        } else {
            k++;
            r++;
        }
    }
    return TRUE;
}
