/* SPDX-License-Identifier: MIT
 *
 * A book of an earlier schema is offered its upgrade before anything else is shown or written. See
 * desk/page.h.
 */
#include "desk/form.h"
#include "desk/page.h"
#include "simpling/error.h"

/* A path that a browser takes for one of ours: "/\\x" is another machine's. */
static gboolean is_plain(const char *to)
{
    for (const char *p = to; *p != '\0'; p++)
        if (!g_ascii_isgraph(*p) || *p == '\\')
            return FALSE;
    return TRUE;
}

/* Where the person wanted to go: an address of ours, else the first page. */
static const char *wanted(const struct spl_visit *visit)
{
    const char *to = visit->form != NULL ? spl_pairs_get(visit->form, "to") : visit->target;
    g_auto(GStrv) steps = to != NULL && is_plain(to) ? spl_target_steps(to) : NULL;

    return steps != NULL && g_strcmp0(steps[0], "upgrade") != 0 ? to : "/";
}

static void put_offer(struct spl_visit *visit)
{
    struct spl_html *html = spl_desk_begin(visit, "The book is of an earlier version", NULL);

    spl_desk_say(html, "It was last written to by an earlier version of this program. The upgrade "
                       "changes how it is kept, and nothing that was written.");
    spl_desk_say(html, "A copy as it is now is kept beside the book. Earlier versions can read "
                       "that copy, and not the upgraded book.");
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_link(html, "action", "/upgrade", NULL, NULL);
    spl_form_hidden(html, "to", wanted(visit));
    spl_form_end(html, "Upgrade the book");
    spl_visit_page(visit, 200, spl_desk_end(html));
}

void spl_desk_upgrade(struct spl_visit *visit)
{
    g_autoptr(spl_house) house = NULL;
    g_autoptr(GError) error = NULL;

    if (visit->form == NULL && spl_book_is_before_upgrade(&visit->where)) {
        put_offer(visit);
        return;
    }
    if (visit->form != NULL)
        house = spl_house_open(&visit->where, SPL_HOUSE_WRITE, &error);
    if (error != NULL)
        spl_desk_failure(visit, error);
    else
        spl_visit_send_on(visit, g_strdup(wanted(visit)));
}
