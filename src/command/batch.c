/* SPDX-License-Identifier: MIT
 *
 * simpling batch …: into the jar, through its weeks, out of it.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "command/rows.h"
#include "simpling/batch.h"

/* "H27-001", "H27-001:87g", "L27-001:250mL". `code` of the words is to be freed. */
static gboolean take_source(const char *text, const char *what, struct spl_source_words *words,
                            GError **error)
{
    const char *colon = strrchr(text, ':');

    *words = (struct spl_source_words){.grams = NAN, .ml = NAN};
    /* What follows the last colon is an amount when it begins with a digit or a sign. */
    if (colon != NULL && (g_ascii_isdigit(colon[1]) || strchr("-+.", colon[1]) != NULL)) {
        if (!spl_mass_or_volume_parse(colon + 1, what, &words->grams, &words->ml, error))
            return FALSE;
        words->code = g_strndup(text, (gsize)(colon - text));
    } else {
        words->code = g_strdup(text);
    }
    return TRUE;
}

GArray *spl_call_sources(const GPtrArray *texts, const char *what, GError **error)
{
    GArray *sources = g_array_new(FALSE, FALSE, sizeof(struct spl_source_words));

    for (guint i = 0; i < texts->len; i++) {
        struct spl_source_words words;

        if (!take_source(g_ptr_array_index(texts, i), what, &words, error)) {
            spl_call_sources_free(sources);
            return NULL;
        }
        g_array_append_val(sources, words);
    }
    return sources;
}

void spl_call_sources_free(GArray *sources)
{
    for (guint i = 0; sources != NULL && i < sources->len; i++)
        g_free((char *)g_array_index(sources, struct spl_source_words, i).code);
    if (sources != NULL)
        g_array_unref(sources);
}

static gboolean take_jars(struct spl_call *call, GArray *jars, GError **error)
{
    const GPtrArray *texts = spl_call_all(call, "jar");

    for (guint i = 0; i < texts->len; i++) {
        struct spl_jar_words jar;

        if (!spl_jars_parse(g_ptr_array_index(texts, i), "--jar", &jar.count, &jar.nominal_ml,
                            error))
            return FALSE;
        g_array_append_val(jars, jar);
    }
    return TRUE;
}

static int print_batch(struct spl_call *call, struct spl_batch *batch, GPtrArray *cautions)
{
    spl_call_print(call, batch);
    if (cautions != NULL) {
        spl_call_caution(call, cautions);
        g_ptr_array_unref(cautions);
    }
    spl_record_clear(&spl_batch_shape, batch);
    return 0;
}

/* What start and add share. */
static gboolean take_words(struct spl_call *call, struct spl_batch_words *words, GArray **sources,
                           GArray *jars, GError **error)
{
    const char *ratio = spl_call_get(call, "ratio");

    spl_batch_words_init(words);
    words->menstruum = spl_call_get(call, "menstruum");
    words->press = spl_call_get(call, "press");
    words->outside = spl_call_has(call, "outside");
    words->hold = spl_call_get(call, "hold");
    words->by = spl_call_get(call, "by");
    words->remark = spl_call_get(call, "remark");
    *sources = spl_call_sources(spl_call_all(call, "from"), "--from", error);
    if (*sources == NULL || !take_jars(call, jars, error) ||
        (ratio != NULL && !spl_ratio_parse(ratio, "--ratio", &words->ratio, error)) ||
        !spl_call_volume(call, "liquid", NAN, &words->liquid_ml, error) ||
        !spl_call_volume(call, "honey", NAN, &words->honey_ml, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &words->on, error))
        return FALSE;
    words->sources = (const struct spl_source_words *)(const void *)(*sources)->data;
    words->n_sources = (*sources)->len;
    words->jars = (const struct spl_jar_words *)(const void *)jars->data;
    words->n_jars = jars->len;
    return TRUE;
}

static int start_or_add(struct spl_call *call, gboolean start, GError **error)
{
    g_autoptr(GArray) jars = g_array_new(FALSE, FALSE, sizeof(struct spl_jar_words));
    GArray *sources = NULL;
    GPtrArray *cautions = NULL;
    struct spl_batch_words words;
    struct spl_batch batch;
    gboolean ok = take_words(call, &words, &sources, jars, error);

    if (ok && start) {
        words.preparation = call->places[0];
        ok = spl_batch_begin(call->house, &words, &batch, &cautions, error);
    } else if (ok) {
        ok = spl_batch_extend(call->house, call->places[0], &words, &batch, &cautions, error);
    }
    spl_call_sources_free(sources);
    return ok ? print_batch(call, &batch, cautions) : -1;
}

static int run_start(struct spl_call *call, GError **error)
{
    return start_or_add(call, TRUE, error);
}

static int run_add(struct spl_call *call, GError **error)
{
    return start_or_add(call, FALSE, error);
}

/* The step on another day, or no more. */
static int move_step(struct spl_call *call, GError **error)
{
    const char *why = spl_call_get(call, "why");
    struct spl_batch batch;
    struct spl_day due;

    if ((spl_call_has(call, "drop") && spl_call_has(call, "due")) || spl_call_has(call, "liquid") ||
        spl_call_has(call, "on")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "batch step: --drop, --due and a step done (--on, --liquid) are three things; "
                    "give one of them");
        return -1;
    }
    if (!spl_call_day(call, "due", SPL_DAY_NONE, &due, error))
        return -1;
    if (why == NULL)
        why = spl_call_has(call, "drop") ? "dropped" : "put off";
    if (!spl_batch_move_step(call->house, call->places[0], call->places[1], due,
                             spl_call_get(call, "by"), why, &batch, error))
        return -1;
    return print_batch(call, &batch, NULL);
}

static int run_step(struct spl_call *call, GError **error)
{
    struct spl_batch batch;
    struct spl_day on;
    double liquid_ml;
    GPtrArray *cautions;

    if (spl_call_has(call, "drop") || spl_call_has(call, "due"))
        return move_step(call, error);
    if (spl_call_has(call, "why")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "batch step: --why goes with --drop or --due");
        return -1;
    }
    if (!spl_call_volume(call, "liquid", NAN, &liquid_ml, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_batch_step(call->house, call->places[0], call->places[1], liquid_ml, on,
                        spl_call_get(call, "by"), &batch, &cautions, error))
        return -1;
    return print_batch(call, &batch, cautions);
}

/* Yields in mL, or all in g. */
static gboolean take_yields(struct spl_call *call, GArray *yields, gboolean *grams, GError **error)
{
    const GPtrArray *texts = spl_call_all(call, "yield");

    for (guint i = 0; i < texts->len; i++) {
        const char *text = g_ptr_array_index(texts, i);
        g_autoptr(GError) not_ml = NULL;
        double amount;
        gboolean weighed = FALSE;

        if (!spl_volume_parse(text, "--yield", &amount, &not_ml)) {
            weighed = spl_mass_parse(text, "--yield", &amount, NULL);
            if (!weighed) {
                g_propagate_error(error, g_steal_pointer(&not_ml));
                return FALSE;
            }
        }
        if (i > 0 && weighed != *grams) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                        "--yield: some in millilitres and some in grams; give all in one");
            return FALSE;
        }
        *grams = weighed;
        g_array_append_val(yields, amount);
    }
    return TRUE;
}

static int run_press(struct spl_call *call, GError **error)
{
    g_autoptr(GArray) yields = g_array_new(FALSE, FALSE, sizeof(double)), parts = NULL;
    const char *parts_text = spl_call_get(call, "parts");
    struct spl_press_words words = {.codes = (const char *const *)call->places,
                                    .n_codes = call->n_places,
                                    .hold = spl_call_get(call, "hold"),
                                    .by = spl_call_get(call, "by"),
                                    .remark = spl_call_get(call, "remark")};
    GPtrArray *cautions;
    GArray *lots;

    if (spl_call_all(call, "yield")->len == 0) {
        spl_call_demand(call, "yield", error);
        return -1;
    }
    if (!take_yields(call, yields, &words.grams, error) ||
        (parts_text != NULL && (parts = spl_parts_parse(parts_text, "--parts", error)) == NULL) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &words.on, error))
        return -1;
    words.yields = (const double *)(const void *)yields->data;
    words.n_yields = yields->len;
    if (parts != NULL) {
        words.parts = (const double *)(const void *)parts->data;
        words.n_parts = parts->len;
    }
    lots = spl_batch_press(call->house, &words, &cautions, error);
    if (lots == NULL)
        return -1;
    spl_call_print_list(call, lots, "nothing");
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_lot_shape, lots);
    return 0;
}

static gboolean stream_line(const struct spl_batch_line *line, gpointer data, GError **error)
{
    return spl_call_stream_item(data, line, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_batch_question question = {.standing = spl_call_has(call, "standing"),
                                          .all = spl_call_has(call, "all"),
                                          .preparation = spl_call_get(call, "preparation"),
                                          .material = spl_call_get(call, "material")};
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_batch_lines(call->house, &question, stream_line, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "nothing stands");
}

static int run_show(struct spl_call *call, GError **error)
{
    struct spl_batch batch;

    if (!spl_batch_show(call->house, call->places[0], &batch, error))
        return -1;
    return print_batch(call, &batch, NULL);
}

const struct spl_command spl_command_batch_start = {
    .words = "batch start",
    .summary = "Put herb and liquid into a jar",
    .places = "PREPARATION",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"from", SPL_OPTION_MANY, "CODE[:AMOUNT]",
             "harvest, purchase, drying, marc of a batch (87g) or a lot (250mL); all of it if no "
             "amount is said"},
            {"jar", SPL_OPTION_MANY, "VOLUME", "the jars: 500mL, 2x1L"},
            {"menstruum", SPL_OPTION_ONE, "TEXT", "\"spirit 40%, SUPPLIER, NUMBER\""},
            {"liquid", SPL_OPTION_ONE, "VOLUME",
             "poured on, as measured (default: by --ratio, else up to the brim)"},
            {"honey", SPL_OPTION_ONE, "VOLUME", "oxymel: honey, as measured"},
            {"ratio", SPL_OPTION_ONE, "1:N", "millilitres poured on a gram"},
            {"press", SPL_OPTION_ONE, "WORD", "how it will be pressed: drained, hand, screw …"},
            {"outside", SPL_OPTION_FLAG, NULL, "for outside use only"},
            {"hold", SPL_OPTION_ONE, "WHY",
             "put a keeping rule aside on your own judgement; the "
             "lot is then held"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who made it (default: the setting 'who')"},
            {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "Draws on any source. The strength after the herb's own water decides whether it "
             "keeps; what does not is\nrefused with what would cure it. Fresh herb in oil is "
             "refused but for the one traditional exception.\nThe rules are cautions for a trained "
             "maker; local law and licensed practice come first.",
    .examples =
        (const char *const[]){"simpling batch start tincture --from H27-001:40g --jar 250mL "
                              "--menstruum \"spirit 40%, Ash Beck Still, 130\" --on 2027-04-25",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_batch_shape,
    .run = run_start,
};

const struct spl_command spl_command_batch_add = {
    .words = "batch add",
    .summary = "Add herb, a lot, marc or liquid to a batch that stands",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .options =
        (const struct spl_option[]){
            {"from", SPL_OPTION_MANY, "CODE[:AMOUNT]", "as for batch start"},
            {"liquid", SPL_OPTION_ONE, "VOLUME", "poured on, as measured"},
            {"menstruum", SPL_OPTION_ONE, "TEXT",
             "its strength and source (default: as the first)"},
            {"honey", SPL_OPTION_ONE, "VOLUME", "oxymel: honey"},
            {"press", SPL_OPTION_ONE, "WORD", "how it will be pressed"},
            {"hold", SPL_OPTION_ONE, "WHY", "put a keeping rule aside"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who did it (default: the setting 'who')"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "Ratio, strength and the day of straining follow: straining waits for the herb that "
             "was added last.",
    .examples = (const char *const[]){"simpling batch add B27-002 --liquid 20mL", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_batch_shape,
    .run = run_add,
};

const struct spl_command spl_command_batch_step = {
    .words = "batch step",
    .summary = "Note a step done: top-up, shake, look, decant, turn, ready",
    .places = "CODE STEP",
    .min_places = 2,
    .max_places = 2,
    .options =
        (const struct spl_option[]){
            {"liquid", SPL_OPTION_ONE, "VOLUME", "poured on with it, as measured"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"due", SPL_OPTION_ONE, "DATE", "not done: due on that day, also when it was dropped"},
            {"drop", SPL_OPTION_FLAG, NULL, "not done: no longer to be done"},
            {"why", SPL_OPTION_ONE, "TEXT", "of --due or --drop"},
            {"by", SPL_OPTION_ONE, "WHO", "who did it (default: the setting 'who')"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling batch step B27-002 shake",
                                      "simpling batch step B27-003 top-up --liquid 10mL",
                                      "simpling batch step B27-002 strain --due 2027-08-20", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_batch_shape,
    .run = run_step,
};

const struct spl_command spl_command_batch_press = {
    .words = "batch press",
    .summary = "Strain and press, alone or several together, into lots",
    .places = "CODE…",
    .min_places = 1,
    .max_places = -1,
    .options =
        (const struct spl_option[]){
            {"yield", SPL_OPTION_MANY, "AMOUNT",
             "what came out (needed): one for all, or one for each in their order: 390mL; dried "
             "herb: 120g"},
            {"parts", SPL_OPTION_ONE, "A:B",
             "by volume into one lot; what is over is a lot of its "
             "own"},
            {"hold", SPL_OPTION_ONE, "WHY", "what the lots wait for"},
            {"on", SPL_OPTION_ONE, "DATE", "the day (default today)"},
            {"by", SPL_OPTION_ONE, "WHO", "who did it (default: the setting 'who')"},
            {"remark", SPL_OPTION_ONE, "TEXT", "anything to remember"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about = "Use-by follows the keeping table and the earliest lot that went in. The marc still "
             "holds liquid: it can start another batch (--from B27-001).",
    .examples = (const char *const[]){"simpling batch press B27-002 --yield 860mL", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .array = TRUE,
    .run = run_press,
};

const struct spl_command spl_command_batch_list = {
    .words = "batch list",
    .summary = "The shelf's ledger: what stands since when, and what is next",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"standing", SPL_OPTION_FLAG, NULL, "only what still stands"},
            {"preparation", SPL_OPTION_ONE, "PREPARATION", "of one kind"},
            {"material", SPL_OPTION_ONE, "MATERIAL", "with this in it"},
            {"all", SPL_OPTION_FLAG, NULL, "discarded and struck ones too"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples =
        (const char *const[]){"simpling batch list", "simpling batch list --standing", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_batch_line_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_batch_show = {
    .words = "batch show",
    .summary = "One batch: what went in, its figures, its steps, what came of it",
    .places = "CODE",
    .min_places = 1,
    .max_places = 1,
    .examples = (const char *const[]){"simpling batch show B27-002", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_batch_shape,
    .run = run_show,
};
