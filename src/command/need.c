/* SPDX-License-Identifier: MIT
 *
 * simpling need, simpling dilute.
 */
#include "simpling/need.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/layout.h"
#include "command/command.h"
#include "command/rows.h"

static void print_texts(struct spl_call *call, const char *heading, const GPtrArray *texts)
{
    for (guint i = 0; texts != NULL && i < texts->len; i++)
        spl_call_say(heading, g_ptr_array_index(texts, i), call->width, call->out);
}

static void print_line(struct spl_call *call, const char *label, char *text)
{
    fprintf(call->out, "%-16s ", label);
    spl_text_print_folded(text, 17, call->width, call->out);
    g_free(text);
}

/* Jars of one size on one line. */
static void print_jars(struct spl_call *call, const GArray *jars)
{
    for (guint i = 0; i < jars->len;) {
        const struct spl_need_jar *jar = &g_array_index(jars, struct spl_need_jar, i);
        g_autofree char *size = spl_volume_format(jar->ml);
        g_autofree char *herb = spl_mass_format(jar->herb_g);
        g_autofree char *liquid =
            isnan(jar->menstruum_ml) ? NULL : spl_volume_format(jar->menstruum_ml);
        guint n = 1;

        while (i + n < jars->len && g_array_index(jars, struct spl_need_jar, i + n).ml == jar->ml)
            n++;
        print_line(call, i == 0 ? "jars" : "",
                   liquid != NULL
                       ? g_strdup_printf("%u of %s, each %s and %s", n, size, herb, liquid)
                       : g_strdup_printf("%u of %s, each %s", n, size, herb));
        i += n;
    }
}

static void print_strength(struct spl_call *call, const char *label, double value, double low,
                           double high, const char *unit)
{
    if (isnan(value))
        return;
    if (low < value || high > value)
        print_line(call, label, g_strdup_printf("%.1f %s (%.1f to %.1f)", value, unit, low, high));
    else
        print_line(call, label, g_strdup_printf("%.1f %s", value, unit));
}

/* To the five minutes below two hours, to the half hour above: nobody picks more evenly. */
static char *time_words(double hours)
{
    if (hours < 2)
        return g_strdup_printf("about %.0f minutes for one", fmax(5, 5 * rint(12 * hours)));
    return g_strdup_printf("about %g hours for one", rint(2 * hours) / 2);
}

/* What each of one's own spirits comes to. */
static void print_spirits(struct spl_call *call, const GArray *spirits)
{
    for (guint i = 0; spirits != NULL && i < spirits->len; i++) {
        const struct spl_need_spirit *own = &g_array_index(spirits, struct spl_need_spirit, i);
        g_autofree char *spirit = spl_volume_format(own->spirit_ml);
        g_autofree char *water = spl_volume_format(own->water_ml);
        g_autofree char *label = g_strdup_printf("of %.4g %%", own->abv);

        print_line(call, label,
                   own->water_ml > 0.0
                       ? g_strdup_printf("%s with %s of water: ends at %.1f %%", spirit, water,
                                         own->final_abv)
                       : g_strdup_printf("%s as it is: ends at %.1f %%", spirit, own->final_abv));
    }
}

static void print_range(struct spl_call *call, const char *label, char *(*format)(double number),
                        double value, double low, double high)
{
    g_autofree char *middle = format(value), *least = format(low), *most = format(high);

    print_line(call, label, g_strdup_printf("%s (%s to %s)", middle, least, most));
}

static void print_top_up(struct spl_call *call, double ml)
{
    g_autofree char *volume = spl_volume_format(ml);

    print_line(call, "top up", g_strdup_printf("about %s after a day", volume));
}

/* The ratio that is asked for and given first, the other two that people mean below it. */
static void print_ratios(struct spl_call *call, const struct spl_need_result *r)
{
    print_line(call, "ratio", g_strdup_printf("1:%.3g poured on, mL to the gram", r->ratio));
    print_line(call, "", g_strdup_printf("1:%.3g by mass", r->ratio_mass));
    print_line(call, "", g_strdup_printf("1:%.3g of finished product", r->ratio_finished));
}

/* A step of the arithmetic as it is shown: no more figures than a scale has. */
struct told_step {
    char *label, *how, *figure, *unit, *source;
};

static const struct spl_field told_step_fields[] = {
    SPL_FIELD(told_step, label, SPL_TEXT, "label", "what"),
    SPL_FIELD(told_step, how, SPL_TEXT, "how", "how"),
    SPL_FIELD(told_step, figure, SPL_TEXT, "figure", "figure"),
    SPL_FIELD(told_step, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD(told_step, source, SPL_TEXT, "source", "source"),
};
static const struct spl_shape told_step_shape = SPL_SHAPE("told_step", told_step, told_step_fields);

static void print_steps(struct spl_call *call, const GArray *steps)
{
    GArray *told = spl_list_new(&told_step_shape);

    for (guint i = 0; i < steps->len; i++) {
        const struct spl_need_step *step = &g_array_index(steps, struct spl_need_step, i);
        struct told_step one = {
            .label = g_strdup(step->label),
            .how = g_strdup(step->how),
            .figure = g_strdup_printf(fabs(step->figure) < 1000.0 ? "%.4g" : "%.0f", step->figure),
            .unit = g_strdup(step->unit),
            .source = g_strdup(step->source)};

        g_array_append_val(told, one);
    }
    spl_list_write_table(&told_step_shape, told, call->width, call->out);
    spl_list_free(&told_step_shape, told);
}

static void print_answer(struct spl_call *call, const struct spl_need_result *r)
{
    fprintf(call->out, "%s, %s\n", r->material, r->preparation);
    if (!isnan(r->ratio))
        print_ratios(call, r);
    if (!isnan(r->ratio_asked) && fabs(r->ratio_asked - r->ratio) > 1e-9)
        print_line(call, "",
                   g_strdup_printf("1:%.3g was asked as %s", r->ratio_asked, r->ratio_meaning));
    print_line(call, "herb", spl_mass_format(r->herb_g));
    if (!isnan(r->gross_g))
        print_range(call, "to pick", spl_mass_format, r->gross_g, r->gross_low_g, r->gross_high_g);
    if (!isnan(r->pieces))
        print_line(call, "pieces", g_strdup_printf("about %.0f", r->pieces));
    if (!isnan(r->picking_hours))
        print_line(call, "picking", time_words(r->picking_hours));
    if (!isnan(r->menstruum_ml))
        print_line(call, "liquid", spl_volume_format(r->menstruum_ml));
    if (!isnan(r->honey_g)) {
        g_autofree char *honey = spl_mass_format(r->honey_g);
        g_autofree char *vinegar = spl_volume_format(r->vinegar_ml);

        print_line(call, "of these", g_strdup_printf("%s of honey, %s of vinegar", honey, vinegar));
    }
    /* A syrup's strength is that of its sugar in the end. */
    if (!isnan(r->menstruum_pct) && isnan(r->sugar_g) && isnan(r->wax_g))
        print_line(call, "poured on at", g_strdup_printf("%.1f %%", r->menstruum_pct));
    if (!isnan(r->sugar_g))
        print_line(call, "sugar", spl_mass_format(r->sugar_g));
    if (!isnan(r->wax_g))
        print_line(call, "wax", spl_mass_format(r->wax_g));
    print_jars(call, r->jars);
    if (!isnan(r->top_up_ml) && r->top_up_ml >= 1.0)
        print_top_up(call, r->top_up_ml);
    if (!isnan(r->yield_ml))
        print_range(call, "yield", spl_volume_format, r->yield_ml, r->yield_low_ml,
                    r->yield_high_ml);
    if (!isnan(r->yield_g))
        print_range(call,
                    !isnan(r->yield_ml)      ? "which weighs"
                    : r->yield_g < r->herb_g ? "dried"
                                             : "put up",
                    spl_mass_format, r->yield_g, r->yield_low_g, r->yield_high_g);
    print_strength(call, "ends at", r->final_abv, r->final_abv_low, r->final_abv_high,
                   "% vol alcohol");
    print_spirits(call, r->spirits);
    print_strength(call, "ends at", r->final_acid, r->final_acid_low, r->final_acid_high,
                   "g acid in 100 mL");
    print_strength(call, "ends at", r->final_glycerol, NAN, NAN, "% vol glycerol");
    print_strength(call, "ends at", r->final_sugar, NAN, NAN, "% sugar by mass");
    if (spl_call_has(call, "explain")) {
        fprintf(call->out, "\n");
        print_steps(call, r->explain);
        fprintf(call->out, "\n");
    }
    if (r->warnings->len + r->cautions->len > 0)
        fputc('\n', call->out);
    print_texts(call, "note: ", r->warnings);
    print_texts(call, "caution: ", r->cautions);
}

static int run_need(struct spl_call *call, GError **error)
{
    struct spl_need_result result;

    if (!spl_need_answer(call->house, call->said, &result, error))
        return -1;
    if (call->json)
        spl_record_write_json(&spl_need_result_shape, &result, call->out);
    else
        print_answer(call, &result);
    spl_record_clear(&spl_need_result_shape, &result);
    return 0;
}

/* How the answer is shown. */
static const struct spl_option need_options[] = {
    {"explain", SPL_OPTION_FLAG, NULL, "each step of the arithmetic with its figures and sources"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

static const char *const need_examples[] = {
    "simpling need dandelion/flower tincture --jar 500mL",
    "simpling need dandelion/flower tincture --jar 6x500mL --jar 1L --press screw --explain",
    "simpling need nettle/leaf tincture --yield 1L --ratio 1:2 --final 45%",
    "simpling need elderflower vinegar --jar 1L --by-fill",
    "simpling need nettle/leaf dried-herb --yield 200g",
    "simpling need calendula/flower infused-oil --herb 80g --dry",
    NULL};

const struct spl_command spl_command_need = {
    .words = "need",
    .summary = "How much herb and liquid a batch needs, and what it will yield",
    .inputs = &spl_need_inputs,
    .at = "material preparation",
    .options = need_options,
    .about = "Reckons from the jars, from the yield that is wanted, or from the herb at hand, and "
             "saves nothing. Water from fresh herb thins the liquid: 'ends at' counts "
             "that water. Strengths are mixed by mass (OIML R 22). Figures that nobody "
             "measured are named; give your own where you have them. A figure is a reckoning, not "
             "advice: licensed practice and local law come first.",
    .examples = need_examples,
    .needs = SPL_NEEDS_BOOK_IF_ANY,
    .shape = &spl_need_result_shape,
    .run = run_need,
};

static void print_dilution(struct spl_call *call, const struct spl_dilution *d)
{
    g_autofree char *spirit = spl_volume_exact(d->spirit_ml);
    g_autofree char *spirit_mass = spl_mass_exact(d->spirit_g);
    g_autofree char *water = spl_volume_exact(d->water_ml);
    g_autofree char *water_mass = spl_mass_exact(d->water_g);
    g_autofree char *make = spl_volume_exact(d->make_ml);
    g_autofree char *less = spl_volume_exact(d->contraction_ml);

    print_line(call, "spirit",
               g_strdup_printf("%s of %.4g %% (%s)", spirit, d->from_abv_pct, spirit_mass));
    print_line(call, "water", g_strdup_printf("%s (%s)", water, water_mass));
    print_line(
        call, "makes",
        g_strdup_printf("%s of %.4g %%, %s less than the sum of both", make, d->to_abv_pct, less));
}

static int run_dilute(struct spl_call *call, GError **error)
{
    struct spl_dilution dilution;

    if (!spl_dilute(call->said, &dilution, error))
        return -1;
    if (call->json) {
        spl_record_write_json(&spl_dilution_shape, &dilution, call->out);
        return 0;
    }
    print_dilution(call, &dilution);
    return 0;
}

static const char *const dilute_examples[] = {"simpling dilute 96% 40% --make 1L",
                                              "simpling dilute 96% 60% --use 500mL", NULL};

const struct spl_command spl_command_dilute = {
    .words = "dilute",
    .summary = "Spirit and water for a wanted strength",
    .inputs = &spl_dilute_inputs,
    .at = "from to",
    .about = "Strengths by volume at 20 degrees. Spirit and water shrink when they are mixed; "
             "masses do not, and are reckoned with (OIML R 22).",
    .examples = dilute_examples,
    .needs = SPL_NEEDS_BOOK_IF_ANY,
    .shape = &spl_dilution_shape,
    .run = run_dilute,
};
