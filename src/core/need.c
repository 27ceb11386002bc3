/* SPDX-License-Identifier: MIT
 *
 * How much plant a batch needs. The arithmetic is done for one gram of herb first ("model"), then
 * scaled to the jars, the yield or the herb that was asked for: so the way back gives what went in.
 */
#include "core/need.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/amount.h"
#include "core/alcohol.h"
#include "core/care.h"
#include "core/keeping.h"
#include "core/need_model.h"
#include "simpling/error.h"

/* Firmly pressed herb is up to this many times as dense as loosely chopped herb (0.25-0.40 against
 * 0.10-0.25 g/mL; USDA cup weights and common practice). */
#define PACKED_TO_LOOSE 2.5
/* Under less liquid than this share of its own volume even a pulp is not covered: from memory. */
#define COVER_FRAC 0.0526

static void add_text(GPtrArray *texts, const char *format, ...) G_GNUC_PRINTF(2, 3);
static void add_text(GPtrArray *texts, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    g_ptr_array_add(texts, g_strdup_vprintf(format, args));
    va_end(args);
}

/* One line of the explanation. */
static void explain(struct spl_need_result *result, const char *label, double figure,
                    const char *unit, const char *source, const char *how, ...) G_GNUC_PRINTF(6, 7);
static void explain(struct spl_need_result *result, const char *label, double figure,
                    const char *unit, const char *source, const char *how, ...)
{
    struct spl_need_step step = {.label = g_strdup(label),
                                 .figure = figure,
                                 .unit = g_strdup(unit),
                                 .source = g_strdup(source != NULL ? source : "reckoned")};
    va_list args;

    va_start(args, how);
    step.how = g_strdup_vprintf(how, args);
    va_end(args);
    g_array_append_val(result->explain, step);
}

/* A figure that was given, with its range. */
static void explain_figure(struct spl_need_result *result, const char *label,
                           const struct spl_figure *figure, double scale, const char *unit)
{
    if (isnan(figure->value))
        return;
    if (figure->low < figure->high)
        explain(result, label, figure->value * scale, unit, figure->source, "%.4g to %.4g",
                figure->low * scale, figure->high * scale);
    else
        explain(result, label, figure->value * scale, unit, figure->source, "given");
}

/* ---- the fresh herb to pick ---------------------------------------------------------------- */

/* From cleaned fresh herb to what must be picked, counted and timed. */
static void reckon_picking(const struct spl_need_ask *ask, struct spl_need_result *result,
                           double fresh_g, double fresh_low_g, double fresh_high_g)
{
    double trims[2] = {0.0, 0.0}, trim = 0.0;

    if (isnan(ask->trim_frac.value)) {
        add_text(result->warnings, "what is lost in cleaning is not known: the weight to pick is "
                                   "that of cleaned herb");
    } else {
        trim = ask->trim_frac.value;
        spl_figure_ends(&ask->trim_frac, trim, trims);
        explain_figure(result, "lost in cleaning", &ask->trim_frac, 100.0, "%");
    }
    result->gross_g = fresh_g / (1.0 - trim);
    result->gross_low_g = fresh_low_g / (1.0 - trims[0]);
    result->gross_high_g = fresh_high_g / (1.0 - trims[1]);
    explain(result, "to pick", result->gross_g, "g", NULL, "%.1f g / (1 - %.3g)", fresh_g, trim);
    if (!isnan(ask->piece_g.value)) {
        result->pieces = ceil(fresh_g / ask->piece_g.value - 1e-9);
        explain_figure(result, "weight of a piece", &ask->piece_g, 1.0, "g");
        explain(result, "pieces", result->pieces,
                ask->piece != NULL && ask->piece[0] != '\0' ? ask->piece : "piece", NULL,
                "%.1f g / %.3g g", fresh_g, ask->piece_g.value);
    }
    if (!isnan(ask->picking_g_per_h.value)) {
        result->picking_hours = result->gross_g / ask->picking_g_per_h.value;
        explain_figure(result, "one person picks", &ask->picking_g_per_h, 1.0, "g/h");
        explain(result, "picking", result->picking_hours, "h", NULL, "%.1f g / %.4g g/h",
                result->gross_g, ask->picking_g_per_h.value);
    }
}

/* Names the figures that nobody has published or measured. */
static void warn_of_memory(const struct spl_need_ask *ask, struct spl_need_result *result)
{
    const struct {
        const struct spl_figure *figure;
        const char *name;
    } all[] = {{&ask->moisture_frac, "water content"},   {&ask->bulk_g_per_ml, "bulk density"},
               {&ask->trim_frac, "loss in cleaning"},    {&ask->piece_g, "weight of a piece"},
               {&ask->fresh_per_dry, "fresh:dry ratio"}, {&ask->kept_ml_per_g, "liquid kept"},
               {&ask->picking_g_per_h, "picking rate"}};
    g_autoptr(GString) names = g_string_new(NULL);

    for (guint i = 0; i < G_N_ELEMENTS(all); i++) {
        if (!isnan(all[i].figure->value) && all[i].figure->from_memory)
            g_string_append_printf(names, "%s%s", names->len > 0 ? ", " : "", all[i].name);
    }
    if (names->len > 0)
        add_text(result->warnings, "nobody measured or published: %s; weigh your own and override",
                 names->str);
}

/* ---- dried herb ---------------------------------------------------------------------------- */

static void need_dried_herb(const struct spl_need_ask *ask, struct spl_need_result *result)
{
    double ratio = ask->fresh_per_dry.value, ratios[2], dry_g = 0.0;
    double fill = isnan(ask->fill_frac.value) ? 1.0 : ask->fill_frac.value;

    spl_figure_ends(&ask->fresh_per_dry, ratio, ratios);
    explain_figure(result, "fresh herb for 1 g dry", &ask->fresh_per_dry, 1.0, "g");
    if (ask->n_jars > 0) {
        explain_figure(result, "loose dried herb", &ask->bulk_g_per_ml, 1.0, "g/mL");
        for (guint i = 0; i < ask->n_jars; i++) {
            struct spl_need_jar jar = {ask->jars[i].nominal_ml,
                                       fill * ask->bulk_g_per_ml.value * ask->jars[i].brimful_ml,
                                       NAN};

            for (int k = 0; k < ask->jars[i].count; k++) {
                g_array_append_val(result->jars, jar);
                dry_g += jar.herb_g;
            }
        }
        explain(result, "dried herb in the jars", dry_g, "g", NULL, "%.3g of each jar x %.3g g/mL",
                fill, ask->bulk_g_per_ml.value);
    } else if (!isnan(ask->yield_g)) {
        dry_g = ask->yield_g;
    } else {
        dry_g = ask->herb_g / ratio;
        explain(result, "dried herb", dry_g, "g", NULL, "%.1f g / %.3g", ask->herb_g, ratio);
    }
    result->yield_g = dry_g;
    result->herb_g = dry_g * ratio;
    result->yield_low_g = result->herb_g / ratios[1];
    result->yield_high_g = result->herb_g / ratios[0];
    explain(result, ask->frozen ? "herb to freeze" : "fresh herb to dry", result->herb_g, "g", NULL,
            "%.1f g x %.3g", dry_g, ratio);
    reckon_picking(ask, result, result->herb_g, dry_g * ratios[0], dry_g * ratios[1]);
}

/* ---- everything under liquid --------------------------------------------------------------- */

static const char *strength_unit(enum spl_liquid liquid)
{
    switch (liquid) {
    case SPL_LIQUID_VINEGAR:
    case SPL_LIQUID_OXYMEL:
        return "g acid / 100 mL";
    case SPL_LIQUID_SYRUP:
        return "% sugar by mass";
    case SPL_LIQUID_HONEY:
        return "% by mass that is not water";
    case SPL_LIQUID_SALVE:
        return "% wax by mass";
    case SPL_LIQUID_GLYCEROL:
        return "% vol glycerol";
    default:
        return "% vol";
    }
}

static gboolean refuse_unreachable(const struct spl_need_ask *ask, const struct spl_need_model *m,
                                   GError **error)
{
    double least = spl_ratio_needed(m->liquid, m->honey, m->moisture, ask->wanted_frac);
    const char *even = m->liquid == SPL_LIQUID_SPIRIT     ? "absolute alcohol"
                       : m->liquid == SPL_LIQUID_GLYCEROL ? "pure glycerol"
                       : m->liquid == SPL_LIQUID_HONEY    ? "honey of 15 % water"
                                                          : "the strongest vinegar (15.5 %)";
    g_autofree char *cure = isfinite(least)
                                ? g_strdup_printf("take at least 1:%.1f, or wilt or dry the herb",
                                                  ceil(least * 10.0) / 10.0)
                                : g_strdup("ask for a weaker one");

    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%.1f %% in the finished %s is not reachable even with %s at 1:%.3g with herb of "
                "%.0f %% water: %s",
                ask->wanted_frac * 100.0, ask->preparation, even, m->ratio, m->moisture * 100.0,
                cure);
    return FALSE;
}

/* The model of the ask: settles ratio and strength, refuses what cannot be. */
static gboolean settle(const struct spl_need_ask *ask, struct spl_need_model *m,
                       struct spl_need_result *result, GError **error)
{
    double honey = isnan(ask->honey_ml_per_ml.value) ? 1.0 : ask->honey_ml_per_ml.value;
    gboolean by_fill = !isnan(ask->fill_frac.value);

    *m = (struct spl_need_model){
        .liquid = ask->liquid,
        .moisture = ask->moisture_frac.value,
        .kept = ask->kept_ml_per_g.value,
        .strength = 0.0,
        .honey = honey / (1.0 + honey),
        .headspace = isnan(ask->headspace_frac.value) ? 0.0 : ask->headspace_frac.value};
    m->volume = isnan(ask->volume_ml_per_g.value) ? spl_herb_volume_ml_per_g(m->moisture)
                                                  : ask->volume_ml_per_g.value;
    if (ask->liquid == SPL_LIQUID_OIL || ask->liquid == SPL_LIQUID_WATER)
        m->strength = 0.0;
    if (ask->liquid == SPL_LIQUID_HONEY && ask->dried)
        m->moisture = 0.0; /* as dry as honey: it gives it no water */
    if (by_fill) {
        /* In 1 mL of jar: fill x bulk grams of herb; the liquid takes what they leave. */
        double herb = ask->fill_frac.value * ask->bulk_g_per_ml.value;

        m->ratio = (1.0 - m->headspace) / herb - m->volume;
        if (m->ratio > 0.0)
            m->strength = spl_need_model_strength(ask, m);
    } else {
        spl_need_model_settle(ask, m);
    }
    if (ask->liquid == SPL_LIQUID_OIL || ask->liquid == SPL_LIQUID_WATER)
        m->strength = 0.0;
    if (!(m->ratio >= COVER_FRAC * m->volume)) {
        if (by_fill)
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                        "a jar %.0f %% full of herb at %.3g g/mL has no room for liquid: fill it "
                        "less",
                        ask->fill_frac.value * 100.0, ask->bulk_g_per_ml.value);
        else
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                        "a ratio of 1:%.3g cannot cover the herb, which alone takes %.2f mL per g: "
                        "take at least 1:%.1g",
                        m->ratio, m->volume, ceil(COVER_FRAC * m->volume * 100.0) / 100.0);
        return FALSE;
    }
    if (!isnan(ask->wanted_frac) &&
        isnan(spl_strength_needed(m->liquid, m->ratio, m->honey, m->moisture, ask->wanted_frac)))
        return refuse_unreachable(ask, m, error);
    if (!(spl_need_model_yield(m) > 0.0)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "at 1:%.3g the pressed herb keeps all the liquid (%.2f mL per g): take more "
                    "liquid or a stronger press",
                    m->ratio, m->kept);
        return FALSE;
    }
    explain_figure(result, ask->pressed_first ? "juice of the herb" : "water in the herb",
                   &ask->moisture_frac, 100.0, "%");
    if (isnan(ask->volume_ml_per_g.value))
        explain(result, "room that a gram takes under liquid", m->volume, "mL",
                "reckoned; plant solids 1.45 g/mL, no source", "%.3g / 0.9982 + (1 - %.3g) / 1.45",
                m->moisture, m->moisture);
    else
        explain_figure(result, "room that a gram takes under liquid", &ask->volume_ml_per_g, 1.0,
                       "mL");
    if (by_fill) {
        explain_figure(result, "loose herb fills of the jar", &ask->fill_frac, 100.0, "%");
        explain_figure(result, "loose chopped herb", &ask->bulk_g_per_ml, 1.0, "g/mL");
        explain(result, "ratio, mL poured on a gram", m->ratio, "mL/g", NULL,
                "(1 - %.3g) / (%.3g x %.3g) - %.3g", m->headspace, ask->fill_frac.value,
                ask->bulk_g_per_ml.value, m->volume);
    } else {
        explain_figure(result, "ratio asked", &ask->ratio, 1.0,
                       ask->ratio_meaning == SPL_RATIO_MASS       ? "g liquid per g"
                       : ask->ratio_meaning == SPL_RATIO_FINISHED ? "mL finished per g"
                                                                  : "mL poured on per g");
        if (ask->ratio_meaning != SPL_RATIO_PUT_IN)
            explain(result, "ratio, mL poured on a gram", m->ratio, "mL/g", NULL,
                    "the mL that make %s 1:%.3g", spl_ratio_meaning_words(ask->ratio_meaning),
                    ask->ratio.value);
    }
    return TRUE;
}

/* Herb for the amount that was asked, and the jars it goes into. */
static gboolean scale(const struct spl_need_ask *ask, const struct spl_need_model *m,
                      struct spl_need_result *result, GError **error)
{
    g_autoptr(GArray) chosen = NULL;
    const struct spl_vessel *jars = ask->jars;
    guint n_jars = ask->n_jars;
    double per_g = m->ratio + m->volume, room = 0.0, per_room;

    if (n_jars > 0) {
        explain_figure(result, "left empty in the jar", &ask->headspace_frac, 100.0, "%");
        for (guint i = 0; i < n_jars; i++) {
            double one = jars[i].brimful_ml * (1.0 - m->headspace);

            explain(result, "a jar holds to the brim", jars[i].brimful_ml, "mL",
                    jars[i].source != NULL ? jars[i].source : "asked", "%d x %.0f mL",
                    jars[i].count, jars[i].nominal_ml);
            explain(result, "herb for such a jar", one / per_g, "g", NULL,
                    "%.0f mL / (%.4g + %.4g)", one, m->ratio, m->volume);
            room += jars[i].count * one;
        }
        result->herb_g = room / per_g;
    } else if (!isnan(ask->yield_ml)) {
        result->herb_g = ask->yield_ml / spl_need_model_yield(m);
        explain(result, "herb for the yield", result->herb_g, "g", NULL, "%.1f mL / %.4g mL per g",
                ask->yield_ml, spl_need_model_yield(m));
    } else if (!isnan(ask->yield_g)) { /* a salve, which is weighed */
        double ml = ask->yield_g * spl_salve_ml_per_g(m->strength);

        result->herb_g = ml / spl_need_model_yield(m);
        explain(result, "salve", ml, "mL", "wax and oil by their densities",
                "%.1f g x %.4g mL per g", ask->yield_g, spl_salve_ml_per_g(m->strength));
        explain(result, "herb for the yield", result->herb_g, "g", NULL, "%.1f mL / %.4g mL per g",
                ml, spl_need_model_yield(m));
    } else {
        result->herb_g = ask->herb_g;
        explain(result, "herb at hand", ask->herb_g, "g", "asked", "given");
    }
    if (n_jars == 0 && ask->n_sizes > 0) {
        double wanted = result->herb_g * per_g / (1.0 - m->headspace), brimful = 0.0;

        /* A hair less, so that the herb reckoned from a jar goes back into just that jar. */
        chosen = spl_jars_for(wanted * (1.0 - 1e-9), ask->sizes, ask->n_sizes, error);
        if (chosen == NULL)
            return FALSE;
        jars = (const struct spl_vessel *)(void *)chosen->data;
        n_jars = chosen->len;
        for (guint i = 0; i < n_jars; i++) {
            brimful += jars[i].count * jars[i].brimful_ml;
            explain(result, "jars", jars[i].count, "jar", jars[i].source,
                    "of %.0f mL, %.0f mL to the brim", jars[i].nominal_ml, jars[i].brimful_ml);
        }
        room = brimful * (1.0 - m->headspace);
        if (brimful > wanted * 1.02) {
            g_autofree char *more = spl_volume_format(brimful - wanted);

            add_text(result->warnings,
                     "the jars have room for %s more: fill one less, or add herb and liquid in "
                     "proportion, air spoils",
                     more);
        }
    }
    per_room = room > 0.0 ? result->herb_g / room : 0.0;
    for (guint i = 0; i < n_jars; i++) {
        double herb = per_room * jars[i].brimful_ml * (1.0 - m->headspace);
        struct spl_need_jar jar = {jars[i].nominal_ml, herb, m->ratio * herb};

        for (int k = 0; k < jars[i].count; k++)
            g_array_append_val(result->jars, jar);
    }
    return TRUE;
}

static void warn_of_packing(const struct spl_need_ask *ask, const struct spl_need_model *m,
                            struct spl_need_result *result)
{
    double packed = (1.0 - m->headspace) / (m->ratio + m->volume);

    if (!ask->pressed_first && !isnan(ask->bulk_g_per_ml.value) && isnan(ask->fill_frac.value) &&
        packed > PACKED_TO_LOOSE * ask->bulk_g_per_ml.value)
        add_text(result->warnings,
                 "1:%.3g means %.2f g of herb in each mL of jar, loosely chopped it is %.2f: it "
                 "goes in only bruised to a pulp; else take more liquid",
                 m->ratio, packed, ask->bulk_g_per_ml.value);
}

/* What one's own spirits come to: a stronger one is thinned to what is poured on, of a weaker one
 * is said what it ends at as it is. */
static void put_spirits(const struct spl_need_ask *ask, const struct spl_need_model *m,
                        struct spl_need_result *result)
{
    for (guint i = 0; i < ask->n_spirits; i++) {
        struct spl_need_model own = *m;
        struct spl_need_spirit spirit = {ask->spirits_frac[i] * 100.0, result->menstruum_ml, 0.0,
                                         NAN};
        struct spl_dilution dilution;

        if (ask->spirits_frac[i] > m->strength + 1e-9 &&
            spl_alcohol_dilute(ask->spirits_frac[i], m->strength, result->menstruum_ml, 20.0,
                               &dilution, NULL)) {
            spirit.spirit_ml = dilution.spirit_ml;
            spirit.water_ml = dilution.water_ml;
        } else {
            own.strength = ask->spirits_frac[i];
        }
        spirit.final_abv = spl_need_model_pool(&own).final_frac * 100.0;
        g_array_append_val(result->spirits, spirit);
    }
}

/* The published strength beside what this batch comes to. What is out of reach is said: weaker
 * tinctures are made, and whether they keep is judged by themselves. */
static void say_published(const struct spl_need_ask *ask, const struct spl_need_model *m,
                          struct spl_need_result *result)
{
    double end = ask->published_frac.value, least;
    const char *source = ask->published_frac.source != NULL ? ask->published_frac.source : "tables";

    if (isnan(end))
        return;
    result->published_abv = end * 100.0;
    if (fabs(result->final_abv - result->published_abv) < 0.05) {
        add_text(result->warnings,
                 "%.3g %% is published for the dried drug (%s): poured on at %.1f %% fresh herb "
                 "ends there",
                 end * 100.0, source, result->menstruum_pct);
        return;
    }
    if (!ask->aim) {
        add_text(result->warnings,
                 "%.3g %% is published for the dried drug (%s); this ends at %.1f %%", end * 100.0,
                 source, result->final_abv);
        return;
    }
    least = spl_ratio_needed(SPL_LIQUID_SPIRIT, 0.0, m->moisture, end);
    for (int tenths = isfinite(least) ? (int)ceil(least * 10.0) : 200; tenths < 200; tenths++) {
        double ratio = tenths / 10.0;
        double needed = spl_strength_needed(SPL_LIQUID_SPIRIT, ratio, 0.0, m->moisture, end);

        if (needed <= m->strength) {
            add_text(result->warnings,
                     "%.3g %% is published for the dried drug (%s) and not reached here: %.3g %% "
                     "ends at %.1f %%; take at least 1:%.1f, or dry the herb",
                     end * 100.0, source, m->strength * 100.0, result->final_abv, ratio);
            return;
        }
    }
    add_text(result->warnings,
             "%.3g %% is published for the dried drug (%s) and not reached: %.3g %%, the strongest "
             "that there is, ends at %.1f %%; take stronger spirit, or dry the herb",
             end * 100.0, source, m->strength * 100.0, result->final_abv);
}

static void need_under_liquid(const struct spl_need_ask *ask, const struct spl_need_model *m,
                              struct spl_need_result *result)
{
    struct spl_need_extremes x = spl_need_model_extremes(ask, m);
    struct spl_pool pool = spl_need_model_pool(m);
    double herb = result->herb_g, fresh = herb, fresh_low = herb, fresh_high = herb;

    result->ratio = m->ratio;
    result->ratio_asked = isnan(ask->fill_frac.value) ? ask->ratio.value : (double)NAN;
    result->ratio_meaning = g_strdup(spl_ratio_meaning_words(ask->ratio_meaning));
    result->ratio_mass = spl_need_model_ratio_as(m, SPL_RATIO_MASS);
    result->ratio_finished = spl_need_model_ratio_as(m, SPL_RATIO_FINISHED);
    if (!isnan(ask->fresh_per_dry.value))
        result->ratio_dry = ask->dried ? m->ratio : m->ratio * ask->fresh_per_dry.value;
    result->menstruum_ml = m->ratio * herb;
    explain(result, "liquid to pour on", result->menstruum_ml, "mL", NULL, "%.1f g x %.4g mL/g",
            herb, m->ratio);
    if (m->strength > 0.0) {
        result->menstruum_pct = m->strength * 100.0;
        if (isnan(ask->wanted_frac) && ask->aim)
            explain(result, "strength to pour on", result->menstruum_pct, strength_unit(m->liquid),
                    ask->published_frac.source, "for an end of %.1f %% after the herb's own water",
                    ask->published_frac.value * 100.0);
        else if (isnan(ask->wanted_frac))
            explain_figure(result, "strength poured on", &ask->strength_frac, 100.0,
                           strength_unit(m->liquid));
        else
            explain(result, "strength to pour on", result->menstruum_pct, strength_unit(m->liquid),
                    NULL, "so that it ends at %.1f %% after the herb's own water",
                    ask->wanted_frac * 100.0);
        if (m->strength < ask->strength_frac.low * 0.999 ||
            m->strength > ask->strength_frac.high * 1.001)
            add_text(result->warnings,
                     "poured on at %.1f %%; usual for %s of %s is %.0f to %.0f %% (%s)",
                     m->strength * 100.0, ask->preparation, ask->material,
                     ask->strength_frac.low * 100.0, ask->strength_frac.high * 100.0,
                     ask->strength_frac.source != NULL ? ask->strength_frac.source : "tables");
    }
    explain(result, "the herb's own water", m->moisture * herb, "g", NULL, "%.1f g x %.3g", herb,
            m->moisture);
    switch (m->liquid) {
    case SPL_LIQUID_SPIRIT:
        result->menstruum_abv = result->menstruum_pct;
        result->final_abv = pool.final_frac * 100.0;
        result->final_abv_low = x.final_low * 100.0;
        result->final_abv_high = x.final_high * 100.0;
        explain(result, "final strength", result->final_abv, "% vol", "OIML R 22, by mass",
                "%.1f mL of %.1f %% with %.1f g water", result->menstruum_ml, result->menstruum_pct,
                m->moisture * herb);
        put_spirits(ask, m, result);
        say_published(ask, m, result);
        break;
    case SPL_LIQUID_OXYMEL:
    case SPL_LIQUID_VINEGAR:
        result->final_acid = pool.acid_frac * 100.0;
        result->final_acid_low = x.final_low * 100.0;
        result->final_acid_high = x.final_high * 100.0;
        explain(result, "final acid", result->final_acid, "g / 100 mL", NULL,
                "acid poured on in %.1f mL", pool.ml * herb);
        if (m->liquid == SPL_LIQUID_OXYMEL) {
            result->final_sugar = pool.final_frac * 100.0;
            result->honey_g = m->honey * result->menstruum_ml * SPL_HONEY_G_PER_ML;
            result->vinegar_ml = (1.0 - m->honey) * result->menstruum_ml;
            explain_figure(result, "honey to 1 mL vinegar", &ask->honey_ml_per_ml, 1.0, "mL");
            explain(result, "final sugar", result->final_sugar, "% by mass",
                    "honey 1.433 g/mL, 82 % sugar: USDA 19296", "%.1f mL honey in %.1f g",
                    m->honey * result->menstruum_ml, pool.mass_g * herb);
        }
        break;
    case SPL_LIQUID_GLYCEROL:
        result->final_glycerol = pool.final_frac * 100.0;
        explain(result, "final glycerol", result->final_glycerol, "% vol", NULL,
                "%.1f mL in %.1f mL", m->strength * result->menstruum_ml, pool.ml * herb);
        break;
    case SPL_LIQUID_SYRUP: {
        double strained = pool.ml - m->kept;

        result->final_sugar = m->strength * 100.0;
        result->sugar_g = spl_syrup_sugar_g(strained * SPL_WATER_G_PER_ML, m->strength) * herb;
        explain(result, "strained liquid", strained * herb, "mL", NULL, "%.1f mL - %.3g x %.1f g",
                pool.ml * herb, m->kept, herb);
        explain(result, "sugar to dissolve", result->sugar_g, "g",
                "USP syrup: 65 % keeps; weigh the strained liquid", "%.1f g x %.3g / (1 - %.3g)",
                strained * herb * SPL_WATER_G_PER_ML, m->strength, m->strength);
        break;
    }
    case SPL_LIQUID_HONEY:
        result->final_sugar = pool.final_frac * 100.0;
        explain(result, "final dry matter", result->final_sugar, "% by mass",
                "honey 1.433 g/mL, 17.1 % water: USDA 19296", "%.1f g in %.1f g",
                m->strength * result->menstruum_ml * SPL_HONEY_G_PER_ML, pool.mass_g * herb);
        break;
    case SPL_LIQUID_SALVE: {
        double strained = pool.ml - m->kept + m->moisture / SPL_WATER_G_PER_ML;

        strained = MIN(pool.ml, strained);
        result->wax_g = spl_salve_wax_g(strained * SPL_OIL_G_PER_ML, m->strength) * herb;
        explain(result, "strained oil", strained * herb, "mL", NULL, "%.1f mL - %.3g x %.1f g",
                pool.ml * herb, m->kept, herb);
        explain(result, "wax to melt in", result->wax_g, "g", "weigh the strained oil",
                "%.1f g x %.3g / (1 - %.3g)", strained * herb * SPL_OIL_G_PER_ML, m->strength,
                m->strength);
        break;
    }
    case SPL_LIQUID_OIL:
    case SPL_LIQUID_WATER:
    case SPL_LIQUID_NONE:
        break;
    }
    explain_figure(result, "kept by the pressed herb", &ask->kept_ml_per_g, 1.0, "mL/g");
    result->yield_ml = spl_need_model_yield(m) * herb;
    result->yield_low_ml = x.yield_low * herb;
    result->yield_high_ml = x.yield_high * herb;
    explain(result, "yield", result->yield_ml, "mL", NULL, "%.1f mL in all, %.3g mL kept per g",
            pool.ml * herb, m->kept);
    if (m->liquid == SPL_LIQUID_SALVE) {
        double per_g = spl_salve_ml_per_g(m->strength);

        result->yield_g = result->yield_ml / per_g;
        result->yield_low_g = result->yield_low_ml / per_g;
        result->yield_high_g = result->yield_high_ml / per_g;
    }
    /* Water that is strained off the same day, oil that leaves its air by the cloth and honey in
     * which the herb swims are not topped up. */
    if (!ask->dried && !ask->pressed_first && m->liquid != SPL_LIQUID_SYRUP &&
        m->liquid != SPL_LIQUID_WATER && !spl_liquid_is_oil(m->liquid) &&
        m->liquid != SPL_LIQUID_HONEY) {
        result->top_up_ml = herb * m->volume * (1.0 / (1.0 - SPL_TISSUE_AIR_FRAC) - 1.0);
        explain(result, "top up after a day", result->top_up_ml, "mL",
                "15 % air in fresh tissue, no source", "%.1f g x %.3g x (1/0.85 - 1)", herb,
                m->volume);
    }
    if (ask->dried && !isnan(ask->fresh_per_dry.value)) {
        double ratios[2];

        spl_figure_ends(&ask->fresh_per_dry, ask->fresh_per_dry.value, ratios);
        fresh = herb * ask->fresh_per_dry.value;
        fresh_low = herb * ratios[0];
        fresh_high = herb * ratios[1];
        explain_figure(result, "fresh herb for 1 g dry", &ask->fresh_per_dry, 1.0, "g");
    } else if (ask->dried) {
        add_text(result->warnings, "the fresh:dry ratio is not known: no weight to pick is given");
        return;
    }
    reckon_picking(ask, result, fresh, fresh_low, fresh_high);
}

gboolean spl_need(const struct spl_need_ask *ask, struct spl_need_result *result, GError **error)
{
    struct spl_need_result answer = {0};
    struct spl_need_model m;

    if (!spl_need_ask_check(ask, error))
        return FALSE;
    for (guint i = 0; i < spl_need_result_shape.n_fields; i++) {
        if (spl_need_result_shape.fields[i].kind == SPL_NUM)
            G_STRUCT_MEMBER(double, &answer, spl_need_result_shape.fields[i].offset) = NAN;
    }
    answer.material = g_strdup(ask->material);
    answer.preparation = g_strdup(ask->preparation);
    answer.jars = spl_list_new(&spl_need_jar_shape);
    answer.explain = spl_list_new(&spl_need_step_shape);
    answer.spirits = spl_list_new(&spl_need_spirit_shape);
    answer.cautions = g_ptr_array_new_with_free_func(g_free);
    answer.warnings = g_ptr_array_new_with_free_func(g_free);
    if (ask->liquid == SPL_LIQUID_NONE) {
        need_dried_herb(ask, &answer);
    } else {
        if (!settle(ask, &m, &answer, error) || !scale(ask, &m, &answer, error)) {
            spl_record_clear(&spl_need_result_shape, &answer);
            return FALSE;
        }
        warn_of_packing(ask, &m, &answer);
        need_under_liquid(ask, &m, &answer);
    }
    warn_of_memory(ask, &answer);
    *result = answer;
    return TRUE;
}

void spl_need_add_findings(struct spl_need_result *result, const GArray *findings)
{
    for (guint i = 0; findings != NULL && i < findings->len; i++)
        g_ptr_array_add(result->cautions,
                        g_strdup(g_array_index(findings, struct spl_finding, i).text));
}

void spl_need_caution(struct spl_need_result *result, const char *format, ...)
{
    va_list values;

    va_start(values, format);
    g_ptr_array_insert(result->cautions, 0, g_strdup_vprintf(format, values));
    va_end(values);
}

void spl_need_add_plant(struct spl_need_result *result, const struct spl_material *material)
{
    const struct spl_plant *plant = material->plant;
    g_autoptr(GPtrArray) picker = spl_care_of_picker(material);
    g_autoptr(GPtrArray) taker = spl_care_of_taker(material);

    if (plant->lookalikes[0] != '\0')
        add_text(result->cautions, "%s: %s",
                 plant->deadly_lookalike ? "DEADLY LOOK-ALIKE" : "look-alikes", plant->lookalikes);
    for (guint i = 0; i < picker->len; i++)
        g_ptr_array_add(result->cautions, g_strdup(g_ptr_array_index(picker, i)));
    for (guint i = 0; i < taker->len; i++)
        g_ptr_array_add(result->cautions, g_strdup(g_ptr_array_index(taker, i)));
    if (material->outside_only)
        add_text(result->cautions, "for outside use only");
}
