/* SPDX-License-Identifier: MIT
 *
 * Pictures and sheets as answers. See desk/picture.h.
 */
#include "desk/picture.h"

#include <glib/gstdio.h>

#include "simpling/error.h"

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
