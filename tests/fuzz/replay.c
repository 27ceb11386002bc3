/* SPDX-License-Identifier: MIT
 *
 * Runs a fuzz target as an ordinary test: over the files and folders named, and over changed copies
 * of each, always the same ones.
 *
 *   TARGET CHANGES PATH...     CHANGES: how many changed copies of each file
 */
#include <glib.h>
#include <stdio.h>
#include <string.h>

#include "fuzz.h"

#define LARGEST 20000 /* bytes of a file that are used, so that a test stays short */

/* A few random edits: bytes, numbers at their limits, pieces doubled, moved, cut. */
static void change(GByteArray *bytes, GRand *rand)
{
    static const char *const pieces[] = {
        "0", "-1", "nan",  "1e999", "99999999999999999999", "\n", "\r\n", ",", "\"",
        ":", ";",  "\xff", "\xc3",  "\xe2\x80\xae",         "("};
    int edits = g_rand_int_range(rand, 1, 6);
    while (edits-- > 0) {
        guint at = bytes->len > 0 ? (guint)g_rand_int_range(rand, 0, (gint32)bytes->len) : 0;
        guint n = (guint)g_rand_int_range(rand, 1, 40);
        n = MIN(n, bytes->len - at);
        const char *piece = pieces[g_rand_int_range(rand, 0, G_N_ELEMENTS(pieces))];
        switch (g_rand_int_range(rand, 0, 5)) {
        case 0:
            if (bytes->len > 0)
                bytes->data[at] = (guint8)g_rand_int_range(rand, 0, 256);
            break;
        case 1:
            if (n > 0)
                g_byte_array_remove_range(bytes, at, n);
            break;
        case 2: {
            g_autofree guint8 *copy = g_memdup2(bytes->data + at, n);
            g_byte_array_append(bytes, copy, n);
            break;
        }
        case 3:
            for (guint i = 0; i < strlen(piece) && at + i < bytes->len; i++)
                bytes->data[at + i] = (guint8)piece[i];
            break;
        default:
            if (g_rand_int_range(rand, 0, 4) == 0)
                g_byte_array_set_size(bytes, at);
            break;
        }
    }
}

/* A copy of just this size, so that a read past the end is seen. */
static void try_bytes(const guint8 *bytes, guint n)
{
    guint8 *copy = calloc(n > 0 ? n : 1, 1);
    if (n > 0)
        memcpy(copy, bytes, n);
    LLVMFuzzerTestOneInput(copy, n);
    free(copy);
}

static int try_file(const char *path, int changes)
{
    char *text;
    gsize size;
    if (!g_file_get_contents(path, &text, &size, NULL)) {
        fprintf(stderr, "cannot read %s\n", path);
        exit(1);
    }
    guint n = (guint)MIN(size, LARGEST);
    g_autoptr(GRand) rand = g_rand_new_with_seed(n);
    try_bytes((const guint8 *)text, n);
    for (int i = 0; i < changes; i++) {
        g_autoptr(GByteArray) bytes = g_byte_array_new();
        g_byte_array_append(bytes, (const guint8 *)text, n);
        change(bytes, rand);
        try_bytes(bytes->data, bytes->len);
    }
    g_free(text);
    return 1 + changes;
}

static int try_path(const char *path, int changes)
{
    g_autoptr(GDir) dir = g_dir_open(path, 0, NULL);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    const char *name;
    int n = 0;
    if (dir == NULL)
        return try_file(path, changes);
    while ((name = g_dir_read_name(dir)) != NULL)
        g_ptr_array_add(names, g_build_filename(path, name, NULL));
    for (guint i = 0; i < names->len; i++)
        n += try_path(g_ptr_array_index(names, i), changes);
    return n;
}

int main(int argc, char **argv)
{
    int n = 0;
    if (argc < 3) {
        fprintf(stderr, "usage: %s CHANGES PATH...\n", argv[0]);
        return 2;
    }
    try_bytes((const guint8 *)"", 0);
    for (int i = 2; i < argc; i++)
        n += try_path(argv[i], atoi(argv[1]));
    printf("%d inputs\n", n);
    return n > 0 ? 0 : 1;
}
