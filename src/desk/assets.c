/* SPDX-License-Identifier: MIT
 *
 * Style sheets and scripts that are built into the program. See desk/assets.h.
 */
#include "desk/assets.h"

#include <gio/gio.h>

GResource *spl_assets_get_resource(void); /* what glib-compile-resources writes */

const char *spl_asset(const char *name, gsize *length)
{
    g_autofree char *path = g_strconcat("/simpling/desk/", name, NULL);
    g_autoptr(GBytes) bytes =
        g_resource_lookup_data(spl_assets_get_resource(), path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);

    g_assert(bytes != NULL);
    /* What is not compressed lies in the program itself, with a NUL behind it. */
    return g_bytes_get_data(bytes, length);
}
