/* SPDX-License-Identifier: MIT
 *
 * Pictures, drawn as files by season and sent as SVG; and sheets to print, sent as PDF.
 */
#ifndef SPL_DESK_PICTURE_H
#define SPL_DESK_PICTURE_H

#include "desk/visit.h"
#include "simpling/picture.h"

enum spl_picture_form { SPL_PICTURE_SVG, SPL_PICTURE_PDF };

/* Draws into the file `to`. */
typedef gboolean (*spl_picture_fn)(struct spl_house *house, const struct spl_picture_file *to,
                                   gpointer data, struct spl_picture *picture, GError **error);

/* Draws into a file of its own and answers with it. */
gboolean spl_picture_answer(struct spl_visit *visit, struct spl_house *house,
                            enum spl_picture_form form, spl_picture_fn draw, gpointer data,
                            GError **error);

#endif
