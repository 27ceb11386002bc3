/* SPDX-License-Identifier: MIT
 *
 * Loading libraries late. See base/late.h.
 */
#include "base/late.h"

#include <dlfcn.h>
#include <string.h>

#include "simpling/error.h"

enum { NOT_TRIED, LOADED, MISSING };

gboolean spl_late_load(struct spl_late *late, GError **error)
{
    if (g_once_init_enter(&late->loaded)) {
        void *library = dlopen(late->library, RTLD_LAZY | RTLD_LOCAL);
        gboolean whole = library != NULL;

        for (gsize i = 0; whole && i < late->n_functions; i++) {
            void *found = dlsym(library, late->functions[i].name);

            memcpy((char *)late->table + late->functions[i].offset, &found, sizeof found);
            whole = found != NULL;
        }
        g_once_init_leave(&late->loaded, whole ? LOADED : MISSING);
    }
    if (late->loaded != LOADED)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "%s: cannot be loaded or lacks something; install %s", late->library,
                    late->package);
    return late->loaded == LOADED;
}
