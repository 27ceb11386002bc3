/* SPDX-License-Identifier: MIT
 *
 * The year in review out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "book/discard.h"
#include "picture/words.h"
#include "picture/year_page.h"
#include "season/album.h"
#include "season/state.h"
#include "season/windows.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/harvest.h"
#include "simpling/purchase.h"
#include "simpling/stand.h"
#include "simpling/window.h"

struct gathering {
    struct spl_album *album;
    int year;
    struct spl_day first, last;
    GArray *taken, *made, *used, *lost, *predictions;
    int pickings, pickings_inside; /* their windows as foretold 14 days ahead */
    GHashTable *at;                /* "site|material" -> taken + 1 */
    GPtrArray *codes;              /* of GString, beside taken */
    GHashTable *states;            /* code of a lot -> its state today */
    GArray *came;                  /* dried and bought */
};

static gboolean in_year(const struct gathering *gathering, struct spl_day day)
{
    return spl_day_is_set(day) && day.n >= gathering->first.n && day.n <= gathering->last.n;
}

static void free_string(gpointer string)
{
    g_string_free(string, TRUE);
}

static gboolean take_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    g_autofree char *key = g_strdup_printf("%s|%s", harvest->site, harvest->material);
    guint at = GPOINTER_TO_UINT(g_hash_table_lookup(gathering->at, key));
    struct spl_year_page_taken *taken;

    (void)error;
    if (at == 0) {
        struct spl_year_page_taken fresh = {
            .site = spl_album_text(album, harvest->site),
            .material = spl_album_material(album, harvest->material),
            .first = harvest->date,
            .last = harvest->date,
            .grams = NAN,
            .allowance_g = NAN,
        };

        g_array_append_val(gathering->taken, fresh);
        g_ptr_array_add(gathering->codes, g_string_new(NULL));
        at = gathering->taken->len;
        g_hash_table_insert(gathering->at, g_steal_pointer(&key), GUINT_TO_POINTER(at));
    }
    taken = &g_array_index(gathering->taken, struct spl_year_page_taken, at - 1);
    if (!isnan(harvest->weight_g))
        taken->grams = harvest->weight_g + (isnan(taken->grams) ? 0.0 : taken->grams);
    taken->first = harvest->date.n < taken->first.n ? harvest->date : taken->first;
    taken->last = harvest->date.n > taken->last.n ? harvest->date : taken->last;
    taken->verdict = MAX(taken->verdict, harvest->verdict);
    GString *codes = g_ptr_array_index(gathering->codes, at - 1);
    g_string_append_printf(codes, "%s%s%s%s", codes->len > 0 ? ", " : "", harvest->code,
                           isnan(harvest->weight_g) ? " (not weighed)" : "",
                           harvest->held != NULL ? " (held)" : "");
    return TRUE;
}

/* What the stands could spare that year. */
static gboolean take_allowances(struct gathering *gathering, GError **error)
{
    GArray *stands = spl_stand_lines(gathering->album->house,
                                     &(struct spl_stand_question){.year = gathering->year}, error);

    if (stands == NULL)
        return FALSE;
    for (guint i = 0; i < stands->len; i++) {
        const struct spl_stand_line *line = &g_array_index(stands, struct spl_stand_line, i);
        g_autofree char *key = g_strdup_printf("%s|%s", line->site, line->material);
        guint at = GPOINTER_TO_UINT(g_hash_table_lookup(gathering->at, key));

        if (at != 0)
            g_array_index(gathering->taken, struct spl_year_page_taken, at - 1).allowance_g =
                line->allowance_g;
    }
    spl_list_free(&spl_stand_line_shape, stands);
    return TRUE;
}

static gboolean take_batch(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    g_autoptr(GPtrArray) lots = g_ptr_array_new();
    struct spl_year_page_made made = {
        .code = spl_album_text(album, batch->code),
        .what = spl_album_what(album, batch->materials, batch->preparation),
        .started = batch->started,
        .pressed = batch->pressed,
        .gone = batch->state == SPL_BATCH_DISCARDED && !spl_day_is_set(batch->pressed),
        .herb_g = batch->herb_g,
        .menstruum_ml = batch->menstruum_ml,
        .yield_ml = batch->pressed_ml,
        .expected_ml = batch->yield_ml,
        .low_ml = batch->yield_low_ml,
        .high_ml = batch->yield_high_ml,
    };

    (void)error;
    if (batch->struck != NULL ||
        !(in_year(gathering, batch->started) || in_year(gathering, batch->pressed)))
        return TRUE;
    for (guint i = 0; batch->lots != NULL && i < batch->lots->len; i++)
        g_ptr_array_add(lots, g_ptr_array_index(batch->lots, i));
    g_ptr_array_add(lots, NULL);
    made.lots = spl_album_take(album, g_strjoinv(", ", (char **)lots->pdata));
    g_array_append_val(gathering->made, made);
    return TRUE;
}

/* How each lot stands today, and what counts did not find. */
static gboolean note_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gathering *gathering = data;

    (void)error;
    g_hash_table_insert(gathering->states, g_strdup(lot->code), GINT_TO_POINTER((int)lot->state));
    return TRUE;
}

static void lose_by_count(struct gathering *gathering, const struct spl_year_page_used *used)
{
    struct spl_year_page_lost lost = {.code = used->code,
                                      .what = used->what,
                                      .day = SPL_DAY_NONE,
                                      .why = "less than the book had at the count"};

    if (used->counted >= 0.0)
        return;
    lost.amount = spl_album_take(gathering->album, spl_words_amount(-used->counted, used->unit));
    g_array_append_val(gathering->lost, lost);
}

static gboolean take_lots(struct gathering *gathering, GError **error)
{
    struct spl_album *album = gathering->album;
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    GArray *flows =
        spl_lot_year(album->house, &(struct spl_lot_year_question){gathering->year}, error);

    if (flows == NULL)
        return FALSE;
    for (guint i = 0; i < flows->len; i++)
        g_array_append_val(ids, g_array_index(flows, struct spl_lot_flow, i).id);
    if (!spl_shelf_each_and(album->house, ids, note_lot, gathering, error)) {
        spl_list_free(&spl_lot_flow_shape, flows);
        return FALSE;
    }
    for (guint i = 0; i < flows->len; i++) {
        const struct spl_lot_flow *flow = &g_array_index(flows, struct spl_lot_flow, i);
        struct spl_year_page_used used = {
            .code = spl_album_text(album, flow->code),
            .what = spl_album_what(album, flow->materials, flow->preparation),
            .before = flow->before,
            .made = flow->made,
            .out = flow->out,
            .drawn = flow->drawn,
            .thrown = flow->thrown,
            .counted = flow->counted,
            .left = flow->left,
            .unit = spl_album_text(album, flow->unit),
            .state = (enum spl_state_word)GPOINTER_TO_INT(
                g_hash_table_lookup(gathering->states, flow->code)),
        };

        g_array_append_val(gathering->used, used);
        lose_by_count(gathering, &used);
    }
    spl_list_free(&spl_lot_flow_shape, flows);
    return TRUE;
}

static gboolean take_drying(const struct spl_drying *drying, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    struct spl_year_page_came came = {.code = spl_album_text(album, drying->code),
                                      .what = spl_album_material(album, drying->material),
                                      .how = "dried",
                                      .day = drying->finished};
    double grams = isnan(drying->garbled_g) ? drying->dry_g : drying->garbled_g;

    (void)error;
    if (drying->kind != SPL_DRYING_DRIED) { /* at once, and weighs what was put up */
        came.how = drying->kind == SPL_DRYING_FROZEN ? "frozen" : "heated";
        came.day = drying->started;
        grams = drying->fresh_g;
    }
    if (!in_year(gathering, came.day))
        return TRUE;
    if (!isnan(drying->fresh_per_dry))
        came.how = spl_album_take(
            album, g_strdup_printf("dried, %.2g g fresh to 1 g", drying->fresh_per_dry));
    came.amount = spl_album_take(album, spl_words_amount(grams, "g"));
    g_array_append_val(gathering->came, came);
    return TRUE;
}

static gboolean take_purchase(const struct spl_purchase *purchase, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    struct spl_year_page_came came = {.code = spl_album_text(album, purchase->code),
                                      .what = spl_album_material(album, purchase->material),
                                      .day = purchase->date};

    (void)error;
    if (!in_year(gathering, purchase->date))
        return TRUE;
    came.how =
        spl_album_take(album, g_strdup_printf("from %s%s%s", purchase->supplier,
                                              purchase->number != NULL ? ", " : "",
                                              purchase->number != NULL ? purchase->number : ""));
    came.amount = spl_album_take(album, spl_words_amount(purchase->weight_g, "g"));
    g_array_append_val(gathering->came, came);
    return TRUE;
}

/* The forecast a fortnight ahead of each stage that was noted; pickings are counted apart. */
static gboolean take_predictions(struct gathering *gathering, GError **error)
{
    struct spl_window_errors errors = {0};
    struct spl_album *album = gathering->album;

    if (!spl_window_check_fortnight(album->house, gathering->year, &errors, error))
        return FALSE;
    gathering->pickings = errors.pickings;
    for (guint i = 0; errors.picked != NULL && i < errors.picked->len; i++)
        gathering->pickings_inside +=
            g_array_index(errors.picked, struct spl_window_picked, i).inside_14;
    for (guint i = 0; errors.errors != NULL && i < errors.errors->len; i++) {
        const struct spl_window_error *e =
            &g_array_index(errors.errors, struct spl_window_error, i);
        struct spl_year_page_prediction drawn = {
            .material = spl_album_material(album, e->material),
            .site = spl_album_text(album, e->site),
            .earliest = e->foretold_p10,
            .latest = e->foretold_p90,
            .predicted = e->foretold,
            .seen = e->on,
            .basis = "14 days ahead",
        };

        g_array_append_val(gathering->predictions, drawn);
    }
    spl_record_clear(&spl_window_errors_shape, &errors);
    return TRUE;
}

/* The herb of a code that bears one: what was gathered, dried or bought. A code of another book has
 * its mark before it. */
static gboolean herb_of(struct spl_album *album, const char *code, const char **what,
                        GError **error)
{
    const char *colon = strrchr(code, ':');
    struct spl_harvest harvest;
    struct spl_drying drying;
    struct spl_purchase purchase;

    switch (colon != NULL ? colon[1] : code[0]) {
    case 'H':
        if (!spl_harvest_show(album->house, code, &harvest, error))
            return FALSE;
        *what = spl_album_material(album, harvest.material);
        spl_record_clear(&spl_harvest_shape, &harvest);
        return TRUE;
    case 'D':
        if (!spl_drying_show(album->house, code, &drying, error))
            return FALSE;
        *what = spl_album_material(album, drying.material);
        spl_record_clear(&spl_drying_shape, &drying);
        return TRUE;
    case 'P':
        if (!spl_purchase_show(album->house, code, &purchase, error))
            return FALSE;
        *what = spl_album_material(album, purchase.material);
        spl_record_clear(&spl_purchase_shape, &purchase);
        return TRUE;
    default:
        return TRUE;
    }
}

/* The material of what was thrown away is told by its code alone where that needs no look. */
static gboolean take_discard(const struct spl_discard_row *row, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    gboolean grams = !isnan(row->grams);
    struct spl_year_page_lost lost = {
        .code = spl_album_text(album, row->code),
        .day = row->day,
        .amount = spl_album_take(
            album, spl_words_amount(grams ? row->grams : row->ml, grams ? "g" : "mL")),
        .why = spl_album_text(album, row->why),
    };

    if (!herb_of(album, row->code, &lost.what, error))
        return FALSE;
    for (guint i = 0; i < gathering->made->len; i++) {
        const struct spl_year_page_made *made =
            &g_array_index(gathering->made, struct spl_year_page_made, i);

        if (strcmp(made->code, row->code) == 0)
            lost.what = made->what;
    }
    for (guint i = 0; i < gathering->used->len; i++) {
        const struct spl_year_page_used *used =
            &g_array_index(gathering->used, struct spl_year_page_used, i);

        if (strcmp(used->code, row->code) == 0)
            lost.what = used->what;
    }
    g_array_append_val(gathering->lost, lost);
    return TRUE;
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    int number = ((const struct spl_picture_year_words *)words)->year;
    g_autoptr(GHashTable) at = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(free_string);
    g_autoptr(GHashTable) states = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    struct gathering gathering = {
        .album = album,
        .year = number,
        .taken = spl_album_array(album, sizeof(struct spl_year_page_taken)),
        .made = spl_album_array(album, sizeof(struct spl_year_page_made)),
        .used = spl_album_array(album, sizeof(struct spl_year_page_used)),
        .lost = spl_album_array(album, sizeof(struct spl_year_page_lost)),
        .predictions = spl_album_array(album, sizeof(struct spl_year_page_prediction)),
        .at = at,
        .codes = codes,
        .states = states,
        .came = spl_album_array(album, sizeof(struct spl_year_page_came)),
    };
    struct spl_harvest_question question = {.from = SPL_DAY_NONE};
    struct spl_page_report report = {0};
    g_autofree char *of = g_strdup_printf("the year %d", number);
    g_autofree char *title = NULL;
    double lat = 50.0, lon = 0.0;

    /* All halves of the page speak of one growing year. */
    spl_house_setting_place(album->house, &lat, &lon);
    spl_day_season_bounds(number, lat, &gathering.first, &gathering.last);
    question.from = gathering.first;
    question.to = gathering.last;
    if (lat < 0)
        title = g_strdup_printf("The growing year %d to %d", number, number + 1);

    if (!spl_harvest_entries(album->house, &question, take_harvest, &gathering, error) ||
        !take_allowances(&gathering, error) ||
        !spl_batch_each_between_full(album->house, gathering.first, gathering.last, take_batch,
                                     &gathering, error) ||
        !take_lots(&gathering, error) ||
        !spl_drying_entries(album->house, &(struct spl_drying_question){0}, take_drying, &gathering,
                            error) ||
        !spl_purchase_entries(album->house, &(struct spl_purchase_question){0}, take_purchase,
                              &gathering, error) ||
        !spl_discard_each(album->house->book, gathering.first, gathering.last, take_discard,
                          &gathering, error) ||
        !take_predictions(&gathering, error))
        return FALSE;
    for (guint i = 0; i < gathering.taken->len; i++)
        g_array_index(gathering.taken, struct spl_year_page_taken, i).codes =
            spl_album_text(album, ((GString *)g_ptr_array_index(codes, i))->str);
    struct spl_year_page year = {
        .title = title,
        .year = number,
        .pickings = gathering.pickings,
        .pickings_inside = gathering.pickings_inside,
        .taken = (const struct spl_year_page_taken *)(void *)gathering.taken->data,
        .n_taken = gathering.taken->len,
        .made = (const struct spl_year_page_made *)(void *)gathering.made->data,
        .n_made = gathering.made->len,
        .used = (const struct spl_year_page_used *)(void *)gathering.used->data,
        .n_used = gathering.used->len,
        .came = (const struct spl_year_page_came *)(void *)gathering.came->data,
        .n_came = gathering.came->len,
        .lost = (const struct spl_year_page_lost *)(void *)gathering.lost->data,
        .n_lost = gathering.lost->len,
        .predictions = (const struct spl_year_page_prediction *)(void *)gathering.predictions->data,
        .n_predictions = gathering.predictions->len,
    };
    return spl_album_write(album, spl_year_page_draw(&year, &album->options, &report, error),
                           &report, of, picture, error);
}

gboolean spl_picture_draw_year(struct spl_house *house, const struct spl_picture_year_words *said,
                               struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_year_inputs, said, draw, picture, error);
}
