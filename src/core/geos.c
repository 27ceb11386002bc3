/* SPDX-License-Identifier: MIT
 *
 * Loading GEOS late. See core/geos.h.
 */
#include "core/geos.h"

#include <dlfcn.h>
#include <string.h>

#include "simpling/error.h"

struct spl_geos_table spl_geos;

gboolean spl_geos_load(GError **error)
{
#define SPL_GEOS_ENTRY(name) {#name, G_STRUCT_OFFSET(struct spl_geos_table, name##_)},
    static const struct {
        const char *name;
        glong offset;
    } functions[] = {SPL_GEOS_FUNCTIONS(SPL_GEOS_ENTRY)};
#undef SPL_GEOS_ENTRY
    static gsize loaded; /* 1: yes, 2: no */

    if (g_once_init_enter(&loaded)) {
        void *library = dlopen("libgeos_c.so.1", RTLD_NOW | RTLD_LOCAL);
        gboolean whole = library != NULL;

        for (gsize i = 0; whole && i < G_N_ELEMENTS(functions); i++) {
            void *found = dlsym(library, functions[i].name);

            memcpy((char *)&spl_geos + functions[i].offset, &found, sizeof found);
            whole = found != NULL;
        }
        g_once_init_leave(&loaded, whole ? 1 : 2);
    }
    if (loaded != 1)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "libgeos_c.so.1: cannot be loaded or lacks something; install libgeos-c1v5");
    return loaded == 1;
}
