/* SPDX-License-Identifier: MIT
 *
 * Pictures on pages: drawn as files by season, sent as SVG.
 */
#ifndef SPL_DESK_PICTURE_H
#define SPL_DESK_PICTURE_H

#include "desk/html.h"
#include "desk/visit.h"
#include "simpling/picture.h"

/* The picture at "/NAME"; `says`: what it shows, in words. */
void spl_picture_put(struct spl_html *html, const char *name, const char *says);

/* Draws into a file of its own and answers with it. */
gboolean spl_picture_answer(struct spl_visit *visit, struct spl_house *house,
                            gboolean (*draw)(struct spl_house *house,
                                             const struct spl_picture_file *to,
                                             struct spl_picture *picture, GError **error),
                            GError **error);

#endif
