/* SPDX-License-Identifier: MIT
 *
 * The one-page record of a batch out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/batch.h"
#include "book/setting.h"
#include "picture/batch_record.h"
#include "picture/words.h"
#include "season/album.h"
#include "simpling/batch.h"
#include "simpling/harvest.h"

/* What a component was, with the place and verdict of a harvest. FALSE on an error of the book. */
static gboolean describe(struct spl_album *album, const struct spl_batch_part *part,
                         const char **words, GError **error)
{
    g_autoptr(GString) all = g_string_new(NULL);

    if (part->material != NULL)
        g_string_append(all, spl_album_material(album, part->material));
    if (part->state != SPL_HERB_UNSAID)
        g_string_append_printf(all, ", %s", spl_herb_state_names[part->state]);
    if (part->kind == SPL_CHARGE_MARC)
        g_string_append(all, ", marc");
    if (part->words != NULL)
        g_string_append_printf(all, "%s%s", all->len > 0 ? ", " : "", part->words);
    if (part->code != NULL && part->code[0] == 'H') {
        struct spl_harvest harvest = {0};

        if (!spl_harvest_show(album->house, part->code, &harvest, error))
            return FALSE;
        g_string_append_printf(all, ", from %s, ground %s on the day", harvest.site,
                               spl_words_verdict(harvest.verdict));
        spl_record_clear(&spl_harvest_shape, &harvest);
    }
    *words = spl_album_text(album, all->str);
    return TRUE;
}

/* What was noted of one step: the last day, who did it then, how often before. */
struct doing {
    struct spl_album *album;
    const char *step;
    struct spl_day only; /* unset: whenever it was */
    struct spl_day last;
    const char *by;
    GString *days; /* all of them, in words */
    guint n;
};

static void note_doing(const char *step, struct spl_day day, const char *by, gpointer data)
{
    struct doing *doing = data;
    g_autofree char *words = spl_words_date(day);

    if (strcmp(step, doing->step) != 0 || (spl_day_is_set(doing->only) && doing->only.n != day.n))
        return;
    g_string_append_printf(doing->days, "%s%s", doing->n > 0 ? ", " : "", words);
    doing->n++;
    doing->last = day;
    doing->by = spl_album_text(doing->album, by);
}

/* What was poured on later was so by whoever topped the jar up that day. */
static gboolean poured_later(struct spl_album *album, const struct spl_batch *batch,
                             const struct spl_batch_part *part, const char **by, GError **error)
{
    g_autoptr(GString) days = g_string_new(NULL);
    struct doing doing = {.album = album,
                          .step = spl_step_name(SPL_STEP_TOP_UP),
                          .only = part->date,
                          .last = SPL_DAY_NONE,
                          .days = days};

    if (part->date.n == batch->started.n)
        return TRUE;
    if (!spl_batch_step_each(album->house->book, batch->id, note_doing, &doing, error))
        return FALSE;
    *by = doing.by;
    return TRUE;
}

static gboolean take_parts(struct spl_album *album, const struct spl_batch *batch,
                           struct spl_batch_record *record, GError **error)
{
    GArray *all = spl_album_array(album, sizeof(struct spl_batch_record_component));

    for (guint i = 0; i < batch->from->len; i++) {
        const struct spl_batch_part *part = &g_array_index(batch->from, struct spl_batch_part, i);
        const char *bits[] = {part->code, part->supplier, part->number};
        struct spl_batch_record_component component = {
            .identifier = spl_album_take(album, spl_words_join(" ", bits, 3)),
            .amount = isnan(part->grams) ? part->ml : part->grams,
            .unit = isnan(part->grams) ? "mL" : "g",
            .added = part->date,
            .by = part->date.n == batch->started.n ? batch->by : NULL,
        };

        if (!describe(album, part, &component.what, error) ||
            !poured_later(album, batch, part, &component.by, error))
            return FALSE;
        g_array_append_val(all, component);
    }
    record->components = (const struct spl_batch_record_component *)(void *)all->data;
    record->n_components = all->len;
    return TRUE;
}

static const char *step_words(struct spl_album *album, const struct spl_batch_step *step)
{
    if (spl_day_is_set(step->dropped)) {
        g_autofree char *day = spl_words_date(step->dropped);

        return spl_album_take(album, g_strdup_printf("%s: dropped on %s", step->step, day));
    }
    return step->words != NULL && *step->words != '\0'
               ? spl_album_take(album, g_strdup_printf("%s: %s", step->step, step->words))
               : spl_album_text(album, step->step);
}

/* The day, and who did it. A pressing is no step that is noted: whoever made its lots did it. */
static gboolean take_step(struct spl_album *album, const struct spl_batch *batch,
                          const struct spl_batch_step *step, const char *pressed_by, GArray *all,
                          GError **error)
{
    g_autoptr(GString) days = g_string_new(NULL);
    struct doing doing = {.album = album,
                          .step = step->step,
                          .only = SPL_DAY_NONE,
                          .last = SPL_DAY_NONE,
                          .days = days};
    struct spl_batch_record_step drawn = {
        .what = step_words(album, step), .due = step->due, .done = step->done};

    if (!spl_batch_step_each(album->house->book, batch->id, note_doing, &doing, error))
        return FALSE;
    if (doing.n > 0) {
        drawn.done = doing.last;
        drawn.by = doing.by;
    } else if (spl_day_is_set(step->done) && step->done.n == batch->pressed.n) {
        drawn.by = pressed_by;
    }
    if (doing.n > 1)
        drawn.what = spl_album_take(album, g_strdup_printf("%s Done %s.", drawn.what, days->str));
    g_array_append_val(all, drawn);
    return TRUE;
}

static gboolean take_steps(struct spl_album *album, const struct spl_batch *batch,
                           const char *pressed_by, struct spl_batch_record *record, GError **error)
{
    GArray *all = spl_album_array(album, sizeof(struct spl_batch_record_step));

    for (guint i = 0; i < batch->steps->len; i++)
        if (!take_step(album, batch, &g_array_index(batch->steps, struct spl_batch_step, i),
                       pressed_by, all, error))
            return FALSE;
    record->steps = (const struct spl_batch_record_step *)(void *)all->data;
    record->n_steps = all->len;
    return TRUE;
}

/* State of a lot with the dated decisions that led to it. */
static const char *decisions(struct spl_album *album, const struct spl_lot *lot)
{
    g_autoptr(GString) words = g_string_new(spl_state_names[lot->state]);

    for (guint i = 0; lot->events != NULL && i < lot->events->len; i++) {
        const struct spl_lot_event *event = &g_array_index(lot->events, struct spl_lot_event, i);
        g_autofree char *day = spl_words_date(event->date);

        if (event->kind == SPL_LOT_COUNTED)
            continue;
        g_string_append_printf(words, "; %s %s%s%s%s%s", spl_lot_act_names[event->kind], day,
                               event->by != NULL ? " by " : "", event->by != NULL ? event->by : "",
                               event->why != NULL ? ": " : "",
                               event->why != NULL ? event->why : "");
    }
    return spl_album_text(album, words->str);
}

/* `*pressed_by`: who made the first of them; NULL: nobody is named. */
static gboolean take_lots(struct spl_album *album, const struct spl_batch *batch,
                          struct spl_batch_record *record, const char **pressed_by, GError **error)
{
    GArray *all = spl_album_array(album, sizeof(struct spl_batch_record_lot));

    for (guint i = 0; batch->lots != NULL && i < batch->lots->len; i++) {
        struct spl_lot lot = {0};
        struct spl_batch_record_lot drawn;

        if (!spl_lot_show(album->house, g_ptr_array_index(batch->lots, i), &lot, error))
            return FALSE;
        drawn = (struct spl_batch_record_lot){
            .code = spl_album_text(album, lot.code),
            .amount = isnan(lot.made_ml) ? lot.made_g : lot.made_ml,
            .unit = isnan(lot.made_ml) ? "g" : "mL",
            .made = lot.made,
            .use_by = lot.use_by,
            .state = decisions(album, &lot),
        };
        g_array_append_val(all, drawn);
        if (*pressed_by == NULL && lot.by != NULL && lot.made.n == batch->pressed.n)
            *pressed_by = spl_album_text(album, lot.by);
        spl_record_clear(&spl_lot_shape, &lot);
    }
    record->lots = (const struct spl_batch_record_lot *)(void *)all->data;
    record->n_lots = all->len;
    return TRUE;
}

static void add_note(GArray *notes, char item, struct spl_day day, const char *text)
{
    struct spl_batch_record_note note = {item, day, text};

    if (text != NULL)
        g_array_append_val(notes, note);
}

static char *ratio_of(const struct spl_batch *batch)
{
    g_autofree char *ratio = spl_ratio_format(batch->ratio);

    return g_strconcat(ratio, " (mL poured on per g put in)", NULL);
}

static gboolean draw_batch(struct spl_album *album, const struct spl_batch *batch,
                           struct spl_picture *picture, GError **error)
{
    GArray *notes = spl_album_array(album, sizeof(struct spl_batch_record_note));
    GArray *cautions = spl_album_cautions(album, batch->materials);
    const char *mark =
        strchr(batch->code, ':') == NULL ? spl_setting_mark(album->house->book) : NULL;
    const char *pressed_by = NULL;
    struct spl_page_report report = {0};
    struct spl_batch_record record = {
        .mark = mark,
        .code = batch->code,
        .what = spl_album_what(album, batch->materials, batch->preparation),
        .latin = spl_album_latin(album, batch->materials),
        .preparation = spl_album_preparation(album, batch->preparation),
        .ratio = isnan(batch->ratio) ? NULL : spl_album_take(album, ratio_of(batch)),
        .started = batch->started,
        .pressed = batch->pressed,
        .gone = batch->state == SPL_BATCH_DISCARDED && !spl_day_is_set(batch->pressed),
        .jar_ml = batch->jar_ml,
        .herb_g = batch->herb_g,
        .menstruum_ml = batch->menstruum_ml,
        .menstruum_abv_frac = batch->menstruum_abv / 100.0,
        .final_abv_frac = batch->final_abv / 100.0,
        .final_acid_frac = batch->final_acid / 100.0,
        .yield_ml = batch->pressed_ml,
        .expected_ml = batch->yield_ml,
        .low_ml = batch->yield_low_ml,
        .high_ml = batch->yield_high_ml,
        .printed = spl_house_today(album->house),
    };

    if (batch->jars > 1)
        add_note(notes, 'b', SPL_DAY_NONE,
                 spl_album_take(album, g_strdup_printf("%d jars", batch->jars)));
    add_note(
        notes, 'n', SPL_DAY_NONE,
        batch->hold != NULL
            ? spl_album_take(album, g_strdup_printf("A keeping rule put aside: %s", batch->hold))
            : NULL);
    add_note(notes, 'n', SPL_DAY_NONE, spl_album_text(album, batch->remark));
    add_note(notes, 'n', SPL_DAY_NONE,
             batch->struck != NULL
                 ? spl_album_take(album, g_strdup_printf("Struck: %s", batch->struck))
                 : NULL);
    record.notes = (const struct spl_batch_record_note *)(void *)notes->data;
    record.n_notes = notes->len;
    record.cautions = (const char *const *)(void *)cautions->data;
    record.n_cautions = cautions->len;
    if (!take_parts(album, batch, &record, error) ||
        !take_lots(album, batch, &record, &pressed_by, error) ||
        !take_steps(album, batch, pressed_by, &record, error))
        return FALSE;
    return spl_album_write(album, spl_batch_record_draw(&record, &album->options, &report, error),
                           &report, batch->code, picture, error);
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    const struct spl_picture_batch_words *said = words;
    struct spl_batch batch;
    gboolean ok;

    if (!spl_batch_show(album->house, said->code, &batch, error))
        return FALSE;
    ok = draw_batch(album, &batch, picture, error);
    spl_record_clear(&spl_batch_shape, &batch);
    return ok;
}

gboolean spl_picture_draw_batch(struct spl_house *house, const struct spl_picture_batch_words *said,
                                struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_batch_inputs, said, draw, picture, error);
}
