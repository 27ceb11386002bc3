/* SPDX-License-Identifier: MIT
 *
 * A trace told in tables. See season/dossier.h.
 */
#include "season/dossier.h"

#include <math.h>
#include <string.h>

#include "picture/words.h"

GArray *spl_dossier_rows(struct spl_dossier *dossier)
{
    return spl_album_array(dossier->album, sizeof(struct spl_report_row));
}

void spl_dossier_end(struct spl_dossier *dossier, const struct spl_report_section *section,
                     GArray *rows)
{
    struct spl_report_section own = *section;

    if (rows != NULL) {
        own.rows = (const struct spl_report_row *)(void *)rows->data;
        own.n_rows = rows->len;
    }
    g_array_append_val(dossier->sections, own);
}

const char *spl_dossier_day(struct spl_dossier *dossier, struct spl_day day)
{
    return spl_day_is_set(day) ? spl_album_take(dossier->album, spl_words_date(day)) : NULL;
}

const char *spl_dossier_amount(struct spl_dossier *dossier, double amount, const char *unit)
{
    return isnan(amount) ? NULL : spl_album_take(dossier->album, spl_words_amount(amount, unit));
}

void spl_dossier_said(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"place", 16, FALSE, TRUE},    {"what was said", 14, FALSE, FALSE},
        {"of", 13, FALSE, TRUE},       {"how, with what", 20, FALSE, FALSE},
        {"said by", 28, FALSE, FALSE}, {"noted on", 13, FALSE, FALSE},
        {"note", 9, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    const GArray *all = dossier->trace->said;

    for (guint i = 0; i < all->len; i++) {
        const struct spl_trace_said *said = &g_array_index(all, struct spl_trace_said, i);
        const char *how[] = {said->method, said->product};
        const struct spl_report_row row = {
            .cells = {said->site,
                      said->kind == SPL_SPRAY_PLANNED    ? "a spraying was planned"
                      : said->kind == SPL_SPRAY_NOT_DONE ? "what was planned was not done"
                                                         : "sprayed",
                      spl_day_is_set(said->on) ? spl_dossier_day(dossier, said->on)
                                               : "nobody knows when",
                      spl_album_take(dossier->album, spl_words_join(", ", how, 2)), said->source,
                      spl_dossier_day(dossier, said->noted), said->code},
            .barred = said->kind == SPL_SPRAY_SPRAYED};

        g_array_append_val(rows, row);
    }
    spl_dossier_end(
        dossier,
        &(struct spl_report_section){.name = "What was said of spraying",
                                     .none = "Of these places no spraying is noted in this book.",
                                     SPL_DOSSIER_COLUMNS(columns)},
        rows);
}

void spl_dossier_ground(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"harvest", 10, FALSE, TRUE},
        {"place", 18, FALSE, FALSE},
        {"what", 20, FALSE, FALSE},
        {"picked on", 14, FALSE, TRUE},
        {"weight", 10, TRUE, FALSE},
        {"verdict of the day", 14, FALSE, FALSE},
        {"leave on that day", 34, FALSE, FALSE},
        {"struck", 16, FALSE, FALSE},
    };
    static const struct spl_report_column bought[] = {
        {"purchase", 10, FALSE, TRUE},      {"what", 24, FALSE, FALSE},
        {"on", 14, FALSE, FALSE},           {"supplier", 30, FALSE, FALSE},
        {"their number", 20, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier), *others = spl_dossier_rows(dossier);
    const struct spl_trace *trace = dossier->trace;

    for (guint i = 0; i < trace->harvests->len; i++) {
        const struct spl_trace_harvest *one =
            &g_array_index(trace->harvests, struct spl_trace_harvest, i);
        const struct spl_report_row row = {
            .cells = {one->code, one->site, spl_album_material(dossier->album, one->material),
                      spl_dossier_day(dossier, one->date),
                      spl_dossier_amount(dossier, one->weight_g, "g"),
                      spl_verdict_names[one->verdict],
                      one->permission != NULL ? one->permission : "none was noted", one->struck}};

        g_array_append_val(rows, row);
    }
    for (guint i = 0; i < trace->purchases->len; i++) {
        const struct spl_trace_other *one =
            &g_array_index(trace->purchases, struct spl_trace_other, i);
        const struct spl_report_row row = {
            .cells = {one->code, spl_album_material(dossier->album, one->material),
                      spl_dossier_day(dossier, one->date), one->supplier, one->number}};

        g_array_append_val(others, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "The ground, and what was picked there",
                                                 .none = "Nothing was picked.",
                                                 SPL_DOSSIER_COLUMNS(columns)},
                    rows);
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "Bought", SPL_DOSSIER_COLUMNS(bought)},
                    others);
}

void spl_dossier_made(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"code", 10, FALSE, TRUE},
        {"what", 40, FALSE, FALSE},
        {"since", 14, FALSE, FALSE},
        {"state", 20, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    const struct spl_trace *trace = dossier->trace;

    for (guint i = 0; i < trace->dryings->len; i++) {
        const struct spl_trace_other *one =
            &g_array_index(trace->dryings, struct spl_trace_other, i);
        const struct spl_report_row row = {
            .cells = {
                one->code,
                spl_album_take(dossier->album,
                               g_strdup_printf("%s, dried",
                                               spl_album_material(dossier->album, one->material))),
                spl_dossier_day(dossier, one->date), NULL}};

        g_array_append_val(rows, row);
    }
    for (guint i = 0; i < trace->batches->len; i++) {
        const struct spl_trace_batch *one =
            &g_array_index(trace->batches, struct spl_trace_batch, i);
        const struct spl_report_row row = {
            .cells = {one->code,
                      spl_album_capital(dossier->album,
                                        spl_album_preparation(dossier->album, one->preparation)),
                      spl_dossier_day(dossier, one->started), spl_batch_state_names[one->state]}};

        g_array_append_val(rows, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "What was dried and put up",
                                                 .none = "Nothing was dried or put up.",
                                                 SPL_DOSSIER_COLUMNS(columns)},
                    rows);
}

/* "4x100 1x250" in words, with where it stands. */
static const char *where(struct spl_dossier *dossier, const struct spl_trace_lot *lot)
{
    const char *bits[] = {lot->place, lot->full};

    return spl_album_take(dossier->album, spl_words_join("; ", bits, G_N_ELEMENTS(bits)));
}

void spl_dossier_lots(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"lot", 10, FALSE, TRUE},          {"what", 24, FALSE, FALSE},
        {"bottled", 13, FALSE, FALSE},     {"made", 9, TRUE, FALSE},
        {"on the shelf", 9, TRUE, TRUE},   {"went out", 9, TRUE, TRUE},
        {"in other jars", 9, TRUE, FALSE}, {"thrown away", 9, TRUE, FALSE},
        {"not found", 9, TRUE, FALSE},     {"state", 12, FALSE, TRUE},
        {"stands", 20, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    const struct spl_trace *trace = dossier->trace;

    for (guint i = 0; i < trace->lots->len; i++) {
        const struct spl_trace_lot *lot = &g_array_index(trace->lots, struct spl_trace_lot, i);
        gboolean barred = lot->state == SPL_STATE_IS_HELD || lot->state == SPL_STATE_WITHDRAWN;
        const struct spl_report_row row = {
            .cells = {lot->code, spl_album_what(dossier->album, lot->materials, lot->preparation),
                      spl_dossier_day(dossier, lot->made),
                      spl_dossier_amount(dossier, lot->made_amount, lot->unit),
                      spl_dossier_amount(dossier, lot->left, lot->unit),
                      spl_dossier_amount(dossier, lot->out, lot->unit),
                      spl_dossier_amount(dossier, lot->drawn, lot->unit),
                      spl_dossier_amount(dossier, lot->thrown, lot->unit),
                      spl_dossier_amount(dossier, lot->unaccounted, lot->unit),
                      barred ? spl_album_take(dossier->album,
                                              g_utf8_strup(spl_state_names[lot->state], -1))
                             : spl_state_names[lot->state],
                      where(dossier, lot)},
            .barred = barred};

        g_array_append_val(rows, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){
                        .name = "The lots, and where they are",
                        .text = "Made is what is on the shelf, went out, went into other jars, was "
                                "thrown away, and what a count did not find.",
                        .none = "Nothing was bottled.",
                        SPL_DOSSIER_COLUMNS(columns)},
                    rows);
}

void spl_dossier_reactions(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"on", 14, FALSE, FALSE},   {"lot", 10, FALSE, TRUE},    {"number", 12, FALSE, TRUE},
        {"what", 12, FALSE, FALSE}, {"words", 60, FALSE, FALSE}, {"noted by", 14, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    const GArray *all = dossier->trace->reactions;

    for (guint i = 0; i < all->len; i++) {
        const struct spl_reaction *one = &g_array_index(all, struct spl_reaction, i);
        const struct spl_report_row row = {
            .cells = {spl_dossier_day(dossier, one->day), one->code, one->ref,
                      one->kind == SPL_REACTION_COMPLAINT ? "complaint" : "reaction", one->words,
                      one->by}};

        g_array_append_val(rows, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "Complaints and reactions",
                                                 .none = "None is noted.",
                                                 SPL_DOSSIER_COLUMNS(columns)},
                    rows);
}
