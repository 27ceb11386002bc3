/* SPDX-License-Identifier: MIT
 *
 * Rows of preparations.csv, makings.csv, steps.csv, keeping.csv, jars.csv, presses.csv and
 * menstrua.csv. See table_cells.h.
 */

#include <string.h>

#include "core/tables_build.h"
#include "exchange/table_cells.h"
#include "simpling/error.h"

static gboolean preparation_figures(struct spl_table_row *row, struct spl_preparation *preparation,
                                    GError **error)
{
    return spl_table_row_figure(row, "ratio_fresh", SPL_TABLE_FIGURE("ratio_fresh", ""), 1, 0.1,
                                100, &preparation->ratio_fresh_ml_per_g, error) &&
           spl_table_row_figure(row, "ratio_dry", SPL_TABLE_FIGURE("ratio_dry", ""), 1, 0.1, 100,
                                &preparation->ratio_dry_ml_per_g, error) &&
           spl_table_row_figure(row, "strength", SPL_TABLE_FIGURE("strength", "_pct"), 0.01, 0, 100,
                                &preparation->strength_frac, error) &&
           spl_table_row_figure(row, "fill", SPL_TABLE_FIGURE("fill", "_pct"), 0.01, 1, 100,
                                &preparation->fill_frac, error) &&
           spl_table_row_figure(row, "headspace", SPL_TABLE_FIGURE("headspace", "_pct"), 0.01, 0,
                                50, &preparation->headspace_frac, error) &&
           spl_table_row_figure(row, "poured_floor", SPL_TABLE_FIGURE("poured_floor", "_pct"), 0.01,
                                0, 100, &preparation->poured_floor_frac, error) &&
           spl_table_row_figure(row, "final_floor", SPL_TABLE_FIGURE("final_floor", "_pct"), 0.01,
                                0, 100, &preparation->final_floor_frac, error) &&
           spl_table_row_figure(row, "final_caution", SPL_TABLE_FIGURE("final_caution", "_pct"),
                                0.01, 0, 100, &preparation->final_caution_frac, error) &&
           spl_table_row_figure(row, "honey", SPL_TABLE_FIGURE("honey", "_ml_per_ml"), 1, 0.1, 20,
                                &preparation->honey_ml_per_ml, error) &&
           spl_table_row_figure(row, "juice", SPL_TABLE_FIGURE("juice", "_ml_per_g"), 1, 0.05, 1,
                                &preparation->juice_ml_per_g, error) &&
           spl_table_row_figure(row, "sugar", SPL_TABLE_FIGURE("sugar", "_g_per_ml"), 1, 0.1, 3,
                                &preparation->sugar_g_per_ml, error);
}

gboolean spl_table_read_preparation(struct spl_tables *tables, struct spl_table_row *row,
                                    GError **error)
{
    struct spl_figure none = spl_figure_none();
    const char *slug = NULL;

    if (!spl_cell_slug(row, "preparation", &slug, error) || !spl_table_row_key(row, slug, error))
        return FALSE;
    const struct spl_preparation *old = spl_tables_preparation_by_slug(tables, slug);
    struct spl_preparation preparation = {.slug = slug,
                                          .ratio_fresh_ml_per_g = none,
                                          .ratio_dry_ml_per_g = none,
                                          .strength_frac = none,
                                          .fill_frac = none,
                                          .headspace_frac = none,
                                          .poured_floor_frac = none,
                                          .final_floor_frac = none,
                                          .final_caution_frac = none,
                                          .honey_ml_per_ml = none,
                                          .juice_ml_per_g = none,
                                          .sugar_g_per_ml = none};
    if (old != NULL)
        preparation = *old;
    else if (!spl_table_row_required(row, "liquid", &preparation.menstruum, error) ||
             !spl_table_row_required(row, "name", &preparation.name, error))
        return FALSE;
    preparation.menstruum = old != NULL ? old->menstruum : NULL;
    preparation.sources = spl_table_row_cell(row, "source");
    int liquid = (int)preparation.liquid;
    spl_table_row_text(row, "name", &preparation.name);
    spl_table_row_text(row, "menstruum", &preparation.menstruum);
    if (!spl_cell_choice(row, "liquid", spl_cell_liquid_name, SPL_LIQUIDS, &liquid, error) ||
        !spl_table_row_yes(row, "fresh", &preparation.takes_fresh, error) ||
        !spl_table_row_yes(row, "dried", &preparation.takes_dried, error) ||
        !spl_table_row_told(row, "storage", "storage", &preparation.storage, error) ||
        !spl_table_row_told(row, "cautions", "cautions", &preparation.cautions, error) ||
        !spl_table_row_told(row, "label", "label", &preparation.label, error) ||
        !spl_table_row_told(row, "lid", "lid", &preparation.lid, error) ||
        !spl_table_row_yes(row, "inside_only", &preparation.inside_only, error) ||
        !spl_table_row_yes(row, "outside_only", &preparation.outside_only, error) ||
        !spl_table_row_yes(row, "frozen", &preparation.frozen, error) ||
        !spl_table_row_yes(row, "cooks", &preparation.cooks, error) ||
        !preparation_figures(row, &preparation, error) || !spl_table_row_end(row, error))
        return FALSE;
    preparation.liquid = (enum spl_liquid)liquid;
    if (preparation.liquid != SPL_LIQUID_NONE &&
        ((preparation.takes_fresh && !spl_figure_is_set(preparation.ratio_fresh_ml_per_g)) ||
         (preparation.takes_dried && !spl_figure_is_set(preparation.ratio_dry_ml_per_g))))
        return spl_table_row_fail(row,
                                  preparation.takes_fresh &&
                                          !spl_figure_is_set(preparation.ratio_fresh_ml_per_g)
                                      ? "ratio_fresh"
                                      : "ratio_dry",
                                  error, "is empty, but the preparation takes such herb");
    spl_tables_put_preparation(tables, &preparation);
    return TRUE;
}

static const char *means_name(int i)
{
    static const char *const names[] = {"poured", "final"};

    return names[i];
}

/* A row that speaks of fresh and dried herb alike takes the place of what rows before it said of
 * the strength of each: a person's own row need not know how ours are told apart. */
static void speak_of_both(struct spl_tables *tables, const struct spl_making *making)
{
    GPtrArray *all = spl_tables_makings(tables);

    for (guint i = 0; i < all->len; i++) {
        struct spl_making old = *(const struct spl_making *)g_ptr_array_index(all, i);

        if (old.material != making->material || old.preparation != making->preparation ||
            old.drug_state == SPL_STATE_ANY)
            continue;
        old.strength_frac = spl_figure_none();
        spl_tables_put_making(tables, &old);
    }
}

gboolean spl_table_read_making(struct spl_tables *tables, struct spl_table_row *row, GError **error)
{
    struct spl_figure none = spl_figure_none();
    struct spl_making making = {.ratio_fresh_ml_per_g = none,
                                .ratio_dry_ml_per_g = none,
                                .strength_frac = none,
                                .fill_frac = none};
    const struct spl_material *material = NULL;
    const struct spl_preparation *preparation = NULL;
    const char *slug = NULL, *told = spl_table_row_cell(row, "strength_pct");
    enum spl_state state = SPL_STATE_ANY;
    int means = SPL_STRENGTH_POURED;

    if (!spl_table_row_required(row, "material", &slug, error) ||
        !spl_cell_material(tables, row, &material, error) ||
        !spl_cell_preparation(tables, row, &preparation, error) ||
        !spl_cell_state(row, "drug_state", &state, error))
        return FALSE;
    g_autofree char *key =
        g_strdup_printf("%s %s as %s", spl_cell_state_name((int)state), slug, preparation->slug);
    if (!spl_table_row_key(row, key, error))
        return FALSE;
    GPtrArray *all = spl_tables_makings(tables);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_making *old = g_ptr_array_index(all, i);
        if (old->material == material && old->preparation == preparation &&
            old->drug_state == state)
            making = *old;
    }
    making.drug_state = state;
    means = (int)making.strength_means;
    making.material = material;
    making.preparation = preparation;
    making.sources = spl_table_row_cell(row, "source");
    spl_table_row_text(row, "note", &making.note);
    if (!spl_cell_choice(row, "strength_means", means_name, 2, &means, error) ||
        !spl_table_row_figure(row, "ratio_fresh", SPL_TABLE_FIGURE("ratio_fresh", ""), 1, 0.1, 100,
                              &making.ratio_fresh_ml_per_g, error) ||
        !spl_table_row_figure(row, "ratio_dry", SPL_TABLE_FIGURE("ratio_dry", ""), 1, 0.1, 100,
                              &making.ratio_dry_ml_per_g, error) ||
        !spl_table_row_figure(row, "strength", SPL_TABLE_FIGURE("strength", "_pct"), 0.01, 0, 100,
                              &making.strength_frac, error) ||
        !spl_table_row_figure(row, "fill", SPL_TABLE_FIGURE("fill", "_pct"), 0.01, 1, 100,
                              &making.fill_frac, error) ||
        !spl_table_row_end(row, error))
        return FALSE;
    making.strength_means = (enum spl_strength_means)means;
    if (state == SPL_STATE_ANY && told[0] != '\0')
        speak_of_both(tables, &making);
    spl_tables_put_making(tables, &making);
    return TRUE;
}

gboolean spl_table_read_step_rule(struct spl_tables *tables, struct spl_table_row *row,
                                  GError **error)
{
    struct spl_step_rule rule = {.earliest_days = -1, .usual_days = -1, .latest_days = -1};
    const char *words = NULL, *step_text = NULL;
    int step = 0;

    if (!spl_cell_preparation(tables, row, &rule.preparation, error) ||
        !spl_cell_material(tables, row, &rule.material, error) ||
        !spl_cell_part(row, &rule.part, error) ||
        !spl_cell_state(row, "state", &rule.state, error) ||
        !spl_table_row_required(row, "step", &step_text, error) ||
        !spl_cell_choice(row, "step", spl_cell_step_name, SPL_STEPS, &step, error))
        return FALSE;
    rule.step = (enum spl_step)step;
    GPtrArray *all = spl_tables_step_rules(tables);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_step_rule *old = g_ptr_array_index(all, i);
        if (old->preparation == rule.preparation && old->material == rule.material &&
            old->part == rule.part && old->state == rule.state && old->step == rule.step)
            rule = *old;
    }
    if (rule.words == NULL && (!spl_table_row_required(row, "usual_days", &words, error) ||
                               !spl_table_row_required(row, "words", &words, error)))
        return FALSE;
    spl_table_row_text(row, "words", &rule.words);
    g_autofree char *key = g_strdup_printf(
        "%s %s %s %s of %s", spl_cell_state_name((int)rule.state), spl_part_name(rule.part),
        rule.preparation->slug, step_text, rule.material != NULL ? rule.material->slug : "any");
    if (!spl_table_row_key(row, key, error) ||
        !spl_table_row_days(row, "earliest_days", "days", SPL_TABLE_DAYS_MAX, &rule.earliest_days,
                            error) ||
        !spl_table_row_days(row, "usual_days", "days", SPL_TABLE_DAYS_MAX, &rule.usual_days,
                            error) ||
        !spl_table_row_days(row, "latest_days", "days", SPL_TABLE_DAYS_MAX, &rule.latest_days,
                            error) ||
        !spl_table_row_days(row, "repeat_days", "days", 366, &rule.repeat_days, error) ||
        !spl_table_row_yes(row, "alarm", &rule.alarm, error) ||
        ((rule.source == NULL || spl_table_row_cell(row, "usual_days")[0] != '\0') &&
         !spl_table_row_tag_or_own(row, "days", "usual_days", &rule.source, error)))
        return FALSE;
    if (rule.earliest_days < 0)
        rule.earliest_days = rule.usual_days;
    if (rule.latest_days < 0)
        rule.latest_days = rule.usual_days;
    if (rule.earliest_days > rule.usual_days || rule.usual_days > rule.latest_days)
        return spl_table_row_fail(row, "usual_days", error,
                                  "the days %d, %d, %d do not follow each other",
                                  rule.earliest_days, rule.usual_days, rule.latest_days);
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_step_rule(tables, &rule);
    return TRUE;
}

gboolean spl_table_read_keeping(struct spl_tables *tables, struct spl_table_row *row,
                                GError **error)
{
    struct spl_keeping keeping = {.custom = SPL_KEEPING_TABLE,
                                  .pressed_days = spl_figure_none(),
                                  .unpressed_days = spl_figure_none()};

    spl_table_row_text(row, "custom", &keeping.custom);
    if (!spl_cell_preparation(tables, row, &keeping.preparation, error) ||
        !spl_cell_material(tables, row, &keeping.material, error) ||
        !spl_cell_part(row, &keeping.part, error) ||
        !spl_cell_state(row, "state", &keeping.state, error))
        return FALSE;
    g_autofree char *key = g_strdup_printf(
        "%s: %s %s of %s as %s", keeping.custom, spl_cell_state_name((int)keeping.state),
        spl_part_name(keeping.part), keeping.material != NULL ? keeping.material->slug : "any",
        keeping.preparation->slug);
    if (!spl_table_row_key(row, key, error))
        return FALSE;
    GPtrArray *all = spl_tables_keepings(tables);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_keeping *old = g_ptr_array_index(all, i);
        if (strcmp(old->custom, keeping.custom) == 0 && old->preparation == keeping.preparation &&
            old->material == keeping.material && old->part == keeping.part &&
            old->state == keeping.state)
            keeping = *old;
    }
    keeping.sources = spl_table_row_cell(row, "source");
    spl_table_row_text(row, "storage", &keeping.storage);
    spl_table_row_text(row, "note", &keeping.note);
    if (!spl_table_row_yes(row, "from_start", &keeping.from_start, error) ||
        !spl_table_row_figure(row, "pressed", SPL_TABLE_FIGURE("pressed", "_days"), 1, 1,
                              SPL_TABLE_DAYS_MAX, &keeping.pressed_days, error) ||
        !spl_table_row_figure(row, "unpressed", SPL_TABLE_FIGURE("unpressed", "_days"), 1, 1,
                              SPL_TABLE_DAYS_MAX, &keeping.unpressed_days, error))
        return FALSE;
    if (!spl_figure_is_set(keeping.pressed_days))
        return spl_table_row_fail(row, "pressed_days", error, "is empty and must be given");
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_keeping(tables, &keeping);
    return TRUE;
}

gboolean spl_table_read_jar(struct spl_tables *tables, struct spl_table_row *row, GError **error)
{
    struct spl_figure nominal = spl_figure_none(), brimful = spl_figure_none();
    struct spl_jar jar = {.note = NULL};
    const char *cell = NULL;

    if (!spl_table_row_required(row, "nominal_ml", &cell, error) ||
        !spl_table_row_key(row, cell, error) ||
        !spl_table_row_required(row, "brimful_ml", &cell, error) ||
        !spl_table_row_figure(row, "brimful", SPL_TABLE_FIGURE("nominal", "_ml"), 1, 1, 100000,
                              &nominal, error) ||
        !spl_table_row_figure(row, "brimful", SPL_TABLE_FIGURE("brimful", "_ml"), 1, 1, 200000,
                              &brimful, error))
        return FALSE;
    if (brimful.value < nominal.value)
        return spl_table_row_fail(row, "brimful_ml", error,
                                  "%g mL to the brim is less than the %g mL that it is called",
                                  brimful.value, nominal.value);
    jar.nominal_ml = nominal.value;
    jar.brimful_ml = brimful.value;
    jar.source = brimful.source;
    spl_table_row_text(row, "note", &jar.note);
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_jar(tables, &jar);
    return TRUE;
}

gboolean spl_table_read_press(struct spl_tables *tables, struct spl_table_row *row, GError **error)
{
    struct spl_press press = {.retained_fresh_ml_per_g = spl_figure_none(),
                              .retained_dry_ml_per_g = spl_figure_none()};

    if (!spl_cell_slug(row, "press", &press.slug, error) ||
        !spl_table_row_key(row, press.slug, error))
        return FALSE;
    GPtrArray *all = spl_tables_presses(tables);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_press *old = g_ptr_array_index(all, i);
        if (strcmp(old->slug, press.slug) == 0)
            press = *old;
    }
    press.sources = spl_table_row_cell(row, "source");
    spl_table_row_text(row, "name", &press.name);
    if (press.name[0] == '\0')
        press.name = press.slug;
    if (!spl_table_row_figure(row, "fresh", SPL_TABLE_FIGURE("retained_fresh", "_ml_per_g"), 1, 0,
                              5, &press.retained_fresh_ml_per_g, error) ||
        !spl_table_row_figure(row, "dry", SPL_TABLE_FIGURE("retained_dry", "_ml_per_g"), 1, 0, 10,
                              &press.retained_dry_ml_per_g, error))
        return FALSE;
    if (!spl_figure_is_set(press.retained_fresh_ml_per_g))
        return spl_table_row_fail(row, "retained_fresh_ml_per_g", error,
                                  "is empty and must be given");
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_press(tables, &press);
    return TRUE;
}

static const char *meaning_name(int i)
{
    static const char *const names[] = {"denatured", "home-made", "bought"};

    return names[i];
}

gboolean spl_table_read_menstruum_word(struct spl_tables *tables, struct spl_table_row *row,
                                       GError **error)
{
    struct spl_menstruum_word word = {.word = NULL};
    int meaning = 0;
    const char *cell = NULL;

    if (!spl_table_row_required(row, "word", &word.word, error) ||
        !spl_table_row_key(row, word.word, error) ||
        !spl_table_row_required(row, "language", &word.language, error) ||
        !spl_table_row_required(row, "meaning", &cell, error) ||
        !spl_cell_choice(row, "meaning", meaning_name, SPL_MENSTRUUM_MEANINGS, &meaning, error) ||
        !spl_table_row_tag_or_own(row, "meaning", "meaning", &word.source, error) ||
        !spl_table_row_end(row, error))
        return FALSE;
    word.meaning = (enum spl_menstruum_meaning)meaning;
    spl_tables_put_menstruum_word(tables, &word);
    return TRUE;
}
