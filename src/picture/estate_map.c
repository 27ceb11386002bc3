/* SPDX-License-Identifier: MIT
 *
 * The estate map as a sheet: what lies in the frame, the column of keys, the list of places.
 */
#include "picture/estate_map.h"

#include <math.h>
#include <string.h>

#include "picture/estate_private.h"
#include "picture/hatch.h"
#include "picture/words.h"

#define COLUMN_LEAST 205.0 /* of the column of keys */
#define COLUMN_GAP 12.0
#define NOTHING_AGAINST "nothing known against it"
#define EDGE 18.0       /* kept between the outermost places and the frame, pt */
#define NAMES_ROOM 40.0 /* more across, for names beside the marks */
#define LEAST_M 400.0   /* of ground across the frame */

void spl_estate_xy(const struct spl_estate_draw *draw, double lat, double lon, double *x, double *y)
{
    double east, north;
    spl_projection_forward(&draw->projection, lat, lon, &east, &north);
    *x = draw->frame_x + draw->frame_w / 2.0 + (east - draw->middle_e) * draw->pt_per_m;
    *y = draw->frame_y + draw->frame_h / 2.0 - (north - draw->middle_n) * draw->pt_per_m;
}

static gboolean place_is_good(double lat, double lon)
{
    return lat >= -90.0 && lat <= 90.0 && lon >= -180.0 && lon <= 180.0;
}

static gboolean check_places(const struct spl_estate_map *map, GError **error)
{
    for (gsize i = 0; i < map->n_sites; i++) {
        const struct spl_estate_map_site *site = &map->sites[i];
        gboolean good = place_is_good(site->lat, site->lon);
        for (gsize k = 0; k < site->n_outline; k++)
            good = good && place_is_good(site->outline[2 * k], site->outline[2 * k + 1]);
        if (!good) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "site '%s' has a coordinate off the earth; correct it", site->name);
            return FALSE;
        }
    }
    for (gsize i = 0; i < map->n_hazards; i++) {
        const struct spl_estate_map_hazard *hazard = &map->hazards[i];
        for (gsize k = 0; k < hazard->n_points; k++) {
            if (!place_is_good(hazard->points[2 * k], hazard->points[2 * k + 1])) {
                g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                            "hazard '%s' has a coordinate off the earth; import it again",
                            hazard->name != NULL ? hazard->name : hazard->kind);
                return FALSE;
            }
        }
    }
    return TRUE;
}

/* What the frame must hold: all places, their ground and home; hazards only when there is nothing
 * else (a county's layer would dwarf the places). */
static GArray *places_of(const struct spl_estate_map *map)
{
    GArray *all = g_array_new(FALSE, FALSE, sizeof(double));
    for (gsize i = 0; i < map->n_sites; i++) {
        double pair[2] = {map->sites[i].lat, map->sites[i].lon};
        g_array_append_vals(all, pair, 2);
        g_array_append_vals(all, map->sites[i].outline, (guint)(2 * map->sites[i].n_outline));
    }
    if (place_is_good(map->home_lat, map->home_lon)) {
        double pair[2] = {map->home_lat, map->home_lon};
        g_array_append_vals(all, pair, 2);
    }
    for (gsize i = 0; all->len == 0 && i < map->n_hazards; i++)
        g_array_append_vals(all, map->hazards[i].points, (guint)(2 * map->hazards[i].n_points));
    return all;
}

/* A scale of two or three figures, the first not below `least`: no step is much over a tenth, so
 * that what the frame is to hold fills it. */
static double round_scale(double least)
{
    static const double shares[] = {1.0, 1.1,  1.2, 1.35, 1.5, 1.6, 1.75, 2.0, 2.25,
                                    2.5, 2.75, 3.0, 3.3,  3.6, 4.0, 4.5,  5.0, 5.5,
                                    6.0, 6.5,  7.0, 7.5,  8.0, 9.0, 10.0};
    double power = pow(10.0, floor(log10(least)));
    for (gsize i = 0; i < G_N_ELEMENTS(shares); i++)
        if (shares[i] * power >= least * (1.0 - 1e-9))
            return shares[i] * power;
    return 10.0 * power;
}

/* Projects about the middle of the places; how far they reach, m. */
static void find_reach(struct spl_estate_draw *draw, const GArray *places, double *wide,
                       double *tall)
{
    const double *all = (const double *)(void *)places->data;
    gsize n = places->len / 2;
    double lat, lon, left = INFINITY, right = -INFINITY, low = INFINITY, high = -INFINITY;
    spl_projection_middle(all, n, &lat, &lon);
    spl_projection_set(&draw->projection, lat, lon);
    for (gsize i = 0; i < n; i++) {
        double e, s;
        spl_projection_forward(&draw->projection, all[2 * i], all[2 * i + 1], &e, &s);
        left = MIN(left, e);
        right = MAX(right, e);
        low = MIN(low, s);
        high = MAX(high, s);
    }
    draw->middle_e = (left + right) / 2.0;
    draw->middle_n = (low + high) / 2.0;
    *wide = MAX(right - left, LEAST_M);
    *tall = MAX(high - low, LEAST_M);
}

/* The scale that holds all in the frame; then the frame is drawn in to what the places need, and
 * the column takes what it leaves. Neither side is ever under half of what it could be. */
static void choose_scale(struct spl_estate_draw *draw, const GArray *places)
{
    double wide, tall, most_w = draw->frame_w, most_h = draw->frame_h;
    find_reach(draw, places, &wide, &tall);
    double m_per_pt = MAX(wide / (most_w - 2.0 * EDGE), tall / (most_h - 2.0 * EDGE));
    draw->denominator = round_scale(m_per_pt * 72.0 / 0.0254);
    draw->pt_per_m = 72.0 / 0.0254 / draw->denominator;
    draw->frame_w = CLAMP(wide * draw->pt_per_m + 2.0 * EDGE + NAMES_ROOM, most_w / 2.0, most_w);
    draw->frame_h = CLAMP(tall * draw->pt_per_m + 2.0 * EDGE + NAMES_ROOM, most_h / 2.0, most_h);
    draw->column_w += most_w - draw->frame_w;
}

/* ---- the column ---------------------------------------------------------------------------- */

static double key_hatch(struct spl_estate_draw *draw, double x, double y, double w, int which,
                        const char *words)
{
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.0};
    double box = 22.0, tall = 11.0, h;
    spl_page_measure(draw->page, w - box - 6.0, &type, words, NULL, &h);
    double square[8] = {x, y, x + box, y, x + box, y + tall, x, y + tall};
    gsize ring = 4;
    for (int layer = 2; layer >= which; layer--) { /* as on the map: the lesser zone lies below */
        static const double spacing[] = {1.8, 3.6, 4.5}, width[] = {0.7, 0.45, 0.3};
        struct spl_hatch *hatch =
            spl_hatch_new(x, y, box, tall, layer == 2 ? G_PI / 4.0 : -G_PI / 4.0, spacing[layer]);
        spl_hatch_polygon(hatch, square, &ring, 1, 0.0);
        g_autoptr(GArray) strokes = spl_hatch_strokes(hatch);
        spl_page_strokes(draw->page, (const double *)(void *)strokes->data, strokes->len / 4,
                         width[layer], layer == 2 ? SPL_TONE_SOFT : SPL_TONE_MADDER);
        spl_hatch_free(hatch);
    }
    if (which == 0)
        spl_page_frame(draw->page, x, y, box, tall, 0.7, SPL_TONE_MADDER);
    spl_page_ink(draw->page, SPL_INK_HATCH, x, y, box, tall, NULL);
    spl_page_text(draw->page, x + box + 6.0, y, w - box - 6.0, &type, words);
    return MAX(h, tall) + 3.0;
}

static double key_sign(struct spl_estate_draw *draw, double x, double y, double w,
                       enum spl_sign sign, const char *words)
{
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.0};
    double h;
    spl_page_measure(draw->page, w - 28.0, &type, words, NULL, &h);
    spl_page_sign(draw->page, sign, x + 11.0, y + 5.0, 3.0, SPL_TONE_BLACK, "key");
    spl_page_text(draw->page, x + 28.0, y, w - 28.0, &type, words);
    return h + 1.5;
}

struct kind {
    const char *kind;
    double closed_m, ask_m;
    guint count;
};

/* Hazards by kind and distances, in order of first appearance. */
static GArray *kinds_of(const struct spl_estate_map *map)
{
    GArray *kinds = g_array_new(FALSE, FALSE, sizeof(struct kind));
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (gsize i = 0; i < map->n_hazards; i++) {
        const struct spl_estate_map_hazard *hazard = &map->hazards[i];
        const char *name = hazard->kind != NULL ? hazard->kind : "contaminated ground";
        char *key = g_strdup_printf("%s|%.3f|%.3f", name, hazard->closed_m, hazard->ask_m);
        gpointer at = g_hash_table_lookup(seen, key);
        if (at != NULL) {
            g_array_index(kinds, struct kind, GPOINTER_TO_UINT(at) - 1).count++;
            g_free(key);
            continue;
        }
        struct kind kind = {name, hazard->closed_m, MAX(hazard->ask_m, hazard->closed_m), 1};
        g_array_append_val(kinds, kind);
        g_hash_table_insert(seen, key, GUINT_TO_POINTER(kinds->len));
    }
    return kinds;
}

static char *kind_words(const struct kind *kind)
{
    g_autofree char *count = kind->count > 1 ? g_strdup_printf(" (%u)", kind->count) : g_strdup("");
    g_autofree char *far = spl_estate_reach(kind->closed_m, kind->ask_m);
    return g_strdup_printf("%s%s: %s", kind->kind, count, far);
}

static double draw_keys(struct spl_estate_draw *draw, double x, double y, double w)
{
    const struct spl_estate_map *map = draw->map;
    struct spl_type plain = {.face = SPL_FACE_SANS, .size = 7.0};
    gboolean beside = w >= 1.35 * COLUMN_LEAST; /* the hatchings beside the signs */
    double half = beside ? w * 0.55 : w, signs, hatches;
    y += spl_estate_draw_scale(draw, x, y, MIN(w, COLUMN_LEAST));
    signs = hatches = y;
    signs += key_sign(draw, x, signs, half, SPL_SIGN_DOT, "clear: " NOTHING_AGAINST);
    signs += key_sign(draw, x, signs, half, SPL_SIGN_RING, "ask before gathering");
    signs += key_sign(draw, x, signs, half, SPL_SIGN_CROSS, "closed: do not gather");
    signs += key_sign(draw, x, signs, half, SPL_SIGN_LOZENGE_OPEN,
                      "several that differ: see the numbers");
    if (map->n_hazards > 0) {
        double left = beside ? x + half : x, most = beside ? w - half : w;
        if (!beside)
            hatches = signs + 3.0;
        hatches += key_hatch(draw, left, hatches, most, 0, "contaminated ground");
        hatches += key_hatch(draw, left, hatches, most, 1, "closed around it");
        hatches += key_hatch(draw, left, hatches, most, 2, "ask here");
    }
    y = MAX(signs, hatches) + 1.0;
    return y + spl_page_text(draw->page, x, y, w, &plain,
                             "North is up. No base map: only what the book holds is drawn.");
}

/* ---- the list of places -------------------------------------------------------------------- */

static char *bearing_words(const struct spl_estate_map *map, const struct spl_estate_map_site *site)
{
    static const char *const winds[] = {"N", "NE", "E", "SE", "S", "SW", "W", "NW"};
    if (!place_is_good(map->home_lat, map->home_lon))
        return g_strdup("");
    struct spl_projection from;
    double e, n;
    spl_projection_set(&from, map->home_lat, map->home_lon);
    spl_projection_forward(&from, site->lat, site->lon, &e, &n);
    double far = hypot(e, n);
    if (far < 5.0)
        return g_strdup("at home");
    g_autofree char *km = spl_words_km(far / 1000.0);
    int wind = (int)lround(atan2(e, n) / (G_PI / 4.0));
    return g_strdup_printf("%s %s", km, winds[(wind + 8) % 8]);
}

static char *hazard_words(const struct spl_estate_map_site *site)
{
    return isnan(site->hazard_m) ? g_strdup("none near") : spl_words_km(site->hazard_m / 1000.0);
}

/* How much the list beside the map says, the most first. */
enum list_form { LIST_ROOMY, LIST_RUN_ON, LIST_FORMS };

/* In the column beside the map, when all fit there, with the coordinates on a line of their own or
 * run on: returns the height; draws when asked to. What the key says of every clear place is not
 * said again. */
static double list_beside(struct spl_estate_draw *draw, double x, double y, double w,
                          enum list_form form, gboolean draw_it)
{
    struct spl_type head = {.face = SPL_FACE_SERIF, .size = 7.6, .bold = TRUE};
    struct spl_type small = {.face = SPL_FACE_SANS, .size = 7.0, .tone = SPL_TONE_SOFT};
    double top = y;
    for (gsize i = 0; i < draw->map->n_sites; i++) {
        const struct spl_estate_map_site *site = &draw->map->sites[i];
        g_autofree char *name = g_strdup_printf("%" G_GSIZE_FORMAT " %s, %s", i + 1, site->name,
                                                spl_words_verdict(site->verdict));
        g_autofree char *place = spl_words_place(site->lat, site->lon);
        g_autofree char *from = bearing_words(draw->map, site);
        const char *spot[] = {place, from};
        g_autofree char *where = spl_words_join("; ", spot, G_N_ELEMENTS(spot));
        const char *reason = g_strcmp0(site->reason, NOTHING_AGAINST) != 0 ? site->reason : NULL;
        const char *bits[] = {reason, site->stands};
        g_autofree char *what = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
        const char *both[] = {what, where};
        g_autofree char *more =
            spl_words_join(form != LIST_ROOMY ? "; " : "\n", both, G_N_ELEMENTS(both));
        double a, b;
        spl_page_measure(draw->page, w, &head, name, NULL, &a);
        spl_page_measure(draw->page, w - 8.0, &small, more, NULL, &b);
        if (draw_it) {
            spl_page_text(draw->page, x, y, w, &head, name);
            spl_page_text(draw->page, x + 8.0, y + a, w - 8.0, &small, more);
        }
        y += a + b + 3.0;
    }
    return y - top;
}

static void gazetteer_head(struct spl_flow *flow, gpointer data)
{
    const struct spl_estate_draw *draw = data;
    struct spl_type small = {.face = SPL_FACE_SERIF, .size = 11.0, .bold = TRUE};
    g_autofree char *words = g_strdup_printf("%s: the places", draw->title);
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, words) + 3.0;
}

static void draw_gazetteer(struct spl_estate_draw *draw, const GArray *kinds, gboolean places,
                           gboolean list_kinds)
{
    static const struct spl_table_column columns[] = {
        {"no.", 4, SPL_ALIGN_RIGHT, TRUE},
        {"place", 20, SPL_ALIGN_LEFT, TRUE},
        {"verdict", 8, SPL_ALIGN_LEFT, FALSE},
        {"why", 30, SPL_ALIGN_LEFT, FALSE},
        {"what grows there", 26, SPL_ALIGN_LEFT, FALSE},
        {"contaminated ground", 8, SPL_ALIGN_LEFT, FALSE},
        {"latitude, longitude", 14, SPL_ALIGN_LEFT, FALSE},
        {"from home", 9, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_flow flow;
    spl_page_next(draw->page);
    spl_flow_begin(&flow, draw->page, gazetteer_head, draw);
    struct spl_table table = {.flow = &flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.4,
                              .shown_on = -1};
    for (gsize i = 0; places && i < draw->map->n_sites; i++) {
        const struct spl_estate_map_site *site = &draw->map->sites[i];
        g_autofree char *number = g_strdup_printf("%" G_GSIZE_FORMAT, i + 1);
        g_autofree char *place = spl_words_place(site->lat, site->lon);
        g_autofree char *from = bearing_words(draw->map, site);
        g_autofree char *bad = hazard_words(site);
        const char *cells[] = {number,       site->name,   spl_words_verdict(site->verdict),
                               site->reason, site->stands, bad,
                               place,        from};
        spl_table_row(&table, cells);
    }
    if (!list_kinds)
        return;
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.4};
    spl_flow_section(&flow, "Contaminated ground", 20.0);
    for (guint i = 0; i < kinds->len; i++) {
        g_autofree char *words = kind_words(&g_array_index(kinds, struct kind, i));
        spl_flow_text(&flow, &type, words, 1.0);
    }
    for (gsize i = 0; i < draw->map->n_notes; i++)
        spl_flow_text(&flow, &type, draw->map->notes[i], 1.0);
}

/* What the column says about the hazards, and the notes; the height, drawn when asked to. */
static double kinds_beside(struct spl_estate_draw *draw, const GArray *kinds, double x, double y,
                           double w, gboolean draw_it)
{
    struct spl_type type = {.face = SPL_FACE_SANS, .size = 7.0};
    double top = y;
    for (guint i = 0; i < kinds->len + draw->map->n_notes; i++) {
        g_autofree char *words = i < kinds->len ? kind_words(&g_array_index(kinds, struct kind, i))
                                                : g_strdup(draw->map->notes[i - kinds->len]);
        double h;
        spl_page_measure(draw->page, w, &type, words, NULL, &h);
        if (draw_it)
            spl_page_text(draw->page, x, y, w, &type, words);
        y += h + 1.0;
    }
    return y - top;
}

/* The title, and where the frame lies. */
static void begin_sheet(struct spl_estate_draw *draw, struct spl_flow *flow)
{
    const struct spl_estate_map *map = draw->map;
    spl_flow_begin(flow, draw->page, NULL, NULL);
    g_autofree char *date = spl_words_date(map->today);
    g_autofree char *day =
        date[0] != '\0' ? g_strdup_printf("verdicts for %s; check again before picking", date)
                        : NULL;
    const char *bits[] = {map->subtitle, day};
    g_autofree char *below = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    spl_flow_title(flow, draw->title, below);
    draw->frame_x = flow->x + SPL_BAND_SIDE;
    draw->frame_y = flow->y + SPL_BAND_TOP + 2.0;
    draw->column_w = COLUMN_LEAST;
    draw->frame_w = flow->w - draw->column_w - COLUMN_GAP - 2.0 * SPL_BAND_SIDE;
    draw->frame_h = flow->bottom - flow->y - 2.0 * SPL_BAND_TOP - 4.0;
}

static void draw_sheet(struct spl_estate_draw *draw)
{
    const struct spl_estate_map *map = draw->map;
    struct spl_flow flow;
    begin_sheet(draw, &flow);

    g_autoptr(GArray) places = places_of(map);
    if (places->len == 0) {
        struct spl_type type = {
            .face = SPL_FACE_SERIF, .size = 11.0, .italic = TRUE, .align = SPL_ALIGN_CENTRE};
        spl_page_frame(draw->page, draw->frame_x - SPL_BAND_SIDE, draw->frame_y - SPL_BAND_TOP,
                       draw->frame_w + 2.0 * SPL_BAND_SIDE, draw->frame_h + 2.0 * SPL_BAND_TOP, 1.4,
                       SPL_TONE_BLACK);
        spl_page_text(draw->page, draw->frame_x, draw->frame_y + draw->frame_h / 2.0 - 10.0,
                      draw->frame_w, &type, "The book has no places yet.");
        return;
    }
    choose_scale(draw, places);
    double column = draw->frame_x + draw->frame_w + SPL_BAND_SIDE + COLUMN_GAP, y = flow.y + 2.0;
    draw->room = spl_room_new(draw->frame_x + 2.0, draw->frame_y + 2.0, draw->frame_w - 4.0,
                              draw->frame_h - 4.0);
    spl_estate_draw_hazards(draw);
    spl_estate_draw_sites(draw);
    spl_estate_name_hazards(draw);
    spl_estate_draw_frame(draw);
    spl_room_free(draw->room);
    y = draw_keys(draw, column, y, draw->column_w) + 3.0;

    g_autoptr(GArray) kinds = kinds_of(map);
    double kinds_h = kinds_beside(draw, kinds, column, y, draw->column_w, FALSE);
    gboolean kinds_fit = y + kinds_h <= flow.bottom - 30.0;
    if (kinds_fit)
        y += kinds_beside(draw, kinds, column, y, draw->column_w, TRUE) + 5.0;
    gboolean fit = FALSE;
    for (enum list_form form = LIST_ROOMY; form < LIST_FORMS && map->n_sites <= 40 && !fit;
         form++) {
        fit = y + list_beside(draw, column, y, draw->column_w, form, FALSE) <= flow.bottom;
        if (fit)
            list_beside(draw, column, y, draw->column_w, form, TRUE);
    }
    if (!fit) {
        struct spl_type see = {.face = SPL_FACE_SERIF, .size = 7.6, .italic = TRUE};
        spl_page_text(draw->page, column, MIN(y, flow.bottom - 12.0), draw->column_w, &see,
                      "The list of places is overleaf.");
    }
    if (!fit || !kinds_fit)
        draw_gazetteer(draw, kinds, !fit, !kinds_fit);
}

static struct spl_page *open_page(struct spl_estate_draw *draw, const struct spl_estate_map *map,
                                  const struct spl_page_options *options, GError **error)
{
    if (!check_places(map, error))
        return NULL;
    const char *title = map->title != NULL ? map->title : "The gathering grounds";
    g_autofree char *about =
        g_strdup_printf("Map of %" G_GSIZE_FORMAT " places with their verdicts and %" G_GSIZE_FORMAT
                        " pieces of contaminated ground.",
                        map->n_sites, map->n_hazards);
    struct spl_page_setup setup = {
        .options = *options, .landscape = TRUE, .title = title, .about = about, .foot = title};
    *draw = (struct spl_estate_draw){.map = map, .title = title};
    draw->page = spl_page_open(&setup, error);
    return draw->page;
}

GBytes *spl_estate_map_draw(const struct spl_estate_map *map,
                            const struct spl_page_options *options, struct spl_page_report *report,
                            GError **error)
{
    struct spl_estate_draw draw;
    if (open_page(&draw, map, options, error) == NULL)
        return NULL;
    draw_sheet(&draw);
    return spl_page_finish(draw.page, report, error);
}

gboolean spl_estate_map_spots(const struct spl_estate_map *map,
                              const struct spl_page_options *options,
                              void (*each)(const struct spl_estate_map_site *site, double x,
                                           double y, gpointer data),
                              gpointer data, GError **error)
{
    struct spl_estate_draw draw;
    struct spl_flow flow;
    double height, width; /* of the paper, which lies on its side */
    if (open_page(&draw, map, options, error) == NULL)
        return FALSE;
    begin_sheet(&draw, &flow);
    spl_page_paper_size(options->paper, &height, &width);
    g_autoptr(GArray) places = places_of(map);
    if (places->len > 0)
        choose_scale(&draw, places);
    for (gsize i = 0; i < map->n_sites; i++) {
        double x, y;
        spl_estate_xy(&draw, map->sites[i].lat, map->sites[i].lon, &x, &y);
        each(&map->sites[i], x / width, y / height, data);
    }
    spl_page_free(draw.page);
    return TRUE;
}
