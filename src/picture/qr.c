/* SPDX-License-Identifier: MIT
 *
 * A QR code on a page.
 */
#include "picture/qr.h"

#include <qrencode.h>

#define QUIET 4                   /* modules of paper around, ISO/IEC 18004 */
#define LEAST_MODULE SPL_MM(0.25) /* what a telephone still reads from a plain printer */

gboolean spl_qr_draw(struct spl_page *page, double x, double y, double size, const char *text,
                     GError **error)
{
    QRcode *code = QRcode_encodeString8bit(text, 0, QR_ECLEVEL_M);
    if (code == NULL || size / (code->width + 2.0 * QUIET) < LEAST_MODULE) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "'%s' is too long for the QR code of this label; use a larger label", text);
        if (code != NULL)
            QRcode_free(code);
        return FALSE;
    }
    double module = size / (code->width + 2.0 * QUIET);
    g_autoptr(GArray) strokes = g_array_new(FALSE, FALSE, sizeof(double));
    for (int row = 0; row < code->width; row++) {
        double middle = y + (row + QUIET + 0.5) * module;
        for (int column = 0; column < code->width;) {
            int end = column;
            while (end < code->width && (code->data[row * code->width + end] & 1) != 0)
                end++;
            if (end > column) {
                double run[4] = {x + (column + QUIET) * module, middle, x + (end + QUIET) * module,
                                 middle};
                g_array_append_vals(strokes, run, 4);
            }
            column = end + 1;
        }
    }
    /* Rows a hair wider than high, so that no seam shows between them. */
    spl_page_strokes(page, (const double *)(void *)strokes->data, strokes->len / 4, module * 1.02,
                     SPL_TONE_BLACK);
    spl_page_ink(page, SPL_INK_MARK, x, y, size, size, text);
    QRcode_free(code);
    return TRUE;
}
