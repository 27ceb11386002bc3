/* SPDX-License-Identifier: MIT
 *
 * Drying. See simpling/drying.h.
 */
#include "simpling/drying.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/drying.h"
#include "season/check_private.h"
#include "season/source.h"
#include "season/state.h"
#include "simpling/error.h"

#define GAIN_FRAC 1.02 /* damp weather and two scales: more than this is a mistake */

/* All picks into the drying: one material, from harvests and fresh purchases. */
static gboolean take_picks(struct spl_house *house, const struct spl_drying_words *words,
                           struct spl_drying *drying, struct spl_joining *joining,
                           GPtrArray *cautions, GError **error)
{
    for (guint i = 0; i < words->n_picks; i++) {
        struct spl_source source;
        double taken_g;
        gboolean ok = spl_source_open(house, words->picks[i].code, "HP", &source, error);

        if (!ok)
            return FALSE;
        if (source.state != SPL_SOURCE_FRESH) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is dried already",
                        source.thing.code);
            ok = FALSE;
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
             spl_source_take(house, &source, drying->id, words->picks[i].grams, words->on, &taken_g,
                             error);
        spl_source_clear(&source);
        if (!ok)
            return FALSE;
        drying->fresh_g += taken_g;
    }
    return TRUE;
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
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "--rack: %.2f m2 are wanted, of %.2f m2 of rack %.2f m2 are taken; take something "
                "down first ('dry list --open')",
                rack_m2, all_m2, taken_m2);
    return FALSE;
}

/* The record as it stands now, in place of the one that was filled on the way. */
static gboolean reread(struct spl_house *house, struct spl_drying *drying, GError **error)
{
    g_autofree char *code = g_strdup(drying->code);

    spl_record_clear(&spl_drying_shape, drying);
    return spl_drying_find(house->book, code, drying, error);
}

gboolean spl_drying_begin(struct spl_house *house, const struct spl_drying_words *words,
                          struct spl_drying *drying, GPtrArray **cautions, GError **error)
{
    gboolean ok;

    *drying = (struct spl_drying){.started = words->on,
                                  .finished = SPL_DAY_NONE,
                                  .rack_m2 = words->rack_m2,
                                  .by = spl_house_who(house, words->by)};
    if (words->n_picks == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "dry start: say what is put up: --from H27-001:400g");
        spl_record_clear(&spl_drying_shape, drying);
        return FALSE;
    }
    ok = spl_house_past(house, words->on, "--on", error) &&
         (words->remark == NULL ||
          (drying->remark =
               spl_text_clean(words->remark, "--remark", SPL_REMARK_MAX, TRUE, error)) != NULL);
    *cautions = g_ptr_array_new_with_free_func(g_free);
    if (ok && (ok = spl_book_begin(house->book, error))) {
        struct spl_joining joining = {0};

        ok = check_racks(house, words->rack_m2, error) &&
             take_picks(house, words, drying, &joining, *cautions, error) &&
             reread(house, drying, error);
        spl_joining_clear(&joining);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (!ok) {
        spl_record_clear(&spl_drying_shape, drying);
        g_clear_pointer(cautions, g_ptr_array_unref);
        return FALSE;
    }
    {
        double fresh_g, dry_g;
        int count;
        const struct spl_material *row =
            spl_tables_material_by_slug(house->tables, drying->material);

        if (spl_drying_learnt(house->book, drying->material, &fresh_g, &dry_g, &count, NULL) &&
            count > 0)
            spl_caution_add(*cautions,
                            "on your racks %.1f g fresh gave 1 g dry (%d %s): expect about %.0f g",
                            fresh_g / dry_g, count, count == 1 ? "drying" : "dryings",
                            drying->fresh_g * dry_g / fresh_g);
        else if (row != NULL && spl_figure_is_set(row->fresh_per_dry))
            spl_caution_add(*cautions,
                            "usually %.1f g fresh give 1 g dry (%s): expect about %.0f g",
                            row->fresh_per_dry.value, row->fresh_per_dry.source,
                            drying->fresh_g / row->fresh_per_dry.value);
    }
    return TRUE;
}

/* Finds an open drying and refuses what cannot be: after the end, before the last event, a weight
 * that grew. */
static gboolean check_event(struct spl_house *house, const char *code, struct spl_day on,
                            double weight_g, struct spl_drying *drying, GError **error)
{
    struct spl_day last;
    double was_g;
    char text[SPL_DAY_TEXT_SIZE];

    if (!spl_drying_find(house->book, code, drying, error))
        return FALSE;
    last =
        drying->events->len > 0
            ? g_array_index(drying->events, struct spl_drying_event, drying->events->len - 1).date
            : drying->started;
    was_g = drying->left_g;
    if (drying->struck != NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is struck (%s)", drying->code,
                    drying->struck);
    else if (spl_day_is_set(drying->finished))
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: was taken down on %s", drying->code,
                    spl_day_format(drying->finished, text));
    else if (spl_day_compare(on, last) < 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--on: %s was seen to on %s already; the day must not be before it",
                    drying->code, spl_day_format(last, text));
    else if (!isnan(weight_g) && weight_g > was_g * GAIN_FRAC + 0.05)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %.1f g now, %.1f g before: herb does not gain on the rack; look at the "
                    "scales again",
                    drying->code, weight_g, was_g);
    else
        return TRUE;
    spl_record_clear(&spl_drying_shape, drying);
    return FALSE;
}

static gboolean add_event(struct spl_house *house, const char *code, const char *kind,
                          double weight_g, double garbled_g, struct spl_day on, const char *by,
                          struct spl_drying *drying, GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    gboolean ok;

    if (!spl_house_past(house, on, "--on", error) || !spl_book_begin(house->book, error))
        return FALSE;
    ok = check_event(house, code, on, weight_g, drying, error);
    if (ok) {
        ok = spl_drying_event_add(house->book, drying->id, kind, on, weight_g, garbled_g, who,
                                  error) &&
             reread(house, drying, error);
    }
    if (!spl_book_finish(house->book, ok, error)) {
        if (ok)
            spl_record_clear(&spl_drying_shape, drying);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_drying_turn(struct spl_house *house, const char *code, struct spl_day on,
                         const char *by, struct spl_drying *drying, GError **error)
{
    return add_event(house, code, "turn", NAN, NAN, on, by, drying, error);
}

gboolean spl_drying_weigh(struct spl_house *house, const char *code, double weight_g,
                          struct spl_day on, const char *by, struct spl_drying *drying,
                          GError **error)
{
    return add_event(house, code, "weigh", weight_g, NAN, on, by, drying, error);
}

gboolean spl_drying_end(struct spl_house *house, const char *code, double weight_g,
                        double garbled_g, struct spl_day on, const char *by,
                        struct spl_drying *drying, GPtrArray **cautions, GError **error)
{
    const struct spl_material *row;

    if (garbled_g > weight_g) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--garbled: more than the weight that came off the rack; look at the scales "
                    "again");
        return FALSE;
    }
    if (spl_house_tables(house, error) == NULL ||
        !add_event(house, code, "finish", weight_g, garbled_g, on, by, drying, error))
        return FALSE;
    *cautions = g_ptr_array_new_with_free_func(g_free);
    row = spl_tables_material_by_slug(house->tables, drying->material);
    if (row != NULL && spl_figure_is_set(row->fresh_per_dry) && !isnan(drying->fresh_per_dry) &&
        drying->fresh_per_dry < 0.7 * row->fresh_per_dry.low)
        spl_caution_add(
            *cautions,
            "only %.1f g fresh gave 1 g dry, usual are %.1f to %.1f: is it dry through? "
            "damp herb moulds",
            drying->fresh_per_dry, row->fresh_per_dry.low, row->fresh_per_dry.high);
    return TRUE;
}

gboolean spl_drying_show(struct spl_house *house, const char *code, struct spl_drying *drying,
                         GError **error)
{
    return spl_drying_find(house->book, code, drying, error);
}

gboolean spl_drying_entries(struct spl_house *house, gboolean open, gboolean all,
                            gboolean (*each)(const struct spl_drying *drying, gpointer data,
                                             GError **error),
                            gpointer data, GError **error)
{
    return spl_drying_each(house->book, open, all, each, data, error);
}
