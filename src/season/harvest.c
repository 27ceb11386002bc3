/* SPDX-License-Identifier: MIT
 *
 * The log, with the verdict of the day. See simpling/harvest.h.
 */
#include "simpling/harvest.h"

#include <math.h>
#include <string.h>

#include "book/harvest.h"
#include "book/site.h"
#include "core/stage.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "season/stand.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_input harvest_rows[] = {
    SPL_INPUT(spl_harvest_words, site, SITE, "site", "where it was taken", .needed = 1),
    SPL_INPUT(spl_harvest_words, material, MATERIAL, "material", "what was taken", .needed = 1),
    SPL_INPUT(spl_harvest_words, weight_g, MASS, "weight", "as it came home: 420g", .needed = 1,
              .amends = 1),
    SPL_INPUT(spl_harvest_words, garbled_g, MASS, "garbled", "after cleaning: 380g", .amends = 1),
    SPL_INPUT(spl_harvest_words, stage, STAGE, "stage", "growth stage, in words or as a BBCH code",
              .needed = 1, .amends = 1),
    SPL_INPUT(spl_harvest_words, on, DAY, "on", "the day", .past = 1, .today = 1, .amends = 1),
    SPL_INPUT(spl_harvest_words, by, NAME, "by", "who picked", .value = "WHO", .joins = 1,
              .setting = "who", .amends = 1),
    SPL_INPUT(spl_harvest_words, named_by, NAME, "named_by", "who named the plant", .value = "WHO",
              .amends = 1),
    SPL_INPUT(spl_harvest_words, signs, TEXT, "signs", "by which signs", .amends = 1),
    SPL_INPUT(spl_harvest_words, weather, TEXT, "weather", "dry, after two days without rain …",
              .advanced = 1, .amends = 1),
    SPL_INPUT(spl_harvest_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
    SPL_INPUT(spl_harvest_words, hold, TEXT, "hold",
              "keep it although the ground is closed; no batch may draw on it until released",
              .value = "WHY", .advanced = 1),
};

static gboolean check_harvest(const void *record, GError **error)
{
    const struct spl_harvest_words *words = record;

    if (isnan(words->garbled_g) || words->garbled_g <= words->weight_g)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "garbled",
                        "more than the weight that came home; look at the scales again");
    return FALSE;
}

const struct spl_inputs spl_harvest_inputs =
    SPL_INPUTS("harvest", spl_harvest_words, harvest_rows, .check = check_harvest);

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_harvest_pick, code, CODE, "code", "the entry's code", .needed = 1, .words = "H"),
};
const struct spl_inputs spl_harvest_pick_inputs =
    SPL_INPUTS("harvest_pick", spl_harvest_pick, pick_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_harvest_question, site, SITE, "site", "from one place"),
    SPL_INPUT(spl_harvest_question, material, MATERIAL, "material", "of one material"),
    SPL_INPUT(spl_harvest_question, from, DAY, "from", "first day"),
    SPL_INPUT(spl_harvest_question, to, DAY, "to", "last day"),
    SPL_INPUT(spl_harvest_question, all, FLAG, "all", "struck ones too"),
};
const struct spl_inputs spl_harvest_question_inputs =
    SPL_INPUTS("harvest_question", spl_harvest_question, question_rows);

static const struct spl_input release_rows[] = {
    SPL_INPUT(spl_harvest_release_words, code, CODE, "code", "the harvest that is held",
              .needed = 1, .words = "H"),
    SPL_INPUT(spl_harvest_release_words, evidence, TEXT, "evidence",
              "who said what, or which test showed it", .needed = 1),
    SPL_INPUT(spl_harvest_release_words, by, NAME, "by", "who decided", .value = "WHO",
              .setting = "who"),
    SPL_INPUT(spl_harvest_release_words, on, DAY, "on", "the day", .past = 1, .today = 1),
};
const struct spl_inputs spl_harvest_release_inputs =
    SPL_INPUTS("harvest_release", spl_harvest_release_words, release_rows);

/* The record of what was said, without its site. */
static gboolean begin_record(struct spl_house *house, const struct spl_harvest_words *words,
                             const struct spl_material **material, struct spl_harvest *harvest,
                             GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    int stage;

    if (tables == NULL || !spl_stage_parse(words->stage, "stage", &stage, error))
        return FALSE;
    *material = spl_tables_material_by_slug(tables, words->material);
    if (spl_protection_refuses(house, *material, error))
        return FALSE;
    *harvest = (struct spl_harvest){
        .material = g_strdup(words->material),
        .stage = stage,
        .stage_word = g_strdup(spl_stage_word(stage)),
        .date = words->on,
        .weight_g = words->weight_g,
        .garbled_g = words->garbled_g,
        .by = g_strdup(words->by),
        .named_by = g_strdup(words->named_by),
        .signs = g_strdup(words->signs),
        .weather = g_strdup(words->weather),
        .remark = g_strdup(words->remark),
        .held = g_strdup(words->hold),
    };
    return TRUE;
}

/* The verdict of the day decides whether it may be kept, and whether a batch may draw on it. */
static gboolean judge(struct spl_house *house, const struct spl_site *site,
                      const struct spl_material *material, struct spl_harvest *harvest,
                      GPtrArray *cautions, GError **error)
{
    struct spl_verdict_result result;
    g_autofree char *why = NULL;
    gboolean ok = TRUE;

    if (!spl_ground_judge(house, site, harvest->date, material, &result, error))
        return FALSE;
    why = spl_ground_why(&result);
    harvest->verdict = g_strdup(spl_verdict_name(result.verdict));
    harvest->reasons_json = spl_ground_reasons_json(&result);
    if (result.verdict == SPL_VERDICT_CLOSED && harvest->held == NULL) {
        spl_ground_refuse(
            error, &result,
            "%s: closed on that day, nothing was logged (with a reason to hold it, it "
            "is kept where no batch may draw on it)",
            site->name);
        ok = FALSE;
    } else if (result.verdict != SPL_VERDICT_CLEAR) {
        if (harvest->held == NULL)
            harvest->held = g_strdup_printf("ask: %s", why);
        spl_caution_add(cautions,
                        "held: %s; what is made of it is held with it until that is settled", why);
    }
    if (ok)
        harvest->reasons = g_steal_pointer(&result.reasons);
    spl_verdict_result_clear(&result);
    return ok;
}

static void caution(struct spl_house *house, const struct spl_material *material,
                    const struct spl_harvest *harvest, GPtrArray *cautions)
{
    if (!spl_stage_in(harvest->stage, material->stage_from, material->stage_to)) {
        g_autofree char *from = spl_stage_format(material->stage_from);
        g_autofree char *to = spl_stage_format(material->stage_to);
        g_autofree char *seen = spl_stage_format(harvest->stage);

        spl_caution_add(cautions, "stage %s is not the usual one for %s: %s to %s", seen,
                        material->slug, from, to);
    }
    if (material->plant->deadly_lookalike && (harvest->named_by == NULL || harvest->signs == NULL))
        spl_caution_add(cautions,
                        "%s has a deadly look-alike: no batch may draw on this harvest until "
                        "who named it and by which signs are noted; correct %s with both",
                        material->plant->common, harvest->code);
    spl_material_cautions(house, material, cautions);
}

/* Says when the stand has given more than it can spare. The entry is in the book already. */
static gboolean caution_stand(struct spl_house *house, const struct spl_site *site,
                              const struct spl_material *material,
                              const struct spl_harvest *harvest, GPtrArray *cautions,
                              GError **error)
{
    struct spl_stand_allowance allowance;
    gboolean known;

    if (!spl_stand_judge(house, site, material, harvest->date, &allowance, &known, error))
        return FALSE;
    if (known && allowance.refusal != SPL_STAND_FREE && allowance.refusal != SPL_STAND_UNSIZED)
        spl_caution_add(cautions, "the stand: %s", allowance.reason);
    else if (known && !isnan(allowance.bears_g) && allowance.used_frac > 1 + 1e-9)
        spl_caution_add(cautions,
                        "more than the stand can spare: %.0f %% of what may be taken of %s in this "
                        "season is gone; let it rest",
                        100 * allowance.used_frac, material->plant->common);
    spl_stand_allowance_clear(&allowance);
    if (spl_stand_part_ends_plant(material)) {
        struct spl_day marked;

        if (!spl_stand_marked(house, site->id, material->plant->slug, harvest->date, &marked,
                              error))
            return FALSE;
        if (!spl_day_is_set(marked))
            spl_caution_add(cautions,
                            "nobody has marked this stand in leaf or flower: a root alone is hard "
                            "to tell from others; mark it when it shows itself");
    }
    return TRUE;
}

/* Site, verdict and entry, inside the transaction. */
static gboolean write_record(struct spl_house *house, const char *site_name,
                             const struct spl_material *material, struct spl_harvest *harvest,
                             GPtrArray *cautions, GError **error)
{
    struct spl_site site;
    gboolean ok;

    if (!spl_house_site(house, "site", site_name, &site, error))
        return FALSE;
    harvest->site_id = site.id;
    harvest->site = g_strdup(site.name);
    ok = judge(house, &site, material, harvest, cautions, error) &&
         spl_harvest_add(house->book, harvest, error) &&
         caution_stand(house, &site, material, harvest, cautions, error);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

gboolean spl_harvest_log(struct spl_house *house, const struct spl_harvest_words *said,
                         struct spl_harvest *harvest, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    const struct spl_material *material;
    struct spl_harvest_words words;
    struct spl_harvest made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_inputs, said, &words, error))
        return FALSE;
    ok = begin_record(house, &words, &material, &made, error);
    if (ok) {
        ok = spl_book_begin(house->book, error) &&
             spl_book_finish(house->book,
                             write_record(house, words.site, material, &made, told, error), error);
        if (ok) {
            caution(house, material, &made, told);
            *harvest = made;
            *cautions = g_steal_pointer(&told);
        } else {
            spl_record_clear(&spl_harvest_shape, &made);
        }
    }
    spl_inputs_clear(&spl_harvest_inputs, &words);
    return ok;
}

/* Why it is held today in place of what was kept; `standings` NULL: looked up for it alone. */
static gboolean hold_as_today(struct spl_house *house, const struct spl_standings *standings,
                              struct spl_harvest *harvest, GError **error)
{
    struct spl_standing standing;

    if (standings != NULL) {
        spl_standings_get(standings, harvest->id, &standing);
    } else if (!spl_standing_of(house, harvest->id, &standing, error)) {
        return FALSE;
    }
    g_free(harvest->held);
    harvest->held = g_steal_pointer(&standing.why);
    spl_standing_clear(&standing);
    return TRUE;
}

gboolean spl_harvest_show(struct spl_house *house, const char *code, struct spl_harvest *harvest,
                          GError **error)
{
    struct spl_harvest_pick said = {code}, pick;
    struct spl_harvest found = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_pick_inputs, &said, &pick, error))
        return FALSE;
    ok = spl_harvest_find(house->book, pick.code, &found, error) &&
         hold_as_today(house, NULL, &found, error);
    if (ok) {
        found.stage_word = g_strdup(spl_stage_word(found.stage));
        found.reasons = spl_ground_reasons_read(found.reasons_json);
        *harvest = found;
    } else {
        spl_error_about(error, "code");
        spl_record_clear(&spl_harvest_shape, &found);
    }
    spl_inputs_clear(&spl_harvest_pick_inputs, &pick);
    return ok;
}

struct relay {
    struct spl_house *house;
    const struct spl_standings *standings;
    gboolean (*each)(const struct spl_harvest *harvest, gpointer data, GError **error);
    gpointer data;
};

static gboolean relay_entry(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    const struct relay *relay = data;
    struct spl_harvest shown = *harvest; /* borrowed but for the word, reasons and the hold */
    gboolean more;

    shown.held = NULL;
    shown.stage_word = g_strdup(spl_stage_word(harvest->stage));
    shown.reasons = spl_ground_reasons_read(harvest->reasons_json);
    more = hold_as_today(relay->house, relay->standings, &shown, error) &&
           relay->each(&shown, relay->data, error);
    g_free(shown.stage_word);
    spl_list_free(&spl_reason_shape, shown.reasons);
    g_free(shown.held);
    return more;
}

gboolean spl_harvest_entries(struct spl_house *house, const struct spl_harvest_question *said,
                             gboolean (*each)(const struct spl_harvest *harvest, gpointer data,
                                              GError **error),
                             gpointer data, GError **error)
{
    struct spl_harvest_question question;
    struct spl_harvest_filter filter;
    g_autoptr(spl_standings) standings = NULL;
    struct relay relay = {.house = house, .each = each, .data = data};
    struct spl_site site = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_question_inputs, said, &question, error))
        return FALSE;
    ok = question.site == NULL || spl_house_site(house, "site", question.site, &site, error);
    /* Of one place each is asked for by itself, so that the rest of the log is not read. */
    if (ok && question.site == NULL) {
        relay.standings = standings = spl_standings_load(house, error);
        ok = standings != NULL;
    }
    if (ok) {
        filter = (struct spl_harvest_filter){.site_id = site.id,
                                             .material = question.material,
                                             .from = question.from,
                                             .to = question.to,
                                             .all = question.all};
        ok = spl_harvest_each(house->book, &filter, relay_entry, &relay, error);
    }
    spl_record_clear(&spl_site_shape, &site);
    spl_inputs_clear(&spl_harvest_question_inputs, &question);
    return ok;
}

/* Inside the transaction. */
static gboolean release(struct spl_house *house, const struct spl_harvest_release_words *words,
                        struct spl_harvest *harvest, GError **error)
{
    if (!spl_harvest_find(house->book, words->code, harvest, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    if (!hold_as_today(house, NULL, harvest, error))
        return FALSE;
    if (harvest->held == NULL || harvest->struck != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s; nothing to release",
                    harvest->code, harvest->struck != NULL ? "is struck" : "is not held");
        return FALSE;
    }
    if (!spl_standing_release(house, harvest->id, words->on, words->by, words->evidence, error))
        return FALSE;
    g_clear_pointer(&harvest->held, g_free);
    harvest->stage_word = g_strdup(spl_stage_word(harvest->stage));
    return TRUE;
}

gboolean spl_harvest_let_out(struct spl_house *house, const struct spl_harvest_release_words *said,
                             struct spl_harvest *harvest, GError **error)
{
    struct spl_harvest_release_words words;
    struct spl_harvest found = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_release_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, release(house, &words, &found, error), error);
    if (ok)
        *harvest = found;
    else
        spl_record_clear(&spl_harvest_shape, &found);
    spl_inputs_clear(&spl_harvest_release_inputs, &words);
    return ok;
}
