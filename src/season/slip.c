/* SPDX-License-Identifier: MIT
 *
 * What stands on a slip, out of the book. See simpling/slip.h. Every verdict on it is the one that
 * is given for the same place, material and day when the slip is made.
 */
#include "simpling/slip.h"

#include <math.h>
#include <string.h>

#include "book/setting.h"
#include "book/site.h"
#include "core/care.h"
#include "core/geodesic.h"
#include "core/stage.h"
#include "core/verdict_runs.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/law.h"
#include "season/stand.h"
#include "season/windows.h"
#include "simpling/batch.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/plan.h"

struct writing {
    struct spl_house *house;
    const struct spl_tables *tables;
    const struct spl_slip_words *said;
    struct spl_slip *slip;
    struct spl_window_maker *maker;
    GHashTable *stands; /* season/stand.h */
    GHashTable *plants; /* slug (of the tables) -> place among the slip's plants */
    double home_lat, home_lon;
    gboolean has_home;
};

/* Ground while its classes are judged. */
struct judging {
    struct writing *writing;
    const struct spl_ground *ground;
    const struct spl_material *material; /* NULL: the place itself */
};

static void judge_day(struct spl_day day, gpointer data, struct spl_verdict_result *result)
{
    const struct judging *judging = data;

    spl_ground_verdict(judging->ground, day, judging->material, result);
    if (judging->material != NULL)
        spl_law_close(judging->writing->house, judging->material, &result->verdict,
                      result->reasons);
}

/* A reason with whose word it is and of when. */
static char *reason_words(const struct spl_reason *reason)
{
    char day[SPL_DAY_TEXT_SIZE];

    switch (reason->kind) {
    case SPL_REASON_WORD_OLD:
    case SPL_REASON_WORD_OPEN:
    case SPL_REASON_WORD_SHORT:
    case SPL_REASON_WORD_HOLDS:
        return g_strdup_printf("%s (%s, %s)", reason->what, reason->source,
                               spl_day_format(reason->date, day));
    case SPL_REASON_OTHER: /* the law */
        return reason->rule != NULL ? g_strdup_printf("%s; %s", reason->what, reason->rule)
                                    : g_strdup(reason->what);
    default:
        return g_strdup(reason->what);
    }
}

/* Of a group's slip: who said or allowed what is nobody else's business. */
static char *no_words(const struct spl_reason *reason)
{
    (void)reason;
    return NULL;
}

/* Judges the ground for the material; the place of its class among the place's. */
static int class_of(struct judging *judging, const struct spl_material *material,
                    struct spl_slip_place *place)
{
    const struct spl_slip *slip = judging->writing->slip;
    struct spl_slip_class class;

    judging->material = material;
    class.runs = spl_verdict_runs(slip->first, spl_day_diff(slip->last, slip->first) + 1, judge_day,
                                  judging, slip->group ? no_words : reason_words, place->reasons);
    for (guint i = 0; i < place->classes->len; i++)
        if (spl_verdict_runs_equal(class.runs,
                                   g_array_index(place->classes, struct spl_slip_class, i).runs)) {
            spl_record_clear(&spl_slip_class_shape, &class);
            return (int)i;
        }
    g_array_append_val(place->classes, class);
    return (int)place->classes->len - 1;
}

static int plant_of(struct writing *writing, const struct spl_plant *plant)
{
    gpointer at = NULL;
    struct spl_slip_plant one;

    if (g_hash_table_lookup_extended(writing->plants, plant->slug, NULL, &at))
        return GPOINTER_TO_INT(at);
    one = (struct spl_slip_plant){
        .plant = g_strdup(plant->slug),
        .common = g_strdup(plant->common),
        .latin = g_strdup(plant->latin),
        .deadly = plant->deadly_lookalike,
        .lookalikes = g_strdup(plant->lookalikes),
    };
    g_array_append_val(writing->slip->plants, one);
    g_hash_table_insert(writing->plants, (gpointer)plant->slug,
                        GINT_TO_POINTER((int)writing->slip->plants->len - 1));
    return (int)writing->slip->plants->len - 1;
}

static void add_stage(GPtrArray *stages, int code)
{
    const char *word = spl_stage_word(code);

    if (stages->len < 4 && *word != '\0' &&
        !g_ptr_array_find_with_equal_func(stages, word, g_str_equal, NULL))
        g_ptr_array_add(stages, g_strdup(word));
}

/* Four stages to choose among: those of the window first, then what the part is usually seen at
 * (common practice, no source). */
static GPtrArray *stages_of(const struct spl_material *material, const struct spl_window *window)
{
    static const int flower[] = {51, 60, 65, 67}, leaf[] = {19, 39, 51, 60},
                     root[] = {92, 97, 39, 19}, fruit[] = {81, 87, 89, 79}, wood[] = {0, 7, 19, 93};
    GPtrArray *stages = g_ptr_array_new_with_free_func(g_free);
    const int *usual = leaf;

    if (window != NULL && !isnan(window->stage_from))
        add_stage(stages, (int)window->stage_from);
    if (window != NULL && !isnan(window->stage_to))
        add_stage(stages, (int)window->stage_to);
    if (spl_part_is_dug(material->part))
        usual = root;
    else if (material->part == SPL_PART_FLOWER)
        usual = flower;
    else if (material->part == SPL_PART_FRUIT || material->part == SPL_PART_SEED)
        usual = fruit;
    else if (material->part == SPL_PART_BARK || material->part == SPL_PART_BUD ||
             material->part == SPL_PART_SAP)
        usual = wood;
    for (int i = 0; i < 4; i++)
        add_stage(stages, usual[i]);
    return stages;
}

static struct spl_slip_material *find_material(const struct spl_slip_place *place, const char *slug)
{
    for (guint i = 0; i < place->materials->len; i++) {
        struct spl_slip_material *one =
            &g_array_index(place->materials, struct spl_slip_material, i);

        if (strcmp(one->material, slug) == 0)
            return one;
    }
    return NULL;
}

static gboolean judge_stand(struct writing *writing, const struct spl_site *site,
                            const struct spl_material *material, struct spl_slip_material *one,
                            GError **error)
{
    struct spl_stand_allowance allowance;
    gboolean known;

    if (!spl_stand_judge(writing->house, site, material, writing->slip->first, &allowance, &known,
                         error))
        return FALSE;
    if (known && !isnan(allowance.bears_g))
        one->left_g = allowance.left_g;
    if (known)
        one->stand = g_strdup(allowance.reason);
    spl_stand_allowance_clear(&allowance);
    return TRUE;
}

/* One more material of the place; `window` NULL: it is wanted there though none is known. */
static gboolean add_material(struct judging *judging, const struct spl_site *site,
                             const struct spl_material *material, const struct spl_window *window,
                             struct spl_slip_place *place, GError **error)
{
    struct writing *writing = judging->writing;
    struct spl_slip_material one = {
        .material = g_strdup(material->slug),
        .spoken = g_strdup(material->spoken),
        .plant = plant_of(writing, material->plant),
        .class = class_of(judging, material, place),
        .earliest = window != NULL ? window->earliest : SPL_DAY_NONE,
        .likely_start = window != NULL ? window->likely_start : SPL_DAY_NONE,
        .likely_end = window != NULL ? window->likely_end : SPL_DAY_NONE,
        .latest = window != NULL ? window->latest : SPL_DAY_NONE,
        .stages = stages_of(material, window),
        .hours = spl_picking_words(writing->house, site->lat, site->lon, writing->slip->first,
                                   material->slug),
        .left_g = NAN,
        .wanted_g = NAN,
        .care = spl_care_of_picker(material),
    };
    g_autoptr(GPtrArray) rules = spl_law_rules(writing->house, material);
    gboolean ok;

    for (guint i = 0; i < rules->len; i++) {
        const struct spl_protected *rule = g_ptr_array_index(rules, i);

        spl_caution_add(one.care, "%s, %s: %s", rule->country, spl_protection_name(rule->rule),
                        rule->words);
    }
    if (window != NULL && !isnan(window->stage_from)) {
        const char *from = spl_stage_word((int)window->stage_from);
        const char *to = isnan(window->stage_to) ? from : spl_stage_word((int)window->stage_to);

        one.stage = strcmp(from, to) == 0 ? g_strdup(from) : g_strdup_printf("%s to %s", from, to);
    }
    ok = writing->slip->group || judge_stand(writing, site, material, &one, error);
    for (guint i = 0; i < rules->len; i++)
        if (((const struct spl_protected *)g_ptr_array_index(rules, i))->rule ==
            SPL_PROTECTION_REFUSE)
            one.left_g = 0.0; /* whatever the stand bears */
    g_array_append_val(place->materials, one);
    return ok;
}

/* What may be picked there in the slip's days, of what is known to grow there. */
static gboolean add_windows(struct judging *judging, const struct spl_site *site,
                            struct spl_slip_place *place, GError **error)
{
    struct writing *writing = judging->writing;
    const struct spl_slip *slip = writing->slip;
    GArray *windows =
        spl_window_maker_on(writing->maker, site, slip->first, NULL, NULL, FALSE, error);
    gboolean ok = windows != NULL;

    for (guint i = 0; ok && i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window_told, i).window;
        g_autofree char *key = spl_stand_key(site->name, window->material);
        const struct spl_material *material =
            spl_tables_material_by_slug(writing->tables, window->material);

        if (material == NULL || !g_hash_table_contains(writing->stands, key) ||
            spl_day_compare(window->earliest, slip->last) > 0 ||
            spl_day_compare(window->latest, slip->first) < 0 ||
            find_material(place, window->material) != NULL)
            continue;
        ok = add_material(judging, site, material, window, place, error);
    }
    spl_list_free(&spl_window_told_shape, windows);
    return ok;
}

/* What the outing takes there: first what is in season, then what else it wants. */
static gboolean add_takes(struct judging *judging, const struct spl_site *site,
                          const struct spl_plan_stop *stop, struct spl_slip_place *place,
                          GError **error)
{
    struct writing *writing = judging->writing;

    for (guint i = 0; stop != NULL && i < stop->takes->len; i++) {
        const struct spl_plan_take *take = &g_array_index(stop->takes, struct spl_plan_take, i);
        const struct spl_material *material =
            spl_tables_material_by_slug(writing->tables, take->material);
        struct spl_slip_material *one = find_material(place, take->material);
        g_autoptr(GString) what_for = g_string_new(NULL);

        if (material == NULL)
            continue;
        if (one == NULL) {
            if (!add_material(judging, site, material, NULL, place, error))
                return FALSE;
            one = find_material(place, take->material);
        }
        one->wanted_g = take->grams;
        for (guint k = 0; take->what_for != NULL && k < take->what_for->len; k++)
            g_string_append_printf(what_for, "%s%s", k > 0 ? ", " : "",
                                   (const char *)g_ptr_array_index(take->what_for, k));
        if (what_for->len > 0)
            one->what_for = g_string_free(g_steal_pointer(&what_for), FALSE);
    }
    return TRUE;
}

/* Who last gave or refused leave, as of a day. */
static gboolean leave_of(struct writing *writing, const struct spl_site *site, char **words,
                         GError **error)
{
    GArray *leaves = spl_permission_list(writing->house->book, site->id, error);

    if (leaves == NULL)
        return FALSE;
    if (leaves->len > 0) {
        const struct spl_permission_note *leave =
            &g_array_index(leaves, struct spl_permission_note, leaves->len - 1);
        g_autofree char *until = spl_day_words(leave->until);
        g_auto(GStrv) parts = g_strsplit(leave->parts, ",", -1);
        g_autofree char *listed = g_strjoinv(", ", parts);

        *words = g_strdup_printf("%sleave %s by %s%s%s%s%s", leave->written ? "written " : "",
                                 leave->given ? "given" : "REFUSED", leave->by,
                                 *listed != '\0' ? " for " : "", listed,
                                 *until != '\0' ? " until " : "", until);
    }
    spl_list_free(&spl_permission_note_shape, leaves);
    return TRUE;
}

static gboolean add_place(struct writing *writing, const struct spl_site *site,
                          const struct spl_plan_stop *stop, GError **error)
{
    struct spl_slip *slip = writing->slip;
    g_autoptr(spl_ground) ground = spl_ground_load(writing->house, site, error);
    struct judging judging = {writing, ground, NULL};
    struct spl_slip_place place = {
        .name = g_strdup(site->name),
        .lat = slip->positions ? site->lat : NAN,
        .lon = slip->positions ? site->lon : NAN,
        .km = NAN,
        .reasons = g_ptr_array_new_with_free_func(g_free),
        .classes = spl_list_new(&spl_slip_class_shape),
        .materials = spl_list_new(&spl_slip_material_shape),
    };
    gboolean ok = ground != NULL;

    if (ok) {
        class_of(&judging, NULL, &place);
        place.reckoned_from = spl_ground_map_words(writing->house->map, site);
        if (writing->has_home && !slip->group) {
            struct spl_position home = {.lat = writing->home_lat, .lon = writing->home_lon};
            struct spl_position here = {.lat = site->lat, .lon = site->lon};

            place.km = spl_geodesic_inverse(home, here, NULL, NULL) / 1000.0;
        }
        if (!slip->group) {
            place.remark = g_strdup(site->remark);
            place.ask = spl_ground_whom(ground);
            ok = leave_of(writing, site, &place.leave, error);
        }
    }
    ok = ok && add_windows(&judging, site, &place, error) &&
         add_takes(&judging, site, stop, &place, error);
    g_array_append_val(slip->places, place);
    return ok;
}

static int by_distance(gconstpointer a, gconstpointer b)
{
    const struct spl_slip_place *x = a, *y = b;

    if (!isnan(x->km) && !isnan(y->km) && x->km != y->km)
        return x->km < y->km ? -1 : 1;
    return strcmp(x->name, y->name);
}

static gboolean add_all(struct writing *writing, GError **error)
{
    GArray *sites = spl_site_all(writing->house->book, error);
    gboolean ok = sites != NULL;

    if (ok && sites->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "the book has no place yet; a slip is of places");
        ok = FALSE;
    }
    for (guint i = 0; ok && i < sites->len; i++) {
        ok = add_place(writing, &g_array_index(sites, struct spl_site, i), NULL, error);
        spl_progress_tell(&writing->house->progress, "judging places", i + 1, sites->len);
    }
    spl_list_free(&spl_site_shape, sites);
    if (ok)
        g_array_sort(writing->slip->places, by_distance);
    return ok;
}

static gboolean add_outing(struct writing *writing, const struct spl_plan_outing *outing,
                           GError **error)
{
    for (guint i = 0; i < outing->sites->len; i++) {
        const struct spl_plan_stop *stop = &g_array_index(outing->sites, struct spl_plan_stop, i);
        struct spl_site site = {0};
        gboolean ok = spl_site_named(writing->house->book, stop->site_id, &site, error);

        if (!ok)
            return FALSE;
        ok = site.gone || add_place(writing, &site, stop, error);
        spl_record_clear(&spl_site_shape, &site);
        if (!ok)
            return FALSE;
    }
    return TRUE;
}

/* ---- jars ---- */

/* As one notes it done; NULL: it is nothing that one does. */
static const char *done_words(const char *step)
{
    static const struct {
        enum spl_step step;
        const char *done;
    } rows[] = {{SPL_STEP_TOP_UP, "topped up"}, {SPL_STEP_SHAKE, "shaken"},
                {SPL_STEP_LOOK, "looked at"},   {SPL_STEP_DECANT, "decanted"},
                {SPL_STEP_TURN, "turned"},      {SPL_STEP_STRAIN, "strained"}};

    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++)
        if (strcmp(step, spl_step_name(rows[i].step)) == 0)
            return rows[i].done;
    return NULL;
}

static gboolean add_steps(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct spl_slip *slip = data;

    (void)error;
    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);
        const char *done = done_words(step->step);
        struct spl_slip_step one;

        if (!step->open || done == NULL || spl_day_compare(step->due, slip->last) > 0)
            continue;
        one = (struct spl_slip_step){
            .code = g_strdup(batch->code),
            .what = g_strdup_printf("%s, %s", batch->preparation, batch->materials),
            .step = g_strdup(step->step),
            .done = g_strdup(done),
            .due = step->due,
            .words = g_strdup(step->words),
        };
        g_array_append_val(slip->steps, one);
    }
    return TRUE;
}

static int by_due(gconstpointer a, gconstpointer b)
{
    const struct spl_slip_step *x = a, *y = b;
    int order = spl_day_compare(x->due, y->due);

    return order != 0 ? order : strcmp(x->code, y->code);
}

/* ---- which days, of what ---- */

/* The outing kept for the day, else one that has it in reserve; NULL: none, with the days there
 * are. */
static const struct spl_plan_outing *find_outing(const struct spl_plan_outings *plan,
                                                 struct spl_day day, GError **error)
{
    const struct spl_plan_outing *found = NULL;
    g_autoptr(GString) days = g_string_new(NULL);
    char text[SPL_DAY_TEXT_SIZE];

    for (guint i = 0; plan->outings != NULL && i < plan->outings->len; i++) {
        const struct spl_plan_outing *outing =
            &g_array_index(plan->outings, struct spl_plan_outing, i);

        if (outing->date.n == day.n || (found == NULL && outing->reserve.n == day.n))
            found = outing;
        g_string_append_printf(days, "%s%s", days->len > 0 ? ", " : "",
                               spl_day_format(outing->date, text));
    }
    if (found == NULL)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "outing", "no outing is kept for %s; %s%s",
                            spl_day_format(day, text),
                            days->len > 0 ? "kept are " : "plan some and keep them", days->str);
    return found;
}

/* From today on, and far enough for the outing where nobody says how many days. */
static gboolean set_days(struct writing *writing, const struct spl_plan_outing *outing,
                         GError **error)
{
    const struct spl_slip_words *said = writing->said;
    struct spl_slip *slip = writing->slip;
    int days = said->days != SPL_COUNT_NONE ? said->days : SPL_SLIP_DAYS;

    slip->first = spl_day_is_set(said->from) ? said->from : slip->today;
    if (spl_day_compare(slip->first, slip->today) < 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "from",
                            "lies before today; a slip is for days to come");
        return FALSE;
    }
    if (outing != NULL) {
        struct spl_day end =
            spl_day_is_set(outing->reserve) && spl_day_compare(outing->reserve, outing->date) > 0
                ? outing->reserve
                : outing->date;

        slip->outing = outing->date;
        slip->reserve = outing->reserve;
        if (!spl_day_is_set(said->from) && spl_day_diff(outing->date, slip->first) >= days)
            slip->first = outing->date;
        if (said->days == SPL_COUNT_NONE)
            days = CLAMP(spl_day_diff(end, slip->first) + 1, days, SPL_SLIP_DAYS_MOST);
    }
    slip->last = spl_day_add(slip->first, days - 1);
    if (spl_day_is_set(slip->last))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "from", "has no days after it");
    return FALSE;
}

/* The time by the book's zone, while it is the day that the book takes for today. */
static char *clock_words(const struct spl_slip *slip)
{
    g_autoptr(GTimeZone) zone = slip->zone != NULL ? g_time_zone_new_identifier(slip->zone) : NULL;
    g_autoptr(GDateTime) now =
        zone != NULL ? g_date_time_new_now(zone) : g_date_time_new_now_local();
    int year, month, dom;

    spl_day_to_ymd(slip->today, &year, &month, &dom);
    if (now == NULL || g_date_time_get_year(now) != year || g_date_time_get_month(now) != month ||
        g_date_time_get_day_of_month(now) != dom)
        return NULL;
    return g_date_time_format(now, "%H:%M");
}

static void begin(struct writing *writing)
{
    struct spl_house *house = writing->house;
    const struct spl_slip_words *said = writing->said;

    *writing->slip = (struct spl_slip){
        .id = spl_slip_letters(4),
        .mark = g_strdup(spl_setting_mark(house->book)),
        .today = house->today,
        .zone = spl_house_setting_text(house, "zone"),
        .who = said->group ? NULL : spl_house_setting_text(house, "who"),
        .group = said->group,
        .positions = !said->without_places && !said->group,
        .outing = SPL_DAY_NONE,
        .reserve = SPL_DAY_NONE,
        .places = spl_list_new(&spl_slip_place_shape),
        .plants = spl_list_new(&spl_slip_plant_shape),
        .steps = spl_list_new(&spl_slip_step_shape),
        .cautions = g_ptr_array_new_with_free_func(g_free),
    };
    writing->slip->clock = clock_words(writing->slip);
    writing->plants = g_hash_table_new(g_str_hash, g_str_equal);
    writing->has_home = spl_house_setting_place(house, &writing->home_lat, &writing->home_lon);
}

static gboolean fill_places(struct writing *writing, const struct spl_plan_outing *outing,
                            GError **error)
{
    const struct spl_slip_words *said = writing->said;
    struct spl_slip *slip = writing->slip;
    struct spl_site site;
    gboolean ok;

    if (outing != NULL) {
        g_autofree char *day = spl_day_words(outing->date);

        slip->of = g_strdup_printf("the outing of %s", day);
        return add_outing(writing, outing, error);
    }
    if (said->site == NULL) {
        slip->of = g_strdup("all places");
        return add_all(writing, error);
    }
    slip->of = g_strdup(said->site);
    if (!spl_house_site(writing->house, "site", said->site, &site, error))
        return FALSE;
    ok = add_place(writing, &site, NULL, error);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

static gboolean fill(struct writing *writing, GError **error)
{
    struct spl_house *house = writing->house;
    struct spl_slip *slip = writing->slip;
    const struct spl_day day = writing->said->outing;
    struct spl_plan_outings plan = {0};
    const struct spl_plan_outing *outing = NULL;
    gboolean ok = TRUE;

    if (spl_day_is_set(day)) {
        ok = spl_plan_kept(house, spl_day_season(day, writing->has_home ? writing->home_lat : 50.0),
                           &plan, error);
        if (!ok)
            return FALSE;
        outing = find_outing(&plan, day, error);
        ok = outing != NULL;
    }
    ok = ok && set_days(writing, outing, error);
    writing->stands = ok ? spl_stand_known(house, error) : NULL;
    writing->maker = writing->stands != NULL ? spl_window_maker_new(house, 0, error) : NULL;
    ok = writing->maker != NULL && fill_places(writing, outing, error);
    if (ok)
        spl_law_caution(house, slip->cautions);
    if (ok && !slip->group)
        ok = spl_batch_each_full(house, FALSE, add_steps, slip, error);
    g_array_sort(slip->steps, by_due);
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return ok;
}

gboolean spl_slip_make(struct spl_house *house, const struct spl_slip_words *said,
                       struct spl_slip *slip, GError **error)
{
    struct spl_slip_words words;
    struct spl_slip made = {0};
    struct writing writing = {.house = house, .said = &words, .slip = &made};
    gboolean ok;

    if (!spl_entry_take(house, &spl_slip_inputs, said, &words, error))
        return FALSE;
    writing.tables = spl_house_tables(house, error);
    ok = writing.tables != NULL;
    if (ok) {
        begin(&writing);
        ok = fill(&writing, error);
        if (ok)
            *slip = made;
        else
            spl_record_clear(&spl_slip_shape, &made);
    }
    g_clear_pointer(&writing.plants, g_hash_table_unref);
    g_clear_pointer(&writing.stands, g_hash_table_unref);
    spl_window_maker_free(writing.maker);
    spl_inputs_clear(&spl_slip_inputs, &words);
    return ok;
}
