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

/* The customary figure in brackets, for --us. */
static char *mass_words(const struct spl_call *call, double grams)
{
    g_autofree char *metric = spl_mass_format(grams);
    g_autofree char *us = call->us ? spl_mass_format_us(grams) : NULL;

    return us != NULL ? g_strdup_printf("%s (%s)", metric, us) : g_steal_pointer(&metric);
}

static char *volume_words(const struct spl_call *call, double ml)
{
    g_autofree char *metric = spl_volume_format(ml);
    g_autofree char *us = call->us ? spl_volume_format_us(ml) : NULL;

    return us != NULL ? g_strdup_printf("%s (%s)", metric, us) : g_steal_pointer(&metric);
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
        g_autofree char *herb = mass_words(call, jar->herb_g);
        g_autofree char *liquid =
            isnan(jar->menstruum_ml) ? NULL : volume_words(call, jar->menstruum_ml);
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
        g_autofree char *spirit = volume_words(call, own->spirit_ml);
        g_autofree char *water = volume_words(call, own->water_ml);
        g_autofree char *label = g_strdup_printf("of %.4g %%", own->abv);

        print_line(call, label,
                   own->water_ml > 0.0
                       ? g_strdup_printf("%s with %s of water: ends at %.1f %%", spirit, water,
                                         own->final_abv)
                       : g_strdup_printf("%s as it is: ends at %.1f %%", spirit, own->final_abv));
    }
}

static void print_answer(struct spl_call *call, const struct spl_need_result *r)
{
    g_autofree char *low = NULL, *high = NULL;

    fprintf(call->out, "%s, %s\n", r->material, r->preparation);
    if (!isnan(r->ratio))
        print_line(call, "ratio",
                   g_strdup_printf("1:%.3g %s; 1:%.3g by mass, 1:%.3g of finished product",
                                   r->ratio, "poured on, mL to the gram", r->ratio_mass,
                                   r->ratio_finished));
    if (!isnan(r->ratio_asked) && fabs(r->ratio_asked - r->ratio) > 1e-9)
        print_line(call, "",
                   g_strdup_printf("1:%.3g was asked as %s", r->ratio_asked, r->ratio_meaning));
    print_line(call, "herb", mass_words(call, r->herb_g));
    if (!isnan(r->gross_g)) {
        g_autofree char *gross = mass_words(call, r->gross_g);

        low = spl_mass_format(r->gross_low_g);
        high = spl_mass_format(r->gross_high_g);
        print_line(call, "to pick", g_strdup_printf("%s (%s to %s)", gross, low, high));
    }
    if (!isnan(r->pieces))
        print_line(call, "pieces", g_strdup_printf("about %.0f", r->pieces));
    if (!isnan(r->picking_hours))
        print_line(call, "picking", time_words(r->picking_hours));
    if (!isnan(r->menstruum_ml))
        print_line(call, "liquid", volume_words(call, r->menstruum_ml));
    if (!isnan(r->honey_g)) {
        g_autofree char *honey = mass_words(call, r->honey_g);
        g_autofree char *vinegar = volume_words(call, r->vinegar_ml);

        print_line(call, "of these", g_strdup_printf("%s of honey, %s of vinegar", honey, vinegar));
    }
    /* A syrup's strength is that of its sugar in the end. */
    if (!isnan(r->menstruum_pct) && isnan(r->sugar_g) && isnan(r->wax_g))
        print_line(call, "poured on at", g_strdup_printf("%.1f %%", r->menstruum_pct));
    if (!isnan(r->sugar_g))
        print_line(call, "sugar", mass_words(call, r->sugar_g));
    if (!isnan(r->wax_g))
        print_line(call, "wax", mass_words(call, r->wax_g));
    print_jars(call, r->jars);
    if (!isnan(r->top_up_ml) && r->top_up_ml >= 1.0)
        print_line(call, "top up", g_strdup_printf("about %.0f mL after a day", r->top_up_ml));
    if (!isnan(r->yield_ml)) {
        g_autofree char *yield = volume_words(call, r->yield_ml);

        print_line(
            call, "yield",
            g_strdup_printf("%s (%.0f to %.0f mL)", yield, r->yield_low_ml, r->yield_high_ml));
    }
    if (!isnan(r->yield_g)) {
        g_autofree char *yield = mass_words(call, r->yield_g);

        print_line(call, r->yield_g < r->herb_g ? "dried" : "put up",
                   g_strdup_printf("%s (%.0f to %.0f g)", yield, r->yield_low_g, r->yield_high_g));
    }
    print_strength(call, "ends at", r->final_abv, r->final_abv_low, r->final_abv_high,
                   "% vol alcohol");
    print_spirits(call, r->spirits);
    print_strength(call, "ends at", r->final_acid, r->final_acid_low, r->final_acid_high,
                   "g acid in 100 mL");
    print_strength(call, "ends at", r->final_glycerol, NAN, NAN, "% vol glycerol");
    print_strength(call, "ends at", r->final_sugar, NAN, NAN, "% sugar by mass");
    if (spl_call_has(call, "explain")) {
        fprintf(call->out, "\n");
        spl_list_write_table(&spl_need_step_shape, r->explain, call->width, call->out);
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
    .summary = "How much herb and liquid a batch needs, and what comes of it",
    .inputs = &spl_need_inputs,
    .at = "material preparation",
    .options = need_options,
    .about = "Reckons from the jars, from the yield that is wanted, or from the herb at hand, and "
             "saves nothing. Water from fresh herb thins the liquid: the strength in the end is "
             "that after it. Strengths are mixed by mass (OIML R 22). Figures that nobody "
             "measured are named; give your own where you have them. A figure is a reckoning, not "
             "advice: licensed practice and local law come first.",
    .examples = need_examples,
    .needs = SPL_NEEDS_BOOK_IF_ANY,
    .shape = &spl_need_result_shape,
    .run = run_need,
};

static int run_dilute(struct spl_call *call, GError **error)
{
    struct spl_dilution dilution;

    if (!spl_dilute(call->said, &dilution, error))
        return -1;
    if (call->json) {
        spl_record_write_json(&spl_dilution_shape, &dilution, call->out);
        return 0;
    }
    print_line(call, "spirit",
               g_strdup_printf("%.1f mL of %.4g %% (%.1f g)", dilution.spirit_ml,
                               dilution.from_abv_pct, dilution.spirit_g));
    print_line(call, "water",
               g_strdup_printf("%.1f mL (%.1f g)", dilution.water_ml, dilution.water_g));
    print_line(call, "makes",
               g_strdup_printf("%.1f mL of %.4g %%, %.1f mL less than the sum of both",
                               dilution.make_ml, dilution.to_abv_pct, dilution.contraction_ml));
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
    .needs = SPL_NEEDS_NOTHING,
    .shape = &spl_dilution_shape,
    .run = run_dilute,
};
