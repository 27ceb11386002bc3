/* SPDX-License-Identifier: MIT
 *
 * Who lies near ground that was touched. See season/judged_near.h. Boxes decide, not distances:
 * a box is never smaller than the ground and its reach.
 */
#include "season/judged_near.h"

#include <math.h>

#include "book/judged.h"
#include "book/site.h"
#include "core/verdict.h"
#include "season/ground_map.h"

/* Each is held against every place of the book. */
#define DANGERS_MAX 40

struct danger {
    const struct spl_judged_danger *row;
    double ask_m;
    struct spl_box
        far[2]; /* as far as it could reach a place of which nobody knows how exact it is */
    int n_far;
};

struct looking_round {
    GArray *dangers; /* struct danger */
    GArray *ids;     /* gint64, in ascending order */
};

static gboolean meet(const struct spl_box *some, int n, const struct spl_box *others, int m)
{
    for (int i = 0; i < n; i++)
        for (int k = 0; k < m; k++)
            if (spl_boxes_meet(&some[i], &others[k]))
                return TRUE;
    return FALSE;
}

static gboolean is_reached(const struct looking_round *round, const struct spl_site_spot *spot)
{
    struct spl_box here[2], near[2];
    int n = spl_geometry_boxes(spot->ground, 0, here);

    for (guint i = 0; i < round->dangers->len; i++) {
        const struct danger *one = &g_array_index(round->dangers, struct danger, i);
        int m;

        if (!meet(here, n, one->far, one->n_far))
            continue;
        m = spl_geometry_boxes(
            one->row->ground,
            spl_verdict_reach_m(one->ask_m, spot->accuracy_m, one->row->accuracy_m), near);
        if (meet(here, n, near, m))
            return TRUE;
    }
    return FALSE;
}

static void take_spot(const struct spl_site_spot *spot, gpointer data)
{
    struct looking_round *round = data;
    const guint n = round->ids->len;

    if (n > 0 && g_array_index(round->ids, gint64, n - 1) == spot->site_id)
        return;
    if (spot->ground == NULL || is_reached(round, spot))
        g_array_append_val(round->ids, spot->site_id);
}

static gboolean look_round(struct spl_house *house, const GArray *rows, GError **error)
{
    g_autoptr(GArray) dangers = g_array_new(FALSE, FALSE, sizeof(struct danger));
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    struct looking_round round = {dangers, ids};
    struct spl_ground_map *map = spl_ground_map_of(house, error);

    if (map == NULL)
        return FALSE;
    for (guint i = 0; i < rows->len; i++) {
        struct danger one = {.row = &g_array_index(rows, struct spl_judged_danger, i)};

        if (!spl_ground_map_reach(map, house, one.row->methods, &one.ask_m, error))
            return FALSE;
        one.n_far = spl_geometry_boxes(
            one.row->ground, spl_verdict_reach_m(one.ask_m, NAN, one.row->accuracy_m), one.far);
        g_array_append_val(dangers, one);
    }
    return spl_site_spots(house->book, 0, take_spot, &round, error) &&
           spl_judged_mark(house->book, ids, error);
}

gboolean spl_judged_mark_near(struct spl_house *house, gboolean *everywhere, GError **error)
{
    g_autoptr(GArray) rows = spl_judged_dangers(house->book, everywhere, error);

    if (rows == NULL)
        return FALSE;
    spl_ground_map_forget(house); /* it is another since */
    *everywhere |= rows->len > DANGERS_MAX;
    return *everywhere || rows->len == 0 || look_round(house, rows, error);
}
