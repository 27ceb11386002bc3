/* SPDX-License-Identifier: MIT
 *
 * The sheet to carry. It tries larger words first and takes the largest that keep it on one page;
 * when none does, it runs on.
 */
#include "picture/outing_sheet.h"

#include <math.h>
#include <string.h>

#include "picture/flow.h"
#include "picture/words.h"

struct sheet {
    const struct spl_outing_sheet *outing;
    const char *title;
    double size;  /* of the plain words */
    double write; /* height of a line to write on */
};

static struct spl_type plain(const struct sheet *sheet)
{
    return (struct spl_type){.face = SPL_FACE_SANS, .size = sheet->size};
}

static struct spl_type strong(const struct sheet *sheet, double more)
{
    return (struct spl_type){.face = SPL_FACE_SERIF, .size = sheet->size + more, .bold = TRUE};
}

static void draw_head(struct spl_flow *flow, gpointer data)
{
    const struct sheet *sheet = data;
    const struct spl_outing_sheet *outing = sheet->outing;
    if (spl_page_number(flow->page) > 0) {
        struct spl_type small = strong(sheet, 1.0);
        flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, sheet->title) + 3.0;
        return;
    }
    g_autofree char *reserve = spl_words_weekday(outing->reserve);
    g_autofree char *start = spl_words_clock(outing->start_min);
    g_autofree char *end = spl_words_clock(outing->end_min);
    g_autofree char *km = spl_words_km(outing->km);
    g_autofree char *keep = reserve[0] != '\0' ? g_strdup_printf("reserve day %s", reserve)
                                               : g_strdup("no reserve day");
    g_autofree char *leave = start[0] != '\0' ? g_strdup_printf("out %s", start) : NULL;
    g_autofree char *back = end[0] != '\0' ? g_strdup_printf("home by %s", end) : NULL;
    g_autofree char *long_km = km[0] != '\0' ? g_strdup_printf("%s in all", km) : NULL;
    const char *bits[] = {keep, leave, back, long_km};
    g_autofree char *below = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    spl_flow_title(flow, sheet->title, below);
}

/* "asked 2 Apr 2027" as the person in the field needs it. */
static char *asked_words(const struct spl_outing_sheet_stop *stop)
{
    g_autofree char *day = spl_words_date(stop->asked);
    return day[0] != '\0' ? g_strdup_printf("last asked %s", day) : g_strdup("never asked");
}

static void write_boxes(struct spl_flow *flow, const struct sheet *sheet, const char *const *names,
                        const double *shares, gsize n)
{
    struct spl_type small = {.face = SPL_FACE_SANS, .size = 6.0, .tone = SPL_TONE_SOFT};
    double all = 0.0, x = flow->x + 10.0, w = flow->w - 10.0;
    for (gsize i = 0; i < n; i++)
        all += shares[i];
    for (gsize i = 0; i < n; i++) {
        double part = w * shares[i] / all;
        spl_page_text(flow->page, x, flow->y, part - 4.0, &small, names[i]);
        double line = flow->y + sheet->write;
        spl_page_line(flow->page, x, line, x + part - 5.0, line, 0.5, SPL_TONE_BLACK, 0.0);
        x += part;
    }
    flow->y += sheet->write + 3.0;
}

static char *take_words(const struct spl_outing_sheet_take *take)
{
    g_autofree char *grams = spl_words_amount(take->grams, "g");
    g_autofree char *most = spl_words_amount(take->allowance_g, "g");
    GString *words = g_string_new(NULL);
    g_string_append_printf(words, "take %s", grams);
    if (!isnan(take->pieces))
        g_string_append_printf(words, " (about %.0f pieces)", take->pieces);
    /* One number to take; the other only where there is room above it. */
    if (most[0] != '\0' && take->allowance_g > take->grams + 0.5)
        g_string_append_printf(words, "; the stand can spare %s in all", most);
    else if (most[0] != '\0')
        g_string_append(words, ": the stand can spare no more");
    return g_string_free(words, FALSE);
}

static double paragraph(struct spl_flow *flow, double indent, const struct spl_type *type,
                        const char *text, gboolean draw)
{
    double h;
    if (text == NULL || text[0] == '\0')
        return 0.0;
    spl_page_measure(flow->page, flow->w - indent, type, text, NULL, &h);
    if (draw) {
        spl_flow_need(flow, h);
        spl_page_text(flow->page, flow->x + indent, flow->y, flow->w - indent, type, text);
        flow->y += h;
    }
    return h;
}

static void draw_take(struct spl_flow *flow, const struct sheet *sheet,
                      const struct spl_outing_sheet_take *take)
{
    static const char *const fields[] = {"weight", "garbled", "stage seen", "weather",
                                         "gathered by"};
    static const double shares[] = {14, 14, 22, 22, 28};
    static const char *const signs[] = {"plant named by", "by which signs"};
    static const double sign_shares[] = {30, 70};
    struct spl_type name = strong(sheet, 0.6), words = plain(sheet), warn = plain(sheet);
    name.tone = SPL_TONE_LEAF;
    warn.bold = TRUE;
    warn.tone = SPL_TONE_MADDER;
    g_autofree char *from = spl_words_day(take->earliest);
    g_autofree char *to = spl_words_day(take->latest);
    g_autofree char *amount = take_words(take);
    g_autofree char *window =
        from[0] != '\0' ? g_strdup_printf("in season here %s to %s", from, to) : NULL;
    g_autofree char *look =
        take->stage != NULL ? g_strdup_printf("look for: %s", take->stage) : NULL;
    const char *bits[] = {look, window, take->purpose};
    g_autofree char *what = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    double h = paragraph(flow, 10.0, &name, take->material, FALSE) +
               paragraph(flow, 10.0, &words, amount, FALSE) +
               paragraph(flow, 10.0, &words, what, FALSE) + sheet->write + 6.0;
    spl_flow_need(flow, h);
    paragraph(flow, 10.0, &name, take->material, TRUE);
    struct spl_type much = words;
    much.bold = TRUE;
    paragraph(flow, 10.0, &much, amount, TRUE);
    paragraph(flow, 10.0, &words, what, TRUE);
    for (gsize i = 0; i < take->n_cautions; i++)
        paragraph(flow, 10.0, i < take->n_lookalikes ? &warn : &words, take->cautions[i], TRUE);
    spl_flow_need(flow, (sheet->write + 3.0) * 2.0);
    flow->y += 1.5;
    write_boxes(flow, sheet, fields, shares, G_N_ELEMENTS(fields));
    write_boxes(flow, sheet, signs, sign_shares, G_N_ELEMENTS(signs));
    if (take->signs_needed) {
        struct spl_type must = {.face = SPL_FACE_SERIF, .size = sheet->size - 0.5, .italic = TRUE};
        paragraph(flow, 10.0, &must,
                  "This plant has a deadly look-alike: without who named it and by which signs, it "
                  "does not go into a jar.",
                  TRUE);
    }
    flow->y += 2.0;
}

static void draw_stop(struct spl_flow *flow, const struct sheet *sheet, gsize number)
{
    const struct spl_outing_sheet_stop *stop = &sheet->outing->stops[number];
    struct spl_type name = strong(sheet, 3.0), words = plain(sheet);
    g_autofree char *place = spl_words_place(stop->lat, stop->lon);
    g_autofree char *leg = spl_words_km(stop->leg_km);
    g_autofree char *arrive = spl_words_clock(stop->arrive_min);
    g_autofree char *leave = spl_words_clock(stop->leave_min);
    g_autofree char *title = g_strdup_printf("%" G_GSIZE_FORMAT "  %s", number + 1, stop->site);
    g_autofree char *not_before =
        arrive[0] != '\0' ? g_strdup_printf("not before %s", arrive) : NULL;
    g_autofree char *not_after = leave[0] != '\0' ? g_strdup_printf("away by %s", leave) : NULL;
    g_autofree char *further = leg[0] != '\0' ? g_strdup_printf("%s further", leg) : NULL;
    g_autofree char *pick = stop->hours != NULL ? g_strdup_printf("pick %s", stop->hours) : NULL;
    const char *bits[] = {not_before, not_after, pick, further, place, stop->notes};
    g_autofree char *where = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    g_autofree char *asked = asked_words(stop);
    g_autofree char *verdict = g_utf8_strup(spl_words_verdict(stop->verdict), -1);
    const char *verdict_bits[] = {verdict, stop->reason, asked, stop->permission};
    g_autofree char *ground = spl_words_join("; ", verdict_bits, G_N_ELEMENTS(verdict_bits));
    spl_flow_need(flow, 90.0);
    if (flow->y > flow->top) /* the page's head has a rule of its own */
        spl_page_line(flow->page, flow->x, flow->y + 1.0, flow->x + flow->w, flow->y + 1.0, 0.8,
                      SPL_TONE_BLACK, 0.0);
    flow->y += 3.0;
    double top = flow->y;
    int page = spl_page_number(flow->page);
    paragraph(flow, 0.0, &name, title, TRUE);
    paragraph(flow, 0.0, &words, where, TRUE);
    struct spl_type ground_type = words;
    ground_type.bold = TRUE;
    paragraph(flow, 0.0, &ground_type, ground, TRUE);
    gboolean closed = stop->verdict == SPL_VERDICT_CLOSED;
    if (closed) {
        paragraph(flow, 0.0, &ground_type, "Closed: gather nothing here.", TRUE);
    } else if (stop->verdict == SPL_VERDICT_ASK) {
        static const char *const fields[] = {"asked whom, on which day",
                                             "sprayed or not, with what", "since when that holds"};
        static const double shares[] = {34, 36, 30};
        paragraph(flow, 0.0, &words, "Ask about this ground before you pick:", TRUE);
        spl_flow_need(flow, sheet->write + 3.0);
        write_boxes(flow, sheet, fields, shares, G_N_ELEMENTS(fields));
    }
    flow->y += 2.0;
    /* Of closed ground no amount is named: somebody would take it. */
    for (gsize i = 0; !closed && i < stop->n_takes; i++)
        draw_take(flow, sheet, &stop->takes[i]);
    if (spl_page_number(flow->page) == page) {
        g_autofree char *said = g_strdup_printf("Stop %s: %s", title, ground);
        spl_page_say(flow->page, flow->x, top, flow->w, flow->y - top, said);
    }
}

static void draw_whole(struct spl_page *page, struct sheet *sheet)
{
    const struct spl_outing_sheet *outing = sheet->outing;
    struct spl_type words = plain(sheet);
    struct spl_flow flow;
    spl_flow_begin(&flow, page, draw_head, sheet);
    paragraph(&flow, 0.0, &words, outing->weather, TRUE);
    if (outing->n_stops == 0)
        paragraph(&flow, 0.0, &words, "No outing is planned for this day.", TRUE);
    for (gsize i = 0; i < outing->n_stops; i++)
        draw_stop(&flow, sheet, i);
    if (outing->n_reminders > 0) {
        g_autofree char *all =
            spl_words_join("  \302\267  ", outing->reminders, outing->n_reminders);
        spl_page_line(page, flow.x, flow.y + 1.0, flow.x + flow.w, flow.y + 1.0, 0.8,
                      SPL_TONE_BLACK, 0.0);
        flow.y += 4.0;
        paragraph(&flow, 0.0, &words, all, TRUE);
    }
}

GBytes *spl_outing_sheet_draw(const struct spl_outing_sheet *outing,
                              const struct spl_page_options *options,
                              struct spl_page_report *report, GError **error)
{
    g_autofree char *day = spl_words_long_day(outing->day);
    g_autofree char *title =
        outing->title != NULL ? g_strdup(outing->title) : g_strdup_printf("Outing of %s", day);
    g_autofree char *about =
        g_strdup_printf("Sheet to carry: %" G_GSIZE_FORMAT " places in order.", outing->n_stops);
    struct spl_page_setup setup = {.options = *options,
                                   .title = title,
                                   .about = about,
                                   .foot =
                                       "Nothing is picked from memory: check the verdict and the "
                                       "plant again at the place."};
    static const double sizes[] = {10.4, 9.8, 9.2, 8.6, 8.0, 7.4, 6.9};
    for (gsize i = 0;; i++) {
        struct sheet sheet = {
            .outing = outing, .title = title, .size = sizes[i], .write = 27.0 - 2.0 * (double)i};
        struct spl_page *page = spl_page_open(&setup, error);
        if (page == NULL)
            return NULL;
        draw_whole(page, &sheet);
        gboolean last = i + 1 == G_N_ELEMENTS(sizes);
        if (spl_page_number(page) == 0 || last) {
            if (last && spl_page_number(page) > 0) { /* it runs on anyway: then in plain sizes */
                spl_page_free(page);
                page = spl_page_open(&setup, error);
                if (page == NULL)
                    return NULL;
                sheet.size = sizes[3];
                sheet.write = 21.0;
                draw_whole(page, &sheet);
            }
            return spl_page_finish(page, report, error);
        }
        spl_page_free(page);
    }
}
