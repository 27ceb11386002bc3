/* SPDX-License-Identifier: MIT
 *
 * The places: the estate map, and the list with the verdict of each on a day. See desk/page.h.
 */
#include <math.h>

#include "desk/look.h"
#include "desk/page.h"
#include "desk/picture.h"
#include "simpling/error.h"
#include "simpling/picture.h"
#include "simpling/site.h"

#define MAP_UNITS 1000 /* across the map, of the links on it */
#define MAP_TOUCH 22   /* of them round a place: what a finger hits */

static gboolean keep_line(const struct spl_site_line *line, gpointer data, GError **error)
{
    (void)error;
    spl_desk_keep(data, &spl_site_line_shape, line);
    return TRUE;
}

static void put_place_cell(struct spl_html *html, const struct spl_site_line *line)
{
    spl_html_open(html, "li");
    spl_desk_place(html, line->name);
    spl_html_text(html, " ");
    spl_html_open(html, "span");
    spl_html_attr(html, "class",
                  line->verdict == SPL_VERDICT_CLOSED ? "word closed"
                  : line->verdict == SPL_VERDICT_ASK  ? "word ask"
                                                      : "word clear");
    spl_html_text(html, spl_verdict_names[line->verdict]);
    spl_html_close(html, "span");
    if (line->why != NULL) {
        spl_html_text(html, " ");
        spl_html_line(html, "small", NULL, line->why);
    }
    spl_html_close(html, "li");
}

/* The map, each of its places a link where it stands; the list below says the same. */
static gboolean put_map(struct spl_house *house, struct spl_html *html, GError **error)
{
    double page = 1.0;
    GArray *spots = spl_picture_map_spots(house, &page, error);
    g_autofree char *box = NULL;

    if (spots == NULL)
        return FALSE;
    spl_html_open(html, "figure");
    spl_html_attr(html, "class", "map");
    spl_html_open(html, "img");
    spl_html_link(html, "src", "/map.svg", NULL, NULL);
    spl_html_attr(html, "alt",
                  "The map of the gathering grounds: each place with clear, ask or closed written "
                  "out; the list "
                  "below says the same");
    box = g_strdup_printf("0 0 %d %d", MAP_UNITS, (int)lround(MAP_UNITS / page));
    spl_html_open(html, "svg");
    spl_html_attr(html, "viewBox", box);
    spl_html_attr(html, "role", "group");
    spl_html_attr(html, "aria-label", "The places of the map");
    for (guint i = 0; i < spots->len; i++) {
        const struct spl_map_spot *spot = &g_array_index(spots, struct spl_map_spot, i);
        const char *parts[] = {spot->site, NULL};

        spl_html_open(html, "a");
        spl_html_link(html, "href", "/place", parts, NULL);
        spl_html_attr(html, "aria-label", spot->site);
        spl_html_open(html, "circle");
        spl_html_attr_number(html, "cx", (int)lround(spot->x * MAP_UNITS));
        spl_html_attr_number(html, "cy", (int)lround(spot->y * MAP_UNITS / page));
        spl_html_attr_number(html, "r", MAP_TOUCH);
        spl_html_close(html, "circle");
        spl_html_close(html, "a");
    }
    spl_html_close(html, "svg");
    spl_html_close(html, "figure");
    spl_list_free(&spl_map_spot_shape, spots);
    return TRUE;
}

SPL_PAGE(places)
{
    static const char *const sheet[] = {"what", "map", NULL};
    struct spl_site_question question = {.on = SPL_DAY_NONE};
    GArray *lines = spl_list_new(&spl_site_line_shape);
    struct spl_html *html;

    if (!spl_site_lines(house, &question, keep_line, lines, error)) {
        spl_list_free(&spl_site_line_shape, lines);
        return FALSE;
    }
    html = spl_desk_begin(visit, "Places", "/places");
    if (lines->len == 0) {
        spl_desk_say(html, "No place is in the book yet.");
    } else {
        if (!put_map(house, html, error)) {
            spl_list_free(&spl_site_line_shape, lines);
            spl_html_free(html);
            return FALSE;
        }
        spl_html_open(html, "ul");
        spl_html_attr(html, "class", "ledger");
        for (guint i = 0; i < lines->len; i++)
            put_place_cell(html, &g_array_index(lines, struct spl_site_line, i));
        spl_html_close(html, "ul");
    }
    spl_html_open(html, "p");
    spl_desk_act(html, "site-add", "A new place", NULL);
    spl_desk_print(html, "The map, to print", sheet);
    spl_html_close(html, "p");
    spl_list_free(&spl_site_line_shape, lines);
    spl_look_links(html, "/places");
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}

static gboolean draw_map(struct spl_house *house, const struct spl_picture_file *to, gpointer data,
                         struct spl_picture *picture, GError **error)
{
    struct spl_picture_map_words words;

    (void)data;
    spl_inputs_init(&spl_picture_map_inputs, &words);
    words.to = *to;
    return spl_picture_draw_map(house, &words, picture, error);
}

SPL_PAGE(map)
{
    return spl_picture_answer(visit, house, SPL_PICTURE_SVG, draw_map, NULL, error);
}
