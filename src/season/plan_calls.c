/* SPDX-License-Identifier: MIT
 *
 * The call list of a plan: whom to ask about which ground, by when. See season/plan_private.h.
 */
#include <string.h>

#include "book/site.h"
#include "season/plan_private.h"
#include "simpling/error.h"

#define ASK_DAYS_BEFORE 7 /* by when to have asked */
#define ASK_DAYS_FROM 55  /* a word holds 60 days in season: not before */

static gboolean whom(struct spl_house *house, const char *name, char **who, GError **error)
{
    GError *failed = NULL;
    struct spl_site site;

    *who = NULL;
    if (!spl_house_site(house, "site", name, &site, &failed)) {
        /* Of a place that is gone nobody is known, and the others are called all the same. */
        if (!g_error_matches(failed, SPL_ERROR, SPL_ERROR_NOT_FOUND)) {
            g_propagate_error(error, failed);
            return FALSE;
        }
        g_error_free(failed);
        return TRUE;
    }
    *who = spl_plan_whom_to_ask(house, &site, error);
    spl_record_clear(&spl_site_shape, &site);
    return *who != NULL;
}

static char *joined(const GPtrArray *texts)
{
    GString *text = g_string_new(NULL);

    for (guint i = 0; i < texts->len; i++)
        g_string_append_printf(text, "%s%s", i > 0 ? "; " : "",
                               (const char *)g_ptr_array_index(texts, i));
    return g_string_free(text, FALSE);
}

/* Appends those that are not there yet. */
static void join(GPtrArray *all, const GPtrArray *more)
{
    for (guint i = 0; i < more->len; i++) {
        gpointer text = g_ptr_array_index(more, i);

        if (!g_ptr_array_find_with_equal_func(all, text, g_str_equal, NULL))
            g_ptr_array_add(all, text);
    }
}

/* Whom to ask about which ground, in which days, for the first outing that hangs on it, and all
 * that is to be asked there over the season. */
gboolean spl_plan_add_calls(struct spl_house *house, struct spl_plan_outings *out, GError **error)
{
    g_autoptr(GPtrArray) about = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);

    for (guint i = 0; i < out->outings->len; i++) {
        const struct spl_plan_outing *outing =
            &g_array_index(out->outings, struct spl_plan_outing, i);

        for (guint s = 0; !outing->past && s < outing->sites->len; s++) {
            const struct spl_plan_stop *stop =
                &g_array_index(outing->sites, struct spl_plan_stop, s);
            struct spl_plan_call call = {.outing = outing->date};
            guint c = 0;

            if (stop->verdict != SPL_VERDICT_ASK)
                continue;
            while (c < out->call->len &&
                   strcmp(g_array_index(out->call, struct spl_plan_call, c).site, stop->site) != 0)
                c++;
            if (c == out->call->len)
                g_ptr_array_add(about, g_ptr_array_new()); /* of texts of the stops */
            join(g_ptr_array_index(about, c), stop->reasons);
            if (c < out->call->len)
                continue;
            if (!whom(house, stop->site, &call.who, error))
                return FALSE;
            call.site = g_strdup(stop->site);
            call.from = spl_day_add(outing->date, -ASK_DAYS_FROM);
            call.by = spl_day_add(outing->date, -ASK_DAYS_BEFORE);
            if (spl_day_compare(call.from, house->today) < 0)
                call.from = house->today;
            if (spl_day_compare(call.by, call.from) < 0)
                call.by = call.from;
            g_array_append_val(out->call, call);
        }
    }
    for (guint c = 0; c < out->call->len; c++)
        g_array_index(out->call, struct spl_plan_call, c).about =
            joined(g_ptr_array_index(about, c));
    return TRUE;
}
