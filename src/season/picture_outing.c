/* SPDX-License-Identifier: MIT
 *
 * The sheet for an outing out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "book/site.h"
#include "core/geodesic.h"
#include "core/stage.h"
#include "picture/outing_sheet.h"
#include "picture/words.h"
#include "season/album.h"
#include "season/ground.h"
#include "season/plan_problem.h"
#include "season/stand.h"
#include "season/windows.h"
#include "simpling/error.h"
#include "simpling/plan.h"

struct packing {
    struct spl_album *album;
    struct spl_day day;
    struct spl_position last; /* the stop before */
    gboolean moving;          /* there is one */
    GArray *stops;            /* of struct spl_outing_sheet_stop */
};

/* "first flowers to full flower (BBCH 60-65)". */
static const char *stage_words(struct spl_album *album, double from, double to)
{
    const char *a, *b;

    if (isnan(from))
        return NULL;
    a = spl_stage_word((int)from);
    b = isnan(to) ? a : spl_stage_word((int)to);
    if (strcmp(a, b) == 0)
        return spl_album_take(album, g_strdup_printf("%s (BBCH %.0f)", a, from));
    return spl_album_take(album, g_strdup_printf("%s to %s (BBCH %.0f-%.0f)", a, b, from, to));
}

/* The window that the day lies in, else the next one, else the last. */
static gboolean fill_window(struct packing *packing, const struct spl_site *site, const char *slug,
                            struct spl_outing_sheet_take *take, GError **error)
{
    GArray *windows = spl_windows_on(packing->album->house, site, packing->day, slug, NULL, error);
    const struct spl_window *best = NULL;

    if (windows == NULL)
        return FALSE;
    for (guint i = 0; i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window, i);

        best = window;
        if (spl_day_compare(packing->day, window->latest) <= 0)
            break;
    }
    if (best != NULL) {
        take->earliest = best->earliest;
        take->latest = best->latest;
        take->stage = stage_words(packing->album, best->stage_from, best->stage_to);
    }
    spl_list_free(&spl_window_shape, windows);
    return TRUE;
}

static gboolean fill_allowance(struct packing *packing, const struct spl_site *site,
                               const struct spl_material *material,
                               struct spl_outing_sheet_take *take, GError **error)
{
    struct spl_stand_allowance allowance = {0};
    gboolean known;

    if (!spl_stand_judge(packing->album->house, site, material, packing->day, &allowance, &known,
                         error))
        return FALSE;
    if (known)
        take->allowance_g = allowance.left_g;
    spl_stand_allowance_clear(&allowance);
    return TRUE;
}

static const char *purpose_of(struct spl_album *album, const GPtrArray *what_for)
{
    g_autoptr(GString) words = g_string_new("for ");

    if (what_for == NULL || what_for->len == 0)
        return NULL;
    for (guint i = 0; i < what_for->len; i++)
        g_string_append_printf(words, "%s%s", i > 0 ? ", " : "",
                               (const char *)g_ptr_array_index(what_for, i));
    return spl_album_text(album, words->str);
}

static gboolean take_material(struct packing *packing, const struct spl_site *site,
                              const struct spl_plan_take *planned, GArray *takes, GError **error)
{
    struct spl_album *album = packing->album;
    const struct spl_material *material =
        spl_tables_material_by_slug(album->tables, planned->material);
    gsize n_lookalikes;
    GArray *cautions = spl_album_warnings(album, planned->material, &n_lookalikes);
    struct spl_outing_sheet_take take = {
        .material = spl_album_material(album, planned->material),
        .grams = planned->grams,
        .allowance_g = NAN,
        .pieces = NAN,
        .earliest = SPL_DAY_NONE,
        .latest = SPL_DAY_NONE,
        .purpose = purpose_of(album, planned->what_for),
        .cautions = (const char *const *)(void *)cautions->data,
        .n_cautions = cautions->len,
        .n_lookalikes = n_lookalikes,
    };

    if (material != NULL) {
        take.material = spl_album_take(
            album, g_strdup_printf("%s (%s)", take.material, material->plant->latin));
        take.signs_needed = material->plant->deadly_lookalike;
        if (spl_figure_is_set(material->piece_g) && material->piece_g.value > 0.0)
            take.pieces = planned->grams / material->piece_g.value;
        if (!site->gone && !fill_allowance(packing, site, material, &take, error))
            return FALSE;
    }
    if (!site->gone && !fill_window(packing, site, planned->material, &take, error))
        return FALSE;
    g_array_append_val(takes, take);
    return TRUE;
}

/* What was last asked and allowed. */
static gboolean fill_ground(struct packing *packing, const struct spl_site *site,
                            struct spl_outing_sheet_stop *stop, GError **error)
{
    struct spl_album *album = packing->album;
    struct spl_book *book = album->house->book;
    struct spl_verdict_result result;
    GArray *notes, *leaves;

    if (!spl_ground_judge(album->house, site, packing->day, NULL, &result, error))
        return FALSE;
    stop->verdict = result.verdict;
    stop->reason = spl_album_take(album, spl_ground_why(&result));
    spl_verdict_result_clear(&result);
    notes = spl_spray_list(book, site->id, FALSE, error);
    leaves = notes != NULL ? spl_permission_list(book, site->id, error) : NULL;
    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        struct spl_day on = g_array_index(notes, struct spl_spray_record, i).on;

        if (spl_day_is_set(on) && on.n <= spl_house_today(album->house).n &&
            (!spl_day_is_set(stop->asked) || on.n > stop->asked.n))
            stop->asked = on;
    }
    if (leaves != NULL && leaves->len > 0) {
        const struct spl_permission_note *leave =
            &g_array_index(leaves, struct spl_permission_note, leaves->len - 1);
        g_autofree char *until = spl_day_words(leave->until);
        g_auto(GStrv) parts = g_strsplit(leave->parts, ",", -1);
        g_autofree char *listed = g_strjoinv(", ", parts);

        gboolean over = leave->given && spl_day_is_set(leave->until) &&
                        spl_day_compare(leave->until, packing->day) < 0;

        stop->permission = spl_album_take(
            album,
            over ? g_strdup_printf("leave of %s RAN OUT on %s: ask again", leave->by, until)
                 : g_strdup_printf("leave %s by %s%s%s%s%s", leave->given ? "given" : "REFUSED",
                                   leave->by, *listed != '\0' ? " for " : "", listed,
                                   *until != '\0' ? " until " : "", until));
        stop->ask_leave = over;
    } else {
        stop->ask_leave = !site->own;
    }
    spl_list_free(&spl_spray_record_shape, notes);
    spl_list_free(&spl_permission_note_shape, leaves);
    return leaves != NULL;
}

static gboolean take_stop(struct packing *packing, const struct spl_plan_stop *planned,
                          GError **error)
{
    struct spl_album *album = packing->album;
    struct spl_site site = {0};
    GArray *takes = spl_album_array(album, sizeof(struct spl_outing_sheet_take));
    struct spl_outing_sheet_stop stop = {
        .asked = SPL_DAY_NONE, .arrive_min = -1, .leave_min = -1, .leg_km = NAN};
    gboolean ok = spl_site_named(album->house->book, planned->site_id, &site, error);

    if (!ok)
        return FALSE;
    struct spl_position here = {.lat = site.lat, .lon = site.lon};
    stop.site = spl_album_text(album, site.name);
    stop.lat = site.lat;
    stop.lon = site.lon;
    stop.notes = spl_album_text(album, site.remark);
    if (!site.gone) {
        if (packing->moving)
            stop.leg_km = spl_geodesic_inverse(packing->last, here, NULL, NULL) / 1000.0 *
                          SPL_PLAN_DETOUR; /* by road, as the whole is told */
        packing->last = here;
        packing->moving = TRUE;
    }
    if (!site.gone && planned->takes->len > 0)
        stop.hours = spl_album_take(
            album,
            spl_picking_words(album->house, site.lat, site.lon, packing->day,
                              g_array_index(planned->takes, struct spl_plan_take, 0).material));
    ok = fill_ground(packing, &site, &stop, error);
    for (guint i = 0; ok && i < planned->takes->len; i++)
        ok = take_material(packing, &site, &g_array_index(planned->takes, struct spl_plan_take, i),
                           takes, error);
    spl_record_clear(&spl_site_shape, &site);
    stop.takes = (const struct spl_outing_sheet_take *)(void *)takes->data;
    stop.n_takes = takes->len;
    g_array_append_val(packing->stops, stop);
    return ok;
}

static gboolean draw_one(struct spl_album *album, const struct spl_plan_outing *outing,
                         struct spl_day day, struct spl_picture *picture, GError **error)
{
    static const char *const kit[] = {"scales", "paper bags or baskets", "pen and this sheet"};
    static const char *const rules[] = {
        "No more than the sheet says, and nothing that is not known for sure.",
        "Cover or spread the herb the same day."};
    struct packing packing = {.album = album, .day = day};
    struct spl_page_report report = {0};
    g_autofree char *of = NULL, *words = spl_words_date(day);
    double lat, lon;

    packing.stops = spl_album_array(album, sizeof(struct spl_outing_sheet_stop));
    if (spl_house_setting_place(album->house, &lat, &lon)) {
        packing.last = (struct spl_position){.lat = lat, .lon = lon};
        packing.moving = TRUE;
    }
    for (guint i = 0; i < outing->sites->len; i++)
        if (!take_stop(&packing, &g_array_index(outing->sites, struct spl_plan_stop, i), error))
            return FALSE;
    struct spl_outing_sheet sheet = {
        .day = day,
        .reserve = day.n == outing->date.n ? outing->reserve : SPL_DAY_NONE,
        .hours = outing->hours,
        .km = outing->km,
        .start_min = -1,
        .end_min = -1,
        .stops = (const struct spl_outing_sheet_stop *)(void *)packing.stops->data,
        .n_stops = packing.stops->len,
        .home_km = NAN,
        .kit = kit,
        .n_kit = G_N_ELEMENTS(kit),
        .rules = rules,
        .n_rules = G_N_ELEMENTS(rules),
    };
    if (spl_house_setting_place(album->house, &lat, &lon) && packing.moving)
        sheet.home_km =
            spl_geodesic_inverse(packing.last, (struct spl_position){.lat = lat, .lon = lon}, NULL,
                                 NULL) /
            1000.0 * SPL_PLAN_DETOUR;
    of = g_strdup_printf("the outing of %s", words);
    return spl_album_write(album, spl_outing_sheet_draw(&sheet, &album->options, &report, error),
                           &report, of, picture, error);
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    struct spl_day day = ((const struct spl_picture_outing_words *)words)->on;
    struct spl_plan_outings plan = {0};
    const struct spl_plan_outing *found = NULL;
    g_autoptr(GString) days = g_string_new(NULL);
    struct spl_day today = spl_house_today(album->house);
    double lat = 50.0, lon;
    gboolean ok = FALSE;

    album->shows_places = TRUE;
    spl_house_setting_place(album->house, &lat, &lon);
    if (!spl_plan_kept(album->house, spl_day_season(spl_day_is_set(day) ? day : today, lat), &plan,
                       error))
        return FALSE;
    for (guint i = 0; plan.outings != NULL && i < plan.outings->len; i++) {
        const struct spl_plan_outing *outing =
            &g_array_index(plan.outings, struct spl_plan_outing, i);
        char text[SPL_DAY_TEXT_SIZE];

        if (!spl_day_is_set(day)) {
            if (found == NULL && spl_day_compare(outing->date, today) >= 0)
                found = outing;
        } else if (outing->date.n == day.n || (found == NULL && outing->reserve.n == day.n)) {
            found = outing;
        }
        g_string_append_printf(days, "%s%s", days->len > 0 ? ", " : "",
                               spl_day_format(outing->date, text));
    }
    if (found != NULL) {
        ok = draw_one(album, found, spl_day_is_set(day) ? day : found->date, picture, error);
    } else {
        char text[SPL_DAY_TEXT_SIZE];

        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "no outing is kept for %s; %s%s",
                    spl_day_is_set(day) ? spl_day_format(day, text) : "the days to come",
                    days->len > 0 ? "kept are " : "plan some and keep them", days->str);
    }
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return ok;
}

gboolean spl_picture_draw_outing(struct spl_house *house,
                                 const struct spl_picture_outing_words *said,
                                 struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_outing_inputs, said, draw, picture, error);
}
