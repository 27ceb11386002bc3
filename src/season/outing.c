/* SPDX-License-Identifier: MIT
 *
 * One kept outing changed by hand. See simpling/outing.h.
 */
#include "simpling/outing.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/plan.h"
#include "season/check_private.h"
#include "season/plan_keep.h"
#include "season/plan_problem.h"
#include "season/stand.h"
#include "season/windows.h"
#include "simpling/entry.h"
#include "simpling/error.h"

/* ---- what is said -------------------------------------------------------------------------- */

static const struct spl_input move_rows[] = {
    SPL_INPUT(spl_outing_move_words, day, DAY, "day", "the day of the outing", .needed = 1),
    SPL_INPUT(spl_outing_move_words, to, NAME, "to", "its reserve day, or another: reserve, DAY",
              .value = "DAY", .needed = 1),
    SPL_INPUT(spl_outing_move_words, why, TEXT, "why", "the reason: rained off"),
};
const struct spl_inputs spl_outing_move_inputs =
    SPL_INPUTS("outing-move", spl_outing_move_words, move_rows);

static const struct spl_input pin_rows[] = {
    SPL_INPUT(spl_outing_pin_words, day, DAY, "day", "the day of the outing", .needed = 1),
    SPL_INPUT(spl_outing_pin_words, loose, FLAG, "loose", "let it be planned anew with the rest"),
};
const struct spl_inputs spl_outing_pin_inputs =
    SPL_INPUTS("outing-pin", spl_outing_pin_words, pin_rows);

static const struct spl_input take_rows[] = {
    SPL_INPUT(spl_outing_take_words, day, DAY, "day", "the day of the outing", .needed = 1),
    SPL_INPUT(spl_outing_take_words, site, SITE, "site", "a place that it goes to", .needed = 1),
    SPL_INPUT(spl_outing_take_words, material, MATERIAL, "material", "what is picked there",
              .needed = 1),
    SPL_INPUT(spl_outing_take_words, grams, MASS, "weight", "how much of it"),
    SPL_INPUT(spl_outing_take_words, none, FLAG, "none", "nothing of it"),
};
static const struct spl_rule take_rules[] = {{SPL_RULE_ONE, {"weight", "none"}}};
const struct spl_inputs spl_outing_take_inputs =
    SPL_INPUTS("outing-take", spl_outing_take_words, take_rows, SPL_RULES(take_rules));

static const struct spl_input drop_rows[] = {
    SPL_INPUT(spl_outing_drop_words, day, DAY, "day", "the day of the outing", .needed = 1),
    SPL_INPUT(spl_outing_drop_words, why, TEXT, "why", "the reason"),
    SPL_INPUT(spl_outing_drop_words, by, NAME, "by", "who decided", .value = "WHO",
              .setting = "who"),
};
const struct spl_inputs spl_outing_drop_inputs =
    SPL_INPUTS("outing-drop", spl_outing_drop_words, drop_rows);

/* ---- finding ------------------------------------------------------------------------------- */

static struct spl_kept_outing *kept_on(const GArray *list, struct spl_day day)
{
    for (guint i = 0; i < list->len; i++) {
        struct spl_kept_outing *kept = &g_array_index(list, struct spl_kept_outing, i);

        if (kept->day.n == day.n)
            return kept;
    }
    return NULL;
}

/* The kept outings of the day's season; NULL with an error. */
static GArray *kept_list(struct spl_house *house, struct spl_day day, GError **error)
{
    double lat;

    spl_plan_season(house, &lat);
    return spl_kept_outing_list(house->book, spl_day_season(day, lat), error);
}

/* The one of that day, which is still to come; it stays the list's. */
static struct spl_kept_outing *find(struct spl_house *house, const GArray *list, struct spl_day day,
                                    GError **error)
{
    g_autofree char *text = spl_day_words(day);
    struct spl_kept_outing *kept = kept_on(list, day);
    g_autoptr(GString) days = g_string_new(NULL);

    for (guint i = 0; kept == NULL && i < list->len; i++) {
        char one[SPL_DAY_TEXT_SIZE];

        g_string_append_printf(
            days, "%s%s", i > 0 ? ", " : "",
            spl_day_format(g_array_index(list, struct spl_kept_outing, i).day, one));
    }
    if (kept == NULL)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "day", "no outing is kept on %s; %s%s",
                            text, list->len > 0 ? "kept are " : "plan some and keep them",
                            days->str);
    else if (spl_day_compare(day, house->today) < 0)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "day",
                            "the outing of %s is past and stays as it was planned", text);
    else
        return kept;
    return NULL;
}

/* ---- what speaks against it ---------------------------------------------------------------- */

static gboolean look_at_take(struct spl_house *house, const struct spl_kept_outing *kept,
                             const struct spl_site *site, const struct spl_kept_take *take,
                             GPtrArray *cautions, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_material *material =
        tables != NULL ? spl_tables_material_by_slug(tables, take->material) : NULL;
    g_autofree char *day = spl_day_words(kept->day);
    struct spl_stand_allowance allowance = {0};
    gboolean known, open = FALSE;
    GArray *windows;

    if (tables == NULL)
        return FALSE;
    if (material == NULL)
        return TRUE;
    windows = spl_windows_on(house, site, kept->day, take->material, NULL, error);
    if (windows == NULL)
        return FALSE;
    for (guint w = 0; w < windows->len; w++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window, w);

        open |= kept->day.n >= window->earliest.n && kept->day.n <= window->latest.n;
    }
    spl_list_free(&spl_window_shape, windows);
    if (!open)
        spl_caution_add(cautions, "%s: %s at %s is outside its time", day, take->material,
                        site->name);
    if (!spl_stand_judge(house, site, material, house->today, &allowance, &known, error))
        return FALSE;
    if (known && take->grams > allowance.left_g + 1) {
        g_autofree char *grams = spl_mass_format(take->grams);
        g_autofree char *spare = spl_mass_format(allowance.left_g);

        spl_caution_add(cautions, "%s: %s %s at %s, where the stand can spare %s", day, grams,
                        take->material, site->name, spare);
    }
    spl_stand_allowance_clear(&allowance);
    return TRUE;
}

/* The outing as people see it, and what is wrong with it on its day. */
static gboolean look(struct spl_house *house, const struct spl_kept_outing *kept,
                     struct spl_plan_outing *outing, GPtrArray *cautions, GError **error)
{
    gboolean ok = TRUE;

    for (guint t = 0; ok && t < kept->takes->len; t++) {
        const struct spl_kept_take *take = &g_array_index(kept->takes, struct spl_kept_take, t);
        struct spl_site site;

        if (!spl_site_named(house->book, take->site_id, &site, error))
            return FALSE;
        ok = site.gone || look_at_take(house, kept, &site, take, cautions, error);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (!ok || !spl_plan_show_outing(house, kept, outing, error))
        return FALSE;
    for (guint s = 0; s < outing->sites->len; s++) {
        const struct spl_plan_stop *stop = &g_array_index(outing->sites, struct spl_plan_stop, s);

        if (stop->verdict == SPL_VERDICT_CLOSED)
            spl_caution_add(cautions, "%s is closed then: %s", stop->site,
                            stop->reasons->len > 0
                                ? (const char *)g_ptr_array_index(stop->reasons, 0)
                                : "look at it with check");
    }
    return TRUE;
}

/* Stores the changed outing and shows it. */
static gboolean put(struct spl_house *house, struct spl_kept_outing *kept,
                    struct spl_plan_outing *outing, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) found = g_ptr_array_new_with_free_func(g_free);
    struct spl_plan_outing shown = {0};

    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!spl_book_finish(house->book,
                         spl_kept_outing_put(house->book, kept, error) &&
                             look(house, kept, &shown, found, error),
                         error)) {
        spl_record_clear(&spl_plan_outing_shape, &shown);
        return FALSE;
    }
    *outing = shown;
    *cautions = g_steal_pointer(&found);
    return TRUE;
}

/* ---- moved, kept --------------------------------------------------------------------------- */

static gboolean other_day(struct spl_house *house, const GArray *list,
                          const struct spl_kept_outing *kept, const char *to, struct spl_day *day,
                          GError **error)
{
    g_autofree char *text = NULL;

    if (g_ascii_strcasecmp(to, "reserve") == 0) {
        *day = kept->reserve;
        if (spl_day_is_set(*day))
            return TRUE;
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "to",
                            "this outing has no reserve day; give another day");
        return FALSE;
    }
    if (!spl_day_parse(to, "to", day, error)) {
        spl_error_about(error, "to");
        return FALSE;
    }
    text = spl_day_words(*day);
    if (spl_day_compare(*day, house->today) < 0)
        spl_error_set_input(error, SPL_ERROR_INVALID, "to", "%s is past; give a day to come", text);
    else if (kept_on(list, *day) != NULL && kept_on(list, *day) != kept)
        spl_error_set_input(error, SPL_ERROR_EXISTS, "to",
                            "another outing is kept on %s; move or drop that one first", text);
    else
        return TRUE;
    return FALSE;
}

gboolean spl_outing_move(struct spl_house *house, const struct spl_outing_move_words *said,
                         struct spl_plan_outing *outing, GPtrArray **cautions, GError **error)
{
    struct spl_outing_move_words words;
    g_autoptr(GArray) list = NULL;
    struct spl_kept_outing *kept = NULL;
    struct spl_day to;
    gboolean ok;

    if (!spl_entry_take(house, &spl_outing_move_inputs, said, &words, error))
        return FALSE;
    list = kept_list(house, words.day, error);
    ok = list != NULL && (kept = find(house, list, words.day, error)) != NULL &&
         other_day(house, list, kept, words.to, &to, error);
    if (ok) {
        char day[SPL_DAY_TEXT_SIZE];

        g_free(kept->why);
        kept->why =
            g_strdup_printf("moved from %s%s%s", spl_day_format(kept->day, day),
                            words.why != NULL ? ": " : "", words.why != NULL ? words.why : "");
    }
    spl_inputs_clear(&spl_outing_move_inputs, &words);
    if (!ok)
        return FALSE;
    kept->day = to;
    if (spl_day_is_set(kept->reserve) && kept->reserve.n <= to.n)
        kept->reserve = SPL_DAY_NONE;
    kept->fixed = TRUE;
    return put(house, kept, outing, cautions, error);
}

gboolean spl_outing_pin(struct spl_house *house, const struct spl_outing_pin_words *said,
                        struct spl_plan_outing *outing, GPtrArray **cautions, GError **error)
{
    struct spl_outing_pin_words words;
    g_autoptr(GArray) list = NULL;
    struct spl_kept_outing *kept = NULL;

    if (!spl_entry_take(house, &spl_outing_pin_inputs, said, &words, error))
        return FALSE;
    list = kept_list(house, words.day, error);
    if (list == NULL || (kept = find(house, list, words.day, error)) == NULL)
        return FALSE;
    kept->fixed = !words.loose;
    return put(house, kept, outing, cautions, error);
}

/* ---- other amounts ------------------------------------------------------------------------- */

/* Puts the amount into the outing; 0: takes it out. FALSE: it does not go there. */
static gboolean set_take(struct spl_kept_outing *kept, gint64 site_id, const char *material,
                         double grams, double *before)
{
    struct spl_kept_take fresh = {.site_id = site_id, .grams = grams};
    gboolean there = FALSE;

    *before = 0;
    for (guint s = 0; s < kept->stops->len; s++)
        there |= g_array_index(kept->stops, struct spl_kept_stop, s).site_id == site_id;
    for (guint t = 0; there && t < kept->takes->len; t++) {
        struct spl_kept_take *take = &g_array_index(kept->takes, struct spl_kept_take, t);

        if (take->site_id != site_id || strcmp(take->material, material) != 0)
            continue;
        *before = take->grams;
        take->grams = grams;
        if (grams <= 0)
            g_array_remove_index(kept->takes, t);
        return TRUE;
    }
    if (!there || grams <= 0)
        return there;
    fresh.material = g_strdup(material);
    fresh.what_for = g_strdup("");
    g_array_append_val(kept->takes, fresh);
    return TRUE;
}

static gboolean take(struct spl_house *house, const struct spl_outing_take_words *words,
                     struct spl_kept_outing *kept, GError **error)
{
    const struct spl_material *material;
    double grams = words->none ? 0 : words->grams, before;
    g_autofree char *day = spl_day_words(kept->day);
    struct spl_site site;
    gboolean there;

    if (!spl_tables_material(house->tables, words->material, &material, error) ||
        !spl_house_site(house, "site", words->site, &site, error))
        return FALSE;
    there = set_take(kept, site.id, material->slug, grams, &before);
    if (!there)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "site",
                            "the outing of %s does not go to %s; plan it anew to go there", day,
                            site.name);
    spl_record_clear(&spl_site_shape, &site);
    if (!there)
        return FALSE;
    kept->hours = MAX(kept->hours + spl_plan_work_hours(house, material, grams) -
                          spl_plan_work_hours(house, material, before),
                      0);
    kept->fixed = TRUE;
    return TRUE;
}

gboolean spl_outing_take(struct spl_house *house, const struct spl_outing_take_words *said,
                         struct spl_plan_outing *outing, GPtrArray **cautions, GError **error)
{
    struct spl_outing_take_words words;
    g_autoptr(GArray) list = NULL;
    struct spl_kept_outing *kept = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_outing_take_inputs, said, &words, error))
        return FALSE;
    list = kept_list(house, words.day, error);
    ok = list != NULL && (kept = find(house, list, words.day, error)) != NULL &&
         take(house, &words, kept, error);
    spl_inputs_clear(&spl_outing_take_inputs, &words);
    return ok && put(house, kept, outing, cautions, error);
}

/* ---- dropped ------------------------------------------------------------------------------- */

gboolean spl_outing_drop(struct spl_house *house, const struct spl_outing_drop_words *said,
                         struct spl_plan_outing *outing, GPtrArray **cautions, GError **error)
{
    struct spl_outing_drop_words words;
    struct spl_plan_outing shown = {0};
    g_autoptr(GArray) list = NULL;
    struct spl_kept_outing *kept = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_outing_drop_inputs, said, &words, error))
        return FALSE;
    list = kept_list(house, words.day, error);
    ok = list != NULL && (kept = find(house, list, words.day, error)) != NULL &&
         spl_plan_show_outing(house, kept, &shown, error) && spl_book_begin(house->book, error) &&
         spl_book_finish(house->book,
                         spl_plan_strike(house->book, kept->uuid, words.by,
                                         words.why != NULL ? words.why : "dropped", error),
                         error);
    spl_inputs_clear(&spl_outing_drop_inputs, &words);
    if (!ok) {
        spl_record_clear(&spl_plan_outing_shape, &shown);
        return FALSE;
    }
    *outing = shown;
    *cautions = g_ptr_array_new_with_free_func(g_free);
    return TRUE;
}
