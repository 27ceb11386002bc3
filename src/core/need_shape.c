/* SPDX-License-Identifier: MIT
 *
 * How the answer of what a batch needs is shown. See need.h.
 */
#include "core/need.h"

static const struct spl_field step_fields[] = {
    SPL_FIELD(spl_need_step, label, SPL_TEXT, "label", "what"),
    SPL_FIELD(spl_need_step, how, SPL_TEXT, "how", "how"),
    SPL_FIELD_NUM(spl_need_step, figure, 4, "figure", "figure"),
    SPL_FIELD(spl_need_step, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD(spl_need_step, source, SPL_TEXT, "source", "source"),
};
const struct spl_shape spl_need_step_shape = SPL_SHAPE("need_step", spl_need_step, step_fields);

static const struct spl_field jar_fields[] = {
    SPL_FIELD_NUM(spl_need_jar, ml, 0, "ml", "jar mL"),
    SPL_FIELD_NUM(spl_need_jar, herb_g, 1, "herb_g", "herb g"),
    SPL_FIELD_NUM(spl_need_jar, menstruum_ml, 1, "menstruum_ml", "liquid mL"),
};
const struct spl_shape spl_need_jar_shape = SPL_SHAPE("need_jar", spl_need_jar, jar_fields);

static const struct spl_field spirit_fields[] = {
    SPL_FIELD_NUM(spl_need_spirit, abv, 1, "abv", "spirit % vol"),
    SPL_FIELD_NUM(spl_need_spirit, spirit_ml, 1, "spirit_ml", "of it mL"),
    SPL_FIELD_NUM(spl_need_spirit, water_ml, 1, "water_ml", "water mL"),
    SPL_FIELD_NUM(spl_need_spirit, final_abv, 1, "final_abv", "ends at % vol"),
};
const struct spl_shape spl_need_spirit_shape =
    SPL_SHAPE("need_spirit", spl_need_spirit, spirit_fields);

static const struct spl_field result_fields[] = {
    SPL_FIELD(spl_need_result, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_need_result, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD_NUM(spl_need_result, ratio, 2, "ratio", "1:"),
    SPL_FIELD_NUM(spl_need_result, herb_g, 1, "herb_g", "herb g"),
    SPL_FIELD_NUM(spl_need_result, gross_g, 1, "gross_g", "to pick g"),
    SPL_FIELD_NUM(spl_need_result, pieces, 0, "pieces", "pieces"),
    SPL_FIELD_NUM(spl_need_result, picking_hours, 2, "picking_hours", "hours"),
    SPL_FIELD_NUM(spl_need_result, menstruum_ml, 1, "menstruum_ml", "liquid mL"),
    SPL_FIELD_NUM(spl_need_result, menstruum_abv, 1, "menstruum_abv", "% vol"),
    SPL_FIELD_LIST(spl_need_result, jars, &spl_need_jar_shape, "jars", NULL),
    SPL_FIELD_NUM(spl_need_result, yield_ml, 1, "yield_ml", "yield mL"),
    SPL_FIELD_NUM(spl_need_result, final_abv, 1, "final_abv", "final % vol"),
    SPL_FIELD_NUM(spl_need_result, final_acid, 2, "final_acid", "final acid %"),
    SPL_FIELD_NUM(spl_need_result, yield_low_ml, 1, "yield_low_ml", "at least mL"),
    SPL_FIELD_NUM(spl_need_result, yield_high_ml, 1, "yield_high_ml", "at most mL"),
    SPL_FIELD(spl_need_result, cautions, SPL_TEXTS, "cautions", NULL),
    SPL_FIELD(spl_need_result, warnings, SPL_TEXTS, "warnings", NULL),
    SPL_FIELD(spl_need_result, ratio_meaning, SPL_TEXT, "ratio_meaning", NULL),
    SPL_FIELD_NUM(spl_need_result, ratio_asked, 2, "ratio_asked", NULL),
    SPL_FIELD_NUM(spl_need_result, ratio_mass, 2, "ratio_mass", NULL),
    SPL_FIELD_NUM(spl_need_result, ratio_finished, 2, "ratio_finished", NULL),
    SPL_FIELD_NUM(spl_need_result, ratio_dry, 1, "ratio_dry", NULL),
    SPL_FIELD_NUM(spl_need_result, gross_low_g, 1, "gross_low_g", NULL),
    SPL_FIELD_NUM(spl_need_result, gross_high_g, 1, "gross_high_g", NULL),
    SPL_FIELD_NUM(spl_need_result, menstruum_pct, 1, "menstruum_strength", NULL),
    SPL_FIELD_NUM(spl_need_result, top_up_ml, 1, "top_up_ml", NULL),
    SPL_FIELD_NUM(spl_need_result, sugar_g, 1, "sugar_g", NULL),
    SPL_FIELD_NUM(spl_need_result, wax_g, 1, "wax_g", NULL),
    SPL_FIELD_NUM(spl_need_result, honey_g, 1, "honey_g", NULL),
    SPL_FIELD_NUM(spl_need_result, vinegar_ml, 1, "vinegar_ml", NULL),
    SPL_FIELD_NUM(spl_need_result, yield_g, 1, "yield_g", NULL),
    SPL_FIELD_NUM(spl_need_result, yield_low_g, 1, "yield_low_g", NULL),
    SPL_FIELD_NUM(spl_need_result, yield_high_g, 1, "yield_high_g", NULL),
    SPL_FIELD_NUM(spl_need_result, final_abv_low, 1, "final_abv_low", NULL),
    SPL_FIELD_NUM(spl_need_result, final_abv_high, 1, "final_abv_high", NULL),
    SPL_FIELD_NUM(spl_need_result, final_acid_low, 2, "final_acid_low", NULL),
    SPL_FIELD_NUM(spl_need_result, final_acid_high, 2, "final_acid_high", NULL),
    SPL_FIELD_NUM(spl_need_result, published_abv, 1, "published_abv", NULL),
    SPL_FIELD_LIST(spl_need_result, spirits, &spl_need_spirit_shape, "spirits", NULL),
    SPL_FIELD_NUM(spl_need_result, final_glycerol, 1, "final_glycerol", NULL),
    SPL_FIELD_NUM(spl_need_result, final_sugar, 1, "final_sugar", NULL),
    SPL_FIELD_LIST(spl_need_result, explain, &spl_need_step_shape, "explain", NULL),
};
const struct spl_shape spl_need_result_shape = SPL_SHAPE("need", spl_need_result, result_fields);
