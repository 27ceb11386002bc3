/* SPDX-License-Identifier: MIT
 *
 * The style sheet and the script, built into the program. See desk/visit.h.
 */
#include "desk/assets.h"
#include "desk/visit.h"

/* A name that is another when its bytes are: browsers keep what it names. */
static char *name_of(const char *asset, const char *ending)
{
    g_autofree char *sum =
        g_compute_checksum_for_string(G_CHECKSUM_SHA256, spl_asset(asset, NULL), -1);

    return g_strdup_printf("%.16s.%s", sum, ending);
}

const char *spl_style(gsize *length)
{
    return spl_asset("style.css", length);
}

const char *spl_style_name(void)
{
    static char *name; /* kept as long as the program runs */

    if (name == NULL)
        name = name_of("style.css", "css");
    return name;
}

const char *spl_script(gsize *length)
{
    return spl_asset("desk.js", length);
}

const char *spl_script_name(void)
{
    static char *name; /* kept as long as the program runs */

    if (name == NULL)
        name = name_of("desk.js", "js");
    return name;
}
