/* SPDX-License-Identifier: MIT
 *
 * A batch's steps: noted as done, put off to another day than the tables say, or dropped. See
 * simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "book/batch_move.h"
#include "season/batch_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input step_rows[] = {
    SPL_INPUT(spl_batch_step_words, code, CODE, "code", "the batch", .needed = 1, .words = "B"),
    SPL_INPUT(spl_batch_step_words, step, NAME, "step",
              "top-up, shake, look, decant, turn, ready; not done also strain", .value = "STEP",
              .needed = 1),
    SPL_INPUT(spl_batch_step_words, liquid_ml, VOLUME, "liquid", "poured on with it, as measured"),
    SPL_INPUT(spl_batch_step_words, on, DAY, "on", "the day it was done (default today)",
              .past = 1),
    SPL_INPUT(spl_batch_step_words, due, DAY, "due",
              "put the step off to this day, or take a dropped step up again"),
    SPL_INPUT(spl_batch_step_words, drop, FLAG, "drop", "not done: no longer to be done"),
    SPL_INPUT(spl_batch_step_words, why, TEXT, "why", "why it is put off or dropped"),
    SPL_INPUT(spl_batch_step_words, by, NAME, "by", "who did it", .value = "WHO", .setting = "who"),
};
static const struct spl_rule step_rules[] = {
    {SPL_RULE_MOST, {"drop", "due"}},    {SPL_RULE_MOST, {"drop", "on"}},
    {SPL_RULE_MOST, {"drop", "liquid"}}, {SPL_RULE_MOST, {"due", "on"}},
    {SPL_RULE_MOST, {"due", "liquid"}},  {SPL_RULE_WITH, {"why", "due", "drop"}},
};

static gboolean is_done(const struct spl_batch_step_words *words)
{
    return !words->drop && !spl_day_is_set(words->due);
}

/* Only what is done has a day on which it was. */
static void fill_step(void *record, struct spl_day today)
{
    struct spl_batch_step_words *words = record;

    if (is_done(words) && !spl_day_is_set(words->on))
        words->on = today;
}

const struct spl_inputs spl_batch_step_inputs = SPL_INPUTS(
    "batch_step", spl_batch_step_words, step_rows, SPL_RULES(step_rules), .fill = fill_step);

gboolean spl_brew_check_day(const struct spl_brew *brew, struct spl_day on, GError **error)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (spl_day_compare(on, brew->row.day) >= 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "on", "%s was started on %s, later than that",
                        brew->row.code, spl_day_format(brew->row.day, text));
    return FALSE;
}

/* Whether the step is one that can be done, or put off, at all. */
static gboolean check_kind(const struct spl_batch_step_words *words, enum spl_step which,
                           GError **error)
{
    if (which == SPL_STEP_USE_BY)
        spl_error_set_input(error, SPL_ERROR_USAGE, "step",
                            "'use-by' is no work that can be done, put off or dropped: press the "
                            "batch, or throw it away");
    else if (which == SPL_STEP_STRAIN && is_done(words))
        spl_error_set_input(error, SPL_ERROR_USAGE, "step",
                            "'strain' is no step to note: press the batch, with what came out");
    else
        return TRUE;
    return FALSE;
}

static gboolean check_step(struct spl_house *house, const struct spl_brew *brew,
                           enum spl_step which, struct spl_day due, GError **error)
{
    g_autoptr(GArray) schedule = spl_brew_schedule(house, brew, NULL);

    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *step = &g_array_index(schedule, struct spl_step_due, i);

        if (step->step != (int)which)
            continue;
        if (spl_day_is_set(spl_brew_dropped(brew, step->step, step->done)) ? !spl_day_is_set(due)
                                                                           : !step->open)
            break;
        if (!spl_day_is_set(due) || due.n >= brew->row.day.n)
            return TRUE;
        spl_error_set_input(error, SPL_ERROR_INVALID, "due",
                            "'%s' cannot be due before the batch was started; choose a later day",
                            step->name);
        return FALSE;
    }
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "step", "%s has no open step '%s'",
                        brew->row.code, spl_step_name(which));
    return FALSE;
}

/* What was poured on with the step, as any liquid that is added. */
static gboolean pour(struct spl_house *house, const struct spl_batch_step_words *said,
                     GPtrArray **cautions, GError **error)
{
    struct spl_batch_add_words words;
    struct spl_batch batch;

    if (isnan(said->liquid_ml))
        return TRUE;
    spl_inputs_init(&spl_batch_add_inputs, &words);
    words.code = said->code;
    words.more.liquid_ml = said->liquid_ml;
    words.more.on = said->on;
    words.more.by = said->by;
    if (!spl_batch_extend(house, &words, &batch, cautions, error))
        return FALSE;
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

static gboolean do_step(struct spl_house *house, const struct spl_batch_step_words *words,
                        const struct spl_brew *brew, enum spl_step which, GPtrArray **cautions,
                        GError **error)
{
    /* What settles is poured off when it was pressed, and before. */
    gboolean settles = which == SPL_STEP_DECANT && spl_brew_state(brew) == SPL_BATCH_PRESSED;

    return (settles || spl_brew_stands(brew, "stepped", error)) &&
           spl_brew_check_day(brew, words->on, error) &&
           spl_batch_step_add(house->book, brew->row.id, which, words->on, words->by, error) &&
           pour(house, words, cautions, error);
}

static gboolean move_step(struct spl_house *house, const struct spl_batch_step_words *words,
                          const struct spl_brew *brew, enum spl_step which, GError **error)
{
    const char *why = words->why != NULL ? words->why : words->drop ? "dropped" : "put off";

    return spl_brew_stands(brew, "put off", error) &&
           check_step(house, brew, which, words->due, error) &&
           spl_batch_move_add(house->book, brew->row.uuid, which, words->due, words->by, why,
                              error);
}

/* Inside the transaction; `batch` is as it stands behind it. */
static gboolean step(struct spl_house *house, const struct spl_batch_step_words *words,
                     enum spl_step which, struct spl_batch *batch, GPtrArray **cautions,
                     GError **error)
{
    struct spl_brew brew;
    gboolean ok;

    if (!spl_brew_load(house, words->code, &brew, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = is_done(words) ? do_step(house, words, &brew, which, cautions, error)
                        : move_step(house, words, &brew, which, error);
    spl_brew_clear(&brew);
    return ok && spl_batch_show(house, words->code, batch, error);
}

gboolean spl_batch_step(struct spl_house *house, const struct spl_batch_step_words *said,
                        struct spl_batch *batch, GPtrArray **cautions, GError **error)
{
    struct spl_batch_step_words words;
    struct spl_batch made = {0};
    GPtrArray *told = NULL;
    enum spl_step which;
    gboolean ok;

    if (!spl_entry_take(house, &spl_batch_step_inputs, said, &words, error))
        return FALSE;
    ok = spl_step_parse(words.step, "step", &which, error);
    if (!ok)
        spl_error_about(error, "step");
    ok = ok && check_kind(&words, which, error) && spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, step(house, &words, which, &made, &told, error), error);
    if (ok) {
        *batch = made;
        *cautions = told != NULL ? told : g_ptr_array_new_with_free_func(g_free);
    } else {
        spl_record_clear(&spl_batch_shape, &made);
        g_clear_pointer(&told, g_ptr_array_unref);
    }
    spl_inputs_clear(&spl_batch_step_inputs, &words);
    return ok;
}

/* One step of many jars -------------------------------------------------------------------------
 */

static const struct spl_input but_rows[] = {
    SPL_INPUT(spl_batch_but, code, CODE, "code", "the batch", .needed = 1, .words = "B"),
};

static gboolean read_but(const char *text, const char *what, void *element, GError **error)
{
    struct spl_batch_but *but = element;

    (void)what;
    (void)error;
    but->code = g_strdup(text);
    return TRUE;
}
static const struct spl_inputs but_inputs =
    SPL_INPUTS("batch_but", spl_batch_but, but_rows, .line = read_but, .line_value = "CODE");

static const struct spl_input steps_rows[] = {
    SPL_INPUT(spl_batch_steps_words, step, NAME, "step", "top-up, shake, look, decant, turn, ready",
              .value = "STEP", .needed = 1),
    SPL_INPUT(spl_batch_steps_words, but, LIST, "but", "not this jar", .item = &but_inputs),
    SPL_INPUT(spl_batch_steps_words, on, DAY, "on", "the day it was done", .past = 1, .today = 1),
    SPL_INPUT(spl_batch_steps_words, by, NAME, "by", "who did it", .value = "WHO",
              .setting = "who"),
};
const struct spl_inputs spl_batch_steps_inputs =
    SPL_INPUTS("batch_steps", spl_batch_steps_words, steps_rows);

struct due_jars {
    const char *step; /* its name */
    struct spl_day on;
    GPtrArray *codes; /* of the jars for which it is due */
};

static gboolean note_if_due(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct due_jars *jars = data;

    (void)error;
    for (guint i = 0; batch->steps != NULL && i < batch->steps->len; i++) {
        const struct spl_batch_step *one = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(one->step, jars->step) == 0 && one->open && spl_day_is_set(one->due) &&
            one->due.n <= jars->on.n) {
            g_ptr_array_add(jars->codes, g_strdup(batch->code));
            return TRUE;
        }
    }
    return TRUE;
}

/* Takes the jars away that are left out; each must have been among them. */
static gboolean leave_out(const struct spl_batch_steps_words *words, const char *step,
                          GPtrArray *codes, GError **error)
{
    for (guint i = 0; words->but != NULL && i < words->but->len; i++) {
        const char *code = g_array_index(words->but, struct spl_batch_but, i).code;
        guint at;

        if (!g_ptr_array_find_with_equal_func(codes, code, g_str_equal, &at)) {
            spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "but",
                                "%s is none of the jars for which '%s' is due", code, step);
            return FALSE;
        }
        g_ptr_array_remove_index(codes, at);
    }
    if (codes->len > 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "step",
                        "'%s' is due for no other jar on that day; name the jar whose step it is",
                        step);
    return FALSE;
}

/* Inside the transaction. */
static gboolean step_each(struct spl_house *house, const struct spl_batch_steps_words *words,
                          enum spl_step which, GArray *batches, GPtrArray *cautions, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    struct due_jars jars = {spl_step_name(which), words->on, codes};
    gboolean ok = spl_batch_each_full(house, FALSE, note_if_due, &jars, error) &&
                  leave_out(words, jars.step, codes, error);

    for (guint i = 0; ok && i < codes->len; i++) {
        struct spl_batch_step_words one;
        struct spl_batch batch;
        GPtrArray *told = NULL;

        spl_inputs_init(&spl_batch_step_inputs, &one);
        one.code = g_ptr_array_index(codes, i);
        one.step = words->step;
        one.on = words->on;
        one.by = words->by;
        ok = step(house, &one, which, &batch, &told, error);
        if (ok)
            g_array_append_val(batches, batch);
        if (told != NULL)
            g_ptr_array_extend_and_steal(cautions, told);
    }
    return ok;
}

GArray *spl_batch_steps(struct spl_house *house, const struct spl_batch_steps_words *said,
                        GPtrArray **cautions, GError **error)
{
    const struct spl_batch_step_words done = {.due = SPL_DAY_NONE};
    GPtrArray *told = g_ptr_array_new_with_free_func(g_free);
    struct spl_batch_steps_words words;
    GArray *batches;
    enum spl_step which;
    gboolean ok;

    if (!spl_entry_take(house, &spl_batch_steps_inputs, said, &words, error)) {
        g_ptr_array_unref(told);
        return NULL;
    }
    batches = spl_list_new(&spl_batch_shape);
    ok = spl_step_parse(words.step, "step", &which, error);
    if (!ok)
        spl_error_about(error, "step");
    ok = ok && check_kind(&done, which, error) && spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, step_each(house, &words, which, batches, told, error), error);
    spl_inputs_clear(&spl_batch_steps_inputs, &words);
    if (ok) {
        *cautions = told;
        return batches;
    }
    spl_list_free(&spl_batch_shape, batches);
    g_ptr_array_unref(told);
    return NULL;
}
