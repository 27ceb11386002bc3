/* SPDX-License-Identifier: MIT
 *
 * Needs against allowances.
 */
#include "core/shortfall.h"

#include <math.h>

#include "base/amount.h"
#include "core/simplex.h"
#include "simpling/error.h"

#define HARDLY_G 0.5

static const struct spl_shortfall_source *source_at(const GArray *sources, guint i)
{
    return &g_array_index(sources, struct spl_shortfall_source, i);
}

static const struct spl_shortfall_need *need_at(const GArray *needs, guint i)
{
    return &g_array_index(needs, struct spl_shortfall_need, i);
}

static const struct spl_shortfall_material *material_at(const GArray *materials, int i)
{
    return &g_array_index(materials, struct spl_shortfall_material, i);
}

static gboolean gives(const struct spl_shortfall_source *source)
{
    return (source->state == SPL_SUPPLY_OPEN || source->state == SPL_SUPPLY_ASK) &&
           source->allowance_g > 0;
}

/* Whether an earlier source is of the same stand and material: another window of it. */
static gboolean is_again(const GArray *sources, guint i)
{
    const struct spl_shortfall_source *source = source_at(sources, i);

    for (guint k = 0; source->stand >= 0 && k < i; k++) {
        if (source_at(sources, k)->stand == source->stand &&
            source_at(sources, k)->material == source->material)
            return TRUE;
    }
    return FALSE;
}

/* Whether another window of the same stand and material is of the state, or gives. */
static gboolean other_window(const GArray *sources, guint i, gboolean giving)
{
    const struct spl_shortfall_source *source = source_at(sources, i);

    for (guint k = 0; source->stand >= 0 && k < sources->len; k++) {
        const struct spl_shortfall_source *other = source_at(sources, k);

        if (k == i || other->stand != source->stand || other->material != source->material)
            continue;
        if (giving ? gives(other) : k < i && other->state == source->state)
            return TRUE;
    }
    return FALSE;
}

/* In time for the need: its window opens before the need's day. */
static gboolean serves(const struct spl_shortfall_source *source,
                       const struct spl_shortfall_need *need)
{
    return source->material == need->material && gives(source) &&
           (!spl_day_is_set(need->by) || !spl_day_is_set(source->earliest) ||
            source->earliest.n <= need->by.n);
}

static gboolean check(const GArray *materials, const GArray *sources, const GArray *needs,
                      GError **error)
{
    for (guint i = 0; i < needs->len; i++) {
        const struct spl_shortfall_need *need = need_at(needs, i);

        if (need->material < 0 || need->material >= (int)materials->len ||
            !isfinite(need->fresh_g) || need->fresh_g < 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s needs %g g: a need is 0 g or more of a known material",
                        need->what_for != NULL ? need->what_for : "a batch", need->fresh_g);
            return FALSE;
        }
    }
    for (guint i = 0; i < sources->len; i++) {
        const struct spl_shortfall_source *source = source_at(sources, i);

        if (source->material < 0 || source->material >= (int)materials->len ||
            !isfinite(source->allowance_g) || source->allowance_g < 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s may give %g g: an allowance is 0 g or more of a known material",
                        source->site, source->allowance_g);
            return FALSE;
        }
    }
    return TRUE;
}

/* ---- the split ----------------------------------------------------------------------------- */

/* The stand's number, with those alone numbered after the others. */
static int stand_of(const GArray *sources, guint i, int n_shared)
{
    int stand = source_at(sources, i)->stand;

    return stand >= 0 ? stand : n_shared + (int)i;
}

/*
 * got[need] from the stands: maximise the sum of got / need over the materials; a gram from a stand
 * uses its fraction of the shared allowance. Columns are (source, need) pairs.
 */
static void split(const GArray *sources, const GArray *needs, const double *wanted,
                  const double *whole, double *got)
{
    g_autoptr(GArray) pairs = g_array_new(FALSE, FALSE, 2 * sizeof(int));
    g_autofree double *a = NULL, *b = NULL, *cost = NULL, *x = NULL;
    int n_shared = 0, n_stands, n_rows;

    for (guint i = 0; i < sources->len; i++)
        n_shared = MAX(n_shared, source_at(sources, i)->stand + 1);
    n_stands = n_shared + (int)sources->len;
    n_rows = n_stands + (int)needs->len;
    for (guint n = 0; n < needs->len; n++) {
        for (guint i = 0; i < sources->len; i++) {
            int pair[2] = {(int)i, (int)n};

            if (wanted[n] > 0 && serves(source_at(sources, i), need_at(needs, n)))
                g_array_append_val(pairs, pair);
        }
    }
    a = g_new0(double, (gsize)n_rows *(gsize)pairs->len + 1);
    b = g_new(double, (gsize)n_rows + 1);
    cost = g_new0(double, (gsize)pairs->len + 1);
    x = g_new0(double, (gsize)pairs->len + 1);
    for (int r = 0; r < n_rows; r++)
        b[r] = r < n_stands ? 1 : wanted[r - n_stands];
    for (guint p = 0; p < pairs->len; p++) {
        const int *pair = &g_array_index(pairs, int, 2 * p);
        const struct spl_shortfall_source *source = source_at(sources, (guint)pair[0]);
        int stand = stand_of(sources, (guint)pair[0], n_shared);

        a[(gsize)stand * pairs->len + p] = 1 / source->allowance_g;
        a[(gsize)(n_stands + pair[1]) * pairs->len + p] = 1;
        cost[p] = 1 / whole[source->material];
    }
    spl_simplex(n_rows, (int)pairs->len, a, b, cost, x);
    for (guint n = 0; n < needs->len; n++)
        got[n] = 0;
    for (guint p = 0; p < pairs->len; p++)
        got[(&g_array_index(pairs, int, 2 * p))[1]] += x[p];
}

/* ---- words --------------------------------------------------------------------------------- */

/* "4 stands rest, 1 is closed": what keeps the sources of the material from giving. */
static char *hindrances(const GArray *sources, int material)
{
    static const struct {
        enum spl_supply_state state;
        const char *one, *many;
    } words[] = {
        {SPL_SUPPLY_CLOSED, "1 site is closed", "sites are closed"},
        {SPL_SUPPLY_UNASKED, "1 site must be asked about first", "sites must be asked about first"},
        {SPL_SUPPLY_REFUSED, "1 site may not be picked", "sites may not be picked"},
        {SPL_SUPPLY_RESTS, "1 stand rests", "stands rest"},
        {SPL_SUPPLY_FEW, "1 stand has fewer than 20 plants", "stands have fewer than 20 plants"},
        {SPL_SUPPLY_UNSIZED, "1 stand was never counted", "stands were never counted"},
        {SPL_SUPPLY_NO_WINDOW, "1 site has no window in this season",
         "sites have no window in this season"},
        {SPL_SUPPLY_OVER, "at 1 site its time is over", "sites are past their time"},
    };
    GString *text = g_string_new(NULL);

    for (gsize w = 0; w < G_N_ELEMENTS(words); w++) {
        int n = 0;

        for (guint i = 0; i < sources->len; i++)
            n += source_at(sources, i)->material == material &&
                 source_at(sources, i)->state == words[w].state &&
                 !other_window(sources, i, TRUE) && !other_window(sources, i, FALSE);
        if (n == 0)
            continue;
        g_string_append(text, text->len > 0 ? ", " : "");
        if (n == 1)
            g_string_append(text, words[w].one);
        else
            g_string_append_printf(text, "%d %s", n, words[w].many);
    }
    return g_string_free(text, FALSE);
}

static gboolean has_state(const GArray *sources, int material, enum spl_supply_state state,
                          const char **site)
{
    for (guint i = 0; i < sources->len; i++) {
        if (source_at(sources, i)->material == material && source_at(sources, i)->state == state) {
            *site = source_at(sources, i)->site;
            return TRUE;
        }
    }
    return FALSE;
}

/* Whether a later day for a need that is short would bring more stands in. */
static gboolean too_early(const GArray *sources, const GArray *needs, const double *missing,
                          int material, struct spl_day *from)
{
    *from = SPL_DAY_NONE;
    for (guint n = 0; n < needs->len; n++) {
        for (guint i = 0; i < sources->len; i++) {
            const struct spl_shortfall_source *source = source_at(sources, i);

            if (need_at(needs, n)->material == material && missing[n] > 0 &&
                source->material == material && gives(source) &&
                !serves(source, need_at(needs, n)) && spl_day_compare(source->earliest, *from) < 0)
                *from = source->earliest;
        }
    }
    return spl_day_is_set(*from);
}

static gboolean shares(const GArray *sources, const GArray *needs, int material, int *with)
{
    for (guint i = 0; i < sources->len; i++) {
        for (guint j = 0; j < sources->len; j++) {
            const struct spl_shortfall_source *one = source_at(sources, i);
            const struct spl_shortfall_source *other = source_at(sources, j);

            if (one->material != material || other->material == material || one->stand < 0 ||
                one->stand != other->stand || !gives(one) || !gives(other))
                continue;
            for (guint n = 0; n < needs->len; n++) {
                if (need_at(needs, n)->material == other->material) {
                    *with = other->material;
                    return TRUE;
                }
            }
        }
    }
    return FALSE;
}

static void explain(const GArray *materials, const GArray *sources, const GArray *needs,
                    const double *missing_g, struct spl_shortfall *s)
{
    const struct spl_shortfall_material *material = material_at(materials, s->material);
    g_autofree char *hindered = hindrances(sources, s->material);
    g_autofree char *missing = spl_mass_format(ceil(s->short_g));
    GString *cause = g_string_new(NULL), *cure = g_string_new(NULL);
    const char *site = NULL;
    struct spl_day from;
    int with;
    gboolean any = FALSE;

    for (guint i = 0; i < sources->len; i++)
        any |= source_at(sources, i)->material == s->material;
    if (!any) {
        g_string_append(cause, "no site bears it");
    } else if (s->sites->len == 0) {
        g_string_append(cause, "no stand gives any");
    } else {
        g_autofree char *spare = spl_mass_format(floor(s->allowance_g));

        g_string_append_printf(cause, "the stands can spare %s", spare);
        if (shares(sources, needs, s->material, &with))
            g_string_append_printf(cause, " beside what is taken as %s from the same plants",
                                   material_at(materials, with)->name);
    }
    if (*hindered != '\0')
        g_string_append_printf(cause, "; %s", hindered);
    if (has_state(sources, s->material, SPL_SUPPLY_UNSIZED, &site))
        g_string_append_printf(cure, "count the stand at %s, or ", site);
    if (has_state(sources, s->material, SPL_SUPPLY_UNASKED, &site))
        g_string_append_printf(cure, "ask about %s, or ", site);
    if (too_early(sources, needs, missing_g, s->material, &from)) {
        g_autofree char *day = spl_day_words(from);

        g_string_append(cause, "; the day it is wanted by is too early for some");
        g_string_append_printf(cure, "allow it later (picking opens there %s), or ", day);
    }
    g_string_append_printf(cure, "find another site for %s", missing);
    if (s->need_g > 0 && s->short_g < s->need_g - HARDLY_G)
        g_string_append_printf(cure, ", make %.0f %% of the batch",
                               floor(100 * (s->need_g - s->short_g) / s->need_g));
    if (isfinite(material->fresh_per_dry) && material->fresh_per_dry > 0) {
        g_autofree char *dried = spl_mass_format(ceil(s->short_g / material->fresh_per_dry));

        g_string_append_printf(cure, ", or buy %s dried", dried);
    } else {
        g_string_append_printf(cure, ", or buy %s fresh", missing);
    }
    s->cause = g_string_free(cause, FALSE);
    s->cure = g_string_free(cure, FALSE);
}

/* ---- all together -------------------------------------------------------------------------- */

static void clear_shortfall(gpointer data)
{
    struct spl_shortfall *s = data;

    g_ptr_array_unref(s->sites);
    g_free(s->cause);
    g_free(s->cure);
}

/* The shelf serves the needs in the order of their days. */
static void from_shelf(const GArray *materials, const GArray *needs, double *wanted)
{
    for (int m = 0; m < (int)materials->len; m++) {
        double left = MAX(material_at(materials, m)->stock_g, 0);

        while (left > 0) {
            int next = -1;
            double part;

            for (guint n = 0; n < needs->len; n++) {
                if (need_at(needs, n)->material == m && wanted[n] > 0 &&
                    (next < 0 ||
                     spl_day_compare(need_at(needs, n)->by, need_at(needs, (guint)next)->by) < 0))
                    next = (int)n;
            }
            if (next < 0)
                break;
            part = MIN(left, wanted[next]);
            wanted[next] = part >= wanted[next] ? 0 : wanted[next] - part;
            left -= part;
        }
    }
}

static void add_sites(const GArray *sources, struct spl_shortfall *s)
{
    for (guint i = 0; i < sources->len; i++) {
        const struct spl_shortfall_source *source = source_at(sources, i);

        if (source->material != s->material || !gives(source))
            continue;
        if (!g_ptr_array_find_with_equal_func(s->sites, source->site, g_str_equal, NULL))
            g_ptr_array_add(s->sites, g_strdup(source->site));
        if (!spl_day_is_set(s->earliest) || spl_day_compare(source->earliest, s->earliest) < 0)
            s->earliest = source->earliest;
        if (spl_day_is_set(source->latest) &&
            (!spl_day_is_set(s->latest) || source->latest.n > s->latest.n))
            s->latest = source->latest;
    }
}

GArray *spl_shortfall_reckon(const GArray *materials, const GArray *sources, const GArray *needs,
                             GError **error)
{
    g_autofree double *wanted = g_new0(double, needs->len + 1);
    g_autofree double *got = g_new0(double, needs->len + 1);
    g_autofree double *missing = g_new0(double, needs->len + 1);
    g_autofree double *whole = g_new0(double, materials->len + 1);
    GArray *list;

    if (!check(materials, sources, needs, error))
        return NULL;
    for (guint n = 0; n < needs->len; n++) {
        wanted[n] = need_at(needs, n)->fresh_g;
        whole[need_at(needs, n)->material] += need_at(needs, n)->fresh_g;
    }
    from_shelf(materials, needs, wanted);
    split(sources, needs, wanted, whole, got);
    for (guint n = 0; n < needs->len; n++)
        missing[n] = wanted[n] - got[n] <=
                             MAX(HARDLY_G, SPL_SHORTFALL_ENOUGH_FRAC * need_at(needs, n)->fresh_g)
                         ? 0
                         : wanted[n] - got[n];
    list = g_array_new(FALSE, TRUE, sizeof(struct spl_shortfall));
    g_array_set_clear_func(list, clear_shortfall);
    for (int m = 0; m < (int)materials->len; m++) {
        struct spl_shortfall s = {.material = m, .earliest = SPL_DAY_NONE, .latest = SPL_DAY_NONE};
        double most = 0, open = 0;

        if (whole[m] <= 0)
            continue;
        s.sites = g_ptr_array_new_with_free_func(g_free);
        s.need_g = whole[m];
        for (guint n = 0; n < needs->len; n++) {
            if (need_at(needs, n)->material != m)
                continue;
            open += wanted[n];
            s.short_g += missing[n];
        }
        s.stock_g = whole[m] - open;
        for (guint i = 0; i < sources->len; i++) {
            if (source_at(sources, i)->material == m && gives(source_at(sources, i)) &&
                !is_again(sources, i))
                most += source_at(sources, i)->allowance_g;
        }
        /* What is short is just what the stands cannot spare beside the other needs. */
        s.allowance_g = s.short_g > 0 ? open - s.short_g : most;
        add_sites(sources, &s);
        if (s.short_g > 0)
            explain(materials, sources, needs, missing, &s);
        g_array_append_val(list, s);
    }
    return list;
}
