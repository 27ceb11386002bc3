/* SPDX-License-Identifier: MIT
 *
 * A QR code (ISO/IEC 18004, level M) on a page.
 */
#ifndef SPL_PICTURE_QR_H
#define SPL_PICTURE_QR_H

#include "picture/page.h"

/*
 * Draws the code of `text` into the square at x, y with its quiet zone of four modules, and writes
 * it down as a mark. SPL_ERROR_INVALID: more text than fits the square at 0.25 mm per module.
 */
gboolean spl_qr_draw(struct spl_page *page, double x, double y, double size, const char *text,
                     GError **error);

#endif
