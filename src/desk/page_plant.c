/* SPDX-License-Identifier: MIT
 *
 * One plant: at each place the windows of all its parts on one scale, so that flower, spring leaf,
 * summer leaf and root can be planned against each other; look-alikes and cautions; what each part
 * makes, and what the plan needs of it. See desk/page.h.
 */
#include <math.h>
#include <string.h>

#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/known.h"
#include "simpling/plan.h"
#include "simpling/window.h"

struct looking {
    const char *plant;
    GArray *windows; /* struct spl_window */
};

static gboolean keep_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct looking *looking = data;
    gsize n = strlen(looking->plant);

    (void)error;
    if (strncmp(told->window.material, looking->plant, n) == 0 && told->window.material[n] == '/')
        spl_desk_keep(looking->windows, &spl_window_shape, &told->window);
    return TRUE;
}

/* Place by place; at each in the order of the year. */
static int by_place(gconstpointer a, gconstpointer b)
{
    const struct spl_window *x = a, *y = b;
    int order = g_strcmp0(x->site, y->site);

    if (order == 0)
        order = spl_day_compare(x->likely_start, y->likely_start);
    if (order == 0)
        order = strcmp(x->material, y->material);
    return order != 0 ? order : g_strcmp0(x->use, y->use);
}

/* Days from the first of the growing year, as the strip counts them: 0 to 366. */
static int place_of(struct spl_day first, struct spl_day day)
{
    return CLAMP(spl_day_diff(day, first), 0, 366);
}

static void put_bar(struct spl_html *html, const char *class, int from, int to, int y, int height)
{
    spl_html_open(html, "rect");
    spl_html_attr(html, "class", class);
    spl_html_attr_number(html, "x", from);
    spl_html_attr_number(html, "y", y);
    spl_html_attr_number(html, "width", MAX(to - from, 1));
    spl_html_attr_number(html, "height", height);
    spl_html_attr(html, "fill", strcmp(class, "best") == 0 ? "url(#thick)" : "url(#thin)");
    spl_html_close(html, "rect");
}

/* The year as a strip: a line at each month, thin hatching from "may begin" to "mostly over", thick
 * on the best days. The words beside it say the same. */
static void put_strip(struct spl_html *html, const struct spl_window *window, struct spl_day first)
{
    spl_html_open(html, "svg");
    spl_html_attr(html, "viewBox", "0 0 366 14");
    spl_html_attr(html, "preserveAspectRatio", "none");
    spl_html_attr(html, "aria-hidden", "true");
    spl_html_attr(html, "class", "strip");
    for (int month = 0; month <= 12; month++) {
        int x = place_of(first, spl_day_add_months(first, month));

        spl_html_open(html, "line");
        spl_html_attr_number(html, "x1", x);
        spl_html_attr_number(html, "x2", x);
        spl_html_attr_number(html, "y1", 0);
        spl_html_attr_number(html, "y2", 14);
        spl_html_close(html, "line");
    }
    put_bar(html, "may", place_of(first, window->earliest), place_of(first, window->latest) + 1, 4,
            6);
    put_bar(html, "best", place_of(first, window->likely_start),
            place_of(first, window->likely_end) + 1, 1, 12);
    spl_html_close(html, "svg");
}

/* "leaf, bitter, flush 2", of the part and what it is for. */
static char *words_of(const struct spl_window *window)
{
    const char *slash = strchr(window->material, '/');
    const char *part = slash != NULL ? slash + 1 : window->material;

    return window->flush > 1 ? g_strdup_printf("%s, %s, flush %d", part, window->use, window->flush)
                             : g_strdup_printf("%s, %s", part, window->use);
}

static void put_window(struct spl_html *html, const struct spl_window *window, struct spl_day first)
{
    g_autofree char *from = spl_day_words(window->likely_start),
                    *to = spl_day_words(window->likely_end);
    g_autofree char *early = spl_day_words(window->earliest), *late = spl_day_words(window->latest);
    g_autofree char *what = words_of(window);

    spl_html_open(html, "li");
    spl_html_line(html, "strong", NULL, what);
    put_strip(html, window, first);
    spl_html_open(html, "span");
    spl_html_printf(html, "%s to %s", from, to);
    spl_html_open(html, "small");
    spl_html_printf(html, "may begin %s, mostly over %s", early, late);
    spl_html_close(html, "small");
    spl_html_close(html, "span");
    spl_html_close(html, "li");
}

/* What the days of one place rest on, folded away. */
static void put_basis(struct spl_html *html, const GArray *windows, guint from, guint to)
{
    spl_html_open(html, "details");
    spl_html_line(html, "summary", NULL, "What these days rest on");
    spl_html_open(html, "ul");
    for (guint i = from; i < to; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window, i);
        g_autofree char *what = words_of(window);

        spl_html_open(html, "li");
        spl_html_printf(html, "%s: %s", what, spl_basis_names[window->basis]);
        if (window->note != NULL && *window->note != '\0')
            spl_html_printf(html, "; %s", window->note);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
    spl_html_close(html, "details");
}

static void put_months(struct spl_html *html, struct spl_day first)
{
    static const char *const names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int month;

    spl_day_to_ymd(first, NULL, &month, NULL);
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "almanac-head");
    spl_html_attr(html, "aria-hidden", "true");
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "months");
    for (int i = 0; i < 12; i++)
        spl_html_line(html, "span", NULL, names[(month - 1 + i) % 12]);
    spl_html_close(html, "div");
    spl_html_close(html, "div");
}

static void put_windows(struct spl_html *html, const GArray *windows)
{
    const struct spl_window *before = NULL;
    guint begun = 0;

    spl_html_raw(html,
                 "\n<svg width=\"0\" height=\"0\" aria-hidden=\"true\" class=\"hatches\"><defs>"
                 "<pattern id=\"thin\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\">"
                 "<path d=\"M0 4 L4 0\" class=\"hatch\"/></pattern>"
                 "<pattern id=\"thick\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\">"
                 "<path d=\"M0 2 L2 0\" class=\"hatch\"/></pattern></defs></svg>");
    for (guint i = 0; i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window, i);
        struct spl_day first, last;

        /* Places of both halves of the world in one book are rare: each row has its own year. */
        spl_day_season_bounds(window->year, 0, &first, &last);
        if (spl_day_compare(window->likely_start, last) > 0)
            spl_day_season_bounds(window->year, -1, &first, &last);
        if (before == NULL || g_strcmp0(before->site, window->site) != 0) {
            if (before != NULL) {
                spl_html_close(html, "ul");
                put_basis(html, windows, begun, i);
            }
            begun = i;
            spl_html_open(html, "h2");
            spl_desk_place(html, window->site);
            spl_html_close(html, "h2");
            put_months(html, first);
            spl_html_open(html, "ul");
            spl_html_attr(html, "class", "almanac");
        }
        put_window(html, window, first);
        before = window;
    }
    if (before != NULL) {
        spl_html_close(html, "ul");
        put_basis(html, windows, begun, windows->len);
    }
}

/* What the plan needs of each part, of this plant alone. */
static gboolean put_needs(struct spl_house *house, struct spl_html *html, const char *plant,
                          GError **error)
{
    struct spl_plan_short_question question = {.season = SPL_COUNT_NONE};
    GArray *all = spl_plan_shortfall(house, &question, error), *own;
    gsize n = strlen(plant);

    if (all == NULL)
        return FALSE;
    own = spl_list_new(&spl_plan_shortage_shape);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_plan_shortage *line = &g_array_index(all, struct spl_plan_shortage, i);

        if (strncmp(line->material, plant, n) == 0 && line->material[n] == '/')
            spl_desk_keep(own, &spl_plan_shortage_shape, line);
    }
    spl_desk_table(html, "What the plan needs of it", &spl_plan_shortage_shape, own, NULL);
    spl_list_free(&spl_plan_shortage_shape, own);
    spl_list_free(&spl_plan_shortage_shape, all);
    return TRUE;
}

/* By whatever name it is asked for; one that only an almanac knows has no facts. */
static gboolean find_plant(struct spl_house *house, const char *name, struct spl_known_plant *plant,
                           GError **error)
{
    GError *failed = NULL;

    if (spl_known_plant(house, name, plant, &failed))
        return TRUE;
    if (g_error_matches(failed, SPL_ERROR, SPL_ERROR_NOT_FOUND) ||
        g_error_matches(failed, SPL_ERROR, SPL_ERROR_AMBIGUOUS))
        g_error_free(failed);
    else
        g_propagate_error(error, failed);
    return FALSE;
}

static void put_facts(struct spl_html *html, const struct spl_known_plant *plant)
{
    if (plant->cautions->len > 0) {
        spl_desk_part(html, "Look-alikes and cautions");
        spl_desk_cautions(html, plant->cautions);
    }
    spl_desk_table(html, "What each part makes", &spl_known_making_shape, plant->makings, NULL);
    spl_desk_part(html, "The plant");
    spl_desk_values(html, &spl_known_plant_shape, plant);
    spl_desk_table(html, "Its parts", &spl_known_material_shape, plant->parts, "latin");
}

static void put_plant(struct spl_html *html, const struct looking *looking,
                      const struct spl_known_plant *plant)
{
    if (looking->windows->len == 0)
        spl_desk_say(html, plant != NULL
                               ? "No almanac of the book has windows of this plant at any of its "
                                 "places."
                               : "No plant is known by this name. Plants are named as on the "
                                 "season's page.");
    else
        spl_desk_note(html, "Each line is one part over the growing year: thin hatching from the "
                            "day on which it may begin until it is mostly over, thick on the best "
                            "days. All places have the same scale.");
    put_windows(html, looking->windows);
}

SPL_PAGE(plant)
{
    struct looking looking = {spl_visit_of(visit), spl_list_new(&spl_window_shape)};
    struct spl_known_plant plant;
    struct spl_window_words words;
    struct spl_html *html;
    GError *failed = NULL;
    gboolean known = find_plant(house, looking.plant, &plant, &failed), done = failed == NULL;

    if (known)
        looking.plant = plant.plant;
    spl_inputs_init(&spl_window_inputs, &words);
    if (failed != NULL)
        g_propagate_error(error, failed);
    done = done && spl_window_list(house, &words, keep_window, &looking, error);
    if (done) {
        g_array_sort(looking.windows, by_place);
        html = spl_desk_begin(visit, known ? plant.common : looking.plant, "/season");
        put_plant(html, &looking, known ? &plant : NULL);
        done = put_needs(house, html, looking.plant, error);
        if (done && known)
            put_facts(html, &plant);
        if (done)
            spl_visit_page(visit, 200, spl_desk_end(html));
        else
            spl_html_free(html);
    }
    if (known)
        spl_record_clear(&spl_known_plant_shape, &plant);
    spl_list_free(&spl_window_shape, looking.windows);
    return done;
}
