/* SPDX-License-Identifier: MIT
 *
 * simpling plan …: the season's batches, what runs short, the outings.
 */
#include "simpling/plan.h"

#include <math.h>
#include <signal.h>

#include "base/amount.h"
#include "base/layout.h"
#include "command/outings.h"
#include "command/rows.h"

static int print_line(struct spl_call *call, struct spl_plan_line *line)
{
    spl_call_print(call, line);
    spl_record_clear(&spl_plan_line_shape, line);
    return 0;
}

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_plan_line line;
    GPtrArray *cautions;

    if (!spl_plan_add(call->house, call->said, &line, &cautions, error))
        return -1;
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    return print_line(call, &line);
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_plan_lines(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list,
                        "nothing is planned yet; plan a batch with 'plan add NAME PREPARATION "
                        "MATERIAL --yield 500mL'");
    spl_list_free(&spl_plan_line_shape, list);
    return 0;
}

static int run_drop(struct spl_call *call, GError **error)
{
    struct spl_plan_line line;

    if (!spl_plan_drop(call->house, call->said, &line, error))
        return -1;
    return print_line(call, &line);
}

#define YEAR_WIDTH 80

static void tell_indented(const struct spl_call *call, const char *words, int width)
{
    fputs("  ", call->out);
    spl_text_print_folded(words, 2, width, call->out);
}

/* Of a medicine in its unit, as the person counts it. */
static char *amount_of(const struct spl_plan_year_line *line, double amount)
{
    return strcmp(line->unit, "g") == 0 ? spl_mass_format(amount) : spl_volume_format(amount);
}

/* What is known of one medicine, in words. */
static void tell_year_line(const struct spl_call *call, const struct spl_plan_year_line *line)
{
    const int width = call->width > 0 ? MIN(call->width, YEAR_WIDTH) : YEAR_WIDTH;
    g_autoptr(GString) words = g_string_new(NULL);
    g_autofree char *make = amount_of(line, line->suggested > 0.0 ? line->suggested : line->left);
    g_autofree char *out = amount_of(line, line->out), *left = amount_of(line, line->left);
    g_autofree char *to_come = amount_of(line, line->to_come);
    g_autofree char *wanted = amount_of(line, line->wanted);
    char day[SPL_DAY_TEXT_SIZE];

    g_string_append_printf(words, "%s: %s %s", line->medicine,
                           line->suggested > 0.0 ? "make" : "nothing to make; left", make);
    spl_text_print_folded(words->str, 2, width, call->out);
    g_string_printf(words, "%s went out in 12 months; %s left", out, left);
    if (spl_day_is_set(line->good_until))
        g_string_append_printf(words, ", good until %s", spl_day_format(line->good_until, day));
    if (line->to_come > 0.0)
        g_string_append_printf(words, "; %s to come in jars", to_come);
    if (spl_day_is_set(line->lasts_until))
        g_string_append_printf(words, "; lasts until %s", spl_day_format(line->lasts_until, day));
    g_string_append_printf(words, "; next of it on %s", spl_day_format(line->until, day));
    tell_indented(call, words->str, width);
    g_string_truncate(words, 0);
    if (line->wanted > 0.0)
        g_string_append_printf(words, "%s planned", wanted);
    if (!isnan(line->fresh_g)) {
        g_autofree char *fresh = spl_mass_format(line->fresh_g);

        g_string_append_printf(words, "%s%s fresh needed", words->len > 0 ? "; " : "", fresh);
    }
    if (!isnan(line->spare_g)) {
        g_autofree char *spare = spl_mass_format(line->spare_g);

        g_string_append_printf(words, "%sthe stands spare %s", words->len > 0 ? "; " : "", spare);
    }
    if (words->len > 0)
        tell_indented(call, words->str, width);
    if (line->late != NULL) {
        g_string_printf(words, "out of date before it is wanted: %s", line->late);
        tell_indented(call, words->str, width);
    }
    if (line->held != NULL) {
        g_string_printf(words, "held, and not counted: %s", line->held);
        tell_indented(call, words->str, width);
    }
    if (line->note != NULL)
        tell_indented(call, line->note, width);
}

static int run_year(struct spl_call *call, GError **error)
{
    GArray *list = spl_plan_year(call->house, call->said, error);

    if (list == NULL)
        return -1;
    /* A table of all this is wider than a screen. */
    for (guint i = 0; !call->json && i < list->len; i++)
        tell_year_line(call, &g_array_index(list, struct spl_plan_year_line, i));
    if (call->json || list->len == 0)
        spl_call_print_list(call, list, "nothing went out in twelve months, and nothing stands");
    spl_list_free(&spl_plan_year_line_shape, list);
    return 0;
}

static int run_shortfall(struct spl_call *call, GError **error)
{
    GArray *list = spl_plan_shortfall(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "nothing is planned yet");
    spl_list_free(&spl_plan_shortage_shape, list);
    return 0;
}

/* ---- outings for people -------------------------------------------------------------------- */

static void print_take(FILE *out, const struct spl_plan_take *take)
{
    g_autofree char *grams = spl_mass_format(take->grams);
    g_autofree char *planned = spl_mass_format(take->planned_g);

    fprintf(out, "        %s %s", grams, take->material);
    if (!isnan(take->planned_g))
        fprintf(out, " (%s were planned: the stand can spare no more)", planned);
    for (guint n = 0; n < take->what_for->len; n++)
        fprintf(out, "%s%s", n == 0 ? " for " : ", ",
                (const char *)g_ptr_array_index(take->what_for, n));
    fputc('\n', out);
    if (take->note != NULL)
        fprintf(out, "            %s\n", take->note);
}

void spl_call_print_outing(struct spl_call *call, const struct spl_plan_outing *outing)
{
    FILE *out = call->out;
    g_autofree char *day = spl_day_words(outing->date);
    g_autofree char *reserve = spl_day_words(outing->reserve);
    g_autofree char *home = spl_mass_format(outing->home_g);
    g_autofree char *way = spl_distance_format(outing->km);

    fprintf(out, "%s%s%s: %.1f h out, %s, %s home; ", day, outing->past ? ", past" : "",
            outing->fixed ? ", kept as you set it" : "", outing->hours, way, home);
    if (outing->free != NULL)
        fprintf(out, "free and dry %s; ", outing->free);
    if (*reserve != '\0')
        fprintf(out, "reserve day %s", reserve);
    else
        fprintf(out, "no reserve day");
    if (outing->moved != NULL)
        fprintf(out, "; %s", outing->moved);
    if (outing->reserve_why != NULL)
        fprintf(out, *reserve != '\0' ? " (%s)" : ": %s", outing->reserve_why);
    fputc('\n', out);
    for (guint s = 0; s < outing->sites->len; s++) {
        const struct spl_plan_stop *stop = &g_array_index(outing->sites, struct spl_plan_stop, s);

        fprintf(out, "    %s (%s)\n", stop->site, spl_verdict_names[stop->verdict]);
        for (guint r = 0; stop->reasons != NULL && r < stop->reasons->len; r++)
            fprintf(out, "        - %s\n", (const char *)g_ptr_array_index(stop->reasons, r));
        if (stop->why != NULL)
            fprintf(out, "        why here: %s\n", stop->why);
        for (guint t = 0; t < stop->takes->len; t++)
            print_take(out, &g_array_index(stop->takes, struct spl_plan_take, t));
    }
}

/* "setting out 4.0 h, on the road … 1.1 h: 5.1 h in all". */
static char *sum_words(const struct spl_plan_outings *plan)
{
    GString *text = g_string_new(NULL);

    for (guint i = 0; i < plan->weighs->len; i++) {
        const struct spl_plan_weighs *part =
            &g_array_index(plan->weighs, struct spl_plan_weighs, i);

        g_string_append_printf(text, "%s%s %.2f h", i > 0 ? ", " : "", part->what, part->hours);
    }
    return g_string_free(text, FALSE);
}

/* What the search came to: one sentence for what one does, one for what it weighs. */
static void print_sum(struct spl_call *call, const struct spl_plan_outings *plan)
{
    GString *text = g_string_new(NULL);
    g_autofree char *sum = sum_words(plan);
    g_autofree char *way = spl_distance_format(plan->km);

    g_string_printf(text, "%d %s: %.1f hours out and %s in all", plan->outings_count,
                    plan->outings_count == 1 ? "outing" : "outings", plan->hours, way);
    if (plan->lower_bound > 0 && plan->outings_count <= plan->lower_bound)
        g_string_append(text, ", the fewest that cover as much");
    else if (plan->lower_bound > 0)
        g_string_append_printf(text, "; at least %d are needed to cover as much",
                               plan->lower_bound);
    g_string_append_printf(text, ". Weighed: %s; together %.2f h", sum, plan->cost_h);
    if (plan->reserve_h >= 0.005)
        g_string_append_printf(text, ", %.2f h of them for the sake of reserve days",
                               plan->reserve_h);
    if (isnan(plan->cost_bound_h))
        g_string_append_printf(text, ". How good that is was not proven (%s).", plan->stop);
    else if (plan->cost_h - plan->cost_bound_h < 0.005)
        g_string_append(text, ". No plan weighs less.");
    else
        g_string_append_printf(text, ". No plan weighs less than %.2f h (%s).", plan->cost_bound_h,
                               plan->stop);
    fputc('\n', call->out);
    spl_call_say("", text->str, call->width, call->out);
    g_string_free(text, TRUE);
}

static void print_prices(struct spl_call *call, const struct spl_plan_outings *plan)
{
    fprintf(call->out, "\nstages\n");
    spl_list_write_table(&spl_plan_stage_shape, plan->stages, call->width, call->out);
    fprintf(call->out, "\nweighed by (book set SETTING HOURS)\n");
    spl_list_write_table(&spl_plan_price_shape, plan->prices, call->width, call->out);
}

static void print_outings(struct spl_call *call, const struct spl_plan_outings *plan)
{
    for (guint i = 0; i < plan->outings->len; i++)
        spl_call_print_outing(call, &g_array_index(plan->outings, struct spl_plan_outing, i));
    if (plan->outings->len == 0)
        fprintf(call->out, "no outings\n");
    if (plan->call->len > 0) {
        fprintf(call->out, "\ncall list\n");
        spl_list_write_table(&spl_plan_call_shape, plan->call, call->width, call->out);
    }
    if (plan->missing->len > 0) {
        fprintf(call->out, "\nshort\n");
        spl_list_write_table(&spl_plan_missing_shape, plan->missing, call->width, call->out);
    }
    if (plan->changes->len > 0)
        fprintf(call->out, "\nchanged against the kept plan\n");
    for (guint i = 0; i < plan->changes->len; i++)
        fprintf(call->out, "    %s\n", (const char *)g_ptr_array_index(plan->changes, i));
    if (spl_call_has(call, "stages") && plan->stages->len > 0)
        print_prices(call, plan);
    if (plan->stop != NULL && plan->outings_count > 0)
        print_sum(call, plan);
    if (plan->stop != NULL)
        fprintf(call->out, "%s\n",
                plan->kept      ? "This plan is kept in the book."
                : plan->stopped ? "Stopped: this is the best plan so far; it is not kept."
                                : "This plan is not kept yet: say --keep to keep it in the book.");
    fprintf(call->out, "Check each place again before picking.\n");
}

static int finish(struct spl_call *call, struct spl_plan_outings *plan)
{
    if (call->json)
        spl_call_print(call, plan);
    else
        print_outings(call, plan);
    if (!call->json)
        spl_call_caution(call, plan->cautions);
    spl_record_clear(&spl_plan_outings_shape, plan);
    return 0;
}

/* ---- Ctrl-C -------------------------------------------------------------------------------- */

static volatile sig_atomic_t stopped;

static void note_stop(int number)
{
    (void)number;
    stopped = 1;
}

static gboolean is_stopped(gpointer data)
{
    (void)data;
    return stopped != 0;
}

/* Searches; Ctrl-C ends the search and not the program. */
static gboolean search(struct spl_call *call, struct spl_plan_outings *plan, GError **error)
{
    struct sigaction ours = {.sa_handler = note_stop}, before;
    gboolean ok;

    stopped = 0;
    sigaction(SIGINT, &ours, &before);
    ok = spl_plan_search(call->house, call->said, is_stopped, NULL, plan, error);
    sigaction(SIGINT, &before, NULL);
    return ok;
}

static int run_outings(struct spl_call *call, GError **error)
{
    const struct spl_plan_wish *wish = call->said;
    int season = wish->season == SPL_COUNT_NONE ? 0 : wish->season;
    struct spl_plan_outings plan;

    if (spl_call_has(call, "kept") ? !spl_plan_kept(call->house, season, &plan, error)
                                   : !search(call, &plan, error))
        return -1;
    return finish(call, &plan);
}

/* ---- rows ---------------------------------------------------------------------------------- */

const struct spl_command spl_command_plan_add = {
    .words = "plan add",
    .summary = "Plan a batch for this season",
    .inputs = &spl_plan_inputs,
    .at = "name preparation materials",
    .about =
        "Several materials in parts (dandelion/flower:1 dandelion/leaf:1) are macerated apart and "
        "pressed\ntogether; the plan counts back from --by over their steeping to the last day "
        "to pick each.",
    .examples =
        (const char *const[]){"simpling plan add 'winter tincture' tincture nettle/leaf --yield "
                              "500mL --by 2027-11-01",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_line_shape,
    .run = run_add,
};

const struct spl_command spl_command_plan_list = {
    .words = "plan list",
    .summary = "What is planned, and how far each is",
    .inputs = &spl_plan_question_inputs,
    .about =
        "What was gathered, stands or is bottled is reckoned from the log, the batches and the "
        "shelf; a\nlot that is withdrawn no longer counts, and what it was made for is open "
        "again.",
    .examples = (const char *const[]){"simpling plan list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_plan_line_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_plan_year = {
    .words = "plan year",
    .summary = "What to make: what went out in twelve months, what stands and until when",
    .inputs = &spl_plan_year_inputs,
    .about = "A medicine is to last, at the rate of the last twelve months, until next year's herb "
             "is bottled; what will\nbe missing by then is suggested. What will be out of date "
             "before it is wanted is said. --accept puts one\nmedicine into the plan.",
    .examples = (const char *const[]){"simpling plan year", "simpling plan year --year 2028", NULL},
    .needs = SPL_NEEDS_BOOK,
    .writes_with = "accept",
    .shape = &spl_plan_year_line_shape,
    .array = TRUE,
    .run = run_year,
};

const struct spl_command spl_command_plan_drop = {
    .words = "plan drop",
    .summary = "Take a planned batch out of the plan",
    .inputs = &spl_plan_drop_inputs,
    .at = "name",
    .examples =
        (const char *const[]){
            "simpling plan add 'one too many' vinegar dandelion/flower --yield 250mL",
            "simpling plan drop 'one too many' --why 'enough on the shelf'", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_line_shape,
    .run = run_drop,
};

const struct spl_command spl_command_plan_shortfall = {
    .words = "plan shortfall",
    .summary = "What the season needs against what the stands can spare",
    .inputs = &spl_plan_short_inputs,
    .about = "Needs are fresh grams as picked, less what is bottled, stands, was gathered or lies "
             "dried. Days\nand hours are not looked at here; 'plan outings' does.",
    .examples = (const char *const[]){"simpling plan shortfall", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_plan_shortage_shape,
    .array = TRUE,
    .run = run_shortfall,
};

const struct spl_command spl_command_plan_outings = {
    .words = "plan outings",
    .summary = "Which days, which places, how much: the fewest outings that cover the plan",
    .inputs = &spl_plan_wish_inputs,
    .options =
        (const struct spl_option[]){
            {"stages", SPL_OPTION_FLAG, NULL, "show how the search went and what it weighs by"},
            {"kept", SPL_OPTION_FLAG, NULL, "show the stored plan as it is"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about =
        "As few and short outings as can be found, in the likely middle of the windows, on days "
        "and ground\nas check sees them, in one free stretch between dew and dusk. All is weighed "
        "in hours: setting out,\nthe road, lateness, what must be asked, small stands, what stays "
        "open (--stages shows the weights,\nbook set changes them). Kept outings that are past, or "
        "that you moved, stay as they are; the rest is\nplanned anew (--off DATE after a rainy "
        "day). The call list says whom to ask by when. Ctrl-C shows\nthe best plan so far. 'At "
        "least' and 'no plan weighs less' are proven.",
    .examples = (const char *const[]){"simpling plan outings --days sat,sun,wed --seconds 5",
                                      "simpling plan outings --days sat,sun,wed --seconds 5 --keep",
                                      "simpling plan outings --kept", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_plan_outings_shape,
    .run = run_outings,
};
