/* SPDX-License-Identifier: MIT
 *
 * Why something is held, asked about or refused, and what would settle it: each step a link to its
 * form with the inputs that are known filled in. See desk/page.h.
 */
#include <string.h>

#include "desk/act.h"
#include "desk/page.h"

/* The form for an action, and its words on the link; NULL: the desk has none. */
static const struct {
    const char *act, *words;
} settles[SPL_ACTIONS] = {
    [SPL_ACTION_SPRAY_NOTE] = {"spray-note", "Ask, and note what they say of spraying"},
    [SPL_ACTION_SITE_PERMIT] = {"site-permit", "Ask for leave, and note the answer"},
    [SPL_ACTION_STRIKE] = {"strike", "If it is wrong, strike it"},
    [SPL_ACTION_DRYING_WEIGH] = {"drying-weigh", "Weigh what is on the rack"},
    [SPL_ACTION_STAND_MARK] = {"stand-mark", "It was seen in leaf or flower: say so"},
    [SPL_ACTION_LOT_RELEASE] = {"lot-release", "When that is settled, let it out"},
    [SPL_ACTION_LOT_COUNT] = {"lot-count", "Count what stands there"},
    [SPL_ACTION_DRY_TEST] = {"drying-test", "Try it by hand, and note what you found"},
    [SPL_ACTION_HARVEST_RELEASE] = {"harvest-release", "When that is settled, let it out"},
    [SPL_ACTION_ANSWER] = {"answer", "Look at it again, and answer"},
    [SPL_ACTION_DRYING_START] = {"drying-start",
                                 "If it was dried, wilted or frozen in time, note it"},
    [SPL_ACTION_HEAT] = {"drying-start", "Heat it, and note it"},
};

/* Pairs of a query, NULL-ended; the strings are borrowed. */
static const char **query_of(const struct spl_next *next)
{
    GPtrArray *pairs = g_ptr_array_new();

    for (guint i = 0; next->inputs != NULL && i < next->inputs->len; i++) {
        const struct spl_given *given = &g_array_index(next->inputs, struct spl_given, i);

        g_ptr_array_add(pairs, given->key);
        g_ptr_array_add(pairs, given->value);
    }
    g_ptr_array_add(pairs, NULL);
    return (const char **)g_ptr_array_free(pairs, FALSE);
}

void spl_desk_next(struct spl_html *html, const struct spl_next *next)
{
    g_autofree const char **query = NULL;

    if (next == NULL)
        return;
    if (next->action == SPL_ACTION_WAIT && spl_day_is_set(next->until)) {
        g_autofree char *day = spl_day_words(next->until);

        spl_html_open(html, "span");
        spl_html_attr(html, "class", "note");
        spl_html_printf(html, "Wait until %s.", day);
        spl_html_close(html, "span");
        return;
    }
    if (settles[next->action].act == NULL || spl_act_find(settles[next->action].act) == NULL)
        return;
    query = query_of(next);
    spl_desk_act(html, settles[next->action].act, settles[next->action].words, query);
}

void spl_desk_causes(struct spl_html *html, const GArray *causes)
{
    if (causes == NULL || causes->len == 0)
        return;
    spl_desk_part(html, "What stands behind it");
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "why");
    for (guint i = 0; i < causes->len; i++) {
        const struct spl_cause *cause = &g_array_index(causes, struct spl_cause, i);

        spl_html_open(html, "li");
        spl_html_line(html, "span", "grade", spl_state_grade_names[cause->grade]);
        spl_html_text(html, " ");
        spl_desk_text(html, cause->what);
        if (cause->of != NULL && strstr(cause->what, cause->of) == NULL) {
            spl_html_text(html, " (");
            spl_desk_text(html, cause->of);
            spl_html_text(html, ")");
        }
        if (cause->ask != NULL) {
            spl_html_text(html, "; ask ");
            spl_html_name(html, cause->ask);
        }
        spl_html_text(html, " ");
        spl_desk_next(html, cause->next);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
}

void spl_desk_reasons(struct spl_html *html, const GArray *reasons)
{
    if (reasons == NULL || reasons->len == 0)
        return;
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "why");
    for (guint i = 0; i < reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(reasons, struct spl_reason, i);
        g_autofree char *day = spl_day_is_set(reason->date) ? spl_day_words(reason->date) : NULL;

        spl_html_open(html, "li");
        spl_html_line(html, "span", "grade", spl_verdict_names[reason->verdict]);
        spl_html_text(html, " ");
        spl_desk_text(html, reason->what);
        if (day != NULL)
            spl_html_printf(html, ", %s", day);
        if (reason->rule != NULL)
            spl_html_line(html, "small", NULL, reason->rule);
        if (reason->source != NULL)
            spl_html_line(html, "small", NULL, reason->source);
        spl_desk_next(html, reason->next);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
}

void spl_desk_cautions(struct spl_html *html, const GPtrArray *cautions)
{
    if (cautions == NULL || cautions->len == 0)
        return;
    spl_desk_part(html, "What to know");
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "cautions");
    for (guint i = 0; i < cautions->len; i++) {
        spl_html_open(html, "li");
        spl_desk_text(html, g_ptr_array_index(cautions, i));
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
}
