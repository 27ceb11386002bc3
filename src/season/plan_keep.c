/* SPDX-License-Identifier: MIT
 *
 * Kept outings. See season/plan_keep.h.
 */
#include "season/plan_keep.h"

#include <math.h>
#include <string.h>

#include "book/site.h"
#include "season/plan_private.h"
#include "simpling/error.h"

static const struct spl_field take_fields[] = {
    SPL_FIELD(spl_plan_take, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_plan_take, grams, 0, "grams", "g"),
    SPL_FIELD(spl_plan_take, what_for, SPL_TEXTS, "for", "for"),
};
const struct spl_shape spl_plan_take_shape = SPL_SHAPE("take", spl_plan_take, take_fields);

static const struct spl_field stop_fields[] = {
    SPL_FIELD(spl_plan_stop, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_plan_stop, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD_LIST(spl_plan_stop, takes, &spl_plan_take_shape, "takes", "take"),
};
const struct spl_shape spl_plan_stop_shape = SPL_SHAPE("stop", spl_plan_stop, stop_fields);

static const struct spl_field outing_fields[] = {
    SPL_FIELD(spl_plan_outing, date, SPL_DAY, "date", "day"),
    SPL_FIELD(spl_plan_outing, reserve, SPL_DAY, "reserve", "reserve"),
    SPL_FIELD_LIST(spl_plan_outing, sites, &spl_plan_stop_shape, "sites", "to"),
    SPL_FIELD_NUM(spl_plan_outing, hours, 1, "hours", "h"),
    SPL_FIELD_NUM(spl_plan_outing, km, 0, "km", "km"),
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

static const struct spl_field outings_fields[] = {
    SPL_FIELD_LIST(spl_plan_outings, outings, &spl_plan_outing_shape, "outings", "outings"),
    SPL_FIELD_LIST(spl_plan_outings, call, &spl_plan_call_shape, "call", "call list"),
    SPL_FIELD_LIST(spl_plan_outings, missing, &spl_plan_missing_shape, "short", "short"),
    SPL_FIELD(spl_plan_outings, outings_count, SPL_INT, "outings_count", NULL),
    SPL_FIELD(spl_plan_outings, lower_bound, SPL_INT, "lower_bound", NULL),
    SPL_FIELD_NUM(spl_plan_outings, cost_h, 3, "cost_h", NULL),
    SPL_FIELD_NUM(spl_plan_outings, cost_bound_h, 3, "cost_bound_h", NULL),
    SPL_FIELD_NUM(spl_plan_outings, gap, 4, "gap", NULL),
    SPL_FIELD_NUM(spl_plan_outings, seconds, 2, "seconds", NULL),
    SPL_FIELD(spl_plan_outings, stop, SPL_TEXT, "stop", NULL),
    SPL_FIELD(spl_plan_outings, kept, SPL_BOOL, "kept", NULL),
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
        .cost_h = NAN,
        .cost_bound_h = NAN,
        .gap = NAN,
        .seconds = NAN,
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
            strcmp(a->what_for, b->what_for) != 0 || fabs(a->grams - b->grams) > 1.5)
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

static gboolean store(struct spl_house *house, const GArray *old, GArray *fresh,
                      const struct spl_day *off, guint n_off, GError **error)
{
    g_autofree gboolean *used = g_new0(gboolean, old->len + 1);
    g_autofree int *from = g_new(int, fresh->len + 1);

    for (guint i = 0; i < fresh->len; i++)
        from[i] = -1;
    for (int turn = 0; turn < 2; turn++) {
        for (guint i = 0; i < fresh->len; i++) {
            if (from[i] >= 0)
                continue;
            from[i] = predecessor(old, used, kept_at(fresh, i), house->today, turn == 0);
            if (from[i] >= 0)
                used[from[i]] = TRUE;
        }
    }
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
    for (guint i = 0; i < n_off; i++) {
        if (!spl_day_off_add(house->book, off[i], error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_plan_store(struct spl_house *house, const GArray *old, GArray *fresh,
                        const struct spl_day *off, guint n_off, GError **error)
{
    return spl_book_begin(house->book, error) &&
           spl_book_finish(house->book, store(house, old, fresh, off, n_off, error), error);
}

/* ---- showing ------------------------------------------------------------------------------- */

static gboolean show_outing(struct spl_house *house, const struct spl_kept_outing *kept,
                            GArray *list, GError **error)
{
    struct spl_plan_outing outing = {
        .date = kept->day,
        .reserve = kept->reserve,
        .sites = spl_list_new(&spl_plan_stop_shape),
        .hours = kept->hours,
        .km = kept->km,
        .fixed = kept->fixed,
        .past = spl_day_compare(kept->day, house->today) < 0,
        .uuid = g_strdup(kept->uuid),
    };
    gboolean ok = TRUE;

    for (guint s = 0; s < kept->stops->len && ok; s++) {
        const struct spl_kept_stop *from = &g_array_index(kept->stops, struct spl_kept_stop, s);
        struct spl_plan_stop stop = {.verdict = g_strdup(from->verdict),
                                     .takes = spl_list_new(&spl_plan_take_shape)};
        struct spl_site site;

        ok = spl_site_load(house->book, from->site_id, &site, error);
        if (ok) {
            stop.site = g_strdup(site.name);
            spl_record_clear(&spl_site_shape, &site);
        }
        for (guint t = 0; t < kept->takes->len && ok; t++) {
            const struct spl_kept_take *load = &g_array_index(kept->takes, struct spl_kept_take, t);
            g_auto(GStrv) names = g_strsplit(load->what_for, "\n", -1);
            struct spl_plan_take take = {.material = g_strdup(load->material),
                                         .grams = load->grams,
                                         .what_for = g_ptr_array_new_with_free_func(g_free)};

            if (load->site_id != from->site_id) {
                spl_record_clear(&spl_plan_take_shape, &take);
                continue;
            }
            for (guint n = 0; names[n] != NULL; n++) {
                if (*names[n] != '\0')
                    g_ptr_array_add(take.what_for, g_strdup(names[n]));
            }
            g_array_append_val(stop.takes, take);
        }
        g_array_append_val(outing.sites, stop);
    }
    g_array_append_val(list, outing);
    return ok;
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

gboolean spl_plan_kept(struct spl_house *house, int season, struct spl_plan_outings *plan,
                       GError **error)
{
    int year = season != 0 ? season : spl_plan_season(house, NULL);
    g_autoptr(GArray) kept = spl_kept_outing_list(house->book, year, error);

    if (kept == NULL)
        return FALSE;
    *plan = spl_plan_outings_begin();
    plan->kept = TRUE;
    if (!spl_plan_show_outings(house, kept, NULL, plan, error)) {
        spl_record_clear(&spl_plan_outings_shape, plan);
        return FALSE;
    }
    for (guint i = 0; i < plan->outings->len; i++) {
        const struct spl_plan_outing *outing =
            &g_array_index(plan->outings, struct spl_plan_outing, i);

        plan->outings_count += !outing->past;
    }
    return TRUE;
}
