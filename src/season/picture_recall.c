/* SPDX-License-Identifier: MIT
 *
 * The recall as a sheet: what was said, what came of that ground and where it is, to whom it went
 * with room for what they answer, words to say, how it ended. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "season/dossier.h"

#define HAND 20.0 /* pt: a row to write in */

static gint by_reference(gconstpointer a, gconstpointer b)
{
    const struct spl_lot_use *left = a, *right = b;
    int by_ref = g_strcmp0(left->ref, right->ref);

    return by_ref != 0 ? by_ref : spl_day_compare(left->date, right->date);
}

/* To whom it went, each under their number; returns how many numbers. */
static guint add_people(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"number", 10, FALSE, TRUE},       {"went out", 13, FALSE, FALSE},
        {"lot", 9, FALSE, TRUE},           {"amount", 9, TRUE, FALSE},
        {"mixed with", 15, FALSE, FALSE},  {"directions", 17, FALSE, FALSE},
        {"reached on", 11, FALSE, FALSE},  {"by", 8, FALSE, FALSE},
        {"amount back", 10, FALSE, FALSE}, {"unwell? what", 26, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier), *uses;
    const GArray *all = dossier->trace->uses;
    const char *last = NULL;
    guint numbers = 0;

    uses = spl_album_array(dossier->album, sizeof(struct spl_lot_use));
    g_array_append_vals(uses, all->data, all->len); /* borrowed from the trace */
    g_array_sort(uses, by_reference);
    for (guint i = 0; i < uses->len; i++) {
        const struct spl_lot_use *use = &g_array_index(uses, struct spl_lot_use, i);
        gboolean weighed = isnan(use->ml);
        const struct spl_report_row row = {
            .cells = {use->ref != NULL ? use->ref : "no number",
                      spl_dossier_day(dossier, use->date), use->code,
                      spl_dossier_amount(dossier, weighed ? use->g : use->ml, weighed ? "g" : "mL"),
                      use->with, use->directions}};

        if (use->ref != NULL && g_strcmp0(use->ref, last) != 0)
            numbers++;
        last = use->ref;
        g_array_append_val(rows, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "To whom it went",
                                                 .none = "Nothing went out.",
                                                 SPL_DOSSIER_COLUMNS(columns),
                                                 .least = HAND,
                                                 .upright = TRUE},
                    rows);
    return numbers;
}

static void add_words(struct spl_dossier *dossier)
{
    static const char words[] =
        "\"I gave you a bottle; its number is on the label: please look whether it is one of those "
        "above. We have learnt that the ground on which its herb was gathered may have been "
        "sprayed. Please take no more of it, keep it out of reach, and bring or send it back. How "
        "have you been since? Whom else did you give of it?\"\n"
        "Who is unwell, or pregnant, or gave it to a child is sent to their doctor or the poisons "
        "service today, with the name of what was sprayed where it is known. Say no more than is "
        "known; what to report to whom is for the local rules and a licensed practitioner to say.";

    spl_dossier_end(dossier, &(struct spl_report_section){.name = "Words to say", .text = words},
                    NULL);
}

/* A row a lot, to be filled in by hand. */
static void add_destroyed(struct spl_dossier *dossier)
{
    static const struct spl_report_column columns[] = {
        {"lot", 10, FALSE, TRUE},        {"from the shelf", 14, TRUE, FALSE},
        {"come back", 14, FALSE, FALSE}, {"destroyed on", 14, FALSE, FALSE},
        {"how", 30, FALSE, FALSE},       {"by", 16, FALSE, FALSE},
        {"witness", 20, FALSE, FALSE},
    };
    GArray *rows = spl_dossier_rows(dossier);
    const struct spl_trace *trace = dossier->trace;

    for (guint i = 0; i < trace->lots->len; i++) {
        const struct spl_trace_lot *lot = &g_array_index(trace->lots, struct spl_trace_lot, i);
        const struct spl_report_row row = {
            .cells = {lot->code, spl_dossier_amount(dossier, lot->left, lot->unit)}};

        if (lot->state != SPL_STATE_STRUCK && lot->state != SPL_STATE_DESTROYED)
            g_array_append_val(rows, row);
    }
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "Destroyed",
                                                 .none = "Nothing stands that could be.",
                                                 SPL_DOSSIER_COLUMNS(columns),
                                                 .least = HAND,
                                                 .upright = TRUE},
                    rows);
}

static void add_end(struct spl_dossier *dossier, guint numbers)
{
    double out_ml = 0, out_g = 0;
    g_autofree char *text = NULL;

    for (guint i = 0; i < dossier->trace->uses->len; i++) {
        const struct spl_lot_use *use = &g_array_index(dossier->trace->uses, struct spl_lot_use, i);

        out_ml += isnan(use->ml) ? 0 : use->ml;
        out_g += isnan(use->g) ? 0 : use->g;
    }
    text = g_strdup_printf("Reached ________ of %u %s.   Come back ________ of %s%s%s that went "
                           "out.\n\nClosed on ____________________   by ____________________   "
                           "and ____________________",
                           numbers, numbers == 1 ? "number" : "numbers",
                           spl_dossier_amount(dossier, out_ml, "mL"), out_g > 0 ? " and " : "",
                           out_g > 0 ? spl_dossier_amount(dossier, out_g, "g") : "");
    spl_dossier_end(dossier,
                    &(struct spl_report_section){.name = "Closed",
                                                 .text = spl_album_text(dossier->album, text)},
                    NULL);
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    const struct spl_picture_recall_words *said = words;
    struct spl_trace_words asked = {
        .of = said->of, .sprayed = said->sprayed, .within_m = said->within_m};
    struct spl_page_report done = {0};
    struct spl_dossier dossier = {.album = album};
    struct spl_report report = {0};
    struct spl_trace trace;
    gboolean ok;

    if (!spl_trace_follow(album->house, &asked, &trace, error))
        return FALSE;
    dossier.trace = &trace;
    dossier.sections = spl_album_array(album, sizeof(struct spl_report_section));
    spl_dossier_said(&dossier);
    spl_dossier_lots(&dossier);
    {
        guint numbers = add_people(&dossier);

        add_words(&dossier);
        spl_dossier_ground(&dossier);
        spl_dossier_made(&dossier);
        spl_dossier_reactions(&dossier);
        add_destroyed(&dossier);
        add_end(&dossier, numbers);
    }
    report.title = spl_album_take(album, g_strdup_printf("Recall: %s", trace.of));
    report.subtitle = spl_album_take(
        album, g_strdup_printf("as the book stood on %s",
                               spl_dossier_day(&dossier, spl_house_today(album->house))));
    report.about = "What came of that ground, where it is, to whom it went, and room for what they "
                   "answer.";
    report.sections = (const struct spl_report_section *)(void *)dossier.sections->data;
    report.n_sections = dossier.sections->len;
    ok = spl_album_write(album, spl_report_draw(&report, &album->options, &done, error), &done,
                         report.title, picture, error);
    spl_record_clear(&spl_trace_shape, &trace);
    return ok;
}

gboolean spl_picture_draw_recall(struct spl_house *house,
                                 const struct spl_picture_recall_words *said,
                                 struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_recall_inputs, said, draw, picture, error);
}
