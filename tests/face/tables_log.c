/* SPDX-License-Identifier: MIT
 *
 * The tables of inputs of the log and the shelf. See tables.h.
 */
#include "tables.h"

#include "simpling/amend.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/known.h"
#include "simpling/note.h"
#include "simpling/purchase.h"
#include "simpling/question.h"
#include "simpling/recipe.h"
#include "simpling/site.h"
#include "simpling/stand.h"
#include "simpling/trace.h"

static gboolean log_harvest(struct spl_house *house, const void *said, GError **error)
{
    struct spl_harvest harvest;
    GPtrArray *cautions;

    face_mark(&harvest, sizeof harvest);
    if (!spl_harvest_log(house, said, &harvest, &cautions, error))
        return face_untouched(&harvest, sizeof harvest);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean show_harvest(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_harvest_pick *pick = said;
    struct spl_harvest harvest;

    face_mark(&harvest, sizeof harvest);
    if (!spl_harvest_show(house, pick->code, &harvest, error))
        return face_untouched(&harvest, sizeof harvest);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

/* A list that is handed out one record after the other. */
#define LISTED(name, record, lines)                                                                \
    static gboolean see_##name(const struct record *one, gpointer data, GError **error)            \
    {                                                                                              \
        (void)one;                                                                                 \
        (void)data;                                                                                \
        (void)error;                                                                               \
        return TRUE;                                                                               \
    }                                                                                              \
    static gboolean list_##name(struct spl_house *house, const void *said, GError **error)         \
    {                                                                                              \
        return lines(house, said, see_##name, NULL, error);                                        \
    }

LISTED(harvests, spl_harvest, spl_harvest_entries)

static gboolean weigh_harvest(struct spl_house *house, const void *said, GError **error)
{
    struct spl_harvest harvest;

    face_mark(&harvest, sizeof harvest);
    if (!spl_harvest_weigh(house, said, &harvest, error))
        return face_untouched(&harvest, sizeof harvest);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean release_harvest(struct spl_house *house, const void *said, GError **error)
{
    struct spl_harvest harvest;

    face_mark(&harvest, sizeof harvest);
    if (!spl_harvest_let_out(house, said, &harvest, error))
        return face_untouched(&harvest, sizeof harvest);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean start_batch(struct spl_house *house, const void *said, GError **error)
{
    struct spl_batch batch;
    GPtrArray *cautions;

    face_mark(&batch, sizeof batch);
    if (!spl_batch_begin(house, said, &batch, &cautions, error))
        return face_untouched(&batch, sizeof batch);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

static gboolean add_to_batch(struct spl_house *house, const void *said, GError **error)
{
    struct spl_batch batch;
    GPtrArray *cautions;

    face_mark(&batch, sizeof batch);
    if (!spl_batch_extend(house, said, &batch, &cautions, error))
        return face_untouched(&batch, sizeof batch);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

static gboolean read_notes(struct spl_house *house, const void *said, GError **error)
{
    GArray *rows = spl_notes_read(house, said, NULL, error);

    if (rows == NULL)
        return FALSE;
    spl_list_free(&spl_note_row_shape, rows);
    return TRUE;
}

static gboolean keep_recipe(struct spl_house *house, const void *said, GError **error)
{
    struct spl_recipe recipe;
    GPtrArray *cautions;

    face_mark(&recipe, sizeof recipe);
    if (!spl_recipe_keep(house, said, &recipe, &cautions, error))
        return face_untouched(&recipe, sizeof recipe);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_recipe_shape, &recipe);
    return TRUE;
}

static gboolean drop_recipe(struct spl_house *house, const void *said, GError **error)
{
    struct spl_recipe recipe;

    face_mark(&recipe, sizeof recipe);
    if (!spl_recipe_drop(house, said, &recipe, error))
        return face_untouched(&recipe, sizeof recipe);
    spl_record_clear(&spl_recipe_shape, &recipe);
    return TRUE;
}

static gboolean list_recipes(struct spl_house *house, const void *said, GError **error)
{
    GArray *recipes = spl_recipe_lines(house, said, error);

    if (recipes == NULL)
        return FALSE;
    spl_list_free(&spl_recipe_shape, recipes);
    return TRUE;
}

static gboolean press(struct spl_house *house, const void *said, GError **error)
{
    GPtrArray *cautions;
    GArray *lots = spl_batch_press(house, said, &cautions, error);

    if (lots == NULL)
        return FALSE;
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_lot_shape, lots);
    return TRUE;
}

static gboolean log_purchase(struct spl_house *house, const void *said, GError **error)
{
    struct spl_purchase purchase;
    GPtrArray *cautions;

    face_mark(&purchase, sizeof purchase);
    if (!spl_purchase_log(house, said, &purchase, &cautions, error))
        return face_untouched(&purchase, sizeof purchase);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return TRUE;
}

static gboolean show_purchase(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_purchase_pick *pick = said;
    struct spl_purchase purchase;

    face_mark(&purchase, sizeof purchase);
    if (!spl_purchase_show(house, pick->code, &purchase, error))
        return face_untouched(&purchase, sizeof purchase);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return TRUE;
}

LISTED(purchases, spl_purchase, spl_purchase_entries)

static gboolean start_drying(struct spl_house *house, const void *said, GError **error)
{
    struct spl_drying drying;
    GPtrArray *cautions;

    face_mark(&drying, sizeof drying);
    if (!spl_drying_begin(house, said, &drying, &cautions, error))
        return face_untouched(&drying, sizeof drying);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean turn_drying(struct spl_house *house, const void *said, GError **error)
{
    struct spl_drying drying;

    face_mark(&drying, sizeof drying);
    if (!spl_drying_turn(house, said, &drying, error))
        return face_untouched(&drying, sizeof drying);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean weigh_drying(struct spl_house *house, const void *said, GError **error)
{
    struct spl_drying drying;

    face_mark(&drying, sizeof drying);
    if (!spl_drying_weigh(house, said, &drying, error))
        return face_untouched(&drying, sizeof drying);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean try_drying(struct spl_house *house, const void *said, GError **error)
{
    struct spl_drying drying;
    GPtrArray *cautions;

    face_mark(&drying, sizeof drying);
    if (!spl_drying_try(house, said, &drying, &cautions, error))
        return face_untouched(&drying, sizeof drying);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean finish_drying(struct spl_house *house, const void *said, GError **error)
{
    struct spl_drying drying;
    GPtrArray *cautions;

    face_mark(&drying, sizeof drying);
    if (!spl_drying_end(house, said, &drying, &cautions, error))
        return face_untouched(&drying, sizeof drying);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean show_drying(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_drying_pick *pick = said;
    struct spl_drying drying;

    face_mark(&drying, sizeof drying);
    if (!spl_drying_show(house, pick->code, &drying, error))
        return face_untouched(&drying, sizeof drying);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

LISTED(dryings, spl_drying, spl_drying_entries)

#define SAMPLES SPL_SOURCE_DIR "/tests/command/samples/"

static gboolean show_lot(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_lot_pick *pick = said;
    struct spl_lot lot;

    face_mark(&lot, sizeof lot);
    if (!spl_lot_show(house, pick->code, &lot, error))
        return face_untouched(&lot, sizeof lot);
    spl_record_clear(&spl_lot_shape, &lot);
    return TRUE;
}

LISTED(lots, spl_lot, spl_lot_lines)

static gboolean count_lot(struct spl_house *house, const void *said, GError **error)
{
    struct spl_lot lot;

    face_mark(&lot, sizeof lot);
    if (!spl_lot_count(house, said, &lot, error))
        return face_untouched(&lot, sizeof lot);
    spl_record_clear(&spl_lot_shape, &lot);
    return TRUE;
}

static gboolean year_of_lots(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_lot_year(house, said, error);

    spl_list_free(&spl_lot_flow_shape, lines);
    return lines != NULL;
}

static gboolean hand_out(struct spl_house *house, const void *said, GError **error)
{
    struct spl_handed handed;

    if (!spl_handed_between(house, said, &handed, error))
        return FALSE;
    spl_record_clear(&spl_handed_shape, &handed);
    return TRUE;
}

static gboolean count_all(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_lot_count_all(house, said, error);

    spl_list_free(&spl_counted_shape, lines);
    return lines != NULL;
}

static gboolean count_sheet(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_lot_count_sheet(house, said, error);

    spl_list_free(&spl_counted_shape, lines);
    return lines != NULL;
}

static gboolean count_lines(struct spl_house *house, const void *said, GError **error)
{
    GArray *lines = spl_count_lines(house, said, error);

    spl_list_free(&spl_counted_shape, lines);
    return lines != NULL;
}

static gboolean withdraw_lot(struct spl_house *house, const void *said, GError **error)
{
    struct spl_lot lot;
    GPtrArray *with;

    face_mark(&lot, sizeof lot);
    if (!spl_lot_decide(house, SPL_LOT_WITHDRAW, said, &lot, &with, error))
        return face_untouched(&lot, sizeof lot);
    g_ptr_array_unref(with);
    spl_record_clear(&spl_lot_shape, &lot);
    return TRUE;
}

static gboolean use_lots(struct spl_house *house, const void *said, GError **error)
{
    struct spl_dispensed given;
    GPtrArray *cautions;

    face_mark(&given, sizeof given);
    if (!spl_lot_give(house, said, &given, &cautions, error))
        return face_untouched(&given, sizeof given);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_dispensed_shape, &given);
    return TRUE;
}

static gboolean bottle_lot(struct spl_house *house, const void *said, GError **error)
{
    struct spl_lot lot;
    GPtrArray *cautions;

    face_mark(&lot, sizeof lot);
    if (!spl_lot_bottle(house, said, &lot, &cautions, error))
        return face_untouched(&lot, sizeof lot);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_lot_shape, &lot);
    return TRUE;
}

static gboolean note_reaction(struct spl_house *house, const void *said, GError **error)
{
    struct spl_reaction reaction;
    GPtrArray *cautions;

    face_mark(&reaction, sizeof reaction);
    if (!spl_lot_react(house, said, &reaction, &cautions, error))
        return face_untouched(&reaction, sizeof reaction);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_reaction_shape, &reaction);
    return TRUE;
}

static gboolean discard(struct spl_house *house, const void *said, GError **error)
{
    struct spl_discarded discarded;

    face_mark(&discarded, sizeof discarded);
    if (!spl_discard(house, said, &discarded, error))
        return face_untouched(&discarded, sizeof discarded);
    spl_record_clear(&spl_discarded_shape, &discarded);
    return TRUE;
}

static gboolean step_batch(struct spl_house *house, const void *said, GError **error)
{
    struct spl_batch batch;
    GPtrArray *cautions;

    face_mark(&batch, sizeof batch);
    if (!spl_batch_step(house, said, &batch, &cautions, error))
        return face_untouched(&batch, sizeof batch);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

static gboolean step_batches(struct spl_house *house, const void *said, GError **error)
{
    GPtrArray *cautions;
    GArray *batches = spl_batch_steps(house, said, &cautions, error);

    if (batches == NULL)
        return FALSE;
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_batch_shape, batches);
    return TRUE;
}

static gboolean show_batch(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_batch_pick *pick = said;
    struct spl_batch batch;

    face_mark(&batch, sizeof batch);
    if (!spl_batch_show(house, pick->code, &batch, error))
        return face_untouched(&batch, sizeof batch);
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

LISTED(batches, spl_batch_line, spl_batch_lines)

static gboolean note_stage(struct spl_house *house, const void *said, GError **error)
{
    struct spl_stage_record note;

    face_mark(&note, sizeof note);
    if (!spl_stage_note_add(house, said, &note, error))
        return face_untouched(&note, sizeof note);
    spl_record_clear(&spl_stage_record_shape, &note);
    return TRUE;
}

static gboolean list_stages(struct spl_house *house, const void *said, GError **error)
{
    GArray *list = spl_stage_notes(house, said, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_stage_record_shape, list);
    return TRUE;
}

gboolean face_amend(struct spl_house *house, const void *said, GError **error)
{
    GArray *corrections = spl_record_amend(house, said, error);

    if (corrections == NULL)
        return FALSE;
    spl_list_free(&spl_correction_shape, corrections);
    return TRUE;
}

static gboolean strike(struct spl_house *house, const void *said, GError **error)
{
    struct spl_correction correction;

    face_mark(&correction, sizeof correction);
    if (!spl_record_strike(house, said, &correction, error))
        return face_untouched(&correction, sizeof correction);
    spl_record_clear(&spl_correction_shape, &correction);
    return TRUE;
}

static gboolean set_stand(struct spl_house *house, const void *said, GError **error)
{
    struct spl_stand_record record;

    face_mark(&record, sizeof record);
    if (!spl_stand_set(house, said, &record, error))
        return face_untouched(&record, sizeof record);
    spl_record_clear(&spl_stand_record_shape, &record);
    return TRUE;
}

static gboolean mark_stand(struct spl_house *house, const void *said, GError **error)
{
    struct spl_stand_record record;

    face_mark(&record, sizeof record);
    if (!spl_stand_mark(house, said, &record, error))
        return face_untouched(&record, sizeof record);
    spl_record_clear(&spl_stand_record_shape, &record);
    return TRUE;
}

static gboolean rest_stand(struct spl_house *house, const void *said, GError **error)
{
    struct spl_stand_record record;

    face_mark(&record, sizeof record);
    if (!spl_stand_rest(house, said, &record, error))
        return face_untouched(&record, sizeof record);
    spl_record_clear(&spl_stand_record_shape, &record);
    return TRUE;
}

static gboolean stand_was_taken(struct spl_house *house, const void *said, GError **error)
{
    struct spl_stand_record record;

    face_mark(&record, sizeof record);
    if (!spl_stand_taken(house, said, &record, error))
        return face_untouched(&record, sizeof record);
    spl_record_clear(&spl_stand_record_shape, &record);
    return TRUE;
}

static gboolean list_stands(struct spl_house *house, const void *said, GError **error)
{
    GArray *list = spl_stand_lines(house, said, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_stand_line_shape, list);
    return TRUE;
}

static gboolean list_materials(struct spl_house *house, const void *said, GError **error)
{
    GArray *list = spl_known_materials(house, said, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_known_material_shape, list);
    return TRUE;
}

static gboolean ask(struct spl_house *house, const void *said, GError **error)
{
    GArray *list = spl_questions(house, said, error);

    if (list == NULL)
        return FALSE;
    spl_list_free(&spl_question_shape, list);
    return TRUE;
}

/* "first" stands for the first question, whose name no table can know. */
static gboolean answer_first(struct spl_house *house, const void *said, GError **error)
{
    struct spl_answer_words words = *(const struct spl_answer_words *)said;
    const struct spl_questions_question all = {TRUE};
    struct spl_answered answered;
    GArray *list = spl_questions(house, &all, NULL);
    gboolean ok;

    /* The first that a word can settle: a stop needs more. */
    for (guint i = 0; list != NULL && i < list->len && g_strcmp0(words.id, "first") == 0; i++) {
        const struct spl_question *question = &g_array_index(list, struct spl_question, i);

        if (question->grade != SPL_STATE_STOP)
            words.id = question->id;
    }
    ok = spl_answer(house, &words, &answered, error);
    if (ok)
        spl_record_clear(&spl_answered_shape, &answered);
    if (list != NULL)
        spl_list_free(&spl_question_shape, list);
    return ok;
}

/* Nobody else has corrected anything here: it is refused for what it is, and all else is read. */
static gboolean refuse_first(struct spl_house *house, const void *said, GError **error)
{
    g_autoptr(GError) failed = NULL;

    if (answer_first(house, said, &failed))
        return TRUE;
    if (g_error_matches(failed, SPL_ERROR, SPL_ERROR_REFUSED) &&
        strstr(failed->message, "refuse: is for what a colleague") == failed->message)
        return TRUE;
    g_propagate_error(error, g_steal_pointer(&failed));
    return FALSE;
}

static gboolean trace(struct spl_house *house, const void *said, GError **error)
{
    struct spl_trace answer;

    face_mark(&answer, sizeof answer);
    if (!spl_trace_follow(house, said, &answer, error))
        return face_untouched(&answer, sizeof answer);
    spl_record_clear(&spl_trace_shape, &answer);
    return TRUE;
}

const struct face_table face_log_tables[] = {
    {&spl_harvest_inputs,
     log_harvest,
     {"site",     "Withy Gill", "material", "nettle/leaf", "weight", "420g",
      "garbled",  "380g",       "stage",    "35",          "on",     "2027-05-02",
      "by",       "Edda",       "by",       "Wynn",        "signs",  "stinging hairs",
      "named_by", "Edda",       "weather",  "dry",         "remark", "two bags",
      "hold",     "for a test", NULL}},
    {&spl_harvest_inputs,
     log_harvest,
     {"site", "Withy Gill", "material", "nettle/leaf", "bags", "2", "stage", "35", "on",
      "2027-05-02", "signs_again", "yes", NULL}},
    {&spl_harvest_weigh_inputs,
     weigh_harvest,
     {"code", "H27-003", "weight", "640g", "garbled", "600g", "by", "Edda", NULL}},
    {&spl_harvest_pick_inputs, show_harvest, {"code", "H27-001", NULL}},
    {&spl_harvest_question_inputs,
     list_harvests,
     {"site", "Withy Gill", "material", "nettle/leaf", "from", "2027-01-01", "to", "2027-12-31",
      "unweighed", "yes", "all", "yes", NULL}},
    {&spl_harvest_release_inputs,
     release_harvest,
     {"code", "H27-002", "evidence", "the tenant: never sprayed", "by", "Edda", "on", "2027-05-03",
      NULL}},
    {&spl_batch_inputs,
     start_batch,
     {"preparation", "tincture",   "from",      "H27-001:40g",
      "jar",         "250mL",      "menstruum", "spirit 60%, Ash Beck Still, 130",
      "liquid",      "200mL",      "press",     "hand",
      "hold",        "for a test", "on",        "2027-05-01",
      "by",          "Edda",       "remark",    "a small one",
      NULL}},
    {&spl_batch_add_inputs,
     add_to_batch,
     {"code", "B27-001", "from", "H27-001:5g", "liquid", "20mL", "menstruum",
      "spirit 60%, Ash Beck Still, 130", "press", "hand", "hold", "for a test", "on", "2027-05-02",
      "by", "Edda", NULL}},
    {&spl_press_inputs,
     press,
     {"jars.0.code",
      "B27-001",
      "jars.1.code",
      "B27-002",
      "jars.0.yield",
      "200mL",
      "jars.1.yield",
      "190mL",
      "jars.0.part",
      "1",
      "jars.1.part",
      "1",
      "bottles",
      "2x50mL",
      "at",
      "shelf B3",
      "hold",
      "a look",
      "on",
      "2027-06-19",
      "by",
      "Edda",
      "remark",
      "clear",
      NULL}},
    {&spl_purchase_inputs,
     log_purchase,
     {"material", "calendula/flower", "weight",   "500g", "supplier", "Sallow Bank Herbs",
      "number",   "SB-114",           "garden",   "yes",  "dry",      "yes",
      "on",       "2027-05-01",       "named_by", "Edda", "signs",    "sticky scales",
      "remark",   "two bags",         NULL}},
    {&spl_purchase_pick_inputs, show_purchase, {"code", "P27-001", NULL}},
    {&spl_purchase_question_inputs, list_purchases, {"all", "yes", NULL}},
    {&spl_drying_inputs,
     start_drying,
     {"from", "H27-001:40g", "kind", "dried", "rack", "0.5m2", "on", "2027-05-02", "by", "Edda",
      "remark", "a thin layer", NULL}},
    {&spl_drying_inputs,
     start_drying,
     {"from", "H27-001:40g", "kind", "heated", "minutes", "20", "on", "2027-05-02", NULL}},
    {&spl_drying_test_inputs,
     try_drying,
     {"code", "D27-001", "how", "crumbles", "on", "2027-05-09", "by", "Edda", NULL}},
    {&spl_drying_turn_inputs,
     turn_drying,
     {"code", "D27-001", "on", "2027-05-03", "by", "Edda", NULL}},
    {&spl_drying_weigh_inputs,
     weigh_drying,
     {"code", "D27-001", "weight", "60g", "on", "2027-05-03", "by", "Edda", NULL}},
    {&spl_drying_finish_inputs,
     finish_drying,
     {"code", "D27-001", "weight", "22g", "garbled", "20g", "sure", "yes", "on", "2027-05-09", "by",
      "Edda", NULL}},
    {&spl_drying_pick_inputs, show_drying, {"code", "D27-001", NULL}},
    {&spl_drying_question_inputs, list_dryings, {"open", "yes", "all", "yes", NULL}},
    {&spl_lot_pick_inputs, show_lot, {"code", "L27-001", NULL}},
    {&spl_lot_question_inputs, list_lots, {"all", "yes", NULL}},
    {&spl_lot_year_inputs, year_of_lots, {"year", "2027", NULL}},
    {&spl_handed_inputs, hand_out, {"from", "2027-06-01", "to", "2027-06-19", NULL}},
    {&spl_lot_count_inputs,
     count_lot,
     {"code", "L27-001", "amount", "150mL", "why", "a bottle leaked", "on", "2027-06-19", "by",
      "Edda", NULL}},
    {&spl_lot_count_inputs,
     count_all,
     {"all", SAMPLES "count.csv", "on", "2027-06-19", "by", "Edda", NULL}},
    {&spl_lot_count_inputs, count_sheet, {"sheet", "count.csv", "force", "yes", NULL}},
    {&spl_count_inputs,
     count_lines,
     {"lines.0.code", "L27-001", "lines.0.counted", "150mL", "lines.0.why", "a bottle leaked", "on",
      "2027-06-19", "by", "Edda", NULL}},
    {&spl_lot_decide_inputs,
     withdraw_lot,
     {"code", "L27-001", "why", "cloudy", "on", "2027-06-19", "by", "Edda", NULL}},
    {&spl_lot_use_inputs,
     use_lots,
     {"lots", "L27-001:50mL", "lots", "L27-001:20mL", "for", "1042", "directions", "5 mL", "on",
      "2027-06-19", "by", "Edda", NULL}},
    {&spl_lot_use_inputs, use_lots, {"for", "1042", "again", "yes", "on", "2027-06-19", NULL}},
    {&spl_lot_bottle_inputs,
     bottle_lot,
     {"code", "L27-001", "bottles", "2x50mL", "bottles", "100mL", "at", "shelf B3", "by", "Edda",
      NULL}},
    {&spl_reaction_inputs,
     note_reaction,
     {"code", "L27-001", "for", "1042", "kind", "complaint", "text", "it tastes of soap", "on",
      "2027-06-19", "by", "Edda", NULL}},
    {&spl_discard_inputs,
     discard,
     {"code", "H27-001", "amount", "20g", "why", "gone brown", "on", "2027-06-19", "by", "Edda",
      NULL}},
    {&spl_batch_step_inputs,
     step_batch,
     {"code", "B27-001", "step", "top-up", "liquid", "10mL", "on", "2027-05-03", "by", "Edda",
      NULL}},
    {&spl_batch_step_inputs,
     step_batch,
     {"code", "B27-001", "step", "strain", "due", "2027-08-20", "why", "away until then", "by",
      "Edda", NULL}},
    {&spl_batch_step_inputs, step_batch, {"code", "B27-001", "step", "shake", "drop", "yes", NULL}},
    {&spl_batch_steps_inputs,
     step_batches,
     {"step", "shake", "but", "B27-002", "on", "2027-06-19", "by", "Edda", NULL}},
    {&spl_note_inputs,
     read_notes,
     {"files", SPL_SOURCE_DIR "/tests/command/samples/notes.txt", "written", "2027-06-19", "apply",
      "yes", "by", "Edda", NULL}},
    {&spl_recipe_inputs,
     keep_recipe,
     {"code", "B27-001", "name", "nettle as ever", "on", "2027-06-19", "by", "Edda", NULL}},
    {&spl_recipe_drop_inputs,
     drop_recipe,
     {"name", "nettle of May", "why", "too strong", "by", "Edda", NULL}},
    {&spl_recipe_question_inputs,
     list_recipes,
     {"preparation", "tincture", "material", "nettle/leaf", NULL}},
    {&spl_batch_pick_inputs, show_batch, {"code", "B27-001", NULL}},
    {&spl_batch_question_inputs,
     list_batches,
     {"standing", "yes", "preparation", "tincture", "material", "nettle/leaf", "all", "yes", NULL}},
    {&spl_stage_inputs,
     note_stage,
     {"site", "Withy Gill", "material", "nettle/leaf", "stage", "full flower", "on", "2027-06-10",
      "by", "Edda", "remark", "by the gate", NULL}},
    {&spl_stage_question_inputs,
     list_stages,
     {"site", "Withy Gill", "material", "nettle/leaf", NULL}},
    {&spl_amend_inputs,
     face_amend,
     {"code", "H27-001", "changes.0.key", "named_by", "changes.0.text", "Edda", "why", "asked her",
      "amended_by", "Wynn", NULL}},
    {&spl_strike_inputs, strike, {"code", "H27-002", "why", "logged twice", "by", "Edda", NULL}},
    {&spl_strike_inputs, strike, {"last", "yes", NULL}},
    {&spl_stand_inputs,
     set_stand,
     {"site", "Withy Gill", "plant", "nettle", "plants", "400", "share", "5%", "on", "2027-06-10",
      "by", "Edda", "remark", "along the wall", NULL}},
    {&spl_stand_inputs,
     set_stand,
     {"site", "Withy Gill", "plant", "nettle", "area", "40m2", "cover", "30%", NULL}},
    {&spl_stand_inputs,
     set_stand,
     {"site", "Withy Gill", "plant", "nettle", "grams", "900", "part", "leaf", NULL}},
    {&spl_stand_mark_inputs,
     mark_stand,
     {"site", "Withy Gill", "plant", "nettle", "seen", "leaf", "growth_year", "1", "on",
      "2027-06-10", "by", "Edda", "remark", "by the gate", NULL}},
    {&spl_stand_rest_inputs,
     rest_stand,
     {"site", "Withy Gill", "plant", "nettle", "until", "2029", "on", "2027-06-10", "by", "Edda",
      "remark", "thin", NULL}},
    {&spl_stand_rest_inputs,
     rest_stand,
     {"site", "Withy Gill", "plant", "nettle", "end", "yes", NULL}},
    {&spl_harvest_inputs,
     log_harvest,
     {"site", "Withy Gill", "material", "nettle/leaf", "handfuls", "6", "stage", "35", "on",
      "2027-05-02", "by", "Edda", "people", "12", NULL}},
    {&spl_stand_taken_inputs,
     stand_was_taken,
     {"site", "Withy Gill", "plant", "nettle", "share", "40%", "on", "2027-06-10", "by",
      "a school class", "remark", "on the near side", NULL}},
    {&spl_stand_taken_inputs,
     stand_was_taken,
     {"site", "Withy Gill", "plant", "nettle", "grams", "300g", "part", "leaf", NULL}},
    {&spl_stand_question_inputs, list_stands, {"site", "Withy Gill", "year", "2027", NULL}},
    {&spl_known_inputs, list_materials, {"text", "nettle", NULL}},
    {&spl_questions_question_inputs, ask, {"all", "yes", NULL}},
    {&spl_answer_inputs,
     answer_first,
     {"id", "first", "evidence", "the tenant: never sprayed", "by", "Edda", "on", "2027-06-19",
      NULL}},
    {&spl_answer_inputs,
     answer_first,
     {"id", "first", "later", "2027-09-01", "why", "away", "on", "2027-06-19", NULL}},
    {&spl_answer_inputs,
     answer_first,
     {"id", "first", "unknowable", "outside", "why", "nobody is left to ask", "by", "Edda", "on",
      "2027-06-19", NULL}},
    {&spl_answer_inputs,
     refuse_first,
     {"id", "first", "refuse", "it was seen", "by", "Edda", "on", "2027-06-19", NULL}},
    {&spl_trace_inputs, trace, {"of", "H27-001", "by", "Edda", NULL}},
    {&spl_trace_inputs,
     trace,
     {"of", "Withy Gill", "sprayed", "2027-05", "within", "100m", "withdraw", "yes", "by", "Edda",
      NULL}},
};
const gsize face_n_log_tables = G_N_ELEMENTS(face_log_tables);
