/* SPDX-License-Identifier: MIT
 *
 * Recipes of one's own. See simpling/recipe.h and season/recipe.h.
 */
#include "season/recipe.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/batch.h"
#include "book/code.h"
#include "book/recipe.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input keep_rows[] = {
    SPL_INPUT(spl_recipe_words, code, CODE, "code", "the batch that it was", .needed = 1,
              .words = "B"),
    SPL_INPUT(spl_recipe_words, name, NAME, "name", "what it is called", .needed = 1),
    SPL_INPUT(spl_recipe_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_recipe_words, by, NAME, "by", "who keeps it", .value = "WHO", .setting = "who"),
};

/* No name that would mean something else where a batch is started. */
static gboolean check_name(const void *record, GError **error)
{
    const char *name = ((const struct spl_recipe_words *)record)->name;

    if (!spl_code_is_shaped(name) && g_ascii_strcasecmp(name, SPL_RECIPE_LAST) != 0 &&
        g_ascii_strcasecmp(name, SPL_RECIPE_NONE) != 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "name",
                        "'%.60s' would be taken for something else (a code, or the words %s and "
                        "%s); call the recipe otherwise",
                        name, SPL_RECIPE_LAST, SPL_RECIPE_NONE);
    return FALSE;
}

const struct spl_inputs spl_recipe_inputs =
    SPL_INPUTS("recipe", spl_recipe_words, keep_rows, .check = check_name);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_recipe_question, preparation, PREPARATION, "preparation", "for this one"),
    SPL_INPUT(spl_recipe_question, material, MATERIAL, "material", "of this herb"),
};
const struct spl_inputs spl_recipe_question_inputs =
    SPL_INPUTS("recipe_question", spl_recipe_question, question_rows);

static const struct spl_input drop_rows[] = {
    SPL_INPUT(spl_recipe_drop_words, name, NAME, "name", "the recipe", .needed = 1),
    SPL_INPUT(spl_recipe_drop_words, why, TEXT, "why", "the reason"),
    SPL_INPUT(spl_recipe_drop_words, by, NAME, "by", "who decided", .value = "WHO",
              .setting = "who"),
};
const struct spl_inputs spl_recipe_drop_inputs =
    SPL_INPUTS("recipe_drop", spl_recipe_drop_words, drop_rows);

/* ---- from a batch -------------------------------------------------------------------------- */

static int compare_texts(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The slugs in order of the alphabet, so that the same herbs are the same text. */
static char *in_order(const char *materials)
{
    g_auto(GStrv) slugs = g_strsplit(materials, ", ", -1);

    qsort(slugs, g_strv_length(slugs), sizeof *slugs, compare_texts);
    return g_strjoinv(", ", slugs);
}

/* Its liquids: the words of the first, vinegar's strength, honey to vinegar. */
static void read_liquids(const struct spl_brew *brew, struct spl_recipe *recipe)
{
    gboolean oxymel = brew->liquid == SPL_LIQUID_OXYMEL;
    double honey_ml = 0.0, other_ml = 0.0;

    recipe->strength_pct =
        (brew->liquid == SPL_LIQUID_SYRUP ? brew->sugar_frac : brew->sum.poured_frac) * 100.0;
    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge =
            &g_array_index(brew->charges, struct spl_charge_row, i);

        if (charge->kind != SPL_CHARGE_LIQUID || !(charge->blend.ml > 0.0)) /* or wax, by weight */
            continue;
        if (oxymel && isnan(charge->strength_frac)) {
            honey_ml += charge->blend.ml;
            continue;
        }
        other_ml += charge->blend.ml;
        if (oxymel)
            recipe->strength_pct = charge->strength_frac * 100.0;
        if (recipe->menstruum == NULL)
            recipe->menstruum = g_strdup(charge->words);
        else if (g_strcmp0(recipe->menstruum, charge->words) != 0 && !oxymel)
            g_clear_pointer(&recipe->menstruum, g_free); /* two: the strength of both tells more */
    }
    if (oxymel && honey_ml > 0.0 && other_ml > 0.0)
        recipe->honey_ml_per_ml = honey_ml / other_ml;
}

static gboolean of_batch(struct spl_house *house, struct spl_brew *brew, struct spl_recipe *recipe,
                         GError **error)
{
    g_autofree char *materials = NULL;

    for (guint i = 0; i < brew->charges->len; i++) {
        const struct spl_charge_row *charge =
            &g_array_index(brew->charges, struct spl_charge_row, i);

        if (charge->kind == SPL_CHARGE_HERB || charge->kind == SPL_CHARGE_LIQUID)
            continue;
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s went into it, which no other batch will have; keep the recipe of a "
                    "batch of herb and liquid alone",
                    brew->row.code, charge->code);
        return FALSE;
    }
    if (brew->row.struck != NULL || !(brew->sum.herb_g > 0.0)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s; keep the recipe of another batch",
                    brew->row.code, brew->row.struck != NULL ? "is struck" : "has no herb in it");
        return FALSE;
    }
    materials = spl_brew_materials(house, brew, error);
    if (materials == NULL)
        return FALSE;
    recipe->batch_id = brew->row.id;
    recipe->code = g_strdup(brew->row.code);
    recipe->preparation = g_strdup(brew->row.preparation);
    recipe->materials = in_order(materials);
    recipe->dry = brew->dried;
    recipe->ratio = brew->sum.ratio;
    recipe->honey_ml_per_ml = NAN;
    read_liquids(brew, recipe);
    recipe->jar_ml = brew->row.jar_ml;
    recipe->jars = brew->row.jars;
    if (spl_day_is_set(brew->row.pressed))
        recipe->days = spl_day_diff(brew->row.pressed, brew->row.day);
    return TRUE;
}

static gboolean keep(struct spl_house *house, const struct spl_recipe_words *words,
                     struct spl_recipe *recipe, GPtrArray *cautions, GError **error)
{
    struct spl_recipe before = {0};
    GError *failed = NULL;
    struct spl_brew brew;
    gboolean ok;

    if (!spl_brew_load(house, words->code, &brew, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = of_batch(house, &brew, recipe, error);
    if (ok && brew.row.hold != NULL)
        spl_caution_add(cautions,
                        "%s was made against a keeping rule (%s): it is judged again "
                        "each time",
                        brew.row.code, brew.row.hold);
    if (ok && recipe->days == 0)
        spl_caution_add(cautions,
                        "%s still stands: its days are not known yet; keep it again when it is "
                        "pressed",
                        brew.row.code);
    spl_brew_clear(&brew);
    if (!ok)
        return FALSE;
    recipe->name = g_strdup(words->name);
    recipe->day = words->on;
    recipe->by = g_strdup(words->by);
    if (spl_recipe_named(house->book, words->name, &before, &failed)) {
        spl_caution_add(cautions, "it takes the place of the recipe '%s' of %s", before.name,
                        before.code);
        spl_record_clear(&spl_recipe_shape, &before);
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return spl_recipe_add(house->book, recipe, error);
}

gboolean spl_recipe_keep(struct spl_house *house, const struct spl_recipe_words *said,
                         struct spl_recipe *recipe, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    struct spl_recipe_words words;
    struct spl_recipe made = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_recipe_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, keep(house, &words, &made, told, error), error);
    if (ok) {
        *recipe = made;
        *cautions = g_steal_pointer(&told);
    } else {
        spl_record_clear(&spl_recipe_shape, &made);
    }
    spl_inputs_clear(&spl_recipe_inputs, &words);
    return ok;
}

static gboolean is_asked_for(const struct spl_recipe *recipe,
                             const struct spl_recipe_question *question)
{
    g_auto(GStrv) materials = g_strsplit(recipe->materials, ", ", -1);

    return (question->preparation == NULL ||
            strcmp(recipe->preparation, question->preparation) == 0) &&
           (question->material == NULL ||
            g_strv_contains((const char *const *)materials, question->material));
}

GArray *spl_recipe_lines(struct spl_house *house, const struct spl_recipe_question *said,
                         GError **error)
{
    struct spl_recipe_question question;
    GArray *list;

    if (!spl_entry_take(house, &spl_recipe_question_inputs, said, &question, error))
        return NULL;
    list = spl_recipe_list(house->book, error);
    for (guint i = list != NULL ? list->len : 0; i > 0; i--) {
        struct spl_recipe *recipe = &g_array_index(list, struct spl_recipe, i - 1);

        if (!is_asked_for(recipe, &question)) {
            spl_record_clear(&spl_recipe_shape, recipe);
            g_array_remove_index(list, i - 1);
        }
    }
    spl_inputs_clear(&spl_recipe_question_inputs, &question);
    return list;
}

/* ---- by name ------------------------------------------------------------------------------- */

static gboolean by_name(struct spl_house *house, const char *key, const char *name,
                        struct spl_recipe *recipe, GError **error)
{
    g_autoptr(GPtrArray) names = NULL;
    g_autofree char *offer = NULL;
    GError *failed = NULL;
    GArray *list;

    if (spl_recipe_named(house->book, name, recipe, &failed))
        return TRUE;
    list = failed == NULL ? spl_recipe_list(house->book, &failed) : NULL;
    if (list == NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    names = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < list->len; i++)
        g_ptr_array_add(names, g_strdup(g_array_index(list, struct spl_recipe, i).name));
    spl_list_free(&spl_recipe_shape, list);
    offer = spl_names_offer(name, names);
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, key, "no recipe is called %.60s%s%s", name,
                        offer, *offer == '\0' ? "; look at which are kept" : "");
    return FALSE;
}

gboolean spl_recipe_drop(struct spl_house *house, const struct spl_recipe_drop_words *said,
                         struct spl_recipe *recipe, GError **error)
{
    struct spl_recipe_drop_words words;
    struct spl_recipe dropped = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_recipe_drop_inputs, said, &words, error))
        return FALSE;
    ok = by_name(house, "name", words.name, &dropped, error) &&
         spl_book_begin(house->book, error) &&
         spl_book_finish(house->book,
                         spl_recipe_strike(house->book, words.name, words.by,
                                           words.why != NULL ? words.why : "not wanted any more",
                                           error),
                         error);
    if (ok)
        *recipe = dropped;
    else
        spl_record_clear(&spl_recipe_shape, &dropped);
    spl_inputs_clear(&spl_recipe_drop_inputs, &words);
    return ok;
}

/* ---- which one ----------------------------------------------------------------------------- */

static gboolean last_one(struct spl_house *house, const struct spl_recipe_ask *ask,
                         struct spl_recipe *recipe, GError **error)
{
    struct spl_recipe made = {.day = SPL_DAY_NONE};
    GError *failed = NULL;
    struct spl_batch_row row;
    struct spl_brew brew;
    gboolean ok;

    if (ask->materials == NULL || strchr(ask->materials, ',') != NULL) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "as",
                            "'last' serves one herb; keep a batch of several as a recipe and say "
                            "its name");
        return FALSE;
    }
    if (!spl_batch_last(house->book, ask->preparation, ask->materials, ask->but, &row, &failed)) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        else
            spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "as",
                                "no %s of %s was made before; say a recipe's name, or leave it out",
                                ask->preparation, ask->materials);
        return FALSE;
    }
    if (!spl_brew_load_row(house, &row, &brew, error))
        return FALSE;
    ok = of_batch(house, &brew, &made, error);
    spl_brew_clear(&brew);
    if (ok)
        *recipe = made;
    else
        spl_record_clear(&spl_recipe_shape, &made);
    return ok;
}

static gboolean fits(const struct spl_recipe_ask *ask, const struct spl_recipe *recipe,
                     GError **error)
{
    const char *what = recipe->name != NULL ? recipe->name : recipe->code;

    if (strcmp(recipe->preparation, ask->preparation) != 0) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "as",
                            "'%s' is a recipe for %s, not for %s; say another", what,
                            recipe->preparation, ask->preparation);
        return FALSE;
    }
    if (ask->materials != NULL && recipe->dry != ask->dry) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "as",
                            "'%s' is a recipe for %s herb, and this is %s; say another", what,
                            recipe->dry ? "dried" : "fresh", ask->dry ? "dried" : "fresh");
        return FALSE;
    }
    return TRUE;
}

gboolean spl_recipe_choose(struct spl_house *house, const struct spl_recipe_ask *ask,
                           struct spl_recipe *recipe, GError **error)
{
    g_autofree char *materials = ask->materials != NULL ? in_order(ask->materials) : NULL;
    struct spl_recipe found;

    if (house->book == NULL ||
        (ask->as != NULL && g_ascii_strcasecmp(ask->as, SPL_RECIPE_NONE) == 0))
        return FALSE;
    if (ask->as == NULL) {
        if (materials == NULL)
            return FALSE;
        return spl_recipe_usual(house->book, ask->preparation, materials, ask->dry, recipe, error);
    }
    if (g_ascii_strcasecmp(ask->as, SPL_RECIPE_LAST) == 0
            ? !last_one(house, ask, &found, error)
            : !by_name(house, "as", ask->as, &found, error))
        return FALSE;
    if (!fits(ask, &found, error)) {
        spl_record_clear(&spl_recipe_shape, &found);
        return FALSE;
    }
    *recipe = found;
    return TRUE;
}

double spl_recipe_strength(const struct spl_recipe *recipe)
{
    return recipe->strength_pct / 100.0;
}

char *spl_recipe_words(const struct spl_recipe *recipe, const struct spl_recipe_ask *ask)
{
    g_autofree char *materials = in_order(ask->materials);
    GString *words = g_string_new(NULL);

    if (recipe->name != NULL)
        g_string_append_printf(words, "by your recipe '%s' (%s)", recipe->name, recipe->code);
    else
        g_string_append_printf(words, "as %s was made", recipe->code);
    if (strcmp(materials, recipe->materials) != 0)
        g_string_append_printf(words, ", which is of %s", recipe->materials);
    if (!isnan(recipe->ratio))
        g_string_append_printf(words, ": 1:%.3g", recipe->ratio);
    if (recipe->menstruum != NULL)
        g_string_append_printf(words, ", %s", recipe->menstruum);
    else if (!isnan(recipe->strength_pct))
        g_string_append_printf(words, ", %.4g %%", recipe->strength_pct);
    if (!isnan(recipe->honey_ml_per_ml))
        g_string_append_printf(words, ", honey %.3g : 1", recipe->honey_ml_per_ml);
    if (recipe->days > 0)
        g_string_append_printf(words, ", %d days", recipe->days);
    g_string_append(words, "; what was said otherwise goes before it");
    if (ask->as == NULL)
        g_string_append(words, ", and the word none in place of its name leaves it aside");
    return g_string_free(words, FALSE);
}
