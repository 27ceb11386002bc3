/* SPDX-License-Identifier: MIT
 *
 * simpling harvest …: the log.
 */
#include "simpling/harvest.h"

#include <string.h>

#include "command/rows.h"

/* In the order in which one thinks of them. `unless`: not when that is said; `with`: only then. */
static const struct {
    const char *key, *question, *unless, *with;
} questions[] = {
    {"site", "Where? The place's name, or a word of it that no other has", NULL, NULL},
    {"material", "What? As elderflower, or nettle/leaf", NULL, NULL},
    {"weight", "How much, as it came home? As 420g, or 2 lb 8 oz (empty: in bags, not weighed yet)",
     NULL, NULL},
    {"bags", "How many bags?", "weight", NULL},
    {"stage", "At which growth stage? As full flower ('simpling stage list --words' has them all)",
     NULL, NULL},
    {"named_by", "Who named the plant? (empty: it is not noted)", NULL, NULL},
    {"signs", "By which signs?", NULL, "named_by"},
};

static gboolean is_said(const struct spl_call *call, const char *key)
{
    return spl_input_is_said(spl_inputs_row(&spl_harvest_inputs, key), call->said);
}

/* Asks for what is not said yet, each until it can be read; what was left empty is not asked again.
 */
static void interview(struct spl_call *call, gboolean *skipped)
{
    for (gsize i = 0; i < G_N_ELEMENTS(questions); i++) {
        const char *key = questions[i].key;

        if (skipped[i] || (questions[i].unless != NULL && is_said(call, questions[i].unless)) ||
            (questions[i].with != NULL && !is_said(call, questions[i].with)))
            continue;
        while (!is_said(call, key)) {
            g_autoptr(GError) refused = NULL;
            g_autofree char *typed = spl_terminal_ask(questions[i].question);

            skipped[i] = typed == NULL;
            if (skipped[i])
                break;
            if (!spl_inputs_read(&spl_harvest_inputs, key, typed, call->said, &refused))
                spl_call_say("", refused->message, call->width, stderr);
        }
    }
}

/* What the book refuses of an answer is asked again; FALSE: it is none of those, or nobody answers.
 */
static gboolean ask_again(struct spl_call *call, gboolean *skipped, GError **refused)
{
    const char *key = spl_error_input(*refused);

    for (gsize i = 0; key != NULL && !feof(stdin) && i < G_N_ELEMENTS(questions); i++) {
        if (strcmp(key, questions[i].key) == 0) {
            const struct spl_inputs one = {.rows = spl_inputs_row(&spl_harvest_inputs, key),
                                           .n = 1};

            spl_call_say("", (*refused)->message, call->width, stderr);
            spl_inputs_clear(&one, call->said);
            skipped[i] = FALSE;
            g_clear_error(refused);
            return TRUE;
        }
    }
    return FALSE;
}

static int run_add(struct spl_call *call, GError **error)
{
    const gboolean asks = spl_terminal_asks(call);
    gboolean skipped[G_N_ELEMENTS(questions)] = {FALSE};
    struct spl_harvest harvest;
    GError *refused = NULL;
    GPtrArray *cautions;

    do {
        g_assert(refused == NULL);
        if (asks)
            interview(call, skipped);
        if (spl_harvest_log(call->house, call->said, &harvest, &cautions, &refused))
            break;
    } while (asks && ask_again(call, skipped, &refused));
    if (refused != NULL) {
        g_propagate_error(error, refused);
        return -1;
    }
    return spl_call_tell(call, &harvest, cautions);
}

static gboolean stream_entry(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    return spl_call_stream_item(data, harvest, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_harvest_entries(call->house, call->said, stream_entry, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "no harvests yet");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_harvest_pick *pick = call->said;
    struct spl_harvest harvest;

    if (!spl_harvest_show(call->house, pick->code, &harvest, error))
        return -1;
    return spl_call_tell_held(call, &harvest, harvest.because);
}

static int run_release(struct spl_call *call, GError **error)
{
    struct spl_harvest harvest;

    if (!spl_harvest_let_out(call->house, call->said, &harvest, error))
        return -1;
    return spl_call_tell(call, &harvest, NULL);
}

static int run_weigh(struct spl_call *call, GError **error)
{
    struct spl_harvest harvest;

    if (!spl_harvest_weigh(call->house, call->said, &harvest, error))
        return -1;
    return spl_call_tell(call, &harvest, NULL);
}

const struct spl_command spl_command_harvest_add = {
    .words = "harvest add",
    .summary = "Log what was taken, with the verdict of that day",
    .inputs = &spl_harvest_inputs,
    .said_as = (const struct spl_input_word[]){{"hold", "despite"}, {NULL, NULL}},
    .at = "site material",
    .about = "Closed ground is refused (exit status 4) unless --despite says why it is kept. From "
             "ground to ask about\nthe harvest is held until 'harvest release' answers the "
             "question. Where a plant has a deadly\nlook-alike, note who named it and by which "
             "signs.",
    .examples =
        (const char *const[]){
            "simpling harvest add 'Withy Gill' nettle/leaf --weight 420g --garbled 380g --stage 35 "
            "--by Edda --weather 'dry, after two days without rain'",
            "simpling harvest add 'Kell Moss' nettle/leaf --weight 200g --stage 35 --despite 'the "
            "grazier is away until Monday'",
            "simpling harvest add 'Withy Gill' nettle/leaf --bags 2 --stage 35", NULL},
    .asks = TRUE,
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_add,
};

const struct spl_command spl_command_harvest_list = {
    .words = "harvest list",
    .summary = "The log",
    .inputs = &spl_harvest_question_inputs,
    .examples = (const char *const[]){"simpling harvest list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_harvest_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_harvest_show = {
    .words = "harvest show",
    .summary = "One entry of the log, with what was made of it",
    .inputs = &spl_harvest_pick_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling harvest show H27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_harvest_shape,
    .run = run_show,
};

const struct spl_command spl_command_harvest_weigh = {
    .words = "harvest weigh",
    .summary = "Give a harvest that was logged in bags its weight",
    .inputs = &spl_harvest_weigh_inputs,
    .at = "code weight",
    .examples = (const char *const[]){"simpling harvest weigh H27-006 640g --garbled 600g", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_weigh,
};

const struct spl_command spl_command_harvest_release = {
    .words = "harvest release",
    .summary = "Let a held harvest out, with the evidence that answers the question",
    .inputs = &spl_harvest_release_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling harvest release H27-002 --evidence \"the grazier "
                                      "said on 1 June: never sprayed\" --by Edda",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_harvest_shape,
    .run = run_release,
};
