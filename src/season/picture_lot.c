/* SPDX-License-Identifier: MIT
 *
 * Everything about one lot, for who inspects it: from the ground and the bought liquid to the
 * bottles and to whom they went. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/amendment.h"
#include "book/photo.h"
#include "exchange/photo_look.h"
#include "season/dossier.h"
#include "simpling/batch.h"
#include "simpling/harvest.h"

static void add_fact(GArray *rows, const char *what, const char *is)
{
    const struct spl_report_row row = {.cells = {what, is}};

    if (is != NULL && *is != '\0')
        g_array_append_val(rows, row);
}

static const char *percent(struct spl_dossier *dossier, double figure, const char *of)
{
    return isnan(figure) ? NULL
                         : spl_album_take(dossier->album, g_strdup_printf("%.1f %s", figure, of));
}

static void add_facts(struct spl_dossier *dossier, const struct spl_lot *lot)
{
    static const struct spl_report_column columns[] = {{"what", 20, FALSE, TRUE},
                                                       {"is", 100, FALSE, FALSE}};
    struct spl_album *album = dossier->album;
    GArray *rows = spl_dossier_rows(dossier);

    add_fact(rows, "preparation", spl_album_what(album, lot->materials, lot->preparation));
    add_fact(rows, "plants", spl_album_latin(album, lot->materials));
    add_fact(rows, "bottled", spl_dossier_day(dossier, lot->made));
    add_fact(rows, "use by", spl_dossier_day(dossier, lot->use_by));
    add_fact(rows, "state", spl_state_names[lot->state]);
    add_fact(rows, "why", lot->why);
    add_fact(rows, "liquid", lot->menstruum);
    add_fact(rows, "ratio",
             isnan(lot->ratio) ? NULL : spl_album_take(album, spl_ratio_format(lot->ratio)));
    add_fact(rows, "alcohol", percent(dossier, lot->abv, "% vol"));
    add_fact(rows, "acid", percent(dossier, lot->acid, "%"));
    add_fact(rows, "sugar", percent(dossier, lot->sugar, "%"));
    add_fact(rows, "keep", lot->storage);
    add_fact(rows, "use", lot->outside ? "for outside use only" : NULL);
    add_fact(rows, "made by", lot->by);
    add_fact(rows, "remark", lot->remark);
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "The lot", SPL_DOSSIER_COLUMNS(columns)},
                    rows);
}

/* Who named the plant, and by which signs. */
static gboolean add_named(struct spl_dossier *dossier, GError **error)
{
    static const struct spl_report_column columns[] = {
        {"harvest", 10, FALSE, TRUE},       {"stage", 16, FALSE, FALSE},
        {"picked by", 16, FALSE, FALSE},    {"named by", 16, FALSE, FALSE},
        {"by the signs", 50, FALSE, FALSE}, {"weather", 24, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    const GArray *all = dossier->trace->harvests;

    for (guint i = 0; i < all->len; i++) {
        struct spl_album *album = dossier->album;
        struct spl_report_row row;
        struct spl_harvest harvest;

        if (!spl_harvest_show(album->house, g_array_index(all, struct spl_trace_harvest, i).code,
                              &harvest, error))
            return FALSE;
        row = (struct spl_report_row){
            .cells = {spl_album_text(album, harvest.code),
                      spl_album_text(album, harvest.stage_word), spl_album_text(album, harvest.by),
                      spl_album_text(album, harvest.named_by), spl_album_text(album, harvest.signs),
                      spl_album_text(album, harvest.weather)}};
        spl_record_clear(&spl_harvest_shape, &harvest);
        g_array_append_val(rows, row);
    }
    spl_dossier_end(
        dossier,
        &(struct spl_report_section){.name = "Who named the plant", SPL_DOSSIER_COLUMNS(columns)},
        rows);
    return TRUE;
}

static void add_parts(struct spl_dossier *dossier, const struct spl_batch *batch, GArray *rows)
{
    struct spl_album *album = dossier->album;

    for (guint i = 0; i < batch->from->len; i++) {
        const struct spl_batch_part *part = &g_array_index(batch->from, struct spl_batch_part, i);
        gboolean herb = isnan(part->ml);
        const struct spl_report_row row = {
            .cells = {spl_album_text(album, batch->code), spl_dossier_day(dossier, part->date),
                      spl_album_text(album, part->code),
                      part->material != NULL ? spl_album_material(album, part->material)
                                             : spl_album_text(album, part->words),
                      spl_dossier_amount(dossier, herb ? part->grams : part->ml, herb ? "g" : "mL"),
                      spl_album_text(album, part->supplier), spl_album_text(album, part->number)}};

        g_array_append_val(rows, row);
    }
}

static void add_steps(struct spl_dossier *dossier, const struct spl_batch *batch, GArray *rows)
{
    struct spl_album *album = dossier->album;

    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);
        const struct spl_report_row row = {
            .cells = {spl_album_text(album, batch->code), spl_album_text(album, step->step),
                      spl_dossier_day(dossier, step->due), spl_dossier_day(dossier, step->done)}};

        if (spl_day_is_set(step->done))
            g_array_append_val(rows, row);
    }
}

/* What went into the jars, and what was done with them. */
static gboolean add_jars(struct spl_dossier *dossier, GError **error)
{
    static const struct spl_report_column parts[] = {
        {"jar", 10, FALSE, TRUE},           {"on", 14, FALSE, FALSE},
        {"of", 10, FALSE, FALSE},           {"what", 34, FALSE, FALSE},
        {"amount", 12, TRUE, FALSE},        {"supplier", 26, FALSE, FALSE},
        {"their number", 16, FALSE, FALSE},
    };
    static const struct spl_report_column steps[] = {
        {"jar", 10, FALSE, TRUE},
        {"step", 20, FALSE, FALSE},
        {"was due", 14, FALSE, FALSE},
        {"done", 14, FALSE, FALSE},
    };
    GArray *went_in = spl_dossier_rows(dossier), *done = spl_dossier_rows(dossier);
    const GArray *all = dossier->trace->batches;

    for (guint i = 0; i < all->len; i++) {
        struct spl_batch batch;

        if (!spl_batch_show(dossier->album->house,
                            g_array_index(all, struct spl_trace_batch, i).code, &batch, error))
            return FALSE;
        add_parts(dossier, &batch, went_in);
        add_steps(dossier, &batch, done);
        spl_record_clear(&spl_batch_shape, &batch);
    }
    spl_dossier_end(
        dossier,
        &(struct spl_report_section){.name = "What went into the jars", SPL_DOSSIER_COLUMNS(parts)},
        went_in);
    spl_dossier_end(
        dossier,
        &(struct spl_report_section){.name = "Steps that were done", SPL_DOSSIER_COLUMNS(steps)},
        done);
    return TRUE;
}

static void add_events(struct spl_dossier *dossier, const struct spl_lot *lot)
{
    static const struct spl_report_column events[] = {
        {"on", 14, FALSE, FALSE},     {"what", 12, FALSE, TRUE},       {"why", 60, FALSE, FALSE},
        {"counted", 12, TRUE, FALSE}, {"difference", 12, TRUE, FALSE}, {"by", 14, FALSE, FALSE},
    };
    static const struct spl_report_column uses[] = {
        {"use", 10, FALSE, FALSE},        {"on", 14, FALSE, FALSE},
        {"number", 12, FALSE, TRUE},      {"amount", 12, TRUE, FALSE},
        {"mixed with", 20, FALSE, FALSE}, {"directions", 40, FALSE, FALSE},
        {"by", 12, FALSE, FALSE},
    };
    const char *unit = lot->unit == SPL_LOT_G ? "g" : "mL";
    GArray *happened = spl_dossier_rows(dossier), *out = spl_dossier_rows(dossier);

    for (guint i = 0; i < lot->events->len; i++) {
        const struct spl_lot_event *one = &g_array_index(lot->events, struct spl_lot_event, i);
        const struct spl_report_row row = {
            .cells = {spl_dossier_day(dossier, one->date), spl_lot_act_names[one->kind], one->why,
                      spl_dossier_amount(dossier, one->counted, unit),
                      spl_dossier_amount(dossier, one->difference, unit), one->by}};

        g_array_append_val(happened, row);
    }
    for (guint i = 0; i < lot->used->len; i++) {
        const struct spl_lot_use *one = &g_array_index(lot->used, struct spl_lot_use, i);
        const struct spl_report_row row = {
            .cells = {one->use, spl_dossier_day(dossier, one->date), one->ref,
                      spl_dossier_amount(dossier, isnan(one->ml) ? one->g : one->ml, unit),
                      one->with, one->directions, one->by}};

        g_array_append_val(out, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "What was decided and counted",
                                                 .none = "Nothing was decided or counted.",
                                                 SPL_DOSSIER_COLUMNS(events)},
                    happened);
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "What went out",
                                                 .none = "Nothing went out.",
                                                 SPL_DOSSIER_COLUMNS(uses)},
                    out);
}

static gboolean add_corrections(struct spl_dossier *dossier, const struct spl_lot *lot,
                                GError **error)
{
    static const struct spl_report_column columns[] = {
        {"what", 20, FALSE, TRUE},
        {"became", 40, FALSE, FALSE},
        {"why", 50, FALSE, FALSE},
        {"by", 14, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    GArray *all = spl_amendment_list(dossier->album->house->book, lot->uuid, error);

    if (all == NULL)
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        const struct spl_amendment *one = &g_array_index(all, struct spl_amendment, i);
        const struct spl_report_row row = {.cells = {spl_album_text(dossier->album, one->field),
                                                     spl_album_text(dossier->album, one->value),
                                                     spl_album_text(dossier->album, one->why),
                                                     spl_album_text(dossier->album, one->by)}};

        g_array_append_val(rows, row);
    }
    spl_list_free(&spl_amendment_shape, all);
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "Corrections of the lot's record",
                                                 .none = "None.",
                                                 SPL_DOSSIER_COLUMNS(columns)},
                    rows);
    return TRUE;
}

/* Which photos belong to it: those of what it was made of and through, and of what was said about
 * the ground. */
static GHashTable *own_codes(const struct spl_trace *trace)
{
    GHashTable *codes = g_hash_table_new(g_str_hash, g_str_equal);

    for (guint i = 0; i < trace->harvests->len; i++)
        g_hash_table_add(codes, g_array_index(trace->harvests, struct spl_trace_harvest, i).code);
    for (guint i = 0; i < trace->purchases->len; i++)
        g_hash_table_add(codes, g_array_index(trace->purchases, struct spl_trace_other, i).code);
    for (guint i = 0; i < trace->dryings->len; i++)
        g_hash_table_add(codes, g_array_index(trace->dryings, struct spl_trace_other, i).code);
    for (guint i = 0; i < trace->batches->len; i++)
        g_hash_table_add(codes, g_array_index(trace->batches, struct spl_trace_batch, i).code);
    for (guint i = 0; i < trace->lots->len; i++)
        g_hash_table_add(codes, g_array_index(trace->lots, struct spl_trace_lot, i).code);
    for (guint i = 0; i < trace->harvests->len; i++)
        g_hash_table_add(codes, g_array_index(trace->harvests, struct spl_trace_harvest, i).site);
    return codes;
}

/* The small picture; a stranger's book may have anything in its place, which is not shown then. */
static void add_pixels(struct spl_album *album, const struct spl_photo *photo,
                       struct spl_report_picture *picture)
{
    struct spl_photo_facts facts = {0};
    struct spl_pixels pixels = {0};
    g_autofree guint8 *jpeg = NULL;
    gsize size = 0;
    GArray *rows;

    if (photo->small == NULL)
        return;
    jpeg = g_base64_decode(photo->small, &size);
    if (!spl_photo_jpeg(jpeg, size, &facts, &pixels, NULL) || pixels.rgb == NULL) {
        g_free(facts.unseen);
        return;
    }
    rows = spl_album_array(album, 1);
    g_array_append_vals(rows, pixels.rgb, (guint)(pixels.width * pixels.height * 3));
    picture->pixels = (struct spl_page_pixels){
        .rgb = (const guint8 *)rows->data, .width = pixels.width, .height = pixels.height};
    spl_pixels_clear(&pixels);
    g_free(facts.unseen);
}

static const char *photo_words(struct spl_album *album, const struct spl_photo *photo)
{
    const char *file = photo->state == SPL_PHOTO_KEPT      ? "its file is kept"
                       : photo->state == SPL_PHOTO_ALTERED ? "its file was altered"
                                                           : "its file is not beside the book";
    const char *where =
        photo->site != NULL && !g_str_has_prefix(photo->of, "leave at ") ? photo->site : NULL;

    return spl_album_take(album, g_strdup_printf("%s%s%s; %s, SHA-256 %.16s\u2026%s%s", photo->of,
                                                 where != NULL ? ", " : "",
                                                 where != NULL ? where : "", file, photo->hash,
                                                 photo->unseen != NULL ? "; not shown: " : "",
                                                 photo->unseen != NULL ? photo->unseen : ""));
}

static gboolean add_photos(struct spl_dossier *dossier, GError **error)
{
    struct spl_album *album = dossier->album;
    g_autoptr(GHashTable) own = own_codes(dossier->trace);
    GArray *all = spl_photo_list(album->house->book, NULL, FALSE, error);
    GArray *pictures = spl_album_array(album, sizeof(struct spl_report_picture));

    if (all == NULL)
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        const struct spl_photo *photo = &g_array_index(all, struct spl_photo, i);
        struct spl_report_picture picture = {.words = NULL};

        if (!g_hash_table_contains(own, photo->of) &&
            (photo->site == NULL || !g_hash_table_contains(own, photo->site)))
            continue;
        picture.words = photo_words(album, photo);
        add_pixels(album, photo, &picture);
        g_array_append_val(pictures, picture);
    }
    spl_list_free(&spl_photo_shape, all);
    if (pictures->len > 0)
        spl_dossier_end(dossier,
                        &(struct spl_report_section){
                            .name = "Photos",
                            .pictures = (const struct spl_report_picture *)(void *)pictures->data,
                            .n_pictures = pictures->len},
                        NULL);
    return TRUE;
}

static gboolean fill(struct spl_dossier *dossier, const struct spl_lot *lot, GError **error)
{
    add_facts(dossier, lot);
    spl_dossier_lots(dossier);
    spl_dossier_ground(dossier);
    if (!add_named(dossier, error) || !add_photos(dossier, error))
        return FALSE;
    spl_dossier_said(dossier);
    spl_dossier_made(dossier);
    if (!add_jars(dossier, error))
        return FALSE;
    add_events(dossier, lot);
    spl_dossier_reactions(dossier);
    return add_corrections(dossier, lot, error);
}

static gboolean draw_lot(struct spl_album *album, const struct spl_lot *lot,
                         const struct spl_trace *trace, struct spl_picture *picture, GError **error)
{
    struct spl_dossier dossier = {.album = album,
                                  .trace = trace,
                                  .sections =
                                      spl_album_array(album, sizeof(struct spl_report_section))};
    struct spl_page_report done = {0};
    struct spl_report report = {.about = "All that the book knows of one lot."};

    if (!fill(&dossier, lot, error))
        return FALSE;
    report.title = spl_album_take(
        album, g_strdup_printf("%s: %s", lot->code,
                               spl_album_what(album, lot->materials, lot->preparation)));
    report.subtitle = spl_album_take(
        album, g_strdup_printf("all that the book knew of it on %s",
                               spl_dossier_day(&dossier, spl_house_today(album->house))));
    report.sections = (const struct spl_report_section *)(void *)dossier.sections->data;
    report.n_sections = dossier.sections->len;
    return spl_album_write(album, spl_report_draw(&report, &album->options, &done, error), &done,
                           lot->code, picture, error);
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    const struct spl_picture_lot_words *said = words;
    struct spl_trace_words asked = {.of = said->code, .sprayed = SPL_DAY_NONE, .within_m = NAN};
    struct spl_trace trace;
    struct spl_lot lot;
    gboolean ok;

    if (!spl_lot_show(album->house, said->code, &lot, error))
        return FALSE;
    ok = spl_trace_follow(album->house, &asked, &trace, error);
    if (ok) {
        ok = draw_lot(album, &lot, &trace, picture, error);
        spl_record_clear(&spl_trace_shape, &trace);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

gboolean spl_picture_draw_lot(struct spl_house *house, const struct spl_picture_lot_words *said,
                              struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_lot_inputs, said, draw, picture, error);
}
