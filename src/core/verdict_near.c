/* SPDX-License-Identifier: MIT
 *
 * The verdict's rules about what lies near, and how well that is known.
 */
#include "core/verdict_private.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/drift.h"

/* What a position that nobody has put a figure to counts as when it is asked about. */
#define UNKNOWN_M 1000.0

/* ---- what lies near ---- */

/* Of an uncertainty: how much it may close, and how far out it asks. */
static double closing_m(double uncertainty_m)
{
    return isnan(uncertainty_m) ? SPL_DOUBTFUL_M : CLAMP(uncertainty_m, 0, SPL_DOUBTFUL_M);
}
double spl_judge_asking_m(double uncertainty_m)
{
    return isnan(uncertainty_m) ? UNKNOWN_M : CLAMP(uncertainty_m, 0, UNKNOWN_M);
}

double spl_verdict_reach_m(double ask_m, double site_uncertainty_m, double uncertainty_m)
{
    return ask_m + spl_judge_asking_m(site_uncertainty_m) + spl_judge_asking_m(uncertainty_m);
}

static char *hazard_words(const struct spl_hazard_near *hazard, double reduced_m, gboolean planned)
{
    const struct spl_method *method = hazard->method;
    GString *words = g_string_new(spl_judge_is_text(hazard->name) ? hazard->name : method->name);
    double raw_m = isnan(hazard->distance_m) ? 0 : hazard->distance_m;
    g_autofree char *raw = spl_length_format(raw_m);
    g_autofree char *reduced = spl_length_format(reduced_m);
    enum spl_drift_crop crop;
    enum spl_spray_manner manner;

    if (spl_judge_is_text(hazard->name) && spl_judge_is_text(method->name) &&
        strcmp(hazard->name, method->name) != 0)
        g_string_append_printf(words, " (%s)", method->name);
    if (!method->lasting)
        g_string_append(words, planned                      ? ", planned to be sprayed"
                               : spl_day_is_set(hazard->on) ? ", sprayed"
                                                            : ", sprayed at an unknown time");
    if (spl_judge_is_text(hazard->product))
        g_string_append_printf(words, " with %s", hazard->product);
    if (raw_m <= 0)
        g_string_append(words, ", on the site");
    else
        g_string_append_printf(words, ", %s away", raw);
    if (raw_m > 0 && strcmp(raw, reduced) != 0)
        g_string_append_printf(words, " (may be as near as %s)", reduced);
    if (!method->lasting && raw_m > 0 && spl_drift_crop_of(method->slug, &crop)) {
        g_autofree char *share = spl_number_format(spl_drift_pct(crop, reduced_m), 2);

        g_string_append_printf(words, "; drift there in ordinary spraying: %s %% of the dose%s",
                               share,
                               spl_drift_is_extrapolated(crop, reduced_m) ? ", extrapolated" : "");
    }
    if (planned && spl_spray_manner_of(method->slug, &manner)) {
        g_autofree char *zone = spl_length_format(spl_exclusion_zone_m(manner, TRUE, 1));

        g_string_append_printf(words, "; nobody within %s while it is sprayed", zone);
    }
    return g_string_free(words, FALSE);
}

static char *hazard_source(const struct spl_hazard_near *hazard)
{
    char changed[SPL_DAY_TEXT_SIZE];
    GString *source =
        g_string_new(spl_judge_is_text(hazard->source) ? hazard->source : "source not noted");

    if (spl_day_is_set(hazard->method_changed))
        g_string_append_printf(source, "; figures of '%s' changed in this book on %s",
                               hazard->method->slug,
                               spl_day_format(hazard->method_changed, changed));
    else if (spl_judge_is_text(hazard->method->source))
        g_string_append_printf(source, "; figures: %s", hazard->method->source);
    return g_string_free(source, FALSE);
}

static void judge_hazard(struct spl_judge *judge, const struct spl_hazard_near *hazard)
{
    const struct spl_method *method = hazard->method;
    double site_m = judge->ground->uncertainty_m;
    double raw_m = isnan(hazard->distance_m) ? 0 : MAX(hazard->distance_m, 0);
    double near_m = MAX(raw_m - closing_m(site_m) - closing_m(hazard->uncertainty_m), 0);
    double maybe_m =
        MAX(raw_m - spl_judge_asking_m(site_m) - spl_judge_asking_m(hazard->uncertainty_m), 0);
    double closed_m = isnan(method->closed_m) ? G_MAXDOUBLE : method->closed_m;
    double ask_m = isnan(method->ask_m) ? G_MAXDOUBLE : MAX(method->ask_m, closed_m);
    int hold_on = MAX(method->hold_on_days, method->hold_near_days);
    gboolean dated = !method->lasting && spl_day_is_set(hazard->on);
    gboolean planned = dated && hazard->on.n > judge->day.n;
    int age = dated ? judge->day.n - hazard->on.n : 0;
    enum spl_verdict verdict = SPL_VERDICT_CLEAR;
    enum spl_reason_kind kind;
    g_autofree char *rule = NULL;
    g_autofree char *limit = NULL;
    const char *lead = "";

    if (method->water_only && !judge->ground->water_plant)
        return;
    if (planned && spl_day_is_set(judge->ground->seen_from) &&
        hazard->on.n <= judge->ground->seen_from.n)
        return;
    if (dated && (age > hold_on || age < -SPL_PLANNED_AHEAD_DAYS))
        return;
    if (method->lasting ? near_m < closed_m || near_m <= 0
        : planned       ? FALSE
        : near_m <= 0   ? TRUE
                        : dated && age <= method->hold_near_days && near_m < closed_m)
        verdict = SPL_VERDICT_CLOSED;
    else if (maybe_m < ask_m || maybe_m <= 0)
        verdict = SPL_VERDICT_ASK;
    if (verdict == SPL_VERDICT_CLEAR)
        return;
    spl_judge_grade(judge, verdict);
    if (judge->reasons == NULL)
        return;
    kind = verdict == SPL_VERDICT_ASK && near_m >= ask_m ? SPL_REASON_HAZARD_POSITION
           : method->lasting                             ? SPL_REASON_HAZARD_LASTING
           : planned                                     ? SPL_REASON_HAZARD_AHEAD
           : dated                                       ? SPL_REASON_HAZARD_SPRAYED
                                                         : SPL_REASON_HAZARD_UNDATED;
    limit = spl_length_format(verdict == SPL_VERDICT_CLOSED ? closed_m : ask_m);
    if (verdict == SPL_VERDICT_CLOSED && near_m <= 0)
        rule = method->lasting ? g_strdup("on the site itself it is closed, whatever the date")
               : dated         ? g_strdup_printf("sprayed ground is closed for %d days", hold_on)
                               : g_strdup("ground sprayed at an unknown time is closed");
    else if (verdict == SPL_VERDICT_CLOSED)
        rule = method->lasting
                   ? g_strdup_printf("nearer than %s is closed, whatever the date", limit)
                   : g_strdup_printf("nearer than %s is closed for %d days", limit,
                                     method->hold_near_days);
    else {
        if (kind == SPL_REASON_HAZARD_POSITION)
            lead = "the position is doubtful; ";
        else if (planned)
            lead = "14 days before a planned spraying; ";
        rule = method->lasting || !dated
                   ? g_strdup_printf("%snearer than %s is to be asked about", lead, limit)
                   : g_strdup_printf("%snearer than %s is to be asked about for %d days", lead,
                                     limit, hold_on);
    }
    spl_judge_tell(judge,
                   &(struct spl_reason){.verdict = verdict,
                                        .kind = kind,
                                        .what = hazard_words(hazard, near_m, planned),
                                        .distance_m = raw_m,
                                        .date = method->lasting ? SPL_DAY_NONE : hazard->on,
                                        .rule = g_steal_pointer(&rule),
                                        .source = hazard_source(hazard),
                                        .next = spl_judge_next_hazard(judge, hazard, kind)},
                   hazard->evidence,
                   spl_judge_is_text(hazard->name) ? hazard->name : hazard->layer);
}

static void judge_layer(struct spl_judge *judge, const struct spl_layer_near *layer)
{
    double raw_m = isnan(layer->distance_m) ? 0 : layer->distance_m;
    double maybe_m = raw_m - spl_judge_asking_m(judge->ground->uncertainty_m);
    g_autofree char *what = NULL;

    if (layer->doubtful)
        maybe_m -= UNKNOWN_M;
    if ((!layer->incomplete && !layer->doubtful) ||
        (maybe_m > 0 && !(maybe_m < layer->reach_m) && !isnan(layer->reach_m)))
        return;
    spl_judge_grade(judge, SPL_VERDICT_ASK);
    if (judge->reasons == NULL)
        return;
    if (layer->words != NULL)
        what = g_strdup(layer->words);
    else if (!layer->incomplete)
        what = g_strdup_printf("the positions in layer '%s' are doubtful", layer->name);
    else if (layer->unread > 0)
        what = g_strdup_printf("layer '%s' is incomplete: %d record%s could not be read%s",
                               layer->name, layer->unread, layer->unread == 1 ? "" : "s",
                               layer->doubtful ? ", and its positions are doubtful" : "");
    else
        what = g_strdup_printf("layer '%s' is incomplete%s", layer->name,
                               layer->doubtful ? ", and its positions are doubtful" : "");
    spl_judge_tell(
        judge,
        &(struct spl_reason){
            .verdict = SPL_VERDICT_ASK,
            .kind = layer->incomplete ? SPL_REASON_LAYER_INCOMPLETE : SPL_REASON_LAYER_POSITION,
            .what = g_steal_pointer(&what),
            .distance_m = raw_m,
            .date = layer->imported,
            .rule = g_strdup("within reach of a layer with gaps or doubtful positions, ask first"),
            .source = spl_judge_source(layer->source),
            .next = spl_judge_next_layer(layer)},
        layer->evidence, layer->name);
}

void spl_judge_position(struct spl_judge *judge)
{
    double uncertainty_m = judge->ground->uncertainty_m;
    g_autofree char *limit = NULL;

    if (uncertainty_m <= SPL_DOUBTFUL_M) /* FALSE for NAN */
        return;
    spl_judge_grade(judge, SPL_VERDICT_ASK);
    if (judge->reasons == NULL)
        return;
    limit = spl_length_format(SPL_DOUBTFUL_M);
    spl_judge_tell(
        judge,
        &(struct spl_reason){
            .verdict = SPL_VERDICT_ASK,
            .kind = SPL_REASON_SITE_POSITION,
            .what = g_strdup(isnan(uncertainty_m)
                                 ? "the site's position is noted without saying how exact it is"
                                 : "the site's position is not known well enough"),
            .distance_m = NAN,
            .date = SPL_DAY_NONE,
            .rule = g_strdup_printf("a position must be known to %s", limit),
            .source = g_strdup("the site's own record"),
            .next = spl_judge_next_position(judge)},
        judge->ground->evidence, NULL);
}

void spl_judge_hazards(struct spl_judge *judge)
{
    const GArray *hazards = judge->ground->hazards;

    for (guint i = 0; hazards != NULL && i < hazards->len; i++)
        judge_hazard(judge, &g_array_index(hazards, struct spl_hazard_near, i));
}

void spl_judge_layers(struct spl_judge *judge)
{
    const GArray *layers = judge->ground->layers;

    for (guint i = 0; layers != NULL && i < layers->len; i++)
        judge_layer(judge, &g_array_index(layers, struct spl_layer_near, i));
}
