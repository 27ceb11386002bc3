/* SPDX-License-Identifier: MIT
 *
 * The table of pages: a new one is a row here and its file.
 */
#include <string.h>

#include "desk/act.h"
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/error.h"

static const struct route {
    const char *first; /* step of the path; "": none */
    gboolean of;       /* with a second step: of what */
    spl_desk_fn page;
} routes[] = {
    {"", FALSE, spl_show_today},
    {"places", FALSE, spl_show_places},
    {"place", TRUE, spl_show_place},
    {"map.svg", FALSE, spl_show_map},
    {"plant", TRUE, spl_show_plant},
    {"log", FALSE, spl_show_log},
    {"harvest", TRUE, spl_show_harvest},
    {"racks", FALSE, spl_show_racks},
    {"drying", TRUE, spl_show_drying},
    {"jars", FALSE, spl_show_jars},
    {"batch", TRUE, spl_show_batch},
    {"shelf", FALSE, spl_show_shelf},
    {"lot", TRUE, spl_show_lot},
    {"season", FALSE, spl_show_season},
    {"season.svg", FALSE, spl_show_almanac},
    {"questions", FALSE, spl_show_questions},
    {"recall", FALSE, spl_show_recall},
    {"reckon", FALSE, spl_show_reckon},
    {"count", FALSE, spl_show_count},
    {"print", FALSE, spl_show_print},
    {"plan", FALSE, spl_show_plan},
    {"year", FALSE, spl_show_year},
    {"look", TRUE, spl_show_look},
    {"given", FALSE, spl_show_given},
    {"ledger", FALSE, spl_show_ledger},
    {"settings", FALSE, spl_show_settings},
    {"labels", FALSE, spl_show_labels},
    {"tour", FALSE, spl_show_tour},
    {"tables", FALSE, spl_show_tables},
    {"table", TRUE, spl_show_table},
};

static const struct route *find_route(char **steps)
{
    const char *first = steps[0] != NULL ? steps[0] : "";
    guint n = g_strv_length(steps);

    for (gsize i = 0; i < G_N_ELEMENTS(routes); i++) {
        const struct route *route = &routes[i];

        if (strcmp(route->first, first) == 0 && n == (*first == '\0' ? 0u : route->of ? 2u : 1u))
            return route;
    }
    return NULL;
}

/* Beside every reader of files: what takes over a fifth of a second in a book of many years. */
static const struct {
    const char *first;
    gboolean picture;
} long_ones[] = {
    {"map.svg", TRUE}, {"season.svg", TRUE}, {"print", TRUE},
    {"plan", FALSE},   {"year", FALSE},      {"season", FALSE},
};

static gboolean is_long_act(const struct spl_visit *visit)
{
    const char *of = spl_visit_of(visit);
    const struct spl_act *act = of != NULL && visit->form != NULL ? spl_act_find(of) : NULL;

    return act != NULL && act->is_long;
}

static gboolean is_long_look(const struct spl_visit *visit)
{
    const struct spl_look *look = spl_look_find(spl_visit_of(visit));

    return look != NULL && look->is_long;
}

gboolean spl_visit_is_long(const struct spl_visit *visit, gboolean *picture)
{
    *picture = FALSE;
    if (visit->form != NULL && g_strcmp0(visit->steps[0], "files") == 0)
        return TRUE; /* strangers wrote them */
    if (visit->form != NULL &&
        (g_strcmp0(visit->steps[0], "plan") == 0 || g_strcmp0(visit->steps[0], "out") == 0))
        return TRUE;
    if (g_strcmp0(visit->steps[0], "act") == 0)
        return is_long_act(visit);
    if (g_strcmp0(visit->steps[0], "look") == 0)
        return is_long_look(visit);
    for (gsize i = 0; i < G_N_ELEMENTS(long_ones); i++) {
        *picture = long_ones[i].picture;
        if (g_strcmp0(visit->steps[0], long_ones[i].first) == 0 && visit->steps[1] == NULL)
            return TRUE;
    }
    return FALSE;
}

/* Of the style sheet and the script; FALSE: it is none of them under the name that it has now. */
static gboolean answer_asset(struct spl_visit *visit)
{
    gboolean style = g_strcmp0(visit->steps[0], "style") == 0;
    const char *name = style ? spl_style_name() : spl_script_name(), *text;

    if ((!style && g_strcmp0(visit->steps[0], "script") != 0) ||
        g_strcmp0(spl_visit_of(visit), name) != 0)
        return FALSE;
    text = style ? spl_style(&visit->length) : spl_script(&visit->length);
    visit->status = 200;
    visit->body = g_strndup(text, visit->length);
    visit->type = style ? "text/css; charset=utf-8" : "text/javascript; charset=utf-8";
    visit->forever = TRUE;
    return TRUE;
}

static void answer_nothing_there(struct spl_visit *visit)
{
    struct spl_html *html = spl_desk_begin(visit, "There is no such page", NULL);

    spl_desk_say(html, "The desk has no page under this address.");
    spl_visit_page(visit, 404, spl_desk_end(html));
}

void spl_visit_answer(struct spl_visit *visit)
{
    const struct route *route = find_route(visit->steps);
    const char *first = visit->steps[0], *of = spl_visit_of(visit);
    g_autoptr(spl_house) house = NULL;
    g_autoptr(GError) error = NULL;

    if (answer_asset(visit))
        return;
    if (g_strcmp0(first, "close") == 0 && of == NULL) {
        spl_desk_close(visit);
    } else if (g_strcmp0(first, "help") == 0 && visit->form == NULL &&
               (of == NULL || visit->steps[2] == NULL)) {
        spl_desk_help(visit);
    } else if (!g_file_test(visit->where.book, G_FILE_TEST_EXISTS)) {
        spl_desk_start(visit);
    } else if (g_strcmp0(first, "upgrade") == 0 ||
               (visit->form == NULL && spl_book_is_before_upgrade(&visit->where))) {
        spl_desk_upgrade(visit);
    } else if (g_strcmp0(first, "files") == 0) {
        spl_desk_files(visit);
    } else if (g_strcmp0(first, "out") == 0) {
        spl_desk_out(visit);
    } else if (g_strcmp0(first, "act") == 0 && of != NULL) {
        spl_act_visit(visit);
    } else if (g_strcmp0(first, "plan") == 0 && of == NULL && visit->form != NULL) {
        spl_desk_plan(visit);
    } else if (g_strcmp0(first, "table") == 0 && of != NULL && visit->steps[2] == NULL &&
               visit->form != NULL) {
        spl_desk_own_row(visit);
    } else if (route == NULL || visit->form != NULL) {
        answer_nothing_there(visit);
    } else {
        house = spl_house_open(&visit->where, SPL_HOUSE_READ, &error);
        if (house == NULL || !route->page(visit, house, &error))
            spl_desk_failure(visit, error);
    }
}
