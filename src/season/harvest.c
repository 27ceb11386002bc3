/* SPDX-License-Identifier: MIT
 *
 * The log, with the verdict of the day. See simpling/harvest.h.
 */
#include "simpling/harvest.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/harvest.h"
#include "book/site.h"
#include "core/stage.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "season/stand.h"
#include "simpling/error.h"

/* An optional text of the entry. */
static gboolean take_text(const char *text, const char *what, gsize max, char **target,
                          GError **error)
{
    if (text == NULL)
        return TRUE;
    *target = spl_text_clean(text, what, max, TRUE, error);
    return *target != NULL;
}

static gboolean take_words(struct spl_house *house, const struct spl_harvest_words *words,
                           const struct spl_material **material, struct spl_harvest *harvest,
                           GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);

    if (tables == NULL || !spl_tables_material(tables, words->material, material, error) ||
        !spl_stage_parse(words->stage, "--stage", &harvest->stage, error) ||
        !spl_house_past(house, words->on, "--on", error) ||
        spl_protection_refuses(house, *material, error))
        return FALSE;
    harvest->material = g_strdup((*material)->slug);
    harvest->stage_word = g_strdup(spl_stage_word(harvest->stage));
    harvest->date = words->on;
    harvest->weight_g = words->weight_g;
    harvest->garbled_g = words->garbled_g;
    if (!isnan(words->garbled_g) && words->garbled_g > words->weight_g) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--garbled: more than the weight that came home; look at the scales again");
        return FALSE;
    }
    harvest->by = spl_house_who(house, NULL);
    if (words->by != NULL)
        g_clear_pointer(&harvest->by, g_free);
    return take_text(words->by, "--by", SPL_REMARK_MAX, &harvest->by, error) &&
           take_text(words->named_by, "--named-by", SPL_NAME_MAX, &harvest->named_by, error) &&
           take_text(words->signs, "--signs", SPL_REMARK_MAX, &harvest->signs, error) &&
           take_text(words->weather, "--weather", SPL_REMARK_MAX, &harvest->weather, error) &&
           take_text(words->remark, "--remark", SPL_REMARK_MAX, &harvest->remark, error) &&
           take_text(words->hold, "--hold", SPL_REMARK_MAX, &harvest->held, error);
}

/* The verdict of the day decides whether it may be kept, and whether a batch may draw on it. */
static gboolean judge(struct spl_house *house, const struct spl_site *site,
                      const struct spl_material *material, struct spl_harvest *harvest,
                      GPtrArray *cautions, GError **error)
{
    struct spl_verdict_result result;
    g_autofree char *worst = NULL;
    gboolean ok = TRUE;

    if (!spl_ground_judge(house, site, harvest->date, material, &result, error))
        return FALSE;
    worst = spl_ground_worst(&result);
    harvest->verdict = g_strdup(spl_verdict_name(result.verdict));
    harvest->reasons_json = spl_ground_reasons_json(&result);
    if (result.verdict == SPL_VERDICT_CLOSED && harvest->held == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_CLOSED,
                    "%s: closed on that day: %s; nothing was logged (--hold \"reason\" keeps it "
                    "where no batch may draw on it)",
                    site->name, worst);
        ok = FALSE;
    } else if (result.verdict != SPL_VERDICT_CLEAR) {
        if (harvest->held == NULL)
            harvest->held = g_strdup_printf("ask: %s", worst);
        spl_caution_add(cautions, "held, no batch may draw on it until it is released: %s", worst);
    }
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
                        "'named by' and signs are noted (amend %s --named-by WHO --signs \"…\")",
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
                        "season is gone; let it rest (stand rest)",
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
                            "to tell from others (stand mark, when it shows itself)");
    }
    return TRUE;
}

gboolean spl_harvest_log(struct spl_house *house, const struct spl_harvest_words *words,
                         struct spl_harvest *harvest, GPtrArray **cautions, GError **error)
{
    const struct spl_material *material;
    struct spl_site site = {0};
    gboolean ok;

    *cautions = g_ptr_array_new_with_free_func(g_free);
    *harvest = (struct spl_harvest){.garbled_g = NAN};
    ok = take_words(house, words, &material, harvest, error);
    if (ok && (ok = spl_book_begin(house->book, error))) {
        ok = spl_site_find(house->book, words->site, &site, error);
        if (ok) {
            harvest->site_id = site.id;
            harvest->site = g_strdup(site.name);
            ok = judge(house, &site, material, harvest, *cautions, error) &&
                 spl_harvest_add(house->book, harvest, error) &&
                 caution_stand(house, &site, material, harvest, *cautions, error);
        }
        ok = spl_book_finish(house->book, ok, error);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (ok) {
        caution(house, material, harvest, *cautions);
    } else {
        spl_record_clear(&spl_harvest_shape, harvest);
        g_clear_pointer(cautions, g_ptr_array_unref);
    }
    return ok;
}

gboolean spl_harvest_show(struct spl_house *house, const char *code, struct spl_harvest *harvest,
                          GError **error)
{
    if (!spl_harvest_find(house->book, code, harvest, error))
        return FALSE;
    harvest->stage_word = g_strdup(spl_stage_word(harvest->stage));
    return TRUE;
}

struct relay {
    gboolean (*each)(const struct spl_harvest *harvest, gpointer data, GError **error);
    gpointer data;
};

static gboolean relay_entry(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    const struct relay *relay = data;
    struct spl_harvest shown = *harvest; /* borrowed but for the word */
    gboolean more;

    shown.stage_word = g_strdup(spl_stage_word(harvest->stage));
    more = relay->each(&shown, relay->data, error);
    g_free(shown.stage_word);
    return more;
}

gboolean spl_harvest_entries(struct spl_house *house, const struct spl_harvest_question *question,
                             gboolean (*each)(const struct spl_harvest *harvest, gpointer data,
                                              GError **error),
                             gpointer data, GError **error)
{
    struct spl_harvest_filter filter = {
        .from = question->from, .to = question->to, .all = question->all};
    struct relay relay = {each, data};
    struct spl_site site;

    if (question->material != NULL) {
        const struct spl_tables *tables = spl_house_tables(house, error);
        const struct spl_material *material;

        if (tables == NULL || !spl_tables_material(tables, question->material, &material, error))
            return FALSE;
        filter.material = material->slug;
    }
    if (question->site != NULL) {
        if (!spl_site_find(house->book, question->site, &site, error))
            return FALSE;
        filter.site_id = site.id;
        spl_record_clear(&spl_site_shape, &site);
    }
    return spl_harvest_each(house->book, &filter, relay_entry, &relay, error);
}

gboolean spl_harvest_let_out(struct spl_house *house, const char *code, const char *evidence,
                             const char *by, struct spl_day on, struct spl_harvest *harvest,
                             GError **error)
{
    g_autofree char *clean = spl_text_clean(evidence, "--evidence", SPL_REMARK_MAX, TRUE, error);
    g_autofree char *who = spl_house_who(house, by);
    gboolean ok;

    if (clean == NULL || !spl_house_past(house, on, "--on", error) ||
        !spl_book_begin(house->book, error))
        return FALSE;
    ok = spl_harvest_find(house->book, code, harvest, error);
    if (ok && (harvest->held == NULL || harvest->struck != NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s; nothing to release",
                    harvest->code, harvest->struck != NULL ? "is struck" : "is not held");
        spl_record_clear(&spl_harvest_shape, harvest);
        ok = FALSE;
    } else if (ok) {
        ok = spl_release_add(house->book, harvest->id, on, who, clean, error);
        g_clear_pointer(&harvest->held, g_free);
        harvest->stage_word = g_strdup(spl_stage_word(harvest->stage));
    }
    return spl_book_finish(house->book, ok, error);
}
