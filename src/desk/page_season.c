/* SPDX-License-Identifier: MIT
 *
 * The season: its page as a picture, and what leads on from it: the windows in words, the
 * plan. See desk/page.h.
 */
#include "desk/look.h"
#include "desk/page.h"
#include "desk/picture.h"
#include "simpling/picture.h"

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

SPL_PAGE(season)
{
    static const char *const sheet[] = {"what", "season", "form", "yes", NULL};
    struct spl_html *html = spl_desk_begin(visit, "Season", "/season");

    (void)house;
    (void)error;
    spl_picture_put(html, "season.svg",
                    "The season page: months across the top, a line for each material and "
                    "place; each plant's page says the same in words");
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
