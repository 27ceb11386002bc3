/* SPDX-License-Identifier: MIT
 *
 * See zone_names.h.
 */
#include "exchange/zone_names.h"

#include "exchange/csv.h"

GHashTable *spl_zone_names_read(const char *path, GError **error)
{
    g_autoptr(GHashTable) names = NULL;
    g_autoptr(spl_csv) csv = spl_csv_open(path, error);
    GError *failed = NULL;
    int name, zone;

    if (csv == NULL || !spl_csv_column_required(csv, "name", &name, error) ||
        !spl_csv_column_required(csv, "zone", &zone, error))
        return NULL;
    names = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    while (spl_csv_next(csv, &failed))
        g_hash_table_insert(names, g_ascii_strdown(spl_csv_text(csv, name), -1),
                            g_strdup(spl_csv_text(csv, zone)));
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return NULL;
    }
    return g_steal_pointer(&names);
}

const char *spl_zone_names_find(GHashTable *names, const char *name)
{
    g_autofree char *key = g_strstrip(g_ascii_strdown(name, -1));

    return g_hash_table_lookup(names, key);
}
