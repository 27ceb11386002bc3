/* SPDX-License-Identifier: MIT
 *
 * A set of facts about things, added to row by row; shared by the tests of the state.
 */
#ifndef SPL_TESTS_STATE_SET_H
#define SPL_TESTS_STATE_SET_H

#include "core/state.h"
#include "expect.h"

struct set {
    GArray *things, *draws, *roots, *answers;
    struct spl_state_facts facts;
};

static void begin(struct set *set)
{
    *set = (struct set){.things = g_array_new(FALSE, FALSE, sizeof(struct spl_state_thing)),
                        .draws = g_array_new(FALSE, FALSE, sizeof(struct spl_state_draw)),
                        .roots = g_array_new(FALSE, FALSE, sizeof(struct spl_state_root)),
                        .answers = g_array_new(FALSE, FALSE, sizeof(struct spl_state_answer))};
    set->facts = (struct spl_state_facts){set->things, set->draws, set->roots, set->answers};
}

static void end(struct set *set)
{
    g_array_unref(set->things);
    g_array_unref(set->draws);
    g_array_unref(set->roots);
    g_array_unref(set->answers);
}

#endif
