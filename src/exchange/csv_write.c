/* SPDX-License-Identifier: MIT
 *
 * Comma-separated tables out. See exchange/csv_write.h.
 */
#include "exchange/csv_write.h"

#include <csv.h>
#include <string.h>

gboolean spl_csv_write_row(struct spl_file_writer *writer, const char *const *cells, guint n,
                           GError **error)
{
    g_autoptr(GString) row = g_string_new(NULL);

    for (guint i = 0; i < n; i++) {
        gsize length = strlen(cells[i]);

        if (i > 0)
            g_string_append_c(row, ',');
        if (strpbrk(cells[i], ",;\t\"\r\n") == NULL) {
            g_string_append_len(row, cells[i], (gssize)length);
        } else {
            g_autofree char *quoted = g_malloc(2 * length + 3);
            gsize size = csv_write(quoted, 2 * length + 2, cells[i], length);

            g_string_append_len(row, quoted, (gssize)size);
        }
    }
    g_string_append_c(row, '\n');
    return spl_file_writer_write(writer, row->str, row->len, error);
}
