/* SPDX-License-Identifier: MIT
 *
 * simpling batch …: into the jar, through its weeks, out of it.
 */
#include "simpling/batch.h"

#include <math.h>

#include "base/amount.h"
#include "command/rows.h"

static int run_start(struct spl_call *call, GError **error)
{
    struct spl_batch batch;
    GPtrArray *cautions;

    if (!spl_batch_begin(call->house, call->said, &batch, &cautions, error))
        return -1;
    return spl_call_tell(call, &batch, cautions);
}

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_batch batch;
    GPtrArray *cautions;

    if (!spl_batch_extend(call->house, call->said, &batch, &cautions, error))
        return -1;
    return spl_call_tell(call, &batch, cautions);
}

static int run_step(struct spl_call *call, GError **error)
{
    struct spl_batch batch;
    GPtrArray *cautions;

    if (!spl_batch_step(call->house, call->said, &batch, &cautions, error))
        return -1;
    return spl_call_tell(call, &batch, cautions);
}

/* A line for each jar: what they are stands in the ledger. */
static int run_steps(struct spl_call *call, GError **error)
{
    const struct spl_batch_steps_words *said = call->said;
    GPtrArray *cautions;
    GArray *batches = spl_batch_steps(call->house, said, &cautions, error);

    if (batches == NULL)
        return -1;
    if (call->json)
        spl_call_print_list(call, batches, "nothing");
    for (guint i = 0; !call->json && i < batches->len; i++) {
        const struct spl_batch *batch = &g_array_index(batches, struct spl_batch, i);

        fprintf(call->out, "%s  %s, %s of %s\n", batch->code, said->step, batch->preparation,
                batch->materials);
    }
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_batch_shape, batches);
    return 0;
}

static int run_press(struct spl_call *call, GError **error)
{
    GPtrArray *cautions;
    GArray *lots = spl_batch_press(call->house, call->said, &cautions, error);

    if (lots == NULL)
        return -1;
    spl_call_print_list(call, lots, "nothing");
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_lot_shape, lots);
    return 0;
}

/* A line of the ledger for people: each day in a column of its own. */
struct ledger_line {
    char *code, *preparation, *materials, *how, *next_step;
    struct spl_day since, strain_from, next_due;
};

static const struct spl_field ledger_fields[] = {
    SPL_FIELD(ledger_line, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(ledger_line, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(ledger_line, materials, SPL_TEXT, "materials", "of"),
    SPL_FIELD(ledger_line, how, SPL_TEXT, "how", "how it is"),
    SPL_FIELD(ledger_line, since, SPL_DAY, "since", "since"),
    SPL_FIELD(ledger_line, strain_from, SPL_DAY, "strain_from", "strain from"),
    SPL_FIELD(ledger_line, next_step, SPL_TEXT, "next_step", "next"),
    SPL_FIELD(ledger_line, next_due, SPL_DAY, "next_due", "due"),
};
static const struct spl_shape ledger_shape = SPL_SHAPE("ledger_line", ledger_line, ledger_fields);

/* "pressed, 402 mL; HELD". */
static char *how_it_is(const struct spl_batch_line *line)
{
    g_autofree char *amount = isnan(line->pressed_ml) ? NULL : spl_volume_format(line->pressed_ml);
    const char *state = line->state == SPL_BATCH_PRESSED && amount == NULL
                            ? "put up"
                            : spl_batch_state_names[line->state];

    return g_strdup_printf("%s%s%s%s", state, amount != NULL ? ", " : "",
                           amount != NULL ? amount : "", line->held ? "; HELD" : "");
}

static gboolean stream_line(const struct spl_batch_line *line, gpointer data, GError **error)
{
    struct spl_call_stream *stream = data;
    g_autofree char *how = NULL;
    struct ledger_line told;

    if (stream->shape != &ledger_shape)
        return spl_call_stream_item(stream, line, error);
    how = how_it_is(line);
    told =
        (struct ledger_line){.code = line->code,
                             .preparation = line->preparation,
                             .materials = line->materials,
                             .how = how,
                             .next_step = line->next_step,
                             .since = spl_day_is_set(line->pressed) ? line->pressed : line->started,
                             .strain_from = line->strain_from,
                             .next_due = line->next_due};
    return spl_call_stream_item(stream, &told, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin_as(&stream, call, call->json ? &spl_batch_line_shape : &ledger_shape);
    if (!spl_batch_lines(call->house, call->said, stream_line, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "nothing stands");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_batch_pick *pick = call->said;
    struct spl_batch batch;

    if (!spl_batch_show(call->house, pick->code, &batch, error))
        return -1;
    return spl_call_tell_held(call, &batch, batch.because);
}

const struct spl_command spl_command_batch_start = {
    .words = "batch start",
    .summary = "Put herb and liquid into a jar",
    .inputs = &spl_batch_inputs,
    .said_as = (const struct spl_input_word[]){{"hold", "despite"}, {NULL, NULL}},
    .at = "preparation",
    .about = "Takes herb from any harvest, purchase, drying, marc or lot. The strength after the "
             "herb's own water decides whether it "
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
    .inputs = &spl_batch_add_inputs,
    .said_as = (const struct spl_input_word[]){{"hold", "despite"}, {NULL, NULL}},
    .at = "code",
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
    .inputs = &spl_batch_step_inputs,
    .at = "code step",
    .examples = (const char *const[]){"simpling batch step B27-002 shake",
                                      "simpling batch step B27-003 top-up --liquid 10mL",
                                      "simpling batch step B27-002 strain --due 2027-08-20", NULL},
    .becomes_with = "all",
    .becomes = &spl_command_batch_steps,
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_batch_shape,
    .run = run_step,
};

const struct spl_command spl_command_batch_steps = {
    .words = "batch steps",
    .summary = "Note a step done of every jar for which it is due, but for those named",
    .inputs = &spl_batch_steps_inputs,
    .at = "step",
    .options =
        (const struct spl_option[]){
            {"all", SPL_OPTION_FLAG, NULL, "as in 'batch step shake --all', which is the same"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .examples = (const char *const[]){"simpling batch steps shake --but B27-003",
                                      "simpling batch step shake --all", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_batch_shape,
    .array = TRUE,
    .run = run_steps,
};

const struct spl_command spl_command_batch_press = {
    .words = "batch press",
    .summary = "Strain and press, alone or several together, into lots",
    .inputs = &spl_press_inputs,
    .at = "jars",
    .said_as = (const struct spl_input_word[]){{"part", "parts"}, {NULL, NULL}},
    .about = "Batches are pressed together only where one bottle of both is wanted. Use-by follows "
             "the keeping table and the earliest lot that went in. The marc still "
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
    .inputs = &spl_batch_question_inputs,
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
    .inputs = &spl_batch_pick_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling batch show B27-002", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_batch_shape,
    .run = run_show,
};
