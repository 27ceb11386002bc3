/* SPDX-License-Identifier: MIT
 *
 * Batches as people read them: one in full, all as the lines of a ledger. See simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "season/batch_private.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/record/reason.h"
#include "simpling/record/thrown.h"

static const struct spl_field part_fields[] = {
    SPL_FIELD(spl_batch_part, kind, SPL_WORD, "kind", "what", .names = spl_charge_kind_names),
    SPL_FIELD(spl_batch_part, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_batch_part, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_batch_part, state, SPL_WORD, "state", "state", .names = spl_herb_state_names),
    SPL_FIELD_NUM(spl_batch_part, grams, 1, "grams", "g"),
    SPL_FIELD_NUM(spl_batch_part, ml, 1, "ml", "mL"),
    SPL_FIELD_NUM(spl_batch_part, strength_pct, 1, "strength", "strength %"),
    SPL_FIELD(spl_batch_part, words, SPL_TEXT, "words", "liquid"),
    SPL_FIELD(spl_batch_part, supplier, SPL_TEXT, "supplier", "supplier"),
    SPL_FIELD(spl_batch_part, number, SPL_TEXT, "number", "number"),
    SPL_FIELD(spl_batch_part, date, SPL_DAY, "date", "date"),
};
const struct spl_shape spl_batch_part_shape = SPL_SHAPE("batch_part", spl_batch_part, part_fields);

static const struct spl_field step_fields[] = {
    SPL_FIELD(spl_batch_step, step, SPL_TEXT, "step", "step"),
    SPL_FIELD(spl_batch_step, due, SPL_DAY, "due", "due"),
    SPL_FIELD(spl_batch_step, done, SPL_DAY, "done", "done"),
    SPL_FIELD(spl_batch_step, dropped, SPL_DAY, "dropped", "dropped"),
    SPL_FIELD(spl_batch_step, earliest, SPL_DAY, "earliest", NULL),
    SPL_FIELD(spl_batch_step, latest, SPL_DAY, "latest", NULL),
    SPL_FIELD(spl_batch_step, repeat_days, SPL_INT, "repeat_days", NULL),
    SPL_FIELD(spl_batch_step, last, SPL_DAY, "last", NULL),
    SPL_FIELD(spl_batch_step, open, SPL_BOOL, "open", NULL),
    SPL_FIELD(spl_batch_step, alarm, SPL_BOOL, "alarm", NULL),
    SPL_FIELD(spl_batch_step, words, SPL_TEXT, "words", "what to do"),
};
const struct spl_shape spl_batch_step_shape = SPL_SHAPE("batch_step", spl_batch_step, step_fields);

static const struct spl_field batch_fields[] = {
    SPL_FIELD(spl_batch, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_batch, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_batch, materials, SPL_TEXT, "materials", "materials"),
    SPL_FIELD(spl_batch, started, SPL_DAY, "started", "started"),
    SPL_FIELD(spl_batch, state, SPL_WORD, "state", "state", .names = spl_batch_state_names),
    SPL_FIELD_NUM(spl_batch, jar_ml, 0, "jar_ml", "jar mL"),
    SPL_FIELD(spl_batch, jars, SPL_INT, "jars", NULL),
    SPL_FIELD_NUM(spl_batch, ratio, 2, "ratio", "ratio 1:"),
    SPL_FIELD_LIST(spl_batch, from, &spl_batch_part_shape, "from", "went in"),
    SPL_FIELD_NUM(spl_batch, herb_g, 1, "herb_g", "herb g"),
    SPL_FIELD_NUM(spl_batch, menstruum_ml, 1, "menstruum_ml", "liquid mL"),
    SPL_FIELD(spl_batch, menstruum, SPL_TEXT, "menstruum", "liquid"),
    SPL_FIELD_NUM(spl_batch, menstruum_abv, 1, "menstruum_abv", NULL),
    SPL_FIELD_NUM(spl_batch, menstruum_strength, 1, "menstruum_strength", "poured on at %"),
    SPL_FIELD_NUM(spl_batch, final_abv, 1, "final_abv", "ends at % vol"),
    SPL_FIELD_NUM(spl_batch, final_acid, 2, "final_acid", "ends at acid %"),
    SPL_FIELD_NUM(spl_batch, final_glycerol, 1, "final_glycerol", "ends at glycerol %"),
    SPL_FIELD_NUM(spl_batch, final_sugar, 1, "final_sugar", "ends at sugar %"),
    SPL_FIELD_NUM(spl_batch, sugar_g, 0, "sugar_g", "sugar g"),
    SPL_FIELD_NUM(spl_batch, wax_g, 1, "wax_g", "wax g"),
    SPL_FIELD_NUM(spl_batch, pool_ml, 1, "pool_ml", NULL),
    SPL_FIELD_NUM(spl_batch, yield_ml, 0, "yield_ml", "should yield mL"),
    SPL_FIELD_NUM(spl_batch, yield_low_ml, 0, "yield_low_ml", NULL),
    SPL_FIELD_NUM(spl_batch, yield_high_ml, 0, "yield_high_ml", NULL),
    SPL_FIELD_NUM(spl_batch, pressed_ml, 1, "pressed_ml", "yielded mL"),
    SPL_FIELD_NUM(spl_batch, boiled_ml, 0, "boiled_ml", "boiled away mL"),
    SPL_FIELD_NUM(spl_batch, marc_g, 1, "marc_g", NULL),
    SPL_FIELD(spl_batch, pressed, SPL_DAY, "pressed", "pressed"),
    SPL_FIELD(spl_batch, use_by, SPL_DAY, "use_by", NULL),
    SPL_FIELD_LIST(spl_batch, steps, &spl_batch_step_shape, "steps", "steps"),
    SPL_FIELD(spl_batch, lots, SPL_TEXTS, "lots", "lots"),
    SPL_FIELD_LIST(spl_batch, thrown, &spl_thrown_shape, "thrown", "thrown away"),
    SPL_FIELD_SHOW(spl_batch, held, SPL_TEXT, "held", "held"),
    SPL_FIELD_LIST(spl_batch, because, &spl_cause_shape, "because", NULL),
    SPL_FIELD(spl_batch, hold, SPL_TEXT, "hold", "against a rule"),
    SPL_FIELD(spl_batch, outside, SPL_BOOL, "outside", NULL),
    SPL_FIELD(spl_batch, raw_by, SPL_TEXT, "raw_by", "raw fruit"),
    SPL_FIELD(spl_batch, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_batch, remark, SPL_TEXT, "remark", "remark"),
    SPL_FIELD(spl_batch, struck, SPL_TEXT, "struck", "struck"),
    SPL_FIELD(spl_batch, uuid, SPL_TEXT, "uuid", NULL),
};
const struct spl_shape spl_batch_shape = SPL_SHAPE("batch", spl_batch, batch_fields);

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_batch_line, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_batch_line, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_batch_line, materials, SPL_TEXT, "materials", "of"),
    SPL_FIELD(spl_batch_line, words, SPL_TEXT, "words", "stands"),
    SPL_FIELD(spl_batch_line, next_step, SPL_TEXT, "next_step", "next"),
    SPL_FIELD(spl_batch_line, next_due, SPL_DAY, "next_due", "due"),
    SPL_FIELD(spl_batch_line, started, SPL_DAY, "started", NULL),
    SPL_FIELD(spl_batch_line, state, SPL_WORD, "state", NULL, .names = spl_batch_state_names),
    SPL_FIELD(spl_batch_line, strain_from, SPL_DAY, "strain_from", NULL),
    SPL_FIELD(spl_batch_line, pressed, SPL_DAY, "pressed", NULL),
    SPL_FIELD_NUM(spl_batch_line, pressed_ml, 1, "pressed_ml", NULL),
};
const struct spl_shape spl_batch_line_shape = SPL_SHAPE("batch_line", spl_batch_line, line_fields);

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_batch_pick, code, CODE, "code", "the batch's code", .needed = 1, .words = "B"),
};
const struct spl_inputs spl_batch_pick_inputs = SPL_INPUTS("batch_pick", spl_batch_pick, pick_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_batch_question, standing, FLAG, "standing", "only what still stands"),
    SPL_INPUT(spl_batch_question, preparation, PREPARATION, "preparation", "of one kind"),
    SPL_INPUT(spl_batch_question, material, MATERIAL, "material", "with this in it"),
    SPL_INPUT(spl_batch_question, all, FLAG, "all", "discarded and struck ones too"),
};
const struct spl_inputs spl_batch_question_inputs =
    SPL_INPUTS("batch_question", spl_batch_question, question_rows);

gboolean spl_batch_show(struct spl_house *house, const char *code, struct spl_batch *batch,
                        GError **error)
{
    struct spl_batch_pick said = {code}, pick;
    struct spl_brew brew;
    gboolean ok;

    if (!spl_entry_take(house, &spl_batch_pick_inputs, &said, &pick, error))
        return FALSE;
    ok = spl_brew_load(house, pick.code, &brew, error);
    spl_inputs_clear(&spl_batch_pick_inputs, &pick);
    if (!ok) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = spl_brew_record(house, &brew, batch, error);
    spl_brew_clear(&brew);
    return ok;
}

/* How the ledger says it. */
static char *ledger_words(const struct spl_brew *brew, struct spl_day strain_from)
{
    enum spl_batch_state state = spl_brew_state(brew);
    g_autofree char *since = spl_day_words(brew->row.day);

    if (state == SPL_BATCH_PRESSED) {
        g_autofree char *pressed = spl_day_words(brew->row.pressed);
        g_autofree char *yield = spl_volume_format(brew->row.pressed_ml);

        return brew->liquid == SPL_LIQUID_NONE ? g_strdup_printf("put up %s", pressed)
                                               : g_strdup_printf("pressed %s, %s", pressed, yield);
    }
    if (state != SPL_BATCH_STANDS)
        return g_strdup(spl_batch_state_names[state]);
    if (spl_day_is_set(strain_from)) {
        g_autofree char *from = spl_day_words(strain_from);

        return g_strdup_printf("stands since %s, strain from %s", since, from);
    }
    return g_strdup_printf("stands since %s", since);
}

static struct spl_day strain_from(const struct spl_brew *brew, const GArray *schedule)
{
    for (guint i = 0; spl_brew_state(brew) == SPL_BATCH_STANDS && i < schedule->len; i++) {
        const struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);

        if (due->step == SPL_STEP_READY)
            return due->due;
    }
    return SPL_DAY_NONE;
}

static gboolean fill_line(struct spl_house *house, const struct spl_standings *standings,
                          struct spl_brew *brew, struct spl_batch_line *line, GError **error)
{
    g_autoptr(GArray) schedule = spl_brew_schedule(house, brew, NULL);

    *line = (struct spl_batch_line){.code = g_strdup(brew->row.code),
                                    .preparation = g_strdup(brew->row.preparation),
                                    .started = brew->row.day,
                                    .state = spl_brew_state(brew),
                                    .strain_from = strain_from(brew, schedule),
                                    .pressed = brew->row.pressed,
                                    .pressed_ml = NAN,
                                    .next_due = SPL_DAY_NONE};
    line->words = ledger_words(brew, line->strain_from);
    if (line->state == SPL_BATCH_PRESSED && brew->liquid != SPL_LIQUID_NONE)
        line->pressed_ml = brew->row.pressed_ml;
    for (guint i = 0; line->state == SPL_BATCH_STANDS && i < schedule->len; i++) {
        const struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);

        if (due->open && due->step != SPL_STEP_READY) {
            line->next_step = g_strdup(due->name);
            line->next_due = due->due;
            break;
        }
    }
    if (line->state != SPL_BATCH_DISCARDED && line->state != SPL_BATCH_STRUCK) {
        g_autofree char *held = spl_standings_why(standings, brew->row.id);
        g_autofree char *words = NULL;

        line->held = held != NULL;
        if (line->held) {
            words = line->words;
            line->words = g_strdup_printf("%s; HELD", words);
        }
    }
    line->materials = spl_brew_materials(house, brew, error);
    return line->materials != NULL;
}

struct relay {
    struct spl_house *house;
    const struct spl_standings *standings;
    const struct spl_batch_question *question;
    const char *material; /* slug, NULL: any */
    gboolean bare;        /* as spl_batch_each_steps says */
    gboolean all;
    gboolean (*line)(const struct spl_batch_line *line, gpointer data, GError **error);
    gboolean (*full)(const struct spl_batch *batch, gpointer data, GError **error);
    gpointer data;
};

static gboolean holds(const char *materials, const char *slug)
{
    g_auto(GStrv) pieces = g_strsplit(materials, ", ", -1);

    return g_strv_contains((const char *const *)pieces, slug);
}

static gboolean relay_line(struct spl_batch_row *row, gpointer data, GError **error)
{
    struct relay *relay = data;
    struct spl_batch_line line;
    struct spl_brew brew;
    gboolean more;

    if (!spl_brew_load_row(relay->house, row, &brew, error))
        return FALSE;
    if (relay->question->standing && spl_brew_state(&brew) != SPL_BATCH_STANDS) {
        spl_brew_clear(&brew);
        return TRUE;
    }
    if (!relay->all && spl_brew_state(&brew) == SPL_BATCH_DISCARDED) {
        spl_brew_clear(&brew);
        return TRUE;
    }
    more = fill_line(relay->house, relay->standings, &brew, &line, error);
    if (more && (relay->material == NULL || holds(line.materials, relay->material)))
        more = relay->line(&line, relay->data, error);
    spl_record_clear(&spl_batch_line_shape, &line);
    spl_brew_clear(&brew);
    return more;
}

gboolean spl_batch_lines(struct spl_house *house, const struct spl_batch_question *said,
                         gboolean (*each)(const struct spl_batch_line *line, gpointer data,
                                          GError **error),
                         gpointer data, GError **error)
{
    struct spl_batch_question question;
    struct relay relay = {.house = house, .question = &question, .line = each, .data = data};
    g_autoptr(spl_standings) standings = NULL;
    gboolean ok;

    if (spl_house_tables(house, error) == NULL ||
        !spl_entry_take(house, &spl_batch_question_inputs, said, &question, error))
        return FALSE;
    relay.all = question.all;
    relay.material = question.material;
    relay.standings = standings = spl_standings_load(house, error);
    ok = standings != NULL && spl_batch_each(house->book, question.standing, question.all,
                                             question.preparation, relay_line, &relay, error);
    spl_inputs_clear(&spl_batch_question_inputs, &question);
    return ok;
}

/* For calendars. */
static gboolean tell_bare(const struct relay *relay, struct spl_brew *brew, struct spl_batch *batch,
                          GError **error)
{
    if (!spl_brew_tell(relay->house, brew, batch, error))
        return FALSE;
    if (batch->state == SPL_BATCH_STANDS)
        batch->held = spl_standings_why(relay->standings, batch->id);
    return TRUE;
}

static gboolean relay_full(struct spl_batch_row *row, gpointer data, GError **error)
{
    struct relay *relay = data;
    struct spl_batch batch;
    struct spl_brew brew;
    gboolean more;

    if (!spl_brew_load_row(relay->house, row, &brew, error))
        return FALSE;
    if (!relay->all && spl_brew_state(&brew) != SPL_BATCH_STANDS) {
        spl_brew_clear(&brew);
        return TRUE;
    }
    more = relay->bare ? tell_bare(relay, &brew, &batch, error)
                       : spl_brew_record_in(relay->house, relay->standings, &brew, &batch, error);
    if (more) {
        more = relay->full(&batch, relay->data, error);
        spl_record_clear(&spl_batch_shape, &batch);
    }
    spl_brew_clear(&brew);
    return more;
}

gboolean spl_batch_each_full(struct spl_house *house, gboolean all,
                             gboolean (*each)(const struct spl_batch *batch, gpointer data,
                                              GError **error),
                             gpointer data, GError **error)
{
    g_autoptr(spl_standings) standings = spl_standings_load(house, error);
    struct relay relay = {
        .house = house, .standings = standings, .all = all, .full = each, .data = data};

    return standings != NULL &&
           spl_batch_each(house->book, !all, FALSE, NULL, relay_full, &relay, error);
}

gboolean spl_batch_each_between_full(struct spl_house *house, struct spl_day first,
                                     struct spl_day last,
                                     gboolean (*each)(const struct spl_batch *batch, gpointer data,
                                                      GError **error),
                                     gpointer data, GError **error)
{
    g_autoptr(spl_standings) standings = spl_standings_load(house, error);
    struct relay relay = {
        .house = house, .standings = standings, .all = TRUE, .full = each, .data = data};

    return standings != NULL &&
           spl_batch_each_between(house->book, first, last, relay_full, &relay, error);
}

gboolean spl_batch_each_steps(struct spl_house *house, const struct spl_standings *standings,
                              gboolean (*each)(const struct spl_batch *batch, gpointer data,
                                               GError **error),
                              gpointer data, GError **error)
{
    struct relay relay = {.house = house,
                          .standings = standings,
                          .all = TRUE,
                          .bare = TRUE,
                          .full = each,
                          .data = data};

    return spl_batch_each(house->book, FALSE, FALSE, NULL, relay_full, &relay, error);
}
