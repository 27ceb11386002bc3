/* SPDX-License-Identifier: MIT
 *
 * Roots spread along draws. See core/state.h.
 */
#include "core/state.h"

static int order(gint64 a, gint64 b)
{
    return (a > b) - (a < b);
}

/* ---- the roots, each once ---- */

static int compare_roots(gconstpointer a, gconstpointer b)
{
    const struct spl_state_root *first = a, *second = b;
    const gint64 pairs[][2] = {
        {second->grade, first->grade},         {first->stamp, second->stamp},
        {first->kind, second->kind},           {first->evidence, second->evidence},
        {first->version, second->version},     {first->thing, second->thing},
        {first->asks_only, second->asks_only}, {first->bars_start, second->bars_start},
        {first->withdraws, second->withdraws},
    };

    for (guint i = 0; i < G_N_ELEMENTS(pairs); i++)
        if (pairs[i][0] != pairs[i][1])
            return order(pairs[i][0], pairs[i][1]);
    return 0;
}

static GArray *roots_once(const GArray *roots)
{
    GArray *once = g_array_new(FALSE, FALSE, sizeof(struct spl_state_root));
    guint kept = 0;

    if (roots == NULL || roots->len == 0)
        return once;
    g_array_append_vals(once, roots->data, roots->len);
    for (guint i = 0; i < once->len; i++) { /* any TRUE is the same TRUE */
        struct spl_state_root *root = &g_array_index(once, struct spl_state_root, i);

        root->asks_only = root->asks_only != FALSE;
        root->bars_start = root->bars_start != FALSE;
        root->withdraws = root->withdraws != FALSE;
    }
    g_array_sort(once, compare_roots);
    for (guint i = 0; i < once->len; i++) {
        struct spl_state_root *root = &g_array_index(once, struct spl_state_root, i);

        if (kept > 0 &&
            compare_roots(&g_array_index(once, struct spl_state_root, kept - 1), root) == 0)
            continue;
        g_array_index(once, struct spl_state_root, kept++) = *root;
    }
    g_array_set_size(once, kept);
    return once;
}

/* ---- the net of draws: things by number, the draws that leave each in one run ---- */

struct node {
    gint64 id;
    gint64 stamp;
    gboolean lot;
    guint first, n; /* draws that leave it */
    guint modes;    /* under the root that is spread just now */
    gboolean waiting;
};

struct leaving {
    guint taker;
    gint64 stamp;
};

struct net {
    GHashTable *numbers; /* gint64 * (of the facts) to number + 1 */
    GArray *nodes;       /* struct node */
    struct leaving *leaving;
    GHashTable *answers; /* answer_key to what it does, see below */
};

static guint node_of(struct net *net, const gint64 *id)
{
    guint number = GPOINTER_TO_UINT(g_hash_table_lookup(net->numbers, id));
    struct node node = {.id = *id};

    if (number > 0)
        return number - 1;
    g_array_append_val(net->nodes, node);
    g_hash_table_insert(net->numbers, (gpointer)id, GUINT_TO_POINTER(net->nodes->len));
    return net->nodes->len - 1;
}

static struct node *node_at(const struct net *net, guint number)
{
    return &g_array_index(net->nodes, struct node, number);
}

static void lay_draws(struct net *net, const GArray *draws)
{
    guint n = draws != NULL ? draws->len : 0, next = 0;

    for (guint i = 0; i < n; i++) {
        const struct spl_state_draw *draw = &g_array_index(draws, struct spl_state_draw, i);
        guint source = node_of(net, &draw->source);

        node_of(net, &draw->taker);
        node_at(net, source)->n++;
    }
    net->leaving = g_new(struct leaving, n);
    for (guint i = 0; i < net->nodes->len; i++) {
        node_at(net, i)->first = next;
        next += node_at(net, i)->n;
        node_at(net, i)->n = 0;
    }
    for (guint i = 0; i < n; i++) {
        const struct spl_state_draw *draw = &g_array_index(draws, struct spl_state_draw, i);
        struct node *source = node_at(net, node_of(net, &draw->source));

        net->leaving[source->first + source->n++] =
            (struct leaving){.taker = node_of(net, &draw->taker), .stamp = draw->stamp};
    }
}

/* ---- answers ---- */

/* A thing's answers to one reason: the worst grade that is settled, and settled for outside. Those
 * that name none are kept under a kind of their own, of which the stamp alone counts. */
struct answered {
    gint64 thing, evidence, version; /* with the kind the key */
    int kind;
    int settled, outside; /* a grade; -1: none */
    gint64 stamp;         /* of the last answer that names none */
};

#define NAMES_NONE G_MININT

static guint hash_answered(gconstpointer key)
{
    const struct answered *answered = key;
    guint64 hash = (guint64)answered->thing * 0x9E3779B97F4A7C15u;

    hash = (hash ^ (guint64)answered->evidence) * 0x9E3779B97F4A7C15u;
    hash = (hash ^ (guint64)answered->version) * 0x9E3779B97F4A7C15u;
    hash = (hash ^ (guint64)answered->kind) * 0x9E3779B97F4A7C15u;
    return (guint)(hash >> 32);
}

static gboolean equal_answered(gconstpointer a, gconstpointer b)
{
    const struct answered *first = a, *second = b;

    return first->thing == second->thing && first->evidence == second->evidence &&
           first->version == second->version && first->kind == second->kind;
}

static GHashTable *lay_answers(const GArray *answers)
{
    GHashTable *table = g_hash_table_new_full(hash_answered, equal_answered, g_free, NULL);

    for (guint i = 0; answers != NULL && i < answers->len; i++) {
        const struct spl_state_answer *answer = &g_array_index(answers, struct spl_state_answer, i);
        struct answered key = {.thing = answer->thing,
                               .evidence = answer->evidence,
                               .version = answer->version,
                               .kind = answer->kind,
                               .settled = -1,
                               .outside = -1};
        struct answered *there;

        if (answer->names_none > 0)
            key = (struct answered){.thing = answer->thing, .kind = NAMES_NONE};
        there = g_hash_table_lookup(table, &key);

        if (there == NULL) {
            there = g_memdup2(&key, sizeof key);
            g_hash_table_add(table, there);
        }
        if (answer->names_none > 0)
            there->stamp = MAX(there->stamp, answer->names_none);
        else if (answer->outside)
            there->outside = MAX(there->outside, (int)answer->grade);
        else
            there->settled = MAX(there->settled, (int)answer->grade);
    }
    return table;
}

/* What is left of the modes in which a root comes to a thing. */
static guint after_answers(const struct net *net, const struct spl_state_root *root, gint64 thing,
                           guint modes)
{
    const struct answered key = {
        .thing = thing, .evidence = root->evidence, .version = root->version, .kind = root->kind};
    const struct answered before = {.thing = thing, .kind = NAMES_NONE};
    const struct answered *answered = g_hash_table_lookup(net->answers, &before);

    if (answered != NULL && root->stamp < answered->stamp)
        return 0;
    answered = g_hash_table_lookup(net->answers, &key);
    if (answered == NULL)
        return modes;
    if (answered->settled >= (int)root->grade)
        return 0;
    if (answered->outside < 0)
        return modes;
    if (answered->outside >= (int)root->grade && root->grade != SPL_STATE_STOP)
        return SPL_STATE_OUTSIDE;
    return modes | SPL_STATE_OUTSIDE;
}

/* ---- spreading one root ---- */

/* A doubt that comes late finds what was bottled before it as a lot: that is asked, not held. */
static guint into_lot(const struct spl_state_root *root, gint64 stamp, guint modes)
{
    if (root->grade == SPL_STATE_DOUBT && (modes & SPL_STATE_HELD) != 0 && stamp < root->stamp)
        return (modes & ~(guint)SPL_STATE_HELD) | SPL_STATE_ASKED;
    return modes;
}

static void bring(struct net *net, const struct spl_state_root *root, guint number, guint modes,
                  GArray *work, GArray *touched)
{
    struct node *node = node_at(net, number);
    guint left = after_answers(net, root, node->id, modes);

    if ((left & ~node->modes) == 0)
        return;
    if (node->modes == 0)
        g_array_append_val(touched, number);
    node->modes |= left;
    if (!node->waiting) {
        node->waiting = TRUE;
        g_array_append_val(work, number);
    }
}

static void spread_root(struct net *net, const struct spl_state_root *root, GArray *work,
                        GArray *touched)
{
    guint start = node_of(net, &root->thing);
    guint modes = SPL_STATE_HELD;

    if (root->asks_only || root->grade == SPL_STATE_PAPER)
        modes = SPL_STATE_ASKED;
    else if (node_at(net, start)->lot)
        modes = into_lot(root, node_at(net, start)->stamp, modes);
    bring(net, root, start, modes, work, touched);
    while (work->len > 0) {
        guint number = g_array_index(work, guint, work->len - 1);
        const struct node *node = node_at(net, number);

        g_array_set_size(work, work->len - 1);
        node_at(net, number)->waiting = FALSE;
        if (root->grade == SPL_STATE_PAPER && !root->asks_only)
            continue; /* on the record alone */
        for (guint i = 0; i < node->n; i++) {
            const struct leaving *draw = &net->leaving[node->first + i];
            guint carried = node->modes;

            if (node_at(net, draw->taker)->lot)
                carried = into_lot(root, draw->stamp, carried);
            bring(net, root, draw->taker, carried, work, touched);
        }
    }
}

static int compare_marks(gconstpointer a, gconstpointer b)
{
    const struct spl_state_mark *first = a, *second = b;

    return first->thing != second->thing ? order(first->thing, second->thing)
                                         : order(first->root, second->root);
}

void spl_state_spread(const struct spl_state_facts *facts, struct spl_state_spread *spread)
{
    g_autoptr(GArray) work = g_array_new(FALSE, FALSE, sizeof(guint));
    g_autoptr(GArray) touched = g_array_new(FALSE, FALSE, sizeof(guint));
    struct net net = {.numbers = g_hash_table_new(g_int64_hash, g_int64_equal),
                      .nodes = g_array_new(FALSE, FALSE, sizeof(struct node)),
                      .answers = lay_answers(facts->answers)};

    *spread = (struct spl_state_spread){
        .roots = roots_once(facts->roots),
        .marks = g_array_new(FALSE, FALSE, sizeof(struct spl_state_mark))};
    lay_draws(&net, facts->draws);
    for (guint i = 0; facts->things != NULL && i < facts->things->len; i++) {
        const struct spl_state_thing *thing =
            &g_array_index(facts->things, struct spl_state_thing, i);
        struct node *node = node_at(&net, node_of(&net, &thing->id));

        node->lot = thing->kind == 'L';
        node->stamp = thing->stamp;
    }
    for (guint r = 0; r < spread->roots->len; r++) {
        spread_root(&net, &g_array_index(spread->roots, struct spl_state_root, r), work, touched);
        for (guint i = 0; i < touched->len; i++) {
            struct node *node = node_at(&net, g_array_index(touched, guint, i));
            struct spl_state_mark mark = {.thing = node->id, .root = r, .modes = node->modes};

            g_array_append_val(spread->marks, mark);
            node->modes = 0;
        }
        g_array_set_size(touched, 0);
    }
    g_array_sort(spread->marks, compare_marks);
    g_hash_table_unref(net.numbers);
    g_hash_table_unref(net.answers);
    g_array_unref(net.nodes);
    g_free(net.leaving);
}

void spl_state_spread_clear(struct spl_state_spread *spread)
{
    g_clear_pointer(&spread->roots, g_array_unref);
    g_clear_pointer(&spread->marks, g_array_unref);
}

struct spl_state_sum spl_state_sum(const struct spl_state_spread *spread, gint64 thing)
{
    struct spl_state_sum sum = {0};
    guint low = 0, high = spread->marks->len;

    while (low < high) {
        guint middle = low + (high - low) / 2;

        if (g_array_index(spread->marks, struct spl_state_mark, middle).thing < thing)
            low = middle + 1;
        else
            high = middle;
    }
    sum.first = low;
    for (; low < spread->marks->len; low++) {
        const struct spl_state_mark *mark =
            &g_array_index(spread->marks, struct spl_state_mark, low);
        const struct spl_state_root *root =
            &g_array_index(spread->roots, struct spl_state_root, mark->root);
        gboolean held = (mark->modes & SPL_STATE_HELD) != 0;

        if (mark->thing != thing)
            break;
        sum.n++;
        sum.held |= held;
        sum.asked |= (mark->modes & (SPL_STATE_HELD | SPL_STATE_ASKED)) != 0;
        sum.outside |= (mark->modes & SPL_STATE_OUTSIDE) != 0;
        sum.bars_start |= held && root->bars_start;
        sum.withdrawn |= held && root->withdraws && root->thing == thing;
    }
    return sum;
}

/* ---- names ---- */

const char *spl_state_name(enum spl_state_word state, char kind)
{
    if (state == SPL_STATE_ON_SHELF && kind != 'L')
        return "free";
    return (guint)state < SPL_STATES ? spl_state_names[state] : "";
}

enum spl_state_word spl_state_settle(const struct spl_state_own *own,
                                     const struct spl_state_sum *sum, struct spl_day day)
{
    if (own->struck)
        return SPL_STATE_STRUCK;
    if (own->destroyed)
        return SPL_STATE_DESTROYED;
    if (sum->withdrawn)
        return SPL_STATE_WITHDRAWN;
    if (own->used_up)
        return SPL_STATE_USED_UP;
    if (sum->held)
        return SPL_STATE_IS_HELD;
    if (spl_day_is_set(own->use_by) && spl_day_compare(own->use_by, day) < 0)
        return SPL_STATE_OUT_OF_DATE;
    return SPL_STATE_ON_SHELF;
}
