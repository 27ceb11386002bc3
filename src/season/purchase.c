/* SPDX-License-Identifier: MIT
 *
 * Herb that was not gathered. See simpling/purchase.h.
 */
#include "simpling/purchase.h"

#include "book/purchase.h"
#include "season/check_private.h"
#include "season/house_private.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input purchase_rows[] = {
    SPL_INPUT(spl_purchase_words, material, MATERIAL, "material", "what came", .needed = 1),
    SPL_INPUT(spl_purchase_words, weight_g, MASS, "weight", "its weight: 500g", .needed = 1,
              .amends = 1),
    SPL_INPUT(spl_purchase_words, supplier, NAME, "supplier", "who it is from", .amends = 1),
    SPL_INPUT(spl_purchase_words, number, NAME, "number", "the supplier's own batch number",
              .value = "TEXT", .amends = 1),
    SPL_INPUT(spl_purchase_words, garden, FLAG, "garden", "grown in one's own garden"),
    SPL_INPUT(spl_purchase_words, dried, FLAG, "dry", "it came dried"),
    SPL_INPUT(spl_purchase_words, on, DAY, "on", "the day", .past = 1, .today = 1, .amends = 1),
    SPL_INPUT(spl_purchase_words, named_by, NAME, "named_by", "who named the plant", .value = "WHO",
              .amends = 1),
    SPL_INPUT(spl_purchase_words, signs, TEXT, "signs", "by which signs", .amends = 1),
    SPL_INPUT(spl_purchase_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
};
/* Who it is from, or that one grew it. */
static const struct spl_rule purchase_rules[] = {{SPL_RULE_SOME, {"supplier", "garden"}}};
const struct spl_inputs spl_purchase_inputs =
    SPL_INPUTS("purchase", spl_purchase_words, purchase_rows, SPL_RULES(purchase_rules));

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_purchase_pick, code, CODE, "code", "the purchase's code", .needed = 1,
              .words = "P"),
};
const struct spl_inputs spl_purchase_pick_inputs =
    SPL_INPUTS("purchase_pick", spl_purchase_pick, pick_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_purchase_question, all, FLAG, "all", "struck ones too"),
};
const struct spl_inputs spl_purchase_question_inputs =
    SPL_INPUTS("purchase_question", spl_purchase_question, question_rows);

/* What a label will miss, and what bars a batch. */
static void caution(struct spl_house *house, const struct spl_purchase_words *words,
                    const struct spl_purchase *purchase, GPtrArray *cautions)
{
    const struct spl_material *material =
        spl_tables_material_by_slug(house->tables, purchase->material);

    if (purchase->number == NULL && !words->garden)
        spl_caution_add(cautions,
                        "no batch number of the supplier: a recall could not be followed; correct "
                        "%s when it is known",
                        purchase->code);
    if (material->plant->deadly_lookalike && (!words->dried || purchase->number == NULL) &&
        (purchase->named_by == NULL || purchase->signs == NULL))
        spl_caution_add(cautions,
                        "%s has a deadly look-alike: no batch may draw on it until it is noted who "
                        "named it and by which signs%s",
                        material->plant->common, words->dried ? ", or the supplier's number" : "");
    spl_material_cautions(house, material, cautions);
}

gboolean spl_purchase_log(struct spl_house *house, const struct spl_purchase_words *said,
                          struct spl_purchase *purchase, GPtrArray **cautions, GError **error)
{
    struct spl_purchase_words words;
    struct spl_purchase made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_purchase_inputs, said, &words, error))
        return FALSE;
    made = (struct spl_purchase){
        .material = g_strdup(words.material),
        .date = words.on,
        .state = words.dried ? SPL_HERB_DRIED : SPL_HERB_FRESH,
        .weight_g = words.weight_g,
        .supplier = g_strdup(words.supplier != NULL ? words.supplier : SPL_OWN_GARDEN),
        .number = g_strdup(words.number),
        .named_by = g_strdup(words.named_by),
        .signs = g_strdup(words.signs),
        .remark = g_strdup(words.remark),
    };
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, spl_purchase_add(house->book, &made, error), error);
    if (ok) {
        *cautions = g_ptr_array_new_with_free_func(g_free);
        caution(house, &words, &made, *cautions);
        *purchase = made;
    } else {
        spl_record_clear(&spl_purchase_shape, &made);
    }
    spl_inputs_clear(&spl_purchase_inputs, &words);
    return ok;
}

/* As the book has it, with how it stands today. */
static gboolean find_as_today(struct spl_house *house, const char *code,
                              struct spl_purchase *purchase, GError **error)
{
    struct spl_purchase found;

    if (!spl_purchase_find(house->book, code, &found, error))
        return FALSE;
    if (!spl_standing_say(house, NULL, found.id, &found.held, &found.because, error)) {
        spl_record_clear(&spl_purchase_shape, &found);
        return FALSE;
    }
    *purchase = found;
    return TRUE;
}

gboolean spl_purchase_show(struct spl_house *house, const char *code, struct spl_purchase *purchase,
                           GError **error)
{
    struct spl_purchase_pick said = {code}, pick;
    struct spl_purchase found;
    gboolean ok;

    if (!spl_entry_take(house, &spl_purchase_pick_inputs, &said, &pick, error))
        return FALSE;
    ok = find_as_today(house, pick.code, &found, error);
    if (ok)
        *purchase = found;
    else
        spl_error_about(error, "code");
    spl_inputs_clear(&spl_purchase_pick_inputs, &pick);
    return ok;
}

struct relay {
    struct spl_house *house;
    const struct spl_standings *standings;
    gboolean (*each)(const struct spl_purchase *purchase, gpointer data, GError **error);
    gpointer data;
};

static gboolean relay_entry(const struct spl_purchase *purchase, gpointer data, GError **error)
{
    const struct relay *relay = data;
    struct spl_purchase shown = *purchase; /* borrowed but for how it stands */
    gboolean more;

    shown.held = NULL;
    shown.because = NULL;
    more = spl_standing_say(relay->house, relay->standings, shown.id, &shown.held, &shown.because,
                            error) &&
           relay->each(&shown, relay->data, error);
    spl_list_free(&spl_cause_shape, shown.because);
    g_free(shown.held);
    return more;
}

gboolean spl_purchase_entries(struct spl_house *house, const struct spl_purchase_question *said,
                              gboolean (*each)(const struct spl_purchase *purchase, gpointer data,
                                               GError **error),
                              gpointer data, GError **error)
{
    struct spl_purchase_question question;
    g_autoptr(spl_standings) standings = NULL;
    struct relay relay = {.house = house, .each = each, .data = data};

    if (!spl_entry_take(house, &spl_purchase_question_inputs, said, &question, error))
        return FALSE;
    relay.standings = standings = spl_standings_load(house, error);
    return standings != NULL &&
           spl_purchase_each(house->book, question.all, relay_entry, &relay, error);
}
