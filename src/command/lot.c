/* SPDX-License-Identifier: MIT
 *
 * simpling lot …, simpling discard: the shelf, and what leaves it.
 */
#include "command/rows.h"
#include "simpling/batch.h"

static gboolean stream_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    return spl_call_stream_item(data, lot, error);
}

static int run_list(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;

    spl_call_stream_begin(&stream, call);
    if (!spl_lot_lines(call->house, call->said, stream_lot, &stream, error))
        return -1;
    return spl_call_stream_end(&stream, "the shelf is empty");
}

static int run_show(struct spl_call *call, GError **error)
{
    const struct spl_lot_pick *pick = call->said;
    struct spl_lot lot;

    if (!spl_lot_show(call->house, pick->code, &lot, error))
        return -1;
    spl_call_print(call, &lot);
    spl_call_tell_causes(call, lot.because);
    if (!call->json && lot.events->len > 0) {
        fprintf(call->out, "\nwhat happened\n");
        spl_list_write_table(&spl_lot_event_shape, lot.events, call->width, call->out);
    }
    if (!call->json && lot.used->len > 0) {
        fprintf(call->out, "\nwhat went out\n");
        spl_list_write_table(&spl_lot_use_shape, lot.used, call->width, call->out);
    }
    if (!call->json && lot.reactions->len > 0) {
        fprintf(call->out, "\nwhat was said of it\n");
        spl_list_write_table(&spl_reaction_shape, lot.reactions, call->width, call->out);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return 0;
}

/* What a count of everything did: counts of lines for people, behind the table. */
static int tell_counted(struct spl_call *call, GArray *lines)
{
    guint taken = 0;

    for (guint i = 0; i < lines->len; i++)
        taken += g_array_index(lines, struct spl_counted, i).taken ? 1 : 0;
    if (call->json) {
        spl_list_write_json(&spl_counted_shape, lines, call->out);
    } else {
        spl_list_write_table(&spl_counted_shape, lines, call->width, call->out);
        fprintf(call->out, "%u of %u counted\n", taken, lines->len);
    }
    spl_list_free(&spl_counted_shape, lines);
    return 0;
}

static int run_count(struct spl_call *call, GError **error)
{
    const struct spl_lot_count_words *words = call->said;
    struct spl_lot lot;
    GArray *lines;

    if (words->all != NULL || words->sheet != NULL) {
        lines = words->all != NULL ? spl_lot_count_all(call->house, words, error)
                                   : spl_lot_count_sheet(call->house, words, error);
        return lines != NULL ? tell_counted(call, lines) : -1;
    }
    if (!spl_lot_count(call->house, words, &lot, error))
        return -1;
    return spl_call_tell(call, &lot, NULL);
}

static int run_year(struct spl_call *call, GError **error)
{
    GArray *lines = spl_lot_year(call->house, call->said, error);

    if (lines == NULL)
        return -1;
    spl_call_print_list(call, lines, "nothing stood on the shelf that year");
    spl_list_free(&spl_lot_flow_shape, lines);
    return 0;
}

static int decide(struct spl_call *call, enum spl_lot_decision decision, GError **error)
{
    struct spl_lot lot;
    GPtrArray *with;

    if (!spl_lot_decide(call->house, decision, call->said, &lot, &with, error))
        return -1;
    spl_call_touched("came of it and is held with it", with);
    g_ptr_array_unref(with);
    return spl_call_tell(call, &lot, NULL);
}

static int run_release(struct spl_call *call, GError **error)
{
    return decide(call, SPL_LOT_RELEASE, error);
}

static int run_withdraw(struct spl_call *call, GError **error)
{
    return decide(call, SPL_LOT_WITHDRAW, error);
}

static int run_hold(struct spl_call *call, GError **error)
{
    return decide(call, SPL_LOT_HOLD, error);
}

static int run_use(struct spl_call *call, GError **error)
{
    struct spl_dispensed given;
    GPtrArray *cautions;

    if (!spl_lot_give(call->house, call->said, &given, &cautions, error))
        return -1;
    spl_call_print(call, &given);
    if (!call->json) {
        fputs("\non the label\n", call->out);
        for (guint i = 0; i < given.label->len; i++)
            fprintf(call->out, "  %s\n", (const char *)g_ptr_array_index(given.label, i));
    }
    spl_call_caution(call, cautions);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_dispensed_shape, &given);
    return 0;
}

static int run_bottle(struct spl_call *call, GError **error)
{
    struct spl_lot lot;
    GPtrArray *cautions;

    if (!spl_lot_bottle(call->house, call->said, &lot, &cautions, error))
        return -1;
    return spl_call_tell(call, &lot, cautions);
}

static int run_reaction(struct spl_call *call, GError **error)
{
    struct spl_reaction reaction;
    GPtrArray *cautions;

    if (!spl_lot_react(call->house, call->said, &reaction, &cautions, error))
        return -1;
    return spl_call_tell(call, &reaction, cautions);
}

static int run_discard(struct spl_call *call, GError **error)
{
    struct spl_discarded discarded;

    if (!spl_discard(call->house, call->said, &discarded, error))
        return -1;
    return spl_call_tell(call, &discarded, NULL);
}

const struct spl_command spl_command_lot_list = {
    .words = "lot list",
    .summary = "What stands on the shelf",
    .inputs = &spl_lot_question_inputs,
    .examples = (const char *const[]){"simpling lot list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_lot_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_lot_show = {
    .words = "lot show",
    .summary = "One lot, with what happened to it and what went out",
    .inputs = &spl_lot_pick_inputs,
    .at = "code",
    .examples = (const char *const[]){"simpling lot show L26-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_lot_shape,
    .run = run_show,
};

const struct spl_command spl_command_lot_count = {
    .words = "lot count",
    .summary = "Take stock: sets the amount; the difference is noted",
    .inputs = &spl_lot_count_inputs,
    .at = "code? amount?",
    .about =
        "More than 2 % up or 10 % down (and 5 mL or g) asks why. --sheet writes a table of all "
        "that stands, to be printed or filled in: lots, herb in jars and in the freezer, jars "
        "that draw. --all takes it back, amounts as 340, 340mL or 3x100mL+40mL; a row that "
        "cannot be taken is left out and says why.",
    .examples = (const char *const[]){"simpling lot count L26-001 640mL --why 'a bottle leaked'",
                                      "simpling lot count --sheet count.csv --force",
                                      "simpling lot count --all count.csv", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .other = &spl_counted_shape,
    .run = run_count,
};

const struct spl_command spl_command_lot_year = {
    .words = "lot year",
    .summary = "The shelf through a year: at first, made, given out, lost, at last",
    .inputs = &spl_lot_year_inputs,
    .about = "Each line adds up: at first + made - out - in other jars - thrown away + by counts = "
             "at last. With --json each has what went out of it.",
    .examples = (const char *const[]){"simpling lot year --year 2026", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_lot_flow_shape,
    .array = TRUE,
    .run = run_year,
};

const struct spl_command spl_command_lot_release = {
    .words = "lot release",
    .summary = "Let a held or withdrawn lot out, with the reason",
    .inputs = &spl_lot_decide_inputs,
    .at = "code",
    .examples =
        (const char *const[]){"simpling lot release L26-003 --why \"tasted and clear\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_release,
};

const struct spl_command spl_command_lot_withdraw = {
    .words = "lot withdraw",
    .summary = "Pull a lot from the shelf: nothing goes out of it any more",
    .inputs = &spl_lot_decide_inputs,
    .at = "code",
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
    .inputs = &spl_lot_decide_inputs,
    .at = "code",
    .examples =
        (const char *const[]){"simpling lot hold L27-001 --why \"cloudy: look in a week\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_hold,
};

const struct spl_command spl_command_lot_use = {
    .words = "lot use",
    .summary = "Give out: several lots at once for a mixture; prints the label's text",
    .inputs = &spl_lot_use_inputs,
    .at = "lots?",
    .about =
        "Held, withdrawn and out-of-date lots are refused, and more than is left; then nothing "
        "of the call is noted. With --again the same goes out as last time; a lot that may not go "
        "out any more is replaced by the oldest of the same medicine, and that is said.",
    .examples = (const char *const[]){"simpling lot use L26-001:50mL L26-002:2mL --for 1042 "
                                      "--directions \"5 mL in water, three times a day\"",
                                      "simpling lot use L26-001:2x25mL --for 1042",
                                      "simpling lot use --for 1042 --again", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_dispensed_shape,
    .run = run_use,
};

const struct spl_command spl_command_lot_bottle = {
    .words = "lot bottle",
    .summary = "Note what a lot was bottled into, and where it stands",
    .inputs = &spl_lot_bottle_inputs,
    .at = "code bottles?",
    .examples =
        (const char *const[]){"simpling lot bottle L26-001 4x100mL 1x250mL --at \"shelf B3\"",
                              "simpling lot bottle L26-001 --at \"the cupboard in the hall\"",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lot_shape,
    .run = run_bottle,
};

const struct spl_command spl_command_lot_reaction = {
    .words = "lot reaction",
    .summary = "Note a complaint or a reaction to a lot, or to what went to a reference",
    .inputs = &spl_reaction_inputs,
    .at = "code?",
    .about = "Traces and recall sheets show it.",
    .examples = (const char *const[]){"simpling lot reaction L26-001 --for 1042 --text \"itching "
                                      "after the second day; stopped\"",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_reaction_shape,
    .run = run_reaction,
};

const struct spl_command spl_command_discard = {
    .words = "discard",
    .summary = "Throw away, from any code: mould, a broken jar, a rack gone brown",
    .inputs = &spl_discard_inputs,
    .at = "code amount?",
    .about = "All of it when no amount is said.",
    .examples = (const char *const[]){"simpling discard H27-003 20g --why \"gone brown\"", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_discarded_shape,
    .run = run_discard,
};
