/* SPDX-License-Identifier: MIT
 *
 * What went wrong, as a page: what happened, what is kept, what to do.
 */
#include "desk/page.h"
#include "simpling/error.h"

static const struct {
    enum spl_error_code code;
    unsigned status;
    const char *title, *todo;
} kinds[] = {
    {SPL_ERROR_NOT_FOUND, 404, "It is not in the book", NULL},
    {SPL_ERROR_AMBIGUOUS, 404, "That may be several things", NULL},
    {SPL_ERROR_INVALID, 400, "That cannot be read", NULL},
    {SPL_ERROR_USAGE, 400, "Something is missing", NULL},
    {SPL_ERROR_BUSY, 503, "The book is being written to",
     "Another program holds it at this moment. Nothing was changed; try again."},
    {SPL_ERROR_TOO_NEW, 500, "The book is newer than this program",
     "A newer simpling wrote to it. Nothing was changed; use that one, or update this one."},
    {SPL_ERROR_READ_ONLY, 500, "The book may not be written to",
     "Nothing was changed. See who owns the file and its folder."},
    {SPL_ERROR_IO, 500, "The disk did not do it",
     "Nothing was changed: an entry goes in whole or not at all. Look whether the disk is full."},
    {SPL_ERROR_CORRUPT, 500, "The book is damaged",
     "Do not write to it now. Keep a copy of the file, then check and repair the book, or take a "
     "backup."},
    {SPL_ERROR_CONFLICT, 409, "It was changed meanwhile", "Nothing was written. Look at it again."},
};

void spl_desk_failure(struct spl_visit *visit, const GError *error)
{
    const char *title = "It could not be done", *todo = NULL;
    struct spl_html *html;
    unsigned status = 500;

    for (gsize i = 0; i < G_N_ELEMENTS(kinds); i++) {
        if (!g_error_matches(error, SPL_ERROR, (int)kinds[i].code))
            continue;
        title = kinds[i].title;
        todo = kinds[i].todo;
        status = kinds[i].status;
    }
    html = spl_desk_begin(visit, title, NULL);
    spl_html_open(html, "p");
    spl_html_attr(html, "class", "wrong");
    spl_desk_text(html, error->message);
    spl_html_close(html, "p");
    if (todo != NULL)
        spl_desk_say(html, todo);
    spl_desk_reasons(html, spl_error_reasons(error));
    if (spl_error_next(error) != NULL)
        spl_desk_next(html, spl_error_next(error));
    spl_visit_page(visit, status, spl_desk_end(html));
}
