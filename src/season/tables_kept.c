/* SPDX-License-Identifier: MIT
 *
 * The data tables between houses. See season/tables_kept.h.
 */
#include "season/tables_kept.h"

#include <glib/gstdio.h>
#include <stdint.h>
#include <string.h>

#include "exchange/table_files.h"
#include "simpling/house.h"

/* Of one thread, as houses are. */
static struct {
    gboolean on;
    char *files; /* what they were read from */
    struct spl_tables *tables;
    guint taken; /* how many houses have them */
} kept;

void spl_house_keep_tables(void)
{
    kept.on = TRUE;
}

gboolean spl_kept_tables_on(void)
{
    return kept.on;
}

static int by_name(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* A line for each table of a folder that tells it from any other. */
static void tell_files(GString *told, const char *folder)
{
    GDir *dir = folder != NULL ? g_dir_open(folder, 0, NULL) : NULL;
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);

    g_string_append_printf(told, "%s\n", folder != NULL ? folder : "");
    for (const char *name; dir != NULL && (name = g_dir_read_name(dir)) != NULL;)
        if (g_str_has_suffix(name, ".csv"))
            g_ptr_array_add(names, g_strdup(name));
    g_clear_pointer(&dir, g_dir_close);
    g_ptr_array_sort(names, by_name);
    for (guint i = 0; i < names->len; i++) {
        const char *name = g_ptr_array_index(names, i);
        g_autofree char *path = g_build_filename(folder, name, NULL);
        GStatBuf is;

        if (g_stat(path, &is) == 0)
            g_string_append_printf(told, "%s %jd %jd.%09ld %ju\n", name, (intmax_t)is.st_size,
                                   (intmax_t)is.st_mtim.tv_sec, is.st_mtim.tv_nsec,
                                   (uintmax_t)is.st_ino);
    }
}

struct spl_tables *spl_kept_tables_take(const char *data, const char *own, GError **error)
{
    struct spl_tables *tables;
    GString *files;

    if (!kept.on)
        return spl_tables_load(data, own, error);
    files = g_string_new(NULL);
    tell_files(files, data);
    tell_files(files, own);
    if (kept.tables != NULL && g_str_equal(files->str, kept.files)) {
        g_string_free(files, TRUE);
        kept.taken++;
        return kept.tables;
    }
    tables = spl_tables_load(data, own, error);
    if (tables == NULL ||
        kept.taken > 0) { /* those that a house still has stay until it gives them back */
        g_string_free(files, TRUE);
        return tables;
    }
    g_free(kept.files);
    spl_tables_free(kept.tables);
    kept.files = g_string_free(files, FALSE);
    kept.tables = tables;
    kept.taken = 1;
    return tables;
}

void spl_kept_tables_give(struct spl_tables *tables)
{
    if (tables == NULL)
        return;
    if (tables == kept.tables)
        kept.taken--;
    else
        spl_tables_free(tables);
}
