/* SPDX-License-Identifier: MIT
 *
 * What was written lately. See desk/told.h.
 */
#include "desk/told.h"

struct entry {
    char *form;
    const struct spl_act *act;
    struct spl_done done;
};

struct spl_told {
    GQueue *entries; /* of struct entry, the last first */
    GHashTable *by_form;
};

static void entry_free(gpointer data)
{
    struct entry *entry = data;

    spl_done_clear(&entry->done);
    g_free(entry->form);
    g_free(entry);
}

void spl_done_clear(struct spl_done *done)
{
    if (done->records != NULL)
        spl_list_free(done->shape, done->records);
    g_clear_pointer(&done->cautions, g_ptr_array_unref);
    g_clear_pointer(&done->entry, g_free);
    g_clear_pointer(&done->asked, g_strfreev);
    done->records = NULL;
}

void spl_done_take(struct spl_done *done, const struct spl_shape *shape, void *record)
{
    done->shape = shape;
    if (done->records == NULL)
        done->records = spl_list_new(shape);
    g_array_append_vals(done->records, record, 1);
}

struct spl_told *spl_told_new(void)
{
    struct spl_told *told = g_new(struct spl_told, 1);

    *told = (struct spl_told){g_queue_new(), g_hash_table_new(g_str_hash, g_str_equal)};
    return told;
}

void spl_told_free(struct spl_told *told)
{
    if (told == NULL)
        return;
    g_hash_table_unref(told->by_form);
    g_queue_free_full(told->entries, entry_free);
    g_free(told);
}

void spl_told_add(struct spl_told *told, const char *form, const struct spl_act *act,
                  struct spl_done *done)
{
    struct entry *entry = g_new(struct entry, 1);

    *entry = (struct entry){g_strdup(form), act, *done};
    *done = (struct spl_done){NULL, NULL, NULL, NULL, NULL};
    g_queue_push_head(told->entries, entry);
    g_hash_table_insert(told->by_form, entry->form, entry);
    if (g_queue_get_length(told->entries) > SPL_TOLD_MOST) {
        struct entry *oldest = g_queue_pop_tail(told->entries);

        g_hash_table_remove(told->by_form, oldest->form);
        entry_free(oldest);
    }
}

const struct spl_done *spl_told_find(struct spl_told *told, const char *form,
                                     const struct spl_act **act)
{
    const struct entry *entry = g_hash_table_lookup(told->by_form, form);

    if (entry == NULL)
        return NULL;
    *act = entry->act;
    return &entry->done;
}

const char *spl_told_last(const struct spl_told *told)
{
    const struct entry *entry = g_queue_peek_head(told->entries);

    return entry != NULL ? entry->form : NULL;
}
