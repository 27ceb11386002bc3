/* SPDX-License-Identifier: MIT
 *
 * Drying. See simpling/drying.h.
 */
#include "simpling/drying.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/drying.h"
#include "core/dry.h"
#include "core/keeping.h"
#include "season/check_private.h"
#include "season/room.h"
#include "season/source.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define GAIN_FRAC 1.02 /* damp weather and two scales: more than this is a mistake */

static const struct spl_input drying_rows[] = {
    SPL_INPUT(spl_drying_words, sources, LIST, "from",
              "harvest or purchase, all of it or so much (400g)", .needed = 1,
              .item = &spl_source_inputs),
    SPL_INPUT(spl_drying_words, rack_m2, AREA, "rack", "rack that it takes: 0.5m2"),
    SPL_INPUT(spl_drying_words, kind, CHOICE, "kind", "what is done with it: dried, frozen, heated",
              .value = "HOW", .words = "dried frozen heated"),
    SPL_INPUT(spl_drying_words, minutes, NUMBER, "minutes", "heated: how long it simmered",
              .min = 1, .max = 1440),
    SPL_INPUT(spl_drying_words, on, DAY, "on", "the day", .past = 1, .today = 1, .amends = 1),
    SPL_INPUT(spl_drying_words, by, NAME, "by", "who put it up", .value = "WHO", .setting = "who",
              .amends = 1),
    SPL_INPUT(spl_drying_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
};

/* What was not said is dried. */
/* What was said is one of the names, or nothing: it is dried. */
static enum spl_drying_kind kind_said(const struct spl_drying_words *words)
{
    return (enum spl_drying_kind)MAX(0, spl_word_value(spl_drying_kind_names, words->kind));
}

static gboolean check_drying(const void *record, GError **error)
{
    const struct spl_drying_words *words = record;

    for (guint i = 0; i < words->sources->len; i++) {
        const struct spl_source_words *source =
            &g_array_index(words->sources, struct spl_source_words, i);
        g_autofree char *path = g_strdup_printf("from.%u.amount", i);

        if (isnan(source->amount.ml))
            continue;
        spl_error_set_input(error, SPL_ERROR_INVALID, path,
                            "herb is weighed; say grams, as %s:400g", source->code);
        return FALSE;
    }
    if ((kind_said(words) == SPL_DRYING_HEATED) == isnan(words->minutes)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "minutes",
                            isnan(words->minutes) ? "is missing: say how long it simmered, as 20"
                                                  : "is said of what was heated; leave it away");
        return FALSE;
    }
    if (isnan(words->rack_m2) || kind_said(words) == SPL_DRYING_DRIED)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_USAGE, "rack", "what is %s lies on no rack; leave it away",
                        words->kind);
    return FALSE;
}

const struct spl_inputs spl_drying_inputs =
    SPL_INPUTS("drying", spl_drying_words, drying_rows, .check = check_drying);

#define STEP_CODE                                                                                  \
    SPL_INPUT(spl_drying_step_words, code, CODE, "code", "the drying", .needed = 1, .words = "D")
#define STEP_DAY                                                                                   \
    SPL_INPUT(spl_drying_step_words, on, DAY, "on", "the day", .past = 1, .today = 1),             \
        SPL_INPUT(spl_drying_step_words, by, NAME, "by", "who did it", .value = "WHO",             \
                  .setting = "who")

static const struct spl_input turn_rows[] = {STEP_CODE, STEP_DAY};
const struct spl_inputs spl_drying_turn_inputs =
    SPL_INPUTS("drying_turn", spl_drying_step_words, turn_rows);

static const struct spl_input weigh_rows[] = {
    STEP_CODE,
    SPL_INPUT(spl_drying_step_words, weight_g, MASS, "weight", "as it is on the rack: 250g",
              .needed = 1),
    STEP_DAY,
};
const struct spl_inputs spl_drying_weigh_inputs =
    SPL_INPUTS("drying_weigh", spl_drying_step_words, weigh_rows);

static const struct spl_input test_rows[] = {
    STEP_CODE,
    SPL_INPUT(spl_drying_step_words, how, CHOICE, "how",
              "what the hand finds: crumbles (a leaf), snaps (a stem), breaks (the core)",
              .value = "SIGN", .needed = 1, .words = "crumbles snaps breaks"),
    STEP_DAY,
};
const struct spl_inputs spl_drying_test_inputs =
    SPL_INPUTS("drying_test", spl_drying_step_words, test_rows);

static const struct spl_input finish_rows[] = {
    STEP_CODE,
    SPL_INPUT(spl_drying_step_words, weight_g, MASS, "weight", "as it came off the rack: 62g",
              .needed = 1),
    SPL_INPUT(spl_drying_step_words, garbled_g, MASS, "garbled", "after sorting: 58g"),
    SPL_INPUT(spl_drying_step_words, sure, FLAG, "sure",
              "it does weigh that, although so much of it must be water still", .advanced = 1),
    STEP_DAY,
};

static gboolean check_finish(const void *record, GError **error)
{
    const struct spl_drying_step_words *words = record;

    if (isnan(words->garbled_g) || words->garbled_g <= words->weight_g)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "garbled",
                        "more than the weight that came off the rack; look at the scales again");
    return FALSE;
}

const struct spl_inputs spl_drying_finish_inputs =
    SPL_INPUTS("drying_finish", spl_drying_step_words, finish_rows, .check = check_finish);

static const struct spl_input pick_rows[] = {
    SPL_INPUT(spl_drying_pick, code, CODE, "code", "the drying's code", .needed = 1, .words = "D"),
};
const struct spl_inputs spl_drying_pick_inputs =
    SPL_INPUTS("drying_pick", spl_drying_pick, pick_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_drying_question, open, FLAG, "open", "only what is still on the rack"),
    SPL_INPUT(spl_drying_question, all, FLAG, "all", "struck ones too"),
};
const struct spl_inputs spl_drying_question_inputs =
    SPL_INPUTS("drying_question", spl_drying_question, question_rows);

/* Herb that lay about is no longer fresh: it goes neither into the cold nor over the fire, and on
 * the rack it is said. */
static gboolean check_picked(const struct spl_source *source, enum spl_drying_kind kind,
                             struct spl_day on, GPtrArray *cautions, GError **error)
{
    int days = spl_day_is_set(source->picked) ? spl_day_diff(on, source->picked) : 0;
    g_autofree char *stale = spl_keeping_stale(days);

    if (stale == NULL)
        return TRUE;
    if (kind == SPL_DRYING_DRIED) {
        spl_caution_add(cautions,
                        "%s: was picked %d days before it was put up: throw out what is brown or "
                        "smells, and look at it daily",
                        source->thing.code, days);
        return TRUE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: %s", source->thing.code, stale);
    return FALSE;
}

/* One source into the drying, which is begun with the first. */
static gboolean take_source(struct spl_house *house, const struct spl_source_words *words,
                            struct spl_day on, struct spl_drying *drying,
                            struct spl_joining *joining, GPtrArray *cautions, GError **error)
{
    struct spl_source source;
    double taken_g;
    gboolean ok;

    if (!spl_source_open(house, words->code, "HP", &source, error))
        return FALSE;
    ok = source.state == SPL_HERB_FRESH;
    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is dried already", source.thing.code);
    else
        ok = check_picked(&source, drying->kind, on, cautions, error);
    if (!ok) {
        /* said already */
    } else if (drying->material == NULL) {
        drying->material = g_strdup(source.material);
        ok = spl_drying_add(house->book, drying, error);
    } else if (strcmp(drying->material, source.material) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is %s, the others are %s; dry each by itself", source.thing.code,
                    source.material, drying->material);
        ok = FALSE;
    }
    ok = ok &&
         spl_joining_take(house, joining, source.thing.id, source.thing.code, TRUE, cautions,
                          error) &&
         spl_source_take(house, &source, drying->id, words->amount.g, on, &taken_g, error);
    spl_source_clear(&source);
    if (ok)
        drying->fresh_g += taken_g;
    return ok;
}

/* All sources into the drying: one material, from harvests and fresh purchases. */
static gboolean take_sources(struct spl_house *house, const struct spl_drying_words *words,
                             struct spl_drying *drying, GPtrArray *cautions, GError **error)
{
    struct spl_joining joining = {0};
    gboolean ok = TRUE;

    for (guint i = 0; ok && i < words->sources->len; i++) {
        g_autofree char *path = g_strdup_printf("from.%u", i);

        ok = take_source(house, &g_array_index(words->sources, struct spl_source_words, i),
                         words->on, drying, &joining, cautions, error);
        if (!ok)
            spl_error_about(error, path);
    }
    spl_joining_clear(&joining);
    return ok;
}

/* Whether the racks have room: only when both their size and the herb's are known. */
static gboolean check_racks(struct spl_house *house, double rack_m2, GError **error)
{
    double all_m2, taken_m2;
    GError *failed = NULL;

    if (isnan(rack_m2) || !spl_house_setting_number(house, "racks", &all_m2))
        return TRUE;
    taken_m2 = spl_drying_rack_taken_m2(house->book, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (taken_m2 + rack_m2 <= all_m2 + 1e-9)
        return TRUE;
    if (rack_m2 > all_m2 + 1e-9)
        spl_error_set_input(error, SPL_ERROR_REFUSED, "rack",
                            "%.2f m2 are wanted and there are %.2f m2 of rack in all; spread less, "
                            "or correct the setting racks",
                            rack_m2, all_m2);
    else
        spl_error_set_input(error, SPL_ERROR_REFUSED, "rack",
                            "%.2f m2 are wanted, of %.2f m2 of rack %.2f m2 are taken; take "
                            "something down first",
                            rack_m2, all_m2, taken_m2);
    return FALSE;
}

/* As the book has it, with how it stands today. */
static gboolean find_as_today(struct spl_house *house, const char *code, struct spl_drying *drying,
                              GError **error)
{
    struct spl_drying found;

    if (!spl_drying_find(house->book, code, &found, error))
        return FALSE;
    if (!spl_standing_say(house, NULL, found.id, &found.held, &found.because, error)) {
        spl_record_clear(&spl_drying_shape, &found);
        return FALSE;
    }
    *drying = found;
    return TRUE;
}

/* The record as it stands now, in place of the one that was filled on the way. */
static gboolean reread(struct spl_house *house, struct spl_drying *drying, GError **error)
{
    g_autofree char *code = g_strdup(drying->code);

    spl_record_clear(&spl_drying_shape, drying);
    return find_as_today(house, code, drying, error);
}

/* What it will weigh: by one's own racks if they are known, else by the tables. */
static void caution_yield(struct spl_house *house, const struct spl_drying *drying,
                          GPtrArray *cautions)
{
    const struct spl_material *row = spl_tables_material_by_slug(house->tables, drying->material);
    double fresh_g, dry_g;
    int count;

    if (spl_drying_learnt(house->book, drying->material, &fresh_g, &dry_g, &count, NULL) &&
        count > 0) {
        g_autofree char *expected = spl_mass_format(drying->fresh_g * dry_g / fresh_g);

        spl_caution_add(cautions,
                        "on your racks %.1f parts fresh gave 1 dry (%d %s): expect about %s",
                        fresh_g / dry_g, count, count == 1 ? "drying" : "dryings", expected);
    } else if (row != NULL && spl_figure_is_set(row->fresh_per_dry)) {
        g_autofree char *expected = spl_mass_format(drying->fresh_g / row->fresh_per_dry.value);

        spl_caution_add(cautions, "usually %.1f parts fresh give 1 dry (%s): expect about %s",
                        row->fresh_per_dry.value, row->fresh_per_dry.source, expected);
    }
}

gboolean spl_drying_begin(struct spl_house *house, const struct spl_drying_words *said,
                          struct spl_drying *drying, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    struct spl_drying_words words;
    struct spl_drying made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_drying_inputs, said, &words, error))
        return FALSE;
    made = (struct spl_drying){.started = words.on,
                               .finished = SPL_DAY_NONE,
                               .kind = kind_said(&words),
                               .minutes = words.minutes,
                               .rack_m2 = words.rack_m2,
                               .by = g_strdup(words.by),
                               .remark = g_strdup(words.remark)};
    ok = spl_book_begin(house->book, error);
    if (ok) {
        ok = check_racks(house, words.rack_m2, error) &&
             take_sources(house, &words, &made, told, error) && reread(house, &made, error) &&
             (made.kind != SPL_DRYING_FROZEN || spl_room_check_freezer(house, made.fresh_g, error));
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok) {
        if (made.kind == SPL_DRYING_DRIED)
            caution_yield(house, &made, told);
        else if (made.kind == SPL_DRYING_HEATED && made.minutes < SPL_HEATED_MINUTES)
            spl_caution_add(told,
                            "%.0f minutes are too short to count for fruit that must be cooked: "
                            "that takes %.0f at a simmer, the lid off",
                            made.minutes, (double)SPL_HEATED_MINUTES);
        *drying = made;
        *cautions = g_steal_pointer(&told);
    } else {
        spl_record_clear(&spl_drying_shape, &made);
    }
    spl_inputs_clear(&spl_drying_inputs, &words);
    return ok;
}

/* Finds an open drying and refuses what cannot be: after the end (the hand may still try it),
 * before the last event, a weight that grew. */
static gboolean check_event(struct spl_house *house, const char *code, enum spl_drying_act act,
                            struct spl_day on, double weight_g, struct spl_drying *drying,
                            GError **error)
{
    struct spl_day last;
    double was_g;
    char text[SPL_DAY_TEXT_SIZE];

    if (!spl_drying_find(house->book, code, drying, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    last =
        drying->events->len > 0
            ? g_array_index(drying->events, struct spl_drying_event, drying->events->len - 1).date
            : drying->started;
    was_g = drying->left_g;
    if (drying->struck != NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is struck (%s)", drying->code,
                    drying->struck);
    else if (drying->kind != SPL_DRYING_DRIED && act != SPL_DRYING_WEIGH)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is %s, not on a rack; weigh it, or use it", drying->code,
                    spl_drying_kind_names[drying->kind]);
    else if (spl_day_is_set(drying->finished) && act != SPL_DRYING_TEST)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: was taken down on %s", drying->code,
                    spl_day_format(drying->finished, text));
    else if (spl_day_compare(on, last) < 0)
        spl_error_set_input(error, SPL_ERROR_INVALID, "on",
                            "%s was seen to on %s already; the day must not be before it",
                            drying->code, spl_day_format(last, text));
    else if (!isnan(weight_g) && weight_g > was_g * GAIN_FRAC + 0.05) {
        g_autofree char *now = spl_mass_exact(weight_g), *before = spl_mass_exact(was_g);

        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %s now, %s before: herb does not gain on the rack; look at the scales "
                    "again",
                    drying->code, now, before);
    } else
        return TRUE;
    spl_record_clear(&spl_drying_shape, drying);
    return FALSE;
}

/* A weight that even a plant with the least water cannot have when it is dry. */
static gboolean check_end(struct spl_house *house, const struct spl_drying_step_words *words,
                          const struct spl_drying *drying, GError **error)
{
    const struct spl_material *row = spl_tables_material_by_slug(house->tables, drying->material);
    struct spl_water_left left = spl_drying_water(drying, row, words->weight_g);
    g_autofree char *now = spl_mass_format(words->weight_g);
    g_autofree char *fresh = spl_mass_format(drying->fresh_g);

    if (words->sure || !(left.low > SPL_DRY_REFUSED_FRAC))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_REFUSED, "weight",
                        "%s of %s fresh would be %.0f to %.0f %% water, and dried herb "
                        "holds at most %.0f %%: look at the scales again, leave it on the rack, or "
                        "say that it is sure; it then counts as wilted",
                        now, fresh, left.low * 100.0, left.high * 100.0,
                        SPL_DRY_REFUSED_FRAC * 100.0);
    spl_error_explain(error, "not-dry", NULL, NULL);
    return FALSE;
}

/* Writes the event; `drying` is filled as it stands behind it. */
static gboolean add_event(struct spl_house *house, enum spl_drying_act act,
                          const struct spl_drying_step_words *words, double weight_g,
                          double garbled_g, struct spl_drying *drying, GError **error)
{
    struct spl_drying found;
    gboolean ok;

    if (!spl_book_begin(house->book, error))
        return FALSE;
    if (!check_event(house, words->code, act, words->on, weight_g, &found, error))
        return spl_book_finish(house->book, FALSE, error);
    ok = (act != SPL_DRYING_FINISH || check_end(house, words, &found, error)) &&
         spl_drying_event_add(house->book, found.id, act, words->on, weight_g, garbled_g,
                              act == SPL_DRYING_TEST ? words->how : NULL, words->by, error) &&
         reread(house, &found, error);
    ok = spl_book_finish(house->book, ok, error);
    if (ok)
        *drying = found;
    else
        spl_record_clear(&spl_drying_shape, &found);
    return ok;
}

gboolean spl_drying_turn(struct spl_house *house, const struct spl_drying_step_words *said,
                         struct spl_drying *drying, GError **error)
{
    struct spl_drying_step_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_drying_turn_inputs, said, &words, error))
        return FALSE;
    ok = add_event(house, SPL_DRYING_TURN, &words, NAN, NAN, drying, error);
    spl_inputs_clear(&spl_drying_turn_inputs, &words);
    return ok;
}

gboolean spl_drying_weigh(struct spl_house *house, const struct spl_drying_step_words *said,
                          struct spl_drying *drying, GError **error)
{
    struct spl_drying_step_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_drying_weigh_inputs, said, &words, error))
        return FALSE;
    ok = add_event(house, SPL_DRYING_WEIGH, &words, words.weight_g, NAN, drying, error);
    spl_inputs_clear(&spl_drying_weigh_inputs, &words);
    return ok;
}

gboolean spl_drying_try(struct spl_house *house, const struct spl_drying_step_words *said,
                        struct spl_drying *drying, GPtrArray **cautions, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    struct spl_drying_step_words words;
    const struct spl_material *row;
    enum spl_dry_sign found, needed;
    gboolean ok;

    if (tables == NULL || !spl_entry_take(house, &spl_drying_test_inputs, said, &words, error))
        return FALSE;
    ok = add_event(house, SPL_DRYING_TEST, &words, NAN, NAN, drying, error);
    if (ok) {
        *cautions = g_ptr_array_new_with_free_func(g_free);
        row = spl_tables_material_by_slug(tables, drying->material);
        needed = spl_dry_sign_of(row != NULL ? row->part : SPL_PART_ANY);
        if (spl_dry_sign_from(words.how, &found) && found != needed)
            spl_caution_add(*cautions, "%s is dry through when %s (%s)", drying->material,
                            spl_dry_sign_words(needed), spl_dry_sign_name(needed));
    }
    spl_inputs_clear(&spl_drying_test_inputs, &words);
    return ok;
}

gboolean spl_drying_end(struct spl_house *house, const struct spl_drying_step_words *said,
                        struct spl_drying *drying, GPtrArray **cautions, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    struct spl_drying_step_words words;
    const struct spl_material *row;
    gboolean ok;

    if (tables == NULL || !spl_entry_take(house, &spl_drying_finish_inputs, said, &words, error))
        return FALSE;
    ok =
        add_event(house, SPL_DRYING_FINISH, &words, words.weight_g, words.garbled_g, drying, error);
    spl_inputs_clear(&spl_drying_finish_inputs, &words);
    if (!ok)
        return FALSE;
    *cautions = g_ptr_array_new_with_free_func(g_free);
    row = spl_tables_material_by_slug(tables, drying->material);
    if (row != NULL && spl_figure_is_set(row->fresh_per_dry) && !isnan(drying->fresh_per_dry) &&
        drying->fresh_per_dry < 0.7 * row->fresh_per_dry.low)
        spl_caution_add(
            *cautions,
            "only %.1f parts fresh gave 1 dry, usual are %.1f to %.1f: is it dry through? "
            "damp herb moulds",
            drying->fresh_per_dry, row->fresh_per_dry.low, row->fresh_per_dry.high);
    if (row != NULL && spl_drying_dryness(drying, row, NULL) == SPL_DRYNESS_OPEN)
        spl_caution_add(*cautions,
                        "nothing shows yet that it is dry through: weigh it again after a day, or "
                        "try it by hand (%s); until then none of it goes under oil",
                        spl_dry_sign_words(spl_dry_sign_of(row->part)));
    return TRUE;
}

gboolean spl_drying_show(struct spl_house *house, const char *code, struct spl_drying *drying,
                         GError **error)
{
    struct spl_drying_pick said = {code}, pick;
    struct spl_drying found;
    gboolean ok;

    if (!spl_entry_take(house, &spl_drying_pick_inputs, &said, &pick, error))
        return FALSE;
    ok = find_as_today(house, pick.code, &found, error);
    if (ok)
        *drying = found;
    else
        spl_error_about(error, "code");
    spl_inputs_clear(&spl_drying_pick_inputs, &pick);
    return ok;
}

struct relay {
    struct spl_house *house;
    const struct spl_standings *standings;
    gboolean (*each)(const struct spl_drying *drying, gpointer data, GError **error);
    gpointer data;
};

static gboolean relay_entry(const struct spl_drying *drying, gpointer data, GError **error)
{
    const struct relay *relay = data;
    struct spl_drying shown = *drying; /* borrowed but for how it stands */
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

gboolean spl_drying_entries(struct spl_house *house, const struct spl_drying_question *said,
                            gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                             GError **error),
                            gpointer data, GError **error)
{
    struct spl_drying_question question;
    g_autoptr(spl_standings) standings = NULL;
    struct relay relay = {.house = house, .each = each, .data = data};

    if (!spl_entry_take(house, &spl_drying_question_inputs, said, &question, error))
        return FALSE;
    relay.standings = standings = spl_standings_load(house, error);
    return standings != NULL &&
           spl_drying_each(house->book, question.open, question.all, relay_entry, &relay, error);
}
