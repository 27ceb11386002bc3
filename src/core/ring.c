/* SPDX-License-Identifier: MIT
 *
 * Tarjan's components. See core/ring.h.
 */
#include "core/ring.h"

/* Nodes by number, the arcs of each one behind another. */
struct graph {
    GArray *nodes;  /* gint64: the id of each */
    GArray *first;  /* guint: where the arcs of each begin in `to`; one more at the end */
    GArray *to;     /* guint */
    GArray *looped; /* gboolean: has an arc to itself */
    GHashTable *numbers;
};

static int compare_ids(gconstpointer a, gconstpointer b)
{
    gint64 x = *(const gint64 *)a, y = *(const gint64 *)b;

    return x < y ? -1 : x > y;
}

static int compare_arcs(gconstpointer a, gconstpointer b)
{
    return compare_ids(&((const struct spl_arc *)a)->from, &((const struct spl_arc *)b)->from);
}

static guint number_of(struct graph *graph, gint64 id)
{
    gpointer found;
    gint64 *key;

    if (g_hash_table_lookup_extended(graph->numbers, &id, NULL, &found))
        return GPOINTER_TO_UINT(found);
    key = g_memdup2(&id, sizeof id);
    g_hash_table_insert(graph->numbers, key, GUINT_TO_POINTER(graph->nodes->len));
    g_array_append_val(graph->nodes, id);
    return graph->nodes->len - 1;
}

/* Nodes with arcs are numbered first, in the order of their arcs. */
static void build(struct graph *graph, const GArray *arcs)
{
    g_autoptr(GArray) sorted = g_array_copy((GArray *)arcs);
    guint end;

    g_array_sort(sorted, compare_arcs);
    for (guint i = 0; i < sorted->len; i++)
        number_of(graph, g_array_index(sorted, struct spl_arc, i).from);
    for (guint i = 0, node = G_MAXUINT; i < sorted->len; i++) {
        const struct spl_arc *arc = &g_array_index(sorted, struct spl_arc, i);
        guint from = number_of(graph, arc->from), to = number_of(graph, arc->to);

        if (from != node)
            g_array_append_val(graph->first, i);
        node = from;
        g_array_append_val(graph->to, to);
    }
    end = graph->to->len;
    while (graph->first->len <= graph->nodes->len)
        g_array_append_val(graph->first, end);
    g_array_set_size(graph->looped, graph->nodes->len);
    for (guint i = 0; i < sorted->len; i++) {
        const struct spl_arc *arc = &g_array_index(sorted, struct spl_arc, i);

        if (arc->from == arc->to)
            g_array_index(graph->looped, gboolean, number_of(graph, arc->from)) = TRUE;
    }
}

/* A walk in depth; `order` 0: not seen yet. */
struct walk {
    struct graph *graph;
    guint *order, *low, *next; /* of each node; `next`: its arc to follow next */
    gboolean *open;            /* on `kept` */
    GArray *path, *kept;       /* guint */
    guint count;
    GArray *rings;
};

static void enter(struct walk *walk, guint node)
{
    walk->order[node] = walk->low[node] = ++walk->count;
    walk->next[node] = g_array_index(walk->graph->first, guint, node);
    walk->open[node] = TRUE;
    g_array_append_val(walk->path, node);
    g_array_append_val(walk->kept, node);
}

/* The component that `node` is the root of, off the stack. */
static void close_component(struct walk *walk, guint node)
{
    guint last, size = 0;
    gboolean ring;

    for (guint i = walk->kept->len; i > 0 && g_array_index(walk->kept, guint, i - 1) != node; i--)
        size++;
    ring = size > 0 || g_array_index(walk->graph->looped, gboolean, node);
    do {
        last = g_array_index(walk->kept, guint, walk->kept->len - 1);
        g_array_set_size(walk->kept, walk->kept->len - 1);
        walk->open[last] = FALSE;
        if (ring)
            g_array_append_val(walk->rings, g_array_index(walk->graph->nodes, gint64, last));
    } while (last != node);
}

static void leave(struct walk *walk, guint node)
{
    g_array_set_size(walk->path, walk->path->len - 1);
    if (walk->path->len > 0) {
        guint before = g_array_index(walk->path, guint, walk->path->len - 1);

        walk->low[before] = MIN(walk->low[before], walk->low[node]);
    }
    if (walk->low[node] == walk->order[node])
        close_component(walk, node);
}

static void walk_from(struct walk *walk, guint start)
{
    enter(walk, start);
    while (walk->path->len > 0) {
        guint node = g_array_index(walk->path, guint, walk->path->len - 1);

        if (walk->next[node] == g_array_index(walk->graph->first, guint, node + 1)) {
            leave(walk, node);
        } else {
            guint to = g_array_index(walk->graph->to, guint, walk->next[node]++);

            if (walk->order[to] == 0)
                enter(walk, to);
            else if (walk->open[to])
                walk->low[node] = MIN(walk->low[node], walk->order[to]);
        }
    }
}

GArray *spl_rings(const GArray *arcs)
{
    struct graph graph = {
        .nodes = g_array_new(FALSE, FALSE, sizeof(gint64)),
        .first = g_array_new(FALSE, FALSE, sizeof(guint)),
        .to = g_array_new(FALSE, FALSE, sizeof(guint)),
        .looped = g_array_new(FALSE, TRUE, sizeof(gboolean)),
        .numbers = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL),
    };
    struct walk walk = {.graph = &graph,
                        .path = g_array_new(FALSE, FALSE, sizeof(guint)),
                        .kept = g_array_new(FALSE, FALSE, sizeof(guint)),
                        .rings = g_array_new(FALSE, FALSE, sizeof(gint64))};
    guint n;

    build(&graph, arcs);
    n = graph.nodes->len;
    walk.order = g_new0(guint, n + 1);
    walk.low = g_new0(guint, n + 1);
    walk.next = g_new0(guint, n + 1);
    walk.open = g_new0(gboolean, n + 1);
    for (guint node = 0; node < n; node++) {
        if (walk.order[node] == 0)
            walk_from(&walk, node);
    }
    g_array_sort(walk.rings, compare_ids);
    g_free(walk.order);
    g_free(walk.low);
    g_free(walk.next);
    g_free(walk.open);
    g_array_unref(walk.path);
    g_array_unref(walk.kept);
    g_array_unref(graph.nodes);
    g_array_unref(graph.first);
    g_array_unref(graph.to);
    g_array_unref(graph.looped);
    g_hash_table_unref(graph.numbers);
    return walk.rings;
}
