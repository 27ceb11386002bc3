/* SPDX-License-Identifier: MIT
 *
 * Rings in a graph: what, followed along its arcs, comes back to itself.
 *
 * R. Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Comput. 1 (1972) 146-160:
 * strongly connected components in time linear in nodes and arcs, here without recursion, as a
 * chain of ten thousand would end the stack.
 */
#ifndef SPL_CORE_RING_H
#define SPL_CORE_RING_H

#include <glib.h>

struct spl_arc {
    gint64 from, to; /* ids of nodes, any numbers */
};

/* The nodes that lie on a ring, a loop of one arc too: a GArray of gint64 in ascending order. Free
 * with g_array_unref. */
GArray *spl_rings(const GArray *arcs);

#endif
