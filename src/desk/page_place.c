/* SPDX-License-Identifier: MIT
 *
 * One place: its verdict on any day with every reason, its windows, what its stands can spare, what
 * was said and seen there. See desk/page.h.
 */
#include <math.h>

#include "base/amount.h"
#include "desk/form.h"
#include "desk/page.h"
#include "simpling/check.h"
#include "simpling/error.h"
#include "simpling/site.h"
#include "simpling/stand.h"
#include "simpling/window.h"

/* The verdict in big words, and what it rests on. */
static void put_verdict(struct spl_html *html, const struct spl_check *check)
{
    g_autofree char *day = spl_day_words(check->date), *class = NULL;

    class = g_strconcat("verdict ", spl_verdict_names[check->verdict], NULL);
    spl_html_open(html, "p");
    spl_html_attr(html, "class", class);
    spl_html_line(html, "strong", NULL, spl_verdict_names[check->verdict]);
    spl_html_printf(html, " on %s", day);
    if (check->material != NULL)
        spl_html_printf(html, " for %s", check->material);
    spl_html_printf(html, ": %s", check->words);
    spl_html_close(html, "p");
    if (spl_day_is_set(check->until)) {
        g_autofree char *until = spl_day_words(check->until);

        spl_html_open(html, "p");
        spl_html_printf(html, "It may change on %s with nothing new noted.", until);
        spl_html_close(html, "p");
    }
    if (check->reckoned_from != NULL)
        spl_desk_note(html, check->reckoned_from);
    spl_desk_reasons(html, check->reasons);
    if (check->stage != NULL)
        spl_desk_say(html, check->stage);
    if (check->picking != NULL)
        spl_desk_say(html, check->picking);
    if (isfinite(check->allowance_g)) {
        g_autofree char *spare = spl_mass_format(check->allowance_g);

        spl_html_open(html, "p");
        spl_html_printf(html, "The stand can spare %s.", spare);
        spl_html_close(html, "p");
    }
    spl_desk_cautions(html, check->cautions);
    spl_desk_table(html, "Its windows this year", &spl_window_shape, check->window, "site year");
}

static gboolean ask_check(struct spl_visit *visit, struct spl_house *house, struct spl_check *check,
                          GError **error)
{
    struct spl_check_question question;
    const char *on = spl_visit_asked(visit, "on"), *material = spl_visit_asked(visit, "material");
    gboolean done;

    spl_inputs_init(&spl_check_inputs, &question);
    done = spl_inputs_read(&spl_check_inputs, "site", spl_visit_of(visit), &question, error) &&
           (on == NULL || spl_inputs_read(&spl_check_inputs, "on", on, &question, error)) &&
           (material == NULL ||
            spl_inputs_read(&spl_check_inputs, "material", material, &question, error)) &&
           spl_check_site(house, &question, check, error);
    spl_inputs_clear(&spl_check_inputs, &question);
    return done;
}

/* ---- the windows that are still to come ---- */

/* How far a place's page looks ahead, so that in autumn it tells of the spring. */
#define AHEAD_DAYS 270

struct coming {
    struct spl_day from; /* what is over by then is left out, and what begins long after it */
    GArray *windows;     /* struct spl_window */
    int year; /* the growing year that was looked at; SPL_COUNT_NONE: none had a window */
};

static gboolean keep_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct coming *coming = data;

    (void)error;
    coming->year = told->window.year;
    if (spl_day_compare(told->window.latest, coming->from) >= 0 &&
        spl_day_diff(told->window.earliest, coming->from) <= AHEAD_DAYS)
        spl_desk_keep(coming->windows, &spl_window_shape, &told->window);
    return TRUE;
}

/* Those of this growing year and of the next. */
static gboolean find_windows(struct spl_house *house, const char *site, struct spl_day from,
                             GArray *windows, GError **error)
{
    struct coming coming = {.from = from, .windows = windows, .year = SPL_COUNT_NONE};
    struct spl_window_words words;

    spl_inputs_init(&spl_window_inputs, &words);
    words.site = site;
    if (!spl_window_list(house, &words, keep_window, &coming, error))
        return FALSE;
    if (coming.year == SPL_COUNT_NONE)
        return TRUE;
    words.year = coming.year + 1;
    return spl_window_list(house, &words, keep_window, &coming, error);
}

static void put_acts(struct spl_html *html, const char *site)
{
    const char *query[] = {"site", site, NULL};

    spl_desk_acts_begin(html);
    spl_desk_act(html, "harvest-add", "A harvest", query);
    spl_desk_act(html, "spray-note", "What was said of spraying", query);
    spl_desk_act(html, "site-permit", "Leave, given or refused", query);
    spl_desk_act(html, "stage-note", "A stage seen", query);
    spl_desk_act(html, "stand-set", "What it bears", query);
    spl_desk_act(html, "stand-mark", "Found in leaf or flower", query);
    spl_desk_act(html, "stand-rest", "A rest", query);
    spl_desk_act(html, "stand-taken", "Others picked here", query);
    spl_desk_act(html, "hazard-add", "A field, road or other hazard near it", NULL);
    spl_desk_act(html, "site-edit", "Change what is known of the place", query);
    spl_desk_acts_end(html);
}

/* A note is corrected where it is read. */
static void put_note_acts(struct spl_html *html, const char *code, const char *struck)
{
    const char *query[] = {"code", code, NULL};

    if (code == NULL || struck != NULL)
        return;
    spl_desk_act(html, "amend", "Correct it", query);
    spl_desk_act(html, "strike", "Strike it", query);
}

static void put_spray_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_spray_record *note = record;

    (void)data;
    put_note_acts(html, note->code, note->struck);
}

static void put_stage_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_stage_record *note = record;

    (void)data;
    put_note_acts(html, note->code, note->struck);
}

static gboolean put_rest(struct spl_house *house, struct spl_html *html, const char *site,
                         struct spl_day on, GError **error)
{
    struct spl_stand_question of = {.site = site, .year = SPL_COUNT_NONE};
    struct spl_site_sheet sheet;
    GArray *stands, *windows = spl_list_new(&spl_window_shape);
    gboolean done;

    done = spl_site_sheet(house, site, &sheet, error);
    if (done) {
        stands = spl_stand_lines(house, &of, error);
        done = stands != NULL && find_windows(house, site, on, windows, error);
        if (done) {
            spl_desk_table(html, "What the stands can spare", &spl_stand_line_shape, stands,
                           "site");
            spl_desk_table(html, "Leave", &spl_permission_note_shape, sheet.permissions, "site");
            spl_desk_table_acts(html, "What was said of spraying", &spl_spray_record_shape,
                                sheet.notes, "site", put_spray_acts, NULL);
            spl_desk_table_acts(html, "Stages seen", &spl_stage_record_shape, sheet.stages, "site",
                                put_stage_acts, NULL);
            spl_desk_table(html, "Windows to come", &spl_window_shape, windows, "site year");
            spl_desk_part(html, "The place");
            spl_desk_values(html, &spl_site_shape, sheet.site);
        }
        spl_list_free(&spl_stand_line_shape, stands);
        spl_record_clear(&spl_site_sheet_shape, &sheet);
    }
    spl_list_free(&spl_window_shape, windows);
    return done;
}

SPL_PAGE(place)
{
    struct spl_check check;
    struct spl_html *html;
    gboolean done;

    if (!ask_check(visit, house, &check, error))
        return FALSE;
    html = spl_desk_begin(visit, check.site, "/places");
    put_verdict(html, &check);
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_attr(html, "class", "ask");
    spl_desk_ask_field(html, "material", "May I pick",
                       "a material: nettle leaf; empty: the place alone",
                       spl_visit_asked(visit, "material"));
    spl_desk_ask_field(html, "on", "on", "a day: 2027-07-14; empty: today",
                       spl_visit_asked(visit, "on"));
    spl_desk_ask_end(html, "Look");
    put_acts(html, check.site);
    done = put_rest(house, html, check.site, check.date, error);
    spl_record_clear(&spl_check_shape, &check);
    if (!done) {
        spl_html_free(html);
        return FALSE;
    }
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}
