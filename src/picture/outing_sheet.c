/* SPDX-License-Identifier: MIT
 *
 * The sheet to carry. Its front is read at arm's length: the verdict, one number to take, room to
 * write. It tries larger words first and takes the largest that keep it on one page; when none
 * does, it runs on. Look-alikes and cautions are on its back.
 */
#include "picture/outing_sheet.h"

#include <math.h>
#include <string.h>

#include "picture/flow.h"
#include "picture/qr.h"
#include "picture/words.h"

#define LOUD 16.0 /* the verdict and the number to take, pt */
#define CAPTION 8.0
#define QR_SIDE SPL_MM(18.0)
#define GAP 8.0

struct sheet {
    const struct spl_outing_sheet *outing;
    const char *title;
    double size;  /* of the plain words */
    double write; /* height of a line to write on */
    GError *error;
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
    struct spl_type small = {.face = SPL_FACE_SANS, .size = CAPTION};
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

/* One number: what else the stand could spare is not for the field. */
static char *take_words(const struct spl_outing_sheet_take *take)
{
    g_autofree char *grams = spl_words_amount(take->grams, "g");

    return take->grams < 0.5 ? g_strdup("take nothing") : g_strdup_printf("take %s", grams);
}

static char *measure_words(const struct spl_outing_sheet_take *take)
{
    /* Two figures: a mean weight tells no more. */
    double power = take->pieces >= 100.0 ? pow(10.0, floor(log10(take->pieces)) - 1.0) : 1.0;
    g_autofree char *pieces =
        isnan(take->pieces)
            ? NULL
            : g_strdup_printf("about %.0f pieces", round(take->pieces / power) * power);
    gboolean all = !isnan(take->allowance_g) && take->allowance_g <= take->grams + 0.5;
    const char *bits[] = {pieces, all ? "the stand can spare no more" : NULL};

    return spl_words_join("; ", bits, G_N_ELEMENTS(bits));
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

/* A line at the left and loud words at the right, whose height counts too. */
static void draw_pair(struct spl_flow *flow, double indent, const struct spl_type *type,
                      const char *left, const char *right, enum spl_tone tone)
{
    struct spl_type loud = {.face = SPL_FACE_SANS, .size = LOUD, .bold = TRUE, .tone = tone};
    double w, h, left_h;

    spl_page_measure(flow->page, 0.0, &loud, right, &w, &h);
    spl_page_measure(flow->page, flow->w - indent - w - GAP, type, left, NULL, &left_h);
    spl_flow_need(flow, MAX(h, left_h));
    spl_page_text(flow->page, flow->x + indent, flow->y + MAX(0.0, h - left_h) / 2.0,
                  flow->w - indent - w - GAP, type, left);
    spl_page_text(flow->page, flow->x + flow->w - w, flow->y, 0.0, &loud, right);
    flow->y += MAX(h, left_h);
}

static void draw_take(struct spl_flow *flow, const struct sheet *sheet,
                      const struct spl_outing_sheet_take *take)
{
    static const char *const fields[] = {"weight", "garbled", "stage seen", "weather",
                                         "gathered by"};
    static const double shares[] = {14, 14, 22, 22, 28};
    static const char *const signs[] = {"plant named by", "by which signs"};
    static const double sign_shares[] = {30, 70};
    struct spl_type name = strong(sheet, 2.0), words = plain(sheet), warn = plain(sheet);
    name.tone = SPL_TONE_LEAF;
    warn.bold = TRUE;
    warn.tone = SPL_TONE_MADDER;
    g_autofree char *from = spl_words_day(take->earliest);
    g_autofree char *to = spl_words_day(take->latest);
    g_autofree char *amount = take_words(take);
    g_autofree char *measure = measure_words(take);
    g_autofree char *window =
        from[0] != '\0' ? g_strdup_printf("in season here %s to %s", from, to) : NULL;
    g_autofree char *look =
        take->stage != NULL ? g_strdup_printf("look for: %s", take->stage) : NULL;
    const char *bits[] = {measure, look, window, take->purpose};
    g_autofree char *what = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    const char *deadly = take->signs_needed
                             ? "DEADLY look-alike: read the back before you pick. Without who "
                               "named it and by which signs, it does not go into a jar."
                             : NULL;
    double h = LOUD * 1.5 + paragraph(flow, 10.0, &words, what, FALSE) +
               paragraph(flow, 10.0, &warn, deadly, FALSE) + (sheet->write + 3.0) * 2.0;

    spl_flow_need(flow, h);
    draw_pair(flow, 10.0, &name, take->material, amount, SPL_TONE_BLACK);
    paragraph(flow, 10.0, &words, what, TRUE);
    paragraph(flow, 10.0, &warn, deadly, TRUE);
    spl_flow_need(flow, (sheet->write + 3.0) * 2.0);
    flow->y += 1.5;
    write_boxes(flow, sheet, fields, shares, G_N_ELEMENTS(fields));
    write_boxes(flow, sheet, signs, sign_shares, G_N_ELEMENTS(signs));
    flow->y += 2.0;
}

/* What must be asked before anything is picked, with lines for the answers. */
static void draw_questions(struct spl_flow *flow, const struct sheet *sheet,
                           const struct spl_outing_sheet_stop *stop)
{
    static const char *const ground[] = {"asked whom, on which day", "sprayed or not, with what",
                                         "since when that holds"};
    static const double ground_shares[] = {34, 36, 30};
    static const char *const leave[] = {"leave given by", "for which parts", "until"};
    static const double leave_shares[] = {44, 31, 25};
    struct spl_type words = plain(sheet);

    words.bold = TRUE;
    if (stop->verdict == SPL_VERDICT_ASK) {
        paragraph(flow, 0.0, &words, "Ask about this ground before you pick:", TRUE);
        spl_flow_need(flow, sheet->write + 3.0);
        write_boxes(flow, sheet, ground, ground_shares, G_N_ELEMENTS(ground));
    }
    if (stop->ask_leave) {
        spl_flow_need(flow, sheet->write + 3.0);
        write_boxes(flow, sheet, leave, leave_shares, G_N_ELEMENTS(leave));
    }
}

/* The place's name, its verdict, and its position as a code for a telephone's map. */
static void draw_place(struct spl_flow *flow, struct sheet *sheet, gsize number)
{
    const struct spl_outing_sheet_stop *stop = &sheet->outing->stops[number];
    struct spl_type name = strong(sheet, 5.0), words = plain(sheet), bold = plain(sheet);
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
    const char *way_bits[] = {further, place, stop->notes};
    const char *when_bits[] = {pick, not_before, not_after};
    g_autofree char *way = spl_words_join("; ", way_bits, G_N_ELEMENTS(way_bits));
    g_autofree char *when = spl_words_join("; ", when_bits, G_N_ELEMENTS(when_bits));
    g_autofree char *asked = asked_words(stop);
    g_autofree char *verdict = g_utf8_strup(spl_words_verdict(stop->verdict), -1);
    const char *ground_bits[] = {stop->reason, asked, stop->permission};
    g_autofree char *ground = spl_words_join("; ", ground_bits, G_N_ELEMENTS(ground_bits));
    double whole = flow->w, top = flow->y;
    int page = spl_page_number(flow->page);
    gboolean coded = place[0] != '\0';

    bold.bold = TRUE;
    if (coded) {
        char lat[G_ASCII_DTOSTR_BUF_SIZE], lon[G_ASCII_DTOSTR_BUF_SIZE];
        /* RFC 5870; five decimals are a metre. */
        g_autofree char *geo =
            g_strdup_printf("geo:%s,%s", g_ascii_formatd(lat, sizeof lat, "%.5f", stop->lat),
                            g_ascii_formatd(lon, sizeof lon, "%.5f", stop->lon));

        if (sheet->error == NULL)
            spl_qr_draw(flow->page, flow->x + whole - QR_SIDE, top, QR_SIDE, geo, &sheet->error);
        flow->w = whole - QR_SIDE - GAP;
    }
    draw_pair(flow, 0.0, &name, title, verdict,
              stop->verdict == SPL_VERDICT_CLOSED ? SPL_TONE_MADDER : SPL_TONE_BLACK);
    paragraph(flow, 0.0, &words, way, TRUE);
    paragraph(flow, 0.0, &words, when, TRUE);
    paragraph(flow, 0.0, stop->verdict == SPL_VERDICT_CLEAR ? &words : &bold, ground, TRUE);
    flow->w = whole;
    if (coded && spl_page_number(flow->page) == page)
        flow->y = MAX(flow->y, top + QR_SIDE);
    if (spl_page_number(flow->page) == page) {
        g_autofree char *said = g_strdup_printf("Stop %s: %s; %s", title, verdict, ground);
        spl_page_say(flow->page, flow->x, top, flow->w, flow->y - top, said);
    }
}

static void draw_stop(struct spl_flow *flow, struct sheet *sheet, gsize number)
{
    const struct spl_outing_sheet_stop *stop = &sheet->outing->stops[number];
    gboolean closed = stop->verdict == SPL_VERDICT_CLOSED;
    struct spl_type bold = plain(sheet);

    bold.bold = TRUE;
    spl_flow_need(flow, 130.0);
    if (flow->y > flow->top) /* the page's head has a rule of its own */
        spl_page_line(flow->page, flow->x, flow->y + 1.0, flow->x + flow->w, flow->y + 1.0, 0.8,
                      SPL_TONE_BLACK, 0.0);
    flow->y += 3.0;
    draw_place(flow, sheet, number);
    if (closed)
        paragraph(flow, 0.0, &bold, "Closed: gather nothing here.", TRUE);
    else
        draw_questions(flow, sheet, stop);
    flow->y += 2.0;
    /* Of closed ground no amount is named: somebody would take it. */
    for (gsize i = 0; !closed && i < stop->n_takes; i++)
        draw_take(flow, sheet, &stop->takes[i]);
}

/* The way home, what to take along, what to keep to: each on a line of its own. */
static void draw_end(struct spl_flow *flow, const struct sheet *sheet)
{
    const struct spl_outing_sheet *outing = sheet->outing;
    struct spl_type words = plain(sheet), bold = plain(sheet);
    g_autofree char *home = spl_words_km(outing->home_km);
    g_autofree char *then = home[0] != '\0' ? g_strdup_printf("Then home: %s.", home) : NULL;
    g_autofree char *kit = spl_words_join(" \302\267 ", outing->kit, outing->n_kit);
    g_autofree char *along = kit[0] != '\0' ? g_strdup_printf("Take along: %s", kit) : NULL;

    if (then == NULL && along == NULL && outing->n_rules == 0)
        return;
    bold.bold = TRUE;
    spl_flow_need(flow, 30.0);
    spl_page_line(flow->page, flow->x, flow->y + 1.0, flow->x + flow->w, flow->y + 1.0, 0.8,
                  SPL_TONE_BLACK, 0.0);
    flow->y += 4.0;
    paragraph(flow, 0.0, &bold, then, TRUE);
    paragraph(flow, 0.0, &words, along, TRUE);
    for (gsize i = 0; i < outing->n_rules; i++)
        paragraph(flow, 0.0, &bold, outing->rules[i], TRUE);
}

static void draw_front(struct spl_page *page, struct sheet *sheet)
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
    draw_end(&flow, sheet);
}

/* ---- the back ---- */

static void back_head(struct spl_flow *flow, gpointer data)
{
    const struct sheet *sheet = data;
    g_autofree char *title = g_strdup_printf("%s: before you pick", sheet->title);

    spl_flow_title(flow, title, "look-alikes and cautions; deadly ones in red");
}

/* Each plant's sentences once, however many places it is taken at. */
static void draw_back(struct spl_page *page, struct sheet *sheet)
{
    const struct spl_outing_sheet *outing = sheet->outing;
    struct spl_type words = {.face = SPL_FACE_SANS, .size = 10.0}, bold = words, deadly;
    g_autoptr(GHashTable) said = g_hash_table_new(g_str_hash, g_str_equal);
    struct spl_flow flow;
    gboolean any = FALSE;

    bold.bold = TRUE;
    deadly = bold;
    deadly.tone = SPL_TONE_MADDER;
    for (gsize i = 0; i < outing->n_stops; i++) {
        const struct spl_outing_sheet_stop *stop = &outing->stops[i];

        for (gsize k = 0; k < stop->n_takes && stop->verdict != SPL_VERDICT_CLOSED; k++) {
            const struct spl_outing_sheet_take *take = &stop->takes[k];

            for (gsize c = 0; c < take->n_cautions; c++) {
                if (!g_hash_table_add(said, (gpointer)take->cautions[c]))
                    continue;
                if (!any) {
                    spl_page_next(page);
                    spl_flow_begin(&flow, page, back_head, sheet);
                    any = TRUE;
                }
                spl_flow_text(&flow,
                              c >= take->n_lookalikes ? &words
                              : take->signs_needed    ? &deadly
                                                      : &bold,
                              take->cautions[c], 4.0);
            }
        }
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
                                   .foot = "Look before you pick: check the verdict and the "
                                           "plant again at the place."};
    /* The last is for what runs on in any case. */
    static const struct {
        double size, write;
    } tries[] = {{11.0, 30.0}, {10.4, 28.0}, {9.8, 26.0}, {9.2, 24.0},
                 {8.6, 22.0},  {8.0, 17.0},  {9.2, 24.0}};

    for (gsize i = 0;; i++) {
        struct sheet sheet = {
            .outing = outing, .title = title, .size = tries[i].size, .write = tries[i].write};
        struct spl_page *page = spl_page_open(&setup, error);

        if (page == NULL)
            return NULL;
        draw_front(page, &sheet);
        if (sheet.error != NULL) {
            g_propagate_error(error, sheet.error);
            spl_page_free(page);
            return NULL;
        }
        if (spl_page_number(page) == 0 || i + 1 == G_N_ELEMENTS(tries)) {
            draw_back(page, &sheet);
            return spl_page_finish(page, report, error);
        }
        spl_page_free(page);
    }
}
