/* SPDX-License-Identifier: MIT
 *
 * Planning batches, listing and dropping them, what runs short. See simpling/plan.h.
 */
#include "simpling/plan.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "core/keeping.h"
#include "core/pool.h"
#include "season/check_private.h"
#include "season/law.h"
#include "season/plan_private.h"
#include "season/recipe.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/need.h"

#define MOST_PARTS 12
#define SHORT_DAYS 200 /* what keeps no longer is not for the winter */

static const struct spl_field shortage_fields[] = {
    SPL_FIELD(spl_plan_shortage, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_plan_shortage, need_g, 0, "need_g", "needs g"),
    SPL_FIELD_NUM(spl_plan_shortage, stock_g, 0, "stock_g", "on hand g"),
    SPL_FIELD_NUM(spl_plan_shortage, allowance_g, 0, "allowance_g", "stands spare g"),
    SPL_FIELD_NUM(spl_plan_shortage, short_g, 0, "short_g", "short g"),
    SPL_FIELD(spl_plan_shortage, earliest, SPL_DAY, "earliest", "from"),
    SPL_FIELD(spl_plan_shortage, latest, SPL_DAY, "latest", "to"),
    SPL_FIELD(spl_plan_shortage, sites, SPL_TEXTS, "sites", "at"),
    SPL_FIELD(spl_plan_shortage, cause, SPL_TEXT, "cause", "why"),
    SPL_FIELD(spl_plan_shortage, cure, SPL_TEXT, "cure", "what helps"),
};
const struct spl_shape spl_plan_shortage_shape =
    SPL_SHAPE("shortage", spl_plan_shortage, shortage_fields);

/* ---- inputs -------------------------------------------------------------------------------- */

#define SEASON_ROW(record)                                                                         \
    SPL_INPUT(record, season, COUNT, "year", "the growing year (default this one)", .value = "Y",  \
              .min = 1900, .max = 9999)

static const struct spl_input part_rows[] = {
    SPL_INPUT(spl_plan_part, material, MATERIAL, "material", "what goes in", .needed = 1),
    SPL_INPUT(spl_plan_part, parts, NUMBER, "parts", "its share beside the others", .min = 0.01,
              .max = 1000),
};

static gboolean read_part(const char *text, const char *what, void *element, GError **error)
{
    struct spl_plan_part *part = element;
    const char *colon = strrchr(text, ':');
    g_autofree char *path = g_strconcat(what, ".parts", NULL);

    if (colon != NULL &&
        !spl_number_parse(colon + 1, "the parts of a material", 0.01, 1000, &part->parts, error)) {
        spl_error_about(error, path);
        return FALSE;
    }
    part->material = colon != NULL ? g_strndup(text, (gsize)(colon - text)) : g_strdup(text);
    return TRUE;
}
const struct spl_inputs spl_plan_part_inputs = SPL_INPUTS(
    "plan_part", spl_plan_part, part_rows, .line = read_part, .line_value = "MATERIAL[:PARTS]");

static const struct spl_input plan_rows[] = {
    SPL_INPUT(spl_plan_words, name, NAME, "name", "what you call it", .needed = 1),
    SPL_INPUT(spl_plan_words, preparation, PREPARATION, "preparation", "what is made", .needed = 1),
    SPL_INPUT(spl_plan_words, materials, LIST, "materials", "what goes in",
              .item = &spl_plan_part_inputs, .needed = 1),
    SPL_INPUT(spl_plan_words, as, NAME, "as",
              "a recipe of your own, or last, or none (default: the one kept last for this herb)",
              .value = "NAME"),
    SPL_INPUT(spl_plan_words, yield, AMOUNT, "yield",
              "how much is wanted: 500mL, or 200g of dried herb or salve", .value = "V"),
    SPL_INPUT(spl_plan_words, jars, LIST, "jar", "or the jars to fill: 6x500mL",
              .item = &spl_jar_inputs),
    SPL_INPUT(spl_plan_words, by, DAY, "by", "bottled by this day"),
    SPL_INPUT(spl_plan_words, dry, FLAG, "dry", "the herb goes in dried"),
    SPL_INPUT(spl_plan_words, ratio, RATIO, "ratio", "herb to liquid: 1:5 (default: as usual)"),
    SPL_INPUT(spl_plan_words, strength_frac, STRENGTH, "strength",
              "of what is poured on (default: as usual)"),
    SPL_INPUT(spl_plan_words, remark, TEXT, "remark", "anything to remember"),
    SEASON_ROW(spl_plan_words),
};
static const struct spl_rule plan_rules[] = {{SPL_RULE_ONE, {"yield", "jar"}}};

static gboolean check_plan(const void *record, GError **error)
{
    const GArray *parts = ((const struct spl_plan_words *)record)->materials;

    if (parts->len <= MOST_PARTS)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_LIMIT, "materials",
                        "%u are more than the %d of one batch; plan two batches", parts->len,
                        MOST_PARTS);
    return FALSE;
}

/* Of one material alone; what a mixture is made by, each of its materials says for itself. */
static void plan_figures(struct spl_house *house, void *record, GArray *filled)
{
    struct spl_plan_words *words = record;
    const struct spl_tables *tables = spl_house_tables(house, NULL);
    const struct spl_preparation *preparation;
    const struct spl_material *material;
    struct spl_making making;

    if (tables == NULL || words->preparation == NULL || words->materials == NULL ||
        words->materials->len != 1 ||
        !spl_tables_preparation(tables, words->preparation, &preparation, NULL) ||
        !spl_tables_material(tables,
                             g_array_index(words->materials, struct spl_plan_part, 0).material,
                             &material, NULL) ||
        preparation->liquid == SPL_LIQUID_NONE)
        return;
    making = spl_tables_making(tables, material, preparation, words->dry);
    spl_entry_figure("ratio", &words->ratio,
                     words->dry ? &making.ratio_dry_ml_per_g : &making.ratio_fresh_ml_per_g,
                     filled);
    if (making.strength_means != SPL_STRENGTH_FINAL)
        spl_entry_figure("strength", &words->strength_frac, &making.strength_frac, filled);
}

const struct spl_inputs spl_plan_inputs =
    SPL_INPUTS("plan", spl_plan_words, plan_rows, SPL_RULES(plan_rules), .check = check_plan,
               .figures = plan_figures);

static const struct spl_input question_rows[] = {SEASON_ROW(spl_plan_question)};
const struct spl_inputs spl_plan_question_inputs =
    SPL_INPUTS("plan_question", spl_plan_question, question_rows);

static const struct spl_input drop_rows[] = {
    SPL_INPUT(spl_plan_drop_words, name, NAME, "name", "the planned batch", .needed = 1),
    SPL_INPUT(spl_plan_drop_words, why, TEXT, "why", "the reason"),
    SPL_INPUT(spl_plan_drop_words, by, NAME, "by", "who decided", .value = "WHO", .setting = "who"),
    SEASON_ROW(spl_plan_drop_words),
};
const struct spl_inputs spl_plan_drop_inputs =
    SPL_INPUTS("plan_drop", spl_plan_drop_words, drop_rows);

static const struct spl_input short_rows[] = {
    SPL_INPUT(spl_plan_short_question, clear_only, FLAG, "clear_only",
              "leave out sites that must be asked about"),
    SEASON_ROW(spl_plan_short_question),
};
const struct spl_inputs spl_plan_short_inputs =
    SPL_INPUTS("plan_shortfall", spl_plan_short_question, short_rows);

/* As the plan's other files have it: 0 is the season of today. */
static int season_of(int said)
{
    return said == SPL_COUNT_NONE ? 0 : said;
}

/* ---- adding -------------------------------------------------------------------------------- */

static gboolean take_parts(const struct spl_plan_words *words, GArray *parts, GError **error)
{
    for (guint i = 0; i < words->materials->len; i++) {
        const struct spl_plan_part *said =
            &g_array_index(words->materials, struct spl_plan_part, i);
        struct spl_planned_part part = {.parts = isnan(said->parts) ? 1 : said->parts};

        for (guint j = 0; j < parts->len; j++) {
            if (strcmp(g_array_index(parts, struct spl_planned_part, j).material, said->material) ==
                0) {
                spl_error_set_input(error, SPL_ERROR_INVALID, "materials",
                                    "%s is named twice; give its parts once", said->material);
                return FALSE;
            }
        }
        part.material = g_strdup(said->material);
        g_array_append_val(parts, part);
    }
    return TRUE;
}

static gboolean take_amount(const struct spl_plan_words *words,
                            const struct spl_preparation *preparation, struct spl_planned *planned,
                            GError **error)
{
    gboolean weighed = preparation->liquid == SPL_LIQUID_NONE;
    struct spl_amount yield = words->yield;
    GString *jars;

    if (weighed && !(isnan(words->ratio) && isnan(words->strength_frac))) {
        spl_error_set_input(error, SPL_ERROR_INVALID, isnan(words->ratio) ? "strength" : "ratio",
                            "nothing is poured on dried herb; leave it out");
        return FALSE;
    }
    if (preparation->liquid == SPL_LIQUID_SALVE && isnan(yield.ml)) {
        double wax =
            isnan(words->strength_frac) ? preparation->strength_frac.value : words->strength_frac;

        yield = (struct spl_amount){.ml = yield.g * spl_salve_ml_per_g(wax), .g = NAN};
    }
    if (words->jars == NULL && isnan(weighed ? yield.g : yield.ml)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "yield",
                            weighed ? "is dried herb, which is weighed: say grams, 200g"
                                    : "is a liquid: say its volume, 500mL");
        return FALSE;
    }
    if (words->jars == NULL) {
        planned->yield_g = yield.g;
        planned->yield_ml = yield.ml;
        return TRUE;
    }
    jars = g_string_new(NULL);
    for (guint i = 0; i < words->jars->len; i++) {
        const struct spl_jar_words *jar = &g_array_index(words->jars, struct spl_jar_words, i);
        g_autofree char *size = spl_number_format(jar->nominal_ml, 1);

        g_string_append_printf(jars, "%s%dx%s", i > 0 ? " " : "", jar->count, size);
    }
    planned->jars = g_string_free(jars, FALSE);
    return TRUE;
}

static void clear_part(gpointer part)
{
    g_free(((struct spl_planned_part *)part)->material);
}

#define NEXT_YEARS_DAYS                                                                            \
    180 /* after a growing year: what is to be there later is of the next one                      \
         */

/* The growing year that a batch belongs to when nobody says: today's, or a later one when it is to
 * be there so long after today's has ended that a later year's herb is meant. */
static int season_by(struct spl_house *house, struct spl_day by)
{
    struct spl_day first, last;
    double lat;
    int season = spl_plan_season(house, &lat);

    if (!spl_day_is_set(by))
        return season;
    spl_day_season_bounds(season, lat, &first, &last);
    return spl_day_diff(by, last) > NEXT_YEARS_DAYS ? spl_day_season(by, lat) : season;
}

static gboolean take_words(struct spl_house *house, const struct spl_plan_words *words,
                           struct spl_planned *planned, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    char text[SPL_DAY_TEXT_SIZE], today[SPL_DAY_TEXT_SIZE];

    *planned = (struct spl_planned){.yield_ml = NAN, .yield_g = NAN, .by = words->by};
    planned->parts = g_array_new(FALSE, TRUE, sizeof(struct spl_planned_part));
    g_array_set_clear_func(planned->parts, clear_part);
    planned->season = words->season != SPL_COUNT_NONE ? words->season : season_by(house, words->by);
    planned->name = g_strdup(words->name);
    planned->preparation = g_strdup(words->preparation);
    planned->dry = words->dry;
    planned->ratio = words->ratio;
    planned->strength_frac = words->strength_frac;
    planned->recipe = g_strdup(words->as);
    planned->remark = g_strdup(words->remark);
    if (tables == NULL || !take_parts(words, planned->parts, error) ||
        !take_amount(words, spl_tables_preparation_by_slug(tables, words->preparation), planned,
                     error))
        return FALSE;
    if (spl_day_is_set(words->by) && spl_day_compare(words->by, house->today) < 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "by",
                            "%s is before today (%s); plan for a day to come",
                            spl_day_format(words->by, text), spl_day_format(house->today, today));
        return FALSE;
    }
    return TRUE;
}

/* The name must be new in its season. */
static gboolean name_is_free(struct spl_house *house, const struct spl_planned *planned,
                             GError **error)
{
    g_autoptr(GArray) list = spl_planned_list(house->book, planned->season, error);
    g_autofree char *key = spl_name_key(planned->name);

    if (list == NULL)
        return FALSE;
    for (guint i = 0; i < list->len; i++) {
        g_autofree char *other = spl_name_key(g_array_index(list, struct spl_planned, i).name);

        if (strcmp(key, other) == 0) {
            spl_error_set_input(error, SPL_ERROR_EXISTS, "name",
                                "%s is planned already in %d; choose another name or drop it first",
                                planned->name, planned->season);
            return FALSE;
        }
    }
    return TRUE;
}

/* The recipe that is named is there, and is one for this. */
static gboolean check_recipe(struct spl_house *house, const struct spl_planned *planned,
                             const struct spl_plan_want *want, GPtrArray *cautions, GError **error)
{
    const struct spl_recipe_ask ask = {.as = planned->recipe,
                                       .preparation = planned->preparation,
                                       .materials = want->material->slug,
                                       .dry = want->dry};
    GError *failed = NULL;
    struct spl_recipe recipe;

    if (spl_recipe_choose(house, &ask, &recipe, &failed)) {
        g_autofree char *text = spl_recipe_words(&recipe, &ask);

        spl_caution_add(cautions, "%s", text);
        spl_record_clear(&spl_recipe_shape, &recipe);
        return TRUE;
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* Whether it can be made at all, and what to know. */
static gboolean try_needs(struct spl_house *house, const struct spl_planned *planned,
                          GPtrArray *cautions, GError **error)
{
    for (guint i = 0; i < planned->parts->len; i++) {
        struct spl_plan_want want;
        char day[SPL_DAY_TEXT_SIZE];

        if (!spl_plan_need(house, planned, i, &want, error))
            return FALSE;
        if (spl_law_refuses(house, want.material, error) ||
            !check_recipe(house, planned, &want, cautions, error))
            return FALSE;
        if (spl_day_is_set(want.gather_by) && spl_day_compare(want.gather_by, house->today) < 0)
            spl_caution_add(cautions,
                            "%s would have to be picked by %s to be ready in time: plan it for a "
                            "later day",
                            want.material->slug, spl_day_format(want.gather_by, day));
        if (want.dry)
            spl_caution_add(cautions, "%s goes in dried: the fresh grams are those to dry",
                            want.material->slug);
        spl_material_cautions(house, want.material, cautions);
    }
    spl_law_caution(house, cautions);
    return TRUE;
}

/* The line of the planned batch with this key out of a loaded state. */
static gboolean line_of(struct spl_plan_state *state, const char *name, struct spl_plan_line *line)
{
    g_autofree char *key = spl_name_key(name);

    for (guint i = 0; i < state->lines->len; i++) {
        struct spl_plan_line *other = &g_array_index(state->lines, struct spl_plan_line, i);
        g_autofree char *other_key = spl_name_key(other->name);

        if (strcmp(key, other_key) != 0)
            continue;
        *line = *other;
        g_array_remove_index(state->lines, i);
        return TRUE;
    }
    return FALSE;
}

/* The state with each last day to pick put inside the windows. */
static gboolean load_narrow(struct spl_house *house, int season, struct spl_plan_state *state,
                            GError **error)
{
    g_autoptr(GArray) sources = NULL;

    if (!spl_plan_state_load(house, season, state, error))
        return FALSE;
    sources = spl_plan_sources(house, state, FALSE, error);
    if (sources == NULL) {
        spl_plan_state_clear(state);
        return FALSE;
    }
    spl_plan_narrow(state, sources);
    return TRUE;
}

/* What does not keep for long, and until when at the latest. */
static gboolean say_keeping(struct spl_house *house, const struct spl_planned *planned,
                            struct spl_day gather_by, GPtrArray *cautions, GError **error)
{
    const struct spl_preparation *preparation =
        spl_tables_preparation_by_slug(house->tables, planned->preparation);

    for (guint i = 0; i < planned->parts->len; i++) {
        const struct spl_keeping *keeping;
        struct spl_plan_want want;
        char made[SPL_DAY_TEXT_SIZE], until[SPL_DAY_TEXT_SIZE];
        struct spl_day ready = planned->by;

        if (!spl_plan_need(house, planned, i, &want, error))
            return FALSE;
        keeping =
            spl_tables_keeping_material(house->tables, NULL, preparation, want.material, want.dry);
        if (keeping == NULL || !spl_figure_is_set(keeping->pressed_days) ||
            keeping->pressed_days.value > SHORT_DAYS)
            continue;
        if (!spl_day_is_set(ready) && spl_day_is_set(gather_by))
            ready = spl_day_add(gather_by, want.steeping_days);
        if (!spl_day_is_set(ready)) {
            spl_caution_add(cautions, "%s of %s keeps some %.0f days: plan it for when it is used",
                            preparation->name, want.material->slug, keeping->pressed_days.value);
            continue;
        }
        spl_day_format(ready, made);
        spl_day_format(spl_keeping_use_by(ready, keeping->pressed_days.value, SPL_DAY_NONE), until);
        spl_caution_add(
            cautions, "%s of %s keeps some %.0f days: ready on %s, it is out of date on %s",
            preparation->name, want.material->slug, keeping->pressed_days.value, made, until);
    }
    return TRUE;
}

static gboolean add_planned(struct spl_house *house, struct spl_planned *planned,
                            GPtrArray *cautions, struct spl_plan_line *line, GError **error)
{
    struct spl_plan_state state = {0};
    struct spl_plan_line fresh = {0};
    gboolean ok, loaded;

    if (!spl_book_begin(house->book, error))
        return FALSE;
    /* Read back before the commit: a failure afterwards could not be told from one before. */
    loaded = name_is_free(house, planned, error) && spl_planned_add(house->book, planned, error) &&
             load_narrow(house, planned->season, &state, error);
    ok = loaded && line_of(&state, planned->name, &fresh) &&
         say_keeping(house, planned, fresh.gather_by, cautions, error);
    if (loaded)
        spl_plan_state_clear(&state);
    ok = spl_book_finish(house->book, ok, error);
    if (ok)
        *line = fresh;
    else
        spl_record_clear(&spl_plan_line_shape, &fresh);
    return ok;
}

gboolean spl_plan_add(struct spl_house *house, const struct spl_plan_words *said,
                      struct spl_plan_line *line, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    struct spl_plan_words words;
    struct spl_planned planned;
    gboolean ok;

    if (!spl_entry_take(house, &spl_plan_inputs, said, &words, error))
        return FALSE;
    ok = take_words(house, &words, &planned, error) && try_needs(house, &planned, told, error) &&
         add_planned(house, &planned, told, line, error);
    spl_planned_clear(&planned);
    spl_inputs_clear(&spl_plan_inputs, &words);
    if (ok)
        *cautions = g_steal_pointer(&told);
    return ok;
}

GArray *spl_plan_lines(struct spl_house *house, const struct spl_plan_question *question,
                       GError **error)
{
    struct spl_plan_state state;
    GArray *lines;

    if (!spl_entry_check(house, &spl_plan_question_inputs, question, error) ||
        !load_narrow(house, season_of(question->season), &state, error))
        return NULL;
    lines = g_steal_pointer(&state.lines);
    spl_plan_state_clear(&state);
    return lines;
}

/* The planned batch with this name; the nearest names are offered. */
static gboolean find_planned(const GArray *list, const char *name, char **uuid, GError **error)
{
    g_autofree char *key = NULL, *offer = NULL, *shown = NULL;
    g_autoptr(GPtrArray) names = g_ptr_array_new();

    shown = spl_text_scrub(name, FALSE);
    key = spl_name_key(shown);
    for (guint i = 0; i < list->len; i++) {
        const struct spl_planned *planned = &g_array_index(list, struct spl_planned, i);
        g_autofree char *other = spl_name_key(planned->name);

        g_ptr_array_add(names, planned->name);
        if (strcmp(key, other) == 0) {
            *uuid = g_strdup(planned->uuid);
            return TRUE;
        }
    }
    offer = spl_names_offer(shown, names);
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "name", "%.60s is not planned%s%s", shown,
                        offer, *offer == '\0' ? "; look at what is" : "");
    return FALSE;
}

static gboolean drop_planned(struct spl_house *house, const struct spl_plan_drop_words *words,
                             struct spl_plan_line *line, GError **error)
{
    const char *why = words->why != NULL ? words->why : "not wanted any more";
    struct spl_plan_state state;
    g_autofree char *uuid = NULL;
    gboolean ok;

    if (!spl_plan_state_load(house, season_of(words->season), &state, error))
        return FALSE;
    ok = find_planned(state.planned, words->name, &uuid, error) &&
         spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, spl_plan_strike(house->book, uuid, words->by, why, error),
                         error) &&
         line_of(&state, words->name, line);
    spl_plan_state_clear(&state);
    return ok;
}

gboolean spl_plan_drop(struct spl_house *house, const struct spl_plan_drop_words *said,
                       struct spl_plan_line *line, GError **error)
{
    struct spl_plan_drop_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_plan_drop_inputs, said, &words, error))
        return FALSE;
    ok = drop_planned(house, &words, line, error);
    spl_inputs_clear(&spl_plan_drop_inputs, &words);
    return ok;
}

/* ---- what runs short ----------------------------------------------------------------------- */

GArray *spl_plan_reckon_short(const struct spl_plan_state *state, const GArray *sources,
                              GPtrArray *materials, GError **error)
{
    g_autoptr(GArray) kinds = g_array_new(FALSE, FALSE, sizeof(struct spl_shortfall_material));
    g_autoptr(GArray) supply = g_array_new(FALSE, FALSE, sizeof(struct spl_shortfall_source));
    g_autoptr(GArray) needs = g_array_new(FALSE, FALSE, sizeof(struct spl_shortfall_need));

    for (guint w = 0; w < state->wants->len; w++) {
        const struct spl_plan_want *want = &g_array_index(state->wants, struct spl_plan_want, w);
        struct spl_shortfall_material kind = {.name = want->material->slug};
        struct spl_shortfall_need need = {.by = want->gather_by};
        guint m;

        if (!g_ptr_array_find(materials, want->material, &m)) {
            m = materials->len;
            g_ptr_array_add(materials, (gpointer)want->material);
            kind.fresh_per_dry = spl_figure_is_set(want->material->fresh_per_dry)
                                     ? want->material->fresh_per_dry.value
                                     : (double)NAN;
            g_array_append_val(kinds, kind);
        }
        /* The stock that was set aside for it is said with the need. */
        g_array_index(kinds, struct spl_shortfall_material, m).stock_g += want->stock_g;
        need.material = (int)m;
        need.fresh_g = want->remaining_g + want->stock_g;
        need.what_for = g_array_index(state->planned, struct spl_planned, want->planned).name;
        if (need.fresh_g > 0)
            g_array_append_val(needs, need);
    }
    for (guint s = 0; s < sources->len; s++) {
        const struct spl_plan_source *from = &g_array_index(sources, struct spl_plan_source, s);
        struct spl_shortfall_source source = {
            .site = from->site,
            .stand = from->stand,
            .allowance_g = from->left_g,
            .caution = from->small != NULL,
            .state = from->state,
            .earliest = from->open_from,
            .latest = from->open_to,
        };
        guint m;

        if (!g_ptr_array_find(materials, from->material, &m))
            continue;
        source.material = (int)m;
        g_array_append_val(supply, source);
    }
    return spl_shortfall_reckon(kinds, supply, needs, error);
}

GArray *spl_plan_shortfall(struct spl_house *house, const struct spl_plan_short_question *question,
                           GError **error)
{
    struct spl_plan_state state;
    g_autoptr(GArray) sources = NULL;
    g_autoptr(GArray) reckoned = NULL;
    g_autoptr(GPtrArray) materials = g_ptr_array_new();
    GArray *list = NULL;

    if (!spl_entry_check(house, &spl_plan_short_inputs, question, error) ||
        !spl_plan_state_load(house, season_of(question->season), &state, error))
        return NULL;
    sources = spl_plan_sources(house, &state, question->clear_only, error);
    if (sources != NULL)
        spl_plan_narrow(&state, sources);
    if (sources != NULL)
        reckoned = spl_plan_reckon_short(&state, sources, materials, error);
    if (reckoned != NULL) {
        list = spl_list_new(&spl_plan_shortage_shape);
        for (guint i = 0; i < reckoned->len; i++) {
            struct spl_shortfall *from = &g_array_index(reckoned, struct spl_shortfall, i);
            const struct spl_material *material =
                g_ptr_array_index(materials, (guint)from->material);
            struct spl_plan_shortage line = {
                .material = g_strdup(material->slug),
                .need_g = from->need_g,
                .stock_g = from->stock_g,
                .allowance_g = from->allowance_g,
                .short_g = from->short_g,
                .earliest = from->earliest,
                .latest = from->latest,
                .sites = g_ptr_array_ref(from->sites),
                .cause = g_strdup(from->cause),
                .cure = g_strdup(from->cure),
            };

            g_array_append_val(list, line);
        }
    }
    spl_plan_state_clear(&state);
    return list;
}
