/* SPDX-License-Identifier: MIT
 *
 * The places on the estate map: their ground, their marks, their names with clear, ask or closed
 * written out. Places that share a spot on paper share a mark; words that find no room near theirs
 * shrink to the number under which the list of places has them.
 */
#include <math.h>
#include <string.h>

#include "picture/estate_private.h"
#include "picture/words.h"

#define MARK 3.0
#define LABEL_W 118.0
#define FULL_REACH 36.0 /* of a name with all its words: far enough to clear a road beside it */

struct spot {
    double x, y;
    GArray *sites; /* of gsize */
    int near;      /* other spots within a label's reach */
};

static void spot_clear(gpointer spot)
{
    g_array_unref(((struct spot *)spot)->sites);
}

static GArray *find_spots(const struct spl_estate_draw *draw)
{
    GArray *spots = g_array_new(FALSE, TRUE, sizeof(struct spot));
    g_array_set_clear_func(spots, spot_clear);
    for (gsize i = 0; i < draw->map->n_sites; i++) {
        double x, y;
        spl_estate_xy(draw, draw->map->sites[i].lat, draw->map->sites[i].lon, &x, &y);
        struct spot *same = NULL;
        for (guint k = 0; k < spots->len && same == NULL; k++) {
            struct spot *spot = &g_array_index(spots, struct spot, k);
            if (fabs(spot->x - x) < 2.0 * MARK + 2.5 && fabs(spot->y - y) < 2.0 * MARK + 2.5)
                same = spot;
        }
        if (same == NULL) {
            struct spot spot = {x, y, g_array_new(FALSE, FALSE, sizeof(gsize)), 0};
            g_array_append_val(spots, spot);
            same = &g_array_index(spots, struct spot, spots->len - 1);
        }
        g_array_append_val(same->sites, i);
    }
    for (guint i = 0; i < spots->len; i++)
        for (guint k = 0; k < spots->len; k++) {
            struct spot *a = &g_array_index(spots, struct spot, i);
            const struct spot *b = &g_array_index(spots, struct spot, k);
            if (i != k && fabs(a->x - b->x) < LABEL_W && fabs(a->y - b->y) < 40.0)
                a->near++;
        }
    return spots;
}

static enum spl_sign sign_of(enum spl_verdict verdict)
{
    if (verdict == SPL_VERDICT_CLEAR)
        return SPL_SIGN_DOT;
    return verdict == SPL_VERDICT_CLOSED ? SPL_SIGN_CROSS : SPL_SIGN_RING;
}

/* "3-9, 12" from whole numbers in rising order. */
static char *numbers_of(const GArray *sites)
{
    GString *all = g_string_new(NULL);
    for (guint i = 0; i < sites->len;) {
        guint last = i;
        while (last + 1 < sites->len &&
               g_array_index(sites, gsize, last + 1) == g_array_index(sites, gsize, last) + 1)
            last++;
        g_string_append_printf(all, "%s%" G_GSIZE_FORMAT, i > 0 ? ", " : "",
                               g_array_index(sites, gsize, i) + 1);
        if (last > i)
            g_string_append_printf(all, "%s%" G_GSIZE_FORMAT, last == i + 1 ? ", " : "\342\200\223",
                                   g_array_index(sites, gsize, last) + 1);
        i = last + 1;
    }
    return g_string_free(all, FALSE);
}

/* "closed 3, 25; ask 9; clear 10-12": what one may do at each of several places on one spot. */
static char *verdicts_of(const struct spl_estate_draw *draw, const GArray *sites)
{
    GString *all = g_string_new(NULL);
    for (int v = SPL_VERDICT_CLOSED; v >= SPL_VERDICT_NONE; v--) {
        g_autoptr(GArray) alike = g_array_new(FALSE, FALSE, sizeof(gsize));
        for (guint i = 0; i < sites->len; i++) {
            gsize number = g_array_index(sites, gsize, i);
            if (draw->map->sites[number].verdict == (enum spl_verdict)v)
                g_array_append_val(alike, number);
        }
        if (alike->len == 0)
            continue;
        g_autofree char *numbers = numbers_of(alike);
        g_string_append_printf(all, "%s%s %s", all->len > 0 ? "; " : "",
                               spl_words_verdict((enum spl_verdict)v), numbers);
    }
    return g_string_free(all, FALSE);
}

static void leader(struct spl_estate_draw *draw, const struct spot *spot, double x, double y,
                   double w, double h)
{
    double nx = CLAMP(spot->x, x, x + w), ny = CLAMP(spot->y, y, y + h);
    double far = hypot(nx - spot->x, ny - spot->y);
    if (far < MARK + 6.0)
        return;
    double from = (MARK + 0.8) / far;
    spl_page_line(draw->page, spot->x + (nx - spot->x) * from, spot->y + (ny - spot->y) * from, nx,
                  ny, 0.4, SPL_TONE_BLACK, 0.0);
}

/* A label as it was placed; drawn after all leaders, so that no line runs through words. */
struct label {
    double x, y, w, h, head_h;
    char *head, *more;
    const struct spot *spot;
};

static void label_clear(gpointer label)
{
    g_free(((struct label *)label)->head);
    g_free(((struct label *)label)->more);
}

static struct spl_type head_type(void)
{
    return (struct spl_type){.face = SPL_FACE_SERIF, .size = 7.6, .bold = TRUE, .knock_out = TRUE};
}

static struct spl_type more_type(void)
{
    return (struct spl_type){.face = SPL_FACE_SANS, .size = 7.0, .knock_out = TRUE};
}

static gboolean try_label(struct spl_estate_draw *draw, const struct spot *spot, const char *head,
                          const char *more, double reach, GArray *labels)
{
    struct spl_type big = head_type(), small = more_type();
    struct label label = {.spot = spot};
    double more_w = 0.0, more_h = 0.0;
    spl_page_measure(draw->page, LABEL_W, &big, head, &label.w, &label.head_h);
    spl_page_measure(draw->page, LABEL_W, &small, more, &more_w, &more_h);
    label.w = MAX(label.w, more_w) + 1.0;
    label.h = label.head_h + more_h;
    if (!spl_room_find(draw->room, spot->x, spot->y, MARK, label.w, label.h, reach, FALSE, &label.x,
                       &label.y))
        return FALSE;
    label.head = g_strdup(head);
    label.more = g_strdup(more);
    g_array_append_val(labels, label);
    return TRUE;
}

static char *more_of(const struct spl_estate_map_site *site)
{
    g_autofree char *near = NULL;
    if (!isnan(site->hazard_m)) {
        g_autofree char *distance = spl_words_km(site->hazard_m / 1000.0);
        near = g_strdup_printf("%s from contaminated ground",
                               site->hazard_m < 1.0 ? "on or beside" : distance);
        if (site->hazard_m < 1.0) {
            g_free(near);
            near = g_strdup("on contaminated ground");
        }
    }
    const char *bits[] = {site->stands, near};
    return spl_words_join("\n", bits, G_N_ELEMENTS(bits));
}

static void label_spot(struct spl_estate_draw *draw, const struct spot *spot, GArray *labels)
{
    if (spot->sites->len > 1) {
        g_autofree char *numbers = numbers_of(spot->sites);
        g_autofree char *words = verdicts_of(draw, spot->sites);
        if (try_label(draw, spot, words, NULL, 260.0, labels))
            return;
        try_label(draw, spot, numbers, NULL, 500.0, labels);
        return;
    }
    gsize i = g_array_index(spot->sites, gsize, 0);
    const struct spl_estate_map_site *site = &draw->map->sites[i];
    g_autofree char *head = g_strdup_printf("%" G_GSIZE_FORMAT " %s, %s", i + 1, site->name,
                                            spl_words_verdict(site->verdict));
    g_autofree char *more = more_of(site);
    if (try_label(draw, spot, head, more, FULL_REACH, labels))
        return;
    if (try_label(draw, spot, head, NULL, 90.0, labels))
        return;
    g_autofree char *number = g_strdup_printf("%" G_GSIZE_FORMAT "%s%s", i + 1,
                                              site->verdict != SPL_VERDICT_NONE ? " " : "",
                                              spl_verdict_names[site->verdict]);
    if (try_label(draw, spot, number, NULL, 260.0, labels))
        return;
    g_autofree char *bare = g_strdup_printf("%" G_GSIZE_FORMAT, i + 1);
    try_label(draw, spot, bare, NULL, 700.0, labels);
}

static int compare_spots(gconstpointer a, gconstpointer b)
{
    const struct spot *one = *(const struct spot *const *)a, *two = *(const struct spot *const *)b;
    if (one->near != two->near)
        return one->near < two->near ? -1 : 1;
    gsize i = g_array_index(one->sites, gsize, 0), k = g_array_index(two->sites, gsize, 0);
    return i < k ? -1 : i > k;
}

static void draw_grounds(struct spl_estate_draw *draw)
{
    spl_page_clip(draw->page, draw->frame_x, draw->frame_y, draw->frame_w, draw->frame_h);
    g_autoptr(GArray) strokes = g_array_new(FALSE, FALSE, sizeof(double));
    for (gsize i = 0; i < draw->map->n_sites; i++) {
        const struct spl_estate_map_site *site = &draw->map->sites[i];
        for (gsize k = 0; k < site->n_outline; k++) {
            const double *p = &site->outline[2 * k];
            const double *q = &site->outline[2 * ((k + 1) % site->n_outline)];
            double stroke[4];
            spl_estate_xy(draw, p[0], p[1], &stroke[0], &stroke[1]);
            spl_estate_xy(draw, q[0], q[1], &stroke[2], &stroke[3]);
            g_array_append_vals(strokes, stroke, 4);
            spl_room_spare(draw->room, stroke[0], stroke[1], stroke[2], stroke[3]);
        }
    }
    spl_page_strokes(draw->page, (const double *)(void *)strokes->data, strokes->len / 4, 0.8,
                     SPL_TONE_LEAF);
    /* From a place to the bad ground that its distance was measured to. */
    for (gsize i = 0; i < draw->map->n_sites; i++) {
        const struct spl_estate_map_site *site = &draw->map->sites[i];
        if (isnan(site->hazard_m) || isnan(site->hazard_lat) || isnan(site->hazard_lon))
            continue;
        double x0, y0, x1, y1;
        spl_estate_xy(draw, site->lat, site->lon, &x0, &y0);
        spl_estate_xy(draw, site->hazard_lat, site->hazard_lon, &x1, &y1);
        double far = hypot(x1 - x0, y1 - y0);
        if (far < 2.0 * MARK)
            continue;
        int dashes = (int)floor(far / 3.0);
        for (int d = 0; d < dashes; d += 2) {
            double from = (double)d / dashes, to = (d + 1.0) / dashes;
            double piece[4] = {x0 + (x1 - x0) * from, y0 + (y1 - y0) * from, x0 + (x1 - x0) * to,
                               y0 + (y1 - y0) * to};
            spl_page_strokes(draw->page, piece, 1, 0.8, SPL_TONE_MADDER);
        }
    }
    spl_page_unclip(draw->page);
}

static void draw_mark(struct spl_estate_draw *draw, const struct spot *spot)
{
    const struct spl_estate_map_site *first =
        &draw->map->sites[g_array_index(spot->sites, gsize, 0)];
    gboolean alike = TRUE;
    GString *words = g_string_new(NULL);
    for (guint i = 0; i < spot->sites->len; i++) {
        gsize number = g_array_index(spot->sites, gsize, i);
        const struct spl_estate_map_site *site = &draw->map->sites[number];
        alike = alike && site->verdict == first->verdict;
        g_string_append_printf(words, "%s%" G_GSIZE_FORMAT " %s, %s", i > 0 ? "; " : "", number + 1,
                               site->name, spl_words_verdict(site->verdict));
        if (site->reason != NULL)
            g_string_append_printf(words, ": %s", site->reason);
    }
    /* A bed of paper keeps the mark clear of hatching. */
    double r = MARK + 1.2, bed[8] = {spot->x - r, spot->y, spot->x, spot->y - r,
                                     spot->x + r, spot->y, spot->x, spot->y + r};
    spl_page_fill(draw->page, bed, 4, SPL_TONE_PAPER);
    spl_page_sign(draw->page, alike ? sign_of(first->verdict) : SPL_SIGN_LOZENGE_OPEN, spot->x,
                  spot->y, MARK, SPL_TONE_BLACK, words->str);
    spl_page_say(draw->page, spot->x - r, spot->y - r, 2.0 * r, 2.0 * r, words->str);
    g_string_free(words, TRUE);
}

static void draw_home(struct spl_estate_draw *draw, GArray *labels)
{
    const struct spl_estate_map *map = draw->map;
    if (isnan(map->home_lat) || isnan(map->home_lon))
        return;
    double x, y;
    spl_estate_xy(draw, map->home_lat, map->home_lon, &x, &y);
    static struct spot home;
    home = (struct spot){.x = x, .y = y};
    const char *name = map->home_name != NULL ? map->home_name : "home";
    /* A place may lie at home itself: then the house moves up beside its mark. */
    if (!spl_room_is_free(draw->room, x - 4.0, y - 4.0, 8.0, 8.0)) {
        double free_x, free_y;
        if (!spl_room_find(draw->room, x, y, MARK, 8.0, 8.0, 60.0, FALSE, &free_x, &free_y))
            return;
        home.x = free_x + 4.0;
        home.y = free_y + 4.0;
    } else {
        spl_room_take(draw->room, x - 4.0, y - 4.0, 8.0, 8.0);
    }
    spl_page_sign(draw->page, SPL_SIGN_HOUSE, home.x, home.y, 4.0, SPL_TONE_BLACK, name);
    spl_page_say(draw->page, home.x - 4.0, home.y - 4.0, 8.0, 8.0, name);
    try_label(draw, &home, name, NULL, 120.0, labels);
}

void spl_estate_draw_sites(struct spl_estate_draw *draw)
{
    struct spl_type big = head_type(), small = more_type();
    draw_grounds(draw);
    g_autoptr(GArray) spots = find_spots(draw);
    g_autoptr(GPtrArray) order = g_ptr_array_new();
    for (guint i = 0; i < spots->len; i++) {
        struct spot *spot = &g_array_index(spots, struct spot, i);
        g_ptr_array_add(order, spot);
        spl_room_take(draw->room, spot->x - MARK, spot->y - MARK, 2.0 * MARK, 2.0 * MARK);
    }
    g_ptr_array_sort(order, compare_spots); /* lonely places first: theirs fit as a whole */
    g_autoptr(GArray) labels = g_array_new(FALSE, TRUE, sizeof(struct label));
    g_array_set_clear_func(labels, label_clear);
    draw_home(draw, labels);
    for (guint i = 0; i < order->len; i++)
        label_spot(draw, g_ptr_array_index(order, i), labels);
    for (guint i = 0; i < labels->len; i++) {
        const struct label *label = &g_array_index(labels, struct label, i);
        leader(draw, label->spot, label->x, label->y, label->w, label->h);
    }
    for (guint i = 0; i < spots->len; i++)
        draw_mark(draw, &g_array_index(spots, struct spot, i));
    for (guint i = 0; i < labels->len; i++) {
        const struct label *label = &g_array_index(labels, struct label, i);
        spl_page_text(draw->page, label->x, label->y, LABEL_W, &big, label->head);
        spl_page_text(draw->page, label->x, label->y + label->head_h, LABEL_W, &small, label->more);
    }
}
