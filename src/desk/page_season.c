/* SPDX-License-Identifier: MIT
 *
 * The season: its page as a picture, and what leads on from it: the windows in words, the
 * plan. See desk/page.h.
 */
#include <math.h>
#include <string.h>

#include "desk/look.h"
#include "desk/page.h"
#include "desk/picture.h"
#include "simpling/picture.h"

#define UNITS 1000 /* across the page, of the links on it */

static gboolean draw_season(struct spl_house *house, const struct spl_picture_file *to,
                            gpointer data, struct spl_picture *picture, GError **error)
{
    struct spl_picture_season_words words;

    (void)data;
    spl_inputs_init(&spl_picture_season_inputs, &words);
    words.to = *to;
    return spl_picture_draw_season(house, &words, picture, error);
}

SPL_PAGE(almanac)
{
    return spl_picture_answer(visit, house, SPL_PICTURE_SVG, draw_season, NULL, error);
}

/* The way to a line's windows: its place on that page, with the material. */
static void put_line_link(struct spl_html *html, const struct spl_season_spot *spot)
{
    const char *parts[] = {spot->site, NULL}, *query[] = {"material", spot->material, NULL};

    if (spot->site != NULL) {
        spl_html_link(html, "href", "/place", parts, query);
    } else {
        g_autofree char *plant = g_strndup(spot->material, strcspn(spot->material, "/"));
        const char *of[] = {plant, NULL};

        spl_html_link(html, "href", "/plant", of, NULL);
    }
}

/* Over the picture: each line of it can be touched. For the keyboard and for readers there is the
 * list below, which says the same. */
static void put_touch(struct spl_html *html, const GArray *spots, double picture)
{
    g_autofree char *box = g_strdup_printf("0 0 %d %d", UNITS, (int)lround(UNITS / picture));

    spl_html_open(html, "svg");
    spl_html_attr(html, "viewBox", box);
    spl_html_attr(html, "aria-hidden", "true");
    for (guint i = 0; i < spots->len; i++) {
        const struct spl_season_spot *spot = &g_array_index(spots, struct spl_season_spot, i);

        spl_html_open(html, "a");
        put_line_link(html, spot);
        spl_html_attr(html, "tabindex", "-1");
        spl_html_open(html, "rect");
        spl_html_attr_number(html, "x", lround(spot->x * UNITS));
        spl_html_attr_number(html, "y", lround(spot->y * UNITS / picture));
        spl_html_attr_number(html, "width", lround(spot->w * UNITS));
        spl_html_attr_number(html, "height", MAX(1, lround(spot->h * UNITS / picture)));
        spl_html_close(html, "rect");
        spl_html_close(html, "a");
    }
    spl_html_close(html, "svg");
}

static void put_picture(struct spl_html *html, const GArray *spots, double picture)
{
    spl_html_open(html, "figure");
    spl_html_attr(html, "class", "map");
    spl_html_open(html, "img");
    spl_html_link(html, "src", "/season.svg", NULL, NULL);
    spl_html_attr(html, "alt",
                  "The season page: months across the top, a line for each material and place; the "
                  "list below says the same in words");
    put_touch(html, spots, picture);
    spl_html_close(html, "figure");
}

static void put_lines(struct spl_html *html, const GArray *spots)
{
    if (spots->len == 0)
        return;
    spl_html_open(html, "details");
    spl_html_line(html, "summary", NULL, "Each line of the page in words, with its windows");
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "ledger");
    for (guint i = 0; i < spots->len; i++) {
        const struct spl_season_spot *spot = &g_array_index(spots, struct spl_season_spot, i);

        spl_html_open(html, "li");
        spl_html_open(html, "a");
        put_line_link(html, spot);
        spl_html_text(html, spot->words);
        if (spot->site != NULL) {
            spl_html_text(html, ", ");
            spl_html_name(html, spot->site);
        }
        spl_html_close(html, "a");
        spl_html_line(html, "small", NULL, spot->days);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
    spl_html_close(html, "details");
}

SPL_PAGE(season)
{
    static const char *const sheet[] = {"what", "season", "form", "yes", NULL};
    double picture = 1.0;
    GArray *spots = spl_picture_season_spots(house, &picture, error);
    struct spl_html *html;

    if (spots == NULL)
        return FALSE;
    html = spl_desk_begin(visit, "Season", "/season");
    put_picture(html, spots, picture);
    put_lines(html, spots);
    spl_list_free(&spl_season_spot_shape, spots);
    spl_desk_go(html, "/look/window-list", NULL,
                "The windows in words, each with its place and plant");
    spl_desk_go(html, "/plan", NULL, "The plan: batches, outings, calls");
    spl_desk_go(html, "/year", NULL, "What to make this year");
    spl_html_open(html, "p");
    spl_desk_act(html, "plan-add", "Plan a batch", NULL);
    spl_desk_print(html, "The season page on paper", sheet);
    spl_html_close(html, "p");
    spl_look_links(html, "/season");
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
