/* SPDX-License-Identifier: MIT
 *
 * The season: the almanac page as a picture, the windows in words, what is planned and runs short,
 * the kept outings. See desk/page.h.
 */
#include "desk/page.h"
#include "desk/picture.h"
#include "simpling/error.h"
#include "simpling/picture.h"
#include "simpling/plan.h"

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

static void put_plan(struct spl_html *html, const GArray *planned, const GArray *shortfall,
                     const struct spl_plan_outings *kept)
{
    spl_desk_table(html, "What is planned", &spl_plan_line_shape, planned, NULL);
    spl_desk_table(html, "What it needs against what the stands can spare",
                   &spl_plan_shortage_shape, shortfall, NULL);
    spl_desk_table(html, "Outings", &spl_plan_outing_shape, kept->outings, NULL);
    spl_desk_table(html, "Calls to make", &spl_plan_call_shape, kept->call, NULL);
    if (planned->len == 0)
        spl_desk_say(html, "Nothing is planned for this season.");
}

SPL_PAGE(season)
{
    struct spl_plan_question question = {.season = SPL_COUNT_NONE};
    struct spl_plan_short_question missing = {.season = SPL_COUNT_NONE};
    struct spl_plan_outings kept;
    GArray *planned = spl_plan_lines(house, &question, error);
    GArray *shortfall = planned != NULL ? spl_plan_shortfall(house, &missing, error) : NULL;
    gboolean done = shortfall != NULL && spl_plan_kept(house, SPL_COUNT_NONE, &kept, error);

    if (done) {
        struct spl_html *html = spl_desk_begin(visit, "Season", "/season");

        spl_picture_put(html, "season.svg",
                        "The season page: months across the top, a line for each material and "
                        "place; each plant's "
                        "page says the same in words");
        put_plan(html, planned, shortfall, &kept);
        spl_html_open(html, "p");
        spl_desk_act(html, "plan-add", "Plan a batch", NULL);
        spl_html_close(html, "p");
        spl_record_clear(&spl_plan_outings_shape, &kept);
        spl_visit_page(visit, 200, spl_desk_end(html));
    }
    spl_list_free(&spl_plan_line_shape, planned);
    spl_list_free(&spl_plan_shortage_shape, shortfall);
    return done;
}
