/* SPDX-License-Identifier: MIT
 *
 * The shelf's ledger out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "picture/shelf_page.h"
#include "season/album.h"
#include "simpling/batch.h"

struct gathering {
    struct spl_album *album;
    GArray *jars, *lots;
};

static const struct spl_batch_step *step_of(const struct spl_batch *batch, const char *name)
{
    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(step->step, name) == 0)
            return step;
    }
    return NULL;
}

/* What is to be done with it next: the open step that is due first, keeping dates left out. */
static const struct spl_batch_step *next_of(const struct spl_batch *batch)
{
    const struct spl_batch_step *next = NULL;

    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (!step->open || !spl_day_is_set(step->due) || strcmp(step->step, "ready") == 0 ||
            strcmp(step->step, "use-by") == 0)
            continue;
        if (next == NULL || spl_day_compare(step->due, next->due) < 0)
            next = step;
    }
    return next;
}

static const char *from_of(struct spl_album *album, const struct spl_batch *batch)
{
    g_autoptr(GString) words = g_string_new(NULL);

    for (guint i = 0; i < batch->from->len; i++) {
        const struct spl_batch_part *part = &g_array_index(batch->from, struct spl_batch_part, i);

        if (part->code == NULL)
            continue;
        g_string_append_printf(words, "%s%s", words->len > 0 ? ", " : "", part->code);
        if (!isnan(part->grams)) {
            g_autofree char *grams = spl_mass_format(part->grams);

            g_string_append_printf(words, " %s", grams);
        }
    }
    return words->len > 0 ? spl_album_text(album, words->str) : NULL;
}

static const char *how_of(struct spl_album *album, const struct spl_batch *batch)
{
    g_autoptr(GString) words = g_string_new(NULL);

    if (!isnan(batch->ratio)) {
        g_autofree char *ratio = spl_ratio_format(batch->ratio);

        g_string_append(words, ratio);
    }
    if (batch->menstruum != NULL)
        g_string_append_printf(words, "%s%s", words->len > 0 ? ", " : "", batch->menstruum);
    return words->len > 0 ? spl_album_text(album, words->str) : NULL;
}

static gboolean take_jar(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    const struct spl_batch_step *ready = step_of(batch, "ready"), *next = next_of(batch);
    const struct spl_batch_step *strain = step_of(batch, "strain");
    struct spl_shelf_page_jar jar = {
        .code = spl_album_text(album, batch->code),
        .what = spl_album_what(album, batch->materials, batch->preparation),
        .from = from_of(album, batch),
        .ratio = how_of(album, batch),
        .jar_ml = batch->jar_ml,
        .since = batch->started,
        .ready_from = ready != NULL ? ready->due : SPL_DAY_NONE,
        .strain_by = strain != NULL ? strain->due : SPL_DAY_NONE,
        .next_step = next != NULL ? spl_album_text(album, next->step) : NULL,
        .next_due = next != NULL ? next->due : SPL_DAY_NONE,
        .remark = spl_album_text(album, batch->hold != NULL ? batch->hold : batch->remark),
    };

    (void)error;
    if (batch->state == SPL_BATCH_STANDS)
        g_array_append_val(gathering->jars, jar);
    return TRUE;
}

/* "shelf B3: 3 × 100 + open 40 mL; cool and dark". */
static const char *keep_of(struct spl_album *album, const struct spl_lot *lot)
{
    g_autoptr(GString) words = g_string_new(lot->place);

    if (lot->full != NULL)
        g_string_append_printf(words, "%s%s", words->len > 0 ? ": " : "", lot->full);
    if (lot->storage != NULL)
        g_string_append_printf(words, "%s%s", words->len > 0 ? "; " : "", lot->storage);
    return words->len > 0 ? spl_album_text(album, words->str) : NULL;
}

static gboolean take_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    gboolean grams = isnan(lot->made_ml);
    struct spl_shelf_page_lot drawn = {
        .code = spl_album_text(album, lot->code),
        .what = spl_album_what(album, lot->materials, lot->preparation),
        .made = lot->made,
        .made_amount = grams ? lot->made_g : lot->made_ml,
        .left = grams ? lot->left_g : lot->left_ml,
        .unit = grams ? "g" : "mL",
        .final_abv_frac = lot->abv / 100.0,
        .use_by = lot->use_by,
        .state = lot->state,
        .reason = spl_album_text(album, lot->why),
        .keep = keep_of(album, lot),
    };

    (void)error;
    g_array_append_val(gathering->lots, drawn);
    return TRUE;
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    gboolean all = ((const struct spl_picture_shelf_words *)words)->all;
    struct spl_page_report report = {0};
    struct gathering gathering = {
        .album = album,
        .jars = spl_album_array(album, sizeof(struct spl_shelf_page_jar)),
        .lots = spl_album_array(album, sizeof(struct spl_shelf_page_lot)),
    };
    struct spl_shelf_page shelf = {.title = "The shelf", .today = spl_house_today(album->house)};

    if (!spl_batch_each_full(album->house, FALSE, take_jar, &gathering, error) ||
        !spl_lot_lines(album->house, &(struct spl_lot_question){.all = all}, take_lot, &gathering,
                       error))
        return FALSE;
    shelf.jars = (const struct spl_shelf_page_jar *)(void *)gathering.jars->data;
    shelf.n_jars = gathering.jars->len;
    shelf.lots = (const struct spl_shelf_page_lot *)(void *)gathering.lots->data;
    shelf.n_lots = gathering.lots->len;
    return spl_album_write(album, spl_shelf_page_draw(&shelf, &album->options, &report, error),
                           &report, "the shelf", picture, error);
}

gboolean spl_picture_draw_shelf(struct spl_house *house, const struct spl_picture_shelf_words *said,
                                struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_shelf_inputs, said, draw, picture, error);
}
