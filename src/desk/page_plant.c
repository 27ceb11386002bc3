/* SPDX-License-Identifier: MIT
 *
 * One plant: the windows of each of its parts at every place, below each other on one scale, and
 * what the plan needs of it. See desk/page.h.
 */
#include <math.h>
#include <string.h>

#include "desk/page.h"
#include "simpling/error.h"
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

/* Part by part, each from its first flush at one place to the last. */
static int by_part(gconstpointer a, gconstpointer b)
{
    const struct spl_window *x = a, *y = b;
    int order = strcmp(x->material, y->material);

    if (order == 0)
        order = g_strcmp0(x->use, y->use);
    if (order == 0)
        order = x->flush - y->flush;
    if (order == 0)
        order = spl_day_compare(x->likely_start, y->likely_start);
    return order != 0 ? order : g_strcmp0(x->site, y->site);
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

static void put_window(struct spl_html *html, const struct spl_window *window, struct spl_day first)
{
    g_autofree char *from = spl_day_words(window->likely_start),
                    *to = spl_day_words(window->likely_end);
    g_autofree char *early = spl_day_words(window->earliest), *late = spl_day_words(window->latest);

    spl_html_open(html, "li");
    spl_desk_place(html, window->site);
    spl_html_printf(html, " %s to %s ", from, to);
    spl_html_open(html, "small");
    spl_html_printf(html, "may begin %s, mostly over %s; %s", early, late,
                    spl_basis_names[window->basis]);
    if (window->note != NULL && *window->note != '\0')
        spl_html_printf(html, "; %s", window->note);
    spl_html_close(html, "small");
    put_strip(html, window, first);
    spl_html_close(html, "li");
}

static void put_months(struct spl_html *html, struct spl_day first)
{
    static const char *const names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int month;

    spl_day_to_ymd(first, NULL, &month, NULL);
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "months");
    spl_html_attr(html, "aria-hidden", "true");
    for (int i = 0; i < 12; i++)
        spl_html_line(html, "span", NULL, names[(month - 1 + i) % 12]);
    spl_html_close(html, "div");
}

static void put_windows(struct spl_html *html, const GArray *windows)
{
    const struct spl_window *before = NULL;

    spl_html_raw(html,
                 "\n<svg width=\"0\" height=\"0\" aria-hidden=\"true\" class=\"hatches\"><defs>"
                 "<pattern id=\"thin\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\">"
                 "<path d=\"M0 4 L4 0\" class=\"hatch\"/></pattern>"
                 "<pattern id=\"thick\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\">"
                 "<path d=\"M0 2 L2 0\" class=\"hatch\"/></pattern></defs></svg>");
    for (guint i = 0; i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window, i);
        gboolean same = before != NULL && strcmp(before->material, window->material) == 0 &&
                        g_strcmp0(before->use, window->use) == 0 && before->flush == window->flush;
        struct spl_day first, last;

        /* Places of both halves of the world in one book are rare: each row has its own year. */
        spl_day_season_bounds(window->year, 0, &first, &last);
        if (spl_day_compare(window->likely_start, last) > 0)
            spl_day_season_bounds(window->year, -1, &first, &last);
        if (!same) {
            g_autofree char *title = window->flush > 1
                                         ? g_strdup_printf("%s, %s, flush %d", window->material,
                                                           window->use, window->flush)
                                         : g_strdup_printf("%s, %s", window->material, window->use);

            if (before != NULL)
                spl_html_close(html, "ul");
            spl_desk_part(html, title);
            put_months(html, first);
            spl_html_open(html, "ul");
            spl_html_attr(html, "class", "almanac");
        }
        put_window(html, window, first);
        before = window;
    }
    if (before != NULL)
        spl_html_close(html, "ul");
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

SPL_PAGE(plant)
{
    struct looking looking = {spl_visit_of(visit), spl_list_new(&spl_window_shape)};
    struct spl_window_words words;
    struct spl_html *html;

    spl_inputs_init(&spl_window_inputs, &words);
    if (!spl_window_list(house, &words, keep_window, &looking, error)) {
        spl_list_free(&spl_window_shape, looking.windows);
        return FALSE;
    }
    g_array_sort(looking.windows, by_part);
    html = spl_desk_begin(visit, looking.plant, "/season");
    if (looking.windows->len == 0)
        spl_desk_say(html, "No almanac of the book has windows of a plant of this name at any of "
                           "its places. Plants "
                           "are named as on the season's page.");
    else
        spl_desk_note(html, "Each line is one place over the growing year: thin hatching from the "
                            "day on which it may "
                            "begin until it is mostly over, thick on the best days. Look-alikes "
                            "and cautions stand with "
                            "each place when you ask whether to pick there.");
    put_windows(html, looking.windows);
    spl_list_free(&spl_window_shape, looking.windows);
    if (!put_needs(house, html, looking.plant, error)) {
        spl_html_free(html);
        return FALSE;
    }
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
