/* SPDX-License-Identifier: MIT
 *
 * Rows of plants.csv, materials.csv and protected.csv. See table_cells.h.
 */

#include <string.h>

#include "core/tables_build.h"
#include "exchange/table_cells.h"
#include "simpling/error.h"

/* A day as a number, 20261130, that a spreadsheet leaves as it is; an empty cell leaves `*day`. */
static gboolean day_cell(struct spl_table_row *row, const char *column, struct spl_day *day,
                         GError **error)
{
    int number = 0;
    struct spl_day read;

    if (!spl_csv_count(row->csv, spl_csv_column(row->csv, column), 0, 99991231, &number, error))
        return FALSE;
    if (number == 0)
        return TRUE;
    read = spl_day_from_ymd(number / 10000, number / 100 % 100, number % 100);
    if (!spl_day_is_set(read))
        return spl_table_row_fail(row, column, error, "is no day; write it as 20261130");
    *day = read;
    return TRUE;
}

gboolean spl_table_read_plant(struct spl_tables *tables, struct spl_table_row *row, GError **error)
{
    const char *slug = NULL;

    if (!spl_cell_slug(row, "plant", &slug, error) || !spl_table_row_key(row, slug, error))
        return FALSE;
    const struct spl_plant *old = spl_tables_plant_by_slug(tables, slug);
    struct spl_plant plant =
        old != NULL ? *old : (struct spl_plant){.slug = slug, .gated_since = SPL_DAY_NONE};
    int habit = (int)plant.habit;
    if (old == NULL && (!spl_table_row_required(row, "latin", &plant.latin, error) ||
                        !spl_table_row_required(row, "common", &plant.common, error) ||
                        !spl_table_row_required(row, "habit", &plant.sources, error)))
        return FALSE;
    plant.sources = spl_table_row_cell(row, "source");
    spl_table_row_text(row, "latin", &plant.latin);
    spl_table_row_text(row, "common", &plant.common);
    spl_table_row_text(row, "family", &plant.family);
    spl_table_row_text(row, "namesake", &plant.namesake);
    spl_table_row_text(row, "country", &plant.country);
    spl_cell_names(tables, row, "other", &plant.names);
    if (!spl_cell_choice(row, "habit", spl_cell_habit_name, 6, &habit, error) ||
        !spl_table_row_yes(row, "water_plant", &plant.water_plant, error) ||
        !spl_table_row_yes(row, "deadly_lookalike", &plant.deadly_lookalike, error) ||
        !day_cell(row, "gated_since", &plant.gated_since, error) ||
        !spl_table_row_told(row, "lookalikes", "lookalikes", &plant.lookalikes, error) ||
        !spl_table_row_told(row, "picking", "picking", &plant.picking, error) ||
        !spl_table_row_told(row, "pregnancy", "pregnancy", &plant.pregnancy, error) ||
        !spl_table_row_told(row, "children", "children", &plant.children, error) ||
        !spl_table_row_told(row, "contraindications", "contraindications", &plant.contraindications,
                            error) ||
        !spl_table_row_told(row, "not_with", "not_with", &plant.not_with, error) ||
        !spl_table_row_told(row, "cautions", "cautions", &plant.cautions, error) ||
        !spl_table_row_told(row, "status", "status", &plant.status, error))
        return FALSE;
    plant.habit = (enum spl_habit)habit;
    if (plant.deadly_lookalike && plant.lookalikes[0] == '\0')
        return spl_table_row_fail(row, "lookalikes", error,
                                  "is empty though the plant has a deadly look-alike; name it and "
                                  "the signs that tell it");
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_plant(tables, &plant);
    return TRUE;
}

static gboolean stage_cells(struct spl_table_row *row, struct spl_material *material,
                            GError **error)
{
    static const char *const columns[] = {"stage_from", "stage_to"};
    int *codes[] = {&material->stage_from, &material->stage_to};
    gboolean given[] = {FALSE, FALSE};

    for (gsize i = 0; i < 2; i++) {
        const char *cell = spl_table_row_cell(row, columns[i]);
        g_autoptr(GError) problem = NULL;
        given[i] = cell[0] != '\0';
        if (given[i] && !spl_stage_parse(cell, "the stage", codes[i], &problem))
            return spl_table_row_fail(row, columns[i], error, "%s", problem->message);
    }
    if (given[0] != given[1])
        return spl_table_row_fail(row, columns[given[0] ? 1 : 0], error,
                                  "is empty, but the other end of the stages is given");
    if (!given[0])
        return TRUE;
    material->stages.low = material->stage_from;
    material->stages.high = material->stage_to;
    material->stages.value = material->stage_from;
    return spl_table_row_tag_or_own(row, "stages", "stage_from", &material->stages.source, error);
}

static gboolean material_figures(struct spl_table_row *row, struct spl_material *material,
                                 GError **error)
{
    return spl_table_row_figure(row, "moisture", SPL_TABLE_FIGURE("moisture", "_pct"), 0.01, 1,
                                99.9, &material->moisture_frac, error) &&
           spl_table_row_figure(row, "trim", SPL_TABLE_FIGURE("trim", "_pct"), 0.01, 0, 95,
                                &material->trim_frac, error) &&
           spl_table_row_figure(row, "bulk", SPL_TABLE_FIGURE("bulk", "_g_per_ml"), 1, 0.01, 1.5,
                                &material->bulk_g_per_ml, error) &&
           spl_table_row_figure(row, "volume", SPL_TABLE_FIGURE("volume", "_ml_per_g"), 1, 0.5, 2,
                                &material->volume_ml_per_g, error) &&
           spl_table_row_figure(row, "piece", SPL_TABLE_FIGURE("piece", "_g"), 1, 0.001, 5000,
                                &material->piece_g, error) &&
           spl_table_row_figure(row, "picking", SPL_TABLE_FIGURE("picking", "_g_per_h"), 1, 1,
                                50000, &material->picking_g_per_h, error) &&
           spl_table_row_figure(row, "share", SPL_TABLE_FIGURE("share", "_pct"), 0.01, 0, 100,
                                &material->share_frac, error) &&
           spl_table_row_figure(row, "return", SPL_TABLE_FIGURE("return", "_years"), 1, 1, 100,
                                &material->return_years, error) &&
           spl_table_row_figure(row, "dried", SPL_TABLE_FIGURE("fresh_per_dry", ""), 1, 1, 30,
                                &material->fresh_per_dry, error) &&
           stage_cells(row, material, error);
}

static struct spl_material material_none(void)
{
    struct spl_figure none = spl_figure_none();

    return (struct spl_material){.moisture_frac = none,
                                 .trim_frac = none,
                                 .bulk_g_per_ml = none,
                                 .volume_ml_per_g = none,
                                 .piece_g = none,
                                 .picking_g_per_h = none,
                                 .share_frac = none,
                                 .return_years = none,
                                 .fresh_per_dry = none,
                                 .stages = none,
                                 .stage_from = SPL_STAGE_NONE,
                                 .stage_to = SPL_STAGE_NONE};
}

/* A rule that keeps from harm: a row that sets it, or lifts what another row set, names its source.
 * No other way lifts it. */
static gboolean told_yes(struct spl_table_row *row, const char *column, const char *tag,
                         gboolean *yes, GError **error)
{
    gboolean before = *yes;
    const char *source;

    return spl_table_row_yes(row, column, yes, error) &&
           (*spl_table_row_cell(row, column) == '\0' || (!before && !*yes) ||
            spl_table_row_tag(row, tag, column, &source, error));
}

gboolean spl_table_read_material(struct spl_tables *tables, struct spl_table_row *row,
                                 GError **error)
{
    const char *plant_slug = NULL, *part_text = NULL;
    enum spl_part part = SPL_PART_ANY;

    if (!spl_table_row_required(row, "plant", &plant_slug, error) ||
        !spl_table_row_required(row, "part", &part_text, error) ||
        !spl_cell_part(row, &part, error))
        return FALSE;
    const struct spl_plant *plant = spl_tables_plant_by_slug(tables, plant_slug);
    if (!spl_cell_refer(row, "plant", plant, "plants.csv", error))
        return FALSE;
    if (part == SPL_PART_ANY)
        return spl_table_row_fail(row, "part", error, "a material is one part of a plant");
    g_autofree char *slug = g_strdup_printf("%s/%s", plant_slug, spl_part_name(part));
    if (!spl_table_row_key(row, slug, error))
        return FALSE;
    const struct spl_material *old = spl_tables_material_by_slug(tables, slug);
    struct spl_material material = old != NULL ? *old : material_none();
    material.plant = plant;
    material.part = part;
    material.sources = spl_table_row_cell(row, "source");
    spl_table_row_text(row, "spoken", &material.spoken);
    spl_table_row_text(row, "pharmacy", &material.pharmacy);
    spl_table_row_text(row, "piece", &material.piece);
    spl_cell_names(tables, row, "other", &material.names);
    g_autofree char *usual = g_strdup_printf("%s %s", plant->common, spl_part_name(part));
    if (material.spoken[0] == '\0')
        material.spoken = usual;
    if (!told_yes(row, "outside_only", "outside", &material.outside_only, error) ||
        !told_yes(row, "must_cook", "cook", &material.must_cook, error) ||
        !spl_table_row_yes(row, "fresh_oil", &material.fresh_oil, error) ||
        !spl_table_row_told(row, "picking_words", "picking_words", &material.picking, error) ||
        !spl_table_row_told(row, "cautions", "cautions", &material.cautions, error) ||
        !material_figures(row, &material, error))
        return FALSE;
    if (!spl_figure_is_set(material.moisture_frac))
        return spl_table_row_fail(row, "moisture_pct", error,
                                  "is empty; every reckoning needs the water of the fresh plant");
    if (!spl_figure_is_set(material.share_frac))
        return spl_table_row_fail(row, "share_pct", error,
                                  "is empty; say what share of a stand may be taken");
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_material(tables, &material);
    return TRUE;
}

/* GB or US-VT. */
static gboolean country_is_sane(const char *country)
{
    gsize country_size = strspn(country, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
    const char *part = country + country_size;
    gsize part_size;

    if (country_size != 2 || *part == '\0')
        return country_size == 2;
    part_size = strspn(part + 1, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789");
    return *part == '-' && part_size >= 1 && part_size <= 3 && part[1 + part_size] == '\0';
}

gboolean spl_table_read_protected(struct spl_tables *tables, struct spl_table_row *row,
                                  GError **error)
{
    struct spl_protected rule = {.country = NULL};
    const char *cell = NULL;
    int choice = 0;

    if (!spl_table_row_required(row, "country", &rule.country, error) ||
        !spl_table_row_required(row, "latin", &rule.latin, error) ||
        !spl_table_row_required(row, "rule", &cell, error) ||
        !spl_cell_choice(row, "rule", spl_cell_protection_name, 3, &choice, error) ||
        !spl_table_row_required(row, "words", &rule.words, error) ||
        !spl_cell_part(row, &rule.part, error) ||
        !spl_table_row_tag_or_own(row, "rule", "rule", &rule.source, error))
        return FALSE;
    if (!country_is_sane(rule.country))
        return spl_table_row_fail(row, "country", error,
                                  "'%s' is no ISO 3166 code such as GB or US-VT", rule.country);
    rule.rule = (enum spl_protection)choice;
    g_autofree char *key =
        g_strdup_printf("%s: %s, %s", rule.country, rule.latin, spl_part_name(rule.part));
    if (!spl_table_row_key(row, key, error) || !spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_protected(tables, &rule);
    return TRUE;
}
