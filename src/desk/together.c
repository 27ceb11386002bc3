/* SPDX-License-Identifier: MIT
 *
 * One page for those who wait together. See desk/together.h.
 */
#include "desk/together.h"

#include <string.h>

#include "desk/form.h"

struct page {
    char *body;
    gsize length;
    const char *type;
};

struct spl_together {
    GHashTable *pages; /* of struct page, by target */
};

static void page_free(gpointer data)
{
    struct page *page = data;

    g_free(page->body);
    g_free(page);
}

struct spl_together *spl_together_new(void)
{
    struct spl_together *together = g_new(struct spl_together, 1);

    together->pages = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, page_free);
    return together;
}

void spl_together_free(struct spl_together *together)
{
    if (together == NULL)
        return;
    g_hash_table_unref(together->pages);
    g_free(together);
}

void spl_together_forget(struct spl_together *together)
{
    g_hash_table_remove_all(together->pages);
}

/* A page that only shows: not one of an act, which knows who sent which form. */
static gboolean only_shows(const struct spl_visit *visit)
{
    return visit->form == NULL && visit->files == NULL && g_strcmp0(visit->steps[0], "act") != 0 &&
           g_strcmp0(visit->steps[0], "work") != 0;
}

gboolean spl_together_find(const struct spl_together *together, struct spl_visit *visit)
{
    const struct page *page =
        only_shows(visit) ? g_hash_table_lookup(together->pages, visit->target) : NULL;

    if (page == NULL)
        return FALSE;
    visit->status = 200;
    visit->body = g_strndup(page->body, page->length);
    visit->length = page->length;
    visit->type = page->type;
    /* Two who send the same form from two windows write two things. */
    spl_form_renew(visit->body);
    return TRUE;
}

void spl_together_keep(struct spl_together *together, const struct spl_visit *visit)
{
    struct page *page;

    if (!only_shows(visit) || visit->status != 200 || visit->body == NULL || visit->forever ||
        visit->ends || visit->again_s != 0 || visit->location != NULL)
        return;
    page = g_new(struct page, 1);
    *page = (struct page){g_strndup(visit->body, visit->length), visit->length, visit->type};
    g_hash_table_replace(together->pages, g_strdup(visit->target), page);
}
