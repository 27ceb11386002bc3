/* SPDX-License-Identifier: MIT
 *
 * Loading GEOS late. See core/geos.h.
 */
#include "core/geos.h"

#include <dlfcn.h>

#include "simpling/error.h"

struct spl_geos_table spl_geos;

gboolean spl_geos_load(GError **error)
{
    static gsize loaded; /* 1: yes, 2: no */

    if (g_once_init_enter(&loaded)) {
        void *library = dlopen("libgeos_c.so.1", RTLD_NOW | RTLD_LOCAL);
        gboolean whole = library != NULL;

#define SPL_GEOS_FIND(name)                                                                        \
    if (whole) {                                                                                   \
        *(void **)&spl_geos.name##_ = dlsym(library, #name);                                       \
        whole = spl_geos.name##_ != NULL;                                                          \
    }
        SPL_GEOS_FUNCTIONS(SPL_GEOS_FIND)
#undef SPL_GEOS_FIND
        g_once_init_leave(&loaded, whole ? 1 : 2);
    }
    if (loaded != 1)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "libgeos_c.so.1: cannot be loaded or lacks something; install libgeos-c1v5");
    return loaded == 1;
}
