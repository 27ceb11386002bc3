/* SPDX-License-Identifier: MIT
 *
 * The style sheet, built into the program. See desk/visit.h.
 */
#include "desk/assets.h"
#include "desk/visit.h"

const char *spl_style(gsize *length)
{
    return spl_asset("style.css", length);
}

const char *spl_style_name(void)
{
    static char *name; /* kept as long as the program runs */

    if (name == NULL) {
        g_autofree char *sum =
            g_compute_checksum_for_string(G_CHECKSUM_SHA256, spl_asset("style.css", NULL), -1);

        name = g_strdup_printf("%.16s.css", sum);
    }
    return name;
}
