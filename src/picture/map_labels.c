/* SPDX-License-Identifier: MIT
 *
 * Finding room for words on a map. Taken rectangles are kept in square cells, so that a look costs
 * what is near and not what is there in all.
 */
#include "picture/map_labels.h"

#include <math.h>

#define CELL 24.0
#define GRAIN 3.0 /* of what is to be spared */
#define CLEAR 1.2 /* kept free around every rectangle */

struct rectangle {
    double x, y, w, h;
};

struct spl_room {
    double x, y, w, h;
    int across, down;
    GArray **cells; /* of struct rectangle; NULL: none */
    int grains_across, grains_down;
    guint8 *spared; /* a byte per grain */
};

struct spl_room *spl_room_new(double x, double y, double w, double h)
{
    struct spl_room *room = g_new0(struct spl_room, 1);
    *room = (struct spl_room){.x = x, .y = y, .w = w, .h = h};
    room->across = MAX(1, (int)ceil(w / CELL));
    room->down = MAX(1, (int)ceil(h / CELL));
    room->cells = g_new0(GArray *, (gsize)room->across * (gsize)room->down);
    room->grains_across = MAX(1, (int)ceil(w / GRAIN));
    room->grains_down = MAX(1, (int)ceil(h / GRAIN));
    room->spared = g_new0(guint8, (gsize)room->grains_across * (gsize)room->grains_down);
    return room;
}

void spl_room_free(struct spl_room *room)
{
    if (room == NULL)
        return;
    for (int i = 0; i < room->across * room->down; i++)
        if (room->cells[i] != NULL)
            g_array_unref(room->cells[i]);
    g_free(room->cells);
    g_free(room->spared);
    g_free(room);
}

static void cells_of(const struct spl_room *room, double x, double y, double w, double h, int *x0,
                     int *y0, int *x1, int *y1)
{
    *x0 = CLAMP((int)floor((x - room->x) / CELL), 0, room->across - 1);
    *y0 = CLAMP((int)floor((y - room->y) / CELL), 0, room->down - 1);
    *x1 = CLAMP((int)floor((x + w - room->x) / CELL), 0, room->across - 1);
    *y1 = CLAMP((int)floor((y + h - room->y) / CELL), 0, room->down - 1);
}

void spl_room_take(struct spl_room *room, double x, double y, double w, double h)
{
    int x0, y0, x1, y1;
    struct rectangle taken = {x, y, w, h};
    cells_of(room, x, y, w, h, &x0, &y0, &x1, &y1);
    for (int row = y0; row <= y1; row++) {
        for (int column = x0; column <= x1; column++) {
            GArray **cell = &room->cells[row * room->across + column];
            if (*cell == NULL)
                *cell = g_array_new(FALSE, FALSE, sizeof(struct rectangle));
            g_array_append_val(*cell, taken);
        }
    }
}

gboolean spl_room_is_free(const struct spl_room *room, double x, double y, double w, double h)
{
    if (x < room->x || y < room->y || x + w > room->x + room->w || y + h > room->y + room->h)
        return FALSE;
    int x0, y0, x1, y1;
    cells_of(room, x - CLEAR, y - CLEAR, w + 2.0 * CLEAR, h + 2.0 * CLEAR, &x0, &y0, &x1, &y1);
    for (int row = y0; row <= y1; row++) {
        for (int column = x0; column <= x1; column++) {
            const GArray *cell = room->cells[row * room->across + column];
            for (guint i = 0; cell != NULL && i < cell->len; i++) {
                const struct rectangle *t = &g_array_index(cell, struct rectangle, i);
                if (x < t->x + t->w + CLEAR && t->x < x + w + CLEAR && y < t->y + t->h + CLEAR &&
                    t->y < y + h + CLEAR)
                    return FALSE;
            }
        }
    }
    return TRUE;
}

void spl_room_spare(struct spl_room *room, double x1, double y1, double x2, double y2)
{
    int n = (int)ceil(hypot(x2 - x1, y2 - y1) / (GRAIN / 2.0));
    for (int i = 0; i <= n; i++) {
        double share = n > 0 ? (double)i / n : 0.0;
        double across = floor((x1 + (x2 - x1) * share - room->x) / GRAIN);
        double down = floor((y1 + (y2 - y1) * share - room->y) / GRAIN);
        if (across >= 0.0 && down >= 0.0 && across < room->grains_across &&
            down < room->grains_down)
            room->spared[(int)down * room->grains_across + (int)across] = 1;
    }
}

static int covered(const struct spl_room *room, double x, double y, double w, double h)
{
    int x0 = CLAMP((int)floor((x - room->x) / GRAIN), 0, room->grains_across - 1);
    int x1 = CLAMP((int)floor((x + w - room->x) / GRAIN), 0, room->grains_across - 1);
    int y0 = CLAMP((int)floor((y - room->y) / GRAIN), 0, room->grains_down - 1);
    int y1 = CLAMP((int)floor((y + h - room->y) / GRAIN), 0, room->grains_down - 1);
    int count = 0;
    for (int row = y0; row <= y1; row++)
        for (int column = x0; column <= x1; column++)
            count += room->spared[row * room->grains_across + column];
    return count;
}

gboolean spl_room_find(struct spl_room *room, double px, double py, double r, double w, double h,
                       double reach, gboolean clear, double *x, double *y)
{
    /* Right, left, above, below and the corners between, as a map maker would try them. */
    static const double turns[] = {0.0,   180.0, 315.0, 45.0,  225.0, 135.0, 270.0, 90.0,
                                   337.5, 22.5,  202.5, 157.5, 292.5, 67.5,  247.5, 112.5};
    int least = clear ? 1 : G_MAXINT;
    double out = r + 2.5;
    while (out <= MAX(reach, r + 2.5) && least > 0) {
        for (gsize i = 0; i < G_N_ELEMENTS(turns); i++) {
            double c = cos(turns[i] * G_PI / 180.0), s = sin(turns[i] * G_PI / 180.0);
            /* The near edge of the words lies `out` away, not their middle. */
            double cx = px + c * (out + w / 2.0), cy = py + s * (out + h / 2.0);
            double tx = cx - w / 2.0, ty = cy - h / 2.0;
            if (!spl_room_is_free(room, tx, ty, w, h))
                continue;
            int cover = covered(room, tx, ty, w, h);
            if (cover >= least)
                continue;
            least = cover;
            *x = tx;
            *y = ty;
            if (least == 0)
                break;
        }
        out += MAX(4.0, out * 0.18);
    }
    if (least == (clear ? 1 : G_MAXINT))
        return FALSE;
    spl_room_take(room, *x, *y, w, h);
    return TRUE;
}
