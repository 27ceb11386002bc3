/* SPDX-License-Identifier: MIT
 *
 * Jars, racks and lots in notes. See season/note_jars.h.
 *
 * A jar may be told by what is in it ("elder vin") where only one such stands. What has two answers
 * is refused with both.
 */
#include "season/note_jars.h"

#include <math.h>
#include <string.h>

#include "season/note_enter.h"
#include "simpling/amend.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/site.h"

/* Which jars ------------------------------------------------------------------------------------
 */

struct jars {
    const struct spl_note_entry *entry;
    const char *step; /* only those for which it is due; NULL: all */
    GPtrArray *codes;
};

static gboolean has_plant(const char *materials, const struct spl_note_entry *entry)
{
    g_auto(GStrv) slugs = g_strsplit(materials != NULL ? materials : "", ", ", -1);

    if (entry->material != NULL)
        return g_strv_contains((const char *const *)slugs, entry->material);
    for (guint i = 0; entry->plant != NULL && slugs[i] != NULL; i++) {
        const gsize n = strlen(entry->plant);

        if (strncmp(slugs[i], entry->plant, n) == 0 && (slugs[i][n] == '/' || slugs[i][n] == '\0'))
            return TRUE;
    }
    return entry->plant == NULL;
}

static gboolean is_of(const char *preparation, const char *materials,
                      const struct spl_note_entry *entry)
{
    g_autofree char *marked = g_strdup_printf(",%s,", preparation);

    return has_plant(materials, entry) &&
           (entry->preparation == NULL || strstr(entry->preparation, marked) != NULL);
}

static gboolean is_due(const struct spl_batch *batch, const char *step, struct spl_day day)
{
    for (guint i = 0; batch->steps != NULL && i < batch->steps->len; i++) {
        const struct spl_batch_step *one = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(one->step, step) == 0 && one->open && spl_day_is_set(one->due) &&
            one->due.n <= day.n)
            return TRUE;
    }
    return FALSE;
}

static gboolean take_jar(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct jars *jars = data;
    const struct spl_note_entry *entry = jars->entry;

    (void)error;
    if (!is_of(batch->preparation, batch->materials, entry) ||
        g_ptr_array_find_with_equal_func(entry->but, batch->code, g_str_equal, NULL) ||
        (jars->step != NULL && !is_due(batch, jars->step, entry->day)))
        return TRUE;
    g_ptr_array_add(jars->codes, g_strdup(batch->code));
    return TRUE;
}

static char *list_codes(const GPtrArray *codes)
{
    GString *list = g_string_new(NULL);

    for (guint i = 0; i < codes->len; i++)
        g_string_append_printf(list, "%s%s", i > 0 ? ", " : "",
                               (const char *)g_ptr_array_index(codes, i));
    return g_string_free(list, FALSE);
}

/* The codes that the line means. NULL with an error. `step` NULL: one jar by what is in it. */
static GPtrArray *find_jars(struct spl_house *house, const struct spl_note_entry *entry,
                            const char *step, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    struct jars jars = {entry, entry->all ? step : NULL, codes};
    g_autofree char *list = NULL;

    for (guint i = 0; i < entry->codes->len; i++)
        g_ptr_array_add(codes, g_strdup(g_ptr_array_index(entry->codes, i)));
    if (codes->len > 0)
        return g_steal_pointer(&codes);
    if (!entry->all && entry->plant == NULL && entry->preparation == NULL)
        jars.step = step;
    if (!spl_batch_each_full(house, FALSE, take_jar, &jars, error))
        return NULL;
    list = list_codes(codes);
    if (!entry->all && (codes->len != 1 || jars.step != NULL)) {
        g_set_error(error, SPL_ERROR, codes->len == 0 ? SPL_ERROR_NOT_FOUND : SPL_ERROR_AMBIGUOUS,
                    codes->len == 0 ? "which jar? none such stands%s"
                                    : "which jar? %s; write its code",
                    list);
        return NULL;
    }
    if (codes->len == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "for no jar this is due on that day; write the code of the one that is meant");
        return NULL;
    }
    return g_steal_pointer(&codes);
}

/* Steps and yields ------------------------------------------------------------------------------
 */

static const char *step_of(enum spl_note_done done)
{
    switch (done) {
    case SPL_NOTE_TOPPED:
        return "top-up";
    case SPL_NOTE_LOOKED:
        return "look";
    case SPL_NOTE_DECANTED:
        return "decant";
    case SPL_NOTE_TURNED:
        return "turn";
    case SPL_NOTE_READY:
        return "ready";
    default:
        return "shake";
    }
}

static void caution(struct spl_note_row *row, const GPtrArray *cautions)
{
    for (guint i = 0; cautions != NULL && i < cautions->len; i++)
        g_ptr_array_add(row->cautions, g_strdup(g_ptr_array_index(cautions, i)));
}

/* The record in words, with the jars that were found. */
static void say_codes(struct spl_note_row *row, const struct spl_note_entry *entry,
                      GPtrArray *codes)
{
    struct spl_note_entry said = *entry;

    said.codes = codes;
    g_free(row->record);
    row->record = spl_note_describe(&said);
    if (row->code == NULL)
        row->code = list_codes(codes);
}

static gboolean turn_rack(struct spl_house *house, const struct spl_note_entry *entry,
                          const char *code, const char *by, GError **error)
{
    struct spl_drying_step_words words;
    struct spl_drying drying;

    spl_inputs_init(&spl_drying_turn_inputs, &words);
    words.code = code;
    words.on = entry->day;
    words.by = by;
    if (!spl_drying_turn(house, &words, &drying, error))
        return FALSE;
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean do_step(struct spl_house *house, const struct spl_note_entry *entry,
                        const char *code, const char *by, struct spl_note_row *row, GError **error)
{
    g_autoptr(GPtrArray) cautions = NULL;
    struct spl_batch_step_words words;
    struct spl_batch batch;

    if (entry->done == SPL_NOTE_TURNED && (*code == 'D' || strstr(code, ":D") != NULL))
        return turn_rack(house, entry, code, by, error);
    spl_inputs_init(&spl_batch_step_inputs, &words);
    words.code = code;
    words.step = step_of(entry->done);
    words.liquid_ml = entry->ml;
    words.on = entry->day;
    words.by = by;
    if (!spl_batch_step(house, &words, &batch, &cautions, error))
        return FALSE;
    caution(row, cautions);
    spl_record_clear(&spl_batch_shape, &batch);
    return TRUE;
}

static gboolean enter_step(struct spl_house *house, const struct spl_note_entry *entry,
                           const char *by, struct spl_note_row *row, GError **error)
{
    g_autoptr(GPtrArray) codes = find_jars(house, entry, step_of(entry->done), error);
    gboolean ok = codes != NULL;

    if (ok && codes->len > 1 && !isnan(entry->ml)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_AMBIGUOUS,
                    "so much into each jar, or into all together? write a line for each");
        return FALSE;
    }
    for (guint i = 0; ok && i < codes->len; i++)
        ok = do_step(house, entry, g_ptr_array_index(codes, i), by, row, error);
    if (ok)
        say_codes(row, entry, codes);
    return ok;
}

static gboolean enter_yield(struct spl_house *house, const struct spl_note_entry *entry,
                            const char *by, struct spl_note_row *row, GError **error)
{
    g_autoptr(GPtrArray) codes = find_jars(house, entry, NULL, error), cautions = NULL;
    struct spl_press_words words;
    struct spl_press_jar jar;
    GArray *jars, *lots;

    if (codes == NULL)
        return FALSE;
    if (codes->len > 1) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_AMBIGUOUS,
                    "what came of each jar? write a line for each; what is pressed together is "
                    "entered at home");
        return FALSE;
    }
    jars = g_array_new(FALSE, FALSE, sizeof(struct spl_press_jar));
    jar = (struct spl_press_jar){g_ptr_array_index(codes, 0), {entry->g, entry->ml}, NAN};
    g_array_append_val(jars, jar);
    spl_inputs_init(&spl_press_inputs, &words);
    words.jars = jars;
    words.on = entry->day;
    words.by = by;
    words.remark = entry->remark;
    lots = spl_batch_press(house, &words, &cautions, error);
    g_array_unref(jars);
    if (lots == NULL)
        return FALSE;
    caution(row, cautions);
    if (lots->len > 0)
        row->code = g_strdup(g_array_index(lots, struct spl_lot, 0).code);
    say_codes(row, entry, codes);
    spl_list_free(&spl_lot_shape, lots);
    return TRUE;
}

/* What is gone, what went out, weights ----------------------------------------------------------
 */

/* Half of what is there, as it is kept. */
static gboolean half_of(struct spl_house *house, const char *code, struct spl_amount *amount,
                        GError **error)
{
    const char *kind = strchr(code, ':') != NULL ? strchr(code, ':') + 1 : code;

    if (*kind == 'B') {
        struct spl_batch batch;

        if (!spl_batch_show(house, code, &batch, error))
            return FALSE;
        if (batch.state == SPL_BATCH_STANDS && batch.pool_ml > 0)
            *amount = (struct spl_amount){NAN, batch.pool_ml / 2};
        else
            *amount = (struct spl_amount){batch.marc_g / 2, NAN};
        spl_record_clear(&spl_batch_shape, &batch);
        return TRUE;
    }
    if (*kind == 'L') {
        struct spl_lot lot;

        if (!spl_lot_show(house, code, &lot, error))
            return FALSE;
        amount->ml = lot.unit == SPL_LOT_ML ? lot.left_ml / 2 : NAN;
        amount->g = lot.unit == SPL_LOT_ML ? NAN : lot.left_g / 2;
        spl_record_clear(&spl_lot_shape, &lot);
        return TRUE;
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: half of it is how much? write g", code);
    return FALSE;
}

static gboolean enter_discard(struct spl_house *house, const struct spl_note_entry *entry,
                              const char *by, struct spl_note_row *row, GError **error)
{
    struct spl_discard_words words;
    struct spl_discarded gone;

    spl_inputs_init(&spl_discard_inputs, &words);
    words.code = g_ptr_array_index(entry->codes, 0);
    words.amount = (struct spl_amount){entry->g, entry->ml};
    if (entry->half && !half_of(house, words.code, &words.amount, error))
        return FALSE;
    words.why = entry->why;
    words.on = entry->day;
    words.by = by;
    if (!spl_discard(house, &words, &gone, error))
        return FALSE;
    say_codes(row, entry, entry->codes);
    spl_record_clear(&spl_discarded_shape, &gone);
    return TRUE;
}

static gboolean take_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct jars *jars = data;

    (void)error;
    if (lot->struck == NULL && is_of(lot->preparation, lot->materials, jars->entry))
        g_ptr_array_add(jars->codes, g_strdup(lot->code));
    return TRUE;
}

static gboolean enter_given(struct spl_house *house, const struct spl_note_entry *entry,
                            const char *by, struct spl_note_row *row, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free), cautions = NULL;
    struct jars jars = {entry, NULL, codes};
    struct spl_lot_question standing = {FALSE};
    struct spl_source_words source;
    struct spl_lot_use_words words;
    struct spl_dispensed given;
    GArray *lots;
    gboolean ok;

    for (guint i = 0; i < entry->codes->len; i++)
        g_ptr_array_add(codes, g_strdup(g_ptr_array_index(entry->codes, i)));
    if (codes->len == 0 && !spl_lot_lines(house, &standing, take_lot, &jars, error))
        return FALSE;
    if (codes->len != 1) {
        g_autofree char *list = list_codes(codes);

        g_set_error(error, SPL_ERROR, codes->len == 0 ? SPL_ERROR_NOT_FOUND : SPL_ERROR_AMBIGUOUS,
                    codes->len == 0 ? "of which lot? none such is on the shelf%s"
                                    : "of which lot? %s; write its code",
                    list);
        return FALSE;
    }
    source = (struct spl_source_words){g_ptr_array_index(codes, 0), {entry->g, entry->ml}};
    lots = g_array_new(FALSE, FALSE, sizeof source);
    g_array_append_val(lots, source);
    spl_inputs_init(&spl_lot_use_inputs, &words);
    words.lots = lots;
    words.ref = entry->ref;
    words.directions = entry->remark;
    words.on = entry->day;
    words.by = by;
    ok = spl_lot_give(house, &words, &given, &cautions, error);
    g_array_unref(lots);
    if (!ok)
        return FALSE;
    caution(row, cautions);
    row->code = g_strdup(given.code);
    say_codes(row, entry, codes);
    spl_record_clear(&spl_dispensed_shape, &given);
    return TRUE;
}

static gboolean amend(struct spl_house *house, const char *code, const char *key, const char *text,
                      const char *why, const char *by, GError **error)
{
    struct spl_change_words change = {key, text};
    GArray *changes = g_array_new(FALSE, FALSE, sizeof change), *made;
    struct spl_amend_words words;

    g_array_append_val(changes, change);
    spl_inputs_init(&spl_amend_inputs, &words);
    words.code = code;
    words.changes = changes;
    words.why = why;
    words.by = by;
    made = spl_record_amend(house, &words, error);
    g_array_unref(changes);
    if (made == NULL)
        return FALSE;
    spl_list_free(&spl_correction_shape, made);
    return TRUE;
}

static gboolean enter_weight(struct spl_house *house, const struct spl_note_entry *entry,
                             const char *by, struct spl_note_row *row, GError **error)
{
    const char *code = g_ptr_array_index(entry->codes, 0);
    struct spl_harvest_weigh_words words;
    struct spl_harvest harvest;

    say_codes(row, entry, entry->codes);
    if (entry->done == SPL_NOTE_WASHED && isnan(entry->g))
        return amend(house, code, "remark", "washed", "noted", by, error);
    if (entry->done == SPL_NOTE_WASHED) {
        g_autofree char *grams = g_strdup_printf("%.1fg", entry->g);

        return amend(house, code, "garbled", grams, "weighed after washing", by, error);
    }
    spl_inputs_init(&spl_harvest_weigh_inputs, &words);
    words.code = code;
    words.weight_g = entry->g;
    words.by = by;
    if (!spl_harvest_weigh(house, &words, &harvest, error))
        return FALSE;
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean enter_drying(struct spl_house *house, const struct spl_note_entry *entry,
                             const char *by, struct spl_note_row *row, GError **error)
{
    struct spl_drying_step_words words;
    struct spl_drying drying;

    spl_inputs_init(&spl_drying_weigh_inputs, &words);
    words.code = g_ptr_array_index(entry->codes, 0);
    words.weight_g = entry->g;
    words.on = entry->day;
    words.by = by;
    if (!spl_drying_weigh(house, &words, &drying, error))
        return FALSE;
    say_codes(row, entry, entry->codes);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

/* Remarks ---------------------------------------------------------------------------------------
 */

gboolean spl_note_place_remark(struct spl_house *house, const struct spl_note_entry *entry,
                               const char *lead, GError **error)
{
    struct spl_site_edit_words words;
    struct spl_site_sheet sheet;
    g_autoptr(GPtrArray) touched = NULL;
    g_autofree char *caution_text = NULL, *remark = NULL;
    char day[SPL_DAY_TEXT_SIZE];
    struct spl_site site;

    if (!spl_site_sheet(house, entry->site, &sheet, error))
        return FALSE;
    remark =
        g_strdup_printf("%s%s%s: %s%s%s", sheet.site->remark != NULL ? sheet.site->remark : "",
                        sheet.site->remark != NULL ? "\n" : "", spl_day_format(entry->day, day),
                        lead, *lead != '\0' && entry->remark != NULL ? "; " : "",
                        entry->remark != NULL ? entry->remark : "");
    spl_record_clear(&spl_site_sheet_shape, &sheet);
    spl_inputs_init(&spl_site_edit_inputs, &words);
    words.site = entry->site;
    words.to.remark = remark;
    words.why = "noted";
    if (!spl_site_change(house, &words, &site, &touched, &caution_text, error))
        return FALSE;
    spl_record_clear(&spl_site_shape, &site);
    return TRUE;
}

gboolean spl_note_enter_jars(struct spl_house *house, const struct spl_note_entry *entry,
                             const char *by, struct spl_note_row *row, GError **error)
{
    switch (entry->kind) {
    case SPL_NOTE_KIND_STEP:
        return enter_step(house, entry, by, row, error);
    case SPL_NOTE_KIND_YIELD:
        return enter_yield(house, entry, by, row, error);
    case SPL_NOTE_KIND_DISCARD:
        return enter_discard(house, entry, by, row, error);
    case SPL_NOTE_KIND_WEIGHT:
        return enter_weight(house, entry, by, row, error);
    case SPL_NOTE_KIND_DRYING:
        return enter_drying(house, entry, by, row, error);
    case SPL_NOTE_KIND_GIVEN:
        return enter_given(house, entry, by, row, error);
    case SPL_NOTE_KIND_REMARK:
        if (entry->codes->len == 0)
            return spl_note_place_remark(house, entry, "", error);
        row->code = g_strdup(g_ptr_array_index(entry->codes, 0));
        return amend(house, row->code, "remark", entry->remark, "noted", by, error);
    default:
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL, "a note of no kind");
        return FALSE;
    }
}
