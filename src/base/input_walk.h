/* SPDX-License-Identifier: MIT
 *
 * Inside the tables of inputs: members by their rows. See simpling/input.h.
 */
#ifndef SPL_BASE_INPUT_WALK_H
#define SPL_BASE_INPUT_WALK_H

#include "simpling/input.h"

/* What a member may hold, each kind read as its own type. */
union spl_member {
    double number;
    struct spl_amount amount;
    int count;
    struct spl_day day;
    const char *text;
    struct spl_coordinates place;
    GArray *list;
};
/* A day or a count stands at any multiple of four: no more is believed of a member's address. */
typedef union spl_member spl_member_at __attribute__((aligned(4)));

static inline spl_member_at *spl_input_member(const struct spl_input *row, const void *record)
{
    return (spl_member_at *)(void *)((char *)(guintptr)record + row->offset);
}

static inline void *spl_input_element(const struct spl_inputs *item, const GArray *list, guint i)
{
    return list->data + (gsize)i * item->size;
}

/* "jars.1." for the members of an element; "" at the top. Free with g_free. */
static inline char *spl_input_path(const char *prefix, const struct spl_input *row, guint i)
{
    return g_strdup_printf("%s%s.%u.", prefix, row->key, i);
}

/* TRUE for kinds whose member is a double. */
gboolean spl_input_is_number(const struct spl_input *row);

#endif
