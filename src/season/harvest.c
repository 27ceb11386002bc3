/* SPDX-License-Identifier: MIT
 *
 * The log, with the verdict of the day. See simpling/harvest.h.
 */
#include "simpling/harvest.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/amendment.h"
#include "book/harvest.h"
#include "book/photo.h"
#include "book/site.h"
#include "core/stage.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "season/law.h"
#include "season/photo.h"
#include "season/source.h"
#include "season/stand.h"
#include "season/state.h"
#include "season/windows.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define SURE_HELP "it weighs so, although nobody carries that much home"

static const struct spl_input harvest_rows[] = {
    SPL_INPUT(spl_harvest_words, site, SITE, "site", "where it was taken", .needed = 1),
    SPL_INPUT(spl_harvest_words, material, MATERIAL, "material", "what was taken", .needed = 1),
    SPL_INPUT(spl_harvest_words, weight_g, MASS, "weight", "as it came home: 420g", .amends = 1),
    SPL_INPUT(spl_harvest_words, bags, COUNT, "bags", "how many bags, until they are weighed: 2",
              .min = 1, .max = 1000),
    SPL_INPUT(spl_harvest_words, handfuls, COUNT, "handfuls",
              "how many handfuls, until they are weighed: 6", .min = 1, .max = 1000),
    SPL_INPUT(spl_harvest_words, garbled_g, MASS, "garbled", "after cleaning: 380g", .amends = 1),
    SPL_INPUT(spl_harvest_words, stage, STAGE, "stage", "growth stage, in words or as a BBCH code",
              .needed = 1, .amends = 1),
    SPL_INPUT(spl_harvest_words, on, DAY, "on", "the day", .past = 1, .today = 1, .amends = 1),
    SPL_INPUT(spl_harvest_words, by, NAME, "by", "who picked", .value = "WHO", .joins = 1,
              .setting = "who", .amends = 1),
    SPL_INPUT(spl_harvest_words, people, COUNT, "people",
              "how many picked, led by whom you name: 12", .min = 1, .max = 10000, .advanced = 1),
    SPL_INPUT(spl_harvest_words, named_by, NAME, "named_by", "who named the plant", .value = "WHO",
              .amends = 1),
    SPL_INPUT(spl_harvest_words, signs, TEXT, "signs", "by which signs", .amends = 1),
    SPL_INPUT(spl_harvest_words, signs_again, FLAG, "signs_again",
              "the plant is the one named here before in this season, and its signs were seen "
              "again"),
    SPL_INPUT(spl_harvest_words, weather, TEXT, "weather", "dry, after two days without rain …",
              .advanced = 1, .amends = 1),
    SPL_INPUT(spl_harvest_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
    SPL_INPUT(spl_harvest_words, hold, TEXT, "hold",
              "keep it although the ground is closed; no batch may draw on it until released",
              .value = "WHY", .advanced = 1),
    SPL_INPUT(spl_harvest_words, sure, FLAG, "sure", SURE_HELP, .advanced = 1),
    SPL_PHOTO_INPUT(spl_harvest_words),
};

static const struct spl_rule harvest_rules[] = {{SPL_RULE_SOME, {"weight", "bags", "handfuls"}},
                                                {SPL_RULE_MOST, {"bags", "handfuls"}},
                                                {SPL_RULE_WITH, {"garbled", "weight"}},
                                                {SPL_RULE_MOST, {"signs_again", "signs"}},
                                                {SPL_RULE_MOST, {"signs_again", "named_by"}}};

static gboolean check_garbled(double garbled_g, double weight_g, GError **error)
{
    if (isnan(garbled_g) || garbled_g <= weight_g)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "garbled",
                        "more than the weight that came home; look at the scales again");
    return FALSE;
}

#define LOAD_G 20000 /* more than one person carries home: a slip between g and kg, most likely */

gboolean spl_load_check(double weight_g, gboolean sure, GError **error)
{
    g_autofree char *said = spl_mass_format(weight_g), *thousandth = NULL;

    if (sure || !(weight_g > LOAD_G))
        return TRUE;
    thousandth = spl_mass_format(weight_g / 1000);
    spl_error_set_input(error, SPL_ERROR_REFUSED, "weight",
                        "%s are more than anybody carries home; were it %s? Else say that it is "
                        "sure",
                        said, thousandth);
    spl_error_explain(error, "doubtful-weight", NULL, NULL);
    return FALSE;
}

static gboolean check_harvest(const void *record, GError **error)
{
    const struct spl_harvest_words *words = record;

    return spl_load_check(words->weight_g, words->sure, error) &&
           check_garbled(words->garbled_g, words->weight_g, error);
}

const struct spl_inputs spl_harvest_inputs = SPL_INPUTS(
    "harvest", spl_harvest_words, harvest_rows, SPL_RULES(harvest_rules), .check = check_harvest);

static const struct spl_input weigh_rows[] = {
    SPL_INPUT(spl_harvest_weigh_words, code, CODE, "code", "the harvest", .needed = 1,
              .words = "H"),
    SPL_INPUT(spl_harvest_weigh_words, weight_g, MASS, "weight", "as it came home: 420g",
              .needed = 1),
    SPL_INPUT(spl_harvest_weigh_words, garbled_g, MASS, "garbled", "after cleaning: 380g"),
    SPL_INPUT(spl_harvest_weigh_words, by, NAME, "by", "who weighed", .value = "WHO",
              .setting = "who"),
    SPL_INPUT(spl_harvest_weigh_words, sure, FLAG, "sure", SURE_HELP, .advanced = 1),
};

static gboolean check_weigh(const void *record, GError **error)
{
    const struct spl_harvest_weigh_words *words = record;

    return spl_load_check(words->weight_g, words->sure, error) &&
           check_garbled(words->garbled_g, words->weight_g, error);
}

const struct spl_inputs spl_harvest_weigh_inputs =
    SPL_INPUTS("harvest_weigh", spl_harvest_weigh_words, weigh_rows, .check = check_weigh);

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
    SPL_INPUT(spl_harvest_question, unweighed, FLAG, "unweighed", "whose weight is missing"),
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
    if (spl_law_refuses(house, *material, error))
        return FALSE;
    *harvest = (struct spl_harvest){
        .material = g_strdup(words->material),
        .stage = stage,
        .stage_word = g_strdup(spl_stage_word(stage)),
        .date = words->on,
        .weight_g = words->weight_g,
        .bags = words->handfuls != SPL_COUNT_NONE ? words->handfuls
                : words->bags != SPL_COUNT_NONE   ? words->bags
                                                  : 0,
        .handfuls = words->handfuls != SPL_COUNT_NONE,
        .people = words->people != SPL_COUNT_NONE ? words->people : 0,
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
    harvest->verdict = result.verdict;
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
    if (isnan(harvest->weight_g))
        spl_caution_add(cautions,
                        "its weight is missing: nothing is made of it until %s is weighed, and so "
                        "long the stand has given the most that it may be",
                        harvest->code);
    /* Who must not take it is said where something is made of it, on its label and by check. */
    spl_picker_cautions(house, material, cautions);
    spl_law_caution(house, cautions);
}

/* What is found after its season is asked about: is it that plant? */
static gboolean caution_season(struct spl_house *house, const struct spl_site *site,
                               const struct spl_material *material,
                               const struct spl_harvest *harvest, GPtrArray *cautions,
                               GError **error)
{
    GArray *windows = spl_windows_on(house, site, harvest->date, material->slug, NULL, error);
    struct spl_day ended = SPL_DAY_NONE;
    char day[SPL_DAY_TEXT_SIZE];
    gboolean in_one = FALSE;

    if (windows == NULL)
        return FALSE;
    for (guint i = 0; i < windows->len; i++) {
        const struct spl_window *window = &g_array_index(windows, struct spl_window, i);

        if (spl_day_compare(window->latest, harvest->date) < 0) {
            if (!spl_day_is_set(ended) || spl_day_compare(window->latest, ended) > 0)
                ended = window->latest;
        } else if (spl_day_compare(window->earliest, harvest->date) <= 0) {
            in_one = TRUE;
        }
    }
    if (!in_one && spl_day_is_set(ended))
        spl_caution_add(cautions,
                        "the season of %s here was mostly over on %s: look again whether it is "
                        "that plant",
                        material->spoken, spl_day_format(ended, day));
    spl_list_free(&spl_window_shape, windows);
    return TRUE;
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

/* Who named the plant here before in the season of that day, and by which signs. `code` NULL:
 * nobody did. */
static gboolean find_signs(struct spl_house *house, const struct spl_site *site,
                           const struct spl_material *material, const struct spl_harvest *harvest,
                           struct spl_harvest_signs *signs, GError **error)
{
    struct spl_day first, last;

    spl_day_season_bounds(spl_day_season(harvest->date, site->lat), site->lat, &first, &last);
    (void)last;
    return spl_harvest_signs_of(house->book, site->id, material->plant->slug, first, harvest->date,
                                signs, error);
}

static gboolean take_signs(struct spl_house *house, const struct spl_site *site,
                           const struct spl_material *material, struct spl_harvest *harvest,
                           GError **error)
{
    struct spl_harvest_signs signs;

    if (!find_signs(house, site, material, harvest, &signs, error))
        return FALSE;
    if (signs.code == NULL) {
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "signs_again",
                            "nobody has named %s at %s in this season; say who named it and by "
                            "which signs",
                            material->plant->common, site->name);
        return FALSE;
    }
    harvest->named_by = g_steal_pointer(&signs.named_by);
    harvest->signs = g_steal_pointer(&signs.signs);
    spl_harvest_signs_clear(&signs);
    return TRUE;
}

/* Deadly kin: no batch before the plant was named. */
static gboolean caution_signs(struct spl_house *house, const struct spl_site *site,
                              const struct spl_material *material,
                              const struct spl_harvest *harvest, GPtrArray *cautions,
                              GError **error)
{
    struct spl_harvest_signs signs;

    if (!material->plant->deadly_lookalike || (harvest->named_by != NULL && harvest->signs != NULL))
        return TRUE;
    if (!find_signs(house, site, material, harvest, &signs, error))
        return FALSE;
    if (signs.code != NULL)
        spl_caution_add(cautions,
                        "%s has a deadly look-alike: no batch may draw on this harvest until who "
                        "named it and by which signs are noted; %s has it as %s named it (%s): if "
                        "the same signs were seen again, correct %s with both",
                        material->plant->common, signs.code, signs.named_by, signs.signs,
                        harvest->code);
    else
        spl_caution_add(cautions,
                        "%s has a deadly look-alike: no batch may draw on this harvest until "
                        "who named it and by which signs are noted; correct %s with both",
                        material->plant->common, harvest->code);
    spl_harvest_signs_clear(&signs);
    return TRUE;
}

/* Site, verdict and entry, inside the transaction. */
static gboolean write_record(struct spl_house *house, const struct spl_harvest_words *words,
                             struct spl_photo_hand *hand, const struct spl_material *material,
                             struct spl_harvest *harvest, GPtrArray *cautions, GError **error)
{
    struct spl_site site;
    gboolean ok;

    if (!spl_house_site(house, "site", words->site, &site, error))
        return FALSE;
    harvest->site_id = site.id;
    harvest->site = g_strdup(site.name);
    ok =
        (!words->signs_again || take_signs(house, &site, material, harvest, error)) &&
        judge(house, &site, material, harvest, cautions, error) &&
        /* Before it is in the log: its own stage would move the season to it. */
        caution_season(house, &site, material, harvest, cautions, error) &&
        spl_harvest_add(house->book, harvest, error) &&
        spl_photo_keep(house, hand, harvest->uuid, &site, harvest->date, &harvest->photos, error) &&
        caution_stand(house, &site, material, harvest, cautions, error) &&
        caution_signs(house, &site, material, harvest, cautions, error);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

gboolean spl_harvest_log(struct spl_house *house, const struct spl_harvest_words *said,
                         struct spl_harvest *harvest, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    const struct spl_material *material;
    struct spl_harvest_words words;
    struct spl_photo_hand hand;
    struct spl_harvest made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_inputs, said, &words, error))
        return FALSE;
    ok = begin_record(house, &words, &material, &made, error);
    if (ok) {
        ok = spl_photo_pick_up(house, words.photo, &hand, error) &&
             spl_book_begin(house->book, error) &&
             spl_book_finish(house->book,
                             write_record(house, &words, &hand, material, &made, told, error),
                             error);
        spl_photo_put_down(&hand, ok);
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

gboolean spl_harvest_show(struct spl_house *house, const char *code, struct spl_harvest *harvest,
                          GError **error)
{
    struct spl_harvest_pick said = {code}, pick;
    struct spl_harvest found = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_pick_inputs, &said, &pick, error))
        return FALSE;
    ok = spl_harvest_find(house->book, pick.code, &found, error) &&
         spl_standing_say(house, NULL, found.id, &found.held, &found.because, error) &&
         (found.photos = spl_photo_list(house->book, found.uuid, FALSE, error)) != NULL;
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
    shown.because = NULL;
    shown.stage_word = g_strdup(spl_stage_word(harvest->stage));
    shown.reasons = spl_ground_reasons_read(harvest->reasons_json);
    more = spl_standing_say(relay->house, relay->standings, shown.id, &shown.held, &shown.because,
                            error) &&
           relay->each(&shown, relay->data, error);
    g_free(shown.stage_word);
    spl_list_free(&spl_reason_shape, shown.reasons);
    spl_list_free(&spl_cause_shape, shown.because);
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
                                             .unweighed = question.unweighed,
                                             .all = question.all};
        ok = spl_harvest_each(house->book, &filter, relay_entry, &relay, error);
    }
    spl_record_clear(&spl_site_shape, &site);
    spl_inputs_clear(&spl_harvest_question_inputs, &question);
    return ok;
}

/* The weight of what was counted in bags; inside the transaction. */
static gboolean weigh(struct spl_house *house, const struct spl_harvest_weigh_words *words,
                      GError **error)
{
    static const char why[] = "weighed";
    struct spl_harvest harvest;
    gboolean ok;

    if (!spl_harvest_find(house->book, words->code, &harvest, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = harvest.struck == NULL && isnan(harvest.weight_g);
    if (harvest.struck != NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is struck (%s)", harvest.code,
                    harvest.struck);
    else if (!ok) {
        g_autofree char *weight = spl_mass_exact(harvest.weight_g);

        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: was weighed already, %s; if that is wrong, correct it", harvest.code,
                    weight);
    }
    ok = ok &&
         spl_amendment_add_real(house->book, harvest.uuid, "weight_g", words->weight_g, words->by,
                                why, error) &&
         (isnan(words->garbled_g) ||
          spl_amendment_add_real(house->book, harvest.uuid, "garbled_g", words->garbled_g,
                                 words->by, why, error));
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

gboolean spl_harvest_weigh(struct spl_house *house, const struct spl_harvest_weigh_words *said,
                           struct spl_harvest *harvest, GError **error)
{
    struct spl_harvest_weigh_words words;
    struct spl_harvest weighed = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_harvest_weigh_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error);
    if (ok) {
        ok = weigh(house, &words, error) && spl_harvest_show(house, words.code, &weighed, error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok)
        *harvest = weighed;
    else
        spl_record_clear(&spl_harvest_shape, &weighed);
    spl_inputs_clear(&spl_harvest_weigh_inputs, &words);
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
    if (!spl_standing_say(house, NULL, harvest->id, &harvest->held, &harvest->because, error))
        return FALSE;
    if (harvest->held == NULL || harvest->struck != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s; nothing to release",
                    harvest->code, harvest->struck != NULL ? "is struck" : "is not held");
        return FALSE;
    }
    harvest->answered =
        spl_standing_release(house, harvest->id, words->on, words->by, words->evidence, error);
    if (harvest->answered == NULL ||
        !spl_standing_say(house, NULL, harvest->id, &harvest->held, &harvest->because, error))
        return FALSE;
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
