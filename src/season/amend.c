/* SPDX-License-Identifier: MIT
 *
 * Correcting and striking any coded record. See simpling/harvest.h.
 *
 * Each kind of record has a table of what may be corrected: the key that a person writes, the
 * column it lands in, and how its text is read. A kind that lets more be corrected adds rows.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/amendment.h"
#include "book/batch.h"
#include "book/check.h"
#include "book/code.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "book/purchase.h"
#include "book/site.h"
#include "core/stage.h"
#include "core/tables.h"
#include "season/amend.h"
#include "season/ground.h"
#include "season/house_private.h"
#include "season/state.h"
#include "simpling/error.h"
#include "simpling/harvest.h"

static const struct spl_field correction_fields[] = {
    SPL_FIELD(spl_correction, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_correction, field, SPL_TEXT, "field", "what"),
    SPL_FIELD(spl_correction, was, SPL_TEXT, "was", "was"),
    SPL_FIELD(spl_correction, became, SPL_TEXT, "became", "became"),
    SPL_FIELD(spl_correction, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_correction, by, SPL_TEXT, "by", "by"),
};
const struct spl_shape spl_correction_shape =
    SPL_SHAPE("correction", spl_correction, correction_fields);

static const struct spl_amend_row amend_rows[] = {
    {'H', "weight", "weight_g", SPL_AMEND_MASS, "harvest_now"},
    {'H', "garbled", "garbled_g", SPL_AMEND_MASS, "harvest_now"},
    {'H', "stage", "stage", SPL_AMEND_STAGE, "harvest_now"},
    {'H', "on", "day", SPL_AMEND_PAST_DAY, "harvest_now"},
    {'H', "by", "by", SPL_AMEND_TEXT, "harvest_now"},
    {'H', "named-by", "named_by", SPL_AMEND_TEXT, "harvest_now"},
    {'H', "signs", "signs", SPL_AMEND_TEXT, "harvest_now"},
    {'H', "weather", "weather", SPL_AMEND_TEXT, "harvest_now"},
    {'H', "remark", "remark", SPL_AMEND_TEXT, "harvest_now"},
    {'P', "weight", "weight_g", SPL_AMEND_MASS, "purchase_now"},
    {'P', "on", "day", SPL_AMEND_PAST_DAY, "purchase_now"},
    {'P', "supplier", "supplier", SPL_AMEND_TEXT, "purchase_now"},
    {'P', "number", "number", SPL_AMEND_TEXT, "purchase_now"},
    {'P', "named-by", "named_by", SPL_AMEND_TEXT, "purchase_now"},
    {'P', "signs", "signs", SPL_AMEND_TEXT, "purchase_now"},
    {'P', "remark", "remark", SPL_AMEND_TEXT, "purchase_now"},
    {'D', "on", "day", SPL_AMEND_PAST_DAY, "drying_now"},
    {'D', "by", "by", SPL_AMEND_TEXT, "drying_now"},
    {'D', "remark", "remark", SPL_AMEND_TEXT, "drying_now"},
    {'B', "on", "day", SPL_AMEND_PAST_DAY, "batch_now"},
    {'B', "by", "by", SPL_AMEND_TEXT, "batch_now"},
    {'B', "remark", "remark", SPL_AMEND_TEXT, "batch_now"},
    {'L', "on", "day", SPL_AMEND_PAST_DAY, "lot_now"},
    {'L', "use-by", "use_by", SPL_AMEND_DAY, "lot_now"},
    {'L', "by", "by", SPL_AMEND_TEXT, "lot_now"},
    {'L', "remark", "remark", SPL_AMEND_TEXT, "lot_now"},
    {'N', "on", "day", SPL_AMEND_PAST_DAY, "spray_note_now"},
    {'N', "since", "since", SPL_AMEND_PAST_DAY, "spray_note_now"},
    {'N', "until", "until", SPL_AMEND_DAY, "spray_note_now"},
    {'N', "source", "source", SPL_AMEND_TEXT, "spray_note_now"},
    {'N', "product", "product", SPL_AMEND_TEXT, "spray_note_now"},
    {'N', "method", "method", SPL_AMEND_METHOD, "spray_note_now"},
    {'N', "on", "day", SPL_AMEND_PAST_DAY, "stage_note_now"},
    {'N', "stage", "stage", SPL_AMEND_STAGE, "stage_note_now"},
    {'N', "by", "by", SPL_AMEND_TEXT, "stage_note_now"},
    {'N', "remark", "remark", SPL_AMEND_TEXT, "stage_note_now"},
};

/* The row for a key of this very record: a code's letter may stand for several kinds of record, and
 * the view that holds it tells which. */
static const struct spl_amend_row *find_row(struct spl_book *book, const struct spl_thing *thing,
                                            const char *key, char **was, GError **error)
{
    g_autoptr(GString) keys = g_string_new(NULL);

    for (gsize i = 0; i < G_N_ELEMENTS(amend_rows); i++) {
        const struct spl_amend_row *row = &amend_rows[i];
        GError *failed = NULL;
        gboolean there;
        g_autofree char *value = NULL;

        if (row->kind != thing->kind)
            continue;
        value = spl_amendment_value(book, row->view, row->column, thing->id, &there, &failed);
        if (failed != NULL) {
            g_propagate_error(error, failed);
            return NULL;
        }
        if (there && strcmp(row->key, key) == 0) {
            *was = g_steal_pointer(&value);
            return row;
        }
        if (there)
            g_string_append_printf(keys, "%s--%s", keys->len > 0 ? ", " : "", row->key);
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: has no --%s to correct; it has %s",
                thing->code, key,
                keys->len > 0 ? keys->str : "nothing that can be amended, only struck");
    return NULL;
}

/* What is only planned can be put off to a day that is still to come. */
static gboolean is_planned(struct spl_house *house, const struct spl_amend_row *row,
                           const struct spl_thing *thing)
{
    gboolean there;
    g_autofree char *kind = NULL;

    if (strcmp(row->view, "spray_note_now") != 0)
        return FALSE;
    kind = spl_amendment_value(house->book, row->view, "kind", thing->id, &there, NULL);
    return g_strcmp0(kind, "planned") == 0;
}

/* Reads the text as the row's kind of value and writes the amendment. */
static gboolean write_value(struct spl_house *house, const struct spl_amend_row *row,
                            const struct spl_thing *thing, const char *text, const char *by,
                            const char *why, GError **error)
{
    g_autofree char *what = g_strconcat("--", row->key, NULL);
    struct spl_book *book = house->book;

    switch (row->value) {
    case SPL_AMEND_MASS: {
        double grams;

        return spl_mass_parse(text, what, &grams, error) &&
               spl_amendment_add_real(book, thing->uuid, row->column, grams, by, why, error);
    }
    case SPL_AMEND_VOLUME: {
        double ml;

        return spl_volume_parse(text, what, &ml, error) &&
               spl_amendment_add_real(book, thing->uuid, row->column, ml, by, why, error);
    }
    case SPL_AMEND_STAGE: {
        int stage;

        return spl_stage_parse(text, what, &stage, error) &&
               spl_amendment_add_int(book, thing->uuid, row->column, stage, by, why, error);
    }
    case SPL_AMEND_PAST_DAY:
    case SPL_AMEND_DAY: {
        struct spl_day day;

        return spl_day_parse(text, what, &day, error) &&
               (row->value == SPL_AMEND_DAY || is_planned(house, row, thing) ||
                spl_house_past(house, day, what, error)) &&
               spl_amendment_add_day(book, thing->uuid, row->column, day, by, why, error);
    }
    case SPL_AMEND_METHOD: {
        const struct spl_tables *tables = spl_house_tables(house, error);
        const struct spl_method *method;

        return tables != NULL && spl_tables_method(tables, text, &method, error) &&
               spl_amendment_add_text(book, thing->uuid, row->column, method->slug, by, why, error);
    }
    case SPL_AMEND_TEXT: {
        g_autofree char *clean = spl_text_clean(text, what, SPL_REMARK_MAX, TRUE, error);

        return clean != NULL &&
               spl_amendment_add_text(book, thing->uuid, row->column, clean, by, why, error);
    }
    }
    return FALSE;
}

static gboolean purchase_sound(struct spl_house *house, const struct spl_thing *thing,
                               GError **error)
{
    struct spl_purchase purchase;
    gboolean ok;

    if (!spl_purchase_find(house->book, thing->code, &purchase, error))
        return FALSE;
    ok = purchase.left_g > -0.05;
    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %.1f g more than that were drawn from it already; correct the batches "
                    "first",
                    thing->code, -purchase.left_g);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return ok;
}

/* What must still hold after the correction. */
static gboolean still_sound(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    struct spl_harvest harvest;
    gboolean ok;

    if (thing->kind == 'P')
        return purchase_sound(house, thing, error);
    if (thing->kind != 'H')
        return TRUE;
    if (!spl_harvest_find(house->book, thing->code, &harvest, error))
        return FALSE;
    ok = harvest.left_g > -0.05;
    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %.1f g more than that were drawn from it already; correct the batches "
                    "first",
                    thing->code, -harvest.left_g);
    else if (!isnan(harvest.garbled_g) && harvest.garbled_g > harvest.weight_g) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: would weigh more garbled than it came home; correct both", thing->code);
        ok = FALSE;
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

/* A harvest that is moved to another day was picked from the ground of that day: closed ground is
 * refused as it is when it is logged; doubtful ground holds by itself. */
static gboolean judge_again(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    struct spl_verdict_result result;
    struct spl_harvest harvest;
    struct spl_site site;
    g_autofree char *why_held = NULL;
    char day[SPL_DAY_TEXT_SIZE];
    gboolean ok;

    if (tables == NULL || !spl_harvest_find(house->book, thing->code, &harvest, error))
        return FALSE;
    ok = spl_site_load(house->book, harvest.site_id, &site, error);
    if (ok) {
        ok =
            spl_ground_judge(house, &site, harvest.date,
                             spl_tables_material_by_slug(tables, harvest.material), &result, error);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (ok) {
        why_held = spl_ground_why(&result);
        if (result.verdict == SPL_VERDICT_CLOSED && harvest.held == NULL) {
            spl_ground_refuse(error, &result, "%s: %s is closed on %s, the day was not changed",
                              thing->code, harvest.site, spl_day_format(harvest.date, day));
            ok = FALSE;
        }
        spl_verdict_result_clear(&result);
    }
    spl_record_clear(&spl_harvest_shape, &harvest);
    return ok;
}

static gboolean amend_all(struct spl_house *house, const struct spl_thing *thing,
                          const char *const *values, const char *by, const char *why,
                          GArray *corrections, GError **error)
{
    gboolean dated = FALSE; /* what hangs on the date must still come after it */

    for (guint i = 0; values[i] != NULL; i += 2) {
        g_autofree char *was = NULL;
        const struct spl_amend_row *row = find_row(house->book, thing, values[i], &was, error);
        struct spl_correction correction;

        if (row == NULL)
            return FALSE;
        correction = (struct spl_correction){
            .code = g_strdup(thing->code),
            .field = g_strdup(row->key),
            .was = row->value == SPL_AMEND_DAY || row->value == SPL_AMEND_PAST_DAY
                       ? spl_amend_day_text(was)
                       : g_strdup(was),
            .became = g_strdup(values[i + 1]),
            .why = g_strdup(why),
            .by = g_strdup(by),
        };
        g_array_append_val(corrections, correction);
        if (!write_value(house, row, thing, values[i + 1], by, why, error))
            return FALSE;
        dated |= strcmp(row->column, "day") == 0;
    }
    return still_sound(house, thing, error) &&
           (!dated || thing->kind != 'H' || judge_again(house, thing, error)) &&
           (!dated || spl_book_check_dates(house->book, thing->code, error));
}

char *spl_amend_day_text(const char *number)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (number == NULL)
        return NULL;
    return g_strdup(
        spl_day_format((struct spl_day){(gint32)g_ascii_strtoll(number, NULL, 10)}, text));
}

GArray *spl_record_amend(struct spl_house *house, const char *code, const char *const *values,
                         const char *why, const char *by, GError **error)
{
    g_autofree char *reason = spl_text_clean(why, "--why", SPL_REMARK_MAX, TRUE, error);
    g_autofree char *who = spl_house_who(house, by);
    GArray *corrections;
    struct spl_thing thing;
    gboolean ok;

    if (reason == NULL)
        return NULL;
    if (values[0] == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "%s: nothing to correct was said; for example --weight 85g", code);
        return NULL;
    }
    if (!spl_book_begin(house->book, error))
        return NULL;
    corrections = spl_list_new(&spl_correction_shape);
    ok = spl_code_find(house->book, code, "HPDBLN", "a record", &thing, error);
    if (ok) {
        ok = spl_thing_stands(house->book, &thing, error) &&
             amend_all(house, &thing, values, who, reason, corrections, error);
        spl_thing_clear(&thing);
    }
    ok = spl_book_finish(house->book, ok, error);
    if (!ok) {
        spl_list_free(&spl_correction_shape, corrections);
        return NULL;
    }
    return corrections;
}

/* Does the marc of any of these batches stand in another jar? Its code, NULL: no. */
static gboolean marc_gone(struct spl_house *house, const GPtrArray *batches, const char **gone,
                          GError **error)
{
    *gone = NULL;
    for (guint i = 0; *gone == NULL && i < batches->len; i++) {
        struct spl_batch_row row;

        if (!spl_batch_find(house->book, batches->pdata[i], &row, error))
            return FALSE;
        if (row.marc_drawn_g > 0)
            *gone = batches->pdata[i];
        spl_batch_row_clear(&row);
    }
    return TRUE;
}

/* What went out of a lot cannot be crossed out of a recall, and a jar whose herb is in another one
 * does not stand again. */
static gboolean may_strike(struct spl_house *house, const struct spl_thing *thing, GError **error)
{
    const char *gone;
    struct spl_lot lot;
    gboolean ok;

    if (thing->kind != 'L')
        return TRUE;
    if (!spl_shelf_find(house, thing->code, &lot, NULL, error))
        return FALSE;
    ok = marc_gone(house, lot.from, &gone, error);
    if (ok && lot.used->len > 0) {
        const struct spl_lot_use *first = &g_array_index(lot.used, struct spl_lot_use, 0);
        char day[SPL_DAY_TEXT_SIZE];

        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: went out (first on %s%s%s) and stays in every trace; count it, withdraw "
                    "it or throw the rest away instead",
                    lot.code, spl_day_format(first->date, day), first->ref != NULL ? " to " : "",
                    first->ref != NULL ? first->ref : "");
        ok = FALSE;
    } else if (ok && gone != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: the marc of %s went into another jar, so that jar cannot stand again; "
                    "strike the other jar first, or count the lot to correct what it holds",
                    lot.code, gone);
        ok = FALSE;
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

gboolean spl_record_strike(struct spl_house *house, const char *code, const char *why,
                           const char *by, struct spl_correction *correction, GError **error)
{
    g_autofree char *reason = spl_text_clean(why, "--why", SPL_REMARK_MAX, TRUE, error);
    g_autofree char *who = spl_house_who(house, by);
    struct spl_thing thing;
    gboolean ok;

    *correction = (struct spl_correction){0};
    if (reason == NULL || !spl_book_begin(house->book, error))
        return FALSE;
    ok = spl_code_find(house->book, code, "HPDBLN", "a record", &thing, error);
    if (ok) {
        ok = may_strike(house, &thing, error) &&
             spl_strike_add(house->book, &thing, who, reason, error);
        *correction = (struct spl_correction){
            .code = g_strdup(thing.code),
            .field = g_strdup("record"),
            .became = g_strdup("struck"),
            .why = g_strdup(reason),
            .by = g_strdup(who),
        };
        spl_thing_clear(&thing);
    }
    ok = spl_book_finish(house->book, ok, error);
    if (!ok)
        spl_record_clear(&spl_correction_shape, correction);
    return ok;
}
