/* SPDX-License-Identifier: MIT
 *
 * Labels out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "book/code.h"
#include "book/setting.h"
#include "picture/label_sheet.h"
#include "season/album.h"
#include "season/batch_private.h"
#include "season/label_shares.h"
#include "season/label_stock.h"
#include "season/label_words.h"
#include "season/state.h"
#include "simpling/batch.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/purchase.h"

#define DEEPEST 12 /* generations that a place is looked for */

struct labelling {
    struct spl_album *album;
    const struct spl_label_words *words;
    GArray *labels; /* of struct spl_label */
};

/* ---- where and when it was gathered ---- */

struct gathered {
    GPtrArray *names;           /* of the places */
    struct spl_day first, last; /* unset: nothing gathered is in it */
};

static gboolean add_places(struct spl_house *house, const char *code, int depth,
                           struct gathered *gathered, GError **error);

static gboolean add_all(struct spl_house *house, const GPtrArray *codes, int depth,
                        struct gathered *gathered, GError **error)
{
    for (guint i = 0; codes != NULL && i < codes->len; i++)
        if (!add_places(house, g_ptr_array_index(codes, i), depth, gathered, error))
            return FALSE;
    return TRUE;
}

static gboolean add_batch_places(struct spl_house *house, const char *code, int depth,
                                 struct gathered *gathered, GError **error)
{
    struct spl_batch batch = {0};
    gboolean ok = spl_batch_show(house, code, &batch, error);

    for (guint i = 0; ok && i < batch.from->len; i++) {
        const char *from = g_array_index(batch.from, struct spl_batch_part, i).code;

        ok = from == NULL || add_places(house, from, depth, gathered, error);
    }
    spl_record_clear(&spl_batch_shape, &batch);
    return ok;
}

static char kind_of(const char *code)
{
    const char *colon = strrchr(code, ':');

    return colon != NULL ? colon[1] : code[0];
}

static gboolean add_places(struct spl_house *house, const char *code, int depth,
                           struct gathered *gathered, GError **error)
{
    gboolean ok = TRUE;

    if (depth == 0)
        return TRUE;
    if (kind_of(code) == 'H') {
        struct spl_harvest harvest = {0};

        ok = spl_harvest_show(house, code, &harvest, error);
        if (ok &&
            !g_ptr_array_find_with_equal_func(gathered->names, harvest.site, g_str_equal, NULL))
            g_ptr_array_add(gathered->names, g_strdup(harvest.site));
        if (ok && (!spl_day_is_set(gathered->first) ||
                   spl_day_compare(harvest.date, gathered->first) < 0))
            gathered->first = harvest.date;
        if (ok &&
            (!spl_day_is_set(gathered->last) || spl_day_compare(harvest.date, gathered->last) > 0))
            gathered->last = harvest.date;
        spl_record_clear(&spl_harvest_shape, &harvest);
    } else if (kind_of(code) == 'D') {
        struct spl_drying drying = {0};

        ok = spl_drying_show(house, code, &drying, error) &&
             add_all(house, drying.from, depth - 1, gathered, error);
        spl_record_clear(&spl_drying_shape, &drying);
    } else if (kind_of(code) == 'L') {
        struct spl_lot lot = {0};

        ok = spl_lot_show(house, code, &lot, error) &&
             add_all(house, lot.from, depth - 1, gathered, error);
        spl_record_clear(&spl_lot_shape, &lot);
    } else if (kind_of(code) == 'B') {
        ok = add_batch_places(house, code, depth - 1, gathered, error);
    }
    return ok;
}

/* The days of gathering, and where that is wished the places ("High Croft, Mill Lane End"; NULL:
 * bought in, or not wished). */
static gboolean tell_gathered(struct labelling *labelling, const char *code,
                              struct spl_label *label, GError **error)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    struct gathered gathered = {names, SPL_DAY_NONE, SPL_DAY_NONE};

    if (!add_places(labelling->album->house, code, DEEPEST, &gathered, error))
        return FALSE;
    if (kind_of(code) != 'H') { /* whose own day is that of its gathering */
        label->gathered_from = gathered.first;
        label->gathered_to = gathered.last;
    }
    if (names->len > 0 && labelling->words->place) {
        g_ptr_array_add(names, NULL);
        label->place = spl_album_take(labelling->album, g_strjoinv(", ", (char **)names->pdata));
    }
    return TRUE;
}

/* ---- each kind of code ---- */

/* "spirit 60%" of "spirit 60%; Ash Beck Still 114", of each that was poured, once: whose it was
 * stands in the batch's record. */
static const char *poured(struct spl_album *album, const char *menstruum)
{
    g_auto(GStrv) each = g_strsplit(menstruum != NULL ? menstruum : "", " + ", -1);
    g_autoptr(GPtrArray) kinds = g_ptr_array_new();

    for (guint i = 0; each[i] != NULL; i++) {
        each[i][strcspn(each[i], ";,")] = '\0';
        if (!g_ptr_array_find_with_equal_func(kinds, each[i], g_str_equal, NULL))
            g_ptr_array_add(kinds, each[i]);
    }
    if (kinds->len == 0)
        return NULL;
    g_ptr_array_add(kinds, NULL);
    return spl_album_take(album, g_strjoinv(" and ", (char **)kinds->pdata));
}

static const char *ratio_words(struct spl_album *album, double ratio)
{
    if (isnan(ratio))
        return NULL;
    /* Nobody pours to the tenth. */
    return spl_album_take(album, g_strdup_printf(ratio >= 3.0 ? "1:%.0f" : "1:%.2g", ratio));
}

static void add_plant(struct spl_album *album, struct spl_label *label, const char *materials)
{
    GArray *cautions = spl_album_cautions(album, materials);

    label->common = spl_album_materials(album, materials);
    label->latin = spl_album_latin(album, materials);
    label->children = SPL_LABEL_CHILDREN;
    label->cautions = (const char *const *)(void *)cautions->data;
    label->n_cautions = cautions->len;
}

#define SMALL_ML 50.0
#define MIDDLE_ML 250.0

/* By the bottle; without one it is the shelf's, unless somebody takes it home. */
static enum spl_label_size size_of(const struct spl_label_words *words)
{
    double ml = isnan(words->bottle.ml) ? words->bottle.g : words->bottle.ml;

    if (isnan(ml))
        return words->ref != NULL ? SPL_LABEL_MIDDLE : SPL_LABEL_LARGE;
    return ml <= SMALL_ML ? SPL_LABEL_SMALL : ml <= MIDDLE_ML ? SPL_LABEL_MIDDLE : SPL_LABEL_LARGE;
}

/* Of an oil the label says nothing: it may go either way. */
static gboolean is_swallowed(struct spl_album *album, const char *preparation)
{
    const struct spl_preparation *row = spl_tables_preparation_by_slug(album->tables, preparation);

    return row != NULL && !spl_liquid_is_oil(row->liquid);
}

/* What was said when it last went out under this number. */
static const char *directions_of(struct spl_album *album, const struct spl_lot *lot,
                                 const char *ref)
{
    const char *directions = NULL;

    for (guint i = 0; ref != NULL && lot->used != NULL && i < lot->used->len; i++) {
        const struct spl_lot_use *use = &g_array_index(lot->used, struct spl_lot_use, i);

        if (g_strcmp0(use->ref, ref) == 0 && use->directions != NULL)
            directions = use->directions;
    }
    return spl_album_text(album, directions);
}

/* A lot that is held, withdrawn or out of date says so; it is not handed out. */
static gboolean add_state(struct spl_album *album, const struct spl_lot *lot, gboolean handing_out,
                          struct spl_label *label, GError **error)
{
    g_autofree char *loud = NULL;

    if (lot->state == SPL_STATE_ON_SHELF)
        return TRUE;
    if (handing_out) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "for",
                            "%s is %s%s%s and may not go out; name nobody to label the bottle",
                            lot->code, spl_state_names[lot->state], lot->why != NULL ? ": " : "",
                            lot->why != NULL ? lot->why : "");
        return FALSE;
    }
    loud = g_utf8_strup(spl_state_names[lot->state], -1);
    label->state = lot->state == SPL_STATE_WITHDRAWN || lot->state == SPL_STATE_DESTROYED ||
                           lot->state == SPL_STATE_OUT_OF_DATE
                       ? spl_album_take(album, g_strdup_printf("%s: do not use", loud))
                       : spl_album_text(album, loud);
    return TRUE;
}

/* What is true of this very lot and its taker must know: before what is true of the plant. */
static void add_lot_cautions(struct labelling *labelling, const struct spl_lot *lot,
                             struct spl_label *label)
{
    struct spl_album *album = labelling->album;
    g_autoptr(GPtrArray) own = g_ptr_array_new_with_free_func(g_free);
    GArray *cautions;
    guint alcohol;

    spl_label_add_own(album->tables, lot->preparation, lot->raw, lot->outside, lot->sugar, lot->abv,
                      labelling->words->bottle.ml, own);
    /* Of a small bottle a row of its own says it. */
    if (label->size == SPL_LABEL_SMALL &&
        g_ptr_array_find_with_equal_func(own, SPL_LABEL_ALCOHOL, g_str_equal, &alcohol)) {
        label->warning = SPL_LABEL_ALCOHOL;
        g_ptr_array_remove_index(own, alcohol);
    }
    cautions = spl_album_sentences(album, own);
    g_array_append_vals(cautions, label->cautions, (guint)label->n_cautions);
    label->cautions = (const char *const *)(void *)cautions->data;
    label->n_cautions = cautions->len;
}

static gboolean fill_lot(struct labelling *labelling, const char *code, struct spl_label *label,
                         GError **error)
{
    struct spl_album *album = labelling->album;
    const struct spl_label_words *words = labelling->words;
    struct spl_lot lot = {0};
    const struct spl_preparation *row;
    g_autofree char *shares = NULL;
    gboolean ok = spl_lot_show(album->house, code, &lot, error);

    if (ok && lot.struck != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: was struck (%s); it has no label",
                    lot.code, lot.struck);
        ok = FALSE;
    }
    if (ok) {
        label->code = spl_album_text(album, lot.code);
        add_plant(album, label, lot.materials);
        label->size = size_of(words);
        add_lot_cautions(labelling, &lot, label);
        label->preparation =
            spl_album_capital(album, spl_album_preparation(album, lot.preparation));
        label->ratio = ratio_words(album, lot.ratio);
        label->menstruum = poured(album, lot.menstruum);
        label->final_abv_frac = lot.abv / 100.0;
        label->made = lot.made;
        label->made_as = isnan(lot.made_ml) ? "put up" : "strained";
        row = spl_tables_preparation_by_slug(album->tables, lot.preparation);
        label->lid = row != NULL && row->lid[0] != '\0' ? row->lid : NULL;
        label->shelf = spl_album_text(album, lot.place);
        label->inside = !lot.outside && is_swallowed(album, lot.preparation);
        label->directions =
            words->directions != NULL ? words->directions : directions_of(album, &lot, words->ref);
        label->use_by = lot.use_by;
        label->storage = spl_album_text(album, lot.storage);
        label->outside_use = lot.outside;
        ok = add_state(album, &lot, words->ref != NULL, label, error) &&
             spl_label_shares(album->house, album->tables, &lot, &shares, error);
        label->shares = spl_album_text(album, shares);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

/* While it stands there is nothing to use, but something to strain. */
static void strain_day(const struct spl_batch *batch, struct spl_label *label)
{
    label->use_as = "strain by";
    for (guint i = 0; batch->steps != NULL && i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(step->step, "ready") != 0 || !spl_day_is_set(step->due))
            continue;
        label->use_by = step->due;
        label->use_as = "strain from";
    }
}

static gboolean fill_batch(struct labelling *labelling, const char *code, struct spl_label *label,
                           GError **error)
{
    struct spl_album *album = labelling->album;
    struct spl_batch batch = {0};
    gboolean ok = spl_batch_show(album->house, code, &batch, error);
    const struct spl_preparation *row;

    if (ok) {
        label->code = spl_album_text(album, batch.code);
        add_plant(album, label, batch.materials);
        label->preparation =
            spl_album_capital(album, spl_album_preparation(album, batch.preparation));
        label->ratio = ratio_words(album, batch.ratio);
        label->menstruum = poured(album, batch.menstruum);
        label->size = SPL_LABEL_TAG;
        label->n_cautions = 0; /* for its taker, who gets none of a jar that stands */
        label->made_as = "put up";
        label->final_abv_frac = batch.final_abv / 100.0;
        label->made = batch.started;
        label->use_by = batch.use_by;
        label->outside_use = batch.outside;
        row = spl_tables_preparation_by_slug(album->tables, batch.preparation);
        label->storage = row != NULL && row->storage[0] != '\0' ? row->storage : NULL;
        label->lid = row != NULL && row->lid[0] != '\0' ? row->lid : NULL;
        if (batch.state == SPL_BATCH_STANDS)
            strain_day(&batch, label);
        label->state =
            batch.held != NULL ? "HELD"
            : batch.state == SPL_BATCH_STANDS
                ? "STANDS: not yet strained"
                : spl_album_take(album, g_utf8_strup(spl_batch_state_names[batch.state], -1));
    }
    spl_record_clear(&spl_batch_shape, &batch);
    return ok;
}

static gboolean fill_herb(struct labelling *labelling, const char *code, struct spl_label *label,
                          GError **error)
{
    struct spl_album *album = labelling->album;
    gboolean ok;

    label->unit = "g";
    label->size = SPL_LABEL_LARGE;
    if (kind_of(code) == 'H') {
        struct spl_harvest harvest = {0};

        ok = spl_harvest_show(album->house, code, &harvest, error);
        if (ok) {
            label->code = spl_album_text(album, harvest.code);
            add_plant(album, label, harvest.material);
            label->preparation = "Fresh herb";
            label->made_as = "gathered";
            label->amount = isnan(harvest.garbled_g) ? harvest.weight_g : harvest.garbled_g;
            label->made = harvest.date;
            label->state = harvest.held != NULL ? "HELD" : NULL;
        }
        spl_record_clear(&spl_harvest_shape, &harvest);
    } else if (kind_of(code) == 'P') {
        struct spl_purchase purchase = {0};

        ok = spl_purchase_show(album->house, code, &purchase, error);
        if (ok) {
            label->code = spl_album_text(album, purchase.code);
            add_plant(album, label, purchase.material);
            label->preparation = spl_album_take(
                album, g_strdup_printf("%s herb, %s%s%s",
                                       purchase.state == SPL_HERB_DRIED ? "Dried" : "Fresh",
                                       purchase.supplier, purchase.number != NULL ? " " : "",
                                       purchase.number != NULL ? purchase.number : ""));
            label->amount = purchase.weight_g;
            label->made_as = "received";
            label->made = purchase.date;
        }
        spl_record_clear(&spl_purchase_shape, &purchase);
    } else {
        struct spl_drying drying = {0};
        struct spl_standing standing = {0};

        ok = spl_drying_show(album->house, code, &drying, error);
        if (ok) {
            label->code = spl_album_text(album, drying.code);
            add_plant(album, label, drying.material);
            label->preparation = spl_day_is_set(drying.finished) ? "Dried herb" : "Drying";
            label->made_as = spl_day_is_set(drying.finished) ? "dried" : "on the rack since";
            label->amount = isnan(drying.garbled_g) ? drying.dry_g : drying.garbled_g;
            label->made = spl_day_is_set(drying.finished) ? drying.finished : drying.started;
            label->storage = "dry, dark, closed";
            ok = spl_standing_of(album->house, drying.id, &standing, error);
            if (ok && standing.held)
                label->state = "HELD";
            spl_standing_clear(&standing);
        }
        spl_record_clear(&spl_drying_shape, &drying);
    }
    return ok;
}

static gboolean add_label(struct labelling *labelling, const char *typed, GError **error)
{
    struct spl_album *album = labelling->album;
    const struct spl_label_words *words = labelling->words;
    struct spl_label label = {.final_abv_frac = NAN,
                              .amount = NAN,
                              .made = SPL_DAY_NONE,
                              .use_by = SPL_DAY_NONE,
                              .gathered_from = SPL_DAY_NONE,
                              .gathered_to = SPL_DAY_NONE,
                              .handed_out = SPL_DAY_NONE};
    struct spl_thing thing = {0};
    gboolean ok = spl_code_find(album->house->book, typed, "LBHPD",
                                "a harvest, drying, purchase, batch or lot", &thing, error);

    if (!ok) {
        spl_error_about(error, "codes");
        return FALSE;
    }
    if (thing.kind == 'L')
        ok = fill_lot(labelling, thing.code, &label, error);
    else if (thing.kind == 'B')
        ok = fill_batch(labelling, thing.code, &label, error);
    else
        ok = fill_herb(labelling, thing.code, &label, error);
    ok = ok && tell_gathered(labelling, thing.code, &label, error);
    if (ok && words->ref != NULL && thing.kind != 'L') {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "for",
                            "only a lot is handed out, and %s is none; leave it away", thing.code);
        ok = FALSE;
    }
    spl_thing_clear(&thing);
    if (!ok)
        return FALSE;
    if (strchr(label.code, ':') == NULL) /* a code of another book shows its mark already */
        label.mark = spl_album_text(album, spl_setting_mark(album->house->book));
    if ((label.unit == NULL || strcmp(label.unit, "g") != 0) &&
        (!isnan(words->bottle.ml) || !isnan(words->bottle.g))) { /* herb has its own weight */
        label.amount = isnan(words->bottle.ml) ? words->bottle.g : words->bottle.ml;
        label.unit = isnan(words->bottle.ml) ? "g" : "mL";
    }
    label.dispensary = words->dispensary;
    if (words->ref != NULL) {
        label.reference = words->ref;
        label.handed_out = spl_house_today(album->house);
    }
    for (int i = 0; i < (words->copies == SPL_COUNT_NONE ? 1 : words->copies); i++)
        g_array_append_val(labelling->labels, label);
    return TRUE;
}

static gboolean draw(struct spl_album *album, const void *said, struct spl_picture *picture,
                     GError **error)
{
    const struct spl_label_words *words = said;
    struct labelling labelling = {
        .album = album, .words = words, .labels = spl_album_array(album, sizeof(struct spl_label))};
    struct spl_label_stock stock = {0};
    struct spl_label_sheet sheet = {.skip = words->skip == SPL_COUNT_NONE ? 0 : words->skip};
    struct spl_page_report report = {0};
    const char *name = words->sheet != NULL ? words->sheet : "3x8";
    g_autofree char *of = NULL;
    gboolean ok;

    if (!spl_lot_ref_check(words->ref, error))
        return FALSE;
    for (guint i = 0; i < words->codes->len; i++) {
        if (!add_label(&labelling, g_array_index(words->codes, struct spl_label_code, i).code,
                       error))
            return FALSE;
    }
    if (strcmp(name, "1") != 0) {
        if (!spl_label_stock_find(album->house, name, &stock, error)) {
            spl_error_about(error, "sheet");
            return FALSE;
        }
        sheet.stock = &stock;
    }
    sheet.labels = (const struct spl_label *)(void *)labelling.labels->data;
    sheet.n_labels = labelling.labels->len;
    of = g_strdup_printf("%u %s", labelling.labels->len,
                         labelling.labels->len == 1 ? "label" : "labels");
    ok = spl_album_write(album, spl_label_sheet_draw(&sheet, &album->options, &report, error),
                         &report, of, picture, error);
    spl_label_stock_clear(&stock);
    return ok;
}

gboolean spl_picture_draw_labels(struct spl_house *house, const struct spl_label_words *said,
                                 struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_label_inputs, said, draw, picture, error);
}
