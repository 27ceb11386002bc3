/* SPDX-License-Identifier: MIT
 *
 * Kept outings. See season/plan_keep.h.
 */
#include "season/plan_keep.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/site.h"
#include "core/verdict.h"
#include "season/plan_private.h"
#include "season/stand.h"
#include "simpling/error.h"

#define SAME_G 1.5 /* amounts that differ by less are one */

static const struct spl_field take_fields[] = {
    SPL_FIELD(spl_plan_take, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_plan_take, grams, 0, "grams", "g"),
    SPL_FIELD_NUM(spl_plan_take, planned_g, 0, "planned_g", NULL),
    SPL_FIELD(spl_plan_take, what_for, SPL_TEXTS, "for", "for"),
    SPL_FIELD(spl_plan_take, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_plan_take_shape = SPL_SHAPE("take", spl_plan_take, take_fields);

static const struct spl_field stop_fields[] = {
    SPL_FIELD(spl_plan_stop, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_plan_stop, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD(spl_plan_stop, reasons, SPL_TEXTS, "reasons", "reasons"),
    SPL_FIELD_LIST(spl_plan_stop, because, &spl_reason_shape, "because", NULL),
    SPL_FIELD(spl_plan_stop, why, SPL_TEXT, "why", "why here"),
    SPL_FIELD_LIST(spl_plan_stop, takes, &spl_plan_take_shape, "takes", "take"),
    SPL_FIELD_KEPT(spl_plan_stop, site_id, SPL_LONG),
};
const struct spl_shape spl_plan_stop_shape = SPL_SHAPE("stop", spl_plan_stop, stop_fields);

static const struct spl_field outing_fields[] = {
    SPL_FIELD(spl_plan_outing, date, SPL_DAY, "date", "day"),
    SPL_FIELD(spl_plan_outing, reserve, SPL_DAY, "reserve", "reserve"),
    SPL_FIELD(spl_plan_outing, moved, SPL_TEXT, "moved", "moved"),
    SPL_FIELD(spl_plan_outing, reserve_why, SPL_TEXT, "reserve_why", NULL),
    SPL_FIELD_LIST(spl_plan_outing, sites, &spl_plan_stop_shape, "sites", "to"),
    SPL_FIELD_NUM(spl_plan_outing, hours, 1, "hours", "h"),
    SPL_FIELD_NUM(spl_plan_outing, km, 0, "km", "km"),
    SPL_FIELD_NUM(spl_plan_outing, home_g, 0, "home_g", "home g"),
    SPL_FIELD(spl_plan_outing, free, SPL_TEXT, "free", "free"),
    SPL_FIELD(spl_plan_outing, fixed, SPL_BOOL, "fixed", NULL),
    SPL_FIELD(spl_plan_outing, past, SPL_BOOL, "past", NULL),
    SPL_FIELD(spl_plan_outing, uuid, SPL_TEXT, "uuid", NULL),
};
const struct spl_shape spl_plan_outing_shape = SPL_SHAPE("outing", spl_plan_outing, outing_fields);

static const struct spl_field call_fields[] = {
    SPL_FIELD(spl_plan_call, site, SPL_TEXT, "site", "about"),
    SPL_FIELD(spl_plan_call, who, SPL_TEXT, "who", "ask"),
    SPL_FIELD(spl_plan_call, from, SPL_DAY, "from", "from"),
    SPL_FIELD(spl_plan_call, by, SPL_DAY, "by", "by"),
    SPL_FIELD(spl_plan_call, outing, SPL_DAY, "outing", "outing"),
    SPL_FIELD(spl_plan_call, about, SPL_TEXT, "about", "why"),
};
const struct spl_shape spl_plan_call_shape = SPL_SHAPE("call", spl_plan_call, call_fields);

static const struct spl_field missing_fields[] = {
    SPL_FIELD(spl_plan_missing, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_plan_missing, grams, 0, "grams", "short g"),
    SPL_FIELD(spl_plan_missing, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_plan_missing, cure, SPL_TEXT, "cure", "what helps"),
};
const struct spl_shape spl_plan_missing_shape =
    SPL_SHAPE("missing", spl_plan_missing, missing_fields);

static const struct spl_field weighs_fields[] = {
    SPL_FIELD(spl_plan_weighs, what, SPL_TEXT, "what", "what"),
    SPL_FIELD_NUM(spl_plan_weighs, hours, 3, "hours", "h"),
};
const struct spl_shape spl_plan_weighs_shape = SPL_SHAPE("weighs", spl_plan_weighs, weighs_fields);

static const struct spl_field stage_fields[] = {
    SPL_FIELD(spl_plan_stage, stage, SPL_TEXT, "stage", "stage"),
    SPL_FIELD_NUM(spl_plan_stage, cost_h, 3, "cost_h", "weighs h"),
    SPL_FIELD_NUM(spl_plan_stage, cost_bound_h, 3, "cost_bound_h", "at least h"),
    SPL_FIELD(spl_plan_stage, outings, SPL_INT, "outings", "outings"),
    SPL_FIELD(spl_plan_stage, nodes, SPL_INT, "nodes", "nodes"),
};
const struct spl_shape spl_plan_stage_shape = SPL_SHAPE("stage", spl_plan_stage, stage_fields);

static const struct spl_field price_fields[] = {
    SPL_FIELD(spl_plan_price, setting, SPL_TEXT, "setting", "setting"),
    SPL_FIELD_NUM(spl_plan_price, hours, 2, "hours", "h"),
    SPL_FIELD(spl_plan_price, about, SPL_TEXT, "about", "for"),
};
const struct spl_shape spl_plan_price_shape = SPL_SHAPE("price", spl_plan_price, price_fields);

static const struct spl_field outings_fields[] = {
    SPL_FIELD_LIST(spl_plan_outings, outings, &spl_plan_outing_shape, "outings", "outings"),
    SPL_FIELD_LIST(spl_plan_outings, call, &spl_plan_call_shape, "call", "call list"),
    SPL_FIELD_LIST(spl_plan_outings, missing, &spl_plan_missing_shape, "short", "short"),
    SPL_FIELD(spl_plan_outings, outings_count, SPL_INT, "outings_count", NULL),
    SPL_FIELD(spl_plan_outings, lower_bound, SPL_INT, "lower_bound", NULL),
    SPL_FIELD_NUM(spl_plan_outings, hours, 1, "hours", NULL),
    SPL_FIELD_NUM(spl_plan_outings, km, 0, "km", NULL),
    SPL_FIELD_NUM(spl_plan_outings, cost_h, 3, "cost_h", NULL),
    SPL_FIELD_NUM(spl_plan_outings, cost_bound_h, 3, "cost_bound_h", NULL),
    SPL_FIELD_NUM(spl_plan_outings, gap, 4, "gap", NULL),
    SPL_FIELD_NUM(spl_plan_outings, reserve_h, 3, "reserve_h", NULL),
    SPL_FIELD_NUM(spl_plan_outings, seconds, 2, "seconds", NULL),
    SPL_FIELD(spl_plan_outings, stop, SPL_TEXT, "stop", NULL),
    SPL_FIELD(spl_plan_outings, stopped, SPL_BOOL, "stopped", NULL),
    SPL_FIELD(spl_plan_outings, kept, SPL_BOOL, "kept", NULL),
    SPL_FIELD_LIST(spl_plan_outings, weighs, &spl_plan_weighs_shape, "weighs", "weighs"),
    SPL_FIELD_LIST(spl_plan_outings, stages, &spl_plan_stage_shape, "stages", "stages"),
    SPL_FIELD_LIST(spl_plan_outings, prices, &spl_plan_price_shape, "prices", "weighed by"),
    SPL_FIELD(spl_plan_outings, changes, SPL_TEXTS, "changes", NULL),
    SPL_FIELD(spl_plan_outings, cautions, SPL_TEXTS, "cautions", NULL),
};
const struct spl_shape spl_plan_outings_shape =
    SPL_SHAPE("outings", spl_plan_outings, outings_fields);

struct spl_plan_outings spl_plan_outings_begin(void)
{
    return (struct spl_plan_outings){
        .outings = spl_list_new(&spl_plan_outing_shape),
        .call = spl_list_new(&spl_plan_call_shape),
        .missing = spl_list_new(&spl_plan_missing_shape),
        .hours = NAN,
        .km = NAN,
        .cost_h = NAN,
        .cost_bound_h = NAN,
        .gap = NAN,
        .reserve_h = NAN,
        .seconds = NAN,
        .weighs = spl_list_new(&spl_plan_weighs_shape),
        .stages = spl_list_new(&spl_plan_stage_shape),
        .prices = spl_list_new(&spl_plan_price_shape),
        .changes = g_ptr_array_new_with_free_func(g_free),
        .cautions = g_ptr_array_new_with_free_func(g_free),
    };
}

/* ---- storing ------------------------------------------------------------------------------- */

static struct spl_kept_outing *kept_at(const GArray *list, guint i)
{
    return &g_array_index(list, struct spl_kept_outing, i);
}

static gboolean stops_at(const struct spl_kept_outing *outing, gint64 site_id)
{
    for (guint i = 0; i < outing->stops->len; i++) {
        if (g_array_index(outing->stops, struct spl_kept_stop, i).site_id == site_id)
            return TRUE;
    }
    return FALSE;
}

static gboolean same_sites(const struct spl_kept_outing *one, const struct spl_kept_outing *other)
{
    if (one->stops->len != other->stops->len)
        return FALSE;
    for (guint i = 0; i < one->stops->len; i++) {
        if (!stops_at(other, g_array_index(one->stops, struct spl_kept_stop, i).site_id))
            return FALSE;
    }
    return TRUE;
}

/* What an outing takes of the same at the same place; NULL: nothing. */
static const struct spl_kept_take *take_of(const struct spl_kept_outing *outing,
                                           const struct spl_kept_take *like)
{
    for (guint i = 0; i < outing->takes->len; i++) {
        const struct spl_kept_take *take = &g_array_index(outing->takes, struct spl_kept_take, i);

        if (take->site_id == like->site_id && strcmp(take->material, like->material) == 0)
            return take;
    }
    return NULL;
}

/* Nothing that anybody would see differs. */
static gboolean unchanged(const struct spl_kept_outing *one, const struct spl_kept_outing *other)
{
    if (one->day.n != other->day.n || one->reserve.n != other->reserve.n ||
        one->fixed != other->fixed || !same_sites(one, other) ||
        one->takes->len != other->takes->len)
        return FALSE;
    for (guint i = 0; i < one->takes->len; i++) {
        const struct spl_kept_take *a = &g_array_index(one->takes, struct spl_kept_take, i);
        const struct spl_kept_take *b = &g_array_index(other->takes, struct spl_kept_take, i);

        if (a->site_id != b->site_id || strcmp(a->material, b->material) != 0 ||
            strcmp(a->what_for, b->what_for) != 0 || fabs(a->grams - b->grams) > SAME_G)
            return FALSE;
    }
    return TRUE;
}

/* The old outing that a fresh one continues, by number; -1: none. */
static int predecessor(const GArray *old, const gboolean *used, const struct spl_kept_outing *fresh,
                       struct spl_day today, gboolean by_day)
{
    int best = -1;

    for (guint i = 0; i < old->len; i++) {
        const struct spl_kept_outing *other = kept_at(old, i);

        if (used[i] || spl_day_compare(other->day, today) < 0)
            continue;
        if (by_day ? other->day.n != fresh->day.n : !same_sites(other, fresh))
            continue;
        if (best < 0 ||
            ABS(other->day.n - fresh->day.n) < ABS(kept_at(old, (guint)best)->day.n - fresh->day.n))
            best = (int)i;
    }
    return best;
}

/* Which of `old` each of `fresh` continues (its number; -1: none): `from` has room for all of
 * `fresh`, `used` for all of `old`. */
static void match(const GArray *old, const GArray *fresh, struct spl_day today, int *from,
                  gboolean *used)
{
    for (guint i = 0; i < fresh->len; i++)
        from[i] = -1;
    for (int turn = 0; turn < 2; turn++) {
        for (guint i = 0; i < fresh->len; i++) {
            if (from[i] >= 0)
                continue;
            from[i] = predecessor(old, used, kept_at(fresh, i), today, turn == 0);
            if (from[i] >= 0)
                used[from[i]] = TRUE;
        }
    }
}

static gboolean store(struct spl_house *house, const GArray *old, GArray *fresh, const GArray *off,
                      GError **error)
{
    g_autofree gboolean *used = g_new0(gboolean, old->len + 1);
    g_autofree int *from = g_new(int, fresh->len + 1);

    match(old, fresh, house->today, from, used);
    for (guint i = 0; i < fresh->len; i++) {
        struct spl_kept_outing *outing = kept_at(fresh, i);

        if (from[i] >= 0) {
            const struct spl_kept_outing *before = kept_at(old, (guint)from[i]);

            outing->id = before->id;
            outing->uuid = g_strdup(before->uuid);
            if (unchanged(before, outing))
                continue;
        }
        if (!spl_kept_outing_put(house->book, outing, error))
            return FALSE;
    }
    for (guint i = 0; i < old->len; i++) {
        if (!used[i] && spl_day_compare(kept_at(old, i)->day, house->today) >= 0 &&
            !spl_plan_strike(house->book, kept_at(old, i)->uuid, NULL, "planned anew", error))
            return FALSE;
    }
    for (guint i = 0; off != NULL && i < off->len; i++) {
        if (!spl_day_off_add(house->book, g_array_index(off, struct spl_plan_day_off, i).day,
                             error))
            return FALSE;
    }
    return TRUE;
}

/* "14 July: yarrow/herb 105 g to 120 g; lime/flower 400 g no longer". */
static void say_takes(const struct spl_kept_outing *before, const struct spl_kept_outing *after,
                      GPtrArray *changes)
{
    g_autofree char *day = spl_day_words(after->day);
    GString *text = g_string_new(NULL);

    for (guint i = 0; i < after->takes->len; i++) {
        const struct spl_kept_take *take = &g_array_index(after->takes, struct spl_kept_take, i);
        const struct spl_kept_take *was = take_of(before, take);
        g_autofree char *now = spl_mass_format(take->grams);
        g_autofree char *then = spl_mass_format(was != NULL ? was->grams : 0);

        if (was == NULL)
            g_string_append_printf(text, "; also %s %s", now, take->material);
        else if (fabs(was->grams - take->grams) > SAME_G)
            g_string_append_printf(text, "; %s %s instead of %s", take->material, now, then);
    }
    for (guint i = 0; i < before->takes->len; i++) {
        const struct spl_kept_take *was = &g_array_index(before->takes, struct spl_kept_take, i);

        g_autofree char *then = spl_mass_format(was->grams);

        if (take_of(after, was) == NULL)
            g_string_append_printf(text, "; no longer %s %s", then, was->material);
    }
    if (text->len > 0)
        g_ptr_array_add(changes, g_strdup_printf("%s: %s", day, text->str + 2));
    g_string_free(text, TRUE);
}

void spl_plan_say_changes(struct spl_house *house, const GArray *old, const GArray *fresh,
                          GPtrArray *changes)
{
    g_autofree gboolean *used = g_new0(gboolean, old->len + 1);
    g_autofree int *from = g_new(int, fresh->len + 1);
    gboolean any = FALSE;

    for (guint i = 0; i < old->len; i++)
        any |= spl_day_compare(kept_at(old, i)->day, house->today) >= 0;
    if (!any)
        return;
    match(old, fresh, house->today, from, used);
    for (guint i = 0; i < fresh->len; i++) {
        const struct spl_kept_outing *after = kept_at(fresh, i);
        const struct spl_kept_outing *before = from[i] >= 0 ? kept_at(old, (guint)from[i]) : NULL;
        g_autofree char *day = spl_day_words(after->day);

        if (before == NULL) {
            g_ptr_array_add(changes, g_strdup_printf("%s: a new outing", day));
            continue;
        }
        if (before->day.n != after->day.n) {
            g_autofree char *was = spl_day_words(before->day);

            g_ptr_array_add(changes, g_strdup_printf("%s: instead of %s", day, was));
        }
        say_takes(before, after, changes);
    }
    for (guint i = 0; i < old->len; i++) {
        g_autofree char *day = spl_day_words(kept_at(old, i)->day);

        if (!used[i] && spl_day_compare(kept_at(old, i)->day, house->today) >= 0)
            g_ptr_array_add(changes, g_strdup_printf("%s: no longer", day));
    }
}

gboolean spl_plan_store(struct spl_house *house, const GArray *old, GArray *fresh,
                        const GArray *off, GError **error)
{
    return spl_book_begin(house->book, error) &&
           spl_book_finish(house->book, store(house, old, fresh, off, error), error);
}

/* ---- showing ------------------------------------------------------------------------------- */

static GPtrArray *names_of(const char *lines)
{
    g_auto(GStrv) names = g_strsplit(lines, "\n", -1);
    GPtrArray *list = g_ptr_array_new_with_free_func(g_free);

    for (guint n = 0; names[n] != NULL; n++) {
        if (*names[n] != '\0')
            g_ptr_array_add(list, g_strdup(names[n]));
    }
    return list;
}

/* What the ground is for one material on that day and the reserve day, by what is known now. */
static gboolean judge_take(struct spl_house *house, const struct spl_kept_outing *kept,
                           const struct spl_site *site, const char *slug,
                           struct spl_plan_stop *stop, enum spl_verdict *worst, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_material *material =
        tables != NULL ? spl_tables_material_by_slug(tables, slug) : NULL;
    enum spl_verdict verdict;

    if (tables == NULL ||
        !spl_plan_ground(house, site, material, kept->day, kept->reserve, &verdict, stop, error))
        return FALSE;
    *worst = MAX(*worst, verdict);
    return TRUE;
}

/* What the stand can spare by now: others came, and so did we. */
static gboolean spare(struct spl_house *house, const struct spl_site *site, struct spl_day day,
                      struct spl_plan_take *take, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_material *material =
        tables != NULL ? spl_tables_material_by_slug(tables, take->material) : NULL;
    struct spl_stand_allowance allowance;
    gboolean known;

    if (material == NULL)
        return tables != NULL;
    if (!spl_stand_judge(house, site, material, day, &allowance, &known, error))
        return FALSE;
    if (known && allowance.left_g < take->grams) {
        take->planned_g = take->grams;
        take->grams = MAX(0, allowance.left_g);
    }
    spl_stand_allowance_clear(&allowance);
    return TRUE;
}

static gboolean show_stop(struct spl_house *house, const struct spl_kept_outing *kept,
                          const struct spl_kept_stop *from, struct spl_plan_stop *stop,
                          double *home_g, GError **error)
{
    enum spl_verdict worst = SPL_VERDICT_CLEAR;
    struct spl_site site;
    gboolean ok = TRUE, past = spl_day_compare(kept->day, house->today) < 0;

    if (!spl_site_named(house->book, from->site_id, &site, error))
        return FALSE;
    stop->site = g_strdup(site.name);
    stop->site_id = site.id;
    for (guint t = 0; t < kept->takes->len && ok; t++) {
        const struct spl_kept_take *load = &g_array_index(kept->takes, struct spl_kept_take, t);
        struct spl_plan_take take = {.grams = load->grams, .planned_g = NAN};

        if (load->site_id != from->site_id)
            continue;
        take.material = g_strdup(load->material);
        take.what_for = names_of(load->what_for);
        if (!past)
            ok = judge_take(house, kept, &site, load->material, stop, &worst, error) &&
                 (site.gone || spare(house, &site, kept->day, &take, error));
        g_array_append_val(stop->takes, take);
        *home_g += take.grams;
    }
    if (ok && !past && stop->takes->len == 0)
        ok = spl_plan_ground(house, &site, NULL, kept->day, kept->reserve, &worst, stop, error);
    /* What is past stands as it was planned. */
    stop->verdict = past ? from->verdict : worst;
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

gboolean spl_plan_show_outing(struct spl_house *house, const struct spl_kept_outing *kept,
                              struct spl_plan_outing *outing, GError **error)
{
    struct spl_plan_outing shown = {
        .date = kept->day,
        .reserve = kept->reserve,
        .sites = spl_list_new(&spl_plan_stop_shape),
        .hours = kept->hours,
        .km = kept->km,
        .fixed = kept->fixed,
        .past = spl_day_compare(kept->day, house->today) < 0,
        .moved = g_strdup(kept->why),
        .uuid = g_strdup(kept->uuid),
    };
    gboolean ok = TRUE;

    for (guint s = 0; s < kept->stops->len && ok; s++) {
        struct spl_plan_stop stop = {.reasons = g_ptr_array_new_with_free_func(g_free),
                                     .because = spl_list_new(&spl_reason_shape),
                                     .takes = spl_list_new(&spl_plan_take_shape)};

        ok = show_stop(house, kept, &g_array_index(kept->stops, struct spl_kept_stop, s), &stop,
                       &shown.home_g, error);
        g_array_append_val(shown.sites, stop);
    }
    if (ok)
        *outing = shown;
    else
        spl_record_clear(&spl_plan_outing_shape, &shown);
    return ok;
}

static gboolean show_outing(struct spl_house *house, const struct spl_kept_outing *kept,
                            GArray *list, GError **error)
{
    struct spl_plan_outing outing;

    if (!spl_plan_show_outing(house, kept, &outing, error))
        return FALSE;
    g_array_append_val(list, outing);
    return TRUE;
}

gboolean spl_plan_show_outings(struct spl_house *house, const GArray *old, const GArray *fresh,
                               struct spl_plan_outings *out, GError **error)
{
    for (guint i = 0; i < old->len; i++) {
        if ((fresh == NULL || spl_day_compare(kept_at(old, i)->day, house->today) < 0) &&
            !show_outing(house, kept_at(old, i), out->outings, error))
            return FALSE;
    }
    for (guint i = 0; fresh != NULL && i < fresh->len; i++) {
        if (!show_outing(house, kept_at(fresh, i), out->outings, error))
            return FALSE;
    }
    return TRUE;
}

/* ---- against the log ----------------------------------------------------------------------- */

/* What is still needed of a material, and what a stand can still spare of it: less with each outing
 * that is counted. */
struct still {
    const char *material; /* of the tables */
    double grams;
};

static double *still_of(GArray *needs, const struct spl_material *material)
{
    struct still fresh = {material->slug, 0};

    for (guint i = 0; i < needs->len; i++) {
        if (strcmp(g_array_index(needs, struct still, i).material, material->slug) == 0)
            return &g_array_index(needs, struct still, i).grams;
    }
    g_array_append_val(needs, fresh);
    return &g_array_index(needs, struct still, needs->len - 1).grams;
}

/* Of the same plant's parts at a place, what share of what it spares the outings before took. */
static double spent_share(GHashTable *spent, gint64 site_id, const char *plant, double add)
{
    g_autofree char *key = g_strdup_printf("%" G_GINT64_FORMAT "|%s", site_id, plant);
    double *share = g_hash_table_lookup(spent, key);

    if (share == NULL) {
        share = g_new0(double, 1);
        g_hash_table_insert(spent, g_steal_pointer(&key), share);
    }
    *share += add;
    return *share - add;
}

/* One take by what is needed and to be had now. */
static gboolean reckon_take(struct spl_house *house, const struct spl_kept_outing *kept,
                            const struct spl_site *site, const struct spl_material *material,
                            GArray *needs, GHashTable *spent, struct spl_plan_take *take,
                            GError **error)
{
    struct spl_stand_allowance allowance = {0};
    double *need = still_of(needs, material), planned = take->grams, spare, whole;
    gboolean known;

    if (!spl_stand_judge(house, site, material, house->today, &allowance, &known, error))
        return FALSE;
    whole = allowance.left_g;
    spare = MAX(1 - spent_share(spent, site->id, material->plant->slug, 0), 0) * whole;
    spl_stand_allowance_clear(&allowance);
    /* What the person set stays, as far as the stand has it. */
    if (!kept->fixed)
        take->grams = MIN(take->grams, MAX(ceil(*need), 0));
    take->grams = MIN(take->grams, MAX(floor(spare + 0.5), 0));
    if (whole > 0)
        spent_share(spent, site->id, material->plant->slug, take->grams / whole);
    *need = MAX(*need - take->grams, 0);
    if (planned - take->grams > SAME_G) {
        g_autofree char *mass = spl_mass_format(planned);

        take->note = g_strdup_printf(take->grams < spare - SAME_G
                                         ? "%s were planned; no more is needed now"
                                         : "%s were planned; the stand spares no more now",
                                     mass);
    }
    return TRUE;
}

/* The takes to come by what was picked, made and noted since they were planned. */
static gboolean reckon(struct spl_house *house, const GArray *kept, GArray *needs,
                       struct spl_plan_outings *plan, GError **error)
{
    g_autoptr(GHashTable) spent = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);

    for (guint o = 0; o < kept->len; o++) {
        const struct spl_kept_outing *from = kept_at(kept, o);
        struct spl_plan_outing *outing = &g_array_index(plan->outings, struct spl_plan_outing, o);

        for (guint s = 0; !outing->past && s < from->stops->len; s++) {
            struct spl_plan_stop *stop = &g_array_index(outing->sites, struct spl_plan_stop, s);
            struct spl_site site;
            gboolean ok = TRUE;

            if (!spl_site_named(house->book,
                                g_array_index(from->stops, struct spl_kept_stop, s).site_id, &site,
                                error))
                return FALSE;
            for (guint t = 0; ok && !site.gone && t < stop->takes->len; t++) {
                struct spl_plan_take *take = &g_array_index(stop->takes, struct spl_plan_take, t);
                const struct spl_material *material =
                    spl_tables_material_by_slug(house->tables, take->material);

                outing->home_g -= take->grams;
                ok = material == NULL ||
                     reckon_take(house, from, &site, material, needs, spent, take, error);
                outing->home_g += take->grams;
            }
            spl_record_clear(&spl_site_shape, &site);
            if (!ok)
                return FALSE;
        }
    }
    return TRUE;
}

static gboolean follow_log(struct spl_house *house, int season, const GArray *kept,
                           struct spl_plan_outings *plan, GError **error)
{
    g_autoptr(GArray) needs = g_array_new(FALSE, FALSE, sizeof(struct still));
    struct spl_plan_state state;
    gboolean ok;

    if (plan->outings->len == 0)
        return TRUE;
    if (!spl_plan_state_load(house, season, &state, error))
        return FALSE;
    for (guint w = 0; w < state.wants->len; w++) {
        const struct spl_plan_want *want = &g_array_index(state.wants, struct spl_plan_want, w);

        *still_of(needs, want->material) += want->remaining_g;
    }
    ok = reckon(house, kept, needs, plan, error);
    spl_plan_state_clear(&state);
    return ok;
}

gboolean spl_plan_kept(struct spl_house *house, int season, struct spl_plan_outings *plan,
                       GError **error)
{
    int year = season != 0 ? season : spl_plan_season(house, NULL);
    g_autoptr(GArray) kept = spl_kept_outing_list(house->book, year, error);
    struct spl_plan_outings told;

    if (kept == NULL)
        return FALSE;
    told = spl_plan_outings_begin();
    told.kept = TRUE;
    if (!spl_plan_show_outings(house, kept, NULL, &told, error) ||
        !follow_log(house, year, kept, &told, error)) {
        spl_record_clear(&spl_plan_outings_shape, &told);
        return FALSE;
    }
    if (!spl_plan_add_calls(house, &told, error)) {
        spl_record_clear(&spl_plan_outings_shape, &told);
        return FALSE;
    }
    *plan = told;
    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_plan_outing *outing =
            &g_array_index(plan->outings, struct spl_plan_outing, i);

        plan->outings_count += !outing->past;
        if (!outing->past) {
            plan->hours = (isnan(plan->hours) ? 0 : plan->hours) + outing->hours;
            plan->km = (isnan(plan->km) ? 0 : plan->km) + outing->km;
        }
    }
    return TRUE;
}
