/* SPDX-License-Identifier: MIT
 *
 * Used while building, not installed: writes what is made of the command table.
 *
 *   write_pages DIR VERSION DATE      man page and completion into DIR (man/, bash/, zsh/)
 *   write_pages --schemas DIR         one JSON schema for each command that answers, one for what
 *                                     went wrong, one in input/ for each that takes inputs by a
 *                                     table, and no others
 */
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "command/pages.h"

/* Takes `text`. */
static gboolean put(const char *dir, const char *name, char *text)
{
    g_autofree char *path = g_build_filename(dir, name, NULL);
    g_autofree char *folder = g_path_get_dirname(path);
    g_autoptr(GError) error = NULL;
    gboolean done = FALSE;

    if (g_mkdir_with_parents(folder, 0777) == 0)
        done = spl_file_write(path, text, strlen(text), &error);
    if (!done)
        fprintf(stderr, "write_pages: %s\n", error != NULL ? error->message : path);
    g_free(text);
    return done;
}

/* Schemas of commands that are no longer there go. */
static void remove_others(const char *folder, GHashTable *names)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name;

    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);

        if (g_str_has_suffix(name, ".json") && !g_hash_table_contains(names, name))
            g_remove(path);
    }
}

/* `failures`: the schema of what went wrong stands among them. */
static gboolean put_schemas(const char *dir, gboolean failures,
                            char *(*schema_of)(const struct spl_command *command))
{
    g_autoptr(GHashTable) names = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);

    for (gsize i = 0; i < spl_n_commands; i++) {
        char *schema = schema_of(spl_commands[i]);
        char *name;

        if (schema == NULL)
            continue;
        name = spl_schema_name(spl_commands[i]);
        g_hash_table_add(names, name);
        if (!put(dir, name, schema))
            return FALSE;
    }
    g_hash_table_add(names, g_strdup("error.json"));
    if (failures && !put(dir, "error.json", spl_shape_schema(&spl_failure_shape, FALSE, NULL)))
        return FALSE;
    remove_others(dir, names);
    return TRUE;
}

int main(int argc, char **argv)
{
    gboolean schemas = argc == 3 && strcmp(argv[1], "--schemas") == 0;

    if (!schemas && argc != 4) {
        fprintf(stderr, "usage: write_pages DIR VERSION DATE | --schemas DIR\n");
        return 2;
    }
    if (schemas) {
        g_autofree char *inputs = g_build_filename(argv[2], "input", NULL);

        return put_schemas(argv[2], TRUE, spl_command_schema) &&
                       put_schemas(inputs, FALSE, spl_command_input_schema)
                   ? 0
                   : 1;
    }
    return put(argv[1], "man/simpling.1", spl_man_page(argv[2], argv[3])) &&
                   put(argv[1], "bash/simpling", spl_completion_bash()) &&
                   put(argv[1], "zsh/_simpling", spl_completion_zsh())
               ? 0
               : 1;
}
