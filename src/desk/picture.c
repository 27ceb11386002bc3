/* SPDX-License-Identifier: MIT
 *
 * Pictures on pages. See desk/picture.h.
 */
#include "desk/picture.h"

#include <glib/gstdio.h>

#include "simpling/error.h"

void spl_picture_put(struct spl_html *html, const char *name, const char *says)
{
    const char *parts[] = {name, NULL};

    spl_html_open(html, "figure");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/", parts, NULL);
    spl_html_open(html, "img");
    spl_html_link(html, "src", "/", parts, NULL);
    spl_html_attr(html, "alt", says);
    spl_html_close(html, "a");
    spl_html_close(html, "figure");
}

gboolean spl_picture_answer(struct spl_visit *visit, struct spl_house *house,
                            enum spl_picture_form form, spl_picture_fn draw, gpointer data,
                            GError **error)
{
    gboolean pdf = form == SPL_PICTURE_PDF;
    g_autofree char *folder = g_dir_make_tmp("simpling-desk-XXXXXX", error), *path = NULL;
    struct spl_picture picture;
    gboolean done;

    if (folder == NULL)
        return FALSE;
    path = g_build_filename(folder, pdf ? "sheet.pdf" : "picture.svg", NULL);
    done = draw(house, &(struct spl_picture_file){.out = path, .dpi = SPL_COUNT_NONE}, data,
                &picture, error);
    if (done)
        spl_record_clear(&spl_picture_shape, &picture);
    done = done && g_file_get_contents(path, &visit->body, &visit->length, error);
    g_remove(path);
    g_rmdir(folder);
    visit->status = 200;
    visit->type = pdf ? "application/pdf" : "image/svg+xml; charset=utf-8";
    return done;
}
