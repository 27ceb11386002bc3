/* SPDX-License-Identifier: MIT
 *
 * A visit's answer. See desk/visit.h.
 */
#include "desk/visit.h"

#include <string.h>

void spl_visit_clear(struct spl_visit *visit)
{
    g_strfreev(visit->steps);
    g_clear_pointer(&visit->query, g_array_unref);
    g_clear_pointer(&visit->form, g_array_unref);
    g_free(visit->body);
    g_free(visit->location);
    g_free(visit->file);
    *visit = (struct spl_visit){.steps = NULL};
}

const char *spl_visit_of(const struct spl_visit *visit)
{
    return visit->steps[0] != NULL ? visit->steps[1] : NULL;
}

const char *spl_visit_asked(const struct spl_visit *visit, const char *key)
{
    const char *value = spl_pairs_get(visit->query, key);

    return value != NULL && *value != '\0' ? value : NULL;
}

void spl_visit_page(struct spl_visit *visit, unsigned status, char *page)
{
    g_free(visit->body);
    visit->status = status;
    visit->body = page;
    visit->length = strlen(page);
    visit->type = "text/html; charset=utf-8";
}

void spl_visit_send_on(struct spl_visit *visit, char *location)
{
    spl_visit_page(visit, 303, g_strdup(""));
    g_free(visit->location);
    visit->location = location;
}
