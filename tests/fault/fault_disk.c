/* SPDX-License-Identifier: MIT
 *
 * What the platter would hold: for each named file the content as of its last sync, and what was
 * done to it since.
 */
#include "fault_disk.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define SECTOR 512

enum op_kind { OP_CREATE, OP_WRITE, OP_TRUNCATE, OP_DELETE };

struct op {
    enum op_kind kind;
    gint64 offset; /* or the size to truncate to */
    GBytes *bytes; /* OP_WRITE */
};

/* A file as the platter has it, and the operations that only the cache has. */
struct platter {
    GByteArray *synced; /* NULL: no such file */
    GArray *ops;
};

static GHashTable *platters; /* path -> struct platter */

static void op_clear(gpointer data)
{
    struct op *op = data;
    g_clear_pointer(&op->bytes, g_bytes_unref);
}

static void platter_free(gpointer data)
{
    struct platter *platter = data;
    if (platter->synced != NULL)
        g_byte_array_unref(platter->synced);
    g_array_unref(platter->ops);
    g_free(platter);
}

void fault_disk_reset(void)
{
    g_clear_pointer(&platters, g_hash_table_unref);
    platters = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, platter_free);
}

static GByteArray *read_file(const char *path)
{
    char *bytes;
    gsize n;
    if (!g_file_get_contents(path, &bytes, &n, NULL))
        return NULL;
    return g_byte_array_new_take((guint8 *)bytes, n);
}

/* The platter of `path`, which is what the file holds now if it was not known before. */
static struct platter *platter_of(const char *path)
{
    struct platter *platter = g_hash_table_lookup(platters, path);
    if (platter == NULL) {
        platter = g_new0(struct platter, 1);
        platter->synced = read_file(path);
        platter->ops = g_array_new(FALSE, TRUE, sizeof(struct op));
        g_array_set_clear_func(platter->ops, op_clear);
        g_hash_table_insert(platters, g_strdup(path), platter);
    }
    return platter;
}

static void add(const char *path, enum op_kind kind, gint64 offset, GBytes *bytes)
{
    struct op op = {kind, offset, bytes};
    g_array_append_val(platter_of(path)->ops, op);
}

/* Whether the file is there, as the running process sees it. */
static gboolean is_there(const struct platter *platter)
{
    gboolean there = platter->synced != NULL;
    for (guint i = 0; i < platter->ops->len; i++) {
        enum op_kind kind = g_array_index(platter->ops, struct op, i).kind;
        if (kind == OP_CREATE)
            there = TRUE;
        else if (kind == OP_DELETE)
            there = FALSE;
    }
    return there;
}

void fault_disk_open(const char *path, gboolean create)
{
    const struct platter *platter = platter_of(path);
    if (create && !is_there(platter))
        add(path, OP_CREATE, 0, NULL);
}

void fault_disk_write(const char *path, const void *bytes, int n, gint64 offset)
{
    add(path, OP_WRITE, offset, g_bytes_new(bytes, (gsize)n));
}

void fault_disk_truncate(const char *path, gint64 size)
{
    add(path, OP_TRUNCATE, size, NULL);
}

static void set_size(GByteArray *content, gint64 size)
{
    guint before = content->len;
    g_byte_array_set_size(content, (guint)size);
    if (content->len > before)
        memset(content->data + before, 0, content->len - before);
}

/* Writes the part [from, to) of the operation's bytes. */
static void write_part(GByteArray *content, const struct op *op, gint64 from, gint64 to)
{
    const guint8 *bytes = g_bytes_get_data(op->bytes, NULL);
    if (from >= to)
        return;
    if (op->offset + to > content->len)
        set_size(content, op->offset + to);
    memcpy(content->data + op->offset + from, bytes + from, (size_t)(to - from));
}

/* A random one of the ways in which the sectors of a write can be lost. */
static void write_torn(GByteArray *content, const struct op *op, GRand *rand)
{
    gint64 n = (gint64)g_bytes_get_size(op->bytes), from = 0;
    while (from < n) {
        gint64 to = MIN(n, from + SECTOR - (op->offset + from) % SECTOR);
        if (g_rand_boolean(rand))
            write_part(content, op, from, to);
        from = to;
    }
}

/*
 * Does the operations to what is synced: all of them (rand NULL), or a random part. A file that was
 * not made on the platter takes no write.
 */
static void replay(struct platter *platter, GRand *rand)
{
    for (guint i = 0; i < platter->ops->len; i++) {
        const struct op *op = &g_array_index(platter->ops, struct op, i);
        gint32 luck = rand != NULL ? g_rand_int_range(rand, 0, 3) : 0; /* 0 whole, 1 torn, 2 lost */
        if (op->kind != OP_WRITE && luck == 1)
            luck = 0;
        if (luck == 2)
            continue;
        switch (op->kind) {
        case OP_CREATE:
            if (platter->synced == NULL)
                platter->synced = g_byte_array_new();
            break;
        case OP_DELETE:
            g_clear_pointer(&platter->synced, g_byte_array_unref);
            break;
        case OP_TRUNCATE:
            if (platter->synced != NULL)
                set_size(platter->synced, op->offset);
            break;
        case OP_WRITE:
            if (platter->synced == NULL)
                break;
            if (luck == 1)
                write_torn(platter->synced, op, rand);
            else
                write_part(platter->synced, op, 0, (gint64)g_bytes_get_size(op->bytes));
            break;
        }
    }
    g_array_set_size(platter->ops, 0);
}

void fault_disk_sync(const char *path)
{
    replay(platter_of(path), NULL);
}

void fault_disk_delete(const char *path, gboolean sync_folder)
{
    struct platter *platter = platter_of(path);
    if (!is_there(platter))
        return;
    add(path, OP_DELETE, 0, NULL);
    if (sync_folder)
        replay(platter, NULL);
}

void fault_disk_lose(gboolean tear, guint32 seed)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(seed);
    g_autoptr(GList) paths = g_list_sort(g_hash_table_get_keys(platters), (GCompareFunc)strcmp);
    for (GList *l = paths; l != NULL; l = l->next) {
        const char *path = l->data;
        struct platter *platter = g_hash_table_lookup(platters, path);
        if (tear)
            replay(platter, rand);
        if (platter->synced == NULL) {
            unlink(path);
            continue;
        }
        FILE *file = fopen(path, "r+");
        if (file == NULL)
            file = fopen(path, "w");
        guint n = platter->synced->len;
        if (file == NULL || (n > 0 && fwrite(platter->synced->data, 1, n, file) != n) ||
            fflush(file) != 0 || ftruncate(fileno(file), n) != 0) {
            fprintf(stderr, "fault_disk: cannot write %s\n", path);
            _exit(98);
        }
        fclose(file);
    }
}
