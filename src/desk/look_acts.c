/* SPDX-License-Identifier: MIT
 *
 * What can be done with what a look lists: where one finds a thing, there is its form too. See
 * desk/look.h.
 */
#include <string.h>

#include "desk/look.h"
#include "desk/page.h"

/* clang-format off */
static const struct look_act {
    const char *look, *act, *words;
    const char *input; /* of the form, filled in with … */
    const char *field; /* … this field of the record; NULL: it stands once, below the heading */
} look_acts[] = {
    {"site-list", "site-edit", "Change it", "site", "name"},
    {"stand-list", "stand-set", "Count it again", "site", "site"},
    {"stand-list", "stand-taken", "Others picked here", "site", "site"},
    {"stand-list", "stand-set", "What a place bears", NULL, NULL},
    {"hazard-list", "hazard-add", "A field, road or other hazard", NULL, NULL},
    {"hazard-list", "hazard-drop", "Take it off the map", "name", "layer"},
    {"hazard-methods", "hazard-method", "Change it", "method", "method"},
    {"stage-list", "stage-note", "A stage seen", NULL, NULL},
    {"stage-list", "amend", "Correct it", "code", "code"},
    {"stage-list", "strike", "Strike it", "code", "code"},
    {"weather-list", "weather-follow", "Follow a station", NULL, NULL},
    {"weather-list", "weather-refresh", "Fetch it", "station", "station"},
    {"plan-list", "plan-add", "Plan a batch", NULL, NULL},
    {"plan-list", "plan-drop", "Drop it", "name", "name"},
    {"plan-shortfall", "plan-add", "Plan a batch", NULL, NULL},
    {"harvest-list", "amend", "Correct it", "code", "code"},
    {"purchase-list", "purchase-add", "Herb that was bought or given", NULL, NULL},
    {"purchase-list", "batch-start", "Into a jar", "from", "code"},
    {"purchase-list", "amend", "Correct it", "code", "code"},
    {"purchase-show", "batch-start", "Into a jar", "from", "code"},
    {"purchase-show", "drying-start", "Onto a rack", "from", "code"},
    {"purchase-show", "amend", "Correct it", "code", "code"},
    {"purchase-show", "discard", "Thrown away", "code", "code"},
    {"purchase-show", "strike", "Strike it", "code", "code"},
    {"recipe-list", "batch-start", "A jar by it", "as", "name"},
    {"recipe-list", "recipe-drop", "Take it back", "name", "name"},
    {"liquid-list", "liquid-add", "Some came in", NULL, NULL},
    {"liquid-list", "liquid-use", "Some went otherwise", NULL, NULL},
    {"calendar-dropped", "calendar-again", "Take it up again", "title", "what"},
    {"book-info", "book-set", "Set one", NULL, NULL},
    {"book-info", "book-trust", "Whose corrections count here", NULL, NULL},
};
/* clang-format on */

static const struct spl_field *field_of(const struct spl_shape *shape, const char *key)
{
    for (gsize i = 0; i < shape->n_fields; i++)
        if (g_strcmp0(shape->fields[i].key, key) == 0)
            return &shape->fields[i];
    return NULL;
}

static void put_act(struct spl_html *html, const struct look_act *act,
                    const struct spl_shape *shape, const void *record)
{
    const struct spl_field *field = field_of(shape, act->field);
    g_autofree char *value = NULL;

    g_assert(field != NULL);
    value = spl_field_text(shape, field, record);
    {
        const char *query[] = {act->input, value, NULL};

        spl_desk_act(html, act->act, act->words, query);
    }
}

static gboolean is_of(const struct look_act *act, const struct spl_look *look, gboolean each)
{
    return strcmp(act->look, look->name) == 0 && (act->field != NULL) == each;
}

gboolean spl_look_has_acts(const struct spl_look *look)
{
    for (gsize i = 0; i < G_N_ELEMENTS(look_acts); i++)
        if (is_of(&look_acts[i], look, TRUE))
            return TRUE;
    return FALSE;
}

void spl_look_put_acts(struct spl_html *html, const struct spl_look *look, const void *record)
{
    for (gsize i = 0; i < G_N_ELEMENTS(look_acts); i++)
        if (is_of(&look_acts[i], look, TRUE))
            put_act(html, &look_acts[i], look->shape, record);
}

void spl_look_put_forms(struct spl_html *html, const struct spl_look *look)
{
    gboolean any = FALSE;

    for (gsize i = 0; i < G_N_ELEMENTS(look_acts); i++) {
        if (!is_of(&look_acts[i], look, FALSE))
            continue;
        if (!any)
            spl_html_open(html, "p");
        any = TRUE;
        spl_desk_act(html, look_acts[i].act, look_acts[i].words, NULL);
    }
    if (any)
        spl_html_close(html, "p");
}
