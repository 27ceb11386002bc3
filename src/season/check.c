/* SPDX-License-Identifier: MIT
 *
 * The question before every picking. See simpling/check.h.
 */
#include "simpling/check.h"

#include <math.h>
#include <string.h>

#include "book/hazard.h"
#include "book/sighting.h"
#include "book/site.h"
#include "core/care.h"
#include "core/stage.h"
#include "core/window.h"
#include "season/check_private.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/law.h"
#include "season/stand.h"
#include "season/windows.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/hazard.h"

static const struct spl_field check_fields[] = {
    SPL_FIELD(spl_check, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_check, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_check, date, SPL_DAY, "date", "on"),
    SPL_FIELD(spl_check, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD(spl_check, words, SPL_TEXT, "words", "in words"),
    SPL_FIELD(spl_check, until, SPL_DAY, "until", "may change"),
    SPL_FIELD(spl_check, reckoned_from, SPL_TEXT, "reckoned_from", "reckoned from"),
    SPL_FIELD(spl_check, stage, SPL_TEXT, "stage", "last seen"),
    SPL_FIELD_NUM(spl_check, allowance_g, 0, "allowance_g", "may take g"),
    SPL_FIELD_LIST(spl_check, reasons, &spl_reason_shape, "reasons", "reasons"),
    SPL_FIELD_LIST(spl_check, window, &spl_window_shape, "window", "window"),
    SPL_FIELD(spl_check, picking, SPL_TEXT, "picking", "pick"),
    SPL_FIELD_LIST(spl_check, near, &spl_hazard_line_shape, "near", "near by"),
    SPL_FIELD(spl_check, cautions, SPL_TEXTS, "cautions", NULL),
};
const struct spl_shape spl_check_shape = SPL_SHAPE("check", spl_check, check_fields);

static const struct spl_input check_rows[] = {
    SPL_INPUT(spl_check_question, site, SITE, "site", "the place"),
    SPL_INPUT(spl_check_question, material, MATERIAL, "material", "what is to be picked"),
    SPL_INPUT(spl_check_question, on, DAY, "on", "the day asked about", .today = 1),
    SPL_INPUT(spl_check_question, all, FLAG, "all", "every site, with a summary"),
    SPL_INPUT(spl_check_question, near_m, LENGTH, "near",
              "list every hazard within so many metres too", .bare = 1, .min = 1, .max = 100000),
};
static const struct spl_rule check_rules[] = {
    {SPL_RULE_ONE, {"site", "all"}},
    {SPL_RULE_WITH, {"material", "site"}},
    {SPL_RULE_WITH, {"near", "site"}},
};
const struct spl_inputs spl_check_inputs =
    SPL_INPUTS("check", spl_check_question, check_rows, SPL_RULES(check_rules));

int spl_check_exit_status(const struct spl_check *check)
{
    return check->verdict == SPL_VERDICT_CLEAR ? 0 : check->verdict == SPL_VERDICT_ASK ? 3 : 4;
}

void spl_caution_add(GPtrArray *cautions, const char *format, ...)
{
    va_list values;

    va_start(values, format);
    g_ptr_array_add(cautions, g_strdup_vprintf(format, values));
    va_end(values);
}

void spl_picker_cautions(struct spl_house *house, const struct spl_material *material,
                         GPtrArray *cautions)
{
    const struct spl_plant *plant = material->plant;
    g_autoptr(GPtrArray) rules = spl_law_rules(house, material);
    g_autoptr(GPtrArray) picker = spl_care_of_picker(material);

    if (*plant->lookalikes != '\0')
        spl_caution_add(
            cautions, "%s%s",
            plant->deadly_lookalike ? "DEADLY LOOK-ALIKES: " : "look-alikes: ", plant->lookalikes);
    for (guint i = 0; i < rules->len; i++) {
        const struct spl_protected *rule = g_ptr_array_index(rules, i);

        /* That it is a caution is said already. */
        spl_caution_add(cautions, "%s%s%s: %s (%s)", rule->country,
                        rule->rule == SPL_PROTECTION_CAUTION ? "" : ", ",
                        rule->rule == SPL_PROTECTION_CAUTION ? "" : spl_protection_name(rule->rule),
                        rule->words, rule->source);
    }
    for (guint i = 0; i < picker->len; i++)
        spl_caution_add(cautions, "%s", (const char *)g_ptr_array_index(picker, i));
}

void spl_material_cautions(struct spl_house *house, const struct spl_material *material,
                           GPtrArray *cautions)
{
    g_autoptr(GPtrArray) taker = spl_care_of_taker(material);

    spl_picker_cautions(house, material, cautions);
    for (guint i = 0; i < taker->len; i++)
        spl_caution_add(cautions, "%s", (const char *)g_ptr_array_index(taker, i));
}

/* What the law of the book's country forbids closes the material, wherever it grows. */
static void judge_law(struct spl_house *house, const struct spl_material *material,
                      struct spl_check *check)
{
    if (!spl_law_close(house, material, &check->verdict, check->reasons))
        return;
    g_free(check->words);
    check->words = g_strdup(spl_verdict_words(SPL_VERDICT_CLOSED));
    check->until = SPL_DAY_NONE;
    check->allowance_g = 0.0; /* whatever the stand bears */
}

/* Of one growing year; a day may have been put right. */
#define NOTES_MOST 50

/* What was last seen of the plant here, in this growing year. */
static char *last_stage(struct spl_house *house, const struct spl_site *site,
                        const struct spl_material *material, struct spl_day on, GError **error)
{
    g_autoptr(GArray) notes = g_array_new(FALSE, FALSE, sizeof(struct spl_seen));
    const struct spl_seen *last = NULL;
    char day[SPL_DAY_TEXT_SIZE];

    if (!spl_seen_notes_at(house->book, material->slug, site->id, on, NOTES_MOST, notes, error))
        return NULL;
    for (guint i = 0; i < notes->len; i++) {
        const struct spl_seen *note = &g_array_index(notes, struct spl_seen, i);

        if (spl_day_season(note->on, site->lat) == spl_day_season(on, site->lat) &&
            (last == NULL || spl_day_compare(note->on, last->on) > 0))
            last = note;
    }
    return last != NULL ? g_strdup_printf("%s (%d) on %s", spl_stage_word(last->stage), last->stage,
                                          spl_day_format(last->on, day))
                        : NULL;
}

/* What the stand can still spare, if it was ever counted. */
static void judge_stand(struct spl_house *house, const struct spl_site *site,
                        const struct spl_material *material, struct spl_day on,
                        struct spl_check *check, GError **error)
{
    struct spl_stand_allowance allowance;
    gboolean known;

    if (!spl_stand_judge(house, site, material, on, &allowance, &known, error))
        return;
    if (known && !isnan(allowance.bears_g))
        check->allowance_g = allowance.left_g;
    if (known && allowance.reason != NULL)
        spl_caution_add(check->cautions, "the stand: %s", allowance.reason);
    spl_stand_allowance_clear(&allowance);
}

/* One site whose record is at hand; `material` may be NULL. */
static gboolean check_site(struct spl_house *house, const struct spl_site *site,
                           const struct spl_material *material, struct spl_day on,
                           struct spl_check *check, GError **error)
{
    struct spl_verdict_result result;
    g_autofree char *unfit = NULL;
    GError *failed = NULL;

    if (!spl_ground_judge(house, site, on, material, &result, error))
        return FALSE;
    *check = (struct spl_check){
        .site = g_strdup(site->name),
        .date = on,
        .verdict = result.verdict,
        .words = g_strdup(spl_verdict_words(result.verdict)),
        .until = result.until,
        .reckoned_from = spl_ground_map_words(house->map, site),
        .reasons = g_steal_pointer(&result.reasons),
        .allowance_g = NAN,
        .cautions = g_ptr_array_new_with_free_func(g_free),
    };
    if (material != NULL) {
        check->material = g_strdup(material->slug);
        check->stage = last_stage(house, site, material, on, &failed);
        if (failed == NULL)
            check->window = spl_windows_on(house, site, on, material->slug, &unfit, &failed);
        if (unfit != NULL)
            spl_caution_add(check->cautions, "%s", unfit);
        check->picking = spl_picking_words(house, site->lat, site->lon, on, material->slug);
        if (failed == NULL)
            judge_stand(house, site, material, on, check, &failed);
        if (failed == NULL)
            judge_law(house, material, check);
        if (failed == NULL)
            spl_law_caution(house, check->cautions);
        if (failed == NULL) {
            g_autoptr(GPtrArray) taker = spl_care_of_taker(material);

            spl_material_cautions(house, material, check->cautions);
            check->for_taker = taker->len;
        }
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        spl_record_clear(&spl_check_shape, check);
        return FALSE;
    }
    return TRUE;
}

static gboolean check_asked(struct spl_house *house, const struct spl_check_question *question,
                            struct spl_check *check, GError **error)
{
    struct spl_hazard_near_question near = {question->site, question->near_m};
    const struct spl_material *material =
        question->material != NULL ? spl_tables_material_by_slug(house->tables, question->material)
                                   : NULL;
    struct spl_check made;
    struct spl_site site;
    gboolean ok;

    if (!spl_house_site(house, "site", question->site, &site, error))
        return FALSE;
    ok = check_site(house, &site, material, question->on, &made, error);
    spl_record_clear(&spl_site_shape, &site);
    if (!ok)
        return FALSE;
    if (!isnan(near.within_m) && (made.near = spl_hazard_lines(house, &near, error)) == NULL) {
        spl_record_clear(&spl_check_shape, &made);
        return FALSE;
    }
    *check = made;
    return TRUE;
}

gboolean spl_check_site(struct spl_house *house, const struct spl_check_question *said,
                        struct spl_check *check, GError **error)
{
    struct spl_check_question question;
    gboolean ok;

    if (!spl_entry_take(house, &spl_check_inputs, said, &question, error))
        return FALSE;
    ok = !question.all;
    if (!ok)
        spl_error_set_input(error, SPL_ERROR_USAGE, "site", "is missing: one place is asked about");
    ok = ok && check_asked(house, &question, check, error);
    spl_inputs_clear(&spl_check_inputs, &question);
    return ok;
}

struct all {
    struct spl_house *house;
    struct spl_day on;
    gboolean (*each)(const struct spl_check *check, gpointer data, GError **error);
    gpointer data;
    int *counts;
    gint64 done, total;
};

static gboolean check_next(const struct spl_site *site, gpointer data, GError **error)
{
    struct all *all = data;
    struct spl_check check;
    gboolean ok;

    if (!check_site(all->house, site, NULL, all->on, &check, error))
        return FALSE;
    if (all->counts != NULL && check.verdict != SPL_VERDICT_NONE)
        all->counts[check.verdict - SPL_VERDICT_CLEAR]++;
    ok = all->each(&check, all->data, error);
    spl_record_clear(&spl_check_shape, &check);
    spl_progress_tell(&all->house->progress, "checking sites", ++all->done, all->total);
    return ok;
}

gboolean spl_check_all(struct spl_house *house, const struct spl_check_question *said,
                       gboolean (*each)(const struct spl_check *check, gpointer data,
                                        GError **error),
                       gpointer data, int counts[3], GError **error)
{
    struct spl_check_question question;
    struct spl_book_counts rows;
    struct all all = {house, SPL_DAY_NONE, each, data, counts, 0, 0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_check_inputs, said, &question, error))
        return FALSE;
    all.on = question.on;
    ok = question.all;
    spl_inputs_clear(&spl_check_inputs, &question);
    if (!ok) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "all", "is missing: every site is asked about");
        return FALSE;
    }
    if (!spl_book_count(house->book, &rows, error) || !spl_hazard_expect_many(house->book, error))
        return FALSE;
    all.total = rows.sites;
    if (counts != NULL)
        memset(counts, 0, 3 * sizeof *counts);
    return spl_site_each(house->book, check_next, &all, error);
}
