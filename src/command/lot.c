/* SPDX-License-Identifier: MIT
 *
 * simpling lot …, simpling discard: the shelf, and what leaves it.
 */
#include <math.h>

#include "base/amount.h"
#include "command/rows.h"
#include "simpling/batch.h"

static int print_lot(struct spl_call *call, struct spl_lot *lot)
{
    spl_call_print(call, lot);
    spl_record_clear(&spl_lot_shape, lot);
    return 0;
}

static gboolean stream_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    return spl_call_stream_item(data, lot, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_lot_lines(call->house, spl_call_has(call, "all"), stream_lot, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "the shelf is empty");
}

static int run_show(struct spl_call *call, GError **error)
{
    struct spl_lot lot;

    if (!spl_lot_show(call->house, call->places[0], &lot, error))
        return -1;
    spl_call_print(call, &lot);
    if (!call->json && lot.events->len > 0) {
        fprintf(call->out, "\nwhat happened\n");
        spl_list_write_table(&spl_lot_event_shape, lot.events, call->width, call->out);
    }
    if (!call->json && lot.used->len > 0) {
        fprintf(call->out, "\nwhat went out\n");
        spl_list_write_table(&spl_lot_use_shape, lot.used, call->width, call->out);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return 0;
}

static int run_count(struct spl_call *call, GError **error)
{
    struct spl_lot lot;
    struct spl_day on;
    double grams, ml;

    /* An empty bottle is a count too. */
    if (g_str_equal(call->places[1], "0mL") || g_str_equal(call->places[1], "0g") ||
        g_str_equal(call->places[1], "0"))
        grams = ml = 0.0;
    else if (!spl_mass_or_volume_parse(call->places[1], "AMOUNT", &grams, &ml, error))
        return -1;
    if (!spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_lot_count(call->house, call->places[0], ml, grams, on, spl_call_get(call, "by"), &lot,
                       error))
        return -1;
    return print_lot(call, &lot);
}

static int decide(struct spl_call *call, const char *kind, GError **error)
{
    const char *why = spl_call_demand(call, "why", error);
    struct spl_lot lot;
    struct spl_day on;
    GPtrArray *with;

    if (why == NULL || !spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_lot_decide(call->house, call->places[0], kind, why, on, spl_call_get(call, "by"), &lot,
                        &with, error))
        return -1;
    spl_call_touched("came of it and is held with it", with);
    g_ptr_array_unref(with);
    return print_lot(call, &lot);
}

static int run_release(struct spl_call *call, GError **error)
{
    return decide(call, "release", error);
}

static int run_withdraw(struct spl_call *call, GError **error)
{
    return decide(call, "withdraw", error);
}

static int run_hold(struct spl_call *call, GError **error)
{
    return decide(call, "hold", error);
}

static void sources_free(GArray *sources)
{
    for (guint i = 0; i < sources->len; i++)
        spl_inputs_clear(&spl_source_inputs, &g_array_index(sources, struct spl_source_words, i));
    g_array_unref(sources);
}

static GArray *take_sources(struct spl_call *call, GError **error)
{
    GArray *sources = spl_inputs_list(&spl_source_inputs);

    for (guint i = 0; i < call->n_places; i++) {
        struct spl_source_words words;

        spl_inputs_init(&spl_source_inputs, &words);
        if (!spl_source_inputs.line(call->places[i], "CODE:AMOUNT", &words, error)) {
            sources_free(sources);
            return NULL;
        }
        g_array_append_val(sources, words);
    }
    return sources;
}

static int run_use(struct spl_call *call, GError **error)
{
    GArray *sources, *uses = NULL;
    struct spl_day on;

    sources = take_sources(call, error);
    if (sources == NULL)
        return -1;
    for (guint i = 0; i < sources->len; i++) {
        const struct spl_source_words *words = &g_array_index(sources, struct spl_source_words, i);

        if (isnan(words->amount.ml) && isnan(words->amount.g)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: say how much goes out, as %s:50mL",
                        words->code, words->code);
            sources_free(sources);
            return -1;
        }
    }
    if (spl_call_day(call, "on", spl_house_today(call->house), &on, error))
        uses = spl_lot_use(
            call->house, (const struct spl_source_words *)(const void *)sources->data, sources->len,
            spl_call_get(call, "for"), on, spl_call_get(call, "by"), error);
    sources_free(sources);
    if (uses == NULL)
        return -1;
    spl_call_print_list(call, uses, "nothing");
    spl_list_free(&spl_lot_use_shape, uses);
    return 0;
}

static int run_discard(struct spl_call *call, GError **error)
{
    const char *why = spl_call_demand(call, "why", error);
    struct spl_discarded discarded;
    struct spl_day on;
    double grams = NAN, ml = NAN;

    if (why == NULL ||
        (call->n_places > 1 &&
         !spl_mass_or_volume_parse(call->places[1], "AMOUNT", &grams, &ml, error)) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_discard(call->house, call->places[0], grams, ml, why, on, spl_call_get(call, "by"),
                     &discarded, error))
        return -1;
    spl_call_print(call, &discarded);
    spl_record_clear(&spl_discarded_shape, &discarded);
    return 0;
}

const struct spl_command spl_command_lot_list = {
    .words = "lot list",
    .summary = "What stands on the shelf",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"all", SPL_OPTION_FLAG, NULL, "used up, destroyed and struck ones too"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling lot list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_lot_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_lot_show = {
    .words = "lot show",
    .summary = "One lot, with what happened to it and what went out",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .examples = (const char *const[]){"simpling lot show L26-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_lot_shape,
    .run = run_show,
};

static const struct spl_option count_options[] = {
    {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
    {"by", SPL_OPTION_ONE, "WHO", "who counted (default: the setting 'who')"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

const struct spl_command spl_command_lot_count = {
    .words = "lot count",
    .summary = "Take stock: the difference to the book is kept",
    .places = "CODE AMOUNT",
    .min_places = 2,
    .max_places = 2,
    .options = count_options,
    .examples = (const char *const[]){"simpling lot count L26-001 640mL", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_count,
};

static const struct spl_option decide_options[] = {
    {"why", SPL_OPTION_ONE, "TEXT", "the reason, kept with its day (needed)"},
    {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
    {"by", SPL_OPTION_ONE, "WHO", "who decided (default: the setting 'who')"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

const struct spl_command spl_command_lot_release = {
    .words = "lot release",
    .summary = "Let a held or withdrawn lot out, with the reason",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options = decide_options,
    .examples =
        (const char *const[]){"simpling lot release L26-003 --why \"tasted and clear\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_release,
};

const struct spl_command spl_command_lot_withdraw = {
    .words = "lot withdraw",
    .summary = "Pull a lot from the shelf: nothing goes out of it any more",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options = decide_options,
    .examples =
        (const char *const[]){"simpling lot withdraw L26-001 --why \"the verge was sprayed\"",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_withdraw,
};

const struct spl_command spl_command_lot_hold = {
    .words = "lot hold",
    .summary = "Keep a lot back until something is known",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options = decide_options,
    .examples =
        (const char *const[]){"simpling lot hold L27-001 --why \"cloudy: look in a week\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_hold,
};

const struct spl_command spl_command_lot_use = {
    .words = "lot use",
    .summary = "Note what went out: several lots in one call for a mixture",
    .places = "CODE:AMOUNT…",
    .min_places = 1,
    .max_places = -1,
    .options =
        (const struct spl_option[]){
            {"for", SPL_OPTION_ONE, "NUMBER", "your reference: a number, never a name"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who gave it out (default: the setting 'who')"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about =
        "Held, withdrawn and out-of-date lots are refused, and more than is left; then nothing "
        "of the call is noted.",
    .examples = (const char *const[]){"simpling lot use L26-001:50mL L26-002:2mL --for 1042", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_use_shape,
    .array = TRUE,
    .run = run_use,
};

const struct spl_command spl_command_discard = {
    .words = "discard",
    .summary = "Throw away, from any code: mould, a broken jar, a rack gone brown",
    .places = "CODE [AMOUNT]",
    .min_places = 1,
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"why", SPL_OPTION_ONE, "TEXT", "what happened (needed)"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who threw it away (default: the setting 'who')"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "All of it when no amount is said.",
    .examples = (const char *const[]){"simpling discard H27-003 20g --why \"gone brown\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_discarded_shape,
    .run = run_discard,
};
