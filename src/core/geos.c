/* SPDX-License-Identifier: MIT
 *
 * Loading GEOS late. See core/geos.h.
 */
#include "core/geos.h"

#include "base/late.h"

struct spl_geos_table spl_geos;

#define ENTRY(name) {#name, G_STRUCT_OFFSET(struct spl_geos_table, name##_)},
static const struct spl_late_function functions[] = {SPL_GEOS_FUNCTIONS(ENTRY)};
static struct spl_late geos = {"libgeos_c.so.1",        "libgeos-c1v5", functions,
                               G_N_ELEMENTS(functions), &spl_geos,      0};

gboolean spl_geos_load(GError **error)
{
    return spl_late_load(&geos, error);
}
