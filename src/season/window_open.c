/* SPDX-License-Identifier: MIT
 *
 * What can be gathered on one day. See season/window_open.h.
 */
#include "season/window_open.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/geodesic.h"
#include "season/ground.h"
#include "season/law.h"
#include "season/plan_problem.h"
#include "season/stand.h"
#include "simpling/error.h"

#define MOST_MIN (24.0 * 60.0)

struct spl_window_open {
    struct spl_house *house;
    const struct spl_tables *tables;
    const struct spl_window_words *words;
    struct spl_day on;
    GHashTable *stands; /* NULL: whatever the almanac knows */
    gboolean has_home;
    struct spl_position home;
    double km_per_h, within_min; /* NAN: anywhere */
    GString *closed, *spent;     /* places and what grows there: ground or law close it, the stand
                                    can spare nothing */
};

/* "20min", "20 minutes", "1h", "1h30", "1.5h"; a bare number is minutes. */
static gboolean read_minutes(const char *text, double *minutes, GError **error)
{
    double sum = 0.0, number;
    gboolean any = FALSE, hours = FALSE, right = TRUE;

    while (right && *text != '\0') {
        char *end = NULL;

        number = g_ascii_strtod(text, &end);
        right = end != text && g_ascii_isdigit(*text) && isfinite(number);
        for (text = end; *text == ' ';)
            text++;
        if (g_ascii_tolower(*text) == 'h' && !any) {
            sum += number * 60.0;
            hours = TRUE;
        } else {
            right = right && (!any || hours);
            sum += number;
            hours = FALSE;
        }
        any = TRUE;
        while (g_ascii_isalpha(*text) || *text == ' ')
            text++;
    }
    if (right && any && sum > 0.0 && sum <= MOST_MIN) {
        *minutes = sum;
        return TRUE;
    }
    spl_error_set_input(error, SPL_ERROR_INVALID, "within",
                        "is no time on the way; write it as 20min or 1h30, at most 24h");
    return FALSE;
}

static gboolean set_out(struct spl_window_open *open, GError **error)
{
    open->has_home = spl_house_setting_place(open->house, &open->home.lat, &open->home.lon);
    spl_house_setting_number(open->house, "speed", &open->km_per_h);
    if (open->words->within == NULL)
        return TRUE;
    if (!read_minutes(open->words->within, &open->within_min, error))
        return FALSE;
    if (open->has_home)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "within",
                        "is reckoned from home, and nobody has said where that is: keep it once as "
                        "the setting 'home'");
    spl_error_explain(error, NULL,
                      spl_next_new(SPL_ACTION_BOOK_SET, "key", "home", "value", NULL, NULL), NULL);
    return FALSE;
}

struct spl_window_open *spl_window_open_new(struct spl_house *house,
                                            const struct spl_window_words *words, GError **error)
{
    g_autoptr(spl_window_open) open = g_new0(struct spl_window_open, 1);
    gboolean named = words->site != NULL || words->material != NULL || !isnan(words->near.lat);

    open->house = house;
    open->words = words;
    open->on = spl_day_is_set(words->on) ? words->on : house->today;
    open->km_per_h = SPL_PLAN_KM_PER_H;
    open->within_min = NAN;
    open->closed = g_string_new(NULL);
    open->spent = g_string_new(NULL);
    open->tables = spl_house_tables(house, error);
    if (open->tables == NULL || !set_out(open, error))
        return NULL;
    /* Where nobody has said what grows, every almanac row would fill the screen. */
    if (!named && (open->stands = spl_stand_known(house, error)) == NULL)
        return NULL;
    return g_steal_pointer(&open);
}

void spl_window_open_free(struct spl_window_open *open)
{
    if (open == NULL)
        return;
    g_clear_pointer(&open->stands, g_hash_table_unref);
    g_string_free(open->closed, TRUE);
    g_string_free(open->spent, TRUE);
    g_free(open);
}

/* By road, as the plan reckons it; NAN: home or the place is not known. */
static double way_min(const struct spl_window_open *open, const struct spl_site *site)
{
    const struct spl_position here = {.lat = site->lat, .lon = site->lon};

    if (!open->has_home || !isfinite(site->lat))
        return NAN;
    return spl_geodesic_inverse(open->home, here, NULL, NULL) / 1000.0 * SPL_PLAN_DETOUR /
           open->km_per_h * 60.0;
}

gboolean spl_window_open_within(const struct spl_window_open *open, const struct spl_site *site)
{
    return isnan(open->within_min) || way_min(open, site) <= open->within_min;
}

static gboolean is_open(const struct spl_window_open *open, const struct spl_window *window)
{
    g_autofree char *key = NULL;

    if (spl_day_compare(window->earliest, open->on) > 0 ||
        spl_day_compare(window->latest, open->on) < 0)
        return FALSE;
    if (open->stands == NULL)
        return TRUE;
    key = spl_stand_key(window->site, window->material);
    return g_hash_table_contains(open->stands, key);
}

static void leave_out(GString *list, const struct spl_window *window)
{
    g_string_append_printf(list, "%s%s %s", list->len > 0 ? ", " : "", window->site,
                           window->material);
}

/* FALSE: ground or law close it. */
static gboolean judge_ground(struct spl_window_open *open, const struct spl_ground *ground,
                             const struct spl_material *material, struct spl_window *window)
{
    struct spl_verdict_result result;
    gboolean closed;

    spl_ground_verdict(ground, open->on, material, &result);
    closed =
        result.verdict == SPL_VERDICT_CLOSED ||
        (material != NULL && spl_law_close(open->house, material, &result.verdict, result.reasons));
    if (closed)
        leave_out(open->closed, window);
    else
        window->verdict = g_strdup(spl_verdict_names[result.verdict]);
    spl_verdict_result_clear(&result);
    return !closed;
}

/* Whether it may be gathered on the day; FALSE with an error too. */
static gboolean judge(struct spl_window_open *open, const struct spl_site *site,
                      const struct spl_ground *ground, struct spl_window *window, GError **error)
{
    const struct spl_material *material =
        spl_tables_material_by_slug(open->tables, window->material);
    struct spl_stand_allowance allowance;
    gboolean known = FALSE, spent;

    if (!judge_ground(open, ground, material, window))
        return FALSE;
    if (material == NULL)
        return TRUE;
    if (!spl_stand_judge(open->house, site, material, open->on, &allowance, &known, error))
        return FALSE;
    if (known && !isnan(allowance.bears_g))
        window->spare_g = allowance.left_g;
    spent = known && (window->spare_g <= 0.0 || (allowance.refusal != SPL_STAND_FREE &&
                                                 allowance.refusal != SPL_STAND_UNSIZED));
    if (spent)
        leave_out(open->spent, window);
    spl_stand_allowance_clear(&allowance);
    return !spent;
}

gboolean spl_window_open_keep(struct spl_window_open *open, const struct spl_site *site,
                              GArray *windows, GError **error)
{
    g_autoptr(spl_ground) ground = NULL;
    GError *failed = NULL;

    for (guint i = 0; failed == NULL && i < windows->len;) {
        struct spl_window_told *told = &g_array_index(windows, struct spl_window_told, i);
        gboolean stays = is_open(open, &told->window);

        /* Of a point without a site nobody knows the ground. */
        if (stays && site->id != 0) {
            if (ground == NULL)
                ground = spl_ground_load(open->house, site, &failed);
            stays = ground != NULL && judge(open, site, ground, &told->window, &failed);
        }
        if (stays) {
            told->window.way_min = rint(way_min(open, site));
            i++;
        } else {
            spl_record_clear(&spl_window_told_shape, told);
            g_array_remove_index(windows, i);
        }
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

void spl_window_open_left_out(const struct spl_window_open *open, GPtrArray *sentences)
{
    if (open->closed->len > 0)
        g_ptr_array_add(sentences, g_strdup_printf("left out, closed by its ground or the law: %s",
                                                   open->closed->str));
    if (open->spent->len > 0)
        g_ptr_array_add(sentences, g_strdup_printf("left out, the stand can spare nothing: %s",
                                                   open->spent->str));
}
