/* SPDX-License-Identifier: MIT
 *
 * From the book's stands, windows, wants and days to the problem of the outings. See
 * season/plan_problem.h.
 */
#include "season/plan_problem.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "core/outing_check.h"
#include "season/check_private.h"
#include "simpling/calendar.h"
#include "simpling/error.h"

/* From memory, where neither the book nor the tables say more. */
#define DAY_HOURS 5.0
#define SETUP_HOURS 0.2 /* from the car to the first cut and back */
#define PICK_G_PER_H 500.0
#define PROCESS_G_PER_H                                                                            \
    1500.0                   /* sorted, chopped and covered, or spread on the rack; one person     \
                              */
#define RACK_G_PER_M2 1500.0 /* fresh herb, one layer */
#define RACK_DAYS 7

static const struct spl_plan_source *source_at(const struct spl_plan_quest *o, guint i)
{
    return &g_array_index(o->sources, struct spl_plan_source, i);
}

/* ---- days ---------------------------------------------------------------------------------- */

gboolean spl_plan_weekdays(const char *text, unsigned *weekdays, GError **error)
{
    static const char *const names[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    g_auto(GStrv) words = g_strsplit(text != NULL ? text : "", ",", 20);

    *weekdays = 0;
    for (guint i = 0; words[i] != NULL; i++) {
        g_autofree char *word = g_ascii_strdown(g_strstrip(words[i]), -1);
        gboolean found = FALSE;

        for (guint d = 0; d < 7 && !found; d++) {
            if (strlen(word) >= 3 && strncmp(word, names[d], 3) == 0) {
                *weekdays |= 1u << d;
                found = TRUE;
            }
        }
        if (!found) {
            g_autofree char *shown = spl_text_scrub(word, FALSE);

            spl_error_set_input(error, SPL_ERROR_INVALID, "days",
                                "'%.20s' is no day of the week; write them as sat,sun,wed", shown);
            return FALSE;
        }
    }
    return TRUE;
}

/* Monday 0 … Sunday 6; 1970-01-01 was a Thursday. */
static unsigned weekday(struct spl_day day)
{
    return (unsigned)(((day.n + 3) % 7 + 7) % 7);
}

static gboolean is_off(const struct spl_plan_quest *o, const GArray *stored, struct spl_day day)
{
    for (guint i = 0; o->wish->off != NULL && i < o->wish->off->len; i++) {
        if (g_array_index(o->wish->off, struct spl_plan_day_off, i).day.n == day.n)
            return TRUE;
    }
    for (guint i = 0; i < stored->len; i++) {
        if (g_array_index(stored, struct spl_day, i).n == day.n)
            return TRUE;
    }
    return FALSE;
}

/* The kept outing that stays on this day: fixed by the person, or of today or before. */
static const struct spl_kept_outing *kept_on(const struct spl_plan_quest *o, struct spl_day day)
{
    for (guint i = 0; i < o->kept->len; i++) {
        const struct spl_kept_outing *kept = &g_array_index(o->kept, struct spl_kept_outing, i);

        if (kept->fixed && kept->day.n == day.n)
            return kept;
    }
    return NULL;
}

/* Whether a kept outing, fixed or not, was planned for the day. */
static gboolean was_planned(const struct spl_plan_quest *o, struct spl_day day)
{
    for (guint i = 0; i < o->kept->len; i++) {
        if (g_array_index(o->kept, struct spl_kept_outing, i).day.n == day.n)
            return TRUE;
    }
    return FALSE;
}

static int site_number(const struct spl_plan_quest *o, gint64 id)
{
    for (guint i = 0; i < o->site_ids->len; i++) {
        if (g_array_index(o->site_ids, gint64, i) == id)
            return (int)i;
    }
    return -1;
}

/* The problem's source of a kept take that is open on the day, and what it may still give; -1. */
static int source_of_take(const struct spl_plan_quest *o, int day, const struct spl_kept_take *take,
                          double *left_g)
{
    int site = site_number(o, take->site_id);

    for (int i = 0; i < (int)o->problem->sources->len; i++) {
        const struct spl_outing_source *source = SPL_OUTING_SOURCE(o->problem, i);

        if (source->site != site || !spl_outing_source_open(o->problem, i, day) ||
            strcmp(SPL_OUTING_MATERIAL(o->problem, source->material)->name, take->material) != 0)
            continue;
        *left_g = source->allowance_g;
        for (int d = 0; d < day; d++) {
            const GArray *takes = SPL_OUTING_DAY(o->problem, d)->takes;

            for (guint t = 0; takes != NULL && t < takes->len; t++) {
                const struct spl_outing_take *other =
                    &g_array_index(takes, struct spl_outing_take, t);
                const struct spl_outing_source *from = SPL_OUTING_SOURCE(o->problem, other->source);

                if (from->stand == source->stand)
                    *left_g -= other->grams / from->allowance_g * source->allowance_g;
            }
        }
        return i;
    }
    return -1;
}

/* What a kept outing takes stays, as far as it can still be had then; what cannot is said. */
static void fix_takes(struct spl_plan_quest *o, int day, const struct spl_kept_outing *kept)
{
    g_autofree char *date = spl_day_words(kept->day);

    SPL_OUTING_DAY(o->problem, day)->takes =
        g_array_new(FALSE, FALSE, sizeof(struct spl_outing_take));
    for (guint i = 0; i < kept->takes->len; i++) {
        const struct spl_kept_take *take = &g_array_index(kept->takes, struct spl_kept_take, i);
        double left_g = 0;
        int source = source_of_take(o, day, take, &left_g);
        double grams = MIN(take->grams, left_g);

        if (source < 0 || grams < 1) {
            spl_caution_add(o->cautions,
                            "%s: %s cannot be had there then any more, or is not needed: it is "
                            "left out of that outing",
                            date, take->material);
            continue;
        }
        if (grams < take->grams - 0.5) {
            g_autofree char *mass = spl_mass_format(grams);

            spl_caution_add(o->cautions, "%s: of %s only %s can still be taken", date,
                            take->material, mass);
        }
        spl_outing_fix_take(o->problem, day, source, grams);
    }
}

static void fix_day(struct spl_plan_quest *o, int day, const struct spl_kept_outing *kept)
{
    g_autoptr(GArray) sites = g_array_new(FALSE, FALSE, sizeof(int));

    for (guint i = 0; i < kept->stops->len; i++) {
        int site = site_number(o, g_array_index(kept->stops, struct spl_kept_stop, i).site_id);

        if (site >= 0)
            g_array_append_val(sites, site);
    }
    if (sites->len == 0)
        return;
    spl_outing_fix_day(o->problem, day, (const int *)(void *)sites->data, (int)sites->len);
    fix_takes(o, day, kept);
}

static gboolean add_days(struct spl_plan_quest *o, double hours, GError **error)
{
    g_autoptr(GArray) stored = spl_day_off_list(o->house->book, error);
    struct spl_busy_read busy = {0};
    struct spl_day from = o->state.first;
    struct spl_busy_question question = {
        .path = o->wish->busy, .to = o->state.last, .others = TRUE};

    if (stored == NULL)
        return FALSE;
    if (spl_day_compare(from, o->house->today) < 0)
        from = o->house->today;
    question.from = from;
    if (o->wish->busy != NULL && spl_day_compare(from, o->state.last) <= 0 &&
        !spl_calendar_busy(o->house, &question, &busy, error))
        return FALSE;
    for (struct spl_day day = from; day.n <= o->state.last.n; day = spl_day_add(day, 1)) {
        const struct spl_kept_outing *kept = kept_on(o, day);
        struct spl_plan_free time;
        double left;
        int number;

        if (is_off(o, stored, day) ||
            (kept == NULL && o->weekdays != 0 && ((o->weekdays >> weekday(day)) & 1) == 0))
            continue;
        time = spl_plan_free_on(o->house, busy.busy, day, o->wish->home.lat, o->wish->home.lon);
        left = MIN(hours, (time.to_min - time.from_min) / 60.0);
        if (left <= 0 && kept == NULL)
            continue;
        /* Whoever keeps an outing has found the time for it. */
        number = spl_outing_add_day(o->problem, day, kept != NULL ? MAX(hours, kept->hours) : left);
        SPL_OUTING_DAY(o->problem, number)->liked = was_planned(o, day);
        g_array_append_val(o->free, time);
        if (kept != NULL)
            fix_day(o, number, kept);
    }
    for (guint i = 0; busy.left_out != NULL && i < busy.left_out->len; i++) {
        const struct spl_ical_left *left = &g_array_index(busy.left_out, struct spl_ical_left, i);

        spl_caution_add(o->cautions, "%s, line %d, %s: %s", busy.file, left->line, left->what,
                        left->why);
    }
    if (busy.file != NULL)
        spl_record_clear(&spl_busy_read_shape, &busy);
    return TRUE;
}

/* ---- sites, materials, sources ------------------------------------------------------------- */

static gboolean gives(const struct spl_plan_source *source)
{
    return (source->state == SPL_SUPPLY_OPEN || source->state == SPL_SUPPLY_ASK) &&
           source->left_g > 0 && spl_day_is_set(source->open_from);
}

static double pick_g_per_h(const struct spl_material *material)
{
    return spl_figure_is_set(material->picking_g_per_h) ? material->picking_g_per_h.value
                                                        : PICK_G_PER_H;
}

double spl_plan_work_hours(struct spl_house *house, const struct spl_material *material,
                           double grams)
{
    double pickers = 1;

    spl_house_setting_number(house, "pickers", &pickers);
    return grams * (1 / pick_g_per_h(material) + 1 / PROCESS_G_PER_H) / pickers;
}

static int material_number(struct spl_plan_quest *o, const struct spl_material *material)
{
    guint m;

    if (g_ptr_array_find(o->materials, material, &m))
        return (int)m;
    g_ptr_array_add(o->materials, (gpointer)material);
    return spl_outing_add_material(o->problem, material->slug, pick_g_per_h(material),
                                   PROCESS_G_PER_H);
}

static void add_wants(struct spl_plan_quest *o)
{
    double racks_m2;
    int rack = -1, batch = -1;
    guint batch_of = 0;

    if (spl_house_setting_number(o->house, "racks", &racks_m2))
        rack = spl_outing_add_store(o->problem, "the drying racks", racks_m2 * RACK_G_PER_M2,
                                    RACK_DAYS);
    for (guint w = 0; w < o->state.wants->len; w++) {
        const struct spl_plan_want *want = &g_array_index(o->state.wants, struct spl_plan_want, w);
        const struct spl_planned *planned =
            &g_array_index(o->state.planned, struct spl_planned, want->planned);
        int material, need;

        if (want->remaining_g <= 0)
            continue;
        material = material_number(o, want->material);
        need = spl_outing_add_need(o->problem, material, want->remaining_g, want->gather_by,
                                   planned->name);
        /* The parts of one batch are worth most together. */
        if (batch >= 0 && batch_of == want->planned)
            SPL_OUTING_NEED(o->problem, need)->batch = batch;
        batch = SPL_OUTING_NEED(o->problem, need)->batch;
        batch_of = want->planned;
        if (rack >= 0 && (want->dry || !isnan(planned->yield_g)))
            SPL_OUTING_MATERIAL(o->problem, material)->store = rack;
    }
}

static int add_site(struct spl_plan_quest *o, gint64 id, const char *name)
{
    int site = site_number(o, id);

    if (site >= 0)
        return site;
    g_array_append_val(o->site_ids, id);
    return spl_outing_add_site(o->problem, name, SETUP_HOURS);
}

static void add_sources(struct spl_plan_quest *o)
{
    g_autoptr(GHashTable) stands = g_hash_table_new(NULL, NULL);

    for (guint i = 0; i < o->sources->len; i++) {
        const struct spl_plan_source *from = source_at(o, i);
        struct spl_outing_source *source;
        gpointer stand;
        guint m;
        int site, number;

        if (!gives(from) || !g_ptr_array_find(o->materials, from->material, &m))
            continue;
        site = add_site(o, from->site_id, from->site);
        number = spl_outing_add_source(o->problem, site, (int)m, from->left_g, from->earliest,
                                       from->likely_start, from->likely_end, from->latest);
        source = SPL_OUTING_SOURCE(o->problem, number);
        source->caution = from->small != NULL;
        source->spoils = from->spoils;
        source->asks = g_array_ref(from->asks);
        if (g_hash_table_lookup_extended(stands, GINT_TO_POINTER(from->stand + 1), NULL, &stand))
            source->stand = GPOINTER_TO_INT(stand);
        else
            g_hash_table_insert(stands, GINT_TO_POINTER(from->stand + 1), GINT_TO_POINTER(number));
        SPL_OUTING_MATERIAL(o->problem, (int)m)->every_days =
            MAX(SPL_OUTING_MATERIAL(o->problem, (int)m)->every_days, from->every_days);
        if (spl_day_is_set(from->last_picked))
            source->barred_until = spl_day_add(from->last_picked, from->every_days);
        g_array_append_val(o->source_of, i);
    }
}

/* The sites of kept outings that stay are part of the problem, whatever they give now. */
static gboolean add_kept_sites(struct spl_plan_quest *o, GArray *places, GError **error)
{
    for (guint i = 0; i < o->kept->len; i++) {
        const struct spl_kept_outing *kept = &g_array_index(o->kept, struct spl_kept_outing, i);

        for (guint k = 0; kept->fixed && k < kept->stops->len; k++) {
            gint64 id = g_array_index(kept->stops, struct spl_kept_stop, k).site_id;
            struct spl_site site;

            if (site_number(o, id) >= 0)
                continue;
            if (!spl_site_named(o->house->book, id, &site, error))
                return FALSE;
            add_site(o, id, site.name);
            /* Where a place was that is gone nobody knows: it costs no way. */
            g_array_append_vals(places,
                                (double[]){isfinite(site.lat) ? site.lat : o->wish->home.lat,
                                           isfinite(site.lon) ? site.lon : o->wish->home.lon},
                                2);
            spl_record_clear(&spl_site_shape, &site);
        }
    }
    return TRUE;
}

static gboolean set_travel(struct spl_plan_quest *o, GError **error)
{
    g_autoptr(GArray) extra = g_array_new(FALSE, FALSE, sizeof(double));
    guint known = o->problem->sites->len;
    g_autofree double *lat = NULL, *lon = NULL;
    double speed = isnan(o->wish->km_per_h) ? SPL_PLAN_KM_PER_H : o->wish->km_per_h;

    if (!add_kept_sites(o, extra, error))
        return FALSE;
    lat = g_new0(double, o->problem->sites->len + 1);
    lon = g_new0(double, o->problem->sites->len + 1);
    for (guint i = 0; i < o->sources->len; i++) {
        int site = site_number(o, source_at(o, i)->site_id);

        if (site >= 0) {
            lat[site] = source_at(o, i)->lat;
            lon[site] = source_at(o, i)->lon;
        }
    }
    for (guint k = 0; known + k < o->problem->sites->len; k++) {
        lat[known + k] = g_array_index(extra, double, 2 * k);
        lon[known + k] = g_array_index(extra, double, 2 * k + 1);
    }
    lat[o->problem->sites->len] = o->wish->home.lat;
    lon[o->problem->sites->len] = o->wish->home.lon;
    spl_outing_set_travel(o->problem, lat, lon, SPL_PLAN_DETOUR, speed);
    return TRUE;
}

static gboolean has_home(const struct spl_plan_quest *o, GError **error)
{
    if (!isnan(o->wish->home.lat))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "home",
                        "nobody has said where outings begin: give it as LAT,LON, or keep it once "
                        "as the setting 'home'");
    spl_error_explain(error, NULL,
                      spl_next_new(SPL_ACTION_BOOK_SET, "key", "home", "value", NULL, NULL), NULL);
    return FALSE;
}

/* ---- what it is weighed by ----------------------------------------------------------------- */

#define WEIGHT(key_, member, about_)                                                               \
    {                                                                                              \
        .key = key_, .about = about_, .offset = G_STRUCT_OFFSET(struct spl_outing_problem, member) \
    }
const struct spl_plan_weight spl_plan_weights[] = {
    WEIGHT("weight-outing", outing_hours, "setting out at all"),
    WEIGHT("weight-edge", edge_hours, "all of a herb picked on the first or last day of its time"),
    WEIGHT("weight-late", spoil_hours, "the same on the last day before it spoils"),
    WEIGHT("weight-ask", ask_hours, "all of a herb from ground with one thing to ask about"),
    WEIGHT("weight-small", caution_hours, "all of a herb from a stand of under 100 plants"),
    WEIGHT("weight-open", open_hours, "a batch's herb left out, as far as it is left out"),
    WEIGHT("weight-batch", batch_hours, "a batch that cannot be made whole"),
};
const guint spl_plan_n_weights = G_N_ELEMENTS(spl_plan_weights);

static void set_weights(struct spl_plan_quest *o)
{
    for (guint i = 0; i < spl_plan_n_weights; i++)
        spl_house_setting_number(o->house, spl_plan_weights[i].key,
                                 &G_STRUCT_MEMBER(double, o->problem, spl_plan_weights[i].offset));
    spl_house_setting_number(o->house, "least", &o->problem->floor_g);
}

/* Whether the kept outings can be together: on the racks, in the intervals, of the stands. */
static gboolean check_kept(const struct spl_plan_quest *o, GError **error)
{
    g_autoptr(spl_outing_plan) plan = spl_outing_plan_new();
    g_autoptr(GPtrArray) wrong = NULL;

    for (guint d = 0; d < o->problem->days->len; d++) {
        const struct spl_outing_day *day = SPL_OUTING_DAY(o->problem, d);
        struct spl_outing *outing;

        if (!day->fixed)
            continue;
        outing = spl_outing_plan_add(plan, (int)d);
        g_array_append_vals(outing->sites, day->sites->data, day->sites->len);
        if (day->takes != NULL)
            g_array_append_vals(outing->takes, day->takes->data, day->takes->len);
    }
    spl_outing_plan_reckon(o->problem, plan);
    wrong = spl_outing_check(o->problem, plan);
    if (wrong->len == 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "the outings that you keep cannot be together: %s; move one, drop one or let it "
                "take less",
                (const char *)g_ptr_array_index(wrong, 0));
    return FALSE;
}

gboolean spl_plan_quest_build(struct spl_plan_quest *o, GError **error)
{
    double hours = isnan(o->wish->hours) ? DAY_HOURS : o->wish->hours;

    o->problem = spl_outing_problem_new();
    o->problem->pickers = o->wish->pickers == SPL_COUNT_NONE ? 1 : o->wish->pickers;
    if (o->wish->most_sites != SPL_COUNT_NONE)
        o->problem->most_sites = o->wish->most_sites;
    set_weights(o);
    add_wants(o);
    if (o->state.planned->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "nothing is planned for %d: plan a batch first", o->state.season);
        spl_error_explain(error, NULL,
                          spl_next_new(SPL_ACTION_PLAN_ADD, "name", NULL, "preparation", NULL,
                                       "materials", NULL, "yield", NULL, NULL),
                          NULL);
        return FALSE;
    }
    if (o->problem->needs->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "all that is planned is gathered: there is no outing left to plan");
        return FALSE;
    }
    add_sources(o);
    if (o->problem->sources->len == 0 && o->problem->needs->len > 0)
        return TRUE; /* nothing to be had: that is said for each material */
    return has_home(o, error) && set_travel(o, error) && add_days(o, hours, error) &&
           spl_outing_problem_check(o->problem, error) && check_kept(o, error);
}
